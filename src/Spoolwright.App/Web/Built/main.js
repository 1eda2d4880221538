// ../../src/Spoolwright.App/Web/Client/link.ts
var Link = class {
  socket = null;
  listeners = /* @__PURE__ */ new Set();
  openers = /* @__PURE__ */ new Set();
  sentAt = /* @__PURE__ */ new Map();
  /** Milliseconds from a block's arrival from the audio thread to the paint of the picture that holds it, the last few hundred. */
  latencies = [];
  /** Whether the bench answers. */
  isOpen = false;
  last = null;
  open() {
    const socket = new WebSocket(`${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/live`);
    socket.binaryType = "arraybuffer";
    this.socket = socket;
    socket.onopen = () => {
      this.isOpen = true;
      for (const opened of this.openers) opened();
    };
    socket.onmessage = (event) => {
      this.last = JSON.parse(event.data);
      for (const listener of this.listeners) listener(this.last);
    };
    socket.onclose = () => {
      this.isOpen = false;
      this.last = null;
      setTimeout(() => this.open(), 1e3);
    };
  }
  onPicture(listener) {
    this.listeners.add(listener);
  }
  onOpen(opened) {
    this.openers.add(opened);
  }
  send(command) {
    if (this.socket?.readyState === WebSocket.OPEN) this.socket.send(JSON.stringify(command));
  }
  /** Sends a block of sound; false where the bench is too far behind to take it, so that the loss is seen at once. */
  sound(block) {
    if (this.socket?.readyState !== WebSocket.OPEN || this.socket.bufferedAmount > 1 << 22) return false;
    this.sentAt.set(new Uint32Array(block, 0, 1)[0], performance.now());
    if (this.sentAt.size > 500) this.sentAt.delete(this.sentAt.keys().next().value);
    this.socket.send(block);
    return true;
  }
  /** Told when a picture has been painted. */
  painted(picture) {
    const at = picture.source === "microphone" ? this.sentAt.get(picture.block) : void 0;
    if (at === void 0) return;
    this.latencies.push(performance.now() - at);
    if (this.latencies.length > 300) this.latencies.shift();
  }
};

// ../../src/Spoolwright.App/Web/Client/dom.ts
function el(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...children.filter((c) => c !== null && c !== void 0));
  return made;
}
function say(where, text2) {
  if (where.textContent !== text2) where.textContent = text2;
}
function keyButton(key, label, press) {
  const button = el("button", { type: "button", class: "key" }, el("kbd", {}, key), " ", label);
  button.addEventListener("click", () => {
    press();
    button.blur();
  });
  return button;
}
var signed = (value, digits) => {
  const text2 = Math.abs(value).toFixed(digits);
  if (Number(text2) === 0) return text2;
  return (value < 0 ? "−" : "+") + text2;
};
var hertz = (hz) => hz >= 1e3 ? `${+(hz / 1e3).toFixed(2)} kHz` : `${+hz.toFixed(1)} Hz`;
function digitsFor(uncertainty, most = 3) {
  if (!uncertainty || !(uncertainty > 0)) return Math.min(2, most);
  return Math.max(0, Math.min(most, 1 - Math.floor(Math.log10(uncertainty))));
}
function plusMinus(uncertainty, digits) {
  if (uncertainty === null) return "± not known";
  const least = 10 ** -digits;
  return uncertainty < least ? `± under ${least.toFixed(digits)}` : `± ${uncertainty.toFixed(digits)}`;
}
var verdictMark = { met: "✓ met", "not-proven": "? not proven", "not-met": "✗ not met", "not-measured": "– not measured" };

// ../../src/Spoolwright.App/Web/Client/ask.ts
var Ask = class {
  dialog = el("dialog", { class: "panel", "aria-labelledby": "ask-title" });
  constructor() {
    document.body.append(this.dialog);
  }
  open(title, label, value = "") {
    const field2 = el("input", { type: "text", id: "asked", autocomplete: "off" });
    field2.value = value;
    const form2 = el("form", { method: "dialog" }, el("h2", { id: "ask-title" }, title), el("p", {}, el("label", { for: "asked" }, label)), field2, " ", el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " take it"), el("p", {}, el("kbd", {}, "Esc"), " leaves it"));
    let taken = null;
    form2.addEventListener("submit", () => {
      taken = field2.value;
    });
    this.dialog.replaceChildren(form2);
    this.dialog.showModal();
    field2.focus();
    field2.select();
    return new Promise((done) => this.dialog.addEventListener("close", () => done(taken), { once: true }));
  }
};

// ../../src/Spoolwright.App/Web/Client/guide.ts
var SPEAK_EVERY_MS = 3500;
var Guide = class {
  mode = "off";
  context = null;
  voice = null;
  loud = null;
  spokenAt = 0;
  /** Off, tone, voice, off again; says what it is now. */
  next() {
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
  tell(distance2, words) {
    if (this.mode === "voice") this.speak(distance2 === null ? "" : words);
    if (!this.voice || !this.loud || !this.context) return;
    const now = this.context.currentTime;
    this.loud.gain.setTargetAtTime(distance2 === null ? 0 : 0.06, now, 0.05);
    if (distance2 !== null) this.voice.frequency.setTargetAtTime(pitch(distance2), now, 0.03);
  }
  speak(words) {
    if (!words || performance.now() - this.spokenAt < SPEAK_EVERY_MS || speechSynthesis.speaking) return;
    this.spokenAt = performance.now();
    const said2 = new SpeechSynthesisUtterance(words);
    said2.lang = "en";
    said2.rate = 1.15;
    speechSynthesis.speak(said2);
  }
  quiet() {
    this.voice?.stop();
    void this.context?.close();
    this.voice = this.loud = this.context = null;
    window.speechSynthesis?.cancel();
  }
};
var pitch = (distance2) => 165 * 2 ** (3 * (1 - Math.log2(1 + Math.min(distance2, 15)) / 4));

// ../../src/Spoolwright.App/Web/Client/keepPlan.ts
var usual = { measurement: null, seconds: null, supersede: true };
var OF_SOUND = [
  ["speed", "speed and flutter"],
  ["azimuth", "azimuth"],
  ["playback", "playback level and response"],
  ["bias", "bias"],
  ["record", "record response"],
  ["distortion", "distortion"],
  ["noise", "noise"],
  ["crosstalk", "crosstalk"],
  ["erase", "erasure"],
  ["dropouts", "dropouts"],
  ["loopback", "the interface wired to itself"]
];
var KeepDialog = class {
  dialog = el("dialog", { class: "panel", "aria-labelledby": "plan-title" });
  constructor() {
    document.body.append(this.dialog);
  }
  open(now, screen2) {
    const as = el("select", { id: "keep-as" }, el("option", { value: "" }, `as this screen measures (${screen2})`), ...OF_SOUND.map(([id, name]) => el("option", { value: id }, name)));
    as.value = now.measurement ?? "";
    const seconds = el("input", { type: "number", id: "keep-seconds", min: "1", max: "1800", step: "1", placeholder: "as usual" });
    seconds.value = now.seconds === null ? "" : String(now.seconds);
    const supersede = el("input", { type: "checkbox", id: "keep-supersede" });
    supersede.checked = now.supersede;
    const form2 = el(
      "form",
      { method: "dialog" },
      el("h2", { id: "plan-title" }, "How the next capture is kept"),
      el("p", {}, el("label", { for: "keep-as" }, "Measured as "), as),
      el("p", {}, el("label", { for: "keep-seconds" }, "Length, s "), seconds),
      el("p", {}, supersede, el("label", { for: "keep-supersede" }, " it takes the place of an earlier one of the same cell and mark")),
      el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " so be it")
    );
    let plan2 = now;
    form2.addEventListener("submit", () => {
      plan2 = { measurement: as.value || null, seconds: seconds.value ? Number(seconds.value) : null, supersede: supersede.checked };
    });
    this.dialog.replaceChildren(form2);
    this.dialog.showModal();
    as.focus();
    return new Promise((done) => this.dialog.addEventListener("close", () => done(plan2), { once: true }));
  }
};

// ../../src/Spoolwright.App/Web/Client/output.ts
var Output = class {
  context = null;
  meter = null;
  playing = "";
  sources = [];
  /** Highest peak of about the last twentieth of a second going out, dBFS; null: nothing is sent. */
  get peakDb() {
    if (!this.meter) return null;
    const samples = new Float32Array(this.meter.fftSize);
    this.meter.getFloatTimeDomainData(samples);
    const peak = samples.reduce((most, s) => Math.max(most, Math.abs(s)), 0);
    return peak > 0 ? 20 * Math.log10(peak) : -120;
  }
  /** Plays the tones that a picture says are sent; the same again changes nothing. A program waits for {@link program}. */
  follow(sending) {
    const wanted = sending && !sending.program ? JSON.stringify([sending.level, sending.tones]) : "";
    if (this.playing.startsWith("file:") ? wanted === "" : wanted === this.playing) return;
    this.stop();
    if (!sending || sending.program) return;
    this.playing = wanted;
    const context = this.open();
    for (const tone of sending.tones) {
      const voice = context.createOscillator(), gain = context.createGain();
      voice.frequency.value = tone.hz;
      gain.gain.setValueAtTime(0, context.currentTime);
      gain.gain.linearRampToValueAtTime(10 ** ((sending.level + tone.db) / 20), context.currentTime + 0.02);
      voice.connect(gain).connect(this.meter);
      voice.start();
      this.sources.push(voice);
    }
  }
  /** Plays a signal once from its beginning. */
  async once(name, level) {
    this.stop();
    this.playing = `file:${name}`;
    const context = this.open();
    const bytes = await (await fetch(`/api/signal/${name}?rate=${context.sampleRate}&level=${level}`)).arrayBuffer();
    const source = context.createBufferSource();
    source.buffer = await context.decodeAudioData(bytes);
    if (this.playing !== `file:${name}`) return;
    source.connect(this.meter);
    source.onended = () => {
      if (this.playing === `file:${name}`) this.stop();
    };
    source.start();
    this.sources.push(source);
  }
  stop() {
    for (const source of this.sources) source.stop();
    this.sources = [];
    this.playing = "";
    void this.context?.close();
    this.context = this.meter = null;
  }
  open() {
    this.context = new AudioContext({ latencyHint: "interactive" });
    this.meter = this.context.createAnalyser();
    this.meter.fftSize = 2048;
    this.meter.connect(this.context.destination);
    return this.context;
  }
};

// ../../src/Spoolwright.App/Web/Client/advice.ts
var sideMark = (channel) => channel === "left" ? "◀ left" : channel === "right" ? "right ▶" : "";
var Advice = class {
  /**
   * @param nothing What to say while nothing stands for a control.
   * @param unproven What to do where the value is not known well enough; empty: as the adviser says.
   */
  constructor(frame2, nothing2, unproven2) {
    this.frame = frame2;
    this.nothing = nothing2;
    this.unproven = unproven2;
    this.form.addEventListener("submit", (event) => {
      event.preventDefault();
      const text2 = this.turn.value.trim();
      if (text2) frame2.link.send({ do: "turned", control: this.lines[this.chosen]?.control ?? "", text: text2 });
      this.turn.value = "";
      this.turn.blur();
    });
    this.root.append(el("h2", {}, "Turn next"), this.rows, this.form, this.keysLine);
    this.keys = [
      { key: "T", label: "say what I turned", press: () => this.turn.focus() },
      { key: "A", label: "start from here", press: () => frame2.link.send({ do: "begin" }) },
      { key: "ArrowLeft", label: "", press: () => this.turnBy(-0.05) },
      { key: "ArrowRight", label: "", press: () => this.turnBy(0.05) },
      { key: "Shift+ArrowLeft", label: "", press: () => this.turnBy(-0.01) },
      { key: "Shift+ArrowRight", label: "", press: () => this.turnBy(0.01) },
      { key: "ArrowUp", label: "", press: () => this.choose(-1) },
      { key: "ArrowDown", label: "", press: () => this.choose(1) }
    ];
  }
  frame;
  nothing;
  unproven;
  root = el("section", { class: "turning", tabindex: "0", "aria-label": "What to turn next" });
  keys;
  rows = el("div", { class: "rows" });
  turn = el("input", { type: "text", id: "turn", autocomplete: "off", placeholder: "quarter turn cw" });
  which = el("label", { for: "turn" }, "I turned it ");
  form = el("form", { class: "turn" }, this.which, this.turn, el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " take the value"));
  keysLine = el("p", { class: "faint knobkeys" }, "Practice deck: ", el("kbd", {}, "←"), el("kbd", {}, "→"), " turn, with ", el("kbd", {}, "Shift"), " finer, ", el("kbd", {}, "↑"), el("kbd", {}, "↓"), " choose");
  lines = [];
  names = "";
  chosen = 0;
  show(picture) {
    this.lines = picture.desk?.lines ?? [];
    const names = this.lines.map((l) => `${l.control}${l.knob ? "" : " real"}`).join();
    if (names !== this.names) {
      this.names = names;
      this.chosen = Math.min(this.chosen, Math.max(0, this.lines.length - 1));
      this.rows.replaceChildren(...this.lines.map((line, i) => this.row(line, i)));
    }
    const practises = this.lines.some((l) => l.knob);
    this.form.hidden = practises;
    this.keysLine.hidden = !practises;
    say(this.which, this.lines.length > 1 ? `I turned ${this.lines[this.chosen]?.control} (↑ ↓ choose) ` : "I turned it ");
    this.lines.forEach((line, i) => this.update(line, this.rows.children[i], i, picture));
  }
  row(line, i) {
    const row = el("div", { class: "row", "data-channel": line.channel }, el("p", { class: "next" }, ""));
    if (line.channel !== "both") row.prepend(el("h3", { class: line.channel }, sideMark(line.channel)));
    if (line.knob) {
      const box = el(
        "div",
        { class: "knob", role: "slider", tabindex: "0", "aria-label": `${line.control}: ${line.knob.meaning}`, "aria-valuemin": String(line.knob.least), "aria-valuemax": String(line.knob.most), "aria-valuenow": String(line.knob.at) },
        el("i", { "aria-hidden": "true" }),
        el("output", {})
      );
      box.addEventListener("focus", () => {
        this.chosen = i;
      });
      box.addEventListener("wheel", (event) => {
        event.preventDefault();
        this.chosen = i;
        this.turnBy(event.deltaY < 0 ? 0.02 : -0.02);
      }, { passive: false });
      row.append(box);
    }
    return row;
  }
  update(line, row, i, picture) {
    row.toggleAttribute("data-chosen", i === this.chosen && this.lines.length > 1);
    say(row.querySelector(".next"), this.text(line, picture));
    const box = row.querySelector(".knob");
    if (!box || !line.knob) return;
    box.setAttribute("aria-valuenow", line.knob.at.toFixed(3));
    box.setAttribute("aria-valuetext", `${signed(line.knob.at, 2)} turns`);
    say(box.querySelector("output"), signed(line.knob.at, 2));
    box.querySelector("i").style.transform = `rotate(${(line.knob.at * 360).toFixed(0)}deg)`;
  }
  text(line, picture) {
    if (line.pending) return "Turned. Waiting for the value to settle …";
    if (line.now && !line.outcome && (line.now.min != null || line.now.max != null)) return "Wait a moment: the value settles.";
    if (!line.outcome) return this.nothing(line, picture);
    if (line.outcome === "Met") return "✓ Leave it: within the limits.";
    if (line.outcome === "EndStop") return "Its range ends here, and the value is outside still: the fault lies elsewhere. A dirty or worn head? The right tape?";
    if (line.outcome === "NoiseTooLarge" || line.outcome === "MeasureAgain") return this.unproven?.(line) || sentence(line.reason ?? "");
    if (line.outcome !== "Turn" || !line.how) return sentence(line.reason ?? "");
    return `${line.how}${line.probe ? ", to see what it does" : line.expected === void 0 ? "" : `: should come to ${signed(line.expected, 1)} ${line.now?.unit === "arcmin" ? "′" : line.now?.unit ?? ""}`}`;
  }
  turnBy(turns) {
    const line = this.lines[this.chosen];
    if (line?.knob) this.frame.link.send({ do: "knob", name: line.control, turns });
    else this.frame.tell("Turn the deck's own control, then press T and say how far. P practises on a deck whose controls are here.");
  }
  choose(by) {
    if (this.lines.length > 0) this.chosen = (this.chosen + by + this.lines.length) % this.lines.length;
  }
};
var sentence = (text2) => text2 ? text2.charAt(0).toUpperCase() + text2.slice(1) + "." : "";
function distance(lines2) {
  const each = lines2.map((l) => l.now).filter((n) => n && (n.min != null || n.max != null)).map((n) => {
    const max = n.max ?? n.min, min = n.min ?? -max, half = Math.abs(max - min) / 2 || 1;
    return Math.abs(n.value - (max + min) / 2) / half;
  });
  return each.length > 0 ? Math.max(...each) : null;
}
function spoken(lines2, digits) {
  return lines2.map((l) => {
    if (!l.now) return "";
    const side = l.channel === "both" ? "" : `${l.channel}: `;
    return l.now.verdict === "met" ? `${side}good.` : `${side}${l.now.value < 0 ? "minus" : "plus"} ${Math.abs(l.now.value).toFixed(digits)}.${l.how && !l.pending ? ` ${l.how}.` : ""}`;
  }).join(" ");
}

// ../../src/Spoolwright.App/Web/Client/adjustScreen.ts
var AdjustScreen = class {
  constructor(frame2, spec) {
    this.frame = frame2;
    this.spec = spec;
    ({ title: this.title, measurement: this.measurement, adjustment: this.adjustment, practiceTape: this.practiceTape, signal: this.signal } = spec);
    this.advice = new Advice(frame2, spec.noAdvice, spec.unproven);
    this.drawing = spec.drawing();
    const pair = el("div", { class: spec.channels.length > 1 ? "pair" : "single" });
    for (const channel of spec.channels) {
      const value = el("output", { class: "value", "data-test": `${spec.adjustment}-${channel}` }, "–"), target = el("p", { class: "target" });
      this.boxes.set(channel, { value, target });
      pair.append(el("div", { class: channel }, channel === "both" ? null : el("h3", {}, sideMark(channel)), value, target));
    }
    this.root.append(el("section", { class: "now", "aria-label": "Value now" }, this.heading, pair, this.under), this.advice.root, this.drawing.root);
    this.keys = [...this.advice.keys, { key: "F", label: "forget earlier tones", press: () => {
      frame2.link.send({ do: "forget" });
      this.drawing.forget?.();
    } }, ...spec.keys?.(frame2) ?? []];
  }
  frame;
  spec;
  title;
  measurement;
  adjustment;
  practiceTape;
  signal;
  root = el("div", { class: "adjust" });
  keys;
  heading = el("h2", {}, "");
  under = el("p", { class: "under" });
  boxes = /* @__PURE__ */ new Map();
  advice;
  drawing;
  show(picture) {
    this.advice.show(picture);
    if (this.frame.hold) return;
    const lines2 = picture.desk?.lines ?? [];
    say(this.heading, this.spec.heading(picture, lines2));
    say(this.under, lines2.some((l) => l.now) ? this.spec.under?.(picture, lines2) ?? "" : this.spec.nothing(picture));
    for (const [channel, { value, target }] of this.boxes) {
      const now = lines2.find((l) => l.channel === channel)?.now;
      const digits = now ? digitsFor(now.uncertainty, this.spec.digits) : 0, cut = now && Math.abs(now.value) >= 9.995 && digits > 1;
      say(value, now ? signed(now.value, cut ? 1 : digits) : "–");
      if (now) Object.assign(value.dataset, { value: String(now.value), uncertainty: String(now.uncertainty) });
      target.dataset.verdict = now?.verdict ?? "";
      say(target, !now ? "" : `${cut ? `${signed(now.value, digits)} ` : ""}${plusMinus(now.uncertainty, this.spec.digits)} ${this.spec.unit}
${now.min == null && now.max == null ? "no target" : `${range(now.min ?? null, now.max ?? null, this.spec.digits)} ${this.spec.unit}
${verdictMark[now.verdict ?? "not-measured"]}`}`);
      target.title = now?.source ?? "";
    }
    this.root.dataset.tone = String(lines2.find((l) => l.now)?.now?.frequencyHz ?? "");
    this.drawing.draw(picture, lines2);
    this.frame.guide.tell(distance(lines2), spoken(lines2, Math.min(1, this.spec.digits)));
  }
};
var range = (min, max, digits) => min === null ? `at most ${signed(max, digits)}` : max === null ? `at least ${signed(min, digits)}` : `${signed(min, digits)} to ${signed(max, digits)}`;
function pictureSection(label) {
  const canvas = el("canvas", { role: "img", "aria-label": label });
  return { root: el("section", { class: "picture", "aria-label": "Picture" }, canvas), canvas };
}

// ../../src/Spoolwright.App/Web/Client/canvas.ts
var ink = {
  text: "#f3efe4",
  faint: "#a8a294",
  line: "#4a4b45",
  value: "#ffd166",
  zone: "rgba(94, 200, 160, 0.20)",
  edge: "#7fe0bb",
  beam: "rgba(255, 209, 102, 0.30)",
  left: "#8fd0ff",
  right: "#ffb27a"
};
function fit(canvas) {
  const ratio = window.devicePixelRatio || 1;
  const w = canvas.clientWidth, h = canvas.clientHeight;
  if (canvas.width !== Math.round(w * ratio) || canvas.height !== Math.round(h * ratio)) {
    canvas.width = Math.round(w * ratio);
    canvas.height = Math.round(h * ratio);
  }
  const g = canvas.getContext("2d");
  g.setTransform(ratio, 0, 0, ratio, 0, 0);
  g.clearRect(0, 0, w, h);
  return { g, w, h, unit: Math.max(11, Math.min(18, Math.min(w / 42, h / 26))) };
}
var lettering = (pixels, weight = 400) => `${weight} ${Math.max(12, pixels)}px system-ui, sans-serif`;

