"""Parallel forms of a pool's term: assembled from what the bank holds, recorded, exported.

A form takes of every group what a student gets.  Where results tell what makes questions hard,
the effort that is balanced is the number of wrong answers to be expected, in hundredths; else it
is steps.  The request, the items that were there, the
solver and the gap it proved go on record, so that a form can be made again and defended.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from pathlib import Path
from string import ascii_uppercase
from typing import Any

from exporters.release import Target, target
from itembank.bank import Bank, Connection, draws, entries, releases
from itembank.bank import forms as records
from itembank.bank.draws import Held
from itembank.bank.forms import Assembly, Form
from itembank.bank.releases import Contents, Part
from itembank.forms import form_of
from itembank.languages import Speaker, say
from itembank.pipeline.making import Made, Progress, file_names, unheard
from itembank.terms import parallel as forms
from itembank.terms import scores
from itembank.terms.difficulty import Scale, scale_from
from itembank.terms.export import base_name, release
from itembank.terms.parallel import Assembled, Piece, Pieces
from itembank.values.errors import BankError, DrawError, NoModel
from itembank.values.files import refuse_unless_writable
from itembank.values.item import Item
from itembank.values.parts import is_first, letter_of, whole_of
from itembank.values.points import plain
from itembank.values.worded import worded, wording

_SHARE = 20
"""Without a stated gap the effort sums may differ by one in twenty of their average."""


@dataclass(frozen=True, kw_only=True)
class Forms:
    """The forms of a pool and term; `new` unless they were on record before.

    by_steps: why they are balanced by steps, and not by difficulty; "" where they are not, or
    were on record.
    """

    assembly: Assembly
    new: bool
    by_steps: str = ""


@dataclass(frozen=True, kw_only=True)
class Stock:
    """What a pool holds for a term, as assembly sees it.

    all: its pieces with those of withdrawn items, by number, each with the group it stands in.
    scale: by which their effort is what a class is expected to miss; None where it is their steps.
    parts: the other parts of a variant in parts, by its first, which stands for all of them.
    """

    contents: Contents
    all: dict[int, Piece]
    groups: dict[int, tuple[str, int]]
    names: dict[int, str]
    scale: Scale | None
    parts: dict[int, tuple[int, ...]]

    def with_parts(self, items: Iterable[int]) -> tuple[int, ...]:
        """Items with the other parts of those that are the first part of a variant."""
        return tuple(one for item in items for one in (item, *self.parts.get(item, ())))

    @property
    def pieces(self) -> list[Pieces]:
        return [
            Pieces(part.family, part.choose, tuple(self.all[i] for i in part.items))
            for part in self.contents.parts
            if is_first(part.family)
        ]

    @property
    def average(self) -> int:
        """The effort of a form, on average."""
        return sum(
            group.choose * sum(p.effort for p in group.pieces) // len(group.pieces)
            for group in self.pieces
        )


def stock(connection: Connection, pool: str, term: str, scale: Scale | None = None) -> Stock:
    """`scale`: that of the effort of its pieces, in hundredths of a wrong answer; else steps."""
    number = entries.known_term(connection, term)
    contents = releases.drawn_contents(connection, pool, number, term)
    held = draws.held(connection, pool, number, gone=True)
    items = dict(zip((h.item for h in held), _stored_of(connection, held), strict=True))
    efforts = {
        h.item: h.steps if scale is None else _wrong_in_hundred(scale, items[h.item]) for h in held
    }
    parts = _parts_of(held)
    for first, others in parts.items():
        efforts[first] += sum(efforts.pop(other) for other in others)
    return Stock(
        contents=contents,
        all={
            h.item: Piece(
                h.item, efforts.get(h.item, 0), tuple(sorted(h.signs)), place_of_key(items[h.item])
            )
            for h in held
        },
        groups={h.item: (h.family, h.part) for h in held},
        names={h.item: h.identifier for h in held},
        scale=scale,
        parts=parts,
    )


def _parts_of(held: Sequence[Held]) -> dict[int, tuple[int, ...]]:
    """The other parts of each variant in parts, in their order, by its first."""
    found: dict[tuple[str, tuple[str, int]], dict[str, int]] = {}
    for h in held:
        if letter := letter_of(h.family):
            found.setdefault((whole_of(h.family), h.variant), {})[letter] = h.item
    rows = (tuple(item for _letter, item in sorted(parts.items())) for parts in found.values())
    return {first: tuple(others) for first, *others in rows}


def _stored_of(connection: Connection, held: Sequence[Held]) -> Iterator[Item]:
    return entries.stored_items(connection, [h.item for h in held])


def _wrong_in_hundred(scale: Scale, item: Item) -> int:
    return scale.wrong_in_hundred(scores.features_of(item), item.provenance.family)


def _scale_of(assembly: Assembly) -> Scale | None:
    """By which the efforts of forms on record were told."""
    told = assembly.request.get("scale")
    return scale_from(told) if told else None


def assemble(bank: Bank, pool: str, term: str, number: int, most: int | None = None) -> Forms:
    """So many parallel forms of what the pool holds for the term.

    Their effort sums differ by at most `most`.  The same request for the same items gives what
    is on record, and so does any for forms that were released, with their withdrawn questions
    replaced.  Raises DrawError where there are no such forms, or others were released.
    """
    with bank.reading() as connection:
        term_number = entries.known_term(connection, term)
        latest = records.latest(connection, pool, term_number)
        released = releases.released_forms(connection, pool, term_number)
    if latest is not None and released:
        _refuse_others(pool, term, latest, released, number, most)
        return mended(bank, pool, term)
    scale, by_steps = None, ""
    try:
        scale = scale_from(scores.model_of(bank).as_json())
    except NoModel as error:
        by_steps = wording(error)
    with bank.reading() as connection:
        held = stock(connection, pool, term, scale)
    if most is None:
        most = max(1, held.average // _SHARE)
    request = _request_of(held, number, most)
    if latest is not None and latest.request == request:
        return Forms(assembly=latest, new=False, by_steps=by_steps)
    found = forms.parallel_forms(held.pieces, number, most)
    made = tuple(
        Form(name, held.with_parts(items))
        for name, items in zip(ascii_uppercase, found.forms, strict=False)
    )
    made_now = _recorded(bank, pool, term, Assembly(request, _result_of(found, held), made))
    return replace(made_now, by_steps=by_steps)


def _refuse_others(
    pool: str, term: str, latest: Assembly, released: Sequence[str], number: int, most: int | None
) -> None:
    """DrawError for other forms than those that students may have sat."""
    if number == len(latest.forms) and most in (None, latest.request["most_difference"]):
        return
    raise DrawError(
        worded(
            "pool {pool}: its forms {released} for {term} are released, so they stay as "
            "they are: {n} forms, a gap of {request} at most; draw others for a term of "
            "another name",
            pool=pool,
            released=", ".join(released),
            term=term,
            n=len(latest.forms),
            request=latest.request["most_difference"],
        )
    )


def _recorded(bank: Bank, pool: str, term: str, assembly: Assembly) -> Forms:
    request, result = assembly.request, assembly.result
    with bank.writing() as connection:
        number = entries.known_term(connection, term)
        records.record(connection, pool, number, request, result, assembly.forms)
    return Forms(assembly=assembly, new=True)


# ------------------------------------------------------------ one question of a form


def mended(bank: Bank, pool: str, term: str) -> Forms:
    """The last forms, each question that was withdrawn replaced by an equal one.

    Equal: of the same group, on no form, no near twin of another on its form, and such that the
    effort sums differ by no more than was asked for.  Of these the nearest in effort, with the
    key in the same place if there is one.  All others stay.  Raises BankError where the pool holds
    none, or there are no forms.
    """
    with bank.reading() as connection:
        latest = _latest_forms(connection, pool, term)
        held = stock(connection, pool, term, _scale_of(latest))
    _refuse_undone(pool, term, latest, held)
    present = set(held.contents.items)
    spare = present - {item for form in latest.forms for item in form.items}
    made = {form.name: list(form.items) for form in latest.forms}
    replaced: dict[str, str] = {}
    for name, items in made.items():
        for place, gone in enumerate(items):
            if gone in present or not is_first(held.groups[gone][0]):
                continue
            found = _equal_piece(held, made, name, gone, spare, latest.request["most_difference"])
            if found is None:
                raise BankError(
                    worded(
                        "pool {pool}: form {name} for {term}: no question of {groups} that is left "
                        "over is equal to {names}; draw the pool again, with more variants in its "
                        "file "
                        "if need be, then run `itembank rescoring {names}`",
                        pool=pool,
                        name=name,
                        term=term,
                        groups=held.groups[gone][0],
                        names=held.names[gone],
                    )
                )
            items[place] = found
            for lost, new in zip(held.parts.get(gone, ()), held.parts.get(found, ()), strict=True):
                items[items.index(lost)] = new
            spare.discard(found)
            replaced[held.names[gone]] = held.names[found]
    if not replaced:
        return Forms(assembly=latest, new=False)
    sums = [_effort(held, items) for items in made.values()]
    result = {
        "effort": sums,
        "gap": max(sums) - min(sums),
        "bound": 0,
        "places": [_places_of(held, items) for items in made.values()],
        "points": latest.result["points"],
        "replaced": replaced,
    }
    request = {**latest.request, "items": [held.names[i] for i in held.contents.items]}
    whole = tuple(Form(name, tuple(items)) for name, items in made.items())
    return _recorded(bank, pool, term, Assembly(request, result, whole))


def _refuse_undone(pool: str, term: str, latest: Assembly, held: Stock) -> None:
    """BankError for forms of a draw that was undone."""
    if any(item not in held.all for form in latest.forms for item in form.items):
        raise BankError(
            worded(
                "pool {pool}: its forms for {term} are of a draw that was undone; `itembank "
                "draw {pool} --term {term} --forms {n}` assembles them anew",
                pool=pool,
                term=term,
                n=len(latest.forms),
            )
        )


def _equal_piece(
    held: Stock, made: Mapping[str, Sequence[int]], name: str, gone: int, spare: set[int], most: int
) -> int | None:
    """What takes the place of an item on a form, or None."""
    others = [item for item in made[name] if item != gone]
    signs = {sign for item in others for sign in held.all[item].signs}
    sums = [_effort(held, items) for form, items in made.items() if form != name]
    lost = held.all[gone]
    fitting = [
        piece
        for piece in map(held.all.__getitem__, spare)
        if held.groups[piece.item] == held.groups[gone]
        and signs.isdisjoint(piece.signs)
        and _width([*sums, _effort(held, others) + piece.effort]) <= most
    ]
    order = (
        (abs(piece.effort - lost.effort), piece.place != lost.place, piece.item)
        for piece in fitting
    )
    return min(order, default=(0, False, None))[-1]


def _effort(held: Stock, items: Sequence[int]) -> int:
    return sum(held.all[item].effort for item in items)


def _width(sums: Sequence[int]) -> int:
    return max(sums) - min(sums)


def place_of_key(item: Item) -> int | None:
    """Where the right option stands among those to choose one from, counted from 0."""
    form = form_of(item.response)
    place = form.place(item.response) if form.options(item.response) else None
    return None if place is None else place - 1


def _places_of(held: Stock, items: Sequence[int]) -> list[int]:
    return [place for item in items if (place := held.all[item].place) is not None]


def _request_of(held: Stock, number: int, most: int) -> dict[str, Any]:
    """All that the program depends on: its constraints in words and numbers, and the items."""
    return {
        "forms": number,
        "most_difference": most,
        "content": [[part.family, part.choose] for part in held.contents.parts],
        "constraints": [
            "each form takes exactly so many of each group",
            "no item on two forms",
            "no near twins on one form",
            "places of the key spread evenly",
        ],
        "objective": "the smallest difference between the largest and the smallest effort sum",
        "items": [held.names[item] for item in held.contents.items],
        **({"scale": held.scale.as_json()} if held.scale else {}),
    }


def _result_of(found: Assembled, held: Stock) -> dict[str, Any]:
    return {
        "effort": list(found.sums),
        "gap": found.gap,
        "bound": found.bound,
        "uneven": found.uneven,
        "solver": found.solver,
        "places": [_places_of(held, form) for form in found.forms],
        "points": plain(sum(part.choose * part.points for part in held.contents.parts)),
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
    only: Sequence[str] = (),
) -> tuple[Made, ...]:
    """Each form of the last assembly as packages of its own, audited and on record.

    `only`: the forms of these names alone.  Raises BankError where there is none, or an item of
    one was withdrawn meanwhile.
    """
    with bank.reading() as connection:
        number = entries.known_term(connection, term)
        contents = releases.drawn_contents(connection, pool, number, term)
        assembly = _latest_forms(connection, pool, term)
    gone = {item for form in assembly.forms for item in form.items} - set(contents.items)
    if gone:
        raise BankError(
            worded(
                "pool {pool}: {n} items of its forms for {term} were taken out; `itembank draw "
                "{pool} --term {term} --forms {other_n}` replaces them",
                pool=pool,
                n=len(gone),
                term=term,
                other_n=len(assembly.forms),
            )
        )
    wanted_forms = [form for form in assembly.forms if form.name in only or not only]
    bases = [f"{base_name(pool, term)}-{form.name}" for form in wanted_forms]
    wanted = tuple(map(target, formats))
    refuse_unless_writable(*(out / n for base in bases for n in file_names(base, wanted)))
    return tuple(
        release(
            bank,
            base,
            pool,
            term,
            _contents_of(form, contents),
            out,
            formats,
            progress,
            executor=executor,
        )
        for base, form in zip(bases, wanted_forms, strict=True)
    )


def _latest_forms(connection: Connection, pool: str, term: str) -> Assembly:
    """The last forms of a pool and term; BankError if there are none."""
    found = records.latest(connection, pool, entries.known_term(connection, term))
    if found is None:
        raise BankError(
            worded(
                "pool {pool}: it has no parallel forms for {term}; `itembank draw {pool} "
                "--term {term} --forms N` assembles them",
                pool=pool,
                term=term,
            )
        )
    return found


def _contents_of(form: Form, contents: Contents) -> Contents:
    """The groups with the form's items alone, of which a student gets all."""
    parts: list[Part] = []
    for part in contents.parts:
        chosen = tuple(item for item in part.items if item in form.items)
        parts.append(replace(part, items=chosen, choose=len(chosen)))
    told = say("{title}, form {form}", title=contents.title, form=form.name)
    title = Speaker(contents.language).text(told)
    return replace(contents, title=title, parts=tuple(parts), form=form.name)
