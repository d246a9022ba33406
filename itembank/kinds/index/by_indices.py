"""Power congruences a*x^n = c (mod m) solved by indices, m with a primitive root g.

Method taught: take indices to the base g on both sides; products become sums and powers
products, modulo phi(m). That is a linear congruence for the index y of x; each solution
y turns back into x = g^y.

Notation: N = phi(m), ind the index to the base g, r = ind(c) - ind(a) mod N, d = gcd(n, N).
Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th
ed., section 2.8, Theorem 2.37 and the remarks on indices.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar, Self

from itembank.kinds.asking import phrases_of_congruence
from itembank.kinds.base import (
    Given,
    Phrases,
    Slip,
    Solution,
    Step,
    distinct_slips,
    integer_of,
    slip,
)
from itembank.kinds.congruence import OPENINGS
from itembank.kinds.index.worked import solutions_told
from itembank.kinds.mistakes import MOST, made
from itembank.kinds.modular import Modular, given_modulus, integer_typed
from itembank.kinds.typed import congruence
from itembank.kinds.wording import (
    WRITTEN_OUT,
    Tellers,
    answer_paragraph,
    conjunction,
    equal_to,
    listing,
    told,
)
from itembank.languages import Telling
from itembank.languages.words import _
from itembank.maths.groups import OutOfReach, index, is_primitive_root, least_primitive_root
from itembank.maths.primes import Unfactored, phi
from itembank.notation.building import plain_polynomial
from itembank.notation.prose import display, paragraph, table
from itembank.notation.reading import formula
from itembank.notation.tree import Block, Display, Math
from itembank.values.answer import ResidueSet
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature

WHOLE_TABLE = 40
"""The largest phi(m) for which the whole table of indices is written out."""

MOST_SOLUTIONS = 10_000
"""The most solutions that are listed."""


# ------------------------------------------------------------ steps


@dataclass(frozen=True)
class Table(Step):
    """g^0, g^1, ... modulo m: the table of indices; empty where it is too long to write."""

    name = "table of indices"
    g: int
    m: int
    whole: int
    values: tuple[int, ...]
    wanted: tuple[tuple[int, int], ...]
    """(number, its index) for the numbers that the congruence needs."""

    @property
    def effort(self) -> int:
        return len(self.wanted)


@dataclass(frozen=True)
class TakeIndices(Step):
    """ind(a) + n y = ind(c), that is n y = r, modulo N; ind(a) is 0 where a is 1."""

    name = "take indices"
    a: int
    n: int
    c: int
    ind_a: int
    ind_c: int
    r: int
    whole: int


@dataclass(frozen=True)
class Linear(Step):
    """n y = r (mod N), d = gcd(n, N): y0 modulo N/d, or no y if d does not divide r."""

    name = "linear congruence"
    n: int
    r: int
    whole: int
    d: int
    y0: int | None

    @property
    def indices(self) -> range:
        step = self.whole // self.d
        return range(0) if self.y0 is None else range(self.y0, self.whole, step)


@dataclass(frozen=True)
class TurnBack(Step):
    """x = g^y for each index y: (y, x)."""

    name = "turn back"
    g: int
    m: int
    pairs: tuple[tuple[int, int], ...]

    @property
    def effort(self) -> int:
        return len(self.pairs)


# ------------------------------------------------------------ the kind


@dataclass(frozen=True, kw_only=True)
class PowerByIndices(Modular):
    """factor * x^exponent = value modulo m, by indices to the base `base`."""

    kind: ClassVar[str] = "power_by_indices"
    signature: ClassVar[KindSignature] = KindSignature(
        name="power_by_indices",
        given={
            "factor": "integer",
            "exponent": "integer",
            "value": "integer",
            "base": "integer",
            "modulus": "integer",
        },
        asks=tuple(OPENINGS),
        slips=(
            "indices-added",
            "modulus-of-the-numbers",
            "exponent-left-out",
            "one-index-only",
            "index-modulus-not-divided",
            "not-turned-back",
            "solvability-untested",
        ),
        measures=("solutions", "steps", "common_divisor", "digits"),
    )
    factor: int
    exponent: int
    value: int
    base: int
    letter: str = "x"

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        found = cls(
            factor=integer_of(given, "factor"),
            exponent=integer_of(given, "exponent"),
            value=integer_of(given, "value"),
            base=integer_of(given, "base"),
            modulus=given_modulus(given),
            letter=letter,
        )
        refuse_unless_indices_solve(found, "given")
        return found

    @property
    def whole(self) -> int:
        """phi(m), modulo which indices count."""
        return phi(self.modulus, self.known_factors)

    @property
    def congruence(self) -> str:
        left = plain_polynomial((0,) * self.exponent + (self.factor,), self.letter)
        return f"{left} = {self.value} mod {self.modulus_text}"

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{self.congruence} by indices base {self.base}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (formula(self.congruence),)

    def question(self, ask: str) -> Telling:
        hint = _("Use indices: ${g}$ is a primitive root modulo ${m}$.").format(
            g=self.base, m=self.modulus_text
        )
        return (OPENINGS[ask], Display(self.shown), paragraph(hint))

    @property
    def phrases(self) -> Phrases:
        return phrases_of_congruence(self.modulus)

    @property
    def canonical(self) -> tuple[object, ...]:
        m = self.modulus
        c = self.value * pow(self.factor, -1, m) % m
        return (self.kind, self.exponent, c, self.base % m, m)

    @property
    def twin(self) -> tuple[object, ...]:
        return (self.kind, *self.canonical[1:3], self.modulus)

    def index(self, a: int) -> int:
        """The index of a unit; StatementError where it would take too long to find."""
        try:
            found = index(a, self.base, self.modulus, self.known_factors)
        except OutOfReach as reason:
            raise StatementError(f"{self.statement[0]}: {reason}") from None
        assert found is not None, "a primitive root has every unit among its powers"
        return found

    def solve(self) -> Solution[ResidueSet]:
        a, n, c, g, m = self.factor, self.exponent, self.value, self.base, self.modulus
        whole = self.whole
        ind_a, ind_c = self.index(a), self.index(c)
        values = tuple(pow(g, k, m) for k in range(whole)) if whole <= WHOLE_TABLE else ()
        needed = ((c % m, ind_c),) if a % m == 1 else ((a % m, ind_a), (c % m, ind_c))
        r = (ind_c - ind_a) % whole
        linear = linear_step(n, r, whole)
        steps: list[Step] = [
            Table(g % m, m, whole, values, needed),
            TakeIndices(a % m, n, c % m, ind_a, ind_c, r, whole),
            linear,
        ]
        if len(linear.indices) > MOST_SOLUTIONS:
            raise StatementError(
                f"{self.statement[0]}: {len(linear.indices)} solutions are too many to list (at "
                f"most {MOST_SOLUTIONS})"
            )
        pairs = tuple((y, pow(g, y, m)) for y in linear.indices)
        if pairs:
            steps.append(TurnBack(g % m, m, pairs))
        return Solution(ResidueSet.of(m, [(x, m) for _y, x in pairs]), tuple(steps))

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {
            "solutions": solution.answer.count,
            "steps": solution.effort,
            "common_divisor": gcd(self.exponent, self.whole),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        return distinct_slips(slips_of(self, solution), solution.answer)

    def worked(self, solution: Solution[ResidueSet]) -> Telling:
        return (
            *self.conventions(),
            *self.least_residues(self.factor, self.value, self.base),
            *told(solution.steps, WORKED, self),
            answer_paragraph(self.conclusion(solution.answer)),
        )

    def conclusion(self, answer: ResidueSet) -> str:
        if answer.count > WRITTEN_OUT:
            return _("There are {n} solutions modulo ${m}$.").format(
                n=answer.count, m=self.modulus_text
            )
        return solutions_told(answer, self.letter, self.modulus_text)


def linear_step(n: int, r: int, whole: int) -> Linear:
    d = gcd(n, whole)
    step = whole // d
    y0 = r // d * pow(n // d, -1, step) % step if r % d == 0 else None
    return Linear(n, r, whole, d, y0)


def refuse_unless_indices_solve(c: PowerByIndices, where: str) -> None:
    """StatementError unless the base is a primitive root and both numbers have indices."""
    m, g = c.modulus, c.base
    if c.exponent < 1:
        raise StatementError(f"{where}: expected an exponent of at least 1, got {c.exponent}")
    try:
        good = is_primitive_root(g, m, c.known_factors)
    except Unfactored as reason:
        raise StatementError(f"{where}: {reason}") from None
    if not good:
        raise StatementError(f"{where}: expected a primitive root modulo {m} as base, got {g}")
    for name, number in (("factor", c.factor), ("right side", c.value)):
        if (d := gcd(number, m)) > 1:
            raise StatementError(
                f"{where}: expected a {name} coprime to {m}, for only units have indices; got "
                f"{number}, which shares {d} with it"
            )


FORM = re.compile(
    r"(?P<congruence>.*\bmod(?:ulo)?\b.*?)\s+by indices(?: (?:to the )?base (?P<base>.+))?",
    re.IGNORECASE,
)


def read(statements: Sequence[str]) -> PowerByIndices | None:
    """The problem of "7x^5 = 3 mod 17 by indices base 3"; None for statements of another form.

    Without a base the least primitive root is taken.
    """
    match = FORM.fullmatch(" ".join(statements[0].split())) if len(statements) == 1 else None
    if match is None:
        return None
    statement = statements[0]
    typed = congruence(match["congruence"])
    terms = [(k, a) for k, a in enumerate(typed.left) if a]
    if len(terms) != 1 or terms[0][0] < 1 or len(typed.right) != 1:
        raise StatementError(
            f"{statement!r}: expected one power of the unknown on the left and a number on the "
            "right, as in 7x^5 = 3 mod 17 by indices"
        )
    ((exponent, factor),) = terms
    m = typed.modulus
    try:
        base = (
            integer_typed(match["base"], "a base", statement)
            if match["base"]
            else least_primitive_root(m, typed.known_factors)
        )
    except Unfactored as reason:
        raise StatementError(f"{statement!r}: {reason}") from None
    if base is None:
        raise StatementError(f"{statement!r}: there is no primitive root modulo {m}, so no indices")
    found = PowerByIndices(
        factor=factor,
        exponent=exponent,
        value=typed.right[0],
        base=base,
        letter=typed.letter,
        modulus=m,
        typed_modulus=typed.typed_modulus,
        known_factors=typed.known_factors,
    )
    refuse_unless_indices_solve(found, repr(statement))
    return found


# ------------------------------------------------------------ the worked solution


def worked_table(step: Table, c: PowerByIndices) -> Iterator[Block]:
    g, m = step.g, step.m
    if not step.values:
        found = conjunction(f"${g}^{k} ≡ {a}$" for a, k in step.wanted)
        yield paragraph(
            _("Indices to the base {g} modulo {m}: {found}, so {indices}.").format(
                g=g,
                m=m,
                found=found,
                indices=conjunction(f"$ind({a}) = {k}$" for a, k in step.wanted),
            ),
            _("Indices."),
        )
        return
    yield paragraph(
        _(
            "The powers of the primitive root {g} modulo {m}, each from the one before times {g}:"
        ).format(g=g, m=m),
        _("Table of indices."),
    )
    yield table(
        (_("index"), _("number")), [(f"${k}$", f"${x}$") for k, x in enumerate(step.values)]
    )
    yield paragraph(
        _("So {indices}.").format(indices=conjunction(f"$ind({a}) = {k}$" for a, k in step.wanted))
    )


def worked_take_indices(step: TakeIndices, c: PowerByIndices) -> Iterator[Block]:
    yield paragraph(
        _(
            "Numbers are congruent modulo {m} if and only if their indices are congruent modulo "
            "$φ({m}) = {whole}$. The index of a product is the sum of the indices, that of a power "
            "the exponent times the index. With $y = ind({x})$:"
        ).format(m=c.modulus, whole=step.whole, x=c.letter),
        _("Take indices."),
    )
    term = "y" if step.n == 1 else f"{step.n}y"
    if step.a == 1:
        yield display(f"{term} = {step.ind_c} mod {step.whole}")
        return
    difference = step.ind_c - step.ind_a
    chain = f"{step.ind_c} - {step.ind_a} = {difference}"
    if difference < 0:
        chain += f" == {step.r}"
    yield display(
        f"{step.ind_a} + {term} = {step.ind_c} mod {step.whole}",
        f"{term} == {chain} mod {step.whole}",
    )


def worked_linear(step: Linear, c: PowerByIndices) -> Iterator[Block]:
    n, r, whole, d = step.n, step.r, step.whole, step.d
    lead = _("Solve for the index.")
    if step.y0 is None:
        yield paragraph(
            _(
                "$gcd({n}, {whole}) = {d}$ does not divide {r}, so no $y$ solves this linear "
                "congruence."
            ).format(n=n, whole=whole, d=d, r=r),
            lead,
        )
        return
    if n == 1:
        return
    n1, r1, size = n // d, r // d, whole // d
    sentences = []
    if d > 1:
        sentences.append(
            _(
                "$gcd({n}, {whole}) = {d}$ divides {r}. Divided by {d}, the modulus too: "
                "${term} ≡ {r1} (mod {size})$."
            ).format(
                n=n,
                whole=whole,
                d=d,
                r=r,
                term="y" if n1 % size == 1 and n1 == 1 else f"{n1}y",
                r1=r1,
                size=size,
            )
        )
    if n1 > 1 and size > 1:
        inverse = pow(n1, -1, size)
        sentences.append(
            _(
                "The inverse of {n1} modulo {size} is {i}, so $y ≡ {i} · {r1} {chain} (mod "
                "{size})$."
            ).format(n1=n1, size=size, i=inverse, r1=r1, chain=equal_to(inverse * r1, size))
        )
    if d > 1 and len(step.indices) <= WRITTEN_OUT:
        sentences.append(
            _("Modulo {whole} these are {d} indices: ${indices}$.").format(
                whole=whole, d=d, indices=listing(step.indices)
            )
        )
    yield paragraph(" ".join(sentences), lead)


def worked_turn_back(step: TurnBack, c: PowerByIndices) -> Iterator[Block]:
    g, m = step.g, step.m
    if len(step.pairs) > WRITTEN_OUT:
        text = _("Each index $y$ gives the solution ${x} ≡ {g}^y (mod {m})$.")
        yield paragraph(text.format(x=c.letter, g=g, m=m), _("Back to numbers."))
        return
    found = conjunction(f"${g}^{y} ≡ {x}$" for y, x in step.pairs)
    if c.whole <= WHOLE_TABLE:
        text = _("The table gives {found} (mod {m}).")
    else:
        text = _("Repeated squaring gives {found} (mod {m}).")
    yield paragraph(text.format(found=found, m=m), _("Back to numbers."))


WORKED: Tellers = {
    Table: worked_table,
    TakeIndices: worked_take_indices,
    Linear: worked_linear,
    TurnBack: worked_turn_back,
}
"""How each step is told."""


# ------------------------------------------------------------ slips


@dataclass(frozen=True)
class Work:
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


SetFound = tuple[tuple[int, ...] | None, str] | None


def slips_of(c: PowerByIndices, solution: Solution[ResidueSet]) -> Iterator[Slip]:
    """The slips that can be made here, in the order of the method."""
    taken = next(s for s in solution.steps if isinstance(s, TakeIndices))
    linear = next(s for s in solution.steps if isinstance(s, Linear))
    w = Work(c.base, c.modulus, taken, linear)
    for name, wrong, feedback in made(MISTAKES, w):
        if wrong is not None:
            yield slip(name, wrong, feedback)


def indices_added(w: Work) -> SetFound:
    t = w.taken
    if t.a == 1:
        return None
    wrong = linear_step(t.n, (t.ind_c + t.ind_a) % t.whole, t.whole)
    return w.numbers(wrong.indices), _(
        "You added the index of {a} on the right. It stands on the left as a summand, so it is "
        "**subtracted** when it moves: ${c} - {i}$."
    ).format(a=t.a, c=t.ind_c, i=t.ind_a)


def modulus_of_the_numbers(w: Work) -> SetFound:
    t = w.taken
    wrong = linear_step(t.n, (t.ind_c - t.ind_a) % w.m, w.m)
    return w.numbers(wrong.indices), _(
        "You solved for the index modulo {m}. Indices are exponents of {g}, so they count modulo "
        "$φ({m}) = {n}$."
    ).format(m=w.m, g=w.g, n=t.whole)


def exponent_left_out(w: Work) -> SetFound:
    if w.taken.n == 1:
        return None
    return w.numbers((w.taken.r,)), _(
        "You took {r} for the index of the unknown. It is the index of its power with exponent "
        "{n}, so it is {n} times the index wanted."
    ).format(r=w.taken.r, n=w.taken.n)


def one_index_only(w: Work) -> SetFound:
    if w.linear.y0 is None or w.linear.d == 1:
        return None
    return w.numbers((w.linear.y0,)), _(
        "You took one index. The linear congruence for it has {d} solutions modulo {whole}, since "
        "$gcd({n}, {whole}) = {d}$."
    ).format(d=w.linear.d, whole=w.linear.whole, n=w.linear.n)


def index_modulus_not_divided(w: Work) -> SetFound:
    step = w.linear
    if step.y0 is None or step.d == 1:
        return None
    wrong = linear_step(step.n // step.d, step.r // step.d, step.whole)
    return w.numbers(wrong.indices), _(
        "You divided the linear congruence for the index by {d} but kept its modulus {whole}. The "
        "modulus is divided too."
    ).format(d=step.d, whole=step.whole)


def not_turned_back(w: Work) -> SetFound:
    indices = w.linear.indices
    if not indices or len(indices) > MOST:
        return None
    return tuple(indices), _(
        "These are the **indices** of the solutions. Each index $y$ stands for the number ${g}^y$ "
        "modulo {m}."
    ).format(g=w.g, m=w.m)


def solvability_untested(w: Work) -> SetFound:
    step = w.linear
    if step.y0 is not None:
        return None
    wrong = linear_step(step.n, step.r // step.d * step.d, step.whole)
    return w.numbers(wrong.indices), _(
        "$gcd({n}, {whole}) = {d}$ does not divide {r}, so the linear congruence for the index has "
        "no solution: test that before you divide."
    ).format(n=step.n, whole=step.whole, d=step.d, r=step.r)


MISTAKES: dict[str, Callable[[Work], SetFound]] = {
    "indices-added": indices_added,
    "modulus-of-the-numbers": modulus_of_the_numbers,
    "exponent-left-out": exponent_left_out,
    "one-index-only": one_index_only,
    "index-modulus-not-divided": index_modulus_not_divided,
    "not-turned-back": not_turned_back,
    "solvability-untested": solvability_untested,
}
"""In the order of the method."""
