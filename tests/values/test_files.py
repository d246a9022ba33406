"""A file is whole or as it was; nothing but a regular file is replaced; nothing is left behind."""

import os
import signal
import socket
import stat
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from itembank.cli import main
from itembank.values import files
from itembank.values.errors import ExportError
from tests.forked import Forked

ROOT = Path(__file__).parents[2]


def pipe(path: Path) -> None:
    os.mkfifo(path)


def bound_socket(path: Path) -> None:
    here = os.open(".", os.O_RDONLY)
    os.chdir(path.parent)  # the name of a socket is short
    try:
        with socket.socket(socket.AF_UNIX) as s:
            s.bind(path.name)
    finally:
        os.fchdir(here)
        os.close(here)


def device(path: Path) -> None:
    try:
        os.mknod(path, stat.S_IFCHR | 0o600, os.makedev(1, 7))
    except PermissionError:
        pytest.skip("only root makes a device")


KINDS: dict[str, Callable[[Path], None]] = {
    "a pipe": pipe,
    "a socket": bound_socket,
    "a device": device,
    "a folder": Path.mkdir,
    "a link to nothing": lambda path: path.symlink_to("nowhere"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_only_a_regular_file_is_replaced(tmp_path, kind):
    path = tmp_path / "review.html"
    KINDS[kind](path)
    before = path.lstat()
    said = f"{path}: expected a regular file or nothing there, found {kind}; choose another name"

    for write in (files.refuse_unless_writable, lambda p: files.write_whole(p, b"new")):
        with pytest.raises(ExportError) as error:
            write(path)
        assert str(error.value) == said
    assert os.path.samestat(path.lstat(), before)
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("kind", KINDS)
def test_what_has_come_to_stand_there_meanwhile_is_not_replaced_either(tmp_path, kind):
    path = tmp_path / "review.html"

    with pytest.raises(ExportError, match=f"found {kind}"), files.whole(path) as file:
        file.write(b"new")
        KINDS[kind](path)
    assert list(tmp_path.iterdir()) == [path] and not path.is_file()


def test_a_link_is_followed_to_a_regular_file_and_stays(tmp_path):
    shelf, here = tmp_path / "shelf", tmp_path / "here"
    shelf.mkdir()
    here.mkdir()
    (shelf / "a.html").write_bytes(b"old")
    (here / "a.html").symlink_to("../shelf/a.html")
    (here / "null").symlink_to("/dev/null")

    files.write_whole(here / "a.html", b"new")
    with pytest.raises(ExportError, match="found a device"):
        files.write_whole(here / "null", b"new")

    assert os.readlink(here / "a.html") == "../shelf/a.html"
    assert (shelf / "a.html").read_bytes() == b"new"
    assert [p.name for p in shelf.iterdir()] == ["a.html"]


def test_a_new_file_has_the_permissions_that_files_have(tmp_path):
    files.write_whole(tmp_path / "ours", b"")
    (tmp_path / "others").touch()

    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "others").stat().st_mode


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("missing/a", "No such file or directory"),
        ("file/a", "Not a directory"),
    ],
)
def test_a_folder_that_is_none_is_told_before_any_work(tmp_path, name, said):
    (tmp_path / "file").touch()

    with pytest.raises(ExportError) as error:
        files.refuse_unless_writable(tmp_path / name)
    assert str(error.value) == (
        f"{tmp_path / name}: cannot be written: {said}; choose a folder that exists and that you "
        "may write to"
    )


# ------------------------------------------------------------ the commands

