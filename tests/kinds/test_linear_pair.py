"""Two linear congruences in two unknowns: every pair, the slips of the trade, clear messages."""

import re
from random import Random

import pytest

from itembank.kinds.linear_pair.kind import KINDS, LinearPair
from itembank.kinds.linear_pair.steps import Rows
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.values.answer import Pairs
from itembank.values.errors import StatementError
from tests.kinds.telling import feedback_of, rendered


def rows_drawn(chance: Random, m: int) -> Rows:
    """Coefficients of any size and sign, zeros and multiples of a divisor among them."""
    d = chance.choice([1, 1, 1, 2, 3, 0])

    def row() -> tuple[int, int, int]:
        a, b = (chance.randrange(-2, m + 3) * chance.choice([d, 1]) for _ in "ab")
        return a, b, chance.randrange(-2, m + 3) * chance.choice([1, d])

    return row(), row()


def pairs_by_exhaustion(rows: Rows, m: int) -> tuple[tuple[int, int], ...]:
    return tuple(
        (x, y)
        for x in range(m)
        for y in range(m)
        if all((a * x + b * y - c) % m == 0 for a, b, c in rows)
    )


def test_all_pairs_are_found_that_exhaustion_finds() -> None:
    chance = Random("pairs")
    for _ in range(3_000):
        m = chance.choice([chance.randrange(1, 25), 4, 6, 8, 9, 12, 16])
        rows = rows_drawn(chance, m)
        problem = LinearPair(rows=rows, modulus=m)
        solution = problem.solve()

        assert solution.answer == Pairs(m, pairs_by_exhaustion(rows, m)), (rows, m)
        assert problem_from(problem.statement) == problem, problem.statement
        assert "Answer." in plain.blocks(rendered(problem.worked(solution)))


def test_what_is_put_into_the_other_congruence_was_said_before() -> None:
    chance, seen = Random("put in"), 0
    for _ in range(1_500):
        m = chance.choice([4, 6, 8, 9, 12, 16, 31])
        problem = LinearPair(rows=rows_drawn(chance, m), modulus=m)
        text = " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())
        for part in text.split("can be expressed by ")[1:]:
            before, after = part.split("One unknown left. ")
            put_in = re.match(r"[^.]* (?:becomes|gives) \d+\((.*?)\)", after)
            if put_in is None:
                continue
            assert re.search(rf"[≡=] {re.escape(put_in[1])} \(mod", before), text
            seen += 1
    assert seen > 100


def test_a_coefficient_moved_to_the_other_side_is_reduced_in_so_many_words() -> None:
    problem = problem_from(["2x + 4y = 2 mod 8", "6x + 4y = 2 mod 8"])

    text = " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())

    assert "x ≡ 1 − 2y (mod 4)." in text
    assert "the left side becomes 3(1 − 2y) + 2y = 3 − 4y. There y drops out" in text
    problem = problem_from(["x + 7y = 2 mod 8", "6x + 4y = 2 mod 8"])
    text = " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())
    assert "x ≡ 2 − 7y ≡ 2 + y (mod 8)." in text
    assert "this gives 6(2 + y) + 4y = 12 + 10y ≡ 2 (mod 8)" in text


