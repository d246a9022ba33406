"""Items taken out: marked in the bank, listed where they were used, and released anew without.

The note for rescoring says who is affected, the key as released and as both ways find it now,
and what is suggested; people decide.  Notes are written before the items are marked, and stand
once they are: after a failure at any moment the same command completes what is missing.  Of
parallel forms that hold an item, each gets an equal one in its place, and no other changes.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import count
from pathlib import Path

from exporters.notices import Affected, Withdrawn, rescoring_note
from exporters.release import Target
from itembank.bank import Bank, entries, forms, releases
from itembank.bank.entries import key_text
from itembank.bank.releases import Holding
from itembank.kinds.statement import problem_of
from itembank.pipeline import selection
from itembank.pipeline.making import Made, Progress, unheard
from itembank.terms import assembly, export
from itembank.terms.wording import composed_again
from itembank.values.answer import Answer, ResidueSet
from itembank.values.errors import BankError, ItemBankError
from itembank.values.files import place, put, room, write_whole
from itembank.values.item import (
    IntegerEntry,
    Item,
    ListEntry,
    Response,
    SelectAll,
    SelectOne,
)
from itembank.values.worded import worded, wording


@dataclass(frozen=True, kw_only=True)
class Withdrawal:
    """What a withdrawal left: a note for each item, the corrected releases, and what is left to
    do (`uncorrected`)."""

    questions: tuple[Withdrawn, ...]
    reasons: tuple[str, ...]
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
    gone = [_found(bank, number, reason) for number in numbers]

    def mark() -> None:
        with bank.writing() as connection:
            for number in numbers:
                releases.withdraw(connection, number, reason)

    notes = _write_notes(gone, out, mark)
    return _corrected_without(bank, gone, notes, out, formats, progress)


def would_withdraw(bank: Bank, names: Sequence[str], reason: str) -> tuple[Withdrawn, ...]:
    """What a withdrawal would say of the items; nothing is changed.  Errors as of `withdraw`."""
    with bank.reading() as connection:
        numbers = [entries.item_number(connection, name) for name in dict.fromkeys(names)]
        for number in numbers:
            releases.refuse_another_reason(connection, number, reason)
    return tuple(_found(bank, number, reason).question for number in numbers)


def rescoring(
    bank: Bank,
    names: Sequence[str],
    out: Path,
    formats: Sequence[str | Target] = (),
    progress: Progress = unheard,
) -> Withdrawal:
    """The notes and the corrected packages of items that were withdrawn, written again.

    What a withdrawal could not correct then is corrected now, if it can be.  Raises BankError for
    an item that was not withdrawn.
    """
    with bank.reading() as connection:
        numbers = [entries.item_number(connection, name) for name in dict.fromkeys(names)]
        reasons = [releases.withdrawn_because(connection, number) for number in numbers]
    gone = []
    for name, number, reason in zip(dict.fromkeys(names), numbers, reasons, strict=True):
        if reason is None:
            raise BankError(
                worded(
                    "{name}: it was not withdrawn, so nothing is to be rescored; `itembank "
                    "withdraw {name} --because REASON` takes it out",
                    name=name,
                )
            )
        gone.append(_found(bank, number, reason))
    return _corrected_without(bank, gone, _write_notes(gone, out), out, formats, progress)


@dataclass(frozen=True, kw_only=True)
class _Gone:
    """A withdrawn item: why, the releases that hold it, and the forms, released or not."""

    item: Item
    reason: str
    held: tuple[Holding, ...]
    forms: tuple[tuple[str, str, str], ...]
    whole: str = ""
    """Of a part of a question the item that holds all parts in some packages."""

    @cached_property
    def question(self) -> Withdrawn:
        of_releases = {(h.release.pool, h.release.term, h.release.facts["form"]) for h in self.held}
        unreleased = [
            worded("{pool}, {term}, form {form}", pool=pool, term=term, form=form)
            for pool, term, form in self.forms
            if (pool, term, form) not in of_releases
        ]
        return replace(question(self.item, self.held, unreleased), whole=self.whole)


def _found(bank: Bank, number: int, reason: str) -> _Gone:
    with bank.reading() as connection:
        (item,) = entries.stored_items(connection, [number])
        return _Gone(
            item=item,
            reason=reason,
            held=tuple(releases.holdings(connection, number)),
            forms=tuple(forms.holding(connection, number)),
            whole=entries.whole_item(connection, number),
        )


def _write_notes(
    gone: Sequence[_Gone], out: Path, between: Callable[[], None] = lambda: None
) -> tuple[Path, ...]:
    """A note for each item; `between`: what is done when all are whole, before they stand."""
    with room(out) as own:
        notes = []
        for one in gone:
            note = rescoring_note(one.item.language, one.reason, [one.question])
            notes.append(_note_path(out, one.item.identifier, note))
            write_whole(own / notes[-1].name, note)
        between()
        for path in notes:
            put(own / path.name, path)
    return tuple(notes)


def _corrected_without(
    bank: Bank,
    gone: Sequence[_Gone],
    notes: tuple[Path, ...],
    out: Path,
    formats: Sequence[str | Target],
    progress: Progress,
) -> Withdrawal:
    """What is left in `out` for withdrawn items: whole pools without them, forms with others."""
    corrected: list[Made] = []
    uncorrected: list[str] = []
    whole = [h for one in gone for h in one.held if not h.release.facts["form"]]
    for pool, term in dict.fromkeys((h.release.pool, h.release.term) for h in whole):
        wanted = formats or _targets_of(h for h in whole if _of(h, pool, term))
        if not wanted:
            continue
        try:
            corrected.append(export.export(bank, pool, term, out, wanted, progress))
        except BankError as e:
            uncorrected.append(str(e))
    formed = [h for one in gone for h in one.held if h.release.facts["form"]]
    for pool, term in dict.fromkeys((pool, term) for one in gone for pool, term, _ in one.forms):
        of_term = [h for h in formed if _of(h, pool, term)]
        wanted = formats or _targets_of(of_term)
        names = {h.release.facts["form"] for h in of_term}
        try:
            assembly.mended(bank, pool, term)
            if wanted and names:
                corrected += assembly.export_forms(
                    bank, pool, term, out, wanted, progress, only=sorted(names)
                )
        except BankError as e:
            uncorrected.append(str(e))
    uncorrected += _in_other_languages(whole)
    return Withdrawal(
        questions=tuple(one.question for one in gone),
        reasons=tuple(one.reason for one in gone),
        notes=notes,
        corrected=tuple(corrected),
        uncorrected=tuple(dict.fromkeys(uncorrected)),
    )


def _of(held: Holding, pool: str, term: str) -> bool:
    return (held.release.pool, held.release.term) == (pool, term)


def _in_other_languages(held: Sequence[Holding]) -> list[str]:
    """What is left to do with the packages of releases in other languages than the first."""
    return [
        worded(
            "{file}: another language of what is corrected; `itembank make` with the "
            "pool's file and --term {term} writes it again",
            file=file,
            term=term,
        )
        for file, term in dict.fromkeys(
            (package.file, h.release.term)
            for h in held
            for package in h.packages
            if package.file != f"{h.release.name}-{package.format}.zip"
        )
    ]


def _note_path(out: Path, identifier: str, note: bytes) -> Path:
    """Where an item's note stands: under the item's name, and never in place of another note.

    In a folder with the note of another bank on the same item, this one has a number after it.
    """
    for n in count(1):
        path = out / f"rescoring-note-{identifier}{'' if n == 1 else f'-{n}'}.html"
        if not place(path).exists() or path.read_bytes() == note:
            return path
    raise AssertionError("there are numbers enough")


def _targets_of(held: Iterable[Holding]) -> tuple[Target, ...]:
    """How the packages of these releases were written last, a target for each format."""
    found = {package.format: Target(**package.target) for h in held for package in h.packages}
    return tuple(found.values())


def question(item: Item, held: Sequence[Holding], in_forms: Sequence[str]) -> Withdrawn:
    """What is known of an item; it can be taken out even where its key is not found again."""
    released, right, why = key_text(item.response), None, ""
    try:
        right = key_text(_found_again(item).response)
    except ItemBankError as error:
        why = wording(error)
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


def _has_range(item: Item, answer: Answer) -> bool:
    """Whether only integers of a range count, which the stem alone tells."""
    if not isinstance(answer, ResidueSet):
        return False
    if item.ask in ("an example", "the solution"):
        return item.ask == "an example" or getattr(item.response, "modulus", 0) is None
    key = _integers_of(item.response)
    return _solves(item, answer) and any(not 0 <= n < answer.modulus for n in key)


def _may_have_range(item: Item, answer: Answer, again: Item) -> bool:
    """Whether a key that is another may be one of a range: all of it solves, in another stem."""
    if not isinstance(answer, ResidueSet) or again.stem == item.stem:
        return False
    return _solves(item, answer) and _integers_of(item.response) != _integers_of(again.response)


def _solves(item: Item, answer: ResidueSet) -> bool:
    """Whether solutions are asked for, and all integers of the key are some."""
    if item.ask not in ("all solutions", "the least", "the largest"):
        return False
    return all(n % answer.modulus in answer for n in _integers_of(item.response))


def _integers_of(response: Response) -> tuple[int, ...]:
    """The integers of a key, increasing; () where it has none."""
    match response:
        case IntegerEntry(value=value):
            return (value,)
        case ListEntry(values=values):
            return values
        case SelectOne(options=options) | SelectAll(options=options):
            right = (n for o in options if o.correct for n in o.residues)
            return tuple(sorted(n for n in right if isinstance(n, int)))
    return ()


def _found_again(item: Item) -> Item:
    """The item as it is composed now, from its statement alone, proved again."""
    problem = problem_of(item.kind, item.statement)
    answer = problem.solve().answer
    selection.prove(problem, answer, item.identifier)
    if _has_range(item, answer):
        raise _beyond_the_statement()
    again = composed_again(item, item.language)
    if _may_have_range(item, answer, again):
        raise _beyond_the_statement()
    return again


def _beyond_the_statement() -> BankError:
    return BankError(
        worded("from where to where the integer was to lie is not in its statement; see its stem")
    )
