// What must hold of pages that are files: in their first screen's text stand the next thing to do, its chance and what
// moved; nothing is lost in print nor smaller than 9 pt; axe has nothing to say. See run.
import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { Browser } from "./devtools.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
let faults = 0;
const fault = (text) => {
  faults++;
  console.error("webcheck: " + text);
};

// Text whose box lies in the first screen.
const firstScreen = `(() => {
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const list = [];
  for (let n = walk.nextNode(); n; n = walk.nextNode()) {
    const e = n.parentElement;
    if (!e.checkVisibility() || e.closest(".unseen, .skip, style, script, title, desc")) continue;
    const range = document.createRange();
    range.selectNodeContents(n);
    const r = range.getBoundingClientRect();
    if (r.width && r.top >= 0 && r.bottom <= innerHeight) list.push(n.textContent);
  }
  return list.join(" ").replace(/\\s+/g, " ");
})()`;

// In print: the smallest letters, in points, and the entries that are not there.
const printed = `(() => {
  let least = 99, of = "";
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let n = walk.nextNode(); n; n = walk.nextNode()) {
    const e = n.parentElement;
    if (!n.textContent.trim() || !e.checkVisibility() || e.closest(".unseen, .skip, style, script, title, desc")) continue;
    const box = e.closest("svg[viewBox]");
    const scale = box ? box.getBoundingClientRect().width / box.viewBox.baseVal.width : 1;
    const size = parseFloat(getComputedStyle(e).fontSize) * scale * 0.75;
    if (size < least) least = size, of = e.tagName + "." + (e.className.baseVal ?? e.className) + " " + n.textContent.slice(0, 30);
  }
  const lost = [...document.querySelectorAll(".entry")].filter((e) => !e.getBoundingClientRect().height).length;
  return { least, of, lost, entries: document.querySelectorAll(".entry").length };
})()`;

const browser = await Browser.launch();
for (const name of process.argv.slice(2)) {
  const file = `${process.cwd()}/${name}.html`, html = readFileSync(file, "utf8");
  for (const [width, height, scheme] of [[390, 844, "light"], [768, 1024, "dark"], [1280, 900, "light"], [1920, 1080, "dark"]]) {
    const at = `${name} at ${width}`;
    const page = await browser.page();
    await page.look({ width, height, scheme });
    await page.open("file://" + file);
    const text = await page.evaluate(firstScreen);
    const next = await page.evaluate(`[...document.querySelectorAll(".next .do, .rows li:first-child")].map((e) => e.textContent.trim().replace(/\\s+/g, " "))`);
    if (!next.length || !next.every((n) => text.includes(n))) fault(`${at}: what is next is not in the first screen: ${next}`);
    const chances = await page.evaluate(`[...document.querySelectorAll(".next .sure, .rows li:first-child")].map((e) => e.textContent.match(/\\d+\\s%|if there is seed|in hand|booked|done/)?.[0].replace(/\\s/g, " "))`);
    if (chances.some((c) => !c || !text.includes(c)) || (!chances.length && name !== "empty")) fault(`${at}: its chance is not in the first screen: ${chances}`);
    const moved = await page.evaluate(`[...document.querySelectorAll(".moved")].map((e) => e.textContent.trim())`);
    if (!moved.length || !moved.every((m) => text.includes(m))) fault(`${at}: what moved is not in the first screen: ${moved}`);
    // Of a bush: the run ahead with its volume, and the order in which one crew taps all bushes.
    const sap = await page.evaluate(`[...document.querySelectorAll(".of-sap:not(.more), .crew p, .crew li")].map((e) => e.textContent.trim().replace(/\\s+/g, " "))`);
    if (!sap.every((s) => text.includes(s))) fault(`${at}: what is said of sap is not in the first screen: ${sap}`);
    const wanted = { demo: /very roughly .* from 600 taps/, sugarbush: /very roughly .* from 1800 taps/, crew: /One crew .*Ridge bush, sugar maple/ }[name];
    if (wanted && !wanted.test(sap.join(" "))) fault(`${at}: wanted ${wanted} of ${sap}`);
    const scroll = await page.evaluate("document.documentElement.scrollWidth - innerWidth");
    if (scroll > 0) fault(`${at}: scrolls sideways by ${scroll} px`);
    if (width === 390) {
      await page.send("Page.setBypassCSP", { enabled: true }); // for axe alone
      await page.evaluate(axe + ";0");
      const found = JSON.parse(await page.evaluate(`axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }).then((r) => JSON.stringify(r.violations))`));
      for (const v of found) fault(`${at}: axe ${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 120)).join(" | ")}`);
    }
    writeFileSync(`${name}-${width}.png`, await page.picture({ height }));
  }
  for (const [paper, width, paperWidth, paperHeight] of [["a4", 703, 8.27, 11.69], ["letter", 725, 8.5, 11]]) {
    const page = await browser.page();
    await page.look({ width, height: 900, scheme: "light", media: "print" });
    await page.open("file://" + file);
    const p = await page.evaluate(printed);
    if (p.least < 8.99) fault(`${name} on ${paper}: found letters of ${p.least.toFixed(1)} pt in ${p.of}, want 9 or more`);
    if (p.lost) fault(`${name} on ${paper}: ${p.lost} of ${p.entries} entries are lost`);
    console.log(`${name} on ${paper}: ${p.entries} entries, letters of ${p.least.toFixed(1)} pt or more`);
    if (paper === "a4") {
      const pdf = await page.print({ paperWidth, paperHeight, landscape: false });
      writeFileSync(`${name}.pdf`, pdf);
      const sheets = (pdf.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length;
      console.log(`${name}: ${html.length} bytes, ${sheets} sheets`);
    }
  }
}
// On the wall: a sheet a site on paper of each size, and letters that can be read.
for (const [paper, paperWidth, paperHeight] of [["a4", 8.27, 11.69], ["letter", 8.5, 11], ["a3", 11.69, 16.54]]) {
  const page = await browser.page();
  await page.look({ width: Math.round((paperHeight - 0.79) * 96), height: Math.round((paperWidth - 0.79) * 96), scheme: "light", media: "print" });
  await page.open(`file://${process.cwd()}/wall.html`);
  const sites = await page.evaluate(`document.querySelectorAll(".sheet").length`);
  const { least, of } = await page.evaluate(printed);
  const pdf = await page.print({ paperWidth, paperHeight });
  writeFileSync(`wall-${paper}.pdf`, pdf);
  const sheets = (pdf.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length;
  if (sheets !== sites) fault(`wall on ${paper}: found ${sheets} sheets, want ${sites}`);
  if (least < 8.99) fault(`wall on ${paper}: found letters of ${least.toFixed(1)} pt in ${of}, want 9 or more`);
  console.log(`wall on ${paper}: ${sheets} sheets, letters of ${least.toFixed(1)} pt or more`);
}
await browser.close();
process.exit(faults ? 1 : 0);
