// The list: changes without leaving the page, keys, and what others change meanwhile. Without this script the forms still work.
import "./suggest.js";
import { needle, play, stop, toggleAround, toggleSlower } from "./player.js";

const walk = document.getElementById("walk");
const told = document.getElementById("told");
const ask = document.getElementById("ask");
const help = document.getElementById("help");
const NEWS_EVERY = 4000;
let key = "";
let since = Number(document.querySelector("[data-edit]").dataset.edit);
let busy = Promise.resolve();

const lines = () => [...walk.querySelectorAll(".line")];
const lineOf = (name) => document.getElementById(`i-${name}`);
const current = () => lineOf(key);
const say = (text, trouble = false) => { told.textContent = text; told.classList.toggle("trouble", trouble); };

function go(line, focus = true) {
  if (!line) return;
  current()?.classList.remove("at-hand");
  key = line.dataset.key;
  line.classList.add("at-hand");
  if (focus) line.focus({ preventScroll: true });
  line.scrollIntoView({ block: "nearest" });
}

function step(by) {
  const all = lines();
  const at = all.indexOf(current());
  go(all[Math.min(all.length - 1, Math.max(0, at < 0 ? 0 : at + by))]);
}

function next(fits, from = key) {
  const all = lines();
  const at = all.findIndex((line) => line.dataset.key === from);
  const found = [...all.slice(at + 1), ...all.slice(0, Math.max(0, at))].find(fits);
  if (found) go(found); else say("There is no further one.");
  return found;
}
const waiting = (line) => line.dataset.review === "unreviewed";
const doubtful = (line) => line.classList.contains("doubt-2") && waiting(line);

// changes

function change(body, after = "stay") {
  busy = busy.then(() => send(body, after)).catch(() => say("The page cannot reach memo2list. Is it still running? Nothing was lost; try again.", true));
  return busy;
}

async function send(body, after) {
  body.set("since", since);
  const from = key;
  const answer = await fetch("/change", { method: "POST", body: new URLSearchParams(body), headers: { "x-memo2list": "lines" } });
  if (answer.status === 403) { say(await answer.text(), true); return; }
  const given = await answer.json();
  if (given.stale) { question(given.stale); return; }
  if (given.refused) { say(given.refused, true); return; }
  ask.close();
  await show(given);
  say(given.told);
  const asked = document.getElementById(`q-${given.key}`);
  if (asked) asked.querySelector("button").focus();
  else if (after === "next") { if (!next(waiting, from)) go(lineOf(from)); }
  else go(lineOf(given.key) ?? lineOf(from) ?? lines()[0]);
}

async function show(given) {
  since = given.edit;
  if (given.head) document.getElementById("head").innerHTML = given.head;
  if (given.beside !== undefined) document.getElementById("beside").innerHTML = given.beside;
  const filter = new URLSearchParams(location.search).get("show") ?? "all";
  for (const link of document.querySelectorAll(".shows a")) link.toggleAttribute("aria-current", new URL(link.href).searchParams.get("show") === filter);
  if (given.reload) {
    const marked = new Set([...walk.querySelectorAll(".bead:checked")].map((bead) => bead.value));
    const opened = walk.querySelector(".sheet .fields.touched")?.closest(".line").dataset.key;
    const kept = opened && walk.querySelector(`#i-${CSS.escape(opened)} > .opened`);
    walk.innerHTML = await (await fetch(`/walk?show=${encodeURIComponent(filter)}`)).text();
    if (kept) lineOf(opened)?.querySelector(":scope > .opened").replaceWith(kept);
    for (const bead of walk.querySelectorAll(".bead")) bead.checked = marked.has(bead.value);
    current()?.classList.add("at-hand");
  }
  for (const [name, html] of Object.entries(given.lines)) {
    const old = lineOf(name);
    if (!old) continue;
    const touched = old.querySelector(".fields.touched");
    const holder = document.createElement("ol");
    holder.innerHTML = html;
    const fresh = holder.firstElementChild;
    if (touched) fresh.querySelector(":scope > .opened").replaceWith(old.querySelector(":scope > .opened"));
    fresh.classList.toggle("at-hand", name === key);
    old.replaceWith(fresh);
  }
  for (const mark of document.querySelectorAll("[data-mark]")) {
    const line = lineOf(mark.dataset.mark);
    if (line) mark.setAttribute("class", `${line.dataset.review} ${[...line.classList].find((c) => c.startsWith("doubt-"))}`);
  }
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!("change" in form.dataset)) return;
  event.preventDefault();
  const body = new FormData(form, event.submitter);
  form.classList.remove("touched");
  const what = body.get("do");
  if (form.classList.contains("adding")) form.reset();
  change(body, what === "keep" || what === "drop" || body.get("and_keep") ? "next" : "stay");
});
document.addEventListener("input", (event) => event.target.closest?.(".fields")?.classList.add("touched"));

