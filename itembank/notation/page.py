"""A page of HTML that holds a title and blocks, and needs nothing else to be read."""

from itembank.notation import markup
from itembank.notation.elements import HTML, Maker, written
from itembank.notation.tree import Blocks

STYLE = """
body { font: 1.05rem/1.6 Georgia, "Times New Roman", serif; max-width: 44rem; margin: 2rem auto;
  padding: 0 1rem; color: #1a1a1a; }
.display { margin: 1rem 2rem; }
table { border-collapse: collapse; margin: 1rem 0; }
th, td { border: 1px solid #999; padding: 0.25rem 0.75rem; text-align: left; }
th { font-weight: normal; background: #f2f2f2; }
sup, sub { font-size: 0.72em; line-height: 0; }
"""

_h = Maker(HTML)


def document(title: str, blocks: Blocks, language: str = "en", dialect: str = "html") -> str:
    """The page as text, with its doctype."""
    page = _h(
        "html",
        {"lang": language},
        _h(
            "head",
            _h("meta", {"charset": "utf-8"}),
            _h("meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"}),
            _h("title", title),
            _h("style", STYLE),
        ),
        _h("body", *markup.blocks(blocks, _h, markup.DIALECTS[dialect](_h, language))),
    )
    return "<!DOCTYPE html>\n" + written([page])
