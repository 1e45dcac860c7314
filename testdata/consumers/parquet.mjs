// The rows of a Parquet file as JSON Lines, by hyparquet.
//   node parquet.mjs FILE
import { readFileSync } from "node:fs";
import { gunzipSync } from "node:zlib";
import { parquetReadObjects } from "hyparquet";

const bytes = readFileSync(process.argv[2]);
const file = { byteLength: bytes.byteLength, slice: async (from, to) => new Uint8Array(bytes.subarray(from, to)).buffer };
for (const row of await parquetReadObjects({ file, compressors: { GZIP: (page) => new Uint8Array(gunzipSync(page)) } })) {
  console.log(JSON.stringify(row, (_, v) => (typeof v === "bigint" ? Number(v) : v)));
}
