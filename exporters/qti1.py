"""Items of QTI 1.2.1: all that the cartridges and plain 1.2.1 share.

The shapes are those that importers pick an answer out of: the stem is one
mattext of HTML, the right answer one respcondition that sets SCORE to 100, the
worked solution a general feedback.  Importers take every varequal of a
multiple response, a true/false or a fill-in question for an accepted answer, so
their slips are told in the general feedback; only a multiple choice has
feedback by option.

What it cannot say: partial scores, a list in any order beyond a few spellings,
a representative other than the least residue.

Source: IMS Question & Test Interoperability ASI 1.2.1, XML binding; its profile in IMS Common
Cartridge 1.1 to 1.3, with the Schematron rules.
"""

from collections.abc import Iterable, Iterator
from itertools import permutations

from exporters.census import for_the_least_residue, naming, place, refusal
from exporters.release import TOOL, TOOL_VERSION, Group, statement
from exporters.setting import Setting, setting_of
from exporters.xml import fragment
from itembank.languages import Said, Speaker, say
from itembank.notation.elements import HTML, Child, Element, Maker, written
from itembank.notation.tree import Block, Blocks, Inline, Inlines, Paragraph, Strong
from itembank.values.errors import ExportError
from itembank.values.item import (
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    PutInOrder,
    SelectAll,
    SelectOne,
    SetEntry,
    SlipFeedback,
    TrueFalse,
)
from itembank.values.points import MOST_POINTS, decimal
from itembank.values.worded import worded

QTI = "http://www.imsglobal.org/xsd/ims_qtiasiv1p2"

_RESPONSE = "RESPONSE"
_GENERAL = "general"

_MOST_SPELLINGS = 60
"""The longest list of accepted spellings that is written."""

TRUE, FALSE = say("True"), say("False")

_FIELD = 60
"""The width of a field, the same for all: it must not tell how long the answer is."""

x = Maker(QTI)


# ------------------------------------------------------------ the item


def item_element(item: Item, group: Group, setting: Setting, plain: bool = False) -> Element:
    """The item as one of its group, which says its category and what it counts.

    `plain`: for 1.2.1 as published, where the elements of a condition must all hold, so that
    each accepted spelling has a condition of its own; else for the profile of the cartridges.
    """
    _refuse_what_the_profile_cannot_say(item)
    return x(
        "item",
        {"ident": item.identifier, "title": item.title, "xml:lang": item.language},
        _item_metadata(item, group, plain),
        _presentation(item, setting),
        _resprocessing(item, plain),
        *_item_feedback(item, setting),
    )


def _refuse_what_the_profile_cannot_say(item: Item) -> None:
    if item.scoring.rule != "all or nothing":
        raise refusal(
            worded("{rule} scoring", rule=item.scoring.rule),
            worded("use all or nothing or the qti21 format"),
        )
    if item.scoring.points > MOST_POINTS:
        raise refusal(
            worded("{points} points", points=decimal(item.scoring.points)),
            worded("give at most {most_points}", most_points=MOST_POINTS),
        )


def _more_than_one_answer(item: Item) -> ExportError:
    """The error for a form that needs more than a choice or an entry."""
    form = f"the form {item.response.form}"
    return refusal(form, worded("declare a substitute for it in the family"))


def _profile(item: Item) -> str:
    """The question profile (rule 2b), by which one importer tells the types apart."""
    match item.response:
        case SelectAll():
            return "cc.multiple_response.v0p1"
        case SelectOne():
            return "cc.multiple_choice.v0p1"
        case TrueFalse():
            return "cc.true_false.v0p1"
        case IntegerEntry() | ListEntry():
            return "cc.fib.v0p1"
        case SetEntry() | PutInOrder() | MatchPairs() | Guided():
            raise _more_than_one_answer(item)


def type_of(item: Item) -> Said:
    """The item's type in words, as the load card counts them."""
    match item.response:
        case SelectAll():
            return say("multiple response")
        case SelectOne():
            return say("multiple choice")
        case TrueFalse():
            return say("true/false")
        case IntegerEntry() | ListEntry():
            return say("fill in the blank")
        case SetEntry() | PutInOrder() | MatchPairs() | Guided():
            raise _more_than_one_answer(item)


def written_item(item: Item, group: Group, math: str, format: str, plain: bool = False) -> bytes:
    """The item's fragment; ExportError, with the item's name, for what 1.2.1 cannot carry.

    `math` is the dialect of mathematics; the words are those of the item's language.
    """
    setting = setting_of(math, HTML, item.language)
    with naming(format, item):
        element = item_element(item, group, setting, plain)
    return fragment(element, place(format, item))


