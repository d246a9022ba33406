"""Which kinds are asked for their way (order, match, guided), and why others are not.

A kind whose derivation has three steps or more has a shipped family in each of these forms, or
stands here with a reason, so that nothing is missing in silence.
"""

from functools import cache

from itembank.kinds.derivation import Derived
from itembank.kinds.statement import problem_from
from itembank.kinds.table import KINDS
from tests.shipped import FAMILIES

FORMS = ("order", "match", "guided")
THREE = 3

NO_VALUES = "each number on the way comes from the one before: there are no others to match"
TWO_VALUES = "a symbol is 1 or -1: each second guess at a value is right"
MATCHED_AS_ORDER = "powers are matched with exponents in families of the order"
LINES_ALONE = "what is found on the way are lines that build on each other, put in order"

REASONS = {
    "gcd": {"match": NO_VALUES},
    "linear": {"match": NO_VALUES},
    "system": {"match": NO_VALUES},
    "factorial": {"match": NO_VALUES},
    "power": {"match": MATCHED_AS_ORDER},
    "power_root": {"match": MATCHED_AS_ORDER},
    "power_by_indices": {"match": MATCHED_AS_ORDER, "guided": LINES_ALONE},
    "primitive_root_test": {"match": MATCHED_AS_ORDER, "guided": LINES_ALONE},
    "linear_pair": {"match": NO_VALUES, "guided": LINES_ALONE},
    "symbol": {"match": TWO_VALUES, "guided": TWO_VALUES},
    "phi": {"guided": "its values are matched, and its lines put in order"},
}
"""By kind that tells of its derivation: the forms without a family, and why."""

ANOTHER = {
    "affine_decryption": "inverse",
    "affine_multiplier": "linear_pair",
    "cipher_decryption": "power_root",
    "rsa_decryption": "power_root",
    "decimal_period": "order",
    "decimal_preperiod": "order",
    "index": "order",
    "exponential": "order",
    "tower": "power",
    "lcm": "gcd",
    "lambda": "phi",
    "linear_in_two": "linear",
    "diophantine": "gcd",
    "natural_count": "gcd",
    "lifting_step": "polynomial",
    "solution_sum": "polynomial",
    "primitive_roots": "primitive_root_test",
    "least_primitive_root": "primitive_root_test",
}
"""Kinds whose way is that of another, which is asked for it, and a last step."""

EACH_BY_ITSELF = {
    "squares", "number_of_squares", "number_of_quadratic_residues", "solution_count",
    "square_test", "which_solvable", "which_count", "which_same", "pseudoprime_bases",
    "unsolvable_sides",
}  # fmt: skip
"""Kinds whose prime powers, or congruences, are each taken by itself: in any order."""

ALWAYS_ALIKE = {
    "isbn_digit", "iban_digits", "iban_test", "weekday_of_date", "least_exponent", "remainder",
    "units", "inverses", "zero_divisors", "number_of_zero_divisors", "primitive_root_count",
    "residue_primes", "missing_digits",
}  # fmt: skip
"""Kinds whose steps are as many, and the same, in every variant: one order would be learned."""


@cache
def offered() -> dict[str, set[str]]:
    """By kind: the forms about the way in which a shipped family puts it."""
    found: dict[str, set[str]] = {name: set() for name in KINDS}
    for family in FAMILIES.values():
        found[family.kind] |= set(family.forms) & set(FORMS)
    return found


def longest(name: str) -> int:
    """The most steps of a solution of one of the kind's samples."""
    problems = (problem_from(sample.split("; ")) for sample in KINDS[name].samples)
    return max(len(problem.solve().steps) for problem in problems)


def derived(name: str) -> bool:
    return issubclass(KINDS[name].problem, Derived)


def test_a_kind_that_tells_of_its_way_is_asked_for_it_in_each_form_or_it_is_said_why_not():
    missing = {
        name: set(FORMS) - offered()[name]
        for name in KINDS
        if derived(name) and set(FORMS) - offered()[name]
    }

    assert missing == {name: set(reasons) for name, reasons in REASONS.items()}


def test_a_kind_of_three_steps_or_more_tells_of_its_way_or_it_is_said_why_not():
    long = {name for name in KINDS if not derived(name) and longest(name) >= THREE}

    assert long == {*ANOTHER, *EACH_BY_ITSELF, *ALWAYS_ALIKE}
    assert len(long) == len(ANOTHER) + len(EACH_BY_ITSELF) + len(ALWAYS_ALIKE)


def test_the_kind_that_is_asked_instead_has_its_lines_put_in_order():
    for name in ANOTHER.values():
        assert "order" in offered()[name], name


def test_a_kind_that_does_not_tell_of_its_way_has_no_family_about_it():
    assert not any(offered()[name] for name in KINDS if not derived(name))
