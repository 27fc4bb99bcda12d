"""A fault of the wire on one leaf: what a reading may mean, where to measure next, and the tree."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from renderer.fault import Asked, causes, search
from renderer.frozen import dataclass
from renderer.ground.parts import legs_named
from renderer.plan.values import YesNo
from renderer.primitives import Line, Primitive
from renderer.sheets.blocks.map_points import found_of
from renderer.sheets.compact import FINE, FINE_STRONG, TEXT, TEXT_STRONG, fitted, rows_of
from renderer.sheets.draft_notice import doubled_paragraph
from renderer.sheets.kit import paragraph, subheading
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.places import LoopPlaces, Place, places_of
from renderer.sheets.readings import good_of, good_on, narrow_span, span
from renderer.sheets.setting_out import along_means, tied
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled
from renderer.sheets.type import RULE
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.fault import Answer, Cause, Search
    from renderer.ground.breaks import Probe
    from renderer.ground.lay import LoopLay

ROW_MM = 4.4  # from one end of the tree to the next
STEM_MM = 3.0
DEPTH_MOST = 4  # of the tree on paper: 16 ends
TREE_MOST = 0.23  # of a page; with it goes the legend of an estate


@dataclass(frozen=True, slots=True)
class Node:
    """A place to test at, with what follows where the wire is open up to it, and where whole.

    One without either is an end: the two places that the break is between.
    """

    text: str
    is_open: Node | None = None
    is_whole: Node | None = None

    @property
    def ends(self) -> int:
        return sum(each.ends for each in self.both) or 1

    @property
    def depth(self) -> int:
        return max((1 + each.depth for each in self.both), default=0)

    @property
    def both(self) -> tuple[Node, ...]:
        return tuple(each for each in (self.is_open, self.is_whole) if each)


class FaultUse(BlockUse):
    """``places: yes`` lists all places of the tree; without, they are where they cost no page."""

    places: YesNo = False

    def roomier(self) -> Iterator[BlockUse]:
        """With all places of the tree."""
        if not self.places:
            yield self.model_copy(update={"places": True})


def build(sheet: Sheet, use: FaultUse) -> tuple[Piece, ...]:
    """The reading, its likely causes, and for a break the next place and the tree of what follows.

    Where nothing was measured yet it is for a wire that is open, from the first test on.
    """
    asked = sheet.asked or Asked()
    loops = {each.loop.name: each for each in places_of(sheet)}
    if not loops:
        return ()
    places = loops[asked.loop] if asked.loop in loops else next(iter(loops.values()))
    found = causes(sheet.job.readings, places.loop, asked.ohms, asked.celsius)
    width = sheet.width_mm
    told = (
        sheet.heading(use),
        *doubled_paragraph(sheet, lambda each: each.words("break.first"), width, TEXT_STRONG),
        *paragraph(_reading(sheet, places.loop, asked), width, TEXT),
        *_causes(sheet, found),
        *_practice(sheet),
    )
    if found[0].kind != "open":
        return told
    return *told, *_search(sheet, places, asked, every=use.places)


def _reading(sheet: Sheet, loop: LoopLay, asked: Asked) -> str:
    measure = sheet.measure
    facts = {
        "loop": loop.name,
        "celsius": measure.numbers.plain(asked.celsius),
        "good": span(sheet, good_on(sheet, loop, asked.celsius)),
        "star": sheet.figures.sign("reading_percent", "reading_ohm"),
    }
    if asked.ohms is None:
        return sheet.words("fault.no-reading", **facts)
    return sheet.words("fault.reads", ohms=measure.ohms(asked.ohms), **facts)


def _practice(sheet: Sheet) -> tuple[Piece, ...]:
    """What the sign behind a figure means, where any stands there."""
    star = sheet.figures.sign("reading_percent", "reading_ohm")
    if not star:
        return ()
    return paragraph(sheet.words("load.practice", star=star), sheet.width_mm, FINE)


def _causes(sheet: Sheet, found: Sequence[Cause]) -> tuple[Piece, ...]:
    """A row a cause, the likeliest first."""
    words = sheet.words
    columns = (
        Column("", 0, style=FINE_STRONG),
        Column(words("fault.cause"), 2, style=FINE),
        Column(words("fault.then"), 0, "end", FINE),
        Column(words("fault.do"), 3, style=FINE),
    )
    rows = [Row((str(number), *_cause(sheet, each))) for number, each in enumerate(found, 1)]
    head = subheading(words("fault.causes"), sheet.width_mm)
    return head, *rows_of(fitted(columns, rows, sheet.width_mm), rows, sheet.width_mm)


def _cause(sheet: Sheet, cause: Cause) -> tuple[str, str, str]:
    """What it is, what the loop reads then, and what to do."""
    words, measure = sheet.words, sheet.measure
    facts = {
        "of": ", ".join(cause.of),
        "length": measure.length(cause.wire_m or 0.0),
        "ohms": measure.ohms(cause.more_ohm or 0.0),
    }
    do = "do-none" if cause.kind == "joint" and not cause.of else "do"
    reads = span(sheet, cause.reads) if cause.reads else "–"
    return (
        words(f"fault.{cause.kind}.what", **facts),
        reads,
        words(f"fault.{cause.kind}.{do}", **facts),
    )


def _search(sheet: Sheet, places: LoopPlaces, asked: Asked, *, every: bool) -> tuple[Piece, ...]:
    """What was tested, where the break lies by now, the next place, and the tree."""
    known, answers = _known(sheet, places, asked)
    found = search(places.loop, known, answers)
    width = sheet.width_mm
    lines = [*_tested(sheet, answers), _between(sheet, places, found)]
    if found.splices:
        lines.append(sheet.words("fault.splices", splices=", ".join(found.splices)))
    told = [piece for line in lines for piece in paragraph(line, width, TEXT)]
    if found.next is None:
        return *told, *paragraph(sheet.words("fault.lift"), width, TEXT_STRONG)
    tree = _tree(sheet, places, known, answers)
    names = list(dict.fromkeys(_names(tree)))
    called = {each.name: each for each in places.places}
    listed = [called[name] for name in (names if every else names[:1])]
    more = [sheet.words.count("fault.left", found.tests)]
    if len(listed) < len(names):
        more.append(sheet.words("fault.elsewhere"))
    if tree.depth < found.tests:
        more.append(sheet.words("fault.further"))
    return *told, *_next(sheet, places, listed, asked, more), *_branches(sheet, tree)


def _known(
    sheet: Sheet, places: LoopPlaces, asked: Asked
) -> tuple[list[tuple[str, Probe]], dict[str, Answer]]:
    """The places to test at by their names on the sheet, and what was answered of them."""
    from renderer.ground.breaks import numbered_probes
    from renderer.language import load_words

    probes = numbered_probes(sheet.job.lay.loops)[places.loop.name]
    english = load_words()
    called = {
        probe.splice or english("place.test", number=number): place.name
        for (probe, number), place in zip(probes, places.tested, strict=True)
    }
    known = [(place.name, probe) for place, (probe, _) in zip(places.tested, probes, strict=True)]
    return known, {called[name]: answer for name, answer in asked.answers.items()}


def _tested(sheet: Sheet, answers: Mapping[str, Answer]) -> Iterator[str]:
    if answers:
        told = (
            sheet.words(f"fault.answer.{answer}", place=name) for name, answer in answers.items()
        )
        yield sheet.words("fault.tested", answers=", ".join(told))


def _ends(sheet: Sheet, found: Search) -> dict[str, str]:
    words = sheet.words
    return {
        "first": found.first or words("place.start"),
        "last": found.last or words("place.finish"),
    }


def _between(sheet: Sheet, places: LoopPlaces, found: Search) -> str:
    words, measure = sheet.words, sheet.measure
    return words(
        "fault.between",
        **_ends(sheet, found),
        start=measure.length(found.from_m),
        end=measure.length(found.to_m),
        around=words.listed(legs_named(places.loop, found.legs)),
    )


def _names(tree: Node) -> Iterator[str]:
    """The places of a tree, the first test's first, then the second's, and so on."""
    level = [tree]
    while level:
        yield from (node.text for node in level if node.both)
        level = [each for node in level for each in node.both]


def _next(
    sheet: Sheet, places: LoopPlaces, listed: Sequence[Place], asked: Asked, more: Sequence[str]
) -> tuple[Piece, ...]:
    """The place to measure at, as the map has it, and what whole wire reads there; then others.

    Below them what the reading means, and ``more``.
    """
    words = sheet.words
    _, ways = found_of(sheet, places)
    columns = (
        Column(words("point.name"), 0, style=TEXT_STRONG),
        Column(words("point.what"), 1, style=TEXT),
        Column(words("point.tape-1"), 0, "end", TEXT),
        Column(words("point.tape-2"), 0, "end", TEXT),
        Column(words("point.hand"), 0, "middle", TEXT),
        Column(words("point.at", unit=sheet.measure.unit), 0, "end", TEXT),
        Column(words("point.from-start"), 0, "end", TEXT_STRONG),
    )
    rows = []
    for place in listed:
        tapes, hand = tied(sheet, ways[places.places.index(place)])
        good = good_of(sheet, place.at_m, asked.celsius)
        reads = narrow_span(sheet, good.low, good.high)
        at = sheet.measure.bare(place.at_m)
        rows.append(Row((Styled(place.name, TEXT_STRONG), place.what, *tapes, hand, at, reads)))
    head = subheading(words("fault.next", place=listed[0].name), sheet.width_mm)
    listed_ways = [ways[places.places.index(place)] for place in listed]
    told = " ".join((words("fault.whole-reads"), *more, words("photo.hand")))
    told += along_means(sheet, listed_ways)
    return held_together(
        (
            head,
            *rows_of(fitted(columns, rows, sheet.width_mm), rows, sheet.width_mm),
            *paragraph(told, sheet.width_mm, FINE),
        )
    )


def _tree(
    sheet: Sheet,
    places: LoopPlaces,
    known: Sequence[tuple[str, Probe]],
    answers: Mapping[str, Answer],
) -> Node:
    """What follows from each answer, as far as a part of the page has room for it."""
    return next(
        tree
        for depth in range(DEPTH_MOST, 0, -1)
        if (tree := _node(sheet, places.loop, known, answers, depth)).ends * ROW_MM
        <= TREE_MOST * sheet.height_mm
        or depth == 1
    )


def _branches(sheet: Sheet, tree: Node) -> tuple[Piece, ...]:
    """The tree as it is drawn."""
    step = sheet.width_mm / (tree.depth + 1)
    items = tuple(_drawn(sheet, tree, 0.0, 0.0, step))
    head = subheading(sheet.words("fault.tree"), sheet.width_mm)
    return held_together((head, Piece(tree.ends * ROW_MM, items, 1.0)))


def _node(
    sheet: Sheet,
    loop: LoopLay,
    known: Sequence[tuple[str, Probe]],
    answers: Mapping[str, Answer],
    depth: int,
) -> Node:
    found = search(loop, known, answers)
    if found.next is None or depth == 0:
        return Node(sheet.words("point.between", **_ends(sheet, found)))
    name, _ = found.next
    is_open = _node(sheet, loop, known, {**answers, name: "open"}, depth - 1)
    is_whole = _node(sheet, loop, known, {**answers, name: "whole"}, depth - 1)
    return Node(name, is_open, is_whole)


def _drawn(sheet: Sheet, node: Node, x: float, top: float, step: float) -> Iterator[Primitive]:
    """A node midway before its branches, which stand one under the other in the next column."""
    style = FINE_STRONG if node.both else FINE
    middle = top + node.ends * ROW_MM / 2
    yield style.line(node.text, x, middle - style.pitch_mm / 2)
    stem = x + style.width_mm(node.text) + 1.0
    turn = x + step - STEM_MM - max(map(FINE.width_mm, _answers(sheet))) - 2.0
    for child, answer in zip(node.both, _answers(sheet), strict=False):
        at = top + child.ends * ROW_MM / 2
        yield Line(((stem, middle), (turn, middle), (turn, at), (x + step - 1.0, at)), RULE)
        yield FINE.line(answer, turn + 1.0, at - FINE.pitch_mm - 0.1)
        yield from _drawn(sheet, child, x + step, top, step)
        top += child.ends * ROW_MM


def _answers(sheet: Sheet) -> tuple[str, str]:
    return sheet.words("fault.open-there"), sheet.words("fault.whole-there")
