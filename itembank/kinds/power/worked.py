"""The worked solution of a power modulo m, told from its steps.

Notation as in `steps`.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence

from itembank.kinds.base import Solution, Step
from itembank.kinds.power.solve import value_of
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
from itembank.kinds.wording import FITS_ON_THE_BOARD, residue_chain
from itembank.languages.words import _
from itembank.notation.prose import display, paragraph, table
from itembank.notation.tree import Block
from itembank.values.answer import Absent, Value


def worked(solution: Solution[Value | Absent], power: str, m: str) -> Iterator[Block]:
    """The blocks of every step, then the answer to `power` modulo `m`, both as they are shown."""
    for step in solution.steps:
        yield from WORKED[type(step)](step)
    answer = solution.answer
    if isinstance(answer, Absent):
        yield paragraph(answer.reason, _("Answer."))
    else:
        assert isinstance(answer, Value)
        yield paragraph(f"${power} ≡ {answer.value} (mod {m})$.", _("Answer."))


# ------------------------------------------------------------ formulas


def tower_text(exponents: Sequence[int]) -> str:
    """e1^(e2^(...)) as it is typed.

    >>> tower_text((2, 3, 4)), tower_text((-3, 5)), tower_text((2, -1)), tower_text((6,))
    ('2^(3^4)', '(-3)^5', '2^(-1)', '6')
    """
    first, *rest = exponents
    if not rest:
        return str(first)
    base = f"({first})" if first < 0 else str(first)
    exponent = tower_text(rest)
    return f"{base}^{exponent}" if exponent.isdecimal() else f"{base}^({exponent})"


def power_text(a: int, exponents: Sequence[int]) -> str:
    """a^(e1^(e2^...)) as it is typed."""
    return tower_text((a, *exponents))


def chain(calculation: str, value: int, m: int) -> str:
    """49 · 401 = 19649 ≡ 649; the product is left out where it is too long to write."""
    if value > FITS_ON_THE_BOARD**2:
        return f"{calculation} == {value % m}"
    if value < m:
        return f"{calculation} = {value}"
    return f"{calculation} = {value} == {value % m}"


# ------------------------------------------------------------ the steps


def worked_reduce_base(step: ReduceBase) -> Iterator[Block]:
    yield paragraph(
        _("${a} ≡ {r} (mod {m})$, so ${a}$ may be replaced by {r}.").format(
            a=step.a, r=step.residue, m=step.m
        ),
        _("The base."),
    )


def worked_invert(step: Invert) -> Iterator[Block]:
    a, m, e, inverse = step.a, step.m, step.e, step.inverse
    lead = _("Negative exponent.")
    if inverse is None:
        text = _(
            "A negative exponent asks for the inverse of ${a}$ modulo {m}, but $gcd({a}, {m}) = "
            "{d}$."
        )
        yield paragraph(text.format(a=a, m=m, d=step.d), lead)
        return
    if e == 1:
        text = _(
            "The exponent $-1$ asks for the inverse. The inverse of ${a}$ modulo {m} is {i}, since "
            "${a} · {i} = {product} ≡ 1 (mod {m})$."
        )
    else:
        text = _(
            "A negative exponent asks for a power of the inverse. The inverse of ${a}$ modulo {m} "
            "is {i}, since ${a} · {i} = {product} ≡ 1 (mod {m})$; so the power wanted is ${i}^{e}$."
        )
    yield paragraph(text.format(a=a, i=inverse, product=a * inverse, m=m, e=e), lead)


def worked_at_once(step: AtOnce) -> Iterator[Block]:
    tower, parity = "", ""
    if len(step.exponents) > 1:
        tower = tower_text(step.exponents)
    if step.why == "base minus one":
        parity = _("even") if step.value == 1 else _("odd")
    yield paragraph(
        at_once_text(step, bool(tower)).format(
            power=power_text(step.a, step.exponents),
            tower=tower,
            a=step.a,
            m=step.m,
            value=step.value,
            parity=parity,
            sign="1" if step.value == 1 else f"-1 == {step.value}",
        )
    )


def at_once_text(step: AtOnce, tower: bool) -> str:
    """Why a power can be named at once; a tower's exponent is named with its value."""
    match step.why:
        case "modulus one":
            return _("Modulo 1 every integer is congruent to 0.")
        case "exponent zero" if tower:
            return _("The exponent is ${tower} = 0$, and a power with exponent 0 is 1.")
        case "exponent zero" if step.a == 0:
            return _(
                "A power with exponent 0 is the empty product, 1; this is so for 0 too: $0^0 = 1$ "
                "by convention."
            )
        case "exponent zero":
            return _("A power with exponent 0 is the empty product: ${power} = 1$.")
        case "exponent one" if tower:
            return _("The exponent is ${tower} = 1$, so the power is its base, {value}.")
        case "exponent one":
            return _("A power with exponent 1 is its base: ${power} = {value}$.")
        case "base zero":
            return _("Every power of 0 with a positive exponent is 0.")
        case "base one":
            return _("Every power of 1 is 1.")
    return _("${a} ≡ -1 (mod {m})$, and the exponent is {parity}, so ${power} ≡ {sign} (mod {m})$.")


