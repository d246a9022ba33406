"""Lines that do not belong, in every format: proved untrue, and every tampering is caught.

A spare line made right, a needed line declared spare, a spare line in the key.
"""

import re
import zipfile
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import islice

import pytest

from exporters.formats import FORMATS, write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.notation import plain
from itembank.notation.tree import Paragraph
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream
from itembank.spec import PoolEntry
from itembank.values.item import Item, PutInOrder, SelectOne
from tests.shipped import FAMILIES


@cache
def item_with_spare_lines(name: str = "linear-steps-among-others") -> Item:
    family = FAMILIES[name]
    variant = next(iter(Stream(family, "spare", fits(family))))
    entry = PoolEntry.model_construct(family=family, variants=1, choose=1, points=1, form="order")
    return item_of(variant, entry)


def audited(item: Item, format: str, path):
    group = Group(family="spare", title="Steps", items=(item,), choose=1, points=1)
    release = Release(
        pool_id="spare", title="Steps", course="NT 210", term="2027-spring", language="en",
        groups=(group,),
    )  # fmt: skip
    write_package(format, release, path)
    return audit_package(path)


def twins(response: PutInOrder) -> tuple[str, str]:
    """A spare line, and the line of the key that begins as it does."""
    (spare,) = response.spare
    begins = {line.identifier: plain.inlines(line.label).split(":")[0] for line in response.lines}
    return spare, next(name for name in response.order if begins[name] == begins[spare])


def order_of(item: Item) -> PutInOrder:
    assert isinstance(item.response, PutInOrder)
    return item.response


def changed_lines(item: Item, changed: PutInOrder) -> Item:
    return replace(item, response=changed, feedback=())


def spare_line_made_right(item: Item) -> Item:
    response = order_of(item)
    spare, twin = twins(response)
    label = next(line.label for line in response.lines if line.identifier == twin)
    lines = tuple(
        replace(line, label=label) if line.identifier == spare else line for line in response.lines
    )
    return changed_lines(item, replace(response, lines=lines))


def needed_line_declared_spare(item: Item) -> Item:
    return changed_lines(item, replace(order_of(item), order=order_of(item).order[:-1]))


def spare_line_in_the_key(item: Item) -> Item:
    response = order_of(item)
    spare, twin = twins(response)
    order = tuple(spare if name == twin else name for name in response.order)
    return changed_lines(item, replace(response, order=order))


def all_lines_in_the_key(item: Item) -> Item:
    response = order_of(item)
    return changed_lines(item, replace(response, order=(*response.order, *response.spare)))


TAMPERINGS: dict[str, Callable[[Item], Item]] = {
    "a spare line made right": spare_line_made_right,
    "a needed line declared spare": needed_line_declared_spare,
    "a spare line in the key": spare_line_in_the_key,
}


@pytest.mark.parametrize("format", FORMATS)
def test_lines_that_do_not_belong_are_proved_in_every_format(format, tmp_path, findings):
    report = audited(item_with_spare_lines(), format, tmp_path / "package.zip")

    assert report.clean and report.count("agreed") == 1
    assert findings(tmp_path / "package.zip") == []


ORDERED = [name for name in FAMILIES if name.endswith("-steps-in-order") and "symbol" not in name]
"""A family of every kind that tells wrong lines; a symbol has none."""


def test_lines_that_do_not_belong_are_proved_for_every_kind_that_tells_them(tmp_path):
    items = []
    for n, name in enumerate(ORDERED):
        family = FAMILIES[name].model_copy(update={"spare": 1 + n % 2})
        (variant,) = islice(Stream(family, "spare", fits(family)), 1)
        entry = PoolEntry.model_construct(
            family=family, variants=1, choose=1, points=1, form="order"
        )
        items.append(item_of(variant, entry))
    group = Group(family="spare", title="Steps", items=tuple(items), choose=1, points=1)
    release = Release(
        pool_id="spare", title="Steps", course="NT 210", term="2027-spring", language="en",
        groups=(group,),
    )  # fmt: skip
    for format in ("qti21", "cc13"):
        write_package(format, release, tmp_path / format)
        report = audit_package(tmp_path / format)
        assert (report.findings, report.count("agreed")) == ((), len(ORDERED))


