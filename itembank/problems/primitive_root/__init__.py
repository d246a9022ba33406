"""Primitive roots modulo n: all, the least, their number, whether there are any, the test of one.

A primitive root modulo n is a residue of order phi(n). Modulo 1 the residue 0 is counted as
one, since its powers are all residues. Where none exists, the set asked for is empty, the
number is 0, and the least is absent.

`solve` finds and tests with steps, `worked` tells them, `slips` goes wrong on purpose.
"""

import re
from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import gcd
from typing import Any, ClassVar, Self

from itembank.answer import Absent, Answer, ResidueSet, Truth, Value
from itembank.notation.reading import formula, paragraph
from itembank.notation.tree import Blocks, Math
from itembank.problems.base import Given, Phrases, Slip, Solution, distinct_slips, integer_of
from itembank.problems.modular import (
    Modular,
    given_modulus,
    integer_typed,
    typed_modulus,
    words_and_modulus,
)
from itembank.problems.order import Phi, phi_step
from itembank.problems.primitive_root import slips, solve
from itembank.problems.primitive_root.worked import number_text, set_text, worked
from itembank.vocabulary import KindSignature
from itembank.words import _

__all__ = [
    "LeastPrimitiveRoot",
    "PrimitiveRootCount",
    "PrimitiveRootExistence",
    "PrimitiveRootTest",
    "PrimitiveRoots",
    "read",
]


@dataclass(frozen=True, kw_only=True)
class AboutPrimitiveRoots(Modular, ABC):
    """What the kinds share: they are about the units modulo `modulus`."""

    kind: ClassVar[str]
    signature: ClassVar[KindSignature]

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(modulus=given_modulus(given))

    @cached_property
    def phi(self) -> Phi:
        """phi(n), factored; StatementError where it is not."""
        return phi_step(self.modulus, self.known_factors, self.statement[0])

    @property
    @abstractmethod
    def words(self) -> str:
        """The statement before its modulus."""

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{self.words} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (formula(f'"{self.words} modulo" {self.modulus_text}'),)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.modulus)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    @property
    def definition(self) -> str:
        """What a primitive root is, as a stem says it."""
        return _("A primitive root modulo ${n}$ is a residue of order $φ({n})$.").format(
            n=self.modulus_text
        )

    def worked(self, solution: Solution[Any]) -> Blocks:
        answer = self.answer_text(solution.answer, self.modulus_text)
        return (*self.conventions(), *worked(solution, answer))

    @abstractmethod
    def answer_text(self, answer: Any, m: str) -> str:
        """The answer as a sentence, `m` the modulus as it is shown."""

    def general_measures(self, solution: Solution[Answer]) -> dict[str, int]:
        return {
            "steps": solution.effort,
            "phi": self.phi.n,
            "digits": len(str(self.modulus)),
            "exists": int(solve.existence(self.phi).exists),
        }


# ------------------------------------------------------------ all of them


@dataclass(frozen=True, kw_only=True)
class PrimitiveRoots(AboutPrimitiveRoots):
    """The set of all primitive roots; empty where there is none."""

    kind: ClassVar[str] = "primitive_roots"
    signature: ClassVar[KindSignature] = KindSignature(
        name="primitive_roots",
        given={"modulus": "integer"},
        asks=("all solutions", "how many", "the least", "the largest"),
        slips=tuple(slips.SETS),
        measures=("solutions", "steps", "phi", "digits", "exists"),
    )

    @property
    def words(self) -> str:
        return "primitive roots"

    def question(self, ask: str) -> Blocks:
        texts = {
            "all solutions": _("Find **all** primitive roots modulo {m}."),
            "how many": _("How many primitive roots are there modulo {m}?"),
            "the least": _("Find the **smallest** primitive root modulo {m}."),
            "the largest": _("Find the **largest** primitive root modulo {m}."),
        }
        m = f"${self.modulus_text}$"
        return (paragraph(f"{texts[ask].format(m=m)} {self.definition}"),)

    @property
    def phrases(self) -> Phrases:
        m = f"${self.modulus_text}$"
        return Phrases(
            member=_("a primitive root"),
            none=_("no primitive roots"),
            claim=_("there is a primitive root modulo {m}").format(m=m),
        )

    def solve(self) -> Solution[ResidueSet]:
        return solve.whole_set(self.phi, self.statement[0])

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {"solutions": solution.answer.count, **self.general_measures(solution)}

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        return distinct_slips(slips.of_the_set(self.phi), solution.answer)

    def why_none(self, answer: ResidueSet) -> str:
        """Why there is no primitive root; "" if there is one."""
        return "" if answer else solve.none_exist(self.modulus)

    def answer_text(self, answer: ResidueSet, m: str) -> str:
        return set_text(answer, m)


