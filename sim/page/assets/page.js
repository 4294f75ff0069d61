// The page: what is set, what is asked of the solver, and where its answers go.

const GIVEN = JSON.parse($("given").textContent);
const CHARTS = ["fill-and-skin", "travel", "piston-speed"];
const REST = 200; // ms without a move, after which what takes longer is asked
const FILM = 40; // ms between two pictures of the machine while a dial moves; verdict, limits and charts follow each move
const DRAWS = [16, 32, 64, 128];
const still = matchMedia("(prefers-reduced-motion: reduce)");

const state = { name: GIVEN.name, file: GIVEN.file, text: GIVEN.text, sets: GIVEN.sets, moves: new Map(), real: false };
let latch = "set";
let now = null; // the last good answer
let pinned = null;
let active = "pace"; // the dial the strip is of
let front = null;
let back = null;
let frames = new Map();
let film = { at: 0, of: 180, milliseconds: 80, hold: 0, parts: null, playing: false };
let filmed = 0; // when the machine was last drawn, ms
let resting = 0;
let age = 0; // counts settings: an answer to an older one is shown only until a newer comes
let drawnAge = 0;
const before = [];
const after = [];
let kept = null; // the setting before the move that is going on

const setting = () => ({ name: state.name, text: state.text, sets: state.sets, units: GIVEN.units, moves: [...state.moves], real: state.real });
// How pictures are to look that are shown as wide as an element: type keeps its size on their canvas, so that it grows with the
// page's own.
const look = (beside = "fill-and-skin") => ({
  dark: document.documentElement.classList.contains("dark"),
  width: Math.round(1.9 * Math.max(300, $(beside).clientWidth) * (16 / typeSize())),
});
const typeSize = () => parseFloat(getComputedStyle(document.documentElement).fontSize);
const snapshot = () => ({ ...state, moves: new Map(state.moves) });
// Whether there is room for both machines side by side.
const isNarrow = () => $("frame").clientWidth < 38 * typeSize();

const dials = new Dials($("dials"), moved, settled);
dials.look = (id) => { if (id !== active) { active = id; if (now) rest(); } };

function moved(id, value) {
  if (!kept) kept = snapshot();
  if (id === "real") {
    state.real = value;
  } else {
    if (id === "pace") state.real = false;
    state.moves.delete(id);
    if (value.trim() !== "") state.moves.set(id, value);
    active = id;
  }
  solve(seen());
}

function settled() {
  if (!kept) return;
  before.push(kept);
  if (before.length > 200) before.shift();
  after.length = 0;
  kept = null;
  history();
  rest();
}

function history() {
  $("undo").disabled = before.length === 0;
  $("redo").disabled = after.length === 0;
}

function go(from, to) {
  if (from.length === 0) return;
  to.push(snapshot());
  Object.assign(state, from.pop());
  history();
  written();
  solve(CHARTS);
}

// The charts that can be seen now; the others are drawn once the setting rests.
const inView = new Set(CHARTS);
const seen = () => CHARTS.filter((name) => inView.has(name));
const watch = new IntersectionObserver((entries) => {
  for (const entry of entries) {
    if (entry.isIntersecting) inView.add(entry.target.id); else inView.delete(entry.target.id);
  }
});
CHARTS.forEach((name) => watch.observe($(name)));

function solve(charts) {
  age += 1;
  const mine = age;
  frames.clear();
  clearTimeout(resting);
  back.drop("sure", "sweep");
  front.drop("frames", "report");
  document.body.setAttribute("aria-busy", "true");
  front.ask("judge", { ask: "judge", setting: setting(), look: look(), charts }, (answer) => {
    judged(answer, mine);
    if (mine !== age) return;
    resting = setTimeout(rest, REST);
    const picture = () => { if (mine === age) fetchFrames(film.at, 1); };
    if (performance.now() - filmed >= FILM) picture(); else setTimeout(picture, FILM);
  });
}

