"""Expressions: the values Python gives, the functions' definitions, and every bound."""

import ast
import pickle
import random
import re
from math import gcd

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from itembank.spec.evaluating import evaluation
from itembank.spec.expression import Place, Scope, condition, equation, number
from itembank.spec.functions import FUNCTIONS, TooLarge, Undefined
from itembank.spec.tokens import Misread
from itembank.values.errors import SpecError

NAMES = Scope(("p", "q", "b", "c"))
ENV = {"p": 5, "q": 12, "b": 7, "c": -3}


def value(text: str) -> int:
    return number(text, NAMES).value(ENV)


# ------------------------------------------------------------ values


def combined(parts: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.one_of(
        st.tuples(parts, st.sampled_from(["+", "-", "*", "//", "%"]), parts).map(" ".join),
        st.tuples(parts, st.integers(0, 3)).map(lambda t: f"({t[0]})^{t[1]}"),
        parts.map(lambda a: f"-{a}"),
        parts.map(lambda a: f"({a})"),
        st.tuples(parts, parts).map(lambda t: f"max({t[0]}, {t[1]})"),
        parts.map(lambda a: f"abs({a})"),
    )


numbers = st.recursive(
    st.one_of(st.integers(0, 20).map(str), st.sampled_from(["p", "q", "b", "c"])),
    combined,
    max_leaves=12,
)
conditions = st.recursive(
    st.one_of(
        st.tuples(numbers, st.sampled_from(["<", "<=", "==", "!=", ">", ">="]), numbers),
        st.tuples(numbers, st.just("<"), numbers, st.just("<="), numbers),
    ).map(" ".join),
    lambda parts: st.one_of(
        st.tuples(parts, st.sampled_from(["and", "or"]), parts).map(" ".join),
        parts.map(lambda a: f"not ({a})"),
    ),
    max_leaves=4,
)


def python_value(text: str) -> int | None:
    """What Python makes of the text; None where it divides by 0."""
    try:
        return eval(text.replace("^", "**"), {"__builtins__": {}, "abs": abs, "max": max}, ENV)
    except ZeroDivisionError:
        return None


def our_value(read, text: str) -> int | None:
    """What we make of the text; None where it has no value, be it told early or late."""
    try:
        return read(text, NAMES).value(ENV)
    except Undefined:
        return None
    except Misread as e:
        assert all(message.startswith("no value: a") for _, message in e.faults)
        return None


@settings(max_examples=300)
@given(text=numbers)
def test_an_expression_has_the_value_that_python_gives_it(text):
    assert our_value(number, text) == python_value(text)


@settings(max_examples=200)
@given(text=conditions)
def test_a_condition_holds_where_python_says_so(text):
    ours = our_value(condition, text)

    # A part without names that has no value is told even where Python would not reach it.
    assert ours == python_value(text) or (ours is None and "0" in text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("-p^2", -25),
        ("2^3^2", 512),
        ("2**3", 8),
        ("p^2*q", 300),
        ("-7 // 2", -4),
        ("-7 % 3", 2),
        ("7 % -3", -2),
        ("p - q - b", -14),
        ("+p", 5),
        ("0^0", 1),
        ("(-1)^(2^4000)", 1),
        ("b*\n  c", -21),
        ("9" * 400, int("9" * 400)),
    ],
)
def test_precedence_and_rounding_are_as_documented(text, expected):
    assert value(text) == expected


def test_and_stops_at_the_first_part_that_fails():
    safe = condition("c > 0 and 1 // (c + 3) == 1", NAMES)

    assert safe.value(ENV) is False
    with pytest.raises(Undefined, match="a division by 0"):
        condition("c < 0 and 1 // (c + 3) == 1", NAMES).value(ENV)


FUNCTION_TABLES = {
    "phi": lambda n: int(sympy.totient(n)),
    "is_prime": lambda n: bool(sympy.isprime(n)),
    "is_square": lambda n: any(k * k == n for k in range(n + 1)),
    "digits": lambda n: len(str(n)),
    "abs": lambda n: n,
}


@pytest.mark.parametrize("name", FUNCTION_TABLES)
def test_a_function_of_one_number_agrees_with_its_definition(name):
    for n in range(1, 150):
        assert FUNCTIONS[name].value(n) == FUNCTION_TABLES[name](n), n


