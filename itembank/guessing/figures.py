"""What guessers score over the questions of a family or of a group, and what else gives keys away.

A `Tally` meets the questions one by one, in their order, since some habits go by the answers that
were right before; `Figures` is what it comes to. All shares are exact.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import perm
from typing import TypeVar

from itembank.guessing import cheap, strategies
from itembank.guessing.question import EXAMPLE, WITH_COUNT, Answer, Past, Question, first_words
from itembank.guessing.strategies import size_of
from itembank.languages import Said

_T = TypeVar("_T")

ENOUGH = 200
"""Questions of a family over which guessers are scored."""

_HONEST = Fraction(3, 5)
"""The least share of the steps of the method that the shortest way should take."""


@dataclass(frozen=True)
class Score:
    """A strategy and what it scores on average; `after`: the habit that decides for it."""

    name: Said
    share: Fraction
    after: Said | None = None


@dataclass(frozen=True, kw_only=True)
class Figures:
    """What gives keys away, over `questions` in one form; None where a figure has no meaning.

    chance: of a blind guess.  best: without arithmetic.  once: with one substitution.
    small: with a short modulus, or small numbers tried.
    places: for each place the share of keys there, and the share that is due to it.
    example: the best guess where any one of several numbers is right.
    commonest: the commonest key; of `keys` different ones.  true: the share of true claims.
    none: the share of "no solutions", where students may say so.
    sizes: how many answers have so many solutions.
    settled: substitutions that settle the boxes, for each box, on average.
    arranged: the commonest arrangement.  stage: the commonest answer of a stage.
    shortcuts: the share of questions of which the shortest way is shorter than _HONEST.
    """

    form: str
    questions: int
    chance: Fraction | None = None
    best: Score | None = None
    once: Score | None = None
    small: Score | None = None
    places: tuple[tuple[Fraction, Fraction], ...] = ()
    example: Fraction | None = None
    commonest: Fraction | None = None
    keys: int = 0
    true: Fraction | None = None
    none: Fraction | None = None
    sizes: tuple[tuple[int, int], ...] = ()
    settled: Fraction | None = None
    arranged: Fraction | None = None
    stage: Fraction | None = None
    shortcuts: Fraction | None = None

    @property
    def is_uneven(self) -> bool:
        """Whether true claims and false ones differ by more than their number demands."""
        return self.true is not None and abs(2 * self.true - 1) * self.questions > 1

    @property
    def above_chance(self) -> Fraction:
        """What the best strategy without arithmetic is worth."""
        return self.best.share - (self.chance or 0) if self.best else Fraction()


Met = Sequence[tuple[Question, Answer]]
"""The question of an item and its key; or those of each stage."""


@dataclass
class Tally:
    """The questions met so far, all in one form.

    radical: whether the number of solutions is the theme, and not to be guessed.
    right: by strategy and by how many answers it holds alike, how many of these were right.
    weighed: what each of those with some arithmetic has scored.
    """

    form: str
    radical: bool = False
    questions: int = 0
    past: Past = field(default_factory=Past)
    right: Counter[tuple[int, int]] = field(default_factory=Counter)
    weighed: defaultdict[int, Fraction] = field(default_factory=lambda: defaultdict(Fraction))
    chance: Fraction | None = Fraction()
    due: defaultdict[int, Fraction] = field(default_factory=lambda: defaultdict(Fraction))
    none: int | None = None
    settled: Fraction = Fraction()
    tried: int = 0
    shortcuts: int = 0
    stages: defaultdict[int, Counter[Answer]] = field(default_factory=lambda: defaultdict(Counter))
    counts: bool = False
    examples: bool = False

    def meet(self, met: Met, steps: int = 0) -> None:
        """One question more; `steps` are those of the method, 0 where they are not known."""
        self.questions += 1
        if self.form == "guided":
            for n, (_question, key) in enumerate(met):
                self.stages[n][key] += 1
            return
        ((question, key),) = met
        self.guess(question, key)
        self.look(question, key, steps)
        self.remember(question, key)

    def guess(self, question: Question, key: Answer) -> None:
        keys = _keys_of(question, key)
        for n, strategy in enumerate(strategies.for_form(self.form)):
            tied = strategy.guess(question, self.past)
            if right := sum(guess in keys for guess in tied):
                self.right[n, len(tied)] += right
        for n, weighed in enumerate(cheap.for_form(self.form)):
            if weight := weighed.weigh(question, self.past).get(key):
                self.weighed[n] += weight

    def look(self, question: Question, key: Answer, steps: int) -> None:
        blind = chance(question)
        self.chance = None if blind is None or self.chance is None else self.chance + blind
        if question.form == "select one":
            for n in range(len(question.options)):
                self.due[n] += Fraction(1, len(question.options))
        if question.offers_none:
            self.none = (self.none or 0) + _is_none(question, key)
        if question.form == "select all":
            boxes = len(strategies.residues(question))
            self.settled += Fraction(cheap.substitutions_that_settle(question), boxes or 1)
        if steps and (way := cheap.shortest_way(question)) is not None:
            self.tried += 1
            self.shortcuts += way < _HONEST * steps
        self.examples |= question.ask == EXAMPLE
        self.counts |= question.ask in WITH_COUNT

    def remember(self, question: Question, key: Answer) -> None:
        past, options = self.past, {o.name: n for n, o in enumerate(question.options)}
        past.keys.update(_keys_of(question, key))
        past.measures.append(size_of(question))
        past.sizes[_solutions(question, key)] += 1
        if question.form == "select one":
            past.places[options[str(key[0])]] += 1
            past.texts[question.options[options[str(key[0])]].text] += 1
        elif options:
            names = [str(name).rpartition(" ")[2] for name in key]
            past.arrangements[tuple(options[name] for name in names)] += 1
            if question.form == "order":
                texts = [question.options[options[name]].text for name in names]
                words = tuple(map(first_words, texts))
                if len(set(words)) == len(words):
                    past.worded[words] += 1

    # -------------------------------------------------------- what it comes to

    def figures(self) -> Figures:
        n = self.questions
        if not n:
            return Figures(form=self.form, questions=0)
        past, form = self.past, self.form
        entry = form in strategies.ENTRIES
        true = past.keys[strategies.TRUE]
        scores = self.scores
        best = self._greatest(
            Score(s.name, scores[i] / n) for i, s in enumerate(strategies.for_form(form))
        )
        return Figures(
            form=form,
            questions=n,
            chance=self.chance / n if self.chance else None,
            best=best,
            example=best.share if best and self.examples else None,
            once=self._greatest(self._with_arithmetic(single=True)),
            small=self._greatest(self._with_arithmetic(single=False)),
            places=tuple(
                (Fraction(past.places[i], n), share / n) for i, share in sorted(self.due.items())
            ),
            commonest=Fraction(max(past.keys.values()), n) if entry else None,
            keys=len(past.keys),
            true=Fraction(true, n) if form == "solvable or not" else None,
            none=None if self.none is None else Fraction(self.none, n),
            sizes=tuple(sorted(past.sizes.items())) if self._tells_sizes else (),
            settled=self.settled / n if form == "select all" else None,
            arranged=self.arranged(),
            stage=max((Fraction(max(c.values()), n) for c in self.stages.values()), default=None),
            shortcuts=Fraction(self.shortcuts, self.tried) if self.tried else None,
        )

    @property
    def scores(self) -> Mapping[int, Fraction]:
        """What each strategy has scored: of answers that it holds alike, one is given."""
        found: defaultdict[int, Fraction] = defaultdict(Fraction)
        for (n, tied), right in self.right.items():
            found[n] += Fraction(right, tied)
        return found

    @property
    def _tells_sizes(self) -> bool:
        return self.counts and self.form != "match" and not self.radical

    def _with_arithmetic(self, single: bool) -> Iterable[Score]:
        for i, c in enumerate(cheap.for_form(self.form)):
            if c.single == single and self.weighed[i]:
                yield Score(c.name, self.weighed[i] / self.questions, c.after)

    def _greatest(self, scores: Iterable[Score]) -> Score | None:
        return max(scores, key=lambda score: score.share, default=None)

    def arranged(self) -> Fraction | None:
        if self.form not in ("order", "match"):
            return None
        places, words = self.past.arrangements, self.past.worded
        found = _share_of_commonest(places)
        return max(found, Fraction(max(words.values()), self.questions)) if words else found


def _keys_of(question: Question, key: Answer) -> tuple[Answer, ...]:
    """What scores: the key; of an example each of the numbers that are right."""
    return tuple((n,) for n in key) if question.ask == EXAMPLE else (key,)


def _share_of_commonest(counted: Counter[_T]) -> Fraction:
    return Fraction(max(counted.values()), counted.total())


def _is_none(question: Question, key: Answer) -> bool:
    """Whether the key says that there is no solution."""
    if not question.options:
        return not key
    return not any(o.elements for o in question.options if o.name in key)


def _solutions(question: Question, key: Answer) -> int:
    """How many numbers or pairs the key lists."""
    if question.options and question.form in ("select one", "select all"):
        return sum(len(o.elements) for o in question.options if o.name in key)
    return len(key)


def chance(question: Question) -> Fraction | None:
    """What a blind guess scores; None where every number could be typed."""
    n = len(question.options)
    match question.form:
        case "select one":
            return Fraction(1, n)
        case "select all":
            return Fraction(1, 2**n)
        case "solvable or not":
            return Fraction(1, 2)
        case "order" if question.some:
            return Fraction(1, sum(perm(n, k) for k in range(1, n)))
        case "order":
            return Fraction(1, perm(n))
        case "match":
            return Fraction(1, n ** len(question.sources))
        case "integer" if question.modulus:
            return Fraction(1, question.modulus)
    return None
