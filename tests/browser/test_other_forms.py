"""Lines to order, roots to match, stages to fill in: what both readers grade as the standard says.

The items are written by hand, about x^2 + x + 3 modulo 5, 25 and 75, so that a fault here is
the reader's and no exporter's.  Where a reader departs from the standard, the test says how, and
another shows the form that both read alike.

Source: 1EdTech Question & Test Interoperability ASI Information Model 3.0: orderInteraction,
matchInteraction, inlineChoiceInteraction, textEntryInteraction; response processing.
"""

from itertools import product

import pytest

from tests.browser.readers import (
    DEPARTURES,
    DRAWS_MATHML,
    KEYS_MOVE,
    KEYS_PLACE,
    LABELS_LISTS,
    LAYS_OUT_LINES,
    PAIRS_ARE_CONSTANTS,
    UNTOUCHED_IS_NULL,
    Reader,
)

pytestmark = pytest.mark.browser


def item(declarations: str, body: str, processing: str, feedback: str) -> bytes:
    text = f"""<?xml version="1.0" encoding="UTF-8"?>
<qti-assessment-item xmlns="http://www.imsglobal.org/xsd/imsqtiasi_v3p0" identifier="by-hand"
    title="By hand" xml:lang="en" adaptive="false" time-dependent="false">
  {declarations}
  <qti-item-body>{body}</qti-item-body>
  <qti-response-processing>{processing}</qti-response-processing>
  {feedback}
</qti-assessment-item>"""
    return text.encode()


OUTCOMES = """
  <qti-outcome-declaration identifier="SCORE" cardinality="single" base-type="float"/>
  <qti-outcome-declaration identifier="FEEDBACK" cardinality="single" base-type="identifier"/>"""


def told(identifier: str, text: str) -> str:
    return f"""
  <qti-modal-feedback outcome-identifier="FEEDBACK" identifier="{identifier}" show-hide="show">
    <qti-content-body><p>{text}</p></qti-content-body>
  </qti-modal-feedback>"""


def scored(name: str, points: int) -> str:
    return f"""
      <qti-set-outcome-value identifier="{name}">
        <qti-base-value base-type="float">{points}</qti-base-value>
      </qti-set-outcome-value>"""


def named(slip: str) -> str:
    return f"""
      <qti-set-outcome-value identifier="FEEDBACK">
        <qti-base-value base-type="identifier">{slip}</qti-base-value>
      </qti-set-outcome-value>"""


def judged(response: str, score: str, right: str, slip: str, name: str = "slip") -> str:
    """0 without a response, 1 for the right one, and 0 with feedback for the slip."""
    return f"""
    <qti-response-condition>
      <qti-response-if>
        <qti-is-null><qti-variable identifier="{response}"/></qti-is-null>{scored(score, 0)}
      </qti-response-if>
      <qti-response-else-if>{right}{scored(score, 1)}</qti-response-else-if>
      <qti-response-else-if>{slip}{scored(score, 0)}{named(name)}</qti-response-else-if>
      <qti-response-else>{scored(score, 0)}</qti-response-else>
    </qti-response-condition>"""


IS_CORRECT = """
        <qti-match>
          <qti-variable identifier="RESPONSE"/><qti-correct identifier="RESPONSE"/>
        </qti-match>"""


# ------------------------------------------------------------ lines in order

STEPS = ("split", "solve", "lift", "combine", "check")
SHOWN = ("combine", "check", "split", "solve", "lift")
SLIP = ("split", "solve", "combine", "lift", "check")


def ordering(slip: tuple[str, ...] = SLIP) -> bytes:
    """Steps to put in order; `slip` is the order that has feedback."""
    constants = "".join(
        f'<qti-base-value base-type="identifier">{step}</qti-base-value>' for step in slip
    )
    return item(
        """<qti-response-declaration identifier="RESPONSE" cardinality="ordered"
      base-type="identifier">
    <qti-correct-response>
      <qti-value>split</qti-value>
      <qti-value>solve</qti-value>
      <qti-value>lift</qti-value>
      <qti-value>combine</qti-value>
      <qti-value>check</qti-value>
    </qti-correct-response>
  </qti-response-declaration>"""
        + OUTCOMES,
        """
    <p>Put the steps in the order in which they are done.</p>
    <qti-order-interaction response-identifier="RESPONSE" shuffle="false" orientation="vertical">
      <qti-simple-choice identifier="combine"><span>Combine the residues modulo 3 and modulo 25 in
        all four ways.</span></qti-simple-choice>
      <qti-simple-choice identifier="check"><span>Substitute each solution in
        <i>x</i><sup>2</sup> + <i>x</i> + 3 to check it.</span></qti-simple-choice>
      <qti-simple-choice identifier="split"><span>Split the modulus: 75 = 3 ·
        25.</span></qti-simple-choice>
      <qti-simple-choice identifier="solve"><span>Solve modulo each prime: <i>x</i> ≡ 0, 2 (mod 3)
        and <i>x</i> ≡ 1, 3 (mod 5).</span></qti-simple-choice>
      <qti-simple-choice identifier="lift"><span>Lift the roots 1 and 3 to 16 and 8 modulo 25, in
        one step each, since the derivative is divisible by 5 at neither.</span></qti-simple-choice>
    </qti-order-interaction>""",
        judged(
            "RESPONSE",
            "SCORE",
            IS_CORRECT,
            f"""
        <qti-match>
          <qti-variable identifier="RESPONSE"/><qti-ordered>{constants}</qti-ordered>
        </qti-match>""",
        ),
        told("slip", "Lift the roots before you combine them."),
    )


