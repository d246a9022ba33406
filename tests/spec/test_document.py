"""YAML as specs allow it: positions, and one clear line for what is hostile or mistaken."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from itembank.spec.document import document
from itembank.spec.nodes import Faults, Fields, Node, Scalar, Sequence


def read(path: Path, content: str | bytes) -> tuple[Node | None, list[str]]:
    """The tree of a file with this content, and its faults as a user reads them."""
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    faults = Faults("f.yaml")
    root = document(path, faults)
    return root, [str(fault) for fault in faults.found]


BOMB = "a: &a [z, z]\n" + "".join(
    f"{b}: &{b} [*{a}, *{a}, *{a}, *{a}]\n" for a, b in zip("abcdefgh", "bcdefghi", strict=True)
)
REUSE = "specs repeat a value instead of naming it; text that begins with * or & belongs in quotes"

HOSTILE = {
    "a bomb of aliases": (
        BOMB,
        f"f.yaml:1:4: a: expected a plain value, found the anchor &a: {REUSE}",
    ),
    "an alias to itself": (
        "a: &a [*a]\n",
        f"f.yaml:1:8: a[1]: expected a plain value, found the alias *a: {REUSE}",
    ),
    "a number of a million digits": (
        "a: " + "9" * 10**6,
        "f.yaml:1:1: expected at most 256 kB, found a larger file",
    ),
    "a number of 200,000 digits": (
        "a: " + "9" * 200_000,
        "f.yaml:1:4: a: expected an integer of at most 400 digits, found one of 200000",
    ),
    "lists in lists": (
        "a: " + "[" * 200_000,
        "f.yaml:1:24: expected at most 20 levels of nesting",
    ),
    "mappings in mappings": (
        "{a: " * 60_000,
        "f.yaml:1:82: expected at most 20 levels of nesting",
    ),
    "block lists in block lists": (
        "- " * 100_000,
        "f.yaml:1:43: expected at most 20 levels of nesting",
    ),
    "many values": (
        "a: [" + "1," * 100_000 + "]",
        "f.yaml:1:19999: expected at most 10000 values in a file",
    ),
    "an object": (
        "a: !!python/object/apply:os.system [ls]\n",
        "f.yaml:1:4: a: expected a plain value, "
        "found the tag tag:yaml.org,2002:python/object/apply...: leave tags out",
    ),
    "a tag of YAML itself": (
        "a: !!int '3'\n",
        "f.yaml:1:4: a: expected a plain value, found the tag tag:yaml.org,2002:int: "
        "leave tags out",
    ),
    "binary": (
        b"\x89PNG\r\n",
        "f.yaml:1:1: expected UTF-8 text, found the byte 0x89; save it as UTF-8",
    ),
    "Latin-1": (
        "a: 1\nb: gr\u00fcn\n".encode("latin-1"),
        "f.yaml:2:6: expected UTF-8 text, found the byte 0xfc; save it as UTF-8",
    ),
    "UTF-16": (
        "a: 1\n".encode("utf-16"),
        "f.yaml:1:1: expected UTF-8 text, found the byte 0xff; save it as UTF-8",
    ),
    "a null byte": (
        "a: 1\nb: x\0y\n",
        "f.yaml:2:5: expected text, found the control character U+0000",
    ),
    "an escaped control character": (
        'a: "x\\x1b[2J"\n',
        "f.yaml:1:4: a: expected text, found the control character U+001B",
    ),
    "half a surrogate pair": (
        'a: "\\uD800"\n',
        "f.yaml:1:4: a: expected text, found the control character U+D800",
    ),
    "an escape beyond Unicode": (
        'a: "\\UFFFFFFFF"\n',
        "f.yaml:1:7: expected an escape that names a character",
    ),
    "a key twice": ("a: 1\nb: 2\na: 3\n", "f.yaml:3:1: 'a' stands here twice, first in line 1"),
    "a key twice, below": (
        "a:\n  b: {c: 1, d: 2, c: 3}\n",
        "f.yaml:2:19: a.b: 'c' stands here twice, first in line 2",
    ),
    "a list as key": (
        "? [1, 2]\n: 3\n",
        "f.yaml:1:3: expected a name before ':', found a list or a mapping",
    ),
    "two documents": ("a: 1\n---\nb: 2\n", "f.yaml:2:1: expected one document, found a second one"),
    "nothing": ("", "f.yaml:1:1: expected fields written 'name: value', found an empty file"),
    "comments only": (
        "# nothing yet\n",
        "f.yaml:1:1: expected fields written 'name: value', found an empty file",
    ),
}


@pytest.mark.parametrize(("content", "line"), HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_file_gives_one_clear_line(tmp_path, content, line):
    _, faults = read(tmp_path / "f.yaml", content)

    assert faults == [line]


SYNTAX = [
    (
        "a: 1\n\tb: 2\n",
        "f.yaml:2:1: not YAML: found character '\\t' that cannot start any token; "
        "indent with spaces, not with tabs",
    ),
    (
        "title: Homework: lifting\n",
        "f.yaml:1:16: not YAML: mapping values are not allowed here; "
        "text that holds ': ' belongs in quotes",
    ),
    (
        "a: [1, 2\nb: 3\n",
        "f.yaml:2:2: not YAML: expected ',' or ']', but got ':'; "
        "a bracket opened before stays open",
    ),
    (
        "a: 'x\n",
        "f.yaml:2:1: not YAML: found unexpected end of stream; a bracket or a quote stays open",
    ),
    (
        "a:\n  b: 1\n c: 2\n",
        "f.yaml:3:2: not YAML: expected <block end>, but found '<block mapping start>'; "
        "lines of one list or mapping begin in the same column",
    ),
    (
        "a: *(p)\n",
        "f.yaml:1:5: not YAML: expected alphabetic or numeric character, but found '('; "
        "text that begins with * or & belongs in quotes",
    ),
    (
        "a: @b\n",
        "f.yaml:1:4: not YAML: found character '@' that cannot start any token; "
        "text that begins so belongs in quotes",
    ),
]


@pytest.mark.parametrize(("content", "line"), SYNTAX)
def test_what_is_not_yaml_is_told_with_its_place_and_what_to_do(tmp_path, content, line):
    _, faults = read(tmp_path / "f.yaml", content)

    assert faults == [line]


@pytest.mark.parametrize(
    ("content", "places"),
    [
        ("a: {c: gcd(p, q)*x = 0, m: 1}\n", ["f.yaml:1:8: a.c"]),
        ("a: [gcd(p, 2), 5]\n", ["f.yaml:1:5: a[1]"]),
        ("a: [0, min(p, (q), r), 5]\n", ["f.yaml:1:8: a[2]"]),
        ("a: {v: min(p, q, r), w: max(p, q)}\n", ["f.yaml:1:8: a.v", "f.yaml:1:25: a.w"]),
    ],
)
def test_a_comma_that_cuts_a_call_is_told_once_for_each_call(tmp_path, content, places):
    _, faults = read(tmp_path / "f.yaml", content)

    advice = "put the whole value in quotes"
    assert [f.rsplit(": a comma inside", 1)[0] for f in faults] == places
    assert all(f.endswith(advice) for f in faults)


def test_what_follows_a_cut_call_is_read_as_if_it_were_whole(tmp_path):
    root, _ = read(tmp_path / "f.yaml", "a: [gcd(p, q), 5]\n")

    assert isinstance(root, Fields)
    items = root.pairs[0][1]
    assert isinstance(items, Sequence)
    assert [n.text if isinstance(n, Scalar) else None for n in items.items] == [None, "5"]


def test_every_value_knows_its_place_and_its_name(tmp_path):
    root, faults = read(
        tmp_path / "f.yaml", "\ufeffa: 'one'\nb:\n  - x^2\n  - {c: 3}\n  - >\n    two\n    lines\n"
    )

    assert faults == []
    assert [(n.line, n.column, n.name, n.text) for n in scalars(root)] == [
        (1, 4, "a", "one"),
        (3, 5, "b[1]", "x^2"),
        (4, 9, "b[2].c", "3"),
        (5, 5, "b[3]", "two lines\n"),
    ]
    assert [n.column_of(2) for n in scalars(root)] == [7, 7, 11, 5]


def scalars(node: Node | None) -> list[Scalar]:
    match node:
        case Scalar():
            return [node]
        case Sequence(items=items):
            return [s for item in items for s in scalars(item)]
        case Fields(pairs=pairs):
            return [s for _, value in pairs for s in scalars(value)]
    return []


@pytest.mark.parametrize("name", ["none.yaml", "folder"])
def test_a_path_that_is_no_file_is_told(tmp_path, name):
    (tmp_path / "folder").mkdir()
    faults = Faults("f.yaml")

    assert document(tmp_path / name, faults) is None
    found = "a folder" if name == "folder" else "none of this name"
    assert [str(f) for f in faults.found] == [f"f.yaml:1:1: expected a file, found {found}"]


yaml_characters = st.text(alphabet="ab1 \n\t:,-[]{}&*!|>'\"#%@\\xu?~\u00e9\u2028\x85", max_size=60)


@settings(max_examples=300)
@given(content=st.one_of(yaml_characters.map(str.encode), st.binary(max_size=40)))
def test_any_bytes_give_a_tree_or_a_fault_and_nothing_else(tmp_path_factory, content):
    root, faults = read(tmp_path_factory.getbasetemp() / "any.yaml", content)

    assert faults or root is not None
    assert all(f.startswith("f.yaml:") for f in faults)
