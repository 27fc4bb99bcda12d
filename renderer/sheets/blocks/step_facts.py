"""The plan's own numbers for each step, and how often the step comes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from renderer.ground.lay import LoopLay
from renderer.ground.parts import mown_parts
from renderer.ground.strips import SERVICES
from renderer.job.practice import SIGN
from renderer.plan.kinds import FEATURES
from renderer.sheets.blocks.loop_facts import Facts, loop_words
from renderer.sheets.readings import good_of, good_on, span
from renderer.sheets.sheet import Sheet
from renderer.trade import SERVICE_STRIP_M

ONCE: tuple[Facts, ...] = ({},)


def facts_for(sheet: Sheet) -> dict[str, Sequence[Facts]]:
    """Facts by the key of the step: one set for each time it comes, none where it does not."""
    return {
        "services": ONCE,
        "walk": ONCE,
        "household": ONCE,
        "protection": ONCE,
        "charge": ONCE,
        "photos": [{"where": _photos_kept(sheet)}],
        "hand-over": ONCE,
        **_before(sheet),
        **_references(sheet),
        **(_connect(sheet) | _test(sheet) if sheet.job.lay.loops else {}),
    }


def _photos_kept(sheet: Sheet) -> str:
    """Where the numbers of photographs are written: in their list, where the layout has it."""
    return sheet.words("photo.in-list" if sheet.has("photos") else "photo.in-record")


def _before(sheet: Sheet) -> dict[str, Sequence[Facts]]:
    words, measure, job, figures = sheet.words, sheet.measure, sheet.job, sheet.figures
    flagged = [f.name for f in job.plan.features if FEATURES[f.kind].flagged]
    gauges = [
        words(
            "gauge.marked" if gauge.marks_m else "gauge.cut",
            gauge=gauge.name,
            length=measure.length(gauge.length_m),
            marks=", ".join(measure.length(mark) for mark in gauge.marks_m),
        )
        for gauge in sheet.gauges
    ]
    spools = [
        {
            "spool": str(number),
            "length": measure.length(length),
            "ohms": span(sheet, good_of(sheet, length)),
            "star": figures.sign("reading_percent", "reading_ohm"),
        }
        for number, length in job.spools
    ]
    return {
        "check-bar": [
            {"check_bar": words("check-bar.inch" if sheet.inch_paper else "check-bar.mm") + SIGN}
        ],
        "flag": [{"flagged": ", ".join(flagged), "kept": _kept(sheet)}] if flagged else (),
        "mow": [{"grass": measure.small(figures["grass"]), "star": figures.sign("grass")}],
        "gauges": [{"gauges": ", ".join(gauges)}] if gauges else (),
        "spool": spools,
    }


def _kept(sheet: Sheet) -> str:
    """How far pegs and splices keep from what is flagged; a strip only along services."""
    if not any(feature.kind in SERVICES for feature in sheet.job.plan.features):
        return sheet.words("flagged.heads")
    return sheet.words("flagged.services", strip=sheet.measure.small(SERVICE_STRIP_M), star=SIGN)


def _references(sheet: Sheet) -> dict[str, Sequence[Facts]]:
    """The points to tape from, with the longest distance between two that one tape reaches."""
    tapes = sheet.tapes
    names = ", ".join(reference.name for reference in tapes.references)
    if not names or (ends := tapes.longest()) is None:
        return {"find-references": [{"references": names}] if names else ()}
    first, second = ends
    facts = {
        "references": names,
        "first": first.name,
        "second": second.name,
        "between": sheet.measure.taped(math.dist(first.at, second.at)),
        "tie": sheet.measure.small(sheet.figures["tie_within"]),
        "star": sheet.figures.sign("tie_within"),
    }
    return {"references": [facts]}


def _connect(sheet: Sheet) -> dict[str, Sequence[Facts]]:
    measure, job, figures = sheet.measure, sheet.job, sheet.figures
    machine = job.plan.machine
    docks = [loop for loop, _ in job.loops() if loop.dock]
    generators = [laid for loop, laid in job.loops() if loop.generator]
    strip = {
        "strip": measure.small(figures["strip_terminal"]),
        "star": figures.sign("strip_terminal"),
    }
    star = figures.sign("reading_percent", "reading_ohm")
    closer = sheet.words("closer.spool") if job.spools else ""
    ohms = [
        {
            "loop": loop_words(sheet, loop),
            "ohms": span(sheet, good_on(sheet, loop)),
            "star": star,
            "closer": closer,
        }
        for loop in job.lay.loops
    ]
    insulation = {
        "least": measure.numbers.plain(figures["insulation_megohm"]),
        "volts": measure.numbers.plain(figures["insulation_volt"]),
        "star": figures.sign("insulation_megohm", "insulation_volt"),
    }
    sign = figures.machine_sign
    rules = machine.dock
    kept = []
    if rules.straight_before:
        before = measure.length(rules.straight_before) + sign("dock.straight_before")
        kept.append(sheet.words("kept.before", before=before))
    if rules.straight_after:
        after = measure.length(rules.straight_after) + sign("dock.straight_after")
        kept.append(sheet.words("kept.after", after=after))
    level = measure.percent(rules.level_max_percent) + sign("dock.level_max_percent")
    kept.append(sheet.words("kept.level", level=level))
    return {
        "loop-ohms": ohms,
        "insulation": [insulation],
        "dock": [{"kept": ", ".join(kept)}] if docks else (),
        "generator": [{"loop": loop_words(sheet, laid)} for laid in generators],
        "terminals": [{"loop": loop_words(sheet, loop), **strip} for loop in job.lay.loops],
        "supply": [{"lead": "; ".join(_leads(sheet))}] if docks else (),
        "signal": ONCE,
    }


def _leads(sheet: Sheet) -> Iterator[str]:
    """What is known of each loop's supply lead: its length, and the way it takes."""
    words, measure, job = sheet.words, sheet.measure, sheet.job
    most = measure.length(job.plan.machine.dock.lead_max)
    most += sheet.figures.machine_sign("dock.lead_max")
    for loop in job.plan.loops:
        laid = next((each for each in job.lay.loops if each.name == loop.name), None)
        if laid is None:
            continue
        run = job.setting.supply_runs.get(loop.name)
        if run is None or loop.supply is None:
            told = words("supply-lead.most", most=most)
        else:
            lead = None if loop.supply.lead is None else measure.length(loop.supply.lead)
            known = "open" if lead is None else "stated"
            way = measure.length(run.length_m)
            told = words(f"supply-lead.{known}", lead=lead or most, way=way)
        yield told if len(job.lay.loops) == 1 else f"{loop_words(sheet, laid)}: {told}"


