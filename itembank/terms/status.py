"""How a pool stands: what its families have left, for how many terms, and who meets what twice."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice
from typing import Any

from itembank.bank import Bank, entries, measured, releases, standing
from itembank.bank.draws import MOST_USES
from itembank.bank.releases import Contents
from itembank.bank.standing import FamilyUse
from itembank.pipeline.candidates import Effort
from itembank.pipeline.capacity import capacity
from itembank.pipeline.levels import misfit
from itembank.pipeline.making import Progress, unheard
from itembank.pipeline.selection import band_of, fits, stream_of, typical_efforts
from itembank.pipeline.species import Count
from itembank.pipeline.variants import Variant
from itembank.spec import Family, Pool, PoolEntry
from itembank.terms import exposure
from itembank.terms.difficulty import Features, Model, Share
from itembank.terms.features import features
from itembank.terms.outlook import Outlook, Supply, outlook, supplies
from itembank.terms.scores import model_of
from itembank.values.course import Term
from itembank.values.errors import BankError, NoModel
from itembank.values.parts import is_first
from itembank.values.worded import wording

_LOOKED_AT = 16
"""Variants of a family, the same each time, over which the expected share is averaged."""

_STUDENTS = (10, 30)
"""After so many students the share of a pool that was seen is told."""


@dataclass(frozen=True, kw_only=True)
class FamilyStanding:
    """A family of a pool.

    count: how many variants it has (within the pool's band of effort), as far as is known.
    left: those never used.  outlook: for how many terms it lasts from the next on, drawn as draws
    do, `wanted` a term with these rests; so many at least where only a lower bound is known.
    answered: how many of its questions students answered, by the results on record; right of them.
    expected: the share of a class that is right at one of its variants, by the model of difficulty;
    None where there is no model.
    """

    family: str
    count: Count
    use: FamilyUse
    answered: int
    right: int
    wanted: int
    rests: int
    doubted: tuple[tuple[str, str, str, str], ...]
    level: str = ""
    expected: Share | None = None

    @property
    def misfit(self) -> str:
        """What the expected share says against the family's level; "" for nothing."""
        return misfit(self.level, self.expected.low, self.expected.high) if self.expected else ""

    @property
    def variants(self) -> int:
        return self.count.known

    @property
    def exact(self) -> bool:
        return self.count.exact

    @property
    def left(self) -> Count:
        return self.count.less(self.use.used)

    def supplies(self, terms: int) -> list[Supply]:
        """What each of the next terms finds."""
        found = supplies(
            self.left.known, self.use.past, wanted=self.wanted, rests=self.rests,
            most_uses=MOST_USES, term=self.use.following,
        )  # fmt: skip
        return list(islice(found, terms))

    @property
    def outlook(self) -> Outlook:
        return outlook(
            self.left.known, self.use.past, wanted=self.wanted, rests=self.rests,
            most_uses=MOST_USES, term=self.use.following,
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Meeting:
    """What two students of a term have in common, on average, and how fast its pool leaks.

    with_last: what a student has in common with one of the term before; None if there is none.
    seen: the expected share of the items that some of so many students have had.
    """

    term: str
    questions: int
    common: Fraction
    none_common: Fraction
    with_last: Fraction | None
    seen: Mapping[int, Fraction]


@dataclass(frozen=True, kw_only=True)
class PoolStanding:
    """model: what makes the questions of the bank hard; None for a reason, `no_model`.

    ahead: the terms that the course lists after the last that was drawn for, in their order.
    """

    pool: str
    families: tuple[FamilyStanding, ...]
    terms: tuple[Meeting, ...]
    model: Model | None = None
    no_model: str = ""
    ahead: tuple[Term, ...] = ()

    @property
    def outlook(self) -> Outlook:
        """That of the scarcest family."""
        return min((f.outlook for f in self.families), key=lambda one: one.terms)


def status(bank: Bank, pool: Pool, progress: Progress = unheard) -> PoolStanding:
    """Families in the order of the pool, terms in that of the bank.

    How many variants a family has is measured once and kept in the bank.
    """
    model, why = None, ""
    try:
        model = model_of(bank)
    except NoModel as error:
        why = wording(error)
    return PoolStanding(
        pool=pool.id,
        families=tuple(standings(bank, pool, progress, model)),
        terms=tuple(meetings(bank, pool)),
        model=model,
        no_model=why,
        ahead=terms_ahead(bank, pool),
    )


def terms_ahead(bank: Bank, pool: Pool) -> tuple[Term, ...]:
    """The terms of the course after the last that the bank has drawn for."""
    with bank.reading() as connection:
        drawn = set(entries.drawn_terms(connection))
    last = max((i for i, term in enumerate(pool.terms) if term.name in drawn), default=-1)
    return pool.terms[last + 1 :]


def standings(
    bank: Bank, pool: Pool, progress: Progress = unheard, model: Model | None = None
) -> Iterator[FamilyStanding]:
    """Each family of a pool, in its order."""
    for entry in pool.entries:
        found = family_standing(bank, pool, entry)
        yield replace(found, expected=_expected(model, pool, entry)) if model else found
        progress(entry.family.id)


def _expected(model: Model, pool: Pool, entry: PoolEntry) -> Share | None:
    """What a class is expected to do at a variant of a family, over some of them."""
    shares = [
        model.share(features_of(part, own.form), own.family.id)
        for variant in islice(stream_of(entry.family, pool, "effort"), _LOOKED_AT)
        for part, own in zip(variant.each, entry.parts, strict=True)
    ]
    if not shares:
        return None
    n = len(shares)
    return Share(
        sum(s.right for s in shares) / n,
        sum(s.low for s in shares) / n,
        sum(s.high for s in shares) / n,
    )


def features_of(variant: Variant, form: str) -> Features:
    return features(variant.problem, variant.solution, variant.effort.steps, form)


def family_standing(bank: Bank, pool: Pool, entry: PoolEntry) -> FamilyStanding:
    family = entry.family
    count = count_of(bank, family)
    if pool.effort.limits:
        efforts = typical_efforts(family, pool)
        band = band_of(efforts, Effort(**pool.effort.model_dump()))
        count = count.share(sum(map(band.holds, efforts)), len(efforts))
    with bank.reading() as connection:
        names = [part.id for part in family.each]
        answers = [standing.answers(connection, name) for name in names]
        answered, right = (sum(numbers) for numbers in zip(*answers, strict=True))
        return FamilyStanding(
            family=family.id,
            count=count,
            use=standing.family_use(connection, names[0]),
            answered=answered,
            right=right,
            wanted=entry.variants,
            rests=pool.rests,
            doubted=tuple(d for name in names for d in standing.doubted(connection, name)),
            level=family.level,
        )


def count_of(bank: Bank, family: Family) -> Count:
    """How many variants a family has."""
    with bank.reading() as connection:
        number = entries.known_family(connection, family)
        found = measured.capacity(connection, number) if number is not None else None
    if found is None:
        found = capacity(family, fits(family)).count
        with bank.writing() as connection:
            number = entries.family_id(connection, family)
            if measured.capacity(connection, number) is None:
                measured.keep_capacity(connection, number, found)
    return found


# ------------------------------------------------------------ meetings


def meetings(bank: Bank, pool: Pool) -> Sequence[Meeting]:
    """For each term for which the pool was drawn."""
    found: list[Meeting] = []
    last: dict[int, Fraction] | None = None
    with bank.reading() as connection:
        for number, name in standing.all_terms(connection):
            try:
                contents = releases.drawn_contents(connection, pool.id, number, name)
            except BankError:
                continue
            exposures = _problem_exposures(
                contents, standing.problems_of(connection, contents.items)
            )
            found.append(_meeting(name, contents, exposures, last))
            last = exposures
    return found


def _problem_exposures(contents: Contents, problem: Mapping[int, int]) -> dict[int, Fraction]:
    """The share of the students who get each problem; of a variant in parts, its first one."""
    return {
        problem[item]: Fraction(part.choose, len(part.items))
        for part in contents.parts
        if is_first(part.family)
        for item in part.items
    }


def _meeting(
    term: str,
    contents: Contents,
    exposures: Mapping[int, Fraction],
    last: Mapping[int, Fraction] | None,
) -> Meeting:
    groups = [(len(p.items), p.choose) for p in contents.parts if is_first(p.family)]
    size = sum(n for n, _choose in groups)
    return Meeting(
        term=term,
        questions=sum(choose for _n, choose in groups),
        common=exposure.expected_common_by_groups(groups),
        none_common=exposure.chance_of_none_common_by_groups(groups),
        with_last=(
            sum((share * last.get(p, Fraction(0)) for p, share in exposures.items()), Fraction(0))
            if last is not None
            else None
        ),
        seen={
            students: sum(
                (n * exposure.share_seen(n, choose, students) for n, choose in groups), Fraction(0)
            )
            / size
            for students in _STUDENTS
        },
    )


# ------------------------------------------------------------ as data


def _rounded(value: Fraction | None) -> float | None:
    return None if value is None else round(float(value), 3)


def _share_as_json(share: Share) -> dict[str, float]:
    return {
        "right": round(share.right, 3),
        "low": round(share.low, 3),
        "high": round(share.high, 3),
    }


def _model_as_json(model: Model) -> dict[str, Any]:
    return {
        "weights": {
            name: {"logits": round(b, 4), "low": round(low, 4), "high": round(high, 4)}
            for name, b, low, high in model.weights()
        },
        "between_families": round(model.between, 4),
        "answers": model.answers,
        "questions": model.questions,
        "reports": model.sittings,
        "not_told_apart": list(model.alone),
    }


def as_json(found: PoolStanding) -> dict[str, Any]:
    return {
        "pool": found.pool,
        "runway": found.outlook.terms,
        "terms_ahead": [vars(term) for term in found.ahead],
        "difficulty": _model_as_json(found.model) if found.model else found.no_model,
        "families": [
            {
                "family": f.family,
                "variants": f.variants,
                "exact": f.exact,
                "used": f.use.used,
                "used_by_term": f.use.by_term,
                "resting": f.use.resting,
                "between": [f.count.least, f.count.most],
                "left": f.left.known,
                "runway": f.outlook.terms,
                "lacking": f.outlook.lacking,
                "returns": f.outlook.returns,
                "approved": f.use.approved,
                "withdrawn": f.use.withdrawn,
                "answered": f.answered,
                "right": f.right,
                "level": f.level,
                "expected": f.expected and _share_as_json(f.expected),
                "misfit": f.misfit,
                "doubted": [
                    {"item": i, "title": title, "term": term, "advice": advice}
                    for i, title, term, advice in f.doubted
                ],
            }
            for f in found.families
        ],
        "terms": [
            {
                "term": m.term,
                "questions": m.questions,
                "common_to_two_students": _rounded(m.common),
                "chance_of_nothing_common": _rounded(m.none_common),
                "common_with_last_term": _rounded(m.with_last),
                "seen_after": {str(n): _rounded(share) for n, share in m.seen.items()},
            }
            for m in found.terms
        ],
    }
