"""The catalogue of student errors about squares, symbols, units, phi and check digits.

A line is a statement, its key, the name of a slip and the wrong answer; every line was worked
by hand or by writing the residues out. Every name of every kind stands here at least once.
"""

import pytest

from itembank.kinds.statement import problem_from
from itembank.kinds.table import SIGNATURES
from itembank.values.answer import claimed
from tests.kinds.residue_samples import KINDS as SAMPLED

CATALOGUE = [
    # squares: modulo 13 the squares of 0..6 are 0 1 4 9 3 12 10; modulo 12 0 1 4 9 4 1 0
    ("squares mod 13", (0, 1, 3, 4, 9, 10, 12), "whole-squares-only", (0, 1, 4, 9)),
    ("squares mod 13", (0, 1, 3, 4, 9, 10, 12), "zero-left-out", (1, 3, 4, 9, 10, 12)),
    ("squares mod 13", (0, 1, 3, 4, 9, 10, 12), "last-row-left-out", (0, 1, 3, 4, 9, 12)),
    ("squares mod 13", (0, 1, 3, 4, 9, 10, 12), "non-residues-taken", (0, 2, 5, 6, 7, 8, 11)),
    ("squares mod 12", (0, 1, 4, 9), "coprime-only", (1,)),
    ("squares mod 12", (0, 1, 4, 9), "closed-under-sign", (0, 1, 3, 4, 8, 9, 11)),
    ("squares mod 12", (0, 1, 4, 9), "one-factor-enough", (0, 1, 4, 5, 8, 9)),
    ("quadratic residues mod 15", (1, 4), "zero-counted", (0, 1, 4)),
    ("quadratic residues mod 15", (1, 4), "all-squares-kept", (0, 1, 4, 6, 9, 10)),
    ("quadratic residues mod 15", (1, 4), "closed-under-sign", (1, 4, 11, 14)),
    ("quadratic residues mod 15", (1, 4), "one-factor-enough", (1, 4, 11, 14)),
    ("quadratic residues mod 15", (1, 4), "jacobi-for-residue", (1, 2, 4, 8)),
    ("quadratic residues mod 11", (1, 3, 4, 5, 9), "whole-squares-only", (1, 4, 9)),
    ("quadratic residues mod 11", (1, 3, 4, 5, 9), "last-row-left-out", (1, 4, 5, 9)),
    ("quadratic residues mod 11", (1, 3, 4, 5, 9), "non-residues-taken", (2, 6, 7, 8, 10)),
    # numbers: modulo 8 three squares, modulo 125 50 + 2 + 1; 3 · 53
    ("number of squares mod 1000", (159,), "prime-rule-for-composite", (501,)),
    ("number of squares mod 1000", (159,), "zero-miscounted", (2 * 52,)),
    ("number of squares mod 1000", (159,), "prime-power-as-prime", (5 * 63,)),
    ("number of squares mod 1000", (159,), "odd-rule-for-two", (4 * 53,)),
    ("number of squares mod 1000", (159,), "multiples-forgotten", (2 * 51,)),
    ("number of squares mod 1000", (159,), "counts-added", (3 + 53,)),
    ("number of squares mod 1000", (159,), "units-for-all", (50,)),
    # modulo 16, 9, 5 there are 2, 3, 2 squares coprime to 720
    ("number of quadratic residues mod 720", (12,), "prime-rule-for-composite", (359,)),
    ("number of quadratic residues mod 720", (12,), "zero-miscounted", (3 * 4 * 3,)),
    ("number of quadratic residues mod 720", (12,), "prime-power-as-prime", (7 * 4 * 2,)),
    ("number of quadratic residues mod 720", (12,), "odd-rule-for-two", (4 * 3 * 2,)),
    ("number of quadratic residues mod 720", (12,), "halved-once", (8 * 6 * 4 // 2,)),
    ("number of quadratic residues mod 720", (12,), "counts-added", (2 + 3 + 2,)),
    ("number of quadratic residues mod 720", (12,), "units-for-all", (4 * 4 * 3,)),
    # is it a square
    ("is 2 a square mod 15", (0,), "jacobi-for-residue", (1,)),
    ("is 20 a square mod 21", (0,), "jacobi-for-residue", (1,)),
    ("is 10 a square mod 15", (1,), "whole-squares-only", (0,)),
    ("is 10 a square mod 15", (1,), "common-factor-excluded", (0,)),
    ("is 21 a square mod 120", (0,), "one-factor-enough", (1,)),
    ("is 5 a square mod 8", (0,), "prime-for-prime-power", (1,)),
    ("is 207 a square mod 251", (1,), "symbol-sign", (0,)),
    # symbols
    ("(3/7)", (-1,), "reciprocity-sign-lost", (1,)),
    ("(2/5)", (-1,), "two-by-modulo-four", (1,)),
    ("(2/7)", (1,), "two-by-modulo-four", (-1,)),
    ("(2/7)", (1,), "whole-squares-only", (-1,)),
    ("(14/5)", (1,), "minus-one-rule", (-1,)),
    ("(45/77)", (-1,), "twos-dropped", (1,)),
    ("(45/77)", (-1,), "sign-at-every-turn", (1,)),
    ("(12/13)", (1,), "minus-one-rule", (-1,)),
    ("(20/11)", (1,), "whole-squares-only", None),
    ("(44/207)", (-1,), "even-power-counted", None),
    ("(12/37)", (1,), "even-power-counted", (-1,)),
    ("(7/13)", (-1,), "sign-for-one-of-them", (1,)),
    ("(22/11)", (0,), "multiple-taken-for-square", (1,)),
    ("(6/15)", (0,), "fraction-cancelled", (-1,)),
    ("(3/15)", (0,), "common-factor-overlooked", (1,)),
    # units and zero divisors
    ("units mod 12", (1, 5, 7, 11), "primes-for-units", (5, 7, 11)),
    ("units mod 12", (1, 5, 7, 11), "one-left-out", (5, 7, 11)),
    ("units mod 12", (1, 5, 7, 11), "divisors-struck", (1, 5, 7, 8, 9, 10, 11)),
    ("units mod 12", (1, 5, 7, 11), "last-prime-forgotten", (1, 3, 5, 7, 9, 11)),
    ("units mod 12", (1, 5, 7, 11), "first-prime-forgotten", (1, 2, 4, 5, 7, 8, 10, 11)),
    ("units mod 12", (1, 5, 7, 11), "zero-divisors-for-units", (2, 3, 4, 6, 8, 9, 10)),
    ("zero divisors mod 12", (2, 3, 4, 6, 8, 9, 10), "as-in-the-integers", ()),
    ("zero divisors mod 12", (2, 3, 4, 6, 8, 9, 10), "zero-counted", (0, 2, 3, 4, 6, 8, 9, 10)),
    ("zero divisors mod 12", (2, 3, 4, 6, 8, 9, 10), "divisors-only", (2, 3, 4, 6)),
    ("zero divisors mod 12", (2, 3, 4, 6, 8, 9, 10), "prime-factors-only", (2, 3)),
    ("zero divisors mod 12", (2, 3, 4, 6, 8, 9, 10), "multiples-of-one-prime", (2, 4, 6, 8, 10)),
    ("zero divisors mod 12", (2, 3, 4, 6, 8, 9, 10), "multiples-of-all-primes", (6,)),
    ("zero divisors mod 12", (2, 3, 4, 6, 8, 9, 10), "units-for-zero-divisors", (1, 5, 7, 11)),
    # phi(360) = 4 · 6 · 4; 24 divisors; 179 + 119 + 71 multiples
    ("number of zero divisors mod 360", (263,), "zero-counted", (264,)),
    ("number of zero divisors mod 360", (263,), "units-counted", (96,)),
    ("number of zero divisors mod 360", (263,), "divisors-counted", (22,)),
    ("number of zero divisors mod 360", (263,), "multiples-added", (369,)),
    ("number of zero divisors mod 360", (263,), "phi-of-prime-power", (359 - 7 * 8 * 4,)),
    ("inverses mod 5", ((1, 1), (2, 3), (3, 2), (4, 4)), "own-inverses",
     ((1, 1), (2, 2), (3, 3), (4, 4))),
    ("inverses mod 5", ((1, 1), (2, 3), (3, 2), (4, 4)), "negatives-for-inverses",
     ((1, 4), (2, 3), (3, 2), (4, 1))),
    ("inverses mod 5", ((1, 1), (2, 3), (3, 2), (4, 4)), "product-minus-one",
     ((1, 4), (2, 2), (3, 3), (4, 1))),
    # phi(12) = 2 · 2, phi(9) = 6, phi(625) = 500
    ("phi(12)", (4,), "equal-factors-multiplied", (2,)),
    ("phi(9)", (6,), "prime-power-minus-one", (8,)),
    ("phi(625)", (500,), "prime-power-minus-one", (624,)),
    ("phi(36)", (12,), "taken-for-prime", (35,)),
    ("phi(36)", (12,), "exponents-dropped", (2,)),
    ("phi(36)", (12,), "factor-not-lowered", (4 * 9 * 2,)),
    ("phi(36)", (12,), "prime-left-out", (18,)),
    ("phi(36)", (12,), "values-added", (2 + 6,)),
    ("phi(36)", (12,), "others-counted", (24,)),
    # lambda: 288 = 2^5 · 9 has lcm(8, 6), 360 = 8 · 9 · 5 has lcm(2, 6, 4)
    ("lambda(561)", (80,), "phi-for-lambda", (320,)),
    ("lambda(561)", (80,), "taken-for-prime", (560,)),
    ("lambda(561)", (80,), "largest-value", (16,)),
    ("lambda(288)", (24,), "two-as-odd-prime", (48,)),
    ("lambda(288)", (24,), "values-multiplied", (48,)),
    ("lambda(288)", (24,), "prime-power-minus-one", (8,)),
    ("lambda(360)", (12,), "exponents-dropped", (4,)),
    # ISBN-10 0306406152: the nine products add up to 130 = 11 · 11 + 9
    ("isbn 030640615?", (2,), "remainder-for-digit", (9,)),
    ("isbn 030640615?", (2,), "other-modulus", (0,)),
    ("isbn 030640615?", (2,), "weights-left-out", (8,)),
    ("isbn 030640615?", (2,), "weights-shifted", (5,)),
    ("isbn 030640615?", (2,), "other-weights", (7,)),
    # the 6 in the seventh place has the weight 4; the other products add up to 108 = 9 · 11 + 9
    ("isbn 030640?152", (6,), "weight-not-divided", (2,)),
    ("isbn 030640?152", (6,), "multiplied-for-divided", (8,)),
    ("isbn 978030640615?", (7,), "weights-exchanged", (9,)),
    ("isbn 0306406152", (1,), "other-modulus", (0,)),
    ("isbn 0306406152", (1,), "other-weights", (0,)),
    ("isbn 0306406152", (1,), "weights-shifted", (0,)),
    ("isbn 0306406152", (1,), "weights-left-out", (0,)),
    ("isbn 0306406152", (1,), "check-digit-left-out", (0,)),
    ("isbn 080442957X", (1,), "x-refused", (0,)),
    ("isbn 9780306406157", (1,), "weights-exchanged", (0,)),
    # IBAN: 3214282912345698765432161100 = 16 modulo 97
    ("iban GB?? WEST 1234 5698 7654 32", (82,), "remainder-for-digits", (16,)),
    ("iban GB?? WEST 1234 5698 7654 32", (82,), "completed-to-zero", (81,)),
    ("iban GB?? WEST 1234 5698 7654 32", (82,), "zeros-left-out", (28,)),
    ("iban GB?? WEST 1234 5698 7654 32", (82,), "not-rearranged", (67,)),
    ("iban GB?? WEST 1234 5698 7654 32", (82,), "letters-from-one", (47,)),
    ("iban GB?? WEST 1234 5698 7654 32", (82,), "letters-left-out", (63,)),
    # 262284 = 2703 · 97 + 93, and 10^7 is 76 modulo 97: 76 d = 5
    ("iban QM84 0?0", (9,), "weight-not-divided", (5,)),
    ("iban GB82 WEST 1234 5698 7654 32", (1,), "not-rearranged", (0,)),
    ("iban GB82 WEST 1234 5698 7654 32", (1,), "letters-from-one", (0,)),
    ("iban GB82 WEST 1234 5698 7654 32", (1,), "letters-left-out", (0,)),
    ("iban GB82 WEST 1234 5698 7654 32", (1,), "remainder-zero-expected", (0,)),
]  # fmt: skip


@pytest.mark.parametrize(
    ("statement", "key", "name", "wrong"), CATALOGUE, ids=[f"{c[0]}: {c[2]}" for c in CATALOGUE]
)
def test_a_slip_leads_to_its_wrong_answer(statement, key, name, wrong) -> None:
    problem = problem_from([statement])
    solution = problem.solve()

    assert claimed(solution.answer) == key
    expected = [] if wrong is None else [wrong]
    assert [s.answer for s in problem.slips(solution) if name in s.names] == expected


def test_every_slip_of_every_kind_stands_in_the_catalogue() -> None:
    named: dict[str, set[str]] = {}
    for statement, _key, name, wrong in CATALOGUE:
        if wrong is not None:
            named.setdefault(problem_from([statement]).kind, set()).add(name)

    assert set(named) == set(SAMPLED)
    for kind, names in named.items():
        assert names == set(SIGNATURES[kind].slips), kind


def test_slips_that_lead_to_one_answer_are_one_slip_with_all_names_and_feedbacks() -> None:
    problem = problem_from(["units mod 12"])
    (merged,) = [s for s in problem.slips(problem.solve()) if s.answer == (5, 7, 11)]

    assert merged.names == ("primes-for-units", "one-left-out")
    assert len(merged.feedback) == 2
