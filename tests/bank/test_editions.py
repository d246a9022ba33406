"""A bank holds a pool in its first language; the others are written from it, the same questions."""

import re
import zipfile

import pytest
from click.testing import CliRunner

from itembank import cli
from itembank.bank import entries, open_bank
from itembank.bank.releases import packages_of, released, released_items
from itembank.terms import results, withdrawal
from itembank.terms.tables import Columns

SPRING, AUTUMN = "2027-spring", "2027-autumn"
COLUMNS = Columns(student="id", item="item", score="score", response="answer")

POOL = """\
id: practice
title: Practice
course: NT 210
languages: [en, de]
seed: tests
items:
  - {family: linear-one-solution, variants: 3}
  - {family: square-roots-two-primes, variants: 3}
"""


@pytest.fixture
def pool(tmp_path):
    path = tmp_path / "practice.yaml"
    path.write_text(POOL, encoding="utf-8")
    return path


@pytest.fixture
def place(tmp_path):
    return str(tmp_path / "itembank.db")


def make(pool, place, term, *options):
    return CliRunner().invoke(
        cli.main,
        ["make", str(pool), "--term", term, "--out", str(pool.parent / term), "--to", "html",
         "--bank", place, *options],
    )  # fmt: skip


def written_in(pool, term):
    return sorted(path.name for path in (pool.parent / term).iterdir())


def identifiers(place, name):
    with open_bank(place).reading() as connection:
        numbers = released_items(connection, released(connection, name).number)
        return [name for name, _title, _family in entries.named(connection, numbers)]


def shown_in(package):
    with zipfile.ZipFile(package) as members:
        page = next(n for n in members.namelist() if n.startswith("key"))
        return re.findall(r'data-question="(item-[^"]+)"', members.read(page).decode())


@pytest.mark.parametrize("options", [(), ("--jobs", "2"), ("--language", "de")])
def test_every_language_has_what_the_bank_holds_and_is_on_record(pool, place, options):
    for term in (SPRING, AUTUMN):
        made = make(pool, place, term, *options)
        assert made.exit_code == 0, made.output
        name = f"practice-{term}"
        files = [f"{name}{e}-{end}" for e in ("", "-de") for end in ("html.zip", "load-card.html")]
        assert written_in(pool, term) == sorted(files)

        english, german = (
            shown_in(pool.parent / term / f"{name}{e}-html.zip") for e in ("", "-de")
        )
        assert sorted(english) == sorted(identifiers(place, name))
        assert german == [f"{i}-de" for i in english]
        with open_bank(place).reading() as connection:
            packages = packages_of(connection, released(connection, name).number)
        assert [p.file for p in packages] == [f"{name}-html.zip", f"{name}-de-html.zip"]


def test_results_of_both_languages_are_read_together(pool, place, tmp_path):
    assert make(pool, place, SPRING).exit_code == 0
    names = identifiers(place, f"practice-{SPRING}")
    rows = [f"{n},{i}{'-de' * (n % 2)},1,\n" for n, i in enumerate(names * 2)]
    table = tmp_path / "t.csv"
    table.write_text("id,item,score,answer\n" + "".join(rows), encoding="utf-8")

    report = results.record_results(open_bank(place), f"practice-{SPRING}", [table], COLUMNS)

    assert report.unknown == ()
    assert [item.identifier for item in report.items] == names
    assert [item.students for item in report.items] == [2] * len(names)


def test_a_pool_that_gives_other_questions_now_is_refused(pool, place):
    assert make(pool, place, SPRING, "--language", "en").exit_code == 0
    before = written_in(pool, SPRING)
    text = POOL.replace("primes, variants: 3", "primes, variants: 3, form: list")
    pool.write_text(text, encoding="utf-8")
    told = make(pool, place, SPRING)

    assert told.exit_code == 1
    assert "in another language it would be another question: the pool or the family" in told.output
    assert written_in(pool, SPRING) == before


def test_a_withdrawal_says_which_packages_in_other_languages_are_left(pool, place):
    assert make(pool, place, SPRING).exit_code == 0
    (first, *_others) = identifiers(place, f"practice-{SPRING}")
    gone = withdrawal.withdraw(
        open_bank(place), [first], "two readings", pool.parent / SPRING, ("html",)
    )

    (left,) = gone.uncorrected
    assert left.startswith(f"practice-{SPRING}-de-html.zip: another language")
    assert make(pool, place, SPRING).exit_code == 0
    (corrected,) = (pool.parent / SPRING).glob(f"practice-{SPRING}-*-de-html.zip")
    assert f"{first}-de" not in shown_in(corrected)
