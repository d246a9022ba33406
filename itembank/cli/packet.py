"""packet and decide: the reviewer's file, and what comes back."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from itembank.cli.arguments import (
    bank_of,
    language_named,
    opened_bank,
    pool_named,
    shipped_pool_or_file,
    term_named,
)
from itembank.cli.console import echo, json_option, progress, say_json
from itembank.cli.options import bank_option, specs_option
from itembank.values.worded import joined, laid_out, tallied, worded

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from exporters.release import Release
    from itembank.review.deciding import Applied, Missing, Record
    from itembank.spec import Pool
    from itembank.values.item import Item
    from itembank.values.verdicts import Return, Spoken


@click.command()
@click.argument("source", metavar="POOL_OR_PACKAGE")
@click.option("--term", help="The term of a pool, such as 2027-spring; a package has its own.")
@click.option(
    "--out",
    required=True,
    type=click.Path(dir_okay=False, path_type=Path),
    help="The file that is written, such as review.html.",
)
@click.option(
    "--language",
    metavar="TAG",
    help="The reviewer's language, such as de. Default: the language of the pool; English for a"
    " package.",
)
@specs_option
@bank_option
def packet(
    source: str,
    term: str | None,
    out: Path,
    language: str | None,
    specs: tuple[Path, ...],
    bank: str | None,
) -> None:
    """Write the reviewer's packet: one HTML file that opens in any browser.

    It holds every question as a student meets it, and after an answer the key with its evidence;
    the reviewer decides in it and saves a file for `itembank decide`. What is accepted on record is
    not asked again; of an item that has changed since, the changed lines are shown. A return that
    is open on record is shown with its item, so that a third person can settle it.
    A reviewer need not read in the language of the questions, which stand as students meet them;
    of a pool in several languages each question stands there in all of them.

    \b
    Examples:
      itembank packet congruences-quiz --term 2027-spring --out review.html
      itembank packet congruences-quiz --term 2027-spring --language de --out review.html
      itembank packet packages/congruences-quiz-2027-spring-qti21.zip --out review.html
    """
    from itembank.languages.catalogue import ENGLISH
    from itembank.review import packet_of_package, packet_of_release
    from itembank.values.files import refuse_unless_writable, write_whole

    refuse_unless_writable(out)
    if language is not None:
        language_named(language)
    if Path(source).suffix == ".zip":
        write_whole(out, packet_of_package(Path(source), language or ENGLISH))
    else:
        if term is None:
            raise click.UsageError(worded("a pool needs --term, such as --term 2027-spring"))
        from itembank.review.deciding import record_beside

        pool = pool_named(source, specs)
        place = _bank_in_use(source, bank)
        release, *editions = _editions_of(pool, term_named(term), place)
        record = record_beside(shipped_pool_or_file(source))
        *beside, words = _spoken_of(pool, term, record, place)
        others = [word for said in beside for word in said]
        wanted = {
            part.id: e.family.guessing
            for e in pool.entries
            for part in e.family.each
            if e.family.guessing
        }
        write_whole(out, packet_of_release(release, words, others, language, wanted, editions))
    echo(worded("{file}: for the reviewer, who needs only a browser", file=out))


def _bank_in_use(pool: str, bank: str | None) -> str | None:
    """The bank that is named, or stands beside the pool; None where there is none."""
    place = bank_of(pool, bank)
    return place if bank or Path(place).is_file() else None


def _items_of(pool: "Pool", term: str, bank: str | None) -> "Release":
    """The pool's items for a term, in its first language."""
    return next(iter(_editions_of(pool, term, bank, pool.editions()[:1])))


def _editions_of(
    pool: "Pool", term: str, bank: str | None, wanted: "Sequence[Pool] | None" = None
) -> "Sequence[Release]":
    """The pool's items for a term in each of its languages, the first one first, or in those
    that are wanted: as the bank holds them, or drawn from the seed."""
    from itembank.pipeline import making

    first, *others = wanted or pool.editions()
    if bank:
        from itembank.terms.decisions import drawn_release
        from itembank.terms.editions import edition_of

        release = drawn_release(opened_bank(bank), pool.id, term)
        return [release, *(edition_of(release, pool, other) for other in others)]
    with progress(f"{pool.id} {term}", sum(entry.variants for entry in pool.entries)) as done:
        return making.editions((first, *others), term, done)


