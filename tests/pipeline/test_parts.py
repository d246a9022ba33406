"""Families in parts: drawn as one, each part an item, all of one variant together everywhere."""

import re
import zipfile
from dataclasses import replace
from fractions import Fraction
from itertools import islice

import pytest

from exporters.formats import FORMATS, write_package
from exporters.loadcard import load_card
from exporters.paper import copies
from exporters.release import together
from itembank.audit import audit_package
from itembank.kinds.table import SIGNATURES
from itembank.pipeline import making
from itembank.pipeline.selection import fits, fits_in
from itembank.pipeline.variants import Stream
from itembank.spec import load_family
from itembank.values.errors import ExportError, SpecError
from tests.shipped import FAMILIES as SHIPPED
from tests.wishes import family_of, pool_of, written

PARCELS = """\
id: parcels-in-parts
version: 1
title: How many steps, and which
outcomes: [solve-linear-congruences]
level: easy
parameters:
  d: {one of: [2, 3, 5]}
  m: {prime: [11, 31]}
  a: {integer: [2, m - 1]}
  b: {integer: [1, m - 1]}
where: [a != b]
story:
  en: A robot goes round {d*m} shelves, {d*a} at a step, and wants to reach shelf {d*b}.
  de: Ein Roboter geht um {d*m} Fächer, {d*a} je Schritt, und will zum Fach {d*b}.
  es: Un robot recorre {d*m} estantes, {d*a} en cada paso, y quiere llegar al estante {d*b}.
coefficients: any
parts:
  - problem: linear
    given: {congruence: d*a*x = d*b, modulus: d*m}
    ask: how many
    forms: [integer]
    shortcuts: allowed
    points: 0.5
  - problem: linear
    given: {congruence: d*a*x = d*b, modulus: d*m}
    ask: the least
    forms: [integer]
    shortcuts: allowed
    points: 1.5
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("parts")


@pytest.fixture(scope="module")
def family(folder):
    return family_of(folder, PARCELS)


@pytest.fixture(scope="module")
def release(folder, family):
    pool = pool_of(folder, family, variants=3, more=", choose: 2")
    return making.released(pool, "2027-spring")


def texts(path):
    with zipfile.ZipFile(path) as package:
        return {name: package.read(name).decode() for name in package.namelist()}


def changed(path, target, change):
    found = texts(path)
    after = {name: change(name, text) for name, text in found.items()}
    assert after != found
    with zipfile.ZipFile(target, "w") as copy:
        for name, text in after.items():
            if text is not None:
                copy.writestr(name, text)
    return audit_package(target)


# ------------------------------------------------------------ drawn as one


def test_the_parts_of_a_variant_share_its_parameters_and_each_has_its_own_key(family):
    for variant in islice(Stream(family, "x", fits(family)), 20):
        count, least = variant.each
        d, m, a, b = (variant.parameters[name] for name in "dmab")
        solutions = [x for x in range(d * m) if (d * a * x - d * b) % (d * m) == 0]
        assert count.solution.answer.count == least.solution.answer.count == len(solutions)
        assert least.solution.answer.least() == solutions[0]
        assert count.index == least.index == variant.index


def test_a_release_has_a_group_a_part_and_counts_a_variant_once(release):
    assert [(g.family, g.choose, g.points) for g in release.groups] == [
        ("parcels-in-parts.a", 2, Fraction(1, 2)),
        ("parcels-in-parts.b", 2, Fraction(3, 2)),
    ]
    assert release.points == 4
    ((first, second),) = [groups.groups for groups in together(release.groups)]
    for a, b in zip(first.items, second.items, strict=True):
        assert a.title.removesuffix(" (a)") == b.title.removesuffix(" (b)")
        assert a.identifier != b.identifier
        assert a.provenance.index == b.provenance.index
        assert "Part (a) of 2." in a.spoken
        assert "Part (b) of 2." in b.spoken


@pytest.mark.parametrize("language", ["en", "de", "es"])
def test_each_part_is_proved_and_audited_in_every_format_and_language(tmp_path, language):
    family = family_of(tmp_path, PARCELS)
    pool = pool_of(
        tmp_path, family, variants=2, more=", choose: 2", languages=f"language: {language}"
    )
    release = making.released(pool, "2027-spring")
    for format in FORMATS:
        for purpose in ("bank", "quiz"):
            path = tmp_path / f"{format}-{purpose}.zip"
            for profile in ("full", "plain"):
                write_package(format, release, path, purpose=purpose, profile=profile)
                report = audit_package(path)
                assert report.clean, (format, purpose, profile, report.as_text())
                assert report.count("agreed") == 4


# ------------------------------------------------------------ together, and in order
# Where parts are not one item: in the plain profile, on paper, in cartridges.


@pytest.mark.parametrize("format", ["qti21", "qti22", "qti30"])
def test_a_test_draws_variants_whole_with_their_parts_in_order(tmp_path, release, format):
    path = tmp_path / "quiz.zip"
    write_package(format, release, path, purpose="quiz", profile="plain")
    (test,) = (text for name, text in texts(path).items() if name.startswith("test-"))
    a, b = (tuple(group.items) for group in release.groups)
    refs = re.findall(r'item-ref identifier="([^"]+)"|ItemRef identifier="([^"]+)"', test)
    assert [x or y for x, y in refs] == [
        item.identifier for pair in zip(a, b, strict=True) for item in pair
    ]
    together = r'keepTogether="true"|keep-together="true"'
    assert len(re.findall(together, test)) == 3
    assert len(re.findall(r'select="2"', test)) == 1


def swapped(text, first, second):
    return text.replace(first, "~").replace(second, first).replace("~", second)


def test_parts_exchanged_between_variants_or_out_of_order_are_caught(tmp_path, release):
    path = tmp_path / "quiz.zip"
    write_package("qti21", release, path, purpose="quiz", profile="plain")
    a, b = (tuple(group.items) for group in release.groups)

    def exchange(first, second):
        return lambda name, text: (
            swapped(text, first.identifier, second.identifier) if name[:5] == "test-" else text
        )

    other = changed(path, tmp_path / "other.zip", exchange(b[0], b[1]))
    assert "expected parts of one question" in other.as_text()
    order = changed(path, tmp_path / "order.zip", exchange(a[0], b[0]))
    assert "expected the parts (a) to (b) together, got (b), (a)" in order.as_text()


def test_a_part_that_is_missing_is_caught(tmp_path, release):
    path = tmp_path / "quiz.zip"
    write_package("qti21", release, path, purpose="quiz", profile="plain")
    gone = next(iter(release.groups[1].items)).identifier

    def without(name, text):
        if name == f"{gone}.xml":
            return None
        whole = rf'<resource identifier="{gone}".*?<file href="{gone}.xml"/></resource>'
        text = re.sub(whole, "", text, flags=re.S)
        text = text.replace(f'<dependency identifierref="{gone}"/>', "")
        ref = rf'<assessmentItemRef identifier="{gone}".*?</assessmentItemRef>'
        return re.sub(ref, "", text, flags=re.S)

    report = changed(path, tmp_path / "gone.zip", without)

    assert report.count("agreed") == 5
    assert report.as_text().count("expected the parts (a) to (b) together, got (a)") == 2


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (r'<ordering shuffle="false"/>', '<ordering shuffle="true"/>', "in their order"),
        (r' keepTogether="true"', ' keepTogether="false"', "keepTogether"),
        (r'<selection select="2"/>', "", "expected a draw, in random order"),
    ],
)
def test_a_test_that_shuffles_parts_or_chooses_among_them_is_caught(
    tmp_path, release, old, new, told
):
    path = tmp_path / "quiz.zip"
    write_package("qti21", release, path, purpose="quiz", profile="plain")

    report = changed(path, tmp_path / "new.zip", lambda _name, text: text.replace(old, new, 1))

    assert told in report.as_text()


def test_a_cartridge_has_the_parts_of_a_variant_beside_each_other(tmp_path, release):
    path = tmp_path / "bank.zip"
    package = write_package("cc13", release, path)
    (bank,) = (text for name, text in texts(path).items() if name.startswith("bank-"))
    titles = re.findall(r'<item ident="[^"]+" title="([^"]+)"', bank)
    assert [title[-3:] for title in titles] == ["(a)", "(b)"] * 3
    assert [t[:-4] for t in titles[::2]] == [t[:-4] for t in titles[1::2]]
    items = re.findall(r"<item .*?</item>", bank, flags=re.S)

    report = changed(
        path, tmp_path / "new.zip", lambda _name, text: swapped(text, items[0], items[3])
    )

    assert "expected the parts (a) to (b) together" in report.as_text()
    card = load_card(release, [package]).decode()
    assert "stay together" in card


def test_another_scenario_is_caught(tmp_path, release):
    path = tmp_path / "bank.zip"
    write_package("qti21", release, path, profile="plain")
    item = next(iter(release.groups[1].items)).identifier

    def other(name, text):
        return (
            text.replace("A robot goes round", "A robot goes thrice round")
            if item in name
            else text
        )

    assert (
        "expected a part with the scenario of part (a)"
        in changed(path, tmp_path / "new.zip", other).as_text()
    )


def test_a_stem_that_names_another_part_is_caught(tmp_path, release):
    path = tmp_path / "bank.zip"
    write_package("qti21", release, path, profile="plain")
    item = next(iter(release.groups[1].items)).identifier

    def other(name, text):
        return text.replace("Part (b) of 2", "Part (a) of 2") if item in name else text

    report = changed(path, tmp_path / "new.zip", other)
    assert "a title that does not end with the letter of its part, (a)" in report.as_text()


def test_groups_whose_variants_differ_are_not_written(tmp_path, release):
    a, b = release.groups
    turned = replace(b, items=tuple(reversed(tuple(b.items))))
    with pytest.raises(ExportError, match="expected all parts of its variant together"):
        write_package("qti21", replace(release, groups=(a, turned)), tmp_path / "x.zip")


# ------------------------------------------------------------ on paper


def test_a_sheet_numbers_the_parts_under_one_question_and_deals_them_whole(release):
    for copy in copies(replace(release, copies=5)):
        assert [number for number, _drawn in copy.numbered] == ["1 (a)", "1 (b)", "2 (a)", "2 (b)"]
        of = [drawn.item.provenance for _number, drawn in copy.numbered]
        assert [o.index for o in of[::2]] == [o.index for o in of[1::2]]


def test_a_letter_that_the_stem_does_not_say_is_caught_on_paper(tmp_path, release):
    path = tmp_path / "quiz.zip"
    write_package("html", release, path, purpose="quiz")

    report = changed(
        path,
        tmp_path / "new.zip",
        lambda name, text: (
            text.replace("Part (b) of 2", "Part (a) of 2", 1) if name.startswith("sheet-") else text
        ),
    )

    assert "question 1 (b): part (a) by its stem" in report.as_text()


# ------------------------------------------------------------ what an author may say


def test_what_stands_above_holds_for_each_part_and_a_part_may_say_otherwise(family):
    assert [part.level for part in family.parts] == ["easy", "easy"]
    assert [part.id for part in family.parts] == ["parcels-in-parts.a", "parcels-in-parts.b"]
    assert [part.worth for part in family.parts] == [Fraction(1, 2), Fraction(3, 2)]
    assert family.worth == 2


def test_what_was_asked_of_a_question_alone_does_not_stick_to_the_whole():
    a, b = (
        SHIPPED[name].model_copy() for name in ("linear-one-solution", "number-of-square-roots")
    )
    alone = [a.parts, a.fingerprint]

    whole = a.joined([a, b])

    assert alone[0] == () and [part.part for part in whole.parts] == ["a", "b"]
    assert len({alone[1], whole.fingerprint, *(part.fingerprint for part in whole.parts)}) == 4


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("ask: how many", "ask: how may", "parts[1].ask: unknown ask 'how may'; did you mean"),
        ("points: 0.5", "points: 0.3", "parts[1].points: expected points in halves"),
        ("points: 0.5", "pionts: 0.5", "unknown field 'pionts'; did you mean 'points'?"),
        ("    problem: linear\n", "", "the field 'problem' is missing"),
        ("parts:\n  - problem", "parts:\n    problem", "expected a list of questions"),
    ],
)
def test_faults_of_a_part_stand_at_their_place(tmp_path, old, new, told):
    text = PARCELS.replace("  - problem: linear\n", "  -\n    problem: linear\n", 1)
    text = (text if old.startswith("    problem") else PARCELS).replace(old, new, 1)
    if old.startswith("parts:"):
        text = text[: text.rindex("  - problem")]
    with pytest.raises(SpecError) as error:
        load_family(written(tmp_path, text), SIGNATURES)
    assert told in str(error.value)


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (", points: 3", "the parts of 'parcels-in-parts' say their own points: leave this out"),
        (", form: integer", "the parts of 'parcels-in-parts' have forms of their own"),
    ],
)
def test_a_pool_leaves_points_and_form_to_the_parts(tmp_path, more, told):
    family = family_of(tmp_path, PARCELS)
    with pytest.raises(SpecError) as error:
        pool_of(tmp_path, family, variants=2, more=more)
    assert told in str(error.value)


SEVERAL = PARCELS.replace(
    "forms: [integer]\n    shortcuts: allowed\n    points: 1.5",
    """\
