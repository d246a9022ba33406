"""check: the faults of spec files, and what their families can give."""

import sys
from pathlib import Path

import click

from itembank.cli.console import json_option, say_json


@click.command()
@click.argument(
    "paths",
    metavar="PATH...",
    nargs=-1,
    required=True,
    type=click.Path(exists=True, path_type=Path),
)
@json_option
def check(paths: tuple[Path, ...], as_json: bool) -> None:
    """Check spec files: faults, capacity, acceptance, effort, slips, and what guessers score.

    A PATH is a family, a pool, or a folder of them.

    \b
    Example:
      itembank check specs
    """
    from itembank.pipeline import appraisal

    rows = []
    reports = appraisal.reports(paths)
    for report in reports:
        rows.append(report)
        if not as_json:
            click.echo(report.as_text())
    if as_json:
        say_json([report.as_json() for report in rows])
    if any(report.faults for report in rows):
        sys.exit(1)
