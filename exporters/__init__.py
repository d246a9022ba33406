"""Items out, as packages that a learning platform imports.

`formats.py` holds the table of formats, `write_package` writes one, `load_card`
says what the coordinator must set by hand.  Nothing here computes an answer:
a key is written as the item states it, or the item is refused.
"""
