// What answers are called on the page. The program speaks of options, as they are typed (`--rod M10`), or of keys as a
// job file has them (`rod`); here a field is called by its label, and its name leads to it.

export const capital = text => text.charAt(0).toUpperCase() + text.slice(1);

/** What the field of an answer is called. */
export const label = key => capital(key.replaceAll("-", " "));

// A command as it is typed in a terminal stays as it is.
const SPOKEN = /`fixwright[^`]*`|--([a-z][a-z0-9]*(?:-[a-z0-9]+)*)|`([a-z][a-z0-9]*(?:-[a-z0-9]+)*)`/g;

/** A text as the page says it; `known` tells which answers have a field, `named` makes what stands for one. */
function spoken(text, known, named) {
  const parts = [];
  let from = 0;
  for (const found of (text ?? "").matchAll(SPOKEN)) {
    const key = found[1] ?? found[2];
    if (!key || !known(key)) continue;
    parts.push(text.slice(from, found.index), named(key));
    from = found.index + found[0].length;
  }
  return [...parts, (text ?? "").slice(from)];
}

/** The same as a plain text. */
export const plain = (text, known) => spoken(text, known, label).join("");

/** The same with each name leading to its field. */
export const leading = (text, known, lead) => spoken(text, known, key => {
  const name = document.createElement("a");
  name.href = `#answer-${key}`;
  name.textContent = label(key);
  name.addEventListener("click", event => {
    event.preventDefault();
    lead(key);
  });
  return name;
});
