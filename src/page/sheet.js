// What the sheet says of a part, from its report. Every text goes in as text, never as markup; `say` makes of an option in
// it the name of its field.
import { capital, label } from "./names.js";

/** An element with attributes and children. */
export function h(tag, attributes, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

/** A number for reading, as the printed sheet has it. */
const short = value => {
  const size = Math.abs(value);
  const digits = size >= 1000 ? 0 : size >= 10 ? 2 : 3;
  return String(Number(value.toFixed(digits)));
};

const list = (items, say) => h("ul", {}, ...items.map(item => h("li", {}, ...say(item))));
const titled = (title, ...rest) => [h("h2", {}, title), ...rest];
const MARKS = { stop: "stop", caution: "caution-mark", ok: "ok" };

const level = finding =>
  h("span", { class: "level " + MARKS[finding.level] }, finding.accepted ? "let through" : finding.level);

/** A change in words: what is set, and what is left out. */
function changeWords(change) {
  const words = Object.entries(change).map(([key, value]) =>
    value === null ? `leave ${label(key)} out` : value === true ? `set ${label(key)}` : `set ${label(key)} to ${Array.isArray(value) ? value.join(", ") : value}`);
  return capital(words.join(" and "));
}

/** Findings on top: what stops, what asks for care, each with the advice that was tried. */
export function findings(words, { apply, say }) {
  if (words.error) {
    const all = [words.error, ...(words.error.more ?? [])];
    const items = all.map(error => h("li", {}, ...say(error.says), " ", h("em", {}, ...say(error.try))));
    return h("div", { class: "findings open" }, h("h2", {}, "It cannot be drawn yet"), h("ul", {}, ...items));
  }
  const open = words.report.findings.filter(finding => finding.level !== "ok");
  const rank = finding => (finding.level === "stop" ? 0 : 1);
  open.sort((a, b) => rank(a) - rank(b));
  const items = open.map(finding => {
    const said = words.said.findings[words.report.findings.indexOf(finding)];
    const limit = `${said.value}, ${said.limit}. `;
    const item = h("li", {}, level(finding), " ", h("strong", {}, finding.check), " ", limit, ...say(finding.says), " ");
    if (finding.try) item.append(h("em", {}, ...say(finding.try)));
    if (finding.changes?.length) {
      const buttons = finding.changes.map((change, at) => {
        const button = h("button", { type: "button", "data-again": finding.check + at }, changeWords(change));
        button.addEventListener("click", () => apply(change));
        return button;
      });
      item.append(h("div", { class: "actions" }, ...buttons));
    }
    return item;
  });
  const holds = words.report.findings.length - open.length;
  const head = words.stopped ? "Stopped: no file is written" : open.length ? "Before you use it" : "All checks hold";
  return h("div", { class: open.length ? "findings open" : "findings" }, h("h2", {}, head),
    ...(open.length ? [h("ul", {}, ...items)] : []), h("p", { class: "basis" }, `${words.state}; ${holds} checks hold.`));
}

/** The numbers that hands need, the first first. */
export const numbers = words =>
  words.sizes.filter(size => size.bench !== null).sort((a, b) => a.bench - b.bench)
    .map(size => h("div", {}, h("dt", {}, size.label), h("dd", {}, size.said)));

const cell = (label, content, name = "n") => h("td", { class: name, "data-label": label }, ...[content].flat());

function table(caption, heads, rows) {
  const head = h("tr", {}, ...heads.map(([text, name]) => h("th", { scope: "col", class: name }, text)));
  return h("table", { class: "wide" }, h("caption", { hidden: "" }, caption), h("thead", {}, head), h("tbody", {}, ...rows));
}

/** Every size with its origin; one that is an answer too can be held, or let go again. */
function sizes(words, { hold, letGo, lead, light, say }) {
  const rows = words.sizes.map(size => {
    const answer = size.key.replaceAll("_", "-");
    const action = h("td", {});
    const button = (text, act) => {
      const made = h("button", { type: "button", class: "small", "data-again": `${text.split(" ")[0]}-${size.key}`, "aria-label": `${text}: ${size.label}` }, text);
      made.addEventListener("click", act);
      action.append(made);
    };
    if (light && size.lines.length) button("show", () => light(size.key));
    const given = size.origin === "given" && /--([a-z-]+)/.exec(size.source)?.[1];
    if (given && letGo.has(given)) {
      button("let go", () => letGo.run(given));
      button("to its field", () => lead(given));
    } else if (!given && hold.can(answer)) button(`hold at ${size.shown}`, () => hold.run(answer, Number(size.value.toFixed(4))));
    const source = size.origin === "estimate" ? "ESTIMATE: " + size.source : size.origin === "given" ? "given: " + size.source : size.source;
    return h("tr", { "data-size": size.key }, h("td", {}, size.label), cell("Value", size.said), cell("From", say(source), "basis"), action);
  });
  return table("Every size and where it came from", [["Size", ""], ["Value", "n"], ["From", ""], ["", ""]], rows);
}

function readings(words) {
  const rows = words.report.notes.print_readings.map((reading, at) => {
    const [drawn, wanted, least, most] = words.said.readings[at];
    const what = reading.on?.filter(Boolean).length ? `${reading.what} (${reading.on.filter(Boolean).join(", ")})` : reading.what;
    return h("tr", {}, h("td", {}, `${reading.letter} ${what}`), cell("Drawn", drawn), cell("Should measure", wanted), cell("Least", least), cell("Most", most));
  });
  return table("Caliper readings", [["Caliper reading", ""], ["Drawn", "n"], ["Should measure", "n"], ["Least", "n"], ["Most", "n"]], rows);
}

function checks(words, say) {
  const rows = words.report.findings.map((finding, at) => h("tr", {}, h("td", {}, level(finding)),
    h("td", {}, h("strong", {}, finding.check), ": ", ...say(finding.says), " ", h("span", { class: "basis" }, ...say(finding.basis))),
    cell("Value", words.said.findings[at].value), cell("Limit", words.said.findings[at].limit)));
  return table("What was checked", [["Result", ""], ["What and why", ""], ["Value", "n"], ["Limit", "n"]], rows);
}

/** All that stands below the picture, in the order of the printed sheet. */
export function rest(words, actions) {
  const { notes } = words.report;
  const { print } = notes;
  const { say } = actions;
  const part = [];
  if (notes.cautions.length) part.push(h("div", { class: "caution" }, ...titled("Cautions", list(notes.cautions, say))));
  part.push(...titled("Print", h("p", {}, `${print.lie} ${print.material}, layers ${short(print.layer_mm)} mm, ${print.walls} walls, ${short(print.infill_percent)} % infill; about ${short(print.mass_g)} g.`)));
  if (words.hardware.length) part.push(...titled("To have at hand", list(words.hardware, say)));
  if (notes.print_readings.length) part.push(...titled("Measure the print before you use it", readings(words)));
  if (notes.steps.length) part.push(...titled("At the bench", h("ol", { class: "steps" }, ...notes.steps.map(step => h("li", {}, ...say(step))))));
  part.push(...titled("Every size and where it came from", sizes(words, actions)));
  if (notes.readings_wanted.length) part.push(...titled("Readings that would settle what was estimated", list(notes.readings_wanted, say)));
  part.push(...titled("How it was arrived at", ...notes.mechanics.map(text => h("p", {}, ...say(text))), checks(words, say)));
  return part;
}
