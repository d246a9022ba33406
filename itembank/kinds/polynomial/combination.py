"""Every choice of one class for each modulus, combined: shared by all congruences that are split.

Apart from the other steps, since a congruence modulo one prime power needs none of it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, product
from math import prod

from itembank.kinds.base import Step
from itembank.kinds.polynomial.conclusion import COMBINED
from itembank.maths.primes import Factors
from itembank.maths.remainders import Weight, crt_weights, nearest_residue
from itembank.values.answer import Class, Part, ResidueSet

_EXAMPLES = 4
"""Of more combinations than are written out only the first few are."""

_EXPANDED = 12
"""Classes of different moduli are written out as residues up to this number."""


@dataclass(frozen=True)
class Choice:
    """One residue for each modulus, their weighted sum, and the class that it stands for."""

    residues: tuple[int, ...]
    sum: int
    joined: Class


@dataclass(frozen=True)
class Joining:
    """x = r + dt put into x = a (mod m): (r, a, t, r + dt) for each choice.

    `inverse` is that of d modulo m, nearest to 0.
    """

    d: int
    m: int
    inverse: int
    rows: tuple[tuple[int, int, int, int], ...]


@dataclass(frozen=True)
class Combine(Step):
    """Every choice of one class for each modulus; `factors` are those of m.

    `weights` are 1 modulo their own modulus and 0 modulo the others; `residues` are what
    there is to choose from for each of them.  `choices` holds only the first ones when
    there are too many to write down; `total` counts them all.  `wider` are the classes modulo
    divisors of the modulus that several choices fill together.  `joinings` are the same choices
    by substitution, where that is taught.
    """

    name = "combine"
    weights: tuple[Weight, ...]
    factors: tuple[tuple[int, int], ...]
    residues: tuple[tuple[int, ...], ...]
    modulus: int
    choices: tuple[Choice, ...]
    total: int
    wider: tuple[Class, ...] = ()
    joinings: tuple[Joining, ...] = ()

    @property
    def effort(self) -> int:
        return sum(1 + len(j.rows) for j in self.joinings) or self.total


def combination(parts: list[Part], factors: Factors, method: str = "") -> Combine:
    """Every choice of one local solution for each modulus, by weights that are 1 and 0.

    Or, where a course combines so, by substitution, modulus after modulus.
    """
    chosen_from = [_choosable(part) for part in parts if part.classes != ((0, 1),)]
    weights = crt_weights([max(d for _r, d in classes) for classes in chosen_from])
    total = prod(map(len, chosen_from))
    choices = []
    for choice in islice(product(*chosen_from), total if total <= COMBINED else _EXAMPLES):
        residues = tuple(r for r, _d in choice)
        added = sum(w.e * r for w, r in zip(weights, residues, strict=True))
        m = prod(d for _r, d in choice)
        choices.append(Choice(residues, added, (added % m, m)))
    told = {choice.joined for choice in choices}
    classes = ResidueSet.product(parts).classes() if total == len(choices) else ()
    modulus = prod(w.modulus for w in weights)
    complete = weights and total == len(choices) and all(c.joined[1] == modulus for c in choices)
    return Combine(
        weights=weights,
        factors=factors,
        residues=tuple(tuple(r for r, _d in classes) for classes in chosen_from),
        modulus=modulus,
        choices=tuple(choices),
        total=total,
        wider=tuple(c for c in classes if c not in told),
        joinings=tuple(_joinings(choices, weights))
        if method == "substitution" and complete
        else (),
    )


def _joinings(choices: Sequence[Choice], weights: Sequence[Weight]) -> Iterator[Joining]:
    """x = r + dt put into x = a (mod m), for one modulus after another."""
    moduli = [w.modulus for w in weights]
    known: dict[tuple[int, ...], int] = {c.residues[:1]: c.residues[0] for c in choices}
    d = moduli[0]
    for i, m in enumerate(moduli[1:], 2):
        inverse = pow(d, -1, m)
        rows = []
        found: dict[tuple[int, ...], int] = {}
        for residues in dict.fromkeys(choice.residues[:i] for choice in choices):
            r, a = known[residues[:-1]], residues[-1]
            t = (a - r) * inverse % m
            found[residues] = r + d * t
            rows.append((r, a, t, r + d * t))
        yield Joining(d, m, nearest_residue(inverse, m), tuple(rows))
        known, d = found, d * m


def _choosable(part: Part) -> tuple[Class, ...]:
    """The classes of a part; its residues where classes of several moduli hold only a few."""
    if len({d for _r, d in part.classes}) == 1 or part.count > _EXPANDED:
        return part.classes
    return tuple((r, part.modulus) for r in ResidueSet((part,)).residues())
