"""The packet as a file: it needs nothing else, and what it certifies is so."""

import json
import re
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, islice
from math import gcd

import pytest
from lxml import html

from exporters.formats import write_package
from exporters.release import Group, Release, in_order
from itembank.cli.arguments import pool_named
from itembank.kinds.table import KINDS
from itembank.languages import Grid, Speaker
from itembank.notation import plain
from itembank.notation.elements import written
from itembank.pipeline import making
from itembank.pipeline.selection import entry, fits, item_of
from itembank.pipeline.titles import of_group
from itembank.pipeline.variants import Stream
from itembank.review import packet_of_package, packet_of_release
from itembank.review.entry import entry_of
from itembank.review.evidence import evidence, first_failure, prime_power_of
from itembank.review.figures import circle, levels, tree
from itembank.review.overview import upper_bound
from itembank.review.writer import Writer
from itembank.values.item import TrueFalse
from tests.exporters import samples
from tests.review.unpacked import written_out
from tests.shipped import FAMILIES


def release_of(*items) -> Release:
    group = Group(family="f", title="F", items=items, choose=1, points=1)
    return Release(
        pool_id="p", title="A pool", course="NT 210", term="2027-spring", language="en",
        groups=(group,),
    )  # fmt: skip


def said(*statement: str) -> str:
    return plain.blocks(Speaker().blocks(evidence(statement).certificates))


def shown(statement: str) -> str:
    """What the packet shows beside the key of an item with this statement."""
    entry = entry_of(Writer("en"), replace(samples.INTEGER, statement=(statement,)))
    return written(entry.revealed)


def test_the_file_asks_for_nothing_from_anywhere():
    page = written_out(packet_of_release(release_of(samples.SELECT_ALL, samples.INTEGER)))

    assert not re.search(r"<(link|img|iframe|script[^>]* src)", page)
    assert all(link.startswith("#") for link in re.findall(r'href="([^"]*)"', page))
    assert "@import" not in page and "url(" not in page


def test_no_line_begins_with_the_mark_that_ends_a_formula():
    items = (*samples.ITEMS.values(), *samples.BEYOND.values())
    page = html.fromstring(written_out(packet_of_release(release_of(*items))))
    after = [
        (formula.tail or "")[:1]
        for p in page.iter("p", "li", "td")
        for formula in p.findall("math")
    ]

    assert len(after) > 100
    assert not {*after} & set(".,;:?!)”")
    assert any(formula.tail == "." for formula in page.findall(".//span[@class='unparted']/math"))


def test_no_text_of_an_item_can_end_the_script_that_holds_it():
    hostile = replace(samples.SELECT_ALL, title="</script><script>alert(1)</script>")
    page = packet_of_release(release_of(hostile)).decode()

    assert page.count("<script") == page.count("</script>") == 4
    block = re.search(r'<script type="application/json" id="items">(.*?)</script>', page, re.S)
    assert json.loads(block[1])["items"][0]["seen"][0] == f"title: {hostile.title}"


def test_the_same_items_give_the_same_bytes():
    assert packet_of_release(release_of(samples.SELECT_ALL)) == packet_of_release(
        release_of(samples.SELECT_ALL)
    )


def test_a_key_is_not_in_the_markup_of_the_question():
    entry = entry_of(Writer("en"), samples.SELECT_ALL)

    assert "checked" not in repr(entry.question)


# ------------------------------------------------------------ certificates


def test_local_counts_multiply_to_the_number_of_solutions():
    text = said("x^2 + 9x + 5 = 0 mod 117")

    assert "2 solutions modulo 9. 2 solutions modulo 13. In all 2 · 2 = 4." in text


@pytest.mark.parametrize(
    ("statement", "expected"),
    [
        ("x^2 = 2 mod 15", "Modulo 3, which divides 15, no residue solves it."),
        ("x^2 + 1 = 0 mod 20", "Modulo 4, which divides 20, no residue solves it."),
        ("x^2 = 3 mod 27", "Modulo 9, which divides 27, no residue solves it."),
    ],
)
def test_no_solution_is_shown_by_the_smallest_modulus_that_has_none(statement, expected):
    assert expected in said(statement)


def test_an_order_is_certified_by_powers_that_are_not_1():
    text = said("order of 7 mod 48")  # 7^2 = 49 = 1 + 48

    assert "exponent 2 gives 1" in " ".join(text.split())


def test_the_substitutions_of_a_system_are_those_of_each_congruence():
    found = evidence(["x = 2 mod 3", "x = 3 mod 5"])

    assert found.residues == (8,)
    assert len([told for told in found.certificates if isinstance(told, Grid)]) == 2


