"""What would work, said to whoever typed what cannot be read."""

import re

from itembank.kinds.asked.phrases import PHRASES
from itembank.kinds.asked.tokens import tokens
from itembank.notation.reading import RESERVED, shortened
from itembank.values.errors import NotationError, StatementError
from itembank.values.worded import worded

_FORMS = {
    "order of 7 mod 48": "order ord",
    "inverse of 7 mod 26": "inverse inv reciprocal",
    "index of 5 base 3 mod 17": "index ind log logarithm discrete",
    "primitive roots mod 17": "primitive generator generators",
    "last two digits of 7^222": "digit digits",
    "2^100 + 3 mod 7": "remainder rest residue divided division",
    "square roots of 2 mod 7": "root roots sqrt",
    "gcd(84, 30)": "gcd hcf gcf divisor",
    "lcm(4, 6)": "lcm multiple",
    "phi(36)": "phi totient euler coprime factor factors factorise factorize factorisation prime",
    "legendre (3/7)": "legendre symbol",
    "jacobi (45/77)": "jacobi kronecker",
    "is 2 a square mod 15": "square",
    "squares mod 13": "squares residues",
    "units mod 12": "units unit divisor",
    "number of solutions of x^2 = 1 mod 360": "number many count solutions solution",
    "lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25": "lift hensel",
    "10! mod 11": "factorial wilson",
    "7^222 mod 1000": "power raised",
    "isbn 0-306-40615-?": "isbn book check",
    "iban GB82 WEST 1234 5698 7654 3?": "iban bank account",
    "x = 2 mod 3; x = 3 mod 5": "system chinese or",
    "17x + 5y = 3": "diophantine",
}
"""Statements that are read, by the words that whoever means one of them may type."""

_COMMAND = re.compile(r"\\[A-Za-z]+")

_DECIMAL = re.compile(r"[0-9]\.[0-9]")

_KNOWN = frozenset(
    word
    for text in (*(phrase.pattern for phrase in PHRASES), *_FORMS.values(), *_FORMS)
    for word in re.findall("[a-z']+", text)
) | frozenset(
    RESERVED | {"indices", "symbol", "table", "modulo", "modulus", "equal", "equals", "congruent"}
)
"""The words that mean something in a question."""

_USUAL = "x^2 = 2 mod 7"


_HINTS = ("; ", "such as", "as in", "write")
"""What shows that a message says what would work."""


def instead_of(reason: StatementError, text: str) -> StatementError:
    """The refusal of a text: words that mean nothing here, and what would work.

    Where no word is to blame the reason stands, with a form that works if it names none.
    """
    words = [t.text.lower() for t in tokens(_COMMAND.sub(" ", text)) if t.is_word]
    unknown = [word for word in words if len(word) > 2 and word not in _KNOWN]
    if _DECIMAL.search(text):
        return StatementError(
            worded("{reason}; write a fraction for a decimal: 3/2 for 1.5", reason=reason)
        )
    if unknown or (words and isinstance(reason, NotationError)):
        said = unknown or [word for word in words if word not in RESERVED]
        if said:
            return StatementError(
                worded(
                    "{shortened}: expected a congruence or a question that is known here, found "
                    "{said}; what works: {form_for}",
                    shortened=repr(shortened(text)),
                    said=repr(" ".join(said[:4])),
                    form_for=_form_for(words),
                )
            )
    if any(hint in str(reason) for hint in _HINTS):
        return reason
    return StatementError(
        worded("{reason}; what works: {form_for}", reason=reason, form_for=_form_for(words))
    )


def _form_for(words: list[str]) -> str:
    """The statement that the words come nearest to, and a congruence where none is near."""
    scores = {form: sum(word in known.split() for word in words) for form, known in _FORMS.items()}
    best = max(scores, key=lambda form: scores[form])
    return f'"{best}"' if scores[best] else f'"{_USUAL}", "order of 7 mod 48"'
