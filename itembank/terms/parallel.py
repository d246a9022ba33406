"""Parallel forms of a quiz, as an integer program: same content, nearly the same effort.

x[i, f] is 1 where item i stands on form f.  Each form takes exactly `choose` items of each
group; no item stands on two forms, no near twins on one; the effort sums of all forms lie
between `low` and `high`, whose difference is made as small as possible; the places of the key
among the options are spread as evenly as the items allow.

Source: van der Linden & Adema, Journal of Educational Measurement 35 (1998); van der Linden,
Linear Models for Optimal Test Design (2005), from memory.  The solver (HiGHS through scipy)
computes with floats; what it proposes is counted again here in integers.
"""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from itembank.values.errors import DrawError
from itembank.values.worded import worded

_NODES = 20_000
"""Branches after which the best forms so far are taken, with the gap that is then proved."""

_MOST_FORMS = 26


@dataclass(frozen=True)
class Piece:
    """An item as assembly sees it; `place`: of its key among options, None without options."""

    item: int
    effort: int
    signs: tuple[str, ...]
    place: int | None


@dataclass(frozen=True)
class Pieces:
    """The items of one group, of which every form gets `choose`."""

    family: str
    choose: int
    pieces: tuple[Piece, ...]


@dataclass(frozen=True)
class Assembled:
    """Forms with what defends them.

    gap: the largest difference of their effort sums.  bound: no choice of these items has a
    smaller one.  uneven: by how much the places of the key depart from an even spread.
    """

    forms: tuple[tuple[int, ...], ...]
    sums: tuple[int, ...]
    gap: int
    bound: int
    uneven: int
    solver: str


def parallel_forms(groups: Sequence[Pieces], forms: int, most: int) -> Assembled:
    """So many forms, of smallest gap; DrawError where there are none within `most`."""
    _refuse_too_few(groups, forms)
    pieces = [(g, piece) for g, group in enumerate(groups) for piece in group.pieces]
    for uneven in range(1 + sum(group.choose for group in groups)):
        found = _solved(groups, pieces, forms, uneven)
        if found is not None:
            break
    else:
        raise DrawError(
            worded(
                "parallel forms: {forms} forms without near twins cannot be made of these "
                "items; draw more variants, or ask for fewer forms",
                forms=forms,
            )
        )
    chosen, bound, solver = found
    made = tuple(
        tuple(piece.item for i, (_g, piece) in enumerate(pieces) if (i, f) in chosen)
        for f in range(forms)
    )
    sums = tuple(
        sum(piece.effort for i, (_g, piece) in enumerate(pieces) if (i, f) in chosen)
        for f in range(forms)
    )
    check(groups, made)
    gap = max(sums) - min(sums)
    if gap > most:
        raise DrawError(
            worded(
                "parallel forms: the effort sums of {forms} forms differ by {gap}, expected at "
                "most {most}; draw more variants, narrow the pool's band of effort, or allow "
                "more",
                forms=forms,
                gap=gap,
                most=most,
            )
        )
    return Assembled(made, sums, gap, min(bound, gap), uneven, solver)


def _refuse_too_few(groups: Sequence[Pieces], forms: int) -> None:
    if not 2 <= forms <= _MOST_FORMS:
        raise DrawError(
            worded(
                "parallel forms: expected 2 to {most_forms}, got {forms}",
                most_forms=_MOST_FORMS,
                forms=forms,
            )
        )
    for group in groups:
        if len(group.pieces) < forms * group.choose:
            raise DrawError(
                worded(
                    "parallel forms: {forms} forms need {other_forms} variants of {family}, the "
                    "pool "
                    "has {n}; ask for more variants",
                    forms=forms,
                    other_forms=forms * group.choose,
                    family=group.family,
                    n=len(group.pieces),
                )
            )


def check(groups: Sequence[Pieces], made: Sequence[Sequence[int]]) -> None:
    """Count again, in integers, all that the solver was asked (AssertionError: a bug of ours)."""
    of_item = {p.item: (g, p) for g, group in enumerate(groups) for p in group.pieces}
    everywhere = Counter(item for form in made for item in form)
    assert max(everywhere.values()) == 1, "an item stands on two forms"
    for form in made:
        content = Counter(of_item[item][0] for item in form)
        assert content == {g: group.choose for g, group in enumerate(groups)}, "content"
        signs = Counter(sign for item in form for sign in set(of_item[item][1].signs))
        assert max(signs.values(), default=0) <= 1, "near twins stand on one form"


# ------------------------------------------------------------ the program


