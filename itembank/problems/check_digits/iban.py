"""International bank account numbers: digits that are missing, and whether one is valid.

An IBAN is a country code of two letters, two check digits from 02 to 98, and the account
number of the country, of digits and letters. Move the first four characters to the end and
write A, B, ..., Z as 10, 11, ..., 35: the number N that results is 1 modulo 97.

Source: ISO 13616-1, Financial services - International bank account number, and ISO/IEC
7064, check character systems, MOD 97-10. How many characters a country uses is not
tested. The numbers that families make up have the country codes QM to QZ, which ISO 3166-1
assigns to no country: they are nobody's.
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
from itembank.problems.check_digits.iban_steps import (
    CheckDigits,
    Complete,
    Piece,
    Rearrange,
    Remainder,
    SolveForDigit,
    Verdict,
)
from itembank.vocabulary import KindSignature
from itembank.words import _

MODULUS = 97
COUNTRIES = 14
"""Country codes that mean no country: QM, QN, ..., QZ."""

LONGEST = 34
"""The most characters of an IBAN (ISO 13616-1)."""

PIECE = 9
"""Digits of a piece: what a pocket calculator divides."""


def number_of(character: str, first: int = 10) -> int:
    """A digit is itself; A, B, ..., Z are first, first + 1, ..."""
    return int(character) if character.isdigit() else ord(character) - ord("A") + first


def digits_of(text: str, first: int = 10) -> str:
    """The decimal digits that characters write; 0 for a missing one."""
    return "".join(str(number_of(c, first)) for c in text.replace("?", "0"))


def rearranged(text: str) -> str:
    return text[4:] + text[:4]


def with_check_digits(country: str, account: str) -> str:
    """The valid IBAN of a country code and an account number."""
    c = 98 - int(digits_of(account + country + "00")) % MODULUS
    return f"{country}{c:02}{account}"


def grouped(text: str) -> str:
    """In groups of four, as an IBAN is printed."""
    return " ".join(text[i : i + 4] for i in range(0, len(text), 4))


# ------------------------------------------------------------ the kinds


@dataclass(frozen=True, kw_only=True)
class Iban:
    """What both kinds share: `text` is the number without spaces, in capitals."""

    kind: ClassVar[str]
    signature: ClassVar[KindSignature]
    text: str

    @property
    def modulus(self) -> int:
        return MODULUS

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"iban {grouped(self.text)}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (formula(f'"IBAN {grouped(self.text)}"'),)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.text)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    @property
    def rule(self) -> str:
        """When a number is valid, as a stem says it."""
        text = _(
            "An IBAN begins with two letters for the country and two check digits from 02 to 98. "
            "To test it, move the first four characters to the end and replace the letters A, B, "
            "..., Z by 10, 11, ..., 35: the IBAN is valid if the resulting number leaves the "
            "remainder 1 when it is divided by 97."
        )
        if self.text[:2] in {country_code(i) for i in range(COUNTRIES)}:
            text += " " + _("The country {code} is made up.").format(code=self.text[:2])
        return text


def country_code(index: int) -> str:
    return "Q" + chr(ord("M") + index)


def account_of(given: Given) -> tuple[str, str]:
    """Country code and account number, from a family's `country`, `length` and `account`."""
    index, length = integer_of(given, "country"), integer_of(given, "length")
    account = integer_of(given, "account")
    if not 0 <= index < COUNTRIES:
        raise StatementError(
            f"given.country: expected a number from 0 to {COUNTRIES - 1} for the codes QM to QZ, "
            f"got {index}"
        )
    if not 1 <= length <= LONGEST - 4:
        raise StatementError(
            f"given.length: expected an account number of 1 to {LONGEST - 4} digits, got {length}"
        )
    if not 0 <= account < 10**length:
        raise StatementError(
            f"given.account: expected a number of at most {length} digits, got {account}"
        )
    return country_code(index), f"{account:0{length}}"


# ------------------------------------------------------------ digits are missing


