"""What `where` says: the phrases mean what they say, and a misreading is told whole."""

import pytest

from itembank.spec.answered import Answered
from itembank.spec.condition import read_condition
from itembank.spec.expression import Place, Scope
from itembank.spec.tokens import Misread
from itembank.values.answer import ResidueSet, Truth, Value
from itembank.values.errors import SpecError
from tests.spec.samples import KINDS

MEASURES = KINDS["polynomial"].measures
SCOPE = Scope(("p", "q"))
RANGE = "expected a range such as 'solutions in 2..6', or a list as in 'p in [2, 3, 5]'"
ENV = dict.fromkeys(MEASURES, 0) | {"p": 5, "q": 9, "solutions": 4, "prime_powers": 2, "steps": 11}


def holds(text: str, **changes: int) -> bool:
    return read_condition(text, SCOPE, MEASURES).holds(ENV | changes)


@pytest.mark.parametrize(
    ("text", "measure", "satisfying", "violating"),
    [
        ("solutions in 2..6", "solutions", (2, 3, 6), (0, 1, 7)),
        ("solutions in p..q", "solutions", (5, 9), (4, 10)),
        ("solutions in 4..4", "solutions", (4,), (3, 5)),
        ("solution in 2..6", "solutions", (2, 6), (1, 7)),
        ("prime powers in 1..2", "prime_powers", (1, 2), (0, 3)),
        ("prime-powers in 1..2", "prime_powers", (1, 2), (0, 3)),
        ("no singular root", "singular_roots", (0,), (1, 2)),
        ("no singular roots", "singular_roots", (0,), (1, 2)),
        ("no singular-root", "singular_roots", (0,), (1, 2)),
        ("no singular_roots", "singular_roots", (0,), (1, 2)),
        ("some singular root", "singular_roots", (1, 2), (0,)),
        ("some solutions", "solutions", (1, 2), (0,)),
        ("solutions == 4", "solutions", (4,), (3, 5)),
        ("singular_roots < solutions", "singular_roots", (0, 3), (4, 5)),
        ("2 <= solutions <= p and steps < 20", "solutions", (2, 5), (1, 6)),
        ("digits(p^10) - digits in 3..5", "digits", (2, 4), (1, 5)),
    ],
)
def test_a_phrase_holds_for_these_values_of_its_measure_only(text, measure, satisfying, violating):
    assert measure in read_condition(text, SCOPE, MEASURES).measures
    assert all(holds(text, **{measure: n}) for n in satisfying)
    assert not any(holds(text, **{measure: n}) for n in violating)


@pytest.mark.parametrize(
    ("text", "measures"),
    [
        ("gcd(p, q) == 1", set()),
        ("p*q in 10..99", set()),
        ("digits(p) == 1", set()),
        ("digits == 1", {"digits"}),
        ("solutions in 2..p", {"solutions"}),
        ("steps in solutions..2*solutions + 5", {"steps", "solutions"}),
    ],
)
def test_a_condition_knows_which_measures_it_needs(text, measures):
    assert read_condition(text, SCOPE, MEASURES).measures == measures


def test_a_condition_on_parameters_needs_no_measures():
    assert read_condition("p*q in 10..99", SCOPE, MEASURES).holds({"p": 5, "q": 9})


@pytest.mark.parametrize(
    ("text", "defined", "undefined"),
    [
        ("inverse(p, q) == 2", {"p": 5, "q": 9}, {"p": 5, "q": 10}),
        ("9 // (q - p) in 0..9", {"p": 5, "q": 9}, {"p": 5, "q": 5}),
        ("not order(p, q) == 1", {"p": 5, "q": 9}, {"p": 5, "q": 15}),
    ],
)
def test_a_condition_without_value_does_not_hold(text, defined, undefined):
    assert holds(text, **defined)
    assert not holds(text, **undefined)


def test_a_condition_that_is_too_large_is_a_fault_of_the_family():
    place = Place("f.yaml", 12, 5, "where[1]")
    condition = read_condition("p^(q^q) > 1", SCOPE, MEASURES, place)

    with pytest.raises(SpecError) as e:
        condition.holds(ENV)

    assert str(e.value) == (
        "f.yaml:12:5: where[1]: 'p^(q^q) > 1' has no value at p = 5, q = 9: "
        "a power is beyond 4096 bits"
    )


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("1 == 2", [(0, "this never holds: no parameter or measure is in it")]),
        ("2 in 1..3", [(0, "this holds for every variant: no parameter or measure is in it")]),
        ("no", [(0, "expected a measure after 'no'")]),
        ("no singular rots", [(3, "unknown measure 'singular rots'; "
                                  "did you mean 'singular roots'?")]),
        ("no luck", [(3, "unknown measure 'luck'; expected one of: solutions, steps, depth, "
                         "singular roots, prime powers, degree, digits")]),
        ("no singular root and p > 2", [(17, "expected only a measure after 'no': write what "
                                             "else must hold as a condition of its own")]),
        ("solution count in 2..6", [(0, "unknown measure 'solution count'; "
                                        "did you mean 'solutions'?")]),
        ("solutions in 6..2", [(13, "expected a range a..b with a at most b")]),
        ("solutions in 2", [(10, RANGE)]),
        ("solutions in 2..4..6", [(10, RANGE)]),
        ("solutions in ..6", [(0, "expected an expression, found nothing")]),
        ("in 2..6", [(0, "expected an expression, found nothing")]),
        ("solutions in pp..qq", [(13, "unknown name 'pp'; did you mean 'p'?"),
                                 (17, "unknown name 'qq'; did you mean 'q'?")]),
        ("solution = 4", [(9, "expected == for a comparison, found =")]),
        ("solution == 4", [(0, "unknown name 'solution'; did you mean 'solutions'?")]),
        ("solutions", [(0, "expected a condition, found a number")]),
        ("solutions in 2..6 and p > 1", [(18, "expected only a range after 'in': write "
                                               "what else must hold as a condition of its own")]),
        ("solutions in 2..2^10^9", [(16, "no value: a power is beyond 4096 bits")]),
        ("x > 1", [(0, "'x' is the unknown; it stands only in an equation")]),
        ("p == 1//0", [(5, "no value: a division by 0")]),
    ],
)  # fmt: skip
def test_a_misread_condition_is_told_whole_at_its_characters(text, faults):
    with pytest.raises(Misread) as e:
        read_condition(text, SCOPE, MEASURES)

    assert list(e.value.faults) == faults


