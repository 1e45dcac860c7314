// The page by which somebody contributes: a form, the linter's word on it, and
// the file to send.
"use strict";

document.addEventListener("DOMContentLoaded", () => {
  const { el, bdi, coded, picker, named, linter } = fourmarks;
  const $ = (id) => document.getElementById(id);
  const said = $("said"), parts = $("parts"), part = $("part");
  const newName = "…";
  // The state of the page: the engine chosen, its series, the outline of what can
  // be written, the text typed or dropped in place of the form.
  let engine, series, outline = [], typed;
  const names = new Map(); // path of a part as text, to the part that is open

  const isNew = () => $("new").checked;
  const id = () => isNew() ? $("new-id").value.trim() : engine ? engine.id : "";
  const engineFile = () => engine && !isNew() ? engine.files[0] : undefined;
  const key = (path) => JSON.stringify(path);

  // sourceName makes an id of a title and a year.
  function sourceName() {
    const plain = ($("source-title").value + " " + $("source-issued").value).normalize("NFKD").toLowerCase();
    return plain.replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60).replace(/-+$/, "");
  }

  // form is what is filled in, as the linter takes it.
  function form() {
    const chosen = $("source").value;
    const source = chosen || sourceName();
    const fields = [["type", ""], ["title", $("source-title").value], ["author", $("source-author").value], ["issued", $("source-issued").value],
      ["grade", $("source-grade").value], ["rights", $("source-rights").value]];
    if ($("source-grade").value === "measured") fields.push(["by", $("by").value], ["on", $("on").value]);
    const entries = [];
    if (isNew()) entries.push({ path: ["title"], is: $("new-title").value }, { path: ["made"], is: $("new-made").value });
    for (const input of parts.querySelectorAll("[data-path]")) {
      if (input.value.trim()) entries.push({ path: JSON.parse(input.dataset.path), is: input.value });
    }
    return {
      engine: id(), variant: series && !isNew() ? series.variant : "", by: $("by").value, on: $("on").value, note: $("note").value,
      source: chosen ? { id: "", fields: [] } : { id: source, fields }, from: [source, $("locator").value.trim()].filter(Boolean).join(" "), entries,
    };
  }

  // outlineAnew asks what can be written of the engine, and offers it.
  async function outlineAnew() {
    const file = engineFile();
    outline = JSON.parse(await linter.ask("outline", { text: file ? file.text : "", variant: series && file ? series.variant : "" }));
    const group = (label, some) => el("optgroup", { label }, ...some.map((p) => el("option", { value: key(p.path) }, p.title.replace(newName, "a new one"))));
    const has = outline.filter((p) => p.begun), may = outline.filter((p) => !p.begun && p.fields.length);
    part.replaceChildren(el("option", { value: "" }, "choose a part to write in"), ...(has.length ? [group("What the engine has", has)] : []), group("What can be begun", may));
    parts.replaceChildren();
    names.clear();
  }

  // open shows the fields of a part, once.
  function open(p, path) {
    if (names.has(key(path))) { names.get(key(path)).querySelector("input, select").focus(); return; }
    const title = p.title.split(newName).join(path.filter((step, i) => p.path[i] === newName).join(" · "));
    const close = el("button", { type: "button", class: "quiet" }, "Close");
    const box = el("fieldset", { class: "part" }, el("legend", {}, bdi(title)), el("div", { class: "fields" }, ...p.fields.map((f) => field(f, [...path, f.key]))), el("p", {}, close));
    close.addEventListener("click", () => { box.remove(); names.delete(key(path)); part.focus(); changed(); });
    names.set(key(path), box);
    parts.append(box);
    box.querySelector("input, select").focus();
  }

  let count = 0;
  function field(f, path) {
    const own = "field-" + ++count;
    const hint = [f.now && "now " + f.now + (f.from ? " (" + f.from + ")" : ""), !f.now && f.example && "for example " + f.example].filter(Boolean).join("; ");
    const control = f.choices && f.choices.length ?
      el("select", { id: own, "data-path": key(path), "aria-describedby": own + "-doubt " + own + "-hint" }, el("option", { value: "" }, ""), ...f.choices.map((c) => el("option", {}, c))) :
      el("input", { id: own, type: "text", "data-path": key(path), "aria-describedby": own + "-doubt " + own + "-hint", spellcheck: "false", autocapitalize: "off" });
    return el("div", {}, el("label", { for: own, title: f.description || undefined }, f.title), control, el("p", { class: "doubt", id: own + "-doubt", hidden: true }), el("small", { id: own + "-hint" }, bdi(hint)));
  }

  // check asks the linter and shows what it says.
  let turn = 0, waiting;
  function changed() {
    clearTimeout(waiting);
    waiting = setTimeout(() => check().catch((e) => { said.textContent = "Nothing could be checked: " + e.message + "."; }), 120);
  }

  async function check() {
    const mine = ++turn;
    const text = typed !== undefined ? typed : id() ? await linter.ask("compose", form()) : "";
    if (mine !== turn) return;
    $("preview").textContent = text;
    $("new-source").hidden = $("source").value !== "";
    $("keep").disabled = !text;
    if (!text) { said.textContent = "Choose an engine to begin."; show([]); $("lacks").hidden = true; return; }
    const answer = JSON.parse(await linter.ask("judge", { text, files: engine ? engine.files : [] }));
    if (mine !== turn) return;
    if (answer.error) throw new Error(answer.error);
    show(answer.findings);
    $("refused").replaceChildren(...answer.refused.map((line) => el("li", {}, coded(line.replace(/^contribution:\d+:\d+: /, "")))),
      ...answer.conflicts.map((path) => el("li", {}, "The dataset has something else from the same source for ", el("code", {}, path), "; say in the note which reading is right.")));
    $("lacks").hidden = !answer.refused.length && !answer.conflicts.length;
    const { errors, warnings } = answer.summary;
    said.textContent = errors + warnings === 0 ? "Nothing is wrong with it that the linter can see." :
      [errors && errors + (errors === 1 ? " error" : " errors"), warnings && warnings + (warnings === 1 ? " warning" : " warnings")].filter(Boolean).join(" and ") + ". You may send it all the same, if that is what is printed: say so in the note.";
    document.dispatchEvent(new CustomEvent("checked"));
  }

  function show(findings) {
    doubt(findings);
    $("findings").replaceChildren(...findings.map((f) => {
      const li = el("li", { class: f.level }, el("p", {}, el("b", { class: "level" }, f.level), " ", coded(f.message)));
      if (f.suspects.length) {
        li.append(el("p", {}, "What can be the slip:"), el("ul", { class: "suspects" }, ...f.suspects.map((s) =>
          el("li", {}, el("code", {}, s.pointer.split("/").slice(-1)[0].replaceAll("_", " ")), " ", bdi(s.printed), s.likely ? el("span", {}, ", likely ", el("b", {}, bdi(s.likely)), s.slip ? " (" + s.slip + ")" : "") : "", mustBe(s.must_be)))));
      }
      if (f.working.length) li.append(el("details", {}, el("summary", {}, "The sum"), el("pre", {}, f.working.join("\n"))));
      li.append(el("small", {}, f.rule + (f.variant ? ", variant " + f.variant : "")));
      return li;
    }));
  }

  // doubt says beside a field what the linter has against what is typed there.
  function doubt(findings) {
    const pointer = (s) => s.replace(/^\/variants\/[^/]*\/change/, "").replace(/\/(is|claims\/[^/]*(\/is)?)$/, "");
    for (const control of parts.querySelectorAll("[data-path]")) {
      const own = "/" + JSON.parse(control.dataset.path).map((step) => step.replaceAll("~", "~0").replaceAll("/", "~1")).join("/");
      const place = $(control.id + "-doubt");
      const against = control.value.trim() ? findings.filter((f) => f.level !== "note") : [];
      const suspect = against.flatMap((f) => f.suspects).find((s) => pointer(s.pointer) === own);
      const about = against.find((f) => pointer(f.pointer) === own);
      place.hidden = !suspect && !about;
      place.replaceChildren(suspect ? (suspect.likely ? "It may be a slip for " + suspect.likely + "." : "It does not fit the other figures.") : about ? coded(about.message + ".") : "");
      if (place.hidden) control.removeAttribute("aria-invalid");
      else control.setAttribute("aria-invalid", "true");
    }
  }

  function mustBe({ low, high, unit }) {
    const short = (x) => String(Number(x.toPrecision(5)));
    const of = unit && !unit.startsWith("°") ? " " + unit : unit;
    if (low === null && high === null) return "";
    return "; to fit it must be " + (low === null ? "at most " + short(high) : high === null ? "at least " + short(low) : short(low) === short(high) ? short(low) : short(low) + " to " + short(high)) + of;
  }

  // Events.

  const pick = picker($("engine"), async (data, chosen) => {
    engine = data;
    series = chosen;
    const own = new Set([...$("source").options].slice(1).map((o) => o.value));
    const cited = [...new Set([...data.sources])];
    if (cited.some((s) => !own.has(s)) || own.size !== cited.length) {
      $("source").replaceChildren(el("option", { value: "" }, "another, described below"), ...cited.map((s) => el("option", { value: s }, s)));
    }
    await outlineAnew();
    changed();
  });

  $("new").addEventListener("change", async () => {
    $("new-engine").hidden = !isNew();
    $("engine").hidden = isNew();
    await outlineAnew();
    changed();
  });

  part.addEventListener("change", () => {
    const p = outline.find((o) => key(o.path) === part.value);
    $("name").hidden = !p || !p.path.includes(newName);
    if (!p) return;
    if (p.path.includes(newName)) { $("part-name").value = ""; $("part-name").focus(); return; }
    part.value = "";
    open(p, p.path);
  });

  $("begin").addEventListener("click", () => {
    const p = outline.find((o) => key(o.path) === part.value), name = $("part-name").value.trim();
    if (!p || !name) { $("part-name").focus(); return; }
    $("name").hidden = true;
    part.value = "";
    open(p, p.path.map((step) => step === newName ? name : step));
  });
  $("part-name").addEventListener("keydown", (e) => { if (e.key === "Enter") { e.preventDefault(); $("begin").click(); } });

  $("contribution").addEventListener("input", (e) => {
    if (e.target === $("text")) typed = $("text").value;
    if (e.target.closest(".pick") || e.target === part || e.target === $("part-name") || e.target === $("file")) return;
    changed();
  });
  $("contribution").addEventListener("submit", (e) => e.preventDefault());

  // write puts a text in place of the form.
  async function write(text) {
    typed = text;
    $("text").value = text;
    $("typed").hidden = false;
    $("asked").hidden = true;
    const is = text.match(/^engine:\s*["']?([a-z0-9-]+\/[a-z0-9-]+)/m);
    if (is && (!engine || engine.id !== is[1])) {
      engine = undefined;
      try { engine = await fourmarks.load("data/" + fourmarks.engineName(is[1], "")); } catch { /* an engine that is new */ }
    }
    changed();
  }
  $("edit").addEventListener("click", () => { write($("preview").textContent); $("text").focus(); });
  $("back").addEventListener("click", () => { typed = undefined; $("typed").hidden = true; $("asked").hidden = false; changed(); });
  const take = async (file) => { if (file) write(await file.text()); };
  $("file").addEventListener("change", () => take($("file").files[0]));
  for (const name of ["dragover", "drop"]) {
    document.addEventListener(name, (e) => {
      e.preventDefault();
      if (name === "drop") take(e.dataTransfer.files[0]);
    });
  }

  $("keep").addEventListener("click", () => {
    const url = URL.createObjectURL(new Blob([$("preview").textContent], { type: "application/yaml" }));
    const name = (id() || "engine").replaceAll("/", "-") + "-contribution.yaml";
    const a = el("a", { href: url, download: name });
    document.body.append(a);
    a.click();
    a.remove();
    setTimeout(() => URL.revokeObjectURL(url), 10000);
  });

  const today = new Date();
  $("on").value = new Date(today.getTime() - today.getTimezoneOffset() * 60000).toISOString().slice(0, 10);
  $("desk").hidden = false;
  const wanted = named().engine;
  (wanted ? pick.pick(wanted.id, wanted.variant) : outlineAnew().then(changed)).catch((e) => { said.textContent = "This page cannot work here: " + e.message + "."; });
});
