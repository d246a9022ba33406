"""Which variants of a family a pool gets, and the items made of them.

Near twins never meet on one form; effort stays in the band that the pool allows; what the
record of earlier terms refuses is passed over, and problems that have rested long enough come
again only when nothing fresh is left.

Both stages, trying parameter sets and composing items, can be spread over any executor with the
interface of `concurrent.futures`; what they give does not depend on it.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from itertools import chain, islice, product
from typing import TypeVar

from itembank.kinds.base import Problem
from itembank.languages.catalogue import ENGLISH
from itembank.notation.tree import Blocks
from itembank.pipeline import compose, titles
from itembank.pipeline.answers import aim
from itembank.pipeline.balance import Room, balanced
from itembank.pipeline.candidates import Attempt, Candidate, Effort, Fits, LateError, attempt
from itembank.pipeline.compose import Wording, draft
from itembank.pipeline.given_away import Told, given_away
from itembank.pipeline.parameter_sets import Parameters
from itembank.pipeline.ranges import range_of
from itembank.pipeline.variants import Batch, Evaluate, Stream, Variant, reasons
from itembank.second_way import table as second_way
from itembank.spec import Family, Pool, PoolEntry
from itembank.spec.pool import has
from itembank.spec.story import Texts
from itembank.values.answer import Absent, Answer, Pairs, ResidueSet, Truth, Value
from itembank.values.course import AS_USUAL, Methods, Teaching
from itembank.values.errors import ComposeError, DrawError, ProofError, ShortageError
from itembank.values.item import Item, Provenance
from itembank.values.points import Points
from itembank.values.sharing import in_order, several, together
from itembank.values.worded import figure, joined, laid_out, worded

# ------------------------------------------------------------ variants


@dataclass(frozen=True)
class Standing:
    """What the record says of a problem: refused with a reason, or free; and how often it was used.

    last: the number of the term of its last use.
    """

    refused: str = ""
    times: int = 0
    last: int = 0


Record = Callable[[Variant], Standing]


def _no_record(_variant: Variant) -> Standing:
    return Standing()


@dataclass(frozen=True)
class Band:
    """The least and the greatest effort of the variants that a pool takes."""

    least: Effort
    most: Effort

    def holds(self, effort: Effort) -> bool:
        low, high = self.least, self.most
        return (
            low.steps <= effort.steps <= high.steps
            and low.digits <= effort.digits <= high.digits
            and low.singular <= effort.singular <= high.singular
        )


def stream_of(family: Family, pool: Pool, seed: str, executor: Executor | None = None) -> Stream:
    evaluate = _evaluation(family, pool, executor) if executor else None
    methods = pool.teaching.methods
    suits = fits(family, *_forms_in(pool, family))
    return Stream(family, seed, suits, pool.letter, methods, evaluate)


def _forms_in(pool: Pool, family: Family) -> tuple[str, ...]:
    """The form in which a pool uses a family, or each of its parts; () where it does not.

    Parts that stand in for others are put as these are.
    """
    for entry in pool.entries:
        others = [other.id for other in entry.instead] if family.parts else []
        if family.id in (entry.family.id, *others):
            return entry.forms_used
    return ()


def _evaluation(family: Family, pool: Pool, executor: Executor) -> Evaluate:
    """The attempts of batches, made by an executor; with their effort where a pool limits it."""
    forms, methods = _forms_in(pool, family), pool.teaching.methods

    def evaluate(batches: Iterable[Batch], needed: Callable[[], int]) -> Iterator[Attempt]:
        tasks = ((family, forms, pool.letter, methods, pool.effort.limits, b) for b in batches)
        return chain.from_iterable(in_order(_attempts, tasks, executor, needed=needed))

    return evaluate


def _attempts(task: tuple[Family, tuple[str, ...], str, Methods, bool, Batch]) -> list[Attempt]:
    family, forms, letter, methods, effort, batch = task
    suits = fits(family, *forms)
    return [
        attempt(family, letter, suits, p, set(), methods, effort=effort)
        for p in batch.parameter_sets(family)
    ]


def chosen(
    stream: Stream,
    wanted: int,
    pool: Pool,
    twins: dict[str, str],
    record: Record = _no_record,
    band: Band | None = None,
    alone: bool = False,
) -> Iterator[Variant]:
    """The next variants of a stream that the pool may have, fresh problems first.

    Then those that have rested, the least used first, of these the longest rested.

    `twins` says which family holds which sign of near twins; variants that share one with
    another family are passed over, or with any variant where they must stand `alone`.
    Raises ShortageError where fewer than `wanted` are left, with what stood against the others.
    """
    passed: Counter[str] = Counter()
    entry = pool.entry_of(stream.family)
    left_out = entry.without if entry else ()
    rested: list[tuple[tuple[int, int], Variant]] = []
    given, stream.lacking = 0, wanted

    def fit(variant: Variant) -> bool:
        if any(has(variant.parameters, setting) for setting in left_out):
            passed["left out by the pool"] += 1
            return False
        own = None if alone else variant.family.id
        if any(twins.get(sign, own) != own for sign in variant.signs):
            passed["a near twin of another question"] += 1
            return False
        return True

    def fresh() -> Iterator[Variant]:
        for variant in stream:
            if band and not band.holds(variant.effort):
                passed["its effort outside the band"] += 1
            elif fit(variant):
                standing = record(variant)
                if standing.refused:
                    passed[standing.refused] += 1
                elif not standing.times:
                    yield variant
                else:
                    rested.append(((standing.times, standing.last), variant))

    def again() -> Iterator[Variant]:
        for _use, variant in sorted(rested, key=lambda one: one[0]):
            if fit(variant):
                yield variant

    found: Iterator[Variant] = chain(_even(fresh(), stream, fit), again())
    if entry and entry.having:
        found = filter(fit, _first_with(entry.having, found, pool, stream.family))
    for variant in found:
        twins.update(dict.fromkeys(variant.signs, variant.family.id))
        given += 1
        stream.lacking = wanted - given
        yield variant
        if given == wanted:
            return
    raise _ran_out(stream, wanted, given, pool, passed)


_SEARCHED = 5_000
"""Variants among which those that a pool asks for are looked for."""


def _first_with(
    settings: Sequence[Mapping[str, int]], variants: Iterator[Variant], pool: Pool, family: Family
) -> Iterator[Variant]:
    """The variants, first one for each setting of parameters; ShortageError where there is none."""
    wanted = list(settings)
    first: list[Variant] = []
    others: list[Variant] = []
    while wanted and len(others) < _SEARCHED and (variant := next(variants, None)):
        met = next((setting for setting in wanted if has(variant.parameters, setting)), None)
        if met is None:
            others.append(variant)
        else:
            wanted.remove(met)
            first.append(variant)
    if wanted:
        values = ", ".join(f"{name} = {n}" for name, n in wanted[0].items())
        raise ShortageError(
            worded(
                "pool {pool}: family {family}: expected a variant with {values}, as `with` says; "
                "none of {n} that may be drawn has it: look at `where`, and name fewer "
                "parameters",
                pool=pool.id,
                family=family.id,
                values=values,
                n=figure(f"{len(others) + len(first):,}"),
            ),
            0,
        )
    return chain(first, others, variants)


_SETS = ("all solutions", "the steps")
"""What is asked where a draw that is even as a whole is even enough in a group."""


def _even(
    variants: Iterator[Variant], stream: Stream, fit: Callable[[Variant], bool]
) -> Iterator[Variant]:
    """The variants in an order in which a group is as even in its answers as its number allows.

    The stream is even, but what a pool passes over may not be. One that waited for its turn may
    have become a near twin of one before it.
    """
    if stream.family.ask in _SETS:
        return variants
    wanted = aim(stream.family, f"{stream.key}/group")
    ordered = balanced(variants, lambda variant: (variant.answer, None), wanted)
    return (variant for variant in ordered if fit(variant))


def _ran_out(
    stream: Stream, wanted: int, given: int, pool: Pool, passed: Mapping[str, int]
) -> ShortageError:
    """The error for a family that has fewer variants than wanted, with what kept others out."""
    told: dict[str, object] = {
        "pool": pool.id,
        "family": stream.family.id,
        "wanted": wanted,
        "given": given,
    }
    if passed:
        why = [laid_out("{n} x {reason}", n=n, reason=reason) for reason, n in passed.items()]
        message = worded(
            "pool {pool}: family {family}: expected {wanted} variants, it has {given} left (passed "
            "over: {why}); widen its parameters or ask for fewer",
            why=joined("; ", why),
            **told,
        )
    elif stream.rejected:
        message = worded(
            "pool {pool}: family {family}: expected {wanted} variants, it has {given} ({attempts} "
            "parameter sets tried: {why}); widen its parameters or ask for fewer",
            attempts=figure(f"{stream.attempts:,}"),
            why=reasons(stream.rejected),
            **told,
        )
    else:
        message = worded(
            "pool {pool}: family {family}: expected {wanted} variants, it has {given}; widen its "
            "parameters or ask for fewer",
            **told,
        )
    return ShortageError(message, given)


# ------------------------------------------------------------ near twins

Signed = TypeVar("Signed")


def apart(
    things: Sequence[Signed],
    signs: Callable[[Signed], Iterable[str]],
    choose: int,
    family: str,
) -> list[list[Signed]]:
    """The things whole if no two are near twins, else in `choose` parts for one draw each.

    Twins stay together; the parts are as even as they allow.
    """
    if choose == 1:
        return [list(things)]
    clusters = _twin_clusters(things, signs)
    if len(clusters) == len(things):
        return [list(things)]
    if len(clusters) < choose:
        raise DrawError(
            worded(
                "family {family}: {choose} of its variants are to stand on one form, but all "
                "fall into {n} sets of near twins; choose fewer, or widen its parameters",
                family=family,
                choose=choose,
                n=len(clusters),
            )
        )
    parts: list[list[Signed]] = [[] for _ in range(choose)]
    for cluster in sorted(clusters, key=len, reverse=True):
        min(parts, key=len).extend(cluster)
    return parts


def _twin_clusters(
    things: Iterable[Signed], signs: Callable[[Signed], Iterable[str]]
) -> list[list[Signed]]:
    """The things, those that share a sign of near twins together."""
    clusters: list[tuple[set[str], list[Signed]]] = []
    for thing in things:
        found, members = set(signs(thing)), [thing]
        for cluster in [c for c in clusters if c[0] & found]:
            clusters.remove(cluster)
            found |= cluster[0]
            members = cluster[1] + members
        clusters.append((found, members))
    return [members for _signs, members in clusters]


# ------------------------------------------------------------ effort

_TYPICAL = 300
"""Variants from which the band of a family is set: fixed ones, so every term has the same band."""

Spread = Effort
"""How far apart the efforts of a family's variants may lie."""