# ------------------------------------------------------------ lists, choices, the answer


@pytest.mark.parametrize(
    ("text", "satisfying", "violating"),
    [
        ("p % 8 in [3, 5]", (3, 5, 11, 13), (1, 7, 9, 8)),
        ("p in [q, q + 2, max(1, q - 4)]", (9, 11, 5), (10, 7, 3)),
        ("p in [7]", (7,), (6, 8)),
        ("p == (3 if q > 8 else 4)", (3,), (4, 9)),
        ("p == (q // 0 if q < 8 else 4)", (4,), (3,)),
        ("(p > 3) if q > 8 else (p < 3)", (4, 5), (2, 3)),
    ],
)
def test_a_list_and_a_choice_hold_for_these_values_only(text, satisfying, violating):
    assert all(holds(text, p=n) for n in satisfying)
    assert not any(holds(text, p=n) for n in violating)


SOLUTIONS = {3, 8, 13, 18}
"""The residues modulo 20 that are 3 modulo 5."""


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (f"min(answer) == {min(SOLUTIONS)}", True),
        (f"max(answer) == {max(SOLUTIONS)}", True),
        (f"count(answer) == {len(SOLUTIONS)}", True),
        (f"sum(answer) == {sum(SOLUTIONS)}", True),
        ("member(8, answer)", True),
        ("member(p, answer)", False),
        ("q - 1 in answer", True),
        ("q in answer", False),
        ("not member(23, answer)", True),
        ("answer == 3", True),
        ("min(answer) > 20", False),
        ("min(answer) in [3, 4]", True),
        ("max(answer) - min(answer) in 10..15", True),
        ("min(answer, 2) == 2", True),
    ],
)
def test_a_condition_asks_of_the_answer(text, expected):
    answer = Answered(ResidueSet.of(20, [(3, 5)]), "the least")
    condition = read_condition(text, SCOPE, MEASURES)

    assert condition.measures == {"answer"}
    assert condition.holds(ENV | {"answer": answer}) is expected


@pytest.mark.parametrize(
    ("answer", "ask", "value"),
    [
        (ResidueSet.of(20, [(3, 5)]), "the largest", 18),
        (ResidueSet.of(20, [(3, 5)]), "how many", 4),
        (ResidueSet.of(20, [(3, 20)]), "the solution", 3),
        (ResidueSet.of(20, []), "how many", 0),
        (Value(7), "the value", 7),
        (Truth(False), "whether any", 0),
    ],
)
def test_the_answer_is_the_number_that_is_asked_for(answer, ask, value):
    condition = read_condition(f"answer == {value}", SCOPE, MEASURES)

    assert condition.holds(ENV | {"answer": Answered(answer, ask)})


@pytest.mark.parametrize("text", ["min(answer) >= 0", "max(answer) >= 0", "answer >= 0"])
def test_what_an_answer_does_not_have_keeps_no_condition(text):
    nothing = Answered(ResidueSet.of(20, []), "the least")

    assert not read_condition(text, SCOPE, MEASURES).holds(ENV | {"answer": nothing})


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("p in [2, 3", (5, "expected a list such as [2, 3, 5], closed by ']'")),
        ("p in []", (5, "expected a number between the commas of a list")),
        ("p in [2,, 3]", (5, "expected a number between the commas of a list")),
        ("p in [2, r]", (9, "unknown name 'r'; expected one of: p, q")),
        ("count(p) > 1", (0, "expected count(answer), found other arguments")),
        ("member(answer) and p > 1", (0, "expected member(n, answer), found other arguments")),
        ("min(anwser) > 3", (4, "unknown name 'anwser'; did you mean 'answer'?")),
        ("p in [2, 3] and q > 1",
         (12, "expected only a range after 'in': write what else must hold as a condition of its"
              " own")),
    ],
)  # fmt: skip
def test_a_misread_list_or_answer_is_told_at_its_character(text, fault):
    with pytest.raises(Misread) as raised:
        read_condition(text, SCOPE, ())

    at, message = fault
    assert any(a == at and told.startswith(message) for a, told in raised.value.faults)
