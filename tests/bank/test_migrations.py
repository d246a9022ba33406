"""The steps lead to the shape that queries use, on both databases, and nothing can be edited."""

import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy import inspect, text
from sqlalchemy.exc import DBAPIError

from itembank.bank import decisions, measured, migrations, open_bank
from itembank.bank.schema import metadata
from itembank.terms import draw, export, results
from itembank.terms.tables import Columns
from itembank.values.errors import BankError, ReportError
from itembank.values.verdicts import FACETS, OnFacet, Spoken, accepted_items, open_returns

ROOT = Path(__file__).parents[2]


def test_the_steps_lead_to_the_schema(bank):
    with bank.reading() as connection:
        found = inspect(connection)
        tables = set(found.get_table_names()) - {"migrations"}
        assert tables == set(metadata.tables)
        for name, table in metadata.tables.items():
            columns = {c["name"]: c for c in found.get_columns(name)}
            assert list(columns) == [c.name for c in table.columns], name
            for c in table.columns:
                assert c.primary_key or columns[c.name]["nullable"] == c.nullable, (name, c.name)
            uniques = {tuple(u["column_names"]) for u in found.get_unique_constraints(name)}
            expected = {
                tuple(column.name for column in constraint.columns)
                for constraint in table.constraints
                if type(constraint).__name__ == "UniqueConstraint"
            }
            assert uniques == expected, name
            assert {
                (tuple(k["constrained_columns"]), k["referred_table"])
                for k in found.get_foreign_keys(name)
            } == {
                (tuple(k.column_keys), k.referred_table.name) for k in table.foreign_key_constraints
            }, name
            indexes = {
                i["name"] for i in found.get_indexes(name) if "duplicates_constraint" not in i
            }
            assert indexes == {i.name for i in table.indexes}, name


def test_each_step_is_taken_once_with_its_record(bank, place):
    open_bank(place)
    with bank.reading() as connection:
        assert migrations.taken(connection) == [
            migrations.name_of(step) for step in migrations.STEPS
        ]


def test_an_older_bank_keeps_what_it_holds_and_is_brought_up_to_date(place, monkeypatch):
    monkeypatch.setattr(migrations, "STEPS", migrations.STEPS[:2])
    old = open_bank(place, create=True)
    with old.writing() as connection:
        connection.execute(text("INSERT INTO terms (id, name) VALUES (1, '2027-spring')"))
    monkeypatch.undo()

    with open_bank(place).reading() as connection:
        assert list(connection.scalars(text("SELECT name FROM terms"))) == ["2027-spring"]
        assert len(migrations.taken(connection)) == len(migrations.STEPS)


def before(step):
    """The steps that an older version had."""
    return migrations.STEPS[: migrations.STEPS.index(step)]


def test_decisions_of_an_older_bank_count_as_they_were_said(place, monkeypatch):
    """Recorded for all four facets in one line; a return names its facets in its comment."""
    monkeypatch.setattr(migrations, "STEPS", before(migrations.facets_and_settlements))
    old = open_bank(place, create=True)
    scope = "key, wording, distractors and feedback, accessibility"
    rows = [
        ("a", "Moss", "approved", ""),
        ("a", "Reed", "rejected", "key: 7 is missing\nwording: unclear"),
        ("a", "Moss", "approved", ""),
        ("b", "Reed", "rejected", "wording: unclear"),
        ("b", "Moss", "cleared", ""),
        ("b", "Reed", "approved", ""),
    ]
    with old.writing() as connection:
        for item, name in ((1, "a"), (2, "b")):
            insert_item(connection, item, name)
        for name, reviewer, verdict, comment in rows:
            connection.execute(
                text(
                    "INSERT INTO decisions (item, fingerprint, reviewer, scope, verdict, comment)"
                    " VALUES (:item, :name, :reviewer, :scope, :verdict, :comment)"
                ),
                {
                    "item": "ab".index(name) + 1, "name": name, "reviewer": reviewer,
                    "scope": scope, "verdict": verdict, "comment": comment,
                },
            )  # fmt: skip
    monkeypatch.undo()

    with open_bank(place).reading() as connection:
        words = decisions.words(connection, [1, 2])
    assert [(w.item, w.person) for w in words] == [
        (name, reviewer) for name, reviewer, verdict, _ in rows if verdict != "cleared"
    ]
    assert [str(r) for r in open_returns(words)] == [
        "key returned by Reed: 7 is missing",
        "wording returned by Reed: unclear",
    ]
    assert accepted_items(words) == {"b"}


