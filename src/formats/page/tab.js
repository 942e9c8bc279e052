"use strict";
// The tab on the page: marks the stroke that sounds and the measures of the loop, scrolls, and says what was
// touched. It is drawn at several widths, of which the style shows one.

const svgNames = "http://www.w3.org/2000/svg";

class Tab {
  constructor(section) {
    this.section = section;
    this.here = document.createElementNS(svgNames, "rect");
    this.here.setAttribute("class", "here");
    this.marked = [];
    this.looped = [];
    this.strokes = null;
  }

  // Of the width that is shown now.
  look() {
    if (this.strokes && this.shown.offsetParent !== null) return;
    this.shown = [...this.section.querySelectorAll(".tab")].find((one) => one.offsetParent !== null) || null;
    this.strokes = new Map();
    if (!this.shown) return;
    for (const element of this.shown.querySelectorAll("[data-stroke]")) {
      const name = element.dataset.stroke;
      if (!this.strokes.has(name)) this.strokes.set(name, []);
      this.strokes.get(name).push(element);
    }
  }

  mark(stroke) {
    this.fade();
    this.look();
    const elements = this.strokes.get(stroke.name) || [];
    for (const element of elements) element.classList.add("sounds");
    this.marked = elements;
    const number = elements.find((element) => element.parentNode.classList.contains("fret")) || elements[0];
    if (number) this.showHere(number); else this.here.remove();
  }

  unmark() {
    this.fade();
    this.here.remove();
  }

  fade() {
    for (const element of this.marked) element.classList.remove("sounds");
    this.marked = [];
  }

  // A band behind the stroke, as high as its line.
  showHere(number) {
    const svg = number.ownerSVGElement;
    const box = number.getBBox();
    const width = Math.max(box.width, 2.4) + 1.6;
    this.here.setAttribute("x", box.x + box.width / 2 - width / 2);
    this.here.setAttribute("width", width);
    if (this.here.ownerSVGElement === svg) return;
    const measures = svg.querySelectorAll(".measure");
    const last = measures[measures.length - 1];
    this.here.setAttribute("y", last.getAttribute("y"));
    this.here.setAttribute("height", last.getAttribute("height"));
    last.after(this.here);
    this.scrollTo(svg);
  }

  // The line with the stroke, and the next one, between the top of the window and the controls.
  scrollTo(svg) {
    const { top, bottom } = svg.getBoundingClientRect();
    const free = document.getElementById("player").getBoundingClientRect().top;
    const next = svg.nextElementSibling ? svg.nextElementSibling.getBoundingClientRect().height : 0;
    if (top >= 0 && bottom + Math.min(next, free / 3) <= free) return;
    const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    scrollBy({ top: top - Math.min(24, free / 10), behavior: calm ? "instant" : "smooth" });
  }

  showLoop(piece, first, last) {
    for (const element of this.looped) element.classList.remove("looped");
    this.looped = [];
    if (first === null) return;
    for (const element of this.section.querySelectorAll(".measure")) {
      const measure = Number(element.dataset.measure.split(".")[1]);
      if (measure >= first && measure <= last) this.looped.push(element);
    }
    for (const element of this.looped) element.classList.add("looped");
  }

  // What is at a place of the window: the index of a measure, and the name of a stroke if there is one. A finger
  // is wider than a number: what counts is the nearest stroke of the measure.
  touched(event) {
    const svg = event.target.closest ? event.target.closest("svg") : null;
    if (!svg || !this.section.contains(svg)) return null;
    const inside = (box) => event.clientX >= box.left && event.clientX <= box.right;
    const rectangle = [...svg.querySelectorAll(".measure")].find((one) => inside(one.getBoundingClientRect()));
    if (!rectangle) return null;
    const measure = Number(rectangle.dataset.measure.split(".")[1]);
    let nearest = null;
    let least = Infinity;
    for (const number of svg.querySelectorAll(".fret [data-stroke]")) {
      if (Number(number.dataset.stroke.split(".")[1]) !== measure) continue;
      const box = number.getBoundingClientRect();
      const away = Math.abs((box.left + box.right) / 2 - event.clientX);
      if (away < least) {
        least = away;
        nearest = number.dataset.stroke;
      }
    }
    return { measure, stroke: nearest };
  }
}