def worked_euler(step: Euler) -> Iterator[Block]:
    a, m, n = step.a, step.m, step.n
    if step.prime:
        yield paragraph(
            _(
                "{m} is prime and does not divide {a}, so ${a}^{n} ≡ 1 (mod {m})$ by Fermat's "
                "theorem. The exponent counts modulo {n} only."
            ).format(a=a, m=m, n=n),
            _("Fermat."),
        )
    else:
        yield paragraph(
            _("$gcd({a}, {m}) = 1$, so ${a}^{e} ≡ 1 (mod {m})$ by Euler's theorem.").format(
                a=a, m=m, e=f"(φ({m}))"
            )
            + " "
            + phi_sentence(step)
            + " "
            + _("The exponent counts modulo {n} only.").format(n=n),
            _("Euler."),
        )
    if step.remainder is None:
        yield paragraph(
            _("So the remainder of ${tower}$ modulo {n} is wanted first.").format(
                tower=tower_text(step.exponents), n=n
            )
        )
        return
    yield display(division(step))
    shown = f"${power_text(a, step.exponents)} ≡ {a}^{step.remainder} (mod {m})$"
    yield paragraph(_("So {power}.").format(power=shown))


def phi_sentence(step: Euler) -> str:
    """phi(1000) = phi(2^3) phi(5^3) = 4 · 100 = 400, from the factorisation."""
    m, n = step.m, step.n
    powers = [f"{p}^{k}" if k > 1 else str(p) for p, k in step.factors]
    values = [p ** (k - 1) * (p - 1) for p, k in step.factors]
    product = " * ".join(map(str, values))
    if len(values) == 1:
        p, k = step.factors[0]
        return _("Here ${m} = {q}$ and $φ({q}) = {below} * {rest} = {n}$.").format(
            m=m, q=powers[0], below=f"{p}^{k - 1}" if k > 2 else p, rest=p - 1, n=n
        )
    calls = " * ".join(f"φ({q})" for q in powers)
    return _("Here ${m} = {product}$, and $φ({m}) = {calls} = {values} = {n}$.").format(
        m=m, product=" * ".join(powers), calls=calls, values=product, n=n
    )


def division(step: Euler) -> str:
    """222 = 18 · 12 + 6, or the remainder alone where the exponent is too long."""
    tower = tower_text(step.exponents)
    if step.quotient is None:
        return f"{tower} == {step.remainder} mod {step.n}"
    value = value_of(step.exponents)
    first = f"{tower} = " if len(step.exponents) > 1 else ""
    return f"{first}{value} = {step.quotient} * {step.n} + {step.remainder}"


def worked_exponent_value(step: ExponentValue) -> Iterator[Block]:
    yield paragraph(
        _("The exponent is ${tower} = {value}$.").format(
            tower=tower_text(step.exponents), value=step.value
        ),
        _("The exponent."),
    )


