"""What stands around the items: the test of a package, the quiz of a cartridge, the manifest.

A test is read as a whole.  Items are drawn without replacement, one attempt, no feedback and no
solution before the quiz is closed, each item once and worth what its stem says: as the load card
tells the coordinator.  Whatever else one says is a finding.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from copy import deepcopy
from posixpath import dirname, join
from urllib.parse import unquote

from lxml import etree

from itembank.audit import allowed, qti3
from itembank.audit.cartridge import fields_of, strange_fields
from itembank.audit.report import ItemReport
from itembank.audit.shape import HIDDEN, Shapes, strange
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element, local_name, namespace_of
from itembank.values.worded import laid_out, worded

_PARTS = ("{*}testPart", "{*}assessmentSection", "{*}assessmentItemRef")

_TOLD = 20
"""The most findings on one document that are written out."""


def _unread(name: str, root: Element, known: Shapes) -> Iterator[str]:
    """What of a document is not read here."""
    for n, what in enumerate(strange(root, known)):
        if n == _TOLD:
            return
        yield laid_out("{name}: {what}", name=name, what=what)


def twice(name: str, identifiers: Iterable[str]) -> Iterator[str]:
    """Identifiers that stand there more than once."""
    for identifier, n in Counter(identifiers).items():
        if n > 1:
            yield worded(
                "{name}: expected the identifier {identifier} once, got it {n} times",
                name=name,
                identifier=identifier,
                n=n,
            )


# ------------------------------------------------------------ a test of QTI 2.x and 3.0


def faults_of_test(name: str, root: Element, items: Mapping[str, str]) -> Iterator[str]:
    """What is wrong with a test of these items, identifiers by file."""
    if local_name(root).startswith(qti3.PREFIX):
        try:
            root = qti3.in_names_of_2(root)
        except Unsupported as reason:
            yield laid_out("{name}: {reason}", name=name, reason=reason)
            return
    yield from _unread(name, root, allowed.test(namespace_of(root)))
    yield from twice(name, (e.get("identifier", "") for e in root.iter(*_PARTS)))
    used: Counter[str] = Counter()
    for ref in root.iter("{*}assessmentItemRef"):
        target = join(dirname(name), unquote(ref.get("href", "")))
        used[target] += 1
        if target not in items:
            yield worded(
                "{name}: expected the item {target} in the package, it is not there",
                name=name,
                target=target,
            )
        elif ref.get("identifier") != items[target]:
            yield worded(
                "{name}: expected {items} for {target}, got {found}",
                name=name,
                items=items[target],
                target=target,
                found=ref.get("identifier"),
            )
    for target in items:
        if used[target] != 1:
            yield worded(
                "{name}: expected the item {target} once, got it {used} times",
                name=name,
                target=target,
                used=used[target],
            )
    for section in root.iter("{*}assessmentSection"):
        where = f"{name}: section {section.get('identifier')}"
        drawn = list(section.iterchildren("{*}assessmentItemRef", "{*}assessmentSection"))
        selections = list(section.iterchildren("{*}selection"))
        shuffled = [o.get("shuffle") == "true" for o in section.iterchildren("{*}ordering")]
        yield from _misordered(where, section, bool(selections), shuffled == [True])
        for selection in selections:
            yield from _overdrawn(where, selection.get("select", ""), len(drawn))


def _misordered(where: str, section: Element, selects: bool, shuffles: bool) -> Iterator[str]:
    """A section that does not draw at random; one within another, of parts, that does."""
    above = section.getparent()
    inside = above is not None and above.tag == section.tag
    if inside and (selects or shuffles):
        yield worded("{where}: expected all parts of a question, in their order", where=where)
    if not inside and not (selects and shuffles):
        yield worded("{where}: expected a draw, in random order", where=where)
    if inside and above.getparent() is not None and above.getparent().tag == section.tag:
        yield worded("{where}: expected no section within the parts of a question", where=where)


def _overdrawn(where: str, wanted: str, parts: int) -> Iterator[str]:
    """More drawn than there are, or none."""
    if not wanted.isdecimal() or not 0 < int(wanted[:9]) <= parts:
        yield worded(
            "{where}: expected to select at most {parts}, got {wanted}",
            where=where,
            parts=parts,
            wanted=wanted[:40],
        )


def _weights(root: Element) -> Iterator[tuple[str, str]]:
    """The identifier and the weight of each item that a test refers to."""
    for ref in root.iter("{*}assessmentItemRef", "{*}qti-assessment-item-ref"):
        for weight in ref.iterchildren("{*}weight", "{*}qti-weight"):
            yield ref.get("identifier", ""), weight.get("value", "")


def misweighed(
    name: str,
    root: Element,
    reports: Iterable[ItemReport],
    wholes: Mapping[str, tuple[str, ...]],
) -> Iterator[str]:
    """Items that count otherwise than their stems say: once, or not at all.

    wholes: the parts of an item that holds the parts of a question, which count alike.
    """
    counted = {r.identifier: r.counts for r in reports if r.status != "unchecked"}
    for whole, parts in wholes.items():
        each = {counted[part] for part in parts if part in counted}
        if len(each) > 1:
            yield worded("{name}: {whole}: expected parts that all count", name=name, whole=whole)
        elif each:
            counted[whole] = each.pop()
    for identifier, weight in _weights(root):
        expected = "1" if counted.get(identifier, True) else "0"
        if identifier in counted and weight != expected:
            yield worded(
                "{name}: {identifier}: expected the weight {expected}, got {weight}",
                name=name,
                identifier=identifier,
                expected=expected,
                weight=weight[:40],
            )


# ------------------------------------------------------------ around the items of 1.2.1


def faults_of_bank(name: str, root: Element) -> Iterator[str]:
    """What is wrong around the items, which are empty here."""
    yield from _unread(name, root, allowed.around(namespace_of(root)))
    yield from twice(name, (e.get("ident", "") for e in root.iter("{*}section", "{*}objectbank")))
    for quiz in root.iter("{*}assessment"):
        for what in strange_fields(fields_of(quiz), allowed.QUIZ_FIELDS):
            yield laid_out("{name}: {what}", name=name, what=what)
        if dict(fields_of(quiz)).keys() != allowed.QUIZ_FIELDS.keys():
            yield worded(
                "{name}: expected {found} in the metadata of the quiz",
                name=name,
                found=", ".join(allowed.QUIZ_FIELDS),
            )
    for section in root.iter("{*}section"):
        parts = sum(1 for _drawn in section.iterchildren("{*}item", "{*}section"))
        orders = [o.get("order_type") for o in section.iter("{*}order")][:1]
        if orders:
            selects = section.find("{*}selection_ordering/{*}selection") is not None
            where = f"{name}: section {section.get('ident')}"
            yield from _misordered(where, section, selects, orders == ["Random"])
        for number in section.iter("{*}selection_number"):
            yield from _overdrawn(
                f"{name}: section {section.get('ident')}", (number.text or "").strip(), parts
            )


# ------------------------------------------------------------ the manifest


def faults_of_manifest(name: str, root: Element) -> Iterator[str]:
    """What is wrong with a manifest, whose resources are empty here."""
    for metadata in root.iter("{*}metadata"):
        for child in list(metadata):
            if namespace_of(child) != namespace_of(root):
                yield from _unread(f"{name}: metadata", _bare(child), allowed.metadata())
                metadata.remove(child)
    yield from _unread(name, root, allowed.manifest(namespace_of(root)))


def _bare(metadata: Element) -> Element:
    """A copy of metadata with names alone, whatever their namespace."""
    copy = deepcopy(metadata)
    for element in copy.iter(etree.Element):
        element.tag = local_name(element)
    return copy


_KEPT = 1_024
"""How many sound metadata are kept; all are let go when there are more."""
_SHORT = 4_000
"""Characters of metadata that are kept."""
_SOUND: set[str] = set()
"""The metadata that were held against the list and hold nothing strange, without their words."""

_WORDS = re.compile(
    r"(<(?:string|entry)(?: language=\"[A-Za-z-]+\")?>)"
    rf"(?=\s*[^\s<&])[^<&{HIDDEN.pattern[1:]}+"
)
"""Words in an element that takes any words: whatever they are, they are not strange."""


def _strange_metadata(where: str, told: Element) -> Iterator[str]:
    """What is strange in the metadata of a resource; most differ from others in their words."""
    looks = _WORDS.sub(r"\1x", etree.tostring(told, encoding="unicode", with_tail=False))
    if looks in _SOUND:
        return
    found = list(_unread(f"{where}: metadata", _bare(told), allowed.metadata()))
    if not found and len(looks) <= _SHORT:
        if len(_SOUND) >= _KEPT:
            _SOUND.clear()
        _SOUND.add(looks)
    yield from found


def faults_of_resource(name: str, resource: Element) -> Iterator[str]:
    """What is wrong with one resource."""
    where = f"{name}: resource {resource.get('identifier', 'without identifier')}"
    kinds = [local_name(child) for child in resource if isinstance(child.tag, str)]
    for kind in kinds:
        if kind not in ("metadata", "file", "dependency"):
            yield worded("{where}: the element {kind} is not read here", where=where, kind=kind)
    for attribute in resource.attrib:
        if attribute not in ("identifier", "type", "href") and not attribute.endswith("}base"):
            yield worded(
                "{where}: the attribute {found} is not read here",
                where=where,
                found=attribute.rpartition("}")[2],
            )
    for metadata in resource.iterchildren("{*}metadata"):
        for child in metadata.iterchildren(etree.Element):
            yield from _strange_metadata(where, child)
        for told in metadata.iterfind("{*}lom/{*}general/{*}identifier/{*}entry"):
            if told.text != resource.get("identifier"):
                yield worded(
                    "{where}: expected its identifier in its metadata, got {text}",
                    where=where,
                    text=told.text,
                )
    files = [f.get("href", "") for f in resource.iter("{*}file")]
    href = resource.get("href")
    if not all(files) or len(set(files)) != len(files):
        yield worded("{where}: expected each file once, by its name", where=where)
    if href is not None and href not in files:
        yield worded("{where}: expected {href} among its files", where=where, href=href[:80])


def dependencies(resource: Element) -> list[str]:
    """The resources that one needs, by identifier."""
    return [d.get("identifierref", "") for d in resource.iterchildren("{*}dependency")]
