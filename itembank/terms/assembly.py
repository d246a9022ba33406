"""Parallel forms of a pool's term: assembled from what the bank holds, recorded, exported.

A form takes of every group what a student gets.  The request, the items that were there, the
solver and the gap it proved go on record, so that a form can be made again and defended.
"""

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from pathlib import Path
from string import ascii_uppercase
from typing import Any

from exporters.release import Target, target
from itembank.bank import Bank, draws, entries, releases
from itembank.bank import forms as records
from itembank.bank.forms import Assembly, Form
from itembank.bank.releases import Contents, Part
from itembank.forms import form_of
from itembank.languages import Speaker, say
from itembank.pipeline.making import Made, Progress, file_names, unheard
from itembank.terms import parallel as forms
from itembank.terms.export import base_name, release
from itembank.terms.parallel import Assembled, Piece, Pieces
from itembank.values.errors import BankError
from itembank.values.files import refuse_unless_writable
from itembank.values.item import Item

SHARE = 20
"""Without a stated gap the effort sums may differ by one in twenty of their average."""


@dataclass(frozen=True, kw_only=True)
class Forms:
    """The forms of a pool and term; `new` unless the same request was on record."""

    assembly: Assembly
    new: bool


def assemble(bank: Bank, pool: str, term: str, number: int, most: int | None = None) -> Forms:
    """So many parallel forms of what the pool holds for the term.

    Their effort sums differ by at most `most`.  The same request for the same items gives what
    is on record.  Raises DrawError where there are no such forms.
    """
    with bank.reading() as connection:
        term_number = entries.known_term(connection, term)
        contents = releases.drawn_contents(connection, pool, term_number, term)
        held = {h.item: h for h in draws.held(connection, pool, term_number)}
        places = {
            n: place_of_key(item)
            for n, item in zip(
                contents.items, entries.stored_items(connection, contents.items), strict=True
            )
        }
        latest = records.latest(connection, pool, term_number)
    groups = [
        Pieces(
            part.family,
            part.choose,
            tuple(
                Piece(i, held[i].steps, tuple(sorted(held[i].signs)), places[i]) for i in part.items
            ),
        )
        for part in contents.parts
    ]
    if most is None:
        average = sum(
            group.choose * sum(p.effort for p in group.pieces) // len(group.pieces)
            for group in groups
        )
        most = max(1, average // SHARE)
    request = request_of(contents, number, most, [held[i].identifier for i in contents.items])
    if latest is not None and latest.request == request:
        return Forms(assembly=latest, new=False)
    found = forms.parallel_forms(groups, number, most)
    made = tuple(
        Form(name, items) for name, items in zip(ascii_uppercase, found.forms, strict=False)
    )
    result = result_of(found, contents, places)
    with bank.writing() as connection:
        records.record(connection, pool, term_number, request, result, made)
    return Forms(assembly=Assembly(request, result, made), new=True)


def place_of_key(item: Item) -> int | None:
    """Where the right option stands among those to choose one from, counted from 0."""
    form = form_of(item.response)
    place = form.place(item.response) if form.options(item.response) else None
    return None if place is None else place - 1


def request_of(contents: Contents, number: int, most: int, items: Sequence[str]) -> dict[str, Any]:
    """All that the program depends on: its constraints in words and numbers, and the items."""
    return {
        "forms": number,
        "most_difference": most,
        "content": [[part.family, part.choose] for part in contents.parts],
        "constraints": [
            "each form takes exactly so many of each group",
            "no item on two forms",
            "no near twins on one form",
            "places of the key spread evenly",
        ],
        "objective": "the smallest difference between the largest and the smallest effort sum",
        "items": list(items),
    }


def result_of(
    found: Assembled, contents: Contents, places: dict[int, int | None]
) -> dict[str, Any]:
    return {
        "effort": list(found.sums),
        "gap": found.gap,
        "bound": found.bound,
        "uneven": found.uneven,
        "solver": found.solver,
        "places": [
            [place for item in form if (place := places[item]) is not None] for form in found.forms
        ],
        "points": sum(part.choose * part.points for part in contents.parts),
    }


# ------------------------------------------------------------ export


def export_forms(
    bank: Bank,
    pool: str,
    term: str,
    out: Path,
    formats: Sequence[str | Target],
    progress: Progress = unheard,
    executor: Executor | None = None,
) -> tuple[Made, ...]:
    """Each form of the last assembly as packages of its own, audited and on record.

    Raises BankError where there is none, or an item of it was withdrawn meanwhile.
    """
    with bank.reading() as connection:
        number = entries.known_term(connection, term)
        contents = releases.drawn_contents(connection, pool, number, term)
        assembly = records.latest(connection, pool, number)
        again = f"`itembank draw {pool} --term {term} --forms N` assembles them"
        if assembly is None:
            raise BankError(f"pool {pool}: it has no parallel forms for {term}; {again}")
        items = [item for form in assembly.forms for item in form.items]
        gone = records.withdrawn_of(connection, items)
        if gone:
            raise BankError(
                f"pool {pool}: {len(gone)} items of its forms for {term} were withdrawn; "
                f"{again} anew"
            )
    bases = [f"{base_name(pool, term)}-{form.name}" for form in assembly.forms]
    wanted = tuple(map(target, formats))
    refuse_unless_writable(*(out / n for base in bases for n in file_names(base, wanted)))
    return tuple(
        release(
            bank,
            base,
            pool,
            term,
            contents_of(form, contents),
            out,
            formats,
            progress,
            executor=executor,
        )
        for base, form in zip(bases, assembly.forms, strict=True)
    )


def contents_of(form: Form, contents: Contents) -> Contents:
    """The groups with the form's items alone, of which a student gets all."""
    parts: list[Part] = []
    for part in contents.parts:
        chosen = tuple(item for item in part.items if item in form.items)
        parts.append(replace(part, items=chosen, choose=len(chosen)))
    told = say("{title}, form {form}", title=contents.title, form=form.name)
    title = Speaker(contents.language).text(told)
    return replace(contents, title=title, parts=tuple(parts), form=form.name)
