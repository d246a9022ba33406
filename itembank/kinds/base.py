"""What every kind of problem offers, and what solving it returns.

A kind is a folder of this package; its kind.py holds a frozen dataclass that satisfies
`Problem`, a function that reads its plain statement, and its `KindSignature`; `table.py`
holds the one table of them. Notation: m modulus, x unknown.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, ClassVar, Generic, Literal, Protocol, TypeVar, runtime_checkable

from itembank.languages import Said, Telling, Told
from itembank.notation.tree import Math
from itembank.values.answer import Answer, Claimed, TooMany, claimed
from itembank.values.course import Methods
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

Poly = tuple[int, ...]

Given = Mapping[str, int | tuple[int, ...] | tuple[Poly, Poly] | tuple[tuple[Poly, Poly], ...]]
"""The values of a family's `given`, by field: an integer, an equation's two sides, lists."""


def integer_of(given: Given, name: str) -> int:
    value = given[name]
    if not isinstance(value, int):
        raise StatementError(
            worded("given.{name}: expected an integer, got {value}", name=name, value=repr(value))
        )
    return value


def equation_of(given: Given, name: str) -> tuple[Poly, Poly]:
    match given[name]:
        case (tuple() as left, tuple() as right):
            return left, right
        case other:
            raise StatementError(
                worded(
                    "given.{name}: expected an equation, got {other}", name=name, other=repr(other)
                )
            )


@dataclass(frozen=True)
class Step:
    """Base of the typed steps of a derivation; subclasses hold the numbers of one step.

    `name` says what is done ("split the modulus"); `effort` counts the elementary
    actions of hand work in it (one evaluation, one inverse, one combination).
    """

    name: ClassVar[str]

    @property
    def effort(self) -> int:
        return 1


A = TypeVar("A", bound=Answer, covariant=True)


@dataclass(frozen=True)
class Solution(Generic[A]):
    """The complete answer, of the kind's type, and the derivation that found it."""

    answer: A
    steps: tuple[Step, ...]

    @cached_property
    def effort(self) -> int:
        """The step count of the worked solution: what a pool balances."""
        return sum(s.effort for s in self.steps)


Feedback = tuple[Told, ...]
"""What is said to a student who may have made one error."""


@dataclass(frozen=True)
class Slip:
    """A named student error (or several that lead to one answer), carried through the solution.

    `answer` is what it leads to, of the answer's type and listed (residues increasing; one
    value; () for "none"), never the key.  `feedback` names the mistake in this variant's
    numbers and never prints the key: what is said to each name, in their order.
    """

    names: tuple[str, ...]
    answer: Claimed
    feedback: tuple[Feedback, ...]


NOTHING_SAID = Said("")


@dataclass(frozen=True, kw_only=True)
class Phrases:
    """How a kind names what is asked, where the instructions of a response form need it.

    tick: what to tick, where all of a set are to be ticked; none: the answer when there is
    none; claim: "True or false: ..."; entry: what is typed when one integer is asked for.
    largest: what is typed when the largest element is asked for, where it solves nothing.
    some: whether the set asked for always has elements, so that nobody needs a word for none.
    digits: whether its elements are digits: a list of them speaks of no residues.
    A message that no response form of the kind needs is NOTHING_SAID.
    """

    none: Said
    tick: Said = NOTHING_SAID
    claim: Said = NOTHING_SAID
    entry: Said = NOTHING_SAID
    largest: Said = NOTHING_SAID
    some: bool = False
    digits: bool = False


class Problem(Protocol):
    """The mathematics alone.  `statement` parses back to an equal problem."""

    kind: ClassVar[str]
    signature: ClassVar[KindSignature]

    @property
    def modulus(self) -> int | None:
        """What the question is modulo, at least 1; None where it is about the integers."""

    @property
    def statement(self) -> tuple[str, ...]:
        """Canonical plain notation, one line a congruence: ("x^2 + 3x + 8 = 0 mod 36",)."""

    @property
    def shown(self) -> tuple[Math, ...]:
        """The congruences as the stem displays them, one a row."""

    def question(self, ask: str) -> Telling:
        """What the student is asked, before the instructions of the response form."""

    @property
    def phrases(self) -> Phrases: ...

    @property
    def canonical(self) -> tuple[object, ...]:
        """Equal exactly for the same problem after reduction and for its disguises."""

    @property
    def twin(self) -> tuple[object, ...]:
        """Equal for near twins too (a shift of the unknown)."""

    def solve(self) -> Solution[Any]: ...

    def measures(self, solution: Solution[Any]) -> Mapping[str, int]:
        """The structural profile: the numbers named in `signature.measures`."""

    def slips(self, solution: Solution[Any]) -> tuple[Slip, ...]:
        """Slips with distinct wrong answers, in the order of the method."""

    def worked(self, solution: Solution[Any]) -> Telling:
        """The worked solution, from the steps alone."""


DECIDED = frozenset({"whether any", "how many"})
"""What is asked of solutions that nobody wants to see."""