CARRIES = [name for name, f in FORMATS.items() if f.abilities.forms["order"].does == "carries"]


@pytest.mark.parametrize("format", CARRIES)
@pytest.mark.parametrize("name", TAMPERINGS)
def test_a_tampering_is_caught_where_lines_are_put_in_order(format, name, tmp_path):
    report = audited(TAMPERINGS[name](item_with_spare_lines()), format, tmp_path / "package.zip")

    assert report.count("agreed") == 0 and report.findings


def test_a_key_of_all_lines_is_caught_on_paper(tmp_path):
    item = all_lines_in_the_key(item_with_spare_lines())

    assert audited(item, "html", tmp_path / "package.zip").count("agreed") == 0


LOOSENED = {
    "a point for any answer": (rb"(<responseElse>.*?<baseValue baseType=\"float\">)0", rb"\g<1>1"),
    "the spare line in a place": (
        rb"<value>(line-\d) not-used</value>",
        rb"<value>\1 place-1</value>",
    ),
    "two lines in one place": (rb"<value>(line-\d) place-2</value>", rb"<value>\1 place-1</value>"),
}


@pytest.mark.parametrize("name", LOOSENED)
def test_a_package_that_counts_a_spare_line_as_right_is_caught(name, tmp_path):
    audited(item_with_spare_lines(), "qti21", tmp_path / "whole.zip")
    found = 0
    with (
        zipfile.ZipFile(tmp_path / "whole.zip") as source,
        zipfile.ZipFile(tmp_path / "changed.zip", "w") as copy,
    ):
        for member in source.namelist():
            text, n = re.subn(*LOOSENED[name], source.read(member), count=1, flags=re.S)
            found += n
            copy.writestr(member, text)

    assert found == 1
    assert audit_package(tmp_path / "changed.zip").count("agreed") == 0


# ------------------------------------------------------------ where an order is chosen


def key_moved(item: Item) -> Item:
    """The right option is one in which the spare line stands, for the line that it spoils."""
    response = item.response
    key = next(o for o in response.options if o.correct)
    letters = set(plain.inlines(key.label).split(", "))
    moved = next(o for o in response.options if set(plain.inlines(o.label).split(", ")) != letters)
    options = tuple(
        replace(o, correct=o is moved, slips=() if o is moved else ("x",)) for o in response.options
    )
    return replace(item, response=SelectOne(options=options), feedback=())


def right_twice(item: Item) -> Item:
    """The spare line says what the right one says."""
    lines = [block for block in item.stem if isinstance(block, Paragraph) and block.lead]
    begins = [plain.inlines(block.content).split(":")[0] for block in lines]
    twins = [n for n, words in enumerate(begins) if begins.count(words) == 2]
    one, other = (lines[n] for n in twins)
    stem = tuple(replace(b, content=other.content) if b is one else b for b in item.stem)
    return replace(item, stem=stem)


@pytest.mark.parametrize("format", [name for name in FORMATS if name not in CARRIES])
@pytest.mark.parametrize("tampered", [key_moved, right_twice])
def test_a_tampering_is_caught_where_an_order_is_chosen(format, tampered, tmp_path):
    item = item_with_spare_lines()
    assert item.plain is not None

    report = audited(replace(item, plain=tampered(item.plain)), format, tmp_path / "package.zip")

    assert report.count("agreed") == 0 and report.findings


# ------------------------------------------------------------ what the stem says


@pytest.mark.parametrize("format", ["qti21", "qti30", "html"])
def test_a_stem_that_does_not_say_that_lines_are_spare_is_caught(format, tmp_path):
    item = item_with_spare_lines()
    stem = tuple(
        replace(block, content=tuple(part for part in block.content if part is not said))
        if isinstance(block, Paragraph)
        and (said := next((p for p in block.content if NEEDED in str(p)), None))
        else block
        for block in item.stem
    )

    assert stem != item.stem
    assert audited(replace(item, stem=stem), format, tmp_path / "package.zip").count("agreed") == 0


NEEDED = "Not every line is needed."
