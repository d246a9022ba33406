"""Three simulated terms of one course: what is left, for how long, and who meets what twice."""

from fractions import Fraction
from itertools import product

import pytest

from itembank.bank import decisions, draws, entries, releases
from itembank.bank.standing import FamilyUse
from itembank.cli.status import lines
from itembank.kinds.table import SIGNATURES
from itembank.pipeline.capacity import capacity
from itembank.pipeline.selection import fits
from itembank.pipeline.species import Count, exactly
from itembank.spec import load_family
from itembank.terms import draw, exposure, status
from itembank.terms.outlook import AHEAD, Past
from itembank.values.errors import ShortageError
from itembank.values.verdicts import FACETS

TERMS = ("2027-spring", "2027-autumn", "2028-spring")
ENTRIES = (
    "  - {family: square-roots-power-of-two, variants: 8, choose: 2}\n"
    "  - {family: count-square-roots, variants: 10}\n"
)


@pytest.fixture
def place(tmp_path) -> str:
    """SQLite alone; what differs between databases is tested elsewhere."""
    return str(tmp_path / "bank.db")


def test_what_is_left_falls_term_by_term(bank, pool_of):
    pool = pool_of(ENTRIES)
    sizes = [capacity(e.family, fits(e.family)).variants for e in pool.entries]
    outlooks = []
    for n, term in enumerate(TERMS, 1):
        draw.draw(bank, pool, term)
        found = status.status(bank, pool)

        left = [f.left.known for f in found.families]
        assert left == [sizes[0] - 8 * n, sizes[1] - 10 * n]
        assert [f.use.used for f in found.families] == [8 * n, 10 * n]
        assert [f.use.by_term[term] for f in found.families] == [8, 10]
        outlooks.append(found.outlook.terms)
    assert outlooks[0] > outlooks[1] > outlooks[2] or outlooks[0] == AHEAD


@pytest.mark.parametrize(("variants", "rests"), [(13, 0), (13, 1), (13, 2), (20, 1), (7, 5)])
def test_the_terms_ahead_are_those_that_draws_find(bank, pool_of, variants, rests):
    """A family of 48: drawn term by term until it is short, it lasts as was told each time."""
    pool = pool_of(
        f"  - {{family: square-roots-power-of-two, variants: {variants}}}\n", rests=str(rests)
    )
    told = []
    with pytest.raises(ShortageError) as error:
        for n in range(40):
            draw.draw(bank, pool, f"t{n:02}")
            told.append(status.status(bank, pool).outlook)

    lasted = len(told)
    assert [one.terms for one in told] == [min(AHEAD, lasted - n) for n in range(1, lasted + 1)]
    returns = told[-1].returns
    if returns is not None:
        terms = "one term" if returns == 1 else f"{returns} terms"
        assert f"; after {terms} of rest there are {variants} again" in str(error.value)
        for n in range(returns):
            with pytest.raises(ShortageError):
                draw.draw(bank, pool, f"t{lasted + n:02}")
            skip(bank, f"t{lasted + n:02}")
        assert draw.draw(bank, pool, f"t{lasted + returns:02}").total == variants


def skip(bank, term: str) -> None:
    """A term in which nothing is drawn of this pool, but of another."""
    with bank.writing() as connection:
        draws.begun(connection, "elsewhere", term, "graded", 0).record({})


def test_a_draw_in_part_takes_what_there_is(bank, pool_of):
    pool = pool_of("  - {family: square-roots-power-of-two, variants: 30}\n", rests="1")
    draw.draw(bank, pool, TERMS[0])

    with pytest.raises(ShortageError, match=r"expected 30 variants, it has 18 left"):
        draw.draw(bank, pool, TERMS[1])
    part = draw.draw(bank, pool, TERMS[1], partial=True)

    name = "square-roots-power-of-two"
    assert (part.fresh, part.reused, part.lacking) == ({name: 18}, {name: 0}, {name: 12})
    later = draw.draw(bank, pool, TERMS[2])
    assert (later.fresh, later.reused, later.lacking) == ({name: 0}, {name: 30}, {name: 0})
    nothing = pool_of("  - {family: square-roots-power-of-two, variants: 9}\n", rests="9", id="b")
    with pytest.raises(ShortageError, match="nothing is left of it"):
        draw.draw(bank, nothing, "2029-spring", partial=True)


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
            for scope in FACETS:
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
    """A family used whole in both terms: 48 of which a student gets 2."""
    pool = pool_of("  - {family: square-roots-power-of-two, variants: 48}\n", rests="0")
    for term in TERMS[:2]:
        draw.draw(bank, pool, term)

    last = status.status(bank, pool).terms[1]

    pairs = list(product(range(48), range(48)))
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


@pytest.mark.parametrize(
    ("count", "line"),
    [
        (
            exactly(722),
            "fam: 722 variants, 20 used (2027-spring 20), 0 resting, 702 left, "
            "20 more terms at least",
        ),
        (
            Count(least=3_118, likely=3_789, most=4_655),
            "fam: about 3,800 (3,100 to 4,700) variants, 20 used (2027-spring 20), 0 resting, "
            "about 3,800 (3,000 to 4,700) left, 20 more terms at least",
        ),
        (
            Count(least=2_140, likely=None, most=None),
            "fam: at least 2,100 variants, 20 used (2027-spring 20), 0 resting, "
            "at least 2,100 left, 20 more terms at least",
        ),
        (
            exactly(70),
            "fam: 70 variants, 20 used (2027-spring 20), 0 resting, 50 left, 9 more terms, then "
            "10 short",
        ),
        (
            Count(least=29, likely=None, most=None),
            "fam: at least 29 variants, 20 used (2027-spring 20), 0 resting, at least 9 left, "
            "0 more terms at least, then 11 short",
        ),
    ],
)
def test_the_status_tells_variants_as_a_check_does(count: Count, line: str) -> None:
    past = tuple(Past(1, 1, 2) for _ in range(20)) if count.known > 50 else ()
    use = FamilyUse(
        by_term={"2027-spring": 20}, used=20, resting=0, past=past, following=2, approved=0,
        withdrawn=0,
    )  # fmt: skip
    family = status.FamilyStanding(
        family="fam", count=count, use=use, answered=0, right=0, wanted=20, rests=2, doubted=()
    )

    told = list(lines(status.PoolStanding(pool="quiz", families=(family,), terms=())))

    assert told[0] == f"{line}; 0 approved, 0 withdrawn"


def test_a_family_of_ten_variants_is_known_to_have_ten(bank, pool_of, tmp_path) -> None:
    """90,000 parameter sets of ten problems: an older estimate was about 1,004."""
    path = tmp_path / "ten.yaml"
    path.write_text(TEN, encoding="utf-8")
    family = load_family(path, SIGNATURES)

    first, second = status.count_of(bank, family), status.count_of(bank, family)

    assert first.text() + " variants" == "about 10 variants"
    assert first == second


TEN = """\
id: ten
version: 1
title: Ten
problem: linear
outcomes: [solve]
level: easy
parameters: {u: {integer: [1, 300]}, v: {integer: [1, 300]}}
where: [u*v % 11 != 0]
given: {congruence: x = u*v, modulus: 11}
ask: all solutions
forms: [list]
shortcuts: allowed
coefficients: any
small: ten residues
"""