// ../../src/Spoolwright.App/Web/Client/hangingTrail.ts
var SECONDS = 40;
var HangingTrail = class {
  constructor(canvas, unit, digits, low, high) {
    this.canvas = canvas;
    this.unit = unit;
    this.digits = digits;
    this.low = low;
    this.high = high;
  }
  canvas;
  unit;
  digits;
  low;
  high;
  past = [];
  reach = 0;
  middle = 0;
  forget() {
    this.past.length = 0;
  }
  draw(lanes, target) {
    const { g, w, h, unit } = fit(this.canvas);
    const now = performance.now() / 1e3;
    if (lanes.length > 0) this.past.push({ at: now, lanes });
    while (this.past.length > 0 && now - this.past[0].at > SECONDS) this.past.shift();
    this.settle(lanes, target);
    const left = unit, right = w - unit, top = 3.4 * unit, bottom = h - 1.4 * unit;
    const x = (v) => Math.max(left - unit, Math.min(right + unit, left + ((v - this.middle) / this.reach + 1) / 2 * (right - left)));
    this.ground(g, x, left, right, top, bottom, unit, target);
    for (const channel of ["both", "left", "right"]) this.lane(g, channel, x, top, bottom, now, unit);
    for (const lane of lanes) bob(g, lane.channel, x(lane.value), top - 0.4 * unit, unit);
  }
  settle(lanes, target) {
    const edges = [target?.min, target?.max].filter((e) => e != null);
    const middle = edges.length === 2 ? (edges[0] + edges[1]) / 2 : edges[0] ?? (lanes[0] ? Math.round(lanes[0].value) : 0);
    const half = edges.length === 2 ? Math.abs(edges[1] - edges[0]) / 2 : 1;
    if (this.reach === 0 || Math.abs(middle - this.middle) > half) this.middle = middle;
    const off = Math.max(0, ...lanes.map((l) => Math.abs(l.value - this.middle)));
    const wanted = Math.max(2.5 * half, 1.25 * off);
    const fitting = [1, 2, 5].flatMap((m) => [-3, -2, -1, 0, 1, 2, 3].map((e) => m * 10 ** e)).sort((a, b) => a - b).find((s) => s >= wanted) ?? wanted;
    if (fitting > this.reach || wanted < 0.3 * this.reach) this.reach = fitting;
  }
  ground(g, x, left, right, top, bottom, unit, target) {
    const min = target?.min ?? null, max = target?.max ?? null;
    if (min !== null || max !== null) {
      const a = min === null ? left : x(min), b = max === null ? right : x(max);
      g.fillStyle = ink.zone;
      g.fillRect(a, top - 1.2 * unit, b - a, bottom - top + 1.2 * unit);
      g.strokeStyle = ink.edge;
      g.lineWidth = 0.16 * unit;
      g.setLineDash([0.6 * unit, 0.4 * unit]);
      for (const [edge, side] of [[min, "right"], [max, "left"]]) {
        if (edge === null) continue;
        g.beginPath();
        g.moveTo(x(edge), top - 1.2 * unit);
        g.lineTo(x(edge), bottom);
        g.stroke();
        g.fillStyle = ink.text;
        g.font = lettering(1.2 * unit, 600);
        g.textAlign = side;
        g.fillText(signed(edge, this.digits), x(edge) + (side === "left" ? 0.4 : -0.4) * unit, bottom - 0.5 * unit);
      }
      g.setLineDash([]);
    }
    g.fillStyle = ink.faint;
    g.font = lettering(1.1 * unit);
    g.textAlign = "left";
    g.fillText(`◂ ${this.low}`, left, 1.3 * unit);
    g.fillText(`${signed(this.middle - this.reach, this.digits)} ${this.unit}`, left, bottom + 1.1 * unit);
    g.textAlign = "right";
    g.fillText(`${this.high} ▸`, right, 1.3 * unit);
    g.fillText(`${signed(this.middle + this.reach, this.digits)} ${this.unit}`, right, bottom + 1.1 * unit);
    g.textAlign = "center";
    g.fillText(`${SECONDS} s ago`, (left + right) / 2, bottom + 1.1 * unit);
    g.strokeStyle = ink.line;
    g.lineWidth = 0.12 * unit;
    g.beginPath();
    g.moveTo(left, top);
    g.lineTo(right, top);
    g.stroke();
  }
  lane(g, channel, x, top, bottom, now, unit) {
    g.strokeStyle = colour(channel);
    g.lineWidth = 0.26 * unit;
    g.lineJoin = "round";
    g.setLineDash(channel === "right" ? [0.9 * unit, 0.35 * unit] : []);
    g.beginPath();
    let last = Infinity;
    for (let i = this.past.length - 1; i >= 0; i--) {
      const point = this.past[i], lane = point.lanes.find((l) => l.channel === channel);
      if (!lane) continue;
      const y = top + (now - point.at) / SECONDS * (bottom - top);
      if (last - point.at < 0.5) g.lineTo(x(lane.value), y);
      else g.moveTo(x(lane.value), y);
      last = point.at;
    }
    g.stroke();
    g.setLineDash([]);
  }
};
var colour = (channel) => channel === "left" ? ink.left : channel === "right" ? ink.right : ink.value;
function bob(g, channel, x, y, unit) {
  g.fillStyle = colour(channel);
  g.beginPath();
  if (channel === "both") g.arc(x, y - 0.5 * unit, 0.7 * unit, 0, 7);
  else {
    const way2 = channel === "left" ? -1 : 1;
    g.moveTo(x, y + 0.3 * unit);
    g.lineTo(x, y - 1.5 * unit);
    g.lineTo(x + way2 * 1.3 * unit, y - 0.6 * unit);
  }
  g.fill();
}

// ../../src/Spoolwright.App/Web/Client/responsePicture.ts
function drawResponse(canvas, tones, readings) {
  const { g, w, h, unit } = fit(canvas);
  const shown = tones.filter((t) => t.leftResponse !== null && t.rightResponse !== null).sort((a, b) => a.nominal - b.nominal);
  const left = 4 * unit, right = w - 1.5 * unit, top = unit, bottom = h - 2.6 * unit;
  const most = Math.max(3, ...shown.flatMap((t) => [Math.abs(t.leftResponse), Math.abs(t.rightResponse)]).map((v) => Math.min(v, 12)));
  const span = most > 6 ? 12 : most > 3 ? 6 : 3;
  const x = (hz) => left + Math.log10(hz / 25) / Math.log10(22e3 / 25) * (right - left);
  const y = (db) => top + (span - db) / (2 * span) * (bottom - top);
  g.font = lettering(1.1 * unit);
  g.fillStyle = ink.faint;
  g.strokeStyle = ink.line;
  g.lineWidth = 0.09 * unit;
  g.textAlign = "right";
  for (let db = -span; db <= span; db += span / 3) {
    g.beginPath();
    g.moveTo(left, y(db));
    g.lineTo(right, y(db));
    g.stroke();
    g.fillText(`${signed(db, 0)} dB`, left - 0.5 * unit, y(db) + 0.4 * unit);
  }
  g.textAlign = "center";
  for (const hz of [31.5, 63, 125, 250, 500, 1e3, 2e3, 4e3, 8e3, 16e3]) g.fillText(hertz(hz).replace(" kHz", "k").replace(" Hz", ""), x(hz), h - 1.1 * unit);
  for (const reading of readings.filter((r) => r.quantity === "response" && r.frequencyHz && r.min != null && r.max != null)) {
    g.fillStyle = ink.zone;
    g.fillRect(x(reading.frequencyHz) - 0.9 * unit, y(reading.max), 1.8 * unit, y(reading.min) - y(reading.max));
  }
  for (const tone of shown) {
    for (const [db, colour2, side] of [[tone.leftResponse, ink.left, -1], [tone.rightResponse, ink.right, 1]]) {
      const px = x(tone.nominal) + side * 0.35 * unit, py = y(Math.max(-span, Math.min(span, db)));
      g.fillStyle = tone.age === 0 ? colour2 : colour2 + "aa";
      g.beginPath();
      g.moveTo(px, py - 0.6 * unit);
      g.lineTo(px + side * 0.9 * unit, py);
      g.lineTo(px, py + 0.6 * unit);
      g.fill();
    }
  }
  if (shown.length === 0) {
    g.fillStyle = ink.text;
    g.font = lettering(1.4 * unit);
    g.fillText("Play the reference tone first (1 kHz);", (left + right) / 2, (top + bottom) / 2 - 0.5 * unit, right - left);
    g.fillText("each tone that follows takes its place here.", (left + right) / 2, (top + bottom) / 2 + 1.3 * unit, right - left);
  }
}

// ../../src/Spoolwright.App/Web/Client/state.ts
var KEY = "bench";
var choice = load();
var isTablet = !["127.0.0.1", "localhost", "[::1]"].includes(location.hostname);
function load() {
  const plain = {
    job: null,
    direction: "forward",
    speed: 19.05,
    setting: null,
    deck: "",
    speeds: [9.525, 19.05],
    directions: ["forward", "reverse"],
    settings: [],
    tape: "",
    tapeName: "",
    gauge: "",
    gaugeName: "",
    outputDb: -12,
    reference: null,
    priors: ""
  };
  try {
    return { ...plain, ...JSON.parse(localStorage.getItem(KEY) ?? "{}") };
  } catch {
    return plain;
  }
}
function save(change) {
  Object.assign(choice, change);
  localStorage.setItem(KEY, JSON.stringify(choice));
}
var conditionText = (withSetting) => `${choice.direction}, ${choice.speed} cm/s${withSetting && choice.setting ? `, ${choice.setting}` : ""}`;

// ../../src/Spoolwright.App/Web/Client/levelScreens.ts
var NO_INPUT = "No sound yet: press I to choose an input.";
function trailDrawing(unit, digits, low, high) {
  const { root, canvas } = pictureSection("Where the value stands, where it must go, where it has been");
  const trail = new HangingTrail(canvas, unit, digits, low, high);
  return { root, draw: (_, lines2) => drawTrail(trail, lines2), forget: () => trail.forget() };
}
function drawTrail(trail, lines2) {
  const first = lines2.find((l) => l.now)?.now;
  trail.draw(lines2.filter((l) => l.now).map((l) => ({ channel: l.channel, value: l.now.value })), first && (first.min != null || first.max != null) ? { min: first.min ?? null, max: first.max ?? null } : null);
}
function responseDrawing() {
  const response = el("canvas", { role: "img", "aria-label": "Response of both channels" }), hanging = el("canvas", { role: "img", "aria-label": "Where the tone being set has been" });
  const trail = new HangingTrail(hanging, "dB", 1, "too dull", "too bright");
  return {
    root: el("section", { class: "picture two", "aria-label": "Picture" }, el("div", {}, response), el("div", {}, hanging)),
    draw: (picture, lines2) => {
      drawResponse(response, picture.tones ?? [], picture.readings ?? []);
      drawTrail(trail, lines2);
    },
    forget: () => trail.forget()
  };
}
var standing = (picture) => (picture.tones ?? []).filter((t) => t.age === 0).sort((a, b) => Math.max(b.left, b.right) - Math.max(a.left, a.right))[0];
function balance(_, lines2) {
  const [left, right] = ["left", "right"].map((c) => lines2.find((l) => l.channel === c)?.now?.value);
  return left === void 0 || right === void 0 ? "" : `left less right ${signed(left - right, 2)} dB`;
}
async function reference(frame2) {
  const text2 = await frame2.ask("Reference level", "What a tone at reference level should read here, dBFS (empty: no target)", choice.reference === null ? "" : String(choice.reference));
  if (text2 === null) return;
  const db = text2.trim() === "" ? null : Number(text2.replace("−", "-").replace(",", "."));
  if (db !== null && !(db >= -60 && db <= 0)) {
    frame2.tell(`Expected −60 to 0 dBFS, got “${text2}”.`);
    return;
  }
  save({ reference: db });
  frame2.link.send({ do: "reference", db });
  frame2.tell(db === null ? "Level has no target now." : `Reference level is ${signed(db, 1)} dBFS.`);
}
var referenceKey = (frame2) => ({ key: "R", label: "reference level", press: () => void reference(frame2) });
var wholeTape = (frame2) => ({ key: "W", label: "whole tape (practice)", press: () => frame2.link.send({ do: "practice", tape: "levels" }) });
var shared = {
  channels: ["left", "right"],
  unit: "dB",
  digits: 2
};
var LEVEL = {
  ...shared,
  title: "Level",
  measurement: "playback",
  adjustment: "level",
  practiceTape: "level",
  heading: (picture) => standing(picture) ? `Level at ${hertz(standing(picture).nominal)}, dBFS` : "Level of the reference tone, dBFS",
  nothing: (picture) => picture.source === "none" ? NO_INPUT : standing(picture) ? "This is not the reference tone: its level is told on screen 7." : "No steady tone: play the reference tone of a test tape.",
  noAdvice: (line) => line.now ? "Press R and say what reference level should read: then there is a target." : "Play the reference tone.",
  under: balance,
  drawing: () => trailDrawing("dBFS", 1, "too low", "too high"),
  keys: (frame2) => [referenceKey(frame2), wholeTape(frame2)]
};
var EQUALIZATION = {
  ...shared,
  title: "Equalization",
  measurement: "playback",
  adjustment: "equalization",
  practiceTape: "azimuth",
  heading: (_, lines2) => trebleHeading(lines2),
  nothing: (picture) => picture.source === "none" ? NO_INPUT : "Play the reference tone, then a tone of treble (10 kHz): it is held against it.",
  noAdvice: () => "Play the reference tone first, then treble.",
  drawing: responseDrawing,
  keys: (frame2) => [wholeTape(frame2)]
};
var RECORD_LEVEL = {
  ...shared,
  title: "Record level",
  measurement: "record",
  adjustment: "record-level",
  practiceTape: "record",
  signal: "level",
  heading: () => "1 kHz off tape, dBFS",
  nothing: (picture) => recordNothing(picture, "1 kHz at reference level"),
  noAdvice: (line, picture) => line.now ? "Press R and say what reference level reads in playback: recorded, it must read the same." : recordNothing(picture, "1 kHz at reference level"),
  under: balance,
  drawing: () => trailDrawing("dBFS", 1, "too low", "too high"),
  keys: (frame2) => [referenceKey(frame2)]
};
var RECORD_EQUALIZATION = {
  ...shared,
  title: "Record eq",
  measurement: "record",
  adjustment: "record-equalization",
  practiceTape: "record",
  signal: "response",
  heading: (_, lines2) => trebleHeading(lines2),
  nothing: (picture) => recordNothing(picture, "four tones 20 dB under reference level"),
  noAdvice: (_, picture) => recordNothing(picture, "four tones 20 dB under reference level"),
  drawing: responseDrawing
};
var trebleHeading = (lines2) => {
  const hz = lines2.find((l) => l.now)?.now?.frequencyHz;
  return hz ? `${hertz(hz)} against the reference tone, dB` : "Treble against the reference tone, dB";
};
function recordNothing(picture, what) {
  if (picture.source === "none") return `${NO_INPUT} P practises.`;
  if (!picture.sending) return `Thread blank tape, set the deck to record and to tape, and press S: ${what} ${what.startsWith("1") ? "is" : "are"} sent.`;
  return "Sending, and nothing comes off the tape: is the deck in record, and its output set to tape?";
}
var levelScreen = (frame2) => new AdjustScreen(frame2, LEVEL);
var equalizationScreen = (frame2) => new AdjustScreen(frame2, EQUALIZATION);
var recordLevelScreen = (frame2) => new AdjustScreen(frame2, RECORD_LEVEL);
var recordEqualizationScreen = (frame2) => new AdjustScreen(frame2, RECORD_EQUALIZATION);

// ../../src/Spoolwright.App/Web/Client/combs.ts
var TRAIL_SECONDS = 40;
var Combs = class {
  constructor(canvas) {
    this.canvas = canvas;
  }
  canvas;
  trail = [];
  reach = 60;
  forget() {
    this.trail.length = 0;
  }
  draw(picture, limitUs) {
    const { g, w, h, unit } = fit(this.canvas);
    const skew = picture.skew;
    const now = performance.now() / 1e3;
    if (skew) this.trail.push({ at: now, us: skew.us, sure: skew.cycle !== "nearest" });
    while (this.trail.length > 0 && now - this.trail[0].at > TRAIL_SECONDS) this.trail.shift();
    this.settleReach(skew?.us ?? 0, limitUs);
    const tones = (picture.tones ?? []).filter((t) => t.age < 60).slice(0, 7);
    const left = 5 * unit, right = w - unit, top = 2.2 * unit;
    const x = (us) => left + (us / this.reach + 1) / 2 * (right - left);
    const row = Math.min(3.4 * unit, h * 0.5 / Math.max(1, tones.length));
    const bottom = top + row * Math.max(1, tones.length);
    this.ground(g, x, top, h - 1.6 * unit, bottom, unit, limitUs);
    if (skew) {
      g.fillStyle = ink.beam;
      const half = Math.max(0.18 * unit, x(skew.u) - x(0));
      g.fillRect(x(skew.us) - half, top - 0.6 * unit, 2 * half, bottom - top + 0.9 * unit);
    }
    tones.forEach((tone, i) => {
      const y = top + row * i, stands = tone.age === 0;
      g.font = lettering(1.15 * unit);
      g.textAlign = "right";
      g.fillStyle = stands ? ink.text : ink.faint;
      g.fillText(hertz(tone.nominal), left - 0.7 * unit, y + row * 0.62);
      for (const tick of tone.ticks) {
        if (Math.abs(tick) > this.reach) continue;
        const agrees = stands && skew !== void 0 && Math.abs(tick - skew.us) < Math.max(1.5, 2 * skew.u, 0.03 * (1e6 / tone.hz));
        g.strokeStyle = agrees ? ink.value : stands ? ink.text : ink.faint;
        g.lineWidth = agrees ? 0.38 * unit : 0.16 * unit;
        g.beginPath();
        g.moveTo(x(tick), y + row * (agrees ? 0.08 : 0.3));
        g.lineTo(x(tick), y + row * (agrees ? 0.92 : 0.75));
        g.stroke();
        if (agrees) {
          g.fillStyle = ink.value;
          g.beginPath();
          g.arc(x(tick), y + row * 0.5, 0.5 * unit, 0, 7);
          g.fill();
        }
      }
    });
    this.past(g, x, bottom + 0.6 * unit, h - 2 * unit, now, unit);
  }
  settleReach(us, limit) {
    const wanted = Math.max(1.35 * Math.abs(us), limit ? 2.5 * Math.max(Math.abs(limit.min), Math.abs(limit.max)) : 0, 12);
    const steps2 = [15, 30, 60, 120, 240, 600];
    const fitting = steps2.find((s) => s >= wanted) ?? 600;
    if (fitting > this.reach || wanted < 0.35 * this.reach) this.reach = fitting;
  }
  ground(g, x, top, bottom, combs, unit, limit) {
    if (limit) {
      g.fillStyle = ink.zone;
      g.fillRect(x(limit.min), top - 0.6 * unit, x(limit.max) - x(limit.min), bottom - top + 0.6 * unit);
      g.strokeStyle = ink.edge;
      g.lineWidth = 0.14 * unit;
      g.setLineDash([0.6 * unit, 0.4 * unit]);
      for (const us of [limit.min, limit.max]) {
        g.beginPath();
        g.moveTo(x(us), top - 0.6 * unit);
        g.lineTo(x(us), bottom);
        g.stroke();
      }
      g.setLineDash([]);
    }
    g.strokeStyle = ink.line;
    g.lineWidth = 0.1 * unit;
    g.fillStyle = ink.text;
    g.font = lettering(1.1 * unit);
    g.textAlign = "center";
    for (const share of [-1, -0.5, 0, 0.5, 1]) {
      const us = share * this.reach;
      g.beginPath();
      g.moveTo(x(us), top - 0.4 * unit);
      g.lineTo(x(us), bottom);
      g.stroke();
      g.textAlign = share === -1 ? "left" : share === 1 ? "right" : "center";
      g.fillText(share === 0 ? "together" : `${us < 0 ? "−" : "+"}${Math.abs(us)}${Math.abs(share) === 1 ? " µs" : ""}`, x(us), bottom + 1.3 * unit);
    }
    g.fillStyle = ink.faint;
    g.textAlign = "left";
    g.fillText("◂ left later", x(-this.reach), top - 0.9 * unit);
    g.textAlign = "right";
    g.fillText("right later ▸", x(this.reach), top - 0.9 * unit);
    g.beginPath();
    g.moveTo(x(-this.reach), combs + 0.3 * unit);
    g.lineTo(x(this.reach), combs + 0.3 * unit);
    g.stroke();
  }
  past(g, x, top, bottom, now, unit) {
    g.lineWidth = 0.28 * unit;
    g.lineJoin = "round";
    g.strokeStyle = ink.value;
    g.beginPath();
    let open = false, last = 0;
    for (let i = this.trail.length - 1; i >= 0; i--) {
      const point = this.trail[i];
      const y = top + (now - point.at) / TRAIL_SECONDS * (bottom - top);
      if (Math.abs(point.us) > this.reach) {
        open = false;
        continue;
      }
      if (open && last - point.at < 0.5) g.lineTo(x(point.us), y);
      else g.moveTo(x(point.us), y);
      open = true;
      last = point.at;
    }
    g.stroke();
    g.fillStyle = ink.faint;
    g.textAlign = "right";
    g.font = lettering(unit);
    const beside = x(-this.reach) - 0.4 * unit;
    g.fillText("now", beside, top + 0.8 * unit);
    g.fillText(`${TRAIL_SECONDS} s ago`, beside, bottom);
  }
};

