// SPDX-License-Identifier: MIT
// What moves on a page: the picture, the clock, the plots. Everything it says stands in the page's
// data (io/page_data.h) or in the picture (io/svg_elevation.h); the page is whole without it.
(function () {
"use strict";
const data = JSON.parse(document.getElementById("page-data").textContent);
document.documentElement.classList.add("scripted");
const byId = (id) => document.getElementById(id);
const all = (selector, root) => Array.from((root || document).querySelectorAll(selector));

// --- the data -----------------------------------------------------------------------------------

function unpacked(packed) {
  const values = [];
  let whole = 0;
  const per = Math.round(1 / packed.step);  // dividing by it rounds once; times the step would twice
  for (const run of packed.runs) {
    const times = Array.isArray(run) ? run[1] : 1;
    const difference = Array.isArray(run) ? run[0] : run;
    for (let k = 0; k < times; ++k) values.push((whole += difference) / per);
  }
  return values;
}

function framesOf(json) {
  if (!json) return null;
  const frames = { time: json.time_s ? unpacked(json.time_s) : json.labels.map((_, k) => k),
                   labels: json.labels || null, channels: {} };
  for (const key of Object.keys(json.channels)) {
    frames.channels[key] = { name: json.channels[key].name, values: unpacked(json.channels[key]) };
  }
  return frames;
}

const film = framesOf(data.film);
const plotted = framesOf(data.plotted) || film;
const lasts = plotted ? plotted.time[plotted.time.length - 1] : 0;

// --- words --------------------------------------------------------------------------------------

const two = (n) => String(n).padStart(2, "0");

/// "2021-03-07", where the data say which day is day 1.
const date = (at) => new Date((data.first_day + Math.floor(at / 86400 + 1e-9)) * 864e5)
    .toISOString().slice(0, 10);

function clock(at) {
  if (data.first_day !== undefined) return date(at);
  const minutes = Math.round((data.starts_clock_s + at) / 60);
  const day = Math.floor(minutes / 1440);
  const text = two(Math.floor(minutes / 60) % 24) + ":" + two(minutes % 60);
  return lasts > 86400 * 1.01 ? "day " + (day + 1) + ", " + text : text;
}

function decimals(value, places) {
  const text = value.toFixed(places);
  return Number(text) === 0 ? (0).toFixed(places) : text;
}
const litres = (l) => Math.abs(l) < 0.05 ? "0" : decimals(l, Math.abs(l) < 9.95 ? 1 : 0);
const flow = (f) => Math.abs(f) < 0.005 ? "0" : decimals(f, Math.abs(f) < 9.95 ? 2 : 1);
const depth = (m) => m < 0.0005 ? "empty" : decimals(m, 2) + " m deep";

/// A sentence of ours into an element: names in backticks are set apart. Never markup.
function say(element, text) {
  element.textContent = "";
  text.split("`").forEach((piece, k) => {
    if (k % 2 === 0) return void element.append(piece);
    const name = document.createElement("bdi");
    name.className = "name";
    name.textContent = piece;
    element.append(name);
  });
}

// --- the picture --------------------------------------------------------------------------------

const svgName = "http://www.w3.org/2000/svg";
const svgPart = (name, attributes, into) => {
  const part = document.createElementNS(svgName, name);
  for (const key of Object.keys(attributes)) part.setAttribute(key, attributes[key]);
  into.append(part);
  return part;
};

function litresAt(tank, metres) {
  const steps = tank.litres.length - 1;
  const at = Math.min(Math.max(metres / tank.height_m, 0), 1) * steps;
  const below = Math.min(Math.floor(at), steps - 1);
  return tank.litres[below] + (at - below) * (tank.litres[below + 1] - tank.litres[below]);
}

/// Where on a hose an arrow is seen best: on a straight stretch, and clear of its other signs.
function arrowPlace(run, signs) {
  const corners = run.getAttribute("d").slice(1).split("L").map((pair) => pair.split(" ").map(Number));
  const centres = signs.map((sign) => {
    const box = sign.getBBox();
    return [box.x + box.width / 2, box.y + box.height / 2];
  });
  let best = null;
  for (let k = 0; k + 1 < corners.length; ++k) {
    const [ax, ay] = corners[k];
    const [bx, by] = corners[k + 1];
    const length = Math.hypot(bx - ax, by - ay);
    if (length === 0) continue;
    for (const share of [0.5, 0.75, 0.25, 0.9]) {
      const x = ax + (bx - ax) * share;
      const y = ay + (by - ay) * share;
      const clear = Math.min(16, ...centres.map((c) => Math.hypot(x - c[0], y - c[1])));
      const worth = clear * 4 + Math.min(length, 40);
      if (best && best.worth >= worth) continue;
      best = { worth: worth, x: x, y: y, turn: Math.atan2(by - ay, bx - ax) * 180 / Math.PI };
    }
  }
  return best || { x: corners[0][0], y: corners[0][1], turn: 0 };
}

/// One of the drawings of the yard, made to move.
function pictureOf(box) {
  const svg = box.querySelector("svg.elevation");
  const prefix = svg.querySelector("title").id.replace(/elevation-title$/, "");
  const part = (id) => svg.querySelector("#" + CSS.escape(prefix + id));
  // A hose that goes on in another row, and a header, have their texts twice.
  const writing = (of, role) => all('[data-of="' + of + '"][data-role="' + role + '"], [data-of="' +
                                    of + '"] [data-role="' + role + '"]', svg);
  const put = (elements, text) => {
    for (const element of elements) if (element.textContent !== text) element.textContent = text;
  };

  const tanks = data.tanks.map((tank, k) => {
    const group = part("tank-" + k);
    const body = group && group.querySelector(".body");
    if (!body) return null;
    const wall = group.querySelector(".face").getBBox();
    // Which way the air pushes on the walls: three arrows a side, in one path each.
    const arrows = (inwards) => {
      let d = "";
      for (const share of [0.25, 0.5, 0.75]) {
        const y = wall.y + wall.height * share;
        for (const side of [-1, 1]) {
          const edge = side < 0 ? wall.x : wall.x + wall.width;
          const tip = inwards ? edge - side * 9 : edge + side * 9;
          const tail = inwards ? edge + side * 9 : edge - side * 9;
          const back = tip + (tail > tip ? 6 : -6);
          d += "M" + tail + " " + y + "L" + tip + " " + y + "M" + back + " " + (y - 4) + "L" + tip +
               " " + y + "L" + back + " " + (y + 4);
        }
      }
      return svgPart("path", { d: d, class: inwards ? "presses in" : "presses out" }, group);
    };
    arrows(true);
    arrows(false);
    // What spills falls from the end of the overflow, or over the rim, to the ground.
    const overflow = group.querySelector(".overflow");
    const end = overflow ? overflow.getPointAtLength(overflow.getTotalLength())
                         : { x: wall.x + wall.width + 5, y: wall.y };
    const ground = wall.y + wall.height + tank.base_m * +body.dataset.pxPerM;
    if (!tank.overflows_into_a_tank && ground > end.y + 4) {
      svgPart("path", { d: "M" + end.x + " " + (end.y + 3) + "L" + end.x + " " + ground, class: "spill" }, group);
    }
    return { tank: tank, group: group, body: body, mark: part("level-" + k),
             floor: +body.dataset.floorY, surface: +body.dataset.surfaceY,
             scale: +body.dataset.pxPerM, holds: writing("tank-" + k, "holds"),
             depth: writing("tank-" + k, "depth"), air: writing("tank-" + k, "air") };
  });

  const hoses = [];
  for (const group of all("g.hose", svg)) {
    const found = group.id.slice(prefix.length).match(/^((?:hose|pump)-\d+)(-suction|-delivery)?$/);
    if (!found) continue;
    const id = found[1];
    const pump = found[2] !== undefined;
    const runs = all("path.run", group);
    if (runs.length === 0) continue;
    const streams = runs.map((run) => svgPart("path", { d: run.getAttribute("d"), class: "stream" }, run.parentNode));
    const arrows = runs.map((run) => {
      const place = arrowPlace(run, all(".valve, .flap, .goes-on, .mouth", group));
      const arrow = svgPart("path", { d: "M6.500 0L-4.500 -4.500L-4.500 4.500Z", class: "way" }, run.parentNode);
      return { arrow: arrow, x: place.x, y: place.y, turn: place.turn };
    });
    hoses.push({ id: id, group: group, streams: streams, arrows: arrows,
                 flow: pump ? [] : writing(id, "flow"), valve: pump ? [] : writing(id, "valve") });
  }

  const outlets = all("g.outlet", svg).map((group) => {
    const id = group.id.slice(prefix.length);
    return { id: id, group: group, state: writing(id, "state") };
  });
  const pumps = all("g.pump", svg).filter((group) => group.id).map((group) => {
    const id = group.id.slice(prefix.length);
    return { id: id, group: group, state: writing(id, "state") };
  });

  return {
    svg: svg, part: part,
    show: function (frame, states) {
      const value = (key) => film.channels[key] ? film.channels[key].values[frame] : undefined;
      tanks.forEach((it, k) => {
        if (!it) return;
        const metres = value("tank-" + k + ".depth_m");
        if (metres !== undefined) {
          const move = it.floor - metres * it.scale - it.surface;
          it.body.setAttribute("transform", "translate(0 " + move.toFixed(2) + ")");
          if (it.mark) {
            it.mark.setAttribute("transform", "translate(0 " + move.toFixed(2) + ")");
            it.mark.classList.toggle("empty", metres < 0.0005);
          }
          const most = it.tank.litres[it.tank.litres.length - 1];
          put(it.holds, litres(litresAt(it.tank, metres)) + " of " + litres(most) + " L");
          put(it.depth, depth(metres));
        }
        const pa = value("tank-" + k + ".headspace_pa");
        const pulled = pa !== undefined && pa <= -1;
        const pressed = pa !== undefined && pa >= 1;
        const past = pulled && it.tank.vacuum_pa !== null && -pa > it.tank.vacuum_pa ||
                     pressed && it.tank.pressure_pa !== null && pa > it.tank.pressure_pa;
        it.group.classList.toggle("vacuum", pulled);
        it.group.classList.toggle("pressure", pressed);
        it.group.classList.toggle("past", past);
        it.group.classList.toggle("spills", states.has("tank-" + k + " spills") ||
                                            metres >= it.tank.height_m - 0.001);
        put(it.air, pulled || pressed ? (pulled ? "vacuum " : "pressure ") +
                                        Math.round(Math.abs(pa)) + " Pa" + (past ? "!" : "") : "");
      });
      for (const hose of hoses) {
        const l_min = value(hose.id + ".flow_l_min");
        const shut = states.has(hose.id + " shut");
        if (hose.id.startsWith("hose")) hose.group.classList.toggle("shut", shut);
        if (hose.valve.length > 0) {
          put(hose.valve, hose.valve[0].textContent.replace(/(open|shut)$/, shut ? "shut" : "open"));
        }
        if (l_min === undefined) continue;
        const runs = Math.abs(l_min) >= 0.005;
        put(hose.flow, flow(Math.abs(l_min)) + " L/min");
        for (const stream of hose.streams) {
          stream.classList.toggle("runs", runs);
          stream.classList.toggle("back", l_min < 0);
          // From 4 s a dash for a trickle to 0.3 s for a gush.
          stream.style.animationDuration = Math.min(4, 6 / (1 + Math.abs(l_min))).toFixed(2) + "s";
        }
        for (const it of hose.arrows) {
          it.arrow.classList.toggle("runs", runs);
          it.arrow.setAttribute("transform", "translate(" + it.x.toFixed(1) + " " + it.y.toFixed(1) +
              ") rotate(" + (it.turn + (l_min < 0 ? 180 : 0)).toFixed(1) + ")");
        }
      }
      for (const it of outlets) {
        const open = states.has(it.id + " open");
        const l_min = value(it.id + ".flow_l_min");
        it.group.classList.toggle("open", open);
        const dry = open && l_min !== undefined && l_min < 0.005;
        it.group.classList.toggle("dry", dry);
        put(it.state, open ? (dry ? "open, dry" : l_min === undefined ? "outlet, open" :
                              flow(l_min) + " L/min") : "outlet, shut");
      }
      for (const it of pumps) {
        const running = states.has(it.id + " running");
        it.group.classList.toggle("running", running);
        const l_min = value(it.id + ".flow_l_min");
        put(it.state, !running ? "pump, off" : l_min === undefined ? "pump, running" : flow(l_min) + " L/min");
      }
      for (const roof of all("g.roof", svg)) {
        roof.classList.toggle("rains", states.has(roof.id.slice(prefix.length) + " rains"));
      }
    }
  };
}

// The widest drawing that its place can show at nearly full size is the one to be seen.
const boxes = all(".picture");
function fitPictures(paper_px) {
  const place = byId("pictures");
  if (!place || boxes.length === 0) return;
  const room = paper_px || place.clientWidth;
  let best = boxes[boxes.length - 1];
  for (const box of boxes) {
    if (+box.dataset.width * 0.76 <= room) {
      best = box;
      break;
    }
  }
  for (const box of boxes) box.hidden = box !== best;
  byId("sideways").classList.toggle("needed", best.scrollWidth > best.clientWidth + 1);
}

/// A drawing that is higher than a sheet of A4 is printed in pieces, which end between two rows.
const sheet_px = { wide: 718, high: 940 };
function cutForPrint() {
  const box = boxes.find((each) => !each.hidden);
  if (!box) return;
  const svg = box.querySelector("svg");
  const [, , wide, high] = svg.getAttribute("viewBox").split(" ").map(Number);
  const tops = all('[data-role="row"]', svg).map((row) => row.getAttribute("y") - 16);
  if (high * Math.min(1, sheet_px.wide / wide) <= sheet_px.high || tops.length < 2) return;
  tops[0] = 0;
  svg.id = "printed";
  byId("yard").classList.add("tall");
  tops.forEach((top, k) => {
    const end = k + 1 < tops.length ? tops[k + 1] : high;
    const piece = svgPart("svg", { viewBox: [0, top, wide, end - top].join(" "), class: "piece" }, byId("pictures"));
    svgPart("use", { href: "#printed" }, piece);
  });
}
function joinAfterPrint() {
  for (const piece of all(".piece")) piece.remove();
  for (const svg of all("#printed")) svg.removeAttribute("id");
  if (byId("yard")) byId("yard").classList.remove("tall");
}

// --- the clock ----------------------------------------------------------------------------------

let now = 0;
const listeners = [];
let pictures = [];

function statesAt(at) {
  const states = new Set();
  for (const each of data.stretches || []) {
    if (each.from_to_s.some((stretch) => stretch[0] <= at && at < stretch[1])) {
      states.add(each.part + " " + each.state);
    }
  }
  return states;
}

function lastHappening(at) {
  let last = null;
  for (const each of data.happenings || []) {
    if (each.at_s > at + 0.5) break;
    last = each;
  }
  return last;
}

function showFrame(frame) {
  now = Math.min(Math.max(frame, 0), film.time.length - 1);
  const at = film.time[now];
  const states = statesAt(at);
  for (const picture of pictures) picture.show(now, states);
  const label = film.labels ? film.labels[now] : clock(at);
  const rain = film.channels["rain_mm_h"];
  const moment = byId("moment");
  if (moment) {
    moment.value = now;
    const spoken = label.replace(/`/g, "");
    const last = film.labels ? null : lastHappening(at);
    moment.setAttribute("aria-valuetext", spoken + (last ? ": " + last.says.replace(/`/g, "") : ""));
    say(byId("clock"), film.labels ? (now + 1) + " of " + film.time.length : label);
    if (film.labels) {
      say(byId("happening"), label);
    } else {
      const raining = rain && rain.values[now] > 0 ? "Rain, " + decimals(rain.values[now], 0) + " mm/h. " : "";
      say(byId("happening"), raining + (last ? "Last event, " + clock(last.at_s) + ": " + last.says + "." : ""));
    }
  }
  for (const listener of listeners) listener(at);
}

