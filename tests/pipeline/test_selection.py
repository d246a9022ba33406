"""Which variants a pool gets, whoever works them out; bands and near twins."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from itembank.pipeline import selection
from itembank.pipeline.candidates import Effort
from itembank.pipeline.selection import Band, Standing, apart, band_of
from itembank.spec import library, load_pool
from itembank.values.errors import DrawError
from tests.shipped import FAMILIES


@pytest.fixture(scope="module")
def pool():
    return load_pool(library() / "pools" / "lifting-homework.yaml", FAMILIES)


# ------------------------------------------------------------ choosing


def test_fresh_variants_come_before_rested_ones_and_refused_ones_never(pool):
    entry = next(e for e in pool.entries if e.family.id == "singular-root")
    every = list(selection.stream_of(entry.family, pool, "s"))
    rested = {v.name for v in every[::3]}
    refused = {v.name for v in every[1::3]}

    def record(variant):
        if variant.name in refused:
            return Standing("used")
        return Standing(times=int(variant.name in rested))

    wanted = len(every) - len(refused)
    stream = selection.stream_of(entry.family, pool, "s")
    found = [v.name for v in selection.chosen(stream, wanted, pool, {}, record)]

    fresh = [v.name for v in every if v.name not in rested | refused]
    assert found == fresh + [v.name for v in every[::3]]
    with pytest.raises(DrawError) as error:
        stream = selection.stream_of(entry.family, pool, "s")
        list(selection.chosen(stream, wanted + 1, pool, {}, record))
    assert str(error.value) == (
        f"pool lifting-homework: family singular-root: expected {wanted + 1} variants, it has "
        f"{wanted} left (passed over: {len(refused)} x used); widen its parameters or ask for fewer"
    )


efforts = st.builds(Effort, st.integers(1, 12), st.integers(1, 4), st.integers(0, 2))


@given(st.lists(efforts, min_size=1, max_size=30), efforts)
def test_no_band_of_the_same_width_holds_more(found, spread):
    band = band_of(found, spread)

    held = sum(map(band.holds, found))
    for low in found:
        top = Effort(
            low.steps + spread.steps, low.digits + spread.digits, low.singular + spread.singular
        )
        assert sum(map(Band(low, top).holds, found)) <= held
    assert band.most.steps - band.least.steps == spread.steps


@given(
    st.lists(st.lists(st.sampled_from("abcdefgh"), max_size=3), min_size=1, max_size=12),
    st.integers(1, 4),
)
def test_parts_hold_everything_once_and_keep_twins_together(signs, choose):
    things = list(enumerate(signs))
    try:
        parts = apart(things, lambda thing: thing[1], choose, "f")
    except DrawError:
        return

    assert sorted(thing for part in parts for thing in part) == things
    assert len(parts) in (1, choose)
    if choose > 1:
        for i, part in enumerate(parts):
            for other in parts[i + 1 :]:
                assert not {s for t in part for s in t[1]} & {s for t in other for s in t[1]}
        if len(parts) == 1:
            alone = [set(s) for s in signs]
            assert not any(a & b for i, a in enumerate(alone) for b in alone[i + 1 :])
