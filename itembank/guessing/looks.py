"""What a student prefers who knows no mathematics: one function for each habit.

A preference gives every option a number, and the options with the greatest are taken alike; None
where the habit has nothing to go by, and all options are alike.
"""

import re
from collections import Counter
from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import combinations, pairwise

from itembank.guessing.question import Element, Option, Past, Question

Scores = Sequence[int | Fraction] | None
Preference = Callable[[Question, Past], Scores]

# ------------------------------------------------------------ place, length, size


def first(question: Question, _past: Past) -> Scores:
    return [-n for n in range(len(question.options))]


def last(question: Question, _past: Past) -> Scores:
    return list(range(len(question.options)))


def middle(question: Question, _past: Past) -> Scores:
    end = len(question.options) - 1
    return [-abs(2 * n - end) for n in range(end + 1)]


def longest(question: Question, _past: Past) -> Scores:
    return [_length(option) for option in question.options]


def shortest(question: Question, _past: Past) -> Scores:
    return [-_length(option) for option in question.options]


def _length(option: Option) -> int:
    """The signs of its text; the spaces between them are set in one way or another."""
    return len("".join(option.text.split()))


def commonest_size(question: Question, _past: Past) -> Scores:
    sizes = Counter(len(option.elements) for option in question.options)
    return [sizes[len(option.elements)] for option in question.options]


def anything_but_none(question: Question, _past: Past) -> Scores:
    return [bool(option.elements) for option in question.options] if _lists(question) else None


def _lists(question: Question) -> bool:
    """Whether some option lists numbers or pairs."""
    return any(option.elements for option in question.options)


# ------------------------------------------------------------ what options have in common


def most_shared(question: Question, _past: Past) -> Scores:
    """The option whose elements stand in the most other options, on average."""
    if not _lists(question):
        return None
    uses = Counter(e for option in question.options for e in set(option.elements))
    return [
        Fraction(sum(uses[e] - 1 for e in set(option.elements)), len(set(option.elements)) or 1)
        for option in question.options
    ]


def most_shared_in_all(question: Question, _past: Past) -> Scores:
    """The option that has the most elements in common with all others together."""
    if not _lists(question):
        return None
    uses = Counter(e for option in question.options for e in set(option.elements))
    return [sum(uses[e] - 1 for e in set(option.elements)) for option in question.options]


def most_related(question: Question, _past: Past) -> Scores:
    """The option that most of the others look made from."""
    if not _lists(question):
        return None
    m = _modulus_of(question)
    related = Counter[str]()
    for a, b in combinations(question.options, 2):
        if _are_related(a, b, m):
            related.update((a.name, b.name))
    return [related[option.name] for option in question.options]


def _are_related(a: Option, b: Option, m: int) -> bool:
    """One is a part of the other, or its negative, or a multiple, or its neighbour."""
    if not a.elements or not b.elements:
        return False
    if len(a.elements) == len(b.elements) == 1:
        return _numbers_related(a.elements[0], b.elements[0], m)
    one, other = set(a.elements), set(b.elements)
    return one <= other or other <= one or {_negative(e, m) for e in one} == other


def _numbers_related(a: Element, b: Element, m: int) -> bool:
    if isinstance(a, tuple) or isinstance(b, tuple):
        return _negative(a, m) == b
    multiple = (abs(a) > 1 and b % a == 0) or (abs(b) > 1 and a % b == 0)
    return multiple or a + b in (0, m) or abs(a - b) == 1


def _negative(element: Element, m: int) -> Element:
    if isinstance(element, tuple):
        return tuple(-x % m if m else -x for x in element)
    return -element % m if m else -element


def _modulus_of(question: Question) -> int:
    """The modulus of the stem; else the last number printed there; 0 for none."""
    if question.system:
        return question.system.modulus
    return question.numbers[-1] if question.numbers else 0


# ------------------------------------------------------------ size of numbers


def largest(question: Question, _past: Past) -> Scores:
    return _by_value(question, max)


def smallest(question: Question, _past: Past) -> Scores:
    values = _by_value(question, min)
    return None if values is None else [-v for v in values]


def nearest_the_mean(question: Question, _past: Past) -> Scores:
    """The option whose mean is nearest the mean of all."""
    values = _by_value(question, _mean)
    if values is None:
        return None
    middle_of_all = _mean(values)
    return [-abs(v - middle_of_all) for v in values]


def _by_value(
    question: Question, of: Callable[[Sequence[int | Fraction]], int | Fraction]
) -> Sequence[int | Fraction] | None:
    """A number for each option; None unless all of them list integers."""
    values = [_numbers_of(option) for option in question.options]
    return [of(v) for v in values] if values and all(values) else None


def _numbers_of(option: Option) -> list[int | Fraction]:
    return [e for e in option.elements if isinstance(e, int)]


def _mean(values: Sequence[int | Fraction]) -> Fraction:
    return Fraction(sum(values)) / len(values)


# ------------------------------------------------------------ the odd one out


def odd_one_by_parity(question: Question, _past: Past) -> Scores:
    return _odd_one(question, lambda numbers: tuple(sorted(n % 2 for n in numbers)))


def odd_one_by_sign(question: Question, _past: Past) -> Scores:
    return _odd_one(question, lambda numbers: tuple(sorted(n < 0 for n in numbers)))


def odd_one_by_divisibility(question: Question, _past: Past) -> Scores:
    """The only option that 3, or else 5, divides or does not divide."""
    for p in (3, 5):
        found = _odd_one(question, lambda numbers, p=p: all(n % p == 0 for n in numbers))  # type: ignore[misc]
        if found:
            return found
    return None


