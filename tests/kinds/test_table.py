"""The table of kinds: names that the folders bear out, and kinds that wait until they are asked."""

import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

from itembank.kinds.linear_pair import slips as slips_of_pairs
from itembank.kinds.system import slips as slips_of_systems
from itembank.kinds.table import FOLDERS, KINDS, SIGNATURES, Folder, kind_named

_KINDS = "itembank.kinds"

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_the_names_of_the_table_are_those_of_the_records(folder: Folder) -> None:
    assert folder.kinds == tuple(kind.name for kind in folder.loaded())


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_no_reader_knows_what_its_line_of_the_table_keeps_from_it(folder: Folder) -> None:
    """Every sample of every kind, shown to every reader: a statement that is read may be read."""
    samples = [s.split(";") for kind in KINDS.values() for s in kind.samples]
    for statements in samples:
        lines = [line.strip() for line in statements]
        for kind in folder.loaded():
            try:
                known = kind.read(lines) is not None
            except Exception:  # a reader that refuses is asked after those of the right kind
                known = False
            assert folder.may_read(lines) or not known, (folder.name, lines)


@pytest.mark.parametrize(
    ("folder", "line"),
    [
        ("primitive_root", "PRİMITIVE  ROOTS mod 17"),
        ("square_test", "Is 5 a ſquare mod 11?"),
        ("totient", "Φ(36)"),
        ("remainder", "17 MOD 5"),
        ("linear_in_two", "2X + 3y = 5 Mod 7"),
    ],
)
def test_capitals_and_rare_letters_do_not_hide_a_statement(folder: str, line: str) -> None:
    """As patterns that ignore the case took them."""
    assert next(f for f in FOLDERS if f.name == folder).may_read([line])


def test_a_kind_that_does_not_exist_is_no_key() -> None:
    assert "cubic" not in KINDS
    with pytest.raises(KeyError):
        kind_named("cubic")
    assert KINDS.get("cubic") is None
    assert sorted(KINDS) == list(SIGNATURES)


def loaded_by(*arguments: str) -> set[str]:
    """The modules that one run of the command has loaded."""
    code = (
        f"import sys; sys.argv = ['itembank', *{list(arguments)!r}]\n"
        "from itembank.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "print(' '.join(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return set(done.stdout.splitlines()[-1].split())


HEAVY = {"sympy", "lxml", "yaml", "pydantic", "babel", "flint", "sqlalchemy", "scipy"}


@pytest.mark.parametrize("statement", ["3x = 6 mod 15", "x^2 = 2 mod 7", "order of 7 mod 48"])
def test_a_solution_loads_none_of_the_heavy_libraries_and_few_kinds(statement: str) -> None:
    found = loaded_by("solve", statement)

    assert not HEAVY & found
    records = {m for m in found if m.startswith("itembank.kinds.") and m.endswith(".kind")}
    assert 1 <= len(records) <= 2, records


@pytest.mark.parametrize("statement", ["3x = 6 mod 15", "x^2 = 2 mod 7", "x^2 + x = 3 mod 7"])
def test_a_solution_loads_neither_slips_nor_what_files_need(statement: str) -> None:
    """Each costs as much as solving the congruence a hundred times."""
    found = loaded_by("solve", statement)

    unneeded = {"json", "shutil", "logging", "decimal", "concurrent.futures", "pathlib", "urllib"}
    assert not unneeded & found
    ours = [module for module in found if module.startswith("itembank.")]
    assert not [m for m in ours if "slips" in m or m.startswith("itembank.kinds.asked.ref")]
    assert not {"itembank.kinds.derivation", "itembank.kinds.lines"} & found
    assert {m for m in ours if m.startswith("itembank.cli.")} == {
        "itembank.cli.solve",
        "itembank.cli.speech",
        "itembank.cli.console",
    }


def test_a_root_at_sight_loads_no_other_method() -> None:
    """The classes of steps that it does not take would be a third of all that are made."""
    found = {m for m in loaded_by("solve", "x^2 = 2 mod 7") if m.startswith("itembank.kinds.po")}

    assert not [m for m in found if m.startswith("itembank.kinds.polynomial.") and "steps" in m]
    parts = ("prime", "lifting", "decision", "combin", "check")
    assert not [m for m in found if m.rpartition(".")[2].startswith(parts)], found


@pytest.mark.parametrize("name", ["linear", "polynomial", "power_root"])
def test_a_signature_that_names_its_slips_names_those_of_the_table(name: str) -> None:
    """Written out there, so that solving waits for no slip."""
    slips = import_module(f"itembank.kinds.{name}.slips")

    assert SIGNATURES[name].slips == tuple(slips.MISTAKES)


def test_the_signatures_of_systems_name_their_slips_in_order() -> None:
    assert SIGNATURES["linear_pair"].slips == slips_of_pairs.NAMES
    assert SIGNATURES["system"].slips == slips_of_systems.NAMES


@pytest.mark.parametrize(
    "statements", [("x = 3 mod 4", "x = 5 mod 7"), ("2x + 3y = 5 mod 7", "x - y = 1 mod 7")]
)
def test_a_system_loads_neither_slips_nor_the_steps_of_polynomials(
    statements: tuple[str, ...],
) -> None:
    """Nor what the other kinds of system are solved with."""
    found = {m for m in loaded_by("solve", *statements) if m.startswith("itembank.kinds.")}

    assert not [m for m in found if "slips" in m or m.endswith(("derivation", "kinds.lines"))]
    assert "itembank.kinds.polynomial.steps" not in found
    solved = {m for m in found if m in (f"{_KINDS}.system.solve", f"{_KINDS}.linear_pair.solve")}
    assert len(solved) == 1
