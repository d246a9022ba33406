"""Common Cartridge 1.3: valid, and of the one shape that importers read alike."""

from dataclasses import replace
from itertools import permutations

import pytest
from lxml import etree
from lxml import html as lxml_html

from exporters import qti1
from exporters.formats import write_package
from exporters.setting import Setting
from exporters.xml import serialised
from itembank.kinds.statement import problem_from
from itembank.notation.elements import HTML
from itembank.pipeline.compose import Wording, compose
from itembank.values.errors import ExportError
from itembank.values.item import IntegerEntry, ListEntry, Scoring
from tests.exporters import samples

NS = {"c": "http://www.imsglobal.org/xsd/ims_qtiasiv1p2"}
ALL = [pytest.param(item, id=name) for name, item in samples.ITEMS.items()]
BANK = "bank-nt210-quiz-3-2027-spring.xml"
QUIZ = "quiz-nt210-quiz-3-2027-spring.xml"


def parsed(item, math="html"):
    setting = Setting(math, HTML, "en")
    group = samples.group(item, title="Group")
    return etree.fromstring(serialised(qti1.item_element(item, group, setting), "here"))


def key_condition(root):
    """The one condition that sets a score."""
    (condition,) = root.xpath(".//c:respcondition[c:setvar]", namespaces=NS)
    return condition


def shown(mattext):
    """The words of a mattext of HTML, hard spaces as soft ones."""
    root = lxml_html.fragment_fromstring(mattext.text, create_parent="div")
    return root.text_content().replace("\xa0", " ")


def general_feedback(root):
    return shown(root.find("c:itemfeedback[@ident='general']//c:mattext", NS))


# ------------------------------------------------------------ the package


@pytest.mark.parametrize("math", ["html", "text", "tex", "mathml"])
def test_banks_are_valid_by_the_published_schemas(tmp_path, findings, math):
    write_package("cc13", samples.RELEASE, tmp_path / "p.zip", math)

    assert findings(tmp_path / "p.zip") == []


def test_a_quiz_is_one_assessment_with_one_section(tmp_path, findings, members):
    groups = (samples.group(samples.SELECT_ONE), samples.group(samples.LIST))
    write_package("cc13", samples.release(*groups), tmp_path / "p.zip", purpose="quiz")

    assert findings(tmp_path / "p.zip") == []
    root = etree.fromstring(members(tmp_path / "p.zip")[QUIZ])
    assert root.xpath("count(/*/c:assessment/c:section/c:item)", namespaces=NS) == 2
    manifest = etree.fromstring(members(tmp_path / "p.zip")["imsmanifest.xml"])
    assert manifest.xpath("string(//@identifierref)") == "quiz-nt210-quiz-3-2027-spring"


def test_the_bank_names_the_group_of_each_item(tmp_path, members):
    write_package("cc13", samples.RELEASE, tmp_path / "p.zip")
    root = etree.fromstring(members(tmp_path / "p.zip")[BANK])

    named = root.xpath(
        "//c:qtimetadatafield[c:fieldlabel='cc_question_category']/c:fieldentry/text()",
        namespaces=NS,
    )
    assert named == [group.title for group in samples.GROUPS for _ in group.items]


# ------------------------------------------------------------ the item


@pytest.mark.parametrize("item", ALL)
def test_the_key_reads_back(item):
    condition, response = key_condition(parsed(item)), item.response
    values = condition.xpath(".//c:varequal[not(parent::c:not)]/text()", namespaces=NS)

    if hasattr(response, "options"):
        assert values == [o.identifier for o in response.options if o.correct]
    elif hasattr(response, "truth"):
        assert values == [str(response.truth).lower()]
    elif hasattr(response, "values"):
        assert values[0] == (", ".join(map(str, response.values)) or response.none_word)
    else:
        assert values == [str(response.value)]


@pytest.mark.parametrize("item", ALL)
def test_every_item_has_the_shape_that_importers_read(item):
    root = parsed(item)

    assert [v.text for v in root.findall(".//c:setvar", NS)] == ["100"]
    assert key_condition(root).get("continue") == "No"
    assert root.xpath("count(.//c:or | .//c:varsubstring)", namespaces=NS) == 0
    assert len(root.findall("c:presentation/c:material/c:mattext", NS)) == 1
    assert root.find("c:presentation/c:material/c:mattext", NS).get("texttype") == "text/html"
    general = root.xpath(".//c:respcondition[c:conditionvar/c:other]", namespaces=NS)
    assert [c.get("continue") for c in general] == ["Yes"]
    assert [c.find("c:displayfeedback", NS).get("linkrefid") for c in general] == ["general"]
    weight = "c:itemmetadata//c:qtimetadatafield[c:fieldlabel='cc_weighting']/c:fieldentry"
    assert root.xpath(f"string({weight})", namespaces=NS) == str(item.scoring.points)


