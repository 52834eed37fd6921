#!/usr/bin/env bash
# Drives the real window as a painter would, on a screen of its own, and checks what the program says of itself and what it
# writes. Waits for what it logs, not for time to pass.
#   window.sh RUNNEL_VIEW TOP
set -euo pipefail
view=$1 top=$2
work=$(mktemp -d)
export XDG_STATE_HOME=$work/state XDG_CACHE_HOME=$work/cache LC_ALL=C.UTF-8 SDL_VIDEODRIVER=x11
unset WAYLAND_DISPLAY
program= screen=

tidy() {
    [ -z "$program" ] || kill -9 "$program" 2>/dev/null || true
    [ -z "$screen" ] || kill "$screen" 2>/dev/null || true
    rm -rf "$work"
}
trap tidy EXIT

fail() {
    echo "FAILED: $*"
    echo "the last lines it logged:"
    tail -n 5 "$work/log" 2>/dev/null || true
    cat "$work/said" 2>/dev/null || true
    exit 1
}

# wait_until COMMAND...: until it succeeds; gives up after ten minutes, which no machine takes.
wait_until() {
    for _ in $(seq 6000); do
        "$@" && return
        sleep 0.1
    done
    return 1
}

for needed in Xvfb xdotool; do
    command -v "$needed" >/dev/null || fail "$needed is not installed"
done

Xvfb -displayfd 3 -screen 0 1400x900x24 3>"$work/display" 2>/dev/null &
screen=$!
wait_until [ -s "$work/display" ] || fail "there is no screen"
DISPLAY=:$(cat "$work/display")
export DISPLAY

# start PLAN...: opens the window and waits for its first picture.
start() {
    : >"$work/log"
    # No desktop's dialog is asked: paths are typed.
    PATH=$work:/usr/bin:/bin "$view" "$@" --cells 64 --log "$work/log" >"$work/said" 2>&1 &
    program=$!
    wait_for '^page'
    window=$(xdotool search --sync --onlyvisible --pid "$program" | tail -n 1)
    xdotool windowmove "$window" 0 0
    xdotool windowfocus "$window" 2>/dev/null || true
    sleep 0.3
}

logged() {
    tail -n 1 "$work/log" 2>/dev/null | grep -Eq "$1" && return
    kill -0 "$program" 2>/dev/null || fail "the program ended while waiting for: $1"
    return 1
}

# wait_for PATTERN: until the last line logged matches.
wait_for() {
    wait_until logged "$1" || fail "never saw: $1"
}

# after_time SECONDS: whether the session shown is past that.
after_time() {
    awk -v t="$(value time)" -v than="$1" 'BEGIN { exit !(t > than) }'
}

bench_kept() {
    [ -n "$(find "$work/state" -name 'bench-*.yaml')" ]
}

ended() {
    ! kill -0 "$program" 2>/dev/null
}

value() {
    tail -n 1 "$work/log" | grep -oE "(^| )$1 [^ ]+" | sed "s/.* //"
}

key() {
    xdotool key --clearmodifiers "$@"
}

# drag X Y X Y: as a hand does, not in one jump.
drag() {
    xdotool mousemove "$1" "$2" sleep 0.1 mousedown 1 sleep 0.1
    for k in 1 2 3 4 5 6; do
        xdotool mousemove $(($1 + ($3 - $1) * k / 6)) $(($2 + ($4 - $2) * k / 6)) sleep 0.05
    done
    xdotool mouseup 1 sleep 0.1
}

