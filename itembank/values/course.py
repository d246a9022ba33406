"""What a course teaches: how congruences are written, and by which method they are solved.

Both are arguments of telling a worked solution, never a state of the program.  What is left open
is as each kind of problem has it.
"""

from dataclasses import dataclass

RESIDUES = ("least", "symmetric")
"""Residues 0, ..., m - 1, or those nearest to 0."""

MODULUS = ("(mod n)", "mod n")
"""How the modulus stands after a congruence."""

CONGRUENT = ("sign", "words")
"""Whether a congruence is written with its sign, or said: "is congruent to"."""

COMBINE = ("substitution", "coefficients")
"""x = 2 + 9t put into the other congruence; or a sum with a number that is 1, 0 for each."""

ROOTS = ("factor first", "complete the square", "trial")
"""How roots modulo a prime are found, while the prime allows it."""

INVERSE = ("Euclid backwards", "table", "inspection")
"""Rows put into each other; coefficients carried along; 1, 1 + m, 1 + 2m, ... looked through."""

LIFT = ("substitute", "formula")
"""r + pt put into f and multiplied out; or f(r)/p + f'(r)t."""


@dataclass(frozen=True)
class Term:
    """A term of a course, with the days on which it begins and ends, as 2027-02-01; "" where they
    are not said."""

    name: str
    begins: str = ""
    ends: str = ""

    @property
    def told(self) -> str:
        """The term with its days, as far as they are said."""
        days = " to ".join(filter(None, (self.begins, self.ends)))
        return f"{self.name} ({days})" if days else self.name


@dataclass(frozen=True)
class Notation:
    """How a worked solution writes its congruences, and which residues its answer names."""

    residues: str = RESIDUES[0]
    mod: str = MODULUS[0]
    congruent: str = CONGRUENT[0]


@dataclass(frozen=True)
class Methods:
    """The method taught for each task; "" where a kind chooses its own."""

    combine: str = ""
    roots: str = ""
    inverse: str = ""
    lift: str = ""


@dataclass(frozen=True)
class Teaching:
    """Notation and methods of a course."""

    notation: Notation = Notation()
    methods: Methods = Methods()


AS_USUAL = Teaching()
"""What is taught where no course says otherwise."""
