"""The worked solution of two linear congruences in two unknowns, told from its steps.

One function a step; sentences are whole and written in the unknowns x and y.
"""

from collections.abc import Iterator, Sequence
from typing import Any

from itembank.kinds.base import Solution
from itembank.kinds.linear_pair.steps import (
    Check,
    Combine,
    Conclude,
    Determinant,
    DivideOut,
    Eliminate,
    Express,
    LeastResidues,
    Local,
    OneUnknown,
    Pair,
    Row,
    Split,
    Spread,
)
from itembank.kinds.wording import (
    FITS_ON_THE_BOARD,
    WRITTEN_OUT,
    Piece,
    Tellers,
    conjunction,
    counted,
    equal_to,
    flowing,
    listing,
    polynomial,
    residue_chain,
    told,
)
from itembank.languages import Telling
from itembank.languages.lettering import relettered
from itembank.languages.words import _
from itembank.notation.prose import display, table
from itembank.notation.tree import Block


def worked(solution: Solution[Any], letters: tuple[str, str]) -> Telling:
    """The steps as a teacher would write them on the board, in these unknowns."""
    blocks = tuple(told(solution.steps, TOLD))
    x, y = letters
    return relettered(blocks, {"x": x, "y": y}) if letters != ("x", "y") else blocks


def row_text(row: Row, x: str = "x", y: str = "y") -> str:
    """2x + 3y = 5, as typed without its modulus; 0 = 5 if nothing else is left.

    >>> row_text((1, -2, 5)), row_text((0, 0, 3))
    ('x - 2y = 5', '0 = 3')
    """
    a, b, c = row
    left = polynomial((0, a), x) if a else ""
    if b:
        term = polynomial((0, abs(b)), y)
        left = f"{left} {'+' if b > 0 else '-'} {term}" if left else polynomial((0, b), y)
    return f"{left or 0} = {c}"


def shown_rows(rows: Sequence[Row], m: int) -> Block:
    return display(*(f"{row_text(row)} mod {m}" for row in rows))


def pair_text(pair: Pair) -> str:
    return f"({pair[0]}, {pair[1]})"


# ------------------------------------------------------------ elimination


def least_residues(step: LeastResidues) -> Iterator[Block]:
    yield from flowing(
        [_("With least residues modulo {m}:").format(m=step.m), shown_rows(step.rows, step.m)]
    )


def determinant(step: Determinant) -> Iterator[Block]:
    (a1, b1, _c1), (a2, b2, _c2) = step.rows
    D = a1 * b2 - a2 * b1
    sentences = [
        _("The determinant is ${a1} · {b2} - {a2} · {b1} = {D}$.").format(
            a1=a1, b2=b2, a2=a2, b1=b1, D=residue_chain(D, step.m)
        )
    ]
    if step.g == 1:
        sentences.append(
            _("$gcd({D}, {m}) = 1$, so there is exactly one solution modulo {m}.").format(
                D=step.D, m=step.m
            )
        )
    else:
        sentences.append(
            _(
                "$gcd({D}, {m}) = {g}$: the determinant has no inverse modulo {m}, so there is no "
                "solution or more than one."
            ).format(D=step.D, m=step.m, g=step.g)
        )
    yield from flowing(sentences, _("Determinant."))


