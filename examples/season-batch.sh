#!/bin/sh
# A season at several places: the best night of each month and place to read, a
# CSV of all windows for the spreadsheet, and the best nights of all places
# together.
#
#   sh examples/season-batch.sh [FOLDER]
#
# Set RAKELIGHT to a built binary to skip cargo.
set -eu
cd "$(dirname "$0")/.."
out=${1:-.}
rakelight=${RAKELIGHT:-cargo run --release --quiet --}
season="--from 2027-03-01 --to 2027-10-31"

$rakelight scan demo-sites/*.toml $season --by month
$rakelight scan demo-sites/*.toml $season --format csv -o "$out/season.csv"
$rakelight scan demo-sites/*.toml $season --weekdays fri,sat --together --top 10
