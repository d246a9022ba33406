"""The question, recovered from what the student reads: formula, ask, and what the stem promises.

The formula is the first with ≡ and a modulus.  What is asked, how to answer and
how it is scored stand in sentences; the phrases of the language are all that is
understood.  A stem that says anything else, or two things, is unchecked.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import takewhile

from itembank.audit.budget import CHARACTERS
from itembank.audit.phrases import Answers, Phrases, Stem
from itembank.audit.points import points_told
from itembank.audit.prose import Formula, Line, Lines, text_of
from itembank.audit.speech import typed
from itembank.audit.stems import in_words, misstated, not_known
from itembank.audit.systems import the_system
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import Question, read
from itembank.values.errors import StatementError
from itembank.values.worded import worded


def modulus_of(question: Question) -> int:
    """The modulus; Unsupported for a question about integers, which has no residues."""
    if question.modulus is None:
        raise Unsupported(worded("residues asked for in a question without a modulus"))
    return question.modulus


@dataclass(frozen=True, kw_only=True)
class Asked:
    """`question` and `ask` as the student must understand them, and what the stem promises.

    points: for the key, all or nothing; None for plus minus by ticks, and by stage.  stages: how
    many are promised, 0 for none.  none: the words for
    no solution, "" if it names none.  any_order: True, False, or None where no order is
    named.  counts: whether it counts in a quiz.  spare: whether entries may stay blank.
    not_every: whether some lines do not belong.
    solvable: it says that there is a solution.  low, high: where the integer lies
    that is asked for, these included; None where nothing is said.  residue: it names the residues
    from 0 on.   claim: the answer that it claims, where it asks whether this is true; `claimed` is
    then what it is claimed to answer.   faults: what it says that cannot be.
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
    not_every: bool
    solvable: bool
    low: int | None
    high: int | None
    residue: bool
    faults: tuple[str, ...]
    claimed: str = ""
    claim: str = ""


def asked(
    stem: Lines,
    phrases: Phrases,
    told: tuple[Question, str] | None = None,
    worth: Fraction | None = None,
) -> Asked:
    """The question of a stem; Unsupported, with the reason, where it is not understood.

    told: the question and the ask that a story puts, as a person has accepted.  worth: the points
    of a right answer, all or nothing, where the sheet around the stem says the rule in its place.
    """
    words = " ".join(text_of(stem).split()).lower()
    if len(words) > CHARACTERS:
        raise Unsupported(
            worded(
                "a stem of {n} characters, {characters} are read",
                n=len(words),
                characters=CHARACTERS,
            )
        )
    if not told and (strange := not_known(words, phrases)):
        raise Unsupported(worded("a stem that says '{strange}'", strange=strange[:60]))
    said = phrases.stem
    question, known, faults = (*told, ()) if told else _the_question(stem, words, phrases)
    points, ticks, stages = (r.search(words) for r in (said.points, said.ticks, said.stages))
    rules = 3 - [points, ticks, stages].count(None)
    if rules > 1 or not (rules or worth):
        raise Unsupported(worded("a stem that states no scoring rule, or two"))
    match = said.none.search(words)
    none = match[1].strip() if match else ""
    low, high = _the_range(words, said)
    beside = _without_ranges(words, said)
    ask, claim = _the_ask(words, phrases, known), said.claimed.search(words)
    return Asked(
        low=low,
        high=high,
        residue=bool(said.range.search(beside)),
        question=question,
        ask="whether true" if claim else ask,
        claimed=ask if claim else "",
        claim=claim[1].strip() if claim else "",
        points=points_told(points[1]) if points else None if rules else worth,
        stages=int(stages[1]) if stages else 0,
        none=none,
        any_order=_the_order(words, said),
        any_representative=bool(said.any_representative.search(words)),
        counts=not said.uncounted.search(words),
        spare=bool(said.spare.search(words)),
        not_every=bool(said.not_every.search(words)),
        solvable=bool(said.solvable.search(words)),
        faults=(
            *contradictions(beside, question.modulus, said),
            *faults,
            *misstated(words, question, said),
            *_misnamed(none, phrases.answer),
        ),
    )


def _the_question(
    stem: Lines, words: str, phrases: Phrases
) -> tuple[Question, str | None, tuple[str, ...]]:
    """The question, its ask where a sentence says both, and what is wrong with its formulas."""
    if known := in_words(stem, phrases):
        return *known, tuple(_misheard(stem, phrases))
    put = _before_the_lines(stem, phrases)
    if system := the_system(words, congruences(unlettered(put)), phrases):
        question, faults = system
        return question, None, faults
    question, spoken = first_congruence(put)
    return question, None, tuple(_misspoken(question, spoken, phrases))


def puts_a_question(stem: Lines, phrases: Phrases) -> bool:
    """Whether a stem says itself what its question is, in words or in a formula."""
    return in_words(stem, phrases) is not None or any(True for _formula in congruences(stem))


LETTERED = re.compile(r"([A-Z])\.\s+(\S.*)")


def unlettered(stem: Lines) -> Lines:
    """The lines that do not stand under a letter, to choose an order of the letters."""
    return tuple(line for line in stem if not LETTERED.fullmatch(text_of((line,))))


