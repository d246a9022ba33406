"""A package judged in pieces, by whoever: the same report, the same refusals, the same limits."""

import pickle
import struct
import zipfile
import zlib
from concurrent.futures import Executor, Future
from random import Random

import pytest

from itembank.audit import audit_package
from itembank.audit.audit import judged
from itembank.audit.budget import DOCUMENT
from itembank.audit.container import MANIFEST as MANIFEST_NAME
from itembank.audit.container import Container
from itembank.audit.contents import Contents
from itembank.audit.reading import CHUNK, MemberAlone
from itembank.values.errors import PackageError
from tests.audit.handmade import (
    MULTIPLE_RESPONSE,
    bank,
    cartridge_manifest,
    package,
    qti_item,
    qti_manifest,
)
from tests.audit.test_container import refusal

NAMES = tuple(f"item-{n}.xml" for n in range(6))


class Elsewhere(Executor):
    """An executor that has its tasks and their results as bytes alone, as other machines do."""

    def __init__(self, together: int) -> None:
        self.together = together
        self.tasks: list[bytes] = []

    def submit(self, fn, /, *args, **kwargs):
        self.tasks.append(pickle.dumps((fn, args, kwargs)))
        future: Future = Future()
        try:
            fn, args, kwargs = pickle.loads(self.tasks[-1])
            future.set_result(pickle.loads(pickle.dumps(fn(*args, **kwargs))))
        except Exception as error:
            sent = pickle.dumps((error, error.__context__))  # as some send it
            future.set_exception(pickle.loads(sent)[0])
        return future


def told(path, executor=None):
    """The report on a package, or why it is refused."""
    try:
        return audit_package(path, executor)
    except PackageError as error:
        return str(error)


def items_of(**others):
    """Members of a package of six items of which these are other."""
    items = {name: qti_item(identifier=name[:6]) for name in NAMES}
    return {"imsmanifest.xml": qti_manifest(*NAMES), **items, **others}


MANIFEST = qti_manifest(*NAMES)
NO_ITEM = "<a><b/></a>"
PACKAGES = {
    "sound": items_of(),
    "findings of every sort, in order": items_of(
        **{
            "imsmanifest.xml": qti_manifest(*NAMES[:2], "gone.xml", *NAMES[2:]).replace(
                f'"res-3" type="imsqti_item_xmlv2p1" href="{NAMES[2]}"',
                f'"res-3" type="imsqti_item_xmlv2p1" extra="1" href="{NAMES[2]}"',
            ),
            "item-1.xml": NO_ITEM,
            "item-2.xml": qti_item(key=("r7",)),
            "item-3.xml": "<!-- read me -->" + qti_item(identifier="item-3"),
            "item-5.xml": qti_item().replace("simpleChoice", "simpleChoic"),
            "stray.xml": "<a/>",
        }
    ),
    "two documents that are refused": items_of(
        **{"item-2.xml": "<a>", "item-1.xml": b"<a>\xff</a>"}
    ),
    "a document that is refused, a manifest that ends badly": items_of(
        **{"item-4.xml": "<a>", "imsmanifest.xml": MANIFEST[:-5]}
    ),
    "a manifest that ends badly after items that are none": items_of(
        **{"item-1.xml": NO_ITEM, "imsmanifest.xml": MANIFEST.replace("</manifest>", "</m>")}
    ),
    "a test of items": items_of(
        **{
            "test.xml": '<assessmentTest xmlns="http://www.imsglobal.org/xsd/imsqti_v2p1"'
            ' identifier="t"><assessmentItemRef identifier="item-0" href="item-0.xml"/>'
            '<assessmentItemRef identifier="item-9" href="item-1.xml"/></assessmentTest>',
            "imsmanifest.xml": MANIFEST.replace(
                "</resources>",
                '<resource identifier="t" type="imsqti_test_xmlv2p1" href="test.xml">'
                '<file href="test.xml"/></resource></resources>',
            ),
        }
    ),
    "items of a bank, one with what is not read": {
        "imsmanifest.xml": cartridge_manifest(),
        "bank.xml": bank(
            MULTIPLE_RESPONSE,
            MULTIPLE_RESPONSE.replace("item-1", "item-2").replace(
                "<presentation>", "<a/><presentation>"
            ),
            MULTIPLE_RESPONSE.replace("item-1", "item-3").replace(
                "<presentation>", "<presentation><strange/>"
            ),
        ),
    },
    "items of a bank that has their language": {
        "imsmanifest.xml": cartridge_manifest(),
        "bank.xml": bank(MULTIPLE_RESPONSE).replace(
            "<questestinterop", '<questestinterop lang="de"'
        ),
    },
    "a bank that ends badly": {
        "imsmanifest.xml": cartridge_manifest(),
        "bank.xml": bank(MULTIPLE_RESPONSE)[:-9],
    },
}


