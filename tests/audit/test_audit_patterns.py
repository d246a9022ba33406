"""Patterns against Python's own matcher, and against patterns that would hold it up."""

import random
import re

import pytest

from itembank.audit.patterns import UnknownPattern, pattern


def drawn(rng, depth=0):
    """A pattern of the subset that Python reads alike."""
    kind = rng.randrange(9 if depth < 3 else 4)
    if kind < 3:
        return rng.choice("ab,12")
    if kind == 3:
        return rng.choice([r"\s", "[ab]", "[^a]", "[a-c]", ".", r"\d", "[12]", "[0-1]", "[^2]"])
    if kind < 6:
        other = f"|{drawn(rng, depth + 1)}" if rng.random() < 0.6 else ""
        return f"({drawn(rng, depth + 1)}{other})"
    if kind == 6:
        quantifier = rng.choice(["?", "*", "+", "{2}", "{1,3}", "{2,}", "{0,2}"])
        return f"({drawn(rng, depth + 1)}){quantifier}"
    return drawn(rng, depth + 1) + drawn(rng, depth + 1)


@pytest.mark.parametrize("seed", range(6))
def test_a_pattern_matches_what_another_matcher_matches(seed):
    rng = random.Random(seed)
    matched = 0
    for _ in range(400):
        source = drawn(rng)
        for _ in range(8):
            text = "".join(rng.choice("abc, 12") for _ in range(rng.randrange(6)))
            expected = re.fullmatch(source, text) is not None
            assert pattern(source).matches(text) == expected, (source, text)
            matched += expected
        sample = pattern(source).sample()
        assert re.fullmatch(source, sample), (source, sample)
    assert matched > 100


LIST = r"^\s*[{]?\s*3(\s*[,;]\s*|\s+)9(\s*[,;]\s*|\s+)14\s*[}]?\s*$"


@pytest.mark.parametrize("text", ["3, 9, 14", "3,9,14", "3 9 14", "{3; 9; 14}", "  3 ,9 , 14 \n"])
def test_the_pattern_of_a_list_takes_its_spellings(text):
    assert pattern(LIST).matches(text)


@pytest.mark.parametrize("text", ["", "3914", "9, 3, 14", "3, 9", "3, 9, 14,", "3, 9, 14, 20", "a"])
def test_the_pattern_of_a_list_takes_nothing_else(text):
    assert not pattern(LIST).matches(text)


@pytest.mark.parametrize(
    ("one", "other", "text"),
    [
        ("0*7", "0*8", "007"),
        ("(7|8)5", "(7|6)5", "85"),
        ("a{2}", "a{3}", "aa"),
        ("7{1,2}", "7{1,3}", "777"),
        ("[0-3]", "[0-7]", "5"),
        (r"[\]3]", r"[\]4]", "4"),
        ("(3|4){2}", "(3|5){2}", "44"),
    ],
)
def test_patterns_with_other_digits_are_other_patterns(one, other, text):
    # the automaton is shared by patterns that differ in digits that stand for themselves alone
    for source in (one, other, one):
        assert pattern(source).matches(text) == (re.fullmatch(source, text) is not None)
        assert re.fullmatch(source, pattern(source).sample())
    assert pattern(one).matches(text) != pattern(other).matches(text)


def test_a_pattern_that_holds_up_other_matchers_is_decided_at_once():
    assert not pattern("(a*)*(a|aa)+(a+)+b").matches("a" * 2_000)


@pytest.mark.parametrize(
    "source",
    ["a(", "a)", "[a", "a{2", "*a", "a**", "a{200}", "(?i)a", r"\p{L}", r"a\b", "a^b", "a$b",
     "[[a]]", "(" * 60 + "a" + ")" * 60, "a" * 5_000, "a{" + "9" * 5_000 + "}",
     "(" + "|".join("a" * 1_000) + ")*", "(((a{99}){99}){99})"],
)  # fmt: skip
def test_what_is_outside_the_subset_is_refused_and_never_guessed(source):
    with pytest.raises(UnknownPattern):
        pattern(source)
