"""The worked solution of a factorial, told from its steps.

Notation: n, m; p a prime modulus; k = p - 1 - n.
"""

from collections.abc import Iterator

from itembank.kinds.chains import calculated, calculated_or_congruent, congruent
from itembank.kinds.factorial.method import (
    Divide,
    FactorPresent,
    MultiplyOut,
    PrimePowers,
    Wilson,
)
from itembank.kinds.wording import Tellers
from itembank.languages import BREAK, Told, counted, each, grid, lead, say
from itembank.notation.building import dotted, factored_modulus, number
from itembank.notation.tree import Dots, Factorial, Listing, Math, Minus

SHOWN_FACTORS = 40
"""The most products that are shown."""

LISTED = 4
"""The most missing factors that are listed; of more, the first two and the last."""


def factor_present(step: FactorPresent) -> Iterator[Told]:
    if step.m == 1:
        yield say("Every integer is congruent to 0 modulo 1.")
    else:
        yield say(
            "${n}! = 1 · 2 · ... · {n}$ has {m} among its factors, so it is a multiple of {m}.",
            n=step.n,
            m=step.m,
        )


def prime_powers(step: PrimePowers) -> Iterator[Told]:
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
            yield say(
                "{p} divides ${n}!$ {e} times, counting every multiple of {p} up to {n} as often "
                "as {p} divides it; {k} times are needed.",
                p=p,
                n=n,
                e=e,
                k=k,
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


def wilson(step: Wilson) -> Iterator[Told]:
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
        yield say(
            "The factors that ${n}!$ lacks are ${missing}$, and their product is ${product}$. So "
            "${n}! · {product} ≡ -1 (mod {p})$.",
            n=n,
            missing=missing_factors(p, k),
            product=Minus(factorial) if k % 2 else factorial,
            p=p,
        )


def missing_factors(p: int, k: int) -> Math:
    """9 ≡ -2, 10 ≡ -1; with dots where there are many.  At least two."""
    if k > LISTED:
        first, second, last = (congruent(p - i, -i) for i in (k, k - 1, 1))
        return Listing((first, second, Dots(), last))
    return Listing(tuple(congruent(p - i, -i) for i in range(k, 0, -1)))


def multiply_out(step: MultiplyOut) -> Iterator[Told]:
    n, m = step.n, step.m
    if n < 2:
        yield say("${n}! = 1$ (an empty product is 1).", n=n)
    elif n <= SHOWN_FACTORS:
        yield lead("Multiply out {n}!.", n=n)
        yield say("One factor after another, reducing modulo {m} each time:", m=m)
        yield grid((say("factorial"), say("calculation")), products(step))
    else:
        yield BREAK
        yield say(
            "Multiplying one factor after another and reducing modulo {m} each time gives "
            "${n}! ≡ {value} (mod {m})$.",
            m=m,
            n=n,
            value=step.values[-1],
        )


def products(step: MultiplyOut) -> Iterator[tuple[Math, Math]]:
    """1!, 2!, 3!, ..., each made from the row before."""
    yield Factorial(number(1)), number(1)
    for i in range(2, step.n + 1):
        before = step.values[i - 2]
        yield Factorial(number(i)), calculated(dotted((before, i)), before * i, step.m)


def divide(step: Divide) -> Iterator[Told]:
    n, p, k, c = step.n, step.p, step.k, step.c
    yield lead("Divide.")
    if k > 1 and k % 2:
        yield say(
            "$-{k}! ≡ -{small} ≡ {c} (mod {p})$, so ${n}! · {c} ≡ -1 (mod {p})$.",
            k=k,
            small=step.small,
            c=c,
            p=p,
            n=n,
        )
    elif k > 1:
        yield say("So ${n}! · {c} ≡ -1 (mod {p})$.", n=n, c=c, p=p)
    if c == 1:
        yield say("That is, ${n}! ≡ -1 ≡ {value} (mod {p})$.", n=n, value=step.value, p=p)
    elif c == p - 1:
        yield say("Multiplying both sides by $-1$ gives ${n}! ≡ 1 (mod {p})$.", n=n, p=p)
    else:
        yield say(
            "The inverse of {c} modulo {p} is {inverse}, since ${product} (mod {p})$; "
            "multiplying by it gives ${n}! ≡ -{inverse} ≡ {value} (mod {p})$.",
            c=c,
            p=p,
            inverse=step.inverse,
            product=calculated_or_congruent(dotted((c, step.inverse)), c * step.inverse, p),
            n=n,
            value=step.value,
        )


TELLING: Tellers = {
    FactorPresent: factor_present,
    PrimePowers: prime_powers,
    Wilson: wilson,
    MultiplyOut: multiply_out,
    Divide: divide,
}
"""How each step is told."""
