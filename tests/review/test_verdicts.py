"""Several persons on one item: a return holds it until its own reviewer or a third one says so."""

import json
from itertools import permutations
from pathlib import Path

import pytest

from itembank.review.deciding import (
    DecisionError,
    Decisions,
    Record,
    Settlement,
    accepted_only,
    applied,
    read_decisions,
    refuse_false_settlements,
    spoken,
    statuses,
    words_of,
)
from itembank.values.verdicts import FACETS, OnFacet, Spoken, Verdict, accepted_items, open_returns
from tests.exporters import samples
from tests.review.decided import decision, file_of, recorded, release_of

ITEM = samples.SELECT_ALL


def say(person: str, *returned: str, date: str = "2027-01-15", over: str = "") -> Spoken:
    facets = tuple(OnFacet(f, "returned" if f in returned else "accepted") for f in FACETS)
    return Spoken(item="a", person=person, date=date, facets=facets, over=over)


def settle(person: str, over: str, facet: str = "wording", verdict: Verdict = "accepted") -> Spoken:
    facets = (OnFacet(facet, verdict, "because"),)
    return Spoken(item="a", person=person, date="2027-01-15", facets=facets, over=over)


def held_by(*words: Spoken) -> list[tuple[str, str]]:
    return [(r.person, r.facet) for r in open_returns(words)]


# ------------------------------------------------------------ what words come to


def test_a_later_acceptance_by_another_does_not_outweigh_a_return():
    words = say("Reed", "wording"), say("Moss")

    assert held_by(*words) == [("Reed", "wording")]
    assert accepted_items(words) == frozenset()


def test_in_whatever_order_they_speak_a_return_of_one_holds_the_item():
    for words in permutations([say("Reed", "key"), say("Moss"), say("Hart")]):
        assert held_by(*words) == [("Reed", "key")]
        assert accepted_items(words) == frozenset()


def test_who_returned_takes_it_back_facet_by_facet():
    both = say("Reed", "key", "wording")

    assert held_by(both, say("Reed", "wording")) == [("Reed", "wording")]
    assert held_by(both, say(" reed ")) == []
    assert accepted_items([both, say("Reed")]) == {"a"}


def test_what_a_later_word_does_not_speak_of_stays_returned():
    part = Spoken(
        item="a", person="Reed", date="2027-01-16", facets=(OnFacet("key", "returned", "7"),)
    )

    assert held_by(say("Reed", "wording"), part) == [("Reed", "key"), ("Reed", "wording")]


def test_another_hash_is_another_item():
    other = Spoken(item="b", person="Reed", date="2027-01-15", facets=say("Reed").facets)

    assert held_by(say("Reed", "wording"), other) == [("Reed", "wording")]


def test_an_older_file_that_comes_in_late_takes_nothing_back():
    words = say("Reed", "wording", date="2027-01-16"), say("Reed", date="2027-01-15")

    assert held_by(*words) == [("Reed", "wording")]
    assert held_by(*reversed(words)) == [("Reed", "wording")]


def test_a_third_person_sets_a_return_aside():
    words = say("Moss"), say("Reed", "wording"), settle("Hart", "Reed")

    assert held_by(*words) == []
    assert accepted_items(words) == {"a"}


def test_a_return_of_the_same_after_its_settlement_is_open_again():
    words = say("Moss"), say("Reed", "wording"), settle("Hart", "Reed"), say("Reed", "wording")

    assert held_by(*words) == [("Reed", "wording")]


def test_a_settlement_closes_one_facet_of_one_person():
    words = say("Reed", "key", "wording"), say("Moss", "wording"), settle("Hart", "Reed")

    assert held_by(*words) == [("Reed", "key"), ("Moss", "wording")]


def test_what_is_upheld_is_held_by_two():
    words = say("Moss"), say("Reed", "wording"), settle("Hart", "Reed", verdict="returned")

    assert held_by(*words) == [("Reed", "wording"), ("Hart", "wording")]
    assert held_by(*words, say("Reed")) == [("Hart", "wording")]


def test_a_settlement_of_nothing_accepts_nothing():
    assert accepted_items([settle("Hart", "Reed", facet) for facet in FACETS]) == frozenset()


# ------------------------------------------------------------ on record


def settling(
    over: str = "A. Reed", reviewer: str = "C. Lund", verdict: Verdict = "accepted", **more: object
) -> Decisions:
    settlement = Settlement(
        item=ITEM.identifier,
        fingerprint=ITEM.fingerprint,
        facet="wording",
        over=over,
        verdict=verdict,
        comment="The wording is that of the textbook.",
    )
    return file_of(reviewer=reviewer).model_copy(update={"settlements": [settlement], **more})


