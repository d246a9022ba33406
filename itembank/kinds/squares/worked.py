"""The worked solutions about squares modulo m, told from their steps."""

from collections.abc import Iterator

from itembank.kinds.squares.steps import (
    Level,
    LocalSquares,
    MultiplyCounts,
    SplitModulus,
    SquareTable,
)
from itembank.kinds.wording import Tellers, conjunction, listing, prime_power, prime_powers, run_in
from itembank.languages.words import _, ngettext
from itembank.notation.prose import paragraph, table
from itembank.notation.tree import Block

WRITTEN_CLASSES = 40
"""The most classes, or residues, of one level that are written out."""

SHORT = 10**6
"""Residues modulo larger prime powers are given as classes."""

SUMMED = 8
"""The most levels whose numbers are written as a sum."""


# ------------------------------------------------------------ the table


def square_table(step: SquareTable) -> Iterator[Block]:
    m = step.m
    if m == 1:
        yield paragraph(_("Modulo 1 the only residue is 0, and $0^2 = 0$."))
        return
    if step.units:
        text = _(
            "$(-x)^2 = x^2$, so it is enough to square the residues from 1 to {half} that are "
            "coprime to {m}:"
        )
    else:
        text = _("$(-x)^2 = x^2$, so it is enough to square the residues from 0 to {half}:")
    yield paragraph(text.format(half=m // 2, m=m), _("Square the residues."))
    yield table(
        ("$x$", "$x^2$"),
        [
            (f"${x}$", f"${square}$" if square < m else f"${square} ≡ {residue}$")
            for x, square, residue in step.rows
        ],
    )
    yield paragraph(expectation(step))


def expectation(step: SquareTable) -> str:
    """What the table shows of the number of squares."""
    m, residues = step.m, [residue for _x, _square, residue in step.rows]
    if step.is_prime and m > 2:
        return _(
            "{m} is prime, so $x^2 ≡ y^2$ only for $y ≡ ±x$: the squares in the table are all "
            "different, {half} of them other than 0."
        ).format(m=m, half=(m - 1) // 2)
    repeated = sorted({r for r in residues if residues.count(r) > 1})
    if not repeated:
        return _("The squares in the table are all different.")
    return ngettext(
        "More than one row of the table gives {r}: it counts once.",
        "Several rows of the table give the same square, {r}: each counts once.",
        len(repeated),
    ).format(r=conjunction(map(str, repeated)))


# ------------------------------------------------------------ prime powers


def split_modulus(step: SplitModulus) -> Iterator[Block]:
    if len(step.factors) == 1:
        text = _("${m} = {product}$ is a power of a prime.")
    else:
        text = _(
            "${m} = {product}$. By the Chinese remainder theorem a residue is a square modulo {m} "
            "if and only if it is a square modulo {parts}."
        )
    yield paragraph(
        text.format(
            m=step.m,
            product=prime_powers(step.factors),
            parts=conjunction(f"${prime_power(p, k)}$" for p, k in step.factors),
        ),
        _("Split the modulus."),
    )


def local_squares(step: LocalSquares) -> Iterator[Block]:
    p, k = step.p, step.k
    lead = _("Modulo {q}.").format(q=run_in(prime_power(p, k)))
    listed = bool(step.levels[0].classes)
    yield paragraph(rule(p, k, step.units), lead)
    if len(step.levels) > 1 or (listed and k > 1):
        yield level_table(step, listed)
    elif listed and len(step.levels[0].classes) <= WRITTEN_CLASSES:
        yield paragraph(
            _("They are ${residues}$.").format(
                residues=listing(r for r, _d in step.levels[0].classes)
            )
        )
    yield paragraph(number_of_all(step))


def rule(p: int, k: int, units: bool) -> str:
    """Which numbers coprime to p are squares modulo p^k, and how many, in one or two sentences."""
    if p == 2:
        texts = {
            1: _("The only odd residue modulo 2 is 1, a square."),
            2: _("The square of an odd number is 1 modulo 4, so 1 is the only odd square."),
        }
        return texts.get(
            k,
            _(
                "The square of an odd number is 1 modulo 8, and every number that is 1 modulo 8 is "
                "a square modulo $2^{k}$: the odd squares are the residues that are 1 modulo 8."
            ).format(k=k),
        )
    values = {"p": p, "half": (p - 1) // 2, "q": f"{p}^{k}"}
    half = ngettext(
        "$x^2 ≡ y^2 (mod {p})$ only for $y ≡ ±x$, so the ${p} - 1$ residues other than 0 have "
        "$({p} - 1)/2 = {half}$ square.",
        "$x^2 ≡ y^2 (mod {p})$ only for $y ≡ ±x$, so the ${p} - 1$ residues other than 0 have "
        "$({p} - 1)/2 = {half}$ different squares.",
        (p - 1) // 2,
    )
    lifted = _(
        "A square root modulo {p} of a number that is no multiple of {p} lifts to every power of "
        "{p}: such a number is a square modulo ${q}$ if and only if it is one modulo {p}."
    )
    return (half if k == 1 else f"{half} {lifted}").format(**values)


def level_table(step: LocalSquares, listed: bool) -> Block:
    p, k = step.p, step.k
    if not listed:
        return table(
            (_("squares"), _("modulo"), _("number")),
            [
                (
                    form(level),
                    f"${prime_power(p, level.n)}$",
                    f"${count_text(level)}$",
                )
                for level in step.levels
            ],
        )
    return table(
        (_("squares"), _("residues modulo {q}").format(q=f"${p}^{k}$"), _("number")),
        [(form(level), residues_text(level), f"${level.count}$") for level in step.levels],
    )


def form(level: Level) -> str:
    """Which squares a level holds: "coprime to 3", "9u, u coprime to 3"."""
    if level.q == 1:
        return _("coprime to {p}").format(p=level.p)
    return _("${q}u$ with $u$ coprime to {p}").format(q=level.q, p=level.p)


def residues_text(level: Level) -> str:
    modulus = level.p**level.k
    if level.count <= WRITTEN_CLASSES and modulus <= SHORT:
        found = sorted(x for r, d in level.classes for x in range(r, modulus, d))
        return f"${listing(found)}$"
    if len(level.classes) <= WRITTEN_CLASSES:
        (_r, d) = level.classes[0]
        return f"${listing(r for r, _d in level.classes)} (mod {d})$"
    return _("{n} classes").format(n=len(level.classes))


def count_text(level: Level) -> str:
    """3^2 · (3 - 1)/2 = 9, 2^(5 - 3) = 4, ...: the squares coprime to p modulo p^n."""
    p, n = level.p, level.n
    if p == 2:
        return str(level.count) if n <= 3 else f"2^{n - 3} = {level.count}"
    power = "" if n == 1 else f"{p}^{n - 1} · " if n > 2 else f"{p} · "
    return f"{power}({p} - 1)/2 = {level.count}"


def number_of_all(step: LocalSquares) -> str:
    """How many squares that makes modulo p^k."""
    counts = [level.count for level in step.levels]
    q = prime_power(step.p, step.k)
    if step.units:
        if step.count == 1:
            return _("That is one quadratic residue modulo ${q}$.").format(q=q)
        return _("That makes ${sum}$ quadratic residues modulo ${q}$.").format(
            sum=count_text(step.levels[0]), q=q
        )
    if len(counts) > SUMMED:
        text = _("With $0 = 0^2$ that makes {count} squares modulo ${q}$.")
    else:
        text = _("With $0 = 0^2$ that makes ${sum} = {count}$ squares modulo ${q}$.")
    return text.format(sum=" + ".join(map(str, [*counts, 1])), count=step.count, q=q)


def multiply_counts(step: MultiplyCounts) -> Iterator[Block]:
    text = _(
        "Every choice of one square modulo each prime power is one square modulo {m}: "
        "${product} = {total}$."
    ).format(
        m=step.m,
        product=" · ".join(str(n) for _p, _k, n in step.counts),
        total=step.total,
    )
    if step.weights:
        names = [f"a_{i}" for i in range(1, len(step.weights) + 1)]
        text += " " + _(
            "The squares {names} modulo {parts}, in this order, belong to the residue of ${sum}$ "
            "modulo {m}."
        ).format(
            names=conjunction(f"${name}$" for name in names),
            parts=conjunction(f"${prime_power(p, k)}$" for p, k, _n in step.counts),
            sum=" + ".join(f"{w}{a}" for w, a in zip(step.weights, names, strict=True)),
            m=step.m,
        )
    yield paragraph(text, _("Combine."))


TOLD: Tellers = {
    SquareTable: square_table,
    SplitModulus: split_modulus,
    LocalSquares: local_squares,
    MultiplyCounts: multiply_counts,
}
"""How each step is told."""
