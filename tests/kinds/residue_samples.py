"""Random statements about squares, symbols, units, phi and check digits, by kind, the same on
every run."""

from collections.abc import Callable
from random import Random

PRIMES = [p for p in range(3, 400) if all(p % d for d in range(2, p))]


def modulus(r: Random) -> int:
    return r.choice([r.randrange(1, 30), r.randrange(2, 150), r.randrange(2, 1500)])


def about_modulus(words: str) -> Callable[[Random], str]:
    return lambda r: f"{words} mod {modulus(r)}"


def square_test(r: Random) -> str:
    m = modulus(r)
    return f"is {r.choice([r.randrange(-20, m + 20), r.randrange(m) ** 2 % m])} a square mod {m}"


def symbol(r: Random) -> str:
    n = r.choice([r.choice(PRIMES), r.randrange(1, 1500, 2), 3 * r.randrange(1, 99, 2)])
    return f"({r.choice([r.randrange(-9, 10), r.randrange(-50, 2 * n)])}/{n})"


def number(r: Random) -> int:
    return r.choice(
        [r.randrange(1, 60), r.randrange(2, 1500), 8 * r.randrange(1, 200), r.randrange(2, 10**5)]
    )


def phi(r: Random) -> str:
    return f"phi({number(r)})"


def carmichael(r: Random) -> str:
    return f"lambda({number(r)})"


def isbn_text(r: Random) -> str:
    """Ten or thirteen characters, valid now and then."""
    length = r.choice([10, 13])
    if length == 13:
        body = r.choice(["978", "979"]) + f"{r.randrange(10**9):09}"
        check = -sum(int(d) * (1, 3)[i % 2] for i, d in enumerate(body)) % 10
    else:
        body = f"{r.randrange(10**9):09}"
        check = sum(int(d) * i for i, d in enumerate(body, 1)) % 11
    wrong = r.choice([0, 0, r.randrange(1, 10)])
    last = (check + wrong) % (11 if length == 10 else 10)
    return body + ("X" if last == 10 else str(last))


def isbn_digit(r: Random) -> str:
    text = isbn_text(r)
    place = r.choice([len(text) - 1, r.randrange(len(text))])
    return f"isbn {text[:place]}?{text[place + 1 :]}"


def isbn_test(r: Random) -> str:
    return f"isbn {isbn_text(r)}"


def iban_text(r: Random) -> str:
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    account = "".join(r.choice("0123456789" * 4 + letters) for _ in range(r.randrange(1, 26)))
    country = r.choice(letters) + r.choice(letters)
    digits = "".join(str(int(c, 36)) for c in account + country + "00")
    check = r.choice([98 - int(digits) % 97, 98 - int(digits) % 97, r.randrange(100)])
    return f"{country}{check:02}{account}"


def iban_digits(r: Random) -> str:
    text = iban_text(r)
    places = [i for i, c in enumerate(text) if c.isdigit()]
    place = r.choice(places)
    one = f"{text[:place]}?{text[place + 1 :]}"
    return f"iban {r.choice([one, text[:2] + '??' + text[4:]])}"


def iban_test(r: Random) -> str:
    return f"iban {iban_text(r)}"


KINDS: dict[str, Callable[[Random], str]] = {
    "squares": about_modulus("squares"),
    "quadratic_residues": about_modulus("quadratic residues"),
    "number_of_squares": about_modulus("number of squares"),
    "number_of_quadratic_residues": about_modulus("number of quadratic residues"),
    "square_test": square_test,
    "symbol": symbol,
    "units": about_modulus("units"),
    "zero_divisors": about_modulus("zero divisors"),
    "number_of_zero_divisors": about_modulus("number of zero divisors"),
    "inverses": about_modulus("inverses"),
    "phi": phi,
    "lambda": carmichael,
    "isbn_digit": isbn_digit,
    "isbn_test": isbn_test,
    "iban_digits": iban_digits,
    "iban_test": iban_test,
}


def statements(kind: str, count: int) -> list[str]:
    r = Random(f"{kind} samples")
    return [KINDS[kind](r) for _ in range(count)]
