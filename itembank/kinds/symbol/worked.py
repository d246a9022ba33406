"""The worked solution of a symbol, told from its steps.

The rules stand in one table, a row each: what the symbol becomes, and why. Sentences are
whole, so that they translate.
"""

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from itembank.kinds.base import Solution, Step
from itembank.kinds.symbol.steps import (
    ByDefinition,
    CommonFactor,
    Conclude,
    Euler,
    Flip,
    Kronecker,
    MinusOne,
    One,
    ReduceTop,
    Rewrite,
    SquareTop,
    TakeOutTwos,
)
from itembank.kinds.wording import listing
from itembank.languages import Telling
from itembank.languages.words import _
from itembank.maths.primes import Factors
from itembank.notation.prose import display, paragraph, table
from itembank.notation.tree import Block


def worked(solution: Solution[Any]) -> Telling:
    return tuple(blocks(solution.steps))


def blocks(steps: Sequence[Step]) -> Iterator[Block]:
    """The blocks in order: the rules as one table, the other steps one after another."""
    rules = [step for step in steps if isinstance(step, Rewrite)]
    others = [step for step in steps if not isinstance(step, Rewrite)]
    if others and isinstance(first := others[0], Kronecker):
        yield from kronecker(first)
        del others[0]
    if rules:
        yield rules_table(rules)
    for step in others:
        yield from TOLD[type(step)](step, rules)


# ------------------------------------------------------------ notation


def symbol(a: int, n: int) -> str:
    """(a/n), in plain notation."""
    return f"symbol({a}, {n})"


def signed(sign: int, text: str) -> str:
    return text if sign == 1 else f"-{text}"


def product_text(factors: Factors) -> str:
    return " · ".join(f"{p}^{e}" if e > 1 else str(p) for p, e in factors)


