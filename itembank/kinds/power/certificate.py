"""What a reviewer can check by hand: the squares of which a power modulo m is made.

A power with a negative exponent is checked by its product with the opposite power, which is 1.
"""

from collections.abc import Iterator
from math import gcd

from itembank.languages import Told, grid, lead, say
from itembank.notation.building import added
from itembank.values.answer import Absent, Value


def squares_chosen(a: int, e: int, m: int, answer: Value | Absent) -> Iterator[Told]:
    """The evidence for a^e modulo m."""
    if isinstance(answer, Absent):
        yield lead("No inverse.")
        yield say("$gcd({a}, {m}) = {d}$.", a=a, m=m, d=gcd(a, m))
        return
    yield lead("Repeated squaring.")
    v = answer.value
    if e == 0:
        yield say("The exponent is 0, and the empty product is ${v}$ modulo ${m}$.", v=v, m=m)
    elif e > 0:
        yield from _binary_digits(a, e, m)
        yield say("The product of the factors is ${v}$ modulo ${m}$.", v=v, m=m)
    else:
        yield from _binary_digits(a, -e, m)
        opposite = pow(a, -e, m)
        yield say(
            "The product of the factors is ${opposite}$ modulo ${m}$, and ${v} · {opposite} = "
            "{product} ≡ {r} (mod {m})$.",
            opposite=opposite,
            v=v,
            product=v * opposite,
            r=v * opposite % m,
            m=m,
        )


def _binary_digits(a: int, e: int, m: int) -> Iterator[Told]:
    """The powers a, a^2, a^4, ... modulo m, and which of them the exponent e >= 1 chooses."""
    chosen = [1 << i for i in range(e.bit_length()) if e >> i & 1]
    if len(chosen) > 1:
        yield say("${e} = {sum}$.", e=e, sum=added(chosen))
    head = say("exponent"), say("power of ${a}$ modulo ${m}$", a=a, m=m), say("a factor")
    exponents = [1 << i for i in range(e.bit_length())]
    rows = [(n, pow(a, n, m), say("yes") if n in chosen else "") for n in exponents]
    yield grid(head, rows, row_heads=True)
