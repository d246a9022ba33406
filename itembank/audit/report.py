"""What an audit found: one report an item, and the sum of them."""

from dataclasses import dataclass
from typing import Literal

from itembank.audit.parts import Part
from itembank.values.worded import joined, laid_out, worded

Status = Literal["agreed", "unchecked", "disagreed"]


@dataclass(frozen=True, slots=True)
class ItemReport:
    """agreed: question, key and scoring proved the same a second way; disagreed: `findings`
    say what was expected and what was found; unchecked: `how` says why nothing could be said.
    `counts`: whether its stem says that it counts in a quiz.  `part`: which part of a question in
    parts it is.
    """

    identifier: str
    title: str
    status: Status
    how: str
    findings: tuple[str, ...] = ()
    counts: bool = True
    part: Part | None = None

    @property
    def lines(self) -> tuple[str, ...]:
        """The findings, each beginning with the item; of an unchecked item, why it is."""
        if self.status == "unchecked":
            return (worded("{item}: unchecked: {why}", item=self.identifier, why=self.how),)
        return tuple(
            laid_out("{item}: {finding}", item=self.identifier, finding=finding)
            for finding in self.findings
        )


@dataclass(frozen=True)
class Report:
    """The items in the order of the package, and what is wrong with the package itself."""

    package: str
    items: tuple[ItemReport, ...]
    package_findings: tuple[str, ...]

    def count(self, status: Status) -> int:
        return sum(item.status == status for item in self.items)

    @property
    def clean(self) -> bool:
        """Whether there are items, all of them agreed, and nothing is wrong with the package."""
        return bool(self.items) and not self.findings

    @property
    def findings(self) -> tuple[str, ...]:
        """Every finding, and why items are unchecked: one line each."""
        return self.package_findings + tuple(line for item in self.items for line in item.lines)

    def as_json(self) -> dict[str, object]:
        """Plain data for a program."""
        return {
            "package": self.package,
            "items": len(self.items),
            "agreed": self.count("agreed"),
            "unchecked": self.count("unchecked"),
            "disagreed": self.count("disagreed"),
            "findings": list(self.findings),
        }

    def as_text(self) -> str:
        """A line of counts, and a line each finding."""
        counts = worded(
            "{package}: {n} items: {agreed} agreed, {unchecked} unchecked, {disagreed} disagreed",
            package=self.package,
            n=len(self.items),
            agreed=self.count("agreed"),
            unchecked=self.count("unchecked"),
            disagreed=self.count("disagreed"),
        )
        return joined("\n", [counts, *self.findings])
