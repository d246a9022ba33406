"""The bounds row by row: of each a family built to break it, which is a fault by that name."""

from collections.abc import Mapping
from itertools import islice
from pathlib import Path

import pytest

from itembank.guessing.bounds import BOUNDS, broken
from itembank.guessing.figures import Figures
from itembank.kinds.table import SIGNATURES
from itembank.pipeline.appraisal import guessable
from itembank.pipeline.guesses import figures_over
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream
from itembank.spec import Family, load_family

ENOUGH = 60
"""Variants that are met; what is built to break a bound does so by far."""

FORM = """
id: built
version: 1
title: Built to be guessed
problem: {problem}
outcomes: [guessing]
level: medium
parameters: {parameters}
{where}given: {given}
ask: {ask}
forms: [{form}]
"""


def built(folder: Path, problem: str, form: str, ask: str, **said: str) -> Family:
    where = f"where: {said['where']}\n" if "where" in said else ""
    text = FORM.format(
        problem=problem, form=form, ask=ask, where=where,
        parameters=said["parameters"], given=said["given"],
    )  # fmt: skip
    text += said.get("more", "")
    path = folder / "built.yaml"
    path.write_text(text.lstrip(), encoding="utf-8")
    return load_family(path, SIGNATURES)


def figures(family: Family) -> Figures:
    stream = Stream(family, "rows", fits(family))
    (found,) = figures_over(family, islice(stream, ENOUGH)).values()
    return found


ROWS: Mapping[str, dict[str, str]] = {
    # Two thirds of the residues below the modulus are larger than the key.
    "the best guess without arithmetic, above chance": {
        "problem": "number_of_right_sides", "form": "select one", "ask": "the value",
        "parameters": "{d: {integer: [3, 24]}, n: {integer: [5, 40]}, u: {integer: [2, n - 1]}}",
        "where": "['gcd(u, n) == 1']",
        "given": "{coefficient: d*u, exponent: 1, modulus: d*n}",
    },
    "the keys at a place, of what is due to it": {
        "problem": "number_of_right_sides", "form": "select one", "ask": "the value",
        "parameters": "{d: {integer: [3, 24]}, n: {integer: [5, 40]}, u: {integer: [2, n - 1]}}",
        "where": "['gcd(u, n) == 1']",
        "given": "{coefficient: d*u, exponent: 1, modulus: d*n}",
    },
    # The boxes that were right most often, among four pairs.
    "the best guess without arithmetic": {
        "problem": "polynomial", "form": "select all", "ask": "all solutions",
        "parameters": "{p: {prime: [3, 7]}, q: {prime: [11, 23]}, s: {integer: [2, 76]}}",
        "where": "['gcd(s, p*q) == 1']",
        "given": "{congruence: x^2 - (s^2 % (p*q)) = 0, modulus: p*q}",
    },
    # Half of all residues are right.
    "the best guess at an example": {
        "problem": "unsolvable_sides", "form": "integer", "ask": "an example",
        "parameters": "{p: {prime: [23, 61]}, s: {integer: [2, p - 8]}}",
        "given": "{coefficient: 1, exponent: 2, modulus: p}",
        "more": "answer: {between: [s, s + 5]}\nsame: numbers\n",
    },
    "the commonest key": {
        "problem": "gcd", "form": "integer", "ask": "the value",
        "parameters": "{k: {integer: [1, 60]}, a: {integer: [20, 60]}, b: {integer: [20, 60]}}",
        "where": "['gcd(a, b) == 1']",
        "given": "{numbers: [a*(k if k > 58 else 2), b*(k if k > 58 else 2)]}",
    },
    "the commonest key of two": {
        "problem": "linear", "form": "integer", "ask": "how many",
        "parameters": "{p: {prime: [5, 97]}, a: {integer: [2, p - 1]}, b: {integer: [1, p - 1]}}",
        "given": "{congruence: a*x = b, modulus: p}",
    },
    "claims that are true": {
        "problem": "linear", "form": "solvable or not", "ask": "whether any",
        "parameters": "{p: {prime: [5, 97]}, a: {integer: [2, p - 1]}, b: {integer: [1, p - 1]}}",
        "given": "{congruence: a*x = b, modulus: p}",
    },
    # Where it is solvable the last number, the modulus, is even.
    "the best guess at true or false, above chance": {
        "problem": "linear", "form": "solvable or not", "ask": "whether any",
        "parameters": "{t: {one of: [0, 1]}, n: {integer: [5, 60]}, u: {integer: [2, n - 1]}}",
        "where": "['gcd(u, n) == 1', 'n % 2 == 1', 'u % 3 > 0']",
        "given": "{congruence: 3*u*x = 3*u*2 + 2 - 2*t, modulus: 3*n*(1 + t)}",
    },
    "no solution, where students may say so": {
        "problem": "polynomial", "form": "list", "ask": "all solutions",
        "parameters": "{p: {prime: [11, 61]}, r: {integer: [1, p - 1]}, s: {integer: [1, p - 1]}}",
        "where": "['r < s', 'r + s != p']",
        "given": "{congruence: 'x^2 - (r + s)*x + r*s = 0', modulus: p}",
        "more": "coefficients: any\n",
    },
    "the commonest number of solutions": {
        "problem": "linear", "form": "list", "ask": "all solutions",
        "parameters": "{n: {integer: [7, 40]}, u: {integer: [2, n - 1]}, v: {integer: [1, n - 1]}}",
        "where": "['gcd(u, n) == 1']",
        "given": "{congruence: 3*u*x = 3*v, modulus: 3*n}",
    },
}  # fmt: skip


@pytest.mark.parametrize("name", ROWS)
def test_a_family_built_to_break_a_bound_is_at_fault(tmp_path: Path, name: str):
    family = built(tmp_path, **ROWS[name])
    found = figures(family)

    assert name in {bound.name for bound, _value in broken(found)}, found
    (form,) = family.forms
    said = f"'{form}' can be guessed: {name}:"
    assert any(said in fault for fault in guessable(family, {form: found}))


BY_HAND = {
    "substitutions that settle it, for each box",
    "the best guess with one substitution",
    "the commonest arrangement",
    "the commonest answer of a stage",
    "questions with a way shorter than the method",
}
"""Bounds that drawing and composing keep by themselves: broken by questions made by hand."""


def test_every_bound_is_broken_here_or_by_hand():
    assert {bound.name for bound in BOUNDS} == {*ROWS, *BY_HAND}
