"""The second part of a worked solution: roots modulo a prime, one function a method."""

from collections.abc import Callable, Iterator
from typing import Any

from itembank.kinds.polynomial.steps import (
    Constant,
    Isolate,
    Method,
    RootsModPrime,
    Splitting,
    Square,
    Trial,
    ZeroProduct,
)
from itembank.kinds.polynomial.worked.phrases import roots_told
from itembank.kinds.wording import (
    Piece,
    equal_to,
    fits,
    flowing,
    listing,
    polynomial,
    residue_chain,
)
from itembank.languages.words import _
from itembank.maths.polynomials import value
from itembank.notation.prose import display, table
from itembank.notation.tree import Block

TRIED_IN_A_SENTENCE = 7
"""Up to this prime the values tried stand in a sentence; beyond it in a table."""

COLUMNS = 16
"""The widest table of values."""

SQUARES_LISTED = 31
"""Up to this prime a non-square is shown by the list of squares."""


def roots_modulo_prime(step: RootsModPrime) -> Iterator[Block]:
    yield from flowing(
        [*reduction(step), *METHODS[type(step.method)](step, step.method)],
        _("Modulo {p}.").format(p=step.p),
    )


def reduction(step: RootsModPrime) -> Iterator[Piece]:
    """f(x) ≡ x^2 + 2 (mod 3), unless nothing changes or f is used as it stands."""
    as_it_stands = isinstance(step.method, ZeroProduct) or is_a_square_alone(step)
    if step.g != step.f and not as_it_stands:
        yield _("$f(x) ≡ {g} (mod {p})$.").format(g=polynomial(step.g), p=step.p)


def is_a_square_alone(step: RootsModPrime) -> bool:
    """Whether f is x^2 - c as it stands and its roots are taken as square roots."""
    return isinstance(step.method, Square) and len(step.f) == 3 and step.f[1:] == (0, 1)


def constant(step: RootsModPrime, method: Constant) -> Iterator[Piece]:
    yield _(
        "The unknown has dropped out, and {c} is not divisible by {p}: there is no root."
    ).format(c=method.c, p=step.p)


# ------------------------------------------------------------ trial


def trial(step: RootsModPrime, method: Trial) -> Iterator[Piece]:
    p = step.p
    if p <= TRIED_IN_A_SENTENCE:
        tried = range(p)
        values = ", ".join(f"${residue_chain(value(step.g, t), p)}$" for t in tried)
        yield _("Trying ${tried}$ gives {values}.").format(tried=listing(tried), values=values)
    else:
        yield _("Try every residue:")
        for start in range(0, p, COLUMNS):
            chunk = method.values[start : start + COLUMNS]
            yield table(
                ["$x$", *(f"${t}$" for t, _y in chunk)],
                [["$f(x)$", *(f"${y}$" for _t, y in chunk)]],
                row_heads=True,
            )
    if step.roots:
        yield from roots_told(step.roots, p)
    else:
        yield _("None of the values is 0: there is no root modulo {p}.").format(p=p)


# ------------------------------------------------------------ degree 1


def isolate(step: RootsModPrime, method: Isolate) -> Iterator[Piece]:
    p = step.p
    right = residue_chain(-method.b, p)
    if method.a == 1:
        yield _("So $x ≡ {right} (mod {p})$.").format(right=right, p=p)
        return
    yield _("That is ${left} ≡ {right} (mod {p})$.").format(
        left=polynomial((0, method.a)), right=right, p=p
    )
    if not method.b:
        yield _("Since {a} is not divisible by {p}, $x ≡ 0 (mod {p})$.").format(a=method.a, p=p)
        return
    b = -method.b % p
    yield inverse_told(method.a, method.inverse, p)
    yield _("So $x ≡ {i} · {b} {value} (mod {p})$.").format(
        i=method.inverse, b=b, value=equal_to(b * method.inverse, p), p=p
    )


def inverse_told(a: int, inverse: int, p: int) -> str:
    return _("The inverse of {a} is {i}, since ${a} · {i} {one}$.").format(
        a=a, i=inverse, one=equal_to(a * inverse, p)
    )


# ------------------------------------------------------------ degree 2


def zero_product(step: RootsModPrime, method: ZeroProduct) -> Iterator[Piece]:
    u, v, p = method.u, method.v, step.p
    if u == v:
        factors = f"({polynomial((-u, 1))})^2"
    else:
        factors = "".join(f"({polynomial((-w, 1))})" if w else "x" for w in (u, v))
    yield _(
        "Over the integers $f(x) = {factors}$. A product is divisible by the prime {p} only if one "
        "of its factors is."
    ).format(factors=factors, p=p)
    if u < 0 or v >= p:
        solutions = (f"$x ≡ {residue_chain(w, p)} (mod {p})$" for w in dict.fromkeys((u, v)))
        yield _("So {solutions}.").format(solutions=_(" or ").join(solutions))
    else:
        yield from roots_told(step.roots, p)


