"""What every response form is given, what it gives back, and the wording that forms share."""

from collections.abc import Sequence
from dataclasses import dataclass

from itembank.answer import Answer, ResidueSet
from itembank.errors import ComposeError
from itembank.item import Provenance, Response, Scoring, SlipFeedback
from itembank.notation.prose import paragraph
from itembank.notation.tree import Blocks
from itembank.problems.base import Slip
from itembank.words import _, ngettext


@dataclass(frozen=True, kw_only=True)
class Wording:
    """What an item says about itself, from its family and its pool."""

    title: str
    ask: str
    form: str
    rule: str
    points: int
    outcomes: tuple[str, ...]
    level: str
    provenance: Provenance


@dataclass(frozen=True)
class Draft:
    """The parts of an item that depend on its response form."""

    instructions: Blocks
    response: Response
    feedback: tuple[SlipFeedback, ...]
    scoring: Scoring


def worth(points: int) -> str:
    return ngettext("{n} point", "{n} points", points).format(n=points)


def residue_range(m: int) -> str:
    return f"$0$ {_('to')} ${m - 1}$"


def slip_feedback(
    found: Sequence[Slip], response: tuple[str, ...] | tuple[int, ...]
) -> SlipFeedback:
    """What is said to a student who answered as these slips would; several are told apart."""
    names = tuple(name for slip in found for name in slip.names)
    text = tuple(block for slip in found for block in slip.feedback)
    if len(names) > 1:
        text = (paragraph(_("More than one slip leads to this answer.")), *text)
    return SlipFeedback(slips=names, response=response, text=text)


def residues_of(slip: Slip) -> tuple[int, ...]:
    """The residues that a slip leads to, where the answer is a set of residues."""
    return tuple(x for x in slip.answer if isinstance(x, int))


def residue_set(answer: Answer, form: str) -> ResidueSet:
    if not isinstance(answer, ResidueSet):
        raise ComposeError(f"{form}: expected an answer that is a set of residues")
    return answer
