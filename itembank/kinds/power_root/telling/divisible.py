"""What is told where a power of p divides the right side; and of odd numbers modulo 2."""

from collections.abc import Iterator

from itembank.kinds.polynomial.telling.phrases import one_of, short_power
from itembank.kinds.power_root.lifting_steps import Divide, Multiply, Odd, Zero
from itembank.kinds.power_root.wording import modulo
from itembank.languages import BREAK, Said, Told, counted, say
from itembank.languages.lettering import relettered

__all__ = ["divide", "multiply", "odd", "zero"]


def zero(step: Zero) -> Iterator[Told]:
    p, least = step.p, step.least
    yield modulo(p, step.e)
    if least == 1:
        yield say(
            "$x^{k}$ is divisible by ${q}$ if and only if $x$ is divisible by the prime {p}: "
            "$x ≡ 0 (mod {p})$.",
            k=step.k,
            q=short_power(p, step.e),
            p=p,
        )
    else:
        yield _several_times(step)


def _several_times(step: Zero) -> Said:
    """p must divide x at least twice, or more often."""
    slots = {
        "k": step.k,
        "q": short_power(step.p, step.e),
        "p": step.p,
        "e": step.e,
        "least": step.least,
        "fewer": step.least - 1,
        "root": short_power(step.p, step.least),
    }
    if step.least == 2:
        return say(
            "$x^{k}$ is divisible by ${q} = {p}^{e}$ if and only if {p} divides $x$ at least "
            "twice, since ${k} · {least} ≥ {e}$ and ${k} · {fewer} < {e}$: $x ≡ 0 (mod {root})$.",
            **slots,
        )
    return say(
        "$x^{k}$ is divisible by ${q} = {p}^{e}$ if and only if {p} divides $x$ at least "
        "{least} times, since ${k} · {least} ≥ {e}$ and ${k} · {fewer} < {e}$: "
        "$x ≡ 0 (mod {root})$.",
        **slots,
    )


def divide(step: Divide) -> Iterator[Told]:
    p, k, v, q = step.p, step.k, step.v, short_power(step.p, step.e)
    yield modulo(p, step.e)
    yield _divided(step)
    if step.w is None or step.b is None:
        yield say(
            "But the number of times that {p} divides $x^{k}$ is a multiple of {k}, and {v} is "
            "not: there is no solution modulo ${q}$.",
            p=p,
            k=k,
            v=v,
            q=q,
        )
        return
    yield _unknown_divided(p, step.w)
    yield say(
        "Divide by ${power}$, the modulus too: $y^{k} ≡ {b} (mod {rest})$.",
        power=short_power(p, v),
        k=k,
        b=step.b,
        rest=short_power(p, step.e - v),
    )


def _divided(step: Divide) -> Said:
    """p divides a exactly v times, and so it must x^k."""
    slots = {"p": step.p, "a": step.a, "k": step.k, "q": short_power(step.p, step.e)}
    if step.v == 2:
        return say(
            "{p} divides {a} exactly twice, and fewer times than ${q}$. So {p} must divide $x^{k}$ "
            "exactly twice.",
            **slots,
        )
    return counted(
        "{p} divides {a} exactly once, and fewer times than ${q}$. So {p} must divide $x^{k}$ "
        "exactly once.",
        "{p} divides {a} exactly {n} times, and fewer times than ${q}$. So {p} must divide $x^{k}$ "
        "exactly {n} times.",
        step.v,
        **slots,
    )


def _unknown_divided(p: int, w: int) -> Said:
    """x = p^w y."""
    root = short_power(p, w)
    if w == 2:
        return say(
            "Hence {p} divides $x$ exactly twice: $x = {root}·y$, where {p} does not divide $y$.",
            p=p,
            root=root,
        )
    return counted(
        "Hence {p} divides $x$ exactly once: $x = {root}·y$, where {p} does not divide $y$.",
        "Hence {p} divides $x$ exactly {n} times: $x = {root}·y$, where {p} does not divide $y$.",
        w,
        p=p,
        root=root,
    )


def multiply(step: Multiply) -> Iterator[Told]:
    factors = [(step.p, step.e)]
    yield BREAK
    yield say(
        "So {found}, and $x = {root}·y$ gives {classes}.",
        found=relettered(one_of(step.found, factors), {"x": "y"}),
        root=short_power(step.p, step.w),
        classes=one_of(step.classes, factors),
    )


def odd(step: Odd) -> Iterator[Told]:
    yield modulo(2, 1)
    yield say("A power of $x$ is odd if and only if $x$ is: $x ≡ 1 (mod 2)$.")
