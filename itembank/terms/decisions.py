"""Decisions where a bank holds the items: on its record, and asked of it before an export."""

from collections.abc import Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import replace
from pathlib import Path

from exporters.release import Release, Target
from itembank.bank import Bank, decisions, entries, releases
from itembank.bank.releases import Contents
from itembank.pipeline.making import Made, Progress, unheard
from itembank.review.deciding import (
    Missing,
    lacking,
    not_enough,
    refuse_open_returns,
    refuse_unaccepted,
    returns_of,
    too_few,
)
from itembank.terms.export import base_name, only, release, release_from, stories_of
from itembank.values.verdicts import Return, Spoken, accepted_facets, carried, is_repeated


def drawn_release(bank: Bank, pool: str, term: str) -> Release:
    """What the pool holds for the term; BankError if nothing is drawn."""
    return release_from(bank, base_name(pool, term), pool, term, drawn(bank, pool, term))


def drawn(bank: Bank, pool: str, term: str) -> Contents:
    with bank.reading() as connection:
        number = entries.known_term(connection, term)
        return releases.drawn_contents(connection, pool, number, term)


def enter(bank: Bank, words: Sequence[Spoken]) -> None:
    """Record words on items as the bank holds them, all or none.

    A repeat that changes nothing is not recorded.
    """
    with bank.writing() as connection:
        for word in words:
            item = entries.item_number(connection, word.item)
            if not is_repeated(word, decisions.words(connection, [item])):
                decisions.speak(connection, item, word)


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
    beside = _about(bank, contents, beside)
    with bank.reading() as connection:
        words = decisions.words(connection, contents.items)
        marks = entries.fingerprints(connection, contents.items)
        returns = returns_of([words, beside])
        said = accepted_facets(words)
        facets = {
            item: lacking(said.get(marks[item], {}).keys() - _returned(returns, marks[item]))
            for item in contents.items
        }
        accepted = releases.whole_variants(
            contents, {item for item in contents.items if not facets[item]}
        )
        left_out = sorted(set(contents.items) - accepted)
        missing = tuple(
            Missing(
                identifier,
                title,
                "draft",
                tuple(returns.get(marks[number], ())),
                facets[number],
            )
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


def refuse_returned(bank: Bank, pool: str, term: str, beside: Sequence[Spoken] = ()) -> None:
    """DecisionError if a return is open on what the pool holds for the term; `beside` as above.

    Or if a story stands there in the place of its question that nobody has accepted.
    """
    contents = drawn(bank, pool, term)
    refuse_open_returns([heard(bank, pool, term), _about(bank, contents, beside)])
    accepted, left = stories_of(bank, contents)
    refuse_unaccepted(left, len(accepted) + len(left))


def _about(bank: Bank, contents: Contents, words: Sequence[Spoken]) -> tuple[Spoken, ...]:
    """What of these words is about the items as the bank holds them."""
    names = {word.name for word in words}
    numbers = sorted(contents.items)
    with bank.reading() as connection:
        named = zip(numbers, entries.named(connection, numbers), strict=True)
        meant = [number for number, (identifier, *_rest) in named if identifier in names]
        return carried(words, entries.stored_items(connection, meant))


def _returned(returns: Mapping[str, Sequence[Return]], mark: str) -> set[str]:
    """The facets of an item that an open return holds."""
    return {one.facet for one in returns.get(mark, ())}
