r"""Sources in LaTeX, read as the page that they print: the same elements as a page of HTML.

Nothing is run.  A source may hold the commands of COMMANDS and ENVIRONMENTS, formulas in \( \)
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

DOCUMENT = re.compile(
    r"\\PassOptionsToPackage\{(?:a4|letter)paper\}\{geometry\}\n"
    r"\\input\{preamble\}\n\\input\{paper\}\n"
    r"\\renewcommand\*\\ibpage\[2\]\{[^\\{}]*#1[^\\{}]*#2[^\\{}]*\}\n"
    r"\\begin\{document\}\n(?P<body>.*)\\end\{document\}\n",
    re.S,
)
INPUT = re.compile(r"\\input\{([A-Za-z0-9_-]+)\}")

# ------------------------------------------------------------ what a source prints


@dataclass
class Reader:
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
                put(parent, LIGATURE.sub(lambda m: LIGATURES[m[0]], token.text))
            elif token.kind == "formula":
                formula(parent, token)
            elif token.kind == "sign":
                put(parent, " " if token.text == "," else token.text)
            elif token.kind == "brace" and token.text == "~":
                put(parent, "\N{NO-BREAK SPACE}")
            elif token.kind == "brace" and token.text == "{":
                self.empty()
                continue
            elif token.kind == "command" and token.text in CHARACTERS:
                self.at += 1
                self.empty()
                put(parent, CHARACTERS[token.text])
                continue
            elif token.kind == "command" and token.text in WITHIN:
                self.at += 1
                WITHIN[token.text](self, parent)
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
                if token.text not in ENVIRONMENTS:
                    raise self.refuse(token)
                ENVIRONMENTS[token.text](self, parent)
            elif token.kind == "command" and token.text in COMMANDS:
                self.at += 1
                COMMANDS[token.text](self, parent)
            else:
                start = self.at
                self.inline(child(parent, "p"))
                if self.at == start:
                    raise self.refuse(token)


def child(parent: Element, tag: str, name: str = "", **attributes: str) -> Element:
    element = etree.SubElement(parent, tag)
    if name:
        element.set("class", name)
    for key, value in attributes.items():
        element.set(key.replace("_", "-"), value)
    return element


def put(parent: Element, text: str) -> None:
    """Text at the end of an element."""
    if len(parent):
        parent[-1].tail = (parent[-1].tail or "") + text
    else:
        parent.text = (parent.text or "") + text


ALIGNED = re.compile(r"\s*\\begin\{aligned\}(.*)\\end\{aligned\}\s*", re.S)


def formula(parent: Element, token: Token) -> None:
    """A formula as its typed text; a single sign as a character of the prose."""
    if token.text in SIGNS:
        put(parent, SIGNS[token.text])
        return
    try:
        rows = [typed(row) for row in rows_of(token.text)]
    except Unsupported as reason:
        raise Unsupported(worded("line {line}: {reason}", line=token.line, reason=reason)) from None
    math = child(parent, "math")
    inside = math if len(rows) == 1 else child(math, "mtable")
    for row in rows:
        cell = inside if len(rows) == 1 else child(inside, "mtr")
        child(cell, "mtext").text = row


def rows_of(source: str) -> list[str]:
    aligned = ALIGNED.fullmatch(source)
    return re.split(r"\\\\", aligned[1]) if aligned else [source]


def typed(source: str) -> str:
    source = re.sub(r"(?<=\d)\\allowbreak (?=\d)", "", source).replace(r"\allowbreak", "")
    return " ".join(tex(source).split())


# ------------------------------------------------------------ commands

Print = Callable[[Reader, Element], None]


def line(tag: str, name: str = "") -> Print:
    """A command with one argument, which is a block of its own."""
    return lambda reader, parent: reader.argument(child(parent, tag, name))


def within(tag: str, name: str = "") -> Print:
    """A command with one argument, within a line."""
    return line(tag, name)


def with_line(name: str) -> Print:
    """A command whose argument is followed by a line to write on."""

    def printed(reader: Reader, parent: Element) -> None:
        paragraph = child(parent, "p", name)
        reader.argument(paragraph)
        put(paragraph, " ")
        child(paragraph, "span", "line")

    return printed


def blank(_reader: Reader, parent: Element) -> None:
    child(parent, "span", "line")


def part(reader: Reader, parent: Element) -> None:
    """A part of the key: what it is of, its mark, what it says."""
    element = child(parent, "span", "part")
    of = child(element, "span")
    reader.argument(of)
    if not len(of) and not of.text:
        element.remove(of)
    reader.argument(element)
    reader.argument(child(element, "span"))


def cell(reader: Reader, parent: Element) -> None:
    """Of a copy: question, answer, and where it is worked out."""
    element = child(parent, "span", "cell")
    reader.argument(element)
    put(element, ": ")
    reader.argument(child(element, "strong"))
    put(element, " [")
    reader.argument(element)
    put(element, "]")


WITHIN: dict[str, Print] = {
    "textbf": within("strong"),
    "ibcode": within("strong"),
    "ibchoice": within("span"),
    "ibword": within("span", "word"),
    "ibblank": blank,
    "ibpart": part,
    "ibcell": cell,
}


def option(reader: Reader, parent: Element) -> None:
    item = child(parent, "li")
    reader.argument(item)
    put(item, ". ")
    reader.argument(child(item, "span"))


def stage(reader: Reader, parent: Element) -> None:
    paragraph = child(parent, "p", "stage")
    reader.argument(child(paragraph, "span", "prompt"))
    child(paragraph, "span", "line")


def stage_words(reader: Reader, parent: Element) -> None:
    paragraph = child(parent, "p", "stage")
    reader.argument(child(paragraph, "span", "prompt"))
    reader.argument(paragraph)


def room(reader: Reader, parent: Element) -> None:
    size = re.fullmatch(r"([1-9]0{1,2})mm", reader.plain())
    if size is None:
        raise Unsupported(worded("room of another size than whole tens of millimetres"))
    child(parent, "div", f"room-{size[1]}")


def statement(reader: Reader, parent: Element) -> None:
    reader.argument(child(child(parent, "p"), "span", "statement"))


def key(reader: Reader, parent: Element) -> None:
    paragraph = child(parent, "p")
    reader.argument(child(paragraph, "strong"))
    put(paragraph, " ")
    reader.argument(child(paragraph, "span", "key"))


def row(reader: Reader, parent: Element) -> None:
    """A copy in the key; rows that follow each other are one table."""
    table = parent[-1] if len(parent) and parent[-1].get("class") == "copies" else None
    table = child(parent, "table", "copies") if table is None else table
    element = child(table, "tr")
    reader.argument(child(element, "th"))
    reader.argument(child(element, "td"))


COMMANDS: dict[str, Print] = {
    "ibtitle": line("h1"),
    "ibline": line("p"),
    "ibcopy": line("p", "copy"),
    "ibname": with_line(""),
    "ibrule": line("p", "rule"),
    "ibinstructions": line("p", "instructions"),
    "ibgroup": line("h2"),
    "ibdraw": line("p"),
    "ibentry": with_line("entry"),
    "iborder": with_line(""),
    "ibsource": line("p", "source"),
    "ibstage": stage,
    "ibstagewords": stage_words,
    "ibroom": room,
    "iboption": option,
    "ibstatement": statement,
    "ibkey": key,
    "ibwhen": line("p"),
    "ibpoints": line("p", "points"),
    "ibrow": row,
}


# ------------------------------------------------------------ environments


def question(reader: Reader, parent: Element) -> None:
    section = child(parent, "section", "question")
    heading = child(section, "h3")
    reader.argument(heading)
    put(heading, " ")
    reader.argument(child(heading, "span", "worth"))
    reader.blocks(section, "ibquestion")


def answer(reader: Reader, parent: Element) -> None:
    section = child(parent, "section", "answer")
    heading = child(section, "h3")
    reader.argument(heading)
    put(heading, " ")
    identifier = reader.plain()
    child(heading, "span", "identifier").text = identifier
    section.set("data-question", identifier)
    reader.blocks(section, "ibanswer")


def options(reader: Reader, parent: Element) -> None:
    element = child(parent, "ol", "options", data_choose=reader.plain())
    reader.blocks(element, "iboptions")
    if any(item.tag != "li" for item in element):
        raise Unsupported(worded("options with something between them"))


def division(name: str, environment: str) -> Print:
    return lambda reader, parent: reader.blocks(child(parent, "div", name), environment)


def display(reader: Reader, parent: Element) -> None:
    """Formulas on lines of their own."""
    while True:
        reader.blanks()
        reader.inline(child(parent, "p", "display"))
        token = reader.take()
        if (token.kind, token.text) == ("end", "quote"):
            return
        if token.kind != "row":
            raise reader.refuse(token)


def centred(reader: Reader, parent: Element) -> None:
    reader.blanks()
    token = reader.take()
    if (token.kind, token.text) != ("begin", "tabular"):
        raise reader.refuse(token)
    columns(reader)
    tabular(reader, child(parent, "table"), "tabular")
    reader.blanks()
    token = reader.take()
    if (token.kind, token.text) != ("end", "center"):
        raise reader.refuse(token)


def columns(reader: Reader) -> None:
    """The columns of a table, which set it and say nothing."""
    depth = 0
    while True:
        token = reader.take()
        depth += {"{": 1, "}": -1}.get(token.text, 0) if token.kind == "brace" else 0
        if token.kind not in ("brace", "text", "command") or (
            token.kind == "command" and token.text not in COLUMNS
        ):
            raise reader.refuse(token)
        if depth == 0:
            return


COLUMNS = ("raggedright", "arraybackslash", "dimexpr", "linewidth", "tabcolsep", "relax")


def tabular(reader: Reader, table: Element, name: str) -> None:
    """Rows of cells; of a table in the prose the first is its head."""
    while True:
        rule(reader)
        token = reader.next()
        if token and (token.kind, token.text) == ("end", name):
            reader.at += 1
            return
        cells(reader, table, "th" if name == "tabular" and not len(table) else "td")


def rule(reader: Reader) -> None:
    reader.blanks()
    while (token := reader.next()) and (token.kind, token.text) == ("command", "hline"):
        reader.at += 1
        reader.blanks()


def cells(reader: Reader, table: Element, tag: str) -> None:
    element = child(table, "tr")
    while True:
        reader.inline(child(element, tag))
        token = reader.take()
        if token.kind == "row":
            return
        if (token.kind, token.text) != ("brace", "&"):
            raise reader.refuse(token)


def score(reader: Reader, parent: Element) -> None:
    """The table of points; the first cell of a row is its heading."""
    columns(reader)
    table = child(parent, "table", "score")
    tabular(reader, table, "ibscore")
    for found in table:
        found[0].tag = "th"


ENVIRONMENTS: dict[str, Print] = {
    "ibquestion": question,
    "ibanswer": answer,
    "ibstem": division("stem", "ibstem"),
    "ibworking": division("working", "ibworking"),
    "ibslip": division("slip", "ibslip"),
    "iboptions": options,
    "quote": display,
    "center": centred,
    "ibscore": score,
}


# ------------------------------------------------------------ files


def page(container: Container, name: str, findings: list[str]) -> Element:
    """What a source prints, as the root of a page; an empty one, and a finding, if unreadable."""
    root = html.document_fromstring("<html><body></body></html>")
    source = text_of_file(container, name)
    try:
        document = DOCUMENT.fullmatch(source)
        language, body = opened(document["body"] if document else source, bool(document))
        root.set("lang", language)
        reader = Reader(list(tokens(body)))
        reader.blocks(root[0], "")
    except Unsupported as reason:
        findings.append(
            worded("{name}: {reason}, which is not read here", name=name, reason=reason)
        )
        return html.document_fromstring("<html><body></body></html>")
    return root


LANGUAGE = re.compile(r"\\iblanguage\{([A-Za-z-]+)\}\n(.*)", re.S)
SHEET = re.compile(r"\\begin\{ibsheet\}\{[A-Z0-9]{4}\}\n(.*)\\end\{ibsheet\}\n", re.S)


def opened(body: str, is_document: bool) -> tuple[str, str]:
    """The language of a document or of a copy, and what it holds."""
    said = LANGUAGE.fullmatch(body)
    if said is None:
        raise Unsupported(worded("line 1: a source that does not say its language"))
    if is_document:
        return said[1], said[2]
    sheet = SHEET.fullmatch(said[2])
    if sheet is None:
        raise Unsupported(worded("line 1: neither a document nor a copy"))
    return said[1], sheet[1]


def text_of_file(container: Container, name: str) -> str:
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
    document = DOCUMENT.fullmatch(text_of_file(container, name))
    said = LANGUAGE.fullmatch(document["body"]) if document else None
    lines = said[2].split() if said else []
    found = [match[1] if (match := INPUT.fullmatch(one)) else "" for one in lines]
    if found != [sheet.removesuffix(".tex") for sheet in sheets]:
        yield worded("{name}: expected each copy once, in their order", name=name)