PAIR_TABLES = {
    "gcd": gcd,
    "lcm": lambda a, b: next(k for k in range(max(a, b), a * b + 1) if k % a == k % b == 0),
    "min": lambda a, b: sorted([a, b])[0],
    "max": lambda a, b: sorted([a, b])[1],
    "inverse": lambda a, m: next((x for x in range(m) if (a * x - 1) % m == 0), None),
    "order": lambda a, m: (
        next(e for e in range(1, m + 1) if (a**e - 1) % m == 0) if gcd(a, m) == 1 else None
    ),
    "legendre": lambda a, p: (
        (0 if a % p == 0 else 1 if any((x * x - a) % p == 0 for x in range(p)) else -1)
        if p > 2 and sympy.isprime(p)
        else None
    ),
    "jacobi": lambda a, n: int(sympy.jacobi_symbol(a, n)) if n % 2 else None,
    "valuation": lambda n, p: next(e for e in range(n + 1) if n % p ** (e + 1)) if p > 1 else None,
}


@pytest.mark.parametrize("name", PAIR_TABLES)
def test_a_function_of_two_numbers_agrees_with_its_definition(name):
    for a in range(1, 26):
        for b in range(1, 26):
            try:
                found = FUNCTIONS[name].value(a, b)
            except Undefined:
                found = None
            assert found == PAIR_TABLES[name](a, b), (a, b)


def test_every_function_has_been_compared():
    assert {*FUNCTION_TABLES, *PAIR_TABLES} == set(FUNCTIONS)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("inverse(p, q - 7)", "5 has no inverse modulo 5"),
        ("inverse(p, 0*p)", "inverse needs a modulus of at least 1, got 0"),
        ("order(q, q)", "12 has no order modulo 12"),
        ("order(p, c)", "order needs a modulus of at least 1, got -3"),
        ("phi(c)", "phi needs an argument of at least 1, got -3"),
        ("legendre(p, q)", "legendre needs an odd prime, got 12"),
        ("jacobi(p, q)", "jacobi needs an odd number of at least 1, got 12"),
        ("valuation(p - 5, 2)", "valuation needs a number other than 0"),
        ("valuation(p, p - 4)", "valuation needs a base of at least 2, got 1"),
        ("p // (p - 5)", "a division by 0"),
        ("p % (p - 5)", "a remainder modulo 0"),
        ("p ^ c", "an exponent is at least 0, got -3"),
    ],
)
def test_what_has_no_value_says_why(text, reason):
    with pytest.raises(Undefined) as e:
        value(text)

    assert str(e.value) == reason


def test_a_value_that_is_required_is_told_with_its_place_and_the_parameters():
    place = Place("f.yaml", 7, 12, "given.modulus")
    expression = number("q // (p - 5)", NAMES, place)

    with pytest.raises(SpecError) as e:
        expression.required(ENV)

    assert str(e.value) == (
        "f.yaml:7:12: given.modulus: 'q // (p - 5)' has no value at p = 5, q = 12: a division by 0"
    )


# ------------------------------------------------------------ bounds


@pytest.mark.parametrize(
    ("text", "at", "message"),
    [
        ("2^10^9", 0, "no value: a power is beyond 4096 bits"),
        ("p + 2^10^9", 4, "no value: a power is beyond 4096 bits"),
        ("9^9^9^9^9^9", 0, "no value: a power is beyond 4096 bits"),
        ("(2^4000)*(2^4000)", 0, "no value: a value is beyond 4096 bits"),
        ("lcm(2^4000, 3^2000)", 0, "no value: a value of lcm is beyond 4096 bits"),
        ("phi(2^600)", 0, "no value: a number to be factored is beyond 64 bits"),
        ("legendre(2, 2^600)", 0, "no value: a number tested for primality is beyond 512 bits"),
        ("abs(is_prime(2^600))", 4, "expected a number, found a condition"),
        ("1" * 401, 0, "expected at most 400 digits, found 401"),
        ("p" + "+p" * 500, 0, "expected at most 1000 characters, found 1001"),
        ("p" + "+p" * 200, 0, "expected at most 400 numbers, names and signs"),
        ("(" * 31 + "p" + ")" * 31, 30, "expected at most 30 brackets within brackets"),
        ("(" * 400, 30, "expected at most 30 brackets within brackets"),
        ("-" * 300 + "p", 0, "nested too deeply"),
        ("2" + "^1" * 150, 0, "nested too deeply"),
        ("p" + "+p" * 100, 0, "nested too deeply"),
    ],
)
def test_what_is_too_large_is_a_fault_and_not_a_wait(text, at, message):
    with pytest.raises(Misread) as e:
        number(text, NAMES)

    assert e.value.faults == ((at, message),)


