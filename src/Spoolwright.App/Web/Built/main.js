// ../../src/Spoolwright.App/Web/Client/link.ts
var Link = class {
  socket = null;
  listeners = /* @__PURE__ */ new Set();
  openers = /* @__PURE__ */ new Set();
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
    this.socket.send(block);
    return true;
  }
};

// ../../src/Spoolwright.App/Web/Client/guide.ts
var Guide = class {
  context = null;
  voice = null;
  loud = null;
  get isOn() {
    return this.voice !== null;
  }
  toggle() {
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
  tell(distance) {
    if (!this.voice || !this.loud || !this.context) return;
    const now = this.context.currentTime;
    this.loud.gain.setTargetAtTime(distance === null ? 0 : 0.06, now, 0.05);
    if (distance === null) return;
    const near = 1 - Math.log2(1 + Math.min(distance, 15)) / 4;
    this.voice.frequency.setTargetAtTime(165 * 2 ** (3 * near), now, 0.03);
  }
};

// ../../src/Spoolwright.App/Web/Client/dom.ts
function el(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...children.filter((c) => c !== null && c !== void 0));
  return made;
}
function say(where, text) {
  if (where.textContent !== text) where.textContent = text;
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
  const text = Math.abs(value).toFixed(digits);
  if (Number(text) === 0) return text;
  return (value < 0 ? "−" : "+") + text;
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
  return { g, w, h, unit: Math.max(9, Math.min(18, Math.min(w / 42, h / 26))) };
}

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
    const left = 4.6 * unit, right = w - unit, top = 2.2 * unit;
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
      g.font = `${1.15 * unit}px system-ui, sans-serif`;
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
    const steps = [15, 30, 60, 120, 240, 600];
    const fitting = steps.find((s) => s >= wanted) ?? 600;
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
    g.font = `${1.1 * unit}px system-ui, sans-serif`;
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
    g.textAlign = "left";
    g.font = `${unit}px system-ui, sans-serif`;
    g.fillText("now", 0.4 * unit, top + 0.8 * unit);
    g.fillText(`${TRAIL_SECONDS} s ago`, 0.4 * unit, bottom);
  }
};

// ../../src/Spoolwright.App/Web/Client/knobs.ts
var Knobs = class {
  constructor(frame2, wanted) {
    this.frame = frame2;
    this.wanted = wanted;
    this.keys = [
      { key: "ArrowLeft", label: "", press: () => this.turn(-0.05) },
      { key: "ArrowRight", label: "", press: () => this.turn(0.05) },
      { key: "Shift+ArrowLeft", label: "", press: () => this.turn(-0.01) },
      { key: "Shift+ArrowRight", label: "", press: () => this.turn(0.01) },
      { key: "ArrowUp", label: "", press: () => this.choose(-1) },
      { key: "ArrowDown", label: "", press: () => this.choose(1) }
    ];
  }
  frame;
  wanted;
  root = el("div", { class: "knobs", role: "group", "aria-label": "Controls of the practice deck", hidden: "" });
  keys;
  names = "";
  chosen = 0;
  knobs = [];
  show(picture) {
    this.knobs = (picture.practice?.controls ?? []).filter((k) => this.wanted(k.name));
    this.root.hidden = this.knobs.length === 0;
    const names = this.knobs.map((k) => k.name).join();
    if (names !== this.names) {
      this.names = names;
      this.root.replaceChildren(...this.knobs.map((k, i) => this.knob(k, i)), el("p", { class: "faint" }, "Practice deck: ", el("kbd", {}, "←"), el("kbd", {}, "→"), " turn, with ", el("kbd", {}, "Shift"), " finer", this.knobs.length > 1 ? ", ↑ ↓ choose" : ""));
    }
    this.knobs.forEach((k, i) => {
      const box = this.root.children[i];
      box.setAttribute("aria-valuenow", k.at.toFixed(3));
      box.setAttribute("aria-valuetext", `${signed(k.at, 2)} turns`);
      box.toggleAttribute("data-chosen", i === this.chosen);
      say(box.querySelector("output"), signed(k.at, 2));
      box.querySelector("i").style.transform = `rotate(${(k.at * 360).toFixed(0)}deg)`;
    });
  }
  knob(k, i) {
    const box = el(
      "div",
      { class: "knob", role: "slider", tabindex: "0", "aria-label": `${k.name}: ${k.meaning}`, "aria-valuemin": String(k.least), "aria-valuemax": String(k.most), "aria-valuenow": String(k.at) },
      el("i", { "aria-hidden": "true" }),
      el("span", {}, k.name.replace(/^(forward|reverse)\./, "").replaceAll(".", " ").replaceAll("-", " ")),
      el("output", {})
    );
    box.addEventListener("focus", () => {
      this.chosen = i;
    });
    box.addEventListener("wheel", (event) => {
      event.preventDefault();
      this.chosen = i;
      this.turn(event.deltaY < 0 ? 0.02 : -0.02);
    }, { passive: false });
    return box;
  }
  turn(turns) {
    const knob = this.knobs[this.chosen];
    if (knob) this.frame.link.send({ do: "knob", name: knob.name, turns });
  }
  choose(by) {
    if (this.knobs.length > 0) this.chosen = (this.chosen + by + this.knobs.length) % this.knobs.length;
  }
};

