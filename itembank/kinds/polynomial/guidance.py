"""The derivation of a polynomial congruence as questions ask about it: its outline, its stages.

Notation: m modulus, p prime, k exponent, f polynomial.  Everything is found by solving the same
congruence modulo the powers of p up to p^k.
"""

from collections.abc import Iterator, Sequence

from itembank.kinds.base import distinct_slips
from itembank.kinds.derivation import Lifting, Misorder, RootStage, SingularStage, Stage, StepLine
from itembank.kinds.polynomial.solve import solve
from itembank.languages import Said, counted, each, say
from itembank.languages.lettering import in_letter
from itembank.maths.polynomials import Poly, derivative, value_mod
from itembank.notation.building import congruence, factored_modulus, listed, polynomial
from itembank.notation.tree import Letter, Math
from itembank.values.answer import ResidueSet

Factors = Sequence[tuple[int, int]]

TOLD = 8
"""At most this many solutions stand in a line of an outline, or are typed in a stage."""

LARGEST = 10**6
"""Up to this modulus a derivation is asked about: its numbers are written and typed by hand."""


def roots(f: Poly, q: int) -> ResidueSet:
    return solve(f, q).answer


def writable(f: Poly, factors: Factors, answer: ResidueSet) -> bool:
    """Whether there is a stage, and at each of them solutions, few enough to write; m small."""
    return (
        1 < answer.modulus <= LARGEST
        and 0 < answer.count <= TOLD
        and all(0 < roots(f, p**j).count <= TOLD for p, k in factors for j in range(1, k + 1))
    )


# ------------------------------------------------------------ the outline


def outline(f: Poly, letter: str, factors: Factors, answer: ResidueSet) -> tuple[StepLine, ...]:
    """Split, solve modulo each prime, lift level by level, combine, check; () if too long."""
    if not writable(f, factors, answer):
        return ()
    found = _outlined(f, factors, answer)
    return tuple(StepLine(name, in_letter(said, letter)) for name, said in found)


def _outlined(f: Poly, factors: Factors, answer: ResidueSet) -> Iterator[tuple[str, Said]]:
    levels = [(p, tuple(roots(f, p**j).residues() for j in range(1, k + 1))) for p, k in factors]
    return outlined_by(levels, answer.modulus, answer.residues())


def outlined_by(
    levels: Sequence[tuple[int, Sequence[tuple[int, ...]]]], m: int, answer: tuple[int, ...]
) -> Iterator[tuple[str, Said]]:
    """The lines, from the solutions modulo p, ..., p^k for each prime, and those modulo m."""
    factors = [(p, len(sets)) for p, sets in levels]
    if len(factors) > 1:
        parts = factored_modulus(factors)
        yield "split", say("Split the modulus: ${m} = {factors}$.", m=m, factors=parts)
    yield (
        "solve",
        counted(
            "Solve modulo the prime: {roots}.",
            "Solve modulo each prime: {roots}.",
            len(factors),
            roots=each(_found(sets[0], p) for p, sets in levels),
        ),
    )
    for j in range(2, max(k for _p, k in factors) + 1):
        lifted = each(_found(sets[j - 1], p**j) for p, sets in levels if len(sets) >= j)
        if j == 2:
            yield f"lift {j}", say("Lift the roots: {roots}.", roots=lifted)
        else:
            yield f"lift {j}", say("Lift once more: {roots}.", roots=lifted)
    if len(factors) > 1:
        combined = _found(answer, m)
        yield "combine", say("Combine the residues in every way: {roots}.", roots=combined)
    yield "check", say("Substitute the solutions modulo ${m}$ to check them.", m=m)


def _found(residues: tuple[int, ...], m: int) -> Math:
    """x ≡ 7, 20 (mod 117)."""
    return congruence(Letter("x"), listed(residues), m)


def misorders(lines: Sequence[StepLine]) -> Iterator[Misorder]:
    """Each step exchanged with the one before it, on which it builds."""
    for place in range(1, len(lines)):
        before, step = (line.name.split()[0] for line in lines[place - 1 : place + 1])
        slip = _SLIPS_OF_ORDER.get((before, step), _SLIPS_OF_ORDER.get(("", step)))
        if slip:
            name, feedback = slip
            order = [*range(len(lines))]
            order[place - 1 : place + 1] = place, place - 1
            yield Misorder(name, tuple(order), (feedback,))


_SLIPS_OF_ORDER: dict[tuple[str, str], tuple[str, Said]] = {
    ("split", "solve"): (
        "solved-before-splitting",
        say(
            "Which primes there are to solve for is known only once the modulus is split into "
            "prime powers."
        ),
    ),
    ("solve", "combine"): (
        "combined-before-solving",
        say(
            "What is combined are solutions modulo the prime powers: the congruence is solved "
            "modulo each of them first."
        ),
    ),
    ("solve", "lift"): (
        "lifted-before-solving",
        say(
            "What is lifted are roots modulo a prime: before anything can be lifted, the "
            "congruence is solved modulo the prime."
        ),
    ),
    ("lift", "lift"): (
        "lifted-too-far",
        say(
            "A lift goes from one power of the prime to the next: the roots modulo the lower "
            "power come first."
        ),
    ),
    ("lift", "combine"): (
        "combined-before-lifting",
        say(
            "What is combined are residues modulo the prime powers that make up the modulus: "
            "roots modulo a lower power must be lifted first."
        ),
    ),
    ("", "check"): (
        "checked-too-soon",
        say(
            "Only what solves the congruence for the whole modulus can be checked by "
            "substituting: it must be found first."
        ),
    ),
}
"""By a step and the one that was put before it ("" for any): the slip, and what is said."""


# ------------------------------------------------------------ the last lift


def lifting(f: Poly, factors: Factors) -> Lifting | None:
    """The roots below p^k; None if m is no p^k with k at least 2, or they are too many."""
    match factors:
        case [(p, k)] if k > 1 and p**k <= LARGEST:
            below = roots(f, p ** (k - 1))
            if 0 < below.count <= TOLD:
                return Lifting(p, below.modulus, below.residues())
    return None


# ------------------------------------------------------------ the stages


def stages(f: Poly, letter: str, factors: Factors, answer: ResidueSet) -> Iterator[Stage]:
    """For each prime: its roots, whether they are singular, their lifts; then the answer."""
    if not writable(f, factors, answer):
        return
    m = answer.modulus
    for p, k in factors:
        for j in range(1, k + 1):
            if p**j != m:
                yield _root_stage(f, letter, p**j)
            if j == 1 and k > 1:
                yield _singular_stage(f, letter, p)
    yield _root_stage(f, letter, m)


def _root_stage(f: Poly, letter: str, q: int) -> RootStage:
    from itembank.kinds.polynomial import slips

    solution = solve(f, q)
    found = distinct_slips(slips.slips_of(f, q, letter, solution), solution.answer)
    return RootStage(solution.answer, found)


def _singular_stage(f: Poly, letter: str, p: int) -> SingularStage:
    found, slope = roots(f, p).residues(), derivative(f)
    singular = tuple(r for r in found if value_mod(slope, r, p) == 0)
    return SingularStage(p, polynomial(f, letter), found, singular)
