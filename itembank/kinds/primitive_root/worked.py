"""The worked solutions about primitive roots, told from their steps.

Notation as in `steps`.
"""

from collections.abc import Iterator
from itertools import pairwise

from itembank.kinds.chains import calculated
from itembank.kinds.factoring import trial_told
from itembank.kinds.order.solve import powers_step
from itembank.kinds.order.steps import Phi, Powers
from itembank.kinds.order.worked import (
    phi_of,
    phi_sentence,
    phi_sides,
    powers_table,
    worked_phi,
)
from itembank.kinds.primitive_root.steps import (
    CommonFactor,
    Count,
    Existence,
    Outright,
    PowersOfRoot,
    Search,
    Test,
    Trial,
    UnitsCounted,
)
from itembank.kinds.wording import Tellers
from itembank.languages import BREAK, Cell, Said, Told, counted, each, grid, lead, say
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import (
    congruence,
    difference,
    dotted,
    equal,
    factored_modulus,
    listed,
    number,
)
from itembank.notation.tree import Letter, Listing, Math, Power, Quotient
from itembank.values.answer import ResidueSet

_MOST_SHOWN = 40
"""The most powers of a primitive root that are shown in a table."""


def set_text(roots: ResidueSet, m: Math) -> Said:
    if not roots:
        return say("There are no primitive roots modulo ${m}$.", m=m)
    if roots.count > _MOST_SHOWN:
        return say(
            "There are {n} primitive roots modulo ${m}$; the least is {least}.",
            n=roots.count,
            m=m,
            least=roots.residues()[0],
        )
    return counted(
        "The primitive root modulo ${m}$ is ${roots}$.",
        "The primitive roots modulo ${m}$ are ${roots}$: {n} of them.",
        roots.count,
        m=m,
        roots=listed(roots.residues()),
    )


def number_text(n: int, m: Math) -> Said:
    if n == 0:
        return say("There are no primitive roots modulo ${m}$: their number is 0.", m=m)
    return counted(
        "There is {n} primitive root modulo ${m}$.",
        "There are {n} primitive roots modulo ${m}$.",
        n,
        m=m,
    )


# ------------------------------------------------------------ the steps


def _worked_existence(step: Existence) -> Iterator[Told]:
    yield lead("Existence.")
    if step.form == "p":
        yield say("{n} is prime, and modulo each prime there are primitive roots.", n=step.n)
        return
    yield say(
        "There are primitive roots modulo 1, 2, 4, $p^k$ and $2p^k$ with an odd prime $p$, and "
        "modulo no other number."
    )
    yield _form_of_modulus(step)


def _form_of_modulus(step: Existence) -> Said:
    """Which of these the modulus is, or why it is none of them."""
    n, product = step.n, factored_modulus(step.factors)
    match step.form:
        case "1" | "2" | "4":
            return say("{n} is one of these.", n=n)
        case "p":
            return say("{n} is an odd prime.", n=n)
        case "p^k":
            return say("${n} = {product}$ is a power of an odd prime.", n=n, product=product)
        case "2p":
            return say("${n} = {product}$ is twice an odd prime.", n=n, product=product)
        case "2p^k":
            return say("${n} = {product}$ is twice a power of an odd prime.", n=n, product=product)
        case "4 | n":
            return say(
                "${n} = {product}$ is divisible by 4 and not 4 itself, so there are none.",
                n=n,
                product=product,
            )
        case "two primes":
            return say(
                "${n} = {product}$ is divisible by two odd primes, so there are none.",
                n=n,
                product=product,
            )


def _worked_common_factor(step: CommonFactor) -> Iterator[Told]:
    yield lead("Greatest common divisor.")
    yield say(
        "$gcd({a}, {n}) = {d}$. A primitive root has every unit among its powers, so it is a "
        "unit itself; ${a}$ is not a unit.",
        a=step.a,
        n=step.n,
        d=step.d,
    )


