"""The main job from a pool to audited packages, and what makes it stop."""

import dataclasses
import json
from itertools import combinations
from pathlib import Path

import pytest
from click.testing import CliRunner

from exporters.release import Release
from itembank import cli
from itembank.kinds.statement import problem_from
from itembank.pipeline import candidates, compose, making, selection
from itembank.spec import library, load_pool
from itembank.values.answer import ResidueSet
from itembank.values.errors import DrawError, ProofError
from tests.shipped import FAMILIES

POOLS = sorted(p.stem for p in (library() / "pools").glob("*.yaml"))


def shipped(pool: str):
    return load_pool(library() / "pools" / f"{pool}.yaml", FAMILIES)


RELEASED: dict[str, Release] = {}
"""What was released of shipped pools for a term, for the tests that only read it."""


def released(pool: str) -> Release:
    if pool not in RELEASED:
        RELEASED[pool] = making.released(shipped(pool), "2027-spring")
    return RELEASED[pool]


def pool_file(folder: Path, items: str) -> Path:
    path = folder / "practice.yaml"
    path.write_text(
        "id: practice\ntitle: Practice\ncourse: NT 210, Alder Ford College\nseed: tests\n"
        f"items:\n{items}",
        encoding="utf-8",
    )
    return path


@pytest.mark.parametrize("pool", POOLS)
def test_a_shipped_pool_becomes_valid_packages_whose_audit_agrees(pool, tmp_path, findings):
    made = making.make(shipped(pool), "2027-spring", tmp_path, ("qti21", "cc13"))
    RELEASED[pool] = made.release

    for written, report in made.packages:
        assert report.clean and report.items
        assert findings(tmp_path / written.file) == []
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        f"{pool}-2027-spring-{end}" for end in ("cc13.zip", "load-card.html", "qti21.zip")
    ]


def test_two_pools_in_one_folder_keep_a_load_card_each(tmp_path):
    for pool in POOLS[:2]:
        making.make(shipped(pool), "2027-spring", tmp_path, ("html",))

    cards = [path.read_text(encoding="utf-8") for path in tmp_path.glob("*-load-card.html")]
    assert len(set(cards)) == 2


def test_a_pool_holds_at_least_60_items():
    release = released("lifting-homework")

    assert sum(len(tuple(g.items)) for g in release.groups) >= 60


def test_the_same_command_gives_the_same_bytes(tmp_path):
    pool = shipped("congruences-quiz")
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
        making.make(pool, "2027-spring", tmp_path / folder, ("qti21", "cc13"))

    for path in (tmp_path / "a").iterdir():
        assert path.read_bytes() == (tmp_path / "b" / path.name).read_bytes()


def test_another_term_gives_other_items():
    pool = shipped("congruences-quiz")
    first, second = (
        {i.identifier for g in making.released(pool, term).groups for i in g.items}
        for term in ("2027-spring", "2027-autumn")
    )

    assert not first & second


def test_every_option_set_obeys_the_rules_of_item_writing():
    """In order, no two alike, the key not the only one of its size (Haladyna et al. 2002)."""
    for pool in POOLS:
        for group in released(pool).groups:
            for item in group.items:
                if item.response.form != "select one" or item.ask in compose.SELECTED:
                    continue
                claims = [o.residues for o in item.response.options]
                (key,) = (o.residues for o in item.response.options if o.correct)
                listed = [c for c in claims if c]
                assert listed == sorted(listed, key=lambda c: (len(c), c))
                assert len(set(claims)) == len(claims)
                assert () not in claims[1:-1]
                assert not key or sum(len(c) == len(key) for c in claims) >= 2


def test_the_key_stands_in_every_place_of_a_pool():
    places = [
        [o.correct for o in item.response.options].index(True)
        for pool in POOLS
        for group in released(pool).groups
        for item in group.items
        if item.response.form == "select one" and item.ask not in compose.SELECTED
    ]

    assert set(places) == {0, 1, 2, 3}
    assert max(places.count(p) for p in range(4)) < 0.5 * len(places)


def test_near_twins_of_a_family_never_stand_on_one_form(tmp_path):
    path = pool_file(
        tmp_path, "  - {family: quadratic-prime-square, variants: 40, choose: 3, form: list}\n"
    )
    pool = load_pool(path, FAMILIES)

    groups = making.released(pool, "2027-spring").groups

    assert [g.choose for g in groups] == [1, 1, 1]
    signs = [{problem_from(i.statement).twin for i in g.items} for g in groups]
    assert all(not a & b for a, b in combinations(signs, 2))
    assert sum(len(g.items) for g in groups) == 40


