"""XML of a package, read without trusting it: from its file, or a member alone, in any process.

XML is read as UTF-8, without a document type, so without entities, and without the network.  A
member is never unpacked beyond the size that the directory says, which was held against the
limits before.

Sources: APPNOTE.TXT, .ZIP File Format Specification, 4.4; RFC 1951 (deflate); XML 1.0, 5th
edition, 2.8 (document type) and 4.3.3 (encodings).
"""

import codecs
import re
import zlib
from collections.abc import Iterator
from typing import NamedTuple

from lxml import etree

from itembank.audit.budget import DOCUMENT, TAGS
from itembank.audit.xml import PARSER_OPTIONS, Element
from itembank.values.errors import PackageError
from itembank.values.worded import Worded, laid_out, worded

CHUNK = 1 << 16

_DECLARED = re.compile(rb"""^<\?xml[^>]*?\sencoding\s*=\s*["']([^"']*)["']""")

_REMARK = re.compile(rb"<!--.{0,40}|<\?(?!xml\s).{0,40}", re.S)


class DamagedError(Exception):
    """A member whose bytes are not those that were packed."""


class Reading:
    """The members of a package of this name, by name.  Raises PackageError throughout."""

    def __init__(self, package: str) -> None:
        self.package = package
        self.remarks: dict[str, str] = {}
        """By member read, the first comment or instruction in it, which a parser passes over."""

    def size_of(self, name: str) -> int:
        """The bytes of a member, unpacked, as the directory says; 0 for one that is not there."""
        raise NotImplementedError

    def unpacked(self, name: str) -> Iterator[bytes]:
        """The bytes of a member, piece by piece, at most as many as the directory says.

        Raises DamagedError, zlib.error, EOFError, OSError or NotImplementedError where it cannot
        be unpacked.
        """
        raise NotImplementedError

    def refused(self, why: str, member: str = "") -> PackageError:
        """The error in one line, whatever of the package it quotes."""
        where = f"{self.package}: {member}" if member else self.package
        return PackageError(
            laid_out(
                "{where}: {why}",
                where=where,
                why=why if isinstance(why, Worded) else " ".join(why.split()),
            )
        )

    def damaged(self, name: str, error: object) -> PackageError:
        why = worded("expected a whole member, got a damaged one ({error})", error=error)
        return self.refused(why, shown(name))

    def chunks(self, name: str) -> Iterator[bytes]:
        """The bytes of a member, piece by piece."""
        try:
            yield from self.unpacked(name)
        except (DamagedError, zlib.error, EOFError, OSError, NotImplementedError) as error:
            raise self.damaged(name, error) from None

    def _xml_chunks(self, name: str) -> Iterator[bytes]:
        """The bytes of a member, as long as they are UTF-8 without a document type."""
        decoder = codecs.getincrementaldecoder("utf-8")()
        before = b""
        for chunk in self.chunks(name):
            if not before:
                declared = _DECLARED.match(chunk.removeprefix(codecs.BOM_UTF8))
                if declared and declared[1].lower() not in (b"utf-8", b"us-ascii"):
                    encoding = declared[1][:40].decode("ascii", "replace")
                    raise self.refused(
                        worded("expected the encoding UTF-8, got {encoding}", encoding=encoding),
                        name,
                    )
            try:
                decoder.decode(chunk)
            except UnicodeDecodeError:
                raise self.refused(worded("expected UTF-8, got other bytes"), name) from None
            if b"<!DOCTYPE" in before + chunk or b"<!ENTITY" in before + chunk:
                raise self.refused(worded("expected no document type and no entities"), name)
            if name not in self.remarks and (found := _REMARK.search(before + chunk)):
                self.remarks[name] = " ".join(found[0].decode("utf-8", "replace").split())
            before = chunk[-8:]
            yield chunk

    def document(self, name: str) -> Element:
        """The root of an XML member, without comments and processing instructions."""
        if (size := self.size_of(name)) > DOCUMENT:
            raise self.refused(
                worded(
                    "expected at most {document} bytes, got {file_size}",
                    document=DOCUMENT,
                    file_size=size,
                ),
                name,
            )
        parser = etree.XMLParser(**PARSER_OPTIONS)
        tags = 0
        try:
            for chunk in self._xml_chunks(name):
                tags += chunk.count(b"<")
                self._refuse_long(name, 0, tags)
                parser.feed(chunk)
            return parser.close()
        except etree.XMLSyntaxError as error:
            why = error.msg
        raise self._not_well_formed(name, why)  # not beside an error that no process can send

    def elements(self, name: str, tag: str, rest: list[Element] | None = None) -> Iterator[Element]:
        """Each element of this name (in any namespace), alone: what came before it is let go.

        To `rest` the root is added at the end, in which these elements are empty.
        """
        parser = etree.XMLPullParser(events=("end",), tag=f"{{*}}{tag}", **PARSER_OPTIONS)
        size = tags = 0
        try:
            for chunk in self._xml_chunks(name):
                size, tags = size + len(chunk), tags + chunk.count(b"<")
                self._refuse_long(name, size, tags)
                parser.feed(chunk)
                for element in _finished(parser, rest is not None):
                    size = tags = 0
                    yield element
            root = parser.close()
            yield from _finished(parser, rest is not None)
            if rest is not None:
                rest.append(root)
            return
        except etree.XMLSyntaxError as error:
            why = error.msg
        raise self._not_well_formed(name, why)

    def _refuse_long(self, name: str, size: int, tags: int) -> None:
        """What is read as a whole must not fill the memory."""
        if size > DOCUMENT:
            raise self.refused(
                worded("expected at most {document} bytes of one item", document=DOCUMENT),
                shown(name),
            )
        if tags > TAGS:
            raise self.refused(
                worded("expected at most {tags} tags of one item", tags=TAGS), shown(name)
            )

    def _not_well_formed(self, name: str, why: str | None) -> PackageError:
        return self.refused(worded("expected well-formed XML, got: {msg}", msg=why), name)


