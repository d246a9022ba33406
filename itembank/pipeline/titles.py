"""What students see for a title: what kind of question it is, and nothing that helps to answer it.

The title of a family is for staff: it may speak of "several solutions", of the method, of what
goes wrong. A student reads that of the kind, or what the family says under `shown as`, with a code
and a number that tell questions apart.
"""

from itembank.languages import Said, Speaker, say
from itembank.languages.catalogue import ENGLISH
from itembank.pipeline.balance import pick
from itembank.spec import Family

CONGRUENCE, POWERS = say("A congruence"), say("Powers modulo a number")
SYSTEM, SQUARES = say("A system of congruences"), say("Squares modulo a number")
ROOTS, UNITS = say("Primitive roots"), say("Multiplication modulo a number")
EQUATION = say("An equation in integers")

OF_KIND: dict[str, Said] = {
    "claim": say("A claim"),
    "diophantine": EQUATION,
    "exponential": CONGRUENCE,
    "factorial": say("A factorial modulo a number"),
    "gcd": say("Common divisors"),
    "iban_digits": say("An account number"),
    "iban_test": say("An account number"),
    "index": say("Indices"),
    "inverse": UNITS,
    "inverses": UNITS,
    "isbn_digit": say("A book number"),
    "isbn_test": say("A book number"),
    "lambda": say("Carmichael's function"),
    "lcm": say("Common multiples"),
    "least_exponent": CONGRUENCE,
    "least_primitive_root": ROOTS,
    "lifting_step": CONGRUENCE,
    "linear": CONGRUENCE,
    "linear_in_two": CONGRUENCE,
    "linear_pair": SYSTEM,
    "natural_count": EQUATION,
    "number_of_quadratic_residues": SQUARES,
    "number_of_squares": SQUARES,
    "number_of_zero_divisors": UNITS,
    "order": POWERS,
    "phi": say("Euler's function"),
    "polynomial": CONGRUENCE,
    "power": POWERS,
    "power_by_indices": CONGRUENCE,
    "power_root": CONGRUENCE,
    "primitive_root_count": ROOTS,
    "primitive_root_existence": ROOTS,
    "primitive_root_test": ROOTS,
    "primitive_roots": ROOTS,
    "quadratic_residues": SQUARES,
    "remainder": say("A remainder"),
    "solution_count": CONGRUENCE,
    "square_test": SQUARES,
    "squares": SQUARES,
    "symbol": say("A symbol"),
    "system": SYSTEM,
    "tower": POWERS,
    "units": UNITS,
    "zero_divisors": UNITS,
}
"""By the kind of problem."""

LETTERS = "BCDFGHJKLMNPQRSTVWXZ"
"""Of codes: no vowels, so that they are no words."""

CODE = 4
"""Letters of a code."""


def code_of(family: Family) -> str:
    """Letters that tell the questions of one family from those of others, and nothing else."""
    n = pick(f"title/{family.id}", len(LETTERS) ** CODE)
    letters = []
    for _ in range(CODE):
        n, place = divmod(n, len(LETTERS))
        letters.append(LETTERS[place])
    return "".join(letters)


def neutral(family: Family, language: str = ENGLISH) -> str:
    """What kind of question the family asks: "A congruence"."""
    if family.shown_as:
        return family.shown_as
    return Speaker(language).text(OF_KIND[family.kind])


def of_group(family: Family, language: str = ENGLISH) -> str:
    """The title of the family's questions together: "A congruence (KVTB)"."""
    speaker = Speaker(language)
    said = say("{title} ({n})", title=neutral(family, language), n=code_of(family))
    return speaker.text(said)


def of_item(family: Family, index: int, language: str = ENGLISH) -> str:
    """The title of one question: "A congruence (KVTB 7)"; no two of one draw have the same."""
    title, n = neutral(family, language), f"{code_of(family)} {index + 1}"
    return Speaker(language).text(say("{title} ({n})", title=title, n=n))
