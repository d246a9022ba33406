"""The index of a number: index of 5 base 3 mod 17.

Notation: a the number, g the base of order t modulo m, k the index.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar, Self

from itembank.kinds.base import Given, Phrases, Slip, Solution, distinct_slips, integer_of, slip
from itembank.kinds.index.solve import index_steps
from itembank.kinds.index.telling import TELLING
from itembank.kinds.mistakes import ValueFound, wrong_values
from itembank.kinds.modular import (
    Modular,
    given_modulus,
    integer_typed,
    matched_words,
    typed_modulus,
)
from itembank.kinds.wording import told
from itembank.languages import Said, Telling, lead, say
from itembank.maths.groups import index, least_primitive_root, order
from itembank.notation.tree import Math, Modulo, Number, Words
from itembank.values.answer import Absent, Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

LARGEST_SLIP = 10**6
"""Largest modulus for which slips that need other indices are computed."""


def refuse_unless_coprime(base: int, m: int, statement: str) -> None:
    d = gcd(base, m)
    if d > 1:
        raise StatementError(
            worded(
                "{statement}: expected a base coprime to {m}, got {base}, which shares {d} with it",
                statement=statement,
                m=m,
                base=base,
                d=d,
            )
        )


@dataclass(frozen=True, kw_only=True)
class IndexModulo(Modular):
    """The least k >= 0 with base^k = number modulo `modulus`."""

    kind: ClassVar[str] = "index"
    signature: ClassVar[KindSignature] = KindSignature(
        name="index",
        given={"number": "integer", "base": "integer", "modulus": "integer"},
        asks=("the value", "whether any"),
        slips=(
            "counted-from-one",
            "base-and-number-swapped",
            "index-of-the-inverse",
            "power-taken",
            "stopped-at-the-opposite",
            "primitive-root-assumed",
        ),
        measures=("exists", "steps", "index", "order", "digits"),
    )
    number: int
    base: int

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        found = cls(
            number=integer_of(given, "number"),
            base=integer_of(given, "base"),
            modulus=given_modulus(given),
        )
        refuse_unless_coprime(found.base, found.modulus, "given.base")
        return found

    @property
    def words(self) -> str:
        return f"index of {self.number} base {self.base}"

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{self.words} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        words = ("index of", Number(self.number), "to the base", Number(self.base))
        return (Modulo(Words(words), self.modulus_math),)

    def question(self, ask: str) -> Iterator[Said]:
        a, g, m = Number(self.number), Number(self.base), self.modulus_math
        if ask == "whether any":
            yield say(
                "Decide whether {a} has an index to the base {g} modulo {m}: whether it is "
                "congruent to a power of {g}.",
                a=a,
                g=g,
                m=m,
            )
        else:
            yield say(
                "Find the index of {a} to the base {g} modulo {m}: the least non-negative exponent "
                "for which the power of {g} is congruent to {a}. (So the index of 1 is 0.)",
                a=a,
                g=g,
                m=m,
            )

    @property
    def phrases(self) -> Phrases:
        a, g, m = Number(self.number), Number(self.base), self.modulus_math
        return Phrases(
            none=say("no index exists"),
            claim=say("True or false: {a} has an index to the base {g} modulo {m}.", a=a, g=g, m=m),
            entry=say("Type the index in digits."),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        m = self.modulus
        return (self.kind, self.number % m, self.base % m, m)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[Value | Absent]:
        """Raises StatementError where the index would take too long to find."""
        a, g, m = self.number, self.base, self.modulus
        k, steps = index_steps(a, g, m, self.known_factors, self.statement[0])
        answer = Value(k) if k is not None else Absent(self.reason)
        return Solution(answer, tuple(steps))

    @property
    def reason(self) -> Said:
        return say(
            "No power of ${g}$ is congruent to ${a}$ modulo ${m}$.",
            g=self.base,
            a=self.number,
            m=self.modulus_math,
        )

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        found = solution.answer
        return {
            "exists": int(isinstance(found, Value)),
            "steps": solution.effort,
            "index": found.value if isinstance(found, Value) else 0,
            "order": order(self.base, self.modulus, self.known_factors),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        return distinct_slips(_slips_of(self, solution.answer), solution.answer)

    def worked(self, solution: Solution[Value | Absent]) -> Telling:
        coprime = gcd(self.number, self.modulus) == 1
        return (
            *self.conventions(),
            *(self.least_residues(self.number, self.base) if coprime else ()),
            *told(solution.steps, TELLING),
            lead("Answer."),
            self.conclusion(solution.answer),
        )

    def conclusion(self, answer: Value | Absent) -> Said:
        if isinstance(answer, Absent):
            return self.reason
        return say(
            "The index of ${a}$ to the base ${g}$ modulo ${m}$ is {k}.",
            a=self.number,
            g=self.base,
            m=self.modulus_math,
            k=answer.value,
        )


_FORM = re.compile(
    r"(?:the )?(?:index|discrete logarithm) of (?P<number>.+?) (?:to the )?base (?P<base>.+)",
    re.IGNORECASE,
)


def read(statements: Sequence[str]) -> IndexModulo | None:
    """The problem of "index of 5 base 3 mod 17"; None for statements of another form."""
    words = matched_words(_FORM, statements)
    if words is None:
        return None
    match, modulus = words
    statement = statements[0]
    found = IndexModulo(
        number=integer_typed(match["number"], "a number", statement),
        base=integer_typed(match["base"], "a base", statement),
        **typed_modulus(modulus, statement),
    )
    refuse_unless_coprime(found.base, found.modulus, repr(statement))
    return found


# ------------------------------------------------------------ slips


@dataclass(frozen=True)
class _Work:
    """g^k = a (mod m), t the order of g."""

    a: int
    g: int
    m: int
    t: int
    k: int


def _slips_of(c: IndexModulo, answer: Value | Absent) -> Iterator[Slip]:
    """The slips that can be made here."""
    m = c.modulus
    if m > LARGEST_SLIP or m < 3:
        return
    if isinstance(answer, Absent):
        yield from _without_index(c)
        return
    w = _Work(c.number % m, c.base % m, m, order(c.base, m), answer.value)
    yield from wrong_values(_MISTAKES, w)


def _without_index(c: IndexModulo) -> Iterator[Slip]:
    """The index to a primitive root, as if the base were one."""
    m = c.modulus
    root = least_primitive_root(m)
    if root is None or gcd(c.number, m) > 1:
        return
    yield slip(
        "primitive-root-assumed",
        (index(c.number, root, m) or 0,),
        say(
            "Every unit has an index only if the base is a primitive root. The order of {g} modulo "
            "{m} is {t}, so only {t} residues are powers of it.",
            g=Number(c.base),
            m=m,
            t=order(c.base, m),
        ),
    )


def _counted_from_one(w: _Work) -> ValueFound:
    return w.k + 1, say("Check where the exponents begin: the power with exponent 0 is 1.")


def _base_and_number_swapped(w: _Work) -> ValueFound:
    k = index(w.g, w.a, w.m)
    if k is None:
        return None
    return k, say(
        "Check which number is the base: ${a}^{k} ≡ {g} (mod {m})$, but a power of {g} is wanted "
        "that is congruent to {a}.",
        a=w.a,
        k=k,
        g=w.g,
        m=w.m,
    )


def _index_of_the_inverse(w: _Work) -> ValueFound:
    k = -w.k % w.t
    return k, say(
        "Compute the power: ${g}^{k} ≡ {inverse} (mod {m})$, and that is the inverse of {a}. Look "
        "for a sign lost in the exponent.",
        g=w.g,
        k=k,
        inverse=pow(w.a, -1, w.m),
        m=w.m,
        a=w.a,
    )


def _power_taken(w: _Work) -> ValueFound:
    value = pow(w.g, w.a, w.m)
    return value, say(
        "If you took {a} as the exponent, ${g}^{a} ≡ {value} (mod {m})$: it is the value of the "
        "power, and the exponent is wanted.",
        g=w.g,
        a=w.a,
        value=value,
        m=w.m,
    )


def _stopped_at_the_opposite(w: _Work) -> ValueFound:
    k = index(-w.a, w.g, w.m)
    if k is None:
        return None
    return k, say(
        "Compute the power: ${g}^{k} ≡ {opposite} ≡ -{a} (mod {m})$. Check the sign.",
        g=w.g,
        k=k,
        opposite=-w.a % w.m,
        a=w.a,
        m=w.m,
    )


_MISTAKES: dict[str, Callable[[_Work], ValueFound]] = {
    "power-taken": _power_taken,
    "base-and-number-swapped": _base_and_number_swapped,
    "index-of-the-inverse": _index_of_the_inverse,
    "stopped-at-the-opposite": _stopped_at_the_opposite,
    "counted-from-one": _counted_from_one,
}
"""Where there is an index."""
