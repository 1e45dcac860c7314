// A box in which somebody picks an engine by typing part of its name, and the
// series of it. Keys as in the combobox pattern of the ARIA practices.
"use strict";

fourmarks.picker = (box, chosen) => {
  const { el, bdi, finder, load, engineName } = fourmarks;
  const input = box.querySelector("input"), list = box.querySelector("[role=listbox]"), series = box.querySelector("select");
  const most = 8;
  let at = -1, turn = 0, data;

  function close() {
    list.hidden = true;
    at = -1;
    input.setAttribute("aria-expanded", "false");
    input.removeAttribute("aria-activedescendant");
  }

  function mark(n) {
    const options = list.children;
    if (!options.length) return;
    at = (n + options.length) % options.length;
    for (let i = 0; i < options.length; i++) options[i].setAttribute("aria-selected", String(i === at));
    options[at].scrollIntoView({ block: "nearest" });
    input.setAttribute("aria-activedescendant", options[at].id);
  }

  async function offer() {
    const mine = ++turn;
    const text = input.value.trim();
    const { best } = text ? await finder.find({ text }, most) : { best: [] };
    const cards = await Promise.all(best.map((f) => finder.card(f.engine)));
    if (mine !== turn) return;
    list.replaceChildren(...cards.map((c, i) => {
      const option = el("li", { role: "option", id: list.id + "-" + i, "aria-selected": "false", "data-id": c.id }, bdi(c.t), el("small", {}, bdi([c.id, c.m].filter(Boolean).join(" · "))));
      option.addEventListener("pointerdown", (e) => { e.preventDefault(); pick(c.id); });
      return option;
    }));
    at = -1;
    list.hidden = !cards.length;
    input.setAttribute("aria-expanded", String(cards.length > 0));
  }

  // pick chooses an engine, and the series of it that is named.
  async function pick(id, variant = "") {
    turn++;
    close();
    data = await load("data/" + engineName(id, ""));
    input.value = data.title;
    series.replaceChildren(...data.series.map((s) => el("option", { value: s.variant }, s.variant ? s.variant + (s.made ? " (" + s.made + ")" : "") : "the engine as first made" + (s.made ? " (" + s.made + ")" : ""))));
    series.value = data.series.some((s) => s.variant === variant) ? variant : "";
    series.disabled = false;
    tell();
  }

  const tell = () => chosen(data, data.series.find((s) => s.variant === series.value));

  input.addEventListener("input", offer);
  input.addEventListener("blur", close);
  input.addEventListener("keydown", (e) => {
    if (e.key === "ArrowDown" || e.key === "ArrowUp") {
      e.preventDefault();
      mark(at + (e.key === "ArrowDown" ? 1 : at < 0 ? 0 : -1));
    } else if (e.key === "Enter" && !list.hidden) {
      e.preventDefault();
      pick(list.children[Math.max(at, 0)].dataset.id);
    } else if (e.key === "Escape") {
      close();
    }
  });
  series.addEventListener("change", tell);
  return { pick };
};

// named reads what the address says after #: key=maker/model or
// key=maker/model@variant.
fourmarks.named = () => {
  const all = {};
  for (const part of location.hash.slice(1).split("&")) {
    const [key, value] = part.split("=");
    if (!value) continue;
    const [id, variant] = decodeURIComponent(value).split("@");
    all[key] = { id, variant: variant || "" };
  }
  return all;
};
