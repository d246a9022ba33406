"""Items that hold all parts of a question: each part judged as alone, and nothing between them.

What is changed here is what a writer could get wrong: each change must be told.
"""

import random
import re
import zipfile
from pathlib import Path

import pytest

from exporters.formats import write_package
from itembank.audit import audit_package
from itembank.audit.against import compared
from itembank.cli.arguments import pool_named
from itembank.pipeline import making
from itembank.values.errors import PackageError
from tests.audit.test_random_changes import changed as random_change
from tests.exporters import samples
from tests.exporters.composites import groups_of

POOL = """
id: forms-as-parts
title: One of each form
course: NT 210 Elementary Number Theory, Alder Ford College
seed: alder-ford-parts
items:
  - {family: linear-one-solution, variants: 1}
  - {family: quadratic-solvable-or-not, variants: 1}
  - {family: quadratic-two-prime-powers, variants: 1, form: select all}
  - {family: zero-product-composite, variants: 1, form: select one}
  - {family: singular-root, variants: 1, form: list}
  - {family: roots-one-by-one, variants: 1, form: set}
  - {family: steps-in-order, variants: 1}
  - {family: lifts-of-roots, variants: 1}
  - {family: stage-by-stage, variants: 1, points: 5}
"""


HALVES = POOL[: POOL.index("items:")] + "items: [{family: linear-in-parts, variants: 1}]\n"
"""Its parts count 1 point and 1½."""


def released(folder: Path, pool: str):
    path = folder / "forms-as-parts.yaml"
    path.write_text(pool, encoding="utf-8")
    return making.released(pool_named(str(path), ()), "2027-spring")


@pytest.fixture(scope="module")
def items(tmp_path_factory):
    """An item in each form, as families give them."""
    groups = released(tmp_path_factory.mktemp("pool"), POOL).groups
    return [next(iter(group.items)) for group in groups]


def package_of(items, path: Path, format: str = "qti21", **how) -> Path:
    write_package(format, samples.release(*groups_of(*items)), path, **how)
    return path


@pytest.fixture(scope="module")
def packages(items, tmp_path_factory) -> dict[str, Path]:
    """All forms in one item; two parts whose scores are added, and two with halves."""
    folder = tmp_path_factory.mktemp("packages")
    three = items[:3]
    write_package("qti21", released(folder, HALVES), folder / "halves.zip")
    return {
        "all": package_of(items, folder / "all.zip"),
        "three": package_of(three, folder / "three.zip", purpose="quiz"),
        "three, 3.0": package_of(three, folder / "other.zip", "qti30", purpose="quiz"),
        "two": package_of(items[:2], folder / "two.zip"),
        "halves": folder / "halves.zip",
    }


def changed(path: Path, target: Path, change) -> str:
    """What the audit says of a package whose items are changed."""
    with zipfile.ZipFile(path) as package:
        found = {name: package.read(name).decode() for name in package.namelist()}
    after = {n: change(text) if n.startswith("parts-") else text for n, text in found.items()}
    assert after != found
    with zipfile.ZipFile(target, "w") as copy:
        for name, text in after.items():
            copy.writestr(name, text)
    report = audit_package(target)
    assert not report.clean, "the change was not told"
    return report.as_text()


def swapped(text: str, first: str, second: str) -> str:
    assert first in text
    assert second in text
    return text.replace(first, "\0").replace(second, first).replace("\0", second)


# ------------------------------------------------------------ as it is written


@pytest.mark.parametrize("format", ["qti21", "qti22", "qti30"])
def test_each_part_of_an_item_of_every_form_is_judged(items, tmp_path, format):
    report = audit_package(package_of(items, tmp_path / "all.zip", format, purpose="quiz"))

    assert report.clean, report.as_text()
    assert report.count("agreed") == len(items) == 9
    assert [one.part.letter for one in report.items if one.part] == list("abcdefghi")
    assert [one.identifier for one in report.items] == [
        item.identifier for group in groups_of(*items) for item in group.items
    ]


def test_a_package_against_itself_keeps_each_part_and_tells_which_has_changed(packages, tmp_path):
    same = compared(packages["three"], packages["three"])
    assert (same.clean, same.released, same.kept) == (True, 3, 3)

    text = re.compile(r'(identifier="RESPONSE_a".*?<value>)(\d+)', re.S)
    target = tmp_path / "new.zip"
    changed(packages["three"], target, lambda t: text.sub(lambda m: m[1] + "0", t, count=1))
    found = compared(target, packages["three"])
    assert (found.kept, len(found.findings)) == (2, 1)
    assert "key: expected" in found.findings[0]


