/** What the bench sends to the deck, through the browser's own output: steady tones made here, programs as the bench made them. */

import type { Sending } from "./link";

export class Output {
  private context: AudioContext | null = null;
  private meter: AnalyserNode | null = null;
  private playing = "";
  private sources: AudioScheduledSourceNode[] = [];

  /** Highest peak of about the last twentieth of a second going out, dBFS; null: nothing is sent. */
  get peakDb(): number | null {
    if (!this.meter) return null;
    const samples = new Float32Array(this.meter.fftSize);
    this.meter.getFloatTimeDomainData(samples);
    const peak = samples.reduce((most, s) => Math.max(most, Math.abs(s)), 0);
    return peak > 0 ? 20 * Math.log10(peak) : -120;
  }

  /** Plays the tones that a picture says are sent; the same again changes nothing. A program waits for {@link program}. */
  follow(sending: Sending | undefined): void {
    const wanted = sending && !sending.program ? JSON.stringify([sending.level, sending.tones]) : "";
    if (this.playing.startsWith("file:") ? wanted === "" : wanted === this.playing) return;
    this.stop();
    if (!sending || sending.program) return;
    this.playing = wanted;
    const context = this.open();
    for (const tone of sending.tones) {
      const voice = context.createOscillator(), gain = context.createGain();
      voice.frequency.value = tone.hz;
      // Rising over twenty milliseconds: a click would be heard on the tape.
      gain.gain.setValueAtTime(0, context.currentTime);
      gain.gain.linearRampToValueAtTime(10 ** ((sending.level + tone.db) / 20), context.currentTime + 0.02);
      voice.connect(gain).connect(this.meter!);
      voice.start();
      this.sources.push(voice);
    }
  }

  /** Plays a signal once from its beginning. */
  async once(name: string, level: number): Promise<void> {
    this.stop();
    this.playing = `file:${name}`;
    const context = this.open();
    const bytes = await (await fetch(`/api/signal/${name}?rate=${context.sampleRate}&level=${level}`)).arrayBuffer();
    const source = context.createBufferSource();
    source.buffer = await context.decodeAudioData(bytes);
    if (this.playing !== `file:${name}`) return;
    source.connect(this.meter!);
    source.onended = () => { if (this.playing === `file:${name}`) this.stop(); };
    source.start();
    this.sources.push(source);
  }

  stop(): void {
    for (const source of this.sources) source.stop();
    this.sources = [];
    this.playing = "";
    void this.context?.close();
    this.context = this.meter = null;
  }

  private open(): AudioContext {
    this.context = new AudioContext({ latencyHint: "interactive" });
    this.meter = this.context.createAnalyser();
    this.meter.fftSize = 2048;
    this.meter.connect(this.context.destination);
    return this.context;
  }
}
