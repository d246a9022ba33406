"""Solutions by the methods of a course: the same answers, told the taught way."""

from itertools import product

import pytest

from itembank.kinds.base import Taught, solution_to, taught, worked_for
from itembank.kinds.statement import problem_from
from itembank.kinds.table import KINDS
from itembank.values.course import COMBINE, INVERSE, LIFT, ROOTS, Methods
from tests.kinds.messages import text

EACH = (
    *(Methods(combine=way) for way in COMBINE),
    *(Methods(roots=way) for way in ROOTS),
    *(Methods(inverse=way) for way in INVERSE),
    *(Methods(lift=way) for way in LIFT),
    Methods("substitution", "complete the square", "Euclid backwards", "substitute"),
    Methods("substitution", "trial", "inspection", "substitute"),
)

USUAL = (
    Methods(combine="coefficients"),
    Methods(roots="factor first"),
    Methods(lift="formula"),
)


def told(lines: str | tuple[str, ...], methods: Methods, ask: str = "all solutions") -> str:
    problem = problem_from((lines,) if isinstance(lines, str) else lines)
    return text(worked_for(problem, taught(problem, problem.solve(), methods), ask))


STATEMENTS = [sample for kind in KINDS.values() for sample in kind.samples]


@pytest.mark.parametrize("statement", STATEMENTS)
def test_every_method_finds_the_answer_that_was_proved(statement):
    lines = tuple(statement.split("; "))
    problem = problem_from(lines)
    solution = problem.solve()
    for methods, ask in product(EACH, problem.signature.asks):
        found = taught(problem, solution, methods)  # raises where an answer differs
        assert found.answer == solution.answer
        assert text(worked_for(problem, found, ask))
        assert solution_to(problem, ask, found).effort >= 0
        if not isinstance(problem, Taught):
            assert found is solution


@pytest.mark.parametrize("methods", USUAL)
@pytest.mark.parametrize(
    "lines", ["x^2 + 9x + 5 = 0 mod 117", "x^2 + 3x + 8 = 0 mod 36", "x^2 = 1 mod 360"]
)
def test_what_is_usual_is_told_as_it_is_without_a_course(lines, methods):
    assert told(lines, methods) == told(lines, Methods())


@pytest.mark.parametrize(
    ("methods", "lines", "said"),
    [
        (
            Methods(inverse="inspection"),
            "inverse of 7 mod 26",
            "Inspection. The numbers that are congruent to 1 modulo 26 are 1, 27, 53, 79, 105, "
            "...; the first of them that 7 divides is 105 = 7 · 15. "
            "Answer. The inverse of 7 modulo 26 is 15.",
        ),
        (
            Methods(inverse="table"),
            "inverse of 7 mod 26",
            "Coefficients. Carry along the number u for which each remainder is congruent to "
            "7u (mod 26).",
        ),
        (
            Methods(inverse="Euclid backwards"),
            "inverse of 34 mod 55",
            "1 = 3 − 2 = 3 − (5 − 3) = 2 · 3 − 5 = 2(8 − 5) − 5 = 2 · 8 − 3 · 5",
        ),
        (
            Methods(inverse="Euclid backwards"),
            "17x = 5 mod 101",
            "Backwards, each remainder replaced by what its row says: "
            "1 = 17 − 16 = 17 − (101 − 5 · 17) = 6 · 17 − 101 "
            "17 · 6 = 102 ≡ 1 (mod 101), so the inverse of 17 is 6.",
        ),
        (
            Methods(combine="substitution"),
            ("x = 2 mod 9", "x = 5 mod 13"),
            "Substitute. The first congruence says that x = 2 + 9t for an integer t. "
            "Put into x ≡ 5 (mod 13) this is 2 + 9t ≡ 5, that is 9t ≡ 3 (mod 13).",
        ),
        (
            Methods(combine="substitution"),
            "x^2 + 9x + 5 = 0 mod 117",
            "A root modulo 9 is x = r + 9t for an integer t. Put into x ≡ a (mod 13) this is "
            "9t ≡ a − r (mod 13). Multiply by 3: as 9 · 3 = 27 ≡ 1 (mod 13), "
            "t ≡ 3(a − r) (mod 13). r a t modulo 13 r + 9t, modulo 117 "
            "2 7 3 · (7 − 2) = 15 ≡ 2 2 + 9 · 2 = 20",
        ),
        (
            Methods(lift="substitute"),
            "x^2 + 9x + 5 = 0 mod 117",
            "r f(r + 3t), modulo 9 condition on t, modulo 3 t roots modulo 9 "
            "1 9t² + 33t + 15 ≡ 6t + 6 2 + 2t ≡ 0 2 1 + 3 · 2 = 7",
        ),
        (
            Methods(roots="complete the square"),
            "x^2 - 3x + 2 = 0 mod 13",
            "Complete the square. To have an even coefficient, take 10 ≡ −3 (mod 13): half of it "
            "is 5. (x + 5)² = x² + 10x + 25",
        ),
        (Methods(roots="trial"), "x^2 - 3x + 2 = 0 mod 13", "Modulo 13. Try every residue:"),
    ],
)
def test_a_solution_is_told_by_the_method_of_the_course(methods, lines, said):
    assert said in told(lines, methods)
    assert said not in told(lines, Methods())


def test_a_square_with_roots_in_plain_sight_is_completed_where_that_is_taught():
    assert "Over the integers" in told("x^2 - 3x + 2 = 0 mod 13", Methods())
    assert "Over the integers" not in told(
        "x^2 - 3x + 2 = 0 mod 13", Methods(roots="complete the square")
    )


def test_whether_there_is_any_needs_no_substitution():
    lines = ("x = 2 mod 9", "x = 5 mod 13", "x = 1 mod 7")
    methods = Methods(combine="substitution")

    assert told(lines, methods, "whether any") == told(lines, Methods(), "whether any")
    assert told("inverse of 7 mod 26", Methods(inverse="inspection"), "whether any") == told(
        "inverse of 7 mod 26", Methods(), "whether any"
    )


def test_effort_follows_the_method():
    def steps(statement, **methods):
        problem = problem_from((statement,))
        return taught(problem, problem.solve(), Methods(**methods)).effort

    assert steps("inverse of 7 mod 26", inverse="inspection") == 4
    assert steps("inverse of 7 mod 26") == 8
    assert steps("x^2 - 3x + 2 = 0 mod 13", roots="trial") > steps("x^2 - 3x + 2 = 0 mod 13")
