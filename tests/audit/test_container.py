"""Hostile and broken files: each refused with one line, none unpacked."""

import struct
import zipfile

import pytest

from itembank.audit import audit_package
from itembank.audit import container as limits
from itembank.audit.container import Container
from itembank.values.errors import PackageError
from tests.audit.handmade import package, qti_item, qti_manifest, qti_package


def refusal(path):
    """The one line with which the audit refuses a file."""
    with pytest.raises(PackageError) as caught:
        audit_package(path)
    message = str(caught.value)
    assert "\n" not in message
    return message


def zip_of(path, *infos):
    with zipfile.ZipFile(path, "w") as out:
        for info, data in infos:
            out.writestr(info, data)
    return path


def test_a_file_that_is_no_zip_is_refused(tmp_path):
    (tmp_path / "a.zip").write_text("<html>not a package</html>")

    assert refusal(tmp_path / "a.zip") == (
        "a.zip: expected a whole zip, got another kind of file or a part of one"
    )


def test_a_file_that_is_not_there_is_refused(tmp_path):
    assert refusal(tmp_path / "b.zip") == "b.zip: expected a file, there is none"


def test_a_folder_is_refused(tmp_path):
    assert refusal(tmp_path).startswith(f"{tmp_path.name}: expected a zip that can be read")


@pytest.mark.parametrize("kept", [10, 200, 700, -1, -23])
def test_a_truncated_package_is_refused(tmp_path, kept):
    whole = qti_package(tmp_path / "whole.zip", qti_item()).read_bytes()
    (tmp_path / "part.zip").write_bytes(whole[:kept])

    assert "part.zip: expected a whole zip" in refusal(tmp_path / "part.zip")


def test_a_package_whose_bytes_were_changed_is_refused(tmp_path):
    path = qti_package(tmp_path / "a.zip", qti_item())
    data = bytearray(path.read_bytes())
    start = data.index(b"item-0.xml") + len("item-0.xml") + 40
    data[start : start + 8] = bytes(8)
    path.write_bytes(data)

    assert refusal(path).startswith("a.zip: item-0.xml: expected a whole member, got a damaged one")


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("../item.xml", "expected a name that stays in the package"),
        ("a/../../item.xml", "expected a name that stays in the package"),
        ("/etc/item.xml", "expected a relative name"),
        ("C:/item.xml", "expected a relative name"),
        ("\\\\server\\item.xml", "expected a relative name"),
        ("a\\..\\item.xml", "expected a name without backslashes and control characters"),
        ("a\nb.xml", "expected a name without backslashes and control characters"),
    ],
)
def test_a_name_that_leaves_the_package_is_refused(tmp_path, name, why):
    path = zip_of(tmp_path / "a.zip", (zipfile.ZipInfo(name), "x"))

    assert refusal(path) == f"a.zip: {name.replace(chr(10), '?')}: {why}"


def test_a_link_is_refused(tmp_path):
    link = zipfile.ZipInfo("item.xml")
    link.create_system = 3
    link.external_attr = 0o120777 << 16

    assert refusal(zip_of(tmp_path / "a.zip", (link, "/etc/hostname"))) == (
        "a.zip: item.xml: expected a plain file, got a link or a special file"
    )


@pytest.mark.parametrize("second", ["item.xml", "ITEM.xml"])
def test_two_members_of_one_name_are_refused(tmp_path, second):
    with pytest.warns(UserWarning) if second == "item.xml" else nothing():
        path = zip_of(tmp_path / "a.zip", ("item.xml", "1"), (second, "2"))

    assert refusal(path) == f"a.zip: {second}: expected each name once, got it twice"


def nothing():
    from contextlib import nullcontext

    return nullcontext()


def test_an_encrypted_member_is_refused(tmp_path):
    path = package(tmp_path / "a.zip", {"item.xml": "x"})
    data = bytearray(path.read_bytes())
    for signature, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        data[data.index(signature) + offset] |= 1
    path.write_bytes(data)

    assert refusal(path) == "a.zip: item.xml: expected a member that is not encrypted"


def test_a_bomb_is_refused_before_it_is_unpacked(tmp_path):
    path = package(tmp_path / "a.zip", {"item.xml": bytes(50 << 20)})

    assert path.stat().st_size < 100_000
    assert refusal(path) == (
        f"a.zip: item.xml: expected to unpack to at most {limits.RATIO} times its size, "
        f"got {50 << 20} bytes"
    )


def test_a_bomb_that_lies_about_its_size_is_not_unpacked_beyond_it(tmp_path):
    path = package(tmp_path / "a.zip", {"imsmanifest.xml": bytes(50 << 20)})
    data = bytearray(path.read_bytes())
    for signature, offset in ((b"PK\x03\x04", 22), (b"PK\x01\x02", 24)):
        at = data.index(signature) + offset
        data[at : at + 4] = struct.pack("<I", 1000)
    path.write_bytes(data)

    assert "expected a whole member, got a damaged one" in refusal(path)


