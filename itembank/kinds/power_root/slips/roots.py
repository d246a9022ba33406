"""Slips in finding roots modulo one prime: square roots, guesses, indices."""

from itembank.kinds.mistakes import SetFound
from itembank.kinds.polynomial.slips.work import told
from itembank.kinds.power_root.prime_steps import (
    CorrectRoot,
    Criterion,
    Indices,
    RootByRounds,
    RootFiveModEight,
    RootThreeModFour,
)
from itembank.kinds.power_root.slips.work import PowerWork
from itembank.languages import say


def criterion_untested(w: PowerWork) -> SetFound:
    """The formula for p = 3 (mod 4) used though a is no square: a root of -a."""
    step = w.step(Criterion)
    if step is None or w.k != 2 or step.value == 1 or step.p % 4 != 3:
        return None
    r = pow(step.a, (step.p + 1) // 4, step.p)
    return told(
        w.with_local(step.p, {r, step.p - r}),
        say(
            "If you computed ${a}^{n}$: that is a square root only if {a} is a square modulo {p}. "
            "Square it and compare with {a}.",
            a=step.a,
            n=(step.p + 1) // 4,
            p=step.p,
        ),
    )


def exponent_halved_only(w: PowerWork) -> SetFound:
    """(p + 1)/2 in place of (p + 1)/4: that power of a square a is a itself."""
    step = w.step(RootThreeModFour)
    if step is None:
        return None
    return told(
        w.with_local(step.p, {step.a, step.p - step.a}),
        say(
            "If you took the exponent $({p} + 1)/2$: the power of {a} with that exponent is {a} "
            "again. Its square root has half the exponent, $({p} + 1)/4$.",
            p=step.p,
            a=step.a,
        ),
    )


def correction_forgotten(w: PowerWork) -> SetFound:
    """The first guess taken for the root, in the methods that have to correct it."""
    five, rounds, corrected = (
        w.step(kind) for kind in (RootFiveModEight, RootByRounds, CorrectRoot)
    )
    if five is not None and five.i is not None:
        p, guess = five.p, five.first
    elif rounds is not None and rounds.work.rounds:
        p, guess = rounds.p, rounds.work.rounds[0].r
    elif corrected is not None and corrected.work.w != 1:
        p, guess = corrected.p, corrected.work.guess
    else:
        return None
    wrong = w.with_local(p, {guess, p - guess} if w.k % 2 == 0 else {guess})
    return told(
        wrong,
        (
            say("If {guess} is the first guess: it still has to be corrected.", guess=guess),
            *w.refuted(wrong),
        ),
    )


def index_for_the_number(w: PowerWork) -> SetFound:
    step = w.step(Indices)
    if step is None or not step.found:
        return None
    return told(
        w.with_local(step.p, [i % step.p for i in step.found]),
        say(
            "Check whether these are indices: $x$ is the power; with the index $i$ it is ${g}^i$ "
            "modulo {p}.",
            g=step.g,
            p=step.p,
        ),
    )


def index_modulo_the_prime(w: PowerWork) -> SetFound:
    """k i = index solved modulo p in place of p - 1."""
    step = w.step(Indices)
    if step is None or w.k % step.p == 0:
        return None
    i = step.index * pow(w.k, -1, step.p) % step.p
    return told(
        w.with_local(step.p, [pow(step.g, i, step.p)]),
        say(
            "If you solved ${k}i ≡ {index}$ modulo {p}: exponents count modulo ${p} - 1$.",
            k=w.k,
            index=step.index,
            p=step.p,
        ),
    )


def index_divided(w: PowerWork) -> SetFound:
    """k i = index divided by k, and the modulus p - 1 kept: one index."""
    step = w.step(Indices)
    if step is None or not step.found or step.index % w.k:
        return None
    i = step.index // w.k
    return told(
        w.with_local(step.p, [pow(step.g, i, step.p)]),
        say(
            "If you divided ${k}i ≡ {index} (mod {n})$ by {k}, check the modulus: it is divided "
            "too, by $gcd({k}, {n})$. How many indices modulo {n} are there then?",
            k=w.k,
            index=step.index,
            n=step.p - 1,
        ),
    )
