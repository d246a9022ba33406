"""Student errors in solving x^k = a (mod m), each carried through to its answer.

One function a slip, named for the mistake, as in `polynomial.slips`: from the true work
to the wrong residues and the feedback, or None where the mistake cannot be made.

The catalogue is common practice of the trade, in the order of the method: reading the
power as one of integers, inverting the exponent, indices, zero, lifting, combining.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import wraps
from typing import Any

from itembank.kinds.base import Slip, Solution
from itembank.kinds.mistakes import SetFound
from itembank.kinds.polynomial.slips import combining, factoring
from itembank.kinds.polynomial.slips.work import Work
from itembank.kinds.power_root.slips import divisible, exponents, integers, lifting, roots
from itembank.kinds.power_root.slips.work import PowerWork, true_work
from itembank.kinds.wrong_solutions import by_name, wrong_solutions


def _of_parts(mistake: Callable[[Work], SetFound]) -> Callable[[PowerWork], SetFound]:
    """A mistake with the residues modulo the prime powers, whatever congruence they solve."""

    @wraps(mistake)
    def made(w: PowerWork) -> SetFound:
        return mistake(w.parts)

    return made


MISTAKES = by_name(
    integers.perfect_powers_only,
    integers.integer_root_only,
    integers.one_pair_only,
    exponents.exponent_inverted_modulo_m,
    exponents.phi_of_a_prime,
    exponents.power_for_root,
    exponents.base_inverted,
    roots.criterion_untested,
    roots.exponent_halved_only,
    roots.correction_forgotten,
    integers.negative_forgotten,
    integers.as_over_the_reals,
    roots.index_for_the_number,
    roots.index_modulo_the_prime,
    roots.index_divided,
    divisible.zero_taken_for_no_root,
    divisible.zero_only,
    divisible.divisible_so_none,
    divisible.one_for_the_class,
    lifting.not_lifted,
    lifting.lift_sign,
    lifting.power_not_brought_down,
    lifting.every_lift_kept,
    lifting.singular_taken_as_simple,
    lifting.singular_discarded,
    lifting.odd_rule_at_two,
    lifting.tested_modulo_four_only,
    _of_parts(combining.matched_pairs_only),
    _of_parts(combining.residues_added),
    _of_parts(combining.inverses_left_out),
    _of_parts(combining.weights_swapped),
    _of_parts(combining.unsolvable_factor_ignored),
    _of_parts(factoring.factor_dropped),
)
"""In the order of the method."""


def slips_of(
    k: int, a: int, m: int, letter: str, solution: Solution[Any], factors: Iterable[tuple[int, int]]
) -> Iterator[Slip]:
    """All slips that apply and whose answers hold few enough residues, in order."""
    work = true_work(k, a, m, solution, factors) if m > 1 else None
    return iter(()) if work is None else wrong_solutions(MISTAKES, work, m, letter)
