"""The way to an answer as it must be told, worked out anew from the question alone.

For each question: the lines of its outline in their one order, the stages, the numbers to
match.  Each is a name, under which a language has its words, and the formulas that must stand
in it; all are found here by trial.  What is told otherwise is unchecked, and what is told
with other numbers is wrong.

Notation: m modulus, a residue, p prime, d divisor.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from math import gcd, lcm, prod

from itembank.audit.phrases import Phrases
from itembank.audit.squeezed import Known, squeezed
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import (
    Congruence,
    Inverse,
    OfIntegers,
    OfNumber,
    OrderOf,
    PowerOf,
    Question,
    Symbol,
    System,
    solutions,
)

LARGEST = 10**6
"""The largest number that is factored, counted up to or divided by trial."""

Numbers = tuple[int, ...]
Line = tuple[str, tuple[str, ...]]
"""A name and what must stand in the places of its words, squeezed."""


# ------------------------------------------------------------ words and formulas

UNKNOWN = re.compile(r"\b(\d*)[a-z](?=[≡=])")
PARAMETER = re.compile(r"(?<=\+)(\d+)[a-z]\b")


def read_line(text: str, known: Known, joint: str) -> list[Line]:
    """The names that a line may have, each with what stands in its places.

    Raises Unsupported for words that are not known.
    """
    found = squeezed(text)
    read = [
        (name, tuple(formula(part, joint) for part in match.groups()))
        for name, words in known.items()
        if (match := words.fullmatch(found))
    ]
    if not read:
        raise Unsupported(f"the line '{text[:60]}'")
    return read


def formula(text: str, joint: str) -> str:
    """A squeezed formula, its unknown called x, a parameter t, the members of a list by commas."""
    listed = re.sub(rf",? ?\b(?:{joint})\b ?", ",", text.strip())
    return PARAMETER.sub(r"\1t", UNKNOWN.sub(r"\1x", listed))


def listed(numbers: Iterable[int]) -> str:
    return ",".join(map(str, numbers))


def product(factors: Iterable[object]) -> str:
    return "*".join(map(str, factors))


def modulo(left: object, right: object, m: int) -> str:
    return f"{left}≡{right}(mod {m})"


# ------------------------------------------------------------ arithmetic by trial


def prime_powers(n: int) -> list[tuple[int, int]]:
    """(p, k) for each p^k in n, p increasing."""
    found, p = [], 2
    while n > 1:
        p = n if p * p > n else p
        k = 0
        while n % p == 0:
            n, k = n // p, k + 1
        found += [(p, k)] if k else []
        p += 1
    return found


def phi(n: int) -> int:
    """How many of 1, ..., n are coprime to n, from its primes: each takes its multiples away."""
    for p, _k in prime_powers(n):
        n -= n // p
    return n


def divisors(n: int) -> Numbers:
    return tuple(d for d in range(1, n + 1) if n % d == 0)


def inverse(a: int, m: int) -> int:
    """The least b with ab = 1 (mod m), by trial."""
    found = next((b for b in range(m) if a * b % m == 1 % m), None)
    if found is None:
        raise Unsupported(f"a way through an inverse of {a} modulo {m}")
    return found


def to_the_power(a: int, e: int, m: int) -> int:
    """a^e modulo m, a factor at a time, its powers over again once they return."""
    seen: dict[int, int] = {}
    powers: list[int] = []
    value = 1 % m
    while value not in seen and len(powers) <= e:
        seen[value] = len(powers)
        powers.append(value)
        value = value * a % m
    if e < len(powers):
        return powers[e]
    start = seen[value]
    return powers[start + (e - start) % (len(powers) - start)]


def divisions(n: int, d: int) -> list[tuple[int, int, int, int]]:
    """(dividend, quotient, divisor, remainder) of each row of Euclid's algorithm."""
    rows = []
    while d:
        rows.append((n, n // d, d, n % d))
        n, d = d, n % d
    return rows


def row(n: int, q: int, d: int, r: int) -> Line:
    return ("divide", (f"{n}={q}*{d}+{r}",)) if r else ("divide out", (f"{n}={q}*{d}",))


def small(*numbers: int) -> None:
    if any(n > LARGEST for n in numbers):
        raise Unsupported(f"a way with numbers above {LARGEST}")


# ------------------------------------------------------------ the lines, by question


def to_an_inverse(question: Inverse) -> Iterator[Line]:
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


def to_a_divisor(question: OfIntegers) -> Iterator[Line]:
    if question.function != "gcd" or len(question.numbers) != 2 or min(question.numbers) < 1:
        raise Unsupported("a way to what is no greatest common divisor of two positive numbers")
    b, a = sorted(question.numbers)
    small(a)
    rows = divisions(a, b)
    d = rows[-1][2]
    yield from (row(*r) for r in rows)
    yield "take", (f"gcd({a},{b})={d}",)
    if len(rows) < 5 and d > 1:
        yield "multiples", (",".join(f"{n}={n // d}*{d}" for n in (a, b)),)


def to_linear_solutions(question: Congruence, collected: bool) -> Iterator[Line]:
    m = question.modulus
    b, a = (*question.coefficients, 0, 0)[:2]
    b = -b % m
    small(m)
    d = gcd(a, m)
    if a < 2 or b % d:
        raise Unsupported("a way to solutions that there are not, or that are in sight")
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


def to_an_order(question: OrderOf) -> Iterator[Line]:
    a, m = question.number, question.modulus
    small(m)
    if not 1 < a < m or gcd(a, m) > 1:
        raise Unsupported("a way to an order that is in sight, or that there is not")
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


def raised(a: int, e: int) -> str:
    return f"{a}^{e}" if e > 1 else str(a)


def factored_line(m: int) -> Iterator[Line]:
    """The factorisation of a number that is no prime."""
    factors = prime_powers(m)
    if sum(k for _p, k in factors) > 1:
        yield "factor", (f"{m}={product(raised(p, k) for p, k in factors)}",)


def to_a_power(question: PowerOf, told: Collection[Line]) -> Iterator[Line]:
    """What reduces the base is taken as it is told, if it is so: the question holds the residue."""
    (a, e, m), n = powered(question)
    for line in told:
        if line[0] == "reduce base" and reduces(line[1][0], a, m):
            yield line
    yield from factored_line(m)
    yield "euler", (f"φ({m})={n}", modulo(f"{a}^{n}", 1, m))
    r = e % n
    yield "exponent", (f"{e}={e // n}*{n}+{r}",)
    parts = [2**i for i in reversed(range(r.bit_length())) if r >> i & 1]
    if len(parts) > 1:
        yield "binary", (f"{r}={'+'.join(map(str, parts))}",)
    squares = {2**i: to_the_power(a, 2**i, m) for i in range(r.bit_length())}
    shown = [modulo(f"{a}^{k}", v, m) for k, v in squares.items() if k > 1]
    yield "square", (str(max(squares)), ",".join(shown))
    value = to_the_power(a, r, m)
    if len(parts) > 1:
        yield "multiply", (modulo(product(squares[k] for k in parts), value, m),)
    else:
        yield "result", (modulo(f"{a}^{e}", value, m),)


def reduces(told: str, a: int, m: int) -> bool:
    """Whether it is said that a is the least residue of another number, and so it is."""
    match = re.fullmatch(rf"(-?\d{{1,40}})≡{a}\(mod {m}\)", told)
    return match is not None and int(match[1]) % m == a != int(match[1])


def powered(question: PowerOf) -> tuple[Numbers, int]:
    """(base, exponent, modulus) and phi(modulus), by which the exponent is reduced."""
    m = question.modulus
    if len(question.exponents) != 1:
        raise Unsupported("a way to a tower of powers")
    (e,) = question.exponents
    small(m)
    n = phi(m)
    if gcd(question.base, m) > 1 or e < n or e % n < 2:
        raise Unsupported("a way to a power that Euler's theorem does not reduce")
    return (question.base % m, e, m), n


def to_phi(question: OfNumber) -> Iterator[Line]:
    n = question.number
    if question.function != "phi":
        raise Unsupported("a way to Carmichael's function")
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


Class = tuple[int, int]


def rows_of(question: System, shown: Sequence[Congruence]) -> list[Class]:
    """(a, m) of each x = a (mod m), in the order in which they are shown."""
    if sorted(map(repr, shown)) != sorted(map(repr, question.congruences)):
        raise Unsupported("a system that is shown in another form")
    if any(len(row.coefficients) not in (2,) or row.coefficients[1] != 1 for row in shown):
        raise Unsupported("a way through congruences that are not solved for the unknown")
    found = [(-row.coefficients[0] % row.modulus, row.modulus) for row in shown]
    small(lcm(*(m for _a, m in found)))
    return found


def to_a_system(found: list[Class]) -> Iterator[Line]:
    moduli = [m for _a, m in found]
    whole = lcm(*moduli)
    if whole == prod(moduli):
        yield from by_weights(found, whole)
    elif len(found) == 2:
        one, other = found
        yield from by_substitution(one, other, whole)
    else:
        raise Unsupported("a way to a system of more than two congruences that share factors")
    yield "check", (str(whole),)


def weights(found: list[Class], whole: int) -> list[Class]:
    """For each modulus the product of the others, and its inverse."""
    return [(whole // m, inverse(whole // m % m, m)) for _a, m in found]


def by_weights(found: list[Class], whole: int) -> Iterator[Line]:
    weighted = weights(found, whole)
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


def by_substitution(one: Class, other: Class, whole: int) -> Iterator[Line]:
    (a, m), (b, n) = one, other
    d = gcd(m, n)
    if (a - b) % d:
        raise Unsupported("a way to the solution of a system that has none")
    yield "difference", (f"gcd({m},{n})={d}", str(abs(a - b)))
    m1, c1, n1 = m // d % (n // d), (b - a) // d % (n // d), n // d
    put = modulo(f"{m1}t" if m1 > 1 else "t", c1, n1)
    yield "put", (f"x={a}+{m}t", UNKNOWN.sub(r"\1x", put))
    t = next(t for t in range(n1) if (m1 * t - c1) % n1 == 0)
    if m1 > 1:
        yield "parameter", (modulo("x", t, n1),)
    yield "put back", (modulo("x", (a + m * t) % whole, whole),)


# ------------------------------------------------------------ symbols: a chain

CHAIN = re.compile(r"\((-?\d+)/(\d+)\)=(-?)(?:\((-?\d+)/(\d+)\)|(\d+))")


def symbol_value(a: int, n: int) -> int:
    """(a/n) for odd n >= 1: for each prime of n, whether a is a square, by trial."""
    value = 1
    for p, k in prime_powers(n):
        small(p)
        squares = {x * x % p for x in range(1, p)}
        value *= (0 if a % p == 0 else 1 if a % p in squares else -1) ** k
    return value


def chained(question: Symbol, lines: Mapping[str, str], known: Known) -> list[str]:
    """The names of lines that each take up what the one before leaves, the value last.

    Raises Unsupported for a line that is untrue, or that no chain holds.
    """
    told = {name: read_rule(line, known) for name, line in lines.items()}
    symbol, left = (question.top, question.bottom), dict(told)
    order: list[str] = []
    small(question.bottom)
    values = [n for n, (rule, _s, after) in told.items() if rule == "value"]
    if len(values) != 1 or told[values[0]][1:] != (symbol, symbol_value(*symbol)):
        raise Unsupported("a way to a symbol that does not end with its value")
    del left[values[0]]
    at: object = symbol
    while left:
        found = [n for n, (_r, before, _a) in left.items() if before == at]
        if len(found) != 1:
            raise Unsupported("a way to a symbol with a line that takes up no other")
        order.append(found[0])
        at = left.pop(found[0])[2]
    if isinstance(at, tuple):
        raise Unsupported("a way to a symbol that leaves one to be found")
    return [*order, values[0]]


Rule = tuple[str, tuple[int, int], "tuple[int, int] | int"]


def read_rule(text: str, known: Known) -> Rule:
    """The rule of a line, its symbol, and the symbol or the number that it leaves."""
    for name, (told, *_) in read_line(text, known, "and"):
        match = CHAIN.fullmatch(told)
        if match and (found := rule(name, match)):
            return found
    raise Unsupported(f"the line '{text[:60]}', which is no rule of symbols")


def rule(name: str, match: re.Match[str]) -> Rule | None:
    """The rule that a line states, where it is true and leads to what it says."""
    before = int(match[1]), int(match[2])
    sign = -1 if match[3] else 1
    after = (int(match[4]), int(match[5])) if match[4] else sign * int(match[6])
    value = sign * symbol_value(*after) if isinstance(after, tuple) else after
    if before[1] % 2 == 0 or symbol_value(*before) != value or not follows(name, before, after):
        return None
    return name, before, after


def follows(name: str, before: tuple[int, int], after: tuple[int, int] | int) -> bool:
    """Whether a rule of this name leads from one symbol to the other."""
    (a, n), (b, k) = before, after if isinstance(after, tuple) else (0, 0)
    match name:
        case "reduce top":
            return k == n and b == a % n
        case "twos":
            odd = a // (a & -a) if a else 0
            return (k == n and b == odd) if k else odd == 1
        case "turn":
            return (b, k) == (n, a)
        case "minus one top":
            return k == 0 and (a + 1) % n == 0
        case "square top":
            return k == 0 and any(x * x == a for x in range(a + 1))
        case "common factor":
            return k == 0 and gcd(a, n) > 1
        case "one below":
            return k == 0 and n == 1
    return name == "value" and k == 0


# ------------------------------------------------------------ all of them


def way_of(question: Question, told: Collection[Line], shown: Sequence[Congruence]) -> list[Line]:
    """The lines of the way, in order; `told` are those that may be."""
    names = {name for name, _ in told}
    match question:
        case Inverse():
            return list(to_an_inverse(question))
        case OfIntegers():
            return list(to_a_divisor(question))
        case OrderOf():
            return list(to_an_order(question))
        case PowerOf():
            return list(to_a_power(question, told))
        case OfNumber():
            return list(to_phi(question))
        case System():
            return list(to_a_system(rows_of(question, shown)))
        case Congruence():
            way = list(to_linear_solutions(question, "collect" in names))
            return way if "check" in names or way[0][0] != "collect" else way[:-1]
    raise Unsupported(f"the way to an answer of a question of the type {type(question).__name__}")


def ordered(
    question: Question,
    lines: Mapping[str, str],
    phrases: Phrases,
    shown: Sequence[Congruence],
) -> tuple[list[str], list[str]]:
    """The names of the lines in their order, and what is wrong with them.

    `shown` are the congruences of the stem, in their order.
    """
    if isinstance(question, Symbol):
        return chained(question, lines, phrases.ways), []
    read = {
        name: read_line(line, phrases.ways, phrases.answer.joint) for name, line in lines.items()
    }
    way = way_of(question, [line for told in read.values() for line in told], shown)
    place: dict[str, int] = {}
    faults = []
    for name, told in read.items():
        at = [way.index(line) for line in told if line in way]
        if at:
            place[name] = at[0]
        else:
            faults.append(f"step: expected one of the method, got '{lines[name][:80]}'")
    if not faults and sorted(place.values()) != list(range(len(way))):
        faults.append("steps: expected each step of the method once")
    return sorted(read, key=lambda name: place.get(name, 0)), faults


# ------------------------------------------------------------ stages

Stage = tuple[str, tuple[str, ...], Numbers]
"""A name, what stands in its prompt after the number of the stage, what must be typed."""


def stages(question: Question, shown: Sequence[Congruence]) -> list[Stage]:
    """The stages that lead to the answer, the last its own."""
    match question:
        case OfIntegers():
            return divisor_stages(question)
        case OrderOf():
            a, m = question.number, question.modulus
            small(m)
            n = phi(m)
            t = next((e for e in divisors(n) if to_the_power(a % m, e, m) == 1), None)
            if t is None:
                raise Unsupported("stages to an order that there is not")
            return [
                ("phi", (f"φ({m})",), (n,)),
                ("its divisors", (), divisors(n)),
                ("order", (str(a), str(m)), (t,)),
            ]
        case PowerOf():
            (a, e, m), n = powered(question)
            value = to_the_power(a, e % n, m)
            return [
                ("phi", (f"φ({m})",), (n,)),
                ("remainder of exponent", (str(e),), (e % n,)),
                ("power asked", (str(m),), (value,)),
            ]
        case System():
            found = rows_of(question, shown)
            whole = lcm(*(m for _a, m in found))
            if whole != prod(m for _a, m in found):
                raise Unsupported("stages to a system whose moduli share factors")
            weighted = zip(found, weights(found, whole), strict=True)
            asked = [("inverse asked", (str(c), str(m)), (n,)) for (_a, m), (c, n) in weighted]
            return [*asked, whole_answer(question, whole)]
        case Congruence():
            return linear_stages(question)
    raise Unsupported(f"stages of a question of the type {type(question).__name__}")


def divisor_stages(question: OfIntegers) -> list[Stage]:
    if question.function != "gcd" or len(question.numbers) != 2 or min(question.numbers) < 1:
        raise Unsupported("stages to what is no greatest common divisor of two positive numbers")
    b, a = sorted(question.numbers)
    small(a)
    rows = divisions(a, b)
    if len(rows) < 3:
        raise Unsupported("stages to a divisor that is found at once")
    return [
        ("first remainder", (), (rows[0][3],)),
        ("second remainder", (), (rows[1][3],)),
        ("divisor of two", (str(a), str(b)), (rows[-1][2],)),
    ]


def linear_stages(question: Congruence) -> list[Stage]:
    m = question.modulus
    b, a = (*question.coefficients, 0, 0)[:2]
    d = gcd(a, m)
    small(m)
    if -b % m % d:
        raise Unsupported("stages to solutions that there are not")
    return [
        ("divisor of two", (str(a), str(m)), (d,)),
        ("right side", (), (-b % m // d,)),
        ("inverse after division", (), (inverse(a // d, m // d),)),
        whole_answer(question, m),
    ]


def whole_answer(question: Question, m: int) -> Stage:
    found = solutions(question)
    if found is None:
        raise Unsupported(f"solutions modulo {m} that are too many to list")
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
    raise Unsupported("numbers to match that are none of the question")
