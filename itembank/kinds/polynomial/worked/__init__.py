"""The telling of a polynomial congruence, by the name under which other kinds know it."""

from itembank.kinds.polynomial.telling import TOLD, worked

__all__ = ["TOLD", "worked"]