def typical_efforts(family: Family, pool: Pool) -> list[Effort]:
    return [v.effort for v in islice(stream_of(family, pool, "effort"), _TYPICAL)]


def band_of(efforts: Sequence[Effort], spread: Spread) -> Band:
    """The band of this width that holds most of the efforts, the easiest such."""
    bands = (
        Band(low, Effort(low.steps + spread.steps, low.digits + spread.digits, top))
        for low, top in (
            (Effort(steps, digits, singular), singular + spread.singular)
            for steps, digits, singular in product(
                sorted({e.steps for e in efforts}),
                sorted({e.digits for e in efforts}),
                sorted({e.singular for e in efforts}),
            )
        )
    )
    return max(bands, key=lambda band: sum(map(band.holds, efforts)))


# ------------------------------------------------------------ items


def fits(family: Family, *used: str) -> Fits:
    """Whether a candidate can be put in every response form of its family, and what stands in.

    Where one form is `used`, a candidate that goes in it and not in all is late (LateError); of a
    family in parts a form each, the first of each if none is named.
    """
    if family.parts:
        forms = used if len(used) == len(family.parts) else [p.forms[0] for p in family.parts]
        return _fits_together(family, forms)
    in_all = fits_in(family, family.forms)
    if not used or used[0] not in family.forms or len(family.forms) == 1:
        return in_all
    alone = fits_in(family, used)

    def check(candidate: Candidate) -> Room | None:
        try:
            return in_all(candidate)
        except ComposeError as e:
            raise LateError(str(e), alone(candidate)) from None

    return check


