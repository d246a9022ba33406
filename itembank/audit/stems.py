"""Questions that a stem puts in words: the sentences known, and the plain statement of each.

A sentence of a stem and the claim of a true-or-false question are read alike; where a
stem holds several they must state the same question.
"""

import re
from collections.abc import Iterator

from itembank.audit.prose import Lines, text_of
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import Question, check_value, read
from itembank.values.errors import StatementError

N = r"([-−+*·^() \d⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+?)"
"""A number, or an expression for one, up to the words that follow it."""

PAIR = r"\( ?\(? ?([-−]? ?\d+) ?\)?/(\d+)\)"
"""A symbol, a negative top in brackets or not."""

END = r"(?=[.:,;]|$)"

SENTENCES: tuple[tuple[str, str, str], ...] = (
    (
        r"\bfind the number of solutions of (.+? \(mod [^()]+\))(?= type| choose)",
        "the value",
        "number of solutions of {0}",
    ),
    (rf"\bfind the inverse of {N} modulo {N}{END}", "the value", "inverse of {0} mod {1}"),
    (
        rf"(?:\bwhether|\btrue or false:) {N} has an inverse modulo {N}{END}",
        "whether any",
        "inverse of {0} mod {1}",
    ),
    (rf"\bfind the power {N} modulo {N}{END}", "the value", "{0} mod {1}"),
    (rf"\bfind the factorial {N}! modulo {N}{END}", "the value", "{0}! mod {1}"),
    (rf"\bfind the order of {N} modulo {N}{END}", "the value", "order of {0} mod {1}"),
    (
        rf"(?:\bwhether|\btrue or false:) {N} has an order modulo {N}{END}",
        "whether any",
        "order of {0} mod {1}",
    ),
    (rf"\bfind all primitive roots modulo {N}{END}", "all solutions", "primitive roots mod {0}"),
    (
        rf"\bfind the largest primitive root modulo {N}{END}",
        "the largest",
        "primitive roots mod {0}",
    ),
    (
        rf"\bfind the smallest primitive root modulo {N}{END}",
        "the least",
        "primitive roots mod {0}",
    ),
    (
        rf"\bhow many primitive roots are there modulo {N}(?=\?)",
        "how many",
        "primitive roots mod {0}",
    ),
    (
        rf"\bthere is a primitive root modulo {N}{END}",
        "whether any",
        "is there a primitive root mod {0}",
    ),
    (
        rf"\bfind the least primitive root modulo {N}{END}",
        "the value",
        "least primitive root mod {0}",
    ),
    (
        rf"\bfind the number of primitive roots modulo {N}{END}",
        "the value",
        "number of primitive roots mod {0}",
    ),
    (
        rf"(?:\bwhether|\btrue or false:) {N} is a primitive root modulo {N}{END}",
        "whether any",
        "is {0} a primitive root mod {1}",
    ),
    (
        rf"\bfind the index of {N} to the base {N} modulo {N}{END}",
        "the value",
        "index of {0} base {1} mod {2}",
    ),
    (
        rf"(?:\bwhether|\btrue or false:) {N} has an index to the base {N} modulo {N}{END}",
        "whether any",
        "index of {0} base {1} mod {2}",
    ),
    (rf"\bfind all squares modulo {N}{END}", "all solutions", "squares mod {0}"),
    (rf"\bfind the largest square modulo {N}{END}", "the largest", "squares mod {0}"),
    (
        rf"\bfind all quadratic residues modulo {N}{END}",
        "all solutions",
        "quadratic residues mod {0}",
    ),
    (
        rf"\bfind the largest quadratic residue modulo {N}{END}",
        "the largest",
        "quadratic residues mod {0}",
    ),
    (
        rf"\bfind the (number of (?:squares|quadratic residues)) modulo {N}{END}",
        "the value",
        "{0} mod {1}",
    ),
    (
        rf"(?:\bwhether|\btrue or false:) {N} is a square modulo {N}{END}",
        "whether any",
        "is {0} a square mod {1}",
    ),
    (rf"\bfind the value of {PAIR}, a (?:legendre|jacobi) symbol\b", "the value", "({0}/{1})"),
    (rf"\bfind all (units|zero divisors) modulo {N}{END}", "all solutions", "{0} mod {1}"),
    (rf"\bfind the largest (unit|zero divisor) modulo {N}{END}", "the largest", "{0}s mod {1}"),
    (rf"\bthere is a zero divisor modulo {N}{END}", "whether any", "zero divisors mod {0}"),
    (
        rf"\bfind the number of zero divisors modulo {N}{END}",
        "the value",
        "number of zero divisors mod {0}",
    ),
    (rf"\bfind the table of inverses modulo {N}{END}", "all solutions", "inverses mod {0}"),
    (rf"\bfind (φ|λ)\({N}\): ", "the value", "{0}({1})"),
    (
        r"\bin the (isbn|iban) ([0-9a-z? ]+?) (?:one (?:character|digit)|the check digits)\b",
        "the value",
        "{0} {1}",
    ),
    (
        r"(?:\bwhether|\btrue or false:) the (isbn|iban) ([0-9a-z ]+?) is valid\b",
        "whether any",
        "{0} {1}",
    ),
)
"""What is read in lower case, the ask, and the statement with the numbers in their places."""


def in_words(stem: Lines) -> tuple[Question, str] | None:
    """The question of a stem that puts it in words, and its ask; None where no sentence is known.

    Raises Unsupported where two sentences put different questions.
    """
    found = list(dict.fromkeys(stated(" ".join(text_of(stem).split()).lower())))
    if not found:
        return None
    try:
        questions = {(read(statement), ask) for statement, ask in found}
    except StatementError as reason:
        raise Unsupported(str(reason)) from None
    if len(questions) > 1:
        raise Unsupported("a stem that puts two questions")
    return questions.pop()


def stated(words: str) -> Iterator[tuple[str, str]]:
    """The plain statement and the ask of each sentence that is known."""
    for pattern, ask, statement in SENTENCES:
        for match in re.finditer(pattern, words):
            yield statement.format(*(group.strip() for group in match.groups())), ask


# ------------------------------------------------------------ what a stem says beside its question

COUNTS_MODULO = re.compile(r"\b(?:counts|is taken) modulo (\d+)\b")
HELP = re.compile(rf"\buse indices: {N} is a primitive root modulo {N}{END}")


def misstated(words: str, question: Question) -> Iterator[str]:
    """What a stem says to help, where it is not so: the period of an exponent, a primitive root."""
    for match in COUNTS_MODULO.finditer(words):
        if int(match[1]) != question.modulus:
            yield f"stem: expected exponents modulo {question.modulus}, got modulo {match[1]}"
    for match in HELP.finditer(words):
        claim = f"is {match[1].strip()} a primitive root mod {match[2].strip()}"
        if not agrees(claim):
            yield f"stem: expected a primitive root modulo {match[2]}, got {match[1]}"


def agrees(claim: str) -> bool:
    """Whether a claim that stands in a stem can be read, and is so."""
    try:
        return check_value(read(claim), "whether any", True).status == "agreed"
    except StatementError:
        return False
