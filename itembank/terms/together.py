"""Parts of a question that were written as one item, as results tell of them.

A report of QTI tells what each part scored; a table with one score for all of them does not, and
each part is counted alone.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from itembank.terms.reports import Answered
from itembank.terms.wording import edition_of
from itembank.values.errors import ReportError
from itembank.values.item import Item
from itembank.values.parts import letter_of, name_of_all, name_of_part, whole_of
from itembank.values.worded import worded

Wholes = Mapping[str, Mapping[str, int]]
"""By the identifier, and by the title, of the one item: the numbers of its parts by letter."""


def wholes_of(items: Mapping[int, Item]) -> Wholes:
    """The items that hold all parts of a variant, of those that a release holds."""
    found: dict[tuple[str, str, int], dict[str, int]] = defaultdict(dict)
    for number, item in items.items():
        origin = item.provenance
        if letter := letter_of(origin.family):
            found[whole_of(origin.family), origin.seed, origin.index][letter] = number
    wholes: dict[str, Mapping[str, int]] = {}
    for parts in found.values():
        each = {letter: parts[letter] for letter in sorted(parts)}
        first = next(iter(each))
        wholes[name_of_all([items[n].identifier for n in each.values()])] = each
        wholes.setdefault(items[each[first]].title.removesuffix(f" ({first})"), each)
    return wholes


def names_of_parts(wholes: Wholes) -> Iterator[tuple[str, int]]:
    """What reports call each part, with its number."""
    for whole, parts in wholes.items():
        yield from ((name_of_part(whole, letter), number) for letter, number in parts.items())


def refuse_sums(answered: Iterable[Answered], wholes: Wholes) -> None:
    """ReportError for a score of all parts together."""
    for one in answered:
        name = one.item if one.item in wholes else edition_of(one.item)[0]
        if name in wholes:
            first, *_others = wholes[name]
            raise ReportError(
                worded(
                    "{where}: {item} holds the parts of a question, and this is one score of all "
                    "of them; read the reports of QTI, which tell what each part scored, or name "
                    "the parts in the table, {part} and so on, or leave it out",
                    where=one.where,
                    item=one.item,
                    part=name_of_part(one.item, first),
                )
            )
