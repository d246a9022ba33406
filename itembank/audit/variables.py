"""The variables of QTI 2.x: their declarations, their values, and what a response binds.

A value is its base type, its cardinality and its items; without items it is NULL,
as an empty container is.  Numbers are int and Fraction.

Source: IMS Question & Test Interoperability Assessment Test, Section and Item
Information Model 2.1, section 5 (variables).
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any, NamedTuple

from itembank.audit.budget import CHARACTERS
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import Element, children, local_name
from itembank.values.worded import worded


class Value(NamedTuple):
    base: str
    cardinality: str
    items: tuple[Any, ...]

    @property
    def null(self) -> bool:
        return not self.items


NUMBERS = frozenset(["integer", "float"])
INTEGERS = frozenset(["integer"])
TEXTS = frozenset(["string", "identifier"])
BOOLEAN = frozenset(["boolean"])
"""Base types that operators take."""

NULL = Value("", "single", ())
TRUE = Value("boolean", "single", (True,))
FALSE = Value("boolean", "single", (False,))


def truth(value: bool) -> Value:
    return TRUE if value else FALSE


@dataclass(frozen=True)
class Mapped:
    """A mapping of a response declaration; keys are typed, and folded unless case matters."""

    entries: tuple[tuple[Any, bool, Fraction], ...]
    default: Fraction
    lower: Fraction | None
    upper: Fraction | None


@dataclass(frozen=True)
class Declaration:
    """A response or outcome variable; `value` is its correct response, or its default."""

    identifier: str
    base: str
    cardinality: str
    value: Value
    mapping: Mapped | None = None


# ------------------------------------------------------------ declarations


def declaration(element: Element, value_tag: str) -> Declaration:
    """A responseDeclaration (value_tag correctResponse) or outcomeDeclaration (defaultValue)."""
    base, cardinality = element.get("baseType", ""), element.get("cardinality", "")
    if base not in READ or cardinality not in ("single", "multiple", "ordered"):
        raise Unsupported(
            worded(
                "a variable of {cardinality} {found}",
                cardinality=cardinality,
                found=base or "no base type",
            )
        )
    values: list[Any] = []
    mapping = None
    for child in element:
        name = local_name(child)
        if name == value_tag:
            values = [READ[base](v.text or "") for v in children(child, "value")]
            if cardinality == "single" and len(values) > 1:
                raise Unsupported(worded("{n} values of a variable that holds one", n=len(values)))
        elif name == "mapping":
            mapping = _mapped(child, base)
    value = Value(base, cardinality, tuple(values))
    return Declaration(element.get("identifier", ""), base, cardinality, value, mapping)


def _mapped(element: Element, base: str) -> Mapped:
    entries = tuple(
        (
            READ[base](entry.get("mapKey", "")),
            entry.get("caseSensitive", "true") == "true",
            decimal(entry.get("mappedValue", "")),
        )
        for entry in element
    )

    def bound(name: str) -> Fraction | None:
        text = element.get(name)
        return None if text is None else decimal(text)

    return Mapped(
        entries, bound("defaultValue") or Fraction(0), bound("lowerBound"), bound("upperBound")
    )


_DECIMAL = re.compile(r"\s*[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,2})?\s*", re.A)
_INTEGER = re.compile(r"\s*[+-]?[0-9]+\s*", re.A)


@lru_cache(maxsize=256)
def decimal(text: str) -> Fraction:
    """A decimal number, exactly."""
    if len(text) > CHARACTERS or not _DECIMAL.fullmatch(text):
        raise Unsupported(worded("the number '{text}'", text=text[:40]))
    return Fraction(text.strip())


def _integer(text: str) -> int:
    if len(text) > CHARACTERS or not _INTEGER.fullmatch(text):
        raise Unsupported(worded("the integer '{text}'", text=text[:40]))
    return int(text)


def _boolean(text: str) -> bool:
    if text.strip() not in ("true", "false"):
        raise Unsupported(worded("the boolean '{text}'", text=text[:40]))
    return text.strip() == "true"


def _directed_pair(text: str) -> str:
    """Two identifiers, with one space between them."""
    pair = text.split()
    if len(pair) != 2:
        raise Unsupported(worded("the pair '{text}'", text=text[:40]))
    return " ".join(pair)


READ: dict[str, Callable[[str], Any]] = {
    "identifier": str.strip,
    "directedPair": _directed_pair,
    "string": str,
    "integer": _integer,
    "float": decimal,
    "boolean": _boolean,
}
"""How a value of each base type is read."""


# ------------------------------------------------------------ at the start of a run


_ZEROS: dict[str, tuple[Any, ...]] = {"integer": (0,), "float": (Fraction(0),)}


def initial(declared: Declaration) -> Value:
    """An outcome before processing: its default, or 0 if it is a number without one."""
    if declared.value.null and declared.cardinality == "single":
        return Value(declared.base, "single", _ZEROS.get(declared.base, ()))
    return declared.value


def submitted(declared: Declaration, texts: tuple[str, ...]) -> Value:
    """A response as a delivery system binds it: an integer field takes integers alone."""
    if declared.base in ("integer", "float"):
        texts = tuple(t for t in texts if t.strip())
        try:
            items = tuple(READ[declared.base](t) for t in texts)
        except Unsupported:
            items = ()
    else:
        items = tuple(t for t in texts if t)
    return Value(declared.base, declared.cardinality, items)
