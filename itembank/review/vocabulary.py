"""The words that specs and items share, as the packet says them to its reader."""

from itembank.languages import Said, counted, say
from itembank.values.points import Points

FACETS = {
    "key": say("Key and scoring"),
    "wording": say("Wording"),
    "distractors and feedback": say("Distractors and feedback"),
    "accessibility": say("Accessibility"),
}

LEVELS = {
    "very easy": say("very easy"),
    "easy": say("easy"),
    "medium": say("medium"),
    "difficult": say("difficult"),
    "very difficult": say("very difficult"),
}

FORMS = {
    "select all": say("select all"),
    "select one": say("select one"),
    "integer": say("integer"),
    "list": say("list"),
    "set": say("set"),
    "solvable or not": say("solvable or not"),
    "order": say("order"),
    "match": say("match"),
    "guided": say("guided"),
    "typed": say("typed"),
    "entries": say("entries"),
}
"""The response forms; in a package, a text or several entries may be any of several."""


AUDITED = {
    "agreed": say("the audit agrees"),
    "unchecked": say("the audit says: unchecked"),
    "disagreed": say("the audit says: disagreed"),
}
"""What the audit of a package comes to for an item."""


def worth(points: Points, rule: str) -> Said:
    """What an item counts, by its scoring rule."""
    match rule:
        case "plus minus":
            return counted("{n} point, plus minus.", "{n} points, plus minus.", points)
        case "by stage":
            return counted("{n} point, by stage.", "{n} points, by stage.", points)
    return counted("{n} point, all or nothing.", "{n} points, all or nothing.", points)
