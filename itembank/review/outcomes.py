"""What each part of the evidence comes to, as it is told beside its heading."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from itembank.forms import form_of
from itembank.languages import Said, counted, say
from itembank.review.evidence import Evidence, first_failure
from itembank.values.item import Item


@dataclass(frozen=True)
class Outcome:
    """What a part comes to, None where there is nothing to say; failed: a person must look."""

    said: Said | None
    failed: bool = False


def of_none() -> Outcome:
    return Outcome(say("none: check the key by hand"), failed=True)


def of_certificates(found: Evidence) -> Outcome:
    """Whether each solution solves what is asked, substituted."""
    residues = found.residues
    if not found.sides or residues is None:
        return Outcome(say("worked out anew from the statement"))
    if not all(c.holds(x) for x in residues for c in found.sides):
        return Outcome(say("a solution FAILS"), failed=True)
    if not residues:
        return Outcome(say("no solution"))
    return Outcome(
        counted(
            "{n} solution, substituted: it holds",
            "{n} solutions, substituted: each holds",
            len(residues),
        )
    )


def of_second_way(found: Evidence) -> Outcome:
    match found.verdict.status:
        case "agreed":
            return Outcome(say("it agrees"))
        case "disagreed":
            return Outcome(say("it DISAGREES"), failed=True)
    return Outcome(say("it could not decide"), failed=True)


def of_wrong_answers(item: Item, found: Evidence | None) -> Outcome:
    """How many wrong answers there are, and whether one of them is no wrong answer."""
    wrong = list(_wrong_claims(item))
    tried = [claim for claim in wrong if found and claim is not None and _can_fail(found, claim)]
    right = sum(found is not None and first_failure(found, claim) is None for claim in tried)
    if right:
        return Outcome(counted("{n} of them is RIGHT", "{n} of them are RIGHT", right), failed=True)
    if tried and len(tried) == len(wrong):
        return Outcome(counted("{n}: it fails", "{n}: each fails", len(wrong)))
    return Outcome(say("{n}", n=len(wrong)) if wrong else None)


def _can_fail(found: Evidence, claim: Sequence[Any]) -> bool:
    """Whether a claim can be put to the test of substitution."""
    numbers = all(isinstance(x, int) for x in claim)
    return bool(found.sides) and found.residues is not None and numbers


def _wrong_claims(item: Item) -> Iterator[Sequence[Any] | None]:
    """What each wrong option, and each answer with feedback, claims; None where it is no set."""
    form = form_of(item.response)
    for option in form.options(item.response):
        if not option.correct:
            yield option.residues if option.residues or option.none else None
    for feedback in item.feedback:
        yield form.claim(item.response, feedback.response)
