"""A review of 120 items as reviewers do it, in Chromium: how many keys, how many taps, how long.

    python tests/bench/review_by_keyboard.py [ITEMS]

By keyboard alone, each key shown unanswered, and once more each question answered first where it
has options or one entry; by touch on a phone of 390 pixels.  Then two reviewers whose files differ
on one item, a third who settles it by name, `decide` of all three; the packet made anew with one
worked solution changed; a reload half-way; two tabs in turn; storage that is damaged.  Each is held
to what must come of it.  Keys and taps are real events, counted by the page.  Run by hand; figures
stand in DEVELOPERS.md.
"""

import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import pairwise
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "browser"))

from exporters.release import Release
from itembank.forms import form_of
from itembank.review import deciding, packet_of_release
from itembank.values.item import Item
from itembank.values.verdicts import Spoken, accepted_items, carried
from tests.bench.packet_load import released
from tests.browser.chromium import Chromium, Page
from tests.browser.packets import (
    choose,
    enter_name,
    items,
    opened_anew,
    reload,
    sized,
    stored,
    text,
    turn_to,
    with_a_comma,
    write,
)
from tests.browser.test_packet_desk import tap
from tests.browser.test_packet_files import load

COUNTED = """
window.counted = {keydown: 0, touchend: 0};
for (const kind of Object.keys(counted)) addEventListener(kind, () => counted[kind] += 1, true);
"""

HERE = "document.querySelector('.current').id"

BOXES = "document.querySelectorAll('.current fieldset.answer input')"

ENTRIES = ("integer", "list")

CHOICES = ("select one", "solvable or not", "select all")


def main(count: int) -> None:
    with tempfile.TemporaryDirectory() as name, Chromium() as browser:
        folder = Path(name)
        release = released(count, folder)
        page = opened_anew(browser, folder / "review.html", packet_of_release(release))
        sized(page, 1280, 800)
        page.run(COUNTED)
        enter_name(page, "R. Moss")
        by_keyboard(page, release)
        first = downloaded(browser, page, folder / "moss")
        answered_first(page, release)
        by_touch(browser, release, folder)
        second, third = differing(browser, page, release, folder, first)
        closed(page)
        decided(release, [first, second, third])
        changed(browser, release, folder, first)
        kept(browser, release, folder)


@contextmanager
def timed(told: Callable[[], str]) -> Iterator[None]:
    began = time.perf_counter()
    yield
    print(f"{told()}: {time.perf_counter() - began:.1f} s", flush=True)


def counted(page: Page, kind: str) -> int:
    """How many such events since they were last asked for."""
    return int(page.run(f"[counted.{kind}, counted.{kind} = 0][0]"))


def fully(page: Page, count: int) -> None:
    assert text(page, "#progress") == f"{count} of {count} decided", text(page, "#progress")


def closed(page: Page) -> None:
    """Closed for good: a tab that is open hears the others, and mends what is damaged."""
    target = page.call("Target.getTargetInfo")["targetInfo"]["targetId"]
    page.browser.call("Target.closeTarget", targetId=target)


# ------------------------------------------------------------ one reviewer


def by_keyboard(page: Page, release: Release) -> None:
    """n once, then k and a for each item."""
    count = len(items(release))
    page.run("document.activeElement.blur()")
    counted(page, "keydown")
    keys: list[int] = []
    with timed(lambda: f"{count} items by keyboard, {sum(keys)} keys, at most {max(keys)} an item"):
        page.write("n")
        page.wait(f"{HERE} !== 'overview'")
        counted(page, "keydown")
        for _ in range(count):
            here = page.run(HERE)
            page.write("k")
            page.wait("document.activeElement.className.startsWith('outcome')")
            page.write("a")
            page.wait(f"{HERE} !== '{here}'")
            keys.append(counted(page, "keydown"))
    assert max(keys) <= 3
    fully(page, count)


