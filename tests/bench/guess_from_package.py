"""What guessers score on the items of QTI 2.1 packages, from the zip alone.

    python -m tests.bench.guess_from_package PACKAGE.zip ...

This file knows QTI 2.1 and imports nothing of ours: items of one title but for its number are one
family; the formula is read from the MathML, the options as they are shown, the key from
correctResponse.  For each family: chance, the best habit without arithmetic, the best with one
number substituted.  Ties are shared, so that the scores are exact.  Run by hand.

Source: IMS QTI 2.1 Assessment Test, Section and Item Information Model.
"""

import re
import sys
import xml.etree.ElementTree as ET
import zipfile
from collections import Counter, defaultdict
from fractions import Fraction
from itertools import combinations, pairwise
from math import gcd

ITEM = "imsqti_item_xmlv2p1"
MANY = 3_000


def name(node):
    return node.tag.rpartition("}")[2] if isinstance(node.tag, str) else ""


def found(root, wanted):
    return [node for node in root.iter() if name(node) == wanted]


# ------------------------------------------------------------ what is shown


def shown(node):
    """The text of an element; mathematics as it is typed."""
    if name(node) == "msup":
        base, exponent = node
        return f"{shown(base)}^({shown(exponent)})"
    if name(node) in ("choiceInteraction", "textEntryInteraction", "feedbackBlock"):
        return ""
    own = "".join((node.text or "", *(shown(c) + (c.tail or "") for c in node)))
    return f"\n{own}\n" if name(node) in ("p", "mtr", "math") else own


def typed(text):
    signs = {"≡": "=", "−": "-", "·": "*", "⋅": "*", "\u2062": "*", "\u2061": ""}
    return "".join(signs.get(c, c) for c in text)


ROW = re.compile(r"^([0-9A-Za-z()^*+\-\s]+)=([0-9A-Za-z()^*+\-\s]+?)\(?mod\s*(\d+)\)?$")


def congruences(body):
    """(left - right as Python, letters, modulus) for each congruence of the stem."""
    rows = []
    for math in found(body, "math"):
        for line in typed(shown(math)).split("\n"):
            match = ROW.match("".join(line.split()))
            if match:
                left, right, m = match.groups()
                letters = sorted(set(re.findall("[a-z]", left + right)))
                if letters and set(letters) <= set("uvwxyz"):
                    rows.append((f"({left})-({right})".replace("^", "**"), letters, int(m)))
    return rows


def holds(rows, x):
    given = x if isinstance(x, tuple) else (x,)
    for text, letters, m in rows:
        if len(given) != len(letters) or max(map(abs, given)) > 10**6:
            return None
        values = dict(zip(letters, given, strict=True))
        if eval(text, {"__builtins__": {}}, values) % m:  # digits, u to z and signs, as ROW reads
            return False
    return True


def orbit(rows, x):
    """x with what must be a solution if it is one: partner, negative, progression."""
    if len(rows) != 1 or len(rows[0][1]) != 1 or "**(x" in rows[0][0]:
        return None
    text, (letter,), m = rows[0]
    f = [eval(text, {"__builtins__": {}}, {letter: t}) for t in range(8)]
    if all(f[t + 3] - 3 * f[t + 2] + 3 * f[t + 1] - f[t] == 0 for t in range(5)):
        a = (f[2] - 2 * f[1] + f[0]) // 2
        b = f[1] - f[0] - a
        if a % m == 0:
            step = m // gcd(b, m)
            return frozenset(range(x % step, m, step))
        if gcd(a, m) == 1:
            return frozenset((x % m, (-b * pow(a, -1, m) - x) % m))
    at = {t: eval(text, {"__builtins__": {}}, {letter: t}) for t in range(-3, 4)}
    return frozenset((x % m, -x % m)) if all(at[t] == at[-t] for t in at) else None


def elements(text):
    text = typed(text).replace("*", "")
    if not re.fullmatch(r"[{}(),;\s\d-]*\d[{}(),;\s\d-]*", text):
        return ()
    pairs = re.findall(r"\((-?\d+),\s*(-?\d+)\)", text)
    return tuple((int(a), int(b)) for a, b in pairs) or tuple(map(int, re.findall(r"-?\d+", text)))


class Seen:
    """An item as it is shown, and its key."""

    def __init__(self, root):
        (body,) = found(root, "itemBody")
        (declaration, *others) = found(root, "responseDeclaration")
        self.title = re.sub(r" \(\d+\)$| \d+(?=\)$)", "", root.get("title"))
        self.key = tuple(v.text or "" for v in found(declaration, "value"))
        self.options = [
            (c.get("identifier"), " ".join(shown(c).split())) for c in found(body, "simpleChoice")
        ]
        chosen = found(body, "choiceInteraction")
        self.rows = congruences(body)
        numbers = [n for m in found(body, "math") for n in re.findall(r"\d+", typed(shown(m)))]
        self.numbers = tuple(map(int, numbers))
        self.form = ""
        if others:
            return
        if chosen:
            many = chosen[0].get("maxChoices") != "1"
            self.form = "all" if many else "word" if len(self.options) == 2 else "one"
        elif found(body, "orderInteraction"):
            self.form = "order"
        elif found(body, "textEntryInteraction"):
            self.form = "entry"
        self.sets = [elements(text) for _name, text in self.options]
        self.right = tuple(n for n, (i, _text) in enumerate(self.options) if i in self.key)
        if self.form in ("order",):
            names = [i for i, _text in self.options]
            self.right = tuple(names.index(i) for i in self.key)