# ------------------------------------------------------------ the least


@dataclass(frozen=True, kw_only=True)
class LeastPrimitiveRoot(AboutPrimitiveRoots):
    """The least residue that is a primitive root."""

    kind: ClassVar[str] = "least_primitive_root"
    signature: ClassVar[KindSignature] = KindSignature(
        name="least_primitive_root",
        given={"modulus": "integer"},
        asks=("the value",),
        slips=tuple(slips.LEAST),
        measures=("steps", "phi", "digits", "exists", "least"),
    )

    @property
    def words(self) -> str:
        return "least primitive root"

    def question(self, ask: str) -> Blocks:
        text = _("Find the **least** primitive root modulo {m}.").format(m=f"${self.modulus_text}$")
        return (paragraph(f"{text} {self.definition}"),)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            member=_("the least primitive root"),
            none=_("no primitive roots"),
            claim=_("there is a primitive root modulo {m}").format(m=f"${self.modulus_text}$"),
            entry=_("Type the least residue that is one, in digits."),
        )

    def solve(self) -> Solution[Value | Absent]:
        return solve.least(self.phi)

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        found = solution.answer
        least = found.value if isinstance(found, Value) else 0
        return {"least": least, **self.general_measures(solution)}

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        return distinct_slips(slips.of_the_least(self.phi), solution.answer)

    def answer_text(self, answer: Value | Absent, m: str) -> str:
        if isinstance(answer, Absent):
            return answer.reason
        return _("The least primitive root modulo ${m}$ is {g}.").format(m=m, g=answer.value)


# ------------------------------------------------------------ how many


@dataclass(frozen=True, kw_only=True)
class PrimitiveRootCount(AboutPrimitiveRoots):
    """How many least residues are primitive roots."""

    kind: ClassVar[str] = "primitive_root_count"
    signature: ClassVar[KindSignature] = KindSignature(
        name="primitive_root_count",
        given={"modulus": "integer"},
        asks=("the value",),
        slips=tuple(slips.COUNTS),
        measures=("steps", "phi", "digits", "exists"),
    )

    @property
    def words(self) -> str:
        return "number of primitive roots"

    def question(self, ask: str) -> Blocks:
        text = _("Find the number of primitive roots modulo {m}.").format(
            m=f"${self.modulus_text}$"
        )
        return (paragraph(f"{text} {self.definition}"),)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            member=_("a primitive root"),
            none=_("no primitive roots"),
            claim=_("there is a primitive root modulo {m}").format(m=f"${self.modulus_text}$"),
            entry=_(
                "Count them among the least residues. Type the number in digits; if there is none, "
                "type 0."
            ),
        )

    def solve(self) -> Solution[Value]:
        return solve.number(self.phi)

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return self.general_measures(solution)

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        return distinct_slips(slips.of_the_number(self.phi), solution.answer)

    def answer_text(self, answer: Value, m: str) -> str:
        return number_text(answer.value, m)


# ------------------------------------------------------------ whether there is one


