"""results and clear: what students answered, as statistics, and the doubts that they cast."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from itembank.cli.arguments import bank_of, opened_bank
from itembank.cli.console import echo, json_option, say_json
from itembank.cli.options import bank_option, dry_run_option
from itembank.values.worded import figure, joined, laid_out, tallied, worded

if TYPE_CHECKING:
    from itembank.terms.reports import Attempt
    from itembank.terms.results import FamilyReport, ItemReport, TermReport


@click.command()
@click.argument("release", metavar="RELEASE")
@click.argument(
    "files",
    metavar="[FILE]...",
    nargs=-1,
    type=click.Path(exists=True, path_type=Path),
)
@click.option(
    "--student", metavar="COLUMN", help="Of a table: the column that tells students apart."
)
@click.option("--item", metavar="COLUMN", help="Of a table: the item, by identifier or title.")
@click.option("--score", metavar="COLUMN", help="Of a table: the score.")
@click.option("--most", metavar="COLUMN", help="Of a table: the score of a right answer.")
@click.option("--response", metavar="COLUMN", help="Of a table: what was chosen or typed.")
@click.option(
    "--attempt",
    type=click.Choice(["first", "best", "last"]),
    help="Of several attempts at a question: the one that counts.",
)
@click.option("--section", metavar="NAME", help="The results are of this section of the students.")
@click.option(
    "--replace",
    "replacing",
    is_flag=True,
    help="Take the place of what is on record of the same students, as after a regrade.",
)
@click.option(
    "--page",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the report as one HTML page for the instructor; no student is in it.",
)
@click.option(
    "--usage-data",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write all that is on record of the release as QTI usage data.",
)
@click.option(
    "--usage-version",
    type=click.Choice(["qti21", "qti30"]),
    default="qti30",
    show_default=True,
    help="The version of the usage data.",
)
@bank_option
@dry_run_option
@json_option
def results(
    release: str,
    files: tuple[Path, ...],
    student: str | None,
    item: str | None,
    score: str | None,
    most: str | None,
    response: str | None,
    attempt: "Attempt | None",
    section: str | None,
    replacing: bool,
    page: Path | None,
    usage_data: Path | None,
    usage_version: str,
    bank: str | None,
    dry_run: bool,
    as_json: bool,
) -> None:
    """Read what students answered in a RELEASE, report statistics, and record them.

    A FILE is a QTI result report (2.1 to 3.0), a folder of them, or a table (CSV, with commas,
    semicolons, tabs or bars) whose columns the options name: with --item and --score it has a row
    for each student and question, with --student alone a row for each student and a column for
    each question, under its identifier or title; a table that graders of a quiz on paper filled
    (grades-*.csv) needs no option. No name of a student is recorded.

    Results count once: those of a release, or of each of its sections, are read together, and
    read again only with --replace.

    A question whose key is in doubt is not drawn again until it is cleared (see clear), and one
    that has become known is retired.

    \b
    Examples:
      itembank results congruences-quiz-2027-spring reports --bank nt210.db
      itembank results quiz-2027-spring quiz.csv --student id --item question --score points
      itembank results quiz-2027-spring grades.csv --student id --attempt best
      itembank results quiz-2027-spring grades-quiz-2027-spring.csv
      itembank results quiz-2027-spring regraded --section 2 --replace
      itembank results quiz-2027-spring reports --page results.html
      itembank results quiz-2027-spring --usage-data usage.xml
    """
    from exporters.usagedata import usage_data as document
    from itembank.terms import results as returning
    from itembank.terms.tables import Columns
    from itembank.values.files import refuse_unless_writable, write_whole

    columns = None
    if student and ((item and score) or not (item or score or most or response)):
        columns = Columns(student=student, item=item, score=score, most=most, response=response)
    elif student or item or score or most or response:
        raise click.UsageError(
            worded("a table needs --student, and --item and --score if each row is of one question")
        )
    if not files and usage_data is None:
        raise click.UsageError(
            worded("expected a FILE with results, or --usage-data to write what is on record")
        )
    section = " ".join(section.split()) if section is not None else None
    if section == "":
        raise click.UsageError(worded("--section: expected the name of a section, got a blank"))
    if dry_run and (usage_data is not None or page is not None):
        raise click.UsageError(
            worded("--dry-run writes no file; say it without --usage-data and --page")
        )
    if page is not None and not files:
        raise click.UsageError(
            worded("--page tells of the results that are read; name a FILE with them")
        )
    refuse_unless_writable(*filter(None, (usage_data, page)))
    kept = opened_bank(bank_of("", bank))
    report = None
    if files:
        report = returning.record_results(
            kept, release, files, columns, section or "", replacing, attempt, keep=not dry_run
        )
    if page is not None and report is not None:
        from itembank.terms.results_page import results_page

        write_whole(page, results_page(kept, report))
    if usage_data is not None:
        statistics = returning.item_statistics(kept, release)
        context = f"urn:itembank:release:{release}"
        write_whole(usage_data, document(usage_version, context, statistics))
        if report is None:
            _tell_usage(usage_data, release, len(statistics), as_json)
    if report is None:
        return
    if as_json:
        say_json(returning.as_json(report))
        return
    for line in _lines(report):
        echo(line)
    if page is not None:
        echo(worded("{file}: for the instructor, who needs only a browser", file=page))
    if dry_run:
        echo(worded("a dry run: nothing of this was kept"))


def _tell_usage(path: Path, release: str, items: int, as_json: bool) -> None:
    if as_json:
        say_json({"release": release, "usage_data": str(path), "items": items})
    else:
        echo(
            worded(
                "{path}: usage data of {items} items of {release}",
                path=path,
                items=items,
                release=release,
            )
        )


def _lines(report: "TermReport") -> Iterator[str]:
    """The report as a page of text: flags first, then families with their variants, the test.

    Of a few students there are counts alone.
    """
    flagged = [item for item in report.items if item.flags]
    for item in sorted(flagged, key=lambda i: "key" not in " ".join(i.flags)):
        yield laid_out(
            "{item} {title}: {flags}",
            item=item.identifier,
            title=item.title,
            flags=joined("; ", item.flags),
        )
    for family in report.families:
        yield from _family_lines(family, [i for i in report.items if i.family == family.family])
    yield _reliability_line(report)
    if report.repeated:
        yield tallied(
            "{n} row repeats another and counts once",
            "{n} rows repeat another and count once",
            report.repeated,
        )
    if report.outcome == "unchanged":
        yield worded("these results were on record already; nothing was added")
    elif report.outcome == "replaced":
        yield worded("on record in place of results of {n} students", n=report.replaced)
    if report.unknown:
        yield worded("not of this release: {items}", items=", ".join(report.unknown[:5]))


def _reliability_line(report: "TermReport") -> str:
    """KR-20 of all questions, or why it is not told."""
    from itembank.terms.statistics import FEW

    met = {"n": report.complete, "of": report.students}
    if 0 < report.complete < FEW:
        return worded(
            "KR-20: not shown, {n} of {of} met every question (from {few} on)", few=FEW, **met
        )
    if report.reliability is None or report.standard_error is None:
        return worded("KR-20: not defined ({n} of {of} met every question)", **met)
    return worded(
        "KR-20 {kr20}, standard error of measurement {error} of {questions} questions, from {n} of "
        "{of} students",
        kr20=figure(f"{float(report.reliability):.2f}"),
        error=figure(f"{report.standard_error:.2f}"),
        questions=report.questions,
        **met,
    )


def _family_lines(family: "FamilyReport", items: "list[ItemReport]") -> Iterator[str]:
    from itembank.terms.statistics import FEW, LEAST_EXPECTED

    h, answers = family.homogeneity, [of for _right, of in family.variants.values()]
    right = sum(right for right, _of in family.variants.values())
    more = [worded("{n} of {of} right", n=right, of=sum(answers))]
    if sum(answers) >= FEW:
        more.append(worded("pooled p {p}", p=figure(f"{float(h.pooled):.2f}")))
    rarer = min(h.pooled, 1 - h.pooled) * min(answers)
    if h.p is not None and h.tau is not None and rarer >= LEAST_EXPECTED:
        more.append(
            worded(
                "alike with probability {p}, tau {tau}",
                p=figure(f"{h.p:.2f}"),
                tau=figure(f"{h.tau:.2f}"),
            )
        )
    told = joined(", ", (*more, *family.flags))
    yield laid_out("{family}: {told}", family=family.family, told=told)
    for item in items:
        yield laid_out("  {item} {counts}", item=item.identifier, counts=_counts(item))
    if family.slips:
        slips = ", ".join(f"{name} {n}" for name, n in family.slips.items())
        yield worded("  slips: {slips}", slips=slips)


def _counts(item: "ItemReport") -> str:
    """Counts alone for a few students; from 30 on the difficulty and the correlation too."""
    from itembank.terms.statistics import FEW

    if item.students < FEW:
        return worded("{n} of {of} right", n=item.correct, of=item.students)
    low, high = item.interval
    return worded(
        "{n} of {of} right, p {p} ({low} to {high}), item-rest {r}",
        n=item.correct,
        of=item.students,
        p=figure(f"{float(item.difficulty):.2f}"),
        low=figure(f"{low:.2f}"),
        high=figure(f"{high:.2f}"),
        r=worded("not defined") if item.r is None else figure(f"{item.r:.2f}"),
    )


# ------------------------------------------------------------ clear


@click.command()
@click.argument("items", metavar="ITEM...", nargs=-1, required=True)
@click.option("--by", "reviewer", required=True, help="The person who checked the key.")
@click.option("--because", required=True, help="What was found, as it goes on record.")
@bank_option
@json_option
def clear(
    items: tuple[str, ...], reviewer: str, because: str, bank: str | None, as_json: bool
) -> None:
    """Record that a person checked items that results cast doubt on, and that they stand.

    Their questions may be drawn again. An item whose key is wrong is withdrawn instead (see
    withdraw); `status` lists the items in doubt.

    \b
    Example:
      itembank clear item-0123456789abcdef --by "R. Moss" --because "key is right"
    """
    from itembank.terms import results as returning

    returning.clear(opened_bank(bank_of("", bank)), items, reviewer, because)
    if as_json:
        say_json({"cleared": list(items), "by": reviewer})
        return
    for item in items:
        echo(
            worded(
                "{item}: cleared by {reviewer}: {because}",
                item=item,
                reviewer=reviewer,
                because=because,
            )
        )
