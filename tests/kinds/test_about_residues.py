"""What holds of every kind about residues: squares, symbols, units, phi, inverses, powers,
factorials, orders, primitive roots, indices, check digits.

Answers are held against the second way, which shares no code with the solvers; the numbers
of a worked solution are recomputed by the reader of `sums`.
"""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any

import pytest

from itembank.audit.claims import prints
from itembank.audit.phrases import phrases_of
from itembank.kinds.base import Problem
from itembank.kinds.statement import problem_from
from itembank.kinds.table import KINDS as ALL
from itembank.notation import plain, spoken
from itembank.notation.prose import paragraph
from itembank.notation.tree import Blocks, Display, Formula, Paragraph, Table
from itembank.second_way import table as second_way
from itembank.values.answer import Absent, Answer, Pairs, ResidueSet, Truth, Value, claimed
from tests.kinds import prose, residue_samples, unit_samples
from tests.kinds.prose import lines
from tests.kinds.solving import Sample, Solved
from tests.kinds.sums import read_sums
from tests.kinds.telling import feedback_of, rendered

ENGLISH = phrases_of("en")


SAMPLES = 250
SLIPS = 1_000

ABOUT_UNITS = list(unit_samples.KINDS)
KINDS = [*residue_samples.KINDS, *ABOUT_UNITS]


def claim_of(answer: Answer) -> tuple[str, second_way.Claim]:
    match answer:
        case ResidueSet(parts):
            return "all solutions", [(part.modulus, part.classes) for part in parts]
        case Pairs(_, pairs):
            return "all solutions", pairs
        case Value(value):
            return "the value", value
        case Truth(holds):
            return "whether any", holds
        case Absent():
            return "the value", None


def statements(kind: str, count: int) -> list[tuple[str]]:
    samples = unit_samples if kind in ABOUT_UNITS else residue_samples
    return [(statement,) for statement in samples.statements(kind, count)]


SAMPLE = Sample(statements, SAMPLES)


def solved(kind: str, count: int = SAMPLES) -> Iterator[Solved]:
    return SAMPLE.solved(kind, count)


def worked(kind: str, count: int = SAMPLES) -> Iterator[tuple[Solved, Blocks]]:
    return SAMPLE.worked(kind, count)


# ------------------------------------------------------------ answers and statements


@pytest.mark.parametrize("kind", KINDS)
def test_the_second_way_agrees_to_every_answer(kind: str) -> None:
    for statement, problem, solution in solved(kind):
        verdict = second_way.decide(problem.statement, *claim_of(solution.answer))
        assert verdict.status == "agreed", (statement, solution.answer, verdict)


@pytest.mark.parametrize("kind", KINDS)
def test_a_wrong_answer_is_not_agreed(kind: str) -> None:
    tried = 0
    for statement, problem, solution in solved(kind, 60):
        for wrong in wrong_answers(solution.answer):
            verdict = second_way.decide(problem.statement, *claim_of(wrong))
            assert verdict.status == "disagreed", (statement, wrong, verdict)
            tried += 1
    assert tried >= 50


def wrong_answers(answer: Answer) -> Sequence[Answer]:
    match answer:
        case Truth(holds):
            return [Truth(not holds)]
        case Value(value, m):
            return [Value(value + 1, m), Value(value - 1, m)] if m != 1 else []
        case Absent():
            return [Value(0), Value(9)]
        case Pairs(m, pairs):
            return [Pairs(m, pairs[1:]), Pairs(m, ((0, 0), *pairs)[: len(pairs)])][: m - 1]
        case ResidueSet() if answer.modulus > 1:
            m, residues = answer.modulus, answer.residues()
            other = next((x for x in range(m) if x not in answer), None)
            dropped = [ResidueSet.of(m, [(x, m) for x in residues[1:]])] if residues else []
            added = (
                [] if other is None else [ResidueSet.of(m, [(x, m) for x in (*residues, other)])]
            )
            return [*dropped, *added]
    return []


@pytest.mark.parametrize("kind", KINDS)
def test_the_statement_reads_back_to_the_same_problem(kind: str) -> None:
    for statement, problem, _solution in solved(kind):
        again = problem_from(problem.statement)
        assert again == problem, statement
        assert again.statement == problem.statement
        assert again.canonical == problem.canonical
        assert problem.shown


@pytest.mark.parametrize("kind", KINDS)
def test_measures_are_those_of_the_signature_and_integers(kind: str) -> None:
    for statement, problem, solution in solved(kind, 60):
        measures = problem.measures(solution)
        assert set(measures) == set(problem.signature.measures)
        assert all(type(n) is int for n in measures.values()), statement
        assert measures["steps"] == solution.effort >= (kind in ABOUT_UNITS)


# ------------------------------------------------------------ worked solutions

UNCLEAN = {
    **prose.UNCLEAN,
    "a field not filled in": r"(?<!= )\{[a-z]|\bNone\b(?! of)",
    "a space before a stop": r" [.,;:](?!\.)|(?<!gives) \?(?= [A-Z]|$)",
    "two stops": r"(?<!\.)\.\.(?!\.)|(?<!\.\.),,|:\.|\.,(?! )|\?\.",
    "a formula typed as prose": r"\^(?![(a-z])|(?<!\d)\d+\*\d",
}


