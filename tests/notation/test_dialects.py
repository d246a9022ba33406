"""One formula, its rendering in each dialect; and that all of them mean the same."""

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from lxml import etree

from itembank.notation import html, mathml, plain, spoken, tex
from itembank.notation.elements import HTML, Maker
from itembank.notation.reading import formula
from itembank.notation.tree import (
    Letter,
    Math,
    Minus,
    Number,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Sum,
)
from tests.notation.parsed import parsed, source
from tests.notation.trees import arithmetic, value


def html_text(node: Math) -> str:
    """The formula as HTML source, with ~ for a hard space."""
    return source(*html.nodes(node, Maker(HTML)))


DIALECTS = {
    "typed": plain.typed,
    "plain": plain.math,
    "html": html_text,
    "tex": tex.math,
    "spoken": spoken.math,
}

TABLE = {
    "x² + 9x + 5 ≡ 0 (mod 117)": {
        "typed": "x^2 + 9x + 5 = 0 mod 117",
        "plain": "x² + 9x + 5 ≡ 0 (mod 117)",
        "html": "<i>x</i><sup>2</sup>~+~9<i>x</i>~+~5~≡~0 (mod~117)",
        "tex": r"x^2 + 9x + 5 \equiv 0 \pmod{117}",
        "spoken": "x squared plus 9 x plus 5 is congruent to 0, modulo 117",
    },
    "3x^3 - x = 5 mod 49": {
        "typed": "3x^3 - x = 5 mod 49",
        "plain": "3x³ − x ≡ 5 (mod 49)",
        "html": "3<i>x</i><sup>3</sup>~−~<i>x</i>~≡~5 (mod~49)",
        "tex": r"3x^3 - x \equiv 5 \pmod{49}",
        "spoken": "3 x cubed minus x is congruent to 5, modulo 49",
    },
    "(x + 11)^2 ≡ -1 ≡ 12 (mod 13)": {
        "typed": "(x + 11)^2 = -1 = 12 mod 13",
        "plain": "(x + 11)² ≡ −1 ≡ 12 (mod 13)",
        "html": "(<i>x</i>~+~11)<sup>2</sup>~≡~−1 ≡~12 (mod~13)",
        "tex": r"(x + 11)^2 \equiv -1 \equiv 12 \pmod{13}",
        "spoken": "open bracket x plus 11 close bracket squared is congruent to negative 1, "
        "which is congruent to 12, modulo 13",
    },
    "9 · 7 = 63 ≡ 11": {
        "typed": "9 * 7 = 63 == 11",
        "plain": "9 · 7 = 63 ≡ 11",
        "html": "9~·~7~=~63 ≡~11",
        "tex": r"9 \cdot 7 = 63 \equiv 11",
        "spoken": "9 times 7 equals 63, which is congruent to 11",
    },
    "f(r)/3 + f'(r)t ≢ 0 (mod 3)": {
        "typed": "f(r)/3 + f'(r)t != 0 mod 3",
        "plain": "f(r)/3 + f′(r)t ≢ 0 (mod 3)",
        "html": "<i>f</i>(<i>r</i>)/3~+~<i>f</i>′(<i>r</i>)<i>t</i> ≢~0 (mod~3)",
        "tex": r"f(r)/3 + f'(r)t \not\equiv 0 \pmod{3}",
        "spoken": "f of r over 3 plus f prime of r t is not congruent to 0, modulo 3",
    },
    "x ≡ 7, 20, 88, 101 (mod 117)": {
        "typed": "x = 7, 20, 88, 101 mod 117",
        "plain": "x ≡ 7, 20, 88, 101 (mod 117)",
        "html": "<i>x</i>~≡~7, 20, 88, 101 (mod~117)",
        "tex": r"x \equiv 7,\; 20,\; 88,\; 101 \pmod{117}",
        "spoken": "x is congruent to 7, 20, 88 or 101, modulo 117",
    },
    "x ≡ ±5 - 11 or x ≡ 11 ± 5 (mod 13)": {
        "typed": "x = +/-5 - 11 or x = 11 +/- 5 mod 13",
        "plain": "x ≡ ±5 − 11 or x ≡ 11 ± 5 (mod 13)",
        "html": "<i>x</i>~≡~±5~−~11 or <i>x</i>~≡~11~±~5 (mod~13)",
        "tex": r"x \equiv \pm 5 - 11\text{ or }x \equiv 11 \pm 5 \pmod{13}",
        "spoken": "x is congruent to plus or minus 5 minus 11 or "
        "x is congruent to 11 plus or minus 5, modulo 13",
    },
    'y ≡ 3, "that is" x ≡ 1 (mod 7) "."': {
        "typed": 'y = 3 ", that is" x = 1 mod 7 "."',
        "plain": "y ≡ 3, that is x ≡ 1 (mod 7).",
        "html": "<i>y</i>~≡~3, that is <i>x</i>~≡~1 (mod~7).",
        "tex": r"y \equiv 3\text{, that is }x \equiv 1 \pmod{7}\text{.}",
        "spoken": "y is congruent to 3, that is x is congruent to 1, modulo 7.",
    },
    "x ∈ {7, 20}": {
        "typed": "x in {7, 20}",
        "plain": "x ∈ {7, 20}",
        "html": "<i>x</i>~∈~{7, 20}",
        "tex": r"x \in \{7,\; 20\}",
        "spoken": "x is in the set 7 and 20",
    },
    "∅": {
        "typed": "{}",
        "plain": "∅",
        "html": "∅",
        "tex": r"\emptyset",
        "spoken": "no solutions",
    },
    "1, 2, ..., 8": {
        "typed": "1, 2, ..., 8",
        "plain": "1, 2, …, 8",
        "html": "1, 2, …, 8",
        "tex": r"1,\; 2,\; \dots,\; 8",
        "spoken": "1, 2, and so on up to 8",
    },
    "3 ∣ 6 ∤ 4": {
        "typed": "3 | 6 !| 4",
        "plain": "3 ∣ 6 ∤ 4",
        "html": "3~∣~6 ∤~4",
        "tex": r"3 \mid 6 \nmid 4",
        "spoken": "3 divides 6, which does not divide 4",
    },
    "a < b ≤ c ≠ d": {
        "typed": "a < b <= c != d",
        "plain": "a < b ≤ c ≠ d",
        "html": "<i>a</i>~&lt;~<i>b</i> ≤~<i>c</i> ≠~<i>d</i>",
        "tex": r"a < b \le c \ne d",
        "spoken": "a is less than b, which is at most c, which is not equal to d",
    },
    "a > b ≥ c": {
        "typed": "a > b >= c",
        "plain": "a > b ≥ c",
        "html": "<i>a</i>~&gt;~<i>b</i> ≥~<i>c</i>",
        "tex": r"a > b \ge c",
        "spoken": "a is greater than b, which is at least c",
    },
    "2 gcd(6, 15) lcm(4, 6)": {
        "typed": "2 gcd(6, 15) lcm(4, 6)",
        "plain": "2 gcd(6, 15) lcm(4, 6)",
        "html": "2~gcd(6, 15)~lcm(4, 6)",
        "tex": r"2\gcd(6, 15)\operatorname{lcm}(4, 6)",
        "spoken": "2 g c d of 6 and 15 l c m of 4 and 6",
    },
    "phi(36)": {
        "typed": "phi(36)",
        "plain": "φ(36)",
        "html": "<i>φ</i>(36)",
        "tex": r"\varphi(36)",
        "spoken": "Euler phi of 36",
    },
    "lambda(561)": {
        "typed": "lambda(561)",
        "plain": "λ(561)",
        "html": "<i>λ</i>(561)",
        "tex": r"\lambda(561)",
        "spoken": "Carmichael lambda of 561",
    },
    "φx": {
        "typed": "phi x",
        "plain": "φx",
        "html": "<i>φx</i>",
        "tex": r"\varphi x",
        "spoken": "phi x",
    },
    "ind(7) + ord(4)": {
        "typed": "ind(7) + ord(4)",
        "plain": "ind(7) + ord(4)",
        "html": "ind(7)~+~ord(4)",
        "tex": r"\operatorname{ind}(7) + \operatorname{ord}(4)",
        "spoken": "index of 7 plus order of 4",
    },
    "symbol(3, 7) = -1": {
        "typed": "symbol(3, 7) = -1",
        "plain": "(3/7) = −1",
        "html": "(3/7)~=~−1",
        "tex": r"\left(\frac{3}{7}\right) = -1",
        "spoken": "the symbol 3 over 7 equals negative 1",
    },
    "symbol(-2, 15)": {
        "typed": "symbol(-2, 15)",
        "plain": "(−2/15)",
        "html": "(−2/15)",
        "tex": r"\left(\frac{-2}{15}\right)",
        "spoken": "the symbol negative 2 over 15",
    },
    "a_1x_(n + 1)^2": {
        "typed": "a_1x_(n + 1)^2",
        "plain": "a₁x_(n + 1)²",
        "html": "<i>a</i><sub>1</sub><i>x</i><sub><i>n</i>~+~1</sub><sup>2</sup>",
        "tex": "a_1x_{n + 1}^2",
        "spoken": "a sub 1 x sub open bracket n plus 1 close bracket squared",
    },
    "10!/2^k": {
        "typed": "10!/2^k",
        "plain": "10!/2^k",
        "html": "10!/2<sup><i>k</i></sup>",
        "tex": "10!/2^k",
        "spoken": "10 factorial over 2 to the power of k, end power",
    },
    "3^(2t + 1) + a^-1 - x^40": {
        "typed": "3^(2t + 1) + a^-1 - x^40",
        "plain": "3^(2t + 1) + a⁻¹ − x⁴⁰",
        "html": "3<sup>2<i>t</i>~+~1</sup>~+~<i>a</i><sup>−1</sup>~−~<i>x</i><sup>40</sup>",
        "tex": "3^{2t + 1} + a^{-1} - x^{40}",
        "spoken": "3 to the power of 2 t plus 1, end power plus a to the power negative 1 "
        "minus x to the power 40",
    },
    "-x^2 + ab": {
        "typed": "-x^2 + ab",
        "plain": "−x² + ab",
        "html": "−<i>x</i><sup>2</sup>~+~<i>ab</i>",
        "tex": "-x^2 + ab",
        "spoken": "minus x squared plus a b",
    },
    "f''(-2)": {
        "typed": "f''(-2)",
        "plain": "f′′(−2)",
        "html": "<i>f</i>′′(−2)",
        "tex": "f''(-2)",
        "spoken": "f double prime of negative 2",
    },
    "= 0": {
        "typed": "= 0",
        "plain": "= 0",
        "html": "=~0",
        "tex": "= 0",
        "spoken": "equals 0",
    },
    "x + y + z + t + 1": {
        "typed": "x + y + z + t + 1",
        "plain": "x + y + z + t + 1",
        "html": "<i>x</i> +~<i>y</i> +~<i>z</i> +~<i>t</i> +~1",
        "tex": "x + y + z + t + 1",
        "spoken": "x plus y plus z plus t plus 1",
    },
}


