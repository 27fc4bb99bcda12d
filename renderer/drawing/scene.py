"""What the parts of a drawing share, and what each part hands back."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from renderer.drawing.pens import PAIR_APART_MM
from renderer.frozen import dataclass
from renderer.ground.whereabouts import Whereabouts
from renderer.primitives import Primitive

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.drawing.boxes import Occupied
    from renderer.drawing.labels import Label
    from renderer.drawing.view import View
    from renderer.geometry.lines import Chain, Point
    from renderer.ground.lay import Lay
    from renderer.ground.setting_out import SettingOut
    from renderer.language import Words
    from renderer.plan.model import Plan

# Order in which things are drawn, what is under comes first.
FILL, PATTERN, OUTLINE, WIRE, PAIR, MARK, PEG, SYMBOL = range(8)

LAYERS = frozenset(
    {
        "sides",
        "side-labels",
        "obstacles",
        "features",
        "wire",
        "arrows",
        "pegs",
        "peg-numbers",
        "splices",
        "dock",
        "supply",
        "references",
        "unsure",
        "dimensions",
        "findings",
        "names",
        "lawn-names",
    }
)


@dataclass(frozen=True, slots=True)
class Pin:
    """A place in metres that a sheet wants marked: a name of ``SYMBOLS`` and the text beside it."""

    symbol: str
    at: Point
    text: str


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """A plan, its lay, and how and with which words they are drawn.

    ``setting`` is what the lay is set out by; ``apart_mm`` is how far the two wires of a lead pair
    are drawn from each other.
    """

    plan: Plan
    lay: Lay
    findings: tuple[Finding, ...]
    view: View
    words: Words
    setting: SettingOut
    show: frozenset[str] = LAYERS
    pins: tuple[Pin, ...] = ()
    apart_mm: float = PAIR_APART_MM

    @property
    def units(self) -> str:
        return self.plan.units

    @property
    def places(self) -> Whereabouts:
        """What lies where as it is drawn, also where the setting out is that of another lay."""
        known = self.setting
        if known.plan is self.plan and known.lay is self.lay:
            return known.places
        return Whereabouts(self.plan, self.lay)


@dataclass(frozen=True, slots=True)
class Part:
    """What one part adds: primitives by layer, obstacles and labels, legend keys.

    ``areas`` are things in which no other's name should stand: the key of its own, its ring.
    ``grounds`` are hatched areas, given alike, ``wires`` the lines that no name may cover.
    """

    items: tuple[tuple[int, Primitive], ...] = ()
    obstacles: tuple[Occupied, ...] = ()
    labels: tuple[Label, ...] = ()
    used: frozenset[str] = frozenset()
    areas: tuple[tuple[str, Chain], ...] = ()
    grounds: tuple[tuple[str, Chain], ...] = ()
    wires: tuple[Chain, ...] = ()


def joined(parts: Iterable[Part]) -> Part:
    """The parts as one, in order."""
    all_parts = tuple(parts)
    return Part(
        tuple(item for part in all_parts for item in part.items),
        tuple(obstacle for part in all_parts for obstacle in part.obstacles),
        tuple(label for part in all_parts for label in part.labels),
        frozenset().union(*(part.used for part in all_parts)),
        tuple(area for part in all_parts for area in part.areas),
        tuple(ground for part in all_parts for ground in part.grounds),
        tuple(line for part in all_parts for line in part.wires),
    )


def slug(name: str) -> str:
    """A name as it stands in an SVG id: lower case, runs of signs and spaces one dash."""
    kept = "".join(c if c.isalnum() else " " for c in name.lower())
    return "-".join(kept.split())
