"""Tables of results as platforms write them: what encoding, what delimiter, long or wide.

A long table has a row for each student and question, a wide one a row for each student and a
column for each question.  The delimiter is the one by which the header has the column of the
students; an encoding without a mark is UTF-8, else UTF-16 where every other byte is 0, else
Windows-1252, which has a character for nearly every byte.
"""

import codecs
import csv
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from itembank.values.errors import ReportError
from itembank.values.worded import worded

DELIMITERS = (",", ";", "\t", "|")

_MARKS = {
    codecs.BOM_UTF8: "utf-8-sig",
    codecs.BOM_UTF16_LE: "utf-16",
    codecs.BOM_UTF16_BE: "utf-16",
}
"""Byte order marks and the encodings that read them."""

NOT_REACHED = ("", "-")
"""What stands for a score where a question was not reached (common practice)."""


@dataclass(frozen=True, kw_only=True)
class Columns:
    """The names of a table's columns.

    With `item` and `score` the table is long.  Without, it is wide: a column for each question,
    under its identifier or title, holds its scores.
    """

    student: str
    item: str | None = None
    score: str | None = None
    most: str | None = None
    response: str | None = None

    @property
    def named(self) -> tuple[str, ...]:
        columns = (self.student, self.item, self.score, self.most, self.response)
        return tuple(name for name in columns if name is not None)


@dataclass(frozen=True, kw_only=True)
class Cell:
    """A score in a table, as text, with what stands beside it; `most` and `response` may be None.

    where: file and line, for messages.
    """

    student: str
    item: str
    score: str
    most: str | None
    response: str | None
    where: str


Known = Callable[[str], bool]
"""Whether a name is that of a question of the release."""


def cells(path: Path, content: bytes, columns: Columns, known: Known) -> Iterator[Cell]:
    """The scores of a table in its order; those of questions that were not reached are left out.

    Raises ReportError with file and line.
    """
    text = decoded(path, content)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text, columns),
                        strict=True)  # fmt: skip
    try:
        header = [name.strip() for name in next(reader, ["nothing"])]
        of_row = _long_row(path, header, columns) if columns.item else _wide_row(
            path, header, columns, known)  # fmt: skip
        for row in reader:
            if row:
                where = f"{path}:{reader.line_num}"
                if len(row) != len(header):
                    raise ReportError(
                        worded(
                            "{where}: expected {n} columns, got {got}",
                            where=where,
                            n=len(header),
                            got=len(row),
                        )
                    )
                yield from of_row(dict(zip(header, row, strict=True)), where)
    except csv.Error as e:
        raise ReportError(
            worded(
                "{path}:{line_num}: no well-formed CSV: {error}",
                path=path,
                line_num=reader.line_num,
                error=e,
            )
        ) from None


def decoded(path: Path, content: bytes) -> str:
    for mark, encoding in _MARKS.items():
        if content.startswith(mark):
            return _decoded_as(path, content, encoding)
    if 0 in content[:200]:
        return _decoded_as(path, content, "utf-16-be" if content[0] == 0 else "utf-16-le")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        return _decoded_as(path, content, "cp1252")


def _decoded_as(path: Path, content: bytes, encoding: str) -> str:
    try:
        return content.decode(encoding)
    except UnicodeDecodeError as e:
        raise ReportError(
            worded(
                "{path}: byte {start} is none of {encoding}; save the table as UTF-8",
                path=path,
                start=e.start,
                encoding=e.encoding,
            )
        ) from None


def _delimiter(text: str, columns: Columns) -> str:
    """The one by which the header has the column of the students, else the commonest there."""
    head = text.partition("\n")[0]
    for one in DELIMITERS:
        names = next(csv.reader([head], delimiter=one), [])
        if columns.student in (name.strip() for name in names):
            return one
    return max(DELIMITERS, key=head.count)


_OfRow = Callable[[Mapping[str, str], str], Iterator[Cell]]


def _long_row(path: Path, header: Sequence[str], columns: Columns) -> _OfRow:
    _require(path, header, columns.named)

    def of_row(row: Mapping[str, str], where: str) -> Iterator[Cell]:
        assert columns.item is not None and columns.score is not None
        student, score = _student_of(row, columns, where), row[columns.score].strip()
        if score not in NOT_REACHED:
            yield Cell(
                student=student,
                item=row[columns.item].strip(),
                score=score,
                most=row[columns.most] if columns.most else None,
                response=row[columns.response] if columns.response else None,
                where=where,
            )

    return of_row


def _wide_row(path: Path, header: Sequence[str], columns: Columns, known: Known) -> _OfRow:
    _require(path, header, columns.named)
    questions = [name for name in header if name != columns.student and known(name)]
    if not questions:
        raise ReportError(
            worded(
                "{path}:1: expected a column for each question, under its identifier or title, "
                "found {header}; or say --item and --score if each row is of one question",
                path=path,
                header=_quoted(header),
            )
        )

    def of_row(row: Mapping[str, str], where: str) -> Iterator[Cell]:
        student = _student_of(row, columns, where)
        for question in questions:
            score = row[question].strip()
            if score not in NOT_REACHED:
                yield Cell(
                    student=student, item=question, score=score, most=None, response=None,
                    where=worded("{where}, column '{question}'", where=where, question=question),
                )  # fmt: skip

    return of_row


def _require(path: Path, header: Sequence[str], names: Sequence[str]) -> None:
    twice = [name for name in names if header.count(name) > 1]
    if twice:
        raise ReportError(
            worded(
                "{path}:1: expected one column '{twice}', found several", path=path, twice=twice[0]
            )
        )
    for name in names:
        if name not in header:
            raise ReportError(
                worded(
                    "{path}:1: expected a column '{name}', found {header}",
                    path=path,
                    name=name,
                    header=_quoted(header),
                )
            )


def _quoted(names: Sequence[str]) -> str:
    return ", ".join(f"'{name}'" for name in names)


def _student_of(row: Mapping[str, str], columns: Columns, where: str) -> str:
    if not row[columns.student].strip():
        raise ReportError(
            worded(
                "{where}: expected a student in '{student}', got none",
                where=where,
                student=columns.student,
            )
        )
    return row[columns.student]
