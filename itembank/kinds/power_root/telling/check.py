"""The check of a worked solution: the solutions substituted."""

from collections.abc import Iterator

from itembank.kinds.polynomial.telling.phrases import short_modulus
from itembank.kinds.power_root.steps import Substitute
from itembank.kinds.power_root.wording import power_worked_out
from itembank.kinds.wording import FITS_ON_THE_BOARD, each_on_a_line
from itembank.languages import Told, each, lead, say


def substitute(step: Substitute) -> Iterator[Told]:
    k, m = step.k, step.modulus
    yield lead("Check.")
    if each_on_a_line(step.solutions) or m > FITS_ON_THE_BOARD:
        yield say(
            "Each of them, substituted, gives $x^{k} ≡ {a} (mod {m})$.",
            k=k,
            a=step.a,
            m=short_modulus(m, step.factors),
        )
        return
    values = each(power_worked_out(x, k, m) for x in step.solutions)
    if step.complete:
        yield say("{values} (mod {m}).", values=values, m=m)
    else:
        yield say("For example, {values} (mod {m}).", values=values, m=m)
