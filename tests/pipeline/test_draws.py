"""What is drawn stays drawn: the first variants of every shipped family, pinned.

`draws.json` was written by the version before the house was laid out anew (commit 08e3b1b); what
it holds of a family and version never changes. `pytest --rewrite-golden` adds what is missing,
for a new family or a version that was raised, and alters nothing else.
"""

import json
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import Any

import pytest

from itembank.bank.entries import key_text
from itembank.pipeline import compose
from itembank.pipeline.selection import claim_of, fits, in_its_range, wording
from itembank.pipeline.variants import Stream, Variant
from itembank.spec import Family
from itembank.values.item import Provenance
from tests.shipped import FAMILIES

DRAWS = Path(__file__).with_name("draws.json")
PINNED: dict[str, Any] = json.loads(DRAWS.read_text(encoding="utf-8"))

SEED = "pinned"
VARIANTS = 5

KEYS_IN_WORDS = {"order", "match", "guided"}
"""Forms whose key is told in the words of steps, which may be mended; the answer is pinned."""


def key(variant: Variant, form: str) -> object:
    family = variant.family
    provenance = Provenance(
        family=family.id, version=family.version, seed=SEED, index=variant.index
    )
    said = in_its_range(wording(family, form, 1, provenance), variant)
    item = compose.compose(variant.problem, variant.solution, variant.slips, said)
    return json.loads(key_text(item.response))


def pinned(variant: Variant) -> dict[str, Any]:
    """What of a variant is for ever: who is drawn, what it says, and what is right."""
    family = variant.family
    forms = [form for form in family.forms if form not in KEYS_IN_WORDS]
    _ask, answer = claim_of(variant.solution.answer)
    found = {
        "index": variant.index,
        "parameters": dict(variant.parameters),
        "statement": variant.problem.statement,
        "answer": answer,
        "keys": {form: key(variant, form) for form in forms},
    }
    return dict(json.loads(json.dumps(found)))


def drawn(family: Family) -> Iterator[dict[str, Any]]:
    """The first variants; of one in parts, each part."""
    for variant in islice(Stream(family, SEED, fits(family)), VARIANTS):
        yield from map(pinned, variant.each)


def written(draws: dict[str, Any]) -> str:
    """The draws as JSON with a variant a line."""
    families = []
    for name, held in sorted(draws.items()):
        lines = ",\n".join(f"   {json.dumps(v, ensure_ascii=False)}" for v in held["variants"])
        head = f' {json.dumps(name)}: {{"version": {held["version"]}, "variants": ['
        families.append(f"{head}\n{lines}\n ]}}")
    return "{\n" + ",\n".join(families) + "\n}\n"


def test_every_shipped_family_is_pinned(request):
    versions = {name: FAMILIES[name].version for name in FAMILIES}
    held = {name: PINNED[name]["version"] for name in PINNED}
    if request.config.getoption("--rewrite-golden"):
        kept = {name: PINNED[name] for name in FAMILIES if held.get(name) == versions[name]}
        added = {
            name: {"version": versions[name], "variants": list(drawn(FAMILIES[name]))}
            for name in FAMILIES
            if name not in kept
        }
        DRAWS.write_text(written({**kept, **added}), encoding="utf-8", newline="\n")
        return

    assert held == versions


@pytest.mark.parametrize("name", PINNED)
def test_the_same_variants_are_drawn_and_their_keys_are_the_same(name):
    held = PINNED[name]

    assert len(held["variants"]) == VARIANTS * len(FAMILIES[name].each)
    for found, expected in zip(drawn(FAMILIES[name]), held["variants"], strict=True):
        assert found == expected