// ../../src/Spoolwright.App/Web/Client/azimuthScreen.ts
var AzimuthScreen = class {
  constructor(frame2) {
    this.frame = frame2;
    this.knobs = new Knobs(frame2, (name) => name.endsWith("azimuth"));
    const form = el("form", { class: "turn" }, el("label", { for: "turn" }, "I turned it "), this.turn, el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " take the value"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      if (this.turn.value.trim()) frame2.link.send({ do: "turned", text: this.turn.value.trim() });
      this.turn.value = "";
      this.turn.blur();
    });
    this.root.append(
      el("section", { class: "now", "aria-label": "Value now" }, el("h2", {}, "Delay between the channels"), this.value, this.side, this.angle, this.cycle),
      el("section", { class: "turning", tabindex: "0", "aria-label": "What to turn next" }, el("h2", {}, "Turn next"), this.next, form, this.knobs.root),
      el("section", { class: "picture", "aria-label": "Picture" }, this.canvas)
    );
    this.keys = [
      { key: "A", label: "start from here", press: () => frame2.link.send({ do: "begin" }) },
      { key: "T", label: "say what I turned", press: () => this.turn.focus() },
      { key: "F", label: "forget earlier tones", press: () => {
        frame2.link.send({ do: "forget" });
        this.combs.forget();
      } },
      ...this.knobs.keys
    ];
  }
  frame;
  title = "Azimuth";
  measurement = "azimuth";
  root = el("div", { class: "adjust" });
  keys;
  value = el("output", { class: "value", "data-test": "skew" }, "–");
  side = el("p", { class: "under" });
  angle = el("p", { class: "angle" });
  cycle = el("p", { class: "faint" });
  next = el("p", { class: "next" });
  turn = el("input", { type: "text", id: "turn", autocomplete: "off", placeholder: "quarter turn cw" });
  canvas = el("canvas", { role: "img", "aria-label": "Each tone's possible delays, and where they agree" });
  combs = new Combs(this.canvas);
  knobs;
  perArcmin = null;
  described = 0;
  show(picture) {
    this.knobs.show(picture);
    this.showTurning(picture.turning);
    if (this.frame.hold) return;
    const reading = picture.readings?.find((r) => r.quantity === "time-skew");
    const angle = picture.readings?.find((r) => r.quantity === "azimuth-angle");
    this.showValue(picture, reading, angle);
    const limit = this.limitUs(picture, angle);
    this.combs.draw(picture, limit);
    const middle = angle?.min != null && angle.max != null ? (angle.max - angle.min) / 2 : angle?.max ?? null;
    this.frame.guide.tell(angle && middle ? Math.abs(angle.value) / middle : reading ? Math.abs(reading.value) / 5 : null);
  }
  showValue(picture, reading, angle) {
    if (!reading || !picture.skew) {
      say(this.value, "–");
      say(this.side, picture.source === "none" ? "No sound yet: press I to choose an input." : "No tone in both channels: play an azimuth tone.");
      say(this.angle, "");
      say(this.cycle, "");
      return;
    }
    say(this.value, `${signed(reading.value, Math.abs(reading.value) < 100 ? Math.min(2, digitsFor(reading.uncertainty, 2)) : 1)} µs`);
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
      this.canvas.setAttribute("aria-label", `Combs of ${picture.tones?.filter((t) => t.age === 0).length ?? 0} tones; they agree at ${reading.value.toFixed(1)} microseconds`);
    }
  }
  showTurning(turning) {
    if (!turning) {
      say(this.next, "Press A to start from the value that stands. Then turn the screw a little, and say how far.");
      return;
    }
    if (turning.pending) {
      say(this.next, "Turned. Waiting for the value to settle …");
      return;
    }
    const turn = turning.turns[0];
    if (turning.outcome !== "Turn" || !turn) {
      say(this.next, sentence(turning.reason));
      return;
    }
    say(this.next, `${turn.how}${turning.probe ? ", to see what it does" : turning.expected === void 0 ? "" : `: should come to ${signed(turning.expected, 1)}′`}`);
  }
  limitUs(picture, angle) {
    if (angle && picture.skew && Math.abs(angle.value) > 0.02) this.perArcmin = picture.skew.us / angle.value;
    if (!angle || this.perArcmin === null || angle.max == null) return null;
    const a = this.perArcmin * angle.max, b = this.perArcmin * (angle.min ?? -angle.max);
    return { min: Math.min(a, b), max: Math.max(a, b) };
  }
};
var sentence = (text) => text.charAt(0).toUpperCase() + text.slice(1) + ".";

