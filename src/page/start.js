// From readings: what lies on the bench is told in its own words, and leads to a part with those answers given.
import { h } from "./sheet.js";
import { plain } from "./names.js";
import { post } from "./talk.js";

const choice = (key, label, options, help = "") => ({ key, label, options, help });
const text = (key, label, help = "", also = {}) => ({ key, label, help, ...also });

const WORK = [["on-shaft", "press it onto a shaft"], ["in-housing", "press it into a housing"], ["on-both", "press it onto a shaft and into a housing at once"],
  ["off-shaft", "draw the old one off a shaft"], ["out-of-housing", "draw the old one out of a housing"]];
const GROUPS = [["mains", "mains"], ["motor", "a motor's power"], ["signal", "signals"], ["data", "data"]];
const LONG = ["square", "rounded", "obround"];
const STYLES = [["foot", "on a face parallel to the spindle"], ["face", "on a face square to the spindle, sliding along"], ["swing", "on a face square to the spindle, swinging about one screw"]];

const WAYS = [
  { from: "bearing", title: "A bearing in my hand", lead: "Its number, or three caliper readings and what the eye tells.", fields: [
    choice("work", "What is to be done", WORK),
    text("stamp", "Number on its face", "As stamped, letters and all: 6204-2RS.", { table: "bearings" }),
    text("bore", "Bore, mm"), text("outside", "Outside, mm"), text("width", "Width, mm", "Over both rings together."),
    choice("eye.covers", "What closes its sides", [["nothing", "nothing: what rolls is in sight from both sides"], ["metal-on-one", "sheet metal on one side"], ["metal-on-both", "sheet metal on both sides"], ["rubber-on-one", "rubber on one side"], ["rubber-on-both", "rubber on both sides"]]),
    choice("eye.rolling", "What rolls", [["balls", "balls"], ["rollers", "rollers"]]),
    choice("eye.rows", "In how many rows", [["one", "one"], ["two", "two"]]),
    choice("eye.slides", "Does a ring slide off by hand", [["neither", "neither does, pushed both ways"], ["inner", "the inner ring comes out"], ["outer", "the outer ring comes off"]]),
  ] },
  { from: "belt", title: "A belt I own", lead: "For an encoder that a spindle is to turn by it.", fields: [
    text("stamp", "What is printed on the belt", "All of it: 225-3M-9, 100 XL 037."),
    text("over-ten", "Length over ten teeth, mm", "Laid flat: from an edge of one tooth to the same edge of the tenth after it. Where nothing is printed."),
    choice("tooth", "Shape of a tooth", [["round", "round"], ["straight", "straight flanks"]]),
    text("teeth", "Teeth of the belt", "Counted all round, from a mark."), text("width", "Width of the belt, mm"),
    text("pulleys.0", "Teeth of the spindle's pulley", "Counted, where there is one."), text("pulleys.1", "Teeth of the encoder's pulley"),
    text("shafts.0", "Diameter of the spindle, mm", "Without pulleys the least sound ones are taken."), text("shafts.1", "Diameter of the encoder's shaft, mm"),
    text("encoder", "Encoder", "By its flange.", { table: "encoders" }),
    choice("style", "Where the bracket is screwed on", STYLES),
  ] },
  { from: "hole", title: "A hole and these cables", lead: "For a plate that closes the hole round them.", fields: [
    { ...choice("shape", "Shape of the hole", [["round", "round"], ["square", "square corners"], ["rounded", "rounded corners"], ["obround", "long with round ends"]]), made: true },
    text("across.0", "Least across, mm", "Of a round hole its diameter."), text("across.1", "Greatest across, mm", "Where it is ragged."),
    text("high.0", "Least height, mm", "", { shapes: LONG }), text("high.1", "Greatest height, mm", "Where it is ragged.", { shapes: LONG }),
    text("corner", "Radius of its corners, mm", "", { shapes: ["rounded"] }), text("sheet", "Thickness of the sheet, mm"),
    { key: "cables", label: "Cables", rows: [
      text("size", "Over its sheath, mm", "Or its name.", { table: "cables" }), text("count", "How many"),
      choice("group", "What runs in it", GROUPS), text("plug", "Plug that is on, mm", "Where it is widest."),
    ] },
  ] },
];