def test_a_multiple_response_names_every_option_right_or_not():
    condition = key_condition(parsed(samples.SELECT_ALL))
    (both,) = condition.find("c:conditionvar", NS)

    assert etree.QName(both).localname == "and"
    right = [v.text for v in both.findall("c:varequal", NS)]
    wrong = [v.text for v in both.findall("c:not/c:varequal", NS)]
    assert right == ["r7", "r20", "r88", "r101"]
    assert wrong == ["r10", "r16", "r46", "r85", "none"]
    assert {v.get("case") for v in both.iter("{*}varequal")} == {"Yes"}


def test_a_multiple_choice_shows_a_slip_by_its_option():
    root = parsed(samples.SELECT_ONE)
    linked = {
        c.findtext("c:conditionvar/c:varequal", None, NS): c.find("c:displayfeedback", NS)
        for c in root.xpath(".//c:respcondition[c:conditionvar/c:varequal]", namespaces=NS)
        if c.find("c:setvar", NS) is None
    }
    told = {
        option: shown(root.find(f"c:itemfeedback[@ident='{d.get('linkrefid')}']//c:mattext", NS))
        for option, d in linked.items()
    }

    assert told == {
        "a": "If s is a square root of 12, so is −s.",
        "c": "f(1) = 15 is divisible by 3, not by 9.",
    }
    assert "Common slips" not in general_feedback(root)


@pytest.mark.parametrize(
    ("item", "told"),
    [
        (samples.SELECT_ALL, "Common slipsIf you answered 7, 20:You solved"),
        (samples.INTEGER, "Common slipsIf you answered 7:Check:"),
        (samples.LIST, "Common slipsIf you answered 4, 7, 10:Solutions are"),
        (samples.LIST, "If you answered “none”:Divide"),
        (samples.TRUE_FALSE, "Common slipsIf you answered True:Every Legendre"),
    ],
)
def test_other_slips_stand_in_the_general_feedback(item, told):
    root = parsed(item)

    assert told in general_feedback(root)
    assert len(root.findall("c:itemfeedback", NS)) == 1
    assert len(root.findall(".//c:respcondition", NS)) == 2


def test_an_item_without_slips_has_no_heading_for_them():
    assert "Common slips" not in general_feedback(parsed(samples.SYSTEM))


def test_true_and_false_are_the_options_and_the_stem_says_what_they_mean():
    root = parsed(samples.TRUE_FALSE)
    labels = root.findall(".//c:response_label", NS)

    assert [(e.get("ident"), e.findtext(".//c:mattext", None, NS)) for e in labels] == [
        ("true", "True"),
        ("false", "False"),
    ]
    stem = shown(root.find("c:presentation/c:material/c:mattext", NS))
    assert stem.endswith("True: it has a solution. False: no residue modulo 21 solves it.")


def test_spellings_of_a_list_stand_side_by_side():
    (values,) = [
        condition.findall("c:varequal", NS)
        for condition in [key_condition(parsed(samples.LIST)).find("c:conditionvar", NS)]
    ]

    assert [v.text for v in values] == [
        "4, 9, 14", "4,9,14", "4 9 14", "4; 9; 14", "4;9;14", "{4, 9, 14}", "{4,9,14}",
    ]  # fmt: skip


def test_the_word_for_no_solutions_is_accepted_in_any_case():
    (value,) = key_condition(parsed(samples.LIST_EMPTY)).findall(".//c:varequal", NS)

    assert (value.text, value.get("case")) == ("none", "No")


def test_a_negative_integer_may_be_typed_with_either_minus():
    item = replace(samples.COUNT, response=IntegerEntry(value=-1))
    values = key_condition(parsed(item)).findall(".//c:varequal", NS)

    assert [v.text for v in values] == ["-1", "−1"]


