"use strict";
// What needs the time of the real clock: marks while it sounds, frames, and how soon a page is there. A machine that is
// busy with something else may be late without the page being slow, never early: what depends on that is tried up to
// three times. With FIFTHPEG_PICTURES, see look.test.js, it prints what it measured.
const assert = require("node:assert/strict");
const { describe, test } = require("node:test");
const path = require("node:path");
const { open, kept, until, desk } = require("./browser");
const { page, roll, fixtures } = require("./material");

const lick = page(path.join(fixtures, "lick-slide.musicxml"));
const inTime = 0.030;  // seconds

async function atBest(attempt) {
  for (let left = 2; ; --left) {
    try {
      return await attempt();
    } catch (error) {
      if (left === 0) throw error;
    }
  }
}

describe("in real time", () => {
  for (const percent of [100, 50]) {
    test(`marks move within 30 ms of the score by the audio clock, at ${percent} %`, async () => {
      const file = page({ tempo: 160, measures: [roll()] });
      const eighth = 60 / 160 / 2 / (percent / 100);
      await atBest(() => open(file, async (window) => {
        await window.evaluate((speed) => {
          document.getElementById("count-in").click();
          player.setSpeed(speed);
        }, percent);
        await window.click("#play");
        await until(window, () => globalThis.kept.marks.length === 8);
        const { notes, marks } = await kept(window);
        marks.forEach((mark, i) => {
          assert.ok(Math.abs(notes[i].start - notes[0].start - i * eighth) < 1e-3, `note ${i}`);
          const late = mark.heard - notes[0].start - i * eighth;
          assert.ok(Math.abs(late) <= inTime, `mark ${i} is ${Math.round(late * 1000)} ms late`);
        });
      }, { ...desk, real: true }));
    });
  }

  test("on a processor a fourth as fast, every note is handed over before it sounds", async () => {
    await atBest(() => open(page({ tempo: 200, measures: [roll(), roll(), roll(), roll()] }), async (window) => {
      const session = await window.context().newCDPSession(window);
      await session.send("Emulation.setCPUThrottlingRate", { rate: 4 });
      await window.evaluate(() => {
        document.getElementById("count-in").click();
        globalThis.early = [];
        const { add } = Sound.prototype;
        Sound.prototype.add = function (sounding) {
          for (const note of sounding.strings) globalThis.early.push(note.start - this.now);
          add.call(this, sounding);
        };
      });
      await window.click("#play");
      await until(window, () => globalThis.kept.notes.length === 32);
      const { notes } = await kept(window);
      notes.forEach((note, i) => assert.ok(Math.abs(note.start - notes[0].start - i * 0.15) < 1e-3, `note ${i}`));
      const least = Math.min(...await window.evaluate(() => globalThis.early));
      assert.ok(least > 0.01, `only ${least} s before it sounds`);
    }, { ...desk, real: true }));
  });

  // What a busy machine cannot spoil: the processor's time that the page's own thread takes.
  async function timeOfThread(window) {
    const session = await window.context().newCDPSession(window);
    await session.send("Performance.enable", { timeDomain: "threadTicks" });
    return async () => {
      const { metrics } = await session.send("Performance.getMetrics");
      return metrics.find((one) => one.name === "TaskDuration").value;
    };
  }

  for (const [name, file] of [["a lick", lick], ["400 measures", page({ measures: Array.from({ length: 400 }, () => roll()) })]]) {
    test(`${name}: its thread keeps up with 60 frames a second while it plays`, async () => {
      await open(file, async (window) => {
        const taken = await timeOfThread(window);
        await window.evaluate(() => document.getElementById("count-in").click());
        await window.click("#play");
        await until(window, () => globalThis.kept.marks.length > 0);
        const before = await taken();
        const { frames, seconds } = await window.evaluate(async () => {
          const start = performance.now();
          let count = 0;
          while (performance.now() - start < 2500) {
            await new Promise(requestAnimationFrame);
            count += 1;
          }
          return { frames: count, seconds: (performance.now() - start) / 1000 };
        });
        const aFrame = (await taken() - before) / frames;
        assert.ok(aFrame < 1 / 60, `a frame takes ${aFrame} s of the processor`);
        if (process.env.FIFTHPEG_PICTURES) console.log(`${name}: ${frames / seconds} frames a second, each ${aFrame * 1000} ms of its thread`);
      }, { ...desk, real: true });
    });
  }

  test("a lick can be played within 200 ms", async () => {
    await open(lick, async (window) => {
      const taken = await timeOfThread(window);
      const before = await taken();
      await window.reload();
      const seconds = await taken() - before;
      assert.ok(seconds > 0 && seconds < 0.2, `${seconds} s`);
      if (process.env.FIFTHPEG_PICTURES) {
        const wall = await window.evaluate(() => performance.getEntriesByType("navigation")[0].domInteractive);
        console.log(`ready after ${wall} ms, ${seconds * 1000} ms of its thread`);
      }
    }, { ...desk, real: true });
  });
});
