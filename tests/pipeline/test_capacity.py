"""How many variants a family has: counted here from the definition, and as it is told."""

from collections.abc import Callable
from itertools import product
from pathlib import Path

import pytest

from itembank.kinds.table import SIGNATURES
from itembank.pipeline.capacity import Capacity, capacity
from itembank.pipeline.selection import fits
from itembank.pipeline.species import Count, estimated
from itembank.spec import load_family

FAMILY = """\
id: linear
version: 1
title: Linear
problem: linear
outcomes: [solve]
level: easy
parameters:
{parameters}
given: {{congruence: {congruence}, modulus: m}}
ask: all solutions
forms: [list]
shortcuts: allowed
coefficients: any
"""

Counted = Callable[[], int]


def told(folder: Path, congruence: str, **domains: str) -> Capacity:
    path = folder / "linear.yaml"
    lines = "\n".join(f"  {name}: {{{domain}}}" for name, domain in domains.items())
    path.write_text(FAMILY.format(parameters=lines, congruence=congruence), encoding="utf-8")
    family = load_family(path, SIGNATURES)
    return capacity(family, fits(family))


def primes(low: int, high: int) -> list[int]:
    return [p for p in range(low, high + 1) if all(p % d for d in range(2, p))]


def values(m: int, f: Callable[[int, int], int], n: int) -> int:
    """Into how many classes modulo m the values of f at 1, ..., n fall: x = c has one for each."""
    return len({f(u, v) % m for u, v in product(range(1, n + 1), repeat=2)})


def of_primes(low: int, high: int) -> int:
    """ux = v (mod p), u a unit, v any residue: as many as there are residues."""
    return sum(primes(low, high))


NUMBERS = "integer: [1, 300]"
FAMILIES: dict[str, tuple[str, dict[str, str], Counted]] = {
    f"products modulo {m}": (
        "x = u*v",
        {"m": f"value: {m}", "u": NUMBERS, "v": NUMBERS},
        lambda m=m: values(m, lambda u, v: u * v, 300),  # type: ignore[misc]
    )
    for m in (8, 11, 31, 189, 997, 3001, 10007, 90001)
}
FAMILIES |= {
    f"sums of squares modulo {m}": (
        "x = u^2 + v^2",
        {"m": f"value: {m}", "u": NUMBERS, "v": NUMBERS},
        lambda m=m: values(m, lambda u, v: u * u + v * v, 300),  # type: ignore[misc]
    )
    for m in (529, 2310)
}
FAMILIES |= {
    f"unit coefficients modulo primes up to {high}": (
        "u*x = v",
        {"m": f"prime: [{low}, {high}]", "u": "integer: [1, m - 1]", "v": "integer: [1, 40*m]"},
        lambda low=low, high=high: of_primes(low, high),  # type: ignore[misc]
    )
    for low, high in ((5, 60), (5, 120), (5, 200), (100, 300), (5, 997))
}
FAMILIES |= {
    f"one of {n}": (
        "x = u",
        {"m": f"value: {n}", "u": "integer: [0, 999999]"},
        lambda n=n: n,  # type: ignore[misc]
    )
    for n in (1000, 5000, 20_000, 200_000, 1_000_000)
}
FAMILIES |= {
    f"the smaller of two up to {n}": (
        "'x = min(u, v)'",
        {"m": "value: 3001", "u": f"integer: [1, {n}]", "v": f"integer: [1, {n}]"},
        lambda n=n: n,  # type: ignore[misc]
    )
    for n in (300, 1000)
}


def holds(count: Count, truth: int) -> bool:
    return count.least <= truth and (count.most is None or truth <= count.most)


def test_what_is_told_of_families_too_large_to_list_holds(tmp_path: Path) -> None:
    """From 8 to 1,000,000 variants, some far likelier than others; 19 of 20 at the least.

    Of up to 3,000 both ends are told; of more, a lower bound that is no less than a tenth.
    """
    missed = []
    for name, (congruence, domains, counted) in FAMILIES.items():
        truth, count = counted(), told(tmp_path, congruence, **domains).count
        assert not count.exact
        if not holds(count, truth):
            missed.append((name, truth, count))
        assert count.least * 10 >= truth
        if truth <= 3_000:
            assert count.most is not None and count.most <= 2 * truth

    assert len(FAMILIES) >= 20
    assert len(missed) * 20 <= len(FAMILIES), missed


def test_a_family_that_can_be_listed_is_counted(tmp_path: Path) -> None:
    found = told(tmp_path, "x = u*v", m="value: 91", u="integer: [1, 40]", v="integer: [1, 40]")

    assert found.count.exact
    assert found.variants == values(91, lambda u, v: u * v, 40)
    assert found.count.text() + " variants" == f"{found.variants} variants"


def test_two_forms_of_a_problem_of_which_one_is_refused_count_as_the_draws_fall(
    tmp_path: Path,
) -> None:
    """Only where v is below 20 is the work short enough, so that most forms are refused."""
    path = tmp_path / "linear.yaml"
    domains = "  m: {prime: [101, 101]}\n  u: {integer: [2, 999]}\n  v: {integer: [1, 999]}"
    text = FAMILY.format(parameters=domains, congruence="u*x = v").replace(
        "given:", "where: [steps + 100*(v // 20) < 100]\ngiven:"
    )
    path.write_text(text, encoding="utf-8")
    family = load_family(path, SIGNATURES)

    count = capacity(family, fits(family)).count

    assert holds(count, 101) or holds(count, 100)


@pytest.mark.parametrize(
    ("times", "text"),
    [
        ([], "at least 0 variants"),
        ([1] * 1000, "at least 94,000 variants"),
        ([100] * 10, "about 10 variants"),
        ([1] * 40 + [2] * 60 + [3] * 200, "about 310 (300 to 370) variants"),
    ],
)
def test_a_number_is_told_with_what_is_known_of_it(times: list[int], text: str) -> None:
    assert estimated(times).text() + " variants" == text


def test_what_was_used_is_taken_from_both_ends() -> None:
    left = Count(least=3_118, likely=3_789, most=4_655).less(3_500)

    assert (left.least, left.likely, left.most) == (0, 289, 1_155)
