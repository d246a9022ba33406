"""The table that graders fill: a row for each question of each copy, the points left open.

    student   any mark that tells students apart; left blank, the code of the copy stands for it
    copy      the code of the copy
    question  its number on the sheet
    item      its identifier, by which results are kept
    points    what the answer is given: filled by the grader; blank for what was not reached
    of        what a right answer is given
    answer    what was written: letters of options, or numbers; may stay blank

`itembank results` reads it back as it is (`itembank.terms.graded`).  A copy that several students
were given has its rows once; a grader repeats them, with a mark for each student.

Source: RFC 4180 (comma-separated values).
"""

import csv
import io
from collections.abc import Iterable

from exporters.paper import Copy
from itembank.values.points import decimal

_COLUMNS = ("student", "copy", "question", "item", "points", "of", "answer")


def grades(copies: Iterable[Copy]) -> bytes:
    """The table of some copies, as spreadsheets read it: UTF-8, with a mark of it."""
    out = io.StringIO(newline="")
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(_COLUMNS)
    for copy in copies:
        for n, drawn in copy.numbered:
            item = drawn.item
            table.writerow(
                ("", copy.code, n, item.identifier, "", decimal(item.scoring.points), "")
            )
    return out.getvalue().encode("utf-8-sig")
