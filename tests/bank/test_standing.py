"""Three simulated terms of one course: what is left, for how long, and who meets what twice."""

from fractions import Fraction
from itertools import product

import pytest

from itembank.bank import decisions, entries, releases
from itembank.pipeline.capacity import capacity
from itembank.pipeline.selection import fits
from itembank.terms import draw, exposure, status

TERMS = ("2027-spring", "2027-autumn", "2028-spring")
ENTRIES = (
    "  - {family: square-roots-power-of-two, variants: 8, choose: 2}\n"
    "  - {family: count-square-roots, variants: 10}\n"
)


@pytest.fixture
def place(tmp_path) -> str:
    """SQLite alone; what differs between databases is tested elsewhere."""
    return str(tmp_path / "bank.db")


def test_the_runway_falls_term_by_term(bank, pool_of):
    pool = pool_of(ENTRIES)
    sizes = [capacity(e.family, fits(e.family)).variants for e in pool.entries]
    runways = []
    for n, term in enumerate(TERMS, 1):
        draw.draw(bank, pool, term)
        found = status.status(bank, pool)

        left = [f.left.known for f in found.families]
        assert left == [sizes[0] - 8 * n, sizes[1] - 10 * n]
        assert [f.use.used for f in found.families] == [8 * n, 10 * n]
        assert [f.use.by_term[term] for f in found.families] == [8, 10]
        assert found.runway == min(Fraction(left[0], 8), Fraction(left[1], 10))
        runways.append(found.runway)
    assert runways[0] > runways[1] > runways[2]


def test_what_rests_is_what_the_next_term_cannot_have(bank, pool_of):
    pool = pool_of(ENTRIES, rests="1")
    for term in TERMS:
        draw.draw(bank, pool, term)

    found = status.status(bank, pool)

    assert [(f.use.used, f.use.resting) for f in found.families] == [(24, 8), (30, 10)]


def test_approved_and_withdrawn_items_are_counted(bank, pool_of):
    pool = pool_of(ENTRIES)
    draw.draw(bank, pool, TERMS[0])
    with bank.writing() as connection:
        contents = releases.drawn_contents(connection, "quiz", 1, TERMS[0])
        numbers = contents.items[:3]
        for number, item in zip(
            numbers, list(entries.stored_items(connection, numbers)), strict=True
        ):
            for scope in ("key", "wording"):
                decisions.decide(connection, number, item.fingerprint, "A. B.", scope, "approved")
        releases.withdraw(connection, numbers[2], "two readings")

    found = status.status(bank, pool).families[0]

    assert (found.use.approved, found.use.withdrawn) == (3, 1)


def test_the_expected_overlap_is_that_of_the_groups(bank, pool_of):
    """2 of 8 and 1 of 10: 4/8 + 1/10 common, none with 15/28 times 9/10."""
    pool = pool_of(ENTRIES)
    draw.draw(bank, pool, TERMS[0])
    with bank.reading() as connection:
        parts = releases.drawn_contents(connection, "quiz", 1, TERMS[0]).parts
    groups = [(len(p.items), p.choose) for p in parts]

    (meeting,) = status.status(bank, pool).terms

    assert meeting.common == exposure.expected_common_by_groups(groups)
    assert meeting.none_common == exposure.chance_of_none_common_by_groups(groups)
    if groups == [(8, 2), (10, 1)]:
        assert (meeting.common, meeting.none_common) == (
            Fraction(4, 8) + Fraction(1, 10),
            Fraction(15, 28) * Fraction(9, 10),
        )
    assert meeting.with_last is None


def test_terms_share_nothing_while_problems_rest(bank, pool_of):
    pool = pool_of(ENTRIES)
    for term in TERMS:
        draw.draw(bank, pool, term)

    assert [m.with_last for m in status.status(bank, pool).terms] == [None, 0, 0]


def test_terms_that_share_a_pool_share_what_exhaustion_finds(bank, pool_of):
    """A family used whole in both terms: 39 of which a student gets 2."""
    pool = pool_of("  - {family: square-roots-power-of-two, variants: 39}\n", rests="0")
    for term in TERMS[:2]:
        draw.draw(bank, pool, term)

    last = status.status(bank, pool).terms[1]

    pairs = list(product(range(39), range(39)))
    assert last.with_last == Fraction(sum(a == b for a, b in pairs), len(pairs))


def test_the_share_seen_grows_with_the_students(bank, pool_of):
    pool = pool_of("  - {family: count-square-roots, variants: 60, choose: 10}\n")
    draw.draw(bank, pool, TERMS[0])
    with bank.reading() as connection:
        parts = releases.drawn_contents(connection, "quiz", 1, TERMS[0]).parts

    (meeting,) = status.status(bank, pool).terms

    if len(parts) == 1:
        assert round(float(meeting.seen[10]), 2) == 0.84
    assert meeting.seen[10] < meeting.seen[30] < 1


@pytest.mark.parametrize("again", [False, True])
def test_a_band_of_effort_leaves_fewer_variants(bank, pool_of, again):
    entry = "  - {family: least-solution, variants: 4}\n"
    free = pool_of(entry, id="free")
    tight = pool_of(entry, effort="{steps: 1, digits: 0}")
    if again:
        draw.draw(bank, tight, TERMS[0])

    a = status.status(bank, free).families[0]
    b = status.status(bank, tight).families[0]

    assert a.exact and not b.exact
    assert 0 < b.variants < a.variants
