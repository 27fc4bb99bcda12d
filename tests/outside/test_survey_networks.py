"""Published networks and traverses, adjusted again.

Inputs and results as restated by the test data of GNU Gama (repository cepek/sandbox-gama,
tests/gama-local/input/krumm/2D), which cites F. Krumm, Geodetic Network Adjustment Examples,
University of Stuttgart, rev. 3.5 (2020), and the book named at each. The traverses are worked
examples of J. Mahun's open-access surveying course (jerrymahun.com).
"""

from __future__ import annotations

import math

import pytest

from renderer.survey.adjust import Adjusted, adjust
from renderer.survey.closure import closures
from renderer.survey.control import smallest_slips, uncontrolled
from renderer.survey.ellipse import ellipse_of
from renderer.survey.network import XY, Network, Reading, Sight
from renderer.survey.slips import find_slips
from renderer.survey.start import start_places


def tapes(*rows: tuple[str, str, float], sigma: float = 0.01) -> tuple[Reading, ...]:
    return tuple(Reading("tape", (one, two), reads, sigma) for one, two, reads in rows)


def adjusted(
    fixed: dict[str, XY], rows: tuple[Reading, ...], side: tuple[str, str, str] | None = None
) -> Adjusted:
    sight = Sight((side[0], side[1]), "left" if side[2] == "left" else "right") if side else None
    network = Network(fixed, rows, {}, sight)
    return adjust(network, start_places(network))


def degrees(text: str) -> float:
    whole, minutes, seconds = (float(part) for part in text.split("-"))
    return whole + minutes / 60 + seconds / 3600


def test_strang_and_borre_1997_example_10_1() -> None:
    found = adjusted(
        {"1": (170.71, 270.71), "2": (100.0, 100.0), "3": (241.42, 100.0)},
        tapes(("1", "P", 100.01), ("2", "P", 100.02), ("3", "P", 100.03)),
    )
    assert found.at["P"] == pytest.approx((170.7029, 170.7234), abs=5e-5)
    assert found.residual * 1000 == pytest.approx([-23.36, -16.52, -16.51], abs=0.005)
    assert found.sigma0 == pytest.approx(3.303, abs=5e-4)
    east, north = (found.sigma0 * math.sqrt(found.of_point("P")[k, k]) for k in (0, 1))
    assert (east, north) == pytest.approx((0.0330, 0.0234), abs=5e-5)
    assert found.redundancy == pytest.approx([0.5, 0.25, 0.25], abs=5e-4)
    # one reading too many: all look alike, so that geometry alone names none of them
    assert abs(found.w) == pytest.approx([3.30] * 3, abs=0.005)


def test_benning_2011_example_8_2() -> None:
    found = adjusted(
        {"1": (0.0, 1000.0), "2": (1000.0, 1000.0)},
        tapes(
            ("1", "3", 1000.02),
            ("1", "4", 1414.20),
            ("2", "3", 1414.24),
            ("2", "4", 999.98),
            ("3", "4", 1000.00),
        ),
        ("1", "2", "right"),
    )
    assert found.at["3"] == pytest.approx((-0.0095845, -0.0226012), abs=1e-6)
    assert found.at["4"] == pytest.approx((999.9930160, 0.0173987), abs=1e-6)
    assert found.residual * 1000 == pytest.approx([2.60, -3.68, -3.68, 2.60, 2.60], abs=0.005)
    assert found.sigma0 == pytest.approx(0.68824, abs=1e-5)
    for name, azimuth in (("3", 116.6), ("4", 63.4)):
        ellipse = ellipse_of(found.of_point(name))
        assert ellipse.azimuth_deg == pytest.approx(azimuth, abs=0.05)
        half_axes = (ellipse.major * found.sigma0, ellipse.minor * found.sigma0)
        assert half_axes == pytest.approx((0.0097, 0.0052), abs=5e-5)


