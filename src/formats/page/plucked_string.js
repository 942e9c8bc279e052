// The sound of the page: plucked strings, the head of a banjo, and a click. The same model as in C++
// (src/formats/audio/string_voice.hpp says how it works and names its sources), with the same figures
// (src/formats/audio/settings.hpp says where they come from); a test holds the two together.
//
// What it gives is as loud as in C++: a note of mezzo forte peaks at about 0.2. A file is then brought to -16 LUFS
// with all of it known; a page, which does not know what comes, plays with a gain and bends what is too loud.
//
// Runs in three places: as the module of an AudioWorklet, where it registers the processor "fifthpeg-strings"; in
// a page without one, which renders notes ahead with renderSounding(); and under Node, for the tests.
//
// What is asked of it is a Sounding of include/fifthpeg/audio.hpp as JSON, all times in seconds:
//   {strings: [{start, end, part, string, midi, velocity, begin, stop, harmonic, dead, length,
//               glides: [{from, to, centsFrom, centsTo}]}],
//    clicks: [{start, accent}], seconds}
// with part "banjo", "bass" or "chords"; begin "pluck", "hammer", "pull" or "slide"; stop "open", "lift" or
// "stop". What is false, empty or the first of these may be left out.
"use strict";

// ---- figures: as in settings.hpp ------------------------------------------------------------------

const STRINGS = {
  banjo: {decaySeconds: 1.7, decaySlope: 0.6, brightSeconds: 0.25, liftSeconds: 0.30, stopSeconds: 0.06,
          deadSeconds: 0.05, pickDistance: 0.135, pulseSeconds: 0.00014, noise: 0.25, level: 1.0},
  bass: {decaySeconds: 1.8, decaySlope: 0.4, brightSeconds: 0.06, liftSeconds: 0.20, stopSeconds: 0.09,
         deadSeconds: 0.08, pickDistance: 0.25, pulseSeconds: 0.0025, noise: 0.05, level: 0.4},
  chords: {decaySeconds: 1.5, decaySlope: 0.4, brightSeconds: 0.12, liftSeconds: 0.18, stopSeconds: 0.08,
           deadSeconds: 0.07, pickDistance: 0.20, pulseSeconds: 0.0007, noise: 0.10, level: 0.28},
};
const PARTS = Object.keys(STRINGS);
const REFERENCE_HZ = 200;
const BRIGHT_HZ = 4000;
const NOISE_SECONDS = 0.004;
const TOUCHES = {
  hammer: {strength: 0.75, width: 2.2, place: 0.42, noise: 0.15},
  pull: {strength: 0.85, width: 1.6, place: 0.30, noise: 0.5},
  slide: {strength: 0.14, width: 3.0, place: 0.40, noise: 0.5},
};
const CHIME_WIDTH = 1.6;
const CHIME_STRENGTH = 0.9;
const DEAD_WIDTH = 2.0;
const DEAD_NOISE = 2.0;
const FADE_SECONDS = 0.006;
const MOVE_SECONDS = 0.004;
const BODY_RESONANCES = [
  {hz: 290, q: 5, gain: 1.3}, {hz: 461, q: 7, gain: 0.9}, {hz: 621, q: 7, gain: 0.7},
  {hz: 1150, q: 2.5, gain: 0.7}, {hz: 2600, q: 1.2, gain: 1.5},
];
const BODY_SPREAD_HZ = [300, 600, 1200, 2400, 4800, 9000];
const BODY_SPREAD_Q = 1;
const BODY_DIRECT = 0.55;
const BODY_LOW_CUT_HZ = 150;
const BODY_LEVEL = 0.5;
const CLICK_HZ = 1300;
const CLICK_ACCENT_HZ = 1950;
const CLICK_Q = 9;
const CLICK_NOISE_SECONDS = 0.002;
const CLICK_LEVEL = 1.2;
const CLICK_ACCENT_LEVEL = 1.9;
const CLICK_SECONDS = 0.12;

const LINE_SIZE = 4096;
const LINE_MASK = LINE_SIZE - 1;
const CONTROL_SAMPLES = 64;
const UNHEARD = 1e-6;
const SHORTEST_DELAY = 3;
const LONGEST_DELAY = LINE_SIZE - 8;
const LONGEST_RINGING_OUT = 2;

const clamp = (value, lowest, highest) => Math.min(Math.max(value, lowest), highest);

// ---- noise ----------------------------------------------------------------------------------------

class Noise {
  constructor(seed) {
    this.state = seed >>> 0;
  }

  next() {
    this.state = (Math.imul(this.state, 1664525) + 1013904223) >>> 0;
    return (this.state >>> 8) / 8388608 - 1;
  }
}

