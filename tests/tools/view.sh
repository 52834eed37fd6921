#!/usr/bin/env bash
# The window program without a window: what it refuses, what it draws, how it ends.
#   view.sh RUNNEL_VIEW TOP BUILD CMAKE
set -euo pipefail
view=$1 top=$2 build=$3 cmake=$4
work=$(mktemp -d)
export XDG_STATE_HOME=$work/state XDG_CACHE_HOME=$work/cache LC_ALL=C.UTF-8
unset DISPLAY WAYLAND_DISPLAY
trap 'rm -rf "$work"' EXIT

fail() {
    echo "FAILED: $*"
    cat "$work/said" 2>/dev/null || true
    exit 1
}

# ends STATUS WORDS...: the program ends so.
ends() {
    local wanted=$1 status=0
    shift
    "$view" "$@" >"$work/said" 2>&1 || status=$?
    [ "$status" = "$wanted" ] || fail "runnel-view $* ends with $status, not $wanted"
}

# The plan is not written over, whatever it is called.
cp "$top/presets/small-study.yaml" "$work/plan.yaml"
ln -s plan.yaml "$work/link.png"
ln "$work/plan.yaml" "$work/second.png"
mkdir "$work/folder"
for option in --shot --log; do
    for name in plan.yaml ./plan.yaml folder/../plan.yaml link.png second.png; do
        ends 2 "$work/plan.yaml" "$option" "$work/$name"
        grep -q "the same file" "$work/said" || fail "it is not said why"
        cmp -s "$work/plan.yaml" "$top/presets/small-study.yaml" || fail "$option $name wrote over the plan"
    done
done
ends 2 "$work/link.png" --shot "$work/plan.yaml"

# Every option that it has stands on its manual page, and no other.
"$view" --help | grep -oE '^ +--[a-z-]+|, --[a-z-]+' | grep -oE -e '--[a-z-]+' | sort -u >"$work/has"
sed 's/\\-/-/g' "$top/docs/runnel-view.1" | grep -oE -e '--[a-z-]+' | sort -u >"$work/tells"
diff "$work/has" "$work/tells" || fail "docs/runnel-view.1 tells of other options than --help"

# Wherever it is installed it finds the plans that came with it, beside itself: an empty bench offers them. Without them
# the page is another.
"$view" --shot "$work/built.png" || fail "it draws no empty bench"
installed() {
    local root=$1 name=$2
    "$root/bin/runnel-view" --shot "$work/$name.png" || fail "installed in $name it draws no empty bench"
    cmp -s "$work/built.png" "$work/$name.png" || fail "installed in $name it offers no presets"
    ! grep -qa "$top/presets" "$root/bin/runnel-view" || fail "the builder's folder is in what is installed"
    ln -s "$root/bin/runnel-view" "$work/linked-$name" # as from a folder of the user's own
    "$work/linked-$name" --shot "$work/$name.png"
    cmp -s "$work/built.png" "$work/$name.png" || fail "called through a link it offers no presets"
    mv "$root/share/runnel/presets" "$root/share/runnel/gone"
    "$root/bin/runnel-view" --shot "$work/$name.png" || fail "without its presets it draws no empty bench"
    ! cmp -s "$work/built.png" "$work/$name.png" || fail "this test cannot see whether presets are offered"
}
for component in runtime viewer; do
    "$cmake" --install "$build" --component $component --prefix "$work/prefix" >/dev/null
    DESTDIR=$work/staged "$cmake" --install "$build" --component $component --prefix /usr >/dev/null
done
installed "$work/prefix" prefix
installed "$work/staged/usr" staged
