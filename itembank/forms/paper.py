"""A question in the words of paper: "write" for "type", and no rule that the sheet tells once.

A stem is stored as a screen shows it.  What paper says otherwise are sentences of ours, each known
by its message, so they are found in the tree of the stem, in whatever language it was said, and
said again with the numbers and formulas that stood in them.  A sentence that is not found stays as
it is; an author's words are never touched.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache

from itembank.languages import Said, Speaker, counted, say
from itembank.languages.catalogue import translated
from itembank.languages.saying import Slot
from itembank.languages.speaking import Part, Place, add, shape
from itembank.notation.tree import Block, Blocks, Formula, Inline, Inlines, Paragraph, Strong
from itembank.values.item import Item

SENTENCES: tuple[tuple[Said, Said | None], ...] = (
    (
        say("Type the hour."),
        say("Write the hour."),
    ),
    (
        say("Type the number of the weekday."),
        say("Write the number of the weekday."),
    ),
    (
        say("Type the number of the block in digits."),
        say("Write the number of the block in digits."),
    ),
    (
        say("Type the number of digits."),
        say("Write the number of digits."),
    ),
    (
        say("Type the number of shuffles."),
        say("Write the number of shuffles."),
    ),
    (
        say("Type the sum in digits."),
        say("Write the sum in digits."),
    ),
    (
        say("Type the number in digits."),
        say("Write the number in digits."),
    ),
    (
        say("Type their number in digits."),
        say("Write their number in digits."),
    ),
    (
        say("Type the number in digits; if there is none, type 0."),
        say("Write the number in digits; if there is none, write 0."),
    ),
    (
        say("Type one such number from ${low}$ to ${high}$. Every right one counts."),
        say("Write one such number from ${low}$ to ${high}$. Every right one counts."),
    ),
    (
        say("Type its least residue ($0$ to ${last}$) in digits."),
        say("Write its least residue ($0$ to ${last}$) in digits."),
    ),
    (
        say("Type the least integer greater than ${n}$ that solves it."),
        say("Write the least integer greater than ${n}$ that solves it."),
    ),
    (
        say("Type the largest integer less than ${n}$ that solves it; $-3$ is typed -3."),
        say("Write the largest integer less than ${n}$ that solves it."),
    ),
    (
        say(
            "Type all integers from ${low}$ to ${high}$ that solve it, in increasing order, "
            "separated by commas, such as {example}. If there is none, type “{none}”."
        ),
        say(
            "Write all integers from ${low}$ to ${high}$ that solve it, in increasing order, "
            "separated by commas, such as {example}. If there is none, write “{none}”."
        ),
    ),
    (
        say(
            "Type all integers from ${low}$ to ${high}$ that solve it, in increasing order, "
            "separated by commas, such as {example}; $-3$ is typed -3. If there is none, type "
            "“{none}”."
        ),
        say(
            "Write all integers from ${low}$ to ${high}$ that solve it, in increasing order, "
            "separated by commas, such as {example}. If there is none, write “{none}”."
        ),
    ),
    (
        say("Type it in digits."),
        say("Write it in digits."),
    ),
    (
        say("Type it in digits; $-3$ is typed -3."),
        say("Write it in digits."),
    ),
    (
        say("Type the least integer from ${low}$ to ${high}$ that solves it."),
        say("Write the least integer from ${low}$ to ${high}$ that solves it."),
    ),
    (
        say("Type the largest integer from ${low}$ to ${high}$ that solves it."),
        say("Write the largest integer from ${low}$ to ${high}$ that solves it."),
    ),
    (
        say("Exactly one integer from ${low}$ to ${high}$ solves it. Type this integer."),
        say("Exactly one integer from ${low}$ to ${high}$ solves it. Write this integer."),
    ),
    (
        say(
            "Count the least residues ($0$ to ${last}$) that solve it. Type the number in digits; "
            "if there is no solution, type 0."
        ),
        say(
            "Count the least residues ($0$ to ${last}$) that solve it. Write the number in digits; "
            "if there is no solution, write 0."
        ),
    ),
    (
        say(
            "Type the smallest of all solutions among the least residues ($0$ to ${last}$), in "
            "digits."
        ),
        say(
            "Write the smallest of all solutions among the least residues ($0$ to ${last}$), in "
            "digits."
        ),
    ),
    (
        say(
            "Type the largest of all solutions among the least residues ($0$ to ${last}$), in "
            "digits."
        ),
        say(
            "Write the largest of all solutions among the least residues ($0$ to ${last}$), in "
            "digits."
        ),
    ),
    (
        say(
            "The solution is one residue class modulo {m}. Type any integer in it; $-3$ is typed "
            "-3."
        ),
        say("The solution is one residue class modulo {m}. Write any integer in it."),
    ),
    (
        say(
            "There is at least one. Type all of them as least residues ($0$ to ${last}$), in "
            "increasing order, separated by commas, such as {example}."
        ),
        say(
            "There is at least one. Write all of them as least residues ($0$ to ${last}$), in "
            "increasing order, separated by commas, such as {example}."
        ),
    ),
    (
        say(
            "Type all of them as least residues ($0$ to ${last}$), in increasing order, separated "
            "by commas, such as {example}. If there is none, type “{none}”."
        ),
        say(
            "Write all of them as least residues ($0$ to ${last}$), in increasing order, separated "
            "by commas, such as {example}. If there is none, write “{none}”."
        ),
    ),
    (
        say(
            "There is at least one. Type all of them in digits, one to an entry, in any order; of "
            "each type any representative modulo ${m}$; $-3$ is typed -3. There are more entries "
            "than needed: leave the others blank."
        ),
        say(
            "There is at least one. Write all of them in digits, one to a line, in any order; of "
            "each write any representative modulo ${m}$. There are more lines than needed: leave "
            "the others blank."
        ),
    ),
    (
        say(
            "Work it out in stages and fill in each. Type numbers in digits; where several are "
            "asked for, type them in increasing order, separated by commas, such as {example}."
        ),
        say(
            "Work it out in stages and fill in each. Write numbers in digits; where several are "
            "asked for, write them in increasing order, separated by commas, such as {example}."
        ),
    ),
    (
        say(
            "Work it out in stages and fill in each. Where solutions are asked for, type all of "
            "them as least residues, in increasing order, separated by commas, such as {example}; "
            "if there is none, type “{none}”."
        ),
        say(
            "Work it out in stages and fill in each. Where solutions are asked for, write all of "
            "them as least residues, in increasing order, separated by commas, such as {example}; "
            "if there is none, write “{none}”."
        ),
    ),
    (
        say(
            "Count them among the least residues. Type the number in digits; if there is none, "
            "type 0."
        ),
        say(
            "Count them among the least residues. Write the number in digits; if there is none, "
            "write 0."
        ),
    ),
    (
        say("Count them among the least residues, and type the number in digits."),
        say("Count them among the least residues, and write the number in digits."),
    ),
    (
        say("Type the two check digits as one number, without a 0 in front: 5 for 05."),
        say("Write the two check digits as one number, without a 0 in front: 5 for 05."),
    ),
    (say("Type the missing digit."), say("Write the missing digit.")),
    (
        say("Type the missing digit; if it is X, type 10."),
        say("Write the missing digit; if it is X, write 10."),
    ),
    (
        say("Type the number of pairs in digits; if there is none, type 0."),
        say("Write the number of pairs in digits; if there is none, write 0."),
    ),
    (
        say(
            "The factorial lies in one residue class modulo {m}. Type any integer in it; $-3$ is "
            "typed -3."
        ),
        say("The factorial lies in one residue class modulo {m}. Write any integer in it."),
    ),
    (
        say(
            "The inverse is one residue class modulo {m}. Type any integer in it; $-3$ is typed -3."
        ),
        say("The inverse is one residue class modulo {m}. Write any integer in it."),
    ),
    (
        say(
            "The power lies in one residue class modulo {m}. Type any integer in it; $-3$ is typed "
            "-3."
        ),
        say("The power lies in one residue class modulo {m}. Write any integer in it."),
    ),
    (
        say(
            "The value lies in one residue class modulo {m}. Type any integer in it; $-3$ is typed "
            "-3."
        ),
        say("The value lies in one residue class modulo {m}. Write any integer in it."),
    ),
    (
        say(
            "Type all of them in increasing order, separated by commas, such as {example}. If "
            "there is none, type “{none}”."
        ),
        say(
            "Write all of them in increasing order, separated by commas, such as {example}. If "
            "there is none, write “{none}”."
        ),
    ),
    (
        say("Type this residue ($0$ to ${last}$) in digits."),
        say("Write this residue ($0$ to ${last}$) in digits."),
    ),
    (say("Type the value in digits."), say("Write the value in digits.")),
    (say("Type the index in digits."), say("Write the index in digits.")),
    (say("Type the exponent in digits."), say("Write the exponent in digits.")),
    (say("Type the order in digits."), say("Write the order in digits.")),
    (
        say("Type the least residue that is one, in digits."),
        say("Write the least residue that is one, in digits."),
    ),
    (
        say(
            "Type the number of pairs of least residues that solve the congruence, in digits; if "
            "there is no solution, type 0."
        ),
        say(
            "Write the number of pairs of least residues that solve the congruence, in digits; if "
            "there is no solution, write 0."
        ),
    ),
    (
        say(
            "Count the pairs of least residues that solve both congruences. Type the number in "
            "digits; if there is no solution, type 0."
        ),
        say(
            "Count the pairs of least residues that solve both congruences. Write the number in "
            "digits; if there is no solution, write 0."
        ),
    ),
    (
        say(
            "Type the number of least residues that solve it, in digits; if there is no solution, "
            "type 0."
        ),
        say(
            "Write the number of least residues that solve it, in digits; if there is no solution, "
            "write 0."
        ),
    ),
    (say("Type its value: 1, 0 or -1."), say("Write its value: 1, 0 or -1.")),
    (
        counted(
            "Choose the right order. {n} point for the right order, otherwise 0.",
            "Choose the right order. {n} points for the right order, otherwise 0.",
            1,
        ),
        say("Choose the right order."),
    ),
    (
        counted(
            "{n} point if exactly the right options are ticked, otherwise 0.",
            "{n} points if exactly the right options are ticked, otherwise 0.",
            1,
        ),
        None,
    ),
    (
        counted(
            "{n} point for the right word, otherwise 0.",
            "{n} points for the right word, otherwise 0.",
            1,
        ),
        None,
    ),
    (
        counted(
            "{n} point for the right set, otherwise 0.",
            "{n} points for the right set, otherwise 0.",
            1,
        ),
        None,
    ),
    (
        counted(
            "{n} point for the right answer, otherwise 0.",
            "{n} points for the right answer, otherwise 0.",
            1,
        ),
        None,
    ),
    (
        counted(
            "{n} point for the right choice, otherwise 0.",
            "{n} points for the right choice, otherwise 0.",
            1,
        ),
        None,
    ),
    (
        counted(
            "{n} point for a right number, otherwise 0.",
            "{n} points for a right number, otherwise 0.",
            1,
        ),
        None,
    ),
    (
        counted(
            "{n} point for the right number, otherwise 0.",
            "{n} points for the right number, otherwise 0.",
            1,
        ),
        None,
    ),
    (
        counted(
            "{n} point for exactly the right list, otherwise 0.",
            "{n} points for exactly the right list, otherwise 0.",
            1,
        ),
        None,
    ),
    (
        counted(
            "{n} point for exactly the right set, otherwise 0.",
            "{n} points for exactly the right set, otherwise 0.",
            1,
        ),
        None,
    ),
    (
        counted(
            "{n} point for the right order, otherwise 0.",
            "{n} points for the right order, otherwise 0.",
            1,
        ),
        None,
    ),
    (
        counted(
            "{n} point if every match is right, otherwise 0.",
            "{n} points if every match is right, otherwise 0.",
            1,
        ),
        None,
    ),
)
"""What a screen says, and what paper says in its stead; None for a rule of all or nothing."""

RULE = say(
    "Unless a question says otherwise, its points are given for an answer that is right and "
    "complete, and 0 for any other."
)
"""What a sheet says once of all its questions."""


def on_paper(item: Item) -> Blocks:
    """The stem of an item as paper shows it: without the rule that RULE tells."""
    found: list[Block] = []
    for block in item.stem:
        found += _reworded(block, item.language) if isinstance(block, Paragraph) else [block]
    return tuple(found)


def _reworded(paragraph: Paragraph, language: str) -> tuple[Paragraph, ...]:
    """The paragraph in the words of paper; none where nothing of it is left."""
    content = paragraph.content
    for known in _sentences(language):
        content = known.exchanged(content)
    if not content and not paragraph.lead:
        return ()
    return (replace(paragraph, content=content),)


# ------------------------------------------------------------ a sentence found in a tree

_MARK = "\ue000"
"""Stands for a formula or for words of weight in a line: each is one sign of its own."""


@dataclass(frozen=True)
class _Sentence:
    """A sentence of a screen as it stands in a line, and what paper says in its stead.

    `says` makes it from the pieces found in the places of the sentence, by their names; `words`
    are its longest words between places, without which it is not there.
    """

    words: str
    pattern: re.Pattern[str]
    places: tuple[tuple[str, ...], ...]
    says: Callable[[dict[str, Inlines]], Inlines]

    def exchanged(self, line: Inlines) -> Inlines:
        """The line with paper's sentence for this one, if it stands in it."""
        text, marked = _flat(line)
        found = self.pattern.search(text) if self.words in text else None
        if not found:
            return line
        pieces = {
            names[0]: _lifted(text, marked, *found.span(i))
            for i, names in enumerate(self.places, 1)
            if names
        }
        before, after = text[: found.start()].rstrip(), text[found.end() :].lstrip()
        start, end = len(before), len(text) - len(after)
        result: list[Inline] = []
        parts = _lifted(text, marked, 0, start), self.says(pieces), _lifted(text, marked, end, None)
        for part in filter(None, parts):
            if result:
                add(result, " ")
            for inline in part:
                add(result, inline)
        return tuple(result)


