#!/bin/sh
# A map of a region: how many nights of a year have a low Moon from the side, how
# many are dark, at each point of a grid.
#
#   sh examples/map/map.sh [FOLDER]
#
# It writes FOLDER/grid.csv (the points) and FOLDER/nights.csv (a row a point).
# A general SQL engine joins the two, and a general plotting library draws them
# (draw.py, Python with what requirements.txt names):
#
#   python3 examples/map/draw.py FOLDER
#
# RAKELIGHT is the program, if it is not to be built; PARTS how many processes
# share the points (2); WEST, EAST, SOUTH, NORTH and STEP are the grid in degrees.
# Points a tenth of a degree apart hardly show more than those half a degree apart:
# nights a year change slowly over land (docs/performance.md).
#
# With GNU parallel the parts run on all cores (or, with --sshlogin, on hosts that
# have the points and the program), and the joblog tells which of them failed:
#   seq 8 | parallel --joblog jobs.txt rakelight scan grid.csv --part {}/8 ... -o part-{}.csv
# As a job array of 64 tasks of a batch system that counts them from 1 in TASK
# (tried with TASK set by hand, never on a cluster):
#   rakelight scan grid.csv --part "$TASK/64" ... --resume -o "part-$TASK.csv"
# A task that was stopped and is started again goes on where it was.
set -eu
cd "$(dirname "$0")/../.."
out=${1:-.}
rakelight=${RAKELIGHT:-cargo run --release --quiet --}
parts=${PARTS:-2}

# Where each point stands in the grid goes through the scan as columns of its own.
awk -v west="${WEST:--116}" -v east="${EAST:--104}" -v south="${SOUTH:-31}" \
    -v north="${NORTH:-42}" -v step="${STEP:-1}" 'BEGIN {
    print "name,latitude_deg,longitude_deg,time_zone,sky.towns,row,column"
    for (row = 0; south + row * step <= north; row++)
        for (column = 0; west + column * step <= east; column++)
            printf "%d/%d,%.4f,%.4f,UTC,false,%d,%d\n", row, column, \
                south + row * step, west + column * step, row, column
}' > "$out/grid.csv"

# Only counts are asked for: no best instant is looked for, for two thirds of
# the work. An empty part is no failure; 0 is a number on a map.
part() {
    $rakelight scan "$out/grid.csv" --part "$1/$parts" --light raking,dark --by site \
        --from 2027-01-01 --to 2027-12-31 --jobs 1 --quiet --empty-ok \
        --columns row,column,latitude_deg,longitude_deg,nights_raking,nights_dark \
        -o "$out/part-$1.csv"
}

running=""
number=1
while [ "$number" -le "$parts" ]; do
    part "$number" &
    running="$running $!"
    number=$((number + 1))
done
for job in $running; do
    wait "$job"
done

# The first part alone has the line of names.
number=1
while [ "$number" -le "$parts" ]; do
    cat "$out/part-$number.csv"
    number=$((number + 1))
done > "$out/nights.csv"
echo "$(($(wc -l < "$out/nights.csv") - 1)) points in $out/nights.csv"
