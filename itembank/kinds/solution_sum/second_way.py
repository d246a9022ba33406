"""The second way for the sum of the solutions: they are listed by trial and added."""

import re
from dataclasses import dataclass, field

from itembank.second_way import congruence as listing
from itembank.second_way import power_root
from itembank.second_way.kind import Kind
from itembank.second_way.power_root import PowerOfUnknown
from itembank.second_way.reading import Congruence, congruence
from itembank.second_way.verdict import Undecided, Verdict, agreed, disagreed, done


@dataclass(frozen=True)
class Summed:
    """The sum of the least residues that solve the congruence; an integer, and no residue."""

    congruence: Congruence | PowerOfUnknown
    hints: tuple[int, ...] = field(default=(), compare=False)

    @property
    def modulus(self) -> int:
        return self.congruence.modulus


def read(statement: str) -> Summed | None:
    """The question of "sum of the solutions of x^2 = 1 mod 15"; None for another form."""
    words = " ".join(statement.split())
    match = re.fullmatch(r"(?:the )?sum of (?:all |the )*solutions of (.+)", words, re.I)
    if not match:
        return None
    return Summed(power_root.read(match[1]) or congruence(match[1]))


def _solutions(question: Summed) -> tuple[int, ...]:
    """All solutions, increasing; Undecided where they cannot be listed."""
    inner = question.congruence
    if isinstance(inner, PowerOfUnknown):
        found = power_root.tried(inner.k, inner.a, inner.modulus)
    else:
        found = listing.solutions(inner)
    if found is None:
        raise Undecided("the solutions are too many to list and add")
    return found


def _value_verdict(question: Summed, claim: int) -> Verdict:
    found = _solutions(question)
    method = done("the {n} solutions listed and added", n=len(found))
    if claim == sum(found):
        return agreed(method)
    return disagreed(method, f"expected {sum(found)}, the answer says {claim}")


KIND = Kind(checks={"the value": _value_verdict}, solutions=lambda question: None)
