"""The expressions of QTI 2.x, each made into a function of a run.

What an expression does not support it raises where it is run, and if it is: a branch that no
response takes does not make an item unread.

Source: IMS Question & Test Interoperability Assessment Test, Section and Item
Information Model 2.1, section 15 (expressions).
"""

from collections import Counter
from collections.abc import Callable
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache, reduce
from typing import TYPE_CHECKING, Any

from itembank.audit.patterns import Pattern, UnknownPattern, pattern
from itembank.audit.rules import Node
from itembank.audit.unsupported import Unsupported
from itembank.audit.variables import (
    BOOLEAN,
    FALSE,
    INTEGERS,
    NULL,
    NUMBERS,
    READ,
    TEXTS,
    TRUE,
    Declaration,
    Mapped,
    Value,
    truth,
)
from itembank.values.worded import worded

if TYPE_CHECKING:
    from itembank.audit.scoring import Scoring


class Habit(StrEnum):
    """What some readers do, though the standard says otherwise."""

    TRUNCATES = "round quotients toward zero"
    """integerDivide and integerModulus; the standard rounds down."""

    ENDS_AT_NULL = "end an or, or an and, at its first NULL"
    """An operand after it counts no more; by the standard a true one makes an or true, and a
    false one makes an and false, wherever it stands."""


class Run:
    """One run: the variables as they stand, and what was worked out on the way."""

    __slots__ = ("habit", "known", "met", "values")

    def __init__(self, values: dict[str, Value], habit: Habit | None = None) -> None:
        self.values = values
        self.habit = habit
        self.known: dict[int, Value] = {}
        """What was worked out of the expressions that stand in several places."""
        self.met: set[Habit] = set()
        """The habits that make a difference to an expression that was run."""


Ran = Callable[[Run], Value]
"""An expression, ready to be run."""


def raising(reason: Unsupported) -> Ran:
    def ran(run: Run) -> Value:
        raise reason

    return ran


def _typed(scoring: "Scoring", node: Node, bases: frozenset[str]) -> Ran:
    """An expression whose value must be single and of one of these base types."""
    return _expected(node, scoring.of(node), bases)


def _expected(node: Node, ran: Ran, bases: frozenset[str]) -> Ran:
    def checked(run: Run) -> Value:
        value = ran(run)
        if value.items and (value.cardinality != "single" or value.base not in bases):
            raise Unsupported(
                worded(
                    "{name}: {cardinality} {base} where {expected} is expected",
                    name=node.name,
                    cardinality=value.cardinality,
                    base=value.base,
                    expected=" or ".join(sorted(bases)),
                )
            )
        return value

    return checked


def _two(scoring: "Scoring", node: Node) -> tuple[Ran, Ran]:
    first, second = node.two
    return scoring.of(first), scoring.of(second)


def _pair(scoring: "Scoring", node: Node, bases: frozenset[str]) -> tuple[Ran, Ran]:
    """The two expressions, both single and of these base types."""
    first, second = _two(scoring, node)
    return _expected(node, first, bases), _expected(node, second, bases)


def _always(value: Value) -> Ran:
    return lambda run: value


def _variable(scoring: "Scoring", node: Node) -> Ran:
    identifier = node.get("identifier", "")
    if identifier not in scoring.variables:
        raise Unsupported(worded("the undeclared variable {identifier}", identifier=identifier))
    return lambda run: run.values[identifier]


def _declared_response(scoring: "Scoring", node: Node) -> Declaration:
    identifier = node.get("identifier", "")
    if identifier not in scoring.responses:
        raise Unsupported(worded("the undeclared response {identifier}", identifier=identifier))
    return scoring.responses[identifier]


def _correct(scoring: "Scoring", node: Node) -> Ran:
    return _always(_declared_response(scoring, node).value)


def _base_value(scoring: "Scoring", node: Node) -> Ran:
    return _always(constant(node.get("baseType", ""), node.text))


def _null(scoring: "Scoring", node: Node) -> Ran:
    return _always(NULL)


def _map_response(scoring: "Scoring", node: Node) -> Ran:
    """The sum over the different values given; what is not mapped counts the default."""
    declared = _declared_response(scoring, node)
    mapping = declared.mapping
    if mapping is None:
        raise Unsupported(worded("mapResponse without a mapping"))

    def ran(run: Run) -> Value:
        given = run.values[declared.identifier]
        total = sum((_image(mapping, item) for item in set(given.items)), Fraction(0))
        if mapping.lower is not None:
            total = max(total, mapping.lower)
        if mapping.upper is not None:
            total = min(total, mapping.upper)
        return Value("float", "single", (total,))

    return ran


