"""A sentence is mended: what was said of the other facets stands, and only that one is asked."""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from itembank.cli import main
from itembank.notation.prose import paragraph
from itembank.review import packet_of_release
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
from tests.review.decided import FIRST, SECOND, decision, file_of, release_of
from tests.review.unpacked import written_out

ROOT = Path(__file__).parents[2]

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


def key_returned(item: Item) -> Decision:
    back = signed(item).model_dump() | {"verdict": "returned"}
    back["facets"]["key"] = {"verdict": "returned", "comment": "88 is missing"}
    return Decision.model_validate(back)


def test_who_returned_the_mended_item_takes_it_back_with_an_older_file_of_the_same_day(tmp_path):
    accept = file_of(signed(BEFORE))
    record = record_of(tmp_path, AFTER, accept, file_of(key_returned(AFTER)), accept)

    assert [w.decision.verdict for w in record.words()] == ["accepted", "returned", "accepted"]
    assert open_returns(carried(spoken(record.words()), [AFTER])) == ()


def test_a_return_on_an_unchanged_facet_holds_the_mended_item(tmp_path):
    file = file_of(key_returned(BEFORE), reviewer="A. Reed")
    record = record_of(tmp_path, AFTER, file, file_of(signed(AFTER)))

    _left, (missing,) = accepted_only(release_of(AFTER, choose=0), record.words())

    assert missing.reasons == ("key returned by A. Reed on 2027-01-15: 88 is missing",)


def test_a_third_person_settles_a_return_that_was_said_of_an_older_text(tmp_path):
    reed = file_of(key_returned(BEFORE), reviewer="A. Reed")
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


# ------------------------------------------------------------ the packet


def held(page: str) -> dict:
    return json.loads(re.search(r'id="items">(.*?)</script>', page, re.S)[1])


def text_of(page: str) -> str:
    return " ".join(re.sub(r"<[^>]*>", "", page).split())


def test_the_next_packet_asks_for_the_wording_alone_and_shows_the_comma(tmp_path):
    record = record_of(tmp_path, AFTER, file_of(signed(BEFORE)))

    page = written_out(packet_of_release(release_of(AFTER, SECOND), spoken(record.words())))

    item, other = held(page)["items"]
    assert item["asked"] == ["wording"]
    assert item["hashes"] == AFTER.facets
    assert item["accepted"] == {f: {"by": "R. Moss", "date": "2027-01-15"} for f in UNTOUCHED}
    assert not {"asked", "accepted"} & other.keys()
    assert "Asked again: Wording." in page
    assert "<mark>7,</mark>" in page.replace("<mark> ", "<mark>")
    assert "was worked solution: First lift 7 then lift 20." in text_of(page)
    assert "is now worked solution: First lift 7, then lift 20." in text_of(page)
    assert "Key and scoring: accepted by R. Moss, 2027-01-15" in page


def test_what_is_accepted_as_it_is_is_not_asked_again(tmp_path):
    record = record_of(tmp_path, AFTER, file_of(signed(AFTER)))

    page = written_out(packet_of_release(release_of(AFTER), spoken(record.words())))

    assert held(page)["items"][0]["asked"] == []
    assert "Accepted as it is: nothing is asked." in page
    assert "What has changed" not in page


def test_what_was_accepted_on_another_record_alone_is_asked():
    words = [said(AFTER, "R. Moss", "2027-01-15", "key")]

    page = packet_of_release(release_of(AFTER), (), words).decode()

    (item,) = held(page)["items"]
    assert "asked" not in item
    assert [r["facet"] for r in item["returns"]] == ["key"]


# ------------------------------------------------------------ by the command line

POOL = """
id: review-me
title: Homework 2 - linear congruences
course: NT 210 Elementary Number Theory, Alder Ford College
seed: alder-ford-review
items:
  - {family: linear-as-we-ask-it, variants: 2}
"""
TERM = ("--term", "2027-spring")


