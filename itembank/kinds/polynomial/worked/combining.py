"""The last part of a worked solution: combining, the answer, and its check."""

from collections.abc import Iterator, Sequence

from itembank.kinds.polynomial.steps import Choice, Combine, Conclude, PairOff, Substitute
from itembank.kinds.polynomial.worked.phrases import (
    class_phrase,
    divided,
    every_residue,
    modulus_text,
    power_value,
)
from itembank.kinds.wording import (
    FITS_ON_THE_BOARD,
    IN_A_SENTENCE,
    Piece,
    conjunction,
    counted,
    counted_by_class,
    each_on_a_line,
    flowing,
    listing,
    multiple_of,
    on_lines_below,
    residue_lines,
)
from itembank.languages.words import _
from itembank.maths.remainders import Weight
from itembank.notation.prose import table
from itembank.notation.tree import Block
from itembank.values.answer import Class

ACROSS = 6
"""Two moduli are combined in a two-way table while it has at most this many columns."""

TOLD_ONE_BY_ONE = 3
"""At most this many multipliers are told in sentences, more of them in a table."""

LETTERS = "abcd"
"""The residues chosen modulo each factor; with more factors a_1, a_2, ..."""


# ------------------------------------------------------------ every choice


def combine(step: Combine) -> Iterator[Block]:
    if len(step.weights) > 1:
        yield from flowing(combination(step), _("Combine."))


def combination(step: Combine) -> Iterator[Piece]:
    names = residue_names(len(step.weights))
    multipliers = multiplier_names(step)
    rule = " + ".join(map(multiplied, multipliers, names))
    if len(step.weights) <= TOLD_ONE_BY_ONE:
        for multiplier, w in zip(multipliers, step.weights, strict=True):
            yield weight_told(w, step, multiplier)
    else:
        yield from weights_table(step, multipliers)
    yield _("So {conditions} together give $x ≡ {rule} (mod {m})$.").format(
        conditions=conjunction(
            f"$x ≡ {a} (mod {shown(w.modulus, step)})$"
            for a, w in zip(names, step.weights, strict=True)
        ),
        rule=rule,
        m=shown(step.modulus, step),
    )
    if step.total > len(step.choices):
        counts = " · ".join(str(len(rs)) for rs in step.residues)
        yield _("There are ${counts} = {n}$ choices of residues; the first of them give").format(
            counts=counts, n=step.total
        )
    if is_mixed(step):
        yield _("A residue that stands for a class modulo a lower power gives a wider class.")
    if len(names) == 2 and len(step.residues[1]) <= ACROSS and step.total == len(step.choices):
        yield two_way(step, names)
    elif step.modulus <= IN_A_SENTENCE:
        yield one_way(step, names, rule)
    if step.wider and step.modulus <= IN_A_SENTENCE:
        yield _("Residues that make up a wider class are put together: {classes}.").format(
            classes="; ".join(put_together(r, d, step) for r, d in step.wider)
        )


def put_together(r: int, d: int, step: Combine) -> str:
    """x ≡ 4, 16, 28 (mod 36) is x ≡ 4 (mod 12)."""
    m = step.modulus
    return _("${residues} (mod {m})$ make up $x ≡ {r} (mod {d})$").format(
        residues=listing(range(r, m, d)), m=shown(m, step), r=r, d=shown(d, step)
    )


def residue_names(n: int) -> list[str]:
    """Names for the residues chosen modulo n factors."""
    return list(LETTERS[:n]) if n <= len(LETTERS) else [f"a_{i}" for i in range(1, n + 1)]


def multiplier_names(step: Combine) -> list[str]:
    """The weights themselves, or e_1, e_2, ... for long ones."""
    weights = [w.e for w in step.weights]
    if max(weights) <= FITS_ON_THE_BOARD:
        return list(map(str, weights))
    return [f"e_{i}" for i in range(1, len(weights) + 1)]


def multiplied(multiplier: str, name: str) -> str:
    if multiplier == "1":
        return name
    apart = multiplier.startswith("e") or "_" in name
    return f"{multiplier}·{name}" if apart else multiplier + name