@pytest.mark.parametrize("m", [2**89 - 1, 10**40 + 121, 3 * 10**39, 6**40])
def test_large_moduli_with_a_unit_for_determinant_are_solved_and_told(m: int) -> None:
    problem = problem_from([f"9x + 2y = 3 mod {m}", f"x + y = {m // 7} mod {m}"])
    solution = problem.solve()
    ((x, y),) = solution.answer.pairs

    assert (9 * x + 2 * y - 3) % m == 0 and (x + y - m // 7) % m == 0
    assert "the only solution" in " ".join(plain.blocks(rendered(problem.worked(solution))).split())


def test_more_pairs_than_can_be_listed_are_refused_with_their_number() -> None:
    with pytest.raises(StatementError) as caught:
        problem_from(["x + y = 1 mod 100000", "2x + 2y = 2 mod 100000"]).solve()

    assert str(caught.value) == (
        "x + y = 1 mod 100000; 2x + 2y = 2 mod 100000: there are 100000 solutions, "
        "more than the 10000 that are listed"
    )


# ------------------------------------------------------------ the method


@pytest.mark.parametrize(
    ("lines", "steps"),
    [
        (("2x + 3y = 5 mod 7", "x + 6y = 1 mod 7"), ["determinant", "eliminate", "eliminate"]),
        (
            ("2x + 3y = 5 mod 7", "x - y = 1 mod 7"),
            ["reduce", "determinant", "eliminate", "eliminate"],
        ),
        (
            ("x + 3y = 5 mod 6", "2x + 4y = 2 mod 6"),
            ["determinant", "express one unknown", "one unknown left"],
        ),
        (
            ("2x = 4 mod 7", "x + y = 1 mod 7"),
            ["determinant", "express one unknown", "one unknown left"],
        ),
        (
            ("2x + 4y = 2 mod 8", "4x + 2y = 4 mod 8"),
            ["determinant", "divide out p", "determinant", "eliminate", "eliminate", "spread"],
        ),
        (
            ("2x + 4y = 2 mod 6", "4x + 2y = 4 mod 6"),
            [
                "determinant",
                "split the modulus",
                "one prime power",
                "divide out p",
                "spread",
                "one prime power",
                "determinant",
                "express one unknown",
                "one unknown left",
                "combine",
            ],
        ),
    ],
)
def test_each_case_is_worked_by_the_method_taught_for_it(
    lines: tuple[str, ...], steps: list[str]
) -> None:
    taken = [step.name for step in problem_from(lines).solve().steps]

    assert [name for name in taken if name not in ("answer", "check")] == steps


def test_the_board_reads_as_a_teacher_would_write_it() -> None:
    problem = problem_from(["2u + 3v = 5 mod 7", "u + 6v = 1 mod 7"])

    assert " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split()) == (
        "Determinant. The determinant is 2 · 6 − 1 · 3 = 9 ≡ 2. gcd(2, 7) = 1, so there is "
        "exactly one solution modulo 7. Eliminate the second unknown. Multiply the first "
        "congruence by 2 and subtract the second: 4u + 6v ≡ 10 (mod 7) u + 6v ≡ 1 (mod 7) 3u ≡ 9 "
        "(mod 7) Divide both sides by 3, which has no common factor with 7: u ≡ 3 (mod 7). "
        "Eliminate the first unknown. Multiply the second "
        "congruence by 2 and subtract the first: 2u + 12v ≡ 2 (mod 7) 2u + 3v ≡ 5 (mod 7) 9v ≡ −3 "
        "(mod 7) With least residues that is 2v ≡ 4 (mod 7). Divide both sides by 2, which has no "
        "common factor with 7: v ≡ 2 (mod 7). Answer. u ≡ 3 and v ≡ 2 (mod 7), the only "
        "solution. Check. 2 · 3 + 3 · "
        "2 = 12 ≡ 5 and 3 + 6 · 2 = 15 ≡ 1 (mod 7)."
    )


# ------------------------------------------------------------ statements


@pytest.mark.parametrize(
    ("typed", "rows", "letters"),
    [
        (("2x + 3y = 5 mod 7", "x - y = 1 mod 7"), ((2, 3, 5), (1, -1, 1)), ("x", "y")),
        (("2x = 5 - 3y mod 7", "x = y + 1 (mod 7)"), ((2, 3, 5), (1, -1, 1)), ("x", "y")),
        (("2(v + 1) + 3u = 0 mod 7", "u*4 ≡ 1 mod 7"), ((3, 2, -2), (4, 0, 1)), ("u", "v")),
        (("x = 2 mod 7", "y = 3 mod 7"), ((1, 0, 2), (0, 1, 3)), ("x", "y")),
    ],
)
def test_two_lines_in_two_letters_are_read(
    typed: tuple[str, str], rows: Rows, letters: tuple[str, str]
) -> None:
    assert problem_from(typed) == LinearPair(rows=rows, modulus=7, letters=letters)


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        (
            ("x + y = 1 mod 7", "x - y = 1 mod 9"),
            "'x - y = 1 mod 9': expected the modulus 7 of the first congruence, got 9; two "
            "unknowns are solved under one modulus, one under several",
        ),
        (
            ("xy = 1 mod 7", "x - y = 1 mod 7"),
            "'xy = 1 mod 7': expected a linear congruence in two unknowns, found xy",
        ),
        (
            ("x^2 + y = 1 mod 7", "x - y = 1 mod 7"),
            "'x^2 + y = 1 mod 7': expected a linear congruence in two unknowns, found x²",
        ),
        (
            ("x + y = 1", "x - y = 1 mod 7"),
            "'x + y = 1': expected a congruence with a modulus, such as x + y = 2 mod 7",
        ),
    ],
)
def test_a_mistake_in_a_statement_is_one_clear_line(lines: tuple[str, ...], message: str) -> None:
    with pytest.raises(StatementError) as caught:
        problem_from(lines)

    assert str(caught.value) == message


