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
from itembank.kinds.polynomial.telling.phrases import (
    X,
    reduced_to,
    related,
    residue_shown,
    roots_told,
)
from itembank.kinds.wording import fits
from itembank.languages import Said, Told, each, either, grid, lead, say, shown
from itembank.maths.polynomials import value
from itembank.notation.building import (
    applied,
    difference,
    dotted,
    equal,
    linear_factors,
    listed,
    polynomial,
    power,
)
from itembank.notation.tree import Math, Modulo, Number, Relation, Sum

TRIED_IN_A_SENTENCE = 7
"""Up to this prime the values tried stand in a sentence; beyond it in a table."""

COLUMNS = 16
"""The widest table of values."""

SQUARES_LISTED = 31
"""Up to this prime a non-square is shown by the list of squares."""


def roots_modulo_prime(step: RootsModPrime) -> Iterator[Told]:
    yield lead("Modulo {p}.", p=step.p)
    yield from reduction(step)
    yield from METHODS[type(step.method)](step, step.method)


def reduction(step: RootsModPrime) -> Iterator[Told]:
    """f(x) ≡ x^2 + 2 (mod 3), unless nothing changes or f is used as it stands."""
    as_it_stands = isinstance(step.method, ZeroProduct) or is_a_square_alone(step)
    if step.g != step.f and not as_it_stands:
        yield say("$f(x) ≡ {g} (mod {p})$.", g=polynomial(step.g), p=step.p)


def is_a_square_alone(step: RootsModPrime) -> bool:
    """Whether f is x^2 - c as it stands and its roots are taken as square roots."""
    return isinstance(step.method, Square) and len(step.f) == 3 and step.f[1:] == (0, 1)


def constant(step: RootsModPrime, method: Constant) -> Iterator[Told]:
    yield say(
        "The unknown has dropped out, and {c} is not divisible by {p}: there is no root.",
        c=method.c,
        p=step.p,
    )


# ------------------------------------------------------------ trial


def trial(step: RootsModPrime, method: Trial) -> Iterator[Told]:
    p = step.p
    if p <= TRIED_IN_A_SENTENCE:
        yield say(
            "Trying ${tried}$ gives {values}.",
            tried=listed(range(p)),
            values=each(residue_shown(value(step.g, t), p) for t in range(p)),
        )
    else:
        yield say("Try every residue:")
        for start in range(0, p, COLUMNS):
            chunk = method.values[start : start + COLUMNS]
            yield grid(
                [X, *(t for t, _y in chunk)],
                [[applied("f", X), *(y for _t, y in chunk)]],
                row_heads=True,
            )
    if step.roots:
        yield from roots_told(step.roots, p)
    else:
        yield say("None of the values is 0: there is no root modulo {p}.", p=p)


# ------------------------------------------------------------ degree 1


def isolate(step: RootsModPrime, method: Isolate) -> Iterator[Told]:
    p, a, i = step.p, method.a, method.inverse
    right = residue_shown(-method.b, p)
    if a == 1:
        yield say("So $x ≡ {right} (mod {p})$.", right=right, p=p)
        return
    yield say("That is ${a}x ≡ {right} (mod {p})$.", a=a, right=right, p=p)
    if not method.b:
        yield say("Since {a} is not divisible by {p}, $x ≡ 0 (mod {p})$.", a=a, p=p)
        return
    b = -method.b % p
    yield inverse_told(a, i, p)
    yield say("So $x ≡ {product} (mod {p})$.", product=product_shown(i, b, p), p=p)


def inverse_told(a: int, inverse: int, p: int) -> Said:
    return say(
        "The inverse of {a} is {inverse}, since ${product}$.",
        a=a,
        inverse=inverse,
        product=product_shown(a, inverse, p),
    )


def product_shown(a: int, b: int, p: int) -> Math:
    """9 · 7 = 63 ≡ 11."""
    return reduced_to(dotted((a, b)), a * b, p)


# ------------------------------------------------------------ degree 2


def zero_product(step: RootsModPrime, method: ZeroProduct) -> Iterator[Told]:
    u, v, p = method.u, method.v, step.p
    yield say(
        "Over the integers $f(x) = {factors}$. A product is divisible by the prime {p} only if one "
        "of its factors is.",
        factors=linear_factors((u, v)),
        p=p,
    )
    if u < 0 or v >= p:
        solutions = [related(X, "≡", residue_shown(w, p)) for w in dict.fromkeys((u, v))]
        yield say("So {solutions}.", solutions=either(modulo_p(s, p) for s in solutions))
    else:
        yield from roots_told(step.roots, p)


