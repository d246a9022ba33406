"""What students may answer to the sample items, and what each answer must give.

The expectations come from the item alone: the key, other ways to write it, near misses,
each slip, nothing.
"""

from dataclasses import dataclass

from exporters.census import key
from itembank.item import IntegerEntry, Item, ListEntry, SetEntry


@dataclass(frozen=True)
class Answer:
    """What a student gives, what it scores, and the number of the slip it shows."""

    name: str
    given: tuple[str, ...]
    score: int
    slip: int | None = None


def answers(item: Item) -> list[Answer]:
    points = item.scoring.points
    found = [Answer("key", given(item, key(item.response)), points), Answer("blank", (), 0)]
    found += [Answer(f"key, {name}", (text,), points) for name, text in spellings(item)]
    found += [Answer(f"wrong, {name}", (text,), 0) for name, text in misspellings(item)]
    if isinstance(item.response, SetEntry):
        found += [Answer(f"key, {name}", texts, points) for name, texts in entered(item.response)]
        found += [Answer(f"wrong, {name}", texts, 0) for name, texts in misentered(item.response)]
    for n, slip in enumerate(item.feedback, 1):
        score = 0 if item.scoring.rule == "all or nothing" else ticks_worth(item, slip.response)
        found.append(Answer(f"slip {n}", given(item, slip.response), score, n))
    return found


def given(item: Item, answer: tuple[object, ...]) -> tuple[str, ...]:
    if isinstance(item.response, ListEntry):
        return (", ".join(map(str, answer)) or item.response.none_word,)
    return tuple(map(str, answer))


def ticks_worth(item: Item, ticked: tuple[object, ...]) -> int:
    right = {o.identifier for o in item.response.options if o.correct}
    return max(0, sum(1 if t in right else -1 for t in ticked))


def spellings(item: Item) -> list[tuple[str, str]]:
    """Other ways to give the key, each of which must count."""
    response = item.response
    match response:
        case IntegerEntry(value=v, modulus=int(n)) if n < 2**30:
            return [
                ("one modulus more", str(v + n)),
                ("negative", str(v - n)),
                ("far below", str(v - 1000 * n)),
                ("far above", str(v + 1000 * n)),
                ("spaces", f" {v} "),
            ]
        case ListEntry(values=()):
            word = response.none_word
            return [("capitals", word.upper()), ("spaces", f" {word} ")]
        case ListEntry(values=values):
            texts = list(map(str, values))
            found = [
                ("commas alone", ",".join(texts)),
                ("semicolons", "; ".join(texts)),
                ("spaces", f"  {'  '.join(texts)} "),
                ("braces", f"{{{', '.join(texts)}}}"),
            ]
            if response.any_order:
                found.append(("backwards", ", ".join(reversed(texts))))
            return found
    return []


def misspellings(item: Item) -> list[tuple[str, str]]:
    """What must not count as the key."""
    response = item.response
    match response:
        case IntegerEntry(value=v):
            return [("one more", str(v + 1)), ("no number", "x")]
        case ListEntry(values=()):
            return [("zero", "0")]
        case ListEntry(values=values):
            texts = list(map(str, values))
            found = [
                ("one missing", ", ".join(texts[1:])),
                ("one more", ", ".join([*texts, "1"])),
                ("glued", "".join(texts)),
            ]
            if not response.any_order:
                found.append(("backwards", ", ".join(reversed(texts))))
            return found
    return []


def entered(response: SetEntry) -> list[tuple[str, tuple[str, ...]]]:
    """Other ways to give the set: "" for an entry left blank."""
    values, m = response.values, response.modulus
    texts = tuple(map(str, values))
    return [
        ("backwards", texts[::-1]),
        ("blanks before", ("",) * (response.entries - len(texts)) + texts),
        ("a blank between", (texts[0], "", *texts[1:])),
        ("negatives", tuple(str(v - m) for v in values)),
        ("far off", tuple(str(v + (-1) ** i * 1000 * m) for i, v in enumerate(values))),
        ("one twice", (*texts, str(values[0] + m))),
    ]


def misentered(response: SetEntry) -> list[tuple[str, tuple[str, ...]]]:
    values, m = response.values, response.modulus
    texts = tuple(map(str, values))
    other = next(str(v) for v in range(m) if v not in values)
    return [
        ("one missing", texts[1:]),
        ("one twice for another", (texts[0], *texts[:-1])),
        ("one more", (*texts, other)),
        ("one wrong", (*texts[:-1], other)),
    ]
