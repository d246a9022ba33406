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
from functools import lru_cache
from hashlib import sha256
from operator import itemgetter
from typing import Generic, Protocol, TypeVar

Drawn = TypeVar("Drawn")

TRUE, FALSE, NONE = "true", "false", "none"
"""The answers of a question of yes or no; and that there is nothing to be found."""

RARE = 30
"""An answer met less often than once in so many is not waited for."""

_SURVEY = 120
"""So many have to be met before an answer counts as rare."""

_SEARCH = 60
"""The most that are drawn in vain for one index."""

_NONE_IN = 11
"""Of so many questions one has no solution, where that can be."""


def pick(key: str, n: int) -> int:
    """A number in range(n) fixed by `key` alone ("crt-two/v3/seed-7/12/m1").

    The bias is below n / 2^256.
    """
    return int.from_bytes(sha256(key.encode()).digest(), "big") % n


@dataclass
class SoFar:
    """How often each answer was met, and how often it was handed out.

    `meet` and `give` keep the numbers of all, which are asked for again and again, and how many
    answers, "none" aside, were met once, twice and so on: of a thousand answers these are few.
    """

    met: Counter[str] = field(default_factory=Counter)
    given: Counter[str] = field(default_factory=Counter)
    all_met: int = 0
    all_given: int = 0
    _as_often: Counter[int] = field(default_factory=Counter)
    _usual: int | None = None

    def meet(self, answer: str) -> None:
        before = self.met[answer]
        self.met[answer] = before + 1
        self.all_met += 1
        self._usual = None
        if answer != NONE:
            self._as_often[before + 1] += 1
            self._as_often[before] -= before > 0
            if not self._as_often[before]:
                del self._as_often[before]

    def give(self, answer: str) -> None:
        self.given[answer] += 1
        self.all_given += 1

    def is_rare(self, answer: str) -> bool:
        """Whether enough was met to say that this answer is not worth waiting for."""
        return self.all_met >= _SURVEY and self.met[answer] * RARE < self.all_met

    @property
    def usual(self) -> int:
        """How many answers come up now and then, "none" aside; rare ones count together."""
        if self._usual is None:
            met, as_often = self.all_met, self._as_often.items()
            rare = sum(n * answers for n, answers in as_often if n * RARE < met)
            often = sum(answers for n, answers in as_often if n * RARE >= met)
            self._usual = often + rare * RARE // max(1, met)
        return self._usual


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
    """No answer too often; and "none" once in _NONE_IN, at a place that the key fixes.

    most: the largest share of one answer in percent, where one answer is usual, where two are,
    and so on; the last for all larger numbers.
    """

    key: str
    most: tuple[int, ...]

    def wants(self, answer: str, so_far: SoFar) -> bool:
        place = so_far.all_given
        block, here = divmod(place, _NONE_IN)
        none_here = here == _place_of_none(self.key, block)
        if answer == NONE or (none_here and not so_far.is_rare(NONE)):
            return none_here and answer == NONE
        share = self.most[min(max(1, so_far.usual), len(self.most)) - 1]
        return so_far.given[answer] * 100 < share * (place + 1)


@lru_cache(maxsize=64)
def _place_of_none(key: str, block: int) -> int:
    """Where in a block of _NONE_IN questions the one without solution stands."""
    return pick(f"{key}/none/{block}", _NONE_IN)


# ------------------------------------------------------------ the place of the key


@dataclass(frozen=True)
class Room:
    """Wrong answers that look like the key: how many come before it in size, and after it.

    none: whether "no solutions" can stand among them.
    """

    before: int
    after: int
    none: bool = False


@dataclass(frozen=True)
class Layout:
    """Where the key is to stand among the options of one question, and where "none", if at all."""

    place: int
    none: int | None = None

    @property
    def smaller(self) -> int:
        """How many sets or values are to stand before the key."""
        return self.place - (self.none == 0)

    def fits_in(self, room: Room) -> bool:
        """Whether the key can stand there."""
        listed = OPTIONS - 1 - (self.none is not None)
        return room.before >= self.smaller and room.after >= listed - self.smaller


OPTIONS = 4
"""Of a choice."""

_BESIDE_NONE = 3
"""Where "none" is not the key, it stands among the options of one question in so many."""


@lru_cache(maxsize=256)
def layout(key: str, index: int, can_be_none: bool) -> Layout:
    """The key at each place once in OPTIONS questions; "none" now first, now last."""
    block, i = divmod(index, OPTIONS)
    places = sorted(range(OPTIONS), key=lambda place: pick(f"{key}/place/{block}/{place}", 2**64))
    if not can_be_none or pick(f"{key}/none among/{index}", _BESIDE_NONE):
        return Layout(places[i])
    none = (OPTIONS - 1) * pick(f"{key}/none last/{index}", 2)
    if places[i] != none:
        return Layout(places[i], none)
    left = [place for place in range(OPTIONS) if place != none]
    return Layout(left[pick(f"{key}/place beside none/{index}", OPTIONS - 1)], none)


# ------------------------------------------------------------ the order

Line = tuple[str, Room | None]
"""An answer, with the room that its options leave for the key."""


@dataclass
class Balance(Generic[Drawn]):
    """What was drawn, waiting by its answer and its room for an index that wants it."""

    source: Iterator[Drawn]
    line: Callable[[Drawn], Line]
    aim: Aim
    key: str = ""
    so_far: SoFar = field(default_factory=SoFar)
    waiting: dict[Line, deque[tuple[int, Drawn]]] = field(default_factory=dict)

    def __iter__(self) -> Iterator[Drawn]:
        while (line := self._next_wanted()) is not None:
            queue = self.waiting[line]
            _, found = queue.popleft()
            if not queue:
                del self.waiting[line]
            self.so_far.give(line[0])
            yield found

    def _next_wanted(self) -> Line | None:
        """The line of what comes next; None where nothing is left."""
        line = self._earliest(self._is_wanted)
        for _ in range(_SEARCH):
            if line is not None or not self.draw():
                break
            line = self._earliest(self._is_wanted)
        return (
            line
            or self._earliest(lambda line: self.aim.wants(line[0], self.so_far))
            or self._earliest(lambda line: line[0] != NONE)
            or self._earliest(lambda _line: True)
        )

    def _is_wanted(self, line: Line) -> bool:
        answer, room = line
        if not self.aim.wants(answer, self.so_far):
            return False
        if room is None or answer == NONE:
            return True
        return layout(self.key, self.so_far.all_given, room.none).fits_in(room)

    def draw(self) -> bool:
        """Draws one more to wait; whether there was one."""
        for found in self.source:
            line = self.line(found)
            self.waiting.setdefault(line, deque()).append((self.so_far.all_met, found))
            self.so_far.meet(line[0])
            return True
        return False

    def _earliest(self, wanted: Callable[[Line], bool]) -> Line | None:
        """The line of what has waited longest, among the lines that are wanted."""
        lines = [(queue[0][0], line) for line, queue in self.waiting.items()]
        lines.sort(key=itemgetter(0))
        return next((line for _n, line in lines if wanted(line)), None)


def balanced(
    drawn: Iterable[Drawn], line: Callable[[Drawn], Line], aim: Aim, key: str = ""
) -> Iterator[Drawn]:
    """All that is drawn, each once, in an order that follows the aim as far as it can be.

    key: that by which the place of a right option is fixed, where the lines have room.
    """
    return iter(Balance(iter(drawn), line, aim, key))
