"""Other renderers on the same pages; each is left out, with a line that says so, where absent.

What they are given is made ready before the clock starts: the figures are for rendering alone.
"""

from __future__ import annotations

import base64
from collections.abc import Callable
from importlib.util import find_spec
from io import BytesIO
from typing import TYPE_CHECKING

from renderer import resources
from renderer.output.shapes import field_lines, text_start
from renderer.output.svg import page_svg
from renderer.primitives import Area, Circle, Document, FaceName, Field, Line, Page, Pen, Text
from renderer.text import FACE_FILES, face_path
from renderer.units import MM_PER_INCH, POINTS_PER_MM

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Peer = Callable[[], bytes]
TYPST_FACES: dict[FaceName, str] = {
    "regular": 'font: "Pegline Sans"',
    "bold": 'font: "Pegline Sans", weight: "bold"',
    "italic": 'font: "Pegline Sans", style: "italic"',
    "condensed": 'font: "Pegline Sans", stretch: 75%',
    "condensed_bold": 'font: "Pegline Sans", stretch: 75%, weight: "bold"',
}


def peers(document: Document) -> tuple[dict[str, Peer], list[str]]:
    """What each installed peer needs to render the document, and a line for each that is not."""
    made: dict[str, Callable[[Document], Peer]] = {
        "WeasyPrint": weasyprint,
        "typst": typst,
        "matplotlib": matplotlib,
    }
    found = {name: make(document) for name, make in made.items() if find_spec(name.lower())}
    lines = [f"{name} is not installed; left out." for name in made if name not in found]
    return found, lines


def weasyprint(document: Document) -> Peer:
    """Pages of HTML, each one SVG picture with its text as text."""
    import weasyprint as library

    sheets = "".join(
        f'<img src="data:image/svg+xml;base64,{base64.b64encode(page_svg(page)).decode()}">'
        for page in document.pages
    )
    width, height = document.pages[0].width_mm, document.pages[0].height_mm
    style = (
        f"@page {{ size: {width}mm {height}mm; margin: 0 }} body {{ margin: 0 }}"
        f"img {{ display: block; width: {width}mm; height: {height}mm; break-after: page }}"
    )
    html = f"<style>{style}</style>{sheets}"
    return lambda: bytes(library.HTML(string=html).write_pdf())


def typst(document: Document) -> Peer:
    """A typst file that places each thing; every run is told apart, so that none is remembered."""
    import typst as library

    body = "\n#pagebreak()\n".join(
        "\n".join(_typst_item(item) for item in _drawn(page)) for page in document.pages
    )
    width, height = document.pages[0].width_mm, document.pages[0].height_mm
    head = f"#set page(width: {width}mm, height: {height}mm, margin: 0mm)\n"
    run = iter(range(10**9))

    def render() -> bytes:
        source = head + body.replace("SHIFT", f"{next(run) / 1000}mm")
        return bytes(library.compile(source.encode(), font_paths=[str(resources.fonts())]))

    return render


def _drawn(page: Page) -> list[Line | Area | Circle | Text]:
    items: list[Line | Area | Circle | Text] = []
    for item in page.items:
        if isinstance(item, Field):
            items.extend(field_lines(item))
        elif isinstance(item, Line | Area | Circle | Text):
            items.append(item)
    return items


