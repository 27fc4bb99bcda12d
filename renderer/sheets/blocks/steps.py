"""The steps of the work in their order, for two people, with tool, figure and numbers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Literal

from renderer.frozen import dataclass
from renderer.primitives import Primitive
from renderer.sheets.blocks.loop_facts import Facts, along_the_wire, loop_facts
from renderer.sheets.blocks.step_facts import facts_for
from renderer.sheets.compact import FINE, ROW_PAD_MM, TEXT, TEXT_STRONG
from renderer.sheets.draft_notice import ITALIC, beside
from renderer.sheets.kit import box, paragraph, tick
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import HEAD_PAD_MM, Column, Group, Row, Runs, Ticks, table
from renderer.sheets.type import (
    CLOSE_PAD_MM,
    HEAVY,
    LABEL,
    LEAD,
    SMALL,
    SMALL_STRONG,
    STRONG,
    TICK_MM,
    Style,
)
from renderer.sheets.use import BlockUse

GATE_PAD_MM = 1.6
# In a column of the page: what a box and who does a step take, and what is beside the texts.
DONE_MM = 9.0
NUMBER_MM = 6.5
BESIDE_MM = 0.8
TOOL = Style("italic", 9, LEAD)
Who = Literal["first", "second", "both"]


@dataclass(frozen=True, slots=True)
class Step:
    """A step by its key in the catalogue; it comes once for each set of facts of that key."""

    key: str
    who: Who = "both"


@dataclass(frozen=True, slots=True)
class Phase:
    """Steps that belong together, and the lines of the crew time that they take.

    ``each_loop`` are steps that come again for each loop, one loop after the other.
    """

    key: str
    minutes: tuple[str, ...]
    steps: tuple[Step, ...]
    each_loop: tuple[Step, ...] = ()


# About mains, digging and blades: in English too, where the translation is a draft.
SAFETY = frozenset(
    {"services", "protection", "flag", "crossing", "supply", "clear", "stop", "lap", "round-2"}
    | {"hand-over"}
)

ALONG = Step("along")  # stands for lead pairs, crossings and splices as the walk comes to them
ALONG_WHO: dict[str, Who] = {"lead": "both", "crossing": "both", "splice": "first"}

PHASES = (
    Phase(
        "before",
        ("fixed",),
        (
            Step("services"),  # before anything else, and before any peg
            Step("walk"),
            Step("household", "first"),
            Step("protection", "first"),  # before anything is plugged in
            Step("charge", "second"),
            Step("check-bar", "first"),
            Step("flag"),
            Step("mow", "second"),
            Step("gauges", "second"),
            Step("spool", "first"),
        ),
    ),
    Phase(
        "lay",
        ("per_control", "per_m", "per_island", "per_splice", "per_crossing"),
        # a dock without a place is found out before the cut
        (Step("references"), Step("find-references"), Step("dock")),
        (
            Step("control"),
            Step("control-bare"),  # where no gauge board is cut
            Step("start", "first"),
            Step("loose", "second"),
            ALONG,
            Step("pull"),
            Step("close", "first"),
        ),
    ),
    Phase(
        "connect",
        ("dock",),
        (
            Step("loop-ohms", "first"),
            Step("insulation", "first"),
            Step("generator"),
            Step("terminals", "first"),
            Step("supply", "second"),
            Step("signal", "first"),
        ),
    ),
    Phase(
        "test",
        ("test",),
        (
            Step("clear"),  # before blades turn
            Step("stop", "first"),
            Step("lap", "first"),
            Step("round-2", "second"),
            Step("docking", "first"),
            Step("settings", "first"),
            Step("photos", "second"),
            Step("parts", "first"),
            Step("hand-over"),
        ),
    ),
)


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A row per step by phase with its minutes: what to do, its limit in bold, the tool.

    In a column of the page who does it stands under the step's number.
    """
    words = sheet.words
    people = words("steps.people")
    if sheet.page_mm:
        people = f"{words('steps.under')} {people}"
    return (
        sheet.heading(use),
        _gate(sheet),
        *paragraph(people, sheet.width_mm, FINE if sheet.page_mm else SMALL),
        *table(
            _columns(sheet),
            tuple(_rows(sheet)),
            sheet.width_mm,
            pad_mm=ROW_PAD_MM if sheet.page_mm else CLOSE_PAD_MM,
            heads_again=not sheet.page_mm,
        ),
    )


