"""Worked solutions read as a student reads them: clean sentences, and every number right.

The numbers are checked by the reader of `board`, which shares nothing with the solver.
"""

import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from math import prod
from random import Random

import pytest

from itembank.kinds.base import Problem, Solution
from itembank.kinds.polynomial.steps import RootsModPrime
from itembank.notation import plain
from itembank.notation.building import plain_polynomial
from itembank.notation.prose import paragraph, table
from itembank.notation.reading import formula, formula_in_prose
from itembank.notation.tree import (
    Block,
    Blocks,
    Call,
    Display,
    Formula,
    Letter,
    Modulo,
    Number,
    Paragraph,
    Relation,
    Table,
)
from tests.kinds import prose
from tests.kinds.board import Reader, read_board
from tests.kinds.congruences import general
from tests.kinds.prose import lines
from tests.kinds.telling import feedback_of, rendered

# ------------------------------------------------------------ many problems


def statements(count: int) -> list[str]:
    """All methods, all ways of lifting, one to four primes, both kinds, several letters."""
    chance = Random("worked solutions")
    primes = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 101, 10007, 10**10 + 19]
    found = []
    for i in range(count):
        letter = chance.choice("xxxxxtrfyakn")
        if i % 5 == 0:
            m = chance.choice([chance.randrange(1, 60), chance.randrange(60, 10**4), 10**12 + 39])
            d = chance.choice([1, 1, 2, 3, 10])
            left, right = ([d * chance.randrange(-m, m + 1) for _ in range(2)] for _ in "lr")
            m *= d
            found.append(stated(left, right, letter, str(m)))
            continue
        powers = [
            (p, chance.choice([1, 1, 2, 2, 3, 4, 6] if p < 20 else [1, 1, 2, 5]))
            for p in chance.sample(primes, chance.choice([1, 1, 2, 2, 3, 4]))
        ]
        m = prod(p**k for p, k in powers)
        f = [chance.randrange(-12, 13) for _ in range(chance.choice([2, 2, 2, 3, 3, 4]))]
        f.append(chance.choice([1, 1, 1, 2, 3, -1]))
        kind = chance.random()
        if kind < 0.4:  # a planted root, so that the other prime powers are reached
            r = chance.randrange(min(m, 40))
            f[0] -= sum(c * r**j for j, c in enumerate(f))
        elif kind < 0.6:  # a double root, exact or nearly
            r, near = chance.randrange(30), chance.choice([0, m, m // powers[0][0], 1])
            f = [r * r + near, -2 * r, 1]
        elif kind < 0.7:  # factors over the integers
            u, v = chance.randrange(-9, 10), chance.randrange(-9, 10)
            f = [u * v, -u - v, 1]
        if chance.random() < 0.15:
            f = [powers[0][0] * c for c in f]
        right = [chance.randrange(-9, 10) for _ in range(chance.choice([0, 0, 1, 2]))]
        found.append(stated(f, right, letter, "*".join(f"{p}^{k}" for p, k in powers)))
    return found


def stated(left: list[int], right: list[int], letter: str, modulus: str) -> str:
    sides = plain_polynomial(left, letter), plain_polynomial(right, letter)
    return f"{sides[0]} + 0{letter} = {sides[1]} mod {modulus}"


SPECIAL = [
    "x^2 + 9x + 5 = 0 mod 117",
    "x^3 + 3x + 5 = 0 mod 27",
    "x^2 = 0 mod 3^40",
    "x^4 = 1 mod 2^60",
    "x^3 = x^2 mod 3^40*5",
    "x^2 = 49 mod 7^5*4",
    "x^2 = 1 mod 2*3*5*7*11*13",
    "x^8 = 1 mod 17*41*73",
    "x^5 = 3x + 7 mod 1000003",
    "x^3 = 2 mod (10^10 + 19)^3",
    "(x - 1)^8 = 0 mod 2^50*3^30",
    "4x^2 = 4 mod 16*9",
    "49x^2 + 7x = 0 mod 7^3*5",
    "x^2 = x^2 mod 30",
    "9x^2 = 0 mod 9",
    "x^2 + 5 = x^2 mod 9",
    "x^2 = 0 mod 1",
    "6x = 4 mod 10",
    "6x = 3 mod 10",
    "0x = 3 mod 5",
    "0x = 0 mod 50",
    "31x = 5 mod 77",
    "30x = 60 mod 1200",
    "7x = 3 mod (10^10 + 19)^60",
    "x^2 = 3 mod 10^10 + 19",
]


@cache
def solved() -> list[tuple[str, Problem, Solution]]:
    cases = [(s, general(s)) for s in (*SPECIAL, *statements(700))]
    return [(s, p, p.solve()) for s, p in cases]


@cache
def worked() -> list[tuple[str, Problem, Solution, Blocks]]:
    return [(s, p, solution, rendered(p.worked(solution))) for s, p, solution in solved()]


def test_the_problems_here_use_every_step_and_every_method() -> None:
    steps = Counter(type(step).__name__ for *_case, solution in solved() for step in solution.steps)
    methods = Counter(
        type(step.method).__name__
        for *_case, solution in solved()
        for step in solution.steps
        if isinstance(step, RootsModPrime)
    )

    for name in ("DivideOut", "LevelLift", "ChainLift", "TreeLift", "Combine", "PairOff"):
        assert steps[name] > 25, (name, steps)
    for name in ("Collect", "Divide", "Isolate", "Spread"):
        assert steps[name] > 15, (name, steps)
    for name in ("Constant", "Trial", "Isolate", "ZeroProduct", "Square", "Splitting"):
        assert methods[name] > 8, (name, methods)


# ------------------------------------------------------------ clean sentences

UNCLEAN = {
    **prose.UNCLEAN,
    "an exponent 1": r"[a-z)]¹(?![⁰¹²³⁴⁵⁶⁷⁸⁹])",
    "a field not filled in": r"[{}]|\bNone\b(?! of)",
    "a space before a stop": r" [.,;:?](?!\.)",
    "two stops": r"\.\.|,,|:\.|\.,|\?\.",
}


@cache
def told() -> list[tuple[str, str]]:
    """The lines of all worked solutions, each with its problem."""
    return [(s, line) for s, _problem, _solution, blocks in worked() for line in lines(blocks)]


@pytest.mark.parametrize("fault", UNCLEAN)
def test_no_line_holds(fault: str) -> None:
    for statement, line in told():
        assert not re.search(UNCLEAN[fault], line), (statement, line)


def test_paragraphs_are_sentences() -> None:
    """They begin with a capital, a number or a formula, and end in a stop or lead on."""
    for statement, _problem, _solution, blocks in worked():
        for block, following in zip(blocks, (*blocks[1:], None), strict=True):
            if isinstance(block, Paragraph):
                text = plain.inlines(block.content)
                leads_on = isinstance(following, Display | Table)
                assert text.endswith(".") or leads_on, (statement, text)
                assert not text[0].islower() or isinstance(block.content[0], Formula)
                assert not block.lead or block.lead.endswith("."), (statement, block.lead)


# ------------------------------------------------------------ from numbers to formulas


def test_no_number_goes_through_text_on_its_way_to_the_board() -> None:
    formula.cache_clear()
    formula_in_prose.cache_clear()
    for _statement, problem, solution in solved():
        if problem.kind == "polynomial":
            rendered(problem.worked(solution))
            for slip in problem.slips(solution):
                feedback_of(slip)

    assert formula.cache_info().misses == formula_in_prose.cache_info().misses == 0


# ------------------------------------------------------------ letters


@pytest.mark.parametrize("letter", "abcdefghijklmnopqrstuvwyzMN")
def test_no_letter_means_two_things(letter: str) -> None:
    """What is written with another unknown is what is written with x, letters exchanged."""
    for text in ("{0}^2 + {0} = 2 mod 49*3", "7{0}^3 = 7 mod 7^3*5^6*2*3", "6{0} = 4 mod 100"):
        in_x = general(text.format("x"))
        in_letter = general(text.format(letter))
        for mine, theirs in (
            (rendered(in_letter.worked(in_letter.solve())), rendered(in_x.worked(in_x.solve()))),
            (feedback(in_letter), feedback(in_x)),
        ):
            pairs = set(zip(letters_in(theirs), letters_in(mine), strict=True))
            assert dict(pairs).get("x", letter) == letter
            assert len(pairs) == len(dict(pairs)) == len({new for _old, new in pairs}), pairs
            assert functions_in(mine) <= {*"fghGHF", "gcd"}


def feedback(problem: Problem) -> Blocks:
    return tuple(b for slip in problem.slips(problem.solve()) for b in feedback_of(slip))


def functions_in(node: object) -> set[str]:
    """The names that stand before a bracket."""
    if isinstance(node, Call):
        return {node.function.name} | functions_in(node.arguments)
    if isinstance(node, tuple):
        return {name for part in node for name in functions_in(part)}
    if hasattr(node, "__dataclass_fields__"):
        return {n for f in node.__dataclass_fields__ for n in functions_in(getattr(node, f))}
    return set()


def letters_in(node: object) -> list[str]:
    """The letters of all formulas, in order."""
    if isinstance(node, Letter):
        return [node.name]
    if isinstance(node, tuple):
        return [name for part in node for name in letters_in(part)]
    if hasattr(node, "__dataclass_fields__"):
        return [n for field in node.__dataclass_fields__ for n in letters_in(getattr(node, field))]
    return []


# ------------------------------------------------------------ the answer


def test_the_answer_names_every_solution_or_the_classes_that_hold_them() -> None:
    for statement, problem, solution, blocks in worked():
        answer = solution.answer
        told = told_under("Answer.", blocks)
        numbers = [n.value for n in integers_in(told)]
        if not answer:
            (*_before, last) = told[-1].content
            assert last.endswith("The congruence has no solutions."), statement
        elif answer.count <= 24 and answer.count < problem.modulus:
            assert set(answer.residues()) <= set(numbers), (statement, numbers)
        elif answer.class_count <= 24 and answer.count < problem.modulus:
            assert {r for r, _d in answer.classes()} <= set(numbers), (statement, numbers)
        else:
            assert str(answer.count) in plain.blocks(told) or answer.count <= 10, statement


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("x^3 + 4x^2 = 0 mod 9", "x ≡ 0 (mod 3) or x ≡ 5 (mod 9), that is x ≡ 0, 3, 5, 6 (mod 9):"),
        ("(x - 1)^2 (x - 4) = 0 mod 729", "x ≡ 1 (mod 27) or x ≡ 4 (mod 81): 729/27 + 729/81 = 36"),
        (
            "(x - 1)(x - 4)^2(x - 5) = 0 mod 72",
            "make up x ≡ 1 (mod 12). 4, 16, 28 (mod 36) make up x ≡ 4 (mod 12). Answer. "
            "x ≡ 1, 4 (mod 12) or x ≡ 5, 32 (mod 36), that is",
        ),
    ],
)
def test_disjoint_classes_are_told_one_or_the_other(statement: str, told: str) -> None:
    problem = general(statement)

    text = " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())

    assert told in text
    assert not re.search(r"\(mod \d+\) and x ≡ \d", text)


