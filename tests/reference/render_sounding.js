// Renders a Sounding with the model of the page:
//
//   node render_sounding.js RATE SOUNDING.json SAMPLES     64-bit samples
//   node render_sounding.js --worklet RATE SOUNDING.json SAMPLES     the same through the AudioWorkletProcessor,
//                                                           in its pieces of 128 samples
"use strict";
const fs = require("fs");
const path = require("path");

const model = path.join(__dirname, "../../src/formats/page/plucked_string.js");
const words = process.argv.slice(2);
const inWorklet = words[0] === "--worklet";
if (inWorklet) words.shift();
const [rate, from, to] = [Number(words[0]), words[1], words[2]];
const sounding = JSON.parse(fs.readFileSync(from, "utf8"));

// What an AudioWorkletGlobalScope has, and the processor that the file registers there.
function processorOf() {
  let made = null;
  global.sampleRate = rate;
  global.currentFrame = 0;
  global.AudioWorkletProcessor = class {
    constructor() {
      this.port = {};
    }
  };
  global.registerProcessor = (name, Processor) => {
    made = new Processor();
  };
  require(model);
  return made;
}

function throughWorklet() {
  const processor = processorOf();
  processor.port.onmessage({data: {gain: 1}});
  processor.port.onmessage({data: {add: sounding}});
  const samples = new Float64Array(Math.ceil((sounding.seconds + 2) * rate / 128) * 128);
  const piece = new Float32Array(128);
  for (let at = 0; at < samples.length; at += 128) {
    global.currentFrame = at;
    processor.process([], [[piece]]);
    samples.set(piece, at);
  }
  return samples;
}

const samples = inWorklet ? throughWorklet() : require(model).renderSounding(sounding, rate, Float64Array);
fs.writeFileSync(to, Buffer.from(samples.buffer));
