// The committed solver in Node: requests as a JSON list on standard input, their answers as a list on standard output.
import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";

const module = gunzipSync(readFileSync(process.argv[2]));
const solver = (await WebAssembly.instantiate(module, {})).instance.exports;
const answers = JSON.parse(readFileSync(0, "utf8")).map((request) => {
  const bytes = new TextEncoder().encode(JSON.stringify(request));
  const room = solver.request_room(bytes.length);
  new Uint8Array(solver.memory.buffer, room, bytes.length).set(bytes);
  const length = solver.answer();
  return JSON.parse(new TextDecoder().decode(new Uint8Array(solver.memory.buffer, solver.answer_place(), length)));
});
process.stdout.write(JSON.stringify(answers));
