"use strict";
// What a page plays, when, and what it marks meanwhile. Times are counted by hand from the scores.
const assert = require("node:assert/strict");
const { describe, test } = require("node:test");
const { open, kept, run } = require("./browser");
const { page, roll, fixtures } = require("./material");

const eighth = 0.25;  // at 120 quarters a minute
const eighths = (count) => Array.from({ length: count }, (_, i) => i * eighth);
const near = (a, b, what) => assert.ok(Math.abs(a - b) < 1e-3, `${what}: ${a}, not ${b}`);

async function play(window, { percent = 100, countIn = false } = {}) {
  await window.evaluate(([speed, counts]) => {
    if (!counts) document.getElementById("count-in").click();
    player.setSpeed(speed);
  }, [percent, countIn]);
  await window.click("#play");
}

function assertPlayed({ notes, marks }, times, speed) {
  const { start } = notes[0];
  assert.equal(notes.length, times.length);
  assert.equal(marks.length, times.length);
  times.forEach((time, i) => {
    near(notes[i].start - start, time / speed, `note ${i}`);
    const late = marks[i].heard - notes[i].start;
    assert.ok(Math.abs(late) < 0.010, `mark ${i} is ${late} s late`);
  });
}

describe("a page plays", () => {
  for (const percent of [30, 50, 100, 120]) {
    test(`every stroke in time and marks it, at ${percent} % and the same pitch`, async () => {
      await open(page({ measures: [roll(), roll({}, 2)] }), async (window) => {
        await play(window, { percent });
        const result = await run(window, 5 / (percent / 100));
        assertPlayed(result, eighths(16), percent / 100);
        assert.deepEqual(result.notes.map((note) => note.midi).slice(0, 9), [55, 59, 62, 67, 55, 59, 62, 67, 57]);
        assert.deepEqual(result.marks.map((mark) => mark.name).slice(7, 9), ["0.0.7", "0.1.0"]);
        assert.equal(await window.textContent("#play"), "Play");
      });
    });
  }

  test("repeats and endings as they are written", async () => {
    const repeat = {
      measures: [
        roll({ before: '<barline location="left"><repeat direction="forward"/></barline>' }),
        roll({ before: '<barline location="left"><ending number="1" type="start"/></barline>',
          after: '<barline location="right"><ending number="1" type="stop"/><repeat direction="backward"/></barline>' }),
        roll({ before: '<barline location="left"><ending number="2" type="start"/></barline>',
          after: '<barline location="right"><ending number="2" type="stop"/></barline>' }),
      ],
    };
    await open(page(repeat), async (window) => {
      const played = await window.evaluate(() => player.piece.measures.map((one) => [one.measure, one.pass, one.time]));
      assert.deepEqual(played, [[0, 1, 0], [1, 1, 2], [0, 2, 4], [2, 1, 6]]);
      await play(window);
      const result = await run(window, 9);
      assertPlayed(result, eighths(32), 1);
      assert.deepEqual([0, 8, 16, 24].map((i) => result.marks[i].name), ["0.0.0", "0.1.0", "0.0.0", "0.2.0"]);
    });
  });

  test("a pickup, triplets, and a tie once, and counts in before the pickup", async () => {
    const triplet = { string: 1, fret: 2, length: 1 / 3, tuplet: true };
    const score = {
      measures: [
        { number: "0", implicit: true, notes: [{ string: 4, fret: 0, length: 0.5 }, { string: 4, fret: 2, length: 0.5 }] },
        { notes: [triplet, triplet, triplet, { string: 3, fret: 0, length: 1 }, { string: 2, fret: 1, length: 2, tieStart: true }] },
        { notes: [{ string: 2, fret: 1, length: 2, tieStop: true }, { string: 1, fret: 0, length: 2 }] },
      ],
    };
    await open(page(score), async (window) => {
      await play(window, { countIn: true });
      const result = await run(window, 10);
      assertPlayed(result, [0, 0.25, 0.5, 0.5 + 1 / 6, 0.5 + 2 / 6, 1, 1.5, 3.5], 1);
      // A measure of four is counted, and then the three quarters that come before the pickup.
      const { clicks, notes } = result;
      assert.equal(clicks.length, 7);
      clicks.forEach((click, i) => near(notes[0].start - click.start, (7 - i) * 0.5, `click ${i}`));
      assert.deepEqual(clicks.map((click) => click.accent), [true, false, false, false, true, false, false]);
    });
  });

  test("and says what is counted in", async () => {
    await open(page({ measures: [roll()] }), async (window) => {
      await play(window, { countIn: true, percent: 50 });
      const counted = [];
      for (let beat = 0; beat < 4; ++beat) {
        await run(window, 1);
        counted.push(await window.textContent("#place"));
      }
      assert.deepEqual(counted, ["Count-in: 1", "Count-in: 2", "Count-in: 3", "Count-in: 4"]);
      assert.equal((await kept(window)).clicks.length, 4);
      await run(window, 0.2);
      assert.equal(await window.textContent("#place"), "Measure 1: string 3, open, picked by thumb");
    });
  });

  test("a lick without tempo at 120 quarters a minute", async () => {
    await open(page({ tempo: null, measures: [roll()] }), async (window) => {
      await play(window);
      assertPlayed(await run(window, 3), eighths(8), 1);
    });
  });

  test("with a capo, what sounds", async () => {
    await open(page({ measures: [roll()] }, ["--capo", "2"]), async (window) => {
      const { strings, capo } = await window.evaluate(() => player.piece);
      assert.equal(capo, 2);
      assert.deepEqual(strings.map((one) => one.midi), [64, 61, 57, 52, 69]);
    });
  });

  test("notes without a place, which the sheet fingers", async () => {
    await open(page(`${fixtures}/soldiers-joy.mid`), async (window) => {
      assert.ok(await window.evaluate(() => player.piece.notes.every((note) => note.string > 0 && note.fret >= 0)));
    });
  });

  test("slides, hammer-ons, pull-offs, chokes and grace notes as such", async () => {
    await open(page(`${fixtures}/lick-slide.musicxml`), async (window) => {
      const notes = await window.evaluate(() => player.piece.notes);
      assert.deepEqual([...new Set(notes.map((note) => note.begin))].sort(), ["hammer", "pluck", "pull", "slide"]);
      const slide = notes.find((note) => note.slides);
      assert.equal(slide.glides.at(-1).centsTo, 200);
      near(slide.glides.at(-1).to, slide.lasts, "the slide arrives");
      assert.ok(slide.lasts < 0.061);  // a grace note
    });
    await open(page(`${fixtures}/lick-choke.musicxml`), async (window) => {
      const choked = await window.evaluate(() => player.piece.notes.filter((note) => note.glides.length > 0 && !note.slides));
      assert.ok(choked.length > 0 && choked.every((note) => note.glides[0].centsTo > 0));
    });
  });

  test("goes on where it was paused, from the stroke that sounded", async () => {
    await open(page({ measures: [roll(), roll()] }), async (window) => {
      await play(window);
      await run(window, 1.1);
      await window.click("#play");
      assert.equal(await window.textContent("#play"), "Play");
      const before = await kept(window);
      assert.ok(before.silences > 0);
      await run(window, 5);
      assert.equal((await kept(window)).notes.length, before.notes.length);
      await window.click("#play");
      const { notes } = await run(window, 0.2);
      assert.equal(notes[before.notes.length].midi, 55);  // the fifth eighth
    });
  });
});

