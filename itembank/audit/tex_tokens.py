"""The tokens of a source in LaTeX: commands, groups, formulas, characters, as they are printed.

Source: LaTeX2e, `source2e`.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from itembank.audit.unsupported import Unsupported
from itembank.values.worded import worded

_TOKEN = re.compile(
    r"(?P<formula>\\\((?:[^\\]|\\[^)])*\\\))"
    r"|\\(?P<edge>begin|end)\{(?P<name>[a-z*]+)\}"
    r"|\\(?P<command>[A-Za-z]+)(?P<blank>[ \t]*)"
    r"|(?P<row>\\\\)"
    r"|\\(?P<sign>[&%$#_{},])"
    r"|(?P<par>\n[ \t]*\n\s*)"
    r"|(?P<brace>[{}&~])"
    r"|(?P<text>(?:(?!\n[ \t]*\n)[^\\{}&~%$#^_])+)"
)

CHARACTERS = {
    "textbackslash": "\\", "textasciitilde": "~", "textasciicircum": "^", "dots": "…", "S": "§",
    "P": "¶", "copyright": "©", "pounds": "£",
}  # fmt: skip

SIGNS = {
    r"\cdot": "·", r"\times": "×", "-": "−", r"\pm": "±", r"\div": "÷", r"\surd": "√",
    r"^\circ": "°", r"\equiv": "≡", r"\not\equiv": "≢", r"\ne": "≠", r"\le": "≤", r"\ge": "≥",
    r"\mid": "∣", r"\nmid": "∤", r"\in": "∈", r"\emptyset": "∅", r"\to": "→", r"\infty": "∞",
    r"\ll": "«", r"\gg": "»", "<": "<", ">": ">", "|": "|", "'": "′",
    r"\frac12": "½",
    r"\alpha": "α", r"\beta": "β", r"\gamma": "γ", r"\delta": "δ", r"\varepsilon": "ε",
    r"\lambda": "λ", r"\mu": "μ", r"\pi": "π", r"\sigma": "σ", r"\tau": "τ", r"\varphi": "φ",
    r"\Gamma": "Γ", r"\Delta": "Δ", r"\Sigma": "Σ", r"\Phi": "Φ", r"\Omega": "Ω",
    **{f"^{n}": d for n, d in enumerate("⁰¹²³⁴⁵⁶⁷⁸⁹")},
    **{f"_{n}": d for n, d in enumerate("₀₁₂₃₄₅₆₇₈₉")},
}  # fmt: skip
"""Formulas that stand for a single character of the prose."""

LIGATURES = {"---": "—", "--": "–", "``": "“", "''": "”", ",,": "„", "?`": "¿", "!`": "¡"}
LIGATURE = re.compile("---|--|``|''|,,|[?!]`")


@dataclass
class Token:
    kind: str
    text: str
    line: int


def tokens(source: str) -> Iterator[Token]:
    """The tokens of a source; Unsupported for a character that is none of them."""
    at, line, counted = 0, 1, 0
    while at < len(source):
        match = _TOKEN.match(source, at)
        line, counted = line + source.count("\n", counted, at), at
        if match is None:
            raise Unsupported(
                worded("line {line}: '{source}'", line=line, source=source[at : at + 20])
            )
        at = match.end()
        kind = match.lastgroup or ""
        if match["formula"]:
            yield Token("formula", match["formula"][2:-2], line)
        elif match["edge"]:
            yield Token(match["edge"], match["name"], line)
        elif match["command"]:
            yield Token("command", match["command"], line)
        else:
            yield Token(kind, match[kind], line)