document.addEventListener("click", (event) => {
  const target = event.target;
  const line = target.closest(".line");
  if (line && line.dataset.key !== key) go(line, !target.closest("a, button, input, select, textarea, summary, label"));
  if (target.closest("a.open")) { event.preventDefault(); edit(); }
  if (target.closest("a.shut")) { event.preventDefault(); ask.close(); if (line) shut(line); }
  const mark = target.closest("[data-mark]");
  if (mark) { event.preventDefault(); go(lineOf(mark.dataset.mark)); }
  const later = target.closest("[data-frame]");
  if (later) frame(later);
});

function frame(button) {
  const form = button.closest("form");
  const at = form.elements.at_ms;
  at.value = Math.max(0, Number(at.value) + Number(button.dataset.frame));
  const picture = form.previousElementSibling?.querySelector("img") ?? form.parentElement.querySelector(".frames img");
  picture.src = `/frame/${form.elements.recording.value}/${at.value}.jpg`;
}

// what is opened

async function open() {
  const line = current();
  if (!line) return null;
  const place = line.querySelector(":scope > .opened");
  if (!place.firstElementChild) {
    const answer = await fetch(`/opened/${encodeURIComponent(key)}`);
    if (!answer.ok) { say(await answer.text(), true); return null; }
    place.innerHTML = await answer.text();
  }
  return place;
}
const shut = (line) => { line.querySelector(":scope > .opened").replaceChildren(); go(line); };

async function edit(name = "element") {
  const place = await open();
  const field = place?.querySelector(`.fields [name="${name}"]`);
  field?.focus();
  field?.select?.();
  place?.scrollIntoView({ block: "nearest" });
}

async function unfold(index, selector) {
  const place = await open();
  const part = place?.querySelector(selector)?.closest("details") ?? place?.querySelectorAll(".more > details")[index];
  if (!part) return;
  part.open = true;
  part.querySelector("input:not([type=hidden]), select, button")?.focus();
  part.scrollIntoView({ block: "nearest" });
}

// questions in the middle of the page

function question(html) {
  document.getElementById("ask-body").innerHTML = html;
  if (!ask.open) ask.showModal();
  ask.querySelector("button, input, select")?.focus();
}

function form(fields) {
  const body = new FormData();
  for (const [name, value] of fields) body.append(name, value);
  return body;
}
const markedKeys = () => [...walk.querySelectorAll(".bead:checked")].map((bead) => bead.value);
const decision = (what, more = []) => form([["do", what], ["key", key], ["was", current().dataset.review], ...more]);

function choose(title, choices, take) {
  question(`<h2></h2><div class="choices"></div>`);
  ask.querySelector("h2").textContent = title;
  choices.forEach(([label, value], n) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = n < 9 ? `${n + 1}  ${label}` : label;
    button.dataset.choice = n + 1;
    button.addEventListener("click", () => { ask.close(); take(value); });
    ask.querySelector(".choices").append(button);
  });
  ask.querySelector(".choices button")?.focus();
}

ask.addEventListener("keydown", (event) => {
  if (event.target.matches("input, textarea")) return;
  const chosen = ask.querySelector(`[data-choice="${CSS.escape(event.key)}"]`);
  if (chosen) { event.preventDefault(); chosen.click(); }
  const all = [...ask.querySelectorAll(".choices button")];
  const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (by && all.length) { event.preventDefault(); all[(all.indexOf(document.activeElement) + by + all.length) % all.length].focus(); }
});

