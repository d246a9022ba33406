"""Response processing of QTI 2.x, run as the standard defines it.

A subset: the templates match_correct and map_response, conditions, and the
expressions that `EXPRESSIONS` lists.  Whatever else an item uses, in any branch,
raises Unsupported, and the item is unchecked.  A condition that is NULL is not true.
Where readers are known to depart from the standard, it can be run as they do it (`Habit`).

Source: IMS Question & Test Interoperability Assessment Test, Section and Item
Information Model 2.1, sections 8 (response processing) and 15 (expressions).
"""

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from typing import NamedTuple

from itembank.audit.budget import PATTERNS, Work
from itembank.audit.expressions import (
    EXPRESSIONS,
    Habit,
    Ran,
    Run,
    compiled,
    constant,
    raising,
)
from itembank.audit.patterns import Pattern
from itembank.audit.rules import Node, shared
from itembank.audit.unsupported import Unsupported
from itembank.audit.variables import TRUE, Declaration, Value, initial, submitted
from itembank.values.worded import worded


class _Stopped(Exception):
    """exitResponse."""


_CONCERNS = {
    Habit.TRUNCATES: frozenset(["integerDivide", "integerModulus"]),
    Habit.ENDS_AT_NULL: frozenset(["or", "and"]),
}
"""The expressions that a habit can make a difference to."""


def habits(rules: Iterable[Node]) -> tuple[Habit, ...]:
    """The habits that can make a difference to these rules."""
    names = {node.name for rule in rules for node in rule.walk()}
    return tuple(habit for habit, concerned in _CONCERNS.items() if not names.isdisjoint(concerned))


_Done = Callable[["Run"], None]
"""A rule, ready to be run."""


class Scoring:
    """The response processing of one item; `run` gives its outcomes for a response.

    Each expression is made into a function once. Where the rules are conditions on responses that
    set outcomes to constants, what a response leaves depends on the branches that it takes alone,
    and is worked out once for all that take the same.
    """

    def __init__(
        self,
        rules: Iterable[Node],
        responses: Iterable[Declaration],
        outcomes: Iterable[Declaration],
    ) -> None:
        self.responses = {d.identifier: d for d in responses}
        self.outcomes = {d.identifier: d for d in outcomes}
        self.variables = {**self.responses, **self.outcomes}
        self.initial = {name: initial(d) for name, d in self.outcomes.items()}
        self.rules, self.often, self.changing = shared(rules, self.responses)
        self.work = Work()
        for rule in self.rules:
            _refuse_unknown(rule)
        self.patterns = _patterns_of(self.rules)
        self.made: dict[int, Ran] = {}
        self.costs: dict[int, int] = {}
        self.steps = _steps_of(self)
        self.ready = [] if self.steps is not None else [_rule_of(self, r) for r in self.rules]
        self.reached: dict[tuple[int, ...], dict[str, Value]] = {}

    def run(
        self, given: Mapping[str, tuple[str, ...]], habit: Habit | None = None
    ) -> dict[str, Value]:
        """The outcomes, by identifier, after the responses `given` (texts, as submitted).

        As the standard says, or as readers with this habit would have it.
        """
        return self._ran(given, habit)[0]

    def readers_that_differ(
        self, given: Mapping[str, tuple[str, ...]], habits: Iterable[Habit]
    ) -> tuple[dict[str, Value], list[Habit]]:
        """The outcomes, and the habits with which they are others.

        What does not come to where a habit makes a difference goes the same way with it.
        """
        outcomes, met = self._ran(given, None)
        return outcomes, [h for h in habits if h in met and self.run(given, h) != outcomes]

    def _ran(
        self, given: Mapping[str, tuple[str, ...]], habit: Habit | None
    ) -> tuple[dict[str, Value], set[Habit]]:
        """The outcomes, and the habits that would have told somewhere on the way."""
        values = {name: submitted(d, given.get(name, ())) for name, d in self.responses.items()}
        run = Run(values | self.initial, habit)
        if self.steps is None:
            try:
                for rule in self.ready:
                    rule(run)
            except _Stopped:
                pass
            return {name: run.values[name] for name in self.outcomes}, run.met
        path = tuple([step.taken(run) for step in self.steps])
        if (outcomes := self.reached.get(path)) is None:
            outcomes = self.reached[path] = dict(self.initial)
            for step, branch in zip(self.steps, path, strict=True):
                outcomes.update(step.sets[branch])
        return outcomes, run.met

    # ---------------------------------------------------------- expressions made

    def of(self, node: Node) -> Ran:
        """The expression as a function; what is not supported is so where it is run, and if."""
        if (made := self.made.get(id(node))) is None:
            try:
                made = self.expression(node)
            except Unsupported as reason:
                made = raising(reason)
            if id(node) in self.often:
                made = _once(id(node), made, self.work, self.cost(node))
            self.made[id(node)] = made
        return made

    def expression(self, node: Node) -> Ran:
        make = EXPRESSIONS.get(node.name)
        if make is None:
            raise Unsupported(worded("the expression {name}", name=node.name))
        return make(self, node)

    def tested(self, node: Node) -> Ran:
        """The expression with the steps that it takes, which are spent before it is run."""
        ran = self.of(node)
        if id(node) in self.often:
            return ran
        spend, cost = self.work.spend, self.cost(node)

        def counted(run: Run) -> Value:
            spend(cost)
            return ran(run)

        return counted

    def cost(self, node: Node) -> int:
        """Expressions that are run with a node; what stands in several places spends its own."""
        if (known := self.costs.get(id(node))) is None:
            known = 1 + sum(self.cost(n) for n in node.inside if id(n) not in self.often)
            self.costs[id(node)] = known
        return known


