"""Slips: the mistakes of the trade give the answers of the trade, and never the key.

The table is the catalogue of student errors, each with a congruence, its solutions and the
wrong answer that the error leads to; every line was computed by hand or by exhaustion before
the code was written.
"""

import re
from functools import cache
from random import Random
from typing import Any

import pytest

from itembank.kinds.base import Problem, Slip
from itembank.kinds.base import slip as slip_of
from itembank.kinds.linear import slips as linear
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.polynomial import slips as polynomial
from itembank.kinds.polynomial.kind import PolynomialCongruence
from itembank.kinds.statement import problem_from
from itembank.kinds.typed import walk
from itembank.languages import say
from itembank.notation import plain
from itembank.notation.building import plain_polynomial
from itembank.notation.prose import paragraph
from itembank.notation.reading import formula
from itembank.notation.tree import Blocks, Formula, Listing, Math, Modulo, Number, Relation
from tests.kinds.congruences import general
from tests.kinds.telling import feedback_of, rendered

CATALOGUE = [
    # linear congruences
    ("6x = 4 mod 10", {4, 9}, "one-representative", {4}),
    ("10x = 5 mod 15", {2, 5, 8, 11, 14}, "modulus-kept", {8}),
    ("9x = 6 mod 15", {4, 9, 14}, "wrong-spacing", {4, 7, 10}),
    ("45x = 15 mod 78", {9, 35, 61}, "uneven-division", {21, 47, 73}),
    ("3x = 2 mod 5", {4}, "integer-quotient", set()),
    ("4x = 3 mod 10", set(), "solvability-untested", {3, 8}),
    ("7x = 1 mod 26", {15}, "inverse-sign", {11}),
    ("3x = 2 mod 11", {8}, "inverse-taken", {4}),
    ("3x = 2 mod 11", {8}, "coefficient-multiplied", {6}),
    ("3x = 2 mod 11", {8}, "coefficient-subtracted", {10}),
    # factoring the modulus
    ("x^2 = 1 mod 91", {1, 27, 64, 90}, "one-pair-only", {1, 90}),
    ("x^2 = 4 mod 25", {2, 23}, "not-lifted", {2, 3}),
    ("x^2 = 1 mod 24", {1, 5, 7, 11, 13, 17, 19, 23}, "factor-dropped", {1, 3, 5, 7}),
    # modulo a prime
    ("x^2 = 2 mod 7", {3, 4}, "needs-a-square-number", set()),
    ("x^2 = 2 mod 7", {3, 4}, "one-square-root", {3}),
    ("x^2 + 3x + 3 = 0 mod 7", {1, 3}, "halved-in-the-integers", {0, 5}),
    ("x^2 + 3x + 3 = 0 mod 7", {1, 3}, "shift-sign", {4, 6}),
    ("2x^2 = 1 mod 7", {2, 5}, "leading-coefficient-ignored", {1, 6}),
    ("(x - 2)(x - 3) = 0 mod 12", {2, 3, 6, 11}, "zero-product-rule", {2, 3}),
    ("x^2 = x mod 10", {0, 1, 5, 6}, "cancelled-x", {1}),
    ("x^2 = 1 mod 8", {1, 3, 5, 7}, "zero-product-rule", {1, 7}),
    ("x^2 = 10 mod 5", {0}, "zero-taken-for-no-root", set()),
    ("3x^2 + 6x + 9 = 0 mod 27", {3, 4, 12, 13, 21, 22}, "modulus-kept", {4, 21}),
    # lifting
    ("x^2 = 14 mod 25", {8, 17}, "not-lifted", {2, 3}),
    ("x^2 = 14 mod 25", {8, 17}, "every-lift-kept", {2, 3, 7, 8, 12, 13, 17, 18, 22, 23}),
    ("x^2 = 14 mod 25", {8, 17}, "lift-sign", {12, 23}),
    ("x^2 = 14 mod 25", {8, 17}, "power-not-brought-down", {7, 13}),
    ("x^2 = 14 mod 25", {8, 17}, "derivative-not-evaluated", {7, 18}),
    ("x^2 + x + 7 = 0 mod 9", {1, 4, 7}, "singular-taken-as-simple", {1}),
    ("x^2 = 0 mod 9", {0, 3, 6}, "singular-discarded", set()),
    (
        "x^4 + 4x^3 + 2x^2 + 2x + 12 = 0 mod 625",
        {43, 123, 168, 248, 293, 373, 418, 498, 543, 623},
        "only-unshifted-tested",
        set(),
    ),
    ("x^2 = 17 mod 32", {7, 9, 23, 25}, "odd-rule-at-two", {7, 25}),
    ("x^2 = 5 mod 8", set(), "tested-modulo-four-only", {1, 3, 5, 7}),
    # combining; (x - 8)^3 has the one root 2 modulo 3 and 3 modulo 5
    ("x^2 = 4 mod 15", {2, 7, 8, 13}, "matched-pairs-only", {7, 8}),
    ("(x - 8)^3 = 0 mod 15", {8}, "residues-added", {5}),
    ("(x - 8)^3 = 0 mod 15", {8}, "inverses-left-out", {4}),
    ("(x - 8)^3 = 0 mod 15", {8}, "weights-swapped", {12}),
    ("x^2 = 2 mod 21", set(), "unsolvable-factor-ignored", {3, 4, 10, 11, 17, 18}),
    ("x^2 + 9x + 5 = 0 mod 117", {7, 20, 88, 101}, "constant-sign", set()),
    ("x^2 + 9x + 5 = 0 mod 117", {7, 20, 88, 101}, "one-square-root", {7, 20}),
    ("x^2 + 9x + 5 = 0 mod 117", {7, 20, 88, 101}, "not-lifted", {10, 20, 46, 101}),
    ("x^2 + 9x + 5 = 0 mod 117", {7, 20, 88, 101}, "lift-sign", {20, 49, 85, 101}),
    ("x^2 + 9x + 5 = 0 mod 117", {7, 20, 88, 101}, "shift-sign", {16, 29, 97, 110}),
    # x(x + 9) = -8: x = -8 or x + 9 = -8; (x + 3)^2 = 5, with 5/2 = 8; (x + 3)^2 = 1
    ("x^2 + 9x + 8 = 0 mod 35", {27, 34}, "product-not-zero", {18, 27}),
    ("x^2 + 6x + 4 = 0 mod 11", {1, 4}, "half-for-the-root", {0, 5}),
    ("x^2 + 6x + 4 = 0 mod 11", {1, 4}, "root-not-taken", {2, 3}),
    ("x^2 + 6x + 8 = 0 mod 11", {7, 9}, "square-not-added", {2, 3}),
    # 2x = 3 modulo 5, and 3 is the inverse of 2
    ("6x = 9 mod 15", {4, 9, 14}, "inverse-taken", {3, 8, 13}),
    ("6x = 9 mod 15", {4, 9, 14}, "right-side-not-divided", {2, 7, 12}),
]


