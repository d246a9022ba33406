"""From a family, a seed and an index to a variant: the only source of chance.

The stream of a family's variants is fixed by (family, version, seed): attempt n draws
each parameter in order by hashing names, and the attempts that satisfy the family, state
a problem not stated before, and fit the family's response forms are numbered 0, 1, 2, ...
So a variant depends on (family, version, seed, index) alone, asking for more never changes
the earlier ones, and nothing is drawn twice - neither a problem nor a disguise of it.

When new variants become rare the remaining parameter sets are listed, if there are few
enough, so that a family that runs out says so with its exact number.
"""

from collections import Counter, OrderedDict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from hashlib import sha256
from itertools import count
from typing import Any

from itembank.kinds.base import Problem, Slip, Solution
from itembank.kinds.table import KINDS
from itembank.spec import Family
from itembank.values.answer import ResidueSet
from itembank.values.errors import DrawError, ItemBankError
from itembank.values.item import canonical

LISTABLE = 50_000
"""Parameter sets up to this number are listed when variants become rare, or to count them."""

PATIENCE = 300
"""Rejected attempts in a row after which variants count as rare."""

GIVEN_UP = 5_000
"""Rejected attempts in a row after which a family too large to list counts as exhausted."""

SAMPLE = 2_000
"""Attempts from which the capacity of a family too large to list is estimated."""

BATCH = 100
"""Attempts that are evaluated together where another process does it."""

REMEMBERED = 1000
"""Candidates that a process keeps, so that composing an item need not solve it again."""

REPEATED = "the same problem, or a disguise of it"

Parameters = Mapping[str, int]


def pick(key: str, n: int) -> int:
    """A number in range(n) fixed by `key` alone ("crt-two/v3/seed-7/12/m1").

    The bias is below n / 2^256.
    """
    return int.from_bytes(sha256(key.encode()).digest(), "big") % n


# ------------------------------------------------------------ candidates


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """A problem that satisfies its family's conditions, with its solution and slips."""

    parameters: Parameters
    problem: Problem
    solution: Solution[Any]
    slips: tuple[Slip, ...]


Fits = Callable[[Candidate], None]
"""Raises ComposeError if a candidate cannot be put in a response form of its family."""


@dataclass(frozen=True)
class Effort:
    """What a variant costs by hand: steps, digits of the modulus, singular roots to lift."""

    steps: int
    digits: int
    singular: int


@dataclass(frozen=True)
class Attempt:
    """What became of one parameter set; light, so that it may come from another process.

    problem: names the problem and its disguises alike, "" if there was none to name.
    rejected: why it is no candidate, or "".  signs: what near twins have in common.
    slips: the names of those that it offers.
    """

    parameters: Parameters | None
    problem: str = ""
    rejected: str = ""
    signs: tuple[str, ...] = ()
    effort: Effort = Effort(0, 0, 0)
    slips: tuple[str, ...] = ()


def name_of(value: tuple[object, ...]) -> str:
    """A short name for a tuple of plain values, the same in every process."""
    return sha256(canonical(value)).hexdigest()[:32]


def attempt(
    family: Family,
    letter: str,
    fits: Fits,
    parameters: Parameters | None,
    seen: Mapping[str, object] | set[str],
) -> Attempt:
    """What becomes of a parameter set; a problem that was `seen` is not solved again."""
    if parameters is None:
        return Attempt(None, rejected="a parameter has no value left")
    for condition in family.conditions:
        if not condition.measures and not condition.holds(parameters):
            return Attempt(parameters, rejected=f"not {condition.expression.text}")
    stated = KINDS[family.kind].from_given(family.given.values(parameters), letter)
    problem = name_of(stated.canonical)
    if problem in seen:
        return Attempt(parameters, problem, REPEATED)
    solution = stated.solve()
    measures = stated.measures(solution)
    measured = {**parameters, **measures}
    for condition in family.conditions:
        if condition.measures and not condition.holds(measured):
            return Attempt(parameters, problem, f"not {condition.expression.text}")
    found = with_slips(family, stated, solution, parameters)
    try:
        fits(found)
    except ItemBankError as e:
        return Attempt(parameters, problem, str(e))
    remembered[remembered_as(family, letter, parameters)] = found
    if len(remembered) > REMEMBERED:
        remembered.popitem(last=False)
    return Attempt(
        parameters,
        problem,
        signs=twin_signs(found),
        effort=Effort(
            found.solution.effort, len(str(stated.modulus)), measures.get("singular_roots", 0)
        ),
        slips=tuple(name for slip in found.slips for name in slip.names),
    )


