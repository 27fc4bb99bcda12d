"""What reads each kind of file, and sound files of that kind to begin from."""

from __future__ import annotations

import json
import math
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import yaml

from tests.plans import ROOT, demo_plans, example_plans

CORPUS = ROOT / "tests" / "corpus"


@dataclass(frozen=True, slots=True)
class Reader:
    """How a kind of file is read, and sound files of it; ``name`` is what a file of it is called.

    ``read`` takes the path of a file that lies in a folder which ``fill`` has filled.
    """

    name: str
    read: Callable[[str], object]
    seeds: Callable[[], tuple[bytes, ...]]


def fill(folder: Path) -> None:
    """What the files name: machine files, plans of a day, layouts of jobs, a logo."""
    for path in (ROOT / "demo").glob("*.yaml"):
        shutil.copy(path, folder)
    for path in CORPUS.glob("own-*.yaml"):
        shutil.copy(path, folder)
    (folder / "logo.svg").write_bytes(_drawn_logos()[0])


def _bytes(paths: list[Path]) -> tuple[bytes, ...]:
    return tuple(path.read_bytes() for path in paths)


def _plans() -> tuple[bytes, ...]:
    """The demo's plans and the examples, the smaller ones more often, for speed."""
    found = sorted(_bytes([*demo_plans(), *example_plans()]), key=len)
    return (*found[:2], *found[:2], *found)


def _as_json() -> tuple[bytes, ...]:
    held = (yaml.safe_load(each) for each in _plans())
    return tuple(json.dumps(each, default=str).encode() for each in held)


def _surveyed() -> tuple[bytes, ...]:
    """Plans with readings: ties, a traverse, offsets and angles, and a survey that stands alone."""
    return (*(each for each in _plans() if b"ties:" in each), *map(str.encode, SURVEYS))


def _read_survey(path: str) -> None:
    from renderer.plan.reader import load_survey

    load_survey(path)


def _read_day(path: str) -> None:
    from renderer.plan.day import load_day

    load_day(path)


def _read_layout(path: str) -> None:
    from renderer.sheets import load_layout

    load_layout(path)


def _read_logo(path: str) -> None:
    from renderer.sheets.logo import read_logo

    read_logo(path)


def _read_plan(path: str) -> None:
    from renderer.plan import load

    load(path)


def _read_machine(path: str) -> None:
    """A machine file, by a plan that names it."""
    from renderer.plan import loads

    plan = (ROOT / "demo" / "practice-lawn.plan.yaml").read_text("utf-8")
    head, _, rest = plan.partition("machine:")
    _, _, rest = rest.partition("\n")
    place = Path(path)
    loads(f"{head}machine: {place.name}\n{rest}", "practice.yaml", place.parent)


def _import(path: str) -> None:
    from renderer.formats import Options, import_plan

    fixed = ("A=0,0", "B=10,0") if Path(path).read_bytes()[:80].find(b"A,B") > 0 else ()
    side = "left" if fixed else None
    units = "m" if path.endswith((".dxf", ".csv")) else None
    checks = ("LAWN.1,LAWN.2,20", "LAWN.2,LAWN.3,12") if path.endswith(".dxf") else ()
    given = {"kinds": {"*": "hedge"}, "fixed": fixed, "side": side, "units": units}
    import_plan(path, Options(checks=checks, **given))


def _exported(ending: str) -> Callable[[], tuple[bytes, ...]]:
    """Files in the form of other programs, and for DXF what our own writer makes of a demo."""

    def made() -> tuple[bytes, ...]:
        import renderer
        from renderer.formats.exports import export

        path = str(ROOT / "demo" / "practice-lawn.plan.yaml")
        job = renderer.prepare(renderer.load(path))
        own = (export(job, ending, path),) if ending == "dxf" else ()
        return (*map(str.encode, FOREIGN.get(ending, ())), *own)

    return made


def _drawn_logos() -> tuple[bytes, ...]:
    return tuple(map(str.encode, LOGOS))


def _logos() -> tuple[bytes, ...]:
    from PIL import Image

    pictures = []
    for mode in ("L", "RGBA", "P", "1"):
        file = BytesIO()
        Image.new(mode, (13, 7), 1 if mode != "RGBA" else (10, 20, 30, 40)).save(file, "PNG")
        pictures.append(file.getvalue())
    return (*_drawn_logos(), *_drawn_logos(), *pictures)