def shown(d: int, step: Combine) -> str:
    return modulus_text(d, divided(d, step.factors))


def is_mixed(step: Combine) -> bool:
    """Whether choices stand for classes of different moduli."""
    return any(choice.joined[1] != step.modulus for choice in step.choices)


def weight_told(w: Weight, step: Combine, multiplier: str) -> str:
    """The number 91 = 13 · 7 is 1 modulo 9 and 0 modulo 13."""
    factors = [shown(o.modulus, step) for o in step.weights if o is not w]
    chain = [multiplier, str(w.e)]
    chain.append(f"{w.others} · {w.inverse}" if w.inverse != 1 else str(w.others))
    if w.others > FITS_ON_THE_BOARD:
        chain = [multiplier, f"{' · '.join(factors)} · {w.inverse}"]
    return _("The number ${chain}$ is 1 modulo ${m}$ and 0 {others}.").format(
        chain=" = ".join(dict.fromkeys(chain)),
        m=shown(w.modulus, step),
        others=conjunction(_("modulo {q}").format(q=f"${q}$") for q in factors),
    )


def weights_table(step: Combine, multipliers: Sequence[str]) -> Iterator[Piece]:
    """The multipliers and how each is made."""
    yield _(
        "For each modulus $m$ let $M$ be the product of the others and $i$ the inverse of $M$ "
        "modulo $m$. Then $iM$ is 1 modulo $m$ and 0 modulo the others:"
    )
    rows = []
    for multiplier, w in zip(multipliers, step.weights, strict=True):
        short = w.e <= IN_A_SENTENCE
        others = [shown(o.modulus, step) for o in step.weights if o is not w]
        made = [multiplier, str(w.e)] if short else [multiplier]
        cells = [
            shown(w.modulus, step),
            str(w.others) if short else " · ".join(others),
            w.inverse,
            " = ".join(dict.fromkeys(made)),
        ]
        rows.append([f"${cell}$" for cell in cells])
    yield table(["$m$", "$M$", "$i$", "$iM$"], rows)


def two_way(step: Combine, names: Sequence[str]) -> Block:
    a, b = names
    across = len(step.residues[1])
    rows = [
        [
            f"${a} = {r}$",
            *(sum_shown(step, c) for c in step.choices[i * across : (i + 1) * across]),
        ]
        for i, r in enumerate(step.residues[0])
    ]
    return table(["", *(f"${b} = {r}$" for r in step.residues[1])], rows, row_heads=True)


def sum_shown(step: Combine, choice: Choice) -> str:
    """182 + 189 = 371 ≡ 20; without the sum where it is long."""
    result = result_shown(step, choice)
    if step.modulus > FITS_ON_THE_BOARD:
        return f"${result}$"
    terms = [str(w.e * r) for w, r in zip(step.weights, choice.residues, strict=True)]
    equal = str(choice.sum) == result
    return f"${' + '.join(terms)} = {choice.sum}{'' if equal else f' ≡ {result}'}$"


def result_shown(step: Combine, choice: Choice) -> str:
    """The least residue; with its own modulus where choices stand for different classes."""
    least, d = choice.joined
    return f"{least} (mod {shown(d, step)})" if is_mixed(step) else str(least)


def one_way(step: Combine, names: Sequence[str], rule: str) -> Block:
    """A row a choice; the sums are left out where they are long."""
    with_sums = step.modulus <= FITS_ON_THE_BOARD
    head = [f"${a}$" for a in names]
    if with_sums:
        head.append(f"${rule}$" if len(names) <= TOLD_ONE_BY_ONE else _("sum"))
    if is_mixed(step):
        head.append("$x$")
    else:
        head.append(_("$x$ modulo ${m}$").format(m=shown(step.modulus, step)))
    rows = []
    for choice in step.choices:
        cells = [*map(str, choice.residues), *([str(choice.sum)] if with_sums else [])]
        rows.append([f"${cell}$" for cell in (*cells, result_shown(step, choice))])
    return table(head, rows)


