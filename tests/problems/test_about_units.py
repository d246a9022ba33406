"""What holds of every kind about units modulo m: inverses, powers, factorials, orders,
primitive roots, indices.

Answers are held against the second way, which shares no code with the solvers; the
numbers of a worked solution are recomputed by the reader of `sums`.
"""

import re
from collections import Counter

import pytest
from sums import read_sums
from unit_samples import KINDS, statements

from itembank import check
from itembank.answer import Absent, Answer, ResidueSet, Truth, Value, claimed
from itembank.notation import plain
from itembank.notation.reading import paragraph
from itembank.notation.tree import Block, Display, Formula, Paragraph, Table
from itembank.problems.base import Solution
from itembank.problems.kinds import KINDS as ALL
from itembank.problems.statement import problem_from

SAMPLES = 250
SLIPS = 1_000


def claim(answer: Answer) -> tuple[str, check.Claim]:
    match answer:
        case ResidueSet(parts):
            return "all solutions", [(part.modulus, part.classes) for part in parts]
        case Value(value):
            return "the value", value
        case Truth(holds):
            return "whether any", holds
        case Absent():
            return "the value", None
    raise AssertionError(answer)


def solved(kind: str, count: int = SAMPLES):
    for statement in statements(kind, count):
        problem = problem_from([statement])
        yield statement, problem, problem.solve()


# ------------------------------------------------------------ answers and statements


@pytest.mark.parametrize("kind", KINDS)
def test_the_second_way_agrees_to_every_answer(kind: str) -> None:
    found = Counter()
    for statement, problem, solution in solved(kind):
        verdict = check.decide(problem.statement, *claim(solution.answer))
        assert verdict.status == "agreed", (statement, solution.answer, verdict)
        found[type(solution.answer).__name__, problem.kind] += 1

    assert {k for _answer, k in found} == {kind}


@pytest.mark.parametrize("kind", KINDS)
def test_a_wrong_answer_is_not_agreed(kind: str) -> None:
    for statement, problem, solution in solved(kind, 60):
        for wrong in wrong_answers(solution.answer):
            verdict = check.decide(problem.statement, *claim(wrong))
            assert verdict.status == "disagreed", (statement, wrong, verdict)


def wrong_answers(answer: Answer) -> list[Answer]:
    match answer:
        case Truth(holds):
            return [Truth(not holds)]
        case Value(value, m):
            return [Value(value + 1, m)] if m != 1 else []
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


@pytest.mark.parametrize("kind", KINDS)
def test_measures_are_those_of_the_signature_and_integers(kind: str) -> None:
    for _statement, problem, solution in solved(kind, 40):
        measures = problem.measures(solution)
        assert set(measures) == set(problem.signature.measures)
        assert all(type(n) is int for n in measures.values())
        assert measures["steps"] == solution.effort >= 1


# ------------------------------------------------------------ worked solutions

UNCLEAN = {
    "a factor 1": r"(?<![\d.,])1[a-z]\b",
    "a sign after a sign": r"[+−±-] [+−±-]|[+−] [−]",
    "a coefficient 0": r"(?<![\d.,])0[a-z]\b",
    "a field not filled in": r"[{}]|\bNone\b(?! of)",
    "a dollar sign": r"\$",
    "two spaces": r"  ",
    "a space before a stop": r" [.,;:?](?!\.)",
    "two stops": r"\.\.|,,|:\.|\.,|\?\.",
    "brackets within brackets": r"\(\(|\(\)",
    "a formula typed as prose": r"\^(?![(a-z])|(?<!\d)\d+\*\d",
}


def lines(blocks: tuple[Block, ...]):
    for block in blocks:
        match block:
            case Paragraph(content, lead):
                yield lead
                yield plain.inlines(content)
            case Display(rows):
                yield from map(plain.math, rows)
            case Table(head, rows):
                for row in (head, *rows):
                    yield from map(plain.inlines, row)


@pytest.mark.parametrize("kind", KINDS)
def test_worked_solutions_and_stems_are_clean_sentences(kind: str) -> None:
    for statement, problem, solution in solved(kind):
        blocks = problem.worked(solution)
        stems = [problem.question(ask) for ask in problem.signature.asks]
        for line in lines((*blocks, *(b for stem in stems for b in stem))):
            for fault, pattern in UNCLEAN.items():
                assert not re.search(pattern, line), (statement, fault, line)
        for block, following in zip(blocks, (*blocks[1:], None), strict=True):
            if isinstance(block, Paragraph):
                text = plain.inlines(block.content)
                leads_on = isinstance(following, Display | Table)
                assert text.endswith(".") or leads_on, (statement, text)
                assert not text[0].islower() or isinstance(block.content[0], Formula)
                assert not block.lead or block.lead.endswith("."), (statement, block.lead)
        assert getattr(blocks[-1], "lead", "") == "Answer.", statement


@pytest.mark.parametrize("kind", KINDS)
def test_every_relation_between_numbers_on_the_board_is_true(kind: str) -> None:
    checked = Counter()
    for statement, problem, solution in solved(kind):
        m = getattr(problem, "m", problem.modulus)
        try:
            checked += Counter(read_sums(problem.worked(solution), m, problem.modulus))
        except AssertionError as e:
            raise AssertionError(f"{statement}: {e}") from e

    if kind not in ("primitive_root_existence",):
        assert sum(checked.values()) > 100, checked


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
    ],
)
def test_a_wrong_relation_on_the_board_would_be_seen(wrong: str) -> None:
    with pytest.raises(AssertionError):
        read_sums((paragraph(wrong),), 17)


# ------------------------------------------------------------ slips


@pytest.mark.parametrize("kind", KINDS)
def test_slips_of_a_thousand_variants_are_wrong_distinct_and_named(kind: str) -> None:
    names = set(ALL[kind].signature.slips)
    seen: Counter[str] = Counter()
    for statement, problem, solution in solved(kind, SLIPS):
        slips = problem.slips(solution)
        answers = [s.answer for s in slips]
        assert claimed(solution.answer) not in answers, statement
        assert len(set(answers)) == len(answers), statement
        for s in slips:
            assert s.names and set(s.names) <= names, (statement, s.names)
            assert answered_in_range(s.answer, solution, problem.modulus), (statement, s)
            seen.update(s.names)

    assert set(seen) == names, names - set(seen)


def answered_in_range(answer: tuple[int, ...], solution: Solution, m: int) -> bool:
    """Whether a slip's answer is of the answer's type: residues, or a number of at least 0."""
    if isinstance(solution.answer, ResidueSet):
        return list(answer) == sorted(set(answer)) and all(0 <= x < m for x in answer)
    if isinstance(solution.answer, Truth):
        return answer in ((0,), (1,))
    modulus = solution.answer.modulus if isinstance(solution.answer, Value) else None
    return len(answer) <= 1 and all(x >= 0 and (modulus is None or x < modulus) for x in answer)


@pytest.mark.parametrize("kind", KINDS)
def test_feedback_is_clean_and_does_not_name_the_key_as_the_answer(kind: str) -> None:
    for statement, problem, solution in solved(kind):
        key = claimed(solution.answer)
        for s in problem.slips(solution):
            for line in lines(s.feedback):
                for fault, pattern in UNCLEAN.items():
                    assert not re.search(pattern, line), (statement, fault, line)
                if len(key) > 1:
                    assert ", ".join(map(str, key)) not in line, (statement, s.names, line)
                elif key:
                    told = rf"(?:answer|inverse|order|index|root|residue) is {key[0]}\b"
                    assert not re.search(told, line), (statement, s.names, line)
