/** Gathers what the audio thread hands over in 128 frames into blocks of 512, unchanged, and numbers them. */

const FRAMES = 512;

class Tap extends AudioWorkletProcessor {
  private block = new Float32Array(4 + 2 * FRAMES);
  private filled = 0;
  private number = 0;

  process(inputs: Float32Array[][]): boolean {
    const channels = inputs[0];
    const left = channels?.[0];
    if (!left) return true;
    const right = channels[1] ?? left;
    for (let i = 0; i < left.length; i++) {
      this.block[4 + this.filled] = left[i]!;
      this.block[4 + FRAMES + this.filled] = right[i]!;
      if (++this.filled === FRAMES) this.post();
    }
    return true;
  }

  private post(): void {
    const heading = new Uint32Array(this.block.buffer, 0, 4);
    heading[0] = this.number++;
    heading[1] = FRAMES;
    this.port.postMessage(this.block.buffer, [this.block.buffer]);
    this.block = new Float32Array(4 + 2 * FRAMES);
    this.filled = 0;
  }
}

registerProcessor("tap", Tap);
