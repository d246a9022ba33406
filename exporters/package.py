"""A zip whose bytes depend on what is put in alone, and that is whole or not there.

No clock and no permissions of the machine get in; members stand in the order
they are added.  The file takes its place at the end (see `files.py`): a failure
or a kill leaves the old package as it was.

Source of the fields: APPNOTE.TXT, .ZIP File Format Specification, 4.4.
"""

import re
import zipfile
import zlib
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import IO, Self

from itembank.values.errors import ExportError
from itembank.values.files import told_plainly, whole
from itembank.values.worded import worded

_EPOCH = (1980, 1, 1, 0, 0, 0)
"""The earliest time that a zip can state."""

_PERMISSIONS = 0o100644 << 16
"""A regular file that all may read, in the Unix half of the external attributes."""

_UNIX = 3

_LARGE = 2**30
"""Bytes of a file that is deflated at once; far below where a zip needs another header."""

_FLAT_NAME = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_.-]*\Z")


@dataclass(frozen=True)
class Deflated:
    """What a member holds, ready to be written, whoever made it; `size` of it and `crc` as it was.

    The same bytes as `zipfile` writes.
    """

    data: bytes
    crc: int
    size: int


def deflated(data: bytes) -> Deflated:
    if len(data) >= _LARGE:
        raise ExportError(
            worded("expected at most {large} bytes in a file, got {n}", large=_LARGE, n=len(data))
        )
    press = zlib.compressobj(zlib.Z_DEFAULT_COMPRESSION, zlib.DEFLATED, -zlib.MAX_WBITS)
    return Deflated(press.compress(data) + press.flush(), zlib.crc32(data), len(data))


class Package:
    """`with Package(path) as p: p.add(name, data)`: written and renamed when the block ends.

    `executor` shares the making of what is added, if it is given; the bytes do not depend on it.

    Raises ExportError where the file cannot be written, and for a name added twice;
    ValueError for a name that is not flat ASCII.
    """

    def __init__(self, path: Path, executor: Executor | None = None) -> None:
        self.path, self.executor = path, executor

    def __enter__(self) -> Self:
        with ExitStack() as ending:
            file = ending.enter_context(whole(self.path))
            self.zip = zipfile.ZipFile(file, "w")
            ending.push(self.close)
            self.ending = ending.pop_all()
        self.names: set[str] = set()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.ending.__exit__(kind, error, trace)

    def close(
        self, kind: type[BaseException] | None, _error: object = None, _trace: object = None
    ) -> None:
        """Write the directory of the zip; after a failure nobody reads it, so it may fail too."""
        if kind is None:
            self.zip.close()
        else:
            with suppress(OSError):
                self.zip.close()

    def add(self, name: str, data: "bytes | Deflated") -> None:
        """Add a member whole."""
        entry = self.entry(name)
        with told_plainly(self.path):
            if isinstance(data, Deflated):
                self.put(entry, data)
            else:
                self.zip.writestr(entry, data)

    def put(self, entry: zipfile.ZipInfo, member: "Deflated") -> None:
        """Write a member as it stands: `zipfile` itself would deflate it once more."""
        z = self.zip
        assert z.fp is not None
        entry.header_offset = z.start_dir
        entry.CRC, entry.file_size = member.crc, member.size
        entry.compress_size = len(member.data)
        whole = entry.FileHeader(False) + member.data
        z.fp.seek(z.start_dir)
        z.fp.write(whole)
        z.start_dir += len(whole)
        z.filelist.append(entry)
        z.NameToInfo[entry.filename] = entry

    @contextmanager
    def member(self, name: str) -> Iterator[IO[bytes]]:
        """A member to write to piece by piece; no other can be added meanwhile."""
        entry = self.entry(name)
        with told_plainly(self.path), self.zip.open(entry, "w") as out:
            yield out

    def entry(self, name: str) -> zipfile.ZipInfo:
        if not _FLAT_NAME.match(name):
            raise ValueError(f"a member needs a flat ASCII name, got {name!r}")
        if name in self.names:
            raise ExportError(
                worded(
                    "{path}: expected each file once, got {name} twice", path=self.path, name=name
                )
            )
        self.names.add(name)
        info = zipfile.ZipInfo(name, _EPOCH)
        info.compress_type = zipfile.ZIP_DEFLATED
        info.external_attr = _PERMISSIONS
        info.create_system = _UNIX
        return info
