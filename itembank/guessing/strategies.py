"""The strategies by name, each for some response forms: the answers that it holds alike likely.

No strategy draws lots: where several answers are left, each is given the same weight, and what
the strategy scores is exact.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations, pairwise, product
from math import comb
from typing import Any, TypeVar

from itembank.guessing import looks
from itembank.guessing.looks import Preference
from itembank.guessing.question import EXAMPLE, Answer, Past, Question, first_words
from itembank.languages import Said, say

Tied = Sequence[Answer]
"""Answers that a strategy holds alike; none where it gives up."""

_T = TypeVar("_T", bound=Any)

Guess = Callable[[Question, Past], Tied]

ENTRIES = ("integer", "list", "set")


@dataclass(frozen=True)
class Strategy:
    """A habit of guessing, as a reviewer reads it, in the forms where it can be used."""

    name: Said
    forms: tuple[str, ...]
    guess: Guess


# ------------------------------------------------------------ select one

PREFERENCES: tuple[tuple[Said, Preference], ...] = (
    (say("the first option"), looks.first),
    (say("the last option"), looks.last),
    (say("an option in the middle"), looks.middle),
    (say("the longest option"), looks.longest),
    (say("the shortest option"), looks.shortest),
    (say("the commonest size"), looks.commonest_size),
    (say("anything but no solution"), looks.anything_but_none),
    (say("the elements that most options share"), looks.most_shared),
    (say("the most elements shared with other options"), looks.most_shared_in_all),
    (say("the option to which most others are related"), looks.most_related),
    (say("the largest"), looks.largest),
    (say("the smallest"), looks.smallest),
    (say("the nearest to the mean"), looks.nearest_the_mean),
    (say("the odd one out: even or odd"), looks.odd_one_by_parity),
    (say("the odd one out: the sign"), looks.odd_one_by_sign),
    (say("the odd one out: divisible or not"), looks.odd_one_by_divisibility),
    (say("closed under the symmetry of the stem"), looks.closed),
    (say("closed under the symmetry of the stem, and not empty"), looks.closed_and_some),
    (say("evenly spaced around the modulus"), looks.evenly_spaced),
    (say("printed in the stem"), looks.printed_in_the_stem),
    (say("the formula whose numbers most formulas share"), looks.numbers_most_shared),
    (say("the formula with the numbers of the stem"), looks.numbers_of_the_stem),
    (say("the formula with the largest numbers"), looks.largest_numbers),
    (say("the formula with the smallest numbers"), looks.smallest_numbers),
    (say("the modulus that most formulas have"), looks.shared_modulus),
    (say("the modulus that the fewest formulas have"), looks.odd_modulus_out),
    (say("the largest modulus"), looks.largest_modulus),
    (say("the smallest modulus"), looks.smallest_modulus),
    (say("the place that was right most often"), looks.commonest_place),
    (say("the answer that was right most often"), looks.commonest_answer),
    (say("as many elements as were right most often"), looks.usual_size),
    (
        say("closed, then the elements that most options share"),
        looks.both(looks.closed_and_some, looks.most_shared),
    ),
    (
        say("closed, then the most elements shared with other options"),
        looks.both(looks.closed_and_some, looks.most_shared_in_all),
    ),
    (
        say("closed, then as many elements as were right most often"),
        looks.both(looks.closed_and_some, looks.usual_size),
    ),
)


def _chosen_by(preference: Preference) -> Guess:
    """The options that a preference puts first."""

    def guess(question: Question, past: Past) -> Tied:
        return [(question.options[n].name,) for n in _greatest(question, past, preference)]

    return guess


def _greatest(question: Question, past: Past, preference: Preference) -> list[int]:
    """The places of the options with the greatest score; all, where nothing tells them apart."""
    scores = preference(question, past)
    if not scores:
        return list(range(len(question.options)))
    most = max(scores)
    return [n for n, score in enumerate(scores) if score == most]


# ------------------------------------------------------------ select all

_MOST_TIED = 5_000
"""More answers than these are not told apart by anybody who guesses."""


def residues(question: Question) -> list[tuple[str, int]]:
    """Name and number of each option that is one residue."""
    return [
        (option.name, option.elements[0])
        for option in question.options
        if len(option.elements) == 1 and isinstance(option.elements[0], int)
    ]


def orbits(question: Question) -> list[tuple[str, ...]]:
    """The options in groups that are solutions together, if they are complete.

    By the symmetry that is read off the stem; without one, each for itself.
    """
    shown = {x: name for name, x in residues(question)}
    found: list[tuple[str, ...]] = []
    used: set[int] = set()
    for x in shown:
        if x in used:
            continue
        orbit = (question.system.orbit(x) if question.system else None) or frozenset((x,))
        if orbit <= shown.keys():
            found.append(tuple(name for y, name in shown.items() if y in orbit))
            used |= orbit
    return found


def _has_symmetry(question: Question) -> bool:
    shown = residues(question)
    return bool(shown and question.system and question.system.orbit(shown[0][1]))


def ticked(question: Question, names: Iterable[str]) -> Tied:
    """One answer, in the order of the options; none if it is empty."""
    chosen = set(names)
    return [tuple(o.name for o in question.options if o.name in chosen)] if chosen else []


def _every_number(question: Question, _past: Past) -> Tied:
    return ticked(question, (name for name, _x in residues(question)))


def _none_alone(question: Question, _past: Past) -> Tied:
    if not question.offers_none:
        return []
    return ticked(question, (o.name for o in question.options if not o.elements))


def _all_even(question: Question, _past: Past) -> Tied:
    return ticked(question, (name for name, x in residues(question) if x % 2 == 0))


def _all_odd(question: Question, _past: Past) -> Tied:
    return ticked(question, (name for name, x in residues(question) if x % 2))


def _printed(question: Question, _past: Past) -> Tied:
    return ticked(question, (name for name, x in residues(question) if x in question.numbers))


def _with_partner(question: Question, _past: Past) -> Tied:
    """All that come with the partner that the stem demands."""
    if not _has_symmetry(question):
        return []
    return ticked(question, (name for group in orbits(question) for name in group))


def _usual_number_of_partners(question: Question, past: Past) -> Tied:
    """Of what comes with its partner, as many as were right most often."""
    if not _has_symmetry(question) or not past.sizes:
        return []
    return _of_size(question, orbits(question), _most_common(past.sizes))


def _usual_number(question: Question, past: Past) -> Tied:
    """Any options, as many as were right most often."""
    if not past.sizes:
        return []
    return _of_size(
        question, [(name,) for name, _x in residues(question)], _most_common(past.sizes)
    )


def _of_size(question: Question, groups: list[tuple[str, ...]], sizes: Sequence[int]) -> Tied:
    """The unions of groups that have one of these sizes."""
    return [
        answer
        for size in sizes
        for n in range(1, len(groups) + 1)
        if comb(len(groups), n) <= _MOST_TIED
        for some in combinations(groups, n)
        if sum(map(len, some)) == size
        for answer in ticked(question, (name for group in some for name in group))
    ]


def _complete_progressions(question: Question, _past: Past) -> Tied:
    """A class modulo a divisor of the modulus of which every member is offered."""
    if question.system is None:
        return []
    shown, m = {x: name for name, x in residues(question)}, question.system.modulus
    found = {
        tuple(range(x % (m // n), m, m // n))
        for n in range(2, len(shown) + 1)
        if m % n == 0
        for x in shown
        if all(y in shown for y in range(x % (m // n), m, m // n))
    }
    return [answer for xs in sorted(found) for answer in ticked(question, (shown[x] for x in xs))]


def _every_progression(question: Question, past: Past) -> Tied:
    """All that stands in a complete progression."""
    found = _complete_progressions(question, past)
    return ticked(question, (str(name) for answer in found for name in answer))


def _places_before(question: Question, past: Past) -> Tied:
    """The boxes that were right most often, by their places."""
    return [
        tuple(question.options[n].name for n in places)
        for places in _most_common(past.arrangements)
        if max(places, default=0) < len(question.options)
    ]


def _most_common(counted: Counter[_T]) -> list[_T]:
    """All that were met most often."""
    most = max(counted.values(), default=0)
    return sorted(thing for thing, n in counted.items() if n == most)


# ------------------------------------------------------------ true or false

TRUE, FALSE = ("true",), ("false",)


def _commoner_word(_question: Question, past: Past) -> Tied:
    return _most_common(past.keys) or [TRUE, FALSE]


def _true_if_small(question: Question, past: Past) -> Tied:
    """True where the largest number printed is below the middle of those before."""
    if not past.measures or not question.numbers:
        return [TRUE, FALSE]
    ordered = sorted(past.measures)
    return [TRUE if size_of(question) <= ordered[len(ordered) // 2] else FALSE]


def _true_if_large(question: Question, past: Past) -> Tied:
    """The contrary."""
    found = _true_if_small(question, past)
    return [FALSE if answer == TRUE else TRUE for answer in found]


def size_of(question: Question) -> int:
    return max(question.numbers, default=0)


def _true_if_odd(question: Question, _past: Past) -> Tied:
    """True where the last number printed, most often the modulus, is odd."""
    if not question.numbers:
        return [TRUE, FALSE]
    return [TRUE if question.numbers[-1] % 2 else FALSE]


def _true_if_even(question: Question, past: Past) -> Tied:
    return [FALSE if answer == TRUE else TRUE for answer in _true_if_odd(question, past)]


# ------------------------------------------------------------ entries


def _commonest_key(_question: Question, past: Past) -> Tied:
    return _most_common(past.keys)


def _number_printed(question: Question, _past: Past) -> Tied:
    """Any one number of the stem."""
    m = question.modulus
    return sorted({(n % m if m else n,) for n in question.numbers})


def _any_of_the_range(question: Question, _past: Past) -> Tied:
    """Any one number from the first that may be typed to the last."""
    if question.ask != EXAMPLE or len(question.numbers) < 2:
        return []
    low, high = question.numbers[-2:]
    return [(n,) for n in range(low, min(high, low + _MOST_TIED) + 1)]


def _ends_of_the_range(question: Question, _past: Past) -> Tied:
    return [(n,) for n in question.numbers[-2:]] if question.ask == EXAMPLE else []


# ------------------------------------------------------------ order, match


def _as_shown(question: Question, _past: Past) -> Tied:
    """All as they stand; where some lines do not belong, all but one of them."""
    places = range(len(question.sources or question.options))
    if question.some:
        return [_arranged(question, [n for n in places if n != out]) for out in places]
    return [_arranged(question, places)]


def _as_before(question: Question, past: Past) -> Tied:
    """The arrangement that was right most often, by the places of what is shown."""
    return [
        _arranged(question, places)
        for places in _most_common(past.arrangements)
        if max(places, default=0) < len(question.options)
        and (not question.sources or len(places) == len(question.sources))
    ]


def _as_worded_before(question: Question, past: Past) -> Tied:
    """The lines in the order in which such words were right most often.

    Of lines that begin alike, where some do not belong, any may be the right one.
    """
    if question.form != "order":
        return []
    return [
        order
        for words in _most_common(past.worded)
        for order in _in_words(question, words)
        if question.some or len(order) == len(question.options)
    ]


def _in_words(question: Question, words: Sequence[str]) -> Iterator[Answer]:
    """The orders of lines that begin so; none where a line begins otherwise."""
    lines: dict[str, list[str]] = {word: [] for word in words}
    for option in question.options:
        word = first_words(option.text)
        if word not in lines:
            return
        lines[word].append(option.name)
    yield from product(*lines.values())


def _as_worded_and_agreeing(question: Question, past: Past) -> Tied:
    """Of these orders the one whose lines share most numbers, each with the line before it."""
    if not question.some:
        return []
    found = _as_worded_before(question, past)
    shown = {o.name: set(_NUMBER.findall(o.text)) for o in question.options}

    def shared(order: Answer) -> int:
        return sum(len(shown[str(a)] & shown[str(b)]) for a, b in pairwise(order))

    most = max(map(shared, found), default=0)
    return [order for order in found if shared(order) == most]


_NUMBER = re.compile(r"\d+")


def _arranged(question: Question, places: Sequence[int]) -> Answer:
    """The options at these places; matched, each with its source."""
    names = [question.options[n].name for n in places if n < len(question.options)]
    if not question.sources:
        return tuple(names)
    return tuple(f"{s} {t}" for s, t in zip(question.sources, names, strict=False))


def _all_alike(question: Question, _past: Past) -> Tied:
    """Every source with one and the same target."""
    if not question.sources:
        return []
    return [tuple(f"{s} {t.name}" for s in question.sources) for t in question.options]


# ------------------------------------------------------------ the table

ONE, ALL, WORD, ARRANGED = (
    ("select one",),
    ("select all",),
    ("solvable or not",),
    ("order", "match"),
)

STRATEGIES: tuple[Strategy, ...] = (
    *(Strategy(name, ONE, _chosen_by(preference)) for name, preference in PREFERENCES),
    Strategy(say("every number ticked"), ALL, _every_number),
    Strategy(say("no solution ticked"), ALL, _none_alone),
    Strategy(say("all even numbers ticked"), ALL, _all_even),
    Strategy(say("all odd numbers ticked"), ALL, _all_odd),
    Strategy(say("what is printed in the stem"), ALL, _printed),
    Strategy(say("all that come with their partner"), ALL, _with_partner),
    Strategy(say("partners, as many as were right most often"), ALL, _usual_number_of_partners),
    Strategy(say("any, as many as were right most often"), ALL, _usual_number),
    Strategy(say("one complete progression"), ALL, _complete_progressions),
    Strategy(say("all that stand in a complete progression"), ALL, _every_progression),
    Strategy(say("the boxes that were right most often"), ALL, _places_before),
    Strategy(say("true"), WORD, lambda _question, _past: [TRUE]),
    Strategy(say("false"), WORD, lambda _question, _past: [FALSE]),
    Strategy(say("the commoner word so far"), WORD, _commoner_word),
    Strategy(say("true if the numbers are small"), WORD, _true_if_small),
    Strategy(say("true if the numbers are large"), WORD, _true_if_large),
    Strategy(say("true if the last number is odd"), WORD, _true_if_odd),
    Strategy(say("true if the last number is even"), WORD, _true_if_even),
    Strategy(say("the commonest answer so far"), ENTRIES, _commonest_key),
    Strategy(say("a number printed in the stem"), ENTRIES, _number_printed),
    Strategy(say("any number of the range"), ("integer",), _any_of_the_range),
    Strategy(say("the first or the last number of the range"), ("integer",), _ends_of_the_range),
    Strategy(say("as shown"), ARRANGED, _as_shown),
    Strategy(say("the commonest arrangement so far"), ARRANGED, _as_before),
    Strategy(say("the commonest order of the words so far"), ("order",), _as_worded_before),
    Strategy(
        say("the commonest order of the words so far, lines that share numbers"),
        ("order",),
        _as_worded_and_agreeing,
    ),
    Strategy(say("one target for all"), ("match",), _all_alike),
)
"""Every strategy without arithmetic."""


@cache
def for_form(form: str) -> tuple[Strategy, ...]:
    return tuple(s for s in STRATEGIES if form in s.forms)
