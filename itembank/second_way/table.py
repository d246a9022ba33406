"""The second way: whether a claimed answer is right, by code that nothing else uses.

    decide("x^2 + 9x + 5 = 0 mod 117", "how many", 4)

reads the statement with a reader of its own and decides the claim by trial, by
substitution and by counting.  What it cannot decide is *unchecked*.  It imports
neither the solver nor the notation: a checker that shares code shares its mistakes.

A kind's second way is second_way.py in its folder (its Kind: a check for each ask), one line in
KINDS, and a reader of its statement that `read` calls.  What a claim is depends on the ask:
all solutions: parts (m_i, classes (r, d)) for coprime m_i with product m; an answer
in one piece is [(m, classes)];  the solution: an integer of the only class that solves
it;  how many: an integer;  the least, the largest: an integer, or None if there is no
solution;  whether any: True or False. Of two unknowns all solutions are pairs (x, y).
"""

import re
from collections.abc import Sequence
from functools import lru_cache

from itembank.kinds.affine_cipher import second_way as affine_cipher
from itembank.kinds.binomial import second_way as binomial
from itembank.kinds.calendar import second_way as calendar
from itembank.kinds.check_digits import second_way as check_digits
from itembank.kinds.claim import second_way as claim
from itembank.kinds.decimals import second_way as decimals
from itembank.kinds.diophantine import second_way as diophantine
from itembank.kinds.diophantine.second_way import Equation
from itembank.kinds.factorial import second_way as factorial
from itembank.kinds.factorial.second_way import FactorialOf
from itembank.kinds.gcd import second_way as gcd
from itembank.kinds.gcd.second_way import OfIntegers
from itembank.kinds.index import second_way as indices
from itembank.kinds.inverse import second_way as inverse
from itembank.kinds.inverse.second_way import Inverse
from itembank.kinds.key_exchange import second_way as key_exchange
from itembank.kinds.least_exponent import second_way as least_exponent
from itembank.kinds.linear_pair import second_way as linear_pair
from itembank.kinds.linear_pair.second_way import TwoUnknowns
from itembank.kinds.missing_digits import second_way as missing_digits
from itembank.kinds.order import second_way as order
from itembank.kinds.order.second_way import OrderOf
from itembank.kinds.phi_inverse import second_way as phi_inverse
from itembank.kinds.power import second_way as power
from itembank.kinds.power.second_way import PowerOf
from itembank.kinds.power_cipher import second_way as power_cipher
from itembank.kinds.prime_in_factorial import second_way as prime_in_factorial
from itembank.kinds.primitive_root import second_way as primitive_root
from itembank.kinds.primitive_root.second_way import Roots
from itembank.kinds.pseudoprimes import second_way as pseudoprimes
from itembank.kinds.remainder import second_way as remainder
from itembank.kinds.residue_primes import second_way as residue_primes
from itembank.kinds.right_sides import second_way as right_sides
from itembank.kinds.shuffles import second_way as shuffles
from itembank.kinds.solution_count import second_way as solution_count
from itembank.kinds.solution_sum import second_way as solution_sum
from itembank.kinds.solution_sum.second_way import Summed
from itembank.kinds.squares import second_way as squares
from itembank.kinds.symbol import second_way as symbol
from itembank.kinds.symbol.second_way import Symbol
from itembank.kinds.totient import second_way as totient
from itembank.kinds.totient.second_way import OfNumber
from itembank.kinds.units import second_way as residue_classes
from itembank.kinds.units.second_way import InverseTable
from itembank.kinds.weighted_digits import second_way as weighted_digits
from itembank.kinds.which import second_way as which
from itembank.kinds.which.second_way import Which
from itembank.second_way import budget, congruence, power_root, system
from itembank.second_way.congruence import Part
from itembank.second_way.kind import Claim, Kind
from itembank.second_way.reading import Congruence
from itembank.second_way.reading import congruence as read_congruence
from itembank.second_way.system import System
from itembank.second_way.verdict import Undecided, Verdict, unchecked
from itembank.values.errors import StatementError

