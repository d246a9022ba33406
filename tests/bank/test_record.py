"""A department's record: what happened, all of it as tables, a copy of it, a backup of it."""

import csv
import json
import sqlite3
from collections import Counter

import pytest
from click.testing import CliRunner
from sqlalchemy import text

from itembank.bank import decisions, entries, open_bank
from itembank.bank.copying import copy
from itembank.bank.history import history, listed
from itembank.bank.record import documents
from itembank.bank.schema import metadata
from itembank.cli import main
from itembank.terms import assembly, draw, export, withdrawal
from itembank.terms.status import status
from itembank.values.errors import BankError

SPRING, AUTUMN, NEXT = "2027-spring", "2027-autumn", "2028-spring"
ENTRIES = "  - {family: linear-one-solution, variants: 5}\n"


def run(*arguments: object):
    return CliRunner().invoke(main, list(map(str, arguments)))


def first(bank) -> str:
    with bank.reading() as connection:
        return connection.scalar(text("SELECT identifier FROM items WHERE id = 1"))


def lived(bank, pool, folder) -> str:
    """A term of a pool with forms, a review, a release, a withdrawal, an undone draw."""
    folder.mkdir(exist_ok=True)
    draw.draw(bank, pool, SPRING)
    export.export(bank, pool.id, SPRING, folder, ("cc13",))
    assembly.assemble(bank, pool.id, SPRING, 2, 50)
    gone = first(bank)
    with bank.writing() as connection:
        _name, mark = entries.identity(connection, 1)
        for _ in range(2):
            decisions.decide(connection, 1, mark, "R. Moss", "key", "approved")
    withdrawal.withdraw(bank, [gone], "two readings", folder)
    draw.draw(bank, pool, AUTUMN)
    draw.undo(bank, pool.id, AUTUMN)
    return gone


def counts(bank) -> dict[str, int]:
    with bank.reading() as connection:
        return {
            name: connection.scalar(text(f"SELECT count(*) FROM {name}"))
            for name in metadata.tables
        }


# ------------------------------------------------------------ what happened


def test_the_history_of_an_item_a_release_and_a_pool(bank, pool_of, tmp_path):
    gone = lived(bank, pool_of(ENTRIES), tmp_path)

    with bank.reading() as connection:
        of_item, of_release, of_pool = (
            [event.what for event in history(connection, name)]
            for name in (gone, "quiz-2027-spring", "quiz")
        )
        days = {event.day for event in history(connection, gone)}
        today = connection.scalar(text("SELECT CURRENT_TIMESTAMP"))

    assert of_item[0] == "drawn for quiz, 2027-spring"
    assert set(of_item[1:]) >= {"released in quiz-2027-spring", "approved by R. Moss (key)"}
    assert of_item[-1] == "withdrawn: two readings"
    assert of_release[0] == "released, 5 items of quiz for 2027-spring"
    assert of_release[1].startswith("package quiz-2027-spring-cc13.zip, SHA-256 ")
    assert set(of_release[2:]) == {
        "quiz-2027-spring-2 took its place", f"{gone} withdrawn: two readings",
    }  # fmt: skip
    assert of_pool[0] == "drawn for 2027-spring: 5 items"
    assert {"drawn for 2027-autumn: 5 items", "the draw for 2027-autumn was undone"} <= {*of_pool}
    assert len(days) == 1 and str(today)[:7] in days.pop()
    with bank.reading() as connection, pytest.raises(BankError) as error:
        history(connection, "quizz")
    assert str(error.value).startswith("quizz: expected an item (item-...), a release or a pool")


def test_the_releases_and_what_became_of_them(bank, pool_of, tmp_path):
    lived(bank, pool_of(ENTRIES), tmp_path)

    with bank.reading() as connection:
        found = listed(connection)
        assert listed(connection, "other") == []

    told = [(one.name, one.items, one.withdrawn, one.formats, one.replaced_by) for one in found]
    assert told == [
        ("quiz-2027-spring", 5, 1, ("cc13",), "quiz-2027-spring-2"),
        ("quiz-2027-spring-2", 4, 0, ("cc13",), ""),
    ]