@pytest.mark.parametrize("dialect", DIALECTS)
@pytest.mark.parametrize("text", TABLE)
def test_a_formula_in_a_dialect(text, dialect):
    assert DIALECTS[dialect](formula(text)) == TABLE[text][dialect]


# a symbol is set as a quotient is, and words lose their quotation marks
@pytest.mark.parametrize("text", [t for t in TABLE if "symbol" not in t and '"' not in t])
def test_the_unicode_form_of_a_formula_is_read_back_too(text):
    tree = formula(text)

    assert formula(plain.math(tree)) == tree


# ------------------------------------------------------------ trees made by hand

a, b = Letter("a"), Letter("b")
a_plus_b = Sum(((1, a), (1, b)))


@pytest.mark.parametrize(
    ("tree", "text"),
    [
        (Product((Number(2), a_plus_b)), "2(a + b)"),
        (Product((a_plus_b, a_plus_b), dot=True), "(a + b) · (a + b)"),
        (Product((Number(2), Number(3))), "2 · 3"),
        (Product((Number(2), Number(-3))), "2(−3)"),
        (Product((Letter("f"), a_plus_b)), "f · (a + b)"),
        (Product((a, Quotient(a, b))), "a(a/b)"),
        (Power(Number(-3), Number(2)), "(−3)²"),
        (Power(a_plus_b, Number(2)), "(a + b)²"),
        (Power(Power(a, Number(2)), Number(3)), "(a²)³"),
        (Sum(((1, a), (1, Number(-3)))), "a − 3"),
        (Sum(((1, a), (-1, Number(-3)))), "a + 3"),
        (Sum(((1, a), (-1, Minus(b)))), "a + b"),
        (Sum(((1, a), (-1, PlusMinus(b)))), "a ± b"),
        (Sum(((1, a), (-1, a_plus_b))), "a − (a + b)"),
        (Minus(a_plus_b), "−(a + b)"),
        (Minus(Number(-3)), "−(−3)"),
        (Quotient(a_plus_b, a_plus_b), "(a + b)/(a + b)"),
        (Quotient(a, Quotient(a, b)), "a/(a/b)"),
        (Quotient(a, Product((a, b))), "a/(ab)"),
    ],
)
def test_a_tree_without_brackets_gets_those_that_it_needs(tree, text):
    assert plain.math(tree) == text


