"""From the bank to packages and back on record: releases, changes, withdrawals."""

import dataclasses
import os
import signal
import zipfile
from hashlib import sha256
from pathlib import Path

import pytest
from sqlalchemy import text

from itembank.bank import entries, releases
from itembank.kinds.linear.kind import LinearCongruence
from itembank.terms import draw, export, withdrawal
from itembank.values.answer import ResidueSet
from itembank.values.errors import BankError, ExportError
from tests.forked import Forked

SPRING, AUTUMN = "2027-spring", "2027-autumn"
ENTRIES = (
    "  - {family: linear-one-solution, variants: 4}\n"
    "  - {family: square-roots-two-primes, variants: 3, points: 2, form: select one}\n"
)


@pytest.fixture
def quiz(pool_of):
    return pool_of(ENTRIES)


def identifiers(package: Path) -> set[str]:
    """The item files of a QTI package."""
    with zipfile.ZipFile(package) as z:
        return {n.removesuffix(".xml") for n in z.namelist() if n.startswith("item-")}


def names(bank, *numbers: int) -> set[str]:
    with bank.reading() as connection:
        return {name for name, _title, _family in entries.named(connection, numbers)}


def test_an_export_writes_what_was_drawn_and_goes_on_record(bank, quiz, tmp_path):
    draw.draw(bank, quiz, SPRING)

    made = export.export(bank, "quiz", SPRING, tmp_path, ("qti21", "cc13"))

    with bank.reading() as connection:
        release = releases.released(connection, "quiz-2027-spring")
        numbers = releases.released_items(connection, release.number)
        packages = releases.packages_of(connection, release.number)
    assert len(numbers) == 7
    assert [(p.format, p.file) for p in packages] == [
        ("qti21", "quiz-2027-spring-qti21.zip"),
        ("cc13", "quiz-2027-spring-cc13.zip"),
    ]
    for p in packages:
        assert sha256((tmp_path / p.file).read_bytes()).hexdigest() == p.sha256
    assert identifiers(tmp_path / "quiz-2027-spring-qti21.zip") == names(bank, *numbers)
    assert all(report.clean for _written, report in made.packages)


def test_exporting_again_gives_the_same_bytes_and_the_same_release(bank, quiz, tmp_path):
    draw.draw(bank, quiz, SPRING)
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
        export.export(bank, "quiz", SPRING, tmp_path / folder, ("cc13",))

    a, b = (tmp_path / f / "quiz-2027-spring-cc13.zip" for f in ("a", "b"))
    assert a.read_bytes() == b.read_bytes()
    with bank.reading() as connection:
        assert connection.scalar(text("SELECT count(*) FROM releases")) == 1
        assert connection.scalar(text("SELECT count(*) FROM packages")) == 1


def test_the_bank_gives_the_package_that_the_seed_alone_gives(bank, quiz, tmp_path):
    """In the first term nothing is used, so the record refuses nothing."""
    from itembank.pipeline import making

    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
    draw.draw(bank, quiz, SPRING)
    export.export(bank, "quiz", SPRING, tmp_path / "a", ("qti21",))
    making.make(quiz, SPRING, tmp_path / "b", ("qti21",))

    a, b = (tmp_path / f / "quiz-2027-spring-qti21.zip" for f in ("a", "b"))
    assert a.read_bytes() == b.read_bytes()


def test_the_identifiers_of_no_two_terms_collide(bank, quiz, tmp_path):
    """Nor do the names of packages and of what is in them."""
    found = []
    for term in (SPRING, AUTUMN):
        draw.draw(bank, quiz, term)
        export.export(bank, "quiz", term, tmp_path, ("qti21",))
        with zipfile.ZipFile(tmp_path / f"quiz-{term}-qti21.zip") as z:
            found.append(set(z.namelist()) - {"imsmanifest.xml"})

    assert len(found[0]) == len(found[1]) >= 7
    assert not found[0] & found[1]


def test_a_release_with_other_items_has_another_name(bank, quiz, pool_of, tmp_path):
    draw.draw(bank, quiz, SPRING)
    export.export(bank, "quiz", SPRING, tmp_path, ("cc13",))
    draw.draw(bank, pool_of(ENTRIES.replace("variants: 4", "variants: 5")), SPRING)

    made = export.export(bank, "quiz", SPRING, tmp_path, ("cc13",))

    assert made.release.name == "quiz-2027-spring-2"
    assert (tmp_path / "quiz-2027-spring-2-cc13.zip").is_file()
    assert made.card == tmp_path / "quiz-2027-spring-2-load-card.html"


