// Runs beside the page, so that typing never waits: starts the linter, then
// answers one question after another. The page puts Go's own glue before it.
"use strict";

let ready;

async function start(program) {
  const packed = Uint8Array.from(atob(program), (c) => c.charCodeAt(0));
  const unpacked = new Response(packed).body.pipeThrough(new DecompressionStream("gzip"));
  const go = new Go();
  const { instance } = await WebAssembly.instantiate(await new Response(unpacked).arrayBuffer(), go.importObject);
  go.run(instance);
}

onmessage = async ({ data: { program, id, call, text } }) => {
  try {
    if (program) {
      ready = start(program);
      return;
    }
    await ready;
    postMessage({ id, answer: pagelint[call](text) });
  } catch (e) {
    postMessage({ id, failed: String(e && e.message || e) });
  }
};
