"""Pictures of what pegline draws and prints, made while the pages are built."""

from __future__ import annotations

import hashlib
import io
from dataclasses import replace
from functools import cache
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

import pypdfium2
from docutils import nodes
from docutils.parsers.rst import directives
from sphinx.util.docutils import SphinxDirective

import renderer
from docs.press.shown import FILES
from renderer.fault.asked import Asked
from renderer.output.pdf import write_pdf
from renderer.plan import load_day
from renderer.plan.files import is_day_file
from renderer.units import POINTS_PER_INCH

if TYPE_CHECKING:
    from sphinx.util.typing import OptionSpec

    from renderer.job import Job

DPI = 110
GREYS = 16  # enough for the edges of black lines, and a third of the bytes
DEMO = FILES.parent.parent / "demo"


class Picture(SphinxDirective):
    """A directive that shows a picture; what it makes stands beside the page."""

    def img(self, data: bytes, ending: str, of: str, alt: str) -> str:
        """A picture that leads to itself, its bytes written among those of the built pages."""
        folder = Path(self.env.app.outdir) / "_images"
        folder.mkdir(parents=True, exist_ok=True)
        name = f"{hashlib.sha256(data).hexdigest()[:16]}.{ending}"
        (folder / name).write_bytes(data)
        here = f"{'../' * self.env.docname.count('/')}_images/{name}"
        img = f'<img class="{of}" src="{here}" alt="{escape(alt)}" loading="lazy">'
        return f'<a href="{here}">{img}</a>'

    def shown(self, html: str) -> list[nodes.Node]:
        return [nodes.raw("", html, format="html")]


class Sheet(Picture):
    """A page of a print: ``{sheet} PLAN``, none for a form that needs no plan.

    ``of`` is ``trainees`` or ``trainer``: then it is a page of an exercise for a class, or of its
    key. It is the one on which a ``block`` begins, or by its number, or the first.
    """

    optional_arguments = 1
    option_spec: ClassVar[OptionSpec] = {
        "layout": directives.unchanged,
        "page": directives.positive_int,
        "block": directives.unchanged,
        "of": lambda text: directives.choice(text, ("trainees", "trainer")),
        "alt": directives.unchanged_required,
    }

    def run(self) -> list[nodes.Node]:
        name = self.arguments[0] if self.arguments else ""
        layout = self.options.get("layout", renderer.DEFAULT_LAYOUT)
        if name:
            self.env.note_dependency(str(plan_path(name)))
        number = self.options.get("page", 1)
        if "of" in self.options:
            pdf = lesson(name)[self.options["of"] == "trainer"]
        else:
            pdf, blocks = printed(name, layout)
            if "block" in self.options:
                number = blocks[self.options["block"]]
        png = page_png(pdf, number)
        return self.shown(self.img(png, "png", "sheet", self.options["alt"]))


class Garden(Picture):
    """A garden drawn to scale: ``{garden} PLAN``."""

    required_arguments = 1
    option_spec: ClassVar[OptionSpec] = {"alt": directives.unchanged_required}

    def run(self) -> list[nodes.Node]:
        self.env.note_dependency(str(plan_path(self.arguments[0])))
        svg = renderer.draw(job_of(self.arguments[0]), "svg")
        return self.shown(self.img(svg, "svg", "drawing", self.options["alt"]))


def plan_path(name: str) -> Path:
    """A plan file of the pages, else of the demo."""
    own = FILES / name
    return own if own.exists() else DEMO / name


@cache
def job_of(name: str) -> Job:
    """The job of a plan file, laid once for all pictures of it."""
    return renderer.prepare(renderer.load(plan_path(name)))


@cache
def printed(name: str, layout: str) -> tuple[bytes, dict[str, int]]:
    """What a layout prints of a plan on A4, as a PDF, and the page on which each block begins.

    Of a day file it is the pack, of the layout for a fault the leaf to find a break by.
    """
    if layout == renderer.DEFAULT_FAULT:
        document = renderer.fault_sheets(job_of(name), Asked(), paper="A4")
    elif is_day_file(name):
        day, plans = load_day(plan_path(name))
        document = renderer.compose_sheets(plans, day=day, paper="A4")
    else:
        jobs = [job_of(name)] if name else []
        document = renderer.compose_sheets(jobs, layout=layout, paper="A4")
    pages = list(document.pages)
    blocks: dict[str, int] = {}
    for number, page in enumerate(pages, 1):
        for mark in page.marks:
            blocks.setdefault(mark.name.rpartition(".")[2], number)
    return write_pdf(replace(document, pages=pages)), blocks


@cache
def lesson(name: str) -> tuple[bytes, bytes]:
    """One exercise made from a plan, and its key, as PDFs."""
    return renderer.print_class(job_of(name), 1, seed=7, paper="A4")


def page_png(pdf: bytes, number: int) -> bytes:
    """A page of a PDF, the first being 1, in a few greys."""
    page = pypdfium2.PdfDocument(pdf)[number - 1]
    image = page.render(scale=DPI / POINTS_PER_INCH, grayscale=True).to_pil()
    file = io.BytesIO()
    image.convert("L").quantize(GREYS).save(file, "PNG", optimize=True)
    return file.getvalue()
