"""Releases of before, written again; and the load card of each, which later exports complete."""

import json
import re

import pytest
from click.testing import CliRunner
from lxml import html
from sqlalchemy import text

from itembank.cli import main
from itembank.terms import assembly, draw, export, withdrawal
from itembank.values.errors import BankError

SPRING, AUTUMN = "2027-spring", "2027-autumn"
ENTRIES = (
    "  - {family: linear-one-solution, variants: 4}\n"
    "  - {family: zero-product-composite, variants: 4, form: select one}\n"
)


def files_in(folder) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def told(card) -> str:
    return " ".join(html.parse(str(card)).getroot().text_content().split())


def first(bank) -> str:
    with bank.reading() as connection:
        return connection.scalar(text("SELECT identifier FROM items WHERE id = 1"))


def test_every_release_can_be_written_again_byte_for_byte(bank, pool_of, tmp_path):
    """After a withdrawal, another term, and with all that was chosen for each package."""
    out, again = tmp_path / "out", tmp_path / "again"
    out.mkdir()
    again.mkdir()
    draw.draw(bank, pool_of(ENTRIES), SPRING)
    export.export(bank, "quiz", SPRING, out, ("qti21", "cc13"))
    gone = first(bank)
    withdrawal.withdraw(bank, [gone], "two readings", out)
    draw.draw(bank, pool_of(ENTRIES, wording="{letter: z}"), AUTUMN)
    export.export(bank, "quiz", AUTUMN, out, ("cc13",))

    for name in ("quiz-2027-spring", "quiz-2027-spring-2", "quiz-2027-autumn"):
        export.export_again(bank, name, again)

    made = files_in(again)
    assert len(made) == 5 + 3
    for name, data in made.items():
        if name.endswith(".zip"):
            assert data == (out / name).read_bytes()
    card = told(again / "quiz-2027-spring-load-card.html")
    assert f"1 question of this release has been withdrawn since: {gone}." in card
    assert "The release quiz-2027-spring-2 has taken its place." in card
    corrected = told(again / "quiz-2027-spring-2-load-card.html")
    assert "Replaces quiz-2027-spring: where that is loaded" in corrected
    assert "withdrawn since" not in corrected
    assert "Replaces" not in told(again / "quiz-2027-autumn-load-card.html")
    with bank.reading() as connection:
        assert connection.scalar(text("SELECT count(*) FROM packages")) == 5


def test_what_would_not_be_the_same_bytes_is_refused_and_nothing_is_written(
    place, bank, pool_of, tmp_path
):
    draw.draw(bank, pool_of(ENTRIES), SPRING)
    export.export(bank, "quiz", SPRING, tmp_path, ("cc13",))
    with bank.writing() as connection:
        if place.startswith("postgresql"):
            connection.execute(text("ALTER TABLE packages DISABLE TRIGGER ALL"))
        else:
            connection.execute(text("DROP TRIGGER packages_no_update"))
        connection.execute(text("UPDATE packages SET sha256 = 'of an older version'"))
    out = tmp_path / "out"
    out.mkdir()

    with pytest.raises(BankError) as error:
        export.export_again(bank, "quiz-2027-spring", out)

    assert "quiz-2027-spring-cc13.zip would not be the bytes on record: itembank" in str(
        error.value
    )
    assert not list(out.iterdir())
    assert export.export_again(bank, "quiz-2027-spring", out, ("cc13",)).packages


def test_a_later_export_completes_the_card(bank, pool_of, tmp_path):
    """Whatever the order: the card is that of both formats exported at once."""
    draw.draw(bank, pool_of(ENTRIES), SPRING)
    cards = []
    for n, lots in enumerate(((("cc13", "qti21"),), (("qti21",), ("cc13",)), (("cc13",),))):
        out = tmp_path / str(n)
        out.mkdir()
        for formats in lots:
            export.export(bank, "quiz", SPRING, out, formats)
        cards.append((out / "quiz-2027-spring-load-card.html").read_bytes())

    assert cards[0] == cards[1] == cards[2]
    rows = html.document_fromstring(cards[0]).findall(".//table")[0].iter("tr")
    packages = [row[0].text_content() for row in rows][1:]
    assert [name.partition(" ")[0] for name in packages] == [
        "quiz-2027-spring-cc13.zip",
        "quiz-2027-spring-qti21.zip",
    ]


def test_the_card_of_a_form_says_who_gets_it_and_what_it_replaces(bank, pool_of, tmp_path):
    draw.draw(bank, pool_of("  - {family: linear-one-solution, variants: 9}\n"), SPRING)
    made = assembly.assemble(bank, "quiz", SPRING, 3, 50).assembly
    assembly.export_forms(bank, "quiz", SPRING, tmp_path, ("cc13",))

    card = told(tmp_path / "quiz-2027-spring-B-load-card.html")
    assert "Form B of 3. Each student sits one form alone." in card
    assert "this form is for the numbers 2, 5, 8 and so on, each 3 after the last" in card
    assert "Each student gets" in card and "Draw at random" not in card
    with bank.reading() as connection:
        gone = connection.scalar(
            text("SELECT identifier FROM items WHERE id = :i"), {"i": made.forms[1].items[0]}
        )
    withdrawal.withdraw(bank, [gone], "two readings", tmp_path)
    assert "Replaces quiz-2027-spring-B:" in told(tmp_path / "quiz-2027-spring-B-2-load-card.html")
    again = export.export_again(bank, "quiz-2027-spring-B", tmp_path)
    assert "The release quiz-2027-spring-B-2 has taken its place." in told(again.card)


def run(*arguments: object):
    return CliRunner().invoke(main, list(map(str, arguments)))


def test_a_release_is_written_again_by_its_name(pool_of, tmp_path):
    quiz, bank, out = pool_of(ENTRIES).path, tmp_path / "b.db", tmp_path / "out"
    run("make", quiz, "--term", SPRING, "--bank", bank, "--out", out, "--to", "cc13")
    there = ("--bank", bank, "--out", tmp_path / "again")

    done = run("export", "--release", "quiz-2027-spring", *there, "--json")

    assert done.exit_code == 0, done.output
    assert [p["format"] for p in json.loads(done.stdout)["packages"]] == ["cc13"]
    assert files_in(tmp_path / "again") == files_in(out)
    for wrong, code, said in [
        (("--release", "quiz-2027"), 1, "the bank has none of this name"),
        (("--release", "quiz-2027-spring", "quiz"), 2, "--release stands alone"),
        (("--release", "quiz-2027-spring", "--math", "tex"), 2, "name it with --to"),
        (("quiz",), 2, "expected a POOL and --term, or --release"),
    ]:
        result = run("export", *wrong, *there)
        assert (result.exit_code, len(result.stderr.splitlines())) == (code, 1)
        assert re.search(said, result.stderr)
