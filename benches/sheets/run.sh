#!/bin/sh
# Plans the published cutting problems and scores the plans: benches/sheets/run.sh ROUNDS SCORER
# ROUNDS may be several numbers in quotation marks, which gives quality for seconds as a curve: "1000 4000 16000 64000".
# SCORER is a program that is given PLANS.jsonl, oriented or rotated, and the problems. Needs BACKLINE_DATA.
set -eu
curve=${1:-20000}
scorer=${2:-}
[ -n "${BACKLINE_DATA:-}" ] || { echo "BACKLINE_DATA is not set: no problems to plan"; exit 0; }
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
for rounds in $curve; do
    echo "$rounds rounds a problem"
    for kind in oriented rotated; do
        cargo bench --quiet --bench sheets -- "$kind" "$rounds" "$folder/$kind.jsonl"
        [ -z "$scorer" ] || python3 -B "$scorer" "$folder/$kind.jsonl" "$kind" "$BACKLINE_DATA/cutstock/instances.jsonl" | tail -n 1
    done
    cargo bench --quiet --bench sheets -- several "$rounds"
done
cargo bench --quiet --bench sheets -- knapsack 30000
cargo bench --quiet --bench sheets -- shop 30000
