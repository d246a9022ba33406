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


def test_a_withdrawal_names_the_form_that_holds_the_item(bank, quiz, tmp_path):
    assembly = assembling.assemble(bank, "quiz", SPRING, 2).assembly
    assembling.export_forms(bank, "quiz", SPRING, tmp_path, ("cc13",))
    gone = items_of(bank, assembly.forms[1])[0].identifier

    done = withdrawal.withdraw(bank, [gone], "two readings", tmp_path)

    (question,) = done.questions
    assert question.forms == ("quiz, 2027-spring, form B",)
    assert [a.release for a in question.affected] == ["quiz-2027-spring-B"]
    assert done.uncorrected == (
        "quiz, 2027-spring, form B: assemble the forms again with `itembank draw --forms`, and "
        "export them",
    )
    with pytest.raises(BankError, match="1 items of its forms for 2027-spring were withdrawn"):
        assembling.export_forms(bank, "quiz", SPRING, tmp_path, ("cc13",))
    draw.draw(bank, quiz, SPRING)
    again = assembling.assemble(bank, "quiz", SPRING, 2)
    assert again.new
    assert gone not in {i.identifier for f in again.assembly.forms for i in items_of(bank, f)}