_AT_SIGHT = {
    1: say("Modulo 1 the only residue is 0, and it is its own power."),
    2: say("Modulo 2 the only unit is 1."),
    3: say("Modulo 3 the units are 1 and $2$, and $2^2 ≡ 1$: the powers of 2 are both."),
    4: say("Modulo 4 the units are 1 and 3, and $3^2 ≡ 1$: the powers of 3 are both."),
}
"""What there is to see at the small moduli that have primitive roots."""


def _worked_outright(step: Outright) -> Iterator[Told]:
    yield BREAK
    yield _AT_SIGHT[step.n]


def _criterion(a: int | Math, whole: int, primes: tuple[int, ...], n: int) -> Said:
    """What has to be tested."""
    exponents = [equal(Quotient(number(whole), number(q)), whole // q) for q in primes]
    return counted(
        "${a}$ is a primitive root modulo {n} if and only if its order is {whole}. The only "
        "prime factor of {whole} is {primes}, so ${exponents}$ is the exponent to test: the power "
        "must not be 1.",
        "${a}$ is a primitive root modulo {n} if and only if its order is {whole}. The prime "
        "factors of {whole} are {primes}, so the exponents to test are ${exponents}$: none of the "
        "powers may be 1.",
        len(primes),
        a=a,
        n=n,
        whole=whole,
        primes=each(primes),
        exponents=exponents[0] if len(exponents) == 1 else Listing(tuple(exponents)),
    )


def _worked_test(step: Test) -> Iterator[Told]:
    a, n, whole = step.trial.a, step.n, step.whole
    yield lead("Test.")
    yield _criterion(a, whole, step.primes, n)
    if step.powers:
        yield powers_table(step.powers)
    yield BREAK
    powers = each(
        congruence(Power(number(a), number(whole // q)), number(nearest_residue(value, n)), n)
        for q, value in step.trial.powers
    )
    if step.trial.passed(n) and len(step.trial.powers) == 2:
        yield say(
            "{powers}, neither of them 1: the order of ${a}$ is {whole}.",
            powers=powers,
            a=a,
            whole=whole,
        )
    elif step.trial.passed(n):
        yield counted(
            "{powers}, not 1: the order of ${a}$ is {whole}.",
            "{powers}, none of them 1: the order of ${a}$ is {whole}.",
            len(step.trial.powers),
            powers=powers,
            a=a,
            whole=whole,
        )
    else:
        yield say(
            "{powers}: the order of ${a}$ divides {smaller}, which is less than {whole}.",
            powers=powers,
            a=a,
            smaller=whole // step.trial.powers[-1][0],
            whole=whole,
        )


def _worked_search(step: Search) -> Iterator[Told]:
    a = Letter("a")
    yield lead("The least one.")
    yield _criterion(a, step.whole, step.primes, step.n)
    yield from _skipped_told(step)
    if any(_square_of(trial) for trial in step.trials):
        yield say(
            "A square $b^2$ fails: its power with the exponent {half} is $b^{whole} ≡ 1$.",
            half=step.whole // 2,
            whole=step.whole,
        )
    yield grid(
        (a, *(Power(a, number(step.whole // q)) for q in step.primes), ""),
        [_trial_row(trial, step) for trial in step.trials],
    )
    for table in _tables_of_powers(step):
        yield BREAK
        yield say("The powers of {g} are made from earlier ones:", g=table.a)
        yield powers_table(table)


def _square_of(trial: Trial) -> int | None:
    """The b for which the number that was tried is b^2, where that is why it fails."""
    return trial.base if trial.powers[-1][0] == 2 else None


def _tables_of_powers(step: Search) -> Iterator[Powers]:
    """What leads to the powers of those that fail otherwise, and of the one that passes."""
    for trial in step.trials[:-1]:
        if _square_of(trial) is None:
            table = powers_step(trial.a, step.n, [step.whole // trial.powers[-1][0]])
            if table:
                yield table
    if step.powers:
        yield step.powers


def _skipped_told(step: Search) -> Iterator[Told]:
    """Which numbers need no test."""
    powers = [equal(a, Power(number(b), number(k))) for a, b, k in step.skipped]
    if powers:
        yield counted(
            "{powers} need not be tried: it is a power of a number that fails.",
            "{powers} need not be tried: they are powers of numbers that fail.",
            len(powers),
            powers=each(powers),
        )


def _trial_row(trial: Trial, step: Search) -> tuple[Cell, ...]:
    values = [nearest_residue(value, step.n) for _q, value in trial.powers]
    if trial.passed(step.n):
        return (trial.a, *values, say("primitive root"))
    failing = trial.powers[-1][0]
    cells = [1 if q == failing else "" for q in step.primes]
    b = _square_of(trial)
    if b is None:
        return (trial.a, *cells, say("fails"))
    square = equal(b * b, Power(number(b), number(2)))
    return (trial.a, *cells, say("no: ${a} ≡ {square}$", a=trial.a, square=square))


def _worked_powers_of_root(step: PowersOfRoot) -> Iterator[Told]:
    g, whole = step.g, step.whole
    yield lead("All of them.")
    if len(step.powers) > _MOST_SHOWN:
        yield say(
            "Every unit is a power ${g}^k$, and its order is {whole} if and only if $gcd(k, "
            "{whole}) = 1$. So the primitive roots are the powers of {g} with the {count} "
            "exponents from 1 to {whole} that are coprime to {whole}.",
            g=g,
            whole=whole,
            count=len(step.powers),
        )
        return
    yield say(
        "Every unit is a power ${g}^k$, and its order is {whole} if and only if $gcd(k, "
        "{whole}) = 1$. So the primitive roots are the powers of {g} with the exponents in the "
        "table.",
        g=g,
        whole=whole,
    )
    factors = tuple(_factors_between(step))
    if factors:
        yield say("Each is made from the row before, by {factors}:", factors=each(factors))
    yield grid((say("power"), say("calculation")), _power_rows(step))


def _factors_between(step: PowersOfRoot) -> Iterator[Math]:
    """3^2 ≡ 9, 3^4 ≡ 19 (mod 31): what leads from one exponent to the next."""
    exponents = [k for k, _residue in step.powers]
    for gap in sorted({j - i for i, j in pairwise(exponents)} - {1}):
        value = number(pow(step.g, gap, step.n))
        yield congruence(Power(number(step.g), number(gap)), value, step.n)


def _power_rows(step: PowersOfRoot) -> Iterator[tuple[Math, Math]]:
    """g^k for each exponent, made from the row before: 3^7 is 5 · 9 = 45 ≡ 11."""
    n, g, before, value = step.n, step.g, 1, step.g
    for k, residue in step.powers:
        calculation: Math = number(g)
        if k > 1:
            factor = pow(g, k - before, n)
            calculation = calculated(dotted((value, factor)), value * factor, n)
        yield Power(number(g), number(k)), calculation
        before, value = k, residue


def _worked_count(step: Count) -> Iterator[Told]:
    yield lead("The number.")
    yield say(
        "If $g$ is a primitive root, the others are the powers $g^k$ with $gcd(k, {whole}) = "
        "1$, so there are $φ(φ({n})) = {value}$ of them.",
        whole=step.whole,
        n=step.n,
        value=_phi_of_whole(step),
    )


def _phi_of_whole(step: Count) -> Math:
    """φ(12) = φ(2^2)φ(3) = 2 · 2 = 4, shorter where 12 is a prime, a power of one, or 1 or 2."""
    called = phi_of(number(step.whole))
    if step.whole <= 2:
        return equal(called, 1)
    if step.whole_factors == ((step.whole, 1),):
        return equal(called, difference(step.whole, 1), step.count)
    return equal(called, *phi_sides(step.whole_factors), step.count)


def _worked_units(step: UnitsCounted) -> Iterator[Told]:
    yield lead("Units.")
    yield from trial_told(step.m, step.factors)
    yield phi_sentence(step)


WORKED: Tellers = {
    UnitsCounted: _worked_units,
    Existence: _worked_existence,
    CommonFactor: _worked_common_factor,
    Outright: _worked_outright,
    Phi: worked_phi,
    Test: _worked_test,
    Search: _worked_search,
    PowersOfRoot: _worked_powers_of_root,
    Count: _worked_count,
}
"""How each step is told."""
