"""Layout files: a document's blocks in their order, its paper, and what is the firm's own."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal, TypeVar, get_args

from pydantic import BeforeValidator, ValidationError, field_validator, model_validator

from renderer.language import languages, load_words, require_language
from renderer.plan.base import Model
from renderer.plan.complaints import complaints
from renderer.plan.errors import (
    PATH_MAX,
    PlanError,
    Problem,
    Problems,
    did_you_mean,
    key_path,
    refuse,
    shown,
)
from renderer.plan.files import text_of, tree_of
from renderer.plan.tree import Mapping, Scalar, line_of
from renderer.plan.values import Name, Text, YesNo, to_whole, word_of
from renderer.sheets.blocks import BLOCKS
from renderer.sheets.errors import SheetError
from renderer.sheets.logo import CURE as LOGO_CURE
from renderer.sheets.logo import read_logo
from renderer.sheets.use import BlockUse, Scope

if TYPE_CHECKING:
    from renderer.options import PrintOptions

PlanFile = Literal["whole", "owner", "no"]
Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
ROWS_MAX = 60
FULL = "crew-work-order"  # what a pack prints of each job in full
COLUMNS = "columns"  # stands for several blocks where a layout names them
COLUMNS_MAX = 3
SHARE_MIN = 20
LEVELS_MOST = 3
Use = TypeVar("Use", bound=BlockUse)
KEYS = "layout, document, paper, blocks"
ENDINGS = (".yaml", ".yml", ".json")


def read_row_count(value: object) -> int:
    """How many empty rows a table has."""
    count = to_whole(value)
    if not 0 <= count <= ROWS_MAX:
        refuse(f"invalid number of rows {count}", f"write a number from 0 to {ROWS_MAX}")
    return count


RowCount = Annotated[int, BeforeValidator(read_row_count)]


def read_page_share(value: object) -> int:
    """How much of a page something takes, in percent."""
    share = to_whole(value)
    if not SHARE_MIN <= share <= 100:
        refuse(f"invalid page share {share} percent", f"write a number from {SHARE_MIN} to 100")
    return share


PageShare = Annotated[int, BeforeValidator(read_page_share)]


def read_plan_file(value: object) -> str:
    """What of the plan goes along in the PDF; in YAML a bare no is a word like any other."""
    if value is False:
        return "no"
    if value not in get_args(PlanFile):
        refuse(f"invalid choice {shown(value)}", f"write {', '.join(get_args(PlanFile))}")
    return str(value)


def read_level(value: object) -> int:
    """Which of the easier sheets for a class."""
    level = to_whole(value)
    if not 1 <= level <= LEVELS_MOST:
        cure = f"write a number from 1 to {LEVELS_MOST}; the exercise itself is the next level"
        refuse(f"invalid level {level}", cure)
    return level


Level = Annotated[int, BeforeValidator(read_level)]


class HeaderUse(Model):
    """The firm on the first page of a job; ``logo`` is the path of a PNG or SVG file.

    In the layout file it is written from the layout's folder.
    """

    firm: Text = ""
    logo: Text = ""

    @property
    def is_stated(self) -> bool:
        """Whether it says anything."""
        return bool(self.firm or self.logo)


def read_columns(value: object) -> int:
    """How many columns stand beside each other."""
    count = to_whole(value)
    if not 2 <= count <= COLUMNS_MAX:
        refuse(f"invalid number of columns {count}", f"write a number from 2 to {COLUMNS_MAX}")
    return count


class ColumnsUse(BlockUse):
    """Blocks that flow through columns of the same width, made as even as they can be."""

    block: Name = COLUMNS
    columns: Annotated[int, BeforeValidator(read_columns)]
    blocks: tuple[BlockUse, ...]


def flat(uses: Iterable[BlockUse]) -> Iterator[BlockUse]:
    """The blocks, those of columns too."""
    for use in uses:
        if isinstance(use, ColumnsUse):
            yield from use.blocks
        else:
            yield use


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
    """Blocks of a job by name or with their options, each as the options of its own kind."""
    if isinstance(value, list) and not value:
        refuse("the list is empty", "give at least one")
    return _read_blocks(value, "job")


def read_front(value: object) -> object:
    """Blocks of a pack's own pages, in the same way."""
    return _read_blocks(value, "pack")


