// SPDX-License-Identifier: MIT
// The page in a browser, as somebody would use it. Sources of truth: the CSV of the same run for the
// numbers; WCAG 2.1 A and AA as axe-core 4.14 checks them for names and contrast; the request log and
// the console of Chromium for what a page must not do.
import assert from "node:assert/strict";
import { readFileSync, statSync } from "node:fs";
import { after, before, describe, it } from "node:test";
import axe from "axe-core";
import { chromium } from "playwright-core";
import { csv, example, file, hostileNames, oneTank, pageOf, planFile, rainFile, row, tankyard, tidy, used, year } from "./yards.mjs";

// SHOWN_PAGES=demo,season in the environment shows the browser those alone.
const allPages = ["demo", "lids", "one", "forty", "hostile", "year", "pump", "isolate", "faults", "link", "season"];
const shownPages = process.env.SHOWN_PAGES ? process.env.SHOWN_PAGES.split(",") : allPages;

let browser;
const pages = {};

before(async () => {
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-background-networking"],
    timeout: 60000,
  });
  pages.demoCsv = file("csv");
  pages.rain = rainFile();
  pages.yearPlan = planFile(year());
  const made = {
    demo: () => pageOf("run", example("larch-hill.toml"), "--series", pages.demoCsv),
    lids: () => pageOf("vent", example("closed-lids.toml")),
    one: () => pageOf("run", planFile(oneTank)),
    forty: () => pageOf("run", planFile(row(40))),
    hostile: () => pageOf("run", planFile(row(6, (k) => hostileNames[k], hostileNames[0]))),
    pump: () => pageOf("run", example("pumped-row.toml")),
    isolate: () => pageOf("isolate", example("larch-hill.toml"), "shed-1", "--at", "10:00"),
    faults: () => pageOf("faults", planFile(row(3)), "--no-pairs"),
    link: () => pageOf("link", example("larch-hill-new-tank.toml"), "shed-4"),
    season: () => pageOf("season", planFile(used()), "--rain", pages.rain),
    year: () => pageOf("run", pages.yearPlan),
  };
  for (const name of shownPages) pages[name] = made[name]();
});
after(async () => {
  if (browser) await browser.close();
  tidy();
});

/// Opens a page and keeps a list of all that it must not do.
async function open(name, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, ...options });
  const page = await context.newPage();
  page.setDefaultTimeout(20000);
  page.faults = [];
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) page.faults.push(message.text());
  });
  page.on("pageerror", (error) => page.faults.push(String(error)));
  page.on("dialog", (dialog) => { page.faults.push("dialog"); dialog.dismiss(); });
  const url = "file://" + pages[name];
  page.on("request", (request) => { if (request.url() !== url) page.faults.push(request.url()); });
  await page.goto(url);
  page.done = async () => {
    assert.deepEqual(page.faults, []);
    await context.close();
  };
  return page;
}

/// What needs pages that are not shown is skipped, and said to be.
const itShows = (names, says, does) => {
  const missing = names.filter((each) => !shownPages.includes(each));
  it(says, { skip: missing.length > 0 && `not shown: ${missing.join(", ")}` }, does);
};
const frame = (page) => page.evaluate(() => tankyardPage.frame());
const shown = (page, selector) => page.locator(`.picture:not([hidden]) ${selector}`);
const put = async (page, value) => {
  await page.locator("#moment").fill(String(value));
};

