"""What may hide, restyle, replace or load something is unchecked, with its place."""

import pytest

from itembank.values.vocabulary import LEVELS
from tests.audit.handmade import (
    FORMULA_HTML,
    FORMULA_MATHML,
    GIVEN,
    IS_KEY,
    IS_NULL,
    MULTIPLE_RESPONSE,
    TICK,
    base,
    condition,
    qti_item,
    report_on,
    scored,
    set_outcome,
    slip_shown,
    ticked,
)
from tests.audit.test_audit_items import SELECT_ONE

FIND = "<p>Find <strong>all</strong> solutions of</p>"
STEM = FIND + FORMULA_MATHML + TICK
HIDING = {
    "not displayed": ('<p>Find', '<p style="display:none">Find'),
    "a class of a style sheet": ("<p>Find", '<p class="hidden">Find'),
    "a tip": ("<p>Find", '<p title="7, 20, 88, 101">Find'),
    "an event": ("<p>Find", '<p onclick="show()">Find'),
    "struck out": ("<strong>all</strong>", "<del>all</del>"),
    "a script": ("<p>Find", "<script>show()</script><p>Find"),
    "a style sheet": ("<p>Find", "<style>p { color: white }</style><p>Find"),
    "a link": ("<strong>all</strong>", '<a href="https://example.org">all</a>'),
    "a picture": ("<p>Find", '<p><img src="https://example.org/1.png" alt=""/></p><p>Find'),
    "an object": ("<p>Find", '<object data="a.swf" type="a/b"/><p>Find'),
    "small": ("<strong>all</strong>", "<small>all</small>"),
    "a blank without width": ("Tick", "Ti\u200bck"),
    "turned round": ("Tick", "\u202eTick"),
    "struck through by a sign over it": ("Tick", "Tic\u0338k"),
    "a comment": ("<p>Find", "<p><!-- 7, 20, 88, 101 -->Find"),
}  # fmt: skip
MATHEMATICS = {
    "no size": ("<math xmlns", '<math mathsize="0" xmlns'),
    "a colour": ("<mn>5</mn>", '<mn mathcolor="#fff">5</mn>'),
    "a phantom": ("<mn>5</mn>", "<mphantom><mn>5</mn></mphantom>"),
    "a blank without width in a number": ("<mn>117</mn>", "<mn>11\u200b7</mn>"),
    "a joint in a number": ("<mn>117</mn>", "<mn>11\u20637</mn>"),
    "backwards": ("<mspace width='0.6em'/>", "<mspace width='-2em'/>"),
    "no mathematics": (' xmlns="http://www.w3.org/1998/Math/MathML"', ""),
    "an action": ("<mn>5</mn>", '<maction actiontype="toggle"><mn>5</mn><mn>6</mn></maction>'),
}


def changed(markup: str, change: tuple[str, str]) -> str:
    assert change[0] in markup
    return markup.replace(*change, 1)


@pytest.mark.parametrize("name", [*HIDING, *MATHEMATICS])
def test_a_stem_that_could_be_seen_otherwise_is_unchecked(tmp_path, name):
    item = qti_item(stem=changed(STEM, (HIDING | MATHEMATICS)[name]))

    assert not report_on(tmp_path, item).clean


@pytest.mark.parametrize("name", HIDING)
def test_a_text_field_that_could_be_seen_otherwise_is_unchecked(tmp_path, name):
    html = changed(FIND + FORMULA_HTML + TICK, HIDING[name])
    (item,) = report_on(tmp_path, with_stem(html)).items

    assert item.status == "unchecked"
    assert "presentation/material/mattext" in item.how


def with_stem(html: str) -> str:
    """The item of a cartridge with another stem."""
    before, after = MULTIPLE_RESPONSE.split("&lt;p&gt;Find", 1)
    escaped = html.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return before + escaped + "</mattext>" + after.split("</mattext>", 1)[1]


def test_the_items_that_are_changed_are_agreed(tmp_path):
    for item in (qti_item(stem=STEM), with_stem(FIND + FORMULA_HTML + TICK)):
        assert report_on(tmp_path, item).clean


def test_the_place_is_told(tmp_path):
    stem = changed(STEM, HIDING["not displayed"])

    (line,) = report_on(tmp_path, qti_item(stem=stem)).findings
    assert line == "item-1: unchecked: itemBody/p[1]: the attribute style"


@pytest.mark.parametrize(
    "change",
    [
        ("<material>", "<material><mattext>Another question.</mattext></material><material>"),
        ('<render_choice shuffle="No">', '<render_choice shuffle="No" maxnumber="1">'),
        ("<fieldlabel>cc_profile</fieldlabel>", "<fieldlabel>cc_other</fieldlabel>"),
        (
            "</qtimetadata>",
            "<qtimetadatafield><fieldlabel>qmd_computerscored</fieldlabel>"
            "<fieldentry>No</fieldentry></qtimetadatafield></qtimetadata>",
        ),
    ],
)
def test_what_a_cartridge_may_not_say_is_unchecked(tmp_path, change):
    (item,) = report_on(tmp_path, changed(MULTIPLE_RESPONSE, change)).items

    assert item.status == "unchecked"


def of_level(level):
    """An item whose metadata tell its level."""
    field = (
        "<qtimetadatafield><fieldlabel>qmd_levelofdifficulty</fieldlabel>"
        f"<fieldentry>{level}</fieldentry></qtimetadatafield></qtimetadata>"
    )
    return changed(MULTIPLE_RESPONSE, ("</qtimetadata>", field))


