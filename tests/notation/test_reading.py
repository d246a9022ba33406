"""The reader of plain notation: what it takes, what it makes of it, what it says of the rest."""

import pytest
from hypothesis import given, settings

from itembank.notation import plain
from itembank.notation.prose import display, paragraph, prose, table
from itembank.notation.reading import DEEPEST, DIGITS, LONGEST, formula
from itembank.notation.tree import (
    Call,
    Display,
    Factorial,
    Formula,
    Group,
    Letter,
    Listing,
    Minus,
    Modulo,
    Number,
    Paragraph,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Relation,
    SetOf,
    Strong,
    Subscript,
    Sum,
    Symbol,
    Words,
)
from itembank.values.errors import StatementError
from tests.notation.trees import formulas

x = Letter("x")


def n(value):
    return Number(value)


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("12", n(12)),
        ("-12", n(-12)),
        ("-x", Minus(x)),
        ("+x", x),
        ("f'", Letter("f", 1)),
        ("2x", Product((n(2), x))),
        ("ab", Product((Letter("a"), Letter("b")))),
        ("x^12", Power(x, n(12))),
        ("x^-1", Power(x, n(-1))),
        ("2^3^4", Power(n(2), Power(n(3), n(4)))),
        ("3^(2t)", Power(n(3), Product((n(2), Letter("t"))))),
        ("-x^2", Minus(Power(x, n(2)))),
        ("(-3)^2", Power(Group(n(-3)), n(2))),
        ("x - 3", Sum(((1, x), (-1, n(3))))),
        ("-3 + x", Sum(((-1, n(3)), (1, x)))),
        ("9 · 7", Product((n(9), n(7)), dot=True)),
        ("2x · 3", Product((Product((n(2), x)), n(3)), dot=True)),
        ("f(r)/3", Quotient(Call(Letter("f"), (Letter("r"),)), n(3))),
        ("(x + 1)/2", Quotient(Sum(((1, x), (1, n(1)))), n(2))),
        ("f(x)", Call(Letter("f"), (x,))),
        ("a(x)", Product((Letter("a"), Group(x)))),
        ("a'(x)", Call(Letter("a", 1), (x,))),
        ("gcd(6, 15)", Call(Letter("gcd"), (n(6), n(15)))),
        ("phi(36)", Call(Letter("φ"), (n(36),))),
        ("symbol(3, 7)", Symbol(n(3), n(7))),
        ("a_1", Subscript(Letter("a"), n(1))),
        ("10!", Factorial(n(10))),
        ("{7, 20}", SetOf((n(7), n(20)))),
        ("±5", PlusMinus(n(5))),
        ("±5 - 11", Sum(((1, PlusMinus(n(5))), (-1, n(11))))),
        ("3 ∣ 6", Relation((n(3), n(6)), ("∣",))),
        ("63 ≡ 11", Relation((n(63), n(11)), ("≡",))),
        ("a, b", Listing((Letter("a"), Letter("b")))),
        ("= 0", Relation((Words(()), n(0)), ("=",))),
        ("x = 2 mod 7", Modulo(Relation((x, n(2)), ("≡",)), n(7))),
    ],
)
def test_a_text_is_the_tree_it_shows(text, tree):
    assert formula(text) == tree


@pytest.mark.parametrize(
    ("text", "same_as"),
    [
        # spellings
        ("x**2", "x^2"),
        ("x²", "x^2"),
        ("x⁻¹²", "x^-12"),
        ("x₁₂", "x_12"),
        ("a − b", "a - b"),
        ("9 × 7", "9 · 7"),
        ("9 ⋅ 7", "9 · 7"),
        ("f′(x)", "f'(x)"),
        ("{}", "∅"),
        ("1, ..., 8", "1, …, 8"),
        ("a +/- b", "a ± b"),
        ("φ(36)", "phi(36)"),
        ("φx", "phi x"),
        ("λ(561)", "lambda(561)"),
        ("f\u2061(x) + 2\u2062x", "f(x) + 2x"),  # as copied from MathML
        ("x <= 3", "x ≤ 3"),
        ("x >= 3", "x ≥ 3"),
        ("x != 3", "x ≠ 3"),
        ("x == 3", "x ≡ 3"),
        ("x !== 3", "x ≢ 3"),
        ("3 | 6", "3 ∣ 6"),
        ("4 !| 6", "4 ∤ 6"),
        ("x in {3}", "x ∈ {3}"),
        ("x=2mod 7", "x = 2 mod 7"),
        ("x = 2 (mod 7)", "x = 2 mod 7"),
        ("x = 2 modulo 7", "x = 2 mod 7"),
        ("x = 2, mod 7", "x = 2 mod 7"),
        ("x = 2 (modulo 7)", "x = 2 mod 7"),
        ("x = 2 mod (7)", "x = 2 mod (7)"),
        # a modulus makes a congruence of an equation
        ("x = 2 mod 7", "x ≡ 2 (mod 7)"),
        ("x != 2 mod 7", "x ≢ 2 (mod 7)"),
        ("x = 1 or x = 2 mod 7", "x ≡ 1 or x ≡ 2 (mod 7)"),
        ("x = 1 mod 3, x = 2 mod 5", "x ≡ 1 (mod 3), x ≡ 2 (mod 5)"),
        # signs fold, ones fall away, the rest is kept
        ("a + -3", "a - 3"),
        ("a - -3", "a + 3"),
        ("a + -b", "a - b"),
        ("--x", "x"),
        ("a - ±3", "a ± 3"),
        ("1x", "x"),
        ("-1x", "-x"),
        ("1(x + 1)", "(x + 1)"),
        ("3 · -7", "3 · (-7)"),
        # a star leaves no trace but where it must
        ("2*x", "2x"),
        ("b*x*y", "bxy"),
        ("2*(x + 1)", "2(x + 1)"),
        ("7*11^2", "7 · 11^2"),
        ("2*3x", "2 · 3x"),
        ("f*(x + 1)", "f · (x + 1)"),
        ("x^f*(x + 1)^2", "x^f · (x + 1)^2"),
        ("a/2*b", "a/2 · b"),
        ("x*.y", "x · y"),
    ],
)
def test_two_spellings_are_one_formula(text, same_as):
    assert formula(text) == formula(same_as)


