"""Detail plates: the places of a plan that need to be seen larger, each as a drawing with notes.

Which plates there are follows from the lay: every dock, every island, every place where
something was cut for the machine to pass, every crossing and splice, and a section for
each kind of edge. To add a kind of plate, write a function and put it in ``PLATES``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.apart import apart
from renderer.drawing.closeup import APART_MM, Plate, Work, around, closeup, fit_window, window
from renderer.drawing.cropped import cropped
from renderer.drawing.cuts import cut_part
from renderer.drawing.dockplate import dock_part, dock_stretch, has_dock
from renderer.drawing.measures import length_text, tape_text
from renderer.drawing.section import section
from renderer.drawing.waiting import in_little_room
from renderer.drawing.words import drawing_words
from renderer.geometry.lines import between
from renderer.ground.gauges import setbacks_in_use
from renderer.ground.lay import named
from renderer.ground.parts import part_names
from renderer.ground.setting_out import SettingOut
from renderer.ground.tapes import Along, Found, OnWire, found_by_pegs

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.drawing.scale import Fit
    from renderer.drawing.scene import Scene
    from renderer.geometry.lines import Chain
    from renderer.ground.lay import Cut, Lay, Lead, LoopLay
    from renderer.language import Words
    from renderer.plan.model import Plan
    from renderer.plan.values import Units

# An island is drawn with the whole of its lead pair only if it then stays at least this large.
SMALLEST_ISLAND = 100.0
LEAD_SHOWN_M = 1.5
SPLICE_ROUND_M = 1.5
CROSSING_END_M = 2.2
DOCK_PAD_MM = (9.0, 19.0)
ISLAND_PAD_MM = (13.0, 13.0)


def plates(
    plan: Plan,
    lay: Lay,
    findings: Sequence[Finding],
    *,
    width_mm: float = 90.0,
    height_mm: float = 80.0,
    inch_paper: bool = False,
    rotation_deg: float = 0.0,
    words: Words | None = None,
    setting: SettingOut | None = None,
) -> tuple[Plate, ...]:
    """The detail plates that a plan needs, none larger than the given size in mm.

    ``rotation_deg`` is the turn of the plan sheet, so that plates lie the same way; ``setting`` is
    what the lay is set out by, where it has been worked out.
    """
    work = Work(
        plan, lay, tuple(findings), width_mm, height_mm, rotation_deg, inch_paper,
        words or drawing_words(), setting or SettingOut(plan, lay),
    )  # fmt: skip
    found = (plate for kind in PLATES.values() for plate in kind(work))
    return tuple(
        plate._replace(drawing=in_little_room(cropped(plate.drawing), number))
        for number, plate in enumerate(found)
    )


def _dock(work: Work) -> Iterator[Plate]:
    """Each dock or generator's start with the straight run and the terminals."""
    for loop in work.lay.loops:
        choices = [dock_stretch(work.plan, loop, supplied=flag) for flag in (True, False)]
        fits = [fit_window(work, points, DOCK_PAD_MM) for points in choices]
        fit, points = min(zip(fits, choices, strict=True), key=lambda pair: pair[0].scale)
        scene = window(work, points, fit, DOCK_PAD_MM)
        scene = replace(scene, show=scene.show - {"arrows"})
        title = work.words["plate.dock"].format(loop=loop.name)
        drawn = closeup(scene, title, [dock_part(scene, loop)])
        note = " ".join((*_straight(work, loop), work.words["plate.dock.ends"]))
        notes = (note, *_far_supply(work, loop, scene))
        yield Plate("dock", title, drawn.drawing, notes, drawn.keyed)


def _straight(work: Work, loop: LoopLay) -> Iterator[str]:
    """How far the wire runs straight on either side of a dock, where the machine needs that."""
    rules, units = work.plan.machine.dock, work.plan.units
    runs = {"after": rules.straight_after, "before": rules.straight_before}
    asked = [side for side, run in runs.items() if run]
    if asked and has_dock(work.plan, loop):
        lengths = {side: length_text(run, units, work.words) for side, run in runs.items()}
        key = "both" if len(asked) == len(runs) else asked[0]
        yield work.words[f"plate.dock.straight-{key}"].format(**lengths)


def _far_supply(work: Work, loop: LoopLay, scene: Scene) -> Iterator[str]:
    """A supply that the dock's plate does not show: how far its lead goes on to it."""
    run = work.setting.supply_runs.get(loop.name)
    if run is not None and not scene.view.sees(run.points[0]):
        length = length_text(run.length_m, work.plan.units, work.words)
        yield work.words["plate.dock.far"].format(length=length)


