"""What a package holds, by its manifest: items, tests, and what is missing or left over.

Source: IMS Content Packaging 1.2 (manifest, resource, file); resource types of
QTI 1.2, 2.1, 2.2 and 3.0 and of Common Cartridge 1.1 to 1.3.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from posixpath import join, normpath
from urllib.parse import unquote

from itembank.audit import assembly, printed, sheets
from itembank.audit.container import MANIFEST, Container
from itembank.audit.pieces import Found, Piece, Reader
from itembank.audit.xml import Element, keep_language, local_name
from itembank.values.errors import PackageError
from itembank.values.worded import worded

_ITEM = re.compile(r"imsqti_item_xmlv(2p[12]|3p0)")
_TEST = re.compile(r"imsqti_test_xmlv(2p[12]|3p0)")
_ITEMS = re.compile(r"imsqti_xmlv1p2(/imscc_xmlv1p[123]/(question-bank|assessment))?")


@dataclass(frozen=True)
class _Resource:
    identifier: str
    kind: str
    files: tuple[str, ...]


@dataclass
class Contents:
    """The resources; what is found of them grows while they are read."""

    container: Container
    found: Found = field(default_factory=Found)
    tests: dict[str, Element] = field(default_factory=dict)
    """By file, once all items were read."""
    on_paper: bool = False
    """Whether its questions are printed, once they were read."""
    listed: set[str] = field(default_factory=lambda: {MANIFEST})
    """The members that the manifest names."""
    pages: list[str] = field(default_factory=list)
    test_files: list[str] = field(default_factory=list)

    @property
    def findings(self) -> list[str]:
        return self.found.findings

    def items(self) -> Iterator[tuple[Element, Reader]]:
        """Every item element with the reader of its format, in the order of the manifest."""
        for piece in self.pieces():
            yield from piece.opened(self.container.package, self.found)
        yield from self.printed()
        self.read_the_rest()

    # ---------------------------------------------------------- what the manifest lists

    def pieces(self) -> Iterator[Piece]:
        """What is judged alone, in order: each resource, with its item or followed by its items.

        What is wrong is told by pieces too, where its turn is, so that it is found in this order
        in whatever process they are judged; the elements in one are emptied after it.
        """
        try:
            yield from self._pieces_of_manifest()
        except PackageError as error:
            yield Piece(refusal=error)

    def _pieces_of_manifest(self) -> Iterator[Piece]:
        rest: list[Element] = []
        names: list[str] = []
        needed: list[str] = []
        for element in self.container.elements(MANIFEST, "resource", rest):
            if local_name(element.getparent()) != "resources":
                continue  # metadata names resources of its own
            resource = _resource_of(element)
            names.append(resource.identifier)
            needed += assembly.dependencies(element)
            yield from self._pieces_of(resource, element)
        missing = sorted(set(needed) - set(names))
        yield Piece(
            told=(
                *assembly.faults_of_manifest(MANIFEST, rest[0]),
                *assembly.twice(MANIFEST, names),
                *(
                    worded(
                        "{manifest}: expected the resource {name}, it is not there",
                        manifest=MANIFEST,
                        name=name,
                    )
                    for name in missing
                ),
            )
        )

    def _pieces_of(self, resource: _Resource, element: Element) -> Iterator[Piece]:
        members = self.container.members
        present = [members[f].filename for f in resource.files if f in members]
        self.listed.update(present)
        told = [
            worded(
                "{manifest}: expected the file {missing}, it is not there",
                manifest=MANIFEST,
                missing=missing,
            )
            for missing in sorted(set(resource.files) - set(present))
        ]
        document = banks = None
        if _ITEM.fullmatch(resource.kind):
            document = self.container.taken(present[0]) if present else None
        elif _ITEMS.fullmatch(resource.kind):
            banks = present
        elif resource.kind == "webcontent":
            self.pages += present
        elif _TEST.fullmatch(resource.kind):
            self.test_files += present[:1]
        elif "qti" in resource.kind.lower():
            told.append(
                worded(
                    "{manifest}: resource {identifier}: the type {kind} is not read",
                    manifest=MANIFEST,
                    identifier=resource.identifier,
                    kind=resource.kind,
                )
            )
        yield Piece(element, tuple(told), document)
        for name in banks or ():
            yield from self._pieces_of_bank(name)

    def _pieces_of_bank(self, name: str) -> Iterator[Piece]:
        rest: list[Element] = []
        for element in self.container.elements(name, "item", rest):
            keep_language(element)
            yield Piece(item=element)
        yield Piece(told=tuple(assembly.faults_of_bank(name, rest[0])))

    def add(self, found: Found) -> None:
        """What later pieces tell, their names as the directory holds them: each is kept once."""
        members = self.container.members
        self.found.findings += found.findings
        self.found.files |= {members[name].filename: i for name, i in found.files.items()}
        self.found.wholes += found.wholes
        for name, remark in found.remarks.items():
            self.found.remarks.setdefault(name, remark)

    # ---------------------------------------------------------- what is read once these are

    def printed(self) -> Iterator[tuple[Element, Reader]]:
        """The questions of printed pages."""
        self.on_paper = bool(self.pages)
        for question in sheets.items(self.container, self.pages, self.findings):
            yield question, printed.seen_item

    def read_the_rest(self) -> None:
        """The tests, and what is left over, once every item is found."""
        remarks = {**self.container.remarks, **self.found.remarks}
        for name in self.test_files:
            self.tests[name] = self.container.document(name)
            self.found.findings += assembly.faults_of_test(name, self.tests[name], self.found.files)
        for name, remark in {**remarks, **self.container.remarks}.items():
            self.findings.append(
                worded(
                    "{name}: expected no comment and no instruction, got '{remark}'",
                    name=name,
                    remark=remark,
                )
            )
        for name in sorted(self.container.members.keys() - self.listed):
            self.findings.append(
                worded("{name}: expected every file in the manifest, this one is not", name=name)
            )


def _resource_of(element: Element) -> _Resource:
    """A resource as its element lists it."""
    base = element.get("{http://www.w3.org/XML/1998/namespace}base", "")
    named = [element.get("href"), *(f.get("href") for f in element.iter("{*}file"))]
    files = dict.fromkeys(_located(join(base, h)) for h in named if h)
    return _Resource(element.get("identifier", ""), element.get("type", ""), tuple(files))


def _located(href: str) -> str:
    """The member that a reference names."""
    return normpath(unquote(href.partition("#")[0]))
