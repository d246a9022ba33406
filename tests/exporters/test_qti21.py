"""QTI 2.1 packages: valid, complete, and graded as the item says."""

from dataclasses import replace
from itertools import combinations, permutations

import pytest
from lxml import etree

from exporters import qti21
from exporters.formats import write_package
from exporters.qti2 import assessment_item
from exporters.setting import Setting
from exporters.xml import serialised
from itembank.audit import qti2
from itembank.values.errors import ExportError
from itembank.values.item import IntegerEntry, ListEntry, Scoring
from tests.exporters import samples
from tests.exporters.grading import NS, outcomes, standard, towards_zero

V = qti21.VERSION
SLIPS = [
    pytest.param(item, n, id=f"{name}, slip {n}")
    for name, item in samples.ITEMS.items()
    for n in range(1, len(item.feedback) + 1)
]
ALL = [pytest.param(item, id=name) for name, item in samples.ITEMS.items()]
REMAINDERS = [standard, towards_zero]


def parsed(item, math="mathml"):
    return etree.fromstring(
        serialised(assessment_item(item, V, Setting(math, V.namespace, "en")), "here")
    )


def as_typed(item, answer):
    """An answer of the item model as a reader of the standard holds it."""
    match item.response:
        case IntegerEntry():
            big = parsed(item).find("q:responseDeclaration", NS).get("baseType") == "string"
            return str(answer[0]) if big else answer[0]
        case ListEntry():
            return ", ".join(map(str, answer)) or item.response.none_word
        case _:
            multiple = parsed(item).find("q:responseDeclaration", NS).get("cardinality")
            return sorted(answer) if multiple == "multiple" else answer[0]


def key(item):
    """The key, stated here a second time from the item alone."""
    response = item.response
    if hasattr(response, "options"):
        return tuple(o.identifier for o in response.options if o.correct)
    if hasattr(response, "truth"):
        return (str(response.truth).lower(),)
    return response.values if hasattr(response, "values") else (response.value,)


# ------------------------------------------------------------ the package


@pytest.mark.parametrize("purpose", ["quiz", "bank"])
@pytest.mark.parametrize("math", ["mathml", "html", "tex", "text"])
def test_packages_are_valid_by_the_published_schemas(tmp_path, findings, purpose, math):
    release = samples.release(*samples.GROUPS, samples.group(samples.PLUS_MINUS))
    write_package("qti21", release, tmp_path / "p.zip", math, purpose)

    assert findings(tmp_path / "p.zip") == []


def test_a_bank_has_no_test(tmp_path, members):
    write_package("qti21", samples.RELEASE, tmp_path / "p.zip", purpose="bank")

    names = members(tmp_path / "p.zip")
    assert sorted(names) == sorted(
        [*(f"{item.identifier}.xml" for item in samples.ITEMS.values()), "imsmanifest.xml"]
    )
    assert b"QTIv2.1 Item Bank Package" in names["imsmanifest.xml"]


def test_a_section_draws_from_its_group_and_weighs_its_items(tmp_path, members):
    three = replace(samples.group(samples.PLUS_MINUS), points=8)
    drawn = samples.group(samples.LIST, samples.LIST_EMPTY, samples.LIST_ZERO, choose=2)
    write_package("qti21", samples.release(three, drawn), tmp_path / "p.zip")
    test = etree.fromstring(members(tmp_path / "p.zip")["test-nt210-quiz-3-2027-spring.xml"])

    sections = test.findall(".//q:assessmentSection", NS)
    assert [s.find("q:selection", NS).get("select") for s in sections] == ["1", "2"]
    assert [s.find("q:ordering", NS).get("shuffle") for s in sections] == ["true", "true"]
    weights = [[w.get("value") for w in s.findall(".//q:weight", NS)] for s in sections]
    assert weights == [["2"], ["1", "1", "1"]]
    assert [[r.get("href") for r in s.findall("q:assessmentItemRef", NS)] for s in sections] == [
        [f"{item.identifier}.xml" for item in group.items] for group in (three, drawn)
    ]