def _fits_together(family: Family, forms: Sequence[str]) -> Fits:
    """Whether each part of a candidate fits, and none tells the key of another."""
    parts = list(zip(family.parts, forms, strict=True))
    alone = [fits(part, form) for part, form in parts]

    def check(candidate: Candidate) -> Room | None:
        rooms, late = [], ""
        for suits, one in zip(alone, candidate.parts, strict=True):
            try:
                rooms.append(suits(one))
            except LateError as e:
                rooms.append(e.room)
                late = late or str(e)
        told = [_told_in(*part, one) for part, one in zip(parts, candidate.parts, strict=True)]
        open_to_view = given_away(told)
        if open_to_view:
            raise ComposeError(open_to_view)
        if late:
            raise LateError(late, rooms[0])
        return rooms[0]

    return check


def _told_in(part: Family, form: str, found: Candidate) -> Told:
    """What a part of a candidate shows, and what answers it, in this form."""
    language = part.language
    provenance = Provenance(family=part.id, version=part.version, seed="", index=0)
    said = wording(part, form, part.worth, provenance, language)
    said = replace(said, range=range_of(part, found.solution.answer, found.parameters))
    said = _authored(said, part, found.parameters, language, "")
    return Told(
        letter=part.part,
        question=draft.asked(found.problem, said),
        item=compose.question(found.problem, found.solution, found.slips, said),
        may_be_told=part.may_be_given_away,
    )