def _solved(
    groups: Sequence[Pieces], pieces: Sequence[tuple[int, Piece]], forms: int, uneven: int
) -> tuple[set[tuple[int, int]], int, str] | None:
    """The chosen (piece, form) pairs, a lower bound of the gap, and the solver; None if none.

    The columns are x[i, f] at i*forms + f, then low and high.
    """
    try:
        import numpy as np
        import scipy
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array
    except ModuleNotFoundError:
        raise DrawError(
            worded("parallel forms need scipy; install it with: pip install 'itembank[forms]'")
        ) from None

    n = len(pieces) * forms
    rows = _Rows(n + 2)
    _content(rows, groups, pieces, forms)
    _efforts(rows, pieces, forms)
    _places(rows, groups, pieces, forms, uneven)
    matrix = csr_array((rows.values, (rows.rows, rows.columns)), shape=(len(rows.low), rows.width))
    total = sum(piece.effort for _g, piece in pieces)
    result = milp(
        np.array([0.0] * n + [-1.0, 1.0]),
        integrality=np.array([1] * n + [0, 0]),
        bounds=Bounds(np.zeros(n + 2), np.array([1.0] * n + [total, total])),
        constraints=LinearConstraint(matrix, rows.low, rows.high),
        options={"node_limit": _NODES, "mip_rel_gap": 0.0},
    )
    if result.x is None:
        return None
    chosen = {(k // forms, k % forms) for k in range(n) if result.x[k] > 0.5}
    bound = int(np.ceil(max(0.0, result.mip_dual_bound or 0.0) - 1e-6))
    return chosen, bound, f"HiGHS by scipy {scipy.__version__}"


class _Rows:
    """A sparse matrix of constraints: low <= row <= high."""

    def __init__(self, width: int) -> None:
        self.width = width
        self.rows: list[int] = []
        self.columns: list[int] = []
        self.values: list[float] = []
        self.low: list[float] = []
        self.high: list[float] = []

    def add(self, terms: Sequence[tuple[int, int]], low: float, high: float) -> None:
        """A row from its (column, coefficient) pairs."""
        for column, value in terms:
            self.rows.append(len(self.low))
            self.columns.append(column)
            self.values.append(value)
        self.low.append(low)
        self.high.append(high)


_INFINITE = float("inf")


def _content(
    rows: _Rows, groups: Sequence[Pieces], pieces: Sequence[tuple[int, Piece]], forms: int
) -> None:
    """Exact counts of each group, no item twice, no near twins together.

    Forms may be exchanged for one another; where a group gives one item to each, its items are
    taken in order, so that the solver need not try the exchanges.
    """
    for i in range(len(pieces)):
        rows.add([(i * forms + f, 1) for f in range(forms)], 0, 1)
    twins: dict[str, list[int]] = defaultdict(list)
    for i, (_g, piece) in enumerate(pieces):
        for sign in piece.signs:
            twins[sign].append(i)
    for f in range(forms):
        for g, group in enumerate(groups):
            own = [(i * forms + f, 1) for i, (h, _p) in enumerate(pieces) if h == g]
            rows.add(own, group.choose, group.choose)
        for alike in twins.values():
            if len(alike) > 1:
                rows.add([(i * forms + f, 1) for i in alike], 0, 1)
    single = next((g for g, group in enumerate(groups) if group.choose == 1), None)
    if single is not None:
        own_items = [i for i, (g, _p) in enumerate(pieces) if g == single]
        for f in range(forms - 1):
            later = [(i * forms + f + 1, k) for k, i in enumerate(own_items)]
            earlier = [(i * forms + f, -k) for k, i in enumerate(own_items)]
            rows.add([*later, *earlier], 1, _INFINITE)


def _efforts(rows: _Rows, pieces: Sequence[tuple[int, Piece]], forms: int) -> None:
    low, high = len(pieces) * forms, len(pieces) * forms + 1
    for f in range(forms):
        total = [(i * forms + f, piece.effort) for i, (_g, piece) in enumerate(pieces)]
        rows.add([*total, (low, -1)], 0, _INFINITE)
        rows.add([*total, (high, -1)], -_INFINITE, 0)


def _places(
    rows: _Rows,
    groups: Sequence[Pieces],
    pieces: Sequence[tuple[int, Piece]],
    forms: int,
    uneven: int,
) -> None:
    """The key stands in each place about as often: within `uneven` of an even spread."""
    found = sorted({piece.place for _g, piece in pieces if piece.place is not None})
    if len(found) < 2:
        return
    keyed = sum(group.choose for group in groups if all(p.place is not None for p in group.pieces))
    least, most = keyed // len(found), -(-keyed // len(found))
    for f in range(forms):
        for place in found:
            standing = [
                (i * forms + f, 1) for i, (_g, piece) in enumerate(pieces) if piece.place == place
            ]
            rows.add(standing, max(0, least - uneven), most + uneven)
