"""An example for each key of the plan file that has neither default nor list of words."""

from __future__ import annotations

from typing import Any

# By the form that a value takes, whatever its key.
OF_FORM: dict[str, list[Any]] = {
    "Length": [1.5, "30 cm", "12 ft 6 in"],
    "Area": [800, "800 m2", "8600 sq ft"],
    "Point": [[8.4, 0], ["12 ft 6 in", "3 ft"], "A"],
    "Points": [[[0, 0], [4.2, 0], [4.2, 3]]],
    "Setback": [{"wall": "35 cm", "hedge": "30 cm"}],
    "Text": ["Through the side gate"],
    "Line": ["Rear lawn"],
    "Name": ["Rear"],
    "Figure": ["12.4 m", "9 ft 6 1/2 in", "35 m2", "22 %"],
    "Tapes": [{"A": 5.41, "B": 14.49}],
    "Day": ["2026-06-09"],
    "YesNo": [True],
    "Digest": [f"sha256:{'0123456789abcdef' * 4}"],
    "FromManual": [True, ["setback", "dock.lead_max"]],
}

# By model and key, for plain numbers and lists.
OF_KEY: dict[str, list[Any]] = {
    "Plan.north": [12.5],
    "JobHead.number": ["FH-100"],
    "JobHead.title": ["Rear lawn behind the garage"],
    "JobHead.revision": ["B"],
    "JobHead.site": [["1 Kiln Street", "Alderby"]],
    "JobHead.notes": [["Lift the wire again after the lesson"]],
    "JobHead.services_asked": ["network operators asked, answer of 28 May, nothing buried"],
    "Machine.corner_angle_min": [80],
    "Feature.percent": [12],
    "Crossing.between": [["Front", "Rear"]],
    "Measured.ohm": [2.41],
    "Measured.temperature": [14],
    "Reading.ohm": [2.41],
    "Reading.insulation_megohm": [20],
    "Record.design": ["K4RW7QMX"],
    "Packs.pegs": [100],
    "Packs.connectors": [10],
    "Packs.terminals": [4],
    "Position.latitude": [52.2],
    "Position.longitude": [-1.4],
    "Practice.dockings": [3],
    "Practice.reading_percent": [10],
    "Practice.reading_ohm": [0.5],
    "Practice.insulation_megohm": [1],
    "Practice.insulation_volt": [250],
    "Practice.day_hours": [7.5],
    "SupplyFigures.current_a": [2],
    "SupplyFigures.voltage_v": [24],
    "SupplyFigures.conductor_mm2": [1.5],
    "Wire.ohm_per_100m": [2.6],
    "Wire.spools": [[100, 50], ["250 ft"]],
}


def examples_of(form: dict[str, Any], key: str) -> dict[str, Any]:
    """The keyword ``examples`` for a value's schema; empty where it shows its words or default."""
    found = OF_KEY.get(key) or OF_FORM.get(form.get("$ref", "").rpartition("/")[2])
    return {"examples": found} if found else {}
