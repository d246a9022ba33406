"""Questions about single lines, composed: the key against brute force, and what it stands among."""

import re
from collections import Counter
from functools import cache
from itertools import islice
from math import gcd
from typing import Any

import pytest
import sympy

from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.pipeline.compose import Wording, compose
from itembank.pipeline.compose.lines import NONE_EVERY, place_of
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream
from itembank.spec import PoolEntry
from itembank.values.errors import ComposeError
from itembank.values.item import Item, Provenance, SelectOne
from tests.shipped import FAMILIES as SHIPPED
from tests.shipped import drawn

ASKS = ("the wrong line", "the missing step", "the next step", "the reason")

FAMILIES = {
    ask: [
        SHIPPED[name]
        for name, path in SHIPPED.paths.items()
        if f"ask: {ask}" in path.read_text(encoding="utf-8")
    ]
    for ask in ASKS
}


@cache
def items(ask: str, n: int) -> tuple[Item, ...]:
    """n items of every family with the ask."""
    found: tuple[Item, ...] = ()
    for family in FAMILIES[ask]:
        entry = PoolEntry.model_construct(
            family=family, variants=n, choose=1, points=1, form="select one"
        )
        found += tuple(item_of(v, entry) for v in drawn(family.id, n, "lines"))
    return found


# ------------------------------------------------------------ what lines say, by brute force


LINEAR = r"(\d*). ≡ (\d+) \(mod (\d+)\)"

SOLUTIONS = r"The (?:only )?solutions? modulo (\d+) (?:is|are) (.+)\."


def f_of(item: Item):
    """The polynomial and the modulus; of a system the congruences x = b (mod m), as (b, m)."""
    problem: Any = problem_from(item.statement)
    if problem.kind == "system":
        return problem.facts, problem.modulus
    if problem.kind == "power_root":  # x^k = b, as the plain statement of a polynomial is read
        return (-problem.power, *[0] * (problem.exponent - 1), 1), problem.modulus
    return problem.f, problem.modulus


def solutions(f, q):
    return [x for x in range(q) if sum(c * x**i for i, c in enumerate(f)) % q == 0]


def expanded(text):
    """A polynomial in plain text, its coefficients by degree, expanded by sympy."""
    typed = text.replace("²", "**2").replace("³", "**3").replace("−", "-")
    typed = re.sub(r"(\d|\))\s*(?=[a-z(])", r"\1*", typed)
    return sympy.Poly(sympy.sympify(typed), sympy.Symbol("x"))


def is_so(line: str, f, m) -> bool:
    """Whether a line is true, from its words."""
    line = " ".join(line.split())
    if found := re.fullmatch(SOLUTIONS, line):
        return [int(x) for x in re.findall(r"\d+", found[2])] == solutions(f, int(found[1]))
    if found := re.fullmatch(r"Completing the square gives (.+) ≡ (.+) \(mod (\d+)\)\.", line):
        left, right, p = expanded(found[1]), expanded(found[2]), int(found[3])
        own = sympy.Poly(list(reversed(f)), sympy.Symbol("x"))
        return all(c % p == 0 for g in (left - right, left - own) for c in g.all_coeffs())
    if line.startswith("Multipliers"):
        claims = re.findall(r"(\d+) ≡ (\d+) \(mod (\d+)\)", line)
        assert len(claims) == 4
        return all(int(e) % int(q) == int(r) for e, r, q in claims)
    if found := re.fullmatch(r"Dividing by \d+ gives (\d*)[a-z] ≡ (\d+) \(mod (\d+)\), .+", line):
        a, b, q = int(found[1] or 1), int(found[2]), int(found[3])
        return [x for x in range(m) if (a * x - b) % q == 0] == solutions(f, m)
    if found := re.fullmatch(r"The inverse of (\d+) modulo (\d+) is (\d+)\.", line):
        a, q, u = map(int, found.groups())
        return a * u % q == 1
    if found := re.fullmatch(rf"With . = (\d+) \+ (\d+). the .+ (\d+) becomes {LINEAR}\.", line):
        r, known, q, a, c, n = (int(n or 1) for n in found.groups())
        (b,) = (b for b, m in f if m == q)
        return q == n and all(
            ((r + known * t - b) % q == 0) == ((a * t - c) % q == 0) for t in range(q)
        )
    if found := re.fullmatch(rf"The solutions of {LINEAR} are .+ (\d+) modulo (\d+)\.", line):
        a, c, q, t, n = (int(n or 1) for n in found.groups())
        return q == n and [x for x in range(q) if (a * x - c) % q == 0] == [t]
    if found := re.fullmatch(r"The congruences modulo (.+) hold .+ (\d+) modulo (\d+)\.", line):
        moduli = [int(n) for n in re.findall(r"\d+", found[1])]
        x, product = int(found[2]), int(found[3])
        holding = [y for y in range(product) if all((y - b) % n == 0 for b, n in f if n in moduli)]
        return holding == [x]
    found = re.fullmatch(r"The solutions are the integers congruent to (\d+) modulo (\d+)\.", line)
    assert found, line
    return list(range(int(found[1]), m, int(found[2]))) == solutions(f, m)


