"""Results of questions in parts that are one item: each part counts alone."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from itembank.terms.reports import NAMESPACES, Answered, answers
from itembank.terms.results import marks, names_of
from itembank.terms.tables import Columns
from itembank.terms.together import refuse_sums, wholes_of
from itembank.values.errors import ReportError
from itembank.values.parts import name_of_all
from tests.exporters.attempts import Answer
from tests.exporters.attempts import answers as attempts
from tests.exporters.composites import EVERY, groups_of, responses
from tests.terms.test_reports import SCHEMAS, document, file

ITEMS = {n: next(iter(group.items)) for n, group in enumerate(groups_of(*EVERY))}
LETTERS = "abcdefghi"
WHOLE = name_of_all([item.identifier for item in ITEMS.values()])


def result(given: dict[str, Answer], whole: str = WHOLE) -> str:
    """What a platform reports of the one item, by what was answered to each part."""
    answered, scored, total = "", "", Fraction(0)
    for letter, item in zip(LETTERS, EVERY, strict=True):
        answer = given[letter]
        for name, value in responses(item, letter, answer.given).items():
            values = value if isinstance(value, list) else [] if value is None else [value]
            texts = "".join(f"<value>{v}</value>" for v in values)
            kind = "multiple" if isinstance(value, list) else "single"
            answered += (
                f'<responseVariable identifier="{name}" cardinality="{kind}" baseType="string">'
                f"<candidateResponse>{texts}</candidateResponse></responseVariable>"
            )
        scores = ((f"SCORE_{letter}", answer.score), (f"MAXSCORE_{letter}", item.scoring.points))
        scored += "".join(outcome(*score) for score in scores)
        total += Fraction(answer.score)
    scored += outcome("SCORE", float(total))
    return (
        f'<itemResult identifier="{whole}" datestamp="2027-04-01T10:00:00"'
        f' sessionStatus="final">{answered}{scored}</itemResult>'
    )


def outcome(name: str, value: object) -> str:
    return (
        f'<outcomeVariable identifier="{name}" cardinality="single" baseType="float">'
        f"<value>{value}</value></outcomeVariable>"
    )


KEYS = {letter: attempts(item)[0] for letter, item in zip(LETTERS, EVERY, strict=True)}


@pytest.mark.parametrize("namespace", NAMESPACES)
def test_a_report_tells_what_each_part_scored(tmp_path: Path, valid_document, namespace: str):
    wrong = {"a": attempts(EVERY[0])[-1], "d": attempts(EVERY[3])[-1], "i": attempts(EVERY[8])[-1]}
    assert all(answer.slip for answer in wrong.values())
    text = document(result(KEYS | wrong), namespace=namespace)
    path = file(tmp_path, text)
    assert valid_document(SCHEMAS[namespace], path.read_bytes()) == []
    found, unknown = marks(answers([path]).attempts, names_of(ITEMS))

    assert unknown == ()
    assert [mark.item for mark in found["s-1"]] == list(ITEMS)
    for mark, letter, item in zip(found["s-1"], LETTERS, EVERY, strict=True):
        answer = (KEYS | wrong)[letter]
        assert mark.share == Fraction(answer.score) / item.scoring.points
        slip = item.feedback[answer.slip - 1].slips if answer.slip else ()
        assert mark.slips == slip, letter


def test_the_item_is_known_in_another_language_too(tmp_path: Path):
    path = file(tmp_path, document(result(KEYS, f"{WHOLE}-de")))

    found, unknown = marks(answers([path]).attempts, names_of(ITEMS))

    assert unknown == ()
    assert [(mark.item, mark.share) for mark in found["s-1"]] == [(n, Fraction(1)) for n in ITEMS]


@pytest.mark.parametrize("name", [WHOLE, f"{WHOLE}-de", "Clock (3)"])
def test_one_score_of_all_parts_is_refused(name: str):
    total = Answered("s", name, Fraction(3), None, None, "t.csv:2")
    with pytest.raises(ReportError, match=r"t.csv:2: .* holds the parts of a question, and this"):
        refuse_sums([total], wholes_of(ITEMS))
    refuse_sums([replace(total, item=f"{WHOLE}.a")], wholes_of(ITEMS))


def test_a_table_may_name_the_parts(tmp_path: Path):
    path = file(tmp_path, f"id,{WHOLE}.a,{WHOLE}.b\ns,1,0\n", "t.csv")
    known = names_of(ITEMS)

    read = answers([path], Columns(student="id"), known.__contains__)
    found, _unknown = marks(read.attempts, known)

    assert [(mark.item, mark.share) for mark in found["s"]] == [(0, Fraction(1)), (1, Fraction(0))]
