"""One item of the packet: the question to answer, and what is shown once it is answered."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

from exporters.paper import LETTERS, labels_of
from itembank.forms import form_of
from itembank.forms.base import Boxes, Field, Part, Typed
from itembank.forms.paper import on_paper
from itembank.languages import Said, counted, say
from itembank.languages.catalogue import ENGLISH
from itembank.notation import markup, plain
from itembank.notation.elements import Child, Element
from itembank.notation.tree import Inlines
from itembank.review import figures, outcomes, parts, vocabulary
from itembank.review.by_hand import to_check
from itembank.review.evidence import Evidence, evidence_or_none, first_failure, prime_power_of
from itembank.review.outcomes import Outcome
from itembank.review.seen import seen_lines
from itembank.review.writer import QUOTED, TEXT, Writer, h
from itembank.second_way.verdict import Method
from itembank.values.item import Item, SlipFeedback

Data = dict[str, object]

_SHORT = 24
"""Characters of a line of a key that may stand beside others."""


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What the packet shows of an item, and what its script must know.

    language: that of the title and the question, which need not be that of the page.
    solutions: how many the answer has, None where it is no set.  position: the place of the key
    among the options, from 1, None where there is none.  twin: equal for near twins.
    risks: why a reviewer should look at this one first.  note: what is asked of it, where it is not
    everything.  also: the question in other languages.  unread: why it could not be read, "" if
    it was; such an entry can be returned, never accepted.
    """

    identifier: str
    title: str
    language: str
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
    also: tuple[Element, ...] = ()
    unread: str = ""


