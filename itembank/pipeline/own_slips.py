"""The slips of a family's own: what each leads to in a variant, and what is said to it."""

from collections.abc import Iterator, Sequence

from itembank.kinds.asking import put
from itembank.kinds.base import Slip, distinct_slips
from itembank.kinds.table import KINDS
from itembank.languages.saying import Authored
from itembank.spec import Family
from itembank.spec.answered import Answered, value
from itembank.spec.evaluating import Env
from itembank.spec.functions import Undefined
from itembank.spec.own_slip import OwnSlip
from itembank.values.answer import (
    Answer,
    Claimed,
    Pairs,
    ResidueSet,
    TooMany,
    Truth,
    Value,
    claimed,
)
from itembank.values.errors import NoValue

_MOST_COUNTED = 1000
"""The largest number of solutions that an own slip may count."""


def with_own(
    family: Family, parameters: Env, answer: Answer, of_kind: Sequence[Slip]
) -> tuple[Slip, ...]:
    """The family's own slips, then those of the kind; those that lead to one answer are merged.

    An own slip that leads to the key, or to nothing, in this variant is left out.
    """
    own = [slip for said in family.own_slips if (slip := _led(family, said, parameters, answer))]
    return distinct_slips((*own, *of_kind), answer) if own else tuple(of_kind)


def _led(family: Family, said: OwnSlip, parameters: Env, answer: Answer) -> Slip | None:
    """The slip in a variant; None where it leads to the key or has no value."""
    ask = put(KINDS[family.kind].problem.signature, family.ask)
    try:
        numbers = [term.required(parameters) for term in said.answer]
        claim = claim_of(ask, answer, numbers)
        text = Authored(tuple((tag, t.at(parameters)) for tag, t in said.says.by_language.items()))
    except NoValue:
        return None
    if claim is None or is_key(ask, answer, claim):
        return None
    return Slip((said.name,), claim, ((text,),))


def claim_of(ask: str, answer: Answer, numbers: Sequence[int]) -> Claimed | None:
    """What numbers claim as an answer of the answer's type; None where they claim nothing."""
    first, one = numbers[0], len(numbers) == 1
    match answer:
        case ResidueSet() if ask == "all solutions":
            return tuple(sorted({n % answer.modulus for n in numbers}))
        case ResidueSet() | Pairs() if ask == "how many":
            return tuple(range(first)) if one and 0 <= first <= _MOST_COUNTED else None
        case ResidueSet() if ask == "the solution":
            return (first % answer.modulus,) if one else None
        case Value(_, int(m)):
            return (first % m,) if one else None
        case Truth():
            return (int(first != 0),) if one else None
        case Pairs():
            return None
    return (first,) if one else None


def is_key(ask: str, answer: Answer, claim: Claimed) -> bool:
    """Whether a claim is what the question is answered with."""
    try:
        if ask in ("the least", "the largest"):
            return claim == (value(Answered(answer, ask)),)
        if ask == "how many":
            return len(claim) == value(Answered(answer, ask))
        return claim == claimed(answer)
    except (Undefined, TooMany):
        return False


def left_out(family: Family, slips: Sequence[Slip]) -> Iterator[str]:
    """The names of the own slips that are not among a variant's."""
    found = {name for slip in slips for name in slip.names}
    return (said.name for said in family.own_slips if said.name not in found)
