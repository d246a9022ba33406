"""audit: a finished package read again."""

import sys
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from itembank.cli.arguments import workers
from itembank.cli.console import echo, json_option, say_json
from itembank.cli.options import cluster_option, jobs_option
from itembank.values.worded import joined, worded

if TYPE_CHECKING:
    from itembank.audit.guessed import Guessed


@click.command()
@click.argument(
    "packages", metavar="PACKAGE...", nargs=-1, required=True, type=click.Path(path_type=Path)
)
@click.option(
    "--against",
    type=click.Path(path_type=Path),
    metavar="RELEASED",
    help="The package that was released: what did the platform keep of it?",
)
@click.option(
    "--writing",
    is_flag=True,
    help="Judge the writing of items too, and how easily they are guessed.",
)
@jobs_option
@cluster_option
@json_option
def audit(
    packages: tuple[Path, ...],
    against: Path | None,
    writing: bool,
    jobs: int,
    cluster: str | None,
    as_json: bool,
) -> None:
    """Recompute every key of a finished package from what the student sees.

    With --against, compare packages that a platform exported with the one released; order and
    identifiers may differ. With --writing, the rules of item writing are checked as well, and it is
    told what students score who guess.

    \b
    Examples:
      itembank audit packages/week-3-homework-2027-spring-qti21.zip --writing
      itembank audit exported-back.zip --against packages/week-3-homework-2027-spring-qti21.zip
    """
    from itembank.audit import audit_package

    if against is not None:
        _tell_kept(packages, against, as_json)
        return
    from itembank.audit.guessed import guessed
    from itembank.audit.rules_of_writing import writing_findings

    with workers(jobs, cluster) as executor:
        reports = [audit_package(path, executor) for path in packages]
    judged = [writing_findings(path) if writing else () for path in packages]
    guesses = [guessed(path) if writing else () for path in packages]
    if as_json:
        documents = [
            report.as_json()
            | (
                {"writing": [asdict(f) for f in found], "guessing": _scored(scores)}
                if writing
                else {}
            )
            for report, found, scores in zip(reports, judged, guesses, strict=True)
        ]
        say_json(documents[0] if len(documents) == 1 else documents)
    else:
        for report, found, scores in zip(reports, judged, guesses, strict=True):
            echo(joined("\n", [report.as_text(), *(f.worded for f in found), *map(_told, scores)]))
    faulty = any(finding.severity != "note" for found in judged for finding in found)
    if faulty or not all(report.clean for report in reports):
        sys.exit(1)


def _told(guessed: "Guessed") -> str:
    from itembank.guessing import telling

    figures = guessed.figures
    return worded(
        "guessing: {title}, {n} questions, {guesses}",
        title=guessed.title,
        n=figures.questions,
        guesses=telling.summary(figures),
    )


def _scored(scores: "Sequence[Guessed]") -> list[dict[str, object]]:
    """What guessers score on a package, for programs."""
    from itembank.guessing import telling

    return [
        {"title": s.title, "form": s.figures.form, **telling.as_json(s.figures)} for s in scores
    ]


def _tell_kept(packages: tuple[Path, ...], released: Path, as_json: bool) -> None:
    """What each package kept of the one released; exit 1 unless all of it."""
    from itembank.audit.against import compared

    found = [compared(path, released) for path in packages]
    if as_json:
        documents = [comparison.as_json() for comparison in found]
        say_json(documents[0] if len(documents) == 1 else documents)
    else:
        for comparison in found:
            echo(comparison.as_text())
    if not all(comparison.clean for comparison in found):
        sys.exit(1)