def _flat(line: Inlines) -> tuple[str, list[Inline]]:
    """A line as text with a mark for each formula and each word of weight; and these, in order."""
    marked: list[Inline] = [inline for inline in line if not isinstance(inline, str)]
    return "".join(i if isinstance(i, str) else _MARK for i in line), marked


def _lifted(text: str, marked: list[Inline], start: int, end: int | None) -> Inlines:
    """A stretch of a line that was made flat, as inlines again."""
    at = text.count(_MARK, 0, start)
    found: list[Inline] = []
    for i, words in enumerate(text[start:end].split(_MARK)):
        if i:
            found.append(marked[at + i - 1])
        add(found, words)
    return tuple(found)


@cache
def _sentences(language: str) -> tuple[_Sentence, ...]:
    """All of SENTENCES as they stand in a language, the longer before those they may hold."""
    found = [s for typed, written in SENTENCES for s in _forms_of(typed, written, language)]
    return tuple(sorted(found, key=lambda s: -len(s.pattern.pattern)))


def _forms_of(typed: Said, written: Said | None, language: str) -> Iterator[_Sentence]:
    """A sentence in each of its forms: for one, and for several."""
    numbers = (1, 2, 5) if typed.plural else (1,)
    for template in dict.fromkeys(
        translated(language, typed.template, typed.plural, n) for n in numbers
    ):
        yield _sentence(template, written, language)


def _sentence(template: str, written: Said | None, language: str) -> _Sentence:
    words, pattern, places = "", "", []
    for piece in shape(template, ()):
        match piece:
            case Part(names=names):
                pattern += f"({_MARK})"
                places.append(names)
            case Place(name):
                pattern += f"({_MARK}|[^.]*?)"
                places.append((name,))
            case Strong():
                pattern += _MARK
            case str():
                words = max(words, piece, key=len)
                pattern += re.escape(piece)

    def says(found: dict[str, Inlines]) -> Inlines:
        if written is None:
            return ()
        slots = tuple((name, _slot_of(inlines)) for name, inlines in found.items())
        return Speaker(language).inlines(replace(written, slots=slots))

    start = r"(?<!\w)" if pattern[:1].isalnum() else ""
    return _Sentence(words, re.compile(start + pattern), tuple(places), says)


def _slot_of(found: Inlines) -> Slot:
    """What was found in a place, to fill the same place of another sentence."""
    match found:
        case (Formula(math),):
            return math
    return found
