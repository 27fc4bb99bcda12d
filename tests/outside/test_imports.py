"""Files that other libraries wrote, read; and the local plane against PROJ's."""

from __future__ import annotations

import math
from io import StringIO

import ezdxf
import gpxpy.gpx
import pyproj
import pytest
from ezdxf import units
from geojson_pydantic import Feature, FeatureCollection, Polygon

from renderer.formats import Options, import_plan
from renderer.formats.earth import Plane
from renderer.plan import PlanError, loads
from renderer.plan.model import Plan

CORNERS = [(0.0, 0.0), (24.0, 3.0), (20.0, 15.0), (-2.0, 11.0)]
KINDS = {"*": "hedge"}


def azimuthal(lat: float, lon: float) -> pyproj.Proj:
    """PROJ's azimuthal equidistant about a place, https://proj.org/operations/projections/aeqd.html"""
    return pyproj.Proj(proj="aeqd", lat_0=lat, lon_0=lon, ellps="WGS84")


def spans(plan: Plan) -> list[float]:
    at = [each.at for each in plan.lawns[0].outline]
    return [math.dist(a, b) for k, a in enumerate(at) for b in at[k + 1 :]]


def true_spans() -> list[float]:
    return [math.dist(a, b) for k, a in enumerate(CORNERS) for b in CORNERS[k + 1 :]]


def places(lat: float = 52.0, lon: float = 1.1) -> list[tuple[float, float]]:
    return [azimuthal(lat, lon)(x, y, inverse=True) for x, y in CORNERS]


@pytest.mark.parametrize("lat", [0.0, -34.0, 47.0, 52.0, 65.0, -78.0])
@pytest.mark.parametrize("reach", [20.0, 50.0, 100.0, 200.0, 249.0])
def test_the_plane_is_as_true_as_it_says(lat: float, reach: float) -> None:
    onto = azimuthal(lat, 13.0)
    round_about = [
        onto(reach * math.cos(k / 8 * math.pi), reach * math.sin(k / 8 * math.pi), inverse=True)
        for k in range(16)
    ]
    plane = Plane("x", round_about)
    onto = azimuthal(plane.latitude, plane.longitude)
    off = max(math.dist(plane.at(place), onto(*place)) for place in round_about)
    assert off <= plane.error_m
    assert plane.error_m <= 0.05


@pytest.mark.parametrize(("reach", "off_mm"), [(50, 0.3), (100, 1.1), (200, 4.6)])
def test_the_plane_is_off_by_what_was_measured_at_latitude_52(reach: float, off_mm: float) -> None:
    onto = azimuthal(52.0, 1.1)
    turns = [k / 36 * math.pi for k in range(72)]
    ring = [onto(reach * math.cos(a), reach * math.sin(a), inverse=True) for a in turns]
    plane = Plane("x", ring)  # measured by another program: errors of a local plane, WGS 84
    onto = azimuthal(plane.latitude, plane.longitude)
    off = max(math.dist(plane.at(place), onto(*place)) for place in ring)
    assert 1000 * off == pytest.approx(off_mm, rel=0.25)


def test_gpx_by_gpxpy() -> None:
    held = gpxpy.gpx.GPX()
    track = gpxpy.gpx.GPXTrack(name="Walk & <round>")
    segment = gpxpy.gpx.GPXTrackSegment(
        [gpxpy.gpx.GPXTrackPoint(lat, lon, elevation=12) for lon, lat in places()]
    )
    track.segments.append(segment)
    held.tracks.append(track)
    held.waypoints.append(gpxpy.gpx.GPXWaypoint(*places()[0][::-1], name="House corner"))
    plan = _plan("walk.gpx", held.to_xml("1.1").encode())
    assert spans(plan) == pytest.approx(true_spans(), abs=2e-3)
    assert plan.lawns[0].name == "Walk & <round>"
    assert [each.name for each in plan.survey.points] == ["House corner"]


