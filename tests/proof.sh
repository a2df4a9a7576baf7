#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Evidence that takes longer than a change may wait for; each ends in one line that says what was found.
#
#   tests/proof.sh days       100 000 random days, lids open, and as many closed: each has an answer
#   tests/proof.sh bits       built without and with all optimisation, the examples answer alike, bit for bit
#   tests/proof.sh memory     the examples under valgrind: no wrong access, nothing lost
#   tests/proof.sh coverage   lines of graph/ and solver/ that the tests reach
#   tests/proof.sh clang      builds with clang++ too, warnings as errors, and passes the tests there
#   tests/proof.sh threads    the studies on several threads under the thread sanitizer
#   tests/proof.sh fuzz [S]   S seconds (60) each of libFuzzer on plans and on quantities
#   tests/proof.sh all        all of them, one after the other
#
# Builds in folders of their own beside build/; about an hour for all on two cores.
set -euo pipefail

usage() { sed -n '3,14s/^# \{0,1\}//p' "$0"; }

cd "$(dirname "${BASH_SOURCE[0]}")/.."
launcher=()
if command -v ccache >/dev/null; then launcher=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache); fi

# build FOLDER "TARGET ..." SETTING...: quiet unless it fails.
build() {
  local folder=$1 targets=$2 log
  shift 2
  log=$(mktemp)
  # shellcheck disable=SC2086  # several targets
  if ! { cmake -S . -B "$folder" -G Ninja -DBUILD_TESTING=ON "${launcher[@]}" "$@" &&
         cmake --build "$folder" --target $targets; } >"$log" 2>&1; then
    tail -n 40 "$log" >&2
    echo "proof.sh: $folder could not be built" >&2
    return 1
  fi
  rm -f "$log"
}

plans() { git ls-files 'examples/*.toml'; }

need() {
  local program
  for program in "$@"; do
    if ! command -v "$program" >/dev/null; then
      echo "proof.sh: needs $program" >&2
      return 1
    fi
  done
}

days() {
  build build properties_tests -DBUILD_FOR=release
  local many=${PROOF_DAYS:-100000}
  RC_PARAMS="max_success=$many" build/tests/properties_tests --gtest_brief=1 \
    --gtest_filter='Days.*' >/dev/null
  echo "days: $many random days each with open lids and with closed ones all have an answer"
}

bits() {
  local plan command slow fast compared=0
  build build-o0 tankyard -DBUILD_FOR=debug
  build build-o3 tankyard -DBUILD_FOR=release -DCMAKE_CXX_FLAGS=-O3
  while read -r plan; do
    for command in "run $plan --json" "check $plan --json"; do
      # shellcheck disable=SC2086  # a command and its words
      slow=$(build-o0/tankyard $command --quiet | sha256sum) || true
      # shellcheck disable=SC2086
      fast=$(build-o3/tankyard $command --quiet | sha256sum) || true
      if [ "$slow" != "$fast" ]; then
        echo "proof.sh: -O0 and -O3 answer \`$command\` differently" >&2
        return 1
      fi
      compared=$((compared + 1))
    done
  done < <(plans)
  echo "bits: $compared answers are the same, bit for bit, at -O0 and -O3"
}

memory() {
  need valgrind
  build build tankyard -DBUILD_FOR=release
  local plan command status watched=0
  while read -r plan; do
    for command in "run $plan" "check $plan" "draw $plan"; do
      status=0
      # shellcheck disable=SC2086
      valgrind --quiet --error-exitcode=99 --leak-check=full --errors-for-leak-kinds=definite,indirect \
        build/tankyard $command --quiet >/dev/null || status=$?
      if ((status > 1)); then
        echo "proof.sh: \`$command\` ended in $status under valgrind" >&2
        return 1
      fi
      watched=$((watched + 1))
    done
  done < <(plans)
  echo "memory: $watched answers under valgrind, no wrong access, nothing lost"
}

coverage() {
  need gcovr
  build build-coverage all -DBUILD_FOR=debug -DCMAKE_CXX_FLAGS=--coverage \
    -DCMAKE_EXE_LINKER_FLAGS=--coverage
  find build-coverage -name '*.gcda' -delete
  RC_PARAMS="max_success=20 seed=20261125" ctest --test-dir build-coverage -j2 >/dev/null
  gcovr --root . --object-directory build-coverage --filter 'graph/' --filter 'solver/' \
    --exclude-unreachable-branches --exclude-throw-branches --txt build-coverage/lines.txt \
    --print-summary 2>/dev/null | grep '^lines' | sed 's/^/coverage: graph and solver, /'
  echo "coverage: by file in build-coverage/lines.txt"
}

clang() {
  need clang++
  build build-clang all -DBUILD_FOR=release -DCMAKE_CXX_COMPILER=clang++ -DWARNINGS_ARE_ERRORS=ON
  RC_PARAMS="max_success=100 seed=20261125" ctest --test-dir build-clang -j2 >/dev/null
  echo "clang: builds with clang++ without a warning, and every test passes there"
}

threads() {
  build build-tsan "solver_tests" -DBUILD_FOR=tsan
  local chosen='TryEach.*:*OneThread*' log many
  log=$(mktemp)
  build-tsan/tests/solver_tests --gtest_filter="$chosen" >"$log" 2>&1 || { cat "$log" >&2; return 1; }
  many=$(sed -n 's/^\[  PASSED  \] \([0-9]*\) tests\{0,1\}\.$/\1/p' "$log")
  if [[ -z "$many" || "$many" = 0 ]]; then echo "proof.sh: no test is named like $chosen" >&2; return 1; fi
  rm -f "$log"
  echo "threads: $many tests on several threads, nothing found by the thread sanitizer"
}

fuzz() {
  need clang++
  local seconds=${1:-60} what seeds
  build build-fuzz "fuzz_plan fuzz_quantity" -DBUILD_FOR=fuzz -DCMAKE_CXX_COMPILER=clang++
  seeds=build-fuzz/seeds
  mkdir -p "$seeds"
  cp examples/*.toml tests/io/bad_plans/*.toml "$seeds"
  for what in plan quantity; do
    mkdir -p "build-fuzz/found-$what"
    build-fuzz/tests/fuzz_$what -max_total_time="$seconds" -max_len=20000 -timeout=20 -rss_limit_mb=2048 \
      -print_final_stats=1 "build-fuzz/found-$what" "$seeds" 2>build-fuzz/fuzz_$what.log || {
      tail -n 30 build-fuzz/fuzz_$what.log >&2
      return 1
    }
    sed -n "s/^stat::number_of_executed_units: */fuzz: $what, $seconds s, texts tried: /p" \
      build-fuzz/fuzz_$what.log
  done
}

case "${1-}" in
  days | bits | memory | coverage | clang | threads) "$1" ;;
  fuzz) fuzz "${2:-60}" ;;
  all) for each in days bits memory coverage clang threads fuzz; do "$each"; done ;;
  -h | --help) usage ;;
  *) usage >&2; exit 2 ;;
esac
