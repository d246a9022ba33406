"""How the steps to a power modulo m are told.

Notation as in `steps`.
"""

from collections.abc import Iterator, Sequence

from itembank.kinds.base import Solution
from itembank.kinds.factoring import trial_told
from itembank.kinds.order.worked import phi_of, phi_sides
from itembank.kinds.power.steps import (
    AtOnce,
    Combine,
    Euler,
    ExponentFound,
    ExponentValue,
    Invert,
    ReduceBase,
    Split,
    Square,
)
from itembank.kinds.powering import (
    LARGEST_MODULUS,
    power_told,
    product_told,
    squares_up_to,
    table_of_squares,
    worked_out_at_once,
)
from itembank.kinds.unit_multiple import unit_divided
from itembank.kinds.wording import Tellers, told
from itembank.languages import Said, Told, lead, say, shown
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import added, congruence, equal, factored_modulus, power
from itembank.notation.tree import Group, Letter, Math, Number, Power
from itembank.values.answer import Absent, Value


def worked(solution: Solution[Value | Absent], wanted: Math, modulus: Math) -> Iterator[Told]:
    """What is told of every step, then the answer to the power `wanted` modulo `modulus`."""
    yield from told(solution.steps, TELLING)
    answer = solution.answer
    yield lead("Answer.")
    if isinstance(answer, Absent):
        yield answer.reason
    else:
        assert isinstance(answer, Value)
        yield say("${power} ≡ {v} (mod {m})$.", power=wanted, v=answer.value, m=modulus)


# ------------------------------------------------------------ formulas


def tower(numbers: Sequence[int]) -> Math:
    """a^(e1^(e2^...)), from the bottom up; one number alone is that number."""
    first, *rest = numbers
    if not rest:
        return Number(first)
    base = Number(first)
    return Power(Group(base) if first < 0 else base, tower(rest))


def power_of(a: int, exponents: Sequence[int]) -> Math:
    """a^(e1^(e2^...)); the exponent 1 is written too."""
    return tower((a, *exponents))


# ------------------------------------------------------------ the steps


def _reduce_base(step: ReduceBase) -> Iterator[Told]:
    yield lead("The base.")
    yield say(
        "${a} ≡ {r} (mod {m})$, so ${a}$ may be replaced by {r}.",
        a=step.a,
        r=step.residue,
        m=step.m,
    )


def _invert(step: Invert) -> Iterator[Told]:
    a, m, inverse = step.a, step.m, step.inverse
    yield lead("Negative exponent.")
    if inverse is None:
        yield say(
            "A negative exponent asks for the inverse of ${a}$ modulo {m}, but $gcd({a}, {m}) = "
            "{d}$.",
            a=a,
            m=m,
            d=step.d,
        )
    elif step.e == 1:
        yield say(
            "The exponent $-1$ asks for the inverse. The inverse of ${a}$ modulo {m} is {i}, since "
            "${a} · {i} = {product} ≡ 1 (mod {m})$.",
            a=a,
            m=m,
            i=inverse,
            product=a * inverse,
        )
    else:
        yield say(
            "A negative exponent asks for a power of the inverse. The inverse of ${a}$ modulo "
            "{m} is {i}, since ${a} · {i} = {product} ≡ 1 (mod {m})$; so the power wanted is "
            "${i}^{e}$.",
            a=a,
            m=m,
            i=inverse,
            product=a * inverse,
            e=step.e,
        )


def _at_once(step: AtOnce) -> Iterator[Told]:
    yield _named_at_once(step)


def _named_at_once(step: AtOnce) -> Said:
    """Why a power can be named at once; a tower's exponent is named with its value."""
    a, m, exponents = step.a, step.m, tower(step.exponents)
    its_power = power_of(a, step.exponents)
    tall = len(step.exponents) > 1
    match step.why:
        case "modulus one":
            return say("Modulo 1 every integer is congruent to 0.")
        case "exponent zero" if tall:
            return say(
                "The exponent is ${tower} = 0$, and a power with exponent 0 is 1.", tower=exponents
            )
        case "exponent zero" if a == 0:
            return say(
                "A power with exponent 0 is the empty product, 1; this is so for 0 too: $0^0 = 1$ "
                "by convention."
            )
        case "exponent zero":
            return say(
                "A power with exponent 0 is the empty product: ${power} = 1$.", power=its_power
            )
        case "exponent one" if tall:
            return say(
                "The exponent is ${tower} = 1$, so the power is its base, {a}.",
                tower=exponents,
                a=a,
            )
        case "exponent one":
            return say(
                "A power with exponent 1 is its base: ${power} = {a}$.", power=its_power, a=a
            )
        case "base zero":
            return say("Every power of 0 with a positive exponent is 0.")
        case "base one":
            return say("Every power of 1 is 1.")
    if step.value == 1:
        return say(
            "${a} ≡ -1 (mod {m})$, and the exponent is even, so ${power} ≡ 1 (mod {m})$.",
            a=a,
            m=m,
            power=its_power,
        )
    return say(
        "${a} ≡ -1 (mod {m})$, and the exponent is odd, so ${power} ≡ -1 ≡ {a} (mod {m})$.",
        a=a,
        m=m,
        power=its_power,
    )


