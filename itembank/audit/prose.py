"""What a student reads, recovered from markup: lines of text with formulas in them.

Mathematics comes in presentation MathML, in HTML with `sup` and `sub`, in TeX
between \\( \\) or \\[ \\], or as plain Unicode; every one is turned into typed text,
`x^2 + 9x + 5 ≡ 0 (mod 117)`.  A formula that the markup marks as one is kept
apart in its line, so that its ends are known.

These readers are the audit's own: they share nothing with what wrote the markup.

Sources: MathML 3.0, 3.2 to 3.5 (presentation elements); HTML 5, 4.5 (sub, sup).
"""

import re
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from functools import lru_cache, partial

from lxml import etree, html

from itembank.audit.budget import MARKUP_DEEP
from itembank.audit.filled import MARK, Filled, form, marks
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element, elements, local_name
from itembank.values.worded import worded


@dataclass(frozen=True)
class Formula:
    """Mathematics as typed text; `spoken` is what the markup has software say instead."""

    text: str
    spoken: str = ""


Line = tuple[str | Formula, ...]
Lines = tuple[Line, ...]


def text_of(lines: Lines) -> str:
    """The lines as a student reads them, one space between words."""
    return "\n".join(
        " ".join("".join(p if isinstance(p, str) else p.text for p in line).split())
        for line in lines
    )


# ------------------------------------------------------------ markup to lines

_BLOCKS = frozenset([
    "address", "article", "blockquote", "caption", "dd", "div", "dl", "dt", "figure", "h1",
    "h2", "h3", "h4", "h5", "h6", "hr", "itemBody", "li", "ol", "p", "pre", "section", "table",
    "tbody", "td", "tfoot", "th", "thead", "tr", "ul", "br", "prompt", "rubricBlock",
])  # fmt: skip
"""Elements that begin a line, and end one."""

SKIPPED = frozenset([
    "script", "style", "textEntryInteraction", "choiceInteraction", "inlineChoiceInteraction",
    "orderInteraction", "matchInteraction", "feedbackInline", "feedbackBlock",
])  # fmt: skip
"""What is no part of the prose that stands around it."""


def lines_of(element: Element, depth: int = 0) -> Lines:
    """The prose of an element, in lines; Unsupported for mathematics in an unknown form.

    `depth`: how deep the element stands in what is read as a whole.
    """
    writer = _Writer()
    writer.content(element, depth)
    return writer.finished()


class Read:
    """Prose that is read when it is wanted, the first time: its lines, and its text."""

    def __init__(self, lines: Callable[[], Lines], text: Callable[[], str] | None = None) -> None:
        self._read_lines = lines
        self._read_text = text or (lambda: text_of(self.lines()))
        self._lines: Lines | None = None
        self._text: str | None = None

    def lines(self) -> Lines:
        if self._lines is None:
            self._lines = self._read_lines()
        return self._lines

    def text(self) -> str:
        if self._text is None:
            self._text = self._read_text()
        return self._text


def read_once(element: Element) -> Read:
    """The prose of an element."""
    return Read(partial(lines_of, element))


def lines_of_html(source: str) -> Lines:
    """The prose of a piece of HTML, as it stands in a text field of a package."""
    return lines_of(fragment(source)) if source.strip() else ()


@lru_cache(maxsize=64)
def fragment(source: str) -> Element:
    """A piece of HTML as one element, not to be changed."""
    return fragment_of(source)


def fragment_of(source: str) -> Element:
    """A piece of HTML as one element."""
    try:
        return html.fragment_fromstring(source, create_parent="div")
    except (etree.ParserError, etree.XMLSyntaxError, ValueError) as error:
        raise Unsupported(worded("HTML that cannot be read ({error})", error=error)) from None


def formulas_of(element: Element) -> Iterator[Formula]:
    """The formulas in MathML below an element, in order."""
    for math in element.iter("math", "{http://www.w3.org/1998/Math/MathML}math"):
        yield Formula(_text_of_formula(math), math.get("alttext", ""))


class _Writer:
    """Collects parts into lines, in document order."""

    def __init__(self) -> None:
        self.lines: list[Line] = []
        self.parts: list[str | Formula] = []

    def content(self, element: Element, depth: int) -> None:
        if depth > MARKUP_DEEP:
            raise Unsupported(
                worded("elements more than {markup_deep} deep", markup_deep=MARKUP_DEEP)
            )
        self.text(element.text)
        for child in element:
            if isinstance(child.tag, str):
                self.element(child, depth)
            self.text(child.tail)

    def element(self, element: Element, depth: int) -> None:
        name = local_name(element)
        if name == "math":
            first, *others = _text_of_formula(element).split("\n")
            self.parts.append(Formula(first, "" if others else element.get("alttext", "")))
            for row in others:
                self.end_line()
                self.parts.append(Formula(row))
        elif name in ("sup", "sub"):
            self.parts.append(_script("^" if name == "sup" else "_", _flat(element)))
        elif name in _BLOCKS:
            self.end_line()
            self.content(element, depth + 1)
            self.end_line()
        elif name not in SKIPPED:
            self.content(element, depth + 1)

    def text(self, text: str | None) -> None:
        if text:
            self.parts.extend(_tex_parts(text) if "\\(" in text or "\\[" in text else [text])

    def end_line(self) -> None:
        if any(isinstance(p, Formula) or p.strip() for p in self.parts):
            self.lines.append(tuple(self.parts))
        self.parts = []

    def finished(self) -> Lines:
        self.end_line()
        return tuple(self.lines)


