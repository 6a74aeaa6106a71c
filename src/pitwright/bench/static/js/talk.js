// Talking to the server: plain requests, and the live line of one job.
//
// A change that is to be stored carries a request id. It stays in the outbox until its answer is back; after a broken
// line it is sent again under the same id, so that it is stored once and never lost. One change is under way at a time.

export class Trouble extends Error {
  constructor(error, status = 0) {
    super(error.message);
    this.error = error;
    this.status = status;
  }
}

/** A new request id. */
export function rid() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");
}

const LOST = {
  message: "The bench does not answer.",
  field: "",
  value: "",
  allowed: "",
  remedy: "See whether it still runs in its terminal, then try again.",
};

/** One request; gives the answer's JSON. Throws Trouble. */
export async function fetchJson(path, { method = "GET", body = null, raw = null } = {}) {
  const options = { method, headers: { accept: "application/json" }, credentials: "same-origin" };
  if (raw !== null) {
    options.body = raw;
    options.headers["content-type"] = "application/octet-stream";
  } else if (body !== null) {
    options.body = JSON.stringify(body);
    options.headers["content-type"] = "application/json";
  }
  let answer;
  try {
    answer = await fetch(path, options);
  } catch {
    throw new Trouble(LOST);
  }
  const text = await answer.text();
  let data = null;
  try {
    data = text ? JSON.parse(text) : {};
  } catch {
    data = null;
  }
  if (!answer.ok || data === null) {
    const error = data?.error ?? { ...LOST, message: `The bench answered with a fault (${answer.status}).` };
    throw new Trouble(error, answer.status);
  }
  return data;
}

/** The live line of one job. Events go to `heard(message)`; `stood(state)` hears "open", "lost" and "waiting". */
export class Live {
  constructor(job, { heard, stood, opened, kept, orphan, ended }) {
    this.job = job;
    this.heard = heard;
    this.stood = stood;
    this.opened = opened;
    this.kept = kept;
    this.orphan = orphan; // the answer to a change that a former page of this tab sent
    this.ended = ended;
    this.head = null;
    this.socket = null;
    this.tries = 0;
    this.timer = 0;
    this.queue = [];
    this.under = null; // the change under way
    this.waiting = new Map(); // rid -> {resolve, reject}
    this.key = `pitwright.outbox.${job}`;
    try {
      this.queue = JSON.parse(sessionStorage.getItem(this.key) ?? "[]");
    } catch {
      this.queue = [];
    }
    addEventListener("online", () => this.connect());
    addEventListener("visibilitychange", () => {
      if (!document.hidden && !this.open) this.connect();
    });
    addEventListener("beforeunload", (event) => {
      if (this.unsent) event.preventDefault();
    });
    this.connect();
  }

  get open() {
    return this.socket?.readyState === WebSocket.OPEN;
  }

  get unsent() {
    return this.queue.length + (this.under ? 1 : 0);
  }

  connect() {
    clearTimeout(this.timer);
    if (this.over) return;
    if (this.socket && this.socket.readyState <= WebSocket.OPEN) return;
    const scheme = location.protocol === "https:" ? "wss:" : "ws:";
    const socket = new WebSocket(`${scheme}//${location.host}/live/${this.job}`);
    this.socket = socket;
    socket.addEventListener("open", () => {
      if (socket !== this.socket) return;
      this.tries = 0;
      this.stood("open");
      this.opened();
      if (this.under) socket.send(JSON.stringify(this.under));
      else this.next();
    });
    socket.addEventListener("message", (event) => {
      if (socket !== this.socket) return;
      const message = JSON.parse(event.data);
      this.take(message);
    });
    socket.addEventListener("close", (event) => {
      if (socket !== this.socket) return;
      if (event.code >= 4400 && event.code < 4500) {
        this.over = true;
        this.ended(event.code);
        return;
      }
      this.stood("lost");
      const wait = Math.min(5000, 300 * 2 ** this.tries) * (0.8 + 0.4 * Math.random());
      this.tries += 1;
      this.timer = setTimeout(() => this.connect(), wait);
    });
  }

  /** Says something that need not be stored. False where the line is down. */
  send(message) {
    if (!this.open) return false;
    this.socket.send(JSON.stringify(message));
    return true;
  }

  /** A change to be stored. Resolves with its answer, rejects with Trouble, or with {conflict}. */
  change(message) {
    const full = { ...message, rid: message.rid ?? rid() };
    const answer = new Promise((resolve, reject) => this.waiting.set(full.rid, { resolve, reject }));
    this.queue.push(full);
    this.keep();
    if (this.open) this.next();
    else this.stood("lost");
    return answer;
  }

  next() {
    if (this.under || !this.queue.length || !this.open) return;
    const message = this.queue.shift();
    if (message.base === undefined || message.base === null) message.base = this.head;
    this.under = message;
    this.keep();
    this.socket.send(JSON.stringify(message));
  }

  keep() {
    const all = this.under ? [this.under, ...this.queue] : this.queue;
    try {
      if (all.length) sessionStorage.setItem(this.key, JSON.stringify(all));
      else sessionStorage.removeItem(this.key);
    } catch {
      // a full or closed storage only costs the second keeping
    }
    this.kept?.(this.unsent);
  }

  take(message) {
    if (Number.isInteger(message.head)) this.head = message.head;
    const mine = message.rid && this.under?.rid === message.rid;
    const sent = this.under;
    if (mine) {
      this.under = null;
      this.keep();
    }
    this.heard(message);
    if (mine || this.waiting.has(message.rid)) {
      const wait = this.waiting.get(message.rid);
      this.waiting.delete(message.rid);
      if (message.refused) wait?.reject(new Trouble(message.refused.error ?? message.refused));
      else if (message.conflict) wait?.reject(message);
      else wait?.resolve(message);
      if (!wait && (message.refused || message.conflict)) this.orphan(message, sent);
    }
    this.next();
  }
}
