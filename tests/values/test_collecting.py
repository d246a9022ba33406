"""A command looks for cycles seldom, and so do the processes that share its work."""

import gc
import subprocess
import sys

from itembank.values.collecting import YOUNG
from itembank.values.sharing import Processes


def test_a_command_and_its_processes_look_for_cycles_seldom():
    code = "import itembank.cli, gc; print(gc.get_threshold()[0])"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert int(found.stdout) == YOUNG
    with Processes(1) as executor:
        assert executor.submit(gc.get_threshold).result()[0] == YOUNG
