r"""Questions in LaTeX: compiled by both engines without a word, read back, nothing run."""

import re
import subprocess
import zipfile
from dataclasses import replace

import pytest

from exporters.formats import write_package
from exporters.paper import copies
from itembank.audit import audit_package
from itembank.cli.arguments import pool_named
from itembank.notation.tree import Paragraph
from itembank.pipeline import making
from itembank.values.errors import ExportError
from tests.absence import absent
from tests.exporters import samples
from tests.exporters.engines import complaints, missing, unpacked
from tests.shipped import whole_library


@pytest.fixture(scope="module")
def release():
    found = making.released(pool_named("congruences-quiz", ()), "2027-spring")
    return replace(found, copies=3, instructions="No calculators. Show your working.")


@pytest.fixture(scope="module")
def library():
    return whole_library()


@pytest.fixture(scope="module")
def quiz(release, tmp_path_factory):
    path = tmp_path_factory.mktemp("latex") / "p.zip"
    write_package("latex", release, path, purpose="quiz")
    return path


def sources(path):
    with zipfile.ZipFile(path) as z:
        return {name: z.read(name).decode("utf-8-sig") for name in z.namelist()}


# ------------------------------------------------------------ compiled


@pytest.mark.parametrize("engine", ["pdflatex", "lualatex"])
def test_every_family_in_every_form_compiles_without_a_warning(library, tmp_path, engine):
    """In both sizes of paper: sheets with their room, and the key with working and feedback."""
    if why := missing(engine):
        absent("latex", why)
    paper = {"pdflatex": "letter", "lualatex": "a4"}[engine]
    write_package("latex", replace(library, paper=paper), tmp_path / "p.zip", purpose="quiz")

    documents = unpacked(tmp_path / "p.zip", tmp_path)

    assert len(documents) == 2
    for document in documents:
        assert complaints(engine, tmp_path, document) == []


def test_no_question_is_parted_and_pages_are_counted_to_the_last(release, quiz, tmp_path):
    if why := missing("pdflatex", "pdftotext"):
        absent("latex", why)
    unpacked(quiz, tmp_path)
    name = f"sheets-{release.name}"
    assert complaints("pdflatex", tmp_path, f"{name}.tex") == []
    subprocess.run(["pdftotext", "-layout", f"{name}.pdf"], cwd=tmp_path, check=True)
    pages = (tmp_path / f"{name}.txt").read_text().split("\f")[:-1]

    feet = [page.strip().rpartition("\n")[2].split() for page in pages]
    for copy in copies(release):
        counted = [foot[3:] for foot in feet if foot[0] == copy.code]
        assert counted == [[str(n), "of", str(len(counted))] for n in range(1, len(counted) + 1)]
    for page in pages:
        asked = re.findall(r"^Question \d+ \(", page, re.M)
        assert len(asked) >= 1  # a page begins with a heading or a question, never within one
        assert page.lstrip().startswith(("Question", release.title))


# ------------------------------------------------------------ read back


def test_the_audit_agrees_with_every_question_of_the_library(library, tmp_path):
    write_package("latex", library, tmp_path / "p.zip", purpose="quiz")
    stories = frozenset(item.identifier for group in library.groups for item in group.items)

    report = audit_package(tmp_path / "p.zip", stories=stories)

    assert report.clean
    assert len(report.items) == len(library.groups)


def test_german_sheets_compile_and_are_read_as_german(tmp_path):
    release = making.released(german("congruences-quiz"), "2027-spring")
    write_package("latex", release, tmp_path / "p.zip", purpose="quiz")

    text = next(t for n, t in sources(tmp_path / "p.zip").items() if n.startswith("sheet-"))
    assert r"\iblanguage{de}" in text and "Aufgabe 1" in text
    if not missing("pdflatex"):
        for document in unpacked(tmp_path / "p.zip", tmp_path):
            assert complaints("pdflatex", tmp_path, document) == []


def german(name):
    return pool_named(name, ()).editions(["de"])[0]


def test_the_audit_agrees_with_a_bank(release, tmp_path):
    write_package("latex", release, tmp_path / "p.zip", purpose="bank")

    assert audit_package(tmp_path / "p.zip").clean


def test_the_audit_agrees_with_every_copy(quiz):
    assert audit_package(quiz).clean