def _typst_item(item: Line | Area | Circle | Text) -> str:
    if isinstance(item, Text):
        x, y = text_start(item)
        text = item.text.replace("\\", "\\\\").replace('"', '\\"')
        shown = (
            f'text({TYPST_FACES[item.face]}, size: {item.size_pt}pt, fill: rgb("{item.colour}"), '
            f'top-edge: "baseline", bottom-edge: "baseline", "{text}")'
        )
        if item.angle_deg:
            shown = f"rotate({-item.angle_deg}deg, origin: top + left, {shown})"
        return f"#place(dx: {x:.4f}mm + SHIFT, dy: {y:.4f}mm, {shown})"
    style = f"stroke: {_typst_pen(item.pen)}, fill: {_typst_fill(item.fill)}"
    if isinstance(item, Circle):
        (x, y), r = item.at, item.radius_mm
        return (
            f"#place(dx: {x - r:.4f}mm + SHIFT, dy: {y - r:.4f}mm, circle(radius: {r}mm, {style}))"
        )
    rings = item.rings if isinstance(item, Area) else (item.points,)
    closed = isinstance(item, Area) or item.closed
    parts = []
    for ring in rings:
        (x, y), *rest = ring
        parts.append(f"curve.move(({x:.4f}mm, {y:.4f}mm))")
        parts += [f"curve.line(({x:.4f}mm, {y:.4f}mm))" for x, y in rest]
        parts += ["curve.close()"] if closed else []
    return f'#place(dx: SHIFT, curve(fill-rule: "even-odd", {style}, {", ".join(parts)}))'


def _typst_pen(pen: Pen | None) -> str:
    if pen is None:
        return "none"
    dash = f"({', '.join(f'{length}mm' for length in pen.dash_mm)},)" if pen.dash_mm else "none"
    return (
        f'(paint: rgb("{pen.colour}"), thickness: {pen.width_mm}mm, dash: {dash}, '
        f'cap: "{pen.cap}", join: "{pen.join}")'
    )


def _typst_fill(fill: str | None) -> str:
    return "none" if fill is None else f'rgb("{fill}")'


def matplotlib(document: Document) -> Peer:
    """A figure a page, of its patches and texts."""
    import matplotlib as library

    library.use("pdf")
    library.rcParams["pdf.fonttype"] = 42

    def render() -> bytes:
        from matplotlib.backends.backend_pdf import PdfPages

        file = BytesIO()
        with PdfPages(file) as pages:
            for page in document.pages:
                pages.savefig(_figure(page))
        return file.getvalue()

    return render


def _figure(page: Page) -> Figure:
    from matplotlib.figure import Figure
    from matplotlib.font_manager import FontProperties
    from matplotlib.patches import Circle as Round
    from matplotlib.patches import PathPatch

    figure = Figure(figsize=(page.width_mm / MM_PER_INCH, page.height_mm / MM_PER_INCH))
    axes = figure.add_axes((0, 0, 1, 1), xlim=(0, page.width_mm), ylim=(page.height_mm, 0))
    axes.set_axis_off()
    faces = {name: FontProperties(fname=str(face_path(name))) for name in FACE_FILES}
    for item in _drawn(page):
        if isinstance(item, Text):
            x, y = text_start(item)
            axes.text(
                x, y, item.text.replace("$", r"\$"), fontproperties=faces[item.face],
                size=item.size_pt, color=item.colour, rotation=item.angle_deg,
                rotation_mode="anchor", va="baseline",
            )  # fmt: skip
        elif isinstance(item, Circle):
            axes.add_patch(Round(item.at, item.radius_mm, **_matplotlib_style(item.pen, item.fill)))
        else:
            axes.add_patch(PathPatch(_path(item), **_matplotlib_style(item.pen, item.fill)))
    return figure


def _matplotlib_style(pen: Pen | None, fill: str | None) -> dict[str, object]:
    style: dict[str, object] = {"facecolor": fill or "none", "edgecolor": "none"}
    if pen is not None:
        width = pen.width_mm * POINTS_PER_MM
        style |= {"edgecolor": pen.colour, "linewidth": width, "capstyle": pen.cap}
        if pen.dash_mm:
            style["linestyle"] = (0, [length / pen.width_mm for length in pen.dash_mm])
    return style


def _path(item: Line | Area) -> object:
    from matplotlib.path import Path

    rings = item.rings if isinstance(item, Area) else (item.points,)
    closed = isinstance(item, Area) or item.closed
    return Path.make_compound_path(
        *(Path([*ring, ring[0]] if closed else ring, closed=closed) for ring in rings)
    )
