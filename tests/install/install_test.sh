#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# What is installed and packed works where it lies: the tool, its man page and completions, and the
# library, on which examples/from_code is built as a program of somebody else's.
#   install_test.sh BUILD CXX
set -euo pipefail
build=$1 cxx=$2
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
fail() { echo "install_test: $*" >&2; exit 1; }

cmake --install "$build" --prefix "$folder/there" >"$folder/log" || fail "$(cat "$folder/log")"
there=$folder/there
has() { grep -q -- "$1" "$2"; }  # from a file: a pipe would break when grep has seen enough
"$there/bin/tankyard" --version >"$folder/log"
has '^tankyard [0-9.]*$' "$folder/log" || fail "the tool does not run"
MANPATH=$there/share/man man -w tankyard >/dev/null || fail "man does not find the page"
man -l "$there"/share/man/man1/tankyard.1* >"$folder/log" 2>/dev/null
has 'tankyard run PLAN' "$folder/log" ||
  fail "the man page does not show the commands"
bash -c "source '$there/share/bash-completion/completions/tankyard' && complete -p tankyard" >/dev/null ||
  fail "the completions of bash do not load"
[ -s "$there/share/zsh/vendor-completions/_tankyard" ] || fail "no completions of zsh"
[ -s "$there/share/fish/vendor_completions.d/tankyard.fish" ] || fail "no completions of fish"
grep -q 'MIT License' "$there/share/doc/tankyard/copyright" || fail "no licence"
"$there/bin/tankyard" check "$there/share/doc/tankyard/examples/larch-hill.toml" >/dev/null ||
  fail "the installed example does not run"

cp -r "$there/share/doc/libtankyard-dev/examples/from_code" "$folder/example"
cmake -S "$folder/example" -B "$folder/example/build" -DCMAKE_PREFIX_PATH="$there" \
  -DCMAKE_CXX_COMPILER="$cxx" -DCMAKE_CXX_FLAGS="-Wall -Wextra -Werror" >"$folder/log" 2>&1 ||
  fail "$(cat "$folder/log")"
cmake --build "$folder/example/build" >"$folder/log" 2>&1 || fail "$(cat "$folder/log")"
"$folder/example/build/ask_from_code" >"$folder/said"
grep -qx 'upper: [0-9]* L at the end, [1-9][0-9]* L spilt' "$folder/said" || fail "$(cat "$folder/said")"
grep -q 'link' "$folder/said" || fail "no finding names the hose: $(cat "$folder/said")"

# The whole library, plan files and reports as well, and a component that is not there.
mkdir "$folder/whole"
cat >"$folder/whole/CMakeLists.txt" <<'END'
cmake_minimum_required(VERSION 3.25)
project(whole LANGUAGES CXX)
set(CMAKE_CXX_STANDARD 20)
find_package(tankyard REQUIRED COMPONENTS solver io)
find_package(tankyard QUIET COMPONENTS nonsense)
if(tankyard_FOUND)
  message(FATAL_ERROR "a component that is not there was found")
endif()
add_executable(whole whole.cpp)
target_link_libraries(whole PRIVATE tankyard::io)
END
cat >"$folder/whole/whole.cpp" <<'END'
#include <cstdio>
#include "io/plan_file.h"
int main() {
  const auto plan = tankyard::read_plan(tankyard::starter_plan(), "starter");
  std::printf("%zu tanks\n", plan ? plan->array.tanks().size() : std::size_t{0});
}
END
cmake -S "$folder/whole" -B "$folder/whole/build" -DCMAKE_PREFIX_PATH="$there" \
  -DCMAKE_CXX_COMPILER="$cxx" >"$folder/log" 2>&1 || fail "$(cat "$folder/log")"
cmake --build "$folder/whole/build" >"$folder/log" 2>&1 || fail "$(cat "$folder/log")"
[ "$("$folder/whole/build/whole")" = "3 tanks" ] || fail "the whole library does not read a plan"

(cd "$build" && cpack -B "$folder/packed" >"$folder/log" 2>&1) || fail "$(tail -n 20 "$folder/log")"
deb=("$folder"/packed/tankyard_*.deb) dev=("$folder"/packed/libtankyard-dev_*.deb)
dpkg-deb -c "${deb[0]}" >"$folder/list"
for path in usr/bin/tankyard usr/share/man/man1/tankyard.1.gz usr/share/doc/tankyard/copyright \
  usr/share/doc/tankyard/examples/larch-hill.toml usr/share/bash-completion/completions/tankyard; do
  grep -q " \./$path\$" "$folder/list" || fail "the package lacks $path"
done
dpkg-deb -f "${deb[0]}" Depends >"$folder/depends"
has libc6 "$folder/depends" || fail "the package depends on nothing"
dpkg-deb -c "${dev[0]}" >"$folder/list"
has '/cmake/tankyard/tankyard-config.cmake$' "$folder/list" || fail "no library packed"
dpkg-deb -x "${deb[0]}" "$folder/unpacked"
"$folder/unpacked/usr/bin/tankyard" explain >/dev/null || fail "the packed tool does not run"
echo "installed, built on, packed: $(du -k "${deb[0]}" | cut -f1) kB"