def _is_null(scoring: "Scoring", node: Node) -> Ran:
    inside = scoring.of(node.only)
    return lambda run: FALSE if inside(run).items else TRUE


def _decided(decisive: Value, otherwise: Value) -> Callable[["Scoring", Node], Ran]:
    """Decisive if an operand is so; else NULL if one is NULL, and otherwise if none is."""

    def make(scoring: "Scoring", node: Node) -> Ran:
        if not node.inside:
            raise Unsupported(worded("{name} without expressions", name=node.name))
        inside = [_typed(scoring, e, BOOLEAN) for e in node.inside]

        def ran(run: Run) -> Value:
            operands = [e(run) for e in inside]
            null = next((i for i, value in enumerate(operands) if not value.items), len(operands))
            if null < len(operands) - 1:
                run.met.add(Habit.ENDS_AT_NULL)
                if run.habit is Habit.ENDS_AT_NULL:
                    operands = operands[: null + 1]
            if decisive in operands:
                return decisive
            return NULL if null < len(operands) else otherwise

        return ran

    return make


def _not_(scoring: "Scoring", node: Node) -> Ran:
    inside = _typed(scoring, node.only, BOOLEAN)

    def ran(run: Run) -> Value:
        value = inside(run)
        return truth(value != TRUE) if value.items else NULL

    return ran


def _match(scoring: "Scoring", node: Node) -> Ran:
    """Equality of values of one type; of multiple cardinality in any order."""
    one, other = _two(scoring, node)

    def ran(run: Run) -> Value:
        first, second = one(run), other(run)
        if not first.items or not second.items:
            return NULL
        if first[:2] != second[:2]:
            raise Unsupported(
                worded("match of {base} with {other}", base=first.base, other=second.base)
            )
        if first.cardinality == "multiple":
            return truth(Counter(first.items) == Counter(second.items))
        return truth(first.items == second.items)

    return ran


def _member(scoring: "Scoring", node: Node) -> Ran:
    one, other = _two(scoring, node)

    def ran(run: Run) -> Value:
        first, second = one(run), other(run)
        if first.null or second.null:
            return NULL
        if first.base != second.base or first.base == "float" or first.cardinality != "single":
            raise Unsupported(
                worded(
                    "member of {cardinality} {base} in {container}",
                    cardinality=first.cardinality,
                    base=first.base,
                    container=second.base,
                )
            )
        return truth(first.items[0] in second.items)

    return ran


def _compared(relation: Callable[[Any, Any], bool]) -> Callable[["Scoring", Node], Ran]:
    def make(scoring: "Scoring", node: Node) -> Ran:
        if node.name == "equal" and node.get("toleranceMode", "exact") != "exact":
            raise Unsupported(worded("equal with a tolerance"))
        one, other = _pair(scoring, node, NUMBERS)

        def ran(run: Run) -> Value:
            first, second = one(run), other(run)
            if not first.items or not second.items:
                return NULL
            return truth(relation(first.items[0], second.items[0]))

        return ran

    return make


def _string_match(scoring: "Scoring", node: Node) -> Ran:
    one, other = _pair(scoring, node, TEXTS)
    if node.get("substring", "false") != "false":
        raise Unsupported(worded("stringMatch of a substring"))
    folded = node.get("caseSensitive") == "false"

    def ran(run: Run) -> Value:
        first, second = one(run), other(run)
        if first.null or second.null:
            return NULL
        a, b = first.items[0], second.items[0]
        return truth(a.casefold() == b.casefold() if folded else a == b)

    return ran


def _pattern_match(scoring: "Scoring", node: Node) -> Ran:
    inside = _typed(scoring, node.only, TEXTS)
    known = scoring.patterns.get(node.get("pattern", "")) or compiled(node)
    matches, spend = known.matches, scoring.work.spend

    def ran(run: Run) -> Value:
        value = inside(run)
        if not value.items:
            return NULL
        return TRUE if matches(value.items[0], spend) else FALSE

    return ran


