"""A statement without a word is read as it was when every reader of a line was tried."""

import random

import pytest

from itembank.second_way import table
from itembank.values.errors import StatementError

SIGNS = [*"0357xynφλ()^²+-−=≡*·/!?,:", " ", " ", "12", "mod", "mod", "of", "a", "is", "65537"]
FORMS = (
    "{}x^2 + {}x = {} mod {}",
    "{}x ≡ {} (mod {})",
    "{}^x = {} mod {}",
    "{}·{}^x = {} mod {}",
    "x^65537 = {} mod {}",
    "{}^{} mod {}",
    "{}·{} + {} mod {}",
    "({}/{})",
    "φ({})",
    "{}! mod {}",
    "{}x + {}y = {}",
    "{}x + {}y = {} mod {}",
)


def statements():
    """Each form twice, with a sign changed once; and signs in any order."""
    rng = random.Random(7)
    for form in FORMS * 2:
        text = form.format(*(rng.randrange(1, 40) for _ in range(4)))
        at = rng.randrange(len(text))
        yield text
        yield text[:at] + rng.choice(SIGNS) + text[at + 1 :]
    for _ in range(100):
        yield "".join(rng.choices(SIGNS, k=rng.randrange(1, 12)))


def of_all_readers(text):
    for reader in table.READERS:
        if (found := reader(text)) is not None:
            return found
    return table.read_congruence(text)


def outcome(read, text):
    try:
        return read(text)
    except StatementError as reason:
        return str(reason)


def test_a_statement_without_words_is_read_as_if_every_reader_were_tried():
    found = {text: outcome(table.read, text) for text in statements()}

    assert found == {text: outcome(of_all_readers, text) for text in found}
    assert len({type(question) for question in found.values()}) >= 9


def test_no_statement_at_all_puts_no_question():
    with pytest.raises(StatementError, match="expected a question, got none"):
        table.read()
