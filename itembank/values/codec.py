"""Items as text and back, by a numbered codec: what the bank keeps, and what hashes are taken of.

Every value has a tag and named fields, written out in the tables below, so that no name of a
class and no order of its fields is ever part of a record. CODEC is the number of the present
tables; they may gain fields with defaults. A change that an older reader would take otherwise
is a new number, and the old tables stay: what was stored is read for ever, and never rewritten.

    1   class names and field positions (`stored before`, read only)
    2   the tables of this file
"""

import dataclasses
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from json.encoder import encode_basestring
from operator import attrgetter
from typing import Any

from itembank.notation import tree
from itembank.values import item as items
from itembank.values.points import from_plain, plain

CODEC = 2

Tables = Mapping[str, tuple[type[Any], tuple[str, ...]]]

_MATHEMATICS: Tables = {
    "number": (tree.Number, ("value",)),
    "letter": (tree.Letter, ("name", "primes")),
    "sum": (tree.Sum, ("terms",)),
    "minus": (tree.Minus, ("term",)),
    "plus minus": (tree.PlusMinus, ("term",)),
    "product": (tree.Product, ("factors", "dot")),
    "quotient": (tree.Quotient, ("num", "den")),
    "power": (tree.Power, ("base", "exponent")),
    "subscript": (tree.Subscript, ("base", "index")),
    "factorial": (tree.Factorial, ("term",)),
    "group": (tree.Group, ("inside",)),
    "call": (tree.Call, ("function", "arguments")),
    "symbol": (tree.Symbol, ("top", "bottom")),
    "listing": (tree.Listing, ("items",)),
    "dots": (tree.Dots, ()),
    "set": (tree.SetOf, ("items",)),
    "relation": (tree.Relation, ("sides", "signs")),
    "modulo": (tree.Modulo, ("inside", "modulus")),
    "words": (tree.Words, ("parts",)),
}

_PROSE: Tables = {
    "formula": (tree.Formula, ("math",)),
    "strong": (tree.Strong, ("text",)),
    "paragraph": (tree.Paragraph, ("content", "lead")),
    "display": (tree.Display, ("rows",)),
    "table": (tree.Table, ("head", "rows", "row_heads")),
}

_QUESTIONS: Tables = {
    "option": (
        items.Option,
        ("identifier", "label", "residues", "correct", "none", "slips"),
    ),
    "select all": (items.SelectAll, ("options",)),
    "select one": (items.SelectOne, ("options",)),
    "integer": (items.IntegerEntry, ("value", "modulus", "least_stem", "others")),
    "list": (items.ListEntry, ("values", "modulus", "none_word", "any_order")),
    "set entry": (items.SetEntry, ("values", "modulus", "entries")),
    "true or false": (items.TrueFalse, ("truth", "yes", "no")),
    "choice": (items.Choice, ("identifier", "label")),
    "order": (items.PutInOrder, ("lines", "order", "not_used", "by_places")),
    "match": (items.MatchPairs, ("sources", "targets", "pairs")),
    "stage": (items.Stage, ("prompt", "response")),
    "guided": (items.Guided, ("stages",)),
    "scoring": (items.Scoring, ("rule", "points")),
    "feedback": (items.SlipFeedback, ("slips", "response", "text")),
    "provenance": (items.Provenance, ("family", "version", "seed", "index")),
    "item": (
        items.Item,
        (
            "title", "statement", "kind", "ask", "stem", "spoken", "response", "scoring",
            "feedback", "solution", "outcomes", "level", "steps", "language", "provenance",
            "plain", "edition", "otherwise", "right", "formal",
        ),
    ),
}  # fmt: skip

TABLES: Tables = {**_MATHEMATICS, **_PROSE, **_QUESTIONS}

_TAGS = {kind: (tag, names) for tag, (kind, names) in TABLES.items()}

_GAINED = {
    "item": ("otherwise", "right", "formal"),
    "integer": ("others",),
    "order": ("not_used", "by_places"),
}
"""Fields that a table gained: written where they hold something, so that what was stored before
keeps its text and its hash."""


# ------------------------------------------------------------ to text


def written(value: object) -> bytes:
    """What a value of the tables, or a tuple of plain values, holds: JSON in UTF-8, without spaces.

    Points with a half are a text, "1.5".  TypeError for sets, fractions and the like; a float has
    no place in an item.
    """
    return _WRITERS[type(value)](value).encode()


_Writer = Callable[[Any], str]


class _Writers(dict[type[Any], _Writer]):
    """What writes the values of a class, made when the first of them is met.

    An item holds some three hundred nodes: an encoder that is told of each how to encode it takes
    three times as long.
    """

    def __missing__(self, kind: type[Any]) -> _Writer:
        made = self[kind] = _tagged(kind) if kind in _TAGS else _PLAIN.encode
        return made


def _listed(values: Iterable[object]) -> str:
    return f"[{','.join([_WRITERS[type(v)](v) for v in values])}]"


