"""The wire in words: conductor, size, class."""

from __future__ import annotations

from renderer.sheets.sheet import Sheet


def wire_kind(sheet: Sheet) -> str:
    """Size and material of the wire, as the plan states it."""
    wire, words = sheet.job.plan.wire, sheet.words
    if wire.conductor_mm2 is not None:
        return words(
            "wire-kind.mm2", size=words.numbers.plain(wire.conductor_mm2), material=wire.conductor
        )
    if wire.conductor_awg is not None:
        return words("wire-kind.awg", size=wire.conductor_awg, material=wire.conductor)
    return words("wire-kind.measured", material=wire.conductor)
