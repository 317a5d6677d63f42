"""The cable plate as its user gets it: files read by a mesh library, distances measured on them."""

import math
import xml.etree.ElementTree as ET

import numpy as np
import pytest
import trimesh
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_SOLID
from test_step import _each, _read

# Least radius of a circle known to hold n unit circles. Graham, Lubachevsky, Nurmela, Östergård:
# Dense packings of congruent circles in a circle, Discrete Mathematics 181 (1998), table 1.
BEST_KNOWN = {
    2: 2.000000, 3: 2.154701, 4: 2.414214, 5: 2.701302, 6: 3.000000, 7: 3.000000,
    8: 3.304765, 9: 3.613126, 10: 3.813026, 11: 3.923804, 12: 4.029602, 13: 4.236068,
    14: 4.328429, 15: 4.521357, 16: 4.615426, 17: 4.792034, 18: 4.863703, 19: 4.863703,
}

REQUESTS = {
    "posts": ["--hole", 60, "--cable", "8.2x3", "--cable", "6:signal"],
    "margin": ["--hole", 60, "--cable", "8.2x3", "--anchors", "margin"],
    "rectangle": ["--hole", "80x40", "--cable", "3G1.5", "--cable", "5x3"],
    "tall halves": ["--hole", "40x80:r=4", "--cable", "9.5:mains:plug=28", "--cable", "5x3"],
    "halves": ["--hole", 80, "--cable", "9.5:mains:plug=28", "--cable", "8.2x2", "--cable", "6:plug=M12"],
    "three": ["--hole", 90, "--cable", "9x6:plug=20", "--split", "three"],
    "spares": ["--hole", 60, "--cable", "8.2x3", "--spare", "6x2"],
    "ring": ["--hole", 70, "--cable", "8.2x3", "--mount", "ring"],
    "bush": ["--hole", 60, "--cable", "8.2x3", "--bush", "1.5"],
    "blank": ["--hole", 60],
    "fan": ["--hole", 80, "--fan", 80],
    "buttons": ["--hole", "110x50", "--button", "22x3"],
    "template": ["--button", "22x3", "--template"],
}
# One of each kind of face: posts, margin slots, tongues, grooves, chamfers on corners, notches.
EXACT = ["posts", "margin", "tall halves", "three", "spares", "ring", "bush", "fan", "buttons", "template", "cord"]
REQUESTS["cord"] = ["--hole", 90, "--cable", "9.5:plug=28", "--cable", "8.2x2", "--cord", 2]
FANS = [40, 50, 60, 70, 80, 92, 120]


@pytest.fixture(params=REQUESTS, scope="module")
def made(request, run_json, tmp_path_factory):
    out = tmp_path_factory.mktemp("plate")
    report = run_json("plate", *REQUESTS[request.param], "--out", out, "--name", "p")
    pieces = {name: trimesh.load(out / name) for name in report["files"] if name.endswith(".stl")}
    return request.param, report, pieces


def test_every_piece_is_watertight_and_the_volumes_add_up(made):
    name, report, pieces = made
    assert pieces, name
    for file, mesh in pieces.items():
        assert mesh.is_watertight and mesh.is_winding_consistent, file
        assert mesh.volume > 0, file
        assert abs(mesh.bounds[0][2]) < 1e-6, f"{file} does not lie on the bed"
    total = sum(mesh.volume for mesh in pieces.values())
    assert total == pytest.approx(report["mesh"]["volume_mm3"], rel=1e-5), name


def test_one_file_a_piece_and_as_many_as_reported(made):
    name, report, pieces = made
    plate = [file for file in pieces if not any(word in file for word in ("spare-plug", "bush", "ring-half"))]
    assert len(plate) == report["dimensions"]["pieces"], name


def test_a_plate_in_one_piece_has_the_size_reported(made):
    name, report, pieces = made
    if report["dimensions"]["pieces"] != 1:
        return
    size = np.ptp(pieces["p.stl"].bounds, axis=0)
    assert size[0] == pytest.approx(report["dimensions"]["plate_width"], abs=0.02), name
    assert size[1] == pytest.approx(report["dimensions"]["plate_height"], abs=0.02), name


def plan_segments(report, pieces, z):
    """The level section of all pieces of the plate, put back where they are mounted."""
    found = []
    for place in report["placements"]:
        mesh = pieces["p.stl" if not place["piece"] else f"p-{place['piece']}.stl"]
        lines = trimesh.intersections.mesh_plane(mesh, [0, 0, 1], [0, 0, z])[:, :, :2]
        found.append(lines - np.array([place["moved_x"], place["moved_y"]]))
    return np.concatenate(found)


def test_openings_stand_where_the_report_says_and_are_as_wide(made):
    name, report, pieces = made
    if "openings" not in report or name == "buttons":
        return
    points = plan_segments(report, pieces, 1.0).reshape(-1, 2)
    split = report["dimensions"]["pieces"] > 1
    for opening in report["openings"]:
        away = np.linalg.norm(points - [opening["x"], opening["y"]], axis=1)
        # Nothing of the plate lies inside an opening; its rim does at half the diameter. The halves
        # of a parted opening stand 0.1 mm either side of its line.
        assert away.min() == pytest.approx(opening["diameter"] / 2, abs=0.02 + 0.11 * split), (name, opening)


