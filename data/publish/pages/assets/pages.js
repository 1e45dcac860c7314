// What every page has: the choice of units, kept by the browser, and the loading
// of data. Data comes as scripts, because a page in a folder may load nothing
// else; a page asks for a file by name and the file hands itself over.
"use strict";

const fourmarks = (() => {
  const root = document.currentScript.dataset.root;
  const waiting = new Map();

  // load returns a promise of what the file pages/<name>.js hands over.
  function load(name) {
    let file = waiting.get(name);
    if (!file) {
      file = {};
      file.promise = new Promise((resolve, reject) => { file.resolve = resolve; file.reject = reject; });
      waiting.set(name, file);
      const script = document.createElement("script");
      script.src = root + "pages/" + name + ".js";
      script.onload = () => { script.remove(); file.reject(new Error(name + " is empty")); };
      script.onerror = () => { script.remove(); waiting.delete(name); file.reject(new Error(name + " cannot be loaded")); };
      document.head.append(script);
    }
    return file.promise;
  }

  function give(name, value) {
    const file = waiting.get(name);
    if (file) file.resolve(value);
  }

  // fileName is the name by which a text stands in a file's name.
  function fileName(text) {
    let name = "";
    for (const byte of new TextEncoder().encode(text)) {
      const c = String.fromCharCode(byte);
      name += /[a-z0-9-]/.test(c) ? c : "_" + byte.toString(16).padStart(2, "0");
    }
    return name;
  }

  // engineName is the name of an engine's files, or of a variant's.
  function engineName(id, variant) {
    const stroke = id.indexOf("/");
    const [maker, model] = stroke < 0 ? [id, ""] : [id.slice(0, stroke), id.slice(stroke + 1)];
    return fileName(maker) + "/" + fileName(model) + (variant ? "." + fileName(variant) : "");
  }

  // el makes an element of attributes and children; texts stay texts.
  function el(tag, attributes = {}, ...children) {
    const e = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (value !== undefined && value !== false) e.setAttribute(name, value === true ? "" : value);
    }
    e.append(...children.filter((c) => c !== undefined && c !== ""));
    return e;
  }

  // bdi is a text from a file: its direction does not spread to what is around it.
  const bdi = (text) => el("bdi", {}, text);

  // coded is a message of the linter, with what it quotes as code.
  function coded(text) {
    const parts = text.split("`");
    return el("span", {}, ...parts.map((part, i) => i % 2 && i < parts.length - 1 ? el("code", {}, bdi(part)) : bdi(part)));
  }

  const choice = {
    key: "fourmarks-units",
    get() { try { return localStorage.getItem(this.key) || "printed"; } catch { return "printed"; } },
    set(units) { try { localStorage.setItem(this.key, units); } catch { /* kept for this page alone */ } },
  };

  function show(units) {
    document.documentElement.dataset.units = units;
    for (const radio of document.querySelectorAll(".units input")) radio.checked = radio.value === units;
  }

  show(choice.get());
  document.addEventListener("DOMContentLoaded", () => {
    const box = document.querySelector(".units");
    box.hidden = false;
    show(choice.get());
    box.addEventListener("change", (e) => { choice.set(e.target.value); show(e.target.value); });
    openTarget();
  });
  addEventListener("storage", (e) => { if (e.key === choice.key) show(choice.get()); });
  addEventListener("pageshow", () => show(choice.get()));

  // openTarget opens the figure that a link leads to.
  function openTarget() {
    const at = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
    const details = at && at.querySelector("details");
    if (details) details.open = true;
  }
  addEventListener("hashchange", openTarget);

  return { root, load, give, fileName, engineName, el, bdi, coded };
})();
