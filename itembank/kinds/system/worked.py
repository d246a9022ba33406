"""The worked solution of a system of congruences, told from its steps.

One function a step; sentences are whole and written in the unknown x.
"""

from collections.abc import Iterator, Sequence
from typing import Any

from itembank.kinds.base import Solution
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.polynomial import worked as polynomial_worked
from itembank.kinds.polynomial.steps import Combine, PairOff
from itembank.kinds.polynomial.steps import Conclude as ConcludePolynomial
from itembank.kinds.polynomial.steps import Substitute as SubstitutePolynomial
from itembank.kinds.power_root import worked as power_root_worked
from itembank.kinds.power_root.kind import PowerRoot
from itembank.kinds.power_root.steps import Substitute as SubstitutePower
from itembank.kinds.system.steps import (
    AddWeighted,
    AllTogether,
    Check,
    Column,
    Conclude,
    Isolate,
    LeastResidue,
    SolveAlone,
    SplitPrimes,
    Substitute,
)
from itembank.kinds.wording import (
    FITS_ON_THE_BOARD,
    WRITTEN_OUT,
    Piece,
    Tellers,
    conjunction,
    counted_by_class,
    each_on_a_line,
    equal_to,
    flowing,
    listing,
    number_word,
    one_of_classes,
    polynomial,
    residue_chain,
    residue_lines,
    told,
)
from itembank.languages import Telling
from itembank.languages.lettering import in_letter
from itembank.languages.words import _, ngettext
from itembank.maths.polynomials import value
from itembank.notation.building import plain_polynomial
from itembank.notation.prose import display, table
from itembank.notation.tree import Block

LEFT_OUT = (ConcludePolynomial, SubstitutePolynomial, SubstitutePower, PairOff)
"""Steps of a congruence solved alone that belong to its own conclusion."""


def worked(solution: Solution[Any], letter: str = "x") -> Telling:
    """The steps as a teacher would write them on the board."""
    return in_letter(tuple(told(solution.steps, TOLD)), letter)


def ordinal(i: int) -> str:
    """The run-in heading of the i-th congruence."""
    words = (_("The first congruence."), _("The second congruence."), _("The third congruence."))
    return words[i - 1] if i <= len(words) else _("Congruence number {i}.").format(i=i)


# ------------------------------------------------------------ each congruence alone


def least_residue(step: LeastResidue) -> Iterator[Block]:
    yield from flowing(
        [
            _("${a} ≡ {r} (mod {m})$, so it says that $x ≡ {r} (mod {m})$.").format(
                a=step.a, r=step.r, m=step.m
            )
        ],
        ordinal(step.i),
    )


def isolate(step: Isolate) -> Iterator[Block]:
    yield from flowing(isolated(step), ordinal(step.i))


def isolated(step: Isolate) -> Iterator[Piece]:
    a, b, m, d = step.a, step.b, step.m, step.d
    if a == 0:
        text = (
            _("The unknown drops out, but $0 ≢ {b} (mod {m})$: no $x$ satisfies this.")
            if b
            else _("The unknown drops out, and every integer $x$ satisfies what is left.")
        )
        yield text.format(b=b, m=m)
        return
    ax = polynomial((0, a))
    if not step.collected:
        yield _("$x$ to the left, numbers to the right: ${ax} ≡ {b} (mod {m})$.").format(
            ax=ax, b=b, m=m
        )
    if step.inverse is None:
        yield _(
            "$gcd({a}, {m}) = {d}$ does not divide {b}, but it divides ${ax}$ and {m}: no $x$ "
            "satisfies this."
        ).format(a=a, m=m, d=d, b=b, ax=ax)
        return
    m1 = m // d
    if m1 == 1:
        yield _("Both sides are divisible by {m}, so every integer $x$ satisfies this.").format(m=m)
        return
    if d > 1:
        yield _(
            "$gcd({a}, {m}) = {d}$ divides {b}. Divide all three numbers by {d}: "
            "${ax} ≡ {b1} (mod {m1})$."
        ).format(a=a, m=m, d=d, b=b, ax=polynomial((0, step.a1)), b1=step.b1, m1=m1)
    if step.a1 % m1 != 1:
        yield _(
            "${a1} · {inverse} {one} (mod {m1})$, so multiply by {inverse}: "
            "$x ≡ {inverse} · {b1} {r} (mod {m1})$."
        ).format(
            a1=step.a1,
            inverse=step.inverse,
            one=equal_to(step.a1 * step.inverse, m1),
            b1=step.b1,
            r=equal_to(step.inverse * step.b1, m1),
            m1=m1,
        )


