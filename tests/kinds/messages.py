"""What a kind says, as its catalogues see it: messages and trees, no English apart from them."""

from collections.abc import Iterator

from itembank.kinds.base import Problem
from itembank.languages import Grid, Lead, Said, Shown, Telling, Told
from itembank.notation import plain
from itembank.notation.tree import Words
from itembank.values.answer import Absent
from tests.kinds.telling import rendered

RULE = "\N{BOX DRAWINGS LIGHT HORIZONTAL}"
"""What the line below the head of a table is made of."""


def text(told: Telling) -> str:
    """The words and formulas in one line."""
    return " ".join(plain.blocks(rendered(told)).replace(RULE, "").split())


def worked(problem: Problem) -> str:
    """The worked solution in one line."""
    return text(problem.worked(problem.solve()))


def feedback(problem: Problem, name: str) -> str:
    """What is said to who made the slip, in one line."""
    (slip,) = (s for s in problem.slips(problem.solve()) if name in s.names)
    return text(slip.feedback[slip.names.index(name)])


def everything_told(problem: Problem) -> Iterator[Told]:
    """Stems, worked solution, feedback, and the reason why there is no answer."""
    solution = problem.solve()
    for ask in problem.signature.asks:
        yield from problem.question(ask)
    yield from problem.worked(solution)
    for slip in problem.slips(solution):
        for feedback in slip.feedback:
            yield from feedback
    if isinstance(solution.answer, Absent):
        yield solution.answer.reason


def untold(telling: Telling) -> Iterator[object]:
    """What no catalogue can reach: blocks written in English, cells and slots that hold words."""
    for told in telling:
        match told:
            case Said():
                yield from words_in(told)
            case Lead(said):
                yield from words_in(said)
            case Grid(head, rows):
                yield from cells_written(head)
                for row in rows:
                    yield from cells_written(row)
            case Shown(rows):
                yield from (row for row in rows if isinstance(row, Words))
            case _:
                yield told


def cells_written(cells: tuple[object, ...]) -> Iterator[object]:
    for cell in cells:
        if isinstance(cell, Said):
            yield from words_in(cell)
        elif isinstance(cell, str | Words) and cell != "":
            yield cell


def words_in(said: Said) -> Iterator[object]:
    yield from (value for _name, value in said.slots if isinstance(value, str))
