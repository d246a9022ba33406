"""What a problem says, rendered in English, as the tests read it."""

from itembank.kinds.base import Slip
from itembank.languages import Speaker, Telling
from itembank.notation.tree import Blocks


def rendered(told: Telling) -> Blocks:
    return Speaker().blocks(told)


def feedback_of(slip: Slip) -> Blocks:
    return tuple(block for told in slip.feedback for block in rendered(told))
