"""The words of each kind of side, obstacle and feature: one entry per kind, in separate files."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

PART = "kinds"
NAME = "name"
# The keys that texts of a kind are looked up by, by the form that its entry gives.
KEYS: dict[str, tuple[str, ...]] = {
    NAME: ("kind",),
    "legend": ("side", "obstacle", "feature"),
    "short": ("short",),
    "at": ("point.kind",),
    "means": ("survey.means",),
    "thing": ("thing",),
}


def kind_words(entries: Mapping[str, str]) -> dict[str, str]:
    """Texts by the keys that they are looked up by, such as ``short.hedge``.

    ``entries`` are those of a file, such as ``hedge.short``. A form that an entry leaves out is its
    name; ``thing``, which stands in place of a name, begins with a capital; ``means`` is empty.
    """
    names = (key.removesuffix(f".{NAME}") for key in entries if key.endswith(f".{NAME}"))
    return {
        f"{key}.{kind}": entries.get(f"{kind}.{form}", default)
        for kind in names
        for form, default in _defaults(entries[f"{kind}.{NAME}"])
        for key in KEYS[form]
    }


def _defaults(name: str) -> Iterator[tuple[str, str]]:
    for form in KEYS:
        capital = f"{name[:1].upper()}{name[1:]}"
        yield form, {"means": "", "thing": capital}.get(form, name)