@pytest.mark.parametrize(
    ("statement", "true", "name", "wrong"), CATALOGUE, ids=[f"{c[2]}: {c[0]}" for c in CATALOGUE]
)
def test_each_mistake_of_the_catalogue_gives_its_wrong_answer(
    statement: str, true: set[int], name: str, wrong: set[int]
) -> None:
    problem = general(statement)
    solution = problem.solve()
    m = problem.modulus
    f = problem.f

    assert {x for x in range(m) if sum(c * x**i for i, c in enumerate(f)) % m == 0} == true
    assert set(solution.answer.residues()) == true
    (slip,) = [s for s in problem.slips(solution) if name in s.names]
    assert slip.answer == tuple(sorted(wrong))


def test_every_slip_of_the_two_kinds_stands_in_the_catalogue() -> None:
    named = {name for _statement, _true, name, _wrong in CATALOGUE}

    assert named == {
        *LinearCongruence.signature.slips,
        *PolynomialCongruence.signature.slips,
    }


# ------------------------------------------------------------ over many problems


def drawn_linear(chance: Random) -> str:
    m = chance.randrange(2, 120)
    return f"{chance.randrange(1, m)}x = {chance.randrange(m)} mod {m}"


def drawn_square(chance: Random) -> str:
    m = chance.choice([8, 16, 24, 32, 35, 40, 45, 56, 63, 75, 91, 99])
    return f"x^2 = {chance.randrange(m)} mod {m}"


