// Fields for a part's answers, made from the schema of job files. No kind of part is known here by name.
import { label as called, plain } from "./names.js";
import { h } from "./sheet.js";

/** The schema a property comes to: references followed, "or nothing" left out. */
function resolved(schema, all) {
  for (;;) {
    if (schema.$ref) schema = all.$defs[schema.$ref.split("/").pop()];
    else if (schema.anyOf?.some(one => one.type === "null")) schema = schema.anyOf.find(one => one.type !== "null");
    else return schema;
  }
}

const has = (schema, type) => schema.type === type || (Array.isArray(schema.type) && schema.type.includes(type));

/** What sort of field a property asks for. */
function sort(schema) {
  if (schema.oneOf?.every(one => one.const !== undefined)) return "choice";
  if (has(schema, "boolean")) return "yes";
  if (has(schema, "array")) return schema.maxItems > 1 ? "row" : "list";
  if (has(schema, "number") || has(schema, "integer") || schema.anyOf?.some(one => one.type === "number")) return "number";
  return "text";
}

/** A typed text as the job file holds it: a number where it is one, else as it stands (1/32in). */
function numeric(text) {
  const plain = text.trim().replace(/^([-+]?\d+),(\d+)$/, "$1.$2");
  return /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i.test(plain) ? Number(plain) : text.trim();
}

const shown = value => (Array.isArray(value) ? value.join(", ") : value === undefined || value === null ? "" : String(value));

/** The properties of a kind, by key. */
export function properties(schema, kind) {
  return resolved(schema.properties[kind].items, schema).properties;
}

/** Whether an answer is one number, so that a size of the same name can be given in its place. */
export const takesNumber = (schema, kind, key) => {
  const property = properties(schema, kind)[key];
  return property !== undefined && sort(resolved(property, schema)) === "number";
};

/** The datalists of all tables, once for the page. */
export function datalists(choices) {
  return Object.entries(choices.tables).map(([name, rows]) =>
    h("datalist", { id: "table-" + name }, ...rows.map(row => h("option", { value: row.value, label: `${row.value}: ${row.says}` }))));
}

/** One field. `tell(key, value, done)` hears of every change; `value` is undefined where it is let go. */
function field(key, property, { schema, choices, tell, prefix, known }) {
  const of = resolved(property, schema);
  const kind = sort(of);
  const item = kind === "list" || kind === "row" ? resolved(of.items, schema) : of;
  const id = `${prefix ?? "answer"}-${key}`;
  const [words, usual] = plain(property.description ?? of.description ?? "", known).split(/\s*\[default: /);
  const table = choices.fields[key];
  const label = called(key);
  const attributes = { id, "aria-describedby": id + "-help", placeholder: usual ? usual.replace(/\]$/, "") : "" };
  if (table) attributes.list = "table-" + table;
  const help = h("p", { class: "help basis", id: id + "-help" }, words);
  const go = h("button", { type: "button", class: "go small", title: "Leave it out again", "aria-label": `Let ${label} go` }, "let go");
  let control, read, write;
  if (kind === "choice") {
    const usually = property.default ?? usual?.replace(/\]$/, "");
    const options = of.oneOf.map(one => h("option", { value: one.const, title: one.description ?? "" }, `${one.const}: ${one.description ?? ""}`));
    control = h("select", { id, "aria-describedby": id + "-help" }, h("option", { value: "" }, usually ? `(${usually})` : "(not given)"), ...options);
    read = () => control.value || undefined;
    write = value => { control.value = value ?? ""; };
  } else if (kind === "yes") {
    control = h("input", { id, type: "checkbox", "aria-describedby": id + "-help" });
    read = () => (control.checked ? true : undefined);
    write = value => { control.checked = value === true; };
  } else if (kind === "list") {
    // One line each, and an empty one to add the next.
    control = h("div", { class: "list", role: "group", "aria-label": label });
    const line = (value, at) => h("input", { ...attributes, id: at ? `${id}-${at + 1}` : id, "aria-label": `${label} ${at + 1}`, value });
    const texts = () => [...control.children].map(input => input.value.trim()).filter(Boolean);
    read = () => {
      const values = texts().map(text => (sort(item) === "number" ? numeric(text) : text));
      return values.length ? values : undefined;
    };
    write = value => {
      const lines = [...(value ?? []).map(shown), ""];
      const focused = [...control.children].indexOf(document.activeElement);
      if (control.children.length !== lines.length) control.replaceChildren(...lines.map(line));
      else lines.forEach((text, at) => { if (control.children[at].value !== text) control.children[at].value = text; });
      if (focused >= 0) control.children[Math.min(focused, lines.length - 1)].focus();
    };
    control.addEventListener("change", () => write(read()));
  } else {
    control = h("input", { ...attributes, type: "text", spellcheck: "false" });
    read = () => {
      const text = control.value.trim();
      if (!text) return undefined;
      if (kind === "row") return text.split(/[,;x×]\s*|\s+/).filter(Boolean).map(numeric);
      return kind === "number" ? numeric(text) : text;
    };
    write = value => { if (control.value !== shown(value)) control.value = shown(value); };
  }
  const name = kind === "list" ? h("span", { class: "label" }, label) : h("label", { for: id }, label);
  const box = h("div", { class: "field", "data-key": key }, name, control, go, help);
  control.addEventListener("input", () => tell(key, read(), false));
  control.addEventListener("change", () => tell(key, read(), true));
  go.addEventListener("click", () => {
    write(undefined);
    tell(key, undefined, true);
    (control.matches(".list") ? control.firstElementChild : control).focus();
  });
  return { key, box, set(value) { write(value); box.classList.toggle("given", value !== undefined); } };
}

/** The fields of a part: what is given and what a kind asks first, then all others in a fold. */
export class Fields {
  constructor(form, properties, answers, context) {
    const first = Object.keys(properties).slice(0, context.first ?? 9);
    const known = key => key in properties;
    const all = Object.entries(properties).map(([key, property]) => field(key, property, { ...context, known }));
    const early = all.filter(one => one.key in answers || first.includes(one.key) || one.key === "name");
    const late = all.filter(one => !early.includes(one));
    early.sort((a, b) => (a.key === "name" ? -1 : b.key === "name" ? 1 : 0));
    this.fields = new Map(all.map(one => [one.key, one]));
    this.fold = late.length ? h("details", {}, h("summary", {}, `Everything else that can be given (${late.length})`), ...late.map(one => one.box)) : null;
    form.replaceChildren(...early.map(one => one.box), ...(this.fold ? [this.fold] : []));
    this.set(answers);
  }

  /** Shows these answers. */
  set(answers) {
    for (const [key, one] of this.fields) one.set(answers[key]);
  }

  /** Marks which answers are given, without touching what is being typed. */
  mark(answers) {
    for (const [key, one] of this.fields) one.box.classList.toggle("given", answers[key] !== undefined);
  }

  /** Marks the fields that an error names. */
  blame(words) {
    for (const [key, one] of this.fields) {
      const named = new RegExp(`(--|\`|'|^|\\s)${key}(?![-\\w])`).test(words ?? "") && words.includes(key);
      one.box.classList.toggle("wrong", named && (words.includes("--" + key) || words.includes("`" + key)));
    }
  }

  /** Leads to a field. */
  focus(key) {
    const box = this.fields.get(key)?.box;
    if (!box) return;
    if (this.fold?.contains(box)) this.fold.open = true;
    box.querySelector("input, select").focus();
  }
}
