/** The browser's audio input: asked for unprocessed, looked at before it is believed, followed until it goes. */

import type { Link } from "./link";

const REMEMBERED = "input";

export interface Opened { label: string; rate: number }

export class Microphone {
  private context: AudioContext | null = null;
  private stream: MediaStream | null = null;
  /** The input that went away by itself and is waited for. */
  private missed: string | null = null;

  /**
   * @param lost Told when the input goes away by itself.
   * @param back Told when it is there again; it is open by then.
   */
  constructor(private readonly link: Link, private readonly lost: (why: string) => void, private readonly back: (opened: Opened) => void) {
    navigator.mediaDevices?.addEventListener("devicechange", () => void this.seek());
  }

  get isOpen(): boolean { return this.stream !== null; }

  /** The inputs there are; names are known once one was allowed. */
  static async inputs(): Promise<MediaDeviceInfo[]> {
    return (await navigator.mediaDevices.enumerateDevices()).filter((d) => d.kind === "audioinput");
  }

  static get remembered(): string | null { return localStorage.getItem(REMEMBERED); }

  /** Opens an input. Throws an Error with one plain sentence where it cannot be used. */
  async open(deviceId: string | null): Promise<Opened> {
    this.close();
    const stream = await this.ask(deviceId);
    const track = stream.getAudioTracks()[0]!;
    const settings = track.getSettings();
    const fault = refusal(settings);
    if (fault) {
      for (const t of stream.getTracks()) t.stop();
      throw new Error(fault);
    }
    const rate = settings.sampleRate ?? 48000;
    const context = new AudioContext({ sampleRate: rate, latencyHint: "interactive" });
    await context.audioWorklet.addModule("/files/worklet.js");
    const tap = new AudioWorkletNode(context, "tap", { numberOfInputs: 1, numberOfOutputs: 0, channelCount: 2, channelCountMode: "explicit", channelInterpretation: "discrete" });
    tap.port.onmessage = (event) => { this.link.sound(event.data as ArrayBuffer); };
    track.onended = () => {
      const gone = settings.deviceId ?? null;
      this.close();
      this.missed = gone;
      this.lost("The input is gone: its cable or the interface. Plug it in: it is opened again by itself. Or press I.");
    };
    this.link.send({ do: "microphone", rate: context.sampleRate, name: track.label });
    context.createMediaStreamSource(stream).connect(tap);
    await context.resume();
    this.context = context;
    this.stream = stream;
    if (settings.deviceId) localStorage.setItem(REMEMBERED, settings.deviceId);
    return { label: track.label || "audio input", rate: context.sampleRate };
  }

  close(): void {
    this.missed = null;
    for (const track of this.stream?.getTracks() ?? []) {
      track.onended = null;
      track.stop();
    }
    void this.context?.close();
    this.stream = null;
    this.context = null;
  }

  // An interface that was pulled and plugged in again goes on where it was.
  private async seek(): Promise<void> {
    const missed = this.missed;
    if (missed === null || !(await Microphone.inputs()).some((d) => d.deviceId === missed)) return;
    this.missed = null;
    try {
      this.back(await this.open(missed));
    } catch (error) {
      this.missed = missed;
      this.lost(error instanceof Error ? error.message : String(error));
    }
  }

  private async ask(deviceId: string | null): Promise<MediaStream> {
    if (!navigator.mediaDevices?.getUserMedia) throw new Error("This browser gives pages no sound. Open the bench in another browser, at its loopback address.");
    const wanted: MediaTrackConstraints = { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: { ideal: 2 } };
    if (deviceId) wanted.deviceId = { exact: deviceId };
    try {
      return await navigator.mediaDevices.getUserMedia({ audio: wanted });
    } catch (error) {
      const name = error instanceof DOMException ? error.name : "";
      if (name === "NotAllowedError") throw new Error("The browser was not allowed to listen. Allow the microphone for this address (the sign beside it), then press I again.");
      if (name === "NotFoundError" || name === "OverconstrainedError") throw new Error("That input is not there. Connect the interface and choose it again.");
      if (name === "NotReadableError") throw new Error("Another program holds the input. Close it there, then press I again.");
      throw new Error(`The input could not be opened (${name || String(error)}).`);
    }
  }
}

/** Why an input must not be used, by what the browser says it really does; null: it may. */
export function refusal(settings: MediaTrackSettings): string | null {
  const still = [settings.echoCancellation && "echo cancelling", settings.noiseSuppression && "noise suppression", settings.autoGainControl && "gain control"].filter(Boolean);
  if (still.length > 0) return `The browser goes on changing the sound (${still.join(", ")}): nothing measured through it would be true. Choose another input.`;
  if (settings.channelCount === 1) return "This input has one channel. The bench needs both channels of the deck: choose a stereo input of the interface.";
  return null;
}