def _container(scoring: "Scoring", node: Node) -> Ran:
    """multiple or ordered: the items of all operands, without the NULLs."""
    inside = [scoring.of(e) for e in node.inside]

    def ran(run: Run) -> Value:
        operands = [v for v in [e(run) for e in inside] if not v.null]
        bases = {v.base for v in operands}
        if len(bases) > 1:
            raise Unsupported(worded("a container of {found}", found=", ".join(sorted(bases))))
        items = tuple(item for v in operands for item in v.items)
        return Value(bases.pop() if bases else "", node.name, items)

    return ran


def _container_size(scoring: "Scoring", node: Node) -> Ran:
    inside = scoring.of(node.only)
    return lambda run: Value("integer", "single", (len(inside(run).items),))


def _arithmetic(scoring: "Scoring", node: Node) -> Ran:
    """sum, product or subtract: an integer if all operands are, NULL if one is NULL."""
    inside = [_typed(scoring, e, NUMBERS) for e in node.inside]
    operation = _ARITHMETIC[node.name]

    def ran(run: Run) -> Value:
        operands = [e(run) for e in inside]
        if any(v.null for v in operands) or not operands:
            return NULL
        base = "integer" if {v.base for v in operands} == {"integer"} else "float"
        return Value(base, "single", (reduce(operation, [v.items[0] for v in operands]),))

    return ran


def _integer_quotient(scoring: "Scoring", node: Node) -> Ran:
    """integerDivide rounds down; integerModulus is what it leaves."""
    one, other = _pair(scoring, node, INTEGERS)

    def ran(run: Run) -> Value:
        first, second = one(run), other(run)
        if first.null or second.null or second.items[0] == 0:
            return NULL
        x, y = first.items[0], second.items[0]
        quotient = x // y
        if quotient < 0 and x % y:
            run.met.add(Habit.TRUNCATES)
            if run.habit is Habit.TRUNCATES:
                quotient += 1
        result = quotient if node.name == "integerDivide" else x - y * quotient
        return Value("integer", "single", (result,))

    return ran


def _integer_to_float(scoring: "Scoring", node: Node) -> Ran:
    inside = _typed(scoring, node.only, INTEGERS)
    return lambda run: Value("float", "single", tuple(map(Fraction, inside(run).items)))


@lru_cache(maxsize=1_024)
def constant(base: str, text: str) -> Value:
    """The value of a baseValue."""
    if base not in READ:
        raise Unsupported(worded("a value of type {base}", base=base[:40]))
    return Value(base, "single", (READ[base](text),))


def _image(mapping: Mapped, item: Any) -> Fraction:
    for key, exact, value in mapping.entries:
        if item == key or (
            not exact and isinstance(item, str) and item.casefold() == key.casefold()
        ):
            return value
    return mapping.default


def compiled(node: Node) -> Pattern:
    try:
        return pattern(node.get("pattern", ""))
    except UnknownPattern as reason:
        raise Unsupported(
            worded(
                "the pattern {found}: {reason}", found=node.get("pattern", "")[:60], reason=reason
            )
        ) from None


_ARITHMETIC: dict[str, Callable[[Any, Any], Any]] = {
    "sum": lambda a, b: a + b,
    "product": lambda a, b: a * b,
    "subtract": lambda a, b: a - b,
}

EXPRESSIONS: dict[str, Callable[["Scoring", Node], Ran]] = {
    "variable": _variable,
    "correct": _correct,
    "baseValue": _base_value,
    "null": _null,
    "mapResponse": _map_response,
    "isNull": _is_null,
    "and": _decided(FALSE, TRUE),
    "or": _decided(TRUE, FALSE),
    "not": _not_,
    "match": _match,
    "member": _member,
    "equal": _compared(lambda a, b: a == b),
    "lt": _compared(lambda a, b: a < b),
    "lte": _compared(lambda a, b: a <= b),
    "gt": _compared(lambda a, b: a > b),
    "gte": _compared(lambda a, b: a >= b),
    "stringMatch": _string_match,
    "patternMatch": _pattern_match,
    "multiple": _container,
    "ordered": _container,
    "containerSize": _container_size,
    "sum": _arithmetic,
    "product": _arithmetic,
    "subtract": _arithmetic,
    "integerDivide": _integer_quotient,
    "integerModulus": _integer_quotient,
    "integerToFloat": _integer_to_float,
}
