"""What a module gives to others is public, and nothing else: all else has an underscore."""

import ast
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

from tests.test_arrows import ROOT, module_name, parsed

LOADED_BY_NAME = {"FORM", "KINDS", "main"}
"""What tables and scripts load from a module that they know by its path."""

Statement = ast.stmt
Uses = defaultdict[str, set[str]]


@cache
def product() -> dict[str, ast.Module]:
    """The modules of the product by name."""
    return {module_name(path): parsed(path) for path in files("itembank", "exporters")}


def files(*folders: str) -> list[Path]:
    return [path for folder in folders for path in sorted((ROOT / folder).rglob("*.py"))]


def names_in(node: ast.AST | None) -> set[str]:
    """The names that an annotation mentions, those in quotes too."""
    found: set[str] = set()
    for inner in ast.walk(node) if node else ():
        if isinstance(inner, ast.Name):
            found.add(inner.id)
        elif isinstance(inner, ast.Constant) and isinstance(inner.value, str):
            found.update(re.findall(r"\w+", inner.value))
    return found


def defined(statement: Statement) -> Iterator[str]:
    """The names that a statement of a module gives."""
    match statement:
        case ast.FunctionDef(name=name) | ast.ClassDef(name=name):
            yield name
        case ast.Assign(targets=targets):
            yield from (t.id for t in targets if isinstance(t, ast.Name))
        case ast.AnnAssign(target=ast.Name(id=name)):
            yield name


def outside(statement: Statement) -> set[str]:
    """The names that whoever uses a definition meets: in its signature, fields and bases."""
    match statement:
        case ast.FunctionDef(args=a, returns=returns):
            args = [*a.posonlyargs, *a.args, *a.kwonlyargs, a.vararg, a.kwarg]
            return names_in(returns).union(*(names_in(arg.annotation) for arg in args if arg))
        case ast.ClassDef(body=body, bases=bases):
            inner = (s for s in body if not any(map(is_private, defined(s))))
            return set().union(*map(names_in, bases), *map(outside, inner))
        case ast.AnnAssign(annotation=annotation):
            return names_in(annotation)
        case ast.Assign(targets=[ast.Name(id=name)], value=value) if not name.isupper():
            return names_in(value)  # another name of a type
        case ast.Assign(targets=[ast.Name(id=name)], value=value) if len(name) == 1:
            return names_in(value)  # a variable of types
    return set()


def is_private(name: str) -> bool:
    return name.startswith("_") and not name.startswith("__")


def marked(tree: ast.Module) -> set[str]:
    """The names that `__all__` lists."""
    return {
        name
        for s in tree.body
        if isinstance(s, ast.Assign) and "__all__" in defined(s)
        for name in ast.literal_eval(s.value)
    }


def is_command(statement: Statement) -> bool:
    decorators = getattr(statement, "decorator_list", ())
    return any(re.search(r"\b(command|group)\(", ast.unparse(d)) for d in decorators)


def brought(tree: ast.Module) -> Iterator[tuple[str, str, str]]:
    """What a file imports: the module, the name in it, and what the file calls it."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield from ((node.module, a.name, a.asname or a.name) for a in node.names)
        elif isinstance(node, ast.Import):
            yield from ((a.name, "", a.asname or a.name) for a in node.names)


def taken(tree: ast.Module) -> Iterator[tuple[str, str]]:
    """What a file takes from the modules of the product: (module, name)."""
    called = {}
    for module, name, as_name in brought(tree):
        whole = f"{module}.{name}" if name else module
        called[as_name] = whole
        yield module, name
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute):
            owner = ast.unparse(node.value) if isinstance(node.value, ast.Name) else dotted(node)
            yield called.get(owner, owner), node.attr
        elif isinstance(node, ast.Call):  # monkeypatch.setattr(module, "name", ...)
            owners = [called.get(a.id, "") for a in node.args if isinstance(a, ast.Name)]
            names = [a.value for a in node.args if isinstance(a, ast.Constant)]
            yield from ((o, n) for o in owners for n in names if o and isinstance(n, str))


def dotted(node: ast.Attribute) -> str:
    """The owner of an attribute where it is names with stops between; else nothing."""
    names, inner = [], node.value
    while isinstance(inner, ast.Attribute):
        names.append(inner.attr)
        inner = inner.value
    return ".".join([inner.id, *reversed(names)]) if isinstance(inner, ast.Name) else ""


@cache
def used() -> Uses:
    """The names of each module that other files of the product, or tests, take from it."""
    found: Uses = defaultdict(set)
    for path in files("itembank", "exporters", "tests"):
        here = module_name(path)
        for module, name in taken(parsed(path)):
            if module != here:
                found[module].add(name)
    return found


def public_with(names: Iterable[str], statements: list[Statement]) -> set[str]:
    """These names, and those that their definitions show to whoever uses them."""
    shown = {name: outside(s) for s in statements for name in defined(s)}
    found, waiting = set(), list(names)
    while waiting:
        if (name := waiting.pop()) not in found:
            found.add(name)
            waiting += shown.get(name, ())
    return found


@pytest.mark.parametrize("module", product())
def test_a_public_name_is_used_elsewhere_or_shown_by_one_that_is(module):
    statements = product()[module].body
    given = {name for s in statements if not is_command(s) for name in defined(s)}
    public = {name for name in given if not name.startswith("_")}

    wanted = used()[module] | LOADED_BY_NAME | marked(product()[module])

    assert public - public_with(wanted, statements) == set()


def test_nobody_takes_what_is_private_elsewhere():
    private = {
        f"{module}.{name}"
        for module, names in used().items()
        for name in names
        if module in product() and is_private(name)
    }

    assert private == set()
