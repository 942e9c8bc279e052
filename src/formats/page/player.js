"use strict";
// The controls of the page: what keys, fingers and pointers do, and what is shown and said of it.

class Player {
  constructor(pieces) {
    this.pieces = pieces;
    this.sound = new Sound(this.at("instrument").textContent);
    this.transport = new Transport(this.sound);
    this.transport.onEnd = () => this.ended();
    this.transport.onPass = () => this.showSpeed();
    this.tabs = [...document.querySelectorAll(".piece")].map((section) => new Tab(section));
    this.neck = new Neck(this.at("neck"));
    this.loop = { on: false, first: 0, last: 0 };
    this.stroke = -1;  // that is marked, as an index into those of the piece
    this.picking = null;
    this.listen();
    this.at("player").hidden = false;
    const { piece, speed, loop } = this.remembered();
    this.choose(piece);
    this.setSpeed(speed);
    if (loop) this.setLoop(loop.first, loop.last, loop.on);
  }

  at(id) {
    return document.getElementById(id);
  }

  get piece() {
    return this.pieces[this.index];
  }

  get tab() {
    return this.tabs[this.index];
  }

  // ---- which piece -------------------------------------------------------------------------------

  choose(index) {
    if (index === this.index || !this.pieces[index]) return;
    this.pause();
    if (this.index !== undefined) {
      this.tab.unmark();
      this.tab.showLoop(this.piece, null);
    }
    this.index = index;
    const { piece } = this;
    this.at("piece").textContent = piece.title;
    this.neck.draw(piece);
    this.at("backing").disabled = piece.backing.length === 0;
    this.at("muted").textContent = piece.roles ? "Mute the melody" : "Mute the banjo";
    for (const [id, chosen] of [["first", 0], ["last", piece.numbers.length - 1]]) {
      const options = piece.numbers.map((number, i) => new Option(number || String(i + 1), i, false, i === chosen));
      this.at(id).replaceChildren(...options);
    }
    this.setLoop(0, Math.max(0, piece.numbers.length - 1), false);
    this.showPlace();
    for (const link of document.querySelectorAll("nav a")) {
      if (link.hash === `#piece-${index + 1}`) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
    }
  }

  chooseAndShow(index) {
    if (!this.pieces[index]) return;
    this.choose(index);
    this.tab.section.scrollIntoView();
    this.say(this.piece.title);
  }

  // ---- playing -----------------------------------------------------------------------------------

  async play() {
    this.at("play").textContent = "Pause";
    const { transport } = this;
    this.say(`Playing at ${Math.round((transport.faster.on ? transport.faster.from : transport.speed * 100))} percent`);
    await transport.play();
    if (!transport.playing) return this.showPaused();
    this.showSpeed();
    this.follow();
  }

  pause() {
    if (!this.transport.playing) return;
    this.transport.stop();
    // What was sounding is heard again.
    if (this.stroke >= 0) this.transport.position = this.strokeTime(this.stroke);
    this.showPaused();
    this.say(this.stroke >= 0 ? `Paused at ${this.placeWords()}` : "Paused");
  }

  toggle() {
    if (this.transport.playing) this.pause(); else this.play();
  }

  showPaused() {
    this.at("play").textContent = "Play";
  }

  ended() {
    this.showPaused();
    this.unmark();
    this.say("The end");
  }

  strokeTime(index) {
    return this.piece.strokes[index].time;
  }

  // One frame after the other, what sounds is marked: in the frame that is nearest to its time.
  follow() {
    if (!this.transport.playing) return;
    this.frame();
    requestAnimationFrame(() => this.follow());
  }

  frame() {
    const halfFrame = 0.008;
    const { time, count } = this.transport.heard(halfFrame);
    if (count > 0 && count !== this.counted) this.at("place").textContent = `Count-in: ${count}`;
    this.counted = count;
    if (time !== null) this.showAt(time);
  }

