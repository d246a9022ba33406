"""What a platform kept: a released package changed as imports and exports change one."""

import re
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from itembank.audit.against import Comparison, compared


def exported_back(package: Path, target: Path, change: Callable[[str], str]) -> Path:
    """A copy whose item files are changed as one text, the cartridge's bank or each item's."""
    with zipfile.ZipFile(package) as source, zipfile.ZipFile(target, "w") as copy:
        for member in source.namelist():
            text = source.read(member).decode()
            copy.writestr(member, change(text) if "objectbank" in text else text)
    return target


@pytest.fixture
def back(packages_by_format, tmp_path) -> Callable[[Callable[[str], str]], Comparison]:
    released = packages_by_format["cc13"][0]
    return lambda change: compared(exported_back(released, tmp_path / "back.zip", change), released)


def items(text: str) -> list[str]:
    return re.findall(r"<item .*?</item>", text, re.S)


def test_an_unchanged_package_is_kept_whole(back):
    found = back(lambda text: text)

    assert found.clean
    assert found.kept == found.released > 50


def test_another_order_and_other_identifiers_are_no_finding(back):
    def change(text: str) -> str:
        parts = items(text)
        start, end = text.index(parts[0]), text.index(parts[-1]) + len(parts[-1])
        turned = "".join(reversed(parts))
        turned = re.sub(r'ident="item-(\w+)"', r'ident="q-\1"', turned)
        turned = re.sub(r"residue-(\d+)", r"a\1", turned)
        return text[:start] + turned + text[end:]

    assert back(change).findings == ()


def first_lost(text: str) -> str:
    return text.replace(items(text)[0], "", 1)


def without_feedback(text: str) -> str:
    first = items(text)[0]
    bare = re.sub(r"<itemfeedback.*?</itemfeedback>", "", first, flags=re.S)
    bare = re.sub(r"<displayfeedback[^>]*/>", "", bare)
    return text.replace(first, bare, 1)


def other_points(text: str) -> str:
    return re.sub(r"(cc_weighting</fieldlabel><fieldentry>)\d+", r"\g<1>9", text, count=1)


def other_modulus(text: str) -> str:
    return re.sub(r"\(mod(\s|\xa0)(\d+)\)", r"(mod\g<1>1\2)", text, count=1)


def no_exponents(text: str) -> str:
    return re.sub(r"&lt;sup&gt;(\d+)&lt;/sup&gt;", r"\1", text)


def first_key_alone(text: str) -> str:
    """Only the first right option of the first multiple response is kept."""
    first = next(item for item in items(text) if "<and>" in item)
    right = re.search(r"(?<!<not>)(<varequal[^>]*>[^<]*</varequal>)(?!</not>)", first)[1]
    and_ = re.search(r"<and>.*?</and>", first, re.S)[0]
    return text.replace(first, first.replace(and_, right), 1)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (first_lost, ": missing"),
        (without_feedback, "feedback: lost '"),
        (other_points, "points: expected 1, got 9"),
        (other_modulus, "mathematics of the stem: expected '"),
        (no_exponents, "mathematics of the stem: expected '"),
        (first_key_alone, "key: expected "),
    ],
)
def test_what_was_lost_or_changed_is_named(back, change, message):
    found = back(change)

    assert any(message in line for line in found.findings), found.findings[:5]
    assert found.kept < found.released
    assert "against" in found.as_text()


def test_another_dialect_of_mathematics_is_the_same_item(packages_by_format, tmp_path):
    """QTI 2.1 in MathML against itself with a raised ² for the mathematics in text."""
    released = packages_by_format["qti21"][0]
    target = tmp_path / "back.zip"
    square = re.compile(r"<msup><mi>x</mi><mn>2</mn></msup>")
    with zipfile.ZipFile(released) as source, zipfile.ZipFile(target, "w") as copy:
        for member in source.namelist():
            text = source.read(member).decode()
            copy.writestr(member, square.sub("<mtext>x²</mtext>", text))

    assert [line for line in compared(target, released).findings if "stem" in line] == []


def test_what_is_new_is_named(packages_by_format):
    first, second, *_others = packages_by_format["cc13"]
    found = compared(first, second)

    assert any("was not released" in line for line in found.findings)


TURNED = {"slip-1": "slip-2", "slip-2": "slip-1"}


def test_feedback_told_to_another_answer_is_moved(packages_by_format, tmp_path):
    released = packages_by_format["qti21"][0]
    target = tmp_path / "back.zip"
    with zipfile.ZipFile(released) as source, zipfile.ZipFile(target, "w") as copy:
        for member in source.namelist():
            text = source.read(member).decode()
            if "<modalFeedback" in text and "slip-2" in text:
                text = re.sub(
                    r'(<modalFeedback outcomeIdentifier="FEEDBACK" identifier=")(slip-[12])"',
                    lambda m: m[1] + TURNED[m[2]] + '"',
                    text,
                )
            copy.writestr(member, text)
    found = compared(target, released)

    assert found.findings
    assert all("feedback: moved '" in line for line in found.findings)
