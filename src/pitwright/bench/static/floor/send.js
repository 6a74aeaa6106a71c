// Sends what was typed, in order, whenever there is a connection, and asks whether the job has changed.

const PATIENCE = 8000; // ms for one answer
const ASK_AGAIN = 10000; // ms between questions while all is well
const WAITS = [1000, 2000, 4000, 8000, 15000]; // ms between tries without a connection
const AT_ONCE = 20;

export class Sender {
  /** `on`: {state(text), record(record), answers(entries, reply)}; each may return a promise, waited for. */
  constructor(keep, job, on) {
    this.keep = keep;
    this.job = job;
    this.on = on;
    this.state = "asking"; // asking, here, away, code, gone
    this.version = "";
    this.tries = 0;
    this.timer = 0;
    this.busy = false;
    this.again = false;
  }

  start() {
    addEventListener("online", () => this.now());
    addEventListener("offline", () => this.#set("away"));
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.now());
    this.now();
  }

  /** Send and ask now; asked while busy, once more when done. */
  async now() {
    clearTimeout(this.timer);
    if (this.busy) {
      this.again = true;
      return;
    }
    this.busy = true;
    try {
      do {
        this.again = false;
        await this.#flush();
        await this.#ask();
      } while (this.again);
      this.tries = 0;
      this.#set("here");
    } catch (problem) {
      this.tries += 1;
      this.#set(problem.floor ?? "away");
    } finally {
      this.busy = false;
      const wait = this.tries ? WAITS[Math.min(this.tries, WAITS.length) - 1] : ASK_AGAIN;
      this.timer = setTimeout(() => this.now(), wait);
    }
  }

  #set(state) {
    if (this.state !== state) {
      this.state = state;
      this.on.state(state);
    }
  }

  async #flush() {
    for (;;) {
      const waiting = await this.keep.outbox();
      if (!waiting.length) return;
      const job = waiting[0].job;
      const some = [];
      for (const entry of waiting) {
        if (entry.job !== job || some.length === AT_ONCE) break;
        some.push(entry);
      }
      await this.#sendSome(job, some);
    }
  }

  async #sendSome(job, some) {
    const reply = await this.#call(`/api/floor/${encodeURIComponent(job)}/send`, { items: some.map((e) => e.item) });
    if (reply.status === 404) {
      const error = { message: "this job is not at the bench any more", remedy: "Write it down, or ask at the bench." };
      for (const entry of some) await this.keep.settle(entry, { error, now: null });
      return;
    }
    if (reply.status === 400 || reply.status === 413) {
      if (some.length > 1) {
        await this.#sendSome(job, some.slice(0, 1)); // find the one that is at fault; the rest goes on its own
        return;
      }
      await this.keep.settle(some[0], { error: reply.body?.error ?? { message: "this was not taken" }, now: null });
      await this.on.answers(some, { answers: [], moved: [], verdicts: [] });
      return;
    }
    const answers = new Map((reply.body.answers ?? []).map((a) => [a.rid, a]));
    for (const entry of some) {
      const answer = answers.get(entry.rid);
      if (!answer) throw new Error("unanswered"); // stays in the outbox, sent again
      await this.keep.settle(entry, answer.taken ? null : { error: answer.error, now: answer.now });
    }
    if (job === this.job) {
      this.version = reply.body.floor?.version ?? "";
      await this.on.record(reply.body.floor);
      await this.on.answers(some, reply.body);
    }
  }

  async #ask() {
    const headers = this.version ? { "if-none-match": `"${this.version}"` } : {};
    const reply = await this.#call(`/api/floor/${encodeURIComponent(this.job)}`, null, headers);
    if (reply.status === 404) throw Object.assign(new Error("gone"), { floor: "gone" });
    if (reply.status === 304) return;
    this.version = reply.body.version;
    await this.on.record(reply.body);
  }

  async #call(address, body, headers = {}) {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), PATIENCE);
    try {
      const answer = await fetch(address, {
        method: body ? "POST" : "GET",
        headers: body ? { "content-type": "application/json", ...headers } : headers,
        body: body ? JSON.stringify(body) : undefined,
        cache: "no-store",
        credentials: "same-origin",
        signal: stop.signal,
      });
      if (answer.status === 401 || answer.status === 403) throw Object.assign(new Error("code"), { floor: "code" });
      if (answer.status >= 500 || answer.status === 429) throw new Error(`answered ${answer.status}`);
      const read = answer.status === 304 ? null : await answer.json().catch(() => null);
      if (answer.ok && read === null && answer.status !== 304) throw new Error("half an answer");
      return { status: answer.status, body: read };
    } finally {
      clearTimeout(timer);
    }
  }
}
