"""Files as other programs really write them, in every dialect of their formats that was met.

The drawings are written by ezdxf, the track by gpxpy; the rest follows RFC 7946 (and the older
GeoJSON of 2008, which had a ``crs``), OGC 07-147r2 (KML 2.2) and the GPX 1.1 schema.
"""

from __future__ import annotations

import json
import math
import re
from io import StringIO
from xml.etree import ElementTree

import ezdxf
import gpxpy.gpx
import pytest
from ezdxf import units

from renderer.formats import Options, import_plan
from renderer.plan import PlanError, loads
from renderer.plan.model import Plan

IN_M = 0.0254
LAWN = [(0, 0), (800, 0), (800, 400), (0, 400)]  # inches
SPANS_M = [800 * IN_M, 400 * IN_M, 800 * IN_M, 400 * IN_M]
CHECKS = ("LAWN.1,LAWN.2,20.32 m", "LAWN.1,LAWN.3,22.72 m")
KINDS = {"*": "hedge"}
# a metre at latitude 52 on WGS 84, degrees (Snyder, USGS 1395, 1987)
NORTH, EAST = 1 / 111267.0, 1 / 68678.0
REAR = [(0, 0), (20, 0), (20, 10), (0, 10)]
FRONT = [(30, 0), (40, 0), (40, 10), (30, 10)]
BED = [(5, 3), (8, 3), (8, 6), (5, 6)]


@pytest.fixture(autouse=True)
def _folder(tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)


def text_of(name: str, data: str | bytes, **options: object) -> str:
    with open(name, "wb") as file:
        file.write(data if isinstance(data, bytes) else data.encode())
    return import_plan(name, Options(**{"kinds": KINDS, **options}))


def plan_of(name: str, data: str | bytes, **options: object) -> Plan:
    return loads(text_of(name, data, **options))


def refused(name: str, data: str | bytes, **options: object) -> str:
    with pytest.raises(PlanError) as caught:
        text_of(name, data, **options)
    return str(caught.value)


def spans(plan: Plan, lawn: int = 0) -> list[float]:
    at = [each.at for each in plan.lawns[lawn].outline]
    return [math.dist(a, b) for a, b in zip(at, at[1:] + at[:1], strict=True)]


def drawn(document: ezdxf.document.Drawing) -> bytes:
    out = StringIO()
    document.write(out)
    return out.getvalue().encode()


def document(unit: int = units.IN, version: str = "R2010") -> ezdxf.document.Drawing:
    made = ezdxf.new(version)
    made.units = unit
    return made


def test_a_dxf_lawn_and_trees_in_blocks_are_taken_where_they_are_inserted() -> None:
    made = document()
    made.blocks.new("YARD").add_lwpolyline(LAWN, close=True, dxfattribs={"layer": "LAWN"})
    made.blocks.new("TREE").add_circle((0, 0), 20, dxfattribs={"layer": "0"})
    space = made.modelspace()
    space.add_blockref("YARD", (9000, 50), dxfattribs={"rotation": 30})
    for x in (200, 500):
        at = (9000 + x * math.cos(math.pi / 6), 50 + 100 + x * math.sin(math.pi / 6))
        space.add_blockref("TREE", at, dxfattribs={"layer": "TREES", "xscale": 2, "yscale": 2})
    plan = plan_of("yard.dxf", drawn(made), kinds={"LAWN": "fence", "TREES": "tree"}, checks=CHECKS)
    assert spans(plan) == pytest.approx(SPANS_M, abs=1e-3)
    assert [each.kind for each in plan.obstacles] == ["tree", "tree"]
    assert [each.circle.radius for each in plan.obstacles if each.circle] == pytest.approx(
        [40 * IN_M] * 2, abs=1e-3
    )