POOL = (
    "id: quiz\ntitle: Quiz\ncourse: NT 210, Alder Ford College\nseed: tests\n"
    "items:\n  - {family: linear-one-solution, variants: 4}\n"
)
TERM = ("--term", "2027-spring")
TO = ("--to", "cc13")
COMMANDS = {
    "packages/quiz-2027-spring-cc13.zip": ("make", "quiz.yaml", *TERM, *TO, "--out", "packages"),
    "packages/quiz-2027-spring-load-card.html": (
        *("make", "quiz.yaml", *TERM, *TO, "--out", "packages", "--bank", "b.db"),
    ),
    "packages": ("make", "quiz.yaml", *TERM, *TO, "--out", "packages"),
    "review.html": ("packet", "quiz.yaml", *TERM, "--out", "review.html"),
    "b.db": ("draw", "quiz.yaml", *TERM, "--bank", "b.db"),
    "usage.xml": ("results", "quiz-2027-spring", "--bank", "b.db", "--usage-data", "usage.xml"),
}


@pytest.mark.parametrize("name", COMMANDS)
@pytest.mark.parametrize("kind", ["a pipe", "a socket", "a device"])
def test_every_command_refuses_before_any_work(tmp_path, monkeypatch, name, kind):
    """No bank is made, nothing is drawn, and what stands there stands."""
    monkeypatch.chdir(tmp_path)
    Path("quiz.yaml").write_text(POOL, encoding="utf-8")
    Path(name).parent.mkdir(exist_ok=True)
    KINDS[kind](Path(name))
    before = Path(name).lstat()

    done = CliRunner().invoke(main, COMMANDS[name])

    assert done.exit_code == 1
    (line,) = done.output.splitlines()
    assert name in line and f"found {kind}" in line
    assert os.path.samestat(Path(name).lstat(), before)
    found = {str(p) for p in Path().rglob("*")}
    assert found <= {"quiz.yaml", "packages", name}


# ------------------------------------------------------------ full disks


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 64 kB."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)]
    if subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("only root mounts a disk")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


def test_a_full_disk_leaves_the_old_files_and_nothing_else(small_disk, monkeypatch):
    monkeypatch.chdir(small_disk.parent)
    path = small_disk / "review.html"
    path.write_bytes(b"old")

    for command in (
        ("packet", "congruences-quiz", *TERM, "--out", str(path)),
        ("make", "congruences-quiz", *TERM, *TO, "--to", "qti21", "--out", str(small_disk)),
    ):
        done = CliRunner().invoke(main, command)
        assert done.exit_code == 1
        (line,) = done.output.splitlines()
        assert "cannot be written: No space left on device" in line
        assert ".part" not in line and ".itembank" not in line
    assert path.read_bytes() == b"old"
    assert list(small_disk.iterdir()) == [path]


LIMITED = """
import resource, sys
from itembank.cli import main
resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))
main(sys.argv[1:])
"""


def test_a_limit_on_files_leaves_the_old_file_and_nothing_else(tmp_path):
    path = tmp_path / "lifting-homework-2027-spring-cc13.zip"
    path.write_bytes(b"old")
    command = ("make", "lifting-homework", *TERM, *TO, "--out", str(tmp_path))

    done = Forked(LIMITED, *command)
    _out, said = done.communicate()

    assert done.returncode == 1
    assert said == (
        f"{path}: cannot be written: File too large; choose a folder that exists and that you may "
        "write to\n"
    )
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


# ------------------------------------------------------------ several at once, and killed ones

MAKE = """
import os, signal, sys, time
from pathlib import Path
from itembank.pipeline import making
from itembank.kinds.table import SIGNATURES
from itembank.spec import FamilyShelf, find_families, library, load_pool

pool_file, out, meeting, me, *others = map(Path, sys.argv[1:])

def meet(name):
    if "audited" in name:
        (meeting / me).touch()
        while not all((meeting / other).exists() for other in others):
            time.sleep(0.01)
        if str(me) == "killed":
            os.kill(os.getpid(), signal.SIGKILL)

pool = load_pool(pool_file, FamilyShelf(find_families([library() / "families"]), SIGNATURES))
making.make(pool, "2027-spring", out, ("cc13", "qti21"), meet)
"""
"""A `make` that waits for others once it has audited a package, and goes on with them."""