def drawn_polynomial(chance: Random) -> str:
    p, q = chance.sample([2, 3, 5, 7, 11, 13], 2)
    m = p ** chance.choice([1, 2, 2, 3]) * q ** chance.choice([0, 0, 1, 1, 2])
    degree = chance.choice([2, 2, 2, 2, 3, 3, 4])
    f = [chance.randrange(-12, 13) for _ in range(degree)] + [chance.choice([1, 1, 1, 2, 3, -1])]
    if chance.random() < 0.7:  # a planted root, often a double one
        r = chance.randrange(m)
        f[0] -= sum(c * r**i for i, c in enumerate(f))
        if chance.random() < 0.3:
            f = [r * r + chance.choice([0, m // p, m]), -2 * r, 1]
    if chance.random() < 0.2:
        f = [p * c for c in f]
    letter = chance.choice("xxxtfry")
    right = chance.choice([0, 0, 0, chance.randrange(1, 20)])
    return f"{plain_polynomial(f, letter)} + 0{letter}^2 = {right} mod {m}"


@cache
def drawn(count: int) -> list[tuple[str, Problem, set[int], tuple[Slip, ...]]]:
    chance = Random("slips")
    cases: list[tuple[str, Problem, set[int], tuple[Slip, ...]]] = []
    for i in range(count):
        draw = (drawn_linear, drawn_square, drawn_polynomial, drawn_polynomial)[i % 4]
        statement = draw(chance)
        problem = general(statement)
        solution = problem.solve()
        if solution.answer.count <= 200:
            key = set(solution.answer.residues())
            cases.append((statement, problem, key, problem.slips(solution)))
    return cases


MANY = 1600


def test_the_drawn_problems_are_many_and_most_have_slips() -> None:
    names = {n for _s, _p, _key, slips in drawn(MANY) for slip in slips for n in slip.names}

    assert len(drawn(MANY)) > 1500
    assert sum(len(slips) >= 3 for *_rest, slips in drawn(MANY)) > 600
    assert names == {*LinearCongruence.signature.slips, *PolynomialCongruence.signature.slips}


def test_no_slip_leads_to_the_key_or_to_the_answer_of_another() -> None:
    for statement, problem, key, slips in drawn(MANY):
        answers: list[Any] = [slip.answer for slip in slips]

        assert key not in map(set, answers), statement
        assert len(set(answers)) == len(answers), statement
        for slip, answer in zip(slips, answers, strict=True):
            assert list(answer) == sorted(set(answer)), statement
            assert all(0 <= x < problem.modulus for x in answer), statement
            assert len(slip.names) == len(set(slip.names)) == len(slip.feedback), statement
            assert set(slip.names) <= set(problem.signature.slips)


def test_feedback_is_clean_prose() -> None:
    for statement, _problem, _key, slips in drawn(MANY):
        for slip in slips:
            text = plain.blocks(feedback_of(slip))

            assert not re.search(r"None|[{}$]|  |[−+-] [−-]|(?<!\d)1[a-z]\b|\b0[a-z]\b", text), (
                statement,
                text,
            )
            assert text.strip().endswith((".", "?")), (statement, text)


def test_feedback_never_prints_the_key() -> None:
    """No formula lists all solutions, nor says of one of them that x is congruent to it."""
    for statement, problem, key, slips in drawn(MANY):
        for slip in slips:
            for shown in formulas(feedback_of(slip)):
                assert not gives_away(shown, key, problem), (statement, plain.math(shown))
            if len(key) > 1:
                assert ", ".join(map(str, sorted(key))) not in plain.blocks(feedback_of(slip)), (
                    statement
                )


def formulas(blocks: Blocks) -> list[Math]:
    return [part.math for b in blocks for part in b.content if isinstance(part, Formula)]


def gives_away(shown: Math, key: set[int], problem: Any) -> bool:
    """Whether a formula lists the whole key, or is x ≡ r (mod m) for a solution r."""
    for node in walk(shown):
        if isinstance(node, Listing):
            numbers = {item.value for item in node.items if isinstance(item, Number)}
            if key and key <= numbers:
                return True
        if isinstance(node, Modulo) and node.modulus == Number(problem.modulus):
            inside = node.inside
            if isinstance(inside, Relation) and plain.math(inside.sides[0]) == problem.letter:
                last = inside.sides[-1]
                if isinstance(last, Number) and last.value in key:
                    return True
    return False


def test_a_key_given_away_would_be_seen() -> None:
    problem = general("x^2 + 9x + 5 = 0 mod 117")
    answer = [
        b for b in rendered(problem.worked(problem.solve())) if getattr(b, "lead", "") == "Answer."
    ]

    assert any(gives_away(f, {7, 20, 88, 101}, problem) for f in formulas(tuple(answer)))
    assert gives_away(formula("x ≡ 7 (mod 117)"), {7, 20}, problem)
    assert not gives_away(formula("x ≡ 7 (mod 13)"), {7, 20}, problem)


def test_no_slips_are_carried_through_for_numbers_too_large_for_hand_work() -> None:
    for statement in ("x^2 = 1 mod 10^45 + 1", "7x = 3 mod 10^45 + 1"):
        problem = general(statement)
        assert problem.slips(problem.solve()) == ()


@pytest.mark.parametrize(
    "statement",
    ["x^2 = 1 mod 2^3*3*5*7*11*13*17", "x^2 = 0 mod 3^8", "x^8 = 1 mod 17*41*73*89*97*113*137*193"],
)
def test_slips_with_more_residues_than_an_option_can_show_are_left_out(statement: str) -> None:
    problem = general(statement)

    assert all(len(slip.answer) <= 64 for slip in problem.slips(problem.solve()))


def test_sentences_of_a_feedback_are_one_paragraph_however_they_are_said() -> None:
    one, two = say("One."), say("Two is ${n}$.", n=2)

    assert feedback_of(slip_of("s", [1], one)) == (paragraph("One."),)
    assert feedback_of(slip_of("s", [1], (one, two))) == (paragraph("One. Two is $2$."),)


@pytest.mark.parametrize(
    ("kind", "mistakes"),
    [(LinearCongruence, linear.MISTAKES), (PolynomialCongruence, polynomial.MISTAKES)],
)
def test_a_signature_names_the_slips_of_its_table_in_the_order_of_the_method(kind, mistakes):
    assert kind.signature.slips == tuple(mistakes)


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("x^2 - x + 1 = 0 mod 7", "x ≡ ±u − 3, so 3 is subtracted, not added."),
        ("x^2 + x + 1 = 0 mod 7", "x ≡ ±u + 3, so 3 is added, not subtracted."),
    ],
)
def test_a_shift_to_the_left_is_told_without_its_sign(statement, said):
    problem = problem_from([statement])
    (found,) = (s for s in problem.slips(problem.solve()) if "shift-sign" in s.names)

    assert said in plain.blocks(feedback_of(found)).replace("\n", " ")
