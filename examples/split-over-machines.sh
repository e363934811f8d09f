#!/bin/sh
# The same scan split into parts that know nothing of each other, for many
# sites and many machines. Each part is one process over its own sites; parts
# put together in order are what one process would have written.
#
# With GNU parallel over the cores (or, with its --sshlogin, over hosts):
#   ls demo-sites/*.toml | parallel -k -N2 \
#     rakelight scan {} --from 2027-01-01 --to 2027-12-31 --quiet --format ndjson > all.ndjson
#
# As a Slurm array of 10 tasks, sites.txt holding one site file a line:
#   #SBATCH --array=0-9
#   sed -n "$((SLURM_ARRAY_TASK_ID + 1))~10p" sites.txt | xargs rakelight scan \
#     --from 2027-01-01 --to 2027-12-31 --quiet --format ndjson -o "part-$SLURM_ARRAY_TASK_ID.ndjson"
#
# Here, two parts on one machine with what every system has:
#   sh examples/split-over-machines.sh FOLDER
set -eu
cd "$(dirname "$0")/.."
out=${1:-.}
rakelight=${RAKELIGHT:-cargo run --release --quiet --}
years="--from 2027-01-01 --to 2027-12-31 --quiet --format ndjson"

set -- demo-sites/*.toml
$rakelight scan $years "$1" "$2" "$3" -o "$out/part-0.ndjson"
shift 3
$rakelight scan $years "$@" -o "$out/part-1.ndjson"
$rakelight scan $years demo-sites/*.toml -o "$out/whole.ndjson"
cat "$out/part-0.ndjson" "$out/part-1.ndjson" | cmp - "$out/whole.ndjson"
echo "two parts put together are the whole"