def test_webs_measured_on_the_file_keep_the_least_web_reported(made):
    name, report, pieces = made
    openings = report.get("openings", [])
    if len(openings) < 2 or name == "buttons":
        return
    least = min(
        math.dist((a["x"], a["y"]), (b["x"], b["y"])) - (a["diameter"] + b["diameter"]) / 2
        for i, a in enumerate(openings)
        for b in openings[:i]
    )
    # Places are rounded to a millionth of a millimetre in the report.
    assert least >= report["dimensions"]["min_web"] - 5e-6, name
    assert report["dimensions"]["min_web"] >= 2.0 - 1e-6, name


@pytest.mark.parametrize("n", BEST_KNOWN)
def test_equal_cables_fit_at_a_tenth_over_the_best_known_container(n, run_json, tmp_path):
    one = run_json("plate", "--hole", 60, "--cable", 8, "--anchors", "off", "--out", tmp_path, "--replace")
    limit = {finding["check"]: finding["limit"] for finding in one["findings"]}
    drawn, rim = one["openings"][0]["diameter"], limit["rim"]
    container = 1.10 * BEST_KNOWN[n] * (drawn + 2.0) / 2
    hole = 2 * (container + rim + one["dimensions"]["spigot_clearance"])
    report = run_json("plate", "--hole", f"{hole:.4f}", "--cable", f"8x{n}", "--anchors", "off", "--split", "never", "--out", tmp_path, "--replace")
    assert len(report["openings"]) == n
    inner = hole / 2 - one["dimensions"]["spigot_clearance"] - rim
    for i, a in enumerate(report["openings"]):
        assert math.hypot(a["x"], a["y"]) + a["diameter"] / 2 <= inner + 1e-4
        for b in report["openings"][:i]:
            assert math.dist((a["x"], a["y"]), (b["x"], b["y"])) >= drawn + 2.0 - 1e-4


def test_a_hole_too_small_exits_2_and_names_one_that_fits(run, run_json, tmp_path):
    done = run("plate", "--hole", 40, "--cable", "11x6", "--anchors", "off", "--out", tmp_path)
    assert done.returncode == 2 and "too much" in done.stderr + done.stdout
    hole = done.stderr.replace("\n", " ").split("A round hole of ")[1].split()[0]
    assert run_json("plate", "--hole", hole, "--cable", "11x6", "--anchors", "off", "--out", tmp_path)["files"]


def test_the_flat_pattern_is_true_to_scale(run_json, tmp_path):
    report = run_json("plate", "--hole", 60, "--cable", "8.2x3", "--format", "flat", "--name", "p", "--out", tmp_path)
    assert sorted(report["files"]) == ["p-flat.dxf", "p-flat.pdf", "p-flat.svg"]
    root = ET.parse(tmp_path / "p-flat.svg").getroot()
    width = float(root.attrib["width"].removesuffix("mm"))
    assert width == float(root.attrib["viewBox"].split()[2])
    bar = next(e for e in root.iter() if e.attrib.get("id") == "bar-50")
    assert "h50v" in bar.attrib["d"]
    codes = (tmp_path / "p-flat.dxf").read_text().split("\n")
    pairs = list(zip(codes[::2], codes[1::2]))
    circles = [
        {code: float(value) for code, value in pairs[i + 2 : i + 5]}
        for i, pair in enumerate(pairs)
        if pair == ("0", "CIRCLE")
    ]
    radii = sorted(circle["40"] for circle in circles)
    assert radii[-1] == pytest.approx(report["dimensions"]["plate_width"] / 2)
    for opening in report["openings"]:
        assert any(
            math.dist((c["10"], c["20"]), (opening["x"], opening["y"])) < 1e-3
            and c["40"] == pytest.approx(opening["diameter"] / 2, abs=1e-4)
            for c in circles
        ), opening


@pytest.mark.parametrize("name", EXACT)
def test_the_independent_kernel_reads_each_piece_as_one_valid_solid(name, run_json, tmp_path):
    report = run_json("plate", *REQUESTS[name], "--format", "stl,step", "--out", tmp_path, "--name", "p")
    steps = [file for file in report["files"] if file.endswith(".step")]
    assert len(steps) == sum(file.endswith(".stl") for file in report["files"])
    for file in steps:
        shape, messages = _read(tmp_path / file)
        assert messages == [], file
        assert len(list(_each(shape, TopAbs_SOLID))) == 1, file
        assert BRepCheck_Analyzer(shape).IsValid(), file
        solid = GProp_GProps()
        BRepGProp.VolumeProperties_s(shape, solid, 1e-9)
        mesh = trimesh.load(tmp_path / file.replace(".step", ".stl"))
        slack = mesh.area * report["mesh"]["chord_tolerance_mm"]
        assert abs(solid.Mass() - mesh.volume) < slack, file


