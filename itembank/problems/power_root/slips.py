"""Student errors in solving x^k = a (mod m), each carried through to its answer.

One function a slip, named for the mistake, as in `polynomial.slips`: from the true work
to the wrong residues and the feedback, or None where the mistake cannot be made.

The catalogue is common practice of the trade, in the order of the method: reading the
power as one of integers, inverting the exponent, indices, zero, lifting, combining.
"""

import dataclasses
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import gcd
from typing import Any

from itembank.arithmetic.power_roots import PowerLift
from itembank.problems.base import Slip, Solution, Step, slip
from itembank.problems.polynomial.slips import combining, factoring
from itembank.problems.polynomial.slips.work import LARGEST, Found, Local, Work, told
from itembank.problems.power_root.solve import solve_prime_power
from itembank.problems.power_root.steps import (
    CorrectRoot,
    Criterion,
    Divide,
    Indices,
    InvertExponent,
    Lift,
    OddPower,
    RootByRounds,
    RootFiveModEight,
    RootThreeModFour,
    SamePower,
    Zero,
)
from itembank.problems.power_root.wording import derivative_text
from itembank.problems.wording import FITS_ON_THE_BOARD, in_letter
from itembank.words import _


@dataclass(frozen=True)
class PowerWork:
    """The true work on x^k = a (mod m): its steps, and the residues modulo each prime power."""

    k: int
    a: int
    m: int
    local_steps: tuple[Step, ...]
    parts: Work

    @cached_property
    def locals(self) -> tuple[Local, ...]:
        return self.parts.locals

    def step(self, kind: type[Any]) -> Any:
        """The first step of a kind; None if there is none."""
        return next((s for s in self.local_steps if isinstance(s, kind)), None)

    def local(self, p: int) -> Local:
        return next(loc for loc in self.locals if loc.p == p)

    def with_local(self, p: int, residues: Iterable[int]) -> tuple[int, ...] | None:
        return self.parts.with_local({p: residues})

    def failing(self, wrong: Iterable[int] | None) -> int | None:
        """The least residue of a wrong answer that is no solution; None if there is none."""
        return min((x for x in wrong or () if pow(x, self.k, self.m) != self.a), default=None)

    def refuted(self, wrong: Iterable[int] | None) -> str:
        """A sentence that substitutes a wrong residue; "" if none of them is wrong."""
        x = self.failing(wrong)
        if x is None:
            return ""
        if self.k * x.bit_length() > 2 * FITS_ON_THE_BOARD.bit_length():
            return " " + _("Substitute: ${x}^{k}$ is not congruent to {a} modulo {m}.").format(
                x=x, k=self.k, a=self.a, m=self.m
            )
        return " " + _(
            "Substitute: ${x}^{k} = {power}$ is not congruent to {a} modulo {m}."
        ).format(x=x, k=self.k, power=x**self.k, a=self.a, m=self.m)


