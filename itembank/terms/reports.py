"""What students answered, as platforms report it: QTI result reports, or a table.

QTI Results Reporting 2.1 to 3.0 (one XML file a student) and CSV with columns that the caller
names.  Scores are read exactly.  Of several attempts at an item the first counts: later ones
have seen the feedback.  Who a student is stays here: it only tells rows of one from another's.
"""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from hashlib import sha256
from pathlib import Path

from lxml import etree

from itembank.forms.typed import separated
from itembank.values.errors import ReportError

NAMESPACES = (
    "http://www.imsglobal.org/xsd/imsqti_result_v2p1",
    "http://www.imsglobal.org/xsd/imsqti_result_v2p2",
    "http://www.imsglobal.org/xsd/imsqti_result_v3p0",
)
"""Result reports of QTI 2.1, 2.2 and 3.0 (their schemas)."""

LARGEST = 20_000_000
"""Bytes of a report that are read; one student's is a few thousand."""

LONGEST_SCORE = 40
"""Characters of a score."""


@dataclass(frozen=True)
class Answered:
    """One student's first attempt at one item.

    most: the score of a right answer, if the report says it.  response: what was chosen or
    typed, () for nothing, None if the report does not say.  where: for messages.
    """

    student: str
    item: str
    score: Fraction
    most: Fraction | None
    response: tuple[str, ...] | None
    where: str


@dataclass(frozen=True, kw_only=True)
class Columns:
    """The names of a table's columns; a table has a row for each student and item."""

    student: str
    item: str
    score: str
    most: str | None = None
    response: str | None = None


def fingerprint(paths: Iterable[Path]) -> str:
    """A hash of what some files hold: the same results are recorded once."""
    return sha256(b"".join(sha256(read(path)).digest() for path in files(paths))).hexdigest()


def files(paths: Iterable[Path]) -> list[Path]:
    """The files named, and the XML files of the folders named, in order."""
    found: list[Path] = []
    for path in paths:
        found += sorted(path.rglob("*.xml")) if path.is_dir() else [path]
    return found


def read(path: Path) -> bytes:
    try:
        if path.stat().st_size > LARGEST:
            raise ReportError(f"{path}: expected at most {LARGEST} bytes")
        return path.read_bytes()
    except OSError as e:
        raise ReportError(f"{path}: cannot be read: {e.strerror}") from None


def answers(paths: Iterable[Path], columns: Columns | None = None) -> Iterator[Answered]:
    """The first attempts in all files, reports and tables; errors name the place."""
    seen: set[tuple[str, str]] = set()
    found = files(paths)
    if not found:
        raise ReportError("results: expected XML reports or a CSV table, found no file")
    for path in found:
        of_file = report(path) if path.suffix.lower() == ".xml" else table(path, columns)
        for answer in of_file:
            if (answer.student, answer.item) not in seen:
                seen.add((answer.student, answer.item))
                yield answer


def number(text: str, where: str) -> Fraction:
    """A score, exactly: 2, 0.5, 1/3."""
    try:
        if len(text) > LONGEST_SCORE or "e" in text.lower() or "_" in text:
            raise ValueError
        return Fraction(text.strip())
    except (ValueError, ZeroDivisionError):
        raise ReportError(f"{where}: expected a score such as 2 or 0.5, got {text!r}") from None


# ------------------------------------------------------------ result reports

Values = Mapping[str, tuple[str, ...]]