@pytest.mark.parametrize("level", LEVELS)
def test_every_level_may_stand_in_the_metadata(tmp_path, level):
    (item,) = report_on(tmp_path, of_level(level)).items

    assert item.status == "agreed", item.lines


def test_a_level_of_other_words_is_unchecked(tmp_path):
    (item,) = report_on(tmp_path, of_level("the key is 7")).items

    assert item.status == "unchecked"


@pytest.mark.parametrize(
    "change",
    [
        ("</correctResponse>", "</correctResponse><defaultValue><value>r7</value></defaultValue>"),
        ('maxChoices="0"', 'maxChoices="0" minChoices="2"'),
        ('shuffle="false"', 'shuffle="true"'),
        (
            "<outcomeDeclaration",
            '<outcomeDeclaration identifier="SOLUTION" cardinality="single"'
            ' baseType="identifier"/><outcomeDeclaration',
        ),
        ("</itemBody>", "</itemBody><stylesheet href='a.css' type='text/css'/>"),
    ],
)
def test_what_decides_whether_a_right_answer_can_be_given_is_read(tmp_path, change):
    (item,) = report_on(tmp_path, changed(qti_item(), change)).items

    assert item.status == "unchecked"


@pytest.mark.parametrize(
    "change", [('maxChoices="1"', 'maxChoices="2"'), ("</value>", "</value><value>a</value>")]
)
def test_a_choice_of_one_has_one_tick_and_one_key(tmp_path, change):
    (right,) = report_on(tmp_path, qti_item(**SELECT_ONE)).items
    (item,) = report_on(tmp_path, changed(qti_item(**SELECT_ONE), change)).items

    assert (right.status, item.status) == ("agreed", "unchecked")


SPOKEN = '<math xmlns="http://www.w3.org/1998/Math/MathML" alttext="{}"><mrow>{}</mrow></math>'
SHOWN = "<mrow><mn>7</mn><mo>+</mo><mn>88</mn></mrow><mo>=</mo><mn>95</mn>"


@pytest.mark.parametrize(
    ("said", "agreed"),
    [
        ("7 plus 88 equals 95", True),
        ("7 plus 88 equals 96", False),
        ("7 minus 88 equals 95", False),
        ("7 plus 88", False),
        ("", False),
    ],
)
def test_every_formula_is_spoken_as_it_is_shown(tmp_path, said, agreed):
    item = qti_item(
        stem=STEM,
        slips=(SPOKEN.format(said, SHOWN),),
        processing=scored(IS_KEY) + slip_shown(ticked(7, 88)),
    )

    assert report_on(tmp_path, item).clean is agreed


NEVER = f"<and>{IS_NULL}<not>{IS_NULL}</not></and>"


def test_an_outcome_that_is_not_declared_is_found_where_no_answer_leads(tmp_path):
    lost = condition((NEVER, set_outcome("LOST", base("float", 1))))
    (found,) = report_on(tmp_path, qti_item(processing=scored(IS_KEY) + lost)).findings

    assert found == "item-1: unchecked: the undeclared outcome 'LOST'"


FIELD = (
    '<p>Answer <b>1</b>: <textEntryInteraction responseIdentifier="RESPONSE" aria-label="{}"/></p>'
)
NUMBER_STEM = (
    "<p>Find the solution of</p><p>2x ≡ 3 (mod 7)</p><p>The solution is one residue class modulo 7."
    " Type its least residue (0 to 6).</p><p>1 point for the right number, otherwise 0.</p>"
)


@pytest.mark.parametrize(
    ("name", "found"),
    [("Answer 1", ""), ("Answer 5", "'Answer 5'"), ("It is 5", "'It is 5'"), ("", "''")],
)
def test_a_field_is_named_as_the_text_beside_it(tmp_path, name, found):
    item = qti_item(
        stem=NUMBER_STEM,
        interaction=FIELD.format(name),
        cardinality="single",
        base_type="integer",
        key=(5,),
        processing=scored(f"<equal>{base('integer', 5)}{GIVEN}</equal>"),
        label="2x = 3 mod 7; the solution",
    )
    report = report_on(tmp_path, item)

    assert report.clean is not bool(found), report.as_text()
    assert not found or f"a field named {found} beside 'Answer 1:'" in report.as_text()


@pytest.mark.parametrize(
    ("rows", "agreed"),
    [
        ((" |b|c", "d|1|2", "e|3|4"), True),
        (("n|q|u", "6|.|0", "5|.|1", "4|1|2"), True),
        (("a|b|c| ", "2|1|.|no", "3|2|4|yes"), True),
        (("n|q|u", "6|1|0", "5|.|1"), False),
        (("n|q|u", "6|1|0", ".|1|1"), False),
        (("n|q|u", "6|1|0", "5|1|."), False),
        (("n|.|u", "6|1|0", "5|1|1"), False),
    ],
)
def test_a_cell_of_a_table_is_empty_where_nothing_was_to_be_said(tmp_path, rows, agreed):
    cells = ("".join(f"<td>{cell.strip(' .')}</td>" for cell in row.split("|")) for row in rows)
    table = "<table>" + "".join(f"<tr>{row}</tr>" for row in cells) + "</table>"
    item = qti_item(
        stem=STEM, slips=("Try again.",), processing=scored(IS_KEY) + slip_shown(ticked(7, 88))
    ).replace("<p>Try again.</p>", f"<p>Try again.</p>{table}")

    assert report_on(tmp_path, item).clean is agreed
