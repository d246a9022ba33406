"""What the audit knows of languages, and what it makes of one that it does not know."""

import re
import tomllib

import pytest

from itembank.audit.item import item_report
from itembank.audit.phrases import LANGUAGES, known_languages, phrases_of
from itembank.audit.printed import by_a_person
from itembank.audit.prose import Formula
from itembank.audit.question import asked
from itembank.audit.seen import SeenItem
from itembank.audit.unsupported import Unsupported

ENGLISH = tomllib.loads((LANGUAGES / "en.toml").read_text(encoding="utf-8"))


def shape(value: object) -> object:
    """The keys of a table and of those in it."""
    return {k: shape(v) for k, v in value.items()} if isinstance(value, dict) else None


@pytest.mark.parametrize("language", known_languages())
def test_every_language_says_whatever_english_says(language):
    data = tomllib.loads((LANGUAGES / f"{language}.toml").read_text(encoding="utf-8"))

    for table in ("stem", "directives", "answer", "steps", "lifts", "unions", "writing"):
        assert shape(data[table]) == shape(ENGLISH[table]), table
    assert set(data["asks"]) == set(ENGLISH["asks"])
    assert set(data["stages"]["how_many"].values()) == {"none", "some", "all"}
    assert set(data["spoken"].values()) == set(ENGLISH["spoken"].values())


@pytest.mark.parametrize("language", known_languages())
def test_every_language_knows_the_statements_that_english_knows(language):
    """Numbers stand in another order where the language says them so."""

    def known(name):
        return {(s.ask, re.sub(r"\d(?=\})", "", s.statement)) for s in phrases_of(name).sentences}

    assert known(language) == known("en")


@pytest.mark.parametrize("language", known_languages())
def test_a_sentence_has_a_place_for_each_number_of_its_statement(language):
    for sentence in phrases_of(language).sentences:
        places = {int(n) for n in re.findall(r"\{(\d)\}", sentence.statement)}
        assert sentence.pattern.compiled.groups == max(places, default=-1) + 1, sentence


def test_a_region_is_read_as_its_language():
    assert phrases_of("en-GB") is phrases_of("en")


def test_a_language_that_is_not_known_is_unchecked():
    with pytest.raises(Unsupported, match="the language 'tlh', whose phrases are not known"):
        phrases_of("tlh")
    item = SeenItem(
        identifier="item-1", language="tlh", title="", stem=(("wej",),), form="text", options=(),
        most=1, declared=("3",), points={}, full=None, statement="", grade=by_a_person, probes=(),
        exact=False, feedback={},
    )  # fmt: skip

    report = item_report(item)

    assert (report.status, report.how) == (
        "unchecked",
        "the language 'tlh', whose phrases are not known",
    )


def test_the_same_words_in_another_language_ask_nothing():
    formula = Formula("x ≡ 3 (mod 7)")
    stem = (("Finde alle Lösungen von",), (formula,), ("1 point if right, otherwise 0.",))

    with pytest.raises(Unsupported, match="asks nothing that is known"):
        asked(stem, phrases_of("en"))