def _finished(parser: etree.XMLPullParser, kept: bool) -> Iterator[Element]:
    """The elements that have ended; each is emptied once it has been used, and kept so or not."""
    for _event, element in parser.read_events():
        yield element
        element.clear()
        while not kept and element.getprevious() is not None:
            del element.getparent()[0]


def shown(name: str) -> str:
    """A name from the package as one short printable piece of a message."""
    text = name if len(name) <= 80 else name[:77] + "..."
    return "".join(c if c.isprintable() else "?" for c in text)


# ------------------------------------------------------------ a member alone


class Member(NamedTuple):
    """A member as it lies in its package; `size` and `crc` of what is packed, by the directory."""

    name: str
    deflated: bool
    crc: int
    size: int
    data: bytes


class MemberAlone(Reading):
    """A member of a package of this name, without the package."""

    def __init__(self, package: str, member: Member) -> None:
        super().__init__(package)
        self.member = member

    def size_of(self, _name: str) -> int:
        return self.member.size

    def unpacked(self, _name: str) -> Iterator[bytes]:
        crc, left = 0, self.member.size
        for piece in _inflated(self.member) if self.member.deflated else _pieces(self.member):
            given = piece[:left]
            crc, left = zlib.crc32(given, crc), left - len(given)
            if not left:
                break
            yield given
        else:
            given = b""
        if crc != self.member.crc:
            raise DamagedError(f"Bad CRC-32 for file {self.member.name!r}")
        if given:
            yield given


def _pieces(member: Member) -> Iterator[bytes]:
    """What was stored, in pieces of at most CHUNK bytes."""
    return (member.data[at : at + CHUNK] for at in range(0, len(member.data), CHUNK))


def _inflated(member: Member) -> Iterator[bytes]:
    """What was deflated, in pieces of at most CHUNK bytes, each unpacked when it is asked for."""
    press, rest = zlib.decompressobj(-zlib.MAX_WBITS), member.data
    while rest and not press.eof:
        yield press.decompress(rest, CHUNK)
        rest = press.unconsumed_tail
    if not press.eof:
        yield press.flush()  # of the last match, which a piece may have cut
