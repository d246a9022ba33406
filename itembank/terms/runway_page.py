"""How a pool stands, as a page: for how many terms each family lasts, what the terms of the year
ahead find of it, and what rests."""

from collections.abc import Iterator

from itembank.languages import Said, counted, say
from itembank.languages.catalogue import ENGLISH
from itembank.notation.elements import Child, Element
from itembank.review.writer import Writer, h
from itembank.terms.outlook import AHEAD, Outlook, Supply
from itembank.terms.plots import Row, rows
from itembank.terms.sheet import page, paragraph, section, table
from itembank.terms.status import FamilyStanding, PoolStanding
from itembank.values.errors import LanguageError
from itembank.values.worded import laid_out

_TERMS = 4
"""Terms ahead that are told one by one: two academic years of two terms, this one the first."""

_SCARCE = 2
"""A family that lasts for fewer terms is marked."""


def runway_page(found: PoolStanding, language: str) -> bytes:
    """The page, in a language; in English if that has no catalogue."""
    try:
        w = Writer(language)
    except LanguageError:
        w = Writer(ENGLISH)
    return page(
        w,
        say("Pool {pool}: what is left", pool=found.pool),
        [_lasting(found.outlook)],
        [_runway(w, found), _year(w, found), _used(w, found), _expected(w, found)],
    )


def _lasting(outlook: Outlook) -> Said:
    """For how many terms the whole pool lasts."""
    if not outlook.ends:
        return say("It lasts for {n} terms at least.", n=AHEAD)
    return counted(
        "It lasts for {n} term more; then its scarcest family is {k} short.",
        "It lasts for {n} terms more; then its scarcest family is {k} short.",
        outlook.terms,
        k=outlook.lacking,
    )


# ------------------------------------------------------------ runway


def _runway(w: Writer, found: PoolStanding) -> Element:
    told = say(
        "Terms that each family still fills, drawn as now: fresh questions first, then those that "
        "have rested. A family that lasts for fewer than {few} terms is marked.",
        few=_SCARCE,
    )
    words = w.text(say("Terms that each family lasts; the table has the numbers."))
    bars = [
        Row(
            f.family,
            ((f.outlook.terms, "none" if f.outlook.terms < _SCARCE else "full"),),
            str(f.outlook.terms) if f.outlook.ends else f"{f.outlook.terms}+",
        )
        for f in found.families
    ]
    head = (
        (say("Family"), ""),
        (say("Wanted a term"), "number"),
        (say("Never used"), "number"),
        (say("Terms"), "number"),
        (say("What follows"), ""),
    )
    lines = (
        [f.family, str(f.wanted), f.left.text(), str(f.outlook.terms), w.text(_follows(f.outlook))]
        for f in found.families
    )
    return section(
        w,
        "runway",
        say("For how many terms"),
        paragraph(w, told),
        h("figure", rows(bars, AHEAD, words)),
        table(w, say("Terms that each family lasts"), head, lines),
    )


def _follows(outlook: Outlook) -> Said:
    if not outlook.ends:
        return say("More than is looked ahead.")
    if outlook.returns is None:
        return say("Then {n} short.", n=outlook.lacking)
    return counted(
        "Then {k} short, full again after {n} term of rest.",
        "Then {k} short, full again after {n} terms of rest.",
        outlook.returns,
        k=outlook.lacking,
    )


# ------------------------------------------------------------ the year


def _year(w: Writer, found: PoolStanding) -> Element:
    """What each of the next terms finds of each family."""
    told = say(
        "What each of the next {n} terms finds, if those before it take what they want. Fresh are "
        "questions that were never used; rested are those that may be used again; resting those "
        "that may not yet. A bar shows {most} terms' worth at most; the next term is above.",
        n=_TERMS,
        most=round(_MOST),
    )
    key = h(
        "p",
        h("span", {"class": "key full"}),
        w.text(say("fresh or rested")),
        h("span", {"class": "key rest"}),
        w.text(say("resting")),
        h("span", {"class": "key none"}),
        w.text(say("lacking")),
    )
    head = (
        (say("Family"), ""),
        *((say("{term}: fresh, rested, resting", term=n), "") for n in _names_ahead(w, found)),
    )
    ahead = {f.family: f.supplies(_TERMS) for f in found.families}
    words = w.text(say("What the terms ahead find of each family; the table has the numbers."))
    bars = [row for f in found.families for row in _year_rows(f, ahead[f.family])]
    lines = (
        [f.family, *(_supply_text(w, supply) for supply in ahead[f.family])] for f in found.families
    )
    return section(
        w,
        "year",
        say("The year ahead"),
        paragraph(w, told),
        key,
        h("figure", rows(bars, _MOST, words)),
        table(w, say("What the terms ahead find"), head, lines),
    )


