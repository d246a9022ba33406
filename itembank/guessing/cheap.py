"""One step up: cheap arithmetic, by students who can substitute a number and look at the result.

One substitution is made where it tells most: between the answers that a habit holds alike. What
it shows leaves some of all answers, and among these the habit decides.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache

from itembank.guessing import strategies
from itembank.guessing.formula import small_prime
from itembank.guessing.looks import Preference
from itembank.guessing.question import Answer, Element, Past, Question
from itembank.guessing.strategies import (
    ENTRIES,
    PREFERENCES,
    STRATEGIES,
    Tied,
    orbits,
    residues,
    ticked,
)
from itembank.languages import Said, say

_TRIALS = 20
"""So many small numbers are tried before a student gives up."""

Weights = dict[Answer, Fraction]
"""How likely a student gives each answer; together at most 1."""

Weigh = Callable[[Question, Past], Weights]


def _evenly(tied: Tied) -> Weights:
    """The same weight for each."""
    return dict.fromkeys(tied, Fraction(1, len(tied))) if tied else {}


def _alike(cases: Iterable[Tied]) -> Weights:
    """All cases are as likely, and so are the answers of each.

    >>> _alike([[("a",)], [("a",), ("b",)]])
    {('a',): Fraction(3, 4), ('b',): Fraction(1, 4)}
    """
    among, n = Counter[tuple[Answer, int]](), 0
    for tied in cases:
        n += 1
        among.update((answer, len(tied)) for answer in tied)
    weights: Weights = {}
    for (answer, others), times in among.items():
        weights[answer] = weights.get(answer, Fraction()) + Fraction(times, n * others)
    return weights


# ------------------------------------------------------------ one substitution

_Claims = Sequence[frozenset[Element]]
"""What each answer says are the solutions."""


def _one_substitution(preference: Preference) -> Weigh:
    """Among the options: substitute once, where it tells most, then prefer."""

    def weigh(question: Question, past: Past) -> Weights:
        if question.system is None or question.ask not in ("all solutions", "the solution"):
            return {}
        claims = [frozenset(option.elements) for option in question.options]
        scores = preference(question, past) or [0] * len(claims)
        names = [(option.name,) for option in question.options]
        return _alike(
            [names[left[n]] for n in _tops([scores[n] for n in left])]
            for left in _after_one(question, claims, _tops(scores))
        )

    return weigh


def _tops(scores: Sequence[int | Fraction]) -> list[int]:
    """The places of the greatest."""
    most = max(scores, default=0)
    return [n for n, score in enumerate(scores) if score == most]


def _after_one(question: Question, claims: _Claims, favoured: Sequence[int]) -> Iterator[list[int]]:
    """The answers that are left after the most telling substitution; every such one in turn.

    It is that which divides the favoured answers most evenly, and after them all others.
    """
    for x in _telling(tuple(claims), tuple(favoured)):
        holds = bool(question.system and question.system.holds(x))
        left = [n for n, claim in enumerate(claims) if (x in claim) == holds]
        yield left or list(range(len(claims)))


@lru_cache(maxsize=256)
def _telling(
    claims: tuple[frozenset[Element], ...], favoured: tuple[int, ...]
) -> tuple[Element, ...]:
    """The elements whose substitution divides the answers most evenly; alike for many habits."""

    def uneven(x: Element) -> tuple[int, int]:
        inside = sum(x in claims[n] for n in favoured)
        everywhere = sum(x in claim for claim in claims)
        return abs(2 * inside - len(favoured)), abs(2 * everywhere - len(claims))

    elements = sorted({x for claim in claims for x in claim}, key=repr)
    if not elements:
        return ()
    values = {x: uneven(x) for x in elements}
    least = min(values.values())
    return tuple(x for x in elements if values[x] == least)


def _one_tick_tried(guess: strategies.Guess) -> Weigh:
    """Among the answers that a habit of ticking holds alike, one substitution decides."""

    def weigh(question: Question, past: Past) -> Weights:
        tied = guess(question, past)
        if question.system is None or not tied:
            return {}
        numbers = dict(residues(question))
        claims = [
            frozenset(numbers[str(name)] for name in answer if name in numbers) for answer in tied
        ]
        cases = _after_one(question, claims, range(len(claims)))
        return _alike([tied[n] for n in left] for left in cases)

    return weigh


# ------------------------------------------------------------ a short modulus, small numbers


def _modulo_the_smallest_prime(question: Question, _past: Past) -> Weights:
    """Everything modulo the smallest prime: what is no solution there is none at all."""
    system = question.system
    p = small_prime(system.modulus) if system else None
    if system is None or p is None:
        return {}

    def may_hold(elements: Sequence[Element]) -> bool:
        return all(system.holds(x, p) for x in elements)

    if question.form == "select one":
        fit = [o for o in question.options if may_hold(o.elements)]
        some = [o for o in fit if o.elements] or fit
        return _evenly([(o.name,) for o in some])
    left = [name for name, x in residues(question) if may_hold((x,))]
    return _evenly(ticked(question, left))


def _trying_small_numbers(question: Question, _past: Past) -> Weights:
    """0, 1, 2, ... until one fits: the options whose least element it is."""
    found = _first_that_fits(question)
    system = question.system
    if system is None or len(system.letters) != 1:
        return {}

    def agrees(elements: Sequence[Element]) -> bool:
        return (
            min((x for x in elements if isinstance(x, int) and x < _TRIALS), default=None) == found
        )

    if question.form == "select one":
        fit = [(o.name,) for o in question.options if agrees(o.elements)]
        return _evenly(fit)
    if question.form == "select all":
        if found is None:
            return {}
        shown = {x: name for name, x in residues(question)}
        groups = [group for group in orbits(question) if shown.get(found) in group]
        return _evenly([a for group in groups for a in ticked(question, group)])
    return _evenly(_typed(question, found))


def _typed(question: Question, found: int | None) -> Tied:
    """What is typed after one solution was found: it, with what the stem demands beside it."""
    if found is None or question.system is None or question.ask == "the largest":
        return []
    if question.form == "integer":
        return [(found,)] if question.ask in ("the solution", "the least") else []
    return [tuple(sorted(question.system.orbit(found) or {found}))]


def _first_that_fits(question: Question) -> int | None:
    """The first of the small numbers that solves; None if none of them does."""
    system = question.system
    if system is None or len(system.letters) != 1:
        return None
    return next((x for x in range(min(_TRIALS, system.modulus)) if system.holds(x)), None)


# ------------------------------------------------------------ how much work


def substitutions_that_settle(question: Question) -> int:
    """How many substitutions settle which boxes are right: one for those that go together.

    A box whose partner is not offered needs none, since all solutions are.
    """
    return len(orbits(question))


_MOST_TRIED = 10_000


def shortest_way(question: Question) -> int | None:
    """How many small numbers settle the question, where numbers can be tried; else None.

    For one solution as many as until it fits, for all of them one of each group that the stem
    says go together.
    """
    system = question.system
    if system is None or len(system.letters) != 1 or system.modulus > _MOST_TRIED:
        return None
    m = system.modulus
    if question.ask in ("the solution", "the least"):
        return next((x + 1 for x in range(m) if system.holds(x)), m)
    orbit = system.orbit(1)
    return -(-m // len(orbit)) if orbit else m


# ------------------------------------------------------------ the table


@dataclass(frozen=True)
class Cheap:
    """A strategy with cheap arithmetic; `after`: the habit that decides with one substitution."""

    name: Said
    forms: tuple[str, ...]
    weigh: Weigh
    single: bool = False
    after: Said | None = None


def _substituting() -> Iterator[Cheap]:
    """One substitution, alone and with each habit."""
    once = say("one substitution")
    one, ticks = ("select one",), ("select all",)
    yield Cheap(once, one, _one_substitution(lambda _question, _past: None), single=True)
    for name, preference in PREFERENCES:
        yield Cheap(once, one, _one_substitution(preference), single=True, after=name)
    for strategy in STRATEGIES:
        if ticks == strategy.forms:
            weigh = _one_tick_tried(strategy.guess)
            yield Cheap(once, ticks, weigh, single=True, after=strategy.name)


_CHOSEN = ("select one", "select all")

_CHEAP: tuple[Cheap, ...] = (
    *_substituting(),
    Cheap(say("everything modulo the smallest prime"), _CHOSEN, _modulo_the_smallest_prime),
    Cheap(say("trying 0, 1, 2, ..."), (*_CHOSEN, *ENTRIES), _trying_small_numbers),
)
"""Every strategy with arithmetic."""


@cache
def for_form(form: str) -> tuple[Cheap, ...]:
    return tuple(c for c in _CHEAP if form in c.forms)
