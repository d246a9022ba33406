"""Packages are whole or not there, and their bytes depend on their members alone."""

import os
import signal
import zipfile
from pathlib import Path

import pytest

from exporters.package import Package, deflated
from itembank.values.errors import ExportError
from tests.forked import Forked


def written(path: Path, **members: bytes) -> bytes:
    with Package(path) as package:
        for name, data in members.items():
            package.add(name, data)
    return path.read_bytes()


def test_members_come_back_in_order(tmp_path, members):
    written(tmp_path / "p.zip", b=b"1" * 10_000, a=b"")

    assert list(members(tmp_path / "p.zip").items()) == [("b", b"1" * 10_000), ("a", b"")]


def test_the_same_members_give_the_same_bytes(tmp_path, monkeypatch):
    first = written(tmp_path / "one.zip", a=b"x", b=b"y")
    monkeypatch.setattr("time.time", lambda: 2_000_000_000)
    mask = os.umask(0o077)
    try:
        assert written(tmp_path / "two.zip", a=b"x", b=b"y") == first
    finally:
        os.umask(mask)


@pytest.mark.parametrize("data", [b"", b"x", b"<p>abc</p>" * 20_000])
def test_a_member_deflated_elsewhere_is_the_member_deflated_here(tmp_path, data):
    here = written(tmp_path / "here.zip", a=b"before", b=data, c=b"after")
    with Package(tmp_path / "there.zip") as package:
        for name, made in {"a": b"before", "b": deflated(data), "c": deflated(b"after")}.items():
            package.add(name, made)

    assert (tmp_path / "there.zip").read_bytes() == here


def test_a_member_states_no_time_and_no_permissions_of_the_machine(tmp_path):
    written(tmp_path / "p.zip", a=b"x")
    (info,) = zipfile.ZipFile(tmp_path / "p.zip").infolist()

    assert info.date_time == (1980, 1, 1, 0, 0, 0)
    assert oct(info.external_attr >> 16) == "0o100644"
    assert (info.create_system, info.compress_type) == (3, zipfile.ZIP_DEFLATED)


def test_a_member_written_in_pieces_is_the_member_written_whole(tmp_path, members):
    with Package(tmp_path / "p.zip") as package, package.member("a") as out:
        out.write(b"one ")
        out.write(b"two")

    assert members(tmp_path / "p.zip") == {"a": b"one two"}


def test_a_name_is_added_once(tmp_path):
    path = tmp_path / "p.zip"
    with pytest.raises(ExportError) as refused, Package(path) as package:
        package.add("a.xml", b"1")
        package.add("a.xml", b"2")
    assert str(refused.value) == f"{path}: expected each file once, got a.xml twice"


@pytest.mark.parametrize("name", ["", "a/b", "../a", "é.xml", "a b", ".a", "a\n"])
def test_names_are_flat_ascii(tmp_path, name):
    with pytest.raises(ValueError, match="flat ASCII"), Package(tmp_path / "p.zip") as package:
        package.add(name, b"")


@pytest.mark.parametrize(
    ("target", "reason"),
    [
        ("missing/p.zip", "No such file or directory"),
        ("file/p.zip", "Not a directory"),
    ],
)
def test_a_path_that_cannot_be_written_is_one_clear_line(tmp_path, target, reason):
    (tmp_path / "file").write_text("")
    path = tmp_path / target

    with pytest.raises(ExportError) as refused, Package(path) as package:
        package.add("a", b"x")
    assert str(refused.value) == (
        f"{path}: cannot be written: {reason}; choose a folder that exists and that you may"
        " write to"
    )
    assert sorted(p.name for p in tmp_path.iterdir()) == ["file"]


@pytest.mark.parametrize("piecewise", [False, True])
def test_a_failure_leaves_the_old_package_and_nothing_else(tmp_path, piecewise):
    path = tmp_path / "p.zip"
    old = written(path, a=b"old")

    with pytest.raises(RuntimeError), Package(path) as package:
        package.add("a", b"new")
        if piecewise:
            with package.member("b") as out:
                out.write(b"half")
                raise RuntimeError
        raise RuntimeError
    assert path.read_bytes() == old
    assert list(tmp_path.iterdir()) == [path]


def test_a_kill_leaves_the_old_package(tmp_path):
    path = tmp_path / "p.zip"
    old = written(path, a=b"old")
    code = (
        "import os, signal, sys; from pathlib import Path; from exporters.package import Package\n"
        "with Package(Path(sys.argv[1])) as package:\n"
        "    package.add('a', os.urandom(1 << 20)); os.kill(os.getpid(), signal.SIGKILL)"
    )

    killed = Forked(code, path)
    killed.communicate(timeout=120)
    assert killed.returncode == -signal.SIGKILL
    assert path.read_bytes() == old
