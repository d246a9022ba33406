"""A family that was checked before is told as it was then, as long as nothing has changed."""

import json
import os
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from click.testing import CliRunner

import itembank
from itembank import cli
from itembank.pipeline.appraisal import reports
from itembank.pipeline.kept import Kept, Told
from itembank.spec.document import MOST_BYTES
from itembank.values.cache import Cache
from itembank.values.versions import CODE, ROOMS, own_version

FAMILY = """\
id: {id}
version: 1
title: Fam
problem: linear
outcomes: [solve]
level: very easy
parameters: {{p: {{prime: [5, 11]}}, a: {{integer: [1, 4]}}}}
given: {{congruence: x = a, modulus: p}}
ask: all solutions
forms: [list]
shortcuts: allowed
small: a test
guessing: a test of something else
"""
POOL = """\
id: quiz
title: Quiz
course: NT 210
seed: s
items: [{family: fam, variants: 2, choose: 1}]
"""


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where findings are kept; paths are relative to the folder beside it."""
    (tmp_path / "specs").mkdir()
    monkeypatch.setenv("ITEMBANK_CACHE", str(tmp_path / "cache"))
    monkeypatch.chdir(tmp_path / "specs")
    return tmp_path / "cache"


@pytest.fixture
def fam() -> Path:
    return written("fam")


def written(name: str, more: str = "") -> Path:
    path = Path(f"{name}.yaml")
    path.write_text(FAMILY.format(id=path.stem) + more, encoding="utf-8")
    return path


def check(*arguments: str | Path, speak: str = "en"):
    command = ["--speak", speak, "check", *map(str, arguments)]
    result = CliRunner().invoke(cli.main, command)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def as_before(result) -> int:
    """How many families a command says that it told as before."""
    told = [line for line in result.stderr.splitlines() if "checked before" in line]
    return int(told[0].split()[0]) if told else 0


@pytest.mark.parametrize("option", ["--exact", "--json", ""])
def test_what_was_found_is_told_again_byte_for_byte(option: str, fam: Path):
    options = [option] if option else []
    first, second, fresh = (check(fam, *options, *more) for more in ((), (), ("--fresh",)))

    assert first.stdout == second.stdout == fresh.stdout and len(first.stdout) > 100
    assert (first.stderr, fresh.stderr) == ("", "")
    assert bool(second.stderr) == (option != "--json")


def test_how_many_were_told_as_before_is_said(fam: Path):
    check(fam)
    written("other")
    one = check(".")
    two = check(".")

    assert one.stderr == ("1 family is told as it was checked before; --fresh checks it anew\n")
    assert two.stderr == (
        "2 families are told as they were checked before; --fresh checks them anew\n"
    )


# ------------------------------------------------------------ each way of being stale


def test_a_changed_file_is_checked_anew(fam: Path):
    check(fam)
    fam.write_text(fam.read_text().replace("[1, 4]", "[9, 4]"))

    changed = check(fam)

    assert changed.exit_code == 1 and changed.stdout.startswith("fam.yaml:7:")


def test_another_option_or_language_is_checked_anew(fam: Path):
    check(fam)

    assert as_before(check(fam)) == 1
    assert check(fam, "--exact").stderr == ""
    german = check(fam, speak="de")
    assert german.stderr == "" and german.stdout != check(fam).stdout
    assert check(fam, speak="de").stdout == german.stdout


def test_another_name_of_the_same_file_is_checked_anew(fam: Path):
    """The id has to be that of the file, and a report tells its path."""
    check(fam)
    other = fam.rename("other.yaml")

    renamed = check(other)

    assert renamed.exit_code == 1 and renamed.stdout.startswith("other.yaml:1:")


@pytest.fixture
def code(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A file of code that is taken for all there is of this package."""
    for room in ROOMS:
        (tmp_path / "code" / room).mkdir(parents=True)
    path = tmp_path / "code" / "itembank" / "__init__.py"
    path.write_text("")
    monkeypatch.setattr(itembank, "__file__", str(path))
    own_version.cache_clear()
    yield path
    own_version.cache_clear()


@pytest.mark.parametrize("name", ["exporters/a.py", "itembank/audit/en.toml", "itembank/de.mo"])
def test_changed_code_checks_anew(name: str, code: Path, fam: Path):
    check(fam)
    before = as_before(check(fam))
    changed = code.parents[1] / name
    changed.parent.mkdir(exist_ok=True)
    changed.write_text("other")
    own_version.cache_clear()

    assert (before, as_before(check(fam))) == (1, 0)


