"""What the fields, asks, forms and measures of families mean, for whoever writes one.

The schemas for editors, the command `kinds` and the reference page say these words.  A field has
an example too; where a kind means something of its own by a name, (kind, name) has it.
"""

from collections.abc import Mapping

Described = tuple[str, str]
"""What a field holds, and an example of it."""

FIELDS: Mapping[str | tuple[str, str], Described] = {
    "account": ("The account number, written with `length` digits.", "n"),
    "base": ("The base of the powers.", "g"),
    "bases": ("The base of each term.", "[a, b]"),
    "body": ("The number without its check digit, as an integer.", "n"),
    "bottom": ("The lower number of the symbol, odd.", "p"),
    "by": ("How much is added to the changed digit, modulo 10.", "b"),
    "changed": ("The place, from 1, of a digit that is wrong; 0 for none.", "i"),
    "claim": ("The number of a claim in the catalogue.", "c"),
    "congruence": ("The two sides in the unknown x, with * and ^.", "x^2 + b*x = c"),
    ("linear", "congruence"): ("The two sides in the unknown x, of degree 1.", "a*x = b"),
    ("power_root", "congruence"): ("A power of x and a number.", "x^k = a"),
    ("lifting_step", "congruence"): ("The two sides in the unknown x.", "x^2 + b*x + c = 0"),
    "congruences": ("The congruences, two or more, each with its two sides.", "[x = a, x = b]"),
    "country": ("The number, 0 to 13, of a country code that no country has: QM to QZ.", "c"),
    "exponent": ("The exponent.", "e"),
    ("lifting_step", "exponent"): ("k, where the root is known modulo p^k.", "k"),
    "exponents": ("The exponent of each term; 0 leaves its factor alone.", "[e, f]"),
    "factor": ("The number before the power.", "f"),
    "factors": ("The number before the power of each term.", "[c, -d]"),
    "first": ("[a, b, c] for ax + by = c.", "[a, b, c]"),
    "least": ("0 to count solutions that are not negative, 1 for positive ones.", "1"),
    "length": ("How many digits the number has.", "8"),
    ("isbn_digit", "length"): ("10 or 13, the digits of the ISBN.", "13"),
    ("isbn_test", "length"): ("10 or 13, the digits of the ISBN.", "10"),
    "missing": ("The place, from 1, of the digit that cannot be read.", "i"),
    ("iban_digits", "missing"): (
        "The place, from 1, of the lost digit of the account; 0 for the check digits.",
        "i",
    ),
    "modulus": ("The modulus, at least 1; it may be a product of powers.", "p^2*q"),
    "moduli": ("The modulus of each congruence, at least 1.", "[p, q]"),
    "number": ("The number that is asked about.", "a"),
    ("factorial", "number"): ("n, of which the factorial is taken.", "p - k"),
    "numbers": ("The numbers, two or three.", "[d*u, d*v]"),
    ("claim", "numbers"): ("The numbers of the claim, as many as it has letters.", "[m, n, r, s]"),
    "prime": ("The prime p.", "p"),
    "root": ("A root modulo p^k.", "r"),
    "row": ("[a, b, c] for ax + by = c.", "[a, b, c]"),
    "second": ("[d, e, f] for dx + ey = f.", "[d, e, f]"),
    "swapped": ("The place, from 1, of a digit swapped with the next; 0 for none.", "i"),
    "top": ("The upper number of the symbol.", "a"),
    "tower": ("The base, its exponent, the exponent of that, two or more.", "[a, b, c]"),
    "value": ("The number on the right side.", "c"),
}  # fmt: skip

MEASURES: Mapping[str, str] = {
    "claim": "the number of the claim",
    "classes": "how many residue classes the answer is written with",
    "common_divisor": "the greatest common divisor that decides",
    "congruences": "how many congruences there are",
    "degree": "the degree",
    "depth": "the largest exponent of a prime in the modulus",
    "digit": "the digit that is asked for",
    "digits": "the digits of the modulus, or of the largest number given",
    "divisions": "how many divisions the algorithm takes",
    "exists": "1 if what is asked for exists, else 0",
    "exponent": "the exponent",
    "flips": "how often the reciprocity law is used",
    "holds": "1 if the claim holds, else 0",
    "index": "the index, 0 if there is none",
    "index_of_subgroup": "how many times the order goes into phi(m)",
    "jacobi_symbol": "the Jacobi symbol",
    "largest_exponent": "the largest exponent of a prime in n",
    "least": "the number that is asked for, 0 if there is none",
    "missing_factors": "how many factors the factorial lacks below the modulus",
    "order": "the order of the number or of the base",
    "period": "after how many exponents the powers repeat",
    "phi": "phi of n",
    "powers": "how many powers the expression has",
    "prime_bottom": "1 if the lower number is a prime, else 0",
    "prime_powers": "how many different primes divide the modulus",
    "remainder": "the remainder that the test leaves",
    "singular_roots": "how many roots are singular: the derivative is 0 there",
    "solutions": "how many solutions there are, in residues or pairs of them",
    "solvable": "1 if there is a solution, else 0",
    "steps": "the effort of the worked solution",
    "tail": "after how many exponents the powers begin to repeat",
    "twos": "how often 2 is taken out",
    "value": "the value that is asked for",
    "verdict": "0 if the claim is never true, 1 sometimes, 2 always",
    "weight": "the weight of the missing digit",
}
"""What a condition may ask of the solution, by its name."""

