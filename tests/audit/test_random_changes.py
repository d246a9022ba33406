"""Packages with pieces lost, doubled and changed at random: a report or one clear error, always.

The questions about the way to the answer, and one of each older form, in QTI and print.
"""

import random
import re
import zipfile
from pathlib import Path

import pytest

from exporters.formats import write_package
from itembank.audit import audit_package
from itembank.values.errors import PackageError
from tests.exporters import samples

SIGNS = "0123456789,.^-≡ ()xX<>&;'\"²…"

NUMBERS = ["0", "", "9" * 5000, "-1", "7,", "1,,2"]

RELEASE = samples.release(
    *(samples.group(item) for item in samples.BEYOND.values()),
    samples.group(samples.SELECT_ONE),
    samples.group(samples.LIST),
)


def changed(text: str, chance: random.Random) -> str:
    """The text with one piece changed: a sign, a number, a tag, a stretch."""
    i = chance.randrange(len(text))
    match chance.choice((0, 1, 2, 2, 2, 2, 2, 3, 4)):  # numbers most: what is left is well-formed
        case 0:
            return text[:i] + text[i + 1 :]
        case 1:
            return text[:i] + chance.choice(SIGNS) + text[i:]
        case 2:
            number = chance.choice(list(re.finditer(r"\d+", text)))
            return text[: number.start()] + chance.choice(NUMBERS) + text[number.end() :]
        case 3:
            return text[:i] + text[i + chance.randrange(1, 200) :]
        case _:
            tag = chance.choice(list(re.finditer(r"<[a-zA-Z-]+[^>]*>", text)))
            return text[: tag.start()] + text[tag.end() :]


@pytest.mark.parametrize("format", ["qti21", "qti30", "html"])
def test_no_change_ends_in_a_traceback(tmp_path: Path, members, format: str):
    write_package(format, RELEASE, tmp_path / "p.zip")
    whole = members(tmp_path / "p.zip")
    chance, reported = random.Random(format), 0
    names = [name for name in whole if not name.startswith(("imsmanifest", "test"))]
    for _ in range(150):
        parts = dict(whole)
        for name in chance.sample(names, min(2, len(names))):
            text = parts[name].decode()
            for _change in range(chance.choice((1, 1, 2, 4))):
                text = changed(text, chance)
            parts[name] = text.encode()
        with zipfile.ZipFile(tmp_path / "changed.zip", "w") as package:
            for name, data in parts.items():
                package.writestr(name, data)
        try:
            reported += bool(audit_package(tmp_path / "changed.zip").items)
        except PackageError as error:
            assert str(error).count("\n") == 0
    assert reported >= 30  # the others are no package any more
