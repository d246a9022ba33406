"""Student errors in solving f(x) = 0 (mod m), each carried through to its answer.

One function a slip, named for the mistake: it takes the true work and returns the
wrong residues with feedback in this congruence's own numbers, or None where the
mistake cannot be made. Feedback names the step and never the key.

The catalogue is common practice of the trade, in the order of the method: errors in
normalising (leading coefficient, constant), modulo a prime (signs, halves), in
factoring, in lifting, in combining.
"""

from collections.abc import Callable, Iterator

from itembank.kinds.base import Slip, Solution
from itembank.kinds.mistakes import SetFound
from itembank.kinds.polynomial.slips import (
    combining,
    factoring,
    lifting,
    modulo_a_prime,
    normalising,
    square,
)
from itembank.kinds.polynomial.slips.work import Work, true_work
from itembank.kinds.wrong_solutions import by_name, wrong_solutions
from itembank.languages import Said, say
from itembank.maths.polynomials import Poly
from itembank.values.answer import ResidueSet

MISTAKES: dict[str, Callable[[Work], SetFound]] = by_name(
    normalising.constant_sign,
    normalising.leading_coefficient_ignored,
    normalising.modulus_kept,
    normalising.cancelled_x,
    modulo_a_prime.needs_a_square_number,
    modulo_a_prime.one_square_root,
    modulo_a_prime.halved_in_the_integers,
    square.product_not_zero,
    square.square_not_added,
    square.half_for_the_root,
    square.root_not_taken,
    modulo_a_prime.shift_sign,
    modulo_a_prime.zero_taken_for_no_root,
    factoring.zero_product_rule,
    factoring.factor_dropped,
    lifting.not_lifted,
    lifting.lift_sign,
    lifting.power_not_brought_down,
    lifting.derivative_not_evaluated,
    lifting.every_lift_kept,
    lifting.singular_taken_as_simple,
    lifting.singular_discarded,
    lifting.only_unshifted_tested,
    lifting.odd_rule_at_two,
    lifting.tested_modulo_four_only,
    combining.matched_pairs_only,
    combining.residues_added,
    combining.inverses_left_out,
    combining.weights_swapped,
    combining.unsolvable_factor_ignored,
    factoring.one_pair_only,
)
"""In the order of the method; last the one that says least of where it went wrong."""

_STAGES: dict[str, Said] = {
    normalising.__name__: say("Bring the congruence into form"),
    modulo_a_prime.__name__: say("Solve modulo each prime"),
    square.__name__: say("Complete the square"),
    factoring.__name__: say("Factor, and use that a product is 0"),
    lifting.__name__: say("Lift to the powers of the primes"),
    combining.__name__: say("Combine"),
}
"""The step of the method in which the slips of a module go wrong."""


def stage_of(slip: str) -> Said | None:
    """The step of the method in which a slip goes wrong; None for one that is not of this kind.

    >>> stage_of("not-lifted").template
    'Lift to the powers of the primes'
    """
    return _STAGES[MISTAKES[slip].__module__] if slip in MISTAKES else None


def slips_of(f: Poly, m: int, letter: str, solution: Solution[ResidueSet]) -> Iterator[Slip]:
    """All slips that apply and whose answers hold at most MOST residues, in order."""
    work = true_work(f, m, solution)
    if work is not None:
        yield from wrong_solutions(MISTAKES, work, m, letter)
