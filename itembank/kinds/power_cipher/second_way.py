"""The second way for ciphers that raise to a power: exponents and blocks are tried one by one."""

from dataclasses import dataclass, field

from itembank.second_way import in_words
from itembank.second_way.verdict import Undecided, done
from itembank.values.errors import StatementError

_TRIED = 20_000
"""The most exponents or blocks that are tried."""


@dataclass(frozen=True)
class Encrypted:
    """block^e modulo `modulus`."""

    block: int
    e: int
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


@dataclass(frozen=True)
class Decrypting:
    """The least d >= 1 with ed = 1 modulo the product of the p - 1, p in `primes`."""

    e: int
    primes: frozenset[int]
    hints: tuple[int, ...] = field(default=(), compare=False)

    @property
    def modulus(self) -> int:
        return _product_of(self.primes)


@dataclass(frozen=True)
class Decrypted(Decrypting):
    """The x with x^e = block modulo the product of the primes."""

    block: int = 0


Question = Encrypted | Decrypting | Decrypted


def _product_of(primes: frozenset[int]) -> int:
    found = 1
    for p in primes:
        found *= p
    return found


def read(statement: str) -> Question | None:
    """The question of "decrypt 11 with exponent 29 mod the prime 101"; None for another form."""
    number = in_words.numbers
    if found := number("encrypt # with exponent # mod #", statement):
        x, e, m = found
        return Encrypted(x % m, e, m)
    for of in (
        "decrypting exponent of # mod the prime #",
        "private exponent of # for the primes # and #",
    ):
        if found := number(of, statement):
            e, *primes = found
            return Decrypting(e, _known(primes, statement))
    for of in (
        "decrypt # with exponent # mod the prime #",
        "decrypt # with exponent # for the primes # and #",
    ):
        if found := number(of, statement):
            y, e, *primes = found
            few = _known(primes, statement)
            return Decrypted(e, few, block=y % _product_of(few))
    return None


def _known(primes: list[int], statement: str) -> frozenset[int]:
    """The primes, all different; each is divided by everything up to its root."""
    few = frozenset(primes)
    if len(few) != len(primes) or min(few) < 2 or max(few) > _TRIED * _TRIED:
        raise StatementError(f"statement '{statement[:60]}': expected different small primes")
    for p in few:
        divisor = next((d for d in range(2, p) if d * d > p or p % d == 0), p)
        if divisor * divisor <= p and p % divisor == 0 and divisor < p:
            raise StatementError(f"statement '{statement[:60]}': {p} is not prime")
    return few


def _found(question: Question) -> list[int]:
    match question:
        case Encrypted(x, e, m):
            if e > _TRIED:
                raise Undecided(f"more than {_TRIED} factors")
            power = 1 % m
            for _factor in range(e):
                power = power * x % m
            return [power]
        case Decrypted():
            n = question.modulus
            if n > _TRIED:
                raise Undecided(f"more than {_TRIED} blocks to try")
            return [x for x in range(n) if pow(x, question.e, n) == question.block]
        case Decrypting(e, primes):
            phi = 1
            for p in primes:
                phi *= p - 1
            if phi > 50 * _TRIED:
                raise Undecided(f"more than {50 * _TRIED} exponents to try")
            return [d for d in range(1, phi + 1) if e * d % phi == 1 % phi][:1]


def _only(question: Question) -> int | None:
    right = _found(question)
    return right[0] if len(right) == 1 else None


KIND = in_words.number_kind(_only, done("every exponent or block was tried"))