def _once(place: int, ran: Ran, work: Work, cost: int) -> Ran:
    """What is worked out once a run, wherever it stands."""

    def known(run: Run) -> Value:
        value = run.known.get(place)
        if value is None:
            work.spend(cost)
            value = run.known[place] = ran(run)
        return value

    return known


def _patterns_of(rules: Iterable[Node]) -> dict[str, Pattern]:
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


def _refuse_unknown(rule: Node) -> None:
    """Unsupported for a rule or an expression, in any branch, that is not known here."""
    for node in rule.walk():
        if node.name not in EXPRESSIONS and node.name not in _RULES:
            raise Unsupported(worded("the rule or expression {name}", name=node.name))


_RULES = frozenset([
    "responseCondition", "responseIf", "responseElseIf", "responseElse", "setOutcomeValue",
    "responseProcessingFragment", "exitResponse",
])  # fmt: skip


# ------------------------------------------------------------ rules


def _rule_of(scoring: Scoring, node: Node) -> _Done:
    """The rule as a function; what is not supported is so where it is run, and if."""
    try:
        if node.name == "responseCondition":
            return _condition(scoring, node)
        if node.name == "setOutcomeValue":
            return _set_outcome(scoring, node)
        if node.name == "responseProcessingFragment":
            return _in_turn(scoring, node.inside)
        if node.name == "exitResponse":
            return _stop
        raise Unsupported(worded("the rule {name}", name=node.name))
    except Unsupported as reason:
        return _refusing(reason)


def _stop(run: Run) -> None:
    raise _Stopped


def _refusing(reason: Unsupported) -> _Done:
    def done(run: Run) -> None:
        raise reason

    return done


def _in_turn(scoring: Scoring, rules: Iterable[Node]) -> _Done:
    ready = [_rule_of(scoring, rule) for rule in rules]

    def done(run: Run) -> None:
        for rule in ready:
            rule(run)

    return done


def _condition(scoring: Scoring, node: Node) -> _Done:
    """The first branch whose expression is true; else the last, if it is responseElse."""
    branches = [_branch(scoring, part) for part in node.inside]

    def done(run: Run) -> None:
        for test, rules in branches:
            if test is None or test(run) == TRUE:
                return rules(run)
        return None

    return done