def true_work(
    k: int, a: int, m: int, solution: Solution[Any], factors: Iterable[tuple[int, int]]
) -> PowerWork | None:
    """The work modulo each prime power; None where the residues are too many to go wrong with."""
    locals_: list[Local] = []
    steps: list[Step] = []
    for p, e in factors:
        q = p**e
        found, classes = solve_prime_power(k, a % q, p, e)
        if sum(q // d for _r, d in classes) > LARGEST:
            return None
        steps += found
        residues = tuple(sorted(x for r, d in classes for x in range(r, q, d)))
        roots = tuple(sorted({x % p for x in residues}))
        locals_.append(Local(p, e, 0, (), roots, residues, None))
    whole = tuple(s for s in solution.steps if isinstance(s, InvertExponent) and s.q == m)
    parts = Work(f=(), m=m, moved=False, locals=tuple(locals_), key=solution.answer)
    return PowerWork(k, a % m, m, (*whole, *steps), parts)


# ------------------------------------------------------------ powers of integers


def integer_root(k: int, a: int) -> int | None:
    """The b >= 0 with b^k = a; None if there is none.  Requires a >= 0."""
    low, high = 0, 1 << (a.bit_length() // k + 1)
    while low < high:
        middle = (low + high) // 2
        if middle**k < a:
            low = middle + 1
        else:
            high = middle
    return low if low**k == a else None


def perfect_powers_only(w: PowerWork) -> Found:
    """No integer has this power, and the congruence was taken for an equation."""
    if not w.parts.key or integer_root(w.k, w.a) is not None:
        return None
    return (), _(
        "{a} is not the power of an integer with the exponent {k}, but a congruence asks for less: "
        "one of {a}, {next}, {after}, … may be."
    ).format(a=w.a, k=w.k, next=w.a + w.m, after=w.a + 2 * w.m)


def integer_root_only(w: PowerWork) -> Found:
    b = integer_root(w.k, w.a)
    if b is None or not b:
        return None
    return {b, -b} if w.k % 2 == 0 else {b}, _(
        "You solved the **equation** $x^{k} = {a}$. The congruence has the solutions of "
        "$x^{k} = {a} + {m}n$ too, for every integer $n$."
    ).format(k=w.k, a=w.a, m=w.m)


def one_pair_only(w: PowerWork) -> Found:
    """As modulo a prime, though m is composite: the least solution and its negative."""
    if w.k != 2 or w.parts.key.count <= 2 or len(w.locals) < 2:
        return None
    r = w.parts.key.least() or 0
    return (r, -r), _(
        "You gave one pair, as for a prime modulus. {m} is composite: solve modulo each of its "
        "prime powers and combine every choice."
    ).format(m=w.m)


def negative_forgotten(w: PowerWork) -> Found:
    """Of each pair r, -r modulo the last odd prime power only one taken."""
    if w.k % 2:
        return None
    loc = next((loc for loc in reversed(w.locals) if loc.p > 2 and any(loc.roots)), None)
    if loc is None:
        return None
    return told(
        w.with_local(loc.p, [x for x in loc.residues if 2 * (x % loc.p) < loc.p]),
        _(
            "The exponent {k} is even, so numbers with opposite signs have the same power: with "
            "each solution $x$ modulo {q} also $-x$ is one."
        ).format(k=w.k, q=loc.q),
    )


def as_over_the_reals(w: PowerWork) -> Found:
    """Modulo a prime with more roots only one is taken, or one and its negative."""
    most = 2 if w.k % 2 == 0 else 1
    loc = next((loc for loc in w.locals if loc.p > 2 and len(loc.roots) > most), None)
    if loc is None:
        return None
    first = loc.roots[0]
    kept = {first, loc.p - first} if most == 2 else {first}
    return told(
        w.with_local(loc.p, [x for x in loc.residues if x % loc.p in kept]),
        _(
            "Modulo {p} a power with the exponent {k} does not behave as over the real numbers: "
            "$gcd({k}, {p} - 1) = {d}$, so there are {d} roots or none."
        ).format(p=loc.p, k=w.k, d=gcd(w.k, loc.p - 1)),
    )


# ------------------------------------------------------------ square roots modulo a prime


def criterion_untested(w: PowerWork) -> Found:
    """The formula for p = 3 (mod 4) used though a is no square: a root of -a."""
    step = w.step(Criterion)
    if step is None or w.k != 2 or step.value == 1 or step.p % 4 != 3:
        return None
    r = pow(step.a, (step.p + 1) // 4, step.p)
    return told(
        w.with_local(step.p, {r, step.p - r}),
        _(
            "You computed ${a}^{n}$ without testing whether {a} is a square modulo {p}. It is "
            "none, and the square of what you found is $-{a}$."
        ).format(a=step.a, n=(step.p + 1) // 4, p=step.p),
    )


def exponent_halved_only(w: PowerWork) -> Found:
    """(p + 1)/2 in place of (p + 1)/4: that power of a square a is a itself."""
    step = w.step(RootThreeModFour)
    if step is None:
        return None
    return told(
        w.with_local(step.p, {step.a, step.p - step.a}),
        _(
            "You took the exponent $({p} + 1)/2$. The power of {a} with that exponent is {a} "
            "again; its square root has half the exponent, $({p} + 1)/4$."
        ).format(p=step.p, a=step.a),
    )


def correction_forgotten(w: PowerWork) -> Found:
    """The first guess taken for the root, in the methods that have to correct it."""
    five, rounds, corrected = (
        w.step(kind) for kind in (RootFiveModEight, RootByRounds, CorrectRoot)
    )
    if five is not None and five.i is not None:
        p, guess = five.p, five.first
    elif rounds is not None and rounds.work.rounds:
        p, guess = rounds.p, rounds.work.rounds[0].r
    elif corrected is not None and corrected.work.w != 1:
        p, guess = corrected.p, corrected.work.guess
    else:
        return None
    wrong = w.with_local(p, {guess, p - guess} if w.k % 2 == 0 else {guess})
    return told(
        wrong,
        _("{guess} is a first guess only; it still has to be corrected.").format(guess=guess)
        + w.refuted(wrong),
    )


# ------------------------------------------------------------ inverting the exponent


def inverted_with(
    w: PowerWork, n: Callable[[InvertExponent], int]
) -> tuple[InvertExponent, int, tuple[int, ...] | None] | None:
    """a^u with the inverse u of the exponent modulo a wrong number n; the step, u, the answer."""
    step = w.step(InvertExponent)
    if step is None:
        return None
    wrong = n(step)
    if wrong < 2 or wrong == step.phi or gcd(w.k, wrong) != 1:
        return None
    u = pow(w.k, -1, wrong)
    return step, u, in_place(w, step, pow(step.a, u, step.q))


def in_place(w: PowerWork, step: InvertExponent, root: int) -> tuple[int, ...] | None:
    """The answer with another root modulo the step's modulus."""
    if step.q == w.m:
        return (root,)
    return w.with_local(step.factors[0][0], [root])


def exponent_inverted_modulo_m(w: PowerWork) -> Found:
    made = inverted_with(w, lambda step: step.q)
    if made is None:
        return None
    step, u, wrong = made
    return told(
        wrong,
        _(
            "You took {u} for the exponent, the inverse of {k} modulo {q}. Exponents count modulo "
            "$φ({q}) = {phi}$: that is where {k} has to be inverted."
        ).format(u=u, k=w.k, q=step.q, phi=step.phi),
    )


def phi_of_a_prime(w: PowerWork) -> Found:
    made = inverted_with(w, lambda step: step.q - 1)
    if made is None:
        return None
    step, _u, wrong = made
    return told(
        wrong,
        _(
            "You inverted the exponent modulo ${q} - 1$, as for a prime modulus. {q} is not "
            "prime, and $φ({q}) = {phi}$."
        ).format(q=step.q, phi=step.phi),
    )


def power_for_root(w: PowerWork) -> Found:
    step = w.step(InvertExponent)
    if step is None:
        return None
    return told(
        in_place(w, step, pow(step.a, w.k, step.q)),
        _(
            "You raised {a} to the power {k}. The congruence goes the other way: a number is "
            "wanted whose power with the exponent {k} is {a}."
        ).format(a=step.a, k=w.k),
    )


def base_inverted(w: PowerWork) -> Found:
    step = w.step(InvertExponent)
    if step is None:
        return None
    return told(
        in_place(w, step, pow(step.a, -1, step.q)),
        _(
            "You took the inverse of {a} modulo {q}. It is the **exponent** {k} that has to be "
            "inverted, modulo {phi}."
        ).format(a=step.a, q=step.q, k=w.k, phi=step.phi),
    )


# ------------------------------------------------------------ indices


def index_for_the_number(w: PowerWork) -> Found:
    step = w.step(Indices)
    if step is None or not step.found:
        return None
    return told(
        w.with_local(step.p, [i % step.p for i in step.found]),
        _(
            "You gave the indices. $x$ is the power: with the index $i$ it is ${g}^i$ modulo {p}."
        ).format(g=step.g, p=step.p),
    )


def index_modulo_the_prime(w: PowerWork) -> Found:
    """k i = index solved modulo p in place of p - 1."""
    step = w.step(Indices)
    if step is None or w.k % step.p == 0:
        return None
    i = step.index * pow(w.k, -1, step.p) % step.p
    return told(
        w.with_local(step.p, [pow(step.g, i, step.p)]),
        _(
            "You solved ${k}i ≡ {index}$ modulo {p}. Exponents count modulo ${p} - 1$, where "
            "$gcd({k}, {n}) = {d}$."
        ).format(k=w.k, index=step.index, p=step.p, n=step.p - 1, d=step.d),
    )


def index_divided(w: PowerWork) -> Found:
    """k i = index divided by k, and the modulus p - 1 kept: one index."""
    step = w.step(Indices)
    if step is None or not step.found or step.index % w.k:
        return None
    i = step.index // w.k
    return told(
        w.with_local(step.p, [pow(step.g, i, step.p)]),
        _(
            "You divided ${k}i ≡ {index} (mod {n})$ by {k} and kept the modulus. It is divided by "
            "$gcd({k}, {n}) = {d}$, so there are {d} indices modulo {n}."
        ).format(k=w.k, index=step.index, n=step.p - 1, d=step.d),
    )


# ------------------------------------------------------------ zero, and powers of p in a


def zero_taken_for_no_root(w: PowerWork) -> Found:
    step = w.step(Zero)
    if step is None or not w.parts.key:
        return None
    return (), _(
        "Modulo {q} the congruence is $x^{k} ≡ 0$, and you took that for unsolvable. Which "
        "residues have a power divisible by {q}?"
    ).format(q=step.q, k=w.k)


def zero_only(w: PowerWork) -> Found:
    """x^k = 0 modulo p^e read as x = 0 modulo p^e."""
    step = w.step(Zero)
    if step is None or step.e == 1:
        return None
    return told(
        w.with_local(step.p, [0]),
        _(
            "You gave 0 as the only solution modulo {q}. $x$ itself need not be divisible by {q}: "
            "it is enough that $x^{k}$ is."
        ).format(q=step.q, k=w.k),
    )


def one_for_the_class(w: PowerWork) -> Found:
    """After dividing p out: each solution of the smaller modulus taken once."""
    step = w.step(Divide)
    if step is None or step.w is None:
        return None
    loc = w.local(step.p)
    rest = step.p ** (step.e - step.v)
    kept = {x // step.p**step.w % rest * step.p**step.w for x in loc.residues}
    return told(
        w.with_local(step.p, kept),
        _(
            "After the division the modulus is {rest}, so each solution there stands for several "
            "residues modulo {q}."
        ).format(rest=rest, q=step.q),
    )


def divisible_so_none(w: PowerWork) -> Found:
    step = w.step(Divide)
    if step is None or step.w is None or not w.parts.key:
        return None
    return (), _(
        "{p} divides both {a} and the modulus {q}, and you took that for unsolvable. Put "
        "$x = {root}·y$ and divide."
    ).format(p=step.p, a=step.a, q=step.q, root=step.p**step.w)


# ------------------------------------------------------------ lifting


def not_lifted(w: PowerWork) -> Found:
    loc = next((loc for loc in w.locals if loc.k > 1 and loc.p > 2 and any(loc.roots)), None)
    if loc is None:
        return None
    wrong = w.with_local(loc.p, loc.roots)
    return told(
        wrong,
        _(
            "You used the roots modulo {p} as if they were roots modulo {q}; each of them must "
            "first be lifted."
        ).format(p=loc.p, q=loc.q)
        + w.refuted(wrong),
    )


def every_lift_kept(w: PowerWork) -> Found:
    loc = next((loc for loc in w.locals if loc.k > 1 and loc.p > 2 and any(loc.roots)), None)
    if loc is None or len(loc.roots) * loc.q // loc.p > LARGEST:
        return None
    wrong = w.with_local(loc.p, [x for x in range(loc.q) if x % loc.p in loc.roots])
    return told(
        wrong,
        _(
            "You kept every number modulo {q} that is a root modulo {p}. Only some of the lifts "
            "of a root are roots again."
        ).format(q=loc.q, p=loc.p)
        + w.refuted(wrong),
    )


Digit = Callable[[Lift, PowerLift], int]


def last_lift_with(w: PowerWork, digit: Digit) -> tuple[Lift, tuple[int, ...] | None] | None:
    """The first lift of simple roots, and the answer when its last digits are these."""
    step = next((s for s in w.local_steps if isinstance(s, Lift) and s.p > 2 and not s.s), None)
    if step is None:
        return None
    q, lifted = step.q, set()
    for _r, chain, _last in step.chains:
        x = (chain[-1].r + step.p ** chain[-1].j * digit(step, chain[-1])) % q
        lifted |= {x, -x % q} if step.mirrored else {x}
    return step, w.with_local(step.p, lifted)


def lift_sign(w: PowerWork) -> Found:
    made = last_lift_with(w, lambda step, row: -row.t % step.p)
    if made is None:
        return None
    step, wrong = made
    return told(
        wrong,
        _(
            "The last lift solves $(r^{k} - {a})/{below} + {slope}·t ≡ 0 (mod {p})$, so $t$ is "
            "**minus** the quotient of the two."
        ).format(k=w.k, a=step.a, below=step.q // step.p, slope=derivative_text(w.k), p=step.p)
        + w.refuted(wrong),
    )


def power_not_brought_down(w: PowerWork) -> Found:
    """r^(k-1) in place of the derivative k r^(k-1)."""

    def digit(step: Lift, row: PowerLift) -> int:
        return -row.quotient * pow(row.r, 1 - w.k, step.p) % step.p

    made = last_lift_with(w, digit)
    if made is None:
        return None
    _step, wrong = made
    return told(
        wrong,
        _(
            "You lifted with ${wrong}$ in place of ${right}$: the exponent {k} comes down as a "
            "factor."
        ).format(wrong=derivative_text(w.k, 1), right=derivative_text(w.k), k=w.k)
        + w.refuted(wrong),
    )


def singular_discarded(w: PowerWork) -> Found:
    step = w.step(SamePower)
    if step is None or not w.parts.key:
        return None
    return (), _(
        "You dropped the roots modulo {p} because the derivative is divisible by {p} there. That "
        "does not rule out lifts: test their powers modulo {deep}."
    ).format(p=step.p, deep=step.p**step.deep)


def singular_taken_as_simple(w: PowerWork) -> Found:
    """One lift of each root, where p^s of them go together."""
    step = w.step(SamePower)
    if step is None:
        return None
    loc = w.local(step.p)
    firsts = {x % step.p: x for x in reversed(loc.residues)}
    return told(
        w.with_local(step.p, firsts.values()),
        _(
            "You gave one lift of each root modulo {p}. {p} divides the exponent {k}, so the lifts "
            "that are roots come in whole classes modulo a lower power of {p}."
        ).format(p=step.p, k=w.k),
    )


def odd_rule_at_two(w: PowerWork) -> Found:
    step = w.step(OddPower)
    if step is None or not step.holds:
        return None
    loc = w.local(2)
    r = loc.residues[0]
    return told(
        w.with_local(2, {r, loc.q - r}),
        _(
            "Modulo {q} you gave two roots, as for an odd prime. Modulo $2^e$ with $e ≥ 3$ an even "
            "exponent has at least four, or none."
        ).format(q=loc.q),
    )


def tested_modulo_four_only(w: PowerWork) -> Found:
    step = w.step(OddPower)
    if step is None or step.e < 3 or step.a % 4 != 1:
        return None
    loc = w.local(2)
    if loc.q // 2 > LARGEST:
        return None
    return told(
        w.with_local(2, range(1, loc.q, 2)),
        _(
            "You tested modulo 4 only. Squares of odd numbers are 1 modulo 8, so the test for "
            "$2^e$ with $e ≥ 3$ is made modulo 8 at least, and each lift must be checked."
        ),
    )


# ------------------------------------------------------------ combining


def matched_pairs_only(w: PowerWork) -> Found:
    return combining.matched_pairs_only(w.parts)


def residues_added(w: PowerWork) -> Found:
    return combining.residues_added(w.parts)


def inverses_left_out(w: PowerWork) -> Found:
    return combining.inverses_left_out(w.parts)


def weights_swapped(w: PowerWork) -> Found:
    return combining.weights_swapped(w.parts)


def unsolvable_factor_ignored(w: PowerWork) -> Found:
    return combining.unsolvable_factor_ignored(w.parts)


def factor_dropped(w: PowerWork) -> Found:
    return factoring.factor_dropped(w.parts)


MISTAKES: tuple[Callable[[PowerWork], Found], ...] = (
    perfect_powers_only,
    integer_root_only,
    one_pair_only,
    exponent_inverted_modulo_m,
    phi_of_a_prime,
    power_for_root,
    base_inverted,
    criterion_untested,
    exponent_halved_only,
    correction_forgotten,
    negative_forgotten,
    as_over_the_reals,
    index_for_the_number,
    index_modulo_the_prime,
    index_divided,
    zero_taken_for_no_root,
    zero_only,
    divisible_so_none,
    one_for_the_class,
    not_lifted,
    lift_sign,
    power_not_brought_down,
    every_lift_kept,
    singular_taken_as_simple,
    singular_discarded,
    odd_rule_at_two,
    tested_modulo_four_only,
    matched_pairs_only,
    residues_added,
    inverses_left_out,
    weights_swapped,
    unsolvable_factor_ignored,
    factor_dropped,
)
"""In the order of the method."""


def name_of(mistake: Callable[[PowerWork], Found]) -> str:
    return mistake.__name__.replace("_", "-")


NAMES = tuple(map(name_of, MISTAKES))
"""What specs and packages call them."""


def slips_of(
    k: int, a: int, m: int, letter: str, solution: Solution[Any], factors: Iterable[tuple[int, int]]
) -> Iterator[Slip]:
    """All slips that apply and whose answers hold at most LARGEST residues, in order."""
    if m == 1:
        return
    work = true_work(k, a, m, solution, factors)
    if work is None:
        return
    for mistake in MISTAKES:
        made = mistake(work)
        if made is None:
            continue
        wrong, feedback = made
        answer = {x % m for x in wrong}
        if len(answer) <= LARGEST:
            found = slip(name_of(mistake), answer, feedback)
            yield dataclasses.replace(found, feedback=in_letter(found.feedback, letter))