def test_students_see_neither_feedback_nor_caution_during_the_test(tmp_path, members):
    write_package("qti21", samples.RELEASE, tmp_path / "p.zip")
    test = etree.fromstring(members(tmp_path / "p.zip")["test-nt210-quiz-3-2027-spring.xml"])

    control = dict(test.find(".//q:itemSessionControl", NS).attrib)
    assert control == {"maxAttempts": "1", "showFeedback": "false", "showSolution": "false"}
    (rubric,) = test.findall(".//q:rubricBlock", NS)
    assert "candidate" not in rubric.get("view").split()
    assert "sign for them" in "".join(rubric.itertext())


# ------------------------------------------------------------ the key


@pytest.mark.parametrize("item", ALL)
def test_correct_response_is_the_whole_key(item):
    declared = [v.text for v in parsed(item).findall(".//q:correctResponse/q:value", NS)]

    if isinstance(item.response, ListEntry):
        assert declared == [as_typed(item, key(item))]
    else:
        assert declared == list(map(str, key(item)))


@pytest.mark.parametrize("remainder", REMAINDERS)
@pytest.mark.parametrize("item", ALL)
def test_the_key_scores_all_points_and_nothing_scores_none(item, remainder):
    points = float(item.scoring.points)
    right = outcomes(parsed(item), as_typed(item, key(item)), remainder)
    blank = outcomes(parsed(item), None, remainder)

    assert (right["SCORE"], right["MAXSCORE"]) == (points, points)
    assert (blank["SCORE"], blank["MAXSCORE"]) == (0.0, points)
    for outcome in (right, blank):
        assert outcome["SOLUTION"] == "worked"
        assert outcome.get("FEEDBACK", "none") == "none"


@pytest.mark.parametrize("remainder", REMAINDERS)
@pytest.mark.parametrize(("item", "n"), SLIPS)
def test_a_slip_scores_nothing_and_shows_its_own_feedback(item, n, remainder):
    root, slip = parsed(item, "text"), item.feedback[n - 1]
    outcome = outcomes(root, as_typed(item, slip.response), remainder)

    assert outcome["SCORE"] == 0.0
    (shown,) = [
        f
        for f in root.findall("q:modalFeedback", NS)
        if outcome[f.get("outcomeIdentifier")] == f.get("identifier")
        and f.get("outcomeIdentifier") == "FEEDBACK"
    ]
    assert len(shown) == len(slip.text)
    assert shown.get("identifier") == f"slip-{n}"


def test_only_the_solutions_ticked_and_nothing_else_score():
    item = samples.SELECT_ALL
    root, ids = parsed(item), [o.identifier for o in item.response.options]
    subsets = [sorted(s) for k in range(1, len(ids) + 1) for s in combinations(ids, k)]
    scoring = [s for s in subsets if outcomes(root, s)["SCORE"] == 1.0]

    assert len(subsets) == 2**9 - 1
    assert scoring == [sorted(key(item))]


def test_plus_minus_counts_ticks_and_stays_above_zero():
    item = samples.PLUS_MINUS
    root, right = parsed(item), set(key(item))
    ids = [o.identifier for o in item.response.options]
    for ticked in (s for k in range(1, len(ids) + 1) for s in combinations(ids, k)):
        hits = len(right.intersection(ticked))
        assert outcomes(root, sorted(ticked))["SCORE"] == max(0, 2 * hits - len(ticked))
    assert outcomes(root, None)["SCORE"] == 0.0


@pytest.mark.parametrize("remainder", REMAINDERS)
@pytest.mark.parametrize(
    ("item", "m", "answer"), [(samples.INTEGER, 26, 19), (samples.SYSTEM, 15, 8)]
)
def test_every_representative_of_a_residue_scores(item, m, answer, remainder):
    root = parsed(item)
    for x in range(-3 * m, 3 * m):
        assert outcomes(root, x, remainder)["SCORE"] == float((x - answer) % m == 0), x