@pytest.mark.parametrize(
    ("text", "different_from"),
    [
        ("0x", "0"),
        ("x^1", "x"),
        ("x + 0", "x"),
        ("1 · x", "x"),
        ("x · y", "xy"),
        ("a + (-3)", "a - 3"),
        ("ab", "ba"),
        ("f(x)", "f · (x)"),
        ("63 = 11", "63 ≡ 11"),
        ("9 · 7 = 63 ≡ 11 (mod 13)", "9 · 7 ≡ 63 ≡ 11 (mod 13)"),
    ],
)
def test_the_reader_keeps_what_it_is_told(text, different_from):
    assert formula(text) != formula(different_from)


def test_a_list_is_a_side_of_the_one_relation_and_else_a_list_of_relations():
    solutions = formula("x = 7, 20 mod 117").inside
    checks = formula("f(7) = 117, f(20) = 585 = 5 · 117")

    assert solutions.sides == (x, Listing((n(7), n(20))))
    assert [len(relation.sides) for relation in checks.items] == [2, 3]


def test_a_modulus_after_words_holds_for_both_clauses_unless_the_first_has_its_own():
    shared = formula('x = 1, "that is" x = 8 mod 7')
    apart = formula("x = 1 mod 3 or x = 2 mod 5")

    assert isinstance(shared, Modulo)
    assert shared.inside.parts[1] == ", that is"
    assert [type(part) for part in apart.parts] == [Modulo, str, Modulo]


@given(formulas())
@settings(max_examples=100, deadline=None)
def test_the_typed_form_of_a_formula_is_read_back_as_the_same_tree(tree):
    typed = plain.typed(tree)

    assert typed.isascii()
    assert formula(typed) == tree


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", '"", column 1: expected a formula, found the end'),
        (
            "x^2 + * 3",
            '"x^2 + * 3", column 7: expected a number, a letter or "(", found "*"',
        ),
        ("x = ", '"x =", column 4: expected a number, a letter or "(", found the end'),
        ("(x", '"(x", column 3: expected an operator, "," or ")", found the end'),
        (
            "x + 1)",
            '"x + 1)", column 6: expected an operator, a relation sign or the end, found ")"',
        ),
        ("{7, }", '"{7, }", column 5: expected a number, a letter or "(", found "}"'),
        ("2 3", '"2 3", column 3: expected an operator, found "3"'),
        ("x5", '"x5", column 2: expected an operator, found "5"'),
        ("3.5", '"3.5", column 2: expected an operator, a relation sign or the end, found "."'),
        (
            "x = 3 $",
            '"x = 3 $", column 7: expected an operator, a relation sign or the end, found "$"',
        ),
        ("x = 3 mod", '"x = 3 mod", column 10: expected a number, a letter or "(", found the end'),
        (
            "x = 3 mod 5 = 7",
            '"x = 3 mod 5 = 7", column 13: '
            'expected an operator, a relation sign or the end, found "="',
        ),
        ("x = 1 (mod 3", '"x = 1 (mod 3", column 13: expected an operator or ")", found the end'),
        (
            "1/2x",
            '"1/2x", column 4: expected brackets round the whole denominator, or "*", found "x"',
        ),
        (
            "a/b/c",
            '"a/b/c", column 4: expected brackets that say which quotient comes first, found "/"',
        ),
        ("gcd", '"gcd", column 4: expected "(" after gcd, found the end'),
        ("symbol 3", '"symbol 3", column 8: expected "(" after symbol, found "3"'),
        (
            "symbol(3)",
            '"symbol(3)", column 7: expected two numbers in brackets, symbol(a, p), found "("',
        ),
        ("f()", '"f()", column 3: expected a number, a letter or "(", found ")"'),
        (
            "a_",
            '"a_", column 3: '
            "expected a number, a letter or an expression in brackets as the index, found the end",
        ),
        (
            'x = 1 "" y',
            '"x = 1 "" y", column 7: expected words between the quotation marks, found """"',
        ),
        (
            "3xmod 5",
            '"3xmod 5", column 2: expected a space on either side of mod, found "xmod"',
        ),
        (
            "solve x = 1 mod 5",
            '"solve x = 1 mod 5", column 1: '
            "expected single letters, or a space between letters that are multiplied, "
            'found "solve"',
        ),
        (
            "0 = " + "x + " * 20 + "* 1 = 0 mod 97 or x = 2 mod 77",
            '"...x + x + x + x + x + x + x + * 1 = 0 mod 97 or x = 2 mod 77", column 85: '
            'expected a number, a letter or "(", found "*"',
        ),
        (
            "9" * (DIGITS + 1),
            f'"{"9" * 60}...", column 1: '
            f"expected an integer of at most {DIGITS} digits (write a larger one as a product), "
            f'found "{"9" * 27}..."',
        ),
        (
            "x" * (LONGEST + 1),
            f'"{"x" * 27}...": expected at most {LONGEST} characters, got {LONGEST + 1}',
        ),
        (
            "(" * (DEEPEST + 1) + "x" + ")" * (DEEPEST + 1),
            f'"...{"(" * 30}x{")" * 29}...", column {DEEPEST + 1}: '
            f'expected brackets and exponents at most {DEEPEST} deep, found "("',
        ),
    ],
)
def test_a_text_that_is_no_formula_is_refused_in_one_line(text, message):
    with pytest.raises(StatementError) as refusal:
        formula(text)

    assert str(refusal.value) == message