def _days() -> tuple[bytes, ...]:
    small = "day: 1\njobs: [practice-lawn.plan.yaml]\n"
    full = (
        "day: 1\nunits: ft\ncrew: Van 2\ndate: 2026-06-10\nstart: '07:15'\nbreaks: 45\n"
        "jobs:\n  - {plan: practice-lawn.plan.yaml, drive: 5}\ndrive_home: 20\n"
        "stock:\n  spools: [300, 150.5]\n  pegs: 40\n  terminals: 2\nnotes: [Keep the gate shut.]\n"
    )
    return (
        small.encode(),
        full.encode(),
        full.encode(),
        (ROOT / "demo/fernhill.day.yaml").read_bytes(),
    )


def _layouts() -> tuple[bytes, ...]:
    own = _bytes(sorted(CORPUS.glob("own-*.yaml")))
    logo = b"layout: 1\ndocument: work-order\nheader: {logo: logo.svg}\nblocks: [job, plan]\n"
    return (*_bytes(sorted((ROOT / "layouts").glob("*.yaml"))), *own, logo)


def _ring(width: float, depth: float, at: tuple[float, float] = (1.1, 52.0)) -> list[list[float]]:
    """A rectangle of metres as degrees."""
    along, up = 1 / (111_300 * math.cos(math.radians(at[1]))), 1 / 111_300
    corners = ((0, 0), (width, 0), (width, depth), (0, depth), (0, 0))
    return [[at[0] + x * along, at[1] + y * up] for x, y in corners]