def result(reader: Reader) -> tuple[float, list[str]]:
    """The score, and the feedback told."""
    return reader.score(), reader.feedback()


ORDER_TOLD = ["Lifttherootsbeforeyoucombinethem."]


@pytest.mark.parametrize(
    ("order", "expected"),
    [
        pytest.param(STEPS, (1, []), id="key"),
        pytest.param(SLIP, (0, ORDER_TOLD), id="slip"),
        pytest.param(("solve", "split", "lift", "combine", "check"), (0, []), id="1 for 2"),
        pytest.param(("split", "lift", "solve", "combine", "check"), (0, []), id="2 for 3"),
        pytest.param(("split", "solve", "lift", "check", "combine"), (0, []), id="4 for 5"),
        pytest.param(("check", "solve", "lift", "combine", "split"), (0, []), id="1 for 5"),
        pytest.param(STEPS[1:] + STEPS[:1], (0, []), id="first last"),
        pytest.param(STEPS[-1:] + STEPS[:-1], (0, []), id="last first"),
        pytest.param(STEPS[::-1], (0, []), id="backwards"),
    ],
)
def test_an_order_is_right_or_wrong_as_a_whole(reader: Reader, order, expected):
    reader.load(ordering())
    reader.order(order)

    assert result(reader) == expected


@pytest.mark.parametrize(
    ("first", "then", "expected"),
    [
        (SLIP, STEPS, (1, [])),
        (STEPS[:2] + STEPS[4:], SLIP, (0, ORDER_TOLD)),
        (STEPS, SHOWN, (0, [])),
    ],
    ids=["to the key", "to the slip", "away from the key"],
)
def test_lines_moved_twice_count_where_they_stand_last(reader: Reader, first, then, expected):
    reader.load(ordering())
    reader.order(first)
    reader.order(then)

    assert reader.lines() == list(then)
    assert result(reader) == expected


def test_an_order_half_done_is_wrong(reader: Reader):
    reader.load(ordering())
    reader.order(STEPS[:2])

    assert result(reader) == (0, [])


def test_an_untouched_order_is_no_answer_or_the_order_that_is_shown(reader: Reader):
    """So what is shown must be neither the key nor a slip."""
    reader.load(ordering(slip=SHOWN))

    assert result(reader) == (
        0,
        ORDER_TOLD if UNTOUCHED_IS_NULL in DEPARTURES[reader.name] else [],
    )


@pytest.mark.parametrize("limits", ["", 'min-choices="1" max-choices="5"'])
def test_some_of_the_lines_in_order_count_in_neither_reader(reader: Reader, limits):
    """So where lines are spare, each is paired with its place: one reader answers with all lines,
    the other with empty places, whatever minChoices and maxChoices allow."""
    some = ordering().replace(b"<qti-value>combine</qti-value>", b"")
    reader.load(some.replace(b"shuffle=", f"{limits} shuffle=".encode()))
    reader.order([step for step in STEPS if step != "combine"])

    assert result(reader) == (0, [])


def test_a_line_in_one_element_is_laid_out_as_text(reader: Reader):
    reader.load(ordering())

    assert reader.raised("qti-simple-choice sup, .qti-simple-choice sup")


def test_a_line_of_several_pieces_is_laid_out_as_text(reader: Reader):
    reader.load(ordering().replace(b"<span>", b"").replace(b"</span>", b""))

    assert reader.raised("qti-simple-choice sup, .qti-simple-choice sup") is (
        LAYS_OUT_LINES not in DEPARTURES[reader.name]
    )


# ------------------------------------------------------------ pairs