def solve_alone(step: SolveAlone) -> Iterator[Block]:
    problem = step.problem
    kept = tuple(s for s in step.steps if not isinstance(s, LEFT_OUT))
    inner = power_root_worked if isinstance(problem, PowerRoot) else polynomial_worked
    yield from flowing([_("Solve it alone.")], ordinal(step.i))
    yield from inner.worked(Solution(step.answer, kept))
    if not step.answer:
        text = _("It has no solution.")
    elif step.answer.class_count <= WRITTEN_OUT:
        text = _("$x$ satisfies it exactly when {classes}.").format(
            classes=one_of_classes(step.answer.classes())
        )
    else:
        text = _("It has {n} classes of solutions.").format(n=step.answer.class_count)
    yield from flowing([text])


def all_together(step: AllTogether) -> Iterator[Block]:
    if len(step.conditions) < 2:
        return
    yield from flowing(
        [
            _("The system is now"),
            display(*(f"x ≡ {r} (mod {d})" for r, d in step.conditions)),
        ]
    )


# ------------------------------------------------------------ coprime moduli


def add_weighted(step: AddWeighted) -> Iterator[Block]:
    moduli = [w.modulus for w in step.weights]
    m = step.modulus
    yield from flowing(
        [
            _(
                "No two of the moduli {moduli} have a common factor, so there is exactly one "
                "solution modulo ${product} = {m}$."
            ).format(
                moduli=conjunction(map(str, moduli)), product=" · ".join(map(str, moduli)), m=m
            ),
            _(
                "For each modulus take the product of the others, and multiply it by its inverse: "
                "the result $e$ is 1 modulo this modulus and 0 modulo the others."
            ),
            weight_table(step),
            sum_told(step),
        ],
        _("Combine."),
    )


def weight_table(step: AddWeighted) -> Block:
    return table(
        [
            _("congruence"),
            _("product of the others"),
            _("its residue"),
            _("inverse"),
            "$e$",
        ],
        [
            [
                f"$x ≡ {r} (mod {w.modulus})$",
                f"${w.others}$",
                f"${w.residue}$",
                f"${w.inverse}$",
                f"${w.others} · {w.inverse} = {w.e}$" if w.inverse != 1 else f"${w.e}$",
            ]
            for r, w in zip(step.residues, step.weights, strict=True)
        ],
    )


def sum_told(step: AddWeighted) -> str:
    products = " + ".join(f"{r} · {w.e}" for r, w in zip(step.residues, step.weights, strict=True))
    return _("So $x ≡ {products} = {total} (mod {m})$.").format(
        products=products, total=residue_chain(step.total, step.modulus), m=step.modulus
    )


# ------------------------------------------------------------ any two moduli


def substitute(step: Substitute) -> Iterator[Block]:
    yield from flowing(substituted(step), _("Substitute."))


