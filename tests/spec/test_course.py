"""A course file: what it says holds for all its pools, and what a pool says itself wins."""

import pytest

from itembank.pipeline import appraisal
from itembank.spec import FamilyShelf, load_course, load_pool, load_specs
from itembank.values.course import AS_USUAL, Methods, Notation, Teaching
from itembank.values.errors import SpecError
from tests.spec.samples import COUNT, KINDS, POOL, QUADRATIC, written

COURSE = """\
name: NT 210 Elementary Number Theory
language: de
notation: {letter: y, residues: symmetric, mod: mod n, congruent: words}
methods: {combine: substitution, roots: complete the square, inverse: table, lift: substitute}
"""

TEACHING = Teaching(
    Notation(residues="symmetric", mod="mod n", congruent="words"),
    Methods(
        combine="substitution", roots="complete the square", inverse="table", lift="substitute"
    ),
)

NAMED = POOL.replace("NT 210 Elementary Number Theory, Alder Ford College", "nt-210.yaml")


@pytest.fixture
def families(tmp_path):
    return FamilyShelf(
        {"quadratic-two-prime-powers": written(tmp_path, QUADRATIC)}
        | {"count-square-roots": written(tmp_path, COUNT)},
        KINDS,
    )


def course(tmp_path, text=COURSE):
    path = tmp_path / "nt-210.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def faults_of(load, *arguments) -> list[str]:
    with pytest.raises(SpecError) as e:
        load(*arguments)
    return [line.partition("nt-210.yaml:")[2] or line for line in str(e.value).splitlines()]


def test_a_course_says_what_its_file_says(tmp_path):
    found = load_course(course(tmp_path))

    assert (found.name, found.language, found.letter) == (
        "NT 210 Elementary Number Theory", "de", "y",
    )  # fmt: skip
    assert found.teaching == TEACHING


def test_what_a_course_leaves_out_is_as_usual(tmp_path):
    assert load_course(course(tmp_path, "name: NT 210\n")).teaching == AS_USUAL


def test_a_pool_has_of_its_course_what_it_does_not_say_itself(tmp_path, families):
    course(tmp_path)
    text = NAMED.replace("language: en\n", "").replace("wording: {letter: z}\n", "")

    pool = load_pool(written(tmp_path, text), families)

    assert (pool.course, pool.language, pool.letter) == (
        "NT 210 Elementary Number Theory", "de", "y",
    )  # fmt: skip
    assert pool.teaching == TEACHING
    assert [edition.teaching for edition in pool.editions(["de", "en"])] == [TEACHING, TEACHING]


def test_what_a_pool_says_itself_wins(tmp_path, families):
    course(tmp_path)
    pool = load_pool(written(tmp_path, NAMED), families)

    assert (pool.language, pool.letter, pool.teaching) == ("en", "z", TEACHING)


def test_a_pool_that_names_its_course_is_taught_as_usual(tmp_path, families):
    assert load_pool(written(tmp_path, POOL), families).teaching == AS_USUAL


def test_all_faults_of_a_course_are_told_with_their_places(tmp_path, families):
    path = course(
        tmp_path,
        "name: [x]\nlanguage: tlh\nnotation: {letter: q, mods: z}\nmethods: {lift: formulas}\n",
    )
    told = [
        "1:7: name: expected text, found a list",
        "2:11: language: expected a language with a catalogue: en, de, es, found 'tlh'",
        "3:20: notation.letter: unknown letter 'q'; expected one of: x, y, z, u, v, w",
        "3:23: notation: unknown field 'mods'; did you mean 'mod'?",
        "3:29: notation.mods: unknown modulus 'z'; expected one of: (mod n), mod n",
        "4:17: methods.lift: unknown way to lift 'formulas'; did you mean 'formula'?",
    ]

    assert faults_of(load_course, path) == told
    assert faults_of(load_pool, written(tmp_path, NAMED), families) == told


def test_a_course_that_is_not_there_is_a_fault_of_its_line(tmp_path, families):
    (told,) = faults_of(load_pool, written(tmp_path, NAMED), families)

    assert told.endswith(
        ":3:9: course: expected the file of a course beside the pool, found no 'nt-210.yaml'"
    )


def test_a_pool_is_no_course(tmp_path):
    (told,) = faults_of(load_course, course(tmp_path, POOL))

    assert told == "1:1: expected a course (name, language, notation, methods)"


def test_a_folder_with_a_course_in_it_is_checked_and_read(tmp_path, families):
    for text in (QUADRATIC, COUNT, NAMED):
        written(tmp_path, text)
    path = course(tmp_path)

    (report,) = appraisal.reports([path])
    assert report.as_text() == "nt-210: no fault"
    _families, pools = load_specs([tmp_path], KINDS)
    assert [pool.teaching for pool in pools.values()] == [TEACHING]


def test_the_terms_of_a_course_stand_in_the_order_of_their_days(tmp_path):
    wrong = (
        "name: NT 210\nterms:\n  - {name: 2027-spring, begins: 2027-02-01, ends: 2027-01-31}\n"
        "  - {name: 2027-spring, begins: 2027-02-30}\n  - {name: spring 2028}\n"
    )
    found = faults_of(load_course, course(tmp_path, wrong))

    assert any("terms[2].begins: there is no day 2027-02-30" in line for line in found)
    assert any("terms[3].name: " in line for line in found)
    mended = wrong.replace("2027-02-30", "2027-02-28").replace("spring 2028", "2028-spring")
    assert faults_of(load_course, course(tmp_path, mended)) == [
        "3:51: terms[1].ends: expected a day after 2027-02-01, found 2027-01-31",
        "4:12: terms[2].name: the term '2027-spring' stands here twice",
    ]
