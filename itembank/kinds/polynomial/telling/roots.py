"""The second part of a worked solution: roots modulo a prime, one function a method."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from itembank.kinds.linear.isolating import isolated
from itembank.kinds.polynomial.steps import (
    Constant,
    Isolate,
    Method,
    PlainRoot,
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
from itembank.maths.polynomials import Poly, value
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import (
    added,
    applied,
    bracketed,
    difference,
    dotted,
    equal,
    linear_factors,
    listed,
    polynomial,
    power,
)
from itembank.notation.tree import Math, Minus, Modulo, Number, Power, Product, Relation, Sum

TRIED_IN_A_SENTENCE = 7
"""Up to this prime the values tried stand in a sentence; beyond it in a table."""

COLUMNS = 16
"""The widest table of values."""

SQUARES_LISTED = 31
"""Up to this prime a non-square is shown by the list of squares ..."""

SQUARED_OUT = 10**6
"""... and up to this one by Euler's criterion with its squarings."""

ADDED = 6
"""A square that appears after the prime is added so often is reached one by one ..."""

ADDED_SHORTLY = 50
"""... and one that appears later by the number of times."""


def roots_modulo_prime(step: RootsModPrime) -> Iterator[Told]:
    yield lead("Modulo {p}.", p=step.p)
    yield from reduction(step)
    yield from METHODS[type(step.method)](step, step.method)


def reduction(step: RootsModPrime) -> Iterator[Told]:
    """f(x) ≡ x^2 - 1 (mod 3), unless nothing changes or f is used as it stands."""
    as_it_stands = isinstance(step.method, ZeroProduct) or is_a_square_alone(step)
    if near(step.g, step.p) != step.f and not as_it_stands:
        yield say("$f(x) ≡ {g} (mod {p})$.", g=polynomial(near(step.g, step.p)), p=step.p)


def near(g: Poly, p: int) -> Poly:
    """The polynomial with the coefficients nearest to 0."""
    return tuple(nearest_residue(c, p) for c in g)


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
    p, g = step.p, near(step.g, step.p)
    if p <= TRIED_IN_A_SENTENCE:
        yield say(
            "Trying ${tried}$ gives {values}.",
            tried=listed(range(p)),
            values=each(residue_shown(value(g, t), p) for t in range(p)),
        )
    else:
        yield say("Try every residue:")
        for start in range(0, p, COLUMNS):
            chunk = method.values[start : start + COLUMNS]
            yield grid(
                [X, *(t for t, _y in chunk)],
                [[say("$f(x)$ modulo {p}", p=p), *(y for _t, y in chunk)]],
                row_heads=True,
            )
    if step.roots:
        yield from roots_told(step.roots, p)
    else:
        yield say("None of the values is 0: there is no root modulo {p}.", p=p)


# ------------------------------------------------------------ degree 1


def isolate(step: RootsModPrime, method: Isolate) -> Iterator[Told]:
    way = method.way
    if way.a == 1:
        yield say(
            "So $x ≡ {right} (mod {p})$.",
            right=residue_shown(-near(step.g, way.m)[0], way.m) if step.g[0] else 0,
            p=way.m,
        )
        return
    yield say("That is ${a}x ≡ {right} (mod {p})$.", a=way.a, right=way.b, p=way.m)
    yield from isolated(way, X.name)


def inverse_told(a: int, inverse: int, p: int) -> Said:
    return say(
        "The inverse of ${a}$ is ${inverse}$, since ${product}$.",
        a=a,
        inverse=inverse,
        product=product_shown(a, inverse, p),
    )


def product_shown(a: int, b: int, p: int) -> Math:
    """9 · 7 = 63 ≡ 11."""
    return reduced_to(dotted((a, b)), a * b, p)


# ------------------------------------------------------------ degree 2


