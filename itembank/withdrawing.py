"""Items taken out: marked in the bank, listed where they were used, and released anew without.

The note for rescoring says who is affected, the key as released and as both ways find it now,
and what is suggested; people decide.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from exporters.notices import Affected, Withdrawn, rescoring_note
from exporters.release import Target
from itembank import compose, exporting, selection
from itembank.bank import Bank, entries, forms, releases
from itembank.bank.entries import key_text
from itembank.bank.releases import Holding
from itembank.compose import Wording
from itembank.errors import BankError
from itembank.files import write_whole
from itembank.item import Item
from itembank.making import Made, Progress, unheard
from itembank.problems.statement import problem_from


@dataclass(frozen=True, kw_only=True)
class Withdrawal:
    """What a withdrawal left: the note, and the corrected release of each pool and term."""

    questions: tuple[Withdrawn, ...]
    note: Path
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
    """Mark the items, write the note, and release again without them what is on record.

    Corrected packages come in the formats of the packages that they replace, or in `formats`.
    A pool that lacks items after this is named with what to do; the withdrawal stands.
    Raises BankError, and marks nothing, for an item that is unknown or was withdrawn before.
    """
    with bank.writing() as connection:
        numbers = [entries.item_number(connection, name) for name in dict.fromkeys(names)]
        for number in numbers:
            releases.withdraw(connection, number, reason)
    with bank.reading() as connection:
        held = [releases.holdings(connection, number) for number in numbers]
        items = list(entries.stored_items(connection, numbers))
        in_forms = [forms.holding(connection, number) for number in numbers]
    questions = tuple(map(question, items, held, in_forms))
    note = out / "rescoring-note.html"
    language = items[0].language
    write_whole(note, rescoring_note(language, reason, questions))
    corrected, uncorrected = [], []
    whole = [h for hs in held for h in hs if not h.release.facts["form"]]
    for pool, term in dict.fromkeys((h.release.pool, h.release.term) for h in whole):
        wanted = formats or targets_of(held, pool, term)
        try:
            corrected.append(exporting.export(bank, pool, term, out, wanted, progress))
        except BankError as e:
            uncorrected.append(str(e))
    uncorrected += [
        f"{name}: assemble the forms again with `itembank draw --forms`, and export them"
        for name in dict.fromkeys(name for names in in_forms for name in names)
    ]
    return Withdrawal(
        questions=questions,
        note=note,
        corrected=tuple(corrected),
        uncorrected=tuple(uncorrected),
    )


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
    return Withdrawn(
        identifier=item.identifier,
        title=item.title,
        statement="; ".join(item.statement),
        ask=item.ask,
        released_key=key_text(item.response),
        right_key=key_text(found_again(item).response),
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
    solution = problem.solve()
    selection.prove(problem, solution.answer, item.identifier)
    wording = Wording(
        title=item.title,
        ask=item.ask,
        form=item.response.form,
        rule=item.scoring.rule,
        points=item.scoring.points,
        outcomes=item.outcomes,
        level=item.level,
        provenance=item.provenance,
    )
    return compose.compose(problem, solution, problem.slips(solution), wording)
