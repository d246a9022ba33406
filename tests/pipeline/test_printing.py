"""Sources compiled where a LaTeX is: in a folder of their own, within a budget, without a shell."""

import stat
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner

from exporters.formats import write_package
from exporters.release import Group, Release
from itembank.cli import main
from itembank.pipeline import printing
from itembank.pipeline.printing import pdfs
from itembank.pipeline.selection import fits, item_in_form
from itembank.pipeline.variants import Stream
from itembank.values.errors import ExportError
from tests.absence import absent
from tests.shipped import FAMILIES


@pytest.fixture(scope="module")
def package(tmp_path_factory):
    """One question as a quiz."""
    family = FAMILIES["inverse-chosen"]
    item = item_in_form(next(iter(Stream(family, "paper", fits(family)))), "select one")
    group = Group(family=family.id, title="Inverses", items=(item,), choose=1, points=1)
    release = Release(
        pool_id="quiz", title="Quiz", course="NT 210", term="2027-spring", language="en",
        groups=(group,),
    )  # fmt: skip
    path = tmp_path_factory.mktemp("printing") / "quiz.zip"
    write_package("latex", release, path, purpose="quiz")
    return path


@pytest.fixture
def engine():
    try:
        return printing.engine()
    except ExportError as error:
        absent("latex", str(error))


def changed(package: Path, path: Path, name: str, old: str, new: str) -> Path:
    with zipfile.ZipFile(package) as z:
        members = {n: z.read(n).decode() for n in z.namelist()}
    assert old in members[name]
    members[name] = members[name].replace(old, new)
    with zipfile.ZipFile(path, "w") as z:
        for member, text in members.items():
            z.writestr(member, text)
    return path


def test_sheets_and_key_are_compiled_and_the_same_again(package, engine):
    first, again = dict(pdfs(package)), dict(pdfs(package))

    assert list(first) == ["sheets", "key"]
    assert all(data.startswith(b"%PDF-") for data in first.values())
    assert first == again


@pytest.mark.parametrize(
    ("hostile", "why"),
    [
        (r"\immediate\write18{touch OUT}", ""),
        (r"\input{OUT}", "not found"),
        (r"\newwrite\w \immediate\openout\w=OUT \immediate\write\w{x}", "openout|not writ|can't"),
        (r"\undefinedcommand", "Undefined control sequence"),
    ],
)
def test_a_source_reaches_nothing_outside_its_folder(package, tmp_path, engine, hostile, why):
    """A preamble that runs a command, reads or writes a file of others, or is wrong."""
    outside = tmp_path / "outside.tex"
    if r"\input" in hostile:
        outside.write_text("SECRET")
    path = changed(
        package, tmp_path / "p.zip", "preamble.tex", r"\documentclass",
        hostile.replace("OUT", str(outside)) + "\n" + r"\documentclass",
    )  # fmt: skip

    if not why:
        dict(pdfs(path))
        assert not outside.exists()
        return
    with pytest.raises(ExportError, match=rf"--pdf: sheets-quiz-2027-spring\.tex: .*({why})"):
        dict(pdfs(path))
    assert r"\input" in hostile or not outside.exists()


def test_an_engine_that_does_not_end_is_stopped(package, tmp_path, monkeypatch):
    """An engine of our own that sleeps: a second is all it gets."""
    slow = tmp_path / "slow"
    slow.write_text("#!/bin/sh\nexec sleep 60\n")
    slow.chmod(slow.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setattr(printing, "BUDGET", 1)

    with pytest.raises(ExportError, match=r"expected .* to end within 1 seconds"):
        dict(pdfs(package, str(slow)))


def test_without_an_engine_one_line_says_what_to_do(tmp_path, monkeypatch):
    monkeypatch.setenv("PATH", str(tmp_path))

    told = CliRunner().invoke(
        main,
        ["make", "congruences-quiz", "--term", "2027-spring", "--to", "latex", "--pdf",
         "--out", str(tmp_path / "out")],
    )  # fmt: skip

    assert told.exit_code == 1
    assert told.output.startswith("--pdf: expected pdflatex or lualatex on this machine")
    assert not list((tmp_path / "out").glob("*"))


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--to", "qti21", "--copies", "3"], "--copies: of a quiz on paper"),
        (["--to", "latex", "--copies", "3", "--as", "bank"], "--copies: of a quiz on paper"),
        (["--to", "html", "--pdf"], "--pdf: of sources in LaTeX"),
    ],
)
def test_what_does_not_go_together_is_a_mistake_of_usage(tmp_path, options, said):
    told = CliRunner().invoke(
        main, ["make", "congruences-quiz", "--term", "t1", "--out", str(tmp_path), *options]
    )

    assert told.exit_code == 2
    assert said in told.output
