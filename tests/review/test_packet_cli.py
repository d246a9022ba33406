"""From a pool to its packet, from decisions to a package of accepted items alone."""

import json
import re
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner

from itembank.cli import main
from itembank.review.vocabulary import FACETS

POOL = """
id: review-me
title: Homework 6 - polynomial congruences
course: NT 210 Elementary Number Theory, Alder Ford College
seed: alder-ford-review
author: A. Hart
persons: 2
items:
  - {family: singular-root, variants: 3, points: 3, form: list}
  - {family: linear-one-solution, variants: 2}
"""


def run(*args: object):
    return CliRunner().invoke(main, [str(a) for a in args])


@pytest.fixture
def pool(tmp_path: Path) -> Path:
    path = tmp_path / "review-me.yaml"
    path.write_text(POOL, encoding="utf-8")
    return path


def held(page: Path) -> dict:
    """What the packet's script knows."""
    found = re.search(r'id="items">(.*?)</script>', page.read_text(encoding="utf-8"), re.S)
    return json.loads(found[1])


def packet(pool: Path, *more: object) -> dict:
    page = pool.with_name("review.html")
    result = run("packet", pool, "--term", "2027-spring", "--out", page, *more)
    assert result.exit_code == 0, result.output
    return held(page)


def decided(
    pool: Path,
    page: dict,
    items: list[dict],
    reviewer: str = "R. Moss",
    returned: str = "",
    **more: object,
) -> Path:
    """A file that accepts these items, or returns them, as the packet would save it."""
    facets = {name: {"verdict": "accepted", "comment": ""} for name in FACETS}
    if returned:
        facets["wording"] = {"verdict": "returned", "comment": returned}
    path = pool.with_name("came-back.json")
    path.write_text(
        json.dumps({
            "format": page["format"], "pool": page["pool"], "term": page["term"],
            "packet": page["packet"], "reviewer": reviewer, "date": "2027-01-15",
            "decisions": [
                {
                    **{k: item[k] for k in ("item", "fingerprint", "family", "index", "seen")},
                    "verdict": "returned" if returned else "accepted",
                    "blind": "answered", "given": ["1"], "agreed": True,
                    "facets": facets,
                }
                for item in items
            ],
            **more,
        })
    )  # fmt: skip
    return path


def test_accepted_items_alone_are_exported_and_the_others_named(pool, tmp_path):
    page = packet(pool)
    some = [page["items"][0], *page["items"][3:]]
    result = run("decide", decided(pool, page, some), "--pool", pool)
    assert result.exit_code == 0, result.output
    assert "3 accepted, 0 returned, 0 void; 3 new on record" in result.output
    assert (tmp_path / "review-me.decisions.json").is_file()

    make = ("make", pool, "--term", "2027-spring", "--out", tmp_path, "--to", "qti21")
    result = run(*make, "--require-accepted")

    assert result.exit_code == 0, result.output
    assert "qti21.zip: 3 items, all agreed" in result.output
    for item in page["items"][1:3]:
        assert f"{item['item']}: " in result.output
    assert result.output.count("not accepted; left out") == 2


def test_without_any_decision_nothing_is_exported(pool, tmp_path):
    result = run(
        "make", pool, "--term", "2027-spring", "--out", tmp_path / "out", "--require-accepted"
    )

    assert result.exit_code == 1
    assert "not enough accepted items: singular-root: 0 of 3 accepted" in result.output
    assert list((tmp_path / "out").iterdir()) == []


def test_a_pool_changed_since_voids_what_was_accepted_and_says_what_changed(pool):
    page = packet(pool)
    came_back = decided(pool, page, page["items"])
    pool.write_text(POOL.replace("points: 3", "points: 4"), encoding="utf-8")

    result = run("decide", came_back, "--pool", pool)

    assert result.exit_code == 1
    assert "the decision is void, review it again" in result.output
    assert "- question: 3 points for exactly the right list, otherwise 0." in result.output
    assert "+ question: 4 points for exactly the right list, otherwise 0." in result.output
    assert "2 accepted, 0 returned, 3 void; 2 new on record" in result.output


