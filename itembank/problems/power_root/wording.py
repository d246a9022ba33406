"""A phrase that the working and the slips of x^k = a share."""


def derivative_text(k: int, coefficient: int | None = None) -> str:
    """kr^(k-1), the derivative of r^k; or that with another coefficient.

    >>> derivative_text(2), derivative_text(3), derivative_text(3, 1)
    ('2r', '3r^2', 'r^2')
    """
    c = k if coefficient is None else coefficient
    power = "r" if k == 2 else f"r^{k - 1}"
    return power if c == 1 else f"{c}{power}"
