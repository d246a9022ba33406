"""Every other language: composed questions without English, and the mathematics of the English."""

import re
import unicodedata
from collections import Counter
from collections.abc import Iterator, Sequence
from random import Random

import pytest

from itembank.kinds.statement import problem_from
from itembank.languages import Speaker
from itembank.languages import __main__ as keeping
from itembank.languages.catalogue import languages
from itembank.notation import plain
from itembank.notation.building import plain_polynomial
from itembank.notation.tree import Blocks, Display, Inlines, Paragraph, Strong, Table, Words
from itembank.pipeline.compose import Wording, compose
from itembank.pipeline.selection import in_its_range
from itembank.pipeline.variants import Variant
from itembank.spec import Family
from itembank.values.item import Item, Provenance
from tests.kinds import congruence_samples, residue_samples, unit_samples
from tests.shipped import FAMILIES, drawn

LANGUAGES = [language for language in languages() if language != "en"]


COMPOSED = (
    "linear-one-solution", "linear-several-solutions", "linear-solvable-or-not",
    "cubic-prime-power", "singular-root", "quadratic-two-prime-powers",
    "quadratic-solvable-or-not", "zero-product-composite", "least-solution",
    "stage-by-stage", "roots-one-by-one",
    "lifts-of-roots", "steps-in-order", "lifting-step-singular",
    "system-common-factor", "system-quadratic-and-linear", "system-with-coefficients",
)  # fmt: skip
"""Linear and polynomial congruences and systems, in every response form."""

VARIANTS = 20

FEW = 3

ENGLISH = frozenset(
    re.findall(
        r"\w+",
        """
        the of and is are to that it for with by this be not have has from which there no none one
        two three four each every if then when only both or its you your answer check find how many
        type least largest residue residues modulus prime root roots solution solutions divide
        divided divisible multiply since hence where write point points right wrong exactly product
        true false choose tick typed integer any all them these must can
        """,
    )
)
"""Frequent English words, and frequent ones of the trade."""

SHARED = {"de": frozenset[str](), "es": frozenset({"no", "divide", "divisible"})}
"""Those that a language has too."""

GERMAN = frozenset(
    [
        "der",
        "die",
        "das",
        "und",
        "ist",
        "nicht",
        "ein",
        "eine",
        "mit",
        "für",
        "von",
        "zu",
        "wenn",
        "also",
        "keine",
        "gibt",
    ]
)
"""Frequent German words, which would be left in another language."""


def composed(family: Family, variant: Variant, language: str) -> Item:
    """The item in one of the forms of its family, which turns with the index."""
    candidate = variant.candidate
    wording = Wording(
        title=family.id,
        ask=family.ask,
        form=family.forms[variant.index % len(family.forms)],
        rule=family.scoring,
        points=1 + variant.index % 2,
        outcomes=(),
        level="easy",
        provenance=Provenance(family=family.id, version=1, seed="translated", index=variant.index),
        language=language,
    )
    said = in_its_range(wording, variant)
    return compose(candidate.problem, candidate.solution, candidate.slips, said)


def pairs(name: str, n: int) -> Iterator[tuple[Item, Item]]:
    """The same questions in English and in each other language."""
    family = FAMILIES[name]
    for variant in drawn(name, n):
        english = composed(family, variant, "en")
        for language in LANGUAGES:
            yield english, composed(family, variant, language)


def parts(item: Item) -> Iterator[tuple[str, Blocks]]:
    yield "stem", item.stem
    yield "solution", item.solution
    for feedback in item.feedback:
        yield f"feedback {feedback.slips}", feedback.text


def labels(item: Item) -> Iterator[Inlines]:
    """What the options, lines, targets and fields of the response say."""
    responses: list[object] = [item.response]
    for stage in getattr(item.response, "stages", ()):
        yield stage.prompt
        responses.append(stage.response)
    for response in responses:
        for field in ("options", "lines", "sources", "targets"):
            yield from (choice.label for choice in getattr(response, field, ()))
        yield from (getattr(response, field) for field in ("yes", "no") if hasattr(response, field))