def _flat(element: Element) -> str:
    """The text of an element within a line, typed."""
    return "".join(p if isinstance(p, str) else p.text for line in lines_of(element) for p in line)


def _script(sign: str, inside: str) -> str:
    """^2, ^(n + 1), _1: brackets where the inside is more than digits or a letter."""
    inside = inside.strip()
    bare = re.fullmatch(r"[0-9]+|[A-Za-z]", inside)
    return f"{sign}{inside}" if bare else f"{sign}({inside})"


# ------------------------------------------------------------ MathML

_INVISIBLE = dict.fromkeys(map(ord, "\u2061\u2062\u2063\u2064\u200b"))
_SPACED = frozenset("=≡≢≠<>≤≥+-−±∣∈")


_ROWS = frozenset(["math", "mrow", "mstyle", "mpadded", "mtd", "menclose", "merror"])
_TOKENS = frozenset(["mi", "mn", "mtext", "ms"])
_EMPTY = frozenset(["mphantom", "none", "annotation", "annotation-xml"])


_KEPT = 8_192
"""How many formulas are kept as they were read; all are let go when there are more."""
_SHORT = 2_000
"""Bytes of a formula that is kept."""
_READ: dict[bytes, Filled] = {}
"""By what is written in a formula, with NUL for each of its numbers."""
_NUMBERS = re.compile(rb"<mn>([0-9]+)</mn>")
_NUMBER = re.compile("[0-9]+")
_READ_EACH_TIME = (b":", b"xmlns", b"<!", b"<?", MARK)
"""Names of other namespaces, what is no element, and what could be taken for a mark."""


def _text_of_formula(math: Element) -> str:
    """A formula as typed text: formulas that differ in their numbers alone are read once.

    A number stands in its text as it is: it is asked only whether it is a run of digits.
    """
    data = etree.tostring(math, encoding="UTF-8", with_tail=False)
    inside = data[data.find(b">") + 1 :]
    pieces = _NUMBERS.split(inside)
    key = b"\0".join(pieces[::2])
    known = _READ.get(key)
    if known is None:
        if len(inside) > _SHORT or any(sign in inside for sign in _READ_EACH_TIME):
            return _mathml(math)
        known = form(_mathml(_with_marks(math)))
        if len(_READ) >= _KEPT:
            _READ.clear()
        _READ[key] = known
    return known.with_numbers(pieces[1::2])[0]


def _with_marks(math: Element) -> Element:
    """A formula with a mark for each of its numbers."""
    copied = deepcopy(math)
    numbers = [
        e
        for e in copied.iter("{*}mn")
        if not e.attrib and not len(e) and _NUMBER.fullmatch(e.text or "")
    ]
    for number, mark in zip(numbers, marks(len(numbers)), strict=True):
        number.text = mark.decode()
    return copied


def _mathml(element: Element, depth: int = 0) -> str:
    """A MathML element as typed text; rows of a table on lines of their own."""
    if depth > MARKUP_DEEP:
        raise Unsupported(
            worded("mathematics more than {markup_deep} deep", markup_deep=MARKUP_DEEP)
        )
    name = local_name(element)
    if name in _TOKENS:
        # the ends of a token are trimmed; hard spaces are content (MathML 3.0, 2.1.7)
        return (element.text or "").strip(" \t\r\n").translate(_INVISIBLE).replace("\xa0", " ")
    if name == "mo":
        return _operator((element.text or "").strip().translate(_INVISIBLE))
    if name == "mspace":
        return " "
    inside = [_mathml(child, depth + 1) for child in elements(element)]
    if name in _ROWS:
        return _tidy("".join(inside)) if name == "math" else "".join(inside)
    if name == "semantics":
        return inside[0] if inside else ""
    if name in _EMPTY:
        return ""
    if name == "mtable":
        return "\n".join(inside)
    if name in ("mtr", "mlabeledtr"):
        return _tidy("".join(inside))
    if name == "mfenced":
        separator = (str(element.get("separators", ",")).strip() or ",")[0]
        within = f"{separator} ".join(inside)
        return f"{element.get('open', '(')}{within}{element.get('close', ')')}"
    if name == "msqrt":
        return f"sqrt({''.join(inside)})"
    if name in ("msup", "msub", "mfrac") and len(inside) == 2:
        first, second = inside
        if name == "mfrac":
            return f"{_grouped(first)}/{_grouped(second)}"
        if set(second.strip()) <= set("'′″‴"):
            return first + second.strip()
        return _grouped(first) + _script("^" if name == "msup" else "_", second)
    if name == "msubsup" and len(inside) == 3:
        return _grouped(inside[0]) + _script("_", inside[1]) + _script("^", inside[2])
    raise Unsupported(worded("the MathML element {name}", name=name))