@pytest.mark.parametrize("kind", KINDS)
def test_worked_solutions_and_stems_are_clean_sentences(kind: str) -> None:
    for (statement, problem, _solution), blocks in worked(kind):
        stems = [
            block for ask in problem.signature.asks for block in rendered(problem.question(ask))
        ]
        for line in lines((*blocks, *stems)):
            for fault, pattern in UNCLEAN.items():
                assert not re.search(pattern, line), (statement, fault, line)
        for block, following in zip(blocks, (*blocks[1:], None), strict=True):
            if isinstance(block, Paragraph):
                text = plain.inlines(block.content)
                leads_on = isinstance(following, Display | Table) and re.search(":$| leaves$", text)
                assert text.endswith(".") or leads_on, (statement, text)
                assert not text[0].islower() or isinstance(block.content[0], Formula), text
                assert not block.lead or block.lead.endswith("."), (statement, block.lead)
        leads = [getattr(block, "lead", "") for block in blocks]
        assert "Answer." in (leads if kind == "symbol" else leads[-1:]), statement
        assert spoken.blocks(blocks)


@pytest.mark.parametrize("kind", KINDS)
def test_every_relation_between_numbers_on_the_board_is_true(kind: str) -> None:
    checked: Counter[str] = Counter()
    for (statement, problem, _solution), blocks in worked(kind):
        try:
            checked += Counter(read_sums(blocks, *moduli(problem)))
        except AssertionError as e:
            raise AssertionError(f"{statement}: {e}") from e

    if kind != "primitive_root_existence":  # which is told in words
        assert sum(checked.values()) > 100, checked


def moduli(problem: Problem) -> tuple[int, ...]:
    """The modulus of an answer, and that of the powers where the unknown is an exponent."""
    return (getattr(problem, "m", problem.modulus), problem.modulus)


@pytest.mark.parametrize(
    "wrong",
    [
        "$7^2 = 48$.",
        "$7 · 15 = 105 ≡ 2 (mod 26)$.",
        "$φ(48) = 15$.",
        "$gcd(6, 9) = 6$.",
        "$4! ≡ 3 (mod 11)$.",
        "$3^16 ≢ 1 (mod 17)$.",
        "$250/5 = 25$.",
        "$12^2 = 144 ≡ 3$.",
        "$symbol(3, 7) = 1$.",
        "$symbol(-2, 15) = 1$.",
        "$lambda(561) = 320$.",
        "$lcm(4, 6) = 24$.",
        "$130 = 11 · 11 + 8$.",
    ],
)
def test_a_wrong_relation_on_the_board_would_be_seen(wrong: str) -> None:
    with pytest.raises(AssertionError):
        read_sums((paragraph(wrong),), 11)


@pytest.mark.parametrize("kind", KINDS)
def test_the_answer_stands_in_the_worked_solution(kind: str) -> None:
    for (statement, _problem, solution), blocks in worked(kind, 80):
        told = " ".join(line for line in lines(blocks) if line)
        match solution.answer:
            case Value(10) if kind == "isbn_digit":
                assert "written X" in told
            case Value(value):
                assert re.search(rf"(?<!\d){abs(value)}(?!\d)", told), statement
            case ResidueSet() as answer if answer.count > 1:
                listed = ", ".join(map(str, answer.residues()[-3:])) in told
                assert listed or answer.count > (24 if kind in ABOUT_UNITS else 250), statement


# ------------------------------------------------------------ slips


@pytest.mark.parametrize("kind", KINDS)
def test_slips_of_a_thousand_variants_are_wrong_distinct_and_named(kind: str) -> None:
    names = set(ALL[kind].problem.signature.slips)
    seen: Counter[str] = Counter()
    for statement, problem, solution in solved(kind, SLIPS):
        slips = problem.slips(solution)
        answers = [s.answer for s in slips]
        assert claimed(solution.answer) not in answers, statement
        assert len(set(answers)) == len(answers), statement
        for s in slips:
            assert s.names and set(s.names) <= names, (statement, s.names)
            assert len(s.feedback) == len(s.names)
            assert is_of_the_type(s.answer, solution.answer, problem), (statement, s)
            seen.update(s.names)

    assert set(seen) == names, names - set(seen)


def is_of_the_type(answer: tuple, key: Answer, problem: Problem) -> bool:
    """Whether a slip's answer could be given: residues, pairs of them, a digit, a sign, ..."""
    m = problem.modulus
    match key:
        case ResidueSet():
            return list(answer) == sorted(set(answer)) and all(0 <= x < m for x in answer)
        case Pairs():
            return list(answer) == sorted(set(answer)) and all(
                0 <= a < m and 0 <= b < m for a, b in answer
            )
        case Truth():
            return answer in ((0,), (1,))
    if not answer:  # "there is none"
        return problem.kind in ABOUT_UNITS
    (value,) = answer
    match problem.kind:
        case "symbol":
            return value in (-1, 0, 1)
        case "isbn_digit":
            return 0 <= value <= 9 or (value == 10 and m == 11)
        case "iban_digits":
            return 0 <= value <= (98 if "??" in problem.statement[0] else 9)
    modulus = key.modulus if isinstance(key, Value) else None
    return value >= 0 and (modulus is None or value < modulus)


@pytest.mark.parametrize("kind", KINDS)
def test_feedback_is_clean_and_does_not_print_the_key(kind: str) -> None:
    for statement, problem, solution in solved(kind):
        key: Any = claimed(solution.answer)
        for s in problem.slips(solution):
            for line in lines(feedback_of(s)):
                for fault, pattern in UNCLEAN.items():
                    assert not re.search(pattern, line), (statement, fault, line)
                if kind in ABOUT_UNITS:
                    assert not named(line, key), (statement, s.names, line)
                elif not isinstance(solution.answer, Truth | Pairs):
                    assert not prints(line, key, ENGLISH.answer), (statement, s.names, line)


def named(line: str, key: tuple) -> bool:
    """Whether a line lists the key, or calls it the answer; small numbers stand in every line."""
    if len(key) > 1:
        return ", ".join(map(str, key)) in line
    told = r"(?:answer|inverse|order|index|root|residue) is "
    return bool(key and re.search(rf"{told}{key[0]}\b", line))
