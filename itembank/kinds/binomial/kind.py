"""A binomial coefficient modulo a prime p, by Lucas' theorem.

With the digits of n and k in base p, C(n, k) is congruent to the product of the C(n_i, k_i), where
C(a, b) = 0 for b > a.

Source: N. J. Fine, American Mathematical Monthly 54 (1947).
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import comb, prod
from typing import ClassVar

from itembank.kinds.base import Kind, Phrases, Solution, Step
from itembank.kinds.chains import calculated
from itembank.kinds.mistakes import ValueFound
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Told, each, grid, lead, say
from itembank.maths.primes import is_prime
from itembank.notation.building import added, dotted, equal, listed, power
from itembank.notation.tree import Call, Letter, Math, Modulo, Number
from itembank.values.answer import Value
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "Binomial", "read"]

_LARGEST_PRIME = 10_000


def _digits(n: int, p: int) -> tuple[int, ...]:
    """The digits of n >= 0 in base p, the last one first.

    >>> _digits(44, 3)
    (2, 2, 1, 1)
    """
    found = [n % p]
    while n := n // p:
        found.append(n % p)
    return tuple(found)


def _paired(n: int, k: int, p: int) -> tuple[tuple[int, int], ...]:
    """The digits of n and k, the first ones first, k filled up with zeros."""
    above, below = _digits(n, p), _digits(k, p)
    longest = max(len(above), len(below))
    rows = [tuple(d) + (0,) * (longest - len(d)) for d in (above, below)]
    return tuple(zip(*rows, strict=True))[::-1]


def _residue(pairs: tuple[tuple[int, int], ...], p: int) -> int:
    return prod(comb(a, b) for a, b in pairs) % p


@dataclass(frozen=True)
class _WriteInBase(Step):
    """Both numbers in base p."""

    name = "write in base p"
    n: int
    k: int
    p: int


@dataclass(frozen=True)
class _Multiply(Step):
    """The binomial coefficients of the digits, multiplied."""

    name = "multiply"
    pairs: tuple[tuple[int, int], ...]
    p: int

    @property
    def effort(self) -> int:
        return len(self.pairs)


# ------------------------------------------------------------ telling


def _choose(n: int, k: int) -> Math:
    """C(44, 14)."""
    return Call(Letter("C"), (Number(n), Number(k)))


def _in_base(n: int, p: int) -> Math:
    """44 = 1 · 27 + 1 · 9 + 2 · 3 + 2, with powers."""
    found = _digits(n, p)
    terms: list[int | Math] = [
        dotted((d, power(p, i))) if i else d for i, d in reversed(list(enumerate(found))) if d
    ]
    return equal(n, added(terms) if len(terms) > 1 else (terms or [0])[0])


def _write_in_base(step: _WriteInBase) -> Iterator[Told]:
    yield lead("Digits in base {p}.", p=step.p)
    yield say("{rows}.", rows=each(_in_base(n, step.p) for n in (step.n, step.k)))


def _multiply(step: _Multiply) -> Iterator[Told]:
    p = step.p
    yield lead("Multiply.")
    yield say(
        "By Lucas' theorem the coefficient is congruent to the product of those of the digits; "
        "where the lower digit is the larger one, it is 0."
    )
    yield grid(
        (say("place"), say("digits"), say("coefficient")),
        [
            (
                power(p, place) if place else 1,
                listed((a, b)),
                _coefficient(a, b, p),
            )
            for place, (a, b) in zip(reversed(range(len(step.pairs))), step.pairs, strict=True)
        ],
    )
    factors = [comb(a, b) % p for a, b in step.pairs]
    if len(factors) > 1:
        chain = calculated(dotted(factors), prod(factors), p)
        yield say("${product}$.", product=Modulo(chain, Number(p)) if "≡" in chain.signs else chain)


def _coefficient(a: int, b: int, p: int) -> Math:
    """C(7, 4) = 35 ≡ 16 (mod 19); C(2, 1) = 2."""
    chain = calculated(_choose(a, b), comb(a, b), p)
    return Modulo(chain, Number(p)) if "≡" in chain.signs else chain


_TELLING: Tellers = {_WriteInBase: _write_in_base, _Multiply: _multiply}

# ------------------------------------------------------------ slips


def _last_digits_alone(w: "Binomial") -> ValueFound:
    a, b = w.pairs[-1]
    return comb(a, b) % w.modulus, say(
        "If you took the residues of both numbers alone: the other digits in base {p} count too.",
        p=w.modulus,
    )


def _added_up(w: "Binomial") -> ValueFound:
    return sum(comb(a, b) for a, b in w.pairs) % w.modulus, say(
        "If you added the coefficients of the digits: they are multiplied."
    )


def _larger_digit_passed_over(w: "Binomial") -> ValueFound:
    if all(b <= a for a, b in w.pairs):
        return None
    return prod(comb(a, b) for a, b in w.pairs if b <= a) % w.modulus, say(
        "Is a digit below larger than the one above it? There is no way to choose so many."
    )


def _digits_exchanged(w: "Binomial") -> ValueFound:
    if all(b <= a for a, b in w.pairs):
        return None
    return prod(comb(max(a, b), min(a, b)) for a, b in w.pairs) % w.modulus, say(
        "If you put the larger digit above: where the lower digit is larger the coefficient is 0."
    )


def _digits_backwards(w: "Binomial") -> ValueFound:
    above, below = (_digits(n, w.modulus) for n in (w.n, w.k))
    pairs = zip(above[::-1], below[::-1], strict=False)
    return prod(comb(a, b) for a, b in pairs) % w.modulus, say(
        "Check how the digits stand below each other: the last ones belong together."
    )


def _one_for_nought(w: "Binomial") -> ValueFound:
    if all(b for _a, b in w.pairs):
        return None
    return 0, say("If a digit 0 below made the product 0: there is one way to choose nothing.")


_MISTAKES: dict[str, Callable[..., ValueFound]] = {
    "last-digits-alone": _last_digits_alone,
    "digits-not-aligned": _digits_backwards,
    "larger-digit-passed-over": _larger_digit_passed_over,
    "larger-digit-above": _digits_exchanged,
    "nought-for-one": _one_for_nought,
    "added-up": _added_up,
}
"""In the order of the method."""

# ------------------------------------------------------------ the kind


@dataclass(frozen=True, kw_only=True)
class Binomial(Phrased):
    """C(n, k) modulo a prime, 0 <= k <= n."""

    kind: ClassVar[str] = "binomial"
    phrase: ClassVar[str] = "binomial({n}, {k}) mod {modulus}"
    spellings: ClassVar[tuple[str, ...]] = (
        "{n} choose {k} mod {modulus}",
        "C({n}, {k}) mod {modulus}",
    )
    telling: ClassVar[Tellers] = _TELLING
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _MISTAKES
    signature: ClassVar[KindSignature] = about(
        "binomial", phrase, _MISTAKES, measures=("value", "steps", "larger", "noughts", "digits")
    )
    n: int
    k: int
    modulus: int

    def check(self) -> None:
        p = self.modulus
        require(p < _LARGEST_PRIME and is_prime(p), f"a prime below {_LARGEST_PRIME}", p)
        require(0 <= self.k <= self.n, f"a number from 0 to {self.n}", self.k)

    @property
    def pairs(self) -> tuple[tuple[int, int], ...]:
        return _paired(self.n, self.k, self.modulus)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no value"), entry=say("Type the value in digits."))

    def asked(self, ask: str) -> Said:
        return say(
            "Find the remainder on division by the prime {p} of the binomial coefficient "
            "${binomial}$: the number of ways to choose {k} of {n} things.",
            p=self.modulus,
            binomial=_choose(self.n, self.k),
            n=self.n,
            k=self.k,
        )

    def solve(self) -> Solution[Value]:
        n, k, p = self.n, self.k, self.modulus
        steps = (_WriteInBase(n, k, p), _Multiply(self.pairs, p))
        return Solution(Value(_residue(self.pairs, p)), steps)

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        found = {
            "larger": sum(b > a for a, b in self.pairs),
            "noughts": sum(b == 0 for _a, b in self.pairs),
        }
        return {**super().measures(solution), **found}

    def answer_text(self, answer: Value) -> Said:
        return say("The remainder is {r}.", r=answer.value)


read = reader(Binomial)

KINDS = (
    Kind(
        problem=Binomial,
        read=read,
        value="residue",
        about="A binomial coefficient modulo a prime, by Lucas' theorem.",
        title=say("A binomial coefficient"),
        next_steps={
            "the value": say(
                "Write both numbers in the base that the prime is, digit below digit. Which "
                "coefficient does each pair of digits give, and is one of them 0?"
            )
        },
        samples=(
            "binomial(44, 14) mod 3",
            "1000 choose 326 mod 13",
            "C(234, 44) mod 11",
            "binomial(234, 44) mod 37",
            "8 choose 5 mod 13",
            "binomial(10, 0) mod 2",
        ),
    ),
)
"""What the house knows of this kind."""
