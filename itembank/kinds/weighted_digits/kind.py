"""Check-digit schemes: weights w1, ..., wn and a modulus m; a number is valid where m divides the
sum of its digits times their weights.

A wrong digit at a place with weight w changes the sum by w times a difference from 1 to 9, and is
noticed unless m divides that; an exchange of neighbours changes it by the difference of their
weights times such a difference.

Source: J. Kirtland, Identification Numbers and Check Digit Schemes, MAA 2001, chapters 2 and 3.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import gcd
from typing import ClassVar, Self

from itembank.kinds.base import Given, Kind, Phrases, Solution, Step, integer_of
from itembank.kinds.chains import calculated, modulo, sum_of
from itembank.kinds.mistakes import ValueFound
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.unit_multiple import unit_divided
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, Told, grid, lead, say
from itembank.notation.building import dotted, listed
from itembank.notation.tree import Letter, Number
from itembank.values.answer import Absent, Value
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "ExchangesSeen", "WeightedDigit", "WrongDigitsSeen", "read"]

_LONGEST = 20
"""A number has at most so many digits."""

Weights = tuple[int, ...]


def _weights_of(given: Given) -> Weights:
    found = given["weights"]
    return tuple(n for n in found if isinstance(n, int)) if isinstance(found, tuple) else ()


def _check_scheme(weights: Weights, m: int) -> None:
    require(2 <= len(weights) <= _LONGEST, f"2 to {_LONGEST} weights", len(weights))
    require(all(0 < w < 1000 for w in weights), "weights from 1 to 999", min(weights))
    require(2 <= m < 1000, "a modulus from 2 to 999", m)


# ------------------------------------------------------------ steps


@dataclass(frozen=True)
class WeightedSum(Step):
    """The sum of the digits that are known, times their weights."""

    name = "weighted sum"
    text: str
    weights: Weights
    m: int

    @property
    def rows(self) -> tuple[tuple[int, int], ...]:
        """Weight and digit, for each digit that is known."""
        return tuple((w, int(c)) for w, c in zip(self.weights, self.text, strict=True) if c != "?")

    @property
    def total(self) -> int:
        return sum(w * d for w, d in self.rows)

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class _SolveForDigit(Step):
    """w d = -total (mod m), w coprime to m."""

    name = "solve for the digit"
    w: int
    total: int
    m: int

    @property
    def value(self) -> int:
        return -self.total * pow(self.w, -1, self.m) % self.m


@dataclass(frozen=True)
class _Changes(Step):
    """By what multiples an error changes the sum: a factor a place, or a pair of places."""

    name = "what an error changes"
    factors: tuple[int, ...]
    m: int
    exchanged: bool

    @property
    def effort(self) -> int:
        return len(self.factors)


def _noticed(factor: int, m: int) -> bool:
    """Whether no difference from 1 to 9, times the factor, is a multiple of m."""
    return m // gcd(factor, m) > 9


# ------------------------------------------------------------ telling


def _weighted_sum(step: WeightedSum) -> Iterator[Told]:
    yield lead("Weighted sum.")
    yield say(
        "Without the missing digit: ${chain}$.",
        chain=modulo(
            [calculated(sum_of(*(dotted((w, d)) for w, d in step.rows)), step.total, step.m)],
            Number(step.m),
        ),
    )


def _solve_for_digit(step: _SolveForDigit) -> Iterator[Told]:
    w, m, right = step.w, step.m, -step.total % step.m
    yield lead("The congruence.")
    if right:
        yield say(
            "The missing digit $d$ has the weight {w}, so ${w}d ≡ -{total} ≡ {right} (mod {m})$.",
            w=w,
            total=step.total % m,
            right=right,
            m=m,
        )
    else:
        yield say(
            "The missing digit $d$ has the weight {w}, so ${w}d ≡ 0 (mod {m})$.",
            w=w,
            m=m,
        )
    if w % m != 1:
        yield from unit_divided(w % m, right, m, Letter("d"))


def _changes(step: _Changes) -> Iterator[Told]:
    m = step.m
    yield lead("What an error changes.")
    if step.exchanged:
        yield say(
            "If two neighbours with the weights $u$ and $v$ are exchanged, the sum changes by $u - "
            "v$ times their difference, which up to the sign is from 1 to 9. The exchange is "
            "noticed unless {m} divides that product.",
            m=m,
        )
        head = (
            say("difference of weights"),
            say("pairs"),
            say("common divisor with {m}", m=m),
            say("noticed"),
        )
    else:
        yield say(
            "If a digit with the weight $w$ is wrong, the sum changes by $w$ times a difference "
            "that up to the sign is from 1 to 9. The error is noticed unless {m} divides that "
            "product.",
            m=m,
        )
        head = (
            say("weight"),
            say("places"),
            say("common divisor with {m}", m=m),
            say("noticed"),
        )
    yield grid(
        head,
        [
            (
                f,
                step.factors.count(f),
                gcd(f, m),
                say("always") if _noticed(f, m) else say("not always"),
            )
            for f in sorted(set(step.factors))
        ],
    )
    yield say(
        "With the common divisor $g$ the product is a multiple of {m} if and only if the "
        "difference is a multiple of ${m}/g$; there is one from 1 to 9 if and only if ${m}/g$ is "
        "at most 9.",
        m=m,
    )


_TELLING: Tellers = {
    WeightedSum: _weighted_sum,
    _SolveForDigit: _solve_for_digit,
    _Changes: _changes,
}

# ------------------------------------------------------------ slips: the digit


def _sum_for_digit(w: "WeightedDigit") -> ValueFound:
    return w.sum.total % w.modulus, say(
        "If you gave the remainder of the sum: the digit completes the sum to a multiple of {m}.",
        m=w.modulus,
    )


def _weight_left_out(w: "WeightedDigit") -> ValueFound:
    return -w.sum.total % w.modulus, say(
        "If you completed the sum with the digit itself: it counts {w} times, so a congruence is "
        "to be solved.",
        w=w.weight,
    )


def _weights_forgotten(w: "WeightedDigit") -> ValueFound:
    return -sum(d for _w, d in w.sum.rows) % w.modulus, say(
        "If you added the digits alone: each is multiplied by its weight."
    )


def _weights_shifted(w: "WeightedDigit") -> ValueFound:
    turned = (*w.weights[1:], w.weights[0])
    i = w.digits.index("?")
    total = sum(u * int(c) for u, c in zip(turned, w.digits, strict=True) if c != "?")
    if gcd(turned[i], w.modulus) > 1:
        return None
    return -total * pow(turned[i], -1, w.modulus) % w.modulus, say(
        "Check which weight belongs to which digit: the first weight stands with the first digit."
    )


_DIGIT: dict[str, Callable[..., ValueFound]] = {
    "weights-forgotten": _weights_forgotten,
    "weights-shifted": _weights_shifted,
    "sum-for-digit": _sum_for_digit,
    "weight-of-the-digit-left-out": _weight_left_out,
}
"""In the order of the method."""

# ------------------------------------------------------------ slips: errors


def _others_counted(w: "OfErrors") -> ValueFound:
    return len(w.factors) - w.count, say(
        "If you counted where an error may stay unnoticed: the others are wanted."
    )


def _only_coprime(w: "OfErrors") -> ValueFound:
    return sum(gcd(f, w.modulus) == 1 for f in w.factors), say(
        "If you counted where the factor is coprime to {m}: a common divisor does no harm as long "
        "as no difference from 1 to 9 makes the product a multiple of {m}.",
        m=w.modulus,
    )


def _not_a_multiple(w: "OfErrors") -> ValueFound:
    return sum(f % w.modulus > 0 for f in w.factors), say(
        "If you looked for factors that are not multiples of {m}: the product with a difference of "
        "digits must not be a multiple either.",
        m=w.modulus,
    )


def _all_counted(w: "OfErrors") -> ValueFound:
    return len(w.factors), say(
        "Is there an error that keeps the remainder? Try the weight with the largest common "
        "divisor with {m}.",
        m=w.modulus,
    )


def _other_error(w: "OfErrors") -> ValueFound:
    return sum(_noticed(f, w.modulus) for f in w.others), say(
        "Which error is meant? One digit that is wrong changes the sum by a multiple of its "
        "weight, an exchange by a multiple of a difference of weights."
    )


_ERRORS: dict[str, Callable[..., ValueFound]] = {
    "other-error": _other_error,
    "not-a-multiple": _not_a_multiple,
    "only-coprime": _only_coprime,
    "all-counted": _all_counted,
    "others-counted": _others_counted,
}
"""In the order of the method."""

# ------------------------------------------------------------ the kinds


def _rule(weights: Weights, m: int) -> Said:
    return say(
        "A number is valid if the sum of its digits, multiplied from left to right by the weights "
        "${weights}$, is divisible by {m}.",
        weights=listed(weights),
        m=m,
    )


@dataclass(frozen=True, kw_only=True)
class WeightedDigit(Phrased):
    """The digit for the question mark, whose weight is coprime to the modulus."""

    kind: ClassVar[str] = "weighted_digit"
    phrase: ClassVar[str] = "digit for ? in {digits} with weights {weights} mod {modulus}"
    spellings: ClassVar[tuple[str, ...]] = (
        "check digit of {digits} with weights {weights} mod {modulus}",
    )
    telling: ClassVar[Tellers] = _TELLING
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _DIGIT
    signature: ClassVar[KindSignature] = about(
        "weighted_digit",
        phrase,
        _DIGIT,
        measures=("exists", "value", "steps", "weight", "digits"),
        given={
            "number": "integer",
            "place": "integer",
            "weights": "integers",
            "modulus": "integer",
        },
    )
    digits: str
    weights: Weights
    modulus: int

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """`number` has as many digits as there are weights; `place`: which is missing, from 1."""
        weights, place = _weights_of(given), integer_of(given, "place")
        text = f"{integer_of(given, 'number'):0{len(weights)}}"
        require(1 <= place <= len(text), f"given.place from 1 to {len(text)}", place)
        return cls(
            digits=f"{text[: place - 1]}?{text[place:]}",
            weights=weights,
            modulus=integer_of(given, "modulus"),
        )

    def check(self) -> None:
        _check_scheme(self.weights, self.modulus)
        require(self.digits.count("?") == 1, "one question mark", self.digits)
        require(len(self.digits) == len(self.weights), f"{len(self.weights)} digits", self.digits)
        require(self.modulus >= 10, "a modulus of at least 10", self.modulus)
        require(
            gcd(self.weight, self.modulus) == 1,
            f"a weight of the missing digit that is coprime to {self.modulus}",
            self.weight,
        )

    @property
    def weight(self) -> int:
        return self.weights[self.digits.index("?")]

    @property
    def sum(self) -> WeightedSum:
        return WeightedSum(self.digits, self.weights, self.modulus)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no digit fits"), entry=say("Type the missing digit."))

    def asked(self, ask: str) -> tuple[Said, ...]:
        return _rule(self.weights, self.modulus), say(
            "Find the digit for the question mark that makes {number} valid.", number=self.digits
        )

    def solve(self) -> Solution[Value | Absent]:
        found = _SolveForDigit(self.weight, self.sum.total, self.modulus)
        steps = (self.sum, found)
        if found.value > 9:
            return Solution(
                Absent(say("{d} is not a digit, so no digit fits.", d=found.value)), steps
            )
        return Solution(Value(found.value), steps)

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        found = {"weight": self.weight, "digits": len(self.digits)}
        return {**super().measures(solution), **found}

    def answer_text(self, answer: Value | Absent) -> Said:
        if isinstance(answer, Absent):
            return answer.reason
        whole = self.digits.replace("?", str(answer.value))
        return say("The missing digit is {d}: {number}.", d=answer.value, number=whole)


@dataclass(frozen=True, kw_only=True)
class OfErrors(Phrased):
    """What both questions about errors share: the scheme."""

    telling: ClassVar[Tellers] = _TELLING
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _ERRORS
    weights: Weights
    modulus: int

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(weights=_weights_of(given), modulus=integer_of(given, "modulus"))

    def check(self) -> None:
        _check_scheme(self.weights, self.modulus)

    @property
    def places(self) -> tuple[int, ...]:
        return self.weights

    @property
    def pairs(self) -> tuple[int, ...]:
        return tuple(abs(u - v) for u, v in zip(self.weights, self.weights[1:], strict=False))

    @property
    def factors(self) -> tuple[int, ...]:
        """What a difference of digits is multiplied by, for each place or pair of places."""
        raise NotImplementedError

    @property
    def others(self) -> tuple[int, ...]:
        """The factors of the other error."""
        raise NotImplementedError

    @property
    def count(self) -> int:
        return sum(_noticed(f, self.modulus) for f in self.factors)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no number"), entry=say("Type the number in digits; if there is none, type 0.")
        )

    def solve(self) -> Solution[Value]:
        steps = (_Changes(self.factors, self.modulus, self.factors == self.pairs),)
        return Solution(Value(self.count), steps)


_GIVEN = about(
    "",
    "",
    _ERRORS,
    given={"weights": "integers", "modulus": "integer"},
    measures=("value", "steps"),
)


@dataclass(frozen=True, kw_only=True)
class WrongDigitsSeen(OfErrors):
    """At how many places every wrong digit makes the number invalid."""

    kind: ClassVar[str] = "wrong_digits_seen"
    phrase: ClassVar[str] = (
        "places where wrong digits are seen with weights {weights} mod {modulus}"
    )
    signature: ClassVar[KindSignature] = about(
        kind, phrase, _ERRORS, given=_GIVEN.given, measures=_GIVEN.measures
    )

    @property
    def factors(self) -> tuple[int, ...]:
        return self.places

    @property
    def others(self) -> tuple[int, ...]:
        return self.pairs

    def asked(self, ask: str) -> tuple[Said, ...]:
        return _rule(self.weights, self.modulus), say(
            "Find the number of places at which every wrong digit makes a valid number invalid."
        )

    def answer_text(self, answer: Value) -> Said:
        return say("The number of such places is {n}.", n=answer.value)


@dataclass(frozen=True, kw_only=True)
class ExchangesSeen(OfErrors):
    """For how many pairs of neighbours every exchange of different digits is noticed."""

    kind: ClassVar[str] = "exchanges_seen"
    phrase: ClassVar[str] = "pairs whose exchange is seen with weights {weights} mod {modulus}"
    signature: ClassVar[KindSignature] = about(
        kind, phrase, _ERRORS, given=_GIVEN.given, measures=_GIVEN.measures
    )

    @property
    def factors(self) -> tuple[int, ...]:
        return self.pairs

    @property
    def others(self) -> tuple[int, ...]:
        return self.places

    def asked(self, ask: str) -> tuple[Said, ...]:
        return _rule(self.weights, self.modulus), say(
            "Find the number of pairs of neighbouring places at which every exchange of two "
            "different digits makes a valid number invalid."
        )

    def answer_text(self, answer: Value) -> Said:
        return say("The number of such pairs is {n}.", n=answer.value)


read = reader(WeightedDigit, WrongDigitsSeen, ExchangesSeen)


def _certificate(problem: WeightedDigit, answer: Value | Absent) -> Telling:
    """The whole sum, a multiple of the modulus."""
    if isinstance(answer, Absent):
        return
    whole = [
        (w, int(c))
        for w, c in zip(
            problem.weights, problem.digits.replace("?", str(answer.value)), strict=True
        )
    ]
    total = sum(w * d for w, d in whole)
    yield lead("Check.")
    yield say(
        "${sum}$.",
        sum=modulo(
            [calculated(sum_of(*(dotted(row) for row in whole)), total, problem.modulus)],
            Number(problem.modulus),
        ),
    )


_NEXT_OF_ERRORS = {
    "the value": say(
        "Take the weights one after another: is there a difference from 1 to 9 that makes the "
        "change of the sum a multiple of the modulus?"
    )
}

KINDS = (
    Kind(
        problem=WeightedDigit,
        read=read,
        value="digit",
        digits=lambda _problem, value: str(value),
        about="The digit for ? in a number that weights and a modulus make valid.",
        title=say("A check digit"),
        next_steps={
            "the value": say(
                "Put the digit found in its place, and add all the digits with their "
                "weights: is the sum a multiple of the modulus?"
            )
        },
        samples=(
            "digit for ? in 11100002? with weights 3,7,1,3,7,1,3,7,1 mod 10",
            "digit for ? in 0317847? with weights 8,7,6,5,4,3,2,1 mod 11",
            "check digit of 4?70 with weights 1, 3, 1, 3 mod 10",
            "digit for ? in 12?45 with weights 2,3,5,7,11 mod 13",
            "digit for ? in 0? with weights 1,1 mod 11",
            "digit for ? in 3780000? with weights 8,7,6,5,4,3,2,1 mod 11",
        ),
        certificate=_certificate,
    ),
    Kind(
        problem=WrongDigitsSeen,
        read=read,
        value="count",
        about="At how many places a check-digit scheme notices every wrong digit.",
        title=say("Check digits"),
        next_steps=_NEXT_OF_ERRORS,
        samples=(
            "places where wrong digits are seen with weights 1,3,1,3 mod 10",
            "places where wrong digits are seen with weights 8,7,6,5,4,3,2,1 mod 11",
            "places where wrong digits are seen with weights 1,2,1,2,5 mod 10",
            "places where wrong digits are seen with weights 2,3,4,6 mod 12",
            "places where wrong digits are seen with weights 7,14,21 mod 97",
        ),
    ),
    Kind(
        problem=ExchangesSeen,
        read=read,
        value="count",
        about="For how many pairs of neighbours a check-digit scheme notices every exchange.",
        title=say("Check digits"),
        next_steps=_NEXT_OF_ERRORS,
        samples=(
            "pairs whose exchange is seen with weights 1,3,1,3 mod 10",
            "pairs whose exchange is seen with weights 8,7,6,5,4,3,2,1 mod 11",
            "pairs whose exchange is seen with weights 7,3,9,7,3,9 mod 10",
            "pairs whose exchange is seen with weights 2,3,4,6 mod 12",
            "pairs whose exchange is seen with weights 1,4,4,5 mod 10",
        ),
    ),
)
"""What the house knows of these kinds."""
