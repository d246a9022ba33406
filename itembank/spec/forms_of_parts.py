"""What an entry of a pool says of a family in parts: the forms of these, and what stands in."""

from collections.abc import Iterator, Sequence

from itembank.spec.family import Family
from itembank.values.worded import worded


def parts_without(family: Family, forms: Sequence[str]) -> Iterator[tuple[str, int]]:
    """The parts that have not the form said for them: what is wrong, and with which of these."""
    for i, (part, form) in enumerate(zip(family.parts, forms, strict=True)):
        if form not in part.forms:
            told = worded(
                "part ({letter}) of '{id}' has no form '{form}'; expected one of: {forms}",
                letter=part.part,
                id=family.id,
                form=form,
                forms=", ".join(part.forms),
            )
            yield told, i


def unlike(family: Family, forms: Sequence[str], other: Family) -> Iterator[str]:
    """Why a family cannot stand in for one in parts: its parts count, or are put, otherwise."""
    if not (family.parts and other.parts):
        yield worded(
            "a family in parts and one without: neither stands in for the other, '{other}' for "
            "'{family}'",
            other=other.id,
            family=family.id,
        )
        return
    if len(family.parts) != len(other.parts):
        yield worded(
            "expected a family in {n} parts, as '{family}' is; '{other}' has {other_n}",
            n=len(family.parts),
            family=family.id,
            other=other.id,
            other_n=len(other.parts),
        )
        return
    used = forms or [part.forms[0] for part in family.parts]
    for part, form, stands_in in zip(family.parts, used, other.parts, strict=True):
        if part.worth != stands_in.worth:
            yield worded(
                "expected a part ({letter}) that counts {points}, as in '{family}'; that of "
                "'{other}' counts {other_points}",
                letter=part.part,
                points=part.worth,
                family=family.id,
                other=other.id,
                other_points=stands_in.worth,
            )
        if form not in stands_in.forms:
            yield worded(
                "expected a part ({letter}) with the form '{form}', as in '{family}'; that of "
                "'{other}' has: {forms}",
                letter=part.part,
                form=form,
                family=family.id,
                other=other.id,
                forms=", ".join(stands_in.forms),
            )
