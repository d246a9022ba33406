"""Learning object metadata, the parts that a package states.

Source: IEEE 1484.12.1-2002 (LOM): 1 general, 2 life cycle, 5.8 difficulty, 6 rights,
7 relation, 9 classification; binding: IEEE 1484.12.3.  The namespace and a
few vocabularies are each standard's own, so that functions take its maker.
"""

from collections.abc import Iterable

from exporters.in_parts import Whole
from exporters.release import TOOL, TOOL_VERSION, Release, caution, description, statement
from exporters.release import rights as rights_of
from exporters.xml import LOM
from itembank.languages.catalogue import ENGLISH
from itembank.notation.elements import Element, Maker
from itembank.values.item import Item

SOURCE = "LOMv1.0"

IMPLEMENTER = "technical implementer"
"""The role (LOM 2.3.1) of the tool that wrote a package."""

_md = Maker(LOM)


def string(e: Maker, tag: str, text: str, language: str) -> Element:
    """An element that holds one string of a language."""
    return e(tag, e("string", {"language": language}, text))


def term(e: Maker, tag: str, value: str, source: str = SOURCE) -> Element:
    """An element that holds one word of a vocabulary; "" where the profile names none."""
    return e(tag, *([e("source", source)] if source else []), e("value", value))


def identifier(e: Maker, catalog: str, entry: str) -> Element:
    return e("identifier", e("catalog", catalog), e("entry", entry))


def rights(e: Maker, text: str, language: str, source: str = SOURCE) -> Element:
    return e(
        "rights",
        term(e, "copyrightAndOtherRestrictions", "yes", source),
        string(e, "description", text, language),
    )


def made_by(e: Maker, source: str = SOURCE, role: str = IMPLEMENTER) -> Element:
    """The tool that wrote the package, with its version, as a vCard (LOM 2.3.2; RFC 2426)."""
    name = f"FN:{TOOL} {TOOL_VERSION}\nN:{TOOL};;;;"
    card = f"BEGIN:VCARD\nVERSION:3.0\n{name}\nEND:VCARD"
    return e("lifeCycle", e("contribute", term(e, "role", role, source), e("entity", card)))


def objectives(
    e: Maker, outcomes: Iterable[str], language: str, source: str = SOURCE
) -> list[Element]:
    """The course outcomes, as one classification; none without outcomes."""
    paths = [
        e(
            "taxonPath",
            *([string(e, "source", "course outcomes", "en")] if source else []),
            e("taxon", e("id", outcome), string(e, "entry", outcome, language)),
        )
        for outcome in outcomes
    ]
    purpose = term(e, "purpose", "educational objective", source)
    return [e("classification", purpose, *paths)] if paths else []


# ------------------------------------------------------------ a release, an item


def release_lom(release: Release, outcomes: Iterable[str] = ()) -> Element:
    """Title, description, caution, rights; outcomes where no item has metadata of its own."""
    language = release.language
    return _md(
        "lom",
        _md(
            "general",
            identifier(_md, TOOL, release.name),
            string(_md, "title", release.title, language),
            _md("language", language),
            string(_md, "description", description(release), language),
            string(_md, "description", caution(language), language),
        ),
        made_by(_md),
        rights(_md, rights_of(release), language),
        *objectives(_md, outcomes, language),
    )


def item_lom(item: Item) -> Element:
    """Title, what is asked, family and version, difficulty, outcomes.

    What is asked is in plain notation, whose words are English whatever the item's language is.
    """
    origin = item.provenance
    return _question_lom(
        item.identifier,
        item.title,
        item.language,
        [statement(item)],
        item.level,
        f"{origin.family} version {origin.version}",
        item.outcomes,
    )


def whole_lom(whole: Whole) -> Element:
    """The same of the parts of a question together."""
    return _question_lom(
        whole.identifier,
        whole.title,
        whole.language,
        [statement(item) for item in whole.items],
        whole.level,
        whole.version,
        whole.outcomes,
    )


def _question_lom(
    name: str,
    title: str,
    language: str,
    asked: Iterable[str],
    level: str,
    version: str,
    outcomes: Iterable[str],
) -> Element:
    return _md(
        "lom",
        _md(
            "general",
            identifier(_md, TOOL, name),
            string(_md, "title", title, language),
            _md("language", language),
            *(string(_md, "description", line, ENGLISH) for line in asked),
        ),
        _md(
            "educational",
            term(_md, "learningResourceType", "exercise"),
            term(_md, "difficulty", level),
        ),
        _md(
            "relation",
            term(_md, "kind", "isversionof"),
            _md("resource", identifier(_md, TOOL, version)),
        ),
        *objectives(_md, outcomes, language),
    )