def test_what_was_not_drawn_cannot_be_exported(bank, quiz, tmp_path):
    draw.draw(bank, quiz, SPRING)

    with pytest.raises(BankError) as error:
        export.export(bank, "quiz", AUTUMN, tmp_path, ("cc13",))
    assert str(error.value) == (
        "term 2027-autumn: the bank has no draw for it; it knows: 2027-spring"
    )
    with pytest.raises(BankError) as error:
        export.export(bank, "other", SPRING, tmp_path, ("cc13",))
    assert str(error.value) == (
        "pool other: it was not drawn for 2027-spring; `itembank draw other --term 2027-spring` "
        "does it"
    )


KILLED = """
import os, signal, sys
from pathlib import Path
from itembank.terms import export as exporting
from itembank.pipeline import making
from itembank.bank import open_bank

place, folder, moment = sys.argv[1:]
def die(*_):
    os.kill(os.getpid(), signal.SIGKILL)
if moment == "audited":
    exporting.export(open_bank(place), "quiz", "2027-spring", Path(folder), ("cc13",), die)
else:
    true_record = exporting.releases.record_packages
    def record(*arguments):
        true_record(*arguments)
        if moment == "recording":
            die()
    exporting.releases.record_packages = record
    if moment == "recorded":
        making.put = die
    exporting.export(open_bank(place), "quiz", "2027-spring", Path(folder), ("cc13",))
"""


@pytest.mark.parametrize(
    ("moment", "on_record"), [("audited", 0), ("recording", 0), ("recorded", 1)]
)
def test_a_killed_export_leaves_no_package_that_is_not_on_record(
    place, bank, quiz, tmp_path, moment, on_record
):
    draw.draw(bank, quiz, SPRING)
    out = tmp_path / "out"
    out.mkdir()

    done = Forked(KILLED, place, out, moment)
    done.communicate(timeout=120)

    assert done.returncode == -signal.SIGKILL
    assert not list(out.glob("quiz*"))
    with bank.reading() as connection:
        assert connection.scalar(text("SELECT count(*) FROM packages")) == on_record
    export.export(bank, "quiz", SPRING, out, ("cc13",))
    assert sorted(p.name for p in out.iterdir()) == [
        "quiz-2027-spring-cc13.zip",
        "quiz-2027-spring-load-card.html",
    ]
    with bank.reading() as connection:
        assert connection.scalar(text("SELECT count(*) FROM packages")) == 1


# ------------------------------------------------------------ what changed


def test_since_a_release_only_what_is_new_is_written_and_the_rest_is_listed(bank, quiz, tmp_path):
    draw.draw(bank, quiz, SPRING)
    first = export.export(bank, "quiz", SPRING, tmp_path, ("qti21",))
    old = identifiers(tmp_path / first.packages[0][0].file)
    gone = sorted(old)[0]
    withdrawal.withdraw(bank, [gone], "two readings", tmp_path)
    draw.draw(bank, quiz, SPRING)

    changed = export.export_since(bank, "quiz", SPRING, "quiz-2027-spring", tmp_path, ("qti21",))

    (new,) = changed.new
    assert new.identifier not in old
    assert [c.identifier for c in changed.retire] == [gone]
    assert changed.kept == 6
    assert identifiers(tmp_path / "quiz-2027-spring-new-qti21.zip") == {new.identifier}
    page = changed.list.read_text(encoding="utf-8")
    assert gone in page and new.identifier in page
    assert "Since the release quiz-2027-spring: 1 new, 1 to retire, 6 as they were." in page


def test_the_next_term_retires_what_the_last_one_used(bank, quiz, tmp_path):
    draw.draw(bank, quiz, SPRING)
    export.export(bank, "quiz", SPRING, tmp_path, ("cc13",))
    draw.draw(bank, quiz, AUTUMN)

    changed = export.export_since(bank, "quiz", AUTUMN, "quiz-2027-spring", tmp_path, ("cc13",))
    unchanged = export.export_since(bank, "quiz", AUTUMN, "quiz-2027-autumn", tmp_path, ("cc13",))

    assert (len(changed.new), len(changed.retire), changed.kept) == (7, 7, 0)
    assert (unchanged.made, unchanged.new, unchanged.retire, unchanged.kept) == (None, (), (), 7)


