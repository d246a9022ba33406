"""How many members a zip has, counted before any of them is listed.

Source: APPNOTE.TXT, .ZIP File Format Specification, 4.3.12 (central directory), 4.3.14 to 4.3.16
(its end, also of large files).
"""

import os
import struct
from pathlib import Path

END, END64, LOCATOR = b"PK\x05\x06", b"PK\x06\x06", b"PK\x06\x07"
END_SIZE, END64_SIZE, LOCATOR_SIZE = 22, 56, 20
_ENTRY = b"PK\x01\x02"
_ENTRY_SIZE = 46
_COMMENT = (1 << 16) - 1
"""The longest comment after the end of the directory."""


def directory_of(path: Path) -> tuple[int, int]:
    """Where the directory of a zip stands, and its bytes; (0, 0) if none can be found.

    Raises OSError.
    """
    with path.open("rb") as file:
        length = file.seek(0, os.SEEK_END)
        file.seek(max(0, length - END_SIZE - _COMMENT))
        tail = file.read()
        last = len(tail) - END_SIZE
        at = last if tail.startswith(END, last) else tail.rfind(END, 0, last + len(END))
        if last < 0 or at < 0:
            return 0, 0
        (size,) = struct.unpack_from("<I", tail, at + 12)
        end = length - len(tail) + at
        before = end - LOCATOR_SIZE - END64_SIZE
        if before >= 0:
            file.seek(before)
            large = file.read(END64_SIZE + LOCATOR_SIZE)
            if large.startswith(END64) and large.startswith(LOCATOR, END64_SIZE):
                (size,), end = struct.unpack_from("<Q", large, 40), before
        return max(0, end - size), size


def members_counted(path: Path, start: int, size: int) -> int:
    """The entries of the directory that stands there.  Raises OSError."""
    with path.open("rb") as file:
        file.seek(start)
        return _entries_of(file.read(size))


def _entries_of(directory: bytes) -> int:
    """The entries that stand one after another in a directory."""
    at = count = 0
    while directory.startswith(_ENTRY, at) and at + _ENTRY_SIZE <= len(directory):
        at += _ENTRY_SIZE + sum(struct.unpack_from("<HHH", directory, at + 28))
        count += 1
    return count
