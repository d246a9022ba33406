"""How the steps to the value of a symbol are told.

The rules stand in one table, a row each: what the symbol becomes, and why.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from itembank.kinds.base import Solution, Step
from itembank.kinds.chains import sum_of
from itembank.kinds.powering import power_told
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
    RootFound,
    SquareTop,
    TakeOutMinus,
    TakeOutTwos,
)
from itembank.languages import Cell, Grid, Said, Told, counted, each, grid, lead, say, shown
from itembank.maths.primes import is_prime
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import (
    congruence,
    dotted,
    equal,
    factored_modulus,
    listed,
    number,
    power,
)
from itembank.notation.layout import NOTHING
from itembank.notation.tree import Group, Math, Minus, Number, Power, Symbol


def worked(solution: Solution[Any]) -> Iterator[Told]:
    """The rules as one table, the other steps one after another."""
    rules = [step for step in solution.steps if isinstance(step, Rewrite)]
    others = [step for step in solution.steps if not isinstance(step, Rewrite)]
    if others and isinstance(first := others[0], Kronecker):
        yield from _kronecker(first)
        del others[0]
    if rules:
        yield from jacobi_said(rules)
        yield rules_table(rules)
    for step in others:
        yield from _TELLING[type(step)](step)


def jacobi_said(rules: Sequence[Rewrite]) -> Iterator[Said]:
    """That symbols over composite numbers come up on the way from a prime bottom."""
    if not is_prime(rules[0].n):
        return
    bottoms = list(dict.fromkeys(rule.n for rule in rules if rule.n > 1 and not is_prime(rule.n)))
    if bottoms:
        yield counted(
            "On the way {bottoms} stands at the bottom, which is not prime: there the symbol is a "
            "Jacobi symbol. The same rules hold for it, and the top need not be factored.",
            "On the way {bottoms} stand at the bottom, which are not prime: there the symbols are "
            "Jacobi symbols. The same rules hold for them, and the top need not be factored.",
            len(bottoms),
            bottoms=each(bottoms),
        )


# ------------------------------------------------------------ notation


def symbol(a: int, n: int) -> Math:
    """(a/n)."""
    return Symbol(Number(a), Number(n))


def _signed(sign: int, term: Math) -> Math:
    return term if sign == 1 else Minus(term)


def _bracketed(a: int) -> Math:
    """(-1), or 1: a factor of a product."""
    return Group(Number(a)) if a < 0 else Number(a)


# ------------------------------------------------------------ the table of rules


def rules_table(rules: Sequence[Rewrite]) -> Grid:
    """A row a rule; the sign gathered so far stands before the symbol that is left."""
    rows: list[tuple[Cell, Cell]] = []
    sign = 1
    for i, rule in enumerate(rules):
        left = NOTHING if i else symbol(rule.a, rule.n)
        sign *= rule.factor
        right = _signed(sign, symbol(*rule.after)) if rule.after else Number(sign)
        law = _supplementary_law(rule) if i == 0 else None
        rows.append((equal(left, right), law or _REASONS[type(rule)](rule)))
    return grid((say("symbol"), say("because")), rows)


def _supplementary_law(rule: Rewrite) -> Said | None:
    """Why (-1/n) and (2/n) themselves have their values: the row already says which."""
    if isinstance(rule, MinusOne) and rule.a == -1:
        return say(
            "supplementary law for −1, since ${n} ≡ {four} (mod 4)$", n=rule.n, four=rule.n % 4
        )
    if isinstance(rule, TakeOutTwos) and rule.a == 2:
        eight = nearest_residue(rule.n, 8)
        return say("supplementary law for 2, since ${n} ≡ {eight} (mod 8)$", n=rule.n, eight=eight)
    return None


def _minus_because(rule: TakeOutMinus) -> Said:
    return say(
        "${minus} = {s}$ since ${n} ≡ {four} (mod 4)$",
        minus=symbol(-1, rule.n),
        s=rule.s,
        n=rule.n,
        four=rule.n % 4,
    )


def _reduced_because(rule: ReduceTop) -> Math:
    return congruence(number(rule.a), number(rule.r), rule.n)


def _twos_because(rule: TakeOutTwos) -> Said:
    e, n, s = rule.e, rule.n, rule.s
    two, eight = symbol(2, n), nearest_residue(n, 8)
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
    if n == 3:
        return say("1 is the only square modulo 3 other than 0")
    return say("${two} = {s}$ since ${n} ≡ {eight} (mod 8)$", two=two, s=s, n=n, eight=eight)


def _flipped_because(rule: Flip) -> Said:
    a, n = rule.a, rule.n
    if rule.s == -1:
        return say("reciprocity, with a minus sign: ${a} ≡ 3$ and ${n} ≡ 3 (mod 4)$", a=a, n=n)
    if a % 4 == 1:
        return say("reciprocity, without a minus sign: ${a} ≡ 1 (mod 4)$", a=a)
    return say("reciprocity, without a minus sign: ${n} ≡ 1 (mod 4)$", n=n)


def _minus_one_because(rule: MinusOne) -> Said:
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


def _square_because(rule: SquareTop) -> Said:
    if rule.a == 1:
        return say("1 is a square")
    return say(
        "${a} = {root}^2$ is a square, and $gcd({root}, {n}) = 1$",
        a=rule.a,
        root=rule.root,
        n=rule.n,
    )


def _common_factor_because(rule: CommonFactor) -> Said:
    if rule.a == 0:
        return say("0 is a multiple of {n}", n=rule.n)
    return say("{d} divides {a} and {n}", d=rule.d, a=rule.a, n=rule.n)


def _one_because(_rule: One) -> Said:
    return say("a symbol over 1 is 1, a product of no factors")


_REASONS: Mapping[type[Rewrite], Callable[[Any], Cell]] = {
    ReduceTop: _reduced_because,
    TakeOutTwos: _twos_because,
    Flip: _flipped_because,
    MinusOne: _minus_one_because,
    TakeOutMinus: _minus_because,
    SquareTop: _square_because,
    CommonFactor: _common_factor_because,
    One: _one_because,
}
"""Why each rule holds here."""

# ------------------------------------------------------------ Kronecker's extension


def _kronecker(step: Kronecker) -> Iterator[Told]:
    a, n = step.a, step.n
    yield lead("Kronecker's extension.")
    if n == 0:
        yield say("A symbol over 0 is 1 for the tops 1 and −1, and 0 for all others.")
        return
    bottoms, symbols = _taken_apart(step)
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
            eight=nearest_residue(a, 8),
        )


def _taken_apart(step: Kronecker) -> tuple[list[Math], list[Math]]:
    """The sign, the power of 2 and the odd part of the bottom, and the symbols over them."""
    a = step.a
    bottoms: list[Math] = []
    symbols: list[Math] = []
    if step.unit == -1:
        bottoms.append(_bracketed(-1))
        symbols.append(symbol(a, -1))
    if step.e:
        bottoms.append(power(2, step.e))
        symbols.append(power(symbol(a, 2), step.e))
    if step.odd > 1 or not bottoms:
        bottoms.append(Number(step.odd))
        symbols.append(symbol(a, step.odd))
    return bottoms, symbols


# ------------------------------------------------------------ the value


def _conclude(step: Conclude) -> Iterator[Told]:
    product = [dotted(map(_bracketed, step.factors))] if len(step.factors) > 1 else []
    yield lead("Answer.")
    yield say("{chain}.", chain=equal(symbol(step.a, step.n), *product, step.value))
    yield from _meaning(step)


def _meaning(step: Conclude) -> Iterator[Said]:
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


# ------------------------------------------------------------ checks modulo a prime


def _root_found(step: RootFound) -> Iterator[Told]:
    a, p, root = step.a, step.p, step.root
    if root**2 in (a, a % p):
        return  # the table said so
    yield lead("Check.")
    small = a if abs(a) < p else a % p
    n = (root**2 - small) // p
    multiple = dotted((n, p)) if n > 1 else Number(p)
    yield say(
        "${root}^2 = {square} = {sum}$, so ${root}^2 ≡ {a} (mod {p})$.",
        root=root,
        square=root**2,
        sum=sum_of(multiple, number(small)),
        p=p,
        a=a,
    )


def _euler(step: Euler) -> Iterator[Told]:
    a, p, n = step.a, step.p, step.exponent
    yield lead("Check.")
    yield say(
        "By Euler's criterion ${symbol} ≡ {power} (mod {p})$, with the exponent $({p} - 1)/2 = "
        "{n}$.",
        symbol=symbol(a, p),
        power=Power(Number(a), Number(n)),
        p=p,
        n=n,
    )
    yield from power_told(a, n, p, least=False)


# ------------------------------------------------------------ the definition


def _by_definition(step: ByDefinition) -> Iterator[Told]:
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
        values=dotted(power(_bracketed(s), e) for _p, e, _r, s in step.symbols),
        value=step.value,
    )


_TELLING: Mapping[type[Step], Callable[[Any], Iterator[Told]]] = {
    Conclude: _conclude,
    Euler: _euler,
    RootFound: _root_found,
    ByDefinition: _by_definition,
}
"""How each step after the rules is told."""
