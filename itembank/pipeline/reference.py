"""What may be said of each kind of problem, for whoever writes families: one source for the
command `kinds` and the page `specs/README.md`.

Given, asks, forms, measures and their words are those of the schemas; a sentence for each slip is
what a student is told in a variant of a shipped family.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import islice
from pathlib import Path

from itembank.kinds.base import Slip
from itembank.kinds.table import KINDS, SIGNATURES
from itembank.languages import Speaker
from itembank.languages.catalogue import ENGLISH
from itembank.notation import plain
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream
from itembank.spec import Family, find_families, library, load_family
from itembank.values.described import ASKED, IN_FORM, MEASURES, field_of
from itembank.values.errors import SpecError, StatementError
from itembank.values.vocabulary import DERIVED_FORMS, FORMS_OF_ASK

_LOOKED_AT = 6
"""Variants of each shipped family in which slips are looked for."""


@dataclass(frozen=True, kw_only=True)
class KindReference:
    """What may be said of a kind: names, each with its meaning.

    given: each field with its type, what it holds and an example.  asks: each with the forms
    that can carry it.  families: the shipped ones, by id.
    """

    name: str
    about: str
    given: tuple[tuple[str, str, str, str], ...]
    asks: tuple[tuple[str, tuple[str, ...]], ...]
    measures: tuple[tuple[str, str], ...]
    slips: tuple[str, ...]
    families: tuple[tuple[str, Path], ...]

    def as_json(self, told: Mapping[str, str]) -> dict[str, object]:
        return {
            "kind": self.name,
            "about": self.about,
            "given": [
                {"field": name, "type": type, "about": about, "example": example}
                for name, type, about, example in self.given
            ],
            "asks": [
                {"ask": ask, "about": ASKED[ask], "forms": list(forms)} for ask, forms in self.asks
            ],
            "measures": dict(self.measures),
            "slips": {slip: told.get(slip) for slip in self.slips},
            "families": [name for name, _path in self.families],
        }


def kind_reference(name: str) -> KindReference:
    """The reference of a kind; its families are found, none is drawn from."""
    kind = SIGNATURES[name]
    return KindReference(
        name=name,
        about=KINDS[name].about,
        given=tuple((field, type, *_described(name, field)) for field, type in kind.given.items()),
        asks=tuple(
            (ask, tuple(f for f in FORMS_OF_ASK[ask] if kind.derived or f not in DERIVED_FORMS))
            for ask in kind.asks
        ),
        measures=tuple((measure, MEASURES.get(measure, "")) for measure in kind.measures),
        slips=kind.slips,
        families=tuple((id_, path) for id_, (of, path) in _shipped().items() if of == name),
    )


def _described(kind: str, field: str) -> tuple[str, str]:
    return field_of(kind, field) or ("", "")


@cache
def _shipped() -> Mapping[str, tuple[str, Path]]:
    """The kind and the file of each shipped family, by id, read from its line `problem:`."""
    found = {}
    for id_, path in sorted(find_families([library() / "families"]).items()):
        lines = path.read_text(encoding="utf-8").splitlines()
        said = next((line for line in lines if line.startswith("problem:")), "")
        found[id_] = (said.partition(":")[2].strip(), path)
    return found


# ------------------------------------------------------------ slips


def slips_told(kind: KindReference) -> dict[str, str]:
    """For each slip that is met, in shipped families or the samples of the kind, what is told."""
    found: dict[str, str] = {}
    for _id, path in kind.families:
        if set(found) >= set(kind.slips):
            break
        for name, sentence in _told_in(_family_at(path)):
            found.setdefault(name, sentence)
    for name, sentence in _told_of_samples(kind.name):
        found.setdefault(name, sentence)
    return found


def _told_of_samples(kind: str) -> Iterator[tuple[str, str]]:
    for sample in KINDS[kind].samples:
        try:
            problem = KINDS[kind].read([line.strip() for line in sample.split(";")])
            slips = problem.slips(problem.solve()) if problem else ()
        except StatementError:
            continue
        yield from _told(slips)


def _family_at(path: Path) -> Family | None:
    try:
        return load_family(path, SIGNATURES)
    except SpecError:
        return None


def _told_in(family: Family | None) -> Iterator[tuple[str, str]]:
    stream = Stream(family, "reference", fits(family), lists=False) if family else ()
    for variant in islice(stream, _LOOKED_AT):
        yield from _told(variant.slips)


def _told(slips: Iterable[Slip]) -> Iterator[tuple[str, str]]:
    """The names of slips, each with what is said to a student, in English."""
    speaker = Speaker(ENGLISH)
    for slip in slips:
        for name, feedback in zip(slip.names, slip.feedback, strict=False):
            yield name, " ".join(plain.blocks(speaker.blocks(feedback[:1])).split())


# ------------------------------------------------------------ as text


def overview() -> str:
    """Each kind with a line."""
    width = max(map(len, SIGNATURES))
    return "\n".join(f"{name:<{width}}  {KINDS[name].about}" for name in SIGNATURES)


def as_text(kind: KindReference, told: Mapping[str, str]) -> str:
    """What may be said of a kind, for the terminal."""
    asks = [(ask, f"{ASKED[ask]}; forms: {', '.join(forms)}") for ask, forms in kind.asks]
    given = [(name, f"{about} Such as {example}") for name, _type, about, example in kind.given]
    parts = [
        f"{kind.name}: {kind.about}",
        *_section("given", given),
        *_section("ask", asks),
        *_section("in `where` a condition may name", kind.measures),
        *_section("slips", [(slip, told.get(slip, "")) for slip in kind.slips]),
        *_section("families", [(name, path.name) for name, path in kind.families]),
    ]
    return "\n".join(parts)


def _section(head: str, rows: Sequence[tuple[str, str]]) -> Iterator[str]:
    if rows:
        width = max(len(name) for name, _about in rows)
        yield f"\n{head}:"
        yield from (f"  {name:<{width}}  {about}".rstrip() for name, about in rows)


# ------------------------------------------------------------ the page

_HEAD = """\
# What a family may say

Made from the program by `python -m tests.pipeline.test_reference`: the same words stand in
`itembank kinds KIND` and in the schemas for editors. `itembank begin ID --kind KIND` writes a
file to change.

"""


def page() -> str:
    """The page of all kinds, in Markdown."""
    kinds = [kind_reference(name) for name in SIGNATURES]
    lines = [_HEAD + "| kind | |", "| --- | --- |"]
    lines += [f"| [{k.name}](#{k.name}) | {k.about} |" for k in kinds]
    lines += ["", "## Asks and forms", ""]
    lines += [f"- `{ask}`: {about}; {', '.join(FORMS_OF_ASK[ask])}" for ask, about in ASKED.items()]
    lines += ["", *(f"- `{form}`: {about}" for form, about in IN_FORM.items())]
    for kind in kinds:
        lines += ["", *_entry(kind)]
    return "\n".join(lines) + "\n"


def _entry(kind: KindReference) -> Iterator[str]:
    told = slips_told(kind)
    yield f"## {kind.name}"
    yield ""
    yield kind.about
    yield ""
    for name, type, about, example in kind.given:
        yield f"- `given.{name}` ({type}): {about} `{example}`"
    yield f"- `ask`: {', '.join(f'`{ask}`' for ask, _forms in kind.asks)}"
    for measure, about in kind.measures:
        yield f"- `{measure}`: {about}"
    for slip in kind.slips:
        yield f"- slip `{slip}`" + (f": {told[slip]}" if slip in told else "")
    if kind.families:
        yield f"- families: {', '.join(f'`{name}`' for name, _path in kind.families)}"
