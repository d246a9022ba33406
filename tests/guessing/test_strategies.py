"""Each strategy on a question made by hand, with the answers that it must hold alike.

The scores beside them were worked out on paper.
"""

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest

from itembank.guessing import cheap, strategies
from itembank.guessing.figures import Tally, chance
from itembank.guessing.question import Past, Question
from tests.guessing.handmade import chosen, question, ticked

QUARTER = Fraction(1, 4)

VALUES = ("4", "7", "9", "16")
SETS = ("{3}", "{3, 9}", "{1, 8}", "{2, 3, 9}")
QUADRATIC = "x^2+3*x+2=0 (mod 11)"
"""Partners add up to -3 = 8: 0 and 8, 1 and 7, 2 and 6, 3 and 5, 9 and 10, 4 alone; roots 9, 10."""

LINEAR = "3*x=6 (mod 9)"
"""Solutions are 3 apart."""


def guessed(name: str, asked: Question, past: Past | None = None) -> set[str]:
    """The options that the strategy of this name holds alike."""
    (strategy,) = (s for s in strategies.for_form(asked.form) if s.name.template == name)
    return {" ".join(map(str, answer)) for answer in strategy.guess(asked, past or Past())}


@pytest.mark.parametrize(
    ("name", "labels", "expected"),
    [
        ("the first option", VALUES, "o1"),
        ("the last option", VALUES, "o4"),
        ("an option in the middle", VALUES, "o2 o3"),
        ("an option in the middle", VALUES[:3], "o2"),
        ("the longest option", SETS, "o4"),
        ("the shortest option", VALUES, "o1 o2 o3"),
        ("the commonest size", SETS, "o2 o3"),
        ("anything but no solution", ("no solutions", "{1}", "{2}", "{3}"), "o2 o3 o4"),
        # 3 stands in two other options: of {3} all elements do, of {3, 9} 3 in two and 9 in one.
        ("the elements that most options share", SETS, "o1"),
        ("the most elements shared with other options", SETS, "o2 o4"),
        # {3} and {3, 9} are parts of others; {1, 8} is the negative of itself alone.
        ("the option to which most others are related", SETS, "o1 o2 o4"),
        # 4 divides 16, and 4 + 7 is the modulus 11: 4 is related to both.
        ("the option to which most others are related", VALUES, "o1"),
        ("the largest", VALUES, "o4"),
        ("the smallest", VALUES, "o1"),
        ("the smallest", SETS, "o3"),
        # The mean is 9.
        ("the nearest to the mean", VALUES, "o3"),
        ("the odd one out: even or odd", ("2", "4", "7", "8"), "o3"),
        ("the odd one out: even or odd", VALUES, "o1 o2 o3 o4"),
        ("the odd one out: the sign", ("-1", "0", "1", "3"), "o1"),
        ("the odd one out: divisible or not", ("3", "6", "7", "9"), "o3"),
        ("the odd one out: divisible or not", ("4", "7", "10", "11"), "o3"),
    ],
)
def test_what_is_chosen_by_its_looks(name: str, labels: tuple[str, ...], expected: str):
    assert guessed(name, chosen(*labels, numbers=(11,))) == set(expected.split())


CONGRUENCES = ("6x=9 (mod 15)", "6x=8 (mod 15)", "4x=2 (mod 10)", "3x=6 (mod 27)")


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        # 6 and 15 stand in two of them, 9 and 8 in one.
        ("the formula whose numbers most formulas share", "o1 o2"),
        ("the formula with the numbers of the stem", "o3"),
        ("the formula with the largest numbers", "o4"),
        ("the formula with the smallest numbers", "o3"),
        ("the modulus that most formulas have", "o1 o2"),
        ("the modulus that the fewest formulas have", "o3 o4"),
        ("the largest modulus", "o4"),
        ("the smallest modulus", "o3"),
    ],
)
def test_which_formula_is_chosen(name: str, expected: str):
    asked = chosen(*CONGRUENCES, ask="which", numbers=(2, 10, 11))
    assert guessed(name, asked) == set(expected.split())
    for labels in (VALUES, ("always", "sometimes", "never")):
        whatever = guessed(name, chosen(*labels))
        assert whatever == {f"o{n}" for n in range(1, len(labels) + 1)}


