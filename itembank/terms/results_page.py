"""What a class got wrong, as a page for its instructor: doubtful keys first, then scores,
difficulty against discrimination, slips by step of the method, options nobody chose, families whose
variants are not alike.  No student is in it: it is made of the report alone.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from itembank.bank import Bank, entries, releases, usage
from itembank.forms import form_of
from itembank.kinds.table import SIGNATURES
from itembank.languages import Said, counted, say
from itembank.languages.catalogue import ENGLISH
from itembank.notation.elements import Child, Element
from itembank.notation.tree import Blocks
from itembank.review.writer import Writer, h
from itembank.terms.plots import Point, columns, scatter
from itembank.terms.results import NO_SLIP, ItemReport, TermReport
from itembank.terms.sheet import page, paragraph, section, table
from itembank.terms.statistics import (
    CHECK_KEY,
    EASIER,
    FEW,
    NOT_ALIKE,
    TOO_EASY,
    TOO_HARD,
    WEAK,
    WEAKLY_RELATED,
    mean,
    variance,
)
from itembank.values.errors import LanguageError
from itembank.values.item import Item

_FLAGS: dict[str, Said] = {
    CHECK_KEY: say("Check the key first."),
    EASIER: say("Easier than in earlier terms, so it may be known."),
    TOO_HARD: say("Hard."),
    TOO_EASY: say("Easy."),
    WEAKLY_RELATED: say("Weakly related to the rest."),
}


@dataclass(frozen=True)
class _Answered:
    """A question with what came back of it, and its short name on the page."""

    name: str
    report: ItemReport
    item: Item


def results_page(bank: Bank, report: TermReport) -> bytes:
    """The page, in the language of the questions; in English if that has no catalogue."""
    with bank.reading() as connection:
        found = releases.released(connection, report.release)
        numbers = [r.item for r in usage.released(connection, found.number)]
        items = {item.identifier: item for item in entries.stored_items(connection, numbers)}
    language = next(iter(items.values())).language
    try:
        w = Writer(language)
    except LanguageError:
        w = Writer(ENGLISH)
    answered = list(_named(report, items))
    return page(
        w,
        say("Results: {release}", release=report.release),
        list(_about(report)),
        [
            _keys(w, answered),
            _scores(w, report),
            _difficulty(w, report, answered),
            _slips(w, answered),
            _unchosen(w, answered),
            _unlike(w, report),
            _questions(w, answered),
        ],
    )


def _named(report: TermReport, items: Mapping[str, Item]) -> Iterator[_Answered]:
    """The questions as 1a, 1b, ...: the number of the family in the report, a letter a variant."""
    place = {family.family: i for i, family in enumerate(report.families, 1)}
    variants: Counter[str] = Counter()
    for one in report.items:
        variants[one.family] += 1
        yield _Answered(
            f"{place[one.family]}{_lettered(variants[one.family])}", one, items[one.identifier]
        )


def _lettered(n: int) -> str:
    """a, b, ..., z, aa, ab, ...

    >>> _lettered(1), _lettered(26), _lettered(27)
    ('a', 'z', 'aa')
    """
    before, letter = divmod(n - 1, 26)
    return (_lettered(before) if before else "") + "abcdefghijklmnopqrstuvwxyz"[letter]


def _about(report: TermReport) -> Iterator[Said]:
    if report.section:
        yield say("Section {name}.", name=report.section)
    yield say(
        "Term {term}; {n} students, {complete} of them met all {k} questions of the test.",
        term=report.term,
        n=report.students,
        complete=report.complete,
        k=report.questions,
    )


# ------------------------------------------------------------ keys


def _keys(w: Writer, answered: Sequence[_Answered]) -> Element:
    doubted = [a for a in answered if CHECK_KEY in a.report.flags]
    heading = say("Keys to check first")
    if not doubted:
        none = say("No key is in doubt: where one was wrong, the better students would miss it.")
        return section(w, "keys", heading, paragraph(w, none))
    told = counted(
        "The better students miss {n} question, or give one wrong answer together. It is not "
        "drawn again until somebody has checked its key and said so (clear, withdraw).",
        "The better students miss {n} questions, or give one wrong answer together. They are not "
        "drawn again until somebody has checked their keys and said so (clear, withdraw).",
        len(doubted),
    )
    head = (
        (say("Question"), ""),
        (say("What is asked"), "plain"),
        (say("Key"), ""),
        (say("Commonest answers"), ""),
        (say("Right"), "number"),
        (say("With the rest"), "number"),
    )
    rows: list[list[Child | list[Child]]] = [
        [
            [a.name, " ", h("span", {"class": "soft"}, a.report.identifier)],
            "; ".join(a.item.statement),
            _answer_shown(
                w, a.item, tuple(map(str, form_of(a.item.response).key(a.item.response)))
            ),
            _commonest(w, a),
            f"{a.report.correct} / {a.report.students}",
            _two_places(a.report.r),
        ]
        for a in doubted
    ]
    shown = table(w, say("Questions whose keys are in doubt"), head, rows)
    return section(w, "keys", heading, paragraph(w, told, kind="doubt"), shown)


_SHOWN = 3
"""The commonest answers that are shown."""


def _commonest(w: Writer, a: _Answered) -> list[Child]:
    """The commonest answers, each in a line with how many gave it."""
    return [
        h("div", *_answer_shown(w, a.item, tuple(answer.split(", "))), f": {n}")
        for answer, n in list(a.report.answers.items())[:_SHOWN]
    ]


def _answer_shown(w: Writer, item: Item, answer: Sequence[str]) -> list[Child]:
    """An answer as students meet it: the text of an option in place of its name."""
    options = {o.identifier: o for o in form_of(item.response).options(item.response)}
    found: list[Child] = []
    for part in answer:
        found += [", "] if found else []
        label = options[part].label if part in options else (part,)
        found += w.of(item.language).inline(label)
    return found or ["-"]


def _two_places(value: float | None) -> str:
    return "-" if value is None else f"{value:.2f}"


def _one_place(value: float | Fraction) -> str:
    return f"{float(value):.1f}"


# ------------------------------------------------------------ scores


def _scores(w: Writer, report: TermReport) -> Element:
    heading = say("Scores")
    if not report.complete:
        return section(w, "scores", heading, paragraph(w, say("Nobody met the whole test.")))
    spread = [right for right, n in report.scores.items() for _ in range(n)]
    average, deviation = _one_place(mean(spread)), _one_place(float(variance(spread)) ** 0.5)
    told = [
        say(
            "On average {mean} of {k} questions were right, with a standard deviation of {sd}.",
            mean=average,
            k=report.questions,
            sd=deviation,
        )
    ]
    if report.complete < FEW:
        told.append(say("A reliability is told from {few} students on.", few=FEW))
    elif report.reliability is not None and report.standard_error is not None:
        r, error = _two_places(float(report.reliability)), _one_place(report.standard_error)
        told.append(
            say("Reliability (KR-20) {r}; a score is known to about {error} questions.",
                r=r, error=error)
        )  # fmt: skip
    words = w.text(say("How many students had so many questions right; the table has the numbers."))
    plot = columns(
        [(str(right), n) for right, n in report.scores.items()],
        w.text(say("questions right")),
        words,
    )
    rows = ((str(right), str(n)) for right, n in report.scores.items())
    behind = table(
        w,
        say("Students by questions right"),
        ((say("Questions right"), "number"), (say("Students"), "number")),
        (list(row) for row in rows),
    )
    return section(w, "scores", heading, paragraph(w, *told), h("figure", plot), behind)


# ------------------------------------------------------------ difficulty, discrimination


def _difficulty(w: Writer, report: TermReport, answered: Sequence[_Answered]) -> Element:
    told = say(
        "To the right what most had right, above what the better students had right. Below the "
        "dashed line, at {weak}, a question tells little of who knows the subject. Large points "
        "are questions of the test with all their variants, small ones variants that at least "
        "{few} students had.",
        weak=_two_places(WEAK),
        few=FEW,
    )
    whole = [
        (str(i), asked.family, asked.students, float(asked.difficulty), asked.r)
        for i, asked in enumerate(report.asked, 1)
    ]
    single = [
        (a.name, a.report.title, a.report.students, float(a.report.difficulty), a.report.r)
        for a in answered
        if a.report.students >= FEW and len(answered) > len(report.asked)
    ]
    heading = say("Difficulty and discrimination")
    met = [*whole, *single]
    points = [
        Point(p, r, name, strong=i < len(whole))
        for i, (name, _title, _n, p, r) in enumerate(met)
        if r is not None
    ]
    words = w.text(
        say("Each question by the share right and its correlation with the rest of the test; the "
            "table has the numbers.")
    )  # fmt: skip
    plot = scatter(points, w.text(say("right")), w.text(say("with the rest")), [WEAK], words)
    head = (
        (say("Point"), ""),
        (say("Question"), ""),
        (say("Students"), "number"),
        (say("Right"), "number"),
        (say("With the rest"), "number"),
    )
    rows = (
        [name, title, str(n), f"{p:.0%}".replace("%", " %"), _two_places(r)]
        for name, title, n, p, r in met
    )
    behind = table(w, say("The points of the plot"), head, rows)
    shown = [h("figure", plot)] if points else []
    return section(w, "difficulty", heading, paragraph(w, told), *shown, behind)


# ------------------------------------------------------------ slips


@dataclass(frozen=True)
class _Made:
    """A slip: how often it was made, and a question where it was, with what that says of it."""

    name: str
    n: int
    item: Item
    said: Blocks


def _slips(w: Writer, answered: Sequence[_Answered]) -> Element:
    told = say(
        "By kind of question and in the order of the method: how often each slip was made, and "
        "what can be said of it in the next lecture, by a question where it was made."
    )
    of_kind: dict[str, list[_Answered]] = defaultdict(list)
    for a in answered:
        of_kind[a.item.kind].append(a)
    parts: list[Element] = []
    wrong = 0
    for kind, those in of_kind.items():
        here = sum(a.report.students - a.report.correct for a in those)
        made, others = _in_order(kind, those), _unknown(those)
        wrong += here
        if made or others:
            parts += _of_one_kind(w, kind, made, here, others)
    if not parts and wrong:
        parts = [paragraph(w, say("These results tell scores alone, and not what was answered."))]
    elif not parts:
        parts = [paragraph(w, say("No wrong answer is on record."))]
    return section(w, "slips", say("Slips, by step of the method"), paragraph(w, told), *parts)


def _in_order(kind: str, those: Sequence[_Answered]) -> list[_Made]:
    """The slips made at questions of a kind, in the order of its method; others come last."""
    counts: Counter[str] = Counter()
    at: dict[str, list[tuple[int, int, _Answered]]] = defaultdict(list)
    for i, a in enumerate(those):
        for slip, n in a.report.slips.items():
            if slip != NO_SLIP:
                counts[slip] += n
                at[slip].append((_alone(slip, a.item), -n, those[i]))
    method = SIGNATURES[kind].slips if kind in SIGNATURES else ()
    order = {name: i for i, name in enumerate(method)}
    found = []
    for slip in sorted(counts, key=lambda slip: (order.get(slip, len(order)), slip)):
        _parts, _n, a = min(at[slip], key=lambda one: one[:2])
        found.append(_Made(slip, counts[slip], a.item, _said_of(slip, a.item)))
    return found


def _alone(slip: str, item: Item) -> int:
    """How many slips share what the item says of this one; 1 where it can mean no other."""
    return min((len(f.slips) for f in item.feedback if slip in f.slips), default=len(item.feedback))


def _said_of(slip: str, item: Item) -> Blocks:
    """What the item says of the slip alone; where several lead to one answer, its own part."""
    found = [f for f in item.feedback if slip in f.slips]
    if not found:
        return ()
    said = min(found, key=lambda f: len(f.slips))
    own = 1 + said.slips.index(slip)
    if len(said.slips) > 1 and len(said.text) == 1 + len(said.slips):
        return said.text[own : own + 1]
    return tuple(dict.fromkeys(said.text))


def _unknown(those: Sequence[_Answered]) -> int:
    return sum(a.report.slips.get(NO_SLIP, 0) for a in those)


def _of_one_kind(
    w: Writer, kind: str, made: Sequence[_Made], wrong: int, others: int
) -> Iterator[Element]:
    head = [
        (say("Slip"), ""),
        (say("Made"), "number"),
        (say("To say in the next lecture"), "say"),
        (say("Step"), ""),
    ]
    rows: list[list[Child | list[Child]]] = [
        [one.name, str(one.n), _lecture(w, one), _step(w, kind, one.name)] for one in made
    ]
    if others:
        rows.append([w.text(say("another wrong answer")), str(others), "", ""])
    if not any(row[-1] for row in rows):
        head, rows = head[:-1], [row[:-1] for row in rows]
    caption = counted(
        "Slips at questions of the kind {kind}, of {n} wrong answer",
        "Slips at questions of the kind {kind}, of {n} wrong answers",
        wrong,
        kind=kind.replace("_", " "),
    )
    yield table(w, caption, head, rows)


def _step(w: Writer, kind: str, slip: str) -> str:
    """The step of the method in which a slip goes wrong, where the kind tells it."""
    if kind != "polynomial":
        return ""
    from itembank.kinds.polynomial.slips import stage_of

    told = stage_of(slip)
    return w.text(told) if told else ""


def _lecture(w: Writer, made: _Made) -> list[Child]:
    statement = "; ".join(made.item.statement)
    asked = w.text(say("At {statement}:", statement=statement))
    inner = w.of(made.item.language).prose(made.said)
    return [h("p", {"class": "soft"}, asked), *w.within(made.item.language, inner)]


# ------------------------------------------------------------ options, variants


def _unchosen(w: Writer, answered: Sequence[_Answered]) -> Element:
    """Of a family the slips whose options nobody chose, where enough students had them."""
    offered: Counter[tuple[str, str]] = Counter()
    chosen: Counter[tuple[str, str]] = Counter()
    for a in answered:
        for option in form_of(a.item.response).options(a.item.response):
            if not option.correct and a.report.options:
                what = a.report.family, ", ".join(option.slips) or w.text(say("a wrong option"))
                offered[what] += a.report.students
                chosen[what] += a.report.options.get(option.identifier, 0)
    idle = [what for what, n in offered.items() if n >= FEW and not chosen[what]]
    heading = say("Options that nobody chose")
    told = say(
        "An option that nobody takes for right makes a question easier to guess. Told are those "
        "that at least {few} students were offered.",
        few=FEW,
    )
    if not idle:
        return section(w, "options", heading, paragraph(w, told, say("There is none.")))
    head = ((say("Family"), ""), (say("Slip of the option"), ""), (say("Offered to"), "number"))
    rows = ([family, slip, str(offered[family, slip])] for family, slip in sorted(idle))
    shown = table(w, say("Options that nobody chose"), head, rows)
    return section(w, "options", heading, paragraph(w, told), shown)


def _unlike(w: Writer, report: TermReport) -> Element:
    """The families whose variants differ by more than chance, with the share right of each."""
    found = [f for f in report.families if NOT_ALIKE in f.flags]
    heading = say("Families whose variants are not alike")
    if not found:
        none = say(
            "None is known to be: variants that at least {few} students had do not differ by more "
            "than chance.",
            few=FEW,
        )
        return section(w, "alike", heading, paragraph(w, none))
    head = (
        (say("Family"), ""),
        (say("Right, of each variant"), ""),
        (say("Largest gap"), "number"),
    )
    rows = (
        [
            f.family,
            ", ".join(f"{right} / {of}" for right, of in f.variants.values()),
            f"{float(f.homogeneity.spread):.0%}".replace("%", " %"),
        ]
        for f in found
    )
    return section(w, "alike", heading, table(w, heading, head, rows))


def _questions(w: Writer, answered: Sequence[_Answered]) -> Element:
    heading = say("All questions")
    head = (
        (say("Question"), ""),
        (say("Identifier"), ""),
        (say("Title"), ""),
        (say("Right"), "number"),
        (say("95 % interval"), "number"),
        (say("With the rest"), "number"),
        (say("To look at"), ""),
    )
    rows = (
        [
            a.name,
            a.report.identifier,
            a.report.title,
            f"{a.report.correct} / {a.report.students}",
            "{:.0%} - {:.0%}".format(*a.report.interval).replace("%", " %"),
            _two_places(a.report.r) if a.report.students >= FEW else "-",
            " ".join(w.text(_FLAGS[flag]) for flag in a.report.flags),
        ]
        for a in answered
    )
    return section(w, "questions", heading, table(w, heading, head, rows))
