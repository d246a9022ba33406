"""Units, zero divisors, inverses: steps, telling and record."""

import pytest

from itembank.kinds.base import Step
from itembank.kinds.statement import problem_from
from itembank.kinds.units.kind import KINDS
from itembank.kinds.units.steps import InverseRows, NegateRows, Partners, Strike
from itembank.notation.tree import Blocks
from tests.kinds.prose import lines
from tests.kinds.recorded import certificate, read_as_its_kind, samples
from tests.kinds.telling import feedback_of, rendered


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind(kind, statement):
    read_as_its_kind(kind, statement)


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_certificate_is_true(kind, statement):
    certificate(kind, statement)


def worked(statement: str) -> Blocks:
    problem = problem_from([statement])
    return rendered(problem.worked(problem.solve()))


def test_units_are_told_as_the_multiples_are_struck_out():
    assert list(lines(worked("units mod 12"))) == [
        "Factor the modulus.",
        "12 = 2² · 3. A residue is a unit modulo 12 if and only if it is coprime to 12: if neither "
        "2 nor 3 divides it.",
        "Strike out from 0 to 11.",
        "Multiples of 2: 0, 2, 4, 6, 8, 10. Multiples of 3 that are left: 3, 9. "
        "What stays is 1, 5, 7, 11.",
        "Count.",
        "The number of units is φ(12) = φ(2²)φ(3) = 2 · 2 = 4.",
        "Answer.",
        "The units modulo 12 are 1, 5, 7, 11: 4 of them.",
    ]


@pytest.mark.parametrize(
    ("statement", "sentence"),
    [
        ("units mod 2", "The unit modulo 2 is 1."),
        ("inverses mod 2", "The unit with its inverse: (1, 1)."),
        ("inverses mod 5", "The units with their inverses: (1, 1), (2, 3), (3, 2), (4, 4)."),
        ("zero divisors mod 4", "The zero divisor modulo 4 is 2."),
        ("number of zero divisors mod 4", "There is 1 zero divisor modulo 4."),
        ("number of zero divisors mod 13", "There are no zero divisors modulo 13."),
        ("units mod 2^60*3^30", "units modulo 2⁶⁰ · 3³⁰: the residues coprime to it."),
    ],
)
def test_one_is_spoken_of_as_one_and_a_long_modulus_as_it_was_typed(statement, sentence):
    assert sentence in " ".join(lines(worked(statement)))


def test_feedback_lists_the_primes_as_a_sentence_does():
    problem = problem_from(["units mod 30"])
    (slip,) = [s for s in problem.slips(problem.solve()) if "last-prime-forgotten" in s.names]

    assert "multiples of 2 and 3 are struck out, but 5 divides 30" in " ".join(
        lines(feedback_of(slip))
    )


# ------------------------------------------------------------ steps


def one(kind: type[Step], statement: str):
    (found,) = [s for s in problem_from([statement]).solve().steps if isinstance(s, kind)]
    return found


@pytest.mark.parametrize("m", [8, 12, 15, 30, 49, 60])
def test_what_is_struck_out_and_what_stays_are_all_residues_once(m: int) -> None:
    step = one(Strike, f"units mod {m}")
    struck = [a for _p, multiples in step.struck for a in multiples]

    assert sorted([*struck, *step.left]) == list(range(m))
    assert all(a % p == 0 for p, multiples in step.struck for a in multiples)


@pytest.mark.parametrize("m", [4, 12, 45, 60])
def test_every_zero_divisor_has_a_partner_that_is_not_zero(m: int) -> None:
    step = one(Partners, f"zero divisors mod {m}")

    assert all(0 < b < m and a * b % m == 0 for a, _d, b in step.rows)
    assert len(step.rows) == step.count


@pytest.mark.parametrize("m", [5, 12, 16, 35])
def test_inverses_are_found_up_to_half_and_the_others_by_sign(m: int) -> None:
    found, others = one(InverseRows, f"inverses mod {m}"), one(NegateRows, f"inverses mod {m}")

    assert all(2 * a <= m for a, _b in found.rows) and all(2 * a > m for a, _b in others.rows)
    assert {(m - a, m - b) for a, b in others.rows} == set(found.rows)