def told_under(heading: str, blocks: Blocks) -> Blocks:
    """The blocks from this heading to the next; () if it does not stand there."""
    start = next((i for i, b in enumerate(blocks) if getattr(b, "lead", "") == heading), None)
    if start is None:
        return ()
    rest = blocks[start + 1 :]
    end = next((i for i, b in enumerate(rest) if getattr(b, "lead", "")), len(rest))
    return blocks[start : start + 1 + end]


def integers_in(node: object) -> Iterator[Number]:
    if isinstance(node, Number):
        yield node
    elif isinstance(node, tuple):
        for part in node:
            yield from integers_in(part)
    elif hasattr(node, "__dataclass_fields__"):
        for name in node.__dataclass_fields__:
            yield from integers_in(getattr(node, name))


# ------------------------------------------------------------ every number on the board


def test_every_number_on_the_board_is_right() -> None:
    checked: Counter[str] = Counter()
    for statement, problem, _solution, blocks in worked():
        try:
            checked += read_board(problem, blocks)
        except AssertionError as e:
            raise AssertionError(f"{statement}: {e}") from e

    assert min(checked.values()) > 10, checked
    assert {kind for kind, n in checked.items() if n > 100} == {
        "cells",
        "combinations",
        "conditions modulo a prime",
        "conditions on t",
        "congruences between numbers",
        "equalities between numbers",
        "identities between polynomials",
        "inverses",
        "lifted roots",
        "multipliers",
        "residues that solve",
        "rows of Euclid",
        "values of f in sentences",
        "values of f in tables",
    }, checked