def _item_metadata(item: Item, group: Group, plain: bool) -> Element:
    """What importers go by; in plain 1.2.1 difficulty, outcomes and the tool too.

    The profile knows neither a weight of 0 nor one with a half (rule 2c): what counts so has none,
    and the load card tells what to set by hand.
    """
    points = decimal(group.points)
    weighted = group.points and isinstance(group.points, int)
    more = (
        ("points_possible", points),
        ("qmd_levelofdifficulty", item.level),
        *([("qmd_topic", ", ".join(item.outcomes))] if item.outcomes else []),
        ("qmd_solutionsavailable", "Yes"),
        ("qmd_toolvendor", f"{TOOL} {TOOL_VERSION}"),
    )
    return x(
        "itemmetadata",
        qtimetadata(
            ("cc_profile", _profile(item)),
            ("cc_question_category", group.title),
            *([("cc_weighting", points)] if weighted else []),
            ("qmd_scoringpermitted", "Yes"),
            ("qmd_computerscored", "Yes"),
            *(more if plain else ()),
        ),
    )


def qtimetadata(*fields: tuple[str, str]) -> Element:
    return x(
        "qtimetadata",
        *(
            x("qtimetadatafield", x("fieldlabel", label), x("fieldentry", entry))
            for label, entry in fields
        ),
    )


def _presentation(item: Item, setting: Setting) -> Element:
    """The stem, then the response.  The label is for authors: what is asked, in plain notation."""
    stem = [*setting.blocks(_stem_of(item)), *setting.blocks(_meaning_of_true_and_false(item))]
    return x("presentation", {"label": statement(item)}, _material(stem), _response(item, setting))


def _stem_of(item: Item) -> Blocks:
    """The stem; of an entry for any representative, the one that asks for the least residue."""
    match item.response:
        case IntegerEntry(modulus=int()) as entry:
            return for_the_least_residue(entry.least_stem)
    return item.stem


def _meaning_of_true_and_false(item: Item) -> tuple[Block, ...]:
    """What True and False stand for, since options of this type have no words of their own."""
    if not isinstance(item.response, TrueFalse):
        return ()
    speaker = Speaker(item.language)
    yes, no = item.response.yes, item.response.no
    if (yes, no) == (speaker.inlines(TRUE), speaker.inlines(FALSE)):
        return ()
    return (Paragraph(speaker.inlines(say("True: {yes}. False: {no}.", yes=yes, no=no))),)


def _response(item: Item, setting: Setting) -> Element:
    match item.response:
        case SelectAll(options=options):
            labels = [(o.identifier, _material(setting.inlines(o.label))) for o in options]
            return _response_lid("Multiple", labels)
        case SelectOne(options=options):
            labels = [(o.identifier, _material(setting.inlines(o.label))) for o in options]
            return _response_lid("Single", labels)
        case TrueFalse():
            words = (("true", setting.text(TRUE)), ("false", setting.text(FALSE)))
            return _response_lid("Single", [(i, _plain_material(word)) for i, word in words])
        case IntegerEntry() | ListEntry():
            field = {"rows": "1", "columns": str(_FIELD)}
            return x(
                "response_str",
                {"ident": _RESPONSE, "rcardinality": "Single"},
                x("render_fib", field),
            )
        case SetEntry() | PutInOrder() | MatchPairs() | Guided():
            raise _more_than_one_answer(item)


def _response_lid(cardinality: str, labels: Iterable[tuple[str, Element]]) -> Element:
    """The options in their order, which no platform may change."""
    return x(
        "response_lid",
        {"ident": _RESPONSE, "rcardinality": cardinality},
        x(
            "render_choice",
            {"shuffle": "No"},
            *(x("response_label", {"ident": ident}, shown) for ident, shown in labels),
        ),
    )


def _material(children: Iterable[Child]) -> Element:
    return x("material", x("mattext", {"texttype": "text/html"}, written(children)))


def _plain_material(words: str) -> Element:
    return x("material", x("mattext", {"texttype": "text/plain"}, words))


# ------------------------------------------------------------ what is accepted


def _resprocessing(item: Item, plain: bool) -> Element:
    """General feedback first and feedback by option, which go on; the right answer last."""
    right = _accepted(item)
    apart = plain and isinstance(item.response, IntegerEntry | ListEntry)
    score = {"varname": "SCORE", "vartype": "Decimal", "minvalue": "0", "maxvalue": "100"}
    return x(
        "resprocessing",
        x("outcomes", x("decvar", score)),
        x(
            "respcondition",
            {"continue": "Yes"},
            x("conditionvar", x("other")),
            _display_feedback(_GENERAL),
        ),
        *(
            x(
                "respcondition",
                {"continue": "Yes"},
                x("conditionvar", *(_varequal(str(option)) for option in slip.response)),
                _display_feedback(_slip_name(n)),
            )
            for n, slip in enumerate(_by_option(item), 1)
        ),
        *(
            _full_score(*condition)
            for condition in ([[one] for one in right] if apart else [right])
        ),
    )


def _full_score(*condition: Element) -> Element:
    """The last to be processed if it holds."""
    return x(
        "respcondition",
        {"continue": "No"},
        x("conditionvar", *condition),
        x("setvar", {"action": "Set", "varname": "SCORE"}, "100"),
    )


def _display_feedback(ident: str) -> Element:
    return x("displayfeedback", {"feedbacktype": "Response", "linkrefid": ident})