  showAt(time) {
    const { strokes } = this.piece;
    const next = firstFrom(strokes, time + 1e-4);
    const first = firstFrom(strokes, this.transport.region.start - 1e-4);
    const index = next - 1 >= first ? next - 1 : -1;
    if (index !== this.stroke) {
      if (index < 0) this.unmark(); else this.mark(index);
    }
    if (time >= this.neckUntil) this.showNeck(time);
  }

  mark(index) {
    this.stroke = index;
    const stroke = this.piece.strokes[index];
    this.tab.mark(stroke);
    this.at("place").textContent = this.placeWords();
    this.showNeck(stroke.time);
  }

  unmark() {
    this.stroke = -1;
    this.tab.unmark();
    this.showPlace();
  }

  // What sounds at a time, until the first of it ends.
  showNeck(time) {
    const { notes } = this.piece;
    const longest = 8;
    const sounding = rowsBetween(notes, time - longest, time + 1e-3).filter((note) => note.time + note.lasts > time + 1e-3);
    // Those of a brush that are still to come sound with it.
    const stroke = this.stroke >= 0 ? this.piece.strokes[this.stroke].notes : [];
    const shown = [...new Set([...sounding, ...stroke.filter((note) => note.time + note.lasts > time)])];
    this.neck.show(shown);
    this.neckUntil = Math.min(...shown.map((note) => note.time + note.lasts));
  }

  placeWords() {
    const stroke = this.piece.strokes[this.stroke];
    return `${wordsOfMeasure(this.piece, stroke.measure)}: ${wordsOfStroke(stroke)}`;
  }

  showPlace() {
    const { piece, transport } = this;
    const measure = measureAt(piece, transport.position);
    this.at("place").textContent = measure ? wordsOfMeasure(piece, measure.measure) : "Nothing to play";
    this.neck.show([]);
    this.neckUntil = Infinity;
  }

  // One stroke on or back, within what is looped.
  async step(by) {
    this.pause();
    const { piece, transport } = this;
    const first = firstFrom(piece.strokes, transport.region.start - 1e-4);
    const end = firstFrom(piece.strokes, transport.region.end - 1e-4);
    if (end <= first) return;
    let index = this.stroke + by;
    if (this.stroke < 0) index = firstFrom(piece.strokes, transport.position - 1e-4) - (by < 0 ? 1 : 0);
    if (index >= end) index = first;
    if (index < first) index = end - 1;
    transport.position = this.strokeTime(index);
    this.mark(index);
    this.say(this.placeWords());
    await this.sound.start();
    const when = this.sound.now + 0.03;
    const strings = piece.strokes[index].notes.map((note) => (
      soundedAt(note, when + note.time - this.strokeTime(index), 1)));
    this.sound.add({ strings });
  }

  goTo(time) {
    const { region } = this.transport;
    const inside = time >= region.start && time < region.end ? time : region.start;
    this.transport.jump(inside);
    if (this.transport.playing) return;
    const index = firstFrom(this.piece.strokes, inside - 1e-4);
    if (this.piece.strokes[index]) this.mark(index);
  }

  // ---- speed and loop ----------------------------------------------------------------------------

  setSpeed(percent) {
    this.transport.setSpeed(Math.min(120, Math.max(30, percent)) / 100);
    this.showSpeed();
    this.remember();
  }

  showSpeed() {
    const percent = Math.round(this.transport.speed * 100);
    this.at("speed").value = percent;
    this.at("speed").setAttribute("aria-valuetext", `${percent} percent`);
    this.at("percent").textContent = `${percent} %`;
  }

  setLoop(first, last, on) {
    this.loop = { on, first: Math.min(first, last), last: Math.max(first, last) };
    const { piece, loop, transport } = this;
    const playing = transport.playing;
    const position = transport.position;
    const { time } = playing ? transport.heard() : { time: position };
    const whole = wholeOf(piece);
    transport.choose(piece, on ? regionOf(piece, loop.first, loop.last) : whole, on);
    const { region } = transport;
    const inside = time !== null && time !== undefined && time >= region.start && time < region.end;
    transport.position = inside ? time : region.start;
    if (playing && (!inside || transport.music > region.end - 1e-6)) transport.jump(region.start);
    if (!playing && !inside && this.stroke >= 0) this.unmark();
    this.tab.showLoop(piece, on ? loop.first : null, loop.last);
    this.at("first").value = loop.first;
    this.at("last").value = loop.last;
    this.at("loop").setAttribute("aria-pressed", String(on));
    this.remember();
  }

