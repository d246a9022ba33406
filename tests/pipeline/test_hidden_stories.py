"""A story in the place of its question: every number told, and a person's word before it leaves."""

from dataclasses import replace

import pytest

from exporters.formats import FORMATS, write_package
from itembank.audit import audit_package
from itembank.bank import open_bank
from itembank.notation import plain
from itembank.pipeline import making
from itembank.review import packet_of_release
from itembank.review.deciding import Decision, DecisionError, Word, accepted_only, with_stories
from itembank.terms import decisions, draw, export
from itembank.values.errors import ComposeError, ProofError
from itembank.values.verdicts import FACETS
from tests.review.decided import decision
from tests.review.unpacked import written_out
from tests.wishes import EGGS, VARIANTS, family_of, faults_tried, pool_of, released

HIDDEN = EGGS.replace("small: boxes", "formal: hidden\nsmall: boxes")


def words_on(release, facets=FACETS, returned=""):
    """A reviewer's words on every item of a release, as a packet saves them."""
    found = []
    for item in release.groups[0].items:
        whole = decision(item, returned).model_dump()
        said = Decision.model_validate({
            **whole,
            "facets": {f: one for f, one in whole["facets"].items() if f in facets},
            "hashes": {f: item.facets[f] for f in facets},
        })  # fmt: skip
        found.append(Word(reviewer="R. Moss", date="2027-01-10", term="2027-spring", decision=said))
    return found


def test_a_hidden_story_stands_in_the_place_of_the_question(tmp_path):
    item = next(iter(released(tmp_path, family_of(tmp_path, HIDDEN)).groups[0].items))

    assert "A farmer" in plain.blocks(item.stem)
    assert "≡" not in plain.blocks(item.stem)
    assert "In symbols" not in plain.blocks(item.stem)
    assert "≡" in plain.blocks(item.formal)


def test_ten_variants_leave_in_every_format_once_a_person_has_accepted_them(tmp_path):
    release = released(tmp_path, family_of(tmp_path, HIDDEN))

    accepted = with_stories(release, words_on(release))

    assert len(accepted.stories) == VARIANTS
    for name in FORMATS:
        path = tmp_path / f"{name}.zip"
        write_package(name, accepted, path)
        report = audit_package(path, stories=accepted.stories)
        assert report.clean, (name, report.as_text())
        assert report.count("agreed") == VARIANTS
        assert all(item.how.endswith("a person has accepted") for item in report.items)


def test_the_audit_alone_does_not_pass_a_hidden_story(tmp_path):
    release = released(tmp_path, family_of(tmp_path, HIDDEN))
    write_package("qti21", release, tmp_path / "p.zip")

    report = audit_package(tmp_path / "p.zip")

    assert report.count("unchecked") == VARIANTS
    with pytest.raises(ProofError, match="nothing was released"):
        making.written(release, tmp_path, ["qti21"])


def test_nothing_leaves_that_nobody_has_accepted(tmp_path):
    release = released(tmp_path, family_of(tmp_path, HIDDEN))
    others = tuple(f for f in FACETS if f != "wording")
    first = next(iter(release.groups[0].items))

    for words in ([], words_on(release)[1:], words_on(release, others)):
        with pytest.raises(DecisionError) as raised:
            with_stories(release, words)
        assert "eggs-in-boxes: expected each story in the place of its question accepted" in str(
            raised.value
        )
        assert first.identifier in str(raised.value)
        assert "\n" not in str(raised.value)


def test_a_story_that_changed_after_it_was_accepted_is_asked_for_again(tmp_path):
    words = words_on(released(tmp_path, family_of(tmp_path, HIDDEN)))
    changed = family_of(tmp_path, HIDDEN.replace("A farmer packs", "A baker packs"))

    with pytest.raises(DecisionError, match="nobody has accepted as it is"):
        with_stories(released(tmp_path, changed), words)


def test_what_reviewers_accepted_leaves_alone_where_only_that_may(tmp_path):
    release = released(tmp_path, family_of(tmp_path, HIDDEN))

    left, missing = accepted_only(release, words_on(release)[:4])

    assert len(missing) == VARIANTS - 4
    assert left.stories == {item.identifier for item in left.groups[0].items}
    made = making.written(left, tmp_path, ["qti21", "cc13"])
    assert all(report.count("agreed") == 4 for _package, report in made.packages)


@pytest.mark.parametrize("lost", ["{p}", "{a}", "{q}", "{b}"])
def test_a_story_that_does_not_tell_a_number_is_refused(tmp_path, lost):
    family = family_of(tmp_path, HIDDEN.replace(lost, "some", 1))

    with pytest.raises(ComposeError, match=r"does not tell \d+, a number of 'x = \d+ mod \d+; "):
        released(tmp_path, family)
    ((_form, fault),) = faults_tried(family)
    assert "the story does not tell" in fault


def test_a_story_with_a_wrong_number_is_refused(tmp_path):
    family = family_of(tmp_path, HIDDEN.replace("{p} and has", "{p + 1} and has", 1))

    with pytest.raises(ComposeError, match="does not tell"):
        released(tmp_path, family)


def test_a_family_of_hidden_stories_is_tried_without_fault(tmp_path):
    family = family_of(tmp_path, HIDDEN)

    assert faults_tried(family) == []
    shown = family_of(tmp_path, EGGS)
    assert family.fingerprint != shown.fingerprint


def test_the_packet_shows_the_question_beside_its_story(tmp_path):
    release = released(tmp_path, family_of(tmp_path, HIDDEN))
    group = replace(release.groups[0], items=tuple(release.groups[0].items)[:1])

    page = written_out(packet_of_release(replace(release, groups=(group,))))

    assert "The story stands in the place of this question. Does it put it?" in page


def test_a_bank_lets_a_story_leave_once_it_is_accepted(tmp_path):
    pool = pool_of(tmp_path, family_of(tmp_path, HIDDEN), variants=3)
    bank = open_bank(str(tmp_path / "bank.db"), create=True)
    draw.draw(bank, pool, "2027-spring")
    release = decisions.drawn_release(bank, pool.id, "2027-spring")

    with pytest.raises(DecisionError, match="found 3 of 3 whose wording nobody has accepted"):
        decisions.refuse_returned(bank, pool.id, "2027-spring")
    with pytest.raises(ProofError, match="nothing was released"):
        export.export(bank, pool.id, "2027-spring", tmp_path, ["qti21"])
    decisions.enter(bank, [word.spoken for word in words_on(release)])
    decisions.refuse_returned(bank, pool.id, "2027-spring")
    made = export.export(bank, pool.id, "2027-spring", tmp_path, ["qti21", "cc13"])

    assert [report.count("agreed") for _package, report in made.packages] == [3, 3]


def test_the_word_for_a_story_does_not_hide_what_a_stem_says(tmp_path):
    """A stem with a question of its own is read, whatever was accepted."""
    release = released(tmp_path, family_of(tmp_path, EGGS))
    wrong = [replace(item, stem=tuple(map(swapped, item.stem))) for item in release.groups[0].items]
    group = replace(release.groups[0], items=tuple(wrong))
    write_package("qti21", replace(release, groups=(group,)), tmp_path / "p.zip")

    report = audit_package(tmp_path / "p.zip", stories=frozenset(item.identifier for item in wrong))

    assert report.count("agreed") == 0


def swapped(block):
    """A display without its first congruence."""
    return replace(block, rows=block.rows[1:]) if hasattr(block, "rows") else block
