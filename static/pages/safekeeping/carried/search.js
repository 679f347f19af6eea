// Search and filters of carried pages: no server answers, so what is searched is loaded as a script, once it is wanted.
// A row of it: words, choices by their places, free, spans of years, place of its ruler's labels, its card.
const CARDS_AT_ONCE = 16;
const LETTERS = { ß: "ss", ς: "σ", ø: "o", ł: "l", đ: "d", ð: "d", þ: "th", æ: "ae", œ: "oe", ı: "i", ħ: "h" };
const LABELS = "\ufdd1";
const bar = document.getElementById("search-pieces");
const box = document.getElementById("words");
const free = document.getElementById("free-alone");
const selects = [...bar.querySelectorAll("select")];
const found = document.getElementById("found");
const list = document.getElementById("found-cards");
const more = document.getElementById("found-more");
let loading = null;
let hits = [];

/** The words of a text without case and accents, `&` as "and", as the catalogue's own search folds them. */
function wordsOf(text) {
  const apart = text.replace(/['’‘ʼ`´]/g, "").normalize("NFKD").toLowerCase().replace(/\p{M}/gu, "");
  const plain = [...apart].map((letter) => LETTERS[letter] ?? letter).join("");
  return (plain.match(/&|[\p{L}\p{N}]+/gu) ?? []).map((word) => (word === "&" ? "and" : word));
}

/** All words; then, as one word each, what signs part: "Wave-Cola" is found by "wavecola". */
function fold(text) {
  const joined = text
    .split(/\s+/)
    .map(wordsOf)
    .filter((words) => words.length > 1 && !words.every((word) => /^\p{N}+$/u.test(word)))
    .map((words) => words.filter((word) => word !== "and").join(""));
  return ` ${wordsOf(text).join(" ")} \n ${joined.join(" ")} `;
}

function load() {
  loading ??= new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = bar.dataset.pieces;
    script.onload = () => resolve(folded(window.carriedPieces));
    script.onerror = () => reject(new Error(script.src));
    document.head.append(script);
  });
  return loading;
}

function folded({ labels, rows }) {
  return rows.map(([words, choices, isFree, spans, label, card]) => ({
    text: fold(words),
    choices,
    isFree,
    spans,
    card: () => card.replace(LABELS, () => labels[label]),
  }));
}

/** Whether a piece may be of these years; one without any year is of none. */
function touches(piece, from, to) {
  return piece.spans.some(([first, last]) => first <= to && last >= from);
}

/** What one typed word asks for: letters, a year, a decade. */
function asks(typed) {
  const phrase = wordsOf(typed).join(" ");
  const year = /^\d{4}$/.test(typed) ? [Number(typed), Number(typed)] : null;
  const decade = /^\d{3}0s$/i.test(typed) ? [parseInt(typed, 10), parseInt(typed, 10) + 9] : null;
  const years = year ?? decade;
  return (piece) => piece.text.includes(phrase) || Boolean(years && touches(piece, ...years));
}

function fits(piece) {
  if (free?.checked && !piece.isFree) return false;
  return selects.every(({ value, dataset }) => !value || piece.choices[dataset.by].includes(Number(value)));
}

function showMore() {
  const shown = list.children.length;
  list.insertAdjacentHTML("beforeend", hits.slice(shown, shown + CARDS_AT_ONCE).map((piece) => piece.card()).join(""));
  more.hidden = list.children.length >= hits.length;
  return list.children[shown];
}

/** What is asked for stands in the address, so that the way back from a piece leads to it. */
function rememberAsked() {
  const said = new URLSearchParams();
  if (box.value) said.set("words", box.value);
  if (free?.checked) said.set("free", "1");
  for (const { value, dataset } of selects) if (value) said.set(dataset.by, value);
  history.replaceState(null, "", said.size ? `#${said}` : location.pathname + location.search);
}

function readAsked() {
  const said = new URLSearchParams(location.hash.slice(1));
  box.value = said.get("words") ?? "";
  if (free) free.checked = said.has("free");
  for (const select of selects) select.value = said.get(select.dataset.by) ?? "";
}

async function search() {
  const typed = box.value.split(/\s+/).filter((word) => wordsOf(word).length);
  const wanted = typed.length || free?.checked || selects.some((select) => select.value);
  rememberAsked();
  found.hidden = !wanted;
  document.getElementById("all-pieces").hidden = Boolean(wanted);
  if (!wanted) return;
  const said = document.getElementById("found-said");
  try {
    const pieces = await load();
    const all = typed.map(asks);
    hits = pieces.filter((piece) => fits(piece) && all.every((ask) => ask(piece)));
  } catch {
    said.textContent = `The list of pieces (${bar.dataset.pieces}) is missing from this folder.`;
    return;
  }
  list.replaceChildren();
  showMore();
  said.textContent = hits.length === 1 ? "1 piece" : `${hits.length || "No"} pieces`;
}

bar.addEventListener("input", search);
more.addEventListener("click", () => showMore()?.querySelector("a")?.focus());
addEventListener("hashchange", () => {
  readAsked();
  search();
});
readAsked();
search();
