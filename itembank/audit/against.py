"""A package that was exported back, against the one that was released: what did the platform keep?

Order, identifiers and the dialect of mathematics may differ.  Items are paired by what they ask
and show; then by their question alone; then by title.
"""

import re
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import chain
from pathlib import Path

from itembank.audit.met import Met, bare, items_met
from itembank.values.worded import joined, laid_out, worded

_ALIKE = 0.75
"""From this ratio of common characters on, two stems are the same one changed."""


@dataclass(frozen=True)
class Comparison:
    """`kept` of `released` items came back unchanged; a line each finding."""

    package: str
    released_as: str
    released: int
    kept: int
    findings: tuple[str, ...]

    @property
    def clean(self) -> bool:
        return not self.findings and self.kept == self.released

    def as_json(self) -> dict[str, object]:
        return {
            "package": self.package,
            "against": self.released_as,
            "released": self.released,
            "kept": self.kept,
            "findings": list(self.findings),
        }

    def as_text(self) -> str:
        head = worded(
            "{package} against {released}: {n} of {of} items kept as they were",
            package=self.package,
            released=self.released_as,
            n=self.kept,
            of=self.released,
        )
        return joined("\n", [head, *self.findings])


def compared(back: Path, released: Path) -> Comparison:
    """The comparison of two packages; PackageError for what is none, or not a safe one."""
    findings: list[str] = []
    before, after = (_readable(path, findings) for path in (released, back))
    pairs, lost, new = _paired(before, after)
    kept = 0
    for old, now in pairs:
        found = list(_differences(old, now))
        findings += [_of_item(old, line) for line in found]
        kept += not found
    findings += [_of_item(old, worded("missing")) for old in lost]
    findings += [_of_item(now, worded("was not released")) for now in new]
    return Comparison(back.name, released.name, len(before), kept, tuple(findings))


def _of_item(item: Met, finding: str) -> str:
    return laid_out(
        "{item} ({title}): {finding}", item=item.identifier, title=item.title, finding=finding
    )


def _readable(path: Path, findings: list[str]) -> list[Met]:
    found: list[Met] = []
    for item in items_met(path):
        if isinstance(item, str):
            findings.append(laid_out("{file}: {why}", file=path.name, why=item))
        else:
            found.append(item)
    return found


# ------------------------------------------------------------ pairs

_Mark = Callable[[Met], Hashable]


def _whole(item: Met) -> Hashable:
    return bare(item.stem), item.form, frozenset(map(bare, item.options))


def _question(item: Met) -> Hashable:
    if item.asked is None:
        return None
    return repr(item.asked.question), item.asked.ask, item.form


def _title(item: Met) -> Hashable:
    return (item.title.strip(), item.form) if item.title.strip() else None


_MARKS: tuple[_Mark, ...] = (_whole, _question, _title)


def _paired(
    before: Sequence[Met], after: Sequence[Met]
) -> tuple[list[tuple[Met, Met]], list[Met], list[Met]]:
    """The pairs, what was lost, and what is new; each mark pairs what those before it left."""
    pairs: list[tuple[Met, Met]] = []
    left, there = list(before), list(after)
    for mark in _MARKS:
        waiting: dict[Hashable, list[Met]] = {}
        for now in there:
            if mark(now) is not None:
                waiting.setdefault(mark(now), []).append(now)
        unpaired = []
        for old in left:
            found = waiting.get(mark(old))
            if found:
                now = found.pop(0)
                there.remove(now)
                pairs.append((old, now))
            else:
                unpaired.append(old)
        left = unpaired
    for old in list(left):
        nearest = max(there, key=lambda now: _alike(old, now), default=None)
        if nearest is not None and _alike(old, nearest) >= _ALIKE:
            left.remove(old)
            there.remove(nearest)
            pairs.append((old, nearest))
    return pairs, left, there


def _alike(a: Met, b: Met) -> float:
    return SequenceMatcher(None, bare(a.stem), bare(b.stem), autojunk=False).ratio()


