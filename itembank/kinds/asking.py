"""How congruences and systems of them are asked about, whatever their kind."""

from itembank.kinds.base import NOTHING_SAID, Phrases
from itembank.languages import Said, say

OPENINGS_OF_SYSTEMS: dict[str, Said] = {
    "all solutions": say("Find **all** solutions of the system"),
    "the solution": say("Find the solution of the system"),
    "how many": say("How many solutions does this system have?"),
    "the least": say("Find the **least** residue that solves the system"),
    "the largest": say("Find the **largest** residue that solves the system"),
    "whether any": say("Decide whether there is a solution of the system"),
}
"""How each ask begins, before the congruences."""


def tick_solutions(modulus: int) -> Said:
    return say(
        "Tick every least residue ($0$ to ${last}$) that is a solution. If there is none, tick "
        "only “no solutions”.",
        last=modulus - 1,
    )


def phrases_of_congruence(modulus: int, entry: Said = NOTHING_SAID) -> Phrases:
    """What instructions call the solutions of one congruence."""
    return Phrases(
        tick=tick_solutions(modulus),
        none=say("no solutions"),
        claim=say("True or false: the congruence has at least one solution."),
        entry=entry,
    )


def phrases_of_system(modulus: int, entry: Said = NOTHING_SAID) -> Phrases:
    """What instructions call the solutions of several congruences that all hold."""
    return Phrases(
        tick=tick_solutions(modulus),
        none=say("no solutions"),
        claim=say("True or false: the system has at least one solution."),
        entry=entry,
    )
