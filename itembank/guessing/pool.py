"""What guessers score on the items of a pool, family by family."""

from collections.abc import Iterable, Mapping
from itertools import islice

from itembank.guessing.figures import ENOUGH, Figures, Tally
from itembank.guessing.met import met
from itembank.values.item import Item

Name = tuple[str, str]
"""A family, and the form in which its questions stand."""


def figures_of_groups(groups: Iterable[tuple[str, Iterable[Item]]]) -> Mapping[Name, Figures]:
    """What guessers score on groups of items, each with the name of its family.

    Groups of one family are met together, of each no more than ENOUGH items.
    """
    tallies: dict[Name, Tally] = {}
    for family, items in groups:
        for item in islice(items, ENOUGH):
            form = item.response.form
            tallies.setdefault((family, form), Tally(form)).meet(list(met(item)), item.steps)
    return {name: tally.figures() for name, tally in tallies.items()}


def easiest(found: Mapping[Name, Figures]) -> tuple[str, Figures] | None:
    """The family whose questions are guessed the farthest above chance; None if none can be."""
    guessed = [(family, f) for (family, _form), f in found.items() if f.best]
    return max(guessed, key=lambda pair: pair[1].above_chance, default=None)
