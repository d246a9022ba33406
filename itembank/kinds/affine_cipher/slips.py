"""Student errors with the affine cipher, each carried through; common practice of the trade."""

from collections.abc import Callable
from math import gcd
from typing import Any

from itembank.kinds.affine_cipher.letters import LENGTHS
from itembank.kinds.mistakes import ValueFound
from itembank.languages import say

# ------------------------------------------------------------ encryption


def _counted_from_one(w: Any) -> ValueFound:
    if LENGTHS.get(w.modulus) != 1:
        return None
    return (w.multiplier * (w.block + 1) + w.shift) % w.modulus, say(
        "If you counted the letters from 1: the first letter is the number 0 here."
    )


def _shift_first(w: Any) -> ValueFound:
    return w.multiplier * (w.block + w.shift) % w.modulus, say(
        "If you added the shift first: the multiplier belongs to the block alone."
    )


def _shift_forgotten(w: Any) -> ValueFound:
    return w.multiplier * w.block % w.modulus, say(
        "If you only multiplied: the shift ${b}$ has to be added.", b=w.shift
    )


def _key_exchanged(w: Any) -> ValueFound:
    return (w.shift * w.block + w.multiplier) % w.modulus, say(
        "If you multiplied by {b} and added {a}: check which number stands before $x$.",
        a=w.multiplier,
        b=w.shift,
    )


def _decrypted(w: Any) -> ValueFound:
    a, m = pow(w.multiplier, -1, w.modulus), w.modulus
    return a * (w.block - w.shift) % m, say(
        "If you solved for $x$: that decrypts. To encrypt, the block is put in for $x$."
    )


ENCRYPTION: dict[str, Callable[[Any], ValueFound]] = {
    "counted-from-one": _counted_from_one,
    "shift-first": _shift_first,
    "shift-forgotten": _shift_forgotten,
    "key-exchanged": _key_exchanged,
    "decrypted": _decrypted,
}
"""In the order of the method."""

# ------------------------------------------------------------ decryption


def _encrypted_again(w: Any) -> ValueFound:
    return (w.multiplier * w.block + w.shift) % w.modulus, say(
        "If you put the block in for $x$: that encrypts it once more. The block is the result, and "
        "$x$ is wanted."
    )


def _shift_added(w: Any) -> ValueFound:
    a = pow(w.multiplier, -1, w.modulus)
    return a * (w.block + w.shift) % w.modulus, say(
        "Check the sign of the shift: it was added, so it is taken off."
    )


def _shift_left(w: Any) -> ValueFound:
    a = pow(w.multiplier, -1, w.modulus)
    return a * w.block % w.modulus, say(
        "If you multiplied the block by the inverse of {a} at once: the shift ${b}$ has to be "
        "taken off first.",
        a=w.multiplier,
        b=w.shift,
    )


def _shift_taken_last(w: Any) -> ValueFound:
    a = pow(w.multiplier, -1, w.modulus)
    return (a * w.block - w.shift) % w.modulus, say(
        "If you took off the shift after multiplying by the inverse: it was added last, so it is "
        "taken off first."
    )


def _multiplied_again(w: Any) -> ValueFound:
    return w.multiplier * (w.block - w.shift) % w.modulus, say(
        "If you multiplied by {a} once more: to undo it, the inverse of {a} modulo {m} is needed.",
        a=w.multiplier,
        m=w.modulus,
    )


def _divided_as_integers(w: Any) -> ValueFound:
    rest = (w.block - w.shift) % w.modulus
    if rest % w.multiplier == 0:
        return None
    return rest // w.multiplier, say(
        "If you divided and left out the remainder: modulo {m} one divides by multiplying by the "
        "inverse.",
        m=w.modulus,
    )


DECRYPTION: dict[str, Callable[[Any], ValueFound]] = {
    "encrypted-again": _encrypted_again,
    "shift-added": _shift_added,
    "shift-left": _shift_left,
    "multiplied-again": _multiplied_again,
    "divided-as-integers": _divided_as_integers,
    "shift-taken-last": _shift_taken_last,
}
"""In the order of the method."""

# ------------------------------------------------------------ the multiplier


def _differences_crossed(w: Any) -> ValueFound:
    return -w.up * pow(w.across, -1, w.modulus) % w.modulus, say(
        "Check the signs: both differences are taken in the same order."
    )


def _directions_exchanged(w: Any) -> ValueFound:
    return w.across * pow(w.up, -1, w.modulus) % w.modulus, say(
        "If you solved for the multiplier of the way back: $a$ stands with the blocks before the "
        "encryption."
    )


def _multiplied_differences(w: Any) -> ValueFound:
    return w.up * w.across % w.modulus, say(
        "If you multiplied the two differences: one of them has to be divided by the other, that "
        "is multiplied by its inverse."
    )


def _shift_taken_for_it(w: Any) -> ValueFound:
    a = w.up * pow(w.across, -1, w.modulus)
    return (w.cipher - a * w.plain) % w.modulus, say(
        "That is the shift. The multiplier is asked for."
    )


def _without_a_difference(w: Any) -> ValueFound:
    if gcd(w.plain, w.modulus) > 1:
        return None
    return w.cipher * pow(w.plain, -1, w.modulus) % w.modulus, say(
        "If you used one of the pairs alone: the shift was added, and it drops out of the "
        "difference of both."
    )


MULTIPLIER: dict[str, Callable[[Any], ValueFound]] = {
    "without-a-difference": _without_a_difference,
    "differences-crossed": _differences_crossed,
    "directions-exchanged": _directions_exchanged,
    "multiplied-differences": _multiplied_differences,
    "shift-for-multiplier": _shift_taken_for_it,
}
"""In the order of the method."""
