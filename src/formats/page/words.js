"use strict";
// What stands on the tab, in words.

const fretFingers = { 1: "index finger", 2: "middle finger", 3: "ring finger", 4: "little finger", T: "thumb over the neck" };
const pickingFingers = { T: "thumb", I: "index", M: "middle", R: "ring finger", L: "little finger", N: "nail" };
const beginnings = { hammer: "hammered on", pull: "pulled off", slide: "slid to" };

function wordsOfNote(note) {
  const words = [note.string > 0 ? `string ${note.string}` : "no string"];
  if (note.fret === 0) words.push("open");
  if (note.fret > 0) words.push(`fret ${note.fret}`);
  if (note.fret > 0 && fretFingers[note.finger]) words.push(fretFingers[note.finger]);
  if (note.harmonic) words.push("harmonic");
  if (note.dead) words.push("muffled");
  if (note.glides.length > 0) words.push(note.slides ? "slide" : "choke");
  words.push(beginnings[note.begin] || (pickingFingers[note.picking] ? `picked by ${pickingFingers[note.picking]}` : ""));
  return words.filter(Boolean).join(", ");
}

function wordsOfStroke(stroke) {
  return stroke.notes.map(wordsOfNote).join("; ");
}

function wordsOfMeasure(piece, measure) {
  return `Measure ${piece.numbers[measure] || measure + 1}`;
}