// ../../src/Spoolwright.App/Web/Client/responsePicture.ts
function drawResponse(canvas, tones, readings) {
  const { g, w, h, unit } = fit(canvas);
  const shown = tones.filter((t) => t.leftResponse !== null && t.rightResponse !== null).sort((a, b) => a.nominal - b.nominal);
  const left = 4 * unit, right = w - 1.5 * unit, top = unit, bottom = h - 2.6 * unit;
  const most = Math.max(3, ...shown.flatMap((t) => [Math.abs(t.leftResponse), Math.abs(t.rightResponse)]).map((v) => Math.min(v, 12)));
  const span = most > 6 ? 12 : most > 3 ? 6 : 3;
  const x = (hz) => left + Math.log10(hz / 25) / Math.log10(22e3 / 25) * (right - left);
  const y = (db) => top + (span - db) / (2 * span) * (bottom - top);
  g.font = `${1.1 * unit}px system-ui, sans-serif`;
  g.fillStyle = ink.faint;
  g.strokeStyle = ink.line;
  g.lineWidth = 0.09 * unit;
  g.textAlign = "right";
  for (let db = -span; db <= span; db += span / 3) {
    g.beginPath();
    g.moveTo(left, y(db));
    g.lineTo(right, y(db));
    g.stroke();
    g.fillText(`${db > 0 ? "+" : ""}${db} dB`, left - 0.5 * unit, y(db) + 0.4 * unit);
  }
  g.textAlign = "center";
  for (const hz of [31.5, 63, 125, 250, 500, 1e3, 2e3, 4e3, 8e3, 16e3]) g.fillText(hertz(hz).replace(" kHz", "k").replace(" Hz", ""), x(hz), h - 1.1 * unit);
  for (const reading of readings.filter((r) => r.quantity === "response" && r.frequencyHz && r.min != null && r.max != null)) {
    g.fillStyle = ink.zone;
    g.fillRect(x(reading.frequencyHz) - 0.9 * unit, y(reading.max), 1.8 * unit, y(reading.min) - y(reading.max));
  }
  for (const tone of shown) {
    for (const [db, colour, side] of [[tone.leftResponse, ink.left, -1], [tone.rightResponse, ink.right, 1]]) {
      const px = x(tone.nominal) + side * 0.35 * unit, py = y(Math.max(-span, Math.min(span, db)));
      g.fillStyle = tone.age === 0 ? colour : colour + "aa";
      g.beginPath();
      g.moveTo(px, py - 0.6 * unit);
      g.lineTo(px + side * 0.9 * unit, py);
      g.lineTo(px, py + 0.6 * unit);
      g.fill();
    }
  }
  if (shown.length === 0) {
    g.fillStyle = ink.text;
    g.font = `${1.4 * unit}px system-ui, sans-serif`;
    g.fillText("Play the reference tone first (1 kHz);", (left + right) / 2, (top + bottom) / 2 - 0.5 * unit, right - left);
    g.fillText("each tone that follows takes its place here.", (left + right) / 2, (top + bottom) / 2 + 1.3 * unit, right - left);
  }
}

// ../../src/Spoolwright.App/Web/Client/levelScreen.ts
var LevelScreen = class {
  constructor(frame2) {
    this.frame = frame2;
    this.knobs = new Knobs(frame2, (name) => name.endsWith("level") || name.endsWith("eq"));
    this.root.append(
      el(
        "section",
        { class: "now", "aria-label": "Value now" },
        this.tone,
        el("div", { class: "pair" }, el("div", { class: "left" }, el("h3", {}, "◀ left"), this.left), el("div", { class: "right" }, el("h3", {}, "right ▶"), this.right)),
        this.under
      ),
      el("section", { class: "turning", "aria-label": "Controls" }, this.knobs.root),
      el("section", { class: "picture", "aria-label": "Picture" }, this.canvas)
    );
    this.keys = [{ key: "F", label: "forget earlier tones", press: () => frame2.link.send({ do: "forget" }) }, ...this.knobs.keys];
  }
  frame;
  title = "Level";
  measurement = "playback";
  root = el("div", { class: "adjust levels" });
  keys;
  tone = el("h2", {}, "Level of the tone");
  left = el("output", { class: "value", "data-test": "level-left" }, "–");
  right = el("output", { class: "value", "data-test": "level-right" }, "–");
  under = el("p", { class: "under" });
  canvas = el("canvas", { role: "img", "aria-label": "Response of both channels" });
  knobs;
  show(picture) {
    this.knobs.show(picture);
    if (this.frame.hold) return;
    const standing = (picture.tones ?? []).filter((t) => t.age === 0);
    const tone = standing.sort((a, b) => Math.max(b.left, b.right) - Math.max(a.left, a.right))[0];
    const readings = picture.readings ?? [];
    if (!tone) {
      say(this.tone, "Level of the tone");
      say(this.left, "–");
      say(this.right, "–");
      say(this.under, picture.source === "none" ? "No sound yet: press I to choose an input." : "No steady tone: play the level section of a test tape.");
      this.frame.guide.tell(null);
    } else {
      say(this.tone, `Level at ${hertz(tone.nominal)}, dB under full scale`);
      say(this.left, signed(tone.left, 2));
      say(this.right, signed(tone.right, 2));
      say(this.under, `left less right ${signed(tone.left - tone.right, 2)} dB, ${plusMinus(Math.hypot(tone.leftU, tone.rightU), 3)} dB${limits(readings, tone.nominal)}`);
      this.frame.guide.tell(Math.abs(tone.left - tone.right));
      Object.assign(this.root.dataset, { tone: String(tone.nominal), left: String(tone.left), right: String(tone.right), leftU: String(tone.leftU), rightU: String(tone.rightU) });
    }
    drawResponse(this.canvas, picture.tones ?? [], readings);
  }
};
function limits(readings, hz) {
  const own = readings.filter((r) => r.quantity === "response" && r.frequencyHz === hz);
  return own.length === 0 ? "" : `; against the reference tone ${own.map((r) => `${r.channel} ${signed(r.value, 2)}${r.limit ? ` (${r.limit})` : ""}`).join(", ")} dB`;
}

