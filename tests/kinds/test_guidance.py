"""What a polynomial congruence tells of its derivation, against trying every residue."""

import random
import re
from functools import cache

import pytest
import sympy

from itembank.kinds.derivation import Derived, RootStage, SingularStage
from itembank.kinds.statement import problem_from
from itembank.kinds.table import KINDS, SIGNATURES
from itembank.languages import Speaker


def tried(f, q):
    """All solutions of f(x) = 0 modulo q; f from the constant term up."""
    return [x for x in range(q) if sum(c * x**i for i, c in enumerate(f)) % q == 0]


@cache
def drawn(n):
    """Congruences of degree 2 and 3 with moduli up to 600, about half of them solvable."""
    chance, found = random.Random(6), []
    for _ in range(n):
        degree = chance.choice((2, 3))
        f = [chance.randint(-20, 20) for _ in range(degree)] + [1]
        m = chance.choice(
            (8, 9, 16, 25, 27, 36, 45, 49, 63, 72, 75, 81, 98, 117, 125, 175, 200, 225)
        )
        terms = " + ".join(f"({c})x^{i}" for i, c in enumerate(f))
        found.append((f, m, problem_from([f"{terms} = 0 mod {m}"])))
    return found


RANK = {"split": 0, "solve": 1, "lift": 2, "combine": 3, "check": 4}

MANY = 1500


def residues_in(line):
    """{modulus: residues} of every x ≡ ... (mod ...) in a line of plain text."""
    found = re.findall(r"x ≡ ([\d, ]+) \(mod (\d+)\)", line)
    return {int(q): [int(x) for x in listed.split(",")] for listed, q in found}


def test_the_lines_of_an_outline_name_all_solutions_modulo_each_number():
    told = 0
    for f, m, problem in drawn(MANY):
        solution = problem.solve()
        lines = problem.outline(solution)
        assert bool(lines) is (0 < len(tried(f, m)) <= 8 and enough(f, m))
        if not lines:
            continue
        told += 1
        text = {line.name: Speaker().text(line.text) for line in lines}
        factors = sympy.factorint(m)
        named = [q for line in text.values() for q in residues_in(line)]
        powers = [p**j for p, k in factors.items() for j in range(1, k + 1)]
        assert sorted(named) == sorted({*powers, m} if len(factors) > 1 else powers)
        for line in text.values():
            assert all(found == tried(f, q) for q, found in residues_in(line).items())
        if len(factors) > 1:
            assert f"{m} = " in text["split"]
        ranks = [RANK[name.split()[0]] for name in text]
        assert len(text) == len(lines) and ranks == sorted(ranks)
    assert told > 300


def enough(f, m):
    """Whether there are at most 8 solutions modulo every power of a prime in m."""
    return all(
        len(tried(f, p**j)) <= 8 for p, k in sympy.factorint(m).items() for j in range(1, k + 1)
    )


def test_each_stage_asks_for_what_is_so_and_the_last_for_the_answer():
    singular = guided = 0
    for f, m, problem in drawn(MANY):
        stages = problem.stages(problem.solve())
        if not stages:
            continue
        guided += 1
        assert isinstance(stages[-1], RootStage)
        assert list(stages[-1].answer.residues()) == tried(f, m)
        for stage in stages:
            if isinstance(stage, SingularStage):
                slope = [i * c for i, c in enumerate(f)][1:]
                zeros = set(tried(slope, stage.p))
                assert list(stage.roots) == tried(f, stage.p)
                assert set(stage.singular) == zeros & set(stage.roots)
                singular += bool(stage.singular)
            else:
                assert list(stage.answer.residues()) == tried(f, stage.answer.modulus)
                key = stage.answer.residues()
                assert all(slip.answer != key for slip in stage.slips)
    assert guided > 300 and singular > 100


def test_a_lifting_holds_all_roots_below():
    found = 0
    for f, m, problem in drawn(MANY):
        lifting = problem.lifting(problem.solve())
        factors = sympy.factorint(m)
        if lifting is None:
            continue
        found += 1
        ((p, k),) = factors.items()
        assert (lifting.p, lifting.below) == (p, p ** (k - 1))
        assert list(lifting.roots) == tried(f, lifting.below)
    assert found > 100


def test_a_misorder_moves_one_step_before_one_on_which_it_builds():
    problem = problem_from(["x^2 + 9x + 5 = 0 mod 117"])
    lines = problem.outline(problem.solve())
    names = [line.name for line in lines]
    orders = {m.name: [names[i] for i in m.order] for m in problem.misorders(lines)}

    assert orders == {
        "solved-before-splitting": ["solve", "split", "lift 2", "combine", "check"],
        "lifted-before-solving": ["split", "lift 2", "solve", "combine", "check"],
        "combined-before-lifting": ["split", "solve", "combine", "lift 2", "check"],
        "checked-too-soon": ["split", "solve", "lift 2", "check", "combine"],
    }


@pytest.mark.parametrize("name", SIGNATURES)
def test_exactly_the_kinds_that_say_so_tell_of_their_derivation(name):
    assert SIGNATURES[name].derived is issubclass(KINDS[name].problem, Derived)


def test_the_unknown_keeps_its_letter():
    problem = problem_from(["y^2 + 9y + 5 = 0 mod 117"])
    told = " ".join(Speaker().text(line.text) for line in problem.outline(problem.solve()))

    assert "y ≡ 7, 20, 88, 101 (mod 117)" in told
    assert "x" not in re.sub("[A-Za-z]{2,}", "", told)
