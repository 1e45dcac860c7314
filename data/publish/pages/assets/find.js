// Finds engines: by words of their names, a year, an engine number. Only the
// files that these lead to are fetched.
"use strict";

fourmarks.finder = (() => {
  const { load } = fourmarks;
  const worth = { same: 4, begins: 3, nearly: 1 };
  const digits = new Map([..."ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"].map((c, i) => [c.charCodeAt(0), i]));

  const words = (text) => text.toLowerCase().match(/[\p{L}\p{N}]+/gu) || [];

  // keyOf names the file that a word, or the letters of a number, stand in.
  function keyOf(word) {
    const first = [...word.toLowerCase()].slice(0, 2).join("");
    if (!first) return "none";
    if (/^[a-z0-9]+$/.test(first)) return first;
    return "x" + [...new TextEncoder().encode(first)].map((b) => b.toString(16).padStart(2, "0")).join("");
  }

  // eachStep calls f with every number that steps write.
  function eachStep(text, f) {
    let at = -1, step = 0, shift = 0;
    for (let i = 0; i < text.length; i++) {
      const digit = digits.get(text.charCodeAt(i));
      step += (digit & 31) << shift;
      if (digit & 32) { shift += 5; continue; }
      at += step + 1;
      f(at);
      step = shift = 0;
    }
  }

  // differByOne tells whether one letter more, less or other, or two exchanged,
  // make one word the other.
  function differByOne(a, b) {
    if (Math.abs(a.length - b.length) > 1) return false;
    let i = 0, n = a.length, m = b.length;
    while (i < n && i < m && a[i] === b[i]) i++;
    while (n > i && m > i && a[n - 1] === b[m - 1]) { n--; m--; }
    return n - i <= 1 && m - i <= 1 || n - i === 2 && m - i === 2 && a[i] === b[i + 1] && a[i + 1] === b[i];
  }

  // scored gives every engine what a word is worth to it; 0 where it has it nowhere.
  async function scored(word, directory) {
    const scores = new Uint8Array(directory.engines);
    const key = keyOf(word);
    if (!directory.words.includes(key)) return scores;
    const file = await load("find/words-" + key);
    const add = (postings, value) => {
      const [names, remarks] = postings.split(" ");
      eachStep(names, (n) => { scores[n] = Math.max(scores[n], 4 * value); });
      eachStep(remarks, (n) => { scores[n] = Math.max(scores[n], value); });
    };
    const all = Object.keys(file);
    const fitting = all.filter((w) => w.startsWith(word));
    for (const w of fitting) add(file[w], w === word ? worth.same : worth.begins);
    if (!fitting.length && word.length > 3) {
      for (const w of all) if (differByOne(word, w)) add(file[w], worth.nearly);
    }
    return scores;
  }

  // splitNumber splits LS1001 into LS and 1001.
  function splitNumber(text) {
    const [, letters, figures] = text.replace(/[\s\-./]/gu, "").toUpperCase().match(/^(.*?)([0-9]*)$/su);
    return figures && figures.length <= 15 ? { letters, number: Number(figures) } : undefined;
  }

  // numbered maps the engines to whose numbers a number belongs to the variant
  // that it is of, or "".
  async function numbered(text, directory) {
    const engines = new Map();
    const is = splitNumber(text);
    if (!is) return engines;
    const key = keyOf(is.letters);
    const parts = directory.numbers[key] || [];
    for (let i = 0; i < parts.length; i++) {
      const [least, most] = parts[i];
      if (least !== null && is.number < least || most !== null && is.number > most) continue;
      for (const [letters, first, last, engine, variant] of await load(`find/numbers-${key}-${i}`)) {
        if (letters === is.letters && (first === null || first <= is.number) && (last === null || is.number <= last)) {
          if (!engines.get(engine)) engines.set(engine, variant);
        }
      }
    }
    return engines;
  }

  const hasNumbers = 1 << 14, unknown = 1, yes = 2;

  let years;
  async function yearTable() {
    years ||= load("find/years").then((text) => {
      const binary = atob(text), bytes = new Uint8Array(binary.length);
      for (let i = 0; i < binary.length; i++) bytes[i] = binary.charCodeAt(i);
      return new DataView(bytes.buffer);
    });
    return years;
  }

  // find returns how many engines fit, and the best of them, at most so many, as
  // {engine, variant, unsure}. Neither year nor number rules out an engine whose
  // file does not give them, as long as it was asked for by name.
  async function find({ text, year, number }, most) {
    const directory = await load("find/index");
    const wanted = words(text);
    const each = await Promise.all(wanted.map((word) => scored(word, directory)));
    const of = number ? await numbered(number, directory) : undefined;
    const table = year || number ? await yearTable() : undefined;
    // Engines that fit equally well stand in one row, in the order of their ids.
    const rows = new Map();
    let count = 0;
    for (let n = 0; n < directory.engines; n++) {
      let score = wanted.length || year || number ? 1 : 0;
      for (const s of each) {
        if (!s[n]) { score = 0; break; }
        score += s[n];
      }
      if (!score) continue;
      const sure = Math.min(year ? made(table, n, year) : yes, of ? ofNumber(of, table, n) : yes);
      if (sure !== yes && !(sure === unknown && wanted.length)) continue;
      count++;
      const rank = score + (sure === yes ? surely : 0);
      const row = rows.get(rank);
      if (!row) rows.set(rank, [n]);
      else if (row.length < most) row.push(n);
    }
    const best = [];
    for (const rank of [...rows.keys()].sort((a, b) => b - a)) {
      for (const engine of rows.get(rank)) {
        if (best.length < most) best.push({ engine, variant: of && of.get(engine) || "", unsure: rank < surely });
      }
    }
    return { count, best };
  }
  const surely = 1 << 20; // more than any score

  function made(table, n, year) {
    const first = table.getUint16(4 * n, true), last = table.getUint16(4 * n + 2, true) & ~hasNumbers;
    if (!first) return unknown;
    return first <= year && year <= last ? yes : 0;
  }

  function ofNumber(of, table, n) {
    if (of.has(n)) return yes;
    return table.getUint16(4 * n + 2, true) & hasNumbers ? 0 : unknown;
  }

  // card returns what a list shows of an engine.
  async function card(n) {
    const { cards } = await load("find/index");
    return (await load("find/cards-" + Math.floor(n / cards)))[n % cards];
  }

  // prepare fetches what the first key would have to wait for.
  const prepare = () => load("find/index").catch(() => { /* the first search says so */ });

  return { find, card, prepare, prepareYears: () => yearTable().catch(() => {}) };
})();

