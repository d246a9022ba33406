"""Every command that README.md shows is run here, and prints what README.md says it prints.

A block of the kind `console` holds commands after `$ ` and what they print; a line `...`
stands for any lines; what ends in ` &` runs until the test ends.  The two commands of the set-up
make environments and are run by `.ci/run`; here they are read for what they promise. A file that
README.md shows under its name is written where it stands, and the reviewer's file when it is put
on record.
"""

import json
import os
import re
import shlex
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from itembank.cli import main
from itembank.review.vocabulary import FACETS
from tests.measuring import counted_once

__all__ = ["counted_once"]

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(
    r"^(?:<!-- (\S+\.yaml) -->\n```yaml|```console)\n(.*?)^```", README, re.M | re.S
)
"""In their order: the name of a file and what it says, or no name and commands."""


def commands(block: str) -> list[tuple[str, str]]:
    """(command, what it prints) in the order of the block."""
    parts = re.split(r"^\$ (.*)\n", block, flags=re.M)
    assert not parts[0].strip(), f"a console block begins with a command: {parts[0]!r}"
    return list(zip(parts[1::2], parts[2::2], strict=True))


def as_pattern(expected: str) -> str:
    """The text, with each line `...` standing for any lines."""
    pieces = re.split(r"^\.\.\.\n", expected, flags=re.M)
    return r"(?s:.*)".join(map(re.escape, pieces))


def test_the_readme_shows_commands():
    assert len(BLOCKS) >= 4


@pytest.fixture(scope="module")
def checkout(tmp_path_factory):
    """A folder in which the commands find what the README says is there."""
    folder = tmp_path_factory.mktemp("readme")
    (folder / "specs").symlink_to(ROOT / "specs")
    return folder


def test_the_commands_of_the_readme_print_what_it_shows(checkout, started, monkeypatch):
    monkeypatch.chdir(checkout)
    port = unused_port()
    for name, block in BLOCKS:
        if name:
            Path(name).write_text(block, encoding="utf-8")
            continue
        for command, expected in commands(block):
            program, *args = shlex.split(
                command.replace(":8786", f":{port}").replace(" 8786", f" {port}")
            )
            if program == "dask":
                started(args)
                continue
            assert program == "itembank", command
            if args[0] == "decide":
                all_accepted(Path("review.html"), Path(args[1]))
            result = CliRunner().invoke(main, args)
            assert result.exit_code == 0, f"{command}\n{result.output}"
            assert re.fullmatch(as_pattern(expected), result.stdout), (
                f"{command} printed\n{result.stdout}\nREADME.md shows\n{expected}"
            )


def unused_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


@pytest.fixture
def started() -> Iterator[Callable[[Sequence[str]], None]]:
    """Starts a command of `dask` as a shell does that goes on; all end with the test."""
    running: list[subprocess.Popen] = []

    def start(args: Sequence[str]) -> None:
        *command, ampersand = args
        assert ampersand == "&"
        quiet: dict[str, Any] = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        environment = {**os.environ, "PYTHONPATH": str(ROOT)}
        running.append(
            subprocess.Popen([sys.executable, "-m", "dask", *command], env=environment, **quiet)
        )

    yield start
    for process in reversed(running):  # the workers before their scheduler, which they ask
        process.terminate()
        process.wait(timeout=60)


def all_accepted(packet: Path, file: Path) -> None:
    """What a reviewer saves who accepts each item of a packet."""
    found = re.search(r'id="items">(.*?)</script>', packet.read_text(encoding="utf-8"), re.S)
    assert found
    page = json.loads(found[1])
    said = {
        "verdict": "accepted",
        "blind": "answered",
        "given": ["1"],
        "agreed": True,
        "facets": {name: {"verdict": "accepted", "comment": ""} for name in FACETS},
    }
    seen = ("item", "fingerprint", "family", "index", "seen")
    decisions = {
        **{key: page[key] for key in ("format", "pool", "term", "packet")},
        "reviewer": "R. Moss",
        "date": "2027-01-15",
        "decisions": [{**{k: item[k] for k in seen}, **said} for item in page["items"]],
    }
    file.write_text(json.dumps(decisions), encoding="utf-8")


@pytest.mark.parametrize("name", ["main-job", "tests"])
def test_each_set_up_command_is_one_line_that_makes_its_own_environment(name):
    found = re.search(rf"^<!-- {name} -->\n```sh\n(.*?)\n```", README, re.M | re.S)

    assert found
    assert "\n" not in found[1]
    assert found[1].startswith("python3 -m venv .venv && ")