def _names_ahead(w: Writer, found: PoolStanding) -> list[str]:
    """The next terms, as the course lists them, or else by their number."""
    listed = [term.told for term in found.ahead[:_TERMS]]
    more = range(len(listed), _TERMS)
    return [*listed, *(w.text(say("Term {n} from now", n=n + 1)) for n in more)]


_MOST = 4.0
"""Terms' worth of questions that a bar shows; more would tell no more."""


def _year_rows(f: FamilyStanding, ahead: list[Supply]) -> Iterator[Row]:
    """A bar for each term, the next above, in units of what a term wants."""
    for n, supply in enumerate(ahead, 1):
        ready = min(_MOST, (supply.fresh + supply.rested) / f.wanted)
        lacking = supply.lacking / f.wanted
        resting = min(_MOST - ready - lacking, supply.resting / f.wanted)
        yield Row(
            f.family if n == 1 else "",
            ((ready, "full"), (lacking, "none"), (resting, "rest")),
            str(n),
        )


def _supply_text(w: Writer, supply: Supply) -> str:
    told = laid_out(
        "{fresh}, {rested}, {resting}",
        fresh=supply.fresh,
        rested=supply.rested,
        resting=supply.resting,
    )
    if not supply.lacking:
        return told
    return f"{told}; {w.text(say('{n} short', n=supply.lacking))}"


# ------------------------------------------------------------ used, difficulty


def _used(w: Writer, found: PoolStanding) -> Element:
    terms = list(dict.fromkeys(term for f in found.families for term in f.use.by_term))
    heading = say("What was used")
    if not terms:
        return section(w, "used", heading, paragraph(w, say("Nothing is drawn yet.")))
    head: list[tuple[Said | str, str]] = [
        (say("Family"), ""),
        *((term, "number") for term in terms),
        (say("Resting"), "number"),
        (say("Withdrawn"), "number"),
    ]
    lines = (
        [
            f.family,
            *(str(f.use.by_term.get(term, 0)) for term in terms),
            str(f.use.resting),
            str(f.use.withdrawn),
        ]
        for f in found.families
    )
    return section(w, "used", heading, table(w, say("Questions used in each term"), head, lines))


def _expected(w: Writer, found: PoolStanding) -> Element:
    """What a class is expected to do, and what makes questions hard."""
    heading = say("How hard the questions are")
    model = found.model
    if model is None:
        told = say("The results on record do not tell it yet; forms are balanced by steps.")
        return section(w, "hard", heading, paragraph(w, told))
    told = say(
        "By {answers} answers to {questions} questions: the share of a class that is expected to "
        "be right at a new variant, and by how much a feature makes questions harder, in logits.",
        answers=model.answers,
        questions=model.questions,
    )
    shares: list[list[Child | list[Child]]] = [
        [f.family, _percent(f.expected.right), f"{_percent(f.expected.low)} - "
         f"{_percent(f.expected.high)}", f.level]
        for f in found.families
        if f.expected
    ]  # fmt: skip
    weights = (
        [name, f"{-b:+.2f}", f"{-high:+.2f} - {-low:+.2f}".replace(" - ", " ... ")]
        for name, b, low, high in model.weights()
    )
    number = "number"
    return section(
        w,
        "hard",
        heading,
        paragraph(w, told),
        table(
            w,
            say("Expected to be right"),
            ((say("Family"), ""), (say("Right"), number), (say("95 % interval"), number),
             (say("Level"), "")),
            shares,
        ),
        table(
            w,
            say("What makes questions hard"),
            ((say("One more of"), ""), (say("Logits"), number), (say("95 % interval"), number)),
            weights,
        ),
    )  # fmt: skip


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"
