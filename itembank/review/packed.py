"""The items of a packet as one text that a page can hold unread until it is wanted.

A page of a thousand items has 600,000 elements, which keep a browser busy for half a minute, and
25 million characters.  So the items stand in it compressed; the script writes out the one that is
opened, and all of them for paper.

Source: RFC 1951 (deflate); RFC 4648, 4 (base64); Compression Standard (WHATWG), "deflate-raw".
"""

import zlib
from base64 import b64decode, b64encode
from collections.abc import Iterable

_BETWEEN = "\0"
"""Stands between two items; no HTML holds it (a parser would replace it)."""


def packed(items: Iterable[str]) -> str:
    """Texts as one text of letters, digits, +, / and =.

    >>> unpacked(packed(["<p>7</p>", "<p>12</p>"]))
    ['<p>7</p>', '<p>12</p>']
    """
    whole = _BETWEEN.join(item.replace(_BETWEEN, "\N{REPLACEMENT CHARACTER}") for item in items)
    press = zlib.compressobj(6, zlib.DEFLATED, -zlib.MAX_WBITS)
    return b64encode(press.compress(whole.encode()) + press.flush()).decode()


def unpacked(text: str) -> list[str]:
    """The texts that were packed."""
    return zlib.decompress(b64decode(text), -zlib.MAX_WBITS).decode().split(_BETWEEN)
