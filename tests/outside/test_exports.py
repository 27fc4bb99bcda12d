"""What ``lay -o`` writes, read back by libraries of others: the same geometry to 0.1 mm.

ezdxf reads the DXF, geojson-pydantic the GeoJSON, gpxpy the GPX, the standard library the tables;
PROJ says where degrees lie on the ground.
"""

from __future__ import annotations

import csv
import io
import json
import math
from functools import cache

import ezdxf.recover
import gpxpy
import numpy as np
import pyproj
import pytest
import yaml
from geojson_pydantic import FeatureCollection

import renderer
from renderer.cli import main
from renderer.formats import Options, import_plan
from renderer.formats.csv_out import write_staking
from renderer.formats.exports import export
from renderer.formats.things import things
from renderer.job import Job
from renderer.plan import PlanError, load, loads
from tests.plans import ROOT, moved

SAME_M = 1.01e-4  # the laid path is rounded to 0.1 mm
LATITUDE, LONGITUDE, NORTH = 52.0571, 1.1523, 23.0
PLACED = ("survey", "lawns", "obstacles", "features", "loops")
GRID = (649_000.0, 5_412_000.0)
MOVED = {
    "as it is": (0.0, False, (0.0, 0.0)),
    "turned": (math.radians(23.0), False, (0.0, 0.0)),
    "mirrored": (0.0, True, (0.0, 0.0)),
    "on a grid": (0.0, False, GRID),
}


@cache
def job(how: str = "as it is", name: str = "old-smithy") -> Job:
    """A demo garden, moved, with a position that lies at the zero of its own measures."""
    path = ROOT / f"demo/{name}.plan.yaml"
    held = yaml.safe_load(path.read_text("utf-8"))
    turn, mirror, shift = MOVED[how]
    if how != "as it is":
        held |= moved({key: held[key] for key in PLACED if key in held}, turn, mirror, shift)
    held |= {
        "north": NORTH,
        "position": {"at": list(shift), "latitude": LATITUDE, "longitude": LONGITUDE},
    }
    return renderer.prepare(loads(json.dumps(held, default=str), folder=path.parent))


def exported(of: Job, ending: str) -> bytes:
    return export(of, ending, "garden.plan.yaml")


def pegs_of(of: Job) -> dict[str, tuple[float, float]]:
    return {peg.id: (peg.x, peg.y) for peg in of.pegs}


each_way = pytest.mark.parametrize("how", list(MOVED))


@each_way
def test_dxf_by_ezdxf(how: str) -> None:
    of = job(how)
    drawing, audit = ezdxf.recover.read(io.BytesIO(exported(of, "dxf")))
    assert not audit.has_errors and not audit.has_fixes
    assert drawing.dxfversion == "AC1009"
    (note,) = drawing.modelspace().query("TEXT[layer=='NOTES']")
    assert note.dxf.text == "1 drawing unit = 1 metre"  # which no header of release 12 can say
    assert (drawing.header["$LUNITS"], drawing.header["$LUPREC"]) == (2, 4)
    space = drawing.modelspace()
    (wire,) = space.query("POLYLINE[layer=='WIRE']")
    path = np.array([(v.dxf.location.x, v.dxf.location.y) for v in wire.vertices])
    assert not wire.is_closed
    assert np.abs(path - of.lay.loops[0].path).max() < SAME_M
    points = [p.dxf.location for p in space.query("POINT") if p.dxf.layer.startswith("PEGS-ROUND")]
    assert (
        np.abs(np.array([(p.x, p.y) for p in points]) - list(pegs_of(of).values())).max() < SAME_M
    )
    names = [t.dxf.text for t in space.query("TEXT") if t.dxf.layer.startswith("PEGS-ROUND")]
    assert names == list(pegs_of(of))
    circles = [o.circle for o in of.plan.obstacles if o.circle]
    drawn = list(space.query("CIRCLE[layer=='OBSTACLES']"))
    assert [c.dxf.radius for c in drawn] == pytest.approx([c.radius for c in circles], abs=SAME_M)
    lawns = list(space.query("POLYLINE[layer=='LAWNS']"))
    assert len(lawns) == len(of.plan.lawns) and all(each.is_closed for each in lawns)