// ../../src/Spoolwright.App/Web/Client/azimuthScreen.ts
var AzimuthScreen = class {
  /** @param isRecord The record head's screw, by tones that are recorded and heard off tape meanwhile. */
  constructor(frame2, isRecord = false) {
    this.frame = frame2;
    this.isRecord = isRecord;
    [this.title, this.measurement, this.adjustment, this.practiceTape] = isRecord ? ["Record azimuth", "record", "record-azimuth", "record"] : ["Azimuth", "azimuth", "azimuth", "azimuth"];
    if (isRecord) this.signal = "response";
    this.value = el("output", { class: "value", "data-test": isRecord ? "record-skew" : "skew" }, "–");
    this.advice = new Advice(frame2, (_, picture) => isRecord ? recordMissing(picture) : nothing(picture));
    this.root.append(el("section", { class: "now", "aria-label": "Value now" }, el("h2", {}, isRecord ? "Delay that the record head adds, µs" : "Delay between the channels, µs"), this.value, this.side, this.angle, this.cycle), this.advice.root, this.section.root);
    this.keys = [
      ...this.advice.keys,
      { key: "F", label: "forget earlier tones", press: () => {
        frame2.link.send({ do: "forget" });
        this.combs.forget();
      } },
      { key: "B", label: isRecord ? "playback head" : "record head", press: () => frame2.go(isRecord ? "/azimuth" : "/record-azimuth") }
    ];
  }
  frame;
  isRecord;
  title;
  measurement;
  adjustment;
  practiceTape;
  signal;
  root = el("div", { class: "adjust" });
  keys;
  value;
  side = el("p", { class: "under" });
  angle = el("p", { class: "angle" });
  cycle = el("p", { class: "faint" });
  advice;
  section = pictureSection("Each tone's possible delays, and where they agree");
  combs = new Combs(this.section.canvas);
  perArcmin = null;
  described = 0;
  show(picture) {
    this.advice.show(picture);
    if (this.frame.hold) return;
    if (this.isRecord) {
      this.showRecord(picture, picture.readings?.find((r) => r.quantity === "record-time-skew"));
      return;
    }
    const reading = picture.readings?.find((r) => r.quantity === "time-skew");
    const angle = picture.readings?.find((r) => r.quantity === "azimuth-angle");
    this.showValue(picture, reading, angle);
    this.combs.draw(picture, this.limitUs(picture, angle));
    const far = distance(picture.desk?.lines ?? []) ?? (reading ? Math.abs(reading.value) / 5 : null);
    this.frame.guide.tell(far, reading ? `${Math.abs(reading.value).toFixed(0)} microseconds, ${reading.value > 0 ? "right" : "left"} later` : "");
  }
  showRecord(picture, reading) {
    const skew = picture.skew, playback = reading && skew ? skew.us - reading.value : null;
    this.combs.draw(picture, playback === null || reading?.min == null && reading?.max == null ? null : { min: playback + (reading.min ?? -reading.max), max: playback + (reading.max ?? -reading.min) });
    this.frame.guide.tell(distance(picture.desk?.lines ?? []), reading ? `${Math.abs(reading.value).toFixed(0)} microseconds, ${reading.value > 0 ? "right" : "left"} later` : "");
    if (!reading || playback === null) {
      say(this.value, "–");
      say(this.side, picture.sending && picture.skew && picture.skew.cycle !== "nearest" ? "How the playback head stands is not known." : recordMissing(picture));
      say(this.angle, "");
      say(this.cycle, "");
      return;
    }
    say(this.value, signed(reading.value, Math.abs(reading.value) < 100 ? Math.min(2, digitsFor(reading.uncertainty, 2)) : 1));
    say(this.side, `${Math.abs(reading.value) < (reading.uncertainty ?? 0) ? "together" : reading.value > 0 ? "right later" : "left later"}, ${plusMinus(reading.uncertainty, 2)} µs`);
    say(this.angle, reading.min == null && reading.max == null ? "The deck's profile has no limit for it." : `${range(reading.min ?? null, reading.max ?? null, 1)} µs
${verdictMark[reading.verdict ?? "not-measured"]}`);
    this.angle.dataset.verdict = reading.verdict ?? "";
    say(this.cycle, `The playback head's own ${signed(playback, 1)} µs is taken off.`);
    this.root.dataset.value = String(reading.value);
    this.root.dataset.uncertainty = String(reading.uncertainty);
    if (performance.now() - this.described > 2e3) {
      this.described = performance.now();
      this.section.canvas.setAttribute("aria-label", `Combs of ${picture.tones?.filter((t) => t.age === 0).length ?? 0} tones of the deck's own recording; the record head adds ${reading.value.toFixed(1)} microseconds`);
    }
  }
  showValue(picture, reading, angle) {
    if (!reading || !picture.skew) {
      say(this.value, "–");
      say(this.side, picture.source === "none" ? "No sound yet: press I to choose an input." : "No tone in both channels: play an azimuth tone.");
      say(this.angle, "");
      say(this.cycle, "");
      return;
    }
    say(this.value, `${signed(reading.value, Math.abs(reading.value) < 100 ? Math.min(2, digitsFor(reading.uncertainty, 2)) : 1)}`);
    say(this.side, `${Math.abs(reading.value) < (reading.uncertainty ?? 0) ? "together" : reading.value > 0 ? "right later" : "left later"}, ${plusMinus(reading.uncertainty, 2)} µs`);
    say(this.angle, angle ? `${signed(angle.value, 2)}′ ${plusMinus(angle.uncertainty, 2)}′, limit ${angle.limit ?? "none"}
${verdictMark[angle.verdict ?? "not-measured"]}` : "Choose a deck (press 1) for angle and limit.");
    this.angle.dataset.verdict = angle?.verdict ?? "";
    say(this.cycle, { resolved: "The tones allow this cycle alone.", followed: "Cycle followed from the low tone.", nearest: "Cycle not certain: play a low tone too (1 kHz)." }[picture.skew.cycle] + (picture.skew.reversed ? " One channel's polarity is reversed: check the wiring." : ""));
    this.root.dataset.value = String(reading.value);
    this.root.dataset.uncertainty = String(reading.uncertainty);
    this.root.dataset.tone = String(Math.max(...(picture.tones ?? []).filter((t) => t.age === 0).map((t) => t.nominal)));
    this.root.dataset.cycle = picture.skew.cycle;
    if (performance.now() - this.described > 2e3) {
      this.described = performance.now();
      this.section.canvas.setAttribute("aria-label", `Combs of ${picture.tones?.filter((t) => t.age === 0).length ?? 0} tones; they agree at ${reading.value.toFixed(1)} microseconds`);
    }
  }
  limitUs(picture, angle) {
    if (angle && picture.skew && Math.abs(angle.value) > 0.02) this.perArcmin = picture.skew.us / angle.value;
    if (!angle || this.perArcmin === null || angle.max == null) return null;
    const a = this.perArcmin * angle.max, b = this.perArcmin * (angle.min ?? -angle.max);
    return { min: Math.min(a, b), max: Math.max(a, b) };
  }
};
function nothing(picture) {
  if (!picture.skew) return "Play an azimuth tone; then turn the screw a little, and say how far.";
  return picture.readings?.some((r) => r.quantity === "azimuth-angle") ? "The deck's profile has no limit for the azimuth angle, so there is no target." : "There is no angle to aim for: choose a deck whose profile gives its tracks (press 1).";
}
function recordMissing(picture) {
  if (picture.source === "none" || !picture.sending || !picture.skew) return recordNothing(picture, "four tones 20 dB under reference level");
  if (!picture.readings?.some((r) => r.quantity === "record-time-skew"))
    return picture.skew.cycle === "nearest" ? "The tones allow several delays: wait, or press F." : picture.source === "practice" ? "Set the playback head first: press B, then P. Then come back (B) and send (S)." : "Set the playback head first by a test tape whose leaflet is named (press B), and keep it (K).";
  return "The deck's profile has no limit for the time skew due to record, so there is no target.";
}

// ../../src/Spoolwright.App/Web/Client/hills.ts
var SECONDS2 = 60;
var Hills = class {
  constructor(canvas) {
    this.canvas = canvas;
  }
  canvas;
  past = /* @__PURE__ */ new Map();
  forget() {
    this.past.clear();
  }
  draw(hills, lines2) {
    const { g, w, h, unit } = fit(this.canvas);
    const wide = w / Math.max(1, hills.length);
    hills.forEach((hill, i) => this.one(g, hill, lines2.find((l) => l.channel === hill.channel), i * wide, wide, h, unit));
    if (hills.length === 0) {
      g.fillStyle = ink.text;
      g.font = lettering(1.4 * unit);
      g.textAlign = "center";
      g.fillText("Each channel will stand here on its hill of level over bias.", w / 2, h / 2, w - 2 * unit);
    }
  }
  one(g, hill, line, x0, w, h, unit) {
    const min = line?.now?.min ?? (hill.wanted === null ? null : hill.wanted - 0.5), max = line?.now?.max ?? (hill.wanted === null ? null : hill.wanted + 0.5);
    const deepest = Math.max(4, 1.6 * (max ?? 0), 1.15 * Math.abs(hill.drop ?? 0));
    const reach = Math.sqrt(deepest), top = 4.2 * unit, bottom = h - 3.6 * unit;
    const x = (way2) => x0 + w / 2 + way2 / reach * (w / 2 - 1.2 * unit);
    const y = (drop2) => top + drop2 / deepest * (bottom - top);
    const slope = (from, to) => {
      g.beginPath();
      for (let k = 0; k <= 40; k++) {
        const way2 = from + (to - from) * k / 40;
        g.lineTo(x(way2), y(way2 * way2));
      }
    };
    if (min !== null && max !== null) {
      const a = Math.sqrt(Math.max(0, min)), b = Math.sqrt(Math.max(0, max));
      slope(a, b);
      g.lineTo(x(b), bottom);
      g.lineTo(x(a), bottom);
      g.fillStyle = ink.zone;
      g.fill();
      g.strokeStyle = ink.edge;
      g.lineWidth = 0.16 * unit;
      g.setLineDash([0.6 * unit, 0.4 * unit]);
      for (const way2 of [a, b]) {
        g.beginPath();
        g.moveTo(x(way2), y(way2 * way2));
        g.lineTo(x(way2), bottom);
        g.stroke();
      }
      g.setLineDash([]);
      g.fillStyle = ink.text;
      g.font = lettering(1.15 * unit, 600);
      g.textAlign = "center";
      g.fillText(`${min.toFixed(1)} to ${max.toFixed(1)} dB`, Math.min(x((a + b) / 2), x0 + w - 4.5 * unit), bottom + 1.4 * unit);
    }
    g.strokeStyle = hill.peak === null ? ink.faint : ink.text;
    g.lineWidth = 0.22 * unit;
    g.setLineDash(hill.peak === null ? [0.5 * unit, 0.6 * unit] : []);
    slope(-reach, reach);
    g.stroke();
    g.setLineDash([]);
    g.font = lettering(1.15 * unit);
    g.textAlign = "center";
    g.fillStyle = ink.faint;
    g.fillText(hill.peak === null ? "peak, not passed yet" : `peak ${signed(hill.peak, 2)} dBFS`, x(0), top - 0.9 * unit);
    g.fillText("less bias ◂    ▸ more bias", x(0), h - 0.5 * unit);
    this.balls(g, hill, x, y, unit, reach);
    g.fillStyle = colour(hill.channel);
    g.font = lettering(1.3 * unit, 600);
    g.textAlign = "left";
    g.fillText(hill.channel === "left" ? "◀ left" : "right ▶", x0 + unit, 1.4 * unit);
  }
  balls(g, hill, x, y, unit, reach) {
    if (hill.peak === null || hill.drop === null) {
      const way2 = -0.62 * reach;
      bob(g, hill.channel, x(way2), y(way2 * way2) - 0.2 * unit, unit);
      g.font = lettering(1.6 * unit, 600);
      g.textAlign = "left";
      g.fillText(hill.rising > 0 ? "↗ rising" : hill.rising < 0 ? "↘ falling" : "still", x(way2) + 1.9 * unit, y(way2 * way2) + 0.6 * unit);
      return;
    }
    const root = Math.sqrt(Math.max(0, hill.drop)), now = performance.now() / 1e3;
    const ways = hill.side === "side-unknown" ? [-root, root] : [hill.side === "under" ? -root : root];
    const past = this.past.get(hill.channel) ?? [];
    this.past.set(hill.channel, past);
    if (ways.length === 1) past.push({ at: now, x: ways[0] });
    while (past.length > 0 && now - past[0].at > SECONDS2) past.shift();
    g.fillStyle = colour(hill.channel);
    for (const point of past) {
      g.globalAlpha = 0.05 + 0.3 * (1 - (now - point.at) / SECONDS2);
      g.beginPath();
      g.arc(x(point.x), y(point.x * point.x), 0.28 * unit, 0, 7);
      g.fill();
    }
    g.globalAlpha = 1;
    for (const way2 of ways) {
      bob(g, hill.channel, x(way2), y(way2 * way2) - 0.3 * unit, unit);
      if (ways.length > 1) g.fillText("?", x(way2), y(way2 * way2) - 2 * unit);
    }
  }
};

// ../../src/Spoolwright.App/Web/Client/biasScreen.ts
var SENT = "1 kHz and the bias tone, 20 dB under reference level";
function way(hill, picture) {
  if (!hill) return recordNothing(picture, SENT);
  if (hill.peak === null) return hill.rising < 0 ? "The level falls, and no peak was passed: turn the bias the other way, slowly, over its top." : "Turn the bias up, slowly and steadily, until the level has gone over its top.";
  if (hill.side === "side-unknown") return "Which side of the peak this is cannot be told yet: go on turning up, past the top.";
  if (hill.wanted === null) return `Past the peak by ${hill.drop?.toFixed(1)} dB. What drop this tape wants is not known: the deck's profile says it for each tape setting.`;
  return "Wait a moment: the value settles.";
}
function unproven(line) {
  const now = line.now;
  if (!now || now.uncertainty == null) return "";
  return `The top is known to ±${now.uncertainty.toFixed(1)} dB only: turn back until the level has gone over it and 2 dB down, then slowly over it once more, about ten seconds for the last half decibel up and the first down.`;
}
var BIAS = {
  title: "Bias",
  measurement: "bias",
  adjustment: "bias",
  practiceTape: "record",
  signal: "bias",
  channels: ["left", "right"],
  unit: "dB",
  digits: 2,
  heading: (picture) => picture.hills?.[0] ? `Drop past the bias peak at ${hertz(picture.hills[0].hz)}, dB` : "Drop past the bias peak, dB",
  nothing: (picture) => picture.hills?.length ? "No peak passed yet." : recordNothing(picture, SENT),
  noAdvice: (line, picture) => way(picture.hills?.find((h) => h.channel === line.channel), picture),
  unproven,
  under: (_, lines2) => lines2.some((l) => (l.now?.value ?? 0) < 0) ? "Negative: not at the peak yet, too little bias." : "",
  drawing: () => {
    const { root, canvas } = pictureSection("Each channel on its hill of level over bias");
    const hills = new Hills(canvas);
    return { root, draw: (picture, lines2) => hills.draw(picture.hills ?? [], lines2), forget: () => hills.forget() };
  }
};
var biasScreen = (frame2) => new AdjustScreen(frame2, BIAS);

// ../../src/Spoolwright.App/Web/Client/captureScreen.ts
var PROGRAMS = { record: "multitone", distortion: "mol", noise: "blank", crosstalk: "multitone", dropouts: "dropouts" };
var CaptureScreen = class {
  constructor(frame2, measurement) {
    this.frame = frame2;
    this.measurement = measurement;
    this.signal = PROGRAMS[measurement];
    void this.load();
  }
  frame;
  measurement;
  title = "Capture";
  practiceTape = "record";
  signal;
  root = el("div", { class: "page" });
  keys = [];
  state = el("p", { class: "next", role: "status" });
  show(picture) {
    if (picture.source === "none") say(this.state, "No sound yet: press I to choose an input, or P to practise.");
    else if (picture.keep && ["recording", "measuring"].includes(picture.keep.state)) say(this.state, "Leave the deck alone until it is kept.");
    else if (picture.sending?.program) say(this.state, "The program stands ready. Set the deck to record and to tape; K keeps it as left, J as found: the program plays once from its beginning.");
    else if (this.signal) say(this.state, "Thread blank tape, set the deck to record, and press S to make the program ready.");
    else say(this.state, "Play it, and press K to keep it as left, J as found.");
  }
  async load() {
    const about = choice.job ? (await (await fetch(`/api/jobs/${choice.job}/matrix`)).json()).measurements?.find((m) => m.id === this.measurement) : void 0;
    this.root.replaceChildren(el("h1", {}, about?.name ?? this.measurement), el("p", { class: "under" }, about?.play ?? "Choose a deck first (press 1)."), this.state, el("p", {}, "A capture made elsewhere can be dropped here."));
    void this.frame;
  }
};

// ../../src/Spoolwright.App/Web/Client/homeScreen.ts
var tapeText = () => choice.tapeName ? `Playing from ${choice.tapeName}: its tones and levels are held against what is heard. Nothing is sent to the deck while it is threaded; X says that it is off.` : "None: level and response of playback need one; speed and azimuth do without.";
var HomeScreen = class {
  constructor(frame2) {
    this.frame = frame2;
    const form2 = el(
      "form",
      { class: "plain" },
      el("h2", {}, "Take a deck in"),
      el("p", {}, el("label", { for: "serial" }, "Serial number "), this.serial),
      el("p", {}, el("label", { for: "profile" }, "Deck profile (none: the example's) "), this.profile),
      el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " open a job")
    );
    form2.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.add();
    });
    const tape = el("input", { type: "file", id: "tape", accept: ".json,application/json" });
    const tapeNow = el("p", { class: "faint" }, tapeText());
    tape.addEventListener("change", () => void (async () => {
      const file = tape.files?.[0];
      save({ tape: await file?.text() ?? "", tapeName: file?.name ?? "" });
      frame2.renew();
      tapeNow.textContent = tapeText();
    })());
    this.root.append(
      el("h1", {}, "Decks on the bench"),
      this.list,
      form2,
      el("section", { class: "plain" }, el("h2", {}, "Test tape"), el("p", {}, el("label", { for: "tape" }, "Its leaflet, written as a file (docs/guide/test-tapes.md) "), tape), tapeNow),
      el("section", {}, el("h2", {}, "No deck at hand?"), el("p", {}, "Press P on any measuring screen: a practice deck plays, with faults to find and controls to turn. G leads to its page, and to all others. A sound file can be dropped on any page, or opened with D, and is measured there."))
    );
    this.keys = [
      { key: "E", label: "take a deck in", press: () => this.serial.focus() },
      { key: "N", label: "next deck's matrix", press: () => this.next() }
    ];
    void this.load();
  }
  frame;
  title = "Decks";
  measurement = null;
  root = el("div", { class: "page" });
  keys;
  jobs = [];
  list = el("div", { class: "decks" });
  serial = el("input", { type: "text", id: "serial", autocomplete: "off", required: "" });
  profile = el("input", { type: "file", id: "profile", accept: ".json,application/json" });
  async load() {
    const home = await (await fetch("/api/home")).json();
    this.jobs = home.decks.flatMap((d) => d.jobs.map((j) => ({ id: j.id, deck: `${d.profile}, ${d.serial}` })));
    if (home.decks.length === 0) this.list.replaceChildren(el("p", {}, "The book is empty. Take a deck in below, or press P to practise."));
    else this.list.replaceChildren(...home.decks.map((deck2) => el("article", {}, el("h2", {}, `${deck2.profile}, ${deck2.serial}`), deck2.description ? el("p", { class: "faint" }, deck2.description) : null, el("ul", {}, ...deck2.jobs.map((job) => this.job(deck2.profile + ", " + deck2.serial, job))))));
    if (home.inAll > home.decks.length) this.list.append(el("p", {}, `${home.inAll - home.decks.length} others: the book's page of decks lists them (G), and / finds any.`));
    this.root.append(el("p", { class: "faint foot" }, `${home.version}; service book ${home.book}`));
  }
  job(deck2, job) {
    const open = el("button", { type: "button", class: "key" }, job.id === choice.job ? "✓ on the bench: matrix" : "matrix");
    open.addEventListener("click", () => {
      save({ job: job.id, deck: deck2 });
      this.frame.go("/matrix");
    });
    return el("li", {}, `${job.what}, ${job.closed ? `closed ${job.closed.slice(0, 10)}, opened ${job.opened.slice(0, 10)}` : `open since ${job.opened.slice(0, 10)}`} `, open, " ", this.page(job.id), " ", el("a", { href: `/record/${job.id}`, target: "_blank", rel: "noopener" }, "record"));
  }
  page(job) {
    const open = el("button", { type: "button", class: "key" }, "plan, clock and checks");
    open.addEventListener("click", () => this.frame.go(`/book/job/${job}`));
    return open;
  }
  // By keys alone: the first open job after the one on the bench.
  next() {
    if (this.jobs.length === 0) return;
    const at = this.jobs.findIndex((j) => j.id === choice.job), job = this.jobs[(at + 1) % this.jobs.length];
    save({ job: job.id, deck: job.deck });
    this.frame.go("/matrix");
  }
  async add() {
    const profile = await this.profile.files?.[0]?.text();
    const answer = await fetch("/api/decks", { method: "POST", body: JSON.stringify({ serial: this.serial.value, profile: profile ?? "" }) });
    const said2 = await answer.json();
    if (!said2.job) {
      this.frame.tell(said2.problem ?? "The deck could not be taken in.");
      return;
    }
    save({ job: said2.job, deck: this.serial.value });
    this.frame.go("/matrix");
  }
};

// ../../src/Spoolwright.App/Web/Client/matrixScreen.ts
var SCOPES = { gauges: "By gauge and stopwatch, once for all speeds", playback: "Played", record: "Recorded, each tape setting" };
var MatrixScreen = class {
  constructor(frame2) {
    this.frame = frame2;
    this.keys = [
      { key: "N", label: "begin what comes next", press: () => this.begin(this.matrix?.next) },
      { key: "W", label: "what ails it", press: () => this.why() },
      { key: "R", label: "record", press: () => {
        if (choice.job) window.open(`/record/${choice.job}`, "_blank", "noopener");
      } },
      { key: "ArrowLeft", label: "", press: () => this.move(0, -1) },
      { key: "ArrowRight", label: "", press: () => this.move(0, 1) },
      { key: "ArrowUp", label: "", press: () => this.move(-1, 0) },
      { key: "ArrowDown", label: "", press: () => this.move(1, 0) }
    ];
    void this.load();
  }
  frame;
  title = "Matrix";
  measurement = null;
  root = el("div", { class: "page" });
  keys;
  matrix = null;
  async load() {
    if (!choice.job) {
      this.root.replaceChildren(el("h1", {}, "No deck chosen"), el("p", {}, "Press 1 and choose one: its matrix shows what has and has not been proven."));
      return;
    }
    const answer = await fetch(`/api/jobs/${choice.job}/matrix`);
    const matrix = await answer.json();
    if (matrix.problem) {
      this.root.replaceChildren(el("h1", {}, "This deck is not in the book"), el("p", {}, `${matrix.problem} Press 1 and choose another.`));
      return;
    }
    this.matrix = matrix;
    save({ deck: `${matrix.profile}, ${matrix.serial}`, speeds: matrix.speeds, directions: matrix.directions, settings: matrix.settings });
    this.root.replaceChildren(
      el("h1", {}, `${matrix.profile}, ${matrix.serial}`),
      this.next(matrix),
      el("p", { class: "faint" }, "Arrow keys go from cell to cell, Enter begins what stands there, W asks what ails it. ▶ comes next; ! was measured before something was turned that it hangs on."),
      ...matrix.parts.map((part) => this.part(matrix, part))
    );
  }
  next(matrix) {
    if (!matrix.next) return el("p", { class: "nextline" }, "Every cell is met, and none is in doubt.");
    const name = matrix.measurements.find((m) => m.id === matrix.next.measurement);
    return el("p", { class: "nextline" }, el("strong", {}, "Next in the order of the trade: "), `${name?.name}, ${condition(matrix.next)} (${matrix.next.doubt ? "in doubt" : verdictMark[matrix.next.verdict]}). `, el("span", { class: "faint" }, name?.play ?? ""));
  }
  part(matrix, part) {
    const name = (id) => matrix.measurements.find((m) => m.id === id)?.name ?? id;
    return el(
      "section",
      {},
      el("h2", {}, SCOPES[part.scope]),
      el(
        "div",
        { class: "scroll", tabindex: "0", role: "region", "aria-label": SCOPES[part.scope] },
        el(
          "table",
          { class: "matrix" },
          el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "condition"), ...part.columns.map((c) => el("th", { scope: "col" }, `${name(c.measurement)}${c.channel === "both" ? "" : ", " + c.channel}`)))),
          el("tbody", {}, ...part.rows.map((row) => el("tr", {}, el("th", { scope: "row" }, part.scope === "gauges" ? row.direction : condition(row)), ...row.cells.map((cell) => el("td", {}, cell.measurement ? this.cell(row, cell) : el("span", { class: "faint" }, "no limit"))))))
        )
      )
    );
  }
  cell(row, cell) {
    const next = this.matrix?.next;
    const isNext = next && next.direction === row.direction && next.speed === row.speed && next.setting === row.setting && next.measurement === cell.measurement && next.channel === cell.channel;
    const digits = digitsFor(cell.uncertainty ?? null);
    const what = cell.value === void 0 ? cell.why ? `could not run: ${cell.why}` : "" : `${cell.name}${cell.frequencyHz ? " at " + hertz(cell.frequencyHz) : ""}: ${figure(cell.value, digits, cell.limit)} ${plusMinus(cell.uncertainty ?? null, digits)}${unitOf(cell)}, limit ${cell.limit?.replaceAll("-", "−")}`.replaceAll(" ± ", " ± ");
    const button = el(
      "button",
      { type: "button", class: "cell", "data-verdict": cell.doubt ? "doubt" : cell.verdict, "data-measurement": cell.measurement ?? "", "data-next": isNext ? "yes" : "", "data-asks": asks(row, cell) },
      el("b", {}, `${isNext ? "▶ " : ""}${cell.doubt ? "! in doubt, was " : ""}${verdictMark[cell.verdict]}`),
      el("span", {}, cell.margin == null ? "" : `margin ${signed(cell.margin, digitsFor(cell.uncertainty ?? null))}${unitOf(cell)}`),
      el("small", {}, what),
      cell.doubt ? el("small", {}, cell.doubt) : null,
      el("small", { class: "faint" }, cell.mark ?? "")
    );
    button.addEventListener("click", () => this.begin({ ...row, ...cell }));
    return button;
  }
  move(rows, columns) {
    const cells = [...this.root.querySelectorAll(".cell")], at = document.activeElement;
    if (!at || !cells.includes(at)) {
      (this.root.querySelector(".cell[data-next=yes]") ?? cells[0])?.focus();
      return;
    }
    const row = at.closest("tr"), lines2 = [...this.root.querySelectorAll("tbody tr")];
    const column = [...row.children].indexOf(at.closest("td")) + columns, line = lines2[lines2.indexOf(row) + rows] ?? row;
    line.children[Math.max(1, Math.min(column, line.children.length - 1))]?.querySelector(".cell")?.focus();
  }
  // From the cell that has the focus; from none of them, the deck as a whole.
  why() {
    if (!choice.job) return;
    const at = document.activeElement, asked2 = new URLSearchParams(at?.classList.contains("cell") ? at.dataset["asks"] ?? "" : "").toString();
    this.frame.go(`/book/ails/${choice.job}${asked2 ? `?${asked2}` : ""}`);
  }
  begin(cell) {
    if (!cell?.measurement) return;
    save({ direction: cell.direction, speed: cell.speed, ...cell.setting ? { setting: cell.setting } : {} });
    this.frame.go(placeOf(cell.measurement));
  }
};
var figure = (value, digits, limit = "") => value >= 0 && !/[±−-]/.test(limit) ? value.toFixed(digits) : signed(value, digits);
var unitOf = (cell) => !cell.unit || cell.unit === "1" || cell.unit === "1/min" ? "" : ` ${cell.unit}`;
var condition = (of) => `${of.direction}, ${of.speed} cm/s${of.setting ? `, ${of.setting}` : ""}`;
var asks = (row, cell) => new URLSearchParams({ measurement: cell.measurement ?? "", channel: cell.channel, direction: row.direction, speed: String(row.speed), ...row.setting ? { setting: row.setting } : {} }).toString();

