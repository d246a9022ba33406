"""The packages of every format, held as files: an item in each form, and one counted tick by tick.

What a format does not carry is there in the plain form that stands in for it.
"""

import pytest

from exporters.formats import FORMATS, write_package
from itembank.values.vocabulary import FORMS
from tests.exporters import samples

ITEMS = {
    "select all": samples.SELECT_ALL,
    "select one": samples.SELECT_ONE,
    "integer": samples.INTEGER,
    "list": samples.LIST_ANY_ORDER,
    "set": samples.SET,
    "solvable or not": samples.TRUE_FALSE,
    "order": samples.ORDER,
    "match": samples.MATCH,
    "guided": samples.GUIDED,
}

RELEASE = samples.release(
    *map(samples.group, ITEMS.values()), samples.group(samples.PLUS_MINUS, title="Tick by tick")
)


def carries_sums(format):
    return FORMATS[format].abilities.scoring["plus minus"].does == "carries"


@pytest.fixture(scope="module", params=FORMATS)
def package(request, tmp_path_factory):
    """(format, package) of the release; without the item counted by sums where it is refused."""
    format = request.param
    groups = RELEASE.groups if carries_sums(format) else RELEASE.groups[:-1]
    path = tmp_path_factory.mktemp(format) / "p.zip"
    write_package(format, samples.release(*groups), path)
    return format, path


def test_there_is_an_item_in_every_form():
    assert {form: item.response.form for form, item in ITEMS.items()} == dict(
        zip(FORMS, FORMS, strict=True)
    )


def test_a_package_is_as_it_was(package, members, golden):
    format, path = package

    golden(format, members(path))


def test_what_is_held_is_valid_by_the_published_schemas(package, findings):
    _format, path = package

    assert findings(path) == []


def test_what_is_held_names_every_item(package, members):
    _format, path = package
    text = b"".join(members(path).values())

    assert all(item.identifier.encode() in text for item in ITEMS.values())
