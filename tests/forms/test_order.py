"""Lines of which some do not belong: how they are answered, as lines in order and as pairs."""

from dataclasses import replace
from itertools import permutations

import pytest

from itembank.forms import form_of
from itembank.forms.order import paired
from itembank.languages import Speaker
from itembank.values import codec
from itembank.values.item import MatchPairs
from tests.exporters import samples

ITEM = samples.AMONG_OTHERS
FORM = form_of(ITEM.response)


def test_a_line_that_the_key_does_not_name_is_spare():
    assert ITEM.response.spare == ("d",)
    assert FORM.fault_of_key(ITEM.response) is None


@pytest.mark.parametrize("order", [("c", "a", "e"), ("c", "a", "a")])
def test_a_key_holds_lines_of_its_own_each_once(order):
    fault = FORM.fault_of_key(replace(ITEM.response, order=order))

    assert fault == "expected lines of its own in the right order, each once"


@pytest.mark.parametrize("words", ["not_used", "by_places"])
def test_a_key_leaves_no_line_out_where_no_words_say_so(words):
    fault = FORM.fault_of_key(replace(ITEM.response, **{words: ()}))

    assert fault == "expected words for the place of a line that does not belong"


@pytest.mark.parametrize("given", [(), ("a", "a"), ("a", "e")])
def test_an_answer_names_some_of_the_lines_each_once(given):
    assert "expected some of the lines, each once" in FORM.fault_of_answer(ITEM.response, given)


def test_one_of_all_orders_of_some_of_the_lines_is_guessed():
    shown = [line.identifier for line in ITEM.response.lines]
    ways = {order for n in range(1, len(shown)) for order in permutations(shown, n)}

    told = Speaker().text(FORM.guess(ITEM.response, ITEM.scoring))
    assert told == f"A blind guess of the order is right once in {len(ways)}."


def test_as_pairs_each_line_has_its_place_or_none():
    item = paired(ITEM)

    assert isinstance(item.response, MatchPairs)
    assert [t.label for t in item.response.targets] == [
        ("1",), ("2",), ("3",), ("4",), ("not used",)
    ]  # fmt: skip
    assert item.response.pairs == ("a place-2", "b place-3", "c place-1", "d not-used")
    assert item.feedback[0].response == ("a not-used", "b place-3", "c place-1", "d place-2")
    assert item.stem == (*ITEM.stem, *ITEM.response.by_places)
    assert paired(samples.ORDER) is samples.ORDER


@pytest.mark.parametrize(
    ("reported", "given"),
    [
        (("a place-2", "b place-3", "c place-1", "d not-used"), ("c", "a", "b")),
        (("d not-used", "c place-1", "b place-3", "a place-2"), ("c", "a", "b")),
        (("c place-1", "a place-2", "b place-3"), ("c", "a", "b")),
        (("a not-used", "b not-used", "c not-used", "d not-used"), ()),
        (("a place-1", "b place-1"), ("a place-1", "b place-1")),
        (("a place-1", "b place-3"), ("a place-1", "b place-3")),
        (("c", "a", "b"), ("c", "a", "b")),
        (("c", "d"), ("c", "d")),
        ((), ()),
    ],
    ids=[
        "the key", "in another order", "the spare line left", "none used", "two in one place",
        "a gap", "lines alone", "two lines alone", "nothing",
    ],
)  # fmt: skip
def test_pairs_that_are_reported_are_read_as_an_order(reported, given):
    assert FORM.given(ITEM.response, reported) == given


def test_what_is_stored_of_an_order_without_spare_lines_is_as_before():
    text = codec.written(samples.ORDER.response)

    assert b"not_used" not in text and b"by_places" not in text
    assert codec.read(codec.written(ITEM.response)) == ITEM.response
