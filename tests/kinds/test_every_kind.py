"""What every kind of problem must have, facet by facet: one that is missing fails by its name."""

import dataclasses
import re
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

import pytest

from itembank.kinds.base import Kind, Problem, no_certificate
from itembank.kinds.statement import problem_from
from itembank.kinds.table import KINDS
from itembank.languages import Speaker
from itembank.notation import plain
from itembank.pipeline.compose import FORMS, check_form
from itembank.pipeline.selection import claim_of
from itembank.second_way.table import decide
from itembank.values.answer import Absent, Pairs, ResidueSet, Truth, Value
from itembank.values.errors import ComposeError
from itembank.values.vocabulary import FORMS_OF_ASK
from tests.kinds.telling import feedback_of, rendered
from tests.shipped import FAMILIES


def stated(sample: str) -> Problem:
    """The problem of a sample; the congruences of a system are parted by semicolons."""
    return problem_from([line.strip() for line in sample.split(";")])


@cache
def solved(sample: str):
    problem = stated(sample)
    return problem, problem.solve()


# ------------------------------------------------------------ the facets


def is_described(kind: Kind) -> None:
    assert re.fullmatch(r"[A-Z].{20,140}\.", kind.about)


def has_samples(kind: Kind) -> None:
    assert len(kind.samples) >= 5
    assert {type(stated(sample)) for sample in kind.samples} == {kind.problem}


def reads_back(kind: Kind) -> None:
    """The statement of a problem is read as an equal problem, by the kind's own reader."""
    for sample in kind.samples:
        problem = stated(sample)
        again = kind.read(problem.statement)
        assert again == problem, sample
        assert problem_from(problem.statement) == problem, sample


def is_solved_and_told(kind: Kind) -> None:
    for sample in kind.samples:
        problem, solution = solved(sample)
        assert solution.effort >= 0
        assert plain.blocks(rendered(problem.worked(solution))).strip(), sample


def second_way_agrees(kind: Kind) -> None:
    """Most samples are decided; what is too large for it is unchecked, and nothing disagrees."""
    found = [decided(*solved(sample)) for sample in kind.samples]
    assert "disagreed" not in found
    assert found.count("agreed") >= 4


def second_way_refuses_what_is_wrong(kind: Kind) -> None:
    refused = 0
    for sample in kind.samples:
        problem, solution = solved(sample)
        if decided(problem, solution) == "agreed":
            for wrong in wrong_answers(solution.answer):
                verdict = decide(problem.statement, *claim_of(wrong))
                assert verdict.status != "agreed", (sample, wrong, verdict)
                refused += verdict.status == "disagreed"
    assert refused


def decided(problem, solution) -> str:
    return decide(problem.statement, *claim_of(solution.answer)).status


def wrong_answers(answer: object) -> Iterator[Any]:
    """Answers of the same type that are not this one."""
    match answer:
        case Truth(holds):
            yield Truth(not holds)
        case Value(value, None):
            yield Value(value + 1, None)
        case Value(value, modulus) if modulus > 1:
            yield Value((value + 1) % modulus, modulus)
        case Absent():
            yield Value(1, None)
        case Pairs(modulus, pairs) if pairs:
            yield Pairs(modulus, pairs[1:])
        case ResidueSet() if answer and answer.class_count <= 20:
            _first, *others = answer.classes()
            yield ResidueSet.of(answer.modulus, others)


def is_asked_in_every_form(kind: Kind) -> None:
    """Each ask in at least one form, and every ask has a question."""
    for ask in kind.problem.signature.asks:
        assert any(can_be_asked(sample, ask) for sample in kind.samples), ask


def can_be_asked(sample: str, ask: str) -> bool:
    problem, solution = solved(sample)
    assert ask == "whether any" or Speaker().blocks(problem.question(ask)), "its claim says it all"
    for form in FORMS_OF_ASK[ask]:
        try:
            check_form(form, problem, solution, problem.slips(solution), ask)
        except ComposeError:
            continue
        return form in FORMS
    return False


def goes_wrong_on_purpose(kind: Kind) -> None:
    """Every slip that a sample makes is in the signature and has feedback."""
    found = set()
    for sample in kind.samples:
        problem, solution = solved(sample)
        for slip in problem.slips(solution):
            assert len(slip.feedback) == len(slip.names)
            assert plain.blocks(feedback_of(slip)).strip()
            found.update(slip.names)
    assert found
    assert found <= set(kind.problem.signature.slips)


def has_evidence(kind: Kind) -> None:
    """A certificate can be told of every sample; "none of its own" is said, not forgotten."""
    for sample in kind.samples:
        problem, solution = solved(sample)
        blocks = rendered(kind.certificate(problem, solution.answer))
        assert kind.certificate is not no_certificate or not blocks


def has_a_family(kind: Kind) -> None:
    assert kind.name in kinds_of_families()


@cache
def kinds_of_families() -> frozenset[str]:
    return frozenset(family.kind for family in FAMILIES.values())


FACETS: tuple[Callable[[Kind], None], ...] = (
    is_described,
    has_samples,
    reads_back,
    is_solved_and_told,
    second_way_agrees,
    second_way_refuses_what_is_wrong,
    is_asked_in_every_form,
    goes_wrong_on_purpose,
    has_evidence,
    has_a_family,
)


@pytest.mark.parametrize("facet", FACETS, ids=lambda facet: facet.__name__)
@pytest.mark.parametrize("name", KINDS)
def test_a_kind_has_its_facets(name, facet):
    facet(KINDS[name])


# ------------------------------------------------------------ a facet taken away is missed


def without(kind: Kind, **taken) -> Kind:
    return dataclasses.replace(kind, **taken)


def subclass(kind: Kind, **methods) -> Kind:
    """The kind with methods of its problems replaced."""
    problem = type(kind.problem.__name__, (kind.problem,), methods)
    return dataclasses.replace(kind, problem=problem)


TAKEN_AWAY = {
    "is_described": lambda kind: without(kind, about=""),
    "has_samples": lambda kind: without(kind, samples=()),
    "reads_back": lambda kind: without(kind, read=lambda _statements: None),
    "has_evidence": lambda kind: without(kind, certificate=None),
}


@pytest.mark.parametrize("facet", TAKEN_AWAY)
def test_a_facet_that_is_taken_away_fails_by_its_name(facet):
    kind = TAKEN_AWAY[facet](KINDS["order"])

    with pytest.raises((AssertionError, TypeError, AttributeError)):
        next(f for f in FACETS if f.__name__ == facet)(kind)
