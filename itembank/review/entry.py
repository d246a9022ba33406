"""One item of the packet: the question to answer, and what is shown once it is answered."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

from itembank.forms import form_of
from itembank.forms.base import Boxes, Field, Part, Typed
from itembank.languages import Said, Speaker
from itembank.languages.words import _, ngettext
from itembank.notation import markup, plain
from itembank.notation.elements import HTML, Child, Element, Maker
from itembank.notation.tree import Blocks, Inlines, Table
from itembank.review import figures, parts
from itembank.review.evidence import Evidence, evidence_or_none, first_failure, prime_power_of
from itembank.review.seen import seen_lines
from itembank.values.item import Item, SlipFeedback

h = Maker(HTML)
MATH, TEXT = markup.in_mathml(h), markup.in_html(h)
SPEAKER = Speaker()

Data = dict[str, object]


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What the packet shows of an item, and what its script must know.

    solutions: how many the answer has, None where it is no set.  position: the place of the key
    among the options, from 1, None where there is none.  twin: equal for near twins.
    risks: why a reviewer should look at this one first.  note: what is asked of it, where it is not
    everything.  unread: why it could not be read, "" if
    it was; such an entry can be returned, never accepted.
    """

    identifier: str
    title: str
    family: str
    form: str
    level: str
    outcomes: tuple[str, ...]
    steps: int
    solutions: int | None
    position: int | None
    twin: object
    risks: tuple[str, ...]
    question: tuple[Element, ...]
    revealed: tuple[Element, ...]
    data: Data
    note: str = ""
    unread: str = ""


def entry_of(item: Item, points: int | None = None) -> Entry:
    """The entry of an item; its evidence is derived anew from its statement."""
    found = evidence_or_none(item.statement)
    residues = found.residues if found else None
    return Entry(
        identifier=item.identifier,
        title=item.title,
        family=item.provenance.family,
        form=item.response.form,
        level=item.level,
        outcomes=item.outcomes,
        steps=item.steps,
        solutions=None if residues is None else len(residues),
        position=form_of(item.response).place(item.response),
        twin=found.problem.twin if found else item.identifier,
        risks=tuple(risks(found)),
        question=(*prose(item.stem), *controls(item)),
        revealed=tuple(revealed(item, found)),
        data={
            "item": item.identifier,
            "fingerprint": item.fingerprint,
            "hashes": item.facets,
            "family": item.provenance.family,
            "index": item.provenance.index,
            "form": item.response.form,
            **form_of(item.response).compared(item.response),
            "seen": list(seen_lines(item)),
        },
    )


def prose(blocks: Blocks) -> list[Element]:
    return [table(b) if isinstance(b, Table) else markup.block(b, h, MATH) for b in blocks]


def table(block: Table) -> Element:
    """A table that scrolls by itself where it is wider than a phone."""
    head = h("tr", *(heading(cell, "col") for cell in block.head))
    rows = (h("tr", *row_cells(cells, block.row_heads)) for cells in block.rows)
    return h("div", {"class": "wide"}, h("table", h("thead", head), h("tbody", *rows)))


def row_cells(cells: Sequence[Inlines], headed: bool) -> Iterator[Element]:
    for i, cell in enumerate(cells):
        yield heading(cell, "row") if headed and i == 0 else h("td", *inline(cell))


def heading(cell: Inlines, scope: str) -> Element:
    """A heading as text: some software does not count MathML as the text of one."""
    if not cell:
        return h("td")
    return h("th", {"scope": scope}, *markup.inlines(cell, h, TEXT))


def inline(content: Inlines) -> list[Child]:
    return markup.inlines(content, h, MATH)


def text(sentence: str) -> list[Element]:
    """One paragraph of prose with formulas."""
    from itembank.notation.prose import paragraph

    return prose((paragraph(sentence),)) if sentence else []


def said(sentence: Said) -> list[Element]:
    """One paragraph that a form says."""
    return prose(SPEAKER.blocks([sentence]))


# ------------------------------------------------------------ the question, to be answered


def controls(item: Item) -> list[Element]:
    """What the student answers in, with labels and no key."""
    fields = form_of(item.response).fields(item.response)
    name = item.identifier
    if len(fields) == 1 and not isinstance(fields[0], Part):
        return [control(name, fields[0])]
    return [control(f"{name}-{n}", field) for n, field in enumerate(fields, 1)]


def control(name: str, answered: Field) -> Element:
    match answered:
        case Boxes(options, many):
            return choices(name, "checkbox" if many else "radio", options)
        case Typed(label):
            return field(name, SPEAKER.text(label))
        case Part(label, (), _then):
            return parts.typed(name, parts.words(label))
        case Part(label, offered, then):
            ours = [" ", SPEAKER.text(then)] if then else []
            texts = [(value, plain.inlines(shown)) for value, shown in offered]
            return parts.chosen(name, [*parts.words(label), *ours], texts)


def choices(name: str, kind: str, labels: Iterable[tuple[str, Inlines]]) -> Element:
    return h(
        "fieldset",
        {"class": "answer"},
        h("legend", _("Your answer")),
        *(
            h(
                "label",
                h("input", {"type": kind, "name": f"answer-{name}", "value": value}),
                h("span", *markup.inlines(label, h, TEXT)),
            )
            for value, label in labels
        ),
    )


def field(name: str, label: str) -> Element:
    place = f"answer-{name}"
    box = {"id": place, "name": place, "type": "text", "autocomplete": "off", "spellcheck": "false"}
    return h("p", {"class": "answer"}, h("label", {"for": place}, label), h("input", box))


# ------------------------------------------------------------ what is shown after the answer


