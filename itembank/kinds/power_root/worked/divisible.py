"""What is told where a power of p divides the right side; and of odd numbers modulo 2."""

from collections.abc import Iterator

from itembank.kinds.polynomial.worked.phrases import class_phrase, power_value
from itembank.kinds.power_root.steps import Divide, Multiply, Odd, Zero
from itembank.kinds.power_root.wording import modulo
from itembank.kinds.wording import flowing
from itembank.languages.words import _
from itembank.notation.tree import Block


def zero(step: Zero) -> Iterator[Block]:
    p, e, k, least = step.p, step.e, step.k, step.least
    q = power_value(p, e)
    if least == 1:
        text = _("$x^{k}$ is divisible by ${q}$ exactly when $x$ is divisible by the prime {p}:")
    else:
        text = _(
            "$x^{k}$ is divisible by ${q} = {p}^{e}$ exactly when $x$ is divisible by {p} at least "
            "{times}, since ${k} · {least} ≥ {e}$ and ${k} · {fewer} < {e}$:"
        )
    words = {"times": times(least), "fewer": least - 1, "least": least}
    yield from flowing(
        [
            text.format(p=p, q=q, k=k, e=e, **words)
            + " "
            + _("$x ≡ 0 (mod {root})$.").format(root=power_value(p, least))
        ],
        modulo(p, e),
    )


def times(n: int) -> str:
    """once, twice, 3 times."""
    return _("once") if n == 1 else _("twice") if n == 2 else _("{n} times").format(n=n)


def divide(step: Divide) -> Iterator[Block]:
    a, p, k, v, q = step.a, step.p, step.k, step.v, power_value(step.p, step.e)
    words = {"a": a, "p": p, "k": k, "times": times(v), "q": q, "v": v}
    told = [
        _(
            "{p} divides {a} exactly {times}, and fewer times than ${q}$. So {p} must divide "
            "$x^{k}$ exactly {times}."
        ).format(**words)
    ]
    if step.w is None:
        told.append(
            _(
                "But the number of times that {p} divides $x^{k}$ is a multiple of {k}, and {v} is "
                "not: there is no solution modulo ${q}$."
            ).format(**words)
        )
    else:
        root = power_value(p, step.w)
        told.append(
            _(
                "Hence {p} divides $x$ exactly {w}: $x = {root}·y$, where {p} does not divide $y$."
            ).format(p=p, w=times(step.w), root=root)
        )
        told.append(
            _("Divide by ${power}$, the modulus too: $y^{k} ≡ {b} (mod {rest})$.").format(
                power=power_value(p, v), k=k, b=step.b, rest=power_value(p, step.e - v)
            )
        )
    yield from flowing(told, modulo(p, step.e))


def multiply(step: Multiply) -> Iterator[Block]:
    p, factors = step.p, [(step.p, step.e)]
    found = class_phrase(step.found, factors).replace("$x ≡", "$y ≡")
    yield from flowing(
        [
            _("So {found}, and $x = {root}·y$ gives {classes}.").format(
                found=found,
                root=power_value(p, step.w),
                classes=class_phrase(step.classes, factors),
            )
        ]
    )


def odd(step: Odd) -> Iterator[Block]:
    yield from flowing(
        [_("A power of $x$ is odd exactly when $x$ is: $x ≡ 1 (mod 2)$.")], modulo(2, 1)
    )
