// What goes to the program and comes back. Nothing else is ever asked for.

/** A request that was answered with an error: what is wrong, and the next step. */
export class Refused extends Error {
  constructor(error) {
    super(error.says);
    this.error = error;
  }
}

async function answered(response) {
  if (response.ok) return response;
  const words = await response.text();
  let error = { says: words, try: "" };
  try { error = JSON.parse(words).error ?? error; } catch { /* words are all there is */ }
  throw new Refused(error);
}

export const get = async path => (await answered(await fetch(path))).json();

const posted = async (path, body, signal) =>
  answered(await fetch(path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body), signal }));

export const post = async (path, body) => (await posted(path, body)).json();

export const picture = async question => (await posted("picture", question)).blob();

// Which window this is: of its questions only the newest is answered.
const self = Array.from(crypto.getRandomValues(new Uint32Array(2)), n => n.toString(36)).join("");
let number = 0;
let waiting = null;

export const asked = part => ({ ...part, window: self, number: ++number });

/** The answer to a part's question; nothing where a newer one was asked meanwhile. */
export async function ask(part) {
  waiting?.abort();
  waiting = new AbortController();
  const question = asked(part);
  try {
    const response = await posted("answer", question, waiting.signal);
    if (response.status === 204 || question.number !== number) return null;
    const bytes = await response.arrayBuffer();
    return question.number === number ? unpacked(bytes) : null;
  } catch (error) {
    if (error.name === "AbortError") return null;
    throw error;
  }
}

/** Lets the question go that waits for its answer, here and at the program. */
export function stop() {
  waiting?.abort();
  waiting = null;
  // The program's answer says nothing that is needed.
  posted("stop", { window: self, number: ++number }).catch(() => {});
}

/** Words first, then each body's points, triangles and edges as plain numbers. */
function unpacked(bytes) {
  const length = new DataView(bytes).getUint32(0, true);
  const words = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, length)));
  let at = 4 + length;
  const take = (Kind, count) => {
    const taken = new Kind(bytes, at, count);
    at += 4 * count;
    return taken;
  };
  const bodies = (words.meshes ?? []).map((mesh, number) => ({
    ...mesh,
    number,
    points: take(Float32Array, 3 * mesh.points),
    triangles: take(Uint32Array, 3 * mesh.triangles),
    edges: take(Uint32Array, 2 * mesh.edges),
  }));
  return { words, bodies };
}