const does = {
  next: () => step(1),
  previous: () => step(-1),
  "next-waiting": () => next(waiting),
  "next-doubtful": () => next(doubtful),
  play: () => play(current()?.querySelector("a.play.playing") ?? current()?.querySelector("a.play")),
  around: () => say(toggleAround()),
  slower: () => say(toggleSlower()),
  keep() {
    const marked = markedKeys();
    if (marked.length) return change(form([["do", "keep-many"], ...marked.map((k) => ["keys", k])]), "next").then(unmark);
    return current() && change(decision("keep"), "next");
  },
  drop() {
    const whys = [...document.querySelectorAll("#drop-whys option")].map((option) => [option.value, option.value]);
    const marked = markedKeys();
    const drop = (why) => (marked.length ? change(form([["do", "drop-many"], ["why", why], ...marked.map((k) => ["keys", k])]), "next").then(unmark) : change(decision("drop", [["why", why]]), "next"));
    choose("Drop it because …", [...whys, ["no reason", ""]], drop);
    ask.querySelector(".choices button:last-child").focus();
  },
  edit: () => edit(),
  async merge() {
    const marked = markedKeys().filter((k) => k !== key);
    if (marked.length) return change(form([["do", "merge"], ["key", key], ...marked.map((k) => ["keys", k])]));
    const place = await open();
    const others = [...place.querySelectorAll("select[name=key] option")].slice(0, 9).map((option) => [option.textContent, option.value]);
    const own = key;
    shut(current());
    return choose("Merge into …", others, (into) => change(form([["do", "merge"], ["key", into], ["keys", own]])));
  },
  mark() { const bead = current()?.querySelector(".bead"); if (bead) bead.checked = !bead.checked; step(1); },
  place() {
    const keys = markedKeys().length ? markedKeys() : [key];
    question(`<h2>Place of ${keys.length} line${keys.length > 1 ? "s" : ""}</h2><form data-change><input type="hidden" name="do" value="place"><label>Place <input name="place" data-words="place" autocomplete="off"></label> <button class="keep">Set</button></form>`);
    for (const k of keys) { const held = document.createElement("input"); held.type = "hidden"; held.name = "keys"; held.value = k; ask.querySelector("form").append(held); }
    ask.querySelector("[name=place]").focus();
  },
  up: () => change(form([["do", "move"], ["key", key], ["way", "up"]])),
  down: () => change(form([["do", "move"], ["key", key], ["way", "down"]])),
  add() { const adding = document.getElementById("adding"); adding.open = true; adding.querySelector("input:not([type=hidden])").focus(); },
  note: () => edit("note"),
  state: () => change(form([["do", "state"], ["key", key], ["state", current().classList.contains("is-done") ? "open" : "done"]])),
  why: () => unfold(5, ".why summary"),
  undo: () => change(form([["do", "undo"], ["key", key]])),
  redo: () => change(form([["do", "redo"], ["key", key]])),
  help: () => help.showModal(),
  close() { stop(); const line = current(); if (line?.querySelector(".sheet")) shut(line); else unmark(); },
};
const unmark = () => { for (const bead of walk.querySelectorAll(".bead:checked")) bead.checked = false; };
const byKey = Object.fromEntries([...help.querySelectorAll("[data-does]")].map((row) => [row.dataset.key, row.dataset.does]));
const keysOn = document.getElementById("keys-on");
keysOn.checked = localStorage.getItem("memo2list keys") !== "off";
keysOn.addEventListener("change", () => localStorage.setItem("memo2list keys", keysOn.checked ? "on" : "off"));

document.addEventListener("keydown", (event) => {
  const target = event.target;
  if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) {
    const save = target.closest(".fields")?.querySelector("[name=and_keep]");
    if (save) { event.preventDefault(); save.form.requestSubmit(save); }
    return;
  }
  if (event.ctrlKey || event.metaKey || event.altKey || ask.open || help.open) return;
  if (event.key === "Escape") { does.close(); return; }
  if (!keysOn.checked || target.matches("input:not([type=checkbox]), textarea, select, audio, video")) return;
  if (event.key === " " && target.matches("button, a, summary, input")) return;
  const what = does[byKey[event.key]];
  if (!what || (event.key.length > 1 && target.closest("audio, video"))) return;
  if (!current() && !["help", "undo", "redo", "add"].includes(byKey[event.key])) go(lines().find(waiting) ?? lines()[0]);
  event.preventDefault();
  busy = busy.then(() => undefined);
  busy.then(what);
});

const helpButton = document.getElementById("help-button");
helpButton.hidden = false;
helpButton.addEventListener("click", () => help.showModal());
document.getElementById("help-close").addEventListener("click", () => help.close());

// the whole recording

for (const strip of document.querySelectorAll(".strip")) {
  const media = strip.querySelector("audio, video");
  if (!media) continue;
  media.addEventListener("timeupdate", () => needle(strip.dataset.recording, media.currentTime));
  const caption = strip.querySelector(".caption");
  const track = media.textTracks[0];
  if (track && caption) {
    track.mode = "hidden";
    track.addEventListener("cuechange", () => { caption.textContent = [...track.activeCues].map((cue) => cue.getCueAsHTML().textContent).join(" "); });
  }
  strip.querySelector(".band").addEventListener("click", (event) => {
    if (event.target.closest("[data-mark]")) return;
    const box = event.currentTarget.getBoundingClientRect();
    media.currentTime = (Number(strip.dataset.seconds) * (event.clientX - box.left)) / box.width;
    media.play();
  });
}

// what others change

setInterval(() => {
  if (document.hidden) return;
  busy = busy.then(async () => {
    const answer = await fetch(`/news?since=${since}`);
    if (!answer.ok) return;
    const given = await answer.json();
    if (given.edit !== since) { await show(given); say("Changed by somebody else meanwhile."); }
  }).catch(() => undefined);
}, NEWS_EVERY);

go(lineOf(location.hash.slice(3)) ?? lines().find(waiting) ?? lines()[0], false);
document.documentElement.classList.add("scripted");
