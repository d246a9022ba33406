"""What a package from anywhere puts before the packet: its evidence ends, whatever it asks.

The moduli are made of Mersenne primes, 2^p - 1 with p = 521, 607, 1279 (OEIS A000043).
"""

import signal
from math import prod

import pytest

from itembank.languages import Speaker
from itembank.notation import plain
from itembank.review.evidence import evidence_or_none

P, Q = 2**607 - 1, 2**1279 - 1

PRIMES = [p for p in range(1009, 2000) if all(p % d for d in range(2, 45))][:100]


@pytest.fixture(autouse=True)
def _ends():
    def too_long(*_signal):
        raise AssertionError("expected evidence within the budget of work, got none in a minute")

    before = signal.signal(signal.SIGALRM, too_long)
    signal.alarm(60)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


def shown(statement: str) -> str:
    found = evidence_or_none([statement])
    assert found is not None
    return plain.blocks(Speaker().blocks(found.certificates))


def test_a_power_too_high_for_a_polynomial_is_not_written_out_as_one():
    # 10^12 coefficients would take 8 TB
    assert evidence_or_none([f"x^{10**12 + 39} = 5 mod 3233"]) is not None
    shown(f"x^{10**12 + 39} = 5 mod 3233")


def test_a_side_too_long_to_compute_is_shown_as_what_it_leaves():
    # f(x) of 300 * 1279 binary digits has more decimal digits than Python writes
    m = 2**1279 - 1
    text = shown(f"x^300 = 1 mod {m}")

    assert "modulo" in text
    assert "a number of" not in text


def test_residues_are_not_tried_modulo_many_primes_for_a_high_degree():
    product = "*".join(map(str, PRIMES))
    assert prod(PRIMES).bit_length() < 4096

    assert "Complete" not in shown(f"x^40 + x = 2 mod {product}")


def test_the_squares_of_a_base_are_found_one_from_the_other():
    m, e = 2**1279 - 1, 10**300
    text = shown(f"3^{e} mod {m}")

    last = e.bit_length() - 1
    assert str(pow(3, 2**last, m)) in text.replace("\n", "").replace(" ", "")


def test_a_modulus_that_is_not_factored_is_tried_once_for_all_that_is_shown():
    text = shown(f"x^2 = 4 mod {P}*{Q}")

    assert "Substituted" in text
