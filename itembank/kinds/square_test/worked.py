"""The worked solution of "is a a square modulo m", told from its steps."""

from collections.abc import Iterable, Iterator

from itembank.kinds.square_test.steps import Local, OddPower, OddPrime, TwoPower, Verdict, ZeroLocal
from itembank.kinds.squares.steps import SplitModulus
from itembank.kinds.symbol.worked import rules_table, symbol
from itembank.kinds.wording import Tellers, conjunction, listing, prime_powers, run_in
from itembank.languages.words import _
from itembank.notation.prose import paragraph
from itembank.notation.tree import Block

SHORT = 10**6
"""Prime powers up to here are written in digits."""


def power(p: int, k: int) -> str:
    return str(p**k) if p**k <= SHORT else f"{p}^{k}"


def lead(p: int, k: int) -> str:
    return _("Modulo {q}.").format(q=run_in(power(p, k)))


def conclusion(step: Local) -> str:
    """The sentence that ends a test."""
    text = (
        _("So {a} is a square modulo ${q}$.")
        if step.holds
        else _("So {a} is not a square modulo ${q}$.")
    )
    return text.format(a=f"${step.a}$", q=power(step.p, step.k))


def split_modulus(step: SplitModulus) -> Iterator[Block]:
    if len(step.factors) == 1:
        text = _("${m} = {product}$ is a power of a prime.")
    else:
        text = _(
            "${m} = {product}$. By the Chinese remainder theorem a number is a square modulo {m} "
            "if and only if it is a square modulo {parts}."
        )
    yield paragraph(
        text.format(
            m=step.m,
            product=prime_powers(step.factors),
            parts=conjunction(f"${power(p, k)}$" for p, k in step.factors),
        ),
        _("Split the modulus."),
    )


def zero_local(step: ZeroLocal) -> Iterator[Block]:
    yield paragraph(
        _("${a} ≡ 0 (mod {q})$, and $0 = 0^2$ is a square.").format(
            a=step.a, q=power(step.p, step.k)
        ),
        lead(step.p, step.k),
    )


def odd_power(step: OddPower) -> Iterator[Block]:
    p, k, e = step.p, step.k, step.e
    q = power(p, k)
    if e == 1:
        why = _(
            "The square of a multiple of {p} is a multiple of ${high}$, and stays one modulo ${q}$."
        )
    else:
        why = _(
            "A square holds {p} to an even power, and modulo ${q}$ it keeps that power as long as "
            "it is below ${q}$."
        )
    sentences = [
        reduced(step.a, step.r, q),
        _("${r}$ is a multiple of ${low}$, but not of ${high}$.").format(
            r=step.r, low=power(p, e), high=power(p, e + 1)
        ),
        why.format(p=p, q=q, high=power(p, e + 1)),
        conclusion(step),
    ]
    yield paragraph(spaced(sentences), lead(p, k))


def spaced(sentences: Iterable[str]) -> str:
    return " ".join(filter(None, sentences))


def reduced(a: int, r: int, q: str) -> str:
    """a ≡ r (mod q), unless a is its own residue."""
    return "" if a == r else f"${a} ≡ {r} (mod {q})$."


def even_power(p: int, e: int, u: int, rest: int) -> str:
    """That r = p^e u with e even comes down to u modulo p^rest."""
    values = {"r": p**e * u, "p": p, "e": e, "u": u, "q": power(p, rest)}
    if u == 1:
        return _("${r} = {p}^{e}$ is an even power.").format(**values)
    return _(
        "${r} = {p}^{e} · {u}$. The even power ${p}^{e}$ is a square, so the question is whether "
        "{u} is a square modulo ${q}$."
    ).format(**values)


def two_power(step: TwoPower) -> Iterator[Block]:
    k, e, n, u = step.k, step.e, step.n, step.u
    sentences = []
    if e:
        sentences += [reduced(step.a, step.r, power(2, k)), even_power(2, e, u, k - e)]
    else:
        u = step.a
    if e == 0 or u > 1:
        rules = {
            1: _("Modulo 2 every odd number is a square."),
            2: _(
                "An odd number is a square modulo 4 if and only if it is 1 modulo 4; {u} is {v} "
                "modulo 4."
            ),
            3: _(
                "An odd number is a square modulo 8, or modulo a higher power of 2, if and only if "
                "it is 1 modulo 8; {u} is {v} modulo 8."
            ),
        }
        sentences.append(rules[n].format(u=f"${u}$", v=u % 2**n))
    sentences.append(conclusion(step))
    yield paragraph(spaced(sentences), lead(2, k))


def odd_prime(step: OddPrime) -> Iterator[Block]:
    p, k, e, u = step.p, step.k, step.e, step.u
    sentences = [reduced(step.a, step.r, power(p, k))]
    if e:
        sentences.append(even_power(p, e, u, k - e))
    if e and u == 1:
        yield paragraph(spaced([*sentences, conclusion(step)]), lead(p, k))
        return
    if k - e > 1:
        sentences.append(
            _(
                "A number that is no multiple of {p} is a square modulo ${q}$ if and only if it is "
                "one modulo {p}, since its square roots lift."
            ).format(p=p, q=power(p, k - e))
        )
    if u >= p:
        sentences.append(f"${u} ≡ {u % p} (mod {p})$.")
    if step.squares:
        sentences += [listed(step), conclusion(step)]
        yield paragraph(spaced(sentences), lead(p, k))
        return
    sentences.append(_("Legendre's symbol decides:"))
    yield paragraph(spaced(sentences), lead(p, k))
    yield rules_table(step.rules)
    yield paragraph(f"${symbol(u % p, p)} = {1 if step.holds else -1}$. " + conclusion(step))


def listed(step: OddPrime) -> str:
    """The squares modulo p, and whether u is among them."""
    p, v = step.p, step.u % step.p
    one = len(step.squares) == 1
    if one:
        text = _("The only square modulo {p} other than 0 is ${squares}$.")
    elif step.holds:
        text = _("The squares modulo {p} other than 0 are ${squares}$, and {v} is among them.")
    else:
        text = _("The squares modulo {p} other than 0 are ${squares}$; {v} is not among them.")
    return text.format(p=p, squares=listing(step.squares), v=v)


def verdict(step: Verdict) -> Iterator[Block]:
    m, q = step.m, ""
    if step.failed is None:
        text = _("{a} is a square modulo {m}.")
        if step.root is not None:
            text += " " + root_told(step.root, step.a, m)
    else:
        p, k = step.failed
        q = f"${power(p, k)}$"
        text = (
            _("{a} is not a square modulo {m}.")
            if p**k == m
            else _("{a} is not a square modulo {q}, and hence not modulo {m}.")
        )
        if step.jacobi == 1:
            text += " " + _(
                "The Jacobi symbol ${symbol}$ is 1 all the same: its factors −1 come in pairs."
            ).format(symbol=symbol(step.a, m))
    yield paragraph(text.format(a=f"${step.a}$", m=m, q=q), _("Answer."))


def root_told(root: int, a: int, m: int) -> str:
    square = root**2
    chain = "" if square == a else f" ≡ {a} (mod {m})"
    return _("Indeed ${root}^2 = {square}{chain}$.").format(root=root, square=square, chain=chain)


TOLD: Tellers = {
    SplitModulus: split_modulus,
    ZeroLocal: zero_local,
    OddPower: odd_power,
    TwoPower: two_power,
    OddPrime: odd_prime,
    Verdict: verdict,
}
"""How each step is told."""