describe("Page", () => {
  for (const name of shownPages) {
    it(`opens from disk with no request and no error: ${name}`, async () => {
      const page = await open(name);
      assert.equal(await page.locator("h1").count(), 1);
      assert.ok((await page.locator(".answer").innerText()).length > 20);
      assert.equal(await page.locator(".picture:not([hidden]) svg.elevation").count(), 1);
      await page.done();
    });

    it(`has no sideways scroll on a phone of 360 px: ${name}`, async () => {
      const page = await open(name, { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true });
      for (const detail of await page.locator("details").all()) {
        await detail.evaluate((element) => { element.open = true; });
      }
      const wide = await page.evaluate(() => {
        const room = document.documentElement.clientWidth;
        // Tables may be moved within their own box, and nothing else.
        return Array.from(document.querySelectorAll("body *"))
            .filter((each) => !each.closest(".scroll table, svg, .unseen, .u-wrap") && each.getBoundingClientRect().right > room + 0.5)
            .map((each) => each.tagName + "." + each.className).concat(document.documentElement.scrollWidth > 360 ? ["page"] : []);
      });
      assert.deepEqual(wide, []);
      await page.done();
    });
  }

  for (const name of ["demo", "one", "forty", "lids", "pump", "hostile"].filter((each) => shownPages.includes(each))) {
    it(`has labels of 10 px and more in its drawing on a phone of 360 px: ${name}`, async () => {
      for (const javaScriptEnabled of [true, false]) {
        const page = await open(name, { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true, javaScriptEnabled });
        const drawing = page.locator("svg.elevation >> visible=true");
        assert.equal(await drawing.count(), 1);
        // A browser without scripts still answers for its layout.
        const scale = (await drawing.boundingBox()).width / Number((await drawing.getAttribute("viewBox")).split(" ")[2]);
        const sizes = (await drawing.innerHTML()).match(/font-size="[\d.]+"/g).map((each) => Number.parseFloat(each.slice(11)));
        assert.ok(sizes.length > 3);
        assert.ok(Math.min(...sizes) * scale >= 10, `${Math.min(...sizes)} px at ${scale}`);
        await page.done();
      }
    });
  }

  itShows(["demo"], "lets a phone move the drawing sideways, by hand and by key, and shows what a finding is about", async () => {
    const page = await open("demo", { viewport: { width: 360, height: 740 } });
    const box = page.locator(".picture:not([hidden])");
    const at = () => box.evaluate((element) => element.scrollLeft);
    const [wide, room] = await box.evaluate((element) => [element.scrollWidth, element.clientWidth]);
    assert.ok(wide > room + 100, `${wide} in ${room}`);
    assert.ok(await page.locator("#sideways").isVisible());
    await box.focus();
    await page.keyboard.press("ArrowRight");
    await page.waitForFunction(() => document.querySelector(".picture:not([hidden])").scrollLeft > 0);
    await box.evaluate((element) => { element.scrollLeft = element.scrollWidth; });
    assert.ok(Math.abs(await at() + room - wide) <= 1);
    for (const where of ["seedbeds", "shed-2"]) {
      await page.locator(`button.go[data-where="${where}"]`).first().click();
      const [left, right] = await box.locator(".asked-for").first().evaluate((part) => {
        const seen = part.closest(".picture").getBoundingClientRect();
        const its = part.getBoundingClientRect();
        return [its.left - seen.left, seen.right - its.right];
      });
      assert.ok(left >= 0 && right >= 0, `${where}: ${left}, ${right}`);
    }
    await page.done();
    // Where all of it is seen there is nothing to move.
    const desk = await open("demo");
    assert.ok(!(await desk.locator("#sideways").isVisible()));
    await desk.done();
  });

  itShows(["demo", "forty", "year"], "takes less than 500 kB for a day of the demo, and 650 kB for forty tanks", () => {
    assert.ok(statSync(pages.demo).size < 500000, String(statSync(pages.demo).size));
    assert.ok(statSync(pages.year).size < 500000, String(statSync(pages.year).size));
    assert.ok(statSync(pages.forty).size < 650000, String(statSync(pages.forty).size));
  });

  itShows(["demo"], "moves the water, and says how much there is, when the slider moves", async () => {
    const page = await open("demo");
    const body = shown(page, '[id$="-tank-0"] .body');
    const look = async () => [await body.getAttribute("transform"),
                              await shown(page, '[data-of="tank-0"][data-role="holds"]').textContent()];
    const table = csv(pages.demoCsv);
    const column = table.head.indexOf("shed-1.depth_m");
    for (const at of [0, 200, 582, 1440]) {
      await put(page, at);
      const [transform, holds] = await look();
      const depth = table.rows[at][column];
      const moved = await body.evaluate((element, [move, metres]) => {
        const d = element.dataset;
        return Math.abs(Number(move.match(/-?[\d.]+(?=\))/)[0]) - (d.floorY - metres * d.pxPerM - d.surfaceY));
      }, [transform, depth]);
      assert.ok(moved < 0.02, `${moved} px off at ${at}`);
      const litres = depth * 1100;  // 1.1 m2
      assert.ok(Math.abs(Number.parseFloat(holds) - litres) <= 0.6, `${holds} for ${litres}`);
    }
    await page.done();
  });

  itShows(["demo"], "shows which way the water goes in a hose, and how much", async () => {
    const page = await open("demo");
    const table = csv(pages.demoCsv);
    const column = table.head.indexOf("shed-3-rail.flow_l_min");
    const arrow = shown(page, '[id$="-hose-2"] .way').first();
    const turns = {};
    for (const sign of [1, -1]) {
      const at = table.rows.findIndex((row) => row[column] * sign > 1);
      await put(page, at);
      assert.ok((await arrow.getAttribute("class")).includes("runs"));
      turns[sign] = Number((await arrow.getAttribute("transform")).match(/rotate\((-?[\d.]+)/)[1]);
      const label = await shown(page, '[data-of="hose-2"] [data-role="flow"]').first().textContent();
      const flow = Math.abs(table.rows[at][column]);
      assert.ok(Math.abs(Number.parseFloat(label) - flow) <= (flow < 9.95 ? 0.011 : 0.051), `${label} for ${flow}`);
    }
    assert.equal(Math.abs(turns[1] - turns[-1]) % 360, 180);
    await put(page, 0);
    assert.ok(!(await arrow.getAttribute("class")).includes("runs"));
    await page.done();
  });

  itShows(["demo"], "leads from each finding to its moment", async () => {
    const page = await open("demo");
    const json = JSON.parse(tankyard("run", example("larch-hill.toml"), "--json"));
    const timed = json.findings.filter((each) => each.at_s !== null && each.severity !== "note");
    const buttons = page.locator("ol.findings > li > p > button.go[data-frame]");
    assert.ok(timed.length >= 3);
    const all = (await buttons.all()).slice(0, timed.length);
    assert.equal(all.length, timed.length);
    for (const [k, finding] of timed.entries()) {
      await all[k].click();
      const at = await page.evaluate(() => tankyardPage.film.time[tankyardPage.frame()]);
      assert.ok(at >= finding.at_s - 0.01 && at < finding.at_s + 60.01, `${at} for ${finding.at_s}`);
      assert.match(await page.locator("#clock").innerText(), /^\d\d:\d\d$/);
      const marked = await shown(page, ".asked-for").evaluateAll((parts) => parts.map((part) => part.dataset.name));
      assert.ok(marked.every((name) => name === finding.where) && marked.length > 0, finding.where);
    }
    // What is always so has a place and no moment.
    const now = await frame(page);
    await page.locator("button.go:not([data-frame])").first().click();
    assert.equal(await frame(page), now);
    assert.ok(await shown(page, ".asked-for").count() > 0);
    await page.done();
  });

  itShows(["demo"], "plots the numbers of the CSV", async () => {
    const page = await open("demo");
    const table = csv(pages.demoCsv);
    const plots = await page.evaluate(() => tankyardPage.plots.map((plot) => ({
      time: Array.from(plot.u.data[0]),
      lines: plot.lines.map((line, k) => ({ key: line.key, name: line.name, values: Array.from(plot.u.data[k + 1]) })),
    })));
    const base = { "shed-1": 0.43, "shed-2": 0.43, "shed-3": 0.47, "glass-1": 0.35, "glass-2": 0.35, cistern: 0.05, bench: 0.15 };
    let compared = 0;
    for (const plot of plots) {
      assert.deepEqual(plot.time, table.rows.map((row) => row[0]));
      for (const line of plot.lines) {
        const depth = line.key.endsWith("depth_m");
        const column = table.head.indexOf(line.name + (depth ? ".depth_m" : ".flow_l_min"));
        assert.ok(column > 0, line.name);
        for (const [k, value] of line.values.entries()) {
          const wanted = table.rows[k][column] + (depth ? base[line.name] : 0);
          assert.ok(Math.abs(value - wanted) <= (depth ? 0.5001e-4 : 0.5001e-2), `${line.name} at row ${k}: ${value}, not ${wanted}`);
          ++compared;
        }
      }
    }
    assert.equal(compared, 16 * 1441);
    await page.done();
  });

  itShows(["demo"], "reads out a plot where it is pointed at, zooms all plots together, and moves the picture", async () => {
    const page = await open("demo");
    const over = page.locator(".plot .u-over").first();
    await over.scrollIntoViewIfNeeded();
    const box = await over.boundingBox();
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.waitForFunction(() => /^at 1[67]:\d\d$/.test(document.querySelector(".at").textContent));
    const [, hour, minute] = (await page.locator(".at").first().innerText()).match(/(\d\d):(\d\d)/).map(Number);
    const pointed = hour * 60 + minute - 300;
    assert.ok(Math.abs(pointed - 720) <= 2, `the middle is minute ${pointed}`);  // a pixel is 1.2 min
    const table = csv(pages.demoCsv);
    const level = table.rows[pointed][table.head.indexOf("shed-1.depth_m")] + 0.43;
    assert.equal(await page.locator(".legend .value").first().innerText(), `${level.toFixed(3)} m`);
    await page.mouse.click(box.x + box.width / 4, box.y + 20);
    assert.ok(Math.abs(await frame(page) - 360) <= 2);
    await page.mouse.move(box.x + box.width / 4, box.y + 20);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width / 2, box.y + 30, { steps: 4 });
    await page.mouse.up();
    const ranges = await page.evaluate(() => tankyardPage.plots.map((plot) => [plot.u.scales.x.min, plot.u.scales.x.max]));
    for (const [from, to] of ranges) {
      assert.ok(Math.abs(from - 21600) < 200 && Math.abs(to - 43200) < 200, `${from} to ${to}`);
    }
    await page.locator("#zoom-all").click();
    assert.equal(await page.evaluate(() => tankyardPage.plots[1].u.scales.x.max), 86400);
    const button = page.locator(".legend button").first();
    await button.click();
    assert.equal(await button.getAttribute("aria-pressed"), "false");
    assert.equal(await page.evaluate(() => tankyardPage.plots[0].u.series[1].show), false);
    await page.done();
  });

  itShows(["year"], "keeps every peak of a year", async () => {
    const page = await open("year");
    const json = JSON.parse(tankyard("run", pages.yearPlan, "--json"));
    const lines = await page.evaluate(() => tankyardPage.plots.flatMap((plot) => plot.lines.map((line, k) => ({
      key: line.key, name: line.name, low: Math.min(...plot.u.data[k + 1]), high: Math.max(...plot.u.data[k + 1]),
    }))));
    const bases = { upper: 0.4, lower: 0 };
    for (const tank of json.tanks) {
      const line = lines.find((each) => each.name === tank.name && each.key.endsWith("depth_m"));
      assert.ok(Math.abs(line.high - bases[tank.name] - tank.highest_depth_m) < 1e-4, `${tank.name}: ${line.high}`);
      assert.ok(Math.abs(line.low - bases[tank.name] - tank.lowest_depth_m) < 1e-4, `${tank.name}: ${line.low}`);
    }
    const hose = lines.find((each) => each.name === "link");
    const peak = json.hoses[0].peak_l_min;
    // A row of the series lies between two steps, and may be a little over what either of them had.
    const kept = Math.abs(peak > 0 ? hose.high : hose.low);
    assert.ok(kept > Math.abs(peak) - 0.006 && kept < Math.abs(peak) * 1.01, `${kept} for ${peak}`);
    await page.done();
  });

  itShows(["lids"], "shows a tank under vacuum, and one past what it may bear, without colour too", async () => {
    const page = await open("lids");
    await page.locator("button.go[data-frame]").first().click();
    const tank = shown(page, 'g[id$="-tank-1"]');
    assert.match(await tank.getAttribute("class"), /\bvacuum\b.*\bpast\b/);
    assert.ok(await tank.locator(".presses.in").isVisible());
    assert.ok(!(await tank.locator(".presses.out").isVisible()));
    assert.match(await shown(page, '[data-of="tank-1"][data-role="air"]').textContent(), /^vacuum \d+ Pa!$/);
    assert.match(await page.locator("#happening").innerText(), /wash-down/);
    assert.ok(await page.getByText("never over stored fuel").isVisible());
    await page.done();
  });

  itShows(["pump"], "shows a pump at work, with its water", async () => {
    const page = await open("pump");
    const at = await page.evaluate(() => tankyardPage.film.time.findIndex((time) => time >= 45 * 60));
    await put(page, at);
    assert.match(await shown(page, "g.pump[id]").getAttribute("class"), /running/);
    assert.match(await shown(page, '[data-of="pump-0"][data-role="state"]').textContent(), /^3\d\.\d L\/min$/);
    assert.ok(await shown(page, 'g.hose[data-name="booster"] .way.runs').count() > 0);
    await put(page, 0);
    assert.equal(await shown(page, '[data-of="pump-0"][data-role="state"]').textContent(), "pump, off");
    await page.done();
  });

  itShows(["isolate"], "goes through the steps of taking a tank out", async () => {
    const page = await open("isolate");
    const valve = shown(page, '[data-of="hose-0"] [data-role="valve"]');
    const seen = [];
    for (let k = 0; k <= Number(await page.locator("#moment").getAttribute("max")); ++k) {
      await put(page, k);
      seen.push([await page.locator("#happening").innerText(), await valve.textContent()]);
    }
    const shut = seen.findIndex(([says]) => /shut V1 /.test(says));
    const opened = seen.findIndex(([says]) => /open V1 /.test(says));
    assert.ok(shut > 0 && opened > shut, seen.join("\n"));
    for (const [k, [, state]] of seen.entries()) {
      assert.match(state, k >= shut && k < opened ? /shut$/ : /open$/, `step ${k}`);
    }
    assert.ok(await page.getByText("a tank is a confined space").isVisible());
    await page.done();
  });

  itShows(["faults", "link", "season"], "shows what a study's answer is about", async () => {
    let page = await open("link");
    assert.ok(await shown(page, 'g.hose[data-name^="shed-4-"]').count() > 0);
    await page.done();
    page = await open("faults");
    assert.match(await page.locator(".about").innerText(), /worst single failure/);
    await page.done();
    page = await open("season");
    const json = JSON.parse(tankyard("season", planFile(used()), "--rain", pages.rain, "--json"));
    const lines = await page.evaluate(() => tankyardPage.plots[0].lines.map((line, k) => ({ name: line.name, sum: tankyardPage.plots[0].u.data[k + 1].reduce((a, b) => a + b, 0) })));
    const total = json.total;
    assert.ok(Math.abs(lines.find((line) => line.name === "used").sum - total.used_l) < 3, JSON.stringify([lines, total]));
    await page.done();
  });

  itShows(["demo"], "can be worked with the keyboard alone", async () => {
    const page = await open("demo");
    const reached = new Set();
    for (let k = 0; k < 60; ++k) {
      await page.keyboard.press("Tab");
      reached.add(await page.evaluate(() => document.activeElement.id || document.activeElement.className || document.activeElement.tagName));
      if (reached.has("moment")) break;
    }
    for (const id of ["go", "play", "earlier", "later", "moment"]) assert.ok(reached.has(id), `${id} of ${[...reached]}`);
    await page.keyboard.press("ArrowRight");
    assert.equal(await frame(page), 1);
    await page.keyboard.press("End");
    assert.equal(await frame(page), 1440);
    assert.match(await page.locator("#moment").getAttribute("aria-valuetext"), /^05:00/);
    await page.keyboard.press("Home");
    await page.locator("#later").focus();
    await page.keyboard.press("Enter");
    assert.equal(await page.locator("#clock").innerText(), "06:30");
    await page.locator("#play").focus();
    await page.keyboard.press("Space");
    await page.waitForFunction(() => tankyardPage.frame() > 95);
    await page.keyboard.press("Space");
    assert.equal(await page.locator("#play").innerText(), "Play");
    await page.done();
  });

  itShows(["demo"], "says it all without scripts, but for what moves", async () => {
    const page = await open("demo", { javaScriptEnabled: false });
    assert.match(await page.locator(".answer").innerText(), /1508 L were used/);
    assert.ok(await page.getByText("spill-with-room at shed-1").isVisible());
    assert.equal(await page.locator("svg.elevation >> visible=true").count(), 1);
    assert.ok(!(await page.locator("#play").isVisible()));
    assert.ok(!(await page.locator("button.go").first().isVisible()));
    await page.done();
  });

  itShows(["hostile"], "shows hostile names as text", async () => {
    const page = await open("hostile");
    assert.equal(await page.locator("h1").innerText(), hostileNames[0]);
    assert.equal(await page.evaluate(() => window.hurt), undefined);
    assert.equal(await page.locator("img, iframe, object, embed, link, b").count(), 0);
    assert.equal(await page.locator("script").count(), 3);
    await page.evaluate(() => { for (const each of document.querySelectorAll("details")) each.open = true; });
    const text = await page.locator("#details").innerText();
    for (const name of hostileNames) assert.ok(text.includes(name), name);
    const legend = await page.locator(".legend .name").allTextContents();
    for (const name of hostileNames) assert.ok(legend.includes(name), name);
    const titles = await page.evaluate(() => Array.from(document.querySelectorAll("g.tank")).map((each) => each.dataset.name));
    for (const name of hostileNames) assert.ok(titles.includes(name), name);
    await page.done();
  });

  itShows(["demo"], "names everything and has contrast, as axe-core sees it", async () => {
    for (const [name, scheme, width] of [["demo", "light", 1280], ["demo", "dark", 1280], ["demo", "light", 360],
                                         ["lids", "dark", 360], ["lids", "light", 1280], ["hostile", "light", 1280],
                                         ["isolate", "light", 1280], ["season", "dark", 1280]]) {
      if (!shownPages.includes(name)) continue;
      const page = await open(name, { colorScheme: scheme, viewport: { width, height: 800 } });
      if (name === "lids") await page.locator("button.go").first().click();
      await page.evaluate(() => { for (const each of document.querySelectorAll("details")) each.open = true; });
      await page.evaluate(axe.source);
      const found = await page.evaluate(() => axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"] }));
      const said = found.violations.map((each) => `${name} ${scheme} ${width}: ${each.id}: ${each.nodes.slice(0, 3).map((node) => node.html.slice(0, 160)).join(" | ")}`);
      assert.deepEqual(said, []);
      assert.ok(found.passes.length > 15);
      await page.done();
    }
  });

  itShows(["demo"], "prints on one or two sheets of A4, light also in the dark", async () => {
    for (const name of ["demo", "lids", "one"].filter((each) => shownPages.includes(each))) {
      const page = await open(name, { colorScheme: "dark" });
      const pdf = (await page.pdf({ preferCSSPageSize: true })).toString("latin1");
      const sheets = pdf.match(/\/Type \/Page\b(?!s)/g).length;
      assert.ok(sheets <= 2, `${name}: ${sheets} sheets`);
      assert.match(pdf, /\/MediaBox \[0 0 59[45](\.\d+)? 84[12](\.\d+)?\]/);
      await page.emulateMedia({ media: "print" });
      assert.ok(!(await page.locator("#moment").isVisible()));
      assert.ok(await page.locator(".answer").isVisible());
      await page.done();
    }
  });

  itShows(["forty"], "prints a drawing that is higher than a sheet in pieces, and cuts no row", async () => {
    const page = await open("forty");
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString("latin1");
    const sheets = pdf.match(/\/Type \/Page\b(?!s)/g).length;
    assert.ok(sheets <= 7, `${sheets} sheets`);
    await page.setViewportSize({ width: 718, height: 1000 });
    await page.emulateMedia({ media: "print" });
    await page.evaluate(() => window.dispatchEvent(new Event("beforeprint")));
    const rows = await page.locator('#printed [data-role="row"]').count();
    assert.ok(rows > 5, `${rows} rows`);
    const heights = await page.locator(".piece").evaluateAll((pieces) => pieces.map((piece) => piece.getBoundingClientRect().height));
    assert.equal(heights.length, rows);
    assert.ok(heights.every((height) => height > 100 && height < 1000), heights.join());
    const shares = await page.locator(".piece").evaluateAll((pieces) => pieces.map((piece) => piece.getAttribute("viewBox").split(" ").map(Number)));
    for (const [k, [, top, , high]] of shares.entries()) {
      if (k > 0) assert.ok(Math.abs(top - shares[k - 1][1] - shares[k - 1][3]) < 1e-6);
      assert.ok(high > 0);
    }
    await page.evaluate(() => window.dispatchEvent(new Event("afterprint")));
    assert.equal(await page.locator(".piece, #printed").count(), 0);
    await page.done();
  });

  itShows(["demo"], "lets the network in by no way", () => {
    const html = readFileSync(pages.demo, "utf8");
    const policy = html.match(/http-equiv="Content-Security-Policy" content="([^"]*)"/)[1];
    assert.match(policy, /^default-src 'none'; script-src ('sha256-[A-Za-z0-9+/]{43}=' ?)+; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'$/);
    assert.ok(!/\s(src|href|action|srcset|poster|data)=["']?(?!#)/i.test(html.replace(/<script[^]*?<\/script>/g, "")));
  });
});
