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

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from lxml import etree

from itembank.audit.budget import CONDITIONS, Work
from itembank.audit.seen import Grade, Response
from itembank.audit.unsupported import Unsupported
from itembank.audit.variables import decimal
from itembank.audit.xml import Element, children, elements, local_name, one
from itembank.values.worded import worded

KNOWN = frozenset([
    "resprocessing", "outcomes", "decvar", "respcondition", "conditionvar", "setvar",
    "displayfeedback", "varequal", "and", "or", "not", "other",
])  # fmt: skip


@dataclass(frozen=True)
class Conditions:
    """The respconditions of one item; `typed` if the response is a text."""

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
            if local_name(element) not in KNOWN:
                raise Unsupported(
                    worded("the element {found} of resprocessing", found=local_name(element))
                )

    def grade(self, given: Response) -> Grade:
        """The SCORE and the feedback after this response."""
        score, low, high = self.variable()
        shown: set[str] = set()
        for condition in self.conditions():
            if not self.holds(condition_of(condition), given):
                continue
            for child in elements(condition):
                if local_name(child) == "setvar":
                    score = changed(score, child)
                elif local_name(child) == "displayfeedback":
                    shown.add(child.get("linkrefid", ""))
            if condition.get("continue", "No") != "Yes":
                break
        if low is not None:
            score = max(score, low)
        if high is not None:
            score = min(score, high)
        return Grade(score, frozenset(shown))

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

    def holds(self, element: Element, given: Response) -> bool:
        name = local_name(element)
        inside = elements(element)
        self.work.spend()
        if name == "varequal":
            return self.equals(element, given)
        if name == "other":
            return True
        if name == "not":
            return not self.holds(one(element), given)
        if name == "or" or (name == "conditionvar" and self.alternatives(inside)):
            return any(self.holds(e, given) for e in inside)
        return all(self.holds(e, given) for e in inside)

    def alternatives(self, inside: list[Element]) -> bool:
        return self.typed and all(local_name(e) == "varequal" for e in inside)

    def equals(self, element: Element, given: Response) -> bool:
        if element.get("respident") != self.response:
            raise Unsupported(worded("a condition on another response"))
        wanted = element.text or ""
        if element.get("case", "No") == "Yes":
            return wanted in given
        return wanted.casefold() in [g.casefold() for g in given]

    # ---------------------------------------------------------- what it compares with

    def declared(self) -> Response:
        """What the right condition names: its varequal outside `not`; of a text, the first.

        Of a text each accepted spelling may have a condition of its own.
        """
        found = [named(c) for c in self.conditions() if any(local_name(e) == "setvar" for e in c)]
        if not found or (len(found) > 1 and not self.typed):
            raise Unsupported(worded("{n} conditions that set SCORE, one is read", n=len(found)))
        return found[0][:1] if self.typed else found[0]

    def probes(self) -> Iterator[Response]:
        for condition in self.conditions():
            values = named(condition)
            if self.typed:
                yield from ((v,) for v in values)
            elif values:
                yield values


def condition_of(condition: Element) -> Element:
    for child in elements(condition):
        if local_name(child) == "conditionvar":
            return child
    raise Unsupported(worded("a respcondition without conditionvar"))


def named(condition: Element) -> Response:
    """The values of varequal that must hold."""
    return tuple(
        e.text or ""
        for e in condition.iter("{*}varequal")
        if not any(local_name(a) == "not" for a in e.iterancestors())
    )


def changed(score: Fraction, setvar: Element) -> Fraction:
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
