"""The check of a system: solutions put into every congruence."""

from collections.abc import Iterator, Sequence

from itembank.kinds.chains import calculated_or_congruent, sum_of, value_put_in
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.power_root.kind import PowerRoot
from itembank.kinds.system.steps import Check
from itembank.kinds.wording import FITS_ON_THE_BOARD, LEGIBLE, fits
from itembank.languages import Told, each, lead, say
from itembank.maths.polynomials import value
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import congruence, dotted, equal, power
from itembank.notation.tree import Listing, Math, Modulo, Number, Relation


def check(step: Check) -> Iterator[Told]:
    yield lead("Check.")
    if max(step.solutions) > FITS_ON_THE_BOARD:
        yield say("Put into the congruences, each solution satisfies them all.")
        return
    for x in step.solutions:
        told_of = [p for p in step.problems if not _says_so(p, x)] or step.problems
        values = each(_put_in(problem, x) for problem in told_of)
        if len(step.solutions) == 1:
            yield say("{values}.", values=values)
        else:
            yield say("For $x = {x}$: {values}.", x=x, values=values)
    if not step.complete:
        yield say("And so on.")


def _says_so(problem: OneUnknown, x: int) -> bool:
    """Whether the congruence is x ≡ r and the solution is r itself: nothing is left to check."""
    return not isinstance(problem, PowerRoot) and (problem.left, problem.right) == ((0, 1), (x,))


def _put_in(problem: OneUnknown, x: int) -> Math:
    """23 = 7 · 3 + 2: the left side as a multiple of the modulus and the right side."""
    m = problem.modulus
    if isinstance(problem, PowerRoot):
        left, right = x**problem.exponent, problem.power
        tree = power(x, problem.exponent)
    else:
        left, right = value(problem.left, x), value(problem.right, x)
        tree = value_put_in(problem.left, x)
    near = nearest_residue(x, m)
    if abs(left) > LEGIBLE and near != x and not _has_two_sides(problem):
        return _put_in_nearest(problem, tree, near)
    if not fits(left):
        return congruence(tree, Number(left % m), m)
    sides = [tree, Number(left)]
    if not isinstance(problem, PowerRoot) and _has_two_sides(problem):
        return _both_sides(sides, left, value_put_in(problem.right, x), right, m)
    if left != right:
        times = (left - right) // m
        multiple = Number(m) if times == 1 else dotted((times, m))
        rest = [Number(right)] if right or left == right else []
        sides.append(sum_of(multiple, *rest))
    shown = tuple(dict.fromkeys(sides))
    return equal(*shown) if len(shown) > 1 else congruence(tree, Number(right), m)


def _has_two_sides(problem: OneUnknown) -> bool:
    """Whether the unknown stands on both sides."""
    return not isinstance(problem, PowerRoot) and len(problem.right) > 1


def _put_in_nearest(problem: OneUnknown, tree: Math, near: int) -> Math:
    """235^4 + 5 · 235^3 ≡ 3^4 + 5 · 3^3 = 216 ≡ 0 (mod 8): the residue nearest to 0 is put in."""
    m = problem.modulus
    if isinstance(problem, PowerRoot):
        shorter, left = power(near, problem.exponent), near**problem.exponent
    else:
        shorter, left = value_put_in(problem.left, near), value(problem.left, near)
    rest = calculated_or_congruent(shorter, left, m)
    return Modulo(Relation((tree, *rest.sides), ("≡", *rest.signs)), Number(m))


def _both_sides(sides: Sequence[Math], left: int, other: Math, right: int, m: int) -> Math:
    """2 · 4 + 1 = 9 ≡ 4, 4 + 5 = 9 ≡ 4 (mod 5): both sides leave the same."""
    first = equal(*dict.fromkeys(sides))
    last = Number(left % m)
    if isinstance(first, Relation):
        first = Relation((*first.sides, last), (*first.signs, "≡"))
    else:
        first = Relation((first, last), ("≡",))
    return Modulo(Listing((first, calculated_or_congruent(other, right, m))), Number(m))