// ../../src/Spoolwright.App/Web/Client/rings.ts
var STEPS = [0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5];
var Rings = class {
  constructor(canvas) {
    this.canvas = canvas;
  }
  canvas;
  scale = 0.1;
  draw(rings) {
    const { g, w, h, unit } = fit(this.canvas);
    if (rings.length === 0) return;
    const most = Math.max(...rings.map((r) => Math.max(...r.percent.map(Math.abs))));
    const fitting = STEPS.find((s) => s >= most) ?? 5;
    if (fitting > this.scale || most < 0.3 * this.scale) this.scale = fitting;
    const size = (n) => (n > 1 && w / n < 13 * unit ? 0 : 1) * Math.min(w / n, (h - 1.8 * unit) / Math.ceil(rings.length / n) - 3.6 * unit);
    const columns = rings.map((_, i) => i + 1).reduce((best, n) => size(n) > size(best) ? n : best, 1);
    const lines2 = Math.ceil(rings.length / columns);
    const cw = w / columns, ch = (h - 1.8 * unit) / lines2;
    rings.forEach((ring, i) => this.one(g, ring, i % columns * cw, Math.floor(i / columns) * ch, cw, ch, unit));
    g.fillStyle = ink.faint;
    g.font = `${1.1 * unit}px system-ui, sans-serif`;
    g.textAlign = "left";
    g.fillText(`Dashed: mean speed. Outer circle ${this.scale} % faster, inner ${this.scale} % slower.`, 0.4 * unit, h - 0.5 * unit);
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
    g.font = `600 ${1.25 * unit}px system-ui, sans-serif`;
    g.fillText(ring.part, cx, cy + radius + 1.3 * unit);
    g.font = `${1.1 * unit}px system-ui, sans-serif`;
    g.fillText(`${ring.peak.toFixed(3)} % a turn, ${ring.rate.toFixed(2)}/s`, cx, cy + radius + 2.8 * unit);
  }
};

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
    for (const [id, name] of ROWS) {
      const cells = [el("td", { class: "number", "data-test": id }, "–"), el("td", {}, ""), el("td", {}, "")];
      this.cells.set(id, cells);
      this.body.append(el("tr", {}, el("th", { scope: "row" }, name), ...cells));
    }
    this.root.append(
      el("section", { class: "picture", "aria-label": "Picture" }, this.canvas, this.advice),
      el("section", { class: "now", "aria-label": "Value now" }, el("h2", {}, "Speed over the last second"), this.value, this.under),
      el(
        "section",
        { class: "table", tabindex: "0", "aria-label": "Every detector" },
        el("table", {}, el("caption", {}, "The last 20 seconds, %"), el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "detector"), el("th", { scope: "col" }, "value"), el("th", { scope: "col" }, "limit"), el("th", { scope: "col" }, "verdict"))), this.body)
      )
    );
  }
  frame;
  title = "Speed";
  measurement = "speed";
  root = el("div", { class: "adjust speed" });
  keys = [];
  value = el("output", { class: "value", "data-test": "speed" }, "–");
  under = el("p", { class: "under" });
  body = el("tbody");
  cells = /* @__PURE__ */ new Map();
  canvas = el("canvas", { role: "img", "aria-label": "One turn of each rotating part" });
  rings = new Rings(this.canvas);
  advice = el("p", { class: "over" });
  show(picture) {
    if (this.frame.hold) return;
    const speed = picture.speed;
    if (!speed) {
      say(this.value, "–");
      say(this.under, picture.source === "none" ? "No sound yet: press I to choose an input." : "No speed tone: play the steady tone of a test tape (3150 or 3000 Hz).");
    } else {
      say(this.value, `${signed(speed.now, 2)} %`);
      say(this.under, `${speed.now > 0 ? "fast" : "slow"}, against ${speed.nominalHz} Hz${speed.seconds < 5 ? "; flutter settles …" : `; flutter of ${speed.seconds.toFixed(0)} s`}`);
    }
    for (const [id, cells] of this.cells) this.row(id, cells, picture.readings?.find((r) => r.quantity === id));
    const limit = picture.readings?.find((r) => r.quantity === "speed-error");
    this.frame.guide.tell(speed ? Math.abs(speed.now) / (limit?.max ?? 0.5) : null);
    this.rings.draw(picture.rings ?? []);
    say(this.advice, (picture.rings?.length ?? 0) > 0 ? "" : speed ? "Rings need a deck whose profile lists its rotating parts: press 1 and choose one." : "Here every rotating part will draw its ring: round and centred when it runs true.");
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

// ../../src/Spoolwright.App/Web/Client/state.ts
var KEY = "bench";
var choice = load();
function load() {
  const plain = { job: null, direction: "forward", speed: 19.05, deck: "", speeds: [9.525, 19.05], directions: ["forward", "reverse"], tape: "", tapeName: "" };
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
var conditionText = () => `${choice.direction}, ${choice.speed} cm/s`;

// ../../src/Spoolwright.App/Web/Client/homeScreen.ts
var tapeText = () => choice.tapeName ? `Playing from ${choice.tapeName}: its tones and levels are held against what is heard.` : "None: level and response of playback need one; speed and azimuth do without.";
var HomeScreen = class {
  constructor(frame2) {
    this.frame = frame2;
    const form = el(
      "form",
      { class: "plain" },
      el("h2", {}, "Take a deck in"),
      el("p", {}, el("label", { for: "serial" }, "Serial number "), this.serial),
      el("p", {}, el("label", { for: "profile" }, "Deck profile (none: the example's) "), this.profile),
      el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " open a job")
    );
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.add();
    });
    const tape = el("input", { type: "file", id: "tape", accept: ".json,application/json" });
    const tapeNow = el("p", { class: "faint" }, tapeText());
    tape.addEventListener("change", () => void (async () => {
      const file = tape.files?.[0];
      save({ tape: await file?.text() ?? "", tapeName: file?.name ?? "" });
      tapeNow.textContent = tapeText();
    })());
    this.root.append(
      el("h1", {}, "Decks on the bench"),
      this.list,
      form,
      el("section", { class: "plain" }, el("h2", {}, "Test tape"), el("p", {}, el("label", { for: "tape" }, "Its leaflet, a file as for --test-tape "), tape), tapeNow),
      el("section", {}, el("h2", {}, "No deck at hand?"), el("p", {}, "Press P on any measuring screen: a practice deck plays, with faults to find and controls to turn. A sound file can be dropped on any page and is measured there."))
    );
    this.keys = [{ key: "E", label: "take a deck in", press: () => this.serial.focus() }];
    void this.load();
  }
  frame;
  title = "Decks";
  measurement = null;
  root = el("div", { class: "page" });
  keys;
  list = el("div", { class: "decks" });
  serial = el("input", { type: "text", id: "serial", autocomplete: "off", required: "" });
  profile = el("input", { type: "file", id: "profile", accept: ".json,application/json" });
  async load() {
    const home = await (await fetch("/api/home")).json();
    if (home.decks.length === 0) this.list.replaceChildren(el("p", {}, "The book is empty. Take a deck in below, or press P to practise."));
    else this.list.replaceChildren(...home.decks.map((deck) => el("article", {}, el("h2", {}, `${deck.profile}, ${deck.serial}`), deck.description ? el("p", { class: "faint" }, deck.description) : null, el("ul", {}, ...deck.jobs.map((job) => this.job(deck.profile + ", " + deck.serial, job))))));
    this.root.append(el("p", { class: "faint foot" }, `${home.version}; service book ${home.book}`));
  }
  job(deck, job) {
    const open = el("button", { type: "button", class: "key" }, job.id === choice.job ? "✓ on the bench: matrix" : "matrix");
    open.addEventListener("click", () => {
      save({ job: job.id, deck });
      this.frame.go("/matrix");
    });
    return el("li", {}, `${job.what}, ${job.closed ? "closed" : "open"} since ${job.opened.slice(0, 10)} `, open, " ", el("a", { href: `/record/${job.id}`, target: "_blank", rel: "noopener" }, "record"));
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
var SCREENS = { speed: "/speed", azimuth: "/azimuth", playback: "/level" };
var MatrixScreen = class {
  constructor(frame2) {
    this.frame = frame2;
    this.keys = [
      { key: "N", label: "begin what comes next", press: () => this.begin(this.matrix?.next) },
      { key: "R", label: "record", press: () => {
        if (choice.job) window.open(`/record/${choice.job}`, "_blank", "noopener");
      } }
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
    save({ deck: `${matrix.profile}, ${matrix.serial}`, speeds: [...new Set(matrix.rows.map((r) => r.speed))], directions: [...new Set(matrix.rows.map((r) => r.direction))] });
    this.root.replaceChildren(el("h1", {}, `${matrix.profile}, ${matrix.serial}`), this.next(matrix), this.table(matrix));
  }
  next(matrix) {
    if (!matrix.next) return el("p", { class: "nextline" }, "Every cell is met.");
    const name = matrix.measurements.find((m) => m.id === matrix.next.measurement);
    return el("p", { class: "nextline" }, el("strong", {}, "Next in the order of the trade: "), `${name?.name}, ${matrix.next.direction}, ${matrix.next.speed} cm/s (${verdictMark[matrix.next.verdict]}). `, el("span", { class: "faint" }, name?.play ?? ""));
  }
  table(matrix) {
    const heads = matrix.rows[0]?.cells ?? [];
    const scroll = el(
      "div",
      { class: "scroll", tabindex: "0", role: "region", "aria-label": "Matrix of conditions" },
      el(
        "table",
        { class: "matrix" },
        el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "condition"), ...heads.map((c) => el("th", { scope: "col" }, `${matrix.measurements.find((m) => m.id === c.measurement)?.name ?? c.measurement}${c.channel === "both" ? "" : ", " + c.channel}`)))),
        el("tbody", {}, ...matrix.rows.map((row) => el("tr", {}, el("th", { scope: "row" }, `${row.direction}, ${row.speed} cm/s`), ...row.cells.map((cell) => el("td", {}, this.cell(row, cell))))))
      )
    );
    return scroll;
  }
  cell(row, cell) {
    const isNext = this.matrix?.next && this.matrix.next.direction === row.direction && this.matrix.next.speed === row.speed && this.matrix.next.measurement === cell.measurement && this.matrix.next.channel === cell.channel;
    const what = cell.value === void 0 ? cell.why ?? "" : `${cell.quantity}${cell.frequencyHz ? " at " + hertz(cell.frequencyHz) : ""}: ${signed(cell.value, digitsFor(cell.uncertainty ?? null))} ${plusMinus(cell.uncertainty ?? null, digitsFor(cell.uncertainty ?? null))} ${cell.unit}, limit ${cell.limit}`;
    const button = el(
      "button",
      { type: "button", class: "cell", "data-verdict": cell.verdict },
      el("b", {}, (isNext ? "▶ " : "") + verdictMark[cell.verdict]),
      el("span", {}, cell.margin == null ? "" : `margin ${signed(cell.margin, Math.abs(cell.margin) < 0.1 ? 3 : 2)} ${cell.unit}`),
      el("small", {}, what),
      el("small", { class: "faint" }, cell.mark ?? "")
    );
    button.addEventListener("click", () => this.begin({ ...row, ...cell }));
    return button;
  }
  begin(cell) {
    if (!cell) return;
    save({ direction: cell.direction, speed: cell.speed });
    this.frame.go(SCREENS[cell.measurement] ?? `/file/${cell.measurement}`);
  }
};

