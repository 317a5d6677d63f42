"""3MF files read by the 3MF Consortium's own library, in strict mode."""

import io
import json
import zipfile

import lib3mf
import numpy
import pytest
from PIL import Image


@pytest.fixture(scope="module")
def job(run, root, tmp_path_factory):
    """The demo job's 3MF and JSON files."""
    folder = tmp_path_factory.mktemp("threemf")
    preset = root / "presets/jobs/coil-winder.toml"
    done = run("make", preset, "--out", folder, "--format", "3mf,json", "--one-bed")
    assert done.returncode == 0, done.stderr
    return folder


def read(path):
    """The model of a file, read in strict mode; any warning fails."""
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    warnings = [reader.GetWarning(k) for k in range(reader.GetWarningCount())]
    assert warnings == [], path.name
    return model


def items(model):
    """Name, corners where they lie on the bed (mm), triangles, and mesh object of each build item."""
    found = []
    iterator = model.GetBuildItems()
    while iterator.MoveNext():
        item = iterator.GetCurrent()
        mesh = model.GetMeshObjectByID(item.GetObjectResourceID())
        rows = numpy.array([list(row) for row in item.GetObjectTransform().Fields])
        points = numpy.array([list(v.Coordinates) for v in mesh.GetVertices()])
        triangles = numpy.array([list(t.Indices) for t in mesh.GetTriangleIndices()])
        found.append((mesh.GetName(), points @ rows[:3] + rows[3], triangles, mesh))
    return found


def volume(points, triangles):
    a, b, c = (points[triangles[:, k]] - points.mean(axis=0) for k in range(3))
    return float((a * numpy.cross(b, c)).sum() / 6)


def files(job, pattern):
    found = sorted(job.glob(pattern))
    assert found, pattern
    return found


def test_every_file_is_read_strictly_in_millimetres_without_a_warning(job):
    for path in files(job, "*.3mf"):
        model = read(path)
        assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
        assert items(model), path.name


def test_each_piece_is_a_closed_oriented_mesh_of_the_reported_volume(job):
    reports = json.loads((job / "coil-winder-rebuild.json").read_text())["parts"]
    for report in reports:
        pieces = [p for p in files(job, f"{report['name']}*.3mf")]
        total = 0.0
        for path in pieces:
            (name, points, triangles, mesh), = items(read(path))
            assert name == path.stem
            assert mesh.IsManifoldAndOriented()
            total += volume(points, triangles)
        assert total == pytest.approx(report["mesh"]["volume_mm3"], rel=2e-5), report["name"]


def test_beds_hold_every_piece_once_apart_and_within_the_bed(job):
    alone = sorted(p.stem for p in job.glob("*.3mf") if "-bed-" not in p.name)
    together = []
    for path in files(job, "*-bed-*.3mf"):
        boxes = []
        for name, points, triangles, mesh in items(read(path)):
            together.append(name)
            assert mesh.IsManifoldAndOriented()
            least, most = points.min(axis=0), points.max(axis=0)
            assert least[2] == pytest.approx(0, abs=1e-4), f"{name} stands on the bed"
            assert least[:2].min() > -1e-3 and most[:2].max() < 220.001, f"{name} hangs over the bed"
            for other, low, high in boxes:
                gap = max((low - most)[:2].max(), (least - high)[:2].max())
                assert gap > 5.99, f"{name} and {other} are {gap} mm apart"
            boxes.append((name, least, most))
    assert sorted(together) == alone


def test_title_findings_material_and_picture_come_along(job):
    path = job / "front-inner.3mf"
    model = read(path)
    group = model.GetMetaDataGroup()
    said = {group.GetMetaData(k).GetName(): group.GetMetaData(k).GetValue() for k in range(group.GetMetaDataCount())}
    assert said["Title"] == "front-inner"
    assert "walls" in said["Description"] and "checks kept their limits" in said["Description"]
    materials = model.GetBaseMaterialGroups()
    assert materials.MoveNext()
    assert materials.GetCurrentBaseMaterialGroup().GetName(1).upper() == "PLA"
    assert model.HasPackageThumbnailAttachment()
    with zipfile.ZipFile(path) as archive:
        picture = Image.open(io.BytesIO(archive.read("Metadata/thumbnail.png")))
        assert {info.date_time[0] for info in archive.infolist()} == {1980}, "no time of day inside"
    assert picture.size == (256, 256)
    assert len(picture.convert("RGB").getcolors(70000)) > 50, "a picture, not a blank"


def test_a_name_with_letters_beyond_ascii_is_read_back(run, tmp_path):
    done = run("sleeve", "6004", "--ring", "outer", "--housing-class", "H7", "--reach", "20", "--name", "größe ½", "--format", "3mf", "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    (name, *_), = items(read(tmp_path / "größe ½.3mf"))
    assert name == "größe ½"
