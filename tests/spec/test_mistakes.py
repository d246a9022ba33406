"""What authors get wrong, each message whole: the place, the cause, the remedy, the near miss."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from itembank import cli

FAMILY = """\
id: fam
version: 1
title: Fam
problem: polynomial
outcomes: [solve]
level: medium
parameters:
  p: {prime: [13, 97]}
  b: {integer: [1, 12]}
where: [not is_square(b)]
given: {congruence: x^2 + b*x = 3, modulus: p}
ask: all solutions
forms: [list]
slips: [shift-sign]
"""

MISTAKES = {
    ("x^2 + b*x", "x^2 + bx"): (
        "11:27: given.congruence: unknown name 'bx'; did you mean b*x? A product is written with *"
    ),
    ("x^2 + b*x = 3", "x^2 = pb"): (
        "11:27: given.congruence: unknown name 'pb'; did you mean p*b? A product is written with *"
    ),
    ("x^2 + b*x = 3", "x^2 + b*x = p/2"): (
        "11:34: given.congruence: '/' is not part of an expression; write //, which leaves out the "
        "remainder"
    ),
    ("not is_square(b)", "b mod 2 == 1"): (
        "10:11: where[1]: expected % for the remainder, found 'mod'; write b % 2"
    ),
    ("not is_square(b)", "not not is_square(b)"): (
        "10:13: where[1]: 'not not' says nothing: leave out both, or write one of them"
    ),
    ("not is_square(b)", "b >\u00a05"): (
        "10:12: where[1]: the character U+00A0 is not part of an expression; write an ordinary "
        "space"
    ),
    ("  b: {", "\u00a0 b: {"): (
        "9:1: expected an ordinary space, found U+00A0, which looks like one"
    ),
    ("shift-sign", "sign-eror"): (
        "14:9: slips[1]: unknown slip 'sign-eror'; did you mean 'constant-sign'?"
    ),
    ("level: medium", "level: hard"): "6:8: level: unknown level 'hard'; did you mean 'difficult'?",
    ("level: medium", "level: moderate"): (
        "6:8: level: unknown level 'moderate'; did you mean 'medium'?"
    ),
    ("polynomial", "polynomal"): (
        "4:10: problem: unknown kind of problem 'polynomal'; did you mean 'polynomial'?"
    ),
}  # fmt: skip


def run(*args: object):
    return CliRunner().invoke(cli.main, [*map(str, args)])


@pytest.mark.parametrize("change", MISTAKES, ids=lambda change: change[1].strip())
def test_a_mistake_is_told_whole_at_its_place(change: tuple[str, str], tmp_path: Path):
    path = tmp_path / "fam.yaml"
    path.write_text(FAMILY.replace(*change), encoding="utf-8")

    result = run("check", path)

    assert result.exit_code == 1
    assert f"{path}:{MISTAKES[change]}" in result.stdout.splitlines()


def test_a_family_given_for_a_pool_is_said_to_be_one(tmp_path: Path):
    path = tmp_path / "fam.yaml"
    path.write_text(FAMILY, encoding="utf-8")

    result = run("make", path, "--term", "t", "--out", tmp_path)

    assert result.exit_code == 1
    assert result.stderr == (
        f"{path}:1:1: this is a family, not a pool; name it in the `items` of a pool\n"
    )


def test_a_pool_given_for_a_family_is_said_to_be_one(tmp_path: Path):
    path = tmp_path / "mine.yaml"
    path.write_text("id: mine\ntitle: Mine\nseed: s\nitems: [{family: fam, variants: 2}]\n")

    result = run("show", path)

    assert result.exit_code == 1
    assert result.stdout.splitlines()[1] == (
        f"{path}:1:1: this is a pool, not a family; name a family, or give it to `make`"
    )


def test_a_pool_beside_is_named_by_its_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    (tmp_path / "mine.yaml").write_text("id: mine\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)

    result = run("make", "mine", "--term", "t", "--out", tmp_path)

    assert result.exit_code == 2
    assert result.stderr == (
        "Error: no pool file 'mine', and no shipped pool of that id; did you mean 'mine.yaml'?\n"
    )


def test_the_pool_that_was_meant_is_named(tmp_path: Path):
    result = run("make", "lifting-homwork", "--term", "t", "--out", tmp_path)

    assert result.exit_code == 2
    assert result.stderr == (
        "Error: no pool file 'lifting-homwork', and no shipped pool of that id; did you mean "
        "'lifting-homework'?\n"
    )
