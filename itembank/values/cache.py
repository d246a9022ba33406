"""What was found before, kept in the user's folder for such things: of help, and never a record.

An entry is a JSON file that holds its whole key, what was found, and the hash of both; its name is
the hash of the key.  What is damaged, or was put there by another program or another user, is as
good as missing: nothing of it is believed, and nothing is run.  Whoever asks has to name all that
the finding depends on in the key.  A folder that cannot be read or written is no fault.
"""

import json
import os
import re
import stat
from collections.abc import Mapping
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from itembank.values.errors import ExportError
from itembank.values.files import folder, remove, write_unhurried

VARIABLE = "ITEMBANK_CACHE"
"""Names the folder, or is OFF."""

_OFF = "off"

MOST_ENTRIES = 2_000
"""With more, the oldest go."""

MOST_BYTES = 64 * 1024
"""A larger entry is not kept."""

_ENTRY = re.compile(r"[0-9a-f]{64}\.json")

Key = Mapping[str, str]


def folder_of(variables: Mapping[str, str]) -> Path | None:
    """The folder that the variables of the environment ask for, None where nothing is to be kept.

    Source: XDG Base Directory Specification 0.8, which says to ignore a relative path.

    >>> folder_of({"ITEMBANK_CACHE": "off"})
    >>> folder_of({"XDG_CACHE_HOME": "/home/me/caches"}).as_posix()
    '/home/me/caches/itembank'
    """
    if named := variables.get(VARIABLE):
        return None if named == _OFF else Path(named)
    base = Path(variables.get("XDG_CACHE_HOME", ""))
    if not base.is_absolute():
        try:
            base = Path.home() / ".cache"
        except RuntimeError:  # nobody's home is known
            return None
    return base / "itembank"


class Cache:
    """Findings by key in one folder; what is new is written by `write`, all at once."""

    def __init__(self, place: Path) -> None:
        self.folder = place
        self.new: dict[str, bytes] = {}

    def found(self, key: Key) -> object:
        """What was kept under exactly this key; None for nothing."""
        with suppress(OSError, ValueError, RecursionError):
            entry = json.loads(_own_bytes(self.folder / _name_of(key)))
            if isinstance(entry, dict) and entry.keys() == {"key", "found", "sum"}:
                told, found = entry["key"], entry["found"]
                if told == key and entry["sum"] == _sum_of(told, found):
                    return found
        return None

    def keep(self, key: Key, found: object) -> None:
        """Keep plain values of JSON, once `write` is called."""
        whole = {"key": dict(key), "found": found, "sum": _sum_of(key, found)}
        data = json.dumps(whole).encode()
        if len(data) <= MOST_BYTES:
            self.new[_name_of(key)] = data

    def write(self) -> None:
        """Write what is new, each entry whole or not at all, and remove the oldest of too many."""
        if not self.new:
            return
        with suppress(OSError, ExportError):
            write_unhurried(folder(self.folder), self.new)
            self._remove_oldest()
        self.new = {}

    def _remove_oldest(self) -> None:
        """Leave MOST_ENTRIES; what is no entry is left alone."""
        with os.scandir(self.folder) as listed:
            entries = [(e.stat().st_mtime_ns, e.name) for e in listed if _ENTRY.fullmatch(e.name)]
        oldest = sorted(entries)[: max(0, len(entries) - MOST_ENTRIES)]
        remove(self.folder / name for _time, name in oldest)


def _name_of(key: Key) -> str:
    return _hash_of(sorted(key.items())) + ".json"


def _sum_of(key: Key, found: object) -> str:
    """What tells that an entry is as it was written."""
    return _hash_of([sorted(key.items()), found])


def _hash_of(value: object) -> str:
    return sha256(json.dumps(value).encode()).hexdigest()


def _own_bytes(path: Path) -> bytes:
    """The bytes of a regular file of this user; OSError for anything else, or for too many."""
    with open(path, "rb", opener=_opened) as file:
        about = os.fstat(file.fileno())
        own = not hasattr(os, "getuid") or about.st_uid == os.getuid()
        if not (stat.S_ISREG(about.st_mode) and own and about.st_size <= MOST_BYTES):
            raise OSError
        return file.read(MOST_BYTES + 1)


def _opened(path: str, flags: int) -> int:
    """Opened without following a link, or waiting for whoever writes to a pipe."""
    return os.open(path, flags | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
