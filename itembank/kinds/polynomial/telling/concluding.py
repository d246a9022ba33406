"""The end of a worked solution: the answer, or how many solutions there are."""

from collections.abc import Iterator

from itembank.kinds.polynomial.conclusion import COMBINED, Conclude, CountAll
from itembank.kinds.polynomial.telling.phrases import (
    every_residue,
    on_lines,
    one_of,
    short_divisor,
    short_modulus,
    short_power,
)
from itembank.kinds.wording import (
    FITS_ON_THE_BOARD,
    by_modulus,
    each_on_a_line,
)
from itembank.languages import Said, Told, counted, lead, say, spelled
from itembank.notation.building import (
    added,
    dotted,
    equal,
    listed,
)
from itembank.notation.tree import (
    Math,
    Quotient,
)


def conclude(step: Conclude) -> Iterator[Told]:
    yield lead("Answer.")
    yield from _no_solution(step) if step.failing else _solutions(step)


def _no_solution(step: Conclude) -> Iterator[Told]:
    if len(step.factors) > 1 and step.failing:
        yield say(
            "A solution modulo ${m}$ would be one modulo ${q}$, and there is none.",
            m=short_modulus(step.modulus, step.factors),
            q=short_power(*step.failing),
        )
    yield say("The congruence has no solutions.")


def _solutions(step: Conclude) -> Iterator[Told]:
    m = short_modulus(step.modulus, step.factors)
    if step.residues is not None and each_on_a_line(step.residues):
        yield counted(
            "Modulo ${m}$ there is one solution:",
            "Modulo ${m}$ there are {n} solutions:",
            step.count,
            n=spelled(step.count),
            m=m,
        )
        yield on_lines(step.residues)
    elif _in_one_prime_power(step):
        yield _counted_by_class(step, m)
    else:
        yield _listed_or_counted(step, m)
        if len(step.local_counts) > 1 and step.count > 1:
            product = dotted(step.local_counts)
            yield say(
                "Their number is ${product} = {n}$, as expected.", product=product, n=step.count
            )


def _in_one_prime_power(step: Conclude) -> bool:
    """Whether there are classes, and too many residues in them to be written out, yet countable."""
    if step.residues is not None or step.classes is None or every_residue(step.classes):
        return False
    return step.count <= FITS_ON_THE_BOARD and len(step.local_counts) == 1


def _counted_by_class(step: Conclude, m: Math) -> Said:
    """729/27 + 729/81 = 36 solutions: of classes whose residues are not written out."""
    classes = step.classes or ()
    shares = [
        (len(rs), Quotient(m, short_divisor(d, step.factors))) for d, rs in by_modulus(classes)
    ]
    return say(
        "{classes}: ${shares} = {n}$ solutions.",
        classes=one_of(classes, step.factors),
        shares=added(share if n == 1 else dotted((n, share)) for n, share in shares),
        n=step.count,
    )


def _listed_or_counted(step: Conclude, m: Math) -> Said:
    """The solutions as residues and as classes, in so far as they are few; and their number."""
    n, classes, residues = spelled(step.count), step.classes, step.residues
    if classes is not None and every_residue(classes) and step.count > 1:
        return say("Every residue modulo ${m}$ is a solution: {n} solutions.", m=m, n=n)
    if residues is None and classes is None:
        if step.count <= COMBINED:
            return say(
                "Every choice gives a solution: the table above lists all {n} solutions.", n=n
            )
        return say(
            "Every choice gives a solution, found by the rule above: {n} solutions.",
            n=n,
        )
    if residues is None:
        return say("{classes}: {n} solutions.", classes=one_of(classes or (), step.factors), n=n)
    if classes is not None and len(classes) < step.count:
        return say(
            "{classes}, that is $x ≡ {residues} (mod {m})$: {n} solutions.",
            classes=one_of(classes, step.factors),
            residues=listed(residues),
            m=m,
            n=n,
        )
    return counted(
        "$x ≡ {residues} (mod {m})$: {n} solution.",
        "$x ≡ {residues} (mod {m})$: {n} solutions.",
        step.count,
        residues=listed(residues),
        m=m,
        n=n,
    )


# ------------------------------------------------------------ whether, and how many


def count_all(step: CountAll) -> Iterator[Told]:
    """Nothing is combined: every choice of local solutions makes one solution."""
    m = short_modulus(step.modulus, step.factors)
    yield lead("Answer.")
    if step.any and len(step.counts) > 1:
        yield say(
            "Solutions modulo each of the prime powers make one modulo ${m}$: the congruence has "
            "solutions.",
            m=m,
        )
    elif step.any:
        yield say("The congruence has solutions.")
    elif len(step.counts) > 1:
        yield say(
            "Every choice of one solution for each of the prime powers makes exactly one solution "
            "modulo ${m}$.",
            m=m,
        )
        yield counted(
            "Their number is ${product}$: the congruence has {n} solution modulo ${m}$.",
            "Their number is ${product}$: the congruence has {n} solutions modulo ${m}$.",
            step.total,
            product=equal(dotted(step.counts), step.total),
            n=spelled(step.total),
            m=m,
        )
    else:
        yield counted(
            "The congruence has {n} solution modulo ${m}$.",
            "The congruence has {n} solutions modulo ${m}$.",
            step.total,
            n=spelled(step.total),
            m=m,
        )