describe("a loop", () => {
  const four = { measures: [roll(), roll({}, 2), roll({}, 4), roll({}, 5)] };

  test("plays its measures over and over without a gap, until it is ended", async () => {
    await open(page(four), async (window) => {
      await window.evaluate(() => player.setLoop(1, 2, true));
      await play(window, { percent: 120 });
      const { notes, marks } = await run(window, 12);
      assert.ok(notes.length >= 48);
      notes.forEach((note, i) => {
        near(note.start - notes[0].start, (i * eighth) / 1.2, `note ${i}`);
        if (i % 16 === 0) assert.equal(note.midi, 57);
        if (i % 16 === 8) assert.equal(note.midi, 59);
      });
      marks.forEach((mark, i) => assert.equal(mark.name, `0.${1 + Math.floor(i / 8) % 2}.${i % 8}`));
      await window.click("#loop");
      const result = await run(window, 10);
      assert.ok(result.marks.some((mark) => mark.name === "0.3.7"));
      assert.equal(await window.textContent("#play"), "Play");
    });
  });

  test("goes a little faster each time, up to where it was asked to", async () => {
    await open(page({ measures: [roll()] }), async (window) => {
      await window.click("#more");
      await window.fill("#faster-from", "100");
      await window.fill("#faster-to", "120");
      await window.fill("#faster-by", "15");
      await window.check("#faster");
      await play(window);
      const { notes } = await run(window, 8);
      const passes = [0, 8, 16, 24, 32].map((i) => notes[i].start - notes[0].start);
      const lengths = [2, 2 / 1.15, 2 / 1.2, 2 / 1.2];
      lengths.forEach((length, i) => near(passes[i + 1] - passes[i], length, `pass ${i}`));
      assert.equal(await window.textContent("#percent"), "120 %");
    });
  });

  test("a speed that changes while it plays goes on from where it is", async () => {
    await open(page(four), async (window) => {
      await play(window);
      await run(window, 1);
      await window.evaluate(() => player.setSpeed(50));
      const { notes, marks } = await run(window, 5);
      const gaps = notes.slice(1).map((note, i) => note.start - notes[i].start);
      const slow = gaps.findIndex((gap) => gap > eighth + 1e-3);
      assert.ok(slow > 0 && slow < 8);
      gaps.forEach((gap, i) => {
        if (i < slow) near(gap, eighth, `gap ${i}`);
        if (i > slow) near(gap, eighth * 2, `gap ${i}`);
      });
      marks.forEach((mark, i) => assert.ok(Math.abs(mark.heard - notes[i].start) < 0.010));
    });
  });

  test("that is set behind where it plays, or around where it is about to end, begins at once", async () => {
    await open(page(four), async (window) => {
      await play(window);
      await run(window, 1.9);
      await window.evaluate(() => player.setLoop(0, 0, true));
      const before = (await kept(window)).notes.length;
      const { notes } = await run(window, 6);
      const after = notes.slice(before);
      assert.ok(after.length >= 16);
      after.forEach((note, i) => near(note.start - after[0].start, i * eighth, `note ${i}`));
      assert.ok(after.every((note) => [55, 59, 62, 67].includes(note.midi)));
      await window.evaluate(() => player.setLoop(2, 3, true));
      const { marks } = await run(window, 1);
      assert.ok(marks.slice(-3).every((mark) => mark.name.startsWith("0.2.")));
    });
  });

  test("of measures that repeats part plays what comes between them", async () => {
    const repeated = { measures: [roll(), roll({ after: '<barline location="right"><repeat direction="backward"/></barline>' }), roll()] };
    await open(page(repeated), async (window) => {
      const regions = await window.evaluate(() => [[0, 0], [0, 2], [1, 2], [2, 2]].map(([a, b]) => regionOf(player.piece, a, b)));
      assert.deepEqual(regions, [{ start: 0, end: 2 }, { start: 0, end: 10 }, { start: 2, end: 10 }, { start: 8, end: 10 }]);
    });
  });
});

