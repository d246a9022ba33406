r"""Prose and formulas as the body of a LaTeX document that can break its lines.

It compiles with pdflatex and lualatex and `amsmath` and `array` alone, in the font encodings that
both begin with.  Formulas are those of `tex`, in \( \): LaTeX breaks them after relations and
signs, and here also between the items of a list.  A display is such a formula in a `quote`; rows
are aligned where the widest fits a line.  A table that is wide has columns of fixed widths, and a
long one is set in several, each with its head.

What these fonts do not have is refused; nothing is dropped, and nothing that an author wrote is a
command.

Source: LaTeX2e kernel (utf8 input and the OT1 encoding: `ot1enc.dfu`); amsmath user's guide.
"""

import re
import unicodedata
from collections.abc import Iterator, Sequence

from itembank.notation import plain, tex
from itembank.notation.plain import is_numeric
from itembank.notation.tree import (
    Block,
    Blocks,
    Display,
    Formula,
    Inline,
    Inlines,
    Math,
    Paragraph,
    Strong,
    Table,
)
from itembank.values.errors import NotationError
from itembank.values.worded import worded

_LINE = 72
"""Characters of a formula, in plain text, that surely fit a line of a document."""

_TABLE_LINE = 84
"""Characters of a row of a table, columns and the space between them, that surely fit a line."""

_ROWS = 24
"""The most rows of one table."""

_LONGEST_NUMBER = 40
"""Digits of a number that is never broken."""

# ------------------------------------------------------------ characters

_MARKS = "\u0300\u0301\u0302\u0303\u0304\u0306\u0307\u0308\u030a\u030b\u030c\u0327"
"""What a Latin letter may bear, as combining characters: grave, acute, ..., caron, cedilla."""

_LETTERS = frozenset("ßæœøåłıÆŒØÅŁ")

_SAID: dict[str, str] = {
    "\N{NO-BREAK SPACE}": "~",
    "\N{NARROW NO-BREAK SPACE}": r"\,",
    "‘": "`", "’": "'", "“": "``", "”": "''", "‚": ",", "„": ",,",
    "–": "--", "—": "---", "…": r"\dots{}", "·": r"\(\cdot\)", "×": r"\(\times\)",
    "−": r"\(-\)", "±": r"\(\pm\)", "÷": r"\(\div\)", "√": r"\(\surd\)", "°": r"\(^\circ\)",
    "≡": r"\(\equiv\)", "≢": r"\(\not\equiv\)", "≠": r"\(\ne\)", "≤": r"\(\le\)", "≥": r"\(\ge\)",
    "∣": r"\(\mid\)", "∤": r"\(\nmid\)", "∈": r"\(\in\)", "∅": r"\(\emptyset\)",
    "→": r"\(\to\)", "⟶": r"\(\to\)", "∞": r"\(\infty\)",
    "«": r"\(\ll\)", "»": r"\(\gg\)", "<": r"\(<\)", ">": r"\(>\)", "|": r"\(|\)",
    "′": r"\('\)", "§": r"\S{}", "¶": r"\P{}", "©": r"\copyright{}", "£": r"\pounds{}",
    "¿": "?`", "¡": "!`", "½": r"\(\frac12\)",
    **{d: rf"\(^{n}\)" for n, d in enumerate("⁰¹²³⁴⁵⁶⁷⁸⁹")},
    **{d: rf"\(_{n}\)" for n, d in enumerate("₀₁₂₃₄₅₆₇₈₉")},
    **{
        c: rf"\({c_}\)"
        for c, c_ in {
            "α": r"\alpha", "β": r"\beta", "γ": r"\gamma", "δ": r"\delta", "ε": r"\varepsilon",
            "ζ": r"\zeta", "η": r"\eta", "θ": r"\theta", "κ": r"\kappa", "λ": r"\lambda",
            "μ": r"\mu", "ν": r"\nu", "ξ": r"\xi", "π": r"\pi", "ρ": r"\rho", "σ": r"\sigma",
            "τ": r"\tau", "φ": r"\varphi", "χ": r"\chi", "ψ": r"\psi", "ω": r"\omega",
            "Γ": r"\Gamma", "Δ": r"\Delta", "Λ": r"\Lambda", "Π": r"\Pi", "Σ": r"\Sigma",
            "Φ": r"\Phi", "Ψ": r"\Psi", "Ω": r"\Omega", "ℤ": r"\mathbf{Z}",
        }.items()
    },
}  # fmt: skip
"""What stands for a character that the font encodings have otherwise, or not at all."""

_UNSAFE = re.compile(r"[^ !\"'()*+,./0-9:;=?@A-Z\[\]`a-z-]|-(?=-)|[?!](?=`)|[`',](?=[`',])")
"""Whatever does not stand for itself, ligatures of the fonts included."""


def text(words: str) -> str:
    r"""Words as they are printed; NotationError for a character that the fonts do not have.

    >>> text(r"50% of \input{a} — or x_1")
    '50\\% of \\textbackslash{}input\\{a\\} --- or x\\_1'
    """
    return _UNSAFE.sub(lambda found: _character(found[0]), " ".join(words.split("\n")))


