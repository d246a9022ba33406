"""A passage that differs from another in its numbers alone is read as the readers of prose read it.

Each way in which what is known of one could hide what another says or holds has its case here.
"""

import random
import re
from itertools import product

import pytest
from lxml import etree

from itembank.audit import allowed, cartridge, passages
from itembank.audit.passages import Document, Passages
from itembank.audit.phrases import phrases_of
from itembank.audit.prose import formulas_of, fragment_of, lines_of, lines_of_html, text_of
from itembank.audit.qti2 import passages_of
from itembank.audit.qti3 import NAMESPACE, in_names_of_2
from itembank.audit.shape import Shapes, strange
from itembank.audit.speech import Formulas, misheard
from itembank.audit.xml import namespace_of, parsed
from tests.audit.handmade import (
    GIVEN,
    QTI,
    STEM,
    base,
    cartridge_item,
    choices,
    equals,
    labels,
    qti_item,
    report_on,
    scored,
)

MATH = '<math xmlns="http://www.w3.org/1998/Math/MathML" alttext="{}">{}</math>'
SUM = MATH.format("{0} plus {1}", "<mrow><mn>{0}</mn><mo>+</mo><mn>{1}</mn></mrow>")
POWER = MATH.format("{0} to the {1}", "<msup><mn>{0}</mn><mn>{1}</mn></msup>")

SHAPES = {
    "text": "<p>Take {0} from {1}, 100 % of it.</p>",
    "formula": f"<p>So {SUM}, and <strong>{{1}}</strong>.</p>",
    "power": f"<p>{POWER}</p>",
    "rows": f"<div><p>{SUM}</p><p>{{1}}</p></div>",
    "raised": "<p>x<sup>{0}</sup> + a<sub>{1}</sub></p>",
    "side by side": "<p><b>{0}</b>{1}</p>",
    "table": "<table><tr><td>{0}</td><td>{1}</td></tr></table>",
    "signs": "<p>{0} ≡ {1} &amp; &lt; ²</p>",
    "tex": r"<p>\(x^{0} + {1}\)</p>",
    "tex of digits": r"<p>\(\frac{0}{1}\)</p>",
}
NUMBERS = ["7", "8", "0", "12", "007", "1234567890123", "7"]


def read_in_turn(shape):
    """The passage with one pair of numbers after another, so that each meets what is known."""
    rng = random.Random(shape)
    for _ in range(12):
        yield shape.format(*rng.choices(NUMBERS, k=2))


@pytest.mark.parametrize("name", SHAPES)
def test_a_paragraph_is_what_its_readers_read_whatever_was_read_before(name):
    known = Passages(allowed.item(QTI), parsed, depth=1)
    for n, source in enumerate(read_in_turn(SHAPES[name].replace("<p>", f'<p xmlns="{QTI}">', 1))):
        element, passage = etree.fromstring(source), known.passage(source.encode())
        if passage is None:
            assert n == 0 or name.startswith("tex")
            continue
        assert passage.lines() == lines_of(element)
        assert passage.said() == text_of(lines_of(element))
        assert [*passage.formulas()] == [*formulas_of(element)]
    if not name.startswith("tex"):
        assert len(known.known) == 1


SPOKEN = {
    "numbers": ("{2} plus {3}", "<mn>{0}</mn><mo>+</mo><mn>{1}</mn>"),
    "in another order": ("{2} over {3}", "<mfrac><mn>{1}</mn><mn>{0}</mn></mfrac>"),
    "a square": ("{2} squared", "<msup><mn>{0}</mn><mn>{1}</mn></msup>"),
    "run together": ("{2} {3}", "<mn>{0}</mn><mn>{1}</mn>"),
    "run together as they are spoken": ("{2}{3}", "<mn>{0}</mn><mn>{1}</mn>"),
    "a number that is no place": ("{2}", "<mi>{0}</mi>"),
    "a letter before certain numbers in Spanish": (
        "{2} u {3}",
        "<mn>{0}</mn><mi>u</mi><mn>{1}</mn>",
    ),
    "silent": ("", "<mo>…</mo>"),
    "more": ("{2} plus {3} plus 1", "<mn>{0}</mn><mo>+</mo><mn>{1}</mn>"),
    "otherwise": ("{2} times {3}", "<mn>{0}</mn><mo>+</mo><mn>{1}</mn>"),
}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("name", SPOKEN)
def test_formulas_agree_only_if_each_is_spoken_as_it_is_shown(name, language):
    known, signs = Passages(allowed.item(QTI), parsed, depth=1), phrases_of(language).spoken
    source, agreed = (
        f'<p xmlns="{QTI}">So {MATH.format(*SPOKEN[name])}, {MATH.format("1", "<mn>1</mn>")}</p>',
        set(),
    )
    for numbers in product(("2", "8", "02"), repeat=4):
        passage = known.passage(source.format(*numbers).encode())
        if passage is not None and passage.agree(signs):
            agreed.add(numbers)
            assert not [*misheard([Formulas(passage.formulas)], signs)], numbers
    if language == "en" and name in ("numbers", "in another order", "a square"):
        assert len(agreed) == 8  # not the first