def _read_blocks(value: object, scope: Scope, seen: set[str] | None = None) -> object:
    if not isinstance(value, list | tuple):
        return value
    found: list[BlockUse] = []
    wrong: list[Problem] = []
    inside = seen is not None
    seen = set() if seen is None else seen
    for index, use in enumerate(value):
        if isinstance(use, BlockUse):
            found.append(use)
            continue
        given = use if isinstance(use, dict) else {"block": use}
        try:
            if COLUMNS in given and "block" not in given:
                found.append(_read_columns(given, scope, seen, inside))
            else:
                found.append(_read_block(given, scope, seen, given is use))
        except Problems as problems:
            wrong += [p._replace(loc=(index, *p.loc)) for p in problems.items]
    if wrong:
        raise Problems(wrong)
    return tuple(found)


def _read_block(given: dict[str, object], scope: Scope, seen: set[str], keyed: bool) -> BlockUse:
    """One block with the options of its kind; ``keyed`` where it is written as a mapping."""
    name = given.get("block")
    loc: tuple[str, ...] = ("block",) if keyed else ()
    if not isinstance(name, str) or name not in BLOCKS:
        raise Problems([_unknown_block(name, loc, scope)])
    if BLOCKS[name].scope != scope:
        refuse(*_OUT_OF_PLACE[scope](name), loc)
    if name in seen and not BLOCKS[name].repeats:
        refuse(f"the block '{name}' appears twice", "keep one of the two", loc)
    seen.add(name)
    return _validated(given, BLOCKS[name].use)


def _read_columns(
    given: dict[str, object], scope: Scope, seen: set[str], inside: bool
) -> ColumnsUse:
    """Columns with the blocks that flow through them."""
    if inside:
        refuse("columns cannot stand in columns", "list the blocks one after the other", (COLUMNS,))
    blocks = given.get("blocks", ())
    if isinstance(blocks, list) and not blocks:
        refuse("the list is empty", "give at least one", ("blocks",))
    try:
        read = _read_blocks(blocks, scope, seen)
    except Problems as problems:
        wrong = [p._replace(loc=("blocks", *p.loc)) for p in problems.items]
        raise Problems(wrong) from None
    own = {**given, "blocks": read} if "blocks" in given else given
    return _validated(own, ColumnsUse)


def _validated(given: dict[str, object], options: type[Use]) -> Use:
    try:
        return options.model_validate(given)
    except ValidationError as error:
        raise Problems(complaints(error, options)) from None


_OUT_OF_PLACE: dict[Scope, Callable[[str], tuple[str, str]]] = {
    "job": lambda name: (f"'{name}' is a block of a whole pack", "write it under 'front'"),
    "pack": lambda name: (f"'{name}' is a block of one job", "write it under 'blocks'"),
}


def _unknown_block(name: object, loc: tuple[int | str, ...], scope: Scope) -> Problem:
    if name is None:
        return Problem(loc[:1], "it names no block", "write {block: NAME, ...}")
    known = [each for each, block in BLOCKS.items() if block.scope == scope]
    cure = did_you_mean(name, BLOCKS) or f"known blocks: {', '.join(known)}"
    return Problem(loc, f"{shown(name)} is not a block", cure)


