"""Questions about the way to the answer, judged: steps in order, roots and lifts, stages.

What a line, a match or a stage says is read from its words and proved by itself: each set of
residues that is named is compared with all solutions modulo its own modulus, found the second
way.  A line or a prompt that is none of those known here is unchecked.

Notation: m modulus, p prime, k exponent.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from itembank.audit import ways
from itembank.audit.budget import LINE, TRIED
from itembank.audit.phrases import Lifts, Phrases, Stages
from itembank.audit.prose import Lines, text_of
from itembank.audit.question import LETTERED, Asked, congruences, unlettered
from itembank.audit.reckoning import read_line
from itembank.audit.seen import SeenItem, SeenStage
from itembank.audit.squeezed import Known, squeezed
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import Congruence, Question, read, solutions
from itembank.second_way.verdict import done
from itembank.values.errors import StatementError
from itembank.values.worded import worded, wording

HOW = done("every residue tried modulo each number that is named")

Residues = tuple[int, ...]


def congruence_of(question: Question) -> Congruence:
    if not isinstance(question, Congruence) or not 1 < question.modulus <= TRIED:
        raise Unsupported(worded("a derivation of what is no congruence in one unknown"))
    return question


def solved_modulo(question: Congruence, q: int) -> Residues:
    """All solutions of the congruence modulo q, a divisor of its modulus."""
    if q < 2 or question.modulus % q:
        raise Unsupported(
            worded("a step modulo {q} towards one modulo {modulus}", q=q, modulus=question.modulus)
        )
    found = solutions(modulo(question, q))
    if found is None:
        raise Unsupported(worded("solutions modulo {q} that are too many to list", q=q))
    return found


def modulo(question: Congruence, q: int) -> Congruence:
    coefficients = [c % q for c in question.coefficients]
    while coefficients and not coefficients[-1]:
        coefficients.pop()
    return replace(question, coefficients=tuple(coefficients), modulus=q)


def factors(m: int) -> tuple[tuple[int, int], ...]:
    """The prime powers p^k of m, by trial, p increasing."""
    found, p = [], 2
    while m > 1:
        if p * p > m:
            p = m
        k = 0
        while m % p == 0:
            m, k = m // p, k + 1
        found += [(p, k)] if k else []
        p += 1
    return tuple(found)


# ------------------------------------------------------------ steps in order


@dataclass(frozen=True)
class _Told:
    """A step of the method: its place among the steps, and what it says that is not so.

    untrue: whether it claims all solutions modulo the numbers of its place, and other ones.
    """

    place: int
    faults: tuple[str, ...] = ()
    untrue: bool = False


SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")

_FOUND = re.compile(r"\b[a-z] ≡ ([0-9]+(?:, ?[0-9]+)*) \(mod ([0-9]+)\)")


def _numbers(text: str) -> Residues:
    return tuple(map(int, text.split(",")))


def _found_in(text: str, phrases: Phrases) -> dict[int, Residues]:
    """The residues that a line names, by their modulus; all of it must be said so."""
    found = {int(m): _numbers(rs) for rs, m in _FOUND.findall(text)}
    if re.sub(rf"[\s,]|\b(?:{phrases.answer.joint})\b", "", _FOUND.sub("", text)):
        raise Unsupported(worded("the step '{text}'", text=text[:60]))
    return found


def _split(question: Congruence, text: str, _phrases: Phrases) -> _Told:
    """m = p^k · ..., the factorisation into powers of different primes."""
    powers = re.sub("([⁰¹²³⁴⁵⁶⁷⁸⁹]+)", lambda s: "^" + s[1].translate(SUPERSCRIPTS), text)
    if not re.fullmatch(r"[0-9]+ = [0-9]+(\^[0-9]+)?( ?· ?[0-9]+(\^[0-9]+)?)*", powers):
        raise Unsupported(worded("the factorisation '{text}'", text=text[:60]))
    m, product = powers.split(" = ")
    told = [(int(p), int(k or 1)) for p, _, k in (f.partition("^") for f in product.split("·"))]
    right = int(m) == question.modulus and tuple(sorted(told)) == factors(question.modulus)
    return _Told(
        0, () if right else (f"step: expected the prime powers of the modulus, got {text}",)
    )


def _named(
    question: Congruence, place: int, text: str, moduli: list[int], phrases: Phrases
) -> _Told:
    """The step that names residues, which must be all solutions modulo each of these numbers."""
    found = _found_in(text, phrases)
    if sorted(found) != sorted(moduli):
        fault = f"step: expected solutions modulo {listed(moduli)}, got '{text[:80]}'"
        return _Told(place, (fault,))
    faults = tuple(
        f"step: expected {listed(right)} modulo {q}, got {listed(found[q])}"
        for q in moduli
        if (right := solved_modulo(question, q)) != found[q]
    )
    return _Told(place, faults, any(_others(question, q, found[q]) for q in moduli))


def _others(question: Congruence, q: int, residues: Residues) -> bool:
    """Whether residues modulo q are not the solutions, however they are written."""
    return {r % q for r in residues} != set(solved_modulo(question, q))


def _solve(question: Congruence, text: str, phrases: Phrases) -> _Told:
    primes = [p for p, _k in factors(question.modulus)]
    return _named(question, 1, text, primes, phrases)


def _lift(question: Congruence, text: str, phrases: Phrases) -> _Told:
    """Solutions modulo p^j for each p whose j-th power divides m; j tells the place."""
    split_up = factors(question.modulus)
    levels = {p**j: j for p, k in split_up for j in range(2, k + 1)}
    j = max((levels.get(q, 0) for q in _found_in(text, phrases)), default=0)
    if not j:
        raise Unsupported(worded("the lift '{text}'", text=text[:60]))
    return _named(question, j, text, [p**j for p, k in split_up if k >= j], phrases)


def _combine(question: Congruence, text: str, phrases: Phrases) -> _Told:
    return _named(question, _last_level(question) + 1, text, [question.modulus], phrases)


def _check(question: Congruence, text: str, _phrases: Phrases) -> _Told:
    right = text == str(question.modulus)
    fault = f"step: expected to check modulo {question.modulus}, got {text}"
    return _Told(_last_level(question) + 2, () if right else (fault,))


def _last_level(question: Congruence) -> int:
    return max(k for _p, k in factors(question.modulus))


_STEPS: dict[str, Callable[[Congruence, str, Phrases], _Told]] = {
    "split": _split,
    "solve": _solve,
    "lift": _lift,
    "combine": _combine,
    "check": _check,
}
"""What is made of what a step says, by the names of the steps in a language's phrases."""


