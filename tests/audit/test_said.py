"""What a pattern finds does not depend on the words that are looked for before it."""

import random
import re

import pytest

from itembank.audit.phrases import known_languages, read
from itembank.audit.said import Said, words_of


def drawn(rng, depth=0):
    """A pattern of letters, digits, kinds, classes, counts, groups, alternatives and looks."""
    kind = rng.randrange(12 if depth < 3 else 5)
    if kind < 4:
        return rng.choice("ab1 ")
    if kind == 4:
        return rng.choice([r"\b", r"\d", r"\(", r"\.", "[ab|(]", "[^a\\]]", "[]b]", "."])
    if kind < 7:
        opening = rng.choice(["(", "(?:", "(?P<n>" if depth == 0 else "(", "(?=", "(?<!a)("])
        return f"{opening}{drawn(rng, depth + 1)}|{drawn(rng, depth + 1)})"
    if kind == 7:
        return f"{rng.choice('ab1')}{rng.choice(['?', '*', '+', '+?', '{0,2}', '{2}', '??'])}"
    if kind == 8 and depth == 0:
        return f"{drawn(rng, 1)}|{drawn(rng, 1)}"
    return drawn(rng, depth + 1) + drawn(rng, depth + 1)


@pytest.mark.parametrize("seed", range(3))
def test_what_is_found_is_what_the_pattern_alone_finds(seed):
    rng = random.Random(seed)
    found = spared = 0
    for _ in range(1_500):
        source = drawn(rng)
        try:
            alone = re.compile(source)
        except re.error:
            continue
        said = Said(source)
        for _ in range(6):
            text = "".join(rng.choice("ab1 (.|") for _ in range(rng.randrange(8)))
            spans = [match.span() for match in alone.finditer(text)]
            assert [match.span() for match in said.finditer(text)] == spans, (source, text)
            assert bool(said.search(text)) == bool(spans), (source, text)
            found += bool(spans)
            spared += said.words not in text
    assert found > 500
    assert spared > 500


@pytest.mark.parametrize(
    ("source", "words"),
    [
        ("find (all|the) solutions", " solutions"),
        ("solutions? modulo", "solution"),
        ("all|the solutions", ""),
        (r"0 \(mod [0-9]+\)", "0 (mod "),
        ("points{0,2} each", "point"),
        ("[a-z ]*solve it", "solve it"),
        ("(a(b|c) d)e", "e"),
        (r"\bword\b", "word"),
    ],
)
def test_words_that_a_match_may_lack_are_not_among_those_it_needs(source, words):
    assert words_of(source) == words


def test_words_in_any_case_are_not_looked_for_in_one():
    assert Said("right", re.IGNORECASE).search("RIGHT")
    assert Said("(?i)right").search("RIGHT")


@pytest.mark.parametrize("language", known_languages())
def test_every_sentence_of_a_language_is_spared_where_its_words_are_not(language):
    assert all(said.words for said in read(language).told)
