// Holding a grip: it follows the pointer (or the arrow keys) at once, the server follows as fast as it can.
// One drag request is under way at a time; the newest place waits; letting go always sends the last place.

const STILL = 4; // pixels a press may wander and still be a click
const REST = 700; // ms after the last arrow key until the move is stored
const LATE = 2500; // ms after which a drag answer is taken for lost

export class Hold {
  constructor(board, on) {
    this.board = board;
    this.on = on;
    this.id = null;
    this.seq = 0;
    this.drop = null; // the drop under way: {id, at}
  }

  get busy() {
    return this.id !== null || this.drop !== null;
  }

  /** Where a held grip is drawn, or null where the picture says. */
  where(data) {
    if (data.id === this.id && this.at) return this.at;
    if (this.drop?.id === data.id) return this.drop.at;
    return null;
  }

  get data() {
    return this.board.handles.get(this.id)?.data;
  }

  take(event, id) {
    if (event.button) return;
    event.preventDefault();
    event.stopPropagation();
    if (this.id !== null && !this.keys) {
      this.second(event);
      return;
    }
    this.settle();
    const entry = this.board.handles.get(id);
    const node = entry.node;
    node.focus({ preventScroll: true });
    node.setPointerCapture(event.pointerId);
    const [x, y] = this.board.local(event);
    const [u, v] = this.board.metres(x, y);
    this.begin(id, entry.data);
    this.grab = [entry.data.at[0] - u, entry.data.at[1] - v];
    this.pressed = [x, y];
    this.pointer = event.pointerId;
    this.gone = false;
    this.stops = new AbortController();
    const { signal } = this.stops;
    node.addEventListener("pointermove", (e) => e.pointerId === event.pointerId && this.follow(e), { signal });
    node.addEventListener("pointerup", (e) => e.pointerId === event.pointerId && this.letGo(e), { signal });
    node.addEventListener("pointercancel", () => this.cancel(), { signal });
    addEventListener("keydown", (e) => {
      if (e.key !== "Escape") return;
      e.preventDefault();
      e.stopPropagation();
      this.cancel();
    }, { signal, capture: true }); // prettier-ignore
  }

  /** A second finger before the first has moved anything: they pinch, and nothing is held. */
  second(event) {
    if (this.gone || this.keys || this.id === null) return;
    const [x, y] = this.pressed;
    const pointer = this.pointer;
    this.end();
    this.on.cancel();
    this.board.fingers.set(pointer, { x, y, x0: x, y0: y, target: this.board.host, gone: true });
    this.board.down(event, true);
  }

  begin(id, data) {
    this.id = id;
    this.at = [...data.at];
    this.base = this.on.head();
    this.free = false;
    this.wanted = null;
    this.inFlight = 0;
    this.board.handles.get(id).node.classList.add("held");
    this.on.hand(data);
  }

  follow(event) {
    const [x, y] = this.board.local(event);
    if (!this.gone && Math.hypot(x - this.pressed[0], y - this.pressed[1]) < STILL) return;
    this.gone = true;
    const { label, fixed } = this.data;
    if (fixed) {
      this.on.hint(`${label} cannot move: ${fixed}.`);
      return;
    }
    const [u, v] = this.board.metres(x, y);
    this.free = event.altKey;
    this.go(u + this.grab[0], v + this.grab[1]);
  }

  /** Moves the held grip at once and asks for the pit that goes with it. */
  go(u, v, exact = false) {
    const data = this.data;
    if (!data) return;
    this.at = [data.moves === "across" && !exact ? this.at[0] : u, data.moves === "along" && !exact ? this.at[1] : v];
    this.board.put(this.board.handles.get(this.id).node, this.at);
    this.wanted = this.at;
    this.ask();
  }

  ask() {
    const now = performance.now();
    if (!this.wanted || (this.inFlight && now - this.inFlight < LATE)) return;
    const [u, v] = this.wanted;
    this.seq += 1;
    if (this.on.drag({ handle: this.id, view: this.board.view, u, v, free: this.free, seq: this.seq })) {
      this.inFlight = now;
      this.wanted = null;
    }
  }

  /** An answer to a drag. True where it is the newest and something is still held. */
  answered(seq) {
    if (this.id === null || seq !== this.seq) return false;
    this.inFlight = 0;
    this.ask();
    return true;
  }

  letGo(event) {
    if (this.gone) {
      this.inFlight = performance.now(); // the drop itself asks for the last place
      this.follow(event);
    }
    const data = this.data;
    const { id, at, free, base } = this;
    if (this.gone && data?.fixed) {
      this.end();
      this.on.cancel();
      this.on.hint(`${data.label} cannot move: ${data.fixed}.`);
      return;
    }
    const gone = this.gone;
    const node = this.board.handles.get(id)?.node;
    this.end();
    if (gone) this.store(id, at, free, base);
    else {
      this.on.cancel();
      if (data?.name && node) this.on.type(data.name, data.text, node);
    }
  }

  store(id, at, free, base) {
    const drop = { id, at };
    const label = movedLabel(this.board.handles.get(id)?.data.label ?? id);
    this.drop = drop;
    const done = () => {
      if (this.drop === drop) this.drop = null;
      this.board.paint();
    };
    this.on.drop({ handle: id, view: this.board.view, u: at[0], v: at[1], free, label, base }).then(done, done);
  }

  cancel() {
    if (this.id === null) return;
    this.end();
    this.on.cancel();
    this.board.paint();
    this.on.hint("Put back where it was.");
  }

  end() {
    clearTimeout(this.timer);
    this.stops?.abort();
    this.stops = null;
    this.board.handles.get(this.id)?.node.classList.remove("held");
    this.id = null;
    this.keys = false;
    this.wanted = null;
    this.inFlight = 0;
  }

  forget() {
    if (this.keys) this.settle();
    else if (this.id !== null) this.cancel();
  }

  /** Arrow keys on a grip; Enter types a value or stores at once; Escape puts it back. */
  key(event, id) {
    const entry = this.board.handles.get(id);
    if (event.key === "Escape" && this.id === id) {
      event.preventDefault();
      event.stopPropagation();
      this.cancel();
      return;
    }
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      if (this.keys) this.settle();
      else if (entry.data.name) this.on.type(entry.data.name, entry.data.text, entry.node);
      return;
    }
    const word = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down" }[event.key];
    if (!word || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    event.stopPropagation();
    if (!this.keys || this.id !== id) {
      if (entry.data.fixed) {
        this.on.hint(`${entry.data.label}: ${entry.data.fixed}`);
        return;
      }
      this.settle();
      this.begin(id, entry.data);
      this.keys = true;
      this.steps = entry.data.steps;
    }
    const step = this.steps[word]?.[event.shiftKey ? 1 : 0];
    if (step) {
      this.free = true;
      this.go(this.at[0] + step[0], this.at[1] + step[1], true);
    }
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.settle(), REST);
  }

  /** Stores a move made by keys. */
  settle() {
    if (!this.keys || this.id === null) return;
    const { id, at, free, base } = this;
    this.end();
    this.store(id, at, free, base);
  }
}

/** "firebox up and down" was "firebox moved up and down"; what stands behind a colon only explains. */
function movedLabel(label) {
  const [, what, way] = /^(.*?)( up and down.*| along the .*| across| (?:together|apart).*)?$/.exec(label.replace(/: .*$/, ""));
  return `${what} moved${way ?? ""}`;
}
