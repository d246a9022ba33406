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
from itembank.terms import reports as results
from itembank.terms import statistics
from itembank.terms.reports import Answered, Columns
from itembank.terms.wording import edition_of, in_words_of
from itembank.values.errors import BankError, ReportError
from itembank.values.item import Item

NO_SLIP = "no slip known"
NOTHING = "nothing"

FUNCTIONAL = Fraction(1, 20)
"""A wrong answer counts once one in twenty gives it (DiBattista & Kurzawa 2011)."""

COMMONEST = 8
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
            f"{answered.where}: {item.identifier}: expected a score of 0 to {most}, "
            f"got {answered.score}"
        )
    share = answered.score / most
    if answered.response is None:
        return Mark(number, share, None, ())
    form = form_of(item.response)
    given = form.given(item.response, answered.response)
    return Mark(
        number,
        share,
        ", ".join(map(str, given)) if given else NOTHING,
        () if share == 1 or not answered.response else slips_of(item, given),
        tuple(map(str, given)) if form.options(item.response) else (),
    )


def slips_of(item: Item, given: Answer) -> tuple[str, ...]:
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
    points: int
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

    section: of the students, or "" for all.  outcome: whether it is on record by this reading, by
    one before, or in place of others (`replaced`: how many students those counted).
    """

    release: str
    section: str = ""
    outcome: Outcome = "new"
    replaced: int = 0
    term: str
    students: int
    complete: int
    questions: int
    reliability: Fraction | None
    standard_error: float | None
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
) -> TermReport:
    """Read results of a release, report on them, and record the statistics in the bank.

    They stand for all students of the release, or of the section.  Results that were recorded
    before are reported again, and not counted twice; others of the same students are refused, or
    replace what is on record.  Raises ReportError, also where nothing fits the release.
    """
    answered = list(results.answers(paths, columns))
    with bank.reading() as connection:
        found = releases.released(connection, release)
        of_release = usage.released(connection, found.number)
        choices = usage.choices(connection, found.number)
        numbers = [r.item for r in of_release]
        items = dict(zip(numbers, entries.stored_items(connection, numbers), strict=True))
        term = entries.known_term(connection, found.term)
        earlier = {r.item: usage.earlier_uses(connection, r.problem, term) for r in of_release}
    students, unknown = marks(answered, items)
    if not students:
        raise ReportError(
            f"results: no item of them is one of the release {release}; they name "
            + (", ".join(unknown[:3]) or "none")
        )
    reports = item_reports(students, of_release, items, earlier)
    reliability, error, complete, questions = reliability_of(students, of_release, choices)
    report = TermReport(
        release=release,
        section=section,
        term=found.term,
        students=len(students),
        complete=complete,
        questions=questions,
        reliability=reliability,
        standard_error=error,
        items=tuple(reports.values()),
        families=tuple(family_reports(reports.values())),
        unknown=unknown,
    )
    of_record = reported.Report(
        release=release,
        section=section,
        source=results.fingerprint(paths),
        students=report.students,
        usages=[
            Usage(number, r.students, r.correct, r.advice, recorded_facts(r))
            for number, r in reports.items()
        ],
    )
    with bank.writing() as connection:
        outcome, gone = reported.record(
            connection, term, of_record, facts_of_test(report), replacing
        )
    return replace(report, outcome=outcome, replaced=sum(one.students for one in gone))


Students = Mapping[str, Sequence[Mark]]


def marks(
    answered: Iterable[Answered], items: Mapping[int, Item]
) -> tuple[dict[str, list[Mark]], tuple[str, ...]]:
    """The marks of each student; and the names of items that the release does not hold.

    Items are known by identifier, in whatever language of their pool, or by title, as some
    platforms keep only that.
    """
    known: dict[str, tuple[int, Item]] = {}
    for number, item in items.items():
        for form in (item, item.plain):
            if form is not None:
                known[form.identifier] = number, form
                known.setdefault(form.title, (number, form))
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
            students[one.student].append(mark(in_first_language(one, item, language), item, number))
    return dict(students), tuple(unknown)


def in_first_language(answered: Answered, item: Item, language: str) -> Answered:
    """An answer in another language (not "") in the words of the item on record."""
    if not language or not answered.response:
        return answered
    return replace(answered, response=in_words_of(item, language, answered.response))


def item_reports(
    students: Students,
    of_release: Sequence[Released],
    items: Mapping[int, Item],
    earlier: Mapping[int, tuple[int, int]],
) -> dict[int, ItemReport]:
    """A report of each item that anybody had, by number, in the order of the release."""
    of_item: dict[int, list[tuple[Mark, Fraction]]] = defaultdict(list)
    for given in students.values():
        total = sum((m.share for m in given), Fraction(0))
        for m in given:
            of_item[m.item].append((m, total - m.share))
    return {
        r.item: item_report(items[r.item], r.family, of_item[r.item], earlier[r.item])
        for r in of_release
        if r.item in of_item
    }


def item_report(
    item: Item,
    family: str,
    given: Sequence[tuple[Mark, Fraction]],
    earlier: tuple[int, int],
) -> ItemReport:
    shares = [m.share for m, _rest in given]
    rests = [rest for _m, rest in given]
    n, difficulty = len(given), statistics.mean(shares)
    r = statistics.correlation(shares, rests)
    flags = list(statistics.item_flags(n, difficulty, r, lures(given)))
    right = sum(share == 1 for share in shares)
    if easier(right, n, earlier):
        flags.append(statistics.EASIER)
    answers = Counter(m.answer for m, _rest in given if m.answer is not None)
    slips = Counter(slip for m, _rest in given for slip in m.slips)
    return ItemReport(
        identifier=item.identifier,
        title=item.title,
        family=family,
        students=n,
        correct=right,
        difficulty=difficulty,
        interval=statistics.wilson(sum(shares, Fraction(0)), n),
        r=r,
        r_total=statistics.correlation(
            shares, [s + rest for s, rest in zip(shares, rests, strict=True)]
        ),
        answers=dict(answers.most_common(COMMONEST)),
        options=dict(Counter(option for m, _rest in given for option in m.options)),
        points=item.scoring.points,
        slips=dict(slips.most_common()),
        flags=tuple(flags),
        advice=advice(flags),
    )


def lures(given: Sequence[tuple[Mark, Fraction]]) -> bool:
    """Whether a wrong answer draws the better students: then the key is suspected.

    It is given by one in twenty at least, and either most of the best fifth give it, or it goes
    with the score on the rest - among few students only where that is beyond chance.
    """
    n = len(given)
    rests = [rest for _m, rest in given]
    if n < statistics.FEW or len(set(rests)) < 2:
        return False
    best = sorted(given, key=lambda pair: pair[1])[-max(1, n // 5) :]
    threshold = 0.0 if n >= statistics.ENOUGH else 2 * statistics.standard_error_of_r(n)
    wrong = Counter(wrong_answer(m) for m, _rest in given)
    del wrong[None]
    for answer, count in wrong.items():
        if Fraction(count, n) < FUNCTIONAL:
            continue
        r = statistics.correlation([int(wrong_answer(m) == answer) for m, _rest in given], rests)
        most = 2 * sum(wrong_answer(m) == answer for m, _rest in best) > len(best)
        if most or (r is not None and r > threshold):
            return True
    return False


def wrong_answer(m: Mark) -> str | None:
    """What was answered, if it was wrong; a blank is no answer."""
    return None if m.share == 1 or m.answer == NOTHING else m.answer


def easier(right: int, n: int, earlier: tuple[int, int]) -> bool:
    """Whether the problem is easier than in its other uses, which may mean that it is known."""
    before, of = earlier
    if min(n, of) < statistics.FEW:
        return False
    return Fraction(right, n) - Fraction(before, of) > statistics.RISE


def advice(flags: Sequence[str]) -> str:
    """What the next draw does: rest until a person has checked the key, retire, or keep."""
    if statistics.CHECK_KEY in flags:
        return "rest"
    return "retire" if statistics.EASIER in flags else "keep"


def family_reports(reports: Iterable[ItemReport]) -> Iterator[FamilyReport]:
    of_family: dict[str, list[ItemReport]] = defaultdict(list)
    for report in reports:
        of_family[report.family].append(report)
    for family, variants in of_family.items():
        counts = {v.identifier: (v.correct, v.students) for v in variants}
        slips: Counter[str] = Counter()
        for v in variants:
            slips.update(v.slips)
        unlike = statistics.not_alike(list(counts.values()))
        yield FamilyReport(
            family=family,
            variants=counts,
            homogeneity=statistics.homogeneity(list(counts.values())),
            slips=dict(slips.most_common()),
            flags=(statistics.NOT_ALIKE,) if unlike else (),
        )


def reliability_of(
    students: Students, of_release: Sequence[Released], choices: Mapping[int, int]
) -> tuple[Fraction | None, float | None, int, int]:
    """KR-20 and its standard error, from how many students, over how many questions."""
    group = {r.item: r.group for r in of_release}
    questions = sum(choices.values())
    table = []
    for given in students.values():
        of_group: dict[int, list[Fraction]] = defaultdict(list)
        for m in sorted(given, key=lambda m: m.item):
            of_group[group[m.item]].append(m.share)
        if {g: len(of_group[g]) for g in choices} == dict(choices):
            table.append([share for g in choices for share in of_group[g]])
    if questions < 2 or len(table) < 2:
        return None, None, len(table), questions
    return (
        statistics.kr20(table),
        statistics.standard_error(table),
        len(table),
        questions,
    )


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
                    f"{identifier}: expected an item that results cast doubt on; `itembank status` "
                    "lists them"
                )
            decisions.decide(connection, item, fingerprint, reviewer, "key", "cleared", comment)


# ------------------------------------------------------------ as data


def rounded(value: float | Fraction | None) -> float | None:
    return None if value is None else round(float(value), 4)


def facts_of_item(report: ItemReport) -> dict[str, Any]:
    return {
        "difficulty": rounded(report.difficulty),
        "interval": [rounded(bound) for bound in report.interval],
        "r": rounded(report.r),
        "answers": dict(report.answers),
        "slips": dict(report.slips),
        "flags": list(report.flags),
    }


def recorded_facts(report: ItemReport) -> dict[str, Any]:
    """With what usage data needs besides; the average score is exact."""
    return facts_of_item(report) | {
        "score": str(report.difficulty * report.points),
        "r_total": rounded(report.r_total),
        "options": dict(report.options),
    }


def facts_of_family(report: FamilyReport) -> dict[str, Any]:
    h = report.homogeneity
    return {
        "family": report.family,
        "variants": {name: list(counts) for name, counts in report.variants.items()},
        "pooled": rounded(h.pooled),
        "chi_square": rounded(h.chi_square),
        "p": rounded(h.p),
        "tau": rounded(h.tau),
        "spread": rounded(h.spread),
        "slips": dict(report.slips),
        "flags": list(report.flags),
    }


def facts_of_test(report: TermReport) -> dict[str, Any]:
    return {
        "release": report.release,
        "questions": report.questions,
        "complete": report.complete,
        "reliability": rounded(report.reliability),
        "standard_error": rounded(report.standard_error),
        "families": [facts_of_family(f) for f in report.families],
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
            f"release {release}: no results are on record; `itembank results {release} FILE` "
            "reads them"
        )
    return [
        statistics_of(name, of_item[number])
        for name, number in zip(names, sorted(of_item), strict=True)
    ]


def statistics_of(identifier: str, usages: Sequence[Usage]) -> ItemStatistics:
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
        **facts_of_test(report),
        "items": [
            {
                "item": r.identifier,
                "title": r.title,
                "family": r.family,
                "students": r.students,
                "correct": r.correct,
                "advice": r.advice,
                **facts_of_item(r),
            }
            for r in report.items
        ],
    }
