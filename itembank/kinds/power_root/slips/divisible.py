"""Slips where a power of p divides the right side."""

from itembank.kinds.mistakes import SetFound
from itembank.kinds.polynomial.slips.work import told
from itembank.kinds.power_root.lifting_steps import Divide, Zero
from itembank.kinds.power_root.slips.work import PowerWork
from itembank.languages import say


def zero_taken_for_no_root(w: PowerWork) -> SetFound:
    step = w.step(Zero)
    if step is None or not w.parts.key:
        return None
    return (), say(
        "Modulo {q} the congruence is $x^{k} ≡ 0$, which is like any other: which residues have a "
        "power divisible by {q}?",
        q=step.q,
        k=w.k,
    )


def zero_only(w: PowerWork) -> SetFound:
    """x^k = 0 modulo p^e read as x = 0 modulo p^e."""
    step = w.step(Zero)
    if step is None or step.e == 1:
        return None
    return told(
        w.with_local(step.p, [0]),
        say(
            "Check the solutions modulo {q}: $x$ itself need not be divisible by {q}; it is enough "
            "that $x^{k}$ is.",
            q=step.q,
            k=w.k,
        ),
    )


def one_for_the_class(w: PowerWork) -> SetFound:
    """After dividing p out: each solution of the smaller modulus taken once."""
    step = w.step(Divide)
    if step is None or step.w is None:
        return None
    loc = w.local(step.p)
    rest = step.p ** (step.e - step.v)
    kept = {x // step.p**step.w % rest * step.p**step.w for x in loc.residues}
    return told(
        w.with_local(step.p, kept),
        say(
            "After the division the modulus is {rest}, so each solution there stands for several "
            "residues modulo {q}.",
            rest=rest,
            q=step.q,
        ),
    )


def divisible_so_none(w: PowerWork) -> SetFound:
    step = w.step(Divide)
    if step is None or step.w is None or not w.parts.key:
        return None
    return (), say(
        "That {p} divides both {a} and the modulus {q} does not rule out solutions. Put $x = "
        "{root}·y$ and divide.",
        p=step.p,
        a=step.a,
        q=step.q,
        root=step.p**step.w,
    )