@click.command()
@click.argument(
    "decisions", metavar="DECISIONS", type=click.Path(exists=True, dir_okay=False, path_type=Path)
)
@click.option(
    "--pool",
    metavar="POOL",
    help="The pool's file or id. Default: the pool that the decisions name.",
)
@specs_option
@bank_option
@click.option(
    "--replace",
    "replacing",
    is_flag=True,
    help="Draw another question in place of each that a return holds; needs a bank.",
)
@json_option
def decide(
    decisions: Path,
    pool: str | None,
    specs: tuple[Path, ...],
    bank: str | None,
    replacing: bool,
    as_json: bool,
) -> None:
    """Put a reviewer's decisions on record, each bound to the hash of what was seen.

    Where an item has changed since, the facets that the change touches are asked again, and its
    changed lines are shown; what was said of the others stands. A return is
    open until its own reviewer takes it back or a third person settles it in a packet; each one
    that still holds an item is told. The record is POOL.decisions.json beside the pool's file
    (for a shipped pool: here), and the bank where there is one.

    With --replace a returned question is replaced at once where the pool has another; the packet
    is then made anew, and the export leaves the returned one out.

    \b
    Example:
      itembank decide congruences-quiz-2027-spring-R-Moss-decisions.json --pool quiz.yaml
    """
    from exporters.release import in_order
    from itembank.review import deciding
    from itembank.values.files import refuse_unless_writable
    from itembank.values.verdicts import carried

    file = deciding.read_decisions(decisions)
    name = pool or file.pool
    loaded = pool_named(name, specs)
    if loaded.id != file.pool:
        raise deciding.DecisionError(
            worded(
                "{file}: decisions on the pool {pool}; --pool names {named}",
                file=decisions,
                pool=file.pool,
                named=loaded.id,
            )
        )
    deciding.refuse_own_review(file, loaded.author, loaded.persons)
    place = _bank_in_use(name, bank)
    if replacing and not place:
        raise click.UsageError(worded("--replace draws from a bank; name it with --bank"))
    items = list(in_order(_items_of(loaded, term_named(file.term), place).groups))
    deciding.refuse_false_packet(
        file, [(i.fingerprint, (i.provenance.family, i.provenance.index)) for i in items]
    )
    record = deciding.record_beside(shipped_pool_or_file(name))
    refuse_unless_writable(record.path)
    outcomes = list(deciding.applied(file, items))
    deciding.refuse_false_settlements(
        file, loaded.author, outcomes, _on_record(items, loaded, file.term, record, place)
    )
    new = deciding.words_of(file, outcomes)
    if place:
        from itembank.terms.decisions import enter

        enter(opened_bank(place), carried(deciding.spoken(new), items))
    added = record.add(new)
    returns = deciding.returns_of(_on_record(items, loaded, file.term, record, place))
    still = [(item, r) for item in items for r in returns.get(item.fingerprint, ())]
    new_ones = _replaced(place, loaded, file.term) if replacing and place and still else {}
    if as_json:
        told = _outcomes_as_json(outcomes, added, record.path, still)
        drawn_instead = {family: n for family, (n, _others) in new_ones.items()}
        say_json({**told, "drawn_instead": drawn_instead} if replacing else told)
    else:
        _tell(outcomes, added, record.path, still)
        for family, (n, instead) in new_ones.items():
            others = [
                worded("{n} of these of {family} instead", n=k, family=other)
                for other, k in instead.items()
            ]
            told_new = worded("{n} drawn in place of what was returned", n=n)
            echo(
                worded(
                    "{family}: {told}; make the packet anew",
                    family=family,
                    told=joined(", ", [told_new, *others]),
                )
            )
    if any(outcome.outcome != "stands" for outcome in outcomes):
        sys.exit(1)


def _replaced(place: str, pool: "Pool", term: str) -> dict[str, tuple[int, dict[str, int]]]:
    """Other questions in place of those that a return holds, by the family of these.

    How many, and how many of these are of each family that stands in.
    """
    from itembank.terms import draw

    drawn = draw.draw(opened_bank(place), pool, term, replacing=True)
    both = {name: n + drawn.reused[name] for name, n in drawn.fresh.items()}
    return {name: (n, drawn.instead.get(name, {})) for name, n in both.items() if n}


def _on_record(
    items: "Sequence[Item]", pool: "Pool", term: str, record: "Record", bank: str | None
) -> "list[Sequence[Spoken]]":
    """What on record is about the items as they are: beside the pool, and in the bank."""
    from itembank.values.verdicts import carried

    return [carried(words, items) for words in _spoken_of(pool, term, record, bank)]


def _spoken_of(
    pool: "Pool", term: str, record: "Record", bank: str | None
) -> "list[Sequence[Spoken]]":
    """What is on record of the pool's items: beside the pool, and then in the bank, if any.

    Acceptances count on the last of them.
    """
    from itembank.review.deciding import spoken

    records: list[Sequence[Spoken]] = [spoken(record.words())]
    if bank:
        from itembank.terms.decisions import heard

        records.append(heard(opened_bank(bank), pool.id, term))
    return records


