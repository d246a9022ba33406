"""Decisions where a bank holds the items: on its record, and asked of it before an export."""

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import replace
from pathlib import Path

from exporters.release import Release, Target
from itembank.bank import Bank, decisions, entries, releases
from itembank.bank.releases import Contents
from itembank.deciding import Decision, DecisionError, Missing, Word, too_few
from itembank.exporting import base_name, only, release, release_from
from itembank.making import Made, Progress, unheard

SCOPE = "key, wording, distractors and feedback, accessibility"

VERDICTS = {"accepted": "approved", "returned": "rejected"}
"""Our words for a verdict, and the bank's."""


def drawn_release(bank: Bank, pool: str, term: str) -> Release:
    """What the pool holds for the term; BankError if nothing is drawn."""
    return release_from(bank, base_name(pool, term), pool, term, drawn(bank, pool, term))


def drawn(bank: Bank, pool: str, term: str) -> Contents:
    with bank.reading() as connection:
        number = entries.known_term(connection, term)
        return releases.drawn_contents(connection, pool, number, term)


def enter(bank: Bank, words: Sequence[Word]) -> None:
    """Record decisions that stand; one that is there already is not repeated."""
    with bank.writing() as connection:
        for word in words:
            decision = word.decision
            item = entries.item_number(connection, decision.item)
            said = (word.reviewer, SCOPE, VERDICTS[decision.verdict])
            if said not in decisions.verdicts(connection, item)[-1:]:
                decisions.decide(connection, item, decision.fingerprint, *said, comment(decision))


def comment(decision: Decision) -> str:
    """What was said of the facets, one line each."""
    return "\n".join(f"{name}: {f.comment}" for name, f in decision.facets.items() if f.comment)


def export_accepted(
    bank: Bank,
    pool: str,
    term: str,
    out: Path,
    formats: Sequence[str | Target],
    progress: Progress = unheard,
    executor: Executor | None = None,
) -> tuple[Made, tuple[Missing, ...]]:
    """Write and record what reviewers have accepted, and say what is missing.

    Raises DecisionError where fewer are left in a group than a student draws.
    """
    contents = drawn(bank, pool, term)
    with bank.reading() as connection:
        accepted = {
            item for item in contents.items if is_accepted(decisions.verdicts(connection, item))
        }
        left_out = sorted(set(contents.items) - accepted)
        missing = tuple(
            Missing(identifier, title, "draft")
            for identifier, title, _family in entries.named(connection, left_out)
        )
    short = [
        too_few(part.family, len(accepted & set(part.items)), len(part.items), part.choose)
        for part in contents.parts
        if len(accepted & set(part.items)) < part.choose
    ]
    if short:
        raise DecisionError("not enough accepted items: " + "; ".join(short))
    chosen = replace(contents, parts=only(contents, accepted).parts)
    name = base_name(pool, term)
    made = release(bank, name, pool, term, chosen, out, formats, progress, executor=executor)
    return made, missing


def is_accepted(verdicts: Sequence[tuple[str, str, str]]) -> bool:
    """Whether the last word on an item, its clearing aside, is approval."""
    words = [verdict for _reviewer, _scope, verdict in verdicts if verdict in VERDICTS.values()]
    return words[-1:] == ["approved"]
