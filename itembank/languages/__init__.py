"""What is said to people, apart from the language that it is said in.

A step of a solution says messages: a sentence in English with named slots, and the numbers and
formulas that fill them (`saying`). A `Speaker` renders them in a language and with the letter
of the unknown (`speaking`): templates are looked up in the catalogue and parsed once, and from
then on no number passes through text on its way to the tree.
"""

from itembank.languages.saying import (
    BREAK,
    Cell,
    Each,
    Either,
    Grid,
    Lead,
    Said,
    Shown,
    Spelled,
    Telling,
    Told,
    counted,
    each,
    either,
    grid,
    lead,
    say,
    shown,
    spelled,
)
from itembank.languages.speaking import Speaker

__all__ = [
    "BREAK",
    "Cell",
    "Each",
    "Either",
    "Grid",
    "Lead",
    "Said",
    "Shown",
    "Speaker",
    "Spelled",
    "Telling",
    "Told",
    "counted",
    "each",
    "either",
    "grid",
    "lead",
    "say",
    "shown",
    "spelled",
]
