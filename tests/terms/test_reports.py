"""Reports of results are read as their standards say, and faulty ones are one line."""

from fractions import Fraction
from pathlib import Path

import pytest

from itembank.terms.reports import NAMESPACES, answers, fingerprint
from itembank.terms.tables import Columns
from itembank.values.errors import ReportError

SCHEMAS = {
    NAMESPACES[0]: "qti21/imsqti_result_v2p1.xsd",
    NAMESPACES[1]: "qti22/imsqti_result_v2p2.xsd",
    NAMESPACES[2]: "qti30/imsqti_resultv3p0_v1p0.xsd",
}


def item_result(item: str, score: str, *values: str, attempt: int = 1, status="final") -> str:
    chosen = "".join(f"<value>{v}</value>" for v in values)
    return f"""
      <itemResult identifier="{item}" datestamp="2027-04-01T10:0{attempt}:00"
          sessionStatus="{status}">
        <responseVariable identifier="RESPONSE" cardinality="multiple" baseType="identifier">
          <candidateResponse>{chosen}</candidateResponse>
        </responseVariable>
        <outcomeVariable identifier="SCORE" cardinality="single" baseType="float"
            normalMaximum="2"><value>{score}</value></outcomeVariable>
      </itemResult>"""


def document(*results: str, namespace: str = NAMESPACES[2], student: str = "s-1") -> str:
    return (
        f'<assessmentResult xmlns="{namespace}"><context sourcedId="{student}"/>'
        f"{''.join(results)}</assessmentResult>"
    )


def file(folder: Path, text: str, name: str = "a.xml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("namespace", NAMESPACES)
def test_a_report_of_each_version_is_read(namespace, tmp_path, valid_document):
    text = document(
        item_result("item-a", "2.0", "residue-2", "residue-7"),
        item_result("item-b", "0.5"),
        namespace=namespace,
    )
    path = file(tmp_path, text)
    assert valid_document(SCHEMAS[namespace], path.read_bytes()) == []

    a, b = answers([path]).attempts

    assert (a.student, a.item, a.score, a.most) == ("s-1", "item-a", Fraction(2), Fraction(2))
    assert a.response == ("residue-2", "residue-7")
    assert (b.score, b.response) == (Fraction(1, 2), ())


@pytest.mark.parametrize(("attempt", "score"), [("first", 0), ("best", 2), ("last", 2)])
def test_the_final_attempt_that_is_asked_for_counts(tmp_path, attempt, score):
    path = file(
        tmp_path,
        document(
            item_result("item-a", "2", attempt=3),
            item_result("item-a", "0", attempt=2),
            item_result("item-a", "1", attempt=1, status="initial"),
        ),
    )

    (answer,) = answers([path], attempt=attempt).attempts

    assert answer.score == score


def test_attempts_that_differ_are_asked_about(tmp_path):
    path = file(tmp_path, document(item_result("item-a", "2"), item_result("item-a", "0")))

    with pytest.raises(ReportError) as error:
        answers([path])
    assert str(error.value) == (
        f"{path}:11: another attempt of the student of {path}:3 at item-a; "
        "say which counts: --attempt first, best or last"
    )


def test_the_published_example_is_read(samples_folder):
    """The 3.0 example reports two attempts at Q01: first right, then wrong."""
    (answer,) = answers(
        [samples_folder / "qti30" / "results" / "report.xml"], attempt="first"
    ).attempts

    assert (answer.student, answer.item, answer.score) == ("johnsmith1", "Q01", 1)
    assert answer.response == ("A",)


def test_a_folder_is_read_whole_and_a_student_without_a_name_is_the_file(tmp_path):
    for name in ("b", "a"):
        text = document(item_result("item-a", "1")).replace(' sourcedId="s-1"', "")
        file(tmp_path, text, f"{name}.xml")

    assert [a.student for a in answers([tmp_path]).attempts] == ["a", "b"]


ENTITIES = '<!DOCTYPE a [<!ENTITY b "bbbbbbbbbb"><!ENTITY c "&b;&b;&b;&b;">]><a>&c;</a>'
EXTERNAL = '<!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/passwd">]><a>&b;</a>'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("<a/>", ": expected a QTI result report (assessmentResult of 2.1, 2.2 or 3.0), got a"),
        ("<a>", ": no well-formed XML: "),
        ("", ": no well-formed XML: "),
        (ENTITIES, ": expected no document type declaration"),
        (EXTERNAL, ": expected no document type declaration"),
        (
            document(item_result("item-a", "two")),
            ":3: expected a score such as 2 or 0.5, got 'two'",
        ),
        (document(item_result("item-a", "1e999")), "expected a score such as 2 or 0.5"),
        (document(item_result("item-a", "9" * 50)), "expected a score such as 2 or 0.5"),
    ],
)
def test_a_faulty_report_is_one_line(tmp_path, text, said):
    path = file(tmp_path, text)

    with pytest.raises(ReportError) as error:
        answers([path])
    assert str(error.value).startswith(str(path))
    assert said in str(error.value)
    assert "\n" not in str(error.value)


