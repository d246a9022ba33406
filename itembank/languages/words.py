"""Words of the reviewer's rooms that are not yet said as messages: English, as they stand."""


def _(text: str) -> str:
    return text


def ngettext(one: str, many: str, n: int) -> str:
    """`one` or `many`, as English counts n."""
    return one if n == 1 else many
