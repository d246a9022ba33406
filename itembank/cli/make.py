"""make: the main job."""

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from itembank.cli.arguments import (
    bank_of,
    editions_of,
    opened_bank,
    pool_named,
    shipped_pool_or_file,
    targets,
    term_named,
    workers,
)
from itembank.cli.console import echo, json_option, progress, say_json
from itembank.cli.options import (
    as_option,
    bank_option,
    canary_option,
    cluster_option,
    copies_option,
    jobs_option,
    languages_option,
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
from itembank.cli.packet import tell_missing
from itembank.values import files
from itembank.values.worded import tallied, worded

if TYPE_CHECKING:
    from exporters.release import Paper, Profile, Purpose, Release
    from itembank.pipeline.making import Made
    from itembank.spec import Pool
    from itembank.terms.export import Changed
    from itembank.values.item import Item


@click.command()
@click.argument("pool", metavar="POOL")
@term_option
@out_option
@to_option
@math_option
@as_option
@profile_option
@canary_option
@copies_option
@paper_option
@pdf_option
@languages_option
@specs_option
@bank_option
@new_term_option
@click.option(
    "--since",
    metavar="RELEASE",
    help="Write only what is new since a release of the bank, and list what to retire.",
)
@click.option(
    "--require-accepted",
    is_flag=True,
    help="Export only what a reviewer has accepted as it is (see decide), and say what is missing.",
)
@jobs_option
@cluster_option
@json_option
def make(
    pool: str,
    term: str,
    out: Path,
    formats: tuple[str, ...],
    math: str | None,
    purpose: "Purpose | None",
    profile: "Profile",
    canary: bool,
    copies: int | None,
    paper: "Paper",
    pdf: bool,
    languages: tuple[str, ...],
    specs: tuple[Path, ...],
    bank: str | None,
    new_term: bool,
    since: str | None,
    require_accepted: bool,
    jobs: int,
    cluster: str | None,
    as_json: bool,
) -> None:
    """Draw the POOL for a term, prove it, export it and audit what was written.

    POOL is a pool file, or the id of a shipped pool. With a bank, nothing is drawn that earlier
    terms have used, and the release goes on record. The bank is used if it is named, or if there
    is an itembank.db beside the pool's file (for a shipped pool: here); otherwise the seed and
    the term alone decide.

    In several languages, each has packages and a load card of its own, with the same questions
    under the same identifiers, to which languages after the pool's first are added. A bank holds
    the questions in the first, which is always written then.

    \b
    Examples:
      itembank make week-3-homework --term 2027-spring --out packages --to qti21 --to cc13
      itembank make lifting-homework --term 2027-spring --language en --language de --out packages
      itembank make congruences-quiz --term 2027-spring --to latex --copies 30 --pdf --out sheets
      itembank make quiz.yaml --term 2027-autumn --bank nt210.db --since quiz-2027-spring --out new
    """
    from itembank.pipeline import guesses, making
    from itembank.review import deciding

    loaded = pool_named(pool, specs)
    term = term_named(term)
    editions = editions_of(loaded, languages)
    out = files.folder(out)
    wanted = targets(formats, math, purpose, profile, canary, copies, paper, pdf)
    making.refuse_what_cannot_be_written(editions, term, out, wanted)
    total = sum(entry.variants for entry in loaded.entries)
    place = bank_of(pool, bank)
    banked = bank is not None or since is not None or Path(place).is_file()
    _refuse_what_is_told_of_one_language(editions, since, require_accepted)
    words = deciding.record_beside(shipped_pool_or_file(pool)).words()
    with (
        workers(jobs, cluster) as executor,
        progress(f"{loaded.id} {term}", total + len(wanted) * len(editions)) as done,
    ):
        if require_accepted:
            if since is not None:
                raise click.UsageError(worded("--require-accepted and --since do not go together"))
            if not banked:
                drawn = making.released(loaded, term, done, executor)
                accepted, missing = deciding.accepted_only(drawn, words)
                made = [making.written(accepted, out, wanted, done, executor=executor)]
            else:
                from itembank.terms import draw
                from itembank.terms.decisions import export_accepted

                kept = opened_bank(place, create=True)
                draw.draw(kept, loaded, term, done, executor, new_term=new_term)
                beside = deciding.spoken(words)
                exported, missing = export_accepted(
                    kept, loaded.id, term, out, wanted, done, executor, beside
                )
                made = [exported]
            tell_missing(missing)
        elif not banked:
            releases = making.editions(editions, term, done, executor)
            guesses.refuse_guessable(
                loaded.id, (entry.family for entry in loaded.entries), _groups_of(releases[0])
            )
            deciding.refuse_returned(releases[0], words)
            releases = tuple(deciding.with_stories(release, words) for release in releases)
            made = [*making.written_together(releases, out, wanted, done, executor=executor)]
        else:
            from itembank.terms import draw, export
            from itembank.terms.decisions import refuse_returned

            kept = opened_bank(place, create=True)
            draw.draw(kept, loaded, term, done, executor, new_term=new_term)
            refuse_returned(kept, loaded.id, term, deciding.spoken(words))
            if since is not None:
                changed = export.export_since(
                    kept, loaded.id, term, since, out, wanted, done, executor
                )
                _tell_changes(changed, out, as_json)
                return
            others = [edition for edition in editions if edition.edition]
            spoken = editions[0].languages if others else ()
            first = export.export(kept, loaded.id, term, out, wanted, done, executor, spoken)
            made = [first]
            if others:
                from itembank.terms.editions import write_editions

                made += write_editions(kept, loaded, first, others, out, wanted, done, executor)
    tell_made(made, out, as_json)


def _refuse_what_is_told_of_one_language(
    editions: "Sequence[Pool]", since: str | None, require_accepted: bool
) -> None:
    """A review, and what is new since a release, are those of the pool's first language."""
    others = [edition.language for edition in editions if edition.edition]
    first = editions[0].languages[0]
    if others and require_accepted:
        told = worded(
            "--require-accepted: reviewers sign for the questions in {first}; make them in "
            "{others} without it",
            first=first,
            others=", ".join(others),
        )
    elif others and since is not None:
        told = worded(
            "--since: releases on record are those in {first}; make them in {others} without it",
            first=first,
            others=", ".join(others),
        )
    else:
        return
    raise click.UsageError(told)


def tell_made(made: "Sequence[Made]", out: Path, as_json: bool) -> None:
    if as_json:
        first, *others = (made_as_json(one, out) for one in made)
        say_json({**first, "other_languages": others} if others else first)
        return
    for one in made:
        for written, report in one.packages:
            items = len(report.items)
            echo(worded("{file}: {n} items, all agreed", file=out / written.file, n=items))
        for path in one.printed:
            echo(worded("{file}: compiled", file=path))
        echo(worded("{file}: for the coordinator", file=one.card))
    _tell_guessed(made[0])
    echo(worded("Before students see them, a person reviews the items and signs for them."))


def _tell_guessed(made: "Made") -> None:
    """The questions that are the easiest to guess, and the groups that break a bound for sure."""
    from itembank.guessing import pool, telling

    found = pool.figures_of_groups(_groups_of(made.release))
    if worst := pool.easiest(found):
        family, figures = worst
        asked = tallied("{n} question", "{n} questions", figures.questions)
        echo(
            worded(
                "Easiest to guess: {family}, {asked}, {summary}.",
                family=family,
                asked=asked,
                summary=telling.summary(figures),
            )
        )
    for (family, form), figures in found.items():
        for line in telling.of_a_group(figures):
            echo(worded("Guessed: {family}, {form}: {line}.", family=family, form=form, line=line))


def _groups_of(release: "Release") -> "Iterator[tuple[str, Iterable[Item]]]":
    """The items of each group, under the name of their family."""
    for group in release.groups:
        yield group.family, group.items


def _tell_changes(changed: "Changed", out: Path, as_json: bool) -> None:
    if as_json:
        say_json(
            {
                "since": changed.since,
                "new": [c.identifier for c in changed.new],
                "retire": [c.identifier for c in changed.retire],
                "kept": changed.kept,
                "list": str(changed.list),
                "release": made_as_json(changed.made, out) if changed.made else None,
            }
        )
        return
    for written, report in changed.made.packages if changed.made else ():
        echo(
            worded(
                "{file}: {n} new items, all agreed", file=out / written.file, n=len(report.items)
            )
        )
    echo(
        worded(
            "{file}: since {since}, {n} new, {retired} to retire, {kept} kept",
            file=changed.list,
            since=changed.since,
            n=len(changed.new),
            retired=len(changed.retire),
            kept=changed.kept,
        )
    )


def made_as_json(made: "Made", out: Path) -> dict[str, object]:
    from itembank.guessing import pool, telling

    found = pool.figures_of_groups(_groups_of(made.release))
    worst = pool.easiest(found)
    return {
        "pool": made.release.pool_id,
        "term": made.release.term,
        "release": made.release.name,
        "language": made.release.language,
        "packages": [
            {
                "format": written.format,
                "file": str(out / written.file),
                "sha256": written.sha256,
                "items": len(report.items),
                "agreed": report.count("agreed"),
            }
            for written, report in made.packages
        ],
        "load_card": str(made.card),
        **({"printed": [str(path) for path in made.printed]} if made.printed else {}),
        "easiest_to_guess": worst and worst[0],
        "guessing": [
            {"family": family, "form": form, **telling.as_json(figures)}
            for (family, form), figures in found.items()
        ],
    }