@pytest.mark.parametrize(
    "text",
    ["p^(10^9)", "(p^1000)*(p^1000)", "p^q^b^p^q", "phi(p^300)", "order(b, p^300)"],
)
def test_parameters_cannot_make_a_value_too_large_either(text):
    with pytest.raises(TooLarge):
        value(text)


def test_a_large_number_is_shown_short():
    with pytest.raises(Undefined) as e:
        value("inverse(p^500, p)")

    assert len(str(e.value)) < 100


# ------------------------------------------------------------ misreadings


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("", [(0, "expected an expression, found nothing")]),
        ("  ", [(0, "expected an expression, found nothing")]),
        ("p +", [(2, "expected a value after '+'")]),
        ("p + * q", [(4, "expected a value before '*'")]),
        ("(p", [(0, "this bracket is never closed")]),
        ("p)", [(1, "this bracket was never opened")]),
        ("gcd()", [(4, "expected a value before ')'")]),
        ("p, q", [(1, "a comma stands only between the arguments of a function")]),
        ("(p, q)", [(0, "expected one value in brackets, found several")]),
        ("2p", [(1, "expected an operator before 'p'; a product is written with *")]),
        ("p q", [(2, "expected an operator before 'q'; a product is written with *")]),
        ("2(p)", [(1, "expected an operator before '('; a product is written with *")]),
        ("p(q)", [(0, "'p' is no function; a product is written with *")]),
        (
            "p/q",
            [(1, "'/' is not part of an expression; write //, which leaves out the remainder")],
        ),
        ("p²", [(1, "'²' is not part of an expression; write ^2")]),
        ("p − q", [(2, "'−' is not part of an expression; write -")]),
        ("p.real", [(1, "'.' is not part of an expression")]),
        ("p[0]", [(1, "a list [a, b] stands only after 'in', as in 'p in [2, 3, 5]'")]),
        ("'p'", [(0, "''' is not part of an expression"),
                 (2, "''' is not part of an expression")]),
        ("p if q else b", [(5, "expected a condition, found a number")]),
        ("p if q > 1", [(2, "expected 'a if condition else b'")]),
        ("p if q > 1 else", [(11, "expected a value after 'else'")]),
        ("if q > 1", [(0, "expected a value before 'if'")]),
        ("p else q", [(2, "expected 'a if condition else b'")]),
        ("min(answer)", [(0, "expected min(a, b, ...), found 1 of its arguments"),
                         (4, "unknown name 'answer'; expected one of: p, q, b, c")]),
        ("lambda: p", [(6, "':' is not part of an expression")]),
        ("lambda p", [(0, "'lambda' is not part of an expression")]),
        ("True", [(0, "'True' is not part of an expression")]),
        ("p in q", [(2, "'in' is not part of an expression")]),
        ("1..2", [(1, "a range a..b stands only after 'in', as in 'solutions in 2..6'")]),
        ("007", [(0, "expected a number without leading zeros, found 007")]),
        ("pp", [(0, "unknown name 'pp'; did you mean 'p'?")]),
        ("p + pp*qq", [(4, "unknown name 'pp'; did you mean 'p'?"),
                       (7, "unknown name 'qq'; did you mean 'q'?")]),
        ("zebra", [(0, "unknown name 'zebra'; expected one of: p, q, b, c")]),
        ("__import__", [(0, "unknown name '__import__'; expected one of: p, q, b, c")]),
        ("gdc(p, q)", [(0, "unknown function 'gdc'; did you mean 'gcd'?")]),
        ("gcd(p)", [(0, "expected gcd(a, b, ...), found 1 of its arguments")]),
        ("phi(p, q)", [(0, "expected phi(n), found 2 of its arguments")]),
        ("phi", [(0, "expected phi(n), found no arguments")]),
        ("x + p", [(0, "'x' is the unknown; it stands only in an equation")]),
        ("p = q", [(2, "expected == for a comparison, found =")]),
        ("p == q", [(0, "expected a number, found a condition")]),
        ("p + (q == b)", [(5, "expected a number, found a condition")]),
        ("gcd(p == 1, q)", [(4, "expected a number, found a condition")]),
        ("1 // 0 + 2 % 0 + p", [(0, "no value: a division by 0")]),
        ("p + 1//0 * (2 % 0)", [(4, "no value: a division by 0")]),
        ("p*(1//0) + q*(2 % 0)", [(3, "no value: a division by 0"),
                                  (14, "no value: a remainder modulo 0")]),
    ],
)  # fmt: skip
def test_a_misread_expression_is_told_whole_at_its_characters(text, faults):
    with pytest.raises(Misread) as e:
        number(text, NAMES)

    assert list(e.value.faults) == faults


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("p", [(0, "expected a condition, found a number")]),
        ("p == 1 and q", [(11, "expected a condition, found a number")]),
        ("not p", [(4, "expected a condition, found a number")]),
        ("(p == 1) == (q == 1)", [(1, "expected a number, found a condition")]),
        ("p == not q", [(5, "expected a value after '=='; put 'not ...' in brackets")]),
        ("p not q", [(2, "expected an operator before 'not'; a product is written with *")]),
        ("p == 1 or", [(7, "expected a value after 'or'")]),
        ("is_prime(p) + 1 == 2", [(0, "expected a number, found a condition")]),
        ("p & q", [(2, "'&' is not part of an expression; write and")]),
    ],
)
def test_a_misread_condition_is_told_whole_at_its_characters(text, faults):
    with pytest.raises(Misread) as e:
        condition(text, NAMES)

    assert list(e.value.faults) == faults


