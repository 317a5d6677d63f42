// The live sheet: a job's parts, one of them open, its answers as fields, what the program says of them.
import { Refused, ask, asked, get, picture, post, stop } from "./talk.js";
import { Fields, datalists, properties, takesNumber } from "./fields.js";
import { leading, plain } from "./names.js";
import { findings, h, numbers, rest } from "./sheet.js";
import { ways } from "./start.js";
import { view } from "./view.js";

const by = id => document.getElementById(id);
const [schema, choices] = await Promise.all([get("schema"), get("choices")]);
const HEAD = Object.fromEntries(["printer", "material", "tolerance", "units"].map(key => [key, schema.properties[key]]));

let job = await get("job");
let open = Math.min(Number(/^#part-(\d+)$/.exec(location.hash)?.[1] ?? 1) - 1, job.parts.length - 1);
/** The open part's answers as they stand in the fields, typed but perhaps not yet taken. */
let answers = {};
/** The answers that were asked about last. */
let inquired = "";
let fields = null;
let head = null;
const shape = view(by("view"), () => inquire(), key => {
  const row = document.querySelector(`[data-size="${CSS.escape(key)}"]`);
  document.querySelector("tr.lit")?.classList.remove("lit");
  row?.classList.add("lit");
  row?.scrollIntoView({ block: "nearest" });
});

document.body.append(...datalists(choices));
by("format").append(...choices.formats.map(name => h("option", {}, name)));
by("kind").append(...Object.entries(schema.properties).filter(([, one]) => one.type === "array")
  .map(([kind, one]) => h("option", { value: kind }, `${kind}: ${one.description ?? ""}`)));

const kinds = Object.keys(schema.properties).filter(key => schema.properties[key].type === "array");
/** Whether any part, or the job's head, has a field for that answer. */
const everywhere = key => key in HEAD || kinds.some(kind => key in properties(schema, kind));
/** Errors in words, their fields called as they are here. */
const told = error => [error, ...(error.more ?? [])].map(one => plain(`${one.says} ${one.try ?? ""}`, everywhere)).join(" ");

/** A notice of words, or of elements. */
function notice(words, wrong = false, ...actions) {
  const said = typeof words === "string" ? [h("p", {}, words)] : words;
  const box = h("div", { class: wrong ? "notice wrong" : "notice" }, ...said, ...(actions.length ? [h("div", { class: "actions" }, ...actions)] : []));
  by("notice").replaceChildren(...(words.length ? [box] : []));
}

const button = (text, act) => {
  const made = h("button", { type: "button" }, text);
  made.addEventListener("click", act);
  return made;
};

/** Asks for a change of the job and shows what became of it. */
async function change(path, body, also = {}) {
  try {
    job = await post(path, { ...(path === "save" ? {} : path === "load" ? {} : { revision: job.revision }), ...body });
    if (also.opens && job.on !== null) open = job.on;
    notice(also.says ?? "");
    showJob(also.keeps ?? false);
    return true;
  } catch (error) {
    if (!(error instanceof Refused)) return lost(error);
    job = await get("job");
    if (path === "save" && job.changed_on_disk) {
      notice(told(error.error), true, button("Load it as it is on disk", () => change("load", {})), button("Save over it", () => change("save", { over: true }, { says: "Saved." })));
    } else notice(told(error.error), true);
    showJob(also.keeps ?? false);
    return false;
  }
}

function lost(error) {
  notice(`The program does not answer (${error.message}). What was taken is kept beside the job: start fixwright page again.`, true);
  return false;
}

/** The answers that differ from what the job holds. */
function differing(now, before) {
  const keys = new Set([...Object.keys(now), ...Object.keys(before)]);
  const changed = [...keys].filter(key => JSON.stringify(now[key]) !== JSON.stringify(before[key]));
  return Object.fromEntries(changed.map(key => [key, now[key] === undefined ? null : now[key]]));
}

/** Takes what was typed into the job. */
let taking = Promise.resolve();
function take() {
  taking = taking.then(async () => {
    const part = job.parts[open];
    if (!part) return;
    const changed = differing(answers, part.answers);
    if (Object.keys(changed).length) await change("edit", { edit: { do: "part", part: open, answers: changed } }, { keeps: true });
  });
  return taking;
}

function apply(changed) {
  for (const [key, value] of Object.entries(changed)) {
    if (value === null) delete answers[key];
    else answers[key] = value;
  }
  fields.set(answers);
  inquire();
  take();
}

function tell(key, value, done) {
  if (value === undefined) delete answers[key];
  else answers[key] = value;
  fields.mark(answers);
  if (done) take();
  // Leaving a field changes nothing that was not asked about when it was typed.
  if (JSON.stringify(answers) !== inquired) inquire();
}

function tellHead(key, value, done) {
  if (!done) return;
  taking = taking.then(() => change("edit", { edit: { do: "head", answers: { [key]: value === undefined ? null : value } } }, { keeps: true })).then(inquire);
}

/** Says that an answer is on its way: at once in the view, after a second in words and with a way to stop it. */
const working = {
  since: null,
  clock: null,
  /** Whether the answer is shown and only its advice is on its way. */
  tries: false,
  begin() {
    this.tries = false;
    by("stop").textContent = "Stop";
    this.since ??= performance.now();
    this.clock ??= setInterval(() => this.say(), 50);
  },
  say() {
    const seconds = (performance.now() - this.since) / 1000;
    document.body.classList.toggle("busy", seconds > 0.15);
    by("working").hidden = seconds < 1;
    const doing = this.tries ? "Trying what would clear the checks" : "Looking for what fits";
    const words = `${doing}: ${Math.floor(seconds)} s. ${drawn && !this.tries ? "The sheet is of the answers before." : ""}`;
    if (by("working-words").textContent !== words) by("working-words").textContent = words;
  },
  end(words = "") {
    clearInterval(this.clock);
    Object.assign(this, { since: null, clock: null });
    document.body.classList.remove("busy");
    by("working").hidden = !words;
    by("working-words").textContent = words;
  },
};

/** Asks what the answers come to, and shows it where nothing newer was typed meanwhile. */
async function inquire() {
  const part = job.parts[open];
  if (!part) return;
  inquired = JSON.stringify(answers);
  const began = performance.now();
  working.begin();
  try {
    const question = { kind: part.kind, answers, mating: shape?.mating ?? false };
    const glance = await ask({ ...question, glance: true });
    // A newer question is on its way, or it was stopped.
    if (!glance) return;
    showPart(part.kind, glance);
    performance.measure("fixwright-answer", { start: began, end: performance.now() });
    if (glance.words.trouble) {
      working.tries = true;
      const advised = await ask({ ...question, mating: false });
      if (!advised) return;
      showWords(part.kind, advised.words);
    }
    working.end();
    document.body.dataset.answered = JSON.stringify([part.kind, answers]);
  } catch (error) {
    working.end();
    if (!(error instanceof Refused)) return lost(error);
    notice(told(error.error), true);
  }
}

/** What takes another's place keeps the keyboard where it was. */
function replaced(act) {
  const again = document.activeElement?.dataset?.again;
  act();
  if (again) document.querySelector(`[data-again="${CSS.escape(again)}"]`)?.focus();
}

let last = "";
/** Whether the open part was drawn since it was opened. */
let drawn = false;
/** Shows what is said of the part. */
function showWords(kind, words) {
  replaced(() => {
    const known = key => key in properties(schema, kind);
    const say = text => leading(text, known, key => fields.focus(key));
    by("findings").replaceChildren(findings(words, { apply, say }));
    fields.blame(words.error ? [words.error, ...(words.error.more ?? [])].map(one => `${one.says} ${one.try}`).join(" ") : "");
    by("rest").hidden = by("numbers").hidden = Boolean(words.error);
    if (words.error) return;
    by("name").textContent = words.report.name;
    by("purpose").textContent = words.report.notes.purpose;
    by("numbers").replaceChildren(...numbers(words));
    const actions = {
      hold: { can: key => takesNumber(schema, kind, key), run: (key, value) => apply({ [key]: value }) },
      letGo: { has: key => answers[key] !== undefined, run: key => apply({ [key]: null }) },
      lead: key => fields.focus(key),
      say,
      light: shape && (key => {
        shape.light(key);
        by("view").scrollIntoView({ block: "nearest" });
      }),
    };
    by("rest").replaceChildren(...rest(words, actions));
  });
}

/** Shows what is said of the part, and the part. */
function showPart(kind, { words, bodies }) {
  showWords(kind, words);
  if (words.error) {
    by("view-words").textContent = drawn ? "The picture is of the last answers that could be drawn." : "";
    return;
  }
  drawn = true;
  by("view").hidden = false;
  by("view-words").textContent = words.report.pieces.length > 1 ? "Its pieces as they print, or where they have one in their place." : "Drag it, or use the arrow keys.";
  if (shape) shape.show(bodies, words.sizes.filter(size => size.lines.length), words.stands);
  else still(kind);
}

/** Without WebGL2: the picture that goes into the printed sheet. */
async function still(kind) {
  const now = (last = JSON.stringify([kind, answers]));
  try {
    const image = h("img", { alt: "The part as it prints" });
    image.src = URL.createObjectURL(await picture(asked({ kind, answers })));
    image.addEventListener("load", () => URL.revokeObjectURL(image.src));
    if (now === last) by("view").replaceChildren(image);
  } catch (error) {
    if (!(error instanceof Refused)) lost(error);
  }
}

function free(name) {
  const taken = job.parts.map(part => part.answers.name);
  for (let at = 2; ; at++) if (!taken.includes(`${name}-${at}`)) return `${name}-${at}`;
}

function showParts() {
  const items = job.parts.map((part, at) => {
    const name = part.answers.name ?? `${part.kind} without a name`;
    const opener = h("button", { type: "button", class: "open", "data-again": "part-" + at, ...(at === open ? { "aria-current": "true" } : {}) }, `${at + 1}. ${name}`, at === open ? "" : ` (${part.kind})`);
    opener.addEventListener("click", () => choose(at));
    const small = (text, act) => {
      const made = h("button", { type: "button", class: "small", "aria-label": `${text} ${name}` }, text);
      made.addEventListener("click", act);
      return made;
    };
    return h("li", {}, opener,
      small("Copy", () => change("edit", { edit: { do: "copy", part: at, name: free(part.answers.name ?? part.kind) } }, { opens: true })),
      small("Remove", () => change("edit", { edit: { do: "remove", part: at } }, { says: `${name} was removed; "Take back" brings it again.` })));
  });
  replaced(() => by("parts").replaceChildren(...items));
}

async function choose(at) {
  await take();
  open = at;
  showJob(false);
}

/** Shows the job; fields of a part that stays open keep what is being typed. */
function showJob(keeps) {
  open = Math.min(Math.max(open, 0), job.parts.length - 1);
  const part = job.parts[open];
  if (document.activeElement !== by("title")) by("title").value = job.head.title ?? "";
  document.title = `${job.head.title ?? ""}: live sheet`;
  by("file").textContent = `${job.file}, ${job.saved ? "saved" : "not saved yet"}${job.taken_up ? "; what was not saved before was taken up again" : ""}`;
  by("undo").disabled = !job.undo;
  by("redo").disabled = !job.redo;
  by("save").disabled = job.saved;
  head ??= new Fields(by("head"), HEAD, job.head, { schema, choices, tell: tellHead, prefix: "head" });
  head.set(job.head);
  showParts();
  by("part").hidden = !part;
  if (!keeps) by("start").open = !part;
  if (!part) return;
  history.replaceState(null, "", `#part-${open + 1}`);
  if (keeps && fields) {
    fields.mark(answers);
    return;
  }
  answers = structuredClone(part.answers);
  by("name").textContent = part.answers.name ?? part.kind;
  // Nothing of the part that was open before stands under this one's name.
  by("purpose").textContent = by("view-words").textContent = "";
  by("numbers").hidden = by("rest").hidden = by("view").hidden = true;
  by("findings").replaceChildren();
  drawn = false;
  fields = new Fields(by("answers"), properties(schema, part.kind), answers, { schema, choices, tell });
  inquire();
}

by("answers").addEventListener("submit", event => event.preventDefault());
by("title").addEventListener("change", () => {
  taking = taking.then(() => change("edit", { edit: { do: "head", answers: { title: by("title").value } } }, { keeps: true }));
});
by("undo").addEventListener("click", () => take().then(() => change("undo", {})));
by("redo").addEventListener("click", () => take().then(() => change("redo", {})));
by("save").addEventListener("click", () => take().then(() => change("save", { over: false }, { keeps: true, says: "Saved." })));
by("add").addEventListener("click", () => begin(by("kind").value, {}));
/** Adds a part with its first answers, opens it and leads to its fields. */
async function begin(kind, first) {
  await take();
  if (await change("edit", { edit: { do: "add", kind, answers: first } }, { opens: true })) by("answers").querySelector("input, select")?.focus();
}
by("ways").append(...ways(begin, everywhere));
by("stop").addEventListener("click", () => {
  if (working.since === null) return inquire();
  stop();
  working.end(working.tries ? "Stopped: nothing more is tried." : "Stopped. The sheet is of the answers before.");
  by("stop").textContent = "Look again";
});

/** What was written, each file under what became of it. */
function written({ folder, outdated, ...all }) {
  const list = (words, names) => (names.length ? [h("p", {}, `${words}: ${names.join(", ")}.`)] : []);
  return [h("p", {}, `Written to ${folder}.`), ...list("New", all.new), ...list("Replaced, since they changed", all.replaced),
    ...(all.unchanged.length ? [h("p", {}, `${all.unchanged.length} unchanged.`)] : []),
    ...list("Left there by earlier runs and no longer true", outdated)];
}

by("make").addEventListener("click", async () => {
  await take();
  notice("The files are being made …");
  by("make").disabled = true;
  try {
    notice(written((await post("make", {})).written));
  } catch (error) {
    if (!(error instanceof Refused)) lost(error);
    else notice(told(error.error), true);
  } finally {
    by("make").disabled = false;
  }
});
by("take").addEventListener("click", async () => {
  const part = job.parts[open];
  const format = by("format").value;
  notice(`The ${format} is being made …`);
  by("take").disabled = true;
  try {
    const files = await post("files", { part: asked({ kind: part.kind, answers }), format });
    for (const { name, bytes } of files) {
      const link = h("a", { download: name, href: URL.createObjectURL(new Blob([Uint8Array.from(atob(bytes), c => c.charCodeAt(0))])) });
      link.click();
      setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    }
    notice(`Given to the browser: ${files.map(file => file.name).join(", ")}.`);
  } catch (error) {
    if (!(error instanceof Refused)) lost(error);
    else notice(told(error.error), true);
  } finally {
    by("take").disabled = false;
  }
});
// Another window may have changed the job, or another program the file.
addEventListener("focus", async () => {
  try {
    const now = await get("job");
    const changed = now.revision !== job.revision;
    job = now;
    showJob(!changed);
    if (job.changed_on_disk) notice("The job file was changed on disk by another program.", true, button("Load it as it is on disk", () => change("load", {})));
  } catch (error) { lost(error); }
});
addEventListener("keydown", event => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  const typing = event.target.matches("input:not([type=checkbox])");
  const act = { s: "save", z: typing ? null : event.shiftKey ? "redo" : "undo" }[event.key.toLowerCase()];
  if (!act) return;
  event.preventDefault();
  if (act === "save" && document.activeElement?.matches("input")) document.activeElement.dispatchEvent(new Event("change", { bubbles: true }));
  by(act).click();
});
showJob(false);
