"""Questions about the way, composed: mixed, matched, staged, against trying every residue."""

from collections import Counter
from itertools import islice, permutations
from typing import Any

import pytest

from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.pipeline.compose import Wording, compose
from itembank.pipeline.compose.derivation import MOST_TARGETS
from itembank.pipeline.compose.ordering import OPTIONS, mixed
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream
from itembank.spec import PoolEntry
from itembank.values.errors import ComposeError
from itembank.values.item import Guided, Item, ListEntry, MatchPairs, PutInOrder, SelectOne
from tests.shipped import FAMILIES as SHIPPED

FAMILIES = {name: family for name, family in SHIPPED.items() if family.kind == "polynomial"}


def items(form: str, n: int) -> list[Item]:
    """n items of every family that offers the form; with spare lines in test_spare_lines.py."""
    found = []
    for family in FAMILIES.values():
        if form in family.forms and not family.spare:
            entry = PoolEntry.model_construct(
                family=family, variants=n, choose=1, points=1, form=form
            )
            stream = Stream(family, "derivation", fits(family))
            found += [item_of(variant, entry) for variant in islice(stream, n)]
    assert found
    return found


def solutions(item: Item, q: int) -> list[int]:
    """All solutions of the item's congruence modulo q, by trying every residue."""
    (statement,) = item.statement
    problem: Any = problem_from([statement])
    return [x for x in range(q) if sum(c * x**i for i, c in enumerate(problem.f)) % q == 0]


# ------------------------------------------------------------ order


@pytest.mark.parametrize(("n", "orders"), [(4, 9), (5, 44), (6, 265), (7, 1854)])
def test_every_order_with_no_line_at_its_place_has_its_turn(n, orders):
    found = {mixed(n, index) for index in range(orders)}
    derangements = {o for o in permutations(range(n)) if all(o[i] != i for i in range(n))}

    assert found == derangements and len(found) == orders


def test_lines_are_shown_out_of_order_and_no_slip_is_the_order_shown_or_right():
    for item in items("order", 40):
        response = item.response
        assert isinstance(response, PutInOrder)
        shown = tuple(line.identifier for line in response.lines)
        assert sorted(shown) == sorted(response.order)
        assert all(a != b for a, b in zip(shown, response.order, strict=True))
        wrong = [slip.response for slip in item.feedback]
        assert len(wrong) >= OPTIONS - 1 and response.order not in wrong and shown not in wrong
        assert len(set(wrong)) == len(wrong)


WAYS = [
    ["Split", "Solve", "Combine", "Substitute"],
    ["Split", "Solve", "Lift", "Combine", "Substitute"],
    ["Split", "Solve", "Lift", "Lift", "Combine", "Substitute"],
    ["Solve", "Lift", "Lift", "Substitute"],
]
"""By how many primes there are, and how often is lifted."""


def test_one_order_of_four_is_right_and_stands_at_every_place_in_turn():
    places = set()
    for item in items("select one", 12):
        if item.ask != "the steps":
            continue
        assert isinstance(item.response, SelectOne)
        labels = [plain.inlines(o.label) for o in item.response.options]
        assert len(set(labels)) == OPTIONS
        (right,) = (i for i, o in enumerate(item.response.options) if o.correct)
        places.add(right)
        stem = plain.blocks(item.stem)
        lettered = {line[0]: line[3:] for line in stem.split("\n") if line[1:3] == ". "}
        told = [lettered[name].split()[0] for name in labels[right].split(", ")]
        assert told in WAYS
    assert len(places) >= 3


# ------------------------------------------------------------ match


def test_every_root_has_its_lift_and_a_wrong_one_of_its_own():
    for item in items("match", 40):
        response = item.response
        assert isinstance(response, MatchPairs)
        (statement,) = item.statement
        m = problem_from([statement]).modulus
        roots = [int(source.identifier.removeprefix("root-")) for source in response.sources]
        targets = {t.identifier.removeprefix("lift-") for t in response.targets}
        residues = [int(t) for t in targets if t.isdecimal()]
        below = next(q for q in range(2, m) if m % q == 0 and solutions(item, q) == roots)
        assert len(residues) <= MOST_TARGETS and {"none", "every"} < targets
        for root, pair in zip(roots, response.pairs, strict=True):
            lifts = [x for x in solutions(item, m) if x % below == root]
            fate = "none" if not lifts else str(lifts[0]) if len(lifts) == 1 else "every"
            assert pair == f"root-{root} lift-{fate}"
            assert any(str(t) != fate for t in residues if t % below == root)
        for slip in item.feedback:
            assert slip.response != response.pairs
            assert {pair.split()[1].removeprefix("lift-") for pair in slip.response} <= targets


# ------------------------------------------------------------ guided


def test_each_stage_is_right_and_told_by_no_other():
    for item in items("guided", 30):
        response = item.response
        assert isinstance(response, Guided)
        assert item.scoring.rule == "by stage" and item.scoring.points == len(response.stages)
        prompts = [plain.inlines(stage.prompt) for stage in response.stages]
        for stage, prompt in zip(response.stages, prompts, strict=True):
            if isinstance(stage.response, ListEntry):
                q = stage.response.modulus
                assert list(stage.response.values) == solutions(item, q)
                assert f"modulo {q} (0 to {q - 1})" in prompt
                answer = ", ".join(map(str, stage.response.values))
                others = " ".join(p for p in prompts if p != prompt)
                assert len(stage.response.values) == 1 or answer not in others
        for slip in item.feedback:
            ((n, text),) = ((n, t) for n, t in enumerate(slip.response) if t)
            right = response.stages[n].response
            assert isinstance(right, ListEntry)
            assert text != ", ".join(map(str, right.values))
            if len(right.values) > 1:
                key = ", ".join(map(str, right.values))
                assert key not in plain.blocks(slip.text)


def test_a_guided_question_of_another_kind_is_refused():
    problem = problem_from(["lambda(36)"])
    solution = problem.solve()
    provenance = items("order", 1)[0].provenance
    wording = Wording(
        title="t", ask="the value", form="guided", rule="all or nothing", points=1,
        outcomes=(), level="easy", provenance=provenance,
    )  # fmt: skip
    with pytest.raises(ComposeError, match="guided: a problem of the kind lambda tells of no"):
        compose(problem, solution, problem.slips(solution), wording)


def test_orders_of_letters_are_told_neither_by_memory_nor_by_the_alphabet():
    """Before, the first place was right for P, Q, R, S alone, a key that came again and again."""
    family = SHIPPED["system-steps-in-order"]
    entry = PoolEntry.model_construct(
        family=family, variants=40, choose=1, points=1, form="select one"
    )
    keys, places = set(), Counter()
    for variant in islice(Stream(family, "letters", fits(family)), 40):
        response = item_of(variant, entry).response
        assert isinstance(response, SelectOne)
        (place,) = (i for i, o in enumerate(response.options) if o.correct)
        keys.add(plain.inlines(response.options[place].label))
        places[place] += 1

    assert set(places.values()) == {10}
    assert len(keys) >= 16  # of the 24 orders of four letters, or the 120 of five
