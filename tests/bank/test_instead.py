"""Families that stand in for what is short, returned or withdrawn; terms as a course lists them."""

import re

import pytest
from sqlalchemy import text

from itembank.bank import entries, standing
from itembank.spec import load_pool
from itembank.terms import draw, status, withdrawal
from itembank.terms.decisions import drawn
from itembank.terms.export import export
from itembank.values.course import Term
from itembank.values.errors import DrawError, ShortageError, SpecError

SPRING, AUTUMN = "2027-spring", "2027-autumn"
SMALL = "square-roots-power-of-two"
"""It has 48 variants."""

WITH = f"  - {{family: {SMALL}, variants: 40, form: list, instead: [square-roots-prime-square]}}\n"


@pytest.fixture
def place(tmp_path) -> str:
    return str(tmp_path / "bank.db")


def families_of(bank, pool: str, term: str) -> list[str]:
    with bank.reading() as connection:
        return list(
            connection.scalars(
                text(
                    "SELECT families.name FROM uses JOIN items ON items.id = uses.item "
                    "JOIN families ON families.id = items.family "
                    "JOIN terms ON terms.id = uses.term JOIN draws ON draws.id = uses.draw "
                    f"WHERE draws.pool = '{pool}' AND terms.name = '{term}' ORDER BY uses.id"
                )
            )
        )


def test_a_family_that_runs_short_is_helped_out_by_those_the_pool_names(bank, pool_of):
    pool = pool_of(WITH)
    draw.draw(bank, pool, SPRING)

    found = draw.draw(bank, pool, AUTUMN)

    assert found.instead == {SMALL: {"square-roots-prime-square": 32}}
    assert (found.total, found.lacking) == (40, {SMALL: 0})
    with bank.reading() as connection:
        counts = [
            standing.family_use(connection, f).used for f in (SMALL, "square-roots-prime-square")
        ]
    assert counts == [48, 32], "each family by its own items, whatever group they stand in"
    assert families_of(bank, "quiz", AUTUMN).count("square-roots-prime-square") == 32
    (part,) = drawn(bank, "quiz", AUTUMN).parts
    assert (part.family, len(part.items)) == (SMALL, 40), "one group of the test, as before"


def test_without_them_it_is_short_and_with_too_few_of_them_too(bank, pool_of):
    alone = pool_of(WITH.replace(", instead: [square-roots-prime-square]", ""))
    draw.draw(bank, alone, SPRING)
    with pytest.raises(ShortageError, match="expected 40 variants, it has 8 left"):
        draw.draw(bank, alone, AUTUMN)

    few = pool_of(WITH.replace("square-roots-prime-square", "units-listed"), id="other")
    assert draw.draw(bank, few, AUTUMN, partial=True).lacking[SMALL] > 0
    with pytest.raises(ShortageError, match="and there is not enough in units-listed instead, or"):
        draw.draw(bank, few, "2028-spring")
    assert families_of(bank, "other", "2028-spring") == []


def test_what_was_withdrawn_or_returned_is_replaced_by_a_family_that_stands_in(
    bank, pool_of, tmp_path
):
    pool = pool_of(WITH.replace("variants: 40", "variants: 5"))
    draw.draw(bank, pool, SPRING)
    export(bank, "quiz", SPRING, tmp_path, ("cc13",))
    with bank.reading() as connection:
        names = list(connection.scalars(text("SELECT identifier FROM items ORDER BY id")))
    withdrawal.withdraw(bank, names[:1], "misprint", tmp_path)

    again = draw.draw(bank, pool, SPRING)

    assert again.instead == {SMALL: {"square-roots-prime-square": 1}}
    assert again.total == 5
    (part,) = drawn(bank, "quiz", SPRING).parts
    assert len(part.items) == 5


def test_a_stand_in_is_another_family_of_the_pool_form_and_no_other_entry(pool_of):
    for instead, fault in (
        (SMALL, f"the family '{SMALL}' stands here twice"),
        ("count-square-roots", "expected a family with the form 'list'; 'count-square-roots' has"),
        ("squares-listd", "unknown family 'squares-listd'; did you mean 'squares-listed'?"),
    ):
        with pytest.raises(SpecError, match=re.escape(fault)):
            pool_of(WITH.replace("square-roots-prime-square", instead))
    both = WITH + "  - {family: square-roots-prime-square, variants: 2}\n"
    with pytest.raises(SpecError, match="'square-roots-prime-square' stands in the pool itself"):
        pool_of(both)


# ------------------------------------------------------------ the terms of a course

COURSE = """\
name: NT 210
terms:
  - {name: 2027-spring, begins: 2027-02-01, ends: 2027-06-11}
  - {name: 2027-autumn, begins: 2027-09-06}
  - {name: 2028-spring}
"""


@pytest.fixture
def listed(pool_of, tmp_path, shelf):
    """A pool whose course lists its terms."""
    (tmp_path / "nt.yaml").write_text(COURSE, encoding="utf-8")
    pool = pool_of("  - {family: units-listed, variants: 2}\n", rests="1")
    text = pool.path.read_text(encoding="utf-8").replace("NT 210, Alder Ford College", "nt.yaml")
    pool.path.write_text(text, encoding="utf-8")
    return load_pool(pool.path, shelf)


def test_terms_stand_in_the_order_of_the_course_whichever_is_drawn_first(bank, listed):
    for term in ("2028-spring", SPRING, AUTUMN):
        draw.draw(bank, listed, term)

    with bank.reading() as connection:
        assert entries.drawn_terms(connection) == [SPRING, AUTUMN, "2028-spring"]
    assert status.terms_ahead(bank, listed) == ()
    assert [t.told for t in listed.terms] == [
        "2027-spring (2027-02-01 to 2027-06-11)", "2027-autumn (2027-09-06)", "2028-spring",
    ]  # fmt: skip


def test_the_terms_that_come_next_are_those_of_the_course(bank, listed):
    draw.draw(bank, listed, SPRING)

    assert [t.name for t in status.terms_ahead(bank, listed)] == [AUTUMN, "2028-spring"]


def test_a_term_that_the_course_does_not_list_is_refused_unless_it_is_said_to_be_new(bank, listed):
    with pytest.raises(DrawError) as refused:
        draw.draw(bank, listed, "2027-autmun")
    assert str(refused.value) == (
        "term 2027-autmun: expected one of the terms of the course: 2027-spring, 2027-autumn, "
        "2028-spring; did you mean 2027-autumn? If it is a new term, add it there, or say "
        "--new-term"
    )
    with pytest.raises(DrawError, match="2028-spring; add it there, or say --new-term"):
        draw.draw(bank, listed, "2027-resits")

    assert draw.draw(bank, listed, "2027-resits", new_term=True).total == 2


def test_a_term_that_is_put_before_one_that_the_bank_has_met_is_refused(bank, listed, pool_of):
    draw.draw(bank, listed, "2028-spring", new_term=True)
    before = Term("2027-summer")
    listed._terms = (listed.terms[0], before, *listed.terms[1:])

    with pytest.raises(DrawError, match="the bank has met 2027-autumn before it, and the course"):
        draw.draw(bank, listed, "2027-summer")
