"""International standard book numbers: the digit that is missing, and whether one is valid.

ISBN-10: ten characters, digits but for the last, which may be X for 10; with the weights
10, 9, ..., 1 from the left the sum is 0 modulo 11. ISBN-13: thirteen digits, beginning with
978 or 979; with the weights 1, 3, 1, 3, ..., 1 the sum is 0 modulo 10.

Source: ISO 2108, Information and documentation - International standard book number, the
annexes on check digits (ten digits: the editions before 2005; thirteen: since 2005). Hyphens
and spaces separate the parts of a number and mean nothing here; which book has which
number is no matter.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, Self

from itembank.answer import Absent, Truth, Value
from itembank.errors import StatementError
from itembank.notation.reading import formula, paragraph, table
from itembank.notation.tree import Block, Blocks, Math
from itembank.problems.base import (
    Given,
    Phrases,
    Slip,
    Solution,
    Step,
    distinct_slips,
    integer_of,
    slip,
)
from itembank.problems.check_digits.isbn_steps import Complete, Divide, SolveForDigit, Weigh
from itembank.vocabulary import KindSignature
from itembank.words import _

WEIGHTS = {10: tuple(range(10, 0, -1)), 13: (1, 3) * 6 + (1,)}
MODULI = {10: 11, 13: 10}
PREFIXES = ("978", "979")


def digit_value(character: str) -> int:
    return 10 if character == "X" else int(character)


def character_of(value: int) -> str:
    return "X" if value == 10 else str(value)


def weighted(values: Sequence[int], weights: Sequence[int]) -> int:
    return sum(v * w for v, w in zip(values, weights, strict=True))


def completed(body: str) -> str:
    """The valid number that begins with the digits of `body`: nine of them, or twelve."""
    length = len(body) + 1
    total = weighted([int(d) for d in body], WEIGHTS[length][:-1])
    return body + character_of(-total % MODULI[length])


def place_fault(number: str) -> str:
    """Why a number of the right length cannot be an ISBN whatever its check digit; "" if it can."""
    if "X" in number[:-1] or (len(number) == 13 and "X" in number):
        return _("X stands for 10, and only at the end of an ISBN-10.")
    if len(number) == 13 and not number.startswith(PREFIXES):
        return _("An ISBN-13 begins with 978 or 979.")
    return ""


# ------------------------------------------------------------ the kinds


@dataclass(frozen=True, kw_only=True)
class Isbn:
    """What both kinds share: `text` is the number without hyphens, ten or thirteen characters."""

    kind: ClassVar[str]
    signature: ClassVar[KindSignature]
    text: str

    @property
    def length(self) -> int:
        return len(self.text)

    @property
    def weights(self) -> tuple[int, ...]:
        return WEIGHTS[self.length]

    @property
    def modulus(self) -> int:
        return MODULI[self.length]

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"isbn {self.text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (formula(f'"ISBN {self.text}"'),)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.text)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    @property
    def rule(self) -> str:
        """When a number is valid, as a stem says it."""
        if self.length == 10:
            return _(
                "An ISBN of ten characters is valid if the sum of its digits, multiplied by the "
                "weights 10, 9, 8, 7, 6, 5, 4, 3, 2, 1 from left to right, is divisible by 11. The "
                "last character may be X, which stands for 10."
            )
        return _(
            "An ISBN of thirteen digits is valid if the sum of its digits, multiplied by the "
            "weights 1, 3, 1, 3, ..., 3, 1 from left to right, is divisible by 10."
        )


def body_of(given: Given) -> str:
    """The digits before the check digit, from a family's `length` and `body`."""
    length, body = integer_of(given, "length"), integer_of(given, "body")
    if length not in WEIGHTS:
        raise StatementError(f"given.length: expected 10 or 13, got {length}")
    low, high = (0, 10**9 - 1) if length == 10 else (978 * 10**9, 98 * 10**10 - 1)
    if not low <= body <= high:
        raise StatementError(
            f"given.body: expected the first {length - 1} digits of an ISBN-{length} as a number "
            f"from {low} to {high}, got {body}"
        )
    return f"{body:0{length - 1}}"


