"""How the steps of "is a a square modulo m" are told."""

from collections.abc import Iterator

from itembank.kinds.factoring import trial_told
from itembank.kinds.polynomial.telling.phrases import perfect_power
from itembank.kinds.square_test.steps import (
    Local,
    OddPower,
    OddPrime,
    SeenSquare,
    TwoPower,
    Verdict,
    ZeroLocal,
)
from itembank.kinds.squares.steps import SplitModulus
from itembank.kinds.symbol.telling import jacobi_said, rules_table, symbol
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Told, each, lead, say
from itembank.notation.building import factored_modulus, listed, power
from itembank.notation.tree import Math, Number

_SHORT = 10**6
"""Prime powers up to here are written in digits."""


def _in_short(p: int, k: int) -> Math:
    """p^k, in digits where it is small."""
    return Number(p**k) if p**k <= _SHORT else power(p, k)


def _conclusion(step: Local) -> Said:
    """The sentence that ends a test."""
    q = _in_short(step.p, step.k)
    if step.holds:
        return say("So ${a}$ is a square modulo {q}.", a=step.a, q=q)
    return say("So ${a}$ is not a square modulo {q}.", a=step.a, q=q)


def _split_modulus(step: SplitModulus) -> Iterator[Told]:
    m, product = step.m, factored_modulus(step.factors)
    yield lead("Split the modulus.")
    yield from trial_told(m, step.factors)
    if len(step.factors) == 1:
        yield say("${m} = {product}$ is a power of a prime.", m=m, product=product)
        return
    yield say("${m} = {product}$.", m=m, product=product)
    yield say(
        "By the Chinese remainder theorem a number is a square modulo {m} if and only if it is a "
        "square modulo {parts}.",
        m=m,
        parts=each(_in_short(p, k) for p, k in step.factors),
    )


def _seen_square(step: SeenSquare) -> Iterator[Told]:
    yield lead("A perfect power.")
    yield from _reduced_modulo(step.a, step.r, step.m)
    yield perfect_power(step.r, step.root, 2, step.m)


def _reduced_modulo(a: int, r: int, m: int) -> Iterator[Told]:
    if a != r:
        yield say("${a} ≡ {r} (mod {q})$.", a=a, r=r, q=m)


def _zero_local(step: ZeroLocal) -> Iterator[Told]:
    q = _in_short(step.p, step.k)
    yield lead("Modulo {q}.", q=q)
    yield say("${a} ≡ 0 (mod {q})$, and $0 = 0^2$ is a square.", a=step.a, q=q)


def _odd_power(step: OddPower) -> Iterator[Told]:
    p, k, e = step.p, step.k, step.e
    q, high = _in_short(p, k), _in_short(p, e + 1)
    yield lead("Modulo {q}.", q=q)
    yield from _reduced(step)
    yield say(
        "${r}$ is a multiple of ${low}$, but not of ${high}$.",
        r=step.r,
        low=_in_short(p, e),
        high=high,
    )
    if e == 1:
        yield say(
            "The square of a multiple of {p} is a multiple of {high}, and stays one modulo {q}.",
            p=p,
            high=high,
            q=q,
        )
    else:
        yield say(
            "A square holds {p} to an even power, and modulo {q} it keeps that power as long as it "
            "is below {q}.",
            p=p,
            q=q,
        )
    yield _conclusion(step)


def _reduced(step: Local) -> Iterator[Told]:
    """a ≡ r (mod q), unless a is its own residue."""
    if step.a != step.r:
        yield say("${a} ≡ {r} (mod {q})$.", a=step.a, r=step.r, q=_in_short(step.p, step.k))


def _even_power(step: TwoPower | OddPrime) -> Iterator[Told]:
    """That r = p^e u with e even comes down to u modulo p^(k - e)."""
    p, e, u = step.p, step.e, step.u
    if u == 1:
        yield say("${r} = {p}^{e}$ is an even power.", r=step.r, p=p, e=e)
        return
    yield say("${r} = {p}^{e} · {u}$.", r=step.r, p=p, e=e, u=u)
    yield say(
        "The even power ${p}^{e}$ is a square, so the question is whether {u} is a square modulo "
        "{q}.",
        p=p,
        e=e,
        u=u,
        q=_in_short(p, step.k - e),
    )


