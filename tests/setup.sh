#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Installs what is missing on a Debian 12 machine, and nothing when nothing is missing.
#
#   tests/setup.sh tool    what the tool itself is built from
#   tests/setup.sh         that, and what the tests need
#   tests/setup.sh ci      that, and what .ci/run needs
#   tests/setup.sh bench   what the tests, the benchmark and its comparison need
#   tests/setup.sh proof   what the tests and tests/proof.sh need
set -euo pipefail

tool=(g++ cmake ninja-build libspdlog-dev libfmt-dev libcli11-dev libtomlplusplus-dev
      nlohmann-json3-dev libexpected-dev libboost-dev)
tests=(git clang-format libgtest-dev libgmock-dev librapidcheck-dev python3-networkx
       libsundials-dev libsuitesparse-dev chromium zsh fish groff-base man-db
       dpkg-dev)
ci=(clang clang-tidy shellcheck ccache)
bench=(libbenchmark-dev)
proof=("${ci[@]}" libclang-rt-14-dev valgrind gcovr)

usage() { sed -n '3,9s/^# \{0,1\}//p' "$0"; }

# npm fetches the plotting library of the pages; any that is there will do.
if ! command -v npm >/dev/null; then tool+=(nodejs npm); fi

case "${1-}" in
  tool) wanted=("${tool[@]}") ;;
  "") wanted=("${tool[@]}" "${tests[@]}") ;;
  ci) wanted=("${tool[@]}" "${tests[@]}" "${ci[@]}") ;;
  proof) wanted=("${tool[@]}" "${tests[@]}" "${proof[@]}") ;;
  bench) wanted=("${tool[@]}" "${tests[@]}" "${bench[@]}") ;;
  -h | --help) usage; exit 0 ;;
  *) echo "setup.sh: does not know '$1'" >&2; usage >&2; exit 2 ;;
esac
if (($# > 1)); then
  echo "setup.sh: takes one word at most, got $#" >&2
  usage >&2
  exit 2
fi

missing=()
find_missing() {
  missing=()
  local package
  for package in "${wanted[@]}"; do
    # shellcheck disable=SC2016  # dpkg-query fills this in, not the shell
    if [ "$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null)" != installed ]; then
      missing+=("$package")
    fi
  done
}

if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
  echo "setup.sh: made for Debian 12, and this machine has no apt-get." >&2
  echo "Install the like of these by hand, then build as in tests/run.sh:" >&2
  echo "  ${wanted[*]}" >&2
  exit 1
fi

find_missing
if ((${#missing[@]} == 0)); then exit 0; fi

as_root=()
if [ "$(id -u)" != 0 ]; then
  if ! command -v sudo >/dev/null; then
    echo "setup.sh: packages are missing, and installing them takes root; there is no sudo here." >&2
    echo "Run this as root, then start again:" >&2
    echo "  apt-get update && apt-get install -y --no-install-recommends ${missing[*]}" >&2
    exit 1
  fi
  as_root=(sudo)
fi

# Two set-ups at once take turns; whoever comes second may find the work done.
exec 9>"${TMPDIR:-/tmp}/tankyard-setup-$(id -u).lock"
if command -v flock >/dev/null; then flock -w 900 9 || { echo "setup.sh: another set-up has held on for 15 minutes" >&2; exit 1; }; fi
find_missing
if ((${#missing[@]} == 0)); then exit 0; fi

echo "setup.sh: installing ${missing[*]}"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
apt() {
  "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -o DPkg::Lock::Timeout=300 "$@" \
    >>"$log" 2>&1
}
# The list of packages has a lock of its own that apt-get does not wait for.
updated=no
for try in 1 2 3 4 5 6; do
  if apt update; then updated=yes; break; fi
  grep -q 'Could not get lock' "$log" || break
  sleep $((5 * try))
done
if ! apt install -y --no-install-recommends "${missing[@]}"; then
  tail -n 30 "$log" >&2
  [ "$updated" = yes ] || echo "setup.sh: the list of packages could not be renewed either" >&2
  echo "setup.sh: could not install ${missing[*]}" >&2
  exit 1
fi
find_missing
if ((${#missing[@]} != 0)); then
  echo "setup.sh: apt-get said yes, but these are still missing: ${missing[*]}" >&2
  exit 1
fi
