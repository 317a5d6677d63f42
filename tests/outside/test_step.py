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

PARTS = {
    "inner on a rod": "sleeve 6204 --ring inner --reach 40 --drive rod",
    "outer, flat": "sleeve 6206 --ring outer --drive flat",
    "both, puller": "sleeve 6206 --ring both --drive puller",
    "steel nose": "sleeve 6004-2RS --ring inner --reach 30 --steel-nose",
    "foot": "bracket --pulleys 36,24 --near 100 --encoder 38",
    "foot, sloping": "bracket --profile XL --width 6.4 --pulleys 20,16 --near 95 --encoder 58-clamp --spindle-height 62",
    "foot, one gusset": "bracket --pulleys 36,24 --near 100 --encoder 38 --gussets 1 --axis-height 48",
    "face": "bracket --style face --pulleys 40,30 --near 100 --encoder nema17",
    "swing": "bracket --style swing --pulleys 36,24 --near 100 --encoder 38",
    "plate": "plate --hole 60 --cable 8.2x3 --cable 6:signal",
    "halves": "plate --hole 80 --cable 9.5:mains:plug=28 --cable 8.2x2 --cable 6:plug=M12",
    "spares": "plate --hole 80x40 --cable 8.2x2 --spare 6x2",
    "fan": "plate --hole 80 --fan 80",
    "buttons": "plate --hole 110x50 --button 22x3",
}


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


@pytest.fixture(scope="module", params=PARTS)
def written(request, run_json, tmp_path_factory):
    """The report, and each piece's own file and entry of the report."""
    out = tmp_path_factory.mktemp("step")
    report = run_json(*PARTS[request.param].split(), "--format", "step", "--name", "part", "--out", out)
    pieces = [(out / "-".join(["part", *filter(None, [piece["piece"]])])).with_suffix(".step") for piece in report["pieces"]]
    assert sorted(path.name for path in pieces) == sorted(report["files"])
    return report, list(zip(pieces, report["pieces"]))


def test_the_kernel_reads_one_valid_solid_without_a_word(written):
    for path, _ in written[1]:
        shape, messages = _read(path)
        assert messages == []
        assert len(list(_each(shape, TopAbs_SOLID))) == 1
        assert BRepCheck_Analyzer(shape).IsValid()


def test_the_kernel_measures_our_volume_to_a_millionth(written):
    for path, piece in written[1]:
        shape, _ = _read(path)
        properties = GProp_GProps()
        BRepGProp.VolumeProperties_s(shape, properties, 1e-9)
        assert properties.Mass() == pytest.approx(piece["solid_volume_mm3"], rel=1e-6)


def test_the_mesh_lies_within_its_tolerance_of_the_kernels_solid(written):
    report, pieces = written
    for path, piece in pieces:
        shape, _ = _read(path)
        properties, surface = GProp_GProps(), GProp_GProps()
        BRepGProp.VolumeProperties_s(shape, properties, 1e-9)
        BRepGProp.SurfaceProperties_s(shape, surface)
        slack = surface.Mass() * report["mesh"]["chord_tolerance_mm"]
        assert abs(properties.Mass() - piece["mesh_volume_mm3"]) < slack


def test_round_walls_are_true_cylinders_and_cones(written):
    for path, _ in written[1]:
        shape, _ = _read(path)
        faces = [BRepAdaptor_Surface(TopoDS.Face(face)).GetType() for face in _each(shape, TopAbs_FACE)]
        kinds = Counter(str(kind).rsplit("_", 1)[-1] for kind in faces)
        assert kinds["Cylinder"] >= 1
        assert set(kinds) <= {"Plane", "Cylinder", "Cone", "Torus", "Sphere"}, kinds


def test_name_unit_and_schema_are_told(written):
    for path, _ in written[1]:
        text = path.read_text(encoding="ascii")
        assert re.search(r"PRODUCT\('%s'" % re.escape(path.stem), text)
        assert "SI_UNIT(.MILLI.,.METRE.)" in text
        assert "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));" in text
