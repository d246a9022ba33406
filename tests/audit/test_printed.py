"""Printed pages, changed: letters, styles, numbers, and formulas that are spoken otherwise."""

import re
import zipfile
from pathlib import Path

import pytest

from exporters.formats import write_package
from itembank.audit import audit_package
from itembank.audit.against import compared
from itembank.cli.arguments import pool_named
from itembank.pipeline import making

CHANGES = {
    "another letter in the key": ("key-", r'(class="part">)A\.', r"\1B."),
    "another letter of an option": ("questions-", r"<li>B\.", "<li>C."),
    "a hidden paragraph": ("questions-", r"<p>Find", '<p style="display:none">No.</p><p>Find'),
    "white on white": ("questions-", r"color: #000", "color: #fff"),
    "nothing of a size": ("questions-", r"\.display \{", ".display { font-size: 0;"),
    "not displayed": ("questions-", r"\.display \{", ".display { display: none;"),
    "off the page": ("questions-", r"\.display \{", ".display { margin: -99mm;"),
    "another style sheet": ("questions-", r"</head>", '<link rel="stylesheet" href="a"></head>'),
    "loaded from elsewhere": ("questions-", r"<style>", "<style>@import 'https://a.test/a.css';"),
    "a script": ("questions-", r"</head>", "<script>show()</script></head>"),
    "a question twice": ("questions-", r"(<section .*?</section>)", r"\1\1"),
    "other numbers": ("questions-", r"Question 1 ", "Question 9 "),
    "other points": ("questions-", r"\(1 point\)", "(2 points)"),
    "no rule": ("questions-", r"<p class=\"rule\">.*?</p>", "<p>Good luck.</p>"),
    "another rule": ("questions-", r"and 0 for any other", "and 1 for any other"),
    "a key on the sheet": ("questions-", "</section>", '<p class="points">7</p><p class="key"/>'),
    "an identifier on the sheet": ("questions-", r"</h1>", " item-0123456789abcdef</h1>"),
    "a comment": ("questions-", r"<h1>", "<!-- 7, 20 --><h1>"),
    "spoken otherwise": ("key-", r'alttext="(\w+ [^"]*?)(\d+)', r'alttext="\g<1>1\2'),
    "fewer questions in a group": ("key-", r"(</h2><p>[^<]*?\d+\D+)\d+", r"\g<1>99"),
    "another item over an answer": ("key-", r'(class="identifier">item-)\w+', r"\g<1>0"),
    "no title": ("questions-", r"<h1>[^<]*", "<h1>"),
    "not spoken": ("key-", r' alttext="[^"]+"', ""),
}  # fmt: skip


@pytest.fixture(scope="module")
def parts(tmp_path_factory):
    release = making.released(pool_named("congruences-quiz", ()), "2027-spring")
    path = tmp_path_factory.mktemp("html") / "p.zip"
    write_package("html", release, path)
    with zipfile.ZipFile(path) as z:
        return {name: z.read(name).decode() for name in z.namelist()}


def clean(members: dict[str, str], path: Path) -> bool:
    with zipfile.ZipFile(path, "w") as z:
        for name, text in members.items():
            z.writestr(name, text)
    return audit_package(path).clean


@pytest.mark.parametrize("name", CHANGES)
def test_a_changed_page_is_found(parts, tmp_path, name):
    page, pattern, new = CHANGES[name]
    file = next(n for n in parts if n.startswith(page))
    text = re.sub(pattern, new, parts[file], count=1, flags=re.S)

    assert text != parts[file]
    assert not clean({**parts, file: text}, tmp_path / "p.zip")


def test_the_pages_are_agreed_as_they_are(parts, tmp_path):
    assert clean(parts, tmp_path / "p.zip")


def test_pages_are_compared_with_those_that_were_released(parts, tmp_path):
    clean(parts, tmp_path / "released.zip")
    file = next(n for n in parts if n.startswith("questions-"))
    text = re.sub(r"(<mn>)(\d+)(</mn>)", r"\g<1>1\2\3", parts[file], count=1)
    clean({**parts, file: text}, tmp_path / "back.zip")

    same = compared(tmp_path / "released.zip", tmp_path / "released.zip")
    other = compared(tmp_path / "back.zip", tmp_path / "released.zip")

    assert same.clean and same.released == 70
    assert other.kept == 69 and not other.clean
