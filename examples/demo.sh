#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# From a fresh clone to the first answers: builds the tool alone into build-demo/ and asks it about
# Larch Hill, a yard of linked tanks.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

if (($# > 0)); then
  sed -n '3,4s/^# \{0,1\}//p' "$0"
  if [[ "$1" = -h || "$1" = --help ]]; then exit 0; fi
  echo "demo.sh: takes no options, got '$1'" >&2
  exit 2
fi

tests/setup.sh tool

mkdir -p build-demo
exec 8>build-demo/.taken
if command -v flock >/dev/null; then flock 8; fi

log=$(mktemp)
trap 'rm -f "$log"' EXIT
settings=(-DBUILD_FOR=release -DBUILD_TESTING=OFF)
if command -v ccache >/dev/null; then settings+=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache); fi
echo "building tankyard (the first time takes some minutes)"
if ! { cmake -S . -B build-demo -G Ninja "${settings[@]}" && cmake --build build-demo; } \
    >"$log" 2>&1; then
  tail -n 60 "$log" >&2
  echo "demo.sh: the build failed" >&2
  exit 1
fi

# The tool answers with 0: no danger found, 1: there is a danger in the yard; both are answers.
ask() {
  local status=0
  printf '\n$ tankyard %s\n' "$*"
  build-demo/tankyard "$@" || status=$?
  case "$status" in
    0) printf '\n[exit status 0: answered, no danger found]\n' ;;
    1) printf '\n[exit status 1: answered, and there is a danger in this yard]\n' ;;
    *)
      echo "demo.sh: tankyard $* could not answer: exit status $status" >&2
      exit 1
      ;;
  esac
}

ask check examples/larch-hill.toml
ask run examples/larch-hill.toml
