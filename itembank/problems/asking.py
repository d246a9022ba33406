"""How congruences and systems of them are asked about, whatever their kind."""

from collections.abc import Callable

from itembank.problems.base import Phrases
from itembank.words import _

OPENINGS_OF_SYSTEMS: dict[str, Callable[[], str]] = {
    "all solutions": lambda: _("Find **all** solutions of the system"),
    "the solution": lambda: _("Find the solution of the system"),
    "how many": lambda: _("How many solutions does this system have?"),
    "the least": lambda: _("Find the **least** residue that solves the system"),
    "the largest": lambda: _("Find the **largest** residue that solves the system"),
    "whether any": lambda: _("Decide whether there is a solution of the system"),
}
"""How each ask begins, before the congruences."""


def any_integer() -> str:
    """How one integer of a residue class is typed: the end of an instruction."""
    return _("Type any integer in it; $-3$ is typed -3.")


def phrases_of_congruence(entry: str = "") -> Phrases:
    """What instructions call the solutions of one congruence."""
    return Phrases(
        member=_("a solution"),
        none=_("no solutions"),
        claim=_("the congruence has at least one solution"),
        entry=entry,
    )


def phrases_of_system(entry: str = "") -> Phrases:
    """What instructions call the solutions of several congruences that all hold."""
    return Phrases(
        member=_("a solution"),
        none=_("no solutions"),
        claim=_("the system has at least one solution"),
        entry=entry,
    )