HTML = [
    "<p>Take {0} from {1}</p>",
    "<p>x<sup>{0}</sup> ≡ {1}</p>",
    "<p>&#{0}5; and &#x3{0};, {1}</p>",
    "<p>&#6{0} and {1}</p>",
    "<p>{0} < {1}</p>",
    "<p>{0}<!-- {1} --></p>",
    "<h{0}>{1}</h{0}>",
    "{0} &nbsp; {1}",
]


@pytest.mark.parametrize("source", HTML)
def test_a_text_field_is_what_its_readers_read_whatever_was_read_before(source):
    rng = random.Random(source)
    for _ in range(12):
        text = source.format(rng.randrange(1, 7), rng.randrange(1, 300))
        passage = cartridge.passage_of(text)
        if passage is not None:
            assert passage.lines() == lines_of_html(text), text
            assert [*passage.formulas()] == [*formulas_of(fragment_of(text))]
            assert not passage.known.sound or not [
                *strange(fragment_of(text), allowed.text_field())
            ]


# ------------------------------------------------------------ what numbers could hide

DIFFERENT = "<mrow><mn>{0}</mn><mn>{1}</mn></mrow>"


def strange_in(*paragraphs):
    """What is strange in the last of several documents that are read one after another.

    It is what is strange in each by itself. All but the last are read twice, and so are known.
    """
    for paragraph in (*paragraphs[:-1], *paragraphs):
        item = qti_item(stem=STEM + paragraph, interaction=choices({"r1": "1", "r2": "2"}, 0))
        reading = Document(etree.fromstring(item), *KNOWN)
        found = [*strange(reading.root, allowed.item(QTI), reading.sound)]
        assert found == [*strange(etree.fromstring(item), fresh())], paragraph
    return found


KNOWN = passages_of(QTI)


def fresh():
    """The shapes of an item, with no formula held against them yet."""
    allowed.item.cache_clear()
    return allowed.item(QTI)


@pytest.mark.parametrize(
    ("sound", "hidden"),
    [
        (MATH.format("", DIFFERENT.format(1, 2)), MATH.format("", DIFFERENT.format(3, 3))),
        (f"<b>1</b><p>{MATH.format('', '<mn>1</mn>')}</p>", "<p>1</p><p>1</p>"),
        ("<i>x</i><sub>1</sub><sub>2</sub>", "<i>x</i><sub>3</sub><sub>3</sub>"),
        (
            MATH.format("", '<mn>1</mn><mspace width="0.3em"/>'),
            MATH.format("", '<mn>1</mn><mspace width="3.9em"/>'),
        ),
        (MATH.format("", "<mn>1</mn>"), MATH.format("", "<mn>1 2</mn>")),
        (MATH.format("", "<mi>x</mi>"), MATH.format("", "<mi>1</mi>")),
        (MATH.format("x", "<mi>x</mi>"), MATH.format("x\u200b", "<mi>x</mi>")),
        ("<b>1</b>", "<b>1\u200b</b>"),
        ("<b>1</b>", '<b class="hidden">1</b>'),
    ],
)
def test_nothing_strange_hides_behind_numbers_of_a_sound_passage(sound, hidden):
    assert strange_in(f"<p>See {sound}</p>", f"<p>See {hidden}</p>") != []


PATTERN = f'<patternMatch pattern="{{}}">{GIVEN}</patternMatch>'


