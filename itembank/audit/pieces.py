"""What of a package is judged alone, in any process: a resource with its item, or an item.

A document goes out as it lies in the package, packed, and is unpacked where it is judged; an
element as it is written.  What comes back of it is little.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from sys import intern
from typing import NamedTuple

from itembank.audit import assembly, cartridge, composite, qti2, qti3
from itembank.audit.container import MANIFEST
from itembank.audit.reading import Member, MemberAlone
from itembank.audit.seen import SeenItem
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element, alone, local_name, parsed, sent
from itembank.values.errors import PackageError
from itembank.values.worded import laid_out, worded, wording

Reader = Callable[[Element], SeenItem]

_READERS = {"assessmentItem": qti2.seen_item, "qti-assessment-item": qti3.seen_item}
"""By the root element of an item's file."""


@dataclass
class Found:
    """What pieces tell beside their items, in their order."""

    findings: list[str] = field(default_factory=list)
    files: dict[str, str] = field(default_factory=dict)
    """The identifier of each item by its file."""
    wholes: list[tuple[str, tuple[str, ...]]] = field(default_factory=list)
    """Each item that holds all parts of a question, with its parts, by identifier."""
    remarks: dict[str, str] = field(default_factory=dict)
    """By member, the first comment or instruction in it."""


class Piece(NamedTuple):
    """A resource of the manifest, what is found of it, and its item; an item of a document of
    several; or why the package is refused.  Each may be missing."""

    resource: Element | bytes | None = None
    told: tuple[str, ...] = ()
    document: Member | None = None
    item: Element | bytes | None = None
    refusal: PackageError | None = None

    def sent(self) -> "Piece":
        """The same for another process."""
        return self._replace(resource=_as_sent(self.resource), item=_as_sent(self.item))

    def opened(self, package: str, found: Found) -> Iterator[tuple[Element, Reader]]:
        """Its item with the reader of its format, if it has one; `found` is added to.

        Raises PackageError for a package, of this name, that is refused.
        """
        if self.refusal is not None:
            raise self.refusal
        if self.resource is not None:
            found.findings += assembly.faults_of_resource(MANIFEST, _as_element(self.resource))
        found.findings += self.told
        if self.document is not None:
            yield from _opened(package, self.document, found)
        if self.item is not None:
            yield alone(_as_element(self.item)), cartridge.seen_item


def _opened(package: str, member: Member, found: Found) -> Iterator[tuple[Element, Reader]]:
    """The item of a file of its own; of one that holds the parts of a question each part."""
    name, reading = member.name, MemberAlone(package, member)
    root = reading.document(name)
    found.remarks |= reading.remarks
    reader = _READERS.get(local_name(root))
    if reader:
        found.files[name] = intern(root.get("identifier", ""))
        yield from _taken_apart(root, reader, found)
    else:
        found.findings.append(
            worded(
                "{name}: expected an assessmentItem, got {local_name}",
                name=name,
                local_name=local_name(root),
            )
        )


def _taken_apart(root: Element, reader: Reader, found: Found) -> Iterator[tuple[Element, Reader]]:
    """An item, or the parts that it holds, which are in the names of 2.x then.

    One whose parts cannot be told apart is read as it stands, and what is wrong is told.
    """
    if not composite.is_composite(root):
        yield root, reader
        return
    whole = root.get("identifier", "")
    try:
        parts = composite.parts_of(root)
    except Unsupported as reason:
        found.findings.append(laid_out("{item}: {why}", item=whole, why=wording(reason)))
        yield root, reader
        return
    found.findings += composite.of_others(whole, parts)
    found.wholes.append((whole, tuple(part.get("identifier", "") for part in parts)))
    yield from ((part, qti2.seen_item) for part in parts)


def _as_sent(element: Element | bytes | None) -> bytes | None:
    return element if element is None or isinstance(element, bytes) else sent(element)


def _as_element(element: Element | bytes) -> Element:
    return parsed(element) if isinstance(element, bytes) else element
