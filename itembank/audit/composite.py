"""Items of QTI that hold all parts of a question, taken apart: each part as an item alone.

A part is a block of the body, and whatever is named with its letter: RESPONSE_a, SCORE_a,
FEEDBACK_a.  Each is then read, and judged, as if it stood alone below the text that all share, and
so no check of a question is weaker for a part.  That this may be done is what is shown here: no
rule of a part asks or sets what is another's, no two parts share a field, a feedback or a name,
each feedback begins with the letter of its part, and SCORE is what the parts score together, each
once.  What is not so, or is nobody's, is Unsupported.

Source: IMS Question & Test Interoperability Assessment Test, Section and Item Information Model
2.1, sections 6 (items) and 8 (response processing).
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from copy import deepcopy
from fractions import Fraction
from hashlib import sha256
from itertools import product
from math import prod
from string import ascii_lowercase

from lxml import etree

from itembank.audit import qti3
from itembank.audit.prose import lines_of, text_of
from itembank.audit.unsupported import Unsupported
from itembank.audit.variables import decimal
from itembank.audit.xml import Element, children, elements, local_name, namespace_of, only
from itembank.values.worded import worded

SCORE, MAXSCORE = "SCORE", "MAXSCORE"

_BLOCK = "{*}div[@class='part']"

_LETTERED = re.compile(r"(.+)_([a-z])")

_MOST = 9
"""The most parts of a question."""

_MOST_TOTALS = 1_000
"""The most sums of what parts can score."""

_DECLARED = ("responseDeclaration", "outcomeDeclaration")

_VARIABLES = frozenset(["variable", "correct", "mapResponse", "setOutcomeValue"])
"""The rules and expressions that name a variable."""

_CHOICES = frozenset(["simpleChoice", "simpleAssociableChoice", "inlineChoice"])

_OF_CHOICES = frozenset(["identifier", "directedPair"])
"""The base types whose values name choices."""


_BODIES = ("{*}itemBody", "{*}qti-item-body")


def is_composite(root: Element) -> bool:
    """Whether the body of an item has blocks that are parts."""
    return any(body.find(_BLOCK) is not None for body in root.iterchildren(*_BODIES))


def parts_of(root: Element) -> list[Element]:
    """A part each as an item alone, in the names of 2.x; Unsupported where it cannot stand so."""
    root = deepcopy(root)
    _refuse_loose_words(root)
    if namespace_of(root) == qti3.NAMESPACE:
        root = qti3.in_names_of_2(root)
    body = only(children(root, "itemBody"), "itemBody")
    blocks = body.findall(_BLOCK)
    if len(blocks) > _MOST:
        raise Unsupported(worded("a question in {n} parts", n=len(blocks)))
    common = list(body[: body.index(blocks[0])])
    if list(body[len(common) :]) != blocks or any((e.tail or "").strip() for e in blocks):
        raise Unsupported(worded("an item with something between its parts or after them"))
    if "label" in root.attrib:
        raise Unsupported(worded("an item with parts and a statement for all of them"))
    letters = ascii_lowercase[: len(blocks)]
    each = dict(zip(letters, map(_alone, blocks, [root] * len(blocks), letters), strict=True))
    totals: list[Element] = []
    for child in elements(root):
        match local_name(child):
            case "itemBody":
                for letter, block in zip(letters, blocks, strict=True):
                    each[letter].append(_body_of(body, common, block, letter))
            case "responseProcessing":
                *rules, last = list(elements(child)) or [None]
                _shared_out(child, rules, each)
                _total_of(last, each)
            case "outcomeDeclaration" if child.get("identifier") in (SCORE, MAXSCORE):
                totals.append(child)
            case _:
                letter = _letter_of(_names_in(child), each)
                each[letter].append(child)
                if local_name(child) == "modalFeedback":
                    _unmarked(child, letter)
                _unlettered(child, letter)
    _told_together(totals, each)
    return list(each.values())


def _refuse_loose_words(root: Element) -> None:
    """Unsupported for words that stand outside the body, where no part has them."""
    rules = root.iterchildren("{*}responseProcessing", "{*}qti-response-processing")
    for element in (root, *rules):
        texts = (element.text, *(child.tail for child in element))
        if words := "".join(filter(None, texts)).strip():
            raise Unsupported(worded("the words '{text}' outside the body", text=words[:40]))


_WHOLE = re.compile(r"parts-([0-9a-f]{16})(?:-.+)?")
_ITEM = re.compile(r"(item-[0-9a-f]{16})(?:-.+)?")


def of_others(whole: str, parts: Iterable[Element]) -> Iterator[str]:
    """A part that another variant has: the name of all is a hash of theirs.

    Where a platform has given names of its own there is nothing to compare.
    """
    named = _WHOLE.fullmatch(whole)
    own = [_ITEM.fullmatch(part.get("identifier", "")) for part in parts]
    if named is None or None in own:
        return
    text = "\n".join(match[1] for match in own if match)
    if sha256(text.encode()).hexdigest()[:16] != named[1]:
        yield worded("{whole}: expected the parts of this question, got others", whole=whole)


def _alone(block: Element, root: Element, letter: str) -> Element:
    """An item without anything in it: with the name, the title and the statement of a part."""
    known = {"class", "id", "label"}
    if not set(block.attrib) <= known or not block.get("id"):
        raise Unsupported(worded("a part with {found}", found=", ".join(map(str, block.attrib))))
    item = etree.Element(root.tag, dict(root.attrib), nsmap=root.nsmap)
    item.set("identifier", block.get("id", ""))
    item.set("title", f"{root.get('title', '')} ({letter})")
    if (label := block.get("label")) is not None:
        item.set("label", label)
    return item


def _body_of(body: Element, common: Iterable[Element], block: Element, letter: str) -> Element:
    """A part below what all parts share."""
    own = etree.Element(body.tag, dict(body.attrib))
    own.text = body.text
    own.extend(map(deepcopy, common))
    if any(_names_in(e) for e in own):
        raise Unsupported(worded("a field that all parts share"))
    if (block.text or "").strip():
        raise Unsupported(worded("a part that begins with '{text}'", text=str(block.text)[:40]))
    for child in list(block):
        if any(one != letter for one in map(_last_letter, _names_in(child))):
            raise Unsupported(worded("a field of another part in part ({letter})", letter=letter))
        _unlettered(child, letter)
        own.append(child)
    return own


def _shared_out(processing: Element, rules: Iterable[Element], each: Mapping[str, Element]) -> None:
    """Give each part its rules; Unsupported for one that is of two parts, or that ends the run."""
    for item in each.values():
        item.append(etree.Element(processing.tag, dict(processing.attrib)))
    for rule in rules:
        if next(rule.iter("{*}exitResponse"), None) is not None:
            raise Unsupported(worded("a rule of one part that ends those of the others"))
        letter = _letter_of(_names_in(rule), each)
        _unlettered(rule, letter)
        each[letter][-1].append(rule)


# ------------------------------------------------------------ names


def _names_in(element: Element) -> list[str]:
    """The names of variables in an element and below it."""
    return [
        str(one.get(attribute))
        for one in element.iter(etree.Element)
        for attribute in one.attrib
        if _is_variable(local_name(one), str(attribute))
    ]


def _is_variable(element: str, attribute: str) -> bool:
    return attribute in ("responseIdentifier", "outcomeIdentifier") or (
        attribute == "identifier" and (element in _VARIABLES or element in _DECLARED)
    )


def _last_letter(name: str) -> str:
    """The letter of the part whose name this is; "" for none."""
    match = _LETTERED.fullmatch(name)
    return match[2] if match else ""


def _letter_of(names: Iterable[str], each: Mapping[str, Element]) -> str:
    """The one part that these are names of."""
    letters = {_last_letter(name) for name in names} or {""}
    if len(letters) > 1:
        raise Unsupported(
            worded("what is of two parts: {names}", names=", ".join(sorted(set(names)))[:80])
        )
    letter = letters.pop()
    if letter not in each:
        raise Unsupported(
            worded("what is of no part: {names}", names=", ".join(sorted(set(names)))[:80])
        )
    return letter


def _unlettered(element: Element, letter: str) -> None:
    """Take the letter of its part from each name of a variable and of a choice."""
    for one in element.iter(etree.Element):
        name = local_name(one)
        for attribute in list(map(str, one.attrib)):
            choice = (attribute == "identifier" and name in _CHOICES) or attribute == "mapKey"
            if choice or _is_variable(name, attribute):
                one.set(attribute, _without(letter, one.get(attribute, "")))
        if _names_choices(one, name):
            one.text = " ".join(_without(letter, word) for word in (one.text or "").split())


def _names_choices(element: Element, name: str) -> bool:
    """Whether the text of an element names choices: a value of a declaration, a constant."""
    if name == "value":
        declared = next(element.iterancestors(*(f"{{*}}{tag}" for tag in _DECLARED)), None)
        return declared is not None and declared.get("baseType") in _OF_CHOICES
    if name != "baseValue" or element.get("baseType") not in _OF_CHOICES:
        return False
    above = element.getparent()
    return above is None or local_name(above) != "setOutcomeValue"


def _without(letter: str, name: str) -> str:
    if _last_letter(name) != letter:
        raise Unsupported(
            worded(
                "'{name}' in part ({letter}), whose names end with its letter",
                name=name[:40],
                letter=letter,
            )
        )
    return name[:-2]


def _unmarked(feedback: Element, letter: str) -> None:
    """Take from feedback the line that says of which part it is; Unsupported without it."""
    text = feedback
    while len(text) and local_name(text[0]) == "div":
        text = text[0]
    first = text[0] if len(text) and not (text.text or "").strip() else None
    if first is None or local_name(first) != "p" or _said(first) != f"({letter})":
        raise Unsupported(
            worded("a feedback of part ({letter}) that does not begin so", letter=letter)
        )
    if (first.tail or "").strip():
        raise Unsupported(worded("words between two paragraphs of a feedback"))
    text.remove(first)


def _said(element: Element) -> str:
    return " ".join(text_of(lines_of(element)).split())


# ------------------------------------------------------------ the score of all


def _told_together(totals: Iterable[Element], each: Mapping[str, Element]) -> None:
    """Whether the declarations of the score say that the whole is worth what its parts are."""
    found = {e.get("identifier"): e for e in totals}
    if len(found) != len(list(totals)) or set(found) != {SCORE, MAXSCORE}:
        raise Unsupported(worded("a question in parts that does not declare its score once"))
    plain = {"cardinality": "single", "baseType": "float"}
    worth = sum(map(_most_of, each.values()), Fraction(0))
    for name, more in ((SCORE, {"normalMinimum", "normalMaximum"}), (MAXSCORE, set())):
        told = dict(found[name].attrib)
        if set(told) - {"identifier", *plain} != more or not plain.items() <= told.items():
            raise Unsupported(worded("a declaration of {name} that is not read", name=name))
    told_worth = {
        f"{SCORE} normalMaximum": decimal(found[SCORE].get("normalMaximum", "")),
        MAXSCORE: _default_of(found[MAXSCORE]),
    }
    for name, value in told_worth.items():
        if value != worth:
            raise Unsupported(
                worded(
                    "{name}: expected {worth}, what the parts count together, got {value}",
                    name=name,
                    worth=worth,
                    value=value,
                )
            )
    if _default_of(found[SCORE]) or decimal(found[SCORE].get("normalMinimum", "")):
        raise Unsupported(worded("a question in parts that scores before it is answered"))


def _outcome(item: Element, name: str) -> Element:
    found = [e for e in children(item, "outcomeDeclaration") if e.get("identifier") == name]
    return only(found, name)


def _most_of(item: Element) -> Fraction:
    return _default_of(_outcome(item, MAXSCORE))


def _default_of(declared: Element) -> Fraction:
    inside = only(list(elements(declared)), "defaultValue")
    if local_name(inside) != "defaultValue":
        raise Unsupported(worded("a declaration with {name}", name=local_name(inside)))
    return decimal(only(list(elements(inside)), "value").text or "")


def _total_of(rule: Element | None, each: Mapping[str, Element]) -> None:
    """Whether the last rule sets SCORE to what the parts score together, each once."""
    wanted = [f"{SCORE}_{letter}" for letter in each]
    if rule is not None and local_name(rule) == "responseCondition":
        _looked_up(rule, wanted, each)
    elif rule is None or _added(rule) != wanted:
        raise Unsupported(
            worded("a last rule that is not {score} = {sum}", score=SCORE, sum=" + ".join(wanted))
        )


def _added(rule: Element) -> list[str]:
    """The variables that are added for SCORE; [] where that is not what the rule does."""
    if local_name(rule) != "setOutcomeValue" or dict(rule.attrib) != {"identifier": SCORE}:
        return []
    inside = list(elements(rule))
    if [local_name(e) for e in inside] != ["sum"] or inside[0].attrib:
        return []
    terms = list(elements(inside[0]))
    if any(local_name(e) != "variable" or set(e.attrib) != {"identifier"} for e in terms):
        return []
    return [e.get("identifier", "") for e in terms]


def _looked_up(rule: Element, wanted: list[str], each: Mapping[str, Element]) -> None:
    """Whether a table has the sum of each scores that the parts can have, 0 where it has none."""
    *rows, otherwise = list(elements(rule)) or [rule]
    names = [local_name(row) for row in rows]
    if names != ["responseIf", *["responseElseIf"] * (len(rows) - 1)] or (
        local_name(otherwise) != "responseElse"
    ):
        raise Unsupported(worded("a table of scores that is not read"))
    table: dict[tuple[Fraction, ...], Fraction] = {}
    unread = [e for e in rule.iter(etree.Element) if not set(e.attrib) <= _read_in_a_table(e)]
    if unread:
        raise Unsupported(worded("a table of scores that is not read"))
    for row in rows:
        condition, value = _two(row)
        table.setdefault(_scores_in(condition, wanted), _set_to(value))
    can = [_scores_of(item) for item in each.values()]
    if prod(map(len, can)) > _MOST_TOTALS:
        raise Unsupported(worded("more than {n} sums of scores", n=_MOST_TOTALS))
    rest = _set_to(only(list(elements(otherwise)), "setOutcomeValue"))
    for scores in product(*can):
        total, found = sum(scores, Fraction(0)), table.get(scores, rest)
        if found != total:
            raise Unsupported(
                worded(
                    "{score} of parts that score {scores}: expected {total}, got {found}",
                    score=SCORE,
                    scores=", ".join(map(str, scores)),
                    total=total,
                    found=found,
                )
            )


def _read_in_a_table(element: Element) -> set[str]:
    """The attributes of an element in a table of scores that are read."""
    return {
        "variable": {"identifier"},
        "setOutcomeValue": {"identifier"},
        "equal": {"toleranceMode"},
        "baseValue": {"baseType"},
    }.get(local_name(element), set())


def _two(row: Element) -> tuple[Element, Element]:
    found = list(elements(row))
    if len(found) != 2:
        raise Unsupported(worded("a table of scores that is not read"))
    return found[0], found[1]


def _scores_in(condition: Element, wanted: list[str]) -> tuple[Fraction, ...]:
    """What each part scores in a row of the table, in their order."""
    found: dict[str, Fraction] = {}
    for term in elements(condition):
        value, variable = _two(term)
        names = [local_name(e) for e in (condition, term, value, variable)]
        if names != ["and", "equal", "baseValue", "variable"]:
            raise Unsupported(worded("a table of scores that is not read"))
        if term.get("toleranceMode", "exact") != "exact" or value.get("baseType") != "float":
            raise Unsupported(worded("a table of scores that is not read"))
        found[variable.get("identifier", "")] = decimal(value.text or "")
    if list(found) != wanted or len(list(elements(condition))) != len(wanted):
        raise Unsupported(worded("a table of scores that is not read"))
    return tuple(found.values())


def _set_to(rule: Element) -> Fraction:
    """The constant that SCORE is set to."""
    value = only(list(elements(rule)), "baseValue")
    told = local_name(rule), rule.get("identifier"), local_name(value), value.get("baseType")
    if told != ("setOutcomeValue", SCORE, "baseValue", "float"):
        raise Unsupported(worded("a table of scores that is not read"))
    return decimal(value.text or "")


def _scores_of(item: Element) -> list[Fraction]:
    """What a part can score: the constants that it sets, or each whole number up to the most."""
    found = {Fraction(0)}
    processing = only(children(item, "responseProcessing"), "responseProcessing")
    for rule in processing.iter("{*}setOutcomeValue"):
        if rule.get("identifier") == SCORE:
            found |= _constants(rule, item)
    return sorted(found)


def _constants(rule: Element, item: Element) -> set[Fraction]:
    """What one rule can set a score to."""
    values = list(elements(rule))
    if [local_name(e) for e in values] == ["baseValue"]:
        return {decimal(values[0].text or "")}
    most = _most_of(item)
    if most.denominator > 1 or most > _MOST_TOTALS:
        raise Unsupported(worded("a part whose scores are not known"))
    return {Fraction(n) for n in range(int(most) + 1)}
