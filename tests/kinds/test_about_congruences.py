"""What holds of every kind about congruences beside the general ones: roots, systems, pairs,
lifting steps and counts.

Answers are held against the second way, which shares no code with the solvers; the numbers
of a worked solution are recomputed by the reader of `sums`.
"""

import re
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from itembank.audit.claims import prints, prints_pairs
from itembank.audit.phrases import phrases_of
from itembank.kinds.base import Problem
from itembank.kinds.statement import problem_from
from itembank.notation import plain, spoken
from itembank.notation.prose import paragraph
from itembank.notation.tree import Block, Blocks, Display, Formula, Paragraph, Table
from itembank.second_way import table as second_way
from itembank.values.answer import Answer, Pairs, ResidueSet, Value, claimed
from tests.kinds import prose
from tests.kinds.congruence_samples import KINDS, statements
from tests.kinds.prose import lines
from tests.kinds.solving import Sample, Solved
from tests.kinds.sums import read_sums
from tests.kinds.telling import feedback_of, rendered

ENGLISH = phrases_of("en")


SAMPLES = 250
SLIPS = 1_000


def claim_of(answer: Answer) -> tuple[str, second_way.Claim]:
    match answer:
        case ResidueSet(parts):
            return "all solutions", [(part.modulus, part.classes) for part in parts]
        case Pairs(_, pairs):
            return "all solutions", pairs
        case Value(value):
            return "the value", value
    raise AssertionError(answer)


SAMPLE = Sample(statements, SAMPLES)


def solved(kind: str, count: int = SAMPLES) -> Iterator[Solved]:
    return SAMPLE.solved(kind, count)


def worked(kind: str, count: int = SAMPLES) -> Iterator[tuple[Solved, Blocks]]:
    return SAMPLE.worked(kind, count)


# ------------------------------------------------------------ answers and statements


@pytest.mark.parametrize("kind", KINDS)
def test_the_second_way_agrees_to_every_answer(kind: str) -> None:
    for statement, problem, solution in solved(kind, 1_000):
        verdict = second_way.decide(problem.statement, *claim_of(solution.answer))
        assert verdict.status == "agreed", (statement, solution.answer, verdict)


@pytest.mark.parametrize("kind", KINDS)
def test_a_wrong_answer_is_not_agreed(kind: str) -> None:
    tried = 0
    for statement, problem, solution in solved(kind, 100):
        for wrong in wrong_answers(solution.answer):
            verdict = second_way.decide(problem.statement, *claim_of(wrong))
            assert verdict.status == "disagreed", (statement, wrong, verdict)
            tried += 1
    assert tried >= 100


def wrong_answers(answer: Answer) -> list[Answer]:
    match answer:
        case Value(value):
            return [Value(value + 1), Value(value - 1)]
        case Pairs(m, pairs):
            other = next(((x, y) for x in range(m) for y in range(m) if (x, y) not in pairs), None)
            dropped = [Pairs(m, pairs[1:])] if pairs else []
            return [*dropped, *([Pairs(m, tuple(sorted((*pairs, other))))] if other else [])]
        case ResidueSet():
            m, residues = answer.modulus, answer.residues()
            more = [x for x in range(m) if x not in answer][:1]
            sets = [residues[1:]] if residues else []
            sets += [(*residues, x) for x in more]
            return [ResidueSet.of(m, [(x, m) for x in found]) for found in sets]
    return []


@pytest.mark.parametrize("kind", KINDS)
def test_the_statement_reads_back_to_the_same_problem(kind: str) -> None:
    for statement, problem, _solution in solved(kind):
        again = problem_from(problem.statement)
        assert again == problem, statement
        assert again.statement == problem.statement
        assert again.canonical == problem.canonical
        assert len(problem.shown) >= 1


@pytest.mark.parametrize("kind", KINDS)
def test_measures_are_those_of_the_signature_and_integers(kind: str) -> None:
    for statement, problem, solution in solved(kind, 60):
        measures = problem.measures(solution)
        assert set(measures) == set(problem.signature.measures)
        assert all(type(n) is int for n in measures.values()), statement
        assert measures["steps"] == solution.effort


