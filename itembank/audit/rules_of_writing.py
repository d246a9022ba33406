"""Item-writing rules that a program can check, as findings with their severity.

Sources: Haladyna, Downing & Rodriguez, Applied Measurement in Education 15(3), 2002 (rules by
their number there); the check of key positions is Pearson's chi-squared test with critical
values of the NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4 (level 0.05).
"""

import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from pathlib import Path
from typing import Literal

from itembank.audit import claims
from itembank.audit.met import Met, bare, items_met
from itembank.audit.phrases import phrases_of
from itembank.audit.unsupported import Unsupported
from itembank.values.worded import joined, worded

Severity = Literal["error", "warning", "note"]

_CRITICAL = {1: Fraction(3841, 1000), 2: Fraction(5991, 1000), 3: Fraction(7815, 1000),
            4: Fraction(9488, 1000), 5: Fraction(11070, 1000)}  # fmt: skip
"""Chi-squared at level 0.05, by degrees of freedom."""

_EXPECTED = 5
"""The least expected number in a cell for the test to mean anything."""

_LONGEST_STEM = 120
"""Words of a stem."""

_LONGEST_RUN = 4
"""Keys at one place in a row that are passed over."""

_SEVERITIES = {"error": worded("error"), "warning": worded("warning"), "note": worded("note")}


@dataclass(frozen=True)
class Finding:
    """What breaks a rule, in an item or in the package as a whole (`item` is "")."""

    severity: Severity
    item: str
    message: str

    def __str__(self) -> str:
        return str(self.worded)

    @property
    def worded(self) -> str:
        """The finding as a line that can be said in any language."""
        parts = [_SEVERITIES[self.severity], *([self.item] if self.item else ()), self.message]
        return joined(": ", parts)


def writing_findings(path: Path) -> tuple[Finding, ...]:
    """The findings on a package, items in its order, then the package as a whole."""
    items = [item for item in items_met(path) if isinstance(item, Met)]
    found = [finding for item in items for finding in of_item(item)]
    return (*found, *of_all(items))


def of_item(item: Met) -> Iterator[Finding]:
    for severity, rule in _RULES:
        for message in rule(item):
            yield Finding(severity, item.identifier, message)


def of_all(items: Sequence[Met]) -> Iterator[Finding]:
    for severity, rule in _RULES_OVER_ALL:
        for message in rule(items):
            yield Finding(severity, "", message)


# ------------------------------------------------------------ options


def _values(item: Met) -> list[tuple[int, ...] | None]:
    """What each option lists, as written; None where it lists nothing."""
    found: list[tuple[int, ...] | None] = []
    for label in item.options:
        try:
            found.append(
                claims.residues(label, 1, phrases_of(item.language).answer)
                if "mod" not in label
                else None
            )
        except Unsupported:
            found.append(None)
    return found


def _order(item: Met) -> Iterator[str]:
    """Rule 21: options in logical or numerical order; "none" may stand at either end."""
    listed = [(len(v), v) for v in _values(item) if v]
    if len(listed) > 1 and listed != sorted(listed):
        yield worded(
            "options: expected increasing order, got {options}", options="; ".join(item.options)
        )


_MODULUS = re.compile(r"\(mod (\d+)\)")


def _equivalent(item: Met) -> Iterator[str]:
    """Rules 19 and 22: no two options are the same set, under one modulus or under several."""
    own = [int(m) for label in item.options for m in _MODULUS.findall(label)]
    base = (item.asked.question.modulus if item.asked else None) or 1
    common = lcm(base, *own) if own else base
    seen: dict[object, str] = {}
    for label in item.options:
        meaning: object = bare(label)
        try:
            m = common if _MODULUS.search(label) else base
            residues = claims.residues(label, m, phrases_of(item.language).answer)
            if own:
                residues = tuple(x + k for x in residues for k in range(0, common, m))
            meaning = frozenset(x % common for x in residues) if base > 1 else residues
        except Unsupported:
            pass
        if meaning in seen:
            yield worded(
                "options: '{seen}' and '{label}' say the same", seen=seen[meaning], label=label
            )
        seen.setdefault(meaning, label)


def _keyless(item: Met) -> Iterator[str]:
    """An item that declares no right answer tells a student nothing, whatever it scores."""
    if item.options and not item.key:
        yield worded("key: expected a declared right answer, found none")


def _size_cue(item: Met) -> Iterator[str]:
    """Rule 23: at least two options are as large as the key."""
    if item.form != "one" or len(item.options) < 3 or not item.key:
        return
    sizes = {bare(o): len(v) for o, v in zip(item.options, _values(item), strict=True) if v}
    key = sizes.get(bare(item.key[0]))
    if key and list(sizes.values()).count(key) == 1 and len(set(sizes.values())) > 1:
        yield worded(
            "options: the key {key} is the only one of {residues} residues",
            key=item.key[0],
            residues=key,
        )


def _length_cue(item: Met) -> Iterator[str]:
    """Rule 24: the key is not the longest option by far."""
    if item.form != "one" or len(item.options) < 3 or not item.key:
        return
    others = [len(o) for o in item.options if o != item.key[0]]
    if others and len(item.key[0]) > 2 * max(others):
        yield worded(
            "options: the key {key} is more than twice as long as every other", key=item.key[0]
        )


def _above(item: Met) -> Iterator[str]:
    """Rules 9, 25, 26: no "all of the above", no "A and C"."""
    writing = phrases_of(item.language).writing
    for label in item.options:
        if writing.above.search(label) or writing.lettered.search(label):
            yield worded("options: expected an answer, got '{label}'", label=label)


