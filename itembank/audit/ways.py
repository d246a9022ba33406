"""The way to an answer as it must be told, worked out anew from the question alone.

For each question: the lines of its outline in their one order, the stages, the numbers to
match.  Each is a name, under which a language has its words, and the formulas that must stand
in it; all are found here by trial.  What is told otherwise is unchecked, and what is told
with other numbers is wrong.

Notation: m modulus, a residue, p prime, d divisor.
"""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from math import gcd, lcm, prod

from itembank.audit.chain import chained
from itembank.audit.phrases import Phrases
from itembank.audit.reckoning import (
    UNKNOWN,
    Line,
    Numbers,
    divisions,
    divisors,
    factored_line,
    inverse,
    listed,
    modulo,
    phi,
    prime_powers,
    product,
    raised,
    read_line,
    row,
    small,
    to_the_power,
)
from itembank.audit.unsupported import Unsupported
from itembank.audit.untrue import is_untrue
from itembank.audit.ways_to_unknowns import (
    by_indices,
    power_asked,
    to_a_pair,
    to_a_primitive_root,
    to_a_root,
)
from itembank.second_way.power_root import PowerOfUnknown
from itembank.second_way.table import (
    Congruence,
    FactorialOf,
    Inverse,
    OfIntegers,
    OfNumber,
    OrderOf,
    PowerOf,
    Question,
    Roots,
    Symbol,
    System,
    TwoUnknowns,
    solutions,
)
from itembank.values.worded import worded

# ------------------------------------------------------------ the lines, by question


def _to_an_inverse(question: Inverse) -> Iterator[Line]:
    number, m = question.number, question.modulus
    small(m)
    a = number % m
    if a != number:
        yield "reduce", (modulo(number, a, m),)
    rows = divisions(m, a)[:-1]
    yield from (row(*r) for r in rows)
    y = inverse(a, m)
    v = y if len(rows) % 2 == 0 else y - m
    yield "back", (modulo(1, f"{v}*{a}", m),)
    if v < 0:
        yield "least", (modulo(v, y, m),)
    yield "name", (str(number), str(m), str(y))


def _to_a_divisor(question: OfIntegers) -> Iterator[Line]:
    if question.function != "gcd" or len(question.numbers) != 2 or min(question.numbers) < 1:
        raise Unsupported(
            worded("a way to what is no greatest common divisor of two positive numbers")
        )
    b, a = sorted(question.numbers)
    small(a)
    rows = divisions(a, b)
    d = rows[-1][2]
    yield from (row(*r) for r in rows)
    yield "take", (f"gcd({a},{b})={d}",)
    if len(rows) < 5 and d > 1:
        yield "multiples", (",".join(f"{n}={n // d}*{d}" for n in (a, b)),)


def _to_linear_solutions(question: Congruence, collected: bool) -> Iterator[Line]:
    m = question.modulus
    b, a = (*question.coefficients, 0, 0)[:2]
    b = -b % m
    small(m)
    d = gcd(a, m)
    if a < 2 or b % d:
        raise Unsupported(worded("a way to solutions that there are not, or that are in sight"))
    if collected:
        yield "collect", (modulo(f"{a}x", b, m),)
    yield ("coprime" if d == 1 else "divisor"), (f"gcd({a},{m})={d}",)
    a1, b1, m1 = a // d, b // d, m // d
    if d > 1:
        yield "divide by", (modulo(f"{a1}x" if a1 > 1 else "x", b1, m1),)
    y = inverse(a1, m1)
    x = y * b1 % m1
    if a1 > 1:
        yield "invert", (modulo(f"{a1}*{y}", 1, m1),)
    if y > 1:
        yield "by inverse", (modulo("x", x, m1),)
    if d > 1:
        yield "spread", (modulo("x", listed(range(x, m, m1)), m),)
    yield "check", (str(m),)


