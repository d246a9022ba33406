"""The table of formats says what the writers do."""

import hashlib
import re
from contextlib import nullcontext
from dataclasses import replace
from pathlib import Path

import pytest
from lxml import etree

from exporters.abilities import Cell, as_json, lines, markdown
from exporters.formats import FORMATS, write_package
from itembank import __version__
from itembank.kinds.statement import problem_from
from itembank.notation import markup
from itembank.pipeline.compose import Wording, compose
from itembank.values.errors import ComposeError, ExportError
from itembank.values.item import ListEntry
from itembank.values.vocabulary import (
    DIALECTS,
    FORMS,
    PLAIN_FORMS,
    PURPOSES,
    SCORING_RULES,
    USUAL_FORMATS,
)
from itembank.values.vocabulary import FORMATS as NAMES
from tests.exporters import samples

BY_FORM = {item.response.form: item for item in (*samples.BEYOND.values(), *samples.ITEMS.values())}
BY_RULE = {
    "all or nothing": samples.SELECT_ALL,
    "plus minus": samples.PLUS_MINUS,
    "by stage": replace(samples.GUIDED, plain=None),
}


def carried(format, item, path):
    try:
        write_package(format, samples.release(samples.group(item)), path)
    except ExportError:
        return False
    return True


def test_the_formats_are_those_that_specs_may_name():
    assert tuple(FORMATS) == NAMES
    assert [f.name for f in FORMATS.values()] == list(FORMATS)
    assert set(USUAL_FORMATS) < set(NAMES)
    assert sorted(DIALECTS) == sorted(markup.DIALECTS)


@pytest.mark.parametrize("format", FORMATS)
def test_a_column_is_complete_and_says_how(format):
    abilities = FORMATS[format].abilities
    rows = [abilities.forms, abilities.scoring, abilities.feedback, abilities.release]

    assert tuple(abilities.forms) == FORMS
    assert tuple(abilities.scoring) == SCORING_RULES
    assert sorted(abilities.mathematics) == (["tex"] if format == "latex" else sorted(DIALECTS))
    assert set(abilities.purposes) <= set(PURPOSES)
    assert abilities.purposes
    assert all(isinstance(cell, Cell) and cell.how for row in rows for cell in row.values())


def test_columns_have_the_same_rows():
    for part in ("forms", "scoring", "feedback", "release"):
        rows = {tuple(getattr(f.abilities, part)) for f in FORMATS.values()}
        assert len(rows) == 1


@pytest.mark.parametrize("format", FORMATS)
@pytest.mark.parametrize("form", FORMS)
def test_a_form_is_written_exactly_where_the_table_says_so(tmp_path, format, form):
    says = FORMATS[format].abilities.forms[form].does == "carries"

    assert carried(format, replace(BY_FORM[form], plain=None), tmp_path / "p.zip") is says


@pytest.mark.parametrize("format", FORMATS)
@pytest.mark.parametrize("form", [form for form in FORMS if form not in PLAIN_FORMS])
def test_a_substitute_is_written_exactly_where_the_table_says_so(tmp_path, members, format, form):
    cell = FORMATS[format].abilities.forms[form]
    item = samples.BEYOND[form]
    write_package(format, samples.release(samples.group(item)), tmp_path / "p.zip")
    written = b"".join(members(tmp_path / "p.zip").values())

    words = b"Choose the right order" if form == "order" else b"in increasing order"
    assert cell.does in ("carries", "substitutes")
    assert (words in written) is (cell.does == "substitutes")


@pytest.mark.parametrize("format", FORMATS)
@pytest.mark.parametrize("rule", SCORING_RULES)
def test_a_rule_is_written_exactly_where_the_table_says_so(tmp_path, format, rule):
    says = FORMATS[format].abilities.scoring[rule].does == "carries"

    assert carried(format, BY_RULE[rule], tmp_path / "p.zip") is says


@pytest.mark.parametrize("format", FORMATS)
@pytest.mark.parametrize(("part", "words"), [
    ("worked solution", "Modulo"),
    ("by slip", "Two and two make four combinations."),
])  # fmt: skip
def test_feedback_is_written_where_the_table_says_so(tmp_path, members, format, part, words):
    assert FORMATS[format].abilities.feedback[part].does == "carries"
    release = samples.release(samples.group(samples.SELECT_ALL))
    write_package(format, release, tmp_path / "p.zip")

    assert words.encode() in b"".join(members(tmp_path / "p.zip").values())


@pytest.mark.parametrize("format", FORMATS)
def test_the_same_release_gives_the_same_bytes(tmp_path, format):
    write_package(format, samples.RELEASE, tmp_path / "one.zip")
    write_package(format, samples.RELEASE, tmp_path / "two.zip")

    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()


@pytest.mark.parametrize("format", FORMATS)
def test_items_may_come_one_by_one(tmp_path, format):
    class Stream:
        def __iter__(self):
            return (item for item in (samples.LIST, samples.LIST_EMPTY))

    group = samples.group(samples.LIST, samples.LIST_EMPTY)
    write_package(format, samples.release(group), tmp_path / "held.zip")
    streamed = samples.release(replace(group, items=Stream()))
    write_package(format, streamed, tmp_path / "streamed.zip")

    assert (tmp_path / "held.zip").read_bytes() == (tmp_path / "streamed.zip").read_bytes()


@pytest.mark.parametrize("format", FORMATS)
def test_what_was_written_is_counted_and_hashed(tmp_path, format):
    written = write_package(format, samples.RELEASE, tmp_path / "p.zip")
    data = (tmp_path / "p.zip").read_bytes()

    assert (written.format, written.file, written.size) == (format, "p.zip", len(data))
    assert written.sha256 == hashlib.sha256(data).hexdigest()
    assert [(c.group, c.items) for c in written.counts] == [
        (group, len(group.items)) for group in samples.GROUPS
    ]
    assert all(sum(c.types.values()) == c.items for c in written.counts)


