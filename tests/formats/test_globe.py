"""GeoJSON, GPX and KML: outlines in degrees put on a plane, and files that are refused."""

from __future__ import annotations

import json
import math

import pytest

from renderer.formats import Options, import_plan
from renderer.plan import PlanError, loads
from renderer.plan.model import Plan

LON, LAT = 1.1, 52.0
# a metre at latitude 52 on WGS 84, degrees: a degree of latitude is 111,267 m there, one of
# longitude 68,678 m (Snyder, Map Projections: A Working Manual, USGS 1395, 1987, table 7 and eq.)
NORTH, EAST = 1 / 111267.0, 1 / 68678.0
SQUARE = [(0, 0), (20, 0), (20, 10), (0, 10), (0, 0)]
HOLE = [(5, 3), (5, 6), (8, 6), (8, 3), (5, 3)]
KINDS = {"*": "hedge"}


def degrees(points: list[tuple[float, float]], lon: float = LON) -> list[list[float]]:
    return [
        [round((lon + x * EAST + 180) % 360 - 180, 10), round(LAT + y * NORTH, 10)]
        for x, y in points
    ]


def geojson(lon: float = LON, **properties: str) -> str:
    polygon = {"type": "Polygon", "coordinates": [degrees(SQUARE, lon), degrees(HOLE, lon)]}
    feature = {"type": "Feature", "properties": {"name": "Rear", **properties}, "geometry": polygon}
    return json.dumps({"type": "FeatureCollection", "features": [feature]})


def gpx(head: str = "") -> str:
    places = "".join(f'<trkpt lat="{y}" lon="{x}"/>' for x, y in degrees(SQUARE))
    return (
        f'<?xml version="1.0"?>\n{head}<gpx version="1.1" '
        f'xmlns="http://www.topografix.com/GPX/1/1"><wpt lat="52" lon="1.1"><name>A</name></wpt>'
        f"<trk><name>Walk</name><trkseg>{places}</trkseg></trk></gpx>"
    )


def kml() -> str:
    def ring(points: list[tuple[float, float]]) -> str:
        told = " ".join(f"{x},{y},0" for x, y in degrees(points))
        return f"<LinearRing><coordinates>{told}</coordinates></LinearRing>"

    return (
        '<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><name>Rear</name>'
        f"<Polygon><outerBoundaryIs>{ring(SQUARE)}</outerBoundaryIs>"
        f"<innerBoundaryIs>{ring(HOLE)}</innerBoundaryIs></Polygon></Placemark></Document></kml>"
    )


def made(tmp_path, name: str, text: str, **options: object) -> tuple[Plan, str]:
    path = tmp_path / name
    path.write_text(text)
    told = import_plan(str(path), Options(**{"kinds": KINDS, **options}))
    return loads(told), told


def refused(tmp_path, name: str, text: str) -> str:
    with pytest.raises(PlanError) as caught:
        made(tmp_path, name, text)
    return str(caught.value)


def sides(plan: Plan) -> list[float]:
    corners = [each.at for each in plan.lawns[0].outline]
    return [math.dist(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]


@pytest.mark.parametrize(
    ("name", "text"), [("a.geojson", geojson()), ("a.gpx", gpx()), ("a.kml", kml())]
)
def test_an_outline_has_the_lengths_that_it_has_on_the_ground(tmp_path, name, text) -> None:
    plan, told = made(tmp_path, name, text)
    assert sides(plan) == pytest.approx([20, 10, 20, 10], abs=2e-3)
    assert "the plane adds no more than 1 mm" in told.replace("\n#  ", "")
    assert [each.name for each in plan.obstacles] == ([] if name == "a.gpx" else ["Rear island 1"])
    sketched = [note for note in plan.job.notes if note.startswith("Sketched")]
    assert len(sketched) == (name != "a.geojson")


def test_kinds_are_read_of_the_feature(tmp_path) -> None:
    text = geojson(kind="fence", island_kind="water")
    plan, _ = made(tmp_path, "a.geojson", text, kinds={})
    assert plan.lawns[0].outline[0].side == "fence" and plan.obstacles[0].kind == "water"


def test_a_garden_on_the_date_line_is_one_garden(tmp_path) -> None:
    plan, _ = made(tmp_path, "a.geojson", geojson(180 - 10 * EAST))
    assert sides(plan) == pytest.approx([20, 10, 20, 10], abs=2e-3)


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("a.gpx", gpx('<!DOCTYPE gpx [<!ENTITY a "b">]>'), ":2: has a document type"),
        ("a.kml", "<kml>" + "<a>" * 50, ":1: is nested too deeply"),
        ("a.kml", "<kml>\n<a></kml>", ":2: is not valid XML: mismatched tag"),
        ("a.kml", "<kml>" + "<a/>" * 100_001 + "</kml>", "more than 100,000 elements"),
        ("a.gpx", kml(), "is not a GPX file"),
        ("a.gpx", gpx().replace('lat="52"', 'lat="north"'), "lat: 'north' is not a number"),
        (
            "a.kml",
            kml().replace(",0 ", ",0,9 ", 1),
            "coordinates: '1.1,52.0,0,9' is not a",
        ),
        ("a.geojson", "[" * 100_000, "nested"),
        ("a.geojson", '{"type": "Topology"}', "'Topology' is not an outline"),
        ("a.geojson", "{\n'a'}", ":2: is not valid JSON"),
        ("a.geojson", geojson().replace("[1.1, 52.0]", "[1e400, 52]"), "is not a position"),
        ("a.geojson", geojson().replace("[1.1, 52.0]", '["1.1", 52]'), "is not a position"),
        ("a.geojson", geojson().replace("[1.1, 52.0]", "[1.2, 52.0]"), "m across"),
        ("a.geojson", geojson().replace("52.0", "92.0"), "is not a usable latitude"),
        ("a.shp", "", "use one of .csv, .geojson, .gpx, .kml, .dxf"),
    ],
)
def test_what_is_no_garden_is_refused_in_words(tmp_path, name, text, said) -> None:
    assert said in refused(tmp_path, name, text)


def test_a_track_without_kinds_asks_for_them(tmp_path) -> None:
    path = tmp_path / "a.gpx"
    path.write_text(gpx())
    with pytest.raises(PlanError, match="add --kinds 'Walk=hedge'"):
        import_plan(str(path), Options())
