"""Questions in parts through a bank: drawn, rested, replaced and released whole."""

import csv
import io
import zipfile
from fractions import Fraction

import pytest
from lxml import etree

from exporters.release import Target
from itembank.audit import audit_package
from itembank.bank import entries, open_bank, releases
from itembank.terms import assembly, draw, editions, export, results, status
from itembank.terms.decisions import drawn_release
from itembank.terms.withdrawal import withdraw
from itembank.values.errors import BankError, SpecError
from tests.wishes import family_of, pool_of

CASHIERS = """\
id: keys-in-parts
version: 1
title: A number of residues and an inverse
outcomes: [euler-phi]
level: easy
parameters:
  p: {prime: [5, 13]}
  q: {prime: [17, 29]}
  a: {prime: [31, 43]}
story: A clerk counts modulo {p*q}.
parts:
  - {problem: phi, given: {number: p*q}, ask: the value, forms: [integer], points: 1.5}
  - {problem: inverse, given: {number: a, modulus: p*q}, ask: the value, forms: [integer]}
"""
TERMS = ("2027-spring", "2027-autumn")


@pytest.fixture
def pool(tmp_path):
    return pool_of(tmp_path, family_of(tmp_path, CASHIERS), variants=4, more=", choose: 2")


@pytest.fixture
def bank(tmp_path):
    return open_bank(str(tmp_path / "bank.db"), create=True)


def contents_of(bank, pool, term):
    with bank.reading() as connection:
        number = entries.known_term(connection, term)
        found = releases.drawn_contents(connection, pool.id, number, term)
        items = {i: next(iter(entries.stored_items(connection, [i]))) for i in found.items}
    return found, items


def variants(found, items):
    return [
        [(items[i].provenance.seed, items[i].provenance.index) for i in part.items]
        for part in found.parts
    ]


def test_variants_are_drawn_whole_rest_whole_and_are_counted_once(bank, pool):
    used = []
    for term in TERMS:
        drawn = draw.draw(bank, pool, term, new_term=True)
        assert drawn.total == 4
        found, items = contents_of(bank, pool, term)
        assert [(part.family, part.choose) for part in found.parts] == [
            ("keys-in-parts.a", 2),
            ("keys-in-parts.b", 2),
        ]
        a, b = variants(found, items)
        assert a == b
        used += [items[i].statement for i in found.items]
    assert len(set(used)) == len(used) or {s[0][:3] for s in used} == {"phi", "inv"}
    (standing,) = status.status(bank, pool).families
    assert (standing.family, standing.use.used, standing.wanted) == ("keys-in-parts", 8, 4)


def test_what_students_share_is_told_in_questions_and_not_in_their_parts(bank, pool):
    """Each gets 2 of 4 variants: in common on average 2 * 2/4, nothing in 1 case of 6."""
    draw.draw(bank, pool, TERMS[0])
    (met,) = status.status(bank, pool).terms
    assert (met.questions, met.common, met.none_common) == (2, 1, Fraction(1, 6))


def test_what_is_released_is_audited_and_written_again(bank, pool, tmp_path):
    draw.draw(bank, pool, TERMS[0])
    made = export.export(bank, pool.id, TERMS[0], tmp_path, [Target("qti21"), Target("cc13")])
    assert made.release.points == 5
    for written, report in made.packages:
        assert report.count("agreed") == 8
        assert audit_package(tmp_path / written.file).clean
    again = tmp_path / "again"
    again.mkdir()
    export.export_again(bank, made.release.name, again)


def test_a_variant_of_which_a_part_is_withdrawn_is_replaced_whole(bank, pool, tmp_path):
    draw.draw(bank, pool, TERMS[0])
    before, items = contents_of(bank, pool, TERMS[0])
    gone = before.parts[1].items[0]

    withdraw(bank, [items[gone].identifier], "misprint", tmp_path)
    found, items = contents_of(bank, pool, TERMS[0])
    a, b = variants(found, items)
    assert a == b
    assert len(a) == 3
    assert before.parts[0].items[0] not in found.items

    drawn = draw.draw(bank, pool, TERMS[0])
    assert sum(drawn.fresh.values()) == 1
    found, items = contents_of(bank, pool, TERMS[0])
    a, b = variants(found, items)
    assert a == b
    assert len(a) == 4


