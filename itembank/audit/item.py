"""One item, judged: is the key right, and does the scoring grade it so?

The question is recovered from what the student reads, the key as declared is
put to the second way, and the item's own scoring is tried.  Nothing that was
known when the item was made is used but the authors' own statement, where it
is carried: it must state the same congruence, as mathematics.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from itembank.audit import claims, fitting, printed
from itembank.audit.budget import Work
from itembank.audit.grading import Trial
from itembank.audit.keys import KEYS, SHOWN, Key, form_of, full_score, wrong_key
from itembank.audit.parts import part_of
from itembank.audit.phrases import Answers, Phrases, Remarks, phrases_of
from itembank.audit.prose import text_of
from itembank.audit.question import Asked, asked, puts_a_question
from itembank.audit.ranges import listing
from itembank.audit.relations import torn, untrue
from itembank.audit.report import ItemReport
from itembank.audit.seen import Response, SeenItem
from itembank.audit.speech import misheard
from itembank.audit.story import told_by_story, without_story
from itembank.audit.unions import joined_unions
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import (
    Congruence,
    Question,
    Summed,
    Which,
    read,
)
from itembank.second_way.verdict import Undecided
from itembank.values.errors import StatementError
from itembank.values.worded import worded, wording


def item_report(item: SeenItem, stories: frozenset[str] = frozenset()) -> ItemReport:
    """What the audit says of one item; `stories` as of `audit_package`."""
    findings: list[str] = []
    counts, part = True, None
    try:
        for what in item.unknown():
            raise Unsupported(what)
        part, stem = part_of(item.stem, item.title, phrases_of(item.language), item.paper)
        accepted = item.identifier in stories
        how, counts = _judged(replace(item, stem=stem), findings, accepted)
    except (Unsupported, Undecided) as reason:
        if not findings:
            return ItemReport(item.identifier, item.title, "unchecked", wording(reason), part=part)
        how = wording(reason)
    return ItemReport(
        item.identifier,
        item.title,
        "disagreed" if findings else "agreed",
        how,
        tuple(findings),
        counts,
        part,
    )


def _judged(item: SeenItem, findings: list[str], accepted: bool = False) -> tuple[str, bool]:
    """How the key was proved, and whether the item counts; what is wrong goes to `findings`."""
    phrases = phrases_of(item.language)
    item = replace(item, stem=without_story(item.stem, phrases))
    told = told_by_story(item) if accepted and not puts_a_question(item.stem, phrases) else None
    stem = asked(item.stem, phrases, told, item.worth)
    findings += stem.faults
    stem, faults = _compared_with_statement(item.statement, stem)
    findings += faults
    findings += joined_unions(item, stem.question, phrases.unions)
    key = KEYS[form_of(stem, item)](item, stem, findings, phrases)
    findings += _points_findings(item, stem)
    findings += misheard(item.formulas(), phrases.spoken)
    if key.verdict.status == "disagreed":
        findings.append(worded("key: {found}", found=wrong_key(key, stem, item)))
    if not item.paper:
        trial = Trial(item, key.worth)
        trial.run(key.responses, key.alike)
        findings += trial.findings
        findings += _printed_keys(item, key, trial, phrases.answer)
        worked = trial.always
        shown = [(name, response) for name, response in trial.told if name not in worked]
    else:
        worked = frozenset(n for n in item.feedback if n.startswith(printed.WORKING))
        shown = []
    findings += _unfit_remarks(item, key, shown, stem, phrases)
    findings += _told_findings(item, key, worked, phrases, stem.question.modulus or 0)
    if key.verdict.status == "unchecked":
        raise Unsupported(key.verdict.message)
    how = str(key.verdict.method)
    if told:
        how += "; that the story puts this question, a person has accepted"
    return how, stem.counts


# ------------------------------------------------------------ the authors' statement


def _compared_with_statement(statement: str, stem: Asked) -> tuple[Asked, list[str]]:
    """The stem's question, with what the statement knows of its modulus; and where they differ."""
    if not statement:
        return stem, []
    *lines, ask = (part.strip() for part in statement.split(";"))
    try:
        stated = read(*lines)
    except StatementError as reason:
        return stem, [f"statement: expected the congruence of the stem, got none: {reason}"]
    faults = []
    if not _same(stated, stem.question):
        faults.append(
            f"stem: expected the congruence of the statement '{'; '.join(lines)}', got another"
        )
    if ask != stem.ask:
        faults.append(f"stem: expected to ask {ask}, got {stem.ask}")
    hinted = replace(stem.question, hints=stem.question.hints + stated.hints)
    if isinstance(hinted, Which) and isinstance(stated, Which):
        hinted = replace(hinted, offered=stated.offered)
    return replace(stem, question=hinted), faults


def _same(a: Question, b: Question) -> bool:
    """The same question: of congruences, differences of the sides that are equal or opposite."""
    if not isinstance(a, Congruence) or not isinstance(b, Congruence):
        return a == b
    m = a.modulus
    opposite = tuple(-c % m for c in a.coefficients)
    return m == b.modulus and b.coefficients in (a.coefficients, opposite)


# ------------------------------------------------------------ points and feedback


def _points_findings(item: SeenItem, stem: Asked) -> list[str]:
    """Every place that says what the item is worth says what the stem says.

    Where none does, a platform takes it to be worth 1; but what counts nothing, or a half, cannot
    say so in a cartridge, which knows neither a weight of 0 nor halves.
    """
    worth = full_score(item, stem) if item.full is None else stem.points
    if item.full is not None and not stem.counts:
        worth = Fraction(0)
    unsaid = item.full is not None and worth is not None and worth.denominator > 1
    said = item.points or ({"nothing, which counts": Fraction(1)} if worth and not unsaid else {})
    return [
        f"points: expected {worth} as the stem says, got {name} {value}"
        for name, value in said.items()
        if worth is not None and value != worth
    ]


