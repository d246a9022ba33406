"""German: composed questions with no English in them, and the same mathematics as in English."""

import re
import unicodedata
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import islice
from random import Random

import congruence_samples
import pytest
import residue_samples
import unit_samples

from itembank.kinds.statement import problem_from
from itembank.kinds.table import SIGNATURES
from itembank.languages import Speaker
from itembank.languages import __main__ as keeping
from itembank.notation import plain
from itembank.notation.building import plain_polynomial
from itembank.notation.tree import Blocks, Display, Inlines, Paragraph, Strong, Table, Words
from itembank.pipeline.compose import Wording, compose
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream, Variant
from itembank.spec import Family, find_families, library, load_family
from itembank.values.item import Item, Provenance

FAMILIES = find_families([library() / "families"])

COMPOSED = (
    "linear-one-solution", "linear-several-solutions", "linear-solvable-or-not",
    "cubic-prime-power", "singular-root", "quadratic-two-prime-powers",
    "quadratic-solvable-or-not", "zero-product-composite", "least-solution",
    "stage-by-stage", "roots-one-by-one",
    "lifts-of-roots", "steps-in-order", "lifting-step-singular",
    "system-common-factor", "system-quadratic-and-linear", "system-with-coefficients",
)  # fmt: skip
"""Linear and polynomial congruences and systems, in every response form."""

VARIANTS = 30

FEW = 4

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
"""Frequent English words, and frequent ones of the trade; German has none of them."""


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
        provenance=Provenance(family=family.id, version=1, seed="german", index=variant.index),
        language=language,
    )
    return compose(candidate.problem, candidate.solution, candidate.slips, wording)


def pairs(name: str, n: int) -> Iterator[tuple[Item, Item]]:
    """The same questions in English and in German."""
    family = load_family(FAMILIES[name], SIGNATURES)
    for variant in islice(Stream(family, "german", fits(family)), n):
        yield composed(family, variant, "en"), composed(family, variant, "de")


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


def refuse_english(node: object, where: object) -> None:
    """Codes, which are capitals throughout, are no words."""
    for text in words(node):
        found = re.findall(r"[^\W\d_]{2,}", text)
        left = {word.lower() for word in found if not word.isupper()} & ENGLISH
        assert not left, f"{where}: {sorted(left)} in {text!r}"
        assert unicodedata.is_normalized("NFC", text)


def integers(text: str) -> Counter[str]:
    return Counter(re.findall(r"\d+", unicodedata.normalize("NFKC", text)))


def refuse_other_than_german(german: Item, english: Item) -> None:
    """The same question as in English, its text German throughout."""
    assert german.language == "de"
    assert german.question == english.question
    assert german.identifier == english.identifier
    assert german.solution != english.solution
    said = (tuple(blocks for _part, blocks in parts(german)), tuple(labels(german)), german.spoken)
    refuse_english(said, german.statement)


def blocks_in_both(german: Item, english: Item) -> Iterator[tuple[str, str]]:
    """Each paragraph, display, table and label in German, with the English one."""
    for (part, said), (same, meant) in zip(parts(german), parts(english), strict=True):
        assert part == same
        for block, original in zip(said, meant, strict=True):
            yield plain.block(block), plain.block(original)
    for label, original in zip(labels(german), labels(english), strict=True):
        yield plain.inlines(label), plain.inlines(original)


@pytest.mark.parametrize("name", COMPOSED)
def test_a_congruence_in_german_is_the_same_question_number_by_number(name):
    for english, german in pairs(name, VARIANTS):
        refuse_other_than_german(german, english)
        for text, original in blocks_in_both(german, english):
            assert integers(text) == integers(original), text


@pytest.mark.parametrize("name", sorted(set(FAMILIES) - set(COMPOSED)))
def test_a_question_of_any_family_is_german(name):
    """A number that English has by a pronoun may stand once more in German."""
    for english, german in pairs(name, FEW):
        refuse_other_than_german(german, english)
        for text, original in blocks_in_both(german, english):
            assert set(integers(text)) == set(integers(original)), text