@pytest.mark.parametrize("how", ["flat", "3d", "from below", "R12"])
def test_a_dxf_lawn_is_the_same_in_every_kind_of_polyline(how: str) -> None:
    made = document(version="R12" if how == "R12" else "R2010")
    space, layer = made.modelspace(), {"layer": "LAWN"}
    if how == "3d":
        space.add_polyline3d([(x, y, 40) for x, y in LAWN], close=True, dxfattribs=layer)
    elif how == "from below":  # by the reference, x then runs the other way
        mirrored = [(-x, y, 0.5 if (x, y) == LAWN[1] else 0.0) for x, y in LAWN]
        below = layer | {"extrusion": (0, 0, -1)}
        space.add_lwpolyline(mirrored, format="xyb", close=True, dxfattribs=below)
    else:
        space.add_polyline2d(LAWN, close=True, dxfattribs=layer)
    plan = plan_of("lawn.dxf", drawn(made), units="in", checks=CHECKS)
    assert spans(plan) == pytest.approx(SPANS_M, abs=1e-3)
    x = [each.at[0] for each in plan.lawns[0].outline]
    assert max(x) > 20  # and not mirrored
    if how == "from below":
        # ezdxf's own way from an entity's coordinates to those of the world, and a bulge of -0.5
        # there: the arc's top is half of half its chord to the left of it, seen along it
        world = next(iter(space.query("LWPOLYLINE"))).ocs().to_wcs((-800.0, 0.0, 0.0))
        assert world.x == pytest.approx(800.0)
        through = plan.lawns[0].outline[1].through
        assert through == pytest.approx((800 * IN_M - 100 * IN_M, 200 * IN_M), abs=1e-3)


def test_what_bounds_nothing_in_a_dxf_is_named() -> None:
    made = document()
    space = made.modelspace()
    space.add_lwpolyline(LAWN, close=True, dxfattribs={"layer": "LAWN"})
    space.add_lwpolyline(LAWN, close=True, dxfattribs={"layer": "LAWN"})
    space.add_ellipse((400, 200), (80, 0), 0.5, dxfattribs={"layer": "BED"})
    space.add_lwpolyline(BED, close=True, dxfattribs={"layer": "OLD"})
    made.layers.add("OLD").off()
    told = text_of("lawn.dxf", drawn(made), checks=CHECKS).replace("\n#  ", "")
    assert "Left out, since it bounds nothing by itself: 1 ELLIPSE on layer BED." in told
    assert "Left out, since these layers are off or frozen: OLD." in told
    assert "Drawn twice and taken once: LAWN." in told


def test_a_dxf_without_closed_lines_says_what_it_has() -> None:
    made = document()
    for one, two in zip(LAWN, LAWN[1:] + LAWN[:1], strict=True):
        made.modelspace().add_line(one, two, dxfattribs={"layer": "LAWN"})
    assert "it contains no lawn; left out, since it bounds nothing by itself: 4 LINE" in refused(
        "lawn.dxf", drawn(made)
    )
    miles = document(unit=units.MI)
    assert "unit is number 3, which no garden is drawn in" in refused("a.dxf", drawn(miles))
    assert "is a binary DXF drawing" in refused("a.dxf", b"AutoCAD Binary DXF\r\n\x1a\x00")


def test_a_dxf_of_endless_blocks_is_refused() -> None:
    made = document()
    made.blocks.new("DOT").add_line((0, 0), (1, 0))
    field = {"row_count": 200, "column_count": 200, "row_spacing": 1, "column_spacing": 1}
    made.modelspace().add_blockref("DOT", (0, 0), dxfattribs=field)
    assert "holds more than 20,000 entities" in refused("a.dxf", drawn(made))


def degrees(points: list[tuple[float, float]], *height: float) -> list[list[float]]:
    return [[1.1 + x * EAST, 52.0 + y * NORTH, *height] for x, y in points]


def closed(points: list[tuple[float, float]], *height: float) -> list[list[float]]:
    return degrees([*points, points[0]], *height)


def geojson(kind: str, coordinates: object, crs: str = "", **properties: str) -> str:
    held: dict[str, object] = {
        "type": "FeatureCollection",
        "name": "export",
        "features": [
            {
                "type": "Feature",
                "id": 1,
                "properties": properties or None,
                "geometry": {"type": kind, "coordinates": coordinates},
            }
        ],
    }
    if crs:
        held["crs"] = {"type": "name", "properties": {"name": crs}}
    return json.dumps(held)


@pytest.mark.parametrize("crs", ["urn:ogc:def:crs:OGC:1.3:CRS84", "urn:ogc:def:crs:EPSG::4326", ""])
def test_geojson_of_several_parts_with_heights(crs: str) -> None:
    parts = [[closed(REAR, 31.2), closed(BED, 31.2)], [closed(FRONT, 31.2)]]
    plan = plan_of("a.geojson", geojson("MultiPolygon", parts, crs, name="Rear"))
    assert [each.name for each in plan.lawns] == ["Rear", "Rear 2"]
    assert spans(plan) == pytest.approx([20, 10, 20, 10], abs=2e-3)
    assert [each.name for each in plan.obstacles] == ["Rear island 1"]