def lines_in(item: Item) -> list[str]:
    """The paragraphs that are numbered lines, without their numbers."""
    paragraphs = [" ".join(p.split()) for p in plain.blocks(item.stem).split("\n\n")]
    return [re.sub(r"^Line \d+\. ", "", p) for p in paragraphs if re.match(r"Line \d+\. ", p)]


def labels(item: Item) -> list[str]:
    assert isinstance(item.response, SelectOne)
    return [plain.inlines(option.label) for option in item.response.options]


def key(item: Item) -> int:
    assert isinstance(item.response, SelectOne)
    (place,) = (i for i, o in enumerate(item.response.options) if o.correct)
    return place


# ------------------------------------------------------------ the wrong line


@pytest.mark.parametrize("ask", ASKS)
def test_three_families_of_two_topics_ask_it(ask):
    topics = {family.kind for family in FAMILIES[ask]}
    assert len(FAMILIES[ask]) >= 3 and len(topics) >= 2


def test_the_key_is_the_first_line_that_is_not_so():
    for item in items("the wrong line", 24):
        f, m = f_of(item)
        truths = [is_so(line, f, m) for line in lines_in(item)]
        first = truths.index(False) if False in truths else len(truths)
        assert key(item) == first
        assert labels(item) == [*(f"Line {n + 1}" for n in range(len(truths))), "No line is wrong"]


def test_feedback_to_a_line_says_that_it_is_right_only_where_it_is():
    for item in items("the wrong line", 24):
        f, m = f_of(item)
        truths = [is_so(line, f, m) for line in lines_in(item)]
        for slip in item.feedback:
            text = plain.blocks(slip.text)
            n = int(slip.response[0].removeprefix("option-")) - 1
            assert "is right" not in text or truths[n]
            assert f"Line {key(item) + 1}" not in text


def test_each_place_has_its_turn_and_no_wrong_line_its_share():
    for n in (3, 4, 5, 6, 7):
        places = Counter(place_of(index, n) for index in range(840))
        assert places.pop(None) == 840 // NONE_EVERY
        assert 840 / 20 <= 840 // NONE_EVERY <= 840 / 5
        assert max(places.values()) - min(places.values()) <= 1 and len(places) == n


def test_what_follows_a_wrong_line_follows_from_it():
    """The last line reduces to what was claimed modulo each prime power, wrong or right."""
    followed = 0
    for item in items("the wrong line", 24):
        found = [
            (int(q), {int(x) for x in re.findall(r"\d+", xs)})
            for line in lines_in(item)
            for q, xs in re.findall(SOLUTIONS, line)
        ]
        if not found:
            continue
        m, last = found[-1]
        at = key(item)
        for q, claimed in found[:-1]:
            top = not any(other % q == 0 and other != q for other, _xs in found[:-1])
            if top and at < len(lines_in(item)) - 2 and m % q == 0:
                followed += 1
                assert {x % q for x in last} == claimed
    assert followed > 50


# ------------------------------------------------------------ the missing step, the next step


@pytest.mark.parametrize("ask", ["the missing step", "the next step"])
def test_one_line_offered_is_so_and_every_line_shown(ask):
    for item in items(ask, 20):
        f, m = f_of(item)
        shown = [line for line in lines_in(item) if line != "?"]
        assert all(is_so(line, f, m) for line in shown)
        assert [is_so(label, f, m) for label in labels(item)].index(True) == key(item)
        assert sum(is_so(label, f, m) for label in labels(item)) == 1
        assert len(set(labels(item))) == 4
        assert (lines_in(item).count("?"), len(shown)) >= (int(ask == "the missing step"), 1)
        told = [label.replace("only solution", "solutions") for label in labels(item)]
        words = {re.sub(r"\d.*", "", label) for label in told}
        assert len({w.replace(" is", " are") for w in words}) == 1


@pytest.mark.parametrize("ask", ["the missing step", "the next step", "the reason"])
def test_the_key_stands_at_each_place_about_as_often(ask):
    for family in FAMILIES[ask]:
        entry = PoolEntry.model_construct(
            family=family, variants=200, choose=1, points=1, form="select one"
        )
        stream = islice(Stream(family, "places", fits(family)), 200)
        places = Counter(key(item_of(v, entry)) for v in stream)
        assert all(25 <= places[i] <= 75 for i in range(4)), (family.id, places)


def test_a_line_left_out_cannot_be_copied_from_the_next_one():
    """Seldom is the right line the only one whose own numbers all stand in the line after it."""
    copied, every = 0, items("the missing step", 40)
    for item in every:
        lines = lines_in(item)
        after = re.findall(r"\d+", lines[lines.index("?") + 1])
        own = [set(re.findall(r"\d+", label)) for label in labels(item)]
        shared = set.intersection(*own)
        told = [numbers - shared <= set(after) for numbers in own]
        copied += told.count(True) == 1 and told[key(item)]
    assert copied < len(every) / 10