def eliminate(step: Eliminate) -> Iterator[Block]:
    (a1, b1, c1), (a2, b2, c2) = step.rows
    m, D, unknown = step.m, step.D, step.left
    if unknown == "x":
        lead = _("Eliminate the second unknown.")
        factors, right = (b2, b1), c1 * b2 - c2 * b1
        order = (a1, b1, c1), (a2, b2, c2)
        text = multiplied_told(_("first"), b2, _("second"), b1)
    else:
        lead = _("Eliminate the first unknown.")
        factors, right = (a1, a2), a1 * c2 - a2 * c1
        order = (a2, b2, c2), (a1, b1, c1)
        text = multiplied_told(_("second"), a1, _("first"), a2)
    whole = a1 * b2 - a2 * b1
    rows = [
        f"{row_text((n * a, n * b, n * c))} mod {m}"
        for n, (a, b, c) in zip(factors, order, strict=True)
    ]
    sentences: list[Piece] = [
        text,
        display(*rows, f"{polynomial((0, whole), unknown)} = {right} mod {m}"),
    ]
    if (whole, right) != (D, step.right):
        sentences.append(
            _("With least residues that is ${left} ≡ {right} (mod {m})$.").format(
                left=polynomial((0, D), unknown), right=step.right, m=m
            )
        )
    if D != 1:
        sentences.append(
            _(
                "${D} · {inverse} {one} (mod {m})$, so ${unknown} ≡ {inverse} · {right} {value} "
                "(mod {m})$."
            ).format(
                D=D,
                inverse=step.inverse,
                one=equal_to(D * step.inverse, m),
                unknown=unknown,
                right=step.right,
                value=equal_to(step.inverse * step.right, m),
                m=m,
            )
        )
    yield from flowing(sentences, lead)


def multiplied_told(one: str, first: int, other: str, second: int) -> str:
    """What is done to the two congruences before the other is subtracted from the one."""
    words = {"one": one, "first": first, "other": other, "second": second}
    if first == second == 1:
        text = _("Subtract the {other} congruence from the {one}:")
    elif first == 1:
        text = _("Multiply the {other} congruence by {second} and subtract it from the {one}:")
    elif second == 1:
        text = _("Multiply the {one} congruence by {first} and subtract the {other}:")
    else:
        text = _(
            "Multiply the {one} congruence by {first} and the {other} by {second}, and subtract:"
        )
    return text.format(**words)


# ------------------------------------------------------------ substitution


def express(step: Express) -> Iterator[Block]:
    m, unknown = step.m, step.unknown
    other = "y" if unknown == "x" else "x"
    a, b, c = step.rows[step.row]
    u, v = (a, b) if unknown == "x" else (b, a)
    which = _("first") if step.row == 0 else _("second")
    sentences = [
        _(
            "In the {which} congruence the coefficient {u} of ${unknown}$ has an inverse modulo "
            "{m}, so ${unknown}$ can be expressed by ${other}$."
        ).format(which=which, u=u, unknown=unknown, m=m, other=other)
    ]
    moved = f"{c} - {polynomial((0, v), other)}" if c and v else polynomial((c, -v), other)
    put_in_later = expressed(step.r, step.s, other)
    if u == 1:
        chain = " ≡ ".join(dict.fromkeys([moved, put_in_later]))
        sentences.append(
            _("${unknown} ≡ {chain} (mod {m})$.").format(unknown=unknown, chain=chain, m=m)
        )
    else:
        sentences.append(
            _(
                "${u} · {inverse} {one} (mod {m})$, so "
                "${unknown} ≡ {inverse}({moved}) ≡ {expressed} (mod {m})$."
            ).format(
                u=u,
                inverse=step.inverse,
                one=equal_to(u * step.inverse, m),
                unknown=unknown,
                moved=moved,
                expressed=put_in_later,
                m=m,
            )
        )
    yield from flowing(sentences, _("Express one unknown by the other."))


def expressed(r: int, s: int, other: str) -> str:
    """r + s * other."""
    if not s:
        return str(r)
    return f"{r} + {polynomial((0, s), other)}" if r else polynomial((0, s), other)


def one_unknown(step: OneUnknown) -> Iterator[Block]:
    m, A, B, g = step.m, step.A, step.B, step.g
    other = "y" if step.unknown == "x" else "x"
    words = {"put_in": put_together(step, other), "c": step.row[2], "m": m, "other": other}
    if A == 0:
        left = (step.row[2] - B) % m
        sentences: list[Piece] = [
            _(
                "In the other congruence the left side becomes ${put_in}$. There ${other}$ drops "
                "out: modulo {m} it is {left}, and the right side is {c}."
            ).format(**words, left=left)
        ]
        if B:
            sentences.append(_("So no pair solves both congruences."))
        else:
            sentences.append(_("So every ${other}$ will do.").format(other=other))
    else:
        sentences = [
            _("In the other congruence this gives ${put_in} ≡ {c} (mod {m})$, that is").format(
                **words
            ),
            display(f"{polynomial((0, A), other)} == {B} mod {m}"),
        ]
        if not step.values:
            sentences.append(
                _("$gcd({A}, {m}) = {g}$ does not divide {B}: there is no such ${other}$.").format(
                    A=A, m=m, g=g, B=B, other=other
                )
            )
    if step.values:
        sentences += values_told(step, other)
        sentences.append(pair_table(step, other))
    yield from flowing(sentences, _("One unknown left."))


