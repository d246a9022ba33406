"""Squares modulo m, listed and counted: how they are told, and what is recorded of them."""

import pytest

from itembank.kinds.squares.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.notation.tree import Table
from tests.kinds.prose import lines
from tests.kinds.recorded import certificate, read_as_its_kind, samples
from tests.kinds.telling import feedback_of, rendered


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind(kind, statement):
    read_as_its_kind(kind, statement)


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_certificate_is_true(kind, statement):
    certificate(kind, statement)


def test_the_certificate_is_the_table_of_squares():
    _said, table = certificate(KINDS[0], "squares mod 13")

    rows = [tuple(map(plain.inlines, row)) for row in table.rows]
    assert rows == [(str(x), str(x * x % 13)) for x in range(7)]


def worked(statement: str) -> list[str]:
    problem = problem_from([statement])
    return list(lines(rendered(problem.worked(problem.solve()))))


@pytest.mark.parametrize(
    ("statement", "sentence"),
    [
        ("squares mod 3", "it is enough to square 0 and 1:"),
        ("quadratic residues mod 3", "it is enough to square 1:"),
        ("squares mod 14", "square the residues from 0 to 7:"),
        ("quadratic residues mod 15", "square the residues from 1 to 7 that are coprime to 15:"),
        ("quadratic residues mod 15", "Several rows of the table give the same square, 1 and 4:"),
        ("squares mod 9", "More than one row of the table gives 0: it counts once."),
        ("quadratic residues mod 105", "have (3 − 1)/2 = 1 square. It is 1. That is one"),
        ("quadratic residues mod 105", "They are 1, 2, 4. That makes (7 − 1)/2 = 3 quadratic"),
        (
            "number of quadratic residues mod 80",
            "That makes 2⁴/8 = 2 quadratic residues",
        ),
        (
            "number of quadratic residues mod 96",
            "That makes 2⁵/8 = 4 quadratic residues",
        ),
        ("number of squares mod 361", "Of the squares, 19 · (19 − 1)/2 = 171 are not multiples of"),
        ("number of squares mod 125", "With 0 = 0² that makes 50 + 2 + 1 = 53 squares"),
        ("squares mod 1001", "The squares a₁, a₂ and a₃ modulo 7, 11 and 13, in this order,"),
        ("squares mod 1001", "belong to the residue of 715a₁ + 364a₂ + 924a₃ modulo 1001."),
        ("number of squares mod 10^12", "squares modulo 10¹²."),
    ],
)
def test_a_sentence_fits_its_numbers(statement, sentence):
    assert sentence in " ".join(worked(statement))


def test_the_squares_modulo_a_prime_power_stand_by_level():
    problem = problem_from(["squares mod 3^4"])
    (table,) = [b for b in rendered(problem.worked(problem.solve())) if isinstance(b, Table)]

    head, first, second = (tuple(map(plain.inlines, row)) for row in (table.head, *table.rows))
    assert head == ("squares", "residues modulo 3⁴", "number")
    assert first[0] == "coprime to 3"
    assert first[1].split(", ") == sorted({str(x * x % 81) for x in range(81) if x % 3}, key=int)
    assert second == ("9u with u coprime to 3", "9, 36, 63", "3")


def test_feedback_says_what_is_not_a_square():
    problem = problem_from(["squares mod 11"])
    slips = problem.slips(problem.solve())
    (slip,) = [s for s in slips if "non-residues-taken" in s.names]

    assert "these are the ones that do not." in " ".join(lines(feedback_of(slip)))