// ---- filters of the second order --------------------------------------------------------------------

class Filter {
  static band(hz, q, rate) {
    const w = 2 * Math.PI * hz / rate;
    const alpha = Math.sin(w) / (2 * q);
    return new Filter(alpha, 0, -alpha, 1 + alpha, -2 * Math.cos(w), 1 - alpha);
  }

  static all(hz, q, rate) {
    const w = 2 * Math.PI * hz / rate;
    const alpha = Math.sin(w) / (2 * q);
    return new Filter(1 - alpha, -2 * Math.cos(w), 1 + alpha, 1 + alpha, -2 * Math.cos(w), 1 - alpha);
  }

  static lowCut(hz, q, rate) {
    const w = 2 * Math.PI * hz / rate;
    const alpha = Math.sin(w) / (2 * q);
    const b = (1 + Math.cos(w)) / 2;
    return new Filter(b, -2 * b, b, 1 + alpha, -2 * Math.cos(w), 1 - alpha);
  }

  constructor(b0, b1, b2, a0, a1, a2) {
    this.b0 = b0 / a0;
    this.b1 = b1 / a0;
    this.b2 = b2 / a0;
    this.a1 = a1 / a0;
    this.a2 = a2 / a0;
    this.s1 = 0;
    this.s2 = 0;
  }

  next(sample) {
    const out = this.b0 * sample + this.s1;
    this.s1 = this.b1 * sample - this.a1 * out + this.s2;
    this.s2 = this.b2 * sample - this.a2 * out;
    return out;
  }

  // What has died away becomes nothing, before it takes processors a hundred times as long.
  settle() {
    if (Math.abs(this.s1) < 1e-15 && Math.abs(this.s2) < 1e-15) this.s1 = this.s2 = 0;
  }
}

// ---- one string -------------------------------------------------------------------------------------

class StringLoop {
  constructor() {
    this.line = new Float64Array(LINE_SIZE);
    this.at = LINE_SIZE;
    this.last = 0;
    this.tune({delay: 100, gain: 0, s: 0});
  }

  tune({delay, gain, s}) {
    this.delay = delay;
    this.gain = gain;
    this.s = s;
    this.delayStep = this.gainStep = this.sStep = 0;
  }

  tuneWithin({delay, gain, s}, samples) {
    this.delayStep = (delay - this.delay) / samples;
    this.gainStep = (gain - this.gain) / samples;
    this.sStep = (s - this.s) / samples;
  }

  stay() {
    this.delayStep = this.gainStep = this.sStep = 0;
  }

  clear() {
    this.line.fill(0);
    this.last = 0;
  }

  next(sample) {
    const line = this.line;
    const whole = Math.floor(this.delay);
    const t = this.delay - whole;
    const first = this.at - whole + 1;
    const a = t + 1;
    const b = t - 1;
    const c = t - 2;
    const read = -t * b * c / 6 * line[first & LINE_MASK] + a * b * c / 2 * line[(first - 1) & LINE_MASK] -
                 a * t * c / 2 * line[(first - 2) & LINE_MASK] + a * t * b / 6 * line[(first - 3) & LINE_MASK];
    const out = this.gain * (read + this.s * (this.last - read)) + sample;
    this.last = read;
    line[this.at & LINE_MASK] = out;
    this.at = (this.at & LINE_MASK) + 1 + LINE_SIZE;
    this.delay += this.delayStep;
    this.gain += this.gainStep;
    this.s += this.sStep;
    return out;
  }
}

function raisedCosine(at, width) {
  return at < width ? 0.5 - 0.5 * Math.cos(2 * Math.PI * at / width) : 0;
}

class StringVoice {
  constructor(settings, rate, seed) {
    this.settings = settings;
    this.rate = rate;
    this.noise = new Noise(seed);
    this.loops = [new StringLoop(), new StringLoop()];
    this.current = 0;
    this.now = 0;
    this.untilControl = 0;
    this.fadeLeft = 0;
    this.quiet = 0;
    this.sounds = false;
    this.combed = new Float64Array(0);
    this.nextOfPulse = 0;
    this.movesFromHz = 440;
    this.moveStart = 0;
    this.hz = 0;
    this.seconds = 0;
    this.note = null;
  }

