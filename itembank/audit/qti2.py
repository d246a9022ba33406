"""Items of QTI 2.1 and 2.2, as a student and a delivery system meet them.

One choiceInteraction, or one textEntryInteraction or several, the correctResponse, the
response processing, and feedback shown by an outcome.  Anything else in an
item raises Unsupported: it is unchecked, not passed.

Source: IMS Question & Test Interoperability Assessment Test, Section and Item
Information Model 2.1, sections 6 (items), 7 (interactions) and 5.4 (feedback).
"""

from collections.abc import Iterable
from fractions import Fraction
from functools import partial

from lxml import etree

from itembank.audit.prose import Lines, lines_of, text_of
from itembank.audit.rules import Node, rules_of
from itembank.audit.scoring import Scoring, probes, probes_of_entries
from itembank.audit.seen import Form, Grade, Response, SeenItem, SeenOption
from itembank.audit.unsupported import Unsupported
from itembank.audit.variables import Declaration, Value, decimal, declaration
from itembank.audit.xml import Element, children, elements, local_name, only

SCORE, MAXSCORE = "SCORE", "MAXSCORE"

FEEDBACK = ("modalFeedback", "feedbackInline", "feedbackBlock")

ROUNDING = ("integerDivide", "integerModulus")


def seen_item(root: Element) -> SeenItem:
    """The item; Unsupported if it uses what is not read."""
    if children(root, "templateDeclaration") or root.get("adaptive") == "true":
        raise Unsupported("an adaptive item or an item template")
    body = only(children(root, "itemBody"), "itemBody")
    found = [e for e in body.iter(etree.Element) if local_name(e).endswith("Interaction")]
    rules = rules_of(only(children(root, "responseProcessing"), "responseProcessing"))
    responses = [declaration(e, "correctResponse") for e in children(root, "responseDeclaration")]
    if [e.get("responseIdentifier") for e in found] != [d.identifier for d in responses]:
        raise Unsupported("interactions that do not each answer the declared responses in order")
    several = len(found) > 1
    interaction = found[0] if several else only(found, "interaction")
    declared = responses[0]
    declarations = children(root, "outcomeDeclaration")
    outcomes = [declaration(e, "defaultValue") for e in declarations]
    scoring = Scoring(rules, responses, outcomes)
    blocks = list(root.iter(*(f"{{*}}{name}" for name in FEEDBACK)))
    return SeenItem(
        identifier=root.get("identifier", ""),
        title=root.get("title", ""),
        stem=stem(body, interaction),
        form=form_of_entries(found, responses) if several else form(interaction, declared),
        options=options(interaction),
        most=len(found) if several else most(interaction),
        declared=trimmed(d.value for d in responses) if several else texts(declared.value),
        points=points(declarations, outcomes),
        full=None,
        statement=root.get("label", ""),
        grade=partial(grade, scoring, [d.identifier for d in responses], blocks, rounds(rules)),
        probes=tuple(probes_of_entries(rules) if several else probes(rules)),
        exact=False,
        feedback={block_name(e): partial(lines_of, e) for e in blocks},
    )


def stem(body: Element, interaction: Element) -> Lines:
    """The body, then the prompt of the interaction."""
    prompts = children(interaction, "prompt")
    return lines_of(body) + tuple(line for e in prompts for line in lines_of(e))


def form(interaction: Element, declared: Declaration) -> Form:
    name = local_name(interaction)
    if name == "textEntryInteraction" and declared.cardinality == "single":
        return "text"
    if name == "choiceInteraction" and declared.base == "identifier":
        if declared.cardinality == "single":
            return "one"
        if declared.cardinality == "multiple":
            return "any"
    raise Unsupported(f"{name} of a {declared.cardinality} {declared.base}")


def form_of_entries(found: Iterable[Element], responses: Iterable[Declaration]) -> Form:
    """Several entries, in each of which an integer is typed."""
    kinds = {(d.cardinality, d.base) for d in responses}
    if {local_name(e) for e in found} != {"textEntryInteraction"} or kinds != {
        ("single", "integer")
    }:
        raise Unsupported("several interactions that are not all entries for an integer")
    return "entries"


def trimmed(values: Iterable[Value]) -> Response:
    """The text of each value, without the blanks at the end."""
    found = [str(value.items[0]) if value.items else "" for value in values]
    while found and not found[-1]:
        found.pop()
    return tuple(found)


def most(interaction: Element) -> int:
    """How many options can be ticked, 0 for any number; maxChoices is 1 unless it is given."""
    text = interaction.get("maxChoices", "1")
    if not text.isdecimal():
        raise Unsupported(f"maxChoices '{text}'")
    return int(text)


def options(interaction: Element) -> tuple[SeenOption, ...]:
    unknown = {local_name(e) for e in elements(interaction)} - {"prompt", "simpleChoice"}
    if unknown:
        raise Unsupported(f"an interaction with {', '.join(sorted(unknown))}")
    return tuple(
        SeenOption(e.get("identifier", ""), text_of(lines_of(e)))
        for e in children(interaction, "simpleChoice")
    )


def texts(value: Value) -> Response:
    return tuple(map(str, value.items))


def points(declarations: Iterable[Element], outcomes: Iterable[Declaration]) -> dict[str, Fraction]:
    """What the item is worth: normalMaximum of SCORE, and the outcome MAXSCORE."""
    found: dict[str, Fraction] = {}
    for element in declarations:
        if element.get("identifier") == SCORE and "normalMaximum" in element.attrib:
            found["normalMaximum"] = decimal(element.get("normalMaximum", ""))
    for outcome in outcomes:
        if outcome.identifier == MAXSCORE and not outcome.value.null:
            found[MAXSCORE] = Fraction(outcome.value.items[0])
    return found


# ------------------------------------------------------------ scoring and feedback


def rounds(rules: Iterable[Node]) -> bool:
    """Whether readers can differ on a quotient of the rules."""
    return any(node.name in ROUNDING for rule in rules for node in rule.walk())


def grade(
    scoring: Scoring,
    identifiers: list[str],
    blocks: list[Element],
    rounds: bool,
    response: Response,
) -> Grade:
    """The grade of a response; of several entries one text each, in their order."""
    if len(identifiers) == 1:
        given = {identifiers[0]: response}
    else:
        given = {name: (text,) for name, text in zip(identifiers, response, strict=False)}
    outcomes = scoring.run(given)
    portable = not rounds or scoring.run(given, truncates=True) == outcomes
    score = outcomes.get(SCORE)
    if score is None or score.null or score.base not in ("float", "integer"):
        raise Unsupported("an item whose SCORE is no number")
    shown = frozenset(block_name(e) for e in blocks if is_shown(e, outcomes))
    return Grade(Fraction(score.items[0]), shown, portable)


def is_shown(block: Element, outcomes: dict[str, Value]) -> bool:
    """showHide "show": if the outcome holds the identifier; "hide": unless it does."""
    outcome = outcomes.get(block.get("outcomeIdentifier", ""))
    holds = outcome is not None and block.get("identifier") in outcome.items
    return holds is (block.get("showHide", "show") == "show")


def block_name(block: Element) -> str:
    """A feedback block, by what the outcome must hold (or must not) for it to be shown."""
    sign = "=" if block.get("showHide", "show") == "show" else "≠"
    return f"{block.get('outcomeIdentifier', '')}{sign}{block.get('identifier', '')}"
