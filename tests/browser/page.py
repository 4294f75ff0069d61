#!/usr/bin/env python3
"""The page of `latchstroke live` in a real browser, held against the program.

    python3 -m venv /tmp/v && /tmp/v/bin/pip install playwright
    /tmp/v/bin/python tests/browser/page.py --program target/debug/latchstroke --browser /usr/bin/chromium [--axe axe.min.js] [--shots DIR]

Moves every control by mouse, by touch and by keyboard; compares the numbers of fifty settings with the command line's; tries
mistakes, hostile names, undo, pinning, a dropped file, the dark room, 200 % text, narrow screens, paper and full screen; watches the console and the
network; opens the page from a file and from a static server; and moves a dial sixty times a second for ten seconds. Exits with 1
if anything is not as it should be.
"""

import argparse
import functools
import http.server
import json
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import threading
import time

from playwright.sync_api import sync_playwright

ROOT = pathlib.Path(__file__).resolve().parents[2]
FAILED = []


def check(name, holds, more=""):
    print(("ok    " if holds else "WRONG ") + name + (f": {more}" if more and not holds else ""), flush=True)
    if not holds:
        FAILED.append(name)


class Page:
    """A page that has been opened, with what it said on the console and asked of the network."""

    def __init__(self, browser, url, **context):
        self.context = browser.new_context(**context)
        self.page = self.context.new_page()
        self.noise = []
        self.page.on("console", lambda message: self.noise.append(f"console: {message.text}"))
        self.page.on("pageerror", lambda error: self.noise.append(f"error: {error}"))
        self.page.on("request", self.asked)
        self.url = url
        self.page.goto(url)
        self.settle()

    def asked(self, request):
        if request.url != self.url and not request.url.startswith("blob:") and not request.url.endswith("favicon.ico"):
            self.noise.append(f"request: {request.url[:100]}")

    def settle(self):
        """Waits until the newest setting is drawn."""
        self.page.wait_for_selector("h1:not([data-kind=waiting])", timeout=60000)
        self.until("age === drawnAge && document.body.getAttribute('aria-busy') !== 'true'")

    def until(self, expression, argument=None, seconds=60):
        """Waits for an expression to hold. Playwright's own way needs `eval`, which the page's policy forbids, as it should."""
        end = time.time() + seconds
        while not self.page.evaluate(expression, argument):
            if time.time() > end:
                raise TimeoutError(expression)
            time.sleep(0.02)

    def verdict(self):
        return self.page.inner_text("#verdict")

    def told(self, dial):
        return self.page.input_value(f"#field-{dial}")

    def type(self, dial, text):
        self.page.fill(f"#field-{dial}", text)
        self.page.press(f"#field-{dial}", "Enter")
        self.settle()

    def whole(self, name):
        """No name in a picture is cut off, and none is larger than its picture."""
        cut = self.page.evaluate("[...document.querySelectorAll('figure svg text')].map((t) => t.textContent).filter((t) => t.endsWith('…'))")
        check(f"nothing in the pictures is cut off ({name})", not cut, str(cut[:3]))

    def close(self):
        self.context.close()
        return self.noise