  begin(note) {
    const onSoundingString = this.sounds && note.begin !== "pluck";
    const stillFading = this.fadeLeft > 0;
    this.note = note;
    this.moveStart = this.now;
    this.movesFromHz = note.hz;
    if (onSoundingString || (this.sounds && stillFading)) {
      this.movesFromHz = this.hz;
    } else {
      if (this.sounds) {
        this.loops[this.current].stay();
        this.fadeLeft = Math.floor(FADE_SECONDS * this.rate);
      }
      this.current = 1 - this.current;
      this.loops[this.current].clear();
      this.hz = this.wantedHz(this.now);
      this.seconds = this.wantedSeconds();
      this.loops[this.current].tune(this.tuned(this.hz, this.seconds));
    }
    this.setMoving(onSoundingString);
    this.sounds = true;
    this.quiet = 0;
    this.untilControl = 0;
  }

  // A hand lies down on the string now, as when the page is paused.
  stop() {
    if (!this.sounds) return;
    this.note = {...this.note, end: this.now, stop: "stop"};
    this.untilControl = 0;
  }

  setMoving(onSoundingString) {
    const {settings, note, rate} = this;
    const touch = {strength: 1, width: 1, place: settings.pickDistance / note.length, noise: 1};
    if (note.begin === "hammer" || note.begin === "pull") Object.assign(touch, TOUCHES[note.begin]);
    if (note.begin === "slide" && onSoundingString) Object.assign(touch, TOUCHES.slide);
    if (note.harmonic) {
      touch.width *= CHIME_WIDTH;
      touch.strength *= CHIME_STRENGTH;
    }
    if (note.dead) {
      touch.width *= DEAD_WIDTH;
      touch.noise *= DEAD_NOISE;
    }
    const place = Math.min(touch.place, 0.5);
    const width = settings.pulseSeconds * touch.width * (2 - note.strength) * rate;
    const noiseLength = NOISE_SECONDS * rate;
    const length = Math.ceil(Math.max(width, noiseLength));
    const back = Math.min(place * rate / note.hz, LONGEST_DELAY);
    const whole = Math.floor(back);
    const rest = back - whole;
    const first = Math.floor(whole / 2);
    const combed = new Float64Array(first + length + whole + 1);
    for (let i = 0; i < length; ++i) {
      const hiss = i < noiseLength ? settings.noise * touch.noise * (1 - i / noiseLength) : 0;
      const pulse = note.strength * touch.strength *
          (raisedCosine(i + 0.5, width) + hiss * this.noise.next() * raisedCosine(i + 0.5, 2 * noiseLength));
      combed[first + i] += pulse;
      combed[first + i + whole] -= (1 - rest) * pulse;
      combed[first + i + whole + 1] -= rest * pulse;
    }
    this.combed = combed;
    this.nextOfPulse = 0;
  }

  wantedHz(at) {
    let cents = 0;
    for (const glide of this.note.glides) {
      if (at < glide.from) break;
      const share = at >= glide.to ? 1 : (at - glide.from) / (glide.to - glide.from);
      cents = glide.centsFrom + (glide.centsTo - glide.centsFrom) * share;
    }
    const wanted = this.note.hz * Math.pow(2, cents / 1200);
    const share = (at - this.moveStart) / (MOVE_SECONDS * this.rate);
    return share >= 1 ? wanted : this.movesFromHz * Math.pow(wanted / this.movesFromHz, share);
  }

  wantedSeconds() {
    const {settings, note} = this;
    const open = settings.decaySeconds * Math.pow(note.hz / REFERENCE_HZ, -settings.decaySlope);
    const seconds = note.dead ? settings.deadSeconds : open;
    if (this.now < note.end || note.stop === "open") return seconds;
    return Math.min(seconds, note.stop === "lift" ? settings.liftSeconds : settings.stopSeconds);
  }

  tuned(hz, seconds) {
    const w = 2 * Math.PI * hz / this.rate;
    const brightW = 2 * Math.PI * Math.max(BRIGHT_HZ, 2 * hz) / this.rate;
    const bright = Math.min(this.settings.brightSeconds, 0.9 * seconds);
    const ofFundamental = Math.pow(10, -3 / (hz * seconds));
    const ofBright = Math.pow(10, -3 / (hz * bright));
    const ratio = ofBright * ofBright / (ofFundamental * ofFundamental);
    const p = clamp((1 - ratio) / ((1 - Math.cos(brightW)) - ratio * (1 - Math.cos(w))), 0, 0.5);
    const s = (1 - Math.sqrt(1 - 2 * p)) / 2;
    const gain = ofFundamental / Math.sqrt(1 - p * (1 - Math.cos(w)));
    const taken = Math.atan2(s * Math.sin(w), 1 - s + s * Math.cos(w)) / w;
    return {delay: clamp(this.rate / hz - taken, SHORTEST_DELAY, LONGEST_DELAY), gain, s};
  }

