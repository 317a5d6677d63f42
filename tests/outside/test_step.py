"""STEP files in an independent boundary-representation kernel (Open CASCADE, PyPI cadquery-ocp)."""

import re
from collections import Counter

import pytest


from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.Interface import Interface_CheckTool
from OCP.STEPControl import STEPControl_Reader
from OCP.TopAbs import TopAbs_FACE, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

PARTS = [
    ("6204", "--ring", "inner", "--reach", "40", "--drive", "rod"),
    ("6206", "--ring", "outer", "--drive", "flat"),
    ("608", "--ring", "both", "--drive", "puller"),
]


def _messages(checks):
    found = []
    checks.Start()
    while checks.More():
        check = checks.Value()
        found += [check.CFail(i) for i in range(1, check.NbFails() + 1)]
        found += [check.CWarning(i) for i in range(1, check.NbWarnings() + 1)]
        checks.Next()
    return found


def _read(path):
    """The shape, and every failure or warning of reading and of turning it into a shape."""
    reader = STEPControl_Reader()
    reader.ReadFile(str(path))
    session = reader.WS()
    assert session.Model() is not None, "the file cannot be read at all"
    reader.TransferRoots()
    messages = _messages(Interface_CheckTool(session.Model()).CompleteCheckList())
    messages += _messages(session.TransferReader().TransientProcess().CheckList(False))
    return reader.OneShape(), messages


def _each(shape, kind):
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        yield explorer.Current()
        explorer.Next()


@pytest.fixture(scope="module", params=PARTS, ids=lambda p: p[0])
def written(request, run_json, tmp_path_factory):
    out = tmp_path_factory.mktemp("step")
    report = run_json("sleeve", *request.param, "--format", "step", "--out", out)
    (name,) = [f for f in report["files"] if f.endswith(".step")]
    return report, out / name


def test_the_kernel_reads_one_valid_solid_without_a_word(written):
    _, path = written
    shape, messages = _read(path)
    assert messages == []
    assert len(list(_each(shape, TopAbs_SOLID))) == 1
    assert BRepCheck_Analyzer(shape).IsValid()


def test_the_volume_lies_just_over_that_of_the_mesh_and_within_the_tolerance(written):
    report, path = written
    shape, _ = _read(path)
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties, 1e-9)
    surface = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, surface)
    mesh = report["mesh"]
    slack = surface.Mass() * mesh["chord_tolerance_mm"]
    assert abs(properties.Mass() - mesh["volume_mm3"]) < slack


def test_round_walls_are_true_cylinders_and_cones(written):
    _, path = written
    shape, _ = _read(path)
    kinds = Counter(
        str(BRepAdaptor_Surface(TopoDS.Face(face)).GetType()).rsplit("_", 1)[-1] for face in _each(shape, TopAbs_FACE)
    )
    assert kinds["Cylinder"] >= 2
    assert set(kinds) <= {"Plane", "Cylinder", "Cone", "Torus", "Sphere"}, kinds


def test_name_unit_and_schema_are_told(written):
    report, path = written
    text = path.read_text(encoding="ascii")
    assert re.search(r"PRODUCT\('%s'" % re.escape(report["name"]), text)
    assert "SI_UNIT(.MILLI.,.METRE.)" in text
    assert "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));" in text