__all__ = [
    "Claim",
    "Congruence",
    "Equation",
    "FactorialOf",
    "Inverse",
    "InverseTable",
    "OfIntegers",
    "OfNumber",
    "OrderOf",
    "PowerOf",
    "Question",
    "Roots",
    "Summed",
    "Symbol",
    "System",
    "TwoUnknowns",
    "Verdict",
    "Which",
    "check_set",
    "check_value",
    "decide",
    "read",
    "solutions",
]

Question = (
    Congruence
    | claim.Claim
    | affine_cipher.Question
    | residue_primes.Primes
    | pseudoprimes.Test
    | calendar.Walk
    | calendar.Date
    | binomial.Chosen
    | phi_inverse.Valued
    | prime_in_factorial.InFactorial
    | weighted_digits.Scheme
    | missing_digits.Gap
    | shuffles.Pack
    | decimals.Fraction
    | key_exchange.Shared
    | power_cipher.Encrypted
    | power_cipher.Decrypting
    | power_cipher.Decrypted
    | Inverse
    | PowerOf
    | remainder.Expression
    | FactorialOf
    | OrderOf
    | primitive_root.Roots
    | indices.IndexOf
    | indices.Exponential
    | System
    | TwoUnknowns
    | power_root.PowerOfUnknown
    | right_sides.Sides
    | solution_count.Counted
    | Summed
    | squares.Squares
    | squares.IsSquare
    | Symbol
    | residue_classes.Classes
    | InverseTable
    | OfNumber
    | check_digits.Number
    | Equation
    | OfIntegers
    | least_exponent.Least
    | Which
)

KINDS: dict[type[Question], Kind] = {
    Congruence: congruence.KIND,
    claim.Claim: claim.KIND,
    affine_cipher.Block: affine_cipher.KIND,
    residue_primes.Primes: residue_primes.KIND,
    pseudoprimes.Test: pseudoprimes.KIND,
    calendar.Walk: calendar.KIND,
    calendar.Date: calendar.KIND,
    binomial.Chosen: binomial.KIND,
    phi_inverse.Valued: phi_inverse.KIND,
    prime_in_factorial.InFactorial: prime_in_factorial.KIND,
    weighted_digits.Scheme: weighted_digits.KIND,
    missing_digits.Gap: missing_digits.KIND,
    shuffles.Pack: shuffles.KIND,
    decimals.Fraction: decimals.KIND,
    key_exchange.Shared: key_exchange.KIND,
    power_cipher.Encrypted: power_cipher.KIND,
    power_cipher.Decrypting: power_cipher.KIND,
    power_cipher.Decrypted: power_cipher.KIND,
    affine_cipher.Multiplier: affine_cipher.KIND,
    Inverse: inverse.KIND,
    PowerOf: power.KIND,
    remainder.Expression: remainder.KIND,
    FactorialOf: factorial.KIND,
    OrderOf: order.KIND,
    primitive_root.Roots: primitive_root.KIND,
    indices.IndexOf: indices.INDEX,
    indices.Exponential: indices.EXPONENTIAL_KIND,
    System: system.KIND,
    TwoUnknowns: linear_pair.KIND,
    power_root.PowerOfUnknown: power_root.KIND,
    right_sides.Sides: right_sides.KIND,
    solution_count.Counted: solution_count.KIND,
    Summed: solution_sum.KIND,
    squares.Squares: squares.SQUARES,
    squares.IsSquare: squares.IS_SQUARE,
    Symbol: symbol.KIND,
    residue_classes.Classes: residue_classes.KIND,
    InverseTable: residue_classes.INVERSE_TABLE,
    OfNumber: totient.KIND,
    check_digits.Number: check_digits.KIND,
    Equation: diophantine.KIND,
    OfIntegers: gcd.KIND,
    least_exponent.Least: least_exponent.KIND,
    Which: which.KIND,
}

