"""What is said to a wrong answer, given alone, helps nobody to guess the right one.

A student who knows no mathematics has chosen a wrong option, reads what is said to it, and chooses
again: the option whose numbers are spoken of most, or least. Who types looks for the answer among
the numbers of the feedback.
"""

import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import islice

import pytest

from itembank.notation import plain
from itembank.pipeline import compose
from itembank.pipeline.selection import fits, in_its_range, wording
from itembank.pipeline.variants import Stream
from itembank.spec import Family
from itembank.values.item import IntegerEntry, Item, Option, Provenance, SelectOne
from tests.shipped import FAMILIES

VARIANTS = 12

NUMBER = re.compile(r"\d+")

RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")


def items(family: Family, form: str):
    for variant in islice(Stream(family, "feedback", fits(family)), VARIANTS):
        found = variant.candidate
        provenance = Provenance(
            family=family.id, version=family.version, seed=variant.seed, index=variant.index
        )
        said = in_its_range(wording(family, form, 1, provenance), variant)
        yield compose.compose(found.problem, found.solution, found.slips, said)


def numbers(text: str) -> set[str]:
    return set(NUMBER.findall(text.translate(RAISED)))


def spoken_of(option: Option, told: set[str]) -> Fraction:
    own = numbers(plain.inlines(option.label))
    return Fraction(len(own & told), len(own) or 1)


def second_try(
    item: Item, prefer: Callable[[Sequence[Fraction]], Fraction]
) -> tuple[Fraction, Fraction]:
    """What a second try scores on average over the wrong options, and what a blind one does."""
    assert isinstance(item.response, SelectOne)
    options = item.response.options
    said = {f.response: numbers(plain.blocks(f.text)) for f in item.feedback}
    scored = blind = Fraction()
    for wrong in options:
        if wrong.correct:
            continue
        told = said.get((wrong.identifier,), set())
        left = [o for o in options if o is not wrong]
        scores = [spoken_of(o, told) for o in left]
        best = [o for o, score in zip(left, scores, strict=True) if score == prefer(scores)]
        scored += Fraction(sum(o.correct for o in best), len(best))
        blind += Fraction(1, len(left))
    return scored / (len(options) - 1), blind / (len(options) - 1)


def of_family(name: str, prefer: Callable[[Sequence[Fraction]], Fraction]) -> Fraction:
    """How far a second try is above a blind one, over the variants of a family."""
    scores = [second_try(item, prefer) for item in items(FAMILIES[name], "select one")]
    return sum((scored - blind for scored, blind in scores), Fraction()) / len(scores)


def typed_from_it(name: str) -> Fraction:
    """The share of keys that stand in the feedback to a typed answer, shared among its numbers."""
    found = total = Fraction()
    for item in items(FAMILIES[name], "integer"):
        assert isinstance(item.response, IntegerEntry)
        key = str(item.response.value)
        stem = numbers(plain.blocks(item.stem))
        for feedback in item.feedback:
            new = numbers(plain.blocks(feedback.text)) - stem
            found += Fraction(key in new, len(new) or 1)
            total += 1
    return found / total if total else Fraction()


CHOSEN = (
    "claims-about-powers",
    "linear-reasons",
    "next-line",
    "quadratic-leading-coefficient",
    "reasons-of-lifts",
    "reasons-of-steps",
    "system-missing-line",
    "which-linear-same",
    "which-square-count",
    "zero-product-composite",
)

TYPED = (
    "count-by-indices",
    "inverse-by-euclid",
    "number-of-right-sides",
    "number-of-squares",
    "order-modulo-prime",
    "sum-of-linear-solutions",
    "symbol-with-common-factor",
)

MOST = Fraction(1, 10)


@pytest.mark.parametrize("name", CHOSEN)
def test_who_reads_the_feedback_alone_chooses_no_better(name: str):
    """Of linear reasons "divide 30 by 3" told which numbers the right one has: 15 points."""
    assert of_family(name, max) <= MOST
    assert of_family(name, min) <= MOST


@pytest.mark.parametrize("name", TYPED)
def test_no_feedback_to_a_typed_answer_names_the_key(name: str):
    assert typed_from_it(name) <= MOST
