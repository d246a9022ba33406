"""What an option or a typed answer claims, read from its text.

`{7, 20, 88, 101}`, `7`, `x ≡ 7, 20 (mod 117)`, "no solutions", "True": the
residues modulo m that it names, or whether there is a solution.
"""

import re

from itembank.audit.unsupported import Unsupported

LONGEST = 4_000
"""Characters of an option."""

NO_SOLUTION = frozenset(
    [
        "no solutions",
        "no solution",
        "none",
        "there is no solution",
        "∅",
        "{}",
        "{ }",
        "no inverse exists",
        "no index exists",
        "no order exists",
        "no such power exists",
        "no primitive root",
        "no primitive roots",
        "no residue",
        "no such residue",
        "no units",
        "no zero divisors",
        "no pairs",
        "no number",
        "no value",
        "no digit fits",
    ]
)
"""How a label says that there is none of what is asked for, whatever that is."""

YES = re.compile(r"(yes|true)\b|there is (at least )?(a|one) solution|solvable", re.I)
NO = re.compile(r"(no|false)\b|there is no solution|not solvable", re.I)

LISTED = re.compile(
    r"(?:[a-z] ?(?:≡|=) ?)?(\{?) ?([-−]? ?\d+(?: ?(?:,|;| and | or ) ?[-−]? ?\d+)*) ?(\}?)"
    r"(?: ?\(mod (\d+)\))?"
)


def residues(label: str, m: int) -> tuple[int, ...]:
    """The integers that a label lists, as written and in its order; () for no solution.

    With (mod d) for a divisor d of m, the residues modulo m of those classes.
    """
    text = " ".join(label.replace("\u00a0", " ").split())
    if len(text) > LONGEST:
        raise Unsupported(f"an option of {len(text)} characters, {LONGEST} are read")
    if text.lower().rstrip(".") in NO_SOLUTION:
        return ()
    match = LISTED.fullmatch(text)
    if not match or bool(match[1]) != bool(match[3]):
        raise Unsupported(f"the option '{text[:60]}'")
    found = integers(match[2])
    if match[4] is None:
        return found
    d = int(match[4])
    if d < 1 or m % d or m // d > 1_000:
        raise Unsupported(f"the option '{text[:60]}' under the modulus {m}")
    return tuple(sorted(x for r in found for x in range(r % d, m, d)))


def value(label: str) -> int | None:
    """The one integer that a label is; None for words that there is none."""
    text = " ".join(label.replace("\u00a0", " ").split())
    if text.lower().rstrip(".") in NO_SOLUTION:
        return None
    if not re.fullmatch(r"[-−]? ?\d{1,4000}", text):
        raise Unsupported(f"the option '{text[:60]}'")
    return integers(text)[0]


PAIRS = re.compile(
    r"\{ ?(\( ?\d{1,2000} ?, ?\d{1,2000} ?\)(?: ?, ?\( ?\d{1,2000} ?, ?\d{1,2000} ?\))*) ?\}"
)


def pairs(label: str) -> tuple[tuple[int, int], ...]:
    """The pairs that a label lists, in its order; () for no solution."""
    text = " ".join(label.replace("\u00a0", " ").split())
    if text.lower().rstrip(".") in NO_SOLUTION:
        return ()
    match = PAIRS.fullmatch(text[:LONGEST])
    if not match:
        raise Unsupported(f"the option '{text[:60]}'")
    numbers = integers(match[1])
    return tuple(zip(numbers[::2], numbers[1::2], strict=True))


def integers(text: str) -> tuple[int, ...]:
    """The integers of a list; a minus sign may be U+2212 and stand apart."""
    found = re.findall(r"[-−]? ?\d+", text)
    return tuple(int(n.replace("−", "-").replace(" ", "")) for n in found)


def solvable(label: str) -> bool:
    """Whether a label says that there is a solution."""
    text = " ".join(label.split())
    yes, no = YES.match(text), NO.match(text)
    if bool(yes) == bool(no):
        raise Unsupported(f"the option '{text[:60]}'")
    return bool(yes)


def prints_pairs(text: str, key: tuple[tuple[int, int], ...]) -> bool:
    """Whether a text shows every one of these pairs."""
    return all(re.search(rf"\( ?{x} ?, ?{y} ?\)", text) for x, y in key)


def prints(text: str, key: tuple[int, ...]) -> bool:
    """Whether a text lists exactly these residues, or gives the only one as the solution."""
    if len(key) == 1:
        n = key[0]
        return bool(
            re.search(rf"\{{ ?{n} ?\}}|\b(?:solution|answer|result) (?:is|are) {n}\b", text)
        )
    separator = r"\s*(?:,|;|,? and|,? or)\s*"
    listed = separator.join(rf"{n}" for n in key)
    edges = rf"(?<![\d^])(?<!\d[,;] )(?<!\d,){listed}(?!\d)(?!{separator}\d)"
    return len(key) > 1 and bool(re.search(edges, text))