def words_of(text: str) -> str:
    """The text in small letters, its words one blank apart; Unsupported if it is too long."""
    if len(text) > LINE:
        raise Unsupported(
            worded("a line of {n} characters, {line} are read", n=len(text), line=LINE)
        )
    return " ".join(text.split()).lower()


def _told_step(question: Congruence, line: str, phrases: Phrases) -> _Told:
    words = words_of(line)
    for name, pattern in phrases.steps.items():
        if match := pattern.fullmatch(words):
            return _STEPS[name](question, match[1], phrases)
    raise Unsupported(worded("the step '{line}'", line=line[:60]))


def steps_in_order(
    stem: Asked, rows: Lines, lines: dict[str, str], findings: list[str], phrases: Phrases
) -> list[str]:
    """The names of the lines in the one order in which each step builds on those before.

    `rows` hold the congruences as they are shown.  Where the stem says that some lines are not
    needed, those that are untrue stay out; each other one must be of the method.
    """
    question, some = stem.question, stem.not_every
    if not _is_solved_by_primes(question, lines, phrases):
        order, faults = ways.ordered(question, lines, phrases, _shown_in(rows), some)
        findings += faults
    else:
        order = _by_primes(congruence_of(question), lines, some, findings, phrases)
    if some and len(order) == len(lines):
        findings.append(worded("lines: expected one that does not belong, as the stem says"))
    return order


def _by_primes(
    congruence: Congruence, lines: dict[str, str], some: bool, findings: list[str], phrases: Phrases
) -> list[str]:
    """The same for a congruence that is solved modulo the primes of its modulus."""
    told = {name: _told_step(congruence, line, phrases) for name, line in lines.items()}
    if some:
        told = {name: step for name, step in told.items() if not step.untrue}
    findings += (fault for step in told.values() for fault in step.faults)
    several = len(factors(congruence.modulus)) > 1
    last = _last_level(congruence)
    needed = [*([0] if several else []), *range(1, last + 1), *([last + 1] if several else [])]
    if sorted(step.place for step in told.values()) != [*needed, last + 2]:
        findings.append(worded("steps: expected each step of the method once"))
    return sorted(told, key=lambda name: told[name].place)