def test_a_count_is_no_residue():
    root = parsed(samples.COUNT)

    assert [x for x in range(-120, 120) if outcomes(root, str(x))["SCORE"]] == [4]


@pytest.mark.parametrize(
    ("value", "right", "wrong"),
    [
        (12, ["12", "+12", "0012", "+0012", "\u00a012 "], ["1,2", "12,", "12.5", "12e0", "012a"]),
        (-1, ["-1", "−1", "-01"], ["1", "+1", "+-1", "- 1", "--1", "-10"]),
        (0, ["0", "000", "+0", "-0"], ["", "+", "-", "0,", "0.0", "10", "01", "O"]),
    ],
)
def test_one_integer_is_compared_as_text_whose_spelling_is_free(value, right, wrong):
    root = parsed(replace(samples.COUNT, response=IntegerEntry(value=value)))

    assert root.find("q:responseDeclaration", NS).get("baseType") == "string"
    assert root.findtext(".//q:correctResponse/q:value", None, NS) == str(value)
    assert all(outcomes(root, typed)["SCORE"] == 1.0 for typed in right)
    assert not any(outcomes(root, typed)["SCORE"] for typed in wrong)


@pytest.mark.parametrize("typed", ["+{}", "00{}", "+0{}", "{}"])
@pytest.mark.parametrize("modulus", [26, 2**30, 2**30 + 1, 10**30])
def test_the_spelling_of_a_residue_is_as_free_for_a_large_modulus_as_for_a_small_one(
    modulus, typed
):
    response = replace(samples.INTEGER.response, modulus=modulus)
    element = assessment_item(
        replace(samples.INTEGER, response=response), V, Setting("html", V.namespace, "en")
    )

    grade = qti2.seen_item(etree.fromstring(serialised(element, "here"))).grade
    assert grade((typed.format(19),)).score == 1


@pytest.mark.parametrize("space", [" ", "\u00a0", "\u00a0 ", ""])
@pytest.mark.parametrize("form", ["{}", "+{}", "0{}", "+00{}"])
def test_a_list_takes_every_spelling_of_an_integer(form, space):
    typed = f",{space}".join(map(form.format, samples.LIST.response.values))

    assert outcomes(parsed(samples.LIST), typed)["SCORE"] == 1.0


# ------------------------------------------------------------ typed answers


@pytest.mark.parametrize(
    "typed",
    ["4, 9, 14", "4,9,14", "4 9 14", "4; 9; 14", "{4, 9, 14}", " { 4,9 ,14 } ", "4  ,9;14"],
)
def test_spellings_of_a_list_score(typed):
    assert outcomes(parsed(samples.LIST), typed)["SCORE"] == 1.0


@pytest.mark.parametrize(
    "typed",
    [
        "9, 4, 14",
        "4, 9",
        "4, 9, 14, 19",
        "4914",
        "4, 914",
        "4, 9, 14.",
        "none",
        "x",
        "14",
        "4,,9,14",
    ],
)
def test_other_lists_do_not_score(typed):
    assert outcomes(parsed(samples.LIST), typed)["SCORE"] == 0.0


@pytest.mark.parametrize(("typed", "score"), [
    ("none", 1.0), ("None", 1.0), (" NONE ", 1.0), ("no", 0.0), ("nonee", 0.0), ("3, 8", 0.0),
])  # fmt: skip
def test_no_solutions_is_a_word(typed, score):
    assert outcomes(parsed(samples.LIST_EMPTY), typed)["SCORE"] == score


@pytest.mark.parametrize("values", [(3, 4), (1, 2, 13), (1, 27, 64, 90)])
def test_a_short_list_may_come_in_any_order(values):
    response = ListEntry(values=values, modulus=91, none_word="none", any_order=True)
    root = parsed(replace(samples.LIST_ANY_ORDER, response=response))
    for order in permutations(values):
        assert outcomes(root, ", ".join(map(str, order)))["SCORE"] == 1.0
        assert outcomes(root, f"{{{';'.join(map(str, order[:-1]))}}}")["SCORE"] == 0.0
    assert outcomes(root, ", ".join([str(values[0])] * len(values)))["SCORE"] == 0.0