words = st.sampled_from(
    [
        *("p", "q", "x", "0", "1", "2", "10", "gcd", "phi", "is_prime", "and", "or", "not", "in"),
        *("if", "+", "-", "*", "//", "%", "^", "**", "(", ")", ",", "==", "!=", "<", "<=", "="),
        "..",
    ]
)


@settings(max_examples=500)
@given(text=st.lists(words, max_size=12).map(" ".join))
@pytest.mark.parametrize("read", [number, condition, equation])
def test_any_row_of_tokens_is_read_or_told_and_nothing_else(read, text):
    try:
        read(text, NAMES)
    except Misread as e:
        assert e.faults
        assert all(0 <= at <= len(text) for at, _ in e.faults)


# ------------------------------------------------------------ equations


def test_an_equation_has_two_sides_constant_term_first():
    sides = equation("x^2 + b*x + c = 2*(x - p)^2 - 0*x^3", NAMES).sides(ENV)

    assert sides == ((-3, 7, 1), (50, -20, 2))


def test_a_side_that_vanishes_is_the_empty_polynomial():
    assert equation("x - x = p*x", NAMES).sides(ENV) == ((), (0, 5))


@pytest.mark.parametrize("seed", range(40))
def test_a_side_is_the_polynomial_that_sympy_expands(seed):
    chance = random.Random(seed)
    text = "x"
    for _ in range(5):
        other = chance.choice(["x", "p", "b", "c*x", "(x - q)", "(b + x^2)", "3", "-x"])
        text = f"({text}) {chance.choice('+-*')} {other}"
        if chance.random() < 0.3:
            text = f"({text})^{chance.choice([0, 1, 2])}"

    left, _ = equation(f"{text} = 0", NAMES).sides(ENV)

    expanded = sympy.Poly(sympy.sympify(text.replace("^", "**")).subs(ENV), sympy.Symbol("x"))
    assert left == tuple(int(c) for c in reversed(expanded.all_coeffs()) if expanded != 0)


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("x^2 + b*x + c", [(0, "expected 'polynomial = polynomial', found no =")]),
        ("x = 1 = 2", [(6, "expected one =, found a second one")]),
        ("= x", [(0, "expected a polynomial on both sides of =")]),
        ("x =", [(2, "expected a polynomial on both sides of =")]),
        ("p = q", [(0, "expected an equation in x, found none")]),
        ("y^2 = 1", [(0, "unknown name 'y'; expected one of: p, q, b, c, x")]),
        ("bb*x = cc", [(0, "unknown name 'bb'; did you mean 'b'?"),
                       (7, "unknown name 'cc'; did you mean 'c'?")]),
        ("p^x = 1", [(2, "'x' stands only in sums, products and powers")]),
        ("x // 2 = 1", [(0, "'x' stands only in sums, products and powers")]),
        ("gcd(x, p) = 1", [(4, "'x' stands only in sums, products and powers")]),
        ("(x < 2) = 1", [(1, "'x' stands only in sums, products and powers")]),
        ("x + (p == 1) = 1", [(5, "expected a number, found a condition")]),
        ("p == 1 = x", [(0, "expected a number, found a condition")]),
        ("2x = 1", [(1, "expected an operator before 'x'; a product is written with *")]),
        ("x(x + 1) = 1", [(0, "'x' is no function; a product is written with *")]),
        ("x^65 + b = 0", [(0, "no value: a degree is beyond 64")]),
        ("(x^33 + 1)*x^33*b = 0", [(0, "no value: a degree is beyond 64")]),
        ("(3*x)^3000 = p", [(0, "no value: a degree is beyond 64")]),
        ("(2^2000*x + 1)^3 = p", [(0, "no value: a coefficient is beyond 4096 bits")]),
        ("x^(0-1) = p", [(0, "no value: an exponent is at least 0, got -1")]),
        ("x^2 ≡ p", [(4, "'≡' is not part of an expression; write = in a congruence, "
                         "== in a condition")]),
    ],
)  # fmt: skip
def test_a_misread_equation_is_told_whole_at_its_characters(text, faults):
    with pytest.raises(Misread) as e:
        equation(text, NAMES)

    assert list(e.value.faults) == faults


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("x^q = inverse(q, q)", "12 has no inverse modulo 12"),
        ("x^(q^3) = 1", "a degree is beyond 64"),
        ("x^c = 1", "an exponent is at least 0, got -3"),
    ],
)
def test_an_equation_without_value_is_told_with_the_parameters(text, reason):
    names = re.findall(r"\b[cq]\b", text)
    values = ", ".join(f"{n} = {ENV[n]}" for n in sorted(set(names)))
    place = Place("f.yaml", 3, 9, "given.congruence")

    with pytest.raises(SpecError) as e:
        equation(text, NAMES, place).sides(ENV)

    assert str(e.value) == (
        f"f.yaml:3:9: given.congruence: '{text}' has no value at {values}: {reason}"
    )


