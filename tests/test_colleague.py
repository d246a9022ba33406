"""A folder as another instructor would write it: families, a course, pools with the library too.

Nothing is told to the commands but the pool: its families are found beside it and in the library,
and its course says language, notation and methods. `tests/colleague` is the folder.
"""

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from exporters.formats import FORMATS
from itembank.cli import main
from tests.test_readme import all_accepted

FOLDER = Path(__file__).parent / "colleague"
POOLS = ("market-quiz", "markt-quiz")
OWN, ITEMS = 4, 12


def run(*args: object):
    return CliRunner().invoke(main, list(map(str, args)))


def said(*args: object) -> str:
    """What a command prints; it must have gone through."""
    result = run(*args)
    assert result.exit_code == 0, result.output
    return result.stdout


def reviewed(folder: Path, pool: str) -> str:
    """What `decide` says of a reviewer who accepts each item of a packet of the pool."""
    file, packet, decisions = folder / f"{pool}.yaml", folder / f"{pool}.html", folder / "said.json"
    said("packet", file, "--term", "2027-spring", "--out", packet)
    all_accepted(packet, decisions)
    return said("decide", decisions, "--pool", file)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the folder, to write in."""
    return shutil.copytree(FOLDER, tmp_path / "colleague")


def test_check_knows_the_folder_whole():
    told = said("check", FOLDER)

    assert all(f"{pool}: no fault" in told for pool in POOLS)
    assert told.count(" variants, ") >= OWN


@pytest.mark.parametrize("pool", POOLS)
def test_a_pool_of_own_and_shipped_families_leaves_in_every_format(folder, pool):
    file, out = folder / f"{pool}.yaml", folder / "out"
    formats = [part for name in FORMATS for part in ("--to", name)]
    make = ("make", file, "--term", "2027-spring", "--out", out, *formats)

    refused = run(*make)
    assert refused.exit_code == 1
    assert "found 2 of 2 whose wording nobody has accepted as it is" in refused.output

    assert f"{ITEMS} accepted, 0 returned, 0 void; {ITEMS} new on record" in reviewed(folder, pool)
    told = said(*make, "--require-accepted")
    assert told.count(f"{ITEMS} items, all agreed") == len(FORMATS)
    assert len([*out.glob("*.zip")]) == len(FORMATS)

    heard = json.loads(run("audit", out / f"{pool}-2027-spring-cc13.zip", "--json").stdout)
    stories = 2  # on a person's word alone, which a package does not carry
    assert (heard["agreed"], heard["unchecked"], heard["disagreed"]) == (
        ITEMS - stories,
        stories,
        0,
    )


def test_a_bank_holds_and_exports_them(folder):
    file, out = folder / "market-quiz.yaml", folder / "out"
    kept = ("key-of-a-padlock", "weekday-later")
    lines = file.read_text(encoding="utf-8").splitlines(keepends=True)
    few = [line for line in lines if "family:" not in line or any(name in line for name in kept)]
    file.write_text("".join(few), encoding="utf-8")
    said("draw", file, "--term", "2027-spring")
    assert "4 accepted" in reviewed(folder, "market-quiz")

    told = said("export", file, "--term", "2027-spring", "--out", out, "--to", "qti30")

    assert "4 items, all agreed" in told
    assert (folder / "itembank.db").exists()
