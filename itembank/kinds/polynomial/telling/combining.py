"""Every choice of local solutions, combined."""

from collections.abc import Iterator, Sequence

from itembank.kinds.chains import calculated_or_congruent
from itembank.kinds.linear.isolating import product_of_small
from itembank.kinds.polynomial.combination import Choice, Combine, Joining
from itembank.kinds.polynomial.telling.phrases import (
    X,
    short_divisor,
)
from itembank.kinds.wording import (
    FITS_ON_THE_BOARD,
    IN_A_SENTENCE,
)
from itembank.languages import BREAK, Said, Told, each, grid, lead, say
from itembank.languages.saying import Cell
from itembank.maths.remainders import Weight
from itembank.notation.building import (
    added,
    congruence,
    difference,
    dotted,
    equal,
    listed,
)
from itembank.notation.tree import (
    Letter,
    Math,
    Modulo,
    Number,
    Power,
    Product,
    Relation,
    Subscript,
)

_ACROSS = 6
"""Two moduli are combined in a two-way table while it has at most this many columns."""

_TOLD_ONE_BY_ONE = 3
"""At most this many multipliers are told in sentences, more of them in a table."""

_LETTERS = "abcd"
"""The residues chosen modulo each factor; with more factors a_1, a_2, ..."""


# ------------------------------------------------------------ every choice


def combine(step: Combine) -> Iterator[Told]:
    if len(step.weights) > 1:
        yield lead("Combine.")
        if step.joinings:
            yield from _put_in(step)
            return
        yield from _weights_told(step)
        yield _rule_told(step)
        yield from _choices_told(step)
        yield from _wider_classes(step)


def _put_in(step: Combine) -> Iterator[Told]:
    """One congruence after another: x = r + 9t put into x ≡ a (mod 13)."""
    r, a, t = map(Letter, "rat")
    for i, joining in enumerate(step.joinings):
        d, m = _shown_modulus(joining.d, step), _shown_modulus(joining.m, step)
        if i == 0:
            yield say("A root modulo ${d}$ is $x = r + {d}t$ for an integer $t$.", d=d)
        else:
            yield BREAK
            yield say("So far $x = r + {d}t$, with $r$ from the last column.", d=d)
        yield say(
            "Put into $x ≡ a (mod {m})$ this is ${dt} ≡ a - r (mod {m})$.",
            m=m,
            dt=Product((d, t), dot=isinstance(d, Power)),
        )
        if joining.inverse != 1:
            yield say(
                "Multiply by ${i}$: as ${one}$, $t ≡ {i}(a - r) (mod {m})$.",
                i=joining.inverse,
                one=_inverse_by_product(joining, m),
                m=m,
            )
        else:
            yield say("As ${d} ≡ 1 (mod {m})$, $t ≡ a - r (mod {m})$.", d=d, m=m)
        whole = _shown_modulus(joining.d * joining.m, step)
        yield grid(
            (
                r,
                a,
                say("$t$ modulo ${m}$", m=m),
                say("$r + {d}t$, modulo ${whole}$", d=d, whole=whole),
            ),
            [_joined_row(joining, *row) for row in joining.rows],
        )


def _inverse_by_product(joining: Joining, m: Math) -> Math:
    """27 ≡ 1 (mod 13) as 9 · 3 = 27 ≡ 1."""
    return Modulo(product_of_small(joining.d, joining.inverse, joining.m), m)


def _joined_row(joining: Joining, r: int, a: int, t: int, x: int) -> tuple[Cell, ...]:
    d, m, i = joining.d, joining.m, joining.inverse
    if x > FITS_ON_THE_BOARD:
        return r, a, t, x
    gap = difference(a, r)
    left = gap if i == 1 else dotted((i, gap))
    return (
        r,
        a,
        calculated_or_congruent(left, i * (a - r), m),
        equal(added((r, dotted((d, t)))), x),
    )


def _rule_told(step: Combine) -> Said:
    names = _residue_names(len(step.weights))
    return say(
        "So {conditions} together give $x ≡ {rule} (mod {m})$.",
        conditions=each(
            congruence(X, a, _shown_modulus(w.modulus, step))
            for a, w in zip(names, step.weights, strict=True)
        ),
        rule=_rule(step),
        m=_shown_modulus(step.modulus, step),
    )


