"""What must hold of a key and of the slips of an item before it is written, whatever the format.

What an answer is, its form says (`itembank.forms`).
"""

from itembank.forms import form_of
from itembank.forms.base import Key
from itembank.values.item import Item, Response, SlipFeedback

__all__ = ["fault_of_key", "fault_of_slips", "key"]


def key(response: Response) -> Key:
    """The right answer; () for a list without entries."""
    return form_of(response).key(response)


def fault_of_key(item: Item) -> str | None:
    """What is wrong with the key, or with the rule that counts it; None if nothing is."""
    return form_of(item.response).fault_of_key(item.response) or _fault_of_rule(item)


def _fault_of_rule(item: Item) -> str | None:
    """What is wrong with the scoring rule, or None."""
    rule, points, form = item.scoring.rule, item.scoring.points, form_of(item.response)
    if rule not in form.rules:
        return f"expected {' or '.join(form.rules)} for {form.name}, got {rule}"
    right = len(key(item.response))
    if rule != "all or nothing" and points != right:
        one, many = ("stage", "stages") if rule == "by stage" else ("right option", "options")
        return f"expected a point for each {one}, got {points} points for {right} {many}"
    return None


def fault_of_slips(item: Item) -> str | None:
    """A slip must be an answer that can be given, and not the right one."""
    for slip in item.feedback:
        fault = _fault_of_slip(item.response, slip)
        if fault:
            return f"slip {' and '.join(slip.slips)}: {fault}"
    return None


def _fault_of_slip(response: Response, slip: SlipFeedback) -> str | None:
    form = form_of(response)
    if fault := form.fault_of_answer(response, slip.response):
        return fault
    if form.same(response, slip.response, form.key(response)):
        return "expected a wrong answer, got the key"
    return None
