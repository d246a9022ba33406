"""Prose as text for a terminal."""

from itembank.notation.plain import WIDTH, blocks
from itembank.notation.prose import display, paragraph, table


def test_a_paragraph_is_wrapped_and_its_lead_stands_in_it():
    text = blocks(
        (
            paragraph(
                "$117 = 9 · 13 = 3^2 · 13$, and $9$ and $13$ have **no** common factor. So $x$ "
                "solves the congruence modulo $117$ exactly when it solves it modulo $9$ and $13$.",
                "Split the modulus.",
            ),
        )
    )

    assert text == (
        "Split the modulus. 117 = 9 · 13 = 3² · 13, and 9 and 13 have no common factor. So x\n"
        "solves the congruence modulo 117 exactly when it solves it modulo 9 and 13.\n"
    )


def test_a_line_breaks_in_a_long_formula_before_a_relation_sign_and_in_a_short_one_never():
    words = "word " * 15
    long = blocks((paragraph(words + "$(x + 11)^2 = -1 = 12 mod 13$"),)).splitlines()
    short = blocks((paragraph(words + "$x = 7, 20, 88, 101$"),)).splitlines()

    assert long == [words.strip(), "(x + 11)² ≡ −1 ≡ 12 (mod 13)"]
    assert short == [words.strip(), "x = 7, 20, 88, 101"]
    assert max(map(len, long)) <= WIDTH


def test_a_short_left_side_stays_beside_its_relation_and_a_long_one_may_not():
    words = "word " * 14
    short = blocks((paragraph(words + "$t = 3 · 3 · 5 · 7 · 11 · 13 == 45045 mod 10^6$"),))
    long = blocks((paragraph(words + "$x^3 + 15x + 40 == x^3 - x mod 8$"),))

    assert short.splitlines()[1].startswith("t = 3 · 3")
    assert long.splitlines() == [words + "x³ + 15x + 40", "≡ x³ − x (mod 8)"]


def test_a_long_list_and_a_long_sum_are_wrapped():
    listed = blocks((paragraph(f"So $x == {', '.join(map(str, range(100, 130)))} mod 600$."),))
    sums = " + ".join(f"{n}·a_{n}" for n in range(100, 115))
    added = blocks((paragraph(f"So $x == {sums} mod 600$."),))

    for text in (listed, added):
        lines = text.splitlines()
        assert max(map(len, lines)) <= WIDTH and len(lines) > 1
        assert lines[0].startswith("So x ≡ 100")
    assert all(line.rstrip().endswith(",") for line in listed.splitlines()[:-1])
    assert all(line.startswith("+ ") for line in added.splitlines()[1:])


def test_a_modulus_is_not_parted_from_its_mod():
    text = blocks((paragraph("word " * 16 + "1 (mod 3)."),))

    assert "(mod 3)" in text


def test_a_long_list_is_broken_between_its_items_in_a_paragraph_and_in_a_cell():
    numbers = ", ".join(map(str, range(100, 140)))
    text = blocks((paragraph(f"They are ${numbers}$."),))
    rows = blocks((table(("what", "which"), (("all", f"${numbers}$"), ("none", "—"))),))

    assert " ".join(text.split()) == f"They are {numbers}."
    assert max(map(len, text.splitlines())) <= WIDTH
    assert [line.split()[0] for line in rows.splitlines() if "all" in line or "none" in line] == [
        "all",
        "none",
    ]
    assert numbers in " ".join(rows.split())
    assert max(map(len, rows.splitlines())) <= WIDTH


def test_a_list_of_equations_is_broken_between_them_and_a_product_before_its_brackets():
    words = "word " * 13
    listed = blocks((paragraph(words + "$732/2 = 366, 732/3 = 244, 732/61 = 12$"),)).splitlines()
    words = "word " * 11
    parted = blocks(
        (paragraph(words + "$21000 · (1 - 1/2) · (1 - 1/3) · (1 - 1/5) · (1 - 1/7)$"),)
    ).splitlines()

    assert listed == [
        " ".join((words[:0] + "word " * 13 + "732/2 = 366,").split()),
        "732/3 = 244, 732/61 = 12",
    ]
    assert all(line.count("(") == line.count(")") for line in parted) and len(parted) > 1


def test_a_list_in_brackets_is_kept_together():
    pairs = ", ".join(f"({a}, {a + 1})" for a in range(10, 30))
    lines = blocks((paragraph(f"The pairs are ${pairs}$."),)).splitlines()

    assert len(lines) > 1 and all(line.count("(") == line.count(")") for line in lines)


def test_displays_are_indented_and_aligned_at_their_first_relation_sign():
    text = blocks(
        (
            display("x^2 + 9x + 5 == (x + 11)^2 + 1", '== 0 mod 13 "."'),
            display("48 = 6 · 7 + 6", "7 = 6 + 1", "a + b"),
        )
    )

    assert text == (
        "    x² + 9x + 5 ≡ (x + 11)² + 1\n"
        "                ≡ 0 (mod 13).\n"
        "\n"
        "    48 = 6 · 7 + 6\n"
        "     7 = 6 + 1\n"
        "    a + b\n"
    )


def test_a_table_is_set_in_columns_with_integers_to_the_right():
    text = blocks(
        (
            table(
                ["$r$", "$f(r)$", "congruence for $t$", ""],
                [
                    ["$1$", "$15$", "$2 + 2t = 0 mod 3$", "one"],
                    ["$-2$", "$7$", "$t = 0 mod 3$", "two"],
                ],
            ),
        )
    )

    assert text == (
        "     r  f(r)  congruence for t\n"
        "    ──  ────  ──────────────────  ───\n"
        "     1    15  2 + 2t ≡ 0 (mod 3)  one\n"
        "    −2     7  t ≡ 0 (mod 3)       two\n"
    )


def test_nothing_is_no_text():
    assert blocks(()) == ""
