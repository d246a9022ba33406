"""Changes of a package that the audit agrees to, each with the reason why it is harmless."""

import re

from mutation import Mutant

REASONS: tuple[tuple[str, str, str], ...] = ()
"""(what was done, where, why nobody is shown or graded otherwise): patterns, searched."""


def reason(mutant: Mutant) -> str:
    """Why a mutant is harmless, "" if it is not known to be."""
    for what, where, why in REASONS:
        if re.search(what, mutant.what) and re.search(where, mutant.where):
            return why
    return ""
