"use strict";
// One browser for the tests of a file, and windows that note what must not happen: messages on the console,
// errors, and requests for anything but the page itself.
const assert = require("node:assert/strict");
const { after, before } = require("node:test");
const path = require("node:path");
const { createRequire } = require("node:module");
const { pathToFileURL } = require("node:url");

const modules = createRequire(path.join(process.env.FIFTHPEG_NODE_MODULES, "package.json"));
const { chromium } = modules("playwright-core");

let browser;
before(async () => {
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
    args: ["--no-sandbox", "--autoplay-policy=no-user-gesture-required", "--mute-audio"],
  });
});
after(() => browser.close());

const desk = { viewport: { width: 1280, height: 800 } };
const phone = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 };

// Opens a page, lets `use` work with it, and then holds that nothing happened that must not.
async function open(file, use, { real = false, ...options } = desk) {
  const context = await browser.newContext(options);
  const window = await context.newPage();
  const faults = [];
  window.on("console", (message) => faults.push(`console: ${message.text()}`));
  window.on("pageerror", (error) => faults.push(`error: ${error.stack}`));
  window.on("dialog", (dialog) => { faults.push(`dialog: ${dialog.message()}`); dialog.dismiss(); });
  const url = pathToFileURL(file).href;
  window.on("request", (request) => {
    const asked = request.url().split("#")[0];
    if (asked !== url && !asked.startsWith("blob:") && asked !== "data:,") faults.push(`request: ${request.url()}`);
  });
  // What the policy of the page refuses has not left it.
  window.on("requestfailed", (request) => {
    if (request.failure().errorText !== "csp") return;
    faults.splice(faults.indexOf(`request: ${request.url()}`), 1, `refused by the Content Security Policy: ${request.url()}`);
  });
  try {
    await window.goto(url);
    await window.evaluate(record);
    if (!real) await window.evaluate(pretend);
    const result = await use(window);
    assert.deepEqual(faults, []);
    return result;
  } finally {
    await context.close();
  }
}

// In the page: notes what is handed to the strings, and what is marked when, in seconds of the audio clock. A mark is
// compared with what is heard, which is as much later than the clock as the way to the loudspeaker takes.
function record() {
  const kept = { notes: [], clicks: [], marks: [], silences: 0 };
  globalThis.kept = kept;
  globalThis.keepMark = (heard) => {
    const element = document.querySelector(".tab .sounds");
    const name = element ? element.dataset.stroke : "";
    if (name !== "" && name !== kept.marks.at(-1)?.name) kept.marks.push({ name, heard });
  };
  globalThis.keepSounding = ({ strings = [], clicks = [] }) => {
    kept.notes.push(...strings);
    kept.clicks.push(...clicks);
  };
  const { add } = Sound.prototype;
  Sound.prototype.add = function (sounding) {
    keepSounding(sounding);
    add.call(this, sounding);
  };
  new MutationObserver(() => keepMark(player.sound.heard)).observe(document.querySelector("main"),
    { attributes: true, subtree: true, attributeFilter: ["class"] });
}

// In the page: puts a clock in the place of the audio clock that moves only with run(seconds), in frames of 5 ms, and
// nothing sounds. What a page does by that clock is the same on a busy machine as on an idle one.
function pretend() {
  const sound = {
    now: 100,
    get heard() { return this.now; },
    start: async () => {},
    add: globalThis.keepSounding,
    silence: () => { kept.silences += 1; },
  };
  player.sound = sound;
  player.transport.sound = sound;
  globalThis.run = (seconds) => {
    for (const end = sound.now + seconds; sound.now < end;) {
      sound.now += 0.005;
      player.transport.pump();
      if (player.transport.playing) player.frame();
      keepMark(sound.heard);
    }
    return kept;
  };
}

const kept = (window) => window.evaluate(() => globalThis.kept);
const run = (window, seconds) => window.evaluate((time) => globalThis.run(time), seconds);

// Waits until something holds in the page.
const until = (window, condition, argument) => window.waitForFunction(condition, argument, { timeout: 20000, polling: 20 });

module.exports = { open, kept, run, until, desk, phone, modules };
