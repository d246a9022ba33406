"""The bank: what was drawn, used, released, decided and withdrawn over terms.

One database, through SQLAlchemy; nobody else knows it.  Records are added and never edited.

    connection.py   a bank is opened; reading and writing are transactions
    migrations.py   the steps to the present shape; schema.py, that shape
    stored.py       an item as bytes and back
    entries.py      families, problems, items, terms
    draws.py        what a pool drew for a term, and what may be drawn
    releases.py     what was handed out, and withdrawn
    decisions.py    what reviewers said
    forms.py        parallel forms
    usage.py        statistics that came back
    measured.py     what was measured of a family, once
    standing.py     counts of all this for `status`
    history.py      what happened, in order; the releases
    record.py       all of it as tables for other programs
    copying.py      a bank copied into another, on whatever database
"""

from sqlalchemy import Connection

from itembank.bank.connection import Bank, open_bank

__all__ = ["Bank", "Connection", "open_bank"]
