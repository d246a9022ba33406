"""The table that graders fill, read back: copy, question, points, what was written.

Columns as `exporters.grades` writes them: copy, question and points are needed, student, item, of
and answer may be missing.  A row without points and answer was not reached.  A copy is known by
its code, from which its questions follow: the identifier in a row, where it stands, must be the one
that the copy has under this number, so a row that slipped is found.  Letters stand for options.
"""

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from exporters.paper import MOST_COPIES, Copy, letters_of, pile
from itembank.forms.typed import separated
from itembank.terms import tables
from itembank.terms.reports import Answered, number
from itembank.terms.wording import edition_of
from itembank.values.errors import ReportError
from itembank.values.item import Guided, Item, MatchPairs
from itembank.values.worded import worded

_NEEDED = ("copy", "question", "points")

Groups = Sequence[tuple[Sequence[Item], int]]


def is_graded(content: bytes, path: Path) -> bool:
    """Whether a table is one that graders fill, by its header."""
    return set(_NEEDED) <= set(_header(tables.decoded(path, content)))


def _header(text: str) -> list[str]:
    first = text.partition("\n")[0]
    delimiter = max(tables.DELIMITERS, key=first.count)
    return [name.strip() for name in next(csv.reader([first], delimiter=delimiter), [])]


class _Pile:
    """The copies of a release, dealt as far as one is looked for; in its first language if ""."""

    def __init__(self, release: str, groups: Groups, language: str) -> None:
        self.release = f"{release}-{language}" if language else release
        edition = [
            ([replace(item, edition=language) for item in items] if language else items, choose)
            for items, choose in groups
        ]
        self.rest = pile(self.release, edition, MOST_COPIES)
        self.known: dict[str, Copy] = {}

    def copy(self, code: str) -> Copy | None:
        """The copy of a code; None for a code that no copy has."""
        while code not in self.known:
            following = next(self.rest, None)
            if following is None:
                return None
            self.known[following.code] = following
        return self.known[code]


def answers(path: Path, content: bytes, release: str, groups: Groups) -> Iterator[Answered]:
    """What is on record in a filled table; ReportError with file and line for what cannot be."""
    text = tables.decoded(path, content)
    names = _header(text)
    delimiter = max(tables.DELIMITERS, key=text.partition("\n")[0].count)
    rows = csv.DictReader(io.StringIO(text, newline=""), names, delimiter=delimiter)
    next(rows)
    piles: dict[str, _Pile] = {}
    for row in rows:
        where = f"{path}:{rows.line_num}"
        cells = {name: (value or "").strip() for name, value in row.items() if name}
        if cells["points"] in tables.NOT_REACHED:
            if cells.get("answer"):
                raise ReportError(
                    worded("{where}: expected points for the answer, got none", where=where)
                )
            continue
        language = edition_of(cells.get("item", ""))[1]
        if language not in piles:
            piles[language] = _Pile(release, groups, language)
        item = _asked(piles[language], cells, where)
        most = cells.get("of")
        yield Answered(
            cells.get("student") or cells["copy"].upper(),
            item.identifier,
            number(cells["points"], where),
            number(most, where) if most else None,
            _response(item, cells["answer"], where) if cells.get("answer") else None,
            where,
        )


def _asked(dealt: _Pile, cells: Mapping[str, str], where: str) -> Item:
    """The question of a row: what the copy has under its number."""
    code = cells["copy"].upper()
    copy = dealt.copy(code)
    if copy is None:
        raise ReportError(
            worded(
                "{where}: expected the code of a copy of {release}, got '{code}'",
                where=where,
                release=dealt.release,
                code=code,
            )
        )
    n, questions = cells["question"], dict(copy.numbered)
    if n not in questions:
        last = copy.numbered[-1][0]
        raise ReportError(
            worded(
                "{where}: expected a question of copy {code}, 1 to {last}, got '{n}'",
                where=where,
                code=code,
                last=last,
                n=n,
            )
        )
    item = questions[n].item
    named = cells.get("item")
    if named and named != item.identifier:
        raise ReportError(
            worded(
                "{where}: expected {identifier} as question {n} of copy {code}, got {named}",
                where=where,
                identifier=item.identifier,
                n=n,
                code=code,
                named=named,
            )
        )
    return item


def _response(item: Item, written: str, where: str) -> tuple[str, ...]:
    """What was written, as a platform would report it: options by identifier."""
    if isinstance(item.response, Guided):
        return tuple(part.strip() for part in written.split(";"))
    options = {letter: name for name, letter in letters_of(item).items()}
    if not options:
        return separated(written)
    found = [options.get(letter) for letter in separated(written.upper())]
    if None in found:
        raise ReportError(
            worded(
                "{where}: expected letters from A to {options}, got '{written}'",
                where=where,
                options=max(options),
                written=written,
            )
        )
    chosen = [name for name in found if name is not None]
    if isinstance(item.response, MatchPairs):
        sources = (source.identifier for source in item.response.sources)
        return tuple(part for pair in zip(sources, chosen, strict=False) for part in pair)
    return tuple(chosen)
