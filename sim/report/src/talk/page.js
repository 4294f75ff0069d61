"use strict";
(() => {
  const slides = Array.from(document.querySelectorAll(".slide"));
  const nav = document.querySelector("nav");
  const back = document.getElementById("back");
  const on = document.getElementById("on");
  const place = document.getElementById("place");
  const last = slides.length - 1;
  const asked = Number.parseInt(location.hash.slice(1), 10) - 1;
  // The buttons are seen while the mouse moves, and for so long after it, ms.
  const SEEN = 2500;
  let now = 0, hiding = 0;

  const show = (wanted) => {
    now = Math.min(Math.max(wanted, 0), last);
    slides.forEach((slide, index) => slide.classList.toggle("now", index === now));
    // A film begins when it is come to, and ends when it is left.
    for (const film of document.querySelectorAll("iframe[data-film]")) {
      const seen = slides[now].contains(film);
      if (seen !== film.hasAttribute("srcdoc")) {
        if (seen) {
          film.srcdoc = film.dataset.film;
        } else {
          film.removeAttribute("srcdoc");
          // Keys pressed in a film that is gone would be lost.
          film.blur();
          window.focus();
        }
      }
    }
    place.textContent = slides[now].dataset.place;
    back.disabled = now === 0;
    on.disabled = now === last;
    history.replaceState(null, "", `#${now + 1}`);
  };

  const next = () => show(now + 1);
  const previous = () => show(now - 1);
  const keys = {
    " ": next,
    Enter: next,
    ArrowRight: next,
    ArrowDown: next,
    PageDown: next,
    ArrowLeft: previous,
    ArrowUp: previous,
    PageUp: previous,
    Backspace: previous,
    Home: () => show(0),
    End: () => show(last),
    f: () => (document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen()),
  };

  const press = (event) => {
    const act = event.key === " " && event.shiftKey ? previous : keys[event.key];
    if (act && !event.ctrlKey && !event.altKey && !event.metaKey) {
      event.preventDefault();
      event.stopImmediatePropagation();
      act();
    }
  };
  document.addEventListener("keydown", press);
  // Whoever has clicked into the film still goes on with the same keys.
  for (const film of document.querySelectorAll("iframe[data-film]")) {
    film.addEventListener("load", () => {
      if (film.hasAttribute("srcdoc")) film.contentWindow.addEventListener("keydown", press, true);
    });
  }
  const wake = () => {
    nav.classList.remove("away");
    clearTimeout(hiding);
    hiding = setTimeout(() => nav.classList.add("away"), SEEN);
  };
  document.addEventListener("pointermove", wake);
  document.addEventListener("pointerdown", wake);
  back.addEventListener("click", previous);
  on.addEventListener("click", next);
  nav.hidden = false;
  nav.classList.add("away");
  document.body.classList.add("shown");
  show(Number.isFinite(asked) ? asked : 0);
})();
