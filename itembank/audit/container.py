"""A package as a file from anywhere: a zip that is opened without trusting it.

Refused, each with one line: what is no zip or a broken one; names that would
leave the folder they are unpacked in; links and other special files; encrypted
members; two members of one name (or names that differ in case only); members
that lie over one another; and what would unpack to more than the limits, told
from the directory before anything is unpacked and again while reading.

XML is read as UTF-8, without a document type, so without entities, and without
the network.

Sources: APPNOTE.TXT, .ZIP File Format Specification, 4.3 and 4.4; XML 1.0, 5th
edition, 2.8 (document type) and 4.3.3 (encodings).
"""

import codecs
import re
import stat
import zipfile
import zlib
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from types import TracebackType
from typing import Self

from lxml import etree

from itembank.audit.budget import DIRECTORY, DOCUMENT, MEMBER, MEMBERS, RATIO, SMALL, TAGS, TOTAL
from itembank.audit.directory import directory_of, members_counted
from itembank.audit.xml import PARSER_OPTIONS, Element
from itembank.values.errors import PackageError
from itembank.values.worded import Worded, laid_out, worded

CHUNK = 1 << 16
MANIFEST = "imsmanifest.xml"

DECLARED = re.compile(rb"""^<\?xml[^>]*?\sencoding\s*=\s*["']([^"']*)["']""")

REMARK = re.compile(rb"<!--.{0,40}|<\?(?!xml\s).{0,40}", re.S)


