"""Parts of a variant in the packet, one after another; and where one of them is not accepted."""

from dataclasses import replace

from exporters.release import in_order, whole_variants
from itembank.pipeline import making
from itembank.review.document import packet_of_release
from tests.pipeline.test_parts import PARCELS
from tests.wishes import family_of, pool_of


def test_the_parts_of_a_variant_come_one_after_another(tmp_path):
    pool = pool_of(tmp_path, family_of(tmp_path, PARCELS), variants=3, more=", choose: 2")
    release = making.released(pool, "2027-spring")
    items = list(in_order(release.groups))

    packet = packet_of_release(release).decode()

    places = [
        packet.index(f'"item": "{item.identifier}"')
        if f'"item": "{item.identifier}"' in packet
        else packet.index(f'"item":"{item.identifier}"')
        for item in items
    ]
    assert places == sorted(places)
    assert [i.title[-3:] for i in items] == ["(a)", "(b)"] * 3
    assert [i.provenance.index for i in items[::2]] == [i.provenance.index for i in items[1::2]]


def test_a_variant_of_which_a_part_is_left_out_is_left_out_whole(tmp_path):
    pool = pool_of(tmp_path, family_of(tmp_path, PARCELS), variants=3, more=", choose: 2")
    a, b = making.released(pool, "2027-spring").groups

    whole = whole_variants((a, replace(b, items=tuple(b.items)[1:])))

    assert [len(group.items) for group in whole] == [2, 2]
    assert [i.provenance.index for i in whole[0].items] == [
        i.provenance.index for i in whole[1].items
    ]