def test_ghilani_2010_example_14_5() -> None:
    """In feet; written here as metres, since all that counts is the numbers."""
    found = adjusted(
        {"Badger": (2410000.0, 390000.0), "Bucky": (2411820.0, 386881.222)},
        tapes(
            ("Badger", "Wisconsin", 5870.302),
            ("Badger", "Campus", 7297.588),
            ("Wisconsin", "Campus", 3616.434),
            ("Wisconsin", "Bucky", 5742.878),
            ("Campus", "Bucky", 5123.760),
        ),
        ("Badger", "Bucky", "left"),
    )
    assert found.at["Wisconsin"] == pytest.approx((2415776.9044, 391043.2945), abs=1e-4, rel=0)
    assert found.at["Campus"] == pytest.approx((2416892.6955, 387603.2551), abs=1e-4, rel=0)
    assert found.residual * 1000 == pytest.approx([54.68, -79.01, 36.75, -61.64, 63.93], abs=0.005)
    assert found.redundancy == pytest.approx([0.162, 0.338, 0.073, 0.206, 0.221], abs=5e-4)
    assert abs(found.w) == pytest.approx([abs(found.w[0])] * 5, rel=1e-4)
    for name, expected in (
        ("Wisconsin", (0.1488, 0.2206, 0.2462, 0.1010, 150.9)),
        ("Campus", (0.1038, 0.2705, 0.2726, 0.0981, 7.6)),
    ):
        spread, ellipse = found.of_point(name), ellipse_of(found.of_point(name))
        got = [math.sqrt(spread[0, 0]), math.sqrt(spread[1, 1]), ellipse.major, ellipse.minor]
        assert [each * found.sigma0 for each in got] == pytest.approx(expected[:4], abs=1e-4)
        assert ellipse.azimuth_deg == pytest.approx(expected[4], abs=0.05)


def test_benning_2011_example_8_8_has_a_tape_that_nothing_checks() -> None:
    found = adjusted(
        {
            "1": (3000.0, 2000.0),
            "2": (1000.0, 2000.0),
            "3": (3000.0, 2100.0),
            "4": (1000.0, 2100.0),
            "5": (2000.0, 1000.0),
        },
        tapes(
            ("1", "6", 1000.0),
            ("2", "6", 1000.0),
            ("3", "6", 1005.0),
            ("4", "6", 1005.0),
            ("5", "6", 1000.0),
            sigma=0.02,
        ),
    )
    assert found.at["6"] == pytest.approx((2000.0, 1999.9975728), abs=1e-6)
    assert found.residual * 1000 == pytest.approx([0, 0, -12.20, -12.20, -2.43], abs=0.005)
    assert found.redundancy == pytest.approx([0.749, 0.749, 0.742, 0.742, 0.019], abs=6e-4)
    # 4.132 deviations over root r (Baarda); 593 mm follows from the r of 0.01940
    last = smallest_slips(found)[-1]
    assert last is not None and last * 1000 == pytest.approx(593, abs=1)
    assert uncontrolled(found) == {"6"}


def test_ghilani_2010_example_16_1_a_traverse_by_least_squares() -> None:
    angles = (
        ("R", "Q", "U", "240-00-00"),
        ("U", "R", "S", "150-00-00"),
        ("S", "U", "T", "240-01-00"),
    )
    found = adjusted(
        {"R": (1000.0, 1000.0), "Q": (1000.0, 800.0), "S": (1223.0, 1186.5), "T": (1400.0, 1186.5)},
        (
            Reading("tape", ("R", "U"), 200.00, 0.05),
            Reading("tape", ("U", "S"), 100.00, 0.08),
            *(Reading("angle", (a, b, c), degrees(d), 30 / 3600) for a, b, c, d in angles),
        ),
    )
    assert found.at["U"] == pytest.approx((1173.0886, 1099.9872), abs=1e-4)
    assert found.sigma0 == pytest.approx(1.8187, abs=1e-4)
    ellipse, spread = ellipse_of(found.of_point("U")), found.of_point("U")
    got = [math.sqrt(spread[0, 0]), math.sqrt(spread[1, 1]), ellipse.major, ellipse.minor]
    assert [each * found.sigma0 for each in got] == pytest.approx(
        [0.0419, 0.0526, 0.0657, 0.0145], abs=1e-4
    )
    assert ellipse.azimuth_deg == pytest.approx(37.9, abs=0.05)


QUADRANGLE = {"A": (5600.544, 4966.236), "B": (6061.624, 8043.173)}
QUADRANGLE_TAPES = (
    ("A", "B", 3111.291, 10),
    ("B", "C", 3726.220, 12),
    ("C", "D", 3237.783, 10),
    ("D", "A", 3662.372, 12),
    ("A", "C", 5193.471, 16),
    ("B", "D", 4524.471, 14),
)
QUADRANGLE_ANGLES = (
    ("A", "B", "C", "45-12-34"),
    ("A", "C", "D", "38-10-54"),
    ("B", "C", "D", "44-55-43"),
    ("B", "D", "A", "53-31-23"),
    ("C", "D", "A", "44-21-59"),
    ("C", "A", "B", "36-20-26"),
    ("D", "A", "B", "43-06-11"),
    ("D", "B", "C", "54-22-00"),
)