def _printed_keys(item: SeenItem, key: Key, trial: Trial, answer: Answers) -> list[str]:
    """Feedback to a wrong answer that gives the answer away."""
    if not key.residues and not key.pairs:
        return []
    shown = listing(key.residues or key.pairs)
    return [
        f"feedback {name}: expected no answer key in it, got {shown}"
        for name, told in item.feedback.items()
        if name not in trial.always and _prints_key(told.text(), key, answer)
    ]


def _remark(item: SeenItem, name: str) -> str:
    """What a feedback says; on paper the first line of a slip repeats the wrong answer itself."""
    told = item.feedback[name]
    repeats = item.paper and not name.startswith(printed.WORKING)
    return text_of(told.lines()[1:]) if repeats else told.text()


_SETS = ("all solutions", "the solution")
"""What is asked where an answer is the solutions themselves."""


_DERIVED = ("how many", "the least", "the largest", "whether any", "an example", "whether true")
"""What is asked where an answer is not the solutions, but comes from them."""


def _unfit_remarks(
    item: SeenItem,
    key: Key,
    shown: Iterable[tuple[str, Response]],
    stem: Asked,
    phrases: Phrases,
) -> Iterator[str]:
    """Remarks that do not fit the answers that are told them, praise of a wrong one, falsehoods.

    A sum says nothing of the solutions that were added, so no remark on these is held against it.
    """
    said = phrases.remarks
    for name, answer, text in fitting.told_to(item, shown, said):
        if said.praise.search(text):
            yield worded(
                "feedback {name}: expected no praise of {answer}, got some",
                name=name,
                answer=answer[:60],
            )
        found = fitting.given(
            answer, key.residues or (), stem.question.modulus or 0, phrases.answer
        )
        if found is None or isinstance(stem.question, Summed):
            continue
        if found.integers and found.integers == key.residues:
            yield worded(
                "feedback {name}: expected remarks on wrong answers, got one on {answer}",
                name=name,
                answer=answer[:60],
            )
        if stem.ask in _DERIVED:
            continue  # the remark is on the solutions from which it was counted or chosen
        for what in fitting.unfit(text, found, said, stem.ask in _SETS):
            yield worded(
                "feedback {name}: expected what fits the answer {answer}, got '{what}'",
                name=name,
                answer=answer[:60],
                what=what,
            )
    for name in item.feedback:
        for what in fitting.false(_remark(item, name), said):
            yield worded(
                "feedback {name}: expected what is so, got '{what}'", name=name, what=what[:100]
            )


def _told_findings(
    item: SeenItem, key: Key, worked: frozenset[str], phrases: Phrases, m: int
) -> Iterator[str]:
    """Relations that do not hold, a worked solution without the key, a title that tells it.

    A solution ends with the key; it may tell residues modulo m by those nearest to 0, and cuts
    long lists.
    """
    answer, example = phrases.answer, phrases.remarks.example
    work = Work()
    solution = ""
    for name in item.feedback:
        text = _remark(item, name)
        if name in worked:
            solution += text + "\n"
        for line in torn(text):
            yield worded(
                "feedback {name}: expected whole formulas, got {line}", name=name, line=line[:100]
            )
        for chain in untrue(text, work):
            yield worded(
                "feedback {name}: expected relations that hold, got {chain}",
                name=name,
                chain=chain[:100],
            )
    if key.residues and len(key.residues) <= _LISTED and solution:
        end = conclusion(solution, phrases.remarks)
        missing = [n for n in sorted(key.residues) if not tells(end, n, m, phrases.remarks)]
        if missing:
            told = listing(missing[:SHOWN])
            yield worded(
                "worked solution: expected the key at its end, {told} is not there", told=told
            )
    if key.residues and claims.prints(item.title, key.residues, answer):
        yield worded("title: expected no answer in it, got the key")
    stem = example.sub("", " ".join(text_of(item.stem).split()).lower())
    if key.residues and claims.prints(stem, key.residues, answer):
        yield worded("stem: expected no answer in it, got the key")


_NUMBER = re.compile("0*([0-9]+)")


def conclusion(solution: str, said: Remarks) -> str:
    """The end of a worked solution: from the words on that begin its answer, else its last line.

    The answer and what stands in a line of its own in it; a check that follows may be longer.
    Remarks on other answers, which may stand below, are no part of it.
    """
    begins = [match.start() for match in said.concluded.finditer(solution)]
    lines = solution[begins[-1] if begins else 0 :].strip().split("\n")
    ends = (i for i, line in enumerate(lines) if said.answered.fullmatch(line.lower()))
    lines = lines[: next(ends, None)]
    return "\n".join(lines[:3] if begins else lines[-1:])


def tells(text: str, n: int, m: int, said: Remarks) -> bool:
    """Whether a text holds an integer, its residue nearest to 0, or the word for it."""
    if {str(abs(n)), str(abs(n - m))} & set(_NUMBER.findall(text)):
        return True
    return 0 <= n < len(said.numbers) and bool(said.numbers[n].search(text))


_LISTED = 12
"""A key of more residues need not stand whole in its worked solution."""


def _prints_key(text: str, key: Key, answer: Answers) -> bool:
    if key.pairs:
        return claims.prints_pairs(text, key.pairs)
    return claims.prints(text, key.residues or (), answer)
