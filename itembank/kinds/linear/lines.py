"""The solution of a linear congruence in lines that are claims, each with its slips; and reasons.

Notation: ax = b (mod m), d = gcd(a, m); divided by d it is a1 x = b1 (mod m1); u the inverse of
a1; x0 the solution modulo m1.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import gcd

from itembank.kinds.lines import (
    Claim,
    Inference,
    Line,
    WrongLine,
    WrongReason,
    composite_taken_for_prime,
    coprime_mistaken,
    distinct,
    divisibility_mistaken,
    solutions_modulo,
)
from itembank.languages import Said, say
from itembank.languages.lettering import in_letter
from itembank.notation.building import congruence, polynomial
from itembank.notation.tree import Number

_TOLD = 8
"""At most this many solutions stand in a line."""

LARGEST = 10**6
"""Up to this modulus the lines are told: their numbers are checked by hand."""


@dataclass(frozen=True)
class _Way:
    """What the lines claim, in their order."""

    d: int
    m: int
    a1: int
    b1: int
    m1: int
    u: int
    x0: int
    solutions: tuple[int, ...]

    def told(self) -> Iterator[tuple[Said, Claim, Said]]:
        """Each line, its numbers, and how it is checked."""
        divided = congruence(polynomial((0, self.a1)), Number(self.b1), self.m1)
        yield (
            say(
                "Dividing by ${d}$ gives ${divided}$, which has the same solutions.",
                d=self.d,
                divided=divided,
            ),
            (self.a1, self.b1, self.m1),
            say("Divide both coefficients and the modulus by the same number."),
        )
        yield (
            say("The inverse of ${a}$ modulo ${m}$ is ${u}$.", a=self.a1, m=self.m1, u=self.u),
            (self.u,),
            say("Multiply the two numbers and look at the remainder."),
        )
        yield (
            say(
                "The solutions are the integers congruent to ${x}$ modulo ${m}$.",
                x=self.x0,
                m=self.m1,
            ),
            (self.x0,),
            say("Substitute the residue into the divided congruence."),
        )
        yield (
            solutions_modulo(self.m, self.solutions),
            self.solutions,
            say("Substitute each of its residues, and count them."),
        )


def _way_from(d: int, m: int, a1: int, b1: int, m1: int) -> _Way | None:
    """The way on from the divided congruence; None if there is no inverse."""
    return _from_inverse(d, m, a1, b1, m1, pow(a1, -1, m1)) if gcd(a1, m1) == 1 else None


def _from_inverse(d: int, m: int, a1: int, b1: int, m1: int, u: int) -> _Way:
    return _from_residue(_Way(d, m, a1, b1, m1, u, 0, ()), u * b1 % m1)


def _from_residue(way: _Way, x0: int) -> _Way:
    return replace(way, x0=x0, solutions=tuple(range(x0, way.m, way.m1)))


def _true_way(a: int, b: int, m: int) -> _Way | None:
    """The right way; None where nothing is divided out, no inverse is needed, or it is too long."""
    d = gcd(a, m)
    if not 1 < d <= _TOLD or b % d or not 0 < a < m <= LARGEST or b == 0:
        return None
    way = _way_from(d, m, a // d, b // d, m // d)
    return way if way and way.a1 > 1 and way.m1 > 2 else None


# ------------------------------------------------------------ the lines and their slips


DIVIDED, CLASS = 0, 2
"""The lines whose numbers stand in the next one again."""

_Changed = tuple[str, _Way | None, Said]
"""A slip: its name, the way that it leads, and what is wrong in the line where it is made."""


def lines(a: int, b: int, m: int, letter: str) -> Iterator[Line]:
    """Divide, invert, the class of solutions, the solutions; none where `_true_way` is none."""
    way = _true_way(a, b, m)
    if way is None:
        return
    at = (_division_slips(way, a, b), _inverse_slips(way), _class_slips(way), _spreading_slips(way))
    for place, ((text, claim, how), slips) in enumerate(zip(way.told(), at, strict=True)):
        found = (_wrong_line(place, *slip, letter) for slip in slips)
        yield Line(
            in_letter(text, letter),
            claim,
            how,
            distinct((w for w in found if w is not None), claim),
            repeated=place in (DIVIDED, CLASS),
        )


def _wrong_line(
    place: int, name: str, way: _Way | None, feedback: Said, letter: str
) -> WrongLine | None:
    if way is None or not 0 < len(way.solutions) <= _TOLD:
        return None
    told = [(in_letter(said, letter), claim) for said, claim, _how in way.told()]
    text, claim = told[place]
    return WrongLine(name, text, claim, tuple(said for said, _claim in told[place + 1 :]), feedback)


def _division_slips(way: _Way, a: int, b: int) -> Iterator[_Changed]:
    d, m, right = way.d, way.m, set(way.solutions)
    table = (
        (
            "modulus-kept",
            (way.a1, way.b1, m),
            say("This comes out if the coefficients are divided, and the modulus is not."),
        ),
        (
            "uneven-division",
            (way.a1, b % way.m1, way.m1),
            say("This comes out if the right side is not divided."),
        ),
        (
            "uneven-division",
            (a % way.m1, way.b1, way.m1),
            say("This comes out if the coefficient of the unknown is not divided."),
        ),
    )
    for name, (a1, b1, m1), feedback in table:
        found = _way_from(d, m, a1, b1, m1)
        if a1 > 1 and found and set(found.solutions) != right:
            yield name, found, feedback


def _inverse_slips(way: _Way) -> Iterator[_Changed]:
    """Slips with the inverse; in 1 = a1 u - m1 k the other coefficient is -k, or k as it stands."""
    a1, m1, u = way.a1, way.m1, way.u
    k = (a1 * u - 1) // m1
    other_coefficient = say(
        "This comes out if the coefficient of the modulus is taken for that of the number."
    )
    table = (
        (
            "inverse-sign",
            m1 - u,
            say("The product of the two numbers leaves $-1$ here: it must leave $1$."),
        ),
        (
            "opposite-taken",
            m1 - a1,
            say("The sum of the two numbers is the modulus here: multiply them."),
        ),
        (
            "number-for-its-inverse",
            a1,
            say("This comes out if the number is taken for its own inverse: square it."),
        ),
        ("coefficient-of-modulus", m1 - k, other_coefficient),
        ("coefficient-of-modulus", k, other_coefficient),
    )  # fmt: skip
    for name, wrong, feedback in table:
        if 0 < wrong < m1 and a1 * wrong % m1 != 1:
            yield name, _from_inverse(way.d, way.m, a1, way.b1, m1, wrong), feedback


def _class_slips(way: _Way) -> Iterator[_Changed]:
    table = (
        (
            "inverse-for-solution",
            way.u,
            say("This comes out if the inverse is not multiplied by the right side."),
        ),
        (
            "coefficient-multiplied",
            way.a1 * way.b1 % way.m1,
            say("This comes out if the right side is multiplied by the number, not by its "
                "inverse."),
        ),
        (
            "result-sign",
            -way.x0 % way.m1,
            say("This comes out if the sign of the residue is lost: substitute it."),
        ),
        (
            "right-side-for-solution",
            way.b1 % way.m1,
            say("This comes out if the right side is taken for the solution: substitute it."),
        ),
    )  # fmt: skip
    for name, wrong, feedback in table:
        if wrong != way.x0:
            yield name, _from_residue(way, wrong), feedback


def _spreading_slips(way: _Way) -> Iterator[_Changed]:
    d, m, x0, right = way.d, way.m, way.x0, way.solutions
    spaced = tuple(sorted({(x0 + i * d) % m for i in range(d)}))
    table = (
        (
            "wrong-spacing",
            spaced,
            say("The residues are the wrong distance apart here: substitute the second."),
        ),
        (
            "residue-dropped",
            tuple(range(0, m, way.m1)),
            say("This comes out if the multiples are taken alone: substitute the first "
                "residue."),
        ),
        (
            "consecutive",
            tuple(sorted({(x0 + i) % m for i in range(d)})),
            say("The residues follow each other here: substitute the second."),
        ),
        (
            "result-sign",
            tuple(range(-x0 % way.m1, m, way.m1)),
            say("This comes out if the sign of the residue is lost: substitute the first."),
        ),
        (
            "inverse-for-solution",
            tuple(range(way.u, m, way.m1)),
            say("This comes out if the inverse is taken for the solution: substitute the "
                "first residue."),
        ),
        (
            "right-side-for-solution",
            tuple(range(way.b1 % way.m1, m, way.m1)),
            say("This comes out if the right side is taken for the solution: substitute the "
                "first residue."),
        ),
        (
            "one-representative",
            (x0,),
            say("Further residues of the class are missing here."),
        ),
        (
            "last-one-lost",
            right[:-1],
            say("Not every residue of the class is named here: go on up to the modulus."),
        ),
    )  # fmt: skip
    for name, wrong, feedback in table:
        yield name, replace(way, solutions=wrong), feedback


# ------------------------------------------------------------ reasons


def inferences(a: int, b: int, m: int) -> Iterator[Inference]:
    """How many solutions there are, and that there is an inverse, with the reasons."""
    d = gcd(a, m)
    if not 1 < d < a or not m <= LARGEST or b == 0:
        return
    yield _number_of_solutions(a, b, m, d)
    a1, m1 = a // d, m // d
    composite = any(m1 % n == 0 for n in range(2, min(m1, 1000)))
    if b % d == 0 and m1 > 3 and composite and a1 > 1:
        yield Inference(
            "inverse exists",
            say("There is an inverse of ${a}$ modulo ${m}$.", a=a1, m=m1),
            say("$gcd({a}, {m}) = 1$.", a=a1, m=m1),
            (
                composite_taken_for_prime(m1),
                coprime_mistaken(a, m),
                small_divisor_mistaken(d, a1, m1),
            ),
        )


def small_divisor_mistaken(d: int, a1: int, m1: int) -> WrongReason:
    """That one number divides another; rather of the small ones, that no option has smaller."""
    low, high = sorted((d, a1))
    if high % low:
        return divisibility_mistaken(low, high)
    return divisibility_mistaken(min(a1, m1), max(a1, m1))


def _number_of_solutions(a: int, b: int, m: int, d: int) -> Inference:
    values = {"a": a, "b": b, "m": m, "d": d}
    solvable = say("$gcd({a}, {m}) = {d}$, and ${d}$ divides ${b}$.", **values)
    unsolvable = say("$gcd({a}, {m}) = {d}$, and ${d}$ does not divide ${b}$.", **values)
    check = say("Find $gcd({a}, {m})$: does it divide ${b}$?", a=a, b=b, m=m)
    if b % d == 0:
        claim = say("Modulo ${m}$ the congruence has exactly ${d}$ solutions.", m=m, d=d)
        right, wrong = solvable, unsolvable
    else:
        claim = say("No integer solves the congruence.")
        right, wrong = unsolvable, solvable
    mistaken = WrongReason("divisibility-of-the-right-side", wrong, check)
    return Inference("number of solutions", claim, right, (mistaken, *of_one_number(a, b, m, d)))


def of_one_number(a: int, b: int, m: int, d: int) -> tuple[WrongReason, WrongReason]:
    """A divisor of one of the numbers taken for the common one: what is said of d, said of it.

    A smaller divisor or a larger one, as the numbers have it, so that size tells nothing.
    """
    found = [r for r in range(2, m + 1) if (a % r == 0) != (m % r == 0)]
    smaller, larger = [r for r in found if r < d], [r for r in found if r > d]
    r = smaller[-1] if smaller and (a + b) // d % 2 else larger[0]
    check = say("Does ${r}$ divide both ${a}$ and ${m}$?", r=r, a=a, m=m)
    values = {"a": a, "b": b, "m": m, "d": r}
    name = "divisor-of-one-number"
    return (
        WrongReason(name, say("$gcd({a}, {m}) = {d}$, and ${d}$ divides ${b}$.", **values), check),
        WrongReason(
            name, say("$gcd({a}, {m}) = {d}$, and ${d}$ does not divide ${b}$.", **values), check
        ),
    )
