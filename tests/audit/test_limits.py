"""Every limit of the audit has a package, or a part of one, that goes beyond it.

An item that does is unchecked, a package refused, each with the limit; a text that is not worked
out is left alone.
"""

from pathlib import Path

import pytest

from itembank.audit import budget, reckoning
from itembank.audit.budget import Work
from itembank.audit.derivation import words_of
from itembank.audit.guessed import form_of
from itembank.audit.patterns import UnknownPattern, pattern
from itembank.audit.phrases import phrases_of
from itembank.audit.qti2 import seen_item
from itembank.audit.question import asked
from itembank.audit.relations import untrue
from itembank.audit.unsupported import Unsupported
from itembank.audit.xml import parsed
from tests.audit.handmade import (
    ENTRY,
    FIELD,
    GIVEN,
    IS_KEY,
    STEM,
    base,
    cartridge_item,
    choices,
    condition,
    equals,
    qti_item,
    report_on,
    scored,
    set_outcome,
)

LIMITS = {name for name in vars(budget) if name.isupper()}

BUDGET, CONTAINER = "test_audit_budget.py", "test_container.py"

ELSEWHERE = {
    "MEMBERS": (BUDGET, "test_more_members_than_are_read_are_counted_and_never_listed"),
    "DIRECTORY": (BUDGET, "test_a_directory_that_is_too_long_is_refused_before_it_is_read"),
    "DOCUMENT": (BUDGET, "test_an_item_that_would_fill_the_memory_is_refused"),
    "TAGS": (BUDGET, "test_an_item_that_would_fill_the_memory_is_refused"),
    "PAGE": (BUDGET, "test_a_page_that_would_fill_the_memory_is_refused"),
    "PAGE_TAGS": (BUDGET, "test_a_page_that_would_fill_the_memory_is_refused"),
    "TOTAL": (CONTAINER, "test_more_than_the_limit_of_all_members_together_is_refused"),
    "MEMBER": (CONTAINER, "test_a_member_of_more_than_the_limit_is_refused"),
    "RATIO": (CONTAINER, "test_a_bomb_is_refused_before_it_is_unpacked"),
    "SMALL": (CONTAINER, "test_a_bomb_is_refused_before_it_is_unpacked"),
    "OPTIONS": (BUDGET, "test_more_options_than_are_read_are_counted_and_not_read"),
    "INTERACTIONS": (BUDGET, "test_more_entries_than_are_read_are_counted_and_not_read"),
    "_STEPS": (BUDGET, "test_a_scoring_that_takes_too_long_to_try_is_unchecked"),
    "MOVES": (BUDGET, "test_a_scoring_that_takes_too_long_to_try_is_unchecked"),
    "PATTERNS": (BUDGET, "test_a_scoring_that_takes_too_long_to_try_is_unchecked"),
}


def typed(processing: str) -> str:
    return qti_item(
        interaction=ENTRY,
        cardinality="single",
        base_type="string",
        key=("7",),
        processing=processing,
    )


def matching(source: str) -> str:
    return typed(scored(f'<patternMatch pattern="{source}">{GIVEN}</patternMatch>'))


def nested(name: str, inside: str, depth: int) -> str:
    return f"<{name}>" * depth + inside + f"</{name}>" * depth


MANY_RULES = condition((IS_KEY, set_outcome("SCORE", base("float", 1)) * 3_001))

HOSTILE = {
    "CHARACTERS": (qti_item(stem=STEM + f"<p>{'word ' * 1_000}</p>"), "4000 are read"),
    "MARKUP_DEEP": (qti_item(stem=nested("span", STEM, 150)), "elements more than 100 deep"),
    "RULES": (qti_item(processing=MANY_RULES), "more than 6000 rules and expressions"),
    "RULES_DEEP": (qti_item(processing=scored(nested("and", IS_KEY, 61))), "more than 60 deep"),
    "CONDITIONS": (
        cartridge_item(
            profile="cc.fib.v0p1", response=FIELD, right="".join(equals(n) for n in range(2_000))
        ),
        "more than 2000 conditions",
    ),
    "POSITIONS": (matching("a" * 5_000), "more than 4000 characters"),
    "PATTERN_STEPS": (matching(f"({'|'.join('a' * 1_000)})*"), "more than 200000 steps"),
    "PATTERN_DEEP": (matching("(" * 60 + "a" + ")" * 60), "the pattern"),
    "REPEATED": (matching("a{101}"), "a quantifier beyond 100"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_an_item_beyond_a_limit_is_unchecked_with_it(tmp_path: Path, name: str):
    item, reason = HOSTILE[name]
    (report,) = report_on(tmp_path, item).items

    assert report.status == "unchecked"
    assert reason in report.how


def beyond_line() -> None:
    words_of("a" * (budget.LINE + 1))


def beyond_tried() -> None:
    reckoning.small(budget.TRIED + 1)


def beyond_weighed() -> None:
    item = qti_item(interaction=choices({f"r{n}": str(n) for n in range(budget.WEIGHED + 1)}, 0))
    seen = seen_item(parsed(item.encode()))
    form_of(seen, asked(seen.stem, phrases_of("en")))


PARTS = {"LINE": beyond_line, "TRIED": beyond_tried, "WEIGHED": beyond_weighed}


@pytest.mark.parametrize("name", PARTS)
def test_a_part_beyond_a_limit_is_not_read(name: str):
    with pytest.raises(Unsupported, match=str(getattr(budget, name))):
        PARTS[name]()


LEFT_ALONE = {
    "CHAIN_LENGTH": "1" + " + 1" * 100 + " = 3.",
    "PRODUCT": "99999999999999999999 · 99999999999999999999 · 9 = 1.",
}


@pytest.mark.parametrize("name", LEFT_ALONE)
def test_a_chain_beyond_a_limit_is_not_worked_out(name: str):
    text = LEFT_ALONE[name]

    assert list(untrue(text, Work())) == []
    assert list(untrue(text.replace(" + 1" * 99, "").replace("999 · 9 =", " ="), Work()))


def test_a_pattern_within_its_limits_is_read():
    with pytest.raises(UnknownPattern):
        pattern("a{101}")
    assert pattern("a{100}").sample() == "a" * 100


def test_every_limit_has_its_test():
    assert {*ELSEWHERE, *HOSTILE, *PARTS, *LEFT_ALONE} == LIMITS
    for file, name in ELSEWHERE.values():
        assert f"def {name}(" in (Path(__file__).parent / file).read_text(encoding="utf-8")