ASKED: Mapping[str, str] = {
    "all solutions": "every solution",
    "the solution": "the one solution; others are passed over",
    "how many": "the number of solutions",
    "the least": "the least solution that is not negative",
    "the largest": "the largest solution below the modulus",
    "whether any": "whether there is one, or whether it is so",
    "the value": "one number",
    "the steps": "the order of the steps",
    "the wrong line": "the first wrong line of a written solution",
    "the missing step": "the line that was left out",
    "the next step": "the line that comes next",
    "the reason": "why a line follows",
    "always, sometimes or never": "when a claim is true",
    "which": "which of several congruences is as it is asked for",
}

IN_FORM: Mapping[str, str] = {
    "select all": "options of which all that are right are ticked",
    "select one": "options of which one is chosen",
    "integer": "one integer is typed",
    "list": "a list is typed in one entry",
    "set": "each number is typed in an entry of its own",
    "solvable or not": "true or false",
    "order": "lines are put in order",
    "match": "numbers are matched with what belongs to them",
    "guided": "the derivation is filled in stage by stage",
}


FAMILY_EXAMPLES: Mapping[str, object] = {
    "id": "quadratic-two-prime-powers",
    "version": 1,
    "title": "Quadratic congruence, modulus with two prime powers",
    "shown as": "A quadratic congruence",
    "about": "The whole method in one question: split, solve, lift, combine, check.",
    "problem": "polynomial",
    "outcomes": ["lift-roots", "combine-roots"],
    "level": "medium",
    "parameters": {"p": {"prime": [5, 13]}, "b": {"integer": [1, "p - 1"]}},
    "where": ["not is_square(b^2 - 4*c)", "solutions == 4"],
    "given": {"congruence": "x^2 + b*x + c = 0", "modulus": "p^2*q"},
    "ask": "all solutions",
    "forms": ["select all", "list"],
    "slips": ["constant-sign"],
    "substitutes": {"set": "list"},
    "scoring": "plus minus",
    "shortcuts": "allowed",
    "coefficients": "any",
    "small": "There are few primes of this kind.",
    "guessing": "A warm-up in class, not graded.",
    "integer": [1, "p - 1"],
    "prime": [5, 13],
    "one of": [4, 8, 9],
    "value": "p*q",
    "except": ["p"],
    "radical": True,
    "story": {"en": "A farmer has {a} eggs left over."},
    "formal": "hidden",
    "hints": ["Write both facts as congruences."],
    "feedback": {"right": "Well packed."},
    "same": "numbers",
    "solutions": "radical",
    "answer": {"above": 100},
    "above": 100,
    "below": 0,
    "between": [100, 150],
    "residues": "symmetric",
    "name": "added",
    "says": "If you added the remainders: they belong to different moduli.",
    "right": "Well packed.",
    "wrong": "See section 4.2 of the notes.",
}
"""An example of each field of a family, those of its parameters among them."""

POOL_EXAMPLES: Mapping[str, object] = {
    "id": "lifting-homework",
    "title": "Homework 3: lifting roots",
    "course": "NT 210",
    "language": "en",
    "languages": ["en", "de"],
    "seed": "nt210-lifting",
    "rests": 4,
    "use": "practice",
    "author": "R. Ayala",
    "persons": 2,
    "effort": {"steps": 6, "digits": 1, "singular": 1},
    "wording": {"letter": "y"},
    "items": [{"family": "linear-one-solution", "variants": 8, "choose": 2}],
    "family": "linear-one-solution",
    "variants": 8,
    "choose": 2,
    "points": 2,
    "form": "list",
    "letter": "y",
    "steps": 6,
    "digits": 1,
    "singular": 1,
    "with": [{"p": 7, "q": 11}],
    "without": [{"p": 7}],
    "instead": ["linear-several-solutions"],
}
"""An example of each field of a pool, of its entries and of its wording."""


def field_of(kind: str, name: str) -> Described | None:
    """What a field of `given` holds in families of a kind; None where nobody has said it."""
    return FIELDS.get((kind, name)) or FIELDS.get(name)


def measure_of(name: str) -> str:
    return MEASURES[name]


COURSE_EXAMPLES: Mapping[str, object] = {
    "name": "NT 210, Alder Ford College",
    "language": "en",
    "notation": {"letter": "y", "mod": "mod n"},
    "methods": {"combine": "substitution"},
    "combine": "substitution",
    "roots": "factor first",
    "inverse": "table",
    "lift": "substitute",
    "letter": "y",
    "residues": "symmetric",
    "mod": "mod n",
    "congruent": "words",
    "terms": [
        {"name": "2027-spring", "begins": "2027-02-01", "ends": "2027-06-11"},
        {"name": "2027-autumn"},
    ],
    "begins": "2027-02-01",
    "ends": "2027-06-11",
}
"""An example of each field of a course."""
