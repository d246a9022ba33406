"""The second way for the number of solutions of a congruence: they are counted."""

import re
from dataclasses import dataclass, field

from itembank.second_way import power_root
from itembank.second_way.congruence import count_verdict
from itembank.second_way.kind import Kind
from itembank.second_way.power_root import PowerOfUnknown
from itembank.second_way.reading import Congruence, congruence
from itembank.second_way.verdict import Verdict


@dataclass(frozen=True)
class Counted:
    """How many residues solve the congruence."""

    congruence: Congruence | PowerOfUnknown
    hints: tuple[int, ...] = field(default=(), compare=False)

    @property
    def modulus(self) -> int:
        return self.congruence.modulus


def read(statement: str) -> Counted | None:
    """The question of "number of solutions of x^2 = 1 mod 360"; None for another form."""
    words = " ".join(statement.split())
    match = re.fullmatch(r"(?:the )?number of solutions of (.+)", words, re.I)
    if not match:
        return None
    return Counted(power_root.read(match[1]) or congruence(match[1]))


def _value_verdict(question: Counted, claim: int) -> Verdict:
    if isinstance(question.congruence, PowerOfUnknown):
        return power_root.count_verdict(question.congruence, claim)
    return count_verdict(question.congruence, claim)


KIND = Kind(checks={"the value": _value_verdict}, solutions=lambda question: None)