@pytest.mark.parametrize("format", FORMATS)
def test_next_terms_identifiers_are_others(tmp_path, members, format):
    next_term = replace(samples.RELEASE, term="2027-fall")
    for release, name in ((samples.RELEASE, "spring"), (next_term, "fall")):
        write_package(format, release, tmp_path / f"{name}.zip")
    spring, fall = (members(tmp_path / f"{name}.zip") for name in ("spring", "fall"))

    own = (
        set(spring)
        - {"imsmanifest.xml", "paper.tex", "preamble.tex"}  # the same for all releases
        - {f"{i.identifier}.xml" for i in samples.ITEMS.values()}
    )
    assert own
    assert not own & set(fall)
    assert b"manifest-nt210-quiz-3-2027-spring" in spring["imsmanifest.xml"]
    assert b"2027-spring" not in fall["imsmanifest.xml"]


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (
            {"format": "qti99"},
            f"exporting: expected one of {', '.join(NAMES)}; got qti99",
        ),
        (
            {"format": "qti21", "math": "latex"},
            "qti21: mathematics: expected one of mathml, html, tex, text; got latex",
        ),
        (
            {"format": "cc13", "purpose": "exam"},
            "cc13: purpose: expected one of bank, quiz; got exam",
        ),
    ],
)
def test_an_unknown_word_is_one_clear_line(tmp_path, options, message):
    with pytest.raises(ExportError) as refused:
        write_package(release=samples.RELEASE, path=tmp_path / "p.zip", **options)
    assert str(refused.value) == message


@pytest.mark.parametrize("format", FORMATS)
def test_a_refused_item_leaves_the_old_package(tmp_path, format):
    path = tmp_path / "p.zip"
    write_package(format, samples.RELEASE, path)
    old = path.read_bytes()
    late = samples.release(*samples.GROUPS, samples.group(samples.LIST))

    with pytest.raises(ExportError):
        write_package(format, late, path)
    assert path.read_bytes() == old
    assert list(tmp_path.iterdir()) == [path]


# ------------------------------------------------------------ what the table counts

QTI = ["qti21", "qti22", "qti30"]


def number(cell, pattern):
    """The number in a cell, which says it once."""
    (found,) = re.findall(pattern, cell.how)
    return int(found)


@pytest.mark.parametrize("format", QTI)
def test_any_representative_counts_up_to_the_modulus_of_the_table(tmp_path, members, format):
    most = 2 ** number(FORMATS[format].abilities.forms["integer"], r"2\^(\d+)")

    for modulus, asked in ((most, "Give the solution"), (most + 1, "Give the least residue")):
        response = replace(samples.INTEGER.response, modulus=modulus)
        item = replace(samples.INTEGER, response=response)
        write_package(format, samples.release(samples.group(item)), tmp_path / "p.zip")
        assert asked.encode() in members(tmp_path / "p.zip")[f"{item.identifier}.xml"]


def test_a_set_is_drawn_up_to_the_modulus_of_the_table():
    said = {number(FORMATS[f].abilities.forms["set"], r"2\^(\d+)") for f in QTI}

    assert said == {30}
    for modulus, drawn in ((2**30, True), (2**30 + 2, False)):
        problem = problem_from([f"2x = 2 mod {modulus}"])
        wording = Wording(
            title="t", ask="all solutions", form="set", rule="all or nothing", points=1,
            outcomes=(), level="easy", provenance=samples.SET.provenance,
        )  # fmt: skip
        with nullcontext() if drawn else pytest.raises(ComposeError, match="at most 1073741824"):
            compose(problem, problem.solve(), [], wording)


@pytest.mark.parametrize("format", [*QTI, "qti12", "cc11", "cc12", "cc13"])
def test_a_list_in_any_order_is_as_long_as_the_table_says_and_one_in_increasing_order_longer(
    tmp_path, format
):
    most = number(FORMATS[format].abilities.forms["list"], r"up to (\d+) values")

    def written(n, any_order):
        response = ListEntry(
            values=tuple(range(2, n + 2)), modulus=91, none_word="none", any_order=any_order
        )
        item = replace(samples.LIST, response=response, feedback=())
        return carried(format, item, tmp_path / "p.zip")

    assert written(most, any_order=True)
    assert not written(most + 1, any_order=True)
    assert written(8, any_order=False)


# ------------------------------------------------------------ the table, told


def test_the_readme_holds_the_table():
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")

    assert "\n".join(markdown(list(FORMATS.values()))) in readme


@pytest.mark.parametrize("format", FORMATS)
def test_every_cell_is_told_in_lines_and_in_json(format):
    f = FORMATS[format]
    told, data = "\n".join(lines(f)), as_json(f)

    assert data["mathematics"]["default"] == f.abilities.mathematics[0]
    for part in ("forms", "scoring", "feedback", "release"):
        for row, cell in getattr(f.abilities, part).items():
            assert f"    {row}: {cell.does}: {cell.how}" in told
            assert data[part][row] == {"does": cell.does, "how": cell.how}


@pytest.mark.parametrize("format", FORMATS)
def test_the_manifest_names_the_tool_and_its_version(tmp_path, members, format):
    write_package(format, samples.release(samples.group(samples.LIST)), tmp_path / "p.zip")
    manifest = etree.fromstring(members(tmp_path / "p.zip")["imsmanifest.xml"])
    (card,) = manifest.iter("{*}entity")

    assert f"FN:itembank {__version__}" in card.text.split("\n")
