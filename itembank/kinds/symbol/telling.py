"""How the steps to the value of a symbol are told.

The rules stand in one table, a row each: what the symbol becomes, and why.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
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
from itembank.languages import Cell, Grid, Said, Told, grid, lead, say, shown
from itembank.notation.building import (
    added,
    congruence,
    dotted,
    equal,
    factored_modulus,
    listed,
    number,
    power,
    tree,
)
from itembank.notation.layout import NOTHING
from itembank.notation.tree import Group, Math, Minus, Number, Power, Relation, Symbol


def worked(solution: Solution[Any]) -> Iterator[Told]:
    """The rules as one table, the other steps one after another."""
    rules = [step for step in solution.steps if isinstance(step, Rewrite)]
    others = [step for step in solution.steps if not isinstance(step, Rewrite)]
    if others and isinstance(first := others[0], Kronecker):
        yield from kronecker(first)
        del others[0]
    if rules:
        yield rules_table(rules)
    for step in others:
        yield from TELLING[type(step)](step)


# ------------------------------------------------------------ notation


def symbol(a: int, n: int) -> Math:
    """(a/n)."""
    return Symbol(Number(a), Number(n))


def signed(sign: int, term: Math) -> Math:
    return term if sign == 1 else Minus(term)


def bracketed(a: int) -> Math:
    """(-1), or 1: a factor of a product."""
    return Group(Number(a)) if a < 0 else Number(a)


def linked(first: Math, *links: tuple[str, int | Math]) -> Math:
    """A chain of signs and sides; the first side alone is itself."""
    if not links:
        return first
    return Relation((first, *(tree(side) for _sign, side in links)), tuple(s for s, _ in links))


def nearest(n: int, m: int) -> int:
    """The residue of n modulo m that is nearest to 0: 7 is -1 modulo 8."""
    return (n + m // 2 - 1) % m - m // 2 + 1


# ------------------------------------------------------------ the table of rules


def rules_table(rules: Sequence[Rewrite]) -> Grid:
    """A row a rule; the sign gathered so far stands before the symbol that is left."""
    rows: list[tuple[Cell, Cell]] = []
    sign = 1
    for i, rule in enumerate(rules):
        left = NOTHING if i else symbol(rule.a, rule.n)
        sign *= rule.factor
        right = signed(sign, symbol(*rule.after)) if rule.after else Number(sign)
        rows.append((equal(left, right), REASONS[type(rule)](rule)))
    return grid((say("symbol"), say("because")), rows)


def reduced_because(rule: ReduceTop) -> Math:
    return congruence(number(rule.a), number(rule.r), rule.n)


def twos_because(rule: TakeOutTwos) -> Said:
    e, n, s = rule.e, rule.n, rule.s
    two, eight = symbol(2, n), nearest(n, 8)
    factors = [power(2, e), *([Number(rule.u)] if rule.u > 1 else [])]
    parts = equal(rule.a, dotted(factors))
    if e % 2 == 0:
        return say("${parts}$, and $2^{e}$ is a square", parts=parts, e=e)
    if e > 1:
        return say(
            "${parts}$ with an odd exponent, and ${two} = {s}$ since ${n} ≡ {eight} (mod 8)$",
            parts=parts,
            two=two,
            s=s,
            n=n,
            eight=eight,
        )
    if rule.u > 1:
        return say(
            "${parts}$, and ${two} = {s}$ since ${n} ≡ {eight} (mod 8)$",
            parts=parts,
            two=two,
            s=s,
            n=n,
            eight=eight,
        )
    return say("${two} = {s}$ since ${n} ≡ {eight} (mod 8)$", two=two, s=s, n=n, eight=eight)


def flipped_because(rule: Flip) -> Said:
    a, n = rule.a, rule.n
    if rule.s == -1:
        return say("reciprocity, with a minus sign: ${a} ≡ 3$ and ${n} ≡ 3 (mod 4)$", a=a, n=n)
    if a % 4 == 1:
        return say("reciprocity, without a minus sign: ${a} ≡ 1 (mod 4)$", a=a)
    return say("reciprocity, without a minus sign: ${n} ≡ 1 (mod 4)$", n=n)


def minus_one_because(rule: MinusOne) -> Said:
    a, n, s = rule.a, rule.n, rule.s
    minus, four = symbol(-1, n), n % 4
    if a == -1:
        return say("${minus} = {s}$ since ${n} ≡ {four} (mod 4)$", minus=minus, s=s, n=n, four=four)
    return say(
        "${a} ≡ -1 (mod {n})$, and ${minus} = {s}$ since ${n} ≡ {four} (mod 4)$",
        a=a,
        n=n,
        minus=minus,
        s=s,
        four=four,
    )


def square_because(rule: SquareTop) -> Said:
    if rule.a == 1:
        return say("1 is a square")
    return say(
        "${a} = {root}^2$ is a square, and $gcd({root}, {n}) = 1$",
        a=rule.a,
        root=rule.root,
        n=rule.n,
    )


def common_factor_because(rule: CommonFactor) -> Said:
    if rule.a == 0:
        return say("0 is a multiple of {n}", n=rule.n)
    return say("{d} divides {a} and {n}", d=rule.d, a=rule.a, n=rule.n)


def one_because(_rule: One) -> Said:
    return say("a symbol over 1 is 1, a product of no factors")


REASONS: Mapping[type[Rewrite], Callable[[Any], Cell]] = {
    ReduceTop: reduced_because,
    TakeOutTwos: twos_because,
    Flip: flipped_because,
    MinusOne: minus_one_because,
    SquareTop: square_because,
    CommonFactor: common_factor_because,
    One: one_because,
}
"""Why each rule holds here."""

# ------------------------------------------------------------ Kronecker's extension


def kronecker(step: Kronecker) -> Iterator[Told]:
    a, n = step.a, step.n
    yield lead("Kronecker's extension.")
    if n == 0:
        yield say("A symbol over 0 is 1 for the tops 1 and −1, and 0 for all others.")
        return
    bottoms, symbols = taken_apart(step)
    if len(bottoms) > 1 or step.e > 1:
        yield say(
            "The bottom is taken apart, ${n} = {parts}$, and the symbol with it:",
            n=n,
            parts=dotted(bottoms),
        )
        yield shown(equal(symbol(a, n), dotted(symbols)))
    if step.unit == -1 and a < 0:
        yield say("${symbol} = -1$, since ${a}$ is negative.", symbol=symbol(a, -1), a=a)
    elif step.unit == -1:
        yield say("${symbol} = 1$, since ${a}$ is not negative.", symbol=symbol(a, -1), a=a)
    if step.e and step.two_value == 0:
        yield say("${symbol} = 0$, since ${a}$ is even.", symbol=symbol(a, 2), a=a)
    elif step.e:
        yield say(
            "${symbol} = {s}$, since ${a}$ is odd and ${a} ≡ {eight} (mod 8)$.",
            symbol=symbol(a, 2),
            s=step.two_value,
            a=a,
            eight=nearest(a, 8),
        )


def taken_apart(step: Kronecker) -> tuple[list[Math], list[Math]]:
    """The sign, the power of 2 and the odd part of the bottom, and the symbols over them."""
    a = step.a
    bottoms: list[Math] = []
    symbols: list[Math] = []
    if step.unit == -1:
        bottoms.append(bracketed(-1))
        symbols.append(symbol(a, -1))
    if step.e:
        bottoms.append(power(2, step.e))
        symbols.append(power(symbol(a, 2), step.e))
    if step.odd > 1 or not bottoms:
        bottoms.append(Number(step.odd))
        symbols.append(symbol(a, step.odd))
    return bottoms, symbols


# ------------------------------------------------------------ the value


def conclude(step: Conclude) -> Iterator[Told]:
    product = [dotted(map(bracketed, step.factors))] if len(step.factors) > 1 else []
    yield lead("Answer.")
    yield say("{chain}.", chain=equal(symbol(step.a, step.n), *product, step.value))
    yield from meaning(step)


def meaning(step: Conclude) -> Iterator[Said]:
    """What the value says, by the kind of the bottom."""
    a, n = step.a, step.n
    match step.kind, step.value:
        case "prime", 1:
            yield say("So ${a}$ is a square modulo {n}.", a=a, n=n)
        case "prime", -1:
            yield say("So ${a}$ is not a square modulo {n}.", a=a, n=n)
        case "prime", 0:
            yield say("${a}$ is a multiple of {n}.", a=a, n=n)
        case "composite", 1:
            yield say(
                "{n} is not prime, so this does not say that ${a}$ is a square modulo {n}: two "
                "factors −1 would give 1 as well.",
                a=a,
                n=n,
            )
        case "composite", -1:
            yield say(
                "So ${a}$ is not a square modulo one of the prime factors of {n}, and hence not a "
                "square modulo {n}.",
                a=a,
                n=n,
            )
        case "composite", 0:
            yield say("${a}$ and {n} have a common factor.", a=a, n=n)


# ------------------------------------------------------------ Euler's criterion


def euler(step: Euler) -> Iterator[Told]:
    p, r, exponent = step.p, step.r, Number(step.exponent)
    links = [("≡", Power(Number(r), exponent))] if r != step.a else []
    yield lead("Check.")
    yield say(
        "By Euler's criterion ${symbol} ≡ {power} (mod {p})$.",
        symbol=symbol(step.a, p),
        power=linked(Power(Number(step.a), exponent), *links),
        p=p,
    )
    if not step.squarings:
        last = linked(Number(-1), ("≡", p - 1)) if step.value == -1 else Number(1)
        yield say("Repeated squaring gives {last}, the same value.", last=last)
    elif step.exponent == 1:
        yield say("That is ${chain} (mod {p})$.", chain=first_power(step), p=p)
    else:
        yield say("By repeated squaring modulo {p}:", p=p)
        yield shown(*squaring_rows(step))
        yield product_of_squares(step)


def first_power(step: Euler) -> Math:
    """-4 ≡ 2 ≡ -1: the number itself, its least residue, and 1 or -1."""
    if step.a == step.value:
        return Number(step.a)
    links: list[tuple[str, int | Math]] = [("≡", step.r)] if step.r != step.a else []
    return linked(Number(step.a), *links, *minus_one(step))


def minus_one(step: Euler) -> list[tuple[str, int | Math]]:
    """What ends a chain whose residue is p - 1."""
    return [("≡", -1)] if step.value == -1 else []


def squaring_rows(step: Euler) -> Iterator[Math]:
    """3^2 = 9 ≡ 2, then 3^4 ≡ 2^2 = 4."""
    p, r = step.p, step.r
    before = r
    for e, value in step.squarings[1:]:
        square = before * before
        links: list[tuple[str, int | Math]] = []
        if e > 2:
            links.append(("=" if before == r ** (e // 2) else "≡", power(before, 2)))
        links.append(("=", square))
        if square >= p:
            links.append(("≡", value))
        yield linked(power(r, e), *links)
        before = value


def product_of_squares(step: Euler) -> Said:
    """The squares that make up the exponent, multiplied."""
    p, r = step.p, step.r
    exponents = [e for e, _value in step.squarings if step.exponent & e]
    if len(exponents) == 1:
        return say(
            "So ${power} ≡ {last} (mod {p})$, the same value.",
            power=power(r, step.exponent),
            last=step.value,
            p=p,
        )
    return say(
        "${exponent} = {sum}$, so ${power} = {product} ≡ {chain} (mod {p})$.",
        exponent=step.exponent,
        sum=added(exponents),
        power=power(r, step.exponent),
        product=dotted(power(r, e) for e in exponents),
        chain=multiplied(step, exponents),
        p=p,
    )


def multiplied(step: Euler, exponents: Sequence[int]) -> Math:
    """The residues multiplied, one after another, down to 1 or -1: 4 · 2 = 8 ≡ 1."""
    values, p = dict(step.squarings), step.p
    value, *others = (values[e] for e in exponents)
    first = dotted([value, *others])
    links: list[tuple[str, int | Math]] = []
    while others:
        product = value * others.pop(0)
        value = product % p
        if others:
            links.append(("≡", dotted([value, *others])))
        else:
            links.append(("=", product))
            if product >= p:
                links.append(("≡", value))
    return linked(first, *links, *minus_one(step))


# ------------------------------------------------------------ the definition


def by_definition(step: ByDefinition) -> Iterator[Told]:
    n, a = step.n, step.a
    yield lead("Check.")
    yield say(
        "${n} = {factors}$, so ${symbol} = {symbols}$.",
        n=n,
        factors=factored_modulus(step.factors),
        symbol=symbol(a, n),
        symbols=dotted(power(symbol(a, p), e) for p, e, _r, _s in step.symbols),
    )
    yield grid(
        (say("prime"), say("top"), say("squares other than 0"), say("symbol")),
        [
            (
                p,
                congruence(number(a), number(r), p) if a != r else r,
                listed(sorted({x * x % p for x in range(1, p)})),
                equal(symbol(a, p), s),
            )
            for p, _e, r, s in step.symbols
        ],
    )
    yield say(
        "The product is ${values} = {value}$.",
        values=dotted(power(bracketed(s), e) for _p, e, _r, s in step.symbols),
        value=step.value,
    )


TELLING: Mapping[type[Step], Callable[[Any], Iterator[Told]]] = {
    Conclude: conclude,
    Euler: euler,
    ByDefinition: by_definition,
}
"""How each step after the rules is told."""
