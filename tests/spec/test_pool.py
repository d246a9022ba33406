"""A pool file: what it says is read exactly, and all its faults are told at once."""

import pytest

from itembank.languages.catalogue import languages
from itembank.spec import FamilyShelf, find_families, load_family, load_pool
from itembank.values.errors import SpecError
from tests.spec.samples import COUNT, KINDS, POOL, QUADRATIC, written


@pytest.fixture
def families(tmp_path):
    return FamilyShelf(
        {"quadratic-two-prime-powers": written(tmp_path, QUADRATIC)}
        | {"count-square-roots": written(tmp_path, COUNT)},
        KINDS,
    )


def faults_of(path, families) -> list[str]:
    with pytest.raises(SpecError) as e:
        load_pool(path, families)
    return str(e.value).replace(f"{path.parent}/", "").splitlines()


def test_a_pool_says_what_its_file_says(tmp_path, families):
    pool = load_pool(written(tmp_path, POOL), families)

    assert (pool.id, pool.title) == ("week-5-homework", "Homework 5 - lifting")
    assert pool.course == "NT 210 Elementary Number Theory, Alder Ford College"
    assert (pool.language, pool.seed, pool.rests, pool.letter) == ("en", "2027-spring", 3, "z")
    first, second = pool.entries
    assert first.family is families["quadratic-two-prime-powers"]
    assert (first.variants, first.choose, first.points, first.form) == (10, 2, 2, "list")
    assert (second.variants, second.choose, second.points, second.form) == (8, 1, 1, "integer")


def test_what_a_pool_leaves_out_has_its_default(tmp_path, families):
    text = POOL.replace("language: en\n", "").replace("rests: 3\n", "")
    text = text.replace("wording: {letter: z}\n", "")

    pool = load_pool(written(tmp_path, text), families)

    assert (pool.language, pool.rests, pool.letter) == ("en", 2, "x")


def test_a_pool_in_several_languages_has_an_edition_in_each(tmp_path, families):
    text = POOL.replace("language: en\n", "languages: [de, en]\n")
    pool = load_pool(written(tmp_path, text), families)

    assert (pool.languages, pool.language, pool.edition) == (("de", "en"), "de", "")
    assert [(p.language, p.edition) for p in pool.editions()] == [("de", ""), ("en", "en")]
    assert [(p.language, p.edition) for p in pool.editions(["en"])] == [("en", "en")]


def test_a_pool_in_one_language_may_be_asked_for_in_others(tmp_path, families):
    pool = load_pool(written(tmp_path, POOL), families)
    editions = pool.editions(["de", "en"])

    assert [(p.language, p.edition) for p in editions] == [("de", "de"), ("en", "")]
    assert {p.languages for p in editions} == {("en", "de")}


def test_families_may_come_in_any_mapping(tmp_path):
    names = {"quadratic-two-prime-powers": QUADRATIC, "count-square-roots": COUNT}
    families = {n: load_family(written(tmp_path, text), KINDS) for n, text in names.items()}

    assert len(load_pool(written(tmp_path, POOL), families).entries) == 2


MANY_FAULTS = """\
id: week-5
titel: Homework 5
course: [NT 210]
language: English
rests: -1
items:
  - {family: quadratic-two-prime-power, variants: 10}
  - {family: count-square-roots, variants: 2, choose: 3, points: 100, form: list}
  - {family: count-square-roots, variants: 1, choice: 1}
  - {variants: 0}
  - lifting
  - {family: quadratic-two-prime-powers, variants: 5, form: lists, points: 1.3}
wording: {letter: t}
"""

