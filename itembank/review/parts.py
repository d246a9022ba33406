"""Questions that are answered in several parts: lines to number, roots to match, stages to fill in.

Each part is one field with its label, a list to choose from or a text, so that a keyboard and a
screen reader do; the script compares part by part.
"""

from collections.abc import Iterable, Sequence
from math import factorial

from itembank.languages.words import _
from itembank.notation import markup, plain
from itembank.notation.elements import HTML, Child, Element, Maker
from itembank.notation.tree import Inlines
from itembank.values.item import Guided, Item, ListEntry, MatchPairs, PutInOrder, SelectOne, Stage

h = Maker(HTML)
TEXT = markup.in_html(h)

InParts = PutInOrder | MatchPairs | Guided

Part = dict[str, object]


def words(label: Inlines) -> list[Child]:
    return markup.inlines(label, h, TEXT)


def fields(item: Item, response: InParts) -> list[Element]:
    """A labelled field for each part, with no key."""
    name = item.identifier
    match response:
        case PutInOrder(lines=lines):
            places = [(str(n), str(n)) for n in range(1, len(lines) + 1)]
            return [
                chosen(f"{name}-{n}", [*words(line.label), " ", _("Place:")], places)
                for n, line in enumerate(lines, 1)
            ]
        case MatchPairs(sources=sources, targets=targets):
            labels = [(t.identifier, plain.inlines(t.label)) for t in targets]
            return [
                chosen(f"{name}-{n}", [*words(source.label), " ", _("goes with")], labels)
                for n, source in enumerate(sources, 1)
            ]
        case Guided(stages=stages):
            return [stage_field(f"{name}-{n}", stage) for n, stage in enumerate(stages, 1)]


def stage_field(name: str, stage: Stage) -> Element:
    if isinstance(stage.response, ListEntry):
        box = {"type": "text", "autocomplete": "off", "spellcheck": "false"}
        return labelled(name, words(stage.prompt), h("input", {**box, **named(name)}))
    labels = [(o.identifier, plain.inlines(o.label)) for o in stage.response.options]
    return chosen(name, words(stage.prompt), labels)


def chosen(name: str, label: Sequence[Child], choices: Iterable[tuple[str, str]]) -> Element:
    """A list to choose from, at first nothing."""
    options = (h("option", {"value": value}, text) for value, text in choices)
    return labelled(
        name, label, h("select", named(name), h("option", {"value": ""}, "–"), *options)
    )


def named(name: str) -> dict[str, str]:
    place = f"answer-{name}"
    return {"id": place, "name": place, "class": "part"}


def labelled(name: str, label: Sequence[Child], field: Element) -> Element:
    return h("p", {"class": "answer"}, h("label", {"for": f"answer-{name}"}, *label), field)


def key_data(response: InParts) -> list[Part]:
    """The key of each part: a choice, or a list with the word for none."""
    match response:
        case PutInOrder(lines=lines, order=order):
            return [{"choice": str(order.index(line.identifier) + 1)} for line in lines]
        case MatchPairs(pairs=pairs):
            return [{"choice": pair.split()[1]} for pair in pairs]
        case Guided(stages=stages):
            return [stage_key(stage) for stage in stages]


def stage_key(stage: Stage) -> Part:
    if isinstance(stage.response, ListEntry):
        values = [str(v) for v in stage.response.values]
        return {"list": values, "none": stage.response.none_word}
    return {"choice": next(o.identifier for o in stage.response.options if o.correct)}


# ------------------------------------------------------------ told


def told_key(response: InParts) -> list[Element]:
    match response:
        case PutInOrder(order=order):
            told = [told_line(response, name) for name in order]
        case MatchPairs(pairs=pairs):
            told = [told_pair(response, pair) for pair in pairs]
        case Guided(stages=stages):
            told = [[*words(s.prompt), " ", h("strong", *right_words(s))] for s in stages]
    tag = "ol" if isinstance(response, PutInOrder) else "ul"
    return [h(tag, {"class": "key"} if tag == "ul" else {}, *(h("li", *line) for line in told))]


def told_line(response: PutInOrder, name: str) -> list[Child]:
    return words(next(line.label for line in response.lines if line.identifier == name))


def told_pair(response: MatchPairs, pair: str) -> list[Child]:
    labels = {c.identifier: c.label for c in (*response.sources, *response.targets)}
    source, target = pair.split()
    return [*words(labels[source]), " → ", *words(labels[target])]


def right_words(stage: Stage) -> list[Child]:
    response = stage.response
    if isinstance(response, ListEntry):
        return [", ".join(map(str, response.values)) or response.none_word]
    return words(next(o.label for o in response.options if o.correct))


def told_answer(response: InParts, given: Sequence[str]) -> list[Child]:
    """An answer in a line: the places of the lines, the pairs, what was filled in where."""
    match response:
        case PutInOrder(lines=lines):
            places = {line.identifier: n for n, line in enumerate(lines, 1)}
            order = ", ".join(str(places[name]) for name in given)
            return [_("the order {order} of the lines as shown").format(order=order)]
        case MatchPairs():
            told: list[Child] = []
            for pair in given:
                told += [", "] if told else []
                told += told_pair(response, pair)
            return told
        case Guided(stages=stages):
            ((n, text),) = ((n, text) for n, text in enumerate(given, 1) if text)
            stage = stages[n - 1].response
            if isinstance(stage, SelectOne):
                text = next(plain.inlines(o.label) for o in stage.options if o.identifier == text)
            return [_("{answer} in stage {n}").format(answer=text, n=n)]


def blind_guess(response: InParts) -> str:
    """What a blind guess over what the page offers is worth."""
    match response:
        case PutInOrder(lines=lines):
            return _("A blind guess of the order is right once in {n}.").format(
                n=factorial(len(lines))
            )
        case MatchPairs(sources=sources, targets=targets):
            return _("A blind guess of every match is right once in {n}.").format(
                n=len(targets) ** len(sources)
            )
        case Guided():
            return _("Lists are typed: nothing on the page offers one to guess.")
