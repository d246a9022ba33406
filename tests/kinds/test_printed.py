"""Worked solutions as they are printed, read by somebody who takes nothing on trust.

The full reading, of 2,000 solutions of the shipped families, is `tests/bench/read_solutions.py`.
"""

from collections import Counter

import pytest

from itembank.kinds.base import taught, worked_for
from itembank.kinds.statement import problem_from
from itembank.kinds.table import KINDS
from itembank.languages import Speaker
from itembank.notation import plain
from itembank.values.course import Methods
from tests.kinds.printed import read_printed

SAMPLES = [sample for kind in KINDS.values() for sample in kind.samples]

COURSES = (
    Methods(),
    Methods("substitution", "complete the square", "Euclid backwards", "substitute"),
    Methods("substitution", "trial", "inspection", "substitute"),
)


def printed(sample: str, methods: Methods = COURSES[0], ask: str = "all solutions") -> str:
    problem = problem_from(tuple(sample.split("; ")))
    way = taught(problem, problem.solve(), methods)
    return plain.blocks(Speaker().blocks(worked_for(problem, way, ask)))


@pytest.mark.parametrize("methods", COURSES)
def test_nothing_false_is_printed_and_no_congruence_without_its_modulus(methods):
    checked, faults = Counter(), []
    for sample in SAMPLES:
        asks = problem_from(tuple(sample.split("; "))).signature.asks
        for text in {printed(sample, methods, ask) for ask in asks}:
            reader = read_printed(text)
            checked += reader.checked
            faults += [f"{sample}: {fault}" for fault in reader.faults]

    assert faults == []
    assert checked["equations"] > 1000 and checked["congruences"] > 700
    assert checked["cells"] > 150 and checked["identities"] > 50 and checked["conditions"] > 5


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("So 3 · 4 = 13.", "3 · 4 = 13: 12 = 13 is false"),
        ("So 3 · 4 = 12 ≡ 5 (mod 8).", "3 · 4 = 12 ≡ 5 (mod 8: false modulo [8]"),
        ("So 12 ≡ 5.", "12 ≡ 5: no modulus is named"),
        ("Modulo 7. First.\n\n    2³³ ≡ 4\n", "2 ³³ ≡ 4: false modulo [7]"),
        ("gcd(12, 30) = 4 and φ(9) = 6.", "gcd ( 12 , 30 ) = 4: 6 = 4 is false"),
        ("Write f(x) = x² + 1. Then f(2) = 6.", "f ( 2 ) = 6: 5 = 6 is false"),
        ("Write f(x) = x² + x. Then f′(x) = 2x.", "f′ ( x ) = 2 x: not the same for x = -7"),
        ("f(x) = x² − 1 = (x − 1)²", "not the same for x = -7"),
        ("the squares of 1 to 1", "1 to 1: no range"),
        ("They are 2, 5, 8, ..., 22.", "2, 5, 8, ..., 22: no progression"),
        ("The Legendre symbol is (2/7) = −1.", "( 2 / 7 ) = − 1: 1 = -1 is false"),
        ("As 4 ∣ 18, it is.", "4 ∣ 18: 4 ∣ 18 is false"),
        ("7 ≤ 5 holds.", "7 ≤ 5: 7 ≤ 5 is false"),
        ("r  r² modulo 5\n─  ──────────\n2  4\n3  2\n", "row ['3', '2']: r² modulo 5"),
        ("x               0  1  2\n──────────────  ─  ─  ─\nx² + 1 modulo 3  1  2  1\n", "at 2"),
        (
            "r  condition on t, modulo 3  t\n─  ────────────────────────  ────\n"
            "1  1 + 2t ≡ 0                2\n",
            "1 + 2t ≡ 0 modulo 3: expected t in [1], got 2",
        ),
    ],
)
def test_the_reader_sees_what_is_wrong(text, fault):
    assert any(fault in told for told in read_printed(text).faults)


def test_a_number_changed_in_print_is_noticed():
    """Each digit of a worked solution is changed; of those in formulas nearly all are noticed."""
    text = printed("x^2 + 9x + 5 = 0 mod 117")
    formulas = [i for i, c in enumerate(text) if c.isdecimal()]
    noticed = 0
    for i in formulas:
        other = str((int(text[i]) + 1) % 10)
        noticed += bool(read_printed(text[:i] + other + text[i + 1 :]).faults)

    assert noticed * 2 > len(formulas)