def test_the_whole_record_as_tables_and_as_json(bank, pool_of, tmp_path):
    gone = lived(bank, pool_of(ENTRIES), tmp_path)

    with bank.reading() as connection:
        found = dict(documents(connection))

    assert set(found) == {"record.json", *(f"{name}.csv" for name in metadata.tables)}
    for name, n in counts(bank).items():
        rows = list(csv.DictReader(found[f"{name}.csv"].decode().splitlines()))
        assert len(rows) == n, name
    whole = json.loads(found["record.json"])
    assert [w["item"] for w in whole["withdrawals"]] == [gone]
    assert Counter(u["term"] for u in whole["uses"]) == {SPRING: 5, AUTUMN: 5}
    assert whole["items"][0]["content"]["item"]


def test_a_cell_is_nothing_that_a_spreadsheet_would_run(bank, pool_of, tmp_path):
    draw.draw(bank, pool_of(ENTRIES), SPRING)
    withdrawal.withdraw(bank, [first(bank)], '=HYPERLINK("x")', tmp_path)

    with bank.reading() as connection:
        found = dict(documents(connection))["withdrawals.csv"].decode()

    assert "'=HYPERLINK" in found and ",=HYPERLINK" not in found


# ------------------------------------------------------------ copied


def test_a_bank_is_copied_from_each_database_to_the_other_and_back(
    postgresql_place, pool_of, tmp_path
):
    """All of it, twice, with the same packages; and the copy goes on as the first would have."""
    pool = pool_of(ENTRIES)
    first_bank = open_bank(str(tmp_path / "first.db"), create=True)
    lived(first_bank, pool, tmp_path / "out")
    server = open_bank(postgresql_place, create=True)
    back = open_bank(str(tmp_path / "back.db"), create=True)

    done = copy(first_bank, server)
    again = copy(first_bank, server)
    copy(server, back)

    assert counts(first_bank) == counts(server) == counts(back) == done.records == done.new
    assert not any(again.new.values()) and again.records == done.records
    with first_bank.reading() as one, back.reading() as other:
        assert dict(documents(one)) == dict(documents(other))
    (tmp_path / "again").mkdir()
    export.export_again(server, "quiz-2027-spring", tmp_path / "again")
    name = "quiz-2027-spring-cc13.zip"
    assert (tmp_path / "again" / name).read_bytes() == (tmp_path / "out" / name).read_bytes()
    drawn = [draw.draw(one, pool, NEXT) for one in (first_bank, server, back)]
    assert drawn[0] == drawn[1] == drawn[2]
    assert status(first_bank, pool).families[0].use == status(server, pool).families[0].use


def test_two_banks_with_the_same_families_are_brought_together(bank, pool_of, tmp_path):
    """What rests in the one rests in both then, and each release is there."""
    other = open_bank(str(tmp_path / "other.db"), create=True)
    quiz, test = pool_of(ENTRIES), pool_of(ENTRIES, id="test", seed="another")
    draw.draw(bank, quiz, SPRING)
    export.export(bank, "quiz", SPRING, tmp_path, ("cc13",))
    draw.draw(other, test, SPRING)
    draw.draw(other, test, AUTUMN)
    export.export(other, "test", AUTUMN, tmp_path, ("cc13",))

    done = copy(other, bank)

    assert done.new["families"] == 0 and done.new["terms"] == 1
    assert (done.records["items"], done.new["items"]) == (10, 10)
    with bank.reading() as connection:
        assert [one.name for one in listed(connection)] == ["quiz-2027-spring", "test-2027-autumn"]
    (family,) = status(bank, quiz).families
    assert family.use.by_term == {SPRING: 10, AUTUMN: 5}
    export.export_again(bank, "test-2027-autumn", tmp_path)


def test_what_two_banks_contradict_each_other_in_is_refused_whole(bank, pool_of, tmp_path):
    """The same draw in both: the same problems in the same term."""
    other = open_bank(str(tmp_path / "other.db"), create=True)
    for one in (bank, other):
        draw.draw(one, pool_of(ENTRIES), SPRING)
    with other.writing() as connection:
        connection.execute(text("DROP TRIGGER draws_no_update"))
        connection.execute(text("UPDATE draws SET facts = '{}'"))
    before = counts(bank)

    with pytest.raises(BankError) as error:
        copy(other, bank)

    assert "both banks hold a record of uses" in str(error.value)
    assert str(error.value).endswith("and they differ; nothing was copied")
    assert counts(bank) == before


