"""How each step of solving a system of congruences in one unknown is told.

One function a step; everything is said of the unknown x. A congruence that is not linear is
told as its own kind tells it.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from math import lcm, prod
from typing import Any

from itembank.kinds.base import Solution
from itembank.kinds.chains import (
    calculated_or_congruent,
    residue_chain,
    shift,
    sum_of,
)
from itembank.kinds.linear.isolating import isolated
from itembank.kinds.polynomial.combination import Combine
from itembank.kinds.polynomial.telling.combining import combine, one_shown
from itembank.kinds.system.checking import check
from itembank.kinds.system.steps import (
    AddWeighted,
    Agree,
    AllTogether,
    Check,
    Column,
    Conclude,
    Coprime,
    Decide,
    Isolate,
    LeastResidue,
    SolveAlone,
    SplitPrimes,
    Stated,
    Substitute,
)
from itembank.kinds.wording import (
    FITS_ON_THE_BOARD,
    WRITTEN_OUT,
    Tellers,
    by_modulus,
    each_on_a_line,
    residue_lines,
    told,
)
from itembank.languages import (
    BREAK,
    Cell,
    Grid,
    Lead,
    Telling,
    Told,
    counted,
    each,
    either,
    grid,
    lead,
    say,
    shown,
    spelled,
)
from itembank.languages.lettering import UNKNOWN, in_letter, relettered
from itembank.languages.saying import Either
from itembank.notation.building import (
    congruence,
    difference,
    dotted,
    equal,
    listed,
    polynomial,
)
from itembank.notation.tree import Dots, Letter, Listing, Math, Number, Quotient
from itembank.values.answer import Class

_X = Letter(UNKNOWN)

_SPELLED_OUT = 5
"""Of a class with more residues than these only the first and the last are written out."""

_LEFT_OUT = frozenset({"answer", "check", "pair off"})
"""Steps of a congruence solved alone that belong to its own conclusion."""


def worked(solution: Solution[Any], letter: str = UNKNOWN) -> Telling:
    """The steps as a teacher would write them on the board."""
    return in_letter(tuple(told(solution.steps, _TOLD)), letter)


def _heading(i: int) -> Lead:
    """The run-in heading of the i-th congruence."""
    if i == 1:
        return lead("The first congruence.")
    if i == 2:
        return lead("The second congruence.")
    if i == 3:
        return lead("The third congruence.")
    return lead("Congruence number {i}.", i=i)


def _class_of(residues: Sequence[int], d: int) -> Math:
    """x ≡ 1, 4 (mod 5)."""
    return congruence(_X, listed(residues), d)


def _one_of(classes: Iterable[Class]) -> Either:
    """x ≡ 1, 2 (mod 9) or x ≡ 3 (mod 27): x lies in one of them, never in two."""
    return either(_class_of(rs, d) for d, rs in by_modulus(classes))


# ------------------------------------------------------------ each congruence alone


def _least_residue(step: LeastResidue) -> Iterator[Told]:
    yield _heading(step.i)
    yield say(
        "${a} ≡ {r} (mod {m})$, so it says that $x ≡ {r} (mod {m})$.", a=step.a, r=step.r, m=step.m
    )


def _isolate(step: Isolate) -> Iterator[Told]:
    yield _heading(step.i)
    a, b, m, d = step.a, step.b, step.m, step.d
    if a == 0:
        yield from _dropped_out(b, m)
        return
    ax = polynomial((0, a))
    if not step.collected:
        yield say("$x$ to the left, numbers to the right: ${ax} ≡ {b} (mod {m})$.", ax=ax, b=b, m=m)
    if step.inverse is None:
        yield say(
            "$gcd({a}, {m}) = {d}$ does not divide {b}, but it divides ${ax}$ and {m}: no $x$ "
            "satisfies this.",
            a=a,
            m=m,
            d=d,
            b=b,
            ax=ax,
        )
        return
    m1 = m // d
    if m1 == 1:
        yield say("Both sides are divisible by {m}, so every integer $x$ satisfies this.", m=m)
        return
    if d > 1:
        yield say(
            "$gcd({a}, {m}) = {d}$ divides {b}. Divide all three numbers by {d}: "
            "${ax} ≡ {b1} (mod {m1})$.",
            a=a,
            m=m,
            d=d,
            b=b,
            ax=polynomial((0, step.a1)),
            b1=step.b1,
            m1=m1,
        )
    if step.way:
        yield from isolated(step.way, UNKNOWN)


def _dropped_out(b: int, m: int) -> Iterator[Told]:
    if b:
        yield say(
            "The unknown drops out, but $0 ≢ {b} (mod {m})$: no $x$ satisfies this.", b=b, m=m
        )
    else:
        yield say("The unknown drops out, and every integer $x$ satisfies what is left.")


def _solve_alone(step: SolveAlone) -> Iterator[Told]:
    kept = tuple(s for s in step.steps if s.name not in _LEFT_OUT)
    yield _heading(step.i)
    yield say("Solve it alone.")
    yield from replace(step.problem, letter=UNKNOWN).worked(Solution(step.answer, kept))
    yield BREAK
    if not step.answer:
        yield say("It has no solution.")
    elif step.answer.class_count <= WRITTEN_OUT:
        yield say(
            "$x$ satisfies it exactly when {classes}.", classes=_one_of(step.answer.classes())
        )
    else:
        yield say("It has {n} classes of solutions.", n=step.answer.class_count)


def _all_together(step: AllTogether) -> Iterator[Told]:
    if len(step.conditions) < 2:
        return
    yield BREAK
    yield say("The system is now")
    yield shown(*(_class_of((r,), d) for r, d in step.conditions))


# ------------------------------------------------------------ coprime moduli


def _add_weighted(step: AddWeighted) -> Iterator[Told]:
    moduli = [w.modulus for w in step.weights]
    yield lead("Combine.")
    yield say(
        "No two of the moduli {moduli} have a common factor, so there is exactly one solution "
        "modulo ${product} = {m}$.",
        moduli=each(moduli),
        product=dotted(moduli),
        m=step.modulus,
    )
    yield say(
        "For each modulus take the product of the others, and multiply it by its inverse: the "
        "result $e$ is 1 modulo this modulus and 0 modulo the others."
    )
    yield _weight_table(step)
    products = [dotted((r, w.e)) for r, w in zip(step.residues, step.weights, strict=True)]
    yield say(
        "So $x ≡ {sum} (mod {m})$.",
        sum=calculated_or_congruent(sum_of(*products), step.total, step.modulus),
        m=step.modulus,
    )


def _weight_table(step: AddWeighted) -> Grid:
    """Of each modulus the product M of the others, its inverse with the product, and e = M i."""
    return grid(
        (
            say("congruence"),
            say("product of the others"),
            say("its inverse"),
            say("since"),
            Letter("e"),
        ),
        [
            (
                _class_of((r,), w.modulus),
                w.others,
                w.inverse,
                one_shown(w, Number(w.modulus)),
                say("${others} · {inverse} = {e}$", others=w.others, inverse=w.inverse, e=w.e)
                if w.inverse != 1
                else w.e,
            )
            for r, w in zip(step.residues, step.weights, strict=True)
        ],
    )


# ------------------------------------------------------------ any two moduli


def _substitute(step: Substitute) -> Iterator[Told]:
    merge = step.merge
    r, d, a, m, g, gap = merge.r, merge.d, merge.a, merge.m, merge.g, merge.gap
    linear = shift(r, d, "t")
    yield lead("Substitute.")
    if step.first:
        yield say(
            "The first congruence says that $x = {linear}$ for an integer $t$.", linear=linear
        )
    else:
        yield say("So far $x = {linear}$ for an integer $t$.", linear=linear)
    yield say(
        "Put into $x ≡ {a} (mod {m})$ this is ${linear} ≡ {a}$, that is ${dt} ≡ {gap} (mod {m})$.",
        a=a,
        m=m,
        linear=linear,
        dt=polynomial((0, d), "t"),
        gap=residue_chain(a - r, m),
    )
    if merge.t is None or merge.merged is None:
        yield say(
            "$gcd({d}, {m}) = {g}$ does not divide {gap}: no $t$ satisfies this. Indeed, modulo "
            "{g} the congruences so far ask for $x ≡ {left}$, and this one for $x ≡ {right}$.",
            d=d,
            m=m,
            g=g,
            gap=gap,
            left=r % g,
            right=a % g,
        )
        return
    d1, m1, gap1 = d // g, m // g, gap // g
    if g > 1:
        yield say(
            "$gcd({d}, {m}) = {g}$ divides {gap}. Divide all three numbers by {g}: "
            "${dt} ≡ {gap1} (mod {m1})$.",
            d=d,
            m=m,
            g=g,
            gap=gap,
            dt=polynomial((0, d1), "t"),
            gap1=gap1,
            m1=m1,
        )
    if m1 == 1:
        yield say(
            "So every $t$ satisfies this: $x ≡ {r} (mod {d})$ implies it, and stays.", r=r, d=d
        )
        return
    if step.way and (step.way.a != 1 or step.way.b != merge.t):
        yield from isolated(step.way, "t")
    yield from _put_back(step)


def _put_back(step: Substitute) -> Iterator[Told]:
    """From t to x."""
    merge = step.merge
    assert merge.merged is not None and merge.t is not None
    x, whole = merge.merged
    found = {"r": merge.r, "d": merge.d, "t": merge.t, "x": x, "whole": whole}
    if merge.g > 1:
        yield say(
            "Hence $x ≡ {r} + {d} · {t} = {x} (mod {whole})$, where {whole} is the least common "
            "multiple of {d} and {m}.",
            m=merge.m,
            **found,
        )
    else:
        yield say("Hence $x ≡ {r} + {d} · {t} = {x} (mod {whole})$.", **found)


# ------------------------------------------------------------ prime by prime


def _split_primes(step: SplitPrimes) -> Iterator[Told]:
    yield lead("Split into prime powers.")
    yield say(
        "The moduli have common factors. Split each congruence into congruences modulo prime "
        "powers, and compare those that belong to the same prime:"
    )
    yield _prime_table(step)
    failing = next((c for c in step.columns if not c.together), None)
    if failing is not None:
        yield from _clash(failing, step)
        return
    yield say("What is left:")
    yield shown(*(say("{classes}", classes=_one_of(c.together)) for c in step.columns))


def _prime_table(step: SplitPrimes) -> Grid:
    return grid(
        (say("congruence"), *(say("powers of {p}", p=c.p) for c in step.columns)),
        [
            (_as_stated(stated), *(_condition_cell(c.conditions[i]) for c in step.columns))
            for i, stated in enumerate(step.stated)
        ],
    )


def _as_stated(stated: Stated) -> Math:
    """The congruence as it goes into the comparison, in the unknown x."""
    if isinstance(stated, tuple):
        r, d = stated
        return _class_of((r,), d)
    (shown_as,) = stated.shown
    return relettered(shown_as, {stated.letter: UNKNOWN})


def _condition_cell(classes: Sequence[Class] | None) -> Cell:
    return "" if classes is None else say("{classes}", classes=_one_of(classes))


def _clash(column: Column, step: SplitPrimes) -> Iterator[Told]:
    """Two of the congruences that contradict each other, or the bare fact where it takes more."""
    said = [(i, c) for i, c in enumerate(column.conditions) if c is not None]
    for k, (i, first) in enumerate(said):
        for j, second in said[k + 1 :]:
            if not any((r - s) % min(d, e) == 0 for r, d in first for s, e in second):
                yield say(
                    "${first}$ and ${second}$ contradict each other: they ask for {left} and for "
                    "{right}.",
                    first=_as_stated(step.stated[i]),
                    second=_as_stated(step.stated[j]),
                    left=_one_of(first),
                    right=_one_of(second),
                )
                return
    yield say("No residue satisfies all that is asked for modulo powers of {p}.", p=column.p)


# ------------------------------------------------------------ the answer


def _conclude(step: Conclude) -> Iterator[Told]:
    yield lead("Answer.")
    n, m = step.count, step.modulus
    classes, residues = step.classes, step.residues
    if not n:
        yield say("The system has no solutions.")
    elif classes == ((0, 1),) and m > 1:
        yield counted(
            "Every integer is a solution: {n} solution modulo {m}.",
            "Every integer is a solution: {n} solutions modulo {m}.",
            n,
            n=spelled(n),
            m=m,
        )
    elif residues is not None:
        yield from _residues_listed(step, residues)
    elif classes is not None:
        yield from _classes_listed(step, classes)
    else:
        yield counted(
            "Every choice gives a solution, found by the rule above: {n} solution modulo {m}.",
            "Every choice gives a solution, found by the rule above: {n} solutions modulo {m}.",
            n,
            n=spelled(n),
            m=m,
        )


def _residues_listed(step: Conclude, residues: tuple[int, ...]) -> Iterator[Told]:
    n, m = step.count, step.modulus
    if each_on_a_line(residues):
        yield counted(
            "Modulo {m} there is {n} solution:",
            "Modulo {m} there are {n} solutions:",
            n,
            n=spelled(n),
            m=m,
        )
        yield residue_lines(residues)
    elif step.classes is not None and any(d != m for _r, d in step.classes):
        yield counted(
            "{classes}, that is $x ≡ {residues} (mod {m})$: {n} solution modulo {m}.",
            "{classes}, that is $x ≡ {residues} (mod {m})$: {n} solutions modulo {m}.",
            n,
            classes=_one_of(step.classes),
            residues=listed(residues),
            n=spelled(n),
            m=m,
        )
    else:
        yield counted(
            "$x ≡ {residues} (mod {m})$: {n} solution modulo {m}.",
            "$x ≡ {residues} (mod {m})$: {n} solutions modulo {m}.",
            n,
            residues=listed(residues),
            n=spelled(n),
            m=m,
        )


def _classes_listed(step: Conclude, classes: tuple[Class, ...]) -> Iterator[Told]:
    n, m = step.count, step.modulus
    if n <= FITS_ON_THE_BOARD:
        yield counted(
            "{classes}: ${parts} = {n}$ solution modulo {m}.",
            "{classes}: ${parts} = {n}$ solutions modulo {m}.",
            n,
            classes=_one_of(classes),
            parts=_counted_by_class(classes, m),
            m=m,
        )
        yield say("Written out: {lists}.", lists=each(_written_out(r, d, m) for r, d in classes))
    else:
        yield counted(
            "{classes}: {n} solution modulo {m}.",
            "{classes}: {n} solutions modulo {m}.",
            n,
            classes=_one_of(classes),
            m=m,
        )


def _written_out(r: int, d: int, m: int) -> Math:
    """10, 40, 70, ..., 580: the residues modulo m of a class."""
    found = range(r, m, d)
    if len(found) <= _SPELLED_OUT:
        return listed(found)
    return Listing((*map(Number, found[:3]), Dots(), Number(found[-1])))


def _counted_by_class(classes: Iterable[Class], m: int) -> Math:
    """600/30 + 600/120: how many residues modulo m the classes hold."""
    shares = [(len(rs), Quotient(Number(m), Number(d))) for d, rs in by_modulus(classes)]
    return sum_of(*(share if n == 1 else dotted((n, share)) for n, share in shares))


# ------------------------------------------------------------ whether, and how many


def _coprime(step: Coprime) -> Iterator[Told]:
    yield lead("Coprime moduli.")
    yield say(
        "No two of the moduli {moduli} have a common factor, so there is exactly one solution "
        "modulo ${product}$.",
        moduli=each(step.moduli),
        product=equal(dotted(step.moduli), prod(step.moduli)),
    )


def _agree(step: Agree) -> Iterator[Told]:
    merge = step.merge
    yield lead("Greatest common divisor.")
    yield say(
        "$gcd({d}, {m}) = {g}$ divides ${difference}$: modulo {g} both congruences ask for "
        "$x ≡ {r}$. So there is exactly one solution modulo {whole}, the least common multiple.",
        d=merge.d,
        m=merge.m,
        g=merge.g,
        difference=equal(difference(merge.a, merge.r), merge.a - merge.r),
        r=merge.r % merge.g,
        whole=lcm(merge.d, merge.m),
    )


def _decide(step: Decide) -> Iterator[Told]:
    yield lead("Answer.")
    if step.any:
        yield say("The system has solutions.")
    else:
        yield counted(
            "The system has {n} solution modulo {m}.",
            "The system has {n} solutions modulo {m}.",
            step.count,
            n=spelled(step.count),
            m=step.modulus,
        )


_TOLD: Tellers = {
    LeastResidue: _least_residue,
    Isolate: _isolate,
    SolveAlone: _solve_alone,
    AllTogether: _all_together,
    AddWeighted: _add_weighted,
    Substitute: _substitute,
    SplitPrimes: _split_primes,
    Combine: combine,
    Coprime: _coprime,
    Agree: _agree,
    Decide: _decide,
    Conclude: _conclude,
    Check: check,
}
"""How each step is told."""
