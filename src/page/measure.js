// What lies under a point of the picture, and what is between two such places: from the faces' own surfaces, which are
// exact, and not from the triangles that show them.

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const minus = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const plus = (a, b, by = 1) => [a[0] + by * b[0], a[1] + by * b[1], a[2] + by * b[2]];
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = a => a.map(one => one / Math.hypot(...a));
const said = mm => `${Number(mm.toFixed(3))} mm`;

/** The first place of the printed bodies that a ray meets, on what is left where they are cut open: body, place, normal. */
export function struck(bodies, from, way, cut) {
  let first = null;
  for (const body of bodies.filter(one => one.printed)) {
    const start = minus(from, body.place);
    const corner = at => [body.points[3 * at], body.points[3 * at + 1], body.points[3 * at + 2]];
    for (let t = 0; t < body.triangles.length; t += 3) {
      const a = corner(body.triangles[t]);
      const [u, v] = [minus(corner(body.triangles[t + 1]), a), minus(corner(body.triangles[t + 2]), a)];
      const across = cross(way, v), det = dot(u, across);
      if (Math.abs(det) < 1e-12) continue;
      const off = minus(start, a), x = dot(off, across) / det;
      if (x < 0 || x > 1) continue;
      const turned = cross(off, u), y = dot(way, turned) / det;
      if (y < 0 || x + y > 1) continue;
      const far = dot(v, turned) / det, at = plus(start, way, far);
      if (first && far >= first.far) continue;
      if (cut && dot(cut, plus(at, body.place)) > cut[3]) continue;
      first = { body, at, far, normal: unit(cross(u, v)) };
    }
  }
  return first && { ...first, face: face(first) };
}

/** How far a place lies off a surface, and which way the surface faces there. */
function off({ sort, origin, axis, sizes }, at) {
  const from = minus(at, origin), up = dot(from, axis);
  if (sort === "plane") return [Math.abs(up), axis];
  const away = plus(from, axis, -up), out = Math.hypot(...away);
  const radial = away.map(one => one / (out || 1));
  const [a, b] = sizes;
  if (sort === "cylinder") return [Math.abs(out - a), radial];
  if (sort === "cone") return [Math.abs(out - a - b * up) / Math.hypot(1, b), unit(plus(radial, axis, -b))];
  return [Math.abs(Math.hypot(out - a, up) - b), unit(plus(radial.map(one => one * (out - a)), axis, up))];
}

/** The surface a place of the mesh lies on. */
function face({ body, at, normal }) {
  const near = body.faces.map(one => [...off(one, at), one]).filter(([far, way]) => far < 0.1 && Math.abs(dot(way, normal)) > 0.7);
  near.sort((a, b) => a[0] - b[0]);
  return near[0]?.[2] ?? null;
}

/** One place in words. */
export function about({ face: one, at }) {
  if (!one) return `A place at ${at.map(v => v.toFixed(2)).join(", ")}.`;
  const [a, b] = one.sizes;
  const up = dot(minus(at, one.origin), one.axis);
  return {
    plane: () => `A flat face${Math.abs(one.axis[2]) > 1 - 1e-9 ? `, ${said(one.origin[2])} above the bed` : ""}.`,
    cylinder: () => `A round face, Ø ${said(2 * a)}.`,
    cone: () => `A cone of ${Number((2 * Math.atan(Math.abs(b)) * 180 / Math.PI).toFixed(2))}°; Ø ${said(2 * (a + b * up))} where it was touched.`,
    torus: () => (a ? `A rounding of ${said(b)}.` : `A sphere, Ø ${said(2 * b)}.`),
  }[one.sort]();
}

/** What is between two places, in words; pieces that print apart have nothing between them. */
export function between(one, other) {
  if (one.body !== other.body) return "These are two pieces; measure on one.";
  const apart = minus(other.at, one.at);
  const points = `The places touched are about ${said(Math.hypot(...apart))} apart (${apart.map(v => Number(v.toFixed(2))).join(", ")}).`;
  const [a, b] = [one.face, other.face];
  if (!a || !b) return points;
  if (a === b) return `${about(one)} ${points}`;
  const along = dot(a.axis, b.axis), from = minus(b.origin, a.origin);
  const parallel = Math.abs(along) > 1 - 1e-9, square = Math.abs(along) < 1e-9;
  const round = face => face.sort !== "plane";
  if (!round(a) && !round(b)) {
    const angle = Number((Math.acos(Math.min(Math.abs(along), 1)) * 180 / Math.PI).toFixed(2));
    return parallel ? `${said(Math.abs(dot(from, a.axis)))} between the two flat faces.` : `The flat faces stand at ${angle}° to each other. ${points}`;
  }
  if (round(a) && round(b)) {
    if (!parallel) return points;
    const axes = Math.hypot(...plus(from, a.axis, -dot(from, a.axis)));
    if (axes > 1e-6) return `Their axes are ${said(axes)} apart. ${points}`;
    const wall = a.sort === "cylinder" && b.sort === "cylinder" ? `, ${said(Math.abs(a.sizes[0] - b.sizes[0]))} from face to face` : "";
    return `They turn about one axis${wall}.`;
  }
  const [flat, turned] = round(a) ? [b, a] : [a, b];
  if (square) return `The axis is ${said(Math.abs(dot(minus(turned.origin, flat.origin), flat.axis)))} from the flat face.`;
  return parallel ? `The axis stands square on the flat face. ${points}` : points;
}

/** How far a place of the screen is from a line between two others. */
export function beside(at, from, to) {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const long = dx * dx + dy * dy;
  const part = long ? Math.min(Math.max(((at[0] - from[0]) * dx + (at[1] - from[1]) * dy) / long, 0), 1) : 0;
  return Math.hypot(at[0] - from[0] - part * dx, at[1] - from[1] - part * dy);
}
