"""A quiz on paper: copies as the pool says, their codes, their key, the table for graders."""

import csv
import re
import zipfile
from collections import Counter
from dataclasses import replace
from io import StringIO
from itertools import pairwise

import pytest
from lxml import html

from exporters.formats import write_package
from exporters.paper import CODE, Copy, codes, copies, short_key
from itembank.audit import audit_package
from itembank.cli.arguments import pool_named
from itembank.pipeline import making


@pytest.fixture(scope="module")
def release():
    found = making.released(pool_named("congruences-quiz", ()), "2027-spring")
    return replace(found, copies=30, instructions="No calculators. Show your working.")


@pytest.fixture(scope="module")
def package(release, tmp_path_factory):
    path = tmp_path_factory.mktemp("quiz") / "p.zip"
    write_package("html", release, path, purpose="quiz")
    return path


def pages(path):
    with zipfile.ZipFile(path) as z:
        return {name: z.read(name).decode() for name in z.namelist()}


def words(element):
    return " ".join(element.text_content().split())


# ------------------------------------------------------------ dealing


def test_a_copy_has_as_many_of_each_group_as_a_student_gets(release):
    for copy in copies(release):
        had = Counter(drawn.group for drawn in copy.questions)

        assert [had[g] for g in range(len(release.groups))] == [g.choose for g in release.groups]


@pytest.mark.parametrize("choose", [1, 3, 4, 6])
def test_neighbours_share_no_more_questions_than_they_must(release, choose):
    group = release.groups[0]
    items = tuple(group.items)[:6]
    one = replace(release, groups=(replace(group, items=items, choose=choose),))

    for first, second in pairwise(ids(copy) for copy in copies(one)):
        assert len(first & second) == max(0, 2 * choose - len(items))


def ids(copy: Copy) -> set[str]:
    return {drawn.item.identifier for drawn in copy.questions}


def test_every_question_has_its_turn(release):
    had = Counter(i for copy in copies(release) for i in ids(copy))

    for group in release.groups:
        times = [had[item.identifier] for item in group.items]
        assert max(times) - min(times) <= 2 and min(times) > 0


def test_more_copies_leave_the_first_as_they_were(release):
    few, many = (list(copies(replace(release, copies=n))) for n in (3, 9))

    assert many[:3] == few


def test_codes_are_short_and_differ_and_are_those_of_the_release():
    found = codes("quiz-2027-spring", 1000)

    assert len(set(found)) == 1000
    assert all(len(c) == 4 and set(c) <= set(CODE) for c in found)
    assert not set(CODE) & set("01OIQSZB2568G")  # read for one another in handwriting
    assert codes("quiz-2027-autumn", 1000) != found


# ------------------------------------------------------------ the sheets


def test_a_sheet_has_heading_name_points_instructions_and_questions(package, release):
    first = next(iter(copies(release)))
    page = html.document_fromstring(
        pages(package)[f"sheet-congruences-quiz-2027-spring-{first.code}.html"]
    )
    told = [words(p) for p in page.iter("p")]

    assert f"Copy {first.code}" in told
    assert any(text.startswith("Name:") for text in told)
    assert "No calculators. Show your working." in told
    assert sum("Unless a question says otherwise" in text for text in told) == 1
    assert [words(h3) for h3 in page.iter("h3")] == [
        f"Question {n} ({points} point{'s' * (points > 1)})"
        for n, points in enumerate((d.item.scoring.points for d in first.questions), 1)
    ]
    score = [[words(td) for td in row.iter("td")] for row in page.find(".//table").iter("tr")]
    assert score[1][-1] == str(release.points)
    assert "counter(pages)" in page.findtext(".//style")
    assert "break-inside: avoid" in page.findtext(".//style")


def test_no_sheet_has_an_identifier_a_key_or_feedback(package, release):
    feedback = {
        " ".join(text.split())
        for group in release.groups
        for item in group.items
        for slip in item.feedback
        for block in slip.text
        for text in getattr(block, "content", ())
        if isinstance(text, str) and len(text) > 40
    }
    assert feedback
    for name, text in pages(package).items():
        if name.startswith("sheet-"):
            told = words(html.document_fromstring(text))

            assert "item-" not in text
            assert not any(sentence in told for sentence in feedback)


def test_room_for_the_working_grows_with_the_effort(package, release):
    found = {}
    for copy in copies(release):
        page = html.document_fromstring(
            pages(package)[f"sheet-congruences-quiz-2027-spring-{copy.code}.html"]
        )
        for section, drawn in zip(page.iter("section"), copy.questions, strict=True):
            (room,) = section.xpath("div[starts-with(@class, 'room-')]/@class")
            found[drawn.item.steps] = int(room.removeprefix("room-"))

    by_effort = [found[steps] for steps in sorted(found)]
    assert by_effort == sorted(by_effort) and len(set(by_effort)) > 3
    assert max(by_effort) <= 100


