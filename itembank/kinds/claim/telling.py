"""How a claim is put, and its verdict told."""

from collections.abc import Iterator, Mapping, Sequence

from itembank.kinds.base import Slip, Solution, slip
from itembank.kinds.claim.conditions import Condition, is_plain, value
from itembank.kinds.claim.solve import Example, Examples, Verdict
from itembank.kinds.claim.verdicts import ALWAYS, NEVER, SOMETIMES
from itembank.languages import Each, Said, Telling, counted, each, lead, say
from itembank.notation.building import congruence, equal
from itembank.notation.tree import Letter, Math, Number
from itembank.values.answer import Value


def claimed(given: Sequence[Condition], follows: Sequence[Condition]) -> Said:
    """The claim in a sentence."""
    if follows[0].count is not None:
        return _how_many(given, follows[0])
    shown = [c.shown for c in follows]
    assumed = [c.shown for c in given]
    match assumed, shown:
        case [], [one]:
            return say("Claim: {one}.", one=one)
        case [first], [one]:
            return say("Claim: if {first}, then {one}.", first=first, one=one)
        case [first], [one, other]:
            return say(
                "Claim: if {first}, then {one} or {other}.", first=first, one=one, other=other
            )
        case [first, second], [one]:
            return say(
                "Claim: if {first} and {second}, then {one}.", first=first, second=second, one=one
            )
    raise AssertionError("a claim of another form")


def _how_many(given: Sequence[Condition], follows: Condition) -> Said:
    """The claim that a congruence has a number of solutions."""
    n = follows.count or 0
    if not given:
        return counted(
            "Claim: {one} has exactly {n} solution.",
            "Claim: {one} has exactly {n} solutions.",
            n,
            one=follows.shown,
        )
    return counted(
        "Claim: if {first}, then {one} has exactly {n} solution.",
        "Claim: if {first}, then {one} has exactly {n} solutions.",
        n,
        first=given[0].shown,
        one=follows.shown,
    )


def slips_of() -> Iterator[Slip]:
    """What leads to each verdict without proof; that of the right one is left out."""
    yield slip(
        "one-failure-enough",
        (NEVER,),
        say(
            "One case in which it fails does not show “never”. Try 0, 1 and −1 too, and "
            "look for a reason that covers every case."
        ),
    )
    yield slip(
        "both-not-shown",
        (SOMETIMES,),
        say(
            "For “sometimes” there must be a case in which it is true and one in which it is "
            "false. Write both down, with numbers that fit what is assumed."
        ),
    )
    yield slip(
        "pattern-trusted",
        (ALWAYS,),
        say(
            "That it is true in some cases does not show “always”. Try numbers that have a factor "
            "in common with a modulus, and give a reason that covers every case."
        ),
    )


# ------------------------------------------------------------ the worked solution

_VERDICTS = {
    ALWAYS: say("The claim is always true."),
    SOMETIMES: say("The claim is sometimes true and sometimes false."),
    NEVER: say("The claim is never true."),
}


def worked(
    solution: Solution[Value], given: Sequence[Condition], follows: Sequence[Condition]
) -> Telling:
    examples, verdict = solution.steps
    assert isinstance(examples, Examples) and isinstance(verdict, Verdict)
    yield lead("Examples.")
    if examples.true and verdict.verdict != NEVER:
        yield say("With {values} the claim is true.", values=_told(examples.true))
    if examples.false and verdict.verdict != ALWAYS:
        yield _counterexample(examples.false, given, follows)
    if verdict.why:
        yield lead("Reason.")
        yield verdict.why
    else:
        yield say("These two cases decide it: neither “always” nor “never” is right.")
    yield lead("Answer.")
    yield _VERDICTS[verdict.verdict]


def _counterexample(
    example: Example, given: Sequence[Condition], follows: Sequence[Condition]
) -> Said:
    """With these values what is assumed holds, and what is said to follow does not."""
    values = dict(example)
    if follows[0].count is not None:
        return _miscounted(example, follows[0])
    facts = tuple(_worked_out(given, values))
    failing = each(c.failing(values) for c in follows)
    if not facts:
        return say(
            "With {values} the claim is false: {failing}.", values=_told(example), failing=failing
        )
    return say(
        "With {values} the claim is false: {facts}, but {failing}.",
        values=_told(example),
        facts=each(facts),
        failing=failing,
    )


def _miscounted(example: Example, follows: Condition) -> Said:
    """How many solutions there are with these values, where another number was claimed."""
    n = follows.solutions(dict(example))
    if not n:
        return say(
            "With {values} the claim is false: {one} has no solution.",
            values=_told(example),
            one=follows.shown,
        )
    return counted(
        "With {values} the claim is false: {one} has {n} solution.",
        "With {values} the claim is false: {one} has {n} solutions.",
        n,
        values=_told(example),
        one=follows.shown,
    )


def _worked_out(conditions: Sequence[Condition], values: Mapping[str, int]) -> Iterator[Math]:
    """a^2 ≡ 4 (mod 8), gcd(a, 12) = 1: what the sides of the conditions come to."""
    said: set[tuple[Math, int]] = set()
    for c in conditions:
        if c.coprime:
            yield c.divisor(values)
            continue
        for side in (c.left, c.right):
            if not is_plain(side, values, c.m) and (side, c.m) not in said:
                said.add((side, c.m))
                yield congruence(side, Number(value(side, values, c.m)), c.m)


def _told(example: Example) -> Each:
    """a = 1 and b = 2."""
    return each(equal(Letter(letter), value) for letter, value in example)
