"""What a package holds, by its manifest: items, tests, and what is missing or left over.

Source: IMS Content Packaging 1.2 (manifest, resource, file); resource types of
QTI 1.2, 2.1, 2.2 and 3.0 and of Common Cartridge 1.1 to 1.3.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from posixpath import join, normpath
from urllib.parse import unquote

from itembank.audit import assembly, cartridge, printed, qti2, qti3, sheets
from itembank.audit.container import MANIFEST, Container
from itembank.audit.seen import SeenItem
from itembank.audit.xml import Element, local_name
from itembank.values.worded import worded

Reader = Callable[[Element], SeenItem]

ITEM = re.compile(r"imsqti_item_xmlv(2p[12]|3p0)")
TEST = re.compile(r"imsqti_test_xmlv(2p[12]|3p0)")
ITEMS = re.compile(r"imsqti_xmlv1p2(/imscc_xmlv1p[123]/(question-bank|assessment))?")

READERS = {"assessmentItem": qti2.seen_item, "qti-assessment-item": qti3.seen_item}
"""By the root element of an item's file."""


@dataclass(frozen=True)
class Resource:
    identifier: str
    kind: str
    files: tuple[str, ...]


@dataclass
class Contents:
    """The resources; `findings` grows while they are read."""

    container: Container
    findings: list[str] = field(default_factory=list)
    tests: dict[str, Element] = field(default_factory=dict)
    """By file, once all items were read."""
    files: dict[str, str] = field(default_factory=dict)
    """The identifier of each item by its file."""
    on_paper: bool = False
    """Whether its questions are printed, once they were read."""

    def items(self) -> Iterator[tuple[Element, Reader]]:
        """Every item element with the reader of its format, in the order of the manifest."""
        listed = {MANIFEST}
        tests: list[str] = []
        pages: list[str] = []
        for resource in self.resources():
            listed.update(resource.files)
            present = [f for f in resource.files if f in self.container.members]
            for missing in sorted(set(resource.files) - set(present)):
                self.findings.append(
                    worded(
                        "{manifest}: expected the file {missing}, it is not there",
                        manifest=MANIFEST,
                        missing=missing,
                    )
                )
            if ITEM.fullmatch(resource.kind):
                for name in present[:1]:
                    yield from self.item(name)
            elif ITEMS.fullmatch(resource.kind):
                for name in present:
                    rest: list[Element] = []
                    for element in self.container.elements(name, "item", rest):
                        yield element, cartridge.seen_item
                    self.findings += assembly.faults_of_bank(name, rest[0])
            elif resource.kind == "webcontent":
                pages += present
            elif TEST.fullmatch(resource.kind):
                tests += present[:1]
            elif "qti" in resource.kind.lower():
                self.findings.append(
                    worded(
                        "{manifest}: resource {identifier}: the type {kind} is not read",
                        manifest=MANIFEST,
                        identifier=resource.identifier,
                        kind=resource.kind,
                    )
                )
        self.on_paper = bool(pages)
        for question in sheets.items(self.container, pages, self.findings):
            yield question, printed.seen_item
        for name in tests:
            self.tests[name] = self.container.document(name)
            self.findings += assembly.faults_of_test(name, self.tests[name], self.files)
        for name, remark in self.container.remarks.items():
            self.findings.append(
                worded(
                    "{name}: expected no comment and no instruction, got '{remark}'",
                    name=name,
                    remark=remark,
                )
            )
        for name in sorted(self.container.members.keys() - listed):
            self.findings.append(
                worded("{name}: expected every file in the manifest, this one is not", name=name)
            )

    def resources(self) -> Iterator[Resource]:
        rest: list[Element] = []
        names: list[str] = []
        needed: list[str] = []
        for element in self.container.elements(MANIFEST, "resource", rest):
            if local_name(element.getparent()) != "resources":
                continue  # metadata names resources of its own
            base = element.get("{http://www.w3.org/XML/1998/namespace}base", "")
            named = [element.get("href"), *(f.get("href") for f in element.iter("{*}file"))]
            files = dict.fromkeys(located(join(base, h)) for h in named if h)
            self.findings += assembly.faults_of_resource(MANIFEST, element)
            names.append(element.get("identifier", ""))
            needed += assembly.dependencies(element)
            yield Resource(names[-1], element.get("type", ""), tuple(files))
        self.findings += assembly.faults_of_manifest(MANIFEST, rest[0])
        self.findings += assembly.twice(MANIFEST, names)
        for name in sorted(set(needed) - set(names)):
            self.findings.append(
                worded(
                    "{manifest}: expected the resource {name}, it is not there",
                    manifest=MANIFEST,
                    name=name,
                )
            )

    def item(self, name: str) -> Iterator[tuple[Element, Reader]]:
        root = self.container.document(name)
        reader = READERS.get(local_name(root))
        if reader:
            self.files[name] = root.get("identifier", "")
            yield root, reader
        else:
            self.findings.append(
                worded(
                    "{name}: expected an assessmentItem, got {local_name}",
                    name=name,
                    local_name=local_name(root),
                )
            )


def located(href: str) -> str:
    """The member that a reference names."""
    return normpath(unquote(href.partition("#")[0]))