  control() {
    this.untilControl = CONTROL_SAMPLES;
    if (this.quiet > this.rate / this.hz + CONTROL_SAMPLES && this.nextOfPulse >= this.combed.length &&
        this.fadeLeft === 0) {
      for (const loop of this.loops) loop.clear();
      this.sounds = false;
      return;
    }
    const hz = this.wantedHz(this.now + CONTROL_SAMPLES);
    const seconds = this.wantedSeconds();
    const loop = this.loops[this.current];
    if (hz === this.hz && seconds === this.seconds) {
      loop.stay();
      return;
    }
    this.hz = hz;
    this.seconds = seconds;
    loop.tuneWithin(this.tuned(hz, seconds), CONTROL_SAMPLES);
  }

  addTo(out, from, to) {
    let i = from;
    while (i < to && this.sounds) {
      if (this.untilControl === 0) {
        this.control();
        continue;
      }
      const until = Math.min(to, i + this.untilControl);
      const passed = until - i;
      const loop = this.loops[this.current];
      const fading = this.loops[1 - this.current];
      const fadeLength = FADE_SECONDS * this.rate;
      const level = this.settings.level;
      let highest = 0;
      for (; i < until; ++i) {
        let sample = loop.next(this.nextOfPulse < this.combed.length ? this.combed[this.nextOfPulse++] : 0);
        highest = Math.max(highest, Math.abs(sample));
        if (this.fadeLeft > 0) {
          sample += fading.next(0) * this.fadeLeft / fadeLength;
          --this.fadeLeft;
        }
        out[i] += level * sample;
      }
      this.quiet = highest < UNHEARD ? this.quiet + passed : 0;
      this.now += passed;
      this.untilControl -= passed;
    }
    this.now += to - i;
  }
}

// ---- head and bridge ----------------------------------------------------------------------------------

class Body {
  constructor(rate) {
    this.modes = BODY_RESONANCES.map(({hz, q, gain}) => ({filter: Filter.band(hz, q, rate), gain}));
    this.spread = BODY_SPREAD_HZ.map((hz) => Filter.all(hz, BODY_SPREAD_Q, rate));
    this.lowCut = Filter.lowCut(BODY_LOW_CUT_HZ, 0.7, rate);
  }

  sound(samples, count) {
    for (let i = 0; i < count; ++i) {
      let sample = samples[i];
      for (const filter of this.spread) sample = filter.next(sample);
      let heard = BODY_DIRECT * sample;
      for (const mode of this.modes) heard += mode.gain * mode.filter.next(sample);
      samples[i] = BODY_LEVEL * this.lowCut.next(heard);
    }
    for (const filter of this.spread) filter.settle();
    for (const mode of this.modes) mode.filter.settle();
    this.lowCut.settle();
  }
}

// ---- click --------------------------------------------------------------------------------------------

class ClickVoice {
  constructor(rate) {
    this.rate = rate;
    this.left = 0;
  }

  begin(accent) {
    this.filter = Filter.band(accent ? CLICK_ACCENT_HZ : CLICK_HZ, CLICK_Q, this.rate);
    this.level = accent ? CLICK_ACCENT_LEVEL : CLICK_LEVEL;
    this.noise = new Noise(1);
    this.passed = 0;
    this.left = Math.floor(CLICK_SECONDS * this.rate);
  }

  addTo(out, from, to) {
    const burst = CLICK_NOISE_SECONDS * this.rate;
    for (let i = from; i < to && this.left > 0; ++i) {
      const sample = this.passed < burst ? (1 - this.passed / burst) * this.noise.next() : 0;
      out[i] += this.level * this.filter.next(sample);
      ++this.passed;
      --this.left;
    }
  }
}

// ---- all of it ------------------------------------------------------------------------------------------

// Plays notes and clicks at their times. Those that are added later than they begin, begin at once.
class Renderer {
  constructor(rate, start = 0) {
    this.rate = rate;
    this.now = start;  // in samples
    this.voices = new Map();
    this.body = new Body(rate);
    this.click = new ClickVoice(rate);
    this.strings = [];
    this.clicks = [];
    this.banjo = new Float64Array(0);
    this.others = new Float64Array(0);
  }

  sampleAt(seconds) {
    return Math.floor(seconds * this.rate + 0.5);
  }

  add({strings = [], clicks = []}) {
    const inOrder = (a, b) => a.start - b.start;
    this.strings = this.strings.concat(strings).sort(inOrder);
    this.clicks = this.clicks.concat(clicks).sort(inOrder);
  }