def _areas(sheet: Sheet, loop: LoopLay) -> Iterator[str]:
    """The area of a loop, or of each part that the machine has to be carried to."""
    words, area = sheet.words, sheet.measure.area
    parts = mown_parts(loop)
    if len(parts) < 2:
        yield words("loop.area", name=loop.name, area=area(loop.working_area_m2))
        return
    for part in parts:
        reached = "start" if part.at_start else "carried"
        share = sheet.measure.percent(round(100 * part.share))
        facts = {"name": part.name, "area": area(part.area_m2), "share": share}
        yield words(f"mown-part.{reached}", **facts)


def _carried_to(sheet: Sheet) -> Sequence[Facts]:
    """The parts of all loops that the machine cannot reach by itself, with their hours."""
    measure, words = sheet.measure, sheet.words
    parts = [
        words("mown-part.share", name=part.name, share=measure.percent(round(100 * part.share)))
        for loop in sheet.job.lay.loops
        for part in mown_parts(loop)
        if not part.at_start
    ]
    return [{"parts": ", ".join(parts)}] if parts else ()


def _test(sheet: Sheet) -> dict[str, Sequence[Facts]]:
    measure, job, figures = sheet.measure, sheet.job, sheet.figures
    docked = any(loop.dock for loop in job.plan.loops)
    areas = "; ".join(text for loop in job.lay.loops for text in _areas(sheet, loop))
    second = {
        "count": str(sum(peg.round == 2 for peg in job.pegs)),
        "spacing": measure.length(job.plan.machine.peg_spacing.final)
        + figures.machine_sign("peg_spacing.final"),
    }
    docking = {"dockings": f"{figures['dockings']:.0f}", "star": figures.sign("dockings")}
    first = sum(peg.round == 1 for peg in job.pegs)
    return {
        "clear": [{"count": str(first)}],
        "stop": ONCE,
        "lap": [{"lap": measure.length(figures["lap_from"]), "star": figures.sign("lap_from")}],
        "round-2": [second],
        "docking": [docking] if docked else (),
        "settings": [{"areas": areas}],
        "parts": _carried_to(sheet),
    }
