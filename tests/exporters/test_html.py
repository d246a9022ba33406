"""Printed questions and their key: one number each, no key and no identifier on a sheet."""

import re

import pytest
from lxml import html

from exporters.formats import write_package
from itembank.audit import audit_package
from tests.exporters import samples

RELEASE = samples.release(
    *samples.GROUPS, *(samples.group(item) for item in samples.BEYOND.values())
)
QUESTIONS, KEY = "questions-nt210-quiz-3-2027-spring.html", "key-nt210-quiz-3-2027-spring.html"


@pytest.fixture
def pages(tmp_path, members):
    write_package("html", RELEASE, tmp_path / "p.zip", "text")
    found = members(tmp_path / "p.zip")
    return tuple(html.document_fromstring(found[name]) for name in (QUESTIONS, KEY))


def words(element):
    return " ".join(element.text_content().split())


@pytest.mark.parametrize("math", ["mathml", "html", "tex", "text"])
def test_packages_are_valid_by_the_published_schemas(tmp_path, findings, math):
    write_package("html", RELEASE, tmp_path / "p.zip", math)

    assert findings(tmp_path / "p.zip") == []


def test_a_question_and_its_answer_have_one_number_and_the_key_alone_an_identifier(pages):
    questions, key = ([words(h) for h in page.iter("h3")] for page in pages)
    items = [item for group in RELEASE.groups for item in group.items]

    assert key == [f"Question {n} {item.identifier}" for n, item in enumerate(items, 1)]
    assert [text.partition(" (")[0] for text in questions] == [
        f"Question {n}" for n in range(1, len(items) + 1)
    ]
    assert "item-" not in words(pages[0])
    assert questions[0].endswith(f"({items[0].scoring.points} point)")


def test_the_questions_hold_no_answer_and_no_working(pages):
    shown = words(pages[0])

    assert "Trying 0, 1, 2 gives" not in shown
    assert "Answer: " not in shown.replace("Answer (", "")
    assert not pages[0].xpath("//*[@class='answer' or @class='working' or @class='slip']")


def test_the_answers_are_told_by_letter_and_by_what_they_say(pages):
    answers = [words(e) for e in pages[1].xpath("//span[@class='key']")]

    assert answers[0] == "A. 7, D. 20, G. 88, H. 101"
    assert "B. {7, 20, 88, 101}" in answers
    assert answers[-4:] == [
        "4, 9, 14",
        "B. Split the modulus: 117 = 3² · 13. → D. Solve modulo each prime: x ≡ 1, 2 (mod 3) and "
        "x ≡ 7, 10 (mod 13). → C. Lift the roots: x ≡ 2, 7 (mod 9). → A. Combine the residues in "
        "every way: x ≡ 7, 20, 88, 101 (mod 117).",
        "1: C. 16, 3: A. 8",
        "1: 1, 3, 2: at none, 3: 8, 16",
    ]


def test_pages_say_their_language_and_need_nothing_else(pages):
    for page in pages:
        assert page.get("lang") == "en"
        assert page.findtext(".//title")
        assert not page.xpath("//@src | //link | //script | //a")


def test_what_is_printed_is_written_in_the_same_words_as_the_stem(pages):
    stems = [words(e) for e in pages[0].xpath("//div[@class='stem']")]

    assert "x² + 9x + 5 ≡ 0 (mod 117)" in stems[0]
    assert len(stems) == sum(len(group.items) for group in RELEASE.groups)


# ------------------------------------------------------------ the audit of paper


def tampered(tmp_path, members, name, pattern, by):
    """The package with the first match on a page replaced."""
    import zipfile

    path = tmp_path / "p.zip"
    release = samples.release(samples.group(samples.TRUE_FALSE), samples.group(samples.COUNT))
    write_package("html", release, path, "text")
    found = members(path)
    text, changes = re.subn(pattern, by, found[name].decode(), count=1)
    assert changes == 1
    with zipfile.ZipFile(path, "w") as package:
        for member, data in found.items():
            package.writestr(member, text if member == name else data)
    return audit_package(path)


@pytest.mark.parametrize(
    ("name", "pattern", "by", "said"),
    [
        (KEY, r'data-question="item-[^"]*"', 'data-question=""', "expected each answer once"),
        (KEY, "Question 2", "Question 3", "expected an answer, there is none"),
        (QUESTIONS, 'class="question"', 'class="other"', "expected the question of this answer"),
    ],
)  # fmt: skip
def test_a_question_without_its_answer_is_found(tmp_path, members, name, pattern, by, said):
    report = tampered(tmp_path, members, name, pattern, by)

    assert any(said in finding for finding in report.findings)


def test_answers_without_questions_are_told_in_their_order(tmp_path, members):
    report = tampered(
        tmp_path, members, QUESTIONS, "(?s).+", lambda page: page[0].replace('"question"', '""')
    )

    lost = [line.split(":")[0] for line in report.findings if "the question of this ans" in line]
    assert lost == re.findall(r'data-question="([^"]*)"', members(tmp_path / "p.zip")[KEY].decode())