def test_a_release_of_another_pool_or_none_is_refused(bank, quiz, pool_of, tmp_path):
    other = pool_of("  - {family: count-square-roots, variants: 2}\n", id="other")
    for pool in (quiz, other):
        draw.draw(bank, pool, SPRING)
        export.export(bank, pool.id, SPRING, tmp_path, ("cc13",))

    for earlier, said in [
        (
            "other-2027-spring",
            "release other-2027-spring: it is one of the pool other; expected one of quiz",
        ),
        (
            "quiz-2026-spring",
            "release quiz-2026-spring: the bank has none of this name; the last "
            "are: other-2027-spring, quiz-2027-spring",
        ),
    ]:
        with pytest.raises(BankError) as error:
            export.export_since(bank, "quiz", SPRING, earlier, tmp_path, ("cc13",))
        assert str(error.value) == said


# ------------------------------------------------------------ withdrawals


def test_a_withdrawal_names_every_release_and_writes_the_corrected_packages(
    bank, quiz, pool_of, tmp_path
):
    draw.draw(bank, quiz, SPRING)
    export.export(bank, "quiz", SPRING, tmp_path, ("qti21", "cc13"))
    draw.draw(bank, pool_of(ENTRIES.replace("variants: 4", "variants: 5")), SPRING)
    export.export(bank, "quiz", SPRING, tmp_path, ("cc13",))
    gone = sorted(identifiers(tmp_path / "quiz-2027-spring-qti21.zip"))[0]

    done = withdrawal.withdraw(bank, [gone], "the stem has two readings", tmp_path)

    (question,) = done.questions
    assert [a.release for a in question.affected] == ["quiz-2027-spring", "quiz-2027-spring-2"]
    assert question.key_stands
    (made,) = done.corrected
    assert made.release.name == "quiz-2027-spring-3"
    assert [w.format for w, _report in made.packages] == ["qti21", "cc13"]
    assert gone not in identifiers(tmp_path / "quiz-2027-spring-3-qti21.zip")
    assert all(report.clean for _written, report in made.packages)
    note = done.notes[0].read_text(encoding="utf-8")
    for words in (gone, "the stem has two readings", "NT 210, Alder Ford College, 2027-spring"):
        assert words in note


def test_a_key_that_was_wrong_is_told_with_the_right_one(bank, quiz, tmp_path, monkeypatch):
    """Release an item under a wrong key, by force, and let it be found again."""
    true_key_text = entries.key_text
    draw.draw(bank, quiz, SPRING)
    with bank.reading() as connection:
        name = connection.scalar(text("SELECT identifier FROM items ORDER BY id LIMIT 1"))
        right = connection.scalar(text("SELECT answer FROM items ORDER BY id LIMIT 1"))
    export.export(bank, "quiz", SPRING, tmp_path, ("cc13",))
    calls = []

    def wrong_first(response):
        calls.append(response)
        return "1000" if len(calls) == 1 else true_key_text(response)

    monkeypatch.setattr(withdrawal, "key_text", wrong_first)
    done = withdrawal.withdraw(bank, [name], "key", tmp_path)

    assert (done.questions[0].released_key, done.questions[0].right_key) == ("1000", right)
    note = done.notes[0].read_text(encoding="utf-8")
    assert "The released key was wrong. Score every attempt at this question again" in note


def test_a_group_that_is_too_small_then_says_what_to_do_and_the_withdrawal_stands(
    bank, pool_of, tmp_path
):
    pool = pool_of("  - {family: linear-one-solution, variants: 1}\n")
    draw.draw(bank, pool, SPRING)
    export.export(bank, "quiz", SPRING, tmp_path, ("qti21",))
    (name,) = identifiers(tmp_path / "quiz-2027-spring-qti21.zip")

    done = withdrawal.withdraw(bank, [name], "two readings", tmp_path)

    assert done.corrected == ()
    assert done.uncorrected == (
        "pool quiz: family linear-one-solution: no item is left for 2027-spring; draw the pool "
        "again, which replaces what was withdrawn",
    )
    draw.draw(bank, pool, SPRING)
    export.export(bank, "quiz", SPRING, tmp_path, ("qti21",))
    assert name not in identifiers(tmp_path / "quiz-2027-spring-2-qti21.zip")


@pytest.mark.parametrize("name", ["", "%", "_", "item-", "item-%"])
def test_a_wildcard_names_no_item(bank, pool_of, tmp_path, name):
    """Not even the only one."""
    draw.draw(bank, pool_of("  - {family: linear-one-solution, variants: 1}\n"), SPRING)

    with pytest.raises(BankError, match="expected the identifier of an item of the bank"):
        withdrawal.withdraw(bank, [name], "r", tmp_path)