def solved(family: Family, problem: Problem, parameters: Parameters) -> Candidate:
    return with_slips(family, problem, problem.solve(), parameters)


def with_slips(
    family: Family, problem: Problem, solution: Solution[Any], parameters: Parameters
) -> Candidate:
    slips = tuple(s for s in problem.slips(solution) if set(s.names) & set(family.slips))
    return Candidate(parameters=parameters, problem=problem, solution=solution, slips=slips)


def candidate(family: Family, letter: str, parameters: Parameters) -> Candidate:
    """The candidate with these parameters, which were accepted before."""
    found = remembered.get(remembered_as(family, letter, parameters))
    if found is None:
        stated = KINDS[family.kind].from_given(family.given.values(parameters), letter)
        found = solved(family, stated, parameters)
    return found


remembered: OrderedDict[tuple[object, ...], Candidate] = OrderedDict()
"""The last candidates of this process.  What is held here is never other than `solved` gives."""


def remembered_as(family: Family, letter: str, parameters: Parameters) -> tuple[object, ...]:
    return (family.fingerprint, letter, *parameters.values())


def twin_signs(found: Candidate) -> tuple[str, ...]:
    """What near twins have in common: the shift class, or the modulus and a non-empty answer."""
    answer = found.solution.answer
    signs: list[tuple[object, ...]] = [("shift", *found.problem.twin)]
    if isinstance(answer, ResidueSet) and answer:
        signs.append(("answer", answer.modulus, answer.count, answer.least(), answer.largest()))
    return tuple(map(name_of, signs))


# ------------------------------------------------------------ the stream


@dataclass(frozen=True, kw_only=True)
class Variant:
    """The index-th candidate of (family, version, seed); what it says is worked out when asked."""

    family: Family
    seed: str
    index: int
    letter: str
    parameters: Parameters
    name: str
    signs: tuple[str, ...]
    effort: Effort
    slip_names: tuple[str, ...]

    @property
    def candidate(self) -> Candidate:
        return candidate(self.family, self.letter, self.parameters)

    @property
    def problem(self) -> Problem:
        return self.candidate.problem

    @property
    def solution(self) -> Solution[Any]:
        return self.candidate.solution

    @property
    def slips(self) -> tuple[Slip, ...]:
        return self.candidate.slips


@dataclass(frozen=True)
class Batch:
    """Parameter sets to try: those of the attempts numbered in `drawn` under `key`, or `listed`."""

    key: str
    drawn: range = range(0)
    listed: tuple[Parameters, ...] = ()

    def parameter_sets(self, family: Family) -> Iterator[Parameters | None]:
        for n in self.drawn:
            yield drawn(family, f"{self.key}/{n}")
        yield from self.listed


Evaluate = Callable[[Iterable[Batch]], Iterator[Attempt]]
"""What becomes of the parameter sets of all batches, in order; batches are taken as needed."""


@dataclass
class Stream:
    """The variants of one family under one seed, with what was rejected and why.

    `evaluate` tries batches elsewhere, such as in other processes; what is drawn is the same.
    """

    family: Family
    seed: str
    fits: Fits
    letter: str = "x"
    evaluate: Evaluate | None = None
    attempts: int = 0
    rejected: Counter[str] = field(default_factory=Counter)
    seen: set[str] = field(default_factory=set)
    accepted: int = 0

    def __iter__(self) -> Iterator[Variant]:
        """By chance until variants have been rare for long, then those that are left."""
        quiet = 0
        for found in self.numbered(self.by_chance()):
            quiet = 0 if found else quiet + 1
            if found:
                yield found
            elif quiet >= PATIENCE and (quiet >= GIVEN_UP or self.listed is not None):
                break
        yield from filter(None, self.numbered(in_batches(self.key, self.listed or ())))

    @property
    def key(self) -> str:
        return f"{self.family.id}/v{self.family.version}/{self.seed}"

    @cached_property
    def listed(self) -> list[dict[str, int]] | None:
        """All parameter sets in an order fixed by the key; None if they are too many."""
        sets = assignments(self.family, LISTABLE)
        if sets is not None:
            sets.sort(key=lambda values: pick(f"{self.key}/listed/{sorted(values.items())}", 2**64))
        return sets

    def by_chance(self) -> Iterator[Batch]:
        """Batches of parameter sets drawn with replacement, without end."""
        for first in count(0, BATCH):
            yield Batch(self.key, range(first, first + BATCH))

    def numbered(self, batches: Iterable[Batch]) -> Iterator[Variant | None]:
        """For each parameter set the next variant; None, with the reason counted, without one."""
        for found in (self.evaluate or self.evaluated)(batches):
            self.attempts += 1
            rejected = REPEATED if found.problem in self.seen else found.rejected
            if rejected or found.parameters is None:
                self.rejected[rejected] += 1
                yield None
                continue
            self.seen.add(found.problem)
            index, self.accepted = self.accepted, self.accepted + 1
            yield Variant(
                family=self.family,
                seed=self.seed,
                index=index,
                letter=self.letter,
                parameters=found.parameters,
                name=found.problem,
                signs=found.signs,
                effort=found.effort,
                slip_names=found.slips,
            )

    def evaluated(self, batches: Iterable[Batch]) -> Iterator[Attempt]:
        for batch in batches:
            for parameters in batch.parameter_sets(self.family):
                yield attempt(self.family, self.letter, self.fits, parameters, self.seen)

    def exhausted(self, wanted: int) -> DrawError:
        """The error for a family that has fewer variants than wanted."""
        reasons = "; ".join(f"{n} x {reason}" for reason, n in self.rejected.most_common(4))
        return DrawError(
            f"family {self.family.id}: expected {wanted} variants, it has {self.accepted}"
            + (f" ({self.attempts} parameter sets tried: {reasons})" if reasons else "")
            + "; widen its parameters or ask for fewer"
        )


