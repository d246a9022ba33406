"""The one table of kinds of problem.  A new kind is one folder and its line here.

The table holds names, not classes: a kind is loaded when it is asked for, so that whoever
solves a linear congruence waits for no other kind.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from itembank.kinds.asking import with_claims
from itembank.notation.reading import DIGITS, LONGEST, longest_integer
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

if TYPE_CHECKING:
    from itembank.kinds.base import Kind, Problem, Read

_ALWAYS = ""

_DOTTED = str.maketrans("ıİ", "ii")
"""The letters that patterns take for an i, and casefold does not."""


class Folder(NamedTuple):
    """A folder of kinds: its name, the names of its kinds, and what its statements look like.

    holds: words or signs, in small letters, one of which a line of each of its statements holds.
    looks_like: a pattern that such a line fits, blanks as single spaces, compiled only where one
    of these words stands.  What fits neither is not shown to its readers.  lines: how many a
    statement has at least.
    """

    name: str
    kinds: tuple[str, ...]
    holds: tuple[str, ...] = ("",)
    looks_like: str = _ALWAYS
    lines: int = 1

    def may_read(self, statements: Sequence[str]) -> bool:
        """Whether its readers have to be asked; cheap, and never a no to what they would read."""
        return len(statements) >= self.lines and any(map(self._fits, statements))

    def _fits(self, line: str) -> bool:
        """Small letters are looked for in small letters: patterns for both take long to compile."""
        small = " ".join(line.translate(_DOTTED).split()).casefold()
        return any(word in small for word in self.holds) and (
            not self.looks_like or re.search(self.looks_like, small) is not None
        )

    def loaded(self) -> tuple["Kind", ...]:
        """The records of its kinds, imported."""
        records: tuple[Kind, ...] = import_module(f"itembank.kinds.{self.name}.kind").KINDS
        return records


_POWERS = ("^", "**", *"⁰¹²³⁴⁵⁶⁷⁸⁹")

_POWER = r"(?:\^|\*\*|[⁰¹²³⁴⁵⁶⁷⁸⁹])"

_POWER_OF_UNKNOWN = r"(?:\^|\*\*)[\s(+-]*[a-z]"

_LETTER = r"(?<![a-z])([a-z])(?![a-z])"

FOLDERS: tuple[Folder, ...] = (
    Folder("claim", ("claim",), ("claim",), r"^\s*claim"),
    Folder("which", ("which_solvable", "which_count", "which_same"), ("which",), r"^\s*which ", 2),
    Folder(
        "right_sides",
        ("right_sides", "number_of_right_sides", "unsolvable_sides"),
        ("c for which",),
        r"\bc for which\b",
    ),
    Folder(
        "check_digits",
        ("isbn_digit", "isbn_test", "iban_digits", "iban_test"),
        ("isbn", "iban"),
        r"^\s*i(?:sb|ba)n",
    ),
    Folder(
        "affine_cipher",
        ("affine_encryption", "affine_decryption", "affine_multiplier"),
        ("crypt ", "sends", "affine"),
    ),
    Folder(
        "power_cipher",
        (
            "cipher_encryption",
            "cipher_exponent",
            "rsa_exponent",
            "cipher_decryption",
            "rsa_decryption",
        ),
        ("exponent",),
    ),
    Folder("key_exchange", ("shared_key",), ("key of",)),
    Folder("decimals", ("decimal_period", "decimal_preperiod"), ("period",)),
    Folder("shuffles", ("out_shuffles", "in_shuffles"), ("shuffle",)),
    Folder("missing_digits", ("missing_digits",), ("divisible",)),
    Folder(
        "weighted_digits", ("weighted_digit", "wrong_digits_seen", "exchanges_seen"), ("weights",)
    ),
    Folder("prime_in_factorial", ("prime_in_factorial", "trailing_zeros"), ("!",)),
    Folder(
        "phi_inverse",
        ("number_with_phi", "largest_with_phi", "numbers_with_phi"),
        ("phi(x)", "phi (x)"),
    ),
    Folder("binomial", ("binomial",), ("binomial", "choose", "c("), r"binomial|choose|^c\("),
    Folder("calendar", ("weekday_after", "hour_after", "weekday_of_date"), ("weekday", "hour")),
    Folder(
        "pseudoprimes",
        ("pseudoprime_test", "strong_pseudoprime_test", "carmichael_test", "pseudoprime_bases"),
        ("pseudoprime", "carmichael"),
        r"pseudoprime|is .*carmichael",
    ),
    Folder(
        "residue_primes", ("residue_primes",), ("quadratic residue",), r"primes.* quadratic residue"
    ),
    Folder("gcd", ("gcd", "lcm"), ("gcd", "hcf", "lcm", "common")),
    Folder(
        "symbol",
        ("symbol",),
        ("legendre", "jacobi", "kronecker", "/", "|"),
        r"legendre|jacobi|kronecker|^\s*\(.*[/|]",
    ),
    Folder(
        "totient",
        ("phi", "lambda"),
        ("phi", "φ", "ϕ", "totient", "lambda", "λ", "number of units"),
    ),
    Folder(
        "squares",
        ("squares", "quadratic_residues", "number_of_squares", "number_of_quadratic_residues"),
        ("squares", "quadratic residues"),
    ),
    Folder("square_test", ("square_test",), ("square", "residue"), r"^\s*is .*(?:square|residue)"),
    Folder(
        "units",
        ("units", "zero_divisors", "number_of_zero_divisors", "inverses"),
        ("units", "zero divisors", "inverses"),
    ),
    Folder("linear_pair", ("linear_pair",), lines=2),
    Folder("system", ("system",), lines=2),
    Folder("linear_in_two", ("linear_in_two",), ("mod",), rf"{_LETTER}.*(?!\1){_LETTER}.*\bmod"),
    Folder(
        "diophantine",
        ("diophantine", "natural_count"),
        looks_like=rf"(?:positive|non-negative) solutions|^(?!.*\bmod).*{_LETTER}.*(?!\1){_LETTER}",
    ),
    Folder("lifting_step", ("lifting_step",), ("lift",), r"^\s*lift "),
    Folder("solution_sum", ("solution_sum",), ("sum of",)),
    Folder("solution_count", ("solution_count",), ("number of solutions",)),
    Folder("inverse", ("inverse",), ("inverse of",)),
    Folder("order", ("order",), ("order of",)),
    Folder(
        "primitive_root",
        (
            "primitive_roots",
            "least_primitive_root",
            "primitive_root_count",
            "primitive_root_existence",
            "primitive_root_test",
        ),
        ("primitive root",),
    ),
    Folder(
        "index",
        ("index", "exponential", "power_by_indices"),
        ("index of", "logarithm of", "by indices", "^", "**"),
        rf"index of|logarithm of|by indices|{_POWER_OF_UNKNOWN}",
    ),
    Folder("least_exponent", ("least_exponent",), ("^", "**"), _POWER_OF_UNKNOWN),
    Folder("factorial", ("factorial",), ("!",)),
    Folder("power", ("power", "tower"), _POWERS, rf"^[^=≡]*{_POWER}[^=≡]*$"),
    Folder("remainder", ("remainder",), ("mod",), r"^[^=≡a-z]*\(?mod\b[^=≡]*$"),
    Folder("power_root", ("power_root",), _POWERS),
    Folder("linear", ("linear",)),
    Folder("polynomial", ("polynomial",)),
)
"""The kinds of every folder, in the order in which their readers are tried.