def substituted(step: Substitute) -> Iterator[Piece]:
    merge = step.merge
    r, d, a, m, g, gap = merge.r, merge.d, merge.a, merge.m, merge.g, merge.gap
    words = {"r": r, "d": d, "a": a, "m": m, "g": g, "gap": gap}
    yield (
        _("The first congruence says that $x = {linear}$ for an integer $t$.")
        if step.first
        else _("So far $x = {linear}$ for an integer $t$.")
    ).format(linear=linear(r, d))
    yield _(
        "Put into $x ≡ {a} (mod {m})$ this is ${linear} ≡ {a}$, that is ${dt} ≡ {chain} (mod {m})$."
    ).format(
        **words, linear=linear(r, d), dt=polynomial((0, d), "t"), chain=residue_chain(a - r, m)
    )
    if merge.t is None or merge.merged is None:
        yield _(
            "$gcd({d}, {m}) = {g}$ does not divide {gap}: no $t$ satisfies this. Indeed, modulo "
            "{g} the congruences so far ask for $x ≡ {left}$, and this one for $x ≡ {right}$."
        ).format(**words, left=r % g, right=a % g)
        return
    d1, m1, gap1 = d // g, m // g, gap // g
    if g > 1:
        yield _(
            "$gcd({d}, {m}) = {g}$ divides {gap}. Divide all three numbers by {g}: "
            "${dt} ≡ {gap1} (mod {m1})$."
        ).format(**words, dt=polynomial((0, d1), "t"), gap1=gap1, m1=m1)
    if m1 == 1:
        yield _("So every $t$ satisfies this: $x ≡ {r} (mod {d})$ implies it, and stays.").format(
            **words
        )
        return
    yield from digit_found(d1, gap1, m1, merge.t)
    x, whole = merge.merged
    yield _("Hence $x ≡ {r} + {d} · {t} = {x} (mod {whole})$").format(
        r=r, d=d, t=merge.t, x=x, whole=whole
    ) + (
        _(", where {whole} is the least common multiple of {d} and {m}.").format(
            whole=whole, d=d, m=m
        )
        if g > 1
        else "."
    )


def digit_found(d1: int, gap1: int, m1: int, t: int) -> Iterator[Piece]:
    """From d1 t = gap1 (mod m1) to t."""
    if d1 % m1 == 1:
        if d1 > 1 or gap1 != t:
            yield _("So $t ≡ {t} (mod {m1})$.").format(t=t, m1=m1)
    else:
        inverse = pow(d1, -1, m1)
        yield _(
            "${d1} · {inverse} {one} (mod {m1})$, so $t ≡ {inverse} · {gap1} {t} (mod {m1})$."
        ).format(
            d1=d1,
            inverse=inverse,
            one=equal_to(d1 * inverse, m1),
            gap1=gap1,
            t=equal_to(inverse * gap1, m1),
            m1=m1,
        )


def linear(r: int, d: int) -> str:
    """r + dt."""
    return f"{r} + {polynomial((0, d), 't')}" if r else polynomial((0, d), "t")


# ------------------------------------------------------------ prime by prime


def split_primes(step: SplitPrimes) -> Iterator[Block]:
    sentences: list[Piece] = [
        _(
            "The moduli have common factors. Split each congruence into congruences modulo prime "
            "powers, and compare those that belong to the same prime:"
        ),
        prime_table(step),
    ]
    failing = next((c for c in step.columns if not c.together), None)
    if failing is not None:
        sentences.append(clash_told(failing, step))
    else:
        sentences.append(
            _("What is left: {classes}.").format(
                classes="; ".join(
                    _("for {p}, {classes}").format(p=c.p, classes=one_of_classes(c.together))
                    for c in step.columns
                )
            )
        )
    yield from flowing(sentences, _("Split into prime powers."))


def prime_table(step: SplitPrimes) -> Block:
    return table(
        [_("congruence"), *(_("powers of {p}").format(p=c.p) for c in step.columns)],
        [
            [
                f"${text}$",
                *(
                    one_of_classes(c.conditions[i] or ()) if c.conditions[i] is not None else ""
                    for c in step.columns
                ),
            ]
            for i, text in enumerate(step.texts)
        ],
    )


def clash_told(column: Column, step: SplitPrimes) -> str:
    """Two of the congruences that contradict each other, or the bare fact where it takes more."""
    said = [(i, c) for i, c in enumerate(column.conditions) if c is not None]
    for k, (i, first) in enumerate(said):
        for j, second in said[k + 1 :]:
            if not any((r - s) % min(d, e) == 0 for r, d in first for s, e in second):
                return _(
                    "${first}$ and ${second}$ contradict each other: they ask for {left} and for "
                    "{right}."
                ).format(
                    first=step.texts[i],
                    second=step.texts[j],
                    left=one_of_classes(first),
                    right=one_of_classes(second),
                )
    return _("No residue satisfies all that is asked for modulo powers of {p}.").format(p=column.p)


