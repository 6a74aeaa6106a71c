#!/bin/sh
# Make src/pitwright/bench/static/three.js again: three.js as one file, only what the bench uses of it.
# Needs node and npm. The versions are fixed, so that the same file comes out: compare with git diff.
set -eu
THREE=0.187.0
ESBUILD=0.28.2
here=$(cd "$(dirname "$0")/.." && pwd)
out="$here/src/pitwright/bench/static"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp "$here/tools/three_entry.js" "$work/entry.js"
cd "$work"
npm init -y >/dev/null
npm install --silent --no-audit --no-fund "three@$THREE" "esbuild@$ESBUILD"
./node_modules/.bin/esbuild entry.js --bundle --minify --format=esm --target=es2022 --legal-comments=none \
  --banner:js="/* three.js $THREE, MIT licence: see three.LICENSE.txt beside this file. Made by tools/bundle_three.sh. */" \
  --outfile=three.js --log-level=warning
cp three.js "$out/three.js"
cp node_modules/three/LICENSE "$out/three.LICENSE.txt"
wc -c "$out/three.js"