def test_every_file_that_the_package_needs_counts_as_code():
    root = Path(itembank.__file__).parents[1]
    files = {p for room in ROOMS for p in (root / room).rglob("*") if p.is_file()}
    told = {p for room in ROOMS for kind in CODE for p in (root / room).rglob(kind)}
    left_out = {p.suffix for p in files - told if p.name != "py.typed"}

    assert left_out <= {".pyc", ".po", ".md"}


@pytest.mark.parametrize("changed", ["family", "code"])
def test_what_changes_while_it_is_checked_is_not_kept(
    changed: str, code: Path, fam: Path, folder: Path
):
    path = {"family": fam, "code": code}[changed]
    before = path.read_text()

    class Meanwhile(ThreadPoolExecutor):
        """Where the work is done while somebody writes."""

        def submit(self, *task):
            path.write_text(before + "# more\n")
            return super().submit(*task)

    kept = Kept(Cache(folder), "en", exact=False)
    with Meanwhile(1) as executor:
        assert len([*reports([Path()], executor=executor, kept=kept)]) == 1
    kept.write()

    path.write_text(before)
    assert check(fam).stderr == ""
    assert as_before(check(fam)) == 1


def test_a_family_with_faults_is_checked_each_time(fam: Path, folder: Path):
    fam.write_text(fam.read_text().replace("small: a test\n", ""))

    first, second = check(fam), check(fam)

    assert (first.exit_code, second.exit_code) == (1, 1)
    assert first.stdout == second.stdout and "expected at least 200" in second.stdout
    assert second.stderr == "" and not folder.exists()


def test_what_is_no_spec_file_has_nothing_kept(fam: Path, folder: Path):
    kept = Kept(Cache(folder), "en", exact=False)
    large = written("large", "#" * MOST_BYTES)
    os.mkfifo("pipe.yaml")

    assert kept.key(fam) is not None
    assert [kept.key(path) for path in (large, Path("pipe.yaml"), Path("none.yaml"))] == [None] * 3


def test_a_pool_is_read_each_time_since_it_stands_on_other_files(fam: Path):
    Path("quiz.yaml").write_text(POOL)
    check(".")
    written("fam", "# a word more\n")
    changed = check(".")
    fam.unlink()
    gone = check(".")

    assert changed.exit_code == 0 and changed.stderr == ""
    assert gone.exit_code == 1 and gone.stdout.startswith("quiz.yaml:5:")


def test_the_second_of_two_families_of_one_id_is_a_fault_each_time(fam: Path):
    Path("more").mkdir()
    check(written("more/fam"))
    check(fam)

    both = check(fam, "more")

    assert both.exit_code == 1 and "the id 'fam' is that of fam.yaml too" in both.stdout


@pytest.mark.parametrize(
    "change",
    [
        lambda found: found["json"].update(faults=["one"]),
        lambda found: found["json"].update(id="other"),
        lambda found: found["json"].update(file="other.yaml"),
        lambda found: found.update(text=["no text"]),
        lambda found: found.pop("json"),
    ],
)
def test_an_entry_that_tells_of_something_else_is_not_believed(change, fam: Path, folder: Path):
    """Whole and under the right key, and yet no report of this family without fault."""
    check(fam)
    (entry,) = folder.iterdir()
    held = json.loads(entry.read_text())
    cache = Cache(folder)
    change(held["found"])
    cache.keep(held["key"], held["found"])
    cache.write()

    assert check(fam).stderr == ""


def test_a_folder_that_cannot_be_written_is_no_fault(fam: Path, monkeypatch: pytest.MonkeyPatch):
    told = check(fam).stdout
    monkeypatch.setenv("ITEMBANK_CACHE", str(fam / "cache"))

    first, second = check(fam), check(fam)

    assert (first.stdout, first.stderr, first.exit_code) == (told, "", 0)
    assert (second.stdout, second.stderr, second.exit_code) == (told, "", 0)


def test_whoever_shares_the_work_the_order_is_the_same(folder: Path):
    for name in "abcd":
        written(name)
    check("b.yaml", "d.yaml")

    with ThreadPoolExecutor(2) as executor:
        kept = Kept(Cache(folder), "en", exact=False)
        found = [*reports([Path()], executor=executor, kept=kept)]

    assert [report.as_json()["id"] for report in found] == ["a", "b", "c", "d"]
    assert [isinstance(report, Told) for report in found] == [False, True, False, True]
