"""Files that are whole or as they were: the one place that writes.

A file is made in a room of its own, a hidden folder beside its target, and takes its place when
it is whole.  Only regular files are replaced, never a device, a pipe or a socket; a link is
followed to the regular file that it names, and stays.  Whatever fails, the room goes with all
that is in it.  What a kill leaves goes when the next file is written in that folder: a lock that
ends with its process tells a room that is in use from one that is not.
"""

import os
import re
import shutil
import stat
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from itertools import count
from pathlib import Path
from typing import IO

from itembank.values.errors import ExportError
from itembank.values.worded import worded

try:
    import fcntl
except ImportError:  # a system without such locks: what a kill leaves stays there
    fcntl = None  # type: ignore[assignment]

_ROOM = re.compile(r"\.itembank-\d+-\d+\.part")
_LOCK = "lock"
_OPENING = os.O_RDWR | os.O_CREAT | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0)
"""A lock is a file of our own: no link is followed, and nothing is waited for."""

KINDS = {
    stat.S_IFDIR: "a folder",
    stat.S_IFIFO: "a pipe",
    stat.S_IFSOCK: "a socket",
    stat.S_IFCHR: "a device",
    stat.S_IFBLK: "a device",
}

_FLEETING: ContextVar[Path | None] = ContextVar("FLEETING", default=None)
"""The folder in which what is written is looked at by us alone, and removed: there it need be
neither whole at every moment, nor outlast a loss of power."""


def write_whole(path: Path, data: bytes) -> None:
    """Write a file that is whole or as it was before; ExportError where it cannot be written."""
    with whole(path) as file:
        file.write(data)


@contextmanager
def whole(path: Path) -> Iterator[IO[bytes]]:
    """A file to write to, which takes the place of `path` when the block ends well.

    Raises ExportError where it cannot be written; then `path` is as it was.
    """
    if path.parent == _FLEETING.get():
        with told_plainly(path), path.open("wb") as file:
            yield file
        return
    with told_plainly(path), room(place(path).parent, path) as own:
        part = own / path.name
        with part.open("xb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        put(part, path)


@contextmanager
def fleeting() -> Iterator[Path]:
    """A folder for this block alone, whose files take their places as they are written."""
    with tempfile.TemporaryDirectory() as own:
        token = _FLEETING.set(Path(own))
        try:
            yield Path(own)
        finally:
            _FLEETING.reset(token)


def write_unhurried(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files by name, each whole or as it was before; none is waited for to reach the disk.

    For what can be made again, and tells by itself whether it is as it was written.  ExportError
    where they cannot be written.
    """
    with room(folder) as own:
        for name, data in files.items():
            part = own / name
            with told_plainly(part), part.open("xb") as file:
                file.write(data)
            put(part, folder / name)


def remove(paths: Iterable[Path]) -> None:
    """Remove files as far as they are there and can be removed."""
    for path in paths:
        with suppress(OSError):
            path.unlink()


def put(part: Path, path: Path) -> None:
    """Let a file that is whole take its place, if what stands there may still be replaced."""
    with told_plainly(path):
        part.replace(place(path))


def refuse_unless_writable(*paths: Path) -> None:
    """ExportError for the first that could not be written: asked before any work is done."""
    for path in paths:
        with room(place(path).parent, path):
            pass


def place(path: Path) -> Path:
    """Where a file of this name is written: there, or at the regular file that it links to.

    Raises ExportError where anything else stands.
    """
    with told_plainly(path):
        try:
            mode = path.stat().st_mode
        except FileNotFoundError:
            if path.is_symlink():
                raise ExportError(
                    _refused(path, worded("a regular file"), worded("a link to nothing"))
                ) from None
            return path
        if not stat.S_ISREG(mode):
            raise ExportError(
                _refused(path, worded("a regular file"), KINDS.get(stat.S_IFMT(mode), "none"))
            )
        return path.resolve() if path.is_symlink() else path


def folder(path: Path) -> Path:
    """The folder, made if it is missing; ExportError where it cannot be."""
    try:
        path.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        kind = "a link to nothing"
        with suppress(OSError):
            kind = KINDS.get(stat.S_IFMT(path.stat().st_mode), "a file")
        raise ExportError(_refused(path, worded("a folder"), kind)) from None
    except OSError as error:
        raise ExportError(
            worded(
                "{path}: cannot be made: {strerror}; choose a folder that you may write to",
                path=path,
                strerror=error.strerror,
            )
        ) from None
    return path


def _refused(path: Path, expected: str, found: str) -> str:
    return worded(
        "{shown}: expected {expected} or nothing there, found {found}; choose another name",
        shown=_shown(path),
        expected=expected,
        found=found,
    )


@contextmanager
def told_plainly(path: Path) -> Iterator[None]:
    """What the operating system refuses, as one line."""
    try:
        yield
    except OSError as error:
        raise ExportError(
            worded(
                "{shown}: cannot be written: {what}; choose a folder that exists and that you "
                "may write to",
                shown=_shown(path),
                what=error.strerror or error,
            )
        ) from None


def _shown(path: Path) -> Path:
    """The path without the rooms in which it is made: where the file is to stand."""
    return Path(*(part for part in path.parts if not _ROOM.fullmatch(part)))


# ------------------------------------------------------------ rooms


@contextmanager
def room(beside: Path, path: Path | None = None) -> Iterator[Path]:
    """A hidden folder in the folder `beside`, for this block alone, and gone with all in it after.

    Raises ExportError about `path`, or the folder, where none can be made.
    """
    with told_plainly(path or beside):
        _remove_abandoned(beside)
        own, lock = _entered(beside)
    try:
        yield own
    finally:
        shutil.rmtree(own, ignore_errors=True)
        os.close(lock)


def _entered(beside: Path) -> tuple[Path, int]:
    """A new room and its lock."""
    for n in count():
        own = beside / f".itembank-{os.getpid()}-{n}.part"
        with suppress(FileExistsError):
            own.mkdir(mode=0o700)
            try:
                lock = _locked(own, new=True)
            except OSError:
                shutil.rmtree(own, ignore_errors=True)
                raise
            if lock is not None:
                return own, lock
    raise AssertionError("there are numbers enough")


def _locked(own: Path, *, new: bool) -> int | None:
    """The lock of a room, held until it is closed; None where another process has the room.

    Where there are no locks, a new room is taken for one's own, and no other is.
    """
    lock = -1
    try:
        lock = os.open(own / _LOCK, _OPENING, 0o600)
        if not _held(lock) and not new:
            raise BlockingIOError
        # Another may have removed the room, and a third have made it again, meanwhile.
        if os.path.samestat(os.fstat(lock), (own / _LOCK).stat()):
            return lock
    except (BlockingIOError, FileNotFoundError):
        pass
    if lock >= 0:
        os.close(lock)
    return None


def _held(lock: int) -> bool:
    """Whether the file could be locked; BlockingIOError where another process holds it."""
    if fcntl is None:
        return False
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise
    except OSError:
        return False
    return True


def _remove_abandoned(beside: Path) -> None:
    """Remove the rooms whose processes are gone."""
    with suppress(OSError):
        for own in list(beside.iterdir()):
            if _ROOM.fullmatch(own.name) and own.is_dir() and not own.is_symlink():
                with suppress(OSError):
                    lock = _locked(own, new=False)
                    if lock is not None:
                        shutil.rmtree(own, ignore_errors=True)
                        os.close(lock)
