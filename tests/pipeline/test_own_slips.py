"""Own slips, hints and feedback: what an author says to answers, in every format."""

import zipfile

import pytest

from exporters.formats import FORMATS
from itembank.audit import audit_package
from itembank.kinds.table import SIGNATURES
from itembank.notation import plain
from itembank.pipeline.appraisal import SpecReport
from itembank.pipeline.capacity import capacity
from itembank.pipeline.own_slips import claim_of, is_key
from itembank.pipeline.selection import fits
from itembank.spec import load_family
from itembank.values.answer import ResidueSet, Truth, Value
from itembank.values.errors import SpecError
from tests.wishes import VARIANTS, family_of, leaves_in_every_format, pool_of, released, written

SUMS = """\
id: next-meeting
version: 1
title: When the buses meet
problem: linear
outcomes: [solve-linear-congruences]
level: easy
parameters:
  m: {prime: [20, 60]}
  a: {integer: [2, m - 2]}
  b: {integer: [2, m - 2]}
given: {congruence: a*x = b, modulus: m}
ask: the solution
forms: [integer]
slips:
  - SLIP
  - name: added
    answer: a + b
    says: {en: "You added {a} and {b}.", de: "Sie haben {a} und {b} addiert."}
  - {name: divided, answer: b // a, says: "You divided and dropped the rest."}
hints: ["Which number times {a} leaves 1?", "Read section 3 again."]
feedback: {right: "Well driven.", wrong: "See section 4.2 of the notes."}
""".replace("SLIP", SIGNATURES["linear"].slips[1])


def item_by_statement(release):
    return {item.statement[0]: item for item in release.groups[0].items}


def test_an_own_slip_is_told_of_and_hints_and_remarks_are_said(tmp_path):
    family = family_of(tmp_path, SUMS)
    told = 0
    for item in released(tmp_path, family).groups[0].items:
        text = {f.response[0]: plain.blocks(f.text) for f in item.feedback if "added" in f.slips}
        told += len(text)
        for answer, said in text.items():
            left, m = item.statement[0].split(" mod ")
            a, b = left.split("x = ")
            assert answer == (int(a) + int(b)) % int(m) != item.response.value
            assert f"You added {a} and {b}." in said
            assert said.rstrip().endswith("See section 4.2 of the notes.")
        assert "Read section 3 again." in plain.blocks(item.otherwise)
        assert plain.blocks(item.otherwise).rstrip().endswith("See section 4.2 of the notes.")
        assert plain.blocks(item.right).strip() == "Well driven."
    assert told >= VARIANTS - 2


@pytest.mark.parametrize("language", ["en", "de"])
def test_ten_variants_leave_in_every_format_and_what_is_said_stands_there(tmp_path, language):
    text = SUMS.replace('"You divided and dropped the rest."', "{en: A rest., de: Ein Rest.}")
    release = released(tmp_path, family_of(tmp_path, text), languages=f"language: {language}")

    found = leaves_in_every_format(release, tmp_path)

    assert len(found) == len(FORMATS)
    assert {report.count("agreed") for report in found.values()} == {VARIANTS}
    for name in found:
        with zipfile.ZipFile(tmp_path / f"{release.name}-{name}.zip") as package:
            whole = "".join(package.read(n).decode() for n in package.namelist())
        assert whole.count("Well driven.") >= VARIANTS, name
        assert "See section 4.2 of the notes." in whole
        assert ("Sie haben" in whole) == (language == "de")


@pytest.mark.parametrize(
    ("said", "instead", "finding"),
    [
        (
            "right",
            "none",
            "feedback FEEDBACK=right: expected for each right answer, got one without",
        ),
        (
            "otherwise",
            "right",
            "feedback FEEDBACK=right: expected for right answers, got it for a wrong",
        ),
    ],
)
def test_praise_for_a_wrong_answer_or_none_for_a_right_one_is_found(
    tmp_path, said, instead, finding
):
    release = released(tmp_path, family_of(tmp_path, SUMS))
    leaves_in_every_format(release, tmp_path)
    changed = tmp_path / "changed.zip"
    with (
        zipfile.ZipFile(tmp_path / f"{release.name}-qti21.zip") as package,
        zipfile.ZipFile(changed, "w") as other,
    ):
        for name in package.namelist():
            text = package.read(name).decode()
            other.writestr(
                name,
                text.replace(
                    f'<baseValue baseType="identifier">{said}<',
                    f'<baseValue baseType="identifier">{instead}<',
                ),
            )

    report = audit_package(changed)

    assert report.count("disagreed") == VARIANTS
    assert finding in report.as_text()


