"""The way to the solution of a system as questions ask about it.

The moduli m_i coprime: M their product, M_i = M / m_i with inverse N_i modulo m_i.  Two moduli
that are not: x = a + mt, put into x = b (mod n) and divided by d = gcd(m, n).
"""

from collections.abc import Iterator, Sequence
from math import gcd, lcm, prod

from itembank.kinds.base import Slip
from itembank.kinds.derivation import NumberStage, RootStage, Stage, StepLine, told
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.one_unknown import OneUnknown
from itembank.languages import Said, say
from itembank.languages.lettering import in_letter
from itembank.notation.building import added, congruence, dotted, equal, listed, polynomial
from itembank.notation.tree import Letter, Number
from itembank.values.answer import ResidueSet

LARGEST = 10**5
"""Up to this modulus the way is asked about: its numbers are written by hand."""

Class = tuple[int, int]


def classes(problems: Sequence[OneUnknown]) -> tuple[Class, ...]:
    """(residue, modulus) of each congruence x = a (mod m); () if one has another form."""
    found = tuple(
        (p.right[0] if p.right else 0, p.modulus)
        for p in problems
        if isinstance(p, LinearCongruence) and p.left == (0, 1) and len(p.right) < 2
    )
    usable = len(found) == len(problems) and all(0 <= r < m and m > 1 for r, m in found)
    return found if usable else ()


def coprime(found: Sequence[Class]) -> bool:
    return lcm(*(m for _r, m in found)) == prod(m for _r, m in found)


def outline(
    problems: Sequence[OneUnknown], letter: str, answer: ResidueSet
) -> tuple[StepLine, ...]:
    """By weights for coprime moduli, by substitution for two others; () for the rest."""
    found = classes(problems)
    if not found or answer.modulus > LARGEST or answer.count != 1:
        return ()
    if coprime(found):
        lines = by_weights(found)
    elif len(found) == 2:
        lines = by_substitution(*found)
    else:
        return ()
    return told((name, in_letter(said, letter)) for name, said in lines)


def cofactors(found: Sequence[Class]) -> list[tuple[int, int]]:
    """(M_i, N_i) for each modulus."""
    product = prod(m for _r, m in found)
    return [(product // m, pow(product // m, -1, m)) for _r, m in found]


def by_weights(found: Sequence[Class]) -> Iterator[tuple[str, Said]]:
    moduli = [m for _r, m in found]
    whole = prod(moduli)
    weights = cofactors(found)
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
        yield (
            "inverses",
            say(
                "Invert each quotient modulo its own modulus: ${numbers}$.",
                numbers=listed(n for _c, n in weights),
            ),
        )
    else:
        yield (
            "inverses",
            say(
                "Invert each modulus modulo the other one: ${numbers}$.",
                numbers=listed(n for _c, n in weights),
            ),
        )
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
        reduced = congruence(Number(total), Number(total % whole), whole)
        yield "reduce", say("Take the least residue: {reduced}.", reduced=reduced)
    else:
        found_so = congruence(Letter("x"), Number(total), whole)
        yield "as it is", say("See that the sum is a least residue: {found}.", found=found_so)
    yield "check", say("Substitute the solutions modulo ${m}$ to check them.", m=whole)


def by_substitution(first: Class, second: Class) -> Iterator[tuple[str, Said]]:
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
    yield "back", say("Put it back: $x ≡ {r} (mod {m})$.", r=(a + m * t) % whole, m=whole)
    yield "check", say("Substitute the solutions modulo ${m}$ to check them.", m=whole)


def stages(
    problems: Sequence[OneUnknown], answer: ResidueSet, slips: tuple[Slip, ...]
) -> Iterator[Stage]:
    """The inverse for each modulus, then the solution; moduli coprime."""
    found = classes(problems)
    if not found or not coprime(found) or answer.modulus > LARGEST or answer.count != 1:
        return
    for i, ((_r, m), (c, inverse)) in enumerate(zip(found, cofactors(found), strict=True), 1):
        yield NumberStage(
            say("Stage {n}. The inverse of {c} modulo {m} (a least residue):", n=i, c=c, m=m),
            (inverse,),
        )
    yield RootStage(answer, slips)
