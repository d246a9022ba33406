"""The samples' keys are right: by trying every residue, or by substitution."""

import pytest

from tests.exporters import samples


def solutions(f, m):
    return [x for x in range(m) if f(x) % m == 0]


QUADRATIC = solutions(lambda x: x * x + 9 * x + 5, 117)


@pytest.mark.parametrize(
    ("item", "expected"),
    [
        (samples.SELECT_ALL, QUADRATIC),
        (samples.SELECT_ONE, QUADRATIC),
        (samples.SELECT_ALL_NONE, solutions(lambda x: x * x - 2, 21)),
    ],
)
def test_right_options_claim_exactly_the_solutions(item, expected):
    claimed = [r for o in item.response.options if o.correct for r in o.residues]
    assert claimed == expected


@pytest.mark.parametrize(
    ("item", "expected"),
    [
        (samples.LIST, solutions(lambda x: 9 * x - 6, 15)),
        (samples.LIST_EMPTY, solutions(lambda x: 4 * x - 3, 10)),
        (samples.LIST_ANY_ORDER, solutions(lambda x: x * x - 2, 7)),
        (samples.LIST_ZERO, solutions(lambda x: 3 * x, 9)),
    ],
)
def test_lists_are_exactly_the_solutions(item, expected):
    assert list(item.response.values) == expected


def test_integers_are_the_answers():
    assert solutions(lambda x: 7 * x - 3, 26) == [samples.INTEGER.response.value]
    assert samples.COUNT.response.value == len(QUADRATIC)
    assert [x for x in range(15) if (x % 3, x % 5) == (2, 3)] == [samples.SYSTEM.response.value]
    assert samples.NONE_TO_COUNT.response.value == len(solutions(lambda x: x * x - 2, 21))
    assert samples.SYMBOL.response.value == -1 and 2 not in {x * x % 5 for x in range(5)}
    assert 3 * samples.BIG_INTEGER.response.value % samples.BIG == 1


def test_the_congruence_called_unsolvable_is():
    assert solutions(lambda x: x * x - 2, 21) == []
    assert samples.TRUE_FALSE.response.truth is False


def test_the_parts_of_derivations_are_right():
    roots = solutions(lambda x: x * x + x + 3, 5)
    lifts = solutions(lambda x: x * x + x + 3, 25)
    first, singular, last = samples.GUIDED.response.stages

    assert (list(first.response.values), list(last.response.values)) == (roots, lifts)
    assert [r for r in roots if (2 * r + 1) % 5 == 0] == []
    assert [o.correct for o in singular.response.options] == [True, False]
    pairs = {f"root-{r} lift-{t}" for r in roots for t in lifts if t % 5 == r}
    assert set(samples.MATCH.response.pairs) == pairs
    assert list(samples.MATCH.plain.response.values) == lifts
