"""Decisions where a bank holds the items: on its record, and asked of it before an export."""

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import replace
from pathlib import Path

from exporters.release import Release, Target
from itembank.bank import Bank, decisions, entries, releases
from itembank.bank.releases import Contents
from itembank.pipeline.making import Made, Progress, unheard
from itembank.review.deciding import Missing, Word, not_enough, returns_of, too_few
from itembank.terms.export import base_name, only, release, release_from
from itembank.values.verdicts import Spoken, accepted_items, is_repeated


def drawn_release(bank: Bank, pool: str, term: str) -> Release:
    """What the pool holds for the term; BankError if nothing is drawn."""
    return release_from(bank, base_name(pool, term), pool, term, drawn(bank, pool, term))


def drawn(bank: Bank, pool: str, term: str) -> Contents:
    with bank.reading() as connection:
        number = entries.known_term(connection, term)
        return releases.drawn_contents(connection, pool, number, term)


def enter(bank: Bank, words: Sequence[Word]) -> None:
    """Record decisions that stand, all or none; a repeat that changes nothing is not recorded."""
    with bank.writing() as connection:
        for word in words:
            item = entries.item_number(connection, word.decision.item)
            if not is_repeated(word.spoken, decisions.words(connection, [item])):
                decisions.speak(connection, item, word.spoken)


def heard(bank: Bank, pool: str, term: str) -> list[Spoken]:
    """What the bank holds of words on the items of a pool for a term."""
    contents = drawn(bank, pool, term)
    with bank.reading() as connection:
        return decisions.words(connection, contents.items)


def export_accepted(
    bank: Bank,
    pool: str,
    term: str,
    out: Path,
    formats: Sequence[str | Target],
    progress: Progress = unheard,
    executor: Executor | None = None,
    beside: Sequence[Spoken] = (),
) -> tuple[Made, tuple[Missing, ...]]:
    """Write and record what reviewers have accepted, and say what is missing.

    `beside`: the words on the record beside the pool; a return that is open there holds an item
    though the bank has not heard of it.  Raises DecisionError where fewer are left in a group
    than a student draws.
    """
    contents = drawn(bank, pool, term)
    with bank.reading() as connection:
        words = decisions.words(connection, contents.items)
        marks = entries.fingerprints(connection, contents.items)
        returns = returns_of([words, beside])
        free = accepted_items(words) - returns.keys()
        accepted = {item for item in contents.items if marks[item] in free}
        left_out = sorted(set(contents.items) - accepted)
        missing = tuple(
            Missing(identifier, title, "draft", tuple(returns.get(marks[number], ())))
            for number, (identifier, title, _family) in zip(
                left_out, entries.named(connection, left_out), strict=True
            )
        )
    short = [
        too_few(part.family, len(accepted & set(part.items)), len(part.items), part.choose)
        for part in contents.parts
        if len(accepted & set(part.items)) < part.choose
    ]
    if short:
        raise not_enough(short, missing)
    chosen = replace(contents, parts=only(contents, accepted).parts)
    name = base_name(pool, term)
    made = release(bank, name, pool, term, chosen, out, formats, progress, executor=executor)
    return made, missing