// ../../src/Spoolwright.App/Web/Client/practiceScreen.ts
var PracticeScreen = class {
  constructor(frame2) {
    this.frame = frame2;
    const labelled = (text2, of) => el("label", { for: of.id, hidden: "" }, `${text2} `, of);
    const form2 = el(
      "form",
      { class: "plain" },
      el("h2", {}, "What is wrong with it?"),
      el("p", {}, el("label", { for: "kind" }, "Fault "), this.kind, " ", labelled("direction", this.place.direction), labelled("channel", this.place.side), labelled("tape setting", this.place.setting), el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " write it down")),
      this.list
    );
    form2.addEventListener("submit", (event) => {
      event.preventDefault();
      this.write();
    });
    this.kind.addEventListener("change", () => this.places());
    this.root.append(el("h1", {}, "Practice deck"), el("p", {}, "A deck in software, healthy but for a few hidden faults. Measure and turn it on the screens as a real one (P plays it there). Some faults a trimmer mends; dirt and wear stay, and have to be named."), this.now, form2, this.verdict);
    this.keys = [
      { key: "N", label: "new deck", press: () => void this.make() },
      { key: "E", label: "name a fault", press: () => this.kind.focus() },
      { key: "B", label: "take the last one back", press: () => {
        this.words.pop();
        this.showWords();
      } },
      { key: "D", label: "done: judge and reveal", press: () => void this.judge() }
    ];
    void this.load();
  }
  frame;
  title = "Practice";
  measurement = null;
  root = el("div", { class: "page" });
  keys;
  now = el("p", { class: "under", "data-test": "practice-deck" });
  kind = el("select", { id: "kind" });
  place = { direction: pick("where-direction", ["forward", "reverse"]), side: pick("where-side", ["left", "right"]), setting: pick("where-setting", []) };
  list = el("ul", { "data-test": "diagnosis" });
  verdict = el("section", { class: "plain", "data-test": "score", "aria-live": "polite" });
  words = [];
  about = null;
  async load() {
    this.about = await (await fetch("/api/practice")).json();
    this.kind.replaceChildren(...this.about.kinds.map((k) => el("option", { value: k.name }, `${k.name}: ${k.meaning}`)));
    this.place.setting.replaceChildren(...this.about.settings.map((s) => el("option", { value: s }, s)));
    say(this.now, this.about.there ? `Specimen ${this.about.specimen} stands on the bench. It has ${this.about.faults} hidden ${this.about.faults === 1 ? "fault" : "faults"}.` : "None stands on the bench yet: press N.");
    this.places();
  }
  async make() {
    const text2 = await this.frame.ask("New practice deck", "How many hidden faults, 0 to 6", "3");
    if (text2 === null) return;
    this.frame.link.send({ do: "stop" });
    const answer = await (await fetch("/api/practice/new", { method: "POST", body: JSON.stringify({ faults: Number(text2) }) })).json();
    this.words = [];
    this.showWords();
    this.verdict.replaceChildren();
    await this.load();
    this.frame.tell(answer.problem ?? "A new practice deck stands on the bench. P plays it on any measuring screen.");
  }
  places() {
    const kind = this.about?.kinds.find((k) => k.name === this.kind.value);
    for (const part of ["direction", "side", "setting"]) this.place[part].parentElement.hidden = !kind?.[part];
  }
  write() {
    const kind = this.about?.kinds.find((k) => k.name === this.kind.value);
    if (!kind) return;
    const word = [kind.name, ...["direction", "side", "setting"].filter((p) => kind[p]).map((p) => this.place[p].value)].join(".");
    if (!this.words.includes(word)) this.words.push(word);
    this.showWords();
    document.activeElement?.blur();
  }
  showWords() {
    this.list.replaceChildren(...this.words.map((w) => el("li", {}, w)));
  }
  async judge() {
    const said2 = await (await fetch("/api/practice/diagnose", { method: "POST", body: JSON.stringify({ words: this.words }) })).json();
    if (said2.problem) {
      this.frame.tell(said2.problem);
      return;
    }
    const mark = { right: "✓ right", "kind only": "? the kind, not the place", wrong: "✗ wrong" };
    this.verdict.replaceChildren(
      el("h2", {}, `Score: ${said2.score} of 100`),
      el("ul", {}, ...(said2.words ?? []).map((w) => el("li", {}, `${w.word}: ${mark[w.finding] ?? w.finding}`))),
      el("p", {}, said2.missed === 0 ? "None was missed." : `${said2.missed} missed.`),
      el("h3", {}, "The answers"),
      el("ul", {}, ...(said2.answers ?? []).map((a) => el("li", {}, `${a.meaning}${a.name.includes(".") ? ` (${a.name.split(".").slice(1).join(", ")})` : ""}`)))
    );
    this.frame.tell(`Score: ${said2.score} of 100.`);
  }
};
var pick = (id, words) => el("select", { id }, ...words.map((w) => el("option", { value: w }, w)));

// ../../src/Spoolwright.App/Web/Client/soundScreen.ts
var SoundScreen = class {
  constructor(frame2, output2) {
    this.frame = frame2;
    this.output = output2;
    this.root.append(
      el("h1", {}, "Sound"),
      this.input,
      el(
        "section",
        { class: "plain" },
        el("h2", {}, "Is the input true?"),
        el("p", {}, "Connect the interface's output to its input (or set the deck to source) and press Z: for six seconds a known signal goes out, and what comes back is looked at. Left and right that come back mixed, gain that follows the sound, and filters for speech are found, and the input is refused."),
        this.bar,
        this.result
      ),
      el("section", { class: "plain" }, el("h2", {}, "What is sent"), el("p", {}, "A tone that asks for reference level is sent at ", this.level, " dBFS. + and − set it: turn it until the deck's meter shows its reference in source."), this.out),
      el("section", { class: "plain" }, el("h2", {}, "From sound to picture"), this.delay),
      ...isTablet ? [] : [el("section", { class: "plain" }, el("h2", {}, "A tablet at the bench"), this.pair)]
    );
    say(this.pair, "Q gives a code for a tablet, where the bench was started with --listen.");
    say(this.delay, "Not measured yet: it is counted while the browser's own input is open.");
    this.keys = [
      { key: "Z", label: "check the input", press: () => {
        frame2.link.send({ do: "check" });
        this.seen = "";
      } },
      { key: "+", label: "send louder", press: () => this.louder(0.5) },
      { key: "-", label: "send quieter", press: () => this.louder(-0.5) },
      ...isTablet ? [] : [{ key: "Q", label: "code for a tablet", press: () => void this.code() }]
    ];
    this.sayLevel();
  }
  frame;
  output;
  title = "Sound";
  measurement = null;
  root = el("div", { class: "page" });
  keys;
  input = el("p", { class: "under" });
  result = el("ul", { "data-test": "check" });
  bar = el("progress", { max: "1", value: "0", "aria-label": "Check of the input", hidden: "" });
  level = el("output", { class: "number", "data-test": "output-level" });
  out = el("p", { "data-test": "output-peak" });
  delay = el("p", { "data-test": "latency" });
  pair = el("p", { "data-test": "pair" });
  seen = "";
  show(picture) {
    say(this.input, picture.source === "none" ? "No input is open: press I." : picture.source === "practice" ? "The practice deck plays: made by this program, nothing between it and the meters." : `Open at ${picture.input?.rate} Hz${(picture.input?.rate ?? 48e3) < 48e3 ? ": tones above 20 kHz are out of its reach, nothing else" : ""}.`);
    const check = picture.check;
    this.bar.hidden = !check || check.done;
    if (check) this.bar.value = check.progress;
    const text2 = JSON.stringify(check?.notes ?? "");
    if (check?.done && text2 !== this.seen) {
      this.seen = text2;
      this.result.replaceChildren(...(check.notes ?? []).map((n) => el("li", { "data-code": n.code }, `${n.severity === "error" ? "✗" : "✓"} ${n.text}`)));
      this.frame.tell(check.usable ? "✓ The input may be used." : "✗ The input must not be used as it is.");
    }
    const peak = this.output.peakDb;
    say(this.out, peak === null ? "Nothing is being sent." : `Now going out: peak ${signed(peak, 1)} dBFS.`);
    const sorted = [...this.frame.link.latencies].sort((a, b) => a - b);
    if (sorted.length > 20) {
      const [median, late] = [sorted[sorted.length >> 1], sorted[Math.floor(sorted.length * 0.95)]];
      say(this.delay, `From a block of sound to the paint of its picture: median ${median.toFixed(0)} ms, 95 of 100 within ${late.toFixed(0)} ms.`);
      Object.assign(this.delay.dataset, { median: median.toFixed(1), late: late.toFixed(1), count: String(sorted.length) });
    }
  }
  louder(db) {
    save({ outputDb: Math.max(-60, Math.min(-3, choice.outputDb + db)) });
    this.sayLevel();
    const sending = this.frame.link.last?.sending;
    if (sending && !sending.program) this.frame.link.send({ do: "send", signal: sending.name, level: choice.outputDb });
  }
  sayLevel() {
    say(this.level, signed(choice.outputDb, 1));
  }
  async code() {
    const answer = await (await fetch("/api/pair", { method: "POST" })).json();
    say(this.pair, answer.code ? `On the tablet open ${answer.address} and type ${answer.code.slice(0, 4)} ${answer.code.slice(4)}. It holds for five minutes and one tablet.` : "The bench listens to this machine alone. Start it with --listen and this machine's address to let a tablet in.");
  }
};

// ../../src/Spoolwright.App/Web/Client/rings.ts
var STEPS = [0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5];
var Rings = class {
  constructor(canvas) {
    this.canvas = canvas;
  }
  canvas;
  scale = 0.1;
  toldAt = -Infinity;
  draw(rings) {
    const { g, w, h, unit } = fit(this.canvas);
    if (rings.length === 0) return;
    this.inWords(rings);
    const most = Math.max(...rings.map((r) => Math.max(...r.percent.map(Math.abs))));
    const fitting = STEPS.find((s) => s >= most) ?? 5;
    if (fitting > this.scale || most < 0.3 * this.scale) this.scale = fitting;
    const size = (n) => (n > 1 && w / n < 13 * unit ? 0 : 1) * Math.min(w / n, (h - 1.8 * unit) / Math.ceil(rings.length / n) - 3.6 * unit);
    const columns = rings.map((_, i) => i + 1).reduce((best, n) => size(n) > size(best) ? n : best, 1);
    const lines2 = Math.ceil(rings.length / columns);
    const cw = w / columns, ch = (h - 1.8 * unit) / lines2;
    rings.forEach((ring, i) => this.one(g, ring, i % columns * cw, Math.floor(i / columns) * ch, cw, ch, unit));
    g.fillStyle = ink.faint;
    g.font = lettering(1.1 * unit);
    g.textAlign = "left";
    g.fillText(`Dashed: mean speed. Outer circle ${this.scale} % faster, inner ${this.scale} % slower.`, 0.4 * unit, h - 0.5 * unit);
  }
  // For who cannot see the picture; once a second is as often as it can be read.
  inWords(rings) {
    if (performance.now() - this.toldAt < 1e3) return;
    this.toldAt = performance.now();
    this.canvas.setAttribute("aria-label", `Flutter of each rotating part over its turn. ${rings.map((r) => `${r.part}: ${turning(r)}`).join("; ")}`);
  }
  one(g, ring, x0, y0, cw, ch, unit) {
    const radius = Math.max(10, Math.min(cw, ch - 3.6 * unit) * 0.5 - 0.6 * unit);
    const base = radius * 0.66, swing = radius * 0.34;
    const cx = x0 + cw / 2, cy = y0 + radius + 0.5 * unit;
    g.lineWidth = 0.09 * unit;
    for (const [r, dash] of [[base + swing, []], [base, [0.5 * unit, 0.4 * unit]], [base - swing, []]]) {
      g.strokeStyle = dash.length > 0 ? ink.faint : ink.line;
      g.setLineDash(dash);
      g.beginPath();
      g.arc(cx, cy, r, 0, 7);
      g.stroke();
    }
    g.setLineDash([]);
    const n = ring.percent.length;
    g.strokeStyle = ink.value;
    g.lineWidth = 0.26 * unit;
    g.lineJoin = "round";
    g.beginPath();
    for (let k = 0; k <= n; k++) {
      const r = base + swing * Math.max(-1.4, Math.min(1.4, ring.percent[k % n] / this.scale));
      const angle2 = 2 * Math.PI * k / n - Math.PI / 2;
      g.lineTo(cx + r * Math.cos(angle2), cy + r * Math.sin(angle2));
    }
    g.stroke();
    const off = swing * Math.min(1.4, ring.peak / this.scale), angle = ring.degrees * Math.PI / 180 - Math.PI / 2;
    const ex = cx + off * Math.cos(angle), ey = cy + off * Math.sin(angle);
    g.strokeStyle = ink.text;
    g.fillStyle = ink.text;
    g.lineWidth = 0.14 * unit;
    g.beginPath();
    g.moveTo(cx - 0.5 * unit, cy);
    g.lineTo(cx + 0.5 * unit, cy);
    g.moveTo(cx, cy - 0.5 * unit);
    g.lineTo(cx, cy + 0.5 * unit);
    g.moveTo(cx, cy);
    g.lineTo(ex, ey);
    g.stroke();
    g.beginPath();
    g.arc(ex, ey, 0.32 * unit, 0, 7);
    g.fill();
    g.textAlign = "center";
    g.font = lettering(1.25 * unit, 600);
    g.fillText(ring.part, cx, cy + radius + 1.3 * unit);
    g.font = lettering(1.1 * unit);
    g.fillText(turning(ring), cx, cy + radius + 2.8 * unit);
  }
};
var turning = (ring) => `${ring.peak.toFixed(3)} % a turn, ${ring.rate.toFixed(2)}/s`;

// ../../src/Spoolwright.App/Web/Client/speedScreen.ts
var ROWS = [
  ["speed-error", "speed, mean"],
  ["wow-flutter-quasi-peak", "weighted, quasi-peak"],
  ["wow-flutter-two-sigma", "weighted, two sigma"],
  ["wow-flutter-rms", "weighted, rms"],
  ["wow-flutter-unweighted-rms", "unweighted, rms"],
  ["wow-rms", "wow, to 10 Hz, rms"],
  ["flutter-rms", "flutter, from 10 Hz, rms"]
];
var SpeedScreen = class {
  constructor(frame2) {
    this.frame = frame2;
    this.advice = new Advice(frame2, () => "Play the steady tone of a test tape.");
    for (const [id, name] of ROWS) {
      const cells = [el("td", { class: "number", "data-test": id }, "–"), el("td", {}, ""), el("td", {}, "")];
      this.cells.set(id, cells);
      this.body.append(el("tr", {}, el("th", { scope: "row" }, name), ...cells));
    }
    this.section.root.append(this.missing);
    this.root.append(
      this.section.root,
      el("section", { class: "now", "aria-label": "Value now" }, el("h2", {}, "Speed over the last second"), this.value, this.under),
      this.advice.root,
      el("section", { class: "hanging", "aria-label": "Where it has been" }, this.past),
      el(
        "section",
        { class: "table", tabindex: "0", "aria-label": "Every detector" },
        el("table", {}, el("caption", {}, "The last 20 seconds, %"), el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "detector"), el("th", { scope: "col" }, "value"), el("th", { scope: "col" }, "limit"), el("th", { scope: "col" }, "verdict"))), this.body)
      )
    );
    this.keys = [...this.advice.keys, { key: "Y", label: "reel radii", press: () => void this.radii() }];
  }
  frame;
  title = "Speed";
  measurement = "speed";
  adjustment = "speed";
  practiceTape = "speed";
  root = el("div", { class: "adjust speed" });
  keys;
  value = el("output", { class: "value", "data-test": "speed" }, "–");
  under = el("p", { class: "under" });
  body = el("tbody");
  cells = /* @__PURE__ */ new Map();
  section = pictureSection("One turn of each rotating part");
  rings = new Rings(this.section.canvas);
  past = el("canvas", { role: "img", "aria-label": "Where the speed has been" });
  trail = new HangingTrail(this.past, "%", 2, "slow", "fast");
  missing = el("p", { class: "over" });
  advice;
  show(picture) {
    this.advice.show(picture);
    if (this.frame.hold) return;
    const speed = picture.speed, lines2 = picture.desk?.lines ?? [];
    if (!speed) {
      say(this.value, "–");
      say(this.under, picture.source === "none" ? "No sound yet: press I to choose an input." : "No speed tone: play the steady tone of a test tape (3150 or 3000 Hz).");
    } else {
      say(this.value, `${signed(speed.now, 2)} %`);
      say(this.under, `${speed.now > 0 ? "fast" : "slow"}, against ${speed.nominalHz} Hz${speed.seconds < 5 ? "; flutter settles …" : `; flutter of ${speed.seconds.toFixed(0)} s`}`);
    }
    for (const [id, cells] of this.cells) this.row(id, cells, picture.readings?.find((r) => r.quantity === id));
    this.frame.guide.tell(distance(lines2), spoken(lines2, 2));
    this.rings.draw(picture.rings ?? []);
    drawTrail(this.trail, speed ? lines2 : []);
    say(this.missing, (picture.rings?.length ?? 0) > 0 ? "" : speed ? "Rings need a deck whose profile lists its rotating parts: press 1 and choose one." : "Here every rotating part will draw its ring: round and centred when it runs true.");
  }
  async radii() {
    const text2 = await this.frame.ask("Reels", "Radius of the tape on the supply reel, and on the take-up reel, mm (such as 62 81); empty: not known");
    if (text2 === null) return;
    const typed = text2.split(/[\s;]+|,\s+/).filter(Boolean), comma = typed.find((r) => r.includes(","));
    if (comma !== void 0) {
      this.frame.tell(`✗ ${comma} may be one radius or two: write ${comma.replace(",", ".")}, or ${comma.replace(",", " ")}.`);
      return;
    }
    const [supply, takeUp] = typed.map(Number);
    const wrong = [supply, takeUp].find((r) => r !== void 0 && !(r >= 5 && r <= 200));
    if (wrong !== void 0) {
      this.frame.tell(`A radius of ${wrong} mm is none: expected 5 to 200.`);
      return;
    }
    this.frame.link.send({ do: "radii", supply: supply ?? null, takeUp: takeUp ?? null });
    this.frame.tell(supply === void 0 ? "The reels turn no rings." : "The reels turn rings now; their radius changes slowly while the tape runs.");
  }
  row(id, cells, reading) {
    const [value, limit, verdict] = cells;
    if (!reading) {
      for (const cell of cells) say(cell, cell === value ? "–" : "");
      return;
    }
    const digits = Math.max(3, digitsFor(reading.uncertainty, 4));
    say(value, `${id === "speed-error" ? signed(reading.value, digits) : reading.value.toFixed(digits)} ${plusMinus(reading.uncertainty, digits)}`);
    value.dataset.value = String(reading.value);
    value.dataset.uncertainty = String(reading.uncertainty);
    say(limit, reading.limit ?? "");
    say(verdict, reading.verdict ? verdictMark[reading.verdict] : "");
    verdict.dataset.verdict = reading.verdict ?? "";
  }
};