_SATISFIES: dict[tuple[type, type], bool] = {}
"""Whether a class of problems satisfies a protocol, of those that were asked about."""


def satisfies(problem: object, protocol: type) -> bool:
    """Whether a problem has the methods of a protocol, which are looked for once a class."""
    asked = type(problem), protocol
    if asked not in _SATISFIES:
        _SATISFIES[asked] = issubclass(*asked)
    return _SATISFIES[asked]


@runtime_checkable
class _Shortened(Protocol):
    """A problem of which some questions need less than its whole solution."""

    def solution_to(self, ask: str, solution: Solution[Any]) -> Solution[Any]:
        """The solution as far as it answers what is asked."""


def solution_to(problem: Any, ask: str, solution: Solution[Any]) -> Solution[Any]:
    """The solution as it is told where this is asked: whole, unless the kind stops earlier."""
    if satisfies(problem, _Shortened):
        shortened: Solution[Any] = problem.solution_to(ask, solution)
        return shortened
    return solution


@runtime_checkable
class Exemplified(Protocol):
    """A problem that can say of one of its answers why it is right.

    example_alone: whether that is the whole worked solution where an example is asked for.
    """

    example_alone: ClassVar[bool]

    def example(self, n: int) -> Telling:
        """Why n, which is right, is so."""


@runtime_checkable
class Taught(Protocol):
    """A problem that courses solve by several methods."""

    def solved_by(self, methods: Methods) -> Solution[Any]:
        """The solution by the methods of a course, as far as the kind has them."""


USUAL = Methods()


def taught(problem: Any, solution: Solution[Any], methods: Methods) -> Solution[Any]:
    """The solution by the methods of a course; as it is where the kind has one method alone.

    Its answer is the one that was proved: AssertionError where another method finds another.
    """
    if methods == USUAL or not isinstance(problem, Taught):
        return solution
    found = problem.solved_by(methods)
    assert found.answer == solution.answer, f"{problem}: {methods}"
    return found


def worked_for(problem: Any, solution: Solution[Any], ask: str) -> Telling:
    """The worked solution of a problem of which this is asked."""
    told: Telling = problem.worked(solution_to(problem, ask, solution))
    return told


Read = Callable[[Sequence[str]], Any]
"""Gives the problem that plain statements put; None where they have another form."""


def no_certificate(_problem: Any, _answer: Any) -> Telling:
    """The evidence that every kind has is enough: substitution, counts, the second way."""
    return ()


ValueType = Literal[
    "residue", "count", "exponent", "symbol", "digit", "digits", "integer", "verdict"
]
"""What one number that answers a question may be."""


@dataclass(frozen=True, kw_only=True)
class Kind:
    """What the house knows of a kind of problem: its facets, each of which a test asks for.

    problem: the dataclass, which satisfies `Problem` and names the kind.
    read: its reader of plain statements, which kinds of one folder may share.
    about: a line for whoever writes families: what is given and what is asked.
    title: what students see of the question before it: nothing that helps to answer it.
    next_steps: what a student may try whose wrong answer has no name, by what is asked, where
        that of every kind (`next_steps.py`) is not the best.
    samples: plain statements of every shape, as people type them.
    certificate: what a reviewer can check by hand, beside the evidence of every kind.
    value: what its answer is where that is one number.
    digits: how such a number is written where it is one or two digits of a longer one.
    """

    problem: type[Any]
    read: Read
    about: str
    title: Said
    samples: tuple[str, ...]
    certificate: Callable[[Any, Any], Telling] = no_certificate
    next_steps: Mapping[str, Said] = field(default_factory=dict)
    value: ValueType = "integer"
    digits: Callable[[Any, int], str] | None = None

    @property
    def name(self) -> str:
        """The name of the kind, as families say it."""
        name: str = self.problem.kind
        return name


Remark = Said | Feedback
"""What a table of mistakes says to a student: a sentence, or several that go together."""


def slip(name: str, answer: Iterable[int], feedback: Remark) -> Slip:
    """A slip of one name; sentences of its feedback that follow each other are one paragraph."""
    return Slip((name,), tuple(sorted(answer)), (sentences(feedback),))


def sentences(remark: Remark) -> Feedback:
    return (remark,) if isinstance(remark, Said) else remark


def distinct_slips(slips: Iterable[Slip], key: Answer) -> tuple[Slip, ...]:
    """The slips whose answer is not the key, in order; coinciding answers are merged.

    A merged slip carries all names and all feedbacks: which error led there is then open,
    and the student is told of each.
    """
    try:
        right = claimed(key)
    except TooMany:
        right = None
    found: dict[Claimed, Slip] = {}
    for slip in slips:
        if slip.answer == right:
            continue
        if slip.answer in found:
            first = found[slip.answer]
            slip = Slip(first.names + slip.names, slip.answer, first.feedback + slip.feedback)
        found[slip.answer] = slip
    return tuple(found.values())
