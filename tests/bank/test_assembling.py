"""Parallel forms of a pool's term: balanced, on record, exported, and corrected."""

import os
import zipfile
from collections import Counter
from itertools import combinations

import pytest
from sqlalchemy import text

from itembank.bank import entries, forms, releases
from itembank.bank.forms import Form
from itembank.terms import assembly as assembling
from itembank.terms import draw, withdrawal
from itembank.terms.assembly import place_of_key
from itembank.values.errors import BankError, DrawError, ExportError
from itembank.values.item import SelectOne

SPRING = "2027-spring"
ENTRIES = (
    "  - {family: linear-one-solution, variants: 9}\n"
    "  - {family: quadratic-two-prime-powers, variants: 9, points: 3, form: select one}\n"
    "  - {family: quadratic-leading-coefficient, variants: 9, points: 2, form: select one}\n"
    "  - {family: zero-product-composite, variants: 9, points: 2, form: select one}\n"
    "  - {family: quadratic-prime-square, variants: 14, choose: 2, form: select one}\n"
    "  - {family: least-solution, variants: 9, points: 3}\n"
)


@pytest.fixture
def quiz(bank, pool_of):
    pool = pool_of(ENTRIES)
    draw.draw(bank, pool, SPRING)
    return pool


def items_of(bank, form: Form):
    with bank.reading() as connection:
        return list(entries.stored_items(connection, form.items))


def test_the_forms_are_balanced_and_share_nothing(bank, quiz):
    assembly = assembling.assemble(bank, "quiz", SPRING, 3).assembly

    made = [items_of(bank, form) for form in assembly.forms]
    assert [form.name for form in assembly.forms] == ["A", "B", "C"]
    families = [Counter(i.provenance.family for i in items) for items in made]
    assert families[0] == families[1] == families[2]
    assert families[0] == {e.family.id: e.choose for e in quiz.entries}
    outcomes = [Counter(o for i in items for o in i.outcomes) for items in made]
    assert outcomes[0] == outcomes[1] == outcomes[2]
    assert not any(set(a.items) & set(b.items) for a, b in combinations(assembly.forms, 2))
    sums = [sum(i.steps for i in items) for items in made]
    assert assembly.result["effort"] == sums
    assert assembly.result["gap"] == max(sums) - min(sums) <= assembly.request["most_difference"]


def test_the_keys_of_each_form_are_spread_over_the_places(bank, quiz):
    assembly = assembling.assemble(bank, "quiz", SPRING, 3).assembly

    assert assembly.result["uneven"] == 0
    for form in assembly.forms:
        items = items_of(bank, form)
        places = Counter(p for i in items if (p := place_of_key(i)) is not None)
        assert sum(places.values()) == sum(isinstance(i.response, SelectOne) for i in items) == 5
        assert max(places.values()) <= 2


def test_a_form_can_be_made_again_from_what_is_on_record(bank, quiz):
    first = assembling.assemble(bank, "quiz", SPRING, 3)
    second = assembling.assemble(bank, "quiz", SPRING, 3)
    with bank.reading() as connection:
        recorded = forms.latest(connection, "quiz", 1)

    assert (first.new, second.new) == (True, False)
    assert first.assembly == second.assembly == recorded
    assert len(recorded.request["items"]) == 59
    assert recorded.result["solver"].startswith("HiGHS by scipy ")


def test_a_stated_gap_that_cannot_be_reached_is_an_error_with_the_gap_reached(bank, pool_of):
    """Three variants for three forms, of unequal effort: there is nothing to choose."""
    pool = pool_of("  - {family: least-solution, variants: 3}\n", seed="uneven")
    draw.draw(bank, pool, SPRING)
    with bank.reading() as connection:
        items = list(entries.stored_items(connection, (1, 2, 3)))
    spread = max(i.steps for i in items) - min(i.steps for i in items)
    assert spread > 0

    with pytest.raises(DrawError) as error:
        assembling.assemble(bank, "quiz", SPRING, 3, spread - 1)
    assert f"differ by {spread}, expected at most {spread - 1}" in str(error.value)
    assert assembling.assemble(bank, "quiz", SPRING, 3, spread).assembly.result["gap"] == spread


