"""Key exchange modulo a prime p with base g: g^(ab) from the public values g^a and g^b.

Method taught, for numbers as small as these: the powers of the base are followed until one of
the public values comes; its exponent is a secret one, and the other value is raised to it.

Source: W. Diffie, M. Hellman, IEEE Transactions on Information Theory 22 (1976).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import ClassVar

from itembank.kinds.base import Kind, Phrases, Solution, Step
from itembank.kinds.chains import calculated
from itembank.kinds.mistakes import ValueFound
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.powering import as_congruence, joined, power_told
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, Told, each, lead, say, shown
from itembank.maths.primes import is_prime
from itembank.notation.building import congruence, dotted, number, power
from itembank.notation.tree import Math
from itembank.values.answer import Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["KINDS", "SharedKey", "read"]

_FOLLOWED = 20_000
"""The most powers of the base that are followed."""

_SHOWN = 40
"""At most so many powers are written out."""


@dataclass(frozen=True)
class _Follow(Step):
    """g, g^2, ..., up to the first that is a public value."""

    name = "powers of the base"
    g: int
    p: int
    values: tuple[int, ...]

    @property
    def effort(self) -> int:
        return len(self.values)


@dataclass(frozen=True)
class _Raise(Step):
    """The other public value to the secret exponent."""

    name = "raise the other value"
    other: int
    exponent: int
    p: int

    @property
    def effort(self) -> int:
        return self.exponent.bit_length()


def _followed(g: int, p: int, wanted: tuple[int, int]) -> tuple[int, ...]:
    """The powers of g up to the first that is wanted; StatementError where none is."""
    values: list[int] = []
    value = 1
    for _exponent in range(min(p, _FOLLOWED)):
        value = value * g % p
        values.append(value)
        if value in wanted:
            return tuple(values)
    raise StatementError(
        worded(
            "expected powers of {g} modulo {p}, got {wanted} and {got}",
            g=g,
            p=p,
            wanted=wanted[0],
            got=wanted[1],
        )
    )


# ------------------------------------------------------------ telling


def _follow(step: _Follow) -> Iterator[Told]:
    t, last = len(step.values), step.values[-1]
    yield lead("A secret exponent.")
    yield say(
        "The powers of {g} modulo {p} are followed until one of the public values comes:",
        g=step.g,
        p=step.p,
    )
    if 1 < t <= _SHOWN:
        yield shown(
            *(
                _multiplied(step.g, i, before, step.p)
                for i, before in enumerate(step.values[:-1], 2)
            )
        )
    yield say("{last} is the power with the exponent {t}.", last=last, t=t)


def _multiplied(g: int, i: int, before: int, p: int) -> Math:
    """g^i ≡ g · before = product ≡ its least residue."""
    if i == 2:
        return as_congruence(calculated(power(g, 2), g * g, p), p)
    chain = calculated(dotted((g, before)), g * before, p)
    return as_congruence(joined(power(g, i), chain), p)


def _raise_other(step: _Raise) -> Iterator[Told]:
    yield lead("The key.")
    yield say(
        "Whoever has the secret exponent {t} raises the public value of the other, {other}, to it.",
        t=step.exponent,
        other=step.other,
    )
    yield from power_told(step.other, step.exponent, step.p)


_TELLING: Tellers = {_Follow: _follow, _Raise: _raise_other}

# ------------------------------------------------------------ slips


def _values_multiplied(w: "SharedKey") -> ValueFound:
    return w.first * w.second % w.modulus, say(
        "If you multiplied the public values: that adds the secret exponents, and the key is the "
        "power with their product."
    )


def _own_value_raised(w: "SharedKey") -> ValueFound:
    own, _other, t = w.secret
    return pow(own, t, w.modulus), say(
        "If you raised {own} to its own exponent: the value of the other is raised to it.", own=own
    )


def _value_as_exponent(w: "SharedKey") -> ValueFound:
    return pow(w.first, w.second, w.modulus), say(
        "If you raised one public value to the other: the exponents are secret, and the public "
        "values are powers with them."
    )


def _secret_for_the_key(w: "SharedKey") -> ValueFound:
    return w.secret[2], say(
        "If you gave a secret exponent: the key is the power of the other value with it."
    )


def _exponents_counted_from_zero(w: "SharedKey") -> ValueFound:
    _own, other, t = w.secret
    return pow(other, t + 1, w.modulus), say(
        "Check the exponent: the base itself is its power with the exponent 1."
    )


_MISTAKES: dict[str, Callable[..., ValueFound]] = {
    "secret-for-the-key": _secret_for_the_key,
    "exponent-one-off": _exponents_counted_from_zero,
    "own-value-raised": _own_value_raised,
    "values-multiplied": _values_multiplied,
    "value-as-exponent": _value_as_exponent,
}
"""In the order of the method."""

# ------------------------------------------------------------ the kind


@dataclass(frozen=True, kw_only=True)
class SharedKey(Phrased):
    """base^(ab) for the public values first = base^a and second = base^b."""

    kind: ClassVar[str] = "shared_key"
    phrase: ClassVar[str] = "shared key of {first} and {second} base {base} mod {modulus}"
    spellings: ClassVar[tuple[str, ...]] = (
        "shared key of {first} and {second} to the base {base} mod {modulus}",
        "diffie-hellman key of {first} and {second} base {base} mod {modulus}",
    )
    telling: ClassVar[Tellers] = _TELLING
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _MISTAKES
    signature: ClassVar[KindSignature] = about(
        "shared_key", phrase, _MISTAKES, measures=("value", "steps", "secret", "digits")
    )
    first: int
    second: int
    base: int
    modulus: int

    def check(self) -> None:
        p = self.modulus
        require(p > 3 and is_prime(p), "a prime above 3", p)
        for n in (self.first, self.second, self.base):
            require(1 < n < p, f"numbers from 2 to {p - 1}", n)
        require(self.first != self.second, "two different public values", self.first)
        for n in (self.first, self.second):
            _followed(self.base, p, (n, n))

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, *sorted((self.first, self.second)), self.base, self.modulus)

    @property
    def secret(self) -> tuple[int, int, int]:
        """The public value that comes first, the other, and the exponent of the first."""
        t = len(_followed(self.base, self.modulus, (self.first, self.second)))
        own = pow(self.base, t, self.modulus)
        return own, self.second if own == self.first else self.first, t

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no value"), entry=say("Type the value in digits."))

    def asked(self, ask: str) -> Said:
        return say(
            "In a key exchange modulo the prime {p} with the base {g} the public values are "
            "{first} and {second}. Find the shared key.",
            p=self.modulus,
            g=self.base,
            first=self.first,
            second=self.second,
        )

    def solve(self) -> Solution[Value]:
        """Raises StatementError where a value is no power of the base that is followed."""
        g, p = self.base, self.modulus
        _own, other, t = self.secret
        steps = (_Follow(g, p, _followed(g, p, (self.first, self.second))), _Raise(other, t, p))
        return Solution(Value(pow(other, t, p)), steps)

    def measures(self, solution: Solution[Value]) -> dict[str, int]:
        return {**super().measures(solution), "secret": self.secret[2]}

    def answer_text(self, answer: Value) -> Said:
        return say("The shared key is {k}.", k=answer.value)


read = reader(SharedKey)


def _certificate(problem: SharedKey, _answer: Value) -> Telling:
    """Both secret exponents: their powers are the public values."""
    g, p = problem.base, problem.modulus
    found = [(n, len(_followed(g, p, (n, n)))) for n in (problem.first, problem.second)]
    yield lead("Both exponents.")
    yield say("{powers}.", powers=each(congruence(power(g, t), number(n), p) for n, t in found))


KINDS = (
    Kind(
        problem=SharedKey,
        read=read,
        about="The shared key of a key exchange from both public values, modulo a small prime.",
        title=say("A key"),
        next_steps={
            "the value": say(
                "Write out the powers of the base until one of the public values comes. Which "
                "exponent does it have, and which value is raised to it?"
            )
        },
        samples=(
            "shared key of 7 and 39 base 5 mod 97",
            "diffie-hellman key of 4 and 10 base 5 mod 23",
            "shared key of 3 and 7 to the base 2 mod 29",
            "shared key of 390 and 691 base 627 mod 941",
            "shared key of 2 and 4 base 2 mod 7",
        ),
        certificate=_certificate,
    ),
)
"""What the house knows of this kind."""
