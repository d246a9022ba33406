"""reports: the results on record, and taking one back."""

from typing import TYPE_CHECKING, Any

import click

from itembank.cli.arguments import bank_of, opened_bank
from itembank.cli.console import json_option, say_json
from itembank.cli.options import bank_option

if TYPE_CHECKING:
    from itembank.bank.reported import Filed


@click.command()
@click.argument("release", metavar="[RELEASE]", default="")
@click.option("--take-back", "number", type=int, metavar="NUMBER", help="The report to take back.")
@click.option("--because", metavar="REASON", help="Why it is taken back, as it goes on record.")
@bank_option
@json_option
def reports(
    release: str, number: int | None, because: str | None, bank: str | None, as_json: bool
) -> None:
    """List the results that `results` read, of a RELEASE or of all, or take one back.

    What was taken back, or replaced, stays on record and counts no longer.

    \b
    Examples:
      itembank reports --bank nt210.db
      itembank reports --take-back 3 --because "results of another course" --bank nt210.db
    """
    from itembank.bank import reported

    if (number is None) != (because is None):
        raise click.UsageError("a report is taken back with --take-back NUMBER --because REASON")
    kept = opened_bank(bank_of("", bank))
    if number is not None and because is not None:
        reason = " ".join(because.split())
        if not reason:
            raise click.UsageError("--because: expected a reason, got a blank")
        with kept.writing() as connection:
            gone = reported.take_back(connection, number, reason)
        if as_json:
            say_json({"taken_back": number, "because": reason})
        else:
            click.echo(f"{number}: taken back, {whose(gone)}: {reason}")
        return
    with kept.reading() as connection:
        found = reported.filed(connection, release)
    if as_json:
        say_json([as_facts(one) for one in found])
        return
    for one in found:
        click.echo(f"{one.number}: {one.recorded}, {whose(one)}{standing(one)}")
    if not found:
        click.echo(f"no results of {release} are on record" if release else "no results on record")


def whose(one: "Filed") -> str:
    section = f", section {one.section}" if one.section else ""
    students = "1 student" if one.students == 1 else f"{one.students} students"
    return f"{one.release} ({one.term}){section}, {students}"


def standing(one: "Filed") -> str:
    """Nothing of a report that counts."""
    if one.taken_back is not None:
        return f"; taken back: {one.taken_back}"
    return "" if one.successor is None else f"; report {one.successor} took its place"


def as_facts(one: "Filed") -> dict[str, Any]:
    return {
        "number": one.number,
        "recorded": one.recorded,
        "term": one.term,
        "release": one.release,
        "section": one.section,
        "students": one.students,
        "counts": one.counts,
        "replaced_by": one.successor,
        "taken_back": one.taken_back,
    }