def _to_an_order(question: OrderOf) -> Iterator[Line]:
    a, m = question.number, question.modulus
    small(m)
    if not 1 < a < m or gcd(a, m) > 1:
        raise Unsupported(worded("a way to an order that is in sight, or that there is not"))
    yield from factored_line(m)
    n = phi(m)
    yield "count", (f"φ({m})={n}",)
    yield "divisors", (listed(divisors(n)),)
    before = 1
    while to_the_power(a, before, m) != 1:
        e = next(d for d in divisors(n) if d > before)
        known, value = to_the_power(a, before, m), to_the_power(a, e, m)
        more = raised(a, e - before)
        yield "power", (f"{a}^{e}≡{known}*{modulo(more, value, m)}",)
        before = e
    yield "exponent of 1", (str(before),)


def _to_a_power(question: PowerOf, told: Collection[Line]) -> Iterator[Line]:
    """What reduces the base is taken as it is told, if it is so: the question holds the residue."""
    (a, e, m), n = _powered(question)
    for line in told:
        if line[0] == "reduce base" and _reduces(line[1][0], a, m):
            yield line
    yield from factored_line(m)
    yield "euler", (f"φ({m})={n}", modulo(f"{a}^{n}", 1, m))
    r = e % n
    yield "exponent", (f"{e}={e // n}*{n}+{r}",)
    parts = [2**i for i in reversed(range(r.bit_length())) if r >> i & 1]
    if len(parts) > 1:
        yield "binary", (f"{r}={'+'.join(map(str, parts))}",)
    squares = {2**i: to_the_power(a, 2**i, m) for i in range(r.bit_length())}
    del squares[1]
    shown = modulo(",".join(f"{a}^{k}" for k in squares), listed(squares.values()), m)
    yield "square", (str(max(squares)), shown)
    squares[1] = a
    value = to_the_power(a, r, m)
    if len(parts) > 1:
        yield "multiply", (modulo(product(squares[k] for k in parts), value, m),)
    else:
        yield "result", (modulo(f"{a}^{e}", value, m),)


def _reduces(told: str, a: int, m: int) -> bool:
    """Whether it is said that a is the least residue of another number, and so it is."""
    match = re.fullmatch(rf"(-?\d{{1,40}})≡{a}\(mod {m}\)", told)
    return match is not None and int(match[1]) % m == a != int(match[1])


def _powered(question: PowerOf) -> tuple[Numbers, int]:
    """(base, exponent, modulus) and phi(modulus), by which the exponent is reduced."""
    m = question.modulus
    if len(question.exponents) != 1:
        raise Unsupported(worded("a way to a tower of powers"))
    (e,) = question.exponents
    small(m)
    n = phi(m)
    if gcd(question.base, m) > 1 or e < n or e % n < 2:
        raise Unsupported(worded("a way to a power that Euler's theorem does not reduce"))
    return (question.base % m, e, m), n


def _to_phi(question: OfNumber) -> Iterator[Line]:
    n = question.number
    if question.function != "phi":
        raise Unsupported(worded("a way to Carmichael's function"))
    small(n)
    factors, left = prime_powers(n), n
    for p, k in factors[:-1]:
        yield "split", (f"{left}={raised(p, k)}*{left // p**k}",)
        left //= p**k
    lowered = [p**k - p ** (k - 1) for p, k in factors]
    if any(k > 1 for _p, k in factors):
        yield "lower", (product(f"({p**k}-{p ** (k - 1)})" for p, k in factors),)
        yield "brackets", (product(lowered),)
    else:
        yield "minus one", (product(lowered),)
    yield "product of phi", (f"φ({n})={phi(n)}",)


def _missing(question: FactorialOf) -> Numbers:
    """(p, how many factors are missing of (p - 1)!, their product); Unsupported if useless."""
    n, p = question.number, question.modulus
    small(p)
    k = p - 1 - n
    if prime_powers(p) != [(p, 1)] or not 2 < k <= n:
        raise Unsupported(worded("a way to a factorial that Wilson's theorem does not help to"))
    product = 1
    for factor in range(n + 1, p):
        product = product * factor % p
    return p, k, product


