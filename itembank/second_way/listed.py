"""Verdicts on a set of residues whose members the second way has listed."""

from collections.abc import Callable, Mapping, Sequence
from math import prod
from typing import Any

from itembank.second_way.congruence import Part, contained, count, grouped, malformed
from itembank.second_way.verdict import Method, Verdict, agreed, disagreed

Listed = Callable[[Any], tuple[tuple[int, ...], Method]]
"""From a question to all members, increasing, and how they were found (or Undecided)."""


def checks(listed: Listed) -> Mapping[str, Callable[[Any, Any], Verdict]]:
    """A check for each ask about a set, against the members listed."""

    def the_set(question: Any, parts: Sequence[Part]) -> Verdict:
        found, method = listed(question)
        fault = difference(found, question.modulus, parts)
        return disagreed(method, fault) if fault else agreed(method)

    def the_only(question: Any, claim: int) -> Verdict:
        found, method = listed(question)
        if len(found) != 1:
            return disagreed(method, f"expected one solution, there are {len(found)}")
        if (claim - found[0]) % question.modulus == 0:
            return agreed(method)
        return disagreed(method, f"expected {found[0]}, the answer says {claim}")

    def value(of: Callable[[tuple[int, ...]], Any]) -> Callable[[Any, Any], Verdict]:
        def check(question: Any, claim: Any) -> Verdict:
            found, method = listed(question)
            expected = of(found)
            if claim == expected:
                return agreed(method)
            return disagreed(method, f"expected {expected}, the answer says {claim}")

        return check

    return {
        "all solutions": the_set,
        "the solution": the_only,
        "how many": value(len),
        "the least": value(lambda found: min(found, default=None)),
        "the largest": value(lambda found: max(found, default=None)),
        "whether any": value(bool),
    }


def difference(found: tuple[int, ...], m: int, parts: Sequence[Part]) -> str:
    """What sets the claim apart from the members found; "" if nothing does."""
    parts = [(n, tuple(classes)) for n, classes in parts]
    if fault := malformed(m, parts):
        return fault
    groups = [grouped(classes) for _, classes in parts]
    for x in found:
        if not contained(x, groups):
            return f"{x} belongs to the set, and the answer leaves it out"
    claimed = prod(count(classes, n) for n, classes in parts)
    if claimed != len(found):
        return f"expected {len(found)} members, the answer holds {claimed}"
    return ""