// ../../src/Spoolwright.App/Web/Client/drop.ts
var Drop = class {
  constructor(frame2, measurement) {
    this.frame = frame2;
    this.measurement = measurement;
    document.body.append(this.panel);
    document.addEventListener("dragover", (event) => event.preventDefault());
    document.addEventListener("drop", (event) => {
      event.preventDefault();
      const file = event.dataTransfer?.files[0];
      if (file) void this.measure(file);
    });
  }
  frame;
  measurement;
  panel = el("dialog", { class: "panel", "aria-label": "Measured file" });
  async measure(file) {
    const bar = el("progress", { max: "1", value: "0", "aria-label": "Measured so far" }), text = el("p", {}, "Taking the file in …"), close = el("button", { type: "button", class: "key" }, el("kbd", {}, "Esc"), " close");
    close.addEventListener("click", () => this.panel.close());
    this.panel.replaceChildren(el("h2", {}, `${file.name}, measured as ${this.measurement()}`), bar, text, close);
    this.panel.showModal();
    const query = new URLSearchParams({ name: file.name, direction: choice.direction, speed: String(choice.speed), ...choice.job ? { job: choice.job } : {}, ...choice.tape ? { tape: choice.tape } : {} });
    try {
      const answer = await fetch(`/api/measure/${this.measurement()}?${query}`, { method: "POST", body: file });
      for await (const line of lines(answer)) {
        if (line.progress !== void 0) {
          bar.value = line.progress;
          say(text, `Measuring, ${(100 * line.progress).toFixed(0)} %`);
        } else this.result(line, bar, text, close);
      }
    } catch {
      say(text, "The bench did not answer. Is the program still running?");
    }
  }
  result(line, bar, text, close) {
    bar.remove();
    if (line.problem) {
      say(text, line.problem);
      this.frame.tell(line.problem);
      return;
    }
    say(text, `${line.seconds?.toFixed(1)} s of sound.`);
    close.before(el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Readings" }, readingsTable(line.readings ?? [])), el("ul", {}, ...(line.notes ?? []).map((n) => el("li", {}, n.text))));
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
var Microphone = class {
  constructor(link2, lost) {
    this.link = link2;
    this.lost = lost;
  }
  link;
  lost;
  context = null;
  stream = null;
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
      this.close();
      this.lost("The input is gone: its cable or the interface. Plug it in and press I.");
    };
    this.link.send({ do: "microphone", rate: context.sampleRate });
    context.createMediaStreamSource(stream).connect(tap);
    await context.resume();
    this.context = context;
    this.stream = stream;
    if (settings.deviceId) localStorage.setItem(REMEMBERED, settings.deviceId);
    return { label: track.label || "audio input", rate: context.sampleRate };
  }
  close() {
    for (const track of this.stream?.getTracks() ?? []) {
      track.onended = null;
      track.stop();
    }
    void this.context?.close();
    this.stream = null;
    this.context = null;
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
    const list = el("div", { class: "choices" });
    const inputs = navigator.mediaDevices ? await Microphone.inputs() : [];
    const offers = [
      ...inputs.map((d, i) => [`${d.label || `input ${i + 1}`}${d.deviceId === Microphone.remembered ? " (used last)" : ""}`, () => void this.choose(d.deviceId || null)]),
      ["Practice deck: azimuth tones", () => this.practise("azimuth")],
      ["Practice deck: level tape", () => this.practise("levels")],
      ["Practice deck: speed tape", () => this.practise("speed")]
    ];
    offers.forEach(([label, take], i) => {
      const button = el("button", { type: "button", class: "key" }, el("kbd", {}, String(i + 1)), " ", label);
      button.addEventListener("click", () => {
        this.dialog.close();
        take();
      });
      list.append(button);
    });
    this.dialog.replaceChildren(
      el("h2", { id: "input-title" }, "Where the sound comes from"),
      el("p", {}, "An input is asked for with all of the browser's processing off, both channels, at the interface's own rate."),
      list,
      ...inputs.length === 0 ? [el("p", {}, "The browser sees no input. Connect the interface, or use the practice deck.")] : [],
      el("p", {}, el("kbd", {}, "Esc"), " leaves it as it is")
    );
    this.dialog.onkeydown = (event) => {
      const button = list.children[Number(event.key) - 1];
      if (button) {
        event.preventDefault();
        event.stopPropagation();
        button.click();
      }
    };
    this.dialog.showModal();
    list.firstElementChild?.focus();
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
var PLACES = [
  ["/", "Decks", (f) => new HomeScreen(f)],
  ["/matrix", "Matrix", (f) => new MatrixScreen(f)],
  ["/azimuth", "Azimuth", (f) => new AzimuthScreen(f)],
  ["/level", "Level", (f) => new LevelScreen(f)],
  ["/speed", "Speed", (f) => new SpeedScreen(f)]
];
var TAPES = { azimuth: "azimuth", playback: "levels", speed: "speed" };
var $ = (id) => document.getElementById(id);
var link = new Link();
var guide = new Guide();
var said = $("said");
var frame = { link, guide, tell, go, hold: false };
var microphone = new Microphone(link, (why) => {
  link.send({ do: "stop" });
  tell(why);
});
var screen;
var input = new InputDialog(frame, microphone, practise);
new Drop(frame, () => screen.measurement ?? "speed");
var deckLine = el("span", { class: "deck" });
var inputLine = el("span", { class: "input", "data-test": "input" });
var keepLine = el("div", { class: "keepline", "data-test": "keep", hidden: "" });
var warning = el("div", { class: "warning", role: "alert", hidden: "" });
var levelLeft = el("meter", { min: "-60", max: "0", high: "-3", low: "-50", optimum: "-12", "aria-label": "Peak left" });
var levelRight = el("meter", { min: "-60", max: "0", high: "-3", low: "-50", optimum: "-12", "aria-label": "Peak right" });
var places = PLACES.map(([path, title], i) => {
  const anchor = el("a", { href: path }, el("kbd", {}, String(i + 1)), " ", title);
  anchor.addEventListener("click", (event) => {
    event.preventDefault();
    go(path);
  });
  return anchor;
});
$("top").append(el("nav", { "aria-label": "Screens" }, ...places), el("div", { class: "lines" }, deckLine, el("span", { class: "meters" }, levelLeft, levelRight), inputLine), warning, keepLine);
function common() {
  const offers = [
    { key: "I", label: "input", press: () => void input.open() },
    { key: "P", label: "practice deck", press: () => practise(TAPES[screen.measurement ?? ""] ?? "azimuth") }
  ];
  if (screen.measurement) {
    offers.push(
      { key: "C", label: "next condition", press: nextCondition },
      { key: "H", label: "hold", press: () => {
        frame.hold = !frame.hold;
        tell(frame.hold ? "Held: press H to go on." : "Going on.");
      } },
      { key: "J", label: "keep as found", press: () => keep("as-found") },
      { key: "K", label: "keep as left", press: () => keep("as-left") },
      { key: "M", label: "guide tone", press: () => tell(guide.toggle() ? "Guide tone on: it rises as the target nears." : "Guide tone off.") }
    );
  }
  return offers;
}
function keep(mark) {
  link.send({ do: "keep", measurement: screen.measurement, mark });
}
function practise(tape) {
  microphone.close();
  link.send({ do: "practice", tape });
  tell("The practice deck plays.");
}
function nextCondition() {
  const at = choice.speeds.indexOf(choice.speed);
  if (choice.direction === "forward" && choice.directions.includes("reverse")) save({ direction: "reverse" });
  else save({ direction: "forward", speed: choice.speeds[(at + 1) % choice.speeds.length] });
  chooseDeck();
  tell(`Now ${conditionText()}.`);
}
function chooseDeck() {
  link.send({ do: "deck", job: choice.job, direction: choice.direction, speed: choice.speed, tape: choice.tape });
  say(deckLine, `${choice.deck || "no deck chosen"}; ${conditionText()}`);
}
function tell(text) {
  say(said, text);
}
function go(path) {
  history.pushState(null, "", path);
  show();
}
function show() {
  screen?.leave?.();
  const at = Math.max(0, PLACES.findIndex(([path]) => path === location.pathname));
  frame.hold = false;
  screen = PLACES[at][2](frame);
  document.title = `${screen.title}, Spoolwright`;
  places.forEach((anchor, i) => i === at ? anchor.setAttribute("aria-current", "page") : anchor.removeAttribute("aria-current"));
  $("screen").replaceChildren(screen.root);
  $("keys").replaceChildren(...[...screen.keys, ...common()].filter((k) => k.label).map((k) => keyButton(k.key, k.label, k.press)));
  link.send({ do: "screen", screen: location.pathname.slice(1) });
  chooseDeckOnceOpen();
}
function chooseDeckOnceOpen() {
  if (link.isOpen) chooseDeck();
}
function showFrame(picture) {
  const source = { none: "no input: press I", microphone: "input", practice: "practice deck" }[picture.source] ?? picture.source;
  say(inputLine, picture.input ? `${source}, ${(picture.input.rate / 1e3).toFixed(1)} kHz` : source);
  levelLeft.value = picture.input?.peakLeft ?? -60;
  levelRight.value = picture.input?.peakRight ?? -60;
  const wrong = picture.problem ?? picture.input?.notes[0]?.text ?? (picture.lostBlocks > 0 ? `Sound was lost between browser and bench ${picture.lostBlocks} times.` : "");
  warning.hidden = wrong === "";
  say(warning, wrong && `! ${wrong}`);
  keepLine.hidden = !picture.keep;
  if (picture.keep) say(keepLine, keepText(picture.keep));
}
function keepText(keep2) {
  switch (keep2.state) {
    case "waiting":
      return "Keeping: waiting for the tone …";
    case "recording":
      return `Keeping: ${keep2.seconds.toFixed(0)} of ${keep2.wanted.toFixed(0)} s; the same key ends it sooner`;
    case "measuring":
      return `Kept; measuring, ${(100 * keep2.progress).toFixed(0)} %`;
    case "done":
      return `✓ ${keep2.text}`;
    default:
      return `✗ ${keep2.text ?? "not kept"}`;
  }
}
document.addEventListener("keydown", (event) => {
  const typing = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement;
  if (typing && event.key === "Escape") event.target.blur();
  if (typing || event.ctrlKey || event.altKey || event.metaKey || document.querySelector("dialog[open]")) return;
  const place = PLACES[Number(event.key) - 1];
  const key = (event.shiftKey && event.key.startsWith("Arrow") ? "Shift+" : "") + (event.key.length === 1 ? event.key.toUpperCase() : event.key);
  const offer = [...screen.keys, ...common()].find((k) => k.key === key);
  if (!place && !offer) return;
  event.preventDefault();
  if (place) go(place[0]);
  else offer.press();
});
window.addEventListener("popstate", show);
var waiting = null;
link.onPicture((picture) => {
  if (!waiting) requestAnimationFrame(() => {
    const newest = waiting;
    waiting = null;
    showFrame(newest);
    screen.show?.(newest);
  });
  waiting = picture;
});
link.onOpen(() => {
  link.send({ do: "screen", screen: location.pathname.slice(1) });
  chooseDeck();
  if (microphone.isOpen) void input.choose(Microphone.remembered);
});
show();
link.open();
