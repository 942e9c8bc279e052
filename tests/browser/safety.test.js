"use strict";
// Nothing that stands in a score or on the command line becomes part of the page's program, whatever it holds.
const assert = require("node:assert/strict");
const { execFileSync } = require("node:child_process");
const { readFileSync, writeFileSync } = require("node:fs");
const path = require("node:path");
const { describe, test } = require("node:test");
const { open, run } = require("./browser");
const { page, roll, fixtures, folder } = require("./material");

const attacks = [
  '</script><script>hacked = 1</script>',
  '<!--<script>',
  ']]></title></style></svg><img src=x onerror="hacked = 1">',
  '"><svg onload="hacked = 1">',
  "' onmouseover='hacked = 1",
  "`${hacked = 1}`{{hacked = 1}}<%= hacked %>",
  "\\\"; hacked = 1; //\\u003c",
  "line\u2028separator\u2029and\u0085",
  '<a href="javascript:hacked = 1">&lt;&amp;&#x3c;</a>',
  '<iframe srcdoc="<script>parent.hacked = 1</script>">',
  '\u202eright to left\u202c',
];

// A score that has the text wherever MusicXML has one.
function hostile(text) {
  const escaped = text.replace(/[&<>"]/g, (letter) => `&#${letter.charCodeAt(0)};`);
  const words = `<direction><direction-type><words>${escaped}</words></direction-type></direction>`
    + `<direction><direction-type><rehearsal>${escaped}</rehearsal></direction-type></direction>`
    + `<direction><direction-type><words>${escaped}</words></direction-type><sound tempo="90"/></direction>`;
  const measure = roll({ before: words, number: text });
  measure.notes[0].lyric = text;
  measure.after = `<harmony><root><root-step>G</root-step></root><kind text="${escaped}">dominant</kind></harmony>`;
  const head = `<identification><creator type="composer">${escaped}</creator><creator type="arranger">${escaped}</creator>`
    + `<creator type="lyricist">${escaped}</creator><rights>${escaped}</rights><source>${escaped}</source></identification>`;
  return { title: text, partName: text, head, measures: [measure, roll({ number: `${text} 2` })] };
}

const count = (text, part) => text.split(part).length - 1;

describe("texts", () => {
  const plain = readFileSync(page({ title: "Plain", measures: [roll(), roll()] }), "utf8");

  for (const [i, attack] of attacks.entries()) {
    test(`stay texts: ${JSON.stringify(attack)}`, async () => {
      const file = page(hostile(attack), ["--title", attack, "--note", `note ${attack}`]);
      const html = readFileSync(file, "utf8");
      for (const part of ["<script", "</script", "<!--", "<style", "<img", "<iframe", "<a "]) {
        assert.equal(count(html, part), count(plain, part), part);
      }
      await open(file, async (window) => {
        const title = await window.title();
        assert.ok(title.length > 0);
        if (i === 0) assert.equal(title, attack);
        await window.keyboard.press("ArrowRight");
        await window.click("#play");
        await run(window, 5);
        const found = await window.evaluate(() => ({
          hacked: typeof globalThis.hacked,
          odd: document.querySelectorAll("img, iframe, object, embed, form, base, meta[http-equiv=refresh]").length,
          handlers: [...document.querySelectorAll("*")].flatMap((one) => one.getAttributeNames()).filter((name) => name.startsWith("on")),
        }));
        assert.deepEqual(found, { hacked: "undefined", odd: 0, handlers: [] });
      });
    });
  }
});

describe("the policy of the page", () => {
  test("refuses what somebody put into it", async () => {
    const file = page({ measures: [roll()] });
    const html = readFileSync(file, "utf8");
    const other = path.join(folder, "tampered.html");
    writeFileSync(other, html.replace("<main>", '<main><script>hacked = 1</script><script src="data:text/javascript,hacked=1"></script>'
      + '<p onclick="hacked = 1" id="bait">x</p><style>body { color: red }</style><div hidden><img src="https://example.invalid/x.png"></div>'));
    await assert.rejects(open(other, async (window) => {
      await window.click("#bait");
      assert.equal(await window.evaluate(() => typeof globalThis.hacked), "undefined");
      assert.notEqual(await window.evaluate(() => getComputedStyle(document.body).color), "rgb(255, 0, 0)");
      assert.equal(await window.evaluate(() => fetch("https://example.invalid/").then(() => "sent", () => "refused")), "refused");
    }), (error) => {
      // The browser's own messages, and nothing else.
      assert.equal(error.code, "ERR_ASSERTION");
      assert.ok(error.actual.every((fault) => /Content Security Policy/.test(fault)), JSON.stringify(error.actual));
      assert.ok(error.actual.length >= 5);
      return true;
    });
  });

  test("fits on a page of any paper, and without program the tab is there", async () => {
    const file = page({ measures: [roll()] }, ["--paper", "letter", "--landscape"]);
    assert.match(readFileSync(file, "utf8"), /<body class="letter-landscape">/);
    await open(file, async (window) => assert.equal(await window.locator(".desk svg:visible").count() > 0, true));
  });
});

describe("the file", () => {
  test("of a lick is smaller than 150 kB", () => {
    for (const lick of ["lick-slide.musicxml", "lick-choke.musicxml"]) {
      const size = readFileSync(page(path.join(fixtures, lick), ["--fingers", "--chord-grids", "--chords", "infer"])).length;
      assert.ok(size < 150_000, `${lick} takes ${size} bytes`);
    }
  });

  test("is the same each time", () => {
    const make = () => readFileSync(page(path.join(fixtures, "lick-slide.musicxml")));
    assert.deepEqual(make(), make());
  });

  test("names no address of the network but those of its languages", () => {
    const html = readFileSync(page(path.join(fixtures, "lick-slide.musicxml")), "utf8");
    const addresses = html.match(/https?:\/\/[^"'\s<)]+/g) || [];
    assert.deepEqual([...new Set(addresses)], ["http://www.w3.org/2000/svg"]);
  });

  test("its scripts neither end early nor look like a comment of the page", () => {
    const sources = path.join(__dirname, "..", "..", "src", "formats", "page");
    const texts = execFileSync("cat", ["plucked_string.js", "music.js", "sound.js", "transport.js", "words.js", "tab.js", "neck.js", "player.js"], { cwd: sources, encoding: "utf8" });
    assert.equal(/<\/?script|<!--|-->/i.test(texts), false);
  });
});