forms: [list, select one]
    shortcuts: allowed
    points: 1.5""",
).replace("ask: the least", "ask: all solutions")
"""The first part asks how many, the second for all, to be typed or chosen."""


def test_a_pool_says_in_which_form_each_part_is_put(tmp_path):
    family = family_of(tmp_path, SEVERAL)
    for more, forms in (
        ("", ["integer", "list"]),
        (", forms: [integer, select one]", ["integer", "select one"]),
    ):
        pool = pool_of(tmp_path, family, variants=2, more=more)
        release = making.released(pool, "2027-spring")
        first = [next(iter(group.items)) for group in release.groups]
        assert [item.response.form for item in first] == forms
        write_package("qti21", release, tmp_path / "p.zip")
        assert audit_package(tmp_path / "p.zip").clean


LATE = """\
id: late-in-parts
version: 1
title: All solutions, and numbers on the way
outcomes: [solve-linear-congruences]
level: easy
small: few are enough to see the last of them drawn
parameters:
  d: {one of: [2, 3, 4]}
  m: {one of: [11, 29]}
  a: {integer: [2, 9]}
  b: {integer: [1, 3]}
coefficients: any
shortcuts: allowed
given away: allowed
problem: linear
given: {congruence: d*a*x = d*b, modulus: d*m}
ask: all solutions
parts:
  - {forms: [list, match]}
  - {forms: [select all]}