def quadrangle() -> Network:
    rows = [Reading("tape", (a, b), reads, mm / 1000) for a, b, reads, mm in QUADRANGLE_TAPES]
    rows += [
        Reading("angle", (at, a, b), degrees(reads), 2.1 / 3600)
        for at, a, b, reads in QUADRANGLE_ANGLES
    ]
    return Network(QUADRANGLE, tuple(rows), {}, Sight(("A", "B"), "right"))


def test_ghilani_2010_example_21_10_names_the_angle_that_is_a_minute_off() -> None:
    network = quadrangle()
    whole = adjust(network, start_places(network))
    assert whole.sigma0 == pytest.approx(9.290, abs=5e-4)
    worst = max(range(len(network.readings)), key=lambda row: abs(whole.w[row]))
    assert network.readings[worst].of == ("D", "A", "B")
    assert abs(whole.w[worst]) == pytest.approx(29.19, abs=0.005)
    (suspect,) = find_slips(network, whole)
    (named,) = suspect.one_of
    assert named.reading.of == ("D", "A", "B") and named.slip == "minute"
    sound = network.only(each for each in network.readings if each.of != ("D", "A", "B"))
    found = adjust(sound, whole.at)
    assert found.sigma0 == pytest.approx(1.093, abs=5e-4)
    assert found.at["C"] == pytest.approx((9787.8386, 8038.4862), abs=1e-4)
    assert found.at["D"] == pytest.approx((9260.8829, 4843.8755), abs=1e-4)


WEISS_FIXED = {
    "1": (4506.299, 9001.123),
    "2": (2798.622, 9502.490),
    "3": (3803.973, 9894.233),
    "8": (4904.569, 9413.376),
}
# from, to, metres, deviation as published
WEISS = (
    ("4", "6", 709.927, 1303.840481),
    ("2", "6", 392.550, 774.596669),
    ("2", "4", 642.409, 1140.175425),
    ("3", "4", 939.941, 1095.445115),
    ("3", "9", 566.555, 894.427191),
    ("4", "9", 1050.204, 1048.808848),
    ("1", "4", 1210.478, 894.427191),
    ("1", "5", 901.755, 894.427191),
    ("5", "8", 1206.806, 1000.0),
    ("4", "8", 1634.747, 1140.175425),
    ("4", "5", 498.107, 1264.911064),
    ("2", "5", 904.962, 1183.215957),
    ("2", "7", 1630.454, 1048.808848),
    ("1", "7", 849.005, 894.427191),
    ("1", "9", 601.906, 1095.445115),
    ("8", "9", 666.874, 1140.175425),
    ("7", "8", 667.595, 774.596669),
    ("5", "7", 823.990, 1264.911064),
    ("5", "6", 722.631, 1140.175425),
    ("6", "9", 1193.036, 836.660027),
    ("5", "9", 572.094, 836.660027),
    ("3", "5", 504.968, 1303.840481),
    ("3", "7", 591.506, 1264.911064),
    ("7", "9", 328.667, 948.683298),
)
WEISS_FOUND = {
    "4": (3299.9643823, 9100.8288580),
    "5": (3697.8222909, 9400.5394375),
    "6": (3080.3184239, 9775.8943290),
    "7": (4393.2160486, 9842.5618071),
    "9": (4251.0494791, 9546.2297629),
}


def test_weiss_and_others_2010_five_points_by_24_lengths() -> None:
    """GNU Gama's results for WeissEtAl_Distance_fix; deviations there are in hundredths of mm."""
    rows = tuple(Reading("tape", (a, b), reads, s / 1e5) for a, b, reads, s in WEISS)
    found = adjusted(WEISS_FIXED, rows)
    assert found.degrees_of_freedom == 14
    for name, at in WEISS_FOUND.items():
        assert found.at[name] == pytest.approx(at, abs=2e-6)
    # residuals over their a-posteriori deviations, as Gama prints them for 4-6, 2-6 and 1-4
    studentised = abs(found.w) / found.sigma0
    assert studentised[[0, 1, 6]] == pytest.approx([2.278, 2.288, 3.146], abs=6e-4)