# ------------------------------------------------------------ a digit is missing


@dataclass(frozen=True, kw_only=True)
class IsbnDigit(Isbn):
    """The digit that stands for the one `?` in a valid number; X counts as 10."""

    kind: ClassVar[str] = "isbn_digit"
    signature: ClassVar[KindSignature] = KindSignature(
        name="isbn_digit",
        given={"length": "integer", "body": "integer", "missing": "integer"},
        asks=("the value",),
        slips=(
            "other-modulus",
            "weights-exchanged",
            "other-weights",
            "weights-shifted",
            "weights-left-out",
            "remainder-for-digit",
            "weight-not-divided",
            "multiplied-for-divided",
        ),
        measures=("exists", "steps", "weight", "digit"),
    )

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """The first digits as a number, and the place (from 1) of the digit that is lost."""
        number = completed(body_of(given))
        place = integer_of(given, "missing")
        if not 1 <= place <= len(number):
            raise StatementError(
                f"given.missing: expected a place from 1 to {len(number)}, got {place}"
            )
        return cls(text=f"{number[: place - 1]}?{number[place:]}")

    @property
    def place(self) -> int:
        """The place of the missing digit, from 0."""
        return self.text.index("?")

    def question(self, ask: str) -> Blocks:
        text = _(
            "In the ISBN {text} one character can no longer be read. Find the missing digit, given "
            "that the ISBN is valid."
        )
        return (paragraph(self.rule), paragraph(text.format(text=self.text)))

    @property
    def phrases(self) -> Phrases:
        if self.length == 10 and self.place == 9:
            entry = _("Type the missing digit; if it is X, type 10.")
        else:
            entry = _("Type the missing digit.")
        return Phrases(
            member=_("the missing digit"),
            none=_("no digit fits"),
            claim=_("some digit makes the ISBN valid"),
            entry=entry,
        )

    def solve(self) -> Solution[Value | Absent]:
        m, w = self.modulus, self.weights[self.place]
        weigh = weighing(self.text)
        right, inverse = -weigh.total % m, pow(w, -1, m)
        x = right * inverse % m
        number = self.text.replace("?", character_of(x))
        reason = place_fault(number)
        steps = (
            weigh,
            SolveForDigit(m, w, weigh.total, right, inverse, x),
            Complete(number, x, reason),
        )
        return Solution(Absent(reason) if reason else Value(x), steps)

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        answer = solution.answer
        return {
            "exists": int(isinstance(answer, Value)),
            "steps": solution.effort,
            "weight": self.weights[self.place],
            "digit": answer.value if isinstance(answer, Value) else -1,
        }

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        found = (
            slip(name, (made[0],), made[1])
            for name, mistake in DIGIT_MISTAKES.items()
            if (made := mistake(self)) is not None and 0 <= made[0] <= 9 + (self.length == 10)
        )
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[Value | Absent]) -> Blocks:
        return worked(solution.steps)


def weighing(text: str) -> Weigh:
    weights = WEIGHTS[len(text)]
    rows = tuple(
        (c, w, None if c == "?" else digit_value(c) * w) for c, w in zip(text, weights, strict=True)
    )
    return Weigh(MODULI[len(text)], rows, sum(product or 0 for _c, _w, product in rows))


# ------------------------------------------------------------ is it valid


