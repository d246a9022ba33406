"""What people type, read: words, LaTeX, several congruences in one line.

    typed       [words] congruences | a question in words (`phrases`) | an expression mod m
    congruences congruence, then `;` `,` `and` or a new line, congruence, ...
    congruence  side = side mod m | side mod m = side

Nothing is computed here but what a fraction stands for. What comes out are the plain statements
of the kinds (`statement.problem_from`), which is what a solution prints and what reads back.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from itembank.kinds.asked.tokens import RELATIONS, Token, tokens
from itembank.kinds.base import Problem
from itembank.kinds.statement import problem_from
from itembank.languages import Said, say
from itembank.notation.building import number
from itembank.values.errors import StatementError
from itembank.values.worded import worded

if TYPE_CHECKING:
    from itembank.kinds.asked.fractions import Fraction

_AS_IT_IS = re.compile(r"\s*(?:isbn|iban|lift|claim)\b", re.IGNORECASE)
"""Statements of a form of their own, in which `?` and commas mean something else."""

_SAME_SIGNS = str.maketrans(
    dict.fromkeys("−–—", "-")
    | dict.fromkeys("×·⋅∙", "*")
    | dict.fromkeys('“”„"`', " ")
    | {"÷": "/", "√": "sqrt", "’": "'", "%": " mod "}
)
"""Other signs for the same."""

_SAME_WORDS = (
    (("congruent", "equal"), r"(?i)\b(?:is|are) (?:congruent|equal) to\b|\bequals\b", "="),
    (("congruent", "equal"), r"(?i)\b(?:congruent|equal) to\b", "="),
    (("modul", "mod."), r"(?i)\bwith (?:the )?modulus\b|\bmodul(?:o|us)\b|\bmod\.", "mod"),
    (("z",), r"(?i)\bin Z ?[_/] ?\(?(\d+)\)?Z?", r"mod \1"),
    (("Mod", "MOD"), r"\bMod\b|\bMOD\b", "mod"),
)
"""Other words for the same, with what stands in each: only where it does is a pattern compiled."""

_VERBS = frozenset(
    [
        "solve",
        "find",
        "compute",
        "calculate",
        "determine",
        "evaluate",
        "give",
        "show",
        "list",
        "state",
        "please",
        "me",
        "us",
        "the",
        "all",
        "every",
        "any",
        "work",
        "out",
        "simplify",
        "reduce",
    ]
)
"""What a question may begin with, and what is asked without it just the same."""

_ARTICLES = frozenset({"a", "an"})

_FILLERS = frozenset(
    [
        "solution",
        "solutions",
        "of",
        "to",
        "in",
        "for",
        "integer",
        "integers",
        "system",
        "systems",
        "congruence",
        "congruences",
        "equation",
        "equations",
        "linear",
        "quadratic",
        "cubic",
        "polynomial",
        "simultaneous",
        "following",
        "diophantine",
        "pair",
        "set",
        "integral",
        "whole",
        "over",
        "by",
        "using",
    ]
)
"""What a congruence may begin with."""

_SEPARATORS = frozenset({";", ",", "and", "&"})


@dataclass(frozen=True)
class Asked:
    """A problem, what is asked of it, and what has to be said before its working.

    `in_words` if the words say what is asked; else it is what the kind is for.
    """

    problem: Problem
    ask: str
    notes: tuple[Said, ...] = ()
    in_words: bool = False


@dataclass(frozen=True)
class _Question:
    """What is typed, as plain statements; `ask` is "" where the statements say it."""

    lines: tuple[str, ...]
    ask: str = ""
    fractions: "tuple[Fraction, ...]" = ()
    negative: tuple[int, ...] = field(default=())


def asked(typed: Sequence[str]) -> Asked:
    """The problem that somebody types; StatementError, with what would work, for what is none.

    >>> asked([r"Solve $x^{2} \\equiv 2 \\pmod{7}$."]).problem.statement
    ('x^2 = 2 mod 7',)
    >>> asked(["x = 3 mod 7, x = 2 mod 5"]).problem.kind
    'system'
    """
    text = "; ".join(line.strip() for line in typed)
    if _AS_IT_IS.match(text):
        return _of(problem_from(list(typed)), _Question(tuple(typed)))
    try:
        question = _question_of(text)
        return _of(_problem_of(question), question)
    except StatementError as reason:
        from itembank.kinds.asked.refusals import instead_of

        raise instead_of(reason, " ".join(text.split())) from None


def _of(problem: Problem, question: _Question) -> Asked:
    asks = problem.signature.asks
    ask = question.ask if question.ask in asks else asks[0]
    notes = [fraction.told for fraction in question.fractions]
    notes += [
        say(
            "Modulo ${typed}$ means modulo ${m}$: both have the same multiples, so congruences "
            "modulo one hold modulo the other.",
            typed=number(m),
            m=-m,
        )
        for m in question.negative
    ]
    return Asked(problem, ask, tuple(notes), in_words=ask == question.ask)


_COUNTED = frozenset({"linear", "polynomial", "power_root"})
"""The kinds whose solutions are counted by a kind of its own."""


def _problem_of(question: _Question) -> Problem:
    problem = problem_from(question.lines)
    if question.ask == "how many" and problem.kind in _COUNTED:
        return problem_from([f"number of solutions of {question.lines[0]}"])
    return problem


# ------------------------------------------------------------ words


def _question_of(text: str) -> _Question:
    """The plain statements of what is typed."""
    text = _normalised(text)
    if _phrase_may_fit(text):
        from itembank.kinds.asked import phrases

        text = _without_verbs(text)
        found = phrases.fitted(text)
        if found is not None:
            phrase, slots = found
            if phrase.statement == "{c}":
                return _congruences(slots["c"], phrase.ask)
            return _Question((phrase.statement.format(**dict(_filled(slots))),))
    return _congruences(text)


_LATEX = frozenset("\\${}")
"""What shows that a text is LaTeX."""


def _normalised(text: str) -> str:
    """The text without LaTeX, with one sign for each thing and nothing after its end."""
    if not _LATEX.isdisjoint(text):
        from itembank.kinds.asked import latex

        text = latex.plainly(text)
    text = _with_usual_words(text.translate(_SAME_SIGNS))
    text = "; ".join(filter(None, (_ended(line) for line in text.splitlines())))
    text = " ".join(text.split())
    if _bare(text):
        text = re.sub(_BARE_MODULUS, r" mod \1", text)
    text = _ASKED_FOR.sub("", text)
    text = _unbracketed_modulus(_ended(_with_remainders(text)))
    return f"({_within(text)})" if text.startswith("((") else text


def _with_usual_words(text: str) -> str:
    small = text.casefold()
    for marks, pattern, usual in _SAME_WORDS:
        if any(mark in text or mark in small for mark in marks):
            text = re.sub(pattern, usual, text)
    return text


_BARE_MODULUS = r"(?<=[0-9A-Za-z)]) \((\d+)\)(?= ?(?:[.,;]|and\b|$))"
"""A modulus in brackets and no more: x ≡ 2 (7)."""

_ASKED_FOR = re.compile(r" ?[,;] ?[A-Za-z] ?[=≡][ ?]*$")
"""What is left to fill in: x = ?"""

_LEAVES = r"(?i)\bleaves? (?:a |the )?remainder\b"

_A_NUMBER = (
    r"(?i)\b(?:what|which|an?|the)(?: \w+)? (?:number|integer)(?: that| which)?(?= leaves?\b)"
)
"""What leaves a remainder, where it has no name."""

_REMAINDER = (
    r"(?i)((?:(?:\band|[,;]) )*)\b(leaves? )?(?:(?:a |the )?remainder (?:of )?)?(\d+) "
    r"(?:when|if|on|upon) (?:it is |being )?(?:divided|division) by (\d+)"
)


def _bare(text: str) -> bool:
    """Whether a modulus can be a number in brackets: no other is named."""
    return _is_related(text) and not _has_modulus(text)


def _with_remainders(text: str) -> str:
    """Congruences for "x leaves remainder 2 when divided by 3 and remainder 3 when ..."."""
    if "leave" not in text.casefold() or re.search(_LEAVES, text) is None:
        return text
    return re.sub(_REMAINDER, _congruent, re.sub(_A_NUMBER, "x", text))


def _congruent(found: re.Match[str]) -> str:
    joint, leaves, remainder, divisor = found.groups(default="")
    return f"{joint}{'= ' if leaves and not joint else ''}{remainder} mod {divisor}"


def _ended(text: str) -> str:
    """The text without the punctuation that ends it."""
    return text.strip().rstrip(".,;:? ")


def _phrase_may_fit(text: str) -> bool:
    """Whether words stand there, or the signs of a phrase that has none."""
    return any(token.is_word and token.text != "mod" for token in tokens(text)) or "1/" in text


def _without_verbs(text: str) -> str:
    """The text after Solve, Find all, What is the, ..."""
    row = tokens(text)
    i = 0
    while i < len(row):
        word, after = row[i].text.lower(), row[i + 1].text.lower() if i + 1 < len(row) else ""
        if word in {"what", "what's", "whats"}:
            i += 1 + (after in {"is", "are"})
        elif word in _VERBS or (word in _ARTICLES and row[i + 1 : i + 2] and row[i + 1].is_word):
            i += 1
        else:
            break
    return text[row[i].start :] if i < len(row) else text


def _filled(slots: dict[str, str]) -> Iterator[tuple[str, str]]:
    """What a plain statement says for each slot."""
    for slot, text in slots.items():
        if slot == "digits":
            from itembank.kinds.asked.phrases import NUMBER_WORDS

            n = NUMBER_WORDS.get(text.lower()) or int(text)
            if not 1 <= n <= _MOST_DIGITS:
                raise StatementError(
                    worded(
                        "last {text} digits: expected 1 to {most_digits} of them, got {n}",
                        text=text,
                        most_digits=_MOST_DIGITS,
                        n=n,
                    )
                )
            yield slot, str(10**n)
        elif slot == "list":
            yield slot, ", ".join(_listed(text))
        else:
            yield slot, _within(text)


_MOST_DIGITS = 40
"""How many last digits may be asked for."""


def _listed(text: str) -> Iterator[str]:
    """The numbers of `(12, 30)`, `12 and 30`, `12 30`."""
    text = _within(text)
    found: list[str] = []
    start, depth = 0, 0
    row = tokens(text)
    for before, token in zip((None, *row), row, strict=False):
        depth += (token.text == "(") - (token.text == ")")
        follows = before is not None and before.text.isdecimal() and token.text.isdecimal()
        if depth == 0 and (token.text in {",", "and", "&"} or follows):
            found.append(text[start : token.start])
            start = token.start if follows else token.end
    found.append(text[start:])
    return (number.strip() for number in found if number.strip())


def _within(text: str) -> str:
    """The inside of brackets round the whole text.

    >>> _within("(2 + 3)"), _within("(2)(3)")
    ('2 + 3', '(2)(3)')
    """
    text = text.strip()
    if not text.startswith("("):
        return text
    depth = 0
    for i, sign in enumerate(text):
        depth += (sign == "(") - (sign == ")")
        if depth == 0:
            return _within(text[1:-1]) if i == len(text) - 1 else text
    return text


# ------------------------------------------------------------ congruences


_MAY_HOLD_A_FRACTION = re.compile(r"/|\^ ?\(? ?-|⁻")

_OR = re.compile(r"[=≡].*\bor\b.*[=≡]", re.IGNORECASE)


def _congruences(text: str, ask: str = "") -> _Question:
    """The congruences of a text, a line each, with whole coefficients and moduli above 0."""
    if _OR.search(text):
        raise StatementError(
            worded(
                "{text}: expected congruences that all hold, found 'or'; solve each by itself",
                text=repr(text),
            )
        )
    lines = [line.strip() for line in _with_moduli(_parted(_without_fillers(text)))]
    fractions: list[Fraction] = []
    negative: list[int] = []
    found: list[str] = []
    for line in lines:
        if any(sign in line for sign in "=≡"):
            line, m = _positive_modulus(line)
            negative += [m] if m else []
            if _MAY_HOLD_A_FRACTION.search(line):
                from itembank.kinds.asked.fractions import whole

                line, new = whole(line)
                fractions += new
        found.append(line)
    return _Question(
        tuple(found), ask, tuple(dict.fromkeys(fractions)), tuple(dict.fromkeys(negative))
    )


def _without_fillers(text: str) -> str:
    """The congruences after "the system of congruences", and the like."""
    row = tokens(text)
    if not any(token.text in RELATIONS for token in row):
        return text
    i = 0
    while i < len(row) and (row[i].text.lower() in _FILLERS | _VERBS or row[i].text == ":"):
        i += 1
    return text[row[i].start :] if i < len(row) else text


def _parted(text: str) -> list[str]:
    """The congruences that stand in one text.

    A semicolon always parts; a comma or "and" where a congruence stands on either side, or
    where the next part is one residue more: x = 2 mod 3, 3 mod 5.
    """
    found: list[str] = []
    start = 0
    cuts = _separators(text)
    ends = [*(cut.start for cut in cuts[1:]), len(text)]
    for cut, end in zip(cuts, ends, strict=False):
        before, following = text[start : cut.start], text[cut.end : end]
        if cut.text == ";" or not following.strip() or _parts(before, following, found):
            found.append(before)
            start = cut.end
    found.append(text[start:])
    lines = (_LEADING.sub("", line).strip(" ,") for line in found)
    return _completed([line for line in lines if line])


_LEADING = re.compile(r"^[ ,]*(?:and\b|&)", re.IGNORECASE)


def _separators(text: str) -> list[Token]:
    """What may part congruences: outside brackets."""
    found, depth = [], 0
    for token in tokens(text):
        depth += (token.text in "([") - (token.text in ")]")
        if depth == 0 and token.text.lower() in _SEPARATORS:
            found.append(token)
    return found


def _parts(before: str, after: str, earlier: list[str]) -> bool:
    """Whether a comma or "and" between the two parts congruences."""
    more = _has_modulus(before) and _has_modulus(after) and any(map(_is_related, earlier))
    return more or (_is_related(before) and (_is_related(after) or _has_modulus(after)))


def _completed(lines: list[str]) -> list[str]:
    """The lines, with the left side of the line before where one has a residue alone."""
    found: list[str] = []
    for line in lines:
        if found and _has_modulus(line) and not _is_related(line) and _is_related(found[-1]):
            line = f"{re.split('[=≡]', found[-1])[0].strip()} = {line}"
        found.append(line)
    return found


def _is_related(text: str) -> bool:
    return any(sign in text for sign in RELATIONS)


_MODULUS = re.compile(r"\bmod\b|(?<=[0-9])mod\b|mod(?=[0-9])")


def _has_modulus(text: str) -> bool:
    return _MODULUS.search(text) is not None


_SWAPPED = re.compile(
    r"(?P<left>[^=≡<>]+?),? ?\bmod (?P<modulus>[^=≡<>]+?) ?(?:==|=|≡) ?(?P<right>[^=≡<>]+)"
)


def _with_moduli(lines: list[str]) -> Iterator[str]:
    """The lines, each with a modulus: that of the last one holds for those before it.

    x mod 7 = 3 is x = 3 mod 7.
    """
    lines = [_swapped(line) for line in lines]
    last = _MODULUS.split(lines[-1], maxsplit=1) if lines and len(lines) > 1 else []
    for line in lines:
        alone = len(last) == 2 and not _has_modulus(line) and "<" not in line
        yield f"{line} mod {last[1].strip()}" if alone and _is_related(line) else line


def _swapped(line: str) -> str:
    match = _SWAPPED.fullmatch(line)
    if match is None or _has_modulus(match["right"]):
        return line
    return f"{match['left'].strip()} = {match['right']} mod {match['modulus'].strip()}"


_NEGATIVE = re.compile(r"(?P<before>.*\bmod) ?\(?- ?(?P<m>[0-9]{1,400})\)?")


def _positive_modulus(line: str) -> tuple[str, int]:
    """The congruence modulo |m|, and the negative m that was typed; 0 where none was."""
    match = _NEGATIVE.fullmatch(line)
    if match is None or int(match["m"]) == 0:
        return line, 0
    return f"{match['before']} {match['m']}", -int(match["m"])


def _unbracketed_modulus(text: str) -> str:
    """The text with `mod m` for `(mod m)` and `, mod m`."""
    row = tokens(text)
    found, start, i = "", 0, 0
    while i < len(row):
        opens = row[i].text in "([" and row[i + 1 : i + 2] and row[i + 1].text.lower() == "mod"
        closing = _closing_bracket(row, i) if opens else None
        if closing is not None:
            found += text[start : row[i].start].rstrip(" ,") + " "
            found += text[row[i + 1].start : row[closing].start].rstrip()
            start, i = row[closing].end, closing
        i += 1
    return re.sub(r" ?, ?mod\b", " mod", found + text[start:])


def _closing_bracket(row: Sequence[Token], i: int) -> int | None:
    depth = 0
    for j in range(i, len(row)):
        depth += (row[j].text in "([") - (row[j].text in ")]")
        if depth == 0:
            return j
    return None