/// The frame that is nearest to a moment.
function frameNear(at) {
  let low = 0;
  let high = film.time.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (film.time[middle] <= at) low = middle; else high = middle;
  }
  return at - film.time[low] <= film.time[high] - at ? low : high;
}

let playing = null;
function stop() {
  if (playing === null) return;
  cancelAnimationFrame(playing);
  playing = null;
  say(byId("play"), "Play");
}
function play() {
  if (now >= film.time.length - 1) showFrame(0);
  const still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  const whole_ms = film.labels ? film.time.length * 1500 : 60000;
  let begun = null;
  const from = film.time[now];
  const end = film.time[film.time.length - 1];
  const per_ms = (end - film.time[0]) / whole_ms;
  let shown = 0;
  const tick = (ms) => {
    if (begun === null) begun = ms;
    const at = from + (ms - begun) * per_ms;
    // Who wants little motion sees a new moment each second.
    if (!still || ms - shown >= 1000 || at >= end) {
      shown = ms;
      const frame = film.labels ? Math.floor(at + 1e-9) : frameNear(at);
      if (frame !== now) showFrame(frame);
    }
    if (at >= end) return stop();
    playing = requestAnimationFrame(tick);
  };
  say(byId("play"), "Stop");
  playing = requestAnimationFrame(tick);
}

