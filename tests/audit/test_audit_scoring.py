"""Response processing against the published example items, and against the standard's words."""

import random
from fractions import Fraction
from pathlib import Path

import pytest
from lxml import etree

from itembank.audit.expressions import Habit, Run
from itembank.audit.qti2 import seen_item
from itembank.audit.rules import node_of, rules_of
from itembank.audit.scoring import Scoring
from itembank.audit.unsupported import Unsupported
from itembank.audit.variables import FALSE, NULL, TRUE, Declaration, Value, submitted
from tests.audit.handmade import GIVEN, QTI, base, condition, set_outcome

SAMPLES = Path(__file__).parents[3] / "shared" / "schemas" / "samples" / "qti21" / "ims-items"


def sample(name):
    """A published example item, as the audit sees it."""
    if not SAMPLES.exists():
        pytest.skip("the published example items are not beside this repository")
    return seen_item(etree.parse(SAMPLES / f"{name}.xml").getroot())


PUBLISHED = [
    # match_correct: 1 for the correct response, 0 for any other
    ("choice", ("ChoiceA",), "1"),
    ("choice", ("ChoiceB",), "0"),
    ("choice", (), "0"),
    # map_response: H and O count 1, Cl -1, everything else the default -2, within 0 and 2
    ("choice_multiple", ("H", "O"), "2"),
    ("choice_multiple", ("O",), "1"),
    ("choice_multiple", ("H", "O", "Cl"), "1"),
    ("choice_multiple", ("H", "O", "He"), "0"),
    ("choice_multiple", ("Cl",), "0"),
    ("choice_multiple", (), "0"),
    # a mapping whose keys differ in case alone
    ("text_entry", ("York",), "1"),
    ("text_entry", ("york",), "1/2"),
    ("text_entry", ("Lancaster",), "0"),
    ("text_entry", (), "0"),
    # rules written out: two ways to be right
    ("choice_multiple_chocolade", tuple(f"C{n:02}" for n in range(1, 11)), "1"),
    ("choice_multiple_chocolade", ("C14", "C13", "C12", "C11", "C08", "C07", "C06", "C05"), "1"),
    ("choice_multiple_chocolade", tuple(f"C{n:02}" for n in range(1, 12)), "0"),
    ("choice_multiple_chocolade", (), "0"),
    # one order is right
    ("order", ("DriverC", "DriverA", "DriverB"), "1"),
    ("order", ("DriverC", "DriverB", "DriverA"), "0"),
    ("order", (), "0"),
    ("feedback", ("MGH001C",), "1"),
    ("feedback", ("MGH001A",), "0"),
]


@pytest.mark.parametrize(("name", "response", "score"), PUBLISHED)
def test_a_published_item_is_scored_as_it_says(name, response, score):
    assert sample(name).grade(response).score == Fraction(score)


def test_feedback_is_shown_for_the_outcome_that_the_published_item_names():
    item = sample("feedback")

    assert item.grade(("MGH001A",)).shown == {"FEEDBACK=MGH001A", "FEEDBACK≠MGH001C"}
    assert item.grade(("MGH001C",)).shown == {"FEEDBACK=MGH001C"}


@pytest.mark.parametrize(
    "name", ["inline_choice", "adaptive", "template", "hint", "upload", "slider", "likert"]
)
def test_a_published_item_beyond_the_subset_is_unsupported_and_not_guessed(name):
    with pytest.raises(Unsupported):
        sample(name).grade(())


# ------------------------------------------------------------ expressions


def evaluated(expression, *, given=("7",), base_type="integer", cardinality="single", **options):
    """The value of one expression after a response."""
    response = Declaration("RESPONSE", base_type, cardinality, NULL)
    scoring = Scoring([], [response], [])
    values = {"RESPONSE": submitted(response, given)}
    node = node_of(etree.fromstring(f'<r xmlns="{QTI}">{expression}</r>')[0])
    return scoring.tested(node)(Run(values, options.get("habit")))


def number(n):
    return Value("integer", "single", (n,))


@pytest.mark.parametrize(
    ("x", "n", "down", "toward_zero"),
    [(-7, 3, 2, -1), (7, 3, 1, 1), (-6, 3, 0, 0), (-1, 117, 116, -1)],
)
def test_the_remainder_of_a_negative_integer_rounds_down_and_in_some_readers_toward_zero(
    x, n, down, toward_zero
):
    # integerModulus: z = x - y*(x integerDivide y); integerDivide: the greatest i <= x/y
    expression = f"<integerModulus>{GIVEN}{base('integer', n)}</integerModulus>"

    assert evaluated(expression, given=(str(x),)) == number(down)
    assert evaluated(expression, given=(str(x),), habit=Habit.TRUNCATES) == number(toward_zero)


@pytest.mark.parametrize("habit", [None, Habit.TRUNCATES])
@pytest.mark.parametrize("x", [-235, -117, -1, 0, 20, 117, 1000])
def test_the_portable_remainder_is_the_same_in_either_reader(x, habit):
    n = base("integer", 117)
    once = f"<integerModulus>{GIVEN}{n}</integerModulus>"
    twice = f"<integerModulus><sum>{once}{n}</sum>{n}</integerModulus>"

    assert evaluated(twice, given=(str(x),), habit=habit) == number(x % 117)