def test_facets_of_an_older_bank_have_no_hash_and_count_as_they_were_said(place, monkeypatch):
    monkeypatch.setattr(migrations, "STEPS", before(migrations.hashes_of_facets))
    old = open_bank(place, create=True)
    with old.writing() as connection:
        insert_item(connection, 1, "a")
        connection.execute(
            text(
                "INSERT INTO decisions (item, fingerprint, reviewer, scope, verdict, comment,"
                " said) VALUES (1, 'a', 'Moss', :scope, 'approved', '', '2027-01-15')"
            ),
            {"scope": ", ".join(FACETS)},
        )
        for facet in FACETS:
            connection.execute(
                text(
                    "INSERT INTO decision_facets (decision, facet, verdict, comment)"
                    " VALUES (1, :facet, 'approved', '')"
                ),
                {"facet": facet},
            )
    monkeypatch.undo()

    bank = open_bank(place)
    new = Spoken(
        item="a", person="Reed", date="2027-01-16", name="a",
        facets=(OnFacet("key", "returned", "7 is missing", "f" * 64),),
    )  # fmt: skip
    with bank.writing() as connection:
        decisions.speak(connection, 1, new)
    with bank.reading() as connection:
        words = decisions.words(connection, [1])
    assert {f.hash for f in words[0].facets} == {""}
    assert words[1] == new
    assert accepted_items(words[:1]) == {"a"}
    assert [r.facet for r in open_returns(words)] == ["key"]


def insert_item(connection, number, name):
    """An item with the parents that it names."""
    for table, values in (
        ("families", {"name": name, "version": 1, "fingerprint": "f", "source": "s"}),
        ("problems", {"key": name, "purpose": "graded"}),
        ("items", {"identifier": name, "fingerprint": name, "problem": number,
                   "family": number, "seed": "s", "variant": 1, "title": "t", "form": "f",
                   "ask": "a", "statement": "s", "answer": "a", "steps": 1, "digits": 1,
                   "singular": 0, "signs": "", "content": b"", "tool": "t"}),
    ):  # fmt: skip
        row = {"id": number, **values}
        names = ", ".join(row)
        connection.execute(
            text(f"INSERT INTO {table} ({names}) VALUES ({', '.join(f':{n}' for n in row)})"), row
        )


def test_results_that_an_older_version_counted_twice_are_replaced_together(
    place, pool_of, tmp_path
):
    """A quiz of 60 students that was regraded counted 120: each file was a report of its own."""
    old = open_bank(place, create=True)
    draw.draw(old, pool_of("  - {family: linear-one-solution, variants: 1}\n"), "2027-spring")
    export.export(old, "quiz", "2027-spring", tmp_path, ("cc13",))
    with old.writing() as connection:
        item, name = connection.execute(text("SELECT id, identifier FROM items")).one()
        for n, right in ((1, 30), (2, 33)):
            connection.execute(
                text(
                    "INSERT INTO reports (term, source, students, facts, tool) "
                    "VALUES (1, :source, 60, :facts, 'an older one')"
                ),
                {"source": f"{n}" * 64, "facts": '{"release": "quiz-2027-spring"}'},
            )
            connection.execute(
                text(
                    "INSERT INTO usages (report, item, students, correct, advice, facts) "
                    "VALUES (:n, :item, 60, :right, 'keep', :facts)"
                ),
                {"n": n, "item": item, "right": right, "facts": '{"score": "1/2", "options": {}, '
                 '"answers": {}, "slips": {}, "r_total": null}'},
            )  # fmt: skip
    table = tmp_path / "t.csv"
    rows = [f"{i},{name},{int(i < 33)}\n" for i in range(60)]
    table.write_text("id,item,score\n" + "".join(rows), encoding="utf-8")
    columns = Columns(student="id", item="item", score="score")

    bank = open_bank(place)
    (found,) = results.item_statistics(bank, "quiz-2027-spring")
    assert (found.cases, found.correct) == (120, 63)
    with pytest.raises(ReportError, match=r"whole release \(60 students\), the whole"):
        results.record_results(bank, "quiz-2027-spring", [table], columns)
    results.record_results(bank, "quiz-2027-spring", [table], columns, replacing=True)

    (found,) = results.item_statistics(bank, "quiz-2027-spring")
    assert (found.cases, found.correct) == (60, 33)