def _operator(sign: str) -> str:
    return f" {sign} " if sign in _SPACED else sign


def _grouped(text: str) -> str:
    """The base of a power: in brackets unless it is one number or one letter."""
    text = text.strip()
    return text if re.fullmatch(r"[0-9]+|\w", text) else f"({text})"


def _tidy(text: str) -> str:
    """One space where there were several; none inside a bracket's ends."""
    text = "\n".join(" ".join(row.split()) for row in text.split("\n"))
    return text.replace("( ", "(").replace(" )", ")")


# ------------------------------------------------------------ TeX

_TEX_FORMULA = re.compile(r"\\\((.*?)\\\)|\\\[(.*?)\\\]", re.S)

_TEX_TOKEN = re.compile(r"\\[A-Za-z]+|\\.|.", re.S)

_TEX_WORDS = {
    "\\equiv": " ≡ ", "\\cdot": "·", "\\times": "×", "\\le": " ≤ ", "\\leq": " ≤ ",
    "\\ge": " ≥ ", "\\geq": " ≥ ", "\\neq": " ≠ ", "\\ne": " ≠ ", "\\pm": " ± ",
    "\\mid": " ∣ ", "\\nmid": " ∤ ", "\\lt": " < ", "\\gt": " > ",
    "\\in": " ∈ ", "\\emptyset": "∅", "\\varnothing": "∅",
    "\\bmod": " mod ", "\\mod": " mod ", "\\gcd": "gcd", "\\lcm": "lcm", "\\varphi": "φ",
    "\\phi": "φ", "\\lambda": "λ", "\\prime": "′", "\\dots": "…", "\\ldots": "…",
    "\\{": "{", "\\}": "}", "\\left": "", "\\right": "", "\\displaystyle": "", "\\,": " ",
    "\\;": " ", "\\:": " ", "\\!": "", "\\ ": " ", "\\quad": " ", "\\qquad": " ",
    "~": " ", "&": "", "\\\\": "\n",
}  # fmt: skip
"""What a TeX word or sign stands for; every other word is unreadable."""


_NEGATED = {"≡": "≢", "=": "≠", "∣": "∤"}


def _tex_parts(text: str) -> Iterator[str | Formula]:
    """A text with its TeX formulas read."""
    at = 0
    for match in _TEX_FORMULA.finditer(text):
        yield text[at : match.start()]
        source = match[1] if match[1] is not None else match[2]
        yield from (Formula(row) for row in tex(source).split("\n"))
        at = match.end()
    yield text[at:]


def tex(source: str) -> str:
    """A TeX formula as typed text.

    >>> tex(r"x^{2} + 9x \\equiv 0 \\pmod{117}")
    'x^2 + 9x ≡ 0 (mod 117)'
    """
    reader = _TexReader(_TEX_TOKEN.findall(source))
    text = reader.sequence()
    if reader.tokens:
        raise Unsupported(worded("a TeX formula with a brace too many"))
    return _tidy(text)


class _TexReader:
    """Reads groups, scripts, fractions and the words of _TEX_WORDS."""

    def __init__(self, tokens: list[str]) -> None:
        self.tokens = tokens[::-1]
        self.depth = 0

    def sequence(self) -> str:
        out = ""
        while self.tokens and self.tokens[-1] != "}":
            out += self.piece()
        return out

    def piece(self) -> str:
        token = self.tokens.pop()
        if token in ("^", "_"):
            return _script(token, self.argument())
        if token == "{":
            self.tokens.append(token)
            return self.argument()
        if token == "\\pmod":
            return f" (mod {self.argument().strip()})"
        if token in ("\\frac", "\\tfrac", "\\dfrac"):
            return f"{_grouped(self.argument())}/{_grouped(self.argument())}"
        if token == "\\not":
            sign = self.piece().strip()
            if sign not in _NEGATED:
                raise Unsupported(
                    worded("the TeX sign {found} negated", found=sign or "that is missing")
                )
            return f" {_NEGATED[sign]} "
        if token in ("\\text", "\\mathrm", "\\operatorname", "\\textbf"):
            return self.argument()
        if token in _TEX_WORDS:
            return _TEX_WORDS[token]
        if token.startswith("\\"):
            raise Unsupported(worded("the TeX command {token}", token=token))
        return _operator(token)

    def argument(self) -> str:
        """The group in braces, or the one token, that comes next."""
        while self.tokens and self.tokens[-1].isspace():
            self.tokens.pop()
        if not self.tokens:
            raise Unsupported(worded("a TeX formula that ends too soon"))
        if self.tokens[-1] != "{":
            return self.piece()
        self.tokens.pop()
        self.depth += 1
        if self.depth > MARKUP_DEEP:
            raise Unsupported(
                worded("a TeX formula more than {markup_deep} deep", markup_deep=MARKUP_DEEP)
            )
        inside = self.sequence()
        if not self.tokens:
            raise Unsupported(worded("a TeX formula with a brace not closed"))
        self.tokens.pop()
        self.depth -= 1
        return inside