// ../../src/Spoolwright.App/Web/Client/tensionScreen.ts
var REELS = [["reel", ["supply", "take-up"]], ["fill", ["full", "half", "empty"]]];
var KINDS = {
  tension: { title: "Tension", property: "tension", unit: "gf", places: REELS },
  torque: { title: "Torque", property: "torque", unit: "g·cm", places: REELS },
  brakes: { title: "Brakes", property: "brakes", unit: "g·cm", places: [["reel", ["left", "right"]], ["turn", ["unwind", "wind"]]], quantity: "brake-torque" },
  "wind-time": { title: "Wind time", property: "windTime", unit: "s" },
  "pinch-force": { title: "Pinch force", property: "pinchForce", unit: "gf" }
};
var TensionScreen = class {
  constructor(frame2, id = "tension") {
    this.frame = frame2;
    this.measurement = id;
    this.kind = KINDS[id];
    this.title = this.kind.title;
    this.trail = new HangingTrail(this.section.canvas, this.kind.unit, 0, "too little", "too much");
    this.reading.placeholder = id === "tension" ? "58 60 59" : id === "torque" ? "410 415" : id === "wind-time" ? "92" : "1150";
    const places = this.kind.places;
    if (places) [this.reel, this.fill].forEach((of, i) => of.replaceChildren(...places[i][1].map((word) => el("option", { value: word }, i === 0 ? `${word} reel` : word))));
    const form2 = el(
      "form",
      { class: "plain" },
      ...places ? [el("p", {}, el("label", { for: "reel" }, "Reel "), this.reel, " ", el("label", { for: "fill" }, places[1][0] === "fill" ? "how full " : "turned the way the tape would "), this.fill)] : [],
      el("p", {}, el("label", { for: "reading" }, `Read, ${this.kind.unit} (three readings are better than one) `), this.reading, " ", el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " take it")),
      el("p", {}, el("label", { for: "blank" }, "Tape threaded "), this.tape),
      ...id === "wind-time" ? [] : [el("p", {}, el("label", { for: "gauge" }, "The gauge's file (its curve by weights) "), this.gauge), this.gaugeNow]
    );
    form2.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.take();
    });
    this.gauge.addEventListener("change", () => void (async () => {
      save({ gauge: await this.gauge.files?.[0]?.text() ?? "", gaugeName: this.gauge.files?.[0]?.name ?? "" });
      this.sayGauge();
    })());
    this.root.append(
      el("section", { class: "now", "aria-label": "Value now" }, el("h2", {}, `${this.kind.title}, ${this.kind.unit}`), this.value, this.under, this.said),
      el(
        "section",
        { class: "turning", tabindex: "0", "aria-label": "What was read" },
        form2,
        el("table", {}, el("caption", {}, "Read so far"), el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "place"), el("th", { scope: "col" }, "read"))), this.list)
      ),
      this.section.root
    );
    this.keys = [
      { key: "T", label: "type a reading", press: () => this.reading.focus() },
      ...this.kind.places ? [
        { key: "E", label: "other reel", press: () => this.cycle(this.reel) },
        { key: "B", label: this.kind.places[1][1].join(", "), press: () => this.cycle(this.fill) }
      ] : [],
      { key: "A", label: "I adjusted it: read anew", press: () => void this.adjusted() },
      { key: "J", label: "keep as found", press: () => void this.keep("as-found") },
      { key: "K", label: "keep as left", press: () => void this.keep("as-left") },
      { key: "L", label: "keep first run", press: () => void this.keep("first-run") }
    ];
    this.sayGauge();
    say(this.under, `${conditionText(false)}. ${id === "wind-time" ? "Wind the reel from end to end by the stopwatch, press T, write the seconds." : "Put the gauge on, press T, write what it reads."}`);
  }
  frame;
  title;
  measurement;
  root = el("div", { class: "adjust typed" });
  keys;
  value = el("output", { class: "value", "data-test": "typed" }, "–");
  under = el("p", { class: "target" });
  said = el("div", { class: "faint" });
  reel = el("select", { id: "reel" });
  fill = el("select", { id: "fill" });
  reading = el("input", { type: "text", id: "reading", autocomplete: "off" });
  tape = el("input", { type: "text", id: "blank", autocomplete: "off" });
  gauge = el("input", { type: "file", id: "gauge", accept: ".json,application/json" });
  gaugeNow = el("p", { class: "faint" });
  list = el("tbody");
  section = pictureSection("Where the tension has been");
  trail;
  kind;
  rows = [];
  shown;
  show(picture) {
    if (this.shown) drawTrail(this.trail, [{ control: "", channel: "both", moves: 0, pending: false, now: this.shown }]);
    else this.trail.draw([], null);
    this.frame.guide.tell(null, "");
    void picture;
  }
  cycle(of) {
    of.selectedIndex = (of.selectedIndex + 1) % of.options.length;
    this.frame.tell(`Now the ${this.reel.value} reel, ${this.fill.value}.`);
  }
  sayGauge() {
    say(this.gaugeNow, choice.gaugeName ? `Through the curve of ${choice.gaugeName}.` : "None: readings are taken as they stand, and prove nothing. How to calibrate a gauge: docs/guide/gauges.md");
  }
  async take() {
    const readings = this.reading.value.split(/[\s;]+|,\s+/).filter(Boolean).map((r) => `${r} ${this.kind.unit}`);
    this.reading.value = "";
    this.reading.blur();
    if (readings.length === 0) return;
    const row = { reel: this.reel.value, fill: this.fill.value, readings };
    const before = this.rows;
    this.rows = [...before.filter((r) => this.kind.places && (r.reel !== row.reel || r.fill !== row.fill)), row];
    const answer = await this.ask(null);
    if (answer.problem) {
      this.rows = before;
      this.frame.tell(answer.problem);
      return;
    }
    this.result(answer, row);
  }
  async adjusted() {
    this.rows = [];
    this.list.replaceChildren();
    if (!choice.job) {
      this.frame.tell("Read it anew. What was turned is noted under a deck: choose one first (key 1).");
      return;
    }
    const answer = await this.post(`/api/jobs/${choice.job}/adjusted`, { what: "tension", direction: choice.direction, speed: choice.speed, setting: choice.setting });
    this.frame.tell(answer.problem ?? "Noted: what was measured before and hangs on the tension is in doubt now. Read it anew.");
  }
  async keep(mark) {
    if (this.rows.length === 0) {
      this.frame.tell("Nothing was read yet: press T and write what the gauge reads.");
      return;
    }
    const answer = await this.ask(mark);
    this.frame.tell(answer.problem ?? answer.kept ?? "Not kept.");
  }
  async ask(mark) {
    const rows = this.rows.map((r) => ({ ...this.kind.places ? { [this.kind.places[0][0]]: r.reel, [this.kind.places[1][0]]: r.fill } : {}, ...this.measurement === "brakes" ? {} : { direction: choice.direction }, readings: r.readings }));
    const sheet = { ...this.tape.value.trim() ? { tape: this.tape.value.trim() } : {}, [this.kind.property]: rows };
    return this.post(`/api/sheet/${this.measurement}`, { sheet, job: choice.job, direction: choice.direction, speed: choice.speed, gauge: choice.gauge, mark });
  }
  async post(address, body) {
    try {
      const answer = await fetch(address, { method: "POST", body: JSON.stringify(body) });
      return await answer.json();
    } catch {
      return { problem: "The bench did not answer. Is the program still running?" };
    }
  }
  result(answer, row) {
    const own = (answer.readings ?? []).filter((r) => r.unit === this.kind.unit);
    const wanted = this.kind.quantity ? this.kind.quantity : this.kind.places ? `${row.reel}-${this.measurement}` : this.measurement;
    const reading = own.filter((r) => r.quantity === wanted || r.quantity.startsWith(this.measurement)).at(-1) ?? own.at(-1);
    this.shown = reading;
    if (reading) {
      const digits = digitsFor(reading.uncertainty, 1);
      say(this.value, reading.value.toFixed(digits));
      Object.assign(this.value.dataset, { value: String(reading.value), uncertainty: String(reading.uncertainty) });
      this.under.dataset.verdict = reading.verdict ?? "";
      say(this.under, `${plusMinus(reading.uncertainty, digits)} ${reading.unit}${this.kind.places ? `, ${row.reel} reel, ${row.fill}` : ""}
${reading.min == null && reading.max == null ? "no limit in the profile" : `${range(reading.min ?? null, reading.max ?? null, 0)} ${reading.unit}
${verdictMark[reading.verdict ?? "not-measured"]}`}`);
    }
    this.said.replaceChildren(...(answer.notes ?? []).filter((n) => n.severity !== "hint").slice(0, 2).map((n) => el("p", {}, n.text)));
    this.list.replaceChildren(...this.rows.map((r) => el("tr", {}, el("th", { scope: "row" }, this.kind.places ? `${r.reel} reel, ${r.fill}` : this.kind.title), el("td", { class: "number" }, r.readings.join(", ")))));
    this.frame.tell(reading?.verdict === "not-met" ? "Outside its limits: adjust, press A, and read it anew." : "Taken. Next place: E for the other reel, B for how full.");
  }
};

// ../../src/Spoolwright.App/Web/Client/book/calls.ts
async function asked(address, again = true) {
  try {
    return await (await fetch(address)).json();
  } catch {
    if (again) return new Promise((done) => setTimeout(() => done(asked(address, false)), 700));
    return { problem: "The bench does not answer; look whether it still runs." };
  }
}
async function write(address, said2) {
  return send(address, JSON.stringify(said2));
}
async function send(address, body) {
  try {
    const answer = await fetch(address, { method: "POST", body });
    return await answer.json();
  } catch {
    return { said: "", to: null, act: null, entries: [], problem: "The bench does not answer; nothing was written as far as this page knows." };
  }
}

// ../../src/Spoolwright.App/Web/Client/book/form.ts
var Form = class {
  dialog = el("dialog", { class: "panel form", "aria-labelledby": "form-title" });
  /** What was typed and not taken, by page, row and what the form began with: of another row it is another form. */
  left = /* @__PURE__ */ new Map();
  constructor() {
    document.body.append(this.dialog);
  }
  /** @param send Writes it; a text: why it was refused, null: done. */
  open(title, take, fields, send2, note = "") {
    const controls = fields.map((f) => ({ field: f, control: make(f) })), problem = el("p", { class: "problem", role: "alert", hidden: "" });
    const row = document.querySelector("tr[aria-current]")?.dataset["id"] ?? "", key = JSON.stringify([location.pathname, row, title, fields.map((f) => [f.name, f.value ?? ""])]), left = this.left.get(key), typed = controls.filter(({ field: field2 }) => field2.kind !== "file"), began = typed.map(({ control }) => control.value);
    if (left) for (const { field: field2, control } of typed) control.value = left[field2.name] ?? control.value;
    const form2 = el(
      "form",
      { method: "dialog" },
      el("h2", { id: "form-title" }, title),
      note ? el("p", { class: "faint" }, note) : null,
      left ? el("p", { class: "faint" }, "What you had typed stands here again.") : null,
      ...controls.map(({ field: field2, control }) => el("p", { class: "field" }, el("label", { for: control.id }, field2.label), control, field2.options && field2.kind !== "select" ? list(field2) : null, field2.hint ? el("small", { class: "faint" }, field2.hint) : null)),
      problem,
      el("p", {}, el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), ` ${take}`), " ", el("kbd", {}, "Esc"), " leaves it")
    );
    let busy = false, taken = false;
    form2.addEventListener("submit", (event) => {
      event.preventDefault();
      if (busy) return;
      busy = true;
      void (async () => {
        const said2 = {};
        for (const { field: field2, control } of controls) said2[field2.name] = control instanceof HTMLInputElement && control.type === "file" ? await control.files?.[0]?.text() ?? "" : control.value;
        const refused = await send2(said2);
        busy = false;
        if (refused === null) {
          taken = true;
          this.left.delete(key);
          this.dialog.close();
          return;
        }
        problem.hidden = false;
        problem.textContent = `✗ ${refused}`;
      })();
    });
    this.dialog.addEventListener("close", () => {
      if (taken || typed.every(({ control }, i) => control.value === began[i])) this.left.delete(key);
      else this.left.set(key, Object.fromEntries(typed.map(({ field: field2, control }) => [field2.name, control.value])));
    }, { once: true });
    this.dialog.replaceChildren(form2);
    this.dialog.showModal();
    controls[0]?.control.focus();
  }
};
function make(field2) {
  const shared2 = { id: `field-${field2.name}`, ...field2.need ? { required: "" } : {} };
  if (field2.kind === "select") {
    const select = el("select", shared2, ...(field2.options ?? []).map((o) => el("option", { value: o }, o === "" ? "not said" : o.replaceAll("-", " "))));
    if (field2.value !== void 0) select.value = field2.value;
    return select;
  }
  if (field2.kind === "long") {
    const area = el("textarea", { ...shared2, rows: "4" });
    area.value = field2.value ?? "";
    return area;
  }
  const input2 = el("input", { ...shared2, type: field2.kind === "file" ? "file" : "text", autocomplete: "off", ...field2.options ? { list: `list-${field2.name}` } : {}, ...field2.kind === "file" ? { accept: ".json,application/json" } : {} });
  if (field2.kind !== "file") input2.value = field2.value ?? "";
  return input2;
}
var list = (field2) => el("datalist", { id: `list-${field2.name}` }, ...field2.options.map((o) => el("option", { value: o })));

// ../../src/Spoolwright.App/Web/Client/book/tableView.ts
var SIGNS = {
  done: "✓",
  works: "✓",
  fixed: "✓",
  trusted: "✓",
  enough: "✓",
  good: "✓",
  closed: "✓",
  bought: "✓",
  right: "✓",
  "gone, by no task that mends it": "≈",
  "wrong, or not mended": "✗",
  "still there, not mended": "✗",
  "not read again": "?",
  "not to be told": "?",
  stands: "✓",
  running: "▶",
  open: "○",
  waits: "…",
  skipped: "–",
  "not there": "–",
  declined: "–",
  accepted: "≈",
  "not tried": "?",
  fault: "✗",
  "in doubt": "!",
  doubted: "!",
  "order again": "!",
  "taken back": "↶",
  "corrected later": "↷",
  undone: "↶",
  drifted: "!",
  "not proven": "≈",
  "not known": "?"
};
var KINDS2 = { "✓": "met", "✗": "not-met", "!": "not-met", "▶": "not-proven", "?": "not-proven" };
function tableView(table, address, go2) {
  const file = (as) => el("a", { href: `${address}${address.includes("?") ? "&" : "?"}table=${table.id}&as=${as}`, download: "", "aria-label": `${table.title} as ${as.toUpperCase()}` }, as.toUpperCase());
  const more = table.count > table.rows.length ? el("p", { class: "faint" }, `${table.rows.length} of ${table.count} shown; CSV and JSON have all.`) : null;
  return el(
    "section",
    { class: "book-table", "data-table": table.id },
    el("div", { class: "tablehead" }, el("h2", {}, table.title), table.rows.length > 0 ? el("span", { class: "files" }, file("csv"), " ", file("json")) : null),
    table.rows.length === 0 ? el("p", { class: "faint" }, table.empty) : el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": table.title }, el(
      "table",
      {},
      el("thead", {}, el("tr", {}, ...table.columns.map((c) => el("th", { scope: "col", ...c.kind === "figures" ? { class: "number" } : {} }, c.head)))),
      el("tbody", {}, ...table.rows.map((row) => rowView(row, table.columns, go2)))
    )),
    more
  );
}
function rowView(row, columns, go2) {
  const line = el(
    "tr",
    { tabindex: "-1", ...row.id ? { "data-id": row.id } : {}, ...row.to ? { "data-to": row.to } : {} },
    ...row.cells.map((cell, i) => i === 0 ? el("th", { scope: "row", ...classOf(cell, columns[i]) }, row.to ? linkTo(row.to, text(cell), go2) : text(cell)) : cellView(cell, columns[i]))
  );
  line.addEventListener("click", () => line.focus());
  return line;
}
function cellView(cell, column) {
  const said2 = text(cell);
  if (said2.startsWith("/api/book/table/")) return el("td", {}, el("a", { href: said2, download: "" }, column.head));
  if (column.kind !== "state" || said2 === "") return el("td", classOf(cell, column), said2);
  const sign = SIGNS[said2] ?? "";
  return el("td", { class: "state", ...KINDS2[sign] ? { "data-verdict": KINDS2[sign] } : {} }, sign ? `${sign} ${said2}` : said2);
}
var classOf = (cell, column) => column.kind === "figures" ? { class: "number" } : /^\S{1,12}$|^[\d ]{1,12}$|^\d{4}-\d\d-\d\d \d\d:\d\d$/.test(text(cell)) ? { class: "short" } : {};
var text = (cell) => cell === null ? "" : typeof cell === "number" ? String(cell).replace("-", "−") : String(cell).replaceAll(" ± ", " ± ");
function linkTo(to, said2, go2) {
  if (to.startsWith("/api/")) return el("a", { href: to, download: "" }, said2);
  const link2 = el("a", { href: to }, said2);
  link2.addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    go2(to);
  });
  return link2;
}

// ../../src/Spoolwright.App/Web/Client/book/undoing.ts
var KEPT = "book-steps";
var MOST = 50;
function load2() {
  try {
    return JSON.parse(sessionStorage.getItem(KEPT) ?? "");
  } catch {
    return { done: [], undone: [] };
  }
}
var steps = load2();
var keep = () => sessionStorage.setItem(KEPT, JSON.stringify({ done: steps.done.slice(-MOST), undone: steps.undone.slice(-MOST) }));
var entriesOf = (written) => written.act ? [{ table: "act", id: written.act }] : written.entries;
function wrote(written) {
  const entries = entriesOf(written);
  if (entries.length === 0) return;
  steps.done.push({ said: written.said, entries });
  steps.undone.length = 0;
  keep();
}
var undo = () => back(steps.done, steps.undone, "Undone", "Y does it again.", "Nothing was written from this page yet. G, then Lately, undoes what was written elsewhere.");
var redo = () => back(steps.undone, steps.done, "Done again", "Z undoes it.", "Nothing was undone.");
async function back(from, to, word, then, nothing2) {
  const step = from.pop();
  if (!step) return nothing2;
  const made = [];
  for (const entry of [...step.entries].reverse()) {
    const written = await write("/api/book/book/undo", { table: entry.table, id: entry.id });
    if (written.problem) {
      keep();
      return `✗ Not undone: ${written.problem}`;
    }
    made.unshift(...entriesOf(written));
  }
  to.push({ said: step.said, entries: made });
  keep();
  return `${word}: ${step.said.replace(/\.$/, "")}. ${then}`;
}

// ../../src/Spoolwright.App/Web/Client/book/bookScreen.ts
var form = null;
var BookScreen = class {
  /**
   * @param address Where its data comes from.
   * @param own Its own keys.
   * @param more What it shows above its tables.
   */
  constructor(frame2, title, address, own = () => [], more = () => []) {
    this.frame = frame2;
    this.title = title;
    this.address = address;
    this.own = own;
    this.more = more;
    this.root.append(el("h1", {}, title), el("p", { class: "faint" }, "Reading the book …"));
    this.root.addEventListener("focusin", (event) => this.choose(event.target.closest("tr")));
    void this.load();
  }
  frame;
  title;
  address;
  own;
  more;
  measurement = null;
  root = el("div", { class: "page book" });
  page = null;
  chosen = null;
  get keys() {
    return [
      ...this.own(this),
      { key: "Enter", label: "", press: () => this.openRow() },
      { key: "ArrowDown", label: "", press: () => this.move(1) },
      { key: "ArrowUp", label: "", press: () => this.move(-1) },
      { key: "ArrowRight", label: "", press: () => this.otherTable(1) },
      { key: "ArrowLeft", label: "", press: () => this.otherTable(-1) },
      { key: "Z", label: "undo", press: () => void this.undone(undo()) },
      { key: "Y", label: "do again", press: () => void this.undone(redo()) }
    ];
  }
  get data() {
    return this.page;
  }
  async load() {
    const page = await asked(this.address);
    if (page.problem) {
      this.root.replaceChildren(el("h1", {}, this.title), el("p", { class: "warning", role: "alert" }, `✗ ${page.problem}`));
      return;
    }
    this.page = page;
    this.draw(page);
    this.frame.keysChanged();
  }
  /** The chosen row's id in a table; null: none is chosen there. */
  rowId(table) {
    return this.chosen && (!table || this.chosen.table === table) ? this.chosen.id : null;
  }
  /** The texts of the chosen row. */
  rowCells() {
    return this.page?.tables.find((t) => t.id === this.chosen?.table)?.rows.find((r) => r.id === this.chosen?.id)?.cells.map((c) => c === null ? "" : String(c)) ?? [];
  }
  /** Writes, says what was written, and shows the page anew; a text: why it was refused. */
  async write(address, said2) {
    return this.took(await write(address, said2));
  }
  took(written) {
    if (written.problem) {
      this.frame.tell(`✗ ${written.problem}`);
      return written.problem;
    }
    wrote(written);
    this.frame.tell(`✓ ${written.said}${written.entries.length > 0 || written.act ? " Z undoes it." : ""}`, written.to ?? void 0);
    if (written.to) this.frame.go(written.to);
    else void this.load();
    return null;
  }
  /** A form whose fields go to an address. */
  fill(title, take, address, fields, fixed = {}, note = "") {
    form ??= new Form();
    form.open(title, take, fields, (said2) => this.write(address, { ...said2, ...fixed }), note);
  }
  /** Needs a chosen row, or says how to choose one. */
  withRow(table, what, go2) {
    const id = this.rowId(table);
    if (id) go2(id);
    else this.frame.tell(`Choose ${what} first: ↑ and ↓ go from row to row.`);
  }
  draw(page) {
    this.root.replaceChildren(...this.head(page), ...this.more(page, this).filter((n) => n !== null), ...page.tables.map((t) => tableView(t, this.address, this.frame.go)));
    this.restore();
  }
  head(page) {
    return [
      el("h1", {}, page.title),
      ...page.warnings.map((w) => el("p", { class: "warning", role: "alert" }, `! ${w}`)),
      ...page.lines.map((l) => el("p", { class: "line" }, l)),
      ...page.links.length > 0 ? [el("p", { class: "ways" }, ...page.links.flatMap((l) => [l.apart ? el("a", { href: l.to, target: "_blank", rel: "noopener" }, l.text) : linkTo(l.to, l.text, this.frame.go), " "]))] : []
    ];
  }
  /** After the page was drawn anew: the row that was chosen is chosen still. */
  restore() {
    const row = this.chosen && this.root.querySelector(`[data-table="${this.chosen.table}"] tr[data-id="${CSS.escape(this.chosen.id)}"]`);
    if (row && !document.querySelector("dialog[open]") && !(document.activeElement instanceof HTMLInputElement)) row.focus({ preventScroll: false });
    else if (row) this.choose(row);
  }
  choose(row) {
    if (!row?.closest("tbody")) return;
    this.root.querySelectorAll("tr[aria-current]").forEach((r) => r.removeAttribute("aria-current"));
    row.setAttribute("aria-current", "true");
    this.chosen = row.dataset["id"] ? { table: row.closest("[data-table]").dataset["table"], id: row.dataset["id"] } : null;
    this.rowChosen();
  }
  rowChosen() {
  }
  move(by) {
    const rows = [...this.root.querySelectorAll("tbody tr")], at = rows.findIndex((r) => r.getAttribute("aria-current") === "true");
    const row = rows[at < 0 ? 0 : Math.max(0, Math.min(rows.length - 1, at + by))];
    row?.focus();
    row?.scrollIntoView({ block: "nearest" });
  }
  otherTable(by) {
    const tables2 = [...this.root.querySelectorAll("[data-table]")].filter((t) => t.querySelector("tbody tr"));
    const at = tables2.findIndex((t) => t.querySelector("tr[aria-current]"));
    tables2[at < 0 ? 0 : (at + by + tables2.length) % tables2.length]?.querySelector("tbody tr")?.focus();
  }
  openRow() {
    const at = document.activeElement;
    if (at instanceof HTMLAnchorElement || at instanceof HTMLButtonElement) {
      at.click();
      return;
    }
    const to = this.root.querySelector("tr[aria-current]")?.dataset["to"];
    if (to?.startsWith("/api/")) this.root.querySelector("tr[aria-current] a")?.click();
    else if (to) this.frame.go(to);
  }
  async undone(step) {
    this.frame.tell(await step);
    await this.load();
  }
};

