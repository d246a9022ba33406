"""A packet as a browser has it once the pages of all its items are written out."""

import re

from lxml import html

from itembank.review.packed import unpacked


def written_out(packet: bytes) -> str:
    """The file, the page of each item in place of what is packed."""
    page = packet.decode()
    found = re.search(r'<script type="text/plain" id="packed">(.*?)</script>', page)
    assert found
    return page.replace(found[0], "".join(unpacked(found[1])))


def tree(packet: bytes) -> html.HtmlElement:
    return html.fromstring(written_out(packet))
