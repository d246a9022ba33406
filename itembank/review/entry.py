"""One item of the packet: the question to answer, and what is shown once it is answered."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain
from math import comb

from itembank.languages.words import _, ngettext
from itembank.notation import markup
from itembank.notation.elements import HTML, Child, Element, Maker
from itembank.notation.tree import Blocks, Inlines, Table
from itembank.review import figures, parts
from itembank.review.evidence import Evidence, evidence_or_none, first_failure, prime_power_of
from itembank.review.seen import seen_lines
from itembank.values.item import (
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    Option,
    PutInOrder,
    Scoring,
    SelectAll,
    SelectOne,
    SetEntry,
    SlipFeedback,
    TrueFalse,
)

h = Maker(HTML)
MATH, TEXT = markup.in_mathml(h), markup.in_html(h)

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
        position=key_position(item),
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
            **key_data(item),
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


# ------------------------------------------------------------ the question, to be answered


def controls(item: Item) -> list[Element]:
    """What the student answers in, with labels and no key."""
    name = item.identifier
    match item.response:
        case SelectAll(options=options):
            return [choices(name, "checkbox", option_labels(options))]
        case SelectOne(options=options):
            return [choices(name, "radio", option_labels(options))]
        case TrueFalse(yes=yes, no=no):
            return [choices(name, "radio", [("true", yes), ("false", no)])]
        case IntegerEntry():
            return [field(name, _("Your answer, one integer"))]
        case ListEntry():
            return [field(name, _("Your answer, a list of integers"))]
        case SetEntry(entries=entries):
            return [
                field(f"{name}-{n}", _("Solution {n}, or blank").format(n=n))
                for n in range(1, entries + 1)
            ]
        case PutInOrder() | MatchPairs() | Guided():
            return parts.fields(item, item.response)


def option_labels(options: Iterable[Option]) -> list[tuple[str, Inlines]]:
    return [(option.identifier, option.label) for option in options]


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


def key_data(item: Item) -> Data:
    """The key as the script compares it: option identifiers, or integers as text."""
    match item.response:
        case SelectAll(options=options) | SelectOne(options=options):
            return {"key": [o.identifier for o in options if o.correct]}
        case TrueFalse(truth=truth):
            return {"key": ["true" if truth else "false"]}
        case IntegerEntry(value=value, modulus=m):
            return {"key": [str(value)], "modulus": str(m) if m else ""}
        case ListEntry(values=values, none_word=none):
            return {"key": [str(v) for v in values], "none": none}
        case SetEntry(values=values, modulus=m):
            return {"key": [str(v) for v in values], "modulus": str(m)}
        case PutInOrder() | MatchPairs() | Guided():
            return {"parts": parts.key_data(item.response)}


def key_position(item: Item) -> int | None:
    """The place of the one right option, from 1."""
    match item.response:
        case SelectOne(options=options):
            return next(i for i, o in enumerate(options, 1) if o.correct)
        case TrueFalse(truth=truth):
            return 1 if truth else 2
    return None


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
    match item.response:
        case SelectAll(options=options) | SelectOne(options=options):
            right = [h("li", *inline(o.label)) for o in options if o.correct]
            return [h("ul", {"class": "key"}, *right)]
        case TrueFalse(truth=truth, yes=yes, no=no):
            return [h("p", {"class": "key"}, *inline(yes if truth else no))]
        case IntegerEntry(value=value, modulus=m):
            if m:
                return text(
                    _("${v}$, or any integer congruent to it modulo ${m}$.").format(v=value, m=m)
                )
            return text(f"${value}$")
        case ListEntry(values=values, none_word=none):
            return text("$" + ", ".join(map(str, values)) + "$" if values else f"“{none}”")
        case SetEntry(values=values, modulus=m):
            listed = ", ".join(map(str, values))
            return text(
                _("${values}$, in any order, or integers congruent to them modulo ${m}$.").format(
                    values=listed, m=m
                )
            )
        case PutInOrder() | MatchPairs() | Guided():
            return parts.told_key(item.response)


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
    match item.response:
        case SelectAll(options=options) | SelectOne(options=options):
            for option in options:
                if not option.correct:
                    failure = first_failure(found, option.residues) if found else ""
                    yield row([*inline(option.label)], option.slips, failure, ())


def feedback_rows(item: Item, found: Evidence | None) -> Iterator[list[Element]]:
    for feedback in item.feedback:
        claim = claim_of(item, feedback)
        failure = first_failure(found, claim) if found and claim is not None else ""
        said = [_("Feedback to "), *answer_label(item, feedback)]
        yield row(said, feedback.slips, failure, feedback.text)


def row(label: list[Child], slips: Iterable[str], failure: str, feedback: Blocks) -> list[Element]:
    names = ", ".join(slips)
    return [
        h("dt", *label, *([h("span", {"class": "slip"}, names)] if names else [])),
        h("dd", *text(failure), *prose(feedback)),
    ]


def claim_of(item: Item, feedback: SlipFeedback) -> tuple[int, ...] | None:
    """The residues that an answer claims; None where it claims something else."""
    match item.response:
        case SelectAll(options=options):
            chosen = [o for o in options if o.identifier in feedback.response]
            return tuple(x for o in chosen for x in o.residues if isinstance(x, int))
        case ListEntry() | SetEntry():
            return tuple(x for x in feedback.response if isinstance(x, int))
    return None


def answer_label(item: Item, feedback: SlipFeedback) -> list[Child]:
    if isinstance(item.response, PutInOrder | MatchPairs | Guided):
        return parts.told_answer(item.response, [str(part) for part in feedback.response])
    options = {
        o.identifier: o.label
        for o in (item.response.options if isinstance(item.response, SelectAll | SelectOne) else ())
    }
    labels: list[Child] = []
    for given in feedback.response or (_("no solutions"),):
        if labels:
            labels.append(", ")
        labels += inline(options[given]) if given in options else [str(given)]
    return labels


# ------------------------------------------------------------ scoring


def scoring(item: Item) -> list[Element]:
    points, rule = item.scoring.points, item.scoring.rule
    worth = ngettext("{n} point, {rule}.", "{n} points, {rule}.", points).format(
        n=points, rule=rule
    )
    return [h("p", worth), *text(guess(item.response, item.scoring))]


def guess(response: object, scoring: Scoring) -> str:
    """What blind guessing is worth, exactly."""
    match response:
        case SelectAll(options=options) if scoring.rule == "plus minus":
            mean = plus_minus_guess(options)
            return _("Boxes ticked blindly score {mean} of {points} on average.").format(
                mean=mean, points=scoring.points
            )
        case SelectAll(options=options):
            return _("A blind guess over the {n} boxes is right once in {all}.").format(
                n=len(options), all=2 ** len(options)
            )
        case SelectOne(options=options):
            return _("A blind guess is right once in {n}.").format(n=len(options))
        case TrueFalse():
            return _("A blind guess is right once in 2.")
        case IntegerEntry(modulus=int() as m):
            return _("A blind guess of a residue is right once in {m}.").format(m=m)
        case PutInOrder() | MatchPairs() | Guided():
            return parts.blind_guess(response)
        case ListEntry(modulus=m) | SetEntry(modulus=m):
            return _("A blind guess of a set of residues is right once in $2^{m}$.").format(m=m)
    return _("An integer is typed: nothing on the page offers one to guess.")


def plus_minus_guess(options: Sequence[Option]) -> Fraction:
    """The mean of max(0, right ticks - wrong ticks), each box ticked with probability 1/2."""
    right = sum(o.correct for o in options)
    wrong = len(options) - right
    total = sum(
        comb(right, a) * comb(wrong, b) * max(0, a - b)
        for a in range(right + 1)
        for b in range(wrong + 1)
    )
    return Fraction(total, 2 ** len(options))


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