def square(step: RootsModPrime, method: Square) -> Iterator[Piece]:
    """Complete the square, then take roots."""
    p, b, c, h = step.p, method.b, method.c, method.h
    if method.a != 1:
        yield inverse_told(method.a, method.a_inverse, p)
        yield _("Multiplying by it gives ${monic} ≡ 0 (mod {p})$.").format(
            monic=polynomial((c, b, 1)), p=p
        )
    if not b:
        if is_a_square_alone(step):
            text, right = _("The congruence reads $x^2 ≡ {s} (mod {p})$."), -step.f[0]
        else:
            text, right = _("That is $x^2 ≡ {s} (mod {p})$."), -c
        yield text.format(s=residue_chain(right, p), p=p)
        yield from square_roots(step, method, "x")
        return
    yield _("Complete the square.")
    if b % 2:
        half = (p + 1) // 2
        yield _("Half of {b} is ${b} · {half} {value}$, since $2 · {half} {one}$.").format(
            b=b, half=half, value=equal_to(b * half, p), one=equal_to(2 * half, p)
        )
    y = polynomial((h, 1))
    yield expansion(method, p, y)
    yield display(f"({y})^2 ≡ {right_side(h * h % p, c, p)} (mod {p})")
    yield from square_roots(step, method, y)


def expansion(method: Square, p: int, y: str) -> str:
    """(x + 11)^2 = x^2 + 22x + 121 ≡ x^2 + 9x + 4."""
    b, h = method.b, method.h
    expanded, reduced = polynomial((h * h, 2 * h, 1)), polynomial((h * h % p, b, 1))
    if not fits(h * h):
        chain = f"≡ {reduced}"
    else:
        chain = f"= {expanded}" + ("" if expanded == reduced else f" ≡ {reduced}")
    return _("$({y})^2 {chain}$, so the congruence becomes").format(y=y, chain=chain)


def right_side(square_of_h: int, c: int, p: int) -> str:
    """4 - 5 = -1 ≡ 12."""
    if not c:
        return str(square_of_h)
    return f"{square_of_h} - {c} {equal_to(square_of_h - c, p)}"


def square_roots(step: RootsModPrime, method: Square, y: str) -> Iterator[Piece]:
    """From y^2 = s to the roots, or why there is none."""
    p, s, h, root = step.p, method.s, method.h, method.root
    if root is None:
        yield no_square(s, p)
        return
    if s == 0:
        yield _("A square is divisible by the prime {p} only if its base is: ${y} ≡ 0$.").format(
            p=p, y=y
        )
        yield from roots_told(step.roots, p)
        return
    if p > SQUARES_LISTED:
        yield square_root_found(s, root, p)
    yield _("${root}^2 {square}$, so ${y} ≡ ±{root} (mod {p})$.").format(
        root=root, square=equal_to(root * root, p), y=y, p=p
    )
    if not h:
        yield from roots_told(step.roots, p)
        return
    yield _(
        "Hence $x ≡ {root} - {h} {first} (mod {p})$ or $x ≡ -{root} - {h} {second} (mod {p})$."
    ).format(root=root, h=h, p=p, first=equal_to(root - h, p), second=equal_to(-root - h, p))


def square_root_found(s: int, root: int, p: int) -> str:
    """Where a square root comes from that nobody sees at once."""
    if p % 4 != 3:
        return _("A search, or the Tonelli-Shanks algorithm, finds {root}:").format(root=root)
    exponent = (p + 1) // 4
    power = pow(s, exponent, p)
    return _(
        "As $p = {p} ≡ 3 (mod 4)$, the power of {s} with the exponent $(p + 1)/4 = {exponent}$ is "
        "a square root: ${s}^{exponent} ≡ {chain} (mod {p})$."
    ).format(
        p=p,
        s=s,
        exponent=exponent,
        chain=power if power == root else f"{power} ≡ -{root}",
    )


def no_square(s: int, p: int) -> str:
    """Why s is no square modulo p: the list of squares for a small p, else Euler's criterion."""
    if p <= SQUARES_LISTED:
        squares = listing(sorted({t * t % p for t in range(p)}))
        return _(
            "The squares modulo {p} are ${squares}$; {s} is not among them, so there is no root."
        ).format(p=p, squares=squares, s=s)
    return _(
        "If {s} were a square modulo {p}, its power with exponent ${half}$ would be 1, by Euler's "
        "criterion. But ${s}^({half}) ≡ -1 (mod {p})$: there is no root."
    ).format(s=s, p=p, half=(p - 1) // 2)


# ------------------------------------------------------------ large primes


def splitting(step: RootsModPrime, method: Splitting) -> Iterator[Piece]:
    p = step.p
    yield _(
        "To try every residue would take long. Modulo {p} the polynomial $x^{p} - x$ is the "
        "product of all $x - r$, so the roots of $f$ are those of its greatest common divisor with "
        "$f$, which is ${common}$."
    ).format(p=p, common=polynomial(method.common))
    if not step.roots:
        yield _("It has no unknown left: there is no root modulo {p}.").format(p=p)
        return
    if len(step.roots) > 1:
        product = "".join(f"({polynomial((-r, 1))})" if r else "x" for r in step.roots)
        yield _("It splits into ${product}$.").format(product=product)
    yield from roots_told(step.roots, p)


METHODS: dict[type[Method], Callable[[RootsModPrime, Any], Iterator[Piece]]] = {
    Constant: constant,
    Trial: trial,
    Isolate: isolate,
    ZeroProduct: zero_product,
    Square: square,
    Splitting: splitting,
}
"""How each method is told."""
