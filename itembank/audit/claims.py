"""What an option or a typed answer claims, read from its text.

`{7, 20, 88, 101}`, `7`, `x ≡ 7, 20 (mod 117)`, "no solutions", "True": the
residues modulo m that it names, or whether there is a solution.
"""

import re
from functools import cache

from itembank.audit.budget import CHARACTERS
from itembank.audit.phrases import Answers
from itembank.audit.unsupported import Unsupported
from itembank.values.worded import worded


@cache
def _listed(joint: str) -> re.Pattern[str]:
    """A list of integers, with the words of a language between them."""
    integer = r"[-−]? ?\d+"
    return re.compile(
        rf"(?:[a-z] ?(?:≡|=) ?)?(\{{?) ?({integer}(?: ?(?:,|;| (?:{joint}) ) ?{integer})*) ?(\}}?)"
        r"(?: ?\(mod (\d+)\))?"
    )


def residues(label: str, m: int, answer: Answers) -> tuple[int, ...]:
    """The integers that a label lists, as written and in its order; () for no solution.

    With (mod d) for a divisor d of m, the residues modulo m of those classes.
    """
    text = " ".join(label.replace("\u00a0", " ").split())
    if len(text) > CHARACTERS:
        raise Unsupported(
            worded(
                "an option of {n} characters, {characters} are read",
                n=len(text),
                characters=CHARACTERS,
            )
        )
    if text.lower().rstrip(".") in answer.none:
        return ()
    match = _listed(answer.joint).fullmatch(text)
    if not match or bool(match[1]) != bool(match[3]):
        raise Unsupported(worded("the option '{text}'", text=text[:60]))
    found = _integers(match[2])
    if match[4] is None:
        return found
    d = int(match[4])
    if d < 1 or m % d or m // d > 1_000:
        raise Unsupported(worded("the option '{text}' under the modulus {m}", text=text[:60], m=m))
    return tuple(sorted(x for r in found for x in range(r % d, m, d)))


def value(label: str, answer: Answers) -> int | None:
    """The one integer that a label is; None for words that there is none."""
    text = " ".join(label.replace("\u00a0", " ").split())
    if text.lower().rstrip(".") in answer.none:
        return None
    if not re.fullmatch(r"[-−]? ?\d{1,4000}", text):
        raise Unsupported(worded("the option '{text}'", text=text[:60]))
    return _integers(text)[0]


_PAIRS = re.compile(
    r"\{ ?(\( ?\d{1,2000} ?, ?\d{1,2000} ?\)(?: ?, ?\( ?\d{1,2000} ?, ?\d{1,2000} ?\))*) ?\}"
)


def pairs(label: str, answer: Answers) -> tuple[tuple[int, int], ...]:
    """The pairs that a label lists, in its order; () for no solution."""
    text = " ".join(label.replace("\u00a0", " ").split())
    if text.lower().rstrip(".") in answer.none:
        return ()
    match = _PAIRS.fullmatch(text[:CHARACTERS])
    if not match:
        raise Unsupported(worded("the option '{text}'", text=text[:60]))
    numbers = _integers(match[1])
    return tuple(zip(numbers[::2], numbers[1::2], strict=True))


def _integers(text: str) -> tuple[int, ...]:
    """The integers of a list; a minus sign may be U+2212 and stand apart."""
    found = re.findall(r"[-−]? ?\d+", text)
    return tuple(int(n.replace("−", "-").replace(" ", "")) for n in found)


def solvable(label: str, answer: Answers) -> bool:
    """Whether a label says that there is a solution."""
    text = " ".join(label.split())
    yes, no = answer.yes.match(text), answer.no.match(text)
    if bool(yes) == bool(no):
        raise Unsupported(worded("the option '{text}'", text=text[:60]))
    return bool(yes)


def prints_pairs(text: str, key: tuple[tuple[int, int], ...]) -> bool:
    """Whether a text shows every one of these pairs."""
    return all(re.search(rf"\( ?{x} ?, ?{y} ?\)", text) for x, y in key)


def prints(text: str, key: tuple[int, ...], answer: Answers) -> bool:
    """Whether a text lists exactly these residues, or gives the only one as the solution."""
    if any(str(n) not in text for n in key):
        return False
    if len(key) == 1:
        n = key[0]
        return bool(re.search(rf"\{{ ?{n} ?\}}|{answer.given_away.replace('<KEY>', str(n))}", text))
    separator = rf"\s*(?:,|;|,? (?:{answer.joint}))\s*"
    listed = separator.join(rf"{n}" for n in key)
    edges = rf"(?<![\d^])(?<!\d[,;] )(?<!\d,){listed}(?!\d)(?!{separator}\d)"
    return len(key) > 1 and bool(re.search(edges, text))
