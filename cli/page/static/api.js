// Requests to the server behind the page. Each gives the answer's JSON, or throws Refused with the line to show.
// Addresses are relative to the page: it stands under a path of its own, which no other server on this computer knows.

export class Refused extends Error {
  /** @param {Doc.Refusal} error @param {number} status 0: no answer, -1: stopped @param {Doc.Bench | undefined} bench */
  constructor(error, status, bench = undefined) {
    super(error.line ?? "the page did not understand its server");
    this.error = error;
    this.status = status;
    this.bench = bench;
  }
}

const LOST = "The page's server does not answer. Start it again with `areacalc page`; what you did is kept.";

/**
 * @param {string} method
 * @param {string} path
 * @param {unknown} body
 * @param {AbortSignal | undefined} signal
 * @returns {Promise<any>}
 */
async function ask(method, path, body = undefined, signal = undefined) {
  let answer;
  try {
    answer = await fetch(path, {
      method, signal,
      headers: body === undefined ? {} : { "content-type": "application/json" },
      body: body === undefined ? undefined : JSON.stringify(body),
    });
  } catch {
    throw signal?.aborted ? new Refused({ line: "Stopped." }, -1) : new Refused({ line: LOST }, 0);
  }
  if (answer.status === 204) return null;
  if (answer.status === 401) throw new Refused({ line: await answer.text() }, 401);
  const found = await answer.json().catch(() => ({}));
  if (!answer.ok) throw new Refused(found.error ?? {}, answer.status, found.bench);
  return found;
}

/** @returns {Promise<Doc.Catalogue>} */
export const catalogue = () => ask("GET", "api/catalogue");
/** @param {number} after @param {number} wait_s @returns {Promise<Doc.Bench | null>} */
export const bench = (after, wait_s) => ask("GET", `api/bench?after=${after}&wait=${wait_s}`, undefined, AbortSignal.timeout(1000 * (wait_s + 10)));
/** @param {number} revision @param {object} values @returns {Promise<Doc.Bench>} */
export const settings = (revision, values) => ask("PATCH", "api/settings", { revision, change: values });
/** @param {string} id @param {number} revision @param {object} values @returns {Promise<{id: string, revision: number}>} */
export const change = (id, revision, values) => ask("PATCH", `api/parts/${id}`, { revision, change: values });
/** @param {string} id @param {number} revision @param {object} sketched @returns {Promise<{id: string, revision: number}>} */
export const redraw = (id, revision, sketched) => ask("PUT", `api/sketches/${id}`, { revision, sketch: sketched });
/** @param {string} id */
export const remove = (id) => ask("DELETE", `api/parts/${id}`);
/** @param {string} id */
export const putBack = (id) => ask("POST", `api/removed/${id}`, {});
/** @param {"undo" | "redo"} which @returns {Promise<Doc.Bench>} */
export const history = (which) => ask("POST", `api/${which}`, {});
/** @param {string} id @param {AbortSignal} signal @returns {Promise<{ways: Doc.Way[]}>} */
export const ways = (id, signal) => ask("GET", `api/parts/${id}/ways`, undefined, signal);
/** @param {string} moved @returns {Promise<Doc.Rehung>} */
export const rehang = (moved) => ask("POST", "api/rack", { moved });
/** @param {string} id @returns {Promise<Doc.Under>} */
export const goingUnder = (id) => ask("GET", `api/parts/${id}/going-under`);
/** @param {string} name @returns {Promise<{id: string}>} */
export const sample = (name) => ask("POST", "api/samples", { name });
/** @param {object} sketched @returns {Promise<{id: string}>} */
export const sketch = (sketched) => ask("POST", "api/sketches", { sketch: sketched });
/** @param {object} sketched @returns {Promise<Doc.Measured>} */
export const measure = (sketched) => ask("POST", "api/measure", { sketch: sketched });
/** @returns {Promise<Doc.Plan>} */
export const plan = () => ask("GET", "api/plan");
/** @returns {Promise<{runs: Doc.Run[]}>} */
export const runs = () => ask("GET", "api/logbook");
/** @param {string} remark @returns {Promise<{runs: Doc.Run[]}>} */
export const logRun = (remark) => ask("POST", "api/logbook", { remark });
/** @param {number} number @param {object} values @returns {Promise<{runs: Doc.Run[]}>} */
export const changeRun = (number, values) => ask("PATCH", `api/runs/${number}`, values);
/** @returns {Promise<Doc.TankNow>} */
export const atTank = () => ask("GET", "api/run");
/** @returns {Promise<Doc.TankNow>} */
export const beginRun = () => ask("PUT", "api/run", {});
/** @param {string} line @param {boolean} sure @returns {Promise<Doc.TankNow>} */
export const tellTank = (line, sure = false) => ask("POST", "api/run", { line, sure });
/** @param {string} table @param {string} name @param {object | null} values null: forget it */
export const keep = (table, name, values) => ask("PUT", "api/shop", { table, name, values });

/** @param {string} name @returns {Promise<ArrayBuffer>} */
export async function view(name) {
  const answer = await fetch(`api/views/${name}`);
  if (!answer.ok) throw new Refused({ line: "The picture of the part is not there." }, answer.status);
  return answer.arrayBuffer();
}

/**
 * Send a file; tell(share) as it goes; {done: promise of what it became, stop}.
 * @param {File} file
 * @param {(share: number) => void} tell
 */
export function upload(file, tell) {
  const sending = new XMLHttpRequest();
  /** @type {Promise<{id?: string, awaited?: string[], beside?: string[]}>} */
  const done = new Promise((resolve, reject) => {
    sending.open("POST", `api/parts?name=${encodeURIComponent(file.name)}`);
    sending.upload.onprogress = (e) => { tell(e.total ? e.loaded / e.total : 0); };
    sending.onload = () => {
      /** @type {{id?: string, error?: Doc.Refusal}} */
      let found = {};
      try { found = JSON.parse(sending.responseText); } catch { /* told below */ }
      if (sending.status < 300) resolve(found);
      else reject(new Refused(found.error ?? { line: sending.responseText }, sending.status));
    };
    sending.onerror = () => { reject(new Refused({ line: `${file.name} could not be read or sent.` }, 0)); };
    sending.onabort = () => { reject(new Refused({ line: `${file.name} was stopped.` }, -1)); };
    sending.send(file);
  });
  return { done, stop: () => { sending.abort(); } };
}
