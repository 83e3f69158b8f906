// Sends files in pieces, each with its SHA-256; what is interrupted goes on where it stopped. In secure contexts it also
// records, and keeps the pieces in the browser until they are safely sent.
import { sha256 } from "./hash.js";
const PIECE = 4 << 20;
const WAITS = [1, 2, 4, 8, 15, 30]; // seconds before trying again
const way = document.getElementById("way");
const form = document.getElementById("send");
const wait = (seconds) => new Promise((done) => setTimeout(done, seconds * 1000));

function shown(name) {
  const line = document.createElement("li");
  const label = document.createElement("span");
  const bar = document.createElement("progress");
  label.textContent = name;
  line.append(label, bar);
  way.append(line);
  return { is: (id) => { line.dataset.id = id; }, tell: (text) => { label.textContent = `${name}: ${text}`; }, at: (part) => { bar.value = part; bar.hidden = part >= 1; } };
}

async function start(file, key) {
  const asked = new URLSearchParams({ name: file.name, size: file.size, modified: file.lastModified ?? "", key });
  const answer = await fetch("/send/start", { method: "POST", body: asked });
  const given = await answer.json();
  if (given.refused) throw Object.assign(new Error(given.refused), { final: true });
  return given;
}

async function piece(id, file, offset) {
  const data = new Uint8Array(await file.slice(offset, offset + PIECE).arrayBuffer());
  const answer = await fetch(`/send/${id}/${offset}`, { method: "PUT", body: data, headers: { "x-sha256": await sha256(data) } });
  if (answer.status === 200 || answer.status === 409) return (await answer.json()).offset;
  throw new Error(await answer.text());
}

export async function send(file, key = "") {
  const line = shown(file.name);
  let tries = 0;
  for (;;) {
    try {
      const { id, offset } = await start(file, key);
      line.is(id);
      let here = offset;
      while (here < file.size) {
        here = await piece(id, file, here);
        line.at(here / file.size);
        line.tell(`${Math.floor((100 * here) / file.size)} %`);
        tries = 0;
      }
      const answer = await fetch(`/send/${id}/finish`, { method: "POST", body: "" });
      const given = await answer.json();
      line.at(1);
      line.tell(given.state ?? given.refused);
      return !given.refused;
    } catch (error) {
      if (error.final) { line.tell(error.message); return false; }
      const seconds = WAITS[Math.min(tries, WAITS.length - 1)];
      tries += 1;
      line.tell(`interrupted; going on in ${seconds} s`);
      await wait(seconds);
    }
  }
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const files = [...form.querySelectorAll("[type=file]")].flatMap((field) => [...field.files]);
  const key = form.elements.key.value;
  form.reset();
  for (const file of files) await send(file, file.type.startsWith("image/") ? key : "");
});

setInterval(async () => {
  if (document.hidden || !way.children.length) return;
  const answer = await fetch("/send/state").catch(() => null);
  if (!answer?.ok) return;
  for (const [id, { name, state }] of Object.entries(await answer.json())) {
    for (const line of way.querySelectorAll(`[data-id="${id}"]`)) (line.querySelector("span") ?? line).textContent = `${name}: ${state}`;
  }
}, 2000);

// the recorder

function opened() {
  return new Promise((done, failed) => {
    const asked = indexedDB.open("memo2list recordings", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("pieces", { autoIncrement: true }).createIndex("take", "take");
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
}
const finished = (asked) => new Promise((done, failed) => { asked.onsuccess = () => done(asked.result); asked.onerror = () => failed(asked.error); });
const pieces = async (mode) => (await opened()).transaction("pieces", mode).objectStore("pieces");

async function takes() {
  const held = await finished((await pieces("readonly")).getAll());
  const found = new Map();
  for (const one of held) found.set(one.take, { data: [...(found.get(one.take)?.data ?? []), one.data], ended: one.at });
  return found;
}

async function forget(take) {
  const store = await pieces("readwrite");
  for (const key of await finished(store.index("take").getAllKeys(take))) store.delete(key);
}

async function sendTake(take, { data, ended }) {
  const type = data[0]?.type ?? "audio/webm";
  const ending = type.includes("mp4") ? "m4a" : type.includes("ogg") ? "ogg" : "webm";
  const file = new File(data, `${take}.${ending}`, { type, lastModified: ended ?? 0 });
  if (await send(file)) await forget(take);
  await unsent();
}

async function unsent() {
  const list = document.getElementById("unsent");
  list.replaceChildren();
  for (const [take, held] of await takes()) {
    const line = document.createElement("li");
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = "Send";
    button.addEventListener("click", () => sendTake(take, held));
    line.append(`${take} is still in this browser. `, button);
    list.append(line);
  }
}

function setUp() {
  const button = document.getElementById("record");
  const time = document.getElementById("recording-time");
  let recorder = null;
  document.getElementById("recorder").hidden = false;
  unsent();
  button.addEventListener("click", async () => {
    if (recorder) { recorder.stop(); return; }
    let stream;
    try { stream = await navigator.mediaDevices.getUserMedia({ audio: true }); } catch (error) { time.textContent = `The microphone cannot be used (${error.name}).`; return; }
    const take = `walk ${new Date().toISOString().slice(0, 19).replace(/[T:]/g, "-")}`;
    const began = Date.now();
    let kept = Promise.resolve();
    recorder = new MediaRecorder(stream);
    recorder.addEventListener("dataavailable", (event) => { if (event.data.size) kept = kept.then(async () => finished((await pieces("readwrite")).add({ take, data: event.data, at: Date.now() }))); });
    recorder.addEventListener("stop", async () => {
      recorder = null;
      clearInterval(ticking);
      button.textContent = "Record";
      stream.getTracks().forEach((track) => track.stop());
      await kept;
      const held = (await takes()).get(take);
      if (held) await sendTake(take, held);
    });
    const ticking = setInterval(() => { const s = Math.floor((Date.now() - began) / 1000); time.textContent = `${Math.floor(s / 60)}:${String(s % 60).padStart(2, "0")}`; }, 500);
    recorder.start(2000);
    button.textContent = "Stop and send";
  });
}
if (window.isSecureContext && navigator.mediaDevices && window.MediaRecorder && window.indexedDB) setUp();