@dataclass(frozen=True, kw_only=True)
class IbanDigits(Iban):
    """The digits for `?`: the two check digits as one number, or a single digit anywhere."""

    kind: ClassVar[str] = "iban_digits"
    signature: ClassVar[KindSignature] = KindSignature(
        name="iban_digits",
        given={
            "country": "integer",
            "length": "integer",
            "account": "integer",
            "missing": "integer",
        },
        asks=("the value",),
        slips=(
            "not-rearranged",
            "letters-from-one",
            "letters-left-out",
            "zeros-left-out",
            "remainder-for-digits",
            "completed-to-zero",
            "weight-not-divided",
        ),
        measures=("exists", "steps", "digits"),
    )

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """`missing`: the place (from 1) in the account number of a lost digit; 0: check digits."""
        country, account = account_of(given)
        number, place = with_check_digits(country, account), integer_of(given, "missing")
        if not 0 <= place <= len(account):
            raise StatementError(
                f"given.missing: expected a place from 1 to {len(account)}, or 0 for the check "
                f"digits, got {place}"
            )
        if place == 0:
            return cls(text=f"{country}??{account}")
        return cls(text=f"{number[: place + 3]}?{number[place + 4 :]}")

    @property
    def both(self) -> bool:
        """Whether the two check digits are asked for."""
        return self.text[2:4] == "??"

    def question(self, ask: str) -> Blocks:
        if self.both:
            text = _(
                "In the IBAN {text} the check digits are missing. Find them, given that the IBAN "
                "is valid."
            )
        else:
            text = _(
                "In the IBAN {text} one digit can no longer be read. Find the missing digit, given "
                "that the IBAN is valid."
            )
        return (paragraph(self.rule), paragraph(text.format(text=grouped(self.text))))

    @property
    def phrases(self) -> Phrases:
        if self.both:
            entry = _("Type the two check digits as one number; a 0 in front may be left out.")
        else:
            entry = _("Type the missing digit.")
        return Phrases(
            member=_("the missing digits"),
            none=_("no digit fits"),
            claim=_("some digits make the IBAN valid"),
            entry=entry,
        )

    def solve(self) -> Solution[Value | Absent]:
        first = rearrange(self.text)
        second = remainder_of(first.digits)
        if self.both:
            c = 98 - second.remainder
            number = self.text.replace("??", f"{c:02}")
            found = CheckDigits(second.remainder, c)
            return Solution(Value(c), (first, second, found, Complete(number, c, "")))
        third = solve_for_digit(self.text, second.remainder)
        number = self.text.replace("?", str(third.d) if third.d < 10 else "?")
        reason = digit_fault(number, third.d)
        steps = (first, second, third, Complete(number, third.d, reason))
        return Solution(Absent(reason) if reason else Value(third.d), steps)

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        return {
            "exists": int(isinstance(solution.answer, Value)),
            "steps": solution.effort,
            "digits": len(digits_of(self.text)),
        }

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        highest = 98 if self.both else 9
        found = (
            slip(name, (made[0],), made[1])
            for name, mistake in DIGIT_MISTAKES.items()
            if (made := mistake(self)) is not None and 0 <= made[0] <= highest
        )
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[Value | Absent]) -> Blocks:
        return worked(solution.steps)


def rearrange(text: str) -> Rearrange:
    moved = rearranged(text)
    letters = dict.fromkeys(c for c in moved if c.isalpha())
    return Rearrange(moved, tuple((c, number_of(c)) for c in letters), digits_of(moved))


def remainder_of(digits: str) -> Remainder:
    """The remainder of a long number: nine digits first, then it is carried in front of more."""
    pieces, rest = [], digits
    carried = ""
    while rest:
        taken = PIECE - len(carried)
        number = int(carried + rest[:taken])
        rest = rest[taken:]
        pieces.append(Piece(number, number % MODULUS))
        carried = str(number % MODULUS)
    return Remainder(tuple(pieces))


def solve_for_digit(text: str, remainder: int) -> SolveForDigit:
    moved = rearranged(text)
    zeros = len(digits_of(moved[moved.index("?") + 1 :]))
    w, right = pow(10, zeros, MODULUS), (1 - remainder) % MODULUS
    inverse = pow(w, -1, MODULUS)
    return SolveForDigit(zeros, remainder, w, right, inverse, inverse * right % MODULUS)


def digit_fault(number: str, d: int) -> str:
    """Why d does not complete the number; "" if it does."""
    if d > 9:
        return _("Only a digit from 0 to 9 can stand there.")
    if not 2 <= int(number[2:4]) <= 98:
        return _("The check digits would not be from 02 to 98.")
    return ""