@each_way
def test_geojson_by_geojson_pydantic_lies_where_proj_says(how: str) -> None:
    of = job(how)
    held = FeatureCollection.model_validate_json(exported(of, "geojson"))
    wires = [f for f in held.features if f.properties and f.properties["layer"] == "WIRE"]
    (wire,) = wires
    placed = np.array([tuple(at) for at in wire.geometry.coordinates])  # type: ignore[union-attr]
    # azimuthal equidistant about the position, https://proj.org/operations/projections/aeqd.html
    onto = pyproj.Proj(proj="aeqd", lat_0=LATITUDE, lon_0=LONGITUDE, ellps="WGS84")
    east, north = np.array([onto(*place) for place in placed]).T
    turn = math.radians(NORTH)  # true north, clockwise from the plan's y
    x = east * math.cos(turn) + north * math.sin(turn)
    y = north * math.cos(turn) - east * math.sin(turn)
    path = of.lay.loops[0].path - np.array(MOVED[how][2])
    # 7 decimals of a degree are 11 mm; the plane of a garden adds less than a millimetre here
    assert np.abs(np.stack((x, y), axis=1) - path).max() < 0.0075
    for feature in held.features:
        assert feature.geometry is not None and feature.properties
        if feature.geometry.type == "Polygon":
            assert _is_anticlockwise(feature.geometry.coordinates[0])


def _is_anticlockwise(ring: object) -> bool:
    places = np.array([tuple(at)[:2] for at in ring])  # type: ignore[attr-defined]
    x, y = (places - places[0]).T
    return bool((x[:-1] * y[1:] - x[1:] * y[:-1]).sum() > 0)


@each_way
def test_geojson_without_a_position_is_in_the_plans_metres(how: str) -> None:
    with_place = job(how)
    of = renderer.prepare(with_place.plan.model_copy(update={"position": None}))
    held = json.loads(exported(of, "geojson"))
    assert held["units"] == "m"
    FeatureCollection.model_validate(held)
    found = {
        each["properties"]["name"]: each["geometry"]["coordinates"]
        for each in held["features"]
        if each["properties"]["layer"].startswith("PEGS")
    }
    for name, at in pegs_of(of).items():
        assert found[name] == pytest.approx(at, abs=SAME_M)
    legs = [each for each in held["features"] if each["properties"]["layer"] == "LEGS"]
    path = of.lay.loops[0].path
    lengths = [_length(np.array(each["geometry"]["coordinates"])) for each in legs]
    assert sum(lengths) == pytest.approx(_length(path), abs=1e-3)


def _length(path: np.ndarray) -> float:
    return float(np.hypot(*np.diff(path, axis=0).T).sum())


@each_way
def test_tables_by_the_standard_library(how: str) -> None:
    of = job(how)
    rows = list(csv.DictReader(io.StringIO(exported(of, "csv").decode(), newline="")))
    assert [row["peg"] for row in rows] == [peg.id for peg in of.pegs]
    for row, peg in zip(rows, of.pegs, strict=True):
        assert (float(row["x_m"]), float(row["y_m"])) == pytest.approx((peg.x, peg.y), abs=SAME_M)
        assert float(row["at_m"]) == pytest.approx(peg.at_m, abs=SAME_M)
        assert (row["also_at_m"] == "") == (peg.also_at_m is None)
    staked = list(csv.reader(io.StringIO(write_staking(of).decode(), newline="")))
    assert staked[0] == ["point", "east_m", "north_m", "note"]
    names = [row[0] for row in staked[1:]]
    assert len(set(names)) == len(names)
    at = {row[0]: (float(row[1]), float(row[2])) for row in staked[1:]}
    for name, place in pegs_of(of).items():
        assert at[f"P{name}"] == pytest.approx(place, abs=SAME_M)
    assert {splice.id for splice in of.splices} <= at.keys()
    assert {point.name for point in of.plan.survey.points} <= at.keys()


