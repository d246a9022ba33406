"""The second way: what the second ways of the kinds share, and `table`, which decides claims.

A kind's own second way is second_way.py in the kind's folder.  This file stays empty of code:
whatever it imported, every second way would load.
"""