class Layout(Model):
    """A document: its name, language, paper, header and blocks.

    ``document`` is a name of the catalogue such as ``crew-work-order``, or a
    text of one's own. A block is written as its name, or as a mapping with its
    options; ``columns`` with ``blocks`` lets several flow through columns. Without ``paper`` it
    is printed on the usual one of the plan's units.
    A pack has ``each`` instead of ``blocks``: the layout printed for each
    job, by its name or its path from here; ``front`` are the pack's own blocks
    before the jobs, ``two_sided`` lets each job begin on a new sheet of paper. ``as_planned``
    is for sheets to lay the wire from, which leave out what was recorded since. Sheets for a
    class name in ``key`` the layout of the file that the trainer keeps. ``plan_file`` says what of
    the plan goes along in the PDF: all of it, what the owner may have, or nothing.
    """

    layout: Annotated[Literal[1], BeforeValidator(read_version)]
    document: Name
    language: Name = "en"
    paper: Name | None = None
    header: HeaderUse = HeaderUse()
    notes: tuple[Text, ...] = ()
    cautions: tuple[OwnCaution, ...] = ()
    form_fields: YesNo = False
    plan_file: Annotated[PlanFile, BeforeValidator(read_plan_file)] = "no"
    key: Text = ""
    blocks: Annotated[tuple[BlockUse, ...], BeforeValidator(read_blocks)] = ()
    front: Annotated[tuple[BlockUse, ...], BeforeValidator(read_front)] = ()
    each: Layout | None = None
    two_sided: YesNo = False
    as_planned: YesNo = False

    @property
    def title(self) -> str:
        """The document's name as printed."""
        return document_title(self)

    @property
    def anonymous(self) -> bool:
        """Whether it is for a class, so that nothing on it may say whose garden it is."""
        return any(BLOCKS[use.block].anonymous for use in self.uses)

    @property
    def tells_changes(self) -> bool:
        """Whether it tells what has changed from an older plan."""
        return any(BLOCKS[use.block].since for use in self.uses)

    @property
    def uses(self) -> tuple[BlockUse, ...]:
        """The blocks of a job one by one, those in columns too."""
        return tuple(flat(self.blocks))

    @property
    def tells_place(self) -> bool:
        """Whether it prints where the garden is; a copy of a map for somebody else may not."""
        return all(getattr(use, "site", True) for use in self.uses)

    @model_validator(mode="after")
    def _prints_something(self) -> Layout:
        if self.each is None and not self.blocks:
            refuse("the layout prints nothing", "list blocks, or name a layout under 'each'")
        if self.each is not None and self.blocks:
            cure = "keep 'blocks' for one job, or 'front' and 'each' for a pack"
            refuse("the layout has both blocks and each", cure, ("blocks",))
        if self.front and self.each is None:
            refuse("'front' comes before the jobs of a pack", "add 'each'", ("front",))
        if self.each is not None and self.each.each is not None:
            refuse("the layout for each job is a pack layout", "name one of a job", ("each",))
        if self.each is not None and self.each.anonymous:
            cure = "print it by itself; a pack shows whose jobs they are"
            refuse("a day pack cannot use a class layout", cure, ("each",))
        if self.plan_file != "no" and self.blocks and self.anonymous:
            cure = "write no; the plan file would say it"
            refuse("sheets for a class do not say whose garden it is", cure, ("plan_file",))
        return self

    @field_validator("language")
    @classmethod
    def _has_words(cls, value: str) -> str:
        if value not in (known := languages()):
            refuse(f"no translation for '{value}'", f"known languages: {', '.join(known)}")
        return value

    @field_validator("paper")
    @classmethod
    def _is_a_paper(cls, value: str | None) -> str | None:
        from renderer.drawing.errors import DrawError
        from renderer.drawing.paper import USUAL, papers

        try:
            papers(value or USUAL["m"])
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
    if not os.path.isfile(path):  # nor where the name is longer than a name may be
        known = [each for each, _ in layouts()]
        cure = did_you_mean(name, known) or f"known layouts: {', '.join(known)}"
        raise PlanError(name, 0, "", "no layout has this name", cure)
    return _read(str(path))


def layouts() -> tuple[tuple[str, Layout], ...]:
    """The layouts that come with the package, by name."""
    from renderer import resources

    paths = sorted(resources.layouts().glob("*.yaml"))
    return tuple((path.stem, _read(str(path))) for path in paths)