def test_a_table_of_combinations_without_a_word_on_more_holds_every_solution() -> None:
    complete = 0
    for statement, problem, solution, blocks in worked():
        told = told_under("Combine.", blocks)
        text = "".join(plain.inlines(b.content) for b in told if isinstance(b, Paragraph))
        if not told or "the first of them" in text or solution.answer.count > 10_000:
            continue
        if isinstance(told[-1], Table):
            shown = set(residues_shown(told[-1], told[-2], problem.modulus))
            assert shown == set(solution.answer.residues()), statement
            complete += 1
    assert complete > 60


def residues_shown(table: Table, rule: Block, m: int) -> Iterator[int]:
    """The residues modulo m that the cells of a table of combinations stand for."""
    assert isinstance(rule, Paragraph)
    (*_others, last) = [p.math for p in rule.content if isinstance(p, Formula)]
    assert isinstance(last, Modulo)
    for row in table.rows:
        for cell in row[1:] if table.row_heads else row[-1:]:
            (shown,) = [p.math for p in cell if isinstance(p, Formula)]
            d = Reader.number_of((shown if isinstance(shown, Modulo) else last).modulus)
            inside = shown.inside if isinstance(shown, Modulo) else shown
            r = inside.sides[-1] if isinstance(inside, Relation) else inside
            yield from range(r.value, m, int(d))


