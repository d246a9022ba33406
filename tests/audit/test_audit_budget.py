"""Packages made to hold the audit up: each item or package is given up, with the limit, and soon.

What is counted is work and memory, never time; the seconds only end a test that would never end.
The modulus is a product of the Mersenne primes 2^607 - 1 and 2^1279 - 1 (OEIS A000043).
"""

import signal
import struct
import tracemalloc
import zipfile

import pytest

from itembank.audit import audit_package, budget
from itembank.values.errors import PackageError
from tests.audit.handmade import (
    ENTRY,
    FIELD,
    GIVEN,
    bank,
    base,
    cartridge_item,
    cartridge_manifest,
    choices,
    equals,
    labels,
    qti_item,
    qti_manifest,
    report_on,
    scored,
)

HARD = (2**607 - 1) * (2**1279 - 1)

MEGABYTE = 1 << 20


@pytest.fixture(autouse=True)
def _ends():
    def too_long(*_signal):
        raise AssertionError("expected an answer within the budget of work, got none in a minute")

    before = signal.signal(signal.SIGALRM, too_long)
    signal.alarm(60)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


@pytest.fixture
def memory():
    """The most memory that Python holds at once, in bytes, as a function."""
    tracemalloc.start()
    yield lambda: tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()


# ------------------------------------------------------------ what is asked

STEM = "<p>{ask}</p><p>{formula}</p><p>Type one integer. 1 point if it is right, otherwise 0.</p>"
ASKED = {
    "a congruence": ("How many solutions has", f"x<sup>2</sup> ≡ 4 (mod {HARD})"),
    "its least solution": ("Find the least residue that solves", f"x² ≡ 4 (mod {HARD})"),
    "exponents": ("How many solutions has", f"2 · 3^x ≡ 5 (mod {HARD})"),
    "phi": (f"Find φ({HARD}): ", ""),
}


@pytest.mark.parametrize("name", ASKED)
@pytest.mark.parametrize("standard", ["qti", "cartridge"])
def test_a_modulus_that_nobody_can_factor_is_unchecked_with_the_limit(tmp_path, name, standard):
    ask, formula = ASKED[name]
    stem = STEM.format(ask=ask, formula=formula).replace("<p></p>", "")
    if standard == "qti":
        item = qti_item(
            stem=stem, interaction=ENTRY, cardinality="single", base_type="integer", key=(4,),
            processing=scored(f"<equal toleranceMode='exact'>{GIVEN}{base('integer', 4)}</equal>"),
            label="",
        )  # fmt: skip
    else:
        item = cartridge_item(
            stem=stem, profile="cc.fib.v0p1", response=FIELD, right=equals(4), weight="1"
        )

    (report,) = report_on(tmp_path, item).items

    assert report.status != "agreed"
    assert report.how == (
        "a factor of the modulus is composite and has 1886 binary digits; at most 400 are searched"
        " for factors"
    )


def test_help_that_cannot_be_read_is_a_finding_on_its_item(tmp_path):
    stem = STEM.format(ask="How many solutions has", formula="7x ≡ 3 (mod 26)")
    stem += "<p>Use indices: (( is a primitive root modulo 26.</p>"
    item = qti_item(
        stem=stem, interaction=ENTRY, cardinality="single", base_type="integer", key=(1,),
        processing=scored(f"<equal toleranceMode='exact'>{GIVEN}{base('integer', 1)}</equal>"),
        label="",
    )  # fmt: skip

    (report,) = report_on(tmp_path, item).items

    assert "stem: expected a primitive root modulo 26, got ((" in report.findings


# ------------------------------------------------------------ how much there is


def test_more_options_than_are_read_are_counted_and_not_read(tmp_path):
    many = {f"r{x}": str(x) for x in range(20_000)}

    for item in (
        qti_item(interaction=choices(many, 0)),
        cartridge_item(response=labels("Multiple", many), right=equals("r1")),
    ):
        (report,) = report_on(tmp_path, item).items
        assert (report.status, report.how) == ("unchecked", "20000 options, 60 are read")


def test_more_entries_than_are_read_are_counted_and_not_read(tmp_path):
    entries = "".join(ENTRY.replace("Answer", f"Answer {n * n}") for n in range(30_000))
    (report,) = report_on(tmp_path, qti_item(interaction=entries)).items

    assert (report.status, report.how) == ("unchecked", "30000 interactions, 60 are read")


@pytest.mark.parametrize(
    "large", ["<b/>" * (budget.TAGS + 1), f"<b>{'x' * (budget.DOCUMENT // 2)}</b>" * 2]
)
def test_an_item_that_would_fill_the_memory_is_refused(tmp_path, large):
    item = cartridge_item(response=FIELD).replace("<presentation>", f"<presentation>{large}")
    path = tmp_path / "a.zip"
    with zipfile.ZipFile(path, "w") as out:
        out.writestr("imsmanifest.xml", cartridge_manifest())
        out.writestr("bank.xml", bank(item))

    with pytest.raises(PackageError, match=r"a\.zip: bank\.xml: expected at most \d+ (tags|bytes)"):
        audit_package(path)


