"""The wire in words: conductor, size, class."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.sheets.sheet import Sheet

if TYPE_CHECKING:
    from renderer.language import Words

COPPER = "copper"  # the one conductor that the plan file knows by name


def wire_kind(sheet: Sheet) -> str:
    """Size and material of the wire, as the plan states it."""
    wire, words = sheet.job.plan.wire, sheet.words
    material = metal(words, wire.conductor)
    if wire.conductor_mm2 is not None:
        size = words.numbers.plain(wire.conductor_mm2)
        return words("wire-kind.mm2", size=size, material=material)
    if wire.conductor_awg is not None:
        return words("wire-kind.awg", size=wire.conductor_awg, material=material)
    return words("wire-kind.measured", material=material)


def metal(words: Words, conductor: str) -> str:
    """Copper by the language's word, any other conductor as it is written in the plan."""
    return words("wire-kind.copper") if conductor == COPPER else conductor
