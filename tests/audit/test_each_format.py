"""What an audit of an audit found, tried in each of the eight formats: one change, one finding.

Three items are written, one of each common form, and one thing is changed in the package.
`LINES` names, for each line of what was found, where it is tried; what is no change of an item
has a file of its own.
"""

import re
import tracemalloc
import zipfile
from dataclasses import replace
from functools import cache
from itertools import islice
from pathlib import Path

import pytest

from exporters.formats import FORMATS, write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.audit.against import compared
from itembank.audit.grading import others
from itembank.audit.met import items_met
from itembank.pipeline.selection import entry, fits, item_of
from itembank.pipeline.variants import Stream, Variant
from tests.shipped import FAMILIES

FORMS = ("select all", "list", "select one")
DIALECTS = {
    **dict.fromkeys(("qti12", "cc11", "cc12", "cc13"), "1"),
    **dict.fromkeys(("qti21", "qti22"), "2"),
    "qti30": "3",
    "html": "html",
}
Change = tuple[str, str]


def everywhere(element: str, new: str) -> dict[str, Change]:
    """A change of markup, which stands escaped in the text fields of 1.2.1."""
    escaped = [re.sub("<", "&lt;", re.sub(">", "&gt;", text)) for text in (element, new)]
    return {"1": (escaped[0], escaped[1]), **dict.fromkeys(("2", "3", "html"), (element, new))}


def put(new: str) -> dict[str, Change]:
    """Markup before the first words of a stem."""
    return everywhere("<p>Find", new + "<p>Find")


CHANGES: dict[str, dict[str, Change]] = {
    "a paragraph not displayed": everywhere("<p>Find", '<p style="display:none">Find'),
    "a size of nothing": everywhere("<p>Find", '<p style="font-size:0">Find'),
    "struck out": everywhere("<strong>all</strong>", "<del>all</del>"),
    "a style sheet": put("<style>p{color:white}</style>"),
    "a script": put("<script>show()</script>"),
    "an event": everywhere("<p>Find", '<p onclick="show()">Find'),
    "a link that runs": put('<p><a href="javascript:show()">x</a></p>'),
    "a picture from elsewhere": put('<p><img src="https://a.test/1.png" alt="x"/></p>'),
    "an object": put('<object data="a.swf"></object>'),
    "the key in a tip": everywhere("<p>Find", '<p title="KEYS">Find'),
    "the key in a comment": put("<!-- KEYS -->"),
    "the key in the stem": put("<p>They are KEYS.</p>"),
    "another question below it": put("<p>How many solutions are there?</p>"),
    "a blank without width in a number": {
        "1": (r"(\(mod[\s\xa0])(\d)(\d)", "\\1\\2\u200b\\3"),
        **dict.fromkeys(("2", "3", "html"), (r"<mn>(\d)(\d)", "<mn>\\1\u200b\\2")),
    },
    "no size in a formula": {
        **dict.fromkeys(("2", "3", "html"), ("<mn>", '<mn mathsize="0">')),
    },
    "a second material": {
        "1": ("<response_", "<material><mattext>Another question.</mattext></material><response_"),
    },
    "a default answer": {
        "2": ("(</correctResponse>)", r"\1<defaultValue><value>7</value></defaultValue>"),
        "3": (
            "(</qti-correct-response>)",
            r"\1<qti-default-value><qti-value>7</qti-value></qti-default-value>",
        ),
    },
    "one character to type": {"1": ("<render_fib ", '<render_fib maxchars="1" ')},
    "integers alone to type": {
        "1": (r"<render_fib( fibtype=\"\w+\")? ", '<render_fib fibtype="Integer" '),
    },
    "one to tick": {
        "1": ("<render_choice ", '<render_choice maxnumber="1" '),
        "2": ('maxChoices="0"', 'maxChoices="1"'),
        "3": ('max-choices="0"', 'max-choices="1"'),
        "html": ('data-choose="any"', 'data-choose="one"'),
    },
    "two to tick at least": {
        "2": ('maxChoices="0"', 'maxChoices="0" minChoices="2"'),
        "3": ('max-choices="0"', 'max-choices="0" min-choices="2"'),
    },
    "scored by hand": {
        "1": (
            "<qtimetadata>(?=.*<presentation)",
            "<qtimetadata><qtimetadatafield><fieldlabel>qmd_computerscored</fieldlabel>"
            "<fieldentry>No</fieldentry></qtimetadatafield>",
        ),
    },
    "the key in the title": {
        "1": (r'(<item [^>]*title=")', r"\g<1>KEYS "),
        "2": (r'(<assessmentItem [^>]*title=")', r"\g<1>KEYS "),
        "3": (r'(<qti-assessment-item [^>]*title=")', r"\g<1>KEYS "),
        "html": (r"(<section class=\"question\"><h3>)", r"\g<1>KEYS "),
    },
    "a formula spoken otherwise": dict.fromkeys(
        ("2", "3", "html"), (r'alttext="([^"]*?)(\d+)', r'alttext="\g<1>1\2')
    ),
    "a formula not spoken": dict.fromkeys(("2", "3", "html"), (r' alttext="[^"]+"', "")),
}  # fmt: skip