def test_a_page_that_would_fill_the_memory_is_refused(tmp_path):
    page = "<p>" * (budget.PAGE_TAGS + 1)
    path = tmp_path / "a.zip"
    with zipfile.ZipFile(path, "w") as out:
        both = ("questions-a.html", "key-a.html")
        out.writestr("imsmanifest.xml", qti_manifest(*both, kind="webcontent"))
        for name in both:
            out.writestr(name, page)

    with pytest.raises(PackageError, match=r"-a\.html: expected a page of at most"):
        audit_package(path)


# ------------------------------------------------------------ how many members


def directory_of(members: int) -> bytes:
    """The central directory of so many empty members (APPNOTE.TXT, 4.3.12)."""
    fields = (20, 20, 0, 0, 0, 0, 0, 0, 0, 7, 0, 0, 0, 0, 0, 0)
    entry = struct.pack("<4s6H3I5H2I", b"PK\1\2", *fields)
    return b"".join(entry + b"%07d" % n for n in range(members))


def end_of(directory: bytes, members: int, large: bool) -> bytes:
    """The end of a zip that holds its directory alone (4.3.14 to 4.3.16)."""
    size = len(directory)
    short = struct.pack("<4s4H2IH", b"PK\5\6", 0, 0, members % 65_536, members % 65_536, size, 0, 0)
    if not large:
        return short
    whole = struct.pack("<4sQ2H2I4Q", b"PK\6\6", 44, 45, 45, 0, 0, members, members, size, 0)
    return whole + struct.pack("<4sIQI", b"PK\6\7", 0, size, 1) + short


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("claimed", [120_000, 1])
def test_more_members_than_are_read_are_counted_and_never_listed(tmp_path, memory, large, claimed):
    directory = directory_of(120_000)
    path = tmp_path / "a.zip"
    path.write_bytes(directory + end_of(directory, claimed, large))
    del directory
    before = memory()

    with pytest.raises(PackageError) as caught:
        audit_package(path)

    assert str(caught.value) == "a.zip: expected at most 100000 members, got 120000"
    assert memory() <= max(before, 40 * MEGABYTE)


def test_a_directory_that_is_too_long_is_refused_before_it_is_read(tmp_path):
    path = tmp_path / "a.zip"
    size = budget.DIRECTORY + 1
    with path.open("wb") as file:
        file.truncate(size)  # sparse: takes no space
        file.seek(size)
        file.write(struct.pack("<4s4H2IH", b"PK\5\6", 0, 0, 1, 1, size, 0, 0))

    with pytest.raises(PackageError) as caught:
        audit_package(path)
    assert str(caught.value) == (
        f"a.zip: expected a directory of at most {budget.DIRECTORY} bytes, got {size}"
    )


def test_members_are_counted_in_a_zip_with_a_comment_too(tmp_path):
    directory = directory_of(120_000)
    end = end_of(directory, 1, large=False)[:-2] + struct.pack("<H", 9) + b"term 2027"
    (tmp_path / "a.zip").write_bytes(directory + end)

    with pytest.raises(PackageError, match="at most 100000 members, got 120000"):
        audit_package(tmp_path / "a.zip")


# ------------------------------------------------------------ how it is scored

TYPED = {"interaction": ENTRY, "cardinality": "single", "base_type": "string"}
LIST = (
    "<p>Find <b>all</b> solutions of</p><p>9x ≡ 6 (mod 15)</p><p>Type all its least residues (0 to"
    " 14) in increasing order. If there is no solution, type “none”. 1 point for exactly the"
    " right list, otherwise 0.</p>"
)


def matching(pattern: str) -> str:
    return f'<patternMatch pattern="{pattern}">{GIVEN}</patternMatch>'


@pytest.mark.parametrize(
    ("processing", "reason"),
    [
        (scored(f"<or>{matching('(' + '|'.join('a' * 400) + ')*b')}"
                f"<match>{GIVEN}{base('string', 'a' * 3000)}</match></or>"),
         "a scoring that takes more than 4000000 steps to try"),
        (scored("<or>" + "".join(f"<match>{GIVEN}{base('string', n)}</match>"
                                 for n in range(1900)) + "</or>"),
         "a scoring that takes more than 4000000 steps to try"),
        (scored("<or>" + "".join(matching(f"{n}({'|'.join('a' * 400)})*") for n in range(9))
                + "</or>"),
         "patterns of more than 1000000 characters and moves"),
    ],
)  # fmt: skip
def test_a_scoring_that_takes_too_long_to_try_is_unchecked(tmp_path, processing, reason):
    item = qti_item(stem=LIST, key=("4, 9, 14",), processing=processing, label="", **TYPED)

    (report,) = report_on(tmp_path, item).items

    assert report.status != "agreed"
    assert report.how == reason
