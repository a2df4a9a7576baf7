#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Builds everything into build/ and runs every test. The tiers differ in how many cases a random test draws, in how
# many yards the physics are written a second time for, and in how many pages a browser is shown.
#
#   tests/run.sh          quick: 10 cases, the same every time; 5 yards, one page; not the install; some processes for all
#   tests/run.sh --full   100 cases, the same every time; 60 yards or so, every page; what .ci/run asks for
#   tests/run.sh --long   10 000 cases, new ones every time, 300 yards, every page, then the benchmark
#   tests/run.sh --build  builds, and runs no test
#
# Installs what is missing first (tests/setup.sh). With CI=true a warning stops the build.
set -euo pipefail

usage() { sed -n '3,11s/^# \{0,1\}//p' "$0"; }

tier=quick
for word in "$@"; do
  case "$word" in
    --full) tier=full ;;
    --long) tier=long ;;
    --build) tier=build ;;
    -h | --help) usage; exit 0 ;;
    *) echo "run.sh: does not know '$word'" >&2; usage >&2; exit 2 ;;
  esac
done

cd "$(dirname "${BASH_SOURCE[0]}")/.."
if [ "$tier" = long ]; then tests/setup.sh bench; else tests/setup.sh; fi

mkdir -p build
exec 8>build/.taken
if command -v flock >/dev/null && ! flock -n 8; then
  echo "run.sh: another run is using build/; waiting for it"
  flock 8
fi

strict=OFF
if [ "${CI-}" = true ]; then strict=ON; fi
settings=(-DBUILD_FOR=release -DBUILD_TESTING=ON "-DWARNINGS_ARE_ERRORS=$strict")
if command -v ccache >/dev/null; then settings+=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache); fi

# A step's own words are shown only when it fails.
quietly() {
  local log
  log=$(mktemp)
  if ! "$@" >"$log" 2>&1; then
    cat "$log" >&2
    rm -f "$log"
    echo "run.sh: failed: $*" >&2
    exit 1
  fi
  rm -f "$log"
}

quietly cmake -S . -B build -G Ninja "${settings[@]}"
echo "run.sh: building (the first time takes some minutes)"
if ! cmake --build build; then
  echo "run.sh: the build failed; no test was run" >&2
  exit 1
fi
built_s=$SECONDS
if [ "$tier" = build ]; then
  echo "built in $built_s s; no test was run"
  exit 0
fi

if ! tests/fetch_rain.sh >/dev/null; then
  echo "run.sh: no rain record; the tests that need it are skipped (CI=true: fail)"
fi

# The same random cases every time, so that red means a change; the long tier draws new ones.
case "$tier" in
  quick) draw="max_success=10 seed=20261125" ;;
  full) draw="max_success=100 seed=20261125" ;;
  long) draw="max_success=10000" ;;
esac
export RC_PARAMS="${RC_PARAMS:-$draw}"
case "$tier" in
  quick) export PEERS_YARDS="${PEERS_YARDS:-5}" SHOWN_PAGES="${SHOWN_PAGES:-demo}" ;;
  long) export PEERS_YARDS="${PEERS_YARDS:-300}" ;;
esac
echo "run.sh: random cases: $RC_PARAMS${PEERS_YARDS:+; $PEERS_YARDS yards a second reading}${SHOWN_PAGES:+; in the browser: $SHOWN_PAGES}"

# A process a test, so that one that breaks off or hangs costs itself alone.
tested_one_by_one() {
  local answers summary status=0
  answers=$(mktemp)
  ctest --test-dir build --output-on-failure --no-tests=error -j2 2>&1 | tee "$answers" || status=$?
  summary=$(grep -E '[0-9]+ tests? failed out of [0-9]+' "$answers" | tail -n 1 || true)
  rm -f "$answers"
  failed=$(sed -E 's/.* ([0-9]+) tests? failed out of ([0-9]+).*/\1/' <<<"$summary")
  total=$(sed -E 's/.* ([0-9]+) tests? failed out of ([0-9]+).*/\2/' <<<"$summary")
  return "$status"
}

# Some processes for all of them: starting one for each test takes a fourth of the time.
tested_by_program() {
  local counts
  counts=$(mktemp)
  printf '%s\n' "page 0 1" "io "{0,1}" 2" "peers "{0,1}" 2" {solver,graph,properties,fuzz,published}" 0 1" |
    xargs -P 3 -L 1 tests/run_part.sh "$counts"
  failed=$(awk '{ n += $3 } END { print n }' "$counts")
  total=$(awk '{ n += $2 + $3 } END { print n }' "$counts")
  rm -f "$counts"
  ((failed == 0))
}

status=0
if [ "$tier" = quick ]; then tested_by_program || status=$?; else tested_one_by_one || status=$?; fi

# One process a test is what ctest wants, and one table is what a reader wants.
if [ -x build/tests/published_tests ]; then
  echo
  build/tests/published_tests --gtest_brief=1 || status=$?
fi

echo
if [ "$tier" = long ]; then
  if cmake --build build --target help | grep -q '^run_bench:'; then
    cmake --build build --target run_bench || status=$?
  else
    echo "run.sh: no benchmark in this checkout"
  fi
elif [ "$tier" = full ]; then
  echo "Left to tests/run.sh --long: random tests at 10 000 cases each, 300 yards, and the benchmark."
else
  echo "Left to tests/run.sh --full: random tests at 100 cases each, more yards for the second reading, every page in the"
  echo "browser, and the install; to --long: 10 000 cases, and the benchmark."
fi

if [[ ! "$failed" =~ ^[0-9]+$ || ! "$total" =~ ^[0-9]+$ ]]; then
  echo "run.sh: the tests were not run to their end" >&2
  exit 1
fi
echo "$tier tier: built in $built_s s, tested in $((SECONDS - built_s)) s"
echo "$((total - failed)) passed, $failed failed"
exit "$status"