def _to_a_factorial(question: FactorialOf) -> Iterator[Line]:
    p, k, c = _missing(question)
    value = 2
    for j in range(3, k + 1):
        before, value = value, value * j % p
        yield "missing factors", (f"{j}!≡{before}*{j}≡{value}(mod {p})",)
    if k % 2:
        yield "sign", (modulo(-value, c, p),)
    y = inverse(c, p)
    yield "invert missing", (modulo(f"{c}*{y}", 1, p),)
    yield "divide by missing", (f"{question.number}!≡-{y}≡{-y % p}(mod {p})",)


_Class = tuple[int, int]


def _rows_of(question: System, shown: Sequence[Congruence]) -> list[_Class]:
    """(a, m) of each x = a (mod m), in the order in which they are shown."""
    if sorted(map(repr, shown)) != sorted(map(repr, question.congruences)):
        raise Unsupported(worded("a system that is shown in another form"))
    if any(len(row.coefficients) not in (2,) or row.coefficients[1] != 1 for row in shown):
        raise Unsupported(worded("a way through congruences that are not solved for the unknown"))
    found = [(-row.coefficients[0] % row.modulus, row.modulus) for row in shown]
    small(lcm(*(m for _a, m in found)))
    return found


def _to_a_system(found: list[_Class]) -> Iterator[Line]:
    moduli = [m for _a, m in found]
    whole = lcm(*moduli)
    if whole == prod(moduli):
        yield from _by_weights(found, whole)
    elif len(found) == 2:
        one, other = found
        yield from _by_substitution(one, other, whole)
    else:
        raise Unsupported(
            worded("a way to a system of more than two congruences that share factors")
        )
    yield "check", (str(whole),)