def entry_of(page: Writer, item: Item) -> Entry:
    """The entry of an item; its evidence is derived anew from its statement."""
    found = evidence_or_none(item.statement)
    residues = found.residues if found else None
    return Entry(
        identifier=item.identifier,
        title=item.title,
        language=item.language,
        family=item.provenance.family,
        form=item.response.form,
        level=item.level,
        outcomes=item.outcomes,
        steps=item.steps,
        solutions=None if residues is None else len(residues),
        position=form_of(item.response).place(item.response),
        twin=found.problem.twin if found else item.identifier,
        risks=tuple(map(page.text, risks(found))),
        question=(
            *page.of(item.language).prose(item.stem),
            *_formal(page, item),
            *controls(page, item),
        ),
        revealed=tuple(_revealed(page, item, found)),
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


# ------------------------------------------------------------ the question, to be answered


def _formal(page: Writer, item: Item) -> list[Element]:
    """The question beside the story that stands in its place: does the story put it?"""
    if not item.formal:
        return []
    label = page.text(say("The story stands in the place of this question. Does it put it?"))
    told = page.within(item.language, page.of(item.language).prose(item.formal))
    return [h("section", {"class": "formal"}, h("p", h("strong", label)), *told)]


def controls(page: Writer, item: Item) -> list[Element]:
    """What the student answers in, with labels and no key: in the language of the item."""
    fields = form_of(item.response).fields(item.response)
    name, own = item.identifier, page.of(item.language)
    if len(fields) == 1 and not isinstance(fields[0], Part):
        return [_control(own, name, fields[0])]
    return [_control(own, f"{name}-{n}", field) for n, field in enumerate(fields, 1)]


def _control(page: Writer, name: str, answered: Field) -> Element:
    match answered:
        case Boxes(options, many):
            return choices(page, name, "checkbox" if many else "radio", options)
        case Typed(label):
            return field(name, page.text(label))
        case Part(label, (), _then):
            return parts.typed(name, parts.words(label))
        case Part(label, offered, then):
            ours = [" ", page.text(then)] if then else []
            texts = [(value, plain.inlines(shown)) for value, shown in offered]
            return parts.chosen(name, [*parts.words(label), *ours], texts)


def choices(page: Writer, name: str, kind: str, labels: Iterable[tuple[str, Inlines]]) -> Element:
    return h(
        "fieldset",
        {"class": "answer"},
        h("legend", page.text(say("Your answer"))),
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


def _revealed(page: Writer, item: Item, found: Evidence | None) -> Iterator[Element]:
    own, tag = page.of(item.language), item.language
    yield from section(page, say("Key"), key_elements(page, item))
    if found:
        told = tuple(to_check(found.problem, found.solution, item.ask))
        yield from section(page, say("To be checked by hand"), page.blocks(told))
    yield from proved(page, found)
    if not found:
        lost = say("The statement cannot be read again: check the key by hand.")
        yield from folded(page, say("Evidence"), outcomes.of_none(), page.blocks([lost]))
    yield from folded(
        page,
        say("Wrong answers"),
        outcomes.of_wrong_answers(item, found),
        _wrong_answers(page, item, found),
    )
    steps = counted("{n} step", "{n} steps", item.steps)
    solution = page.within(tag, own.prose(item.solution))
    yield from folded(page, say("Worked solution"), Outcome(steps), solution)
    yield from folded(
        page, say("Spoken form"), Outcome(None), [h("p", page.lang(tag), item.spoken)]
    )
    yield from folded(page, say("On paper"), Outcome(None), _printed(page, item))
    worth = Outcome(vocabulary.worth(item.scoring.points, item.scoring.rule))
    yield from folded(page, say("Scoring"), worth, _scoring(page, item))
    yield from folded(page, say("About this item"), Outcome(None), [_about(page, item)])


def _printed(page: Writer, item: Item) -> list[Element]:
    """The question as a sheet of paper has it: in its words, its options with their letters."""
    own = page.of(item.language)
    options = [
        h("li", f"{letter}. ", h("span", *own.inline(label)))
        for letter, label in zip(LETTERS, labels_of(item).values(), strict=False)
    ]
    listed = [h("ul", {"class": "lettered"}, *options)] if options else []
    return page.within(item.language, [*own.prose(on_paper(item)), *listed])


def proved(page: Writer, found: Evidence | None) -> Iterator[Element]:
    """What was derived anew from the statement of an item."""
    if found:
        yield from folded(
            page, say("Evidence"), outcomes.of_certificates(found), _certificates(page, found)
        )
        yield from folded(
            page, say("The second way"), outcomes.of_second_way(found), _second_way(page, found)
        )
        shown = _drawn(page, found)
        yield from folded(
            page,
            say("Figures"),
            Outcome(counted("{n} figure", "{n} figures", len(shown))),
            shown,
        )


def section(page: Writer, title: Said, content: Sequence[Element]) -> Iterator[Element]:
    if content:
        yield h("section", h("h3", page.text(title)), *content)


def folded(
    page: Writer, title: Said, outcome: Outcome, content: Sequence[Element]
) -> Iterator[Element]:
    """A section that lies folded, its outcome beside its heading; open where something failed."""
    if not content:
        return
    told = [page.text(outcome.said)] if outcome.said else []
    marked = {"class": "verdict failed" if outcome.failed else "verdict"}
    yield h(
        "details",
        {"class": "evidence", **({"open": "open"} if outcome.failed else {})},
        h("summary", h("h3", page.text(title)), *(h("span", marked, text) for text in told)),
        *content,
    )


def key_elements(page: Writer, item: Item) -> list[Element]:
    told = form_of(item.response).told_key(item.response)
    own = page.of(item.language)
    if isinstance(told, Said):
        return page.within(item.language, own.blocks([told]))
    lines = [h("li", *own.inline(line)) for line in told.lines]
    marked = page.lang(item.language)
    if told.numbered:
        return [h("ol", marked, *lines)]
    long = any(len(plain.inlines(line)) > _SHORT for line in told.lines)
    return [h("ul", {"class": "key lines" if long else "key", **marked}, *lines)]


def _certificates(page: Writer, found: Evidence) -> list[Element]:
    none = say("No short certificate: the worked solution and the second way are the evidence.")
    return page.blocks(found.certificates or [none])


def _second_way(page: Writer, found: Evidence) -> list[Element]:
    verdict = found.verdict
    if verdict.status == "agreed":
        how = _in_words(page, verdict.method)
        return [h("p", page.text(say("It agrees with the complete answer: {how}.", how=how)))]
    told = {
        "unchecked": (
            say("It could not decide ({message}): check this item with care.", message=QUOTED),
            verdict.message,
        ),
        "disagreed": (say("It DISAGREES: {message}.", message=QUOTED), verdict.message),
    }
    said, english = told[verdict.status]
    return [h("p", *page.quoting(said, english))]


def _in_words(page: Writer, method: Method) -> str:
    """What was done, in the language of the page."""
    return page.text(Said(method.template, tuple(_slots(page, method))))


def _slots(page: Writer, method: Method) -> Iterator[tuple[str, int | str]]:
    for name, value in method.values:
        match value:
            case Method():
                yield name, _in_words(page, value)
            case tuple():
                yield name, ", ".join(_in_words(page, part) for part in value)
            case _:
                yield name, value


def _drawn(page: Writer, found: Evidence) -> list[Element]:
    """The lifting trees of three levels or more, and the residues on a circle."""
    trees = [
        figures.tree(page, c, p, k)
        for c in found.sides
        if len(found.sides) == 1
        for p, k in prime_power_of(c)
        if k > 2
    ]
    m, residues = found.problem.modulus, found.residues
    rim = None if m is None or residues is None else figures.circle(page, m, residues)
    return [figure for figure in (*trees, rim) if figure]


def _wrong_answers(page: Writer, item: Item, found: Evidence | None) -> list[Element]:
    """Each wrong option or foreseen answer: its slip, where it first fails, what is said to it."""
    rows = [*_option_rows(page, item, found), *feedback_rows(page, item, found)]
    return [h("dl", {"class": "slips"}, *chain.from_iterable(rows))] if rows else []


def _option_rows(page: Writer, item: Item, found: Evidence | None) -> Iterator[list[Element]]:
    for option in form_of(item.response).options(item.response):
        if not option.correct:
            claims = bool(option.residues) or option.none
            failure = first_failure(found, option.residues) if found and claims else None
            label = _in_item(page, item, option.label)
            yield _row(page, label, option.slips, failure, [])


def feedback_rows(page: Writer, item: Item, found: Evidence | None) -> Iterator[list[Element]]:
    for feedback in item.feedback:
        claim = form_of(item.response).claim(item.response, feedback.response)
        failure = first_failure(found, claim) if found and claim is not None else None
        answer = _answer_label(page, item, feedback)
        label = page.around(say("Feedback to {answer}", answer=QUOTED), answer)
        told = page.of(item.language).prose(feedback.text)
        yield _row(page, label, feedback.slips, failure, page.within(item.language, told))
    if item.otherwise:
        label = page.line(say("Feedback to any other wrong answer"))
        told = page.of(item.language).prose(item.otherwise)
        yield _row(page, label, (), None, page.within(item.language, told))
    if item.right:
        label = page.line(say("Feedback to the right answer"))
        told = page.of(item.language).prose(item.right)
        yield _row(page, label, (), None, page.within(item.language, told))


def _row(
    page: Writer,
    label: Sequence[Child],
    slips: Iterable[str],
    failure: Said | None,
    feedback: Sequence[Element],
) -> list[Element]:
    names = ", ".join(slips)
    return [
        h(
            "dt",
            *label,
            *([h("span", {"class": "slip", **page.lang(ENGLISH)}, names)] if names else []),
        ),
        h("dd", *(page.blocks([failure]) if failure else []), *feedback),
    ]


def _answer_label(page: Writer, item: Item, feedback: SlipFeedback) -> Sequence[Child]:
    told = form_of(item.response).told_answer(item.response, feedback.response)
    return page.line(told) if isinstance(told, Said) else _in_item(page, item, told)


def _in_item(page: Writer, item: Item, content: Inlines) -> list[Child]:
    """A line of the item's own, in its language."""
    line, marked = page.of(item.language).inline(content), page.lang(item.language)
    return [h("span", marked, *line)] if marked else line


# ------------------------------------------------------------ scoring


def _scoring(page: Writer, item: Item) -> list[Element]:
    return [
        *page.blocks([vocabulary.worth(item.scoring.points, item.scoring.rule)]),
        *page.blocks([form_of(item.response).guess(item.response, item.scoring)]),
    ]


def _about(page: Writer, item: Item) -> Element:
    where = item.provenance
    level = page.text(vocabulary.LEVELS[item.level])
    facts: tuple[tuple[Said | str, Child], ...] = (
        (say("Identifier"), item.identifier),
        (say("Hash"), item.fingerprint),
        (say("Statement"), page.english("; ".join((*item.statement, item.ask)))),
        (say("Kind, response form"), page.english(f"{item.kind}, {item.response.form}")),
        (say("Outcomes"), ", ".join(item.outcomes) or "-"),
        (say("Level, steps"), f"{level}, {item.steps}"),
        (
            say("Family, version, variant"),
            f"{where.family}, {where.version}, {where.index + 1}",
        ),
        (say("Language"), item.language),
    )
    return facts_list(page, facts)


def facts_list(page: Writer, facts: Iterable[tuple[Said | str, Child]]) -> Element:
    """Facts by name; a name that is text alone is one that no language changes."""
    pairs = (
        h("div", h("dt", page.text(name) if isinstance(name, Said) else name), h("dd", value))
        for name, value in facts
    )
    return h("dl", {"class": "facts"}, *pairs)


# ------------------------------------------------------------ what to look at first


def risks(found: Evidence | None) -> Iterator[Said]:
    """The extremes of trade: a sample that leaves them out says little."""
    if found is None or found.verdict.status != "agreed":
        yield say("not decided a second way")
    if found is None:
        return
    residues = found.residues
    if residues == ():
        yield say("no solution")
    if residues and 0 in residues:
        yield say("0 is a solution")
    factors = [f for c in found.sides for f in prime_power_of(c)]
    if any(p == 2 for p, _k in factors):
        yield say("a power of 2")
    if any(_singular(found, p) for p, _k in factors):
        yield say("a singular root")


def _singular(found: Evidence, p: int) -> bool:
    from itembank.maths.polynomials import derivative, value_mod

    if p > figures.LARGEST_PRIME:
        return False
    return any(
        value_mod(c.f, r, p) == 0 == value_mod(derivative(c.f), r, p)
        for c in found.sides
        if c.modulus % (p * p) == 0
        for r in range(p)
    )
