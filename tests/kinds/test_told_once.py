"""What a kind tells of a way is worked out once for all that ask for it."""

from dataclasses import dataclass, replace
from typing import ClassVar

from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.statement import problem_from
from itembank.kinds.told_once import misorders_told, spares_told, steps_told
from itembank.pipeline.compose import check_form


@dataclass(frozen=True)
class Noted(LinearCongruence):
    """A linear congruence that notes what it is asked for."""

    asked: ClassVar[list[str]] = []

    def outline(self, solution):
        self.asked.append("outline")
        return super().outline(solution)

    def misorders(self, lines):
        self.asked.append("misorders")
        return super().misorders(lines)

    def spares(self, solution, lines):
        self.asked.append("spares")
        return super().spares(solution, lines)


def test_steps_are_told_once_whichever_forms_are_tried():
    plain = problem_from(("51x = 39 mod 120",))
    noted = Noted(**vars(plain))
    solution = noted.solve()

    for form in ("order", "select one", "order"):
        check_form(form, noted, solution, (), "the steps", spare=1)

    assert Noted.asked == ["outline", "misorders", "spares"]
    steps = plain.outline(solution)
    assert steps_told(noted, solution) == steps
    assert misorders_told(noted, solution) == plain.misorders(steps)
    assert spares_told(noted, solution) == plain.spares(solution, steps)


def test_another_letter_has_steps_of_its_own():
    problem = problem_from(("51x = 39 mod 120",))
    other = replace(problem, letter="y")

    assert steps_told(problem, problem.solve()) != steps_told(other, other.solve())
    assert steps_told(other, other.solve()) == other.outline(other.solve())
