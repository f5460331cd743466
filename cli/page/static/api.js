// Requests to the server behind the page. Each gives the answer's JSON, or throws Refused with the line to show.
// Addresses are relative to the page: it stands under a path of its own, which no other server on this computer knows.

export class Refused extends Error {
  constructor(error, status, bench) {
    super(error.line ?? "the page did not understand its server");
    this.error = error;
    this.status = status;
    this.bench = bench;
  }
}

async function ask(method, path, body, signal) {
  let answer;
  try {
    answer = await fetch(path, {
      method,
      headers: body === undefined ? {} : { "content-type": "application/json" },
      body: body === undefined ? undefined : JSON.stringify(body),
      signal,
    });
  } catch {
    if (signal?.aborted) throw new Refused({ line: "Stopped." }, -1);
    throw new Refused({ line: "The page's server does not answer. Start it again with `areacalc page`." }, 0);
  }
  if (answer.status === 204) return null;
  if (answer.status === 401) throw new Refused({ line: await answer.text() }, 401);
  const found = await answer.json().catch(() => ({}));
  if (!answer.ok) throw new Refused(found.error ?? {}, answer.status, found.bench);
  return found;
}

export const catalogue = () => ask("GET", "api/catalogue");
export const bench = (after, wait) => ask("GET", `api/bench?after=${after}&wait=${wait}`);
export const settings = (revision, change) => ask("PATCH", "api/settings", { revision, change });
export const change = (part, change) => ask("PATCH", `api/parts/${part.id}`, { revision: part.revision, change });
export const remove = (id) => ask("DELETE", `api/parts/${id}`);
export const putBack = (id) => ask("POST", `api/removed/${id}`, {});
export const ways = (id, signal) => ask("GET", `api/parts/${id}/ways`, undefined, signal);
export const goingUnder = (id) => ask("GET", `api/parts/${id}/going-under`);
export const sample = (name) => ask("POST", "api/samples", { name });
export const sketch = (sketch) => ask("POST", "api/sketches", { sketch });
export const redraw = (part, sketch) => ask("PUT", `api/sketches/${part.id}`, { revision: part.revision, sketch });
export const measure = (sketch) => ask("POST", "api/measure", { sketch });
export const plan = () => ask("GET", "api/plan");
export const runs = () => ask("GET", "api/logbook");
export const logRun = (remark) => ask("POST", "api/logbook", { remark });
export const openLoad = (text) => ask("POST", "api/load", { text });

export async function view(name) {
  const answer = await fetch(`api/views/${name}`);
  if (!answer.ok) throw new Refused({ line: "the picture of the part is not there" }, answer.status);
  return answer.arrayBuffer();
}

/** Send a file; tell(share) as it goes; {done: promise of the part's id, stop}. */
export function upload(file, tell) {
  const sending = new XMLHttpRequest();
  const done = new Promise((resolve, reject) => {
    sending.open("POST", `api/parts?name=${encodeURIComponent(file.name)}`);
    sending.upload.onprogress = (e) => tell(e.total ? e.loaded / e.total : 0);
    sending.onload = () => {
      let found = {};
      try { found = JSON.parse(sending.responseText); } catch { /* told below */ }
      if (sending.status < 300) resolve(found.id);
      else reject(new Refused(found.error ?? { line: sending.responseText }, sending.status));
    };
    sending.onerror = () => reject(new Refused({ line: `${file.name} could not be read or sent.` }, 0));
    sending.onabort = () => reject(new Refused({ line: `${file.name} was stopped.` }, -1));
    sending.send(file);
  });
  return { done, stop: () => sending.abort() };
}
