// The part as it prints, to be turned and looked at from near: WebGL2, nothing drawn that did not change.
import { capital } from "./names.js";
import { h } from "./sheet.js";
import { about, beside, between, struck } from "./measure.js";

const VERTEX = `#version 300 es
uniform mat4 camera;
uniform vec3 place;
in vec3 at;
out vec3 seen;
out vec3 here;
void main() {
  here = at + place;
  vec4 p = camera * vec4(here, 1.0);
  seen = p.xyz;
  gl_Position = p;
}`;

// Faces are flat between their edges, so the normal follows from how the place changes from pixel to pixel.
const FRAGMENT = `#version 300 es
precision highp float;
uniform vec4 colour;
uniform vec3 lengths;
uniform bool lines;
uniform vec4 cut;
in vec3 seen;
in vec3 here;
out vec4 ink;
void main() {
  if (dot(cut.xyz, here) > cut.w) discard;
  if (lines) { ink = colour; return; }
  if (!gl_FrontFacing && colour.a < 1.0) { ink = vec4(colour.rgb * 0.8, colour.a); return; }
  if (!gl_FrontFacing) {
    // What is seen from inside is where it was cut, hatched as on a drawing.
    float hatch = mod(gl_FragCoord.x + gl_FragCoord.y, 12.0) < 2.0 ? 0.72 : 1.0;
    ink = vec4(vec3(0.93, 0.80, 0.55) * hatch, 1.0);
    return;
  }
  // In millimetres, towards the eye.
  vec3 p = seen * lengths;
  vec3 normal = normalize(cross(dFdx(p), dFdy(p)));
  float light = 0.50 + 0.40 * max(dot(normal, normalize(vec3(-0.35, 0.75, 0.55))), 0.0) + 0.24 * max(normal.z, 0.0);
  ink = vec4(colour.rgb * light, colour.a);
}`;

const PART = [0.47, 0.72, 0.69, 1];
const MATING = [0.62, 0.66, 0.72, 0.28];
const INK = [0.08, 0.13, 0.17, 1];
const FAINT = [0.35, 0.41, 0.46, 0.55];
const LIT = [0.72, 0.14, 0.05, 1];
/** Pixels a pointer may move in a click, and be off a line that it means. */
const CLICK = 4, NEAR = 12;
const START = { azimuth: 0.6, elevation: 0.5, zoom: 1 };

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

