"""What a command says to its user: an English sentence that knows how it was made.

    worded("{file}: holds no item {item}", file="quiz.zip", item="Q7")

is the English text, ready for a file, a program or a test, and keeps its template and what fills
the slots, so that whoever prints it can say it in another language (`itembank.languages.spoken`).
An error carries such a text. A template is a literal with slots that are names alone; what fills
one is a text of the same sort, an error of ours, a figure, a number, or a name that no language
changes. Of plain text made of it (with +, with join, in an f-string) the English is left alone.
"""

from collections.abc import Callable, Iterable, Mapping
from numbers import Rational
from typing import TYPE_CHECKING, Any, Protocol, cast

if TYPE_CHECKING:
    from fractions import Fraction

Slot = object


class Translator(Protocol):
    """The template in a language, for a count where it has a plural."""

    def __call__(self, template: str, plural: str, n: "int | Fraction", /) -> str: ...


class Figure(str):
    """A number as English writes it, 0.25 or 3,100 or 12%; a language has marks of its own."""


class Worded(str):
    """A text in English, with its template, the plural of it, the count, and the slots."""

    template: str
    plural: str
    n: "int | Fraction"
    slots: Mapping[str, Slot]

    def __new__(
        cls, template: str, plural: str, n: "int | Fraction", slots: Mapping[str, Slot]
    ) -> "Worded":
        kept = {name: _slot_of(value) for name, value in slots.items()}
        english = plural if plural and not 0 < n <= 1 else template
        found = super().__new__(cls, english.format(**kept))
        found.template, found.plural, found.n, found.slots = template, plural, n, kept
        return found

    def __reduce__(self) -> tuple[Any, ...]:
        return Worded, (self.template, self.plural, self.n, self.slots)

    def said(self, translated: Translator, figure: Callable[[str], str]) -> str:
        """The text in the language of a translator, its figures as that language writes them."""
        filled = {name: said(value, translated, figure) for name, value in self.slots.items()}
        return translated(self.template, self.plural, self.n).format(**filled)


def said(value: Slot, translated: Translator, figure: Callable[[str], str]) -> str:
    """A text, or what fills a slot, in the language of a translator."""
    match value:
        case Worded():
            return value.said(translated, figure)
        case Figure():
            return figure(value)
    return str(value)


def _slot_of(value: Slot) -> Slot:
    """What is kept to fill a slot: of an error what it says, of anything unknown its text."""
    if isinstance(value, BaseException):
        return wording(value)
    if isinstance(value, Rational) and not isinstance(value, int):
        from itembank.values.points import decimal

        return Figure(decimal(cast("Fraction", value)))
    return value if isinstance(value, str | int) else str(value)


def wording(error: BaseException) -> str:
    """What an error says, with its template if it carries one."""
    text = str(error)
    for argument in error.args:
        if isinstance(argument, Worded) and argument == text:
            return argument
    return text


def worded(template: str, /, **slots: Slot) -> Worded:
    """A sentence of a command.

    >>> worded("{file}: holds no item {item}", file="quiz.zip", item=7)
    'quiz.zip: holds no item 7'
    """
    return Worded(template, "", 1, slots)


def tallied(one: str, many: str, n: "int | Fraction", /, **slots: Slot) -> Worded:
    """A sentence whose words depend on a count, which fills {n} unless another value is given.

    >>> from fractions import Fraction
    >>> tallied("{n} item", "{n} items", 3), tallied("{n} point", "{n} points", Fraction(3, 2))
    ('3 items', '1.5 points')
    """
    return Worded(one, many, n, {"n": n, **slots})


def laid_out(template: str, /, **slots: Slot) -> Worded:
    """Texts with nothing but names, numbers and punctuation between them: no words to translate.

    >>> laid_out("{where}: {what}", where="quiz.yaml", what=worded("no title"))
    'quiz.yaml: no title'
    """
    return Worded(template, "", 1, slots)


def joined(joint: str, parts: Iterable[str]) -> str:
    """Texts one after another; a single one is itself.

    >>> joined("; ", ["a", "b"])
    'a; b'
    """
    slots = {f"p{i}": part for i, part in enumerate(parts)}
    if len(slots) == 1:
        return slots["p0"]
    between = joint.replace("{", "{{").replace("}", "}}")
    return Worded(between.join(f"{{{name}}}" for name in slots), "", 1, slots)


def figure(text: str) -> Figure:
    """A number with decimals, with groups of three digits, or a percentage, as English has it."""
    return Figure(text)


def one_of(words: Iterable[str]) -> str:
    """Names of which one is meant, in English with "or" before each but the first.

    >>> one_of(["easy", "medium"])
    'easy or medium'
    """
    first, *others = words
    found = first
    for word in others:
        found = worded("{several} or {last}", several=found, last=word)
    return found


def all_of(words: Iterable[str]) -> str:
    """Names that all are meant, in English with "and" before each but the first.

    >>> all_of(["integer", "prime"])
    'integer and prime'
    """
    first, *others = words
    found = first
    for word in others:
        found = worded("{several} and {last}", several=found, last=word)
    return found
