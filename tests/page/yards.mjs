// SPDX-License-Identifier: MIT
// Plans for the tests of the page, and what the program makes of them.
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";

export const program = process.env.TANKYARD_PROGRAM;
export const source = process.env.TANKYARD_SOURCE_DIR;
export const scratch = mkdtempSync(path.join(tmpdir(), "tankyard-page-"));
export const tidy = () => rmSync(scratch, { recursive: true, force: true });
export const example = (name) => path.join(source, "examples", name);

/// Runs the program; 0 and 1 are answers.
export function tankyard(...words) {
  const done = spawnSync(program, words, { encoding: "utf8", timeout: 60000, maxBuffer: 1 << 28 });
  if (done.status !== 0 && done.status !== 1) throw new Error(`${words.join(" ")}: ${done.status} ${done.stderr}`);
  return done.stdout;
}

let count = 0;
export const file = (ending) => path.join(scratch, `${++count}.${ending}`);

export function planFile(text) {
  const name = file("toml");
  writeFileSync(name, text);
  return name;
}

/// A page of a plan; answers its path.
export function pageOf(command, plan, ...more) {
  const page = file("html");
  tankyard(command, plan, ...more, "--page", page, "--quiet");
  return page;
}

const toml = (text) => JSON.stringify(text);  // escapes of JSON are escapes of TOML

export const oneTank = `
[[tank]]
name = "butt"
shape = { upright = { diameter = "0.6 m", height = "0.9 m" } }
base = "0.4 m"
water = "0.5 m"
`;

/// A row of tanks, each joined to the next, with a tap at the last.
export function row(tanks, names = (k) => `tank-${k + 1}`, site = "A long row") {
  let text = `[site]\nname = ${toml(site)}\n`;
  for (let k = 0; k < tanks; ++k) {
    text += `[[tank]]\nname = ${toml(names(k))}\nshape = { prism = { area = "1.1 m2", height = "0.95 m" } }\n` +
            `base = "0.4 m"\nwater = "${0.2 + 0.5 * (k % 2)} m"\noverflow = { height = "0.9 m", bore = "50 mm" }\n` +
            (k % 3 === 1 ? `lid = { hole = "8 mm" }\n` : "");
    if (k > 0) {
      text += `[[hose]]\nname = "hose-${k}"\nfrom = ${toml(names(k - 1))}\nto = ${toml(names(k))}\nbore = "32 mm"\nlength = "2 m"\n` +
              `valve = "V${k}"\n`;
    }
  }
  return text + `[[outlet]]\nname = "tap"\nat = ${toml(names(tanks - 1))}\ndraw = "20 L/min"\n` +
         `[[roof]]\nname = "shed"\narea = "60 m2"\ninto = ${toml(names(0))}\n` +
         `[[step]]\nat = "06:00"\nopen = ["tap"]\n[[step]]\nat = "06:40"\nclose = ["tap"]\nrain = "12 mm/h"\n` +
         `[[step]]\nat = "09:00"\nrain = "0 mm/h"\n`;
}

export const hostileNames = [
  `<script>window.hurt = 1</script>`,
  `"><img src=x onerror="window.hurt = 2">`,
  `</script><script>window.hurt = 3</script>`,
  `'&quot;&amp;</title><b>`,
  `مخزن المطر الكبير`,
  "W".repeat(200),
];

/// A year of storms and draws, a short one now and then, so that most rows hold no peak.
export function year() {
  let text = `[site]\nname = "A year"\n[run]\nlasts = "365 d"\n` +
             `[[tank]]\nname = "upper"\nshape = { prism = { area = "1.1 m2", height = "0.95 m" } }\nbase = "0.4 m"\nwater = "0.5 m"\n` +
             `[[tank]]\nname = "lower"\nshape = { upright = { diameter = "1.2 m", height = "1.4 m" } }\nwater = "0.9 m"\n` +
             `[[hose]]\nname = "link"\nfrom = "upper"\nto = "lower"\nbore = "25 mm"\nlength = "4 m"\n` +
             `[[outlet]]\nname = "tap"\nat = "lower"\ndraw = "18 L/min"\n` +
             `[[roof]]\nname = "shed"\narea = "30 m2"\ninto = "upper"\n`;
  for (let day = 0; day < 365; day += 3) {
    const at = (hours) => `"${day * 24 + hours} h"`;
    text += `[[step]]\nat = ${at(7)}\nopen = ["tap"]\n[[step]]\nat = ${at(7.25)}\nclose = ["tap"]\n` +
            `[[step]]\nat = ${at(15)}\nrain = "${10 + (day * 7) % 60} mm/h"\n[[step]]\nat = ${at(15.1)}\nrain = "0 mm/h"\n`;
  }
  return text;
}

/// RFC 4180: the head and the rows of a table of comma-separated values.
export function csv(name) {
  const rows = [];
  let cell = "";
  let row = [];
  let quoted = false;
  const text = readFileSync(name, "utf8");
  for (let k = 0; k < text.length; ++k) {
    const c = text[k];
    if (quoted) {
      if (c === '"' && text[k + 1] === '"') { cell += '"'; ++k; }
      else if (c === '"') quoted = false;
      else cell += c;
    } else if (c === '"') quoted = true;
    else if (c === ",") { row.push(cell); cell = ""; }
    else if (c === "\n") { row.push(cell.replace(/\r$/, "")); rows.push(row); row = []; cell = ""; }
    else cell += c;
  }
  return { head: rows[0], rows: rows.slice(1).map((each) => each.map(Number)) };
}

/// Two years and a half of rain that falls by a rule of our own, dry in summer.
export function rainFile() {
  const name = file("csv");
  let text = "date,rain_mm\n";
  for (let day = 0; day < 900; ++day) {
    const date = new Date(Date.UTC(2019, 0, 1 + day));
    const wet = (day * 37) % 11 < 3 && (date.getUTCMonth() < 5 || date.getUTCMonth() > 8);
    text += `${date.toISOString().slice(0, 10)},${wet ? 4 + (day * 13) % 17 : 0}\n`;
  }
  writeFileSync(name, text);
  return name;
}

/// A plan with what a season takes.
export const used = () => row(3) + `[[use]]\noutlet = "tap"\ndaily = "150 L"\n`;
