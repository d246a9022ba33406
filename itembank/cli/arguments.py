"""What users type, turned into pools, terms and folders; what cannot be is a usage error."""

from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from itembank.cli.console import echo
from itembank.values.errors import ItemBankError
from itembank.values.vocabulary import ON_PAPER, USUAL_FORMATS
from itembank.values.worded import worded

if TYPE_CHECKING:
    from exporters.release import Paper, Profile, Purpose, Target
    from itembank.bank import Bank
    from itembank.spec import Pool


def pool_named(pool: str, specs: Sequence[Path]) -> "Pool":
    """The pool of a file, or the shipped one of that id."""
    from itembank.kinds.table import SIGNATURES
    from itembank.spec import FamilyShelf, find_families, library, load_pool, shelf_beside
    from itembank.spec.nodes import near_miss

    path = Path(pool)
    if not path.suffix and not path.exists():
        shipped = library() / "pools" / f"{pool}.yaml"
        if not shipped.is_file():
            known = sorted(p.stem for p in (library() / "pools").glob("*.yaml"))
            here = f"{pool}.yaml" if path.with_name(f"{path.name}.yaml").is_file() else ""
            near = here or near_miss(pool, known)
            if near:
                told = worded(
                    "no pool file '{pool}', and no shipped pool of that id; did you mean '{near}'?",
                    pool=pool,
                    near=near,
                )
            else:
                told = worded(
                    "no pool file '{pool}', and no shipped pool of that id; expected one of: "
                    "{known}",
                    pool=pool,
                    known=", ".join(known),
                )
            raise click.UsageError(told)
        path = shipped
    if specs:
        return load_pool(path, FamilyShelf(find_families(specs), SIGNATURES))
    library_families = find_families([library() / "families"])
    if path.is_relative_to(library()):
        return load_pool(path, FamilyShelf(library_families, SIGNATURES))
    return load_pool(path, shelf_beside(path, library_families, SIGNATURES))


def term_named(term: str) -> str:
    """A term is part of file names: letters, digits, hyphens."""
    if (
        not term
        or len(term) > 40
        or not all(c.isascii() and (c.isalnum() or c in "-_") for c in term)
    ):
        raise click.BadParameter(
            worded(
                "expected letters, digits and hyphens, such as 2027-spring; got {term}",
                term=repr(term),
            ),
            param_hint="'--term'",
        )
    return term


def editions_of(pool: "Pool", languages: Sequence[str]) -> "tuple[Pool, ...]":
    """The pool in each of these languages, each once; in its own if none is named."""
    return pool.editions(tuple(dict.fromkeys(map(language_named, languages))))


def language_named(tag: str) -> str:
    """The tag of a language that the program speaks."""
    from itembank.languages.catalogue import languages
    from itembank.spec.course import is_spoken

    if not is_spoken(tag):
        raise click.BadParameter(
            worded(
                "expected a language with a catalogue: {known}; got {tag}",
                known=", ".join(languages()),
                tag=repr(tag),
            ),
            param_hint="'--language'",
        )
    return tag


def bank_of(pool: str, bank: str | None) -> str:
    """The bank that is named, or the one beside the pool's file; for a shipped pool it is here."""
    if bank:
        return bank
    path = Path(pool)
    folder = path.parent if path.suffix or path.exists() else Path()
    return str(folder / "itembank.db")


def opened_bank(place: str, create: bool = False) -> "Bank":
    """The bank of a place; what it waits for is told on standard error."""
    from itembank.bank import open_bank

    return open_bank(place, create, tell=partial(echo, err=True))


def shipped_pool_or_file(pool: str) -> Path:
    """The file of a pool; for a shipped one a file of its name here, where its records stand."""
    path = Path(pool)
    return path if path.suffix or path.exists() else Path(f"{pool}.yaml")


def pool_id(pool: str) -> str:
    """The id of a pool that is named by it, or by its file."""
    return Path(pool).stem


@contextmanager
def workers(jobs: int, address: str | None = None) -> Iterator[Executor | None]:
    """Who shares the work: processes, or a cluster of this address; None where one does it all."""
    if address is not None:
        from itembank.values.cluster import cluster

        if jobs != 1:
            raise click.UsageError(
                worded("--jobs and --cluster: expected one of them; leave one out")
            )
        with cluster(address) as shared:
            yield shared
        return
    if jobs == 1:
        yield None
        return
    from concurrent.futures import BrokenExecutor

    from itembank.values.sharing import Processes

    with Processes(jobs) as executor:
        try:
            yield executor
        except BrokenExecutor:
            raise ItemBankError(
                worded(
                    "--jobs: a process that shared the work was ended from outside; what was not "
                    "finished is not kept, so run the command again"
                )
            ) from None


def targets(
    formats: Sequence[str],
    math: str | None,
    purpose: "Purpose | None",
    profile: "Profile",
    canary: bool,
    copies: int | None = None,
    paper: "Paper" = "a4",
    pdf: bool = False,
) -> "tuple[Target, ...]":
    """The packages asked for, each format once; the usual formats if none is named.

    Copies make a quiz of what is printed.
    """
    from exporters.release import Target

    names = tuple(dict.fromkeys(formats)) or USUAL_FORMATS
    printed = set(names) & set(ON_PAPER)
    if copies and (not printed or purpose == "bank"):
        raise click.UsageError(
            worded(
                "--copies: of a quiz on paper; say --to {one} or {other}, and not --as bank",
                one=ON_PAPER[0],
                other=ON_PAPER[1],
            )
        )
    if pdf and "latex" not in names:
        raise click.UsageError(worded("--pdf: of sources in LaTeX; say --to latex too"))
    if pdf:
        from itembank.pipeline.printing import engine

        engine()
    return tuple(
        Target(name, math, purpose, profile, canary)
        if name not in printed
        else Target(
            name,
            math=None if name == "latex" and len(names) > 1 else math,
            purpose="quiz" if copies else purpose,
            profile=profile,
            canary=canary and not copies,
            copies=copies or 0,
            paper=paper,
            pdf=pdf and name == "latex",
        )
        for name in names
    )