  // Where the audio context left something out.
  passTo(sample) {
    const passed = sample - this.now;
    if (passed === 0) return;
    for (const {voice} of this.voices.values()) voice.now += passed;
    this.now = sample;
  }

  // Takes back what has not begun, and stops what sounds.
  stop() {
    this.strings = [];
    this.clicks = [];
    for (const {voice} of this.voices.values()) voice.stop();
  }

  begin(sounded) {
    const {part = "banjo", string = 1} = sounded;
    const key = part + string;
    if (!this.voices.has(key)) {
      const voice = new StringVoice(STRINGS[part], this.rate, 100 * PARTS.indexOf(part) + string);
      voice.now = this.now;
      this.voices.set(key, {voice, part});
    }
    this.voices.get(key).voice.begin({
      end: this.sampleAt(sounded.end),
      hz: 440 * Math.pow(2, (sounded.midi - 69) / 12),
      strength: (sounded.velocity / 127) ** 2,
      length: sounded.length || 1,
      begin: sounded.begin || "pluck",
      stop: sounded.stop || "open",
      harmonic: Boolean(sounded.harmonic),
      dead: Boolean(sounded.dead),
      glides: (sounded.glides || []).map((glide) => ({
        from: this.sampleAt(glide.from), to: this.sampleAt(glide.to),
        centsFrom: glide.centsFrom, centsTo: glide.centsTo,
      })),
    });
  }

  // The next `count` samples into `out`, with `gain`.
  next(out, count = out.length, gain = 1) {
    if (this.banjo.length < count) {
      this.banjo = new Float64Array(count);
      this.others = new Float64Array(count);
    }
    this.banjo.fill(0);
    this.others.fill(0);
    const start = this.now;
    const end = start + count;
    while (this.now < end) {
      while (this.strings.length > 0 && this.sampleAt(this.strings[0].start) <= this.now)
        this.begin(this.strings.shift());
      while (this.clicks.length > 0 && this.sampleAt(this.clicks[0].start) <= this.now)
        this.click.begin(Boolean(this.clicks.shift().accent));
      let until = end;
      if (this.strings.length > 0) until = Math.min(until, this.sampleAt(this.strings[0].start));
      if (this.clicks.length > 0) until = Math.min(until, this.sampleAt(this.clicks[0].start));
      const from = this.now - start;
      const to = until - start;
      for (const {voice, part} of this.voices.values())
        voice.addTo(part === "banjo" ? this.banjo : this.others, from, to);
      this.click.addTo(this.others, from, to);
      this.now = until;
    }
    this.body.sound(this.banjo, count);
    for (let i = 0; i < count; ++i) out[i] = gain * (this.banjo[i] + this.others[i]);
  }
}

// All samples of a Sounding, with what rings out: for a page without worklets, and for tests.
function renderSounding(sounding, rate, Samples = Float32Array) {
  const renderer = new Renderer(rate);
  renderer.add(sounding);
  const samples = new Samples(renderer.sampleAt(sounding.seconds + LONGEST_RINGING_OUT));
  const piece = new Samples(4096);
  for (let at = 0; at < samples.length; at += piece.length) {
    const count = Math.min(piece.length, samples.length - at);
    renderer.next(piece, count);
    samples.set(count < piece.length ? piece.subarray(0, count) : piece, at);
  }
  return samples;
}

// Straight up to three quarters of full scale, then bent, so that loud brushes stay below it.
function soften(sample) {
  const knee = 0.75;
  const size = Math.abs(sample);
  if (size <= knee) return sample;
  return Math.sign(sample) * (knee + (1 - knee) * Math.tanh((size - knee) / (1 - knee)));
}

// ---- in the worklet ---------------------------------------------------------------------------------------

// Messages to it: {add: Sounding} with times on the clock of the audio context, {stop: true}, {gain: number}.
if (typeof registerProcessor === "function") {
  registerProcessor("fifthpeg-strings", class extends AudioWorkletProcessor {
    constructor() {
      super();
      this.renderer = new Renderer(sampleRate, currentFrame);
      this.gain = 1.8;
      this.port.onmessage = ({data}) => {
        if (data.stop) this.renderer.stop();
        if (data.add) this.renderer.add(data.add);
        if (typeof data.gain === "number") this.gain = data.gain;
      };
    }

    process(inputs, outputs) {
      const [first, ...others] = outputs[0];
      this.renderer.passTo(currentFrame);
      this.renderer.next(first, first.length, this.gain);
      for (let i = 0; i < first.length; ++i) first[i] = soften(first[i]);
      for (const channel of others) channel.set(first);
      return true;
    }
  });
}

if (typeof module !== "undefined") module.exports = {Renderer, renderSounding, soften};
