"""Items as the bank keeps them: what any version wrote is read for ever, with its own name."""

import base64
import json
import zlib
from pathlib import Path

import pytest

from itembank.bank.entries import key_text
from itembank.bank.stored import item_from, stored
from itembank.kinds.statement import problem_from
from itembank.values.errors import BankError

FROZEN = Path(__file__).parent / "stored"
"""Samples of every codec, written by the version that had it, and never written again."""

SAMPLES = [
    (codec, sample)
    for codec in (1, 2)
    for sample in json.loads((FROZEN / f"codec-{codec}.json").read_text(encoding="utf-8"))
]


@pytest.mark.parametrize(
    ("codec", "sample"),
    SAMPLES,
    ids=[f"codec {codec} {s['form']}: {s['statement']}" for codec, s in SAMPLES],
)
def test_what_an_older_version_stored_comes_back_as_it_was(codec, sample):
    item = item_from(base64.b64decode(sample["content"]), sample["fingerprint"])

    assert item.identifier == sample["identifier"]
    assert item.fingerprint == sample["fingerprint"]
    assert item.statement == (sample["statement"],)
    assert (item.response.form, item.ask) == (sample["form"], sample["ask"])
    assert key_text(item.response) == sample["key"]
    assert item.stem and item.solution and item.provenance.seed == "s"


def test_an_older_item_solved_anew_has_the_answer_that_was_stored():
    for _codec, sample in SAMPLES:
        answer = problem_from([sample["statement"]]).solve().answer
        if sample["form"] in ("list", "set"):
            assert json.loads(sample["key"]) == list(answer.residues())


@pytest.mark.parametrize("sample", [s for codec, s in SAMPLES if codec == 2], ids=str)
def test_the_present_codec_writes_what_it_reads(sample):
    data = base64.b64decode(sample["content"])

    text, fingerprint = stored(item_from(data, sample["fingerprint"]))
    assert zlib.decompress(text) == zlib.decompress(data)
    assert fingerprint == sample["fingerprint"]


def test_an_edited_item_is_refused():
    sample = SAMPLES[-1][1]
    text = zlib.decompress(base64.b64decode(sample["content"]))

    with pytest.raises(BankError, match="somebody edited it"):
        item_from(zlib.compress(text.replace(b"medium", b"easy")), sample["fingerprint"])


def test_an_item_of_a_newer_version_says_so():
    from hashlib import sha256

    text = b'{"question 3":{}}'
    with pytest.raises(BankError, match="written by a newer version"):
        item_from(zlib.compress(text), sha256(text).hexdigest())