def _dxf() -> str:
    """A lawn with an arc, a round bed and a fixed point, as the DXF reference writes them."""
    corners = ((0, 0, 0), (20, 0, 0.25), (20, 12, 0), (0, 12, 0))
    pairs: list[tuple[int, object]] = [
        *((0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1015"), (9, "$INSUNITS")),
        *((70, 6), (0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES"), (0, "LWPOLYLINE"), (5, "2A")),
        *((100, "AcDbEntity"), (8, "LAWN"), (100, "AcDbPolyline"), (90, 4), (70, 1)),
        *(pair for x, y, bulge in corners for pair in ((10, x), (20, y), (42, bulge))),
        *((0, "CIRCLE"), (5, "2B"), (100, "AcDbEntity"), (8, "BED"), (100, "AcDbCircle")),
        *((10, 8.0), (20, 6.0), (30, 0), (40, 1.5), (0, "POINT"), (5, "2C"), (100, "AcDbEntity")),
        *((8, "FIXED"), (100, "AcDbPoint"), (10, -1.0), (20, 0), (30, 0), (0, "ENDSEC")),
        (0, "EOF"),
    ]
    return "".join(f"{code}\n{value}\n" for code, value in pairs)


def _foreign() -> dict[str, tuple[str, ...]]:
    lawn, bed = _ring(20, 12), _ring(3, 2, (1.10006, 52.00004))
    places = "".join(f'<trkpt lat="{y}" lon="{x}"/>' for x, y in lawn)
    told = [" ".join(f"{x},{y},0" for x, y in ring) for ring in (lawn, bed)]
    rings = [f"<LinearRing><coordinates>{each}</coordinates></LinearRing>" for each in told]
    polygon = {"type": "Polygon", "coordinates": [lawn, bed]}
    feature = {"type": "Feature", "properties": {"name": "Rear"}, "geometry": polygon}
    return {
        "gpx": (
            '<?xml version="1.0"?>\n<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">'
            '<wpt lat="52" lon="1.1"><name>A</name></wpt>\n'
            f"<trk><name>Walk</name><trkseg>{places}</trkseg></trk></gpx>",
        ),
        "kml": (
            '<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><name>Rear</name>\n'
            f"<Polygon><outerBoundaryIs>{rings[0]}</outerBoundaryIs>"
            f"<innerBoundaryIs>{rings[1]}</innerBoundaryIs></Polygon></Placemark></Document></kml>",
        ),
        "geojson": (json.dumps({"type": "FeatureCollection", "features": [feature]}),),
        "dxf": (_dxf(), _dxf()),
        "csv": (
            "name,x,y,kind,lawn,island,radius\nA,-1,0,reference,,,\nB,13,0,reference,,,\n"
            "1,0,0,flush,Rear,,\n2,12,0,fence,Rear,,\n3,12,8,hedge,Rear,,\n4,0,8,wall,Rear,,\n"
            "b1,3,3,bed,,Bed,\nb2,5,3,bed,,Bed,\nb3,5,5,bed,,Bed,\nApple,9,5,tree,,,0.4\n"
            "Dock,5,0.1,dock,,,\n",
            "point;x;y\n1;0,0;0,0\n2;10,0;0,5\n3;9,25;7,5\n",
            "point,A,B,kind\np1,3.00,9.49,wall\np2,8.54,4.24,hedge\np3,10.63,8.06,wall\n",
            "name\tx\ty\tside\na\t1.5\t3\thedge\nb\t20\t0\twall\nc\t20\t20\tbed\n",
        ),
    }


FOREIGN = _foreign()
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
LOGOS = (
    HEAD + 'viewBox="0 0 40 20">\n<circle cx="10" cy="10" r="8" fill="#2b7a2b"/>\n'
    '<path d="M20 2h15v10h-15z M22 4a3 3 0 1 1 6 0z" stroke="black" fill="none"/></svg>',
    HEAD
    + 'width="80mm" height="40">\n<defs><path id="b" d="M0 0q6-14 0-28c1 2 3 4 5 6S9 9 1 1T3 3z"/>'
    '</defs>\n<g transform="translate(20 35) rotate(15) scale(.8)" '
    'style="fill:#c33;stroke-width:2">'
    '<use xlink:href="#b" x="5"/>\n<use href="#b" transform="skewX(10)"/>'
    '<polygon points="10,-5 30,-5 20,-20"/>\n<polyline points="1,1 2,-9 9,-9" stroke="rgb(9,9,9)"/>'
    '<ellipse cx="20" cy="-10" rx="8" ry="5"/><rect x="1" y="-9" rx="2" width="9" height="4"/>'
    '<line x1="0" y1="0" x2="9" y2="-9" stroke="#000"/></g></svg>',
)
FIXED = (
    "plan: 1\nunits: m\njob: {number: S-1}\nsurvey:\n  side: left\n  points:\n"
    "    - {name: A, at: [0, 0]}\n    - {name: B, at: [10, 0]}\n"
)
SURVEYS = (
    FIXED + "  ties:\n    p1: {A: 5.00, B: 8.06}\n    p2: {A: 9.43, B: 8.54}\n"
    "    p3: {A: 11.18, B: 5.10}\n  sides:\n    - [p1, p2, 4.5]\n    - [p2, p3, 3.6]\n",
    FIXED + "  offsets: [{line: [A, B], points: {o: [3.20, 1.15], q: [8, 4]}, sigma: 2 cm}]\n"
    "  traverse:\n    - {from: A, to: t1, bearing: 0, reads: 5.00}\n"
    "    - {from: t1, to: t2, angle: 90, reads: 4.00}\n"
    "    - {from: t2, to: A, angle: 308.66, reads: 6.403}\n",
)

READERS = {
    "plan": Reader("g.plan.yaml", _read_plan, _plans),
    "json": Reader("g.json", _read_plan, _as_json),
    "machine": Reader(
        "g.machine.yaml", _read_machine, lambda: _bytes([ROOT / "demo/machine.yaml"])
    ),
    "day": Reader("g.day.yaml", _read_day, _days),
    "layout": Reader("g.layout.yaml", _read_layout, _layouts),
    "logo": Reader("g.logo", _read_logo, _logos),
    "csv": Reader("g.csv", _import, _exported("csv")),
    "gpx": Reader("g.gpx", _import, _exported("gpx")),
    "kml": Reader("g.kml", _import, _exported("kml")),
    "geojson": Reader("g.geojson", _import, _exported("geojson")),
    "dxf": Reader("g.dxf", _import, _exported("dxf")),
    "survey": Reader("g.survey.yaml", _read_survey, _surveyed),
}