def test_an_own_slip_that_is_the_key_is_left_out_there_and_counted(tmp_path):
    text = SUMS.replace("answer: b // a", "answer: 'b * inverse(a, m) if b < 10 else b + 1'")
    family = family_of(tmp_path, text)

    found = capacity(family, fits(family))

    assert 0 < found.left_out["divided"] < found.looked_at
    report = SpecReport(id=family.id, path=family.path, faults=(), capacity=found)
    assert f"own slip 'divided' left out in {found.left_out['divided']} of" in report.as_text()
    for item in released(tmp_path, family).groups[0].items:
        assert all(f.response != (item.response.value,) for f in item.feedback)


def test_an_own_slip_gives_an_option_to_choose(tmp_path):
    text = SUMS.replace("ask: the solution", "ask: all solutions").replace(
        "[integer]", "[select one]"
    )
    text = text[: text.index("slips:")] + (
        "slips:\n"
        "  - {name: added, answer: a + b, says: You added.}\n"
        "  - {name: taken, answer: a - b, says: You took away.}\n"
        "  - {name: times, answer: a * b, says: You multiplied.}\n"
        "  - {name: doubled, answer: 2 * b + 1, says: You doubled.}\n"
    )
    family = family_of(tmp_path, text)
    release = released(tmp_path, family)

    slips = {n for item in release.groups[0].items for o in item.response.options for n in o.slips}
    assert slips == {"added", "taken", "times", "doubled"}
    leaves_in_every_format(release, tmp_path)


FIVE = ResidueSet.of(20, [(3, 5)])


@pytest.mark.parametrize(
    ("ask", "answer", "numbers", "claim", "key"),
    [
        ("all solutions", FIVE, [23, 8, 13, 18], (3, 8, 13, 18), True),
        ("all solutions", FIVE, [-1], (19,), False),
        ("the solution", ResidueSet.of(20, [(3, 20)]), [23], (3,), True),
        ("the least", FIVE, [3], (3,), True),
        ("the least", FIVE, [8], (8,), False),
        ("the largest", FIVE, [18], (18,), True),
        ("how many", FIVE, [4], (0, 1, 2, 3), True),
        ("how many", FIVE, [5], (0, 1, 2, 3, 4), False),
        ("how many", FIVE, [-1], None, False),
        ("the value", Value(5, 7), [12], (5,), True),
        ("the value", Value(5), [12], (12,), False),
        ("whether any", Truth(True), [0], (0,), False),
        ("the solution", FIVE, [1, 2], None, False),
    ],
)
def test_numbers_claim_what_is_asked(ask, answer, numbers, claim, key):
    assert claim_of(ask, answer, numbers) == claim
    assert claim is None or is_key(ask, answer, claim) is key


@pytest.mark.parametrize(
    ("slip", "fault"),
    [
        ("{name: added, says: Oops}", "slips[1]: the field 'answer' is missing"),
        ("{nam: added, answer: a, says: Oops}", "unknown field 'nam'; did you mean 'name'?"),
        (
            "{name: added, answer: c, says: Oops}",
            "slips[1].answer: unknown name 'c'; expected one of",
        ),
        ("{name: added, answer: a, says: '{c}'}", "slips[1].says: unknown name 'c'"),
        ("{name: SLIP, answer: a, says: Oops}", "is a slip of the kind: name your own otherwise"),
        ("sign-eror", "unknown slip 'sign-eror'"),
        ("[a]", "expected the name of a slip, or one of your own: {name: ..., answer: ..., says:"),
    ],
)
def test_a_fault_of_an_own_slip_has_its_place(tmp_path, slip, fault):
    head = SUMS[: SUMS.index("slips:")]
    slip = slip.replace("SLIP", SIGNATURES["linear"].slips[1])
    path = written(tmp_path, f"{head}slips: [{slip}]\n")

    with pytest.raises(SpecError) as raised:
        load_family(path, SIGNATURES)

    assert fault in str(raised.value)
    assert ":14:" in str(raised.value)


def test_a_text_that_a_language_lacks_is_a_fault_of_the_pool(tmp_path):
    text = SUMS.replace('right: "Well driven."', "right: {en: Well driven.}")
    family = family_of(tmp_path, text)

    with pytest.raises(SpecError, match="the feedback of 'next-meeting' has no text in 'de'"):
        pool_of(tmp_path, family, languages="language: de")