// ../../src/Spoolwright.App/Web/Client/book/causesScreen.ts
var asking = (search) => {
  const query = new URLSearchParams(search);
  if (choice.priors) query.set("priors", choice.priors);
  const text2 = query.toString();
  return text2 ? `?${text2}` : "";
};
var CausesScreen = class extends BookScreen {
  constructor(frame2, job) {
    super(frame2, "What ails the deck", `/api/book/ails/${job}${asking(location.search)}`);
    this.job = job;
    this.root.classList.add("job", "causes");
  }
  job;
  beside = el("aside", { class: "beside", tabindex: "0", "aria-label": "The cause that is chosen", "aria-live": "polite" });
  picture = 0;
  get keys() {
    return [
      { key: "V", label: "next picture", press: () => this.turn() },
      { key: "O", label: "matrix of readings", press: () => {
        save({ job: this.job });
        this.frame.go("/matrix");
      } },
      { key: "T", label: "plan and clock", press: () => this.frame.go(`/book/job/${this.job}`) },
      { key: "E", label: "how often each is met", press: () => this.frame.go("/book/causes") },
      { key: "Q", label: "what you see and hear", press: () => this.frame.go("/book/symptoms") },
      ...super.keys
    ];
  }
  draw(page) {
    const [causes, mended] = page.tables;
    this.root.replaceChildren(...this.head(page), el("div", { class: "jobparts" }, el("div", { class: "lists" }, tableView(causes, this.address, this.frame.go), tableView(mended, this.address, this.frame.go)), this.beside));
    this.restore();
    if (!this.rowId("causes")) this.root.querySelector("tbody tr")?.focus();
    this.rowChosen();
  }
  rowChosen() {
    this.picture = 0;
    this.drawChosen();
  }
  turn() {
    this.picture++;
    this.drawChosen();
  }
  drawChosen() {
    const finding = this.page?.findings.find((f) => f.id === this.rowId("causes")) ?? this.page?.findings[0];
    this.beside.hidden = !finding;
    if (!finding) return;
    const n = finding.pictures.length, picture = n > 0 ? finding.pictures[this.picture % n] : null;
    const list2 = (sign, title, items) => items.length === 0 ? "" : el("div", {}, el("h3", {}, `${sign} ${title}`), el("ul", { class: "evidence" }, ...items.map((i) => el("li", {}, i))));
    this.beside.replaceChildren(
      el("h2", {}, `${finding.share}: ${finding.name}`),
      el("p", { class: "faint" }, `${finding.where || "the whole deck"}; takes up ${finding.explains} of what is off there${finding.memory ? "; [memory]: known in the trade, found in no document" : ""}`),
      picture ? el("figure", { class: "speaks" }, el("img", { src: picture.src, alt: picture.says }), el("figcaption", {}, `${n > 1 ? `${this.picture % n + 1} of ${n}: ` : ""}${picture.caption}`, n > 1 ? el("span", { class: "faint" }, " ", el("kbd", {}, "V"), " the next") : null)) : "",
      finding.apart ? el("p", { class: "waits" }, finding.apart) : "",
      list2("+", "For it", [...finding.speaksFor, ...finding.moreFor > 0 ? [finding.moreFor === 1 ? "and one figure more" : `and ${finding.moreFor} figures more`] : []]),
      finding.against.length > 0 ? list2("−", "Against it", finding.against) : el("p", { class: "faint" }, "− Nothing that was read speaks against it."),
      ...finding.causes.flatMap((c) => [
        el("h3", {}, finding.causes.length > 1 ? c.name : "To tell, and to mend"),
        el("p", {}, el("strong", {}, "Check: "), c.check),
        el("p", {}, el("strong", {}, "Mend: "), c.task),
        el("p", { class: "faint" }, `Against it would speak: ${c.against}`),
        ...c.symptoms.map((s) => el("p", { class: "faint" }, `The trade says: ${s}`))
      ])
    );
  }
};
var priorsOf = () => new Map(choice.priors.split(",").filter((p) => p).map((p) => p.split("=")));
var causePriors = (frame2) => new BookScreen(frame2, "How often each cause is met", `/api/book/causes${asking("")}`, (s) => [
  { key: "E", label: "set the one chosen", press: () => s.withRow("priors", "a cause", (id) => void frame2.ask("How often it is met", `${s.rowCells()[0] ?? id}: chance per place in %, 0.01 to 90; empty: as learned`, s.rowCells()[5] ?? "").then((typed) => {
    if (typed === null) return;
    const set = priorsOf(), percent = Number(typed.trim().replace("%", ""));
    if (typed.trim() === "") set.delete(id);
    else if (!(percent >= 0.01 && percent <= 90)) {
      frame2.tell(`✗ ${typed} is no chance between 0.01 and 90 %.`);
      return;
    } else set.set(id, String(+(percent / 100).toFixed(6)));
    save({ priors: [...set].map(([k, v]) => `${k}=${v}`).join(",") });
    frame2.go("/book/causes");
  })) }
]);
var symptoms = (frame2) => new BookScreen(frame2, "What you see and hear", `/api/book/symptoms${location.search}`, (s) => [
  { key: "F", label: "find by words", press: () => void frame2.ask("What do you see or hear?", "Words, or how they begin", new URLSearchParams(location.search).get("q") ?? "").then((typed) => {
    if (typed !== null) frame2.go(`/book/symptoms?q=${encodeURIComponent(typed.trim())}`);
  }) },
  { key: "A", label: "all of them", press: () => {
    void s;
    frame2.go("/book/symptoms");
  } }
]);

// ../../src/Spoolwright.App/Web/Client/book/jobScreen.ts
var PARTS = ["plan", "checks", "faults", "sittings", "open-points"];
var STAGES = ["intake", "as-found", "strip", "clean", "rebuild", "alignment", "playback", "record", "run-in", "as-left", "photos", "listing", "packing", "aftercare"];
var JobScreen = class extends BookScreen {
  constructor(frame2, job) {
    super(frame2, "Job", `/api/book/job/${job}`);
    this.job = job;
    this.root.classList.add("job");
  }
  job;
  part = "plan";
  mark = "as-found";
  loadedAt = 0;
  beside = el("aside", { class: "beside", tabindex: "0", "aria-label": "What is chosen" });
  clock = el("p", { class: "clock", role: "timer", "data-test": "clock", hidden: "" });
  ticking = window.setInterval(() => this.showClock(), 1e3);
  leave() {
    window.clearInterval(this.ticking);
  }
  get keys() {
    const to = (verb) => `/api/book/job/${this.job}/${verb}`;
    const parts2 = {
      plan: [
        { key: "F", label: "finished", press: () => this.withTask((t) => t.waits.length > 0 ? this.fill(`Finished: ${t.title}`, "finished", to("done"), [{ name: "remark", label: "It waits for others; say why it is done all the same", need: true }], { task: t.key }) : void this.write(to("done"), { task: t.key })) },
        { key: "L", label: "leave out", press: () => this.withTask((t) => this.fill(`Leave out: ${t.title}`, "leave it out", to("skip"), [{ name: "why", label: "The reason", need: true }], { task: t.key })) },
        { key: "R", label: "open again", press: () => this.withTask((t) => void this.write(to("reopen"), { task: t.key })) },
        { key: "E", label: "type a time", press: () => this.withTask((t) => this.fill(`Time spent: ${t.title}`, "write it down", to("enter"), [{ name: "time", label: "Time", need: true, hint: "1:30, 1.5 h, 90 min, 14:05-15:20, yesterday 2 h" }, { name: "remark", label: "Remark" }], { task: t.key })) },
        { key: "N", label: "new task", press: () => this.fill("A task of this job's own", "add it", to("add-task"), [{ name: "title", label: "What to do", need: true }, { name: "stage", label: "Stage", kind: "select", options: STAGES, value: "rebuild" }, { name: "why", label: "Why" }, { name: "minutes", label: "Minutes foreseen", value: "30" }]) }
      ],
      checks: [
        { key: "W", label: "works", press: () => this.tick("works") },
        { key: "F", label: "fault", press: () => this.tick("fault") },
        { key: "N", label: "not there", press: () => this.tick("not-there") },
        { key: "U", label: "not tried", press: () => this.tick("not-tried") },
        { key: "M", label: this.mark === "as-found" ? "now as found" : "now as left", press: () => this.turnMark() },
        { key: "A", label: "accept in words", press: () => this.withRow("checks", "a function", (key) => this.accept(key, this.page?.checks.find((c) => c.key === key)?.title ?? key)) }
      ],
      faults: [
        { key: "N", label: "new fault", press: () => this.fill("A fault", "write it down", to("fault"), [{ name: "assembly", label: "Assembly", need: true, options: [...new Set(this.page?.tables.find((t) => t.id === "faults")?.rows.map((r) => String(r.cells[0])) ?? [])] }, { name: "what", label: "What is wrong", need: true, kind: "long" }, { name: "mark", label: "Found", kind: "select", options: ["as-found", "first-run", "as-left"], value: this.mark }]) },
        { key: "F", label: "fixed", press: () => this.withRow("faults", "a fault", (key) => this.fill("Fixed", "it is fixed", to("fixed"), [{ name: "words", label: "What was done" }], { key })) },
        { key: "A", label: "accept in words", press: () => this.withRow("faults", "a fault", (key) => this.accept(key, this.rowCells()[1] ?? key)) }
      ],
      sittings: [
        { key: "E", label: "correct", press: () => this.withRow("sittings", "a sitting that stands", (sitting) => this.fill("Correct a sitting", "it was so", to("correct"), [{ name: "time", label: "Time", need: true, hint: "1:30, 1.5 h, 90 min, 14:05-15:20, yesterday 2 h" }, { name: "remark", label: "Remark", value: this.rowCells()[6] ?? "" }], { sitting }, "The earlier entry stays in the book.")) },
        { key: "B", label: "take back", press: () => this.withRow("sittings", "a sitting that stands", (sitting) => this.fill("Take a sitting back", "take it back", to("take-back"), [{ name: "why", label: "The reason", need: true }], { sitting }, "It stays in the book and counts no more.")) }
      ]
    };
    return [
      { key: "T", label: this.page?.running.length ? "stop the clock" : "start the clock", press: () => this.turnClock() },
      ...parts2[this.part] ?? [],
      { key: "Q", label: "tape in the deck", press: () => this.fill("What lies in the deck now", "it does", to("tape"), [{ name: "kind", label: "Tape", kind: "select", options: ["none", "scrap", "blank", "test-tape"] }, { name: "name", label: "Its name" }], {}, "While a test tape is named, whatever could record is refused.") },
      { key: "V", label: "came with it", press: () => this.fill("What came with the deck", "write it down", to("came"), [{ name: "name", label: "What it is", need: true }, { name: "note", label: "Note" }]) },
      { key: "H", label: "what ails the deck", press: () => this.frame.go(`/book/ails/${this.job}`) },
      { key: "O", label: "matrix of readings", press: () => {
        save({ job: this.job, deck: this.page?.deck ?? "" });
        this.frame.go("/matrix");
      } },
      ...this.page?.closed ? [] : [{ key: "C", label: "close the job", press: () => this.fill("Close the job", "close it", to("close"), [], {}, "Its clock must have stopped. Z opens it again.") }],
      ...super.keys.map((k) => k.key === "ArrowRight" ? { ...k, press: () => this.turnPart(1) } : k.key === "ArrowLeft" ? { ...k, press: () => this.turnPart(-1) } : k)
    ];
  }
  draw(page) {
    this.loadedAt = Date.now();
    const table = page.tables.find((t) => t.id === this.part);
    this.root.replaceChildren(
      ...this.head(page),
      ...page.came.length > 0 ? [el("p", { class: "line" }, `With it came ${page.came.join(", ")}.`)] : [],
      this.clock,
      this.tabs(page),
      el("div", { class: "jobparts" }, tableView(table, this.address, this.frame.go), this.beside)
    );
    this.showClock();
    this.restore();
    if (!this.rowId(this.part)) this.start(page);
    this.rowChosen();
  }
  // The first look falls on what comes next, not on the top of a long list.
  start(page) {
    const key = this.part === "plan" ? page.running[0] ?? page.next : this.part === "checks" ? page.tables.find((t) => t.id === "checks")?.rows.find((r) => r.cells[this.mark === "as-found" ? 2 : 3] === null)?.id : null;
    const row = key && this.root.querySelector(`tr[data-id="${CSS.escape(key)}"]`) || this.root.querySelector("tbody tr");
    if (row && !document.querySelector("dialog[open]")) row.focus();
  }
  rowChosen() {
    const task = this.part === "plan" ? this.page?.tasks.find((t) => t.key === this.rowId("plan")) : null;
    const check = this.part === "checks" ? this.page?.checks.find((c) => c.key === this.rowId("checks")) : null;
    this.beside.hidden = !task && !check;
    if (task) this.beside.replaceChildren(
      el("h2", {}, task.title),
      el("p", { class: "faint" }, `${task.stage}; ${task.foreseen} foreseen`),
      el("p", {}, task.why),
      task.waits.length > 0 ? el("p", { class: "waits" }, `… Do first: ${task.waits.join("; ")}.`) : "",
      ...task.cautions.map((c) => el("p", { class: "caution" }, `! ${c}`))
    );
    if (check) this.beside.replaceChildren(
      el("h2", {}, check.title),
      el("p", {}, check.what),
      check.couldRecord ? el("p", { class: "caution" }, `! ${check.warning ?? "This could record: no test tape in the deck."}`) : "",
      check.accepted ? el("p", {}, `Accepted: ${check.accepted}`) : "",
      el("p", { class: "faint" }, `Ticked now: ${this.mark.replace("-", " ")}. M turns it.`)
    );
  }
  tabs(page) {
    return el("div", { class: "tabs" }, el("div", { class: "tablist", role: "tablist", "aria-label": "Parts of the job" }, ...PARTS.map((id) => {
      const table = page.tables.find((t) => t.id === id), tab = el("button", { type: "button", class: "key", role: "tab", "aria-selected": String(id === this.part) }, `${table.title} (${table.count})`);
      tab.addEventListener("click", () => this.turnTo(id));
      return tab;
    })), el("span", { class: "faint" }, el("kbd", {}, "←"), " ", el("kbd", {}, "→")));
  }
  turnPart(by) {
    this.turnTo(PARTS[(PARTS.indexOf(this.part) + by + PARTS.length) % PARTS.length]);
  }
  turnTo(part) {
    this.part = part;
    if (this.page) this.draw(this.page);
    this.frame.keysChanged();
  }
  turnMark() {
    this.mark = this.mark === "as-found" ? "as-left" : "as-found";
    this.frame.tell(`Functions are ticked ${this.mark.replace("-", " ")} now.`);
    this.frame.keysChanged();
    this.rowChosen();
  }
  // A clock that runs is stopped by the key wherever one is in the job: no second one starts beside it by a slip.
  turnClock() {
    const page = this.page;
    if (!page) return;
    const address = `/api/book/job/${this.job}/clock`, running = page.running[0];
    if (running) {
      void this.turn(address, { task: running, seen: "running" });
      return;
    }
    const task = page.tasks.find((t) => t.key === (this.rowId("plan") ?? page.next));
    if (!task) this.frame.tell("Choose a task of the plan first.");
    else if (task.stage === "record" && page.warnings.length > 0) this.frame.tell(`✗ ${page.warnings[0]}`);
    else if (task.waits.length > 0) this.fill(`Begin: ${task.title}`, "start its clock", address, [{ name: "anyway", label: "Say why it is begun all the same", need: true }], { task: task.key, seen: "standing" }, `It waits for ${task.waits.join("; ")}.`);
    else void this.turn(address, { task: task.key, seen: "standing" });
  }
  /** Where another bench turned the clock meanwhile, the page shows it as it is. */
  async turn(address, said2) {
    if (await this.write(address, said2)) await this.load();
  }
  withTask(go2) {
    this.withRow("plan", "a task", (key) => {
      const task = this.page?.tasks.find((t) => t.key === key);
      if (task) go2(task);
    });
  }
  tick(outcome) {
    this.withRow("checks", "a function", (key) => {
      const check = this.page?.checks.find((c) => c.key === key), address = `/api/book/job/${this.job}/tick`;
      if (check?.warning && (outcome === "works" || outcome === "fault")) this.frame.tell(`✗ ${check.warning}`);
      else if (outcome === "works" || outcome === "not-there") void this.ticked(address, { key, mark: this.mark, outcome });
      else this.fill(`${check?.title ?? key}: ${outcome === "fault" ? "fault" : "not tried"}, ${this.mark.replace("-", " ")}`, "write it down", address, [{ name: "note", label: outcome === "fault" ? "What is wrong" : "What kept it from being tried", need: true }], { key, mark: this.mark, outcome });
    });
  }
  // The next function is chosen at once: a list of a hundred is gone through by one finger.
  async ticked(address, said2) {
    if (await this.write(address, said2) === null) this.move(1);
  }
  accept(key, title) {
    this.fill(`Accept: ${title}`, "accept it", `/api/book/job/${this.job}/accept`, [{ name: "words", label: "In words that the buyer reads", need: true, kind: "long" }], { key });
  }
  showClock() {
    const task = this.page?.tasks.find((t) => t.running);
    this.clock.hidden = !task;
    if (!task) return;
    const seconds = Math.round(task.spentSeconds + (Date.now() - this.loadedAt) / 1e3), two = (n) => String(n).padStart(2, "0");
    this.clock.replaceChildren(`▶ ${task.title}: ${Math.floor(seconds / 3600)}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)} taken, running since ${task.since}. `, keyButton("T", "stop", () => this.turnClock()));
  }
};

// ../../src/Spoolwright.App/Web/Client/book/searchScreen.ts
var WAIT_MS = 120;
var SearchScreen = class {
  constructor(frame2) {
    this.frame = frame2;
    this.root.append(el("h1", {}, "Search across everything"), el("p", { class: "field" }, el("label", { for: "question" }, "Words, or how they begin "), this.field), this.found);
    this.keys = [
      { key: "/", label: "search", press: () => this.typeAgain() },
      { key: "ArrowDown", label: "", press: () => this.move(1) },
      { key: "ArrowUp", label: "", press: () => this.move(-1) },
      { key: "Enter", label: "open", press: () => this.open() }
    ];
    this.field.value = new URLSearchParams(location.search).get("q") ?? "";
    this.field.addEventListener("input", () => {
      window.clearTimeout(this.waiting);
      this.waiting = window.setTimeout(() => void this.search(), WAIT_MS);
    });
    this.field.addEventListener("keydown", (event) => {
      if (event.key !== "ArrowDown" && event.key !== "Enter") return;
      event.preventDefault();
      event.stopPropagation();
      if (event.key === "Enter") void this.search().then(() => this.move(1));
      else this.move(1);
    });
    void this.search();
    window.setTimeout(() => this.typeAgain());
  }
  frame;
  title = "Search";
  measurement = null;
  root = el("div", { class: "page book" });
  keys;
  field = el("input", { type: "search", id: "question", autocomplete: "off", maxlength: "200", spellcheck: "false" });
  found = el("div", { "aria-live": "polite" });
  waiting = 0;
  turn = 0;
  leave() {
    window.clearTimeout(this.waiting);
  }
  typeAgain() {
    this.field.focus();
    this.field.select();
  }
  async search() {
    const turn = ++this.turn, question = this.field.value.trim(), address = `/api/book/search?q=${encodeURIComponent(question)}`;
    const page = await asked(address);
    if (turn !== this.turn) return;
    if (location.pathname === "/book/search") history.replaceState(null, "", question ? `/book/search?q=${encodeURIComponent(question)}` : "/book/search");
    if (page.problem) this.found.replaceChildren(el("p", { class: "warning" }, `✗ ${page.problem}`));
    else this.found.replaceChildren(...page.tables.map((t) => tableView(t, address, this.frame.go)), ...(page.links ?? []).map((l) => linkTo(l.to, l.text, this.frame.go)));
  }
  move(by) {
    const rows = [...this.found.querySelectorAll("tbody tr")], at = rows.indexOf(document.activeElement);
    if (at === 0 && by < 0) this.typeAgain();
    else rows[at < 0 ? 0 : Math.min(rows.length - 1, at + by)]?.focus();
  }
  open() {
    const at = document.activeElement;
    if (at instanceof HTMLAnchorElement || at instanceof HTMLButtonElement) at.click();
    else if (at instanceof HTMLElement && at.dataset["to"]) this.frame.go(at.dataset["to"]);
  }
};

// ../../src/Spoolwright.App/Web/Client/book/handover.ts
var KEY2 = "book-key-file";
var keyFile = () => ({ name: "key", label: "The key's file on the bench's computer", need: true, value: localStorage.getItem(KEY2) ?? "", hint: "/home/me/shop-key.pem" });
var remember = () => {
  const typed = document.querySelector("#field-key")?.value;
  if (typed) localStorage.setItem(KEY2, typed);
};
var signing = (frame2, id) => new BookScreen(frame2, "Signing off", `/api/book/signing/${id}`, (s) => [
  { key: "S", label: "sign", press: () => {
    if ((s.data?.tables.find((t) => t.id === "open-points")?.rows.length ?? 0) > 0) frame2.tell("Something blocks it still: A accepts the point chosen, in words.");
    else s.fill("Sign the record", "sign it", `/api/book/signing/${id}/sign`, [keyFile(), { name: "folder", label: "Folder for record and sealed sheet", need: true, hint: "a folder on the bench's computer; made where it is not there" }], {}, "What is signed is the record as it stands now.");
    document.querySelector("#field-key")?.addEventListener("change", remember);
  } },
  { key: "A", label: "accept in words", press: () => s.withRow("open-points", "a point", (row) => s.fill(`Accept: ${s.rowCells()[1] ?? row}`, "accept it", `/api/book/job/${id}/accept`, [{ name: "words", label: "In words that the buyer reads", kind: "long", need: true }], { key: row }, "It stands in the record and in the listing.")) },
  { key: "F", label: "the key's fingerprint", press: () => {
    s.fill("The fingerprint of a key", "show it", `/api/book/signing/${id}/fingerprint`, [keyFile()], {}, "Give it to buyers by another way than the record, so that they can compare.");
    document.querySelector("#field-key")?.addEventListener("change", remember);
  } }
]);
var aftercare = (frame2, id) => new BookScreen(frame2, "Aftercare", `/api/book/aftercare/${id}`);