def _rule(step: Combine) -> Math:
    """91a + 27b."""
    return added(map(_multiplied, _multiplier_names(step), _residue_names(len(step.weights))))


def _choices_told(step: Combine) -> Iterator[Told]:
    """The table of choices, and what has to be said before it."""
    complete = step.total == len(step.choices)
    if not complete:
        yield say(
            "There are ${counts} = {n}$ choices of residues; the first of them give",
            counts=dotted(len(rs) for rs in step.residues),
            n=step.total,
        )
    if _is_mixed(step):
        yield say("A residue that stands for a class modulo a lower power gives a wider class.")
    if len(step.residues) == 2 and len(step.residues[1]) <= _ACROSS and complete:
        yield _two_way(step)
    elif step.modulus <= IN_A_SENTENCE:
        yield _one_way(step)


def _wider_classes(step: Combine) -> Iterator[Told]:
    """x ≡ 4, 16, 28 (mod 36) is x ≡ 4 (mod 12)."""
    if not step.wider or step.modulus > IN_A_SENTENCE:
        return
    m = step.modulus
    yield say("Residues that make up a wider class are put together:")
    for r, d in step.wider:
        yield say(
            "${residues} (mod {m})$ make up $x ≡ {r} (mod {d})$.",
            residues=listed(range(r, m, d)),
            m=_shown_modulus(m, step),
            r=r,
            d=_shown_modulus(d, step),
        )


def _residue_names(n: int) -> list[Math]:
    """Names for the residues chosen modulo n factors."""
    if n <= len(_LETTERS):
        return [Letter(name) for name in _LETTERS[:n]]
    return [Subscript(Letter("a"), Number(i)) for i in range(1, n + 1)]


def _multiplier_names(step: Combine) -> list[Math]:
    """The weights themselves, or e_1, e_2, ... for long ones."""
    weights = [w.e for w in step.weights]
    if max(weights) <= FITS_ON_THE_BOARD:
        return [Number(e) for e in weights]
    return [Subscript(Letter("e"), Number(i)) for i in range(1, len(weights) + 1)]


def _multiplied(multiplier: Math, name: Math) -> Math:
    if multiplier == Number(1):
        return name
    apart = isinstance(multiplier, Subscript) or isinstance(name, Subscript)
    return Product((multiplier, name), dot=apart)


def _shown_modulus(d: int, step: Combine) -> Math:
    return short_divisor(d, step.factors)


def _is_mixed(step: Combine) -> bool:
    """Whether choices stand for classes of different moduli."""
    return any(choice.joined[1] != step.modulus for choice in step.choices)


def _weights_told(step: Combine) -> Iterator[Told]:
    multipliers = _multiplier_names(step)
    if len(step.weights) > _TOLD_ONE_BY_ONE:
        yield from _weights_table(step, multipliers)
        return
    for multiplier, w in zip(multipliers, step.weights, strict=True):
        yield _weight_told(w, step, multiplier)


def _weight_told(w: Weight, step: Combine, multiplier: Math) -> Said:
    """13 · 7 ≡ 4 · (-2) = -8 ≡ 1 (mod 9), so the number 91 = 13 · 7 is 1 modulo 9, 0 modulo 13."""
    others = [_shown_modulus(o.modulus, step) for o in step.weights if o is not w]
    chain, m = _made(w, others, multiplier), _shown_modulus(w.modulus, step)
    one = one_shown(w, m)
    if len(others) == 1:
        return say(
            "${one}$, so the number ${chain}$ is 1 modulo ${m}$ and 0 modulo ${other}$.",
            one=one,
            chain=chain,
            m=m,
            other=others[0],
        )
    first, second = others
    return say(
        "${one}$, so the number ${chain}$ is 1 modulo ${m}$ and 0 modulo ${first}$ and modulo "
        "${second}$.",
        one=one,
        chain=chain,
        m=m,
        first=first,
        second=second,
    )


