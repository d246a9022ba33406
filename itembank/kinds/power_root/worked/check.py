"""The check of a worked solution: the solutions substituted."""

from collections.abc import Iterator

from itembank.kinds.polynomial.worked.phrases import modulus_text
from itembank.kinds.power_root.steps import Substitute
from itembank.kinds.power_root.wording import value_of_power
from itembank.kinds.wording import FITS_ON_THE_BOARD, each_on_a_line, flowing
from itembank.languages.words import _
from itembank.notation.tree import Block


def substitute(step: Substitute) -> Iterator[Block]:
    k, m = step.k, modulus_text(step.modulus, step.factors)
    lead = _("Check.")
    if each_on_a_line(step.solutions) or step.modulus > FITS_ON_THE_BOARD:
        yield from flowing(
            [
                _("Each of them, substituted, gives $x^{k} ≡ {a} (mod {m})$.").format(
                    k=k, a=step.a, m=m
                )
            ],
            lead,
        )
        return
    values = ", ".join(f"${x}^{k} {value_of_power(x, k, step.modulus)}$" for x in step.solutions)
    yield from flowing(
        [f"{values} (mod {m})" + ("." if step.complete else _(", and so on."))], lead
    )
