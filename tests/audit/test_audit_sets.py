"""A set in several entries, by hand: blanks before an answer must count in every reader.

One reader of QTI 2.1 ends `or` at its first NULL, which an entry left blank gives.
"""

import pytest

from tests.audit.handmade import ZERO, base, condition, qti_item, report_on, set_outcome

ENTRIES = [f"R{n}" for n in range(1, 6)]
SOLUTIONS, MODULUS = (4, 9, 14), 15

STEM = (
    "<p>Find <b>all</b> solutions of</p><p>9x ≡ 6 (mod 15)</p><p>There is at least one. Type all"
    " of them in digits, one to an entry, in any order; of each type any representative modulo"
    " 15. There are more entries than needed: leave the others blank.</p><p>1 point for exactly"
    " the right set, otherwise 0.</p>"
)


def variable(name):
    return f'<variable identifier="{name}"/>'


def blank(name):
    return f"<isNull>{variable(name)}</isNull>"


def unguarded(name, value):
    m = base("integer", MODULUS)
    once = f"<integerModulus>{variable(name)}{m}</integerModulus>"
    residue = f"<integerModulus><sum>{once}{m}</sum>{m}</integerModulus>"
    return f'<equal toleranceMode="exact">{base("integer", value)}{residue}</equal>'


def guarded(name, value):
    return f"<and><not>{blank(name)}</not>{unguarded(name, value)}</and>"


def set_item(holds):
    """The item whose scoring says by `holds` that an entry holds a value."""
    in_some = [f"<or>{''.join(holds(name, x) for name in ENTRIES)}</or>" for x in SOLUTIONS]
    no_other = [
        f"<or>{blank(name)}{''.join(holds(name, x) for x in SOLUTIONS)}</or>" for name in ENTRIES
    ]
    right = f"<and>{''.join(in_some + no_other)}</and>"
    full = set_outcome("SCORE", base("float", 1))
    item = qti_item(
        stem=STEM,
        interaction="".join(
            f'<p><textEntryInteraction responseIdentifier="{name}"/></p>' for name in ENTRIES
        ),
        cardinality="single",
        base_type="integer",
        key=SOLUTIONS,
        processing=condition(
            (f"<and>{''.join(map(blank, ENTRIES))}</and>", ZERO), (right, full), otherwise=ZERO
        ),
        label="9x = 6 mod 15; all solutions",
    )
    values = [f"<correctResponse><value>{x}</value></correctResponse>" for x in SOLUTIONS]
    declared = "".join(
        f'<responseDeclaration identifier="{name}" cardinality="single" baseType="integer">'
        f"{value}</responseDeclaration>"
        for name, value in zip(ENTRIES, [*values, "", ""], strict=True)
    )
    before, rest = item.split("<responseDeclaration", 1)
    return before + declared + rest.split("</responseDeclaration>", 1)[1]


def test_a_set_with_every_alternative_guarded_is_agreed(tmp_path):
    report = report_on(tmp_path, set_item(guarded))

    assert report.findings == ()
    assert report.clean


def test_a_set_without_guards_gives_a_right_answer_nothing_in_some_reader(tmp_path):
    found = report_on(tmp_path, set_item(unguarded)).findings

    assert any(
        line.endswith(
            "scoring: expected the same score for '', '', '4', '9', '14' in readers that end an"
            " or, or an and, at its first NULL, got another"
        )
        for line in found
    )


@pytest.mark.parametrize("bare", ENTRIES[:4])
def test_one_entry_without_its_guard_is_found_wherever_an_answer_can_follow(tmp_path, bare):
    def holds(name, value):
        return (unguarded if name == bare else guarded)(name, value)

    assert any("first NULL" in line for line in report_on(tmp_path, set_item(holds)).findings)


@pytest.mark.parametrize("entry", ENTRIES)
def test_another_modulus_for_one_value_of_one_entry_is_found(tmp_path, entry):
    def holds(name, value):
        right = guarded(name, value)
        other = right.replace(base("integer", MODULUS), base("integer", MODULUS + 1), 1)
        return other if (name, value) == (entry, 9) else right

    assert not report_on(tmp_path, set_item(holds)).clean
