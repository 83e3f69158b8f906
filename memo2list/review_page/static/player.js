// Plays quotes: one hidden player, sent to a media fragment each time, so that the browser itself stops at the quote's end.
const player = document.createElement("audio");
player.preload = "auto";
player.id = "quote-player";
player.hidden = true;
document.body.append(player);
const AROUND = 4; // seconds before and after
const SLOW = 0.7;
let link = null;
let end = Infinity;
let around = false;
let rate = 1;

export function stop() {
  player.pause();
  link?.classList.remove("playing");
  link = null;
}

export function play(from) {
  if (!from) return;
  const again = link === from && !player.paused;
  stop();
  if (again) return;
  const wide = around ? AROUND : 0;
  const start = Math.max(0, Number(from.dataset.start) - wide);
  end = Number(from.dataset.end) + wide;
  link = from;
  player.src = `/media/${from.dataset.recording}#t=${start},${end}`;
  player.playbackRate = rate;
  from.classList.add("playing");
  player.play().catch(() => stop());
}

export function toggleAround() {
  around = !around;
  if (link) { const again = link; stop(); play(again); }
  return around ? "A bit before and after is played too." : "Only the quote is played.";
}

export function toggleSlower() {
  rate = rate === 1 ? SLOW : 1;
  player.playbackRate = player.defaultPlaybackRate = rate;
  return rate === 1 ? "Usual speed." : "Slower.";
}

player.addEventListener("timeupdate", () => {
  if (link) needle(link.dataset.recording, player.currentTime);
  if (player.currentTime >= end) stop();
});
player.addEventListener("loadedmetadata", () => { player.playbackRate = rate; });
for (const event of ["ended", "pause"]) player.addEventListener(event, () => { if (link && event === "ended") stop(); });
player.addEventListener("pause", () => { if (link && player.currentTime >= end - 0.3) stop(); });

export function needle(recording, seconds) {
  const strip = document.querySelector(`.strip[data-recording="${recording}"]`);
  strip?.querySelector(".needle").setAttribute("x", (1000 * seconds) / Number(strip.dataset.seconds));
}

document.addEventListener("click", (event) => {
  const from = event.target.closest("a.play");
  if (from) { event.preventDefault(); play(from); }
});
