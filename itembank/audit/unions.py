"""Classes of one letter that a text joins with "and" though no integer lies in all of them.

A solution set that is a union is told with "or": no integer is both 0 modulo 3 and 5 modulo 9.
Conditions that hold together have an integer in common, so "x ≡ a (mod 9) and x ≡ b (mod 13)
together give" passes; and what a sentence calls a contradiction may be one.
"""

import re
import unicodedata
from collections.abc import Iterator
from itertools import pairwise
from math import gcd, prod

from itembank.audit.phrases import Unions
from itembank.audit.prose import text_of
from itembank.audit.said import Said
from itembank.audit.seen import SeenItem
from itembank.audit.unsupported import Unsupported
from itembank.second_way.system import System
from itembank.second_way.table import Question, solutions

_LONGEST = 40
"""Characters of a number; longer ones are passed over."""

_RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹]+")

_INTEGER = rf"[-−]? ?\d{{1,{_LONGEST}}}"
_POWER = rf"\d{{1,{_LONGEST}}}(?:\^\d{{1,2}})?"
_CLASS = (
    rf"(?P<residues>{_INTEGER}(?: ?, ?{_INTEGER})*)"
    rf" ?\(?(?:mod|modulo) (?P<modulus>{_POWER}(?: ?[·*] ?{_POWER}){{0,9}})\)?"
)
_FIRST = re.compile(rf"(?<![\w^)])(?<![-−+*·/=≡(] )(?P<letter>[a-z]) ?[≡=] ?{_CLASS}")
"""A class with its letter, which stands alone on its side."""

_Told = tuple[str, frozenset[int], int]
"""The words of a class or of several under one modulus, the residues, and the modulus."""


def joined_unions(item: SeenItem, question: Question, unions: Unions) -> list[str]:
    """A line for each place of the item where a union is told as if all of it held at once."""
    found = [
        f"{place}: expected “{unions.expected}” between classes that share no integer, "
        f"got “{words}”"
        for place, text in _texts(item, question)
        for words in together(text, unions)
    ]
    if found and isinstance(question, System) and solutions(question) == ():
        return []  # that its conditions contradict each other is what is taught
    return found


def _texts(item: SeenItem, question: Question) -> Iterator[tuple[str, str]]:
    """What is read of an item, by its place; the conditions of a system are its question."""
    if not isinstance(question, System):
        yield "stem", text_of(item.stem)
    for option in (*item.options, *item.sources):
        yield f"option {option.identifier}", option.label
    for n, stage in enumerate(item.stages, 1):
        yield f"stage {n}", text_of(stage.prompt)
        for option in stage.options:
            yield f"stage {n}, option {option.identifier}", option.label
    for name, told in item.feedback.items():
        try:
            yield f"feedback {name}", told.text()
        except Unsupported:
            continue


def together(text: str, unions: Unions) -> Iterator[str]:
    """The words of each conjunction of classes that no integer satisfies."""
    if text.count("mod") < 2:
        return
    plain = _RAISED.sub(lambda m: "^" + unicodedata.normalize("NFKC", m[0]), text)
    at = 0
    while match := _FIRST.search(plain, at):
        said, at = _chain(plain, match, unions.link)
        if not unions.opposed.search(_sentence(plain, match.start(), at)):
            yield from _contradictions(said, unions.conjunction)


def _chain(text: str, first: re.Match[str], links: Said) -> tuple[list[tuple[str, _Told]], int]:
    """The classes that follow one another, each with the link before it; and where they end."""
    again = re.compile(rf"(?:{first['letter']} ?[≡=] ?)?{_CLASS}")
    said, at = [("", _told(first))], first.end()
    while (link := links.match(text, at)) and (match := again.match(text, link.end())):
        said.append((link[0].strip(" ,"), _told(match)))
        at = match.end()
    return said, at


def _told(match: re.Match[str]) -> _Told:
    factors = re.findall(r"(\d+)(?:\^(\d+))?", match["modulus"])
    modulus = prod(int(base) ** int(power or 1) for base, power in factors)
    residues = re.sub(r"[−]", "-", match["residues"]).replace(" ", "").split(",")
    return match[0], frozenset(map(int, residues)), modulus


def _contradictions(said: list[tuple[str, _Told]], conjunction: str) -> Iterator[str]:
    """Two classes told as one condition and the next, without an integer in both.

    A comma stands for the word at the end of its list, and without one for the conjunction ("and").
    """
    words = [link for link, _named in said if link]
    for (_, first), (link, second) in pairwise(said):
        if (link or (words[-1] if words else conjunction)) == conjunction and not _meet(
            first, second
        ):
            yield f"{first[0]} {link or ','} {second[0]}".replace(" ,", ",")


def _meet(first: _Told, second: _Told) -> bool:
    """Whether an integer lies in a class of each."""
    (_, rs, m), (_, ss, n) = first, second
    g = gcd(m, n)
    return g == 0 or bool({r % g for r in rs} & {s % g for s in ss})


def _sentence(text: str, start: int, end: int) -> str:
    """The sentence around a part of a text."""
    begin = max(text.rfind(". ", 0, start), text.rfind("\n", 0, start)) + 1
    after = re.search(r"[.;]\s|\.$|\n", text[end:])
    return text[begin : end + (after.start() if after else len(text))]