@pytest.mark.parametrize(
    ("sound", "hidden"),
    [
        (PATTERN.format("0*12"), PATTERN.format("0*12\u200b")),
        (PATTERN.format("0*12"), PATTERN.format("0*13").replace("<v", "13<v")),
        (PATTERN.format("0*12"), PATTERN.format("0*14").replace("pattern=", "n='1' pattern=")),
        (PATTERN.format("7"), f'<substring pattern="7">{GIVEN}</substring>'),
        (f"<equal>{GIVEN}{base('float', 1)}</equal>",
         f"<equal toleranceMode='absolute'>{GIVEN}{base('float', 1)}</equal>"),
    ],
)  # fmt: skip
def test_nothing_strange_hides_behind_numbers_of_a_sound_branch(sound, hidden):
    before = len(KNOWN[1].passages.known)
    for test in (sound, sound.replace("1", "2"), hidden):
        item = qti_item(processing=scored(test))
        reading = Document(etree.fromstring(item), *KNOWN)
        found = [*strange(reading.root, allowed.item(QTI), reading.sound)]
        assert found == [*strange(etree.fromstring(item), fresh())], test
    assert found != []
    assert len(KNOWN[1].passages.known) > before or before > 3


def test_nothing_strange_hides_behind_numbers_of_a_sound_condition_of_qti_1():
    item = cartridge_item(
        right=equals("r7") + equals("r20"), response=labels("Multiple", {"r7": "7"})
    )
    hidden = [
        item.replace(">r20<", ">r21\u200b<"),
        item.replace('respident="', 'x="1" respident="'),
        item.replace("<varequal", "<varsubset", 1).replace("</varequal", "</varsubset", 1),
    ]
    namespace = namespace_of(etree.fromstring(item))
    for source in (item, item.replace("r20", "r33"), *hidden):
        root = etree.fromstring(source)
        own = [*strange(root, Shapes(allowed.question(namespace)))]
        sound = cartridge.branches_of(namespace).sound
        assert [*strange(root, allowed.question(namespace), sound)] == own
        assert bool(own) is (source in hidden), source


def test_a_formula_of_no_namespace_is_strange_each_time_that_it_is_met():
    # an attribute in HTML; where the formula is read as XML it is none
    source = '<p><math xmlns="" display="inline"><mi>q</mi></math></p>'
    for time in range(4):
        assert [*strange(fragment_of(source), allowed.text_field())] != []
        passage = cartridge.passage_of(source)
        assert (time == 0) if passage is None else not passage.known.sound


def spoken_of(*numbers):
    shape = MATH.format("x is congruent to {}", "<mi>x</mi><mo>≡</mo><mn>{}</mn>")
    return qti_item(stem=STEM + f"<p>Note: {shape.format(*numbers)}</p>")


def test_a_number_that_is_spoken_otherwise_than_shown_is_found_beside_one_that_is_not(tmp_path):
    for spoken, shown in ((3, 3), (4, 4), (4, 3), (3, 4), (33, 33), (3, 33)):
        (report,) = report_on(tmp_path, spoken_of(spoken, shown)).items
        assert any("spoken form" in f for f in report.findings) is (spoken != shown), report


@pytest.mark.parametrize("shapes", [allowed.item(QTI), allowed.text_field()])
def test_no_text_that_may_stand_in_a_passage_is_told_by_which_digits_it_holds(shapes):
    # what `passages` takes for granted; a pattern that asks for more makes passages unsound
    for tag, shape in shapes.items():
        if shape.written is not None:
            fits = {bool(shape.written.fullmatch(text)) for text in ("0", "5", "17", "007")}
            assert len(fits) == 1, tag


def test_paragraphs_of_qti_3_are_passages_in_the_names_of_2():
    item = (
        f'<qti-assessment-item xmlns="{NAMESPACE}"><qti-item-body><p>So {{}}.</p></qti-item-body>'
    )
    for n in (3, 7, 12):
        root = in_names_of_2(etree.fromstring(item.format(n) + "</qti-assessment-item>"))
        reading = Document(root, *passages_of(""))
        assert reading.sound(root[0][0]) is (n != 3)
        assert reading.said(root[0]) == f"So {n}."


def test_what_is_kept_is_bounded(monkeypatch):
    monkeypatch.setattr(passages, "KEPT", 5)
    monkeypatch.setattr(passages, "MET", 7)
    known = Passages(allowed.item(QTI), parsed, depth=1)
    for n in range(40):
        word = "".join("abcdefghij"[int(d)] for d in str(n))
        first, passage = (
            known.passage(f'<p xmlns="{QTI}">{word} {k}</p>'.encode()) for k in (1, 2)
        )
        assert first is None
        assert passage.said() == f"{word} 2"
        met = [one for *_places, several in known.of_lengths.values() for one in several]
        assert max(map(len, (known.known, met, known.of_lengths, known.layouts))) <= 5
        assert len(known.shapes_met) <= 7
    assert known.passage(f'<p xmlns="{QTI}">{"a" * passages.LONGEST}</p>'.encode()) is None
    assert re.fullmatch("[0-9]+", passages.MARK.decode())