def _islands(work: Work) -> Iterator[Plate]:
    """Each ring that a lead pair leads to, the two wires drawn apart."""
    for loop, lead in _leads(work):
        yield _island(work, loop, lead)


def _leads(work: Work) -> Iterator[tuple[LoopLay, Lead]]:
    for loop in work.lay.loops:
        yield from ((loop, lead) for lead in loop.leads if lead.kind == "lead")


def _island(work: Work, loop: LoopLay, lead: Lead) -> Plate:
    scene = _island_scene(work, loop, lead)
    show = scene.show - {"wire", "arrows", "dock", "supply"}
    scene = replace(scene, show=show, apart_mm=APART_MM)
    ring = next(ring for ring in loop.rings if ring.id == lead.to_ring)
    title = work.words[f"plate.{ring.kind}"].format(name=part_names(loop)[lead.id])
    joined = list(_joined(scene, lead))
    drawn = closeup(scene, title, [apart(scene, loop, lead), *(cut_part(scene, c) for c in joined)])
    notes = [note for cut in joined for note in (_cut_title(work, cut), *_cut_notes(work, cut))]
    notes.append(_walk_note(work, loop, lead))
    return Plate("island", title, drawn.drawing, tuple(notes), drawn.keyed)


def _island_scene(work: Work, loop: LoopLay, lead: Lead) -> Scene:
    return window(work, *_island_window(work, loop, lead))


def _joined(scene: Scene, lead: Lead) -> Iterator[Cut]:
    """Where islands were made one, which the plate of their ring shows."""
    for cut in scene.lay.cuts:
        is_theirs = cut.kind in ("merge", "overlap") and named(cut.of) == lead.of
        if is_theirs and cut.shape is not None:
            ring = scene.view.chain(np.asarray(cut.shape.exterior.coords))
            if all(map(scene.view.frame.holds, ring.tolist())):
                yield cut


def _island_window(work: Work, loop: LoopLay, lead: Lead) -> tuple[Chain, Fit]:
    """The ground that an island's plate shows: all of its pair, or only the end of it."""
    ring = next(ring.points for ring in loop.rings if ring.id == lead.to_ring)
    if lead.kind == "lead" and any(r.id == lead.to_ring and r.kind == "outer" for r in loop.rings):
        ring = around(_pair(lead.points[-1]), LEAD_SHOWN_M)
    whole = np.concatenate((ring, lead.points))
    fit = fit_window(work, whole, ISLAND_PAD_MM)
    if fit.scale <= SMALLEST_ISLAND:
        return whole, fit
    end = between(lead.points[::-1], 0.0, min(lead.length_m, LEAD_SHOWN_M))
    part = np.concatenate((ring, end))
    fit = fit_window(work, part)
    if fit.scale <= SMALLEST_ISLAND:
        return part, fit
    foot = np.concatenate((around(_pair(lead.points[-1]), LEAD_SHOWN_M), end))
    return foot, fit_window(work, foot)


def _pair(row: Chain) -> tuple[float, float]:
    return float(row[0]), float(row[1])


def _walk_note(work: Work, loop: LoopLay, lead: Lead) -> str:
    """Running distances: where the pair leaves, reaches the ring, leaves it, is back."""
    out, back = (
        next(leg for leg in loop.legs if leg.part == lead.id and leg.back is flag)
        for flag in (False, True)
    )
    runs = {"a": out.from_m, "b": out.to_m, "c": back.from_m, "d": back.to_m}
    texts = {key: length_text(at_m, work.plan.units, work.words) for key, at_m in runs.items()}
    return work.words["plate.island.note"].format(**texts)


def _necks(work: Work) -> Iterator[Plate]:
    """Each place where the wire was routed differently so that the machine can pass."""
    on_islands = [
        id(cut)
        for loop, lead in _leads(work)
        for cut in _joined(_island_scene(work, loop, lead), lead)
    ]
    for cut in work.lay.cuts:
        if id(cut) in on_islands:
            continue
        points = around(cut.at, 1.2 * work.plan.machine.passage_min)
        if cut.shape is not None:
            points = np.concatenate((points, np.asarray(cut.shape.exterior.coords)))
        scene = window(work, points, fit_window(work, points))
        title = _cut_title(work, cut)
        drawn = closeup(scene, title, [cut_part(scene, cut)])
        yield Plate("neck", title, drawn.drawing, tuple(_cut_notes(work, cut)), drawn.keyed)


