"""The small reader of formulas, against Python's own arithmetic and by trying all residues."""

from hypothesis import given
from hypothesis import strategies as st

from itembank.guessing.formula import System, congruence

coefficients = st.lists(st.integers(-30, 30), min_size=1, max_size=5)
moduli = st.integers(2, 60)


def written(polynomial: list[int]) -> str:
    """The least coefficient first."""
    return "+".join(f"({c})*x^{k}" if k else f"({c})" for k, c in enumerate(polynomial))


def value(polynomial: list[int], x: int) -> int:
    return sum(c * x**k for k, c in enumerate(polynomial))


def read(row: str) -> System:
    found = congruence(row)
    assert found is not None, row
    return System((found,))


@given(left=coefficients, right=coefficients, m=moduli, x=st.integers(0, 100))
def test_a_number_is_substituted_as_python_does_it(left, right, m, x):
    row = f"x+{written(left)}=x+{written(right)} (mod {m})"

    assert read(row).holds(x) == ((value(left, x) - value(right, x)) % m == 0)


@given(a=st.integers(-9, 9), b=st.integers(-30, 30), c=st.integers(-30, 30), m=moduli)
def test_what_must_be_a_solution_with_another_is_one(a, b, c, m):
    """For all quadratic and linear congruences; by trying all residues."""
    system = read(f"({a})*x^2+({b})*x=({c}) (mod {m})")
    roots = {x for x in range(m) if (a * x * x + b * x - c) % m == 0}

    for root in roots:
        assert (system.orbit(root) or {root}) <= roots


@given(k=st.integers(1, 6), c=st.integers(0, 60), m=st.integers(3, 60))
def test_the_negative_goes_with_a_root_of_an_even_power(k, c, m):
    system = read(f"x^{2 * k}={c} (mod {m})")

    for root in (x for x in range(m) if (x ** (2 * k) - c) % m == 0):
        assert (system.orbit(root) or {root}) <= {root, -root % m, *solved(k, c, m)}
    assert system.orbit(1) is not None


def solved(k: int, c: int, m: int) -> set[int]:
    return {x for x in range(m) if (x ** (2 * k) - c) % m == 0}


def test_exponents_products_and_several_unknowns():
    assert read("2*3^x=8 (mod 19)").holds(14) == ((2 * 3**14 - 8) % 19 == 0)
    assert read("(x-3)(x-5)=0 (mod 35)").holds(5)
    assert read("4x+3y=5 (mod 7)").holds((2, 6))
    assert read("4x+3y=5 (mod 7)").holds(2) is None
    assert read("x^2 + 9x + 5 = 0 mod 117").holds(1) is False


def test_what_is_no_congruence_is_passed_over():
    for row in (
        "0≤x<180",
        "x^2",
        "f(x)/3=2 (mod 5)",
        "x=1 (mod 0)",
        "2^(3^(4^x))=1 (mod 5)",
        "x!=1 (mod 5)",
    ):
        assert congruence(row) is None, row


def test_a_system_holds_where_all_its_rows_do():
    rows = ("x=3 (mod 4)", "x=4 (mod 5)")
    system = System(tuple(c for c in map(congruence, rows) if c))

    assert [x for x in range(20) if system.holds(x)] == [19]
    assert [x for x in range(20) if system.holds(x, 5)] == [4, 9, 14, 19]
