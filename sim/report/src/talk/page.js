"use strict";
(() => {
  const slides = Array.from(document.querySelectorAll(".slide"));
  const back = document.getElementById("back");
  const on = document.getElementById("on");
  const place = document.getElementById("place");
  const last = slides.length - 1;
  const asked = Number.parseInt(location.hash.slice(1), 10) - 1;
  let now = 0;

  const show = (wanted) => {
    now = Math.min(Math.max(wanted, 0), last);
    slides.forEach((slide, index) => slide.classList.toggle("now", index === now));
    place.textContent = `${now + 1} / ${slides.length}`;
    back.disabled = now === 0;
    on.disabled = now === last;
    history.replaceState(null, "", `#${now + 1}`);
  };

  const keys = {
    ArrowRight: () => show(now + 1),
    ArrowDown: () => show(now + 1),
    PageDown: () => show(now + 1),
    ArrowLeft: () => show(now - 1),
    ArrowUp: () => show(now - 1),
    PageUp: () => show(now - 1),
    Home: () => show(0),
    End: () => show(last),
    f: () => (document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen()),
  };

  document.addEventListener("keydown", (event) => {
    const act = keys[event.key];
    if (act && !event.ctrlKey && !event.altKey && !event.metaKey) {
      event.preventDefault();
      act();
    }
  });
  back.addEventListener("click", () => show(now - 1));
  on.addEventListener("click", () => show(now + 1));
  document.querySelector("nav").hidden = false;
  document.body.classList.add("shown");
  show(Number.isFinite(asked) ? asked : 0);
})();
