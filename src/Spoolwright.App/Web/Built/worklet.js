// ../../src/Spoolwright.App/Web/Client/worklet.ts
var FRAMES = 512;
var Tap = class extends AudioWorkletProcessor {
  block = new Float32Array(4 + 2 * FRAMES);
  filled = 0;
  number = 0;
  process(inputs) {
    const channels = inputs[0];
    const left = channels?.[0];
    if (!left) return true;
    const right = channels[1] ?? left;
    for (let i = 0; i < left.length; i++) {
      this.block[4 + this.filled] = left[i];
      this.block[4 + FRAMES + this.filled] = right[i];
      if (++this.filled === FRAMES) this.post();
    }
    return true;
  }
  post() {
    const heading = new Uint32Array(this.block.buffer, 0, 4);
    heading[0] = this.number++;
    heading[1] = FRAMES;
    this.port.postMessage(this.block.buffer, [this.block.buffer]);
    this.block = new Float32Array(4 + 2 * FRAMES);
    this.filled = 0;
  }
};
registerProcessor("tap", Tap);