def words(node: object) -> Iterator[str]:
    """The texts of blocks or lines, without their formulas."""
    match node:
        case str():
            yield node
        case Strong(text):
            yield text
        case Paragraph(content, lead):
            yield lead
            yield from words(content)
        case Table(head, rows):
            yield from words((head, rows))
        case Display(rows):
            yield from words(rows)
        case tuple():
            for part in node:
                yield from words(part)
        case Words(mixed):
            yield from (part for part in mixed if isinstance(part, str))


def refuse_other_languages(node: object, language: str, where: object) -> None:
    """Codes, which are capitals throughout, are no words."""
    for text in words(node):
        found = re.findall(r"[^\W\d_]{2,}", text)
        others = (ENGLISH - SHARED[language]) | (GERMAN if language != "de" else frozenset())
        left = {word.lower() for word in found if not word.isupper()} & others
        assert not left, f"{where}: {sorted(left)} in {text!r}"
        assert unicodedata.is_normalized("NFC", text)


def integers(text: str) -> Counter[str]:
    return Counter(re.findall(r"\d+", unicodedata.normalize("NFKC", text)))


def refuse_another_question(item: Item, english: Item) -> None:
    """The same question as in English, its text in the language of the item throughout."""
    assert item.question == english.question
    assert item.identifier == english.identifier
    assert item.solution != english.solution
    said = (tuple(blocks for _part, blocks in parts(item)), tuple(labels(item)), item.spoken)
    refuse_other_languages(said, item.language, item.statement)


def blocks_in_both(item: Item, english: Item) -> Iterator[tuple[str, str]]:
    """Each paragraph, display, table and label, with the English one."""
    for (part, said), (same, meant) in zip(parts(item), parts(english), strict=True):
        assert part == same
        for block, original in zip(said, meant, strict=True):
            yield plain.block(block), plain.block(original)
    for label, meant_by in zip(labels(item), labels(english), strict=True):
        yield plain.inlines(label), plain.inlines(meant_by)


@pytest.mark.parametrize("name", COMPOSED)
def test_a_congruence_is_the_same_question_number_by_number(name):
    for english, item in pairs(name, VARIANTS):
        refuse_another_question(item, english)
        for text, original in blocks_in_both(item, english):
            assert integers(text) == integers(original), text


@pytest.mark.parametrize("name", sorted(set(FAMILIES) - set(COMPOSED)))
def test_a_question_of_any_family_is_in_its_language(name):
    """A number that English has by a pronoun may stand once more in another language."""
    for english, item in pairs(name, FEW):
        refuse_another_question(item, english)
        for text, original in blocks_in_both(item, english):
            assert set(integers(text)) == set(integers(original)), text


# ------------------------------------------------------------ statements that no family draws

SAMPLED = [
    *((congruence_samples, kind) for kind in congruence_samples.KINDS),
    *((residue_samples, kind) for kind in residue_samples.KINDS),
    *((unit_samples, kind) for kind in unit_samples.KINDS),
]

SAMPLES = 40


def polynomial_congruence(r: Random) -> str:
    degree = r.choice([1, 1, 2, 2, 3])
    f = [r.randrange(-20, 40) for _ in range(degree)] + [r.randrange(1, 10)]
    p = r.choice([2, 3, 5, 7])
    m = r.choice([r.randrange(1, 300), p ** r.randrange(1, 7), 45, 72, 98, 225, 10007, 3**40])
    g = r.choice([1, 1, 1, p])
    f[0] -= r.choice([0, sum(c * r.randrange(m) ** i for i, c in enumerate(f))])
    return f"{plain_polynomial([g * c for c in f])} = {r.randrange(3)} mod {m}"


