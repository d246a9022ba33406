"""Certificates of the kinds that are no congruence in x, each to be checked by hand.

Sources: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
2.1 (inverses, phi), 2.8 (order t: a^t = 1 and a^(t/q) != 1 for every prime q dividing t), 3.1
(Euler's criterion); ISO 2108 (ISBN) and ISO 13616 (IBAN), check digits.
"""

from collections.abc import Callable, Iterator
from functools import lru_cache
from math import gcd, prod
from typing import Any

from itembank.kinds.base import Problem
from itembank.kinds.check_digits.kind import IbanDigits, IbanTest, IsbnDigit, IsbnTest
from itembank.kinds.index.kind import ExponentialCongruence, IndexModulo, PowerByIndices
from itembank.kinds.inverse.kind import InverseModulo
from itembank.kinds.linear_pair.kind import LinearPair
from itembank.kinds.order.kind import OrderModulo
from itembank.kinds.power.kind import PowerModulo
from itembank.kinds.primitive_root.kind import LeastPrimitiveRoot, PrimitiveRoots, PrimitiveRootTest
from itembank.kinds.square_test.kind import SquareTest
from itembank.kinds.squares.kind import QuadraticResidues, Squares
from itembank.kinds.symbol.kind import SymbolValue
from itembank.kinds.totient.kind import EulerPhi
from itembank.kinds.units.kind import Inverses, Units, ZeroDivisors
from itembank.languages.words import _
from itembank.maths.primes import Unfactored, factorisation
from itembank.notation.prose import paragraph, table
from itembank.notation.tree import Block
from itembank.values.answer import Absent, Pairs, ResidueSet, Truth, Value

SUBSTITUTED = 12
"""Solutions substituted one by one."""

TABLED = 60
"""A modulus up to this has the table of its squares."""


@lru_cache(maxsize=256)
def factorised(m: int) -> tuple[tuple[int, int], ...] | None:
    """The prime powers of m; None where that is too much work, which is found once."""
    try:
        return factorisation(m)
    except Unfactored:
        return None


def certificates_by_kind(problem: Problem, answer: object) -> Iterator[Block]:
    """What can be checked by hand, if there is anything for this kind."""
    for kind, certificate in CERTIFICATES.items():
        if isinstance(problem, kind):
            yield from certificate(problem, answer)