def zero_product(step: RootsModPrime, method: ZeroProduct) -> Iterator[Told]:
    p, roots = step.p, method.roots
    if not method.factored:
        yield say(
            "Over the integers $f(x) = {factors}$. A product is divisible by a prime only if one "
            "of its factors is.",
            factors=factors_shown(roots, method.lead),
        )
    if any(not 0 <= u < p for u in roots):
        apart = {u % p: u for u in sorted(roots, key=abs, reverse=True)}
        solutions = [related(X, "≡", residue_shown(apart[r], p)) for r in step.roots]
        yield say("So {solutions}.", solutions=either(modulo_p(s, p) for s in solutions))
    else:
        yield from roots_told(step.roots, p)


def factors_shown(roots: Sequence[int], lead: int) -> Math:
    """-2x(x - 1)^2(x + 5): the product with these roots."""
    factors: list[Math] = []
    for u in sorted(set(roots), key=lambda u: (u != 0, u)):
        base, times = bracketed(polynomial((-u, 1))), roots.count(u)
        factors.append(base if times == 1 else Power(base, Number(times)))
    product = Product(tuple(factors)) if len(factors) > 1 else factors[0]
    if lead == 1:
        return product
    if lead == -1:
        return Minus(product)
    return Product((Number(lead), *factors))


def plain_root(step: RootsModPrime, method: PlainRoot) -> Iterator[Told]:
    """x = 1 is a root, so f(x) ≡ (x - 1)(x + 10), and one of the factors is divisible by p."""
    p, r, way = step.p, method.r, method.way
    rest = polynomial((method.b, method.a))
    if r:
        yield say(
            "One root is seen: ${value}$. So $f(x) ≡ {factors} (mod {p})$.",
            value=zero_at(step, r),
            p=p,
            factors=Product((bracketed(polynomial((-r, 1))), bracketed(rest))),
        )
    else:
        yield say("So $f(x) ≡ {factors} (mod {p})$.", factors=Product((X, bracketed(rest))), p=p)
    yield say(
        "A product is divisible by the prime {p} only if one of its factors is: "
        "$x ≡ {first} (mod {p})$ or ${ax} ≡ {right} (mod {p})$.",
        p=p,
        first=residue_shown(r, p),
        ax=polynomial((0, method.a)),
        right=residue_shown(-method.b, p) if method.a == 1 else -method.b,
    )
    if method.a != 1:
        yield from isolated(replace(way, a=method.a, small=method.a, b=-method.b), X.name)
        yield from roots_told(step.roots, p)


def zero_at(step: RootsModPrime, r: int) -> Math:
    """f(1) = 0; f(-1) = 26 ≡ 0 (mod 13)."""
    at_root = value(step.f, r)
    if not at_root:
        return equal(applied("f", r), 0)
    return modulo_p(related(applied("f", r), "=", related(Number(at_root), "≡", Number(0))), step.p)


def square(step: RootsModPrime, method: Square) -> Iterator[Told]:
    """Complete the square, then take roots."""
    p, b, c = step.p, method.b, method.c
    if method.a != 1:
        yield inverse_told(nearest_residue(method.a, p), method.a_inverse, p)
        yield say(
            "Multiplying by it gives ${monic} ≡ 0 (mod {p})$.",
            monic=polynomial(near((c, b, 1), p)),
            p=p,
        )
    if not b:
        if is_a_square_alone(step):
            s = residue_shown(-step.f[0], p)
            yield say("The congruence reads $x^2 ≡ {s} (mod {p})$.", s=s, p=p)
        else:
            yield say(
                "That is $x^2 ≡ {s} (mod {p})$.", s=residue_shown(-nearest_residue(c, p), p), p=p
            )
        yield from square_roots(step, method, X)
        return
    yield say("Complete the square.")
    even = 2 * method.h
    if even != nearest_residue(b, p):
        yield say(
            "To have an even coefficient, take ${even} ≡ {b} (mod {p})$: half of it is ${h}$.",
            even=even,
            b=nearest_residue(b, p),
            p=p,
            h=method.h,
        )
    y = polynomial((method.h, 1))
    yield say("${square}$, so the congruence becomes", square=expansion(method, p, y))
    right = right_side(method.h**2, nearest_residue(c, p), p)
    yield shown(modulo_p(related(power(y, 2), "≡", right), p))
    yield from square_roots(step, method, y)