def test_a_word_of_several_parts_is_read_in_any_case():
    response = ListEntry(values=(), modulus=9, none_word="aucune (∅)")
    root = parsed(replace(samples.LIST_EMPTY, response=response))

    assert outcomes(root, "Aucune   (∅)")["SCORE"] == 1.0
    assert outcomes(root, "aucune ∅")["SCORE"] == 0.0


def test_big_integers_are_strings_and_match_in_full():
    root, value = parsed(samples.BIG_INTEGER), samples.BIG_INTEGER.response.value

    assert root.find("q:responseDeclaration", NS).get("baseType") == "string"
    assert not root.findall(".//q:baseValue[@baseType='integer']", NS)
    assert outcomes(root, f" {value} ")["SCORE"] == 1.0
    for wrong in (value + 1, -value, f"1{value}", f"{value}0", "0"):
        assert outcomes(root, str(wrong))["SCORE"] == 0.0


@pytest.mark.parametrize(
    ("value", "modulus", "base_type"),
    [
        (5, None, "string"),
        (2**31, None, "string"),
        (5, 2**30, "integer"),
        (5, 2**30 + 1, "string"),
    ],
)
def test_a_residue_is_computed_where_no_number_on_the_way_leaves_31_bits(value, modulus, base_type):
    response = replace(samples.SYSTEM.response, value=value, modulus=modulus)
    item = replace(samples.SYSTEM, response=response)

    assert parsed(item).find("q:responseDeclaration", NS).get("baseType") == base_type


@pytest.mark.parametrize("typed", ["-2147483649", "−2147483649"])
def test_a_negative_integer_may_be_typed_with_either_minus(typed):
    item = replace(samples.SYSTEM, response=IntegerEntry(value=-(2**31) - 1))

    assert outcomes(parsed(item), typed)["SCORE"] == 1.0


# ------------------------------------------------------------ what the student sees


def fields(*items):
    """The fields of the items with their labels, as they are shown."""
    return {
        etree.tostring(parsed(item).find(".//q:textEntryInteraction", NS).getparent())
        for item in items
    }


def test_no_field_tells_how_long_the_answer_is():
    lists = [samples.LIST, samples.LIST_EMPTY, samples.LIST_ZERO, samples.LIST_ANY_ORDER]
    counts = [replace(samples.COUNT, response=IntegerEntry(value=v)) for v in (0, 7, 12345678)]
    residues = [
        replace(samples.INTEGER, response=IntegerEntry(value=v, modulus=10**7))
        for v in (0, 1234567)
    ]

    assert len(fields(*lists)) == len(fields(*counts)) == len(fields(*residues)) == 1


@pytest.mark.parametrize("item", ALL)
def test_every_field_has_its_label_before_it_and_options_keep_their_order(item):
    root = parsed(item)
    for entry in root.findall(".//q:textEntryInteraction", NS):
        assert entry.getparent().text.startswith("Answer (")
    for choice in root.findall(".//q:choiceInteraction", NS):
        assert choice.get("shuffle") == "false"
        if hasattr(item.response, "options"):
            shown = ["".join(c.itertext()) for c in choice]
            assert len(shown) == len(item.response.options)
            assert [c.get("identifier") for c in choice] == [
                o.identifier for o in item.response.options
            ]


@pytest.mark.parametrize("item", ALL)
def test_items_keep_to_what_every_reader_takes(item):
    data = serialised(assessment_item(item, V, Setting("mathml", V.namespace, "en")), "here")
    root = etree.fromstring(data)
    inside = {etree.QName(e).localname for e in root.iter(etree.Element)}

    assert not inside & {
        "anyN", "contains", "delete", "index", "exitResponse", "lookupOutcomeValue", "member",
        "matchTable", "integerDivide", "divide", "inlineChoiceInteraction",
    }  # fmt: skip
    assert len(root.xpath("//*[contains(local-name(), 'Interaction')]")) == 1
    assert b"CDATA" not in data
    assert b"{{" not in data
    assert not data.startswith(b"\xef\xbb\xbf")
    assert root.get("{http://www.w3.org/XML/1998/namespace}lang") == "en"
    for math in root.iter("{http://www.w3.org/1998/Math/MathML}math"):
        assert math.prefix is None
        assert math.get("alttext")


