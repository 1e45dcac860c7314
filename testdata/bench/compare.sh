#!/usr/bin/env bash
# Lints many engine files cold, and validates the same files against the same
# JSON Schema with ajv and js-yaml, turn and turn about; prints the median wall
# time of each and their ratio (below 1: the linter is faster).
#
#   testdata/bench/compare.sh [ENGINES] [ROUNDS]
set -euo pipefail
engines=${1:-2000} rounds=${2:-7}
here=$(cd "$(dirname "$0")" && pwd) root=$(cd "$here/../.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

cd "$root"
go build -o "$work/fourmarks" ./cmd/fourmarks
go run ./testdata/bench/many -n "$engines" -out "$work/data"
cp "$here/package.json" "$here/validate.cjs" "$work"
npm install --silent --no-audit --no-fund --prefix "$work" >/dev/null

milliseconds() { # of one run of a command, which may exit 0 or 1
  local start end
  start=$(date +%s%N)
  "$@" >/dev/null 2>&1 || test $? -eq 1
  end=$(date +%s%N)
  echo $(((end - start) / 1000000))
}
for _ in $(seq "$rounds"); do
  milliseconds "$work/fourmarks" lint "$work/data" >>"$work/lint"
  milliseconds node "$work/validate.cjs" "$root/schema" "$work/data" >>"$work/ajv"
done
median() { sort -n "$1" | sed -n "$(((rounds + 1) / 2))p"; }
lint=$(median "$work/lint") ajv=$(median "$work/ajv")
echo "$engines engines, $(nproc) cores, median of $rounds runs:"
echo "  fourmarks lint, every rule             $lint ms"
echo "  ajv with js-yaml, the schema only      $ajv ms"
awk -v a="$lint" -v b="$ajv" 'BEGIN { printf "  ratio                                  %.2f\n", a / b }'
