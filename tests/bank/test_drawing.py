"""Three terms and more of one course: nothing comes twice, and everything is on record."""

from collections import Counter
from itertools import combinations

import pytest
from sqlalchemy import func, select, text

from itembank.bank import draws, entries, releases
from itembank.bank.schema import families, items, problems, uses
from itembank.bank.stored import item_from
from itembank.kinds.statement import problem_from
from itembank.pipeline import selection
from itembank.spec import load_family
from itembank.terms import draw
from itembank.values.errors import BankError, DrawError

TERMS = ("2027-spring", "2027-autumn", "2028-spring", "2028-autumn", "2029-spring")

SMALL = """
id: small
version: 1
title: Square roots modulo two primes
problem: polynomial
outcomes: [roots]
level: medium
parameters:
  p: {prime: [5, 7]}
  q: {prime: [11, 13]}
  a: {integer: [2, 60]}
where:
  - solutions == 4
given: {congruence: x^2 = a, modulus: p*q}
ask: all solutions
forms: [list]
small: a family for tests
shortcuts: allowed
coefficients: any
"""
"""Squares modulo 55, 65, 77, 91 that have four roots and lie between 2 and 60: few."""


def held(bank, pool: str, term: str):
    with bank.reading() as connection:
        return draws.held(connection, pool, entries.known_term(connection, term))


def items_of(bank, pool: str, term: str):
    with bank.reading() as connection:
        numbers = [
            h.item for h in draws.held(connection, pool, entries.known_term(connection, term))
        ]
        return list(entries.stored_items(connection, numbers))


def problem_of(item) -> tuple[object, ...]:
    return problem_from(item.statement).canonical


@pytest.fixture
def small(tmp_path, shelf, pool_of):
    """A pool of a family with few variants, and how many it has, counted from the definition."""
    path = tmp_path / "small.yaml"
    path.write_text(SMALL, encoding="utf-8")
    found = {
        (p * q, a % (p * q))
        for p in (5, 7)
        for q in (11, 13)
        for a in range(2, 61)
        if sum((x * x - a) % (p * q) == 0 for x in range(p * q)) == 4
    }
    family = load_family(path, shelf.kinds)

    def pool(variants: int, **fields: str):
        from itembank.spec import load_pool

        file = tmp_path / f"{fields.pop('id', 'quiz')}.yaml"
        rest = "".join(f"{name}: {value}\n" for name, value in fields.items())
        file.write_text(
            f"id: {file.stem}\ntitle: Quiz\ncourse: NT 210\nseed: s\n{rest}"
            f"items:\n  - {{family: small, variants: {variants}}}\n",
            encoding="utf-8",
        )
        return load_pool(file, {"small": family})

    return pool, len(found)


# ------------------------------------------------------------ over terms


def test_three_terms_share_no_problem_and_no_disguise_of_one(bank, pool_of):
    pool = pool_of(
        "  - {family: linear-one-solution, variants: 12}\n"
        "  - {family: quadratic-mod-prime, variants: 8, form: list}\n"
        "  - {family: count-square-roots, variants: 12}\n"
    )
    for term in TERMS[:3]:
        draw.draw(bank, pool, term)

    drawn = [{problem_of(i) for i in items_of(bank, "quiz", term)} for term in TERMS[:3]]
    names = [i.identifier for term in TERMS[:3] for i in items_of(bank, "quiz", term)]
    assert [len(d) for d in drawn] == [32, 32, 32]
    assert not any(a & b for a, b in combinations(drawn, 2))
    assert len(set(names)) == 96