def test_a_row_of_a_family_has_three_integers() -> None:
    with pytest.raises(StatementError) as caught:
        LinearPair.from_given({"first": (1, 2), "second": (1, 2, 3), "modulus": 7})

    assert str(caught.value) == (
        "given.first: expected three integers [a, b, c] for ax + by = c, got (1, 2)"
    )


def test_disguises_are_the_same_problem() -> None:
    first = problem_from(["2x + 3y = 5 mod 7", "x + 6y = 1 mod 7"])
    for lines in (
        ("x + 6y = 1 mod 7", "2x + 3y = 5 mod 7"),
        ("6x + 2y = 1 mod 7", "x + 6y = 1 mod 7"),
        ("3u + 2v = 5 mod 7", "6u + v = 1 mod 7"),
    ):
        assert problem_from(lines).canonical == first.canonical
    assert problem_from(["2x + 3y = 5 mod 7", "x + 6y = 2 mod 7"]).canonical != first.canonical


# ------------------------------------------------------------ slips

ONE = ("2x + 3y = 5 mod 7", "x + 6y = 1 mod 7")
SEVERAL = ("x + 2y = 1 mod 6", "3x + 3y = 3 mod 6")
NONE = ("x + 2y = 1 mod 6", "2x + y = 4 mod 6")
CATALOGUE = [
    (ONE, {(3, 2)}, "right-side-not-multiplied", {(2, 5)}),
    (ONE, {(3, 2)}, "right-sides-added", {(6, 0)}),
    (ONE, {(3, 2)}, "determinant-not-divided", {(6, 4)}),
    (ONE, {(3, 2)}, "determinant-sign", {(4, 5)}),
    (ONE, {(3, 2)}, "determinant-added", {(6, 4)}),
    (ONE, {(3, 2)}, "back-substituted-with-the-wrong-sign", {(3, 6)}),
    (ONE, {(3, 2)}, "unknowns-exchanged", {(2, 3)}),
    (SEVERAL, {(1, 0), (3, 2), (5, 4)}, "no-inverse-so-none", set()),
    (SEVERAL, {(1, 0), (3, 2), (5, 4)}, "one-pair-only", {(1, 0)}),
    (
        SEVERAL,
        {(1, 0), (3, 2), (5, 4)},
        "values-paired-freely",
        {(x, y) for x in (1, 3, 5) for y in (0, 2, 4)},
    ),
    (SEVERAL, {(1, 0), (3, 2), (5, 4)}, "modulus-not-divided", None),
    (NONE, set(), "solvability-untested", None),
    (
        ONE,
        {(3, 2)},
        "first-congruence-only",
        {(0, 4), (1, 1), (2, 5), (3, 2), (4, 6), (5, 3), (6, 0)},
    ),
]
"""System, key, slip, and the wrong answer, worked out by hand (None: only that it is made)."""


@pytest.mark.parametrize(
    ("lines", "true", "name", "wrong"),
    CATALOGUE,
    ids=[f"{c[2]}: {'; '.join(c[0])}" for c in CATALOGUE],
)
def test_each_mistake_of_the_catalogue_gives_its_wrong_answer(
    lines: tuple[str, ...], true: set, name: str, wrong: set | None
) -> None:
    problem = problem_from(lines)
    solution = problem.solve()

    assert set(solution.answer.pairs) == true
    (slip,) = [s for s in problem.slips(solution) if name in s.names]
    assert wrong is None or set(slip.answer) == wrong


def test_every_slip_of_the_kind_stands_in_the_catalogue() -> None:
    assert {c[2] for c in CATALOGUE} == set(LinearPair.signature.slips)


