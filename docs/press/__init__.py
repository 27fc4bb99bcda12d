"""The press: what is made for the pages as they are built, so that nothing in them goes stale."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sphinx.application import Sphinx


TREE = "furo_navigation_tree"
AFTER_THEME = 900


def levelled(
    _app: Sphinx, _page: str, _template: str, context: dict[str, Any], _tree: object
) -> None:
    """Gives the headings in the list of pages the level that readers of the screen need."""
    if TREE in context:
        context[TREE] = context[TREE].replace('role="heading"', 'role="heading" aria-level="2"')


def setup(app: Sphinx) -> dict[str, Any]:
    """Gives sphinx the directives of these pages."""
    from docs.press.commands import Commands
    from docs.press.findings import Findings
    from docs.press.keys import Keys
    from docs.press.pictures import Garden, Sheet
    from docs.press.rules import Figures, Practice, Rules

    made = (Commands, Figures, Findings, Garden, Keys, Practice, Rules, Sheet)
    for directive in made:
        app.add_directive(directive.__name__.lower(), directive)
    app.connect("html-page-context", levelled, priority=AFTER_THEME)
    return {"parallel_read_safe": True, "parallel_write_safe": True}
