"use strict";
// Phone, desk and paper. With FIFTHPEG_PICTURES, a folder, it leaves pictures there to look at.
const assert = require("node:assert/strict");
const { execFileSync } = require("node:child_process");
const { writeFileSync } = require("node:fs");
const path = require("node:path");
const { describe, test } = require("node:test");
const { open, run, desk, phone } = require("./browser");
const { page, roll, fixtures, folder } = require("./material");

const lick = page(path.join(fixtures, "lick-slide.musicxml"));
const long = page({ title: "Long", measures: Array.from({ length: 40 }, () => roll()) });

async function picture(window, name) {
  const pictures = process.env.FIFTHPEG_PICTURES;
  if (pictures) await window.screenshot({ path: path.join(pictures, `${name}.png`) });
}

const shown = (window, layout) => window.locator(`.tab.${layout}:visible`).count();

describe("the page", () => {
  for (const [name, size, other] of [["phone", phone, "desk"], ["desk", desk, "phone"]]) {
    for (const colorScheme of ["light", "dark"]) {
      test(`is as wide as a ${name}, ${colorScheme}`, async () => {
        await open(lick, async (window) => {
          assert.equal(await shown(window, name), 1);
          assert.equal(await shown(window, other), 0);
          const { inside, content } = await window.evaluate(() => ({ inside: innerWidth, content: document.documentElement.scrollWidth }));
          assert.ok(content <= inside, `${content} wide in ${inside}`);
          // Fret numbers are at least as high as the small print of a newspaper: 10 pixels of a font.
          const high = await window.evaluate(() => {
            const text = [...document.querySelectorAll(".fret text")].find((one) => one.getBoundingClientRect().width > 0);
            const svg = text.ownerSVGElement;
            return parseFloat(text.getAttribute("font-size")) * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
          });
          assert.ok(high >= 10, `${high} pixels`);
          await window.keyboard.press("c");
          await window.keyboard.press("Space");
          await run(window, 2.45);
          await picture(window, `${name}-${colorScheme}`);
          await window.click("#more");
          await picture(window, `${name}-${colorScheme}-more`);
        }, { ...size, colorScheme });
      });
    }
  }

  test("marks on in the other layout when the window changes", async () => {
    await open(lick, async (window) => {
      await window.keyboard.press("ArrowRight");
      assert.equal(await window.locator(".desk .sounds").count() > 0, true);
      await window.setViewportSize({ width: 400, height: 800 });
      await window.waitForFunction(() => document.querySelector(".phone .sounds") !== null);
      assert.equal(await window.locator(".desk .sounds").count(), 0);
    });
  });

  test("keeps what sounds in sight", async () => {
    await open(long, async (window) => {
      await window.evaluate(() => document.getElementById("count-in").click());
      await window.keyboard.press("Space");
      for (let i = 0; i < 16; ++i) {
        await run(window, 5);
        const { top, bottom, free } = await window.evaluate(() => {
          const box = document.querySelector(".here").getBoundingClientRect();
          return { top: box.top, bottom: box.bottom, free: document.getElementById("player").getBoundingClientRect().top };
        });
        assert.ok(top >= 0 && bottom <= free, `from ${top} to ${bottom} of ${free}`);
      }
    }, { ...desk, reducedMotion: "reduce" });
  });

  test("shows on the neck what the hand holds, and where the fifth string sounds", async () => {
    await open(page({ measures: [{ notes: [{ string: 2, fret: 1, length: 1 }, { string: 5, fret: 0, length: 1 }, { rest: true, length: 2 }] }] }), async (window) => {
      const neck = () => window.evaluate(() => ({
        fingers: document.querySelectorAll("#neck .finger").length,
        open: document.querySelectorAll("#neck .open").length,
        strings: [...document.querySelectorAll("#neck .string")].map((one) => one.classList.contains("sounds")),
      }));
      await window.keyboard.press("ArrowRight");
      assert.deepEqual(await neck(), { fingers: 1, open: 0, strings: [false, true, false, false, false] });
      await window.keyboard.press("ArrowRight");
      assert.deepEqual(await neck(), { fingers: 0, open: 1, strings: [false, false, false, false, true] });
    });
  });
});

describe("on paper", () => {
  test("there is the sheet alone, in black, as wide as it was asked for", async () => {
    for (const [options, size] of [[[], "594.9[0-9]* x 841.9[0-9]* pts \\(A4\\)|595.* x 84[12]"], [["--paper", "letter", "--landscape"], "792 x 612"]]) {
      await open(page(path.join(fixtures, "lick-slide.musicxml"), options), async (window) => {
        await window.evaluate(() => player.setLoop(1, 2, true));
        await window.keyboard.press("ArrowRight");
        const pdf = path.join(folder, "printed.pdf");
        writeFileSync(pdf, await window.pdf({ preferCSSPageSize: true }));
        const about = execFileSync("pdfinfo", [pdf], { encoding: "utf8" });
        assert.match(about, /Pages: +1\n/);
        assert.match(about, new RegExp(size));
        const text = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" });
        assert.match(text, /Lick 1: slide and pinch/);
        assert.match(text, /T thumb/);
        for (const control of ["Speed", "Loop", "Play", "Measure 1"]) assert.equal(text.includes(control), false, control);
        assert.equal(text.split("Lick 1: slide and pinch").length, 2);  // one layout of two
        await window.emulateMedia({ media: "print" });
        assert.equal(await window.evaluate(() => getComputedStyle(document.querySelector(".desk .sounds")).fill), "rgb(0, 0, 0)");
        if (process.env.FIFTHPEG_PICTURES) {
          execFileSync("pdftoppm", ["-png", "-r", "60", pdf, path.join(process.env.FIFTHPEG_PICTURES, "printed")]);
        }
      }, { ...desk, colorScheme: "dark" });
    }
  });
});
