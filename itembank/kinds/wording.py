"""Phrases and arrangements that the worked solutions of several kinds share.

Every text here is written in the unknown x; `in_letter` puts another letter in its place.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from itembank.kinds.base import Step
from itembank.languages import Told
from itembank.languages.words import _, ngettext
from itembank.maths.primes import Factors
from itembank.notation import plain
from itembank.notation.building import plain_polynomial
from itembank.notation.prose import paragraph
from itembank.notation.reading import formula
from itembank.notation.tree import Block, Display, Letter, Number, Relation
from itembank.values.answer import Class

FITS_ON_THE_BOARD = 10**9
"""Numbers up to here are written out; larger ones are given by their residues."""

IN_A_SENTENCE = 10**40
"""Solutions up to here are listed in a sentence; larger ones stand on lines of their own."""

WRITTEN_OUT = 24
"""At most this many solutions are written out one by one."""

Piece = str | Block
"""What a step is told in: sentences, displays, tables."""

Tellers = Mapping[type[Step], Callable[..., Iterator[Told]]]
"""How each step of a kind is told: from the step, and what else its telling needs, to blocks."""

# ------------------------------------------------------------ numbers and words


def number_word(n: int) -> str:
    """one, two, ... ten; 11, 12, ..."""
    words = (
        _("no"),
        _("one"),
        _("two"),
        _("three"),
        _("four"),
        _("five"),
        _("six"),
        _("seven"),
        _("eight"),
        _("nine"),
        _("ten"),
    )
    return words[n] if n < len(words) else str(n)


def both_or_all(n: int) -> str:
    """both; all 3: how n things are spoken of that go together."""
    return _("both") if n == 2 else _("all {n}").format(n=n)


def listing(values: Iterable[int]) -> str:
    """7, 20, 88 - to stand inside a formula."""
    return ", ".join(map(str, values))


def conjunction(phrases: Iterable[str]) -> str:
    """a; a and b; a, b and c."""
    *first, last = phrases
    if not first:
        return last
    return _("{first} and {last}").format(first=", ".join(first), last=last)


def disjunction(phrases: Iterable[str]) -> str:
    """a; a or b; a, b or c: for what does not hold together, such as disjoint classes."""
    *first, last = phrases
    if not first:
        return last
    return _("{first} or {last}").format(first=", ".join(first), last=last)


def by_modulus(classes: Iterable[Class]) -> list[tuple[int, list[int]]]:
    """The moduli of the classes, increasing, each with its residues."""
    found: dict[int, list[int]] = {}
    for r, d in classes:
        found.setdefault(d, []).append(r)
    return [(d, sorted(rs)) for d, rs in sorted(found.items())]


def one_of_classes(classes: Iterable[Class], written: Callable[[int], str] = str) -> str:
    """x ≡ 1, 2 (mod 9) or x ≡ 3 (mod 27): x lies in one of them, never in two."""
    return disjunction(f"$x ≡ {listing(rs)} (mod {written(d)})$" for d, rs in by_modulus(classes))


def counted_by_class(classes: Iterable[Class], m: str, written: Callable[[int], str] = str) -> str:
    """600/30 + 600/120: how many residues modulo m the classes hold, to stand in a formula."""
    terms = [(len(rs), f"{m}/{written(d)}") for d, rs in by_modulus(classes)]
    return " + ".join(share if n == 1 else f"{n} · {share}" for n, share in terms)


def prime_power(p: int, k: int) -> str:
    """7, or 7^2."""
    return f"{p}^{k}" if k > 1 else str(p)


def prime_powers(factors: Factors) -> str:
    """2^3 · 5, and 1 for no factor."""
    return " · ".join(prime_power(p, k) for p, k in factors) or "1"


def polynomial(f: Sequence[int], letter: str = "x") -> str:
    return plain_polynomial(f, letter)


def residue_chain(value: int, m: int) -> str:
    """63 ≡ 11, or 7 alone when 7 is its own least residue, or 11 alone for a long number."""
    if 0 <= value < m:
        return str(value)
    return f"{value} ≡ {value % m}" if fits(value) else str(value % m)


def equal_to(value: int, m: int) -> str:
    """= 63 ≡ 11, = 7, or ≡ 11 where the number itself is long: what follows a product."""
    if 0 <= value < m or fits(value):
        return f"= {residue_chain(value, m)}"
    return f"≡ {value % m}"


def fits(value: int) -> bool:
    """Whether a number that is only passed through is worth writing out."""
    return abs(value) <= FITS_ON_THE_BOARD**2


def multiple_of(value: int, m: int) -> str:
    """117 = 117, 585 = 5 · 117, 0: how a multiple of m is shown to be one."""
    q = value // m
    return f"{value}" if q in (0, 1) else f"{value} = {q} · {m}"


# ------------------------------------------------------------ solutions in a list


def each_on_a_line(residues: Sequence[int]) -> bool:
    """Whether a list of residues is too long for a sentence."""
    return max(residues) > IN_A_SENTENCE


def counted(n: int) -> str:
    """four solutions."""
    return ngettext("{n} solution", "{n} solutions", n).format(n=number_word(n))


def on_lines_below(n: int, modulus: str) -> str:
    """What introduces `residue_lines`."""
    return ngettext(
        "Modulo ${m}$ there is one solution:", "Modulo ${m}$ there are {n} solutions:", n
    ).format(m=modulus, n=number_word(n))


def residue_lines(residues: Iterable[int]) -> Display:
    """x ≡ r, a line each."""
    return Display(tuple(Relation((Letter("x"), Number(r)), ("≡",)) for r in residues))


# ------------------------------------------------------------ arrangement


def told(steps: Iterable[Step], telling: Tellers, *context: object) -> Iterator[Told]:
    """The blocks of all steps, each told of the step and the context."""
    for step in steps:
        yield from telling[type(step)](step, *context)


def answer_paragraph(text: str) -> Block:
    """The answer as a sentence: what ends a worked solution."""
    return paragraph(text, _("Answer."))


def run_in(text: str) -> str:
    """A formula for a run-in heading, which holds plain text only."""
    return plain.math(formula(text))


def flowing(told: Iterable[Piece], lead: str = "") -> Iterator[Block]:
    """The blocks: consecutive sentences make one paragraph, the first with the heading."""
    sentences: list[str] = []
    for piece in told:
        if isinstance(piece, str):
            sentences.append(piece)
            continue
        if sentences or lead:
            yield paragraph(" ".join(sentences), lead)
        yield piece
        sentences, lead = [], ""
    if sentences or lead:
        yield paragraph(" ".join(sentences), lead)