CHANGES = {
    "another number": ("sheet-", r"\+ (\d+)x", r"+ 1\1x"),
    "another sign": ("sheet-", r"\\pmod\{(\d+)\}", r"\\pmod{1\1}"),
    "a question hidden": ("sheet-", r"\\begin\{ibstem\}", r"\\begin{ibstem}\\iffalse"),
    "a comment": ("sheet-", r"\\begin\{ibstem\}", r"\\begin{ibstem}% 7, 20"),
    "a file read": ("sheet-", r"\\begin\{ibstem\}", r"\\begin{ibstem}\\input{/etc/passwd}"),
    "a command defined": ("sheets-", r"\\begin\{document\}", r"\\def\\x{y}\\begin{document}"),
    "another letter": ("sheet-", r"\\iboption\{A\}", r"\\iboption{C}"),
    "another letter in the key": ("key-", r"(\\ibpart\{\}\{)A\.", r"\1B."),
    "other points": ("sheet-", r"\((\d) points?\)", "(9 points)"),
    "another rule": ("sheet-", "and 0 for any other", "and 1 for any other"),
    "another code": ("sheet-", r"\\ibcode\{\w{4}\}", r"\\ibcode{AAAA}"),
    "a row of another copy": ("key-", r"\\ibrow\{\w{4}\}", r"\\ibrow{AAAA}"),
    "a key on the sheet": ("sheet-", r"\\end\{ibquestion\}", r"\\ibkey{A}{7}\\end{ibquestion}"),
    "an identifier on the sheet": ("sheet-", r"\\ibtitle\{", r"\\ibtitle{item-0123456789abcdef "),
    "a copy left out": ("sheets-", r"\\input\{sheet-[^}]*\}\n", ""),
    "other commands": ("paper.tex", r"\\iboption\[2\]\{", r"\\iboption[2]{#1"),
    "another language": ("sheet-", r"\\iblanguage\{en\}", r"\\iblanguage{xx}"),
}  # fmt: skip


@pytest.mark.parametrize("name", CHANGES)
def test_a_changed_source_is_found(quiz, tmp_path, name):
    prefix, pattern, new = CHANGES[name]
    members = sources(quiz)
    changed = next(
        n for n, text in members.items() if n.startswith(prefix) and re.search(pattern, text)
    )
    members[changed] = re.sub(pattern, new, members[changed], count=1)
    with zipfile.ZipFile(tmp_path / "p.zip", "w") as z:
        for member, text in members.items():
            z.writestr(member, text)

    assert not audit_package(tmp_path / "p.zip").clean


# ------------------------------------------------------------ what an author writes

HOSTILE = r"\input{/etc/passwd} 50% {x} \write18{ls} a_1^2 #1 $5 & ~ \end{document} `` -- ''"


def test_hostile_words_are_printed_as_they_are(tmp_path):
    item = replace(
        samples.COUNT, title=HOSTILE, stem=(Paragraph((HOSTILE,)), *samples.COUNT.stem),
    )  # fmt: skip
    group = replace(samples.group(item), title=HOSTILE)
    release = replace(
        samples.release(group), title=HOSTILE, course=HOSTILE, term=HOSTILE, instructions=HOSTILE
    )
    write_package("latex", release, tmp_path / "p.zip", purpose="quiz")

    for name, text in sources(tmp_path / "p.zip").items():
        if name.startswith(("sheet-", "key-")):
            assert r"\textbackslash{}write18\{ls\}" in text
            assert not re.search(r"\\(write|input\{/|end\{document\}.*\S)", text)
    if missing("pdflatex", "pdftotext"):
        return
    for document in unpacked(tmp_path / "p.zip", tmp_path):
        assert complaints("pdflatex", tmp_path, document) == []
        subprocess.run(
            ["pdftotext", document.replace(".tex", ".pdf"), "p.txt"], cwd=tmp_path, check=True
        )
        told = "".join((tmp_path / "p.txt").read_text().split())
        for words in (
            r"\input{/etc/passwd}",
            r"\write18{ls}",
            "50%",
            "{x}",
            "#1$5&",
            r"\end{document}",
        ):
            assert words in told, words


def test_characters_that_the_fonts_do_not_have_are_refused_with_the_item(tmp_path):
    release = replace(samples.release(samples.group(samples.COUNT)), title="漢字")

    with pytest.raises(ExportError, match="U\\+6F22"):
        write_package("latex", release, tmp_path / "p.zip")
    assert not (tmp_path / "p.zip").exists()
