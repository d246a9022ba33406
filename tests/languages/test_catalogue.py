"""Catalogues: extracted and compiled by Babel; lists as the CLDR joins them."""

from decimal import Decimal

import pytest
from babel.lists import format_list

from itembank.languages import BREAK, Said, Speaker, counted, each, either, lead, say, spelled
from itembank.languages import __main__ as keeping
from itembank.languages.catalogue import decimal, joints
from itembank.languages.lettering import relettered
from itembank.notation import spoken
from itembank.notation.reading import formula
from tests.catalogues import put


@pytest.mark.parametrize("language", ["de", "es", "fr"])
@pytest.mark.parametrize(("style", "joined"), [("standard", each), ("or", either)])
def test_lists_are_joined_as_the_published_patterns_say(language, style, joined, room):
    put(language)
    for n in range(1, 5):
        items = list(range(2, 2 + n))

        text = Speaker(language).text(say("{l}", l=joined(items)))
        assert text == format_list(list(map(str, items)), style=style, locale=language)


def test_spanish_says_u_before_the_sound_of_o(room):
    """RAE, Diccionario panhispánico de dudas, "o": u before a word that begins with that sound."""
    put("es")

    def text(*items):
        return Speaker("es").text(say("{l}", l=either(items)))

    assert [text(7, n) for n in (8, 80, 801, 8000, 11, 11000)] == [
        f"7 u {n}" for n in (8, 80, 801, 8000, 11, 11000)
    ]
    assert [text(7, n) for n in (9, 18, 110, 1100, 18000)] == [
        f"7 o {n}" for n in (9, 18, 110, 1100, 18000)
    ]


def test_spanish_says_e_before_the_sound_of_i(room):
    """RAE, Diccionario panhispánico de dudas, "y": e before a word that begins with that sound."""
    put("es", {"y": "i griega"})
    lists = [each([formula("x"), formula(letter)]) for letter in "iyz"]

    assert [Speaker("es").text(say("{l}", l=items)) for items in lists] == [
        "x e i",
        "x e y",
        "x y z",
    ]
    assert spoken.math(formula("f(x, y)"), "es") == "f of x e i griega"


def test_english_has_no_comma_before_the_last():
    assert Speaker().text(say("{l}", l=each([7, 20, 88]))) == "7, 20 and 88"
    assert joints("en", "or") == (", ", " or ")


def test_a_plural_is_chosen_by_the_rules_of_the_language(room, monkeypatch):
    monkeypatch.setattr(keeping, "templates", lambda: {"{n} solution": "{n} solutions"})
    put(
        "pl",
        {
            "{n} solution": (
                "{n} rozwiązanie",
                "{n} rozwiązania",
                "{n} rozwiązań",
                "{n} rozwiązania",
            )
        },
    )

    def text(n):
        return Speaker("pl").text(counted("{n} solution", "{n} solutions", n))

    assert [text(n) for n in (1, 2, 5, 22)] == [
        "1 rozwiązanie",
        "2 rozwiązania",
        "5 rozwiązań",
        "22 rozwiązania",
    ]


def test_a_language_without_a_catalogue_is_not_passed_off_as_translated(room):
    with pytest.raises(LookupError, match="no catalogue for the language 'eo'"):
        Speaker("eo").text(say("Answer."))


def test_a_tag_is_spoken_as_the_nearest_language_that_has_a_catalogue(room):
    """RFC 4647, 3.4: subtags are taken away from the end until something is found."""
    put("de", {"Answer.": "Antwort."})
    put("de-AT", {"Answer.": "Lösung."})

    def text(language):
        return Speaker(language).text(say("Answer."))

    assert [text(tag) for tag in ("de", "de-CH", "de-CH-1996", "de-AT", "en-GB")] == [
        "Antwort.", "Antwort.", "Antwort.", "Lösung.", "Answer.",
    ]  # fmt: skip


def test_nothing_said_is_nothing_in_every_language(room):
    """GNU gettext keeps the head of a catalogue as the translation of ""."""
    put("de")
    told = [lead("Answer."), say("Answer."), relettered(BREAK, {"x": "y"}), say("Answer.")]

    assert Speaker("de").text(Said("")) == ""
    assert [block.lead for block in Speaker("de").blocks(told)] == ["Answer.", ""]


def test_extraction_is_repeatable_and_keeps_translations(room):
    put("de", {"seven": "sieben"})
    assert Speaker("de").text(say("{n}", n=spelled(7))) == "sieben"
    keeping.extract(())
    first = keeping.path("de", "po").read_bytes()
    keeping.extract(())

    assert keeping.path("de", "po").read_bytes() == first


def test_missing_names_what_is_not_translated_and_what_lost_a_slot(room, monkeypatch, capsys):
    said = ("Answer.", "Check.", "{a} is prime.", "{d} divides {n}.")
    monkeypatch.setattr(keeping, "templates", lambda: dict.fromkeys(said, ""))
    put(
        "de",
        {
            "Answer.": "Antwort.",
            "{d} divides {n}.": "{d} teilt {m}.",
            "{a} is prime.": "Das ist eine Primzahl.",
        },
    )

    assert keeping.main(["missing", "de"]) == 1
    assert capsys.readouterr().out.splitlines() == [
        "de: not translated: Check.",
        "de: lost slots a: Das ist eine Primzahl.",
        "de: unknown slots m: {d} teilt {m}.",
    ]


def test_shipped_catalogues_are_compiled_from_what_stands_beside_them():
    for language in keeping.languages():
        compiled = keeping.path(language, "mo").read_bytes()
        assert compiled == keeping.compiled(keeping.held(language)), language


@pytest.mark.parametrize(
    ("language", "written"),
    [("en", "5.0"), ("de", "5,0"), ("de-CH", "5.0"), ("fr", "5,0"), ("en-GB", "5.0")],
)
def test_a_decimal_fraction_has_the_mark_of_the_language_and_every_digit(language, written):
    """Source: Unicode CLDR, number symbols."""
    assert decimal(language, Decimal("5.0")) == written


@pytest.mark.parametrize("tag", ["de-x-team", "de-QQ", "de-DE-u-co-phonebk"])
def test_a_tag_that_cldr_does_not_know_is_joined_as_its_language(tag):
    assert joints(tag, "or") == (", ", " oder ")