def _odd_one(question: Question, trait: Callable[[Sequence[int]], object]) -> Scores:
    """The option that alone has its trait, where all others agree; None where none has."""
    values = [[e for e in o.elements if isinstance(e, int)] for o in question.options]
    if len(values) < 3 or not all(values):
        return None
    traits = [trait(v) for v in values]
    shares = Counter(traits)
    if sorted(shares.values()) != [1, len(values) - 1]:
        return None
    return [shares[t] == 1 for t in traits]


# ------------------------------------------------------------ the stem


def closed(question: Question, _past: Past) -> Scores:
    """The options that hold, with an element, all that must be a solution with it."""
    system = question.system
    if system is None or question.ask != "all solutions":
        return None
    return [_is_closed(option, question) for option in question.options]


def _is_closed(option: Option, question: Question) -> bool:
    system, elements = question.system, set(option.elements)
    if system is None or not elements:
        return not elements
    orbits = [system.orbit(e) if isinstance(e, int) else None for e in elements]
    return all(orbit is None or orbit <= elements for orbit in orbits)


def closed_and_some(question: Question, past: Past) -> Scores:
    """As `closed`, and never "no solutions"."""
    scores = closed(question, past)
    if scores is None:
        return None
    return [bool(score and o.elements) for score, o in zip(scores, question.options, strict=True)]


def evenly_spaced(question: Question, _past: Past) -> Scores:
    """The options whose elements are a complete class modulo a divisor of the modulus."""
    if question.ask != "all solutions":
        return None
    m = _modulus_of(question)
    return [_is_progression(option.elements, m) for option in question.options]


def _is_progression(elements: Sequence[Element], m: int) -> bool:
    numbers = sorted(e for e in elements if isinstance(e, int))
    n = len(numbers)
    if n < 2 or not m or m % n or len(elements) != n:
        return False
    step = m // n
    return all(b - a == step for a, b in pairwise(numbers))


def printed_in_the_stem(question: Question, _past: Past) -> Scores:
    printed = set(question.numbers)
    return [
        Fraction(sum(e in printed for e in option.elements), len(option.elements) or 1)
        for option in question.options
    ]


# ------------------------------------------------------------ options that are formulas


def _worded(question: Question) -> list[tuple[int, ...]] | None:
    """The numbers in each option, where options are words or formulas; None for lists."""
    if _lists(question):
        return None
    found = [tuple(map(int, _NUMBER.findall(option.text))) for option in question.options]
    return found if all(found) else None


_NUMBER = re.compile(r"\d+")


def numbers_most_shared(question: Question, _past: Past) -> Scores:
    """The formula whose numbers stand in the most other formulas, on average."""
    found = _worded(question)
    if found is None:
        return None
    uses = Counter(n for numbers in found for n in set(numbers))
    return [Fraction(sum(uses[n] - 1 for n in set(ns)), len(set(ns))) for ns in found]


def numbers_of_the_stem(question: Question, _past: Past) -> Scores:
    """The formula with the most numbers that the stem shows."""
    found, printed = _worded(question), set(question.numbers)
    if found is None:
        return None
    return [Fraction(sum(n in printed for n in set(ns)), len(set(ns))) for ns in found]


def largest_numbers(question: Question, _past: Past) -> Scores:
    found = _worded(question)
    return None if found is None else [_mean(ns) for ns in found]


def smallest_numbers(question: Question, _past: Past) -> Scores:
    found = _worded(question)
    return None if found is None else [-_mean(ns) for ns in found]


_MODULUS = re.compile(r"\(mod (\d+)\)")


def _moduli(question: Question) -> list[int] | None:
    """The modulus of each option, the last where it has several; None unless all have one."""
    found = [_MODULUS.findall(option.text) for option in question.options]
    return [int(ms[-1]) for ms in found] if all(found) else None


def shared_modulus(question: Question, _past: Past) -> Scores:
    """The formula with the modulus that most formulas have."""
    found = _moduli(question)
    return None if found is None else [found.count(m) for m in found]


def odd_modulus_out(question: Question, past: Past) -> Scores:
    scores = shared_modulus(question, past)
    return None if scores is None else [-n for n in scores]


def largest_modulus(question: Question, _past: Past) -> Scores:
    return _moduli(question)


def smallest_modulus(question: Question, _past: Past) -> Scores:
    found = _moduli(question)
    return None if found is None else [-m for m in found]


# ------------------------------------------------------------ what was right before


def commonest_place(question: Question, past: Past) -> Scores:
    return [past.places[n] for n in range(len(question.options))]


def commonest_answer(question: Question, past: Past) -> Scores:
    return [past.texts[option.text] for option in question.options]


def usual_size(question: Question, past: Past) -> Scores:
    """As many elements as the answer had most often."""
    if not _lists(question):
        return None
    return [past.sizes[len(option.elements)] for option in question.options]


# ------------------------------------------------------------ habits together


def both(one: Preference, other: Preference) -> Preference:
    """The second decides between what the first holds alike."""

    def scores(question: Question, past: Past) -> Scores:
        a, b = one(question, past), other(question, past)
        if a is None or b is None:
            return b if a is None else a
        order = {pair: n for n, pair in enumerate(sorted(set(zip(a, b, strict=True))))}
        return [order[pair] for pair in zip(a, b, strict=True)]

    return scores
