"""Each writing rule: an item that breaks it, and one that does not."""

from dataclasses import replace
from fractions import Fraction

import pytest

from itembank.audit.met import Met
from itembank.audit.phrases import phrases_of
from itembank.audit.question import asked
from itembank.audit.rules_of_writing import of_all, of_item, writing_findings

ENGLISH = phrases_of("en")


STEM = (
    "Find all solutions of\nx^2 + 9x + 5 ≡ 0 (mod 117)\nChoose the set that holds all solutions"
    " among the least residues, 0 to 116.\n1 point for the right set, otherwise 0."
)

SETS = ("{7, 20}", "{7, 20, 88, 101}", "{10, 20, 46, 101}", "{16, 29, 97, 110}")

GOOD = Met(
    language="en",
    identifier="i1",
    title="A quadratic",
    stem=STEM,
    form="one",
    options=SETS,
    most=1,
    key=(SETS[1],),
    points=(Fraction(1),),
    asked=asked(((STEM,),), ENGLISH),
    why="",
    scores={},
    feedback={"slip": "Substitute your residues."},
    misleading=frozenset({"slip"}),
)


def found(item: Met) -> list[str]:
    return [str(finding).replace("i1: ", "") for finding in of_item(item)]


def test_a_good_item_breaks_no_rule():
    assert found(GOOD) == []


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"options": SETS[::-1]}, "warning: options: expected increasing order"),
        ({"options": (*SETS, "{101, 88, 20, 7}")}, "error: options: '{7, 20, 88, 101}' and"),
        ({"options": (*SETS, "all of the above")}, "error: options: expected an answer"),
        ({"options": (*SETS, "A and C")}, "error: options: expected an answer"),
        ({"key": ()}, "error: key: expected a declared right answer, found none"),
        ({"key": (), "form": "any"}, "error: key: expected a declared right answer, found none"),
        ({"key": ("{7, 20}",)}, "warning: options: the key {7, 20} is the only one of 2"),
        ({"options": ("{7}", "{8}"), "key": ("{7}",)}, "note: options: expected at least three"),
        ({"stem": STEM + " Which is NOT one?"}, "note: stem: asks with 'NOT'"),
        ({"stem": STEM + " Read this." * 60}, "note: stem: "),
        ({"stem": STEM + " Choose the two solutions."}, "warning: stem: 'the two solutions'"),
        ({"form": "any", "most": 1}, "warning: response: room for 1 answers"),
        (
            {"form": "any", "most": 0, "stem": STEM.replace("0 to 116", "mod 117")},
            "warning: stem: expected the range",
        ),
        ({"feedback": {"slip": "It is 7, 20, 88, 101."}}, "error: feedback slip: prints the key"),
    ],
)
def test_each_rule_is_seen_to_be_broken(changes, message):
    lines = found(replace(GOOD, **changes))

    assert any(line.startswith(message) for line in lines), lines


def test_the_same_set_under_two_moduli_is_one_answer():
    """x ≡ 3 (mod 6) is x ≡ 3, 9 (mod 12): every sixth integer, either way."""
    options = ("x ≡ 3 (mod 6)", "x ≡ 5 (mod 12)", "x ≡ 3, 9 (mod 12)")
    lines = found(replace(GOOD, options=options, key=options[:1], asked=None))

    assert "error: options: 'x ≡ 3 (mod 6)' and 'x ≡ 3, 9 (mod 12)' say the same" in lines


def quiz(places: list[int]) -> list[Met]:
    return [
        replace(GOOD, identifier=f"i{i}", key=(SETS[place],), asked=None)
        for i, place in enumerate(places)
    ]


def over_all(items: list[Met]) -> list[str]:
    return list(map(str, of_all(items)))


def test_keys_at_one_place_too_often_are_a_finding():
    """16, 4, 4, 4 where 7 are expected: (81 + 9 + 9 + 9)/7 = 15.4, above 7.815."""
    (line,) = [s for s in over_all(quiz([0, 1, 2, 3, 0] * 4 + [0] * 8)) if "warning" in s]

    assert "key of 28 items with 4 options: 16, 4, 4, 4 times at each place" in line


def test_keys_at_every_place_alike_are_none():
    assert over_all(quiz([0, 1, 2, 3] * 6)) == []


def test_a_long_run_of_keys_at_one_place_is_noted():
    (line,) = over_all(quiz([0, 1, 2, 3, 1, 1, 1, 1, 1, 0]))

    assert line == "note: the key stands 5 times in a row at one place"


def test_two_items_of_one_question_tell_each_other():
    (line,) = over_all([GOOD, replace(GOOD, identifier="i2")])

    assert line == "warning: i1 and i2: the same mathematics, one tells the other"


@pytest.mark.parametrize("name", ["qti21", "cc13"])
def test_shipped_pools_break_no_rule_but_notes(packages_by_format, name):
    for path in packages_by_format[name]:
        assert [str(f) for f in writing_findings(path) if f.severity != "note"] == []