@dataclass(frozen=True, kw_only=True)
class IsbnTest(Isbn):
    """Whether a whole number is valid."""

    kind: ClassVar[str] = "isbn_test"
    signature: ClassVar[KindSignature] = KindSignature(
        name="isbn_test",
        given={
            "length": "integer",
            "body": "integer",
            "changed": "integer",
            "by": "integer",
            "swapped": "integer",
        },
        asks=("whether any",),
        slips=(
            "other-modulus",
            "weights-exchanged",
            "other-weights",
            "weights-shifted",
            "weights-left-out",
            "check-digit-left-out",
            "x-refused",
        ),
        measures=("holds", "steps", "remainder"),
    )

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """A valid number in which one digit is changed, or two neighbours are exchanged.

        `changed` is the place of a digit (from 1) that grows by `by`, modulo 10; `swapped` the
        place of the first of two digits that change places; 0 for neither.
        """
        number = list(completed(body_of(given)))
        place, first = integer_of(given, "changed"), integer_of(given, "swapped")
        for name, value, last in (
            ("changed", place, len(number)),
            ("swapped", first, len(number) - 1),
        ):
            if not 0 <= value <= last:
                raise StatementError(
                    f"given.{name}: expected a place from 1 to {last}, or 0 for none, got {value}"
                )
        if place:
            value = digit_value(number[place - 1])
            number[place - 1] = str((value + integer_of(given, "by")) % 10)
        if first and "X" not in number[first - 1 : first + 1]:
            number[first - 1], number[first] = number[first], number[first - 1]
        return cls(text="".join(number))

    def question(self, ask: str) -> Blocks:
        return (
            paragraph(self.rule),
            paragraph(_("Decide whether the ISBN {text} is valid.").format(text=self.text)),
        )

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            member=_("valid"),
            none=_("not valid"),
            claim=_("the ISBN {text} is valid").format(text=self.text),
        )

    def solve(self) -> Solution[Truth]:
        m, weigh = self.modulus, weighing(self.text)
        quotient, remainder = divmod(weigh.total, m)
        step = Divide(self.text, m, weigh.total, quotient, remainder)
        return Solution(Truth(remainder == 0), (weigh, step))

    def measures(self, solution: Solution[Truth]) -> Mapping[str, int]:
        return {
            "holds": int(solution.answer.holds),
            "steps": solution.effort,
            "remainder": weighing(self.text).total % self.modulus,
        }

    def slips(self, solution: Solution[Truth]) -> tuple[Slip, ...]:
        found = (
            slip(name, (int(made[0]),), made[1])
            for name, mistake in TEST_MISTAKES.items()
            if (made := mistake(self)) is not None
        )
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[Truth]) -> Blocks:
        return worked(solution.steps)


# ------------------------------------------------------------ reading

FORM = re.compile(r"isbn(?:[- ]?1[03](?=[:\s]))?[:\s]\s*(?P<number>.+)", re.IGNORECASE)


def read(statements: Sequence[str]) -> IsbnDigit | IsbnTest | None:
    """The problem of "isbn 0-306-40615-?"; None for statements of another form.

    With one `?` the digit is asked for, without any whether the number is valid.
    """
    match = FORM.fullmatch(statements[0].strip()) if len(statements) == 1 else None
    if match is None:
        return None
    statement = statements[0]
    text = re.sub(r"[-\s\u2010-\u2013\u2212]", "", match["number"]).upper()
    if not re.fullmatch(r"[0-9X?]*", text) or len(text) not in WEIGHTS:
        raise StatementError(
            f"{statement!r}: expected 10 or 13 digits (the last of 10 may be X), ? for a missing "
            f"one, got {len(text)} characters"
        )
    if text.count("?") > 1:
        raise StatementError(
            f"{statement!r}: expected at most one ?, got {text.count('?')}; one congruence gives "
            f"one digit"
        )
    if fault := place_fault(text) if "?" not in text[:3] else "":
        raise StatementError(f"{statement!r}: {fault}")
    return IsbnDigit(text=text) if "?" in text else IsbnTest(text=text)


# ------------------------------------------------------------ the worked solution


def worked(steps: Sequence[Step]) -> Blocks:
    return tuple(block for step in steps for block in TOLD[type(step)](step))


def weigh_told(step: Weigh) -> Iterator[Block]:
    missing = any(product is None for _c, _w, product in step.rows)
    if missing:
        text = _("Write $d$ for the missing digit, and multiply each digit by its weight:")
    else:
        text = _("Multiply each digit by its weight:")
    yield paragraph(text, _("Weights."))
    yield table(
        (_("digit"), _("weight"), _("product")),
        [
            ("$d$", f"${w}$", f"${w}d$" if w > 1 else "$d$")
            if product is None
            else (c if c == "X" else f"${c}$", f"${w}$", f"${product}$")
            for c, w, product in step.rows
        ],
    )


