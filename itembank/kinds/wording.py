"""What the telling of several kinds shares: how much is written out, and how steps are told."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from itembank.kinds.base import Step
from itembank.languages import Lead, Shown, Telling, Told, lead, shown
from itembank.notation.tree import Letter, Number, Relation
from itembank.values.answer import Class

FITS_ON_THE_BOARD = 10**9
"""Numbers up to here are written out; larger ones are given by their residues."""

IN_A_SENTENCE = 10**40
"""Solutions up to here are listed in a sentence; larger ones stand on lines of their own."""

WRITTEN_OUT = 24
"""At most this many solutions are written out one by one."""

LEGIBLE = 20_000
"""Values up to here are written out in the check; larger ones are reduced on the way."""

Tellers = Mapping[type[Step], Callable[..., Iterator[Told]]]
"""How each step of a kind is told: from the step, and what else its telling needs."""


def told(steps: Iterable[Step], telling: Tellers, *context: object) -> Iterator[Told]:
    """What is told of all steps, each from the step and the context."""
    for step in steps:
        yield from telling[type(step)](step, *context)


_ANSWER = lead("Answer.")


def under(heading: Lead, telling: Telling) -> Iterator[Told]:
    """What is told, its answer under another heading: that of a question on the way to one."""
    for piece in telling:
        yield heading if piece == _ANSWER else piece


def fits(value: int) -> bool:
    """Whether a number that is only passed through is worth writing out."""
    return abs(value) <= FITS_ON_THE_BOARD**2


# ------------------------------------------------------------ solutions


def by_modulus(classes: Iterable[Class]) -> list[tuple[int, list[int]]]:
    """The moduli of the classes, increasing, each with its residues."""
    found: dict[int, list[int]] = {}
    for r, d in classes:
        found.setdefault(d, []).append(r)
    return [(d, sorted(rs)) for d, rs in sorted(found.items())]


def each_on_a_line(residues: Sequence[int]) -> bool:
    """Whether a list of residues is too long for a sentence."""
    return max(residues) > IN_A_SENTENCE


def residue_lines(residues: Iterable[int]) -> Shown:
    """x ≡ r, a line each."""
    return shown(*(Relation((Letter("x"), Number(r)), ("≡",)) for r in residues))
