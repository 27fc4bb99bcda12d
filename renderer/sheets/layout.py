"""Layout files: a document's blocks in their order, its paper, and what is the firm's own."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, ValidationError, field_validator

from renderer.plan.base import Model
from renderer.plan.complaints import complaints
from renderer.plan.errors import PlanError, Problem, Problems, key_path, nearest, refuse, shown
from renderer.plan.files import text_of, tree_of
from renderer.plan.tree import line_of
from renderer.plan.values import Name, Text, YesNo, to_whole, word_of

Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
ROWS_MAX = 60
KEYS = "layout, document, paper, blocks"
PNG_START = b"\x89PNG\r\n\x1a\n"
ENDINGS = (".yaml", ".yml", ".json")


def read_row_count(value: object) -> int:
    """How many empty rows a table has."""
    count = to_whole(value)
    if not 0 <= count <= ROWS_MAX:
        refuse(f"{count} rows cannot be", f"write a number from 0 to {ROWS_MAX}")
    return count


RowCount = Annotated[int, BeforeValidator(read_row_count)]


class BlockUse(Model):
    """A block of a document; each block may add options of its own.

    ``title`` replaces the block's heading, ``new_page`` starts it on a new page, ``together``
    keeps it on one page where it is not higher than one.
    """

    block: Name
    title: Text = ""
    new_page: YesNo = False
    together: YesNo = False


class HeaderUse(Model):
    """The firm in the head of each page; ``logo`` is the path of a PNG file.

    In the layout file it is written from the layout's folder.
    """

    firm: Text = ""
    logo: Text = ""


class OwnCaution(Model):
    """A caution of the firm's own, printed with those that the plan calls for."""

    signal: Annotated[Signal, word_of(Signal, "signal word")]
    text: Text


def read_version(value: object) -> int:
    """The version of the layout file."""
    if value not in (1, "1"):
        refuse(f"this program reads layouts of version 1, not {shown(value)}", "write layout: 1")
    return 1


def read_blocks(value: object) -> object:
    """Blocks by name or with their options, each as the options of its own kind."""
    from renderer.sheets.blocks import BLOCKS

    if not isinstance(value, list | tuple):
        return value
    found: list[BlockUse] = []
    wrong: list[Problem] = []
    for index, use in enumerate(value):
        given = use if isinstance(use, dict) else {"block": use}
        name = given.get("block")
        if not isinstance(name, str) or name not in BLOCKS:
            wrong.append(_unknown_block(name, (index,) if given is not use else (index, "block")))
            continue
        options = BLOCKS[name].options
        try:
            found.append(options.model_validate(given))
        except ValidationError as error:
            wrong += [p._replace(loc=(index, *p.loc)) for p in complaints(error, options)]
    if wrong:
        raise Problems(wrong)
    return tuple(found)


def _unknown_block(name: object, loc: tuple[int | str, ...]) -> Problem:
    from renderer.sheets.blocks import BLOCKS

    near = nearest(name, BLOCKS) if isinstance(name, str) else None
    cure = f"did you mean '{near}'?" if near else f"known blocks: {', '.join(BLOCKS)}"
    return Problem(loc, f"{shown(name)} is not a block", cure)


class Layout(Model):
    """A document: its name, language, paper, header and blocks.

    ``document`` is a name of the catalogue such as ``crew-work-order``, or a
    text of one's own. A block is written as its name, or as a mapping with its
    options.
    """

    layout: Annotated[Literal[1], BeforeValidator(read_version)]
    document: Name
    language: Name = "en"
    paper: Name = "A4"
    header: HeaderUse = HeaderUse()
    notes: tuple[Text, ...] = ()
    cautions: tuple[OwnCaution, ...] = ()
    form_fields: YesNo = False
    blocks: Annotated[tuple[BlockUse, ...], BeforeValidator(read_blocks)] = Field(min_length=1)

    @field_validator("paper")
    @classmethod
    def _is_a_paper(cls, value: str) -> str:
        from renderer.drawing.errors import DrawError
        from renderer.drawing.paper import papers

        try:
            papers(value)
        except DrawError as error:
            refuse(str(error), "write one of these")
        return value


def load_layout(name_or_path: str | os.PathLike[str]) -> Layout:
    """A layout by its name, or by the path of a file of one's own.

    What ends in .yaml, .yml or .json or holds a folder is a path. Raises PlanError, with
    file, line, key and cure, for everything that can be wrong with it.
    """
    name = os.fspath(name_or_path)
    if Path(name).suffix.lower() in ENDINGS or Path(name).name != name:
        return _read(name)
    from renderer import resources

    path = resources.layouts() / f"{name}.yaml"
    if not path.is_file():
        known = [each for each, _ in layouts()]
        near = nearest(name, known)
        cure = f"did you mean '{near}'?" if near else f"known layouts: {', '.join(known)}"
        raise PlanError(name, 0, "", "there is no layout of this name", cure)
    return _read(str(path))


def layouts() -> tuple[tuple[str, str], ...]:
    """The layouts that come with the package: name and title."""
    from renderer import resources

    return tuple(_titled(path) for path in sorted(resources.layouts().glob("*.yaml")))


def document_title(layout: Layout) -> str:
    """The document's name as printed."""
    from renderer.sheets.words import load_words

    words = load_words(layout.language)
    key = f"document.{layout.document}"
    return words(key) if key in words else layout.document


def _titled(path: Path) -> tuple[str, str]:
    return path.stem, document_title(_read(str(path)))


def _read(path: str) -> Layout:
    tree = tree_of(text_of(path), path, KEYS)
    try:
        layout = Layout.model_validate(tree)
    except ValidationError as error:
        wrong = sorted(_told(path, tree, error), key=lambda each: each.line)
        first = wrong[0]
        others = tuple(wrong[1:])
        raise PlanError(
            first.path, first.line, first.key, first.problem, first.cure, others
        ) from None
    return _with_logo(layout, path, tree) if layout.header.logo else layout


def _with_logo(layout: Layout, path: str, tree: object) -> Layout:
    """The layout with the logo's path as seen from here; the file is there and is a PNG."""
    logo = Path(path).parent / layout.header.logo
    problem = ""
    try:
        if logo.read_bytes()[: len(PNG_START)] != PNG_START:
            problem = f"the logo '{logo}' is not a PNG file"
    except OSError as error:
        problem = f"the logo '{logo}' cannot be read ({str(error.strerror).lower()})"
    if problem:
        loc = ("header", "logo")
        cure = "give a PNG file beside the layout, or leave the logo out"
        raise PlanError(path, line_of(tree, loc), key_path(loc), problem, cure)
    header = layout.header.model_copy(update={"logo": str(logo)})
    return layout.model_copy(update={"header": header})


def _told(path: str, tree: object, error: ValidationError) -> Iterator[PlanError]:
    for item in complaints(error, Layout):
        yield PlanError(path, line_of(tree, item.loc), key_path(item.loc), item.problem, item.cure)
