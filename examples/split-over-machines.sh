#!/bin/sh
# The same scan split into parts that know nothing of each other, for many
# sites and many machines. Each part is one process over its own sites; parts
# put together in order are what one process would have written.
#
# With GNU parallel over the cores (or, with its --sshlogin, over hosts):
#   ls demo-sites/*.toml | parallel -k -N2 \
#     rakelight scan {} --from 2027-01-01 --to 2027-12-31 --quiet --format ndjson > all.ndjson
# Tried with GNU parallel 20221122 on one machine: all.ndjson is, byte for byte,
# what one process writes. A part without a night ends with 1 (with --empty-ok
# with 0), and parallel then ends with how many of its parts did not end with 0.
# One large table needs no list of files: `rakelight scan sites.csv --part K/N`
# computes the K-th of N parts of its rows (examples/map). With --keep-going, a
# part ends with 3 if it leaves sites out and with 4 if it can read none;
# --joblog tells the code of each.
#
# As a Slurm array of 12 tasks, sites.txt holding one site file a line:
#   #SBATCH --array=0-11
#   sed -n "$((SLURM_ARRAY_TASK_ID + 1))~12p" sites.txt | xargs -r -d '\n' rakelight scan \
#     --from 2027-01-01 --to 2027-12-31 --quiet --format ndjson > "part-$SLURM_ARRAY_TASK_ID.ndjson"
# Every twelfth line is a task's, so the parts together have the lines of the whole
# in another order. -r: a task without a site scans nothing, instead of the
# built-in demo site. A task without a night ends with 123, as xargs does for any
# code from 1 to 125: to tell them apart, give the task the files themselves.
# Tried without Slurm, with GNU sed and xargs and the task's number set by hand
# (tests/documents/examples.rs); never on a cluster.
#
# Here, two parts on one machine with what every system has:
#   sh examples/split-over-machines.sh FOLDER
set -eu
cd "$(dirname "$0")/.."
out=${1:-.}
rakelight=${RAKELIGHT:-cargo run --release --quiet --}
years="--from 2027-01-01 --to 2027-12-31 --quiet --format ndjson"

# 1 is an answer too: none of these sites has a night.
scan() { $rakelight scan $years "$@" || [ $? -eq 1 ]; }

set -- demo-sites/*.toml
scan "$1" "$2" "$3" -o "$out/part-0.ndjson"
shift 3
scan "$@" -o "$out/part-1.ndjson"
scan demo-sites/*.toml -o "$out/whole.ndjson"
cat "$out/part-0.ndjson" "$out/part-1.ndjson" | cmp - "$out/whole.ndjson"
echo "two parts put together are the whole"