def test_check_digits_below_ten_are_asked_for_in_the_spelling_that_is_accepted():
    """GB08 ABBY 1000 0000 0554 33: rearranged and in digits, 1 modulo 97 (ISO 13616)."""
    rearranged = "ABBY10000000055433GB08"
    assert int("".join(str(int(c, 36)) for c in rearranged)) % 97 == 1
    problem = problem_from(["iban GB?? ABBY 1000 0000 0554 33"])
    wording = Wording(
        title="t", ask="the value", form="integer", rule="all or nothing", points=1, outcomes=(),
        level="easy", provenance=samples.COUNT.provenance,
    )  # fmt: skip

    root = parsed(compose(problem, problem.solve(), [], wording))

    assert [v.text for v in key_condition(root).findall(".//c:varequal", NS)] == ["8"]
    stem = root.findtext("c:presentation/c:material/c:mattext", None, NS)
    assert "as one number, without a 0 in front: 5 for 05." in stem


def test_any_order_accepts_every_order():
    response = ListEntry(values=(1, 2, 13), modulus=91, none_word="none", any_order=True)
    root = parsed(replace(samples.LIST_ANY_ORDER, response=response))
    accepted = {v.text for v in key_condition(root).findall(".//c:varequal", NS)}

    assert len(accepted) == 42
    assert all(f"{a}, {b}, {c}" in accepted for a, b, c in permutations((1, 2, 13)))


@pytest.mark.parametrize("item", ALL)
def test_authors_find_the_statement_and_students_do_not(item):
    root = parsed(item)
    line = "; ".join((*item.statement, item.ask))

    assert root.find("c:presentation", NS).get("label") == line
    assert line not in "".join(root.itertext())


def test_the_stem_of_a_residue_asks_for_the_least():
    stem = parsed(samples.INTEGER).find("c:presentation/c:material/c:mattext", NS)

    assert shown(stem).startswith("Give the least residue that solves:")


def test_html_in_a_package_is_html():
    (stem,) = parsed(samples.SELECT_ALL).findall("c:presentation/c:material/c:mattext", NS)
    root = lxml_html.fragment_fromstring(stem.text, create_parent="div")

    assert [e.tag for e in root] == ["p", "p", "p"]
    assert root[1].text_content().replace("\xa0", " ") == "x2 + 9x + 5 ≡ 0 (mod 117)"
    assert [e.text for e in root[1].iter("sup")] == ["2"]


# ------------------------------------------------------------ refusals


def refused(tmp_path, item, **options):
    with pytest.raises(ExportError) as error:
        write_package("cc13", samples.release(samples.group(item)), tmp_path / "p.zip", **options)
    assert list(tmp_path.iterdir()) == []
    return str(error.value)


def test_plus_minus_is_refused(tmp_path):
    item = samples.PLUS_MINUS

    assert refused(tmp_path, item) == (
        f"cc13: item {item.identifier} (family quadratic, variant 3): plus minus scoring, which"
        " this format cannot express; use all or nothing or the qti21 format"
    )


def test_a_list_in_any_of_many_orders_is_refused(tmp_path):
    response = ListEntry(values=(1, 27, 64, 90), modulus=91, none_word="none", any_order=True)
    item = replace(samples.LIST_ANY_ORDER, response=response)

    assert refused(tmp_path, item) == (
        f"cc13: item {item.identifier} (family square-roots, variant 0): a list of 4 values in"
        " any order, which this format cannot express; ask for increasing order, or use"
        " select all"
    )


def test_a_residue_is_refused_without_a_stem_for_the_least(tmp_path):
    item = replace(samples.INTEGER, response=replace(samples.INTEGER.response, least_stem=()))

    assert refused(tmp_path, item) == (
        f"cc13: item {item.identifier} (family linear, variant 1): any representative of a"
        " residue, which this format cannot express; give its response a stem that asks for"
        " the least residue"
    )


def test_a_weight_of_three_digits_is_refused(tmp_path):
    item = replace(samples.SYSTEM, scoring=Scoring(points=100))

    assert refused(tmp_path, item) == (
        f"cc13: item {item.identifier} (family system, variant 0): 100 points, which this format"
        " cannot express; give at most 99"
    )


def test_a_quiz_cannot_draw(tmp_path):
    group = samples.group(samples.LIST, samples.LIST_EMPTY)
    with pytest.raises(ExportError) as error:
        write_package("cc13", samples.release(group), tmp_path / "p.zip", purpose="quiz")

    assert str(error.value) == (
        "cc13: group linear-several: draws 1 of 2 items, and a quiz in this format holds each"
        " question once; write a bank, or as many items as are drawn"
    )
