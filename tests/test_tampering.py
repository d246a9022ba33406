"""Packages changed after they were made: the audit catches each change with a clear line.

Every change is made to the bytes of a shipped pool's package, as a slip of a hand or a
platform's export would.
"""

import re
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from itembank.audit import audit_package
from itembank.pipeline import making
from itembank.spec import library, load_pool
from tests.shipped import FAMILIES


@pytest.fixture(scope="module")
def packages(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("packages")
    for pool in ("lifting-homework", "congruences-quiz"):
        loaded = load_pool(library() / "pools" / f"{pool}.yaml", FAMILIES)
        making.make(loaded, "2027-spring", folder, ("qti21", "cc13"))
    return folder


def changed(package: Path, target: Path, member: str, change: Callable[[str], str]) -> None:
    """A copy in which the first member whose name matches, and which it changes, is changed."""
    done = False
    with zipfile.ZipFile(package) as source, zipfile.ZipFile(target, "w") as copy:
        for name in source.namelist():
            text = source.read(name).decode()
            if not done and re.search(member, name):
                after = change(text)
                done = after != text
                text = after
            copy.writestr(name, text)
    assert done, "nothing was changed"


def once(pattern: str, replacement: str | Callable[[re.Match[str]], str]) -> Callable[[str], str]:
    return lambda text: re.sub(pattern, replacement, text, count=1, flags=re.S)


def other_option(text: str) -> str:
    """The key of a select-all item with its first right residue exchanged for a wrong one."""
    key = re.findall(r"<value>(residue-\d+)</value>", text)
    options = re.findall(r'<simpleChoice identifier="(residue-\d+)"', text)
    wrong = next((o for o in options if o not in key), None)
    return text.replace(f"<value>{key[0]}</value>", f"<value>{wrong}</value>", 1) if key else text


def slip_equal_to_the_key(text: str) -> str:
    """The first slip of a select-all item is made to fire on exactly the key."""
    key = re.findall(r"<value>(residue-\d+)</value>", text)
    if not key:
        return text
    members = "".join(f'<baseValue baseType="identifier">{k}</baseValue>' for k in key)
    return re.sub(r"<multiple>.*?</multiple>", f"<multiple>{members}</multiple>", text, count=1)


QTI = "lifting-homework-2027-spring-qti21.zip"
CC = "lifting-homework-2027-spring-cc13.zip"

TAMPERINGS = {
    "qti21: a key changed": (QTI, r"^item-", other_option, "key"),
    "qti21: a number of a stem changed": (
        QTI,
        r"^item-",
        once(r'(<math [^>]*display="block".*?<mn>)(\d+)(</mn><mo>⁢)', r"\g<1>1\g<2>\3"),
        "",
    ),
    "qti21: a scoring rule loosened": (
        QTI,
        r"^item-",
        once(
            r'(<responseElse><setOutcomeValue identifier="SCORE"><baseValue baseType="float">)0',
            r"\g<1>1",
        ),
        "scor",
    ),
    "qti21: a slip made equal to the key": (QTI, r"^item-", slip_equal_to_the_key, "slip"),
    "cc13: a key changed": (
        CC,
        r"\.xml$",
        once(
            r"<varequal (respident=\"[^\"]*\")( case=\"Yes\")?>(\d+)(, )", r"<varequal \1\2>9\3\4"
        ),
        "",
    ),
    "cc13: a number of a stem changed": (
        CC,
        r"\.xml$",
        once(
            r"(≡(?:&amp;nbsp;|\s|\u00a0)*0(?:&amp;nbsp;|\s|\u00a0)*\(mod(?:&amp;nbsp;|\s|\u00a0)*)(\d)",
            r"\g<1>1\2",
        ),
        "",
    ),
    "cc13: a score withheld": (
        CC,
        r"\.xml$",
        once(r'(<setvar [^>]*varname="SCORE"[^>]*>)100', r"\g<1>50"),
        "",
    ),
}


@pytest.mark.parametrize("name", TAMPERINGS)
def test_a_changed_package_is_caught_with_a_clear_line(name, packages, tmp_path):
    package, member, change, word = TAMPERINGS[name]
    target = tmp_path / package
    changed(packages / package, target, member, change)

    report = audit_package(target)

    assert not report.clean
    assert report.count("agreed") == len(report.items) - 1
    assert word in " ".join(report.findings)
    assert all(len(line) < 300 and "\n" not in line for line in report.findings)


@pytest.mark.parametrize("package", [QTI, CC])
def test_an_unchanged_copy_is_clean(package, packages, tmp_path):
    changed(packages / package, tmp_path / package, r"imsmanifest", lambda text: text + "\n")

    assert audit_package(tmp_path / package).clean
