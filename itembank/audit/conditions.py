"""Response processing of QTI 1.2.1, run as the standard defines it.

The respconditions in order: one that holds sets the score and shows feedback,
and is the last to be processed unless it says continue="Yes".  The elements of
a conditionvar must all hold, with one exception that every importer makes and
nothing else could mean: sibling varequal of a typed text are alternatives.

A subset: varequal, and, or, not, other; setvar Set, Add, Subtract.  Whatever
else is used raises Unsupported, and the item is unchecked.

Source: IMS Question & Test Interoperability ASI 1.2, Best Practice and
Implementation Guide, 3.5, and XML Binding (resprocessing); the alternatives of
fill-in questions: common practice.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

from lxml import etree

from itembank.audit.budget import CONDITIONS, Work
from itembank.audit.seen import Grade, Response
from itembank.audit.unsupported import Unsupported
from itembank.audit.variables import decimal
from itembank.audit.xml import Element, children, elements, local_name, one
from itembank.values.worded import worded

_KNOWN = frozenset([
    "resprocessing", "outcomes", "decvar", "respcondition", "conditionvar", "setvar",
    "displayfeedback", "varequal", "and", "or", "not", "other",
])  # fmt: skip


@dataclass(frozen=True)
class Given:
    """A response that is tried: its texts, and the same whatever their case."""

    texts: Response
    folded: tuple[str, ...]


Holds = Callable[[Given], bool]
"""A condition, or an element of one, ready to be tried."""


@dataclass(frozen=True)
class Condition:
    """A respcondition: when it holds, what it then does, and whether it is the last."""

    holds: Holds
    setvars: tuple[Element, ...]
    shown: frozenset[str]
    last: bool


@dataclass(frozen=True)
class Conditions:
    """The respconditions of one item; `typed` if the response is a text.

    Each is made into functions once, when a response is first tried; what an element does not
    support it raises where it is tried, and if it is.
    """

    resprocessing: Element
    response: str
    typed: bool
    work: Work = field(default_factory=Work, compare=False)

    def __post_init__(self) -> None:
        """Unsupported for an element, in any condition, that is not known here."""
        found = list(self.resprocessing.iter(etree.Element))
        if len(found) > CONDITIONS:
            raise Unsupported(worded("more than {conditions} conditions", conditions=CONDITIONS))
        for element in found:
            if local_name(element) not in _KNOWN:
                raise Unsupported(
                    worded("the element {found} of resprocessing", found=local_name(element))
                )

    def grade(self, given: Response) -> Grade:
        """The SCORE and the feedback after this response."""
        score, low, high = self.variable
        shown: frozenset[str] = frozenset()
        tried = Given(given, tuple(map(str.casefold, given)))
        for condition in self.ready:
            if not condition.holds(tried):
                continue
            for setvar in condition.setvars:
                score = _changed(score, setvar)
            shown |= condition.shown
            if condition.last:
                break
        if low is not None:
            score = max(score, low)
        if high is not None:
            score = min(score, high)
        return Grade(score, shown)

    @cached_property
    def variable(self) -> tuple[Fraction, Fraction | None, Fraction | None]:
        """SCORE at the start, and its bounds."""
        found = [e for e in self.resprocessing.iter("{*}decvar")]
        if len(found) != 1 or found[0].get("varname", "SCORE") != "SCORE":
            raise Unsupported(worded("outcomes other than SCORE alone"))

        def number(name: str) -> Fraction | None:
            text = found[0].get(name)
            return None if text is None else decimal(text)

        return number("defaultval") or Fraction(0), number("minvalue"), number("maxvalue")

    def conditions(self) -> list[Element]:
        return children(self.resprocessing, "respcondition")

    @cached_property
    def ready(self) -> tuple[Condition, ...]:
        return tuple(map(self.condition, self.conditions()))

    def condition(self, element: Element) -> Condition:
        inside = elements(element)
        variables = [e for e in inside if local_name(e) == "conditionvar"]
        return Condition(
            self.holds(variables[0]) if variables else self._without_conditionvar,
            tuple(e for e in inside if local_name(e) == "setvar"),
            frozenset(e.get("linkrefid", "") for e in inside if local_name(e) == "displayfeedback"),
            element.get("continue", "No") != "Yes",
        )

    def _without_conditionvar(self, given: Given) -> bool:
        raise Unsupported(worded("a respcondition without conditionvar"))

    def holds(self, element: Element) -> Holds:
        """An element of a condition, which takes a step each time that it is tried."""
        name, spend = local_name(element), self.work.spend
        if name == "varequal":
            return self.equals(element)
        inside = elements(element)
        parts = tuple(map(self.holds, inside))

        def other(given: Given) -> bool:
            spend()
            return True

        def denied(given: Given) -> bool:
            spend()
            one(element)
            return not parts[0](given)

        def any_holds(given: Given) -> bool:
            spend()
            return any(part(given) for part in parts)

        def all_hold(given: Given) -> bool:
            spend()
            return all(part(given) for part in parts)

        if name in ("other", "not"):
            return other if name == "other" else denied
        alternatives = name == "or" or (name == "conditionvar" and self.alternatives(inside))
        return any_holds if alternatives else all_hold

    def alternatives(self, inside: list[Element]) -> bool:
        return self.typed and all(local_name(e) == "varequal" for e in inside)

    def equals(self, element: Element) -> Holds:
        mine = element.get("respident") == self.response
        wanted, folded = element.text or "", element.get("case", "No") != "Yes"
        if folded:
            wanted = wanted.casefold()
        spend = self.work.spend

        def holds(given: Given) -> bool:
            spend()
            if not mine:
                raise Unsupported(worded("a condition on another response"))
            return wanted in (given.folded if folded else given.texts)

        return holds

    # ---------------------------------------------------------- what it compares with

    def declared(self) -> Response:
        """What the right condition names: its varequal outside `not`; of a text, the first.

        Of a text each accepted spelling may have a condition of its own.
        """
        found = [_named(c) for c in self.conditions() if any(local_name(e) == "setvar" for e in c)]
        if not found or (len(found) > 1 and not self.typed):
            raise Unsupported(worded("{n} conditions that set SCORE, one is read", n=len(found)))
        return found[0][:1] if self.typed else found[0]

    def probes(self) -> Iterator[Response]:
        for condition in self.conditions():
            values = _named(condition)
            if self.typed:
                yield from ((v,) for v in values)
            elif values:
                yield values


def _named(condition: Element) -> Response:
    """The values of varequal that must hold."""
    return tuple(
        e.text or ""
        for e in condition.iter("{*}varequal")
        if not any(local_name(a) == "not" for a in e.iterancestors())
    )


def _changed(score: Fraction, setvar: Element) -> Fraction:
    if setvar.get("varname", "SCORE") != "SCORE":
        raise Unsupported(worded("the variable {found}", found=setvar.get("varname")))
    value = decimal(setvar.text or "")
    action = setvar.get("action", "Set")
    if action == "Set":
        return value
    if action == "Add":
        return score + value
    if action == "Subtract":
        return score - value
    raise Unsupported(worded("the action {action}", action=action))
