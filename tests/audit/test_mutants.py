"""Real packages with one thing changed in every item: the audit passes none of them.

A change is what a slip of a hand, or a platform's import and export, does to a key, a stem, an
option, the scoring, feedback, points or an encoding.  Every item of the shipped pools, in two
formats, is changed in three ways: more than 800 mutants.
"""

import re
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from itembank.audit import audit_package

Change = Callable[[str], str]


def once(pattern: str, new: str | Callable[[re.Match[str]], str]) -> Change:
    return lambda text: re.sub(pattern, new, text, count=1, flags=re.S)


def last(pattern: str, new: Callable[[re.Match[str]], str]) -> Change:
    def change(text: str) -> str:
        found = list(re.finditer(pattern, text, flags=re.S))
        if not found:
            return text
        return text[: found[-1].start()] + new(found[-1]) + text[found[-1].end() :]

    return change


def in_place(text: str, match: re.Match[str]) -> str:
    """The text in which the first group of a match, an integer, is one larger."""
    return text[: match.start(1)] + str(int(match[1]) + 1) + text[match.end(1) :]


def one_more(match: re.Match[str]) -> str:
    """The match with its last group, an integer, one larger."""
    whole, start = match[0], match.start()
    a, b = match.span(match.lastindex or 0)
    return whole[: a - start] + str(int(match[match.lastindex or 0]) + 1) + whole[b - start :]


def within(opening: str, closing: str, change: Change) -> Change:
    """The change made between two marks alone."""

    def made(text: str) -> str:
        match = re.search(f"{opening}.*?{closing}", text, re.S)
        if not match:
            return text
        return text[: match.start()] + change(match[0]) + text[match.end() :]

    return made


# ------------------------------------------------------------ changes of QTI 2.1


def other_key_21(text: str) -> str:
    """The key's first option exchanged for one that is no part of it."""
    key = re.findall(r"<value>([^<]+)</value>", text.split("</correctResponse>")[0])
    options = re.findall(r'<simpleChoice identifier="([^"]+)"', text)
    wrong = next((o for o in options if o not in key), "")
    return text.replace(f"<value>{key[0]}</value>", f"<value>{wrong}</value>", 1) if wrong else text


def without_an_option(tag: str, attribute: str) -> Change:
    """The first right option gone."""

    def change(text: str) -> str:
        named = rf'<{tag} {attribute}="([^"]+)"[^>]*>.*?</{tag}>'
        options = re.findall(named, text, re.S)
        key = key_names(text)
        gone = next((o for o in options if o in key), "")
        return (
            re.sub(rf'<{tag} {attribute}="{gone}"[^>]*>.*?</{tag}>', "", text, flags=re.S)
            if gone
            else text
        )

    return change


def key_names(text: str) -> set[str]:
    if "<correctResponse>" in text:
        return set(re.findall(r"<value>([^<]+)</value>", text.split("</correctResponse>")[0]))
    conditions = re.findall(r"<respcondition.*?</respcondition>", text, re.S)
    scored = " ".join(c for c in conditions if "<setvar" in c)
    positive = re.sub(r"<not>.*?</not>", "", scored, flags=re.S)
    return set(re.findall(r"<varequal[^>]*>([^<]+)</varequal>", positive))


def right_label_changed(tag: str, attribute: str) -> Change:
    """The number shown by a right option one larger."""

    def change(text: str) -> str:
        for match in re.finditer(rf'<{tag} {attribute}="([^"]+)".*?</{tag}>', text, re.S):
            if match[1] in key_names(text):
                shown = re.search(r">(?:<[^>]*>|\{)*(\d+)(?=[<,}])", match[0])
                if shown:
                    return text.replace(match[0], in_place(match[0], shown), 1)
        return text

    return change


def key_in_feedback(text: str) -> str:
    """The residues to tick, listed in what a wrong answer is told."""
    key = sorted(int(k) for k in re.findall(r"residue-(\d+)", text.split("</correctResponse>")[0]))
    if len(key) < 2:
        return text
    told = ", ".join(map(str, key))
    return re.sub(r'(identifier="slip-1" showHide="show">)', rf"\1<p>It is {told}.</p>", text)


def exchanged_steps(text: str) -> str:
    """The first two steps of the right order, the other way round."""
    if "<orderInteraction" not in text:
        return text
    first, second = re.findall(r"<value>([^<]+)</value>", text)[:2]
    pair = f"<value>{first}</value><value>{second}</value>"
    return text.replace(pair, f"<value>{second}</value><value>{first}</value>", 1)


