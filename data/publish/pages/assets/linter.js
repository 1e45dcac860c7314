// Hands the linter its questions. It is loaded when a contribution is begun.
"use strict";

fourmarks.linter = (() => {
  const asked = new Map();
  let worker, last = 0;

  // script loads a script of the pages by its name.
  const script = (name) => new Promise((resolve, reject) => {
    const e = document.createElement("script");
    e.src = fourmarks.root + "pages/assets/" + name;
    e.onload = resolve;
    e.onerror = () => reject(new Error("the linter " + name + " cannot be loaded"));
    document.head.append(e);
  });

  async function start() {
    if (!("DecompressionStream" in window)) throw new Error("this browser is too old for the linter");
    await script("pagelint.js");
    const { glue, program, worker: code } = globalThis.fourmarksLinter;
    delete globalThis.fourmarksLinter;
    const w = new Worker(URL.createObjectURL(new Blob([glue, "\n", code], { type: "text/javascript" })));
    w.onmessage = ({ data: { id, answer, failed } }) => {
      const { resolve, reject } = asked.get(id);
      asked.delete(id);
      if (failed !== undefined) { reject(new Error(failed)); return; }
      resolve(answer);
    };
    w.onerror = (e) => { for (const { reject } of asked.values()) reject(new Error(e.message)); asked.clear(); };
    w.postMessage({ program });
    return w;
  }

  // ask calls a function of the linter with a value and returns its answer.
  async function ask(call, question) {
    worker ||= start();
    const w = await worker;
    const id = ++last;
    const answer = new Promise((resolve, reject) => asked.set(id, { resolve, reject }));
    w.postMessage({ id, call, text: JSON.stringify(question) });
    return answer;
  }

  return { ask };
})();