def record_of_two(tmp_path: Path) -> Record:
    """A. Reed returns, then R. Moss accepts."""
    return recorded(
        tmp_path, file_of(decision(ITEM, "unclear"), reviewer="A. Reed"), file_of(decision(ITEM))
    )


def enter(record: Record, file: Decisions, author: str = "") -> int:
    outcomes = list(applied(file, [ITEM]))
    refuse_false_settlements(file, author, outcomes, [spoken(record.words())])
    return record.add(words_of(file, outcomes))


def test_nothing_leaves_over_an_open_return_and_who_holds_it_is_named(tmp_path):
    record = record_of_two(tmp_path)

    assert statuses([ITEM], record.words()) == {ITEM.fingerprint: "draft"}
    with pytest.raises(DecisionError) as error:
        accepted_only(release_of(ITEM), record.words())
    assert str(error.value).splitlines() == [
        "not enough accepted items: f: 0 of 1 accepted, a student draws 1",
        f"{ITEM.identifier}: {ITEM.title}: wording returned by A. Reed on 2027-01-15: unclear",
    ]


def test_the_identical_acceptance_after_a_return_is_kept_and_takes_it_back(tmp_path):
    accept, back = file_of(decision(ITEM)), file_of(decision(ITEM, "unclear"))

    record = recorded(tmp_path, accept, back, accept)

    assert [w.decision.verdict for w in record.words()] == ["accepted", "returned", "accepted"]
    assert statuses([ITEM], record.words()) == {ITEM.fingerprint: "final"}


def test_the_identical_acceptance_after_anothers_return_is_kept_and_takes_nothing_back(tmp_path):
    accept = file_of(decision(ITEM))
    other = file_of(decision(ITEM, "unclear"), reviewer="A. Reed")

    record = recorded(tmp_path, accept, other, accept, accept)

    assert [w.reviewer for w in record.words()] == ["R. Moss", "A. Reed", "R. Moss"]
    assert statuses([ITEM], record.words()) == {ITEM.fingerprint: "draft"}


def test_a_settlement_is_kept_under_its_name_and_frees_the_item(tmp_path):
    record = record_of_two(tmp_path)

    assert enter(record, settling()) == 1
    assert enter(record, settling()) == 0

    last = record.words()[-1]
    assert (last.reviewer, last.decision.over) == ("C. Lund", "A. Reed")
    assert len(record.words()) == 3
    assert statuses([ITEM], record.words()) == {ITEM.fingerprint: "final"}


def test_an_old_settlement_does_not_close_a_new_return(tmp_path):
    record = record_of_two(tmp_path)
    enter(record, settling())
    enter(record, file_of(decision(ITEM, "still unclear"), reviewer="A. Reed"))

    assert enter(record, settling()) == 0
    assert statuses([ITEM], record.words()) == {ITEM.fingerprint: "draft"}


def test_who_settles_may_accept_the_item_in_the_same_file(tmp_path):
    record = recorded(tmp_path, file_of(decision(ITEM, "unclear"), reviewer="A. Reed"))
    file = settling(decisions=[decision(ITEM)])

    assert enter(record, file) == 2
    assert enter(record, file) == 0
    assert statuses([ITEM], record.words()) == {ITEM.fingerprint: "final"}


@pytest.mark.parametrize(
    ("file", "fault"),
    [
        (settling(reviewer="a. reed"), "returned it, and takes it back by accepting it"),
        (settling(reviewer="R. Moss"), "has decided on the item before; a third person"),
        (settling(reviewer="B. Hart"), "is the author of the pool; a third person"),
        (settling(over="N. Body"), "expected an open return by N. Body, found none"),
        (settling(date="2027-01-14"), "dated 2027-01-14, before the return of 2027-01-15"),
        (settling(verdict="returned", decisions=[decision(ITEM)]), "also says accepted"),
    ],
)
def test_only_a_third_person_settles_and_only_an_open_return(tmp_path, file, fault):
    record = record_of_two(tmp_path)
    before = record.path.read_bytes()

    with pytest.raises(DecisionError, match=f"{ITEM.identifier}: settlement of wording: .*{fault}"):
        enter(record, file, author="B. Hart")
    assert record.path.read_bytes() == before


def test_a_settlement_says_why(tmp_path):
    path = tmp_path / "d.json"
    data = json.loads(settling().model_dump_json())
    data["settlements"][0]["comment"] = "  "
    path.write_text(json.dumps(data))

    with pytest.raises(DecisionError, match=r"settlements\.0\.comment: expected a comment that"):
        read_decisions(path)
