"""The key of an item as it declares it, as a claim of mathematics: by what is asked, and the form.

Each is put to the second way, and says what an answer is worth and which are tried.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from itembank.audit import claims, derivation, grading, lines, reasons
from itembank.audit.budget import OPTIONS
from itembank.audit.phrases import Answers, Phrases
from itembank.audit.prose import text_of
from itembank.audit.question import Asked, modulus_of
from itembank.audit.ranges import LONGEST_RANGE, all_of_them, beyond_residues, listing, whole
from itembank.audit.seen import Response, SeenItem
from itembank.audit.unsupported import Unsupported
from itembank.second_way.power_root import PowerOfUnknown
from itembank.second_way.table import (
    Congruence,
    Equation,
    InverseTable,
    Question,
    TwoUnknowns,
    Verdict,
    Which,
    check_value,
    read,
    solutions,
)
from itembank.second_way.verdict import Method, done
from itembank.values.errors import StatementError
from itembank.values.worded import worded

SHOWN = 20
"""The most solutions that a finding writes out."""


@dataclass(frozen=True)
class Key:
    """The declared key as a claim of mathematics, with the verdict on it.

    `residues`: what it lists, for feedback must not print it; None for yes and no.  `pairs`:
    the same for two unknowns.  `alike`: other ways to give a typed answer, which are told the same.
    """

    verdict: Verdict
    residues: tuple[int, ...] | None
    worth: Callable[[Response], Fraction]
    responses: Iterable[Response]
    pairs: tuple[tuple[int, int], ...] = ()
    alike: grading.Alike = lambda _response: ()


def form_of(stem: Asked, item: SeenItem) -> tuple[str, str]:
    """The ask and the form; Unsupported for a pair, or a stem, that cannot be judged."""
    form = (stem.ask, item.form)
    if len(item.options) > OPTIONS:
        raise Unsupported(
            worded("{n} options, {options} are read", n=len(item.options), options=OPTIONS)
        )
    for choices in (item.options, item.sources, *(stage.options for stage in item.stages)):
        if len({option.identifier for option in choices}) != len(choices):
            raise Unsupported(worded("two options of one identifier"))
    if form not in KEYS:
        raise Unsupported(worded("{ask} answered by {form}", ask=stem.ask, form=item.form))
    if stem.stages != len(item.stages):
        raise Unsupported(
            worded(
                "{stages} stages promised, {n} to fill in", stages=stem.stages, n=len(item.stages)
            )
        )
    if stem.points is None and item.form not in ("any", "stages"):
        raise Unsupported(worded("points by ticks where nothing is ticked"))
    if (
        stem.ask == "all solutions"
        and item.form not in ("one", "pairs")
        and not (stem.none or stem.solvable)
    ):
        raise Unsupported(worded("a stem that does not say what to answer if there is no solution"))
    if stem.ask == "all solutions" and item.form == "text" and stem.any_order is None:
        raise Unsupported(worded("a stem that does not say in which order to type the solutions"))
    return form


def wrong_key(key: Key, stem: Asked, item: SeenItem) -> str:
    """Which solutions were expected and which were declared, where they can be written out."""
    if stem.low is not None or stem.high is not None:
        return key.verdict.message
    found = solutions(stem.question)
    whole_set = stem.ask == "all solutions" and item.form != "stages"
    if not whole_set or found is None or len(found) > SHOWN or key.residues is None:
        return key.verdict.message
    return f"expected {listing(found)}, got {listing(sorted(key.residues))}"


def full_score(item: SeenItem, stem: Asked) -> Fraction:
    """What the scoring must give for the key."""
    if item.full is not None:
        return item.full
    return Fraction(len(item.declared)) if stem.points is None else stem.points


# ------------------------------------------------------------ the key, by ask and form


def _ticked_key(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
    """All solutions, each an option to tick; one more option for none."""
    meant = _options_as_residues(item, stem, findings, phrases.answer)
    ticked = [meant[i] for i in _known(item.declared, item)]
    if item.most and item.most < len(item.options):
        findings.append(
            worded("options: expected any number of ticks, got at most {most}", most=item.most)
        )
    if any(len(residues) > 1 for residues in meant.values()):
        raise Unsupported(worded("an option that holds several residues, to tick one by one"))
    if () in ticked and len(ticked) > 1:
        findings.append(worded("key: expected “no solutions” alone, got it with solutions"))
    claim = tuple(sorted(x for residues in ticked for x in residues))
    if stem.points is None and item.full is None:
        worth = grading.plus_minus(item)
    else:
        worth = grading.all_or_nothing(item, full_score(item, stem))
    return Key(all_of_them(stem, claim), claim, worth, grading.ticks(item))


def _chosen_pairs(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
    """All solutions in two unknowns, or of ab = 1, each option a whole set of pairs."""
    m = modulus_of(stem.question)
    meant = {o.identifier: claims.pairs(o.label, phrases.answer) for o in item.options}
    if len({frozenset(pairs) for pairs in meant.values()}) != len(item.options):
        findings.append(worded("options: expected different answers, got one twice"))
    if any(not 0 <= n < m for pairs in meant.values() for pair in pairs for n in pair):
        findings.append(worded("options: expected pairs of least residues 0 to {last}", last=m - 1))
    claim = meant[_known(item.declared, item)[0]]
    verdict = check_value(stem.question, stem.ask, claim)
    worth = grading.all_or_nothing(item, full_score(item, stem))
    return Key(verdict, None, worth, grading.single_choices(item), pairs=claim)


def _chosen_set(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
    """All solutions, each option a whole set."""
    if isinstance(stem.question, TwoUnknowns | InverseTable):
        return _chosen_pairs(item, stem, findings, phrases)
    meant = _options_as_residues(item, stem, findings, phrases.answer)
    claim = meant[_known(item.declared, item)[0]]
    worth = grading.all_or_nothing(item, full_score(item, stem))
    return Key(all_of_them(stem, claim), claim, worth, grading.single_choices(item))


def _chosen_truth(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
    """Whether there is a solution."""
    meant = {o.identifier: claims.solvable(o.label, phrases.answer) for o in item.options}
    if sorted(meant.values()) != [False, True]:
        findings.append(
            worded("options: expected one for yes and one for no, got {n}", n=len(meant))
        )
    claim = meant[_known(item.declared, item)[0]]
    verdict = check_value(stem.question, stem.ask, claim)
    worth = grading.all_or_nothing(item, full_score(item, stem))
    return Key(verdict, None, worth, grading.single_choices(item))


def _typed_integer(item: SeenItem, stem: Asked, findings: list[str], _phrases: Phrases) -> Key:
    """One integer."""
    claim = grading.integer(item.declared)
    if claim is None:
        raise Unsupported(
            worded("the key {found}, where an integer is typed", found=str(item.declared)[:60])
        )
    if stem.ask in ("the least", "the largest") and not (stem.low is None and stem.high is None):
        verdict = beyond_residues(claim, stem)
    else:
        verdict = check_value(stem.question, stem.ask, _residue_of(claim, stem, findings))
    worth = grading.integer_worth(stem, claim, full_score(item, stem))
    listed = None if stem.ask == "how many" else (claim,)
    tried = grading.integers(item, stem, claim)
    return Key(verdict, listed, worth, tried, alike=grading.integers_alike(item, stem))


def _residue_of(claim: int, stem: Asked, findings: list[str]) -> int:
    """What an integer claims modulo the question; as it stands where no range is asked for.

    Of the integers that are congruent to it, it must be the first of the range, and between two
    bounds the only one.
    """
    low, high = stem.low, stem.high
    if low is None and high is None:
        if stem.ask == "the solution" and not (stem.any_representative or stem.residue):
            raise Unsupported(worded("a stem that does not say which integer of the class to type"))
        return claim
    if stem.ask != "the solution" or stem.any_representative:
        raise Unsupported(worded("an integer of a range where no one class is asked for"))
    m = modulus_of(stem.question)
    inside = (low is None or low <= claim) and (high is None or claim <= high)
    alone = (low is None or claim - m < low) and (high is None or claim + m > high)
    if not (inside and alone):
        findings.append(
            worded(
                "key: expected the one integer of the range that is asked for, got {claim}",
                claim=claim,
            )
        )
    return claim % m


def _typed_example(item: SeenItem, stem: Asked, findings: list[str], _phrases: Phrases) -> Key:
    """Any one of the numbers of a range that are right: all that are there are found anew."""
    question = stem.question
    m = question.span if isinstance(question, Equation) else modulus_of(question)
    low, high = stem.low, stem.high
    if low is None or high is None:
        raise Unsupported(worded("an example without a range"))
    if not 0 <= low <= high < m or high - low >= LONGEST_RANGE:
        raise Unsupported(
            worded("an example from {low} to {high} modulo {m}", low=low, high=high, m=m)
        )
    found = solutions(question)
    if found is None:
        raise Unsupported(worded("an example of a set that cannot be listed"))
    right = tuple(n for n in found if low <= n <= high)
    declared = [grading.integer((text,)) for text in item.declared]
    one = len(declared) == 1 and declared[0] in right
    agrees = tuple(declared) == right if item.paper else one
    worth = grading.example_worth(right, full_score(item, stem))
    return _proved(agrees, right, worth, grading.examples(item, low, high, m), _HOW_EXAMPLES)


_HOW_EXAMPLES = done("all right numbers of the range were listed, and each number of it was typed")


def _claimed_truth(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
    """Whether what is claimed is the answer."""
    meant = {o.identifier: claims.solvable(o.label, phrases.answer) for o in item.options}
    if sorted(meant.values()) != [False, True]:
        findings.append(
            worded("options: expected one for yes and one for no, got {n}", n=len(meant))
        )
    verdict = _verdict_on(stem, phrases.answer)
    if verdict.status == "unchecked":
        raise Unsupported(verdict.message)
    right = verdict.status == "agreed"
    worth = grading.all_or_nothing(item, full_score(item, stem))
    agrees = meant[_known(item.declared, item)[0]] == right
    said = ("true" if right else "false",)
    return _proved(agrees, said, worth, grading.single_choices(item), verdict.method)


def _verdict_on(stem: Asked, answer: Answers) -> Verdict:
    """The verdict on the answer that a stem claims."""
    question, text = stem.question, stem.claim.strip('“”"„«» ')
    if stem.claimed != "all solutions":
        return check_value(question, stem.claimed, claims.value(text, answer))
    if isinstance(question, TwoUnknowns | InverseTable):
        return check_value(question, stem.claimed, claims.pairs(text, answer))
    residues = claims.residues(text, modulus_of(question), answer)
    if len(set(residues)) != len(residues):
        raise Unsupported(worded("a claim that names a residue twice"))
    return whole(question, residues)


def _chosen_value(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
    """One value, each option another one, or the words that there is none."""
    meant = {o.identifier: claims.value(o.label, phrases.answer) for o in item.options}
    if len(set(meant.values())) != len(item.options):
        findings.append(worded("options: expected different answers, got one twice"))
    claim = meant[_known(item.declared, item)[0]]
    verdict = check_value(stem.question, stem.ask, claim)
    worth = grading.all_or_nothing(item, full_score(item, stem))
    listed = None if claim is None else (claim,)
    return Key(verdict, listed, worth, grading.single_choices(item))


def _chosen_verdict(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
    """Always, sometimes or never, each an option."""
    meant = {o.identifier: phrases.verdicts.get(o.label.lower()) for o in item.options}
    if None in meant.values():
        raise Unsupported(worded("an option that is neither always, sometimes nor never"))
    if sorted(map(str, meant.values())) != ["0", "1", "2"]:
        findings.append(worded("options: expected always, sometimes and never, each once"))
    claim = meant[_known(item.declared, item)[0]]
    verdict = check_value(stem.question, stem.ask, claim)
    worth = grading.all_or_nothing(item, full_score(item, stem))
    return Key(verdict, None, worth, grading.single_choices(item))


def _chosen_congruence(item: SeenItem, stem: Asked, findings: list[str], _phrases: Phrases) -> Key:
    """One of several congruences, each an option: those of the statement, where there is one."""
    question = stem.question
    if not isinstance(question, Which):
        raise Unsupported(worded("congruences to choose from, where none is asked for"))
    try:
        offered = _one_by_one(item)
    except StatementError as reason:
        raise Unsupported(
            worded("an option that is no congruence: {reason}", reason=reason)
        ) from None
    if len(set(offered.values())) != len(item.options):
        findings.append(worded("options: expected different congruences, got one twice"))
    if question.offered and set(question.offered) != set(offered.values()):
        findings.append(worded("options: expected the congruences of the statement, got others"))
    claim = [*offered].index(_known(item.declared, item)[0])
    put = replace(question, offered=tuple(offered.values()))
    worth = grading.all_or_nothing(item, full_score(item, stem))
    return Key(check_value(put, stem.ask, claim), None, worth, grading.single_choices(item))


def _one_by_one(item: SeenItem) -> dict[str, Congruence | PowerOfUnknown]:
    """The congruence that each option is; StatementError for one that is none."""
    found: dict[str, Congruence | PowerOfUnknown] = {}
    for option in item.options:
        question = read(option.label)
        if not isinstance(question, Congruence | PowerOfUnknown):
            raise StatementError(f"'{option.label[:60]}'")
        found[option.identifier] = question
    return found


def _typed_list(item: SeenItem, stem: Asked, findings: list[str], _phrases: Phrases) -> Key:
    """All solutions as a list."""
    claim = grading.typed_list(item.declared, stem.none)
    if claim is None:
        raise Unsupported(
            worded("the key {found}, where a list is typed", found=str(item.declared)[:60])
        )
    verdict = all_of_them(stem, claim)
    if tuple(sorted(set(claim))) != claim:
        findings.append(
            worded("key: expected increasing residues, got {found}", found=listing(claim))
        )
    worth = grading.list_worth(stem, claim, full_score(item, stem))
    tried = grading.lists(item, stem, claim)
    return Key(verdict, claim, worth, tried, alike=grading.lists_alike(item, stem))


def _typed_set(item: SeenItem, stem: Asked, findings: list[str], _phrases: Phrases) -> Key:
    """All solutions, one to an entry, some entries to spare; there is at least one."""
    found = [grading.integer((text,)) for text in item.declared]
    claim = tuple(n for n in found if n is not None)
    if len(claim) != len(found) or not claim:
        raise Unsupported(
            worded("the key {found}, where integers are typed", found=str(item.declared)[:60])
        )
    m = modulus_of(stem.question)
    if tuple(sorted({x % m for x in claim})) != claim:
        findings.append(
            worded("key: expected increasing least residues, got {found}", found=listing(claim))
        )
    if not (stem.any_order and stem.any_representative and stem.spare):
        findings.append(
            worded(
                "stem: expected any order, any representative and entries to spare, as the scoring "
                "accepts them"
            )
        )
    if len(claim) >= item.most:
        findings.append(
            worded(
                "entries: expected more than {n} solutions, got {most}",
                n=len(claim),
                most=item.most,
            )
        )
    worth = grading.entries_worth(stem, claim, full_score(item, stem))
    tried = grading.entries(item, stem, claim)
    alike = grading.entries_alike(item, stem)
    return Key(whole(stem.question, claim), claim, worth, tried, alike=alike)


# ------------------------------------------------------------ about the derivation


def _ordered_steps(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
    """The steps of the method, to be put in order."""
    lines = {o.identifier: o.label for o in item.options}
    right = tuple(derivation.steps_in_order(stem, item.stem, lines, findings, phrases))
    if len(right) < len(lines) and not item.paper:
        findings.append(
            worded("lines: expected all to be put in order, as readers of the format do")
        )
    worth = grading.exactly(item, full_score(item, stem))
    return _proved(right == item.declared, right, worth, grading.orders(item))


def _placed_steps(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
    """The steps of the method, each to be matched with its place, and others with none."""
    lines = {source.identifier: source.label for source in item.sources}
    places = {target.label.lower(): target.identifier for target in item.options}
    found = phrases.stem.by_places.search(" ".join(text_of(item.stem).split()).lower())
    numbers = [str(n) for n in range(1, len(lines) + 1)]
    if found is None or [*places] != [*numbers, found[1].lower()]:
        raise Unsupported(worded("places to match that the stem does not tell of"))
    order = derivation.steps_in_order(stem, item.stem, lines, findings, phrases)
    place = dict(zip(order, numbers, strict=False))
    right = tuple(f"{name} {places[place.get(name, found[1].lower())]}" for name in lines)
    worth = grading.all_or_nothing(item, full_score(item, stem))
    agrees = sorted(right) == sorted(item.declared)
    return _proved(agrees, right, worth, grading.pairings(item))


def _chosen_order(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
    """The steps of the method under letters, to choose one order of the letters."""
    lines = derivation.lettered_lines(item.stem)
    meant = {o.identifier: tuple(o.label.split(", ")) for o in item.options}
    right = tuple(derivation.steps_in_order(stem, item.stem, lines, findings, phrases))
    if not all(_of_some(order, lines, len(right)) for order in meant.values()):
        findings.append(worded("options: expected orders of the letters of the steps"))
    if len(set(meant.values())) != len(item.options):
        findings.append(worded("options: expected different orders, got one twice"))
    worth = grading.all_or_nothing(item, full_score(item, stem))
    declared = meant[_known(item.declared, item)[0]]
    return _proved(right == declared, right, worth, grading.single_choices(item))


def _of_some(order: tuple[str, ...], lines: Mapping[str, str], n: int) -> bool:
    """Whether an order holds as many letters as there are steps, each once."""
    return len(order) == n == len(set(order)) and lines.keys() >= set(order)


def _chosen_line(
    find: Callable[[Question, SeenItem, list[str], Phrases], str],
) -> Callable[[SeenItem, Asked, list[str], Phrases], Key]:
    """A line of the solution, or a reason, to choose; `find` finds the right option anew."""

    def key(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
        right = (find(stem.question, item, findings, phrases),)
        worth = grading.all_or_nothing(item, full_score(item, stem))
        agrees = right == _known(item.declared, item)
        return _proved(agrees, right, worth, grading.single_choices(item), lines.HOW)

    return key


def _matched_lifts(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
    """Roots, each to be matched with its lift."""
    right = derivation.right_matches(stem.question, item, findings, phrases)
    pairs = tuple(f"{source} {target}" for source, target in right.items())
    worth = grading.all_or_nothing(item, full_score(item, stem))
    agrees = sorted(pairs) == sorted(item.declared)
    return _proved(agrees, pairs, worth, grading.pairings(item))


def _staged(item: SeenItem, stem: Asked, findings: list[str], phrases: Phrases) -> Key:
    """Stages to fill in, each with an answer of its own."""
    if len(item.declared) != len(item.stages):
        raise Unsupported(
            worded(
                "a key for {n} of {stages} stages", n=len(item.declared), stages=len(item.stages)
            )
        )
    right = tuple(derivation.right_stages(stem.question, item, findings, phrases))
    declared = grading.stage_answers(item, item.declared, stem.none)
    worth = grading.stages_worth(item, stem.none)
    last = right[-1] if right and isinstance(right[-1], tuple) else ()
    key = _proved(right == declared, right, worth, grading.stages(item))
    return replace(key, residues=last, alike=grading.stages_alike(item, stem))


def _proved(
    agrees: bool,
    right: tuple[object, ...],
    worth: Callable[[Response], Fraction],
    responses: Iterable[Response],
    how: Method = derivation.HOW,
) -> Key:
    """The key of a question about the derivation, whose right answer was found anew."""
    message = "" if agrees else f"expected {'; '.join(map(str, right))}"
    status: Literal["agreed", "disagreed"] = "agreed" if agrees else "disagreed"
    return Key(Verdict(status, how, message), None, worth, responses)


KEYS: dict[tuple[str, str], Callable[[SeenItem, Asked, list[str], Phrases], Key]] = {
    ("all solutions", "any"): _ticked_key,
    ("all solutions", "one"): _chosen_set,
    ("all solutions", "text"): _typed_list,
    ("all solutions", "entries"): _typed_set,
    ("the solution", "text"): _typed_integer,
    ("how many", "text"): _typed_integer,
    ("the least", "text"): _typed_integer,
    ("the largest", "text"): _typed_integer,
    ("the value", "text"): _typed_integer,
    ("the value", "one"): _chosen_value,
    ("an example", "text"): _typed_example,
    ("whether any", "one"): _chosen_truth,
    ("whether true", "one"): _claimed_truth,
    ("always, sometimes or never", "one"): _chosen_verdict,
    ("which", "one"): _chosen_congruence,
    ("the steps", "order"): _ordered_steps,
    ("the steps", "pairs"): _placed_steps,
    ("the steps", "one"): _chosen_order,
    ("the wrong line", "one"): _chosen_line(lines.first_wrong),
    ("the missing step", "one"): _chosen_line(lines.line_missing),
    ("the next step", "one"): _chosen_line(lines.line_next),
    ("the reason", "one"): _chosen_line(reasons.the_reason),
    ("all solutions", "pairs"): _matched_lifts,
    ("all solutions", "stages"): _staged,
    ("the value", "pairs"): _matched_lifts,
    ("the value", "stages"): _staged,
}
"""By ask, and by how it is answered."""


def _known(declared: Response, item: SeenItem) -> Response:
    """The declared options, which must be options."""
    identifiers = {o.identifier for o in item.options}
    if not declared or not identifiers.issuperset(declared):
        raise Unsupported(
            worded("a key that is no option: {found}", found=", ".join(declared) or "none")
        )
    if item.form == "one" and len(declared) != 1:
        raise Unsupported(worded("a key of {n} options where one is chosen", n=len(declared)))
    return declared


def _beyond(identifier: str, numbers: tuple[int, ...], stem: Asked, m: int) -> str:
    """That an option lists what is not asked for."""
    got = listing(numbers)
    if stem.low is None or stem.high is None:
        return worded(
            "option {identifier}: expected least residues 0 to {last}, got {got}",
            identifier=identifier,
            last=m - 1,
            got=got,
        )
    return worded(
        "option {identifier}: expected numbers from {low} to {high}, got {got}",
        identifier=identifier,
        low=stem.low,
        high=stem.high,
        got=got,
    )


def _options_as_residues(
    item: SeenItem, stem: Asked, findings: list[str], answer: Answers
) -> dict[str, tuple[int, ...]]:
    """What each option claims, by identifier; no two the same, all of them least residues.

    Where the stem names a range, they are integers of it.
    """
    m = modulus_of(stem.question)
    low, high = (0, m - 1) if stem.low is None or stem.high is None else (stem.low, stem.high)
    meant = {o.identifier: claims.residues(o.label, m, answer) for o in item.options}
    if len(meant) != len(item.options):
        findings.append(worded("options: expected an identifier each, got one twice"))
    seen: dict[tuple[int, ...], str] = {}
    for option in item.options:
        residues = meant[option.identifier]
        if any(not low <= x <= high for x in residues):
            findings.append(_beyond(option.identifier, residues, stem, m))
        reduced = tuple(sorted({low + (x - low) % m if high - low < m else x for x in residues}))
        if reduced in seen:
            findings.append(
                worded(
                    "options {seen} and {identifier}: expected different answers, got "
                    "{answer} twice",
                    seen=seen[reduced],
                    identifier=option.identifier,
                    answer=listing(reduced),
                )
            )
        seen[reduced] = option.identifier
    return meant
