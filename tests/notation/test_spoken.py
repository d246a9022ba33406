"""The spoken form: unambiguous enough to be read back, and pleasant to hear."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from itembank.notation.building import congruence, polynomial
from itembank.notation.prose import display, paragraph, table
from itembank.notation.reading import formula
from itembank.notation.spoken import blocks, math
from itembank.values.errors import StatementError
from tests.catalogues import put
from tests.notation.heard import read
from tests.notation.test_dialects import TABLE
from tests.notation.trees import formulas

polynomials = st.lists(st.integers(-99, 99), min_size=1, max_size=6).map(polynomial)


@given(polynomials, polynomials, st.integers(2, 10**12))
@settings(deadline=None)
def test_a_polynomial_congruence_is_read_back_from_its_words(left, right, m):
    tree = congruence(left, right, m)

    assert read(math(tree)) == tree


@pytest.mark.parametrize(
    "text",
    [
        "(x + 11)^2 ≡ -1 ≡ 12 (mod 13)",
        "(x - 2)(x - 3) ≡ 0 (mod 12)",
        "2(x + 1)^3 - x^40 ≢ 7 · 11^2 (mod 3^40)",
        "f(x) = x^2 + 9x + 5",
        "f'(2)t + f(-2)/3 ≡ 0 (mod 3)",
        "f''(x + 1) = 2",
        "x ≡ 7, 20, 88, 101 (mod 117)",
        "x ≡ ±5 - 11 (mod 13)",
        "3^(2t + 1) + 2^k = 3^-2",
        "10! ≡ -1 (mod 11)",
        "a_1 + a_2 ≡ 3 (mod p)",
        "x != 3",
    ],
)
def test_what_a_worked_solution_says_is_read_back_too(text):
    tree = formula(text)

    assert read(math(tree)) == tree


def test_words_that_are_no_formula_are_refused():
    with pytest.raises(StatementError):
        read("x squared is about 2")


@given(formulas())
@settings(max_examples=50, deadline=None)
def test_no_formula_is_spoken_with_a_sign_in_it_or_as_identical_to(tree):
    text = math(tree)

    assert not set(text) & set("≡=+−-·/^_()[]{}≢≠<>≤≥∣∤∈±∅!′'")
    assert "identical" not in text


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("x^2", "x squared"),
        ("x^3", "x cubed"),
        ("x^5", "x to the power 5"),
        ("x^-1", "x to the power negative 1"),
        ("x^k", "x to the power of k, end power"),
        ("f'(2)", "f prime of 2"),
        ("f'''(2)", "f triple prime of 2"),
        ("f''''(2)", "f with 4 primes of 2"),
        ("f(x)^2", "open bracket f of x close bracket squared"),
        ("f(x^2)", "f of open bracket x squared close bracket"),
        ("-3", "negative 3"),
        ("-x", "minus x"),
        ("{4, 9}", "the set 4 and 9"),
        ("{4}", "the set 4"),
        ("4, 9", "4 and 9"),
        ("x ≡ 0, 2, 5 mod 9", "x is congruent to 0, 2 or 5, modulo 9"),
        ("r = 0, 2", "r equals 0 or 2"),
        ("1^2, 2^2 = 1, 4", "1 squared and 2 squared equals 1 and 4"),
        ("1, 2, ...", "1, 2, and so on"),
        ("..., 8", "and so on and 8"),
        ("gcd(a + b, 15)", "g c d of open bracket a plus b close bracket and 15"),
    ],
)
def test_a_construction_in_words(text, words):
    assert math(formula(text)) == words


def test_blocks_are_one_running_text():
    text = blocks(
        (
            paragraph("Find **all** solutions of"),
            display("x^2 + 9x + 5 = 0 mod 117"),
            paragraph("Modulo $3$ there are two.", "Split."),
            display("x^2 + 9x + 5 == (x + 11)^2 + 1", "== 0", "x = 2"),
        )
    )

    assert text == (
        "Find all solutions of: "
        "x squared plus 9 x plus 5 is congruent to 0, modulo 117. "
        "Split. Modulo 3 there are two. "
        "x squared plus 9 x plus 5 is congruent to open bracket x plus 11 close bracket squared "
        "plus 1, which is congruent to 0; x equals 2."
    )


def test_a_table_is_told_row_by_row_with_the_heads():
    text = blocks((table(["", "$f(r)$", "root"], [["$a = 1$", "$15$", "no"]]),))

    assert text == "Table of 1 row. Row 1: a equals 1; f of r: 15; root: no."


ESPERANTO = {
    "negative {n}": "negativa {n}",
    "{base} squared": "la kvadrato de {base}",
    "{a} plus {b}": "{a} plus {b}",
    "g c d of {list}": "la plej granda komuna divizoro de {list}",
    "{f} prime": "la derivaĵo de {f}",
    "{f} of {list}": "{f} ĉe {list}",
    "{left} is congruent to {right}": "{right} kongruas al {left}",
    "{left}, which is congruent to {right}": "{left}, kio kongruas al {right}",
    "is congruent to {right}": "kongruas al {right}",
    "{a}, modulo {m}": "modulo {m} estas tiel: {a}",
    "{items}, and so on up to {last}": "{items} kaj tiel plu ĝis {last}",
    "Table of {n} row.": ("Tabelo de {n} vico.", "Tabelo de {n} vicoj."),
    "Row {i}: {cells}.": "{i}-a vico: {cells}.",
    "{head}: {cell}": "{head} estas {cell}",
}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("x^2 ≡ -1 (mod 5)", "modulo 5 estas tiel: negativa 1 kongruas al la kvadrato de x"),
        ("a ≡ b ≡ c", "b kongruas al a, kio kongruas al c"),
        ("x ≡ 2, 3, 7", "2, 3 aŭ 7 kongruas al x"),
        ("gcd(6, 21)", "la plej granda komuna divizoro de 6 kaj 21"),
        ("f'(2)", "la derivaĵo de f ĉe 2"),
        ("1, 2, ..., 8", "1, 2 kaj tiel plu ĝis 8"),
    ],
)
def test_a_language_puts_the_parts_of_a_phrase_in_its_own_order(text, words, room):
    put("eo", ESPERANTO)

    assert math(formula(text), "eo") == words


def test_rows_and_tables_are_told_in_the_language(room):
    put("eo", ESPERANTO)
    rows = display("x^2 == 4", "== 9 mod 5")
    head, body = ["$r$", "$r^2$"], [["$1$", "$1$"], ["$2$", "$4$"]]

    assert blocks((rows,), "eo") == (
        "modulo 5 estas tiel: 4 kongruas al la kvadrato de x, kio kongruas al 9."
    )
    assert blocks((table(head, body),), "eo") == (
        "Tabelo de 2 vicoj. 1-a vico: r estas 1; la kvadrato de r estas 1. "
        "2-a vico: r estas 2; la kvadrato de r estas 4."
    )


@pytest.mark.parametrize("text", TABLE)
def test_every_spoken_form_ends_without_a_loose_space(text):
    assert math(formula(text)) == " ".join(math(formula(text)).split())
