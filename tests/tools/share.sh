#!/usr/bin/env bash
# Runs the recipes of docs/sharing.md as they stand there, on fewer draws: over GNU parallel, with a stand-in for ssh whose
# hosts are folders, and as a job array, its variables set by hand. What is gathered must be what one machine tells.
#   share.sh RUNNEL TOP
set -euo pipefail
runnel=$1 top=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export XDG_CACHE_HOME=$work/cache LC_ALL=C.UTF-8
PATH=$(dirname "$runnel"):$PATH
small='--draws 12 --coarse 64 --grid 64'

fail() {
    echo "FAILED: $*"
    cat "$work/said" 2>/dev/null || true
    exit 1
}

# block NUMBER FILE: the shell block of that number on the page, its draws made few.
block() {
    awk -v wanted="$1" '/^```sh$/ {n++; inside = n == wanted; next} /^```$/ {inside = 0} inside' "$top/docs/sharing.md" |
        sed "s/--draws 400/$small/" >"$2"
    grep -q . "$2" || fail "docs/sharing.md has no block $1"
}

# The report without the line that says how long it took.
told() {
    grep -v '"seconds"' "$1"
}

mkdir "$work/parallel" "$work/array"
cat >"$work/plan.yaml" <<'PLAN'
plan: 1
title: a small pool
panel: {size: 100 mm x 100 mm}
paints: {brine: {viscosity: 0.1 Pa s, colour: '#335577'}}
pours: [{stack: [brine 12 ml], across: 40 mm, width: 8 mm, open: 2 s}]
moves: [{start: 3 s, for: 4 s, tilt: 3 deg, toward: back}]
end: 9 s
PLAN
# shellcheck disable=SC2086
"$runnel" odds "$work/plan.yaml" $small --json --csv "$work/alone.csv" >"$work/alone.json" 2>"$work/said" ||
    fail "the odds are not told"
rm -rf "$XDG_CACHE_HOME" # so that each share is worked

# ---- GNU parallel ----
cat >"$work/ssh" <<HERE
#!/bin/sh
# ssh [OPTION...] HOST COMMAND...: the host is a folder. As sshd does, it sets HOME and SHELL, which parallel runs jobs with.
while :; do
    case \$1 in
    -l | -p | -o | -S | -i) shift 2 ;;
    -*) shift ;;
    *) break ;;
    esac
done
HOME=$work/host-\$1 SHELL=/bin/sh
export HOME SHELL
shift
[ "\$1" = -- ] && shift
mkdir -p "\$HOME"
cd "\$HOME" || exit 1
exec sh -c "\$*"
HERE
chmod +x "$work/ssh"
command -v parallel >/dev/null || fail "GNU parallel is not installed"
cp "$work/plan.yaml" "$work/parallel"
block 1 "$work/parallel.sh"
(cd "$work/parallel" && PARALLEL_SSH=$work/ssh PARALLEL_HOME=$work/settings sh "$work/parallel.sh") \
    >"$work/said" 2>&1 || fail "the recipe for GNU parallel fails"
[ -d "$work/host-one" ] && [ -d "$work/host-two" ] || fail "not both hosts have worked"
"$runnel" gather "$work"/parallel/*.piece --json --csv "$work/parallel.csv" >"$work/parallel.json"
cmp "$work/alone.csv" "$work/parallel.csv" || fail "draws gathered over parallel are not those of one machine"
diff <(told "$work/alone.json") <(told "$work/parallel.json") || fail "the same of the report"

# ---- a job array ----
cp "$work/plan.yaml" "$work/array"
block 2 "$work/job.sh"
rm -rf "$XDG_CACHE_HOME"
for task in 1 2 3 4 5 6 7 8; do
    (cd "$work/array" && SLURM_ARRAY_TASK_ID=$task SLURM_ARRAY_TASK_COUNT=8 SLURM_ARRAY_TASK_MIN=1 \
        SLURM_ARRAY_TASK_STEP=1 SLURM_CPUS_PER_TASK=1 sh "$work/job.sh") >"$work/said" 2>&1 || fail "task $task fails"
done
block 3 "$work/gather.sh"
(cd "$work/array" && sh "$work/gather.sh") >"$work/said" 2>&1 || fail "the array is not gathered"
[ -s "$work/array/odds.pdf" ] || fail "no picture is drawn"
"$runnel" gather "$work"/array/*.piece --json --csv "$work/array.csv" >"$work/array.json"
cmp "$work/alone.csv" "$work/array.csv" || fail "draws gathered from the array are not those of one machine"
diff <(told "$work/alone.json") <(told "$work/array.json") || fail "the same of the report"
echo "both recipes tell what one machine tells"