# ------------------------------------------------------------ the key and the table


def test_the_key_has_a_row_for_each_copy(package, release):
    page = html.document_fromstring(pages(package)["key-congruences-quiz-2027-spring.html"])
    rows = {words(tr[0]): [words(s) for s in tr.iter("span")] for tr in page.iter("tr")
            if tr.getparent().get("class") == "copies"}  # fmt: skip

    for copy in copies(release):
        row = rows.pop(copy.code)
        assert [re.match(r"(\d+): ", cell)[1] for cell in row] == [
            str(n) for n in range(1, len(copy.questions) + 1)
        ]
        for cell, drawn in zip(row, copy.questions, strict=True):
            (number,) = re.findall(r"\[(\d+)\]$", cell)
            (heading,) = page.xpath(f"//section[@data-question='{drawn.item.identifier}']/h3")
            assert words(heading).split()[1] == number
            if isinstance(short_key(drawn.item)[0], str):
                assert f": {''.join(map(str, short_key(drawn.item)))} [" in cell
    assert not rows


def test_the_table_for_graders_has_a_row_for_each_question_of_each_copy(package, release):
    text = pages(package)["grades-congruences-quiz-2027-spring.csv"].removeprefix("\ufeff")
    rows = list(csv.DictReader(StringIO(text, newline="")))

    assert [(row["copy"], row["question"], row["item"], row["of"]) for row in rows] == [
        (copy.code, str(n), drawn.item.identifier, str(drawn.item.scoring.points))
        for copy in copies(release)
        for n, drawn in enumerate(copy.questions, 1)
    ]
    assert all(row["points"] == row["answer"] == row["student"] == "" for row in rows)


# ------------------------------------------------------------ the audit


def test_the_audit_judges_every_question_that_is_handed_out(package, release):
    report = audit_package(package)

    assert report.clean
    assert {item.identifier for item in report.items} == {
        i for copy in copies(release) for i in ids(copy)
    }


def rewritten(package, path, changes):
    """The package with the first match of a pattern replaced in the n-th member of a prefix."""
    members = pages(package)
    for prefix, n, pattern, new in changes:
        name = [m for m in members if m.startswith(prefix)][n]
        text = re.sub(pattern, new, members[name], count=1, flags=re.S)
        assert text != members[name]
        members[name] = text
    with zipfile.ZipFile(path, "w") as z:
        for name, text in members.items():
            z.writestr(name, text)
    return audit_package(path)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ([("sheet-", 5, r"<mn>(\d+)</mn>", r"<mn>1\1</mn>")], "the question of the other copies"),
        ([("key-", 0, r"(1: <strong>).*?(</strong>)", r"\1Q\2")], "in its row of the key"),
        ([("key-", 0, r"<th scope=.row.>\w{4}</th>", "<th>AAAA</th>")], "an answer in its row"),
        ([("sheet-", 3, r"(<p class=.copy.>.*?<strong>)\w{4}", r"\1AAAA")], "expected its code"),
        ([("sheet-", 2, r"\(\d points?\)", "(9 points)")], "the points"),
        ([("sheet-", 2, "</h1>", " item-0123456789abcdef</h1>")], "no identifier on a sheet"),
        ([("sheet-", 2, r'class="stem"', 'class="working"')], "expected no key on a sheet"),
        ([("grades-", 0, r",2,item", ",1,item")], "a row for each question of each copy"),
        ([("grades-", 0, r"\r\n,.*?\r\n", "\r\n")], "a row for each question of each copy"),
    ],
)  # fmt: skip
def test_a_changed_pile_is_found(package, tmp_path, changes, said):
    report = rewritten(package, tmp_path / "p.zip", changes)

    assert not report.clean
    assert any(said in finding for finding in report.findings), report.findings[:5]


def test_neighbours_that_share_a_question_are_found(release, tmp_path):
    """The first sheet twice, under the code of the second, with its row and its table."""
    few = replace(release, copies=2)
    write_package("html", few, tmp_path / "p.zip", purpose="quiz")
    members = pages(tmp_path / "p.zip")
    first, second = (copy.code for copy in copies(few))
    name = "sheet-congruences-quiz-2027-spring-{}.html".format
    members[name(second)] = members[name(first)].replace(first, second)
    key = members["key-congruences-quiz-2027-spring.html"]
    (row,) = re.findall(rf'<tr><th scope="row">{first}</th>.*?</tr>', key, re.S)
    members["key-congruences-quiz-2027-spring.html"] = re.sub(
        rf'<tr><th scope="row">{second}</th>.*?</tr>', row.replace(first, second), key, flags=re.S
    )
    with zipfile.ZipFile(tmp_path / "q.zip", "w") as z:
        for member, text in members.items():
            z.writestr(member, text)

    findings = audit_package(tmp_path / "q.zip").findings

    assert any(f"copies {first} and {second}: expected at most" in f for f in findings)
