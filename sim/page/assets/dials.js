// The dials: a slider, a field to type in and the range that works below it. All words and figures come from the solver.

const $ = (id) => document.getElementById(id);

function make(tag, attributes = {}, ...content) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, value);
  }
  element.append(...content);
  return element;
}

// A picture the solver has drawn; its words are told by the figure's own label.
function picture(svg) {
  const drawn = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  drawn.removeAttribute("width");
  drawn.removeAttribute("height");
  drawn.setAttribute("aria-hidden", "true");
  drawn.setAttribute("focusable", "false");
  return document.adoptNode(drawn);
}

function show(figure, label, svg) {
  figure.replaceChildren(picture(svg));
  figure.setAttribute("role", "img");
  figure.setAttribute("aria-label", label);
}

class Dials {
  // `moved(id, text)` while a dial moves, `settled()` once it rests.
  constructor(home, moved, settled) {
    this.home = home;
    this.moved = moved;
    this.settled = settled;
    this.all = new Map();
  }

  update(list, real, paceAtRest) {
    if (list.map((dial) => dial.id).join() !== [...this.all.keys()].join()) this.build(list);
    for (const dial of list) {
      const { slide, field, box } = this.all.get(dial.id);
      this.all.get(dial.id).dial = dial;
      slide.max = dial.last;
      if (document.activeElement !== slide || !this.held) slide.value = dial.place;
      slide.setAttribute("aria-valuetext", dial.told);
      if (document.activeElement !== field) field.value = dial.told;
      box.classList.toggle("moved", dial.typed !== null && dial.typed !== undefined);
      box.querySelector(".least").textContent = dial.least;
      box.querySelector(".most").textContent = dial.most;
      this.complain(dial.id, null);
    }
    const pace = this.all.get("pace");
    if (pace) {
      pace.real.checked = real;
      pace.at.textContent = paceAtRest;
    }
  }

  build(list) {
    this.all.clear();
    this.home.replaceChildren(...list.map((dial) => this.one(dial)));
  }

  one(dial) {
    const id = dial.id;
    const slide = make("input", { type: "range", id: `slide-${id}`, min: 0, max: dial.last, step: 1, "aria-describedby": `help-${id}` });
    const field = make("input", { type: "text", id: `field-${id}`, "aria-label": `${dial.name}, typed`, autocomplete: "off", spellcheck: "false" });
    const wrong = make("p", { class: "wrong", id: `wrong-${id}`, role: "alert", hidden: true });
    const track = make("div", { class: "track", "aria-hidden": "true" });
    const box = make("div", { class: "dial", id: `dial-${id}` },
      make("div", { class: "head" }, make("label", { for: slide.id }, dial.name), field),
      slide, track,
      make("p", { class: "ends", "aria-hidden": "true" }, make("span", { class: "least" }), make("span", { class: "most" })),
      make("p", { class: "unseen", id: `help-${id}` }, dial.help || ""),
      wrong);
    const kept = { slide, field, box, wrong, track, dial };
    if (id === "pace") {
      kept.real = make("input", { type: "checkbox", id: "real" });
      kept.at = make("span");
      box.append(make("label", { class: "real" }, kept.real, " as it is really cast, ", kept.at));
      kept.real.addEventListener("change", () => { this.moved("real", kept.real.checked); this.settled(); });
    }
    slide.addEventListener("input", () => {
      this.held = true;
      const { low, step, decimals, unit } = kept.dial;
      const value = Number((low + step * slide.valueAsNumber).toFixed(decimals));
      this.moved(id, `${value} ${unit}`.trim());
    });
    slide.addEventListener("change", () => { this.held = false; this.settled(); });
    slide.addEventListener("focus", () => this.look && this.look(id));
    field.addEventListener("change", () => { this.moved(id, field.value); this.settled(); });
    this.all.set(id, kept);
    return box;
  }

  complain(id, words) {
    const kept = this.all.get(id);
    if (!kept) return;
    kept.wrong.hidden = !words;
    if (words) kept.wrong.textContent = words; else kept.wrong.textContent = "";
    for (const input of [kept.slide, kept.field]) {
      if (words) {
        input.setAttribute("aria-invalid", "true");
      } else {
        input.removeAttribute("aria-invalid");
      }
    }
  }

  shade(id, svg) {
    const kept = this.all.get(id);
    if (!kept) return;
    const drawn = picture(svg);
    drawn.setAttribute("preserveAspectRatio", "none");
    kept.track.replaceChildren(drawn);
  }
}
