"""How questions are asked in a language, as the audit knows it.

One data file a language (`languages/en.toml`), written apart from the catalogues of the product:
two independent writings, so that a translation that asks for something else ("least" for
"largest") is caught. TOML, since its literal strings hold patterns as they are. A language
without a file is unsupported, and its items are unchecked.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from itembank.audit import squeezed
from itembank.audit.said import Said
from itembank.audit.squeezed import Known
from itembank.audit.unsupported import Unsupported

LANGUAGES = Path(__file__).parent / "languages"

_NUMBER = r"([-−+*·^() \d⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+?)"
"""A number, or an expression for one, up to the words that follow it."""

_PAIR = r"\( ?\(? ?([-−]? ?\d+) ?\)?/(\d+)\)"
"""A symbol, a negative top in brackets or not."""

_END = r"(?=[.:,;]|$)"

_NAMED = {f"<n{i}>": rf"(?P<n{i}>[-−]? ?[0-9]+)" for i in range(1, 5)}
"""The numbers of a statement or a condition, whatever their order in a language."""

_PLACES = {"<N>": _NUMBER, "<PAIR>": _PAIR, "<END>": _END, **_NAMED}
"""What stands for more in a pattern; a language may add some of its own under `places`."""


@dataclass(frozen=True)
class Sentence:
    """A question in one sentence: its pattern, its ask, the plain statement of its numbers."""

    pattern: Said
    ask: str
    statement: str


@dataclass(frozen=True, kw_only=True)
class Stem:
    """What a stem promises, beside its question; the names are those of `question.Asked`.

    part: how a line says which part of how many this is.
    formal: how the line begins that puts the question after a story.  above, below, between: which
    integer is asked for, where it is no residue; ends: which of those between two numbers;
    all_of_range: every one of these.  example: any one from one number to another.
    claimed: that this is the answer, to be called true or false.
    """

    part: Said
    formal: Said
    above: Said
    below: Said
    between: Said
    ends: Said
    all_of_range: Said
    system: Said
    points: Said
    stages: Said
    ticks: Said
    range: Said
    modulo: Said
    none: Said
    increasing: Said
    any_order: Said
    any_representative: Said
    spare: Said
    not_every: Said
    by_places: Said
    uncounted: Said
    solvable: Said
    period: Said
    primitive_root: Said
    example: Said
    claimed: Said


@dataclass(frozen=True)
class Directives:
    """How what a student is told to do begins; and what is known of it beside the questions."""

    opening: Said
    known: tuple[Said, ...]


@dataclass(frozen=True, kw_only=True)
class Paper:
    """What a sheet of paper says once: the rule of all its questions, and what one is worth."""

    rule: Said
    worth: Said


@dataclass(frozen=True, kw_only=True)
class Answers:
    """What an option or a typed answer says in words.

    `joint` stands between the members of a list; `given_away` is a pattern with <KEY> in it.
    """

    none: frozenset[str]
    yes: Said
    no: Said
    joint: str
    given_away: str


@dataclass(frozen=True, kw_only=True)
class Lifts:
    """How roots are given to be matched, and the targets that are no residue."""

    given: Said
    none: str
    every: str
    explained: Mapping[str, str]


@dataclass(frozen=True, kw_only=True)
class Stages:
    """The prompts of stages; what the options of a singular one mean."""

    all: Said
    singular: Said
    how_many: Mapping[str, str]


Clauses = Mapping[str, Said]
"""Conditions by name: numbers in groups n1, n2, ..., and a group `not` where they are denied."""


@dataclass(frozen=True, kw_only=True)
class NumberedLines:
    """The numbered lines of a solution, what each can claim, and options that name one."""

    numbered: Said
    named: Said
    none_wrong: str
    claims: Mapping[str, Said]


@dataclass(frozen=True, kw_only=True)
class Reasons:
    """A statement to be proved, and conditions that `joint` stands between.

    `given` says what f is, `difference` by how much the residues of a system differ.
    """

    given: Said
    difference: Said
    statement: Said
    statements: Clauses
    joint: Said
    clauses: Clauses


@dataclass(frozen=True, kw_only=True, eq=False)
class Remarks:
    """What remarks say of the answer that they are shown to, and of numbers.

    `answered` names the answer where the remarks on all of them stand together; `praise` begins
    what is said to a right answer alone; `example` shows how to type a list.  `concluded` begins
    the answer at the end of a worked solution, `numbers` are 0, 1, 2, ... in words.
    """

    answered: Said
    concluded: Said
    numbers: tuple[Said, ...]
    praise: Said
    example: Said
    claims: Mapping[str, tuple[Said, ...]]
    truths: Mapping[str, tuple[Said, ...]]


@dataclass(frozen=True, kw_only=True)
class Unions:
    """Words between classes; `opposed` stand in sentences that say they do not go together."""

    link: Said
    conjunction: str
    opposed: Said
    expected: str


@dataclass(frozen=True, kw_only=True)
class Writing:
    """What rules of writing look for; `without_directions` begins what is no question any more."""

    above: Said
    lettered: Said
    negative: Said
    range: Said
    count_cue: Said
    without_directions: str


class Sayings:
    """Puts the signs of a formula for the words that say them, the longer words first.

    Words are patterns without groups: the Spanish "u" for or stands before certain numbers alone.
    """

    def __init__(self, signs: Mapping[str, str]) -> None:
        words = sorted(signs, key=len, reverse=True)
        self._said = re.compile("|".join(rf"\b({word})\b" for word in words))
        self._signs = [signs[word] for word in words]
        self.of_numbers = any(re.search(r"[\d\\]", word) for word in words)
        """Whether a word may be one before some numbers, and none before others."""

    def __call__(self, text: str) -> str:
        return self._said.sub(lambda match: self._signs[(match.lastindex or 1) - 1], text)


@dataclass(frozen=True, kw_only=True)
class Phrases:
    """All that is known of one language.

    ways, prompts, matches: the words of the lines of an outline, of the prompts of stages and of
    what is matched, with places for their formulas.  verdicts: 2, 1, 0 for always, sometimes,
    never, by their words.
    """

    language: str
    sentences: tuple[Sentence, ...]
    asks: Mapping[str, tuple[Said, ...]]
    stem: Stem
    paper: Paper
    directives: Directives
    answer: Answers
    spoken: Sayings
    steps: Mapping[str, Said]
    lifts: Lifts
    stages: Stages
    lines: NumberedLines
    reasons: Reasons
    ways: Known
    prompts: Known
    matches: Known
    verdicts: Mapping[str, int]
    remarks: Remarks
    unions: Unions
    writing: Writing

    @cached_property
    def told(self) -> tuple[Said, ...]:
        """All that is known of what tells a student what to do."""
        return (
            *(sentence.pattern for sentence in self.sentences),
            *(said for asks in self.asks.values() for said in asks),
            *self.directives.known,
            self.stem.claimed,
            self.stem.example,
            self.stem.by_places,
        )


@cache
def known_languages() -> tuple[str, ...]:
    return tuple(sorted(path.stem for path in LANGUAGES.glob("*.toml")))


def phrases_of(tag: str) -> Phrases:
    """The phrases of a BCP 47 language tag; those of its language where the region has none."""
    for name in (tag, tag.partition("-")[0]):
        if name in known_languages():
            return read(name)
    raise Unsupported(f"the language '{tag[:20]}', whose phrases are not known")


@cache
def read(name: str) -> Phrases:
    data = _spelled_out(tomllib.loads((LANGUAGES / f"{name}.toml").read_text(encoding="utf-8")))
    lifts, stages, unions = data["lifts"], data["stages"], data["unions"]
    return Phrases(
        language=name,
        sentences=tuple(
            Sentence(_pattern(s["said"]), s["asks"], s["of"]) for s in data.get("sentence", ())
        ),
        asks={ask: tuple(map(_pattern, said)) for ask, said in data["asks"].items()},
        stem=Stem(**{key: _pattern(said) for key, said in data["stem"].items()}),
        paper=Paper(**{key: _pattern(said) for key, said in data["paper"].items()}),
        directives=Directives(
            _pattern(data["directives"]["opening"]),
            tuple(map(_pattern, data["directives"]["known"])),
        ),
        answer=_answers(data["answer"]),
        spoken=Sayings(data["spoken"] | data.get("spoken_letters", {})),
        steps={step: _pattern(said) for step, said in data["steps"].items()},
        lifts=Lifts(
            given=_pattern(lifts["given"]),
            none=lifts["none"],
            every=lifts["every"],
            explained={
                lifts["none"]: lifts["none_explained"],
                lifts["every"]: lifts["every_explained"],
            },
        ),
        stages=Stages(
            all=_pattern(stages["all"]),
            singular=_pattern(stages["singular"]),
            how_many=stages["how_many"],
        ),
        lines=_numbered_lines(data["lines"]),
        reasons=_reasons(data["reasons"]),
        ways=_known(data["ways"]),
        prompts=_known(data["prompts"]),
        matches=_known(data["matches"]),
        verdicts=data["verdicts"],
        remarks=_remarks(data["feedback"]),
        unions=Unions(
            link=_pattern(unions["link"]),
            conjunction=unions["and"],
            opposed=_pattern(unions["opposed"]),
            expected=unions["expected"],
        ),
        writing=_writing(data["writing"]),
    )


def _known(data: Mapping[str, str]) -> Known:
    return {name: squeezed.pattern(words) for name, words in data.items()}


def _spelled_out(data: Mapping[str, Any]) -> Any:
    """The file with what its own places stand for in their stead."""
    places: Mapping[str, str] = data.get("places", {})

    def put(value: Any) -> Any:
        match value:
            case str():
                for place, meant in places.items():
                    value = value.replace(place, meant)
                return value
            case list():
                return [put(part) for part in value]
            case dict():
                return {key: put(part) for key, part in value.items()}
        return value

    return put(data)


def _pattern(said: str, flags: re.RegexFlag = re.RegexFlag.NOFLAG) -> Said:
    for place, meant in _PLACES.items():
        said = said.replace(place, meant)
    return Said(said, flags)


def _answers(data: Mapping[str, Any]) -> Answers:
    return Answers(
        none=frozenset(data["none"]),
        yes=_pattern(data["yes"], re.IGNORECASE),
        no=_pattern(data["no"], re.IGNORECASE),
        joint="|".join(map(re.escape, data["joints"])),
        given_away=data["given_away"],
    )


def _numbered_lines(data: Mapping[str, Any]) -> NumberedLines:
    return NumberedLines(
        numbered=_pattern(data["numbered"]),
        named=_pattern(data["named"]),
        none_wrong=data["none_wrong"],
        claims=_patterns(data["claims"]),
    )


def _reasons(data: Mapping[str, Any]) -> Reasons:
    return Reasons(
        given=_pattern(data["given"]),
        difference=_pattern(data["difference"]),
        statement=_pattern(data["statement"]),
        statements=_patterns(data["statements"]),
        joint=_pattern(data["joint"]),
        clauses=_patterns(data["clauses"]),
    )


def _remarks(data: Mapping[str, Any]) -> Remarks:
    return Remarks(
        answered=_pattern(data["answered"]),
        concluded=_pattern(data["concluded"], re.IGNORECASE | re.MULTILINE),
        numbers=tuple(_pattern(rf"\b({words})\b", re.IGNORECASE) for words in data["numbers"]),
        praise=_pattern(data["praise"], re.IGNORECASE | re.MULTILINE),
        example=_pattern(data["example"]),
        claims={name: tuple(map(_pattern, said)) for name, said in data["claims"].items()},
        truths={name: tuple(map(_pattern, said)) for name, said in data["truths"].items()},
    )


def _patterns(data: Mapping[str, str]) -> dict[str, Said]:
    return {name: _pattern(said) for name, said in data.items()}


def _writing(data: Mapping[str, str]) -> Writing:
    return Writing(
        above=_pattern(data["above"], re.IGNORECASE),
        lettered=_pattern(data["lettered"]),
        negative=_pattern(data["negative"], re.IGNORECASE),
        range=_pattern(data["range"]),
        count_cue=_pattern(data["count_cue"], re.IGNORECASE),
        without_directions=data["without_directions"],
    )