# ------------------------------------------------------------ choosing one


def preferences(item, past):
    """name -> a number for each option, the greatest preferred."""
    sets, n = item.sets, len(item.options)
    uses = Counter(x for s in sets for x in set(s))
    flat = [[x for x in s if isinstance(x, int)] for s in sets]
    every = all(flat)
    means = [Fraction(sum(s), len(s)) for s in flat] if every else [0] * n
    centre = sum(means) / n
    sizes = Counter(map(len, sets))
    closed = [is_closed(item, s) for s in sets]
    shared = [Fraction(sum(uses[x] - 1 for x in set(s)), len(s) or 1) for s in sets]
    usual = [past["size"][len(s)] for s in sets]
    found = {
        "first": [-i for i in range(n)],
        "last": list(range(n)),
        "middle": [-abs(2 * i - n + 1) for i in range(n)],
        "longest": [len("".join(text.split())) for _i, text in item.options],
        "shortest": [-len("".join(text.split())) for _i, text in item.options],
        "commonest size": [sizes[len(s)] for s in sets],
        "not empty": [bool(s) for s in sets],
        "most shared": shared,
        "most shared in all": [sum(uses[x] - 1 for x in set(s)) for s in sets],
        "largest": [max(s) if every else 0 for s in flat],
        "smallest": [-min(s) if every else 0 for s in flat],
        "nearest the mean": [-abs(m - centre) for m in means],
        "closed": closed,
        "evenly spaced": [is_even(item, s) for s in sets],
        "printed": [Fraction(sum(x in item.numbers for x in s), len(s) or 1) for s in sets],
        "place right before": [past["place"][i] for i in range(n)],
        "answer right before": [past["text"][text] for _i, text in item.options],
        "size right before": usual,
        "closed, most shared": list(zip(closed, shared, strict=True)),
        "closed, usual size": list(zip(closed, usual, strict=True)),
    }
    numbers = [[int(x) for x in re.findall(r"\d+", text)] for _i, text in item.options]
    if not any(sets) and all(numbers):
        shares = Counter(x for ns in numbers for x in set(ns))
        mean = [Fraction(sum(ns), len(ns)) for ns in numbers]
        last = [ns[-1] for ns in numbers]
        found["formula: most shared"] = [
            Fraction(sum(shares[x] - 1 for x in set(ns)), len(set(ns))) for ns in numbers
        ]
        found["formula: largest numbers"] = mean
        found["formula: smallest numbers"] = [-x for x in mean]
        if all("mod" in text for _i, text in item.options):
            found["formula: commonest modulus"] = [last.count(m) for m in last]
            found["formula: rarest modulus"] = [-last.count(m) for m in last]
    for title, trait in (("parity", lambda x: x % 2), ("3 divides", lambda x: x % 3 == 0)):
        traits = Counter(tuple(sorted(map(trait, s))) for s in flat)
        alone = every and sorted(traits.values()) == [1, n - 1]
        odd = [alone and traits[tuple(sorted(map(trait, s)))] == 1 for s in flat]
        found[f"odd one out: {title}"] = odd
    return found


def is_closed(item, s):
    if not item.rows or not s:
        return False
    whole = [orbit(item.rows, x) for x in s if isinstance(x, int)]
    return all(o is None or o <= set(s) for o in whole)