def square(step: RootsModPrime, method: Square) -> Iterator[Told]:
    """Complete the square, then take roots."""
    p, b, c, h = step.p, method.b, method.c, method.h
    if method.a != 1:
        yield inverse_told(method.a, method.a_inverse, p)
        yield say(
            "Multiplying by it gives ${monic} ≡ 0 (mod {p})$.", monic=polynomial((c, b, 1)), p=p
        )
    if not b:
        if is_a_square_alone(step):
            s = residue_shown(-step.f[0], p)
            yield say("The congruence reads $x^2 ≡ {s} (mod {p})$.", s=s, p=p)
        else:
            yield say("That is $x^2 ≡ {s} (mod {p})$.", s=residue_shown(-c, p), p=p)
        yield from square_roots(step, method, X)
        return
    yield say("Complete the square.")
    if b % 2:
        half = (p + 1) // 2
        yield say(
            "Half of {b} is ${product}$, since ${one}$.",
            b=b,
            product=product_shown(b, half, p),
            one=product_shown(2, half, p),
        )
    y = polynomial((h, 1))
    yield say("${square}$, so the congruence becomes", square=expansion(method, p, y))
    yield shown(modulo_p(related(power(y, 2), "≡", right_side(h * h % p, c, p)), p))
    yield from square_roots(step, method, y)


def expansion(method: Square, p: int, y: Math) -> Math:
    """(x + 11)^2 = x^2 + 22x + 121 ≡ x^2 + 9x + 4."""
    b, h = method.b, method.h
    reduced = polynomial((h * h % p, b, 1))
    if not fits(h * h):
        return related(power(y, 2), "≡", reduced)
    expanded = polynomial((h * h, 2 * h, 1))
    if expanded == reduced:
        return equal(power(y, 2), expanded)
    return Relation((power(y, 2), expanded, reduced), ("=", "≡"))


def right_side(square_of_h: int, c: int, p: int) -> Math:
    """4 - 5 = -1 ≡ 12."""
    if not c:
        return Number(square_of_h)
    return reduced_to(difference(square_of_h, c), square_of_h - c, p)


def square_roots(step: RootsModPrime, method: Square, y: Math) -> Iterator[Told]:
    """From y^2 = s to the roots, or why there is none."""
    p, s, h, root = step.p, method.s, method.h, method.root
    if root is None:
        yield no_square(s, p)
        return
    if s == 0:
        yield say(
            "A square is divisible by the prime {p} only if its base is: ${y} ≡ 0$.", p=p, y=y
        )
        yield from roots_told(step.roots, p)
        return
    if p > SQUARES_LISTED:
        yield square_root_found(s, root, p)
    yield say(
        "${square}$, so ${y} ≡ ±{root} (mod {p})$.",
        square=reduced_to(power(root, 2), root * root, p),
        y=y,
        root=root,
        p=p,
    )
    if not h:
        yield from roots_told(step.roots, p)
        return
    yield say(
        "Hence $x ≡ {first} (mod {p})$ or $x ≡ {second} (mod {p})$.",
        first=reduced_to(difference(root, h), root - h, p),
        second=reduced_to(Sum(((-1, Number(root)), (-1, Number(h)))), -root - h, p),
        p=p,
    )


def square_root_found(s: int, root: int, p: int) -> Said:
    """Where a square root comes from that nobody sees at once."""
    if p % 4 != 3:
        return say("A search, or the Tonelli-Shanks algorithm, finds {root}:", root=root)
    exponent = (p + 1) // 4
    found = Number(pow(s, exponent, p))
    return say(
        "As $p = {p} ≡ 3 (mod 4)$, the power of {s} with the exponent $(p + 1)/4 = {exponent}$ is "
        "a square root: ${s}^{exponent} ≡ {root} (mod {p})$.",
        p=p,
        s=s,
        exponent=exponent,
        root=found if found.value == root else related(found, "≡", Number(-root)),
    )


def no_square(s: int, p: int) -> Said:
    """Why s is no square modulo p: the list of squares for a small p, else Euler's criterion."""
    if p <= SQUARES_LISTED:
        return say(
            "The squares modulo {p} are ${squares}$; {s} is not among them, so there is no root.",
            p=p,
            squares=listed(sorted({t * t % p for t in range(p)})),
            s=s,
        )
    return say(
        "If {s} were a square modulo {p}, its power with exponent ${half}$ would be 1, by Euler's "
        "criterion. But ${s}^{half} ≡ -1 (mod {p})$: there is no root.",
        s=s,
        p=p,
        half=(p - 1) // 2,
    )


def modulo_p(relation: Relation, p: int) -> Math:
    return Modulo(relation, Number(p))


# ------------------------------------------------------------ large primes


def splitting(step: RootsModPrime, method: Splitting) -> Iterator[Told]:
    p = step.p
    yield say(
        "To try every residue would take long. Modulo {p} the polynomial $x^{p} - x$ is the "
        "product of all $x - r$, so the roots of $f$ are those of its greatest common divisor with "
        "$f$, which is ${common}$.",
        p=p,
        common=polynomial(method.common),
    )
    if not step.roots:
        yield say("It has no unknown left: there is no root modulo {p}.", p=p)
        return
    if len(step.roots) > 1:
        yield say("It splits into ${product}$.", product=linear_factors(step.roots))
    yield from roots_told(step.roots, p)


METHODS: dict[type[Method], Callable[[RootsModPrime, Any], Iterator[Told]]] = {
    Constant: constant,
    Trial: trial,
    Isolate: isolate,
    ZeroProduct: zero_product,
    Square: square,
    Splitting: splitting,
}
"""How each method is told."""