// ../../src/Spoolwright.App/Web/Client/book/pages.ts
var DAY = "today, yesterday, monday, 14 mar, 14.3., 2026-03-14";
var day = (name, label) => ({ name, label, hint: DAY });
var KNOWN = [
  { name: "works", label: "Does it run?", kind: "select", options: ["", "yes", "partly", "no"] },
  { name: "handled", label: "Who had it in hand before?", kind: "select", options: ["", "untouched", "lubricated", "repaired"] },
  { name: "missing", label: "What is missing", hint: "nothing, where it is complete; left empty, where it is not known" },
  ...["heads", "motors", "case", "electronics"].map((name) => ({ name, label: name[0].toUpperCase() + name.slice(1), kind: "select", options: ["", "good", "worn", "bad", "missing"] }))
];
var COSTS = ["deck", "freight", "part", "fee", "other"];
var decks = (frame2) => new BookScreen(frame2, "Decks", "/api/book/decks", (s) => [
  { key: "A", label: "take a deck in", press: () => s.fill("Take a deck in", "take it in", "/api/book/decks/take-in", [{ name: "serial", label: "Serial number, as stamped on it", need: true }, { name: "profile", label: "Kind of deck", options: s.data?.profiles ?? [] }, { name: "file", label: "or its profile's file", kind: "file" }, { name: "description", label: "What it is, in a line" }, { name: "owner", label: "Whose it is" }, day("since", "Since when")]) }
]);
var deck = (frame2, id) => new BookScreen(frame2, "Deck", `/api/book/deck/${id}`, (s) => [
  { key: "A", label: "open a job", press: () => s.fill("Open a job", "open it", `/api/book/deck/${id}/open`, [{ name: "what", label: "What is to be done", need: true }, day("day", "When it began")], {}, "Its plan and its function checks are laid out.") },
  { key: "W", label: "new owner", press: () => s.fill("Whose the deck is", "write it down", `/api/book/deck/${id}/owner`, [{ name: "name", label: "Name", need: true }, day("since", "Since when"), { name: "contact", label: "How to reach them" }], {}, "Earlier owners stay.") },
  { key: "E", label: "correct an owner", press: () => s.withRow("owners", "an owner", (row) => {
    const [since, name, contact] = s.rowCells();
    s.fill("Correct the owner", "so it is", `/api/book/deck/${id}/correct-owner`, [{ name: "name", label: "Name", need: true, value: name }, { ...day("since", "Since when"), value: since }, { name: "contact", label: "How to reach them", value: contact }], { owner: row }, "The earlier entry stays in the book.");
  }) },
  { key: "B", label: "take an owner back", press: () => s.withRow("owners", "an owner", (row) => s.fill(`Take ${s.rowCells()[1]} back`, "take it back", `/api/book/deck/${id}/take-back-owner`, [{ name: "why", label: "Why", need: true }], { owner: row }, "The entry stays in the book.")) }
]);
var offers = (frame2) => new BookScreen(frame2, "Offers", "/api/book/offers", (s) => [
  { key: "A", label: "add an offer", press: () => s.fill("An offer", "write it down", "/api/book/offers/add", [{ name: "profile", label: "Kind of deck", need: true, options: s.data?.profiles ?? [] }, { name: "asked", label: "Asked", need: true, hint: "180, 180 EUR" }, { name: "seller", label: "Who offers it", need: true }, { name: "serial", label: "Serial number" }, ...KNOWN, day("day", "When"), { name: "remark", label: "Remark" }], {}, "What is not said is not known, and stands among the questions.") },
  { key: "F", label: "price fetched elsewhere", press: () => s.fill("A price fetched elsewhere", "write it down", "/api/book/offers/price", [{ name: "profile", label: "Kind of deck", need: true, options: s.data?.profiles ?? [] }, { name: "price", label: "Price", need: true }, { name: "where", label: "Where it was seen", need: true }, day("day", "When")]) }
]);
var offer = (frame2, id) => new BookScreen(frame2, "Offer", `/api/book/offer/${id}${location.search}`, (s) => [
  ...(s.data?.warnings.length ?? 0) === 0 && !location.search ? [] : [{ key: "W", label: "what parts would cost", press: () => void frame2.ask("Weigh with parts of", "What its parts would cost, where no closed job of its kind tells; empty: as the book has it", new URLSearchParams(location.search).get("parts") ?? "").then((typed) => {
    if (typed !== null) frame2.go(`/book/offer/${id}${typed.trim() ? `?parts=${encodeURIComponent(typed.trim())}` : ""}`);
  }) }],
  { key: "L", label: "more is known", press: () => s.fill("What is known now", "write it down", `/api/book/offer/${id}/learn`, [...KNOWN, { name: "asked", label: "Asked now" }, { name: "remark", label: "Remark" }], {}, "What is left empty stays as it is.") },
  { key: "E", label: "decide", press: () => s.fill("What became of it", "so it is", `/api/book/offer/${id}/decide`, [{ name: "decision", label: "It was", kind: "select", options: ["bought", "declined", "open"] }, { name: "job", label: "The job that came of it", hint: "its number, or the deck's serial number" }, { name: "remark", label: "Remark" }]) }
]);
var parts = (frame2) => new BookScreen(frame2, "Parts", "/api/book/parts", (s) => {
  const supply = () => s.rowId("stock") ?? s.rowId("lots")?.split("\n")[0];
  const named = { name: "supply", label: "Supply", need: true, options: s.data?.tables[0]?.rows.map((r) => String(r.cells[0])) ?? [], ...supply() ? { value: supply() } : {} };
  return [
    { key: "A", label: "keep a new supply", press: () => s.fill("A supply that the shop keeps", "keep it", "/api/book/parts/keep", [{ name: "name", label: "Name", need: true }, { name: "kind", label: "Kind", kind: "select", options: s.data?.kinds ?? [] }, { name: "unit", label: "Counted in", need: true, value: "piece" }, { name: "reorder", label: "Order again at", value: "1" }, { name: "remark", label: "Remark" }]) },
    { key: "R", label: "delivery", press: () => s.fill("A delivery", "take it in", "/api/book/parts/receive", [named, { name: "supplier", label: "From whom", need: true }, { name: "number", label: "Lot number", need: true }, { name: "quantity", label: "How much", need: true }, { name: "price", label: "Price of one" }, day("day", "When"), { name: "remark", label: "Remark" }]) },
    { key: "C", label: "count a lot", press: () => s.withRow("lots", "a lot", (row) => s.fill("What lies there", "so it is", "/api/book/parts/count", [{ name: "counted", label: "Counted", need: true }], { supply: row.split("\n")[0], lot: row.split("\n")[1] }, "The difference is written down.")) },
    { key: "B", label: "doubt a lot", press: () => s.withRow("lots", "a lot", (row) => s.fill(`Doubt lot ${row.split("\n")[1]}`, "doubt it", "/api/book/parts/doubt", [{ name: "why", label: "What is wrong with it", need: true }], { lot: row.split("\n")[1] }, "Nothing more is taken from it; where it went is listed.")) }
  ];
});
var lot = (frame2, number) => new BookScreen(frame2, "Lot", `/api/book/lot/${encodeURIComponent(number)}`, (s) => [
  { key: "B", label: "doubt it", press: () => s.fill(`Doubt lot ${number}`, "doubt it", "/api/book/parts/doubt", [{ name: "why", label: "What is wrong with it", need: true }], { lot: number }) }
]);
var instruments = (frame2) => new BookScreen(frame2, "Instruments", "/api/book/instruments", (s) => [
  { key: "A", label: "keep an instrument", press: () => s.fill("An instrument", "keep it", "/api/book/instruments/keep", [{ name: "kind", label: "Kind", need: true, options: ["test-tape", "tension-gauge", "audio-interface", "stopwatch"] }, { name: "name", label: "Name, as readings are filed with it", need: true }, { name: "serial", label: "Serial number" }, { name: "certificate", label: "Certificate, in a line" }, { name: "since", label: "Holds since" }, { name: "due", label: "Due again", hint: "2027-03-01" }, { name: "played", label: "Plays before this book counted" }, { name: "most", label: "Plays after which it is not trusted" }, { name: "file", label: "Its file: a test tape's leaflet, a gauge's weights", kind: "file" }]) }
]);
var instrument = (frame2, id) => new BookScreen(frame2, "Instrument", `/api/book/instrument/${id}`, (s) => [
  { key: "N", label: "what happened to it", press: () => s.fill("What happened to it", "write it down", `/api/book/instrument/${id}/note`, [{ name: "kind", label: "It was", kind: "select", options: s.data?.kinds ?? [], value: "doubt" }, { name: "what", label: "In words", need: true }, { ...day("since", "Since when"), hint: `${DAY}; a doubt may reach back` }, { name: "due", label: "For a calibration: until when" }]) }
]);
var money = (frame2, id) => new BookScreen(frame2, "Money and parts", `/api/book/money/${id}`, (s) => [
  { key: "A", label: "fit a part", press: () => s.fill("A part fitted", "write it down", `/api/book/job/${id}/fit`, [{ name: "supply", label: "Supply", need: true, options: s.data?.supplies ?? [] }, { name: "quantity", label: "How much", value: "1", need: true }, { name: "place", label: "Where", need: true }, { name: "lot", label: "Lot", hint: "left empty: the oldest that holds enough" }, day("day", "When")]) },
  { key: "C", label: "cost", press: () => s.fill("A cost", "write it down", `/api/book/job/${id}/cost`, [{ name: "amount", label: "How much", need: true }, { name: "what", label: "For what", need: true }, { name: "kind", label: "Kind", kind: "select", options: COSTS, value: "other" }, day("day", "When")], {}, "Parts from stock count by themselves.") },
  { key: "E", label: "correct a cost", press: () => s.withRow("costs", "a cost", (row) => {
    const [on, kind, amount, what] = s.rowCells();
    s.fill("Correct the cost", "so it is", `/api/book/job/${id}/correct-cost`, [{ name: "amount", label: "How much", need: true, value: amount }, { name: "what", label: "For what", need: true, value: what }, { name: "kind", label: "Kind", kind: "select", options: COSTS, value: kind }, { ...day("day", "When"), value: on }], { cost: row }, "The earlier entry stays in the book.");
  }) },
  { key: "B", label: "take a cost back", press: () => s.withRow("costs", "a cost", (row) => s.fill(`Take ${s.rowCells()[2]} back`, "take it back", `/api/book/job/${id}/take-back-cost`, [{ name: "why", label: "Why", need: true }], { cost: row }, "The entry stays in the book.")) },
  { key: "S", label: "sold", press: () => s.fill("The deck is sold", "it is", `/api/book/job/${id}/sold`, [{ name: "price", label: "Price", need: true }, { name: "buyer", label: "Buyer", need: true }, day("day", "When"), { name: "months", label: "Months of warranty", hint: "left empty: the shop's own" }, { name: "terms", label: "What it covers" }], {}, "The buyer becomes the deck's owner.") }
]);
var photos = (frame2, id) => new BookScreen(frame2, "Photos", `/api/book/photos/${id}`, (s) => [
  { key: "A", label: "add photos", press: () => addPhotos(s, id) }
], (page) => [el("div", { class: "photos" }, ...page.photos.map((p) => el("figure", {}, el("img", { src: p.src, alt: `${p.assembly}, ${p.mark}${p.caption ? `: ${p.caption}` : ""}`, loading: "lazy" }), el("figcaption", {}, `${p.assembly}, ${p.mark}${p.caption ? `: ${p.caption}` : ""}`))))]);
var photoForm = null;
function addPhotos(screen2, job) {
  photoForm ??= new Form();
  photoForm.open("Photos of one assembly", "take them in", [{ name: "assembly", label: "What is seen", need: true }, { name: "mark", label: "When", kind: "select", options: ["as-found", "first-run", "as-left"] }, { name: "caption", label: "Caption" }, { name: "photos", label: "Pictures: JPEG, PNG or WebP", kind: "file", need: true }], async (said2) => {
    const files = [...document.querySelector("#field-photos")?.files ?? []];
    for (const file of files) {
      const refused = screen2.took(await send(`/api/book/photo/${job}?${new URLSearchParams({ assembly: said2["assembly"], mark: said2["mark"], caption: said2["caption"] })}`, file));
      if (refused) return `${file.name}: ${refused}`;
    }
    return null;
  });
  const input2 = document.querySelector("#field-photos");
  input2.accept = "image/jpeg,image/png,image/webp";
  input2.multiple = true;
}
var listing = (frame2, id) => new BookScreen(frame2, "Listing", `/api/book/listing/${id}`, (s) => [
  { key: "E", label: "own words", press: () => s.fill("Words of your own", "keep them", `/api/book/job/${id}/listing`, [{ name: "title", label: "Title", need: true, value: s.data?.ownTitle ?? "" }, { name: "words", label: "Words", kind: "long", value: s.data?.ownWords ?? "" }, { name: "asked", label: "Price asked", value: s.data?.ownAsked ?? "" }, { name: "sample", label: "Where the sound sample is to be heard", value: s.data?.ownSample ?? "", hint: "https://shop.example/sample.html; spoolwright sample compare makes the page" }]) },
  { key: "K", label: "copy the text", press: () => void navigator.clipboard.writeText(s.data?.text ?? "").then(() => frame2.tell("The listing is copied."), () => frame2.tell("The browser did not allow copying; mark the text and copy it by hand.")) }
], (page) => [el("section", {}, el("h2", {}, "The text, to be pasted anywhere"), el("pre", { class: "paper", tabindex: "0" }, page.text))]);
var kinds = (frame2) => new BookScreen(frame2, "Kinds of deck", "/api/book/kinds");
var field = (frame2, profile) => new BookScreen(frame2, "Decks side by side", `/api/book/field/${encodeURIComponent(profile)}${location.search}`, () => [], (page) => [plots(page.plots)]);
function plots(address) {
  const place2 = el("div", { class: "plots" }, el("p", { class: "faint" }, "The plots are being drawn …"));
  void asked(address).then((drawn) => {
    if (drawn.problem || drawn.plots.length === 0) place2.replaceChildren(el("p", { class: "faint" }, drawn.problem ?? "There is nothing to draw yet: it takes two decks with the same quantity."));
    else place2.replaceChildren(...drawn.plots.map((p) => el("figure", {}, el("img", { src: p.src, alt: "" }), el("figcaption", {}, p.says))));
  });
  return el("section", { "aria-label": "Plots" }, el("h2", {}, "Spread, as found and as left"), el("p", { class: "faint" }, "Open circles: as found. Full circles: as left. A line joins the two of one deck. Upright rules are the profile's limits."), place2);
}
var lately = (frame2) => new BookScreen(frame2, "Lately", "/api/book/lately", (s) => [
  { key: "U", label: "undo the one chosen", press: () => {
    const row = s.rowId();
    if (!row) frame2.tell("Choose what is to be undone first: ↑ and ↓ go from row to row.");
    else void s.write("/api/book/book/undo", { table: row.split("/")[0], id: row.split("/")[1] });
  } }
]);
var plans = (frame2) => new BookScreen(frame2, "Plans and profiles", "/api/book/plans", (s) => [
  { key: "A", label: "take a plan's file in", press: () => s.fill("A plan's file", "keep it", "/api/book/book/keep-plan", [{ name: "file", label: "File", kind: "file", need: true }], {}, "A plan of the same name is superseded; jobs laid out by it stay as they are.") },
  { key: "F", label: "take a profile's file in", press: () => s.fill("A profile's file", "keep it", "/api/book/book/keep-profile", [{ name: "file", label: "File", kind: "file", need: true }], {}, "A profile of the same name is superseded; decks keep theirs.") },
  { key: "C", label: "copy the one chosen", press: () => {
    const plan2 = s.rowId("plans"), profile = s.rowId("profiles");
    if (!plan2 && !profile) frame2.tell("Choose a plan or a profile first: ↑ and ↓ go from row to row.");
    else s.fill(`Copy ${plan2 ?? profile}`, "copy it", plan2 ? "/api/book/book/copy-plan" : "/api/book/book/copy-profile", [{ name: "name", label: "The copy's name", need: true }], { from: plan2 ?? profile });
  } }
]);
var shop = (frame2) => new BookScreen(frame2, "Shop", "/api/book/shop", (s) => [
  { key: "E", label: "change", press: () => s.fill("The shop", "so be it", "/api/book/book/shop", [
    { name: "name", label: "Name", need: true, value: s.data?.name ?? "" },
    { name: "place", label: "Place", value: s.data?.place ?? "" },
    { name: "currency", label: "Currency", need: true, value: s.data?.currency ?? "" },
    { name: "zone", label: "Time zone", need: true, value: s.data?.zone ?? "", hint: "Europe/Dublin, UTC" },
    { name: "hourly", label: "An hour should bring", value: s.data?.hourly ?? "" },
    { name: "months", label: "Months of warranty", value: s.data?.months ?? "" },
    { name: "terms", label: "What it covers", kind: "long", value: s.data?.terms ?? "" }
  ]) }
]);
var tables = (frame2) => new BookScreen(frame2, "Tables", "/api/book/tables");

// ../../src/Spoolwright.App/Web/Client/book/bookPlaces.ts
var BOOK_PLACES = [
  { path: "/book/decks", title: "Decks and jobs", make: decks },
  { path: "/book/search", title: "Search", make: (f) => new SearchScreen(f) },
  { path: "/book/offers", title: "Offers", make: offers },
  { path: "/book/parts", title: "Parts and supplies", make: parts },
  { path: "/book/instruments", title: "Instruments", make: instruments },
  { path: "/book/kinds", title: "Decks side by side", make: kinds },
  { path: "/book/symptoms", title: "What you see and hear", make: symptoms },
  { path: "/book/causes", title: "How often causes are met", make: causePriors },
  { path: "/book/lately", title: "Lately, and undo", make: lately },
  { path: "/book/plans", title: "Plans and profiles", make: plans },
  { path: "/book/shop", title: "The shop", make: shop },
  { path: "/book/tables", title: "Every table", make: tables }
];
var ID = /^[0-9a-f-]{36}$/;
function bookPlaceAt(path) {
  const [, book, kind, id = ""] = path.split("/");
  if (book !== "book") return null;
  const named = (() => {
    try {
      return decodeURIComponent(id);
    } catch {
      return id;
    }
  })();
  const at = (title, make2) => ({ path, title, make: make2 });
  if (kind === "lot" && id) return at("Lot", (f) => lot(f, named));
  if (kind === "field" && id) return at("Decks side by side", (f) => field(f, named));
  if (!ID.test(id)) return BOOK_PLACES.find((p) => p.path === path) ?? null;
  switch (kind) {
    case "job":
      return at("Job", (f) => new JobScreen(f, id));
    case "ails":
      return at("What ails the deck", (f) => new CausesScreen(f, id));
    case "deck":
      return at("Deck", (f) => deck(f, id));
    case "offer":
      return at("Offer", (f) => offer(f, id));
    case "instrument":
      return at("Instrument", (f) => instrument(f, id));
    case "money":
      return at("Money and parts", (f) => money(f, id));
    case "photos":
      return at("Photos", (f) => photos(f, id));
    case "signing":
      return at("Signing off", (f) => signing(f, id));
    case "aftercare":
      return at("Aftercare", (f) => aftercare(f, id));
    case "listing":
      return at("Listing", (f) => listing(f, id));
    default:
      return null;
  }
}

// ../../src/Spoolwright.App/Web/Client/places.ts
var PLACES = [
  { path: "/", key: "1", title: "Decks", make: (f) => new HomeScreen(f) },
  { path: "/matrix", key: "2", title: "Matrix", make: (f) => new MatrixScreen(f) },
  { path: "/tension", key: "3", title: "Tension", make: (f) => new TensionScreen(f) },
  { path: "/speed", key: "4", title: "Speed", make: (f) => new SpeedScreen(f) },
  { path: "/azimuth", key: "5", title: "Azimuth", make: (f) => new AzimuthScreen(f) },
  { path: "/level", key: "6", title: "Level", make: (f) => levelScreen(f) },
  { path: "/equalization", key: "7", title: "Eq", make: (f) => equalizationScreen(f) },
  { path: "/bias", key: "8", title: "Bias", make: (f) => biasScreen(f) },
  { path: "/record-level", key: "9", title: "Rec level", make: (f) => recordLevelScreen(f) },
  { path: "/record-equalization", key: "0", title: "Rec eq", make: (f) => recordEqualizationScreen(f) },
  { path: "/sound", title: "Sound", make: (f, o) => new SoundScreen(f, o) },
  { path: "/practice", title: "Practice", make: (f) => new PracticeScreen(f) },
  ...BOOK_PLACES,
  { path: "/record-azimuth", title: "Record azimuth", make: (f) => new AzimuthScreen(f, true) }
];
var MEASURES = { tension: "/tension", speed: "/speed", azimuth: "/azimuth", playback: "/level", bias: "/bias" };
var placeOf = (measurement) => MEASURES[measurement] ?? (TYPED.includes(measurement) ? `/typed/${measurement}` : `/capture/${measurement}`);
var TYPED = ["torque", "brakes", "wind-time", "pinch-force"];
function placeAt(path) {
  const [, kind, id] = path.split("/");
  if (kind === "capture" && id && /^[a-z-]+$/.test(id)) return { path, title: "Capture", make: (f) => new CaptureScreen(f, id) };
  if (kind === "typed" && id && TYPED.includes(id)) return { path, title: id, make: (f) => new TensionScreen(f, id) };
  return bookPlaceAt(path) ?? PLACES.find((p) => p.path === path) ?? null;
}