def test_spaces_make_no_difference_to_the_canonical_text():
    assert equation("x**2+b * x=0", NAMES) == equation("x^2 + b*x = 0", NAMES)
    assert number("p*q", NAMES) != number("q*p", NAMES)


def test_an_expression_that_was_evaluated_goes_to_another_process():
    """Its code stays behind, and is compiled there."""
    found = number("p^2*q", NAMES)
    sides = equation("x^2 + (b + 1)*x = (x + p)^3", NAMES)
    values = found.value(ENV), sides.sides(ENV)

    again = pickle.loads(pickle.dumps(found))
    as_well = pickle.loads(pickle.dumps(sides))

    assert (again.value(ENV), as_well.sides(ENV)) == values


def test_compiled_code_sees_nothing_but_parameters_and_functions():
    """A name that passed by mistake would be looked up among the parameters, never in Python."""
    run = evaluation(ast.parse("__import__", mode="eval").body)

    with pytest.raises(KeyError, match="__import__"):
        run({})
    assert run({"__import__": 7}) == 7


@pytest.mark.parametrize(
    ("written", "coefficients"),
    [
        ("x^2 + b*x + c", (-3, 7, 1)),
        ("-x^3 - (b - 1)*x - p", (-5, -6, 0, -1)),
        ("2*x + 3*x - x^0", (-1, 5)),
        ("(x - p)*(x + p)", (-25, 0, 1)),
        ("x*b - -x", (0, 8)),
        ("0*x^64 + q - q", ()),
    ],
)
def test_a_sum_of_terms_is_the_polynomial_that_it_says(written, coefficients):
    assert equation(f"{written} = 0*x", NAMES).sides(ENV) == (coefficients, ())