def test_nothing_is_withdrawn_where_one_of_several_is_wrong(bank, quiz, tmp_path):
    draw.draw(bank, quiz, SPRING)
    with bank.reading() as connection:
        name = connection.scalar(text("SELECT identifier FROM items ORDER BY id LIMIT 1"))

    with pytest.raises(BankError, match="expected the identifier of an item of the bank"):
        withdrawal.withdraw(bank, [name, "item-0000000000000000"], "r", tmp_path)
    withdrawal.withdraw(bank, [name], "two readings", tmp_path)
    with pytest.raises(BankError) as error:
        withdrawal.withdraw(bank, [name], "again", tmp_path)
    assert str(error.value) == (
        f"{name}: it was withdrawn before: two readings; `itembank rescoring {name}` writes its "
        "note and the corrected packages again"
    )


def test_a_withdrawal_that_could_not_write_is_completed_by_the_same_command(bank, quiz, tmp_path):
    """First the note has no place, then the corrected package; each time nothing is lost."""
    draw.draw(bank, quiz, SPRING)
    export.export(bank, "quiz", SPRING, tmp_path, ("cc13",))
    with bank.reading() as connection:
        name = connection.scalar(text("SELECT identifier FROM items ORDER BY id LIMIT 1"))
    note = tmp_path / f"rescoring-note-{name}.html"

    for taken, withdrawn in ((note, 0), (tmp_path / "quiz-2027-spring-2-cc13.zip", 1)):
        os.mkfifo(taken)
        with pytest.raises(ExportError, match="found a pipe"):
            withdrawal.withdraw(bank, [name], "two readings", tmp_path)
        with bank.reading() as connection:
            assert connection.scalar(text("SELECT count(*) FROM withdrawals")) == withdrawn
        taken.unlink()

    first = withdrawal.withdraw(bank, [name], "two readings", tmp_path)
    held = note.read_bytes(), (tmp_path / "quiz-2027-spring-2-cc13.zip").read_bytes()
    again = withdrawal.withdraw(bank, [name], "two readings", tmp_path)

    assert first.notes == again.notes == (note,)
    assert (note.read_bytes(), (tmp_path / "quiz-2027-spring-2-cc13.zip").read_bytes()) == held
    assert [made.release.name for made in again.corrected] == ["quiz-2027-spring-2"]
    assert not list(tmp_path.glob(".*"))


def test_each_note_has_a_name_of_its_own_and_none_is_overwritten(bank, quiz, tmp_path):
    draw.draw(bank, quiz, SPRING)
    with bank.reading() as connection:
        one, two = connection.scalars(text("SELECT identifier FROM items ORDER BY id LIMIT 2"))
    other = tmp_path / f"rescoring-note-{two}.html"
    other.write_text("the note of another bank")

    first = withdrawal.withdraw(bank, [one], "two readings", tmp_path)
    both = withdrawal.withdraw(bank, [one, two], "two readings", tmp_path)

    assert first.notes == (tmp_path / f"rescoring-note-{one}.html",)
    assert both.notes == (*first.notes, tmp_path / f"rescoring-note-{two}-2.html")
    assert other.read_text() == "the note of another bank"
    for name, note in zip((one, two), both.notes, strict=True):
        assert name in note.read_text(encoding="utf-8")


def test_an_item_whose_key_is_not_found_again_is_taken_out_all_the_same(
    bank, quiz, tmp_path, monkeypatch
):
    """A solver that has lost a root since: nothing else is more in need of being taken out."""
    draw.draw(bank, quiz, SPRING)
    export.export(bank, "quiz", SPRING, tmp_path, ("cc13",))
    with bank.reading() as connection:
        name = connection.scalar(text("SELECT identifier FROM items ORDER BY id LIMIT 1"))
    true_solve = LinearCongruence.solve

    def wrong(problem):
        found = true_solve(problem)
        ((r, d),) = found.answer.classes()
        moved = ResidueSet.of(found.answer.modulus, [((r + 1) % d, d)])
        return dataclasses.replace(found, answer=moved)

    monkeypatch.setattr(LinearCongruence, "solve", wrong)

    done = withdrawal.withdraw(bank, [name], "key", tmp_path)

    assert done.questions[0].right_key is None
    note = done.notes[0].read_text(encoding="utf-8")
    assert "The key could not be found again now:" in note and "the second way says" in note
    assert "Work out the key by hand before anybody is scored again." in note