def _before_the_lines(stem: Lines, phrases: Phrases) -> Lines:
    """The stem up to the numbered lines of a solution, which hold congruences of their own."""
    numbered = phrases.lines.numbered

    def of_the_question(line: Line) -> bool:
        return not numbered.fullmatch(" ".join(text_of((line,)).split()).lower())

    return tuple(takewhile(of_the_question, stem))


def _the_ask(words: str, phrases: Phrases, known: str | None = None) -> str:
    """What is asked: by the phrases that ask it, and by a sentence known as a whole."""
    found = [
        ask for ask, said in phrases.asks.items() if any(phrase.search(words) for phrase in said)
    ]
    found += [known] if known and known not in found else []
    if len(found) != 1:
        raise Unsupported(
            worded("a stem that asks {found}", found=" and ".join(found) or "nothing that is known")
        )
    return found[0]


def _the_order(words: str, said: Stem) -> bool | None:
    """Whether a list may stand in any order; None if the stem says nothing, or two things."""
    any_order, increasing = bool(said.any_order.search(words)), said.increasing.search(words)
    return any_order if any_order != bool(increasing) else None


def _the_range(words: str, said: Stem) -> tuple[int | None, int | None]:
    """Where the integer that is asked for lies; Unsupported for two ranges."""
    found = [
        (kind, [int(n.replace("−", "-").replace(" ", "")) for n in match.groups()])
        for kind, pattern in (
            ("above", said.above),
            ("below", said.below),
            ("both", said.between),
            ("both", said.ends),
            ("both", said.all_of_range),
            ("both", said.example),
        )
        for match in pattern.finditer(words)
    ]
    if len(found) > 1:
        raise Unsupported(worded("a stem that asks for integers of two ranges"))
    for kind, numbers in found:
        if kind == "above":
            return numbers[0] + 1, None
        return (None, numbers[0] - 1) if kind == "below" else (numbers[0], numbers[1])
    return None, None


def _without_ranges(words: str, said: Stem) -> str:
    """A stem without the sentences that name a range of integers, which is none of residues."""
    for pattern in (said.above, said.below, said.between, said.ends, said.all_of_range):
        words = pattern.sub(" ", words)
    return words


def _misnamed(none: str, answer: Answers) -> Iterator[str]:
    """Words for no solution that say something else."""
    if none and none not in answer.none:
        yield worded("stem: expected words for no solution, got “{none}”", none=none)


def contradictions(words: str, m: int | None, said: Stem) -> Iterator[str]:
    """Ranges and moduli in the words that are not those of the congruence."""
    named = "no modulus" if m is None else f"the modulus {m} of the congruence"
    for match in said.range.finditer(words):
        if m is None:
            yield worded(
                "stem: expected no residues without a modulus, got 0 to {last}", last=match[1]
            )
        elif int(match[1]) != m - 1:
            yield worded(
                "stem: expected least residues 0 to {last}, got 0 to {got}",
                last=m - 1,
                got=match[1],
            )
    for match in said.modulo.finditer(words):
        if m is None or int(match[1]) != m:
            yield worded("stem: expected {named}, got {got}", named=named, got=match[1])


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


def _misheard(stem: Lines, phrases: Phrases) -> Iterator[str]:
    """What a screen reader says of the congruences of a stem whose question is in words."""
    for formula in congruences(stem):
        try:
            shown = read(formula.text)
        except StatementError:
            continue
        yield from _misspoken(shown, formula.spoken, phrases)


def _misspoken(question: Question, spoken: str, phrases: Phrases) -> Iterator[str]:
    """What a screen reader says, if that is another congruence."""
    if not spoken:
        return
    try:
        same = read(typed(spoken, phrases.spoken)) == question
    except StatementError:
        same = False
    if not same:
        yield worded(
            "stem: expected the congruence in its spoken form, got '{spoken}'", spoken=spoken[:100]
        )


def congruences(stem: Lines) -> Iterator[Formula]:
    """The formulas with a relation sign and a modulus, as marked or as their characters show."""
    for line in stem:
        for formula in _formulas(line):
            if re.search(r"[≡=]", formula.text) and re.search(r"\bmod\b", formula.text):
                yield formula


def _formulas(line: Line) -> Iterator[Formula]:
    """The marked formulas of a line, and the runs of its text that could be one."""
    text = ""
    for part in line:
        if isinstance(part, Formula):
            yield from _runs(text)
            text = ""
            yield part
        else:
            text += part
    yield from _runs(text)


_RUN = re.compile(r"(?:[0-9⁰¹²³⁴⁵⁶⁷⁸⁹^()+\-−*·⋅×=≡ ]|\bmod\b|(?<![A-Za-z])[A-Za-z](?![A-Za-z]))+")
"""Characters of formulas: digits, signs, single letters and mod, which words break."""


def _runs(text: str) -> Iterator[Formula]:
    """Stretches of characters that only formulas have; brackets that do not belong are cut off."""
    for match in _RUN.finditer(" ".join(text.split())):
        yield Formula(_balanced(match[0].strip()))


def _balanced(text: str) -> str:
    """The text up to a bracket that it does not open."""
    depth = 0
    for i, c in enumerate(text):
        depth += (c == "(") - (c == ")")
        if depth < 0:
            return text[:i].strip()
    return text
