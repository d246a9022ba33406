"""What proves an ISBN by hand: the weighted sum, a multiple of 11 or of 10 exactly if it is valid.

Source: ISO 2108, the annexes on check digits.
"""

from collections.abc import Iterator

from itembank.languages import Told, grid, lead, say
from itembank.values.answer import Absent, Truth, Value


def certificate(text: str, answer: Value | Absent | Truth) -> Iterator[Told]:
    """The sum of the whole number; without a digit that fits, the remainder for each one."""
    yield lead("Check digit.")
    m = 11 if len(text) == 10 else 10
    if isinstance(answer, Absent):
        yield answer.reason
        head = (say("digit"), say("weighted sum modulo {m}", m=m))
        yield grid(head, [(d, _weighted_sum(text.replace("?", str(d))) % m) for d in range(10)])
        return
    if isinstance(answer, Value):
        text = text.replace("?", "X" if answer.value == 10 else str(answer.value))
    total = _weighted_sum(text)
    yield say(
        "The weighted sum of {text} is ${s} = {q} · {m} + {r}$.",
        text=text,
        s=total,
        q=total // m,
        m=m,
        r=total % m,
    )


def _weighted_sum(text: str) -> int:
    """With the weights 10, 9, ..., 1, or 1, 3, 1, 3, ..., 1."""
    digits = [10 if c == "X" else int(c) for c in text]
    weights = range(10, 0, -1) if len(digits) == 10 else (1, 3) * 6 + (1,)
    return sum(w * d for w, d in zip(weights, digits, strict=True))