def _character(c: str) -> str:
    if c in "-?!`',":
        return c + "{}"
    if c in tex.SPECIAL:
        return tex.SPECIAL[c]
    if c in _SAID:
        return _SAID[c]
    if c in _LETTERS or _is_accented(c):
        return c
    raise NotationError(
        worded(
            "expected characters that LaTeX has in its own fonts, got '{c}' (U+{ord}); "
            "write it otherwise",
            c=c,
            ord=format(ord(c), "04X"),
        )
    )


def _is_accented(c: str) -> bool:
    parted = unicodedata.normalize("NFD", c)
    return len(parted) == 2 and parted[0].isascii() and parted[0].isalpha() and parted[1] in _MARKS


# ------------------------------------------------------------ formulas

_PIECES = re.compile(r"(,\\;|\\.|[(){}])")
_BEYOND_ASCII = re.compile(r"[^\x00-\x7f]")
_DIGITS = re.compile(rf"\d{{{_LONGEST_NUMBER},}}")


def _math(node: Math) -> str:
    r"""A formula within a line, which may be broken between the items of a list."""
    return rf"\({breakable(tex.math(node))}\)"


def breakable(source: str) -> str:
    r"""A formula that may be broken after the commas of a list, and within a very long number.

    >>> breakable(r"\{1,\; 2\}, f(1,\; 2)")
    '\\{1,\\allowbreak\\; 2\\}, f(1,\\; 2)'
    """
    depth, found = 0, ""
    for piece in _PIECES.split(source):
        depth += (piece in ("(", "{")) - (piece in (")", "}"))
        found += r",\allowbreak\;" if piece == r",\;" and depth == 0 else piece
    found = _BEYOND_ASCII.sub(lambda c: _character(c[0]), found)
    return _DIGITS.sub(lambda number: r"\allowbreak ".join(_tens(number[0])), found)


def _tens(digits: str) -> Iterator[str]:
    for at in range(0, len(digits), 10):
        yield digits[at : at + 10]


# ------------------------------------------------------------ prose


def inlines(content: Inlines) -> str:
    return "".join(map(_inline, content))


def _inline(part: Inline) -> str:
    match part:
        case Formula(node):
            return _math(node)
        case Strong(words):
            return rf"\textbf{{{text(words)}}}"
        case str():
            return text(part)


def blocks(blocks: Blocks) -> str:
    """The blocks as part of a document's body, a blank line between them."""
    return "\n\n".join(map(_block, blocks)) + "\n" if blocks else ""


def _block(block: Block) -> str:
    match block:
        case Paragraph(content, lead):
            return rf"\textbf{{{text(lead)}}} " * bool(lead) + inlines(content)
        case Display(rows):
            return "\n".join((r"\begin{quote}", *_display(rows), r"\end{quote}"))
        case Table():
            return "\n\n".join(map(_tabular, _parts(block)))


def _display(rows: Sequence[Math]) -> Iterator[str]:
    """Rows aligned at their first relation signs; one, or any that is wide, as lines that break."""
    if len(rows) > 1 and all(len(plain.math(row)) <= _LINE for row in rows):
        yield r"\(\begin{aligned}"
        yield " \\\\\n".join(breakable(tex.aligned_row(row)) for row in rows)
        yield r"\end{aligned}\)"
    else:
        yield " \\\\\n".join(rf"\(\displaystyle {breakable(tex.math(row))}\)" for row in rows)


def _parts(table: Table) -> Iterator[Table]:
    """A table, or several of at most _ROWS rows under the same head."""
    for at in range(0, max(1, len(table.rows)), _ROWS):
        yield Table(table.head, table.rows[at : at + _ROWS], table.row_heads)


def _tabular(table: Table) -> str:
    """Columns of integers to the right, others to the left; a rule under the head."""
    lines = [" & ".join(map(inlines, row)) + r" \\" for row in (table.head, *table.rows)]
    return "\n".join(
        (
            r"\begin{center}",
            rf"\begin{{tabular}}{{{_places(table)}}}",
            lines[0],
            r"\hline",
            *lines[1:],
            r"\end{tabular}",
            r"\end{center}",
        )
    )


def _places(table: Table) -> str:
    """The columns: as wide as what they hold, or shares of the line where that is too much."""
    columns = list(zip(table.head, *table.rows, strict=True))
    widths = [max(len(plain.inlines(cell)) for cell in column) + 3 for column in columns]
    if sum(widths) <= _TABLE_LINE:
        return "".join("r" if is_numeric(column[1:]) else "l" for column in columns)
    return "".join(
        rf">{{\raggedright\arraybackslash}}p{{\dimexpr {share}\linewidth-2\tabcolsep\relax}}"
        for share in _shares(widths)
    )


def _shares(widths: Sequence[int]) -> list[str]:
    """The parts of a line, together one, that columns of these widths get: what is narrow keeps
    its width, and what is wide shares the rest."""
    fair = _TABLE_LINE // len(widths)
    kept = sum(w for w in widths if w <= fair)
    wide = sum(w for w in widths if w > fair)
    parts = [1000 * w if w <= fair else 1000 * w * (_TABLE_LINE - kept) // wide for w in widths]
    return [f"0.{part // _TABLE_LINE:03}" for part in parts]
