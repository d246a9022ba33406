"""The second part of a worked solution: roots modulo a prime, one function a method."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from itembank.kinds.linear.isolating import isolated
from itembank.kinds.polynomial.prime import completed_square
from itembank.kinds.polynomial.steps import (
    Constant,
    Isolate,
    Method,
    PlainRoot,
    PlainRoots,
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
from itembank.kinds.powering import power_told
from itembank.kinds.wording import fits
from itembank.languages import Said, Told, counted, each, either, grid, lead, say, shown
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
from itembank.notation.tree import (
    Letter,
    Math,
    Minus,
    Modulo,
    Number,
    Power,
    Product,
    Relation,
    Sum,
)

_TRIED_IN_A_SENTENCE = 7
"""Up to this prime the values tried stand in a sentence; beyond it in a table."""

_COLUMNS = 16
"""The widest table of values."""

_SQUARES_LISTED = 31
"""Up to this prime a non-square is shown by the list of squares, beyond it by a criterion."""

_ADDED = 6
"""A square that appears after the prime is added so often is reached one by one ..."""

_ADDED_SHORTLY = 2_000
"""... and one that appears later by the number of times."""


def roots_modulo_prime(step: RootsModPrime) -> Iterator[Told]:
    yield lead("Modulo {p}.", p=step.p)
    yield from _reduction(step)
    yield from _METHODS[type(step.method)](step, step.method)


def _reduction(step: RootsModPrime) -> Iterator[Told]:
    """f(x) ≡ x^2 - 1 (mod 3), unless nothing changes or f is used as it stands."""
    as_it_stands = isinstance(step.method, ZeroProduct) or _is_a_square_alone(step)
    g = _near(step.g, step.p)
    if _keeps_even(step):
        g = (g[0], step.f[1], g[2])
    if g != step.f and not as_it_stands:
        yield say("$f(x) ≡ {g} (mod {p})$.", g=polynomial(g), p=step.p)


def _keeps_even(step: RootsModPrime) -> bool:
    """Whether the coefficient of x is even as it is, and half of it completes the square."""
    method = step.method
    return isinstance(method, Square) and method.a == 1 and step.f[1] == 2 * method.h != 0


def _of_x(step: RootsModPrime) -> Math:
    """f(x), in the letter of the polynomial."""
    return applied(step.letter, X)


def _of_x_at(step: RootsModPrime, r: int) -> Math:
    """f(3)."""
    return applied(step.letter, r)


def _near(g: Poly, p: int) -> Poly:
    """The polynomial with the coefficients nearest to 0."""
    return tuple(nearest_residue(c, p) for c in g)


def _is_a_square_alone(step: RootsModPrime) -> bool:
    """Whether f is x^2 - c as it stands and its roots are taken as square roots."""
    return isinstance(step.method, Square) and len(step.f) == 3 and step.f[1:] == (0, 1)


def _constant(step: RootsModPrime, method: Constant) -> Iterator[Told]:
    yield say(
        "The unknown has dropped out, and {c} is not divisible by {p}: there is no root.",
        c=method.c,
        p=step.p,
    )


# ------------------------------------------------------------ trial


def _trial(step: RootsModPrime, method: Trial) -> Iterator[Told]:
    p, g = step.p, _near(step.g, step.p)
    if p > 2 and len(g) == 3 and g[1:] == (0, 1):
        found, _roots = completed_square(step.g, p)
        yield from _square(step, found)
        return
    if step.any and step.roots:
        r = step.roots[0]
        yield say(
            "{r} is a root: ${value} (mod {p})$.",
            r=r,
            value=related(_of_x_at(step, r), "≡", residue_shown(value(g, r), p)),
            p=p,
        )
        return
    if p <= _TRIED_IN_A_SENTENCE:
        yield say(
            "Trying ${tried}$ gives {values}.",
            tried=listed(range(p)),
            values=each(residue_shown(value(g, t), p) for t in range(p)),
        )
    else:
        yield say("Try every residue:")
        for start in range(0, p, _COLUMNS):
            chunk = method.values[start : start + _COLUMNS]
            yield grid(
                [X, *(t for t, _y in chunk)],
                [[say("${value}$ modulo {p}", value=_of_x(step), p=p), *(y for _t, y in chunk)]],
                row_heads=True,
            )
    if step.roots:
        yield from roots_told(step.roots, p)
    else:
        yield say("None of the values is 0: there is no root modulo {p}.", p=p)


# ------------------------------------------------------------ degree 1


def _isolate(step: RootsModPrime, method: Isolate) -> Iterator[Told]:
    way = method.way
    if way.a == 1:
        yield say(
            "So $x ≡ {right} (mod {p})$.",
            right=residue_shown(-_near(step.g, way.m)[0], way.m) if step.g[0] else 0,
            p=way.m,
        )
        return
    yield say("That is ${a}x ≡ {right} (mod {p})$.", a=way.a, right=way.b, p=way.m)
    yield from isolated(way, X.name)


def _inverse_told(a: int, inverse: int, p: int) -> Said:
    return say(
        "The inverse of ${a}$ is ${inverse}$, since ${product}$.",
        a=a,
        inverse=inverse,
        product=_product_shown(a, inverse, p),
    )


def _product_shown(a: int, b: int, p: int) -> Math:
    """9 · 7 = 63 ≡ 11."""
    return reduced_to(dotted((a, b)), a * b, p)


# ------------------------------------------------------------ degree 2


def _zero_product(step: RootsModPrime, method: ZeroProduct) -> Iterator[Told]:
    p, roots = step.p, method.roots
    if not method.factored:
        yield say(
            "Over the integers $f(x) = {factors}$. A product is divisible by a prime only if one "
            "of its factors is.",
            factors=_factors_shown(roots, method.lead),
        )
    if any(not 0 <= u < p for u in roots):
        apart = {u % p: u for u in sorted(roots, key=abs, reverse=True)}
        solutions = either(
            _modulo_p(related(X, "≡", residue_shown(apart[r], p)), p) for r in step.roots
        )
        if method.factored:
            yield say("The same product gives {solutions}.", solutions=solutions)
        else:
            yield say("So {solutions}.", solutions=solutions)
    else:
        yield from roots_told(step.roots, p)


def _factors_shown(roots: Sequence[int], lead: int) -> Math:
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


def _plain_root(step: RootsModPrime, method: PlainRoot) -> Iterator[Told]:
    """x = 1 is a root, so f(x) ≡ (x - 1)(x + 10), and one of the factors is divisible by p."""
    p, r, way = step.p, method.r, method.way
    rest = polynomial((method.b, method.a))
    if step.any:
        yield say("One root is seen: ${value}$.", value=_zero_at(step, r))
        return
    if r:
        yield say(
            "One root is seen: ${value}$. So $f(x) ≡ {factors} (mod {p})$.",
            value=_zero_at(step, r),
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
        yield from isolated(way, X.name)
        yield from roots_told(step.roots, p)


def _zero_at(step: RootsModPrime, r: int) -> Math:
    """f(1) = 0; f(-1) = 26 ≡ 0 (mod 13)."""
    at_root = value(step.f, r)
    if not at_root:
        return equal(applied(step.letter, r), 0)
    zero = related(Number(at_root), "≡", Number(0))
    return _modulo_p(related(applied(step.letter, r), "=", zero), step.p)


def _plain_roots(step: RootsModPrime, method: PlainRoots) -> Iterator[Told]:
    """Roots in sight divided out of f, and what is left solved as a congruence of its own."""
    p, rest = step.p, method.rest
    seen = tuple(dict.fromkeys(method.seen))
    yield counted(
        "One root is seen: {values}.",
        "Roots are seen: {values}.",
        len(seen),
        values=each(_zero_at(step, r) for r in seen),
    )
    yield say("So $f(x) ≡ {factors} (mod {p})$.", factors=_deflated(method), p=p)
    yield say("A product is divisible by the prime {p} only if one of its factors is.", p=p)
    if rest is not None:
        yield say(
            "It is left to solve ${value} = {rest} ≡ 0 (mod {p})$.",
            value=_of_x(rest),
            rest=polynomial(rest.f),
            p=p,
        )
        yield from _METHODS[type(rest.method)](rest, rest.method)
        yield counted(
            "So the root of $f$ is $x ≡ {roots} (mod {p})$.",
            "So the roots of $f$ are $x ≡ {roots} (mod {p})$.",
            len(step.roots),
            roots=listed(step.roots),
            p=p,
        )
    else:
        yield from roots_told(step.roots, p)


def _deflated(method: PlainRoots) -> Math:
    """x(x - 1)^2(x^2 + 3x + 5): the factors in sight, and what is left."""
    product = _factors_shown(method.seen, method.lead if method.rest is None else 1)
    if method.rest is None:
        return product
    factors = product.factors if isinstance(product, Product) else (product,)
    return Product((*factors, bracketed(polynomial(method.rest.f))))


def _square(step: RootsModPrime, method: Square) -> Iterator[Told]:
    """Complete the square, then take roots."""
    p, b, c = step.p, method.b, method.c
    if method.a != 1:
        yield _inverse_told(nearest_residue(method.a, p), method.a_inverse, p)
        yield say(
            "Multiplying by it gives ${monic} ≡ 0 (mod {p})$.",
            monic=polynomial(_near((c, b, 1), p)),
            p=p,
        )
    if not b:
        if _is_a_square_alone(step):
            s = residue_shown(-step.f[0], p)
            yield say("The congruence reads $x^2 ≡ {s} (mod {p})$.", s=s, p=p)
        else:
            yield say(
                "That is $x^2 ≡ {s} (mod {p})$.", s=residue_shown(-nearest_residue(c, p), p), p=p
            )
        yield from _square_roots(step, method, X)
        return
    yield say("Complete the square.")
    even = 2 * method.h
    if even != nearest_residue(b, p) and not _keeps_even(step):
        yield say(
            "To have an even coefficient, take ${even} ≡ {b} (mod {p})$: half of it is ${h}$.",
            even=even,
            b=nearest_residue(b, p),
            p=p,
            h=method.h,
        )
    y = polynomial((method.h, 1))
    yield say("${square}$, so the congruence becomes", square=_expansion(method, p, y))
    right = _right_side(method.h**2, nearest_residue(c, p), p)
    yield shown(_modulo_p(related(power(y, 2), "≡", right), p))
    yield from _square_roots(step, method, y)


def _expansion(method: Square, p: int, y: Math) -> Math:
    """(x + 4)^2 = x^2 + 8x + 16."""
    h = method.h
    if fits(h * h):
        return equal(power(y, 2), polynomial((h * h, 2 * h, 1)))
    return related(power(y, 2), "≡", polynomial((h * h % p, 2 * h, 1)))


def _right_side(square_of_h: int, c: int, p: int) -> Math:
    """4 - 5 = -1 ≡ 12."""
    if not fits(square_of_h):
        square_of_h %= p
    if not c:
        return residue_shown(square_of_h, p)
    return reduced_to(difference(square_of_h, c), square_of_h - c, p)


def _square_roots(step: RootsModPrime, method: Square, y: Math) -> Iterator[Told]:
    """From y^2 = s to the roots, or why there is none."""
    p, s, h, root = step.p, method.s, method.h, method.root
    if root is None:
        yield from _no_square(s, p)
        return
    if s == 0:
        yield say(
            "A square is divisible by the prime {p} only if its base is: ${y} ≡ 0$.", p=p, y=y
        )
        yield from roots_told(step.roots, p)
        return
    yield from _square_root_found(s, root, p)
    if step.any:
        yield say("So there is a root modulo {p}.", p=p)
        return
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


def _square_root_found(s: int, root: int, p: int) -> Iterator[Told]:
    """s is a square, or becomes one when p is added; or where a root comes from nobody sees."""
    times, square = (root * root - s) // p, power(root, 2)
    if s == 1:
        return
    if not times:
        yield say("${s} = {square}$.", s=s, square=square)
    elif times <= _ADDED:
        yield say(
            "Add {p} until a square appears: ${sums}$, and ${last} = {square}$.",
            p=p,
            sums=listed(s + k * p for k in range(times + 1)),
            last=root * root,
            square=square,
        )
    elif times <= _ADDED_SHORTLY:
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
            "is a square root.",
            p=p,
            s=s,
            exponent=exponent,
        )
        yield from power_told(s, exponent, p)
        if found.value != root:
            yield say("${found} ≡ {minus} (mod {p})$.", found=found, minus=-root, p=p)


def _no_square(s: int, p: int) -> Iterator[Told]:
    """Why s is no square modulo p: the list of squares for a small p, else Euler's criterion."""
    if p <= _SQUARES_LISTED:
        yield say(
            "The squares modulo {p} are ${squares}$; {s} is not among them, so there is no root.",
            p=p,
            squares=listed(sorted({t * t % p for t in range(p)})),
            s=s,
        )
        return
    half, a = (p - 1) // 2, nearest_residue(s, p)
    if a in (-1, 2, -2):
        yield _by_a_supplementary_law(a, p)
        return
    yield say(
        "If {a} were a square modulo {p}, its power with exponent ${half}$ would be 1, by "
        "Euler's criterion.",
        a=s,
        p=p,
        half=half,
    )
    yield from power_told(s, half, p, least=False)
    yield say("That is not 1: there is no root.")


