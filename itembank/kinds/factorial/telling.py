"""The worked solution of a factorial, told from its steps.

Notation: n, m; p a prime modulus; k = p - 1 - n.
"""

from collections.abc import Iterator

from itembank.kinds.chains import calculated, congruent
from itembank.kinds.factorial.method import (
    Divide,
    FactorPresent,
    MultiplyOut,
    PrimePowers,
    Wilson,
)
from itembank.kinds.unit_multiple import unit_divided
from itembank.kinds.wording import Tellers
from itembank.languages import BREAK, Told, counted, each, grid, lead, say
from itembank.notation.building import dotted, equal, factored_modulus, listed, number, power
from itembank.notation.tree import Dots, Factorial, Listing, Math, Minus, Product

SHOWN_FACTORS = 40
"""The most products that are shown."""

_LISTED = 4
"""The most missing factors that are listed; of more, the first two and the last."""


def _factor_present(step: FactorPresent) -> Iterator[Told]:
    if step.m == 1:
        yield say("Every integer is congruent to 0 modulo 1.")
    else:
        yield say(
            "${n}! = 1 · 2 · ... · {n}$ has {m} among its factors, so it is a multiple of {m}.",
            n=step.n,
            m=step.m,
        )


def _prime_powers(step: PrimePowers) -> Iterator[Told]:
    n, m = step.n, step.m
    yield lead("Factor the modulus.")
    yield say(
        "{m} is not prime, so Wilson's theorem does not apply. ${m} = {product}$.",
        m=m,
        product=factored_modulus([(p, k) for p, k, _e in step.powers]),
    )
    yield BREAK
    for p, k, e in step.powers:
        if k > 1:
            slots = {"p": p, "n": n, "count": _multiples(n, p), "e": e, "k": k}
            if e == k:
                yield say(
                    "The multiples of {p} up to {n} are ${count}$, so ${p}^{e}$ divides ${n}!$.",
                    **slots,
                )
            else:
                yield say(
                    "The multiples of {p} up to {n} are ${count}$, so ${p}^{e}$ divides ${n}!$, "
                    "and with it ${p}^{k}$.",
                    **slots,
                )
    once = [p for p, k, _e in step.powers if k == 1]
    if once:
        yield counted(
            "{primes} is among the factors of ${n}!$.",
            "{primes} are among the factors of ${n}!$.",
            len(once),
            primes=each(once),
            n=n,
        )
    yield say("So ${n}!$ is a multiple of {m}.", n=n, m=m)


def _multiples(n: int, p: int) -> Math:
    """3, 6 for n = 6 and p = 3; 2, 4, ..., 20 where there are many."""
    found = range(p, n + 1, p)
    if len(found) > _LISTED:
        return Listing((number(found[0]), number(found[1]), Dots(), number(found[-1])))
    return listed(found)


def _wilson(step: Wilson) -> Iterator[Told]:
    n, p, k = step.n, step.p, step.k
    yield lead("Wilson.")
    yield say("{p} is prime, so ${last}! ≡ -1 (mod {p})$.", p=p, last=p - 1)
    if k == 0:
        yield say("The least residue of $-1$ is {value}.", value=p - 1)
        return
    yield lead("Missing factors.")
    if k == 1:
        yield say(
            "The factor that ${n}!$ lacks is ${missing}$, so ${n}! · (-1) ≡ -1 (mod {p})$.",
            n=n,
            missing=congruent(p - 1, -1),
            p=p,
        )
    else:
        factorial = Factorial(number(k))
        product = Minus(factorial) if k % 2 else factorial
        yield say(
            "The {k} factors that ${n}!$ lacks are ${missing}$, with the product ${product}$.",
            n=n,
            missing=_missing_factors(p, k),
            k=k,
            product=equal(Product((power(-1, k), factorial), dot=True), product),
        )
        yield say(
            "So ${n}! · {k}! ≡ {right} (mod {p})$.", n=n, k=k, right=-1 if k % 2 == 0 else 1, p=p
        )


def _missing_factors(p: int, k: int) -> Math:
    """9 ≡ -2, 10 ≡ -1; with dots where there are many.  At least two."""
    if k > _LISTED:
        first, second, last = (congruent(p - i, -i) for i in (k, k - 1, 1))
        return Listing((first, second, Dots(), last))
    return Listing(tuple(congruent(p - i, -i) for i in range(k, 0, -1)))


def _multiply_out(step: MultiplyOut) -> Iterator[Told]:
    n, m = step.n, step.m
    if n < 2:
        yield say("${n}! = 1$ (an empty product is 1).", n=n)
    elif n <= SHOWN_FACTORS:
        yield lead("Multiply out {n}!.", n=n)
        if _exact_up_to(step) == n:
            product = dotted(range(1, n + 1))
            yield say("${n}! = {product} = {value}$.", n=n, product=product, value=step.values[-1])
            return
        yield say("One factor after another, reducing modulo {m} each time:", m=m)
        yield grid((say("factorial"), say("calculation")), _products(step))
    else:
        yield BREAK
        yield say(
            "That is more than a person multiplies: a computer that takes one factor after "
            "another, reducing modulo {m} each time, finds ${n}! ≡ {value} (mod {m})$.",
            m=m,
            n=n,
            value=step.values[-1],
        )


def _products(step: MultiplyOut) -> Iterator[tuple[Math, Math]]:
    """5!, 6!, 7!, ..., each made from the row before; the first is the last below the modulus."""
    first = _exact_up_to(step)
    value = number(step.values[first - 1])
    yield (
        Factorial(number(first)),
        equal(dotted(range(1, first + 1)), value) if first > 1 else value,
    )
    for i in range(first + 1, step.n + 1):
        before = step.values[i - 2]
        yield Factorial(number(i)), calculated(dotted((before, i)), before * i, step.m)


def _exact_up_to(step: MultiplyOut) -> int:
    """The last i with i! below the modulus, 1 at least."""
    i = 1
    while i < step.n and step.values[i - 1] * (i + 1) < step.m:
        i += 1
    return i


def _divide(step: Divide) -> Iterator[Told]:
    """n! k! = 1 or -1 solved for n!."""
    n, p, k = step.n, step.p, step.k
    right = 1 if k % 2 else -1
    yield lead("Divide.")
    if k == 1:
        yield say("Multiplying both sides by $-1$ gives ${n}! ≡ 1 (mod {p})$.", n=n, p=p)
        return
    factorial = Factorial(number(n))
    yield say(
        "So ${left} ≡ {right} (mod {p})$.",
        left=dotted((factorial, step.small)) if step.small != 1 else factorial,
        right=right,
        p=p,
    )
    yield from unit_divided(step.small, right, p, factorial)
    if step.small == 1 and right == -1:
        yield say("That is, ${n}! ≡ -1 ≡ {value} (mod {p})$.", n=n, value=step.value, p=p)


TELLING: Tellers = {
    FactorPresent: _factor_present,
    PrimePowers: _prime_powers,
    Wilson: _wilson,
    MultiplyOut: _multiply_out,
    Divide: _divide,
}
"""How each step is told."""
