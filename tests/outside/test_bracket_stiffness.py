"""How far a bracket gives and how it swings, against finite elements on its own STEP file.

Each bracket is written by the program as STEP, read by a general-purpose geometry kernel, meshed with
tetrahedra of second order and solved as a linear elastic solid (`elements.py`). The encoder is a block of
steel held to the plate over the ring that flange and screw heads press; its shaft runs out to the belt's
plane. The washers hold the plate under and over themselves; nothing else holds it, as where the face
under the bracket is not quite flat. The belt pulls at the shaft and the encoder weighs on the plate;
encoder and pulley swing as cylinders of the masses that the report names, the print with its own.

Thirty brackets were drawn at random before anything was compared: twenty with long slots,
high axes and narrow bodies (`long-`), ten of any kind (`any-`); two that a closed formula once got wrong
stand beside them (`named-`). Eight are looked at on every run, all of them with `--all`. What the elements said is kept beside this file by a hash of the solid and its
loads, so that only what changed is solved again.
"""

import hashlib
import json
import subprocess
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent
BRACKETS = json.loads((HERE / "brackets_held_out.json").read_text())
KEPT = HERE / "brackets_solved.json"
# Looked at on every run: the two that were once wrong, and of every style and both draws.
EIGHT = "named-high-axis named-long-slots long-03 long-11 long-12 long-15 any-04 any-06".split()
# Greatest element, mm, and a fourteenth of it at the washers' edges. Half of it gives 1 to 2 % more (the
# last test looks at one plate, which is where it gives most).
SIZE = 7.0
# What is asked here is how far they give, not whether a person should build them.
ACCEPTED = (
    "deflection shaft-grip key-access overhang hole-edge root-stress resonance encoder-load belt-tension bed-size "
    "belt-clearance gusset-clearance"
).split()
# What of the report's `stiffness` is an answer, not a question.
ANSWERS = ("deflection", "frequency_hz", "cell")
# What a report's deflection and frequency may be of the elements': never less give, hardly more spring. Of
# the thirty as they were first solved the deflection was 1.02 to 1.21 (all but `any-09` up to 1.20), the
# frequency 0.93 to 1.02; nothing in the model was changed after they were opened.
GIVES, SWINGS = (1.0, 1.25), (0.92, 1.02)
TABLE = []


def pytest_generate_tests(metafunc):
    if "bracket" in metafunc.fixturenames:
        every = metafunc.config.getoption("--all")
        metafunc.parametrize("bracket", [name for name in BRACKETS if every or name in EIGHT])


def made(run_json, folder, name, options):
    accepted = [word for check in ACCEPTED for word in ("--accept", check)]
    report = run_json("bracket", *options.split(), *accepted, "--name", name, "--format", "step", "--out", folder)
    return report, folder / f"{name}.step"


def by_elements(step, stiffness, size=SIZE):
    """Deflection (mm), frequency (Hz) and unknowns: kept from before, or from a process of its own."""
    loads = {key: value for key, value in stiffness.items() if key not in ANSWERS}
    script = HERE / "elements.py"
    solid = step.read_text().split("DATA;", 1)[1]
    asked = [solid, json.dumps(loads, sort_keys=True), str(size), script.read_text()]
    key = hashlib.sha256("\0".join(asked).encode()).hexdigest()[:24]
    kept = json.loads(KEPT.read_text()) if KEPT.exists() else {}
    if key not in kept:
        question = json.dumps({"step": str(step), "stiffness": stiffness, "size": size})
        done = subprocess.run([sys.executable, script], input=question, capture_output=True, text=True)
        assert done.returncode == 0, done.stderr[-2000:] or f"the solver ended with {done.returncode}"
        # The mesher chatters on standard output; the answer is the last line.
        kept = {name: answer for name, answer in kept.items() if (answer["bracket"], answer["size"]) != (step.stem, size)}
        kept[key] = {"bracket": step.stem, "size": size, **json.loads(done.stdout.splitlines()[-1])}
        lines = sorted(f"{json.dumps(k)}: {json.dumps(v)}" for k, v in kept.items())
        KEPT.write_text("{\n" + ",\n".join(lines) + "\n}\n")
    return kept[key]


def test_as_much_as_elements_say_or_a_little_more(run_json, tmp_path, bracket):
    report, step = made(run_json, tmp_path, bracket, BRACKETS[bracket])
    s = report["stiffness"]
    true = by_elements(step, s)
    sizes = report["dimensions"]
    assert sizes["deflection"] == pytest.approx(s["deflection"], rel=1e-3)
    assert sizes["lowest_frequency_hz"] == pytest.approx(s["frequency_hz"], rel=1e-3)
    gives, swings = s["deflection"] / true["deflection"], s["frequency_hz"] / true["frequency"]
    TABLE.append((bracket, s["deflection"], true["deflection"], gives, s["frequency_hz"], true["frequency"], swings))
    assert GIVES[0] <= gives <= GIVES[1], f"{bracket}: gives {gives:.3f} of the elements' deflection"
    assert SWINGS[0] <= swings <= SWINGS[1], f"{bracket}: swings at {swings:.3f} of the elements' frequency"


def test_the_table_holds_every_style(capsys):
    """Prints what was compared, passing or not."""
    with capsys.disabled():
        print("\nbracket             gives, mm  elements   ratio   swings, Hz  elements   ratio")
        for name, gives, true, ratio, swings, truly, share in TABLE:
            print(f"{name:<18}{gives:11.5f}{true:10.5f}{ratio:8.3f}{swings:13.1f}{truly:10.1f}{share:8.3f}")
    assert len(TABLE) >= 8
    words = [BRACKETS[name].split() for name, *_ in TABLE]
    styles = {w[w.index("--style") + 1] if "--style" in w else "foot" for w in words}
    assert styles == {"foot", "face", "swing"}


def test_a_finer_mesh_gives_nearly_the_same(run_json, tmp_path):
    report, step = made(run_json, tmp_path, "finer", "--style face --pulleys 36,24 --near 100 --encoder 38")
    coarse, fine = (by_elements(step, report["stiffness"], size)["deflection"] for size in (SIZE, SIZE / 2))
    print(f"\nelements of {SIZE} mm: {coarse:.5f} mm; of {SIZE / 2} mm: {fine:.5f} mm")
    assert coarse == pytest.approx(fine, rel=0.03)
