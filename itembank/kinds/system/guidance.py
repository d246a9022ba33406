"""The way to the solution of a system as questions ask about it.

The moduli m_i coprime: M their product, M_i = M / m_i with inverse N_i modulo m_i.  Two moduli
that are not: x = a + mt, put into x = b (mod n) and divided by d = gcd(m, n).
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import gcd, lcm, prod

from itembank.kinds.base import Slip
from itembank.kinds.derivation import (
    NumberStage,
    RootStage,
    SpareLine,
    Stage,
    StepLine,
    Wrong,
    beside,
    told,
)
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.one_unknown import OneUnknown
from itembank.languages import Said, say
from itembank.languages.lettering import in_letter
from itembank.notation.building import added, congruence, dotted, equal, listed, polynomial
from itembank.notation.tree import Letter, Number
from itembank.values.answer import ResidueSet

_LARGEST = 10**5
"""Up to this modulus the way is asked about: its numbers are written by hand."""

_Class = tuple[int, int]


def _classes(problems: Sequence[OneUnknown]) -> tuple[_Class, ...]:
    """(residue, modulus) of each congruence x = a (mod m); () if one has another form."""
    found = tuple(
        (p.right[0] if p.right else 0, p.modulus)
        for p in problems
        if isinstance(p, LinearCongruence) and p.left == (0, 1) and len(p.right) < 2
    )
    usable = len(found) == len(problems) and all(0 <= r < m and m > 1 for r, m in found)
    return found if usable else ()


def _coprime(found: Sequence[_Class]) -> bool:
    return lcm(*(m for _r, m in found)) == prod(m for _r, m in found)


def outline(
    problems: Sequence[OneUnknown], letter: str, answer: ResidueSet
) -> tuple[StepLine, ...]:
    """By weights for coprime moduli, by substitution for two others; () for the rest."""
    found = _classes(problems)
    if not found or answer.modulus > _LARGEST or answer.count != 1:
        return ()
    if _coprime(found):
        lines = _by_weights(found)
    elif len(found) == 2:
        lines = _by_substitution(*found)
    else:
        return ()
    return told((name, in_letter(said, letter)) for name, said in lines)


def _cofactors(found: Sequence[_Class]) -> list[tuple[int, int]]:
    """(M_i, N_i) for each modulus."""
    product = prod(m for _r, m in found)
    return [(product // m, pow(product // m, -1, m)) for _r, m in found]


def _by_weights(found: Sequence[_Class]) -> Iterator[tuple[str, Said]]:
    moduli = [m for _r, m in found]
    whole = prod(moduli)
    weights = _cofactors(found)
    if len(found) > 2:
        yield (
            "product",
            say("Multiply the moduli: {product}.", product=equal(dotted(moduli), whole)),
        )
        yield (
            "cofactors",
            say(
                "Divide that product by each modulus: ${numbers}$.",
                numbers=listed(c for c, _n in weights),
            ),
        )
    yield "inverses", _inverses(found, [n for _c, n in weights])
    terms = [dotted([r, c, n]) for (r, _m), (c, n) in zip(found, weights, strict=True)]
    total = sum(r * c * n for (r, _m), (c, n) in zip(found, weights, strict=True))
    yield (
        "sum",
        say(
            "Add the products of residue, quotient and inverse: {total}.",
            total=equal(added(terms), total),
        ),
    )
    if total >= whole:
        yield "reduce", _reduced(total, total % whole, whole)
    else:
        found_so = congruence(Letter("x"), Number(total), whole)
        yield "as it is", say("See that the sum is a least residue: {found}.", found=found_so)
    yield "check", say("Substitute the solutions modulo ${m}$ to check them.", m=whole)


def _inverses(found: Sequence[_Class], numbers: Sequence[int]) -> Said:
    if len(found) > 2:
        return say(
            "Invert each quotient modulo its own modulus: ${numbers}$.", numbers=listed(numbers)
        )
    return say("Invert each modulus modulo the other one: ${numbers}$.", numbers=listed(numbers))


def _reduced(total: int, residue: int, m: int) -> Said:
    line = congruence(Number(total), Number(residue), m)
    return say("Take the least residue: {reduced}.", reduced=line)


def _put_back(r: int, m: int) -> Said:
    return say("Put it back: $x ≡ {r} (mod {m})$.", r=r, m=m)


def spares(
    problems: Sequence[OneUnknown], letter: str, lines: Sequence[StepLine]
) -> tuple[SpareLine, ...]:
    """Opposites of inverses, a residue modulo one of the moduli; a parameter taken for x."""
    found = _classes(problems)
    if not found:
        return ()
    wrong = _weighed_wrong(found) if _coprime(found) else _put_wrong(found[0], found[1])
    return tuple(replace(s, text=in_letter(s.text, letter)) for s in beside(lines, wrong))


def _weighed_wrong(found: Sequence[_Class]) -> Iterator[Wrong]:
    whole, most = prod(m for _r, m in found), max(m for _r, m in found)
    weights = _cofactors(found)
    total = sum(r * c * n for (r, _m), (c, n) in zip(found, weights, strict=True))
    if all(m > 2 for _r, m in found):
        opposite = [m - n for (_r, m), (_c, n) in zip(found, weights, strict=True)]
        feedback = say("Multiply one of them by what it inverts: the product leaves −1, not 1.")
        yield "inverses", "opposite-for-inverse", _inverses(found, opposite), feedback
    if total % most != total % whole:
        feedback = say("The sum solves the system modulo the product of all moduli.")
        text = _reduced(total, total % most, whole)
        yield "reduce", "reduced-by-one-modulus", text, feedback


def _put_wrong(first: _Class, second: _Class) -> Iterator[Wrong]:
    (a, m), (b, n) = first, second
    d, whole = gcd(m, n), lcm(m, n)
    t = (b - a) // d * pow(m // d, -1, n // d) % (n // d)
    feedback = say("Put it into both congruences.")
    for name, r in (("parameter-taken-for-x", t), ("modulus-not-multiplied", a + t)):
        if (r - a - m * t) % whole:
            yield "back", name, _put_back(r % whole, whole), feedback


def _by_substitution(first: _Class, second: _Class) -> Iterator[tuple[str, Said]]:
    (a, m), (b, n) = first, second
    d, whole = gcd(m, n), lcm(m, n)
    m1, c1, n1 = m // d % (n // d), (b - a) // d % (n // d), n // d
    yield (
        "divisor",
        say(
            "Test the difference of the residues: $gcd({m}, {n}) = {d}$ divides {c}.",
            m=m, n=n, d=d, c=abs(a - b),
        ),
    )  # fmt: skip
    yield (
        "put",
        say(
            "Put $x = {a} + {m}t$ into the second congruence and divide by that divisor: {found}.",
            a=a,
            m=m,
            found=congruence(polynomial((0, m1), "t"), polynomial((c1,)), n1),
        ),
    )
    t = (b - a) // d * pow(m // d, -1, n1) % n1
    if m1 > 1:
        yield "parameter", say("Solve for the parameter: $t ≡ {t} (mod {n})$.", t=t, n=n1)
    yield "back", _put_back((a + m * t) % whole, whole)
    yield "check", say("Substitute the solutions modulo ${m}$ to check them.", m=whole)


def stages(
    problems: Sequence[OneUnknown], answer: ResidueSet, slips: tuple[Slip, ...]
) -> Iterator[Stage]:
    """The inverse for each modulus, then the solution; moduli coprime."""
    found = _classes(problems)
    if not found or not _coprime(found) or answer.modulus > _LARGEST or answer.count != 1:
        return
    for i, ((_r, m), (c, inverse)) in enumerate(zip(found, _cofactors(found), strict=True), 1):
        yield NumberStage(
            say("Stage {n}. The inverse of {c} modulo {m} (a least residue):", n=i, c=c, m=m),
            (inverse,),
        )
    yield RootStage(answer, slips)
