"use strict";
// The solver in a worker of its own. One request is under way at a time; of those that wait, a newer one takes the place of an
// older one of its kind, so that a stale request is never solved. One that does not come to an end is stopped.

const LONGEST = 20000; // ms: then the worker is stopped and another takes its place

class Solver {
  constructor(module, source) {
    this.module = module;
    this.source = source;
    this.waiting = new Map(); // kind → { request, take }
    this.under = null;
    this.number = 0;
    this.begin();
  }

  begin() {
    this.ready = false;
    this.worker = new Worker(this.source);
    this.worker.onmessage = ({ data }) => this.heard(data);
    this.worker.postMessage({ module: this.module });
  }

  // Asks; `take` gets the answer, or null where the request was stopped. Nothing is called for a request that was dropped.
  ask(kind, request, take) {
    this.waiting.delete(kind);
    this.waiting.set(kind, { request, take });
    this.next();
  }

  drop(...kinds) {
    for (const kind of kinds) this.waiting.delete(kind);
  }

  get idle() {
    return this.ready && !this.under && this.waiting.size === 0;
  }

  next() {
    if (!this.ready || this.under) return;
    const kinds = [...this.waiting.keys()];
    const kind = kinds.includes("judge") ? "judge" : kinds[0];
    if (kind === undefined) return;
    const { request, take } = this.waiting.get(kind);
    this.waiting.delete(kind);
    this.number += 1;
    const timer = setTimeout(() => this.stop(), LONGEST);
    this.under = { number: this.number, take, timer };
    this.worker.postMessage({ number: this.number, request });
  }

  heard(data) {
    if (data.ready) {
      this.ready = true;
    } else if (this.under && data.number === this.under.number) {
      const { take, timer } = this.under;
      clearTimeout(timer);
      this.under = null;
      if (data.stopped) {
        this.again();
        take(null);
      } else {
        take(data.face || data.answer);
      }
    }
    this.next();
  }

  // A worker that does not answer, or has fallen over, gives way to a fresh one.
  again() {
    this.worker.terminate();
    this.begin();
  }

  stop() {
    const { take } = this.under;
    this.under = null;
    this.again();
    take(null);
  }
}

// The module as it stands in the page: base64 of gzip.
async function unpacked(text) {
  const packed = Uint8Array.from(atob(text.trim()), (letter) => letter.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(stream).arrayBuffer());
}
