#!/usr/bin/env bash
# The pictures and the tables of forecasts in docs are what docs/make makes of the tree as it is.
#   docs.sh BUILD TREE PICTURES   (PICTURES: the program that compares pictures)
set -euo pipefail
build=$1 tree=$2 pictures=$3
made=$(mktemp -d)
trap 'rm -rf "$made"' EXIT
cd "$tree"
docs/make --build "$build" --into "$made"
status=0
for page in docs/*.md; do
    diff -u --label "$page" --label "as docs/make makes it" "$page" "$made/$(basename "$page")" || status=1
done
"$pictures" "$made/pictures" docs/pictures/*.png || status=1
for picture in "$made"/pictures/*.png; do
    [ -e "docs/pictures/$(basename "$picture")" ] || { echo "docs/pictures lacks $(basename "$picture")"; status=1; }
done
exit $status
