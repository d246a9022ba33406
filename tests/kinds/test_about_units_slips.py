"""The catalogue of student errors about units modulo m: each leads to the answer it should.

A line is a statement, its key, the name of a slip and the wrong answer; every line was worked
by hand or by writing out the powers. Every name of every kind stands here at least once.
"""

import pytest

from itembank.kinds.statement import problem_from
from itembank.kinds.table import SIGNATURES
from itembank.values.answer import claimed

CATALOGUE = [
    # inverses: 26 = 3 * 7 + 5, 7 = 1 * 5 + 2, 5 = 2 * 2 + 1; 1 = 3 * 26 - 11 * 7
    ("inverse of 7 mod 26", (15,), "inverse-sign", (11,)),
    ("inverse of 7 mod 26", (15,), "opposite-taken", (19,)),
    ("inverse of 7 mod 26", (15,), "coefficient-of-modulus", (3,)),
    ("inverse of 7 mod 26", (15,), "stopped-early", (4,)),
    ("inverse of 7 mod 26", (15,), "prime-modulus-assumed", (1,)),
    ("inverse of 7 mod 26", (15,), "whole-numbers-only", ()),
    ("inverse of 4 mod 10", (), "common-divisor-untested", (8,)),
    ("inverse of 4 mod 10", (), "divided-by-common-divisor", (3,)),
    # powers
    ("7^12 mod 1000", (201,), "base-times-exponent", (84,)),
    ("3^100 mod 7", (4,), "exponent-modulo-modulus", (2,)),
    ("2^20 mod 15", (1,), "prime-modulus-assumed", (4,)),
    ("12^100 mod 8", (0,), "common-factor-ignored", (1,)),
    ("2^13 mod 9", (2,), "phi-of-prime-power", (5,)),
    ("2^16 mod 9", (7,), "phi-of-equal-factors", (1,)),
    ("2^12 mod 7", (1,), "zero-for-exponent-zero", (0,)),
    ("2^13 mod 101", (11,), "odd-factor-forgotten", (56,)),
    ("2^13 mod 101", (11,), "only-the-last-square", (54,)),
    ("2^13 mod 101", (11,), "all-squares-multiplied", (44,)),
    ("(-3)^5 mod 7", (2,), "minus-lost", (5,)),
    ("2^(-1) mod 7", (4,), "exponent-sign-ignored", (2,)),
    ("2^(-1) mod 7", (4,), "exponent-sign-moved", (5,)),
    ("2^(3^2) mod 11", (6,), "tower-from-the-bottom", (9,)),
    ("3^(10^2) mod 7", (4,), "exponent-modulo-modulus", (2,)),
    # factorials: 12! = -1 modulo 13
    ("9! mod 13", (11,), "wilson-sign", (2,)),
    ("9! mod 13", (11,), "wilson-for-every-factorial", (12,)),
    ("9! mod 13", (11,), "missing-signs", (2,)),
    ("9! mod 13", (11,), "multiplied-instead-of-divided", (6,)),
    ("9! mod 13", (11,), "one-factor-too-many", (6,)),
    ("9! mod 13", (11,), "one-factor-too-few", (7,)),
    ("12! mod 7", (0,), "number-reduced", (1,)),
    ("10! mod 12", (0,), "wilson-for-composite", (11,)),
    # orders
    ("order of 4 mod 15", (2,), "phi-for-order", (8,)),
    ("order of 7 mod 48", (2,), "phi-for-order", (16,)),
    ("order of 7 mod 48", (2,), "modulus-minus-one", (47,)),
    ("order of 7 mod 48", (2,), "phi-of-prime-power", (30,)),
    ("order of 7 mod 48", (2,), "returned-to-the-base", (3,)),
    ("order of 7 mod 48", (2,), "not-the-least", (4,)),
    ("order of 2 mod 27", (18,), "phi-of-equal-factors", (8,)),
    ("order of 5 mod 23", (22,), "stopped-at-minus-one", (11,)),
    ("order of 2 mod 35", (12,), "one-prime-power-only", (4,)),
    ("order of 101 mod 119", (6,), "orders-multiplied", (12,)),
    ("order of 6 mod 9", (), "common-factor-untested", (6,)),
    # primitive roots
    ("primitive roots mod 14", (3, 5), "only-modulo-primes", ()),
    ("primitive roots mod 14", (3, 5), "least-only", (3,)),
    ("primitive roots mod 14", (3, 5), "first-prime-only", (3, 5, 13)),
    ("primitive roots mod 14", (3, 5), "last-prime-only", (3, 5, 9, 11)),
    ("primitive roots mod 14", (3, 5), "exponents-listed", (1, 5)),
    ("primitive roots mod 14", (3, 5), "prime-exponents", (3, 5, 9, 13)),
    ("primitive roots mod 14", (3, 5), "odd-exponents", (3, 5, 13)),
    ("primitive roots mod 14", (3, 5), "all-units", (1, 3, 5, 9, 11, 13)),
    ("primitive roots mod 8", (), "largest-order-taken", (3, 5, 7)),
    ("least primitive root mod 41", (6,), "one-taken", (1,)),
    ("least primitive root mod 41", (6,), "always-two", (2,)),
    ("least primitive root mod 41", (6,), "first-prime-only", (3,)),
    ("least primitive root mod 41", (6,), "last-prime-only", (2,)),
    ("least primitive root mod 41", (6,), "not-the-least", (7,)),
    ("number of primitive roots mod 8", (0,), "existence-untested", (2,)),
    ("number of primitive roots mod 8", (0,), "phi-once", (4,)),
    ("number of primitive roots mod 8", (0,), "counted-as-prime", (6,)),
    ("number of primitive roots mod 8", (0,), "phi-of-equal-factors", (1,)),
    ("number of primitive roots mod 19", (6,), "non-squares-counted", (9,)),
    ("is there a primitive root mod 50", (1,), "only-modulo-primes", (0,)),
    ("is there a primitive root mod 24", (0,), "existence-untested", (1,)),
    ("is 6 a primitive root mod 9", (0,), "coprime-untested", (1,)),
    ("is 5 a primitive root mod 31", (0,), "one-prime-tested", (1,)),
    ("is 2 a primitive root mod 17", (0,), "euler-taken-for-test", (1,)),
    # indices: 3^0, 3^1, ... modulo 17 is 1, 3, 9, 10, 13, 5, 15, 11, 16, 14, 8, 7, 4, 12, 2, 6
    ("index of 5 base 3 mod 17", (5,), "base-and-number-swapped", (13,)),
    ("index of 5 base 3 mod 17", (5,), "index-of-the-inverse", (11,)),
    ("index of 5 base 3 mod 17", (5,), "stopped-at-the-opposite", (13,)),
    ("index of 5 base 3 mod 17", (5,), "counted-from-one", (6,)),
    ("index of 18 base 5 mod 23", (12,), "power-taken", (6,)),
    ("index of 3 base 2 mod 7", (), "primitive-root-assumed", (1,)),
    ("2 * 3^x = 7 mod 17", (13,), "factor-ignored", (11,)),
    ("2 * 3^x = 7 mod 17", (13,), "factor-multiplied", (9,)),
    ("2 * 3^x = 7 mod 17", (13,), "product-for-power", (4,)),
    ("2 * 3^x = 7 mod 17", (13,), "whole-numbers-only", ()),
    ("2 * 3^x = 7 mod 17", (13,), "counted-from-one", (14,)),
    ("4^x = 13 mod 17", (3, 7, 11, 15), "one-exponent-only", (3,)),
    ("4^x = 3 mod 17", (), "primitive-root-assumed", (1,)),
    # by indices: 11 + 5y = 1 modulo 16, y = 14
    ("7x^5 = 3 mod 17 by indices", (2,), "indices-added", (4,)),
    ("7x^5 = 3 mod 17 by indices", (2,), "modulus-of-the-numbers", (6,)),
    ("7x^5 = 3 mod 17 by indices", (2,), "exponent-left-out", (15,)),
    ("7x^5 = 3 mod 17 by indices", (2,), "not-turned-back", (14,)),
    ("x^4 = 4 mod 17 by indices", (6, 7, 10, 11), "one-index-only", (10,)),
    ("x^4 = 4 mod 17 by indices", (6, 7, 10, 11), "index-modulus-not-divided", (10,)),
    ("x^4 = 3 mod 17 by indices", (), "solvability-untested", (1, 4, 13, 16)),
]


