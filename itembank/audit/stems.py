"""Questions that a stem puts in words, and the plain statement of each.

A sentence of a stem and the claim of a true-or-false question are read alike; where a
stem holds several they must state the same question.
"""

from collections.abc import Iterator

from itembank.audit.phrases import Phrases, Stem
from itembank.audit.prose import Lines, text_of
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import Question, check_value, read
from itembank.values.errors import StatementError
from itembank.values.worded import worded, wording


def in_words(stem: Lines, phrases: Phrases) -> tuple[Question, str] | None:
    """The question of a stem that puts it in words, and its ask; None where no sentence is known.

    Raises Unsupported where two sentences put different questions.
    """
    found = list(dict.fromkeys(stated(" ".join(text_of(stem).split()).lower(), phrases)))
    if not found:
        return None
    try:
        questions = {(read(statement), ask) for statement, ask in found}
    except StatementError as reason:
        raise Unsupported(wording(reason)) from None
    if len(questions) > 1:
        raise Unsupported(worded("a stem that puts two questions"))
    return questions.pop()


def stated(words: str, phrases: Phrases) -> Iterator[tuple[str, str]]:
    """The plain statement and the ask of each sentence that is known."""
    for known in phrases.sentences:
        for match in known.pattern.finditer(words):
            numbers = (group.strip() for group in match.groups())
            yield known.statement.format(*numbers), known.ask


# ------------------------------------------------------------ what a stem says beside its question


def not_known(words: str, phrases: Phrases) -> str:
    """The first words that tell a student what to do and are not known, "" for none.

    A claim that is denied ("true or false: 3 is no square") is a question that another
    sentence, left as it was, does not put.
    """
    openings = list(phrases.directives.opening.finditer(words))
    if not openings:
        return ""
    told = (said.compiled for said in phrases.told if said.words in words)
    spans = [match.span() for said in told for match in said.finditer(words)]
    for opening in openings:
        if not any(a <= opening.start() and opening.end() <= b for a, b in spans):
            return words[opening.start() :].strip(" .:?)")
    return ""


def misstated(words: str, question: Question, stem: Stem) -> Iterator[str]:
    """What a stem says to help, where it is not so: the period of an exponent, a primitive root."""
    for match in stem.period.finditer(words):
        if int(match[1]) != question.modulus:
            yield worded(
                "stem: expected exponents modulo {modulus}, got modulo {got}",
                modulus=question.modulus,
                got=match[1],
            )
    for match in stem.primitive_root.finditer(words):
        claim = f"is {match[1].strip()} a primitive root mod {match[2].strip()}"
        if not _agrees(claim):
            yield worded(
                "stem: expected a primitive root modulo {modulus}, got {got}",
                modulus=match[2],
                got=match[1],
            )


def _agrees(claim: str) -> bool:
    """Whether a claim that stands in a stem can be read, and is so."""
    try:
        return check_value(read(claim), "whether any", True).status == "agreed"
    except StatementError:
        return False
