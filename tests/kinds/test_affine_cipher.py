"""The affine cipher: published texts letter by letter, small keys, letters and their numbers."""

from math import gcd

import pytest

from itembank.kinds.affine_cipher.kind import KINDS, AffineEncryption
from itembank.kinds.affine_cipher.letters import in_letters, letters_as_numbers
from itembank.kinds.base import Kind
from itembank.kinds.statement import problem_from
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.recorded import certificate, read_as_its_kind, samples

PUBLISHED = [
    # SymPy 1.14.0, docstring of encipher_affine
    (3, 1, "GONAVYBEATARMY", "TROBMVENBGBALV"),
    # SymPy 1.14.0, test_encipher_affine
    (3, 16, "ABC", "QTW"),
    # cipher-crypt, documentation of Affine::encrypt, without what is no letter
    (3, 7, "ATTACKATDAWN", "HMMHNLHMQHVU"),
]


def value(statement: str) -> int:
    return problem_from([statement]).solve().answer.value


@pytest.mark.parametrize(("a", "b", "text", "cipher"), PUBLISHED)
def test_published_texts_are_encrypted_and_decrypted(
    a: int, b: int, text: str, cipher: str
) -> None:
    for plain, sent in set(zip(text, cipher, strict=True)):
        key = f"{a}x + {b} mod 26"
        assert in_letters(value(f"encrypt {plain} with {key}"), 26) == sent
        assert in_letters(value(f"decrypt {sent} with {key}"), 26) == plain


def test_the_multiplier_of_a_published_text_is_found_from_two_of_its_letters() -> None:
    """GONAVYBEATARMY by 3x + 1: G to T and N to O."""
    assert value("multiplier that sends G to T and N to O mod 26") == 3


@pytest.mark.parametrize("m", [5, 9, 26, 29])
def test_the_second_way_agrees_for_every_key_and_refuses_the_next_number(m: int) -> None:
    for a in (a for a in range(2, m) if gcd(a, m) == 1):
        for way in ("encrypt", "decrypt"):
            statement = f"{way} {m - 2} with {a}x + {a // 2 + 1} mod {m}"
            found = value(statement)
            assert decide(statement, "the value", found).status == "agreed"
            assert decide(statement, "the value", found + 1).status == "disagreed"
        statement = f"multiplier that sends 1 to 0 and 2 to {a} mod {m}"
        assert value(statement) == a
        assert decide(statement, "the value", a).status == "agreed"
        assert decide(statement, "the value", a - 1).status == "disagreed"


def test_letters_are_numbers_in_base_26() -> None:
    for n in (0, 25, 26, 190, 675):
        assert int(letters_as_numbers(in_letters(n, 676))) == n
    assert in_letters(3, 27) is None
    assert problem_from(["encrypt k with 5x + 8 mod 26"]) == problem_from(
        ["encrypt 10 with 5x + 8 mod 26"]
    )


@pytest.mark.parametrize(
    ("statement", "message"),
    [
        ("encrypt 3 with 13x + 8 mod 26", "a multiplier above 1 and coprime to 26, got 13"),
        ("decrypt 30 with 5x + 8 mod 26", "expected block from 0 to 25, got 30"),
        ("multiplier that sends 1 to 2 and 3 to 5 mod 26", "coprime to 26, got 24"),
    ],
)
def test_a_key_that_cannot_be_undone_is_refused(statement: str, message: str) -> None:
    with pytest.raises(StatementError, match=message):
        problem_from([statement])


def test_pairs_in_the_other_order_are_the_same_question() -> None:
    one, other = (
        problem_from([f"multiplier that sends {pairs} mod 29"])
        for pairs in ("1 to 5 and 2 to 12", "2 to 12 and 1 to 5")
    )
    assert one.canonical == other.canonical
    assert isinstance(problem_from(["encrypt 7 with 3x + 1 mod 29"]), AffineEncryption)


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind_and_certified(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)
    certificate(kind, statement)
