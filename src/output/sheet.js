"use strict";
// Ticks and readings stay in the page when it is opened again on the same device; nothing leaves it.
const fields = [...document.querySelectorAll("input[id]")];
const key = "fixwright " + document.title;
try {
  const kept = JSON.parse(localStorage.getItem(key) || "{}");
  for (const field of fields) {
    if (field.type === "checkbox") field.checked = kept[field.id] === true;
    else if (typeof kept[field.id] === "string") field.value = kept[field.id];
  }
  addEventListener("input", () => {
    const now = fields.map(field => [field.id, field.type === "checkbox" ? field.checked : field.value]);
    localStorage.setItem(key, JSON.stringify(Object.fromEntries(now)));
  });
} catch {
  // Without storage the page works all the same; it forgets when it is closed.
}
// A link that leads into a fold opens it.
const unfold = () => {
  const target = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  const box = target && target.closest(".fold")?.querySelector("input.open");
  if (box) box.checked = true;
};
addEventListener("hashchange", unfold);
unfold();
