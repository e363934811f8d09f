#!/bin/sh
# A season at several places: the best night of each month and place to read, a
# CSV of all windows for the spreadsheet, and the best nights of all places
# together.
#
#   sh examples/season-batch.sh [FOLDER]
#
# Set RAKELIGHT to a built binary to skip cargo.
# It ends with the highest code of its scans: 0 nights were found, 1 one of them
# found none, 2 wrong usage or input or no room to write, 3 sites were left out
# because they cannot be read (each is named on standard error), 4 none can be.
# At 2 and 4 it stops.
set -eu
cd "$(dirname "$0")/.."
out=${1:-.}
rakelight=${RAKELIGHT:-cargo run --release --quiet --}
season="--from 2027-03-01 --to 2027-10-31"

# 1 and 3 are answers too, which `set -e` must not end the script for.
worst=0
scan() {
    ended=0
    $rakelight scan demo-sites/*.toml $season --keep-going "$@" || ended=$?
    case $ended in
    0 | 1 | 3) ;;
    *) exit "$ended" ;;
    esac
    if [ "$ended" -gt "$worst" ]; then worst=$ended; fi
}

scan --by month
scan --format csv -o "$out/season.csv"
scan --weekdays fri,sat --together --top 10
exit "$worst"