def _tagged(kind: type[Any]) -> _Writer:
    """What writes the values of a class of the tables: {tag: {name: value, ...}}."""
    tag, names = _TAGS[kind]
    before = [f'{"," if n else ""}"{name}":' for n, name in enumerate(names)]
    before[:1] = [f'{{"{tag}":{{' + "".join(before[:1])]
    if not names:
        return lambda _node: f"{before[0]}}}}}"
    if kind is items.Scoring or tag in _GAINED:
        return _with_exceptions(tag, names)
    of = attrgetter(*names)
    if len(names) == 1:
        (first,) = before
        return lambda node: f"{first}{_WRITERS[type(v := of(node))](v)}}}}}"
    if len(names) == 2:
        first, second = before

        def write_two(node: object) -> str:
            v, w = of(node)
            return f"{first}{_WRITERS[type(v)](v)}{second}{_WRITERS[type(w)](w)}}}}}"

        return write_two

    def write(node: object) -> str:
        each = zip(before, of(node), strict=True)
        return f"{''.join([f'{name}{_WRITERS[type(v)](v)}' for name, v in each])}}}}}"

    return write


def _with_exceptions(tag: str, names: Sequence[str]) -> _Writer:
    """Where a field is left out while it holds nothing, or is written otherwise: points."""
    gained = _GAINED.get(tag, ())

    def write(node: object) -> str:
        held = {name: getattr(node, name) for name in names}
        if isinstance(node, items.Scoring):
            held["points"] = plain(node.points)
        parts = [
            f'"{name}":{_WRITERS[type(value)](value)}'
            for name, value in held.items()
            if value or name not in gained
        ]
        return f'{{"{tag}":{{{",".join(parts)}}}}}'

    return write


def _refused(node: object) -> object:
    raise TypeError(f"no place in an item for {type(node).__name__}")


_PLAIN = json.JSONEncoder(
    default=_refused, ensure_ascii=False, separators=(",", ":"), check_circular=False
)

_WRITERS = _Writers({str: encode_basestring, int: int.__repr__, tuple: _listed, list: _listed})


# ------------------------------------------------------------ and back


def read(text: bytes | str, codec: int = CODEC) -> Any:
    """The value that `written` gave in this codec; KeyError or TypeError for anything else."""
    return json.loads(text, object_hook=_READERS[codec])


def _from_tables(data: dict[str, Any]) -> Any:
    """The value of a tag and its named fields; other objects are left for their tag."""
    if len(data) != 1:
        return data
    ((tag, held),) = data.items()
    if tag not in TABLES or not isinstance(held, dict):
        return data
    kind, names = TABLES[tag]
    if kind is items.Scoring:
        held = held | {"points": from_plain(held["points"])}
    return _made(kind, {name: held[name] for name in names if name in held})


def _made(kind: type[Any], values: Mapping[str, Any]) -> Any:
    """One of a class, made as it was; what the class checks was checked when it was composed."""
    value: Any = object.__new__(kind)
    fields = vars(value)
    for field in dataclasses.fields(kind):
        if field.name in values:
            v = values[field.name]
            fields[field.name] = _as_tuple(v) if type(v) is list else v
        elif field.default is not dataclasses.MISSING:
            fields[field.name] = field.default
        else:
            raise KeyError(field.name)
    return value


def _as_tuple(values: list[Any]) -> tuple[Any, ...]:
    return tuple([_as_tuple(v) if type(v) is list else v for v in values])


# ------------------------------------------------------------ the first codec, read only

BY_POSITION: Mapping[str, tuple[type[Any], tuple[str, ...]]] = {
    "Number": TABLES["number"],
    "Letter": TABLES["letter"],
    "Sum": TABLES["sum"],
    "Minus": TABLES["minus"],
    "PlusMinus": TABLES["plus minus"],
    "Product": TABLES["product"],
    "Quotient": TABLES["quotient"],
    "Power": TABLES["power"],
    "Subscript": TABLES["subscript"],
    "Factorial": TABLES["factorial"],
    "Group": TABLES["group"],
    "Call": TABLES["call"],
    "Symbol": TABLES["symbol"],
    "Listing": TABLES["listing"],
    "Dots": TABLES["dots"],
    "SetOf": TABLES["set"],
    "Relation": TABLES["relation"],
    "Modulo": TABLES["modulo"],
    "Words": TABLES["words"],
    "Formula": TABLES["formula"],
    "Strong": TABLES["strong"],
    "Paragraph": TABLES["paragraph"],
    "Display": TABLES["display"],
    "Table": TABLES["table"],
    "Option": TABLES["option"],
    "SelectAll": TABLES["select all"],
    "SelectOne": TABLES["select one"],
    "IntegerEntry": TABLES["integer"],
    "ListEntry": TABLES["list"],
    "SetEntry": TABLES["set entry"],
    "TrueFalse": TABLES["true or false"],
    "Choice": TABLES["choice"],
    "PutInOrder": TABLES["order"],
    "MatchPairs": TABLES["match"],
    "Stage": TABLES["stage"],
    "Guided": TABLES["guided"],
    "Scoring": TABLES["scoring"],
    "SlipFeedback": TABLES["feedback"],
    "Provenance": TABLES["provenance"],
    "Item": TABLES["item"],
}
"""Codec 1: {class: the value of its one field, or the values of all in this order}."""


def _from_positions(data: dict[str, Any]) -> Any:
    ((name, held),) = data.items()
    kind, names = BY_POSITION[name]
    values = (held,) if len(names) == 1 else held
    return _made(kind, dict(zip(names, values, strict=False)))


_READERS: Mapping[int, Callable[[dict[str, Any]], Any]] = {1: _from_positions, 2: _from_tables}
