"""Every command that README.md shows is run here, and prints what README.md says it prints.

A block of the kind `console` holds commands after `$ ` and what they print; a line `...`
stands for any lines.  The two commands of the set-up make environments and are run by
`.ci/run`; here they are read for what they promise.
"""

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from itembank.cli import main

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```console\n(.*?)^```", README, re.M | re.S)


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


def test_the_commands_of_the_readme_print_what_it_shows(checkout, monkeypatch):
    monkeypatch.chdir(checkout)
    for block in BLOCKS:
        for command, expected in commands(block):
            program, *args = shlex.split(command)
            assert program == "itembank", command
            result = CliRunner().invoke(main, args)
            assert result.exit_code == 0, f"{command}\n{result.output}"
            assert re.fullmatch(as_pattern(expected), result.stdout), (
                f"{command} printed\n{result.stdout}\nREADME.md shows\n{expected}"
            )


@pytest.mark.parametrize("name", ["main-job", "tests"])
def test_each_set_up_command_is_one_line_that_makes_its_own_environment(name):
    found = re.search(rf"^<!-- {name} -->\n```sh\n(.*?)\n```", README, re.M | re.S)

    assert found
    assert "\n" not in found[1]
    assert found[1].startswith("python3 -m venv .venv && ")
