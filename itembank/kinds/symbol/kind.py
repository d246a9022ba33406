"""Legendre's and Jacobi's symbols (a/n), and Kronecker's where it is named.

For an odd prime n: 1 if a is a square modulo n and no multiple of n, -1 if it is no square,
0 if n divides a. For an odd n > 0: the product of the symbols over the prime factors of n,
each as often as it divides n; (a/1) = 1.

`solve` finds the value by the rules, `telling` tells it, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from itembank.kinds.base import Given, Kind, Phrases, Slip, Solution, distinct_slips, integer_of
from itembank.kinds.derivation import StepLine
from itembank.kinds.modular import integer_typed
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.symbol import guidance, slips
from itembank.kinds.symbol.certificate import euler_for_each_prime
from itembank.kinds.symbol.solve import solved, solved_kronecker
from itembank.kinds.symbol.steps import Flip, Rewrite, TakeOutTwos
from itembank.kinds.symbol.telling import worked
from itembank.languages import Telling, say
from itembank.maths.primes import is_prime
from itembank.notation.tree import Math, Number, Symbol
from itembank.values.answer import Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["SymbolValue", "read"]


@dataclass(frozen=True, kw_only=True)
class SymbolValue(StepByStep):
    """The symbol (top/bottom); bottom odd and positive unless `kronecker`."""

    kind: ClassVar[str] = "symbol"
    signature: ClassVar[KindSignature] = KindSignature(
        name="symbol",
        given={"top": "integer", "bottom": "integer"},
        asks=("the value", "the steps"),
        derived=True,
        slips=tuple(slips.MISTAKES),
        measures=("value", "steps", "flips", "twos", "prime_bottom", "digits"),
    )
    top: int
    bottom: int

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        a, n = integer_of(given, "top"), integer_of(given, "bottom")
        if n < 1 or n % 2 == 0:
            raise StatementError(
                worded("given.bottom: expected an odd number of at least 1, got {n}", n=n)
            )
        return cls(top=a, bottom=n)

    @property
    def modulus(self) -> int:
        """The least number the symbol depends on the top modulo: the bottom, if it is odd."""
        return max(abs(self.bottom), 1)

    @property
    def is_ordinary(self) -> bool:
        """Whether the symbol is Legendre's or Jacobi's."""
        return self.bottom > 0 and self.bottom % 2 == 1

    @property
    def statement(self) -> tuple[str, ...]:
        if self.is_ordinary:
            return (f"({self.top}/{self.bottom})",)
        return (f"kronecker ({self.top}/{self.bottom})",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (Symbol(Number(self.top), Number(self.bottom)),)

    def question(self, ask: str) -> Telling:
        (symbol,) = self.shown
        a, n = self.top, self.bottom
        if ask == "the steps":
            yield say("The steps to the value of {symbol} are out of order.", symbol=symbol)
        elif not self.is_ordinary:
            yield say("Find the value of {symbol}, a Kronecker symbol.", symbol=symbol)
        elif is_prime(n):
            yield say("Find the value of {symbol}, a Legendre symbol.", symbol=symbol)
            yield say(
                "It is 1 if ${a}$ is a square modulo {n} and no multiple of {n}, −1 if it is not a "
                "square modulo {n}, and 0 if it is a multiple of {n}.",
                a=a,
                n=n,
            )
        else:
            yield say(
                "Find the value of {symbol}, a Jacobi symbol: the product of the Legendre symbols "
                "of ${a}$ for the prime factors of {n}, each taken as often as it divides {n}.",
                symbol=symbol,
                a=a,
                n=n,
            )

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no value"),
            entry=say("Type its value: 1, 0 or -1."),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        top = self.top % self.bottom if self.is_ordinary else self.top
        return (self.kind, top, self.bottom)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[Value]:
        if self.is_ordinary:
            return solved(self.top, self.bottom)
        return solved_kronecker(self.top, self.bottom)

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        rules = [step for step in solution.steps if isinstance(step, Rewrite)]
        return {
            "value": solution.answer.value,
            "steps": solution.effort,
            "flips": sum(isinstance(step, Flip) for step in rules),
            "twos": sum(isinstance(step, TakeOutTwos) for step in rules),
            "prime_bottom": int(self.bottom > 2 and is_prime(self.bottom)),
            "digits": len(str(abs(self.bottom))),
        }

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        if not self.is_ordinary:
            return ()
        return distinct_slips(slips.slips_of(self.top, self.bottom), solution.answer)

    def worked(self, solution: Solution[Value]) -> Telling:
        return worked(solution)

    def outline(self, solution: Solution[Value]) -> tuple[StepLine, ...]:
        if not self.is_ordinary:
            return ()
        return guidance.outline(self.top, self.bottom, solution.steps, solution.answer.value)


# ------------------------------------------------------------ reading

_BY_NAME = re.compile(
    r"(?:the )?(?P<name>legendre|jacobi|kronecker)(?:'s)?(?: symbol)?[ :]*"
    r"(?P<rest>[(\d\s+-].*)",
    re.IGNORECASE,
)
_TWO_NUMBERS = re.compile(r"(?P<top>[^\s,/|]+)(?:\s*[,/|]\s*|\s+)(?P<bottom>[^\s,/|]+)")
_BARE = re.compile(r"\((?P<top>[^()|/]+|\([^()]*\))\s*[/|]\s*(?P<bottom>[^()|/]+)\)")


def read(statements: Sequence[str]) -> SymbolValue | None:
    """The problem of "(3/7)", "legendre 3 7", "jacobi (45/77)"; None for another form.

    Raises StatementError for a bottom that its symbol cannot have.
    """
    if len(statements) != 1:
        return None
    statement = statements[0]
    text = " ".join(statement.split())
    match = _BY_NAME.fullmatch(text)
    if match is None:
        pair = _BARE.fullmatch(text)
        return None if pair is None else _problem("jacobi", pair, statement)
    pair = _BARE.fullmatch(match["rest"]) or _TWO_NUMBERS.fullmatch(_unbracketed(match["rest"]))
    if pair is None:
        raise StatementError(
            worded(
                "{statement}: expected two numbers, as in 'legendre (3/7)', found {match}",
                statement=repr(statement),
                match=repr(match["rest"]),
            )
        )
    return _problem(match["name"].lower(), pair, statement)


def _unbracketed(text: str) -> str:
    """The inside of brackets round the whole text."""
    return text[1:-1].strip() if text.startswith("(") and text.endswith(")") else text


def _problem(name: str, pair: re.Match[str], statement: str) -> SymbolValue:
    a = integer_typed(pair["top"], "a top", statement)
    n = integer_typed(pair["bottom"], "a bottom", statement)
    found = SymbolValue(top=a, bottom=n)
    if name == "legendre" and (n == 2 or not is_prime(n)):
        raise StatementError(
            worded(
                "{statement}: expected an odd prime under a Legendre symbol, got {n}; write "
                "jacobi for an odd number that is not prime",
                statement=repr(statement),
                n=n,
            )
        )
    if name == "jacobi" and not found.is_ordinary:
        raise StatementError(
            worded(
                "{statement}: expected an odd number of at least 1 at the bottom, got {n}; "
                "write kronecker for the extension to all integers",
                statement=repr(statement),
                n=n,
            )
        )
    return found


KINDS = (
    Kind(
        problem=SymbolValue,
        read=read,
        value="symbol",
        about="The symbol (a/n): Legendre's for an odd prime n, Jacobi's for any odd n >= 1, "
        "Kronecker's where it is named.",
        title=say("A symbol"),
        next_steps={
            "the value": say(
                "Go through the rules one by one: reduce the top, take out the twos, look at both "
                "numbers modulo 4 before the symbol is turned over."
            ),
        },
        samples=(
            "(3/7)",
            "legendre 150 193",
            "(-2/15)",
            "jacobi (45/77)",
            "(1001 | 9907)",
            "(22/11)",
            "(2/1001)",
            "(10/9)",
            "(5/1)",
            "kronecker (-15/-40)",
            "kronecker (3/0)",
            "(3/10^20 + 39)",
        ),
        certificate=euler_for_each_prime,
    ),
)
"""What the house knows of this kind."""
