"""check: the faults of spec files, and what their families can give."""

import sys
from pathlib import Path

import click

from itembank.cli.arguments import workers
from itembank.cli.console import echo, json_option, say_json
from itembank.cli.options import cluster_option, jobs_option


@click.command()
@click.argument(
    "paths",
    metavar="PATH...",
    nargs=-1,
    required=True,
    type=click.Path(exists=True, path_type=Path),
)
@click.option(
    "--exact",
    is_flag=True,
    help="Count all variants and score guessers on 200 of them; else both are told from a sample.",
)
@jobs_option
@cluster_option
@json_option
def check(
    paths: tuple[Path, ...], exact: bool, jobs: int, cluster: str | None, as_json: bool
) -> None:
    """Check spec files: faults, capacity, acceptance, effort, slips, and what guessers score.

    A PATH is a family, a pool, or a folder of them. What is told from a sample is said; too few
    variants and a level that does not fit are faults only after the whole count.

    \b
    Example:
      itembank check specs
    """
    from itembank.pipeline import appraisal

    rows = []
    with workers(jobs, cluster) as executor:
        for report in appraisal.reports(paths, exact, executor):
            rows.append(report)
            if not as_json:
                echo(report.as_text())
    if as_json:
        say_json([report.as_json() for report in rows])
    if any(report.faults for report in rows):
        sys.exit(1)