def _varequal(value: str, case: str = "Yes") -> Element:
    return x("varequal", {"respident": _RESPONSE, "case": case}, value)


def _accepted(item: Item) -> list[Element]:
    """The condition of the right answer; of a fill-in, the accepted spellings side by side."""
    match item.response:
        case SelectAll(options=options):
            ticks = (
                _varequal(o.identifier) if o.correct else x("not", _varequal(o.identifier))
                for o in options
            )
            return [x("and", *ticks)]
        case SelectOne(options=options):
            return [_varequal(o.identifier) for o in options if o.correct]
        case TrueFalse(truth=truth):
            return [_varequal("true" if truth else "false")]
        case IntegerEntry(values=values):
            return [_varequal(s) for value in values for s in _with_either_minus(str(value))]
        case ListEntry(values=(), none_word=none):
            return [_varequal(none, case="No")]
        case ListEntry():
            return [_varequal(s) for s in _spellings(item.response)]
        case SetEntry() | PutInOrder() | MatchPairs() | Guided():
            raise _more_than_one_answer(item)


def _with_either_minus(number: str) -> list[str]:
    """The number with each sign that may be typed for minus."""
    return list(dict.fromkeys((number, number.replace("-", "\N{MINUS SIGN}"))))


def _spellings(entry: ListEntry) -> list[str]:
    """How the list may be typed: separators and braces; in any order if the entry allows it."""
    orders = permutations(entry.values) if entry.any_order else iter([entry.values])
    found: list[str] = []
    for order in orders:
        found += _typed(order)
        if len(found) > _MOST_SPELLINGS:
            raise refusal(
                worded("a list of {n} values in any order", n=len(entry.values)),
                worded("ask for increasing order, or use select all"),
            )
    return found


def _typed(values: Iterable[int]) -> list[str]:
    """The spellings of one list, the plainest first.

    >>> _typed((7, 20))
    ['7, 20', '7,20', '7 20', '7; 20', '7;20', '{7, 20}', '{7,20}']
    """
    entries = [str(n) for n in values]
    bare = [between.join(entries) for between in (", ", ",", " ", "; ", ";")]
    braced = ["{" + between.join(entries) + "}" for between in (", ", ",")]
    return list(dict.fromkeys(s for spelled in bare + braced for s in _with_either_minus(spelled)))


# ------------------------------------------------------------ feedback


def _by_option(item: Item) -> tuple[SlipFeedback, ...]:
    """The slips that have a feedback of their own: those of a multiple choice."""
    return item.feedback if isinstance(item.response, SelectOne) else ()


def _slip_name(n: int) -> str:
    return f"slip-{n}"


def _item_feedback(item: Item, setting: Setting) -> Iterator[Element]:
    """The general feedback, with the slips that no option can carry; then those of options."""
    general = [*setting.blocks(item.solution)]
    if not _by_option(item):
        general += setting.blocks(tuple(_common_slips(item)))
    else:
        general += setting.blocks(tuple(_right_answer(item)))
    yield _itemfeedback(_GENERAL, general)
    for n, slip in enumerate(_by_option(item), 1):
        yield _itemfeedback(_slip_name(n), setting.blocks(slip.text))


def _itemfeedback(ident: str, children: Iterable[Child]) -> Element:
    return x("itemfeedback", {"ident": ident}, x("flow_mat", _material(children)))


def _common_slips(item: Item) -> Iterator[Block]:
    """Which answer shows which slip, so that a student finds the one that was made."""
    speaker = Speaker(item.language)
    if item.feedback:
        yield Paragraph((Strong(speaker.text(say("Common slips"))),))
    for slip in item.feedback:
        told = say("If you answered {answer}:", answer=shown(item, slip))
        yield Paragraph(speaker.inlines(told))
        yield from slip.text
    if item.otherwise:
        yield Paragraph((Strong(speaker.text(say("After any other wrong answer"))),))
        yield from item.otherwise
    yield from _right_answer(item)


def _right_answer(item: Item) -> Iterator[Block]:
    """What is said to a right answer, where every answer is shown it."""
    if item.right:
        told = Speaker(item.language).text(say("After the right answer"))
        yield Paragraph((Strong(told),))
        yield from item.right


def shown(item: Item, slip: SlipFeedback) -> Inlines:
    """The answer of a slip as the student gave it."""
    match item.response:
        case SelectAll(options=options) | SelectOne(options=options):
            labels = {o.identifier: o.label for o in options}
            return joined(labels[str(i)] for i in slip.response)
        case TrueFalse():
            return Speaker(item.language).inlines(TRUE if slip.response == ("true",) else FALSE)
        case ListEntry(none_word=none):
            return (", ".join(map(str, slip.response)) or f"“{none}”",)
        case IntegerEntry():
            return tuple(map(str, slip.response))
        case SetEntry() | PutInOrder() | MatchPairs() | Guided():
            raise _more_than_one_answer(item)


def joined(labels: Iterable[Inlines], joint: str = ", ") -> Inlines:
    out: list[Inline] = []
    for label in labels:
        out += [joint, *label] if out else label
    return tuple(out)
