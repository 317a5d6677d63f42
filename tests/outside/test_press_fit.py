"""Lamé's press fit against published worked examples, and against a solver of its own.

The solver knows nothing of the closed form: it sets up the two constants of each cylinder from the
boundary conditions and solves four equations. Pressures and stresses in MPa, lengths in mm.
"""

import math
import random

import pytest


def lame(run_json, **options):
    args = ["fit"]
    for name, value in options.items():
        args += ["--" + name.replace("_", "-"), repr(float(value))]
    return run_json(*args)


def test_a_jacket_shrunk_on_a_tube(run_json):
    # V. B. Bhandari, Design of Machine Elements, Example 22.6: tube 20 x 40, jacket to 60,
    # E = 207 000 N/mm², greatest hoop stress 100 N/mm² in the jacket: the jacket is bored to
    # 39.9683 mm, 31.7 µm under.
    found = lame(
        run_json, diameter=40, shaft_bore=20, ring_outside=60, interference_um=31.711,
        ring_modulus=207000, shaft_modulus=207000,
    )
    assert found["ring_hoop_mpa"] == pytest.approx(100, rel=1e-3)
    assert found["pressure_mpa"] == pytest.approx(38.46, rel=1e-3)


def test_timoshenkos_built_up_cylinder(run_json):
    # S. Timoshenko, Strength of Materials, Part II, 3rd ed., "Stresses produced by shrink fit":
    # radii 4, 6 and 8 in, 0.005 in on the radius, E = 30e6 psi: 4050 psi (from memory).
    inch, psi = 25.4, 0.006894757
    found = lame(
        run_json, diameter=12 * inch, shaft_bore=8 * inch, ring_outside=16 * inch,
        interference_um=0.010 * inch * 1000, ring_modulus=30e6 * psi, shaft_modulus=30e6 * psi,
    )
    assert found["pressure_mpa"] == pytest.approx(4050 * psi, rel=2e-3)


def test_shigleys_form_for_one_material(run_json):
    # Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. 7-40, for 40 H7/s6
    # at its most (59 µm, Tables ), hub to 80 mm, E = 207 GPa (Table A-5).
    delta, d, hub, modulus = 0.059, 40.0, 80.0, 207000.0
    pressure = modulus * delta / (2 * d**3) * (hub**2 - d**2) * d**2 / hub**2
    found = lame(run_json, diameter=40, ring_outside=80, interference_um=59)
    assert found["pressure_mpa"] == pytest.approx(pressure, rel=0.005)
    assert found["ring_hoop_mpa"] == pytest.approx(pressure * 5 / 3, rel=0.005)
    assert found["shaft_hoop_mpa"] == pytest.approx(-pressure, rel=0.005)
    assert "force_n" not in found


def test_force_is_friction_times_contact(run_json):
    # NTN, Ball and Roller Bearings, eq. 17.1: K = µ·P·π·d·B.
    found = lame(run_json, diameter=40, ring_outside=80, interference_um=59, length=40, friction=0.15)
    assert found["force_n"] == pytest.approx(0.15 * found["pressure_mpa"] * math.pi * 40 * 40, rel=1e-9)


def solve(rows, right):
    """Gaussian elimination with pivoting."""
    size = len(right)
    table = [list(row) + [value] for row, value in zip(rows, right)]
    for at in range(size):
        pivot = max(range(at, size), key=lambda row: abs(table[row][at]))
        table[at], table[pivot] = table[pivot], table[at]
        for row in range(size):
            if row != at:
                factor = table[row][at] / table[at][at]
                table[row] = [a - factor * b for a, b in zip(table[row], table[at])]
    return [table[row][size] / table[row][row] for row in range(size)]


def by_boundary_conditions(bore, joint, outside, inner, outer, interference):
    """Plane stress, sigma_r = A - B/r², sigma_t = A + B/r², u = r/E (sigma_t - nu sigma_r)."""
    a, c, b = bore / 2, joint / 2, outside / 2
    (e_in, nu_in), (e_out, nu_out) = inner, outer
    free_inside = [1, -1 / a**2, 0, 0] if a > 0 else [0, 1, 0, 0]
    free_outside = [0, 0, 1, -1 / b**2]
    same_pressure = [1, -1 / c**2, -1, 1 / c**2]
    grow = lambda e, nu: (c / e * (1 - nu), (1 + nu) / (e * c))
    (p_in, q_in), (p_out, q_out) = grow(e_in, nu_in), grow(e_out, nu_out)
    scale = e_in / c
    gap = [scale * x for x in (-p_in, -q_in, p_out, q_out)]
    constants = solve([free_inside, free_outside, same_pressure, gap], [0, 0, 0, scale * interference / 2])
    a_in, b_in, a_out, b_out = constants
    return {
        "pressure_mpa": -(a_out - b_out / c**2),
        "ring_hoop_mpa": a_out + b_out / c**2,
        "shaft_hoop_mpa": a_in + b_in / c**2,
    }


def cases():
    chance = random.Random(286)
    for number in range(60):
        joint = chance.uniform(3, 300)
        bore = 0 if number % 3 == 0 else joint * chance.uniform(0.1, 0.9)
        outside = joint * chance.uniform(1.05, 4)
        inner = (chance.uniform(2e3, 4e5), chance.uniform(0.2, 0.45))
        outer = (chance.uniform(2e3, 4e5), chance.uniform(0.2, 0.45))
        yield bore, joint, outside, inner, outer, joint * chance.uniform(1e-5, 1e-3)


@pytest.mark.parametrize("bore, joint, outside, inner, outer, interference", list(cases()))
def test_any_two_cylinders_meet_their_boundary_conditions(run_json, bore, joint, outside, inner, outer, interference):
    found = lame(
        run_json, diameter=joint, shaft_bore=bore, ring_outside=outside, interference_um=interference * 1000,
        ring_modulus=outer[0], ring_poisson=outer[1], shaft_modulus=inner[0], shaft_poisson=inner[1],
    )
    for name, value in by_boundary_conditions(bore, joint, outside, inner, outer, interference).items():
        assert found[name] == pytest.approx(value, rel=1e-6), name
