"""What a reviewer checks by hand in a question about a single line: each line, each reason.

Told anew from the statement: what the item itself says of its lines is not used.
"""

from collections.abc import Iterator

from itembank.kinds.asking import LINE_ASKS, REASON_ASKS
from itembank.kinds.base import Problem, Solution
from itembank.kinds.lines import InLines, Reasoned
from itembank.languages import Told, grid, say
from itembank.values.answer import Answer


def to_check(problem: Problem, solution: Solution[Answer], ask: str) -> Iterator[Told]:
    """Each line as it should be, or each reason; nothing for other asks."""
    if ask in LINE_ASKS and isinstance(problem, InLines):
        yield say(
            "A line of the question that says something else than its line here is wrong; the "
            "lines after it may follow from it."
        )
        yield grid(
            (say("Line"), say("As it should be"), say("How to check it")),
            [(n, line.text, line.check) for n, line in enumerate(problem.lines(solution), 1)],
            row_heads=True,
        )
    if ask in REASON_ASKS and isinstance(problem, Reasoned):
        yield say(
            "One of these is asked for. The reason holds and proves the statement; every other one "
            "offered must fail by a calculation."
        )
        yield grid(
            (say("What is to be proved"), say("Reason")),
            [(found.claim, found.reason) for found in problem.inferences(solution)],
        )
