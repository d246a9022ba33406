"""Items as bytes and back: their canonical text, compressed.

The text is what an item's hash is taken of, so what comes back is known to be what went in, and
keeps its hash and its name whatever later versions add to an item.
"""

import dataclasses
import json
import zlib
from hashlib import sha256
from typing import Any

from itembank.notation import tree
from itembank.values import item as items
from itembank.values.errors import BankError
from itembank.values.item import Item, canonical

CLASSES: dict[str, type] = {
    name: value
    for module in (items, tree)
    for name, value in vars(module).items()
    if isinstance(value, type) and dataclasses.is_dataclass(value)
}
"""What an item is made of, by name."""


def stored(item: Item) -> tuple[bytes, str]:
    """The bytes of an item, and its fingerprint."""
    text = canonical(item)
    return zlib.compress(text), sha256(text).hexdigest()


def item_from(data: bytes, fingerprint: str) -> Item:
    """The item that `stored` gave; BankError if it is not the one of this fingerprint."""
    text = zlib.decompress(data)
    if sha256(text).hexdigest() != fingerprint:
        raise BankError(
            f"item {fingerprint[:16]}: its content in the bank does not have the recorded hash: "
            "somebody edited it; take the bank from a copy"
        )
    item: Item = json.loads(text, object_hook=made)
    vars(item)["fingerprint"] = fingerprint
    return item


FIELDS = {name: tuple(f.name for f in dataclasses.fields(kind)) for name, kind in CLASSES.items()}


def made(data: dict[str, Any]) -> Any:
    """The value of canonical data {class: its one value, or all in order}, made as it was.

    What a class checks of its values was checked when the item was composed.
    """
    ((name, held),) = data.items()
    names = FIELDS[name]
    values = (held,) if len(names) == 1 else held
    value: Any = object.__new__(CLASSES[name])
    fields = vars(value)
    for field, v in zip(names, values, strict=False):
        fields[field] = as_tuple(v) if type(v) is list else v
    return value


def as_tuple(values: list[Any]) -> tuple[Any, ...]:
    return tuple([as_tuple(v) if type(v) is list else v for v in values])