EQUAL = '<equal toleranceMode="exact">{}{}</equal>'.format
T, F = "<isNull><null/></isNull>", f"<not>{'<isNull><null/></isNull>'}</not>"
N = f"<match>{'<null/>'}{base('integer', 1)}</match>"


@pytest.mark.parametrize(
    ("expression", "value"),
    [
        (f"<isNull>{GIVEN}</isNull>", FALSE),
        (EQUAL(base("integer", 7), GIVEN), TRUE),
        (EQUAL(base("float", "7.0"), GIVEN), TRUE),
        (EQUAL(base("integer", 8), GIVEN), FALSE),
        (EQUAL(base("integer", 8), "<null/>"), NULL),
        (f"<and>{T}{T}</and>", TRUE),
        (f"<and>{T}{N}</and>", NULL),
        (f"<and>{F}{N}</and>", FALSE),
        (f"<or>{F}{N}</or>", NULL),
        (f"<or>{T}{N}</or>", TRUE),
        (f"<or>{F}{F}</or>", FALSE),
        (f"<not>{N}</not>", NULL),
        (f"<sum>{GIVEN}{base('integer', 3)}{base('integer', 1)}</sum>", number(11)),
        (f"<product>{GIVEN}{base('integer', 3)}</product>", number(21)),
        (f"<subtract>{GIVEN}{base('integer', 10)}</subtract>", number(-3)),
        (f"<sum>{GIVEN}<null/></sum>", NULL),
        (f"<integerDivide>{GIVEN}{base('integer', -2)}</integerDivide>", number(-4)),
        (f"<integerModulus>{GIVEN}{base('integer', 0)}</integerModulus>", NULL),
        (f"<gte>{GIVEN}{base('integer', 7)}</gte>", TRUE),
        (f"<lt>{GIVEN}{base('integer', 7)}</lt>", FALSE),
        (
            f"<integerToFloat>{GIVEN}</integerToFloat>",
            Value("float", "single", (Fraction(7),)),
        ),
        (
            f"<multiple>{GIVEN}{base('integer', 3)}<null/></multiple>",
            Value("integer", "multiple", (7, 3)),
        ),
        (f"<containerSize><multiple>{GIVEN}{GIVEN}</multiple></containerSize>", number(2)),
        (f"<member>{GIVEN}<multiple>{GIVEN}</multiple></member>", TRUE),
        (
            f"<match><multiple>{GIVEN}{base('integer', 3)}</multiple>"
            f"<multiple>{base('integer', 3)}{base('integer', 7)}</multiple></match>",
            TRUE,
        ),
        (
            f"<match><ordered>{GIVEN}{base('integer', 3)}</ordered>"
            f"<ordered>{base('integer', 3)}{base('integer', 7)}</ordered></match>",
            FALSE,
        ),
        (
            f"<match><multiple>{GIVEN}{GIVEN}</multiple><multiple>{GIVEN}</multiple></match>",
            FALSE,
        ),
    ],
)
def test_an_expression_has_the_value_that_the_standard_gives_it(expression, value):
    assert evaluated(expression) == value


@pytest.mark.parametrize(
    ("expression", "standard", "ended"),
    [
        (f"<or>{N}{T}</or>", TRUE, NULL),
        (f"<or>{F}{N}{T}</or>", TRUE, NULL),
        (f"<or>{T}{N}</or>", TRUE, TRUE),
        (f"<or>{F}{N}</or>", NULL, NULL),
        (f"<or>{F}{F}</or>", FALSE, FALSE),
        (f"<and>{N}{F}</and>", FALSE, NULL),
        (f"<and>{F}{N}</and>", FALSE, FALSE),
        (f"<and>{T}{T}</and>", TRUE, TRUE),
        (f"<or><and>{F}{N}</and>{T}</or>", TRUE, TRUE),
    ],
)
def test_some_readers_end_an_or_and_an_and_at_the_first_null(expression, standard, ended):
    assert evaluated(expression) == standard
    assert evaluated(expression, habit=Habit.ENDS_AT_NULL) == ended


@pytest.mark.parametrize(
    ("typed", "value"),
    [("7", (7,)), (" -7 ", (-7,)), ("+7", (7,)), ("", ()), ("7.5", ()), ("x", ()), ("1_0", ()),
     ("\u0667", ()), ("\u22127", ())],
)  # fmt: skip
def test_an_integer_field_binds_integers_alone(typed, value):
    assert evaluated(GIVEN, given=(typed,)).items == value


