"""An answer is claimed, true or false: of every kind, read from the stem and judged anew."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from exporters.formats import FORMATS, write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.audit.report import Report
from itembank.kinds.asking import claimed_ask
from itembank.kinds.statement import problem_from
from itembank.kinds.table import KINDS, SIGNATURES
from itembank.pipeline.claimed import is_true
from itembank.pipeline.compose import Wording, compose
from itembank.values.errors import ComposeError
from itembank.values.item import Item, Provenance, TrueFalse

CLAIMED = tuple(name for name, kind in SIGNATURES.items() if "whether true" in kind.asks)


def item_of(statement: str, language: str = "en") -> Item:
    problem = problem_from(statement.split("; "))
    solution = problem.solve()
    wording = Wording(
        title="A claim", ask="whether true", form="solvable or not", rule="all or nothing",
        points=1, outcomes=("solve",), level="easy", language=language,
        provenance=Provenance(family="claim", version=1, seed="s", index=0),
    )  # fmt: skip
    return compose(problem, solution, problem.slips(solution), wording)


def claims_of(kind: str) -> Iterator[Item]:
    """The samples of a kind as claims, as far as they can be."""
    for sample in KINDS[kind].samples:
        try:
            item = item_of(sample)
        except ComposeError:
            continue
        yield replace(item, provenance=replace(item.provenance, seed=sample))


def audited(items: tuple[Item, ...], folder: Path, format: str = "qti21") -> Report:
    group = Group(family="claim", title="Claims", items=items, choose=len(items), points=1)
    release = Release(
        pool_id="claims",
        title="Claims",
        course="NT 210",
        term="2027-spring",
        language=items[0].language,
        groups=(group,),
    )
    path = folder / f"{format}.zip"
    write_package(format, release, path)
    return audit_package(path)


def denied(item: Item) -> Item:
    """The item with the other word for its key; its feedback would be to that."""
    assert isinstance(item.response, TrueFalse)
    response = replace(item.response, truth=not item.response.truth)
    return replace(item, response=response, feedback=())


@pytest.fixture(scope="module")
def one_of_each_kind() -> tuple[Item, ...]:
    return tuple(next(claims_of(kind)) for kind in CLAIMED)


def test_every_kind_with_a_number_or_a_set_for_an_answer_can_be_claimed(one_of_each_kind) -> None:
    assert len(CLAIMED) > 60
    assert {item.kind for item in one_of_each_kind} == set(CLAIMED)
    for name, kind in SIGNATURES.items():
        assert (claimed_ask(kind) is not None) is (name in CLAIMED), name


@pytest.mark.parametrize("format", ["qti21", "cc13"])
def test_claims_of_every_kind_are_judged(one_of_each_kind, format: str, tmp_path: Path) -> None:
    report = audited(one_of_each_kind, tmp_path, format)
    assert [(i.title, i.findings, i.how) for i in report.items if i.status != "agreed"] == []


def test_the_other_word_is_disagreed(one_of_each_kind, tmp_path: Path) -> None:
    report = audited(tuple(map(denied, one_of_each_kind)), tmp_path)
    assert {item.status for item in report.items} == {"disagreed"}


@pytest.mark.parametrize("format", FORMATS)
def test_a_claim_leaves_in_every_format(format: str, tmp_path: Path) -> None:
    report = audited((item_of("inverse of 5 mod 12"), item_of("2x = 6 mod 16")), tmp_path, format)
    assert report.clean, report.as_text()


def test_about_half_of_the_claims_are_true() -> None:
    problems = [problem_from([f"inverse of 3 mod {m}"]) for m in range(10, 310) if m % 3]
    assert 80 <= sum(map(is_true, problems)) <= 120


def test_a_claim_is_the_key_or_what_its_slip_leads_to() -> None:
    for item in (item_of(f"3^{k} mod 17") for k in range(20, 40)):
        assert isinstance(item.response, TrueFalse)
        right = pow(3, int(item.statement[0].split("^")[1].split(" ")[0]), 17)
        claimed = int(item.spoken.split("the answer is ")[1].split(".")[0].replace("minus ", "-"))
        assert (claimed == right) is item.response.truth
        assert {slip.response for slip in item.feedback} <= {("true",)}
        assert bool(item.feedback) is not item.response.truth
