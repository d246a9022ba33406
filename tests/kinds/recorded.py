"""What is asked of the record of every kind: its samples are its own, its certificates true."""

from collections.abc import Iterable
from typing import Any

import pytest

from itembank.kinds.base import Kind
from itembank.kinds.statement import problem_from
from itembank.notation.tree import Blocks
from tests.kinds.sums import read_sums
from tests.kinds.telling import rendered


def samples(kinds: Iterable[Kind]) -> list[Any]:
    """Each sample with its kind."""
    return [
        pytest.param(kind, statement, id=statement) for kind in kinds for statement in kind.samples
    ]


def read_as_its_kind(kind: Kind, statement: str) -> None:
    """The sample is of its kind, and is solved, told and asked in every way the kind offers."""
    problem = problem_from([statement])

    assert type(problem) is kind.problem
    assert kind.read([statement]) == problem
    assert kind.read(problem.statement) == problem
    assert rendered(problem.worked(problem.solve()))
    for ask in problem.signature.asks:
        assert rendered(problem.question(ask))


def certificate(kind: Kind, statement: str) -> Blocks:
    """What is certified of the sample; AssertionError where a relation in it is false."""
    problem = problem_from([statement])
    blocks = rendered(kind.certificate(problem, problem.solve().answer))
    read_sums(blocks, *([] if problem.modulus is None else [problem.modulus]))
    return blocks
