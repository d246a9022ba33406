"""Primitive roots modulo n: all, the least, their number, whether there are any, the test of one.

A primitive root modulo n is a residue of order phi(n). Modulo 1 the residue 0 is counted as
one, since its powers are all residues. Where none exists, the set asked for is empty, the
number is 0, and the least is absent.

`solve` finds and tests with steps, `worked` tells them, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import Any, ClassVar, Self

from itembank.kinds.about_modulus import ENTRY_OF_A_NUMBER, AboutModulus, named
from itembank.kinds.base import (
    NOTHING_SAID,
    Given,
    Kind,
    Phrases,
    Slip,
    Solution,
    distinct_slips,
    integer_of,
)
from itembank.kinds.derivation import SpareLine, StepLine
from itembank.kinds.frame import Sentences
from itembank.kinds.modular import given_modulus, integer_typed, typed_modulus, words_and_modulus
from itembank.kinds.primitive_root import certificate, guidance, slips, solve
from itembank.kinds.primitive_root.worked import WORKED, number_text, set_text
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.wording import Tellers, told
from itembank.languages import Said, Telling, say
from itembank.notation.tree import Math, Number, Words
from itembank.values.answer import Absent, ResidueSet, Truth, Value
from itembank.values.vocabulary import KindSignature

__all__ = [
    "KINDS",
    "LeastPrimitiveRoot",
    "PrimitiveRootCount",
    "PrimitiveRootExistence",
    "PrimitiveRootTest",
    "PrimitiveRoots",
    "read",
]


_MEASURES = ("steps", "phi", "digits", "exists")


def _general_measures(problem: AboutModulus, solution: Solution[Any]) -> dict[str, int]:
    """What _MEASURES names."""
    return {
        "steps": solution.effort,
        "phi": problem.phi.n,
        "digits": len(str(problem.modulus)),
        "exists": int(solve.existence(problem.phi).exists),
    }


def _primitive_root(problem: AboutModulus) -> Said:
    """What a primitive root is, as a stem says it."""
    return say(
        "A primitive root modulo ${n}$ is a residue of order $φ({n})$.", n=problem.modulus_math
    )


def _phrases_of_roots(problem: AboutModulus, entry: Said = NOTHING_SAID) -> Phrases:
    return Phrases(
        tick=say(
            "Tick every least residue ($0$ to ${last}$) that is a primitive root. If there is "
            "none, tick only “no primitive roots”.",
            last=problem.modulus - 1,
        ),
        none=say("no primitive roots"),
        claim=say("True or false: there is a primitive root modulo {m}.", m=problem.modulus_math),
        entry=entry,
    )


# ------------------------------------------------------------ all of them


@dataclass(frozen=True, kw_only=True)
class PrimitiveRoots(AboutModulus):
    """The set of all primitive roots; empty where there is none."""

    kind: ClassVar[str] = "primitive_roots"
    telling: ClassVar[Tellers] = WORKED
    signature: ClassVar[KindSignature] = KindSignature(
        name="primitive_roots",
        given={"modulus": "integer"},
        asks=("all solutions", "an example", "how many", "the least", "the largest"),
        slips=tuple(slips.SETS),
        measures=("solutions", *_MEASURES),
    )

    def asked(self, ask: str) -> Sentences:
        m = self.modulus_math
        asked = {
            "all solutions": say("Find **all** primitive roots modulo {m}.", m=m),
            "an example": say("Find a primitive root modulo {m}.", m=m),
            "how many": say("How many primitive roots are there modulo {m}?", m=m),
            "the least": say("Find the **smallest** primitive root modulo {m}.", m=m),
            "the largest": say("Find the **largest** primitive root modulo {m}.", m=m),
        }
        return asked[ask], _primitive_root(self)

    @property
    def phrases(self) -> Phrases:
        return _phrases_of_roots(self)

    def solve(self) -> Solution[ResidueSet]:
        return solve.whole_set(self.phi, self.statement[0])

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {"solutions": solution.answer.count, **_general_measures(self, solution)}

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        return distinct_slips(slips.of_the_set(self.phi), solution.answer)

    example_alone: ClassVar[bool] = True

    def example(self, n: int) -> Telling:
        """The test of one number."""
        test = PrimitiveRootTest(number=n, modulus=self.modulus, known_factors=self.known_factors)
        return test.worked(test.solve())

    def solution_to(self, ask: str, solution: Solution[ResidueSet]) -> Solution[ResidueSet]:
        """Where one is asked for, the powers of one that make all others are not needed."""
        if ask != "an example":
            return solution
        return Solution(solution.answer, solution.steps[:-1])

    def why_none(self, answer: ResidueSet) -> Said | None:
        """Why there is no primitive root; None if there is one."""
        return None if answer else solve.none_exist(self.modulus)

    def answer_text(self, answer: ResidueSet) -> Said:
        return set_text(answer, self.modulus_math)


# ------------------------------------------------------------ the least


@dataclass(frozen=True, kw_only=True)
class LeastPrimitiveRoot(AboutModulus):
    """The least residue that is a primitive root."""

    kind: ClassVar[str] = "least_primitive_root"
    telling: ClassVar[Tellers] = WORKED
    signature: ClassVar[KindSignature] = KindSignature(
        name="least_primitive_root",
        given={"modulus": "integer"},
        asks=("the value",),
        slips=tuple(slips.LEAST),
        measures=(*_MEASURES, "least"),
    )

    def asked(self, ask: str) -> Sentences:
        return say(
            "Find the **least** primitive root modulo {m}.", m=self.modulus_math
        ), _primitive_root(self)

    @property
    def phrases(self) -> Phrases:
        return _phrases_of_roots(self, say("Type the least residue that is one, in digits."))

    def solve(self) -> Solution[Value | Absent]:
        return solve.least(self.phi)

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        found = solution.answer
        least = found.value if isinstance(found, Value) else 0
        return {"least": least, **_general_measures(self, solution)}

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        return distinct_slips(slips.of_the_least(self.phi), solution.answer)

    def answer_text(self, answer: Value | Absent) -> Said:
        if isinstance(answer, Absent):
            return answer.reason
        return say(
            "The least primitive root modulo ${m}$ is {g}.", m=self.modulus_math, g=answer.value
        )


# ------------------------------------------------------------ how many


@dataclass(frozen=True, kw_only=True)
class PrimitiveRootCount(AboutModulus):
    """How many least residues are primitive roots."""

    kind: ClassVar[str] = "primitive_root_count"
    telling: ClassVar[Tellers] = WORKED
    signature: ClassVar[KindSignature] = KindSignature(
        name="primitive_root_count",
        given={"modulus": "integer"},
        asks=("the value",),
        slips=tuple(slips.COUNTS),
        measures=_MEASURES,
    )

    @property
    def words(self) -> str:
        return "number of primitive roots"

    def asked(self, ask: str) -> Sentences:
        return say(
            "Find the number of primitive roots modulo {m}.", m=self.modulus_math
        ), _primitive_root(self)

    @property
    def phrases(self) -> Phrases:
        return _phrases_of_roots(self, ENTRY_OF_A_NUMBER)

    def solve(self) -> Solution[Value]:
        return solve.number(self.phi)

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return _general_measures(self, solution)

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        return distinct_slips(slips.of_the_number(self.phi), solution.answer)

    def answer_text(self, answer: Value) -> Said:
        return number_text(answer.value, self.modulus_math)


# ------------------------------------------------------------ whether there is one


@dataclass(frozen=True, kw_only=True)
class PrimitiveRootExistence(AboutModulus):
    """Whether some residue is a primitive root."""

    kind: ClassVar[str] = "primitive_root_existence"
    telling: ClassVar[Tellers] = WORKED
    signature: ClassVar[KindSignature] = KindSignature(
        name="primitive_root_existence",
        given={"modulus": "integer"},
        asks=("whether any",),
        slips=slips.EXISTENCE,
        measures=_MEASURES,
    )

    @property
    def words(self) -> str:
        return "is there a primitive root"

    def asked(self, ask: str) -> Sentences:
        return (_primitive_root(self),)

    @property
    def phrases(self) -> Phrases:
        return _phrases_of_roots(self)

    def solve(self) -> Solution[Truth]:
        exists = solve.existence(self.phi)
        return Solution(Truth(exists.exists), (exists,))

    def measures(self, solution: Solution[Truth]) -> Mapping[str, int]:
        return _general_measures(self, solution)

    def slips(self, solution: Solution[Truth]) -> tuple[Slip, ...]:
        found = slips.of_the_existence(self.phi, solution.answer.holds)
        return distinct_slips(found, solution.answer)

    def answer_text(self, answer: Truth) -> Said:
        if answer.holds:
            return say("There is a primitive root modulo {m}.", m=self.modulus_math)
        return say("There is no primitive root modulo {m}.", m=self.modulus_math)


# ------------------------------------------------------------ the test of one


@dataclass(frozen=True, kw_only=True)
class PrimitiveRootTest(StepByStep, AboutModulus):
    """Whether `number` is a primitive root."""

    kind: ClassVar[str] = "primitive_root_test"
    telling: ClassVar[Tellers] = WORKED
    signature: ClassVar[KindSignature] = KindSignature(
        name="primitive_root_test",
        given={"number": "integer", "modulus": "integer"},
        asks=("whether any", "the steps"),
        derived=True,
        slips=slips.TESTS,
        measures=(*_MEASURES, "holds"),
    )
    number: int

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(number=integer_of(given, "number"), modulus=given_modulus(given))

    @property
    def words(self) -> str:
        return f"is {self.number} a primitive root"

    @property
    def shown(self) -> tuple[Math, ...]:
        asked = ("is", Number(self.number), "a primitive root modulo", self.modulus_math)
        return (Words(asked),)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.number % self.modulus, self.modulus)

    def asked(self, ask: str) -> Sentences:
        if ask == "the steps":
            opening = say(
                "The steps of testing whether {a} is a primitive root modulo {m} are out of order.",
                a=Number(self.number),
                m=self.modulus_math,
            )
            return opening, _primitive_root(self)
        return (_primitive_root(self),)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no primitive root"),
            claim=say(
                "True or false: {a} is a primitive root modulo {m}.",
                a=Number(self.number),
                m=self.modulus_math,
            ),
        )

    def outline(self, solution: Solution[Truth]) -> tuple[StepLine, ...]:
        return guidance.outline(solution.steps) if 1 < self.number < self.modulus else ()

    def spares(self, solution: Solution[Truth], lines: Sequence[StepLine]) -> tuple[SpareLine, ...]:
        return guidance.spares(solution.steps, lines)

    def solve(self) -> Solution[Truth]:
        return solve.test(self.number, self.phi)

    def measures(self, solution: Solution[Truth]) -> Mapping[str, int]:
        return {"holds": int(solution.answer.holds), **_general_measures(self, solution)}

    def slips(self, solution: Solution[Truth]) -> tuple[Slip, ...]:
        found = slips.of_the_test(self.number, self.phi, solution.answer.holds)
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[Truth]) -> Telling:
        coprime = gcd(self.number, self.modulus) == 1
        residue = self.least_residues(self.number) if coprime else ()
        return (
            *self.conventions(),
            *residue,
            *told(solution.steps, self.telling),
            *self.conclusion(solution.answer),
        )

    def answer_text(self, answer: Truth) -> Said:
        a, m = Number(self.number), self.modulus_math
        if answer.holds:
            return say("{a} is a primitive root modulo {m}.", a=a, m=m)
        return say("{a} is not a primitive root modulo {m}.", a=a, m=m)


# ------------------------------------------------------------ reading

_FORMS: tuple[tuple[re.Pattern[str], type[AboutModulus]], ...] = (
    (re.compile(r"(?:all |the )*primitive roots", re.IGNORECASE), PrimitiveRoots),
    (re.compile(r"(?:the )?least primitive root", re.IGNORECASE), LeastPrimitiveRoot),
    (
        re.compile(r"(?:the )?number of primitive roots", re.IGNORECASE),
        PrimitiveRootCount,
    ),
    (re.compile(r"is there a primitive root", re.IGNORECASE), PrimitiveRootExistence),
)
_TEST = re.compile(r"is (?P<number>.+) a primitive root", re.IGNORECASE)


def read(statements: Sequence[str]) -> AboutModulus | None:
    """The problem of "primitive roots mod 17" and the like; None for statements of another form."""
    parts = words_and_modulus(statements)
    if parts is None:
        return None
    words, modulus, statement = parts[0], parts[1].rstrip("? "), statements[0]
    found = named(_FORMS, words, modulus, statement)
    if found is None and (match := _TEST.fullmatch(words)):
        number = integer_typed(match["number"], "a number", statement)
        return PrimitiveRootTest(number=number, **typed_modulus(modulus, statement))
    return found


KINDS = (
    Kind(
        problem=PrimitiveRoots,
        read=read,
        about="The primitive roots modulo n: all, the least, the largest, or how many.",
        title=say("Primitive roots"),
        next_steps={
            "all solutions": say(
                "Take one primitive root, and raise it to the exponents that have no factor in "
                "common with φ of the modulus. Compare the list with these powers."
            ),
            "how many": say(
                "Apply φ to the modulus, and then to the result. What does each of the two count?"
            ),
            "the least": say(
                "Test the residues from the smallest on: for each prime of φ of the modulus, the "
                "power with φ divided by that prime as exponent must not be 1."
            ),
            "the largest": say(
                "Test the residues from the largest on: for each prime of φ of the modulus, the "
                "power with φ divided by that prime as exponent must not be 1."
            ),
        },
        samples=(
            "primitive roots mod 17",
            "all primitive roots modulo 2*5^2",
            "the primitive roots mod 12",
            "primitive roots mod 54",
            "primitive roots mod 3",
            "primitive roots mod 1",
        ),
        certificate=certificate.of_the_set,
    ),
    Kind(
        problem=LeastPrimitiveRoot,
        read=read,
        value="residue",
        about="The least primitive root modulo n, or that there is none.",
        title=say("Primitive roots"),
        next_steps={
            "the value": say(
                "Test the number that was given, and every smaller one: for each prime of φ of the "
                "modulus, the power with φ divided by that prime as exponent must not be 1."
            ),
        },
        samples=(
            "least primitive root mod 41",
            "the least primitive root mod 7^3",
            "least primitive root (mod 1000003)",
            "least primitive root mod -5",
            "least primitive root mod 4",
            "least primitive root mod 15",
        ),
        certificate=certificate.of_the_least,
    ),
    Kind(
        problem=PrimitiveRootCount,
        read=read,
        value="count",
        about="How many primitive roots there are modulo n: φ(φ(n)), or 0.",
        title=say("Primitive roots"),
        next_steps={
            "the value": say(
                "Apply φ to the modulus, and then to the result. What does each of the two count, "
                "and is there a primitive root at all?"
            ),
        },
        samples=(
            "number of primitive roots mod 31",
            "the number of primitive roots mod 3^40",
            "number of primitive roots mod 10",
            "number of primitive roots mod 24",
            "number of primitive roots mod 2",
        ),
    ),
    Kind(
        problem=PrimitiveRootExistence,
        read=read,
        about="Whether there is a primitive root modulo n.",
        title=say("Primitive roots"),
        next_steps={
            "whether any": say(
                "Factor the modulus: has it one of the forms in which units of order φ exist, a "
                "power of an odd prime or twice such a power, or is it at most 4?"
            ),
        },
        samples=(
            "is there a primitive root mod 50",
            "is there a primitive root mod 8?",
            "is there a primitive root mod 2*7^30",
            "is there a primitive root mod 35",
            "is there a primitive root mod 1",
        ),
    ),
    Kind(
        problem=PrimitiveRootTest,
        read=read,
        about="Whether a given number is a primitive root modulo n.",
        title=say("Primitive roots"),
        next_steps={
            "whether any": say(
                "Factor φ of the modulus. For each of its primes take the power with φ divided by "
                "that prime as exponent: is one of these powers 1?"
            ),
        },
        samples=(
            "is 3 a primitive root mod 17",
            "is 4 a primitive root mod 17?",
            "is 5 a primitive root mod 23",
            "is -2 a primitive root mod 5^3",
            "is 6 a primitive root mod 9",
            "is 5 a primitive root mod 12",
            "is 3 a primitive root modulo 1000000007",
            "is 0 a primitive root mod 1",
        ),
        certificate=lambda problem, _answer: certificate.of_a_number(problem.number, problem),
    ),
)