def test_the_author_does_not_review_his_own_pool(pool):
    page = packet(pool)
    result = run("decide", decided(pool, page, page["items"], "a. hart"), "--pool", pool)

    assert result.exit_code == 1
    assert "the pool asks for two persons" in result.output
    assert not pool.with_name("review-me.decisions.json").exists()


def test_with_a_bank_its_items_are_reviewed_and_the_decisions_stand_in_it(pool, tmp_path):
    bank = tmp_path / "nt210.db"
    drawn = run("draw", pool, "--term", "2027-spring", "--bank", bank)
    assert drawn.exit_code == 0, drawn.output
    page = packet(pool, "--bank", bank)
    came_back = decided(pool, page, [page["items"][0], page["items"][3]])
    for _ in range(2):
        result = run("decide", came_back, "--pool", pool, "--bank", bank)
        assert result.exit_code == 0, result.output

    make = ("make", pool, "--term", "2027-spring", "--out", tmp_path, "--to", "qti21")
    result = run(*make, "--bank", bank, "--require-accepted")

    assert result.exit_code == 0, result.output
    assert "qti21.zip: 2 items, all agreed" in result.output
    assert result.output.count("not accepted; left out") == 3


BANKS = pytest.mark.parametrize("with_bank", [False, True])


def place(pool: Path, with_bank: bool) -> tuple[object, ...]:
    """What names the bank, if there is one; the pool is drawn into it."""
    if not with_bank:
        return ()
    named = ("--bank", pool.with_name("nt210.db"))
    drawn = run("draw", pool, "--term", "2027-spring", *named)
    assert drawn.exit_code == 0, drawn.output
    return named


@BANKS
def test_a_return_holds_its_item_whoever_accepts_it_later(pool, tmp_path, with_bank):
    bank = place(pool, with_bank)
    page = packet(pool, *bank)
    one = page["items"][0]
    decide = lambda file: run("decide", file, "--pool", pool, *bank)  # noqa: E731
    still = f"{one['item']}: {one['seen'][0].removeprefix('title: ')}: still open: "

    result = decide(decided(pool, page, [one], "A. Reed", "unclear"))
    assert result.exit_code == 0, result.output
    for reviewer in ("R. Moss", "C. Lund"):
        result = decide(decided(pool, page, page["items"], reviewer))
        assert result.exit_code == 0, result.output
        assert still + "wording returned by A. Reed on 2027-01-15: unclear" in result.output
        assert "5 accepted, 0 returned, 0 void; 5 new on record; 1 return open" in result.output

    make = ("make", pool, "--term", "2027-spring", "--out", tmp_path, "--to", "qti21")
    export = ("export", *make[1:]) if with_bank else make
    for plain in (make, export):
        result = run(*plain, *bank)
        assert result.exit_code == 1
        assert "expected no open return on what is released, found 1; " in result.output
        assert f"{one['item']}: wording returned by A. Reed on 2027-01-15: un" in result.output
        assert not list(tmp_path.glob("*.zip"))
    result = run(*make, "--require-accepted", *bank)
    assert result.exit_code == 0, result.output
    assert "qti21.zip: 4 items, all agreed" in result.output
    assert "wording returned by A. Reed on 2027-01-15: unclear; left out" in result.output

    result = decide(decided(pool, page, [one], "A. Reed"))
    assert "1 accepted, 0 returned, 0 void; 1 new on record\n" in result.output
    for released in ((*make, "--require-accepted"), make, export):
        result = run(*released, *bank)
        assert "qti21.zip: 5 items, all agreed" in result.output


def test_a_returned_question_is_replaced_at_once_where_it_is_asked_for(pool, tmp_path):
    bank = place(pool, True)
    page = packet(pool, *bank)
    one = page["items"][0]
    decide = ("decide", decided(pool, page, [one], "A. Reed", "unclear"), "--pool", pool)

    none = run(*decide, "--replace", "--bank", tmp_path / "none.db")
    assert none.exit_code != 0 and not pool.with_name("review-me.decisions.json").exists()
    result = run(*decide, "--replace", *bank)

    assert result.exit_code == 0, result.output
    assert result.output.splitlines()[-1] == (
        f"{one['family']}: 1 drawn in place of what was returned; make the packet anew"
    )
    again = packet(pool, *bank)
    names, before = ({i["item"] for i in p["items"]} for p in (again, page))
    assert len(names) == 5 and names & before == before - {one["item"]}
    export = ("export", pool, "--term", "2027-spring", "--out", tmp_path, "--to", "qti21", *bank)
    made = run(*export)
    assert "qti21.zip: 5 items, all agreed" in made.output
    twice = run("draw", pool, "--term", "2027-spring", *bank)
    assert f"{one['family']}: 0 new" in twice.output


