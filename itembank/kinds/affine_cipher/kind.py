"""The affine cipher x -> ax + b modulo m on blocks 0, ..., m - 1: encrypt, decrypt, find a.

Where m is 26 or 26^2, blocks are shown as letters, A for 0 to Z for 25, and pairs of letters by
their numbers in base 26.

Method taught: the number put in; backwards the congruence ax = y - b solved; the multiplier from
the difference of two pairs, so that b drops out.

Source: N. Koblitz, A Course in Number Theory and Cryptography, 2nd ed., section III.1.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar

from itembank.kinds.affine_cipher import slips
from itembank.kinds.affine_cipher.letters import alphabet_told, in_letters, letters_as_numbers
from itembank.kinds.base import Kind, Phrases, Solution, Step
from itembank.kinds.chains import calculated, modulo
from itembank.kinds.inverse.kind import InverseModulo
from itembank.kinds.inverse.telling import TELLING as OF_INVERSES
from itembank.kinds.mistakes import ValueFound
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.powering import joined
from itembank.kinds.unit_multiple import needs_inverse, unit_divided
from itembank.kinds.wording import Tellers, told
from itembank.languages import Said, Telling, Told, each, lead, say
from itembank.notation.building import added, difference, dotted, equal
from itembank.notation.tree import Letter, Math, Number, Words
from itembank.values.answer import Value
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "AffineDecryption", "AffineEncryption", "AffineMultiplier", "read"]

_ENTRY = say("Type the number of the block in digits.")
_NONE = say("no value")

# ------------------------------------------------------------ steps


@dataclass(frozen=True)
class _Numbered(Step):
    """The blocks that are shown as letters, with their numbers."""

    name = "write the letters as numbers"
    blocks: tuple[int, ...]
    m: int

    @property
    def effort(self) -> int:
        return 0


@dataclass(frozen=True)
class _Encrypt(Step):
    """a x + b modulo m."""

    name = "encrypt"
    a: int
    b: int
    x: int
    m: int


@dataclass(frozen=True)
class _TakeOff(Step):
    """a x = y - b (mod m)."""

    name = "take off the shift"
    a: int
    b: int
    y: int
    m: int


@dataclass(frozen=True)
class _Subtract(Step):
    """a u = v (mod m): the difference of two pairs, with u = x - x', v = y - y'."""

    name = "subtract"
    first: tuple[int, int]
    second: tuple[int, int]
    m: int

    @property
    def difference(self) -> tuple[int, int]:
        (x, y), (u, v) = self.first, self.second
        return (x - u) % self.m, (y - v) % self.m


@dataclass(frozen=True)
class _Divide(Step):
    """c times the unknown is r (mod m), c a unit."""

    name = "solve"
    c: int
    r: int
    m: int
    letter: str


@dataclass(frozen=True)
class _Shift(Step):
    """b = y - a x (mod m)."""

    name = "the shift"
    a: int
    x: int
    y: int
    m: int

    @property
    def value(self) -> int:
        """Before it is reduced."""
        return self.y - self.a * self.x


@dataclass(frozen=True)
class _Check(Step):
    """The block found is encrypted."""

    name = "check"
    a: int
    b: int
    x: int
    m: int


_BY_EUCLID = 100
"""From this modulus on an inverse is not seen at once: Euclid's algorithm finds it."""

# ------------------------------------------------------------ telling


def _numbered(step: _Numbered) -> Iterator[Told]:
    if in_letters(0, step.m) is None:
        return
    rows = [
        equal(Words((name,)), *_number_of_letters(name, n))
        for n in dict.fromkeys(step.blocks)
        if (name := in_letters(n, step.m))
    ]
    yield lead("Numbers.")
    yield say("{letters}.", letters=each(rows))