def run(program, *arguments):
    done = subprocess.run([program, *arguments], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


def controls(browser, url):
    """Every control by mouse, keyboard and touch."""

    def elsewhere(slide):
        """A place on a slider well away from its grip."""
        box = slide.bounding_box()
        share = slide.evaluate("slide => slide.value / slide.max")
        return box["x"] + (0.8 if share < 0.5 else 0.2) * box["width"], box["y"] + 0.5 * box["height"]

    it = Page(browser, url, viewport={"width": 1366, "height": 900})
    dials = it.page.eval_on_selector_all(".dial", "all => all.map(dial => dial.id.slice(5))")
    check("there are dials for everything that can be moved", len(dials) >= 9, str(dials))
    for dial in dials:
        slide = it.page.locator(f"#slide-{dial}")
        slide.evaluate("slide => slide.scrollIntoView({ block: 'center' })")
        was = it.told(dial)
        it.page.mouse.click(*elsewhere(slide))
        it.settle()
        by_mouse = it.told(dial)
        slide.focus()
        it.page.keyboard.press("ArrowRight")
        it.settle()
        by_key = it.told(dial)
        said = slide.get_attribute("aria-valuetext")
        check(f"{dial} moves by mouse and by keyboard", was != by_mouse != by_key and said == by_key, f"{was} {by_mouse} {by_key} {said}")
        it.page.click("#reset")
        it.settle()
    it.page.check("input[name=latch][value=aside]")
    check("the latch looked at is chosen", it.page.get_attribute("#limits", "data-latch") == "aside")
    it.page.check("#real")
    it.settle()
    check("the pace is that of a real cast", "real" not in it.verdict() and it.told("pace") != "12 turns/min", it.told("pace"))
    check("no message and no request by mouse and keyboard", not it.noise, str(it.noise[:3]))
    it.close()
    it = Page(browser, url, viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True, device_scale_factor=2)
    for dial in dials:
        slide = it.page.locator(f"#slide-{dial}")
        slide.evaluate("slide => slide.scrollIntoView({ block: 'center' })")
        was = it.told(dial)
        it.page.touchscreen.tap(*elsewhere(slide))
        it.settle()
        check(f"{dial} moves by touch", was != it.told(dial), f"{was} {it.told(dial)}")
        it.page.locator("#reset").tap()
        it.settle()
    wide = it.page.evaluate("document.documentElement.scrollWidth")
    check("a phone of 360 px needs no sideways scrolling", wide <= 360, str(wide))
    check("no message and no request by touch", not it.noise, str(it.noise[:3]))
    it.close()


SETTINGS = {
    "pace": lambda r: f"{r.uniform(6, 45):.1f} turns/min",
    "body": lambda r: f"{r.randint(8, 48)} pt",
    "pot": lambda r: f"{r.randint(320, 420)} degC",
    "wall": lambda r: f"{r.randint(20, 120)} degC",
    "nozzle": lambda r: f"{r.uniform(1.8, 4.5):.2f} mm",
    "skin": lambda r: f"{r.uniform(0.1, 0.9):.2f} mm",
    "nut": lambda r: f"{r.randint(-6, 6)} turns",
    "sleeve": lambda r: f"2 {r.randint(25, 55)}/64 in",
}


def numbers(browser, url, program, count):
    """The page's report against the command the page itself gives for it."""
    chance = random.Random(14)
    it = Page(browser, url, viewport={"width": 1366, "height": 900})
    it.page.click("#details summary")
    same = 0
    for number in range(count):
        it.page.click("#reset")
        for dial in chance.sample(sorted(SETTINGS), 3):
            it.page.fill(f"#field-{dial}", SETTINGS[dial](chance))
            it.page.press(f"#field-{dial}", "Enter")
        it.settle()
        options = it.page.inner_text("#command")
        arguments = [word.strip('"') for word in re.findall(r'"[^"]*"|\S+', options)][1:]
        code, said, err = run(program, *arguments)
        if code == 2:
            check(f"setting {number} is refused by both", it.page.get_attribute("#verdict", "data-kind") == "wrong", f"{options}: {err}")
            same += 1
            continue
        try:
            it.until("said => document.getElementById('report').textContent === said", said, 10)
            same += 1
        except TimeoutError:
            shown = it.page.evaluate("document.getElementById('report').textContent")
            lines = [f"{a!r} {b!r}" for a, b in zip(shown.split("\n"), said.split("\n")) if a != b]
            check(f"setting {number}", False, f"{options}\n" + "\n".join(lines[:4]))
        first = said.split("\n\n")[0].split(".\n")[0]
        joined = " ".join(first.split())
        if not joined.startswith(it.verdict()):
            check(f"verdict of setting {number}", False, f"{options}\n{it.verdict()}\n{joined}")
    check(f"{count} settings: every figure of the page is the command line's", same == count, str(same))
    check("no message and no request over them", not it.noise, str(it.noise[:3]))
    it.close()


HOSTILE = "</script><script>document.title='broken'</script><img src=x onerror=\"document.title='broken'\">"


def text(browser, url):
    """Mistakes beside their lines, undo, pinning, hostile names, a dropped file."""
    it = Page(browser, url, viewport={"width": 1366, "height": 900})
    page = it.page
    whole = page.input_value("#text")
    page.fill("#text", whole.replace('law = "cycloidal"', 'law = "cicloidal"'))
    page.wait_for_selector("#wrong .mistake")
    line = whole.split("\n").index('law = "cycloidal"') + 1
    check("a mistake is told at its line with what would be right",
          f"line {line}" in page.inner_text("#wrong") and "cycloidal" in page.inner_text("#wrong"), page.inner_text("#wrong"))
    check("the line is marked", f"▸{line}" in page.inner_text("#lines"))
    page.click("#undo")
    it.settle()
    check("undo takes the mistake back", page.input_value("#text") == whole and page.locator("#wrong .mistake").count() == 0)
    it.type("pot", "hot")
    check("a mistake on a dial is told there", page.locator("#wrong-pot").is_visible() and page.get_attribute("#field-pot", "aria-invalid") == "true")
    it.type("pot", HOSTILE)
    check("what is typed on a dial is never markup", page.title() != "broken" and page.locator("img").count() == 0 and page.locator("#wrong-pot").is_visible())
    page.click("#undo")
    page.click("#undo")
    it.settle()
    first = it.verdict()
    page.click("#pin")
    it.type("pace", "22 turns/min")
    check("a pinned setting stands beside the one now",
          page.inner_text("#pinned-verdict") == first and "22 turns/min" in page.inner_text("#compared"), page.inner_text("#compared"))
    page.keyboard.press("Control+z") if page.evaluate("document.activeElement.blur() || true") else None
    it.settle()
    check("undo by keyboard", it.verdict() == first, it.verdict())
    page.click("#redo")
    it.settle()
    check("redo", "22 turns/min" in it.verdict(), it.verdict())
    with page.expect_download() as download:
        page.click("#save")
    saved = pathlib.Path(download.value.path()).read_text()
    check("a setting is saved as a scenario", 'pace = "22 turns/min"' in saved, saved[:200])
    page.evaluate("""([name, text]) => {
        const data = new DataTransfer();
        data.items.add(new File([text], name, { type: "text/plain" }));
        document.dispatchEvent(new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
    }""", ["<img src=x>.toml", whole.replace("Alder caster", HOSTILE.replace('"', '\\"'))])
    it.until("document.querySelector('.machine').textContent.includes('<script>')")
    it.settle()
    page.wait_for_timeout(500)
    check("a name is never markup", page.title() != "broken" and page.locator("img").count() == 0)
    check("no message and no request from a hostile scenario", not it.noise, str(it.noise[:3]))
    it.close()


def looks(browser, url, folder, axe):
    """Screenshots, the dark room, large text, and an audit."""
    sizes = {"projector": (1920, 1080), "laptop": (1366, 768), "tall phone": (390, 844), "phone": (360, 740)}
    for name, (width, height) in sizes.items():
        for dark in [False, True]:
            it = Page(browser, url, viewport={"width": width, "height": height}, reduced_motion="reduce",
                      color_scheme="dark" if dark else "light")
            it.until("document.getElementById('sure').textContent.includes('128 of 128')")
            it.until("back.idle && front.idle")
            shade = "dark" if dark else "light"
            check(f"nothing moves by itself where that is asked ({name}, {shade})", it.page.inner_text("#play") == "Play")
            if folder:
                it.page.screenshot(path=f"{folder}/{name}-{shade}.png")
                it.page.screenshot(path=f"{folder}/{name}-{shade}-whole.png", full_page=True)
            if axe:
                it.page.evaluate(axe)
                found = it.page.evaluate("axe.run(document, { resultTypes: ['violations'] })")["violations"]
                serious = [f"{v['id']}: {v['nodes'][0]['html'][:120]}" for v in found if v["impact"] in ("serious", "critical")]
                check(f"no serious finding of the audit ({name}, {shade})", not serious, "; ".join(serious))
                for v in found:
                    print(f"      {v['impact']} {v['id']}: {v['help']} ({len(v['nodes'])})")
            it.whole(f"{name}, {shade}")
            check(f"no message ({name}, {shade})", not it.noise, str(it.noise[:3]))
            it.close()
    it = Page(browser, url, viewport={"width": 1366, "height": 768})
    it.until("back.idle && front.idle")
    small = it.page.evaluate(TYPE)
    it.page.evaluate("document.documentElement.style.fontSize = '200%'")
    it.page.set_viewport_size({"width": 1365, "height": 768})
    it.settle()
    it.until("back.idle && front.idle")
    wide = it.page.evaluate("document.documentElement.scrollWidth")
    check("text at 200 % needs no sideways scrolling", wide <= 1366, str(wide))
    large = it.page.evaluate(TYPE)
    check("the type in the pictures grows with it", large >= 1.95 * small, f"{small} {large}")
    it.whole("text at 200 %")
    if folder:
        it.page.screenshot(path=f"{folder}/large-text.png")
    it.close()


# How large the type of a chart is on the screen, px.
TYPE = """() => {
  const text = document.querySelector("#fill-and-skin svg text");
  return text.getBoundingClientRect().height;
}"""


# Headings that are seen, with nothing but them to be seen in their section.
BARE = """() => [...document.querySelectorAll("h2")].filter((heading) => heading.checkVisibility()
  && [...heading.parentElement.children].every((other) => other === heading || !other.checkVisibility() || !other.clientHeight)
).map((heading) => heading.textContent)"""


def paper(browser, url, folder):
    """The page printed, and shown full screen."""
    it = Page(browser, url, viewport={"width": 1366, "height": 900}, reduced_motion="reduce")
    it.until("back.idle && front.idle")
    page = it.page
    page.click("#full")
    it.until("document.fullscreenElement !== null", seconds=5)
    page.click("#full")
    it.until("document.fullscreenElement === null", seconds=5)
    check("full screen and back", True)
    page.emulate_media(media="print")
    for what in ["#settings", "#editor", ".tools"]:
        check(f"{what} is not printed", not page.locator(what).first.is_visible())
    for what in ["#verdict", "#limits", "#fill-and-skin svg", "footer"]:
        check(f"{what} is printed", page.locator(what).first.is_visible())
    bare = page.evaluate(BARE)
    check("no heading is printed with nothing under it", not bare, str(bare))
    page.evaluate("darken(true)")
    ink = page.evaluate("getComputedStyle(document.body).color.match(/\\d+/g).map(Number)")
    check("a page from the dark room is printed dark on light", max(ink) < 90, str(ink))
    page.evaluate("darken(false)")
    it.settle()
    for name, size in {"A4": {"format": "A4"}, "Letter": {"format": "Letter"}}.items():
        made = page.pdf(**size, print_background=False)
        pages = len(re.findall(rb"/Type\s*/Page\b", made))
        check(f"printed on {name} it has a few pages", 2 <= pages <= 8, str(pages))
        if folder:
            pathlib.Path(folder, f"printed-{name}.pdf").write_bytes(made)
    check("no message when printed", not it.noise, str(it.noise[:3]))
    it.close()


MOVES = """async () => {
  const slide = document.getElementById("slide-pace");
  const asked = new Map(), late = [];
  const told = judged;
  let drawn = 0;
  judged = (answer, mine) => {
    told(answer, mine);
    requestAnimationFrame(() => {
      const now = performance.now();
      drawn += 1;
      for (const [number, at] of asked) if (number <= mine) { late.push(now - at); asked.delete(number); }
    });
  };
  const memory = () => (performance.memory ? performance.memory.usedJSHeapSize : 0);
  const before = memory();
  const begin = performance.now();
  for (let move = 0; move < 600; move += 1) {
    slide.value = Math.round(20 + 15 * Math.sin(move / 20));
    slide.dispatchEvent(new Event("input", { bubbles: true }));
    asked.set(age, performance.now());
    await new Promise((next) => setTimeout(next, Math.max(0, begin + (move + 1) * 1000 / 60 - performance.now())));
  }
  const lasted = performance.now() - begin;
  slide.dispatchEvent(new Event("change", { bubbles: true }));
  await new Promise((next) => setTimeout(next, 1500));
  judged = told;
  late.sort((a, b) => a - b);
  const at = (share) => late[Math.floor(share * (late.length - 1))];
  return { moves: 600, lasted, drawn, waiting: asked.size, median: at(0.5), most: at(0.95), worst: at(1),
    within33: late.filter((one) => one <= 33).length / 600, grown: memory() - before };
}"""


def pace(browser, url):
    """Sixty moves a second for ten seconds. What is slow depends on the machine and is told, not judged."""
    it = Page(browser, url, viewport={"width": 1366, "height": 768})
    it.until("front.idle")
    found = it.page.evaluate(MOVES)
    print("      " + json.dumps(found))
    check("sixty moves a second for ten seconds: every move is drawn in the end", found["waiting"] == 0, str(found))
    check("nothing falls behind: the slowest is drawn within a second", found["worst"] < 1000, str(found))
    check("nothing grows", found["grown"] < 60e6, str(found))
    check("no message under load", not it.noise, str(it.noise[:3]))
    it.close()


def main():
    take = argparse.ArgumentParser()
    take.add_argument("--program", default=str(ROOT / "target/debug/latchstroke"))
    take.add_argument("--browser", default="/usr/bin/chromium")
    take.add_argument("--axe", help="axe.min.js of the npm package axe-core, for the audit")
    take.add_argument("--shots", help="folder for screenshots")
    take.add_argument("--settings", type=int, default=50)
    take.add_argument("--only", help="controls, numbers, text, looks, paper or pace")
    options = take.parse_args()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        page = pathlib.Path(folder) / "machine.html"
        code, _, err = run(options.program, "live", "--out", str(page))
        check("the page is written", code == 0, err)
        browser = play.chromium.launch(executable_path=options.browser, args=["--no-sandbox", "--enable-precise-memory-info"])
        url = page.as_uri()
        axe = pathlib.Path(options.axe).read_text() if options.axe else None
        if options.shots:
            pathlib.Path(options.shots).mkdir(parents=True, exist_ok=True)
        parts = {
            "controls": lambda: controls(browser, url),
            "numbers": lambda: numbers(browser, url, options.program, options.settings),
            "text": lambda: text(browser, url),
            "looks": lambda: looks(browser, url, options.shots, axe),
            "paper": lambda: paper(browser, url, options.shots),
            "pace": lambda: pace(browser, url),
        }
        for name, part in parts.items():
            if options.only in (None, name):
                part()
        if options.only is None:
            handler = functools.partial(http.server.SimpleHTTPRequestHandler, directory=folder)
            handler.log_message = lambda *_: None
            server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
            threading.Thread(target=server.serve_forever, daemon=True).start()
            it = Page(browser, f"http://127.0.0.1:{server.server_port}/machine.html")
            check("the page opens from a static server", "24 pt at 12 turns/min" in it.verdict(), it.verdict())
            check("no message and no request from there", not it.noise, str(it.noise[:3]))
            it.close()
            server.shutdown()
        browser.close()
    print(f"{len(FAILED)} wrong" if FAILED else "all as it should be")
    sys.exit(1 if FAILED else 0)


if __name__ == "__main__":
    main()
