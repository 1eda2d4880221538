"use strict";
// Both sounds start in the same instant and run on; changing over only moves two gains, so they stay in step to the sample.
(() => {
  const fadeSeconds = 0.03;
  const byId = (id) => document.getElementById(id);
  const [play, source, tape, now, place] = ["play", "source", "tape", "now", "place"].map(byId);
  let context = null, buffers = null, running = [], startedAt = 0, from = 0, chosen = 0;

  const bytes = (id) => Uint8Array.from(atob(byId(id).textContent.trim()), (c) => c.charCodeAt(0)).buffer;
  const length = () => (buffers ? buffers[0].duration : 0);
  const position = () => (running.length ? Math.min(length(), context.currentTime - startedAt) : from);

  async function ready() {
    context ??= new AudioContext();
    await context.resume();
    buffers ??= await Promise.all(["source-sound", "tape-sound"].map((id) => context.decodeAudioData(bytes(id))));
  }

  function stop() {
    from = position();
    running.forEach((r) => { r.node.onended = null; r.node.stop(); });
    running = [];
    say();
  }

  function start(at) {
    const when = context.currentTime + 0.05;
    running = buffers.map((buffer, i) => {
      const node = new AudioBufferSourceNode(context, { buffer });
      const gain = new GainNode(context, { gain: i === chosen ? 1 : 0 });
      node.connect(gain).connect(context.destination);
      node.start(when, at);
      return { node, gain };
    });
    startedAt = when - at;
    running[0].node.onended = () => { running = []; from = 0; say(); };
    say();
  }

  function choose(which) {
    chosen = which;
    running.forEach((r, i) => r.gain.gain.setTargetAtTime(i === which ? 1 : 0, context.currentTime, fadeSeconds / 3));
    say();
  }

  function say() {
    const name = chosen === 0 ? "Source" : "Tape";
    source.setAttribute("aria-pressed", String(chosen === 0));
    tape.setAttribute("aria-pressed", String(chosen === 1));
    play.firstChild.textContent = running.length ? "Stop " : "Play ";
    now.textContent = running.length ? `${name} is playing.` : `Stopped. ${name} is chosen.`;
  }

  async function toggle() {
    if (running.length) { stop(); return; }
    await ready();
    start(from < length() - 0.1 ? from : 0);
  }

  play.addEventListener("click", toggle);
  source.addEventListener("click", () => choose(0));
  tape.addEventListener("click", () => choose(1));
  place.addEventListener("change", async () => {
    await ready();
    const at = (place.value / 1000) * length();
    if (running.length) { stop(); start(at); } else { from = at; }
  });
  document.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.altKey || e.metaKey) { return; }
    const key = e.key.toLowerCase();
    if (key === " " && e.target !== place) { e.preventDefault(); toggle(); }
    else if (key === "s") { choose(0); }
    else if (key === "t") { choose(1); }
  });
  setInterval(() => { if (running.length && document.activeElement !== place) { place.value = String(Math.round((1000 * position()) / length())); } }, 200);
})();
