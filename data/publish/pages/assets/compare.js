// Sets two engines, or two series of one, side by side.
"use strict";

document.addEventListener("DOMContentLoaded", () => {
  const { el, bdi, picker, named, root } = fourmarks;
  const form = document.getElementById("pair"), place = document.getElementById("compared"), said = document.getElementById("said"), unlike = document.getElementById("unlike");
  const sides = {};

  const quantity = (f) => {
    const q = el("span", { class: "q" + (f.metric ? " has-metric" : "") + (f.inch ? " has-inch" : "") }, el("bdi", { class: "p" }, f.printed || "no figure"));
    if (f.metric) q.append(el("bdi", { class: "m" }, f.metric));
    if (f.inch) q.append(el("bdi", { class: "i" }, f.inch));
    return q;
  };
  const cell = (f) => f ? el("td", {}, quantity(f), el("span", { class: "standing " + f.standing }, f.standing)) : el("td", {}, el("span", { class: "nothing" }, "nothing known"));
  const plain = (f) => f ? (f.metric || f.printed).toLowerCase().replace(/\s+/g, " ") : "";

  function compare() {
    const { a, b } = sides;
    if (!a || !b) return;
    history.replaceState(null, "", "#" + [a, b].map((s, i) => "ab"[i] + "=" + s.id + (s.series.variant ? "@" + encodeURIComponent(s.series.variant) : "")).join("&"));
    const of = (s) => new Map(s.series.figures.map((f) => [f.path, f]));
    const left = of(a), right = of(b);
    const rows = [...left.values(), ...[...right.values()].filter((f) => !left.has(f.path))];
    const sections = new Map();
    for (const f of rows) sections.set(f.section, [...(sections.get(f.section) || []), f]);
    const body = el("tbody");
    let differing = 0;
    for (const [section, figures] of sections) {
      const shown = [];
      for (const f of figures) {
        const differs = plain(left.get(f.path)) !== plain(right.get(f.path));
        if (differs) differing++;
        if (!differs && unlike.checked) continue;
        const name = el("th", { scope: "row" }, bdi(f.name));
        if (differs) name.append(el("span", { class: "visually-hidden" }, " (differs)"));
        shown.push(el("tr", { class: differs ? "unlike" : undefined }, name, cell(left.get(f.path)), cell(right.get(f.path))));
      }
      if (shown.length) body.append(el("tr", { class: "section" }, el("th", { colspan: 3, scope: "colgroup" }, bdi(section))), ...shown);
    }
    const head = (s) => el("th", { scope: "col" }, el("a", { href: root + "pages/engines/" + s.series.page + ".html" }, bdi(s.series.title)));
    place.replaceChildren(el("table", {}, el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "Figure"), head(a), head(b))), body));
    place.hidden = false;
    said.textContent = differing ? differing + " figures differ as printed. A different print may mean the same: compare in one choice of units." : "No figure differs.";
  }

  const wanted = named();
  for (const side of ["a", "b"]) {
    const p = picker(form.querySelector(`[data-pick=${side}]`), (data, series) => { sides[side] = { id: data.id, series }; compare(); });
    if (wanted[side]) p.pick(wanted[side].id, wanted[side].variant).catch(() => { said.textContent = "There is no engine " + wanted[side].id + "."; });
  }
  unlike.addEventListener("change", compare);
  form.addEventListener("submit", (e) => e.preventDefault());
  form.hidden = false;
});