def goes_in(variant: Variant, form: str) -> bool:
    """Whether a variant can be put in a form of its family, and in what stands in for it."""
    if not variant.late:
        return True
    try:
        fits_in(variant.family, (form,))(variant.candidate)
    except ComposeError:
        return False
    return True


def fits_in(family: Family, wanted: Sequence[str]) -> Fits:
    """Whether a candidate can be put in each of these forms, and in what stands in for them."""
    plain = (family.substitute(form) for form in wanted)
    forms = dict.fromkeys((*wanted, *filter(None, plain)))

    def check_forms(candidate: Candidate) -> Room | None:
        problem, solution, room = candidate.problem, candidate.solution, None
        within = range_of(family, solution.answer, candidate.parameters)
        for form in forms:
            slips = candidate.slips if compose.asks_for_slips(form, family.ask) else ()
            found = compose.check_form(
                form, problem, solution, slips, family.ask, family.spare, within
            )
            room = room or found
        return room

    return check_forms


def items(
    variants: Iterable[Variant], entry: PoolEntry, pool: Pool, executor: Executor | None = None
) -> Iterator[Item]:
    """The items of some variants, in order, each after the second way has agreed to its answer."""
    language, edition, teaching = pool.language, pool.edition, pool.teaching
    if executor is None:
        return (item_of(variant, entry, language, edition, teaching) for variant in variants)
    tasks = tasks_of(variants, entry, pool, together(executor))
    return chain.from_iterable(in_order(composed, tasks, executor, all_wanted=True))


Task = tuple[PoolEntry, str, str, Teaching, tuple[Variant, ...]]
"""Variants to be composed in any process."""


def tasks_of(variants: Iterable[Variant], entry: PoolEntry, pool: Pool, n: int) -> Iterator[Task]:
    """The variants n together."""
    for lot in several(variants, n):
        yield entry, pool.language, pool.edition, pool.teaching, lot


def composed(task: Task) -> list[Item]:
    entry, language, edition, teaching, variants = task
    return [item_of(variant, entry, language, edition, teaching) for variant in variants]