A form that two readers know belongs to the first: a pure power is a root, a congruence of
degree at most 1 is linear, what is left is polynomial.
"""

_V = TypeVar("_V", covariant=True)


class _WhenAsked(Mapping[str, _V]):
    """Something of every kind by its name, loaded with the kind."""

    def __init__(self, names: Sequence[str], of: "Callable[[Kind], _V]") -> None:
        self.of = of
        self.names = dict.fromkeys(names)

    def __getitem__(self, name: str) -> _V:
        return self.of(kind_named(name))

    def __iter__(self) -> Iterator[str]:
        return iter(self.names)

    def __len__(self) -> int:
        return len(self.names)

    def __contains__(self, name: object) -> bool:
        return name in self.names


@cache
def kind_named(name: str) -> "Kind":
    """The record of a kind, held once it was asked for; KeyError for a name that no kind has."""
    for folder in FOLDERS:
        if name in folder.kinds:
            return folder.loaded()[folder.kinds.index(name)]
    raise KeyError(name)


_NAMES = tuple(name for folder in FOLDERS for name in folder.kinds)


def _itself(kind: "Kind") -> "Kind":
    return kind


def _signature_of(kind: "Kind") -> KindSignature:
    signature: KindSignature = kind.problem.signature
    return with_claims(signature)


KINDS: Mapping[str, "Kind"] = _WhenAsked(_NAMES, _itself)
"""Every kind by its name."""

SIGNATURES: Mapping[str, KindSignature] = _WhenAsked(sorted(_NAMES), _signature_of)
"""What a family of each kind may say."""


def _readers(statements: Sequence[str]) -> "Iterator[Read]":
    """The readers that may know the statements, in order, each once."""
    for folder in FOLDERS:
        if folder.may_read(statements):
            yield from dict.fromkeys(kind.read for kind in folder.loaded())


def read(statements: Sequence[str]) -> "Problem | None":
    """The problem that the first reader to know the form reads; None if none does."""
    for reader in _readers(statements):
        problem: Problem | None = reader(statements)
        if problem is not None:
            _refuse_if_too_long(problem, statements[0])
            return problem
    return None


def _refuse_if_too_long(problem: "Problem", typed: str) -> None:
    """StatementError where the statement, its products multiplied out, cannot be read back."""
    for line in problem.statement:
        digits = longest_integer(line)
        if digits > DIGITS:
            raise StatementError(
                worded(
                    "{typed}: multiplied out, a number has {digits} digits, and at most "
                    "{other_digits} "
                    "are read; write it reduced modulo the modulus",
                    typed=repr(typed),
                    digits=digits,
                    other_digits=DIGITS,
                )
            )
        if len(line) > LONGEST:
            raise StatementError(
                worded(
                    "{typed}: multiplied out, it has {n} characters, and at most {longest} are "
                    "read; write a congruence of fewer terms",
                    typed=repr(typed),
                    n=len(line),
                    longest=LONGEST,
                )
            )
