#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Draws examples/larch-hill-day.svg: the levels of the Larch Hill tanks over the day, from what
# `tankyard` answers. Needs nothing but bash and awk.
#
#   examples/draw_day.sh [TANKYARD [FILE.svg]]    default: build-demo/tankyard, the picture itself
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
if [[ "${1-}" = -h || "${1-}" = --help ]]; then
  sed -n '3,6s/^# \{0,1\}//p' "$0"
  exit 0
fi
tankyard=${1:-$here/../build-demo/tankyard}
picture=${2:-$here/larch-hill-day.svg}
plan=$here/larch-hill.toml

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export LC_ALL=C
"$tankyard" check "$plan" --json >"$work/check.json"
"$tankyard" run "$plan" --quiet --json --series "$work/day.csv" --every 3min >"$work/run.json"

# Everything awk needs, one fact a line: where tanks stand and spill, when it rains, what ran dry.
awk '
  FILENAME ~ /check.json$/ && /^  "groups"/ { exit }
  /"name":/ { split($0, word, "\""); name = word[4] }
  /"base_m":/ { gsub(/[^0-9.-]/, "", $2); print "base", name, $2 }
  /"lip_m":/ { gsub(/[^0-9.-]/, "", $2); print "lip", name, $2 }
' "$work/check.json" >"$work/facts"
awk '
  /"outlets":/ { outlets = 1 }
  /"roofs":/ { outlets = 0 }
  /"starts_clock_s":/ { gsub(/[^0-9.]/, "", $2); print "starts", "run", $2 }
  outlets && /"name":/ { split($0, word, "\""); name = word[4] }
  outlets && /"first_dry_at_s":/ && !/null/ { gsub(/[^0-9.]/, "", $2); print "dry", name, $2 }
' "$work/run.json" >>"$work/facts"
awk '
  /^at = "/ { split($0, word, /[":]/); clock = word[2] * 3600 + word[3] * 60 }
  /^rain = "/ { split($0, word, /[" ]/); print "rain", clock, word[4] }
' "$plan" >>"$work/facts"

