#!/bin/sh
# SPDX-License-Identifier: MIT
# Draws solver/how-close.svg: how far runs are off, against the tolerance asked, from figures that
# the tests of event times print. Asks for a build with tests and for awk.
#
#     tests/how_close.sh BUILD_FOLDER [SVG]
set -eu

build=${1:?the build folder}
root=$(cd "$(dirname "$0")/.." && pwd)
svg=${2:-$root/solver/how-close.svg}
figures=$("$build/tests/solver_tests" --gtest_filter='EventTimes.*' | grep '^how_close,')

printf '%s\n' "$figures" | awk -F, '
# Millimetres to places in the picture: x from 1e-5 to 10 mm, y likewise.
function log10(v) { return log(v) / log(10) }
function px(mm) { return left + (log10(mm) + 5) / 6 * (right - left) }
function py(mm) { return bottom - (log10(mm) + 5) / 6 * (bottom - top) }
function label(e) {
  return e >= 0 ? sprintf("%d", 10 ^ e) : sprintf("%.*f", -e, 10 ^ e)
}
BEGIN {
  left = 92; right = 500; top = 20; bottom = 330
  names["ten-days"] = "depths over ten days, five tanks"
  names["lying"] = "a lying tank drains to its float"
  names["bared"] = "a pump bares its mouth"
  names["cut-out"] = "a pump draws down to its cut-out"
  order[1] = "ten-days"; order[2] = "lying"; order[3] = "bared"; order[4] = "cut-out"
  dash["ten-days"] = "none"; dash["lying"] = "7 4"; dash["bared"] = "2 3"; dash["cut-out"] = "9 3 2 3"
}
$2 in names {
  x = 1e3 * $3; y = 1e3 * $4
  if (y < 1e-5) y = 1e-5
  n[$2]++
  xs[$2, n[$2]] = x; ys[$2, n[$2]] = y
}
END {
  printf "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 800 390\" role=\"img\" "
  printf "font-family=\"sans-serif\" font-size=\"13\">\n"
  print "<title>Error against the tolerance asked</title>"
  print "<style>"
  print "  .ink { fill: #333 } .line { stroke: #333; fill: none } .grid { stroke: #ccc }"
  print "  .ten-days { stroke: #0b62a8 } .lying { stroke: #a3470a }"
  print "  .bared { stroke: #7a2d8f } .cut-out { stroke: #1b7a3d }"
  print "  @media (prefers-color-scheme: dark) {"
  print "    .ink { fill: #ddd } .line { stroke: #ddd } .grid { stroke: #444 }"
  print "    .ten-days { stroke: #6cb6ff } .lying { stroke: #ffa657 }"
  print "    .bared { stroke: #d2a8ff } .cut-out { stroke: #56d364 }"
  print "  }"
  print "</style>"
  for (e = -5; e <= 1; e++) {
    v = 10 ^ e
    printf "<path class=\"grid\" d=\"M%.1f %.1fV%.1f\"/>\n", px(v), top, bottom
    printf "<text class=\"ink\" x=\"%.1f\" y=\"%.1f\" text-anchor=\"middle\">%s</text>\n", px(v), bottom + 18, label(e)
    printf "<path class=\"grid\" d=\"M%.1f %.1fH%.1f\"/>\n", left, py(v), right
    printf "<text class=\"ink\" x=\"%.1f\" y=\"%.1f\" text-anchor=\"end\">%s</text>\n", left - 8, py(v) + 4, label(e)
  }
  printf "<path class=\"line\" d=\"M%.1f %.1fV%.1fH%.1f\"/>\n", left, top, bottom, right
  printf "<path class=\"line\" stroke-dasharray=\"1 4\" d=\"M%.1f %.1fL%.1f %.1f\"/>\n", px(1e-5), py(1e-5), px(10), py(10)
  printf "<text class=\"ink\" x=\"%.1f\" y=\"%.1f\" text-anchor=\"middle\">tolerance of a step, mm</text>\n", (left + right) / 2, bottom + 42
  printf "<text class=\"ink\" transform=\"translate(20 %.1f) rotate(-90)\" text-anchor=\"middle\">error of a level, mm</text>\n", (top + bottom) / 2
  for (k = 1; k <= 4; k++) {
    s = order[k]
    d = ""
    for (i = 1; i <= n[s]; i++) d = d sprintf("%s%.1f %.1f", i == 1 ? "M" : "L", px(xs[s, i]), py(ys[s, i]))
    printf "<path class=\"%s\" fill=\"none\" stroke-width=\"2\" stroke-dasharray=\"%s\" d=\"%s\"/>\n", s, dash[s], d
    for (i = 1; i <= n[s]; i++) {
      printf "<circle class=\"%s\" fill=\"none\" stroke-width=\"2\" cx=\"%.1f\" cy=\"%.1f\" r=\"3\"/>\n", s, px(xs[s, i]), py(ys[s, i])
    }
    y = top + 24 * k
    printf "<path class=\"%s\" fill=\"none\" stroke-width=\"2\" stroke-dasharray=\"%s\" d=\"M%.1f %.1fh34\"/>\n", s, dash[s], right + 16, y
    printf "<text class=\"ink\" x=\"%.1f\" y=\"%.1f\">%s</text>\n", right + 58, y + 4, names[s]
  }
  y = top + 24 * 5
  printf "<path class=\"line\" stroke-dasharray=\"1 4\" d=\"M%.1f %.1fh34\"/>\n", right + 16, y
  printf "<text class=\"ink\" x=\"%.1f\" y=\"%.1f\">as much as the tolerance</text>\n", right + 58, y + 4
  print "</svg>"
}' > "$svg"
echo "$svg"
