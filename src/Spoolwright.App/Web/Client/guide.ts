/** A guide for when the eyes are on the deck: a tone that rises as the target nears, or a voice that says where it stands. Silent until asked for. */

type Mode = "off" | "tone" | "voice";

const SPEAK_EVERY_MS = 3500;

export class Guide {
  mode: Mode = "off";
  private context: AudioContext | null = null;
  private voice: OscillatorNode | null = null;
  private loud: GainNode | null = null;
  private spokenAt = 0;

  /** Off, tone, voice, off again; says what it is now. */
  next(): string {
    this.quiet();
    this.mode = this.mode === "off" ? "tone" : this.mode === "tone" && window.speechSynthesis ? "voice" : "off";
    if (this.mode === "tone") {
      this.context = new AudioContext();
      this.voice = this.context.createOscillator();
      this.loud = this.context.createGain();
      this.loud.gain.value = 0;
      this.voice.connect(this.loud).connect(this.context.destination);
      this.voice.start();
    }
    return { off: "Guide muted.", tone: "Guide tone on: it rises as the target nears. M: a voice instead.", voice: "The guide speaks. M mutes it." }[this.mode];
  }

  /**
   * @param distance How far off the target is, in half widths of its limits: 1 is the limit, 0 the middle; null: nothing to guide by.
   * @param words What a voice says of it.
   */
  tell(distance: number | null, words: string): void {
    if (this.mode === "voice") this.speak(distance === null ? "" : words);
    if (!this.voice || !this.loud || !this.context) return;
    const now = this.context.currentTime;
    this.loud.gain.setTargetAtTime(distance === null ? 0 : 0.06, now, 0.05);
    if (distance !== null) this.voice.frequency.setTargetAtTime(pitch(distance), now, 0.03);
  }

  private speak(words: string): void {
    if (!words || performance.now() - this.spokenAt < SPEAK_EVERY_MS || speechSynthesis.speaking) return;
    this.spokenAt = performance.now();
    const said = new SpeechSynthesisUtterance(words);
    said.lang = "en";
    said.rate = 1.15;
    speechSynthesis.speak(said);
  }

  private quiet(): void {
    this.voice?.stop();
    void this.context?.close();
    this.voice = this.loud = this.context = null;
    window.speechSynthesis?.cancel();
  }
}

/** Three octaves from ten half widths off to the middle, Hz; the last one lies inside the limits. */
export const pitch = (distance: number): number => 165 * 2 ** (3 * (1 - Math.log2(1 + Math.min(distance, 15)) / 4));
