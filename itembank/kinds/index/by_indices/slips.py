"""Student errors in solving a power congruence by indices, each carried through to its answer.

Notation as in `steps`; c the right side, a the factor of the power.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from itembank.kinds.base import Slip, Solution, slip
from itembank.kinds.index.by_indices.steps import Linear, TakeIndices, linear_step
from itembank.kinds.mistakes import MOST, made
from itembank.kinds.wrong_solutions import by_name
from itembank.languages import Said, say
from itembank.values.answer import ResidueSet


@dataclass(frozen=True)
class _Work:
    """The true work: n y = r modulo N, x = g^y modulo m."""

    g: int
    m: int
    taken: TakeIndices
    linear: Linear

    def numbers(self, indices: Sequence[int] | range) -> tuple[int, ...] | None:
        """The numbers with these indices; None if they are too many."""
        if len(indices) > MOST:
            return None
        return tuple(sorted({pow(self.g, y, self.m) for y in indices}))


_Found = tuple[tuple[int, ...] | None, Said] | None
"""What a mistake returns: the wrong residues, None if they are too many, and the feedback."""


def slips_of(g: int, m: int, solution: Solution[ResidueSet]) -> Iterator[Slip]:
    """The slips that can be made here, in the order of the method."""
    taken = next(s for s in solution.steps if isinstance(s, TakeIndices))
    linear = next(s for s in solution.steps if isinstance(s, Linear))
    for name, wrong, feedback in made(MISTAKES, _Work(g, m, taken, linear)):
        if wrong is not None:
            yield slip(name, wrong, feedback)


def _indices_added(w: _Work) -> _Found:
    t = w.taken
    if t.a == 1:
        return None
    wrong = linear_step(t.n, (t.ind_c + t.ind_a) % t.whole, t.whole)
    return w.numbers(wrong.indices), say(
        "Check the sign of the index of {a}: it stands on the left as a summand, so it is "
        "**subtracted** when it moves: ${c} - {i}$.",
        a=t.a,
        c=t.ind_c,
        i=t.ind_a,
    )


def _modulus_of_the_numbers(w: _Work) -> _Found:
    t = w.taken
    wrong = linear_step(t.n, (t.ind_c - t.ind_a) % w.m, w.m)
    return w.numbers(wrong.indices), say(
        "Check the modulus of the congruence for the index: indices are exponents of {g}, so they "
        "count modulo $φ({m})$, not modulo {m}.",
        m=w.m,
        g=w.g,
    )


def _exponent_left_out(w: _Work) -> _Found:
    if w.taken.n == 1:
        return None
    return w.numbers((w.taken.r,)), say(
        "If you took {r} for the index of the unknown: it is the index of its power with exponent "
        "{n}, so it is {n} times the index wanted.",
        r=w.taken.r,
        n=w.taken.n,
    )


def _one_index_only(w: _Work) -> _Found:
    if w.linear.y0 is None or w.linear.d == 1:
        return None
    return w.numbers((w.linear.y0,)), say(
        "Check how many indices there are: the linear congruence for the index is one modulo "
        "{whole}, and {n} and {whole} have a common factor.",
        whole=w.linear.whole,
        n=w.linear.n,
    )


def _index_modulus_not_divided(w: _Work) -> _Found:
    step = w.linear
    if step.y0 is None or step.d == 1:
        return None
    wrong = linear_step(step.n // step.d, step.r // step.d, step.whole)
    return w.numbers(wrong.indices), say(
        "If you divided the linear congruence for the index by {d}, check its modulus: {whole} is "
        "divided too.",
        d=step.d,
        whole=step.whole,
    )


def _not_turned_back(w: _Work) -> _Found:
    indices = w.linear.indices
    if not indices or len(indices) > MOST:
        return None
    return tuple(indices), say(
        "Check whether these are **indices**: each index $y$ stands for the number ${g}^y$ modulo "
        "{m}.",
        g=w.g,
        m=w.m,
    )


def _solvability_untested(w: _Work) -> _Found:
    step = w.linear
    if step.y0 is not None:
        return None
    wrong = linear_step(step.n, step.r // step.d * step.d, step.whole)
    return w.numbers(wrong.indices), say(
        "Before dividing the linear congruence for the index, test whether $gcd({n}, {whole}) = "
        "{d}$ divides {r}.",
        n=step.n,
        whole=step.whole,
        d=step.d,
        r=step.r,
    )


MISTAKES = by_name(
    _indices_added,
    _modulus_of_the_numbers,
    _exponent_left_out,
    _one_index_only,
    _index_modulus_not_divided,
    _not_turned_back,
    _solvability_untested,
)
"""In the order of the method."""