HOEPKE_FOUND = {
    "20": (3579041.4042169, 5707194.4039208),
    "75": (3575403.2853326, 5707682.6564771),
    "86": (3575322.0202641, 5708700.9553800),
    "87": (3576581.7857040, 5709938.0995138),
    "1006": (3578284.2919811, 5708758.6274883),
    "1011": (3577052.3287403, 5708103.2069620),
    "1059": (3576852.9606298, 5706633.5763803),
    "1087": (3576213.6691312, 5709199.9318778),
}
HOEPKE = (
    "86-1006 2962.832", "86-87 1765.657", "86-1087 1021.768", "86-75 1021.536", "86-1011 1830.646",
    "86-20 4012.921", "86-1059 2572.516", "1087-87 824.863", "1087-20 3466.722",
    "1087-1059 2644.789", "1087-75 1720.130", "1087-1006 2117.134", "1087-1011 1380.633",
    "1006-75 3075.373", "1006-20 1737.824", "1006-1059 2562.134", "1006-1011 1395.459",
    "1006-87 2071.154", "1011-87 1894.263", "1011-75 1701.824", "1011-1059 1483.088",
    "1011-20 2186.853", "1059-20 2259.167", "1059-75 1789.449", "1059-87 3315.630",
    "20-87 3684.782", "20-75 3670.735",
)  # fmt: skip


def test_hoepke_1980_example_35_5_at_national_grid_coordinates() -> None:
    """A free network: held at two of its own adjusted points it must come to the same others."""
    rows = []
    for text in HOEPKE:
        of, reads = text.split()
        one, two = of.split("-")
        rows.append((one, two, float(reads)))
    held = {name: HOEPKE_FOUND[name] for name in ("86", "1006")}
    sights = {"87": Sight(("86", "1006"), "left")}
    network = Network(held, tapes(*rows, sigma=0.001), sights)
    found = adjust(network, start_places(network))
    for name, at in HOEPKE_FOUND.items():
        assert found.at[name] == pytest.approx(at, abs=5e-5, rel=0)
    assert found.rest == pytest.approx(343.64, abs=0.01)
    # the printed adjusted lengths of the first three rows
    assert found.residual[:3] * 1000 == pytest.approx([1.0695, -2.8518, 2.6433], abs=5e-3)


# Bowditch's rule is the adjustment in which the error of a leg along and across it grows with the
# root of its length (C. D. Ghilani and P. R. Wolf, Elementary Surveying, on the compass rule).
TRAVERSES = {
    "T1": (
        (("226-54-23", 639.15), ("0-0-0", 523.69), ("235-02-29", 409.54), ("79-35-02", 815.93)),
        (-0.1158, 0.1070, 15_146),
        ((-436.631, -466.761), (523.715, -0.023), (-234.640, -335.663), (147.556, 802.447)),
    ),
    "T2": (
        (("144-0-0", 379.25), ("255-23-18", 408.90), ("345-16-31", 298.65), ("63-59-20", 276.55)),
        (0.150, -0.128, 6_884),
        ((-306.862, 222.954), (-103.197, -395.637), (288.809, -75.881), (121.250, 248.564)),
    ),
}


@pytest.mark.parametrize("name", TRAVERSES)
def test_a_closed_traverse_closes_and_adjusts_as_published(name: str) -> None:
    legs, (off_y, off_x, one_in), steps = TRAVERSES[name]
    run = ("P0", "P1", "P2", "P3", "P0")
    rows: list[Reading] = []
    for start, end, (bearing, length) in zip(run, run[1:], legs, strict=False):
        spread = 0.001 * math.sqrt(length)
        turn = math.degrees(spread / length)
        rows.append(Reading("tape", (start, end), length, spread))
        rows.append(Reading("bearing", (start, end), degrees(bearing), turn))
    network = Network({"P0": (0.0, 0.0)}, tuple(rows), {}, None, (run,))
    (closure,) = closures(network)
    # the page of T2 sums what it had rounded
    assert (closure.dy_m, closure.dx_m) == pytest.approx((off_y, off_x), abs=1.3e-3)
    assert closure.one_in == pytest.approx(one_in, rel=2e-3)
    found = adjust(network, start_places(network))
    for start, end, step in zip(run, run[1:], steps, strict=False):
        north, east = (found.at[end][k] - found.at[start][k] for k in (1, 0))
        assert (north, east) == pytest.approx(step, abs=1.2e-3)
