"""The first page: what the pool holds, how it is spread, and where to look first."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from itembank.languages.words import _
from itembank.notation.elements import HTML, Element, Maker
from itembank.review.entry import Entry
from itembank.review.figures import bars
from itembank.values.vocabulary import LEVELS

h = Maker(HTML)

SAMPLES = (10, 30, 59, 149, 299)


def overview(entries: Sequence[Entry]) -> list[Element]:
    return [
        *first_to_see(entries),
        h("h3", _("What the pool holds")),
        h("div", {"class": "plots"}, *plots([e for e in entries if not e.unread])),
        *twins(entries),
        h("h3", _("What a sample proves")),
        *sample_words(),
        h("h3", _("All items")),
        h(
            "p",
            {"class": "filter"},
            h(
                "label",
                h("input", {"type": "checkbox", "id": "to-do"}),
                h("span", _("Only what is to do")),
            ),
        ),
        h("div", {"class": "wide"}, items_table(entries)),
    ]


# ------------------------------------------------------------ order of risk


def with_extremes(entries: Sequence[Entry]) -> list[tuple[Entry, tuple[str, ...]]]:
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
            risks = (*risks, _("most solutions of its family"))
        found.append((e, risks))
    return found


def first_to_see(entries: Sequence[Entry]) -> Iterator[Element]:
    """The riskiest first, and of every risk and every family at least one."""
    ranked = sorted(with_extremes(entries), key=lambda pair: (not pair[0].unread, -len(pair[1])))
    seen: set[str] = set()
    chosen = []
    for e, risks in ranked:
        new = {*risks, e.family} - seen
        if new or e.unread:
            seen |= new
            chosen.append((e, risks))
    yield h("h3", _("Look at these first"))
    yield h("p", where_to_look(any(e.unread for e in entries)))
    yield h(
        "ol",
        {"class": "first"},
        *(
            h(
                "li",
                link(e),
                h("span", {"class": "why"}, "; ".join(risks) or _("an ordinary one of its family")),
            )
            for e, risks in chosen
        ),
    )


def where_to_look(unread: bool) -> str:
    if unread:
        return _(
            "What could not be read, of which nobody has proved the key; then extremes of every"
            " sort, and at least one question of every family. A person judges wording, rendering,"
            " distractors and feedback."
        )
    return _(
        "Extremes of every sort, and at least one question of every family. Keys are proved"
        " twice for all items; a person judges wording, rendering, distractors and feedback."
    )


def link(e: Entry) -> Element:
    return h("a", {"href": f"#{e.identifier}"}, e.title)


# ------------------------------------------------------------ plots


def plots(entries: Sequence[Entry]) -> Iterator[Element]:
    yield bars(_("Families"), count(e.family for e in entries), _("Family"))
    yield bars(_("Outcomes covered"), count(o for e in entries for o in e.outcomes), _("Outcome"))
    levels = Counter(e.level for e in entries)
    known = {level: levels[level] for level in LEVELS if levels[level]}
    if known:
        yield bars(_("Level"), known, _("Level"))
    yield bars(_("Effort, in steps of the worked solution"), banded(entries), _("Steps"))
    sizes = Counter(e.solutions for e in entries if e.solutions is not None)
    yield bars(
        _("Size of the key"), {str(n): sizes[n] for n in sorted(sizes)}, _("Number of solutions")
    )
    for form in ("select one", "solvable or not"):
        places = Counter(e.position for e in entries if e.form == form and e.position)
        if places:
            yield bars(
                _("Place of the key: {form}").format(form=form),
                {
                    str(n): places[n]
                    for n in range(1, max(4 if form == "select one" else 2, *places) + 1)
                },
                _("Place"),
            )


def count(names: Iterator[str]) -> dict[str, int]:
    return dict(Counter(names).most_common())


def banded(entries: Sequence[Entry]) -> Mapping[str, int]:
    """Effort in bands of 5 steps, empty bands between others shown."""
    bands = Counter(e.steps // 5 for e in entries)
    if not bands:
        return {}
    return {f"{5 * b} – {5 * b + 4}": bands[b] for b in range(min(bands), max(bands) + 1)}


def twins(entries: Sequence[Entry]) -> Iterator[Element]:
    groups: dict[object, list[Entry]] = {}
    for e in entries:
        groups.setdefault(e.twin, []).append(e)
    alike = [group for group in groups.values() if len(group) > 1]
    yield h("h3", _("Near-duplicates"))
    if not alike:
        yield h("p", _("None: no two items are the same after a shift of the unknown."))
        return
    yield h("p", _("The same after a shift of the unknown; no student gets two of one line."))
    yield h(
        "ul",
        *(h("li", *[part for i, e in enumerate(g) for part in ((", ",) if i else ()) + (link(e),)])
          for g in alike),
    )  # fmt: skip


# ------------------------------------------------------------ what a sample proves


def upper_bound(n: int) -> Decimal:
    """The share of faulty items, in percent, that a clean sample of n leaves open at 95 %.

    0 faults in n: 1 - 0.05^(1/n), rounded up to a tenth (trade practice for audits).

    >>> upper_bound(59)
    Decimal('5.0')
    """
    share = 100 * (1 - Decimal("0.05") ** (Decimal(1) / n))
    return share.quantize(Decimal("0.1"), rounding="ROUND_CEILING")


def sample_words() -> Iterator[Element]:
    yield h(
        "p",
        _(
            "If n items drawn at random are reviewed and none is faulty, then with 95 % confidence"
            " the share of faulty items among all that these families give is at most:"
        ),
    )
    yield h(
        "table",
        {"class": "sample"},
        h("caption", _("A clean random sample")),
        h(
            "thead",
            h(
                "tr",
                h("th", {"scope": "col"}, _("Reviewed")),
                h("th", {"scope": "col"}, _("At most faulty")),
            ),
        ),
        h(
            "tbody",
            *(
                h("tr", h("th", {"scope": "row"}, str(n)), h("td", f"{upper_bound(n)} %"))
                for n in SAMPLES
            ),
        ),
    )
    yield h("p", {"id": "sample-now"})


# ------------------------------------------------------------ all items


def items_table(entries: Sequence[Entry]) -> Element:
    names = (_("Item"), _("Form"), _("Level"), _("Steps"), _("Solutions"), _("Decision"))
    return h(
        "table",
        {"class": "items"},
        h("thead", h("tr", *(h("th", {"scope": "col"}, name) for name in names))),
        h(
            "tbody",
            *(
                h(
                    "tr",
                    h("th", {"scope": "row"}, link(e)),
                    h("td", _("could not be read") if e.unread else e.form),
                    h("td", e.level),
                    h("td", {"class": "number"}, str(e.steps) if e.steps else ""),
                    h("td", {"class": "number"}, "" if e.solutions is None else str(e.solutions)),
                    h("td", {"data-status": e.identifier}, _("open")),
                )
                for e in entries
            ),
        ),
    )
