// The page of `latchstroke live` in Firefox, through the npm package puppeteer-core (npm install puppeteer-core):
//   node tests/browser/firefox.mjs /usr/bin/firefox-esr file:///tmp/machine.html [shot.png]
// Says what it shows before and after five presses of a key, and ends with 1 if there is no verdict or a message on the console.
import puppeteer from "puppeteer-core";

const [executablePath, url, shot] = process.argv.slice(2);
const browser = await puppeteer.launch({ browser: "firefox", executablePath, headless: true });
const page = await browser.newPage();
const noise = [];
page.on("console", (message) => noise.push(message.text()));
page.on("pageerror", (error) => noise.push(error.message));
await page.setViewport({ width: 1366, height: 900 });
await page.goto(url);
const shown = () => page.evaluate(() => ({
  kind: document.getElementById("verdict").dataset.kind,
  verdict: document.getElementById("verdict").textContent,
  sure: document.getElementById("sure").textContent,
  pictures: document.querySelectorAll("figure svg").length,
}));
const until = async (holds) => {
  for (let n = 0; n < 300; n += 1) {
    const now = await shown();
    if (holds(now)) return now;
    await new Promise((next) => setTimeout(next, 200));
  }
  return shown();
};
const first = await until((now) => now.sure.includes("128 of 128"));
await page.focus("#slide-pace");
for (let n = 0; n < 5; n += 1) await page.keyboard.press("ArrowRight");
const then = await until((now) => now.sure.includes("128 of 128") && now.verdict !== first.verdict);
console.log(first, then, noise);
if (shot) await page.screenshot({ path: shot });
await browser.close();
const good = first.kind === "set" && then.pictures >= 5 && then.verdict !== first.verdict && noise.length === 0;
process.exitCode = good ? 0 : 1;
