"""Printed pages as elements, whatever they are set with.

Source: HTML Living Standard, as lxml reads it (libxml2's HTML parser knows no entities of a
document and opens no network).
"""

import re
from collections.abc import Iterator
from itertools import islice

from lxml import html

from itembank.audit import allowed, typeset
from itembank.audit.budget import PAGE, PAGE_TAGS
from itembank.audit.container import Container
from itembank.audit.shape import strange
from itembank.audit.xml import Element
from itembank.values.worded import laid_out, worded


def page(container: Container, name: str, findings: list[str]) -> Element:
    """The root of a page; what of it is not read here goes to the findings."""
    if name.endswith(".tex"):
        return typeset.page(container, name, findings)
    root = html.document_fromstring(_page_of(container, name))
    findings += islice(_strange_page(name, root), _TOLD)
    return root


_TOLD = 20
"""The most findings on one page that are written out."""

_DECLARATION = re.compile(
    r"(size|margin|padding(-left)?|max-width|min-width|break-inside|text-align|list-style"
    r"|border-collapse|border-bottom|border|font-weight|font-style|font-family) *: *[^:{}]*"
    r"|font *: *([8-9]|1[0-9])pt[^:{}]*|font-size *: *([8-9]|1[0-9])pt"
    r"|height *: *[1-9]0{1,2}mm|content *: *counter\(page\) \" / \" counter\(pages\)"
    r"|color *: *#000|background *: *#fff|display *: *(inline-)?block"
)
"""A declaration that hides nothing: black on white, of a size to be read, where it stands."""


def _strange_page(name: str, root: Element) -> Iterator[str]:
    """What of a page is not read here, its styles included."""
    for what in strange(root, allowed.page()):
        yield laid_out("{name}: {what}", name=name, what=what)
    for style in root.iter("style"):
        for block in re.findall(r"\{([^{}]*)\}", style.text or ""):
            for declaration in filter(None, map(str.strip, block.split(";"))):
                value = " ".join(declaration.split())
                negative = re.search(r"(?<![\w-])-\s*[0-9.]", value)
                if negative or not _DECLARATION.fullmatch(value):
                    yield worded("{name}: the style {value}", name=name, value=value[:60])
        if re.search(
            r"@(?!page|media screen|bottom-center)|url|expression|\\|/\*", style.text or ""
        ):
            yield worded("{name}: a style that loads or hides something", name=name)


def _page_of(container: Container, name: str) -> bytes:
    """A page as a whole; PackageError for one that would fill the memory."""
    chunks: list[bytes] = []
    size = tags = 0
    for chunk in container.chunks(name):
        chunks.append(chunk)
        size, tags = size + len(chunk), tags + chunk.count(b"<")
        if size > PAGE:
            raise container.refused(f"expected a page of at most {PAGE} bytes", name)
        if tags > PAGE_TAGS:
            raise container.refused(f"expected a page of at most {PAGE_TAGS} tags", name)
    return b"".join(chunks)
