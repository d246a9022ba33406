"""What students may answer to the sample items, and what each answer must give.

The expectations come from the item alone: the key, other ways to write it, near misses,
each slip, nothing.
"""

from dataclasses import dataclass
from itertools import combinations
from typing import Any

from exporters.keys import key
from itembank.values.item import (
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    PutInOrder,
    SetEntry,
)
from itembank.values.points import Points


@dataclass(frozen=True)
class Answer:
    """What a student gives, what it scores, and the number of the slip it shows."""

    name: str
    given: tuple[str, ...]
    score: Points
    slip: int | None = None


def answers(item: Item) -> list[Answer]:
    points = item.scoring.points
    right: tuple[Any, ...] = key(item.response)
    others: tuple[Any, ...] = ()
    if isinstance(item.response, IntegerEntry):
        right, others = right[:1], right[1:]
    found = [Answer("key", given(item, right), points), Answer("blank", (), 0)]
    found += [Answer(f"another right one, {n}", (str(n),), points) for n in others]
    found += [Answer(f"key, {name}", (text,), points) for name, text in spellings(item)]
    found += [Answer(f"wrong, {name}", (text,), 0) for name, text in misspellings(item)]
    if isinstance(item.response, SetEntry):
        found += [Answer(f"key, {name}", texts, points) for name, texts in entered(item.response)]
        found += [Answer(f"wrong, {name}", texts, 0) for name, texts in misentered(item.response)]
    match item.response:
        case PutInOrder():
            found += [
                Answer(f"wrong, {name}", order, 0) for name, order in misordered(item.response)
            ]
        case MatchPairs():
            found.append(Answer("key, backwards", item.response.pairs[::-1], points))
            found += [Answer(f"wrong, {name}", ps, 0) for name, ps in mismatched(item.response)]
        case Guided():
            return found + by_stage(item, item.response)
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
        case IntegerEntry(value=v, modulus=m):
            found = [("spaces", f" {v} "), ("zeros", zeros(v)), ("plus sign", zeros(v, "+"))]
            if m is not None and m <= 2**30:
                found += [
                    ("one modulus more", str(v + m)),
                    ("negative", str(v - m)),
                    ("far below", str(v - 1000 * m)),
                    ("far above", str(v + 1000 * m)),
                ]
            else:
                found.append(("no-break spaces", f"\u00a0{v}\u00a0"))
            return found
        case ListEntry(values=()):
            word = response.none_word
            return [("capitals", word.upper()), ("spaces", f" {word}\u00a0")]
        case ListEntry(values=values):
            texts = list(map(str, values))
            found = [
                ("commas alone", ",".join(texts)),
                ("semicolons", "; ".join(texts)),
                ("spaces", f"  {'  '.join(texts)} "),
                ("no-break spaces", "\u00a0" + ",\u00a0".join(texts)),
                ("braces", f"{{{', '.join(texts)}}}"),
                ("zeros", ", ".join(map(zeros, values))),
                ("plus signs", ", ".join(zeros(v, "+") for v in values)),
            ]
            if response.any_order:
                found.append(("backwards", ", ".join(reversed(texts))))
            return found
    return []


def zeros(n: int, plus: str = "") -> str:
    """The integer with zeros before it, and with a plus sign or none."""
    return f"-00{-n}" if n < 0 else f"{plus}00{n}"


def misspellings(item: Item) -> list[tuple[str, str]]:
    """What must not count as the key.

    Where any representative counts, one reader takes the integer that a text begins with; where
    one integer is right, none may.
    """
    response = item.response
    match response:
        case IntegerEntry(value=v, modulus=m, values=values):
            found = [("one more", str(max(values) + 1)), ("no number", "x")]
            if m is None or m > 2**30:
                found += [
                    ("a comma", f"{v},"),
                    ("a fraction", f"{v}.5"),
                    ("a point", f"{v}.0"),
                    ("an exponent", f"{v}e0"),
                    ("letters", f"{v}abc"),
                    ("two numbers", f"{v} {v}"),
                    ("two signs", f"+-{v}"),
                    ("a zero more", f"{v}0" if v else "01"),
                    ("full width", "".join(chr(ord(c) + 0xFEE0) for c in str(v))),
                    ("a long row of blanks", "\u00a0" * 60 + f"{v}x"),
                ]
            return found
        case ListEntry(values=()):
            return [("zero", "0")]
        case ListEntry(values=values):
            texts = list(map(str, values))
            found = [
                ("one missing", ", ".join(texts[1:])),
                ("one more", ", ".join([*texts, "1"])),
                ("glued", "".join(texts)),
                ("glued by signs", "+".join(texts)),
                ("a comma more", ", ".join([*texts, ""])),
                ("fractions", ", ".join(f"{t}.5" for t in texts)),
                ("a long row of blanks", "\u00a0" * 60 + ", ".join(texts) + "\u00a0" * 60 + "x"),
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
        ("plus signs and zeros", tuple("+0"[i % 2] + text for i, text in enumerate(texts))),
        *((f"blank {places}", spread(texts, places)) for places in blanks(response)),
        ("negatives", tuple(str(v - m) for v in values)),
        ("far off", tuple(str(v + (-1) ** i * 1000 * m) for i, v in enumerate(values))),
        ("one twice", (*texts, str(values[0] + m))),
    ]


