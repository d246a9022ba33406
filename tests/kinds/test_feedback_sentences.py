"""Sentences about errors: they say what may have gone wrong, and assert nothing of a student."""

import ast
import re
from pathlib import Path

import pytest

import itembank.kinds

ROOT = Path(itembank.kinds.__file__).parent
FILES = sorted(ROOT.rglob("*.py"))
SLIPS = [path for path in FILES if "slips" in f"{path}"]
WORD = re.compile(r"\b(you|your|yours)\b", re.I)


def templates(path: Path) -> list[str]:
    """All that a module says: the literals of `say` and `counted`."""
    calls = (node for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.Call))
    return [
        text.value
        for call in calls
        if isinstance(call.func, ast.Name) and call.func.id in ("say", "counted")
        for text in call.args
        if isinstance(text, ast.Constant) and isinstance(text.value, str)
    ]


def sentences(template: str) -> list[str]:
    return re.split(r"(?<=[.?!])\s+(?=[A-Z$])", template)


def asserts_of_the_student(template: str) -> list[str]:
    return [s for s in sentences(template) if WORD.search(s) and not s.startswith("If you ")]


def test_the_rule_finds_what_it_is_for():
    assert asserts_of_the_student("You solved $x ≡ 1$. Check it.") == ["You solved $x ≡ 1$."]
    assert asserts_of_the_student("It is 3. Your table stopped.") == ["Your table stopped."]
    assert asserts_of_the_student("There are solutions. If you met $x$, check it.") == []
    assert len(SLIPS) > 25


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(ROOT)))
def test_no_feedback_asserts_what_a_student_did(path):
    found = [s for t in templates(path) for s in asserts_of_the_student(t)]
    assert [s for s in found if "If you met" not in s] == []


@pytest.mark.parametrize("path", SLIPS, ids=lambda p: str(p.relative_to(ROOT)))
def test_negation_is_said_as_the_trade_says_it(path):
    """ "is not a square", "is not prime", "if and only if": not "is no square" or "exactly if"."""
    stiff = re.compile(r"\b(?:is|are) (?:no|none)\b(?! (?:longer|solution|misprint))|exactly if")
    allowed = re.compile(r"or none is|none is\.|there (?:is|are) no", re.I)
    for template in templates(path):
        assert not stiff.search(allowed.sub("", template)), template


@pytest.mark.parametrize("path", SLIPS, ids=lambda p: str(p.relative_to(ROOT)))
def test_what_follows_stands_behind_its_subject(path):
    """ "u = v gives x = 3", not "from u = v follows x = 3"."""
    turned = re.compile(r"\bfrom \$[^.]*\$ follows\b|\bhas its say\b", re.I)
    assert [template for template in templates(path) if turned.search(template)] == []