# ------------------------------------------------------------ the answer


def conclude(step: Conclude) -> Iterator[Block]:
    told = no_solution(step) if step.failing else solutions(step)
    yield from flowing(told, _("Answer."))


def no_solution(step: Conclude) -> Iterator[Piece]:
    if len(step.factors) > 1 and step.failing:
        yield _("A solution modulo ${m}$ would be one modulo ${q}$, and there is none.").format(
            m=modulus_text(step.modulus, step.factors), q=power_value(*step.failing)
        )
    yield _("The congruence has no solutions.")


def solutions(step: Conclude) -> Iterator[Piece]:
    m = modulus_text(step.modulus, step.factors)
    classes, residues = step.classes, step.residues
    if classes is not None and every_residue(classes) and step.count > 1:
        yield _("Every residue modulo ${m}$ is a solution: {n}.").format(m=m, n=count_told(step))
    elif residues is not None and each_on_a_line(residues):
        yield on_lines_below(step.count, m)
        yield residue_lines(residues)
    elif residues is not None:
        listed = f"$x ≡ {listing(residues)} (mod {m})$"
        if classes is not None and len(classes) < step.count:
            listed = _("{classes}, that is {residues}").format(
                classes=class_phrase(classes, step.factors), residues=listed
            )
        yield f"{listed}: {count_told(step)}."
    elif classes is not None:
        yield f"{class_phrase(classes, step.factors)}: {classes_counted(classes, step)}."
    else:
        yield _("Every choice gives a solution: {n}.").format(n=count_told(step))


def classes_counted(classes: Sequence[Class], step: Conclude) -> str:
    """729/27 + 729/81 = 36 solutions: of classes whose residues are not written out."""
    if step.count > FITS_ON_THE_BOARD or len(step.local_counts) > 1:
        return count_told(step)
    parts = counted_by_class(
        classes,
        modulus_text(step.modulus, step.factors),
        lambda d: modulus_text(d, divided(d, step.factors)),
    )
    return _("${parts} = {n}$ solutions").format(parts=parts, n=step.count)


def count_told(step: Conclude) -> str:
    """four solutions, 2 · 2 = 4 as expected."""
    n = step.count
    if len(step.local_counts) < 2 or n == 1:
        return counted(n)
    product = " · ".join(map(str, step.local_counts))
    return _("{solutions}, ${product} = {n}$ as expected").format(
        solutions=counted(n), product=product, n=n
    )


# ------------------------------------------------------------ the check


def substitute(step: Substitute) -> Iterator[Block]:
    yield from flowing(checked(step), _("Check."))


def checked(step: Substitute) -> Iterator[Piece]:
    m = modulus_text(step.modulus, step.factors)
    if step.values is not None:
        values = ", ".join(
            f"$f({r}) = {multiple_of(v, step.modulus)}$"
            for r, v in zip(step.solutions, step.values, strict=True)
        )
    elif each_on_a_line(step.solutions):
        yield _("Each of them, substituted for $x$, makes $f(x) ≡ 0 (mod {m})$.").format(m=m)
        return
    else:
        values = f"${', '.join(f'f({r}) ≡ 0' for r in step.solutions)} (mod {m})$"
    yield values + ("." if step.complete else _(", and so on."))


def pair_off(step: PairOff) -> Iterator[Block]:
    if max(s for _r, s in step.pairs) > IN_A_SENTENCE:
        return
    b = -step.b
    totals = {r + s for r, s in step.pairs}
    if len(totals) == 1:
        (total,) = totals
        chain = " = ".join(f"{r} + {s}" for r, s in step.pairs) + f" = {total}"
        chain += "" if total == b else f" ≡ {b}"
    else:
        chain = " ≡ ".join(f"{r} + {s}" for r, s in step.pairs) + f" ≡ {b}"
    partner = f"{b} - x" if b else "-x"
    yield from flowing(
        [
            _(
                "And the solutions pair off: ${chain}$, as they must, since ${partner}$ solves the "
                "congruence whenever $x$ does."
            ).format(chain=chain, partner=partner)
        ]
    )