@pytest.mark.parametrize("name", PACKAGES)
@pytest.mark.parametrize("together", [1, 4, 100])
def test_a_package_is_judged_alike_wherever_its_pieces_are(tmp_path, name, together):
    path = package(tmp_path / "a.zip", PACKAGES[name])
    alone = told(path)

    assert told(path, Elsewhere(together)) == alone
    assert isinstance(alone, str) == ("badly" in name or "refused" in name)
    if not isinstance(alone, str):
        assert alone.clean == (name == "sound")


def test_the_first_fault_of_a_package_is_the_one_that_is_told(tmp_path):
    path = package(
        tmp_path / "a.zip", PACKAGES["a document that is refused, a manifest that ends badly"]
    )

    assert refusal(path).startswith("a.zip: item-4.xml: expected well-formed XML")


def test_an_item_goes_out_as_it_lies_in_its_package(tmp_path):
    path = package(tmp_path / "a.zip", PACKAGES["sound"])
    executor = Elsewhere(2)
    audit_package(path, executor)

    with zipfile.ZipFile(path) as source:
        for n, name in enumerate(NAMES):
            info = source.getinfo(name)
            begin = info.header_offset + 30 + len(name)
            packed = path.read_bytes()[begin : begin + info.compress_size]
            assert packed in executor.tasks[n // 2]


def test_what_comes_back_of_an_item_that_is_agreed_is_little(tmp_path):
    """Its name, its title, and how its key was proved, which is told once for all."""
    path = package(tmp_path / "a.zip", PACKAGES["sound"])
    with Container(path) as container:
        back = judged("a.zip", frozenset(), [p.sent() for p in Contents(container).pieces()])
        one = judged("a.zip", frozenset(), [next(Contents(container).pieces()).sent()])

    assert len(pickle.dumps(back)) - len(pickle.dumps(one)) < 60 * (len(NAMES) - 1)


def test_what_is_kept_of_an_item_is_kept_once(tmp_path):
    """Of 100,000 items, each copy of a name would be 7 MB."""

    path = package(tmp_path / "a.zip", PACKAGES["sound"])
    with Container(path) as container:
        contents = Contents(container)
        lot = [piece.sent() for piece in contents.pieces()]
        back = pickle.loads(pickle.dumps(judged("a.zip", frozenset(), lot)))
        contents.add(back.found)
        names = {id(name) for name in container.members}

        assert {id(name) for name in contents.found.files} <= names
        assert {id(name) for name in contents.listed} - names == {id(MANIFEST_NAME)}
    reports = list(back.reports())
    assert len(reports) == len(NAMES) and len({id(report.how) for report in reports}) == 1
    for report, identifier in zip(reports, contents.found.files.values(), strict=True):
        assert report.identifier is identifier and not hasattr(report, "__dict__")


# ------------------------------------------------------------ a member alone


def changed(path, *changes):
    """The first item's entry in the directory and its header with other bytes at these places."""
    data = bytearray(path.read_bytes())
    at = {
        b"PK\x03\x04": data.index(b"item-0.xml") - 30,
        b"PK\x01\x02": data.rindex(b"item-0.xml") - 46,
    }
    for signature, offset, new in changes:
        data[at[signature] + offset : at[signature] + offset + len(new)] = new
    path.write_bytes(data)
    return path


LOCAL, ENTRY = b"PK\x03\x04", b"PK\x01\x02"
LONG = b"<a>" + bytes(Random(0).choices(b"abcdefgh \n", k=5 * CHUNK)) + b"</a>"
EMPTY = b"<a/>".ljust(10 * CHUNK)


def read_by_zipfile(path):
    """The item as the standard library unpacks it, or the end of what the audit says of it."""
    try:
        with Container(path) as container:
            return b"".join(container.chunks("item-0.xml"))
    except PackageError as error:
        return str(error)


def read_alone(path):
    try:
        with Container(path) as container:
            sent = pickle.loads(pickle.dumps(container.taken("item-0.xml")))
        return b"".join(MemberAlone("a.zip", sent).chunks("item-0.xml"))
    except PackageError as error:
        return str(error)


@pytest.mark.parametrize("method", [zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED])
@pytest.mark.parametrize(
    "content", [b"", b"<a/>", LONG, EMPTY], ids=["none", "short", "long", "dense"]
)
@pytest.mark.parametrize(
    "changes",
    [
        (),
        ((ENTRY, 16, b"\0\0\0\0"),),
        ((ENTRY, 24, struct.pack("<I", 2)),),
        ((ENTRY, 24, struct.pack("<I", 900_000)),),
        ((ENTRY, 20, struct.pack("<I", 3)),),
        ((LOCAL, 0, b"PK\x01\x02"),),
        ((LOCAL, 30, b"other"),),
        ((LOCAL, 6, b"\0\x08"), (LOCAL, 30, b"\xff")),
        ((ENTRY, 8, b"\x20\0"),),
        ((LOCAL, 8, b"\x63\0"), (ENTRY, 10, b"\x08\0")),
        ((ENTRY, 10, b"\x08\0"),),
    ],
    ids=[
        "whole", "another sum", "less than there is", "more than there is", "cut", "no header",
        "another name", "a name that is none", "patched", "another method in the header",
        "said to be deflated",
    ],
)  # fmt: skip
def test_a_member_alone_is_read_as_in_its_package(tmp_path, method, content, changes):
    """Held against `zipfile`, which reads the others: the same bytes, or refused as well."""
    path = tmp_path / "a.zip"
    with zipfile.ZipFile(path, "w", method) as out:
        out.writestr("item-0.xml", content)
    changed(path, *changes)
    expected, got = read_by_zipfile(path), read_alone(path)

    assert type(got) is type(expected)
    assert got == expected if isinstance(got, bytes) else got[:60] == expected[:60]


def test_an_item_that_lies_about_its_size_is_not_unpacked_beyond_it(tmp_path):
    path = package(tmp_path / "a.zip", {"imsmanifest.xml": qti_manifest("item-0.xml")})
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as out:
        out.writestr("item-0.xml", bytes(50 << 20))
    changed(path, (ENTRY, 24, struct.pack("<I", 1000)))

    with Container(path) as container:
        alone = MemberAlone("a.zip", container.taken("item-0.xml"))
        with pytest.raises(PackageError, match="expected a whole member, got a damaged one"):
            assert sum(map(len, alone.chunks("item-0.xml"))) <= 1000
    for executor in (None, Elsewhere(1)):
        assert "got a damaged one" in told(path, executor)


def test_a_document_that_is_too_large_is_not_even_sent(tmp_path):
    path = package(tmp_path / "a.zip", {"imsmanifest.xml": qti_manifest("item-0.xml")})
    with zipfile.ZipFile(path, "a") as out:
        out.writestr("item-0.xml", bytes(DOCUMENT + 1))
    executor = Elsewhere(100)

    assert f"expected at most {DOCUMENT} bytes" in told(path, executor)
    assert told(path) == told(path, executor)
    assert sum(map(len, executor.tasks)) < DOCUMENT / 100


def test_a_document_packed_into_more_than_is_sent_is_read_as_before(tmp_path):
    """Of blocks that hold nothing, which RFC 1951, 3.2.4, allows."""
    content = qti_item(identifier="item-0").encode()
    nothing = b"\0\0\0\xff\xff" * (DOCUMENT // 5 + 1)
    press = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    data = nothing + press.compress(content) + press.flush()
    path = package(tmp_path / "a.zip", items_of())
    with zipfile.ZipFile(path, "a") as out:
        out.writestr("long.xml", data)
    whole = bytearray(path.read_bytes())
    for at, method in ((whole.rindex(LOCAL), 8), (whole.rindex(ENTRY), 10)):
        whole[at + method : at + method + 2] = b"\x08\0"
        sum_ = at + method + 6
        whole[sum_ : sum_ + 4] = struct.pack("<I", zlib.crc32(content))
        whole[sum_ + 8 : sum_ + 12] = struct.pack("<I", len(content))
    path.write_bytes(whole)

    with Container(path) as container:
        member = container.taken("long.xml")
        assert b"".join(container.chunks("long.xml")) == content
    assert b"".join(MemberAlone("a.zip", member).chunks("long.xml")) == content
    assert len(member.data) == len(content)