def expansion(method: Square, p: int, y: Math) -> Math:
    """(x + 4)^2 = x^2 + 8x + 16."""
    h = method.h
    if fits(h * h):
        return equal(power(y, 2), polynomial((h * h, 2 * h, 1)))
    return related(power(y, 2), "≡", polynomial((h * h % p, 2 * h, 1)))


def right_side(square_of_h: int, c: int, p: int) -> Math:
    """4 - 5 = -1 ≡ 12."""
    if not fits(square_of_h):
        square_of_h %= p
    if not c:
        return residue_shown(square_of_h, p)
    return reduced_to(difference(square_of_h, c), square_of_h - c, p)


def square_roots(step: RootsModPrime, method: Square, y: Math) -> Iterator[Told]:
    """From y^2 = s to the roots, or why there is none."""
    p, s, h, root = step.p, method.s, method.h, method.root
    if root is None:
        yield from no_square(s, p)
        return
    if s == 0:
        yield say(
            "A square is divisible by the prime {p} only if its base is: ${y} ≡ 0$.", p=p, y=y
        )
        yield from roots_told(step.roots, p)
        return
    yield from square_root_found(s, root, p)
    yield say("So ${y} ≡ ±{root} (mod {p})$.", y=y, root=root, p=p)
    if not h:
        yield from roots_told(step.roots, p)
        return
    yield say(
        "Hence $x ≡ {first} (mod {p})$ or $x ≡ {second} (mod {p})$.",
        first=reduced_to(difference(root, h), root - h, p),
        second=reduced_to(Sum(((-1, Number(root)), (-1, Number(h)))), -root - h, p),
        p=p,
    )


def square_root_found(s: int, root: int, p: int) -> Iterator[Told]:
    """s is a square, or becomes one when p is added; or where a root comes from nobody sees."""
    times, square = (root * root - s) // p, power(root, 2)
    if s == 1:
        return
    if not times:
        yield say("${s} = {square}$.", s=s, square=square)
    elif times <= ADDED:
        yield say(
            "Add {p} until a square appears: ${sums}$, and ${last} = {square}$.",
            p=p,
            sums=listed(s + k * p for k in range(times + 1)),
            last=root * root,
            square=square,
        )
    elif times <= ADDED_SHORTLY:
        yield say(
            "Add {p} until a square appears: ${sum} = {square}$.",
            p=p,
            sum=equal(added((s, dotted((times, p)))), root * root),
            square=square,
        )
    elif p % 4 != 3:
        yield say(
            "A search, or the Tonelli-Shanks algorithm, finds {root}: ${square}$.",
            root=root,
            square=reduced_to(square, root * root, p),
        )
    else:
        exponent = (p + 1) // 4
        found = Number(pow(s, exponent, p))
        yield say(
            "As $p = {p} ≡ 3 (mod 4)$, the power of {s} with the exponent $(p + 1)/4 = {exponent}$ "
            "is a square root: ${s}^{exponent} ≡ {root} (mod {p})$.",
            p=p,
            s=s,
            exponent=exponent,
            root=found if found.value == root else related(found, "≡", Number(-root)),
        )