FILES = [f"quiz-2027-spring-{end}" for end in ("cc13.zip", "load-card.html", "qti21.zip")]


@pytest.fixture
def pool_file(tmp_path) -> Path:
    path = tmp_path / "quiz.yaml"
    path.write_text(POOL, encoding="utf-8")
    return path


def folder_of(tmp_path: Path, name: str) -> Path:
    path = tmp_path / name
    path.mkdir()
    return path


def test_several_that_write_the_same_at_once_all_succeed(tmp_path, pool_file):
    out, alone = folder_of(tmp_path, "out"), folder_of(tmp_path, "alone")
    names = ("a", "b", "c")
    meeting = folder_of(tmp_path, "meeting")

    together = [Forked(MAKE, pool_file, out, meeting, n, *names) for n in names]
    assert [p.communicate(timeout=120)[1] for p in together] == [""] * 3
    assert Forked(MAKE, pool_file, alone, meeting, "d").communicate(timeout=120)[1] == ""

    assert sorted(p.name for p in out.iterdir()) == FILES
    for name in FILES:
        assert (out / name).read_bytes() == (alone / name).read_bytes()


def test_what_a_killed_one_leaves_is_removed_by_the_next_and_never_used(tmp_path, pool_file):
    """One that still runs keeps what is its own."""
    out, meeting = folder_of(tmp_path, "out"), folder_of(tmp_path, "meeting")
    running = Forked(MAKE, pool_file, out, meeting, "running", "next")
    killed = Forked(MAKE, pool_file, out, meeting, "killed", "running")
    killed.communicate(timeout=120)
    assert killed.returncode == -signal.SIGKILL
    assert len(list(out.iterdir())) == 2, "two rooms, and no package that was not audited"

    (meeting / "next").touch()
    assert running.communicate(timeout=120)[1] == ""
    assert Forked(MAKE, pool_file, out, meeting, "next").communicate(timeout=120)[1] == ""

    assert sorted(p.name for p in out.iterdir()) == FILES


def test_a_room_is_not_taken_for_abandoned_while_it_is_used(tmp_path):
    with files.room(tmp_path) as one, files.room(tmp_path) as two:
        files.write_whole(tmp_path / "a", b"a")
        assert one != two and one.is_dir() and two.is_dir()
    abandoned = tmp_path / ".itembank-1-0.part"
    abandoned.mkdir()
    (abandoned / "quiz.zip").write_bytes(b"half")
    (tmp_path / ".itembank-2-0.part").symlink_to(ROOT)

    files.write_whole(tmp_path / "b", b"b")

    assert sorted(p.name for p in tmp_path.iterdir()) == [".itembank-2-0.part", "a", "b"]
    assert (ROOT / "README.md").is_file()


def test_what_is_fleeting_takes_its_place_as_it_is_written_and_what_stands_elsewhere_at_the_end(
    tmp_path,
):
    with files.fleeting() as folder:
        for path in (folder / "trial.zip", tmp_path / "quiz.zip"):
            files.write_whole(path, b"before")
            with files.whole(path) as file:
                file.write(b"after")
                file.flush()
                assert path.read_bytes() == (b"after" if path.parent == folder else b"before")
                beside = [p.name for p in path.parent.iterdir() if p != path]
                assert len(beside) == (path.parent != folder)


def test_what_is_to_stay_is_waited_for_and_what_is_fleeting_is_not(tmp_path, monkeypatch):
    synced: list[int] = []
    monkeypatch.setattr(os, "fsync", synced.append)

    with files.fleeting() as folder:
        files.write_whole(folder / "trial.zip", b"trial")
        inside = (folder / "trial.zip").read_bytes()
    assert (inside, synced, folder.exists()) == (b"trial", [], False)

    files.write_whole(tmp_path / "quiz.zip", b"quiz")
    assert len(synced) == 1
