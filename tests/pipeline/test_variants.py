"""The draw: fixed by (family, version, seed, index) alone, without repeats or disguises."""

from concurrent.futures import ThreadPoolExecutor
from itertools import islice
from pathlib import Path

import pytest

from itembank.kinds.table import SIGNATURES
from itembank.pipeline import candidates
from itembank.pipeline import variants as draw
from itembank.pipeline.parameter_sets import assignments
from itembank.pipeline.selection import chosen, fits, stream_of
from itembank.spec import Family, load_family, load_pool
from itembank.spec.answered import ANSWER, Answered
from itembank.values.errors import DrawError
from tests.shipped import FAMILIES, drawn

TWO_PRIMES = """
id: two-primes
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


def family(text: str, folder: Path, name: str = "two-primes") -> Family:
    path = folder / f"{name}.yaml"
    path.write_text(text, encoding="utf-8")
    return load_family(path, SIGNATURES)


def stream(f: Family, seed: str) -> draw.Stream:
    return draw.Stream(f, seed, fits(f))


def statements(f: Family, seed: str, n: int) -> list[str]:
    return [v.problem.statement[0] for v in islice(stream(f, seed), n)]


def test_asking_for_more_never_changes_the_earlier_variants():
    f = FAMILIES["quadratic-two-prime-powers"]

    assert statements(f, "s", 40)[:10] == statements(f, "s", 10)


def test_a_variant_is_what_it_was_when_first_handed_out():
    """Frozen values: another Python, another machine, a refactoring must not change them."""
    f = FAMILIES["quadratic-two-prime-powers"]

    assert statements(f, "frozen", 3) == [
        "x^2 + 4x + 40 = 0 mod 425",
        "x^2 + 2x + 20 = 0 mod 275",
        "x^2 + 4x + 35 = 0 mod 175",
    ]


def test_another_seed_gives_other_variants():
    f = FAMILIES["quadratic-two-prime-powers"]

    assert set(statements(f, "a", 20)) != set(statements(f, "b", 20))


def test_the_indices_count_from_zero_without_gaps(tmp_path):
    variants = list(stream(family(TWO_PRIMES, tmp_path), "s"))

    assert [v.index for v in variants] == list(range(len(variants)))


def test_a_family_gives_each_problem_once_and_then_ends_with_its_exact_number(tmp_path):
    """The number is counted here from the definition: squares a with four roots."""
    expected = {
        (p * q, a % (p * q))
        for p in (5, 7)
        for q in (11, 13)
        for a in range(2, 61)
        if sum((x * x - a) % (p * q) == 0 for x in range(p * q)) == 4
    }

    drawn = [
        (v.problem.modulus, v.problem.canonical) for v in stream(family(TWO_PRIMES, tmp_path), "s")
    ]

    assert len(drawn) == len(set(drawn)) == len(expected)


def test_disguises_are_not_drawn_twice(tmp_path):
    """a*x^2 + a*c for every unit a is one problem: 4 values of c leave at most 4 variants."""
    text = TWO_PRIMES.replace("  q: {prime: [11, 13]}\n", "").replace(
        "a: {integer: [2, 60]}", "a: {integer: [1, 6]}\n  c: {integer: [1, 4]}"
    )
    text = text.replace("p: {prime: [5, 7]}", "p: {prime: [7, 7]}").replace(
        "given: {congruence: x^2 = a, modulus: p*q}",
        "given: {congruence: a*x^2 + a*c = 0, modulus: p}",
    )
    variants = list(stream(family(text.replace("solutions == 4", "solutions == 2"), tmp_path), "s"))

    assert len(variants) == len([c for c in range(1, 5) if -c % 7 in (1, 2, 4)])


def test_a_family_that_runs_out_says_how_many_it_has_and_why(tmp_path):
    s = stream(family(TWO_PRIMES, tmp_path), "s")
    found = len(list(s))
    pool = tmp_path / "quiz.yaml"
    pool.write_text(
        "id: quiz\ntitle: Quiz\ncourse: NT 210\nseed: s\n"
        f"items: [{{family: two-primes, variants: {found + 1}}}]\n"
    )
    loaded = load_pool(pool, {"two-primes": s.family})

    with pytest.raises(DrawError) as error:
        list(chosen(stream_of(s.family, loaded, "s"), found + 1, loaded, {}))

    assert str(error.value).startswith(
        f"pool quiz: family two-primes: expected {found + 1} variants, it has {found} ("
    )
    assert "x fails 'solutions == 4'" in str(error.value)


@pytest.mark.parametrize("name", sorted(FAMILIES))
def test_every_variant_satisfies_its_family(name):
    f = FAMILIES[name]

    for v in drawn(name, 15):
        measured = {
            **v.parameters,
            **v.problem.measures(v.solution),
            ANSWER: Answered(v.solution.answer, f.ask),
        }
        assert all(condition.holds(measured) for condition in f.conditions)


def test_picking_is_even_enough():
    """1,000 picks of 10: each digit within 5 standard deviations (common practice)."""
    picked = [draw.pick(f"even/{i}", 10) for i in range(1000)]

    assert all(abs(picked.count(d) - 100) < 5 * 9.5 for d in range(10))


def test_effort_and_slips_wait_until_they_are_asked_for(tmp_path: Path):
    """A typed list needs no slips to be drawn; what is drawn elsewhere has the same signs."""
    f = family(TWO_PRIMES, tmp_path)
    whole = [candidates.attempt(f, "x", fits(f), p, set()) for p in assignments(f, 1000) or ()]
    accepted = {found.problem: found for found in whole if not found.rejected}
    candidates.remembered.clear()

    handed_out = [*islice(stream(f, "s"), 5)]

    assert not any("slips" in vars(found) for found in candidates.remembered.values())
    assert len(candidates.remembered) > len(handed_out)
    for v in handed_out:
        found = candidates.judged(f, "x", fits(f), v.parameters, set())
        assert v.signs == accepted[v.name].signs and accepted[v.name].effort is None
        assert (v.effort, v.slip_names) == (found.effort, found.slips)


def test_the_parts_of_a_variant_have_the_names_that_are_told_without_solving_them():
    f = next(f for f in FAMILIES.values() if f.parts)
    variant = next(iter(stream(f, "s")))
    candidates.remembered.clear()

    names = variant.names

    assert not candidates.remembered
    assert names == tuple(part.name for part in variant.each) and len(set(names)) == len(f.parts)


@pytest.mark.parametrize("limit", ["", "effort: {steps: 30}\n"])
def test_effort_is_counted_where_a_problem_is_solved_if_a_pool_limits_it(limit, tmp_path: Path):
    """It is the same as where it is counted when it is asked for; of parts, together."""
    in_parts = next(f.id for f in FAMILIES.values() if f.parts)
    names = ("quadratic-two-prime-powers", in_parts)
    path = tmp_path / "quiz.yaml"
    entries = ", ".join(f"{{family: {name}, variants: 3}}" for name in names)
    path.write_text(f"id: quiz\ntitle: Quiz\ncourse: NT 210\nseed: s\n{limit}items: [{entries}]\n")
    pool = load_pool(path, FAMILIES)

    with ThreadPoolExecutor(1) as executor:
        for name in names:
            told = [*islice(stream_of(FAMILIES[name], pool, "s", executor), 3)]
            alone = [*islice(stream_of(FAMILIES[name], pool, "s"), 3)]
            assert {v.known is not None for v in told} == {bool(limit)}
            assert [v.effort for v in told] == [v.effort for v in alone]
