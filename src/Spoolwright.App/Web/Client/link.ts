/** The socket to the bench: pictures come in, commands and sound go out. Comes back by itself. */

export interface Note { severity: string; code: string; text: string }
export interface Tone {
  nominal: number; hz: number; left: number; right: number; leftU: number; rightU: number; phase: number; age: number;
  leftResponse: number | null; rightResponse: number | null; ticks: number[];
}
export interface Reading {
  quantity: string; value: number; unit: string; uncertainty: number | null; channel: string; frequencyHz: number | null;
  verdict?: string; limit?: string; min?: number | null; max?: number | null; margin?: number | null; source?: string | null;
}
export interface Ring { part: string; rate: number; turns: number; peak: number; degrees: number; percent: number[] }
export interface Keep { measurement: string; state: string; wanted: number; seconds: number; progress: number; text: string | null; sha256?: string; readings?: Reading[]; notes?: Note[] }
export interface Knob { meaning: string; at: number; least: number; most: number }
/** A control of the adjustment on the screen, what stands for it, and what to turn next. */
export interface DeskLine {
  control: string; channel: string; knob?: Knob; now?: Reading; moves: number; pending: boolean;
  outcome?: string; reason?: string; probe?: boolean; how?: string; expected?: number; spread?: number;
}
export interface Hill {
  channel: string; hz: number; now: number; peak: number | null; drop: number | null; u: number | null; side: string; rising: number;
  wanted: number | null; wantedSource: string | null;
}
export interface Sending { name: string; level: number; program: boolean; seconds: number | null; tones: { hz: number; db: number }[] }
export interface BenchState { deck: string; job: string | null; direction: "forward" | "reverse"; speed: number; setting: string | null; tape: string | null; reference: number | null }
export interface Picture {
  source: string; block: number; lostBlocks: number; problem: string | null;
  bench?: BenchState;
  input?: { rate: number; seconds: number; peakLeft: number; peakRight: number; notes: Note[] };
  tones?: Tone[];
  skew?: { us: number; u: number; cycle: string; reversed: boolean };
  speed?: { nominalHz: number; now: number; seconds: number };
  readings?: Reading[];
  rings?: Ring[];
  hills?: Hill[];
  keep?: Keep;
  sending?: Sending;
  check?: { progress: number; done: boolean; usable?: boolean; notes?: Note[] };
  desk?: { adjustment: string; lines: DeskLine[] };
  practiceTape?: string;
}

type Listener = (picture: Picture) => void;

export class Link {
  private socket: WebSocket | null = null;
  private readonly listeners = new Set<Listener>();
  private readonly openers = new Set<() => void>();
  private readonly sentAt = new Map<number, number>();
  /** Milliseconds from a block's arrival from the audio thread to the paint of the picture that holds it, the last few hundred. */
  readonly latencies: number[] = [];
  /** Whether the bench answers. */
  isOpen = false;
  last: Picture | null = null;

  open(): void {
    const socket = new WebSocket(`${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/live`);
    socket.binaryType = "arraybuffer";
    this.socket = socket;
    socket.onopen = () => {
      this.isOpen = true;
      for (const opened of this.openers) opened();
    };
    socket.onmessage = (event) => {
      this.last = JSON.parse(event.data as string) as Picture;
      for (const listener of this.listeners) listener(this.last);
    };
    socket.onclose = () => {
      this.isOpen = false;
      this.last = null;
      setTimeout(() => this.open(), 1000);
    };
  }

  onPicture(listener: Listener): void { this.listeners.add(listener); }

  onOpen(opened: () => void): void { this.openers.add(opened); }

  send(command: Record<string, unknown>): void {
    if (this.socket?.readyState === WebSocket.OPEN) this.socket.send(JSON.stringify(command));
  }

  /** Sends a block of sound; false where the bench is too far behind to take it, so that the loss is seen at once. */
  sound(block: ArrayBuffer): boolean {
    if (this.socket?.readyState !== WebSocket.OPEN || this.socket.bufferedAmount > 1 << 22) return false;
    this.sentAt.set(new Uint32Array(block, 0, 1)[0]!, performance.now());
    if (this.sentAt.size > 500) this.sentAt.delete(this.sentAt.keys().next().value!);
    this.socket.send(block);
    return true;
  }

  /** Told when a picture has been painted. */
  painted(picture: Picture): void {
    const at = picture.source === "microphone" ? this.sentAt.get(picture.block) : undefined;
    if (at === undefined) return;
    this.latencies.push(performance.now() - at);
    if (this.latencies.length > 300) this.latencies.shift();
  }
}
