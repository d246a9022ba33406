"""What students answered, as platforms report it: QTI result reports, or a table.

QTI Results Reporting 2.1 to 3.0 (one XML file a student) and CSV with columns that the caller
names (`tables`).  Scores are read exactly.  Who a student is stays here: it only tells rows of
one from another's.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from hashlib import sha256
from pathlib import Path
from typing import Literal

from lxml import etree

from itembank.forms.typed import separated
from itembank.terms import tables
from itembank.terms.tables import Columns, Known
from itembank.values.errors import ReportError
from itembank.values.parts import name_of_part
from itembank.values.worded import worded

NAMESPACES = (
    "http://www.imsglobal.org/xsd/imsqti_result_v2p1",
    "http://www.imsglobal.org/xsd/imsqti_result_v2p2",
    "http://www.imsglobal.org/xsd/imsqti_result_v3p0",
)
"""Result reports of QTI 2.1, 2.2 and 3.0 (their schemas)."""

_LARGEST = 20_000_000
"""Bytes of a report that are read; one student's is a few thousand."""

_LONGEST_SCORE = 40
"""Characters of a score."""


@dataclass(frozen=True)
class Answered:
    """One student's attempt at one item.

    most: the score of a right answer, if the report says it.  response: what was chosen or
    typed, () for nothing, None if the report does not say.  where: for messages.
    """

    student: str
    item: str
    score: Fraction
    most: Fraction | None
    response: tuple[str, ...] | None
    where: str


Attempt = Literal["first", "best", "last"]
"""Which of several attempts counts, in the order of the rows, or of the dates of a report."""


@dataclass(frozen=True)
class Answers:
    """One attempt of each student at each question; and how many rows said the same again."""

    attempts: tuple[Answered, ...]
    repeated: int


Graded = Callable[[Path, bytes], Iterator[Answered] | None]
"""Reads a table that graders of paper filled; None for another table."""


def fingerprint(paths: Iterable[Path]) -> str:
    """A hash of what some files hold: the same results are recorded once."""
    return sha256(b"".join(sha256(_read(path)).digest() for path in _files(paths))).hexdigest()


def _files(paths: Iterable[Path]) -> list[Path]:
    """The files named, and the XML files of the folders named, in order."""
    found: list[Path] = []
    for path in paths:
        found += sorted(path.rglob("*.xml")) if path.is_dir() else [path]
    return found


def _read(path: Path) -> bytes:
    try:
        if path.stat().st_size > _LARGEST:
            raise ReportError(
                worded("{path}: expected at most {largest} bytes", path=path, largest=_LARGEST)
            )
        return path.read_bytes()
    except OSError as e:
        raise ReportError(
            worded("{path}: cannot be read: {strerror}", path=path, strerror=e.strerror)
        ) from None


def answers(
    paths: Iterable[Path],
    columns: Columns | None = None,
    known: Known = lambda _name: True,
    attempt: Attempt | None = None,
    graded: Graded | None = None,
) -> Answers:
    """One attempt of each student at each question, of reports and tables in the order given.

    Of several that differ `attempt` says which; ReportError where it is None.  `known` tells the
    columns of a wide table that are questions, `graded` reads a table that graders of paper filled,
    and is asked where no columns are named.  Errors name the place.
    """
    found = _files(paths)
    if not found:
        raise ReportError(worded("results: expected XML reports or a CSV table, found no file"))
    kept: dict[tuple[str, str], Answered] = {}
    repeated = 0
    for path in found:
        if path.suffix.lower() == ".xml":
            of_file = _report(path)
        elif graded and columns is None and (of_paper := graded(path, _read(path))) is not None:
            of_file = of_paper
        else:
            of_file = _table(path, columns, known)
        for answer in of_file:
            before = kept.setdefault((answer.student, answer.item), answer)
            if before is answer:
                continue
            if _same(before, answer):
                repeated += 1
            elif attempt is None:
                raise ReportError(
                    worded(
                        "{where}: another attempt of the student of {other_where} at {item}; say "
                        "which "
                        "counts: --attempt first, best or last",
                        where=answer.where,
                        other_where=before.where,
                        item=answer.item,
                    )
                )
            else:
                kept[answer.student, answer.item] = _CHOICES[attempt](before, answer)
    return Answers(tuple(kept.values()), repeated)


def _same(one: Answered, other: Answered) -> bool:
    return (one.score, one.most, one.response) == (other.score, other.most, other.response)


_CHOICES: Mapping[Attempt, Callable[[Answered, Answered], Answered]] = {
    "first": lambda before, _after: before,
    "last": lambda _before, after: after,
    "best": lambda before, after: max(before, after, key=lambda one: one.score),
}
"""Which of two attempts counts, in their order."""


def number(text: str, where: str) -> Fraction:
    """A score, exactly: 2, 0.5, 1/3, and 0,5 with a decimal comma."""
    try:
        if len(text) > _LONGEST_SCORE or "e" in text.lower() or "_" in text:
            raise ValueError
        return Fraction(text.strip().replace(",", "."))
    except (ValueError, ZeroDivisionError):
        raise ReportError(
            worded(
                "{where}: expected a score such as 2 or 0.5, got {text}",
                where=where,
                text=repr(text),
            )
        ) from None


