"""In which order what was drawn is handed out, so that no answer is commoner than it should be.

A student who has learned nothing but how often the answer of a family is "true", 8 or "no
solutions" should gain nothing by it. So the index fixes what is wanted there, and the draw is
searched for it; what was met on the way waits for an index that wants it, and comes last if none
does. What is wanted depends on the key of the draw and on what was met before, never on how many
are asked for. An answer too rare to be found in reasonable time is not waited for.
"""

from collections import Counter, deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Generic, Protocol, TypeVar

Drawn = TypeVar("Drawn")

TRUE, FALSE, NONE = "true", "false", "none"
"""The answers of a question of yes or no; and that there is nothing to be found."""

RARE = 30
"""An answer met less often than once in so many is not waited for."""

SURVEY = 120
"""So many have to be met before an answer counts as rare."""

SEARCH = 60
"""The most that are drawn in vain for one index."""

NONE_IN = 8
"""Of so many questions one has no solution, where that can be."""


def pick(key: str, n: int) -> int:
    """A number in range(n) fixed by `key` alone ("crt-two/v3/seed-7/12/m1").

    The bias is below n / 2^256.
    """
    return int.from_bytes(sha256(key.encode()).digest(), "big") % n


@dataclass
class SoFar:
    """How often each answer was met, and how often it was handed out."""

    met: Counter[str] = field(default_factory=Counter)
    given: Counter[str] = field(default_factory=Counter)

    def is_rare(self, answer: str) -> bool:
        """Whether enough was met to say that this answer is not worth waiting for."""
        met = self.met.total()
        return met >= SURVEY and self.met[answer] * RARE < met

    @property
    def usual(self) -> int:
        """How many answers come up now and then, "none" aside; rare ones count together."""
        met = self.met.total()
        times = [n for answer, n in self.met.items() if answer != NONE]
        rare = sum(n for n in times if n * RARE < met)
        return sum(n * RARE >= met for n in times) + rare * RARE // max(1, met)


class Aim(Protocol):
    """Which answers the next index wants."""

    def wants(self, answer: str, so_far: SoFar) -> bool: ...


@dataclass(frozen=True)
class Evenly:
    """True as often as false after each two; the key says which of the two comes first."""

    key: str

    def wants(self, answer: str, so_far: SoFar) -> bool:
        yes, no = so_far.given[TRUE], so_far.given[FALSE]
        first = bool(pick(f"{self.key}/first/{yes + no}", 2))
        wanted = TRUE if yes < no or (yes == no and first) else FALSE
        return answer == wanted or so_far.is_rare(wanted)


@dataclass(frozen=True)
class Varied:
    """No answer too often; and "none" once in NONE_IN, at a place that the key fixes.

    most: the largest share of one answer in percent, where one answer is usual, where two are,
    and so on; the last for all larger numbers.
    """

    key: str
    most: tuple[int, ...]

    def wants(self, answer: str, so_far: SoFar) -> bool:
        place = so_far.given.total()
        block, here = divmod(place, NONE_IN)
        none_here = here == pick(f"{self.key}/none/{block}", NONE_IN)
        if answer == NONE or (none_here and not so_far.is_rare(NONE)):
            return none_here and answer == NONE
        share = self.most[min(max(1, so_far.usual), len(self.most)) - 1]
        return so_far.given[answer] * 100 < share * (place + 1)


@dataclass
class Balance(Generic[Drawn]):
    """What was drawn, waiting by its answer for an index that wants it."""

    source: Iterator[Drawn]
    answer: Callable[[Drawn], str]
    aim: Aim
    so_far: SoFar = field(default_factory=SoFar)
    waiting: dict[str, deque[tuple[int, Drawn]]] = field(default_factory=dict)

    def __iter__(self) -> Iterator[Drawn]:
        while (name := self.next_wanted()) is not None:
            _, found = self.waiting[name].popleft()
            self.so_far.given[name] += 1
            yield found

    def next_wanted(self) -> str | None:
        """The answer of what comes next; None where nothing is left."""
        for _ in range(SEARCH):
            name = self.earliest(lambda answer: self.aim.wants(answer, self.so_far))
            if name is not None or not self.draw():
                break
        return name or self.earliest(lambda answer: answer != NONE) or self.earliest(bool)

    def draw(self) -> bool:
        """Draws one more to wait; whether there was one."""
        for found in self.source:
            answer = self.answer(found)
            self.waiting.setdefault(answer, deque()).append((self.so_far.met.total(), found))
            self.so_far.met[answer] += 1
            return True
        return False

    def earliest(self, wanted: Callable[[str], bool]) -> str | None:
        """The answer of what has waited longest, among the answers that are wanted."""
        lines = ((line[0][0], a) for a, line in self.waiting.items() if line and wanted(a))
        return min(lines, default=(0, None))[1]


def balanced(drawn: Iterable[Drawn], answer: Callable[[Drawn], str], aim: Aim) -> Iterator[Drawn]:
    """All that is drawn, each once, in an order that follows the aim as far as it can be."""
    return iter(Balance(iter(drawn), answer, aim))
