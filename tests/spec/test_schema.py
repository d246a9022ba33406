"""The JSON Schemas for editors: kept with the code, and agreeing with the readers.

Run this file to write the schemas anew after a change of words or kinds.
"""

import copy
import json
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from itembank.kinds.table import SIGNATURES
from itembank.spec import library, load_family, schemas
from itembank.spec.pool import load_pool
from itembank.spec.schema import file_text
from itembank.values.described import ASKED, IN_FORM, MEASURES
from itembank.values.errors import SpecError
from itembank.values.vocabulary import ASKS, FORMS
from tests.spec.samples import COUNT, KINDS, POOL, QUADRATIC, SYSTEM, written

FOLDER = Path(__file__).resolve().parents[2] / "specs" / "schema"
FAMILY = Draft202012Validator(schemas(KINDS)["family.schema.json"])
POOLS = Draft202012Validator(schemas(KINDS)["pool.schema.json"])


@pytest.mark.parametrize("name", schemas({}))
def test_the_shipped_schema_is_the_one_that_the_code_makes(name):
    text = (library() / "schema" / name).read_text(encoding="utf-8")

    assert text == file_text(schemas(SIGNATURES)[name])


@pytest.mark.parametrize("name", schemas({}))
def test_a_schema_is_a_schema_of_its_draft(name):
    Draft202012Validator.check_schema(schemas(KINDS)[name])
    assert schemas(KINDS)[name]["$schema"] == Draft202012Validator.META_SCHEMA["$id"]


@pytest.mark.parametrize("text", [QUADRATIC, COUNT, SYSTEM])
def test_a_family_that_is_read_is_valid(tmp_path, text):
    load_family(written(tmp_path, text), KINDS)

    assert list(FAMILY.iter_errors(yaml.safe_load(text))) == []


def test_a_pool_that_is_read_is_valid():
    assert list(POOLS.iter_errors(yaml.safe_load(POOL))) == []


@pytest.mark.parametrize(
    "path", sorted(library().rglob("*.yaml")), ids=lambda p: p.relative_to(library()).as_posix()
)
def test_every_shipped_spec_is_valid(path):
    name = "pool.schema.json" if path.parent.name == "pools" else "family.schema.json"
    schema = json.loads((FOLDER / name).read_text(encoding="utf-8"))

    data = yaml.safe_load(path.read_text(encoding="utf-8"))

    assert [e.message for e in Draft202012Validator(schema).iter_errors(data)] == []


def properties(schema):
    """Every property of a schema and of what stands in it, each with what it holds."""
    if isinstance(schema, list):
        for inner in schema:
            yield from properties(inner)
    if isinstance(schema, dict):
        yield from schema.get("properties", {}).items()
        for inner in schema.values():
            yield from properties(inner)


@pytest.mark.parametrize("name", schemas({}))
def test_every_field_has_its_words_and_an_example_that_is_valid(name):
    schema = schemas(SIGNATURES)[name]
    conditional = schema.pop("allOf", [])
    fields = [*properties(schema)]
    fields += [
        f
        for rule in conditional
        for f in properties(rule["then"].get("properties", {}).get("given", {}))
    ]

    assert len(fields) > 10
    for field, held in fields:
        assert held.get("description"), field
        assert held.get("examples"), field
        for example in held["examples"]:
            part = Draft202012Validator({**held, "$defs": schema.get("$defs", {})})
            assert [e.message for e in part.iter_errors(example)] == [], field


@pytest.mark.parametrize(
    "path", sorted(library().rglob("*.yaml")), ids=lambda p: p.relative_to(library()).as_posix()
)
def test_a_shipped_file_names_its_schema_for_editors(path):
    first = path.read_text(encoding="utf-8").splitlines()[0]
    name = "pool.schema.json" if path.parent.name == "pools" else "family.schema.json"

    mark, _, reference = first.partition("$schema=")

    assert mark == "# yaml-language-server: "
    assert (path.parent / reference).resolve() == FOLDER / name


def test_every_measure_and_every_word_of_the_forms_is_described():
    measures = {measure for kind in SIGNATURES.values() for measure in kind.measures}

    assert measures == set(MEASURES)
    assert set(ASKS) == set(ASKED)
    assert set(FORMS) == set(IN_FORM)


