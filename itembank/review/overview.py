"""The first page: what the pool holds, how it is spread, and where to look first."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from itembank.languages import Said, say
from itembank.languages.catalogue import decimal
from itembank.notation.elements import Element
from itembank.review import vocabulary
from itembank.review.entry import Entry
from itembank.review.figures import bars
from itembank.review.guesses import Row, guesses
from itembank.review.queue import link, links, queue
from itembank.review.writer import Writer, h
from itembank.values.parts import side_by_side
from itembank.values.vocabulary import LEVELS

_SAMPLES = (10, 30, 59, 149, 299)

_PLACED = (
    ("select one", 4, say("Place of the key: select one")),
    ("solvable or not", 2, say("Place of the key: solvable or not")),
)
"""The forms with one right choice, and how many places are shown at least."""


def overview(
    page: Writer, entries: Sequence[Entry], rows: Sequence[Row], wanted: Mapping[str, str]
) -> list[Element]:
    """The parts of the first page; `rows`: what guessers score; `wanted`: why a family wants it."""
    return [
        h("h3", page.text(say("All items"))),
        *queue(page, entries),
        *_first_to_see(page, entries),
        h("h3", page.text(say("What the pool holds"))),
        h("div", {"class": "plots"}, *_plots(page, [e for e in entries if not e.unread])),
        *guesses(page, rows, wanted),
        *_twins(page, entries),
        h("h3", page.text(say("What a sample proves"))),
        *_sample_words(page),
    ]


# ------------------------------------------------------------ order of risk


def _with_extremes(page: Writer, entries: Sequence[Entry]) -> list[tuple[Entry, tuple[str, ...]]]:
    """Every entry with its risks, those with the most solutions of their family among them."""
    most: dict[str, int] = {}
    for e in entries:
        most[e.family] = max(most.get(e.family, 0), e.solutions or 0)
    named: set[str] = set()
    found = []
    for e in entries:
        risks = e.risks
        if (e.solutions or 0) == most[e.family] > 1 and e.family not in named:
            named.add(e.family)
            risks = (*risks, page.text(say("most solutions of its family")))
        found.append((e, risks))
    return found


def riskiest_first(page: Writer, entries: Sequence[Entry]) -> list[tuple[Entry, tuple[str, ...]]]:
    """Every entry with its risks: what could not be read, then the most risks.

    The parts of one variant come one after another, where the riskiest of them stands.
    """
    variants = side_by_side(_with_extremes(page, entries), lambda pair: pair[0].family)
    ranked = sorted(
        variants, key=lambda parts: min((not e.unread, -len(risks)) for e, risks in parts)
    )
    return [pair for parts in ranked for pair in parts]


def _first_to_see(page: Writer, entries: Sequence[Entry]) -> Iterator[Element]:
    """The riskiest first, and of every risk and every family at least one."""
    ranked = riskiest_first(page, entries)
    seen: set[str] = set()
    chosen = []
    for e, risks in ranked:
        new = {*risks, e.family} - seen
        if new or e.unread:
            seen |= new
            chosen.append((e, risks))
    yield h("h3", page.text(say("Look at these first")))
    yield h("p", page.text(_where_to_look(any(e.unread for e in entries))))
    yield h(
        "ol",
        {"class": "first"},
        *(
            h(
                "li",
                link(page, e),
                h(
                    "span",
                    {"class": "why"},
                    "; ".join(risks) or page.text(say("an ordinary one of its family")),
                ),
            )
            for e, risks in chosen
        ),
    )


def _where_to_look(unread: bool) -> Said:
    if unread:
        return say(
            "What could not be read, of which nobody has proved the key; then extremes of every"
            " sort, and at least one question of every family. A person judges wording, rendering,"
            " distractors and feedback."
        )
    return say(
        "Extremes of every sort, and at least one question of every family. Keys are proved"
        " twice for all items; a person judges wording, rendering, distractors and feedback."
    )


# ------------------------------------------------------------ plots


def _plots(page: Writer, entries: Sequence[Entry]) -> Iterator[Element]:
    yield bars(page, say("Families"), _count(e.family for e in entries), say("Family"))
    outcomes = _count(o for e in entries for o in e.outcomes)
    yield bars(page, say("Outcomes covered"), outcomes, say("Outcome"))
    levels = Counter(e.level for e in entries)
    known = {
        page.text(vocabulary.LEVELS[level]): levels[level] for level in LEVELS if levels[level]
    }
    if known:
        yield bars(page, say("Level"), known, say("Level"))
    yield bars(page, say("Effort, in steps of the worked solution"), _banded(entries), say("Steps"))
    sizes = Counter(e.solutions for e in entries if e.solutions is not None)
    by_size = {str(n): sizes[n] for n in sorted(sizes)}
    yield bars(page, say("Size of the key"), by_size, say("Number of solutions"))
    for form, least, caption in _PLACED:
        places = Counter(e.position for e in entries if e.form == form and e.position)
        if places:
            by_place = {str(n): places[n] for n in range(1, max(least, *places) + 1)}
            yield bars(page, caption, by_place, say("Place"))


def _count(names: Iterator[str]) -> dict[str, int]:
    return dict(Counter(names).most_common())


def _banded(entries: Sequence[Entry]) -> Mapping[str, int]:
    """Effort in bands of 5 steps, empty bands between others shown."""
    bands = Counter(e.steps // 5 for e in entries)
    if not bands:
        return {}
    return {f"{5 * b} – {5 * b + 4}": bands[b] for b in range(min(bands), max(bands) + 1)}


def _twins(page: Writer, entries: Sequence[Entry]) -> Iterator[Element]:
    groups: dict[object, list[Entry]] = {}
    for e in entries:
        groups.setdefault(e.twin, []).append(e)
    alike = [group for group in groups.values() if len(group) > 1]
    yield h("h3", page.text(say("Near-duplicates")))
    if not alike:
        yield h(
            "p", page.text(say("None: no two items are the same after a shift of the unknown."))
        )
        return
    yield h(
        "p",
        page.text(say("The same after a shift of the unknown; no student gets two of one line.")),
    )
    yield h("ul", *(h("li", *links(page, group)) for group in alike))


# ------------------------------------------------------------ what a sample proves


def upper_bound(n: int) -> Decimal:
    """The share of faulty items, in percent, that a clean sample of n leaves open at 95 %.

    0 faults in n: 1 - 0.05^(1/n), rounded up to a tenth (trade practice for audits).

    >>> upper_bound(59)
    Decimal('5.0')
    """
    share = 100 * (1 - Decimal("0.05") ** (Decimal(1) / n))
    return share.quantize(Decimal("0.1"), rounding="ROUND_CEILING")


def _sample_words(page: Writer) -> Iterator[Element]:
    bounded = say(
        "If n items drawn at random are reviewed and none is faulty, then with 95 % confidence"
        " the share of faulty items among all that these families give is at most:"
    )
    yield h("p", page.text(bounded))
    yield h(
        "table",
        {"class": "sample"},
        h("caption", page.text(say("A clean random sample"))),
        h(
            "thead",
            h(
                "tr",
                h("th", {"scope": "col"}, page.text(say("Reviewed"))),
                h("th", {"scope": "col"}, page.text(say("At most faulty"))),
            ),
        ),
        h(
            "tbody",
            *(
                h(
                    "tr",
                    h("th", {"scope": "row"}, str(n)),
                    h("td", f"{decimal(page.language, upper_bound(n))} %"),
                )
                for n in _SAMPLES
            ),
        ),
    )
    yield h("p", {"id": "sample-now"})
    yield h("p", {"id": "sample-plan"})
