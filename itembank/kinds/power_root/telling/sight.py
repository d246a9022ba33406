"""A right side that is a perfect power, or becomes one when the modulus is added a few times."""

from collections.abc import Iterator

from itembank.kinds.factoring import trial_told
from itembank.kinds.polynomial.telling.phrases import perfect_power, roots_told
from itembank.kinds.power_root.steps import SeenRoot, SeenSolution, Witness
from itembank.kinds.power_root.telling.modulus import phi_computed
from itembank.kinds.power_root.wording import modulo
from itembank.languages import Told, lead, say, spelled
from itembank.notation.tree import Math, Number

__all__ = ["seen_root", "seen_solution", "witness"]


def seen_solution(step: SeenSolution) -> Iterator[Told]:
    k, m = step.k, step.modulus
    yield lead("A perfect power.")
    yield perfect_power(step.a, step.root, k, m)
    yield from trial_told(m, step.factors)
    yield say(
        "So {root} is a solution. It is the only one: ${chain}$, and $gcd({k}, {phi}) = 1$, so "
        "no two units have the same power with the exponent {k}.",
        root=Number(step.root),
        chain=_phi_of(step),
        k=k,
        phi=step.phi,
    )


def _phi_of(step: SeenSolution) -> Math:
    return phi_computed(step.modulus, step.factors, step.phi)


def seen_root(step: SeenRoot) -> Iterator[Told]:
    k, p, r = step.k, step.p, step.root
    q = p**step.e
    yield modulo(p, step.e)
    yield perfect_power(step.a, r, k, q)
    if step.d is None:
        half = q // 2
        yield say(
            "So $x ≡ {r}$ is a solution, and with it are $-{r}$ and both of them plus ${q}/2 = "
            "{half}$: an odd square has these four roots modulo {q}.",
            r=r,
            q=q,
            half=half,
        )
        yield from roots_told(sorted({s % q for s in (r, -r, r + half, half - r)}), q)
    elif k == 2 and step.e == 1:
        yield say(
            "So $x ≡ {r}$ or $x ≡ -{r} ≡ {s} (mod {q})$, and nothing else, since {q} is prime.",
            r=r,
            s=-r % q,
            q=q,
        )
    elif k == 2:
        yield say(
            "So $x ≡ {r}$ or $x ≡ -{r} ≡ {s} (mod {q})$. There are no other roots: the odd prime "
            "{p} does not divide {r}, so it divides at most one factor of $(x - {r})(x + {r})$.",
            r=r,
            s=-r % q,
            q=q,
            p=p,
        )
    elif step.d == 1:
        yield say(
            "So {r} is a root. It is the only one, since $gcd({k}, {phi}) = 1$ with "
            "${phi} = φ({q})$.",
            r=Number(r),
            k=k,
            phi=q // p * (p - 1),
            q=q,
        )
        yield from roots_told([r % q], q)
    else:
        yield say(
            "So {r} is a root. As $gcd({k}, {phi}) = {d}$ with ${phi} = φ({q})$, there are {n} "
            "roots.",
            r=Number(r),
            k=k,
            phi=q // p * (p - 1),
            q=q,
            d=step.d,
            n=spelled(step.d),
        )
        if step.d == 2:
            yield say("The other one is $-{r}$, since {k} is even.", r=r, k=k)
            yield from roots_told(sorted({r % q, -r % q}), q)


def witness(step: Witness) -> Iterator[Told]:
    yield lead("A perfect power.")
    yield perfect_power(step.a, step.root, step.k, step.modulus)
    yield lead("Answer.")
    yield say(
        "The congruence has a solution: $x ≡ {r} (mod {m})$ is one.",
        r=step.root % step.modulus,
        m=step.modulus,
    )