@pytest.mark.parametrize("held_at_most", [5_000, 0])
def test_a_bank_too_large_for_its_names_to_be_held_is_asked_for_each(
    bank, small, pool_of, monkeypatch, held_at_most
):
    """Two pools of one family in a term, and a third that finds nothing: whether names are held
    or asked for, nothing comes twice."""
    pool, total = small
    monkeypatch.setattr(draws, "HELD_NAMES", held_at_most)
    first, second = pool(total // 2), pool(total - total // 2, id="other")

    draw.draw(bank, first, TERMS[0])
    draw.draw(bank, second, TERMS[0])

    found = [problem_of(i) for name in ("quiz", "other") for i in items_of(bank, name, TERMS[0])]
    assert len(set(found)) == len(found) == total
    with pytest.raises(DrawError, match=f"{total} x resting after {TERMS[0]}"):
        draw.draw(bank, pool(1, id="third"), TERMS[0])


def test_what_a_draw_enters_is_known_to_it_at_once(bank, small):
    pool, total = small
    loaded = pool(total)
    (entry,) = loaded.entries
    variant = next(iter(selection.stream_of(entry.family, loaded, "s")))
    item = selection.item_of(variant, entry)
    with bank.writing() as connection:
        drawing = draws.begun(connection, "quiz", TERMS[0], "graded", 0)
        family = entries.family_id(connection, entry.family)
        assert drawing.status(variant.name) == draws.Status("")

        ((_number, problem),) = drawing.enter(
            family, [entries.entry_of(item, variant.name, 2, 0, variant.signs)]
        )

        other = draws.begun(connection, "quiz", TERMS[0], "practice", 0)
        assert drawing.names == other.names == {variant.name}
        assert other.status(variant.name).refused == "kept for graded"
        assert drawing.used([problem]) == set()


def test_a_used_problem_rests_for_the_terms_that_the_pool_says_and_then_comes_again(bank, small):
    """A third of the family each term: the fourth term must use the first one's again."""
    pool, total = small
    each = total // 3
    for term in TERMS[:4]:
        draw.draw(bank, pool(each, rests="2"), term)

    drawn = [{problem_of(i) for i in items_of(bank, "quiz", term)} for term in TERMS[:4]]
    assert not any(a & b for a, b in combinations(drawn[:3], 2))
    assert not drawn[3] & (drawn[1] | drawn[2])
    assert len(drawn[3] & drawn[0]) >= each - total % 3 > 0


def test_fresh_problems_come_before_rested_ones(bank, small):
    pool, total = small
    first = total // 2 - 1
    draw.draw(bank, pool(first, rests="0"), TERMS[0])
    draw.draw(bank, pool(first, rests="0"), TERMS[1])

    a, b = ({problem_of(i) for i in items_of(bank, "quiz", term)} for term in TERMS[:2])
    assert not a & b


def test_the_longer_rest_of_two_pools_counts(bank, small):
    pool, total = small
    draw.draw(bank, pool(total, rests="3"), TERMS[0])
    for term in TERMS[1:4]:
        with pytest.raises(DrawError, match="resting after 2027-spring"):
            draw.draw(bank, pool(1, rests="0", id="other"), term)
        note(bank, term)

    assert draw.draw(bank, pool(1, rests="0", id="other"), TERMS[4]).total == 1


def note(bank, term: str) -> None:
    """Let the bank meet a term, in which another pool is drawn."""
    with bank.writing() as connection:
        draws.begun(connection, "elsewhere", term, "graded", 0).record({})


def test_a_problem_is_retired_after_three_uses(bank, small):
    pool, total = small
    for term in TERMS[:3]:
        draw.draw(bank, pool(total, rests="0"), term)

    with pytest.raises(DrawError) as error:
        draw.draw(bank, pool(1, rests="0"), TERMS[3])
    assert f"it has 0 left (passed over: {total} x retired after 3 uses)" in str(error.value)


def test_a_family_that_is_used_up_says_what_stands_against_it(bank, small):
    pool, total = small
    draw.draw(bank, pool(total - 2), TERMS[0])

    with pytest.raises(DrawError) as error:
        draw.draw(bank, pool(5), TERMS[1])
    assert str(error.value) == (
        f"pool quiz: family small: expected 5 variants, it has 2 left (passed over: {total - 2} x "
        "resting after 2027-spring); widen its parameters or ask for fewer, or draw a part "
        "(--partial); after 2 terms of rest there are 5 again"
    )
    with bank.reading() as connection:
        assert connection.scalar(select(func.count()).select_from(uses)) == total - 2


# ------------------------------------------------------------ within a term


def test_two_pools_of_one_term_share_no_problem(bank, pool_of):
    entry = "  - {family: quadratic-prime-square, variants: 20, form: list}\n"
    draw.draw(bank, pool_of(entry, id="homework"), TERMS[0])
    draw.draw(bank, pool_of(entry, id="quiz"), TERMS[0])

    a, b = (
        {problem_of(i) for i in items_of(bank, pool, TERMS[0])} for pool in ("homework", "quiz")
    )
    assert not a & b


def test_practice_and_graded_problems_stay_apart_for_ever(bank, small):
    pool, total = small
    draw.draw(bank, pool(total - 3, use="practice", id="drill", rests="0"), TERMS[0])
    for term in TERMS[1:4]:
        note(bank, term)

    with pytest.raises(DrawError, match=f"{total - 3} x kept for practice"):
        draw.draw(bank, pool(4, rests="0"), TERMS[4])
    assert draw.draw(bank, pool(3, rests="0"), TERMS[4]).total == 3


def test_the_database_itself_keeps_practice_and_graded_apart(bank, small):
    """Whatever the code does: a use must have the purpose of its problem."""
    pool, _total = small
    draw.draw(bank, pool(1, use="practice", rests="0"), TERMS[0])
    note(bank, TERMS[1])

    with pytest.raises(BankError), bank.writing() as connection:
        d = draws.begun(connection, "other", TERMS[1], "graded", 0)
        number = d.record({})
        problem = connection.scalar(select(problems.c.id))
        item = connection.scalar(select(items.c.id))
        assert isinstance(problem, int) and isinstance(item, int)
        d.use(number, "small", [[(item, problem)]])


def test_near_twins_of_a_family_share_a_part_of_which_a_student_draws_one(bank, pool_of):
    pool = pool_of("  - {family: quadratic-prime-square, variants: 40, choose: 3, form: list}\n")
    draw.draw(bank, pool, TERMS[0])

    with bank.reading() as connection:
        contents = releases.drawn_contents(connection, "quiz", 1, TERMS[0])
        parts = [list(entries.stored_items(connection, p.items)) for p in contents.parts]
    assert [p.choose for p in contents.parts] == [1, 1, 1]
    twins = [{problem_from(i.statement).twin for i in part} for part in parts]
    assert not any(a & b for a, b in combinations(twins, 2))
    assert sum(map(len, parts)) == 40


def test_near_twins_of_other_families_never_stand_in_one_pool(bank, pool_of):
    pool = pool_of(
        "  - {family: quadratic-mod-prime, variants: 20, form: list}\n"
        "  - {family: quadratic-solvable-or-not, variants: 20}\n"
    )
    draw.draw(bank, pool, TERMS[0])

    signs = [(h.family, sign) for h in held(bank, "quiz", TERMS[0]) for sign in h.signs]
    families_of_sign = Counter(sign for _family, sign in set(signs))
    assert max(families_of_sign.values()) == 1


# ------------------------------------------------------------ drawing again


def test_drawing_again_changes_nothing(bank, pool_of):
    pool = pool_of("  - {family: linear-one-solution, variants: 6}\n")
    draw.draw(bank, pool, TERMS[0])
    before = held(bank, "quiz", TERMS[0])

    drawn = draw.draw(bank, pool, TERMS[0])

    assert (drawn.before, drawn.fresh) == ({"linear-one-solution": 6}, {"linear-one-solution": 0})
    assert held(bank, "quiz", TERMS[0]) == before


def test_asking_for_more_adds_and_keeps_what_was_drawn(bank, pool_of):
    draw.draw(bank, pool_of("  - {family: linear-one-solution, variants: 6}\n"), TERMS[0])
    before = held(bank, "quiz", TERMS[0])

    draw.draw(bank, pool_of("  - {family: linear-one-solution, variants: 9}\n"), TERMS[0])

    after = held(bank, "quiz", TERMS[0])
    assert after[:6] == before and len(after) == 9
    assert len({problem_of(i) for i in items_of(bank, "quiz", TERMS[0])}) == 9


def test_additions_to_a_family_of_which_several_are_drawn_bring_no_near_twin(bank, pool_of):
    entry = "  - {{family: quadratic-prime-square, variants: {}, choose: 3, form: list}}\n"
    draw.draw(bank, pool_of(entry.format(30)), TERMS[0])
    draw.draw(bank, pool_of(entry.format(34)), TERMS[0])

    found = held(bank, "quiz", TERMS[0])
    earlier = {sign for h in found[:30] for sign in h.signs}
    added = [set(h.signs) for h in found[30:]]
    assert len(added) == 4
    assert not any(earlier & signs for signs in added)
    assert not any(a & b for a, b in combinations(added, 2))


def test_a_withdrawn_item_is_replaced_by_another_problem(bank, pool_of):
    pool = pool_of("  - {family: linear-one-solution, variants: 6}\n")
    draw.draw(bank, pool, TERMS[0])
    gone = items_of(bank, "quiz", TERMS[0])[2]
    with bank.writing() as connection:
        releases.withdraw(
            connection, entries.item_number(connection, gone.identifier), "two readings"
        )

    draw.draw(bank, pool, TERMS[0])

    now = items_of(bank, "quiz", TERMS[0])
    assert len(now) == 6
    assert problem_of(gone) not in {problem_of(i) for i in now}


# ------------------------------------------------------------ on record


def test_an_item_comes_back_as_it_went_in(bank, pool_of):
    pool = pool_of(
        "  - {family: quadratic-two-prime-powers, variants: 3, form: select one}\n"
        "  - {family: singular-root, variants: 3, form: list}\n"
        "  - {family: least-solution, variants: 3}\n"
        "  - {family: linear-solvable-or-not, variants: 3}\n"
        "  - {family: square-roots-two-primes, variants: 3, form: select one}\n"
    )
    draw.draw(bank, pool, TERMS[0])

    found = items_of(bank, "quiz", TERMS[0])
    expected = []
    for entry in pool.entries:
        stream = selection.stream_of(entry.family, pool, f"tests/{TERMS[0]}")
        indices = [i.provenance.index for i in found if i.provenance.family == entry.family.id]
        variants = [v for v, _ in zip(stream, range(max(indices) + 1), strict=False)]
        expected += [selection.item_of(variants[n], entry) for n in indices]
    assert found == expected
    assert [i.fingerprint for i in found] == [i.fingerprint for i in expected]


def test_the_columns_say_what_the_item_says(bank, pool_of):
    draw.draw(bank, pool_of("  - {family: linear-one-solution, variants: 4}\n"), TERMS[0])

    with bank.reading() as connection:
        rows = connection.execute(select(items)).all()
    for row, item in zip(rows, items_of(bank, "quiz", TERMS[0]), strict=True):
        assert row.statement == "\n".join(item.statement)
        assert row.answer == str(item.response.value)
        assert (row.identifier, row.fingerprint) == (item.identifier, item.fingerprint)
        assert (row.variant, row.seed) == (item.provenance.index, f"tests/{TERMS[0]}")
        assert (row.steps, row.form, row.ask) == (item.steps, "integer", item.ask)


def test_content_that_was_edited_is_not_read():
    from itembank.bank.stored import stored
    from tests.bank.samples import item

    data, fingerprint = stored(item(2**70))
    assert item_from(data, fingerprint) == item(2**70)
    with pytest.raises(BankError, match="does not have the recorded hash"):
        item_from(stored(item(2**70 + 1))[0], fingerprint)


def test_a_family_that_changed_without_a_new_version_is_refused(bank, small, tmp_path, shelf):
    from itembank.spec import load_pool

    pool, _total = small
    draw.draw(bank, pool(1), TERMS[0])
    path = tmp_path / "small.yaml"
    path.write_text(SMALL.replace("[2, 60]", "[2, 61]"), encoding="utf-8")
    changed = load_pool(tmp_path / "quiz.yaml", {"small": load_family(path, shelf.kinds)})

    with pytest.raises(BankError) as error:
        draw.draw(bank, changed, TERMS[1])
    assert str(error.value) == (
        "family small: the bank holds version 1 with another content; set its version to 2"
    )


def test_the_source_of_each_family_is_on_record(bank, small):
    pool, _total = small
    draw.draw(bank, pool(1), TERMS[0])

    with bank.reading() as connection:
        assert list(connection.scalars(select(families.c.source))) == [SMALL]


def test_the_facts_of_a_draw_say_how_to_make_it_again(bank, small):
    pool, _total = small
    draw.draw(bank, pool(2), TERMS[0])

    with bank.reading() as connection:
        facts = draws.latest_facts(connection, "quiz", 1)
    assert facts["seed"] == "s/2027-spring"
    assert facts["entries"] == [
        {
            "family": "small",
            "version": 1,
            "title": "A congruence (QHRK)",
            "outcomes": ["roots"],
            "variants": 2,
            "choose": 1,
            "points": 1,
            "form": "list",
        }
    ]


# ------------------------------------------------------------ effort


def test_the_variants_of_a_family_stay_in_the_band_that_the_pool_allows(bank, pool_of):
    entry = "  - {family: least-solution, variants: 25}\n"
    draw.draw(bank, pool_of(entry, id="free"), TERMS[0])
    draw.draw(bank, pool_of(entry, effort="{steps: 3, digits: 0, singular: 0}"), TERMS[0])

    def spreads(pool: str) -> list[int]:
        with bank.reading() as connection:
            rows = connection.execute(
                text(
                    "SELECT i.steps, i.digits, i.singular FROM items i "
                    "JOIN uses u ON u.item = i.id JOIN draws d ON d.id = u.draw "
                    "WHERE d.pool = :pool"
                ),
                {"pool": pool},
            ).all()
        return [max(column) - min(column) for column in zip(*rows, strict=True)]

    assert spreads("free")[0] > 3
    assert [s <= most for s, most in zip(spreads("quiz"), (3, 0, 0), strict=True)] == [True] * 3


def test_the_band_of_a_family_is_the_same_in_every_term(bank, pool_of):
    pool = pool_of("  - {family: least-solution, variants: 10}\n", effort="{steps: 2}")
    for term in TERMS[:3]:
        draw.draw(bank, pool, term)

    steps = [h.steps for term in TERMS[:3] for h in held(bank, "quiz", term)]
    assert max(steps) - min(steps) <= 2
    with bank.reading() as connection:
        assert connection.scalar(text("SELECT count(*) FROM bands")) == 1
