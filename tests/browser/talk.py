"""Plays talk.html through in a browser, with the keys a speaker uses.

Run by hand where a Chromium is, with Python's Playwright:

    latchstroke talk --out show && python3 tests/browser/talk.py show/talk.html

Exit code 0: every picture was come to by every key, the film plays, the page said nothing on its console and asked the network for
nothing. 1: it was not so. 3: there is no Chromium here, or no Playwright, and nothing was looked at.
"""

import pathlib
import shutil
import sys

NOT_HERE = 3


def not_here(why):
    print(f"not looked at: {why}")
    sys.exit(NOT_HERE)


try:
    from playwright.sync_api import sync_playwright
except ImportError:
    not_here("there is no Playwright for this Python")


def browser(playwright):
    """A Chromium: Playwright's own, or that of the system."""
    for path in [None, *map(shutil.which, ["chromium", "chromium-browser", "google-chrome"])]:
        try:
            return playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        except Exception:  # whatever keeps this one from starting, the next may start
            continue
    not_here("there is no Chromium that starts")


class Played:
    """The page, with what it said and asked for."""

    def __init__(self, page, address):
        self.page = page
        self.said = []
        self.asked = []
        page.on("console", lambda message: self.said.append(message.text))
        page.on("pageerror", lambda error: self.said.append(str(error)))
        page.on("request", lambda request: self.asked.append(request.url))
        page.goto(address)
        self.count = page.locator(".slide").count()

    def shown(self):
        """Which picture is seen, from 0; exactly one is."""
        seen = self.page.evaluate(
            "() => Array.from(document.querySelectorAll('.slide')).flatMap((slide, n) =>"
            " getComputedStyle(slide).display === 'none' ? [] : [n])"
        )
        assert len(seen) == 1, f"pictures seen at once: {seen}"
        return seen[0]

    def press(self, key, wanted):
        self.page.keyboard.press(key)
        assert self.shown() == wanted, f"{key} leads to {self.shown()}, not {wanted}"

    def through(self, forward, back):
        """From the first picture to the last by one key and back by another, and no further at either end."""
        self.press("Home", 0)
        for n in range(1, self.count):
            self.press(forward, n)
        self.press(forward, self.count - 1)
        for n in reversed(range(self.count - 1)):
            self.press(back, n)
        self.press(back, 0)


def play(page, address):
    played = Played(page, address)
    assert played.count >= 8, f"{played.count} pictures"
    pairs = [
        ("Space", "ArrowLeft"),
        ("Enter", "Backspace"),
        ("ArrowRight", "ArrowLeft"),
        ("ArrowDown", "ArrowUp"),
        ("PageDown", "PageUp"),
        ("Space", "Shift+Space"),
    ]
    for forward, back in pairs:
        played.through(forward, back)
    played.press("End", played.count - 1)

    # The film begins where it is come to, goes on by itself, and the same keys lead on, also from within it.
    film = page.locator(".film iframe")
    if film.count():
        at = page.evaluate("() => Array.from(document.querySelectorAll('.slide')).findIndex((s) => s.matches('.film'))")
        played.press("Home", 0)
        for n in range(1, at + 1):
            played.press("Enter", n)
        inside = page.frame_locator(".film iframe")
        inside.locator("#film").wait_for()
        frame = lambda: int(inside.locator("#at").input_value())
        first = frame()
        page.wait_for_timeout(700)
        assert frame() != first, "the film stands still"
        inside.locator("#screen").click()
        played.press("Space", at + 1)
        assert not film.get_attribute("srcdoc"), "the film plays on unseen"

    # The buttons are away until the mouse moves, and again a while after it.
    nav = page.locator("nav")
    hidden = lambda: nav.evaluate("(nav) => getComputedStyle(nav).opacity") == "0"
    page.wait_for_timeout(3500)
    assert hidden(), "the buttons stand on the picture"
    page.mouse.move(200, 200)
    page.mouse.move(260, 240)
    page.wait_for_timeout(600)
    assert not hidden(), "the mouse does not bring the buttons"
    played.press("Home", 0)
    page.locator("#on").click()
    assert played.shown() == 1, "the button does not lead on"

    filled = "() => document.fullscreenElement !== null"
    page.keyboard.press("f")
    page.wait_for_function(filled)
    page.keyboard.press("f")
    page.wait_for_function(f"() => !({filled})()")

    # The address keeps the place.
    page.reload()
    assert played.shown() == 1, "the place is lost when the page is loaded again"

    assert played.said == [], f"on the console: {played.said}"
    outside = [url for url in played.asked if not url.startswith(("file:", "about:"))]
    other = [url for url in played.asked if url.startswith("file:") and url.split("#")[0] != address]
    assert outside + other == [], f"asked for: {outside + other}"
    return played.count


def main():
    if len(sys.argv) != 2:
        sys.exit("give the talk.html to play")
    address = pathlib.Path(sys.argv[1]).resolve().as_uri()
    with sync_playwright() as playwright:
        chromium = browser(playwright)
        try:
            count = play(chromium.new_page(viewport={"width": 1280, "height": 720}), address)
        except AssertionError as wrong:
            print(f"wrong: {wrong}")
            sys.exit(1)
        finally:
            chromium.close()
    print(f"played through: {count} pictures, by every key")


main()
