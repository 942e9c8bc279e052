"use strict";
// What a page sounds like: its strings rendered in the browser, as the audio thread renders them, from what the page
// hands over. Each note alone has the pitch and the onset that the score says.
const assert = require("node:assert/strict");
const { describe, test } = require("node:test");
const path = require("node:path");
const { open, kept, run, until } = require("./browser");
const { page, roll, fixtures } = require("./material");

const inTune = 5;       // cents
const inTime = 0.005;   // seconds

// In the page: [{expected, cents, late}] of what is handed over while all of it is played.
function hear() {
  const rate = 44100;
  const { notes } = globalThis.run(player.piece.seconds + 1);
  const origin = notes[0].start - 0.1;
  const score = player.piece.notes.map((note) => note.time - player.piece.notes[0].time + 0.1);
  return notes.map((note, i) => {
    const moved = { ...note, start: note.start - origin, end: note.end - origin,
      glides: note.glides.map((glide) => ({ ...glide, from: glide.from - origin, to: glide.to - origin })) };
    const samples = renderSounding({ strings: [moved], seconds: moved.end }, rate);
    const peak = samples.reduce((highest, one) => Math.max(highest, Math.abs(one)), 0);
    const onset = samples.findIndex((one) => Math.abs(one) > peak / 20) / rate;
    // Where it is loud and no glide is on its way: behind the last one, or before the first.
    const last = moved.glides.at(-1);
    const from = (last ? Math.max(moved.start, last.to) : moved.start) + 0.03;
    const cents = last ? last.centsTo : 0;
    const expected = 440 * 2 ** ((note.midi - 69 + cents / 100) / 12);
    const part = samples.subarray(Math.round(from * rate), Math.round((from + 0.2) * rate));
    return { midi: note.midi, begin: note.begin, peak, late: onset - score[i], cents: 1200 * Math.log2(fundamental(part, rate, expected) / expected) };
  });

  // By autocorrelation over as many periods as fit into half of it, near what is expected.
  function fundamental(part, rate, expected) {
    const periods = Math.max(1, Math.floor((part.length / 2) * expected / rate));
    const alike = (lag) => {
      let sum = 0;
      let power = 0;
      for (let i = 0; i + lag < part.length; ++i) {
        sum += part[i] * part[i + lag];
        power += part[i] ** 2 + part[i + lag] ** 2;
      }
      return 2 * sum / power;
    };
    const middle = periods * rate / expected;
    let best = 0;
    let highest = -Infinity;
    const reach = 0.4 * rate / expected;  // of one period, which tells it from its neighbors
    for (let lag = Math.ceil(middle - reach); lag <= middle + reach; ++lag) {
      const value = alike(lag);
      if (value > highest) [best, highest] = [lag, value];
    }
    const [before, at, behind] = [alike(best - 1), highest, alike(best + 1)];
    const between = (before - behind) / (2 * (before - 2 * at + behind));
    return periods * rate / (best + between);
  }
}

const chromatic = {
  tempo: 100,
  measures: [1, 2, 3, 4, 5].map((string) => ({
    notes: [0, 7, 9, 12, 13, 15, 17, 22].map((fret) => ({ string, fret: string === 5 && fret > 0 ? Math.max(fret, 6) : fret, length: 0.5 })),
  })),
};

describe("every note", () => {
  const pieces = {
    "a lick with a slide, hammer-ons and pull-offs": page(path.join(fixtures, "lick-slide.musicxml")),
    "a lick with a choke": page(path.join(fixtures, "lick-choke.musicxml")),
    "the neck, up to its end": page(chromatic),
  };
  for (const [name, file] of Object.entries(pieces)) {
    for (const percent of [100, 50]) {
      test(`of ${name} is in tune and in time, at ${percent} %`, async () => {
        await open(file, async (window) => {
          await window.evaluate((speed) => {
            document.getElementById("count-in").click();
            player.setSpeed(speed);
          }, percent);
          await window.keyboard.press("Space");
          // Onsets are compared with those of the score at full speed.
          const heard = await window.evaluate(`(${hear})()`);
          if (percent !== 100) return heard.forEach((one) => assert.ok(Math.abs(one.cents) <= inTune, JSON.stringify(one)));
          assert.ok(heard.length >= 10);
          for (const one of heard) {
            assert.ok(one.peak > 0.01, JSON.stringify(one));
            assert.ok(Math.abs(one.cents) <= inTune, JSON.stringify(one));
            assert.ok(Math.abs(one.late) <= inTime, JSON.stringify(one));
          }
        });
      });
    }
  }
});

describe("the sound of the browser", () => {
  for (const thread of [true, false]) {
    test(`is there ${thread ? "from the audio thread" : "without one"}, and gone when it is paused`, async () => {
      await open(page({ tempo: 240, measures: [roll(), roll(), roll(), roll()] }), async (window) => {
        if (!thread) await window.evaluate(() => { AudioWorklet.prototype.addModule = () => Promise.reject(new Error("none")); });
        await window.evaluate(async () => {
          document.getElementById("count-in").click();
          const { connect } = AudioNode.prototype;
          AudioNode.prototype.connect = function (to, ...more) {
            if (to === this.context.destination) {
              globalThis.meter ??= new AnalyserNode(this.context, { fftSize: 4096 });
              connect.call(this, globalThis.meter);
            }
            return connect.call(this, to, ...more);
          };
          globalThis.level = () => {
            const samples = new Float32Array(4096);
            globalThis.meter.getFloatTimeDomainData(samples);
            return Math.sqrt(samples.reduce((sum, one) => sum + one * one, 0) / samples.length);
          };
        });
        await window.keyboard.press("Space");
        await until(window, () => globalThis.meter && level() > 0.01);
        assert.equal(await window.evaluate(() => player.sound.strings.constructor.name), thread ? "StringsInThread" : "StringsAhead");
        await window.keyboard.press("Space");
        await until(window, () => level() < 0.001);
        await window.keyboard.press("Space");
        await until(window, () => level() > 0.01);
        assert.ok((await kept(window)).notes.length > 0);
      }, { viewport: { width: 800, height: 600 }, real: true });
    });
  }
});