def _columns(sheet: Sheet) -> tuple[Column, ...]:
    words = sheet.words
    title = f"{words('steps.do')} · {words('steps.keep')} · {words('steps.tool')}"
    done, number = words("steps.done"), words("steps.number")
    if sheet.page_mm:
        box = max(DONE_MM, SMALL_STRONG.width_mm(done) + 2 * HEAD_PAD_MM)
        count = max(NUMBER_MM, SMALL_STRONG.width_mm(number) + 2 * BESIDE_MM)
        return (
            Column(done, box, "middle"),
            Column(number, count, beside_mm=BESIDE_MM),
            Column(title, sheet.width_mm - box - count, style=TEXT, beside_mm=BESIDE_MM),
        )
    return (
        Column(done, 12, "middle"),
        Column(number, 9, "end", STRONG),
        Column(title, 162, style=TEXT),
        Column(words("steps.who"), 9, "middle", TEXT),
    )


def step_numbers(sheet: Sheet) -> dict[str, tuple[int, ...]]:
    """The numbers under which the steps of each key stand in the order."""
    found: dict[str, tuple[int, ...]] = {}
    for _, number, step, _ in _numbered(sheet):
        found[step.key] = (*found.get(step.key, ()), number)
    return found


def _gate(sheet: Sheet) -> Piece:
    """What has to be at hand before the first step, in a heavy frame with a box to tick."""
    texts = [(TEXT_STRONG if sheet.page_mm else STRONG, sheet.words("steps.gate"))]
    if other := beside(sheet, lambda each: each.words("steps.gate")):
        texts.append((ITALIC, other))
    left = TICK_MM + 2 * GATE_PAD_MM
    width = sheet.width_mm - left - GATE_PAD_MM
    height = sum(style.height_mm(text, width) for style, text in texts)
    height = max(height, TICK_MM) + 2 * GATE_PAD_MM
    items: list[Primitive] = [
        box(0.0, 0.0, sheet.width_mm, height, HEAVY),
        tick(GATE_PAD_MM, GATE_PAD_MM, sheet.field_name("steps", "gate"), texts[0][1]),
    ]
    y = GATE_PAD_MM
    for style, text in texts:
        items.extend(style.lines(text, left, y, width))
        y += style.height_mm(text, width)
    return Piece(height, tuple(items), gap_mm=2.0, keep=True)


def _rows(sheet: Sheet) -> Iterator[Row | Group]:
    rows = sheet.job.minutes
    minutes = {row.key: row.minutes for row in rows}
    steps = {phase: list(each) for phase, each in groupby(_numbered(sheet), lambda row: row[0])}
    for phase, each in steps.items():
        yield _phase(sheet, phase, minutes)
        for _, number, step, facts in each:
            yield _row(sheet, step, number, facts)


def _numbered(sheet: Sheet) -> Iterator[tuple[Phase, int, Step, Facts]]:
    """All steps of the order with their phases and numbers."""
    facts = facts_for(sheet)
    every = ((phase, *each) for phase in PHASES for each in _steps(sheet, phase, facts))
    for number, (phase, step, own) in enumerate(every, 1):
        yield phase, number, step, own


def _steps(
    sheet: Sheet, phase: Phase, facts: Mapping[str, Sequence[Facts]]
) -> Iterator[tuple[Step, Facts]]:
    for step in phase.steps:
        for each in facts.get(step.key, ()):
            yield step, each
    for loop in sheet.job.lay.loops if phase.each_loop else ():
        once = loop_facts(sheet, loop)
        for step in phase.each_loop:
            if step is ALONG:
                for key, each in along_the_wire(sheet, loop):
                    yield Step(key, ALONG_WHO[key]), each
            elif step.key in once:
                yield step, once[step.key]


def _phase(sheet: Sheet, phase: Phase, minutes: Mapping[str, float]) -> Group:
    total = sheet.measure.minutes(sum(minutes.get(key, 0.0) for key in phase.minutes))
    name = sheet.words(f"phase.{phase.key}")
    text = sheet.words("steps.phase", phase=name, minutes=total)
    return Group(text, sheet.words("table.again", text=name))


def _row(sheet: Sheet, step: Step, number: int, facts: Facts) -> Row:
    words = sheet.words
    text, tool, keep = (
        words(f"step.{step.key}.{part}", **facts) for part in ("do", "tool", "keep")
    )
    box = Ticks((sheet.field_name("step", number),), text)
    told = ((text, TEXT), (keep, TEXT_STRONG), (tool, TOOL))
    english = ""
    if step.key in SAFETY:
        english = beside(sheet, lambda each: each.words(f"step.{step.key}.do", **facts))
    done = Runs(tuple(part for part in told if part[0]), english)
    who = words(f"who.{step.who}")
    if sheet.page_mm:
        return Row((box, Runs(((str(number), TEXT_STRONG), (f"\n{who}", LABEL))), done))
    return Row((box, str(number), done, who))