def value_of_text(text: str) -> Fraction:
    """What Python makes of a text whose powers are ** and whose factors may stand side by side."""
    text = re.sub(r"(\d+)!", r"factorial(\1)", text)
    text = re.sub(r"(?<=[\d)])\s*(?=\(|factorial)", "*", text)
    text = re.sub(r"(?<![\w*])(\d+)(?!\d)", r"Fraction(\1)", text.replace("factorial(", "whole("))
    text = re.sub(r"whole\(Fraction\((\d+)\)\)", r"whole(\1)", text)
    return eval(text, {"Fraction": Fraction, "whole": WHOLE.__getitem__})


WHOLE = [Fraction(n) for n in (1, 1, 2, 6, 24, 120)]


def as_python(dialect: str, node: Math) -> str:
    """A dialect's arithmetic in Python's signs, by rules that know nothing of the tree."""
    if dialect == "tex":
        text = re.sub(r"\^\{?(\d)\}?", r"**\1", tex.math(node))
        return text.replace(r"\cdot", "*")
    if dialect == "html":
        text = re.sub(r"<sup>(\d)</sup>", r"**\1", html_text(node)).replace("~", " ")
        return text.replace("·", "*").replace("−", "-")
    if dialect == "mathml":
        return python_of(parsed(mathml.math(node)))
    text = plain.math(node).translate(str.maketrans("·−", "*-"))
    return re.sub("[⁰¹²³]", lambda match: f"**{'⁰¹²³'.index(match[0])}", text)


def python_of(element: etree._Element) -> str:
    children = [python_of(child) for child in element]
    if etree.QName(element).localname == "msup":
        return "**".join(children)
    text = (element.text or "").replace("\N{INVISIBLE TIMES}", "*")
    return text.replace("·", "*").replace("−", "-") + "".join(children)


@pytest.mark.parametrize("dialect", ["plain", "html", "tex", "mathml"])
@given(tree=arithmetic())
@settings(max_examples=100, deadline=None)
def test_whatever_the_tree_every_dialect_says_the_number_that_it_is(dialect, tree):
    try:
        expected = value(tree)
    except ZeroDivisionError:
        return

    assert value_of_text(as_python(dialect, tree)) == expected


@given(tree=arithmetic())
@settings(max_examples=100, deadline=None)
def test_whatever_the_tree_the_reader_finds_the_same_number_in_its_typed_form(tree):
    try:
        expected = value(tree)
    except ZeroDivisionError:
        return

    assert value(formula(plain.typed(tree))) == expected
