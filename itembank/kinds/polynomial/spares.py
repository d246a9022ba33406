"""Lines that do not belong to the solution of a polynomial congruence: what slips make of it.

A slip changes the way from its line on (`lines`), so its lines agree with each other as right ones
do.  Each of them claims all solutions modulo a number, and other ones than there are.
"""

from collections.abc import Iterator, Sequence

from itembank.kinds.derivation import SpareLine, StepLine, Wrong, beside
from itembank.kinds.polynomial.guidance import outlined_by
from itembank.kinds.polynomial.lines import Way, apart, slips_by_line, way_of
from itembank.kinds.polynomial.steps import Square
from itembank.languages import Said
from itembank.languages.lettering import in_letter
from itembank.maths.polynomials import Poly
from itembank.values.answer import ResidueSet


def spares(
    f: Poly, letter: str, factors: Sequence[tuple[int, int]], answer: ResidueSet,
    squares: dict[int, Square], lines: Sequence[StepLine],
) -> tuple[SpareLine, ...]:  # fmt: skip
    """The lines of the outline that a slip changes, slip by slip."""
    way = way_of(f, factors, answer, squares)
    right = {line.name: line.text for line in lines}
    return beside(lines, _gone_wrong(way, letter, right))


def _gone_wrong(way: Way, letter: str, right: dict[str, Said]) -> Iterator[Wrong]:
    for place, (slips, claim) in enumerate(zip(slips_by_line(way), way.claims(), strict=True)):
        for name, changed, feedback in apart(slips, place, claim):
            for line, said in _told(changed):
                text = in_letter(said, letter)
                if text != right.get(line):
                    yield line, name, text, in_letter(feedback, letter)


def _told(way: Way) -> Iterator[tuple[str, Said]]:
    levels = [(level.p, level.sets) for level in way.levels]
    answer = way.combined if len(levels) > 1 else way.levels[0].sets[-1]
    return outlined_by(levels, way.m, answer)