@cache
def drawn() -> tuple[Variant, ...]:
    """A variant for each form."""
    family = FAMILIES["quadratic-two-prime-powers"]
    return tuple(islice(Stream(family, "formats", fits(family)), len(FORMS)))


def release() -> Release:
    """A question in each of the forms."""
    items = [item_of(v, entry(v.family, f, 1)) for v, f in zip(drawn(), FORMS, strict=True)]
    groups = [
        Group(family="one", title=item.title, items=(item,), choose=1, points=1) for item in items
    ]
    return Release(
        pool_id="three", title="Three questions", course="NT 210", term="2027-spring",
        language="en", groups=tuple(groups),
    )  # fmt: skip


def keys() -> str:
    """The keys of all three."""
    return " / ".join(", ".join(map(str, v.solution.answer.residues())) for v in drawn())


@cache
def members(name: str, folder: Path) -> dict[str, str]:
    write_package(name, release(), folder / name)
    with zipfile.ZipFile(folder / name) as z:
        return {n: z.read(n).decode() for n in z.namelist()}


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("formats")


def audited(parts: dict[str, str], path: Path) -> bool:
    with zipfile.ZipFile(path, "w") as z:
        for name, text in parts.items():
            z.writestr(name, text)
    return audit_package(path).clean


def test_no_format_is_forgotten():
    assert {*DIALECTS, "latex"} == {*FORMATS}


@pytest.mark.parametrize("name", DIALECTS)
def test_the_package_is_agreed_as_it_is(name, folder, tmp_path):
    assert audited(members(name, folder), tmp_path / "p.zip")


@pytest.mark.parametrize(
    ("change", "name"),
    [(c, n) for c, told in CHANGES.items() for n, dialect in DIALECTS.items() if dialect in told],
)
def test_one_change_is_found(change, name, folder, tmp_path):
    pattern, new = CHANGES[change][DIALECTS[name]]
    new = new.replace("KEYS", keys())
    parts = members(name, folder)
    file = next(n for n, t in parts.items() if "manifest" not in n and re.search(pattern, t, re.S))
    changed = re.sub(pattern, new, parts[file], count=1, flags=re.S)

    assert changed != parts[file]
    assert not audited({**parts, file: changed}, tmp_path / "p.zip")


# ------------------------------------------------------------ against the package as it was


@pytest.mark.parametrize("name", DIALECTS)
def test_a_package_is_what_it_was_and_no_more_once_feedback_is_changed(name, folder, tmp_path):
    parts = members(name, folder)
    file = next(n for n in parts if n.startswith(("key-", "bank-", "item-")))
    found = re.findall(r"\b(?:Check|Multiply|Test|check) the\b", parts[file])
    audited(parts, tmp_path / "p.zip")
    audited({**parts, file: parts[file].replace(found[0], "Forget the", 1)}, tmp_path / "q.zip")

    assert compared(tmp_path / "p.zip", tmp_path / "p.zip").clean
    assert not compared(tmp_path / "q.zip", tmp_path / "p.zip").clean


