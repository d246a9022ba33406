"""LaTeX as it is copied from a page, to plain notation.

`$x^{2} \\equiv 2 \\pmod{7}$` is `x^2 ≡ 2 (mod 7)`: commands become the signs of plain notation,
groups become brackets where a bracket is needed, spacing and delimiters fall away.
"""

import re
from collections.abc import Callable

from itembank.values.errors import StatementError
from itembank.values.worded import worded

_TOKEN = re.compile(r"\\[A-Za-z]+\*?|\\.|\s+|[0-9]+|.", re.DOTALL)

_SIGNS = {
    "equiv": "≡", "cong": "≡", "cdot": "*", "times": "*", "ast": "*", "div": "/", "pm": "±",
    "le": "<=", "leq": "<=", "leqslant": "<=", "lt": "<", "ge": ">=", "geq": ">=",
    "geqslant": ">=", "gt": ">", "ne": "!=", "neq": "!=", "mid": "|", "vert": "|",
    "phi": "phi", "varphi": "phi", "lambda": "lambda", "gcd": "gcd", "lcm": "lcm",
    "log": "log", "ord": "ord", "ind": "ind", "bmod": " mod ", "mod": " mod ", "land": " and ",
    "wedge": " and ", "lbrace": " ", "rbrace": " ",
}  # fmt: skip
_NOTHING = frozenset(
    [
        "left",
        "right",
        "big",
        "Big",
        "bigl",
        "bigr",
        "Bigl",
        "Bigr",
        "quad",
        "qquad",
        "displaystyle",
        "textstyle",
        "limits",
        "hline",
        "nonumber",
        "cdots",
        "ldots",
    ]
)
_WORDS = frozenset(
    {"text", "textrm", "textit", "mathrm", "mathit", "mathbf", "operatorname", "mbox"}
)
_FRACTIONS = frozenset({"frac", "dfrac", "tfrac", "cfrac"})
_SYMBOLS = {"\\": "; ", ";": " ", ",": " ", ":": " ", "!": "", " ": " ", "%": "%", "&": "&"}
_FRACTION_ALONE = re.compile(r"[\s$]*\\[dtc]?frac\{[^{}]*\}\{[^{}]*\}[\s$.]*")
"""A fraction and nothing else, which is no Legendre symbol: that has its brackets typed."""

_ATOM = re.compile(r"[0-9]+|[A-Za-z]")


def plainly(text: str) -> str:
    """The text in plain notation; StatementError for a command that has no meaning here.

    >>> plainly(r"$\\tfrac{1}{3}x^{2} \\equiv 2 \\pmod{7}$")
    '(1/3)x^2 ≡ 2 (mod 7)'
    """
    found = " ".join(_Reader(text).read().split())
    return found[1:-1] if _FRACTION_ALONE.fullmatch(text) else found


class _Reader:
    """One pass over the tokens of one text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens: list[str] = _TOKEN.findall(text)
        self.i = 0

    def read(self) -> str:
        found = self.until("")
        while self.i < len(self.tokens):  # a brace that closes nothing
            self.i += 1
            found += self.until("")
        return found

    def until(self, end: str) -> str:
        """What stands before a closing brace, or before the end."""
        found = ""
        while self.i < len(self.tokens) and self.tokens[self.i] != "}":
            found += self.one(found)
        if end:
            if self.i == len(self.tokens):
                raise StatementError(
                    worded(
                        "{text}: expected a closing brace for each open one", text=repr(self.text)
                    )
                )
            self.i += 1
        return found

    def one(self, before: str) -> str:
        token = self.tokens[self.i]
        self.i += 1
        if token[0] == "\\":
            return self.command(token[1:])
        if token in {"$", "&"}:
            return " "
        if token == "~":
            return " "
        if token == "{":
            inside = self.until("}").strip()
            raised = before.rstrip()[-1:] in {"^", "_"}
            return inside if _ATOM.fullmatch(inside) or not raised else f"({inside})"
        return token

    def command(self, name: str) -> str:
        if name in _SYMBOLS:
            return _SYMBOLS[name]
        if name in {"(", ")", "[", "]"} or name in _NOTHING:
            return " "
        if name in {"{", "}"}:
            return " "
        if name in _SIGNS:
            sign = _SIGNS[name]
            return f"{sign} " if sign.isalpha() and not self.opens() else sign
        handler = self.handlers().get(name)
        if handler is None:
            raise StatementError(
                worded(
                    "{text}: expected a command such as \\equiv, \\pmod, \\frac or \\sqrt, found "
                    "\\{name}; without LaTeX the same is typed as in x^2 = 2 mod 7",
                    text=repr(self.text),
                    name=name,
                )
            )
        return handler()

    def handlers(self) -> dict[str, Callable[[], str]]:
        return {
            "pmod": self.pmod,
            "sqrt": self.root,
            "begin": self.environment,
            "end": self.environment,
            **dict.fromkeys(_FRACTIONS, self.fraction),
            **dict.fromkeys(_WORDS, self.words),
        }

    def opens(self) -> bool:
        """Whether a bracket or an index comes next, which a name is written before at once."""
        return self.i < len(self.tokens) and self.tokens[self.i] in {"(", "_"}

    def argument(self) -> str:
        """A group in braces, or the next token."""
        while self.i < len(self.tokens) and self.tokens[self.i].isspace():
            self.i += 1
        if self.i == len(self.tokens):
            raise StatementError(
                worded(
                    "{text}: expected something in braces after the command", text=repr(self.text)
                )
            )
        if self.tokens[self.i] == "{":
            self.i += 1
            return self.until("}").strip()
        return self.one("").strip()

    def pmod(self) -> str:
        return f" (mod {self.argument()})"

    def fraction(self) -> str:
        top, bottom = self.part(), self.part()
        return f"({top}/{bottom})"

    def part(self) -> str:
        """A part of a fraction: a long run of digits without braces is two of them, as in TeX."""
        while self.i < len(self.tokens) and self.tokens[self.i].isspace():
            self.i += 1
        if self.i < len(self.tokens) and len(self.tokens[self.i]) > 1:
            run = self.tokens[self.i]
            if run.isdecimal():
                self.tokens[self.i : self.i + 1] = [run[0], run[1:]]
        inside = self.argument()
        return inside if _ATOM.fullmatch(inside) else f"({inside})"

    def root(self) -> str:
        degree = ""
        if self.i < len(self.tokens) and self.tokens[self.i] == "[":
            end = self.tokens.index("]", self.i) if "]" in self.tokens[self.i :] else self.i
            degree = "".join(self.tokens[self.i + 1 : end]).strip()
            self.i = end + 1
        inside = self.argument()
        return f" {degree}-th root of ({inside})" if degree else f"sqrt({inside})"

    def words(self) -> str:
        return f" {self.argument()} "

    def environment(self) -> str:
        name = self.argument()
        if name.startswith("array"):
            self.argument()
        return " "
