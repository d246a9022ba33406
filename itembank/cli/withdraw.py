"""withdraw and rescoring: items taken out, and what is written about them."""

import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from itembank.cli.arguments import bank_of, opened_bank
from itembank.cli.console import echo, json_option, progress, say_json
from itembank.cli.make import made_as_json
from itembank.cli.options import bank_option, dry_run_option, out_option, to_option
from itembank.values import files
from itembank.values.worded import worded

if TYPE_CHECKING:
    from exporters.notices import Withdrawn
    from itembank.terms.withdrawal import Withdrawal


@click.command()
@click.argument("items", metavar="ITEM...", nargs=-1, required=True)
@click.option("--because", required=True, help="The reason, as it goes on record.")
@out_option
@to_option
@bank_option
@dry_run_option
@json_option
def withdraw(
    items: tuple[str, ...],
    because: str,
    out: Path,
    formats: tuple[str, ...],
    bank: str | None,
    dry_run: bool,
    as_json: bool,
) -> None:
    """Take items out, list where they were used, and write the corrected packages.

    An ITEM is named by its identifier, as packages and the packet show it. The folder gets a note
    for rescoring for each item, and for each pool and term that held the items the packages
    without them. A parallel form gets an equal question in its place; the other forms stay as they
    are. The exit code is 1 where something is left to do; `rescoring` completes it later.

    \b
    Example:
      itembank withdraw item-0123456789abcdef --because "two readings" --bank nt210.db --out new
    """
    from itembank.terms import withdrawal as withdrawing

    kept = opened_bank(bank_of("", bank))
    if dry_run:
        questions = withdrawing.would_withdraw(kept, items, because)
        if as_json:
            say_json({"dry_run": True, "withdrawn": [*map(_question_as_json, questions)]})
            return
        for line in _lines_of(questions, _would_be, [because] * len(questions)):
            echo(line)
        return
    folder = files.folder(out)
    with progress("withdraw", len(items)) as done:
        withdrawal = withdrawing.withdraw(kept, items, because, folder, formats, done)
    _tell(withdrawal, _is_withdrawn, folder, as_json)


@click.command()
@click.argument("items", metavar="ITEM...", nargs=-1, required=True)
@out_option
@to_option
@bank_option
@json_option
def rescoring(
    items: tuple[str, ...], out: Path, formats: tuple[str, ...], bank: str | None, as_json: bool
) -> None:
    """Write the note for rescoring and the corrected packages of withdrawn items again.

    The same files as `withdraw` leaves, at any time after it. What could not be corrected then, as
    where a group had too few questions left, is corrected now if the bank holds what is needed; the
    exit code is 1 where something is still left to do.

    \b
    Example:
      itembank rescoring item-0123456789abcdef --bank nt210.db --out new
    """
    from itembank.terms import withdrawal as withdrawing

    kept = opened_bank(bank_of("", bank))
    folder = files.folder(out)
    with progress("rescoring", len(items)) as done:
        withdrawal = withdrawing.rescoring(kept, items, folder, formats, done)
    _tell(withdrawal, _was_withdrawn, folder, as_json)


def _tell(
    withdrawal: "Withdrawal", head: Callable[[str, str], str], folder: Path, as_json: bool
) -> None:
    if as_json:
        say_json(_withdrawal_as_json(withdrawal, folder))
    else:
        for line in _lines_of(withdrawal.questions, head, withdrawal.reasons):
            echo(line)
        for note in withdrawal.notes:
            echo(worded("{file}: for whoever rescores", file=note))
        for made in withdrawal.corrected:
            for written, report in made.packages:
                echo(
                    worded(
                        "{file}: {n} items, all agreed",
                        file=folder / written.file,
                        n=len(report.items),
                    )
                )
        for left in withdrawal.uncorrected:
            echo(left, err=True)
    if withdrawal.uncorrected:
        sys.exit(1)


def _lines_of(
    questions: "Sequence[Withdrawn]", head: Callable[[str, str], str], reasons: Sequence[str]
) -> Iterator[str]:
    """What is told of each question; `head` says what became of it and why."""
    for question, reason in zip(questions, reasons, strict=True):
        yield head(question.identifier, reason)
        for a in question.affected:
            yield worded(
                "  release {release} ({term}), {group}: a student draws {n} of {of}",
                release=a.release,
                term=a.term,
                group=a.group,
                n=a.choose,
                of=a.of,
            )
        for form in question.forms:
            yield worded("  {form}, not released", form=form)
        if question.right_key is None:
            yield worded("  its key could not be found again: {why}", why=question.why_none)
        elif not question.key_stands:
            yield worded(
                "  the released key was wrong; the right one is {key}", key=question.right_key
            )


def _would_be(item: str, reason: str) -> str:
    return worded("{item}: would be withdrawn: {reason}", item=item, reason=reason)


def _is_withdrawn(item: str, reason: str) -> str:
    return worded("{item}: withdrawn: {reason}", item=item, reason=reason)


def _was_withdrawn(item: str, reason: str) -> str:
    return worded("{item}: was withdrawn: {reason}", item=item, reason=reason)


def _question_as_json(question: "Withdrawn") -> dict[str, object]:
    return {
        "item": question.identifier,
        "released_key": question.released_key,
        "right_key": question.right_key,
        "releases": [a.release for a in question.affected],
        "forms": list(question.forms),
    }


def _withdrawal_as_json(withdrawal: "Withdrawal", folder: Path) -> dict[str, object]:
    return {
        "withdrawn": [*map(_question_as_json, withdrawal.questions)],
        "notes": [str(note) for note in withdrawal.notes],
        "corrected": [made_as_json(made, folder) for made in withdrawal.corrected],
        "uncorrected": list(withdrawal.uncorrected),
    }
