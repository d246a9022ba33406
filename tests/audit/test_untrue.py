"""Lines that claim what is not so: reckoned out here by Python and SymPy, and by hand."""

from math import factorial, gcd

import pytest
from sympy import totient

from itembank.audit.untrue import is_false, is_untrue

CLAIMS = {
    "24=3*7+3": 24 == 3 * 7 + 3,
    "24=3*7+4": 24 == 3 * 7 + 4,
    "gcd(84,30)=6": gcd(84, 30) == 6,
    "gcd(84,30)=12": gcd(84, 30) == 12,
    "84=14*6,30=5*6": True,
    "84=14*6,30=6*6": False,
    "φ(45)=24": totient(45) == 24,
    "φ(45)=44": totient(45) == 44,
    "φ(12)=(4-2)*(3-1)": totient(12) == 4,
    "1≡-5*7(mod 18)": (1 + 35) % 18 == 0,
    "1≡5*7(mod 18)": (1 - 35) % 18 == 0,
    "-5≡13(mod 18)": True,
    "7^4≡4*7^2≡1(mod 15)": True,
    "7^4≡4*7^2≡13(mod 15)": False,
    "3^2,3^4≡9,4(mod 11)": (9 % 11, 81 % 11) == (9, 4),
    "3^2,3^4≡6,1(mod 11)": False,
    "14!≡-5≡12(mod 17)": factorial(14) % 17 == 12 == -5 % 17,
    "14!≡-12≡5(mod 17)": factorial(14) % 17 == 5,
    "13=8+4+1": True,
    "13=8+4+2": False,
}


@pytest.mark.parametrize("claim", CLAIMS)
def test_a_claim_is_false_where_its_sides_differ(claim):
    assert is_false(claim) is not CLAIMS[claim]


@pytest.mark.parametrize(
    "claim",
    [
        "x≡3(mod 7)", "2,3", "3=4(mod 7)", "3≡4", "2^99999=3", "1≡2(mod 0)", "3=", "=3", "2**3=7",
        "99999!=3", "(2=3", "5≡3≡x(mod 7)",
    ],
)  # fmt: skip
def test_what_is_not_reckoned_out_is_not_called_false(claim):
    assert not is_false(claim)


WAY = [
    ("by inverse", ("x≡4(mod 9)",)),
    ("divide by", ("2x≡8(mod 9)",)),
    ("spread", ("x≡4,13(mod 18)",)),
    ("find second", ("2", "3", "y", "x≡4(mod 9)")),
    ("inverses", ("2,3,1",)),
    ("divisors", ("1,2,4",)),
]


@pytest.mark.parametrize(
    ("line", "untrue"),
    [
        (("by inverse", ("x≡5(mod 9)",)), True),
        (("by inverse", ("x≡13(mod 9)",)), False),
        (("by inverse", ("x≡5(mod 18)",)), False),
        (("divide by", ("2x≡7(mod 9)",)), True),
        (("divide by", ("4x≡7(mod 9)",)), False),
        (("spread", ("x≡13,4(mod 18)",)), False),
        (("spread", ("x≡4(mod 18)",)), True),
        (("find second", ("2", "3", "y", "x≡5(mod 9)")), True),
        (("find second", ("2", "4", "y", "x≡5(mod 9)")), False),
        (("inverses", ("2,3,2",)), True),
        (("inverses", ("5,8,8",)), False),
        (("divisors", ("1,2,3",)), False),
        (("no line of the way", ("2=3",)), False),
    ],
)
def test_a_line_is_untrue_where_the_way_says_other_numbers_of_the_same_thing(line, untrue):
    """Moduli 3, 5 and 7: 5, 8 and 8 are other representatives of the same inverses."""
    assert is_untrue(line, WAY, (3, 5, 7)) is untrue