def run(*args: object):
    return CliRunner().invoke(main, [str(a) for a in args])


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A pool with a family of its own beside it."""
    pool = tmp_path / "review-me.yaml"
    pool.write_text(POOL, encoding="utf-8")
    titled(pool, "Once solved, check it")
    return pool


def titled(pool: Path, title: str) -> None:
    text = (ROOT / "specs/families/linear/linear-one-solution.yaml").read_text(encoding="utf-8")
    named = text.replace("id: linear-one-solution", "id: linear-as-we-ask-it")
    family = pool.with_name("specs") / "linear-as-we-ask-it.yaml"
    family.parent.mkdir(exist_ok=True)
    shown = re.sub("(?m)^title: .*", rf"\g<0>\nshown as: {title}", named)
    family.write_text(shown, encoding="utf-8")


def packet(pool: Path, *more: object) -> dict:
    page = pool.with_name("review.html")
    result = run("packet", pool, *TERM, "--specs", pool.with_name("specs"), "--out", page, *more)
    assert result.exit_code == 0, result.output
    return held(page.read_text(encoding="utf-8"))


def accepting(pool: Path, page: dict, reviewer: str) -> Path:
    """A file that accepts all that the packet asks."""
    path = pool.with_name(f"{reviewer}.json")
    path.write_text(
        json.dumps({
            **{name: page[name] for name in ("format", "pool", "term", "packet")},
            "shown": [item["fingerprint"] for item in page["items"]],
            "reviewer": reviewer, "date": "2027-01-15",
            "decisions": [
                {
                    **{k: item[k] for k in ("item", "fingerprint", "family", "index", "seen")},
                    "verdict": "accepted", "blind": "asked", "given": [], "agreed": None,
                    "facets": {f: {"verdict": "accepted"} for f in item.get("asked", FACETS)},
                    "hashes": {f: item["hashes"][f] for f in item.get("asked", FACETS)},
                }
                for item in page["items"]
            ],
        })
    )  # fmt: skip
    return path


@pytest.mark.parametrize("with_bank", [False, True])
def test_a_mended_title_is_reviewed_alone_and_then_the_pool_leaves(place, tmp_path, with_bank):
    bank = ("--bank", tmp_path / "nt210.db") if with_bank else ()
    specs = ("--specs", tmp_path / "specs")
    make = ("make", place, *TERM, *specs, "--out", tmp_path, "--to", "qti21", *bank)
    older = accepting(place, packet(place), "R. Moss")
    titled(place, "Once solved check it")
    if with_bank:
        assert run("draw", place, *TERM, *specs, *bank).exit_code == 0

    result = run("decide", older, "--pool", place, *specs, *bank)
    assert result.exit_code == 1
    assert "wording changed since it was accepted; review that again, the rest" in result.output
    assert re.search(
        r"  - title: Once solved, check it \(.... \d\)\n  \+ title: Once solved check it",
        result.output,
    )
    assert "0 accepted, 0 returned, 2 in part, 0 void; 2 new on record\n" in result.output

    result = run(*make, "--require-accepted")
    assert result.exit_code == 1
    why = "not accepted" if with_bank else "changed since it was accepted"
    assert result.output.count(f": wording: {why}\n") == 2
    if with_bank:
        told = run("status", place, *specs, *bank).output
        assert "0 approved" in told

    page = packet(place, *bank)
    assert [item["asked"] for item in page["items"]] == [["wording"], ["wording"]]
    newer = accepting(place, page, "C. Lund")
    for added in (2, 0):
        result = run("decide", newer, "--pool", place, *specs, *bank)
        assert result.exit_code == 0, result.output
        assert f"2 accepted, 0 returned, 0 void; {added} new on record\n" in result.output
    result = run(*make, "--require-accepted")
    assert "qti21.zip: 2 items, all agreed" in result.output
    assert [item["asked"] for item in packet(place, *bank)["items"]] == [[], []]


def test_some_left_out_are_named_with_the_facet_that_they_lack(place, tmp_path):
    specs = ("--specs", tmp_path / "specs")
    older = accepting(place, packet(place), "R. Moss")
    titled(place, "Once solved check it")
    run("decide", older, "--pool", place, *specs)
    page = packet(place)
    page["items"][1:] = []
    newer = json.loads(accepting(place, page, "C. Lund").read_text())
    newer["shown"] = []
    path = tmp_path / "newer.json"
    path.write_text(json.dumps(newer))
    assert run("decide", path, "--pool", place, *specs).exit_code == 0

    result = run("make", place, *TERM, *specs, "--out", tmp_path, "--to", "qti21",
                 "--require-accepted")  # fmt: skip

    assert result.exit_code == 0, result.output
    assert "qti21.zip: 1 items, all agreed" in result.output
    assert "wording: changed since it was accepted; left out" in result.output


def test_a_return_from_before_the_bank_and_the_mend_holds_in_the_bank(place, tmp_path):
    specs, bank = ("--specs", tmp_path / "specs"), ("--bank", tmp_path / "nt210.db")
    file = json.loads(accepting(place, packet(place), "A. Reed").read_text())
    file["decisions"][0] |= {"verdict": "returned"}
    file["decisions"][0]["facets"]["key"] = {"verdict": "returned", "comment": "7 is missing"}
    path = tmp_path / "back.json"
    path.write_text(json.dumps(file))
    assert run("decide", path, "--pool", place, *specs).exit_code == 0
    titled(place, "Once solved check it")
    assert run("draw", place, *TERM, *specs, *bank).exit_code == 0

    page = packet(place, *bank)
    assert [len(item.get("returns", ())) for item in page["items"]] == [1, 0]
    assert not any("asked" in item for item in page["items"])
    newer = accepting(place, page, "C. Lund")
    result = run("decide", newer, "--pool", place, *specs, *bank)
    assert "still open: key returned by A. Reed on 2027-01-15: 7 is missing" in result.output

    result = run("make", place, *TERM, *specs, *bank, "--out", tmp_path, "--to", "qti21",
                 "--require-accepted")  # fmt: skip
    assert "qti21.zip: 1 items, all agreed" in result.output
    assert "key returned by A. Reed on 2027-01-15: 7 is missing; left out" in result.output
