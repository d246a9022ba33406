"""Items as bytes and back: their text in the present codec, compressed.

The text is what an item's hash is taken of, so what comes back is known to be what went in.  An
item of an older codec keeps the hash and the name that it was released under.
"""

import zlib
from hashlib import sha256

from itembank.values import codec
from itembank.values.errors import BankError
from itembank.values.item import Item
from itembank.values.worded import worded

_HEADS = {b'{"Item":': 1, b'{"item":': codec.CODEC}
"""How the text of each codec begins."""


def stored(item: Item) -> tuple[bytes, str]:
    """The bytes of an item, and its fingerprint."""
    text = codec.written(item)
    return zlib.compress(text), sha256(text).hexdigest()


def item_from(data: bytes, fingerprint: str) -> Item:
    """The item that `stored` gave; BankError if it is not the one of this fingerprint."""
    text = zlib.decompress(data)
    if sha256(text).hexdigest() != fingerprint:
        raise BankError(
            worded(
                "item {fingerprint}: its content in the bank does not have the recorded hash: "
                "somebody edited it; take the bank from a copy",
                fingerprint=fingerprint[:16],
            )
        )
    number = _HEADS.get(text[:8])
    if number is None:
        raise BankError(
            worded(
                "item {fingerprint}: written by a newer version of itembank; install that version",
                fingerprint=fingerprint[:16],
            )
        )
    item: Item = codec.read(text, number)
    vars(item)["fingerprint"] = fingerprint
    if number == 1:
        vars(item)["identifier"] = f"item-{fingerprint[:16]}"
    return item
