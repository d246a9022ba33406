"""A command looks for cycles seldom, and so do the processes that share its work."""

import gc
import subprocess
import sys
from pathlib import Path

from itembank.values.collecting import YOUNG, collecting_after
from itembank.values.sharing import Processes


def test_a_command_and_its_processes_look_for_cycles_seldom():
    code = "import itembank.cli, gc; print(gc.get_threshold()[0])"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert int(found.stdout) == YOUNG
    with Processes(1) as executor:
        assert executor.submit(gc.get_threshold).result()[0] == YOUNG


class _Held:
    """Writes a file when it is taken down."""

    def __init__(self, told: Path) -> None:
        self.told = told

    def __del__(self) -> None:
        self.told.touch()


held: list[_Held] = []


def _hold(told: Path) -> None:
    held.append(_Held(told))


def test_a_process_that_shares_the_work_ends_without_taking_down_what_it_holds(tmp_path: Path):
    told = tmp_path / "told"

    with Processes(1) as executor:
        executor.submit(_hold, told).result()

    assert not told.exists()


def test_within_a_block_cycles_are_looked_for_more_seldom_and_as_before_after_it():
    before = gc.get_threshold()

    with collecting_after(10 * YOUNG):
        assert gc.get_threshold() == (10 * YOUNG, *before[1:])

    assert gc.get_threshold() == before


def test_a_command_that_ends_does_not_go_through_what_it_held():
    at_the_end = "import atexit, gc; atexit.register(lambda: print(gc.get_freeze_count()))"
    code = f"{at_the_end}; import itembank.cli"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert int(found.stdout) > 10_000
