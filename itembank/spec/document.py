"""A spec file as a tree of values with their places: the one reader of YAML.

A spec is text, integers, `true`/`false`, lists and mappings, and nothing else
of YAML: no anchors and aliases (so no bomb that unfolds), no tags (so no
object is ever made), one document, no key twice.

Every size is bounded, and the bounds are met before the work is done.  Faults
are collected in `Faults`; what is at fault stands in the tree as `Broken`, so
that one fault is told once.

Source: YAML 1.1 as PyYAML reads it, by events; its constructors are not used.
"""

import re
from dataclasses import dataclass
from pathlib import Path

import yaml

from itembank.spec.nodes import MOST_DIGITS, Broken, Faults, Fields, Node, Scalar, Sequence, short
from itembank.values.errors import Fault
from itembank.values.worded import joined, worded

MOST_BYTES = 256 * 1024
_MOST_NESTING = 20
_MOST_VALUES = 10_000

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What no XML 1.0 document can hold (section 2.2, Char), so no item either."""

_UNSEEN = re.compile(r"^ *([\u00a0\u2007\u202f])[^:#\n]*:", re.MULTILINE)
"""What looks like an indented field, and is indented by a no-break space."""

_TYPES = {
    "tag:yaml.org,2002:str": "text",
    "tag:yaml.org,2002:int": "integer",
    "tag:yaml.org,2002:bool": "truth value",
    "tag:yaml.org,2002:float": "number",
    "tag:yaml.org,2002:null": "nothing",
    "tag:yaml.org,2002:timestamp": "date",
}
_HINTS = (
    (r"mapping values are not allowed", worded("text that holds ': ' belongs in quotes")),
    (r"found character '\\t'", worded("indent with spaces, not with tabs")),
    (r"found character '[@`%]'", worded("text that begins so belongs in quotes")),
    (
        r"did not find expected alphabetic|expected alphabetic",
        worded("text that begins with * or & belongs in quotes"),
    ),
    (r"could not find expected ':'", worded("a field is written 'name: value'")),
    (r"expected ',' or '}', but got '{'", worded("text that holds a brace belongs in quotes")),
    (r"expected ',' or", worded("a bracket opened before stays open")),
    (r"expected <block end>", worded("lines of one list or mapping begin in the same column")),
    (r"end of stream|found '<stream end>'", worded("a bracket or a quote stays open")),
)


class _Unreadable(Exception):
    """A fault after which the rest of the file cannot be told."""

    def __init__(self, line: int, column: int, message: str) -> None:
        self.line, self.column, self.message = line, column, message
        super().__init__(message)


@dataclass
class Opened:
    """A spec file that was read: its tree, None if there is none, and what is wrong so far."""

    root: Node | None
    faults: Faults

    @property
    def names(self) -> set[str]:
        """Those of its fields, none where it has no fields."""
        return {key.text for key, _ in self.root.pairs} if isinstance(self.root, Fields) else set()


def opened(path: Path) -> Opened:
    """A spec file, read once for all that look at it."""
    faults = Faults(str(path))
    return Opened(document(path, faults), faults)


def document(path: Path, faults: Faults) -> Node | None:
    """The tree of a spec file; None if there is none, with the reason added to `faults`."""
    try:
        return _tree(_source_text(path), faults)
    except _Unreadable as e:
        faults.found.append(Fault(faults.path, e.line, e.column, e.message))
        return None


def _source_text(path: Path) -> str:
    """The text of a file, at most MOST_BYTES of UTF-8."""
    if not path.is_file():
        found = worded("a folder") if path.is_dir() else worded("none of this name")
        raise _Unreadable(1, 1, worded("expected a file, found {found}", found=found))
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as e:
        raise _Unreadable(
            1, 1, worded("expected a file that opens: {strerror}", strerror=e.strerror)
        ) from None
    if len(data) > MOST_BYTES:
        raise _Unreadable(
            1,
            1,
            worded(
                "expected at most {most_bytes} kB, found a larger file",
                most_bytes=MOST_BYTES // 1024,
            ),
        )
    try:
        return data.decode()
    except UnicodeDecodeError as e:
        line, column = _position_after(data[: e.start].decode())
        byte = data[e.start]
        raise _Unreadable(
            line,
            column,
            worded(
                "expected UTF-8 text, found the byte 0x{byte}; save it as UTF-8",
                byte=format(byte, "02x"),
            ),
        ) from None


def _position_after(before: str) -> tuple[int, int]:
    """Line and column of the character that follows this text."""
    return before.count("\n") + 1, len(before) - before.rfind("\n")


def _tree(text: str, faults: Faults) -> Node:
    """The tree of a YAML text; raises Unreadable where it stops being one."""
    if unseen := _UNSEEN.search(text):
        line, column = _position_after(text[: unseen.start(1)])
        message = worded(
            "expected an ordinary space, found U+{ord}, which looks like one",
            ord=format(ord(unseen[1]), "04X"),
        )
        raise _Unreadable(line, column, message)
    try:
        loader = yaml.SafeLoader(text)
    except yaml.reader.ReaderError as e:
        raise _unprintable(text, e.position) from None
    try:
        return _Composer(loader, text, faults).document()
    except yaml.MarkedYAMLError as e:
        raise _syntax_fault(e) from None
    except (ValueError, OverflowError):
        # An escape such as "\UFFFFFFFF" that names no character: PyYAML passes it to chr().
        raise _Unreadable(
            loader.line + 1, loader.column + 1, worded("expected an escape that names a character")
        ) from None
    finally:
        loader.dispose()


def _unprintable(text: str, index: int) -> _Unreadable:
    line, column = _position_after(text[:index])
    return _Unreadable(
        line,
        column,
        worded(
            "expected text, found the control character U+{ord}",
            ord=format(ord(text[index]), "04X"),
        ),
    )


def _syntax_fault(error: yaml.MarkedYAMLError) -> _Unreadable:
    """YAML's own complaint, with its place and what to do about it where we know."""
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    problem = (error.problem or error.context or "not readable").replace("\n", " ")
    message = worded("not YAML: {problem}", problem=problem)
    hints = [hint for pattern, hint in _HINTS if re.search(pattern, problem)]
    return _Unreadable(line, column, joined("; ", [message, *hints[:1]]))