def test_geojson_lines_and_places() -> None:
    line = json.loads(geojson("LineString", closed(REAR), name="Walk"))
    posts = json.loads(geojson("MultiPoint", degrees(BED), name="Post"))
    line["features"] += posts["features"]
    plan = plan_of("a.geojson", json.dumps(line))
    assert spans(plan) == pytest.approx([20, 10, 20, 10], abs=2e-3)
    assert [each.name for each in plan.survey.points] == ["Post", "Post 2", "Post 3", "Post 4"]


def test_geojson_that_cannot_be_taken_says_why() -> None:
    grid = [[[649000 + x, 5412000 + y] for x, y in [*REAR, REAR[0]]]]
    stated = geojson("Polygon", grid, "urn:ogc:def:crs:EPSG::25832")
    assert "crs: 'urn:ogc:def:crs:EPSG::25832' is not WGS 84" in refused("a.geojson", stated)
    open_line = geojson("LineString", degrees(REAR), name="Walk")
    assert "the line 'Walk' does not end where it begins" in refused("a.geojson", open_line)


def test_gpx_with_extensions_of_other_vendors() -> None:
    """A foreign ``trkpt`` and ``name`` in an extension are none of the track's."""
    held = gpxpy.gpx.GPX()
    held.nsmap["x"] = "http://vendor.example/x"
    segment = gpxpy.gpx.GPXTrackSegment()
    for lon, lat in degrees(REAR):
        point = gpxpy.gpx.GPXTrackPoint(lat, lon, elevation=3)
        point.extensions.append(ElementTree.fromstring('<trkpt lat="9" lon="9"/>'))
        segment.points.append(point)
    track = gpxpy.gpx.GPXTrack(name="Walk")
    track.extensions.append(ElementTree.fromstring("<name>Not this</name>"))
    track.segments.append(segment)
    held.tracks.append(track)
    told = held.to_xml("1.1")
    assert told.count("<trkpt") == 8
    prefixed = re.sub(r"<(/?)(?=\w)", r"<\1g:", told).replace("xmlns=", "xmlns:g=")
    for text in (told, prefixed):
        plan = plan_of("walk.gpx", text)
        assert plan.lawns[0].name == "Walk"
        assert spans(plan) == pytest.approx([20, 10, 20, 10], abs=2e-3)


def kml(inner: str) -> str:
    return (
        '<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2">'
        f"<Document><Folder><Placemark><name>Rear</name>{inner}</Placemark></Folder></Document></kml>"
    )


def ring(points: list[tuple[float, float]], parted: str = ",") -> str:
    told = "\n ".join(f"{x}{parted}{y}{parted}0" for x, y in closed(points))
    return f"<LinearRing><coordinates>{told}</coordinates></LinearRing>"


@pytest.mark.parametrize(
    "inner",
    [
        ring(REAR),
        f"<Polygon><outerBoundaryIs>{ring(REAR, ', ')}</outerBoundaryIs></Polygon>",
        "<gx:MultiTrack><gx:Track>"
        + "".join(f"<when/><gx:coord>{x} {y} 0</gx:coord>" for x, y in degrees(REAR))
        + "</gx:Track></gx:MultiTrack>",
        "<ExtendedData><name>No</name></ExtendedData><MultiGeometry>"
        f"<MultiGeometry>{ring(REAR)}</MultiGeometry></MultiGeometry>",
    ],
)
def test_kml_shapes_of_every_kind(inner: str) -> None:
    plan = plan_of("a.kml", kml(inner))
    assert plan.lawns[0].name == "Rear"
    assert spans(plan) == pytest.approx([20, 10, 20, 10], abs=2e-3)


def test_kml_that_only_links_elsewhere_says_so() -> None:
    linked = kml("").replace("<Placemark>", "<NetworkLink/><Placemark>")
    assert "links to another file, and no network is used" in refused("a.kml", linked)


def test_a_table_with_units_in_its_head_is_told_the_plain_names() -> None:
    table = "Name;X [m];Y [m]\np1;0;0\np2;1;0\np3;0;1\n"
    assert "'X [m]' is not a column" in refused("a.csv", table)