def test_the_database_refuses_two_forms_that_share_an_item(bank, quiz):
    with pytest.raises(BankError), bank.writing() as connection:
        forms.record(connection, "quiz", 1, {}, {}, [Form("A", (1, 2)), Form("B", (2, 3))])


def test_each_form_is_a_release_of_its_own(bank, quiz, tmp_path):
    assembly = assembling.assemble(bank, "quiz", SPRING, 2).assembly

    made = assembling.export_forms(bank, "quiz", SPRING, tmp_path, ("qti21",))

    assert [m.release.name for m in made] == ["quiz-2027-spring-A", "quiz-2027-spring-B"]
    assert [m.release.title for m in made] == ["Quiz, form A", "Quiz, form B"]
    assert {m.release.points for m in made} == {assembly.result["points"]} == {13}
    for form, one in zip(assembly.forms, made, strict=True):
        with zipfile.ZipFile(tmp_path / one.packages[0][0].file) as z:
            names = {n.removesuffix(".xml") for n in z.namelist() if n.startswith("item-")}
        assert names == {i.identifier for i in items_of(bank, form)}
        assert one.packages[0][1].clean
        with bank.reading() as connection:
            number = releases.released(connection, one.release.name).number
            assert set(releases.released_items(connection, number)) == set(form.items)


def test_no_form_is_written_where_one_of_them_cannot_be(bank, quiz, tmp_path):
    assembling.assemble(bank, "quiz", SPRING, 2)
    os.mkfifo(tmp_path / "quiz-2027-spring-B-cc13.zip")

    with pytest.raises(ExportError, match=r"spring-B-cc13\.zip: expected a regular file"):
        assembling.export_forms(bank, "quiz", SPRING, tmp_path, ("cc13",))
    assert not list(tmp_path.glob("quiz-2027-spring-A*"))
    with bank.reading() as connection:
        assert connection.scalar(text("SELECT count(*) FROM releases")) == 0


def test_forms_that_were_not_assembled_say_what_to_do(bank, quiz, tmp_path):
    with pytest.raises(BankError) as error:
        assembling.export_forms(bank, "quiz", SPRING, tmp_path, ("qti21",))
    assert str(error.value) == (
        "pool quiz: it has no parallel forms for 2027-spring; "
        "`itembank draw quiz --term 2027-spring --forms N` assembles them"
    )


# ------------------------------------------------------------ one bad question of a form


def packages_of(folder):
    return {p.name: p.read_bytes() for p in folder.glob("*.zip")}


def test_a_withdrawn_question_of_a_form_is_replaced_there_by_an_equal_one(bank, quiz, tmp_path):
    """And the other forms, which students may have sat, are the same bytes as before."""
    before = assembling.assemble(bank, "quiz", SPRING, 3).assembly
    assembling.export_forms(bank, "quiz", SPRING, tmp_path, ("cc13",))
    old = packages_of(tmp_path)
    lost = items_of(bank, before.forms[1])[2]

    done = withdrawal.withdraw(bank, [lost.identifier], "two readings", tmp_path)

    assert done.uncorrected == ()
    assert [made.release.name for made in done.corrected] == ["quiz-2027-spring-B-2"]
    assert [a.release for a in done.questions[0].affected] == ["quiz-2027-spring-B"]
    assert done.questions[0].forms == ()
    with bank.reading() as connection:
        after = forms.latest(connection, "quiz", 1)
    assert [after.forms[0], after.forms[2]] == [before.forms[0], before.forms[2]]
    kept = set(before.forms[1].items) & set(after.forms[1].items)
    assert len(kept) == len(before.forms[1].items) - 1
    (new,) = [i for i in items_of(bank, after.forms[1]) if i.identifier in
              after.result["replaced"].values()]  # fmt: skip
    assert new.provenance.family == lost.provenance.family
    sums = [sum(i.steps for i in items_of(bank, form)) for form in after.forms]
    assert after.result["effort"] == sums
    assert max(sums) - min(sums) == after.result["gap"] <= before.request["most_difference"]

    (tmp_path / "again").mkdir()
    again = assembling.export_forms(bank, "quiz", SPRING, tmp_path / "again", ("cc13",))
    assert [made.release.name[-1:] for made in again] == ["A", "2", "C"]
    now = packages_of(tmp_path / "again")
    for name in ("A", "C"):
        assert now[f"quiz-2027-spring-{name}-cc13.zip"] == old[f"quiz-2027-spring-{name}-cc13.zip"]