def matched_otherwise(text: str) -> str:
    """The first right pair made with another target."""
    match = re.search(r"<value>(root-\d+) (lift-\w+)</value>", text)
    if not match:
        return text
    targets = re.findall(r'identifier="(lift-\w+)"', text)
    other = next(t for t in targets if t != match[2])
    return text.replace(match[0], f"<value>{match[1]} {other}</value>", 1)


KEY, STEM_21 = ("<correctResponse>", "</correctResponse>"), ("<itemBody>", "</math>")
PROCESSING = ("<responseProcessing>", "</responseProcessing>")

QTI21: dict[str, Change] = {
    "derivation: steps exchanged": exchanged_steps,
    "derivation: a number in a step": within(
        "<simpleChoice", "</orderInteraction>", last(r"<mn>(\d+)</mn>", one_more)
    ),
    "derivation: matched otherwise": matched_otherwise,
    "derivation: a root to match": within(
        "<matchInteraction", "</simpleMatchSet>", once(r"<mn>(\d+)</mn>", one_more)
    ),
    "derivation: the modulus of a stage": once(r"Stage 1[^<]*<math.*?<mn>(\d+)", one_more),
    "derivation: a stage scores nothing": within(
        *PROCESSING,
        once(r'(identifier="SCORE_1"><baseValue baseType="float">)1', lambda m: m[1] + "0"),
    ),
    "key: another option": other_key_21,
    "key: another number": within(*KEY, once(r"<value>(?:[\d, ]*\D)?(\d+)</value>", one_more)),
    "key: one of several lost": within(
        *KEY,
        lambda t: re.sub(r"<value>[^<]*</value>", "", t, count=1) if t.count("<value>") > 1 else t,
    ),
    "stem: modulus": within(*STEM_21, last(r"<mn>(\d+)</mn>", one_more)),
    "stem: a coefficient": within(*STEM_21, once(r"<mn>(\d+)</mn>", one_more)),
    "stem: an exponent": within(*STEM_21, once(r"<msup>(<mi>\w</mi>)<mn>\d+</mn></msup>", r"\1")),
    "stem: the range": once(r"0</mn></math> to (<math.*?<mn>)(\d+)", one_more),
    "stem: what to do if there is none": once(r"[^.>]*If there is no[^.]*\.", ""),
    "stem: spoken": within(*STEM_21, once(r'alttext="[^"]*?(\d+)', one_more)),
    "stem: gone": within(*STEM_21, once(r"<math.*</math>", "")),
    "options: a right one changed": right_label_changed("simpleChoice", "identifier"),
    "options: a right one gone": without_an_option("simpleChoice", "identifier"),
    "options: one alone": once(r'maxChoices="0"', 'maxChoices="1"'),
    "scoring: another score": within(
        *PROCESSING, once(r'<baseValue baseType="float">([1-9]\d*)', one_more)
    ),
    "scoring: all full": within(
        *PROCESSING,
        last(
            r'(<responseElse><setOutcomeValue identifier="SCORE"><baseValue baseType="float">)0',
            lambda m: m[1] + "1",
        ),
    ),
    "scoring: gone": once(r"<responseProcessing>.*</responseProcessing>", "<responseProcessing/>"),
    "feedback: prints the key": key_in_feedback,
    "feedback: never shown": within(
        "<modalFeedback", ">", once(r'identifier="slip-\d+"', 'identifier="lost"')
    ),
    "feedback: always shown": within(
        "<modalFeedback", ">", once(r'showHide="show"', 'showHide="hide"')
    ),
    "points: declared": once(r'normalMaximum="(\d+)"', one_more),
    "points: the outcome": within(
        'identifier="MAXSCORE"', "</outcomeDeclaration>", once(r"<value>(\d+)", one_more)
    ),
    "points: in words": within(
        "<itemBody>", "</itemBody>", once(r"(\d+)(?= points? (?:if|for))", one_more)
    ),
    "encoding: the sign": within(*STEM_21, once("≡", "?")),
    "encoding: twice": within(*STEM_21, once("≡", "\u00e2\u2030\u00a1")),
    "encoding: minus lost": within(*STEM_21, once("<mo>−</mo>", "<mo>?</mo>")),
    "statement": once(r'label="[^"]*?(\d+)', one_more),
}


# ------------------------------------------------------------ changes of a cartridge

STEM, SCORING = ("<presentation", "</material>"), ("<resprocessing>", "</resprocessing>")