  toggleLoop() {
    this.setLoop(this.loop.first, this.loop.last, !this.loop.on);
    this.sayLoop();
  }

  sayLoop() {
    const { numbers } = this.piece;
    this.say(this.loop.on ? `Loop from measure ${numbers[this.loop.first]} to ${numbers[this.loop.last]}` : "Loop off");
  }

  // The measure that is marked, or where playing would begin.
  get measure() {
    if (this.stroke >= 0) return this.piece.strokes[this.stroke].measure;
    const measure = measureAt(this.piece, this.transport.position);
    return measure ? measure.measure : 0;
  }

  loopFromHere() {
    this.setLoop(this.measure, Math.max(this.measure, this.loop.last), true);
    this.sayLoop();
  }

  loopToHere() {
    this.setLoop(Math.min(this.measure, this.loop.first), this.measure, true);
    this.sayLoop();
  }

  // The next two measures that are touched.
  pickLoop(on) {
    this.picking = on ? [] : null;
    this.at("pick").setAttribute("aria-pressed", String(on));
    document.body.classList.toggle("picking", on);
    if (!on) return;
    this.showOptions(false);  // they may cover the tab
    this.at("more").focus();
    this.say("Touch the first and the last measure on the tab");
  }

  // Speed and loop are kept with this page in the history of its window, and nowhere else.
  remember() {
    const { index, loop } = this;
    try {
      history.replaceState({ piece: index, speed: Math.round(this.transport.speed * 100), loop }, "");
    } catch {
      // Where a page has no history of its own, as in a preview of mail, it forgets.
    }
  }

  remembered() {
    const { piece = 0, speed = 100, loop = null } = history.state || {};
    const known = this.pieces[piece] ? piece : 0;
    const last = this.pieces[known] ? this.pieces[known].numbers.length - 1 : 0;
    const fits = loop && loop.first >= 0 && loop.last <= last;
    return { piece: known, speed: Number(speed) || 100, loop: fits ? loop : null };
  }

  // ---- keys and fingers --------------------------------------------------------------------------

  listen() {
    const on = (id, event, action) => this.at(id).addEventListener(event, action);
    on("play", "click", () => this.toggle());
    on("back", "click", () => this.step(-1));
    on("next", "click", () => this.step(1));
    on("loop", "click", () => this.toggleLoop());
    on("more", "click", () => this.showOptions(this.at("options").hidden));
    on("speed", "input", () => this.setSpeed(Number(this.at("speed").value)));
    on("first", "change", () => this.loopChosen("first"));
    on("last", "change", () => this.loopChosen("last"));
    on("pick", "click", () => this.pickLoop(!this.picking));
    for (const [id, name] of [["count-in", "countIn"], ["metronome", "metronome"], ["backing", "backing"], ["mute", "mute"]]) {
      on(id, "change", () => { this.transport.settings[name] = this.at(id).checked; });
      this.transport.settings[name] = this.at(id).checked;
    }
    for (const id of ["faster", "faster-from", "faster-to", "faster-by"]) on(id, "change", () => this.readFaster());
    this.readFaster();
    document.addEventListener("keydown", (event) => this.key(event));
    document.querySelector("main").addEventListener("click", (event) => this.touch(event));
    addEventListener("hashchange", () => this.followLink());
    matchMedia("screen").addEventListener("change", () => this.pause());
    addEventListener("resize", () => { if (this.stroke >= 0) this.tab.mark(this.piece.strokes[this.stroke]); });
  }

  followLink() {
    const found = /^#piece-(\d+)$/.exec(location.hash);
    if (found) this.choose(Number(found[1]) - 1);
  }

