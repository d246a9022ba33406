"""A package as a file from anywhere: a zip that is opened without trusting it.

Refused, each with one line: what is no zip or a broken one; names that would
leave the folder they are unpacked in; links and other special files; encrypted
members; two members of one name (or names that differ in case only); members
that lie over one another; and what would unpack to more than the limits, told
from the directory before anything is unpacked and again while reading.

Its XML is read by `reading.py`.

Source: APPNOTE.TXT, .ZIP File Format Specification, 4.3 and 4.4.
"""

import os
import re
import stat
import struct
import zipfile
from collections.abc import Iterator
from contextlib import ExitStack
from itertools import pairwise
from pathlib import Path
from types import TracebackType
from typing import Self

from itembank.audit.budget import DIRECTORY, DOCUMENT, MEMBER, MEMBERS, RATIO, SMALL, TOTAL
from itembank.audit.directory import directory_of, members_counted
from itembank.audit.reading import CHUNK, DamagedError, Member, Reading, shown
from itembank.values.worded import worded

MANIFEST = "imsmanifest.xml"

_LOCAL = b"PK\x03\x04"
_HEADER = struct.Struct("<6xH18xHH")
"""Of the header before a member: its flags, and the lengths of its name and of the extra field."""
PATCHED, STRONGLY_ENCRYPTED, UTF_8 = 1 << 5, 1 << 6, 1 << 11


class Container(Reading):
    """`with Container(path) as c`: the members of a package.  Raises PackageError throughout."""

    def __init__(self, path: Path) -> None:
        super().__init__(path.name)
        self.path = path
        try:
            self._refuse_many()
            with ExitStack() as opened:
                self.file = opened.enter_context(path.open("rb"))
                self.zip = opened.enter_context(zipfile.ZipFile(self.file))
                self.members = self._safe_members()
                self.opened = opened.pop_all()
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

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.opened.close()

    # ---------------------------------------------------------- the directory

    def _refuse_many(self) -> None:
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

    def _safe_members(self) -> dict[str, zipfile.ZipInfo]:
        """The files by name, once the whole directory is found safe."""
        infos = self.zip.infolist()
        if len(infos) > MEMBERS:
            raise self.refused(
                worded("expected at most {members} members, got {n}", members=MEMBERS, n=len(infos))
            )
        seen: set[str] = set()
        for info in infos:
            if why := _unsafe(info):
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

    def size_of(self, name: str) -> int:
        return self.members[name].file_size if name in self.members else 0

    def unpacked(self, name: str) -> Iterator[bytes]:
        info = self.members.get(name)
        if info is None:
            raise self.refused(
                worded("expected this file in the package, it is not there"), shown(name)
            )
        try:
            with self.zip.open(info) as member:
                while chunk := member.read(CHUNK):
                    yield chunk
        except (zipfile.BadZipFile, UnicodeDecodeError) as error:
            raise DamagedError(error) from None

    def taken(self, name: str) -> Member:
        """A document as it lies in the package, to be read in any process; none that is too large
        to be read as a whole."""
        info = self.members[name]
        if info.file_size > DOCUMENT:
            return Member(name, True, info.CRC, info.file_size, b"")
        if info.compress_size > DOCUMENT:  # of a size that nothing makes but ill will
            return Member(name, False, info.CRC, info.file_size, b"".join(self.chunks(name)))
        deflated = info.compress_type == zipfile.ZIP_DEFLATED
        try:
            data = self._as_it_lies(info)
        except (DamagedError, NotImplementedError, OSError) as error:
            raise self.damaged(name, error) from None
        return Member(name, deflated, info.CRC, info.file_size, data)

    def _as_it_lies(self, info: zipfile.ZipInfo) -> bytes:
        """The packed bytes of a member; DamagedError unless it begins as the directory says."""
        file = self.file
        file.seek(info.header_offset)
        head = file.read(_HEADER.size)
        if len(head) < _HEADER.size or not head.startswith(_LOCAL):
            raise DamagedError("Bad magic number for file header")
        if info.flag_bits & (PATCHED | STRONGLY_ENCRYPTED):
            raise NotImplementedError("compressed patched data, or encrypted")
        flags, name_length, extra_length = _HEADER.unpack(head)
        name = file.read(name_length)
        encoding = "utf-8" if flags & UTF_8 else "cp437"
        if name.decode(encoding, "replace") != info.orig_filename:
            raise DamagedError(
                f"File name in directory {info.orig_filename!r} and header {name!r} differ."
            )
        file.seek(extra_length, os.SEEK_CUR)
        return file.read(info.compress_size)


def _unsafe(info: zipfile.ZipInfo) -> str:
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
