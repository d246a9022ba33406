"""What labels and typed answers claim, and when a feedback prints the key."""

import pytest

from itembank.audit.claims import prints, residues, solvable
from itembank.audit.phrases import phrases_of
from itembank.audit.unsupported import Unsupported

ENGLISH = phrases_of("en")


@pytest.mark.parametrize(
    ("label", "claim"),
    [
        ("7", (7,)),
        ("−3", (-3,)),
        ("− 3", (-3,)),
        ("{7, 20, 88, 101}", (7, 20, 88, 101)),
        ("{7,20}", (7, 20)),
        ("7; 20 and 88", (7, 20, 88)),
        ("x ≡ 7, 20 (mod 117)", (7, 20)),
        ("x ≡ 2 (mod 39)", (2, 41, 80)),
        ("7 (mod 117)", (7,)),
        ("no solutions", ()),
        ("There is no solution.", ()),
        ("∅", ()),
    ],
)
def test_a_label_claims_the_residues_that_it_names(label, claim):
    assert residues(label, 117, ENGLISH.answer) == claim


@pytest.mark.parametrize(
    "label", ["", "seven", "{7, 20", "7 20", "{7, x}", "7 (mod 118)", "7 or more", "7.5", "1/2"]
)
def test_a_label_that_is_no_list_of_residues_is_unsupported(label):
    with pytest.raises(Unsupported):
        residues(label, 117, ENGLISH.answer)


@pytest.mark.parametrize(
    ("label", "truth"),
    [("True", True), ("False", False), ("yes", True), ("No", False),
     ("There is no solution", False), ("there is at least one solution", True),
     ("not solvable", False)],
)  # fmt: skip
def test_a_label_says_whether_there_is_a_solution(label, truth):
    assert solvable(label, ENGLISH.answer) is truth


@pytest.mark.parametrize("label", ["perhaps", "", "nothing", "yesterday"])
def test_a_label_that_says_neither_is_unsupported(label):
    with pytest.raises(Unsupported):
        solvable(label, ENGLISH.answer)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("The solutions are 7, 20, 88, 101.", (7, 20, 88, 101)),
        ("x ≡ 7, 20, 88 and 101 (mod 117)", (7, 20, 88, 101)),
        ("It is {3,4}", (3, 4)),
        ("3 or 4", (3, 4)),
        ("so {5}", (5,)),
        ("The solution is 5.", (5,)),
    ],
)
def test_a_text_that_lists_the_key_prints_it(text, key):
    assert prints(text, key, ENGLISH.answer)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("You wrote 7, 20 only.", (7, 20, 88, 101)),
        ("the residues 3, 4, 5", (3, 4)),
        ("the residues 2, 3, 4", (3, 4)),
        ("13, 4", (3, 4)),
        ("3, 45", (3, 4)),
        ("modulo 5 there are 5 residues", (5,)),
        ("{5, 6}", (5,)),
        ("Check: 7 · 11 = 77", (7,)),
    ],
)
def test_a_text_that_mentions_numbers_of_the_key_does_not_print_it(text, key):
    assert not prints(text, key, ENGLISH.answer)
