"use strict";
// The controls of a page, by keys, by fingers, and what the page remembers.
const assert = require("node:assert/strict");
const { describe, test } = require("node:test");
const { open, kept, run, phone } = require("./browser");
const { page, roll } = require("./material");

const four = page({ title: "Four measures", measures: [roll({ chord: "G" }), roll({}, 2), roll({}, 4), roll({}, 5)] });
const two = page([{ title: "First piece", measures: [roll()] }, { title: "Second piece", measures: [roll(), roll()] }]);

const marked = (window) => window.evaluate(() => document.querySelector(".tab .sounds")?.dataset.stroke ?? "");
const said = (window) => window.textContent("#said");
const checked = (window, id) => window.isChecked(id);

// Where a measure is in the window.
async function middleOf(window, measure) {
  const box = await window.locator(`.measure[data-measure="${measure}"]:visible`).boundingBox();
  return [box.x + box.width / 2, box.y + box.height / 2];
}

describe("keys", () => {
  test("space plays and pauses, also where nothing has the focus", async () => {
    await open(four, async (window) => {
      await window.keyboard.press("c");
      await window.keyboard.press("Space");
      assert.equal(await window.textContent("#play"), "Pause");
      await run(window, 1);
      await window.keyboard.press("Space");
      assert.equal(await window.textContent("#play"), "Play");
      assert.match(await said(window), /^Paused at Measure 1: string/);
    });
  });

  test("a button that has the focus is pressed once", async () => {
    await open(four, async (window) => {
      await window.focus("#play");
      await window.keyboard.press("Space");
      assert.equal(await window.textContent("#play"), "Pause");
      await window.keyboard.press("Enter");
      assert.equal(await window.textContent("#play"), "Play");
    });
  });

  test("arrows go a stroke on and back, sound it, mark it and say it", async () => {
    await open(four, async (window) => {
      for (const name of ["0.0.0", "0.0.1", "0.0.2"]) {
        await window.keyboard.press("ArrowRight");
        assert.equal(await marked(window), name);
      }
      await window.keyboard.press("ArrowLeft");
      assert.equal(await marked(window), "0.0.1");
      assert.equal(await said(window), "Measure 1: string 2, open, picked by index");
      assert.equal(await window.textContent("#place"), await said(window));
      assert.deepEqual((await kept(window)).notes.map((note) => note.midi), [55, 59, 62, 59]);
      await window.keyboard.press("Home");
      assert.equal(await marked(window), "0.0.0");
      // Round the end.
      await window.keyboard.press("ArrowLeft");
      assert.equal(await marked(window), "0.3.7");
    });
  });

  test("speed, loop and switches", async () => {
    await open(four, async (window) => {
      for (const key of ["-", "-", "+"]) await window.keyboard.press(key);
      assert.equal(await window.textContent("#percent"), "95 %");
      assert.equal(await window.inputValue("#speed"), "95");
      for (let i = 0; i < 30; ++i) await window.keyboard.press("-");
      assert.equal(await window.textContent("#percent"), "30 %");
      for (const [key, id] of [["c", "#count-in"], ["m", "#metronome"], ["h", "#backing"], ["u", "#mute"], ["f", "#faster"]]) {
        const before = await checked(window, id);
        await window.keyboard.press(key);
        assert.equal(await checked(window, id), !before);
        assert.match(await said(window), before ? / off$/ : / on$/);
      }
      for (let i = 0; i < 9; ++i) await window.keyboard.press("ArrowRight");
      await window.keyboard.press("[");
      for (let i = 0; i < 8; ++i) await window.keyboard.press("ArrowRight");
      await window.keyboard.press("]");
      assert.equal(await said(window), "Loop from measure 2 to 3");
      assert.equal(await window.getAttribute("#loop", "aria-pressed"), "true");
      assert.deepEqual(await window.evaluate(() => [...document.querySelectorAll(".desk .looped")].map((one) => one.dataset.measure)), ["0.1", "0.2"]);
      await window.keyboard.press("l");
      assert.equal(await window.getAttribute("#loop", "aria-pressed"), "false");
    });
  });

  test("letters can be switched off, and fields keep their keys", async () => {
    await open(four, async (window) => {
      await window.click("#more");
      await window.focus("#faster-from");
      await window.keyboard.press("ArrowUp");
      await window.keyboard.press("Space");
      assert.equal(await window.textContent("#play"), "Play");
      await window.focus("#speed");
      await window.keyboard.press("ArrowLeft");
      assert.equal(await window.textContent("#percent"), "95 %");
      assert.equal(await marked(window), "");
      await window.uncheck("#keys");
      await window.focus("#more");
      await window.keyboard.press("m");
      assert.equal(await checked(window, "#metronome"), false);
    });
  });

  test("each control can be reached, and shows that it has the focus", async () => {
    await open(four, async (window) => {
      await window.click("#more");
      const wanted = await window.evaluate(() => {
        const all = [...document.querySelectorAll("button, input, select, a[href]")].filter((one) => one.offsetParent !== null);
        document.activeElement.blur();
        return all.map((one) => one.id);
      });
      const reached = new Set();
      for (let i = 0; i < wanted.length + 2; ++i) {
        await window.keyboard.press("Tab");
        const { id, outline } = await window.evaluate(() => {
          const style = getComputedStyle(document.activeElement);
          return { id: document.activeElement.id, outline: style.outlineStyle === "solid" ? parseFloat(style.outlineWidth) : 0 };
        });
        if (id === "") continue;
        reached.add(id);
        assert.ok(outline >= 3, `${id} has an outline of ${outline}`);
      }
      assert.deepEqual([...reached].sort(), wanted.sort());
    });
  });
});

