"""reports: the results on record, and taking one back."""

from typing import TYPE_CHECKING, Any

import click

from itembank.cli.arguments import bank_of, opened_bank
from itembank.cli.console import echo, json_option, say_json
from itembank.cli.options import bank_option
from itembank.values.worded import joined, laid_out, tallied, worded

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
        raise click.UsageError(
            worded("a report is taken back with --take-back NUMBER --because REASON")
        )
    kept = opened_bank(bank_of("", bank))
    if number is not None and because is not None:
        reason = " ".join(because.split())
        if not reason:
            raise click.UsageError(worded("--because: expected a reason, got a blank"))
        with kept.writing() as connection:
            gone = reported.take_back(connection, number, reason)
        if as_json:
            say_json({"taken_back": number, "because": reason})
        else:
            echo(
                worded(
                    "{number}: taken back, {report}: {reason}",
                    number=number,
                    report=_whose(gone),
                    reason=reason,
                )
            )
        return
    with kept.reading() as connection:
        found = reported.filed(connection, release)
    if as_json:
        say_json([_as_facts(one) for one in found])
        return
    for one in found:
        echo(
            laid_out(
                "{number}: {recorded}, {whose}{standing}",
                number=one.number,
                recorded=one.recorded,
                whose=_whose(one),
                standing=_standing(one),
            )
        )
    if not found:
        echo(
            worded("no results of {release} are on record", release=release)
            if release
            else worded("no results on record")
        )


def _whose(one: "Filed") -> str:
    parts = [
        laid_out("{release} ({term})", release=one.release, term=one.term),
        *([worded("section {section}", section=one.section)] if one.section else ()),
        tallied("{n} student", "{n} students", one.students),
    ]
    return joined(", ", parts)


def _standing(one: "Filed") -> str:
    """Nothing of a report that counts."""
    if one.taken_back is not None:
        return worded("; taken back: {why}", why=one.taken_back)
    if one.successor is None:
        return ""
    return worded("; report {number} took its place", number=one.successor)


def _as_facts(one: "Filed") -> dict[str, Any]:
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