def _cut_title(work: Work, cut: Cut) -> str:
    """What the place is; a single obstacle whose setback overlaps does so with the edge's."""
    kind = "bay" if cut.kind == "overlap" and len(cut.of) == 1 else cut.kind
    return work.words[f"plate.cut.{kind}"].format(of=named(cut.of) or cut.lawn)


def _cut_notes(work: Work, cut: Cut) -> Iterator[str]:
    """How wide the place is, where that is known, and what the machine needs."""
    units, words = work.plan.units, work.words
    if cut.width_m:
        yield words["plate.cut.width"].format(width=length_text(cut.width_m, units, words))
    least = length_text(work.plan.machine.passage_min, units, words)
    yield words["plate.cut.least"].format(least=least)


def _crossings(work: Work) -> Iterator[Plate]:
    for loop in work.lay.loops:
        for lead in loop.leads:
            if lead.kind == "crossing":
                yield from _crossing(work, loop, lead)


def _crossing(work: Work, loop: LoopLay, lead: Lead) -> Iterator[Plate]:
    """A crossing as one plate, or its two ends where it is too long to be shown larger."""
    words = work.words
    key = "plate.crossing" if lead.under else "plate.crossing.bare"
    title = words[key].format(of=lead.of, under=lead.under)
    notes = (words["plate.crossing.note"], _walk_note(work, loop, lead))
    windows = [(title, lead.points)]
    if fit_window(work, lead.points).scale > SMALLEST_ISLAND:
        ends = (("near", lead.points[0]), ("far", lead.points[-1]))
        windows = [
            (f"{title}: {words[f'plate.end.{key}']}", around(_pair(at), CROSSING_END_M))
            for key, at in ends
        ]
    for own_title, points in windows:
        drawn = closeup(window(work, points, fit_window(work, points)), own_title)
        yield Plate("crossing", own_title, drawn.drawing, notes, drawn.keyed)


def _splices(work: Work) -> Iterator[Plate]:
    """Each splice with its running distance and two tapes to find it again."""
    units, words = work.plan.units, work.words
    for loop in work.lay.loops:
        for splice in loop.splices:
            points = around((splice.x, splice.y), SPLICE_ROUND_M)
            scene = window(work, points, fit_window(work, points))
            title = words["plate.splice"].format(id=splice.id)
            drawn = closeup(scene, title)
            notes = [words["plate.splice.run"].format(at=length_text(splice.at_m, units, words))]
            at = np.array([(splice.x, splice.y)])
            (way,) = found_by_pegs(work.setting.tapes, loop, at, [splice.at_m])
            if way is not None:
                notes.append(_way(way, units, words))
            yield Plate("splice", title, drawn.drawing, tuple(notes), drawn.keyed)


def _way(way: Found, units: Units, words: Words) -> str:
    """How a splice is found: by two tapes, along its side and square off it, or from a peg."""
    if isinstance(way, OnWire):
        key = "plate.splice.on" if way.on_m >= 0 else "plate.splice.back"
        return words[key].format(peg=way.name, length=tape_text(abs(way.on_m), units, words))
    if isinstance(way, Along):
        return words["plate.splice.along"].format(
            a=way.a,
            along=tape_text(way.a_m, units, words),
            off=tape_text(way.offset_m, units, words),
        )
    return words["plate.splice.ties"].format(
        a=_held(way.a, way.hops[0], words),
        b=_held(way.b, way.hops[1], words),
        to_a=tape_text(way.a_m, units, words, way.inch_parts),
        to_b=tape_text(way.b_m, units, words, way.inch_parts),
    )


def _held(name: str, hops: int, words: Words) -> str:
    """What a tape is held at: a fixed point by its name, a control peg by that word."""
    return words["plate.splice.peg"].format(peg=name) if hops else name


def _sections(work: Work) -> Iterator[Plate]:
    """A section for each kind of edge in use."""
    for kind, setback_m in setbacks_in_use(work.plan).items():
        gauge = work.setting.gauge_of(kind)
        name = gauge.name if gauge else ""
        drawing = section(
            kind, setback_m, work.plan.units, work.words, width_mm=work.width_mm, gauge=name
        )
        notes: tuple[str, ...] = ()
        if gauge:
            is_mark = gauge.is_mark(setback_m)
            words = "plate.section.mark" if is_mark else "plate.section.gauge"
            length = length_text(setback_m, work.plan.units, work.words)
            notes = (work.words[words].format(gauge=name, length=length),)
        yield Plate("section", drawing.title, drawing, notes)


PLATES: dict[str, Callable[[Work], Iterator[Plate]]] = {
    "dock": _dock,
    "island": _islands,
    "neck": _necks,
    "crossing": _crossings,
    "splice": _splices,
    "section": _sections,
}