@pytest.mark.parametrize(
    ("statement", "expected"),
    [
        ("isbn 0306406152", "The weighted sum of 0306406152 is 132 = 12 · 11 + 0"),
        ("isbn 978030640615?", "The weighted sum of 9780306406157 is 100 = 10 · 10 + 0"),
        ("phi(36)", "36 = 2² · 3². The product of the values is 2 · 6 = 12."),
        ("inverse of 7 mod 26", "7 · 15 = 105 = 4 · 26 + 1"),
        ("2 * 3^x = 4 mod 7", "2 · 3² ≡ 4 (mod 7)"),
        ("3^13 mod 50", "13 = 1 + 4 + 8"),
        ("lift x = 4 mod 11 to x^2 + 8x + 18 = 0 mod 121", "363 = 3 · 121"),
        ("is 2 a square mod 15", "with the exponent (3 − 1)/2 = 1 is −1 modulo 3"),
    ],
)
def test_other_kinds_have_certificates_of_their_own(statement, expected):
    """Numbers of the published ISBN samples (ISO 2108); the others by hand."""
    assert expected in said(statement)


def test_every_kind_is_certified_as_its_record_says():
    for kind in KINDS.values():
        found = evidence(kind.samples[0].split(";"))
        told = tuple(kind.certificate(found.problem, found.solution.answer))
        assert set(told) <= set(found.certificates), kind.name


@pytest.mark.parametrize(
    ("statement", "expected"),
    [
        ("2^(-2) mod 8", "No inverse."),  # gcd(2, 8) = 2: there is no value
        ("1^x = 1 mod 20011", "Substituted."),  # 20010 exponents, more than are listed
        ("isbn 9?7 0 306 40615 7", "Check digit."),  # an ISBN-13 begins with 978 or 979
    ],
)
def test_the_packet_shows_what_has_no_value_or_too_many(statement, expected):
    assert f"<strong>{expected}</strong>" in shown(statement)


def test_why_there_is_no_answer_is_said_once():
    found = Speaker().blocks(evidence(["inverse of 2 mod 8"]).certificates)
    paragraphs = [plain.blocks((block,)) for block in found]

    assert len(set(paragraphs)) == len(paragraphs) > 0


def test_every_shipped_family_has_evidence_that_agrees(tmp_path):
    """One item of each: its statement reads back, and its page is made."""
    families = sorted(FAMILIES)
    path = tmp_path / "all.yaml"
    listed = "".join(f"  - {{family: {name}, variants: 1}}\n" for name in families)
    path.write_text(f"id: all\ntitle: All\ncourse: NT 210\nseed: alder-ford\nitems:\n{listed}")
    release = making.released(pool_named(str(path), ()), "2027-spring")

    for group in release.groups:
        for item in group.items:
            assert evidence(item.statement).verdict.status == "agreed", item.statement
    questions = sum(1 for _item in in_order(release.groups))
    assert len(families) < questions == written_out(packet_of_release(release)).count("<article")


# ------------------------------------------------------------ wrong answers


@pytest.mark.parametrize(
    ("claim", "expected"),
    [
        ((7, 20), "All of it solves the congruence, but 88 is missing."),
        ((10,), "10: a root modulo 3 that is not lifted"),
        ((16,), "16: a root modulo 3 that is not lifted"),
        ((0,), "0: no root modulo the prime 3"),
        ((), "7 is a solution."),
    ],
)
def test_the_first_step_at_which_an_answer_fails(claim, expected):
    # f(10) = 195 = 3 mod 9; f(16) = 405 = 0 mod 9 and 2 mod 13; f(0) = 5 = 2 mod 3
    found = evidence(["x^2 + 9x + 5 = 0 mod 117"])
    if claim == (16,):
        expected = "16: no root modulo the prime 13"

    assert Speaker().text(first_failure(found, claim)).startswith(expected)


@pytest.mark.parametrize(("f", "p", "k"), [("x^3 + 3x + 5", 3, 3), ("x^2 - 1", 2, 5)])
def test_the_tree_holds_the_roots_that_exhaustion_finds(f, p, k):
    found = evidence([f"{f} = 0 mod {p**k}"])
    value = {"x^3 + 3x + 5": lambda x: x**3 + 3 * x + 5, "x^2 - 1": lambda x: x * x - 1}[f]
    drawn = levels(found.sides[0], p, k)

    for j, level in enumerate(drawn, 1):
        assert sorted(r for r, _ in level) == [x for x in range(p**j) if value(x) % p**j == 0]


@pytest.mark.parametrize("statement", ["x^2 = 137 mod 224", "x^3 + 3x + 5 = 0 mod 27"])
def test_a_tree_stands_within_its_frame(statement):
    (c,) = evidence([statement]).sides
    (p, k) = prime_power_of(c)[0]
    figure = written([tree(Writer("en"), c, p, k)])
    width = int(re.search(r'width="(\d+)"', figure)[1])
    places = [float(x) for x in re.findall(r' x[12]?="([\d.-]+)"', figure)]

    assert min(places) >= 0
    assert max(places) <= width - 10