IN_TWO = CASHIERS.replace(
    "story: A clerk counts modulo {p*q}.",
    "story:\n  en: A clerk counts modulo {p*q}.\n  de: Jemand zählt modulo {p*q}.",
)


def test_a_part_is_known_by_the_one_item_that_holds_it_on_a_platform(bank, pool, tmp_path):
    draw.draw(bank, pool, TERMS[0])
    made = export.export(bank, pool.id, TERMS[0], tmp_path, [Target("qti21")])
    with zipfile.ZipFile(tmp_path / made.packages[0][0].file) as package:
        names = [name for name in package.namelist() if name.startswith("parts-")]
        (root, *_others) = (etree.fromstring(package.read(name)) for name in names)
    whole, own = root.get("identifier"), [e.get("id") for e in root.iter("{*}div") if e.get("id")]
    with bank.reading() as connection:
        numbers = [entries.item_number(connection, name) for name in own]
        assert entries.item_number(connection, f"{whole}.b") == numbers[1]
        for name, told in (
            (whole, f"expected one of them: {whole}.a, {whole}.b"),
            (f"{whole}.c", f"expected one of them: {whole}.a, {whole}.b"),
            ("parts-0123456789abcdef.a", "the bank holds no question of this name"),
        ):
            with pytest.raises(BankError, match=told):
                entries.item_number(connection, name)

    gone = withdraw(bank, [f"{whole}.b"], "misprint", tmp_path)

    (note,) = gone.notes
    assert own[1] in note.name
    assert f"the item is {whole}, and only the score of this part" in note.read_text("utf-8")
    draw.draw(bank, pool, TERMS[0])
    changed = export.export_since(
        bank, pool.id, TERMS[0], made.release.name, tmp_path, [Target("qti22")]
    )
    page = changed.list.read_text("utf-8")
    assert all(f"{name} ({whole})" in page for name in own)


OTHERS = (
    IN_TWO.replace("id: keys-in-parts", "id: cashiers-in-parts")
    .replace("{prime: [5, 13]}", "{prime: [47, 61]}")
    .replace("A clerk counts", "A cashier counts")
)


@pytest.fixture
def helped(tmp_path):
    """The pool, with another family in parts that stands in."""
    families = family_of(tmp_path, IN_TWO), family_of(tmp_path, OTHERS)
    more = f", choose: 2, instead: [{families[1].id}]"
    return pool_of(tmp_path, families[0], variants=4, more=more, languages="languages: [en, de]")


def test_a_family_in_parts_stands_in_for_another_with_whole_variants(bank, helped, tmp_path):
    draw.draw(bank, helped, TERMS[0])
    before, items = contents_of(bank, helped, TERMS[0])
    for gone in before.parts[1].items[2:]:
        withdraw(bank, [items[gone].identifier], "misprint", tmp_path)

    drawn = draw.draw(bank, helped, TERMS[0])

    assert drawn.instead == {"keys-in-parts": {"cashiers-in-parts": 2}}
    assert drawn.total == 4
    found, items = contents_of(bank, helped, TERMS[0])
    families = [[items[i].provenance.family for i in part.items] for part in found.parts]
    assert families == [
        [f"{name}-in-parts.{letter}" for name in ("keys", "keys", "cashiers", "cashiers")]
        for letter in "ab"
    ]
    a, b = variants(found, items)
    assert a == b
    assert len(set(a)) < len(a), "the two families have variants of one number"
    formats = [Target("qti21"), Target("cc13")]
    made = export.export(bank, helped.id, TERMS[0], tmp_path, formats)
    assert all(report.count("agreed") == 8 for _written, report in made.packages)
    german = editions.edition_of(
        drawn_release(bank, helped.id, TERMS[0]), helped, helped.editions()[1]
    )
    for group, part in zip(german.groups, found.parts, strict=True):
        told = [item.identifier for item in group.items]
        assert told == [f"{items[i].identifier}-de" for i in part.items]

    torn = next(i for i in found.parts[0].items if "cashiers" in items[i].provenance.family)
    withdraw(bank, [items[torn].identifier], "misprint", tmp_path)
    found, items = contents_of(bank, helped, TERMS[0])
    assert [len(part.items) for part in found.parts] == [3, 3]
    assert {items[i].provenance.family[-1] for i in found.parts[0].items} == {"a"}


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("points: 1.5", "points: 2", "expected a part (a) that counts 1.5, as in 'keys-in-parts'"),
        (
            "  - {problem: inverse",
            "  - {problem: phi, given: {number: a*p}, ask: the value, forms: [integer]}\n"
            "  - {problem: inverse",
            "expected a family in 2 parts, as 'keys-in-parts' is; 'cashiers-in-parts' has 3",
        ),
    ],
)
def test_what_stands_in_for_parts_counts_and_is_put_alike(tmp_path, old, new, told):
    family = family_of(tmp_path, CASHIERS)
    family_of(tmp_path, OTHERS.replace(old, new))
    with pytest.raises(SpecError) as error:
        pool_of(tmp_path, family, variants=4, more=", instead: [cashiers-in-parts]")
    assert told in str(error.value)


