"""Student errors in solving a system of congruences, each carried through to its answer.

One function a slip, named for the mistake, as in `polynomial.slips`. The catalogue is
common practice of the trade, in the order of the method: each congruence alone, the
combination of coprime moduli, moduli with common factors.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import wraps
from itertools import product
from math import gcd, lcm, prod
from typing import Any

from itembank.kinds.base import Remark, Slip, Solution
from itembank.kinds.mistakes import MOST, SetFound
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.polynomial.slips import combining
from itembank.kinds.polynomial.slips.work import Local, Work
from itembank.kinds.system.steps import Isolate, Substitute
from itembank.kinds.wrong_solutions import by_name, wrong_solutions
from itembank.languages import say
from itembank.maths.remainders import combine_general
from itembank.values.answer import Class, ResidueSet


@dataclass(frozen=True)
class _SystemWork:
    """The true work: what each congruence says, and the modulus under which solutions are listed.

    `answers` and `classes` are those of each congruence alone, () where it has no solution.
    """

    problems: tuple[OneUnknown, ...]
    answers: tuple[ResidueSet, ...]
    classes: tuple[tuple[Class, ...], ...]
    steps: tuple[Any, ...]
    modulus: int
    key: ResidueSet

    @property
    def singles(self) -> tuple[Class, ...] | None:
        """The one class of each congruence; None if one has several, or none."""
        if any(len(classes) != 1 for classes in self.classes):
            return None
        return tuple(classes[0] for classes in self.classes)

    @property
    def coprime(self) -> bool:
        return lcm(*self.moduli) == prod(self.moduli)

    @property
    def moduli(self) -> tuple[int, ...]:
        """The modulus of each congruence once it is solved."""
        return tuple(
            lcm(*(d for _r, d in classes)) if classes else problem.modulus
            for classes, problem in zip(self.classes, self.problems, strict=True)
        )

    def listed(self, classes: Iterable[Class]) -> tuple[int, ...] | None:
        """The residues modulo the modulus of classes; None if they are too many to list."""
        found = [(r % d, d) for r, d in classes if self.modulus % d == 0]
        if sum(self.modulus // d for _r, d in found) > MOST:
            return None
        return tuple(sorted({x for r, d in found for x in range(r, self.modulus, d)}))

    def solved_with(self, changed: Sequence[Sequence[Class]]) -> tuple[int, ...] | None:
        """The solutions if the congruences said this instead; None if they are too many."""
        if prod(map(len, changed)) > MOST:
            return None
        found = []
        for choice in product(*changed):
            joined = combine_general([r for r, _d in choice], [d for _r, d in choice])
            if joined is not None:
                found.append(joined)
        return self.listed(found)

    def with_one(self, i: int, classes: Sequence[Class]) -> tuple[int, ...] | None:
        return self.solved_with([*self.classes[:i], classes, *self.classes[i + 1 :]])


def _true_work(
    problems: Sequence[OneUnknown], modulus: int, solution: Solution[Any]
) -> _SystemWork | None:
    """The work; None where a congruence alone has too many classes to go wrong with by hand."""
    answers = tuple(problem.solve().answer for problem in problems)
    if any(answer.class_count > MOST for answer in answers):
        return None
    classes = tuple(answer.classes() for answer in answers)
    return _SystemWork(tuple(problems), answers, classes, solution.steps, modulus, solution.answer)


def _combining_work(w: _SystemWork) -> Work | None:
    """The work as that of combining residues modulo coprime moduli; None if they are not."""
    if not w.coprime or any(w.modulus % d for d in w.moduli):
        return None
    residues = []
    for classes, d in zip(w.classes, w.moduli, strict=True):
        if sum(d // e for _r, e in classes) > MOST:
            return None
        residues.append(tuple(sorted(x for r, e in classes for x in range(r, d, e))))
    locals_ = tuple(
        Local(d, 1, 0, (), (), rs, None) for d, rs in zip(w.moduli, residues, strict=True)
    )
    return Work(f=(), m=prod(w.moduli), moved=False, locals=locals_, key=w.key)


def _if_listed(wrong: Iterable[int] | None, feedback: Remark) -> SetFound:
    """The slip, unless its answer could not be listed."""
    return None if wrong is None else (wrong, feedback)


def _in_combining(mistake: Callable[[Work], SetFound]) -> Callable[[_SystemWork], SetFound]:
    """A mistake of combining, with its residues spread over the modulus of the answer."""

    @wraps(mistake)
    def made(w: _SystemWork) -> SetFound:
        work = _combining_work(w)
        found = work and mistake(work)
        if not work or not found:
            return None
        wrong, feedback = found
        return _if_listed(w.listed((x % work.m, work.m) for x in wrong), feedback)

    return made


# ------------------------------------------------------------ each congruence alone


def _isolated(w: _SystemWork, wanted: Callable[[Isolate], bool]) -> Isolate | None:
    """The first linear congruence with a coefficient for which something holds."""
    return next(
        (s for s in w.steps if isinstance(s, Isolate) and s.r is not None and wanted(s)), None
    )


def _coefficient_ignored(w: _SystemWork) -> SetFound:
    step = _isolated(w, lambda s: s.a not in (0, 1))
    if step is None:
        return None
    return _if_listed(
        w.with_one(step.i - 1, ((step.b, step.m),)),
        say(
            "If you took $x ≡ {b} (mod {m})$ from ${a}x ≡ {b}$: each congruence has to be solved "
            "for $x$ before they are put together.",
            a=step.a,
            b=step.b,
            m=step.m,
        ),
    )


def _modulus_not_divided(w: _SystemWork) -> SetFound:
    """ax = b (mod m) divided by d = gcd(a, m), the modulus kept."""
    step = _isolated(w, lambda s: s.d > 1 and s.a > 0)
    if step is None or step.r is None:
        return None
    return _if_listed(
        w.with_one(step.i - 1, ((step.r, step.m),)),
        say(
            "If you divided ${a}x ≡ {b} (mod {m})$ by {d}, check the modulus: it is divided too, "
            "and $x$ is known modulo ${m}/{d}$ only.",
            a=step.a,
            b=step.b,
            m=step.m,
            d=step.d,
        ),
    )


def _inverse_sign(w: _SystemWork) -> SetFound:
    step = _isolated(w, lambda s: s.a1 > 1 and s.m // s.d > 2)
    if step is None or step.r is None or step.inverse is None:
        return None
    m1 = step.m // step.d
    wrong = -step.inverse % m1
    return _if_listed(
        w.with_one(step.i - 1, ((-step.r % m1, m1),)),
        say(
            "If you multiplied by {wrong}: ${a1} · {wrong} ≡ -1 (mod {m1})$, not 1. Check the sign "
            "of the inverse of {a1}.",
            wrong=wrong,
            a1=step.a1,
            m1=m1,
        ),
    )


def _one_solution_kept(w: _SystemWork) -> SetFound:
    """Of the solutions of one congruence only the least was carried on."""
    i = next((i for i, classes in enumerate(w.classes) if len(classes) > 1), None)
    if i is None:
        return None
    return _if_listed(
        w.with_one(i, w.classes[i][:1]),
        say(
            "Check the congruence modulo {m}: it has several solutions, and each of them goes with "
            "the other congruences.",
            m=w.problems[i].modulus,
        ),
    )


def _no_more_than_integers(w: _SystemWork) -> SetFound:
    """ax = b with a not dividing b taken for unsolvable."""
    step = _isolated(w, lambda s: s.a > 1 and bool(s.b % s.a))
    if step is None or not w.key:
        return None
    return (), say(
        "{a} does not divide {b} among the integers, but modulo {m} dividing means multiplying by "
        "an inverse.",
        a=step.a,
        b=step.b,
        m=step.m,
    )


# ------------------------------------------------------------ coprime moduli


def _unsolvable_congruence_ignored(w: _SystemWork) -> SetFound:
    empty = [i for i, classes in enumerate(w.classes) if not classes]
    if len(empty) != 1:
        return None
    (i,) = empty
    return _if_listed(
        w.with_one(i, ((0, 1),)),
        say(
            "Look at the congruence modulo {m} by itself: a solution of the system has to satisfy "
            "every congruence.",
            m=w.problems[i].modulus,
        ),
    )


def _last_congruence_forgotten(w: _SystemWork) -> SetFound:
    """The least x that satisfies all but the last congruence, as the only one."""
    if len(w.classes) < 2 or not all(w.classes[:-1]):
        return None
    others = w.solved_with([*w.classes[:-1], ((0, 1),)])
    if not others:
        return None
    x = min(others)
    if x in w.answers[-1]:
        return None
    return (x,), say(
        "Put {x} into the last congruence: it does not hold. Every congruence of the system has to "
        "hold.",
        x=x,
    )


def _first_congruence_only(w: _SystemWork) -> SetFound:
    """All that satisfies the first congruence, whatever the others say."""
    found = w.listed(w.classes[0])
    failing = next(
        (
            (x, problem.modulus)
            for x in found or ()
            for answer, problem in zip(w.answers[1:], w.problems[1:], strict=True)
            if x not in answer
        ),
        None,
    )
    if failing is None:
        return None
    x, m = failing
    return _if_listed(
        found,
        say(
            "These residues satisfy the first congruence, but {x} does not satisfy the one modulo "
            "{m}. All congruences have to hold at once.",
            x=x,
            m=m,
        ),
    )


# ------------------------------------------------------------ moduli with common factors


def _difference_reversed(w: _SystemWork) -> SetFound:
    """r + dt = a solved as dt = r - a."""
    merge = next((s.merge for s in w.steps if isinstance(s, Substitute)), None)
    if merge is None or merge.t is None or merge.merged is None:
        return None
    _x, whole = merge.merged
    if w.modulus % whole or len(w.problems) > 2:
        return None
    return _if_listed(
        w.listed(((merge.r - merge.d * merge.t, whole),)),
        say(
            "Check the signs: ${r} + {d}t ≡ {a} (mod {m})$ gives ${d}t ≡ {a} - {r}$, not "
            "${r} - {a}$.",
            r=merge.r,
            d=merge.d,
            a=merge.a,
            m=merge.m,
        ),
    )


def _moduli_multiplied(w: _SystemWork) -> SetFound:
    """One class modulo the product of the moduli, where there is one modulo their lcm."""
    singles = w.singles
    if singles is None or w.coprime or not w.key:
        return None
    m = prod(w.moduli)
    if w.modulus % m:
        return None
    x = w.key.least() or 0
    return _if_listed(
        w.listed(((x, m),)),
        say(
            "Check how far the solutions are apart: the moduli have a common factor, so the "
            "solution is unique modulo their **least common multiple**, not modulo their product "
            "{m}.",
            m=m,
        ),
    )


def _not_coprime_so_none(w: _SystemWork) -> SetFound:
    if w.coprime or not w.key or w.singles is None:
        return None
    i, j, g = _shared(w)
    return (), say(
        "That {m} and {n} have the common factor {g} does not rule out a solution. It only asks "
        "for more: both congruences must say the same modulo {g}.",
        m=w.moduli[i],
        n=w.moduli[j],
        g=g,
    )


def _shared(w: _SystemWork) -> tuple[int, int, int]:
    """The first two congruences whose moduli have a common factor, and that."""
    n = range(len(w.moduli))
    return next(
        (i, j, g) for i in n for j in n[i + 1 :] if (g := gcd(w.moduli[i], w.moduli[j])) > 1
    )


def _compatibility_untested(w: _SystemWork) -> SetFound:
    """A contradictory system combined all the same: dt = gap divided by g and rounded down."""
    singles = w.singles
    if singles is None or w.key:
        return None
    (r, d), failed = singles[0], None
    for s, m in singles[1:]:
        g, gap = gcd(d, m), (s - r) % m
        if gap % g and failed is None:
            failed = (d, m, g)
        t = gap // g * pow(d // g, -1, m // g) % (m // g)
        r, d = r + d * t, d * m // g
    if failed is None:
        return None
    first, m, g = failed
    return _if_listed(
        w.listed(((r, d),)),
        say(
            "The moduli {first} and {m} have the common factor {g}: test first whether both "
            "congruences say the same modulo {g}.",
            first=first,
            m=m,
            g=g,
        ),
    )


_MISTAKES = by_name(
    _coefficient_ignored,
    _modulus_not_divided,
    _inverse_sign,
    _no_more_than_integers,
    _one_solution_kept,
    _in_combining(combining.matched_pairs_only),
    _in_combining(combining.residues_added),
    _in_combining(combining.inverses_left_out),
    _in_combining(combining.weights_swapped),
    _unsolvable_congruence_ignored,
    _difference_reversed,
    _moduli_multiplied,
    _not_coprime_so_none,
    _compatibility_untested,
    _last_congruence_forgotten,
    _first_congruence_only,
)
"""In the order of the method."""

NAMES = tuple(_MISTAKES)
"""What specs and packages call them."""


def slips_of(
    problems: Sequence[OneUnknown], modulus: int, letter: str, solution: Solution[Any]
) -> Iterator[Slip]:
    """All slips that apply and whose answers hold few enough residues, in order."""
    work = _true_work(problems, modulus, solution)
    return iter(()) if work is None else wrong_solutions(_MISTAKES, work, modulus, letter)
