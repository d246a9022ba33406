"""The second way for a polynomial congruence f(x) ≡ 0 (mod m): small facts, checked.

Notation: f polynomial as its coefficients, constant term first; m modulus; p
prime, k exponent; a class (r, d) is the x ≡ r (mod d).  A claimed answer comes
in parts, (m_i, classes), for pairwise coprime m_i with product m.

Small m: every residue is tried.  Large m: every claimed class is substituted,
the classes are seen to be disjoint, and the roots are counted: modulo each
prime power p^k of m, by trial, by branching on the digits of x to the base p,
or from the linear factors that sympy finds of f over GF(p).  True classes, as
many residues as there are roots, no two overlapping: the claim is complete.

Substitution uses Newton's forward difference formula, h(y) = sum of C(y, j)
times the j-th difference of h at 0 (Graham, Knuth & Patashnik, Concrete
Mathematics, 2nd ed., 5.3): a polynomial h of degree n takes only multiples of
q exactly when h(0), ..., h(n) are multiples of q.

Nothing here is shared with the solver: polynomials are evaluated, and what algebra
a large prime needs is sympy's.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, combinations, pairwise, product, repeat
from math import gcd, lcm, prod

from itembank.second_way import budget
from itembank.second_way.budget import Work
from itembank.second_way.kind import Kind
from itembank.second_way.primes import prime_powers, valuation
from itembank.second_way.reading import Congruence, Poly, trimmed
from itembank.second_way.verdict import Method, Undecided, Verdict, agreed, disagreed, done

Class = tuple[int, int]
Part = tuple[int, Sequence[Class]]

_TRIED = 100_000
"""The largest modulus all of whose residues are tried ..."""
_EFFORT = 2_000_000
"""... if m*(n + 1) is not above this, n the degree."""
_SUMMED = 12
"""The most coefficients whose values are found by adding up differences."""
_BRANCHED = 250
"""The largest prime by whose digits classes are branched; beyond it sympy factors."""
_DEGREE = 60
"""The largest degree decided modulo a large prime power."""
_MANY = 1_000_000
"""From so many roots on the classes that hold them are counted instead."""
_LISTED = 100_000
"""The most classes that are joined over the prime powers of m."""


# ------------------------------------------------------------ verdicts (or Undecided)


def _set_verdict(question: Congruence, parts: Sequence[Part]) -> Verdict:
    """Whether the claimed classes are exactly the solutions."""
    parts = [(m, tuple(classes)) for m, classes in parts]
    if fault := malformed(question.modulus, parts):
        return disagreed(done("the claim itself"), fault)
    tried = solutions_by_trial(question)
    if tried is not None:
        method = _all_tried(question)
        fault = _difference_from(tried, question, parts)
        return disagreed(method, fault) if fault else agreed(method)
    return _set_verdict_by_counting(question, parts)


def _set_verdict_by_counting(question: Congruence, parts: Sequence[Part]) -> Verdict:
    local = _local_solutions(question, tuple(m for m, _ in parts))
    claimed = [count(classes, m) for m, classes in parts]
    substituted = sum(len(classes) for _, classes in parts)
    method = done("classes substituted: {n}; {how}", n=substituted, how=_counted(local))
    found = prod(at.count for at in local)
    if found == 0 or 0 in claimed:
        if found == prod(claimed):
            return agreed(method)
        return disagreed(method, f"expected {found} solutions, the answer holds {prod(claimed)}")
    f, work = question.coefficients, Work("substituting every class of the answer")
    for (m, classes), n in zip(parts, claimed, strict=True):
        for r, d in classes:
            work.spend(len(f) * min(len(f), m // d), m)
            if not _vanishes(f, r, d, m):
                return disagreed(method, f"x ≡ {r} (mod {d}) does not solve it modulo {m}")
        found = prod(at.count for at in local if m % at.p == 0)
        if n != found:
            return disagreed(method, f"expected {found} solutions modulo {m}, the answer holds {n}")
    return agreed(method)


def count_verdict(question: Congruence, claim: int) -> Verdict:
    """Whether the congruence has exactly `claim` solutions modulo m."""
    found, method = count_of_solutions(question)
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found} solutions, the answer says {claim}")


def _whether_any_verdict(question: Congruence, claim: bool) -> Verdict:
    """Whether the congruence is solvable exactly if `claim` says so."""
    found, method = count_of_solutions(question)
    if claim == (found > 0):
        return agreed(method)
    return disagreed(method, f"expected {found} solutions, the answer says {_yes_or_no(claim)}")


def _only_verdict(question: Congruence, claim: int) -> Verdict:
    """Whether there is exactly one solution modulo m, and `claim` lies in its class."""
    n, method = count_of_solutions(question)
    if n != 1:
        return disagreed(method, f"expected one solution, there are {n}")
    found, _how = _extreme(question, largest=False)
    if found is not None and (claim - found) % question.modulus == 0:
        return agreed(method)
    return disagreed(method, f"expected {found} modulo {question.modulus}, the answer says {claim}")


def _least_verdict(question: Congruence, claim: int | None) -> Verdict:
    """Whether `claim` is the least residue that is a solution; None: there is none."""
    return _extreme_verdict(question, claim, largest=False)


def _largest_verdict(question: Congruence, claim: int | None) -> Verdict:
    """Whether `claim` is the largest least residue that is a solution; None: there is none."""
    return _extreme_verdict(question, claim, largest=True)


def _extreme_verdict(question: Congruence, claim: int | None, largest: bool) -> Verdict:
    found, method = _extreme(question, largest)
    if claim == found:
        return agreed(method)
    word = "largest" if largest else "least"
    return disagreed(method, f"expected {found} as the {word} solution, the answer says {claim}")


def _yes_or_no(truth: bool) -> str:
    return "that it is solvable" if truth else "that it is not"


# ------------------------------------------------------------ the claim


def malformed(m: int, parts: Sequence[Part]) -> str:
    """What keeps the parts from being sets of residues modulo m; "" if nothing does."""
    moduli = [mi for mi, _ in parts]
    if any(mi < 1 for mi in moduli) or prod(moduli) != m:
        return f"expected parts whose moduli have the product {m}, got {moduli}"
    if lcm(*moduli) != m:
        return f"expected parts with coprime moduli, got {moduli}"
    for mi, classes in parts:
        for r, d in classes:
            if d < 1 or mi % d or not 0 <= r < d:
                return f"expected residue classes modulo {mi}, got {r} modulo {d}"
        if pair := _overlapping(classes):
            (r, d), (s, e) = pair
            return f"expected disjoint classes, got {r} modulo {d} and {s} modulo {e}"
    return ""


def _overlapping(classes: Iterable[Class]) -> tuple[Class, Class] | None:
    """Two classes that share an integer: r ≡ s modulo gcd(d, e); None if no two do.

    Compared modulus by modulus, so that a long list takes time linear in it.
    """
    classes = tuple(classes)
    groups = grouped(classes)
    if sum(map(len, groups.values())) < len(classes):
        twice = next(c for i, c in enumerate(classes) if c in classes[:i])
        return twice, twice
    for d, e in combinations(sorted(groups), 2):
        g = gcd(d, e)
        seen = {r % g: r for r in groups[d]}
        for s in groups[e]:
            if s % g in seen:
                return (seen[s % g], d), (s, e)
    return None


def grouped(classes: Iterable[Class]) -> dict[int, set[int]]:
    """The residues r of classes (r, d), by d."""
    groups: dict[int, set[int]] = {}
    for r, d in classes:
        groups.setdefault(d, set()).add(r)
    return groups


def count(classes: Iterable[Class], m: int) -> int:
    """How many residues modulo m lie in disjoint classes."""
    return sum(m // d for _, d in classes)


def _difference_from(tried: tuple[int, ...], question: Congruence, parts: Sequence[Part]) -> str:
    """What sets the claim apart from the solutions found by trial; "" if nothing does.

    The claim holds the product of its parts' counts; if it holds every solution and
    no more residues than there are solutions, it is the set of solutions.
    """
    groups = [grouped(classes) for _, classes in parts]
    for x in tried:
        if not contained(x, groups):
            return f"{x} is a solution, and the answer leaves it out"
    claimed = prod(count(classes, m) for m, classes in parts)
    if claimed == len(tried):
        return ""
    solutions, m = set(tried), question.modulus
    extra = next(x for x in range(m) if x not in solutions and contained(x, groups))
    left = value(question.coefficients, extra, m)
    return f"{extra} is in the answer, and substituted leaves {left} modulo {m}"


def contained(x: int, parts: Iterable[dict[int, set[int]]]) -> bool:
    """Whether x lies in a class of every part; the classes grouped by modulus."""
    return all(any(x % d in residues for d, residues in part.items()) for part in parts)


# ------------------------------------------------------------ finding and counting


@lru_cache(maxsize=256)
def solutions_by_trial(question: Congruence) -> tuple[int, ...] | None:
    """All least residues that solve the congruence, increasing; None if m is too large to try."""
    f, m = question.coefficients, question.modulus
    if m > _TRIED or m * len(f) > _EFFORT:
        return None
    if len(f) > _SUMMED:
        return tuple(x for x in range(m) if value(f, x, m) == 0)
    return tuple(x for x, v in zip(range(m), _values(f), strict=False) if v % m == 0)


def _values(f: Poly) -> Iterable[int]:
    """f(0), f(1), ..., by adding up differences (Newton's formula): few additions for each.

    >>> list(zip(range(4), _values((5, 9, 1))))
    [(0, 5), (1, 15), (2, 27), (3, 41)]
    """
    differences, row = [], [sum(c * x**i for i, c in enumerate(f)) for x in range(len(f))]
    while row:
        differences.append(row[0])
        row = [b - a for a, b in pairwise(row)]
    found: Iterable[int] = repeat(0)
    for start in reversed(differences):
        found = accumulate(found, initial=start)
    return found


def value(f: Poly, x: int, m: int) -> int:
    """f(x) mod m, by Horner's rule."""
    total = 0
    for c in reversed(f):
        total = (total * x + c) % m
    return total


def _vanishes(f: Poly, r: int, d: int, m: int) -> bool:
    """Whether f(x) ≡ 0 (mod m) for every x ≡ r (mod d).  Requires d | m.

    h(y) = f(r + d*y) has the degree n of f, so y = 0, ..., n decide (Newton's
    formula); and it has period m/d modulo m.
    """
    return all(value(f, r + d * y, m) == 0 for y in range(min(len(f), m // d)))


def solutions(question: Congruence) -> tuple[int, ...] | None:
    """All least residues that solve the congruence, increasing; None if too many or undecided."""
    tried = solutions_by_trial(question)
    if tried is not None:
        return tried
    try:
        classes = _joined_solutions(question)
    except Undecided:
        return None
    m = question.modulus
    if count(classes, m) > _LISTED:
        return None
    return tuple(sorted(x for r, d in classes for x in range(r, m, d)))


def count_of_solutions(question: Congruence) -> tuple[int, Method]:
    """How many residues solve the congruence, and how that was found."""
    tried = solutions_by_trial(question)
    if tried is not None:
        return len(tried), _all_tried(question)
    local = _local_solutions(question)
    return prod(at.count for at in local), _counted(local)


def _extreme(question: Congruence, largest: bool) -> tuple[int | None, Method]:
    """The least (or largest) residue that solves the congruence, None if none; and how."""
    m = question.modulus
    tried = solutions_by_trial(question)
    if tried is not None:
        found = max(tried, default=None) if largest else min(tried, default=None)
        return found, _all_tried(question)
    ends = [m - d + r if largest else r for r, d in _joined_solutions(question)]
    method = done("solved modulo each prime power, and all {n} combinations formed", n=len(ends))
    return max(ends, default=None) if largest else min(ends, default=None), method


def _joined_solutions(question: Congruence) -> list[Class]:
    """Disjoint classes that hold all solutions, one for each choice of local classes."""
    local = _local_solutions(question)
    joined = prod(len(at.classes) for at in local)
    if joined > _LISTED:
        raise Undecided(f"more than {_LISTED} classes of solutions")
    Work("joining the classes").spend(8 * joined * len(local), question.modulus)
    return [_meeting(choice) for choice in product(*(at.classes for at in local))]


def _meeting(classes: Iterable[Class]) -> Class:
    """The x that lie in each of several classes with coprime moduli d.

    x = sum of r * e * (1/e mod d) with e the product of the other moduli.
    """
    classes = tuple(classes)
    whole = prod(d for _, d in classes)
    return sum(r * (whole // d) * pow(whole // d, -1, d) for r, d in classes) % whole, whole


# ------------------------------------------------------------ modulo a prime power


@dataclass(frozen=True)
class _Local:
    """The roots modulo p^k, in disjoint classes, and how they were found."""

    p: int
    k: int
    classes: tuple[Class, ...]
    how: Method

    @property
    def count(self) -> int:
        return count(self.classes, self.p**self.k)

    @property
    def told(self) -> Method:
        q = _power(self.p, self.k)
        if self.count < _MANY:
            return done("{n} modulo {q} ({how})", n=self.count, q=q, how=self.how)
        return done("classes modulo {q}: {n} ({how})", n=len(self.classes), q=q, how=self.how)


def _counted(local: Iterable[_Local]) -> Method:
    return done("roots counted: {counts}", counts=tuple(at.told for at in local))


def _all_tried(question: Congruence) -> Method:
    return done("all {m} residues were tried", m=question.modulus)


def _local_solutions(question: Congruence, hints: tuple[int, ...] = ()) -> list[_Local]:
    """The roots modulo each prime power of m, by p."""
    powers = prime_powers(question.modulus, question.hints + hints)
    work = Work("trying the residues modulo each prime power")
    for q in (p**k for p, k in powers):
        work.spend(q * len(question.coefficients) if q <= _TRIED else 0)
    return [_roots_modulo(question.coefficients, p, k) for p, k in powers]


def _roots_modulo(f: Poly, p: int, k: int) -> _Local:
    """The roots of f modulo p^k in disjoint classes (r, p^i).

    >>> _roots_modulo((0, 0, 1), 3, 40).classes  # x^2 ≡ 0 (mod 3^40)
    ((0, 3486784401),)
    """
    m = p**k
    tried = solutions_by_trial(Congruence(trimmed(tuple(c % m for c in f)), m))
    if tried is not None:
        return _Local(p, k, tuple((r, m) for r in tried), done("all tried"))
    if len(f) - 1 > _DEGREE:
        raise Undecided(f"degree {len(f) - 1} modulo {_power(p, k)} is beyond what is checked")
    if p <= _BRANCHED:
        return _Local(p, k, tuple(sorted(by_digits(f, p, k))), done("by digits"))
    if p.bit_length() > budget.FIELD_BITS:
        raise Undecided(
            f"roots modulo a prime of {p.bit_length()} binary digits, "
            f"{budget.FIELD_BITS} are the most"
        )
    return _Local(p, k, tuple(sorted(by_factors(f, p, k))), done("by sympy"))


def by_digits(f: Poly, p: int, k: int) -> list[Class]:
    """The classes of roots of f modulo p^k, found by fixing x digit after digit to the base p.

    On the class x = r + p^i*y let h(y) = f(x).  First, for i >= 1:
    - if p does not divide f(r), no x of the class is a root;
    - if p divides f(r) and not f'(r), exactly one x modulo p^k is (Hensel's lemma:
      Niven, Zuckerman & Montgomery, 5th ed., Theorem 2.23).
    Else let p^v be the largest power of p, at most p^k, that divides h(y) - h(0) for
    y = 1, ..., n; by Newton's formula it divides all h(y) - h(0).
    - If p^v does not divide h(0), no x of the class is a root;
    - if it does and v = k, every x of the class is;
    - else each of the p next digits is tried.
    It ends, for v >= i.  It stays small: at most n classes of one level i are branched.
    For f = c * product of (x - s) over an algebraic closure of Q_p, with the valuation
    there, a class none of whose numbers s is as near to r as p^i has h(y)/h(0) a product
    of factors 1 + p^i*y/(r - s) with p^i/(r - s) of positive valuation, so h(y) - h(0)
    has a larger valuation than h(0), and the class is decided.  The discs of that size
    about different r are disjoint, and there are n numbers s.
    """
    m = p**k
    slope = tuple(i * c for i, c in enumerate(f))[1:]
    found: list[Class] = []
    level = [0]
    work = Work(f"branching on digits modulo {_power(p, k)}")
    for i in range(k + 1):
        d = p**i
        branched = []
        for r in level:
            work.spend(len(f), m)
            start = value(f, r, m)
            if i and start % p:
                continue
            if i and value(slope, r, p):
                work.spend(2 * len(f) * k.bit_length(), m)
                found.append((_refined(f, slope, r, p, k), m))
                continue
            work.spend(len(f) ** 2, m)
            steps = gcd(m, *(value(f, r + d * y, m) - start for y in range(1, len(f))))
            if start % steps:
                continue
            if steps == m:
                found.append((r, d))
            else:
                branched.append(r)
        level = [r + d * t for r in branched for t in range(p)]
    return found


def _refined(f: Poly, slope: Poly, r: int, p: int, k: int) -> int:
    """The one root modulo p^k that is ≡ r (mod p).  Requires p | f(r), p not dividing f'(r).

    Newton's iteration: the precision doubles (Cohen, A Course in Computational
    Algebraic Number Theory, 1.5); the result is substituted.
    """
    m = p**k
    for _step in range(k.bit_length()):
        r = (r - value(f, r, m) * pow(value(slope, r, m), -1, m)) % m
    if value(f, r, m):
        raise ValueError(f"no root modulo {p}^{k} was reached")
    return r


def by_factors(f: Poly, p: int, k: int, work: Work | None = None) -> list[Class]:
    """The classes of roots of f modulo p^k, from the roots of f in GF(p).

    The content of f is divided out first.  A root r with f'(r) not 0 modulo p is one
    root (Hensel's lemma); for any other, x = r + p*y is composed and y is found in the
    same way, to fewer digits.  All algebra of polynomials is sympy's.
    """
    work = work or Work(f"finding roots modulo powers of {budget.shown(p)}")
    content = gcd(*f, p**k)
    if content == p**k:
        return [(0, 1)]
    if content > 1:
        return by_factors(tuple(c // content for c in f), p, k - valuation(content, p), work)
    slope = tuple(i * c for i, c in enumerate(f))[1:]
    found: list[Class] = []
    work.spend(4 * len(f) ** 2 * p.bit_length(), p)
    for r in _roots_in_field(f, p):
        work.spend(len(f) ** 2, p**k)
        if value(slope, r, p):
            found.append((_refined(f, slope, r, p, k), p**k))
        elif k == 1:
            found.append((r, p))
        else:
            found += [(r + p * s, p * d) for s, d in by_factors(_composed(f, r, p), p, k, work)]
    return found


def _roots_in_field(f: Poly, p: int) -> list[int]:
    """The roots of f in GF(p): those of gcd(f, x^p - x), split by equal-degree factorisation.

    Requires f not 0 modulo p.
    """
    from sympy import ZZ
    from sympy.polys.galoistools import (
        gf_edf_zassenhaus,
        gf_from_int_poly,
        gf_gcd,
        gf_monic,
        gf_pow_mod,
        gf_sub,
    )

    _, g = gf_monic(gf_from_int_poly([ZZ(c) for c in reversed(f)], p), p, ZZ)
    if len(g) == 1:
        return []
    x = [ZZ(1), ZZ(0)]
    linear = gf_gcd(g, gf_sub(gf_pow_mod(x, p, g, p, ZZ), x, p, ZZ), p, ZZ)
    if len(linear) == 1:
        return []
    return sorted(int(-factor[1]) % p for factor in gf_edf_zassenhaus(linear, 1, p, ZZ))


def _composed(f: Poly, r: int, p: int) -> Poly:
    """f(r + p*y) as a polynomial in y."""
    from sympy import ZZ
    from sympy.polys.densetools import dup_compose

    shifted = dup_compose([ZZ(c) for c in reversed(f)], [ZZ(p), ZZ(r)], ZZ)
    return tuple(int(c) for c in reversed(shifted))


def _power(p: int, k: int) -> str:
    return f"{p}^{k}" if k > 1 else f"{p}"


KIND = Kind(
    checks={
        "all solutions": _set_verdict,
        "the solution": _only_verdict,
        "how many": count_verdict,
        "the least": _least_verdict,
        "the largest": _largest_verdict,
        "whether any": _whether_any_verdict,
    },
    solutions=solutions,
)
