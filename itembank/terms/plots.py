"""Plots of a page for people: inline SVG in the colours of the page, each with words for those who
do not see it.  The numbers behind a plot stand in a table beside it.

Places on the paper are fractions of a pixel; nothing here is a mark.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from itembank.notation.elements import Element, Maker

_s = Maker("http://www.w3.org/2000/svg")

_WIDTH = 480
LEFT, RIGHT, TOP, BOTTOM = 52, 30, 14, 44
LETTER, LINE = 7.2, 13
"""Width and height of a character, about."""


@dataclass(frozen=True)
class Point:
    """A point with its short name; `strong`: of a whole question, not of one variant."""

    x: float
    y: float
    name: str
    strong: bool = True


def _drawing(height: float, words: str, shapes: Sequence[Element]) -> Element:
    box = {"viewBox": f"0 0 {_WIDTH} {height:.0f}", "role": "img", "aria-label": words}
    return _s("svg", box, *shapes)


def _text(x: float, y: float, content: str, anchor: str = "middle", kind: str = "") -> Element:
    place = {"x": f"{x:.1f}", "y": f"{y:.1f}", "text-anchor": anchor}
    return _s("text", place | ({"class": kind} if kind else {}), content)


def _line(x1: float, y1: float, x2: float, y2: float, kind: str) -> Element:
    ends = {"x1": x1, "y1": y1, "x2": x2, "y2": y2}
    return _s("line", {**{name: f"{v:.1f}" for name, v in ends.items()}, "class": kind})


def _rect(x: float, y: float, width: float, height: float, kind: str) -> Element:
    sides = {"x": x, "y": y, "width": width, "height": height}
    return _s("rect", {**{name: f"{v:.1f}" for name, v in sides.items()}, "class": kind})


# ------------------------------------------------------------ columns


def columns(counts: Sequence[tuple[str, int]], x: str, words: str) -> Element:
    """A column for each count, with the count on it and its name below."""
    height, most = 190.0, max((n for _name, n in counts), default=0) or 1
    wide = (_WIDTH - LEFT - RIGHT) / max(1, len(counts))
    foot = height - BOTTOM
    shapes: list[Element] = []
    for i, (name, n) in enumerate(counts):
        tall = (foot - TOP - LINE) * n / most
        middle = LEFT + wide * (i + 0.5)
        shapes.append(_rect(middle - wide * 0.4, foot - tall, wide * 0.8, tall, "full"))
        if n:
            shapes.append(_text(middle, foot - tall - 4, str(n)))
        shapes.append(_text(middle, foot + LINE + 3, name))
    shapes.append(_line(LEFT, foot, _WIDTH - RIGHT, foot, "axis"))
    shapes.append(_text((LEFT + _WIDTH - RIGHT) / 2, height - 8, x))
    return _drawing(height, words, shapes)


# ------------------------------------------------------------ points


def scatter(points: Sequence[Point], x: str, y: str, marks: Sequence[float], words: str) -> Element:
    """Points with x from 0 to 1 and y from -1 to 1, each named; dashed lines at heights `marks`."""
    height = 380.0
    foot, least = height - BOTTOM, min([-0.2, *(p.y - 0.05 for p in points)])
    most = max([0.6, *(p.y + 0.05 for p in points)])

    def across(value: float) -> float:
        return LEFT + (_WIDTH - LEFT - RIGHT) * value

    def up(value: float) -> float:
        return foot - (foot - TOP) * (value - least) / (most - least)

    shapes = [*_axes(across, up, least, most, foot)]
    for mark in marks:
        shapes.append(_line(LEFT, up(mark), _WIDTH - RIGHT, up(mark), "mark"))
    shapes.append(_text((LEFT + _WIDTH - RIGHT) / 2, height - 8, x))
    shapes.append(_s("text", {"transform": f"translate(13 {foot / 2:.0f}) rotate(-90)",
                             "text-anchor": "middle"}, y))  # fmt: skip
    taken = [(across(p.x), up(p.y), 9.0, 9.0) for p in points]
    for p in points:
        at = {"cx": f"{across(p.x):.1f}", "cy": f"{up(p.y):.1f}", "r": "5" if p.strong else "3"}
        shapes.append(_s("circle", {**at, "class": "point" if p.strong else "small"}))
    for p in points:
        place = _free(across(p.x), up(p.y), LETTER * len(p.name), taken)
        taken.append((*place, LETTER * len(p.name), LINE))
        shapes.append(_text(place[0], place[1] + 4, p.name, kind="" if p.strong else "soft"))
    return _drawing(height, words, shapes)


def _axes(
    across: "_Place", up: "_Place", least: float, most: float, foot: float
) -> Iterator[Element]:
    for tenth in range(0, 11, 2):
        yield _line(across(tenth / 10), TOP, across(tenth / 10), foot, "grid")
        yield _text(across(tenth / 10), foot + LINE + 3, f"{tenth * 10} %")
    for fifth in range(-5, 6):
        if least <= fifth / 5 <= most:
            kind = "grid" if fifth else "axis"
            yield _line(LEFT, up(fifth / 5), _WIDTH - RIGHT, up(fifth / 5), kind)
            yield _text(LEFT - 6, up(fifth / 5) + 4, f"{fifth / 5:.1f}", "end")


def _free(
    x: float, y: float, width: float, taken: Sequence[tuple[float, float, float, float]]
) -> tuple[float, float]:
    """Where a name stands beside its point and over nothing else, as near as may be."""
    for away in (11.0, 18.0, 26.0, 36.0):
        right, left = x + away - 3 + width / 2, x - away + 3 - width / 2
        for place in ((right, y), (x, y - away), (left, y), (x, y + away), (right, y - away),
                      (left, y - away), (right, y + away), (left, y + away)):  # fmt: skip
            inside = place[0] - width / 2 > LEFT and place[0] + width / 2 < _WIDTH - RIGHT
            if inside and not any(_meet(place, width, other) for other in taken):
                return place
    return x, y - 11.0


def _meet(
    place: tuple[float, float], width: float, other: tuple[float, float, float, float]
) -> bool:
    x, y, w, h = other
    return abs(place[0] - x) < (width + w) / 2 and abs(place[1] - y) < (LINE + h) / 2


# ------------------------------------------------------------ rows


@dataclass(frozen=True)
class Row:
    """A row of pieces, each a number and the kind of its colour; what is said at its end."""

    name: str
    pieces: tuple[tuple[float, str], ...]
    end: str = ""


NAMED, UNNAMED = 34.0, 14.0
"""Heights of a row with a name above it, and of one without."""


def rows(found: Sequence[Row], most: float, words: str) -> Element:
    """A row of bars for each, its name above it if it has one."""
    scale = (_WIDTH - 60) / (most or 1)
    shapes: list[Element] = []
    y = 2.0
    for row in found:
        if row.name:
            y += NAMED - UNNAMED
            shapes.append(_text(2, y - 3, row.name, "start"))
        x = 2.0
        for number, kind in row.pieces:
            if number:
                shapes.append(_rect(x, y + 1, number * scale, UNNAMED - 3, kind))
                x += number * scale
        shapes.append(_text(x + 5, y + UNNAMED - 3, row.end, "start", "soft"))
        y += UNNAMED
    return _drawing(y + 4, words, shapes)


class _Place(Protocol):
    """A place on the paper for a number: what `scatter` gives its axes."""

    def __call__(self, value: float) -> float: ...
