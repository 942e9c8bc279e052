"use strict";
// Plays a piece: hands what sounds to the audio clock a little ahead of time, and says what is heard now.
//
// Two times: that of the clock, and that of the music, which stands still, runs at any speed and jumps back in
// a loop. Segments say which part of the music the clock plays when; all else follows from them.

const lookAhead = 0.4;        // seconds that are handed over before they are heard
const lookAheadHidden = 2.5;   // of a page that is not seen: browsers wake it once a second
const wakeEvery = 40;          // milliseconds
const leadIn = 0.08;           // from the key to the first note

class Transport {
  constructor(sound) {
    this.sound = sound;
    this.settings = { countIn: true, metronome: false, backing: false, mute: false };
    // A little faster each time: speeds from and to, and by how much.
    this.faster = { on: false, from: 60, to: 100, by: 5 };
    this.speed = 1;
    this.playing = false;
    this.segments = [];
    this.onEnd = () => {};
    this.onPass = () => {};
  }

  // What there is to play. `again`: over and over.
  choose(piece, region, again) {
    this.piece = piece;
    this.region = region;
    this.again = again;
    this.position = region.start;
  }

  async play() {
    if (this.playing || !this.piece || this.region.end <= this.region.start) return;
    this.playing = true;
    await this.sound.start();
    if (!this.playing) return;  // stopped while the sound was starting
    if (this.position >= this.region.end - 1e-3 || this.position < this.region.start) this.position = this.region.start;
    if (this.faster.on) this.setSpeed(this.faster.from / 100);
    this.segments = [];
    this.clock = this.sound.now + leadIn;
    if (this.settings.countIn) this.countIn();
    this.begin(this.position);
    this.pump();
    this.waking = setInterval(() => this.pump(), wakeEvery);
  }

  // Where the music stands stays.
  stop() {
    if (!this.playing) return;
    const { time } = this.heard();
    this.playing = false;
    clearInterval(this.waking);
    this.sound.silence();
    if (time !== null) this.position = time;
    this.segments = [];
  }

  setSpeed(speed) {
    this.speed = speed;
    const last = this.segments[this.segments.length - 1];
    // What has been handed over is played as it was.
    if (this.playing && last && !last.count && last.speed !== speed) this.begin(this.music);
  }

  // Goes on somewhere else without a break.
  jump(position) {
    this.position = position;
    if (!this.playing || this.segments.length === 0) return;
    this.sound.silence();
    this.segments = [];
    this.clock = this.sound.now + leadIn;
    this.begin(position);
    this.pump();
  }

  // What is heard: the time of the music, or null, and what a count-in counts.
  heard(ahead = 0) {
    const clock = this.sound.heard + ahead;
    let now = null;
    for (const segment of this.segments) if (segment.clock <= clock || !now) now = segment;
    if (!now) return { time: null, count: 0 };
    if (now.count) {
      const beat = Math.floor((clock - now.clock) / now.beat);
      return { time: null, count: beat < 0 ? 0 : (beat % now.count) + 1 };
    }
    if (clock < now.clock) return { time: null, count: 0 };
    return { time: Math.min(now.music + (clock - now.clock) * now.speed, now.end ?? this.region.end), count: 0 };
  }

  countIn() {
    const measure = measureAt(this.piece, this.position);
    const atStart = Math.abs(measure.time - this.position) < 1e-3;
    const beat = measure.beat / this.speed;
    const length = atStart ? measure.countIn / this.speed : measure.beats * beat;
    this.segments.push({ clock: this.clock, count: measure.beats, beat });
    const clicks = [];
    for (let i = 0; i * beat < length - 1e-3; ++i) {
      clicks.push({ start: this.clock + i * beat, accent: i % measure.beats === 0 });
    }
    this.sound.add({ clicks });
    this.clock += length;
  }

  // From here on the clock plays the music from there on.
  begin(music) {
    const before = this.segments[this.segments.length - 1];
    if (before && !before.count) before.end = this.music;
    this.segments.push({ clock: this.clock, music, speed: this.speed });
    this.music = music;
    this.finishes = undefined;
    // What nobody asks for any more.
    while (this.segments.length > 2 && this.segments[1].clock < this.sound.now - 2) this.segments.shift();
  }

  pump() {
    if (!this.playing) return;
    const { now } = this.sound;
    if (this.finishes !== undefined) {
      if (now >= this.finishes) this.finish();
      return;
    }
    // A page that was asleep goes on where it is, rather than play all that it missed at once.
    if (this.clock < now) {
      this.clock = now + leadIn;
      this.begin(this.music);
    }
    const until = now + (document.hidden ? lookAheadHidden : lookAhead);
    while (this.clock < until) {
      const to = Math.min(this.region.end, this.music + (until - this.clock) * this.speed);
      this.handOver(this.music, to);
      this.clock += (to - this.music) / this.speed;
      this.music = to;
      if (to < this.region.end - 1e-6) break;
      if (!this.again && !this.faster.on) {
        this.finishes = this.clock + 0.3;
        break;
      }
      this.pass();
    }
  }

  pass() {
    if (this.faster.on) {
      this.speed = Math.min(this.speed + this.faster.by / 100, Math.max(this.faster.to, this.faster.from) / 100);
      this.onPass();
    }
    this.begin(this.region.start);
  }

  handOver(from, to) {
    const { piece, settings, speed } = this;
    const clockOf = (time) => this.clock + (time - from) / speed;
    const strings = rowsBetween(piece.notes, from, to).filter((note) => !(settings.mute && note.melody));
    if (settings.backing) strings.push(...rowsBetween(piece.backing, from, to));
    const clicks = settings.metronome ? rowsBetween(piece.clicks, from, to) : [];
    if (strings.length + clicks.length === 0) return;
    this.sound.add({
      strings: strings.map((note) => soundedAt(note, clockOf(note.time), speed)),
      clicks: clicks.map(({ time, accent }) => ({ start: clockOf(time), accent })),
    });
  }

  finish() {
    this.playing = false;
    clearInterval(this.waking);
    this.segments = [];
    this.position = this.region.start;
    this.onEnd();
  }
}

// A note as the instrument takes it: at a time of the clock, and slower or faster than written.
function soundedAt(note, start, speed) {
  const glides = (note.glides || []).map((glide) => (
    { ...glide, from: start + glide.from / speed, to: start + glide.to / speed }));
  return {
    start, end: start + note.lasts / speed, glides, part: note.part || "banjo", string: note.string, midi: note.midi,
    velocity: note.velocity, begin: note.begin, stop: note.stop, harmonic: note.harmonic, dead: note.dead,
    length: note.length,
  };
}
