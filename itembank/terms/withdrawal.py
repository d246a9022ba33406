"""Items taken out: marked in the bank, listed where they were used, and released anew without.

The note for rescoring says who is affected, the key as released and as both ways find it now,
and what is suggested; people decide.  Notes are written before the items are marked, and stand
once they are: after a failure at any moment the same command completes what is missing.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from exporters.notices import Affected, Withdrawn, rescoring_note
from exporters.release import Target
from itembank.bank import Bank, entries, forms, releases
from itembank.bank.entries import key_text
from itembank.bank.releases import Holding
from itembank.kinds.statement import problem_from
from itembank.pipeline import selection
from itembank.pipeline.making import Made, Progress, unheard
from itembank.terms import export
from itembank.terms.wording import composed_again
from itembank.values.errors import BankError, ItemBankError
from itembank.values.files import place, put, room, write_whole
from itembank.values.item import Item


@dataclass(frozen=True, kw_only=True)
class Withdrawal:
    """What a withdrawal left: a note for each item, and the corrected release of each pool and
    term."""

    questions: tuple[Withdrawn, ...]
    notes: tuple[Path, ...]
    corrected: tuple[Made, ...]
    uncorrected: tuple[str, ...]


def withdraw(
    bank: Bank,
    names: Sequence[str],
    reason: str,
    out: Path,
    formats: Sequence[str | Target] = (),
    progress: Progress = unheard,
) -> Withdrawal:
    """Mark the items, write a note for each, and release again without them what is on record.

    Corrected packages come in the formats of the packages that they replace, or in `formats`.
    A pool that lacks items after this is named with what to do; the withdrawal stands.  Items
    that were withdrawn for this reason before get the same note, and are corrected again.
    Raises BankError, and marks nothing, for an item that is unknown or was withdrawn for another
    reason before.
    """
    with bank.reading() as connection:
        numbers = [entries.item_number(connection, name) for name in dict.fromkeys(names)]
        for number in numbers:
            releases.refuse_another_reason(connection, number, reason)
        held = [releases.holdings(connection, number) for number in numbers]
        items = list(entries.stored_items(connection, numbers))
        in_forms = [forms.holding(connection, number) for number in numbers]
    questions = tuple(map(question, items, held, in_forms))
    with room(out) as own:
        notes = []
        for item, told in zip(items, questions, strict=True):
            note = rescoring_note(item.language, reason, [told])
            notes.append(note_path(out, item.identifier, note))
            write_whole(own / notes[-1].name, note)
        with bank.writing() as connection:
            for number in numbers:
                releases.withdraw(connection, number, reason)
        for path in notes:
            put(own / path.name, path)
    corrected, uncorrected = [], []
    whole = [h for hs in held for h in hs if not h.release.facts["form"]]
    for pool, term in dict.fromkeys((h.release.pool, h.release.term) for h in whole):
        wanted = formats or targets_of(held, pool, term)
        try:
            corrected.append(export.export(bank, pool, term, out, wanted, progress))
        except BankError as e:
            uncorrected.append(str(e))
    uncorrected += [
        f"{name}: assemble the forms again with `itembank draw --forms`, and export them"
        for name in dict.fromkeys(name for names in in_forms for name in names)
    ]
    uncorrected += in_other_languages(whole)
    return Withdrawal(
        questions=questions,
        notes=tuple(notes),
        corrected=tuple(corrected),
        uncorrected=tuple(uncorrected),
    )


def in_other_languages(held: Sequence[Holding]) -> list[str]:
    """What is left to do with the packages of releases in other languages than the first."""
    return [
        f"{file}: another language of what is corrected; `itembank make` with the pool's file and "
        f"--term {term} writes it again"
        for file, term in dict.fromkeys(
            (package.file, h.release.term)
            for h in held
            for package in h.packages
            if package.file != f"{h.release.name}-{package.format}.zip"
        )
    ]


def note_path(out: Path, identifier: str, note: bytes) -> Path:
    """Where an item's note stands: under the item's name, and never in place of another note.

    In a folder with the note of another bank on the same item, this one has a number after it.
    """
    for n in count(1):
        path = out / f"rescoring-note-{identifier}{'' if n == 1 else f'-{n}'}.html"
        if not place(path).exists() or path.read_bytes() == note:
            return path
    raise AssertionError("there are numbers enough")


def targets_of(held: Sequence[Sequence[Holding]], pool: str, term: str) -> tuple[Target, ...]:
    """How the packages of a pool and term were written last, a target for each format."""
    found = {
        package.format: Target(**package.target)
        for holdings in held
        for h in holdings
        if (h.release.pool, h.release.term) == (pool, term)
        for package in h.packages
    }
    return tuple(found.values())


def question(item: Item, held: Sequence[Holding], in_forms: Sequence[str]) -> Withdrawn:
    """What is known of an item; it can be taken out even where its key is not found again."""
    released, right, why = key_text(item.response), None, ""
    try:
        right = key_text(found_again(item).response)
    except ItemBankError as error:
        why = str(error)
    return Withdrawn(
        identifier=item.identifier,
        title=item.title,
        statement="; ".join(item.statement),
        ask=item.ask,
        released_key=released,
        right_key=right,
        why_none=why,
        forms=tuple(in_forms),
        affected=tuple(
            Affected(
                release=h.release.name,
                course=h.release.facts["course"],
                term=h.release.term,
                group=h.group,
                choose=h.choose,
                of=h.of,
                files=tuple(p.file for p in h.packages),
            )
            for h in held
        ),
    )


def found_again(item: Item) -> Item:
    """The item as it is composed now, from its statement alone, proved again."""
    problem = problem_from(item.statement)
    selection.prove(problem, problem.solve().answer, item.identifier)
    return composed_again(item, item.language)