def test_what_replaces_a_returned_question_is_of_the_family_that_the_pool_names(pool):
    head, _items = POOL.split("items:")
    entry = (
        "square-roots-power-of-two, variants: 2, form: list, instead: [square-roots-prime-square]"
    )
    pool.write_text(f"{head}items:\n  - {{family: {entry}}}\n", encoding="utf-8")
    bank = place(pool, True)
    page = packet(pool, *bank)
    one = page["items"][0]
    decide = ("decide", decided(pool, page, [one], "A. Reed", "unclear"), "--pool", pool)

    result = run(*decide, "--replace", *bank)

    assert result.exit_code == 0, result.output
    assert result.output.splitlines()[-1] == (
        "square-roots-power-of-two: 1 drawn in place of what was returned, 1 of these of "
        "square-roots-prime-square instead; make the packet anew"
    )
    again = packet(pool, *bank)["items"]
    assert [i["family"] for i in again] == [one["family"], "square-roots-prime-square"]
    assert again[0] == page["items"][1]


@BANKS
def test_a_third_person_settles_by_name(pool, tmp_path, with_bank):
    bank = place(pool, with_bank)
    page = packet(pool, *bank)
    one = page["items"][0]
    run("decide", decided(pool, page, [one], "A. Reed", "unclear"), "--pool", pool, *bank)
    run("decide", decided(pool, page, page["items"]), "--pool", pool, *bank)
    settlement = {
        "item": one["item"], "fingerprint": one["fingerprint"], "facet": "wording",
        "over": "A. Reed", "verdict": "accepted", "comment": "As in the textbook.",
    }  # fmt: skip

    refused = decided(pool, page, [], settlements=[settlement])
    result = run("decide", refused, "--pool", pool, *bank)
    assert result.exit_code == 1
    assert "R. Moss has decided on the item before; a third person must" in result.output

    for added in (1, 0):
        file = decided(pool, page, [], "C. Lund", settlements=[settlement])
        result = run("decide", file, "--pool", pool, *bank)
        assert result.exit_code == 0, result.output
        assert "the return by A. Reed is set aside: As in the textbook." in result.output
        assert f"0 void; {added} new on record; 1 settled\n" in result.output

    make = ("make", pool, "--term", "2027-spring", "--out", tmp_path, "--to", "qti21")
    result = run(*make, "--require-accepted", *bank)
    assert "qti21.zip: 5 items, all agreed" in result.output


def test_a_return_from_before_the_bank_holds_in_the_bank(pool, tmp_path):
    page = packet(pool)
    one = page["items"][0]
    run("decide", decided(pool, page, [one], "A. Reed", "unclear"), "--pool", pool)
    bank = place(pool, True)
    again = packet(pool, *bank)
    assert one["fingerprint"] in [i["fingerprint"] for i in again["items"]]
    run("decide", decided(pool, again, again["items"]), "--pool", pool, *bank)

    result = run("make", pool, "--term", "2027-spring", "--out", tmp_path, "--to", "qti21",
                 "--require-accepted", *bank)  # fmt: skip

    assert "qti21.zip: 4 items, all agreed" in result.output
    assert "wording returned by A. Reed" in result.output


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"packet": "0" * 64}, "packet: expected the hash of a packet of review-me for"),
        ({"reviewer": "\u200b"}, "reviewer: expected a name, found U+200B in it"),
        ({"date": "9999-99-99"}, "date: expected a year from 2000 to 2099, found 9999-99-99"),
    ],
)
def test_a_false_file_is_one_clear_line_and_nothing_is_recorded(pool, change, message):
    page = packet(pool)
    path = decided(pool, page, page["items"])
    path.write_text(json.dumps(json.loads(path.read_text()) | change))

    result = run("decide", path, "--pool", pool)

    assert result.exit_code == 1
    assert message in result.output
    assert len(result.output.splitlines()) == 1
    assert not pool.with_name("review-me.decisions.json").exists()