# ------------------------------------------------------------ what is wrong in one part


END = r'(?=<div class="part"|</(?:qti-item-body|itemBody)>)'


def block(text: str, letter: str) -> str:
    """A part's block of the body."""
    return re.findall(rf'<div class="part".*?</div>{END}', text, re.S)["abcdefghi".index(letter)]


def declared(text: str, letter: str) -> str:
    found = re.search(
        rf"<(qti-)?response-?[dD]eclaration identifier=\"RESPONSE_{letter}\".*?"
        r"</(qti-)?response-?[dD]eclaration>",
        text,
        re.S,
    )
    assert found
    return found[0]


def keys_exchanged(text: str) -> str:
    """The number of part (a) where it is compared and declared, by another."""
    (key,) = re.findall(r"value>(\d+)</", declared(text, "a"))
    return text.replace(f">{key}<", f">{int(key) + 1}<")


@pytest.mark.parametrize("name", ["three", "three, 3.0"])
def test_a_wrong_key_of_one_part_is_told_of_that_part(packages, tmp_path, items, name):
    told = changed(packages[name], tmp_path / "new.zip", keys_exchanged)
    assert "2 agreed, 0 unchecked, 1 disagreed" in told
    assert told.count("key: expected") == 1


def test_keys_exchanged_between_two_parts_are_told_of_both(packages, tmp_path):
    """A list is no integer, which is unchecked; a number is not the list."""

    def exchange(text: str) -> str:
        number, listed = declared(text, "a"), declared(text, "e")
        one, other = (re.search("<value>.*?</value>", d)[0] for d in (number, listed))
        text = text.replace(number, number.replace(one, other))
        return text.replace(listed, listed.replace(other, one))

    told = changed(packages["all"], tmp_path / "new.zip", exchange)
    assert "7 agreed, 1 unchecked, 1 disagreed" in told


def gone(text: str) -> str:
    return text.replace(block(text, "b"), "")


def in_another_order(text: str) -> str:
    return swapped(text, block(text, "a"), block(text, "b"))


def another_statement(text: str) -> str:
    own = re.search('label="([^"]*)', block(text, "a"))[1]
    return text.replace(f'label="{own}"', 'label="x = 1 mod 7; the solution"')


def one_name(text: str) -> str:
    first, second, _third = ids(text)
    return text.replace(f'id="{second}"', f'id="{first}"')


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (gone, "what is of no part"),
        (in_another_order, "a field of another part in part (a)"),
        (lambda t: t.replace("Part (b) of 3.", "Part (c) of 3."), "letter of its part, (c)"),
        (lambda t: t.replace("Part (c) of 3.", "Part (c) of 4."), "with the scenario of part (a)"),
        (another_statement, "of the statement 'x = 1 mod 7', got another"),
        (one_name, "once, got it twice"),
        (lambda t: t.replace(' class="part" id=', ' class="part" lang="de" id=', 1), "a part with"),
    ],
    ids=["gone", "order", "letter", "number", "statement", "name", "language"],
)
def test_a_part_that_is_missing_or_another_is_told(packages, tmp_path, change, told):
    assert told in changed(packages["three"], tmp_path / "new.zip", change)


def ids(text: str) -> list[str]:
    return re.findall(r'class="part" id="([^"]+)"', text)


def without_part(text: str, letter: str) -> str:
    """The item without anything of a part, its score taken from that of all."""
    for pattern in (
        rf'<responseDeclaration identifier="RESPONSE_{letter}".*?</responseDeclaration>',
        rf'<outcomeDeclaration identifier="[A-Z]+_{letter}"[^>]*?/>',
        rf'<outcomeDeclaration identifier="[A-Z]+_{letter}".*?</outcomeDeclaration>',
        rf'<modalFeedback outcomeIdentifier="[A-Z]+_{letter}".*?</modalFeedback>',
        rf'<setOutcomeValue identifier="SOLUTION_{letter}">.*?</setOutcomeValue>',
        rf'<variable identifier="SCORE_{letter}"/>(?=</sum>)',
    ):
        text = re.sub(pattern, "", text, flags=re.S)
    rules = re.findall("<responseCondition>.*?</responseCondition>", text, re.S)
    for rule in rules:
        text = text.replace(rule, "") if f"_{letter}" in rule else text
    for name in ("normalMaximum", "value"):
        text = re.sub(rf'(identifier="(?:MAX)?SCORE" .*?{name}(?:="|>))(\d+)', lower, text, count=1)
    text = re.sub(r'(identifier="MAXSCORE" .*?<value>)(\d+)', lower, text, count=1)
    return text.replace(block(text, letter), "")