def in_language(layout: Layout, language: str | None) -> Layout:
    """The layout, and that of each job of a pack, in a language; as it is where none is asked for.

    Raises WordError for a language without a catalogue.
    """
    if language is None:
        return layout
    require_language(language)
    each = layout.each and layout.each.model_copy(update={"language": language})
    return layout.model_copy(update={"language": language, "each": each})


def layout_for(options: PrintOptions, usual: str) -> Layout:
    """The layout that the options name, else the usual one, changed as they ask.

    Raises PlanError for a layout that cannot be read, WordError for a language without words.
    """
    chosen = load_layout(options.layout or usual)
    switches = {"form_fields": options.fields, "two_sided": options.two_sided}
    chosen = chosen.model_copy(update={k: v for k, v in switches.items() if v is not None})
    if options.full:
        chosen = in_full(chosen)
    return in_language(chosen, options.language)


def in_full(layout: Layout) -> Layout:
    """A pack's layout with the whole work order of each job.

    Raises SheetError for a layout of one job.
    """
    if layout.each is None:
        cure = f"leave it out; --layout {FULL} prints all of one job"
        raise SheetError(f"layout {layout.document}", "--full is for a pack of several jobs", cure)
    return layout.model_copy(update={"each": load_layout(FULL)})


def document_title(layout: Layout) -> str:
    """The document's name as printed."""
    words = load_words(layout.language)
    key = f"document.{layout.document}"
    return words(key) if key in words else layout.document


def _read(path: str) -> Layout:
    tree = tree_of(text_of(path), path, KEYS)
    given = dict(tree)
    if isinstance(tree.get("each"), Scalar):
        given["each"] = _each(str(tree["each"]), path, tree)
    try:
        layout = Layout.model_validate(given)
    except ValidationError as error:
        wrong = sorted(_told(path, tree, error), key=lambda each: each.line)
        first = wrong[0]
        others = tuple(wrong[1:])
        raise PlanError(
            first.path, first.line, first.key, first.problem, first.cure, others
        ) from None
    return _with_logo(layout, path, tree) if layout.header.logo else layout


def _each(name: str, path: str, tree: Mapping) -> Layout:
    """The layout that a pack names for its jobs, by its name or its path from the file."""
    is_path = Path(name).suffix.lower() in ENDINGS or Path(name).name != name
    place = str(Path(path).parent / name) if is_path else name
    if is_path and Path(place).resolve() == Path(path).resolve():
        loc = ("each",)
        problem = "the layout names itself"
        raise PlanError(path, line_of(tree, loc), key_path(loc), problem, "name one of a job")
    try:
        return load_layout(place)
    except PlanError as error:
        if error.line or error.path != place:
            raise
        loc = ("each",)
        problem = f"the layout {shown(name, PATH_MAX)} cannot be used ({error.problem})"
        raise PlanError(path, line_of(tree, loc), key_path(loc), problem, error.cure) from None


def _with_logo(layout: Layout, path: str, tree: object) -> Layout:
    """The layout with the logo's path as seen from here; the file is there and can be drawn."""
    logo = Path(path).parent / layout.header.logo
    problem = cure = ""
    try:
        read_logo(str(logo))
    except OSError as error:
        problem, cure = f"cannot be read ({str(error.strerror).lower()})", LOGO_CURE
    except SheetError as error:
        problem, cure = error.problem, error.cure
    if problem:
        loc = ("header", "logo")
        told = f"the logo '{logo}' {problem}"
        raise PlanError(path, line_of(tree, loc), key_path(loc), told, cure)
    header = layout.header.model_copy(update={"logo": str(logo)})
    return layout.model_copy(update={"header": header})


def _told(path: str, tree: object, error: ValidationError) -> Iterator[PlanError]:
    for item in complaints(error, Layout):
        yield PlanError(path, line_of(tree, item.loc), key_path(item.loc), item.problem, item.cure)