@pytest.mark.parametrize(
    ("name", "row", "labels", "expected"),
    [
        ("closed under the symmetry of the stem", QUADRATIC,
         ("{9, 10}", "{1, 6}", "{0, 8}", "{3}"), "o1 o3"),
        ("closed under the symmetry of the stem", QUADRATIC,
         ("no solutions", "{1, 6}", "{0, 8}", "{3}"), "o1 o3"),
        ("closed under the symmetry of the stem, and not empty", QUADRATIC,
         ("no solutions", "{1, 6}", "{0, 8}", "{4}"), "o3 o4"),
        ("closed under the symmetry of the stem", LINEAR,
         ("{2}", "{2, 5, 8}", "{1, 4, 6}", "{0, 3, 6}"), "o2 o4"),
        ("closed under the symmetry of the stem", "x^4=5 (mod 11)",
         ("{2, 9}", "{2, 8}", "{3, 8}", "{1}"), "o1 o3"),
        ("evenly spaced around the modulus", LINEAR,
         ("{2}", "{2, 5, 8}", "{1, 4, 6}", "{0, 3, 6}"), "o2 o4"),
    ],
)  # fmt: skip
def test_what_the_stem_demands(name: str, row: str, labels: tuple[str, ...], expected: str):
    assert guessed(name, chosen(*labels, row=row)) == set(expected.split())


def test_what_is_printed_in_the_stem_and_what_was_right_before():
    asked = chosen(*VALUES, ask="the value", numbers=(9, 40))
    past = Past(places=Counter({2: 3, 0: 1}), texts=Counter({"16": 2, "4": 1}))

    assert guessed("printed in the stem", asked) == {"o3"}
    assert guessed("the place that was right most often", asked, past) == {"o3"}
    assert guessed("the answer that was right most often", asked, past) == {"o4"}
    usual = guessed(
        "as many elements as were right most often", chosen(*SETS), Past(sizes=Counter([2]))
    )
    assert usual == {"o2", "o3"}


BOXES = ("0", "1", "3", "5", "8", "9", "no solutions")


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("every number ticked", {"o1 o2 o3 o4 o5 o6"}),
        ("no solution ticked", {"o7"}),
        ("all even numbers ticked", {"o1 o5"}),
        ("all odd numbers ticked", {"o2 o3 o4 o6"}),
        ("what is printed in the stem", {"o2 o3"}),
        # Partners add up to 8: 0 and 8, 3 and 5; those of 1 and 9 are not offered.
        ("all that come with their partner", {"o1 o3 o4 o5"}),
        ("partners, as many as were right most often", {"o1 o5", "o3 o4"}),
        ("the boxes that were right most often", {"o2 o3"}),
    ],
)
def test_what_is_ticked(name: str, expected: set[str]):
    asked = ticked(*BOXES, row=QUADRATIC, offers_none=True, numbers=(1, 3, 2, 11))
    past = Past(sizes=Counter({2: 5, 4: 1}), arrangements=Counter({(1, 2): 2, (0,): 1}))

    assert guessed(name, asked, past) == expected


def test_complete_progressions_are_ticked():
    asked = ticked("0", "1", "3", "4", "6", "8", row=LINEAR)

    assert guessed("one complete progression", asked) == {"o1 o3 o5"}
    assert guessed("all that stand in a complete progression", asked) == {"o1 o3 o5"}


def test_any_options_as_many_as_usual_share_one_point():
    """6 choose 2 answers: 1/15 for each."""
    asked = ticked(*BOXES, row=QUADRATIC)

    found = guessed("any, as many as were right most often", asked, Past(sizes=Counter([2])))

    assert len(found) == 15