def test_no_near_twin_comes_on_the_form_and_the_gap_holds(bank, pool_of, tmp_path):
    """Counted over every question that is left: the chosen one is the nearest that may come."""
    draw.draw(bank, pool_of("  - {family: least-solution, variants: 12}\n"), SPRING)
    before = assembling.assemble(bank, "quiz", SPRING, 2, 4).assembly
    with bank.reading() as connection:
        held = assembling.stock(connection, "quiz", SPRING)
    (gone,), (other,) = before.forms[0].items, before.forms[1].items
    fitting = [
        p for n, p in held.all.items()
        if n not in (gone, other) and abs(p.effort - held.all[other].effort) <= 4
    ]  # fmt: skip
    nearest = min(abs(p.effort - held.all[gone].effort) for p in fitting)

    withdrawal.withdraw(bank, [held.names[gone]], "key", tmp_path)

    with bank.reading() as connection:
        ((new,), (kept,)) = (f.items for f in forms.latest(connection, "quiz", 1).forms)
    assert kept == other
    assert abs(held.all[new].effort - held.all[gone].effort) == nearest


def test_forms_that_were_released_are_never_drawn_again(bank, quiz, tmp_path):
    first = assembling.assemble(bank, "quiz", SPRING, 2).assembly
    assembling.export_forms(bank, "quiz", SPRING, tmp_path, ("cc13",))

    assert assembling.assemble(bank, "quiz", SPRING, 2).assembly == first
    for asked in ((3,), (2, first.request["most_difference"] + 1)):
        with pytest.raises(DrawError) as error:
            assembling.assemble(bank, "quiz", SPRING, *asked)
        assert str(error.value).startswith(
            "pool quiz: its forms A, B for 2027-spring are released, so they stay as they are"
        )


def test_where_nothing_equal_is_left_the_note_stands_and_is_completed_later(
    bank, pool_of, tmp_path
):
    few, more = (f"  - {{family: linear-one-solution, variants: {n}}}\n" for n in (2, 12))
    draw.draw(bank, pool_of(few), SPRING)
    assembly = assembling.assemble(bank, "quiz", SPRING, 2, 50).assembly
    assembling.export_forms(bank, "quiz", SPRING, tmp_path, ("cc13",))
    (gone,) = (i.identifier for i in items_of(bank, assembly.forms[1]))

    done = withdrawal.withdraw(bank, [gone], "two readings", tmp_path)

    assert done.corrected == ()
    assert done.uncorrected == (
        f"pool quiz: form B for 2027-spring: no question of linear-one-solution that is left over "
        f"is equal to {gone}; draw the pool again, with more variants in its file if need be, "
        f"then run `itembank rescoring {gone}`",
    )
    with pytest.raises(BankError, match="1 items of its forms for 2027-spring were taken out"):
        assembling.export_forms(bank, "quiz", SPRING, tmp_path, ("cc13",))
    draw.draw(bank, pool_of(more), SPRING)
    again = withdrawal.rescoring(bank, [gone], tmp_path)
    assert [made.release.name for made in again.corrected] == ["quiz-2027-spring-B-2"]
    assert (again.notes, again.uncorrected) == (done.notes, ())
    held = packages_of(tmp_path)
    assert withdrawal.rescoring(bank, [gone], tmp_path).uncorrected == ()
    assert packages_of(tmp_path) == held


def test_forms_that_were_not_released_are_told_and_mended(bank, quiz, tmp_path):
    assembly = assembling.assemble(bank, "quiz", SPRING, 2).assembly
    gone = items_of(bank, assembly.forms[0])[0].identifier

    done = withdrawal.withdraw(bank, [gone], "two readings", tmp_path)

    assert done.questions[0].forms == ("quiz, 2027-spring, form A",)
    assert (done.corrected, done.uncorrected) == ((), ())
    again = assembling.assemble(bank, "quiz", SPRING, 2)
    assert not again.new and again.assembly.forms[1] == assembly.forms[1]
