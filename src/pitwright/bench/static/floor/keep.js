// What the phone keeps for itself (IndexedDB): the steps it has, what is not sent yet, what was not taken.
// An item leaves the outbox in the same stroke in which its answer is written down, so none is lost and none doubled.

const NAME = "pitwright-floor";
const VERSION = 1;

/** Opens the phone's own store; where the browser has none, the page's memory serves, and `lasting` is false. */
export async function openKeep() {
  try {
    const db = await new Promise((good, bad) => {
      const asked = indexedDB.open(NAME, VERSION);
      asked.onupgradeneeded = () => {
        const made = asked.result;
        made.createObjectStore("outbox", { keyPath: "n", autoIncrement: true }).createIndex("rid", "rid");
        made.createObjectStore("steps", { keyPath: "job" });
        made.createObjectStore("troubles", { keyPath: ["job", "place"] });
      };
      asked.onsuccess = () => good(asked.result);
      asked.onerror = () => bad(asked.error);
      asked.onblocked = () => bad(new Error("blocked"));
    });
    db.onversionchange = () => db.close();
    return lastingKeep(db);
  } catch {
    return passingKeep();
  }
}

function lastingKeep(db) {
  const run = (stores, mode, work) =>
    new Promise((good, bad) => {
      let answer;
      const strokes = db.transaction(stores, mode, { durability: "strict" });
      strokes.oncomplete = () => good(answer);
      strokes.onabort = strokes.onerror = () => bad(strokes.error ?? new Error("not kept"));
      work((name) => strokes.objectStore(name), (asked) => (asked.onsuccess = () => (answer = asked.result)));
    });
  return {
    lasting: true,
    outbox: () => run(["outbox"], "readonly", (at, take) => take(at("outbox").getAll())),
    put: (job, item, place) =>
      run(["outbox", "troubles"], "readwrite", (at) => {
        at("outbox").add({ job, rid: item.rid, item, place });
        at("troubles").delete([job, place]);
      }),
    settle: (entry, trouble) =>
      run(["outbox", "troubles"], "readwrite", (at) => {
        at("outbox").delete(entry.n);
        if (trouble) at("troubles").put({ job: entry.job, place: entry.place, item: entry.item, ...trouble });
      }),
    troubles: (job) =>
      run(["troubles"], "readonly", (at, take) => take(at("troubles").getAll())).then((all) =>
        all.filter((one) => one.job === job),
      ),
    drop: (job, place) => run(["troubles"], "readwrite", (at) => at("troubles").delete([job, place])),
    steps: (job) => run(["steps"], "readonly", (at, take) => take(at("steps").get(job))),
    keepSteps: (record) => run(["steps"], "readwrite", (at) => at("steps").put(record)),
  };
}

function passingKeep() {
  const outbox = [];
  const troubles = new Map();
  const steps = new Map();
  let n = 0;
  return {
    lasting: false,
    outbox: async () => [...outbox],
    put: async (job, item, place) => {
      n += 1;
      outbox.push({ n, job, rid: item.rid, item, place });
      troubles.delete(`${job} ${place}`);
    },
    settle: async (entry, trouble) => {
      const at = outbox.findIndex((one) => one.n === entry.n);
      if (at >= 0) outbox.splice(at, 1);
      if (trouble) {
        troubles.set(`${entry.job} ${entry.place}`, { job: entry.job, place: entry.place, item: entry.item, ...trouble });
      }
    },
    troubles: async (job) => [...troubles.values()].filter((one) => one.job === job),
    drop: async (job, place) => void troubles.delete(`${job} ${place}`),
    steps: async (job) => steps.get(job),
    keepSteps: async (record) => void steps.set(record.job, record),
  };
}

/** A request's id, made when something is typed. Works where the page is not encrypted too. */
export function newRid() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return `floor-${[...bytes].map((b) => b.toString(16).padStart(2, "0")).join("")}`;
}