function go(frame, where) {
  stop();
  showFrame(frame);
  for (const marked of all(".asked-for")) marked.classList.remove("asked-for");
  for (const picture of pictures) {
    for (const group of all("g[data-name]", picture.svg)) {
      if (group.dataset.name === where) group.classList.add("asked-for");
    }
  }
  // Where a drawing is moved sideways, to where the part stands.
  const box = boxes.find((each) => !each.hidden);
  const marked = box && box.querySelector(".asked-for");
  if (marked) {
    const part = marked.getBoundingClientRect();
    const seen = box.getBoundingClientRect();
    box.scrollLeft += part.left + part.width / 2 - seen.left - seen.width / 2;
  }
}

if (film) {
  pictures = boxes.map(pictureOf);
  fitPictures();
  if (byId("moment")) {
    byId("moment").addEventListener("input", () => { stop(); showFrame(+byId("moment").value); });
    byId("play").addEventListener("click", () => playing === null ? play() : stop());
    const step = (way) => {
      stop();
      if (film.labels) return showFrame(now + way);
      const at = film.time[now];
      const times = (data.happenings || []).map((each) => frameAfter(each.at_s));
      const next = way > 0 ? times.find((frame) => frame > now)
                           : times.reverse().find((frame) => frame < now);
      showFrame(next !== undefined ? next : way > 0 ? film.time.length - 1 : 0);
    };
    byId("earlier").addEventListener("click", () => step(-1));
    byId("later").addEventListener("click", () => step(1));
  }
  for (const button of all("button.go")) {
    button.addEventListener("click", () => {
      go(button.dataset.frame === undefined ? now : +button.dataset.frame, button.dataset.where);
      const still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
      byId("yard").scrollIntoView({ behavior: still ? "auto" : "smooth", block: "start" });
      if (byId("moment")) byId("moment").focus({ preventScroll: true });
    });
  }
  window.addEventListener("resize", () => fitPictures());
}

