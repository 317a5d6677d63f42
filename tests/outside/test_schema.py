"""The schema of job files before an independent validator, beside what the program itself says."""

import copy
import json
import tomllib

import jsonschema
import pytest


@pytest.fixture(scope="module")
def schema(run):
    done = run("schema", "job")
    assert done.returncode == 0, done.stderr
    schema = json.loads(done.stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    return schema


@pytest.fixture(scope="module")
def valid(schema):
    validator = jsonschema.Draft202012Validator(schema)
    return lambda job: [error.message for error in validator.iter_errors(job)]


def presets(root):
    found = sorted((root / "presets/jobs").glob("*.toml"))
    assert len(found) >= 2
    return found


def test_every_preset_validates_and_names_the_schema(root, valid):
    for path in presets(root):
        text = path.read_text()
        assert text.startswith("#:schema job.schema.json\n"), path.name
        assert valid(tomllib.loads(text)) == [], path.name


def test_the_schema_beside_the_presets_is_the_programs_own(root, schema):
    assert json.loads((root / "presets/jobs/job.schema.json").read_text()) == schema


def without(job, key):
    del job[key]


def change(job, **keys):
    job["sleeve"][0].update(keys)


BROKEN = {
    "no title": lambda job: without(job, "title"),
    "an empty title": lambda job: job.update(title="  "),
    "a title that is a number": lambda job: job.update(title=7),
    "no part at all": lambda job: [job.pop(kind) for kind in ("sleeve", "receiver", "bracket", "plate") if kind in job],
    "a key no job has": lambda job: job.update(colour="red"),
    "one part without its list": lambda job: job.update(sleeve=job["sleeve"][0]),
    "a key no sleeve has": lambda job: change(job, diametre=20),
    "a ring there is not": lambda job: change(job, ring="middle"),
    "a unit there is not": lambda job: change(job, reach="1.25 furlong"),
    "a length that is a truth value": lambda job: change(job, reach=True),
    "a drive there is not": lambda job: change(job, drive="hammer"),
    "a name that leaves the folder": lambda job: change(job, name="../sleeve"),
    "one pulley": lambda job: job["bracket"][0].update(pulleys=[45]),
    "a check to accept that is no list": lambda job: change(job, accept="contact-crushing"),
}


def toml(value):
    """A value as TOML writes it; JSON's form serves for all but tables."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(k)} = {toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    return json.dumps(value)


@pytest.mark.parametrize("what", BROKEN)
def test_a_broken_job_is_refused_by_schema_and_program_alike(root, run, valid, tmp_path, what):
    job = tomllib.loads((root / "presets/jobs/coil-winder.toml").read_text())
    sound = copy.deepcopy(job)
    BROKEN[what](job)
    assert valid(sound) == [] and valid(job) != [], what
    path = tmp_path / "job.toml"
    path.write_text("\n".join(f"{json.dumps(key)} = {toml(value)}" for key, value in job.items()))
    done = run("make", path, "--out", tmp_path / "out", "--json")
    assert done.returncode == 2, f"{what}: {done.stdout}{done.stderr}"
    error = json.loads(done.stdout)["error"]
    assert error["says"] and error["try"]
    assert not (tmp_path / "out").exists()


def test_a_sound_job_written_the_same_way_is_made(root, run, tmp_path):
    """So that the refusals above are for the reason named and not for the writing."""
    job = tomllib.loads((root / "presets/jobs/coil-winder.toml").read_text())
    path = tmp_path / "job.toml"
    path.write_text("\n".join(f"{json.dumps(key)} = {toml(value)}" for key, value in job.items()))
    done = run("make", path, "--out", tmp_path / "out", "--format", "json")
    assert done.returncode == 0, done.stderr


@pytest.fixture(scope="module")
def reported(run):
    schema = json.loads(run("schema", "report").stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    return lambda report: [error.message for error in validator.iter_errors(report)]


def test_what_is_printed_and_what_is_written_keep_the_report_s_schema(root, run, reported, tmp_path):
    made = run("make", root / "presets/jobs/coil-winder.toml", "--out", tmp_path, "--json")
    assert reported(json.loads(made.stdout)) == []
    files = sorted(tmp_path.glob("*.json"))
    assert len(files) >= 5
    for file in files:
        assert reported(json.loads(file.read_text())) == [], file.name
    unknown = run("sleeve", "6299", "--json", "--out", tmp_path)
    stopped = run("sleeve", "6204", "--shaft-class", "p6", "--drive", "rod", "--json", "--out", tmp_path)
    for done in (unknown, stopped):
        assert done.returncode in (2, 3)
        assert reported(json.loads(done.stdout)) == []


SPOILED = {
    "no name": lambda report: report.pop("name"),
    "a size in words": lambda report: report["dimensions"].update(length="48 mm"),
    "a finding that does not say its level": lambda report: report["findings"][0].pop("level"),
    "a level there is not": lambda report: report["findings"][0].update(level="fine"),
    "an origin there is not": lambda report: report["origins"].update(length={"origin": "guess", "source": ""}),
    "a reading without its least": lambda report: report["notes"]["print_readings"][0].pop("least"),
    "neither part nor job nor error": lambda report: report.clear(),
}


@pytest.mark.parametrize("what", SPOILED)
def test_a_spoiled_report_is_refused(run, reported, tmp_path, what):
    report = json.loads(run("sleeve", "6204", "--ring", "inner", "--json", "--out", tmp_path).stdout)
    assert reported(report) == []
    SPOILED[what](report)
    assert reported(report) != []
