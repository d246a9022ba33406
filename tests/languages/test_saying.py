"""Messages with slots against the reader of prose: the same lines, without a detour."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from itembank.languages import (
    BREAK,
    Speaker,
    counted,
    each,
    either,
    grid,
    lead,
    say,
    shown,
    spelled,
)
from itembank.languages.lettering import in_letter, relettered
from itembank.languages.speaking import shape, slot_names
from itembank.notation import plain
from itembank.notation.building import polynomial
from itembank.notation.prose import display, paragraph, prose, table
from itembank.notation.reading import formula
from itembank.notation.tree import Formula, Letter, Number, Power

SAME = [
    (say("$gcd({a}, {m}) = {d}$, so {d} divides **all**.", a=6, m=21, d=3),
     "$gcd(6, 21) = 3$, so 3 divides **all**."),
    (say("$x ≡ {a} + {b} (mod {m})$", a=1, b=-5, m=7), "$x ≡ 1 + -5 (mod 7)$"),
    (say("$x ≡ {a} - {b} (mod {m})$", a=1, b=-5, m=7), "$x ≡ 1 - -5 (mod 7)$"),
    (say("${a}x + {b}$", a=1, b=-5), "$1x + -5$"),
    (say("${a}x + {b}$", a=-1, b=-5), "$-1x + -5$"),
    (say("$-{a}x$", a=-4), "$4x$"),
    (say("${a} · {b} = {c}$", a=-3, b=7, c=-21), "$-3 · 7 = -21$"),
    (say("$x ≡ {r} (mod {m})$", r=formula("7, 20, 88"), m=117), "$x ≡ 7, 20, 88 (mod 117)$"),
    (say("${u} · {v} = {chain}$", u=4, v=13, chain=formula("52 == 1")), "$4 · 13 = 52 == 1$"),
    (say("$({a})^2 = {c}$", a=-3, c=9), "$(-3)^2 = 9$"),
    (say("${m} = {p}^{k} · {q}$", m=75, p=5, k=2, q=3), "$75 = 5^2 · 3$"),
    (say("${f} + {b}$", f=formula("x^2 + 2x"), b=-1), "$x^2 + 2x + -1$"),
    (say("$-{f}$", f=formula("x + 2")), "$-(x + 2)$"),
    (say("${{1, {a}}}$", a=2), "${1, 2}$"),
    (say("modulo {m}: {l}.", m=9, l=each([2, 3, 4])), "modulo 9: 2, 3 and 4."),
    (say("{l}", l=either([formula("x == 1 mod 3"), formula("x == 2 mod 3")])),
     "$x == 1 mod 3$ or $x == 2 mod 3$"),
    (counted("{k} root", "{k} roots", 2, k=spelled(2)), "two roots"),
    (counted("{n} root", "{n} roots", 1), "1 root"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "text"), SAME, ids=lambda v: v if isinstance(v, str) else "")
def test_a_filled_template_is_the_line_that_its_text_would_be(said, text):
    assert Speaker().inlines(said) == prose(text)


@given(a=st.integers(), b=st.integers(), m=st.integers(min_value=1))
def test_signs_fold_as_the_reader_of_formulas_folds_them(a, b, m):
    said = say("$x ≡ {a} + {b} - {c}y (mod {m})$", a=a, b=b, c=b, m=m)

    read = prose(f"$x ≡ {a} + {b} - {b}y (mod {m})$")
    assert plain.inlines(Speaker().inlines(said)) == plain.inlines(read)


def test_brackets_come_where_they_are_needed():
    def text(base):
        return Speaker().text(say("${a}^{k} = {b}$", a=base, k=3, b=base**3))

    assert text(-2) == "(−2)³ = −8"
    assert text(2) == "2³ = 8"


def test_factors_that_would_run_together_get_a_dot():
    assert Speaker().text(say("${a} * {b}$", a=7, b=11)) == "7 · 11"
    assert Speaker().text(say("${a} * {b}$", a=7, b=formula("x"))) == "7x"


def test_other_letters_reach_templates_and_slots():
    said = say("$f(x) = {f}$, and $x ≡ {r} (mod {m})$", f=polynomial((5, 9, 1)), r=7, m=117)

    assert Speaker().text(in_letter(said, "y")) == "f(y) = y² + 9y + 5, and y ≡ 7 (mod 117)"


@pytest.mark.parametrize(
    ("letter", "text"), [("t", "t = r + 7x"), ("y", "y = r + 7t"), ("x", "x = r + 7t")]
)
def test_a_letter_in_use_beside_the_unknown_makes_way_for_it(letter, text):
    assert Speaker().text(in_letter(say("$x = r + {p}t$", p=7), letter)) == text


def test_letters_may_be_exchanged_twice():
    told = relettered((lead("Modulo ${x}$.", x=Letter("x")), say("$x = y$")), {"x": "y"})

    assert Speaker().blocks(relettered(told, {"y": "z", "x": "w"})) == (
        paragraph("$z = z$", "Modulo z."),
    )


def test_sentences_make_paragraphs_and_headings_begin_them():
    told = [
        lead("Modulo {p}.", p=3),
        say("One."),
        say("Two is ${n}$.", n=2),
        shown(formula("x = 1"), say("$x = {a}$ or $x = {b}$", a=1, b=2)),
        say("Three."),
        grid(["", say("sum")], [[Letter("a"), 5]], row_heads=True),
        lead("Answer."),
    ]

    assert Speaker().blocks(told) == (
        paragraph("One. Two is $2$.", "Modulo 3."),
        display("x = 1", "x = 1 or x = 2"),
        paragraph("Three."),
        table(["", "sum"], [["$a$", "$5$"]], row_heads=True),
        paragraph("", "Answer."),
    )


def test_a_break_ends_a_paragraph():
    told = [lead("Modulo {p}.", p=3), say("One."), BREAK, say("Two."), BREAK]

    assert Speaker().blocks(told) == (paragraph("One.", "Modulo 3."), paragraph("Two."))


def test_a_heading_holds_its_formulas_as_plain_text():
    (block,) = Speaker().blocks([lead("Modulo ${q}$.", q=Power(Number(3), Number(2)))])

    assert block.lead == "Modulo 3²."


def test_a_block_of_the_notation_stands_as_it_is():
    block = paragraph("As $x = 1$ was written.")

    assert Speaker().blocks([block]) == (block,)


def test_a_word_in_a_formula_is_refused():
    with pytest.raises(TypeError, match="slot a: expected a number or a formula"):
        Speaker().inlines(say("$x = {a}$", a="one"))


def test_a_slot_left_empty_is_refused():
    with pytest.raises(KeyError, match="b"):
        Speaker().inlines(say("{a} and {b}", a=1))


def test_a_template_is_parsed_once(monkeypatch):
    said = [say("Once: $2x + {a} = {b}$ and {c}.", a=a, b=1, c=a) for a in range(50)]
    shape.cache_clear()
    lines = [Speaker().inlines(s) for s in said]

    assert shape.cache_info().misses == 1
    assert [line[1] for line in lines] == [Formula(formula(f"2x + {a} = 1")) for a in range(50)]


def test_slots_are_names_alone():
    assert slot_names("{a} of {b}, {{not c}}") == {"a", "b"}
    for template in ("{}", "{a!r}", "{a:>3}"):
        with pytest.raises(ValueError, match="a slot to be a name alone"):
            slot_names(template)


def test_places_to_be_filled_cannot_be_typed():
    from itembank.notation.reading import SLOTS
    from itembank.values.errors import StatementError

    with pytest.raises(StatementError):
        formula(f"2{SLOTS[0]} = 4 mod 6")
