"""One bracket by finite elements: the STEP file's path, the report's `stiffness` and the greatest element
come as one JSON object on standard input; deflection (mm), lowest frequency (Hz) and number of unknowns
go out as another.

Run as a process of its own: the mesher brings its own build of the geometry kernel with which other
checks read STEP files, and two builds of it in one process crash.
"""

import json
import math
import sys

import numpy
from netgen.meshing import MeshingParameters
from netgen.occ import Cylinder, Glue, OCCGeometry, Pnt, Vec
from ngsolve import (
    BilinearForm, CoefficientFunction, Grad, GridFunction, IfPos, InnerProduct, LinearForm, Mesh, SetNumThreads,
    Integrate, Trace, VectorH1, ds, dx, x, y, z,
)

SetNumThreads(1)

STEEL = 2.0e8  # a thousand times steel's, MPa: the encoder and its shaft are told apart from the bracket, not studied
SPRING = 1.0e5  # of what holds the washers, N/mm per mm²: a tenth of a micrometre under 10 MPa


def blocks(shape, s):
    """The bracket and, glued to its seat, the encoder of steel with its shaft."""
    centre, outward, seat = s["seat"]["centre"], s["seat"]["outward"], s["seat"]
    depth = s["thickness"] - seat["floor"]
    on = [c - depth * o for c, o in zip(centre, outward)]
    # In a recess the register stands free of the wall, by more than it does in truth: a thin gap is hard to mesh.
    radius = min(seat["radius"], seat["opening"] - 1.0) if depth > 0 else seat["radius"]
    body = Cylinder(Pnt(*on), Vec(*outward), r=radius, h=s["body_length"] + depth)
    if depth == 0:
        # The register stands free in its bore.
        body = body - Cylinder(Pnt(*on), Vec(*outward), r=seat["opening"], h=1.0)
    pulled = s["pulled_at"]
    reach = math.dist(pulled, on)
    shaft = Cylinder(Pnt(*pulled), Vec(*outward), r=s["shaft_radius"], h=reach + 2.0)
    encoder = body + shaft
    shape.mat("print")
    encoder.mat("steel")
    return Glue([shape, encoder])


def rims(s):
    """Points round the edges of the washers, where the bracket is bent most sharply."""
    for washer in s["held"]:
        start, end = washer["from"], washer["to"]
        axis = [(b - a) / math.dist(start, end) for a, b in zip(start, end)]
        across = [0.0, 0.0, 0.0]
        across[min(range(3), key=lambda k: abs(axis[k]))] = 1.0
        other = cross(axis, across)
        across = cross(other, axis)
        for centre in (start, end):
            for k in range(24):
                c, d = washer["radius"] * math.cos(math.pi * k / 12), washer["radius"] * math.sin(math.pi * k / 12)
                yield [centre[i] + c * across[i] + d * other[i] for i in range(3)]


def cross(a, b):
    """Unit vector square to both."""
    out = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
    return [v / math.hypot(*out) for v in out]


def meshed(shape, s, size):
    """Tetrahedra, fine at the washers' edges; the mesher stumbles over some sizes, and the next one does
    as well."""
    for share in (1.0, 0.85, 1.2, 0.7):
        wanted = MeshingParameters(maxh=share * size, grading=0.5)
        for px, py, pz in rims(s):
            wanted.RestrictH(x=px, y=py, z=pz, h=size / 14)
        try:
            return Mesh(OCCGeometry(shape).GenerateMesh(mp=wanted))
        except Exception as error:  # the mesher's own class is not exported
            stumbled = error
    raise stumbled


def solved(step, s, size):
    """Displacement of the shaft in the belt's plane along the pull (mm), lowest frequency (Hz), unknowns."""
    shape = OCCGeometry(str(step)).shape
    assert len(shape.solids) == 1
    mesh = meshed(blocks(shape, s), s, size)
    space = VectorH1(mesh, order=2)
    u, v = space.TnT()
    modulus = mesh.MaterialCF({"print": s["modulus_mpa"], "steel": STEEL})
    nu = s["poisson"]
    mu, lam = modulus / 2 / (1 + nu), modulus * nu / ((1 + nu) * (1 - 2 * nu))

    def strain(w):
        return 0.5 * (Grad(w) + Grad(w).trans)

    a = BilinearForm(space, symmetric=True)
    a += (2 * mu * InnerProduct(strain(u), strain(v)) + lam * Trace(strain(u)) * Trace(strain(v))) * dx
    a += SPRING * held(s) * InnerProduct(u, v) * ds(bonus_intorder=6)
    f = LinearForm(space)
    pull = CoefficientFunction(tuple(s["pull_n"] * c for c in s["pull"]))
    # Over the meshed end of the shaft, a polygon: over the circle's area a twentieth of the pull would be missing.
    f += InnerProduct(pull, v) * at_shaft_end(s) / Integrate(at_shaft_end(s) * ds, mesh) * ds
    down = CoefficientFunction(tuple(s["weight_n"] * c for c in s["down"]))
    steel = mesh.MaterialCF({"print": 0.0, "steel": 1.0})
    f += InnerProduct(down, v) * steel / Integrate(steel, mesh) * dx
    a.Assemble()
    f.Assemble()
    inverse = a.mat.Inverse(space.FreeDofs(), inverse="sparsecholesky")
    moved = GridFunction(space)
    moved.vec.data = inverse * f.vec
    hub = moved(mesh(*s["pulled_at"]))
    return sum(h * p for h, p in zip(hub, s["pull"])), lowest(s, mesh, space, a, inverse, steel), space.ndof