  showOptions(shown) {
    this.at("options").hidden = !shown;
    this.at("more").setAttribute("aria-expanded", String(shown));
  }

  loopChosen(changed) {
    let first = Number(this.at("first").value);
    let last = Number(this.at("last").value);
    if (first > last) {
      if (changed === "first") last = first; else first = last;
    }
    this.setLoop(first, last, true);
  }

  readFaster() {
    const number = (id, from, to) => {
      const field = this.at(id);
      const value = Math.min(to, Math.max(from, Math.round(field.valueAsNumber) || from));
      field.value = value;
      return value;
    };
    this.transport.faster = {
      on: this.at("faster").checked,
      from: number("faster-from", 30, 120),
      to: number("faster-to", 30, 120),
      by: number("faster-by", 1, 50),
    };
  }

  flip(id) {
    const box = this.at(id);
    if (box.disabled) return;
    box.click();
    const name = box.parentNode.textContent.trim();
    this.say(`${id === "faster" ? "A little faster each time" : name} ${box.checked ? "on" : "off"}`);
  }

  key(event) {
    if (event.ctrlKey || event.altKey || event.metaKey || event.defaultPrevented) return;
    const { target } = event;
    const types = target instanceof HTMLInputElement && target.type !== "checkbox" || target instanceof HTMLSelectElement;
    const presses = target instanceof HTMLButtonElement || target instanceof HTMLInputElement || target instanceof HTMLAnchorElement;
    const action = this.actionOf(event.key, types, presses);
    if (!action) return;
    event.preventDefault();
    action();
  }

  actionOf(key, types, presses) {
    if (key === "Escape" && this.picking) return () => this.pickLoop(false);
    // What moves a slider or chooses from a list, and what presses a button, does that.
    if (types || (presses && (key === " " || key === "Enter"))) return null;
    switch (key) {
      case " ": return () => this.toggle();
      case "ArrowLeft": return () => this.step(-1);
      case "ArrowRight": return () => this.step(1);
      case "Home": return () => this.goTo(this.transport.region.start);
    }
    if (!this.at("keys").checked) return null;
    switch (key.toLowerCase()) {
      case "+": case "=": return () => this.setSpeed(Math.round(this.transport.speed * 100) + 5);
      case "-": return () => this.setSpeed(Math.round(this.transport.speed * 100) - 5);
      case "l": return () => this.toggleLoop();
      case "[": return () => this.loopFromHere();
      case "]": return () => this.loopToHere();
      case "c": return () => this.flip("count-in");
      case "m": return () => this.flip("metronome");
      case "h": return () => this.flip("backing");
      case "u": return () => this.flip("mute");
      case "f": return () => this.flip("faster");
      case "n": return () => this.chooseAndShow(this.index + 1);
      case "p": return () => this.chooseAndShow(this.index - 1);
    }
    return null;
  }

  touch(event) {
    const index = this.tabs.findIndex((tab) => tab.section.contains(event.target));
    if (index < 0) return;
    const touched = this.tabs[index].touched(event);
    if (!touched) return;
    this.choose(index);
    if (this.picking) {
      this.picking.push(touched.measure);
      const [first, last] = this.picking;
      this.setLoop(first, last === undefined ? first : last, true);
      if (last !== undefined) {
        this.pickLoop(false);
        this.sayLoop();
      }
      return;
    }
    const { piece } = this;
    const { region } = this.transport;
    const stroke = piece.strokes.find((one) => one.name === touched.stroke && one.time >= region.start - 1e-4 && one.time < region.end);
    const measure = piece.measures.find((one) => one.measure === touched.measure && one.time >= region.start - 1e-4);
    if (stroke) this.goTo(stroke.time); else if (measure) this.goTo(measure.time);
  }

  // For those who do not see it. Not while it plays: a voice would talk over the music.
  say(text) {
    this.at("said").textContent = text;
  }
}

const player = new Player(readMusic(document.getElementById("music").textContent));