def test_feedback_that_two_stages_repeat_is_no_change(tmp_path):
    family = FAMILIES["stage-by-stage"]
    (variant,) = islice(Stream(family, "formats", fits(family)), 1)
    item = item_of(variant, entry(family, "guided", 1))
    group = Group(family="one", title="One", items=(item,), choose=1, points=item.scoring.points)
    write_package("qti21", replace(release(), groups=(group,)), tmp_path / "p.zip")
    (met,) = items_met(tmp_path / "p.zip")

    assert len(set(met.feedback.values())) < len(met.feedback)
    assert compared(tmp_path / "p.zip", tmp_path / "p.zip").clean


def test_wrong_residues_of_a_large_modulus_are_looked_for_one_by_one():
    tracemalloc.start()
    assert others((0, 2), 2**30, 3) == [1, 3, 4]
    assert tracemalloc.get_traced_memory()[1] < 10_000
    tracemalloc.stop()


# ------------------------------------------------------------ where each is tried

LINES: dict[str, tuple[str, ...]] = {
    "weights, selection, attempts, references": (
        "test_assembly.py::test_a_changed_test_is_found",
        "test_assembly.py::test_a_changed_test_of_3_is_found",
        "test_assembly.py::test_a_changed_quiz_of_1_2_is_found",
        "test_assembly.py::test_a_changed_manifest_is_found",
    ),
    "text that is hidden, replaced or added": (
        "test_unseen.py::test_a_stem_that_could_be_seen_otherwise_is_unchecked",
        "test_unseen.py::test_a_text_field_that_could_be_seen_otherwise_is_unchecked",
        "test_printed.py::test_a_changed_page_is_found",
        "test_each_format.py::test_one_change_is_found",
    ),
    "what runs, or is loaded": ("test_each_format.py::test_one_change_is_found",),
    "answers filled in, limits of answers": (
        "test_unseen.py::test_what_decides_whether_a_right_answer_can_be_given_is_read",
        "test_unseen.py::test_what_a_cartridge_may_not_say_is_unchecked",
        "test_each_format.py::test_one_change_is_found",
    ),
    "feedback exchanged, praise of a wrong answer": (
        "test_fitting.py::test_two_slips_exchanged_are_found",
        "test_fitting.py::test_a_remark_that_does_not_fit_is_found",
        "test_told_alike.py::test_a_remark_on_some_of_a_class_is_found",
    ),
    "a worked solution altered or lost, the key told too early": (
        "test_relations.py::test_feedback_is_read",
        "test_fitting.py::test_the_key_is_not_told_in_the_stem",
        "test_each_format.py::test_one_change_is_found",
    ),
    "letters of options, and of the key": ("test_printed.py::test_a_changed_page_is_found",),
    "a package against itself, and pages": (
        "test_each_format.py::test_a_package_is_what_it_was_and_no_more_once_feedback_is_changed",
        "test_each_format.py::test_feedback_that_two_stages_repeat_is_no_change",
        "test_printed.py::test_pages_are_compared_with_those_that_were_released",
    ),
    "what holds the audit up": (
        "test_audit_budget.py::test_a_modulus_that_nobody_can_factor_is_unchecked_with_the_limit",
        "test_audit_budget.py::test_more_members_than_are_read_are_counted_and_never_listed",
        "test_each_format.py::test_wrong_residues_of_a_large_modulus_are_looked_for_one_by_one",
        "test_limits.py::test_every_limit_has_its_test",
    ),
    "what is spoken": (
        "test_unseen.py::test_every_formula_is_spoken_as_it_is_shown",
        "test_unseen.py::test_a_field_is_named_as_the_text_beside_it",
        "test_each_format.py::test_one_change_is_found",
    ),
    "blanks before an answer": (
        "test_audit_sets.py::test_a_set_without_guards_gives_a_right_answer_nothing_in_some_reader",
        "test_audit_sets.py::test_another_modulus_for_one_value_of_one_entry_is_found",
    ),
}  # fmt: skip
"""What reviewers changed and no audit told once, by the tests that hold it now."""


def test_each_line_is_tried():
    for places in LINES.values():
        for place in places:
            file, name = place.split("::")
            assert f"def {name}(" in (Path(__file__).parent / file).read_text(encoding="utf-8")