/// The first frame at or after a moment.
function frameAfter(at) {
  let low = 0;
  let high = film.time.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (film.time[middle] < at - 0.001) low = middle + 1; else high = middle;
  }
  return low;
}

// --- the plots ----------------------------------------------------------------------------------

const style = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
const dashes = [[], [9, 4], [2, 3], [12, 3, 2, 3], [5, 5], [14, 5, 3, 5, 3, 5]];
const hues = 6;
const plots = [];
const onPaper = [];

function timeMarks(u, axis, from, to) {
  const room = Math.max(1, Math.floor(u.bbox.width / devicePixelRatio / 70));
  if (data.first_day !== undefined && to - from > 60 * 86400) {
    // At the first of months.
    const months = (to - from) / (30.4 * 86400);
    const step = [1, 2, 3, 6, 12, 24, 60, 120, 240].find((each) => months / each <= room) || 240;
    const begin = new Date((data.first_day + from / 86400) * 864e5);
    const marks = [];
    for (let k = 0; ; k += 1) {
      const month = begin.getUTCMonth() + k;
      if ((begin.getUTCFullYear() * 12 + month) % step !== 0) continue;
      const at = (Date.UTC(begin.getUTCFullYear(), month, 1) / 864e5 - data.first_day) * 86400;
      if (at > to) return marks;
      if (at >= from) marks.push(at);
    }
  }
  const steps = [60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 14400, 21600, 43200, 86400, 172800,
                 432000, 864000, 2592000, 7776000, 31536000, 157680000, 315360000];
  const step = steps.find((each) => (to - from) / each <= room) || steps[steps.length - 1];
  const marks = [];
  const first = Math.ceil((from + data.starts_clock_s) / step) * step - data.starts_clock_s;
  for (let at = first; at <= to; at += step) marks.push(at);
  return marks;
}