function judged(answer, mine) {
  drawnAge = mine;
  document.body.setAttribute("aria-busy", "false");
  if (!answer) return fail("This setting took too long, or stopped the solver; it was given up. Undo, or set something else.");
  if (answer.error) return fail(answer.error);
  wrong(answer.mistakes || [], answer.remarks || []);
  if (answer.mistakes) {
    const on = answer.mistakes.filter((m) => m.dial);
    on.forEach((m) => dials.complain(m.dial, `${m.message}; ${m.right}`));
    const count = answer.mistakes.length;
    return fail(count === 1 ? "There is one mistake in this setting." : `There are ${count} mistakes in this setting.`);
  }
  now = answer;
  document.body.classList.remove("stale");
  $("verdict").textContent = answer.headline;
  $("verdict").dataset.kind = answer.verdict;
  $("sure").textContent = "";
  document.querySelectorAll(".machine").forEach((place) => { place.textContent = answer.machine; });
  dials.update(answer.dials, state.real, answer.real_pace);
  limits($("limits"), answer);
  $("otherwise").textContent = [answer.own_pace, answer.otherwise].filter(Boolean).join(" ");
  notes(answer);
  for (const [name, chart] of Object.entries(answer.charts)) show($(name), chart.headline, chart.svg);
  const file = state.file === null ? "" : ` ${/[\s"']/.test(state.file) ? `'${state.file}'` : state.file}`;
  $("command").textContent = `latchstroke ${state.real ? "judge" : "turn"}${file} ${answer.options}`.trim();
  compare();
}

function fail(words) {
  $("verdict").textContent = words;
  $("verdict").dataset.kind = "wrong";
  $("sure").textContent = "";
  document.body.classList.add("stale");
  announce(words);
}

function limits(table, answer) {
  const head = ["limit", "may be", answer.settings.aside.name, "", answer.settings.set.name, ""];
  const cell = (side, of) => [
    make("td", { class: `${side} figure` }, of?.value ?? "–"),
    make("td", { class: `${side} how`, "data-state": of?.state ?? "" }, of?.how ?? "–"),
  ];
  const rows = answer.limits.map((limit) => make("tr", { class: limit.decides ? "decides" : null },
    make("th", { scope: "row" }, limit.name + (limit.decides ? ", decides" : "")),
    make("td", { class: "figure" }, limit.bound ?? "–"),
    ...cell("aside", limit.aside), ...cell("set", limit.set)));
  table.replaceChildren(
    make("caption", { class: "unseen" }, answer.headline),
    make("thead", {}, make("tr", {},
      make("th", { scope: "col" }, head[0]), make("th", { scope: "col" }, head[1]),
      make("th", { scope: "colgroup", colspan: 2, class: "aside" }, head[2]),
      make("th", { scope: "colgroup", colspan: 2, class: "set" }, head[4]))),
    make("tbody", {}, ...rows));
  table.dataset.latch = latch;
}

function notes(answer) {
  const of = answer.settings[latch];
  $("notes").replaceChildren(...of.notes.map((words) => make("li", {}, `${of.name}: ${words}`)));
}

// What takes longer, once nothing moves: the charts out of sight, the strip, how sure the verdict is, the ranges of the dials.
function rest() {
  clearTimeout(resting);
  if (!now || drawnAge !== age || document.body.classList.contains("stale")) return;
  const mine = age;
  const asked = setting();
  announce(now.headline);
  const unseen = CHARTS.filter((name) => !inView.has(name) || !(name in now.charts));
  if (unseen.length > 0) {
    front.ask("charts", { ask: "judge", setting: asked, look: look(), charts: unseen }, (answer) => {
      if (mine === age && answer && answer.charts) {
        for (const [name, chart] of Object.entries(answer.charts)) show($(name), chart.headline, chart.svg);
        now.charts = { ...now.charts, ...answer.charts };
      }
    });
  }
  if ($("details").open) report();
  fetchFrames(film.at, 12);
  const sure = (n) => back.ask("sure", { ask: "sure", setting: asked, draws: DRAWS[n] }, (answer) => {
    if (mine !== age || !answer || answer.mistakes) return;
    const words = answer.sure ? `${answer.sure} (${answer.drawn} of ${answer.of} machines drawn.)` : "";
    $("sure").textContent = words;
    $("sure").title = answer.scale;
    if (n + 1 < DRAWS.length) sure(n + 1); else if (words) announce(`${now.headline}. ${answer.sure}`);
    if (n === 0) sweeps(others);
  });
  const others = now.dials.map((dial) => dial.id).filter((id) => id !== active);
  const sweeps = (ids) => {
    const [id, ...more] = ids;
    if (id === undefined) return;
    back.ask("sweep", { ask: "sweep", setting: asked, look: look("strip"), dial: id }, (answer) => {
      if (mine !== age) return;
      if (answer && answer.track) dials.shade(id, answer.track);
      if (id === active && answer && answer.svg) {
        $("sweep").hidden = false;
        show($("sweep"), answer.headline, answer.svg);
      }
      if (ids !== first) sweeps(more);
    });
  };
  const first = [active];
  sweeps(first);
  sure(0);
}

function announce(words) {
  if ($("told").textContent !== words) $("told").textContent = words;
}