class Container:
    """`with Container(path) as c`: the members of a package.  Raises PackageError throughout."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.remarks: dict[str, str] = {}
        """By member read, the first comment or instruction in it, which a parser passes over."""
        try:
            self.refuse_many()
            self.zip = zipfile.ZipFile(path)
        except FileNotFoundError:
            raise self.refused(worded("expected a file, there is none")) from None
        except (zipfile.BadZipFile, zipfile.LargeZipFile, NotImplementedError):
            raise self.refused(
                worded("expected a whole zip, got another kind of file or a part of one")
            ) from None
        except (OSError, ValueError) as error:
            raise self.refused(
                worded("expected a zip that can be read: {error}", error=error)
            ) from None
        try:
            self.members = self.safe_members()
        except PackageError:
            self.zip.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.zip.close()

    def refused(self, why: str, member: str = "") -> PackageError:
        """The error in one line, whatever of the package it quotes."""
        where = f"{self.path.name}: {member}" if member else self.path.name
        return PackageError(
            laid_out(
                "{where}: {why}",
                where=where,
                why=why if isinstance(why, Worded) else " ".join(why.split()),
            )
        )

    # ---------------------------------------------------------- the directory

    def refuse_many(self) -> None:
        """Refuse a directory of more members than are read, before any of them is listed."""
        start, size = directory_of(self.path)
        if size > DIRECTORY:
            raise self.refused(
                worded(
                    "expected a directory of at most {directory} bytes, got {size}",
                    directory=DIRECTORY,
                    size=size,
                )
            )
        if (n := members_counted(self.path, start, size)) > MEMBERS:
            raise self.refused(
                worded("expected at most {members} members, got {n}", members=MEMBERS, n=n)
            )

    def safe_members(self) -> dict[str, zipfile.ZipInfo]:
        """The files by name, once the whole directory is found safe."""
        infos = self.zip.infolist()
        if len(infos) > MEMBERS:
            raise self.refused(
                worded("expected at most {members} members, got {n}", members=MEMBERS, n=len(infos))
            )
        seen: set[str] = set()
        for info in infos:
            if why := unsafe(info):
                raise self.refused(why, shown(info.filename))
            if info.filename.casefold() in seen:
                raise self.refused(
                    worded("expected each name once, got it twice"), shown(info.filename)
                )
            seen.add(info.filename.casefold())
        total = sum(info.file_size for info in infos)
        if total > TOTAL:
            raise self.refused(
                worded(
                    "expected at most {total} bytes unpacked, got {got}",
                    total=TOTAL,
                    got=total,
                )
            )
        in_place = sorted(infos, key=lambda info: info.header_offset)
        for first, second in pairwise(in_place):
            if first.header_offset + first.compress_size > second.header_offset:
                raise self.refused(
                    worded("expected members side by side, got one over another"),
                    shown(second.filename),
                )
        return {info.filename: info for info in infos if not info.is_dir()}

    # ---------------------------------------------------------- reading

    def chunks(self, name: str) -> Iterator[bytes]:
        """The bytes of a member, piece by piece, at most as many as the directory says."""
        info = self.members.get(name)
        if info is None:
            raise self.refused(
                worded("expected this file in the package, it is not there"), shown(name)
            )
        try:
            with self.zip.open(info) as member:
                while chunk := member.read(CHUNK):
                    yield chunk
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError) as error:
            why = worded("expected a whole member, got a damaged one ({error})", error=error)
            raise self.refused(why, shown(name)) from None

    def xml_chunks(self, name: str) -> Iterator[bytes]:
        """The bytes of a member, as long as they are UTF-8 without a document type."""
        decoder = codecs.getincrementaldecoder("utf-8")()
        before = b""
        for chunk in self.chunks(name):
            if not before:
                declared = DECLARED.match(chunk.removeprefix(codecs.BOM_UTF8))
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
            if name not in self.remarks and (found := REMARK.search(before + chunk)):
                self.remarks[name] = " ".join(found[0].decode("utf-8", "replace").split())
            before = chunk[-8:]
            yield chunk

    def document(self, name: str) -> Element:
        """The root of an XML member, without comments and processing instructions."""
        info = self.members.get(name)
        if info is not None and info.file_size > DOCUMENT:
            raise self.refused(
                worded(
                    "expected at most {document} bytes, got {file_size}",
                    document=DOCUMENT,
                    file_size=info.file_size,
                ),
                name,
            )
        parser = etree.XMLParser(**PARSER_OPTIONS)
        tags = 0
        try:
            for chunk in self.xml_chunks(name):
                tags += chunk.count(b"<")
                self.refuse_long(name, 0, tags)
                parser.feed(chunk)
            return parser.close()
        except etree.XMLSyntaxError as error:
            raise self.not_well_formed(name, error) from None

    def elements(self, name: str, tag: str, rest: list[Element] | None = None) -> Iterator[Element]:
        """Each element of this name (in any namespace), alone: what came before it is let go.

        To `rest` the root is added at the end, in which these elements are empty.
        """
        parser = etree.XMLPullParser(events=("end",), tag=f"{{*}}{tag}", **PARSER_OPTIONS)
        size = tags = 0
        try:
            for chunk in self.xml_chunks(name):
                size, tags = size + len(chunk), tags + chunk.count(b"<")
                self.refuse_long(name, size, tags)
                parser.feed(chunk)
                for element in finished(parser, rest is not None):
                    size = tags = 0
                    yield element
            root = parser.close()
            yield from finished(parser, rest is not None)
            if rest is not None:
                rest.append(root)
        except etree.XMLSyntaxError as error:
            raise self.not_well_formed(name, error) from None

    def refuse_long(self, name: str, size: int, tags: int) -> None:
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

    def not_well_formed(self, name: str, error: etree.XMLSyntaxError) -> PackageError:
        return self.refused(worded("expected well-formed XML, got: {msg}", msg=error.msg), name)


def finished(parser: etree.XMLPullParser, kept: bool) -> Iterator[Element]:
    """The elements that have ended; each is emptied once it has been used, and kept so or not."""
    for _event, element in parser.read_events():
        yield element
        element.clear()
        while not kept and element.getprevious() is not None:
            del element.getparent()[0]


def unsafe(info: zipfile.ZipInfo) -> str:
    """Why this entry must not be unpacked; "" if it may."""
    name = info.orig_filename
    if name.startswith(("/", "\\")) or re.match(r"[A-Za-z]:", name):
        return worded("expected a relative name")
    if "\\" in name or any(ord(c) < 32 for c in name):
        return worded("expected a name without backslashes and control characters")
    if ".." in name.split("/"):
        return worded("expected a name that stays in the package")
    if info.flag_bits & 1:
        return worded("expected a member that is not encrypted")
    kind = stat.S_IFMT(info.external_attr >> 16)
    if kind not in (0, stat.S_IFREG, stat.S_IFDIR):
        return worded("expected a plain file, got a link or a special file")
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return worded("expected a member stored or deflated")
    if info.file_size > MEMBER:
        return worded(
            "expected at most {member} bytes unpacked, got {file_size}",
            member=MEMBER,
            file_size=info.file_size,
        )
    if info.file_size > max(SMALL, RATIO * info.compress_size):
        return worded(
            "expected to unpack to at most {ratio} times its size, got {file_size} bytes",
            ratio=RATIO,
            file_size=info.file_size,
        )
    return ""


def shown(name: str) -> str:
    """A name from the package as one short printable piece of a message."""
    text = name if len(name) <= 80 else name[:77] + "..."
    return "".join(c if c.isprintable() else "?" for c in text)