# ------------------------------------------------------------ what is said


def worked_text(*lines: str) -> str:
    problem = problem_from(lines)
    return " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())


@pytest.mark.parametrize(
    ("rows", "second", "first"),
    [
        (
            ("x + y = 1", "x + y + y = 2"),
            "Multiply the first congruence by 2 and subtract the second:",
            "Subtract the first congruence from the second:",
        ),
        (
            ("x + 3y = 1", "2x + y = 2"),
            "Multiply the second congruence by 3 and subtract it from the first:",
            "Multiply the first congruence by 2 and subtract it from the second:",
        ),
        (
            ("2x + y = 1", "x + y = 2"),
            "Subtract the second congruence from the first:",
            "Multiply the second congruence by 2 and subtract the first:",
        ),
        (
            ("2x + 3y = 1", "5x + 2y = 2"),
            "Multiply the first congruence by 2 and the second by 3, and subtract:",
            "Multiply the second congruence by 2 and the first by 5, and subtract:",
        ),
    ],
)
def test_what_is_multiplied_and_subtracted_is_said_without_a_factor_one(
    rows: tuple[str, str], second: str, first: str
) -> None:
    told = worked_text(*(f"{row} mod 101" for row in rows))

    assert f"Eliminate the second unknown. {second}" in told
    assert f"Eliminate the first unknown. {first}" in told


def test_a_number_is_multiplied_with_a_dot_and_a_sum_with_brackets() -> None:
    assert "so x ≡ −2 · 1 = −2 (mod 7)." in worked_text("3x = 1 mod 7", "2y = 5 mod 7")
    assert "so x ≡ 3(2 − 3y) = 6 − 9y ≡ −2 − y (mod 8)." in worked_text(
        "3x + 3y = 2 mod 8", "4x = 0 mod 8"
    )


def test_everything_is_told_in_the_unknowns_of_the_problem() -> None:
    problem = problem_from(["2u + 3v = 1 mod 12", "4u + 9v = 5 mod 12"])
    solution = problem.solve()
    told = plain.blocks(rendered(problem.worked(solution)))
    told += "".join(plain.blocks(feedback_of(slip)) for slip in problem.slips(solution))

    assert "u" in told and "v" in told
    assert not re.search(r"\b\d*[xy]\b", told)


def test_feedback_puts_the_wrong_pair_into_a_congruence_that_it_does_not_satisfy() -> None:
    """By hand: D = 2 · 6 - 1 · 3 = 2, divided by -2 the pair is (4, 5): 2 · 4 + 3 · 5 = 23."""
    problem = problem_from(["2x + 3y = 5 mod 7", "x - y = 1 mod 7"])
    slips = {name: slip for slip in problem.slips(problem.solve()) for name in slip.names}
    slip = slips["determinant-sign"]

    assert slip.answer == ((4, 5),)
    assert " ".join(plain.blocks(feedback_of(slip)).split()) == (
        "Check the sign of the determinant: it is 2 · 6 − 1 · 3. "
        "Put (4, 5) into the first congruence: the left side leaves 2 modulo 7, not 5."
    )


@pytest.mark.parametrize("sample", KINDS[0].samples)
def test_the_record_reads_its_samples_as_the_house_does(sample: str) -> None:
    lines = sample.split("; ")

    assert KINDS[0].read(lines) == problem_from(lines)


def test_a_reviewer_sees_each_pair_put_into_both_congruences() -> None:
    """By hand: 2 · 3 + 3 · 2 - 5 = 7, 3 - 2 - 1 = 0."""
    problem = problem_from(["2x + 3y = 5 mod 7", "x - y = 1 mod 7"])
    certificate = KINDS[0].certificate(problem, problem.solve().answer)

    told = " ".join(plain.blocks(rendered(certificate)).split())
    assert told.startswith("Substituted. Left side minus right side, a multiple of 7. pair")
    assert told.endswith("(3, 2) 7 = 1 · 7 0 = 0 · 7")


def test_a_reviewer_sees_nothing_put_in_where_there_is_no_pair() -> None:
    problem = problem_from(["x + y = 1 mod 5", "x + y = 2 mod 5"])

    assert not rendered(KINDS[0].certificate(problem, problem.solve().answer))