// The page that finds engines.
document.addEventListener("DOMContentLoaded", () => {
  const form = document.getElementById("find");
  if (!form) return;
  const { root, engineName, el, bdi, finder } = fourmarks;
  const [text, number, year] = ["words", "number", "year"].map((id) => document.getElementById(id));
  const said = document.getElementById("said"), list = document.getElementById("found"), makers = document.getElementById("makers");
  const most = 12;
  let latest = 0;

  const facts = (made, numbers) => el("span", {}, bdi([made, numbers].filter(Boolean).join(" · ")));
  const link = (id, variant, title) => el("a", { href: root + "pages/engines/" + engineName(id, variant) + ".html" }, bdi(title));

  function item(card, variant, unsure) {
    const li = el("li", {}, link(card.id, "", card.t), facts(card.m, card.n));
    const some = (card.v || []).filter((v) => !variant || v.k === variant);
    if (some.length) {
      li.append(el("ul", {}, ...some.map((v) => el("li", {}, link(card.id, v.k, v.t ? v.k + ": " + v.t : v.k), facts(v.m, v.n)))));
    }
    if (unsure) li.append(el("small", {}, "Its file does not give the years or numbers that would tell."));
    return li;
  }

  async function search() {
    const turn = ++latest;
    const asked = { text: text.value.trim(), number: number.value.trim(), year: /^\d{4}$/.test(year.value.trim()) ? Number(year.value) : 0 };
    if (!asked.text && !asked.number && !asked.year) {
      said.textContent = "";
      list.replaceChildren();
      makers.hidden = false;
      return;
    }
    try {
      const { count, best } = await finder.find(asked, most);
      const shown = await Promise.all(best.map(async (f) => item(await finder.card(f.engine), f.variant, f.unsure)));
      if (turn !== latest) return;
      list.replaceChildren(...shown);
      makers.hidden = true;
      said.textContent = count === 0 ? "No engine fits. Try fewer words, or the number without the year." :
        count === 1 ? "One engine fits." :
        count + " engines fit" + (count > most ? "; the first " + most + " are shown. Another word, the year or the number narrows them." : ".");
    } catch (e) {
      if (turn === latest) said.textContent = "The index of engines cannot be read (" + e.message + ").";
    }
    document.dispatchEvent(new CustomEvent("searched", { detail: turn }));
  }

  form.hidden = false;
  finder.prepare();
  for (const field of [year, number]) field.addEventListener("focus", finder.prepareYears);
  form.addEventListener("input", search);
  form.addEventListener("submit", (e) => { e.preventDefault(); search(); });
  if (text.value || number.value || year.value) search();
  text.focus();
});