ALL_OF_THEM = """\
1:1: the field 'seed' is missing
1:5: id: expected 'week-5-homework', the name of the file, found 'week-5'
2:1: unknown field 'titel'; did you mean 'title'?
3:9: course: expected text, found a list
4:11: language: expected a language tag such as en or en-GB, found the text 'English'
5:8: rests: expected an integer of at least 0, found the integer -1
7:14: items[1].family: unknown family 'quadratic-two-prime-power'; \
did you mean 'quadratic-two-prime-powers'?
8:55: items[2].choose: expected at most 2, the number of variants, found 3
8:66: items[2].points: expected points in halves, from 0.5 to 99, found the integer 100
8:77: items[2].form: the form 'list' does not go with the family 'count-square-roots'; \
expected one of: integer
9:14: items[3].family: the family 'count-square-roots' stands here twice, first in line 8: \
put all its variants in one entry
9:47: items[3]: unknown field 'choice'; did you mean 'choose'?
10:5: items[4]: the field 'family' is missing
10:16: items[4].variants: expected an integer of at least 1, found the integer 0
11:5: items[5]: expected fields written 'name: value', found the text 'lifting'
12:61: items[6].form: unknown form 'lists'; did you mean 'list'?
12:76: items[6].points: expected points in halves, from 0.5 to 99, found the number 1.3
13:19: wording.letter: unknown letter 't'; expected one of: x, y, z, u, v, w
"""


def test_all_faults_of_a_pool_are_told_at_once_each_at_its_place(tmp_path, families):
    path = written(tmp_path, MANY_FAULTS, "week-5-homework")

    expected = [f"week-5-homework.yaml:{line}" for line in ALL_OF_THEM.splitlines()]
    assert faults_of(path, families) == expected


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ('"2027-spring"', "2027", "5:7: seed: expected text, found the integer 2027; "
                                  "put it in quotes"),
        ('"2027-spring"', "2027-01-10", "5:7: seed: expected text, found the date 2027-01-10; "
                                        "put it in quotes"),
        ('"2027-spring"', '""', "5:7: seed: expected text, found an empty text"),
        ("language: en", "language: no", "4:11: language: expected text, "
                                         "found the truth value no; put it in quotes"),
        ("language: en", "language: tlh", "4:11: language: expected a language with a catalogue: "
                                          f"{', '.join(languages())}, found 'tlh'"),
        ("language: en", "languages: [en, tlh]", "4:17: languages[2]: expected a language with a "
                                                 f"catalogue: {', '.join(languages())}, "
                                                 "found 'tlh'"),
        ("language: en", "languages: [en, de-CH, de-ch]", "4:24: languages[3]: the language "
                                                          "'de-ch' stands here twice"),
        ("language: en", "languages: []", "4:12: languages: expected 1 or more values, found 0"),
        ("language: en", "languages: de", "4:12: languages: expected a list, "
                                          "found the text 'de'; write [de]"),
        ("language: en\n", "language: en\nlanguages: [en, de]\n",
         "5:1: expected `language` or `languages`, found both"),
        ("wording: {letter: z}", "wording: z", "10:10: wording: expected fields written "
                                               "'name: value', found the text 'z'"),
    ],
)  # fmt: skip
def test_a_fault_of_a_pool_field_is_told_whole(tmp_path, families, old, new, line):
    assert old in POOL
    path = written(tmp_path, POOL.replace(old, new))

    assert faults_of(path, families) == [f"week-5-homework.yaml:{line}"]


def test_the_faults_of_a_family_are_told_with_those_of_its_pool(tmp_path):
    written(tmp_path, COUNT.replace("level: easy", "level: hard"))
    written(tmp_path, QUADRATIC)
    families = FamilyShelf(find_families([tmp_path]), KINDS)
    path = written(tmp_path, POOL.replace("rests: 3", "rests: many"))

    assert faults_of(path, families) == [
        "count-square-roots.yaml:6:8: level: unknown level 'hard'; did you mean 'difficult'?",
        "week-5-homework.yaml:6:8: rests: expected an integer (digits alone), "
        "found the text 'many'",
    ]


def test_a_family_given_as_a_pool_is_told_in_one_line(tmp_path, families):
    path = written(tmp_path, QUADRATIC)

    assert faults_of(path, families) == [
        f"{path.name}:1:1: this is a family, not a pool; name it in the `items` of a pool"
    ]