def report(path: Path) -> Iterator[Answered]:
    """One student's report.  Without a sourcedId its file name stands for the student."""
    root = parsed(path)
    namespace = etree.QName(root).namespace
    if etree.QName(root).localname != "assessmentResult" or namespace not in NAMESPACES:
        raise ReportError(
            f"{path}: expected a QTI result report (assessmentResult of 2.1, 2.2 or 3.0), "
            f"got {etree.QName(root).text}"
        )
    q = f"{{{namespace}}}"
    context = root.find(f"{q}context")
    student = (context.get("sourcedId") if context is not None else None) or path.stem
    results = [r for r in root.iterfind(f"{q}itemResult") if r.get("sessionStatus") == "final"]
    for result in sorted(results, key=lambda r: r.get("datestamp", "")):
        where = f"{path}:{result.sourceline}"
        score, most = score_of(result, q, where)
        if score is not None:
            yield Answered(
                student, result.get("identifier", ""), score, most, response_of(result, q), where
            )


def parsed(path: Path) -> etree._Element:
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False
    )
    try:
        root = etree.fromstring(read(path), parser)
    except etree.XMLSyntaxError as e:
        raise ReportError(f"{path}: no well-formed XML: {e.msg}") from None
    if root.getroottree().docinfo.doctype:
        raise ReportError(f"{path}: expected no document type declaration")
    return root


def score_of(result: etree._Element, q: str, where: str) -> tuple[Fraction | None, Fraction | None]:
    """SCORE, and the score of a right answer: MAXSCORE, or the normal maximum of SCORE."""
    score = most = None
    for variable in result.iterfind(f"{q}outcomeVariable"):
        text = (variable.findtext(f"{q}value") or "").strip()
        if variable.get("identifier") == "SCORE":
            score = number(text, where) if text else None
            maximum = variable.get("normalMaximum")
            most = most or (number(maximum, where) if maximum else None)
        elif variable.get("identifier") == "MAXSCORE" and text:
            most = number(text, where)
    return score, most


def response_of(result: etree._Element, q: str) -> tuple[str, ...] | None:
    """The values of RESPONSE; of several variables that begin so one text each, "" for a blank."""
    found = [
        variable
        for variable in result.iterfind(f"{q}responseVariable")
        if variable.get("identifier", "").startswith("RESPONSE")
    ]
    if not found:
        return None
    given = [
        [text for v in variable.iterfind(f"{q}candidateResponse/{q}value") if (text := told(v))]
        for variable in found
    ]
    if len(found) == 1:
        return tuple(given[0])
    return tuple(map(" ".join, given)) if any(given) else ()


def told(value: etree._Element) -> str:
    return (value.text or "").strip()


# ------------------------------------------------------------ tables


def table(path: Path, columns: Columns | None) -> Iterator[Answered]:
    """The rows of a CSV file; an empty score is an item that was not reached, and left out."""
    if columns is None:
        raise ReportError(
            f"{path}: a table needs the names of its columns: say --student, --item and --score"
        )
    try:
        text = read(path).decode("utf-8-sig")
    except UnicodeDecodeError as e:
        raise ReportError(f"{path}: expected UTF-8, byte {e.start} is not") from None
    head = text.partition("\n")[0]
    delimiter = ";" if head.count(";") > head.count(",") else ","
    rows = csv.DictReader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    names = [n for n in vars(columns).values() if n is not None]
    for name in names:
        if name not in (rows.fieldnames or ()):
            raise ReportError(
                f"{path}:1: expected a column '{name}', found "
                + ", ".join(f"'{n}'" for n in rows.fieldnames or ("nothing",))
            )
    try:
        for row in rows:
            where = f"{path}:{rows.line_num}"
            score = row[columns.score]
            if any(row[name] is None for name in names):
                raise ReportError(f"{where}: expected {len(rows.fieldnames or ())} columns")
            if not row[columns.student].strip():
                raise ReportError(f"{where}: expected a student in '{columns.student}', got none")
            if score.strip():
                yield Answered(
                    row[columns.student],
                    row[columns.item].strip(),
                    number(score, where),
                    number(row[columns.most], where) if columns.most else None,
                    separated(row[columns.response]) if columns.response else None,
                    where,
                )
    except csv.Error as e:
        raise ReportError(f"{path}:{rows.line_num}: no well-formed CSV: {e}") from None
