// Type-ahead from the lexicon's names, as a combobox with a list (WAI-ARIA Authoring Practices); the last piece after a comma.
let words = null;
let list = null;
let input = null;
let at = -1;
const MOST = 8;

async function known(kind) {
  words ??= fetch("/words").then((answer) => answer.json());
  return (await words)[kind] ?? [];
}

const last = (field) => ("many" in field.dataset ? field.value.slice(field.value.lastIndexOf(",") + 1) : field.value).trim().toLowerCase();

function shut() {
  list?.remove();
  list = null;
  at = -1;
  input?.setAttribute("aria-expanded", "false");
}

async function offer(field) {
  const typed = last(field);
  const names = await known(field.dataset.words);
  if (input !== field || document.activeElement !== field) return;
  shut();
  if (!typed) return;
  const first = names.filter((name) => name.startsWith(typed));
  const inner = names.filter((name) => !name.startsWith(typed) && name.includes(typed));
  const found = [...first, ...inner].slice(0, MOST);
  if (!found.length || (found.length === 1 && found[0] === typed)) return;
  list = document.createElement("ul");
  list.className = "suggest";
  list.id = "suggest";
  list.setAttribute("role", "listbox");
  found.forEach((name, n) => {
    const entry = document.createElement("li");
    entry.id = `suggest-${n}`;
    entry.setAttribute("role", "option");
    entry.textContent = name;
    entry.addEventListener("mousedown", (event) => { event.preventDefault(); take(name); });
    list.append(entry);
  });
  field.parentElement.append(list);
  field.setAttribute("aria-expanded", "true");
}

function take(name) {
  const before = "many" in input.dataset ? input.value.slice(0, input.value.lastIndexOf(",") + 1) : "";
  input.value = before ? `${before} ${name}` : name;
  shut();
}

function step(by) {
  const entries = [...list.children];
  entries[at]?.setAttribute("aria-selected", "false");
  at = (at + by + entries.length) % entries.length;
  entries[at].setAttribute("aria-selected", "true");
  entries[at].scrollIntoView({ block: "nearest" });
  input.setAttribute("aria-activedescendant", entries[at].id);
}

document.addEventListener("focusin", (event) => {
  if (!event.target.dataset?.words) return;
  input = event.target;
  for (const [name, value] of Object.entries({ role: "combobox", "aria-autocomplete": "list", "aria-controls": "suggest", "aria-expanded": "false" })) input.setAttribute(name, value);
});
document.addEventListener("focusout", shut);
document.addEventListener("input", (event) => { if (event.target.dataset?.words) offer(event.target); });
document.addEventListener("keydown", (event) => {
  if (!list) return;
  if (event.key === "ArrowDown" || event.key === "ArrowUp") { step(event.key === "ArrowDown" ? 1 : -1); event.preventDefault(); }
  else if (event.key === "Enter" && at >= 0) { take(list.children[at].textContent); event.preventDefault(); event.stopImmediatePropagation(); }
  else if (event.key === "Escape") { shut(); event.stopImmediatePropagation(); }
}, true);
