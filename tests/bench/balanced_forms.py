"""Two forms drawn blindly, and two assembled by the solver: how far apart is their effort?

    python -m tests.bench.balanced_forms PLOT.svg [TERMS] [POOL]

For each of TERMS terms (200) the shipped POOL (congruences-quiz) is drawn into a bank of its own.
From what is there two forms are taken blindly, the groups' items by a number hashed from the term
and none on both, and two are assembled as `itembank draw --forms 2` does.  Told are the gaps of
their effort sums, in steps, and PLOT.svg shows how many terms had each gap.  Run by hand; figures
stand in DEVELOPERS.md.
"""

import sys
import tempfile
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from itembank.bank import Bank, draws, entries, open_bank, releases
from itembank.kinds.table import SIGNATURES
from itembank.notation.elements import Child, Element, Maker, written
from itembank.spec import FamilyShelf, Pool, find_families, library, load_pool
from itembank.terms import assembly, draw

ANY_GAP = 10_000
"""The solver is told to allow all gaps: its smallest is what is measured."""


@dataclass(frozen=True)
class Gaps:
    """The differences of two forms' effort sums for one term, and the average of the sums."""

    blind: int
    solved: int
    effort: float


def gaps(pool: Pool, term: str, folder: Path) -> Gaps:
    bank = open_bank(str(folder / f"{term}.db"), create=True)
    draw.draw(bank, pool, term)
    found = assembly.assemble(bank, pool.id, term, 2, ANY_GAP).assembly.result
    one, other = blind_sums(bank, pool.id, term)
    return Gaps(abs(one - other), found["gap"], (one + other) / 2)


def blind_sums(bank: Bank, pool: str, term: str) -> tuple[int, int]:
    """The effort sums of two forms of the pool's content, whose items a hash shuffles."""
    with bank.reading() as connection:
        number = entries.known_term(connection, term)
        contents = releases.drawn_contents(connection, pool, number, term)
        held = {h.item: h for h in draws.held(connection, pool, number)}
    sums = [0, 0]
    for part in contents.parts:
        shuffled = sorted(
            part.items, key=lambda i: sha256(f"{term}/{held[i].identifier}".encode()).digest()
        )
        for form in range(2):
            chosen = shuffled[form * part.choose : (form + 1) * part.choose]
            sums[form] += sum(held[i].steps for i in chosen)
    return sums[0], sums[1]


# ------------------------------------------------------------ what is told


def told(name: str, found: Sequence[int]) -> str:
    ordered = sorted(found)
    middle, ninth = ordered[len(ordered) // 2], ordered[-(-9 * len(ordered) // 10) - 1]
    return f"{name}: median {middle}, ninth decile {ninth}, largest {ordered[-1]}"


# ------------------------------------------------------------ the plot

s = Maker("http://www.w3.org/2000/svg")

LEFT, RIGHT, TOP, ROW, BETWEEN = 60, 20, 70, 130, 50
WIDTH = 760
BLIND, SOLVED, INK, FAINT = "#b3541e", "#1f5f8b", "#222222", "#bbbbbb"


def words(x: float, y: float, text: str, anchor: str = "start", size: int = 13) -> Element:
    attributes = {
        "x": f"{x:.1f}",
        "y": f"{y:.1f}",
        "text-anchor": anchor,
        "font-size": str(size),
        "fill": INK,
    }
    return s("text", attributes, text)


def line(x1: float, y1: float, x2: float, y2: float, colour: str) -> Element:
    ends = zip(("x1", "y1", "x2", "y2"), (x1, y1, x2, y2), strict=True)
    return s("line", {**{n: f"{v:.1f}" for n, v in ends}, "stroke": colour})


def plot(title: str, blind: Sequence[int], solved: Sequence[int]) -> Element:
    """Two rows over one axis: how many terms had each gap."""
    most = max(*blind, *solved)
    step = (WIDTH - LEFT - RIGHT) / (most + 1)
    height = TOP + 2 * ROW + BETWEEN + 60
    bottom = TOP + 2 * ROW + BETWEEN
    shapes: list[Child] = [
        s("rect", {"width": str(WIDTH), "height": str(height), "fill": "#ffffff"}),
        words(LEFT, 28, title, size=16),
        *row("drawn blindly", blind, TOP, step, BLIND),
        *row("assembled by the solver", solved, TOP + ROW + BETWEEN, step, SOLVED),
        *(
            words(LEFT + (gap + 0.5) * step, bottom + 18, str(gap), "middle")
            for gap in range(0, most + 1, 5)
        ),
        words(WIDTH - RIGHT, bottom + 42, "gap of the effort sums, in steps", "end"),
    ]
    attributes = {
        "viewBox": f"0 0 {WIDTH} {height}",
        "width": str(WIDTH),
        "height": str(height),
        "font-family": "sans-serif",
        "role": "img",
        "aria-label": title,
    }
    return s("svg", attributes, *shapes)


def row(name: str, found: Sequence[int], top: float, step: float, colour: str) -> list[Child]:
    """Bars for the terms with each gap, the highest as high as the row, and its axis."""
    counts = Counter(found)
    highest = max(counts.values())
    base = top + ROW
    shapes: list[Child] = [words(WIDTH - RIGHT, top + 20, f"{name}: terms with each gap", "end")]
    for share in (highest, 0):
        y = base - ROW * share / highest
        shapes.append(line(LEFT, y, WIDTH - RIGHT, y, FAINT))
        shapes.append(words(LEFT - 8, y + 4, str(share), "end"))
    for gap, count in sorted(counts.items()):
        tall = ROW * count / highest
        shapes.append(
            s(
                "rect",
                {
                    "x": f"{LEFT + gap * step + 1:.1f}",
                    "y": f"{base - tall:.1f}",
                    "width": f"{max(1.0, step - 2):.1f}",
                    "height": f"{tall:.1f}",
                    "fill": colour,
                },
            )
        )
    return shapes


def main() -> None:
    if len(sys.argv) < 2:
        sys.exit("expected the file of the plot, such as balanced-forms.svg")
    path = Path(sys.argv[1])
    terms = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    name = sys.argv[3] if len(sys.argv) > 3 else "congruences-quiz"
    shelf = FamilyShelf(find_families([library() / "families"]), SIGNATURES)
    pool = load_pool(library() / "pools" / f"{name}.yaml", shelf)
    with tempfile.TemporaryDirectory() as folder:
        found = [gaps(pool, f"term-{n}", Path(folder)) for n in range(terms)]
    blind, solved = [g.blind for g in found], [g.solved for g in found]
    average = sum(g.effort for g in found) / terms
    print(f"{name}: {terms} terms, two forms each, {average:.0f} steps a form; gaps of the sums:")
    print("  " + told("drawn blindly", blind))
    print("  " + told("by the solver", solved))
    title = f"Two forms of {pool.id}, {terms} terms: how far apart is their effort?"
    path.write_text(written([plot(title, blind, solved)]), encoding="utf-8")


if __name__ == "__main__":
    main()
