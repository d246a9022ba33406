"""Tables as platforms write them: encodings, delimiters, decimal commas, long and wide."""

from fractions import Fraction

import pytest

from itembank.terms.reports import answers
from itembank.terms.tables import Columns
from itembank.values.errors import ReportError

LONG = Columns(student="Schüler", item="Frage", score="Punkte", response="Antwort")
ROWS = [
    ["Schüler", "Frage", "Punkte", "Antwort"],
    ["Jäger", "item-a", "0,5", "3; 9"],
    ["Noé", "item-a", "-", ""],
]
READ = [("Jäger", "item-a", Fraction(1, 2), ("3", "9"))]


def text(rows, delimiter: str) -> str:
    def cell(value: str) -> str:
        return f'"{value}"' if delimiter in value else value

    return "".join(delimiter.join(map(cell, row)) + "\r\n" for row in rows)


def told(found) -> list:
    return [(a.student, a.item, a.score, a.response) for a in found.attempts]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1", "cp1252"]
)
def test_every_delimiter_in_every_encoding(tmp_path, delimiter, encoding):
    path = tmp_path / "t.csv"
    path.write_bytes(text(ROWS, delimiter).encode(encoding))

    assert told(answers([path], LONG)) == READ


def test_semicolons_inside_cells_do_not_mislead(tmp_path):
    """More semicolons than commas in the header, and yet commas delimit."""
    path = tmp_path / "t.csv"
    path.write_text("id,a;b;c;d,item,score\nx,-,item-a,1\n")

    (one,) = answers([path], Columns(student="id", item="item", score="score")).attempts

    assert (one.student, one.item, one.score) == ("x", "item-a", 1)


WIDE = "id,name,item-a,Title of b,total\nx,X,1,0.5,1.5\ny,Y,,-,0\nz,Z,0,1,1\n"


def known(name: str) -> bool:
    return name in ("item-a", "Title of b")


def test_a_wide_table_has_a_column_for_each_question(tmp_path):
    path = tmp_path / "t.csv"
    path.write_text(WIDE)

    found = answers([path], Columns(student="id"), known).attempts

    assert [(a.student, a.item, a.score) for a in found] == [
        ("x", "item-a", 1),
        ("x", "Title of b", Fraction(1, 2)),
        ("z", "item-a", 0),
        ("z", "Title of b", 1),
    ]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (
            "id,total\nx,1\n",
            ":1: expected a column for each question, under its identifier or title, found 'id', "
            "'total'; or say --item and --score if each row is of one question",
        ),
        (
            "id,item-a\nx,one\n",
            ":2, column 'item-a': expected a score such as 2 or 0.5, got 'one'",
        ),
        ("id,item-a\nx,1,2\n", ":2: expected 2 columns, got 3"),
        ("name,item-a\nx,1\n", ":1: expected a column 'id', found 'name', 'item-a'"),
        ("id,id,item-a\nx,y,1\n", ":1: expected one column 'id', found several"),
        ("id,item-a\n,1\n", ":2: expected a student in 'id', got none"),
    ],
)
def test_a_faulty_wide_table_is_one_line(tmp_path, content, said):
    path = tmp_path / "t.csv"
    path.write_text(content)

    with pytest.raises(ReportError) as error:
        answers([path], Columns(student="id"), known)
    assert str(error.value) == f"{path}{said}"


def test_bytes_of_no_encoding_are_told(tmp_path):
    path = tmp_path / "t.csv"
    path.write_bytes(b"id,item-a\nx\x81\xff,1\n")

    with pytest.raises(ReportError, match=r"byte 11 is none of .*; save the table as UTF-8"):
        answers([path], Columns(student="id"), known)


TWICE = "id,item,score\nx,item-a,0\nx,item-a,2\nx,item-a,1\ny,item-a,1\ny,item-a,1\n"
BY_ROW = Columns(student="id", item="item", score="score")


@pytest.mark.parametrize(("attempt", "score"), [("first", 0), ("best", 2), ("last", 1)])
def test_of_several_attempts_the_one_asked_for_counts(tmp_path, attempt, score):
    path = tmp_path / "t.csv"
    path.write_text(TWICE)

    found = answers([path], BY_ROW, attempt=attempt)

    assert [(a.student, a.score) for a in found.attempts] == [("x", score), ("y", 1)]
    assert found.repeated == 1


def test_which_attempt_counts_is_asked(tmp_path):
    path = tmp_path / "t.csv"
    path.write_text(TWICE)

    with pytest.raises(ReportError) as error:
        answers([path], BY_ROW)
    assert str(error.value) == (
        f"{path}:3: another attempt of the student of {path}:2 at item-a; say which counts: "
        "--attempt first, best or last"
    )