def answered_first(page: Page, release: Release) -> None:
    """Another reviewer, who answers each question before its key is shown."""
    enter_name(page, "B. Hale")
    by_name = {item.identifier: item for item in items(release)}
    beyond: dict[str, list[int]] = {}
    turn_to(page, "overview")
    page.run("document.activeElement.blur()")
    with timed(lambda: "answered first, keys beyond the answer: " + told(beyond)):
        page.write("n")
        page.wait(f"{HERE} !== 'overview'")
        for _ in by_name:
            item = by_name[page.run(HERE)]
            counted(page, "keydown")
            typed = answer(page, item)
            page.wait("document.activeElement.className.startsWith('outcome')")
            agrees = "agrees" in text(page, ".current .outcome")
            assert agrees == (item.response.form in (*ENTRIES, *CHOICES)), item.response.form
            page.write("a")
            page.wait(f"{HERE} !== '{item.identifier}'")
            beyond.setdefault(item.response.form, []).append(counted(page, "keydown") - typed)
    assert max(map(max, beyond.values())) <= 3
    fully(page, len(by_name))


def told(beyond: dict[str, list[int]]) -> str:
    return ", ".join(f"{form} {max(keys)}" for form, keys in sorted(beyond.items()))


def answer(page: Page, item: Item) -> int:
    """The key of the item typed or chosen, and compared; how many keys the answer itself takes.

    In other forms the key is shown unanswered.
    """
    form: Any = form_of(item.response).compared(item.response)
    if item.response.form in ENTRIES:
        typed = ", ".join(form["key"]) or str(form["none"])
        if not typed[0].isdigit():
            page.run("document.querySelector('.current .question input').focus()")
        page.write(typed)
    elif item.response.form in CHOICES:
        values = (
            "[...document.querySelectorAll('.current fieldset.answer input')].map(e => e.value)"
        )
        offered = page.run(values)
        places = [offered.index(value) for value in form["key"]]
        typed = "".join(str(place + 1) for place in places if place < 9)
        page.write(typed)
        for place in (place for place in places if place >= 9):
            page.run(
                f"document.querySelectorAll('.current fieldset.answer input')[{place}].click()"
            )
            page.run("document.activeElement.blur()")
    else:
        page.write("k")
        return 0
    page.press("Enter")
    return len(typed)


def by_touch(browser: Chromium, release: Release, folder: Path) -> None:
    """Show the key, accept, next: on a phone."""
    count = len(items(release))
    page = opened_anew(browser, folder / "touched.html", packet_of_release(release))
    page.call("Emulation.setDeviceMetricsOverride", width=390, height=844, deviceScaleFactor=2,
              mobile=True)  # fmt: skip
    page.call("Emulation.setTouchEmulationEnabled", enabled=True)
    page.run(COUNTED)
    enter_name(page, "R. Moss")
    taps: list[int] = []
    with timed(lambda: f"{count} items by touch, {sum(taps)} taps, at most {max(taps)} an item"):
        tap(page, "#next")
        page.wait(f"{HERE} !== 'overview'")
        counted(page, "touchend")
        for n in range(1, count + 1):
            here = page.run(HERE)
            tap(page, ".current .quiet")
            page.wait("document.querySelector('.current').classList.contains('open')")
            tap(page, ".current .all")
            page.wait(f"document.getElementById('progress').textContent.startsWith('{n} of')")
            tap(page, ".current .onward")
            page.wait(f"{HERE} !== '{here}'")
            taps.append(counted(page, "touchend"))
    assert max(taps) <= 3
    fully(page, count)
    closed(page)


# ------------------------------------------------------------ several reviewers


def downloaded(browser: Chromium, page: Page, folder: Path) -> Path:
    """The file of decisions, saved by its button."""
    folder.mkdir()
    browser.call("Browser.setDownloadBehavior", behavior="allow", downloadPath=str(folder))
    page.run("document.getElementById('save').click()")
    for _ in range(200):
        if found := list(folder.glob("*decisions.json")):
            return found[0]
        page.run("new Promise(done => setTimeout(done, 25))")
    raise AssertionError("nothing was downloaded")