function program(gl) {
  const made = gl.createProgram();
  for (const [sort, text] of [[gl.VERTEX_SHADER, VERTEX], [gl.FRAGMENT_SHADER, FRAGMENT]]) {
    const shader = gl.createShader(sort);
    gl.shaderSource(shader, text);
    gl.compileShader(shader);
    gl.attachShader(made, shader);
  }
  gl.linkProgram(made);
  if (!gl.getProgramParameter(made, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(made));
  return made;
}

/** Where the bodies stand together, and how large they are. */
function laidOut(bodies) {
  // Pieces that have a place among the others stand there; else side by side, as on a bed.
  const together = bodies.some(body => body.place);
  let along = 0;
  const bounds = { least: [Infinity, Infinity, Infinity], most: [-Infinity, -Infinity, -Infinity] };
  // Among what they work with, pieces without a place of their own beside the first would stand inside it.
  const shown = bodies.filter((body, at) => !together || at === 0 || body.place);
  const placed = shown.map(body => {
    const least = [Infinity, Infinity, Infinity], most = [-Infinity, -Infinity, -Infinity];
    for (let at = 0; at < body.points.length; at++) {
      const axis = at % 3, value = body.points[at];
      if (value < least[axis]) least[axis] = value;
      if (value > most[axis]) most[axis] = value;
    }
    const place = body.place ?? (together ? [0, 0, 0] : [along - least[0], 0, 0]);
    if (!together) along += most[0] - least[0] + 8;
    for (let axis = 0; axis < 3; axis++) {
      bounds.least[axis] = Math.min(bounds.least[axis], least[axis] + place[axis]);
      bounds.most[axis] = Math.max(bounds.most[axis], most[axis] + place[axis]);
    }
    return { ...body, place };
  });
  const middle = bounds.least.map((least, axis) => (least + bounds.most[axis]) / 2);
  const radius = Math.max(Math.hypot(...bounds.least.map((least, axis) => bounds.most[axis] - least)) / 2, 1);
  return { placed, middle, radius };
}

/** A view in a box, or nothing where the browser has no WebGL2: `asks` is called where it shall show other bodies,
 * `meant` with the key of a size that was clicked. */
export function view(box, asks, meant) {
  const canvas = h("canvas", { tabindex: "0", role: "img", "aria-label": "The part. Arrow keys turn it, plus and minus bring it nearer and farther, Home shows it as at first." });
  const gl = canvas.getContext("webgl2", { antialias: true, alpha: false });
  if (!gl) return null;
  return new View(box, canvas, gl, asks, meant);
}

class View {
  constructor(box, canvas, gl, asks, meant) {
    Object.assign(this, { canvas, gl, bodies: [], ...START, cut: false, mating: false, middle: [0, 0, 0], radius: 1, buffers: [], sizes: [], stands: null, lit: null, measuring: false, touched: [], meant });
    const button = (text, act, words) => {
      const made = h("button", { type: "button", class: "small", "aria-label": words }, text);
      made.addEventListener("click", act);
      return made;
    };
    const cut = h("input", { type: "checkbox", id: "cut-open" });
    cut.addEventListener("change", () => { this.cut = cut.checked; this.draw(); });
    const mating = h("input", { type: "checkbox", id: "with-mating" });
    mating.addEventListener("change", () => { this.mating = mating.checked; asks(); });
    const measure = h("input", { type: "checkbox", id: "measure" });
    measure.addEventListener("change", () => { Object.assign(this, { measuring: measure.checked, touched: [] }); this.tell(measure.checked ? "Touch a face of the part, and then another." : ""); this.draw(); });
    this.words = h("p", { class: "measured", role: "status" });
    const actions = h("div", { class: "actions", role: "group", "aria-label": "The view" },
      button("◄", () => this.turn(-0.3, 0), "Turn left"), button("►", () => this.turn(0.3, 0), "Turn right"),
      button("▲", () => this.turn(0, 0.2), "From higher up"), button("▼", () => this.turn(0, -0.2), "From lower down"),
      button("+", () => this.near(1.25), "Nearer"), button("−", () => this.near(0.8), "Farther"),
      button("as at first", () => this.reset(), "As at first"), h("label", {}, cut, " cut open"),
      h("label", {}, mating, " in its place"), h("label", {}, measure, " measure"));
    box.replaceChildren(canvas, actions, this.words);
    this.listen();
    this.prepare();
    new ResizeObserver(() => this.draw()).observe(canvas);
    canvas.addEventListener("webglcontextlost", event => event.preventDefault());
    canvas.addEventListener("webglcontextrestored", () => { this.prepare(); this.show(this.bodies); });
  }

  prepare() {
    const { gl } = this;
    this.program = program(gl);
    this.buffers = [];
    this.pencil = null;
    const name = one => gl.getUniformLocation(this.program, one);
    this.uniforms = Object.fromEntries(["camera", "place", "colour", "lengths", "lines", "cut"].map(one => [one, name(one)]));
    this.at = gl.getAttribLocation(this.program, "at");
  }

  listen() {
    const { canvas } = this;
    const held = new Map();
    let moved = 0;
    canvas.addEventListener("pointerdown", event => { moved = 0; held.set(event.pointerId, event); canvas.setPointerCapture(event.pointerId); });
    canvas.addEventListener("pointermove", event => {
      const before = held.get(event.pointerId);
      if (!before) return;
      held.set(event.pointerId, event);
      moved += Math.hypot(event.clientX - before.clientX, event.clientY - before.clientY);
      this.turn((event.clientX - before.clientX) / 150, (event.clientY - before.clientY) / 150);
    });
    canvas.addEventListener("pointerup", event => { if (held.has(event.pointerId) && moved < CLICK) this.click(event.offsetX, event.offsetY); });
    for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, event => held.delete(event.pointerId));
    // Over a view that was not chosen the wheel still scrolls the sheet.
    canvas.addEventListener("wheel", event => {
      if (!event.ctrlKey && document.activeElement !== canvas) return;
      event.preventDefault();
      this.near(Math.exp(-event.deltaY / 500));
    }, { passive: false });
    const keys = {
      ArrowLeft: () => this.turn(-0.15, 0), ArrowRight: () => this.turn(0.15, 0), ArrowUp: () => this.turn(0, 0.15),
      ArrowDown: () => this.turn(0, -0.15), "+": () => this.near(1.15), "=": () => this.near(1.15), "-": () => this.near(0.87), Home: () => this.reset(),
    };
    canvas.addEventListener("keydown", event => {
      if (!keys[event.key] || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      keys[event.key]();
    });
  }

  turn(across, up) {
    this.azimuth += across;
    this.elevation = Math.min(Math.max(this.elevation + up, -1.5), 1.5);
    this.draw();
  }

  near(by) {
    this.zoom = Math.min(Math.max(this.zoom * by, 0.3), 30);
    this.draw();
  }

  reset() {
    Object.assign(this, START);
    this.draw();
  }

  tell(words) {
    this.words.textContent = words;
  }

  /** Where a place of the part is on the canvas, in its pixels. */
  onCanvas(at) {
    const { clientWidth: width, clientHeight: height } = this.canvas;
    const { matrix } = this.camera(width, height);
    const [x, y] = [0, 1].map(row => matrix[row] * at[0] + matrix[4 + row] * at[1] + matrix[8 + row] * at[2] + matrix[12 + row]);
    return [((1 + x) / 2) * width, ((1 - y) / 2) * height];
  }

  /** The lines of a size, where its pieces stand now. */
  rows(size) {
    return size.lines.flatMap(({ piece, rows }) => {
      const body = this.buffers.find(one => one.number === piece);
      return body ? rows.map(row => row.map(at => at.map((v, axis) => v + body.place[axis]))) : [];
    });
  }

  /** A click means a face where one measures, else the size whose lines are nearest. */
  click(x, y) {
    if (this.measuring) return this.touch(x, y);
    const far = size => Math.min(...this.rows(size).map(row => {
      const on = row.map(at => this.onCanvas(at));
      return Math.min(...on.slice(1).map((to, k) => beside([x, y], on[k], to)));
    }), Infinity);
    const near = this.sizes.map(size => [far(size), size]).filter(([off]) => off < NEAR).sort((a, b) => a[0] - b[0]);
    this.light(near[0]?.[1].key ?? null);
    if (near.length) this.meant(near[0][1].key);
  }

  touch(x, y) {
    const { clientWidth: width, clientHeight: height } = this.canvas;
    const { matrix, away, cut } = this.camera(width, height);
    // Back from the screen: the camera's rows are square to each other.
    const [sx, sy] = [(2 * x) / width - 1 - matrix[12], 1 - (2 * y) / height - matrix[13]];
    const row = at => [matrix[at], matrix[4 + at], matrix[8 + at]];
    const [right, up] = [row(0), row(1)];
    const long = one => one.reduce((sum, v) => sum + v * v, 0);
    const depth = this.middle.reduce((sum, v, axis) => sum + v * away[axis], 0) - 4 * this.radius;
    const from = right.map((v, axis) => (v * sx) / long(right) + (up[axis] * sy) / long(up) + away[axis] * depth);
    const hit = struck(this.buffers, from, away, cut);
    if (!hit) return this.tell("No face is there.");
    this.touched = this.touched.length === 1 ? [this.touched[0], hit] : [hit];
    this.tell(this.touched.length === 1 ? `${about(hit)} Touch another for what is between.` : between(...this.touched));
    this.draw();
  }

  /** Lights the size of a key in the view, or none. */
  light(key) {
    const size = this.sizes.find(one => one.key === key);
    this.lit = size ? key : null;
    this.tell(size ? `${capital(size.label)}: ${size.said}.` : "");
    this.draw();
  }

  /** What is lit: the lines of a size, or the places touched. */
  bright() {
    if (this.touched.length) {
      const places = this.touched.map(({ body, at }) => at.map((v, axis) => v + body.place[axis]));
      const arm = 0.02 * this.radius / this.zoom;
      const stars = places.flatMap(at => [0, 1, 2].map(axis => [-arm, arm].map(by => at.map((v, k) => (k === axis ? v + by : v)))));
      return [places, ...stars];
    }
    const size = this.sizes.find(one => one.key === this.lit);
    return size ? this.rows(size) : [];
  }

  /** Shows other bodies and knows their sizes, from where one looks now, and at once; `stands` are the machine's axes,
   * where the part is mounted otherwise than it prints. */
  show(bodies, sizes = this.sizes, stands = this.stands) {
    const { gl } = this;
    Object.assign(this, { bodies, sizes, stands, touched: [] });
    for (const { array, buffers } of this.buffers) {
      gl.deleteVertexArray(array);
      buffers.forEach(buffer => gl.deleteBuffer(buffer));
    }
    const { placed, middle, radius } = laidOut(bodies);
    Object.assign(this, { middle, radius });
    this.buffers = placed.map(body => {
      const array = gl.createVertexArray();
      gl.bindVertexArray(array);
      const filled = (target, data) => {
        const buffer = gl.createBuffer();
        gl.bindBuffer(target, buffer);
        gl.bufferData(target, data, gl.STATIC_DRAW);
        return buffer;
      };
      const points = filled(gl.ARRAY_BUFFER, body.points);
      gl.enableVertexAttribArray(this.at);
      gl.vertexAttribPointer(this.at, 3, gl.FLOAT, false, 0, 0);
      const indices = new Uint32Array(body.triangles.length + body.edges.length);
      indices.set(body.triangles);
      indices.set(body.edges, body.triangles.length);
      const buffers = [points, filled(gl.ELEMENT_ARRAY_BUFFER, indices)];
      return { ...body, array, buffers };
    });
    this.paint();
  }

  /** Draws before the next picture of the screen, however much changes until then. */
  draw() {
    this.waiting ??= requestAnimationFrame(() => { this.waiting = null; this.paint(); });
  }

  /** Looked at along a slope, parallel, z up: columns are what x, y and z come to on the screen. */
  camera(width, height) {
    const [sa, ca, se, ce] = [Math.sin(this.azimuth), Math.cos(this.azimuth), Math.sin(this.elevation), Math.cos(this.elevation)];
    const [right, up, away] = [[ca, sa, 0], [-sa * se, ca * se, ce], [-sa * ce, ca * ce, -se]].map(way => this.stood(way));
    const scale = (0.95 * this.zoom) / this.radius;
    const fit = [scale * Math.min(1, height / width), scale * Math.min(1, width / height), 0.3 / this.radius];
    const rows = [right, up, away];
    const matrix = new Float32Array(16);
    rows.forEach((row, at) => {
      for (let axis = 0; axis < 3; axis++) matrix[axis * 4 + at] = row[axis] * fit[at];
      matrix[12 + at] = -dot(row, this.middle) * fit[at];
    });
    matrix[15] = 1;
    // Cut open: what stands before the upright plane through the middle is left away.
    const towards = this.stood([sa, -ca, 0]);
    const cut = this.cut ? [...towards, dot(towards, this.middle)] : null;
    return { matrix, away, cut, lengths: [1 / fit[0], 1 / fit[1], -1 / fit[2]] };
  }

  /** A direction of the place the part is shown in, along the part's own axes. */
  stood(way) {
    if (!this.mating || !this.stands) return way;
    return [0, 1, 2].map(axis => this.stands.reduce((sum, one, at) => sum + way[at] * one[axis], 0));
  }

  paint() {
    const { gl, canvas, uniforms } = this;
    const ratio = Math.min(devicePixelRatio || 1, 2);
    const [width, height] = [Math.round(canvas.clientWidth * ratio), Math.round(canvas.clientHeight * ratio)];
    if (!width || !height || gl.isContextLost()) return;
    if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
    gl.viewport(0, 0, width, height);
    gl.clearColor(1, 1, 1, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.useProgram(this.program);
    gl.enable(gl.DEPTH_TEST);
    gl.depthFunc(gl.LEQUAL);
    gl.enable(gl.POLYGON_OFFSET_FILL);
    gl.polygonOffset(1, 1);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
    const { matrix, cut, lengths } = this.camera(width, height);
    gl.uniformMatrix4fv(uniforms.camera, false, matrix);
    gl.uniform3fv(uniforms.lengths, lengths);
    gl.uniform4fv(uniforms.cut, cut ?? [0, 0, 0, 1]);
    for (const printed of [true, false]) this.layer(printed);
    this.brightLines(matrix, [width, height]);
    canvas.dataset.triangles = this.buffers.reduce((sum, body) => sum + body.triangles.length / 3, 0);
  }

  /** What is lit, over all else and two pixels wide. */
  brightLines(matrix, [width, height]) {
    const { gl, uniforms } = this;
    const rows = this.bright();
    this.canvas.dataset.lit = this.touched.length ? "touched" : this.lit ?? "";
    if (!rows.length) return;
    this.pencil ??= { array: gl.createVertexArray(), buffer: gl.createBuffer() };
    gl.bindVertexArray(this.pencil.array);
    gl.bindBuffer(gl.ARRAY_BUFFER, this.pencil.buffer);
    gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(rows.flat(2)), gl.DYNAMIC_DRAW);
    gl.enableVertexAttribArray(this.at);
    gl.vertexAttribPointer(this.at, 3, gl.FLOAT, false, 0, 0);
    gl.disable(gl.DEPTH_TEST);
    gl.uniform4fv(uniforms.cut, [0, 0, 0, 1]);
    gl.uniform3fv(uniforms.place, [0, 0, 0]);
    gl.uniform1i(uniforms.lines, 1);
    gl.uniform4fv(uniforms.colour, LIT);
    for (const [x, y] of [[0, 0], [1, 0], [0, 1], [1, 1]]) {
      const moved = matrix.slice();
      moved[12] += (2 * x) / width;
      moved[13] += (2 * y) / height;
      gl.uniformMatrix4fv(uniforms.camera, false, moved);
      let at = 0;
      for (const row of rows) {
        gl.drawArrays(gl.LINE_STRIP, at, row.length);
        at += row.length;
      }
    }
  }

  layer(printed) {
    const { gl, uniforms } = this;
    gl[printed ? "disable" : "enable"](gl.BLEND);
    gl.depthMask(printed);
    for (const body of this.buffers.filter(one => one.printed === printed)) {
      gl.bindVertexArray(body.array);
      gl.uniform3fv(uniforms.place, body.place);
      gl.uniform1i(uniforms.lines, 0);
      gl.uniform4fv(uniforms.colour, printed ? PART : MATING);
      gl.drawElements(gl.TRIANGLES, body.triangles.length, gl.UNSIGNED_INT, 0);
      gl.uniform1i(uniforms.lines, 1);
      gl.uniform4fv(uniforms.colour, printed ? INK : FAINT);
      gl.drawElements(gl.LINES, body.edges.length, gl.UNSIGNED_INT, 4 * body.triangles.length);
    }
    gl.depthMask(true);
  }
}