# ------------------------------------------------------------ result reports


def _report(path: Path) -> Iterator[Answered]:
    """One student's report.  Without a sourcedId its file name stands for the student."""
    root = _parsed(path)
    namespace = etree.QName(root).namespace
    if etree.QName(root).localname != "assessmentResult" or namespace not in NAMESPACES:
        raise ReportError(
            worded(
                "{path}: expected a QTI result report (assessmentResult of 2.1, 2.2 or 3.0), "
                "got {text}",
                path=path,
                text=etree.QName(root).text,
            )
        )
    q = f"{{{namespace}}}"
    context = root.find(f"{q}context")
    student = (context.get("sourcedId") if context is not None else None) or path.stem
    results = [r for r in root.iterfind(f"{q}itemResult") if r.get("sessionStatus") == "final"]
    for result in sorted(results, key=lambda r: r.get("datestamp", "")):
        where = f"{path}:{result.sourceline}"
        name = result.get("identifier", "")
        letters = _letters_of(result, q)
        for part in letters or [""]:
            score, most = _score_of(result, q, where, f"_{part}" if part else "")
            if score is not None:
                response = _response_to(result, q, part) if part else _response_of(result, q)
                item = name_of_part(name, part) if part else name
                yield Answered(student, item, score, most, response, where)


def _parsed(path: Path) -> etree._Element:
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False
    )
    try:
        root = etree.fromstring(_read(path), parser)
    except etree.XMLSyntaxError as e:
        raise ReportError(
            worded("{path}: no well-formed XML: {msg}", path=path, msg=e.msg)
        ) from None
    if root.getroottree().docinfo.doctype:
        raise ReportError(worded("{path}: expected no document type declaration", path=path))
    return root


def _letters_of(result: etree._Element, q: str) -> list[str]:
    """The parts of an item that holds all parts of a question; [] of any other item.

    Each part has a score of its own, SCORE_a, SCORE_b, ...; stages have numbers.
    """
    found = {variable.get("identifier", "") for variable in result.iterfind(f"{q}outcomeVariable")}
    return sorted(match[1] for name in found if (match := _SCORE_OF_PART.fullmatch(name)))


_SCORE_OF_PART = re.compile("SCORE_([a-z])")


def _score_of(
    result: etree._Element, q: str, where: str, part: str = ""
) -> tuple[Fraction | None, Fraction | None]:
    """SCORE, and the score of a right answer: MAXSCORE, or the normal maximum of SCORE.

    part: what the names of these end with for a part of a question, as in "_a".
    """
    score = most = None
    for variable in result.iterfind(f"{q}outcomeVariable"):
        text = (variable.findtext(f"{q}value") or "").strip()
        if variable.get("identifier") == f"SCORE{part}":
            score = number(text, where) if text else None
            maximum = variable.get("normalMaximum")
            most = most or (number(maximum, where) if maximum else None)
        elif variable.get("identifier") == f"MAXSCORE{part}" and text:
            most = number(text, where)
    return score, most


def _response_of(result: etree._Element, q: str) -> tuple[str, ...] | None:
    """The values of RESPONSE; of several variables that begin so one text each, "" for a blank."""
    return _given_in(
        [
            variable
            for variable in result.iterfind(f"{q}responseVariable")
            if variable.get("identifier", "").startswith("RESPONSE")
        ],
        q,
    )


def _response_to(result: etree._Element, q: str, part: str) -> tuple[str, ...] | None:
    """The same of one part, whose variables and choices end with its letter."""
    ending = f"_{part}"
    found = [
        variable
        for variable in result.iterfind(f"{q}responseVariable")
        if variable.get("identifier", "").startswith("RESPONSE")
        and variable.get("identifier", "").endswith(ending)
    ]
    given = _given_in(found, q)
    return given and tuple(
        " ".join(word.removesuffix(ending) for word in text.split(" ")) for text in given
    )


def _given_in(found: Sequence[etree._Element], q: str) -> tuple[str, ...] | None:
    if not found:
        return None
    given = [
        [text for v in variable.iterfind(f"{q}candidateResponse/{q}value") if (text := _told(v))]
        for variable in found
    ]
    if len(found) == 1:
        return tuple(given[0])
    return tuple(map(" ".join, given)) if any(given) else ()


def _told(value: etree._Element) -> str:
    return (value.text or "").strip()


# ------------------------------------------------------------ tables


def _table(path: Path, columns: Columns | None, known: Known) -> Iterator[Answered]:
    """The scores of a table of CSV; what was not reached is left out."""
    if columns is None:
        raise ReportError(
            worded(
                "{path}: a table needs the names of its columns: say --student, and --item and "
                "--score if each row is of one question",
                path=path,
            )
        )
    for cell in tables.cells(path, _read(path), columns, known):
        yield Answered(
            cell.student,
            cell.item,
            number(cell.score, cell.where),
            None if cell.most is None else number(cell.most, cell.where),
            None if cell.response is None else separated(cell.response),
            cell.where,
        )