def differing(
    browser: Chromium, page: Page, release: Release, folder: Path, first: Path
) -> tuple[Path, Path]:
    """A. Reed returns one item and C. Lund, who loads both files, settles it: their files."""
    item = items(release)[0]
    with timed(lambda: "two files loaded, one conflict settled by name"):
        enter_name(page, "A. Reed")
        turn_to(page, item.identifier)
        page.write("k")
        choose(page, "wording", "returned", "“Such as” is a hint.")
        second = downloaded(browser, page, folder / "reed")
        enter_name(page, "C. Lund")
        load(page, folder, first.read_text(), second.read_text())
        assert text(page, "#progress").startswith("0 of"), "nobody signs for another"
        assert page.run("document.querySelectorAll('#conflicts li').length") == 1
        turn_to(page, item.identifier)
        page.run("document.activeElement.blur()")
        page.write("k")
        page.run("document.querySelector('.current .settling [value=accepted]').click()")
        page.run("document.querySelector('.current .settling textarea').focus()")
        write(page, "It is the textbook's wording.")
        turn_to(page, "overview")
        assert text(page, "#conflicts") == ""
        third = downloaded(browser, page, folder / "lund")
    return second, third


def decided(release: Release, files: list[Path]) -> None:
    """All three on record: what one holds another has settled, and all items may leave."""
    said: list[Spoken] = []
    with timed(lambda: "three files read and decided"):
        for path in files:
            file = deciding.read_decisions(path)
            assert all(o.outcome == "stands" for o in deciding.applied(file, items(release)))
            said += [word.spoken(file.reviewer, file.date) for word in file.words]
            accepted = accepted_items(carried(said, items(release)))
            print(f"    after {file.reviewer}: {len(accepted)} items may leave")
    assert len(accepted) == len(items(release))


def changed(browser: Chromium, release: Release, folder: Path, first: Path) -> None:
    """Of an item that was mended since, the changed facet alone is asked."""
    file = deciding.read_decisions(first)
    words = [word.spoken(file.reviewer, file.date) for word in file.words]
    packet = packet_of_release(with_a_comma(release), words)
    page = opened_anew(browser, folder / "changed.html", packet)
    page.run(COUNTED)
    count = len(items(release))
    assert text(page, "#progress") == f"{count - 1} of {count} decided"
    page.run("document.activeElement.blur()")
    with timed(lambda: f"one item changed, {counted(page, 'keydown')} keys"):
        page.write("j")
        page.wait(f"{HERE} !== 'overview'")
        page.write("k")
        assert text(page, ".current .note") == "Asked again: Wording."
        assert page.run("document.querySelectorAll('.current .changes mark').length") > 0
        page.write("a")
        fully(page, count)
    closed(page)


# ------------------------------------------------------------ nothing is lost


def kept(browser: Chromium, release: Release, folder: Path) -> None:
    page = opened_anew(browser, folder / "kept.html", packet_of_release(release))
    enter_name(page, "R. Moss")
    names = [item.identifier for item in items(release)]
    half = len(names) // 2
    for name in names[:half]:
        accepted(page, name)
    with timed(lambda: f"reloaded half-way, {text(page, '#progress')}"):
        reload(page)
        assert text(page, "#progress").startswith(f"{half} of")
    with timed(lambda: "damaged storage set aside and told"):
        stored(page, "localStorage.setItem('itembank-' + packet, '{\"reviewer\":\"R. Moss\",')")
        reload(page)
        assert "damaged" in text(page, "#notices")
        accepted(page, names[0])
        reload(page)
        assert text(page, "#progress").startswith("1 of")
    other = browser.page(str(page.run("location.href.split('#')[0]")))
    with timed(lambda: f"two tabs in turn, {text(page, '#progress')} in both"):
        for one, two in pairwise(names[:12]):
            accepted(page, one)
            accepted(other, two)
        for tab in (page, other):
            tab.wait("document.getElementById('progress').textContent.startsWith('12 of')")


def accepted(page: Page, name: str) -> None:
    turn_to(page, name)
    if page.run("document.querySelector('.current').classList.contains('open')"):
        return
    page.run("document.querySelector('.current .quiet').click()")
    page.run("document.querySelector('.current .all').click()")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 120)