def test_a_question_alone_and_one_in_parts_do_not_stand_in_for_each_other(tmp_path):
    family = family_of(tmp_path, CASHIERS)
    alone = CASHIERS[: CASHIERS.index("parts:")].replace("keys-in-parts", "alone")
    alone = alone.replace("  a: {prime: [31, 43]}\n", "")
    family_of(tmp_path, f"{alone}problem: phi\ngiven: {{number: p*q}}\nask: the value\n")
    with pytest.raises(SpecError, match="neither stands in for the other, 'alone' for 'keys"):
        pool_of(tmp_path, family, variants=4, more=", instead: [alone]")


def test_parallel_forms_hold_variants_whole_and_a_torn_one_is_replaced_whole(bank, tmp_path):
    family = family_of(tmp_path, CASHIERS)
    pool = pool_of(tmp_path, family, variants=6, more=", choose: 2")
    draw.draw(bank, pool, TERMS[0])
    made = assembly.assemble(bank, pool.id, TERMS[0], 2, most=40)

    def whole(forms):
        for form in forms:
            with bank.reading() as connection:
                items = list(entries.stored_items(connection, form.items))
            places = [(i.provenance.index, i.provenance.family[-1]) for i in items]
            assert places == [(n, letter) for n, _ in places[::2] for letter in "ab"]
            assert len(places) == 4

    whole(made.assembly.forms)
    exported = assembly.export_forms(bank, pool.id, TERMS[0], tmp_path, [Target("qti21")])
    assert [one.release.points for one in exported] == [5, 5]
    with bank.reading() as connection:
        second = next(iter(entries.stored_items(connection, made.assembly.forms[0].items[1:2])))
    withdraw(bank, [second.identifier], "misprint", tmp_path)
    whole(assembly.mended(bank, pool.id, TERMS[0]).assembly.forms)


def test_each_part_counts_alone_in_the_results_of_paper(bank, pool, tmp_path):
    draw.draw(bank, pool, TERMS[0])
    made = export.export(
        bank, pool.id, TERMS[0], tmp_path, [Target("html", purpose="quiz", copies=2)]
    )
    with zipfile.ZipFile(tmp_path / made.packages[0][0].file) as z:
        (name,) = [n for n in z.namelist() if n.startswith("grades-")]
        text = z.read(name).decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert [row["question"] for row in rows[:4]] == ["1 (a)", "1 (b)", "2 (a)", "2 (b)"]
    assert [row["of"] for row in rows[:2]] == ["1.5", "1"]
    filled = tmp_path / "filled.csv"
    with filled.open("w", newline="", encoding="utf-8") as out:
        writer = csv.DictWriter(out, rows[0].keys())
        writer.writeheader()
        for row in rows:
            right = row["question"].endswith("(a)")
            writer.writerow({**row, "student": row["copy"], "points": row["of"] if right else "0"})

    found = results.record_results(bank, made.release.name, [filled])

    shares = {item.identifier: item.difficulty for item in found.items}
    for row in rows:
        assert shares[row["item"]] == (1 if row["question"].endswith("(a)") else 0)
