// The transcript and the talk set aside: quotes play, words follow the sound, and a marked stretch fills the form.
import "./player.js";
document.documentElement.classList.add("scripted");
for (const talk of document.querySelectorAll(".talk")) {
  const media = talk.querySelector("audio");
  const words = [...talk.querySelectorAll("[data-n]")];
  const form = talk.querySelector(".taking");
  let now = null;
  media?.addEventListener("timeupdate", () => {
    const at = media.currentTime * 1000;
    let low = 0;
    let high = words.length;
    while (low < high) { const middle = (low + high) >> 1; if (Number(words[middle].dataset.t) <= at) low = middle + 1; else high = middle; }
    const word = words[low - 1];
    if (word === now) return;
    now?.classList.remove("now");
    word?.classList.add("now");
    now = word;
  });
  talk.addEventListener("dblclick", (event) => {
    const word = event.target.closest("[data-t]");
    if (word && media) { media.currentTime = Number(word.dataset.t) / 1000; media.play(); }
  });
  document.addEventListener("selectionchange", () => {
    const picked = getSelection();
    if (picked.isCollapsed || !picked.rangeCount || !talk.contains(picked.anchorNode)) return;
    const chosen = words.filter((word) => picked.containsNode(word, true));
    if (!chosen.length) return;
    form.elements.first.value = chosen[0].dataset.n;
    form.elements.last.value = chosen.at(-1).dataset.n;
  });
}
