"use strict";
// For everybody: rules that a machine can hold (axe-core), what is read aloud and when, less motion, dark and light.
const assert = require("node:assert/strict");
const { describe, test } = require("node:test");
const { open, run, desk, phone, modules } = require("./browser");
const { page, roll } = require("./material");

const axe = modules("axe-core");

const file = page([
  { title: "First piece", measures: [roll({ chord: "G" }), roll({}, 2)], head: "<identification><rights>Free to copy</rights></identification>" },
  { title: "Second piece", measures: [roll()] },
], ["--title", "Week 3", "--note", "Play slowly.", "--fingers", "--chord-grids", "--notation"]);

async function assertNoViolation(window) {
  const violations = await window.evaluate(async () => {
    const { violations: found } = await globalThis.axe.run(document, { resultTypes: ["violations"] });
    return found.map((one) => `${one.id}: ${one.nodes.map((node) => `${node.target} ${node.failureSummary}`).join("; ")}`);
  });
  assert.deepEqual(violations, []);
}

describe("axe-core finds nothing", () => {
  for (const [name, size] of [["desk", desk], ["phone", phone]]) {
    for (const colorScheme of ["light", "dark"]) {
      test(`at the ${name}, ${colorScheme}: at first, in a loop, while it plays, with all controls`, async () => {
        await open(file, async (window) => {
          await window.evaluate(axe.source);
          await assertNoViolation(window);
          await window.evaluate(() => player.setLoop(0, 1, true));
          await window.keyboard.press("Space");
          await run(window, 3);
          assert.equal(await window.locator(".sounds:visible").count() > 0, true);
          await assertNoViolation(window);
          await window.click("#more");
          await assertNoViolation(window);
        }, { ...size, colorScheme });
      });
    }
  }
});

describe("what is read aloud", () => {
  test("every picture has words, and every control a name", async () => {
    await open(file, async (window) => {
      const labels = await window.evaluate(() => [...document.querySelectorAll(".desk svg")].map((one) => one.getAttribute("aria-label")));
      assert.ok(labels.includes("Tab, measures 1 to 2"));
      assert.ok(labels.some((label) => label.includes("Tuning: open G (gDGBD)")));
      assert.ok(labels.some((label) => label.includes("T thumb")));
      for (const [role, name] of [["button", "Play"], ["button", "Next stroke"], ["button", "One stroke back"], ["slider", /Speed/], ["region", "Player"], ["navigation", "Pieces"]]) {
        assert.equal(await window.getByRole(role, { name }).count(), 1, String(name));
      }
    });
  });

  test("nothing while it plays, so that no voice talks over the music", async () => {
    await open(file, async (window) => {
      await window.evaluate(() => {
        globalThis.heardWords = [];
        for (const live of document.querySelectorAll("[aria-live], [role=status], [role=alert], output")) {
          new MutationObserver(() => heardWords.push(live.textContent)).observe(live, { childList: true, characterData: true, subtree: true });
        }
      });
      await window.keyboard.press("Space");
      await run(window, 3);
      await window.waitForTimeout(50);
      assert.deepEqual(await window.evaluate(() => heardWords), ["Playing at 100 percent"]);
    });
  });
});

describe("motion and colors", () => {
  test("the tab jumps rather than glides where less motion is asked for", async () => {
    const long = page({ measures: Array.from({ length: 40 }, () => roll()) });
    for (const [reducedMotion, behavior] of [["reduce", "instant"], ["no-preference", "smooth"]]) {
      await open(long, async (window) => {
        await window.evaluate(() => {
          globalThis.scrolled = [];
          globalThis.scrollBy = (how) => scrolled.push(how.behavior);
          document.getElementById("count-in").click();
        });
        await window.keyboard.press("Space");
        await run(window, 60);
        const scrolled = await window.evaluate(() => globalThis.scrolled);
        assert.ok(scrolled.length > 0 && scrolled.every((one) => one === behavior));
      }, { ...desk, reducedMotion });
    }
  });

  test("dark and light are what was asked for", async () => {
    for (const [colorScheme, dark] of [["light", false], ["dark", true]]) {
      await open(file, async (window) => {
        const [ground, ink] = await window.evaluate(() => {
          const bright = (color) => color.match(/\d+/g).slice(0, 3).map(Number).reduce((a, b) => a + b) / 3;
          return [bright(getComputedStyle(document.body).backgroundColor), bright(getComputedStyle(document.querySelector(".fret text")).fill)];
        });
        assert.equal(ground < ink, dark);
      }, { ...desk, colorScheme });
    }
  });
});
