"""What an SVG logo may hold: paths, basic shapes, groups, uses, fills and strokes.

All else is refused by its name, since it would be missing on the page.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from io import BytesIO
from xml.etree import ElementTree

from renderer.plan.errors import shown
from renderer.sheets.errors import SheetError

WHAT = "logo"
CURE = "save it as plain SVG with text converted to paths, or give a PNG"
SVG = "{http://www.w3.org/2000/svg}"
XLINK = "{http://www.w3.org/1999/xlink}href"
DRAWN = {"svg", "g", "a", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "use"}
SILENT = {"defs", "symbol", "title", "desc", "metadata", "style"}
ELSEWHERE = re.compile(r"url\(\s*['\"]?#?([^'\")]*)")  # a colour, mask or filter by its name
DEEPEST = 50  # groups within groups; uses that lead to themselves end here too
PARTS_MOST = 12_000  # elements drawn and their numbers; what a use repeats counts each time
NUMBER_MOST = 1e6  # of a coordinate or a factor
GEOMETRY = (
    *("d", "points", "transform", "viewBox", "width", "height", "x", "y", "x1", "y1", "x2", "y2"),
    *("cx", "cy", "r", "rx", "ry", "stroke-width"),
)
A_NUMBER = re.compile(r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")

Named = dict[str | None, ElementTree.Element]
Counts = dict[ElementTree.Element, int]


def plain(data: bytes) -> bytes:
    """The drawing without namespaces and what programs add in their own.

    Raises SheetError for what is no sound SVG, or holds what cannot be drawn.
    """
    own = _own(_parsed(data))
    if own is None:
        raise SheetError(WHAT, "is not an SVG file", CURE)
    _refuse_elsewhere(" ".join(each.text or "" for each in own.iter("style")))
    _refuse_far(own)
    _count_drawn(own, {each.get("id"): each for each in own.iter()}, {}, 0)
    written: bytes = ElementTree.tostring(own, encoding="utf-8")  # names may have any letters
    return written


def _parsed(data: bytes) -> ElementTree.Element:
    """The root of the file, read event by event so that deep nesting is met before it is built."""
    depth = 0
    root: ElementTree.Element | None = None
    try:
        for event, element in ElementTree.iterparse(BytesIO(data), ("start", "end")):
            root = element if root is None else root
            depth += 1 if event == "start" else -1
            if depth > DEEPEST:
                raise SheetError(WHAT, f"has groups nested more than {DEEPEST} deep", CURE)
    except (ElementTree.ParseError, LookupError, ValueError) as error:
        raise SheetError(WHAT, f"is not a valid SVG file ({error})", CURE) from None
    if root is None:
        raise SheetError(WHAT, "is not an SVG file", CURE)
    return root


def _refuse_far(root: ElementTree.Element) -> None:
    """Refuses numbers that no drawing of a logo needs; they make curves of endless length."""
    for element in root.iter():
        for key in GEOMETRY:
            for number in A_NUMBER.findall(element.get(key, "")):
                if float(number) > NUMBER_MOST:
                    problem = f"has the number {number[:20]} in '{key}', too large to be drawn"
                    raise SheetError(WHAT, problem, CURE)


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


def _count_drawn(element: ElementTree.Element, named: Named, counted: Counts, depth: int) -> int:
    """How many elements and numbers an element draws; refuses too many, and unknown ones."""
    if element.tag in SILENT:
        return 0
    if element in counted:
        return counted[element]
    if element.tag not in DRAWN or depth > DEEPEST:
        raise SheetError(WHAT, f"has <{shown(element.tag)[1:-1]}>, which cannot be drawn", CURE)
    for key, value in element.attrib.items():
        if key != "href":
            _refuse_elsewhere(value)
    parts = [*element, *(_used(element, named) if element.tag == "use" else ())]
    count = 1 + sum(len(A_NUMBER.findall(element.get(key, ""))) for key in GEOMETRY)
    count += sum(_count_drawn(each, named, counted, depth + 1) for each in parts)
    if count > PARTS_MOST:
        raise SheetError(WHAT, f"draws more than {PARTS_MOST:,} elements and coordinates", CURE)
    counted[element] = count
    return count


def _used(element: ElementTree.Element, named: Named) -> Sequence[ElementTree.Element]:
    href = element.get("href", "")
    meant = named.get(href.removeprefix("#"))
    if meant is None:
        raise SheetError(WHAT, f"uses '{href}', which is not in it", CURE)
    return tuple(meant) if meant.tag == "symbol" else (meant,)


def _refuse_elsewhere(value: str) -> None:
    if found := ELSEWHERE.search(value):
        name = found[1].strip()
        problem = f"has a gradient, pattern, mask, clip or filter ('{name}'), which cannot be drawn"
        raise SheetError(WHAT, problem, CURE)