def lower(match: re.Match[str]) -> str:
    return match[1] + (str(int(match[2]) - 1) if match[2] != "0" else "0")


def test_a_part_that_is_gone_with_all_that_is_its_own_is_missed(packages, tmp_path):
    told = changed(packages["two"], tmp_path / "new.zip", lambda t: without_part(t, "b"))
    assert "expected the parts (a) to (b) together, got (a)" in told


def test_a_part_of_another_variant_is_told(tmp_path):
    """Two questions without a story, whose second parts have changed places."""
    text = HALVES.replace("{family: linear-in-parts, variants: 1}",
                          "{family: primitive-roots-in-parts, variants: 2}")  # fmt: skip
    path = tmp_path / "two.zip"
    write_package("qti21", released(tmp_path, text), path)
    with zipfile.ZipFile(path) as package:
        names = [name for name in package.namelist() if name.startswith("parts-")]
        first, second = (package.read(name).decode() for name in names)

    def pieces(text: str) -> list[str]:
        """What a variant has of its part (b), in the order of the document."""
        rules = re.findall(r"<responseCondition>.*?</responseCondition>", text, re.S)
        return [
            declared(text, "b"), block(text, "b"),
            *(rule for rule in rules if "RESPONSE_b" in rule),
            "".join(re.findall(r'<modalFeedback outcomeIdentifier="\w+_b".*', text, re.S)),
        ]  # fmt: skip

    def exchange(text: str) -> str:
        other = second if text == first else first
        for own, theirs in zip(pieces(text), pieces(other), strict=True):
            text = text.replace(own, theirs)
        return text

    told = changed(path, tmp_path / "new.zip", exchange)
    assert told.count("expected the parts of this question, got others") == 2


def test_no_change_of_a_question_in_parts_ends_in_a_traceback(packages, tmp_path, members):
    whole, chance, reported = members(packages["two"]), random.Random("parts"), 0
    (name,) = (name for name in whole if name.startswith("parts-"))
    for _ in range(40):
        text = random_change(whole[name].decode(), chance)
        with zipfile.ZipFile(tmp_path / "new.zip", "w") as package:
            for other, data in whole.items():
                package.writestr(other, text.encode() if other == name else data)
        try:
            reported += bool(audit_package(tmp_path / "new.zip").items)
        except PackageError as error:
            assert str(error).count("\n") == 0
    assert reported >= 10


def test_a_number_of_parts_without_end_is_no_number_of_parts(packages, tmp_path):
    def change(text: str) -> str:
        return text.replace("Part (a) of 3.", f"Part (a) of {'9' * 5000}.")

    assert "a part (a) of 999" in changed(packages["three"], tmp_path / "new.zip", change)


# ------------------------------------------------------------ what is between the parts


@pytest.mark.parametrize(
    ("name", "old", "new", "told"),
    [
        ("two", 'normalMaximum="2"', 'normalMaximum="3"', "SCORE normalMaximum: expected 2"),
        ("two", "<value>2</value>", "<value>1</value>", "MAXSCORE: expected 2, what the parts"),
        ("halves", ">2.5</baseValue>", ">1.5</baseValue>", "score 1, 3/2: expected 2.5, got 1.5"),
        ("halves", ">1.5</baseValue><variable", ">1</baseValue><variable", "expected 1.5, got 0"),
        ("halves", '<variable identifier="SCORE_b"/></equal></and>',
         '<variable identifier="SCORE_a"/></equal></and>', "a table of scores that is not read"),
        ("halves", '<variable identifier="SCORE_b"/></equal></and>',
         '<variable identifier="SCORE_b" weightIdentifier="W"/></equal></and>', "is not read"),
        ("halves", "<and><equal", "<or><equal", "a table of scores that is not read"),
    ],
)  # fmt: skip
def test_a_wrong_sum_of_what_parts_score_is_told(packages, tmp_path, name, old, new, told):
    def change(text: str) -> str:
        assert old in text
        text = text.replace(old, new, 1)
        return text.replace("</equal></and>", "</equal></or>", 1) if "<or>" in new else text

    assert told in changed(packages[name], tmp_path / "new.zip", change)


