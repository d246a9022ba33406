"""How an exponential congruence is written: a * b^x = c, before its modulus."""

import re

EXPONENTIAL = re.compile(
    r"(?:(?P<factor>\(?[^()]+?\)?)\s*(?:\*\.?|·|⋅|×)\s*)?(?P<base>\([^()]+\)|\d+)\s*(?:\^|\*\*)"
    r"\s*\(?\s*(?P<letter>[A-Za-z])\s*\)?\s*(?:==|=|≡)\s*(?P<value>.+)"
)
