"""What an SVG logo may hold: paths, basic shapes, groups, uses, fills and strokes.

All else is refused by its name, since it would be missing on the page.
"""

from __future__ import annotations

import re
from xml.etree import ElementTree

from renderer.sheets.errors import SheetError

WHAT = "logo"
CURE = "save it as plain SVG with texts turned to paths, or give a PNG"
SVG = "{http://www.w3.org/2000/svg}"
XLINK = "{http://www.w3.org/1999/xlink}href"
DRAWN = {"svg", "g", "a", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "use"}
SILENT = {"defs", "symbol", "title", "desc", "metadata", "style"}
ELSEWHERE = re.compile(r"url\(\s*['\"]?#?([^'\")]*)")  # a colour, mask or filter by its name
DEEPEST = 50  # uses that lead to themselves end here

Named = dict[str | None, ElementTree.Element]


def plain(data: bytes) -> bytes:
    """The drawing without namespaces and what programs add in their own.

    Raises SheetError for what is no sound SVG, or holds what cannot be drawn.
    """
    try:
        root = ElementTree.fromstring(data)
    except ElementTree.ParseError as error:
        raise SheetError(WHAT, f"is no sound SVG file ({error})", CURE) from None
    own = _own(root)
    if own is None:
        raise SheetError(WHAT, "is no SVG file", CURE)
    _refuse_elsewhere(" ".join(each.text or "" for each in own.iter("style")))
    _require_drawn(own, {each.get("id"): each for each in own.iter()}, 0)
    return ElementTree.tostring(own)


def _own(element: ElementTree.Element) -> ElementTree.Element | None:
    """An element of SVG and those in it, all by their bare names."""
    tag = str(element.tag)
    if not tag.startswith(SVG):
        return None
    names = {key: value for key, value in element.attrib.items() if "}" not in key}
    if XLINK in element.attrib:
        names.setdefault("href", element.attrib[XLINK])
    made = ElementTree.Element(tag.removeprefix(SVG), names)
    made.text = element.text
    made.extend(each for child in element if (each := _own(child)) is not None)
    return made


def _require_drawn(element: ElementTree.Element, named: Named, depth: int) -> None:
    """Refuses what an element and those in it show that this reader cannot draw."""
    if element.tag in SILENT:
        return
    if element.tag not in DRAWN or depth > DEEPEST:
        raise SheetError(WHAT, f"has <{element.tag}>, which cannot be drawn", CURE)
    for key, value in element.attrib.items():
        if key != "href":
            _refuse_elsewhere(value)
    if element.tag == "use":
        href = element.get("href", "")
        meant = named.get(href.removeprefix("#"))
        if meant is None:
            raise SheetError(WHAT, f"uses '{href}', which is not in it", CURE)
        for each in meant if meant.tag == "symbol" else (meant,):
            _require_drawn(each, named, depth + 1)
    for each in element:
        _require_drawn(each, named, depth + 1)


def _refuse_elsewhere(value: str) -> None:
    if found := ELSEWHERE.search(value):
        name = found[1].strip()
        problem = f"has a gradient, pattern, mask, clip or filter ('{name}'), which cannot be drawn"
        raise SheetError(WHAT, problem, CURE)