def rigid(at):
    """Six movements of a stiff body about a point: three along the axes, three turns."""
    rx, ry, rz = x - at[0], y - at[1], z - at[2]
    return [CoefficientFunction(m) for m in ((1, 0, 0), (0, 1, 0), (0, 0, 1), (0, -rz, ry), (rz, 0, -rx), (-ry, rx, 0))]


def carried(s):
    """Inertia (t, mm) of what the encoder's body carries, against its six movements about the pulley."""
    total = numpy.zeros((6, 6))
    for body in s["masses"]:
        m, axis = body["mass_g"] * 1e-6, numpy.array(body["axis"])
        r = numpy.array(body["centre"]) - numpy.array(s["pulled_at"])
        # Turns by w move the centre by w x r.
        cross_r = numpy.array([[0, -r[2], r[1]], [r[2], 0, -r[0]], [-r[1], r[0], 0]])
        way = numpy.hstack([numpy.eye(3), -cross_r])
        along = numpy.outer(axis, axis)
        own = body["radius"] ** 2 / 2 * along + (body["radius"] ** 2 / 4 + body["length"] ** 2 / 12) * (numpy.eye(3) - along)
        total += m * way.T @ way
        total[3:, 3:] += m * own
    return total


def lowest(s, mesh, space, a, inverse, steel):
    """Lowest frequency, Hz: subspace iteration (Bathe) from the six movements of the encoder, two rounds.

    The encoder's mass sits on the movements of its stiff block; the print's is its own everywhere."""
    u, v = space.TnT()
    moves = rigid(s["pulled_at"])
    gram = numpy.array([[Integrate(steel * InnerProduct(p, q), mesh) for q in moves] for p in moves])
    forms = []
    for move in moves:
        form = LinearForm(space)
        form += steel * InnerProduct(move, v) * dx
        form.Assemble()
        forms.append(form.vec)
    mass = BilinearForm(space, symmetric=True)
    density = mesh.MaterialCF({"print": s["density_g_cm3"] * 1e-9, "steel": 0.0})
    mass += density * InnerProduct(u, v) * dx
    mass.Assemble()
    body = carried(s)

    def movement(field):
        return numpy.linalg.solve(gram, numpy.array([InnerProduct(form, field) for form in forms]))

    def under(wrench):
        force = forms[0].CreateVector()
        force[:] = 0.0
        for share, form in zip(numpy.linalg.solve(gram, wrench), forms):
            force.data += float(share) * form
        return force

    def fallen(force):
        field = force.CreateVector()
        field.data = inverse * force
        return field

    fields = [fallen(under(wrench)) for wrench in numpy.eye(6)]
    for _ in range(2):
        pushed = []
        for field in fields:
            force = under(body @ movement(field))
            force.data += mass.mat * field
            pushed.append(force)
        fields = [fallen(force) for force in pushed]
    stiff = numpy.array([[InnerProduct(p, q) for q in pushed] for p in fields])
    swinging = []
    for field in fields:
        force = under(body @ movement(field))
        force.data += mass.mat * field
        swinging.append(force)
    heavy = numpy.array([[InnerProduct(p, q) for q in swinging] for p in fields])
    # Scaled, since movements are millimetres and radians.
    scale = 1 / numpy.sqrt(numpy.diag(stiff))
    stiff, heavy = (m * numpy.outer(scale, scale) for m in (stiff, heavy))
    # Fields that have come to lie along one another say nothing new.
    stiffnesses, ways = numpy.linalg.eigh((stiff + stiff.T) / 2)
    telling = stiffnesses > 1e-9 * stiffnesses.max()
    ways = ways[:, telling] / numpy.sqrt(stiffnesses[telling])
    slowest = numpy.linalg.eigvalsh(ways.T @ (heavy + heavy.T) / 2 @ ways).max()
    return 1 / math.sqrt(slowest) / (2 * math.pi)


def at_shaft_end(s):
    (px, py, pz), (ox, oy, oz) = s["pulled_at"], s["seat"]["outward"]
    along = (x - px) * ox + (y - py) * oy + (z - pz) * oz
    return IfPos(1e-4 - along * along, 1.0, 0.0) * IfPos((2 * s["shaft_radius"]) ** 2 - ((x - px) ** 2 + (y - py) ** 2 + (z - pz) ** 2), 1.0, 0.0)


def held(s):
    """1 under and over each washer, 0 elsewhere."""
    total = CoefficientFunction(0.0)
    for washer in s["held"]:
        (ax, ay, az), (bx, by, bz), r = washer["from"], washer["to"], washer["radius"]
        length = math.dist(washer["from"], washer["to"])
        dx_, dy_, dz_ = ((b - a) / length for a, b in zip(washer["from"], washer["to"]))
        along = (x - ax) * dx_ + (y - ay) * dy_ + (z - az) * dz_
        off = (x - ax) ** 2 + (y - ay) ** 2 + (z - az) ** 2 - along * along
        on_face = IfPos(1e-8 - along * along, 1.0, 0.0) + IfPos(1e-8 - (along - length) ** 2, 1.0, 0.0)
        total = total + on_face * IfPos(r * r - off, 1.0, 0.0)
    return total


if __name__ == "__main__":
    asked = json.load(sys.stdin)
    deflection, frequency, unknowns = solved(asked["step"], asked["stiffness"], asked["size"])
    json.dump({"deflection": deflection, "frequency": frequency, "unknowns": unknowns}, sys.stdout)
