"""Questions made by hand, for students who guess."""

from itembank.guessing.question import Option, Question


def chosen(*labels: str, row: str = "", ask: str = "all solutions", **more) -> Question:
    """Select one of these labels."""
    return question("select one", labels, row, ask, **more)


def ticked(*labels: str, row: str = "", **more) -> Question:
    """Tick all that are right."""
    return question("select all", labels, row, "all solutions", **more)


def question(form: str, labels: tuple[str, ...], row: str, ask: str, **more) -> Question:
    more.setdefault("numbers", ())
    return Question(
        form=form,
        ask=ask,
        rows=(row,) if row else (),
        options=tuple(Option(f"o{n}", label) for n, label in enumerate(labels, 1)),
        **more,
    )
