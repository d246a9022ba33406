"""An item's own scoring, tried with answers whose worth is known.

`Trial` runs a response, compares the score with what the stem promises, and
keeps which feedback was shown.  What is tried: the key; every single change of
it; nothing; everything; each option alone; spellings, orders and
representatives of typed answers; and whatever the scoring itself compares with,
which are the answers of the slips.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from functools import cache, lru_cache
from itertools import islice, permutations

from itembank.audit.budget import CHARACTERS
from itembank.audit.question import Asked, modulus_of
from itembank.audit.seen import Response, SeenItem, SeenStage
from itembank.values.worded import worded

_ORDERS = 24
"""How many orders of a list are tried where any is allowed."""

Alike = Callable[[Response], Iterable[Response]]
"""Other ways in which the same answer may be given."""

_PRAISE = "=right"
"""How the name of a feedback ends that is for right answers alone."""

_OTHERWISE = "=otherwise"
"""How the name of a feedback ends that is for wrong answers which no slip explains."""


class Trial:
    """Runs responses against `worth`, the score that each must get, and collects the findings."""

    def __init__(self, item: SeenItem, worth: Callable[[Response], Fraction]) -> None:
        self.item = item
        self.worth = cache(worth)
        self.grade = cache(item.grade)
        self.findings: list[str] = []
        self.shown_for_key: frozenset[str] = frozenset()
        self.wrong: list[Response] = []
        self.shown_for_wrong: list[frozenset[str]] = []
        self.shown_for_right: list[frozenset[str]] = []
        self.told: list[tuple[str, Response]] = []
        """Each feedback with a wrong answer that shows it."""

    def run(self, responses: Iterable[Response], alike: Alike = lambda _response: ()) -> None:
        """The key first, then each of the responses once, and those that are told a slip again.

        `alike` gives the same answer in other words.
        """
        key = self.item.declared
        self.shown_for_key = self.graded(key)
        for response in dict.fromkeys(responses):
            if response != key:
                shown = self.graded(response)
                if response and self.worth(response) < self.worth(key):
                    self.wrong.append(response)
                    self.shown_for_wrong.append(shown)
                    self.told += [(name, response) for name in shown]
                elif response:
                    self.shown_for_right.append(shown)
        self._judge_feedback()
        self._told_alike(key, alike(key))
        wrong = frozenset(self.wrong)
        for response in dict.fromkeys(self.item.probes):
            if response in wrong:
                self._told_alike(response, alike(response))

    def _told_alike(self, response: Response, others: Iterable[Response]) -> None:
        """The same answer is told the same, however it is typed: at the first that is not, a line.

        A condition that names one number otherwise than the rest of it shows its remark to some.
        """
        expected = self.grade(response).shown
        for other in others:
            if other != response and self.graded(other) != expected:
                self._finding_once(
                    f"feedback: expected for {self.words(other)} what {self.words(response)} is"
                    " told, got another"
                )
                break

    def graded(self, response: Response) -> frozenset[str]:
        grade, expected = self.grade(response), self.worth(response)
        if grade.score != expected:
            self.findings.append(
                worded(
                    "scoring: expected {expected} for {answer}, got {score}",
                    expected=expected,
                    answer=self.words(response),
                    score=grade.score,
                )
            )
        for habit in grade.otherwise:
            self.findings.append(
                worded(
                    "scoring: expected the same score for {answer} in readers that "
                    "{habit}, got another",
                    answer=self.words(response),
                    habit=habit,
                )
            )
        return grade.shown

    def _judge_feedback(self) -> None:
        """Feedback that is shown for the key is shown always; every other for a wrong answer.

        What is called `right` is shown for every right answer, and for no other.
        """
        praise = {name for name in self.item.feedback if name.endswith(_PRAISE)}
        for shown in (self.shown_for_key, *self.shown_for_right):
            for name in sorted(praise - shown):
                self._finding_once(
                    f"feedback {name}: expected for each right answer, got one without"
                )
        wrongly = praise & set[str]().union(*self.shown_for_wrong)
        for name in sorted(wrongly):
            self._finding_once(
                f"feedback {name}: expected for right answers, got it for a wrong one"
            )
        for name in sorted(self.shown_for_key - self.always - praise):
            self.findings.append(
                worded(
                    "feedback {name}: expected for a wrong answer, got it for the key", name=name
                )
            )
        self.findings += self._untold()
        never = (
            set(self.item.feedback)
            - praise
            - self.shown_for_key
            - set().union(*self.shown_for_wrong)
        )
        for name in sorted(never):
            self.findings.append(
                worded("feedback {name}: expected an answer that shows it, got none", name=name)
            )

    def _untold(self) -> Iterator[str]:
        """Wrong answers that are told nothing, where some are told what to do without a slip."""
        for name in self.item.feedback:
            if not name.endswith(_OTHERWISE):
                continue
            others = self.always - {name}
            for response, shown in zip(self.wrong, self.shown_for_wrong, strict=True):
                if not shown - others and _whole(self.item, response):
                    yield worded(
                        "feedback {name}: expected for {answer}, got none",
                        name=name,
                        answer=self.words(response),
                    )
                    break

    def _finding_once(self, finding: str) -> None:
        if finding not in self.findings:
            self.findings.append(finding)

    @property
    def always(self) -> frozenset[str]:
        """The feedback that every wrong answer shows."""
        return (
            frozenset.intersection(*self.shown_for_wrong) if self.shown_for_wrong else frozenset()
        )

    def words(self, response: Response) -> str:
        """A response as the student gave it."""
        if not response:
            return "no response"
        if self.item.form == "text":
            return f"'{response[0][:60]}'"
        if self.item.form in ("entries", "stages"):
            return ", ".join(f"'{text[:60]}'" for text in response)
        if self.item.form in ("order", "pairs"):
            return f"[{'; '.join(response)}]"
        labels = {o.identifier: o.label for o in self.item.options}
        key = " (the key)" if set(response) == set(self.item.declared) else ""
        return "{" + "; ".join(labels.get(r, r) for r in response) + "}" + key


def _whole(item: SeenItem, response: Response) -> bool:
    """Whether a response answers all that is asked; a text, by an integer or several."""
    if item.form == "text":
        return integer(response) is not None or len(typed_list(response, "") or ()) > 1
    if item.form == "entries":
        return all(integer((text,)) is not None for text in response if text)
    return all(response)


# ------------------------------------------------------------ choices


def ticks(item: SeenItem) -> Iterator[Response]:
    """Nothing, everything, each single change of the key, and what the scoring names."""
    every = tuple(o.identifier for o in item.options)
    key = set(item.declared)
    yield ()
    yield every
    for changed in every:
        yield tuple(i for i in every if (i in key) != (i == changed))
    yield from _ordered_probes(item)


def single_choices(item: SeenItem) -> Iterator[Response]:
    """Nothing, and each option alone."""
    yield ()
    for option in item.options:
        yield (option.identifier,)


def _ordered_probes(item: SeenItem) -> Iterator[Response]:
    """The probes that are sets of options, in the order of the options."""
    places = {o.identifier: i for i, o in enumerate(item.options)}
    for probe in item.probes:
        if all(p in places for p in probe):
            yield tuple(sorted(set(probe), key=places.__getitem__))


def all_or_nothing(item: SeenItem, full: Fraction) -> Callable[[Response], Fraction]:
    key = frozenset(item.declared)
    return lambda response: full if frozenset(response) == key else Fraction(0)


def plus_minus(item: SeenItem) -> Callable[[Response], Fraction]:
    """1 for each right tick, -1 for each wrong one, not below 0."""
    key = frozenset(item.declared)

    def worth(response: Response) -> Fraction:
        right = len(key.intersection(response))
        return Fraction(max(0, right - (len(response) - right)))

    return worth


# ------------------------------------------------------------ typed integers


def integers(item: SeenItem, asked: Asked, key: int) -> Iterator[Response]:
    """The key, neighbours, other representatives, and what is no integer."""
    m = asked.question.modulus or 1  # without a modulus no other integer is the same answer
    yield ()
    for n in (key, key + 1, key - 1, key + m, key - m, key - 3 * m, -key, 0, 1):
        yield (str(n),)
    yield ("x",)
    for more in (",", ".5", "e0", "abc"):
        yield (f"{key}{more}",)
    if not item.exact:
        yield (f" {key} ",)
        yield (_loosely(key),)
        yield (_loosely(key, "+"),)
    yield from item.probes


def examples(item: SeenItem, low: int, high: int, m: int) -> Iterator[Response]:
    """Every number of the range, those beside it, other representatives, and what is no integer."""
    yield ()
    yield ("x",)
    for n in range(low - 1, high + 2):
        yield (str(n),)
        if n in (low, high):
            yield from ((f"{n}{more}",) for more in (",", ".5", "abc"))
    for text in item.declared:
        n = integer((text,)) or 0
        yield from ((str(other),) for other in (n + m, n - m, -n))
        if not item.exact:
            yield from ((spelled,) for spelled in (f" {n} ", _loosely(n), _loosely(n, "+")))
    yield from item.probes


def example_worth(right: tuple[int, ...], full: Fraction) -> Callable[[Response], Fraction]:
    """Full for each of these numbers."""
    known = frozenset(right)

    def worth(response: Response) -> Fraction:
        return full if integer(response) in known else Fraction(0)

    return worth


def _loosely(n: int, plus: str = "") -> str:
    """The integer as a student may write it too, with a zero before it, and a plus sign or none."""
    return f"-0{-n}" if n < 0 else f"{plus}0{n}"


def integer_worth(asked: Asked, key: int, full: Fraction) -> Callable[[Response], Fraction]:
    def worth(response: Response) -> Fraction:
        n = integer(response)
        if n is None:
            return Fraction(0)
        right = (
            (n - key) % modulus_of(asked.question) == 0 if asked.any_representative else n == key
        )
        return full if right else Fraction(0)

    return worth


def integers_alike(item: SeenItem, asked: Asked) -> Alike:
    """The integer spelled otherwise, and others of its class where any of them is asked for."""

    def alike(response: Response) -> Iterator[Response]:
        n = integer(response)
        if n is None or item.exact:
            return
        yield (_loosely(n, "+"),)
        if asked.any_representative:
            m = modulus_of(asked.question)
            for shift in _SHIFTS:
                yield (str(n + shift * m),)

    return alike


_SHIFTS = (1, -1, -1000)
"""How many moduli lie between an integer and others that stand for the same class."""


def integer(response: Response) -> int | None:
    """The integer typed; None if the text is none, or longer than any that is asked for."""
    return _number(response[0]) if len(response) == 1 else None


@lru_cache(maxsize=1_024)
def _number(text: str) -> int | None:
    if len(text) > CHARACTERS:
        return None
    text = text.strip().replace("−", "-")
    return int(text) if _INTEGER.fullmatch(text) else None


_INTEGER = re.compile(r"[+-]?[0-9]+")


# ------------------------------------------------------------ typed lists


def lists(item: SeenItem, asked: Asked, key: tuple[int, ...]) -> Iterator[Response]:
    """Spellings of the key, other orders, lists with one missing or too many, and the rest."""
    m = modulus_of(asked.question)
    yield ()
    if asked.none:
        yield (asked.none,)
    yield ("x",)
    yield ("0",)
    for spelling in _spellings(key, item.exact):
        yield (spelling,)
    for order in islice(permutations(key), _ORDERS):
        yield (_commas(order),)
    yield (_commas(key[::-1]),)
    for i in range(len(key)):
        yield (_commas(key[:i] + key[i + 1 :]),)
        yield (_commas((*key[:i], key[i] + m, *key[i + 1 :])),)
    for extra in others(key, m, 1):
        yield (_commas(tuple(sorted((*key, extra)))),)
    yield (_commas((*key, *key[-1:])),)
    yield ("".join(map(str, key)),)
    yield from item.probes


# ------------------------------------------------------------ several entries


def entries(item: SeenItem, asked: Asked, key: tuple[int, ...]) -> Iterator[Response]:
    """The key in every order and place, other representatives, one missing, wrong, too many."""
    m, n = modulus_of(asked.question), item.most
    yield ()
    yield ("0",)
    for order in islice(permutations(key), _ORDERS):
        yield tuple(map(str, order))
    spare = ("",) * (n - len(key))
    for i in range(len(key)):
        yield (*map(str, key[:i]), *spare, *map(str, key[i:]))
    for shift in (m, -m, -1000 * m):
        yield tuple(str(x + shift) for x in key)
    wrong = others(key, m, 3)
    yield tuple(_loosely(x, "+") for x in key)
    for i in range(len(key)):
        yield tuple(str(x) for j, x in enumerate(key) if j != i)
        for x in wrong:
            yield tuple(str(x if j == i else y) for j, y in enumerate(key))
    for x in (*wrong, *(k + m for k in key[:1])):
        if len(key) < n:
            yield (*map(str, key), str(x))
    yield from (probe for probe in item.probes if len(probe) <= n)


def others(key: tuple[int, ...], m: int, most: int) -> list[int]:
    """The least residues modulo m that are not in the key, at most so many.

    As few are looked at as that takes: m may be any number.
    """
    known = set(key)
    return list(islice((x for x in range(m) if x not in known), most))


def entries_worth(
    asked: Asked, key: tuple[int, ...], full: Fraction
) -> Callable[[Response], Fraction]:
    """Full for every class of the key and nothing else, however often."""
    m = modulus_of(asked.question)

    def worth(response: Response) -> Fraction:
        typed = [integer((text,)) for text in response if text]
        if not typed or None in typed:
            return Fraction(0)
        right = {n % m for n in typed if n is not None} == set(key)
        return full if right else Fraction(0)

    return worth


def entries_alike(item: SeenItem, asked: Asked) -> Alike:
    """The integers each in every entry once, blanks around them, as negative ones of their classes.

    Of these the quotients are told otherwise in some readers, and no modulus but the right one
    leaves the same.
    """
    m = modulus_of(asked.question)

    def alike(response: Response) -> Iterator[Response]:
        typed = [integer((text,)) for text in response]
        if None in typed:
            return
        entries = [*typed, *[None] * (item.most - len(typed))]
        for turn in range(len(entries)):
            shift = m * (-1000 if turn % 2 else -1)
            turned = entries[-turn:] + entries[:-turn]
            yield tuple("" if n is None else str(n + shift) for n in turned)

    return alike


def _commas(values: tuple[int, ...]) -> str:
    return ", ".join(map(str, values))


def _spellings(key: tuple[int, ...], exact: bool) -> Iterator[str]:
    """How a list may be typed: what the stem shows, and where patterns are, what it forgives."""
    entries = list(map(str, key))
    if not entries:
        return
    yield ", ".join(entries)
    yield ",".join(entries)
    if any(n < 0 for n in key):
        yield ", ".join(entries).replace("-", "\N{MINUS SIGN}")
    if not exact:
        yield " " + " , ".join(entries) + "  "
        for joint in (" ", "; ", ";"):
            yield joint.join(entries)
        yield "{" + ", ".join(entries) + "}"
        yield ", ".join(map(_loosely, key))
        yield ",\N{NO-BREAK SPACE}".join(_loosely(n, "+") for n in key)


def list_worth(
    asked: Asked, key: tuple[int, ...], full: Fraction
) -> Callable[[Response], Fraction]:
    def worth(response: Response) -> Fraction:
        typed = typed_list(response, asked.none)
        if typed is None:
            return Fraction(0)
        right = sorted(typed) == sorted(key) if asked.any_order else typed == key
        return full if right else Fraction(0)

    return worth


def typed_list(response: Response, none: str) -> tuple[int, ...] | None:
    """The integers typed, () for the word that says there is none; None for what is no list."""
    if len(response) != 1 or not 0 < len(response[0].strip()) <= CHARACTERS:
        return None
    text = response[0].strip()
    if none and text.lower() == none.lower():
        return ()
    if text.startswith("{") and text.endswith("}"):
        text = text[1:-1]
    words = text.replace(",", " ").replace(";", " ").split()
    found = [_number(word) for word in words]
    return tuple(n for n in found if n is not None) if found and None not in found else None


def lists_alike(item: SeenItem, asked: Asked) -> Alike:
    """The list in other spellings, and backwards where any order is."""

    def alike(response: Response) -> Iterator[Response]:
        values = typed_list(response, asked.none)
        if values and not item.exact:
            yield (" {" + " ; ".join(_loosely(n, "+") for n in values) + "} ",)
            if asked.any_order:
                yield (_commas(values[::-1]),)

    return alike


# ------------------------------------------------------------ orders, pairs, stages


def orders(item: SeenItem) -> Iterator[Response]:
    """Nothing, the lines as they are shown, backwards, neighbours exchanged, and the slips."""
    key = item.declared
    yield ()
    yield tuple(o.identifier for o in item.options)
    yield key[::-1]
    for i in range(len(key) - 1):
        yield (*key[:i], key[i + 1], key[i], *key[i + 2 :])
    yield from (probe for probe in item.probes if sorted(probe) == sorted(key))


def exactly(item: SeenItem, full: Fraction) -> Callable[[Response], Fraction]:
    return lambda response: full if response == item.declared else Fraction(0)


def pairings(item: SeenItem) -> Iterator[Response]:
    """Nothing, the pairs in another order, each left out or made otherwise, and the slips."""
    key = item.declared
    yield ()
    yield key[::-1]
    for i, pair in enumerate(key):
        source = pair.split()[0]
        yield (*key[:i], *key[i + 1 :])
        for target in item.options:
            yield (*key[:i], f"{source} {target.identifier}", *key[i + 1 :])
    yield from (probe for probe in item.probes if len(probe) == len(key))


def stages(item: SeenItem) -> Iterator[Response]:
    """Each stage left blank, alone, wrong, spelled otherwise; and the slips."""
    key = item.declared
    blank = ("",) * len(key)
    yield blank
    for i, (text, stage) in enumerate(zip(key, item.stages, strict=True)):
        others = [o.identifier for o in stage.options]
        if not others:
            values = typed_list((text,), "")
            spelled = list(_spellings(values, item.exact)) if values else [text.upper()]
            others = [*spelled, f"{text}, 1", "0", "x"]
        for given in ("", *others):
            yield (*key[:i], given, *key[i + 1 :])
        yield (*blank[:i], text, *blank[i + 1 :])
    yield from (probe for probe in item.probes if len(probe) == len(key))


def stages_alike(item: SeenItem, asked: Asked) -> Alike:
    """What is typed in a stage, spelled otherwise."""
    parts = lists_alike(item, asked)

    def alike(response: Response) -> Iterator[Response]:
        for i, (text, stage) in enumerate(zip(response, item.stages, strict=True)):
            if text and not stage.options:
                for (spelling,) in parts((text,)):
                    yield (*response[:i], spelling, *response[i + 1 :])

    return alike


def stage_answers(
    item: SeenItem, response: Response, none: str
) -> tuple[tuple[int, ...] | str, ...]:
    """What is given in each stage: a list of residues where one is typed, else the text itself."""

    def given(text: str, stage: SeenStage) -> tuple[int, ...] | str:
        values = None if stage.options else typed_list((text,), none)
        return text if values is None else values

    return tuple(given(text, stage) for text, stage in zip(response, item.stages, strict=True))


def stages_worth(item: SeenItem, none: str) -> Callable[[Response], Fraction]:
    """1 for each stage that says what the key says."""
    key = stage_answers(item, item.declared, none)

    def worth(response: Response) -> Fraction:
        given = stage_answers(item, response, none)
        right = sum(own == k for own, k, text in zip(given, key, response, strict=True) if text)
        return Fraction(right)

    return worth
