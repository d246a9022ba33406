"""The order of a number modulo m as a step of another question, found by the kind of orders."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from itembank.kinds.base import Solution, Step
from itembank.kinds.order.kind import OrderModulo
from itembank.kinds.order.worked import WORKED
from itembank.kinds.wording import told
from itembank.languages import Told, lead


@dataclass(frozen=True)
class OrderFound(Step):
    """The order of a modulo m, which are coprime; m > 1."""

    name = "find the order"
    a: int
    m: int

    @property
    def solution(self) -> Solution[Any]:
        return OrderModulo(number=self.a, modulus=self.m).solve()

    @property
    def value(self) -> int:
        order: int = self.solution.answer.value
        return order

    @property
    def effort(self) -> int:
        return self.solution.effort


def order_told(step: OrderFound) -> Iterator[Told]:
    yield lead("The order of {a} modulo {m}.", a=step.a, m=step.m)
    yield from told(step.solution.steps, WORKED)