# ------------------------------------------------------------ the answer


def conclude(step: Conclude) -> Iterator[Block]:
    yield from flowing(concluded(step), _("Answer."))


def concluded(step: Conclude) -> Iterator[Piece]:
    n, m = step.count, step.modulus
    if not n:
        yield _("The system has no solutions.")
        return
    counted = ngettext("{n} solution modulo {m}", "{n} solutions modulo {m}", n).format(
        n=number_word(n), m=m
    )
    classes, residues = step.classes, step.residues
    if classes == ((0, 1),) and m > 1:
        yield _("Every integer is a solution: {counted}.").format(counted=counted)
    elif residues is not None and each_on_a_line(residues):
        yield _("Modulo {m} there are these solutions, {counted}:").format(m=m, counted=counted)
        yield residue_lines(residues)
    elif residues is not None:
        listed = f"$x ≡ {listing(residues)} (mod {m})$"
        if classes is not None and any(d != m for _r, d in classes):
            listed = _("{classes}, that is {listed}").format(
                classes=one_of_classes(classes), listed=listed
            )
        yield f"{listed}: {counted}."
    elif classes is not None:
        if n <= FITS_ON_THE_BOARD:
            counted = _("${parts} = {n}$ solutions modulo {m}").format(
                parts=counted_by_class(classes, str(m)), n=n, m=m
            )
        yield f"{one_of_classes(classes)}: {counted}."
    else:
        yield _("Every choice gives a solution: {counted}.").format(counted=counted)


def check(step: Check) -> Iterator[Block]:
    lead = _("Check.")
    if max(step.solutions) > FITS_ON_THE_BOARD:
        yield from flowing([_("Put into the congruences, each solution satisfies them all.")], lead)
        return
    sentences: list[Piece] = []
    for x in step.solutions:
        values = conjunction(f"${put_in(problem, x)}$" for problem in step.problems)
        sentences.append(
            values + "."
            if len(step.solutions) == 1
            else _("For $x = {x}$: {values}.").format(x=x, values=values)
        )
    if not step.complete:
        sentences.append(_("And so on."))
    yield from flowing(sentences, lead)


def put_in(problem: OneUnknown, x: int) -> str:
    """23 = 7 · 3 + 2: the left side as a multiple of the modulus and the right side."""
    m = problem.modulus
    if isinstance(problem, PowerRoot):
        left, right, text = x**problem.exponent, problem.power, f"{x}^{problem.exponent}"
    else:
        left, right = value(problem.left, x), value(problem.right, x)
        text = with_value(problem.left, x)
    if abs(left) > FITS_ON_THE_BOARD**2:
        return f"{text} ≡ {left % m} (mod {m})"
    q = (left - right) // m
    chain = [text] if text == str(left) else [text, str(left)]
    if not isinstance(problem, PowerRoot) and len(problem.right) > 1:
        other = with_value(problem.right, x)
        return f"{' = '.join(chain)} ≡ {left % m}, {other} = {residue_chain(right, m)} (mod {m})"
    if q:
        rest = f" {'+' if right > 0 else '-'} {abs(right)}" if right else ""
        chain.append(f"{q} · {m}{rest}")
    elif text == str(left):
        chain.append(f"0 · {m} + {right}")
    else:
        chain.append(str(right))
    return " = ".join(dict.fromkeys(chain))


def with_value(f: Sequence[int], x: int) -> str:
    """The polynomial with a number for x: 3 · 4 + 1, 4^2 + 4 + 1."""
    text = plain_polynomial(f)
    out = ""
    for i, c in enumerate(text):
        if c != "x":
            out += c
            continue
        before = text[i - 1] if i else ""
        out += (" · " if before.isdigit() else "") + (f"({x})" if x < 0 else str(x))
    return out


TOLD: Tellers = {
    LeastResidue: least_residue,
    Isolate: isolate,
    SolveAlone: solve_alone,
    AllTogether: all_together,
    AddWeighted: add_weighted,
    Substitute: substitute,
    SplitPrimes: split_primes,
    Combine: polynomial_worked.TOLD[Combine],
    Conclude: conclude,
    Check: check,
}
"""How each step is told."""