@dataclass(frozen=True, kw_only=True)
class PrimitiveRootExistence(AboutPrimitiveRoots):
    """Whether some residue is a primitive root."""

    kind: ClassVar[str] = "primitive_root_existence"
    signature: ClassVar[KindSignature] = KindSignature(
        name="primitive_root_existence",
        given={"modulus": "integer"},
        asks=("whether any",),
        slips=slips.EXISTENCE,
        measures=("steps", "phi", "digits", "exists"),
    )

    @property
    def words(self) -> str:
        return "is there a primitive root"

    def question(self, ask: str) -> Blocks:
        text = _("Decide whether there is a primitive root modulo {m}.").format(
            m=f"${self.modulus_text}$"
        )
        return (paragraph(f"{text} {self.definition}"),)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            member=_("a primitive root"),
            none=_("no primitive roots"),
            claim=_("there is a primitive root modulo {m}").format(m=f"${self.modulus_text}$"),
        )

    def solve(self) -> Solution[Truth]:
        exists = solve.existence(self.phi)
        return Solution(Truth(exists.exists), (exists,))

    def measures(self, solution: Solution[Truth]) -> Mapping[str, int]:
        return self.general_measures(solution)

    def slips(self, solution: Solution[Truth]) -> tuple[Slip, ...]:
        found = slips.of_the_existence(self.phi, solution.answer.holds)
        return distinct_slips(found, solution.answer)

    def answer_text(self, answer: Truth, m: str) -> str:
        if answer.holds:
            return _("There is a primitive root modulo ${m}$.").format(m=m)
        return _("There is no primitive root modulo ${m}$.").format(m=m)


# ------------------------------------------------------------ the test of one


@dataclass(frozen=True, kw_only=True)
class PrimitiveRootTest(AboutPrimitiveRoots):
    """Whether `number` is a primitive root."""

    kind: ClassVar[str] = "primitive_root_test"
    signature: ClassVar[KindSignature] = KindSignature(
        name="primitive_root_test",
        given={"number": "integer", "modulus": "integer"},
        asks=("whether any",),
        slips=slips.TESTS,
        measures=("steps", "phi", "digits", "exists", "holds"),
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
        return (formula(f'"is" {self.number} "a primitive root modulo" {self.modulus_text}'),)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.number % self.modulus, self.modulus)

    def question(self, ask: str) -> Blocks:
        text = _("Decide whether ${a}$ is a primitive root modulo {m}.").format(
            a=self.number, m=f"${self.modulus_text}$"
        )
        return (paragraph(f"{text} {self.definition}"),)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            member=_("a primitive root"),
            none=_("no primitive root"),
            claim=_("{a} is a primitive root modulo {m}").format(
                a=f"${self.number}$", m=f"${self.modulus_text}$"
            ),
        )

    def solve(self) -> Solution[Truth]:
        return solve.test(self.number, self.phi)

    def measures(self, solution: Solution[Truth]) -> Mapping[str, int]:
        return {"holds": int(solution.answer.holds), **self.general_measures(solution)}

    def slips(self, solution: Solution[Truth]) -> tuple[Slip, ...]:
        found = slips.of_the_test(self.number, self.phi, solution.answer.holds)
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[Truth]) -> Blocks:
        coprime = gcd(self.number, self.modulus) == 1
        residue = self.least_residues(self.number) if coprime else ()
        return (*residue, *super().worked(solution))

    def answer_text(self, answer: Truth, m: str) -> str:
        if answer.holds:
            return _("${a}$ is a primitive root modulo ${m}$.").format(a=self.number, m=m)
        return _("${a}$ is no primitive root modulo ${m}$.").format(a=self.number, m=m)


# ------------------------------------------------------------ reading

FORMS: tuple[tuple[re.Pattern[str], type[AboutPrimitiveRoots]], ...] = (
    (re.compile(r"(?:all |the )*primitive roots", re.IGNORECASE), PrimitiveRoots),
    (re.compile(r"(?:the )?least primitive root", re.IGNORECASE), LeastPrimitiveRoot),
    (
        re.compile(r"(?:the )?number of primitive roots", re.IGNORECASE),
        PrimitiveRootCount,
    ),
    (re.compile(r"is there a primitive root", re.IGNORECASE), PrimitiveRootExistence),
)
TEST = re.compile(r"is (?P<number>.+) a primitive root", re.IGNORECASE)


def read(statements: Sequence[str]) -> AboutPrimitiveRoots | None:
    """The problem of "primitive roots mod 17" and the like; None for statements of another form."""
    parts = words_and_modulus(statements)
    if parts is None:
        return None
    words, modulus = parts
    statement = statements[0]
    for form, kind in FORMS:
        if form.fullmatch(words):
            return kind(**typed_modulus(modulus.rstrip("? "), statement))
    if match := TEST.fullmatch(words):
        number = integer_typed(match["number"], "a number", statement)
        return PrimitiveRootTest(number=number, **typed_modulus(modulus.rstrip("? "), statement))
    return None