def _weights(found: list[_Class], whole: int) -> list[_Class]:
    """For each modulus the product of the others, and its inverse."""
    return [(whole // m, inverse(whole // m % m, m)) for _a, m in found]


def _by_weights(found: list[_Class], whole: int) -> Iterator[Line]:
    weighted = _weights(found, whole)
    inverses = listed(n for _c, n in weighted)
    if len(found) > 2:
        yield "product", (f"{product(m for _a, m in found)}={whole}",)
        yield "quotients", (listed(c for c, _n in weighted),)
        yield "inverses", (inverses,)
    else:
        yield "inverses of two", (inverses,)
    terms = [(a, c, n) for (a, _m), (c, n) in zip(found, weighted, strict=True)]
    total = sum(a * c * n for a, c, n in terms)
    yield "sum", (f"{'+'.join(map(product, terms))}={total}",)
    if total >= whole:
        yield "reduce", (modulo(total, total % whole, whole),)
    else:
        yield "as it is", (modulo("x", total, whole),)


def _by_substitution(one: _Class, other: _Class, whole: int) -> Iterator[Line]:
    (a, m), (b, n) = one, other
    d = gcd(m, n)
    if (a - b) % d:
        raise Unsupported(worded("a way to the solution of a system that has none"))
    yield "difference", (f"gcd({m},{n})={d}", str(abs(a - b)))
    m1, c1, n1 = m // d % (n // d), (b - a) // d % (n // d), n // d
    put = modulo(f"{m1}t" if m1 > 1 else "t", c1, n1)
    yield "put", (f"x={a}+{m}t", UNKNOWN.sub(r"\1x", put))
    t = next(t for t in range(n1) if (m1 * t - c1) % n1 == 0)
    if m1 > 1:
        yield "parameter", (modulo("x", t, n1),)
    yield "put back", (modulo("x", (a + m * t) % whole, whole),)


# ------------------------------------------------------------ all of them


def _way_of(question: Question, told: Collection[Line], shown: Sequence[Congruence]) -> list[Line]:
    """The lines of the way, in order; `told` are those that may be."""
    names = {name for name, _ in told}
    match question:
        case Inverse():
            return list(_to_an_inverse(question))
        case OfIntegers():
            return list(_to_a_divisor(question))
        case OrderOf():
            return list(_to_an_order(question))
        case PowerOf():
            return list(_to_a_power(question, told))
        case OfNumber():
            return list(_to_phi(question))
        case FactorialOf():
            return list(_to_a_factorial(question))
        case System():
            return list(_to_a_system(_rows_of(question, shown)))
        case Roots():
            return list(to_a_primitive_root(question))
        case TwoUnknowns():
            return list(to_a_pair(question, _letters_told(told)))
        case PowerOfUnknown():
            return list(to_a_root(question))
        case Congruence() if "take indices" in names:
            return list(by_indices(question, told))
        case Congruence() if "invert exponent" in names:
            return list(to_a_root(question))
        case Congruence():
            way = list(_to_linear_solutions(question, "collect" in names))
            return way if "check" in names or way[0][0] != "collect" else way[:-1]
    raise Unsupported(
        worded(
            "the way to an answer of a question of the type {name}",
            name=type(question).__name__,
        )
    )


def _letters_told(told: Collection[Line]) -> tuple[str, str]:
    """The unknowns in the order of the alphabet: the one that is eliminated is the second."""
    found = {parts[0] for name, parts in told if name in ("eliminate", "put in")}
    if len(found) != 2 or not all(re.fullmatch("[a-z]", letter) for letter in found):
        raise Unsupported(worded("a way to a pair that does not name both unknowns"))
    x, y = sorted(found)
    return x, y


def ordered(
    question: Question,
    lines: Mapping[str, str],
    phrases: Phrases,
    shown: Sequence[Congruence],
    some: bool = False,
) -> tuple[list[str], list[str]]:
    """The names of the lines in their order, and what is wrong with them.

    `shown` are the congruences of the stem, in their order.  Where `some` lines alone are needed,
    those that are untrue are none of the method, and stay out.
    """
    if isinstance(question, Symbol):
        if some:
            raise Unsupported(worded("a way to a symbol among lines that do not belong"))
        return chained(question, lines, phrases.ways), []
    read = {
        name: read_line(line, phrases.ways, phrases.answer.joint) for name, line in lines.items()
    }
    way = _way_of(question, [line for told in read.values() for line in told], shown)
    place: dict[str, int] = {}
    faults, out = [], set()
    moduli = tuple(row.modulus for row in shown) if isinstance(question, System) else ()
    for name, told in read.items():
        at = [way.index(line) for line in told if line in way]
        if at:
            place[name] = at[0]
        elif some and any(is_untrue(line, way, moduli) for line in told):
            out.add(name)
        else:
            faults.append(f"step: expected one of the method, got '{lines[name][:80]}'")
    if not faults and sorted(place.values()) != list(range(len(way))):
        faults.append("steps: expected each step of the method once")
    return sorted(read.keys() - out, key=lambda name: place.get(name, 0)), faults


# ------------------------------------------------------------ stages

Stage = tuple[str, tuple[str, ...], Numbers]
"""A name, what stands in its prompt after the number of the stage, what must be typed."""


def stages(question: Question, shown: Sequence[Congruence]) -> list[Stage]:
    """The stages that lead to the answer, the last its own."""
    match question:
        case OfIntegers():
            return _divisor_stages(question)
        case Inverse():
            return _inverse_stages(question)
        case PowerOfUnknown():
            return _root_stages(question)
        case Congruence(coefficients=coefficients) if len(coefficients) > 2:
            return _root_stages(question)
        case OrderOf():
            a, m = question.number, question.modulus
            small(m)
            n = phi(m)
            t = next((e for e in divisors(n) if to_the_power(a % m, e, m) == 1), None)
            if t is None:
                raise Unsupported(worded("stages to an order that there is not"))
            return [
                ("phi", (f"φ({m})",), (n,)),
                ("its divisors", (), divisors(n)),
                ("order", (str(a), str(m)), (t,)),
            ]
        case PowerOf():
            (a, e, m), n = _powered(question)
            value = to_the_power(a, e % n, m)
            return [
                ("phi", (f"φ({m})",), (n,)),
                ("remainder of exponent", (str(e),), (e % n,)),
                ("power asked", (str(m),), (value,)),
            ]
        case FactorialOf():
            p, k, c = _missing(question)
            return [
                ("missing of", (f"{p - 1}!",), (k,)),
                ("product of missing", (str(p),), (c,)),
                ("factorial asked", (str(p),), (-inverse(c, p) % p,)),
            ]
        case System():
            found = _rows_of(question, shown)
            whole = lcm(*(m for _a, m in found))
            if whole != prod(m for _a, m in found):
                raise Unsupported(worded("stages to a system whose moduli share factors"))
            weighted = zip(found, _weights(found, whole), strict=True)
            asked = [("inverse asked", (str(c), str(m)), (n,)) for (_a, m), (c, n) in weighted]
            return [*asked, _whole_answer(question, whole)]
        case Congruence():
            return _linear_stages(question)
    raise Unsupported(
        worded("stages of a question of the type {name}", name=type(question).__name__)
    )


def _inverse_stages(question: Inverse) -> list[Stage]:
    number, m = question.number, question.modulus
    small(m)
    rows = divisions(m, number % m)
    if len(rows) < 3:
        raise Unsupported(worded("stages to an inverse that is found at once"))
    return [
        ("first remainder of modulus", (), (rows[0][3],)),
        ("second remainder", (), (rows[1][3],)),
        ("inverse asked", (str(number), str(m)), (inverse(number % m, m),)),
    ]


def _root_stages(question: Congruence | PowerOfUnknown) -> list[Stage]:
    k, a, m = power_asked(question)
    small(m)
    n = phi(m)
    if gcd(a, m) > 1 or gcd(k, n) > 1:
        raise Unsupported(
            worded("stages to roots by another method than an inverse of the exponent")
        )
    return [
        ("phi", (f"φ({m})",), (n,)),
        ("inverse of exponent", (str(k),), (inverse(k % n, n),)),
        _whole_answer(question, m),
    ]


def _divisor_stages(question: OfIntegers) -> list[Stage]:
    if question.function != "gcd" or len(question.numbers) != 2 or min(question.numbers) < 1:
        raise Unsupported(
            worded("stages to what is no greatest common divisor of two positive numbers")
        )
    b, a = sorted(question.numbers)
    small(a)
    rows = divisions(a, b)
    if len(rows) < 3:
        raise Unsupported(worded("stages to a divisor that is found at once"))
    return [
        ("first remainder", (), (rows[0][3],)),
        ("second remainder", (), (rows[1][3],)),
        ("divisor of two", (str(a), str(b)), (rows[-1][2],)),
    ]


def _linear_stages(question: Congruence) -> list[Stage]:
    m = question.modulus
    b, a = (*question.coefficients, 0, 0)[:2]
    d = gcd(a, m)
    small(m)
    if -b % m % d:
        raise Unsupported(worded("stages to solutions that there are not"))
    return [
        ("divisor of two", (str(a), str(m)), (d,)),
        ("right side", (), (-b % m // d,)),
        ("inverse after division", (), (inverse(a // d, m // d),)),
        _whole_answer(question, m),
    ]


def _whole_answer(question: Question, m: int) -> Stage:
    found = solutions(question)
    if found is None:
        raise Unsupported(worded("solutions modulo {m} that are too many to list", m=m))
    return "all", (str(m), str(m - 1)), found


# ------------------------------------------------------------ numbers to match


def value_of(question: Question, name: str, told: tuple[str, ...], source: int) -> int:
    """What a number is to be matched with, by the words of the instruction."""
    match name, question:
        case "powers", OrderOf() | PowerOf():
            base = question.number if isinstance(question, OrderOf) else question.base
            m = question.modulus
            if told == (f"{base % m}^k", str(m)):
                return to_the_power(base % m, source, m)
        case "inverses matched", Inverse():
            if told == (str(question.modulus),):
                return inverse(source, question.modulus)
        case "values of phi", OfNumber():
            if told == (str(question.number),) and question.number % source == 0:
                return sum(gcd(k, source) == 1 for k in range(1, source + 1))
    raise Unsupported(worded("numbers to match that are none of the question"))