READERS = (
    claim.read,
    affine_cipher.read,
    residue_primes.read,
    pseudoprimes.read,
    calendar.read,
    binomial.read,
    phi_inverse.read,
    prime_in_factorial.read,
    weighted_digits.read,
    missing_digits.read,
    shuffles.read,
    decimals.read,
    key_exchange.read,
    power_cipher.read,
    check_digits.read,
    gcd.read,
    symbol.read,
    totient.read,
    squares.read,
    residue_classes.read,
    right_sides.read,
    solution_count.read,
    solution_sum.read,
    system.read_lift,
    power_root.read,
    inverse.read,
    order.read,
    primitive_root.read,
    least_exponent.read,
    indices.read,
    remainder.read,
    diophantine.read,
    linear_pair.read_one,
    factorial.read,
    power.read,
)
"""Readers of one line, tried in order; what none of them knows is read as a congruence.

Several lines are a system, in one unknown or in two.
"""

_OF_SIGNS = tuple(
    reader
    for reader in READERS
    if reader
    in {
        symbol.read,
        totient.read,
        power_root.read,
        least_exponent.read,
        indices.read,
        remainder.read,
        diophantine.read,
        linear_pair.read_one,
        factorial.read,
        power.read,
    }
)
"""Those that read signs alone, too; every other needs a word, as `which` does."""

_WORD = re.compile(r"(?<![^\W\d_])(?!mod(?![^\W\d_]))[^\W\d_]{3,}")
"""Three letters together, but for mod."""


@lru_cache(maxsize=256)
def read(*statement: str) -> Question:
    """The question that the lines of a plain statement put; StatementError if none is read.

    >>> read("3x = 6 (mod 9)").coefficients
    (3, 3)
    """
    if not statement:
        raise StatementError("statement: expected a question, got none")
    words = any(map(_WORD.search, statement))
    if words and (question := which.read(statement)):
        return question
    if len(statement) != 1:
        return linear_pair.read(statement) or system.read(statement)
    for reader in READERS if words else _OF_SIGNS:
        found = reader(statement[0])
        if found is not None:
            return found
    return read_congruence(statement[0])


def decide(statement: str | Sequence[str], ask: str, claim: Claim) -> Verdict:
    """Whether `claim` answers `ask` (one of vocabulary.ASKS) of the statement, completely.

    >>> decide("x^2 = 1 mod 8", "all solutions", [(8, [(1, 2)])]).status
    'agreed'
    >>> decide("x^2 = 1 mod 8", "the largest", 5).message
    'expected 7 as the largest solution, the answer says 5'
    """
    try:
        question = read(statement) if isinstance(statement, str) else read(*statement)
    except StatementError as reason:
        return unchecked(str(reason))
    return check_value(question, ask, claim)


def check_value(question: Question, ask: str, claim: Claim) -> Verdict:
    """As `decide`, for a question already read."""
    check = KINDS[type(question)].checks.get(ask)
    if check is None:
        return unchecked(f"expected an ask that can be checked, got '{ask}'")
    try:
        budget.refuse_large(_modulus_of(question))
        return check(question, claim)
    except Undecided as reason:
        return unchecked(str(reason))


def check_set(question: Question, parts: Sequence[Part]) -> Verdict:
    """Whether the parts hold exactly the solutions."""
    return check_value(question, "all solutions", parts)


def solutions(question: Question) -> tuple[int, ...] | None:
    """All solutions as least residues, increasing; None if too many to list or undecided.

    >>> solutions(read("x^2 + 9x + 5 = 0 mod 117"))
    (7, 20, 88, 101)
    """
    try:
        budget.refuse_large(_modulus_of(question))
        return KINDS[type(question)].solutions(question)
    except Undecided:
        return None


def _modulus_of(question: Question) -> int | None:
    """The modulus as it is written: of an exponential congruence not that of its exponents."""
    return question.m if isinstance(question, indices.Exponential) else question.modulus
