"""A sentence is mended: what was said of the other facets stands, and only that one is asked."""

from dataclasses import replace
from pathlib import Path

import pytest
from review.decided import FIRST, SECOND, decision, file_of, release_of

from itembank.notation.prose import paragraph
from itembank.review.deciding import (
    Decision,
    DecisionError,
    Facet,
    Record,
    Settlement,
    accepted_only,
    applied,
    refuse_false_settlements,
    spoken,
    statuses,
    words_of,
)
from itembank.values.item import Item
from itembank.values.verdicts import (
    FACETS,
    OnFacet,
    Spoken,
    accepted_facets,
    carried,
    open_returns,
)

BEFORE = replace(FIRST, solution=(paragraph("First lift 7 then lift 20."),))
AFTER = replace(FIRST, solution=(paragraph("First lift 7, then lift 20."),))
UNTOUCHED = ("key", "distractors and feedback", "accessibility")


def signed(item: Item, returned: str = "", only: tuple[str, ...] = FACETS) -> Decision:
    """A decision as the packet saves it: with the hash of each facet that it asked about."""
    whole = decision(item, returned)
    return Decision.model_validate({
        **whole.model_dump(),
        "facets": {f: said.model_dump() for f, said in whole.facets.items() if f in only},
        "hashes": {f: item.facets[f] for f in only},
    })  # fmt: skip


def said(item: Item, person: str, date: str, *returned: str, facets=FACETS, over="") -> Spoken:
    return Spoken(
        item=item.fingerprint,
        person=person,
        date=date,
        facets=tuple(
            OnFacet(f, "returned" if f in returned else "accepted", "why", item.facets[f])
            for f in facets
        ),
        over=over,
        name=item.identifier,
    )


def record_of(tmp_path: Path, item: Item, *files) -> Record:
    record = Record(tmp_path / "p.decisions.json")
    for file in files:
        record.add(words_of(file, applied(file, [item])))
    return record


# ------------------------------------------------------------ what outlives a change


def test_a_comma_in_a_worked_solution_keeps_the_name_and_all_but_the_wording():
    assert BEFORE.identifier == AFTER.identifier
    assert BEFORE.fingerprint != AFTER.fingerprint

    (word,) = carried([said(BEFORE, "Moss", "2027-01-15")], [AFTER, SECOND])

    assert (word.item, word.person, word.date) == (AFTER.fingerprint, "Moss", "2027-01-15")
    assert tuple(f.facet for f in word.facets) == UNTOUCHED


def test_a_word_on_the_same_hash_counts_whole_and_one_on_another_question_not_at_all():
    word, old = said(AFTER, "Moss", "2027-01-15"), Spoken(
        item=AFTER.fingerprint, person="Reed", date="", facets=(OnFacet("key", "accepted"),)
    )  # fmt: skip

    assert carried([word, old], [AFTER]) == (word, old)
    assert carried([word], [SECOND]) == ()


def test_a_word_without_hashes_counts_for_its_own_hash_alone():
    word = said(BEFORE, "Moss", "2027-01-15")
    plain = replace(word, facets=tuple(replace(f, hash="") for f in word.facets))

    assert carried([plain], [AFTER]) == ()


def test_another_question_of_the_same_name_does_not_inherit_the_key():
    """Whatever a file says its name is: the hash of the key is over the key."""
    other = said(replace(FIRST, ask="how many"), "Moss", "2027-01-15")

    (word,) = carried([replace(other, name=FIRST.identifier)], [FIRST])

    assert "key" not in [f.facet for f in word.facets]


def test_a_return_of_what_did_not_change_stays_open_and_of_what_changed_is_asked_again():
    words = [said(BEFORE, "Reed", "2027-01-15", "key", "wording")]

    assert [r.facet for r in open_returns(carried(words, [AFTER]))] == ["key"]
    assert AFTER.fingerprint not in accepted_facets(carried(words[:0], [AFTER]))
    assert set(accepted_facets(carried(words, [AFTER]))[AFTER.fingerprint]) == {
        "distractors and feedback",
        "accessibility",
    }


def test_of_two_words_on_a_facet_the_newer_counts_whichever_text_it_was_said_on():
    back = said(AFTER, "Moss", "2027-01-20", "key", facets=("key",))
    words = [said(BEFORE, "Moss", "2027-01-15"), back]

    for order in (words, words[::-1]):
        assert [r.facet for r in open_returns(carried(order, [AFTER]))] == ["key"]


def test_a_settlement_outlives_the_change_with_its_return():
    words = [
        said(BEFORE, "Reed", "2027-01-15", "key"),
        said(BEFORE, "Lund", "2027-01-16", facets=("key",), over="Reed"),
    ]

    assert open_returns(carried(words, [AFTER])) == ()


# ------------------------------------------------------------ decide


def test_an_older_file_says_what_still_stands_and_what_changed():
    (outcome,) = applied(file_of(signed(BEFORE)), [AFTER])

    assert (outcome.outcome, outcome.void) == ("in part", ("wording",))
    assert outcome.difference == (
        "- worked solution: First lift 7 then lift 20.",
        "+ worked solution: First lift 7, then lift 20.",
    )