def test_true_or_false():
    past = Past(keys=Counter({("true",): 3, ("false",): 1}), measures=[10, 20, 30])

    def word(name: str, *numbers: int) -> set[str]:
        return guessed(
            name, question("solvable or not", (), "", "whether any", numbers=numbers), past
        )

    assert word("the commoner word so far") == {"true"}
    assert word("true if the numbers are small", 3, 15) == {"true"}
    assert word("true if the numbers are small", 3, 25) == {"false"}
    assert word("true if the numbers are large", 3, 25) == {"true"}
    assert word("true if the last number is odd", 3, 25) == {"true"}
    assert word("true if the last number is even", 3, 25) == {"false"}
    assert word("true") == {"true"}
    assert word("false") == {"false"}


def test_entries():
    asked = question("integer", (), "", "the solution", numbers=(3, 15, 7), modulus=7)

    assert guessed(
        "the commonest answer so far", asked, Past(keys=Counter([(4,), (4,), (2,)]))
    ) == {"4"}
    assert guessed("a number printed in the stem", asked) == {"3", "1", "0"}


def test_lines_to_order_and_pairs_to_match():
    lines = question("order", ("Solve: 3", "Split: 35", "Combine: 8"), "", "the steps")
    past = Past(arrangements=Counter([(1, 0, 2)]), worded=Counter([("Split", "Solve", "Combine")]))
    roots = question("match", ("12", "31", "no lift"), "", "all solutions", sources=("r1", "r2"))

    assert guessed("as shown", lines) == {"o1 o2 o3"}
    assert guessed("the commonest arrangement so far", lines, past) == {"o2 o1 o3"}
    assert guessed("the commonest order of the words so far", lines, past) == {"o2 o1 o3"}
    assert guessed("as shown", roots) == {"r1 o1 r2 o2"}
    before = guessed(
        "the commonest arrangement so far", roots, Past(arrangements=Counter([(2, 0)]))
    )
    assert before == {"r1 o3 r2 o1"}
    assert guessed("one target for all", roots) == {"r1 o1 r2 o1", "r1 o2 r2 o2", "r1 o3 r2 o3"}


def test_lines_of_which_some_do_not_belong():
    """Two begin alike: either may be right, and one of them shares 3 with the line before it."""
    texts = ("Solve: 4", "Split: 15 = 3*5", "Combine: 8", "Solve: 1 mod 3")
    lines = replace(question("order", texts, "", "the steps"), some=True)
    past = Past(worded=Counter([("Split", "Solve", "Combine")]))

    assert guessed("as shown", lines) == {"o2 o3 o4", "o1 o3 o4", "o1 o2 o4", "o1 o2 o3"}
    words = "the commonest order of the words so far"
    assert guessed(words, lines, past) == {"o2 o1 o3", "o2 o4 o3"}
    assert guessed(f"{words}, lines that share numbers", lines, past) == {"o2 o4 o3"}
    assert guessed(f"{words}, lines that share numbers", replace(lines, some=False), past) == set()


# ------------------------------------------------------------ cheap arithmetic


def weights(name: str, asked: Question, after: str = "") -> dict[str, Fraction]:
    (found,) = (
        c
        for c in cheap.for_form(asked.form)
        if c.name.template == name and (c.after.template if c.after else "") == after
    )
    return {" ".join(map(str, k)): w for k, w in found.weigh(asked, Past()).items()}


def test_one_substitution_halves_four_options():
    """9 stands in two of the four and solves: these two are left, with 1/2 each."""
    asked = chosen("{9, 10}", "{9, 1}", "{0, 8}", "{3, 4}", row=QUADRATIC)

    assert weights("one substitution", asked) == {"o1": Fraction(1, 2), "o2": Fraction(1, 2)}


def test_one_substitution_of_any_of_four_single_options():
    """Each of the four is tried as likely; the right one is found by its own trial, and else is
    one of three: 1/4 + 3/4 * 1/3."""
    asked = chosen("1", "2", "3", "10", row=QUADRATIC, ask="the solution")

    assert weights("one substitution", asked)["o4"] == Fraction(1, 2)


def test_one_substitution_between_what_is_closed_settles_two():
    """{9, 10} and {0, 8} alone are closed; whichever is tried, the right one is left."""
    asked = chosen("{9, 10}", "{9, 1}", "{0, 8}", "{3, 4}", row=QUADRATIC)

    found = weights("one substitution", asked, "closed under the symmetry of the stem")

    assert found["o1"] == 1


