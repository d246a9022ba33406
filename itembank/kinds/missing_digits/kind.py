"""A digit of a number is missing: all digits with which the number is divisible by m.

There may be none, one or several: 0 and 9 both do where 9 divides with one of them.

Method taught: m is split into prime powers, each has its test (last digits for powers of 2 and 5,
the sum of the digits for 3 and 9, the alternating sum for 11, the weight of the place for
others), and the digits that pass every test are kept.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Self

from itembank.kinds.base import (
    Given,
    Kind,
    Phrases,
    Slip,
    Solution,
    Step,
    distinct_slips,
    integer_of,
)
from itembank.kinds.chains import division
from itembank.kinds.mistakes import SetFound, wrong_sets
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, Told, counted, each, lead, say
from itembank.maths.primes import factorisation
from itembank.notation.building import dotted, equal, listed, polynomial
from itembank.notation.tree import Math
from itembank.values.answer import ResidueSet
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "MissingDigits", "read"]

_LONGEST = 30
"""A number has at most so many digits."""

_LARGEST = 10_000
"""The largest divisor."""

_DIGITS = range(10)

# ------------------------------------------------------------ steps


@dataclass(frozen=True)
class _Split(Step):
    """m as a product of prime powers, where there are several."""

    name = "split the divisor"
    m: int
    parts: tuple[int, ...]

    @property
    def effort(self) -> int:
        return int(len(self.parts) > 1)


@dataclass(frozen=True)
class _Test(Step):
    """The digits with which the number `text` is divisible by the prime power q."""

    name = "test one divisor"
    text: str
    q: int

    @property
    def place(self) -> int:
        """How many digits stand behind the missing one."""
        return len(self.text) - 1 - self.text.index("?")

    @property
    def digits(self) -> tuple[int, ...]:
        return _fitting(self.text, self.q)


@dataclass(frozen=True)
class _Keep(Step):
    """The digits that pass every test."""

    name = "keep what passes every test"
    sets: tuple[tuple[int, ...], ...]
    both: tuple[int, ...]


def _fitting(text: str, m: int) -> tuple[int, ...]:
    return tuple(d for d in _DIGITS if int(text.replace("?", str(d))) % m == 0)


def _prime_powers(m: int) -> tuple[int, ...]:
    return tuple(p**k for p, k in factorisation(m))


# ------------------------------------------------------------ telling


def _split(step: _Split) -> Iterator[Told]:
    if len(step.parts) < 2:
        return
    yield lead("Split the divisor.")
    yield say(
        "${m} = {parts}$, and no two of these factors share a prime: a number is divisible by {m} "
        "if and only if it is divisible by each of them.",
        m=step.m,
        parts=dotted(step.parts),
    )


def _test(step: _Test) -> Iterator[Told]:
    q = step.q
    yield lead("Divisible by {q}.", q=q)
    if q in (3, 9):
        yield from _by_sum(step)
    elif q == 11:
        yield from _by_alternating_sum(step)
    elif 10 ** (k := _tail(q)) % q == 0 and k < 5:
        yield from _by_last_digits(step, k)
    else:
        yield from _by_weight(step)
    yield _which(step.digits)


def _tail(q: int) -> int:
    """How many last digits decide, for a power of 2 or 5."""
    return next((k for k in range(1, 20) if 10**k % q == 0), 99)


def _which(digits: tuple[int, ...]) -> Said:
    if not digits:
        return say("No digit does.")
    if len(digits) == 10:
        return say("Every digit does.")
    return counted(
        "Among the digits only ${digits}$ does.",
        "Among the digits ${digits}$ do.",
        len(digits),
        digits=listed(digits),
    )


def _by_sum(step: _Test) -> Iterator[Told]:
    known = [int(c) for c in step.text if c != "?"]
    yield say(
        "The sum of the digits is ${sum}$, and {q} has to divide it.",
        sum=polynomial((sum(known), 1), "d"),
        q=step.q,
    )


def _by_alternating_sum(step: _Test) -> Iterator[Told]:
    signed = [(-1) ** i * int(c) for i, c in enumerate(reversed(step.text)) if c != "?"]
    yield say(
        "The alternating sum of the digits, from the last one on, is ${sum}$, and 11 has to divide "
        "it.",
        sum=polynomial((sum(signed), (-1) ** step.place), "d"),
    )


def _by_last_digits(step: _Test, k: int) -> Iterator[Told]:
    if step.place >= k:
        yield counted(
            "The last digit decides, and it is known.",
            "The last {n} digits decide, and they are known.",
            k,
        )
        return
    end = int(step.text[-k:].replace("?", "0"))
    yield counted(
        "The last digit decides: {q} has to divide ${number}$.",
        "The last {n} digits decide: {q} has to divide ${number}$.",
        k,
        q=step.q,
        number=polynomial((end, 10**step.place), "d"),
    )


def _by_weight(step: _Test) -> Iterator[Told]:
    q, zero = step.q, int(step.text.replace("?", "0"))
    yield say(
        "With 0 for the digit the number is ${division}$, and the digit counts "
        "${place} ≡ {weight} (mod {q})$ times: {q} has to divide ${sum}$.",
        division=division(zero, q),
        place=10**step.place,
        weight=10**step.place % q,
        q=q,
        sum=polynomial((zero % q, 10**step.place % q), "d"),
    )


def _keep(step: _Keep) -> Iterator[Told]:
    if len(step.sets) > 1:
        yield lead("Every test.")
        yield _which(step.both)


_TELLING: Tellers = {_Split: _split, _Test: _test, _Keep: _keep}

# ------------------------------------------------------------ slips


def _nine_or_nought_left_out(w: "MissingDigits") -> SetFound:
    if not {0, 9} <= set(w.fitting):
        return None
    return [d for d in w.fitting if d != 9], say(
        "Is there a further digit? Two of them leave the same remainder modulo 9."
    )


def _only_the_least(w: "MissingDigits") -> SetFound:
    if len(w.fitting) < 2:
        return None
    return w.fitting[:1], say(
        "If you stopped at the first digit that fits: try the digits beyond it."
    )


def _one_divisor_forgotten(w: "MissingDigits") -> SetFound:
    if len(w.parts) < 2:
        return None
    q = w.parts[-1]
    return _fitting(w.digits, q), say(
        "If you tested {q} alone: {m} has another factor, which has to divide the number too.",
        q=q,
        m=w.divisor,
    )


def _other_divisor_forgotten(w: "MissingDigits") -> SetFound:
    if len(w.parts) < 2:
        return None
    q = w.parts[0]
    return _fitting(w.digits, q), say(
        "If you tested {q} alone: {m} has another factor, which has to divide the number too.",
        q=q,
        m=w.divisor,
    )


def _remainder_for_digit(w: "MissingDigits") -> SetFound:
    r = int(w.digits.replace("?", "0")) % w.divisor
    if r > 9:
        return None
    return [r], say(
        "If you gave the remainder that is left without the digit: the digit has to complete it to "
        "a multiple."
    )


def _sum_for_alternating_sum(w: "MissingDigits") -> SetFound:
    if 11 not in w.parts:
        return None
    known = sum(int(c) for c in w.digits if c != "?")
    others = [q for q in w.parts if q != 11]
    return [
        d
        for d in _DIGITS
        if (known + d) % 11 == 0 and all(d in _fitting(w.digits, q) for q in others)
    ], say("If you added all digits for 11: their signs alternate there.")


_MISTAKES: dict[str, Callable[..., SetFound]] = {
    "one-divisor-forgotten": _one_divisor_forgotten,
    "other-divisor-forgotten": _other_divisor_forgotten,
    "sum-for-alternating-sum": _sum_for_alternating_sum,
    "remainder-for-digit": _remainder_for_digit,
    "nine-left-out": _nine_or_nought_left_out,
    "only-the-least": _only_the_least,
}
"""In the order of the method."""

# ------------------------------------------------------------ the kind


@dataclass(frozen=True, kw_only=True)
class MissingDigits(Phrased):
    """`digits` with one question mark, to be divisible by `divisor`."""

    kind: ClassVar[str] = "missing_digits"
    phrase: ClassVar[str] = "digits for ? in {digits} divisible by {divisor}"
    spellings: ClassVar[tuple[str, ...]] = (
        "missing digit in {digits} divisible by {divisor}",
        "digits that make {digits} divisible by {divisor}",
    )
    telling: ClassVar[Tellers] = _TELLING
    mistakes: ClassVar[dict[str, Callable[..., Any]]] = {}
    modulus: ClassVar[int] = 10
    signature: ClassVar[KindSignature] = about(
        "missing_digits",
        phrase,
        _MISTAKES,
        asks=("all solutions",),
        measures=("exists", "solutions", "steps", "parts", "digits"),
        given={"number": "integer", "place": "integer", "divisor": "integer"},
    )
    digits: str
    divisor: int

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """`place`: which digit of `number` is missing, from 1 on the left."""
        text, place = str(integer_of(given, "number")), integer_of(given, "place")
        require(1 <= place <= len(text), f"given.place from 1 to {len(text)}", place)
        digits = f"{text[: place - 1]}?{text[place:]}"
        return cls(digits=digits, divisor=integer_of(given, "divisor"))

    def check(self) -> None:
        text, m = self.digits, self.divisor
        require(text.count("?") == 1, "one question mark", text)
        require(2 <= len(text) <= _LONGEST, f"a number of 2 to {_LONGEST} digits", text)
        require(not text.startswith(("?", "0")), "a first digit above 0 that is known", text)
        require(2 <= m <= _LARGEST, f"a divisor from 2 to {_LARGEST}", m)

    @property
    def fitting(self) -> tuple[int, ...]:
        return _fitting(self.digits, self.divisor)

    @property
    def parts(self) -> tuple[int, ...]:
        return _prime_powers(self.divisor)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            tick=say("Tick every such digit. If there is none, tick only “no digit fits”."),
            none=say("no digit fits"),
            digits=True,
        )

    def asked(self, ask: str) -> Said:
        return say(
            "Find **all** digits that can stand for the question mark in {number} so that the "
            "number is divisible by {m}.",
            number=self.digits,
            m=self.divisor,
        )

    def solve(self) -> Solution[ResidueSet]:
        tests = tuple(_Test(self.digits, q) for q in self.parts)
        keep = _Keep(tuple(t.digits for t in tests), self.fitting)
        answer = ResidueSet.of(10, [(d, 10) for d in self.fitting])
        return Solution(answer, (_Split(self.divisor, self.parts), *tests, keep))

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {**super().measures(solution), "parts": len(self.parts), "digits": len(self.digits)}

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        return distinct_slips(wrong_sets(_MISTAKES, self), solution.answer)

    def answer_text(self, answer: ResidueSet) -> Said:
        if not answer:
            return say("No digit fits.")
        return counted(
            "The digit is ${digits}$.",
            "The digits are ${digits}$.",
            answer.count,
            digits=listed(answer.residues()),
        )


read = reader(MissingDigits)


def _certificate(problem: MissingDigits, answer: ResidueSet) -> Telling:
    """Each number, divided."""
    m = problem.divisor
    found = [int(problem.digits.replace("?", str(d))) for d in answer.residues()]
    if found:
        yield lead("Check.")
        yield say("{products}.", products=each(_product(n, m) for n in found))


def _product(n: int, m: int) -> Math:
    return equal(n, dotted((n // m, m)))


KINDS = (
    Kind(
        problem=MissingDigits,
        read=read,
        about="All digits for ? with which a number is divisible by m: none, one or several.",
        title=say("A missing digit"),
        next_steps={
            "all solutions": say(
                "Put each digit found in its place: is the number divisible? Then try "
                "the other digits, by the test of each prime power of the divisor."
            )
        },
        samples=(
            "digits for ? in 273?4985 divisible by 11",
            "missing digit in 27?5 divisible by 9",
            "digits for ? in 4?7 divisible by 3",
            "digits that make 12?48 divisible by 7",
            "digits for ? in 31?6 divisible by 36",
            "digits for ? in 5?3 divisible by 2",
            "digits for ? in 81?92 divisible by 8",
            "digits for ? in 9? divisible by 9",
            "digits for ? in 1?34 divisible by 37",
        ),
        certificate=_certificate,
    ),
)
"""What the house knows of this kind."""
