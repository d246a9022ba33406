"""What stands in for an item that a format or a profile does not carry."""

from dataclasses import replace

import pytest

from exporters.fitting import fitted
from exporters.formats import FORMATS, write_package
from itembank.values.errors import ExportError
from itembank.values.item import IntegerEntry
from itembank.values.vocabulary import FORMS, PLAIN_FORMS
from tests.exporters import samples

NO_SET = [form for form in FORMS if form != "set"]


def test_an_item_that_is_carried_stays_as_it_is():
    assert fitted(samples.SET, FORMS, "full") is samples.SET
    assert fitted(samples.LIST, FORMS, "plain") is samples.LIST


@pytest.mark.parametrize(("forms", "profile"), [(NO_SET, "full"), (FORMS, "plain")])
def test_the_declared_form_stands_in_under_the_identifier_of_the_item(forms, profile):
    found = fitted(samples.SET, forms, profile)

    assert found.response == samples.SET.plain.response
    assert found.stem == samples.SET.plain.stem
    assert found.identifier == samples.SET.identifier


def test_without_a_declared_form_the_item_is_refused():
    with pytest.raises(ExportError) as refused:
        fitted(replace(samples.SET, plain=None), NO_SET, "full")
    assert str(refused.value) == (
        "the form set, which this format cannot express; declare a substitute for it in the family"
    )


def test_the_plain_profile_asks_for_the_least_residue_that_the_correct_response_states():
    found = fitted(samples.INTEGER, FORMS, "plain")

    assert found.response == IntegerEntry(value=19)
    assert found.stem == samples.INTEGER.response.least_stem
    assert found.identifier == samples.INTEGER.identifier
    assert fitted(samples.COUNT, FORMS, "plain") is samples.COUNT


def test_the_plain_profile_has_no_partial_scores():
    with pytest.raises(ExportError, match="plus minus scoring in the plain profile"):
        fitted(samples.PLUS_MINUS, FORMS, "plain")


@pytest.mark.parametrize("format", FORMATS)
def test_every_form_that_is_not_plain_is_written_in_the_plain_profile(tmp_path, members, format):
    release = samples.release(samples.group(samples.SET))
    write_package(format, release, tmp_path / "p.zip", profile="plain")
    written = b"".join(members(tmp_path / "p.zip").values())

    assert "set" not in PLAIN_FORMS
    assert b"in increasing order" in written
    assert samples.SET.identifier.encode() in written
