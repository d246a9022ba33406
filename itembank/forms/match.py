"""Match: each source with one target, which may serve several."""

from collections.abc import Iterator

from itembank.forms.base import (
    Answer,
    Form,
    Lines,
    Part,
    equal_sets,
    fault_among,
    joined,
    labelled,
    no_claim,
    no_least,
    no_options,
    no_place,
)
from itembank.languages import say
from itembank.notation import plain
from itembank.notation.tree import Inlines
from itembank.values.item import MatchPairs
from itembank.values.worded import worded


def _labels(response: MatchPairs) -> dict[str, Inlines]:
    return {c.identifier: c.label for c in (*response.sources, *response.targets)}


def _fault_of_key(response: MatchPairs) -> str | None:
    sources = [pair.split()[0] for pair in response.pairs]
    if sources == [source.identifier for source in response.sources]:
        return None
    return "expected a pair for each source"


def _fault_of_answer(response: MatchPairs, given: Answer) -> str | None:
    possible = {
        f"{source.identifier} {target.identifier}"
        for source in response.sources
        for target in response.targets
    }
    if fault := fault_among(possible, given):
        return fault
    if len(given) != len(response.sources):
        return f"expected a pair for each source, got {list(given)}"
    return None


def _given(response: MatchPairs, reported: tuple[str, ...]) -> tuple[str, ...]:
    """The pairs in the order of the sources; one without a target is left out."""
    words = " ".join(reported).split()
    matched = dict(zip(words[::2], words[1::2], strict=False))
    names = (source.identifier for source in response.sources)
    return tuple(f"{name} {matched[name]}" for name in names if name in matched)


def _kept(response: MatchPairs) -> object:
    told = {name: plain.inlines(label) for name, label in _labels(response).items()}
    return {told[a]: told[b] for a, b in (pair.split() for pair in response.pairs)}


def _seen(response: MatchPairs) -> Iterator[str]:
    for choice in (*response.sources, *response.targets):
        yield f"{choice.identifier}: {plain.inlines(choice.label)}"
    yield worded("key: {key}", key=", ".join(response.pairs))


def _fields(response: MatchPairs) -> tuple[Part, ...]:
    targets = labelled(response.targets)
    return tuple(Part(source.label, targets, say("goes with")) for source in response.sources)


def _compared(response: MatchPairs) -> dict[str, object]:
    return {"parts": [{"choice": pair.split()[1]} for pair in response.pairs]}


def _told_pair(response: MatchPairs, pair: str) -> Inlines:
    told = _labels(response)
    source, target = pair.split()
    return (*told[source], " → ", *told[target])


FORM = Form(
    name="match",
    response=MatchPairs,
    rules=("all or nothing",),
    stand_in="list",
    least=no_least,
    key=lambda response: response.pairs,
    fault_of_key=_fault_of_key,
    fault_of_answer=_fault_of_answer,
    same=equal_sets,
    given=_given,
    options=no_options,
    place=no_place,
    claim=no_claim,
    kept=_kept,
    seen=_seen,
    fields=_fields,
    compared=_compared,
    told_key=lambda response: Lines(tuple(_told_pair(response, p) for p in response.pairs)),
    told_answer=lambda response, given: joined(_told_pair(response, str(p)) for p in given),
    guess=lambda response, _scoring: say(
        "A blind guess of every match is right once in {n}.",
        n=len(response.targets) ** len(response.sources),
    ),
)
