"""Flat patterns as a general-purpose DXF library (PyPI ezdxf) and a renderer see them."""

import io
import math

import ezdxf
import ezdxf.bbox
import numpy
import pytest
import resvg_py
from PIL import Image

PLATES = {
    "round": "--hole 80 --cable 8x3",
    "halves": "--hole 80 --cable 9.5:mains:plug=28 --cable 8.2x2",
    "rectangle": "--hole 90x50 --cable 8x2 --cable 6",
    "fan": "--fan 80",
    "buttons": "--hole 110x50 --button 22x3",
}


@pytest.fixture(scope="module", params=PLATES)
def flat(request, run_json, tmp_path_factory):
    out = tmp_path_factory.mktemp("flat")
    report = run_json("plate", *PLATES[request.param].split(), "--format", "flat", "--name", "p", "--out", out)
    return report, out / "p-flat.dxf", out / "p-flat.svg"


def test_the_dxf_is_read_without_error_or_repair(flat):
    document = ezdxf.readfile(flat[1])
    audit = document.audit()
    assert audit.errors == [] and audit.fixes == []
    assert document.dxfversion == "AC1009"
    assert {entity.dxf.layer for entity in document.modelspace()} <= {"CUT", "MARK", "GASKET"}


def test_each_layer_is_declared_with_a_colour_of_its_own(flat):
    document = ezdxf.readfile(flat[1])
    colours = [document.layers.get(layer).dxf.color for layer in ("CUT", "MARK", "GASKET")]
    assert len(set(colours)) == 3


def test_what_is_cut_closes_and_screws_and_openings_are_where_the_report_says(flat):
    report, dxf, _ = flat
    cut = [entity for entity in ezdxf.readfile(dxf).modelspace() if entity.dxf.layer == "CUT"]
    for entity in cut:
        assert entity.dxftype() == "CIRCLE" or (entity.dxftype() == "POLYLINE" and entity.is_closed), entity
    circles = [(tuple(entity.dxf.center)[:2], entity.dxf.radius) for entity in cut if entity.dxftype() == "CIRCLE"]
    for screw in report["screws"]:
        assert any(math.dist(c, (screw["x"], screw["y"])) < 1e-3 and abs(2 * r - screw["diameter"]) < 1e-3 for c, r in circles), screw


def test_a_gasket_lies_under_the_margin_and_lets_the_screws_through(flat):
    report, dxf, _ = flat
    sizes = report["dimensions"]
    loops = [entity for entity in ezdxf.readfile(dxf).modelspace() if entity.dxf.layer == "GASKET"]
    if not loops:
        assert sizes["margin"] < sizes["screw_hole"]
        return
    assert all(entity.dxftype() == "CIRCLE" or entity.is_closed for entity in loops)
    boxes = sorted((ezdxf.bbox.extents([entity]).size.x for entity in loops), reverse=True)
    assert sizes["plate_width"] > boxes[0] > boxes[1] > sizes["hole_width"], boxes
    assert len(loops) in (2, 2 + len(report["screws"]))


def test_the_bar_of_the_svg_is_fifty_millimetres_when_rendered(flat):
    per_mm = 10
    png = resvg_py.svg_to_bytes(svg_string=flat[2].read_text(), dpi=per_mm * 25.4, background="#ffffff")
    dark = numpy.asarray(Image.open(io.BytesIO(bytes(png))).convert("L")) < 128
    # The lowest stroke of the sheet that is not lettering is the bar.
    runs = []
    for row in dark[dark.shape[0] * 2 // 3 :]:
        edges = numpy.flatnonzero(numpy.diff(numpy.concatenate([[0], row.astype(int), [0]])))
        runs += [end - start for start, end in zip(edges[::2], edges[1::2]) if 49 * per_mm < end - start < 51 * per_mm]
    assert runs and max(runs) / per_mm - 0.2 == pytest.approx(50, abs=0.15)
