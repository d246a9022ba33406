"""Figures as SVG: the tree of lifted roots, residues on a circle, bars; each with its words.

Places on the paper are fractions of a pixel; nothing here is a question, an answer or a mark.
"""

from collections.abc import Mapping, Sequence
from math import cos, pi, sin

from itembank.languages import Said, say
from itembank.maths.polynomials import derivative, value_mod
from itembank.notation.elements import Element, Maker
from itembank.review.evidence import Sides
from itembank.review.writer import Writer, h

_s = Maker("http://www.w3.org/2000/svg")

_WIDEST = 27
"""Roots on one level of a tree."""

LARGEST_PRIME = 31
_DEEPEST = 6

_CIRCLE = 130
"""The largest modulus whose residues are set on a circle."""

Level = list[tuple[int, int | None]]
"""Roots modulo p^j, each with the place of the root below which it stands."""


def _figure(svg: Element, caption: str) -> Element:
    return h("figure", h("div", {"class": "wide"}, svg), h("figcaption", caption))


def _drawing(width: int, height: int, words: str, *shapes: Element) -> Element:
    """An image with its description for those who do not see it."""
    attributes = {
        "viewBox": f"0 0 {width} {height}",
        "width": str(width),
        "height": str(height),
        "role": "img",
        "aria-label": words,
    }
    return _s("svg", attributes, *shapes)


def _text(x: float, y: float, content: str, **attributes: str) -> Element:
    place = {"x": f"{x:.1f}", "y": f"{y:.1f}", "text-anchor": "middle"}
    return _s("text", {**place, **attributes}, content)


# ------------------------------------------------------------ the lifting tree


def levels(c: Sides, p: int, k: int) -> list[Level] | None:
    """The roots modulo p, ..., p^k, by trial of every digit; None if too many to draw."""
    if p > LARGEST_PRIME or k > _DEEPEST:
        return None
    found: list[Level] = [[(r, None) for r in range(p) if value_mod(c.f, r, p) == 0]]
    for j in range(1, k):
        q = p**j
        found.append([
            (r + t * q, place)
            for place, (r, _parent) in enumerate(found[-1])
            for t in range(p)
            if value_mod(c.f, r + t * q, p * q) == 0
        ])  # fmt: skip
        if len(found[-1]) > _WIDEST:
            return None
    return found


def tree(page: Writer, c: Sides, p: int, k: int) -> Element | None:
    """The figure of the roots modulo p, p^2, ..., dead branches marked; None if too large."""
    found = levels(c, p, k)
    if found is None or not found[0]:
        return None
    step = max(34, 9 * len(str(p**k)) + 12)
    width = max(260, 120 + step * _branches(found))
    places = _positions(found, step, (width + 80) / 2)
    height = 62 * k + 20
    shapes: list[Element] = []
    for j, level in enumerate(found):
        y = 30 + 62 * j
        name = f"mod {p ** (j + 1)}"
        shapes.append(_text(10, y + 5, name, **{"class": "level", "text-anchor": "start"}))
        parents = {parent for _r, parent in found[j + 1]} if j + 1 < k else set()
        for i, (r, parent) in enumerate(level):
            x = places[j][i]
            if parent is not None:
                shapes.append(_branch(places[j - 1][parent], y - 50, x, y - 13))
            shapes.append(_text(x, y + 5, str(r)))
            if j + 1 < k and i not in parents:
                shapes += [
                    _branch(x, y + 12, x, y + 24, "dead"),
                    _text(x, y + 38, "✗", **{"class": "dead"}),
                ]
    words = _tree_words(found, p)
    return _figure(
        _drawing(int(width), height, page.sentences(words), *shapes),
        page.sentences([*words, *_singular_words(c, found[0], p)]),
    )


def _branches(found: Sequence[Level]) -> int:
    """How many roots nothing is lifted from: the tree is as wide as they are many."""
    lifted = [len({parent for _r, parent in level}) for level in found[1:]]
    return sum(map(len, found)) - sum(lifted)


def _positions(found: Sequence[Level], step: float, middle: float) -> list[list[float]]:
    """Where the roots of each level stand: each above the middle of those lifted from it."""
    leaves = 0.0
    places: list[list[float]] = [[0.0] * len(level) for level in found]

    def place(j: int, i: int) -> float:
        nonlocal leaves
        below = (
            [k for k, (_r, parent) in enumerate(found[j + 1]) if parent == i]
            if j + 1 < len(found)
            else []
        )
        if below:
            xs = [place(j + 1, k) for k in below]
            x = (xs[0] + xs[-1]) / 2
        else:
            x = leaves * step
            leaves += 1
        places[j][i] = x
        return x

    for i in range(len(found[0])):
        place(0, i)
    shift = middle - (leaves - 1) * step / 2
    return [[x + shift for x in level] for level in places]


