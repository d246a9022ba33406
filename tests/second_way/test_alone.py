"""Each second way alone in a fresh interpreter: nothing that it checks is loaded with it."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

SECOND_WAYS = sorted(ROOT.glob("itembank/kinds/**/second_way.py"))

LOADED = """
import importlib, json, sys
importlib.import_module(sys.argv[1])
print(json.dumps([name for name in sys.modules if name.split(".")[0] in ("itembank", "exporters")]))
"""


def dotted(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts)


def test_there_are_second_ways():
    assert len(SECOND_WAYS) > 9


@pytest.mark.parametrize("path", SECOND_WAYS, ids=[path.parent.name for path in SECOND_WAYS])
def test_a_second_way_loads_nothing_that_it_checks(path):
    module = dotted(path)
    run = subprocess.run(
        [sys.executable, "-c", LOADED, module], cwd=ROOT, capture_output=True, text=True, check=True
    )
    loaded = set(json.loads(run.stdout))
    packages = {module.rsplit(".", n)[0] for n in range(1, module.count(".") + 1)}
    allowed = ("itembank.second_way.", "itembank.values.")
    others = {name for name in loaded - packages - {module} if not f"{name}.".startswith(allowed)}

    assert module in loaded
    assert not others
    assert "itembank.values.answer" not in loaded
    assert "itembank.second_way.table" not in loaded
