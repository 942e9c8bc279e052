"use strict";
// The sound of the page on the audio clock, whose seconds all times here are. plucked_string.js is the instrument:
// it runs in the audio thread of the browser, and where there is none, here, a little ahead of time.

class Sound {
  constructor(instrument) {
    this.instrument = instrument;  // the text of plucked_string.js
    this.context = null;
    this.strings = null;
  }

  // Resolves when there is sound. A browser allows it only from within what a key or a finger set off.
  async start() {
    if (!this.context) {
      this.context = new AudioContext({ latencyHint: "interactive" });
      this.starting = this.makeStrings();
    }
    const resumed = this.context.resume();
    this.strings = await this.starting;
    await resumed;
  }

  // The audio thread takes its program from an address. One of the sort blob: a page that is a file may not use
  // there, one of the sort data: it may.
  async makeStrings() {
    try {
      await this.context.audioWorklet.addModule(`data:text/javascript,${encodeURIComponent(this.instrument)}`);
      return new StringsInThread(this.context);
    } catch {
      return new StringsAhead(this.context);
    }
  }

  get now() {
    return this.context ? this.context.currentTime : 0;
  }

  // What is heard now: what left the clock so long ago as it takes to the loudspeaker.
  get heard() {
    const latency = this.context ? this.context.outputLatency : 0;
    return this.now - (latency > 0 && latency < 1 ? latency : 0);
  }

  // Strings and clicks, as plucked_string.js says.
  add(sounding) {
    this.strings.add(sounding);
  }

  silence() {
    if (this.strings) this.strings.stop();
  }
}

class StringsInThread {
  constructor(context) {
    this.node = new AudioWorkletNode(context, "fifthpeg-strings", { numberOfInputs: 0, outputChannelCount: [1] });
    this.node.connect(context.destination);
  }

  add(sounding) {
    this.node.port.postMessage({ add: sounding });
  }

  stop() {
    this.node.port.postMessage({ stop: true });
  }
}

// Makes the sound in pieces, each joined to the one before it, for browsers without a thread for that. What is
// added is heard no earlier than behind the piece that was made last.
const pieceSamples = 2048;
const aheadSeconds = 0.3;
const aheadGain = 2.5;  // as the instrument has it in its thread

class StringsAhead {
  constructor(context) {
    this.context = context;
    this.renderer = null;
    this.sources = new Set();
    this.restart();
    setInterval(() => this.make(), 40);
  }

  restart() {
    this.at = Math.ceil((this.context.currentTime + 0.05) * this.context.sampleRate);
    this.renderer = new Renderer(this.context.sampleRate, this.at);
    this.volume = this.context.createGain();
    this.volume.connect(this.context.destination);
  }

  add(sounding) {
    this.renderer.add(sounding);
    this.make();
  }

  // What was made already fades away, and the strings begin anew.
  stop() {
    const { currentTime } = this.context;
    this.volume.gain.setTargetAtTime(0, currentTime, 0.015);
    for (const source of this.sources) source.stop(currentTime + 0.15);
    this.sources.clear();
    this.restart();
  }

  make() {
    const { sampleRate, currentTime } = this.context;
    if (this.at < currentTime * sampleRate) {
      this.at = Math.ceil((currentTime + 0.05) * sampleRate);
      this.renderer.passTo(this.at);
    }
    while (this.at < (currentTime + aheadSeconds) * sampleRate) {
      const buffer = this.context.createBuffer(1, pieceSamples, sampleRate);
      const samples = buffer.getChannelData(0);
      this.renderer.next(samples, pieceSamples, aheadGain);
      for (let i = 0; i < pieceSamples; ++i) samples[i] = soften(samples[i]);
      const source = this.context.createBufferSource();
      source.buffer = buffer;
      source.connect(this.volume);
      source.start(this.at / sampleRate);
      source.onended = () => this.sources.delete(source);
      this.sources.add(source);
      this.at += pieceSamples;
    }
  }
}