ADDED = '<sum><variable identifier="SCORE_a"/><variable identifier="SCORE_b"/>'


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (ADDED, ADDED.replace("SCORE_b", "SCORE_a"), "a last rule that is not SCORE = SCORE_a + "),
        (ADDED, '<sum><variable identifier="SCORE_a"/>', "a last rule that is not SCORE"),
        (ADDED, ADDED + '<variable identifier="SCORE_b"/>', "a last rule that is not SCORE"),
        (ADDED, ADDED.replace("SCORE_a", "MAXSCORE_a"), "a last rule that is not SCORE"),
        ("</responseProcessing>", "<exitResponse/></responseProcessing>", "what is of two parts"),
        (
            '<responseProcessing><responseCondition><responseIf><isNull><variable identifier="RESP'
            'ONSE_a"/></isNull>',
            '<responseProcessing><responseCondition><responseIf><isNull><variable identifier="RESP'
            'ONSE_a"/></isNull><exitResponse/>',
            "a rule of one part that ends those of the others",
        ),
        (
            '<setOutcomeValue identifier="SOLUTION_b">',
            '<setOutcomeValue identifier="SCORE_a"><baseValue baseType="float">1</baseValue>'
            '</setOutcomeValue><setOutcomeValue identifier="SOLUTION_b">',
            "disagreed",
        ),
        (
            '<setOutcomeValue identifier="SOLUTION_b">',
            '<setOutcomeValue identifier="SCORE"><baseValue baseType="float">1</baseValue>'
            '</setOutcomeValue><setOutcomeValue identifier="SOLUTION_b">',
            "what is of no part: SCORE",
        ),
        ("</div></itemBody>", "</div><p>Hint: 7.</p></itemBody>", "something between its parts"),
        ("</div></itemBody>", "</div>Hint: 7.</itemBody>", "something between its parts"),
        (
            "<itemBody>",
            '<itemBody><p>Mind: <textEntryInteraction responseIdentifier="RESPONSE_a"/></p>',
            "a field that all parts share",
        ),
        ("<p><strong>(a)</strong></p>", "<p><strong>(b)</strong></p>", "does not begin so"),
        ("<p><strong>(a)</strong></p>", "", "does not begin so"),
        ('outcomeIdentifier="SOLUTION_a"', 'outcomeIdentifier="SOLUTION_b"', "does not begin so"),
        ('identifier="true_b"', 'identifier="true"', "whose names end with its letter"),
        ('<simpleChoice identifier="true_b"', '<simpleChoice identifier="true_a"', "end with its"),
        ("</itemBody>", "</itemBody>Hint: 7.", "the words 'Hint: 7.' outside the body"),
        ("</responseProcessing>", "Hint</responseProcessing>", "the words 'Hint' outside the body"),
        ('xml:lang="en"', 'xml:lang="en" label="x = 1 mod 7; the least"', "a statement for all"),
    ],
)
def test_what_is_shared_between_parts_or_is_nobodys_is_told(packages, tmp_path, old, new, told):
    def change(text: str) -> str:
        assert old in text
        return text.replace(old, new, 1)

    assert told in changed(packages["three"], tmp_path / "new.zip", change)


def test_feedback_of_one_part_shown_on_an_answer_to_another_is_told(packages, tmp_path):
    old = '<setOutcomeValue identifier="FEEDBACK_c"><baseValue baseType="identifier">slip-1'

    def moved(text: str) -> str:
        assert old in text
        return text.replace(old, old.replace("FEEDBACK_c", "FEEDBACK_a"), 1)

    assert "what is of two parts: FEEDBACK_a, FEEDBACK_c" in changed(
        packages["all"], tmp_path / "new.zip", moved
    )


def test_words_of_one_feedback_in_another_part_are_told(packages, tmp_path):
    """The working of part (c) below the letter of part (a), and the other way round."""

    def working(text: str, letter: str) -> str:
        found = re.search(rf'outcomeIdentifier="SOLUTION_{letter}".*?</p>(.*?)</modalF', text, re.S)
        assert found
        return found[1]

    def change(text: str) -> str:
        return swapped(text, working(text, "a"), working(text, "c"))

    assert "worked solution: expected the key at its end" in changed(
        packages["three"], tmp_path / "new.zip", change
    )