def test_a_step_that_fails_leaves_the_bank_as_it_was(place, monkeypatch):
    def broken(dialect):
        yield "CREATE TABLE half (id INTEGER)"
        yield "CREATE TABLE nothing ("

    whole = migrations.STEPS
    monkeypatch.setattr(migrations, "STEPS", (*whole, broken))
    with pytest.raises(BankError):
        open_bank(place, create=True)
    monkeypatch.undo()

    with open_bank(place).reading() as connection:
        assert not inspect(connection).has_table("half")
        assert len(migrations.taken(connection)) == len(whole)


def test_a_bank_of_a_newer_version_is_left_alone(bank, place):
    with bank.writing() as connection:
        connection.execute(text("INSERT INTO migrations (name) VALUES ('things_to_come')"))

    with pytest.raises(BankError, match=r"made by another version of itembank .*'things_to_come'"):
        open_bank(place)


@pytest.mark.parametrize("table", sorted(metadata.tables))
def test_the_record_is_append_only(bank, table):
    """Not by us and not by hand: each table refuses to change or to lose a row."""
    with bank.reading() as connection:
        steps = set(metadata.tables[table].columns.keys())
    assert "id" in steps
    with bank.writing() as connection:
        if table != "terms":
            # Rows need their parents, whose checks are not of interest here.
            if connection.dialect.name == "sqlite":
                connection.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
            else:
                connection.exec_driver_sql("SET session_replication_role = replica")
        insert_anything(connection, metadata.tables[table])
        if connection.dialect.name == "postgresql":
            connection.exec_driver_sql("SET session_replication_role = origin")
        for statement in (f"UPDATE {table} SET id = 2", f"DELETE FROM {table}"):
            with pytest.raises(DBAPIError, match="append-only"), connection.begin_nested():
                connection.exec_driver_sql(statement)
        connection.get_transaction().rollback()


def insert_anything(connection, table):
    """A row of any values that the types and checks allow."""
    special = {"purpose": "graded", "verdict": "approved", "advice": "keep"}
    values = {}
    for c in table.columns:
        if c.name == "recorded":
            continue
        kind = c.type.python_type
        values[c.name] = special.get(c.name) or {str: "a", int: 1, bool: True, bytes: b"a"}[kind]
    connection.execute(table.insert().values(values))


def test_the_command_line_starts_without_the_database_library():
    code = (
        "import sys; sys.argv = ['itembank', '--help']\n"
        "from itembank.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "print(sorted({'sqlalchemy', 'psycopg', 'scipy', 'numpy'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)

    assert done.stdout.splitlines()[-1] == "[]"


def test_an_older_estimate_of_a_capacity_is_measured_anew(place, monkeypatch):
    """It was an estimate a hundred times too large, or cannot be told from one."""
    before = [migrations.name_of(step) for step in migrations.STEPS].index("capacities_between")
    monkeypatch.setattr(migrations, "STEPS", migrations.STEPS[:before])
    old = open_bank(place, create=True)
    with old.writing() as connection:
        connection.execute(text("INSERT INTO families VALUES (1, 'ten', 1, 'f', 's')"))
        connection.execute(text("INSERT INTO capacities VALUES (1, 1, 1004, false, 22)"))
    monkeypatch.undo()

    with open_bank(place).reading() as connection:
        assert measured.capacity(connection, 1) is None
