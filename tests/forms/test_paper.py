"""Stems in the words of paper: sentences exchanged where they stand, everything else as it was."""

import re
from dataclasses import replace

import pytest

from itembank.forms.paper import RULE, SENTENCES, on_paper
from itembank.languages import Speaker, say
from itembank.languages.catalogue import languages, translated
from itembank.languages.speaking import slot_names
from itembank.notation import plain
from itembank.notation.prose import paragraph
from tests.shipped import FAMILIES, whole_library

SCREEN = {
    "en": re.compile(r"\b[Tt]yped?\b|\bentr(y|ies)\b|\d points? (if|for) .*otherwise"),
    "de": re.compile(r"\b[Gg]eben Sie [^.]* ein\b|\beingegeben\b|\bFeld(er)?\b"),
}
"""Words that only a screen says, and the rule of a question that counts as a whole."""


RULE_TOLD = re.compile(r"\d+ points? (?:if|for) [^.]*?otherwise 0\.")


@pytest.fixture(scope="module")
def items():
    return [item for group in whole_library().groups for item in group.items]


def test_no_question_on_paper_is_to_be_typed_nor_tells_the_rule_of_the_sheet(items):
    every = {part.id for name in FAMILIES for part in FAMILIES[name].each}
    assert {item.provenance.family for item in items} == every
    for item in items:
        told = plain.blocks(on_paper(item))

        assert not SCREEN["en"].search(" ".join(told.split())), told


def test_a_question_is_otherwise_the_same(items):
    for item in items:
        told = [plain.blocks(blocks) for blocks in (item.stem, on_paper(item))]
        numbers = [re.findall(r"\d+", RULE_TOLD.sub("", text)) for text in told]
        first, second = (
            [n for n in found if n not in ("0", "1", "3")] for found in numbers
        )  # what is typed for none, and "-3 is typed -3"

        assert second == first
        assert len(on_paper(item)) in (len(item.stem), len(item.stem) - 1)


def test_an_authors_words_stay(items):
    item = items[0]
    story = paragraph("Type any number, 1 point for a good one. If it is 7, type 7.")

    assert on_paper(replace(item, stem=(story, *item.stem)))[0] == story


def test_numbers_and_formulas_go_into_the_sentence_of_paper():
    speaker = Speaker()
    typed = say(
        "The solution is one residue class modulo {m}. Type any integer in it; $-3$ is typed -3.",
        m=117,
    )
    integer = next(
        i for g in whole_library().groups for i in g.items if i.response.form == "integer"
    )

    (found,) = on_paper(replace(integer, stem=speaker.blocks([typed])))

    assert plain.inlines(found.content) == (
        "The solution is one residue class modulo 117. Write any integer in it."
    )


@pytest.mark.parametrize("language", languages())
def test_each_sentence_of_paper_fills_its_slots_from_that_of_the_screen(language):
    for typed, written in SENTENCES:
        if written is not None:
            screen = translated(language, typed.template, typed.plural, 2)
            paper = translated(language, written.template)

            assert slot_names(paper) <= slot_names(screen), paper
            assert not SCREEN.get(language, SCREEN["en"]).search(paper), paper
    assert slot_names(RULE.template) == frozenset()
