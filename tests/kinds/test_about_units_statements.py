"""Statements about units modulo m as people type them: every form, and each refusal whole."""

import pytest

from itembank.kinds.statement import problem_from
from itembank.values.errors import StatementError

FORMS = [
    ("inverse of 7 mod 26", "inverse", "inverse of 7 mod 26"),
    ("The inverse of 7 (mod 26)", "inverse", "inverse of 7 mod 26"),
    ("inverse of -3 modulo 41", "inverse", "inverse of -3 mod 41"),
    ("inverse of 3 mod -5", "inverse", "inverse of 3 mod 5"),
    ("inverse of 7 mod 3^40", "inverse", "inverse of 7 mod 3^40"),
    ("7^222 mod 1000", "power", "7^222 mod 1000"),
    ("7**222 (mod 1000)", "power", "7^222 mod 1000"),
    ("7²²² mod 1000", "power", "7^222 mod 1000"),
    ("(-3)^5 mod 7", "power", "(-3)^5 mod 7"),
    ("2^-1 mod 7", "power", "2^(-1) mod 7"),
    ("2^3^4 mod 7", "tower", "2^(3^4) mod 7"),
    ("2^(3^4) mod 7", "tower", "2^(3^4) mod 7"),
    ("10^(2^64) mod 148", "tower", "10^(2^64) mod 148"),
    ("10! mod 11", "factorial", "10! mod 11"),
    ("(13 - 2)! mod 13", "factorial", "11! mod 13"),
    ("order of 7 mod 48", "order", "order of 7 mod 48"),
    ("multiplicative order of 7, modulo 48", "order", "order of 7 mod 48"),
    ("primitive roots mod 17", "primitive_roots", "primitive roots mod 17"),
    ("all primitive roots (mod 17)", "primitive_roots", "primitive roots mod 17"),
    ("least primitive root mod 41", "least_primitive_root", "least primitive root mod 41"),
    (
        "number of primitive roots mod 19",
        "primitive_root_count",
        "number of primitive roots mod 19",
    ),
    (
        "is there a primitive root mod 8?",
        "primitive_root_existence",
        "is there a primitive root mod 8",
    ),
    ("is 3 a primitive root mod 17?", "primitive_root_test", "is 3 a primitive root mod 17"),
    ("index of 5 base 3 mod 17", "index", "index of 5 base 3 mod 17"),
    ("discrete logarithm of 5 to the base 3 mod 17", "index", "index of 5 base 3 mod 17"),
    ("3^x = 5 mod 17", "exponential", "3^x = 5 mod 17"),
    ("2*3^x ≡ 5 (mod 17)", "exponential", "2 * 3^x = 5 mod 17"),
    ("5 = 3^t mod 17", "exponential", "3^t = 5 mod 17"),
    ("7x^5 = 3 mod 17 by indices", "power_by_indices", "7x^5 = 3 mod 17 by indices base 3"),
    (
        "7y^5 = 3 mod 17 by indices to the base 5",
        "power_by_indices",
        "7y^5 = 3 mod 17 by indices base 5",
    ),
]


@pytest.mark.parametrize(("typed", "kind", "canonical"), FORMS, ids=[f[0] for f in FORMS])
def test_a_statement_is_read_as_its_kind(typed: str, kind: str, canonical: str) -> None:
    problem = problem_from([typed])

    assert (problem.kind, problem.statement) == (kind, (canonical,))
    assert problem_from(problem.statement) == problem


REFUSED = [
    (
        "inverse of x mod 7",
        "'inverse of x mod 7': expected the number to invert in numbers, found 'x'",
    ),
    ("inverse of 3 mod 0", "'inverse of 3 mod 0': expected a modulus other than 0"),
    ("order of 3 mod n", "'order of 3 mod n': expected a modulus in numbers, found 'n'"),
    (
        "index of 5 base 4 mod 6",
        "'index of 5 base 4 mod 6': expected a base coprime to 6, got 4, which shares 2 with it",
    ),
    (
        "3^x = x mod 7",
        "'3^x = x mod 7': expected the unknown in one exponent only, as in 2 * 3^x = 5 mod 17",
    ),
    (
        "2^3^(-1) mod 7",
        "'2^3^(-1) mod 7': expected a tower of exponents of at least 0, got -1",
    ),
    (
        "x^2 = 3 mod 8 by indices",
        "'x^2 = 3 mod 8 by indices': there is no primitive root modulo 8, so no indices",
    ),
    (
        "x^2 = 3 mod 17 by indices base 2",
        "'x^2 = 3 mod 17 by indices base 2': expected a primitive root modulo 17 as base, got 2",
    ),
    (
        "x^2 = 17 mod 17 by indices",
        "'x^2 = 17 mod 17 by indices': expected a right side coprime to 17, for only units have "
        "indices; got 17, which shares 17 with it",
    ),
    (
        "x^2 + x = 3 mod 17 by indices",
        "'x^2 + x = 3 mod 17 by indices': expected one power of the unknown on the left and a "
        "number on the right, as in 7x^5 = 3 mod 17 by indices",
    ),
    ("(2-5)! mod 7", "'(2-5)! mod 7': expected a factorial of at least 0, got -3"),
    ("2^n mod 7", "'2^n mod 7': expected a power of numbers, found a letter"),
]


@pytest.mark.parametrize(("typed", "message"), REFUSED, ids=[r[0] for r in REFUSED])
def test_a_statement_of_a_form_that_is_wrong_is_refused_in_one_line(
    typed: str, message: str
) -> None:
    with pytest.raises(StatementError) as refusal:
        problem_from([typed])

    assert str(refusal.value) == message


OUT_OF_REACH = [
    (
        "index of 5 base 2 mod 10^20 + 39",
        "index of 5 base 2 mod 10^20 + 39: an index modulo 507526619771207 needs about 22528351 "
        "steps; it is looked for up to 1000000000000",
    ),
    (
        "(10^18)! mod 10^19 + 51",
        "1000000000000000000! mod 10000000000000000051: needs 1000000000000000000 products, more "
        "than 1000000; modulo a prime p, n! is found quickly where n or p - n is small",
    ),
    (
        "primitive roots mod 10^19 + 51",
        "primitive roots mod 10^19 + 51: 2666601104069952000 primitive roots are too many to list "
        "(at most 10000); ask for 'least primitive root mod ...' or 'number of primitive roots mod "
        "...'",
    ),
]


@pytest.mark.parametrize(("typed", "message"), OUT_OF_REACH, ids=[r[0] for r in OUT_OF_REACH])
def test_what_would_take_too_long_is_refused_in_one_line(typed: str, message: str) -> None:
    with pytest.raises(StatementError) as refusal:
        problem_from([typed]).solve()

    assert str(refusal.value) == message