# ------------------------------------------------------------ tables

COLUMNS = Columns(student="id", item="question", score="points", most="of", response="answer")


def test_a_table_is_read_by_the_names_of_its_columns(tmp_path):
    path = file(
        tmp_path,
        'question,id,points,of,answer\nitem-a,s-1,1,2,"7, 2"\nitem-b,s-1,,2,\nitem-a,s-2,1/3,1,\n',
        "t.csv",
    )

    a, b = answers([path], COLUMNS).attempts

    assert (a.student, a.item, a.score, a.most) == ("s-1", "item-a", 1, 2)
    assert a.response == ("7", "2")
    assert (b.student, b.score, b.response) == ("s-2", Fraction(1, 3), ())


def test_semicolons_and_a_byte_order_mark_are_understood(tmp_path):
    path = tmp_path / "t.csv"
    path.write_bytes("\ufeffid;question;points\r\ns-1;item-a;0.5\r\n".encode())

    (answer,) = answers([path], Columns(student="id", item="question", score="points")).attempts

    assert (answer.student, answer.score, answer.response) == ("s-1", Fraction(1, 2), None)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("id,question,points\n", ":1: expected a column 'of', found 'id', 'question', 'points'"),
        ("", ":1: expected a column 'id', found 'nothing'"),
        (
            "id,question,points,of,answer\ns,i,x,1,\n",
            ":2: expected a score such as 2 or 0.5, got 'x'",
        ),
        ("id,question,points,of,answer\ns,i\n", ":2: expected 5 columns"),
        ("points,of,answer,id,question\n1,1,7,s\n", ":2: expected 5 columns"),
        ("id,question,points,of,answer\n ,i,1,1,7\n", ":2: expected a student in 'id', got none"),
        ('id,question,points,of,answer\ns,"i\n', "no well-formed CSV"),
    ],
)
def test_a_faulty_table_is_one_line(tmp_path, text, said):
    path = file(tmp_path, text, "t.csv")

    with pytest.raises(ReportError) as error:
        answers([path], COLUMNS)
    assert str(error.value).startswith(str(path))
    assert said in str(error.value)


def test_a_table_without_the_names_of_its_columns_says_what_to_do(tmp_path):
    path = file(tmp_path, "id,question,points\n", "t.csv")

    with pytest.raises(ReportError, match="say --student, and --item and --score"):
        answers([path])


def test_no_file_at_all_is_told(tmp_path):
    with pytest.raises(ReportError, match="found no file"):
        answers([tmp_path])


def test_the_fingerprint_is_of_what_the_files_hold(tmp_path):
    a, b = file(tmp_path, "1", "a.csv"), file(tmp_path, "2", "b.csv")
    copy = tmp_path / "copy"
    copy.mkdir()
    file(copy, "1", "other-name.csv")

    assert fingerprint([a]) == fingerprint([copy / "other-name.csv"]) != fingerprint([b])
