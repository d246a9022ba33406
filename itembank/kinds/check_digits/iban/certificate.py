"""What proves an IBAN by hand: the rearranged number, which is 1 modulo 97 if it is valid.

Source: ISO 13616-1 with ISO/IEC 7064, MOD 97-10.
"""

from collections.abc import Iterator

from itembank.languages import Told, grid, lead, say
from itembank.values.answer import Absent, Truth, Value


def certificate(text: str, answer: Value | Absent | Truth) -> Iterator[Told]:
    """The number modulo 97; without a digit that fits, the remainder for each one."""
    yield lead("Check digits.")
    if isinstance(answer, Absent):
        yield answer.reason
        head = (say("digit"), say("number modulo 97"))
        yield grid(
            head, [(d, _rearranged_number(text.replace("?", str(d))) % 97) for d in range(10)]
        )
        return
    if isinstance(answer, Value):
        n = text.count("?")
        text = text.replace("?" * n, f"{answer.value:0{n}d}")
    number = _rearranged_number(text)
    yield say(
        "{text}, its first four characters moved to the end, gives ${n}$: ${r}$ modulo $97$.",
        text=text,
        n=number,
        r=number % 97,
    )


def _rearranged_number(text: str) -> int:
    """The first four characters last, the letters as 10 to 35."""
    return int("".join(str(int(c, 36)) for c in text[4:] + text[:4]))