/** One reading's field; `tell` hears of every change. */
function field(id, { label, help, options, made, table }, tell) {
  const described = help ? { "aria-describedby": id + "-help" } : {};
  const control = options
    ? h("select", { id, ...described }, ...(made ? [] : [h("option", { value: "" }, "(not told)")]), ...options.map(([value, words]) => h("option", { value }, words)))
    : h("input", { id, type: "text", spellcheck: "false", ...described, ...(table ? { list: "table-" + table } : {}) });
  control.addEventListener("input", tell);
  const box = h("div", { class: "field" }, h("label", { for: id }, label), control, ...(help ? [h("p", { class: "help basis", id: id + "-help" }, help)] : []));
  return { box, read: () => control.value.trim() };
}

/** Lines of readings, one more than are filled. */
function lines(id, { label, rows }, tell) {
  const all = [];
  const box = h("div", { class: "lines", role: "group", "aria-label": label });
  const told = () => {
    if (all.at(-1).some(one => one.read())) add();
    tell();
  };
  const add = () => {
    const at = all.length + 1;
    const line = rows.map(one => field(`${id}-${at}-${one.key}`, one, told));
    all.push(line);
    box.append(h("fieldset", {}, h("legend", {}, `Cable ${at}`), ...line.map(one => one.box)));
  };
  add();
  const read = () => all.map(line => Object.fromEntries(line.map((one, at) => [rows[at].key, one.read()]))).filter(one => one.size);
  return { box, read };
}

/** Puts a reading at its place: `eye.rows`, `pulleys.0`. A choice not made is left out. */
function put(all, { key, options }, value) {
  if (options && !value) return;
  const [first, next] = key.split(".");
  if (next === undefined) all[first] = value;
  else (all[first] ??= /\d/.test(next) ? ["", ""] : {})[next] = value;
}

class Way {
  constructor(way, begin, known) {
    Object.assign(this, { way, begin, known, asked: 0 });
    const make = one => (one.rows ? lines : field)(`start-${way.from}-${one.key.replace(".", "-")}`, one, () => this.ask());
    this.fields = way.fields.map(make);
    this.answer = h("div", { class: "begun", role: "status" });
    const form = h("form", { class: "fields", autocomplete: "off" }, ...this.fields.map(one => one.box));
    form.addEventListener("submit", event => event.preventDefault());
    this.box = h("details", {}, h("summary", {}, way.title), h("p", { class: "lead" }, way.lead), form, this.answer);
    this.box.addEventListener("toggle", () => { if (this.box.open) this.ask(); });
    this.shape();
  }

  readings() {
    const all = { from: this.way.from };
    this.fields.forEach((one, at) => put(all, this.way.fields[at], one.read()));
    return all;
  }

  /** Shows the fields of the shape that is chosen. */
  shape() {
    const { shape } = this.readings();
    this.way.fields.forEach(({ shapes }, at) => { if (shapes) this.fields[at].box.hidden = !shapes.includes(shape); });
  }

  async ask() {
    this.shape();
    const number = ++this.asked;
    // Nothing begins with readings that have changed since.
    this.answer.querySelectorAll("button").forEach(button => { button.disabled = true; });
    let found;
    try {
      found = await post("start", this.readings());
    } catch (error) {
      found = { error: error.error ?? { says: "The program does not answer.", try: "" } };
    }
    if (number === this.asked) this.show(found);
  }

  show({ error, says, choices = [] }) {
    const words = error ? [h("p", {}, plain(error.says, this.known), " ", h("em", {}, plain(error.try, this.known)))] : says ? [h("p", {}, says)] : [];
    const items = choices.map(one => {
      const what = one.kind && h("button", { type: "button", class: "main" }, `Begin a ${one.kind} with ${one.name}`);
      what?.addEventListener("click", () => this.begin(one.kind, one.answers));
      return h("li", {}, ...(what ? [what, " "] : [h("strong", {}, one.name), ": "]), one.says);
    });
    this.answer.replaceChildren(...words, ...(items.length ? [h("ul", {}, ...items)] : []));
  }
}

/** The ways in; `begin` adds a part of a kind with its first answers, `known` tells which answers have a field. */
export const ways = (begin, known) => WAYS.map(way => new Way(way, begin, known).box);
