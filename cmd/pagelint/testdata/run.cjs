// Starts the linter for web pages as a page does and asks it questions.
//
//   node run.cjs linter.js < questions.json > answers.json
//
// A question is the name of a function of the linter and the text it takes; the
// answers are the texts it returns, in order.
const fs = require("fs");
const vm = require("vm");
const zlib = require("zlib");

async function main() {
  vm.runInThisContext(fs.readFileSync(process.argv[2], "utf8"));
  vm.runInThisContext(fourmarksLinter.glue);
  const program = zlib.gunzipSync(Buffer.from(fourmarksLinter.program, "base64"));
  const go = new Go();
  const { instance } = await WebAssembly.instantiate(program, go.importObject);
  go.run(instance);
  const questions = JSON.parse(fs.readFileSync(0, "utf8"));
  fs.writeFileSync(1, JSON.stringify(questions.map(({ call, text }) => pagelint[call](text))));
  process.exit(0);
}

main().catch((e) => { console.error(e); process.exit(1); });
