#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Runs a share of one test program of build/ in one process, or the page in a browser, and shows what it says only
# where something fails. Appends "PROGRAM PASSED FAILED" to COUNTS. For tests/run.sh.
#
#   tests/run_part.sh COUNTS PROGRAM SHARE SHARES      SHARE from 0
set -euo pipefail

counts=$1 program=$2 share=$3 shares=$4
cd "$(dirname "${BASH_SOURCE[0]}")/.."
log=$(mktemp)
trap 'rm -f "$log"' EXIT

number_of() { sed -nE "s/^\[  $1 +\] ([0-9]+) tests?.*/\1/p" "$log" | head -n 1; }

status=0
if [ "$program" = page ]; then
  ctest --test-dir build --label-regex page --output-on-failure --no-tests=error >"$log" 2>&1 || status=$?
  passed=$((status == 0))
  failed=$((status != 0))
else
  GTEST_SHARD_INDEX=$share GTEST_TOTAL_SHARDS=$shares timeout 900 "build/tests/${program}_tests" --gtest_brief=1 \
    >"$log" 2>&1 || status=$?
  passed=$(number_of PASSED)
  failed=$(number_of FAILED)
fi
skipped=$(number_of SKIPPED)
if ((status != 0)); then
  cat "$log" >&2
  failed=${failed:-1}  # what breaks off in the middle says no number
fi
echo "$program ${passed:-0} ${failed:-0}" >>"$counts"
echo "  $program, share $((share + 1)) of $shares: ${passed:-0} passed, ${failed:-0} failed${skipped:+, $skipped skipped}"
