"""Real processes that need not read Python's files anew: each is forked from one that has.

To import what a command needs takes a second of a core, mostly longer than what a test wants to
see the command do; to count the variants of a family, which is done for each new bank, takes
another (`tests/measuring.py`).  The process that forks has one thread and no bank open, so what
comes of it is a process like another: it has its own memory and connections, and can be killed.
That commands begin from nothing is seen where a test starts Python for them.
"""

import os
import sys
import tempfile
from contextlib import suppress
from multiprocessing import forkserver, get_context
from pathlib import Path

import pytest

from tests import measuring

ROOT = Path(__file__).parents[1]

_READ = (
    "tests.forked",
    "itembank.cli.bank",
    "itembank.terms.draw",
    "itembank.terms.export",
    "itembank.pipeline.making",
    "itembank.terms.status",
    "itembank.kinds.linear.slips",
    "itembank.kinds.linear.telling",
    "itembank.kinds.polynomial.slips",
    "psycopg",
    "sqlite3",
    "sqlalchemy.dialects.sqlite.pysqlite",
    "sqlalchemy.dialects.postgresql.psycopg",
)
"""What a draw, an export and `make` import, the databases and two kinds among it."""

_context = get_context("forkserver")
_context.set_forkserver_preload([*_READ])


class Forked:
    """A process that runs a source with arguments, as `python -c` does, at the root.

    It is asked as those of `subprocess` are.
    """

    def __init__(self, code: str, *arguments: object) -> None:
        self._said = tempfile.TemporaryDirectory(prefix="itembank-said-")
        for name in _SAID:
            Path(self._said.name, name).touch()
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("PYTHONPATH", str(ROOT))
            forkserver.ensure_running()
            told = (dict(os.environ), measuring.COUNTED, self._said.name)
        given = (code, [*map(str, arguments)], *told)
        self._process = _context.Process(target=_run, args=given)
        self._process.start()

    @property
    def returncode(self) -> int | None:
        """None while it runs, and the number of the signal below 0 where one has ended it."""
        return self._process.exitcode

    def send_signal(self, number: int) -> None:
        """Nothing happens where it has ended."""
        if self.returncode is None and self._process.pid:
            with suppress(ProcessLookupError):  # it may end now
                os.kill(self._process.pid, number)

    def communicate(self, timeout: float | None = None) -> tuple[str, str]:
        """What it printed, and what it said on standard error, once it has come to its end.

        Raises TimeoutError, and the process is ended, if that takes more than so many seconds.
        """
        self._process.join(timeout)
        if self.returncode is None:
            self._process.kill()
            raise TimeoutError(f"a process that was to end within {timeout} seconds")
        with self._said as folder:
            out, error = (Path(folder, name).read_text(encoding="utf-8") for name in _SAID)
        return out, error


_SAID = ("out", "error")


def _run(
    code: str,
    arguments: list[str],
    environment: dict[str, str],
    counted: measuring.Counted,
    folder: str,
) -> None:
    measuring.begin_with(counted)
    os.chdir(ROOT)
    os.environ.clear()
    os.environ.update(environment)
    for number, name in enumerate(_SAID, start=1):
        with Path(folder, name).open("wb") as file:
            os.dup2(file.fileno(), number)
    sys.argv = ["-c", *arguments]
    exec(code, {"__name__": "__main__"})
