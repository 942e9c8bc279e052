"use strict";
// A small picture of the neck, as the tab has it: the first string on top, the nut at the left. It shows which
// strings sound and where they are stopped.

const fretsShown = 5;      // at least
const neckHeight = 92;
const stringGap = 15;
const neckLeft = 40;
const neckWidth = 360;
const inlays = [3, 5, 7, 10, 12, 15, 17, 19];

class Neck {
  constructor(parent) {
    this.svg = this.add(null, "svg", { viewBox: `0 0 ${neckLeft + neckWidth + 8} ${neckHeight}`, "aria-hidden": "true" });
    parent.replaceChildren(this.svg);
  }

  add(parent, name, attributes, text) {
    const element = document.createElementNS(svgNames, name);
    for (const key of Object.keys(attributes)) element.setAttribute(key, attributes[key]);
    if (text !== undefined) element.textContent = text;
    if (parent) parent.append(element);
    return element;
  }

  y(string) {
    return 10 + (string - 1) * stringGap;
  }

  // Of a fret's wire, counted from the capo or nut.
  x(fret) {
    const part = 1 - 2 ** (-fret / 12);
    return neckLeft + (neckWidth * part) / (1 - 2 ** (-this.frets / 12));
  }

  // Where a finger stands between two wires.
  place(fret) {
    return (this.x(fret - 1) + this.x(fret)) / 2;
  }

  draw(piece) {
    this.frets = piece.notes.reduce((highest, note) => Math.max(highest, note.fret), fretsShown) + 1;
    this.svg.replaceChildren();
    const fifth = piece.strings[4];
    const peg = Math.max(0, fifth.nut - piece.capo);
    for (let fret = 0; fret <= this.frets; ++fret) {
      const bottom = this.y(fret < peg ? 4 : 5);
      this.add(this.svg, "line", { class: fret === 0 ? "nut" : "wire", x1: this.x(fret), x2: this.x(fret), y1: this.y(1), y2: bottom });
      const number = fret + piece.capo;
      if (fret > 0 && inlays.includes(number)) {
        this.add(this.svg, "text", { class: "inlay", x: this.place(fret), y: neckHeight - 3 }, String(fret));
      }
    }
    this.strings = piece.strings.map((string, i) => {
      const from = i === 4 ? this.x(Math.min(peg, this.frets - 1)) : neckLeft;
      this.add(this.svg, "text", { class: "name", x: 6, y: this.y(i + 1) + 4 }, string.name);
      return this.add(this.svg, "line", { class: "string", x1: from, x2: neckLeft + neckWidth, y1: this.y(i + 1), y2: this.y(i + 1) });
    });
    this.fingers = this.add(this.svg, "g", {});
  }

  // The notes that sound now.
  show(notes) {
    this.fingers.replaceChildren();
    const sounding = new Set();
    for (const note of notes) {
      if (note.string === 0) continue;
      sounding.add(note.string);
      const cy = this.y(note.string);
      if (note.fret <= 0) {
        const nut = Number(this.strings[note.string - 1].getAttribute("x1"));
        this.add(this.fingers, "circle", { class: "open", r: 5, cx: nut - 9, cy });
        continue;
      }
      const cx = this.place(note.fret);
      this.add(this.fingers, "circle", { class: "finger", r: 8, cx, cy });
      this.add(this.fingers, "text", { class: "digit", x: cx, y: cy + 4 }, note.finger || "");
    }
    this.strings.forEach((line, i) => line.classList.toggle("sounds", sounding.has(i + 1)));
  }
}