def put_together(step: OneUnknown, other: str) -> str:
    """u(r + s * other) + v * other, the left side of the other row."""
    u, v, _c = step.row
    inner = expressed(step.r, step.s, other)
    terms = []
    if u:
        terms.append(inner if u == 1 else f"{u}({inner})" if step.s else f"{u} · {inner}")
    if v or not terms:
        terms.append(polynomial((0, v), other) if v else "0")
    return " + ".join(terms)


def values_told(step: OneUnknown, other: str) -> Iterator[Piece]:
    m, A, B, g = step.m, step.A, step.B, step.g
    if A == 0:
        return
    n = m // g
    if g > 1:
        yield _(
            "$gcd({A}, {m}) = {g}$ divides {B}. Divide all three numbers by {g}: "
            "${left} ≡ {b} (mod {n})$."
        ).format(A=A, m=m, g=g, B=B, left=polynomial((0, A // g), other), b=B // g, n=n)
    if A // g % n != 1:
        inverse = pow(A // g, -1, n)
        yield _(
            "${a} · {inverse} {one} (mod {n})$, so ${other} ≡ {inverse} · {b} {first} (mod {n})$."
        ).format(
            a=A // g,
            inverse=inverse,
            one=equal_to(A // g * inverse, n),
            other=other,
            b=B // g,
            first=equal_to(inverse * (B // g), n),
            n=n,
        )
    if 1 < g <= WRITTEN_OUT:
        yield _("Modulo {m} that is ${other} ≡ {values}$.").format(
            m=m, other=other, values=listing(step.values)
        )


def pair_table(step: OneUnknown, other: str) -> str | Block:
    """Each value of one unknown with that of the other."""
    if len(step.pairs) > WRITTEN_OUT:
        return _("Each of the {n} values gives one pair.").format(n=len(step.pairs))
    if len(step.pairs) == 1:
        ((x, y),) = step.pairs
        return _("So $x ≡ {x}$ and $y ≡ {y} (mod {m})$.").format(x=x, y=y, m=step.m)
    i = 1 if other == "y" else 0
    return table(
        [f"${other}$", *(f"${pair[i]}$" for pair in step.pairs)],
        [[f"${step.unknown}$", *(f"${pair[1 - i]}$" for pair in step.pairs)]],
        row_heads=True,
    )


# ------------------------------------------------------------ no coefficient a unit


def split(step: Split) -> Iterator[Block]:
    powers = [str(p**k) for p, k in step.factors]
    yield from flowing(
        [
            _(
                "None of the coefficients has an inverse modulo {m}. ${m} = {product}$, and no "
                "two of these factors have a common divisor: solve modulo {moduli}, then combine."
            ).format(m=step.m, product=" · ".join(powers), moduli=conjunction(powers))
        ],
        _("Split the modulus."),
    )


def local(step: Local) -> Iterator[Block]:
    yield from flowing(
        [
            _("The congruences are"),
            shown_rows(step.rows, step.q),
        ],
        _("Modulo {q}.").format(q=step.q),
    )


def divide_out(step: DivideOut) -> Iterator[Block]:
    p, m = step.p, step.m
    if step.divided is None:
        text = _(
            "All coefficients are divisible by {p}, and so are the left sides; but a right side is "
            "not. There is no solution modulo {m}."
        ).format(p=p, m=m)
        yield from flowing([text])
        return
    if m == p:
        text = _(
            "All coefficients and both right sides are 0 modulo {p}, so every pair is a solution."
        )
        yield from flowing([text.format(p=p)])
        return
    yield from flowing(
        [
            _(
                "All coefficients and both right sides are divisible by {p}. Divide by {p}, the "
                "modulus too:"
            ).format(p=p),
            shown_rows(step.divided, m // p),
        ]
    )


def spread(step: Spread) -> Iterator[Block]:
    p, n = step.p, step.m // step.p
    if n == 1:
        return
    yield from flowing(
        [
            _(
                "Each pair modulo {n} stands for ${p} · {p} = {square}$ pairs modulo {m}: each of "
                "{added} may be added to $x$, and each to $y$."
            ).format(
                n=n, p=p, square=p * p, m=step.m, added=conjunction(map(str, range(0, step.m, n)))
            )
        ]
    )


def combine(step: Combine) -> Iterator[Block]:
    sentences: list[Piece] = [
        _("The number {e} is 1 modulo {m} and 0 modulo {others}.").format(
            e=w.e,
            m=w.modulus,
            others=conjunction(str(o.modulus) for o in step.weights if o is not w),
        )
        for w in step.weights
    ]
    sentences.append(
        _("With these multipliers every choice of pairs is combined, $x$ and $y$ in the same way:")
    )
    rows = step.choices[:WRITTEN_OUT]
    sentences.append(
        table(
            [
                *(_("modulo {m}").format(m=w.modulus) for w in step.weights),
                _("modulo {m}").format(m=step.m),
            ],
            [
                [*(f"${pair_text(p)}$" for p in choice), f"${pair_text(pair)}$"]
                for choice, pair in rows
            ],
        )
    )
    if len(rows) < len(step.choices):
        sentences.append(_("And so on for all {n} choices.").format(n=len(step.choices)))
    yield from flowing(sentences, _("Combine."))


# ------------------------------------------------------------ the answer


def conclude(step: Conclude) -> Iterator[Block]:
    pairs, m = step.pairs, step.m
    if not pairs:
        text = _("There is no solution.")
    elif len(pairs) == 1:
        ((x, y),) = pairs
        text = _("$x ≡ {x}$ and $y ≡ {y} (mod {m})$, the only solution.").format(x=x, y=y, m=m)
    else:
        shown = pairs[: 2 * WRITTEN_OUT]
        listed = ", ".join(map(pair_text, shown))
        text = _("Modulo {m} the pairs $(x, y)$ are ${listed}$: {counted}.").format(
            m=m,
            listed=listed if len(shown) == len(pairs) else f"{listed}, ...",
            counted=counted(len(pairs)),
        )
    yield from flowing([text], _("Answer."))


def check(step: Check) -> Iterator[Block]:
    lead = _("Check.")
    if step.m > FITS_ON_THE_BOARD:
        yield from flowing([_("Put into both congruences, it satisfies them.")], lead)
        return
    sentences = []
    for x, y in step.pairs:
        values = conjunction(put_in(row, x, y, step.m) for row in step.rows)
        sentences.append(
            f"{values} (mod {step.m})."
            if len(step.pairs) == 1
            else _("${pair}$: {values}.").format(pair=pair_text((x, y)), values=values)
        )
    if not step.complete:
        sentences.append(_("And so on."))
    yield from flowing(sentences, lead)


def put_in(row: Row, x: int, y: int, m: int) -> str:
    a, b, _c = row
    terms = [f"{n} · {value}" for n, value in ((a, x), (b, y)) if n]
    value = a * x + b * y
    return f"${' + '.join(terms) or '0'} {equal_to(value, m)}$"


TOLD: Tellers = {
    LeastResidues: least_residues,
    Determinant: determinant,
    Eliminate: eliminate,
    Express: express,
    OneUnknown: one_unknown,
    Split: split,
    Local: local,
    DivideOut: divide_out,
    Spread: spread,
    Combine: combine,
    Conclude: conclude,
    Check: check,
}
"""How each step is told."""