def _branch(scoring: Scoring, part: Node) -> tuple[Ran | None, _Done]:
    """What is tested, None for nothing, and what is done then."""
    if part.name == "responseElse":
        return None, _in_turn(scoring, part.inside)
    if part.name not in ("responseIf", "responseElseIf") or not part.inside:
        reason = Unsupported(worded("the branch {name}", name=part.name))
        return raising(reason), _refusing(reason)
    return scoring.tested(part.inside[0]), _in_turn(scoring, part.inside[1:])


def _set_outcome(scoring: Scoring, node: Node) -> _Done:
    identifier = node.get("identifier", "")
    declared = scoring.outcomes.get(identifier)
    if declared is None:
        raise Unsupported(worded("the undeclared outcome {identifier}", identifier=identifier))
    ran = scoring.tested(node.only)

    def done(run: Run) -> None:
        run.values[identifier] = _fitting(declared, ran(run))

    return done


def _fitting(declared: Declaration, value: Value) -> Value:
    """A value as an outcome takes it; Unsupported for one of another type."""
    if value.null:
        return Value(declared.base, declared.cardinality, ())
    if declared.base == "float" and value.base == "integer":
        value = Value("float", value.cardinality, tuple(map(Fraction, value.items)))
    if (value.base, value.cardinality) != (declared.base, declared.cardinality):
        raise Unsupported(
            worded(
                "an outcome {identifier} set to {cardinality} {base}",
                identifier=declared.identifier,
                cardinality=value.cardinality,
                base=value.base,
            )
        )
    return value


# ------------------------------------------------------------ rules that only branches tell apart


class _Step(NamedTuple):
    """The tests of a condition, and what each branch sets, the last where none is true."""

    tests: tuple[Ran, ...]
    sets: tuple[tuple[tuple[str, Value], ...], ...]

    def taken(self, run: Run) -> int:
        """Which branch is taken, by the first test that is true; -1 for none."""
        for i, test in enumerate(self.tests):
            if test(run) == TRUE:
                return i
        return -1


def _steps_of(scoring: Scoring) -> tuple[_Step, ...] | None:
    """The rules, where each is a condition on responses that sets constants, or sets one.

    None where an outcome is tested or worked out, or anything is not supported.
    """
    try:
        found = tuple(_step_of(scoring, rule) for rule in scoring.rules)
    except Unsupported:
        return None
    return None if None in found else tuple(filter(None, found))


def _step_of(scoring: Scoring, rule: Node) -> _Step | None:
    if rule.name == "setOutcomeValue":
        own = _constants_set(scoring, (rule,))
        return None if own is None else _Step((), (own,))
    parts, last = list(rule.inside), rule.inside[-1:]
    otherwise = parts.pop() if last and last[0].name == "responseElse" else None
    if rule.name != "responseCondition" or not all(
        part.name in ("responseIf", "responseElseIf")
        and part.inside
        and id(part.inside[0]) not in scoring.changing
        for part in parts
    ):
        return None
    done = [part.inside[1:] for part in parts] + [otherwise.inside if otherwise else ()]
    sets = [_constants_set(scoring, rules) for rules in done]
    if None in sets:
        return None
    tests = (scoring.tested(part.inside[0]) for part in parts)
    return _Step(tuple(tests), tuple(s for s in sets if s is not None))


def _constants_set(scoring: Scoring, rules: Iterable[Node]) -> tuple[tuple[str, Value], ...] | None:
    """The outcomes with the constants that rules set them to; None for any other rule."""
    found = []
    for rule in rules:
        declared = scoring.outcomes.get(rule.get("identifier"))
        if rule.name != "setOutcomeValue" or declared is None or rule.only.name != "baseValue":
            return None
        value = constant(rule.only.get("baseType"), rule.only.text)
        found.append((declared.identifier, _fitting(declared, value)))
    return tuple(found)