LIFTS = ("lift-6", "lift-8", "lift-13", "lift-16", "lift-none")

FROM_OUTCOME = '<qti-variable identifier="SLIP"/>'

SLIP_AS_OUTCOME = """
  <qti-outcome-declaration identifier="SLIP" cardinality="multiple" base-type="directedPair">
    <qti-default-value>
      <qti-value>root-1 lift-6</qti-value>
      <qti-value>root-3 lift-13</qti-value>
    </qti-default-value>
  </qti-outcome-declaration>"""

SLIP_AS_CONSTANTS = """<qti-multiple>
            <qti-base-value base-type="directedPair">root-1 lift-6</qti-base-value>
            <qti-base-value base-type="directedPair">root-3 lift-13</qti-base-value>
          </qti-multiple>"""


def matching(outcome: str = SLIP_AS_OUTCOME, slip: str = FROM_OUTCOME) -> bytes:
    """Two roots to match with five lifts; `slip` gives the pairs that have feedback."""
    return item(
        """<qti-response-declaration identifier="RESPONSE" cardinality="multiple"
      base-type="directedPair">
    <qti-correct-response>
      <qti-value>root-1 lift-16</qti-value>
      <qti-value>root-3 lift-8</qti-value>
    </qti-correct-response>
  </qti-response-declaration>"""
        + OUTCOMES
        + outcome,
        """
    <p>Match each root of <i>x</i><sup>2</sup> + <i>x</i> + 3 modulo 5 with its lift modulo 25.</p>
    <qti-match-interaction response-identifier="RESPONSE" shuffle="false" max-associations="2">
      <qti-simple-match-set>
        <qti-simple-associable-choice identifier="root-1" match-max="1"
          >1</qti-simple-associable-choice>
        <qti-simple-associable-choice identifier="root-3" match-max="1"
          >3</qti-simple-associable-choice>
      </qti-simple-match-set>
      <qti-simple-match-set>
        <qti-simple-associable-choice identifier="lift-6" match-max="2"
          >6</qti-simple-associable-choice>
        <qti-simple-associable-choice identifier="lift-8" match-max="2"
          >8</qti-simple-associable-choice>
        <qti-simple-associable-choice identifier="lift-13" match-max="2"
          >13</qti-simple-associable-choice>
        <qti-simple-associable-choice identifier="lift-16" match-max="2"
          >16</qti-simple-associable-choice>
        <qti-simple-associable-choice identifier="lift-none" match-max="2"
          >no lift</qti-simple-associable-choice>
      </qti-simple-match-set>
    </qti-match-interaction>""",
        judged(
            "RESPONSE",
            "SCORE",
            IS_CORRECT,
            f"""
        <qti-match>
          <qti-variable identifier="RESPONSE"/>{slip}
        </qti-match>""",
        ),
        told("slip", "Check the sign."),
    )


PAIRS_TOLD = ["Checkthesign."]


@pytest.mark.parametrize("three", (None, "lift-8", "lift-13", "lift-16"))
@pytest.mark.parametrize("one", (None, *LIFTS))
def test_pairs_are_right_or_wrong_together_in_whichever_order_they_are_made(
    reader: Reader, one, three
):
    expected = {("lift-16", "lift-8"): (1, []), ("lift-6", "lift-13"): (0, PAIRS_TOLD)}

    reader.load(matching())
    if three:
        reader.pair("root-3", three)
    if one:
        reader.pair("root-1", one)

    assert result(reader) == expected.get((one, three), (0, []))


@pytest.mark.parametrize(
    "moves",
    [
        [("root-1", "lift-8"), ("root-3", "lift-16"), ("root-1", "lift-16"), ("root-3", "lift-8")],
        [("root-1", "lift-6"), ("root-3", "lift-6"), ("root-1", "lift-16"), ("root-3", "lift-8")],
        [("root-1", "lift-13"), ("root-1", "lift-6"), ("root-1", "lift-16"), ("root-3", "lift-8")],
    ],
    ids=["exchanged", "both with one", "one three times"],
)
def test_a_root_moved_again_counts_where_it_is_last(reader: Reader, moves):
    reader.load(matching())
    for source, target in moves:
        reader.pair(source, target)

    assert result(reader) == (1, [])


def test_pairs_as_constants_are_compared_and_not_shown(reader: Reader):
    """Where they are shown and never equal, those of an outcome with a default value serve."""
    departs = PAIRS_ARE_CONSTANTS in DEPARTURES[reader.name]

    reader.load(matching(outcome="", slip=SLIP_AS_CONSTANTS))
    shown = reader.page.run("document.body.innerText")
    reader.pair("root-1", "lift-6")
    reader.pair("root-3", "lift-13")

    assert ("root-1 lift-6" in shown) is departs
    assert result(reader) == (0, [] if departs else PAIRS_TOLD)