@pytest.mark.parametrize("kind", KINDS)
def test_every_ask_has_a_question_that_is_spoken(kind: str) -> None:
    _statement, problem, _solution = next(solved(kind, 1))
    for ask in problem.signature.asks:
        said = spoken.blocks(rendered(problem.question(ask)))
        assert "is congruent to" in said
        assert not re.search(r"[$≡^{}]", said), said


# ------------------------------------------------------------ worked solutions

UNCLEAN = {
    **prose.UNCLEAN,
    "an exponent 1": r"[a-z)]¹(?![⁰¹²³⁴⁵⁶⁷⁸⁹])",
    "a field not filled in": r"(?<!= )\{[a-z]|\bNone\b(?! of)",
    "a space before a stop": r" [.,;:?](?![.?\d])",
    "two stops": r"(?<!\.)\.\.(?!\.)|(?<!\.\.),,|:\.|\.,(?! )|\?\.",
    "1 times": r"(?<!− )\b1 times\b|\b1 solutions\b",
}


@pytest.mark.parametrize("kind", KINDS)
def test_every_line_of_working_and_feedback_is_clean(kind: str) -> None:
    for (statement, problem, solution), blocks in worked(kind):
        feedback = tuple(b for slip in problem.slips(solution) for b in feedback_of(slip))
        for line in lines((*blocks, *feedback)):
            for fault, pattern in UNCLEAN.items():
                assert not re.search(pattern, line), (statement, fault, line)


@pytest.mark.parametrize("kind", KINDS)
def test_paragraphs_are_sentences(kind: str) -> None:
    """They begin with a capital, a number or a formula, and end in a stop or lead on."""
    for (statement, _problem, _solution), blocks in worked(kind):
        for block, following in zip(blocks, (*blocks[1:], None), strict=True):
            if isinstance(block, Paragraph):
                text = plain.inlines(block.content)
                leads_on = isinstance(following, Display | Table)
                assert not text or text.endswith(".") or leads_on, (statement, text)
                assert not text[:1].islower() or isinstance(block.content[0], Formula)
                assert not block.lead or block.lead.endswith("."), (statement, block.lead)


@pytest.mark.parametrize("kind", KINDS)
def test_every_number_on_the_board_is_right(kind: str) -> None:
    checked: Counter[str] = Counter()
    for (statement, problem, solution), told in worked(kind):
        blocks = tuple(without_conditions(told))
        feedback = tuple(b for slip in problem.slips(solution) for b in feedback_of(slip))
        try:
            checked += Counter(read_sums((*blocks, *feedback), *divisors(problem.modulus)))
        except AssertionError as e:
            raise AssertionError(f"{statement}: {e}") from e

    assert checked["="] > 300 and checked["≡"] > 250, checked


def divisors(m: int) -> list[int]:
    """The moduli that a run-in heading may have named."""
    return [d for d in range(2, m + 1) if m % d == 0]


def without_conditions(blocks: Blocks) -> Iterator[Block]:
    """The blocks without what is to be met and may fail: a column of conditions, a row 0 ≡ 2."""
    for block in blocks:
        match block:
            case Display(rows):
                kept = tuple(row for row in rows if not re.match("0 ≡", plain.math(row)))
                yield Display(kept)
            case Table(head, rows, row_heads):
                columns = [
                    i for i, cell in enumerate(head) if "condition on" not in plain.inlines(cell)
                ]
                picked = [tuple(row[i] for i in columns) for row in (head, *rows)]
                yield Table(picked[0], tuple(picked[1:]), row_heads)
            case _:
                yield block


def test_a_wrong_number_on_the_board_would_be_seen() -> None:
    with pytest.raises(AssertionError):
        read_sums((paragraph("$5^2 = 25 ≡ 11 (mod 13)$."),), 13)


