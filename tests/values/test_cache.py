"""What is kept of former findings is told again only as it was written, and under its own key."""

import json
import os
from pathlib import Path

import pytest

from itembank.values import cache
from itembank.values.cache import Cache, folder_of

KEY = {"what": "a test", "file": "a.yaml"}
FOUND = {"text": "fine", "shares": [0.25, 1, None]}


@pytest.fixture
def held(tmp_path: Path) -> Path:
    """The one entry of a folder."""
    return kept_in(tmp_path / "cache", KEY)


def kept_in(folder: Path, *keys: dict[str, str]) -> Path:
    before = set(folder.glob("*"))
    room = Cache(folder)
    for key in keys:
        room.keep(key, FOUND)
    room.write()
    return next(iter(set(folder.glob("*")) - before), folder)


def found(folder: Path, key: dict[str, str] = KEY) -> object:
    return Cache(folder).found(key)


def test_what_was_kept_is_found_under_its_key_alone(held: Path):
    assert found(held.parent) == FOUND
    assert found(held.parent, KEY | {"file": "b.yaml"}) is None
    assert found(held.parent, KEY | {"more": ""}) is None


@pytest.mark.parametrize(
    "damage",
    [
        lambda data: b"",
        lambda data: data[:-1],
        lambda data: data.replace(b"fine", b"find"),
        lambda data: data.replace(b"0.25", b"0.26"),
        lambda data: data.replace(b"a test", b"a task"),
        lambda data: data + b" " * cache.MOST_BYTES,
        lambda data: b"[" * 60_000,
        lambda data: b"\x80\x04N.",
        lambda data: b"null",
        lambda data: json.dumps({"key": KEY, "found": FOUND}).encode(),
        lambda data: json.dumps({"key": KEY, "found": FOUND, "sum": None}).encode(),
    ],
)
def test_a_damaged_or_foreign_entry_is_as_good_as_missing(damage, held: Path):
    held.write_bytes(damage(held.read_bytes()))

    assert found(held.parent) is None


def test_an_entry_of_another_key_is_not_believed_under_the_name_of_this_one(held: Path):
    other = kept_in(held.parent, KEY | {"file": "b.yaml"})
    held.write_bytes(other.read_bytes())

    assert found(held.parent) is None


def test_a_link_is_not_followed_and_a_pipe_not_waited_for(held: Path, tmp_path: Path):
    entry = held.rename(tmp_path / "elsewhere.json")
    held.symlink_to(entry)
    linked = found(held.parent)
    held.unlink()
    os.mkfifo(held)

    assert (linked, found(held.parent)) == (None, None)


@pytest.mark.skipif(not hasattr(os, "getuid") or os.getuid() != 0, reason="only root can give away")
def test_the_entry_of_another_user_is_not_believed(held: Path):
    os.chown(held, 12_345, 12_345)

    assert found(held.parent) is None


def test_of_too_many_the_oldest_go_and_what_is_no_entry_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(cache, "MOST_ENTRIES", 2)
    keys = [KEY | {"file": f"{n}.yaml"} for n in range(4)]
    (tmp_path / "own.json").write_text("a file of somebody")
    for n, key in enumerate(keys[:3]):
        os.utime(kept_in(tmp_path, key), (n, n))
    kept_in(tmp_path, keys[3])

    assert [found(tmp_path, key) for key in keys] == [None, None, FOUND, FOUND]
    assert {path.suffix for path in tmp_path.iterdir()} == {".json"}
    assert (tmp_path / "own.json").exists() and len([*tmp_path.iterdir()]) == 3


def test_an_entry_that_is_too_large_is_not_kept(tmp_path: Path):
    room = Cache(tmp_path / "cache")
    room.keep(KEY, "x" * cache.MOST_BYTES)
    room.write()

    assert not (tmp_path / "cache").exists()


def test_a_folder_that_cannot_be_written_or_read_is_no_fault(tmp_path: Path):
    (tmp_path / "file").write_text("no folder")

    kept_in(tmp_path / "file" / "cache", KEY)

    assert found(tmp_path / "file" / "cache") is None
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_the_folder_is_that_of_the_variables(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("HOME", "/home/me")

    assert folder_of({"ITEMBANK_CACHE": "mine", "XDG_CACHE_HOME": "/caches"}) == Path("mine")
    assert folder_of({"XDG_CACHE_HOME": "/caches"}) == Path("/caches/itembank")
    assert folder_of({"XDG_CACHE_HOME": "caches"}) == Path("/home/me/.cache/itembank")
    assert folder_of({}) == Path("/home/me/.cache/itembank")