def in_batches(key: str, sets: Iterable[Parameters]) -> Iterator[Batch]:
    listed = tuple(sets)
    for first in range(0, len(listed), BATCH):
        yield Batch(key, listed=listed[first : first + BATCH])


def drawn(family: Family, key: str) -> Parameters | None:
    """One parameter set; None if a parameter has an empty domain after the earlier ones."""
    values: dict[str, int] = {}
    for parameter in family.parameters:
        domain = parameter.domain(values)
        if not domain.size:
            return None
        values[parameter.name] = domain.value(pick(f"{key}/{parameter.name}", domain.size))
    return values


# ------------------------------------------------------------ capacity


def assignments(family: Family, limit: int) -> list[dict[str, int]] | None:
    """All parameter sets, in the order of the domains; None if more than `limit`."""
    sets: list[dict[str, int]] = [{}]
    for parameter in family.parameters:
        longer: list[dict[str, int]] = []
        for values in sets:
            domain = parameter.domain(values)
            if len(longer) + domain.size > limit:
                return None
            longer += [{**values, parameter.name: v} for v in domain]
        sets = longer
    return sets


@dataclass(frozen=True, kw_only=True)
class Capacity:
    """How many distinct variants a family can give, and what was seen on the way.

    `exact` is False for an estimate, which then lies within `margin` of the truth two
    times in three (from the coincidences among a sample: the birthday estimate), or is a
    lower bound if margin is None.
    """

    variants: int
    exact: bool
    margin: int | None
    acceptance: Fraction
    steps: tuple[int, int] | None
    slips: tuple[str, ...]
    rejected: Mapping[str, int]


def capacity(family: Family, fits: Fits) -> Capacity:
    """Exact while the parameter sets can be listed, else estimated from a fixed sample."""
    stream = Stream(family, "capacity", fits)
    listed = assignments(family, LISTABLE)
    if listed is not None:
        found = list(filter(None, stream.numbered(in_batches(stream.key, listed))))
        return Capacity(
            variants=len(found),
            exact=True,
            margin=0,
            acceptance=Fraction(len(found) + repeats(stream), max(1, stream.attempts)),
            **seen_in(found),
            rejected=dict(stream.rejected),
        )
    sample = [Batch(stream.key, range(SAMPLE))]
    found = list(filter(None, stream.numbered(sample)))
    accepted = len(found) + repeats(stream)
    pairs, coincidences = accepted * (accepted - 1) // 2, repeats(stream)
    estimate = pairs // max(1, coincidences)
    return Capacity(
        variants=estimate if coincidences else max(len(found), pairs // 3),
        exact=False,
        margin=int(estimate / coincidences**0.5) if coincidences else None,
        acceptance=Fraction(accepted, stream.attempts),
        **seen_in(found),
        rejected=dict(stream.rejected),
    )


def repeats(stream: Stream) -> int:
    return stream.rejected[REPEATED]


def seen_in(found: list[Variant]) -> dict[str, Any]:
    efforts = [v.effort.steps for v in found]
    names = {name for v in found for name in v.slip_names}
    return {
        "steps": (min(efforts), max(efforts)) if efforts else None,
        "slips": tuple(sorted(names)),
    }