def _number_of_letters(name: str, n: int) -> tuple[Math, ...]:
    """7, and 26 · 7 + 8, 190 for a pair."""
    if len(name) == 1:
        return (Number(n),)
    return added((dotted((26, n // 26)), n % 26)), Number(n)


def _put_in(a: int, b: int, x: int, m: int) -> Math:
    """5 · 10 + 8 = 58 ≡ 6 (mod 26)."""
    return modulo([calculated(added((dotted((a, x)), b)), a * x + b, m)], Number(m))


def _encrypt(step: _Encrypt) -> Iterator[Told]:
    yield lead("Encrypt.")
    yield say("${chain}$.", chain=_put_in(step.a, step.b, step.x, step.m))


def _take_off(step: _TakeOff) -> Iterator[Told]:
    yield lead("Take off the shift.")
    yield say(
        "${a}x + {b} ≡ {y} (mod {m})$ is ${a}x ≡ {rest} (mod {m})$.",
        a=step.a,
        b=step.b,
        y=step.y,
        m=step.m,
        rest=(step.y - step.b) % step.m,
    )


def _subtract(step: _Subtract) -> Iterator[Told]:
    (x, y), (u, v) = step.first, step.second
    left, right = step.difference
    yield lead("Subtract.")
    yield say(
        "With $a$ for the multiplier and $b$ for the shift, ${x}a + b ≡ {y}$ and ${u}a + b ≡ {v}$ "
        "modulo {m}.",
        x=x,
        y=y,
        u=u,
        v=v,
        m=step.m,
    )
    yield say(
        "In the difference $b$ drops out: ${across}$ and ${up}$ modulo {m}, so "
        "${left}a ≡ {right} (mod {m})$.",
        across=calculated(difference(x, u), x - u, step.m),
        up=calculated(difference(y, v), y - v, step.m),
        left=left,
        right=right,
        m=step.m,
    )


def _divide(step: _Divide) -> Iterator[Told]:
    if step.c == 1:
        return
    c, r, m = step.c, step.r, step.m
    if m < _BY_EUCLID or not needs_inverse(c, r, m):
        yield lead("Solve.")
        yield from unit_divided(c, r, m, Letter(step.letter))
        return
    problem = InverseModulo(number=c, modulus=m)
    solution = problem.solve()
    yield lead("The inverse of {c} modulo {m}.", c=c, m=m)
    yield from told(solution.steps, OF_INVERSES, problem)
    yield lead("Solve.")
    inverse = pow(c, -1, m)
    yield say(
        "Both sides are multiplied by {inverse}: ${chain}$.",
        inverse=inverse,
        chain=modulo(
            [joined(Letter(step.letter), calculated(dotted((inverse, r)), inverse * r, m))],
            Number(m),
        ),
    )


def _shift_found(step: _Shift) -> Iterator[Told]:
    yield lead("The shift.")
    yield say(
        "${chain}$.",
        chain=modulo(
            [
                joined(
                    Letter("b"),
                    calculated(difference(step.y, dotted((step.a, step.x))), step.value, step.m),
                )
            ],
            Number(step.m),
        ),
    )


def _check(step: _Check) -> Iterator[Told]:
    yield lead("Check.")
    yield say("${chain}$.", chain=_put_in(step.a, step.b, step.x, step.m))


_TELLING: Tellers = {
    _Numbered: _numbered,
    _Encrypt: _encrypt,
    _TakeOff: _take_off,
    _Subtract: _subtract,
    _Divide: _divide,
    _Shift: _shift_found,
    _Check: _check,
}

# ------------------------------------------------------------ the kinds


@dataclass(frozen=True, kw_only=True)
class Affine(Phrased):
    """What the three share: the modulus, and blocks as letters where it is a power of 26."""

    telling: ClassVar = _TELLING
    modulus: int

    def shown_block(self, n: int) -> int | str:
        """The letters of a block, or its number."""
        return in_letters(n, self.modulus) or n

    def check(self) -> None:
        m = self.modulus
        require(m >= 3, "a modulus of at least 3", m)
        for name in set(self.signature.given) - {"modulus"}:
            n = getattr(self, name)
            require(0 <= n < m, f"{name} from 0 to {m - 1}", n)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=_NONE, entry=_ENTRY)


@dataclass(frozen=True, kw_only=True)
class WithKey(Affine):
    """A block and the key a, b: the multiplier is a unit above 1, the shift not 0."""

    block: int
    multiplier: int
    shift: int

    def check(self) -> None:
        super().check()
        a, m = self.multiplier, self.modulus
        require(a > 1 and gcd(a, m) == 1, f"a multiplier above 1 and coprime to {m}", a)
        require(self.shift > 0, "a shift of at least 1", 0)


@dataclass(frozen=True, kw_only=True)
class AffineEncryption(WithKey):
    """The block that a block is encrypted to."""

    kind: ClassVar[str] = "affine_encryption"
    phrase: ClassVar[str] = "encrypt {block} with {multiplier}x + {shift} mod {modulus}"
    spellings: ClassVar[tuple[str, ...]] = (
        "encrypt {block} by {multiplier}x + {shift} mod {modulus}",
        "affine cipher {multiplier}x + {shift} mod {modulus} of {block}",
    )
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = slips.ENCRYPTION
    signature: ClassVar[KindSignature] = about("affine_encryption", phrase, slips.ENCRYPTION)

    def asked(self, ask: str) -> tuple[Said, ...]:
        return (
            *alphabet_told(self.modulus),
            say(
                "Encrypt the block {block} with the affine cipher that sends $x$ to "
                "${a}x + {b}$ modulo {m}.",
                block=self.shown_block(self.block),
                a=self.multiplier,
                b=self.shift,
                m=self.modulus,
            ),
        )

    def solve(self) -> Solution[Value]:
        a, b, x, m = self.multiplier, self.shift, self.block, self.modulus
        steps = (_Numbered((x,), m), _Encrypt(a, b, x, m))
        return Solution(Value((a * x + b) % m), steps)

    def answer_text(self, answer: Value) -> Said:
        return _block_told(answer.value, self.modulus)


def _block_told(n: int, m: int) -> Said:
    letters = in_letters(n, m)
    if letters is None:
        return say("The block is {n}.", n=n)
    return say("The block is {letters}, that is {n}.", letters=letters, n=n)


@dataclass(frozen=True, kw_only=True)
class AffineDecryption(WithKey):
    """The block that was encrypted to a block."""

    kind: ClassVar[str] = "affine_decryption"
    phrase: ClassVar[str] = "decrypt {block} with {multiplier}x + {shift} mod {modulus}"
    spellings: ClassVar[tuple[str, ...]] = (
        "decrypt {block} by {multiplier}x + {shift} mod {modulus}",
    )
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = slips.DECRYPTION
    signature: ClassVar[KindSignature] = about("affine_decryption", phrase, slips.DECRYPTION)

    def asked(self, ask: str) -> tuple[Said, ...]:
        return (
            *alphabet_told(self.modulus),
            say(
                "Decrypt the block {block}: the affine cipher sends $x$ to ${a}x + {b}$ "
                "modulo {m}.",
                block=self.shown_block(self.block),
                a=self.multiplier,
                b=self.shift,
                m=self.modulus,
            ),
        )

    def solve(self) -> Solution[Value]:
        a, b, y, m = self.multiplier, self.shift, self.block, self.modulus
        rest = (y - b) % m
        x = rest * pow(a, -1, m) % m
        steps = (
            _Numbered((y,), m),
            _TakeOff(a, b, y, m),
            _Divide(a, rest, m, "x"),
            _Check(a, b, x, m),
        )
        return Solution(Value(x), steps)

    def answer_text(self, answer: Value) -> Said:
        return _block_told(answer.value, self.modulus)


@dataclass(frozen=True, kw_only=True)
class AffineMultiplier(Affine):
    """The multiplier of the key that sends `plain` to `cipher` and `plain2` to `cipher2`."""

    kind: ClassVar[str] = "affine_multiplier"
    phrase: ClassVar[str] = (
        "multiplier that sends {plain} to {cipher} and {plain2} to {cipher2} mod {modulus}"
    )
    spellings: ClassVar[tuple[str, ...]] = (
        "affine key that sends {plain} to {cipher} and {plain2} to {cipher2} mod {modulus}",
    )
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = slips.MULTIPLIER
    signature: ClassVar[KindSignature] = about("affine_multiplier", phrase, slips.MULTIPLIER)
    plain: int
    cipher: int
    plain2: int
    cipher2: int

    def check(self) -> None:
        super().check()
        m = self.modulus
        for what, n in (("plain", self.across), ("cipher", self.up)):
            require(gcd(n, m) == 1, f"{what} blocks whose difference is coprime to {m}", n)

    @property
    def across(self) -> int:
        return (self.plain - self.plain2) % self.modulus

    @property
    def up(self) -> int:
        return (self.cipher - self.cipher2) % self.modulus

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=_NONE, entry=say("Type the value in digits."))

    @property
    def canonical(self) -> tuple[object, ...]:
        """The order of the two pairs makes no other question."""
        pairs = sorted([(self.plain, self.cipher), (self.plain2, self.cipher2)])
        return (self.kind, *pairs, self.modulus)

    def asked(self, ask: str) -> tuple[Said, ...]:
        return (
            *alphabet_told(self.modulus),
            say(
                "Find the multiplier $a$ of the affine cipher $ax + b$ modulo {m} that sends {x} "
                "to {y} and {u} to {v}.",
                m=self.modulus,
                x=self.shown_block(self.plain),
                y=self.shown_block(self.cipher),
                u=self.shown_block(self.plain2),
                v=self.shown_block(self.cipher2),
            ),
        )

    def solve(self) -> Solution[Value]:
        m, first, second = self.modulus, (self.plain, self.cipher), (self.plain2, self.cipher2)
        a = self.up * pow(self.across, -1, m) % m
        b = (self.cipher - a * self.plain) % m
        steps = (
            _Numbered((*first, *second), m),
            _Subtract(first, second, m),
            _Divide(self.across, self.up, m, "a"),
            _Shift(a, self.plain, self.cipher, m),
            _Check(a, b, self.plain2, m),
        )
        return Solution(Value(a), steps)

    def answer_text(self, answer: Value) -> Said:
        a, m = answer.value, self.modulus
        b = (self.cipher - a * self.plain) % m
        return say("The key is $a = {a}$ and $b = {b}$.", a=a, b=b)


# ------------------------------------------------------------ reading, certificate

_in_numbers = reader(AffineEncryption, AffineDecryption, AffineMultiplier)
_WORDS = re.compile(
    r"(?:(?<=crypt )|(?<= to )|(?<= and )|(?<=sends )|(?<= of ))([A-Z]{1,2})\b(?! *x)", re.I
)


def read(statements: Sequence[str]) -> Phrased | None:
    """The problem of "encrypt K with 5x + 8 mod 26"; None for statements of another form."""
    found: Phrased | None = _in_numbers(
        [_WORDS.sub(lambda match: letters_as_numbers(match[1]), line) for line in statements]
    )
    return found


def _certificate(problem: WithKey, answer: Value) -> Telling:
    """The block found is encrypted."""
    yield lead("Check.")
    yield say(
        "${chain}$.",
        chain=_put_in(problem.multiplier, problem.shift, answer.value, problem.modulus),
    )


def _both_pairs(problem: AffineMultiplier, answer: Value) -> Telling:
    """Both blocks are encrypted with the key found."""
    a, m = answer.value, problem.modulus
    b = (problem.cipher - a * problem.plain) % m
    yield lead("Check.")
    for x in (problem.plain, problem.plain2):
        yield say("${chain}$.", chain=_put_in(a, b, x, m))


KINDS = (
    Kind(
        problem=AffineEncryption,
        read=read,
        about="A block encrypted with the affine cipher ax + b modulo m; letters for m = 26, 676.",
        title=say("A cipher"),
        next_steps={
            "the value": say(
                "Write the block as a number, and put this number in for $x$. Is the result "
                "reduced once, at the end?"
            ),
        },
        samples=(
            "encrypt 10 with 5x + 8 mod 26",
            "encrypt K with 5x + 8 mod 26",
            "encrypt HI with 15x + 100 mod 676",
            "Encrypt 7 by 3x + 1 mod 29",
            "encrypt 0 with 2x + 1 mod 3",
            "encrypt 12 with 10x + 30 mod 37",
        ),
    ),
    Kind(
        problem=AffineDecryption,
        read=read,
        about="The block that the affine cipher ax + b modulo m encrypts to a given block.",
        title=say("A cipher"),
        next_steps={
            "the value": say(
                "Encrypt the block found: does the cipher send it to the one in the "
                "question? Backwards the last operation is undone first."
            ),
        },
        samples=(
            "decrypt 6 with 5x + 8 mod 26",
            "decrypt Q with 5x + 8 mod 26",
            "decrypt ZA with 15x + 100 mod 676",
            "decrypt 7 by 3x + 1 mod 29",
            "decrypt 0 with 2x + 1 mod 3",
            "decrypt 12 with 10x + 30 mod 37",
        ),
        certificate=_certificate,
    ),
    Kind(
        problem=AffineMultiplier,
        read=read,
        about="The multiplier of the affine cipher modulo m that sends two blocks to two blocks.",
        title=say("A key"),
        next_steps={
            "the value": say(
                "Write both facts as congruences for $a$ and $b$, and subtract one from the other "
                "on both sides: which congruence for $a$ alone is left?"
            ),
        },
        samples=(
            "multiplier that sends 4 to 2 and 19 to 25 mod 26",
            "multiplier that sends E to K and T to D mod 26",
            "affine key that sends 1 to 5 and 2 to 12 mod 29",
            "multiplier that sends 0 to 3 and 1 to 2 mod 31",
            "multiplier that sends TH to QX and HE to RA mod 676",
            "multiplier that sends 3 to 3 and 5 to 5 mod 11",
        ),
        certificate=_both_pairs,
    ),
)
"""What the house knows of these kinds."""