def _is_solved_by_primes(question: Question, lines: dict[str, str], phrases: Phrases) -> bool:
    """Whether the lines tell of a congruence solved modulo the primes of its modulus."""
    return isinstance(question, Congruence) and any(
        phrases.steps["solve"].fullmatch(words_of(line)) for line in lines.values()
    )


def _shown_in(stem: Lines) -> tuple[Congruence, ...]:
    """The congruences in one unknown that a stem shows, in its order."""
    found = []
    for formula in congruences(unlettered(stem)):
        try:
            question = read(formula.text)
        except StatementError:
            continue
        if isinstance(question, Congruence):
            found.append(question)
    return tuple(found)


def lettered_lines(stem: Lines) -> dict[str, str]:
    """The lines of a stem that stand under letters, by letter."""
    found = {}
    for line in stem:
        if match := LETTERED.fullmatch(text_of((line,))):
            found[match[1]] = match[2]
    return found


# ------------------------------------------------------------ roots and their lifts


def right_matches(
    question: Question, item: SeenItem, findings: list[str], phrases: Phrases
) -> dict[str, str]:
    """For each source the target it must be matched with; Unsupported if it cannot be said."""
    if found := _values_matched(question, item, phrases.matches):
        return found
    said = phrases.lifts
    congruence = congruence_of(question)
    words = " ".join(text_of(item.stem).split()).lower()
    given = said.given.search(words)
    split_up = factors(congruence.modulus)
    if given is None or len(split_up) != 1:
        raise Unsupported(worded("roots to match that are no solutions modulo a power of a prime"))
    p, below = split_up[0][0], int(given[1])
    if below * p != congruence.modulus:
        raise Unsupported(
            worded("lifts from {below} to {modulus}", below=below, modulus=congruence.modulus)
        )
    roots = solved_modulo(congruence, below)
    above = solved_modulo(congruence, congruence.modulus)
    shown = _numbers(given[2])
    sources = {source.identifier: _number(source.label) for source in item.sources}
    if shown != roots or tuple(sources.values()) != roots:
        findings.append(
            worded(
                "roots: expected {expected} modulo {below}, got {got}",
                expected=listed(roots),
                below=below,
                got=listed(shown),
            )
        )
    targets = {target.label: target.identifier for target in item.options}
    for label in targets:
        if label in said.explained and said.explained[label] not in words:
            findings.append(worded("stem: expected to say when a root has “{label}”", label=label))
    if len(targets) != len(item.options):
        findings.append(worded("targets: expected different ones, got one twice"))
    return {
        source: _fate([t for t in above if t % below == root], p, targets, said)
        for source, root in sources.items()
    }


def _values_matched(question: Question, item: SeenItem, known: Known) -> dict[str, str]:
    """For each number the target that holds its value; {} where no number has one to match."""
    words = squeezed(text_of(item.stem))
    said = [(name, match) for name, p in known.items() if (match := p.search(words))]
    if len(said) != 1:
        return {}
    ((name, match),) = said
    told = tuple(part.strip() for part in match.groups())
    targets = {_number(target.label): target.identifier for target in item.options}
    if len(targets) != len(item.options):
        raise Unsupported(worded("targets of which two are the same number"))
    sources = {source.identifier: _number(source.label) for source in item.sources}
    values = {source: ways.value_of(question, name, told, n) for source, n in sources.items()}
    if not targets.keys() >= set(values.values()) or len(set(sources.values())) < len(sources):
        raise Unsupported(worded("a number to match whose value no target names"))
    return {source: targets[value] for source, value in values.items()}


def _fate(lifts: list[int], p: int, targets: dict[str, str], said: Lifts) -> str:
    """The target for a root with these lifts."""
    label = {0: said.none, 1: "".join(map(str, lifts[:1])), p: said.every}.get(len(lifts))
    if label is None or label not in targets:
        raise Unsupported(worded("{n} lifts that no target names", n=len(lifts)))
    return targets[label]


def _number(label: str) -> int:
    if not re.fullmatch("[0-9]{1,20}", label):
        raise Unsupported(worded("the source '{label}'", label=label[:60]))
    return int(label)