def no_square(s: int, p: int) -> Iterator[Told]:
    """Why s is no square modulo p: the list of squares for a small p, else Euler's criterion."""
    if p <= SQUARES_LISTED:
        yield say(
            "The squares modulo {p} are ${squares}$; {s} is not among them, so there is no root.",
            p=p,
            squares=listed(sorted({t * t % p for t in range(p)})),
            s=s,
        )
        return
    half, a = (p - 1) // 2, nearest_residue(s, p)
    yield say(
        "If ${a}$ were a square modulo {p}, its power with exponent ${half}$ would be 1, by "
        "Euler's criterion.",
        a=a,
        p=p,
        half=half,
    )
    if p <= SQUARED_OUT:
        yield from squarings(a, half, p)
    yield say(
        "So ${power} ≡ -1 (mod {p})$: there is no root.",
        power=Power(Number(a), Number(half)),
        p=p,
    )


def squarings(a: int, n: int, p: int) -> Iterator[Told]:
    """a^2, a^4, ... by the residues nearest to 0, and those multiplied that make up a^n."""
    known, rows = {1: a}, []
    while 2 * max(known) <= n:
        i = max(known)
        square = known[i] ** 2
        known[2 * i] = nearest_residue(square, p)
        row = related(Power(Number(a), Number(2 * i)), "=", Number(square))
        if i > 1:
            left = related(Power(Number(a), Number(2 * i)), "≡", Power(Number(known[i]), Number(2)))
            row = related(left, "=", Number(square))
        rows.append(row if square == known[2 * i] else related(row, "≡", Number(known[2 * i])))
    yield say("Modulo {p}: {squares}.", p=p, squares=each(rows))
    parts = [i for i in reversed(known) if n & i]
    if len(parts) > 1:
        yield say(
            "Since ${n} = {sum}$, the power is ${product}$.",
            n=n,
            sum=added(parts),
            product=running_product([known[i] for i in parts], p),
        )


def running_product(factors: Sequence[int], p: int) -> Math:
    """12 · 7 · 3 ≡ 10 · 3 ≡ -7: multiplied two at a time, by the residues nearest to 0."""
    sides: list[Math] = [dotted(factors)]
    rest = list(factors)
    while len(rest) > 1:
        rest[:2] = [nearest_residue(rest[0] * rest[1], p)]
        sides.append(dotted(rest) if len(rest) > 1 else Number(rest[0]))
    return Relation(tuple(sides), ("≡",) * (len(sides) - 1))


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
        common=polynomial(near(method.common, p)),
    )
    if method.powers:
        yield from powers_of_x(step, method)
    if not step.roots:
        yield say("It has no unknown left: there is no root modulo {p}.", p=p)
        return
    if len(step.roots) > 1:
        yield say("It splits into ${product}$.", product=linear_factors(step.roots))
    yield from roots_told(step.roots, p)


def powers_of_x(step: RootsModPrime, method: Splitting) -> Iterator[Told]:
    """x^p modulo f by squaring, and the divisions that give the greatest common divisor."""
    p = step.p
    yield say(
        "Modulo $f$ and {p}, each the square of the one before, times $x$ where the exponent is "
        "odd:",
        p=p,
    )
    yield grid(
        (say("power"), say("congruent modulo {p} and $f$ to", p=p)),
        [
            (Power(X, Number(e)), polynomial(near(rest, p)) if rest else 0)
            for e, rest in method.powers
        ],
    )
    if not method.divisions:
        yield say("So $x^{p} - x$ is a multiple of $f$ modulo {p}.", p=p)
        return
    yield say("Euclid's algorithm for $f$ and $x^{p} - x$, modulo {p}:", p=p)
    yield grid(
        (say("dividend"), say("divisor"), say("remainder")),
        [[polynomial(near(part, p)) if part else 0 for part in row] for row in method.divisions],
    )
    yield say(
        "The last divisor is, up to a constant factor, the greatest common divisor.",
    )


METHODS: dict[type[Method], Callable[[RootsModPrime, Any], Iterator[Told]]] = {
    Constant: constant,
    Trial: trial,
    Isolate: isolate,
    ZeroProduct: zero_product,
    PlainRoot: plain_root,
    Square: square,
    Splitting: splitting,
}
"""How each method is told."""