FAMILY_FAULTS = [
    ("version: 3", "version: 0", "version"),
    ("version: 3", "version: '3'", "version"),
    ("version: 3\n", "", ""),
    ("title: Q", "titel: Q", ""),
    ("id: q", "id: Q", "id"),
    ("problem: polynomial", "problem: polynomal", "problem"),
    ("level: medium", "level: hard", "level"),
    ("lift-roots]", "lift-roots, lift-roots]", "outcomes"),
    ("[solve-polynomial-congruences, lift-roots]", "lift-roots", "outcomes"),
    ("  p: {prime", "  x: {prime", "parameters"),
    ("  p: {prime", "  gcd: {prime", "parameters"),
    ("{prime: [5, 13]}", "{prime: [5]}", "parameters/p/prime"),
    ("{prime: [5, 13]}", "{primes: [5, 13]}", "parameters/p"),
    ("{prime: [5, 13]}", "{prime: [5, 13], value: 5}", "parameters/p"),
    ("{prime: [5, 13]}", "{value: 5, except: [5]}", "parameters/p"),
    ("radical: true", "radical: 1", "parameters/q/radical"),
    ("[4, 8, 9]", "[4, 8.5]", "parameters/q/one of/1"),
    ("  - no singular root", "  - {no: singular root}", "where/3"),
    ("  - no singular root\n", "  - no singular root\n" * 48, "where"),
    ("modulus: p", "modulis: p", "given"),
    ("c = 0", "c", "given/congruence"),
    ("ask: all solutions", "ask: how much", "ask"),
    ("[select all,", "[integer,", "forms/0"),
    ("lift-sign]", "lift-sing]", "slips/1"),
    ("{list: select one}", "{lists: select one}", "substitutes"),
    ("plus minus", "plus-minus", "scoring"),
]


@pytest.mark.parametrize(("old", "new", "where"), FAMILY_FAULTS)
def test_a_typical_fault_of_a_family_is_seen_by_schema_and_reader(tmp_path, old, new, where):
    assert old in QUADRATIC
    text = QUADRATIC.replace(old, new)

    places = {"/".join(map(str, e.path)) for e in FAMILY.iter_errors(yaml.safe_load(text))}

    assert where in places
    with pytest.raises(SpecError):
        load_family(written(tmp_path, text, "quadratic-two-prime-powers"), KINDS)


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ("points: 2", "points: 100", "items/0/points"),
        ("variants: 8", "variants: 0", "items/1/variants"),
        ("variants: 8", "variant: 8", "items/1"),
        ("form: list", "form: lists", "items/0/form"),
        ('seed: "2027-spring"\n', "", ""),
        ('"2027-spring"', "2027", "seed"),
        ("language: en", "language: English", "language"),
        ("letter: z", "letter: t", "wording/letter"),
        ("title: H", "titel: H", ""),
    ],
)
def test_a_typical_fault_of_a_pool_is_seen(old, new, where):
    assert old in POOL
    errors = POOLS.iter_errors(yaml.safe_load(POOL.replace(old, new)))

    assert where in {"/".join(map(str, e.path)) for e in errors}


# ------------------------------------------------------------ what the readers accept

VALUES = [0, 1, 5, -3, 400, True, "x", "p", "p*q", "2", "list", "how many", "", None, [], [1], {}]


@st.composite
def changed(draw, text: str) -> dict:
    """A spec in which some values are left out, put elsewhere or replaced."""
    data = copy.deepcopy(yaml.safe_load(text))
    for _ in range(draw(st.integers(1, 2))):
        node = data
        while True:
            keys = list(node) if isinstance(node, dict) else list(range(len(node)))
            if not keys:
                break
            key = draw(st.sampled_from(keys))
            if isinstance(node[key], dict | list) and draw(st.integers(0, 3)):
                node = node[key]
                continue
            if draw(st.booleans()):
                del node[key]
            else:
                node[key] = copy.deepcopy(draw(st.sampled_from(VALUES)))
            break
    return data


@settings(max_examples=200, deadline=None)
@given(data=st.one_of(changed(QUADRATIC), changed(COUNT), changed(SYSTEM)))
def test_the_schema_accepts_every_family_that_the_reader_accepts(tmp_path_factory, data):
    path = tmp_path_factory.getbasetemp() / f"{data.get('id') or 'none'}.yaml".replace("/", "-")
    path.write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
    try:
        load_family(path, KINDS)
    except SpecError:
        return

    assert [e.message for e in FAMILY.iter_errors(data)] == []


@settings(max_examples=100, deadline=None)
@given(data=changed(POOL))
def test_the_schema_accepts_every_pool_that_the_reader_accepts(tmp_path_factory, data):
    folder = tmp_path_factory.getbasetemp()
    families = {
        name: load_family(written(folder, text), KINDS)
        for name, text in {
            "quadratic-two-prime-powers": QUADRATIC,
            "count-square-roots": COUNT,
        }.items()
    }
    path = folder / "week-5-homework.yaml"
    path.write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
    try:
        load_pool(path, families)
    except SpecError:
        return

    assert [e.message for e in POOLS.iter_errors(data)] == []


def write_schemas() -> None:
    FOLDER.mkdir(exist_ok=True)
    for name, schema in schemas(SIGNATURES).items():
        (FOLDER / name).write_text(file_text(schema), encoding="utf-8")


if __name__ == "__main__":
    write_schemas()
