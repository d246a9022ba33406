"""Items of QTI 1.2.1, in a Common Cartridge or alone, as importers pick them out.

The stem is the presentation's first mattext; the response one response_lid with
render_choice, or one response_str with render_fib.  Anything else raises
Unsupported: the item is unchecked.

Source: IMS Question & Test Interoperability ASI 1.2.1 and its profile in IMS
Common Cartridge 1.3 (question types, metadata fields, rules 2a to 2e).
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from functools import cache, lru_cache, partial

from lxml import etree

from itembank.audit import allowed
from itembank.audit.budget import OPTIONS, refuse_many
from itembank.audit.conditions import Conditions
from itembank.audit.passages import Branches, Passage, Passages
from itembank.audit.prose import (
    Lines,
    Read,
    formulas_of,
    fragment,
    fragment_of,
    lines_of_html,
    text_of,
)
from itembank.audit.seen import Form, SeenItem, SeenOption
from itembank.audit.shape import place, strange, strange_text
from itembank.audit.speech import Formulas
from itembank.audit.unsupported import Unsupported
from itembank.audit.variables import decimal
from itembank.audit.xml import (
    Element,
    children,
    elements,
    language_of,
    local_name,
    namespace_of,
    only,
)
from itembank.values.worded import laid_out, worded

_FULL = Fraction(100)

_POINTS = ("cc_weighting", "points_possible", "qmd_weighting")
"""The metadata fields that say what an item is worth."""

_PROFILES: dict[str, Form] = {
    "cc.multiple_choice.v0p1": "one",
    "cc.true_false.v0p1": "one",
    "cc.multiple_response.v0p1": "any",
    "cc.fib.v0p1": "text",
}
"""The question profiles that are read, and the form that each must have."""


def seen_item(item: Element) -> SeenItem:
    """The item; Unsupported if it uses what is not read."""
    presentation = only(children(item, "presentation"), "presentation")
    processing = only(children(item, "resprocessing"), "resprocessing")
    response = _response_of(presentation)
    labels = list(response.iter("{*}response_label"))
    refuse_many("options", len(labels), OPTIONS)
    fields = _metadata(item)
    form = _form_of(response)
    profile = fields.get("cc_profile")
    if profile is not None and _PROFILES.get(profile) != form:
        raise Unsupported(
            worded(
                "the profile {profile} of a response that is '{form}'", profile=profile, form=form
            )
        )
    conditions = Conditions(processing, response.get("ident", ""), typed=form == "text")
    return SeenItem(
        identifier=item.get("ident", ""),
        language=language_of(item),
        title=item.get("title", ""),
        stem=_stem(presentation),
        form=form,
        options=tuple(SeenOption(label.get("ident", ""), _words(label)) for label in labels),
        most=0 if form == "any" else 1,
        declared=conditions.declared(),
        points={name: decimal(fields[name]) for name in _POINTS if name in fields},
        full=_FULL,
        statement=presentation.get("label", ""),
        grade=conditions.grade,
        probes=tuple(conditions.probes()),
        exact=True,
        feedback={
            f.get("ident", ""): Read(partial(_material, f), partial(_words, f))
            for f in item.iter("{*}itemfeedback")
        },
        formulas=partial(_formulas, item),
        unknown=partial(_unknown, item),
    )


def _metadata(item: Element) -> dict[str, str]:
    """The fields of qtimetadata."""
    return dict(fields_of(item))


def fields_of(item: Element) -> Iterator[tuple[str, str]]:
    for field in item.iter("{*}qtimetadatafield"):
        label, entry = (field.findtext(f"{{*}}{name}") for name in ("fieldlabel", "fieldentry"))
        yield (label or "").strip(), (entry or "").strip()


@lru_cache(maxsize=8)
def branches_of(namespace: str) -> Branches:
    """The conditions and the feedback of items in a namespace."""
    return Branches(allowed.question(namespace), namespace, ("respcondition", "itemfeedback"))


def _unknown(item: Element) -> Iterator[str]:
    """What is not read here: in the elements, in the metadata, in the HTML of each text."""
    namespace = namespace_of(item)
    yield from strange(item, allowed.question(namespace), branches_of(namespace).sound)
    yield from strange_fields(fields_of(item), allowed.FIELDS)
    told = [e.get("ident") for e in item.iter("{*}itemfeedback")]
    if len(set(told)) != len(told):
        yield worded("two feedbacks of one identifier")
    shown = {e.get("linkrefid", "") for e in item.iter("{*}displayfeedback")}
    if shown > set(told):  # one that is never shown is found when the scoring is tried
        yield worded(
            "no feedback {found}, which a condition shows", found=min(shown - set(told))[:40]
        )
    for text in item.iter("{*}mattext"):
        if text.get("texttype") == "text/html":
            passage = passage_of(text.text or "")
            if passage is not None and passage.known.sound:
                continue
            for what in strange(fragment(text.text or ""), allowed.text_field()):
                yield laid_out("{found}: {what}", found=place(text), what=what)
        else:
            yield from strange_text(text.text or "", text, allowed=True)


def _formulas(item: Element) -> Iterator[Formulas]:
    for text in item.iter("{*}mattext"):
        if text.get("texttype") == "text/html" and "<math" in (text.text or ""):
            passage = passage_of(text.text or "")
            yield passage or Formulas(partial(formulas_of, fragment(text.text or "")))


def strange_fields(fields: Iterable[tuple[str, str]], known: Mapping[str, str]) -> Iterator[str]:
    """Metadata that is not known, says something else, or stands there twice; no profile."""
    seen = set()
    for label, entry in fields:
        if label in seen:
            yield worded("the metadata {label} twice", label=label[:40])
        elif not re.fullmatch(known.get(label, "(?!)"), entry):
            yield worded("the metadata {label} '{entry}'", label=label[:40], entry=entry[:40])
        seen.add(label)
    if "cc_profile" not in seen:
        yield worded("no cc_profile in the metadata")


def _response_of(presentation: Element) -> Element:
    found = [e for e in presentation.iter(etree.Element) if local_name(e).startswith("response_")]
    found = [e for e in found if local_name(e) != "response_label"]
    if len(found) != 1:
        raise Unsupported(worded("{n} responses, one is read", n=len(found)))
    return found[0]


def _form_of(response: Element) -> Form:
    rendered = {local_name(e) for e in elements(response)}
    cardinality = response.get("rcardinality", "Single")
    if local_name(response) == "response_lid" and rendered == {"render_choice"}:
        if cardinality in ("Single", "Multiple"):
            return "one" if cardinality == "Single" else "any"
    elif local_name(response) == "response_str" and rendered == {"render_fib"}:
        return "text"
    raise Unsupported(
        worded(
            "{element} with {content}",
            element=local_name(response),
            content=", ".join(sorted(rendered)) or "nothing",
        )
    )


def _stem(presentation: Element) -> Lines:
    """The first mattext of the presentation: some importers read that one alone."""
    for child in elements(presentation):
        if local_name(child) in ("material", "flow"):
            return _material(child)
    raise Unsupported(worded("a presentation without material"))


def _material(parent: Element) -> Lines:
    """The first mattext below an element."""
    source, is_html = _first_text(parent)
    if not is_html:
        return tuple((line,) for line in source.splitlines() if line.strip())
    passage = passage_of(source)
    return lines_of_html(source) if passage is None else passage.lines()


def _words(parent: Element) -> str:
    """The same as a student reads it."""
    source, is_html = _first_text(parent)
    passage = passage_of(source) if is_html else None
    return text_of(_material(parent)) if passage is None else passage.said()


def _first_text(parent: Element) -> tuple[str, bool]:
    """The first mattext below an element, and whether it is HTML."""
    text = parent.find(".//{*}mattext")
    if text is None:
        raise Unsupported(worded("{element} without mattext", element=local_name(parent)))
    if len(text):
        raise Unsupported(worded("a mattext with elements"))
    return text.text or "", text.get("texttype", "text/plain") == "text/html"


def passage_of(source: str) -> Passage | None:
    """The HTML of a text field with what is known of it; None for one that is read each time."""
    return _passages().passage(source.encode()) if source.strip() else None


@cache
def _passages() -> Passages:
    return Passages(allowed.text_field(), lambda data: fragment_of(data.decode()), depth=0)
