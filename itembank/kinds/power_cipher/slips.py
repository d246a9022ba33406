"""Student errors with ciphers that raise to a power; common practice of the trade."""

from collections.abc import Callable
from math import gcd
from typing import Any

from itembank.kinds.mistakes import ValueFound
from itembank.languages import say

Mistakes = dict[str, Callable[[Any], ValueFound]]


def _inverse(a: int, m: int) -> int | None:
    return pow(a, -1, m) if m > 1 and gcd(a, m) == 1 else None


# ------------------------------------------------------------ encryption


def _multiplied(w: Any) -> ValueFound:
    return w.block * w.exponent % w.modulus, say(
        "If you multiplied by {e}: the block is raised to the power {e}.", e=w.exponent
    )


def _exchanged(w: Any) -> ValueFound:
    return pow(w.exponent, w.block, w.modulus), say(
        "If you raised {e} to the power {x}: the block is the base.", e=w.exponent, x=w.block
    )


def _a_factor_short(w: Any) -> ValueFound:
    return pow(w.block, w.exponent - 1, w.modulus), say(
        "Count the factors: the exponent is {e}.", e=w.exponent
    )


def _a_factor_too_many(w: Any) -> ValueFound:
    return pow(w.block, w.exponent + 1, w.modulus), say(
        "Count the factors: the exponent is {e}.", e=w.exponent
    )


ENCRYPTION: Mistakes = {
    "multiplied": _multiplied,
    "base-and-exponent-exchanged": _exchanged,
    "a-factor-short": _a_factor_short,
    "a-factor-too-many": _a_factor_too_many,
}
"""In the order of the method."""

# ------------------------------------------------------------ the exponent that decrypts


def _inverse_modulo_the_modulus(w: Any) -> ValueFound:
    found = _inverse(w.exponent, w.product)
    if found is None:
        return None
    return found, say(
        "If you took the inverse modulo {n}: blocks count modulo {n}, but exponents do not.",
        n=w.product,
    )


def _one_less_than_the_product(w: Any) -> ValueFound:
    found = _inverse(w.exponent, w.product - 1)
    if found is None:
        return None
    return found, say(
        "If you took the inverse modulo ${n} - 1$: {n} is not prime, and {phi} is the product of "
        "both numbers that are one less than a prime.",
        n=w.product,
        phi=w.phi,
    )


def _one_prime_left_out(w: Any) -> ValueFound:
    found = _inverse(w.exponent, max(w.primes) - 1)
    if found is None:
        return None
    return found, say(
        "If you used {p} alone: the exponent has to decrypt modulo both primes.", p=max(w.primes)
    )


def _sign_lost(w: Any) -> ValueFound:
    return w.phi - pow(w.exponent, -1, w.phi), say(
        "Multiply by {e} to check: a remainder of $-1$ means that a sign was lost.", e=w.exponent
    )


EXPONENT_OF_A_PRIME: Mistakes = {
    "inverse-modulo-the-modulus": _inverse_modulo_the_modulus,
    "sign-lost": _sign_lost,
}
EXPONENT_OF_RSA: Mistakes = {
    "inverse-modulo-the-modulus": _inverse_modulo_the_modulus,
    "one-less-than-the-product": _one_less_than_the_product,
    "one-prime-left-out": _one_prime_left_out,
    "sign-lost": _sign_lost,
}
"""In the order of the method."""

# ------------------------------------------------------------ decryption


def _encrypted_again(w: Any) -> ValueFound:
    return pow(w.block, w.exponent, w.product), say(
        "If you raised the block to the power {e}: that encrypts it once more.", e=w.exponent
    )


def _wrong_exponent(w: Any) -> ValueFound:
    found = _inverse(w.exponent, w.product)
    if found is None:
        return None
    return pow(w.block, found, w.product), say(
        "If you raised to the inverse of {e} modulo {n}: exponents do not count modulo {n}.",
        e=w.exponent,
        n=w.product,
    )


def _inverse_of_the_power(w: Any) -> ValueFound:
    if gcd(w.block, w.product) > 1:
        return None
    return pow(w.block, -w.exponent, w.product), say(
        "If you took the inverse of the power: not the block but the exponent has to be inverted."
    )


def _first_part_alone(w: Any) -> ValueFound:
    p = w.primes[0]
    return _part(w, p), say(
        "If you decrypted modulo {p} alone: the block is determined modulo {n}, so the other prime "
        "counts too.",
        p=p,
        n=w.product,
    )


def _parts_added(w: Any) -> ValueFound:
    return sum(_part(w, p) for p in w.primes) % w.product, say(
        "If you added the two parts: a number is wanted whose remainder modulo each prime is the "
        "part that was found there."
    )


def _parts_exchanged(w: Any) -> ValueFound:
    p, q = w.primes
    u, v = _part(w, q), _part(w, p)
    return (u + p * ((v - u) * pow(p, -1, q) % q)) % w.product, say(
        "Check which remainder belongs to which prime."
    )


def _part(w: Any, p: int) -> int:
    block: int = w.block
    return pow(block, pow(w.exponent, -1, p - 1), p) if p > 2 else block % 2


DECRYPTION_OF_A_PRIME: Mistakes = {
    "encrypted-again": _encrypted_again,
    "wrong-exponent": _wrong_exponent,
    "inverse-of-the-power": _inverse_of_the_power,
}
DECRYPTION_OF_RSA: Mistakes = {
    "encrypted-again": _encrypted_again,
    "wrong-exponent": _wrong_exponent,
    "inverse-of-the-power": _inverse_of_the_power,
    "one-part-alone": _first_part_alone,
    "parts-exchanged": _parts_exchanged,
    "parts-added": _parts_added,
}
"""In the order of the method."""