tr -d '\r' <"$work/day.csv" | awk -F, -v facts="$work/facts" '
  function x_of(t) { return left + t / lasts * wide }
  function y_of(level) { return foot - (level - low) / (high - low) * tall }
  function text(x, y, anchor, size, colour, what) {
    printf "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\" font-size=\"%d\" fill=\"%s\">%s</text>\n", \
           x, y, anchor, size, colour, what
  }
  function line(x1, y1, x2, y2, colour, more) {
    printf "<line x1=\"%.1f\" y1=\"%.1f\" x2=\"%.1f\" y2=\"%.1f\" stroke=\"%s\"%s/>\n", \
           x1, y1, x2, y2, colour, more
  }
  function clock(s) { return sprintf("%02d:%02d", int(s / 3600) % 24, int(s / 60) % 60) }

  # A line through a column, without the points on level stretches.
  function curve(name, colour, dash,   r, y, shown, before, path) {
    path = ""
    shown = ""
    for (r = 1; r <= rows; ++r) {
      y = sprintf("%.1f", y_of(base[name] + cell[r, column[name ".depth_m"]]))
      if (y == shown && r < rows) { before = r; continue }
      if (before && r - before == 1) path = path sprintf(" %.1f,%s", x_of(cell[before, 1]), shown)
      path = path sprintf(" %.1f,%s", x_of(cell[r, 1]), y)
      shown = y
      before = 0
    }
    printf "<polyline fill=\"none\" stroke=\"%s\" stroke-width=\"2\"%s points=\"%s\"/>\n", colour, \
           dash, substr(path, 2)
  }

  function panel(title, names, top,   list, count, k, t, level, x) {
    tall = 170
    foot = top + tall
    text(left, top - 12, "start", 14, ink, title)
    for (level = low; level < high + 0.001; level += 0.2) {
      line(left, y_of(level), left + wide, y_of(level), "#dfe3e6", "")
      text(left - 8, y_of(level) + 4, "end", 11, pale, sprintf("%.1f", level))
    }
    for (t = 0; t <= lasts; t += 3 * 3600) {
      line(x_of(t), top, x_of(t), foot, "#dfe3e6", "")
      text(x_of(t), foot + 16, "middle", 11, pale, clock(starts + t))
    }
    count = split(names, list, " ")
    x = left + wide
    for (k = count; k >= 1; --k) {
      x -= 7.2 * length(list[k]) + 8
      text(x + 8, top - 12, "start", 12, colour[list[k]], list[k])
      line(x - 18, top - 16, x + 3, top - 16, colour[list[k]], " stroke-width=\"2\"" dash[list[k]])
      x -= 32
    }
  }

  BEGIN {
    left = 60; wide = 900; low = 0; high = 1.4
    ink = "#1d2a33"; pale = "#5b6b76"
    colour["shed-1"] = "#0f6e8c"; colour["shed-2"] = "#c8741a"; colour["shed-3"] = "#7b3f99"
    colour["glass-1"] = "#2c7a4b"; colour["glass-2"] = "#b0455a"; colour["cistern"] = "#3d4c63"
    colour["bench"] = "#a5830d"
    dash["shed-2"] = " stroke-dasharray=\"7 3\""
    dash["glass-2"] = " stroke-dasharray=\"3 5\""
    dash["bench"] = " stroke-dasharray=\"7 3\""
    while ((getline fact < facts) > 0) {
      split(fact, word, " ")
      if (word[1] == "base") base[word[2]] = word[3]
      if (word[1] == "lip") lip[word[2]] = word[3]
      if (word[1] == "starts") starts = word[3]
      if (word[1] == "dry") dry[word[2]] = word[3]
      if (word[1] == "rain") { ++rains; rain_at[rains] = word[2]; rain[rains] = word[3] }
    }
  }
  NR == 1 { for (c = 1; c <= NF; ++c) column[$c] = c; next }
  { ++rows; for (c = 1; c <= NF; ++c) cell[rows, c] = $c; lasts = $1 }

  END {
    print "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1000 565\" width=\"1000\" height=\"565\" font-family=\"sans-serif\">"
    print "<title>Larch Hill: water levels over the day</title>"
    print "<rect width=\"1000\" height=\"565\" fill=\"#ffffff\"/>"
    text(left, 28, "start", 17, ink, "Larch Hill tree nursery: where the water stands, metres above the yard datum")

    # Rain hangs from the top.
    text(left, 56, "start", 12, pale, "rain, mm/h")
    for (k = 1; k < rains; ++k) {
      if (rain[k] <= 0) continue
      x1 = x_of(rain_at[k] - starts); x2 = x_of(rain_at[k + 1] - starts)
      printf "<rect x=\"%.1f\" y=\"44\" width=\"%.1f\" height=\"%.1f\" fill=\"#8fb8d8\"/>\n", x1, x2 - x1, rain[k]
      if (rain[k] > most) { most = rain[k]; most_x = x2 }
    }
    if (most) text(most_x + 6, 70, "start", 12, pale, "at most " most)

    panel("By the packing shed", "shed-1 shed-2 shed-3", 125)
    first = 0
    for (r = 1; r <= rows; ++r) {
      if (base["shed-1"] + cell[r, column["shed-1.depth_m"]] < lip["shed-1"] + 0.002) continue
      if (base["shed-3"] + cell[r, column["shed-3.depth_m"]] > lip["shed-3"] - 0.02) continue
      if (!first) first = cell[r, 1]
      last = cell[r, 1]
    }
    if (first) {
      printf "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" fill=\"#e9b8ad\" opacity=\"0.5\"/>\n", \
             x_of(first), foot - tall, x_of(last) - x_of(first), tall
      text(x_of(last) + 8, y_of(0.30), "start", 12, "#a03c28", "shed-1 spills")
      text(x_of(last) + 8, y_of(0.17), "start", 12, "#a03c28", "while shed-3 has room")
    }
    if ("seedbeds" in dry) {
      line(x_of(dry["seedbeds"]), y_of(0.05), x_of(dry["seedbeds"]), y_of(0.62), "#a03c28", " stroke-dasharray=\"2 3\"")
      text(x_of(dry["seedbeds"]) + 6, y_of(0.17), "start", 12, "#a03c28", "seedbeds run dry, " clock(starts + dry["seedbeds"]))
    }
    line(left, y_of(lip["shed-1"]), left + wide, y_of(lip["shed-1"]), colour["shed-1"], " stroke-dasharray=\"1 4\"")
    text(left + 6, y_of(lip["shed-1"]) + 14, "start", 11, colour["shed-1"], "overflow of shed-1")
    curve("shed-3", colour["shed-3"], "")
    curve("shed-1", colour["shed-1"], "")
    curve("shed-2", colour["shed-2"], dash["shed-2"])

    panel("By the glasshouse, behind a hose that holds air", "glass-1 glass-2 cistern bench", 365)
    line(left, y_of(lip["glass-1"]), left + wide, y_of(lip["glass-1"]), colour["glass-1"], " stroke-dasharray=\"1 4\"")
    text(left + 6, y_of(lip["glass-1"]) + 14, "start", 11, colour["glass-1"], "overflow of glass-1, into the cistern")
    curve("cistern", colour["cistern"], "")
    curve("bench", colour["bench"], dash["bench"])
    curve("glass-1", colour["glass-1"], "")
    curve("glass-2", colour["glass-2"], dash["glass-2"])
    print "</svg>"
  }
' >"$work/day.svg"
mv "$work/day.svg" "$picture"
echo "drew $picture"
