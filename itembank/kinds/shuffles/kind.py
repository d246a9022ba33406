"""Perfect shuffles of a pack of 2n cards: after how many the old order is back.

The pack is cut in halves that fall alternately. In an out-shuffle the top card stays on top, and
with places counted from 0 place x goes to 2x modulo 2n - 1; in an in-shuffle it becomes the
second, and with places counted from 1 place x goes to 2x modulo 2n + 1.

Source: P. Diaconis, R. L. Graham, W. M. Kantor, Advances in Applied Mathematics 4 (1983).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import ClassVar

from itembank.kinds.base import Kind, Phrases, Solution, Step
from itembank.kinds.mistakes import ValueFound
from itembank.kinds.order_found import OrderFound, order_told
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, Told, lead, say
from itembank.maths.groups import order
from itembank.maths.primes import phi
from itembank.notation.building import congruence, number, power
from itembank.values.answer import Value
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "InShuffles", "OutShuffles", "read"]

_LARGEST = 10**6
"""Packs have at most so many cards."""


@dataclass(frozen=True)
class _Places(Step):
    """Where a card goes: place x to 2x modulo m; counted from 0 in an out-shuffle."""

    name = "where a card goes"
    cards: int
    m: int


def _places(step: _Places) -> Iterator[Told]:
    yield lead("Where a card goes.")
    if step.m < step.cards:
        yield say(
            "With the places counted from 0 to {last}, the card in place $x$ of the upper half "
            "goes to $2x$, and the card in place $x$ of the lower half to $2x - {m}$.",
            last=step.cards - 1,
            m=step.m,
        )
    else:
        yield say(
            "With the places counted from 1 to {last}, the card in place $x$ of the upper half "
            "goes to $2x$, and the card in place $x$ of the lower half to $2x - {m}$.",
            last=step.cards,
            m=step.m,
        )
    yield say(
        "Both are $2x$ modulo {m}. After $t$ shuffles it is $x$ times $2^t$, so all cards are back "
        "as soon as $2^t ≡ 1 (mod {m})$.",
        m=step.m,
    )


_TELLING: Tellers = {_Places: _places, OrderFound: order_told}

# ------------------------------------------------------------ slips


def _modulo_the_cards(w: "Shuffles") -> ValueFound:
    n = w.cards // 2 if w.cards // 2 % 2 else w.cards
    if n % 2 == 0 or n < 3:
        return None
    return order(2, n), say(
        "Check what places count modulo: see where the last card of the pack goes."
    )


def _the_other_shuffle(w: "Shuffles") -> ValueFound:
    other = 2 * w.cards - w.divisor
    return order(2, other), say(
        "Which card is on top after the shuffle? The places count modulo {m} where it is the other "
        "one.",
        m=other,
    )


def _phi_for_order(w: "Shuffles") -> ValueFound:
    return phi(w.divisor), say(
        "If you took $φ({m})$: $2$ to this power is 1 modulo {m}, and a smaller power may be it "
        "already.",
        m=w.divisor,
    )


def _as_many_as_cards(w: "Shuffles") -> ValueFound:
    return w.cards, say("If you took the number of cards: follow one card and see when it is back.")


def _up_to_minus_one(w: "Shuffles") -> ValueFound:
    t = order(2, w.divisor)
    if t % 2 or pow(2, t // 2, w.divisor) != w.divisor - 1:
        return None
    return t // 2, say("If you stopped where the power is $-1$: that is not yet 1.")


_MISTAKES: dict[str, Callable[..., ValueFound]] = {
    "as-many-as-cards": _as_many_as_cards,
    "modulo-half-the-cards": _modulo_the_cards,
    "the-other-shuffle": _the_other_shuffle,
    "phi-for-order": _phi_for_order,
    "stopped-at-minus-one": _up_to_minus_one,
}
"""In the order of the method."""

# ------------------------------------------------------------ the kinds


@dataclass(frozen=True, kw_only=True)
class Shuffles(Phrased):
    """What both share: an even number of cards, at least 4."""

    telling: ClassVar[Tellers] = _TELLING
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _MISTAKES
    modulus: ClassVar[None] = None
    cards: int

    @property
    def divisor(self) -> int:
        """What places count modulo."""
        raise NotImplementedError

    def check(self) -> None:
        n = self.cards
        require(4 <= n <= _LARGEST and n % 2 == 0, f"an even number of cards up to {_LARGEST}", n)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no number"), entry=say("Type the number of shuffles."))

    def solve(self) -> Solution[Value]:
        found = OrderFound(2, self.divisor)
        return Solution(Value(found.value), (_Places(self.cards, self.divisor), found))

    def answer_text(self, answer: Value) -> Said:
        return say(
            "The pack is in its old order after {t} shuffles, and not before.", t=answer.value
        )


_CUT = say("In a perfect shuffle the pack is cut in halves, and their cards fall alternately.")


@dataclass(frozen=True, kw_only=True)
class OutShuffles(Shuffles):
    """The top card stays on top."""

    kind: ClassVar[str] = "out_shuffles"
    phrase: ClassVar[str] = "perfect out-shuffles of {cards} cards"
    spellings: ClassVar[tuple[str, ...]] = (
        "out-shuffles of {cards} cards",
        "number of out-shuffles of {cards} cards",
    )
    signature: ClassVar[KindSignature] = about("out_shuffles", phrase, _MISTAKES)

    @property
    def divisor(self) -> int:
        return self.cards - 1

    def asked(self, ask: str) -> tuple[Said, ...]:
        return _CUT, say(
            "Find the least positive number of perfect shuffles that restore a pack of {n} cards "
            "where the top card stays on top.",
            n=self.cards,
        )


@dataclass(frozen=True, kw_only=True)
class InShuffles(Shuffles):
    """The top card becomes the second."""

    kind: ClassVar[str] = "in_shuffles"
    phrase: ClassVar[str] = "perfect in-shuffles of {cards} cards"
    spellings: ClassVar[tuple[str, ...]] = (
        "in-shuffles of {cards} cards",
        "number of in-shuffles of {cards} cards",
    )
    signature: ClassVar[KindSignature] = about("in_shuffles", phrase, _MISTAKES)

    @property
    def divisor(self) -> int:
        return self.cards + 1

    def asked(self, ask: str) -> tuple[Said, ...]:
        return _CUT, say(
            "Find the least positive number of perfect shuffles that restore a pack of {n} cards "
            "where the top card becomes the second.",
            n=self.cards,
        )


read = reader(OutShuffles, InShuffles)


def _certificate(problem: Shuffles, answer: Value) -> Telling:
    """The power of 2 that is 1."""
    yield lead("A power of 2.")
    yield say("${power}$.", power=congruence(power(2, answer.value), number(1), problem.divisor))


_NEXT = {
    "the value": say(
        "Number the places so that each card goes from $x$ to $2x$. What do these numbers count "
        "modulo, and which power of 2 is 1 there?"
    )
}

KINDS = (
    Kind(
        problem=OutShuffles,
        read=read,
        value="count",
        about="How many perfect shuffles restore a pack whose top card stays on top.",
        title=say("Cards"),
        next_steps=_NEXT,
        samples=(
            "perfect out-shuffles of 52 cards",
            "number of out-shuffles of 4 cards",
            "perfect out-shuffles of 8 cards",
            "perfect out-shuffles of 32 cards",
            "perfect out-shuffles of 20 cards",
        ),
        certificate=_certificate,
    ),
    Kind(
        problem=InShuffles,
        read=read,
        value="count",
        about="How many perfect shuffles restore a pack whose top card becomes the second.",
        title=say("Cards"),
        next_steps=_NEXT,
        samples=(
            "perfect in-shuffles of 52 cards",
            "number of in-shuffles of 4 cards",
            "in-shuffles of 8 cards",
            "in-shuffles of 32 cards",
            "in-shuffles of 20 cards",
        ),
        certificate=_certificate,
    ),
)
"""What the house knows of these kinds."""
