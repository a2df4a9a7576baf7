#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Puts figures of the benchmark side by side.
#
#   compare.sh OLD.csv NEW.csv   the last figures of each file
#   compare.sh FILE.csv          the last two runs in one file
#
# Ratios of two files from different machines say little; the ratios peer/ours in them can be compared.
set -euo pipefail

usage() { sed -n '3,8s/^# \{0,1\}//p' "$0"; }
case "${1-}" in
  -h | --help) usage; exit 0 ;;
  "") usage >&2; exit 2 ;;
esac
if (($# > 2)); then usage >&2; exit 2; fi
for file in "$@"; do
  [ -r "$file" ] || { echo "compare.sh: cannot read '$file'" >&2; exit 1; }
done

# Fields: date,commit,compiler,flags,figure,value,unit. A figure met again begins a new run.
awk -F, -v one_file="$(($# == 1))" '
  FNR == 1 { ++files; next }
  { old[$5] = new[$5]; new[$5] = $6; unit[$5] = $7 }
  files == 1 && !one_file { first[$5] = $6 }
  files == 2 { second[$5] = $6 }
  !($5 in seen) { seen[$5] = 1; order[++count] = $5 }
  END {
    printf "%-28s %12s %12s %9s  %s\n", "figure", "old", "new", "new/old", "unit"
    for (k = 1; k <= count; ++k) {
      f = order[k]
      a = one_file ? old[f] : first[f]
      b = one_file ? new[f] : second[f]
      if (a == "" || b == "") { printf "%-28s %12s %12s %9s  %s\n", f, a == "" ? "-" : a, b == "" ? "-" : b, "", unit[f]; continue }
      printf "%-28s %12s %12s %9.3f  %s\n", f, a, b, a != 0 ? b / a : 0, unit[f]
    }
  }' "$@"
