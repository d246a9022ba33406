"""The numbers x with phi(x) = n: all of them, how many there are, and which is the largest.

Method taught: a prime p divides x only if p - 1 divides n; the largest prime of x is chosen with
its exponent, and what is left of n is divided among the smaller ones.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
section 2.1, problems.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import ClassVar

from itembank.kinds.base import Kind, Phrases, Slip, Solution, Step, distinct_slips
from itembank.kinds.mistakes import SetFound, ValueFound, wrong_sets
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, Told, counted, each, grid, lead, say
from itembank.maths.primes import divisors, factorisation, is_prime
from itembank.notation.building import dotted, equal, factored_modulus, listed
from itembank.notation.tree import Call, Letter, Math, Number, Relation
from itembank.values.answer import Absent, ResidueSet, Value
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "LargestWithPhi", "NumberWithPhi", "NumbersWithPhi", "read"]

_LARGEST = 100_000
"""The largest n: its numbers are found by hand, or nearly."""

_PHI = Letter("φ")


def _candidates(n: int) -> tuple[int, ...]:
    """The primes p with p - 1 dividing n.

    >>> _candidates(12)
    (2, 3, 5, 7, 13)
    """
    return tuple(d + 1 for d in divisors(n) if is_prime(d + 1))


def with_phi(n: int) -> tuple[int, ...]:
    """All x with phi(x) = n, increasing.

    >>> with_phi(12)
    (13, 21, 26, 28, 36, 42)
    """
    return tuple(sorted(_below(n, _candidates(n))))


def _below(n: int, primes: Sequence[int]) -> Iterator[int]:
    """The x with phi(x) = n made of these primes."""
    if n == 1:
        yield 1
    for i, p in enumerate(primes):
        power, left = p, n
        if left % (p - 1):
            continue
        left //= p - 1
        while True:
            yield from (power * x for x in _below(left, primes[:i]))
            if left % p:
                break
            power, left = power * p, left // p


def bound(n: int) -> int:
    """No x with phi(x) = n is larger: x is n times p/(p - 1) for each of its primes.

    >>> bound(12)
    56
    """
    largest = Fraction(n)
    for p in _candidates(n):
        largest *= Fraction(p, p - 1)
    return int(largest)


@dataclass(frozen=True)
class _Candidates(Step):
    """The primes p with p - 1 dividing n."""

    name = "which primes may divide"
    n: int
    primes: tuple[int, ...]

    @property
    def effort(self) -> int:
        return len(self.primes)


@dataclass(frozen=True)
class _Cases(Step):
    """The numbers, by their largest prime and its exponent."""

    name = "one case after another"
    n: int
    primes: tuple[int, ...]
    found: tuple[int, ...]

    @property
    def effort(self) -> int:
        return len(self.primes) + len(self.found)

    @property
    def rows(self) -> Iterator[tuple[int, int, tuple[int, ...]]]:
        """Each power q of a prime with phi(q) dividing n; phi(q); the y of smaller primes with
        phi(qy) = n."""
        for i, p in enumerate(self.primes):
            q, value = p, p - 1
            while self.n % value == 0:
                yield q, value, tuple(sorted(_below(self.n // value, self.primes[:i])))
                q, value = q * p, value * p


# ------------------------------------------------------------ telling


def _phi_of(n: int | Math) -> Math:
    return Call(_PHI, (Number(n) if isinstance(n, int) else n,))


def _candidates_told(step: _Candidates) -> Iterator[Told]:
    yield lead("Which primes may divide.")
    yield say(
        "If a prime $p$ divides $x$, then $p - 1$ divides $φ(x) = {n}$. The divisors of {n} that "
        "are one less than a prime leave the primes ${primes}$.",
        n=step.n,
        primes=listed(step.primes),
    )


def _cases(step: _Cases) -> Iterator[Told]:
    yield lead("The largest prime.")
    yield say(
        "Let $q$ be the power of the largest prime of $x$ in $x = qy$. Then $φ(q)φ(y) = {n}$, and "
        "$y$ is made of smaller primes:",
        n=step.n,
    )
    yield grid(
        (
            Letter("q"),
            _phi_of(Letter("q")),
            _phi_of(Letter("y")),
            Letter("y"),
            Letter("x"),
        ),
        [
            (q, value, step.n // value, _list_of(rests), _list_of([q * y for y in rests]))
            for q, value, rests in step.rows
        ],
    )
    if step.n == 1:
        yield say("The number 1 has no prime, and $φ(1) = 1$.")


def _list_of(numbers: Sequence[int]) -> Math | Said:
    return listed(numbers) if numbers else say("none")


_TELLING: Tellers = {_Candidates: _candidates_told, _Cases: _cases}

# ------------------------------------------------------------ slips


def _only_odd(w: "WithPhi") -> tuple[int, ...]:
    return tuple(x for x in w.found if x % 2)


def _odd_ones_counted(w: "WithPhi") -> ValueFound:
    return len(_only_odd(w)), say(
        "If you counted odd numbers alone: twice an odd number has the same value."
    )


def _primes_counted(w: "WithPhi") -> ValueFound:
    return len(_candidates(w.number)), say(
        "If you counted the primes that may divide: each of them is only a part of a number."
    )


def _squarefree_counted(w: "WithPhi") -> ValueFound:
    return sum(all(k == 1 for _p, k in factorisation(x)) for x in w.found), say(
        "If you took each prime once: higher powers of a prime can stand in the number too."
    )


def _doubles_counted_once_more(w: "WithPhi") -> ValueFound:
    return len(w.found) + len(_only_odd(w)), say(
        "Is each number counted once? The double of an odd number stands in the list already."
    )


_COUNT: dict[str, Callable[..., ValueFound]] = {
    "primes-counted": _primes_counted,
    "each-prime-once": _squarefree_counted,
    "odd-numbers-alone": _odd_ones_counted,
    "doubles-counted-twice": _doubles_counted_once_more,
}
"""In the order of the method."""


def _largest_odd(w: "WithPhi") -> ValueFound:
    odd = _only_odd(w)
    return (odd[-1] if odd else 0), say(
        "If you looked at odd numbers alone: twice an odd number has the same value."
    )


def _next_number(w: "WithPhi") -> ValueFound:
    n = w.number + 1
    return n, say(
        "If you took ${number} + 1$: only for a prime is the value one less than the number, and "
        "larger numbers may have the same value.",
        number=w.number,
    )


def _doubled(w: "WithPhi") -> ValueFound:
    return 2 * w.number + 2, say(
        "If you took twice ${number} + 1$: several small primes together take more away than one "
        "large one.",
        number=w.number,
    )


def _second_largest(w: "WithPhi") -> ValueFound:
    if len(w.found) < 2:
        return None
    return w.found[-2], say("There is a larger number. Which small primes can go together?")


def _primes_alone(w: "WithPhi") -> SetFound:
    return [x for x in w.found if is_prime(x)], say(
        "If you looked at primes alone: products of powers of primes have values too."
    )


def _each_prime_once(w: "WithPhi") -> SetFound:
    return [x for x in w.found if all(k == 1 for _p, k in factorisation(x))], say(
        "If you took each prime once: higher powers of a prime can stand in the number too."
    )


def _odd_alone(w: "WithPhi") -> SetFound:
    return _only_odd(w), say(
        "If you looked at odd numbers alone: twice an odd number has the same value."
    )


def _one_more_added(w: "WithPhi") -> SetFound:
    return {*w.found, w.number + 1}, say(
        "Check ${number} + 1$: only for a prime is the value one less than the number.",
        number=w.number,
    )


def _doubled_once_too_often(w: "WithPhi") -> SetFound:
    return {*w.found, *(2 * x for x in w.found)}, say(
        "If you doubled numbers: the value stays the same only for the double of an odd number."
    )


_ALL_OF_THEM: dict[str, Callable[..., SetFound]] = {
    "primes-alone": _primes_alone,
    "each-prime-once": _each_prime_once,
    "odd-numbers-alone": _odd_alone,
    "one-more": _one_more_added,
    "even-numbers-doubled": _doubled_once_too_often,
}
"""In the order of the method."""

_LARGEST_ONE: dict[str, Callable[..., ValueFound]] = {
    "one-more": _next_number,
    "twice-one-more": _doubled,
    "largest-odd": _largest_odd,
    "not-the-largest": _second_largest,
}
"""In the order of the method."""

# ------------------------------------------------------------ the kinds


@dataclass(frozen=True, kw_only=True)
class WithPhi(Phrased):
    """What both share: the value n >= 1."""

    telling: ClassVar[Tellers] = _TELLING
    modulus: ClassVar[None] = None
    number: int

    def check(self) -> None:
        n = self.number
        require(1 <= n <= _LARGEST, f"a number from 1 to {_LARGEST}", n)

    @cached_property
    def found(self) -> tuple[int, ...]:
        return with_phi(self.number)

    @property
    def steps(self) -> tuple[Step, ...]:
        primes = _candidates(self.number)
        return _Candidates(self.number, primes), _Cases(self.number, primes, self.found)

    @property
    def equation(self) -> Math:
        return equal(_phi_of(Letter("x")), self.number)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (self.equation,)


@dataclass(frozen=True, kw_only=True)
class NumberWithPhi(WithPhi):
    """How many x there are."""

    kind: ClassVar[str] = "number_with_phi"
    phrase: ClassVar[str] = "number of solutions of phi(x) = {number}"
    spellings: ClassVar[tuple[str, ...]] = (
        "phi(x) = {number}",
        "how many x have phi(x) = {number}",
    )
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _COUNT
    signature: ClassVar[KindSignature] = about("number_with_phi", phrase, _COUNT)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no number"), entry=say("Type the number in digits; if there is none, type 0.")
        )

    def asked(self, ask: str) -> Said:
        return say(
            "Find the number of positive integers $x$ with ${equation}$.", equation=self.equation
        )

    def solve(self) -> Solution[Value]:
        return Solution(Value(len(self.found)), self.steps)

    def answer_text(self, answer: Value) -> Said:
        if not self.found:
            return say("There is no such number.")
        return counted(
            "There is {n} such number: ${numbers}$.",
            "There are {n} such numbers: ${numbers}$.",
            answer.value,
            numbers=listed(self.found),
        )


@dataclass(frozen=True, kw_only=True)
class LargestWithPhi(WithPhi):
    """The largest x."""

    kind: ClassVar[str] = "largest_with_phi"
    phrase: ClassVar[str] = "largest solution of phi(x) = {number}"
    spellings: ClassVar[tuple[str, ...]] = ("largest x with phi(x) = {number}",)
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _LARGEST_ONE
    signature: ClassVar[KindSignature] = about(
        "largest_with_phi", phrase, _LARGEST_ONE, measures=("exists", "value", "steps", "digits")
    )

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no number"), entry=say("Type the number in digits."))

    def asked(self, ask: str) -> Said:
        return say(
            "Find the **largest** positive integer $x$ with ${equation}$.", equation=self.equation
        )

    def solve(self) -> Solution[Value | Absent]:
        if not self.found:
            return Solution(Absent(say("There is no such number.")), self.steps)
        return Solution(Value(self.found[-1]), self.steps)

    def answer_text(self, answer: Value | Absent) -> Said:
        if isinstance(answer, Absent):
            return answer.reason
        return say(
            "The largest of the numbers ${numbers}$ is {x}.",
            numbers=listed(self.found),
            x=answer.value,
        )


@dataclass(frozen=True, kw_only=True)
class NumbersWithPhi(WithPhi):
    """All x; they are listed below a bound that none of them reaches, which no student is told."""

    kind: ClassVar[str] = "numbers_with_phi"
    phrase: ClassVar[str] = "which x have phi(x) = {number}"
    spellings: ClassVar[tuple[str, ...]] = ("which numbers x have phi(x) = {number}",)
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = {}
    signature: ClassVar[KindSignature] = about(
        "numbers_with_phi",
        phrase,
        _ALL_OF_THEM,
        asks=("all solutions", "an example"),
        measures=("solutions", "steps", "digits"),
    )

    def check(self) -> None:
        super().check()
        require(self.modulus <= _LISTED, f"numbers below {_LISTED}", self.modulus)

    @property
    def modulus(self) -> int:  # type: ignore[override]  # a bound, and nothing is reduced by it
        return bound(self.number) + 1

    asked_modulo: ClassVar[None] = None

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            tick=say("Tick every such number. If there is none, tick only “no number”."),
            none=say("no number"),
            digits=True,
        )

    def asked(self, ask: str) -> Said:
        if ask == "an example":
            return say("Find a positive integer $x$ with ${equation}$.", equation=self.equation)
        return say("Find **all** positive integers $x$ with ${equation}$.", equation=self.equation)

    example_alone: ClassVar[bool] = False

    def example(self, n: int) -> Telling:
        """Its value, prime power by prime power."""
        powers = factorisation(n)
        if not powers:
            yield say("$φ(1) = 1$.")
            return
        values = [p ** (k - 1) * (p - 1) for p, k in powers]
        sides = (
            _phi_of(n),
            *(
                (dotted(_phi_of(p**k) for p, k in powers), dotted(values))
                if len(powers) > 1
                else ()
            ),
            Number(self.number),
        )
        yield say("${chain}$.", chain=Relation(sides, ("=",) * (len(sides) - 1)))

    def solve(self) -> Solution[ResidueSet]:
        m = self.modulus
        return Solution(ResidueSet.of(m, [(x, m) for x in self.found]), self.steps)

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        return distinct_slips(wrong_sets(_ALL_OF_THEM, self), solution.answer)

    def answer_text(self, answer: ResidueSet) -> Said:
        if not self.found:
            return say("There is no such number.")
        return counted(
            "There is {n} such number: ${numbers}$.",
            "There are {n} such numbers: ${numbers}$.",
            answer.count,
            numbers=listed(self.found),
        )


_LISTED = 10_000
"""Numbers are listed one by one below this."""

read = reader(NumberWithPhi, LargestWithPhi, NumbersWithPhi)


def _certificate(problem: WithPhi, _answer: Value | Absent | ResidueSet) -> Telling:
    """Each number with its factors, and its value."""
    if problem.found:
        yield lead("By prime powers.")
        yield say(
            "{numbers}, each with the value {n}.",
            numbers=each(_factored(x) for x in problem.found),
            n=problem.number,
        )


def _factored(x: int) -> Math:
    """36 = 2^2 · 3^2; a prime, or 1, alone."""
    product = factored_modulus(factorisation(x))
    return Number(x) if product == Number(x) else equal(x, product)


_NEXT = {
    "the value": say(
        "List the divisors of the number that are one less than a prime. Which products of powers "
        "of these primes have the value asked for? If an odd number has it, so has its double."
    )
}

KINDS = (
    Kind(
        problem=NumberWithPhi,
        read=read,
        value="count",
        about="How many positive integers x have phi(x) = n.",
        title=say("Euler's function"),
        next_steps=_NEXT,
        samples=(
            "number of solutions of phi(x) = 24",
            "phi(x) = 12",
            "how many x have phi(x) = 14",
            "phi(x) = 1",
            "phi(x) = 2",
            "phi(x) = 16",
        ),
        certificate=_certificate,
    ),
    Kind(
        problem=LargestWithPhi,
        read=read,
        value="integer",
        about="The largest positive integer x with phi(x) = n, or that there is none.",
        title=say("Euler's function"),
        next_steps=_NEXT,
        samples=(
            "largest solution of phi(x) = 24",
            "largest x with phi(x) = 12",
            "largest x with phi(x) = 14",
            "largest x with phi(x) = 1",
            "largest x with phi(x) = 48",
        ),
        certificate=_certificate,
    ),
    Kind(
        problem=NumbersWithPhi,
        read=read,
        about="All positive integers x with phi(x) = n, or one of them.",
        title=say("Euler's function"),
        next_steps={"all solutions": _NEXT["the value"], "an example": _NEXT["the value"]},
        samples=(
            "which x have phi(x) = 24",
            "which numbers x have phi(x) = 12",
            "which x have phi(x) = 14",
            "which x have phi(x) = 1",
            "which x have phi(x) = 48",
        ),
        certificate=_certificate,
    ),
)
"""What the house knows of these kinds."""
