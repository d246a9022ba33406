r"""Prose as the body of a LaTeX document: what is printed, where lines may break."""

import pytest

from itembank.notation.latex import blocks, breakable, text
from itembank.notation.prose import display, paragraph, table
from itembank.values.errors import NotationError


def test_prose_is_escaped_and_its_formulas_stand_in_round_delimiters():
    told = blocks((paragraph("Tick **all** & only $x = 2 mod 7$: 100%.", "Part #1."),))

    assert told == (
        r"\textbf{Part \#1.} Tick \textbf{all} \& only \(x \equiv 2 \pmod{7}\): 100\%." "\n"
    )


@pytest.mark.parametrize(
    ("words", "source"),
    [
        ("a_b", r"a\_b"),
        ("{7}", r"\{7\}"),
        ("$5", r"\$5"),
        ("\\x", r"\textbackslash{}x"),
        ("~ ^", r"\textasciitilde{} \textasciicircum{}"),
        (r"\input{/etc/passwd}", r"\textbackslash{}input\{/etc/passwd\}"),
        (r"\write18{ls} % #1", r"\textbackslash{}write18\{ls\} \% \#1"),
        ("a\nb", "a b"),
        ("--- ``x'' ?` ,,", "-{}-{}- `{}`x'{}' ?{}` ,{},"),
        ("don't „so“ – é ß Ž", "don't ,,so`` -- é ß Ž"),
        ("x² ≡ −1 → ∅", r"x\(^2\) \(\equiv\) \(-\)1 \(\to\) \(\emptyset\)"),
    ],
)
def test_what_an_author_writes_is_printed_as_it_is(words, source):
    assert text(words) == source


@pytest.mark.parametrize("words", ["漢", "\u202e", "a\x00", "🙂", "ж"])
def test_what_the_fonts_do_not_have_is_refused_by_name(words):
    with pytest.raises(NotationError, match=rf"U\+{ord(words[-1]):04X}"):
        text(words)


def test_one_row_stands_alone_and_several_are_aligned():
    told = blocks((display("x = 2 mod 7"), display("48 = 6 · 7 + 6", "= 42 + 6", "a + b")))

    assert told == (
        "\\begin{quote}\n\\(\\displaystyle x \\equiv 2 \\pmod{7}\\)\n\\end{quote}\n"
        "\n"
        "\\begin{quote}\n"
        "\\(\\begin{aligned}\n"
        "48 &= 6 \\cdot 7 + 6 \\\\\n"
        "&= 42 + 6 \\\\\n"
        "&a + b\n"
        "\\end{aligned}\\)\n"
        "\\end{quote}\n"
    )


def test_rows_of_which_one_is_wide_are_lines_that_can_break():
    wide = " + ".join(f"{n}x" for n in range(30))

    told = blocks((display(wide, "= 7"),))

    assert "aligned" not in told and told.count(r"\(\displaystyle") == 2


def test_a_list_breaks_between_its_items_and_never_within_a_pair():
    assert breakable(r"\{(1,\; 2),\; (3,\; 4)\}") == (r"\{(1,\; 2),\allowbreak\; (3,\; 4)\}")


def test_a_number_of_many_digits_breaks_after_each_ten():
    assert breakable("1" * 45) == r"\allowbreak ".join(["1" * 10] * 4 + ["1" * 5])


def test_a_table_is_a_tabular_with_integers_to_the_right():
    told = blocks((table(["$r$", "root"], [["$1$", "yes"], ["$-2$", "no"]]),))

    assert told == (
        "\\begin{center}\n"
        "\\begin{tabular}{rl}\n"
        "\\(r\\) & root \\\\\n"
        "\\hline\n"
        "\\(1\\) & yes \\\\\n"
        "\\(-2\\) & no \\\\\n"
        "\\end{tabular}\n"
        "\\end{center}\n"
    )


def test_a_wide_table_shares_the_line_and_a_long_one_is_parted_under_its_head():
    wide = blocks((table(["a", "b"], [["$1$", "word " * 40]]),))
    long = blocks((table(["n"], [[f"${n}$"] for n in range(60)]),))

    assert r"p{\dimexpr 0." in wide
    assert long.count(r"\begin{tabular}") == 3 and long.count("n \\\\\n\\hline") == 3