def _few(item: Met) -> Iterator[str]:
    """Rule 18: at least three options where one is chosen, yes and no aside."""
    decided = item.asked is None or item.asked.ask in ("whether any", "whether true")
    if item.form == "one" and len(item.options) == 2 and not decided:
        yield worded("options: expected at least three, got 2")


# ------------------------------------------------------------ stem and feedback


def _negatives(item: Met) -> Iterator[str]:
    """Rule 17: the stem asks for what is, not for what is not; “never” may be an answer."""
    if item.asked and item.asked.ask == "always, sometimes or never":
        return
    writing = phrases_of(item.language).writing
    if match := writing.negative.search(item.stem.split(writing.without_directions)[0]):
        yield worded("stem: asks with '{match}'", match=match[0])


def _reading(item: Met) -> Iterator[str]:
    """Rule 13: little to read."""
    n = len(item.stem.split())
    if n > _LONGEST_STEM:
        yield worded(
            "stem: {n} words, expected at most {longest_stem}", n=n, longest_stem=_LONGEST_STEM
        )


def _directions(item: Met) -> Iterator[str]:
    """Rule 14: the stem says among which residues the solutions are wanted; digits are none."""
    wanted = item.asked and item.asked.ask in ("all solutions", "the least", "the largest")
    if wanted and (
        item.asked
        and not getattr(item.asked.question, "of_digits", False)
        and item.asked.low is None
        and item.asked.high is None
        and item.form in ("any", "text")
        and not phrases_of(item.language).writing.range.search(item.stem)
    ):
        yield worded("stem: expected the range of residues, such as 0 to 6")


def _count_cue(item: Met) -> Iterator[str]:
    """Rule 28: nothing on the page tells how many solutions there are."""
    if match := phrases_of(item.language).writing.count_cue.search(item.stem):
        yield worded("stem: '{match}' tells how many solutions there are", match=match[0])
    if item.form in ("any", "entries") and item.most and item.most == len(item.key):
        yield worded(
            "response: room for {most} answers tells how many solutions there are", most=item.most
        )


def _printed_key(item: Met) -> Iterator[str]:
    """Feedback to a wrong answer keeps the key to itself."""
    numbers = _key_numbers(item)
    if numbers and item.asked and item.asked.ask != "how many":
        for name in sorted(item.misleading):
            if claims.prints(item.feedback[name], numbers, phrases_of(item.language).answer):
                yield worded("feedback {name}: prints the key", name=name)


def _key_numbers(item: Met) -> tuple[int, ...]:
    """The residues of the key, increasing; () where it has none."""
    found: list[int] = []
    for part in item.key:
        try:
            found += claims.residues(part, 1, phrases_of(item.language).answer)
        except Unsupported:
            return ()
    return tuple(sorted(found))


_Rule = Callable[[Met], Iterator[str]]

_RULES: tuple[tuple[Severity, _Rule], ...] = (
    ("error", _keyless),
    ("error", _equivalent),
    ("error", _above),
    ("error", _printed_key),
    ("warning", _order),
    ("warning", _size_cue),
    ("warning", _count_cue),
    ("warning", _directions),
    ("note", _length_cue),
    ("note", _few),
    ("note", _negatives),
    ("note", _reading),
)

# ------------------------------------------------------------ the package as a whole


def _key_positions(items: Sequence[Met]) -> Iterator[str]:
    """Rule 20: the key stands at every place about as often."""
    places: dict[int, list[int]] = {}
    for item in items:
        if item.form == "one":
            places.setdefault(len(item.options), []).append(_place_of_key(item))
    for k, found in sorted(places.items()):
        if len(found) < _EXPECTED * k or k - 1 not in _CRITICAL:
            continue
        counts = Counter(found)
        even = Fraction(len(found), k)
        statistic = sum((counts[i] - even) ** 2 / even for i in range(k))
        if statistic > _CRITICAL[k - 1]:
            shown = ", ".join(str(counts[i]) for i in range(k))
            yield worded(
                "key of {n} items with {k} options: {shown} times at each place",
                n=len(found),
                k=k,
                shown=shown,
            )


def _place_of_key(item: Met) -> int:
    """The place of the key among the options, from 0; -1 if it is none of them."""
    return item.options.index(item.key[0]) if set(item.key[:1]) & set(item.options) else -1


def _runs(items: Sequence[Met]) -> Iterator[str]:
    """Rule 20: no long run of keys at one place."""
    place, length, longest = -1, 0, 0
    for item in items:
        if item.form == "one" and len(item.options) > 2:
            now = _place_of_key(item)
            length = length + 1 if now == place else 1
            place, longest = now, max(longest, length)
    if longest > _LONGEST_RUN:
        yield worded("the key stands {longest} times in a row at one place", longest=longest)


def _dependent(items: Sequence[Met]) -> Iterator[str]:
    """Rule 4: no two items put the same question."""
    seen: dict[object, str] = {}
    for item in items:
        if item.asked is None:
            continue
        mark = repr(item.asked.question)
        if mark in seen:
            yield worded(
                "{seen} and {identifier}: the same mathematics, one tells the other",
                seen=seen[mark],
                identifier=item.identifier,
            )
        seen.setdefault(mark, item.identifier)


_RuleOverAll = Callable[[Sequence[Met]], Iterator[str]]

_RULES_OVER_ALL: tuple[tuple[Severity, _RuleOverAll], ...] = (
    ("warning", _key_positions),
    ("note", _runs),
    ("warning", _dependent),
)