function timeText(at, step) {
  if (data.first_day !== undefined) return step >= 2400000 ? date(at).slice(0, 7) : date(at);
  const clock_s = data.starts_clock_s + at;
  const day = Math.floor(clock_s / 86400 + 1e-9);
  const minutes = Math.round((clock_s - day * 86400) / 60);
  const text = two(Math.floor(minutes / 60)) + ":" + two(minutes % 60);
  if (lasts <= 86400 * 1.01) return text;
  return step >= 86400 || minutes === 0 ? "day " + (day + 1) : text;
}

function spread(values) {
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return high - low;
}

function drawPlot(box) {
  const plot = data.plots[+box.dataset.plot];
  const lines = plot.lines.map((line, k) => {
    const channel = plotted.channels[line.key];
    return { key: line.key, name: channel.name, dash: dashes[(k + Math.floor(k / hues)) % dashes.length], hue: k % hues,
             values: line.shift === 0 ? channel.values : channel.values.map((v) => v + line.shift),
             shown: true };
  });
  // Very many lines are a thicket: those that change most are shown at first.
  if (lines.length > 12) {
    const order = lines.slice().sort((a, b) => spread(b.values) - spread(a.values));
    order.slice(8).forEach((line) => { line.shown = false; });
  }
  const high = () => window.innerWidth < 600 ? 190 : 240;
  const options = {
    width: box.clientWidth || 600, height: high(), padding: [8, 22, 0, 0],
    legend: { show: false },
    cursor: { sync: { key: "time", setSeries: false }, drag: { x: true, y: false }, points: { size: 6 } },
    scales: { x: { time: false }, y: { range: (u, low, top) => {
      if (low === null) return [0, 1];
      const room = Math.max((top - low) * 0.06, plot.unit === "Pa" ? 5 : 0.02);
      return [low - room, top + room];
    } } },
    axes: [
      { splits: timeMarks, values: (u, splits) => splits.map((at) => timeText(at, splits.length > 1 ? splits[1] - splits[0] : 0)),
        stroke: () => style("--soft"), grid: { stroke: () => style("--grid"), width: 1 },
        ticks: { stroke: () => style("--grid"), width: 1 }, font: "12px " + style("--fonts"), size: 34 },
      { values: (u, splits) => splits.map((at) => String(Number(at.toPrecision(6)))),
        stroke: () => style("--soft"), grid: { stroke: () => style("--grid"), width: 1 },
        ticks: { show: false }, font: "12px " + style("--fonts"), size: 56 }
    ],
    series: [{}].concat(lines.map((line) => ({
      label: line.name, stroke: () => style("--line-" + line.hue), width: 1.8, dash: line.dash,
      show: line.shown, points: { show: false }
    }))),
    focus: { alpha: 0.25 },
    hooks: { setCursor: [(u) => readOut(u.cursor.idx)], setScale: [(u, key) => { if (key === "x") zoomed(u); }],
             draw: [() => mark()] }
  };
  const u = new uPlot(options, [plotted.time].concat(lines.map((line) => line.values)), box);
  const line = document.createElement("div");
  line.className = "now";
  u.over.append(line);

  const legend = document.createElement("ul");
  legend.className = "legend";
  const places = plot.unit === "m" ? 3 : plot.unit === "Pa" || plot.unit === "L" ? 0 : 2;
  const values = lines.map((each, k) => {
    const item = document.createElement("li");
    const button = document.createElement("button");
    button.type = "button";
    button.setAttribute("aria-pressed", each.shown);
    const swatch = svgPart("svg", { width: 34, height: 10, viewBox: "0 0 34 10", "aria-hidden": "true" }, button);
    const sample = svgPart("path", { d: "M1 5L33 5", "stroke-dasharray": each.dash.join(" ") }, swatch);
    sample.style.stroke = "var(--line-" + each.hue + ")";
    const name = document.createElement("bdi");
    name.className = "name";
    name.textContent = each.name;
    const value = document.createElement("span");
    value.className = "value";
    button.append(name, " ", value);
    item.append(button);
    legend.append(item);
    button.addEventListener("click", () => {
      each.shown = !each.shown;
      button.setAttribute("aria-pressed", each.shown);
      u.setSeries(k + 1, { show: each.shown });
    });
    const focus = (on) => () => u.setSeries(on && each.shown ? k + 1 : null, { focus: true });
    button.addEventListener("pointerenter", focus(true));
    button.addEventListener("pointerleave", focus(false));
    button.addEventListener("focus", focus(true));
    button.addEventListener("blur", focus(false));
    return value;
  });
  if (lines.some((each) => !each.shown)) {
    const note = document.createElement("p");
    note.className = "hint";
    note.textContent = "Shown at first are the 8 of " + lines.length + " that change most.";
    box.before(note);
  }
  box.after(legend);
  const head = document.createElement("p");
  head.className = "at";
  legend.before(head);

  let at = 0;
  const rowNear = (when) => {
    let low = 0;
    let top = plotted.time.length - 1;
    while (top - low > 1) {
      const middle = (low + top) >> 1;
      if (plotted.time[middle] <= when) low = middle; else top = middle;
    }
    return when - plotted.time[low] < plotted.time[top] - when ? low : top;
  };
  function readOut(row) {
    if (row === null || row === undefined) row = rowNear(at);
    head.textContent = "at " + clock(plotted.time[row]);
    values.forEach((value, k) => {
      const text = decimals(lines[k].values[row], places) + " " + plot.unit;
      if (value.textContent !== text) value.textContent = text;
    });
  }
  function mark() {
    const left = u.valToPos(at, "x");
    line.hidden = !(left >= 0 && left <= u.over.clientWidth);
    line.style.transform = "translateX(" + left.toFixed(1) + "px)";
  }
  listeners.push((when) => {
    at = when;
    mark();
    if (u.cursor.idx === null || u.cursor.idx === undefined) readOut(null);
  });
  let pressed = null;
  u.over.addEventListener("pointerdown", (event) => { pressed = event.clientX; });
  u.over.addEventListener("click", (event) => {
    if (!film || film.labels || pressed === null || Math.abs(event.clientX - pressed) > 4) return;
    stop();
    showFrame(frameNear(u.posToVal(event.clientX - u.over.getBoundingClientRect().left, "x")));
  });
  plots.push({ u: u, box: box, lines: lines, high: high });
  readOut(0);
}