def is_even(item, s):
    m = item.rows[0][2] if item.rows else 0
    steps = {b - a for a, b in pairwise(sorted(x for x in s if isinstance(x, int)))}
    return bool(m) and len(s) > 1 and steps == {m // len(s)} and m % len(s) == 0


def tops(scores, among):
    most = max(scores[i] for i in among)
    return [i for i in among if scores[i] == most]


def once(item, scores):
    """The score with the one substitution that tells most between the preferred."""
    everything = list(range(len(item.sets)))
    liked = tops(scores, everything)
    tried = {x for s in item.sets for x in s}
    if not item.rows or not tried:
        return None

    def uneven(x):
        return (
            abs(2 * sum(x in item.sets[i] for i in liked) - len(liked)),
            abs(2 * sum(x in s for s in item.sets) - len(item.sets)),
        )

    best = min(map(uneven, tried))
    telling = [x for x in tried if uneven(x) == best]
    total = Fraction(0)
    for x in telling:
        true = holds(item.rows, x)
        if true is None:
            return None
        left = [i for i in everything if (x in item.sets[i]) == true] or everything
        kept = tops(scores, left)
        total += Fraction(item.right[0] in kept, len(kept))
    return total / len(telling)


# ------------------------------------------------------------ the other forms


def ticks(item, past):
    """name -> the answers held alike, each a set of places."""
    at = {s[0]: i for i, s in enumerate(item.sets) if len(s) == 1}
    groups = []
    for x in at:
        whole = (orbit(item.rows, x) if item.rows else None) or {x}
        group = tuple(sorted(at[y] for y in whole if y in at))
        if len(group) == len(whole) and group not in groups:
            groups.append(group)
    symmetric = bool(item.rows and at and orbit(item.rows, next(iter(at))))
    usual = [s for s, n in past["size"].items() if n == max(past["size"].values())]
    m = item.rows[0][2] if item.rows else 0
    spaced = {
        tuple(at[y] for y in range(x % (m // n), m, m // n))
        for n in range(2, len(at) + 1)
        if m and m % n == 0
        for x in at
        if all(y in at for y in range(x % (m // n), m, m // n))
    }
    return {
        "all": [tuple(at.values())],
        "even": [tuple(i for x, i in at.items() if x % 2 == 0)],
        "odd": [tuple(i for x, i in at.items() if x % 2)],
        "printed": [tuple(i for x, i in at.items() if x in item.numbers)],
        "with partner": [tuple(i for g in groups for i in g)] if symmetric else [],
        "partners, usual number": unions(groups, usual) if symmetric else [],
        "any, usual number": unions([(i,) for i in at.values()], usual),
        "one progression": sorted(spaced),
        "places right before": [
            p for p in most(past["place"]) if max(p, default=0) < len(item.options)
        ],
    }


def unions(groups, sizes):
    found = set()
    for size in sizes:
        for n in range(1, len(groups) + 1):
            for some in combinations(groups, n):
                if sum(map(len, some)) == size and len(found) < MANY:
                    found.add(tuple(sorted(i for group in some for i in group)))
    return sorted(found)


def most(counted):
    return [x for x, n in counted.items() if n == max(counted.values())]


def score_of(answers, right):
    answers = {tuple(sorted(a)) for a in answers}
    return Fraction(tuple(sorted(right)) in answers, len(answers)) if answers else Fraction(0)


# ------------------------------------------------------------ over packages


def items(path):
    with zipfile.ZipFile(path) as package:
        manifest = ET.fromstring(package.read("imsmanifest.xml"))
        for resource in found(manifest, "resource"):
            if resource.get("type") == ITEM:
                yield Seen(ET.fromstring(package.read(resource.get("href"))))


def guesses(item, past):
    """(habit, its score) for each habit; after "1: " with one substitution."""
    if item.form == "one":
        everything = range(len(item.options))
        for habit, scores in preferences(item, past).items():
            kept = tops(scores, everything)
            yield habit, Fraction(item.right[0] in kept, len(kept))
            after = once(item, scores)
            if after is not None:
                yield f"1: {habit}", after
    elif item.form == "all":
        for habit, answers in ticks(item, past).items():
            yield habit, score_of(answers, item.right)
    elif item.form == "word":
        yield "first word", Fraction(item.right == (0,))
        yield "second word", Fraction(item.right == (1,))
        commoner = most(past["place"]) or [(0,), (1,)]
        yield "commoner word", Fraction(item.right in commoner, len(commoner))
    elif item.form == "order":
        yield "as shown", Fraction(item.right == tuple(range(len(item.right))))
        before = most(past["place"])
        yield "as before", Fraction(item.right in before, len(before) or 1)
    else:
        before = most(past["text"])
        yield "commonest key", Fraction(item.key in before, len(before) or 1)
        printed = {(str(n),) for n in item.numbers}
        yield "printed", Fraction(item.key in printed, len(printed) or 1)


def remember(item, past):
    if item.form == "one":
        past["place"][item.right[0]] += 1
        past["text"][item.options[item.right[0]][1]] += 1
        past["size"][len(item.sets[item.right[0]])] += 1
    else:
        past["place"][item.right] += 1
        past["size"][len([i for i in item.right if item.sets[i]])] += 1
        past["text"][item.key] += 1


def chance(item):
    n = len(item.options)
    return {"one": Fraction(1, n or 1), "all": Fraction(1, 2**n), "word": Fraction(1, 2)}.get(
        item.form
    )


def percent(share):
    return "  -" if share is None else f"{round(100 * share):3}%"


def main():
    families = defaultdict(list)
    for path in sys.argv[1:]:
        for item in items(path):
            if item.form:
                families[item.title, item.form].append(item)
    for (title, form), group in families.items():
        past, total = defaultdict(Counter), Counter()
        for item in group:
            total.update(dict(guesses(item, past)))
            remember(item, past)
        n = len(group)
        plain = max((h for h in total if h[:2] != "1:"), key=total.get, default="")
        after = max((h for h in total if h[:2] == "1:"), key=total.get, default="")
        blind = chance(group[0])
        print(
            f"{title[:52]:52} {form:6} {n:4} {percent(blind)} | "
            f"{percent(total[plain] / n)} {plain}"
            + (f" | {percent(total[after] / n)} {after}" if after else "")
        )


if __name__ == "__main__":
    main()