def told(lines: Sequence[str]) -> Iterator[tuple[str, Blocks, Blocks]]:
    """The working and the feedbacks, in each language and in English."""
    problem = problem_from(lines)
    solution = problem.solve()
    said = [problem.worked(solution)]
    said += [f for slip in problem.slips(solution) for f in slip.feedback]
    for telling in map(tuple, said):
        english = Speaker().blocks(telling)
        for language in LANGUAGES:
            yield language, Speaker(language).blocks(telling), english


def refuse_other_working(lines: Sequence[str]) -> None:
    for language, blocks, english in told(lines):
        for block, original in zip(blocks, english, strict=True):
            refuse_other_languages(block, language, lines)
            text = plain.block(block)
            assert set(integers(text)) == set(integers(plain.block(original))), f"{lines}: {text}"


@pytest.mark.parametrize(("samples", "kind"), SAMPLED, ids=lambda v: v if type(v) is str else "")
def test_the_working_of_a_random_statement_has_no_english(samples, kind):
    for lines in samples.statements(kind, SAMPLES):
        refuse_other_working([lines] if isinstance(lines, str) else lines)


def test_the_working_of_a_random_polynomial_congruence_has_no_english():
    r = Random("translated")
    for _ in range(4 * SAMPLES):
        refuse_other_working([polynomial_congruence(r)])


def test_every_response_form_of_congruences_is_among_the_questions_composed():
    forms = {f for name in COMPOSED for f in FAMILIES[name].forms}

    assert forms == {
        "select all", "select one", "integer", "list", "set", "solvable or not", "order", "match",
        "guided",
    }  # fmt: skip


# ------------------------------------------------------------ the whole catalogue

FORMULA = re.compile(r"\$[^$]*\$")


def messages(language: str) -> list[tuple[str, str]]:
    """Each English text with the translation for the same count.

    Spanish has a plural of its own for whole millions, which says what the other says.
    """
    found = []
    for message in keeping.held(language):
        if not message.id:
            continue
        ids = (message.id,) if isinstance(message.id, str) else message.id
        strings = keeping.strings(message)
        assert len(set(strings[1:])) <= 1
        found += list(zip(ids, (strings[0], strings[-1]), strict=False))
    return found


catalogues = pytest.mark.parametrize("language", LANGUAGES)


@catalogues
def test_nothing_is_left_in_english(language):
    assert list(keeping.faults(language)) == []


@catalogues
def test_a_translation_has_the_formulas_and_the_numbers_of_its_template(language):
    for english, said in messages(language):
        assert set(FORMULA.findall(said)) == set(FORMULA.findall(english)), said

        without = [set(re.findall(r"\d+", FORMULA.sub("", t))) for t in (english, said)]
        assert without[0] == without[1], said


QUOTATION_MARKS = {"de": "„“", "es": "«»"}
"""DIN 5008, 6.1.6; Ortografía de la lengua española, III.3.4.8.2.1."""


@catalogues
def test_quotation_marks_are_those_of_the_language(language):
    before, after = QUOTATION_MARKS[language]
    for english, said in messages(language):
        assert said.count(before) == said.count(after), said
        assert "”" not in said and said.count('"') <= english.count('"'), said
        typed = english.count('"') - said.count('"')  # what is typed may be quoted as prose is
        assert 2 * said.count(before) == 2 * english.count("”") + typed, said


@catalogues
def test_a_sentence_ends_as_its_template_ends(language):
    for english, said in messages(language):
        if english[-1:] in ".:?":
            assert said[-1:] == english[-1:] or (english[-1] != "?" and said[-1] in ".:"), said


def test_a_spanish_question_opens_with_its_mark():
    for _english, said in messages("es"):
        asked = re.findall(r"(?<=\S)\?", said)  # one after a space is typed
        assert said.count("¿") == len(asked), said


@catalogues
def test_letters_with_marks_are_composed_characters(language):
    text = keeping.path(language, "po").read_text("utf-8")

    assert unicodedata.is_normalized("NFC", text)
    assert "ü" in text or "ñ" in text