@pytest.mark.parametrize("kind", KINDS)
def test_the_answer_names_what_was_found(kind: str) -> None:
    for (statement, problem, solution), blocks in worked(kind):
        start = next(i for i, b in enumerate(blocks) if getattr(b, "lead", "") == "Answer.")
        told = plain.blocks(blocks[start : start + 2])
        answer = claimed(solution.answer)
        if not answer or answer == (0,):
            assert re.search(r"\bno\b|\b0\b", told), statement
        elif len(answer) <= 20 and kind != "solution_count":
            numbers = {int(n) for n in re.findall(r"\d+", told)}
            flat = {n for x in answer for n in (x if isinstance(x, tuple) else (x,))}
            everything = isinstance(solution.answer, ResidueSet) and len(answer) == problem.modulus
            assert everything or flat <= numbers, (statement, told)


@pytest.mark.parametrize("letter", "abcdefghijkmnpqrstuvwyz")
def test_no_letter_means_two_things(letter: str) -> None:
    """What is written with another unknown is what is written with x, letters exchanged."""
    texts = (
        ("{0}^2 = 5 mod 41",),
        ("{0}^2 = 9 mod 27*125",),
        ("{0}^4 = 13 mod 17*7",),
        ("lift {0} = 2 mod 5 to {0}^2 + 4{0} + 23 = 0 mod 25",),
        ("number of solutions of {0}^2 = 40 mod 360",),
        ("3{0} = 2 mod 4", "{0} = 1 mod 6"),
        ("{0}^2 = 1 mod 8", "{0} = 2 mod 5", "{0} = 1 mod 3"),
    )
    for text in texts:
        mine, theirs = (
            problem_from([line.format(name) for line in text]) for name in (letter, "x")
        )
        pairs = set(zip(letters_in(shown(theirs)), letters_in(shown(mine)), strict=True))
        assert dict(pairs).get("x", letter) == letter
        assert len(pairs) == len(dict(pairs)) == len({new for _old, new in pairs}), (text, pairs)


def shown(problem: Problem) -> Blocks:
    solution = problem.solve()
    feedback = tuple(b for slip in problem.slips(solution) for b in feedback_of(slip))
    return (*rendered(problem.worked(solution)), *feedback)


def letters_in(node: Any) -> list[str]:
    """The letters of all formulas, in order."""
    if hasattr(node, "primes"):
        return [node.name]
    if isinstance(node, tuple):
        return [name for part in node for name in letters_in(part)]
    if hasattr(node, "__dataclass_fields__"):
        return [n for field in node.__dataclass_fields__ for n in letters_in(getattr(node, field))]
    return []


# ------------------------------------------------------------ slips


@pytest.mark.parametrize("kind", KINDS)
def test_slips_never_give_the_key_and_are_told_apart(kind: str) -> None:
    seen: Counter[str] = Counter()
    for statement, problem, solution in solved(kind, SLIPS):
        key = claimed(solution.answer)
        answers = []
        for slip in problem.slips(solution):
            given: Any = slip.answer
            assert given != key, (statement, slip)
            assert tuple(sorted(set(given))) == given
            assert in_range(slip.answer, problem, kind), (statement, slip)
            assert not gives_away(plain.blocks(feedback_of(slip)), key), (statement, slip)
            answers.append(slip.answer)
            seen.update(slip.names)
        assert len(set(answers)) == len(answers), statement

    assert set(seen) == set(problem.signature.slips)


def in_range(answer: tuple, problem: Problem, kind: str) -> bool:
    """Least residues, pairs of them, or a number of solutions."""
    if kind == "solution_count":
        return all(n >= 0 for n in answer)
    return all(
        0 <= n < problem.modulus for x in answer for n in (x if isinstance(x, tuple) else (x,))
    )


def gives_away(text: str, key: tuple) -> bool:
    if not key:
        return False
    return (
        prints_pairs(text, key) if isinstance(key[0], tuple) else prints(text, key, ENGLISH.answer)
    )
