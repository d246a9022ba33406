"""Decisions against items: bound to the hash, void where the item changed, on record for good."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
import samples
from jsonschema import Draft202012Validator

from exporters.release import Group, Release
from itembank import deciding
from itembank.deciding import (
    Decision,
    DecisionError,
    Decisions,
    Facet,
    Record,
    accepted_only,
    applied,
    read_decisions,
    refuse_own_review,
    statuses,
    words_of,
)
from itembank.item import Item
from itembank.notation.prose import display, paragraph
from itembank.packet import packet_of_release, seen_lines
from itembank.packet.document import FACETS

SCHEMA = Path(__file__).parents[2] / "specs" / "schema" / "decisions.schema.json"

FIRST, SECOND = samples.SELECT_ALL, replace(samples.INTEGER, title="Another")


def facets(returned: str = "") -> dict:
    said = {name: Facet(verdict="accepted") for name in FACETS}
    if returned:
        said["wording"] = Facet(verdict="returned", comment=returned)
    return said


def decision(item: Item, returned: str = "") -> Decision:
    return Decision(
        item=item.identifier,
        fingerprint=item.fingerprint,
        family=item.provenance.family,
        index=item.provenance.index,
        verdict="returned" if returned else "accepted",
        blind="answered",
        given=["r7"],
        agreed=False,
        facets=facets(returned),
        seen=list(seen_lines(item)),
    )


def file_of(*decisions: Decision, reviewer: str = "R. Moss") -> Decisions:
    return Decisions(
        format="itembank decisions 1",
        pool="p",
        term="2027-spring",
        packet="0" * 64,
        reviewer=reviewer,
        date="2027-01-15",
        decisions=list(decisions),
    )


def written(tmp_path: Path, **changes: object) -> Path:
    path = tmp_path / "decisions.json"
    path.write_text(json.dumps({**file_of(decision(FIRST)).model_dump(), **changes}))
    return path


def release_of(*items: Item, choose: int = 1) -> Release:
    group = Group(family="f", title="F", items=items, choose=choose, points=1)
    return Release(
        pool_id="p", title="A pool", course="NT 210", term="2027-spring", language="en",
        groups=(group,),
    )  # fmt: skip


# ------------------------------------------------------------ the file


def test_the_shipped_schema_is_the_one_that_the_code_makes():
    assert json.loads(SCHEMA.read_text(encoding="utf-8")) == deciding.schema()


def test_a_file_passes_the_schema_and_reads_back(tmp_path):
    path = written(tmp_path)

    Draft202012Validator(json.loads(SCHEMA.read_text())).validate(json.loads(path.read_text()))
    assert read_decisions(path) == file_of(decision(FIRST))


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"reviewer": ""}, "reviewer: String should have at least 1 character"),
        ({"packet": "abc"}, "packet: String should match pattern"),
        ({"more": 1}, "more: Extra inputs are not permitted"),
        ({"decisions": [1]}, "decisions.0: Input should be an object"),
    ],
)
def test_a_file_that_says_something_else_is_refused_with_its_place(tmp_path, changes, message):
    with pytest.raises(DecisionError, match="decisions.json: " + message):
        read_decisions(written(tmp_path, **changes))


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '{"format": 7}'])
def test_what_is_no_decisions_file_is_one_clear_error(tmp_path, text):
    path = tmp_path / "d.json"
    path.write_text(text)
    with pytest.raises(DecisionError, match=r"d\.json: "):
        read_decisions(path)


def test_an_acceptance_needs_all_four_facets(tmp_path):
    short = decision(FIRST).model_dump()
    del short["facets"]["accessibility"]

    with pytest.raises(DecisionError, match="facets that bear out 'accepted'"):
        read_decisions(written(tmp_path, decisions=[short]))


def test_a_return_says_why(tmp_path):
    silent = decision(FIRST, "unclear").model_dump()
    silent["facets"]["wording"]["comment"] = " "

    with pytest.raises(DecisionError, match="a comment that says why"):
        read_decisions(written(tmp_path, decisions=[silent]))


# ------------------------------------------------------------ bound to what was seen


def test_a_decision_on_an_item_as_it_is_stands():
    (outcome,) = applied(file_of(decision(FIRST)), [FIRST, SECOND])

    assert outcome.outcome == "stands"


def test_one_digit_changed_voids_the_acceptance_and_is_shown():
    changed = replace(
        FIRST, stem=(FIRST.stem[0], display("x^2 + 9x + 6 ≡ 0 mod 117"), FIRST.stem[2])
    )

    (outcome,) = applied(file_of(decision(FIRST)), [changed])

    assert outcome.outcome == "changed"
    assert outcome.difference == (
        "- question: x² + 9x + 5 ≡ 0 (mod 117)",
        "+ question: x² + 9x + 6 ≡ 0 (mod 117)",
    )


def a_step_more(item: Item) -> Item:
    return replace(item, steps=item.steps + 1)


def another_key(item: Item) -> Item:
    first, *rest = item.response.options
    options = (replace(first, correct=not first.correct), *rest)
    return replace(item, response=replace(item.response, options=options))


def other_feedback(item: Item) -> Item:
    first, *rest = item.feedback
    return replace(item, feedback=(replace(first, text=(paragraph("Try again."),)), *rest))


@pytest.mark.parametrize("change", [a_step_more, another_key, other_feedback])
def test_whatever_changed_is_named(change):
    (outcome,) = applied(file_of(decision(FIRST)), [change(FIRST)])

    assert outcome.outcome == "changed"
    assert outcome.difference[0].startswith("- ")
    assert outcome.difference[-1].startswith("+ ")


def test_an_item_that_is_gone_voids_its_decision():
    other = replace(FIRST, provenance=replace(FIRST.provenance, index=99), title="Another")

    (outcome,) = applied(file_of(decision(FIRST)), [other])

    assert outcome.outcome == "gone"


def test_a_file_whose_lines_are_not_those_of_the_hash_is_refused():
    forged = decision(FIRST).model_copy(update={"seen": ["title: something else"]})

    with pytest.raises(DecisionError, match="expected the lines of the item with this hash"):
        list(applied(file_of(forged), [FIRST]))


# ------------------------------------------------------------ two persons


@pytest.mark.parametrize("reviewer", ["A. Hart", " a.  hart "])
def test_nobody_reviews_his_own_where_two_persons_are_asked_for(reviewer):
    with pytest.raises(DecisionError, match="the pool asks for two persons"):
        refuse_own_review(file_of(reviewer=reviewer), "A. Hart", 2)


@pytest.mark.parametrize(("reviewer", "persons"), [("R. Moss", 2), ("A. Hart", 1)])
def test_another_person_or_a_pool_that_asks_for_one_is_fine(reviewer, persons):
    refuse_own_review(file_of(reviewer=reviewer), "A. Hart", persons)


# ------------------------------------------------------------ the record, and what may leave


def recorded(tmp_path: Path, *files: Decisions) -> Record:
    record = Record(tmp_path / "p.decisions.json")
    for file in files:
        record.add(words_of(file, applied(file, [FIRST, SECOND])))
    return record


def test_the_record_grows_and_repeats_nothing(tmp_path):
    file = file_of(decision(FIRST))
    record = recorded(tmp_path, file, file, file_of(decision(SECOND)))

    assert [w.decision.item for w in record.words()] == [FIRST.identifier, SECOND.identifier]
    assert record.words()[0].reviewer == "R. Moss"


def test_the_last_word_counts(tmp_path):
    record = recorded(tmp_path, file_of(decision(FIRST)), file_of(decision(FIRST, "unclear")))

    assert statuses([FIRST], record.words()) == {FIRST.fingerprint: "draft"}


def test_an_item_changed_since_its_acceptance_is_revised(tmp_path):
    record = recorded(tmp_path, file_of(decision(FIRST)))

    assert statuses([FIRST], record.words()) == {FIRST.fingerprint: "final"}
    changed = a_step_more(FIRST)
    assert statuses([changed], record.words()) == {changed.fingerprint: "revised"}


def test_only_accepted_items_leave_and_the_others_are_named(tmp_path):
    record = recorded(tmp_path, file_of(decision(FIRST)))

    left, missing = accepted_only(release_of(FIRST, SECOND), record.words())

    assert left.groups[0].items == (FIRST,)
    assert [(m.identifier, m.status) for m in missing] == [(SECOND.identifier, "draft")]


def test_a_group_with_fewer_than_a_student_draws_is_an_error(tmp_path):
    record = recorded(tmp_path, file_of(decision(FIRST)))

    with pytest.raises(DecisionError, match="f: 1 of 2 accepted, a student draws 2"):
        accepted_only(release_of(FIRST, SECOND, choose=2), record.words())


def test_a_damaged_record_is_said_to_be(tmp_path):
    path = tmp_path / "p.decisions.json"
    path.write_text('{"decisions": [{"reviewer": "R. Moss"')

    with pytest.raises(DecisionError, match="a damaged file"):
        Record(path).words()


def test_what_the_packet_holds_is_what_a_decision_must_repeat():
    page = packet_of_release(release_of(FIRST)).decode()
    start = page.index('id="items">') + len('id="items">')
    held = json.loads(page[start : page.index("</script>", start)])["items"][0]

    assert held["fingerprint"] == FIRST.fingerprint
    assert held["seen"] == list(seen_lines(FIRST))