describe("fingers", () => {
  test("a touched stroke is where playing begins", async () => {
    await open(four, async (window) => {
      await window.touchscreen.tap(...await middleOf(window, "0.2"));
      assert.match(await marked(window), /^0\.2\.[345]$/);
      await window.tap("#next");
      assert.match(await marked(window), /^0\.2\.[456]$/);
      await window.tap("#back");
      await window.tap("#play");
      await run(window, 2.5);  // counted in
      assert.equal((await kept(window)).clicks.length, 4);
      assert.match(await marked(window), /^0\.2\./);
    }, phone);
  });

  test("the measures of a loop are picked on the tab", async () => {
    await open(four, async (window) => {
      await window.tap("#more");
      await window.tap("#pick");
      assert.equal(await window.getAttribute("#pick", "aria-pressed"), "true");
      assert.equal(await window.isVisible("#options"), false);  // they would cover the tab
      await window.touchscreen.tap(...await middleOf(window, "0.2"));
      await window.touchscreen.tap(...await middleOf(window, "0.1"));
      assert.equal(await window.getAttribute("#pick", "aria-pressed"), "false");
      assert.equal(await said(window), "Loop from measure 2 to 3");
      assert.deepEqual(await window.evaluate(() => [player.transport.region.start, player.transport.region.end]), [2, 6]);
    }, phone);
  });

  test("the measures of a loop are chosen from lists", async () => {
    await open(four, async (window) => {
      await window.tap("#more");
      await window.selectOption("#first", { label: "3" });
      assert.deepEqual(await window.evaluate(() => player.loop), { on: true, first: 2, last: 3 });
      await window.selectOption("#last", { label: "2" });
      assert.deepEqual(await window.evaluate(() => player.loop), { on: true, first: 1, last: 1 });
    }, phone);
  });

  test("what is touched is as large as a fingertip", async () => {
    await open(two, async (window) => {
      await window.tap("#more");
      const small = await window.evaluate(() => [...document.querySelectorAll("button, select, input, nav a")].map((one) => {
        const box = (one.closest("label") || one.closest("li") || one).getBoundingClientRect();
        return { what: one.id || one.textContent, width: box.width, height: box.height };
      }).filter((one) => one.height < 44 || one.width < 44));
      assert.deepEqual(small, []);
    }, phone);
  });
});

describe("several pieces", () => {
  test("are chosen from the list, by keys and by touching them", async () => {
    await open(two, async (window) => {
      assert.equal(await window.textContent("#piece"), "First piece");
      await window.click("nav a >> nth=1");
      assert.equal(await window.textContent("#piece"), "Second piece");
      assert.equal(await window.getAttribute("nav a >> nth=1", "aria-current"), "true");
      await window.keyboard.press("p");
      assert.equal(await window.textContent("#piece"), "First piece");
      await window.mouse.click(...await middleOf(window, "1.1"));
      assert.equal(await window.textContent("#piece"), "Second piece");
      assert.match(await marked(window), /^1\.1\./);
      assert.equal(await window.textContent(".sounds"), "0");
    });
  });
});

describe("memory", () => {
  test("speed and loop outlive a reload; nothing is stored", async () => {
    await open(four, async (window) => {
      await window.evaluate(() => {
        player.setSpeed(70);
        player.setLoop(1, 2, true);
      });
      await window.reload();
      assert.equal(await window.textContent("#percent"), "70 %");
      assert.deepEqual(await window.evaluate(() => player.loop), { on: true, first: 1, last: 2 });
      assert.equal(await window.evaluate(() => localStorage.length + sessionStorage.length), 0);
      assert.deepEqual(await window.context().cookies(), []);
    });
  });

  test("a memory that makes no sense is not believed", async () => {
    await open(four, async (window) => {
      await window.evaluate(() => history.replaceState({ piece: 7, speed: "fast", loop: { first: -1, last: 99, on: true } }, ""));
      await window.reload();
      assert.equal(await window.textContent("#percent"), "100 %");
      assert.deepEqual(await window.evaluate(() => player.loop), { on: false, first: 0, last: 3 });
    });
  });
});