def revealed(item: Item, found: Evidence | None) -> Iterator[Element]:
    yield from section(_("Key"), key_elements(item))
    if found:
        yield from section(_("Evidence"), certificates(found))
        yield from section(_("The second way"), second_way(found))
        yield from section(_("Figures"), drawn(found))
    else:
        yield from section(
            _("Evidence"), [h("p", _("The statement cannot be read again: check the key by hand."))]
        )
    yield from section(_("Wrong answers"), wrong_answers(item, found))
    yield from section(_("Worked solution"), prose(item.solution))
    yield from section(_("Spoken form"), [h("p", item.spoken)])
    yield from section(_("Scoring"), scoring(item))
    yield from section(_("About this item"), [about(item)])


def section(title: str, content: Sequence[Element]) -> Iterator[Element]:
    if content:
        yield h("section", h("h3", title), *content)


def key_elements(item: Item) -> list[Element]:
    told = form_of(item.response).told_key(item.response)
    if isinstance(told, Said):
        return said(told)
    lines = (h("li", *inline(line)) for line in told.lines)
    return [h("ol", *lines) if told.numbered else h("ul", {"class": "key"}, *lines)]


def certificates(found: Evidence) -> list[Element]:
    none = _("No short certificate: the worked solution and the second way are the evidence.")
    return prose(found.certificates) or [h("p", none)]


def second_way(found: Evidence) -> list[Element]:
    words = {
        "agreed": _("It agrees with the complete answer: {how}."),
        "unchecked": _("It could not decide ({message}): check this item with care."),
        "disagreed": _("It DISAGREES: {message}."),
    }
    verdict = found.verdict
    return [h("p", words[verdict.status].format(how=verdict.method, message=verdict.message))]


def drawn(found: Evidence) -> list[Element]:
    """The lifting trees, and the residues on a circle."""
    trees = [
        figures.tree(c, p, k)
        for c in found.sides
        if len(found.sides) == 1
        for p, k in prime_power_of(c)
    ]
    rim = None if found.residues is None else figures.circle(found.problem.modulus, found.residues)
    return [figure for figure in (*trees, rim) if figure]


def wrong_answers(item: Item, found: Evidence | None) -> list[Element]:
    """Each wrong option or foreseen answer: its slip, where it first fails, what is said to it."""
    rows = [*option_rows(item, found), *feedback_rows(item, found)]
    return [h("dl", {"class": "slips"}, *chain.from_iterable(rows))] if rows else []


def option_rows(item: Item, found: Evidence | None) -> Iterator[list[Element]]:
    for option in form_of(item.response).options(item.response):
        if not option.correct:
            failure = first_failure(found, option.residues) if found else ""
            yield row([*inline(option.label)], option.slips, failure, ())


def feedback_rows(item: Item, found: Evidence | None) -> Iterator[list[Element]]:
    for feedback in item.feedback:
        claim = form_of(item.response).claim(item.response, feedback.response)
        failure = first_failure(found, claim) if found and claim is not None else ""
        said = [_("Feedback to "), *answer_label(item, feedback)]
        yield row(said, feedback.slips, failure, feedback.text)


def row(label: list[Child], slips: Iterable[str], failure: str, feedback: Blocks) -> list[Element]:
    names = ", ".join(slips)
    return [
        h("dt", *label, *([h("span", {"class": "slip"}, names)] if names else [])),
        h("dd", *text(failure), *prose(feedback)),
    ]


def answer_label(item: Item, feedback: SlipFeedback) -> list[Child]:
    told = form_of(item.response).told_answer(item.response, feedback.response)
    return inline(SPEAKER.inlines(told) if isinstance(told, Said) else told)


# ------------------------------------------------------------ scoring


def scoring(item: Item) -> list[Element]:
    points, rule = item.scoring.points, item.scoring.rule
    worth = ngettext("{n} point, {rule}.", "{n} points, {rule}.", points).format(
        n=points, rule=rule
    )
    return [h("p", worth), *said(form_of(item.response).guess(item.response, item.scoring))]


def about(item: Item) -> Element:
    where = item.provenance
    facts = (
        (_("Identifier"), item.identifier),
        (_("Hash"), item.fingerprint),
        (_("Statement"), "; ".join((*item.statement, item.ask))),
        (_("Kind, response form"), f"{item.kind}, {item.response.form}"),
        (_("Outcomes"), ", ".join(item.outcomes) or "-"),
        (_("Level, steps"), f"{item.level}, {item.steps}"),
        (_("Family, version, variant"), f"{where.family}, {where.version}, {where.index + 1}"),
        (_("Language"), item.language),
    )
    return facts_list(facts)


def facts_list(facts: Iterable[tuple[str, str]]) -> Element:
    pairs = (h("div", h("dt", name), h("dd", value)) for name, value in facts)
    return h("dl", {"class": "facts"}, *pairs)


# ------------------------------------------------------------ what to look at first


def risks(found: Evidence | None) -> Iterator[str]:
    """The extremes of trade: a sample that leaves them out says little."""
    if found is None or found.verdict.status != "agreed":
        yield _("not decided a second way")
    if found is None:
        return
    residues = found.residues
    if residues == ():
        yield _("no solution")
    if residues and 0 in residues:
        yield _("0 is a solution")
    factors = [f for c in found.sides for f in prime_power_of(c)]
    if any(p == 2 for p, _k in factors):
        yield _("a power of 2")
    if any(singular(found, p) for p, _k in factors):
        yield _("a singular root")


def singular(found: Evidence, p: int) -> bool:
    from itembank.maths.polynomials import derivative, value_mod

    if p > figures.LARGEST_PRIME:
        return False
    return any(
        value_mod(c.f, r, p) == 0 == value_mod(derivative(c.f), r, p)
        for c in found.sides
        if c.modulus % (p * p) == 0
        for r in range(p)
    )
