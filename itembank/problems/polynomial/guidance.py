"""The derivation of a polynomial congruence as questions ask about it: its outline, its stages.

Notation: m modulus, p prime, k exponent, f polynomial.  Everything is found by solving the same
congruence modulo the powers of p up to p^k.
"""

from collections.abc import Iterator, Sequence

from itembank.answer import ResidueSet
from itembank.arithmetic.polynomials import Poly, derivative, value_mod
from itembank.notation.reading import paragraph, prose
from itembank.problems.base import distinct_slips
from itembank.problems.derivation import Lifting, Misorder, RootStage, SingularStage, StepLine
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


def writable(f: Poly, factors: Factors) -> bool:
    """Whether there are solutions at every stage, few enough to write down."""
    return all(0 < roots(f, p**j).count <= TOLD for p, k in factors for j in range(1, k + 1))


# ------------------------------------------------------------ the outline


def outline(f: Poly, letter: str, factors: Factors, answer: ResidueSet) -> tuple[StepLine, ...]:
    """Split, solve modulo each prime, lift level by level, combine, check; () if too long."""
    m = answer.modulus
    if m > LARGEST or not 0 < answer.count <= TOLD or not writable(f, factors):
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
    """Each step put before the one on which it builds."""
    names = [line.name for line in lines]
    for name, early, late, feedback in (
        (
            "solved-before-splitting",
            "solve",
            "split",
            _(
                "Which primes there are to solve for is known only once the modulus is split into "
                "prime powers."
            ),
        ),
        (
            "lifted-before-solving",
            "lift 2",
            "solve",
            _(
                "What is lifted are roots modulo a prime: before anything can be lifted, the "
                "congruence is solved modulo the prime."
            ),
        ),
        (
            "lifted-too-far",
            "lift 3",
            "lift 2",
            _(
                "A lift goes from one power of the prime to the next: the roots modulo the lower "
                "power come first."
            ),
        ),
        (
            "combined-before-lifting",
            "combine",
            max((name for name in names if name.startswith("lift")), default=""),
            _(
                "What is combined are residues modulo the prime powers that make up the modulus: "
                "roots modulo a lower power must be lifted first."
            ),
        ),
        (
            "checked-too-soon",
            "check",
            names[-2],
            _(
                "Only what solves the congruence for the whole modulus can be checked by "
                "substituting: it must be found first."
            ),
        ),
    ):
        if early in names and late in names:
            yield Misorder(name, swapped(names, early, late), (paragraph(feedback),))


def swapped(names: Sequence[str], early: str, late: str) -> tuple[int, ...]:
    """The places in order, with the step `early` moved before the step `late`."""
    moved, before = names.index(early), names.index(late)
    order = [i for i in range(len(names)) if i != moved]
    order.insert(order.index(before), moved)
    return tuple(order)


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


def stages(
    f: Poly, letter: str, factors: Factors, answer: ResidueSet
) -> Iterator[RootStage | SingularStage]:
    """For each prime: its roots, whether they are singular, their lifts; then the answer."""
    m = answer.modulus
    if m > LARGEST or not 0 < answer.count <= TOLD or not writable(f, factors):
        return
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
