r"""Sources in LaTeX, read as the page that they print: the same elements as a page of HTML.

Nothing is run.  A source may hold the commands of _COMMANDS and _ENVIRONMENTS, formulas in \( \)
and characters; whatever else it holds is a finding, with its line, for it might hide, replace or
load something.  What the commands print is said in `paper.tex`, which was read by a person, as was
`preamble.tex`, and both are known by their hash.

Source: LaTeX2e, `source2e`; what each command of `paper.tex` prints stands there.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from hashlib import sha256

from lxml import etree, html

from itembank.audit.budget import PAGE
from itembank.audit.container import Container
from itembank.audit.prose import tex
from itembank.audit.tex_tokens import CHARACTERS, LIGATURE, LIGATURES, SIGNS, Token, tokens
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element
from itembank.values.worded import worded

READ = {
    "paper.tex": "e4927a48290c8b4695ffe7133573800fa27f5b4c048108feaf986997d2f91bfc",
    "preamble.tex": "62f221fd871e228f69e0ff00eb4b9502bc73a07f1cd83237f6e3ce2681b6a62a",
}
"""The files that were read by a person, each by the SHA-256 of its bytes."""

_DOCUMENT = re.compile(
    r"\\PassOptionsToPackage\{(?:a4|letter)paper\}\{geometry\}\n"
    r"\\input\{preamble\}\n\\input\{paper\}\n"
    r"\\renewcommand\*\\ibpage\[2\]\{[^\\{}]*#1[^\\{}]*#2[^\\{}]*\}\n"
    r"\\begin\{document\}\n(?P<body>.*)\\end\{document\}\n",
    re.S,
)
_INPUT = re.compile(r"\\input\{([A-Za-z0-9_-]+)\}")

# ------------------------------------------------------------ what a source prints


@dataclass
class _Reader:
    """Reads tokens into elements, one after the other."""

    waiting: list[Token]
    at: int = 0

    def next(self) -> Token | None:
        return self.waiting[self.at] if self.at < len(self.waiting) else None

    def take(self) -> Token:
        token = self.next()
        if token is None:
            raise Unsupported(worded("a source that ends too soon"))
        self.at += 1
        return token

    def refuse(self, token: Token) -> Unsupported:
        return Unsupported(
            worded(
                "line {line}: {kind} '{text}'",
                line=token.line,
                kind=token.kind,
                text=token.text[:40],
            )
        )

    def blanks(self) -> None:
        """Passes over blank lines, and text that is blank."""
        while (token := self.next()) and (
            token.kind == "par" or (token.kind == "text" and token.text.isspace())
        ):
            self.at += 1

    # ---------------------------------------------------------- arguments

    def opens(self) -> None:
        token = self.take()
        if (token.kind, token.text) != ("brace", "{"):
            raise self.refuse(token)

    def argument(self, parent: Element) -> None:
        """A group in braces, its content put into an element."""
        self.opens()
        self.inline(parent)
        token = self.take()
        if (token.kind, token.text) != ("brace", "}"):
            raise self.refuse(token)

    def plain(self) -> str:
        """A group in braces that is text alone."""
        self.opens()
        text = ""
        while (token := self.take()).text != "}" or token.kind != "brace":
            if token.kind != "text":
                raise self.refuse(token)
            text += token.text
        return text

    # ---------------------------------------------------------- lines

    def inline(self, parent: Element) -> None:
        """What stands within a line, up to its end."""
        while token := self.next():
            if token.kind == "text":
                _put(parent, LIGATURE.sub(lambda m: LIGATURES[m[0]], token.text))
            elif token.kind == "formula":
                _formula(parent, token)
            elif token.kind == "sign":
                _put(parent, " " if token.text == "," else token.text)
            elif token.kind == "brace" and token.text == "~":
                _put(parent, "\N{NO-BREAK SPACE}")
            elif token.kind == "brace" and token.text == "{":
                self.empty()
                continue
            elif token.kind == "command" and token.text in CHARACTERS:
                self.at += 1
                self.empty()
                _put(parent, CHARACTERS[token.text])
                continue
            elif token.kind == "command" and token.text in _WITHIN:
                self.at += 1
                _WITHIN[token.text](self, parent)
                continue
            else:
                return
            self.at += 1

    def empty(self) -> None:
        """A pair of braces with nothing in them, which parts what would run together."""
        self.opens()
        token = self.take()
        if (token.kind, token.text) != ("brace", "}"):
            raise self.refuse(token)

    # ---------------------------------------------------------- blocks

    def blocks(self, parent: Element, until: str) -> None:
        """Paragraphs, displays, tables and commands, up to the end of an environment."""
        while True:
            self.blanks()
            token = self.next()
            if token is None:
                if until:
                    raise Unsupported(worded("a source that ends within {until}", until=until))
                return
            if token.kind == "end":
                if token.text != until:
                    raise self.refuse(token)
                self.at += 1
                return
            if token.kind == "begin":
                self.at += 1
                if token.text not in _ENVIRONMENTS:
                    raise self.refuse(token)
                _ENVIRONMENTS[token.text](self, parent)
            elif token.kind == "command" and token.text in _COMMANDS:
                self.at += 1
                _COMMANDS[token.text](self, parent)
            else:
                start = self.at
                self.inline(_child(parent, "p"))
                if self.at == start:
                    raise self.refuse(token)


def _child(parent: Element, tag: str, name: str = "", **attributes: str) -> Element:
    element = etree.SubElement(parent, tag)
    if name:
        element.set("class", name)
    for key, value in attributes.items():
        element.set(key.replace("_", "-"), value)
    return element


def _put(parent: Element, text: str) -> None:
    """Text at the end of an element."""
    if len(parent):
        parent[-1].tail = (parent[-1].tail or "") + text
    else:
        parent.text = (parent.text or "") + text


_ALIGNED = re.compile(r"\s*\\begin\{aligned\}(.*)\\end\{aligned\}\s*", re.S)


def _formula(parent: Element, token: Token) -> None:
    """A formula as its typed text; a single sign as a character of the prose."""
    if token.text in SIGNS:
        _put(parent, SIGNS[token.text])
        return
    try:
        rows = [_typed(row) for row in _rows_of(token.text)]
    except Unsupported as reason:
        raise Unsupported(worded("line {line}: {reason}", line=token.line, reason=reason)) from None
    math = _child(parent, "math")
    inside = math if len(rows) == 1 else _child(math, "mtable")
    for row in rows:
        cell = inside if len(rows) == 1 else _child(inside, "mtr")
        _child(cell, "mtext").text = row


def _rows_of(source: str) -> list[str]:
    aligned = _ALIGNED.fullmatch(source)
    return re.split(r"\\\\", aligned[1]) if aligned else [source]


def _typed(source: str) -> str:
    source = re.sub(r"(?<=\d)\\allowbreak (?=\d)", "", source).replace(r"\allowbreak", "")
    return " ".join(tex(source).split())


# ------------------------------------------------------------ commands

_Print = Callable[[_Reader, Element], None]


def _line(tag: str, name: str = "") -> _Print:
    """A command with one argument, which is a block of its own."""
    return lambda reader, parent: reader.argument(_child(parent, tag, name))


def _within(tag: str, name: str = "") -> _Print:
    """A command with one argument, within a line."""
    return _line(tag, name)


def _with_line(name: str) -> _Print:
    """A command whose argument is followed by a line to write on."""

    def printed(reader: _Reader, parent: Element) -> None:
        paragraph = _child(parent, "p", name)
        reader.argument(paragraph)
        _put(paragraph, " ")
        _child(paragraph, "span", "line")

    return printed


def _blank(_reader: _Reader, parent: Element) -> None:
    _child(parent, "span", "line")


def _part(reader: _Reader, parent: Element) -> None:
    """A part of the key: what it is of, its mark, what it says."""
    element = _child(parent, "span", "part")
    of = _child(element, "span")
    reader.argument(of)
    if not len(of) and not of.text:
        element.remove(of)
    reader.argument(element)
    reader.argument(_child(element, "span"))


def _cell(reader: _Reader, parent: Element) -> None:
    """Of a copy: question, answer, and where it is worked out."""
    element = _child(parent, "span", "cell")
    reader.argument(element)
    _put(element, ": ")
    reader.argument(_child(element, "strong"))
    _put(element, " [")
    reader.argument(element)
    _put(element, "]")


_WITHIN: dict[str, _Print] = {
    "textbf": _within("strong"),
    "ibcode": _within("strong"),
    "ibchoice": _within("span"),
    "ibword": _within("span", "word"),
    "ibblank": _blank,
    "ibpart": _part,
    "ibcell": _cell,
}


def _option(reader: _Reader, parent: Element) -> None:
    item = _child(parent, "li")
    reader.argument(item)
    _put(item, ". ")
    reader.argument(_child(item, "span"))


def _stage(reader: _Reader, parent: Element) -> None:
    paragraph = _child(parent, "p", "stage")
    reader.argument(_child(paragraph, "span", "prompt"))
    _child(paragraph, "span", "line")


def _stage_words(reader: _Reader, parent: Element) -> None:
    paragraph = _child(parent, "p", "stage")
    reader.argument(_child(paragraph, "span", "prompt"))
    reader.argument(paragraph)


def _room(reader: _Reader, parent: Element) -> None:
    size = re.fullmatch(r"([1-9]0{1,2})mm", reader.plain())
    if size is None:
        raise Unsupported(worded("room of another size than whole tens of millimetres"))
    _child(parent, "div", f"room-{size[1]}")


def _statement(reader: _Reader, parent: Element) -> None:
    reader.argument(_child(_child(parent, "p"), "span", "statement"))


def _key(reader: _Reader, parent: Element) -> None:
    paragraph = _child(parent, "p")
    reader.argument(_child(paragraph, "strong"))
    _put(paragraph, " ")
    reader.argument(_child(paragraph, "span", "key"))


def _row(reader: _Reader, parent: Element) -> None:
    """A copy in the key; rows that follow each other are one table."""
    table = parent[-1] if len(parent) and parent[-1].get("class") == "copies" else None
    table = _child(parent, "table", "copies") if table is None else table
    element = _child(table, "tr")
    reader.argument(_child(element, "th"))
    reader.argument(_child(element, "td"))


_COMMANDS: dict[str, _Print] = {
    "ibtitle": _line("h1"),
    "ibline": _line("p"),
    "ibcopy": _line("p", "copy"),
    "ibname": _with_line(""),
    "ibrule": _line("p", "rule"),
    "ibinstructions": _line("p", "instructions"),
    "ibgroup": _line("h2"),
    "ibdraw": _line("p"),
    "ibentry": _with_line("entry"),
    "iborder": _with_line(""),
    "ibsource": _line("p", "source"),
    "ibstage": _stage,
    "ibstagewords": _stage_words,
    "ibroom": _room,
    "iboption": _option,
    "ibstatement": _statement,
    "ibkey": _key,
    "ibwhen": _line("p"),
    "ibpoints": _line("p", "points"),
    "ibrow": _row,
}


# ------------------------------------------------------------ environments


def _question(reader: _Reader, parent: Element) -> None:
    section = _child(parent, "section", "question")
    heading = _child(section, "h3")
    reader.argument(heading)
    _put(heading, " ")
    reader.argument(_child(heading, "span", "worth"))
    reader.blocks(section, "ibquestion")


def _answer(reader: _Reader, parent: Element) -> None:
    section = _child(parent, "section", "answer")
    heading = _child(section, "h3")
    reader.argument(heading)
    _put(heading, " ")
    identifier = reader.plain()
    _child(heading, "span", "identifier").text = identifier
    section.set("data-question", identifier)
    reader.blocks(section, "ibanswer")


def _options(reader: _Reader, parent: Element) -> None:
    element = _child(parent, "ol", "options", data_choose=reader.plain())
    reader.blocks(element, "iboptions")
    if any(item.tag != "li" for item in element):
        raise Unsupported(worded("options with something between them"))


def _division(name: str, environment: str) -> _Print:
    return lambda reader, parent: reader.blocks(_child(parent, "div", name), environment)


def _display(reader: _Reader, parent: Element) -> None:
    """Formulas on lines of their own."""
    while True:
        reader.blanks()
        reader.inline(_child(parent, "p", "display"))
        token = reader.take()
        if (token.kind, token.text) == ("end", "quote"):
            return
        if token.kind != "row":
            raise reader.refuse(token)


def _centred(reader: _Reader, parent: Element) -> None:
    reader.blanks()
    token = reader.take()
    if (token.kind, token.text) != ("begin", "tabular"):
        raise reader.refuse(token)
    _columns(reader)
    _tabular(reader, _child(parent, "table"), "tabular")
    reader.blanks()
    token = reader.take()
    if (token.kind, token.text) != ("end", "center"):
        raise reader.refuse(token)


def _columns(reader: _Reader) -> None:
    """The columns of a table, which set it and say nothing."""
    depth = 0
    while True:
        token = reader.take()
        depth += {"{": 1, "}": -1}.get(token.text, 0) if token.kind == "brace" else 0
        if token.kind not in ("brace", "text", "command") or (
            token.kind == "command" and token.text not in _COLUMNS
        ):
            raise reader.refuse(token)
        if depth == 0:
            return


_COLUMNS = ("raggedright", "arraybackslash", "dimexpr", "linewidth", "tabcolsep", "relax")


def _tabular(reader: _Reader, table: Element, name: str) -> None:
    """Rows of cells; of a table in the prose the first is its head."""
    while True:
        _rule(reader)
        token = reader.next()
        if token and (token.kind, token.text) == ("end", name):
            reader.at += 1
            return
        _cells(reader, table, "th" if name == "tabular" and not len(table) else "td")


def _rule(reader: _Reader) -> None:
    reader.blanks()
    while (token := reader.next()) and (token.kind, token.text) == ("command", "hline"):
        reader.at += 1
        reader.blanks()


def _cells(reader: _Reader, table: Element, tag: str) -> None:
    element = _child(table, "tr")
    while True:
        reader.inline(_child(element, tag))
        token = reader.take()
        if token.kind == "row":
            return
        if (token.kind, token.text) != ("brace", "&"):
            raise reader.refuse(token)


def _score(reader: _Reader, parent: Element) -> None:
    """The table of points; the first cell of a row is its heading."""
    _columns(reader)
    table = _child(parent, "table", "score")
    _tabular(reader, table, "ibscore")
    for found in table:
        found[0].tag = "th"


_ENVIRONMENTS: dict[str, _Print] = {
    "ibquestion": _question,
    "ibanswer": _answer,
    "ibstem": _division("stem", "ibstem"),
    "ibworking": _division("working", "ibworking"),
    "ibslip": _division("slip", "ibslip"),
    "iboptions": _options,
    "quote": _display,
    "center": _centred,
    "ibscore": _score,
}


# ------------------------------------------------------------ files


def page(container: Container, name: str, findings: list[str]) -> Element:
    """What a source prints, as the root of a page; an empty one, and a finding, if unreadable."""
    root = html.document_fromstring("<html><body></body></html>")
    source = _text_of_file(container, name)
    try:
        document = _DOCUMENT.fullmatch(source)
        language, body = _opened(document["body"] if document else source, bool(document))
        root.set("lang", language)
        reader = _Reader(list(tokens(body)))
        reader.blocks(root[0], "")
    except Unsupported as reason:
        findings.append(
            worded("{name}: {reason}, which is not read here", name=name, reason=reason)
        )
        return html.document_fromstring("<html><body></body></html>")
    return root


_LANGUAGE = re.compile(r"\\iblanguage\{([A-Za-z-]+)\}\n(.*)", re.S)
_SHEET = re.compile(r"\\begin\{ibsheet\}\{[A-Z0-9]{4}\}\n(.*)\\end\{ibsheet\}\n", re.S)


def _opened(body: str, is_document: bool) -> tuple[str, str]:
    """The language of a document or of a copy, and what it holds."""
    said = _LANGUAGE.fullmatch(body)
    if said is None:
        raise Unsupported(worded("line 1: a source that does not say its language"))
    if is_document:
        return said[1], said[2]
    sheet = _SHEET.fullmatch(said[2])
    if sheet is None:
        raise Unsupported(worded("line 1: neither a document nor a copy"))
    return said[1], sheet[1]


def _text_of_file(container: Container, name: str) -> str:
    chunks: list[bytes] = []
    size = 0
    for chunk in container.chunks(name):
        chunks.append(chunk)
        size += len(chunk)
        if size > PAGE:
            raise container.refused(f"expected a source of at most {PAGE} bytes", name)
    try:
        return b"".join(chunks).decode()
    except UnicodeDecodeError:
        raise container.refused("expected UTF-8, got other bytes", name) from None


def unread(container: Container, names: list[str]) -> Iterator[str]:
    """The files of commands that are not those that were read."""
    for name, known in READ.items():
        if name not in names:
            yield worded("{name}: expected this file beside the sources", name=name)
        elif sha256(b"".join(container.chunks(name))).hexdigest() != known:
            yield worded("{name}: expected the file that was read, got another", name=name)


def unlisted(container: Container, name: str, sheets: list[str]) -> Iterator[str]:
    """A document of all copies that does not hold each of them, once, in their order."""
    document = _DOCUMENT.fullmatch(_text_of_file(container, name))
    said = _LANGUAGE.fullmatch(document["body"]) if document else None
    lines = said[2].split() if said else []
    found = [match[1] if (match := _INPUT.fullmatch(one)) else "" for one in lines]
    if found != [sheet.removesuffix(".tex") for sheet in sheets]:
        yield worded("{name}: expected each copy once, in their order", name=name)