# drag_slowly X Y X Y...: takes what is at the first place and moves on from place to place.
drag_slowly() {
    xdotool mousemove "$1" "$2" sleep 0.1 mousedown 1 sleep 0.1
    shift 2
    while [ $# -gt 1 ]; do
        xdotool mousemove "$1" "$2" sleep 0.2
        shift 2
    done
    sleep 1
    xdotool mouseup 1 sleep 0.1
}

# x_of SECONDS: where a time stands on the clock of a plan of 240 s, in a window of 1280 x 800.
x_of() {
    echo $((232 + $1 * 952 / 240))
}

step() {
    echo "- $*"
}

cp "$top/presets/tide-table.yaml" "$work/plan.yaml"
start "$work/plan.yaml"

step "the plan is worked out and its face shown"
wait_for 'complete 1 .*picture 1'
awk -v v="$(value run-off)" 'BEGIN { exit !(v > 15 && v < 45) }' || fail "run-off is $(value run-off) ml"

step "it plays and holds"
key space
wait_for 'playing 1'
wait_until after_time 2 || fail "time stands at $(value time)"
key space
wait_for 'playing 0'
after_time 2 || fail "time stands at $(value time)"

step "a press on the strip goes there; dragging the bubble tilts"
xdotool mousemove "$(x_of 150)" 622 sleep 0.1 click 1
wait_for 'time 1(49|50)\.'
drag 1167 152 1167 119
wait_for 'undo 1 changed 1'
key ctrl+s
wait_for 'changed 0 .*message Saved'
grep -Eq 'start: 1(49|50).*tilt: [34]' "$work/plan.yaml" || fail "the tilt is not in the file"

step "a block is dragged, and undone"
before=$(grep -c 'start: 110 s.*spin' "$work/plan.yaml")
drag "$(x_of 116)" 748 "$(x_of 136)" 748
wait_for 'undo 2 changed 1'
key ctrl+s
wait_for 'undo 2 changed 0'
[ "$before" = 1 ] && ! grep -q 'start: 110 s.*spin' "$work/plan.yaml" || fail "the spin did not move"
key ctrl+z
wait_for 'undo 1 changed 1'
key ctrl+s
wait_for 'undo 1 changed 0'
grep -q 'start: 110 s.*spin' "$work/plan.yaml" || fail "the spin did not come back"

step "an edit is worked out anew"
wait_for 'complete 1'

step "thin, usual and thick stand side by side"
key t
wait_for '^page 1 .*columns 3'

step "the window of plans is begun; a tile becomes the plan, and is undone"
key F6
wait_for '^page 2 .*tiles [1-9]'
undone=$(value undo)
key Left
key Up
key Return
wait_for "^page 2 .*undo $((undone + 1)) "
key ctrl+z
wait_for "^page 2 .*undo $undone "
key F6
wait_for '^page 0'

step "all keys are listed, then the usual cautions, and put away"
key F1
wait_for 'cover 1'
key F1
wait_for 'cover 8'
key Escape
wait_for 'cover 0'

step "leaving asks once"
key n
wait_for 'changed 1'
key Escape
key ctrl+q
wait_for 'cover 4'
key d
wait_until ended || fail "it does not leave"
wait "$program" || fail "it ended with $?"
program=
[ -z "$(find "$work/state" -name 'bench-*')" ] || fail "a bench was kept though it was left on purpose"

step "what was on the bench is there again after a crash"
start "$work/plan.yaml"
key n
wait_for 'changed 1'
wait_until bench_kept || fail "the bench was not kept"
kill -9 "$program"
wait "$program" 2>/dev/null || true
start
wait_for 'cover 7'
key Escape
wait_for 'cover 0 .*message It is kept'
[ -n "$(find "$work/state" -name 'bench-*.yaml')" ] || fail "Escape threw the bench away"
key ctrl+r
wait_for 'cover 7'
key Return
wait_for 'cover 0 .*changed 1'
key ctrl+s
wait_for 'changed 0'
[ "$(grep -c 'colour:' "$work/plan.yaml")" -eq 5 ] || fail "the new jar is lost"

key ctrl+q
wait "$program" || fail "it ended with $?"
program=

step "a hand on the ring turns the table in a rehearsal, and the bubble tilts it"
cat >"$work/hands.yaml" <<'PLAN'
plan: 1
panel: {size: 300 mm x 300 mm}
paints: {slate: {viscosity: 0.4 Pa s}}
base: [{paint: slate, depth: 0.4 mm}]
end: 60 s
PLAN
start "$work/hands.yaml"
wait_for 'complete 1'
key h
wait_for 'rehearsal 1'
# The knob, a quarter turn to the left about the ring's centre, while time runs.
drag_slowly 709 87 693 83 676 80 660 78 644 78 628 78 612 80 595 83 580 87 565 92 549 97
drag 1167 152 1167 119
sleep 1
key space
wait_for 'playing 0 .*rehearsal 0'
key ctrl+s
wait_for 'message Saved'
grep -Eq 'turn: [0-9.]+ rpm' "$work/hands.yaml" || fail "no turn was written: $(cat "$work/hands.yaml")"
grep -Eq 'tilt: [34][0-9.]* deg' "$work/hands.yaml" || fail "no tilt was written: $(cat "$work/hands.yaml")"
key ctrl+q
wait "$program" || fail "it ended with $?"
program=

step "a broken plan opens the mend page and leaves the bench alone"
sed 's/155 ml/155 mll/; s/9 deg/9 degg/' "$top/presets/tide-table.yaml" >"$work/broken.yaml"
start "$work/broken.yaml"
wait_for 'cover 2'
key Escape
wait_for 'cover 0'
key ctrl+q
wait "$program" || fail "it ended with $?"
program=
echo "All steps were taken."