# ------------------------------------------------------------ figures of merit


@pytest.mark.parametrize(("n", "percent"), [(59, "5.0"), (299, "1.0"), (30, "9.6")])
def test_a_clean_sample_bounds_the_share_of_faults(n, percent):
    assert str(upper_bound(n)) == percent
    assert (1 - Fraction(percent) / 100) ** n <= Fraction(1, 20)


def test_linear_certificates_count_by_the_common_divisor():
    assert gcd(6, 10) == 2
    assert "gcd(6, 10) = 2 divides 4: 2 solutions, 5 apart" in said("6x = 4 mod 10")
    assert "does not divide 3" in said("4x = 3 mod 10")


# ------------------------------------------------------------ what guessing is worth


def guesses_told(page: str) -> list[list[str]]:
    """The rows of the table of guesses."""
    tree = html.fromstring(page)
    rows = tree.xpath("//table[@class='guesses']/tbody/tr")
    return [[cell.text_content() for cell in row] for row in rows]


def claims(*truths: bool):
    response = samples.TRUE_FALSE.response
    assert isinstance(response, TrueFalse)
    return [
        replace(
            samples.TRUE_FALSE,
            title=f"Claim ({n})",
            response=replace(response, truth=truth),
            feedback=(),
            provenance=replace(samples.TRUE_FALSE.provenance, index=n),
        )
        for n, truth in enumerate(truths)
    ]


def test_the_first_page_says_what_guessing_is_worth():
    """Of four claims three are true, so that whoever says "true" is right in 75 %."""
    page = packet_of_release(release_of(*claims(True, True, True, False))).decode()

    assert guesses_told(page) == [["f", "solvable or not", "4", "50 %", "75 %", "true", ""]]
    assert "in the words of their authors" not in page


def test_a_family_that_wants_it_so_is_told_in_its_own_words():
    release = release_of(*claims(True, True))

    page = packet_of_release(release, guessing={"f": "A warm-up <in class>."}).decode()

    assert "in the words of their authors" in page
    assert "<li>f: A warm-up &lt;in class&gt;.</li>" in page


def test_the_packet_of_a_package_says_it_too(tmp_path):
    family = FAMILIES["isbn-valid-or-not"]
    drawn = islice(Stream(family, "packet", fits(family)), 4)
    items = [item_of(variant, entry(family, "solvable or not", 1)) for variant in drawn]
    path = tmp_path / "claims.zip"
    write_package("qti21", release_of(*items), path)

    (row,) = guesses_told(packet_of_package(path).decode())

    assert row[:4] == [of_group(family), "solvable or not", "4", "50 %"]


# ------------------------------------------------------------ a large pool


def test_an_item_takes_less_than_ten_thousand_bytes_of_a_large_packet():
    """So that 1,000 items are below 10 MB; the texts of these are as long as those of a pool."""

    def size(n: int) -> int:
        item = samples.SELECT_ALL
        places = (replace(item.provenance, index=i) for i in range(n))
        return len(packet_of_release(release_of(*(replace(item, provenance=p) for p in places))))

    assert (size(24) - size(4)) / 20 < 10_000


# ------------------------------------------------------------ figures


@pytest.mark.parametrize(("m", "solutions"), [(107, (53, 54)), (130, (1, 2, 64, 129)), (24, ())])
def test_no_two_names_on_a_circle_run_into_each_other(m, solutions):
    """Names of three digits are at most 27 wide and 15 high."""
    figure = written([circle(Writer("en"), m, solutions)])
    found = re.findall(r'<text x="([\d.]+)" y="([\d.]+)"[^>]*>(\d+)<', figure)
    names = [(float(x), float(y), 9 * len(name)) for x, y, name in found]

    for (x, y, w), (x2, y2, w2) in combinations(names, 2):
        assert abs(x - x2) >= (w + w2) / 2 or abs(y - y2) >= 13


def test_a_tree_of_two_levels_is_no_figure():
    assert "Tree of roots" not in shown("x^2 = 4 mod 25")
    assert "Tree of roots" in shown("x^2 = 4 mod 125")


def test_an_item_is_shown_as_paper_shows_it_too():
    """A real item: its words of a screen in the question, those of paper beneath its key."""
    family = FAMILIES["linear-one-solution"]
    variant = next(iter(Stream(family, "paper", fits(family))))
    item = item_of(variant, entry(family, "integer", 1))

    found = entry_of(Writer("en"), item)

    asked, beneath = written(found.question), written(found.revealed)
    assert "Type any integer in it" in asked and "Write any integer in it" not in asked
    (paper,) = re.findall(r"<h3>On paper</h3>.*?</details>", beneath, re.S)
    assert "Write any integer in it" in paper and "otherwise 0" not in paper