def _by_a_supplementary_law(a: int, p: int) -> Said:
    """-1, 2 and -2 are squares modulo an odd prime by its remainder modulo 4 or 8."""
    if a == -1:
        return say(
            "$-1$ is a square modulo an odd prime only if this is 1 modulo 4, and ${p} ≡ 3 (mod "
            "4)$: there is no root.",
            p=p,
        )
    if a == 2:
        return say(
            "2 is a square modulo an odd prime only if this is 1 or 7 modulo 8, and ${p} ≡ {r} "
            "(mod 8)$: there is no root.",
            p=p,
            r=p % 8,
        )
    return say(
        "$-2$ is a square modulo an odd prime only if this is 1 or 3 modulo 8, and ${p} ≡ {r} "
        "(mod 8)$: there is no root.",
        p=p,
        r=p % 8,
    )


def _modulo_p(relation: Relation, p: int) -> Math:
    return Modulo(relation, Number(p))


# ------------------------------------------------------------ large primes


def _splitting(step: RootsModPrime, method: Splitting) -> Iterator[Told]:
    p, f = step.p, Letter(step.letter)
    common = polynomial(_near(method.common, p))
    if not method.powers:
        yield say(
            "To try every residue would take long. Modulo {p} the polynomial $x^{p} - x$ is the "
            "product of all $x - r$, so the roots of ${f}$ are those of its greatest common "
            "divisor with ${f}$, which a computer finds to be ${common}$.",
            p=p,
            f=f,
            common=common,
        )
    else:
        yield say(
            "To try every residue would take long. Modulo {p} the polynomial $x^{p} - x$ is the "
            "product of all $x - r$, so the roots of ${f}$ are those of its greatest common "
            "divisor with ${f}$.",
            p=p,
            f=f,
        )
        yield from _powers_of_x(step, method)
    if not step.roots:
        yield say("So no $x - r$ divides ${f}$: there is no root modulo {p}.", f=f, p=p)
        return
    if method.rest is not None:
        yield say(
            "It is left to solve ${value} = {rest} ≡ 0 (mod {p})$.",
            value=_of_x(method.rest),
            rest=polynomial(method.rest.f),
            p=p,
        )
        yield from _METHODS[type(method.rest.method)](method.rest, method.rest.method)
        return
    if len(step.roots) > 1:
        yield say(
            "It is ${product}$, as multiplying out shows.", product=linear_factors(step.roots)
        )
    yield from roots_told(step.roots, p)


