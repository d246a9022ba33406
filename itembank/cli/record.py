"""history, releases, record, copy: what a department asks of its bank years later."""

from dataclasses import asdict
from pathlib import Path

import click

from itembank.cli.arguments import bank_of, opened_bank
from itembank.cli.console import echo, json_option, say_json
from itembank.cli.options import bank_option, dry_run_option, out_option
from itembank.values import files
from itembank.values.worded import joined, laid_out, worded


@click.command()
@click.argument("name", metavar="NAME")
@bank_option
@json_option
def history(name: str, bank: str | None, as_json: bool) -> None:
    """Everything that happened to an item, a release or a pool, in order.

    NAME is the identifier of an item, the name of a release (see releases), or the id of a pool.
    Each line has its day, in UTC.

    \b
    Examples:
      itembank history item-0123456789abcdef --bank nt210.db
      itembank history congruences-quiz --bank nt210.db
    """
    from itembank.bank import history as told

    with opened_bank(bank_of("", bank)).reading() as connection:
        events = told.history(connection, name)
    if as_json:
        say_json([asdict(event) for event in events])
        return
    for event in events:
        echo(laid_out("{day}: {what}", day=event.day, what=event.what))


@click.command()
@click.argument("pool", metavar="[POOL]", default="")
@bank_option
@json_option
def releases(pool: str, bank: str | None, as_json: bool) -> None:
    """List the releases on record, of a POOL or of all, with what has become of each.

    `export --release` writes any of them again.

    \b
    Example:
      itembank releases --bank nt210.db
    """
    from itembank.bank import history as told

    with opened_bank(bank_of("", bank)).reading() as connection:
        found = told.listed(connection, pool)
    if as_json:
        say_json([asdict(one) for one in found])
        return
    for one in found:
        clauses = [
            worded(
                "{name}: {day}, {n} items, {formats}",
                name=one.name,
                day=one.day,
                n=one.items,
                formats=", ".join(one.formats) or worded("no package"),
            ),
            *([worded("{n} withdrawn since", n=one.withdrawn)] if one.withdrawn else ()),
            *([worded("{name} took its place", name=one.replaced_by)] if one.replaced_by else ()),
        ]
        echo(joined("; ", clauses))
    if not found:
        echo(
            worded("no release of {pool} is on record", pool=pool)
            if pool
            else worded("no release is on record")
        )


@click.command()
@out_option
@bank_option
@json_option
def record(out: Path, bank: str | None, as_json: bool) -> None:
    """Write the whole record of a bank as tables (CSV) and as JSON, for a visit or an archive.

    A file for each table, and record.json with all of them and the items in full. Questions, keys,
    decisions and statistics are in it; no names of students are, since a bank holds none.

    \b
    Example:
      itembank record --bank nt210.db --out record-2027
    """
    from itembank.bank.record import documents

    kept = opened_bank(bank_of("", bank))
    folder = files.folder(out)
    written = []
    with kept.reading() as connection:
        for name, data in documents(connection):
            files.write_whole(folder / name, data)
            written.append(str(folder / name))
    if as_json:
        say_json({"bank": kept.name, "files": written})
        return
    echo(
        worded(
            "{folder}: {n} files, all that {bank} holds",
            folder=folder,
            n=len(written),
            bank=kept.name,
        )
    )


@click.command()
@click.argument("into", metavar="URL")
@bank_option
@dry_run_option
@json_option
def copy(into: str, bank: str | None, dry_run: bool, as_json: bool) -> None:
    """Copy the bank into the one of a URL, which is made if there is none, and check that all came.

    From SQLite to PostgreSQL and back, or into a bank that holds other terms or pools: what both
    hold stays once, and what they contradict each other in is refused, with nothing copied.

    \b
    Examples:
      itembank copy postgresql+psycopg://itembank@db/nt210 --bank nt210.db
      itembank copy department.db --bank section-2.db --dry-run
    """
    from itembank.bank.copying import copy as copied

    source = opened_bank(bank_of("", bank))
    target = opened_bank(into, create=not dry_run)
    done = copied(source, target, keep=not dry_run)
    if as_json:
        say_json(
            {
                "from": source.name, "into": target.name, "dry_run": dry_run,
                "records": dict(done.records), "new": dict(done.new),
            }
        )  # fmt: skip
        return
    for table, n in done.records.items():
        if n:
            echo(worded("{table}: {n}, of which {new} new", table=table, n=n, new=done.new[table]))
    if dry_run:
        echo(worded("a dry run: nothing of this was kept"))
    else:
        echo(
            worded(
                "{bank}: holds all of {other}, by counts and by hashes",
                bank=target.name,
                other=source.name,
            )
        )