let zooming = false;
function zoomed(from) {
  if (zooming) return;
  zooming = true;
  for (const each of plots) {
    if (each.u === from) continue;
    const x = each.u.scales.x;
    if (x.min !== from.scales.x.min || x.max !== from.scales.x.max) {
      each.u.setScale("x", { min: from.scales.x.min, max: from.scales.x.max });
    }
  }
  zooming = false;
}

function zoomBy(factor) {
  if (plots.length === 0) return;
  const x = plots[0].u.scales.x;
  const first = plotted.time[0];
  const last = plotted.time[plotted.time.length - 1];
  const middle = factor < 1 && film && !film.labels ? film.time[now] : (x.min + x.max) / 2;
  const half = Math.max((x.max - x.min) * factor / 2, 120);
  let from = Math.max(first, middle - half);
  const to = Math.min(last, from + 2 * half);
  from = Math.max(first, Math.min(from, to - 2 * half));
  for (const each of plots) each.u.setScale("x", { min: from, max: to });
}

if (typeof uPlot === "function") {
  all(".plot").forEach(drawPlot);
  byId("zoom-in") && byId("zoom-in").addEventListener("click", () => zoomBy(0.5));
  byId("zoom-out") && byId("zoom-out").addEventListener("click", () => zoomBy(2));
  byId("zoom-all") && byId("zoom-all").addEventListener("click", () => zoomBy(1e9));
  const resize = (width, height) => {
    for (const each of plots) {
      each.u.setSize({ width: width || each.box.clientWidth, height: height || each.high() });
    }
  };
  window.addEventListener("resize", () => resize());
  onPaper.push((is) => is ? resize(345, 135) : resize());
  window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => {
    for (const each of plots) each.u.redraw();
  });
}

window.addEventListener("beforeprint", () => {
  stop();
  document.documentElement.classList.add("on-paper");
  fitPictures(940);
  cutForPrint();
  for (const each of onPaper) each(true);
});
window.addEventListener("afterprint", () => {
  document.documentElement.classList.remove("on-paper");
  joinAfterPrint();
  fitPictures();
  for (const each of onPaper) each(false);
});

if (film) showFrame(0);

// For tests, which read back what is drawn.
window.tankyardPage = { film: film, plots: plots, show: (frame) => showFrame(frame), frame: () => now };
})();