@pytest.mark.parametrize(
    "expression",
    [
        f"<anyN min='1' max='1'>{T}</anyN>",
        f'<equal toleranceMode="absolute" tolerance="1">{GIVEN}{GIVEN}</equal>',
        f"<match>{GIVEN}{base('float', 7)}</match>",
        f"<stringMatch caseSensitive='true' substring='true'>{GIVEN}{GIVEN}</stringMatch>",
        f"<random>{GIVEN}</random>",
        '<variable identifier="OTHER"/>',
        '<mapResponse identifier="RESPONSE"/>',
        '<baseValue baseType="duration">7</baseValue>',
        f"<sum>{GIVEN}{base('string', 'a')}</sum>",
        f"<not>{T}{T}</not>",
        f"<not>{GIVEN}</not>",
        f"<and>{T}{GIVEN}</and>",
        f"<patternMatch pattern='a'>{GIVEN}</patternMatch>",
        f"<stringMatch caseSensitive='true'>{GIVEN}{GIVEN}</stringMatch>",
        f"<gte><multiple>{GIVEN}</multiple>{GIVEN}</gte>",
        f"<integerToFloat>{base('string', 'a')}</integerToFloat>",
        f"<integerDivide>{GIVEN}{base('float', 2)}</integerDivide>",
        f"<member><multiple>{GIVEN}</multiple><multiple>{GIVEN}</multiple></member>",
        r'<patternMatch pattern="\p{L}"><baseValue baseType="string">a</baseValue></patternMatch>',
        base("float", "1e999999999"),
        base("integer", "7.5"),
    ],
)
def test_what_is_not_known_is_unsupported(expression):
    with pytest.raises(Unsupported):
        evaluated(expression)


def test_the_first_true_branch_is_taken_and_no_other():
    three, two, one = (set_outcome("SCORE", base("float", n)) for n in (3, 2, 1))
    rules = condition((F, three), (N, three), (T, two), (T, three), otherwise=one)
    processing = etree.fromstring(
        f'<responseProcessing xmlns="{QTI}">{rules}<exitResponse/>{one}</responseProcessing>'
    )
    score = Declaration("SCORE", "float", "single", Value("float", "single", ()))

    outcomes = Scoring(rules_of(processing), [], [score]).run({})

    assert outcomes == {"SCORE": Value("float", "single", (Fraction(2),))}


OUTCOMES = [
    Declaration("SCORE", "float", "single", Value("float", "single", (Fraction(0),))),
    Declaration("FEEDBACK", "identifier", "single", NULL),
]


def scored_by(rules):
    processing = etree.fromstring(f'<responseProcessing xmlns="{QTI}">{rules}</responseProcessing>')
    response = Declaration("RESPONSE", "string", "single", NULL)
    return Scoring(rules_of(processing), [response], OUTCOMES)


def is_text(text):
    return f"<match>{GIVEN}{base('string', text)}</match>"


@pytest.mark.parametrize("seed", range(20))
def test_each_response_takes_the_branches_of_its_own(seed):
    # what a path through the branches leaves is kept: here each response by an account of its own
    rng = random.Random(seed)
    told = [
        ([(rng.choice("abcd"), rng.randrange(9)) for _ in range(rng.randrange(1, 4))],
         rng.choice([None, rng.randrange(9)]))
        for _ in range(4)
    ]  # fmt: skip
    scoring = scored_by(
        "".join(
            condition(
                *((is_text(text), set_outcome("SCORE", base("float", n))) for text, n in branches),
                otherwise=None if other is None else set_outcome("SCORE", base("float", other)),
            )
            for branches, other in told
        )
    )

    assert scoring.steps is not None
    for text in rng.choices("abcde", k=12):
        expected = 0
        for branches, other in told:
            right = [n for wanted, n in branches if wanted == text]
            expected = right[0] if right else expected if other is None else other
        outcomes = scoring.run({"RESPONSE": (text,)})
        assert outcomes["SCORE"].items == (expected,), text


def test_a_condition_on_an_outcome_is_run_and_not_remembered_by_its_branch():
    score = f'<equal toleranceMode="exact"><variable identifier="SCORE"/>{base("float", 1)}</equal>'
    rules = condition((is_text("a"), set_outcome("SCORE", base("float", 1)))) + condition(
        (score, set_outcome("FEEDBACK", base("identifier", "right")))
    )
    scoring = scored_by(rules)

    assert scoring.run({"RESPONSE": ("b",)})["FEEDBACK"] == NULL._replace(base="identifier")
    assert scoring.run({"RESPONSE": ("a",)})["FEEDBACK"].items == ("right",)
    assert scoring.run({"RESPONSE": ("b",)})["FEEDBACK"] == NULL._replace(base="identifier")


def test_an_outcome_that_is_worked_out_is_another_for_each_response_of_a_branch():
    number = f"<containerSize><multiple>{GIVEN}{GIVEN}</multiple></containerSize>"
    scoring = scored_by(set_outcome("SCORE", number))

    assert scoring.run({"RESPONSE": ("a",)})["SCORE"].items == (2,)
    assert scoring.run({"RESPONSE": ()})["SCORE"].items == (0,)


def test_what_is_not_supported_in_a_branch_is_so_for_the_responses_that_take_it_alone():
    rules = condition(
        (is_text("a"), set_outcome("SCORE", base("float", 1))),
        (f"<not>{GIVEN}</not>", set_outcome("SCORE", base("float", 2))),
    )
    scoring = scored_by(rules)

    assert scoring.run({"RESPONSE": ("a",)})["SCORE"].items == (1,)
    with pytest.raises(Unsupported):
        scoring.run({"RESPONSE": ("b",)})