def item_of(
    variant: Variant,
    entry: PoolEntry,
    language: str = ENGLISH,
    edition: str = "",
    teaching: Teaching = AS_USUAL,
) -> Item:
    """The item of a variant in a language, after the second way has agreed to its answer.

    It depends on (family, version, seed, index) and on what the pool's entry says; the number
    in its title is the index, so that no two of one draw have one title.
    """
    family, found = variant.family, variant.candidate
    where = worded("family {id}, variant {index}", id=family.id, index=variant.index)
    prove(found.problem, found.solution.answer, where)
    provenance = Provenance(
        family=family.id, version=family.version, seed=variant.seed, index=variant.index
    )

    def in_form(form: str) -> Item:
        said = wording(family, form, entry.points, provenance, language, teaching)
        said = in_its_range(said, variant)
        if family.texts or family.part:
            said = _authored(said, family, variant.parameters, language, edition)
        made = compose.compose(found.problem, found.solution, found.slips, said)
        return replace(made, edition=edition) if edition else made

    item, plain = in_form(entry.form), family.substitute(entry.form)
    return replace(item, plain=in_form(plain)) if plain else item


def in_its_range(said: Wording, variant: Variant) -> Wording:
    """The wording with where the integers lie that are asked for, if its family says so."""
    found = range_of(variant.family, variant.solution.answer, variant.parameters)
    return replace(said, range=found) if found else said


def _authored(
    said: Wording, family: Family, parameters: Parameters, language: str, edition: str
) -> Wording:
    """The wording with what the author wrote for a variant."""

    def told(what: str, text: Texts | None) -> Blocks:
        return text.blocks(parameters, language, what, edition) if text else ()

    return replace(
        said,
        lead=told("story", family.scenario),
        part=family.part,
        parts=family.number_of_parts,
        story=told("story", family.story),
        formal=family.formal,
        hints=tuple(block for hint in family.hints for block in told("hint", hint)),
        right=told("feedback", family.feedback.right),
        wrong=told("feedback", family.feedback.wrong),
    )


def wording(
    family: Family,
    form: str,
    points: Points,
    provenance: Provenance,
    language: str = ENGLISH,
    teaching: Teaching = AS_USUAL,
) -> Wording:
    return Wording(
        title=titles.of_item(family, provenance.index, language),
        ask=family.ask,
        form=form,
        rule=family.scoring,
        points=points,
        spare=family.spare,
        outcomes=family.outcomes,
        level=family.level,
        provenance=provenance,
        language=language,
        teaching=teaching,
    )


def prove(problem: Problem, answer: Answer, where: str) -> second_way.Verdict:
    """The verdict of the second way on a complete answer; ProofError unless it agrees."""
    verdict = second_way.decide(problem.statement, *claim_of(answer))
    if verdict.status != "agreed":
        raise ProofError(
            worded(
                "{where}: {statement}: the second way says {status}: {message}",
                where=where,
                statement="; ".join(problem.statement),
                status=verdict.status,
                message=verdict.message,
            )
        )
    return verdict


def claim_of(answer: Answer) -> tuple[str, second_way.Claim]:
    """The ask and the claim that say the whole answer to the second way."""
    match answer:
        case ResidueSet(parts):
            return "all solutions", [(part.modulus, part.classes) for part in parts]
        case Pairs(_, pairs):
            return "all solutions", pairs
        case Value(value):
            return "the value", value
        case Truth(holds):
            return "whether any", holds
        case Absent():
            return "the value", None


# ------------------------------------------------------------ items without a pool


def item_in_form(variant: Variant, form: str) -> Item:
    """The item; worth what its stages count where the form counts by stage."""
    language, worth = variant.family.language, variant.family.worth
    item = item_of(variant, entry(variant.family, form, worth), language)
    points = item.scoring.points
    if points == worth:
        return item
    return item_of(variant, entry(variant.family, form, points), language)


def entry(family: Family, form: str, points: Points) -> PoolEntry:
    return PoolEntry.model_construct(family=family, variants=1, choose=1, points=points, form=form)
