"""How the points of an exercise are shared out where it has no questions of a part."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from renderer.teaching.practice import POINTS


def shared_out(sections: Collection[str]) -> Mapping[str, int]:
    """The points of each of some sections, in their order, as many together as all have.

    What the others would have is shared out by the points of those that there are; whole points.
    """
    asked = {section: points for section, points in POINTS.items() if section in sections}
    whole, own = sum(POINTS.values()), sum(asked.values())
    found = {section: whole * points // own for section, points in asked.items()}
    left = sorted(asked, key=lambda section: -(whole * asked[section] % own))
    for section in left[: whole - sum(found.values())]:
        found[section] += 1
    return found