def solve_told(step: SolveForDigit) -> Iterator[Block]:
    m, w, total, right = step.m, step.w, step.total, step.right
    term = f"{w}d" if w > 1 else "d"
    values = {"total": total, "term": term, "m": m, "w": w, "right": right}
    if right == 0:
        text = _(
            "The known products add up to {total}, a multiple of {m}, so ${term} ≡ 0 (mod {m})$."
        )
        if w > 1:
            text += " " + _("{w} is coprime to {m}, so $d ≡ 0 (mod {m})$.")
    else:
        text = _(
            "The known products add up to {total}, so ${term} + {total} ≡ 0 (mod {m})$. Since "
            "${total} = {q} · {m} + {r}$, that is ${term} ≡ -{r} ≡ {right} (mod {m})$."
        )
    yield paragraph(text.format(q=total // m, r=total % m, **values), _("The congruence."))
    if w > 1 and right:
        yield paragraph(divided(step), _("Solve."))


def divided(step: SolveForDigit) -> str:
    product = step.inverse * step.right
    return _(
        "${w} · {inverse} = {one} ≡ 1 (mod {m})$, so multiply by {inverse}: "
        "$d ≡ {inverse} · {right} = {product}{residue} (mod {m})$."
    ).format(
        w=step.w,
        inverse=step.inverse,
        one=step.w * step.inverse,
        m=step.m,
        right=step.right,
        product=product,
        residue=f" ≡ {step.x}" if product >= step.m else "",
    )


def complete_told(step: Complete) -> Iterator[Block]:
    if step.reason:
        text = _("The missing digit would have to be {x}. {reason} So no digit fits.")
    elif step.x == 10:
        text = _("The missing digit is 10, written X: {number}.")
    else:
        text = _("The missing digit is {x}: {number}.")
    yield paragraph(text.format(x=step.x, reason=step.reason, number=step.number), _("Answer."))


def divide_told(step: Divide) -> Iterator[Block]:
    m, total = step.m, step.total
    chain = f"{total} = {step.quotient} · {m}"
    if step.remainder:
        chain += f" + {step.remainder}"
    yield paragraph(
        _("The products add up to ${chain}$.").format(chain=chain), _("Divide by {m}.").format(m=m)
    )
    if step.remainder == 0:
        text = _("The sum is divisible by {m}: the ISBN {number} is valid.")
    else:
        text = _("The sum is not divisible by {m}: the ISBN {number} is not valid.")
    yield paragraph(text.format(m=m, number=step.number), _("Answer."))


TOLD: dict[type[Step], Callable[[Any], Iterator[Block]]] = {
    Weigh: weigh_told,
    SolveForDigit: solve_told,
    Complete: complete_told,
    Divide: divide_told,
}
"""How each step is told."""

# ------------------------------------------------------------ slips


def solved_with(p: Isbn, weights: Sequence[int], m: int) -> int | None:
    """The missing digit under other weights or another modulus; None if it is not determined."""
    place = p.text.index("?")
    values = [0 if c == "?" else digit_value(c) for c in p.text]
    total = weighted(values, weights)
    fits = [x for x in range(m) if (total + weights[place] * x) % m == 0]
    return fits[0] if len(fits) == 1 else None


def valid_with(p: Isbn, weights: Sequence[int], m: int) -> bool:
    return weighted([digit_value(c) for c in p.text], weights) % m == 0


OTHER_WEIGHTS = {10: (1, 3) * 5, 13: tuple(range(13, 0, -1))}
"""Those of the other standard, carried over."""


def other_modulus(p: Isbn) -> tuple[tuple[int, ...], int, str]:
    m = 21 - p.modulus
    return (
        p.weights,
        m,
        _(
            "You divided by {wrong}. For an ISBN of {length} characters the sum is taken modulo "
            "{m}."
        ).format(wrong=m, length=p.length, m=p.modulus),
    )


def weights_exchanged(p: Isbn) -> tuple[tuple[int, ...], int, str] | None:
    if p.length == 10:
        return None
    return (
        (3, 1) * 6 + (3,),
        10,
        _(
            "You began with the weight 3. The first digit has the weight 1, the second 3, and so "
            "on."
        ),
    )


def other_weights(p: Isbn) -> tuple[tuple[int, ...], int, str]:
    return (
        OTHER_WEIGHTS[p.length],
        p.modulus,
        _("You used the weights of the ISBN of {other} characters; this one has {length}.").format(
            other=23 - p.length, length=p.length
        ),
    )


def weights_shifted(p: Isbn) -> tuple[tuple[int, ...], int, str] | None:
    """The weights one too low, and the check digit added without one."""
    if p.length == 13:
        return None
    return (
        (*range(9, 0, -1), 1),
        11,
        _(
            "Your weights begin with 9. The first of the ten characters has the weight 10, and the "
            "last, the check digit, has the weight 1."
        ),
    )


def weights_left_out(p: Isbn) -> tuple[tuple[int, ...], int, str]:
    return (
        (1,) * p.length,
        p.modulus,
        _(
            "You added the digits without their weights. Exchanging two digits would then never be "
            "noticed."
        ),
    )


RULES: dict[str, Callable[[Isbn], tuple[tuple[int, ...], int, str] | None]] = {
    "other-modulus": other_modulus,
    "weights-exchanged": weights_exchanged,
    "other-weights": other_weights,
    "weights-shifted": weights_shifted,
    "weights-left-out": weights_left_out,
}
"""Wrong rules, as weights and modulus with the feedback."""

Digit = tuple[int, str] | None
Verdict = tuple[bool, str] | None


def digit_by(rule: str) -> Callable[[IsbnDigit], Digit]:
    def mistake(p: IsbnDigit) -> Digit:
        wrong = RULES[rule](p)
        digit = solved_with(p, wrong[0], wrong[1]) if wrong else None
        return None if wrong is None or digit is None else (digit, wrong[2])

    return mistake


def verdict_by(rule: str) -> Callable[[IsbnTest], Verdict]:
    def mistake(p: IsbnTest) -> Verdict:
        wrong = RULES[rule](p)
        return None if wrong is None else (valid_with(p, wrong[0], wrong[1]), wrong[2])

    return mistake


def remainder_for_digit(p: IsbnDigit) -> Digit:
    """The remainder of the known sum taken for the digit, where its negative is meant."""
    if p.weights[p.place] > 1:
        return None
    return weighing(p.text).total % p.modulus, _(
        "You gave the remainder of the sum. The missing digit has to **complete** the sum to a "
        "multiple of {m}."
    ).format(m=p.modulus)


def weight_not_divided(p: IsbnDigit) -> Digit:
    w = p.weights[p.place]
    if w == 1:
        return None
    return -weighing(p.text).total % p.modulus, _(
        "You found what is missing in the sum. That is {w} times the digit, since the digit has "
        "the weight {w}: solve the congruence for it."
    ).format(w=w)


def multiplied_for_divided(p: IsbnDigit) -> Digit:
    w = p.weights[p.place]
    if w == 1:
        return None
    return -weighing(p.text).total * w % p.modulus, _(
        "You multiplied by the weight {w}. To solve for the digit, multiply by the **inverse** of "
        "{w} modulo {m}."
    ).format(w=w, m=p.modulus)


def check_digit_left_out(p: IsbnTest) -> Verdict:
    values = [digit_value(c) for c in p.text[:-1]]
    return weighted(values, p.weights[:-1]) % p.modulus == 0, _(
        "You left the check digit out of the sum. It counts with the weight 1."
    )


def x_refused(p: IsbnTest) -> Verdict:
    if not p.text.endswith("X"):
        return None
    return False, _("X is no misprint: at the end of an ISBN-10 it stands for 10.")


DIGIT_MISTAKES: dict[str, Callable[[IsbnDigit], Digit]] = {
    **{rule: digit_by(rule) for rule in RULES},
    "remainder-for-digit": remainder_for_digit,
    "weight-not-divided": weight_not_divided,
    "multiplied-for-divided": multiplied_for_divided,
}
"""In the order of the method."""

TEST_MISTAKES: dict[str, Callable[[IsbnTest], Verdict]] = {
    **{rule: verdict_by(rule) for rule in RULES},
    "check-digit-left-out": check_digit_left_out,
    "x-refused": x_refused,
}
"""In the order of the method."""