def test_a_package_has_a_packet_too(pool, tmp_path):
    made = run("make", pool, "--term", "2027-spring", "--out", tmp_path, "--to", "qti21")
    assert made.exit_code == 0, made.output
    page = tmp_path / "package.html"
    result = run("packet", next(tmp_path.glob("*.zip")), "--out", page)

    assert result.exit_code == 0, result.output
    assert [i["key"] for i in held(page)["items"]]
    assert len(held(page)["items"]) == 5


IN_EVERY_FORM = (
    POOL.partition("items:")[0]
    + """items:
  - {family: singular-root, variants: 1, form: list}
  - {family: steps-in-order, variants: 1}
  - {family: lifts-of-roots, variants: 1}
  - {family: stage-by-stage, variants: 1, points: 5}
"""
)


def rewritten(package: Path, change) -> Path:
    """A package with its members changed: name and bytes to bytes."""
    path = package.with_name("changed.zip")
    with zipfile.ZipFile(package) as old, zipfile.ZipFile(path, "w") as new:
        for name in old.namelist():
            new.writestr(name, change(name, old.read(name)))
    return path


@pytest.fixture
def package(pool, tmp_path) -> Path:
    pool.write_text(IN_EVERY_FORM, encoding="utf-8")
    made = run("make", pool, "--term", "2027-spring", "--out", tmp_path, "--to", "qti21")
    assert made.exit_code == 0, made.output
    return next(tmp_path.glob("*qti21.zip"))


def test_a_package_shows_questions_in_several_parts_with_the_key_of_each(pool, package, tmp_path):
    """The same questions as in the packet of their pool, whose keys are known apart."""
    page = tmp_path / "package.html"
    result = run("packet", package, "--out", page)
    assert result.exit_code == 0, result.output

    found = {i["item"]: i.get("parts") for i in held(page)["items"]}
    for item in packet(pool)["items"]:
        parts = found[item["item"]]
        assert parts is None or [p.get("list", p.get("choice")) for p in parts] == [
            p.get("list", p.get("choice")) for p in item["parts"]
        ]
    assert sum(parts is not None for parts in found.values()) == 3


def test_what_could_not_be_read_stands_in_the_packet_and_is_counted(package, tmp_path):
    page = tmp_path / "package.html"
    odd = rewritten(package, lambda _, d: d.replace(b"orderInteraction", b"sliderInteraction"))

    result = run("packet", odd, "--out", page)

    assert result.exit_code == 0, result.output
    items = held(page)["items"]
    (unread,) = (i for i in items if "unread" in i)
    assert len(items) == 4
    assert unread["unread"] and "key" not in unread
    text = page.read_text(encoding="utf-8")
    assert "<dd>4, of which 1 could not be read</dd>" in text
    assert f"could not be read: {unread['unread']}" in text


def test_a_package_of_which_nothing_can_be_read_is_an_error_that_says_why(package, tmp_path):
    odd = rewritten(package, lambda _, d: re.sub(rb"<(/?)\w+Interaction", rb"<\1oddInteraction", d))

    result = run("packet", odd, "--out", tmp_path / "x.html")

    assert result.exit_code == 1
    assert "expected items that can be read, got none; the first: " in result.output


def test_a_file_of_the_package_that_is_not_read_is_named_on_the_first_page(package, tmp_path):
    page = tmp_path / "package.html"
    odd = rewritten(
        package,
        lambda n, d: (
            d.replace(b"imsqti_item_xmlv2p1", b"imsqti_item_xmlv9p9", 1)
            if n == "imsmanifest.xml"
            else d
        ),
    )

    result = run("packet", odd, "--out", page)

    assert result.exit_code == 0, result.output
    assert len(held(page)["items"]) == 3
    assert "the type imsqti_item_xmlv9p9 is not read" in page.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (("packet", "congruences-quiz", "--out", "x.html"), "a pool needs --term"),
        (("packet", "missing.zip", "--out", "x.html"), "missing.zip"),
        (("decide", "missing.json"), "missing.json"),
    ],
)
def test_a_mistake_is_one_clear_line(args, message, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    result = run(*args)

    assert result.exit_code in (1, 2)
    assert message in result.output
    assert "Traceback" not in result.output
