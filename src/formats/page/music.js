"use strict";
// The music of the page as objects, from the rows that the page holds: playing.hpp says what they are.
// All times are seconds at the written tempo.

const begins = ["pluck", "hammer", "pull", "slide"];
const stops = ["open", "lift", "stop"];
const parts = ["banjo", "bass", "chords"];

function readMusic(text) {
  return JSON.parse(text).pieces.map(readPiece);
}

function readPiece(piece, index) {
  const strokes = piece.strokes.map(([time, measure, stroke, pass]) => (
    { time, measure, stroke, pass, name: `${index}.${measure}.${stroke}`, notes: [] }));
  const notes = piece.notes.map(([row, time, lasts, string, fret, midi, velocity, begin, stop, sound, length, bend,
    glides, finger, picking, melody]) => {
    const note = {
      time, lasts, string, fret, midi, velocity, begin: begins[begin], stop: stops[stop],
      harmonic: sound === 1, dead: sound === 2, length,
      glides: glides.map(([from, to, centsFrom, centsTo]) => ({ from, to, centsFrom, centsTo })),
      slides: bend === 1, finger, picking, melody: melody === 1 || !piece.roles,
    };
    strokes[row].notes.push(note);
    return note;
  });
  const measures = piece.measures.map(([measure, pass, time, end, beat, beats, countIn, ...clicks]) => (
    { measure, pass, time, end, beat, beats, countIn, clicks }));
  const clicks = measures.flatMap((one) => {
    // A pickup lacks the beats that its count-in has more.
    const missing = Math.ceil(one.countIn / one.beat - 1e-3) - one.beats;
    return one.clicks.map((time, i) => ({ time, accent: (missing + i) % one.beats === 0 }));
  });
  const backing = piece.backing.map(([time, lasts, part, string, midi, velocity]) => (
    { time, lasts, part: parts[part], string, midi, velocity, begin: "pluck", stop: "lift" }));
  return { ...piece, index, strokes, notes, measures, clicks, backing };
}

// The first of rows in order of time that is not before a time.
function firstFrom(rows, time) {
  let low = 0;
  for (let high = rows.length; low < high;) {
    const middle = (low + high) >> 1;
    if (rows[middle].time < time) low = middle + 1; else high = middle;
  }
  return low;
}

// Rows that begin from one time up to another.
function rowsBetween(rows, from, to) {
  return rows.slice(firstFrom(rows, from), firstFrom(rows, to));
}

// What is played from one measure to another one, as printed: from the first time that the first is played to the
// end of the last when it is played next. All of the piece where that never comes.
function regionOf(piece, first, last) {
  const from = piece.measures.findIndex((one, i) => (
    one.measure === first && piece.measures.slice(i).some((later) => later.measure === last)));
  const to = from < 0 ? undefined : piece.measures.slice(from).find((one) => one.measure === last);
  return to ? { start: piece.measures[from].time, end: to.end } : wholeOf(piece);
}

function wholeOf(piece) {
  const played = piece.measures;
  return played.length > 0 ? { start: played[0].time, end: played[played.length - 1].end } : { start: 0, end: 0 };
}

// The measure that is played at a time.
function measureAt(piece, time) {
  const next = firstFrom(piece.measures, time + 1e-6);
  return piece.measures[Math.max(0, next - 1)];
}