# ------------------------------------------------------------ statements that no family draws

SAMPLED = [
    *((congruence_samples, kind) for kind in congruence_samples.KINDS),
    *((residue_samples, kind) for kind in residue_samples.KINDS),
    *((unit_samples, kind) for kind in unit_samples.KINDS),
]

SAMPLES = 60


def polynomial_congruence(r: Random) -> str:
    degree = r.choice([1, 1, 2, 2, 3])
    f = [r.randrange(-20, 40) for _ in range(degree)] + [r.randrange(1, 10)]
    p = r.choice([2, 3, 5, 7])
    m = r.choice([r.randrange(1, 300), p ** r.randrange(1, 7), 45, 72, 98, 225, 10007, 3**40])
    g = r.choice([1, 1, 1, p])
    f[0] -= r.choice([0, sum(c * r.randrange(m) ** i for i, c in enumerate(f))])
    return f"{plain_polynomial([g * c for c in f])} = {r.randrange(3)} mod {m}"


def told(lines: Sequence[str]) -> Iterator[tuple[Blocks, Blocks]]:
    """The working and the feedbacks, in German and in English."""
    problem = problem_from(lines)
    solution = problem.solve()
    said = [problem.worked(solution)]
    said += [f for slip in problem.slips(solution) for f in slip.feedback]
    for telling in map(tuple, said):
        yield Speaker("de").blocks(telling), Speaker().blocks(telling)


def refuse_other_working(lines: Sequence[str]) -> None:
    for german, english in told(lines):
        for block, original in zip(german, english, strict=True):
            refuse_english(block, lines)
            text = plain.block(block)
            assert set(integers(text)) == set(integers(plain.block(original))), f"{lines}: {text}"


@pytest.mark.parametrize(("samples", "kind"), SAMPLED, ids=lambda v: v if type(v) is str else "")
def test_the_working_of_a_random_statement_is_german(samples, kind):
    for lines in samples.statements(kind, SAMPLES):
        refuse_other_working([lines] if isinstance(lines, str) else lines)


def test_the_working_of_a_random_polynomial_congruence_is_german():
    r = Random("german")
    for _ in range(4 * SAMPLES):
        refuse_other_working([polynomial_congruence(r)])


def test_every_response_form_of_congruences_is_among_the_questions_composed():
    forms = {f for name in COMPOSED for f in load_family(FAMILIES[name], SIGNATURES).forms}

    assert forms == {
        "select all", "select one", "integer", "list", "set", "solvable or not", "order", "match",
        "guided",
    }  # fmt: skip


# ------------------------------------------------------------ the whole catalogue

FORMULA = re.compile(r"\$[^$]*\$")


def messages() -> list[tuple[str, str]]:
    """Each English text with the German one for the same count."""
    found = []
    for message in keeping.held("de"):
        if not message.id:
            continue
        singular = isinstance(message.id, str)
        ids = (message.id,) if singular else message.id
        found += list(zip(ids, keeping.strings(message), strict=True))
    return found


def test_nothing_is_left_in_english():
    assert list(keeping.faults("de")) == []


def test_a_translation_has_the_formulas_and_the_numbers_of_its_template():
    for english, german in messages():
        assert set(FORMULA.findall(german)) == set(FORMULA.findall(english)), german

        without = [set(re.findall(r"\d+", FORMULA.sub("", t))) for t in (english, german)]
        assert without[0] == without[1], german


def test_quotation_marks_are_german():
    """DIN 5008, 6.1.6: „ before and “ after."""
    for english, german in messages():
        assert german.count("„") == german.count("“") == english.count("”"), german
        assert '"' not in german and "”" not in german


def test_a_sentence_ends_as_its_template_ends():
    for english, german in messages():
        if english[-1:] in ".:?":
            assert german[-1:] == english[-1:] or (english[-1] != "?" and german[-1] in ".:"), (
                german
            )


def test_umlauts_are_composed_characters():
    text = keeping.path("de", "po").read_text("utf-8")

    assert unicodedata.is_normalized("NFC", text)
    assert "ß" in text and "ü" in text
