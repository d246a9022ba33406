"""Families that were checked before and have not changed since: what was told of them then.

The check of a family depends on its file alone (its name too, which a report tells), on this code
with its libraries, on whether all is counted, and on the language that is spoken.  Under just
that a finding is kept, and only one without fault: a family with faults is checked each time.
"""

from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Protocol

from itembank.languages.spoken import spoken
from itembank.spec.document import MOST_BYTES
from itembank.values.cache import Cache
from itembank.values.versions import code_hash, own_version


class Report(Protocol):
    """What was found of a file, its faults apart."""

    @property
    def faults(self) -> tuple[str, ...]: ...

    def as_text(self) -> str: ...

    def as_json(self) -> dict[str, object]: ...


@dataclass(frozen=True, kw_only=True)
class Told:
    """A report without faults as it was told before, in the same language."""

    text: str
    json: dict[str, object]
    faults: tuple[str, ...] = ()

    def as_text(self) -> str:
        return self.text

    def as_json(self) -> dict[str, object]:
        return self.json


class Kept:
    """The reports of one run: those told before, and those that are kept for the next.

    anew: whether nothing kept is looked at; what is found is kept all the same.
    """

    def __init__(self, cache: Cache, language: str, exact: bool, anew: bool = False) -> None:
        self.cache, self.language, self.exact, self.anew = cache, language, exact, anew
        self.version = own_version()
        self.keys: dict[Path, dict[str, str]] = {}

    def before(self, path: Path) -> Told | None:
        """What was told of the file as it is now; None where it has to be checked."""
        key = self.key(path)
        if key is None:
            return None
        self.keys[path] = key
        return None if self.anew else _told_in(self.cache.found(key), path)

    def keep(self, path: Path, report: Report) -> None:
        """Keep a report, unless it has faults or the file changed while it was checked."""
        key = self.keys.get(path)
        if key is not None and not report.faults and self.key(path) == key:
            text = spoken(report.as_text(), self.language)
            self.cache.keep(key, {"text": text, "json": report.as_json()})

    def write(self) -> None:
        """Write what is to be kept, unless this code changed while it was at work."""
        if self.cache.new and code_hash() in self.version[0]:
            self.cache.write()

    def key(self, path: Path) -> dict[str, str] | None:
        """All that the report of a file depends on; None where it is no file that can be read."""
        content = _bytes_of(path)
        if not content:
            return None
        return {
            "what": "check of a family",
            "file": str(path),
            "content": sha256(content).hexdigest(),
            "version": ", ".join(self.version),
            "told from": "all" if self.exact else "a sample",
            "language": self.language,
        }


def _bytes_of(path: Path) -> bytes:
    """Those of a regular file, none of one that no spec file can be."""
    with suppress(OSError):
        if path.is_file():
            with path.open("rb") as file:
                content = file.read(MOST_BYTES + 1)
                return content if len(content) <= MOST_BYTES else b""
    return b""


def _told_in(found: object, path: Path) -> Told | None:
    """The report in what was kept, if it is one of this file and without fault."""
    match found:
        case {"text": str(text), "json": {"id": path.stem, "faults": [], **_rest} as report}:
            return Told(text=text, json=report) if report.get("file") == str(path) else None
    return None
