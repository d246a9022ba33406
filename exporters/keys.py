"""The key of an item, and what must hold of it and of its slips, whatever the format.

An answer is in the terms of its form, as `SlipFeedback.response` states it.
"""

from itembank.values.item import (
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    PutInOrder,
    Response,
    SelectAll,
    SelectOne,
    SetEntry,
    SlipFeedback,
    TrueFalse,
)

Answer = tuple[str, ...] | tuple[int, ...]


def key(response: Response) -> Answer:
    """The right answer; () for a list without entries."""
    match response:
        case SelectAll() | SelectOne():
            return tuple(o.identifier for o in response.options if o.correct)
        case IntegerEntry():
            return (response.value,)
        case ListEntry() | SetEntry():
            return response.values
        case TrueFalse():
            return ("true" if response.truth else "false",)
        case PutInOrder():
            return response.order
        case MatchPairs():
            return response.pairs
        case Guided():
            return tuple(given_text(stage.response) for stage in response.stages)


def given_text(response: ListEntry | SelectOne) -> str:
    """The right answer of a stage: a list as a student would type it, or the option's identifier.

    >>> given_text(ListEntry(values=(3, 9), modulus=15, none_word="none"))
    '3, 9'
    """
    if isinstance(response, ListEntry):
        return ", ".join(map(str, response.values)) or response.none_word
    (right,) = (o.identifier for o in response.options if o.correct)
    return right


def values_typed(entry: ListEntry, text: str) -> tuple[int, ...]:
    """The values of a list as `given_text` writes it."""
    return () if text == entry.none_word else tuple(map(int, text.split(",")))


# ------------------------------------------------------------ the key


def fault_of_key(item: Item) -> str | None:
    """What is wrong with the key, or None."""
    response, right = item.response, len(key(item.response))
    match response:
        case SelectAll() if right == 0:
            return "expected at least one right option, got none"
        case SelectOne() if right != 1:
            return f"expected one right option, got {right}"
        case SetEntry() if not 0 < right < response.entries:
            return f"expected 1 to {response.entries - 1} solutions, got {right}"
        case PutInOrder():
            shown = tuple(line.identifier for line in response.lines)
            if sorted(shown) != sorted(response.order) or shown == response.order:
                return "expected its lines in another order than the right one"
        case MatchPairs():
            sources = [pair.split()[0] for pair in response.pairs]
            if sources != [source.identifier for source in response.sources]:
                return "expected a pair for each source"
    return fault_of_rule(item, right)


def fault_of_rule(item: Item, right: int) -> str | None:
    """What is wrong with the scoring rule of a key of `right` parts, or None."""
    rule, points = item.scoring.rule, item.scoring.points
    if isinstance(item.response, Guided) != (rule == "by stage"):
        return f"expected by stage for guided, got {rule} for {item.response.form}"
    if rule == "plus minus" and not isinstance(item.response, SelectAll):
        return f"expected plus minus for select all, got it for {item.response.form}"
    if rule != "all or nothing" and points != right:
        one, many = ("stage", "stages") if rule == "by stage" else ("right option", "options")
        return f"expected a point for each {one}, got {points} points for {right} {many}"
    return None


# ------------------------------------------------------------ the slips


def fault_of_slips(item: Item) -> str | None:
    """A slip must be an answer that can be given, and not the right one."""
    for slip in item.feedback:
        fault = fault_of_answer(item.response, slip)
        if fault is None and is_right(item.response, slip):
            fault = "expected a wrong answer, got the key"
        if fault:
            return f"slip {' and '.join(slip.slips)}: {fault}"
    return None


def fault_of_answer(response: Response, slip: SlipFeedback) -> str | None:
    """Why the slip's answer cannot be given, or None."""
    given = slip.response
    options = possible(response)
    if options is not None and not (given and options.issuperset(given)):
        return f"expected options of the item, got {list(given)}"
    match response:
        case SetEntry() if not 0 < len(given) <= response.entries:
            return f"expected what the entries hold, got {list(given)}"
        case PutInOrder() if sorted(map(str, given)) != sorted(response.order):
            return f"expected each line once, got {list(given)}"
        case MatchPairs() if len(given) != len(response.sources):
            return f"expected a pair for each source, got {list(given)}"
        case Guided() if len(given) != len(response.stages) or sum(map(bool, given)) != 1:
            return f"expected an answer in one stage, got {list(given)}"
        case SelectOne() | IntegerEntry() | TrueFalse() if len(given) != 1:
            return f"expected one answer, got {list(given)}"
    return None


def is_right(response: Response, slip: SlipFeedback) -> bool:
    right, given = tuple(map(str, key(response))), tuple(map(str, slip.response))
    match response:
        case PutInOrder():
            return given == right
        case Guided():
            return any(text and text == own for text, own in zip(given, right, strict=True))
        case _:
            return sorted(given) == sorted(right)


def possible(response: Response) -> frozenset[str] | None:
    """The options that can be chosen, the pairs that can be made; None for what is typed."""
    match response:
        case SelectAll() | SelectOne():
            return frozenset(o.identifier for o in response.options)
        case TrueFalse():
            return frozenset({"true", "false"})
        case MatchPairs():
            return frozenset(
                f"{source.identifier} {target.identifier}"
                for source in response.sources
                for target in response.targets
            )
        case _:
            return None
