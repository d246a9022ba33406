"""Who may import whom: the plan of the house, kept by reading every import statement."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

FLOORS = {
    "itembank": 0,
    "itembank.values": 1,
    "itembank.languages": 1,
    "itembank.maths": 1,
    "itembank.notation": 1,
    "itembank.kinds": 2,
    "itembank.second_way": 2,
    "itembank.forms": 2,
    "itembank.guessing": 2,
    "itembank.spec": 2,
    "itembank.terms.statistics": 2,
    "itembank.terms.significance": 2,
    "itembank.terms.outlook": 2,
    "itembank.terms.tables": 2,
    "itembank.terms.exposure": 2,
    "itembank.terms.naming": 2,
    "itembank.terms.plots": 2,
    "itembank.terms.difficulty": 2,
    "itembank.terms.features": 3,
    "itembank.terms.scores": 4,
    "itembank.terms.reports": 3,
    "itembank.terms.graded": 5,
    "itembank.terms.packages": 4,
    "itembank.terms.wording": 4,
    "itembank.terms.together": 5,
    "itembank.terms.parallel": 2,
    "itembank.review.decisions_file": 3,
    "itembank.pipeline.own_slips": 2.5,
    "itembank.pipeline.claimed": 2.5,
    "itembank.pipeline.examples": 2.5,
    "itembank.pipeline.ranges": 2.6,
    "itembank.pipeline.species": 2,
    "itembank.pipeline.balance": 2,
    "itembank.pipeline.answers": 2.7,
    "itembank.pipeline.levels": 2,
    "itembank.pipeline.titles": 3,
    "itembank.pipeline.shortcuts": 2.5,
    "itembank.pipeline.parameter_sets": 2.5,
    "itembank.pipeline.candidates": 2.8,
    "itembank.pipeline.variants": 3,
    "itembank.pipeline.compose": 3,
    "itembank.pipeline.given_away": 3,
    "itembank.audit": 3,
    "exporters": 3,
    "itembank.bank": 3,
    "itembank.pipeline.selection": 4,
    "itembank.pipeline.capacity": 4,
    "itembank.pipeline.canary": 4,
    "itembank.pipeline.printing": 4,
    "itembank.review": 5,
    "itembank.pipeline.guesses": 5,
    "itembank.pipeline.making": 5,
    "itembank.pipeline.trial": 5,
    "itembank.pipeline.coverage": 5,
    "itembank.pipeline": 5,
    "itembank.pipeline.appraisal": 6,
    "itembank.pipeline.showing": 6,
    "itembank.terms.draw": 6,
    "itembank.terms.export": 6,
    "itembank.review.deciding": 6,
    "itembank.terms.results": 6,
    "itembank.terms.status": 6,
    "itembank.terms.sheet": 6,
    "itembank.terms.results_page": 7,
    "itembank.terms.runway_page": 7,
    "itembank.terms.decisions": 7,
    "itembank.terms.assembly": 7,
    "itembank.terms.editions": 7,
    "itembank.terms.withdrawal": 7.5,
    "itembank.terms": 7,
    "itembank.cli": 8,
}
"""The floor of each room; a module belongs to the longest name that begins its own."""

FREE_WITHIN_A_FLOOR = {1}
"""Rooms of the ground floor may use one another; elsewhere a room uses only floors below."""

FORBIDDEN = {
    "itembank.second_way": (
        "itembank.kinds",
        "itembank.maths",
        "itembank.notation",
        "itembank.values.answer",
    ),
    "itembank.audit": (
        "itembank.kinds",
        "itembank.maths",
        "itembank.notation",
        "itembank.values.answer",
        "itembank.spec",
        "itembank.values.item",
        "itembank.forms",
        "itembank.pipeline.variants",
        "itembank.pipeline.compose",
        "exporters",
    ),
    "itembank.guessing": (
        "itembank.kinds",
        "itembank.maths",
        "itembank.notation",
        "itembank.second_way",
        "itembank.spec",
        "itembank.forms",
        "itembank.values.answer",
        "itembank.pipeline",
        "itembank.audit",
        "exporters",
    ),
    "exporters": (
        "itembank.kinds",
        "itembank.maths",
        "itembank.values.answer",
        "itembank.second_way",
    ),
}
"""A checker that shares code shares its mistakes; who guesses has learned nothing; an exporter
never computes an answer."""

ONLY_FROM = {
    "itembank.second_way": (
        "itembank.second_way",
        "itembank.values.errors",
        "itembank.values.vocabulary",
    ),
}
"""All that a room may import of ours."""

ONLY_HERE = {
    "yaml": ("itembank.spec",),
    "click": ("itembank.cli",),
    "sqlalchemy": ("itembank.bank",),
    "scipy": ("itembank.terms.parallel", "itembank.terms.difficulty"),
    "numpy": ("itembank.terms.parallel", "itembank.terms.difficulty"),
    "babel": ("itembank.languages",),
    "distributed": ("itembank.values.cluster",),
    "subprocess": ("itembank.pipeline.printing",),
    "zipfile": ("exporters.package", "itembank.audit.container"),
    "random": (),
    "secrets": (),
    "time": (),
    "datetime": ("itembank.languages.__main__", "itembank.bank.copying", "itembank.bank.history"),
    "uuid": (),
}
"""Who may import what from outside; nobody has a clock or dice.

