"""How problems are asked about, whatever their kind: congruences, systems of them, claims."""

from dataclasses import replace

from itembank.kinds.base import NOTHING_SAID, Phrases
from itembank.languages import Said, say
from itembank.values.answer import Range
from itembank.values.vocabulary import KindSignature

WHETHER_TRUE = "whether true"

_CLAIMABLE = ("the value", "all solutions", "how many", "the largest", "the least")
"""The asks whose answer can be claimed: a number, or a set; the first that a kind has is."""


def claimed_ask(signature: KindSignature) -> str | None:
    """What is asked where an answer is claimed; None where a kind is asked for neither."""
    return next((ask for ask in _CLAIMABLE if ask in signature.asks), None)


def put(signature: KindSignature, ask: str) -> str:
    """The question behind an ask: of a claim, the one whose answer is claimed."""
    return (claimed_ask(signature) or ask) if ask == WHETHER_TRUE else ask


def with_claims(signature: KindSignature) -> KindSignature:
    """What families may say: of every kind with a number or a set for an answer, whether a claim
    is true."""
    if claimed_ask(signature) is None or not signature.slips:
        return signature
    return replace(signature, asks=(*signature.asks, WHETHER_TRUE))


OPENINGS_OF_SYSTEMS: dict[str, Said] = {
    "all solutions": say("Find **all** solutions of the system"),
    "the solution": say("Find the solution of the system"),
    "how many": say("How many solutions does this system have?"),
    "the least": say("Find the **least** residue that solves the system"),
    "the largest": say("Find the **largest** residue that solves the system"),
    "whether any": say("Decide whether there is a solution of the system"),
}
"""How each ask begins, before the congruences."""

LINE_ASKS = ("the wrong line", "the missing step", "the next step")
"""The asks about the lines of a solution; a kind with them is `InLines`."""

REASON_ASKS = ("the reason",)
"""The ask about why a step follows; a kind with it is `Reasoned`."""

OPENINGS_OF_LINES: dict[str, Said] = {
    "the wrong line": say("The following congruence is solved in numbered lines."),
    "the missing step": say("The following congruence is solved in numbered lines."),
    "the next step": say("The solution of the following congruence is begun in numbered lines."),
    "the reason": say("A statement about the following congruence is to be proved."),
}
"""How each of these asks begins, before the congruence."""

OPENINGS_OF_SYSTEM_LINES: dict[str, Said] = {
    "the wrong line": say("Numbered lines lead to the solutions of the system"),
    "the missing step": say("Numbered lines lead to the solutions of the system"),
    "the next step": say("Numbered lines begin to lead to the solutions of the system"),
    "the reason": say("A statement about the solutions of the system is to be proved."),
}
"""How they begin, before a system."""


def opening_of_range(ask: str, found: Range, of_system: bool) -> Said:
    """How the least or the largest integer of a range is asked for, before the congruences.

    The least has a lower bound, the largest an upper one.
    """
    low, high = found.low, found.high
    if low is not None and high is not None:
        of_both = {
            ("the least", False): say(
                "Find the **least** integer from ${low}$ to ${high}$ that solves",
                low=low, high=high,
            ),
            ("the least", True): say(
                "Find the **least** integer from ${low}$ to ${high}$ that solves the system",
                low=low, high=high,
            ),
            ("the largest", False): say(
                "Find the **largest** integer from ${low}$ to ${high}$ that solves",
                low=low, high=high,
            ),
            ("the largest", True): say(
                "Find the **largest** integer from ${low}$ to ${high}$ that solves the system",
                low=low, high=high,
            ),
        }  # fmt: skip
        return of_both[ask, of_system]
    if low is not None:
        if of_system:
            return say(
                "Find the **least** integer greater than ${n}$ that solves the system", n=low - 1
            )
        return say("Find the **least** integer greater than ${n}$ that solves", n=low - 1)
    assert high is not None
    if of_system:
        return say(
            "Find the **largest** integer less than ${n}$ that solves the system", n=high + 1
        )
    return say("Find the **largest** integer less than ${n}$ that solves", n=high + 1)


def _tick_solutions(modulus: int) -> Said:
    return say(
        "Tick every least residue ($0$ to ${last}$) that is a solution. If there is none, tick "
        "only “no solutions”.",
        last=modulus - 1,
    )


def phrases_of_congruence(modulus: int, entry: Said = NOTHING_SAID) -> Phrases:
    """What instructions call the solutions of one congruence."""
    return Phrases(
        tick=_tick_solutions(modulus),
        none=say("no solutions"),
        claim=say("True or false: the congruence has at least one solution."),
        entry=entry,
    )


def phrases_of_system(modulus: int, entry: Said = NOTHING_SAID) -> Phrases:
    """What instructions call the solutions of several congruences that all hold."""
    return Phrases(
        tick=_tick_solutions(modulus),
        none=say("no solutions"),
        claim=say("True or false: the system has at least one solution."),
        entry=entry,
    )