def _euler(step: Euler) -> Iterator[Told]:
    a, m, n = step.a, step.m, step.n
    if step.prime:
        yield lead("Fermat.")
        yield say(
            "{m} is prime and does not divide {a}, so ${a}^{n} ≡ 1 (mod {m})$ by Fermat's theorem.",
            a=a,
            m=m,
            n=n,
        )
    else:
        yield lead("Euler.")
        yield say(
            "$gcd({a}, {m}) = 1$, so ${a}^(φ({m})) ≡ 1 (mod {m})$ by Euler's theorem.", a=a, m=m
        )
        yield from trial_told(m, step.factors)
        yield _value_of_phi(step)
    yield say("So the exponent may be reduced modulo {n}.", n=n)
    exponents = tower(step.exponents)
    if step.remainder is None:
        yield say("So the remainder of ${tower}$ modulo {n} is wanted first.", tower=exponents, n=n)
        return
    if _long_exponent(step):
        base, exponent = step.exponents
        yield from power_told(base, exponent, n)
    else:
        yield shown(_divided(step, step.remainder))
    yield say(
        "So ${power} ≡ {a}^{r} (mod {m})$.",
        power=power_of(a, step.exponents),
        a=a,
        r=step.remainder,
        m=m,
    )


_LONG_EXPONENT = 10**6
"""Beyond it a power in the exponent is not multiplied out but worked out modulo phi(m)."""


def _long_exponent(step: Euler) -> bool:
    """Whether the exponent is a power b^e that is too long to be divided by phi(m) by hand."""
    if len(step.exponents) != 2 or step.n > LARGEST_MODULUS:
        return False
    base, exponent = step.exponents
    return base > 1 and exponent > 1 and (exponent > 100 or base**exponent > _LONG_EXPONENT)


def _value_of_phi(step: Euler) -> Said:
    """phi(1000) = phi(2^3) phi(5^3) = 4 · 100 = 400, from the factorisation."""
    m, n = step.m, step.n
    if len(step.factors) == 1:
        ((p, k),) = step.factors
        return say(
            "Here ${m} = {q}$ and $φ({q}) = {below} · {rest} = {n}$.",
            m=m,
            q=power(p, k),
            below=power(p, k - 1),
            rest=p - 1,
            n=n,
        )
    return say(
        "Here ${m} = {product}$, and ${value}$.",
        m=m,
        product=factored_modulus(step.factors),
        value=equal(phi_of(Number(m)), *phi_sides(step.factors), n),
    )


def _divided(step: Euler, remainder: int) -> Said | Math:
    """222 = 18 · 12 + 6, or the remainder alone where the exponent is too long."""
    exponents = tower(step.exponents)
    if step.quotient is None:
        return congruence(exponents, Number(remainder), step.n)
    value = step.quotient * step.n + remainder
    if len(step.exponents) > 1:
        exponents = equal(exponents, value)
    return say("${e} = {q} · {n} + {r}$", e=exponents, q=step.quotient, n=step.n, r=remainder)


def _exponent_value(step: ExponentValue) -> Iterator[Told]:
    yield lead("The exponent.")
    yield say("The exponent is ${tower} = {v}$.", tower=tower(step.exponents), v=step.value)


def _exponent_found(step: ExponentFound) -> Iterator[Told]:
    yield lead("The exponent.")
    yield say(
        "The exponent is ${tower} ≡ {r} (mod {n})$.",
        tower=tower(step.exponents),
        r=step.r,
        n=step.n,
    )


def _split(step: Split) -> Iterator[Told]:
    a, m, m1, m2, v = step.a, step.m, step.m1, step.m2, step.v
    if m1 > 1:
        yield lead("Split the modulus.")
        yield say(
            "{a} and {m} have a common factor, so Euler's theorem does not apply modulo {m}. "
            "Write ${m} = {m1} · {m2}$: {a} is coprime to {m1}, and every prime of {m2} "
            "divides {a}.",
            a=a,
            m=m,
            m1=m1,
            m2=m2,
        )
        yield lead("Modulo {m}.", m=m2)
    else:
        yield lead("The base shares every prime of the modulus.")
    if v == 1:
        yield say(
            "{a} is divisible by {m2}, so every power with a positive exponent is 0.", a=a, m2=m2
        )
    else:
        yield say(
            "${a}^{v}$ is divisible by {m2}, and the exponent is at least {v}, so the power is 0 "
            "modulo {m2}.",
            a=a,
            v=v,
            m2=m2,
        )
    if m1 > 1:
        yield say("It remains to find the power modulo {m}.", m=m1)


def _combine(step: Combine) -> Iterator[Told]:
    r, m1, m2, x = step.r, step.m1, step.m2, step.x
    yield lead("Combine.")
    yield say(
        "The power is {r} modulo {m1} and 0 modulo {m2}: it is ${m2}k$ with "
        "${m2}k ≡ {r} (mod {m1})$.",
        r=r,
        m1=m1,
        m2=m2,
    )
    yield from unit_divided(m2, r, m1, Letter("k"))
    yield say("So the power is ${m2} · {k} = {x}$.", m2=m2, k=x // m2, x=x)


def _square(step: Square) -> Iterator[Told]:
    a, e, m = step.a, step.e, step.m
    if worked_out_at_once(nearest_residue(a, m), e):
        yield lead("Multiply out.")
        yield from power_told(a, e, m)
        return
    squares = squares_up_to(a, e, m)
    yield lead("Repeated squaring.")
    yield say("Square again and again, reducing modulo {m} each time:", m=m)
    yield from table_of_squares(squares)
    yield from product_told(squares, e)


def binary(step: Square) -> Math:
    """The exponent as a sum of powers of 2, the largest first."""
    return added(1 << i for i in reversed(step.bits))


TELLING: Tellers = {
    ReduceBase: _reduce_base,
    Invert: _invert,
    AtOnce: _at_once,
    Euler: _euler,
    ExponentFound: _exponent_found,
    ExponentValue: _exponent_value,
    Split: _split,
    Combine: _combine,
    Square: _square,
}
"""How each step is told."""