def worked_exponent_found(step: ExponentFound) -> Iterator[Block]:
    yield paragraph(
        _("The exponent is ${tower} ≡ {r} (mod {n})$.").format(
            tower=tower_text(step.exponents), r=step.r, n=step.n
        ),
        _("The exponent."),
    )


def worked_split(step: Split) -> Iterator[Block]:
    a, m, m1, m2, v = step.a, step.m, step.m1, step.m2, step.v
    lead = _("Split the modulus.") if m1 > 1 else _("The base shares every prime of the modulus.")
    if m1 > 1:
        yield paragraph(
            _(
                "{a} and {m} have a common factor, so Euler's theorem does not apply modulo {m}. "
                "Write ${m} = {m1} · {m2}$: {a} is coprime to {m1}, and every prime of {m2} "
                "divides {a}."
            ).format(a=a, m=m, m1=m1, m2=m2),
            lead,
        )
        lead = _("Modulo {m}.").format(m=m2)
    if v == 1:
        text = _("{a} is divisible by {m2}, so every power with a positive exponent is 0.")
    else:
        text = _(
            "${a}^{v}$ is divisible by {m2}, and the exponent is at least {v}, so the power is 0 "
            "modulo {m2}."
        )
    yield paragraph(text.format(a=a, v=v, m2=m2), lead)
    if m1 > 1:
        yield paragraph(_("It remains to find the power modulo {m}.").format(m=m1))


def worked_combine(step: Combine) -> Iterator[Block]:
    r, m1, m2, s, x = step.r, step.m1, step.m2, step.s, step.x
    yield paragraph(
        _(
            "The power is {r} modulo {m1} and 0 modulo {m2}: it is ${m2}k$ with "
            "${m2}k ≡ {r} (mod {m1})$. The inverse of {m2} modulo {m1} is {s}, so "
            "$k ≡ {s} · {r} = {k} (mod {m1})$, and the power is ${m2} · {k1} = {x}$."
        ).format(r=r, m1=m1, m2=m2, s=s, k=residue_chain(s * r, m1), k1=s * r % m1, x=x),
        _("Combine."),
    )


def worked_square(step: Square) -> Iterator[Block]:
    a, e, m = step.a, step.e, step.m
    if e <= 3 and a**e < FITS_ON_THE_BOARD:
        yield paragraph(f"${chain(f'{a}^{e}', a**e, m)} (mod {m})$.", _("Multiply out."))
        return
    yield paragraph(
        _("Square again and again, reducing modulo {m} each time:").format(m=m),
        _("Repeated squaring."),
    )
    yield table(
        (_("power"), _("calculation")),
        [
            (f"${a}^{2**i}$", f"${a if i == 0 else chain(f'{previous}^2', previous**2, m)}$")
            for i, previous in enumerate((a, *step.squares[:-1]))
        ],
    )
    bits = [1 << i for i in step.bits]
    if len(bits) == 1:
        yield paragraph(
            _(
                "The exponent {e} is a power of 2, so the last row is ${a}^{e} ≡ {v} (mod {m})$."
            ).format(a=a, e=e, v=step.value, m=m)
        )
        return
    yield paragraph(
        _("As ${e} = {sum}$, the product of these powers is wanted:").format(
            e=e, sum=" + ".join(map(str, reversed(bits)))
        )
    )
    yield display(*products(step))


def products(step: Square) -> Iterator[str]:
    """The powers that e needs multiplied one after another, a row each."""
    first, *others = step.bits
    value, exponent = step.squares[first], 1 << first
    for i in others:
        exponent += 1 << i
        product = value * step.squares[i]
        calculation = f"{value} * {step.squares[i]}"
        yield f"{step.a}^{exponent} == {chain(calculation, product, step.m)} mod {step.m}"
        value = product % step.m


WORKED: Mapping[type[Step], Callable[..., Iterator[Block]]] = {
    ReduceBase: worked_reduce_base,
    Invert: worked_invert,
    AtOnce: worked_at_once,
    Euler: worked_euler,
    ExponentFound: worked_exponent_found,
    ExponentValue: worked_exponent_value,
    Split: worked_split,
    Combine: worked_combine,
    Square: worked_square,
}
"""How each step is told."""