def test_geojson_by_geojson_pydantic() -> None:
    ring = [*places(), places()[0]]
    feature = Feature(
        type="Feature",
        geometry=Polygon(type="Polygon", coordinates=[ring]),
        properties={"name": "Rear", "kind": "fence"},
    )
    held = FeatureCollection(type="FeatureCollection", features=[feature])
    plan = _plan("rear.geojson", held.model_dump_json().encode())
    assert spans(plan) == pytest.approx(true_spans(), abs=2e-3)
    assert {each.side for each in plan.lawns[0].outline} == {"fence"}


def drawing(unit: int, per_m: float) -> bytes:
    document = ezdxf.new("R2010")
    document.units = unit
    space = document.modelspace()
    corners = [(x * per_m, y * per_m) for x, y in CORNERS]
    space.add_lwpolyline(corners, close=True, dxfattribs={"layer": "LAWN"})
    bed = [(5 * per_m, 5 * per_m, 1.0), (7 * per_m, 5 * per_m, 1.0), (6 * per_m, 8 * per_m, 0)]
    space.add_lwpolyline(bed, format="xyb", close=True, dxfattribs={"layer": "BEDS"})
    space.add_circle((12 * per_m, 8 * per_m), 0.5 * per_m, dxfattribs={"layer": "TREES"})
    space.add_point((0, -per_m), dxfattribs={"layer": "REF"})
    space.add_line((0, 0), (5, 5), dxfattribs={"layer": "NOTES"})
    out = StringIO()
    document.write(out)
    return out.getvalue().encode()


DRAWN = {"LAWN": "fence", "BEDS": "bed", "TREES": "tree"}
CHECKS = ("LAWN.1,LAWN.2,24.19 m", "LAWN.1,LAWN.3,25.00 m")


@pytest.mark.parametrize(
    ("unit", "per_m"),
    [(units.M, 1.0), (units.MM, 1000.0), (units.FT, 1 / 0.3048), (units.IN, 1 / 0.0254)],
)
def test_dxf_by_ezdxf(unit: int, per_m: float) -> None:
    plan = _plan("yard.dxf", drawing(unit, per_m), kinds=DRAWN, checks=CHECKS)
    assert spans(plan) == pytest.approx(true_spans(), abs=1e-3)
    assert sorted(each.kind for each in plan.obstacles) == ["bed", "tree"]
    assert plan.units == ("ft" if unit in (units.FT, units.IN) else "m")
    assert len(plan.survey.points) == 1


def test_an_arc_of_a_dxf_lawn_stays_an_arc() -> None:
    """A half circle by its bulge of 1: its top is a radius off the chord, to the right of it."""
    document = ezdxf.new("R2010")
    document.units = units.M
    document.modelspace().add_lwpolyline(
        [(0, 0, 1.0), (10, 0, 0), (10, 12, 0), (0, 12, 0)], format="xyb", close=True
    )
    out = StringIO()
    document.write(out)
    checks = ("0.1,0.2,10", "0.1,0.3,15.62")
    plan = _plan("arc.dxf", out.getvalue().encode(), kinds=KINDS, checks=checks)
    assert plan.lawns[0].outline[0].through == pytest.approx((5.0, -5.0))


def test_dxf_asks_for_its_unit_and_two_lengths() -> None:
    data = drawing(units.M, 1.0)
    with pytest.raises(PlanError, match="needs 2 lengths taped"):
        _plan("yard.dxf", data, kinds=DRAWN, checks=CHECKS[:1])
    with pytest.raises(PlanError, match="does not agree"):
        _plan("yard.dxf", data, kinds=DRAWN, checks=CHECKS, units="ft")
    with pytest.raises(PlanError, match="the drawing does not state its unit"):
        _plan("yard.dxf", drawing(0, 1.0), kinds=DRAWN, checks=CHECKS)
    with pytest.raises(PlanError, match="is not a readable DXF drawing"):
        _plan("yard.dxf", b"\x00nothing", kinds=DRAWN)


@pytest.fixture(autouse=True)
def _folder(tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)


def _plan(name: str, data: bytes, **options: object) -> Plan:
    with open(name, "wb") as file:
        file.write(data)
    return loads(import_plan(name, Options(**{"kinds": KINDS, **options})))