The bank compares the times that its database wrote, and never asks for the time itself.
"""


SECOND_WAY = re.compile(r"itembank\.kinds\.([\w.]+)\.second_way")


def home(module: str) -> str:
    """A module by its room: the second way of a kind lies in the kind's folder, not in its room."""
    found = SECOND_WAY.fullmatch(module)
    return f"itembank.second_way.of.{found[1]}" if found else module


def module_name(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def modules() -> dict[str, Path]:
    files = [*ROOT.glob("itembank/**/*.py"), *ROOT.glob("exporters/**/*.py")]
    return {module_name(path): path for path in files}


MODULES = modules()


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def imported(path: Path) -> tuple[str, ...]:
    """The modules that a file imports, inside functions and for type checking too."""
    found = []
    for node in ast.walk(parsed(path)):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are absolute"
            for alias in node.names:
                whole = f"{node.module}.{alias.name}"
                found.append(whole if whole in MODULES else str(node.module))
    return tuple(found)


@cache
def room(module: str) -> str:
    return max((r for r in FLOORS if inside(home(module), r)), key=len)


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
        if inside(home(module), package):
            for name in ours(path):
                assert not any(inside(home(name), f) for f in FORBIDDEN[package]), (
                    f"{module}: {name}"
                )


def test_a_second_way_imports_nothing_of_what_it_checks():
    for module, path in MODULES.items():
        for room, allowed in ONLY_FROM.items():
            if inside(home(module), room):
                for name in ours(path):
                    assert any(inside(home(name), a) for a in allowed), f"{module}: {name}"


def test_the_table_alone_knows_the_second_ways_of_the_kinds():
    second_ways = {module for module in MODULES if SECOND_WAY.fullmatch(module)}
    assert second_ways
    for module, path in MODULES.items():
        if module != "itembank.second_way.table":
            assert not second_ways & set(imported(path)), module


def test_the_package_of_a_kind_loads_none_of_its_files():
    files = [ROOT / "itembank/kinds/table.py", ROOT / "itembank/second_way/table.py"]
    files += ROOT.glob("itembank/kinds/**/second_way.py")
    files += ROOT.glob("itembank/kinds/**/kind.py")
    for path in {file.with_name("__init__.py") for file in files}:
        (docstring,) = ast.parse(path.read_text(encoding="utf-8")).body
        assert isinstance(docstring, ast.Expr) and isinstance(docstring.value, ast.Constant), path


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
    """A member of a zip is written by its package, a catalogue of translations by its keeper, and
    what is compiled by who compiles it, in a folder that nobody else sees."""
    found = {
        module
        for module, path in MODULES.items()
        for node in ast.walk(parsed(path))
        if isinstance(node, ast.Call) and writes(node)
    }

    assert found == {
        "itembank.values.files",
        "itembank.pipeline.printing",
        "itembank.languages.__main__",
        "exporters.package",
    }


def test_every_module_has_a_docstring():
    for module, path in MODULES.items():
        text = path.read_text(encoding="utf-8")
        assert not text or ast.get_docstring(parsed(path)), module