def test_pairs_of_an_outcome_are_not_shown(reader: Reader):
    reader.load(matching())

    assert "root-1" not in reader.page.run("document.body.innerText")


# ------------------------------------------------------------ stages

SINGULAR = {"at-none": "at none", "at-one": "at one", "at-all": "at all"}

BETWEEN = r"(\s*[,;]\s*|\s+)"


def typed(stage: int, pattern: str) -> str:
    return f"""
        <qti-pattern-match pattern="^\\s*{pattern}\\s*$">
          <qti-variable identifier="STAGE_{stage}"/>
        </qti-pattern-match>"""


def guided(choices: dict[str, str] = SINGULAR) -> bytes:
    """Two stages to type in, and between them one with a list of words to choose from."""
    words = "".join(
        f'\n        <qti-inline-choice identifier="{name}">{label}</qti-inline-choice>'
        for name, label in choices.items()
    )
    stages = (
        judged("STAGE_3", "SCORE_3", typed(3, f"8{BETWEEN}16"), typed(3, f"6{BETWEEN}13"), "third")
        + judged(
            "STAGE_2",
            "SCORE_2",
            """
        <qti-match>
          <qti-variable identifier="STAGE_2"/><qti-correct identifier="STAGE_2"/>
        </qti-match>""",
            """
        <qti-match>
          <qti-variable identifier="STAGE_2"/>
          <qti-base-value base-type="identifier">at-all</qti-base-value>
        </qti-match>""",
            "second",
        )
        + judged("STAGE_1", "SCORE_1", typed(1, f"1{BETWEEN}3"), typed(1, "none"), "first")
    )
    return item(
        """<qti-response-declaration identifier="STAGE_1" cardinality="single" base-type="string">
    <qti-correct-response><qti-value>1, 3</qti-value></qti-correct-response>
  </qti-response-declaration>
  <qti-response-declaration identifier="STAGE_2" cardinality="single" base-type="identifier">
    <qti-correct-response><qti-value>at-none</qti-value></qti-correct-response>
  </qti-response-declaration>
  <qti-response-declaration identifier="STAGE_3" cardinality="single" base-type="string">
    <qti-correct-response><qti-value>8, 16</qti-value></qti-correct-response>
  </qti-response-declaration>"""
        + OUTCOMES
        + """
  <qti-outcome-declaration identifier="SCORE_1" cardinality="single" base-type="float"/>
  <qti-outcome-declaration identifier="SCORE_2" cardinality="single" base-type="float"/>
  <qti-outcome-declaration identifier="SCORE_3" cardinality="single" base-type="float"/>""",
        f"""
    <p>Find all solutions of <i>x</i><sup>2</sup> + <i>x</i> + 3 ≡ 0 (mod 25).</p>
    <p>Stage 1. All solutions modulo 5: <qti-text-entry-interaction
      response-identifier="STAGE_1" expected-length="20" aria-label="Stage 1"/></p>
    <p>Stage 2. The derivative is divisible by 5: <qti-inline-choice-interaction
      response-identifier="STAGE_2" shuffle="false" aria-label="Stage 2">{words}
      </qti-inline-choice-interaction></p>
    <p>Stage 3. All solutions modulo 25: <qti-text-entry-interaction
      response-identifier="STAGE_3" expected-length="20" aria-label="Stage 3"/></p>""",
        named("none")
        + stages
        + """
    <qti-set-outcome-value identifier="SCORE">
      <qti-sum>
        <qti-variable identifier="SCORE_1"/>
        <qti-variable identifier="SCORE_2"/>
        <qti-variable identifier="SCORE_3"/>
      </qti-sum>
    </qti-set-outcome-value>""",
        told("first", "The constant term has changed its sign.")
        + told("second", "Take the derivative first.")
        + told("third", "Check the sign."),
    )


STAGES = (
    {"1, 3": "right", "none": "slip", "1": "wrong", "": "blank"},
    {"at-none": "right", "at-all": "slip", "at-one": "wrong", "": "blank"},
    {" 8;16 ": "right", "6, 13": "slip", "816": "wrong", "": "blank"},
)
"""What is answered in each stage, and what that is."""

STAGES_TOLD = (
    ["Theconstanttermhaschangeditssign."],
    ["Takethederivativefirst."],
    PAIRS_TOLD,
)


