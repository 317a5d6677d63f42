"""How far a bracket gives, against finite elements on its own STEP file.

Each bracket is written by the program as STEP, read by a general-purpose geometry kernel, meshed with
tetrahedra of second order and solved as a linear elastic solid. The encoder is a block of steel held
to the plate over the ring that flange and screw heads press; its shaft runs out to the belt's plane.
The washers hold the plate under and over themselves; nothing else holds it, as where the face under
the bracket is not quite flat. The belt pulls at the shaft and the encoder weighs on the plate.

Encoder and shaft do not bend here: what is compared is how far the bracket gives.

The program's own deflection must never be less than the solver's, and never more than half as much
again: it may frighten a little, never flatter.
"""

import json
import subprocess
import sys
from pathlib import Path

import pytest

# Greatest element, mm, and a fourteenth of it at the washers' edges. Half of it gives 1 to 2 % more (the
# last test looks at one plate, which is where it gives most).
SIZE = 7.0

# A little encoder that no pattern knows.
LITTLE = (
    "--encoder custom --body 20 --body-length 30 --register 10 --register-height 3 --bolt-layout circle --bolt-spacing 15 "
    "--bolt-count 3 --bolt-screw M2.5 --encoder-shaft 4 --encoder-shaft-length 14 --radial-load 30 --encoder-mass 50"
)
# name and options: every style, 0 to 2 gussets, encoders from 20 mm to 58 mm and NEMA squares, plates
# from 3 to 14 mm, low and tall, level and sloping, short and long slots, M4 to M8, belts of many kinds.
BRACKETS = {
    "foot-small": "--pulleys 36,24 --near 100 --encoder 36 --flanges none",
    "foot-58": "--profile MXL --pulleys 60,40 --near 120 --encoder 58-clamp --axis-height 48",
    "foot-tall": "--pulleys 40,30 --near 110 --encoder 38 --axis-height 62",
    "foot-rising": "--profile XL --width 6.4 --pulleys 20,16 --near 95 --encoder 58-clamp --spindle-height 62",
    "foot-falling": "--pulleys 36,24 --near 110 --encoder 40 --axis-height 54 --spindle-height 20",
    "foot-long-slot": "--profile T2.5 --width 6 --pulleys 48,36 --near 120 --encoder 40 --travel-in 14",
    "foot-nema17": "--pulleys 40,30 --near 100 --encoder nema17 --screw M4 --axis-height 40",
    "foot-nema23": "--profile 3M --width 9 --pulleys 36,36 --near 130 --encoder nema23 --screw M6",
    "foot-thick": "--profile 5M --width 9 --pulleys 24,20 --near 130 --encoder 58-clamp --upright-thickness 9 --radial-load 120",
    "foot-thin-base": "--profile MXL --pulleys 40,30 --near 100 --encoder 58-synchro --axis-height 60 --base-thickness 5",
    "foot-one-gusset": "--pulleys 36,24 --near 100 --encoder 38 --gussets 1 --axis-height 48",
    "foot-no-gusset": "--pulleys 36,24 --near 100 --encoder 38 --gussets 0",
    "face-38": "--style face --pulleys 36,24 --near 100 --encoder 38",
    "face-tall": "--style face --profile MXL --pulleys 60,40 --near 120 --encoder 58-clamp --axis-height 60",
    "face-thin": "--style face --pulleys 40,30 --near 100 --encoder 58-synchro --upright-thickness 6",
    "swing-38": "--style swing --pulleys 36,24 --near 100 --encoder 38",
    "swing-wide": "--style swing --profile 3M --width 6 --pulleys 36,24 --near 120 --encoder 38 --radial-load 40 --upright-thickness 5 --axis-height 44 --screw M6 --screw-spacing 80",
    "foot-wide": "--pulleys 36,24 --near 100 --encoder 38 --screw-spacing 110",
    "foot-widest": "--pulleys 36,24 --near 100 --encoder 38 --screw-spacing 130",
    "foot-long-shaft": "--pulleys 36,24 --near 100 --encoder 40 --belt-plane 45 --encoder-shaft-length 60",
    "foot-high": "--pulleys 36,24 --near 110 --encoder 38 --axis-height 100 --spindle-height 25",
    "foot-steep": "--pulleys 36,24 --near 110 --encoder 38 --axis-height 30 --spindle-height 105",
    "foot-thinnest": "--pulleys 36,24 --near 100 --encoder 38 --upright-thickness 3",
    "foot-little": f"--pulleys 36,24 --near 90 {LITTLE} --screw M3",
    "foot-recess": "--profile 5M --width 9 --pulleys 24,20 --near 120 --encoder 58-synchro --screw M6 --upright-thickness 10 --travel-in 15 --axis-height 74 --belt-plane 34",
    "face-recess-thick": "--style face --profile 3M --width 9 --pulleys 36,30 --near 130 --encoder 58-synchro --upright-thickness 14",
    "face-little": f"--style face --pulleys 36,24 --near 90 {LITTLE} --screw M3",
    "swing-narrow": "--style swing --pulleys 36,24 --near 110 --encoder 36 --screw-spacing 24 --axis-height 45",
    "swing-steep": "--style swing --pulleys 36,24 --near 110 --encoder 40 --spindle-height -50",
    "swing-thick": "--style swing --pulleys 40,30 --near 120 --encoder nema17 --upright-thickness 12 --axis-height 46 --screw M8",
}
# What is asked here is how far they give, not whether a person should build them.
ACCEPTED = "--accept deflection --accept shaft-grip --accept key-access --accept overhang --accept hole-edge".split()
TABLE = []


