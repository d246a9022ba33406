"""Decisions against items: bound to the hash, void where the item changed, on record for good."""

import json
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from itembank.notation.prose import display, paragraph
from itembank.review import deciding, packet_of_release, seen_lines
from itembank.review.deciding import (
    DecisionError,
    Record,
    accepted_only,
    applied,
    read_decisions,
    refuse_false_packet,
    refuse_own_review,
    statuses,
)
from itembank.values.item import Item, SelectAll
from tests.review.decided import FIRST, SECOND, decision, file_of, recorded, release_of

SCHEMA = Path(__file__).parents[2] / "specs" / "schema" / "decisions.schema.json"


def written(tmp_path: Path, **changes: object) -> Path:
    path = tmp_path / "decisions.json"
    path.write_text(json.dumps({**file_of(decision(FIRST)).model_dump(), **changes}))
    return path


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
        ({"reviewer": ""}, "reviewer: expected a name, found none; say who decided$"),
        ({"packet": "abc"}, "packet: expected a hash, 64 digits .*, found 'abc'$"),
        ({"more": 1}, "more: expected no field of this name"),
        ({"decisions": [1]}, "decisions.0: expected an object, found 1$"),
        ({"decisions": "x" * 99}, f"decisions: expected array, found '{'x' * 59}...$"),
        ({"format": "decisions"}, "format: expected a file of decisions that a packet saved"),
        ({"reviewer": 7}, "reviewer: expected string, found 7$"),
        ({"reviewer": "   "}, "reviewer: expected a name with letters, found none"),
        ({"reviewer": "\u200b\u200b"}, r"reviewer: expected a name, found U\+200B in it"),
        ({"reviewer": "R. M\u200boss"}, r"reviewer: expected a name, found U\+200B in it"),
        ({"reviewer": "\u3164"}, r"reviewer: expected a name, found U\+3164 in it"),
        ({"reviewer": "-"}, "reviewer: expected a name with letters"),
        ({"date": "9999-99-99"}, "date: expected a year from 2000 to 2099, found 9999-99-99"),
        ({"date": "1999-12-31"}, "date: expected a year from 2000 to 2099"),
        ({"date": "2027-02-29"}, "date: expected a day of the calendar, found 2027-02-29"),
        ({"date": "2027-13-01"}, "date: expected a day of the calendar"),
        ({"date": "2027-01-00"}, "date: expected a day of the calendar"),
        ({"date": "15.1.2027"}, "date: expected a day such as 2027-01-15, found '15.1.2027'$"),
        ({"date": "\u0662\u0660\u0662\u0667-01-15"}, "date: expected a day such as 2027-01-15"),
        ({"shown": [FIRST.fingerprint]}, "the file: packet: expected the hash of the items shown"),
    ],
)
def test_a_file_that_says_something_else_is_refused_with_its_place(tmp_path, changes, message):
    with pytest.raises(DecisionError, match="decisions.json: " + message):
        read_decisions(written(tmp_path, **changes))


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '{"format": 7}'])
def test_what_is_no_decisions_file_is_one_clear_error(tmp_path, text):
    path = tmp_path / "d.json"
    path.write_text(text)
    with pytest.raises(DecisionError, match=r"^\S+d\.json: [^\n]*expected [^\n]*$"):
        read_decisions(path)


def test_a_mark_of_the_encoding_says_nothing(tmp_path):
    path = written(tmp_path)
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())

    assert read_decisions(path) == file_of(decision(FIRST))


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


def test_a_leap_day_is_a_day(tmp_path):
    assert read_decisions(written(tmp_path, date="2028-02-29")).date == "2028-02-29"


def test_one_item_accepted_and_returned_in_one_file_is_refused(tmp_path):
    both = [decision(FIRST).model_dump(), decision(FIRST, "unclear").model_dump()]

    with pytest.raises(DecisionError, match="found accepted and returned for " + FIRST.identifier):
        read_decisions(written(tmp_path, decisions=both))


def test_a_name_with_two_values_in_one_object_is_refused(tmp_path):
    path = written(tmp_path)
    path.write_text(path.read_text().replace('"reviewer"', '"reviewer": "A. Reed", "reviewer"'))

    with pytest.raises(DecisionError, match="found 'reviewer' twice"):
        read_decisions(path)


def test_a_comment_that_shows_nothing_is_no_reason(tmp_path):
    silent = decision(FIRST, "unclear").model_dump()
    silent["facets"]["wording"]["comment"] = "\u200b \u2060"

    with pytest.raises(DecisionError, match="a comment that says why"):
        read_decisions(written(tmp_path, decisions=[silent]))


def hash_of(*fingerprints: str) -> str:
    """As the packet states it: SHA-256 over the items' hashes, a line each."""
    return sha256("\n".join(fingerprints).encode()).hexdigest()


def now(*items: Item) -> list[tuple[str, tuple[str, int]]]:
    return [(i.fingerprint, (i.provenance.family, i.provenance.index)) for i in items]


def test_a_packet_that_showed_other_items_is_false(tmp_path):
    file = file_of(decision(FIRST))

    refuse_false_packet(
        file.model_copy(update={"packet": hash_of(FIRST.fingerprint, SECOND.fingerprint)}),
        now(FIRST, SECOND),
    )
    with pytest.raises(DecisionError, match="packet: expected the hash of a packet of p for 2027"):
        refuse_false_packet(file, now(FIRST, SECOND))


def test_a_packet_of_the_items_before_they_changed_is_no_false_one():
    other = replace(SECOND, provenance=replace(SECOND.provenance, index=99))
    packet = hash_of(FIRST.fingerprint, other.fingerprint)
    file = file_of(decision(FIRST)).model_copy(update={"packet": packet})

    refuse_false_packet(file, now(a_step_more(FIRST), other))


def test_a_decision_on_what_the_packet_did_not_show_is_refused(tmp_path):
    shown = [SECOND.fingerprint]

    with pytest.raises(DecisionError, match="expected decisions on items of the packet"):
        read_decisions(written(tmp_path, shown=shown, packet=hash_of(*shown)))


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
    return replace(item, response=SelectAll(options=options))


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
    other = replace(FIRST, provenance=replace(FIRST.provenance, index=99), ask="how many")

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