def inverse(problem: InverseModulo, answer: Value | Absent) -> Iterator[Block]:
    a, m = problem.number, problem.modulus
    if isinstance(answer, Value):
        text = "${a} · {v} = {n} = {k} · {m} + {r}$."
        n = a * answer.value
        yield paragraph(
            text.format(a=a, v=answer.value, n=n, k=n // m, m=m, r=n % m), _("Product.")
        )
    else:
        yield paragraph(f"$gcd({a}, {m}) = {gcd(a, m)}$.", _("No inverse."))


def order(problem: OrderModulo, answer: Value | Absent) -> Iterator[Block]:
    if isinstance(answer, Value):
        yield from order_certificate(problem.number, answer.value, problem.modulus, _("Order."))
    else:
        a, m = problem.number, problem.modulus
        yield paragraph(f"$gcd({a}, {m}) = {gcd(a, m)}$.", _("No order."))


def order_certificate(a: int, t: int, m: int, lead: str) -> Iterator[Block]:
    """a^t = 1, and a^(t/q) != 1 for every prime q that divides t."""
    rows = [[f"${t}$", f"${pow(a, t, m)}$"]]
    for q, _k in factorised(t) or ():
        rows.append([f"${t}/{q} = {t // q}$", f"${pow(a, t // q, m)}$"])
    yield paragraph(
        _(
            "The exponent ${t}$ gives ${one}$; divided by any prime it gives another residue."
        ).format(t=t, one=pow(a, t, m)),
        lead,
    )
    yield table([_("exponent"), _("power of ${a}$ modulo ${m}$").format(a=a, m=m)], rows, True)


def primitive_roots(problem: PrimitiveRoots, answer: ResidueSet) -> Iterator[Block]:
    for g in answer.residues()[:SUBSTITUTED]:
        yield from primitive_root_powers(g, problem.modulus)


def least_primitive_root(problem: LeastPrimitiveRoot, answer: Value | Absent) -> Iterator[Block]:
    if isinstance(answer, Value):
        yield from primitive_root_powers(answer.value, problem.modulus)


def primitive_root_test(problem: PrimitiveRootTest, _answer: object) -> Iterator[Block]:
    if gcd(problem.number, problem.modulus) == 1:
        yield from primitive_root_powers(problem.number, problem.modulus)


def primitive_root_powers(g: int, m: int) -> Iterator[Block]:
    """g is a primitive root exactly if g^(phi/q) != 1 for every prime q that divides phi(m)."""
    n = prod((p - 1) * p ** (k - 1) for p, k in factorised(m) or ())
    rows = [[f"${n}/{q} = {n // q}$", f"${pow(g, n // q, m)}$"] for q, _k in factorised(n) or ()]
    lead = _("Is ${g}$ a primitive root?").format(g=g).replace("$", "")
    yield paragraph(
        _("$φ({m}) = {n}$; it is one if and only if none of these powers is $1$.").format(m=m, n=n),
        lead,
    )
    if rows:
        yield table([_("exponent"), _("power of ${a}$ modulo ${m}$").format(a=g, m=m)], rows, True)


def index(problem: IndexModulo, answer: Value | Absent) -> Iterator[Block]:
    if isinstance(answer, Value):
        g, k, m = problem.base, answer.value, problem.modulus
        yield paragraph(f"${g}^{k} ≡ {pow(g, k, m)} mod {m}$.", _("Power."))


def symbol(problem: SymbolValue, answer: Value) -> Iterator[Block]:
    """Euler's criterion for each prime below."""
    for p, k in factorised(problem.bottom) or ():
        yield euler(problem.top, p, k)


def square_test(problem: SquareTest, _answer: object) -> Iterator[Block]:
    for p, _k in factorised(problem.modulus) or ():
        if p > 2 and problem.number % p:
            yield euler(problem.number, p, 1)


def euler(a: int, p: int, k: int) -> Block:
    r = pow(a, (p - 1) // 2, p)
    sign = "0" if r == 0 else "1" if r == 1 else "-1"
    times = _("; it stands {k} times").format(k=k) if k > 1 else ""
    return paragraph(
        _(
            "The power of ${a}$ with the exponent $({p} - 1)/2 = {e}$ is ${s}$ modulo ${p}${times}."
        ).format(a=a, p=p, e=(p - 1) // 2, s=sign, times=times),
        _("Euler's criterion."),
    )


def pair(problem: LinearPair, answer: Pairs) -> Iterator[Block]:
    m = problem.modulus
    rows = []
    for x, y in answer.pairs[:SUBSTITUTED]:
        values = [a * x + b * y - c for a, b, c in problem.rows]
        rows.append([f"$({x}, {y})$", *(f"${v} = {v // m} · {m}$" for v in values)])
    if rows:
        yield paragraph(
            _("Left side minus right side, a multiple of ${m}$.").format(m=m), _("Substituted.")
        )
        yield table([_("pair"), _("first"), _("second")], rows, True)


def power(problem: PowerModulo, answer: Value) -> Iterator[Block]:
    """The squares a, a^2, a^4, ... that the binary digits of the exponent choose."""
    if len(problem.exponents) != 1:
        return
    (n,), a, m = problem.exponents, problem.base, problem.modulus
    chosen = [i for i in range(n.bit_length()) if n >> i & 1]
    rows, square = [], a % m
    for i in range(n.bit_length()):
        rows.append([f"${2**i}$", f"${square}$", _("yes") if i in chosen else ""])
        square = square * square % m
    total = " + ".join(str(2**i) for i in chosen) or "0"
    yield paragraph(f"${n} = {total}$.", _("Repeated squaring."))
    heads = [_("exponent"), _("power of ${a}$ modulo ${m}$").format(a=a, m=m), _("a factor")]
    if rows:
        yield table(heads, rows, True)
    yield paragraph(_("The product of the factors is ${v}$.").format(v=answer.value))


def by_indices(problem: PowerByIndices, answer: ResidueSet) -> Iterator[Block]:
    c, n, m = problem.factor, problem.exponent, problem.modulus
    for x in answer.residues()[:SUBSTITUTED]:
        r = c * pow(x, n, m) % m
        yield paragraph(f"${c} · {x}^{n} ≡ {r} mod {m}$.", _("Substituted."))


def exponential(problem: ExponentialCongruence, answer: ResidueSet) -> Iterator[Block]:
    c, g, m = problem.factor, problem.base, problem.m
    for k in answer.residues()[:SUBSTITUTED]:
        r = c * pow(g, k, m) % m
        yield paragraph(f"${c} · {g}^{k} ≡ {r} mod {m}$.", _("Substituted."))


def squares(problem: Squares | QuadraticResidues, _answer: object) -> Iterator[Block]:
    m = problem.modulus
    if m <= TABLED:
        rows = [[f"${x}$", f"${x * x % m}$"] for x in range(m // 2 + 1)]
        yield paragraph(
            _("$-x$ has the square of $x$: half of the residues are enough."), _("All squares.")
        )
        yield table(["$x$", _("$x^2$ modulo ${m}$").format(m=m)], rows, True)


def units(problem: Units | ZeroDivisors, answer: ResidueSet) -> Iterator[Block]:
    m = problem.modulus
    n = sum(gcd(x, m) == 1 for x in range(m))
    yield paragraph(
        _("${n}$ residues are coprime to ${m}$; the answer lists ${k}$.").format(
            n=n, m=m, k=answer.count
        ),
        _("Counted."),
    )


def phi(problem: EulerPhi, answer: Value) -> Iterator[Block]:
    found = factorised(problem.number) or ()
    if found:
        written = " · ".join(f"{p}^{k}" if k > 1 else f"{p}" for p, k in found)
        values = " · ".join(str((p - 1) * p ** (k - 1)) for p, k in found)
        yield paragraph(
            f"${problem.number} = {written}$; ${values} = {answer.value}$.", _("By prime powers.")
        )


def inverses(problem: Inverses, answer: Pairs) -> Iterator[Block]:
    m = problem.modulus
    rows = [[f"${a}$", f"${b}$", f"${a * b} = {a * b // m} · {m} + {a * b % m}$"]
            for a, b in answer.pairs]  # fmt: skip
    if rows:
        yield table([_("residue"), _("inverse"), _("product")], rows, True)


def isbn(problem: IsbnDigit | IsbnTest, answer: Value | Truth) -> Iterator[Block]:
    """Weights 10, 9, ..., 1 modulo 11, or 1, 3, 1, 3, ... modulo 10."""
    text = problem.text
    if isinstance(answer, Value):
        text = text.replace("?", "X" if answer.value == 10 else str(answer.value))
    digits = [10 if c == "X" else int(c) for c in text]
    m = 11 if len(digits) == 10 else 10
    weights = range(10, 0, -1) if m == 11 else (1, 3) * 6 + (1,)
    total = sum(w * d for w, d in zip(weights, digits, strict=True))
    yield paragraph(
        _("The weighted sum of {text} is ${s} = {q} · {m} + {r}$.").format(
            text=text, s=total, q=total // m, m=m, r=total % m
        ),
        _("Check digit."),
    )


def iban(problem: IbanDigits | IbanTest, answer: Value | Truth) -> Iterator[Block]:
    """The first four characters last, letters as 10 to 35: the number is 1 modulo 97."""
    text = problem.text
    if isinstance(answer, Value):
        n = text.count("?")
        text = text.replace("?" * n, f"{answer.value:0{n}d}")
    number = int("".join(str(int(c, 36)) for c in text[4:] + text[:4]))
    yield paragraph(
        _("{text}, its first four characters moved to the end, gives ${n}$: ${r}$ modulo $97$.")
        .format(text=text, n=number, r=number % 97),
        _("Check digits."),
    )  # fmt: skip


Certificate = Callable[[Any, Any], Iterator[Block]]

CERTIFICATES: dict[type[Any], Certificate] = {
    InverseModulo: inverse,
    OrderModulo: order,
    PrimitiveRoots: primitive_roots,
    LeastPrimitiveRoot: least_primitive_root,
    PrimitiveRootTest: primitive_root_test,
    IndexModulo: index,
    SymbolValue: symbol,
    SquareTest: square_test,
    LinearPair: pair,
    PowerModulo: power,
    PowerByIndices: by_indices,
    ExponentialCongruence: exponential,
    Squares: squares,
    QuadraticResidues: squares,
    Units: units,
    ZeroDivisors: units,
    EulerPhi: phi,
    Inverses: inverses,
    IsbnDigit: isbn,
    IsbnTest: isbn,
    IbanDigits: iban,
    IbanTest: iban,
}
"""What can be checked by hand beside a congruence, by kind."""