// The film.
function fetchFrames(from, count) {
  if (frames.has(from) && count === 1) return showFrame();
  const mine = age;
  front.ask("frames", { ask: "frames", setting: setting(), look: look(), from, count }, (answer) => {
    if (mine !== age || !answer) return;
    if (answer.why || !answer.frames) {
      $("frame").replaceChildren();
      $("caption").textContent = answer.why || "";
      return;
    }
    Object.assign(film, { of: answer.of, milliseconds: answer.milliseconds, hold: answer.hold, parts: answer.parts });
    $("seek").max = film.of - 1;
    for (const frame of answer.frames) frames.set(frame.n, frame);
    showFrame();
  });
}

function showFrame() {
  const frame = frames.get(film.at);
  if (!frame) return;
  filmed = performance.now();
  show($("frame"), frame.caption, frame.svg);
  if (film.parts && isNarrow()) $("frame").firstChild.setAttribute("viewBox", film.parts[latch].join(" "));
  $("caption").textContent = frame.caption;
  $("seek").value = film.at;
  $("seek").setAttribute("aria-valuetext", frame.caption.split(".")[0]);
}

let shownAt = 0;
function run(time) {
  if (!film.playing) return;
  requestAnimationFrame(run);
  // The last frame holds: it says what has come out.
  if (time - shownAt < (film.at === film.of - 1 ? film.hold : film.milliseconds)) return;
  const next = (film.at + 1) % film.of;
  if (frames.has(next)) {
    shownAt = time;
    film.at = next;
    showFrame();
  }
  const ahead = (film.at + 8) % film.of;
  if ((!frames.has(ahead) || !frames.has(next)) && front.idle) fetchFrames(frames.has(next) ? ahead : next, 8);
}

function play(playing) {
  film.playing = playing;
  $("play").textContent = playing ? "Stop" : "Play";
  if (playing) requestAnimationFrame(run);
}

// Pinned beside now.
function pin() {
  pinned = pinned ? null : now;
  $("pin").setAttribute("aria-pressed", String(pinned !== null));
  $("pin").textContent = pinned ? "Unpin" : "Pin to compare";
  compare();
}

function compare() {
  $("pinned").hidden = pinned === null;
  if (!pinned || !now) return;
  $("pinned-verdict").textContent = pinned.headline;
  const of = (answer, id) => answer.dials.find((dial) => dial.id === id)?.told ?? "–";
  const differ = now.dials.filter((dial) => of(pinned, dial.id) !== dial.told);
  const row = (name, was, is) => make("tr", {}, make("th", { scope: "row" }, name), make("td", {}, was ?? "–"), make("td", {}, is ?? "–"));
  const margins = now.limits.map((limit) => {
    const was = pinned.limits.find((other) => other.name === limit.name);
    return row(`${limit.name}, ${now.settings[latch].name}`, was?.[latch]?.how, limit[latch]?.how);
  });
  $("compared").replaceChildren(
    make("thead", {}, make("tr", {}, make("td"), make("th", { scope: "col" }, "pinned"), make("th", { scope: "col" }, "now"))),
    make("tbody", {}, row("verdict", pinned.headline, now.headline), ...differ.map((dial) => row(dial.name, of(pinned, dial.id), dial.told)), ...margins));
  const chart = pinned.charts["fill-and-skin"];
  if (chart) show($("pinned-chart"), `Pinned. ${chart.headline}`, chart.svg);
}

// The scenario as text.
function written() {
  if ($("text").value !== state.text) $("text").value = state.text;
  number([]);
}

function number(marked) {
  const lines = state.text.split("\n").length;
  const at = new Set(marked);
  $("lines").textContent = Array.from({ length: lines }, (_, n) => (at.has(n + 1) ? `▸${n + 1}` : String(n + 1))).join("\n");
  $("lines").scrollTop = $("text").scrollTop;
}

function wrong(mistakes, remarks) {
  const all = [...mistakes.map((m) => ["mistake", m]), ...remarks.map((m) => ["remark", m])];
  number(all.map(([, m]) => m.line));
  $("wrong").replaceChildren(...all.map(([kind, m]) => {
    const to = make("button", { type: "button" }, m.place || "the whole scenario");
    to.addEventListener("click", () => caret(m.line, m.column));
    return make("li", { class: kind }, m.line ? to : make("b", {}, m.place || "the whole scenario"), ` ${m.message}; ${m.right}`);
  }));
  const counted = (n, what) => (n === 1 ? `1 ${what}` : `${n} ${what}s`);
  const words = [mistakes.length && counted(mistakes.length, "mistake"), remarks.length && counted(remarks.length, "remark")].filter(Boolean);
  const said = words.join(", ") || "No mistakes.";
  if ($("wrong-name").textContent !== said) $("wrong-name").textContent = said;
}

