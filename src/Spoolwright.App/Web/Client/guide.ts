/** A tone that rises as the target nears, for when the eyes are on the deck. Silent until asked for. */

export class Guide {
  private context: AudioContext | null = null;
  private voice: OscillatorNode | null = null;
  private loud: GainNode | null = null;

  get isOn(): boolean { return this.voice !== null; }

  toggle(): boolean {
    if (this.voice) {
      this.voice.stop();
      void this.context?.close();
      this.voice = this.loud = this.context = null;
      return false;
    }
    this.context = new AudioContext();
    this.voice = this.context.createOscillator();
    this.loud = this.context.createGain();
    this.loud.gain.value = 0;
    this.voice.connect(this.loud).connect(this.context.destination);
    this.voice.start();
    return true;
  }

  /** How far off the target is, in half widths of its limits: 1 is the limit, 0 the middle; null: nothing to guide by. */
  tell(distance: number | null): void {
    if (!this.voice || !this.loud || !this.context) return;
    const now = this.context.currentTime;
    this.loud.gain.setTargetAtTime(distance === null ? 0 : 0.06, now, 0.05);
    if (distance === null) return;
    // Three octaves from ten half widths off to the middle; the last one lies inside the limits.
    const near = 1 - Math.log2(1 + Math.min(distance, 15)) / 4;
    this.voice.frequency.setTargetAtTime(165 * 2 ** (3 * near), now, 0.03);
  }
}
