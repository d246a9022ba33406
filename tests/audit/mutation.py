"""Changes of a package that grow with it: every element and attribute, each number and name.

    for place in places(members, names): mutant(members, place)

Of each element: deleted, doubled, emptied, moved before the one before it.  Of each attribute:
deleted, emptied, each number in it one larger, its identifier another.  Of each text: each number
one larger, its words gone.  HTML in a text field is changed as elements are, too.
"""

import re
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass

from lxml import etree, html

Members = dict[str, bytes]
Path = tuple[int, ...]
Change = str | tuple[str, ...]


@dataclass(frozen=True)
class Mutant:
    """`what` was done to `where`: a file, names down to the element, an attribute if it is one.

    `told` is the element as it was, its name with all that it says; where it was moved, the one
    that it now stands before too.
    """

    what: str
    where: str
    members: Members
    told: str = ""


@dataclass(frozen=True)
class Place:
    """A change that can be made: in which file, below which element, what."""

    name: str
    path: Path
    what: Change


def places(members: Members, names: tuple[str, ...]) -> Iterator[Place]:
    """Every change of the files of these names."""
    for name in names:
        for path, element in walk(root_of(name, members[name]), ()):
            for what in changes_of(element):
                yield Place(name, path, what)


def mutant(members: Members, place: Place) -> Mutant:
    """The members with one change made."""
    root = root_of(place.name, members[place.name])
    element = at(root, place.path)
    where = f"{kind_of(place.name)} {named(element)}"
    told = beside(element, place.what, said(element))
    where += change(element, place.what)
    data = (
        html.tostring(root, doctype="<!DOCTYPE html>", encoding="utf-8")
        if place.name.endswith(".html")
        else etree.tostring(root, encoding="utf-8", xml_declaration=True)
    )
    what = place.what if isinstance(place.what, str) else place.what[0]
    return Mutant(what, where.rstrip(), {**members, place.name: data}, told)


def said(element: etree._Element) -> str:
    """The name of an element, the values of its attributes and its text."""
    words = [*map(str, element.attrib.values()), *element.itertext()]
    return " ".join([etree.QName(element).localname, *filter(None, map(str.strip, words))])


def described(members: Members) -> Iterator[Mutant]:
    """What `mutant` says of every place, with nothing changed."""
    for name in members:
        root = root_of(name, members[name])
        for _path, element in walk(root, ()):
            where, told = f"{kind_of(name)} {named(element)}", said(element)
            for what in changes_of(element):
                yield Mutant(
                    *described_change(element, what, where), {}, beside(element, what, told)
                )


def described_change(element: etree._Element, what: Change, where: str) -> tuple[str, str]:
    """The name of a change and its whole place."""
    if isinstance(what, str):
        return what, where
    if what[0] != "html":
        return what[0], f"{where}@{short(what[1])}"
    cut = what.index(";")
    inner = named(at(fragment(element), tuple(map(int, what[1:cut]))))
    attribute = f"@{short(what[cut + 2])}" if len(what) > cut + 2 else ""
    return "html", f"{where} {inner}: {what[cut + 1]}{attribute}"


def beside(element: etree._Element, what: Change, told: str) -> str:
    return f"{told} past {said(element.getprevious())}" if what == "element moved" else told


def root_of(name: str, data: bytes) -> etree._Element:
    return html.document_fromstring(data) if name.endswith(".html") else etree.fromstring(data)


def kind_of(name: str) -> str:
    return re.split(r"[-.]", name)[0]


def walk(element: etree._Element, path: Path) -> Iterator[tuple[Path, etree._Element]]:
    yield path, element
    for i, child in enumerate(element):
        if isinstance(child.tag, str):
            yield from walk(child, (*path, i))


def at(root: etree._Element, path: Path) -> etree._Element:
    for i in path:
        root = root[i]
    return root


def named(element: etree._Element) -> str:
    steps = [etree.QName(e).localname for e in (element, *element.iterancestors())][:3]
    return "/".join(reversed(steps))


def changes_of(element: etree._Element) -> Iterator[Change]:
    if element.getparent() is not None:
        yield "element deleted"
        yield "element doubled"
        if element.getprevious() is not None:
            yield "element moved"
    if len(element) or (element.text or "").strip():
        yield "element emptied"
    for attribute in element.attrib:
        yield "attribute deleted", attribute
        yield "attribute emptied", attribute
        if re.search(r"\d", element.get(attribute)):
            yield "number in attribute", attribute
        if re.fullmatch(r"[\w.-]+", element.get(attribute)):
            yield "identifier changed", attribute
    if re.search(r"\d", element.text or ""):
        yield "number in text"
    if re.search(r"\d", element.tail or ""):
        yield "number in tail"
    if re.fullmatch(r"\s*[A-Za-z][\w.-]*\s*", element.text or ""):
        yield "word in text"
    if is_field(element):
        for path, inner in walk(fragment(element), ()):
            for what in changes_of(inner):
                if path or "element" not in what:
                    yield (
                        "html",
                        *map(str, path),
                        ";",
                        *((what,) if isinstance(what, str) else what),
                    )


def is_field(element: etree._Element) -> bool:
    return element.get("texttype") == "text/html"


def fragment(element: etree._Element) -> etree._Element:
    return html.fragment_fromstring(element.text or "", create_parent="div")


def change(element: etree._Element, what: Change) -> str:
    """Make the change; what it was made to beside the element, a blank for nothing."""
    match what:
        case "element deleted":
            element.getparent().remove(element)
        case "element doubled":
            twin = deepcopy(element)
            twin.tail = None
            element.addprevious(twin)
        case "element moved":
            element.getprevious().addprevious(element)
        case "element emptied":
            for child in list(element):
                element.remove(child)
            element.text = None
        case "number in text":
            element.text = larger(element.text)
        case "number in tail":
            element.tail = larger(element.tail)
        case "word in text":
            element.text = element.text.strip() + "x"
        case ("attribute deleted", attribute):
            del element.attrib[attribute]
            return f"@{short(attribute)}"
        case ("attribute emptied", attribute):
            element.set(attribute, "")
            return f"@{short(attribute)}"
        case ("number in attribute", attribute):
            element.set(attribute, larger(element.get(attribute)))
            return f"@{short(attribute)}"
        case ("identifier changed", attribute):
            element.set(attribute, element.get(attribute) + "x")
            return f"@{short(attribute)}"
        case ("html", *rest):
            return changed_field(element, rest)
    return " "


def changed_field(element: etree._Element, rest: list[str]) -> str:
    cut = rest.index(";")
    body = fragment(element)
    inner = at(body, tuple(map(int, rest[:cut])))
    where = named(inner)
    told = rest[cut + 1 :]
    made = change(inner, told[0] if len(told) == 1 else tuple(told))
    whole = html.tostring(body, encoding="unicode")
    element.text = whole.removeprefix("<div>").removesuffix("</div>")
    return f" {where}: {told[0]}{made}".rstrip()


def short(attribute: str) -> str:
    return attribute.rpartition("}")[2]


def larger(text: str) -> str:
    """The last number of a text one larger."""
    found = list(re.finditer(r"[0-9]+", text))[-1]
    return text[: found.start()] + str(int(found[0]) + 1) + text[found.end() :]
