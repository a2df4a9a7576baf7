#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Evidence that takes longer than a change may wait for; each ends in one line that says what was found.
#
#   tests/proof.sh days       100 000 random days (PROOF_DAYS=N), lids open, as many closed, and both with pumps: how many
#                             have no answer (PROOF_SEED=N draws the same ones again)
#   tests/proof.sh bits       built without optimisation, each file alone, and with all of it, a dozen files at a time,
#                             the examples answer alike, bit for bit
#   tests/proof.sh memory     the examples under valgrind: no wrong access, nothing lost
#   tests/proof.sh coverage   lines of graph/ and solver/ that the tests reach: 95 % at least
#   tests/proof.sh clang      builds with clang++ too, each file alone, warnings as errors, and passes the tests there
#   tests/proof.sh tidy [F]   clang-tidy over folder F, or all of graph/, solver/ and io/
#   tests/proof.sh threads    the studies on four threads under the thread sanitizer
#   tests/proof.sh fuzz [S]   S seconds (60) each of libFuzzer on plans, on rain records and on quantities
#   tests/proof.sh all        all of them, one after the other
#
# Installs what is missing first (tests/setup.sh proof). Builds in folders of their own beside build/;
# some hours for all on two cores.
set -euo pipefail

usage() { sed -n '3,19s/^# \{0,1\}//p' "$0"; }

cd "$(dirname "${BASH_SOURCE[0]}")/.."
jobs=${PROOF_JOBS:-2}
launcher=()
if command -v ccache >/dev/null; then launcher=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache); fi

# What a step says is shown only if it fails, its end at least.
quietly() {
  local log
  log=$(mktemp)
  if ! "$@" >"$log" 2>&1; then
    tail -n 60 "$log" >&2
    rm -f "$log"
    echo "proof.sh: failed: $*" >&2
    return 1
  fi
  rm -f "$log"
}

# build FOLDER "TARGET ..." SETTING...
build() {
  local folder=$1 targets=$2
  shift 2
  quietly cmake -S . -B "$folder" -G Ninja -DBUILD_TESTING=ON "${launcher[@]}" "$@"
  # shellcheck disable=SC2086  # several targets
  quietly cmake --build "$folder" -j "$jobs" --target $targets
}

plans() { git ls-files 'examples/*.toml'; }