def inside(points, segments):
    """Which points lie in the solid, by counting the segments that a ray towards +x crosses."""
    a, b = segments[:, 0], segments[:, 1]
    x, y = points[:, 0, None], points[:, 1, None]
    spans = (a[:, 1] > y) != (b[:, 1] > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        meets = a[:, 0] + (y - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])
    return (spans & (meets > x)).sum(axis=1) % 2 == 1


def distances(points, segments):
    """From each point to the nearest of the segments."""
    a, way = segments[:, 0], segments[:, 1] - segments[:, 0]
    length = np.maximum((way**2).sum(axis=1), 1e-300)
    share = np.clip(((points[:, None] - a) * way).sum(axis=2) / length, 0, 1)
    return np.linalg.norm(points[:, None] - a - share[:, :, None] * way, axis=2).min(axis=1)


@pytest.mark.parametrize("frame", FANS)
def test_no_finger_passes_a_grille_and_its_screws_meet_the_frame(frame, run_json, tmp_path):
    report = run_json("plate", "--fan", frame, "--out", tmp_path, "--name", "p")
    mesh = trimesh.load(tmp_path / "p.stl")
    (by,) = report["placements"]
    cut = trimesh.intersections.mesh_plane(mesh, [0, 0, 1], [0, 0, 1.0])[:, :, :2] - [by["moved_x"], by["moved_y"]]
    reach = report["dimensions"]["hole_width"] / 2 - 1
    grid = np.stack(np.meshgrid(*[np.arange(-reach, reach, 0.6)] * 2), axis=-1).reshape(-1, 2)
    grid = grid[np.linalg.norm(grid, axis=1) < reach]
    gaps = grid[~inside(grid, cut)]
    widest = 2 * distances(gaps, cut).max()
    # IEC 60529: the finger is 12.5 mm. ISO 13857: slots up to 4 mm keep a fingertip 2 mm off.
    assert 1.0 < widest <= 4.0 + 0.01
    assert widest <= report["dimensions"]["largest_gap"] + 0.01
    assert len(gaps) > 0.3 * len(grid), "too little is left open for air"
    pitch = max(abs(screw["x"]) for screw in report["screws"]) * 2
    assert pitch == pytest.approx({40: 32, 50: 40, 60: 50, 70: 61.5, 80: 71.5, 92: 82.5, 120: 105}[frame])
    # The frame bears on the sheet, so nothing of the plate may stand out behind it.
    assert report["dimensions"]["spigot_depth"] < report["dimensions"]["sheet_thickness"]


PANELS = {
    "buttons": ["--place", "button-22@0,0", "--place", "estop@60,0"],
    "connectors": ["--place", "c14@0,0", "--place", "rj45@0,40", "--place", "d-sub-9@60,0:angle=90"],
    "glands": ["--place", "gland-M12@0,0", "--place", "gland-M40@70,0", "--place", "round-19@0,50:flat=17.5"],
    "in a hole": ["--hole", "120x90", "--place", "button-30@-25,0", "--place", "key-switch@35,0"],
}
ADAPTERS = {
    "switch": ["--old", "M4x2@25", "--new", "M3x2@20", "--offset", "0,16"],
    "turned": ["--old", "M4x2@25", "--new", "M3x2@20", "--offset", "0,25", "--rotate", 90, "--slot", 6],
    "inserts": ["--old", "M5x4@40x30", "--new", "M4x3@d20", "--fixing", "insert"],
    "flush": ["--old", "M6", "--new", "M3x2@22", "--offset", "25,0", "--heads", "countersunk", "--height", 14],
}


@pytest.mark.parametrize("kind, name", [("panel", n) for n in PANELS] + [("adapter", n) for n in ADAPTERS])
def test_every_hole_of_a_panel_or_adapter_is_where_the_report_says(kind, name, run_json, tmp_path):
    words = (PANELS if kind == "panel" else ADAPTERS)[name]
    report = run_json(kind, *words, "--out", tmp_path, "--name", "p")
    mesh = trimesh.load(tmp_path / "p.stl")
    assert mesh.is_watertight and mesh.volume > 0
    moved = np.array([report["placements"][0]["moved_x"], report["placements"][0]["moved_y"]])
    thickness = report["dimensions"]["thickness"]
    assert np.ptp(mesh.bounds, axis=0)[2] == pytest.approx(thickness, abs=1e-6)
    heights = [thickness * k / 40 for k in range(1, 40)]
    cuts = [trimesh.intersections.mesh_plane(mesh, [0, 0, 1], [0, 0, z])[:, :, :2].reshape(-1, 2) for z in heights]
    round_only = [hole for hole in report["holes"] if not hole["for"].startswith(("c14", "d-sub", "button", "estop", "key", "round-19"))]
    for hole in round_only:
        away = [np.linalg.norm(points - moved - [hole["x"], hole["y"]], axis=1).min() for points in cuts]
        assert min(away) == pytest.approx(hole["diameter"] / 2, abs=0.03), (name, hole)
    assert report["dimensions"]["min_edge"] >= 2.0 - 0.03, name
