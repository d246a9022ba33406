"""The one reason for which an item is not judged."""


class Unsupported(Exception):
    """Something in an item that the audit does not know; the item is unchecked, for this reason."""
