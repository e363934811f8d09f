#!/bin/sh
# A season at several places in one command: a table to read, a CSV for the
# spreadsheet, and the best nights of all places together.
#
#   sh examples/season-batch.sh [FOLDER]
#
# Set RAKELIGHT to a built binary to skip cargo.
set -eu
cd "$(dirname "$0")/.."
out=${1:-.}
rakelight=${RAKELIGHT:-cargo run --release --quiet --}

$rakelight scan demo-sites/*.toml --from 2027-03-01 --to 2027-10-31 \
    --format csv -o "$out/season.csv"
$rakelight scan demo-sites/*.toml --from 2027-03-01 --to 2027-10-31 \
    --weekdays fri,sat --across --top 10
