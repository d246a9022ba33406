"""The second way for perfect shuffles: a pack of cards is shuffled until it is in order again."""

from dataclasses import dataclass, field
from typing import ClassVar

from itembank.second_way import in_words
from itembank.second_way.verdict import Undecided, done

_MOVED = 3_000_000
"""The most cards that are moved, all shuffles together."""


@dataclass(frozen=True)
class Pack:
    """`cards` shuffled; `out`: the top card stays on top."""

    cards: int
    out: bool
    modulus: ClassVar[None] = None
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> Pack | None:
    """The question of "perfect out-shuffles of 52 cards"; None for another form."""
    for words, out in (
        ("perfect out-shuffles of # cards", True),
        ("perfect in-shuffles of # cards", False),
    ):
        found = in_words.numbers(words, statement)
        if found:
            in_words.refuse(found[0] > 2 and found[0] % 2 == 0, "an even number", statement)
            return Pack(found[0], out)
    return None


def _shuffled(question: Pack) -> int:
    first = list(range(question.cards))
    pack, half = first[:], question.cards // 2
    for t in range(1, _MOVED // question.cards + 1):
        upper, lower = pack[:half], pack[half:]
        pairs = zip(upper, lower, strict=True) if question.out else zip(lower, upper, strict=True)
        pack = [card for pair in pairs for card in pair]
        if pack == first:
            return t
    raise Undecided(f"more than {_MOVED} cards to move")


KIND = in_words.number_kind(_shuffled, done("a pack was shuffled until it was in order again"))