# ------------------------------------------------------------ stages


def right_stages(
    question: Question, item: SeenItem, findings: list[str], phrases: Phrases
) -> Iterator[Residues | str]:
    """What each stage must hold: residues, or the identifier of an option."""
    said = phrases.stages
    prompts = [text_of(stage.prompt) for stage in item.stages]
    if any(_is_prompt(prompt, phrases.prompts) for prompt in prompts):
        yield from _numbers_asked(question, prompts, _shown_in(item.stem), findings, phrases)
        return
    congruence, last = congruence_of(question), 0
    for n, stage in enumerate(item.stages, 1):
        text = words_of(text_of(stage.prompt))
        if match := said.all.fullmatch(text):
            if int(match[3]) != int(match[2]) - 1:
                findings.append(
                    worded(
                        "stage {n}: expected 0 to {last}, got {got}",
                        n=n,
                        last=int(match[2]) - 1,
                        got=match[3],
                    )
                )
            last = int(match[2])
            yield solved_modulo(congruence, last)
        elif match := said.singular.fullmatch(text):
            if match[2] != match[4]:
                findings.append(
                    worded(
                        "stage {n}: expected one prime, got {one} and {other}",
                        n=n,
                        one=match[2],
                        other=match[4],
                    )
                )
            yield _singular(congruence, int(match[2]), match[3], stage, said)
        else:
            raise Unsupported(worded("the stage '{text}'", text=text[:80]))
        if match[1] != str(n):
            findings.append(worded("stage {n}: expected its number, got {got}", n=n, got=match[1]))
    if last != congruence.modulus:
        findings.append(
            worded("stages: expected the last one modulo {modulus}", modulus=congruence.modulus)
        )


def _is_prompt(text: str, known: Known) -> bool:
    """Whether a prompt asks for numbers on the way, and not for all solutions alone."""
    return any(name != "all" and p.fullmatch(squeezed(text)) for name, p in known.items())


def _numbers_asked(
    question: Question,
    prompts: list[str],
    rows: tuple[Congruence, ...],
    findings: list[str],
    phrases: Phrases,
) -> Iterator[Residues]:
    """What each of the stages on the way to the answer must hold."""
    expected = ways.stages(question, rows)
    if len(expected) != len(prompts):
        findings.append(
            worded(
                "stages: expected {expected}, got {got}", expected=len(expected), got=len(prompts)
            )
        )
    for n, (prompt, (name, told, values)) in enumerate(zip(prompts, expected, strict=False), 1):
        read = read_line(prompt, phrases.prompts, phrases.answer.joint)
        if (name, (str(n), *told)) not in read:
            findings.append(
                worded(
                    "stage {n}: expected to ask for {name} {of}, got {prompt}",
                    n=n,
                    name=name,
                    of=" ".join(told),
                    prompt=prompt,
                )
            )
        yield values


def _singular(question: Congruence, p: int, polynomial: str, stage: SeenStage, said: Stages) -> str:
    """The option that says at how many roots modulo p the derivative vanishes."""
    try:
        stated = read(f"{polynomial} = 0 mod {p}")
    except StatementError as reason:
        raise Unsupported(wording(reason)) from None
    same = modulo(question, p).coefficients
    if not isinstance(stated, Congruence) or stated.coefficients not in (
        same,
        tuple(-c % p for c in same),
    ):
        raise Unsupported(
            worded(
                "the polynomial {polynomial}, which is not that of the congruence",
                polynomial=polynomial[:60],
            )
        )
    roots = solved_modulo(question, p)
    slope = [i * c for i, c in enumerate(question.coefficients)][1:]
    zeros = [r for r in roots if sum(c * r**i for i, c in enumerate(slope)) % p == 0]
    meant = "none" if not zeros else "all" if len(zeros) == len(roots) else "some"
    options = {said.how_many.get(o.label): o.identifier for o in stage.options}
    if len(options) != len(stage.options) or None in options:
        raise Unsupported(
            worded("a stage with an option that is not known, or two that say the same")
        )
    if meant not in options or not roots:
        raise Unsupported(worded("a stage in which no option is right"))
    return options[meant]


def listed(values: Residues | list[int]) -> str:
    return ", ".join(map(str, values)) or "none"
