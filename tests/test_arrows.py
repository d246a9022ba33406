"""Who may import whom: the plan of the house, kept by reading every import statement."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

FLOORS = {
    "itembank": 0,
    "itembank.errors": 1,
    "itembank.answer": 1,
    "itembank.vocabulary": 1,
    "itembank.words": 1,
    "itembank.languages": 1,
    "itembank.sharing": 1,
    "itembank.files": 1,
    "itembank.arithmetic": 1,
    "itembank.notation": 1,
    "itembank.problems": 2,
    "itembank.check": 2,
    "itembank.spec": 2,
    "itembank.item": 2,
    "itembank.statistics": 2,
    "itembank.exposure": 2,
    "itembank.results": 2,
    "itembank.forms": 2,
    "itembank.verdicts": 2,
    "itembank.decisions_file": 3,
    "itembank.draw": 3,
    "itembank.compose": 3,
    "itembank.audit": 3,
    "exporters": 3,
    "itembank.bank": 3,
    "itembank.selection": 4,
    "itembank.canary": 4,
    "itembank.packet": 5,
    "itembank.making": 5,
    "itembank.checking": 5,
    "itembank.drawing": 6,
    "itembank.exporting": 6,
    "itembank.deciding": 6,
    "itembank.deciding_in_bank": 7,
    "itembank.returning": 6,
    "itembank.assembling": 7,
    "itembank.standing": 6,
    "itembank.withdrawing": 7,
    "itembank.cli": 8,
}
"""The floor of each room; a module belongs to the longest name that begins its own."""

FREE_WITHIN_A_FLOOR = {1}
"""Rooms of the ground floor may use one another; elsewhere a room uses only floors below."""

FORBIDDEN = {
    "itembank.check": (
        "itembank.problems",
        "itembank.arithmetic",
        "itembank.notation",
        "itembank.answer",
    ),
    "itembank.audit": (
        "itembank.problems",
        "itembank.arithmetic",
        "itembank.notation",
        "itembank.answer",
        "itembank.spec",
        "itembank.item",
        "itembank.draw",
        "itembank.compose",
        "exporters",
    ),
    "exporters": ("itembank.problems", "itembank.arithmetic", "itembank.answer", "itembank.check"),
}
"""A checker that shares code shares its mistakes; an exporter never computes an answer."""

ONLY_HERE = {
    "yaml": ("itembank.spec",),
    "click": ("itembank.cli",),
    "sqlalchemy": ("itembank.bank",),
    "scipy": ("itembank.forms",),
    "numpy": ("itembank.forms",),
    "babel": ("itembank.languages",),
    "zipfile": ("exporters.package", "itembank.audit.container"),
    "random": (),
    "secrets": (),
    "time": (),
    "datetime": ("itembank.languages.__main__",),
    "uuid": (),
}
"""Who may import what from outside; nobody has a clock or dice."""


def module_name(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def modules() -> dict[str, Path]:
    files = [*ROOT.glob("itembank/**/*.py"), *ROOT.glob("exporters/**/*.py")]
    return {module_name(path): path for path in files}


MODULES = modules()


def imported(path: Path) -> Iterator[str]:
    """The modules that a file imports, inside functions and for type checking too."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are absolute"
            for alias in node.names:
                whole = f"{node.module}.{alias.name}"
                yield whole if whole in MODULES else str(node.module)


def room(module: str) -> str:
    return max((r for r in FLOORS if inside(module, r)), key=len)


def inside(module: str, package: str) -> bool:
    return module == package or module.startswith(package + ".")


def ours(path: Path) -> list[str]:
    return [
        name for name in imported(path) if inside(name, "itembank") or inside(name, "exporters")
    ]


@pytest.mark.parametrize("module", sorted(MODULES))
def test_a_room_imports_only_from_floors_below(module):
    for name in ours(MODULES[module]):
        here, there = room(module), room(name)
        if here == there or FLOORS[here] == FLOORS[there] in FREE_WITHIN_A_FLOOR:
            continue
        assert FLOORS[there] < FLOORS[here], f"{module} imports {name}"


@pytest.mark.parametrize("package", sorted(FORBIDDEN))
def test_what_checks_or_writes_shares_no_code_with_what_solves(package):
    for module, path in MODULES.items():
        if inside(module, package):
            for name in ours(path):
                assert not any(inside(name, f) for f in FORBIDDEN[package]), f"{module}: {name}"


@pytest.mark.parametrize("outside", sorted(ONLY_HERE))
def test_each_outside_library_has_one_place(outside):
    for module, path in MODULES.items():
        if any(inside(name, outside) for name in imported(path)):
            assert any(inside(module, place) for place in ONLY_HERE[outside]), module


WRITES = {"write_bytes", "write_text", "touch", "rmtree", "unlink", "mkdir", "mkstemp"}


def writes(call: ast.Call) -> bool:
    """Whether a call makes, renames or removes a file; one argument tells a path's replace."""
    name = getattr(call.func, "attr", getattr(call.func, "id", ""))
    texts = [a.value for a in call.args if isinstance(a, ast.Constant) and isinstance(a.value, str)]
    if name == "open":
        return any(set(mode) <= set("rwaxbt+") and set(mode) & set("wax+") for mode in texts)
    return name in WRITES or (name == "replace" and len(call.args) == 1 and not call.keywords)


def test_one_module_writes_files():
    """A member of a zip is written by its package, a catalogue of translations by its keeper."""
    found = {
        module
        for module, path in MODULES.items()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and writes(node)
    }

    assert found == {"itembank.files", "exporters.package", "itembank.languages.__main__"}


def test_every_module_has_a_docstring():
    for module, path in MODULES.items():
        text = path.read_text(encoding="utf-8")
        assert not text or ast.get_docstring(ast.parse(text)), module