def blanks(response: SetEntry) -> list[tuple[int, ...]]:
    """Every choice of the entries, numbered from 0, that stay blank with each value typed once."""
    return list(combinations(range(response.entries), response.entries - len(response.values)))


def spread(texts: tuple[str, ...], blank: tuple[int, ...]) -> tuple[str, ...]:
    """The texts in their order, with blanks in these places."""
    left = iter(texts)
    return tuple("" if n in blank else next(left) for n in range(len(texts) + len(blank)))


def misentered(response: SetEntry) -> list[tuple[str, tuple[str, ...]]]:
    values, m = response.values, response.modulus
    texts = tuple(map(str, values))
    other = next(str(v) for v in range(m) if v not in values)
    return [
        ("one missing", texts[1:]),
        ("one missing, after a blank", ("", *texts[1:])),
        ("one twice for another", (texts[0], *texts[:-1])),
        ("one more", (*texts, other)),
        ("one wrong", (*texts[:-1], other)),
    ]


# ------------------------------------------------------------ about the derivation


def misordered(response: PutInOrder) -> list[tuple[str, tuple[str, ...]]]:
    """Neighbours exchanged, and backwards; without what a slip does."""
    order = response.order
    swaps = [(*order[:i], order[i + 1], order[i], *order[i + 2 :]) for i in range(len(order) - 1)]
    return [("the first two exchanged", swaps[0]), ("backwards", order[::-1])]


def mismatched(response: MatchPairs) -> list[tuple[str, tuple[str, ...]]]:
    pairs = response.pairs
    first = response.sources[0].identifier
    used = {pair.split()[1] for pair in pairs}
    other = next(t.identifier for t in response.targets if t.identifier not in used)
    own = pairs[1].split()[1]
    return [
        ("one missing", pairs[1:]),
        ("one elsewhere", (f"{first} {other}", *pairs[1:])),
        ("two with one", (f"{first} {own}", *pairs[1:])),
    ]


def by_stage(item: Item, response: Guided) -> list[Answer]:
    """Each stage blank, each alone, each slip alone and among right stages, two slips at once."""
    right = tuple(map(str, key(response)))
    n = len(right)

    def only(i: int, text: str, others: tuple[str, ...] = ("",) * n) -> tuple[str, ...]:
        return (*others[:i], text, *others[i + 1 :])

    found = [Answer(f"stage {i + 1} blank", only(i, "", right), n - 1) for i in range(n)]
    found += [Answer(f"stage {i + 1} alone", only(i, right[i]), 1) for i in range(n)]
    spaced = tuple(f" {text.replace(',', ' ;')} " if "," in text else text for text in right)
    found.append(Answer("key, semicolons and spaces", spaced, n))
    for number, slip in enumerate(item.feedback, 1):
        given = tuple(map(str, slip.response))
        (i,) = (i for i, text in enumerate(given) if text)
        found.append(Answer(f"slip {number}", given, 0, number))
        found.append(Answer(f"slip {number} alone", only(i, given[i], right), n - 1, number))
    places = [next(i for i, text in enumerate(s.response) if text) for s in item.feedback]
    if len(set(places)) > 1:
        first, last = 0, len(places) - 1
        one, other = (tuple(map(str, item.feedback[i].response)) for i in (first, last))
        both = only(places[last], other[places[last]], one)
        found.append(Answer("two slips, told of the first", both, 0, first + 1))
    return found