def _tell(
    outcomes: "Sequence[Applied]", added: int, path: Path, still: "Sequence[tuple[Item, Return]]"
) -> None:
    from itembank.review.deciding import Decision

    for outcome in outcomes:
        for line in _told(outcome):
            echo(line)
    for item, one in still:
        echo(
            worded(
                "{item}: {title}: still open: {said}",
                item=item.identifier,
                title=item.title,
                said=one,
            )
        )
    stands = [o.decision for o in outcomes if o.outcome == "stands"]
    partly = sum(o.outcome == "in part" for o in outcomes)
    verdicts = [d.verdict for d in stands if isinstance(d, Decision)]
    settled = len(stands) - len(verdicts)
    parts = [
        worded("{n} accepted", n=verdicts.count("accepted")),
        worded("{n} returned", n=verdicts.count("returned")),
        *([worded("{n} in part", n=partly)] if partly else ()),
        worded("{n} void", n=len(outcomes) - len(stands) - partly),
    ]
    clauses = [
        laid_out("{path}: {counts}", path=path, counts=joined(", ", parts)),
        worded("{n} new on record", n=added),
        *([worded("{n} settled", n=settled)] if settled else ()),
        *([tallied("{n} return open", "{n} returns open", len(still))] if still else ()),
    ]
    echo(joined("; ", clauses))


def _told(outcome: "Applied") -> "Iterator[str]":
    """What became of a decision that is not plainly an acceptance."""
    from itembank.review.deciding import Settlement

    decision = outcome.decision
    names = {"item": decision.item, "title": outcome.title}
    was = _WAS[decision.verdict]
    if outcome.outcome == "gone":
        yield worded("{item}: no longer in the pool; the decision is void", item=decision.item)
    elif outcome.outcome == "in part":
        yield worded(
            "{item}: {title}: {facets} changed since it was {was}; review that again, the rest "
            "stands:",
            facets=joined(", ", map(_facet_named, outcome.void)),
            was=was,
            **names,
        )
        yield from (f"  {line}" for line in outcome.difference)
        yield from _told_returns(outcome)
    elif outcome.outcome == "changed":
        yield worded(
            "{item}: {title}: has changed since it was {was}; the decision is void, review it "
            "again",
            was=was,
            **names,
        )
        yield from (f"  {line}" for line in outcome.difference)
    elif isinstance(decision, Settlement):
        settled = {
            "facet": _facet_named(decision.facet),
            "person": decision.over,
            "comment": decision.comment,
            **names,
        }
        if decision.verdict == "accepted":
            yield worded(
                "{item}: {title}: {facet}: the return by {person} is set aside: {comment}",
                **settled,
            )
        else:
            yield worded(
                "{item}: {title}: {facet}: the return by {person} is upheld: {comment}", **settled
            )
    else:
        yield from _told_returns(outcome)


_WAS = {"accepted": worded("accepted"), "returned": worded("returned")}
"""The verdicts, as they stand in a sentence."""

_FACET_NAMES = {
    "key": worded("key"),
    "wording": worded("wording"),
    "distractors and feedback": worded("distractors and feedback"),
    "accessibility": worded("accessibility"),
}
"""The facets of an item, as a sentence names them."""


def _facet_named(facet: str) -> str:
    return _FACET_NAMES.get(facet, facet)


def _told_returns(outcome: "Applied") -> "Iterator[str]":
    """Each facet that the decision returns, as it is now."""
    from itembank.review.deciding import Decision

    decision = outcome.decision
    for facet, said in decision.facets.items() if isinstance(decision, Decision) else ():
        if said.verdict == "returned" and facet not in outcome.void:
            yield worded(
                "{item}: {title}: returned: {facet}: {comment}",
                item=decision.item,
                title=outcome.title,
                facet=_facet_named(facet),
                comment=said.comment,
            )


def _outcomes_as_json(
    outcomes: "Sequence[Applied]", added: int, path: Path, still: "Sequence[tuple[Item, Return]]"
) -> dict[str, object]:
    from itembank.review.deciding import Settlement

    return {
        "record": str(path),
        "added": added,
        "decisions": [
            {
                "item": o.decision.item,
                "title": o.title,
                "verdict": o.decision.verdict,
                "outcome": o.outcome,
                "void": list(o.void),
                "difference": list(o.difference),
            }
            | ({"settles": o.decision.over} if isinstance(o.decision, Settlement) else {})
            for o in outcomes
        ],
        "open_returns": [
            {
                "item": item.identifier,
                "title": item.title,
                "facet": one.facet,
                "reviewer": one.person,
                "date": one.date,
                "comment": one.comment,
            }
            for item, one in still
        ],
    }


def tell_missing(missing: "Sequence[Missing]") -> None:
    """What was left out of a package, on standard error."""
    for item in missing:
        for reason in item.reasons:
            echo(
                worded(
                    "{item}: {title}: {reason}; left out",
                    item=item.identifier,
                    title=item.title,
                    reason=reason,
                ),
                err=True,
            )