# ------------------------------------------------------------ is it valid


@dataclass(frozen=True, kw_only=True)
class IbanTest(Iban):
    """Whether a whole number is valid."""

    kind: ClassVar[str] = "iban_test"
    signature: ClassVar[KindSignature] = KindSignature(
        name="iban_test",
        given={
            "country": "integer",
            "length": "integer",
            "account": "integer",
            "changed": "integer",
            "by": "integer",
            "swapped": "integer",
        },
        asks=("whether any",),
        slips=(
            "not-rearranged",
            "letters-from-one",
            "letters-left-out",
            "remainder-zero-expected",
        ),
        measures=("holds", "steps", "remainder", "digits"),
    )

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """A valid number in which one digit is changed, or two neighbours are exchanged.

        `changed` is the place (from 1) in the account number of a digit that grows by `by`,
        modulo 10; `swapped` the place of the first of two digits that change places; 0 for
        neither.
        """
        country, account = account_of(given)
        digits = list(account)
        place, first = integer_of(given, "changed"), integer_of(given, "swapped")
        for name, value, last in (
            ("changed", place, len(digits)),
            ("swapped", first, len(digits) - 1),
        ):
            if not 0 <= value <= last:
                raise StatementError(
                    f"given.{name}: expected a place from 1 to {last}, or 0 for none, got {value}"
                )
        if place:
            digits[place - 1] = str((int(digits[place - 1]) + integer_of(given, "by")) % 10)
        if first:
            digits[first - 1], digits[first] = digits[first], digits[first - 1]
        return cls(text=with_check_digits(country, account)[:4] + "".join(digits))

    def question(self, ask: str) -> Blocks:
        text = _("Decide whether the IBAN {text} is valid.")
        return (paragraph(self.rule), paragraph(text.format(text=grouped(self.text))))

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            member=_("valid"),
            none=_("not valid"),
            claim=_("the IBAN {text} is valid").format(text=grouped(self.text)),
        )

    def solve(self) -> Solution[Truth]:
        first = rearrange(self.text)
        second = remainder_of(first.digits)
        c = int(self.text[2:4])
        holds = second.remainder == 1 and 2 <= c <= 98
        return Solution(
            Truth(holds), (first, second, Verdict(self.text, second.remainder, c, holds))
        )

    def measures(self, solution: Solution[Truth]) -> Mapping[str, int]:
        return {
            "holds": int(solution.answer.holds),
            "steps": solution.effort,
            "remainder": int(digits_of(rearranged(self.text))) % MODULUS,
            "digits": len(digits_of(self.text)),
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

FORM = re.compile(r"iban[:\s]\s*(?P<number>.+)", re.IGNORECASE)
SHAPE = re.compile(r"[A-Z]{2}[0-9?]{2}[0-9A-Z?]+")


def read(statements: Sequence[str]) -> IbanDigits | IbanTest | None:
    """The problem of "iban GB82 WEST 1234 5698 7654 3?"; None for statements of another form.

    `?` stands for a digit: one anywhere, or two for both check digits; without any the
    question is whether the number is valid.
    """
    match = FORM.fullmatch(statements[0].strip()) if len(statements) == 1 else None
    if match is None:
        return None
    statement = statements[0]
    text = re.sub(r"[\s\u00a0]", "", match["number"]).upper()
    if not SHAPE.fullmatch(text) or len(text) > LONGEST:
        raise StatementError(
            f"{statement!r}: expected two letters, two check digits, then digits and letters, at "
            f"most {LONGEST} in all, ? for a missing digit"
        )
    if text.count("?") > 1 and (text.count("?") > 2 or text[2:4] != "??"):
        raise StatementError(
            f"{statement!r}: expected one ?, or two for both check digits, got {text.count('?')}; "
            f"one "
            "congruence gives one of them"
        )
    return IbanDigits(text=text) if "?" in text else IbanTest(text=text)


# ------------------------------------------------------------ the worked solution


def worked(steps: Sequence[Step]) -> Blocks:
    return tuple(block for step in steps for block in TOLD[type(step)](step))


def rearrange_told(step: Rearrange) -> Iterator[Block]:
    missing = step.moved.count("?")
    if missing == 2:
        text = _("With 00 for the check digits the number is $N = {digits}$.")
    elif missing:
        text = _("With 0 for the missing digit the number is $N = {digits}$.")
    else:
        text = _("The number is $N = {digits}$.")
    moved = _(
        "Moving the first four characters to the end gives {moved}, and the letters become "
        "numbers: {letters}."
    ).format(
        moved=f"{grouped(step.moved[:-4])} {step.moved[-4:]}",
        letters=", ".join(f"{c} = {n}" for c, n in step.letters),
    )
    yield paragraph(f"{moved} {text.format(digits=step.digits)}", _("Rearrange."))


def remainder_told(step: Remainder) -> Iterator[Block]:
    yield paragraph(
        _(
            "Divide $N$ by 97 in pieces of at most {n} digits; each remainder is written in front "
            "of the next digits:"
        ).format(n=PIECE),
        _("Remainder."),
    )
    yield table(
        (_("piece"), _("division")),
        [
            (f"${p.number}$", f"${p.number} = {p.number // MODULUS} · 97 + {p.remainder}$")
            for p in step.pieces
        ],
    )
    yield paragraph(f"$N ≡ {step.remainder} (mod 97)$.")


def check_digits_told(step: CheckDigits) -> Iterator[Block]:
    yield paragraph(
        _(
            "The check digits stand at the end, so with $c$ for their number the condition is $N + "
            "c ≡ 1 (mod 97)$: $c ≡ 1 - {r} ≡ 98 - {r} = {c} (mod 97)$, and this is from 2 to 98."
        ).format(r=step.remainder, c=step.c),
        _("The congruence."),
    )


def digit_told(step: SolveForDigit) -> Iterator[Block]:
    values = {"zeros": step.zeros, "r": step.remainder, "w": step.w, "right": step.right}
    if step.zeros == 0:
        text = _(
            "The missing digit $d$ is the last of the number, so the condition is $N + d ≡ 1 (mod "
            "97)$, that is $d ≡ 1 - {r} ≡ {right} (mod 97)$."
        )
        yield paragraph(text.format(**values), _("The congruence."))
        return
    text = _(
        "The missing digit $d$ has {zeros} digits behind it, so the condition is $N + d · "
        "10^{zeros} ≡ 1 (mod 97)$. $10^{zeros} ≡ {w} (mod 97)$, and ${w}d ≡ 1 - {r} ≡ {right} (mod "
        "97)$."
    )
    if step.zeros == 1:
        text = _(
            "The missing digit $d$ has one digit behind it, so the condition is $N + 10d ≡ 1 (mod "
            "97)$: $10d ≡ 1 - {r} ≡ {right} (mod 97)$."
        )
    yield paragraph(text.format(**values), _("The congruence."))
    product = step.inverse * step.right
    if step.w == 1 or step.right == 0:
        yield paragraph(f"$d ≡ {step.d} (mod 97)$.", _("Solve."))
        return
    yield paragraph(
        _(
            "${w} · {inverse} = {one} ≡ 1 (mod 97)$, so multiply by {inverse}: "
            "$d ≡ {inverse} · {right} = {product}{residue} (mod 97)$."
        ).format(
            inverse=step.inverse,
            one=step.w * step.inverse,
            product=product,
            residue=f" ≡ {step.d}" if product >= MODULUS else "",
            **values,
        ),
        _("Solve."),
    )


def complete_told(step: Complete) -> Iterator[Block]:
    if step.reason:
        text = _("The missing digit would have to be {value}. {reason} So no digit fits.")
    else:
        text = _("The number is {number}.")
    yield paragraph(
        text.format(value=step.value, reason=step.reason, number=grouped(step.number)),
        _("Answer."),
    )


def verdict_told(step: Verdict) -> Iterator[Block]:
    if step.holds:
        text = _("The remainder is 1: the IBAN {number} is valid.")
    elif step.remainder == 1:
        text = _("The remainder is 1, but the check digits are not from 02 to 98: it is not valid.")
    else:
        text = _("The remainder is {remainder}, not 1: the IBAN {number} is not valid.")
    yield paragraph(
        text.format(number=grouped(step.number), remainder=step.remainder), _("Answer.")
    )


TOLD: dict[type[Step], Callable[[Any], Iterator[Block]]] = {
    Rearrange: rearrange_told,
    Remainder: remainder_told,
    CheckDigits: check_digits_told,
    SolveForDigit: digit_told,
    Complete: complete_told,
    Verdict: verdict_told,
}
"""How each step is told."""

# ------------------------------------------------------------ slips

Digits = tuple[int, str] | None
Truths = tuple[bool, str] | None


def fits(p: IbanDigits, digits: Callable[[str], str]) -> int | None:
    """The missing digits when the number is written by `digits`; None if no or several fit."""
    if p.both:
        values = range(2, 99)
        numbers = (p.text.replace("??", f"{c:02}") for c in values)
    else:
        values = range(10)
        numbers = (p.text.replace("?", str(d)) for d in values)
    found = [v for v, text in zip(values, numbers, strict=True) if int(digits(text)) % MODULUS == 1]
    return found[0] if len(found) == 1 else None


WRONG_NUMBERS: dict[str, tuple[Callable[[str], str], Callable[[], str]]] = {
    "not-rearranged": (
        digits_of,
        lambda: _("You did not move the first four characters to the end."),
    ),
    "letters-from-one": (
        lambda text: digits_of(rearranged(text), first=1),
        lambda: _("You wrote the letters as A = 1, B = 2, and so on. The letter A stands for 10."),
    ),
    "letters-left-out": (
        lambda text: digits_of("".join(c for c in rearranged(text) if not c.isalpha())),
        lambda: _("You left the letters out. Each of them becomes a number of two digits."),
    ),
}
"""Ways to write the number wrong, and what is said of them."""


def digits_by(name: str) -> Callable[[IbanDigits], Digits]:
    digits, feedback = WRONG_NUMBERS[name]

    def mistake(p: IbanDigits) -> Digits:
        value = fits(p, digits)
        return None if value is None else (value, feedback())

    return mistake


def verdict_by(name: str) -> Callable[[IbanTest], Truths]:
    digits, feedback = WRONG_NUMBERS[name]
    return lambda p: (int(digits(p.text)) % MODULUS == 1, feedback())


def zeros_left_out(p: IbanDigits) -> Digits:
    """The check digits found without two zeros in their place."""
    if not p.both:
        return None
    return 98 - int(digits_of(p.text[4:] + p.text[:2])) % MODULUS, _(
        "You divided the number without the places of the check digits. Put 00 there first."
    )


def remainder_for_digits(p: IbanDigits) -> Digits:
    if not p.both:
        return None
    return int(digits_of(rearranged(p.text))) % MODULUS, _(
        "You gave the remainder itself. The check digits have to **complete** it to 1 modulo 97."
    )


def completed_to_zero(p: IbanDigits) -> Digits:
    """Completed to a multiple of 97."""
    if p.both:
        value = MODULUS - int(digits_of(rearranged(p.text))) % MODULUS
    else:
        step = solve_for_digit(p.text, int(digits_of(rearranged(p.text))))
        value = step.inverse * (step.right - 1) % MODULUS
    return value, _(
        "You completed the number to a multiple of 97. The remainder has to be 1, not 0."
    )


def weight_not_divided(p: IbanDigits) -> Digits:
    if p.both:
        return None
    step = solve_for_digit(p.text, int(digits_of(rearranged(p.text))))
    if step.w == 1:
        return None
    return step.right, _(
        "You took what is missing in the remainder for the digit. The digit counts {w} times "
        "modulo 97, by its place: solve the congruence for it."
    ).format(w=step.w)


def remainder_zero_expected(p: IbanTest) -> Truths:
    return int(digits_of(rearranged(p.text))) % MODULUS == 0, _(
        "You looked for a multiple of 97. The remainder of a valid number is 1."
    )


DIGIT_MISTAKES: dict[str, Callable[[IbanDigits], Digits]] = {
    **{name: digits_by(name) for name in WRONG_NUMBERS},
    "zeros-left-out": zeros_left_out,
    "remainder-for-digits": remainder_for_digits,
    "completed-to-zero": completed_to_zero,
    "weight-not-divided": weight_not_divided,
}
"""In the order of the method."""

TEST_MISTAKES: dict[str, Callable[[IbanTest], Truths]] = {
    **{name: verdict_by(name) for name in WRONG_NUMBERS},
    "remainder-zero-expected": remainder_zero_expected,
}
"""In the order of the method."""