def test_gpx_by_gpxpy() -> None:
    of = job("turned")
    held = gpxpy.parse(exported(of, "gpx").decode())
    (track,) = held.tracks
    points = track.segments[0].points
    by_name = {each.name: (each.longitude, each.latitude) for each in held.waypoints}
    geojson = json.loads(exported(of, "geojson"))["features"]
    (wire,) = (f for f in geojson if f["properties"]["layer"] == "WIRE")
    told = [[p.longitude, p.latitude] for p in points]
    assert np.abs(np.array(told) - np.array(wire["geometry"]["coordinates"])).max() < 1e-9
    for peg in of.pegs:
        (place,) = (
            f["geometry"]["coordinates"]
            for f in geojson
            if f["properties"]["layer"].startswith("PEGS") and f["properties"]["name"] == peg.id
        )
        assert by_name[f"P{peg.id}"] == pytest.approx(place, abs=1e-9)


def test_gpx_needs_a_position_and_says_so(tmp_path, capsys) -> None:
    plan, out = ROOT / "demo/old-smithy.plan.yaml", tmp_path / "a.gpx"
    assert main(["lay", str(plan), "-o", str(out)]) == 2
    said = capsys.readouterr().err
    assert "position: the plan does not say where on earth it lies" in said
    assert not out.exists()


def test_a_plan_imported_from_degrees_goes_out_to_the_same_degrees(tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    ring = [[1.1, 52.0], [1.1003, 52.0], [1.1003, 52.0001], [1.1, 52.0001], [1.1, 52.0]]
    held = {"type": "Polygon", "coordinates": [ring]}
    (tmp_path / "a.geojson").write_text(json.dumps(held))
    text = import_plan("a.geojson", Options(kinds={"*": "hedge"}))
    again = json.loads(exported(renderer.prepare(loads(text)), "geojson"))
    (lawn,) = (f for f in again["features"] if f["properties"]["layer"] == "LAWNS")
    back = {tuple(at) for at in lawn["geometry"]["coordinates"][0]}
    # corners are written to a millimetre, positions to seven decimals
    for at in ring:
        assert min(math.dist(at, each) for each in back) < 2e-7


def test_names_outside_the_code_page_survive_a_dxf() -> None:
    plan = job().plan
    first = plan.obstacles[0].model_copy(update={"name": "Zdrój Łąka 🌳 100 %"})
    of = renderer.prepare(plan.model_copy(update={"obstacles": (first, *plan.obstacles[1:])}))
    drawing, _ = ezdxf.recover.read(io.BytesIO(exported(of, "dxf")))
    texts = [each.dxf.text for each in drawing.modelspace().query("TEXT")]
    assert any(text.startswith("Zdrój Łąka") for text in texts)


@pytest.mark.parametrize("name", ["quarry-lane", "hollin-park", "mill-cottage"])
def test_every_kind_of_thing_goes_out_in_every_format(name: str) -> None:
    of = job("as it is", name) if name != "mill-cottage" else None
    of = of or renderer.prepare(load(ROOT / f"demo/{name}.plan.yaml"))
    count = len(list(things(of)))
    assert len(json.loads(exported(of, "geojson"))["features"]) == count
    _, audit = ezdxf.recover.read(io.BytesIO(exported(of, "dxf")))
    assert not audit.has_errors
    assert exported(of, "dxf") == exported(of, "dxf")


def test_a_position_without_north_is_refused() -> None:
    text = (ROOT / "demo/practice-lawn.plan.yaml").read_text("utf-8")
    text = "\n".join(line for line in text.splitlines() if not line.startswith("north:"))
    text += "\nposition: {latitude: 52.0571, longitude: 1.1523}\n"
    with pytest.raises(PlanError, match="a position needs to know where north is"):
        loads(text, folder=ROOT / "demo")


def test_commands_refuse_what_they_cannot_write(tmp_path, capsys) -> None:
    plan = str(ROOT / "demo/practice-lawn.plan.yaml")
    assert main(["lay", plan, "-o", str(tmp_path / "a.shp")]) == 2
    assert "use .json, .geojson, .csv, .dxf, .gpx" in capsys.readouterr().err
    assert main(["lay", plan, "--staking", "-o", str(tmp_path / "a.dxf")]) == 2
    assert "write it to a .csv file" in capsys.readouterr().err
    assert main(["lay", plan, "--staking", "-o", str(tmp_path / "a.csv")]) == 0
    assert (tmp_path / "a.csv").read_bytes().startswith(b"point,east_m,north_m,note\r\n")
