"""The worked solution of an order, told from its steps; other kinds tell some of them too."""

from collections.abc import Iterator

from itembank.kinds.order.steps import (
    Certificate,
    CommonFactor,
    Phi,
    PowerRow,
    TakeOutPrimes,
    TryDivisors,
)
from itembank.kinds.wording import (
    FITS_ON_THE_BOARD,
    Tellers,
    conjunction,
    listing,
    prime_power,
    prime_powers,
)
from itembank.languages.words import _, ngettext
from itembank.maths.primes import Factors
from itembank.notation.prose import paragraph, table
from itembank.notation.tree import Block


def worked_common_factor(step: CommonFactor) -> Iterator[Block]:
    yield paragraph(
        _("$gcd({a}, {m}) = {d}$, so {a_} is no unit modulo {m}.").format(
            a=step.a, a_=f"${step.a}$", m=step.m, d=step.d
        ),
        _("Greatest common divisor."),
    )


def phi_product(factors: Factors) -> tuple[str, str]:
    """φ(2^3) * φ(5), and 4 * 4: phi of the prime powers multiplied, called and worked out."""
    calls = " * ".join(f"φ({prime_power(p, k)})" for p, k in factors)
    values = " * ".join(str(p ** (k - 1) * (p - 1)) for p, k in factors)
    return calls, values


def worked_phi(step: Phi) -> Iterator[Block]:
    m, n = step.m, step.n
    if step.factors == ((m, 1),):
        text = _("{m} is prime, so $φ({m}) = {m} - 1 = {n}$.").format(m=m, n=n)
    elif m == 1:
        text = _("$φ(1) = 1$.")
    else:
        calls, values = phi_product(step.factors)
        text = _("${m} = {product}$, so $φ({m}) = {calls} = {values}$.").format(
            m=m,
            product=prime_powers(step.factors),
            calls=calls,
            values=f"{values} = {n}" if len(step.factors) > 1 else n,
        )
        if len(step.factors) == 1 and calls == f"φ({m})":
            text = _("$φ({m}) = {n}$.").format(m=m, n=n)
    yield paragraph(
        text + " " + _("By Euler's theorem the order divides {n}.").format(n=n),
        _("What the order divides."),
    )


def worked_try_divisors(step: TryDivisors) -> Iterator[Block]:
    yield paragraph(
        ngettext(
            "The divisor of {n} to try is {tried}.",
            "The divisors of {n} are tried in increasing order, each power made from earlier ones:",
            len(step.tried),
        ).format(n=step.n, tried=listing(step.tried)),
        _("Powers."),
    )
    yield powers_table(step)
    others = [str(r.e) for r in step.rows if r.e not in step.tried]
    sentences = []
    if others:
        sentences.append(
            ngettext(
                "The exponent {e} does not divide {n}; it is there to reach the next one.",
                "The exponents {e} do not divide {n}; they are there to reach the next ones.",
                len(others),
            ).format(e=conjunction(others), n=step.n)
        )
    sentences.append(
        _("The first divisor whose power is 1 is {t}.").format(t=step.tried[-1])
        if step.m > 1
        else _("Modulo 1 the first power is already congruent to 1.")
    )
    yield paragraph(" ".join(sentences))


def powers_table(step: TryDivisors) -> Block:
    """Each power with the calculation that gives it from earlier rows."""
    return table(
        (_("power"), _("calculation")),
        [(f"${step.a}^{r.e}$", f"${row_text(r, step)}$") for r in step.rows],
    )


def row_text(row: PowerRow, step: TryDivisors) -> str:
    """13^2 = 169 ≡ 16, or 4 · 13 = 52 ≡ 1."""
    if row.e == 1:
        return str(row.value)
    values = {r.e: r.value for r in step.rows}
    u, v = values[row.i], values[row.j]
    calculation = f"{u}^2" if row.i == row.j else f"{u} * {v}"
    if u * v > FITS_ON_THE_BOARD**2:
        return f"{calculation} == {row.value}"
    return f"{calculation} = {u * v}" + (f" == {row.value}" if u * v >= step.m else "")


def worked_take_out_primes(step: TakeOutPrimes) -> Iterator[Block]:
    yield paragraph(
        _(
            "{n} has too many divisors to try them all. Start with the exponent {n}, for which the "
            "power is 1, and divide it by a prime as long as the power stays 1 (powers by repeated "
            "squaring):"
        ).format(n=step.n),
        _("Powers."),
    )
    yield table(
        (_("exponent"), _("prime"), _("smaller exponent"), _("power")),
        [(f"${r.e}$", f"${r.q}$", f"${r.e // r.q}$", f"${r.value}$") for r in step.rows],
    )
    last = step.rows[-1]
    t = last.e // last.q if last.value == 1 % step.m else last.e
    yield paragraph(_("The exponent that is left is {t}.").format(t=t))


def worked_certificate(step: Certificate) -> Iterator[Block]:
    a, m, t = step.a, step.m, step.t
    if not step.smaller:
        return
    if t > FITS_ON_THE_BOARD:
        text = _(
            "An order smaller than {t} would divide {t} divided by one of its primes, but the "
            "table shows that none of these exponents gives the power 1."
        )
        yield paragraph(text.format(t=t), _("Check."))
        return
    yield paragraph(
        ngettext(
            "${a}^{t} ≡ 1 (mod {m})$, and with {t} divided by its prime {primes}: {parts}, not 1. "
            "An order smaller than {t} would divide that exponent.",
            "${a}^{t} ≡ 1 (mod {m})$, and with {t} divided by each of its primes {primes}: "
            "{parts}, none of them 1. An order smaller than {t} would divide one of these "
            "exponents.",
            len(step.smaller),
        ).format(
            a=a,
            t=t,
            m=m,
            primes=conjunction(str(q) for q, _value in step.smaller),
            parts=conjunction(f"${a}^{t // q} ≡ {value}$" for q, value in step.smaller),
        ),
        _("Check."),
    )


WORKED: Tellers = {
    CommonFactor: worked_common_factor,
    Phi: worked_phi,
    TryDivisors: worked_try_divisors,
    TakeOutPrimes: worked_take_out_primes,
    Certificate: worked_certificate,
}
"""How each step is told."""
