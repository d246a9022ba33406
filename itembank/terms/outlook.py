"""For how many terms a family lasts, drawn as draws do: fresh problems first, then rested ones.

Numbers in, numbers out.  Terms are numbered in their order, one after another.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count

AHEAD = 20
"""Terms that are looked ahead."""


@dataclass(frozen=True)
class Past:
    """A problem that was used: its last term, how often, for how many terms it rests after it."""

    last: int
    times: int
    rests: int


@dataclass(frozen=True, kw_only=True)
class Outlook:
    """For how many terms what is wanted is there; `AHEAD`, if for that many or more.

    lacking: how many problems the first term that is short lacks, 0 if none is.  returns: how many
    terms after that term it has what it wants, None if that is not within `AHEAD` terms.
    """

    terms: int
    lacking: int
    returns: int | None

    @property
    def ends(self) -> bool:
        return self.lacking > 0


@dataclass(frozen=True)
class Supply:
    """What a term ahead finds: problems never used, those that have rested, and those at rest; and
    how many it lacks of what is wanted."""

    fresh: int
    rested: int
    resting: int
    lacking: int


def supplies(
    fresh: int, past: Sequence[Past], *, wanted: int, rests: int, most_uses: int, term: int
) -> Iterator[Supply]:
    """What each term from `term` on finds, where those before it took what they could, up to
    `wanted`; arguments as of `outlook`."""
    problems = list(past)
    for now in count(term):
        ready = rested(problems, rests, most_uses, now)
        at_rest = sum(p.times < most_uses for p in problems) - len(ready)
        lacking = max(0, wanted - fresh - len(ready))
        yield Supply(fresh, len(ready), at_rest, lacking)
        problems, fresh = _after(problems, fresh, ready, wanted, rests, now)


def _after(
    problems: Sequence[Past], fresh: int, ready: Sequence[int], wanted: int, rests: int, now: int
) -> tuple[list[Past], int]:
    """The used problems, and how many are fresh, once a term has taken its part."""
    new = min(fresh, wanted)
    again = ready[: wanted - new]
    kept = [i for i in range(len(problems)) if i not in set(again)]
    return [
        *(problems[i] for i in kept),
        *(_used_again(problems[i], now, rests) for i in again),
        *(Past(now, 1, rests) for _ in range(new)),
    ], fresh - new


def outlook(
    fresh: int, past: Sequence[Past], *, wanted: int, rests: int, most_uses: int, term: int
) -> Outlook:
    """What the terms from `term` on can have, `wanted` problems each, if none is ever taken out.

    Of rested problems the least used come first, of these the longest rested; each is used
    `most_uses` times at most.
    """
    problems = list(past)
    for ahead in range(AHEAD):
        now = term + ahead
        ready = rested(problems, rests, most_uses, now)
        lacking = wanted - fresh - len(ready)
        if lacking > 0:
            later = range(1, AHEAD - ahead)
            returns = (
                wait for wait in later
                if fresh + len(rested(problems, rests, most_uses, now + wait)) >= wanted
            )  # fmt: skip
            return Outlook(terms=ahead, lacking=lacking, returns=next(returns, None))
        problems, fresh = _after(problems, fresh, ready, wanted, rests, now)
    return Outlook(terms=AHEAD, lacking=0, returns=None)


def _used_again(problem: Past, term: int, rests: int) -> Past:
    return replace(problem, last=term, times=problem.times + 1, rests=rests)


def rested(problems: Sequence[Past], rests: int, most_uses: int, term: int) -> list[int]:
    """The places of the problems that a term may use again, in the order of their turn."""
    found = [
        (p.times, p.last, i)
        for i, p in enumerate(problems)
        if p.times < most_uses and term - p.last > max(rests, p.rests)
    ]
    return [i for _times, _last, i in sorted(found)]
