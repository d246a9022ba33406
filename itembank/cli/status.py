"""status: how a pool stands in its bank."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from itembank.cli.arguments import bank_of, opened_bank, pool_named
from itembank.cli.console import echo, json_option, progress, say_json
from itembank.cli.options import bank_option, specs_option
from itembank.values.worded import figure, joined, laid_out, tallied, worded

if TYPE_CHECKING:
    from itembank.terms.outlook import Outlook
    from itembank.terms.status import FamilyStanding, Meeting, PoolStanding


@click.command()
@click.argument("pool", metavar="POOL")
@specs_option
@bank_option
@click.option(
    "--page",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write it as one HTML page: runway and rests of every family over the year.",
)
@json_option
def status(
    pool: str, specs: tuple[Path, ...], bank: str | None, page: Path | None, as_json: bool
) -> None:
    """What the families of a POOL have left, for how many terms, and what students share.

    Left are the variants never used. The terms ahead are counted as draws will find them: what the
    pool asks for, fresh questions first, then those that have rested.

    Where enough results are on record, what makes questions hard is told from them (steps, lifts,
    size of numbers, form, number of solutions), and what a class is expected to do at each family.

    \b
    Example:
      itembank status congruences-quiz --bank nt210.db
    """
    from itembank.terms import status as standing
    from itembank.values.files import refuse_unless_writable, write_whole

    if page is not None:
        refuse_unless_writable(page)
    loaded = pool_named(pool, specs)
    kept = opened_bank(bank_of(pool, bank))
    with progress(worded("counting variants"), len(loaded.entries)) as done:
        found = standing.status(kept, loaded, done)
    if page is not None:
        from itembank.terms.runway_page import runway_page

        write_whole(page, runway_page(found, loaded.language))
    if as_json:
        say_json(standing.as_json(found))
        return
    for line in lines(found):
        echo(line)
    if page is not None:
        echo(worded("{file}: the same as a page", file=page))


def lines(found: "PoolStanding") -> Iterator[str]:
    for f in found.families:
        yield _family_line(f)
        for item, title, term, advice in f.doubted:
            names = {"item": item, "title": title, "term": term}
            if advice == "rest":
                yield worded(
                    "  {item} {title}: the results of {term} cast doubt on its key; it rests until "
                    "cleared or withdrawn",
                    **names,
                )
            else:
                yield worded(
                    "  {item} {title}: easier in {term} than before, so it may be known; it is "
                    "retired",
                    **names,
                )
    for m in found.terms:
        yield _term_line(m)
    yield from _difficulty(found)
    if found.ahead:
        ahead = joined(", ", (term.told for term in found.ahead[:2]))
        yield worded("next in the course: {terms}", terms=ahead)
    yield worded(
        "{pool}: {terms}, as its scarcest family", pool=found.pool, terms=told(found.outlook)
    )


def _family_line(f: "FamilyStanding") -> str:
    by_term = [laid_out("{term} {n}", term=term, n=n) for term, n in f.use.by_term.items()]
    variants = [
        worded("{n} variants", n=f.count.text()),
        worded(
            "{n} used ({terms})",
            n=f.use.used,
            terms=joined(", ", by_term) if by_term else worded("never"),
        ),
        worded("{n} resting", n=f.use.resting),
        worded("{n} left", n=f.left.text()),
        told(f.outlook, f.count.likely is None),
    ]
    decided = [
        worded("{n} approved", n=f.use.approved),
        worded("{n} withdrawn", n=f.use.withdrawn),
    ]
    clauses = [
        laid_out("{family}: {told}", family=f.family, told=joined(", ", variants)),
        joined(", ", decided),
        *(
            [worded("{right} of {n} answers right", right=f.right, n=f.answered)]
            if f.answered
            else ()
        ),
    ]
    if f.expected:
        share = worded("of a class {share} expected", share=f.expected)
        if f.misfit:
            share = laid_out("{share}: {misfit}", share=share, misfit=f.misfit)
        clauses.append(share)
    return joined("; ", clauses)


def _term_line(m: "Meeting") -> str:
    """What two students of a term share, and what those of later terms have seen."""
    seen = [
        worded("after {n} students {share} seen", n=n, share=figure(f"{float(s):.0%}"))
        for n, s in m.seen.items()
    ]
    line = worded(
        "{term}: two students share {share} of {n} questions, none with probability {p}; {seen}",
        term=m.term,
        share=figure(f"{float(m.common):.2f}"),
        n=m.questions,
        p=figure(f"{float(m.none_common):.2f}"),
        seen=joined(", ", seen),
    )
    if m.with_last is None:
        return line
    last = worded("with last term {share} shared", share=figure(f"{float(m.with_last):.2f}"))
    return joined("; ", [line, last])


def _difficulty(found: "PoolStanding") -> Iterator[str]:
    """What makes questions hard, as the results on record tell it."""
    model = found.model
    if model is None:
        if found.no_model:
            yield worded("{why}; parallel forms are balanced by steps", why=found.no_model)
        return
    yield tallied(
        "what makes questions hard, by {answers} answers to {questions} questions in {n} report, "
        "in logits for one more",
        "what makes questions hard, by {answers} answers to {questions} questions in {n} reports, "
        "in logits for one more",
        model.sittings,
        answers=model.answers,
        questions=model.questions,
    )
    for name, b, low, high in model.weights():
        yield worded(
            "  {feature}: {b} ({low} to {high})",
            feature=name,
            b=figure(f"{-b:+.2f}"),
            low=figure(f"{-high:+.2f}"),
            high=figure(f"{-low:+.2f}"),
        )
    if model.alone:
        yield worded("  not told apart: {features}", features=joined(", ", model.alone))


def told(outlook: "Outlook", lower: bool = False) -> str:
    """For how many terms, and what follows; `lower`: where that is a lower bound."""
    n = outlook.terms
    if not outlook.ends:
        return tallied("{n} more term at least", "{n} more terms at least", n)
    if lower:
        then = tallied(
            "{n} more term at least, then {lacking} short",
            "{n} more terms at least, then {lacking} short",
            n,
            lacking=outlook.lacking,
        )
    else:
        then = tallied(
            "{n} more term, then {lacking} short",
            "{n} more terms, then {lacking} short",
            n,
            lacking=outlook.lacking,
        )
    if outlook.returns is None:
        return then
    if outlook.returns == 1:
        again = worded("full again a term later")
    else:
        again = worded("full again {n} terms later", n=outlook.returns)
    return joined(", ", [then, again])
