"""What came back from a term, as statistics of items, of families and of the test.

Students are told apart and then forgotten: the bank gets counts.  A test whose students have
different variants is read by its questions: the variants of a group are one question, so KR-20
is that of the questions, while each variant keeps its own counts.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from exporters.usagedata import ItemStatistics
from itembank.bank import Bank, decisions, entries, releases, reported, usage
from itembank.bank.reported import Outcome, Usage
from itembank.bank.usage import Released
from itembank.forms import form_of
from itembank.forms.base import Answer
from itembank.terms import graded, scores, statistics
from itembank.terms import reports as results
from itembank.terms.reports import Answered, Attempt
from itembank.terms.scores import Asked
from itembank.terms.significance import beyond_chance, chance_of_correlation, chance_of_rise
from itembank.terms.statistics import CHECK_KEY, EASIER
from itembank.terms.tables import Columns
from itembank.terms.together import names_of_parts, refuse_sums, wholes_of
from itembank.terms.wording import edition_of, in_words_of
from itembank.values.errors import BankError, ReportError
from itembank.values.item import Item
from itembank.values.points import Points
from itembank.values.worded import worded

NO_SLIP = worded("no slip known")
_NOTHING = worded("nothing")

_FUNCTIONAL = Fraction(1, 20)
"""A wrong answer counts once one in twenty gives it (DiBattista & Kurzawa 2011)."""

_COMMONEST = 8
"""Answers of an item that are listed, the commonest first."""


# ------------------------------------------------------------ one student's answers


@dataclass(frozen=True)
class Mark:
    """One student's answer at one item: the share of its points, what it was, and its slips.

    `options`: those chosen, where there are options.
    """

    item: int
    share: Fraction
    answer: str | None
    slips: tuple[str, ...]
    options: tuple[str, ...] = ()


def mark(answered: Answered, item: Item, number: int) -> Mark:
    """Raises ReportError for a score that the item cannot give."""
    most = answered.most if answered.most is not None else Fraction(item.scoring.points)
    if not 0 <= answered.score <= most or not most:
        raise ReportError(
            worded(
                "{where}: {identifier}: expected a score of 0 to {most}, got {score}",
                where=answered.where,
                identifier=item.identifier,
                most=most,
                score=answered.score,
            )
        )
    share = answered.score / most
    if answered.response is None:
        return Mark(number, share, None, ())
    form = form_of(item.response)
    given = form.given(item.response, answered.response)
    return Mark(
        number,
        share,
        ", ".join(map(str, given)) if given else _NOTHING,
        () if share == 1 or not answered.response else _slips_of(item, given),
        tuple(map(str, given)) if form.options(item.response) else (),
    )


def _slips_of(item: Item, given: Answer) -> tuple[str, ...]:
    """The slips that lead to a wrong response."""
    form = form_of(item.response)
    for feedback in item.feedback:
        if form.same(item.response, feedback.response, given):
            return feedback.slips
    return (NO_SLIP,)


# ------------------------------------------------------------ what is reported


@dataclass(frozen=True, kw_only=True)
class ItemReport:
    """An item as its students met it.

    r: the correlation with the rest of the test, r_total with all of it; None if not defined.
    """

    identifier: str
    title: str
    family: str
    students: int
    correct: int
    difficulty: Fraction
    interval: tuple[float, float]
    r: float | None
    r_total: float | None
    answers: Mapping[str, int]
    options: Mapping[str, int]
    slips: Mapping[str, int]
    points: Points
    flags: tuple[str, ...]
    advice: str


@dataclass(frozen=True, kw_only=True)
class FamilyReport:
    """A family: its variants as (right, of), pooled; and how its slips were met."""

    family: str
    variants: Mapping[str, tuple[int, int]]
    homogeneity: statistics.Homogeneity
    slips: Mapping[str, int]
    flags: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class TermReport:
    """The whole test.  Reliability from the students who met every question (`complete`).

    scores: how many of these had so many questions right.  asked: each question of the test, its
    variants taken together.
    section: of the students, or "" for all.  outcome: whether it is on record by this reading, by
    one before, or in place of others (`replaced`: how many students those counted).  repeated: how
    many rows said again what another says; they count once.
    """

    release: str
    section: str = ""
    outcome: Outcome = "new"
    replaced: int = 0
    repeated: int = 0
    term: str
    students: int
    complete: int
    questions: int
    reliability: Fraction | None
    standard_error: float | None
    scores: Mapping[int, int]
    asked: tuple[Asked, ...]
    items: tuple[ItemReport, ...]
    families: tuple[FamilyReport, ...]
    unknown: tuple[str, ...]


def record_results(
    bank: Bank,
    release: str,
    paths: Sequence[Path],
    columns: Columns | None = None,
    section: str = "",
    replacing: bool = False,
    attempt: Attempt | None = None,
    keep: bool = True,
) -> TermReport:
    """Read results of a release, report on them, and record the statistics in the bank.

    They stand for all students of the release, or of the section.  Results that were recorded
    before are reported again, and not counted twice; others of the same students are refused, or
    replace what is on record.  Without `keep` they are read and reported alone.  Raises
    ReportError, also where nothing fits the release.
    """
    with bank.reading() as connection:
        found = releases.released(connection, release)
        of_release = usage.released(connection, found.number)
        choices = usage.choices(connection, found.number)
        numbers = [r.item for r in of_release]
        items = dict(zip(numbers, entries.stored_items(connection, numbers), strict=True))
        term = entries.known_term(connection, found.term)
        earlier = {r.item: usage.earlier_uses(connection, r.problem, term) for r in of_release}
    known = names_of(items)
    wholes = wholes_of(items)
    groups = [
        ([items[r.item] for r in of_release if r.group == group], choose)
        for group, choose in choices.items()
    ]

    def of_paper(path: Path, content: bytes) -> Iterator[Answered] | None:
        if not graded.is_graded(content, path):
            return None
        return graded.answers(path, content, release, groups)

    read = results.answers(
        paths,
        columns,
        lambda name: not {name, edition_of(name)[0]}.isdisjoint(known.keys() | wholes.keys()),
        attempt,
        of_paper,
    )
    refuse_sums(read.attempts, wholes)
    students, unknown = marks(read.attempts, known)
    if not students:
        raise ReportError(
            worded(
                "results: no item of them is one of the release {release}; they name {items}",
                release=release,
                items=", ".join(unknown[:3]) or worded("none"),
            )
        )
    reports = _item_reports(students, of_release, items, earlier)
    met = {who: [(m.item, m.share) for m in given] for who, given in students.items()}
    group = {r.item: r.group for r in of_release}
    table = scores.whole_tests(met, group, choices)
    reliability, error = _reliability_of(table)
    report = TermReport(
        release=release,
        section=section,
        term=found.term,
        repeated=read.repeated,
        students=len(students),
        complete=len(table),
        questions=sum(choices.values()),
        reliability=reliability,
        standard_error=error,
        scores=scores.distribution(table),
        asked=tuple(scores.asked(table, choices, {r.group: r.family for r in of_release})),
        items=tuple(reports.values()),
        families=tuple(_family_reports(reports.values())),
        unknown=unknown,
    )
    told = scores.facts(met, group, choices, {number: items[number] for number in reports})
    of_record = reported.Report(
        release=release,
        section=section,
        source=results.fingerprint(paths),
        students=report.students,
        usages=[
            Usage(number, r.students, r.correct, r.advice, _recorded_facts(r) | told[number])
            for number, r in reports.items()
        ],
    )
    with bank.writing(keep) as connection:
        outcome, gone = reported.record(
            connection,
            term,
            of_record,
            _facts_of_test(report) | {"choose": {str(g): n for g, n in choices.items()}},
            replacing,
        )
    return replace(report, outcome=outcome, replaced=sum(one.students for one in gone))


_Students = Mapping[str, Sequence[Mark]]


Names = Mapping[str, tuple[int, Item]]
"""Items by what reports call them, with their numbers."""


def names_of(items: Mapping[int, Item]) -> Names:
    """Items by identifier, and by title, as some platforms keep only that."""
    known: dict[str, tuple[int, Item]] = {}
    for number, item in items.items():
        for form in (item, item.plain):
            if form is not None:
                known[form.identifier] = number, form
                known.setdefault(form.title, (number, form))
    return known | {name: (n, items[n]) for name, n in names_of_parts(wholes_of(items))}


def marks(
    answered: Iterable[Answered], known: Names
) -> tuple[dict[str, list[Mark]], tuple[str, ...]]:
    """The marks of each student; and the names of items that the release does not hold.

    Items are known in whatever language of their pool.
    """
    students: dict[str, list[Mark]] = defaultdict(list)
    unknown: dict[str, None] = {}
    met: set[tuple[str, int]] = set()
    for one in answered:
        name, language = (one.item, "") if one.item in known else edition_of(one.item)
        if name not in known:
            unknown[one.item] = None
            continue
        number, item = known[name]
        if (one.student, number) not in met:
            met.add((one.student, number))
            students[one.student].append(
                mark(_in_first_language(one, item, language), item, number)
            )
    return dict(students), tuple(unknown)


def _in_first_language(answered: Answered, item: Item, language: str) -> Answered:
    """An answer in another language (not "") in the words of the item on record."""
    if not language or not answered.response:
        return answered
    return replace(answered, response=in_words_of(item, language, answered.response))


def _item_reports(
    students: _Students,
    of_release: Sequence[Released],
    items: Mapping[int, Item],
    earlier: Mapping[int, tuple[int, int]],
) -> dict[int, ItemReport]:
    """A report of each item that anybody had, by number, in the order of the release.

    A doubt of a key, and a rise since earlier terms, is one of as many tests as there are items.
    """
    of_item: dict[int, list[tuple[Mark, Fraction]]] = defaultdict(list)
    for given in students.values():
        total = sum((m.share for m in given), Fraction(0))
        for m in given:
            of_item[m.item].append((m, total - m.share))
    met = [r for r in of_release if r.item in of_item]
    doubted = beyond_chance({r.item: chance_of_key(of_item[r.item]) for r in met})
    known = beyond_chance(
        {r.item: chance_of_rise_in(of_item[r.item], earlier[r.item]) for r in met}
    )
    return {
        r.item: _item_report(
            items[r.item],
            items[r.item].provenance.family,
            of_item[r.item],
            [flag for flag, which in ((CHECK_KEY, doubted), (EASIER, known)) if r.item in which],
        )
        for r in met
    }


def _item_report(
    item: Item, family: str, given: Sequence[tuple[Mark, Fraction]], tested: Sequence[str]
) -> ItemReport:
    """`tested`: the flags of the tests over the whole pool; the key is checked first."""
    shares = [m.share for m, _rest in given]
    rests = [rest for _m, rest in given]
    n, difficulty = len(given), statistics.mean(shares)
    r = statistics.correlation(shares, rests)
    flags = (*tested, *statistics.item_flags(n, difficulty, r))
    answers = Counter(m.answer for m, _rest in given if m.answer is not None)
    slips = Counter(slip for m, _rest in given for slip in m.slips)
    return ItemReport(
        identifier=item.identifier,
        title=item.title,
        family=family,
        students=n,
        correct=sum(share == 1 for share in shares),
        difficulty=difficulty,
        interval=statistics.wilson(sum(shares, Fraction(0)), n),
        r=r,
        r_total=statistics.correlation(
            shares, [s + rest for s, rest in zip(shares, rests, strict=True)]
        ),
        answers=dict(answers.most_common(_COMMONEST)),
        options=dict(Counter(option for m, _rest in given for option in m.options)),
        points=item.scoring.points,
        slips=dict(slips.most_common()),
        flags=flags,
        advice=_advice(flags),
    )


def chance_of_key(given: Sequence[tuple[Mark, Fraction]]) -> float | None:
    """How likely the answers are by chance, if the key is right: small where it is suspected.

    The better students miss the item, or a wrong answer that one in twenty gave goes with the
    score on the rest; the most telling of these, times how many were looked at.  None for too few
    students, or where scores do not vary.
    """
    n = len(given)
    if n < statistics.FEW:
        return None
    rests = [rest for _m, rest in given]
    wrong = Counter(_wrong_answer(m) for m, _rest in given)
    del wrong[None]
    suspects = [[1 - m.share for m, _rest in given]]
    suspects += [
        [Fraction(_wrong_answer(m) == answer) for m, _rest in given]
        for answer, count in wrong.items()
        if Fraction(count, n) >= _FUNCTIONAL
    ]
    found = [r for s in suspects if (r := statistics.correlation(s, rests)) is not None]
    return min(1.0, len(found) * chance_of_correlation(max(found), n)) if found else None


def _wrong_answer(m: Mark) -> str | None:
    """What was answered, if it was wrong; a blank is no answer."""
    return None if m.share == 1 or m.answer == _NOTHING else m.answer


def chance_of_rise_in(
    given: Sequence[tuple[Mark, Fraction]], earlier: tuple[int, int]
) -> float | None:
    """How likely the rise since earlier terms is by chance; None for too few students, or a rise
    too small to matter.  A problem that has become easier may be known."""
    right, n = sum(m.share == 1 for m, _rest in given), len(given)
    before, of = earlier
    if min(n, of) < statistics.FEW:
        return None
    if Fraction(right, n) - Fraction(before, of) <= statistics.RISE:
        return None
    return chance_of_rise(right, n, before, of)


def _advice(flags: Sequence[str]) -> str:
    """What the next draw does: rest until a person has checked the key, retire, or keep."""
    if CHECK_KEY in flags:
        return "rest"
    return "retire" if EASIER in flags else "keep"


def _family_reports(reports: Iterable[ItemReport]) -> Iterator[FamilyReport]:
    of_family: dict[str, list[ItemReport]] = defaultdict(list)
    for report in reports:
        of_family[report.family].append(report)
    counts = {
        family: {v.identifier: (v.correct, v.students) for v in variants}
        for family, variants in of_family.items()
    }
    unlike = beyond_chance(
        {f: statistics.chance_of_unlike(list(of.values())) for f, of in counts.items()}
    )
    for family, variants in of_family.items():
        slips: Counter[str] = Counter()
        for v in variants:
            slips.update(v.slips)
        yield FamilyReport(
            family=family,
            variants=counts[family],
            homogeneity=statistics.homogeneity(list(counts[family].values())),
            slips=dict(slips.most_common()),
            flags=(statistics.NOT_ALIKE,) if family in unlike else (),
        )


def _reliability_of(table: statistics.Table) -> tuple[Fraction | None, float | None]:
    """KR-20 and its standard error, from a row for each student who met every question."""
    if len(table) < 2 or len(table[0]) < 2:
        return None, None
    return statistics.kr20(table), statistics.standard_error(table)


def clear(bank: Bank, names: Sequence[str], reviewer: str, comment: str) -> None:
    """Record that a person checked items that results cast doubt on, and that they stand.

    Their problems may be drawn again.  Raises BankError, and records nothing, for an item that
    no results cast doubt on.
    """
    with bank.writing() as connection:
        for name in names:
            item = entries.item_number(connection, name)
            identifier, fingerprint = entries.identity(connection, item)
            if not usage.is_doubted(connection, item):
                raise BankError(
                    worded(
                        "{identifier}: expected an item that results cast doubt on; `itembank "
                        "status` "
                        "lists them",
                        identifier=identifier,
                    )
                )
            decisions.decide(connection, item, fingerprint, reviewer, "key", "cleared", comment)


# ------------------------------------------------------------ as data


def _rounded(value: float | Fraction | None) -> float | None:
    return None if value is None else round(float(value), 4)


def _facts_of_item(report: ItemReport) -> dict[str, Any]:
    return {
        "difficulty": _rounded(report.difficulty),
        "interval": [_rounded(bound) for bound in report.interval],
        "r": _rounded(report.r),
        "answers": dict(report.answers),
        "slips": dict(report.slips),
        "flags": list(report.flags),
    }


def _recorded_facts(report: ItemReport) -> dict[str, Any]:
    """With what usage data needs besides; the average score is exact."""
    return _facts_of_item(report) | {
        "score": str(report.difficulty * report.points),
        "r_total": _rounded(report.r_total),
        "options": dict(report.options),
    }


def _facts_of_family(report: FamilyReport) -> dict[str, Any]:
    h = report.homogeneity
    return {
        "family": report.family,
        "variants": {name: list(counts) for name, counts in report.variants.items()},
        "pooled": _rounded(h.pooled),
        "chi_square": _rounded(h.chi_square),
        "p": _rounded(h.p),
        "tau": _rounded(h.tau),
        "spread": _rounded(h.spread),
        "slips": dict(report.slips),
        "flags": list(report.flags),
    }


def _facts_of_test(report: TermReport) -> dict[str, Any]:
    return {
        "release": report.release,
        "questions": report.questions,
        "complete": report.complete,
        "reliability": _rounded(report.reliability),
        "standard_error": _rounded(report.standard_error),
        "families": [_facts_of_family(f) for f in report.families],
        "unknown": list(report.unknown),
    }


def item_statistics(bank: Bank, release: str) -> list[ItemStatistics]:
    """What is on record of the items of a release, as QTI usage data tells it.

    Several reports are taken together; a correlation is that of one report, and of several there
    is none.  Raises ReportError where nothing is on record.
    """
    with bank.reading() as connection:
        found = releases.released(connection, release)
        term = entries.known_term(connection, found.term)
        usages = [
            one
            for recorded in reported.standing(connection, term, release)
            for one in recorded.report.usages
        ]
        of_item: dict[int, list[Usage]] = defaultdict(list)
        for one in usages:
            of_item[one.item].append(one)
        names = [name for name, _t, _f in entries.named(connection, sorted(of_item))]
    if not usages:
        raise ReportError(
            worded(
                "release {release}: no results are on record; `itembank results {release} "
                "FILE` reads them",
                release=release,
            )
        )
    return [
        _statistics_of(name, of_item[number])
        for name, number in zip(names, sorted(of_item), strict=True)
    ]


def _statistics_of(identifier: str, usages: Sequence[Usage]) -> ItemStatistics:
    cases = sum(u.students for u in usages)
    choosing: Counter[str] = Counter()
    for u in usages:
        choosing.update(u.facts["options"])
    return ItemStatistics(
        identifier=identifier,
        cases=cases,
        correct=sum(u.correct for u in usages),
        score=sum((u.students * Fraction(u.facts["score"]) for u in usages), Fraction(0)) / cases,
        r_total=usages[0].facts["r_total"] if len(usages) == 1 else None,
        choosing=choosing,
    )


def as_json(report: TermReport) -> dict[str, Any]:
    return {
        "term": report.term,
        "section": report.section,
        "outcome": report.outcome,
        "students": report.students,
        "repeated": report.repeated,
        **_facts_of_test(report),
        "items": [
            {
                "item": r.identifier,
                "title": r.title,
                "family": r.family,
                "students": r.students,
                "correct": r.correct,
                "advice": r.advice,
                **_facts_of_item(r),
            }
            for r in report.items
        ],
    }
