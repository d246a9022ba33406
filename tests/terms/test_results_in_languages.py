"""Results of all languages of a pool count together, under the items of its first."""

from fractions import Fraction

import pytest

from itembank.cli.arguments import pool_named
from itembank.pipeline import making
from itembank.terms.reports import Answered
from itembank.terms.results import marks, names_of
from itembank.values.item import Guided, ListEntry


@pytest.fixture(scope="module")
def editions():
    """The questions of a shipped pool, in English and in German, each with the other."""
    pool = pool_named("lifting-practice", ())
    entries = tuple(e.model_copy(update={"variants": 3, "choose": 1}) for e in pool.entries)
    small = pool.model_copy(update={"entries": entries})
    english, german = (
        [item for group in release.groups for item in group.items]
        for release in making.editions(small.editions(["en", "de"]), "2027-spring")
    )
    return list(zip(english, german, strict=True))


def answered(student, item, response, score=0):
    points = Fraction(item.scoring.points)
    return Answered(student, item.identifier, Fraction(score), points, response, "here")


def test_an_item_is_the_same_in_every_language(editions):
    known = names_of({n: english for n, (english, _german) in enumerate(editions)})
    reports = [
        answered(student, item, None, item.scoring.points)
        for student, which in (("s1", 0), ("s2", 1))
        for item in (pair[which] for pair in editions)
    ]
    found, unknown = marks(reports, known)

    assert unknown == ()
    assert (
        [m.item for m in found["s1"]] == [m.item for m in found["s2"]] == list(range(len(editions)))
    )


def test_who_answered_in_two_languages_counts_once(editions):
    english, german = editions[0]
    found, _unknown = marks(
        [answered("s", german, None, 0), answered("s", english, None, 1)], names_of({0: english})
    )

    assert [m.share for m in found["s"]] == [0]


def test_an_item_that_is_none_of_the_release_is_unknown_in_any_language(editions):
    (english, _), (_, other) = editions[:2]

    assert marks([answered("s", other, None)], names_of({0: english})) == ({}, (other.identifier,))


def test_slips_are_known_by_the_words_of_any_language(editions):
    """What each slip leads to, typed in German, shows the slip that it shows in English."""
    worded = 0
    for english, german in editions:
        if not isinstance(english.response, ListEntry | Guided):
            continue
        for ours, theirs in zip(english.feedback, german.feedback, strict=True):
            given = tuple(map(str, theirs.response)) or (german.response.none_word,)
            said = tuple(map(str, ours.response)) or (english.response.none_word,)
            worded += given != said
            (one,) = marks([answered("s", german, given)], names_of({0: english}))[0]["s"]
            (same,) = marks([answered("s", english, said)], names_of({0: english}))[0]["s"]
            assert one == same
            assert one.slips == ours.slips
    assert worded


def test_options_of_a_stage_are_known_by_their_words_in_any_language(editions):
    english, german = next(
        pair for pair in editions
        if isinstance(pair[0].response, Guided)
        and not all(isinstance(s.response, ListEntry) for s in pair[0].response.stages)
    )  # fmt: skip
    (n, stage), = (
        (n, s) for n, s in enumerate(german.response.stages)
        if not isinstance(s.response, ListEntry)
    )  # fmt: skip
    for option in stage.response.options:
        given = tuple(
            "".join(map(str, option.label)) if i == n else "1"
            for i in range(len(german.response.stages))
        )
        (one,) = marks([answered("s", german, given)], names_of({0: english}))[0]["s"]
        assert option.identifier in one.answer