@pytest.mark.parametrize(
    ("item", "label"),
    [
        (samples.SELECT_ALL, "x^2 + 9x + 5 = 0 mod 117; all solutions"),
        (samples.SYSTEM, "x = 2 mod 3; x = 3 mod 5; the solution"),
    ],
)
def test_authors_read_what_is_asked_in_plain_notation(item, label):
    assert parsed(item).get("label") == label


def test_a_statement_too_long_for_a_label_stands_in_the_manifest(tmp_path, members, findings):
    long = "x = 1 mod " + "9" * 300
    item = replace(samples.SYSTEM, statement=(long,))
    write_package("qti21", samples.release(samples.group(item)), tmp_path / "p.zip")

    held = members(tmp_path / "p.zip")
    assert etree.fromstring(held[f"{item.identifier}.xml"]).get("label") is None
    assert f"{long}; the solution".encode() in held["imsmanifest.xml"]
    assert findings(tmp_path / "p.zip") == []


@pytest.mark.parametrize(
    ("item", "asked"),
    [(samples.INTEGER, "the solution"), (samples.BIG_INTEGER, "the least residue")],
)
def test_the_stem_asks_for_the_least_residue_where_no_other_is_accepted(item, asked):
    assert asked in "".join(parsed(item).find("q:itemBody", NS).itertext())


# ------------------------------------------------------------ refusals


def test_a_residue_compared_as_text_is_refused_without_its_stem(tmp_path):
    response = replace(samples.BIG_INTEGER.response, least_stem=())
    item = replace(samples.BIG_INTEGER, response=response)

    with pytest.raises(ExportError) as refused:
        write_package("qti21", samples.release(samples.group(item)), tmp_path / "p.zip")
    assert str(refused.value) == (
        f"qti21: item {item.identifier} (family large, variant 0): any representative of a"
        " residue, which this format cannot express; give its response a stem that asks for"
        " the least residue"
    )


def test_a_long_list_in_any_order_is_refused(tmp_path):
    response = ListEntry(values=(1, 2, 3, 4, 5), modulus=9, none_word="none", any_order=True)
    item = replace(samples.LIST_ANY_ORDER, response=response)

    with pytest.raises(ExportError) as refused:
        write_package("qti21", samples.release(samples.group(item)), tmp_path / "p.zip")
    assert str(refused.value) == (
        f"qti21: item {item.identifier} (family square-roots, variant 0): a list of 5 values in"
        " any order, which this format cannot express; ask for increasing order, or use"
        " select all"
    )
    assert list(tmp_path.iterdir()) == []


def test_text_that_no_package_may_hold_names_its_item(tmp_path):
    item = replace(samples.SYSTEM, stem=samples.stem("Type \x07", "x ≡ 1 mod 2"))

    with pytest.raises(ExportError) as refused:
        write_package("qti21", samples.release(samples.group(item)), tmp_path / "p.zip")
    assert str(refused.value) == (
        f"qti21: item {item.identifier} (family system, variant 0): expected characters that"
        " XML 1.0 allows, got U+0007"
    )


def test_points_are_whole_numbers_of_the_items_scores(tmp_path):
    group = replace(samples.group(samples.PLUS_MINUS), points=6)

    with pytest.raises(ExportError) as refused:
        write_package("qti21", samples.release(group), tmp_path / "p.zip")
    assert str(refused.value) == (
        f"qti21: item {samples.PLUS_MINUS.identifier} (family quadratic, variant 3): expected"
        " its group to count a multiple of its 4 points (plus minus), got 6; say so in the pool"
    )


def test_scores_are_the_items_points():
    item = replace(samples.SELECT_ONE, scoring=Scoring(points=3))

    assert outcomes(parsed(item), "b")["SCORE"] == 3.0