def _branch(x1: float, y1: float, x2: float, y2: float, kind: str = "branch") -> Element:
    ends = {"x1": x1, "y1": y1, "x2": x2, "y2": y2}
    return _s("line", {"class": kind, **{name: f"{value:.1f}" for name, value in ends.items()}})


def _tree_words(found: Sequence[Level], p: int) -> list[Said]:
    words = [say("Tree of roots modulo the powers of {p}.", p=p)]
    for j, level in enumerate(found, 1):
        roots = sorted(r for r, _parent in level)
        words.append(
            say("Roots modulo {q}: {roots}.", q=p**j, roots=_listed(roots)) if roots
            else say("Roots modulo {q}: none.", q=p**j)
        )  # fmt: skip
    return words


def _listed(numbers: Sequence[int]) -> str:
    return ", ".join(map(str, numbers))


def _singular_words(c: Sides, level: Level, p: int) -> list[Said]:
    slope = derivative(c.f)
    return [
        say(
            "{r} is singular: the derivative there is 0 modulo {p}, the value {v} modulo {q}.",
            r=r,
            p=p,
            v=value_mod(c.f, r, p * p),
            q=p * p,
        )
        for r, _parent in level
        if value_mod(slope, r, p) == 0
    ]


# ------------------------------------------------------------ the circle


def circle(page: Writer, m: int, solutions: Sequence[int]) -> Element | None:
    """The residues modulo m on a circle, 0 at the top, solutions marked; None for a large m."""
    if m > _CIRCLE or m < 3:
        return None
    size, radius = 300, 112
    shapes = [_s("circle", {"class": "rim", "cx": "150", "cy": "150", "r": str(radius)})]
    marked = set(solutions)
    named = [x for x in range(m) if x in marked or x == 0 or m <= 24]
    names = _names_apart(named, m, radius)
    for x in range(m):
        angle = 2 * pi * x / m
        at = {"cx": f"{150 + radius * sin(angle):.1f}", "cy": f"{150 - radius * cos(angle):.1f}"}
        kind, r = ("solution", "5") if x in marked else ("residue", "2")
        shapes.append(_s("circle", {"class": kind, **at, "r": r}))
        if x in names:
            weight = {"class": "solution"} if x in marked else {}
            across, down = names[x]
            shapes.append(_text(150 + across, 155 + down, str(x), **weight))
    words = page.sentences([
        say("Residues modulo {m} on a circle.", m=m),
        say("Solutions: {listed}.", listed=_listed(solutions)) if solutions
        else say("Solutions: none."),
    ])  # fmt: skip
    return _figure(_drawing(size, size, words, *shapes), words)


_PLACES = (20, -20, -38, -56, -74)
"""How far a name may stand outside the rim, or within it."""


def _names_apart(shown: Sequence[int], m: int, radius: float) -> dict[int, tuple[float, float]]:
    """Where the name of each residue stands from the middle, none upon another where it can."""
    found: dict[int, tuple[float, float]] = {}

    def free(name: int, x: float, y: float) -> bool:
        return all(
            abs(x - a) > 4.5 * (len(str(name)) + len(str(other))) + 2 or abs(y - b) > 15
            for other, (a, b) in found.items()
        )

    for name in shown:
        angle = 2 * pi * name / m
        places = [((radius + d) * sin(angle), -(radius + d) * cos(angle)) for d in _PLACES]
        found[name] = next((place for place in places if free(name, *place)), places[0])
    return found


# ------------------------------------------------------------ bars


def bars(page: Writer, caption: Said, counts: Mapping[str, int], head: Said) -> Element:
    """A table of counts, each with a bar; it reads without the bars."""
    most = max(counts.values(), default=1) or 1
    rows = [
        h(
            "tr",
            h("th", {"scope": "row"}, name),
            h("td", {"class": "number"}, str(n)),
            h("td", {"class": "bar"}, _bar(n, most)),
        )
        for name, n in counts.items()
    ]
    return h(
        "table",
        {"class": "bars"},
        h("caption", page.text(caption)),
        h(
            "thead",
            h(
                "tr",
                h("th", {"scope": "col"}, page.text(head)),
                h("th", {"scope": "col", "class": "number"}, page.text(say("Items"))),
                h("td"),
            ),
        ),
        h("tbody", *rows),
    )


def _bar(n: int, most: int) -> Element:
    width = 140 * n // most
    shape = _s("rect", {"x": "0", "y": "2", "width": str(width), "height": "10"})
    return _s(
        "svg",
        {"viewBox": "0 0 140 14", "width": "140", "height": "14", "aria-hidden": "true"},
        shape,
    )