def test_members_over_one_another_are_refused(tmp_path):
    path = package(tmp_path / "a.zip", {"a.xml": "x" * 100, "b.xml": "y" * 100})
    data = bytearray(path.read_bytes())
    second = data.rindex(b"PK\x01\x02")
    data[second + 42 : second + 46] = struct.pack("<I", 1)
    path.write_bytes(data)

    assert refusal(path) == "a.zip: b.xml: expected members side by side, got one over another"


def test_more_than_the_limit_of_all_members_together_is_refused(tmp_path):
    path = package(tmp_path / "a.zip", {f"{n}.xml": "x" for n in range(5)})
    data = bytearray(path.read_bytes())
    at = -1
    while (at := data.find(b"PK\x01\x02", at + 1)) >= 0:  # each says 500 MB, stored
        data[at + 10 : at + 12] = struct.pack("<H", 0)
        data[at + 20 : at + 28] = struct.pack("<II", 500 << 20, 500 << 20)
    path.write_bytes(data)

    assert f"expected at most {limits.TOTAL} bytes unpacked" in refusal(path)


def test_a_member_of_more_than_the_limit_is_refused(tmp_path):
    path = package(tmp_path / "a.zip", {"item.xml": "x"})
    data = bytearray(path.read_bytes())
    at = data.index(b"PK\x01\x02")
    data[at + 20 : at + 28] = struct.pack("<II", limits.MEMBER, limits.MEMBER + 1)
    path.write_bytes(data)

    assert refusal(path) == (
        f"a.zip: item.xml: expected at most {limits.MEMBER} bytes unpacked, got {limits.MEMBER + 1}"
    )


ATTACKS = {
    "entities that grow": (
        '<!DOCTYPE a [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]><a>&b;</a>',
        "expected no document type and no entities",
    ),
    "an entity from a file": (
        '<!DOCTYPE a [<!ENTITY a SYSTEM "file:///etc/hostname">]><a>&a;</a>',
        "expected no document type and no entities",
    ),
    "a document type from the network": (
        '<!DOCTYPE a SYSTEM "http://example.org/a.dtd"><a/>',
        "expected no document type and no entities",
    ),
    "another encoding": (
        "<?xml version='1.0' encoding='ISO-8859-1'?><a/>",
        "expected the encoding UTF-8, got ISO-8859-1",
    ),
    "UTF-16": ("<a/>".encode("utf-16"), "expected UTF-8, got other bytes"),
    "bytes that are no UTF-8": (b"<a>\xff</a>", "expected UTF-8, got other bytes"),
    "an element not closed": ("<a><b></a>", "expected well-formed XML, got: "),
    "nothing": ("", "expected well-formed XML, got: "),
    "an unknown entity": ("<a>&x;</a>", "expected well-formed XML, got: "),
}


@pytest.mark.parametrize("name", ATTACKS)
@pytest.mark.parametrize("member", ["imsmanifest.xml", "item-0.xml"])
def test_an_attack_or_a_fault_in_the_xml_is_refused(tmp_path, name, member):
    content, why = ATTACKS[name]
    members = {"imsmanifest.xml": qti_manifest("item-0.xml"), "item-0.xml": qti_item()}
    path = package(tmp_path / "a.zip", {**members, member: content})

    assert refusal(path).startswith(f"a.zip: {member}: {why}")


def test_a_document_type_is_found_where_two_pieces_meet(tmp_path):
    before = f"<!--{'x' * (limits.CHUNK - 12)}-->"
    path = package(
        tmp_path / "a.zip", {"imsmanifest.xml": f"{before}<!DOCTYPE a [<!ENTITY a 'b'>]><a/>"}
    )

    assert refusal(path).endswith("expected no document type and no entities")


def test_a_document_too_large_to_read_whole_is_refused(tmp_path):
    item = "<a>" + "".join(f"<b>{n}</b>" for n in range(1_500_000)) + "</a>"
    path = package(tmp_path / "a.zip", {"imsmanifest.xml": qti_manifest("i.xml"), "i.xml": item})

    assert f"expected at most {limits.DOCUMENT} bytes" in refusal(path)


def test_the_elements_of_a_large_document_are_given_one_at_a_time(tmp_path):
    bank = "<q>" + "".join(f"<item n='{n}'><p>text</p></item>" for n in range(50_000)) + "</q>"
    path = package(tmp_path / "a.zip", {"bank.xml": bank})

    with Container(path) as container:
        most = 0
        for n, element in enumerate(container.elements("bank.xml", "item")):
            assert element.get("n") == str(n)
            most = max(most, len(element.getparent()))
        assert n == 49_999
    assert most < 5_000  # those of one piece, and no more
