"""draw, export: a pool's term in the bank, and out of it."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from itembank.cli.arguments import (
    bank_of,
    opened_bank,
    pool_id,
    pool_named,
    shipped_pool_or_file,
    targets,
    term_named,
    workers,
)
from itembank.cli.console import echo, json_option, progress, say_json
from itembank.cli.make import made_as_json, tell_made
from itembank.cli.options import (
    as_option,
    bank_option,
    canary_option,
    cluster_option,
    copies_option,
    dry_run_option,
    jobs_option,
    math_option,
    new_term_option,
    out_option,
    paper_option,
    pdf_option,
    profile_option,
    specs_option,
    term_option,
    to_option,
)
from itembank.values import files
from itembank.values.worded import figure, joined, laid_out, worded

if TYPE_CHECKING:
    from exporters.release import Paper, Profile, Purpose, Target
    from itembank.bank.forms import Assembly
    from itembank.terms.draw import Drawn


# ------------------------------------------------------------ draw

_WARNED = 2
"""A family that lasts for fewer terms more is told."""


@click.command()
@click.argument("pool", metavar="POOL")
@term_option
@specs_option
@bank_option
@click.option(
    "--forms", type=click.IntRange(2, 26), help="Assemble so many parallel forms of what is drawn."
)
@click.option(
    "--gap",
    type=click.IntRange(min=0),
    help="The most by which the forms' effort sums may differ: in hundredths of an expected wrong "
    "answer where results tell the difficulty, else in steps. Default: 5 % of them.",
)
@click.option(
    "--partial", is_flag=True, help="Draw what there is where a family has less than asked for."
)
@new_term_option
@click.option(
    "--undo", is_flag=True, help="Take back the last draw of the pool for the term instead."
)
@dry_run_option
@jobs_option
@cluster_option
@json_option
def draw(
    pool: str,
    term: str,
    specs: tuple[Path, ...],
    bank: str | None,
    forms: int | None,
    gap: int | None,
    partial: bool,
    new_term: bool,
    undo: bool,
    dry_run: bool,
    jobs: int,
    cluster: str | None,
    as_json: bool,
) -> None:
    """Draw the POOL for a term into the bank, without what earlier terms have used.

    A used question rests for as many terms as the pool says. A family that lasts for less than two
    terms more is told. Terms count in the order that the course lists, or else in which they are
    first drawn for. Drawing again adds what is missing and changes nothing else. Where a family is
    short, and in place of what was withdrawn or returned, those stand in that the pool names
    (`instead`).

    The last draw for a term can be undone while nothing of it is exported. It stays on record; its
    questions are free for other terms.

    Parallel forms have the same content and no question in common; their effort is as nearly the
    same as the variants allow, and the gap that is left is told. Effort is the number of wrong
    answers to be expected, by the results on record; where these tell too little, it is steps.

    \b
    Examples:
      itembank draw congruences-quiz --term 2027-spring --bank nt210.db
      itembank draw congruences-quiz --term 2027-spring --bank nt210.db --forms 3
      itembank draw congruences-quiz --term 2027-spring --bank nt210.db --undo
    """
    from itembank.cli.status import told
    from itembank.terms import draw as drawing
    from itembank.terms.status import standings

    if gap is not None and forms is None:
        raise click.UsageError(worded("--gap is that of parallel forms; say how many with --forms"))
    if undo and (forms is not None or partial):
        raise click.UsageError(worded("--undo draws nothing; say it without --forms and --partial"))
    if dry_run and forms is not None:
        raise click.UsageError(worded("--dry-run tells of a draw alone; say it without --forms"))
    if undo:
        _tell_undone(bank_of(pool, bank), pool_id(pool), term_named(term), dry_run, as_json)
        return
    loaded = pool_named(pool, specs)
    term = term_named(term)
    kept = opened_bank(bank_of(pool, bank), create=not dry_run)
    total = sum(entry.variants for entry in loaded.entries)
    with workers(jobs, cluster) as executor, progress(f"{loaded.id} {term}", total) as done:
        drawn = drawing.draw(
            kept, loaded, term, done, executor, partial, new_term=new_term, keep=not dry_run
        )
    scarce = []
    if not dry_run:
        scarce = [f for f in standings(kept, loaded) if f.outlook.terms < _WARNED]
    assembled, by_steps = None, ""
    if forms is not None:
        from itembank.terms import assembly as assembling

        found = assembling.assemble(kept, loaded.id, term, forms, gap)
        assembled, by_steps = found.assembly, found.by_steps
    if as_json:
        say_json(
            {
                "pool": drawn.pool,
                "term": drawn.term,
                "bank": kept.name,
                "held_before": drawn.before,
                "fresh": drawn.fresh,
                "reused": drawn.reused,
                "lacking": drawn.lacking,
                "instead": drawn.instead,
                "beyond": drawn.beyond,
                "unasked": drawn.unasked,
                "items": drawn.total,
                "dry_run": dry_run,
                "scarce": {f.family: f.outlook.terms for f in scarce},
                "forms": assembled and {f.name: len(f.items) for f in assembled.forms},
                "assembly": assembled and assembled.result,
            }
        )
        return
    for family, fresh in drawn.fresh.items():
        reused, lacking = drawn.reused[family], drawn.lacking[family]
        instead = drawn.instead.get(family, {})
        parts = [worded("{n} new", n=fresh)]
        if reused:
            parts.append(worded("{n} used before and rested", n=reused))
        for other, n in instead.items():
            parts.append(worded("{n} of these of {family} instead", n=n, family=other))
        parts.append(worded("{n} held before", n=drawn.before[family]))
        if lacking:
            parts.append(worded("{n} short", n=lacking))
        echo(laid_out("{family}: {told}", family=family, told=joined(", ", parts)))
    _tell_more_than_asked(drawn)
    echo(
        worded(
            "{bank}: {n} items of {pool} for {term}",
            bank=kept.name,
            n=drawn.total,
            pool=drawn.pool,
            term=drawn.term,
        )
    )
    if dry_run:
        echo(worded("a dry run: nothing of this was kept"))
    for f in scarce:
        echo(
            worded("{family}: enough for {terms}", family=f.family, terms=told(f.outlook)), err=True
        )
    if assembled is not None:
        echo(_told_of_forms(assembled))
    if by_steps:
        echo(worded("balanced by steps: {why}", why=by_steps), err=True)


def _tell_more_than_asked(drawn: "Drawn") -> None:
    """What a pool that asks for fewer than before still holds, and what becomes of it."""
    for family, more in drawn.beyond.items():
        echo(
            worded(
                "{family}: {more} more than the pool asks for now; what was drawn stays, and "
                "is exported; --undo takes back a draw that was not exported, `itembank "
                "withdraw` single items",
                family=family,
                more=more,
            ),
            err=True,
        )
    for family, more in drawn.unasked.items():
        echo(
            worded(
                "{family}: {more} held before, and the pool does not name it any more; what "
                "was drawn stays used, and is not exported",
                family=family,
                more=more,
            ),
            err=True,
        )


def _told_of_forms(assembled: "Assembly") -> str:
    """The efforts of forms, and how nearly they are alike."""
    expected = "scale" in assembled.request

    def number(effort: int) -> str:
        return figure(f"{effort / 100:.2f}") if expected else str(effort)

    gap, bound = assembled.result["gap"], assembled.result["bound"]
    best = worded("the least that these items allow")
    if gap > bound:
        best = worded(
            "and no choice of these items differs by less than {bound}", bound=number(bound)
        )
    efforts = zip(assembled.forms, assembled.result["effort"], strict=True)
    each = [
        laid_out("{form} {effort}", form=form.name, effort=number(effort))
        for form, effort in efforts
    ]
    n = len(assembled.forms)
    told = {"each": joined(", ", each), "gap": number(gap), "best": best}
    if expected:
        return worded(
            "{n} parallel forms, wrong answers expected {each}: they differ by {gap}, {best}",
            n=n,
            **told,
        )
    return worded("{n} parallel forms, steps {each}: they differ by {gap}, {best}", n=n, **told)


def _tell_undone(place: str, pool: str, term: str, dry_run: bool, as_json: bool) -> None:
    from itembank.terms import draw as drawing

    kept = opened_bank(place)
    used = drawing.undo(kept, pool, term, keep=not dry_run)
    if as_json:
        say_json({"pool": pool, "term": term, "undone": used, "dry_run": dry_run})
        return
    told = {"bank": kept.name, "pool": pool, "term": term, "n": sum(used.values())}
    if dry_run:
        echo(
            worded("{bank}: would be undone: the last draw of {pool} for {term}, {n} items", **told)
        )
    else:
        echo(worded("{bank}: undone: the last draw of {pool} for {term}, {n} items", **told))


# ------------------------------------------------------------ export


@click.command()
@click.argument("pool", metavar="[POOL]", required=False)
@click.option("--term", help="The term, such as 2027-spring; it names the packages.")
@out_option
@to_option
@math_option
@as_option
@profile_option
@canary_option
@copies_option
@paper_option
@pdf_option
@bank_option
@click.option("--forms", is_flag=True, help="The parallel forms, each as packages of its own.")
@click.option(
    "--release",
    metavar="NAME",
    help="A release on record (see releases), instead of POOL and --term: its packages again, byte "
    "for byte, or others of it with --to.",
)
@jobs_option
@cluster_option
@json_option
def export(
    pool: str | None,
    term: str | None,
    out: Path,
    formats: tuple[str, ...],
    math: str | None,
    purpose: "Purpose | None",
    profile: "Profile",
    canary: bool,
    copies: int | None,
    paper: "Paper",
    pdf: bool,
    bank: str | None,
    forms: bool,
    release: str | None,
    jobs: int,
    cluster: str | None,
    as_json: bool,
) -> None:
    """Write what the bank holds of the POOL for a term as packages, audited and on record.

    POOL is the id of a pool, or its file. A release of before can be written again at any time,
    also one with questions that were withdrawn since; its load card says so.

    \b
    Examples:
      itembank export congruences-quiz --term 2027-spring --bank nt210.db --out packages
      itembank export --release congruences-quiz-2027-spring --bank nt210.db --out again
    """
    from itembank.terms import export as exporting

    if release is not None:
        if pool or term or forms:
            raise click.UsageError(
                worded("--release stands alone; leave out POOL, --term and --forms")
            )
        if not formats and (math or purpose or canary or copies or pdf):
            raise click.UsageError(
                worded(
                    "--math, --as, --canary, --copies and --pdf are of a format; name it with --to"
                )
            )
        kept = opened_bank(bank_of("", bank))
        asked = (
            ()
            if not formats
            else targets(formats, math, purpose, profile, canary, copies, paper, pdf)
        )
        with workers(jobs, cluster) as executor, progress(release, max(1, len(asked))) as done:
            again = exporting.export_again(kept, release, files.folder(out), asked, done, executor)
        tell_made((again,), files.folder(out), as_json)
        return
    if not pool or not term:
        raise click.UsageError(
            worded("expected a POOL and --term, or --release with a release on record")
        )
    wanted = targets(formats, math, purpose, profile, canary, copies, paper, pdf)
    _export_pool(
        pool,
        term_named(term),
        out,
        wanted,
        bank,
        forms=forms,
        jobs=jobs,
        cluster=cluster,
        as_json=as_json,
    )


def _export_pool(
    pool: str,
    term: str,
    out: Path,
    wanted: "Sequence[Target]",
    bank: str | None,
    *,
    forms: bool,
    jobs: int,
    cluster: str | None,
    as_json: bool,
) -> None:
    from itembank.review import deciding
    from itembank.terms import export as exporting
    from itembank.terms.decisions import refuse_returned

    kept = opened_bank(bank_of(pool, bank))
    folder = files.folder(out)
    words = deciding.record_beside(shipped_pool_or_file(pool)).words()
    refuse_returned(kept, pool_id(pool), term, deciding.spoken(words))
    if forms:
        from itembank.terms import assembly as assembling

        with (
            workers(jobs, cluster) as executor,
            progress(f"{pool_id(pool)} {term}", len(wanted)) as done,
        ):
            of_forms = assembling.export_forms(
                kept, pool_id(pool), term, folder, wanted, done, executor
            )
        if as_json:
            say_json([made_as_json(made, folder) for made in of_forms])
        else:
            for made in of_forms:
                tell_made((made,), folder, as_json)
        return
    with (
        workers(jobs, cluster) as executor,
        progress(f"{pool_id(pool)} {term}", len(wanted)) as done,
    ):
        made = exporting.export(kept, pool_id(pool), term, folder, wanted, done, executor)
    tell_made((made,), folder, as_json)
