"""A small item made by hand, and published results."""

from itembank.notation.prose import paragraph
from itembank.values.item import IntegerEntry, Item, Provenance, Scoring


def item(value: int) -> Item:
    return Item(
        title="A number",
        statement=(f"x = {value} mod {value + 1}",),
        kind="linear",
        ask="the solution",
        stem=(paragraph("Type it."),),
        spoken="Type it.",
        response=IntegerEntry(value=value, modulus=value + 1),
        scoring=Scoring(),
        feedback=(),
        solution=(paragraph("It is given."),),
        outcomes=("linear",),
        level="easy",
        steps=1,
        language="en",
        provenance=Provenance(family="given", version=1, seed="s", index=0),
    )


ROWS = """
    1111110110
    1011011101
    1111011001
    0010001000
    0000010010
    1110111111
    1101110111
    1111111101
    0101111101
    1101101110
"""
WUENSCH = [[int(u) for u in row] for row in ROWS.split()]
"""Ten students, ten items: Wuensch, East Carolina University, KR20.txt (data printed there)."""
