"""How much of what students may answer a family has feedback for."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice

from itembank.forms import form_of
from itembank.pipeline.candidates import Fits
from itembank.pipeline.selection import item_in_form
from itembank.pipeline.variants import Stream, Variant
from itembank.spec import Family
from itembank.values.errors import ItemBankError
from itembank.values.item import Item, TrueFalse
from itembank.values.worded import figure, joined, worded

LOOKED_AT = 12
"""Variants of which every form is looked at."""


@dataclass(frozen=True, kw_only=True)
class Coverage:
    """Feedback counted over items: wrong options, and wrong answers that have to be typed.

    offered: wrong options, the wrong word among them; told: those with feedback; named: those
    to which a named slip leads.  entries: items where something is typed or arranged; foreseen:
    wrong answers of these to which a named slip leads.
    """

    offered: int
    told: int
    named: int
    entries: int
    foreseen: int

    @property
    def share_told(self) -> Fraction:
        return Fraction(self.told, self.offered) if self.offered else Fraction(1)

    @property
    def share_named(self) -> Fraction:
        return Fraction(self.named, self.offered) if self.offered else Fraction(1)

    @property
    def foreseen_each(self) -> Fraction:
        return Fraction(self.foreseen, self.entries) if self.entries else Fraction(0)

    def as_json(self) -> dict[str, object]:
        return {
            "wrong_options_with_feedback": round(float(self.share_told), 4),
            "wrong_options_with_named_slip": round(float(self.share_named), 4),
            "named_wrong_answers_an_entry": round(float(self.foreseen_each), 1),
        }

    def as_text(self) -> str:
        parts = []
        if self.offered:
            parts.append(
                worded(
                    "feedback to {told} of wrong options, {named} by a named slip",
                    told=figure(f"{float(self.share_told):.0%}"),
                    named=figure(f"{float(self.share_named):.0%}"),
                )
            )
        if self.entries:
            each = figure(f"{float(self.foreseen_each):.1f}")
            parts.append(worded("{n} wrong answers named an entry", n=each))
        return joined("; ", parts) if parts else ""


def coverage(family: Family, fits: Fits) -> Coverage:
    """Over the first variants in every form that takes them."""
    variants = islice(Stream(family, "coverage", fits), LOOKED_AT)
    return counted(
        item
        for v in variants
        for form in family.forms
        if isinstance(item := composed(v, form), Item)
    )


def composed(variant: Variant, form: str) -> Item | str:
    """The item; why there is none, where the form does not take the variant."""
    try:
        return item_in_form(variant, form)
    except ItemBankError as e:
        return str(e)


def counted(items: Iterable[Item]) -> Coverage:
    """What is counted of single items, added up."""
    offered = told = named = entries = foreseen = 0
    for item in items:
        answered = {f.response[0] for f in item.feedback if len(f.response) == 1 and f.slips}
        if isinstance(item.response, TrueFalse):
            wrong = [("false" if item.response.truth else "true", bool(answered))]
        else:
            options = form_of(item.response).options(item.response)
            wrong = [(o.identifier, bool(o.slips)) for o in options if not o.correct]
        if wrong:
            offered += len(wrong)
            named += sum(by_slip for _name, by_slip in wrong)
            told += sum(bool(item.otherwise) or name in answered for name, _by_slip in wrong)
        else:
            entries += 1
            foreseen += len(item.feedback)
    return Coverage(offered=offered, told=told, named=named, entries=entries, foreseen=foreseen)