"""
"""None goes in match, some in select all."""


def test_a_part_that_is_drawn_late_is_no_excuse_for_the_others(tmp_path):
    """A variant whose first part goes in the form that is used, and not in all, comes last; one
    of which another part does not fit never comes."""
    family = family_of(tmp_path, LATE)
    drawn = list(Stream(family, "x", fits(family)))
    assert any(variant.late for variant in drawn)
    for variant in drawn:
        for part in variant.each:
            fits_in(part.family, part.family.forms[:1])(part.candidate)


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (", forms: [integer]", "expected a form for each of the 2 parts of 'parcels-in-parts'"),
        (", forms: [integer, set]", "part (b) of 'parcels-in-parts' has no form 'set'; expected"),
    ],
)
def test_forms_that_parts_do_not_have_are_told(tmp_path, more, told):
    family = family_of(tmp_path, SEVERAL)
    with pytest.raises(SpecError) as error:
        pool_of(tmp_path, family, variants=2, more=more)
    assert told in str(error.value)


TOLD = """\
id: told-in-parts
version: 1
title: A number and its inverse
outcomes: [euler-phi]
level: easy
parameters:
  p: {prime: [11, 31]}
  q: {prime: [37, 61]}
  a: {prime: [3, 7]}
where: ["gcd(a, (p - 1)*(q - 1)) == 1"]
parts:
  - {problem: phi, given: {number: p*q}, ask: the value, forms: [integer]}
  - problem: inverse
    given: {number: a, modulus: (p - 1)*(q - 1)}
    ask: the value
    forms: [integer]
    shortcuts: allowed
"""


def test_a_key_that_another_part_prints_is_passed_over_unless_it_is_allowed(tmp_path):
    family = family_of(tmp_path, TOLD)
    stream = Stream(family, "x", fits(family))
    assert next(iter(stream), None) is None
    (reason,) = (r for r in stream.rejected if "prints" in r)
    assert reason.startswith(
        "part (b) prints the key of part (a): ask part (b) so that it does not"
    )

    allowed = TOLD.replace("forms: [integer]}", "forms: [integer], given away: allowed}")
    family = family_of(tmp_path, allowed)
    assert next(iter(Stream(family, "x", fits(family)))).each