@pytest.mark.parametrize("first", STAGES[0])
def test_each_stage_is_scored_by_itself_and_the_first_slip_is_told(reader: Reader, first):
    for second, third in product(STAGES[1], STAGES[2]):
        kinds = [given[text] for given, text in zip(STAGES, (first, second, third), strict=True)]

        reader.load(guided())
        if first:
            reader.type(first, 0)
        if second:
            reader.pick(second)
        if third:
            reader.type(third, 1)
        outcomes = reader.attempt()

        scores = [float(outcomes[name]) for name in ("SCORE_1", "SCORE_2", "SCORE_3", "SCORE")]
        right = [int(kind == "right") for kind in kinds]
        expected = STAGES_TOLD[kinds.index("slip")] if "slip" in kinds else []
        assert scores == [*right, sum(right)], kinds
        assert reader.feedback() == expected, kinds


def test_a_word_chosen_again_takes_the_place_of_the_first(reader: Reader):
    reader.load(guided())
    reader.pick("at-all")
    reader.pick("at-none")

    assert result(reader) == (1, [])


POWERS = {
    "at-none": "<i>x</i><sup>2</sup>",
    "at-one": "<i>x</i><sup>3</sup>",
    "at-all": "<i>x</i><sup>4</sup>",
}


def test_a_list_of_words_raises_exponents_in_html(reader: Reader):
    reader.load(guided(POWERS))
    reader.page.click(reader.selectors.words.format("at-none"))

    assert reader.raised("qti-inline-choice sup, .qti-inline-choice sup")


def test_a_list_of_words_raises_exponents_in_mathml_where_it_is_drawn(reader: Reader):
    square = "<msup><mi>x</mi><mn>2</mn></msup>"
    math = f'<math xmlns="http://www.w3.org/1998/Math/MathML">{square}</math>'
    reader.load(guided({**POWERS, "at-none": math}))
    reader.page.click(reader.selectors.words.format("at-none"))

    assert reader.raised(":is(qti-inline-choice, .qti-inline-choice) msup > :nth-child(2)") is (
        DRAWS_MATHML not in DEPARTURES[reader.name]
    )


def test_a_list_of_words_has_a_name_for_those_who_hear_it(reader: Reader):
    reader.load(guided())
    tree = reader.page.call("Accessibility.getFullAXTree")["nodes"]
    names = {n.get("name", {}).get("value") for n in tree if not n["ignored"]}

    assert ("Stage 2" in names) is (LABELS_LISTS not in DEPARTURES[reader.name])


# ------------------------------------------------------------ by keys


def focus_on(reader: Reader, selector: str) -> None:
    """Press Tab until it reaches what the selector finds."""
    for _ in range(20):
        reader.page.press("Tab")
        if reader.page.run(f"focused().matches('{selector}')"):
            return
    raise AssertionError(f"the keyboard does not reach {selector}")


def move(reader: Reader, selector: str, down: int) -> None:
    """Take up what the selector finds, go so many places down, and set it there."""
    focus_on(reader, selector)
    reader.page.press(" ")
    reader.page.press("ArrowDown", down)
    reader.page.press(" ")


def test_lines_are_put_in_order_by_keys(reader: Reader):
    reader.load(ordering())
    for n, step in enumerate(STEPS):
        move(reader, reader.selectors.choice.format(step), n)

    assert result(reader) == (float(KEYS_PLACE not in DEPARTURES[reader.name]), [])


def test_roots_are_matched_by_keys(reader: Reader):
    reader.load(matching())
    for root, lift in (("root-1", "lift-16"), ("root-3", "lift-8")):
        move(reader, reader.selectors.source.format(root), LIFTS.index(lift))

    assert result(reader) == (float(KEYS_PLACE not in DEPARTURES[reader.name]), [])


def test_a_root_that_was_matched_is_moved_on_by_keys(reader: Reader):
    reader.load(matching())
    reader.pair("root-3", "lift-8")
    reader.pair("root-1", "lift-6")
    move(reader, reader.selectors.target.format("lift-6") + " > *", LIFTS.index("lift-16"))

    assert result(reader) == (float(KEYS_MOVE not in DEPARTURES[reader.name]), [])


def test_stages_are_filled_in_by_keys(reader: Reader):
    reader.load(guided())
    focus_on(reader, "input")
    reader.page.write("1, 3")
    focus_on(reader, "button")
    for key in ("Enter", "ArrowDown", "Enter"):
        reader.page.press(key)
        reader.page.run("drawn()")
    focus_on(reader, "input")
    reader.page.write("8, 16")

    assert result(reader) == (3, [])