def _powers_of_x(step: RootsModPrime, method: Splitting) -> Iterator[Told]:
    """x^p modulo f by squaring, and the divisions that give the greatest common divisor."""
    p, f = step.p, Letter(step.letter)
    yield say(
        "Modulo ${f}$ and {p}, each power is the square of the one before, times $x$ where the "
        "exponent is odd:",
        f=f,
        p=p,
    )
    yield grid(
        (say("power"), say("remainder modulo ${f}$ and {p}", f=f, p=p)),
        [(Power(X, Number(e)), _shown_near(rest, p)) for e, rest in method.powers],
    )
    if not method.divisions:
        yield say("So ${f}$ divides $x^{p} - x$ modulo {p}.", f=f, p=p)
        return
    yield say("Euclid's algorithm for ${f}$ and $x^{p} - x$, modulo {p}:", f=f, p=p)
    yield grid(
        (say("dividend"), say("divisor"), say("quotient"), say("remainder")),
        [[_shown_near(part, p) for part in row] for row in method.divisions],
    )
    last, common = _near(method.divisions[-1][1], p), _near(method.common, p)
    if len(common) == 1:
        yield say("The last divisor is the constant ${c}$.", c=last[0])
    elif last[-1] == 1:
        yield say("The last divisor, ${common}$, is the greatest.", common=polynomial(common))
    else:
        yield say(
            "The last divisor is the greatest: ${last} ≡ {product} (mod {p})$, where the factor "
            "${c}$ does not matter.",
            last=polynomial(last),
            product=Product((Number(last[-1]), bracketed(polynomial(common)))),
            p=p,
            c=last[-1],
        )


def _shown_near(f: Poly, p: int) -> Math | int:
    """The polynomial with the coefficients nearest to 0."""
    return polynomial(_near(f, p)) if f else 0


_METHODS: dict[type[Method], Callable[[RootsModPrime, Any], Iterator[Told]]] = {
    Constant: _constant,
    Trial: _trial,
    Isolate: _isolate,
    ZeroProduct: _zero_product,
    PlainRoot: _plain_root,
    PlainRoots: _plain_roots,
    Square: _square,
    Splitting: _splitting,
}
"""How each method is told."""