def test_a_file_of_an_older_packet_is_void_as_a_whole():
    (outcome,) = applied(file_of(decision(BEFORE)), [AFTER])

    assert (outcome.outcome, outcome.void) == ("changed", FACETS)


def test_a_decision_on_a_facet_that_did_not_change_stands():
    (outcome,) = applied(file_of(signed(BEFORE, only=("key",))), [AFTER])

    assert (outcome.outcome, outcome.difference) == ("stands", ())


def test_hashes_that_are_not_those_of_the_item_are_refused():
    forged = signed(AFTER).model_copy(update={"hashes": BEFORE.facets})

    with pytest.raises(DecisionError, match="expected the hash of wording of the item with this"):
        list(applied(file_of(forged), [AFTER]))


def test_lines_that_no_item_of_these_hashes_shows_are_refused():
    forged = signed(AFTER).model_copy(update={"fingerprint": "0" * 64, "seen": ["title: x"]})

    with pytest.raises(DecisionError, match="the file shows others"):
        list(applied(file_of(forged), [AFTER]))


def test_a_decision_holds_what_was_asked_and_an_acceptance_all_of_it():
    short = signed(AFTER).model_dump()
    del short["facets"]["accessibility"]
    with pytest.raises(ValueError, match="facets that bear out 'accepted'"):
        Decision.model_validate(short)

    unasked = signed(AFTER, only=("wording",)).model_dump()
    unasked["facets"]["key"] = Facet(verdict="accepted").model_dump()
    with pytest.raises(ValueError, match="expected a hash for each facet"):
        Decision.model_validate(unasked)

    assert signed(AFTER, only=("wording",)).verdict == "accepted"


def test_an_edition_in_another_language_has_a_name_of_its_own_that_is_read():
    german = replace(AFTER, language="de", edition="de")

    assert signed(german).item == f"{AFTER.identifier}-de"


# ------------------------------------------------------------ what may leave


def test_the_sum_of_the_record_decides(tmp_path):
    record = record_of(tmp_path, AFTER, file_of(signed(BEFORE)))

    assert statuses([AFTER], record.words()) == {AFTER.fingerprint: "revised"}
    with pytest.raises(DecisionError, match="not enough accepted items") as error:
        accepted_only(release_of(AFTER), record.words())
    assert str(error.value).splitlines()[1] == (
        f"{AFTER.identifier}: {AFTER.title}: wording: changed since it was accepted"
    )

    file = file_of(signed(AFTER, only=("wording",)), reviewer="C. Lund")
    record.add(words_of(file, applied(file, [AFTER])))
    assert statuses([AFTER], record.words()) == {AFTER.fingerprint: "final"}
    left, missing = accepted_only(release_of(AFTER), record.words())
    assert (left.groups[0].items, missing) == ((AFTER,), ())


def test_what_was_said_of_an_older_text_is_recorded_as_it_was_said(tmp_path):
    file = file_of(signed(BEFORE))
    record = record_of(tmp_path, AFTER, file, file)

    (word,) = record.words()
    assert word.decision == file.decisions[0]
    assert statuses([BEFORE], record.words()) == {BEFORE.fingerprint: "final"}


def test_a_return_on_an_unchanged_facet_holds_the_mended_item(tmp_path):
    back = signed(BEFORE).model_dump()
    back |= {"verdict": "returned"}
    back["facets"]["key"] = {"verdict": "returned", "comment": "88 is missing"}
    file = file_of(Decision.model_validate(back), reviewer="A. Reed")
    record = record_of(tmp_path, AFTER, file, file_of(signed(AFTER)))

    _left, (missing,) = accepted_only(release_of(AFTER, choose=0), record.words())

    assert missing.reasons == ("key returned by A. Reed on 2027-01-15: 88 is missing",)


def test_a_third_person_settles_a_return_that_was_said_of_an_older_text(tmp_path):
    back = signed(BEFORE).model_dump() | {"verdict": "returned"}
    back["facets"]["key"] = {"verdict": "returned", "comment": "88 is missing"}
    reed = file_of(Decision.model_validate(back), reviewer="A. Reed")
    record = record_of(tmp_path, AFTER, reed, file_of(signed(AFTER)))
    settlement = Settlement(
        item=BEFORE.identifier, fingerprint=BEFORE.fingerprint, facet="key", over="A. Reed",
        verdict="accepted", comment="It is not: 88 is 7 modulo 81.",
        hashes={"key": BEFORE.facets["key"]},
    )  # fmt: skip
    file = file_of(reviewer="C. Lund").model_copy(update={"settlements": [settlement]})

    for added in (1, 0):
        outcomes = list(applied(file, [AFTER]))
        known = [carried(spoken(record.words()), [AFTER])]
        refuse_false_settlements(file, "", outcomes, known)
        assert record.add(words_of(file, outcomes)) == added
    assert statuses([AFTER], record.words()) == {AFTER.fingerprint: "final"}