@pytest.mark.parametrize(
    "wrong",
    [
        (paragraph("$5^2 = 25 ≡ 11 (mod 13)$."),),
        (paragraph("$5^2 = 24$."),),
        (paragraph("Half of 9 is $9 · 7 = 63 ≡ 12$.", "Modulo 13."),),
        (paragraph("Write $f(x) = x^2 + 9x + 5$. $f(7) = 118$."),),
        (paragraph("Write $f(x) = x^2 + 9x + 5$. The derivative is $f'(x) = 2x + 8$."),),
        (paragraph("Write $f(x) = x^2 + 9x + 5$. $f(x) ≡ x^2 + 1 (mod 3)$."),),
        (paragraph("$(x + 11)^2 = x^2 + 22x + 121 ≡ x^2 + 9x + 5$.", "Modulo 13."),),
        (paragraph("That is $(x + 11)^2 ≡ 11 (mod 13)$."),),
        (paragraph("The roots are $x ≡ 7, 11 (mod 13)$."),),
        (paragraph("The number $91 = 7 · 13$ is 1 modulo 9 and 0 modulo 17."),),
        (
            paragraph("Write $f(x) = x^2 + 9x + 5$. Lift to modulo 9."),
            table(["$r$", "$f(r)$"], [["$1$", "$16$"]]),
        ),
        (
            paragraph("Write $f(x) = x^2 + 9x + 5$.", "Modulo 13."),
            table(["$x$", "$0$", "$1$"], [["$f(x)$", "$5$", "$3$"]], row_heads=True),
        ),
        (
            paragraph("Lift to modulo 9."),
            table(
                ["$r$", "condition on $t$, modulo 3", "$t$", "roots"],
                [["$1$", "$2 + 2t ≡ 0$", "$1$", "$7$"]],
            ),
        ),
        (
            paragraph("$x ≡ 91a + 27b (mod 117)$."),
            table(["", "$b = 7$"], [["$a = 2$", "$182 + 189 = 371 ≡ 21$"]], row_heads=True),
        ),
        (
            paragraph("$x ≡ 91a + 27b (mod 117)$."),
            table(["$a$", "$b$", "$91a + 27b$"], [["$2$", "$7$", "$372$"]]),
        ),
    ],
)
def test_a_wrong_number_on_the_board_would_be_seen(wrong: Blocks) -> None:
    with pytest.raises(AssertionError):
        read_board(general("x^2 + 9x + 5 = 0 mod 117"), wrong)
