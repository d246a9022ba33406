"""How a spec states points: whole, or in halves."""

from typing import Annotated

from pydantic import PlainValidator, WithJsonSchema

from itembank.spec.nodes import Scalar
from itembank.spec.shapes import expected
from itembank.values.points import MOST_POINTS, Points, points_from


def _in_halves(node: object) -> Points:
    """The points that a scalar states, read from its text."""
    found = None
    if isinstance(node, Scalar) and node.type in ("integer", "number"):
        found = points_from(node.text)
    if found is None:
        raise expected(f"points in halves, from 0.5 to {MOST_POINTS}")
    return found


InHalves = Annotated[
    Points,
    PlainValidator(_in_halves),
    WithJsonSchema({"type": "number", "minimum": 0.5, "maximum": MOST_POINTS, "multipleOf": 0.5}),
]
"""Points, whole or in halves."""