function caret(line, column) {
  const lines = state.text.split("\n");
  const start = lines.slice(0, line - 1).reduce((sum, text) => sum + text.length + 1, 0) + (column || 1) - 1;
  $("text").focus();
  $("text").setSelectionRange(start, start + 1);
}

let typing = 0;
function typed() {
  if (!kept) kept = snapshot();
  state.text = $("text").value;
  number([]);
  clearTimeout(typing);
  typing = setTimeout(() => { solve(CHARTS); settled(); }, 300);
}

async function opened(file) {
  if (!file) return;
  if (file.size > 1 << 20) return fail(`${file.name} is longer than a megabyte, which no scenario is.`);
  kept = snapshot();
  Object.assign(state, { name: file.name, file: file.name, text: await file.text(), sets: [], moves: new Map(), real: false });
  written();
  solve(CHARTS);
  settled();
}

// Kept and shown.
function scenario(take) {
  front.ask("text", { ask: "text", setting: setting() }, (answer) => { if (answer && answer.text) take(answer.text); });
}

async function copy(text) {
  try {
    await navigator.clipboard.writeText(text);
    announce("The setting was copied as a scenario.");
  } catch {
    $("copied").value = text;
    $("copying").showModal();
    $("copied").select();
  }
}

function save(text) {
  const link = make("a", { href: URL.createObjectURL(new Blob([text], { type: "text/plain" })), download: "setting.toml" });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}

function report() {
  const mine = age;
  front.ask("report", { ask: "report", setting: setting() }, (answer) => {
    if (mine === age && answer && answer.report) $("report").textContent = answer.report;
  });
}

function darken(dark) {
  document.documentElement.classList.toggle("dark", dark);
  $("dark").setAttribute("aria-pressed", String(dark));
  if (now) solve(CHARTS);
}

function listen() {
  const on = (id, kind, act) => $(id).addEventListener(kind, act);
  on("undo", "click", () => go(before, after));
  on("redo", "click", () => go(after, before));
  on("reset", "click", () => { kept = snapshot(); state.moves = new Map(); state.real = false; solve(CHARTS); settled(); });
  on("pin", "click", pin);
  on("play", "click", () => play(!film.playing));
  on("seek", "input", () => { play(false); film.at = $("seek").valueAsNumber; fetchFrames(film.at, 1); });
  on("copy", "click", () => scenario(copy));
  on("save", "click", () => scenario(save));
  on("print", "click", () => print());
  on("full", "click", () => (document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen()));
  on("dark", "click", () => darken(!document.documentElement.classList.contains("dark")));
  on("text", "input", typed);
  on("text", "scroll", () => { $("lines").scrollTop = $("text").scrollTop; });
  on("open", "change", () => opened($("open").files[0]));
  on("details", "toggle", () => { if ($("details").open) report(); });
  document.querySelectorAll("input[name=latch]").forEach((choice) => choice.addEventListener("change", () => {
    latch = choice.value;
    if (now) { limits($("limits"), now); notes(now); compare(); showFrame(); }
  }));
  document.addEventListener("keydown", (event) => {
    const inText = event.target.matches("textarea, input[type=text]");
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z" || inText) return;
    event.preventDefault();
    if (event.shiftKey) go(after, before); else go(before, after);
  });
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => { event.preventDefault(); opened(event.dataTransfer.files[0]); });
  let width = innerWidth;
  addEventListener("resize", () => { if (innerWidth !== width && now) { width = innerWidth; solve(CHARTS); } });
}

// The faces the pictures are set in stand in the module too.
async function face(bold) {
  const bytes = await new Promise((take) => back.ask(`face ${bold}`, { ask: "face", bold }, take));
  document.fonts.add(await new FontFace("Source Sans Pro", bytes, { weight: bold ? "700" : "400" }).load());
}

async function begin() {
  const module = await unpacked($("module").textContent);
  $("module").remove();
  const source = URL.createObjectURL(new Blob([$("worker").textContent], { type: "text/javascript" }));
  front = new Solver(module, source);
  back = new Solver(module, source);
  listen();
  written();
  darken(matchMedia("(prefers-color-scheme: dark)").matches);
  await Promise.all([face(false), face(true)]);
  solve(CHARTS);
  if (!still.matches) play(true);
}

begin().catch((error) => fail(`This browser cannot run the page: ${error.message}`));