def _two_power(step: TwoPower) -> Iterator[Told]:
    yield lead("Modulo {q}.", q=_in_short(2, step.k))
    if step.e:
        yield from _reduced(step)
        yield from _even_power(step)
    if step.e == 0 or step.u > 1:
        yield _square_of_an_odd_number(step.u if step.e else step.a, step.n)
    yield _conclusion(step)


def _square_of_an_odd_number(u: int, n: int) -> Said:
    """Whether an odd u is a square modulo 2^n, n at most 3."""
    if n == 1:
        return say("Modulo 2 every odd number is a square.")
    if n == 2:
        return say(
            "An odd number is a square modulo 4 if and only if it is 1 modulo 4; ${u}$ is {v} "
            "modulo 4.",
            u=u,
            v=u % 4,
        )
    return say(
        "An odd number is a square modulo 8, or modulo a higher power of 2, if and only if it is 1 "
        "modulo 8; ${u}$ is {v} modulo 8.",
        u=u,
        v=u % 8,
    )


def _odd_prime(step: OddPrime) -> Iterator[Told]:
    p, k, e, u = step.p, step.k, step.e, step.u
    yield lead("Modulo {q}.", q=_in_short(p, k))
    yield from _reduced(step)
    if e:
        yield from _even_power(step)
    if e == 0 or u > 1:
        yield from _square_of_a_unit(step)
    yield _conclusion(step)


def _square_of_a_unit(step: OddPrime) -> Iterator[Told]:
    """Whether u is a square modulo p^(k - e), which is decided modulo p."""
    p, u, n = step.p, step.u, step.k - step.e
    if n > 1:
        yield say(
            "A number that is not a multiple of {p} is a square modulo {q} if and only if it is "
            "one modulo {p}, since its square roots lift.",
            p=p,
            q=_in_short(p, n),
        )
    if u >= p:
        yield say("${u} ≡ {v} (mod {p})$.", u=u, v=u % p, p=p)
    if step.squares:
        yield _among_the_squares(step)
        return
    yield say("Legendre's symbol decides.")
    yield from jacobi_said(step.rules)
    yield rules_table(step.rules)
    yield say("${symbol} = {s}$.", symbol=symbol(u % p, p), s=1 if step.holds else -1)


def _among_the_squares(step: OddPrime) -> Said:
    """The squares modulo p, and whether u is among them."""
    p, v, squares = step.p, step.u % step.p, listed(step.squares)
    if len(step.squares) == 1:
        return say("The only square modulo {p} other than 0 is ${squares}$.", p=p, squares=squares)
    if step.holds:
        return say(
            "The squares modulo {p} other than 0 are ${squares}$, and {v} is among them.",
            p=p,
            squares=squares,
            v=v,
        )
    return say(
        "The squares modulo {p} other than 0 are ${squares}$; {v} is not among them.",
        p=p,
        squares=squares,
        v=v,
    )


def _verdict(step: Verdict) -> Iterator[Told]:
    a, m = step.a, step.m
    yield lead("Answer.")
    if step.failed is None:
        yield say("${a}$ is a square modulo {m}.", a=a, m=m)
        if step.root is not None:
            yield _root_shown(step.root, a, m)
        return
    p, k = step.failed
    if p**k == m:
        yield say("${a}$ is not a square modulo {m}.", a=a, m=m)
    else:
        yield say(
            "${a}$ is not a square modulo {q}, and hence not modulo {m}.",
            a=a,
            q=_in_short(p, k),
            m=m,
        )
    if step.jacobi == 1:
        yield say(
            "The Jacobi symbol {symbol} is 1 all the same: its factors −1 come in pairs.",
            symbol=symbol(a, m),
        )


def _root_shown(root: int, a: int, m: int) -> Said:
    if root**2 == a:
        return say("Indeed ${root}^2 = {a}$.", root=root, a=a)
    return say("Indeed ${root}^2 = {square} ≡ {a} (mod {m})$.", root=root, square=root**2, a=a, m=m)


TELLING: Tellers = {
    SplitModulus: _split_modulus,
    SeenSquare: _seen_square,
    ZeroLocal: _zero_local,
    OddPower: _odd_power,
    TwoPower: _two_power,
    OddPrime: _odd_prime,
    Verdict: _verdict,
}
"""How each step is told."""