def test_a_family_asked_for_more_than_it_has_is_an_error_with_the_count(tmp_path):
    path = pool_file(tmp_path, "  - {family: square-roots-power-of-two, variants: 50}\n")
    pool = load_pool(path, FAMILIES)

    with pytest.raises(DrawError) as error:
        making.released(pool, "2027-spring")

    assert str(error.value) == (
        "pool practice: family square-roots-power-of-two: expected 50 variants, it has 48 "
        "(2,058 parameter sets tried: 895 x fails 'a < 2^k'; 746 x fails 'r == 0 or n % 7 == 2'; "
        "269 x the same problem, or a disguise of it; 100 x fails 'not is_square(a)'); widen its "
        "parameters or ask for fewer"
    )


def test_a_wrong_answer_stops_everything_and_says_so():
    problem = problem_from(["x^2 = 4 mod 15"])

    with pytest.raises(ProofError) as error:
        selection.prove(
            problem, ResidueSet.of(15, [(2, 15), (7, 15), (8, 15)]), "family f, variant 3"
        )

    assert str(error.value).startswith(
        "family f, variant 3: x^2 = 4 mod 15: the second way says disagreed: "
    )


def test_a_solver_that_loses_a_root_releases_nothing(tmp_path, monkeypatch):
    """Break the solver: of several classes drop one; the folder stays empty."""
    true_candidate = candidates.candidate_of

    def losing(*args):
        found = true_candidate(*args)
        answer = found.solution.answer
        classes = answer.classes()
        fewer = ResidueSet.of(answer.modulus, classes[1:] or classes)
        return dataclasses.replace(
            found, solution=dataclasses.replace(found.solution, answer=fewer)
        )

    monkeypatch.setattr(candidates, "candidate_of", losing)
    candidates.remembered.clear()

    with pytest.raises(ProofError, match="the second way says disagreed"):
        making.make(shipped("lifting-homework"), "2027-spring", tmp_path, ("qti21",))
    assert list(tmp_path.iterdir()) == []


def test_a_failed_audit_leaves_the_old_packages(tmp_path, monkeypatch):
    pool = shipped("congruences-quiz")
    making.make(pool, "2027-spring", tmp_path, ("cc13",))
    before = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    true_audit = making.audit_package

    def doubting(path, executor, stories):
        report = true_audit(path)
        return dataclasses.replace(report, package_findings=("a doubt",))

    monkeypatch.setattr(making, "audit_package", doubting)

    with pytest.raises(ProofError, match="nothing was released: a doubt"):
        making.make(pool, "2027-spring", tmp_path, ("cc13",))
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == before


def test_an_item_that_the_audit_does_not_find_stops_everything(tmp_path, monkeypatch):
    true_audit = making.audit_package

    def overlooking(path, executor, stories):
        report = true_audit(path)
        return dataclasses.replace(report, items=report.items[1:])

    monkeypatch.setattr(making, "audit_package", overlooking)

    with pytest.raises(ProofError) as error:
        making.make(shipped("congruences-quiz"), "2027-spring", tmp_path, ("cc13",))
    assert str(error.value) == (
        "cc13: the audit of the finished package found 69 of 70 items; nothing was released"
    )
    assert list(tmp_path.iterdir()) == []


def test_make_prints_the_packages_and_the_caution(tmp_path):
    result = CliRunner().invoke(
        cli.main,
        [
            "make",
            "congruences-quiz",
            "--term",
            "2027-spring",
            "--out",
            str(tmp_path),
            "--to",
            "cc13",
        ],
    )

    assert result.exit_code == 0
    assert "70 items, all agreed" in result.stdout
    assert "\nEasiest to guess: " in result.stdout
    assert "a person reviews the items and signs for them" in result.stdout


def test_programs_are_told_what_guessers_score(tmp_path):
    arguments = ["make", "congruences-quiz", "--term", "2027-spring", "--to", "cc13", "--json"]
    result = CliRunner().invoke(cli.main, [*arguments, "--out", str(tmp_path)])

    made = json.loads(result.stdout)
    scores = {
        found["family"]: found["best"]["score"] - found.get("chance", 0)
        for found in made["guessing"]
        if "best" in found
    }
    assert sum(found["questions"] for found in made["guessing"]) == 70
    assert max(scores, key=scores.__getitem__) == made["easiest_to_guess"]
