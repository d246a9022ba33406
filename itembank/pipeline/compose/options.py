"""Which wrong answers stand beside the key, so that the looks of the options do not tell it.

A student can see what options have in common, how large they are, and which of them hold with
each number its partner (the symmetry that can be read off a congruence: -b/a - r beside r). So the
options offered are alike in all of this as far as slips allow: another complete set of partners,
or the key with one such set exchanged. Every one of them is what a named slip leads to, by a
student who made it throughout, or who made it once and took the partners from the symmetry.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cached_property
from itertools import chain, combinations
from math import lcm

from itembank.kinds.base import Problem, Slip
from itembank.pipeline.balance import OPTIONS, Room, layout
from itembank.values.answer import Claimed
from itembank.values.item import Provenance

LONGEST_SET = 12
"""Select one: the most residues in an option."""

_WEIGHED = 11
"""Select one: so many wrong answers are weighed against each other, those most like the key."""

Orbit = frozenset[int]
Together = Callable[[int], Orbit]
"""A residue with all that solve the congruence if it does; read off, not solved."""


def together_of(problem: Problem) -> Together | None:
    """The symmetry of a problem; None where it shows none.

    The partners of a residue, which stands in many wrong answers, are found once.
    """
    symmetry: Callable[[], Together | None] = getattr(problem, "symmetry", lambda: None)
    together = symmetry()
    return together and _Partners(together).__getitem__


class _Partners(dict[int, Orbit]):
    """The partners of the residues that were asked for."""

    def __init__(self, together: Together) -> None:
        self.together = together

    def __missing__(self, x: int) -> Orbit:
        found = self[x] = self.together(x)
        return found


def orbits(claim: Claimed, together: Together) -> list[Orbit]:
    """The sets of partners that a claim touches, each once, in the order of the claim."""
    return list(dict.fromkeys(together(x) for x in claim if isinstance(x, int)))


def _joined(parts: Iterable[Orbit]) -> Claimed:
    return tuple(sorted(chain.from_iterable(parts)))


# ------------------------------------------------------------ wrong answers


def wrong_answers(
    key: Claimed, slips: Sequence[Slip], together: Together | None
) -> dict[Claimed, Slip]:
    """What slips lead to, by its answer; with partners completed where there are partners."""
    found = {s.answer: s for s in slips if len(s.answer) <= LONGEST_SET}
    for claim, slip in _completed_of(key, slips, together):
        found.setdefault(claim, slip)
    return found


def _completed_of(
    key: Claimed, slips: Sequence[Slip], together: Together | None
) -> Iterator[tuple[Claimed, Slip]]:
    """The wrong answers with partners completed, each with its slip, as often as it comes."""
    for slip in slips if together else ():
        assert together
        for claim in completed(key, slip.answer, together):
            if claim != key and len(claim) <= LONGEST_SET:
                yield claim, slip


def completed(key: Claimed, wrong: Claimed, together: Together) -> Iterator[Claimed]:
    """The complete sets that a slip leads to: as many partners as the key, or one exchanged."""
    own = orbits(key, together)
    others = [orbit for orbit in orbits(wrong, together) if orbit not in own]
    if not others:
        return
    n = len(own) or len(others)
    yield _joined(others[:n])
    yield _joined(others[-n:])
    for orbit in own if n > 1 else ():
        for other in (others[0], others[-1]):
            yield _joined([*(o for o in own if o is not orbit), other])


def is_complete(claim: Claimed, together: Together | None) -> bool:
    """Whether a claim holds with each residue all of its partners."""
    if together is None:
        return True
    whole = frozenset(claim)
    return all(together(x) <= whole for x in claim if isinstance(x, int))


def like(key: Claimed, together: Together | None) -> Callable[[Claimed], bool]:
    """Whether a wrong answer looks like the key: as large, and with partners alike."""
    if not key:
        return lambda claim: bool(claim) and is_complete(claim, together)
    size, complete = len(key), is_complete(key, together)
    return lambda claim: len(claim) == size and is_complete(claim, together) == complete


# ------------------------------------------------------------ which of them


def chosen(
    key: Claimed,
    wrong: Sequence[Claimed],
    together: Together | None,
    m: int,
    provenance: Provenance,
) -> tuple[Claimed, ...]:
    """The options, the key among them: those beside which it stands out least.

    They are in order of size, "none" first or last.  m: the modulus, 0 where there is none.
    """
    fair = layout(provenance.stream, provenance.index, () in wrong)
    looks_alike = like(key, together)
    alike = sorted(wrong, key=lambda claim: not looks_alike(claim))
    some = _weighed(key, [claim for claim in alike if claim])
    looks = _Looks(key, some, together, m)
    if not key:
        return _in_order((key, *looks.least_telling(OPTIONS - 1, 0)), fair.place > 1)
    fixed: tuple[Claimed, ...] = ()
    if () in wrong and (fair.none is not None or len(some) < OPTIONS - 1):
        fixed = ((),)
    smaller = fair.smaller if fixed else fair.place
    sets = looks.least_telling(OPTIONS - 1 - len(fixed), smaller)
    return _in_order((key, *fixed, *sets), fair.none == OPTIONS - 1)


def _weighed(key: Claimed, wrong: Sequence[Claimed]) -> list[Claimed]:
    """As many as are weighed, of those that are smaller than the key and of those that are not."""
    smaller = [claim for claim in wrong if _by_size(claim) < _by_size(key)]
    larger = [claim for claim in wrong if _by_size(claim) > _by_size(key)]
    few = min(len(smaller), len(larger), _WEIGHED // 2)
    most = _WEIGHED - few
    return [*smaller[:most], *larger[:most]][: 2 * _WEIGHED]


def _in_order(claims: Iterable[Claimed], none_last: bool) -> tuple[Claimed, ...]:
    """By size, and then by the first residue that differs."""
    return tuple(sorted(claims, key=lambda claim: (not claim and none_last, _by_size(claim))))


def room(key: Claimed, wrong: Sequence[Claimed], together: Together | None) -> Room:
    """How many wrong answers look like the key, before it and after it."""
    size = _by_size(key)
    alike = [_by_size(claim) < size for claim in filter(like(key, together), wrong)]
    before, after = sum(alike), len(alike) - sum(alike)
    return Room(min(before, OPTIONS - 1), min(after, OPTIONS - 1), () in wrong)


def ample_room(key: Claimed, slips: Sequence[Slip], together: Together | None) -> Room | None:
    """As `room`, of what slips lead to, where so many wrong answers look like the key that not all
    have to be found; None where they do.

    They are enough then to choose from.  Nothing comes before an empty key.
    """
    size, alike, most = _by_size(key), like(key, together), OPTIONS - 1
    before, after, met = 0, 0, set[Claimed]()
    direct = (slip.answer for slip in slips if len(slip.answer) <= LONGEST_SET)
    for claim in chain(direct, (claim for claim, _ in _completed_of(key, slips, together))):
        if claim in met or not alike(claim):
            continue
        met.add(claim)
        if _by_size(claim) < size:
            before += 1
        else:
            after += 1
        if after >= most and (before >= most or not key):
            return Room(min(before, most), most, any(not slip.answer for slip in slips))
    return None


def _by_size(claim: Claimed) -> tuple[int, Claimed]:
    return len(claim), claim


_MISPLACED = 4
"""What a place too far to either side costs."""

_ALONE = 3
"""What it costs that the key alone is odd, or divisible by 3 or 5, or is not."""

_UNIT = 12
"""Costs are counted in twelfths, which are whole."""


class _Looks:
    """What can be seen of answers that may stand beside a key, each looked at once.

    The answers are weighed in every choice of a few of them, so what each looks like, alone and
    beside each other one, is known before.  Numbers name the answers, 0 the key.  "None" is no
    answer here.  m: the modulus, 0 where there is none.
    """

    def __init__(
        self, key: Claimed, others: Sequence[Claimed], together: Together | None, m: int
    ) -> None:
        claims = self.claims = (key, *others)
        sets = [set(claim) for claim in claims]
        self.has_key = bool(key)
        self.smaller = [_by_size(claim) < _by_size(key) for claim in claims]
        self.sizes = [len(claim) for claim in claims]
        self.complete = [is_complete(claim, together) for claim in claims]
        self.digits = [sum(len(str(x)) for x in _numbers(claim)) for claim in claims]
        self.odd = [tuple(sorted(x % 2 for x in _numbers(claim))) for claim in claims]
        self.by_three, self.by_five = (
            [all(x % p == 0 for x in _numbers(claim)) for claim in claims] for p in (3, 5)
        )
        self.related = [[_are_related(a, b, m) for b in claims] for a in claims]
        scale = lcm(*(len(found) for found in sets if found))
        self.shared = [[len(a & b) * (scale // len(a)) if a else 0 for b in sets] for a in sets]
        """How much of each stands in each other, in parts that are whole."""

    def least_telling(self, n: int, smaller: int) -> tuple[Claimed, ...]:
        """The n others beside which the key stands out least, the first of several such."""
        best: tuple[int, ...] = ()
        least: int | None = None
        for others in combinations(range(1, len(self.claims)), n):
            cost = self.cost(others, smaller, least)
            if least is None or cost < least:
                best, least = others, cost
        return tuple(self.claims[i] for i in best)

    def cost(self, others: Sequence[int], smaller: int, most: int | None = None) -> int:
        """How much the key stands out: by its place, and by whatever not all have alike.

        smaller: how many of the others are to come before it.  What is `most` or more is told as
        far as it was added up.
        """
        told = self.cost_of_place(others, smaller) if self.has_key else 0
        listing = (0, *others) if self.has_key else tuple(others)
        for weight, trait in self.traits:
            if most is not None and told >= most:
                return told
            told += weight * _uneven(trait(listing), self.has_key)
        return told

    def cost_of_place(self, others: Sequence[int], smaller: int) -> int:
        """What it costs that the key stands too far to a side, or alone is odd, or is not."""
        misplaced = abs(sum(self.smaller[i] for i in others) - smaller)
        alone = sum(
            _stands_alone(trait[0], [trait[i] for i in others])
            for trait in (self.odd, self.by_three, self.by_five)
        )
        return _UNIT * (_MISPLACED * misplaced + _ALONE * alone)

    @cached_property
    def traits(self) -> tuple[tuple[int, Callable[[Sequence[int]], Sequence[int]]], ...]:
        """What not all may have alike, each with its weight, what is seen soonest first."""
        return (
            (6, lambda listing: [self.sizes[i] for i in listing]),
            (6, lambda listing: [self.complete[i] for i in listing]),
            (4, lambda listing: [self.digits[i] for i in listing]),
            (7, lambda listing: _beside(self.related, listing)),
            (4, lambda listing: _beside(self.shared, listing)),
        )


def _beside(found: Sequence[Sequence[int]], listing: Sequence[int]) -> list[int]:
    """What each of these has with the others of them, added up."""
    sums = []
    for i in listing:
        with_each = found[i]
        sums.append(sum([with_each[j] for j in listing]) - with_each[i])
    return sums


def _stands_alone(of_key: object, of_others: Sequence[object]) -> bool:
    """Whether the key has a trait that none of the others has, which agree."""
    return of_key not in of_others and of_others.count(of_others[0]) == len(of_others)


def _uneven(trait: Sequence[int], key_first: bool) -> int:
    """How far a trait tells the first from the rest, in twelfths: 0 if all are alike."""
    if len(set(trait)) == 1:
        return 0
    if not key_first:
        return _UNIT // 4
    alike = trait.count(trait[0])
    singled_out = _UNIT // 2 if trait[0] == max(trait) else 2 * _UNIT // 3
    return singled_out + _UNIT // 4 * (len(trait) - alike)


def _are_related(a: Claimed, b: Claimed, m: int) -> bool:
    if not a or not b:
        return False
    if len(a) == len(b) == 1 and isinstance(a[0], int) and isinstance(b[0], int):
        v, w = a[0], b[0]
        multiple = (abs(v) > 1 and w % v == 0) or (abs(w) > 1 and v % w == 0)
        return multiple or v + w in (0, m) or abs(v - w) == 1
    return set(a) <= set(b) or set(b) <= set(a) or {_negative(e, m) for e in a} == set(b)


def _negative(element: int | tuple[int, int], m: int) -> int | tuple[int, int]:
    if isinstance(element, int):
        return -element % m if m else -element
    x, y = element
    return (-x % m, -y % m) if m else (-x, -y)


def _numbers(claim: Claimed) -> list[int]:
    return [x for x in claim if isinstance(x, int)]
