"""Belts, against maker's pages and against a length measured along the belt point by point.

The solver here knows no formula for a belt's length: it walks the two arcs and the two tangents as a
polygon of many points and bisects the centre distance until the walk is as long as the belt.
"""

import math

import pytest

# Stock Drive Products/Sterling Instrument, "Handbook of Timing Belts and Pulleys" (D265), Fig. 19:
# profile, pitch, tooth height, thickness, mm as printed there in brackets.
D265_FIG_19 = [
    ("MXL", 2.032, 0.46, 1.14), ("XL", 5.08, 1.3, 2.3), ("L", 9.525, 1.9, 3.56),
    ("3M", 3, 1.22, 2.41), ("5M", 5, 2.08, 3.81),
    ("2GT", 2, 0.76, 1.52), ("3GT", 3, 1.14, 2.41), ("5GT", 5, 1.93, 3.81),
    ("T2.5", 2.5, 0.7, 1.3), ("T5", 5, 1.2, 2.2), ("T10", 10, 2.5, 4.5),
]  # fmt: skip

# "Pulleys for Metric Polyurethane Timing Belts", Maryland Metrics: T5 pulleys, teeth, pitch diameter,
# outside diameter (to a tenth).
T5_PULLEYS = [
    (10, 15.92, 15.0), (12, 19.10, 18.2), (14, 22.28, 21.4), (15, 23.87, 23.0), (16, 25.46, 24.6),
    (18, 28.65, 27.8), (19, 30.24, 29.4), (20, 31.83, 31.0), (22, 35.01, 34.1), (24, 38.20, 37.4),
    (25, 39.79, 38.9), (26, 41.38, 40.6), (27, 42.97, 42.2), (28, 44.56, 43.7), (30, 47.75, 46.9),
    (32, 50.93, 50.1), (36, 57.30, 56.4), (40, 63.66, 62.8), (42, 66.84, 66.0), (44, 70.03, 69.2),
    (48, 76.39, 75.5), (60, 95.49, 94.6),
]  # fmt: skip

# "ELATECH polyurethane belts", T5 and AT5: width mm, mass kg/m, specific spring rate N.
ELATECH = [("T5", 10, 0.021, 90_000), ("T5", 25, 0.053, 225_000), ("T5", 100, 0.210, 900_000),
           ("AT5", 10, 0.034, 140_000), ("AT5", 100, 0.34, 1_400_000)]  # fmt: skip

PAIRS = [("XL", 20, 60, 100), ("MXL", 20, 20, 80), ("T5", 12, 48, 66), ("8M", 22, 90, 144), ("3M", 18, 60, 90),
         ("2GT", 16, 100, 140), ("L", 14, 40, 60), ("AT5", 15, 15, 60)]  # fmt: skip


def belt(run_json, profile, small, large, *more):
    return run_json("belt", "--profile", profile, "--pulleys", f"{small},{large}", *more)


def walked(centre, r, big):
    """The length of a belt round circles of radius r at 0 and big at `centre`, walked in small steps."""
    lean = math.asin((big - r) / centre)
    steps = 4000

    def arc(cx, radius, start, sweep):
        return [(cx + radius * math.cos(start + sweep * k / steps), radius * math.sin(start + sweep * k / steps))
                for k in range(steps + 1)]  # fmt: skip

    around = arc(centre, big, -math.pi / 2 - lean, math.pi + 2 * lean) + arc(0, r, math.pi / 2 + lean, math.pi - 2 * lean)
    return sum(math.dist(a, b) for a, b in zip(around, around[1:] + around[:1]))