describe("with the banjo", () => {
  test("a metronome on the beats and chords on theirs, while the banjo is mute", async () => {
    await open(page({ measures: [roll({ chord: "G" }), roll({ chord: "D7" })] }), async (window) => {
      await window.click("#more");
      for (const id of ["#metronome", "#backing", "#mute"]) await window.check(id);
      await play(window);
      const { notes, clicks } = await run(window, 5);
      assert.equal(clicks.length, 8);
      clicks.forEach((click, i) => {
        near(click.start - clicks[0].start, i * 0.5, `click ${i}`);
        assert.equal(click.accent, i % 4 === 0);
      });
      assert.ok(notes.every((note) => note.part !== "banjo"));
      // Chords are brushed: their notes come within some hundredths of a second.
      const beats = clicks.map(({ start }) => (
        notes.filter((note) => note.start > start - 0.08 && note.start < start + 0.08).map((note) => note.midi).sort()));
      const [g, d] = [[55, 59, 62], [57, 60, 62, 66]];
      assert.deepEqual(beats, [[43], g, [50], g, [50], d, [45], d]);
    });
  });

  test("in three, the bass on one alone", async () => {
    const three = { length: 1, string: 1, fret: 0 };
    await open(page({ beats: 3, measures: [{ chord: "G", notes: [three, three, three] }] }), async (window) => {
      const parts = await window.evaluate(() => player.piece.backing.map((note) => note.part));
      assert.deepEqual(parts, ["bass", "chords", "chords", "chords", "chords", "chords", "chords"]);
    });
  });

  test("only the melody is muted where notes say what they are for", async () => {
    await open(page({ measures: [roll()] }), async (window) => {
      const muted = await window.evaluate(() => {
        const rows = JSON.parse(document.getElementById("music").textContent).pieces[0];
        const melody = (piece) => piece.notes.filter((note) => note.melody).length;
        const all = melody(readPiece(rows, 0));
        rows.roles = true;
        rows.notes.forEach((row, i) => { row[row.length - 1] = i % 4 === 0 ? 1 : 0; });
        return [all, melody(readPiece(rows, 0))];
      });
      assert.deepEqual(muted, [8, 2]);
    });
  });

  test("a piece without chords offers none", async () => {
    await open(page({ measures: [roll()] }), async (window) => {
      assert.ok(await window.isDisabled("#backing"));
    });
  });
});
