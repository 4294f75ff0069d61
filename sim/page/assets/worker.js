"use strict";
// One solver: a compiled module comes first, then requests; each is answered in its turn.
let solver = null;
const encoder = new TextEncoder();
const decoder = new TextDecoder();
onmessage = async ({ data }) => {
  if (data.module) {
    solver = (await WebAssembly.instantiate(data.module, {})).exports;
    postMessage({ ready: true });
    return;
  }
  try {
    const request = encoder.encode(JSON.stringify(data.request));
    const room = solver.request_room(request.length);
    new Uint8Array(solver.memory.buffer, room, request.length).set(request);
    const length = solver.answer();
    const bytes = new Uint8Array(solver.memory.buffer, solver.answer_place(), length);
    if (data.request.ask === "face") {
      const face = bytes.slice().buffer;
      postMessage({ number: data.number, face }, [face]);
    } else {
      postMessage({ number: data.number, answer: JSON.parse(decoder.decode(bytes)) });
    }
  } catch (error) {
    postMessage({ number: data.number, stopped: String(error) });
  }
};
