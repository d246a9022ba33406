"""The second way for ISBN and IBAN: every digit is tried in the place of the missing one.

ISBN-10: the sum of the running sums of its characters is 0 modulo 11 (which weighs them 10,
9, ..., 1 without weights). ISBN-13: the digits in odd places and three times those in even
places. IBAN: the rearranged number is divided by 97 in one piece.

Sources: ISO 2108; ISO 13616-1 with ISO/IEC 7064, MOD 97-10.
"""

import re
from dataclasses import dataclass, field
from itertools import accumulate, product

from itembank.second_way.kind import Kind
from itembank.second_way.verdict import Verdict, agreed, disagreed, done
from itembank.values.errors import StatementError


@dataclass(frozen=True)
class Number:
    """An ISBN or IBAN without spaces and hyphens, ? for digits that are missing."""

    text: str
    iban: bool
    hints: tuple[int, ...] = field(default=(), compare=False)

    @property
    def modulus(self) -> int:
        return 97 if self.iban else 11 if len(self.text) == 10 else 10


_FORM = re.compile(r"(isbn(?:[- ]?1[03](?=[:\s]))?|iban)[:\s]\s*(.+)", re.I)
_SHAPES = {
    False: re.compile(r"[0-9?]{9}[0-9X?]|[0-9?]{13}"),
    True: re.compile(r"[A-Z]{2}[0-9?]{2}[0-9A-Z?]{1,30}"),
}


def read(statement: str) -> Number | None:
    """The question of "isbn 0-306-40615-?" or "iban GB82 WEST ..."; None for another form."""
    match = _FORM.fullmatch(statement.strip())
    if match is None:
        return None
    iban = match[1].lower() == "iban"
    text = re.sub(r"[-\s\u00a0\u2010-\u2013\u2212]", "", match[2]).upper()
    if not _SHAPES[iban].fullmatch(text) or text.count("?") > 1 + (text[2:4] == "??"):
        raise StatementError(f"statement '{statement[:60]}': expected an ISBN or IBAN")
    return Number(text, iban)


# ------------------------------------------------------------ facts


def _valid(number: Number) -> bool:
    """Whether a number without ? is valid."""
    text = number.text
    if number.iban:
        digits = "".join(str(int(c, 36)) for c in text[4:] + text[:4])
        return int(digits) % 97 == 1 and 2 <= int(text[2:4]) <= 98
    if len(text) == 10:
        values = [10 if c == "X" else int(c) for c in text]
        return sum(accumulate(values)) % 11 == 0
    odd, even = (sum(map(int, text[start::2])) for start in (0, 1))
    return text[:3] in ("978", "979") and (odd + 3 * even) % 10 == 0


def _fitting(number: Number) -> list[int]:
    """The values that make the number valid: of one digit, or of two as a number; X is 10."""
    count = number.text.count("?")
    last = not number.iban and len(number.text) == 10 and number.text.endswith("?")
    found = []
    for digits in product("0123456789" + "X" * last, repeat=count):
        text = number.text
        for digit in digits:
            text = text.replace("?", digit, 1)
        if _valid(Number(text, number.iban)):
            found.append(10 if digits == ("X",) else int("".join(digits)))
    return found


# ------------------------------------------------------------ verdicts


def _value_verdict(question: Number, claim: int | None) -> Verdict:
    method = done("every digit was tried in the place of the missing one")
    if "?" not in question.text:
        return disagreed(method, "expected a missing digit, the number is whole")
    found = _fitting(question)
    if found == ([] if claim is None else [claim]):
        return agreed(method)
    return disagreed(method, f"expected {found or 'no digit'}, the answer says {claim}")


def _whether_any_verdict(question: Number, claim: bool) -> Verdict:
    method = done("the rule of the standard was applied")
    found = bool(_fitting(question)) if "?" in question.text else _valid(question)
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


KIND = Kind(
    checks={"the value": _value_verdict, "whether any": _whether_any_verdict},
    solutions=lambda question: None,
)