days() {
  build build properties_tests -DBUILD_FOR=release
  local many=${PROOF_DAYS:-100000} seed=${PROOF_SEED:+ seed=$PROOF_SEED} log kind test refused
  log=$(mktemp)
  for kind in "open lids:Days.AllHaveAnAnswer" "closed lids:Days.WithClosedLidsAllHaveAnAnswer" \
    "pumps and open lids:PumpedDays.AllHaveAnAnswer" \
    "pumps and closed lids:PumpedDays.WithClosedLidsAllHaveAnAnswer"; do
    test=${kind#*:}
    if ! COUNT_REFUSALS=1 RC_PARAMS="max_success=$many$seed" build/tests/properties_tests \
      --gtest_filter="$test" >"$log" 2>&1; then
      tail -n 40 "$log" >&2
      return 1
    fi
    # A test that is not there, or draws fewer, is no evidence.
    if ! grep -q '^\[  PASSED  \] 1 test' "$log" || ! grep -q "max_success=$many " "$log"; then
      echo "proof.sh: not $many days were drawn" >&2
      return 1
    fi
    refused=$(grep -c '^refused: ' "$log" || true)
    echo "days: $many random days with ${kind%%:*}, $refused refused in words, the rest answered to their end"
    sed -n 's/^refused: /  /p' "$log"
  done
  rm -f "$log"
}

# What the two builds answer, and how they end, of every example.
bits() {
  local plan command one other compared=0
  build build-o0 tankyard -DBUILD_FOR=debug -DCMAKE_UNITY_BUILD=OFF
  build build-o3 tankyard -DBUILD_FOR=o3 -DCMAKE_UNITY_BUILD=ON
  while read -r plan; do
    for command in "run $plan --json" "check $plan --json" "vent $plan --json" "faults $plan --json" \
      "isolate $plan --all --json" "draw $plan"; do
      one=$(answer_of build-o0 "$command")
      other=$(answer_of build-o3 "$command")
      if [ "$one" != "$other" ]; then
        echo "proof.sh: -O0 and -O3 answer \`$command\` differently" >&2
        return 1
      fi
      compared=$((compared + 1))
    done
  done < <(plans)
  echo "bits: $compared answers are the same, bit for bit, at -O0 and -O3"
}

# answer_of BUILD "COMMAND ..." [BEFORE ...]: SHA-256 and exit status. A status over 1 is no answer.
answer_of() {
  local build=$1 words=$2 status=0 text
  shift 2
  text=$(mktemp)
  # shellcheck disable=SC2086  # a command and its words
  "$@" "$build/tankyard" $words --quiet >"$text" || status=$?
  if ((status > 1)) || ! [ -s "$text" ]; then
    echo "proof.sh: $build/tankyard $words gave no answer (status $status)" >&2
    return 1
  fi
  echo "$status $(sha256sum <"$text")"
  rm -f "$text"
}

memory() {
  build build tankyard -DBUILD_FOR=release
  local plan command status log watched=0
  log=$(mktemp)
  while read -r plan; do
    for command in "run $plan" "run $plan --json" "check $plan" "check $plan --json" "draw $plan" "vent $plan"; do
      status=0
      # shellcheck disable=SC2086
      valgrind --quiet --error-exitcode=99 --leak-check=full --errors-for-leak-kinds=definite,indirect \
        build/tankyard $command --quiet >/dev/null 2>"$log" || status=$?
      if ((status > 1)); then
        tail -n 40 "$log" >&2
        echo "proof.sh: \`$command\` ended in $status under valgrind" >&2
        return 1
      fi
      watched=$((watched + 1))
    done
  done < <(plans)
  rm -f "$log"
  echo "memory: $watched answers under valgrind, no wrong access, nothing lost"
}

coverage() {
  local tests="graph_tests solver_tests properties_tests published_tests peers_tests io_tests" each percent
  build build-coverage "tankyard $tests" -DBUILD_FOR=coverage -DWARNINGS_ARE_ERRORS=ON
  find build-coverage -name '*.gcda' -delete
  for each in $tests; do
    RC_PARAMS="max_success=20 seed=20261125" quietly "build-coverage/tests/$each" --gtest_brief=1
  done
  # What gcov cannot say of a line is left out of what is reached.
  gcovr --root . --object-directory build-coverage --gcov-ignore-parse-errors --filter 'graph/' --filter 'solver/' \
    --txt build-coverage/lines.txt --csv build-coverage/lines.csv --print-summary build-coverage \
    >build-coverage/summary.txt 2>build-coverage/gcovr.log
  percent=$(sed -n 's/^lines: \([0-9.]*\)%.*/\1/p' build-coverage/summary.txt)
  echo "coverage: the tests reach $percent % of the lines of graph/ and solver/; by file in build-coverage/lines.txt"
  if ! awk -v p="$percent" 'BEGIN { exit !(p >= 95.0) }'; then
    echo "proof.sh: less than 95 %" >&2
    return 1
  fi
}

clang() {
  build build-clang all -DBUILD_FOR=release -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_UNITY_BUILD=OFF \
    -DWARNINGS_ARE_ERRORS=ON
  export RC_PARAMS="max_success=20 seed=20261125"
  quietly ctest --test-dir build-clang --output-on-failure -j "$jobs"
  echo "clang: builds with clang++ without a warning, and every test passes there"
}

# tidy [FOLDER ...]: as they are compiled, those below included.
tidy() {
  local folders=("$@") files log
  if ((${#folders[@]} == 0)); then folders=(graph solver io); fi
  mapfile -t files < <(git ls-files "${folders[@]/%//*.cpp}")
  quietly cmake -S . -B build-clang -G Ninja -DBUILD_TESTING=OFF -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_UNITY_BUILD=OFF
  log=$(mktemp)
  if ! run-clang-tidy -quiet -p build-clang -j "$jobs" "${files[@]/#/$PWD/}" >"$log" 2>/dev/null; then
    grep -E 'warning:|error:' "$log" | sort -u >&2
    return 1
  fi
  rm -f "$log"
  echo "tidy: clang-tidy finds nothing in ${#files[@]} files of ${folders[*]/%//}"
}

# The tool as its users start it, every study that tries many yards at once: on several threads, under
# the thread sanitizer, it answers what it answers on one, and no two threads touch one thing at once.
threads() {
  build build tankyard -DBUILD_FOR=release
  build build-tsan "tankyard threads_tests" -DBUILD_FOR=tsan
  if ! grep -q __tsan_init build-tsan/tankyard; then
    echo "proof.sh: build-tsan/tankyard is not watched" >&2
    return 1
  fi
  export TSAN_OPTIONS=exitcode=66
  RC_PARAMS="max_success=100 seed=20261125" quietly build-tsan/tests/threads_tests --gtest_brief=1
  local folder plan one many answers=0 days_of_rain=40 k
  folder=$(mktemp -d)
  {
    echo date,rain_mm
    for ((k = 0; k < days_of_rain; ++k)); do date -u -d "2020-05-01 + $k days" "+%F,$((k * 7 % 23))"; done
  } >"$folder/rain.csv"
  few_ways >"$folder/few-ways.toml"
  local studies=()
  while read -r plan; do studies+=("faults $plan --no-pairs --json" "isolate $plan --all --json"); done < <(plans)
  studies+=("season examples/larch-hill.toml --rain $folder/rain.csv --json" "link $folder/few-ways.toml new --json")
  for k in "${!studies[@]}"; do
    one=$(answer_on 1 build "${studies[k]}")
    many=$(answer_on 4 build-tsan "${studies[k]}")
    if [ "$one" != "$many" ]; then
      echo "proof.sh: \`${studies[k]}\` answers differently on several threads" >&2
      return 1
    fi
    answers=$((answers + 1))
  done
  rm -rf "$folder"
  echo "threads: $answers studies on several threads answer as on one, and the thread sanitizer found nothing"
}

# A tank to be joined to two others, and two hoses on offer.
few_ways() {
  local name
  for name in one two new; do
    printf '[[tank]]\nname = "%s"\nwater = "0.2 m"\noutlet_height = "30 mm"\n' "$name"
    printf 'shape = { prism = { area = "1 m2", height = "1 m" } }\n'
  done
  printf '[[hose]]\nfrom = "one"\nto = "two"\nbore = "25 mm"\nlength = "3 m"\nvalve = "V1"\n'
  printf '[[outlet]]\nname = "tap"\nat = "one"\ndraw = "10 L/min"\n'
  printf '[[roof]]\nname = "shed"\narea = "30 m2"\ninto = "two"\n'
  printf '[[step]]\nat = "06:00"\nopen = ["tap"]\nrain = "5 mm/h"\n'
  printf '[stock]\nhoses = [{ bore = "19 mm", price = 1.9 }, { bore = "32 mm", price = 4.2 }]\n'
}

# answer_on THREADS BUILD "STUDY ...": with one thread, on one core, so that it takes no more.
answer_on() {
  local pinned=()
  if [ "$1" = 1 ]; then pinned=(taskset -c 0); fi
  local words=$3
  if [[ $words = faults* ]]; then words+=" --threads $1"; fi
  answer_of "$2" "$words" "${pinned[@]}"
}

fuzz() {
  local seconds=${1:-60} what
  build build-fuzz "fuzz_plan fuzz_rain fuzz_quantity" -DBUILD_FOR=fuzz -DCMAKE_CXX_COMPILER=clang++
  for what in plan rain quantity; do
    local seeds=("tests/fuzz/corpus/$what")
    if [ "$what" = plan ]; then seeds+=(examples tests/io/bad_plans); fi
    mkdir -p "build-fuzz/found-$what"
    (
      cd build-fuzz
      tests/fuzz_$what -max_total_time="$seconds" -max_len=20000 -timeout=20 -rss_limit_mb=2048 \
        -print_final_stats=1 "found-$what" "${seeds[@]/#/../}" 2>fuzz_$what.log
    ) || {
      tail -n 30 build-fuzz/fuzz_$what.log >&2
      return 1
    }
    sed -n "s/^stat::number_of_executed_units: */fuzz: $what, $seconds s, texts tried, none got past: /p" \
      build-fuzz/fuzz_$what.log
  done
}

case "${1-}" in
  tidy) tests/setup.sh ci ;;
  days | bits | memory | coverage | clang | threads | fuzz | all) tests/setup.sh proof ;;
esac
case "${1-}" in
  days | bits | memory | coverage | clang | threads) "$1" ;;
  tidy) tidy "${@:2}" ;;
  fuzz) fuzz "${2:-60}" ;;
  all) for each in tidy bits memory coverage threads fuzz clang days; do "$each"; done ;;
  -h | --help) usage ;;
  *) usage >&2; exit 2 ;;
esac