@pytest.mark.parametrize(
    "text",
    ["(" * 1999, "x^" * 999, "{" * 1999, "-" * 1999, "f(" * 999, "x" + "!" * 1999, "1/" * 999],
)
def test_no_text_however_deep_is_more_than_a_refusal(text):
    with pytest.raises(StatementError):
        formula(text)


@pytest.mark.parametrize(
    "text", ["x =\n* 2", 'f("a\nb")', "x \x1b[31m", "\n" * 2001, "\ud800", "$a\n$b$\n" * 9]
)
def test_no_text_breaks_the_line_of_its_refusal(text):
    for read in (formula, lambda text: prose(f"${text}$")):
        with pytest.raises(StatementError) as refusal:
            read(text)
        assert str(refusal.value).isprintable()


def test_what_is_within_the_bounds_is_read():
    deep = "(" * DEEPEST + "x" + ")" * DEEPEST
    wide = "+".join(["x"] * (LONGEST // 2))

    assert plain.typed(formula(deep)) == deep
    assert len(formula(wide).terms) == LONGEST // 2
    assert formula("9" * DIGITS) == n(10**DIGITS - 1)


# ------------------------------------------------------------ prose


@pytest.mark.parametrize("blank", ["  ", "\n", "\t", "\r\n", " \n  "])
def test_a_run_of_blanks_is_one_space_and_a_hard_space_stays(blank):
    assert prose(f"a{blank}b\N{NO-BREAK SPACE}c") == ("a b\N{NO-BREAK SPACE}c",)


def test_prose_holds_formulas_between_dollars_and_strong_words_between_stars():
    assert prose("Find **all** solutions of\n    $x^2 = 2$.") == (
        "Find ",
        Strong("all"),
        " solutions of ",
        Formula(formula("x^2 = 2")),
        ".",
    )


def test_prose_with_a_dollar_too_many_is_refused():
    with pytest.raises(StatementError) as refusal:
        prose("the root $x of $f$")

    assert str(refusal.value) == '"the root $x of $f$": expected "$" in pairs, found 3'


def test_prose_of_our_own_may_hold_a_list_longer_than_what_is_typed():
    residues = ", ".join(str(10**500 + i) for i in range(100))
    (found,) = prose(f"${residues}$")

    assert len(found.math.items) == 100


def test_paragraphs_displays_and_tables_are_written_in_plain_notation():
    assert paragraph(" So $x$. ", "Split.") == Paragraph(("So ", Formula(x), "."), "Split.")
    assert display("x = 2", "y = 3") == Display((formula("x = 2"), formula("y = 3")))
    made = table(["$r$", "root"], [["$1$", "no"]], row_heads=True)
    assert made.head == ((Formula(Letter("r")),), ("root",))
    assert made.rows == (((Formula(n(1)),), ("no",)),)
    assert made.row_heads


def test_a_ragged_table_is_a_bug_of_the_caller():
    with pytest.raises(ValueError, match="a row of 1 cells under a head of 2"):
        table(["a", "b"], [["1"]])