// ../../src/Spoolwright.App/Web/Client/readingsPanel.ts
var ReadingsPanel = class {
  panel = el("aside", { class: "kept", "aria-label": "Readings kept", "data-test": "readings", hidden: "" });
  constructor() {
    document.body.append(this.panel);
  }
  get isOpen() {
    return !this.panel.hidden;
  }
  show(title, readings, notes) {
    const close = el("button", { type: "button", class: "key" }, el("kbd", {}, "V"), " close");
    close.addEventListener("click", () => this.hide());
    this.panel.replaceChildren(el("h2", {}, title), el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Readings" }, readingsTable(readings), el("ul", {}, ...notes.map((n) => el("li", {}, n.text)))), close);
    this.panel.hidden = false;
  }
  hide() {
    this.panel.hidden = true;
  }
};
function readingsTable(readings) {
  return el(
    "table",
    {},
    el("thead", {}, el("tr", {}, ...["quantity", "channel", "tone", "value", "limit", "verdict"].map((t) => el("th", { scope: "col" }, t)))),
    el("tbody", {}, ...readings.map((r) => el(
      "tr",
      {},
      el("th", { scope: "row" }, r.quantity),
      el("td", {}, r.channel),
      el("td", {}, r.frequencyHz ? hertz(r.frequencyHz) : ""),
      el("td", { class: "number", "data-quantity": r.quantity, "data-value": String(r.value) }, `${signed(r.value, digitsFor(r.uncertainty, 4))} ${r.uncertainty === null ? "" : "± " + r.uncertainty.toFixed(digitsFor(r.uncertainty, 4))} ${r.unit}`),
      el("td", {}, r.limit ?? ""),
      el("td", { "data-verdict": r.verdict ?? "" }, r.verdict ? verdictMark[r.verdict] : "")
    )))
  );
}

// ../../src/Spoolwright.App/Web/Client/drop.ts
var Drop = class {
  constructor(frame2, measurement) {
    this.frame = frame2;
    this.measurement = measurement;
    document.body.append(this.panel, this.opener);
    this.opener.addEventListener("change", () => {
      const file = this.opener.files?.[0];
      this.opener.value = "";
      if (file) this.ask(file);
    });
    document.addEventListener("dragover", (event) => event.preventDefault());
    document.addEventListener("drop", (event) => {
      event.preventDefault();
      const file = event.dataTransfer?.files[0];
      if (file) this.ask(file);
    });
  }
  frame;
  measurement;
  panel = el("dialog", { class: "panel", "aria-label": "Measured file" });
  opener = el("input", { type: "file", accept: "audio/*,.wav,.flac,.aif,.aiff", hidden: "", "aria-label": "Sound file" });
  /** Lets the person choose a file. */
  open() {
    this.opener.click();
  }
  ask(file) {
    const as = el("select", { id: "drop-as" }, ...OF_SOUND.map(([id, name]) => el("option", { value: id }, name)));
    as.value = this.measurement();
    const into = el("select", { id: "drop-into" }, el("option", { value: "" }, "no: only look at it"), el("option", { value: "as-found" }, "as found"), el("option", { value: "first-run" }, "first run"), el("option", { value: "as-left" }, "as left"));
    into.disabled = !choice.job;
    const form2 = el(
      "form",
      {},
      el("h2", {}, file.name),
      el("p", {}, el("label", { for: "drop-as" }, "Measured as "), as),
      el("p", {}, el("label", { for: "drop-into" }, choice.job ? `Into the book, under ${conditionText(true)} ` : "Into the book: choose a deck first (1) "), into),
      el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " measure it")
    );
    form2.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.measure(file, as.value, into.value);
    });
    this.panel.replaceChildren(form2);
    this.panel.showModal();
    as.focus();
  }
  async measure(file, as, into) {
    const bar = el("progress", { max: "1", value: "0", "aria-label": "Measured so far" }), text2 = el("p", {}, "Taking the file in …"), close = el("button", { type: "button", class: "key" }, el("kbd", {}, "Esc"), " close");
    close.addEventListener("click", () => this.panel.close());
    this.panel.replaceChildren(el("h2", {}, `${file.name}, measured as ${as}`), bar, text2, close);
    const query = new URLSearchParams({ name: file.name, direction: choice.direction, speed: String(choice.speed), ...choice.setting ? { setting: choice.setting } : {}, ...choice.job ? { job: choice.job } : {}, ...choice.tape ? { tape: choice.tape } : {}, ...into ? { keep: into } : {} });
    try {
      const answer = await fetch(`/api/measure/${as}?${query}`, { method: "POST", body: file });
      for await (const line of lines(answer)) {
        if (line.progress !== void 0) {
          bar.value = line.progress;
          say(text2, `Measuring, ${(100 * line.progress).toFixed(0)} %`);
        } else this.result(line, bar, text2, close);
      }
    } catch {
      say(text2, "The bench did not answer. Is the program still running?");
    }
    close.focus();
  }
  result(line, bar, text2, close) {
    bar.remove();
    if (line.problem) {
      say(text2, line.problem);
      this.frame.tell(line.problem);
      return;
    }
    say(text2, `${line.seconds?.toFixed(1)} s of sound. ${line.kept ?? ""}`);
    close.before(el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Readings" }, readingsTable(line.readings ?? [])), el("ul", {}, ...(line.notes ?? []).map((n) => el("li", {}, n.text))));
  }
};
async function* lines(answer) {
  const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (; ; ) {
    const { done, value } = await reader.read();
    rest += value ?? "";
    const whole = rest.split("\n");
    rest = done ? "" : whole.pop();
    for (const line of whole) if (line.trim()) yield JSON.parse(line);
    if (done) return;
  }
}

// ../../src/Spoolwright.App/Web/Client/sound.ts
var REMEMBERED = "input";
var Microphone = class _Microphone {
  /**
   * @param lost Told when the input goes away by itself.
   * @param back Told when it is there again; it is open by then.
   */
  constructor(link2, lost2, back2) {
    this.link = link2;
    this.lost = lost2;
    this.back = back2;
    navigator.mediaDevices?.addEventListener("devicechange", () => void this.seek());
  }
  link;
  lost;
  back;
  context = null;
  stream = null;
  /** The input that went away by itself and is waited for. */
  missed = null;
  get isOpen() {
    return this.stream !== null;
  }
  /** The inputs there are; names are known once one was allowed. */
  static async inputs() {
    return (await navigator.mediaDevices.enumerateDevices()).filter((d) => d.kind === "audioinput");
  }
  static get remembered() {
    return localStorage.getItem(REMEMBERED);
  }
  /** Opens an input. Throws an Error with one plain sentence where it cannot be used. */
  async open(deviceId) {
    this.close();
    const stream = await this.ask(deviceId);
    const track = stream.getAudioTracks()[0];
    const settings = track.getSettings();
    const fault = refusal(settings);
    if (fault) {
      for (const t of stream.getTracks()) t.stop();
      throw new Error(fault);
    }
    const rate = settings.sampleRate ?? 48e3;
    const context = new AudioContext({ sampleRate: rate, latencyHint: "interactive" });
    await context.audioWorklet.addModule("/files/worklet.js");
    const tap = new AudioWorkletNode(context, "tap", { numberOfInputs: 1, numberOfOutputs: 0, channelCount: 2, channelCountMode: "explicit", channelInterpretation: "discrete" });
    tap.port.onmessage = (event) => {
      this.link.sound(event.data);
    };
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
  close() {
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
  async seek() {
    const missed = this.missed;
    if (missed === null || !(await _Microphone.inputs()).some((d) => d.deviceId === missed)) return;
    this.missed = null;
    try {
      this.back(await this.open(missed));
    } catch (error) {
      this.missed = missed;
      this.lost(error instanceof Error ? error.message : String(error));
    }
  }
  async ask(deviceId) {
    if (!navigator.mediaDevices?.getUserMedia) throw new Error("This browser gives pages no sound. Open the bench in another browser, at its loopback address.");
    const wanted = { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: { ideal: 2 } };
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
};
function refusal(settings) {
  const still = [settings.echoCancellation && "echo cancelling", settings.noiseSuppression && "noise suppression", settings.autoGainControl && "gain control"].filter(Boolean);
  if (still.length > 0) return `The browser goes on changing the sound (${still.join(", ")}): nothing measured through it would be true. Choose another input.`;
  if (settings.channelCount === 1) return "This input has one channel. The bench needs both channels of the deck: choose a stereo input of the interface.";
  return null;
}

// ../../src/Spoolwright.App/Web/Client/inputDialog.ts
var InputDialog = class {
  constructor(frame2, microphone2, practise2) {
    this.frame = frame2;
    this.microphone = microphone2;
    this.practise = practise2;
    document.body.append(this.dialog);
  }
  frame;
  microphone;
  practise;
  dialog = el("dialog", { class: "panel", "aria-labelledby": "input-title" });
  async open() {
    const list2 = el("div", { class: "choices" });
    const inputs = navigator.mediaDevices && !isTablet ? await Microphone.inputs() : [];
    const offers2 = [
      ...inputs.map((d, i) => [`${d.label || `input ${i + 1}`}${d.deviceId === Microphone.remembered ? " (used last)" : ""}`, () => void this.choose(d.deviceId || null)]),
      ["Practice deck: azimuth tones", () => this.practise("azimuth")],
      ["Practice deck: level tone", () => this.practise("level")],
      ["Practice deck: whole level tape", () => this.practise("levels")],
      ["Practice deck: speed tape", () => this.practise("speed")],
      ["Practice deck: blank tape, recording", () => this.practise("record")]
    ];
    offers2.slice(0, 9).forEach(([label, take], i) => {
      const button = el("button", { type: "button", class: "key" }, el("kbd", {}, String(i + 1)), " ", label);
      button.addEventListener("click", () => {
        this.dialog.close();
        take();
      });
      list2.append(button);
    });
    this.dialog.replaceChildren(
      el("h2", { id: "input-title" }, "Where the sound comes from"),
      el("p", {}, isTablet ? "Sound comes in at the bench's own machine; choose its input there." : "An input is asked for with all of the browser's processing off, both channels, at the interface's own rate."),
      list2,
      ...inputs.length === 0 && !isTablet ? [el("p", {}, "The browser sees no input. Connect the interface, or use the practice deck.")] : [],
      el("p", {}, el("kbd", {}, "Esc"), " leaves it as it is")
    );
    this.dialog.onkeydown = (event) => {
      const button = list2.children[Number(event.key) - 1];
      if (button) {
        event.preventDefault();
        event.stopPropagation();
        button.click();
      }
    };
    this.dialog.showModal();
    list2.firstElementChild?.focus();
  }
  async choose(deviceId) {
    try {
      const opened = await this.microphone.open(deviceId);
      this.frame.tell(`Listening to ${opened.label} at ${opened.rate} Hz.`);
    } catch (error) {
      this.frame.tell(error instanceof Error ? error.message : String(error));
    }
  }
};

// ../../src/Spoolwright.App/Web/Client/main.ts
var $ = (id) => document.getElementById(id);
var link = new Link();
var guide = new Guide();
var ask = new Ask();
var output = new Output();
var panel = new ReadingsPanel();
var keepDialog = new KeepDialog();
var said = $("said");
var toldFor = said.textContent ? location.pathname : "";
var frame = { link, guide, tell, go, renew: chooseDeck, ask: (title, label, value) => ask.open(title, label, value), hold: false, keysChanged: () => showKeys() };
var microphone = new Microphone(link, (why) => {
  link.send({ do: "stop" });
  lost = why;
  tell(why);
}, (opened) => {
  lost = "";
  tell(`The input is back: listening to ${opened.label} again.`);
});
var input = new InputDialog(frame, microphone, practise);
var drop = new Drop(frame, () => screen.measurement ?? "speed");
var screen;
var place = PLACES[0];
var plan = usual;
var lost = "";
var sends;
var shownKeep = "";
var deckLine = el("span", { class: "deck" });
var inputLine = el("span", { class: "input", "data-test": "input" });
var keepLine = el("div", { class: "keepline", "data-test": "keep", hidden: "" });
var warning = el("div", { class: "warning", role: "alert", hidden: "" });
var sendLine = el("div", { class: "sendline", "data-test": "sending", hidden: "" });
var levelLeft = el("meter", { min: "-60", max: "0", high: "-3", low: "-50", optimum: "-12", "aria-label": "Peak left" });
var levelRight = el("meter", { min: "-60", max: "0", high: "-3", low: "-50", optimum: "-12", "aria-label": "Peak right" });
var anchors = PLACES.filter((p) => p.key).map((p) => {
  const anchor = el("a", { href: p.path }, el("kbd", {}, p.key), el("span", {}, ` ${p.title}`));
  anchor.addEventListener("click", (event) => {
    event.preventDefault();
    go(p.path);
  });
  return anchor;
});
$("top").append(el("nav", { "aria-label": "Screens" }, ...anchors), el("div", { class: "lines" }, deckLine, el("span", { class: "meters" }, levelLeft, levelRight), inputLine), warning, sendLine, keepLine);
function common() {
  const offers2 = [
    { key: "G", label: "all pages", press: openPages },
    { key: "/", label: "search", press: () => go("/book/search") },
    { key: "I", label: "input", press: () => void input.open() },
    { key: "P", label: "practice deck", press: () => practise(screen.practiceTape ?? "azimuth") },
    { key: "D", label: "open a file", press: () => drop.open() },
    ...choice.tape ? [{ key: "X", label: "test tape is off", press: tapeOff }] : []
  ];
  if (screen.signal) offers2.push({ key: "S", label: "send / stop", press: sendOrStop });
  if (screen.measurement) {
    offers2.push(
      { key: "C", label: "next condition", press: nextCondition },
      { key: "J", label: "keep as found", press: () => keep2("as-found") },
      { key: "K", label: "keep as left", press: () => keep2("as-left") },
      { key: "L", label: "keep first run", press: () => keep2("first-run") },
      { key: "U", label: "could not run", press: () => void couldNotRun() },
      { key: "O", label: "how it is kept", press: () => void planKeep() },
      { key: "V", label: "readings kept", press: toggleReadings },
      { key: "H", label: "hold", press: hold },
      { key: "M", label: "guide", press: () => tell(guide.next()) }
    );
  }
  const own = new Set(screen.keys.map((k) => k.key));
  return offers2.filter((o) => !own.has(o.key));
}
function hold() {
  frame.hold = !frame.hold;
  tell(frame.hold ? "Held: press H to go on." : "Going on.");
}
function keep2(mark) {
  const sending = link.last?.sending;
  if (sending?.program && link.last?.source === "microphone" && !["waiting", "recording"].includes(link.last?.keep?.state ?? "")) void output.once(sending.name, sending.level);
  link.send({ do: "keep", measurement: plan.measurement ?? screen.measurement, mark, seconds: plan.seconds, supersede: plan.supersede });
}
async function planKeep() {
  plan = await keepDialog.open(plan, screen.title);
  tell(`The next capture is kept as ${plan.measurement ?? screen.measurement}${plan.seconds ? `, ${plan.seconds} s` : ""}${plan.supersede ? "" : ", beside an earlier one"}.`);
}
async function couldNotRun() {
  const reason = await ask.open("Could not run", `Why ${screen.title.toLowerCase()} could not be measured, ${conditionText(Boolean(screen.signal))}, as found (such as: belt turned to tar)`);
  if (!reason?.trim()) return;
  link.send({ do: "unmeasured", measurement: screen.measurement, mark: "as-found", reason });
  tell(`Written down: could not run, ${reason.trim()}.`);
}
function toggleReadings() {
  if (panel.isOpen) panel.hide();
  else if (link.last?.keep?.readings) panel.show(`Kept: ${link.last.keep.measurement}`, link.last.keep.readings, link.last.keep.notes ?? []);
  else tell("Nothing was kept yet: K keeps as left, J as found.");
}
function practise(tape) {
  microphone.close();
  lost = "";
  link.send({ do: "practice", tape, signal: screen.signal && tape === "record" ? screen.signal : void 0 });
  tell("The practice deck plays.");
}
function sendOrStop() {
  if (link.last?.sending) {
    link.send({ do: "silence" });
    return;
  }
  if (choice.tape && link.last?.source !== "practice") {
    tell(`✗ ${choice.tapeName} is threaded, as far as the bench knows: nothing is sent, a deck in record would put it over the tape. Take it off, thread blank tape, then press X.`);
    return;
  }
  link.send({ do: "send", signal: screen.signal, level: choice.outputDb });
}
function tapeOff() {
  tell(`${choice.tapeName} is off the deck.`);
  save({ tape: "", tapeName: "" });
  chooseDeck();
  showKeys();
}
function nextCondition() {
  const speed = choice.speeds.indexOf(choice.speed), setting = choice.settings.indexOf(choice.setting ?? "");
  if (screen.signal && choice.settings.length > 1 && setting < choice.settings.length - 1) save({ setting: choice.settings[setting + 1] });
  else if (choice.direction === "forward" && choice.directions.includes("reverse")) save({ direction: "reverse", setting: choice.settings[0] ?? null });
  else save({ direction: choice.directions.includes("forward") ? "forward" : "reverse", speed: choice.speeds[(speed + 1) % choice.speeds.length], setting: choice.settings[0] ?? null });
  chooseDeck();
  tell(`Now ${conditionText(Boolean(screen.signal))}.`);
}
function chooseDeck() {
  if (isTablet) return;
  link.send({ do: "deck", job: choice.job, direction: choice.direction, speed: choice.speed, setting: choice.setting, tape: choice.tape, reference: choice.reference });
  tellScreen();
}
function tellScreen() {
  link.send({ do: "screen", screen: place.path.slice(1), adjustment: screen.adjustment });
}
function tell(text2, path = location.pathname) {
  toldFor = path;
  say(said, text2);
}
function go(path) {
  history.pushState(null, "", path);
  show();
}
function openPages() {
  const dialog = el("dialog", { class: "panel", "aria-labelledby": "pages-title" }), list2 = el("div", { class: "choices pages" });
  const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ".split("");
  const offers2 = PLACES.map((p) => [p.key ?? letters.shift(), p]);
  for (const [key, to] of offers2) {
    const button = keyButton(key, to.title, () => {
      dialog.close();
      go(to.path);
    });
    list2.append(button);
  }
  dialog.append(el("h2", { id: "pages-title" }, "All pages"), list2, el("p", {}, el("kbd", {}, "Esc"), " leaves it"));
  dialog.addEventListener("close", () => dialog.remove());
  dialog.addEventListener("keydown", (event) => {
    const offer2 = offers2.find(([key]) => key === event.key.toUpperCase());
    if (!offer2) return;
    event.preventDefault();
    event.stopPropagation();
    dialog.close();
    go(offer2[1].path);
  });
  document.body.append(dialog);
  dialog.showModal();
}
function show() {
  screen?.leave?.();
  const at = placeAt(location.pathname);
  place = at ?? PLACES[0];
  if (toldFor !== location.pathname) say(said, at ? "" : `✗ There is nothing at ${location.pathname}; these are the decks.`);
  frame.hold = false;
  plan = usual;
  panel.hide();
  screen = place.make(frame, output);
  document.title = `${screen.title}, Spoolwright`;
  anchors.forEach((anchor) => anchor.getAttribute("href") === place.path ? anchor.setAttribute("aria-current", "page") : anchor.removeAttribute("aria-current"));
  $("screen").replaceChildren(screen.root);
  showKeys();
  const sending = link.last?.sending;
  if (sending && sending.name !== screen.signal && link.last?.source === "microphone" && sends) link.send({ do: "silence" });
  if (sending && screen.signal && screen.adjustment && sending.name !== screen.signal && link.last?.source === "practice") link.send({ do: "send", signal: screen.signal });
  if (link.isOpen) chooseDeckIfChanged();
  tellScreen();
}
function showKeys() {
  $("keys").replaceChildren(...[...screen.keys, ...common()].filter((k) => k.label).map((k) => keyButton(k.key, k.label, k.press)));
}
function chooseDeckIfChanged() {
  const bench = link.last?.bench;
  if (!bench || bench.job !== choice.job || bench.direction !== choice.direction || bench.speed !== choice.speed || choice.setting !== null && bench.setting !== choice.setting) chooseDeck();
}
function showFrame(picture) {
  const source = { none: "no input: press I", microphone: "input", practice: "practice deck" }[picture.source] ?? picture.source;
  say(inputLine, picture.input ? `${source}, ${(picture.input.rate / 1e3).toFixed(1)} kHz` : source);
  const bench = picture.bench;
  say(deckLine, `${bench?.deck || choice.deck || "no deck chosen"}; ${bench ? `${bench.direction}, ${bench.speed} cm/s${screen.signal && bench.setting ? `, ${bench.setting}` : ""}` : conditionText(false)}${bench?.tape ? `; test tape ${bench.tape} threaded` : ""}`);
  levelLeft.value = picture.input?.peakLeft ?? -60;
  levelRight.value = picture.input?.peakRight ?? -60;
  const wrong = picture.problem ?? (picture.source === "none" && lost ? lost : picture.input?.notes[0]?.text ?? (picture.lostBlocks > 0 ? `Sound was lost between browser and bench ${picture.lostBlocks} times.` : ""));
  warning.hidden = wrong === "";
  say(warning, wrong && `! ${wrong}`);
  showSending(picture);
  keepLine.hidden = !picture.keep;
  if (picture.keep) say(keepLine, keepText(picture.keep));
  if (picture.keep?.state === "done" && picture.keep.sha256 !== shownKeep) {
    shownKeep = picture.keep.sha256 ?? "";
    panel.show(`Kept: ${picture.keep.measurement}`, picture.keep.readings ?? [], picture.keep.notes ?? []);
  }
}
function showSending(picture) {
  const real = picture.source === "microphone";
  if (!isTablet) {
    if (picture.check && !picture.check.done && sends !== "check") void output.once("check", choice.outputDb);
    if (!picture.check || picture.check.done) output.follow(real ? picture.sending : void 0);
  }
  sends = picture.check && !picture.check.done ? "check" : picture.sending?.name;
  sendLine.hidden = !picture.sending;
  if (picture.sending) say(sendLine, `▸ ${real ? "Sending" : "Sent to the practice deck"}: ${picture.sending.program ? `the program ${picture.sending.name}, when it is kept` : picture.sending.tones.map((t) => `${t.hz} Hz at ${signed(t.db, 0)} dB`).join(", ")}. S stops it.`);
}
function keepText(keep3) {
  switch (keep3.state) {
    case "waiting":
      return "Keeping: waiting for the tone …";
    case "recording":
      return `Keeping: ${keep3.seconds.toFixed(0)} of ${keep3.wanted.toFixed(0)} s; the same key ends it sooner`;
    case "measuring":
      return `Kept; measuring, ${(100 * keep3.progress).toFixed(0)} %`;
    case "done":
      return `✓ ${keep3.text}`;
    default:
      return `✗ ${keep3.text ?? "not kept"}`;
  }
}
document.addEventListener("keydown", (event) => {
  const target = event.target;
  const typing = target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement;
  if (typing && event.key === "Escape") target.blur();
  if (target instanceof HTMLSelectElement && event.key === "Enter" && target.form && !event.defaultPrevented) {
    event.preventDefault();
    target.form.requestSubmit();
    return;
  }
  if (typing || event.ctrlKey || event.altKey || event.metaKey || document.querySelector("dialog[open]")) return;
  if (event.key === "Escape") panel.hide();
  const key = (event.shiftKey && event.key.startsWith("Arrow") ? "Shift+" : "") + (event.key.length === 1 ? event.key.toUpperCase() : event.key);
  const to = PLACES.find((p) => p.key === key);
  const offer2 = [...screen.keys, ...common()].find((k) => k.key === key);
  if (!to && !offer2) return;
  event.preventDefault();
  if (offer2) offer2.press();
  else go(to.path);
});
window.addEventListener("popstate", show);
var waiting = null;
var painted = new MessageChannel();
var paintedPicture = null;
painted.port1.onmessage = () => {
  if (paintedPicture) link.painted(paintedPicture);
};
link.onPicture((picture) => {
  if (!waiting) requestAnimationFrame(() => {
    const newest = waiting;
    waiting = null;
    showFrame(newest);
    screen.show?.(newest);
    paintedPicture = newest;
    painted.port2.postMessage(null);
  });
  waiting = picture;
});
link.onOpen(() => {
  chooseDeck();
  tellScreen();
  if (microphone.isOpen) void input.choose(Microphone.remembered);
});
window.benchOutput = () => output.peakDb;
show();
link.open();
