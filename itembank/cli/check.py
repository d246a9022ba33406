"""check: the faults of spec files, and what their families can give."""

import os
import sys
from pathlib import Path

import click

from itembank.cli.arguments import workers
from itembank.cli.console import echo, json_option, say_json
from itembank.cli.options import cluster_option, jobs_option
from itembank.cli.speech import LANGUAGE
from itembank.values.collecting import collecting_after
from itembank.values.worded import tallied

_YOUNG = 2_000_000
"""Objects after which a check looks for cycles, some 200 MB of them: the shipped library makes
fewer.  Most are kept for the next family, and to go through them took a twentieth of the time."""


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
@click.option(
    "--fresh",
    is_flag=True,
    help="Check all anew, also families that have not changed since no fault was found in them.",
)
@jobs_option
@cluster_option
@json_option
def check(
    paths: tuple[Path, ...],
    exact: bool,
    fresh: bool,
    jobs: int,
    cluster: str | None,
    as_json: bool,
) -> None:
    """Check spec files: faults, capacity, acceptance, effort, slips, and what guessers score.

    A PATH is a family, a pool, or a folder of them. What is told from a sample is said; too few
    variants and a level that does not fit are faults only after the whole count. A family that
    was without fault and has not changed since is told as it was found then.

    \b
    Example:
      itembank check specs
    """
    from itembank.pipeline import appraisal
    from itembank.pipeline.kept import Kept, Told
    from itembank.values.cache import Cache, folder_of

    rows = []
    folder = folder_of(os.environ)
    kept = Kept(Cache(folder), LANGUAGE.get(), exact, anew=fresh) if folder else None
    try:
        with collecting_after(_YOUNG), workers(jobs, cluster) as executor:
            for report in appraisal.reports(paths, exact, executor, kept):
                rows.append(report)
                if not as_json:
                    echo(report.as_text())
    finally:
        if kept:
            kept.write()
    if as_json:
        say_json([report.as_json() for report in rows])
    elif before := sum(isinstance(report, Told) for report in rows):
        echo(
            tallied(
                "1 family is told as it was checked before; --fresh checks it anew",
                "{n} families are told as they were checked before; --fresh checks them anew",
                before,
            ),
            err=True,
        )
    if any(report.faults for report in rows):
        sys.exit(1)