def nearest(n: int, m: int) -> int:
    """The residue of n modulo m that is nearest to 0: 7 is -1 modulo 8."""
    return (n + m // 2 - 1) % m - m // 2 + 1


# ------------------------------------------------------------ the table of rules


def rules_table(rules: Sequence[Rewrite]) -> Block:
    """A row a rule; the sign gathered so far stands before the symbol that is left."""
    rows, sign = [], 1
    for i, rule in enumerate(rules):
        left = symbol(rule.a, rule.n) if i == 0 else ""
        sign *= rule.factor
        after = rule.after
        right = signed(sign, symbol(*after)) if after else str(sign)
        rows.append((f"${left} = {right}$", REASONS[type(rule)](rule)))
    return table((_("symbol"), _("because")), rows)


def reduced_because(rule: ReduceTop) -> str:
    return _("${a} ≡ {r} (mod {n})$").format(a=rule.a, r=rule.r, n=rule.n)


def twos_because(rule: TakeOutTwos) -> str:
    a = f"{rule.a} = 2^{rule.e}" if rule.e > 1 else str(rule.a)
    if rule.u > 1:
        a = f"{rule.a} = 2^{rule.e} · {rule.u}" if rule.e > 1 else f"{rule.a} = 2 · {rule.u}"
    elif rule.e == 1:
        a = ""
    if rule.e % 2 == 0:
        return _("${a}$, and $2^{e}$ is a square").format(a=a, e=rule.e)
    rule_of_two = _("${two} = {s}$ since ${n} ≡ {eight} (mod 8)$").format(
        two=symbol(2, rule.n), s=rule.s, n=rule.n, eight=nearest(rule.n, 8)
    )
    if not a:
        return rule_of_two
    if rule.e > 1:
        return _("${a}$ with an odd exponent, and {rule}").format(a=a, rule=rule_of_two)
    return _("${a}$, and {rule}").format(a=a, rule=rule_of_two)


def flipped_because(rule: Flip) -> str:
    a, n = rule.a, rule.n
    if rule.s == -1:
        text = _("reciprocity, with a minus sign: ${a} ≡ 3$ and ${n} ≡ 3 (mod 4)$")
    elif a % 4 == 1:
        text = _("reciprocity, without a minus sign: ${a} ≡ 1 (mod 4)$")
    else:
        text = _("reciprocity, without a minus sign: ${n} ≡ 1 (mod 4)$")
    return text.format(a=a, n=n)


def minus_one_because(rule: MinusOne) -> str:
    because = _("${symbol} = {s}$ since ${n} ≡ {four} (mod 4)$").format(
        symbol=symbol(-1, rule.n), s=rule.s, n=rule.n, four=rule.n % 4
    )
    if rule.a == -1:
        return because
    return _("${a} ≡ -1 (mod {n})$, and {because}").format(a=rule.a, n=rule.n, because=because)


def square_because(rule: SquareTop) -> str:
    if rule.a == 1:
        return _("1 is a square")
    return _("${a} = {root}^2$ is a square, and $gcd({root}, {n}) = 1$").format(
        a=rule.a, root=rule.root, n=rule.n
    )


def common_factor_because(rule: CommonFactor) -> str:
    if rule.a == 0:
        return _("0 is a multiple of {n}").format(n=rule.n)
    return _("{d} divides {a} and {n}").format(d=rule.d, a=rule.a, n=rule.n)


def one_because(rule: One) -> str:
    return _("a symbol over 1 is 1, a product of no factors")


REASONS: dict[type[Rewrite], Callable[[Any], str]] = {
    ReduceTop: reduced_because,
    TakeOutTwos: twos_because,
    Flip: flipped_because,
    MinusOne: minus_one_because,
    SquareTop: square_because,
    CommonFactor: common_factor_because,
    One: one_because,
}
"""Why each rule holds here."""

# ------------------------------------------------------------ the other steps


def kronecker(step: Kronecker) -> Iterator[Block]:
    a, n = step.a, step.n
    lead = _("Kronecker's extension.")
    if n == 0:
        yield paragraph(
            _("A symbol over 0 is 1 for the tops 1 and −1, and 0 for all others."), lead
        )
        return
    parts = [f"({step.unit})"] if step.unit == -1 else []
    symbols = [symbol(a, step.unit)] if step.unit == -1 else []
    if step.e:
        parts.append("2" if step.e == 1 else f"2^{step.e}")
        symbols.append(symbol(a, 2) + (f"^{step.e}" if step.e > 1 else ""))
    if step.odd > 1 or not parts:
        parts.append(str(step.odd))
        symbols.append(symbol(a, step.odd))
    if len(parts) > 1 or step.e > 1:
        yield paragraph(
            _("The bottom is taken apart, ${n} = {parts}$, and the symbol with it:").format(
                n=n, parts=" · ".join(parts)
            ),
            lead,
        )
        yield display(f"{symbol(a, n)} = {' · '.join(symbols)}")
        lead = ""
    sentences = []
    if step.unit == -1:
        text = (
            _("${symbol} = -1$, since {a} is negative.")
            if a < 0
            else _("${symbol} = 1$, since {a} is not negative.")
        )
        sentences.append(text.format(symbol=symbol(a, -1), a=f"${a}$"))
    if step.e:
        text = (
            _("${symbol} = 0$, since {a} is even.")
            if step.two_value == 0
            else _("${symbol} = {s}$, since {a} is odd and ${a_} ≡ {eight} (mod 8)$.")
        )
        sentences.append(
            text.format(
                symbol=symbol(a, 2), s=step.two_value, a=f"${a}$", a_=a, eight=nearest(a, 8)
            )
        )
    if sentences:
        yield paragraph(" ".join(sentences), lead)


def conclude(step: Conclude, rules: Sequence[Rewrite]) -> Iterator[Block]:
    a, n, value = step.a, step.n, step.value
    chain = " · ".join(map(bracketed, step.factors)) + " = " if len(step.factors) > 1 else ""
    answer = f"${symbol(a, n)} = {chain}{value}$."
    meaning = MEANINGS.get((step.kind, value))
    if meaning is not None:
        answer += " " + meaning().format(a=f"${a}$", n=n)
    yield paragraph(answer, _("Answer."))


MEANINGS: dict[tuple[str, int], Callable[[], str]] = {
    ("prime", 1): lambda: _("So {a} is a square modulo {n}."),
    ("prime", -1): lambda: _("So {a} is not a square modulo {n}."),
    ("prime", 0): lambda: _("{a} is a multiple of {n}."),
    ("composite", 1): lambda: _(
        "{n} is not prime, so this does not say that {a} is a square modulo {n}: two factors −1 "
        "would give 1 as well."
    ),
    ("composite", -1): lambda: _(
        "So {a} is not a square modulo one of the prime factors of {n}, and hence not a square "
        "modulo {n}."
    ),
    ("composite", 0): lambda: _("{a} and {n} have a common factor."),
}
"""What the value says, by the kind of the bottom."""


def euler(step: Euler, rules: Sequence[Rewrite]) -> Iterator[Block]:
    p, value = step.p, step.value
    power = f"{bracketed(step.a)}^{step.exponent}"
    if step.r != step.a:
        power += f" ≡ {step.r}^{step.exponent}"
    text = _("By Euler's criterion ${symbol} ≡ {power} (mod {p})$.").format(
        symbol=symbol(step.a, p), power=power, p=p
    )
    last = f"{value} ≡ {value % p}" if value == -1 else "1"
    if not step.squarings:
        text += " " + _("Repeated squaring gives ${last}$, the same value.").format(last=last)
        yield paragraph(text, _("Check."))
        return
    exponents = [e for e, _value in step.squarings if step.exponent & e]
    if step.exponent == 1:
        yield paragraph(
            text + " " + _("That is ${chain} (mod {p})$.").format(chain=chain_to(step, []), p=p),
            _("Check."),
        )
        return
    text += " " + _("By repeated squaring modulo {p}:").format(p=p)
    yield paragraph(text, _("Check."))
    yield display(*squaring_rows(step))
    if len(exponents) > 1:
        product = " · ".join(f"{step.r}^{e}" if e > 1 else str(step.r) for e in exponents)
        yield paragraph(
            _("${exponent} = {sum}$, so ${power} = {product} ≡ {chain} (mod {p})$.").format(
                exponent=step.exponent,
                sum=" + ".join(map(str, exponents)),
                power=f"{step.r}^{step.exponent}",
                product=product,
                chain=chain_to(step, exponents),
                p=p,
            )
        )
    else:
        yield paragraph(
            _("So ${power} ≡ {last} (mod {p})$, the same value.").format(
                power=f"{step.r}^{step.exponent}", last=value, p=p
            )
        )


def bracketed(a: int) -> str:
    return f"({a})" if a < 0 else str(a)


def squaring_rows(step: Euler) -> Iterator[str]:
    """3^2 = 9 ≡ 2, then 3^4 ≡ 2^2 = 4."""
    p, r = step.p, step.r
    before = r
    for e, value in step.squarings[1:]:
        square = before * before
        start = f"{r}^{e} = {before}^2" if e > 2 and before == r ** (e // 2) else f"{r}^{e}"
        if e > 2 and before != r ** (e // 2):
            start += f" ≡ {before}^2"
        elif e == 2:
            start = f"{r}^2"
        yield f"{start} = {square}" + (f" ≡ {value}" if square >= p else "")
        before = value


def chain_to(step: Euler, exponents: Sequence[int]) -> str:
    """The residues multiplied, one after another, down to 1 or -1: 4 · 2 = 8 ≡ 1."""
    values = dict(step.squarings)
    p = step.p
    if not exponents:
        last = step.r
        return f"{step.a} ≡ {last}" if last != step.a else str(last)
    chosen = [values[e] for e in exponents]
    text = " · ".join(map(str, chosen))
    while len(chosen) > 1:
        product = chosen[0] * chosen[1]
        rest = chosen[2:]
        if rest:
            chosen = [product % p, *rest]
            text += " ≡ " + " · ".join(map(str, chosen))
            continue
        text += f" = {product}" + (f" ≡ {product % p}" if product >= p else "")
        chosen = [product % p]
    return text + (" ≡ -1" if step.value == -1 else "")


def by_definition(step: ByDefinition, rules: Sequence[Rewrite]) -> Iterator[Block]:
    n, a = step.n, step.a
    symbols = [symbol(a, p) + (f"^{e}" if e > 1 else "") for p, e, _r, _s in step.symbols]
    yield paragraph(
        _("${n} = {factors}$, so ${symbol} = {symbols}$.").format(
            n=n,
            factors=product_text(step.factors),
            symbol=symbol(a, n),
            symbols=" · ".join(symbols),
        ),
        _("Check."),
    )
    yield table(
        (_("prime"), _("top"), _("squares other than 0"), _("symbol")),
        [
            (
                f"${p}$",
                f"${a} ≡ {r} (mod {p})$" if a != r else f"${r}$",
                f"${listing(sorted({x * x % p for x in range(1, p)}))}$",
                f"${symbol(a, p)} = {s}$",
            )
            for p, _e, r, s in step.symbols
        ],
    )
    values = [
        f"({s})^{e}" if e > 1 else f"({s})" if s < 0 else str(s) for _p, e, _r, s in step.symbols
    ]
    yield paragraph(
        _("The product is ${values} = {value}$.").format(
            values=" · ".join(values), value=step.value
        )
    )


TOLD: dict[type[Step], Callable[[Any, Sequence[Rewrite]], Iterator[Block]]] = {
    Conclude: conclude,
    Euler: euler,
    ByDefinition: by_definition,
}
"""How each step after the rules is told."""
