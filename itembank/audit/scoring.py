"""Response processing of QTI 2.x, run as the standard defines it.

A subset: the templates match_correct and map_response, conditions, and the
expressions that `EXPRESSIONS` lists.  Whatever else an item uses, in any branch,
raises Unsupported, and the item is unchecked.  A condition that is NULL is not true.
Where readers are known to depart from the standard, it can be run as they do it (`Habit`).

Source: IMS Question & Test Interoperability Assessment Test, Section and Item
Information Model 2.1, sections 8 (response processing) and 15 (expressions).
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache, reduce
from typing import Any

from itembank.audit.budget import PATTERNS, Work
from itembank.audit.patterns import Pattern, UnknownPattern, pattern
from itembank.audit.rules import Node, shared
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
    initial,
    submitted,
    truth,
)
from itembank.values.worded import worded


class Stopped(Exception):
    """exitResponse."""


class Habit(StrEnum):
    """What some readers do, though the standard says otherwise."""

    TRUNCATES = "round quotients toward zero"
    """integerDivide and integerModulus; the standard rounds down."""

    ENDS_AT_NULL = "end an or, or an and, at its first NULL"
    """An operand after it counts no more; by the standard a true one makes an or true, and a
    false one makes an and false, wherever it stands."""


CONCERNS = {
    Habit.TRUNCATES: frozenset(["integerDivide", "integerModulus"]),
    Habit.ENDS_AT_NULL: frozenset(["or", "and"]),
}
"""The expressions that a habit can make a difference to."""


def habits(rules: Iterable[Node]) -> tuple[Habit, ...]:
    """The habits that can make a difference to these rules."""
    names = {node.name for rule in rules for node in rule.walk()}
    return tuple(habit for habit, concerned in CONCERNS.items() if not names.isdisjoint(concerned))


class Scoring:
    """The response processing of one item; `run` gives its outcomes for a response."""

    def __init__(
        self,
        rules: Iterable[Node],
        responses: Iterable[Declaration],
        outcomes: Iterable[Declaration],
    ) -> None:
        self.responses = {d.identifier: d for d in responses}
        self.outcomes = {d.identifier: d for d in outcomes}
        self.rules, self.often = shared(rules, self.responses)
        self.work = Work()
        for rule in self.rules:
            refuse_unknown(rule)
        self.patterns = patterns_of(self.rules)

    def run(
        self, given: Mapping[str, tuple[str, ...]], habit: Habit | None = None
    ) -> dict[str, Value]:
        """The outcomes, by identifier, after the responses `given` (texts, as submitted).

        As the standard says, or as readers with this habit would have it.
        """
        return self.ran(given, habit)[0]

    def readers_that_differ(
        self, given: Mapping[str, tuple[str, ...]], habits: Iterable[Habit]
    ) -> tuple[dict[str, Value], list[Habit]]:
        """The outcomes, and the habits with which they are others.

        What does not come to where a habit makes a difference goes the same way with it.
        """
        outcomes, met = self.ran(given, None)
        return outcomes, [h for h in habits if h in met and self.run(given, h) != outcomes]

    def ran(
        self, given: Mapping[str, tuple[str, ...]], habit: Habit | None
    ) -> tuple[dict[str, Value], set[Habit]]:
        """The outcomes, and the habits that would have told somewhere on the way."""
        values = {name: submitted(d, given.get(name, ())) for name, d in self.responses.items()}
        values |= {name: initial(d) for name, d in self.outcomes.items()}
        run = Run(self, values, habit)
        try:
            for rule in self.rules:
                run.rule(rule)
        except Stopped:
            pass
        return {name: run.values[name] for name in self.outcomes}, run.met


def refuse_unknown(rule: Node) -> None:
    """Unsupported for a rule or an expression, in any branch, that is not known here."""
    for node in rule.walk():
        if node.name not in EXPRESSIONS and node.name not in RULES:
            raise Unsupported(worded("the rule or expression {name}", name=node.name))


RULES = frozenset([
    "responseCondition", "responseIf", "responseElseIf", "responseElse", "setOutcomeValue",
    "responseProcessingFragment", "exitResponse",
])  # fmt: skip


class Run:
    """One run: the variables as they stand, and what changes them."""

    def __init__(self, scoring: Scoring, values: dict[str, Value], habit: Habit | None) -> None:
        self.scoring = scoring
        self.values = values
        self.habit = habit
        self.known: dict[int, Value] = {}
        """What was worked out of the expressions that stand in several places."""
        self.met: set[Habit] = set()
        """The habits that make a difference to an expression that was run."""

    # ---------------------------------------------------------- rules

    def rule(self, node: Node) -> None:
        name = node.name
        if name == "responseCondition":
            self.condition(node)
        elif name == "setOutcomeValue":
            self.set_outcome(node)
        elif name == "responseProcessingFragment":
            self.all(node.inside)
        elif name == "exitResponse":
            raise Stopped
        else:
            raise Unsupported(worded("the rule {name}", name=name))

    def all(self, rules: Iterable[Node]) -> None:
        for rule in rules:
            self.rule(rule)

    def condition(self, node: Node) -> None:
        """The first branch whose expression is true; else the last, if it is responseElse."""
        for branch in node.inside:
            name, inside = branch.name, branch.inside
            if name == "responseElse":
                return self.all(inside)
            if name not in ("responseIf", "responseElseIf") or not inside:
                raise Unsupported(worded("the branch {name}", name=name))
            if self.value(inside[0]) == TRUE:
                return self.all(inside[1:])
        return None

    def set_outcome(self, node: Node) -> None:
        identifier = node.get("identifier", "")
        declared = self.scoring.outcomes.get(identifier)
        if declared is None:
            raise Unsupported(worded("the undeclared outcome {identifier}", identifier=identifier))
        value = self.value(node.only)
        if value.null:
            value = Value(declared.base, declared.cardinality, ())
        if declared.base == "float" and value.base == "integer":
            value = Value("float", value.cardinality, tuple(map(Fraction, value.items)))
        if (value.base, value.cardinality) != (declared.base, declared.cardinality):
            raise Unsupported(
                worded(
                    "an outcome {identifier} set to {cardinality} {base}",
                    identifier=identifier,
                    cardinality=value.cardinality,
                    base=value.base,
                )
            )
        self.values[identifier] = value

    # ---------------------------------------------------------- expressions

    def value(self, node: Node) -> Value:
        if (known := self.known.get(id(node))) is not None:
            return known
        self.scoring.work.spend()
        run = EXPRESSIONS.get(node.name)
        if run is None:
            raise Unsupported(worded("the expression {name}", name=node.name))
        value = run(self, node)
        if id(node) in self.scoring.often:
            self.known[id(node)] = value
        return value

    def two(self, node: Node) -> tuple[Value, Value]:
        """The values of the two expressions."""
        first, second = node.two
        return self.value(first), self.value(second)

    def variable(self, node: Node) -> Value:
        identifier = node.get("identifier", "")
        if identifier not in self.values:
            raise Unsupported(worded("the undeclared variable {identifier}", identifier=identifier))
        return self.values[identifier]

    def declared(self, node: Node) -> Declaration:
        identifier = node.get("identifier", "")
        if identifier not in self.scoring.responses:
            raise Unsupported(worded("the undeclared response {identifier}", identifier=identifier))
        return self.scoring.responses[identifier]

    def typed(self, node: Node, bases: frozenset[str]) -> Value:
        """The value of an expression that must be single and of one of these base types."""
        return self.expected(node, self.value(node), bases)

    @staticmethod
    def expected(node: Node, value: Value, bases: frozenset[str]) -> Value:
        if not value.null and (value.cardinality != "single" or value.base not in bases):
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

    def pair(self, node: Node, bases: frozenset[str]) -> tuple[Value, Value]:
        """The values of the two expressions, both single and of these base types."""
        first, second = self.two(node)
        return self.expected(node, first, bases), self.expected(node, second, bases)

    def truths(self, node: Node) -> list[Value]:
        inside = node.inside
        if not inside:
            raise Unsupported(worded("{name} without expressions", name=node.name))
        return [self.typed(e, BOOLEAN) for e in inside]

    def correct(self, node: Node) -> Value:
        return self.declared(node).value

    def base_value(self, node: Node) -> Value:
        return constant(node.get("baseType", ""), node.text)

    def null(self, node: Node) -> Value:
        return NULL

    def map_response(self, node: Node) -> Value:
        """The sum over the different values given; what is not mapped counts the default."""
        declared = self.declared(node)
        mapping, given = declared.mapping, self.values[declared.identifier]
        if mapping is None:
            raise Unsupported(worded("mapResponse without a mapping"))
        total = sum((image(mapping, item) for item in set(given.items)), Fraction(0))
        if mapping.lower is not None:
            total = max(total, mapping.lower)
        if mapping.upper is not None:
            total = min(total, mapping.upper)
        return Value("float", "single", (total,))

    def is_null(self, node: Node) -> Value:
        return truth(self.value(node.only).null)

    def and_(self, node: Node) -> Value:
        return self.decided(node, FALSE, TRUE)

    def or_(self, node: Node) -> Value:
        return self.decided(node, TRUE, FALSE)

    def decided(self, node: Node, decisive: Value, otherwise: Value) -> Value:
        """Decisive if an operand is so; else NULL if one is NULL, and otherwise if none is."""
        operands = self.truths(node)
        null = next((i for i, value in enumerate(operands) if value.null), len(operands))
        if null < len(operands) - 1:
            self.met.add(Habit.ENDS_AT_NULL)
            if self.habit is Habit.ENDS_AT_NULL:
                operands = operands[: null + 1]
        if decisive in operands:
            return decisive
        return NULL if null < len(operands) else otherwise

    def not_(self, node: Node) -> Value:
        value = self.typed(node.only, BOOLEAN)
        return NULL if value.null else truth(value != TRUE)

    def match(self, node: Node) -> Value:
        """Equality of values of one type; of multiple cardinality in any order."""
        first, second = self.two(node)
        if first.null or second.null:
            return NULL
        if (first.base, first.cardinality) != (second.base, second.cardinality):
            raise Unsupported(
                worded("match of {base} with {other}", base=first.base, other=second.base)
            )
        if first.cardinality == "multiple":
            return truth(Counter(first.items) == Counter(second.items))
        return truth(first.items == second.items)

    def member(self, node: Node) -> Value:
        first, second = self.two(node)
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

    def equal(self, node: Node) -> Value:
        if node.get("toleranceMode", "exact") != "exact":
            raise Unsupported(worded("equal with a tolerance"))
        return self.compared(node, lambda a, b: a == b)

    def compared(self, node: Node, relation: Callable[[Any, Any], bool]) -> Value:
        first, second = self.pair(node, NUMBERS)
        if first.null or second.null:
            return NULL
        return truth(relation(first.items[0], second.items[0]))

    def string_match(self, node: Node) -> Value:
        first, second = self.pair(node, TEXTS)
        if node.get("substring", "false") != "false":
            raise Unsupported(worded("stringMatch of a substring"))
        if first.null or second.null:
            return NULL
        a, b = first.items[0], second.items[0]
        folded = node.get("caseSensitive") == "false"
        return truth(a.casefold() == b.casefold() if folded else a == b)

    def pattern_match(self, node: Node) -> Value:
        value = self.typed(node.only, TEXTS)
        if value.null:
            return NULL
        known = self.scoring.patterns.get(node.get("pattern", "")) or compiled(node)
        return truth(known.matches(value.items[0], self.scoring.work.spend))

    def container(self, node: Node) -> Value:
        """multiple or ordered: the items of all operands, without the NULLs."""
        operands = [v for v in map(self.value, node.inside) if not v.null]
        bases = {v.base for v in operands}
        if len(bases) > 1:
            raise Unsupported(worded("a container of {found}", found=", ".join(sorted(bases))))
        items = tuple(item for v in operands for item in v.items)
        return Value(bases.pop() if bases else "", node.name, items)

    def container_size(self, node: Node) -> Value:
        return Value("integer", "single", (len(self.value(node.only).items),))

    def arithmetic(self, node: Node) -> Value:
        """sum, product or subtract: an integer if all operands are, NULL if one is NULL."""
        operands = [self.typed(e, NUMBERS) for e in node.inside]
        if any(v.null for v in operands) or not operands:
            return NULL
        base = "integer" if {v.base for v in operands} == {"integer"} else "float"
        items = [v.items[0] for v in operands]
        return Value(base, "single", (reduce(ARITHMETIC[node.name], items),))

    def integer_quotient(self, node: Node) -> Value:
        """integerDivide rounds down; integerModulus is what it leaves."""
        first, second = self.pair(node, INTEGERS)
        if first.null or second.null or second.items[0] == 0:
            return NULL
        x, y = first.items[0], second.items[0]
        quotient = x // y
        if quotient < 0 and x % y:
            self.met.add(Habit.TRUNCATES)
            if self.habit is Habit.TRUNCATES:
                quotient += 1
        result = quotient if node.name == "integerDivide" else x - y * quotient
        return Value("integer", "single", (result,))

    def integer_to_float(self, node: Node) -> Value:
        value = self.typed(node.only, INTEGERS)
        return Value("float", "single", tuple(map(Fraction, value.items)))


@lru_cache(maxsize=1_024)
def constant(base: str, text: str) -> Value:
    """The value of a baseValue."""
    if base not in READ:
        raise Unsupported(worded("a value of type {base}", base=base[:40]))
    return Value(base, "single", (READ[base](text),))


def image(mapping: Mapped, item: Any) -> Fraction:
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


def patterns_of(rules: Iterable[Node]) -> dict[str, Pattern]:
    """The patterns of an item by their text; Unsupported if together they are too large."""
    found: dict[str, Pattern] = {}
    size = 0
    for node in (n for rule in rules for n in rule.walk() if n.name == "patternMatch"):
        known = found[node.get("pattern", "")] = compiled(node)
        size += known.size
        if size > PATTERNS:
            raise Unsupported(
                worded("patterns of more than {patterns} characters and moves", patterns=PATTERNS)
            )
    return found


ARITHMETIC: dict[str, Callable[[Any, Any], Any]] = {
    "sum": lambda a, b: a + b,
    "product": lambda a, b: a * b,
    "subtract": lambda a, b: a - b,
}

EXPRESSIONS: dict[str, Callable[[Run, Node], Value]] = {
    "variable": Run.variable,
    "correct": Run.correct,
    "baseValue": Run.base_value,
    "null": Run.null,
    "mapResponse": Run.map_response,
    "isNull": Run.is_null,
    "and": Run.and_,
    "or": Run.or_,
    "not": Run.not_,
    "match": Run.match,
    "member": Run.member,
    "equal": Run.equal,
    "lt": lambda run, e: run.compared(e, lambda a, b: a < b),
    "lte": lambda run, e: run.compared(e, lambda a, b: a <= b),
    "gt": lambda run, e: run.compared(e, lambda a, b: a > b),
    "gte": lambda run, e: run.compared(e, lambda a, b: a >= b),
    "stringMatch": Run.string_match,
    "patternMatch": Run.pattern_match,
    "multiple": Run.container,
    "ordered": Run.container,
    "containerSize": Run.container_size,
    "sum": Run.arithmetic,
    "product": Run.arithmetic,
    "subtract": Run.arithmetic,
    "integerDivide": Run.integer_quotient,
    "integerModulus": Run.integer_quotient,
    "integerToFloat": Run.integer_to_float,
}


# ------------------------------------------------------------ probes


def probes(rules: Iterable[Node]) -> Iterator[tuple[str, ...]]:
    """Responses the rules compare with: constants, lists of them, samples of patterns."""
    for rule in rules:
        for node in rule.walk():
            if node.name == "patternMatch":
                yield (compiled(node).sample(),)
            elif node.name in ("multiple", "ordered"):
                yield constants(node)
            elif node.name in ("match", "equal", "stringMatch"):
                yield from ((text,) for text in constants(node))


def constants(node: Node) -> tuple[str, ...]:
    return tuple(n.text for n in node.inside if n.name == "baseValue")


def probes_of_entries(rules: Iterable[Node]) -> Iterator[tuple[str, ...]]:
    """Of several entries: the constants that each condition compares with, one an entry."""
    for rule in rules:
        for branch in rule.walk():
            if branch.name in ("responseIf", "responseElseIf"):
                nodes = (n for n in branch.inside[0].walk() if n.name == "equal")
                named = dict.fromkeys(text for n in nodes for text in constants(n))
                if named:
                    yield tuple(named)


def probes_of_stages(rules: Iterable[Node], names: list[str]) -> Iterator[tuple[str, ...]]:
    """Of several stages: what the rules compare the response of one with, alone in its place."""
    for rule in rules:
        for node in rule.walk():
            if node.name not in ("patternMatch", "match"):
                continue
            texts = (compiled(node).sample(),) if node.name == "patternMatch" else constants(node)
            for variable in (n.get("identifier", "") for n in node.inside if n.name == "variable"):
                for text in texts:
                    yield tuple(text if name == variable else "" for name in names)