def test_one_substitution_between_pairs_to_tick():
    """Of the pairs {0, 8}, {3, 5} and {9, 10} one is right. A trial of its own finds it, one of
    another leaves two: 1/3 + 2/3 * 1/2."""
    asked = ticked("0", "3", "5", "8", "9", "10", row=QUADRATIC)
    (found,) = (
        c
        for c in cheap.for_form("select all")
        if c.after and c.after.template == "partners, as many as were right most often"
    )

    assert found.weigh(asked, Past(sizes=Counter([2])))[("o5", "o6")] == Fraction(2, 3)


def test_everything_modulo_the_smallest_prime():
    """x^2 = 4 modulo 15: modulo 3 the solutions are 1 and 2, so that 3 and 6 are out."""
    row = "x^2=4 (mod 15)"

    found = weights("everything modulo the smallest prime", chosen(
        "{2, 7, 8, 13}", "{2, 13}", "{3, 12}", "{2, 6, 9, 13}", row=row
    ))  # fmt: skip
    boxes = weights("everything modulo the smallest prime", ticked("2", "3", "7", "9", row=row))

    assert found == {"o1": Fraction(1, 2), "o2": Fraction(1, 2)}
    assert boxes == {"o1 o3": 1}


def test_small_numbers_are_tried():
    """x^2 + 3x + 2 modulo 30: -1 and -2 solve, and 4 is the first: 16 + 12 + 2 = 30."""
    row = "x^2+3*x+2=0 (mod 30)"
    name = "trying 0, 1, 2, ..."
    options = chosen("{4, 13, 14, 23, 28, 29}", "{4, 29}", "{5, 28}", "{21, 22}", row=row)
    entry = question("list", (), row, "all solutions")

    assert weights(name, options) == {"o1": Fraction(1, 2), "o2": Fraction(1, 2)}
    assert weights(name, entry) == {"4 23": 1}
    assert weights(name, question("integer", (), row, "the least")) == {"4": 1}


def test_how_much_settles_a_question():
    """Two pairs and one alone are offered whole, 1 and 9 without their partners."""
    asked = ticked("0", "1", "3", "4", "5", "8", "9", row=QUADRATIC)

    assert cheap.substitutions_that_settle(asked) == 3
    assert cheap.shortest_way(asked) == 6
    assert cheap.shortest_way(question("integer", (), LINEAR, "the least")) == 3


# ------------------------------------------------------------ over many


def test_a_guesser_goes_by_earlier_answers_alone():
    """Keys at the places 2, 2, 1: the first is a guess of four, the second right, the third not."""
    tally = Tally("select one")
    for key in ("o2", "o2", "o1"):
        tally.meet([(chosen(*VALUES, ask="the value"), (key,))])
    name = "the place that was right most often"
    n = next(i for i, s in enumerate(strategies.for_form("select one")) if s.name.template == name)

    assert tally.scores[n] == Fraction(1, 4) + 1
    assert tally.figures().places == (
        (Fraction(1, 3), QUARTER), (Fraction(2, 3), QUARTER), (0, QUARTER), (0, QUARTER),
    )  # fmt: skip


def test_a_blind_guess():
    assert chance(chosen(*VALUES)) == QUARTER
    assert chance(ticked(*BOXES)) == Fraction(1, 128)
    assert chance(question("integer", (), "", "the solution", modulus=7)) == Fraction(1, 7)
    assert chance(question("integer", (), "", "the value")) is None


def test_keys_turned_evenly_and_looks_alike_leave_chance():
    """The four places in turn, numbers without a pattern: no place is worth more than chance."""
    tally = Tally("select one")
    labels = ("{11, 25}", "{13, 27}", "{12, 28}", "{14, 26}")
    for n in range(200):
        tally.meet([(chosen(*labels), (f"o{n % 4 + 1}",))])
    found = tally.figures()

    assert found.best is not None and found.best.share <= QUARTER + Fraction(1, 100)
    assert {share for share, _due in found.places} == {QUARTER}
