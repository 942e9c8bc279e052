"use strict";
// picture.js PAGE.html OUT.png WIDTH HEIGHT: what a page shows in a window of that size, at its fourteenth stroke.
const path = require("node:path");
const { createRequire } = require("node:module");
const { pathToFileURL } = require("node:url");

const modules = createRequire(path.join(process.env.FIFTHPEG_NODE_MODULES, "package.json"));
const [file, out, width, height] = process.argv.slice(2);

(async () => {
  const browser = await modules("playwright-core").chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--no-sandbox"] });
  const window = await browser.newPage({ viewport: { width: Number(width), height: Number(height) } });
  await window.goto(pathToFileURL(path.resolve(file)).href);
  await window.evaluate(() => {
    player.setSpeed(70);
    player.setLoop(1, 2, true);
    player.mark(13);
  });
  await window.screenshot({ path: out });
  await browser.close();
})();
