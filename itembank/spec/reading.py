"""The file of a family, read: one question, or several parts of one.

`load_family` checks all that can be checked without drawing, and raises SpecError with every fault
of the file at once.

    parts:
      - {problem: phi, given: {number: n}, ask: the value}
      - {problem: rsa_exponent, given: {modulus: n, exponent: e}, ask: the value, points: 2}

What stands above the parts holds for each of them, unless it says otherwise; a condition holds
beside its own. The story above them is their scenario: it stands before each, so that a part can be
read alone.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Annotated

from pydantic import ConfigDict, Field

from itembank.spec.document import Opened, opened
from itembank.spec.expression import Place
from itembank.spec.family import Family
from itembank.spec.nodes import Faults, Fields, Node, Scalar, near_miss
from itembank.spec.nodes import Sequence as Listed
from itembank.spec.points import InHalves
from itembank.spec.shapes import Line, OneOf, meant, told
from itembank.spec.story import Texts
from itembank.spec.surroundings import Surroundings
from itembank.spec.use import below, check_use
from itembank.values.errors import SpecError
from itembank.values.points import Points
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

PARTS = "parts"

FEWEST_PARTS, MOST_PARTS = 2, 9


class Part(Family):
    """A question of a family in parts."""

    model_config = ConfigDict(title="A part")

    lead: Texts | None = None
    """The story above the parts, which stands before each."""

    points: InHalves = 1
    """What the part counts, whole or in halves."""

    given_away: Annotated[Line, OneOf("word", ("allowed",))] | None = Field(
        default=None, alias="given away"
    )
    """`allowed` if another part may print its key; else such variants are passed over."""

    @property
    def scenario(self) -> Texts | None:
        return self.lead

    @property
    def worth(self) -> Points:
        return super().worth if self.parts else self.points

    @property
    def may_be_given_away(self) -> bool:
        return self.given_away is not None


def load_family(
    path: Path, kinds: Mapping[str, KindSignature], read: Opened | None = None
) -> Family:
    """The family of a file; raises SpecError with all its faults, in the order of the file.

    read: the file, where it was read already, to which its faults are added.
    """
    read = read or opened(path)
    root, faults = read.root, read.faults
    if root is None:
        raise SpecError(faults.found)
    if isinstance(root, Fields) and _is_pool({key.text for key, _ in root.pairs}):
        faults.add(
            root, worded("this is a pool, not a family; name a family, or give it to `make`")
        )
        raise SpecError(faults.found)
    if isinstance(root, Fields) and PARTS in _fields_of(root):
        family = _in_parts(path, root, kinds, faults)
    else:
        family = _alone(path, root, kinds, faults)
    if family is None or faults.found:
        raise SpecError(faults.found)
    family._root = root
    return family


def _alone(
    path: Path, root: Node, kinds: Mapping[str, KindSignature], faults: Faults
) -> Family | None:
    """The family of a file with one question."""
    nodes = _fields_of(root)
    kind = _kind_meant(nodes.get("problem"), kinds)
    family = told(Family, root, faults, Surroundings(path, _names_in(nodes), kinds, kind))
    if kind:
        check_use(nodes, len(kind.given) - len(kind.may_be_left_out), faults)
    return family


# ------------------------------------------------------------ parts


def _in_parts(
    path: Path, root: Fields, kinds: Mapping[str, KindSignature], faults: Faults
) -> Family | None:
    """The family of a file with several: each is held against the model with what stands above."""
    nodes = _fields_of(root)
    parts = nodes[PARTS]
    if not isinstance(parts, Listed):
        faults.mismatch(parts, worded("a list of questions"))
        return None
    found = [part for part in parts.items if isinstance(part, Fields)]
    for part in parts.items:
        if not isinstance(part, Fields):
            faults.mismatch(part, worded("a question: fields written 'name: value'"))
    if not FEWEST_PARTS <= len(parts.items) <= MOST_PARTS:
        few = worded(
            "expected {fewest} to {most} parts, found {n}",
            fewest=FEWEST_PARTS,
            most=MOST_PARTS,
            n=len(parts.items),
        )
        faults.add(parts, few)
    families: list[Part] = []
    for part in found:
        both = _with_what_stands_above(root, part)
        kind = _kind_meant(_fields_of(both).get("problem"), kinds)
        own = Faults(faults.path)
        read = told(Part, both, own, Surroundings(path, _names_in(nodes), kinds, kind))
        faults.found += [fault for fault in own.found if fault not in faults.found]
        families += [read] if read else []
    if faults.found:
        return None
    check_use(_together(nodes, found), 0, faults)
    return families[0].joined(families)


def _with_what_stands_above(root: Fields, part: Fields) -> Fields:
    """The fields of a part, with those of the file that it does not say itself."""
    above = {field: (key, value) for key, value, field in _named(root) if field != PARTS}
    own = {field: (key, value) for key, value, field in _named(part)}
    if story := above.pop("story", None):
        above["lead"] = (replace(story[0], text="lead"), story[1])
    if "where" in above and "where" in own:
        key, value = own["where"]
        before = above["where"][1]
        if isinstance(before, Listed) and isinstance(value, Listed):
            own["where"] = (key, replace(value, items=(*before.items, *value.items)))
    return replace(part, name="", pairs=tuple({**above, **own}.values()))


def _named(fields: Fields) -> Iterator[tuple[Scalar, Node, str]]:
    """Names and values, with the field that is meant."""
    names = meant([key.text for key, _ in fields.pairs], _known_fields())
    fields_meant = {name: field for field, name in names.items()}
    for key, value in fields.pairs:
        yield key, value, fields_meant.get(key.text, key.text)


def _known_fields() -> list[str]:
    return [*Part.names(), PARTS]


def _together(nodes: Mapping[str, Node], parts: Sequence[Fields]) -> dict[str, Node]:
    """The nodes of a file in parts, with what its parts are given in one: uses are told of all."""
    given: list[tuple[Scalar, Node]] = []
    others = [node for name, node in nodes.items() if name not in ("parameters", "given", PARTS)]
    for fields in (*parts, nodes.get("given")):
        for key, value in fields.pairs if isinstance(fields, Fields) else ():
            if key.text == "given" and isinstance(value, Fields):
                given += value.pairs
            elif fields is nodes.get("given"):
                given.append((key, value))
            else:
                others.append(value)
    at = nodes[PARTS]
    line, column, name = at.line, at.column, at.name
    return {
        "parameters": nodes.get("parameters", at),
        "given": Fields(line=line, column=column, name=name, pairs=tuple(given)),
        "where": Listed(line=line, column=column, name=name, items=tuple(others)),
    }


# ------------------------------------------------------------ the nodes of a file


def _is_pool(fields: Collection[str]) -> bool:
    return "items" in fields and "problem" not in fields


def place_of(family: Family, field: str, word: str = "") -> Place:
    """Where a field stands in the file of a family, or a word in it; its head if it does not."""
    path = str(family.path)
    node = _fields_of(family._root).get(field) if family._root else None
    if node is None:
        return Place(path)
    words = (n for n in below(node) if isinstance(n, Scalar) and n.text.strip() == word)
    at = next(words, node)
    return Place(path, at.line, at.column, at.name)


def _fields_of(root: Node) -> dict[str, Node]:
    """The values of a family file by the fields that are meant."""
    values = {key.text: value for key, value in root.pairs} if isinstance(root, Fields) else {}
    names = meant(values, _known_fields())
    return {field: values[name] for field, name in names.items()}


def _names_in(nodes: Mapping[str, Node]) -> tuple[Scalar, ...]:
    """The names of the parameters."""
    parameters = nodes.get("parameters")
    return tuple(key for key, _ in parameters.pairs) if isinstance(parameters, Fields) else ()


def _kind_meant(node: Node | None, kinds: Mapping[str, KindSignature]) -> KindSignature | None:
    """The kind of problem named, or else a near miss, so that the rest can be checked."""
    name = node.text.strip() if isinstance(node, Scalar) else ""
    return kinds.get(name) or kinds.get(near_miss(name, kinds) or "")