def test_the_right_line_is_as_long_as_another():
    for ask in ("the missing step", "the next step"):
        for item in items(ask, 20):
            sizes = [len(re.findall(r"\d+", label)) for label in labels(item)]
            assert sizes.count(sizes[key(item)]) > 1


# ------------------------------------------------------------ the reason


def condition_holds(text: str, item: Item) -> bool:
    """Each part of a condition, by a calculation."""
    parts = text.rstrip(".").split(", and ")
    return all(part_holds(part, f_of(item)[0]) for part in parts)


def part_holds(part: str, f) -> bool:
    part = part.replace("−", "-")
    if found := re.fullmatch(r"(\d+) (divides|does not divide) (f′?)\((\d+)\) = (-?\d+)", part):
        d, word, name, r, v = found.groups()
        x = sympy.Symbol("x")
        polynomial = sympy.Poly(list(reversed(f)), x)
        g = polynomial.diff(x) if "′" in name else polynomial
        assert g.eval(int(r)) == int(v)
        return (int(v) % int(d) == 0) == (word == "divides")
    lead = "(?:the leading coefficient )?"
    if found := re.fullmatch(rf"(\d+) (divides|does not divide) {lead}(-?\d+)", part):
        return (int(found[3]) % int(found[1]) == 0) == (found[2] == "divides")
    if found := re.fullmatch(r"(\d+) is prime", part):
        return sympy.isprime(int(found[1]))
    if found := re.fullmatch(r"gcd\((\d+), (\d+)\) = (\d+)", part):
        return gcd(int(found[1]), int(found[2])) == int(found[3])
    if found := re.fullmatch(r"(\d+) · (\d+) = (\d+)", part):
        return int(found[1]) * int(found[2]) == int(found[3])
    if found := re.fullmatch(r"(\d+) is the square of an integer", part):
        return sympy.ntheory.primetest.is_square(int(found[1]))
    found = re.fullmatch(r"(\d+)([⁰¹²³⁴⁵⁶⁷⁸⁹]+) ≡ (-?1) \(mod (\d+)\)", part)
    assert found, part
    e = int(found[2].translate(str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")))
    return (pow(int(found[1]), e, int(found[4])) - int(found[3])) % int(found[4]) == 0


def statement_is_so(text: str, f, m) -> bool:
    """The statement that is to be proved, by trying every residue."""
    numbers = [int(n) for n in re.findall(r"\d+", text)]
    if "system" in text:
        n = sum(all(x % q == b for b, q in f) for x in range(m))
        return n == 1 and numbers == [m] if text.startswith("Exactly one") else n == 0
    match text.split()[0]:
        case "Exactly":
            q, r, p = numbers
            return sum(x % p == r for x in solutions(f, q)) == 1
        case "No" if not numbers:
            return not solutions(f, m)
        case "No":
            q, r, p = numbers
            return not any(x % p == r for x in solutions(f, q))
        case "Every" if "integer" in text:
            r, p, q = numbers
            return [x for x in solutions(f, q) if x % p == r] == list(range(r, q, p))
        case "Every":
            big, q = numbers
            return all(x % q in solutions(f, q) for x in solutions(f, big))
        case "Modulo":
            q, n = numbers
            count = len(solutions(f, q))
            return count == n if "exactly" in text else count <= n
        case "For":
            a, b, q = numbers
            return len({(x % a, x % b) for x in range(q)}) == q == a * b
        case "There":
            a, q = numbers
            return any(a * u % q == 1 for u in range(q))
    s, p = (int(n) for n in re.findall(r"≡ (\d+) \(mod (\d+)\)", text)[0])
    return sum((y * y - s) % p == 0 for y in range(p)) == 2


def test_one_reason_holds_and_the_statement_is_so():
    told = Counter()
    for item in items("the reason", 48):
        f, m = f_of(item)
        paragraphs = [" ".join(p.split()) for p in plain.blocks(item.stem).split("\n\n")]
        (statement,) = (p.removeprefix("Statement. ") for p in paragraphs if p.startswith("Stat"))
        assert statement_is_so(statement, f, m), statement
        holding = [condition_holds(label, item) for label in labels(item)]
        assert holding.count(True) == 1 and holding.index(True) == key(item)
        assert len(labels(item)) == len(set(labels(item))) == 4
        told[" ".join(re.findall("[A-Za-z]+", statement))[:12]] += 1
    assert len(told) >= 8


def test_a_kind_without_lines_is_refused():
    problem = problem_from(["7^222 mod 11"])
    solution = problem.solve()
    wording = Wording(
        title="t", ask="the wrong line", form="select one", rule="all or nothing", points=1,
        outcomes=(), level="easy",
        provenance=Provenance(family="f", version=1, seed="s", index=0),
    )  # fmt: skip
    with pytest.raises(ComposeError, match="the wrong line: a problem of the kind power tells of"):
        compose(problem, solution, problem.slips(solution), wording)
