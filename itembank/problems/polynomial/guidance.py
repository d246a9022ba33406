"""The derivation of a polynomial congruence as questions ask about it: its outline, its stages.

Notation: m modulus, p prime, k exponent, f polynomial.  Everything is found by solving the same
congruence modulo the powers of p up to p^k.
"""

from collections.abc import Iterator, Sequence

from itembank.answer import ResidueSet
from itembank.arithmetic.polynomials import Poly, derivative, value_mod
from itembank.notation.prose import paragraph, prose
from itembank.problems.base import distinct_slips
from itembank.problems.derivation import (
    Lifting,
    Misorder,
    RootStage,
    SingularStage,
    Stage,
    StepLine,
)
from itembank.problems.polynomial import slips
from itembank.problems.polynomial.solve import solve
from itembank.problems.polynomial.worked.phrases import factored
from itembank.problems.wording import conjunction, listing, polynomial
from itembank.words import _, ngettext

Factors = Sequence[tuple[int, int]]

TOLD = 8
"""At most this many solutions stand in a line of an outline, or are typed in a stage."""

LARGEST = 10**6
"""Up to this modulus a derivation is asked about: its numbers are written and typed by hand."""


def roots(f: Poly, q: int) -> ResidueSet:
    return solve(f, q).answer


def writable(f: Poly, factors: Factors, answer: ResidueSet) -> bool:
    """Whether the modulus is small, and there are solutions at every stage, few enough to write."""
    return (
        answer.modulus <= LARGEST
        and 0 < answer.count <= TOLD
        and all(0 < roots(f, p**j).count <= TOLD for p, k in factors for j in range(1, k + 1))
    )


# ------------------------------------------------------------ the outline


def outline(f: Poly, letter: str, factors: Factors, answer: ResidueSet) -> tuple[StepLine, ...]:
    """Split, solve modulo each prime, lift level by level, combine, check; () if too long."""
    if not writable(f, factors, answer):
        return ()
    return tuple(StepLine(name, prose(text)) for name, text in outlined(f, letter, factors, answer))


def outlined(
    f: Poly, letter: str, factors: Factors, answer: ResidueSet
) -> Iterator[tuple[str, str]]:
    m = answer.modulus

    def found(values: ResidueSet) -> str:
        return f"${letter} ≡ {listing(values.residues())} (mod {values.modulus})$"

    if len(factors) > 1:
        yield (
            "split",
            _("Split the modulus: ${m} = {factors}$.").format(m=m, factors=factored(factors)),
        )
    yield (
        "solve",
        ngettext(
            "Solve modulo the prime: {roots}.", "Solve modulo each prime: {roots}.", len(factors)
        ).format(roots=conjunction(found(roots(f, p)) for p, _k in factors)),
    )
    for j in range(2, max(k for _p, k in factors) + 1):
        lifted = conjunction(found(roots(f, p**j)) for p, k in factors if k >= j)
        told = _("Lift the roots: {roots}.") if j == 2 else _("Lift once more: {roots}.")
        yield f"lift {j}", told.format(roots=lifted)
    if len(factors) > 1:
        yield (
            "combine",
            _("Combine the residues in every way: {roots}.").format(roots=found(answer)),
        )
    yield "check", _("Substitute the solutions modulo ${m}$ to check them.").format(m=m)


def misorders(lines: Sequence[StepLine]) -> Iterator[Misorder]:
    """Each step exchanged with the one before it, on which it builds."""
    told = slips_of_order()
    for place in range(1, len(lines)):
        before, step = (line.name.split()[0] for line in lines[place - 1 : place + 1])
        found = told.get((before, step), told.get(("", step)))
        if found:
            name, feedback = found
            order = [*range(len(lines))]
            order[place - 1 : place + 1] = place, place - 1
            yield Misorder(name, tuple(order), (paragraph(feedback),))


def slips_of_order() -> dict[tuple[str, str], tuple[str, str]]:
    """By a step and the one that was put before it ("" for any): the slip, and what is said."""
    return {
        ("split", "solve"): (
            "solved-before-splitting",
            _(
                "Which primes there are to solve for is known only once the modulus is split into "
                "prime powers."
            ),
        ),
        ("solve", "lift"): (
            "lifted-before-solving",
            _(
                "What is lifted are roots modulo a prime: before anything can be lifted, the "
                "congruence is solved modulo the prime."
            ),
        ),
        ("lift", "lift"): (
            "lifted-too-far",
            _(
                "A lift goes from one power of the prime to the next: the roots modulo the lower "
                "power come first."
            ),
        ),
        ("lift", "combine"): (
            "combined-before-lifting",
            _(
                "What is combined are residues modulo the prime powers that make up the modulus: "
                "roots modulo a lower power must be lifted first."
            ),
        ),
        ("", "check"): (
            "checked-too-soon",
            _(
                "Only what solves the congruence for the whole modulus can be checked by "
                "substituting: it must be found first."
            ),
        ),
    }


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
                yield root_stage(f, letter, p**j)
            if j == 1 and k > 1:
                yield singular_stage(f, letter, p)
    yield root_stage(f, letter, m)


def root_stage(f: Poly, letter: str, q: int) -> RootStage:
    solution = solve(f, q)
    found = distinct_slips(slips.slips_of(f, q, letter, solution), solution.answer)
    return RootStage(solution.answer, found)


def singular_stage(f: Poly, letter: str, p: int) -> SingularStage:
    found, slope = roots(f, p).residues(), derivative(f)
    singular = tuple(r for r in found if value_mod(slope, r, p) == 0)
    return SingularStage(p, polynomial(f, letter), found, singular)