@pytest.mark.parametrize(
    ("statement", "key", "name", "wrong"), CATALOGUE, ids=[f"{c[0]}: {c[2]}" for c in CATALOGUE]
)
def test_a_slip_leads_to_its_wrong_answer(
    statement: str, key: tuple[int, ...], name: str, wrong: tuple[int, ...]
) -> None:
    problem = problem_from([statement])
    solution = problem.solve()

    assert claimed(solution.answer) == key
    assert [s.answer for s in problem.slips(solution) if name in s.names] == [wrong]


def test_every_slip_of_every_kind_about_units_stands_in_the_catalogue() -> None:
    named: dict[str, set[str]] = {}
    for statement, _key, name, _wrong in CATALOGUE:
        named.setdefault(problem_from([statement]).kind, set()).add(name)
    shared = named["power"] & set(SIGNATURES["tower"].slips)

    assert named.pop("tower") | shared == set(SIGNATURES["tower"].slips)
    for kind, names in named.items():
        assert names == set(SIGNATURES[kind].slips), kind
    assert len(named) == 13 - 1


def test_slips_that_lead_to_one_answer_are_one_slip_with_all_names_and_feedbacks() -> None:
    problem = problem_from(["9! mod 13"])
    (merged,) = [s for s in problem.slips(problem.solve()) if s.answer == (2,)]

    assert merged.names == ("wilson-sign", "missing-signs")
    assert len(merged.feedback) == 2
