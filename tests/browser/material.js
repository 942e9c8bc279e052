"use strict";
// Scores that tests make up, as MusicXML: each measure a list of notes, with what else stands in it.
const { execFileSync } = require("node:child_process");
const { mkdtempSync, writeFileSync, rmSync } = require("node:fs");
const { tmpdir } = require("node:os");
const path = require("node:path");

const divisions = 12;  // of a quarter note
const openStrings = [null, 62, 59, 55, 50, 67];  // open G, and the fifth string's fret 5 sounds open
const steps = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];

function xml(text) {
  return String(text).replace(/[&<>"]/g, (letter) => `&#${letter.charCodeAt(0)};`);
}

function midiOf(string, fret) {
  return openStrings[string] + fret - (string === 5 && fret > 0 ? 5 : 0);
}

// {string, fret, length (in quarters), picking, notations, technical, grace, chord, lyric}
function noteXml(note) {
  if (note.rest) return `<note><rest/><duration>${note.length * divisions}</duration><voice>1</voice></note>`;
  const midi = midiOf(note.string, note.fret);
  const name = steps[midi % 12];
  const pitch = `<pitch><step>${name[0]}</step>${name[1] ? "<alter>1</alter>" : ""}<octave>${Math.floor(midi / 12) - 1}</octave></pitch>`;
  const tie = `${note.tieStop ? '<tie type="stop"/>' : ""}${note.tieStart ? '<tie type="start"/>' : ""}`;
  const tied = `${note.tieStop ? '<tied type="stop"/>' : ""}${note.tieStart ? '<tied type="start"/>' : ""}`;
  const modified = note.tuplet ? "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>" : "";
  return `<note>${note.grace ? "<grace/>" : ""}${note.chord ? "<chord/>" : ""}${pitch}`
    + `${note.grace ? "" : `<duration>${Math.round(note.length * divisions)}</duration>`}${tie}<voice>1</voice>`
    + `${note.grace ? "<type>eighth</type>" : note.tuplet ? "<type>eighth</type>" : ""}${modified}`
    + `<notations>${tied}<technical><string>${note.string}</string><fret>${note.fret}</fret>`
    + `${note.picking ? `<pluck>${note.picking}</pluck>` : ""}${note.technical || ""}</technical>${note.notations || ""}</notations>`
    + `${note.lyric !== undefined ? `<lyric><syllabic>single</syllabic><text>${xml(note.lyric)}</text></lyric>` : ""}</note>`;
}

// {title, tempo, beats, unit, measures: [{number, before, notes, after, chord, implicit}], head, partName}
function scoreXml(score) {
  const { beats = 4, unit = 4, tempo = 120 } = score;
  const measures = score.measures.map((measure, i) => {
    const attributes = i > 0 ? "" : `<attributes><divisions>${divisions}</divisions><key><fifths>1</fifths></key>`
      + `<time><beats>${beats}</beats><beat-type>${unit}</beat-type></time><clef><sign>G</sign><line>2</line></clef>`
      + `${score.capo ? `<staff-details><capo>${score.capo}</capo></staff-details>` : ""}</attributes>`;
    const sound = i > 0 || tempo === null ? "" : `<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>${tempo}</per-minute></metronome></direction-type><sound tempo="${tempo}"/></direction>`;
    const chord = measure.chord ? `<harmony><root><root-step>${measure.chord[0]}</root-step></root><kind>${measure.chord[1] === "7" ? "dominant" : measure.chord[1] === "m" ? "minor" : "major"}</kind></harmony>` : "";
    return `<measure number="${xml(measure.number ?? i + 1)}"${measure.implicit ? ' implicit="yes"' : ""}>`
      + `${measure.print || ""}${attributes}${sound}${measure.before || ""}${chord}${measure.notes.map(noteXml).join("")}${measure.after || ""}</measure>`;
  });
  return `<?xml version="1.0" encoding="UTF-8"?>\n<score-partwise version="4.0"><work><work-title>${xml(score.title ?? "A test")}</work-title></work>${score.head || ""}`
    + `<part-list><score-part id="P1"><part-name>${xml(score.partName ?? "Banjo")}</part-name></score-part></part-list>`
    + `<part id="P1">${measures.join("\n")}</part></score-partwise>\n`;
}

// A measure of eighths in 4/4, a forward roll on open strings from `fret` on the third one.
function roll(more = {}, fret = 0) {
  const strings = [3, 2, 1, 5, 3, 2, 1, 5];
  return {
    ...more,
    notes: strings.map((string, i) => ({ string, fret: i === 0 ? fret : 0, length: 0.5, picking: "pimp"[i % 4] })),
  };
}

const folder = mkdtempSync(path.join(tmpdir(), "fifthpeg-pages-"));
process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
let made = 0;

// Writes files and what `fifthpeg sheet` makes of them; returns the path of the page.
function page(scores, options = []) {
  const inputs = [].concat(scores).map((score) => {
    if (typeof score === "string") return score;
    const input = path.join(folder, `in-${++made}.musicxml`);
    writeFileSync(input, scoreXml(score));
    return input;
  });
  const output = path.join(folder, `out-${++made}.html`);
  execFileSync(process.env.FIFTHPEG, ["sheet", ...inputs, "-o", output, "--quiet", ...options], { stdio: ["ignore", "ignore", "inherit"] });
  return output;
}

const fixtures = path.join(__dirname, "..", "..", "fixtures");

module.exports = { page, roll, scoreXml, midiOf, fixtures, folder };