def test_terms_in_another_order_are_refused(bank, pool_of, tmp_path):
    other = open_bank(str(tmp_path / "other.db"), create=True)
    pool = pool_of("  - {family: linear-one-solution, variants: 1}\n")
    for term in (AUTUMN, SPRING):
        draw.draw(other, pool, term)
    draw.draw(bank, pool, SPRING)

    with pytest.raises(BankError, match="stand in another order than those of the bank"):
        copy(other, bank)


def test_a_copy_may_be_tried_dry_and_is_told(pool_of, tmp_path):
    quiz, here, there = pool_of(ENTRIES).path, tmp_path / "a.db", tmp_path / "b.db"
    run("draw", quiz, "--term", SPRING, "--bank", here)
    run("draw", quiz, "--term", AUTUMN, "--bank", there)
    none = run("copy", tmp_path / "c.db", "--bank", here, "--dry-run")
    assert none.exit_code == 1 and not (tmp_path / "c.db").exists()
    before = there.read_bytes()

    tried = run("copy", there, "--bank", here, "--dry-run")
    assert tried.exit_code == 0, tried.output
    assert "items: 5, of which 5 new" in tried.stdout
    assert there.read_bytes() == before
    done = run("copy", tmp_path / "c.db", "--bank", here)
    assert done.stdout.splitlines()[-1] == (
        f"{tmp_path / 'c.db'}: holds all of {here}, by counts and by hashes"
    )


# ------------------------------------------------------------ backed up


def test_a_backup_of_the_database_is_the_bank_again(pool_of, tmp_path):
    """Made by SQLite itself, while the bank is open; the next term is drawn from it alike."""
    pool = pool_of(ENTRIES)
    bank = open_bank(str(tmp_path / "bank.db"), create=True)
    draw.draw(bank, pool, SPRING)
    files = (tmp_path / "bank.db", tmp_path / "backup.db")
    with sqlite3.connect(files[0]) as one, sqlite3.connect(files[1]) as other:
        one.backup(other)
    drawn = draw.draw(bank, pool, AUTUMN)

    restored = open_bank(str(tmp_path / "backup.db"))

    assert counts(restored)["items"] == 5
    assert draw.draw(restored, pool, AUTUMN) == drawn
    with bank.reading() as a, restored.reading() as b:
        query = text("SELECT identifier FROM items ORDER BY id")
        assert list(a.scalars(query)) == list(b.scalars(query))


def test_status_of_a_large_bank_looks_up_and_does_not_search(tmp_path):
    """The plans of what is asked most, in SQLite's words: by an index, never over all rows."""
    bank = open_bank(str(tmp_path / "bank.db"), create=True)
    with bank.reading() as connection:
        for query in (
            "SELECT count(DISTINCT problem) FROM uses WHERE family = 'f'",
            "SELECT max(term), count(*) FROM uses WHERE family = 'f' GROUP BY problem",
            "SELECT id FROM items WHERE family = 3",
            "SELECT facts FROM draws WHERE pool = 'quiz' AND term = 1 ORDER BY id DESC LIMIT 1",
        ):
            plan = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {query}").all()
            told = [row[3] for row in plan if "SEARCH" in row[3] or "SCAN" in row[3]]
            assert [line.split()[0] for line in told] == ["SEARCH"] and "INDEX" in told[0], plan


@pytest.mark.parametrize("command", ["history", "releases", "record", "copy"])
def test_a_bank_is_never_made_by_reading(tmp_path, command):
    bank, more = tmp_path / "none.db", {"history": ["quiz"], "copy": [tmp_path / "to.db"]}
    options = ["--out", tmp_path / "out"] if command == "record" else []

    result = run(command, *more.get(command, []), *options, "--bank", bank)

    assert result.exit_code == 1 and len(result.stderr.splitlines()) == 1
    assert not list(tmp_path.iterdir())