# ------------------------------------------------------------ what changed in a pair


def _differences(old: Met, now: Met) -> Iterator[str]:
    yield from _stem_differences(old, now)
    if old.form != now.form:
        yield worded(
            "response: expected '{form}', got '{other_form}'", form=old.form, other_form=now.form
        )
    yield from _changed("option", old.options, now.options)
    if sorted(map(bare, old.key)) != sorted(map(bare, now.key)):
        yield worded(
            "key: expected {listing}, got {got}",
            listing=_listing(old.key),
            got=_listing(now.key),
        )
    if old.points != now.points:
        yield worded(
            "points: expected {listing}, got {got}",
            listing=_listing(old.points),
            got=_listing(now.points),
        )
    yield from _score_differences(old, now)
    yield from _changed("feedback", old.feedback.values(), now.feedback.values())
    yield from _moved(old, now)
    if old.form in ("any", "entries") and old.form == now.form and _limit(old) != _limit(now):
        yield worded(
            "response: expected at most {limit}, got {got}",
            limit=_limit(old),
            got=_limit(now),
        )


def _limit(item: Met) -> int:
    """How many may be ticked or typed."""
    return item.most if (item.most and item.most < len(item.options)) or not item.options else 0


def _stem_differences(old: Met, now: Met) -> Iterator[str]:
    if bare(old.stem) == bare(now.stem):
        return
    if old.asked and now.asked and _question(old) == _question(now):
        yield worded(
            "stem: other words: expected '{stem}', got '{other_stem}'",
            stem=_short(old.stem),
            other_stem=_short(now.stem),
        )
    else:
        yield worded(
            "mathematics of the stem: expected '{stem}', got '{other_stem}'",
            stem=_short(old.stem),
            other_stem=_short(now.stem),
        )


def _changed(name: str, before: Iterable[str], after: Iterable[str]) -> Iterator[str]:
    """Texts lost and texts new, spaces and order aside."""
    left: dict[str, list[str]] = {}
    for text in after:
        left.setdefault(bare(text), []).append(text)
    for text in before:
        if left.get(bare(text)):
            left[bare(text)].pop()
        else:
            yield worded("{name}: lost '{text}'", name=name, text=_short(text))
    for text in chain.from_iterable(left.values()):
        yield worded("{name}: new '{text}'", name=name, text=_short(text))


def _moved(old: Met, now: Met) -> Iterator[str]:
    """Feedback that is still there, and that another answer is told.

    What the one scoring compares with and the other does not is not among the answers of both:
    what is told to it alone, and to no answer of the same numbers there, has moved too.
    """
    kept = set(map(bare, now.feedback.values()))
    elsewhere = {_in_numbers(response) for response in now.told}
    for response, names in old.told.items():
        if response in now.told:
            told = {bare(now.feedback[n]) for n in now.told[response] if n in now.feedback}
        elif _in_numbers(response) in elsewhere:
            continue
        else:
            told, names = set(), names & old.misleading
        for text in sorted(old.feedback[n] for n in names if n in old.feedback):
            if bare(text) in kept - told:
                words = ", ".join(response) or "no answer"
                yield worded(
                    "feedback: moved '{text}', which is no more told to {words}",
                    text=_short(text),
                    words=words[:60],
                )


_NUMBERS = re.compile(r"-?[0-9]+")


def _in_numbers(response: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """A response by its numbers, however they are joined; words as they are."""
    return tuple(sorted(tuple(_NUMBERS.findall(part)) or (part,) for part in response))


def _score_differences(old: Met, now: Met) -> Iterator[str]:
    for response, share in old.scores.items():
        if response in now.scores and now.scores[response] != share:
            words = ", ".join(response) or "no answer"
            yield worded(
                "scoring: expected {share} of the points for {words}, got {scores}",
                share=share,
                words=words,
                scores=now.scores[response],
            )


def _listing(values: Iterable[object]) -> str:
    return ", ".join(map(str, values)) or "none"


def _short(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= 80 else line[:77] + "..."
