"""status: how a pool stands in its bank."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from itembank.cli.arguments import bank_of, opened_bank, pool_named
from itembank.cli.console import json_option, progress, say_json
from itembank.cli.options import bank_option, specs_option

if TYPE_CHECKING:
    from itembank.terms.outlook import Outlook
    from itembank.terms.status import PoolStanding


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
    with progress("counting variants", len(loaded.entries)) as done:
        found = standing.status(kept, loaded, done)
    if page is not None:
        from itembank.terms.runway_page import runway_page

        write_whole(page, runway_page(found, loaded.language))
    if as_json:
        say_json(standing.as_json(found))
        return
    for line in lines(found):
        click.echo(line)
    if page is not None:
        click.echo(f"{page}: the same as a page")


ADVICE = {
    "rest": "the results of {term} cast doubt on its key; it rests until cleared or withdrawn",
    "retire": "easier in {term} than before, so it may be known; it is retired",
}


def lines(found: "PoolStanding") -> Iterator[str]:
    for f in found.families:
        used = ", ".join(f"{term} {n}" for term, n in f.use.by_term.items()) or "never"
        yield (
            f"{f.family}: {f.count.text('variants')}, {f.use.used} used ({used}), "
            f"{f.use.resting} resting, {f.left.text()} left, "
            f"{told(f.outlook, f.count.likely is None)}; "
            f"{f.use.approved} approved, {f.use.withdrawn} withdrawn"
            + (f"; {f.right} of {f.answered} answers right" if f.answered else "")
            + (f"; of a class {f.expected} expected" if f.expected else "")
            + (f": {f.misfit}" if f.misfit else "")
        )
        for item, title, term, advice in f.doubted:
            yield f"  {item} {title}: {ADVICE[advice].format(term=term)}"
    for m in found.terms:
        yield (
            f"{m.term}: two students share {float(m.common):.2f} of {m.questions} questions, none "
            f"with probability {float(m.none_common):.2f}; "
            + ", ".join(f"after {n} students {float(s):.0%} seen" for n, s in m.seen.items())
            + ("" if m.with_last is None else f"; with last term {float(m.with_last):.2f} shared")
        )
    yield from difficulty(found)
    if found.ahead:
        yield f"next in the course: {', '.join(term.told for term in found.ahead[:2])}"
    yield f"{found.pool}: {told(found.outlook)}, as its scarcest family"


def difficulty(found: "PoolStanding") -> Iterator[str]:
    """What makes questions hard, as the results on record tell it."""
    model = found.model
    if model is None:
        if found.no_model:
            yield f"{found.no_model}; parallel forms are balanced by steps"
        return
    yield (
        f"what makes questions hard, by {model.answers} answers to {model.questions} questions in "
        f"{model.sittings} {'report' if model.sittings == 1 else 'reports'}, in logits for one more"
    )
    for name, b, low, high in model.weights():
        yield f"  {name}: {-b:+.2f} ({-high:+.2f} to {-low:+.2f})"
    if model.alone:
        yield f"  not told apart: {', '.join(model.alone)}"


def told(outlook: "Outlook", lower: bool = False) -> str:
    """For how many terms, and what follows; `lower`: where that is a lower bound."""
    n = outlook.terms
    terms = f"{n} more term" if n == 1 else f"{n} more terms"
    if not outlook.ends:
        return f"{terms} at least"
    returns = "" if outlook.returns is None else f", full again {wait(outlook.returns)}"
    return f"{terms}{' at least' if lower else ''}, then {outlook.lacking} short{returns}"


def wait(terms: int) -> str:
    return "a term later" if terms == 1 else f"{terms} terms later"
