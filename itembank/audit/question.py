"""The question, recovered from what the student reads: formula, ask, and what the stem promises.

The formula is the first with ≡ and a modulus.  What is asked, how to answer and
how it is scored stand in sentences; the tables of phrases below are all that is
understood.  A stem that says anything else, or two things, is unchecked.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from itembank.audit.prose import Formula, Line, Lines, text_of
from itembank.audit.speech import typed
from itembank.audit.stems import in_words, misstated
from itembank.audit.systems import the_system
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import Question, read
from itembank.values.errors import StatementError

ASKS = {
    "all solutions": (
        r"\bfind all solutions of\b",
        r"\bholds all (of them|(its |the )?solutions)\b",
        r"\btick every least residue\b",
        r"\btype all (of them|(its|the) (least residues|solutions))\b",
    ),
    "the solution": (
        r"\bfind the solution of\b",
        r"\bexactly one residue class\b",
        r"\bthe solution is one residue class\b",
    ),
    "how many": (r"\bhow many solutions\b", r"\bcount the least residues\b"),
    "the least": (
        r"\bfind the least (non-negative )?(residue|solution)\b",
        r"\bsmallest of all solutions\b",
    ),
    "the largest": (
        r"\bfind the largest (residue|solution)\b",
        r"\blargest of all solutions\b",
    ),
    "whether any": (
        r"\bwhether there is a solution\b",
        r"\bat least one solution\b",
        r"\bis (it|the congruence) solvable\b",
    ),
    "the steps": (
        r"\bthe steps of solving the following congruence\b",
        r"\bput the steps in the order in which they are done\b",
    ),
}
"""What is asked, by the phrases that ask it."""

POINTS = re.compile(r"\b(\d+) points? (?:if|for) [^.]*?\botherwise 0\b")
"""All or nothing, and what it is worth."""

STAGES = re.compile(r"\b1 point for each right stage, (\d+) in all\b")
"""By stage, and how many there are."""

TICKS = re.compile(
    r"\beach right tick adds 1, each wrong tick takes 1 away; the sum is never below 0\b"
)
"""Plus minus."""

RANGE = re.compile(r"\b0 to (\d+)\b")
MODULO = re.compile(r"\bresidue class modulo (\d+)\b")
NONE = re.compile(r"if there is (?:none|no solution), (?:type|tick only) [“\"']([^”\"']+)[”\"']")
INCREASING = "in increasing order"
ANY_ORDER = "in any order"
ANY_REPRESENTATIVE = re.compile(
    r"\btype any integer (?:of|in) it\b|\bany (?:other )?representative\b"
)
SPARE = re.compile(r"\bmore entries than needed: leave the others blank\b")
UNCOUNTED = "it counts no points."
SOLVABLE = "there is at least one."


LONGEST = 4_000
"""Characters of a stem: fewer than the digits of a number that Python reads."""


@dataclass(frozen=True, kw_only=True)
class Asked:
    """`question` and `ask` as the student must understand them, and what the stem promises.

    points: for the key, all or nothing; None for plus minus by ticks, and by stage.  stages: how
    many are promised, 0 for none.  none: the words for
    no solution, "" if it names none.  any_order: True, False, or None where no order is
    named.  counts: whether it counts in a quiz.  spare: whether entries may stay blank.
    solvable: it says that there is a solution.  faults: what it says that cannot be.
    """

    question: Question
    ask: str
    points: Fraction | None
    stages: int
    none: str
    any_order: bool | None
    any_representative: bool
    counts: bool
    spare: bool
    solvable: bool
    faults: tuple[str, ...]


def asked(stem: Lines) -> Asked:
    """The question of a stem; Unsupported, with the reason, where it is not understood."""
    words = " ".join(text_of(stem).split()).lower()
    if len(words) > LONGEST:
        raise Unsupported(f"a stem of {len(words)} characters, {LONGEST} are read")
    question, known, faults = the_question(stem, words)
    points, ticks, stages = (rule.search(words) for rule in (POINTS, TICKS, STAGES))
    if [points, ticks, stages].count(None) != 2:
        raise Unsupported("a stem that states no scoring rule, or two")
    none = NONE.search(words)
    return Asked(
        question=question,
        ask=the_ask(words, known),
        points=Fraction(points[1]) if points else None,
        stages=int(stages[1]) if stages else 0,
        none=none[1].strip() if none else "",
        any_order=the_order(words),
        any_representative=bool(ANY_REPRESENTATIVE.search(words)),
        counts=UNCOUNTED not in words,
        spare=bool(SPARE.search(words)),
        solvable=SOLVABLE in words,
        faults=(
            *contradictions(words, question.modulus),
            *faults,
            *misstated(words, question),
        ),
    )


def the_question(stem: Lines, words: str) -> tuple[Question, str | None, tuple[str, ...]]:
    """The question, its ask where a sentence says both, and what is wrong with its formulas."""
    if known := in_words(stem):
        return *known, ()
    if system := the_system(words, congruences(stem)):
        question, faults = system
        return question, None, faults
    question, spoken = first_congruence(stem)
    return question, None, tuple(misspoken(question, spoken))


def the_ask(words: str, known: str | None = None) -> str:
    """What is asked: by the phrases of ASKS, and by a sentence known as a whole."""
    found = [
        ask for ask, phrases in ASKS.items() if any(re.search(phrase, words) for phrase in phrases)
    ]
    found += [known] if known and known not in found else []
    if len(found) != 1:
        raise Unsupported(f"a stem that asks {' and '.join(found) or 'nothing that is known'}")
    return found[0]


def the_order(words: str) -> bool | None:
    """Whether a list may stand in any order; None if the stem says nothing, or two things."""
    any_order, increasing = ANY_ORDER in words, INCREASING in words
    return any_order if any_order != increasing else None


def contradictions(words: str, m: int) -> Iterator[str]:
    """Ranges and moduli in the words that are not those of the congruence."""
    for match in RANGE.finditer(words):
        if int(match[1]) != m - 1:
            yield f"stem: expected least residues 0 to {m - 1}, got 0 to {match[1]}"
    for match in MODULO.finditer(words):
        if int(match[1]) != m:
            yield f"stem: expected the modulus {m} of the congruence, got {match[1]}"


# ------------------------------------------------------------ formulas


def first_congruence(stem: Lines) -> tuple[Question, str]:
    """The first formula of the stem that is a congruence with its modulus; and what is spoken."""
    reason = ""
    for formula in congruences(stem):
        try:
            return read(formula.text), formula.spoken
        except StatementError as error:
            reason = reason or str(error)
    raise Unsupported(reason or "a stem without a congruence")


def misspoken(question: Question, spoken: str) -> Iterator[str]:
    """What a screen reader says, if that is another congruence."""
    if not spoken:
        return
    try:
        same = read(typed(spoken)) == question
    except StatementError:
        same = False
    if not same:
        yield f"stem: expected the congruence in its spoken form, got '{spoken[:100]}'"


def congruences(stem: Lines) -> Iterator[Formula]:
    """The formulas with a relation sign and a modulus, as marked or as their characters show."""
    for line in stem:
        for formula in formulas(line):
            if re.search(r"[≡=]", formula.text) and re.search(r"\bmod\b", formula.text):
                yield formula


def formulas(line: Line) -> Iterator[Formula]:
    """The marked formulas of a line, and the runs of its text that could be one."""
    text = ""
    for part in line:
        if isinstance(part, Formula):
            yield from runs(text)
            text = ""
            yield part
        else:
            text += part
    yield from runs(text)


RUN = re.compile(r"(?:[0-9⁰¹²³⁴⁵⁶⁷⁸⁹^()+\-−*·⋅×=≡ ]|\bmod\b|(?<![A-Za-z])[A-Za-z](?![A-Za-z]))+")
"""Characters of formulas: digits, signs, single letters and mod, which words break."""


def runs(text: str) -> Iterator[Formula]:
    """Stretches of characters that only formulas have; brackets that do not belong are cut off."""
    for match in RUN.finditer(" ".join(text.split())):
        yield Formula(balanced(match[0].strip()))


def balanced(text: str) -> str:
    """The text up to a bracket that it does not open."""
    depth = 0
    for i, c in enumerate(text):
        depth += (c == "(") - (c == ")")
        if depth < 0:
            return text[:i].strip()
    return text