CC13: dict[str, Change] = {
    "key: a spelling": within(
        *SCORING, once(r"<varequal[^>]*>(?:[\d,; ]*\D)?(\d+)</varequal>", one_more)
    ),
    "key: turned": within(*SCORING, once(r"<not>(<varequal[^>]*>[^<]*</varequal>)</not>", r"\1")),
    "key: one lost": within(
        "<conditionvar><and>",
        "</and>",
        once(r"(?<!<not>)<varequal[^>]*>[^<]*</varequal>(?!</not>)", ""),
    ),
    "stem: modulus": within(*STEM, once(r"\(mod[\s\xa0](\d+)", one_more)),
    "stem: a coefficient": within(*STEM, once(r"[ \xa0](\d+)(?=&lt;i&gt;)", one_more)),
    "stem: an exponent": within(*STEM, once(r"&lt;sup&gt;(\d+)", one_more)),
    "stem: sup lost": within(*STEM, once(r"&lt;sup&gt;(\d+)&lt;/sup&gt;", r"\1")),
    "stem: the range": within(*STEM, once(r"\(0 to (\d+)", one_more)),
    "stem: gone": within(*STEM, once(r'&lt;p class="display"&gt;.*?&lt;/p&gt;', "")),
    "options: a right one changed": right_label_changed("response_label", "ident"),
    "options: a right one gone": without_an_option("response_label", "ident"),
    "scoring: another score": within(*SCORING, once(r'varname="SCORE">100', 'varname="SCORE">10')),
    "scoring: gone": once(r"<setvar[^>]*>100</setvar>", ""),
    "points: declared": once(r"cc_weighting</fieldlabel><fieldentry>(\d+)", one_more),
    "points: in words": within(*STEM, once(r"(\d+)(?= points? (?:if|for))", one_more)),
    "profile": once(r"cc\.(multiple_response|multiple_choice)\.v0p1", "cc.fib.v0p1"),
    "encoding: the sign": within(*STEM, once("≡", "?")),
    "encoding: twice": within(*STEM, once("≡", "\u00e2\u2030\u00a1")),
    "encoding: minus lost": within(*STEM, once("−", "?")),
    "encoding: escaped twice": within(*STEM, once(r"&lt;sup&gt;", "&amp;lt;sup&amp;gt;")),
    "statement": once(r'label="[^"]*?(\d+)', one_more),
}

CHANGES = {"qti21": QTI21, "cc13": CC13}

ITEM = {
    "qti21": re.compile(r"<assessmentItem .*</assessmentItem>", re.S),
    "cc13": re.compile(r"<item .*?</item>", re.S),
}
NAME = {"qti21": r'identifier="(item-\w+)"', "cc13": r'ident="(item-\w+)"'}

ROUNDS = 3


def mutated(package: Path, target: Path, name: str, turn: int) -> dict[str, str]:
    """A copy with every item changed once; by item, how.  The changes take turns."""
    changes = list(CHANGES[name].items())
    how: dict[str, str] = {}

    def change(match: re.Match[str]) -> str:
        text = match[0]
        start = len(how) + turn * 7
        for i in range(len(changes)):
            kind, made = changes[(start + i) % len(changes)]
            if (after := made(text)) != text:
                how[re.search(NAME[name], text)[1]] = kind
                return after
        raise AssertionError("no change fits")

    with zipfile.ZipFile(package) as source, zipfile.ZipFile(target, "w") as copy:
        for member in source.namelist():
            text = source.read(member).decode()
            if member != "imsmanifest.xml":
                text = ITEM[name].sub(change, text)
            copy.writestr(member, text)
    return how


def mutants(packages: list[Path], folder: Path, name: str) -> Iterator[tuple[str, str, str]]:
    """(item, how it was changed, what the audit said) of every mutant."""
    for package in packages:
        for turn in range(ROUNDS):
            target = folder / f"{turn}-{package.name}"
            how = mutated(package, target, name, turn)
            report = audit_package(target)
            said = {item.identifier: item.status for item in report.items}
            for item, kind in how.items():
                yield item, kind, said.get(item, "missing")


@pytest.mark.parametrize("name", CHANGES)
def test_no_mutant_passes(packages_by_format, tmp_path, name):
    found = list(mutants(packages_by_format[name], tmp_path, name))
    passed = [(item, kind) for item, kind, status in found if status == "agreed"]

    assert len(found) >= 200
    assert passed == []
    assert set(Counter(kind for _item, kind, _status in found)) == set(CHANGES[name])
