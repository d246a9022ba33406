"""Ciphers that raise to a power: x -> x^e modulo a prime p, and RSA modulo pq.

Method taught: powers by repeated squaring; the exponent that decrypts is the inverse of e
modulo p - 1, or modulo (p - 1)(q - 1); a block of RSA is decrypted modulo p and modulo q with
small exponents, and the two parts are put together.

Sources: R. Rivest, A. Shamir, L. Adleman, Communications of the ACM 21 (1978); S. Pohlig, M.
Hellman, IEEE Transactions on Information Theory 24 (1978).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import gcd, prod
from typing import Any, ClassVar

from itembank.kinds.base import Kind, Phrases, Solution
from itembank.kinds.chains import calculated, modulo
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.power_cipher import slips
from itembank.kinds.power_cipher.steps import TELLING, Exponent, Join, OnePart, Period, Raise
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, lead, say
from itembank.maths.primes import is_prime
from itembank.notation.building import dotted
from itembank.notation.tree import Number
from itembank.values.answer import Value
from itembank.values.vocabulary import KindSignature

__all__ = [
    "KINDS",
    "CipherDecryption",
    "CipherEncryption",
    "CipherExponent",
    "RsaDecryption",
    "RsaExponent",
    "read",
]

_LARGEST_PRIME = 10**12
"""Primes of a question are below it."""

_BLOCK = say("Type the number of the block in digits.")
_EXPONENT = say("Type the exponent in digits.")


@dataclass(frozen=True, kw_only=True)
class CipherEncryption(Phrased):
    """block^exponent modulo any modulus."""

    kind: ClassVar[str] = "cipher_encryption"
    phrase: ClassVar[str] = "encrypt {block} with exponent {exponent} mod {modulus}"
    spellings: ClassVar[tuple[str, ...]] = (
        "rsa encrypt {block} with exponent {exponent} mod {modulus}",
    )
    telling: ClassVar[Tellers] = TELLING
    mistakes: ClassVar[slips.Mistakes] = slips.ENCRYPTION
    signature: ClassVar[KindSignature] = about("cipher_encryption", phrase, slips.ENCRYPTION)
    block: int
    exponent: int
    modulus: int

    def check(self) -> None:
        m = self.modulus
        require(m >= 3, "a modulus of at least 3", m)
        require(0 <= self.block < m, f"a block from 0 to {m - 1}", self.block)
        require(self.exponent >= 2, "an exponent of at least 2", self.exponent)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no value"), entry=_BLOCK)

    def asked(self, ask: str) -> Said:
        return say(
            "Encrypt the block {x} with the cipher that raises blocks to the power {e} modulo {m}.",
            x=self.block,
            e=self.exponent,
            m=self.modulus,
        )

    def solve(self) -> Solution[Value]:
        x, e, m = self.block, self.exponent, self.modulus
        return Solution(Value(pow(x, e, m)), (Raise(x, e, m),))

    def answer_text(self, answer: Value) -> Said:
        return say("The block is {n}.", n=answer.value)


@dataclass(frozen=True, kw_only=True)
class WithPrimes(Phrased):
    """What questions share whose primes are known."""

    telling: ClassVar[Tellers] = TELLING
    exponent: int

    @property
    def primes(self) -> tuple[int, ...]:
        raise NotImplementedError

    @property
    def product(self) -> int:
        return prod(self.primes)

    @property
    def phi(self) -> int:
        return prod(p - 1 for p in self.primes)

    def check(self) -> None:
        for p in self.primes:
            require(p < _LARGEST_PRIME and is_prime(p), f"a prime below {_LARGEST_PRIME}", p)
        require(len(set(self.primes)) == len(self.primes), "two different primes", self.primes)
        e = self.exponent
        require(
            1 < e < self.phi and gcd(e, self.phi) == 1,
            f"an exponent from 2 to {self.phi - 1} that is coprime to {self.phi}",
            e,
        )

    @property
    def modulus(self) -> int:
        return self.product

    def measures(self, solution: Solution[Any]) -> Mapping[str, int]:
        return {**super().measures(solution), "digits": len(str(self.product))}


class AsksExponent(WithPrimes):
    """The exponent that decrypts."""

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no value"), entry=_EXPONENT)

    def solve(self) -> Solution[Value]:
        d = pow(self.exponent, -1, self.phi)
        return Solution(Value(d), (Period(self.primes), Exponent(self.exponent, self.phi)))

    def answer_text(self, answer: Value) -> Said:
        return say("The exponent that decrypts is {d}.", d=answer.value)


class AsksBlock(WithPrimes):
    """The block that was encrypted."""

    block: int

    def check(self) -> None:
        super().check()
        n = self.product
        require(0 <= self.block < n, f"a block from 0 to {n - 1}", self.block)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no value"), entry=_BLOCK)

    def answer_text(self, answer: Value) -> Said:
        return say("The block is {n}.", n=answer.value)


@dataclass(frozen=True, kw_only=True)
class CipherExponent(AsksExponent):
    """The least d >= 1 with x^(ed) = x modulo the prime for all x."""

    kind: ClassVar[str] = "cipher_exponent"
    phrase: ClassVar[str] = "decrypting exponent of {exponent} mod the prime {prime}"
    spellings: ClassVar[tuple[str, ...]] = (
        "exponent that decrypts exponent {exponent} mod {prime}",
        "decrypting exponent of {exponent} mod {prime}",
    )
    mistakes: ClassVar[slips.Mistakes] = slips.EXPONENT_OF_A_PRIME
    signature: ClassVar[KindSignature] = about("cipher_exponent", phrase, mistakes)
    prime: int

    @property
    def primes(self) -> tuple[int, ...]:
        return (self.prime,)

    def asked(self, ask: str) -> Said:
        return say(
            "A cipher raises blocks to the power {e} modulo the prime {p}. Find the least positive "
            "exponent that decrypts every block.",
            e=self.exponent,
            p=self.prime,
        )


@dataclass(frozen=True, kw_only=True)
class RsaExponent(AsksExponent):
    """The d from 1 to phi(pq) with ed = 1 modulo phi(pq)."""

    kind: ClassVar[str] = "rsa_exponent"
    phrase: ClassVar[str] = "private exponent of {exponent} for the primes {p} and {q}"
    spellings: ClassVar[tuple[str, ...]] = (
        "rsa exponent of {exponent} for {p} and {q}",
        "rsa private exponent of {exponent} for the primes {p} and {q}",
    )
    mistakes: ClassVar[slips.Mistakes] = slips.EXPONENT_OF_RSA
    signature: ClassVar[KindSignature] = about("rsa_exponent", phrase, mistakes)
    p: int
    q: int

    @property
    def primes(self) -> tuple[int, ...]:
        return (self.p, self.q)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.exponent, *sorted(self.primes))

    def asked(self, ask: str) -> Said:
        return say(
            "In RSA with the primes {p} and {q} the public exponent is {e}. Find the private "
            "exponent: the least positive inverse of {e} modulo the product of ${p} - 1$ and "
            "${q} - 1$.",
            p=self.p,
            q=self.q,
            e=self.exponent,
        )


@dataclass(frozen=True, kw_only=True)
class CipherDecryption(AsksBlock):
    """The x with x^exponent = block modulo the prime."""

    kind: ClassVar[str] = "cipher_decryption"
    phrase: ClassVar[str] = "decrypt {block} with exponent {exponent} mod the prime {prime}"
    spellings: ClassVar[tuple[str, ...]] = ("decrypt {block} with exponent {exponent} mod {prime}",)
    mistakes: ClassVar[slips.Mistakes] = slips.DECRYPTION_OF_A_PRIME
    signature: ClassVar[KindSignature] = about("cipher_decryption", phrase, mistakes)
    block: int
    prime: int

    @property
    def primes(self) -> tuple[int, ...]:
        return (self.prime,)

    def asked(self, ask: str) -> Said:
        return say(
            "Decrypt the block {y}: the cipher raises blocks to the power {e} modulo the prime "
            "{p}.",
            y=self.block,
            e=self.exponent,
            p=self.prime,
        )

    def solve(self) -> Solution[Value]:
        e, y, p = self.exponent, self.block, self.prime
        d = pow(e, -1, self.phi)
        steps = (Period(self.primes), Exponent(e, self.phi), Raise(y, d, p))
        return Solution(Value(pow(y, d, p)), steps)


@dataclass(frozen=True, kw_only=True)
class RsaDecryption(AsksBlock):
    """The x with x^exponent = block modulo pq."""

    kind: ClassVar[str] = "rsa_decryption"
    phrase: ClassVar[str] = "decrypt {block} with exponent {exponent} for the primes {p} and {q}"
    spellings: ClassVar[tuple[str, ...]] = (
        "rsa decrypt {block} with exponent {exponent} for {p} and {q}",
    )
    mistakes: ClassVar[slips.Mistakes] = slips.DECRYPTION_OF_RSA
    signature: ClassVar[KindSignature] = about("rsa_decryption", phrase, mistakes)
    block: int
    p: int
    q: int

    @property
    def primes(self) -> tuple[int, ...]:
        return (self.p, self.q)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.exponent, self.block, *sorted(self.primes))

    def asked(self, ask: str) -> Said:
        return say(
            "Decrypt the block {y}: in RSA with the primes {p} and {q} the public exponent is {e}.",
            y=self.block,
            p=self.p,
            q=self.q,
            e=self.exponent,
        )

    def solve(self) -> Solution[Value]:
        first, second = (OnePart(self.block, self.exponent, p) for p in self.primes)
        join = Join(first.value, first.p, second.value, second.p)
        return Solution(Value(join.x), (first, second, join))


read = reader(CipherEncryption, CipherExponent, RsaExponent, RsaDecryption, CipherDecryption)


# ------------------------------------------------------------ certificates


def _exponents_multiplied(problem: AsksExponent, answer: Value) -> Telling:
    """e times d leaves 1."""
    e, d, phi = problem.exponent, answer.value, problem.phi
    yield lead("Check.")
    yield say("${chain}$.", chain=modulo([calculated(dotted((e, d)), e * d, phi)], Number(phi)))


def _encrypted_back(problem: AsksBlock, answer: Value) -> Telling:
    """The block found, encrypted."""
    yield lead("Check.")
    yield say(
        "${x}^{e} ≡ {y} (mod {n})$.",
        x=answer.value,
        e=problem.exponent,
        y=problem.block,
        n=problem.product,
    )


_OF_THE_EXPONENT = {
    "the value": say(
        "Multiply the exponent found by the public one: which remainder does the product "
        "leave modulo the number that exponents count modulo?"
    )
}
_OF_THE_BLOCK = {
    "the value": say("Encrypt the block found: does the cipher send it to the one in the question?")
}

KINDS = (
    Kind(
        problem=CipherEncryption,
        read=read,
        about="A block encrypted by a power modulo m: the exponentiation cipher, or RSA.",
        title=say("A cipher"),
        next_steps={
            "the value": say(
                "Write the exponent as a sum of powers of 2, and square the block again and again: "
                "is every square reduced before the next?"
            )
        },
        samples=(
            "encrypt 24 with exponent 95 mod 323",
            "rsa encrypt 920 with exponent 17 mod 2773",
            "encrypt 2 with exponent 29 mod 101",
            "encrypt 0 with exponent 3 mod 15",
            "encrypt 12 with exponent 7 mod 15",
        ),
    ),
    Kind(
        problem=CipherExponent,
        read=read,
        value="exponent",
        about="The least exponent that undoes the power e modulo a prime.",
        title=say("A key"),
        next_steps=_OF_THE_EXPONENT,
        samples=(
            "decrypting exponent of 29 mod the prime 101",
            "exponent that decrypts exponent 3 mod 11",
            "decrypting exponent of 5 mod the prime 7",
            "decrypting exponent of 17 mod 2633",
            "decrypting exponent of 11 mod the prime 1009",
        ),
        certificate=_exponents_multiplied,
    ),
    Kind(
        problem=RsaExponent,
        read=read,
        value="exponent",
        about="The private exponent of RSA from the primes p, q and the public exponent e.",
        title=say("A key"),
        next_steps=_OF_THE_EXPONENT,
        samples=(
            "private exponent of 17 for the primes 47 and 59",
            "rsa exponent of 95 for 17 and 19",
            "private exponent of 5 for the primes 7 and 19",
            "private exponent of 7 for the primes 3 and 5",
            "private exponent of 17 for the primes 61 and 53",
        ),
        certificate=_exponents_multiplied,
    ),
    Kind(
        problem=CipherDecryption,
        read=read,
        about="The block that was raised to a known power modulo a prime.",
        title=say("A cipher"),
        next_steps=_OF_THE_BLOCK,
        samples=(
            "decrypt 11 with exponent 29 mod the prime 101",
            "decrypt 8 with exponent 3 mod 11",
            "decrypt 0 with exponent 5 mod the prime 7",
            "decrypt 1 with exponent 17 mod 2633",
            "decrypt 5 with exponent 9 mod the prime 29",
        ),
        certificate=_encrypted_back,
    ),
    Kind(
        problem=RsaDecryption,
        read=read,
        about="A block of RSA decrypted modulo each of the primes, its parts put together.",
        title=say("A cipher"),
        next_steps=_OF_THE_BLOCK,
        samples=(
            "decrypt 294 with exponent 95 for the primes 17 and 19",
            "rsa decrypt 948 with exponent 17 for 47 and 59",
            "decrypt 62 with exponent 5 for the primes 7 and 19",
            "decrypt 3 with exponent 7 for the primes 3 and 5",
            "decrypt 34 with exponent 95 for the primes 17 and 19",
            "decrypt 5 with exponent 3 for the primes 2 and 11",
        ),
        certificate=_encrypted_back,
    ),
)
"""What the house knows of these kinds."""