class _Composer:
    """Builds the tree of one document from the parser's events; the names are YAML's."""

    def __init__(self, loader: yaml.SafeLoader, text: str, faults: Faults) -> None:
        self.loader, self.text, self.faults = loader, text, faults
        self.values = 0
        self.reuse_told = False

    def document(self) -> Node:
        self.loader.get_event()  # the start of the stream
        if isinstance(self.loader.get_event(), yaml.StreamEndEvent):
            raise _Unreadable(
                1, 1, worded("expected fields written 'name: value', found an empty file")
            )
        root = self.node("", 0)
        self.loader.get_event()  # the end of the document
        second = self.loader.get_event()
        if not isinstance(second, yaml.StreamEndEvent):
            raise _Unreadable(*_place(second), worded("expected one document, found a second one"))
        return root

    def node(self, name: str, depth: int) -> Node:
        event = self.loader.get_event()
        self.values += 1
        if depth > _MOST_NESTING:
            raise _Unreadable(
                *_place(event),
                worded(
                    "expected at most {most_nesting} levels of nesting", most_nesting=_MOST_NESTING
                ),
            )
        if self.values > _MOST_VALUES:
            raise _Unreadable(
                *_place(event),
                worded("expected at most {most_values} values in a file", most_values=_MOST_VALUES),
            )
        if isinstance(event, yaml.AliasEvent):
            return self.reused(
                event, name, worded("the alias *{anchor}", anchor=short(event.anchor))
            )
        if isinstance(event, yaml.SequenceStartEvent):
            node: Node = self.sequence(event, name, depth)
        elif isinstance(event, yaml.MappingStartEvent):
            node = self.fields(event, name, depth)
        else:
            node = self.scalar(event, name)
        if event.anchor is not None:
            return self.reused(
                event, name, worded("the anchor &{anchor}", anchor=short(event.anchor))
            )
        if event.tag is not None:
            message = worded(
                "expected a plain value, found the tag {tag}: leave tags out", tag=short(event.tag)
            )
            return self.broken(event, name, message)
        return node

    def reused(self, event: yaml.Event, name: str, found: str) -> Broken:
        """An anchor or an alias: the first of a file is told, for all of them."""
        if self.reuse_told:
            return _broken(event, name)
        self.reuse_told = True
        return self.broken(
            event,
            name,
            worded(
                "expected a plain value, found {found}: specs repeat a value instead of naming "
                "it; text that begins with * or & belongs in quotes",
                found=found,
            ),
        )

    def broken(self, event: yaml.Event, name: str, message: str) -> Broken:
        node = _broken(event, name)
        self.faults.add(node, message)
        return node

    def scalar(self, event: yaml.ScalarEvent, name: str) -> Node:
        text, bare = event.value, event.style is None
        kind = _TYPES.get(self.loader.resolve(yaml.ScalarNode, text, (bare, not bare)), "text")
        if kind == "integer" and len(text) > MOST_DIGITS:
            message = worded(
                "expected an integer of at most {most} digits, found one of {n}",
                most=MOST_DIGITS,
                n=len(text),
            )
            return self.broken(event, name, message)
        if strange := _NOT_XML.search(text):
            message = worded(
                "expected text, found the control character U+{code}",
                code=format(ord(strange[0]), "04X"),
            )
            return self.broken(event, name, message)
        line, column = _place(event)
        inset = 0 if bare else 1
        literal = self.text.startswith(text, event.start_mark.index + inset)
        return Scalar(
            line=line,
            column=column,
            name=name,
            text=text,
            type=kind,
            quoted=not bare,
            inset=inset if literal else None,
        )

    def sequence(self, event: yaml.SequenceStartEvent, name: str, depth: int) -> Sequence:
        items: list[Node] = []
        opened = 0
        while not self.at(yaml.SequenceEndEvent):
            item = self.node(f"{name}[{len(items) + 1}]", depth + 1)
            if opened == 0:
                items.append(self.uncut(item) if event.flow_style else item)
            opened = max(0, opened + _brackets(item)) if event.flow_style else 0
        line, column = _place(event)
        return Sequence(line=line, column=column, name=name, items=tuple(items))

    def fields(self, event: yaml.MappingStartEvent, name: str, depth: int) -> Fields:
        pairs: dict[str, tuple[Scalar, Node]] = {}
        opened = 0
        while not self.at(yaml.MappingEndEvent):
            key = self.node(name, depth + 1)
            text = short(key.text) if isinstance(key, Scalar) else "?"
            value = self.node(f"{name}.{text}" if name else text, depth + 1)
            if opened:
                opened = max(0, opened + _brackets(key))
            elif isinstance(key, Scalar) and key.text in pairs:
                first = pairs[key.text][0].line
                self.faults.add(
                    key,
                    worded(
                        "'{text}' stands here twice, first in line {first}", text=text, first=first
                    ),
                )
            elif isinstance(key, Scalar):
                opened = max(0, _brackets(value)) if event.flow_style else 0
                pairs[key.text] = (key, self.uncut(value) if event.flow_style else value)
            elif not isinstance(key, Broken):
                self.faults.add(
                    key, worded("expected a name before ':', found a list or a mapping")
                )
        line, column = _place(event)
        return Fields(line=line, column=column, name=name, pairs=tuple(pairs.values()))

    def at(self, end: type[yaml.Event]) -> bool:
        """Whether the next event is this end, which is then passed."""
        if not self.loader.check_event(end):
            return False
        self.loader.get_event()
        return True

    def uncut(self, node: Node) -> Node:
        """A value of [ ] or { }, unless it is the piece of a text before its first comma.

        The pieces after it, up to the closing round bracket, are no values of their own.  The last
        value is cut by no comma: its bracket is never closed, which is told where it is read.
        """
        last = self.loader.check_event(yaml.SequenceEndEvent, yaml.MappingEndEvent)
        if not isinstance(node, Scalar) or _brackets(node) <= 0 or last:
            return node
        self.faults.add(
            node,
            worded(
                "a comma inside [ ] or {{ }} ends the value '{text}': put the whole value in "
                "quotes",
                text=short(node.text),
            ),
        )
        return Broken(line=node.line, column=node.column, name=node.name)


def _brackets(node: Node) -> int:
    """Opening less closing round brackets of a text without quotes."""
    if isinstance(node, Scalar) and not node.quoted:
        return node.text.count("(") - node.text.count(")")
    return 0


def _broken(event: yaml.Event, name: str) -> Broken:
    line, column = _place(event)
    return Broken(line=line, column=column, name=name)


def _place(event: yaml.Event) -> tuple[int, int]:
    """Line and column of what an event begins."""
    return event.start_mark.line + 1, event.start_mark.column + 1