@pytest.mark.parametrize("profile,small,large,teeth", PAIRS)
def test_the_belt_walks_its_own_length(run_json, profile, small, large, teeth):
    got = belt(run_json, profile, small, large, "--belt-teeth", teeth)
    pitch = got["profile"]["pitch"]
    r, big = small * pitch / 2 / math.pi, large * pitch / 2 / math.pi
    near, far = big - r + 1e-9, teeth * pitch / 2
    for _ in range(60):
        middle = (near + far) / 2
        near, far = (middle, far) if walked(middle, r, big) < teeth * pitch else (near, middle)
    assert got["centre_distance"] == pytest.approx(near, abs=2e-4 * pitch)
    assert got["wrap_small_deg"] + got["wrap_large_deg"] == pytest.approx(360, abs=1e-9)
    lean = math.asin((big - r) / got["centre_distance"])
    assert got["wrap_small_deg"] == pytest.approx(180 - 2 * math.degrees(lean), abs=1e-9)
    assert got["teeth_in_mesh_small"] == math.floor(small * got["wrap_small_deg"] / 360 + 1e-9)
    assert got["span_length"] == pytest.approx(got["centre_distance"] * math.cos(lean), rel=1e-12)
    assert got["ratio"] == pytest.approx(large / small)


@pytest.mark.parametrize("profile,pitch,tooth,thickness", D265_FIG_19)
def test_profiles_are_as_the_handbook_draws_them(run_json, profile, pitch, tooth, thickness):
    row = belt(run_json, profile, 30, 30, "--belt-teeth", 160)["profile"]
    assert row["pitch"] == pitch
    # The handbook prints inches rounded to a thousandth, and millimetres rounded from those.
    assert row["tooth_height"] == pytest.approx(tooth, abs=0.06)
    assert row["thickness"] == pytest.approx(thickness, abs=0.05)


@pytest.mark.parametrize("teeth,pitch_diameter,outside", T5_PULLEYS)
def test_t5_pulleys_measure_as_the_catalogue_says(run_json, teeth, pitch_diameter, outside):
    got = belt(run_json, "T5", teeth, teeth, "--belt-teeth", 200)
    assert got["pitch_diameter_small"] == pytest.approx(pitch_diameter, abs=0.011)
    assert got["outside_diameter_small"] == pytest.approx(outside, abs=0.11)


@pytest.mark.parametrize("profile,width,mass,rate", ELATECH)
def test_steel_corded_belts_weigh_and_stretch_as_the_catalogue_says(run_json, profile, width, mass, rate):
    row = belt(run_json, profile, 30, 30, "--belt-teeth", 160)["profile"]
    assert row["mass"] * width / 1000 == pytest.approx(mass, rel=0.02)
    assert row["stiffness"] * width == pytest.approx(rate, rel=1e-9)


@pytest.mark.parametrize("profile,small,large,teeth", PAIRS)
def test_the_tone_is_that_of_the_tension_meter_s_formula(run_json, profile, small, large, teeth):
    """Gates sonic tension meter 507C, manual: T = 4·S²·M·W·f²·10⁻⁹, S mm, M g/m/mm, W mm."""
    got = belt(run_json, profile, small, large, "--belt-teeth", teeth)
    mass = got["profile"]["mass"]
    tension = 4 * got["span_length"] ** 2 * mass * got["width"] * got["span_frequency_hz"] ** 2 * 1e-9
    assert tension == pytest.approx(got["tension_n"], rel=1e-9)


def test_candidates_come_nearest_first_and_can_be_bought(run_json):
    got = belt(run_json, "3M", 20, 60, "--near", 85)["candidates"]
    off = [abs(c["centre_distance"] - 85) for c in got]
    assert off == sorted(off) and off[0] < 1.5 and len(got) >= 5
    for candidate in got:
        again = belt(run_json, "3M", 20, 60, "--belt-teeth", candidate["belt_teeth"])
        assert again["centre_distance"] == pytest.approx(candidate["centre_distance"], rel=1e-12)
        assert candidate["stock"] in ("common", "range")


@pytest.mark.parametrize("words", [
    ["--pulleys", "20,60", "--belt-teeth", "45"],
    ["--pulleys", "60,60", "--belt-teeth", "65"],
    ["--pulleys", "20,60", "--near", "20"],
    ["--pulleys", "20,60", "--range", "80,80.1"],
])  # fmt: skip
def test_what_cannot_be_names_what_can(run, words):
    done = run("belt", "--profile", "XL", *words, "--json")
    import json

    error = json.loads(done.stdout)["error"]
    assert done.returncode == 2 and error["kind"] == "geometry"
    assert " XL (" in error["try"] and " mm" in error["try"], error