def _made(w: Weight, others: Sequence[Math], multiplier: Math) -> Math:
    """91 = 13 · 7; e_1 = 3^40 · 7: a multiplier as the product of the others and an inverse."""
    if w.others > FITS_ON_THE_BOARD:
        return equal(multiplier, dotted((*others, w.inverse)))
    product = Number(w.others) if w.inverse == 1 else dotted((w.others, w.inverse))
    return equal(*dict.fromkeys((multiplier, Number(w.e), product)))


def _weights_table(step: Combine, multipliers: Sequence[Math]) -> Iterator[Told]:
    """The multipliers and how each is made."""
    yield say(
        "For each modulus $m$ let $M$ be the product of the others and $i$ the inverse of $M$ "
        "modulo $m$. Then $iM$ is 1 modulo $m$ and 0 modulo the others:"
    )
    rows: list[tuple[Cell, ...]] = []
    for multiplier, w in zip(multipliers, step.weights, strict=True):
        short = w.e <= IN_A_SENTENCE
        m = _shown_modulus(w.modulus, step)
        others = dotted(_shown_modulus(o.modulus, step) for o in step.weights if o is not w)
        rows.append(
            (
                m,
                w.others if short else others,
                w.inverse,
                _inverse_shown(w, m),
                equal(*dict.fromkeys((multiplier, Number(w.e)))) if short else multiplier,
            )
        )
    m, product, i = map(Letter, "mMi")
    why = Relation((Product((i, product)), Number(1)), ("≡",))
    yield grid((m, product, i, say("why ${one}$", one=why), Product((i, product))), rows)


def _inverse_shown(w: Weight, m: Math) -> Cell:
    """143 · 5 ≡ 3 · 5 = 15 ≡ 1 (mod 7)."""
    if w.e > IN_A_SENTENCE:
        return say("Euclid's algorithm")
    return one_shown(w, m)


def one_shown(w: Weight, m: Math) -> Math:
    """The product of the other moduli and its inverse is 1 modulo m."""
    if w.inverse == 1:
        return congruence(Number(w.others), Number(1), m)
    return Modulo(product_of_small(w.others, w.inverse, w.modulus), m)


def _two_way(step: Combine) -> Told:
    a, b = _residue_names(2)
    across = len(step.residues[1])
    return grid(
        ("", *(equal(b, r) for r in step.residues[1])),
        [
            (equal(a, r), *(_sum_shown(step, c) for c in step.choices[i : i + across]))
            for i, r in zip(range(0, len(step.choices), across), step.residues[0], strict=True)
        ],
        row_heads=True,
    )


def _sum_shown(step: Combine, choice: Choice) -> Math:
    """182 + 189 = 371 ≡ 20; without the sum where it is long."""
    least, d = choice.joined
    shown: Math = Number(least)
    if step.modulus <= FITS_ON_THE_BOARD:
        terms = added(w.e * r for w, r in zip(step.weights, choice.residues, strict=True))
        shown = equal(terms, choice.sum)
        if choice.sum != least or _is_mixed(step):
            shown = Relation((terms, Number(choice.sum), Number(least)), ("=", "≡"))
    return Modulo(shown, _shown_modulus(d, step)) if _is_mixed(step) else shown


def _result_shown(step: Combine, choice: Choice) -> Math:
    """The least residue; with its own modulus where choices stand for different classes."""
    least, d = choice.joined
    return Modulo(Number(least), _shown_modulus(d, step)) if _is_mixed(step) else Number(least)


def _one_way(step: Combine) -> Told:
    """A row a choice; the sums are left out where they are long."""
    names = _residue_names(len(step.weights))
    result: Cell = X
    if not _is_mixed(step):
        result = say("$x$ modulo ${m}$", m=_shown_modulus(step.modulus, step))
    if step.modulus > FITS_ON_THE_BOARD:
        rows = [(*choice.residues, _result_shown(step, choice)) for choice in step.choices]
        return grid((*names, result), rows)
    sums: Cell = _rule(step) if len(names) <= _TOLD_ONE_BY_ONE else say("sum")
    return grid(
        (*names, sums, result),
        [(*choice.residues, choice.sum, _result_shown(step, choice)) for choice in step.choices],
    )