def made(run_json, folder, name, options):
    report = run_json("bracket", *options.split(), *ACCEPTED, "--name", name, "--format", "step,json", "--out", folder)
    return report, folder / f"{name}.step"


def by_elements(step, stiffness, size=SIZE):
    """Deflection in mm and number of unknowns, from a process of its own."""
    asked = json.dumps({"step": str(step), "stiffness": stiffness, "size": size})
    script = Path(__file__).with_name("elements.py")
    done = subprocess.run([sys.executable, script], input=asked, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr[-2000:] or f"the solver ended with {done.returncode}"
    # The mesher chatters on standard output; the answer is the last line.
    answer = json.loads(done.stdout.splitlines()[-1])
    return answer["deflection"], answer["unknowns"]


@pytest.mark.parametrize("name", BRACKETS)
def test_never_less_and_never_half_as_much_again(run_json, tmp_path, name):
    report, step = made(run_json, tmp_path, name, BRACKETS[name])
    s = report["stiffness"]
    true, unknowns = by_elements(step, s)
    ours = report["dimensions"]["deflection"]
    assert ours == pytest.approx(s["deflection"], rel=1e-3)
    ours = s["deflection"]
    ratio = ours / true
    TABLE.append((name, s["thickness"], s["pull_n"], ours, true, ratio, unknowns))
    assert 1.0 <= ratio <= 1.5, f"{name}: {ours:.5f} mm by formula, {true:.5f} mm by elements, ratio {ratio:.2f}"


def test_the_table_covers_the_range(capsys):
    """Prints what was compared, passing or not; eight brackets at least, of every style."""
    with capsys.disabled():
        print("\nbracket               plate, mm  pull, N  formula, mm  elements, mm  ratio   unknowns")
        for name, plate, pull, ours, true, ratio, unknowns in TABLE:
            print(f"{name:<22}{plate:9.1f}{pull:9.1f}{ours:13.5f}{true:14.5f}{ratio:7.2f}{unknowns:11d}")
    assert len(TABLE) >= 12
    assert {name.split("-")[0] for name, *_ in TABLE} == {"foot", "face", "swing"}


def test_a_finer_mesh_gives_nearly_the_same(run_json, tmp_path):
    report, step = made(run_json, tmp_path, "fine", BRACKETS["face-38"])
    coarse, fine = (by_elements(step, report["stiffness"], size)[0] for size in (SIZE, SIZE / 2))
    print(f"\nelements of {SIZE} mm: {coarse:.5f} mm; of {SIZE / 2} mm: {fine:.5f} mm")
    assert coarse == pytest.approx(fine, rel=0.03)
