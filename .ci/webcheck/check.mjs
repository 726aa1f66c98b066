// What must hold of the page at an address. See run.
import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { HtmlValidate } from "html-validate";
import jsQR from "jsqr";
import { Browser } from "./devtools.mjs";

const address = process.argv[2];
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
let faults = 0;
const fault = (text) => {
  faults++;
  console.error("webcheck: " + text);
};

const html = await (await fetch(address)).text();
const report = await new HtmlValidate({
  extends: ["html-validate:standard", "html-validate:a11y", "html-validate:document"],
  rules: {
    "no-trailing-whitespace": "off",
    "long-title": "off", // a plan's title is its owner's
    "prefer-native-element": "off", // a region that scrolls is not a landmark section
  },
}).validateString(html, "page.html");
for (const m of report.results.flatMap((r) => r.messages)) fault(`HTML ${m.line}:${m.column} ${m.ruleId}: ${m.message}`);
console.log(`HTML: ${html.length} characters, ${report.errorCount} errors, ${report.warningCount} warnings`);

const browser = await Browser.launch();
const { product } = await browser.send("Browser.getVersion");
const origin = new URL(address).origin;

for (const [width, height, scheme] of [[360, 740, "light"], [1280, 900, "dark"]]) {
  for (const script of width < 600 ? [true, false] : [true]) {
    const name = `${width}-${scheme}${script ? "" : "-noscript"}`;
    const page = await browser.page();
    await page.look({ width, height, scheme, script });
    await page.open(address);
    if (script) {
      await page.evaluate("document.querySelectorAll('details').forEach((d, i) => { d.open = i < 2 })");
      const wide = await page.evaluate(`[...document.querySelectorAll("body *")].filter((e) => !e.closest(".scroll, .unseen, .skip, svg") && e.getBoundingClientRect().right > innerWidth + 1).map((e) => e.tagName + "." + e.className)`);
      if (wide.length) fault(`${name}: wider than the screen: ${wide.slice(0, 5).join(", ")}`);
      const scroll = await page.evaluate("document.documentElement.scrollWidth - innerWidth");
      if (scroll > 0) fault(`${name}: scrolls sideways by ${scroll} px`);
      await page.send("Page.setBypassCSP", { enabled: true }); // for axe alone; the page's own policy was held to above
      await page.evaluate(axe + ";0");
      for (const open of width < 600 ? [false] : [false, true]) {
        await page.evaluate(`document.querySelectorAll("details").forEach((d) => { d.open = ${open} })`);
        const found = JSON.parse(await page.evaluate(`axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }).then((r) => JSON.stringify({ violations: r.violations, passes: r.passes.length, incomplete: r.incomplete.map((i) => i.id + " (" + i.nodes.length + ")") }))`));
        for (const v of found.violations) fault(`${name}: axe ${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 120) + " " + n.failureSummary.split("\n")[1]).join(" | ")}`);
        console.log(`${name}, details ${open ? "open" : "closed"}: axe ${found.violations.length} violations, ${found.passes} rules passed, undecided: ${found.incomplete.join(", ") || "none"}`);
      }
      await page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = false })");
      const small = await page.evaluate(`[...document.querySelectorAll("a, button, summary")].filter((e) => { const r = e.getBoundingClientRect(); return r.width && (r.height < 24 || r.width < 24) && !e.closest("p, .skip") }).map((e) => e.textContent + " " + e.getBoundingClientRect().height)`);
      if (small.length) fault(`${name}: too small to touch: ${small.slice(0, 5).join(", ")}`);
    }
    writeFileSync(`page-${name}.png`, await page.picture({ height }));
    for (const c of page.complaints) fault(`${name}: ${c}`);
    for (const r of page.requests) if (!r.startsWith(origin + "/") && !r.startsWith("data:")) fault(`${name}: asked for ${r}`);
  }
}

// The keyboard reaches everything, in the order of the page, and shows where it is.
{
  const page = await browser.page();
  await page.look({ width: 1280, height: 900, scheme: "light" });
  await page.open(address);
  const all = await page.evaluate(`[...document.querySelectorAll("a[href], button, summary, [tabindex]")].filter((e) => e.checkVisibility()).length`);
  const stops = [];
  for (let i = 0; i < all; i++) {
    await page.send("Input.dispatchKeyEvent", { type: "keyDown", key: "Tab", code: "Tab", windowsVirtualKeyCode: 9 });
    await page.send("Input.dispatchKeyEvent", { type: "keyUp", key: "Tab", code: "Tab", windowsVirtualKeyCode: 9 });
    stops.push(await page.evaluate(`(() => { const e = document.activeElement, s = getComputedStyle(e); return { tag: e.tagName, order: [...document.querySelectorAll("*")].indexOf(e), shown: s.outlineStyle !== "none" || e.className === "skip" }; })()`));
  }
  if (stops.some((s) => s.tag === "BODY")) fault(`keyboard: reached nothing at ${stops.findIndex((s) => s.tag === "BODY")} of ${all} stops`);
  if (stops.some((s, i) => i && s.order <= stops[i - 1].order)) fault("keyboard: not in the order of the page");
  if (stops.some((s) => !s.shown)) fault("keyboard: a stop that cannot be seen");
  console.log(`keyboard: ${all} stops`);
}

// What people subscribe to is there.
{
  const page = await browser.page();
  await page.look({ width: 1280, height: 900, scheme: "light" });
  await page.open(address);
  const links = await page.evaluate(`[...document.querySelectorAll(".feeds li")].map((li) => ({ address: li.querySelector(".address").href, webcal: li.querySelector(".webcal").href, copy: !li.querySelector(".copy").hidden }))`);
  if (!links.length) fault("no feed to subscribe to");
  for (const l of links) {
    if (l.webcal !== l.address.replace(/^https?:/, "webcal:") || !l.copy) fault(`subscribe: ${JSON.stringify(l)}`);
    const reply = await fetch(l.webcal.replace(/^webcal:/, "http:"));
    const body = await reply.text();
    if (reply.status !== 200 || reply.headers.get("content-type") !== "text/calendar; charset=utf-8") fault(`${l.address}: ${reply.status} ${reply.headers.get("content-type")}`);
    if (!body.startsWith("BEGIN:VCALENDAR\r\n") || !body.endsWith("END:VCALENDAR\r\n")) fault(`${l.address}: no calendar`);
  }
  await browser.send("Browser.grantPermissions", { permissions: ["clipboardReadWrite", "clipboardSanitizedWrite"], origin });
  await page.send("Page.bringToFront");
  await page.evaluate(`document.querySelector(".copy").click()`);
  const said = await page.evaluate(`new Promise((r) => setTimeout(() => r(document.getElementById("said").textContent), 300))`);
  if (said !== "copied: " + links[0].address) fault(`copy: ${said}`);
  console.log(`feeds: ${links.length} links`);
  // Every code, read by another program than wrote it, is the first link of its site.
  const codes = await page.evaluate(`[...document.querySelectorAll(".subscribe")].map((s) => ({ path: s.querySelector(".code .black").getAttribute("d"), size: s.querySelector(".code").viewBox.baseVal.width, address: s.querySelector(".webcal").href }))`);
  if (!codes.length) fault("no code for a telephone's camera");
  for (const c of codes) {
    const scale = 4, side = c.size * scale, pixels = new Uint8ClampedArray(4 * side * side).fill(255);
    for (const [, x, y, n] of c.path.matchAll(/M(\d+) (\d+)h(\d+)/g))
      for (let v = y * scale; v < (+y + 1) * scale; v++)
        for (let h = x * scale; h < (+x + +n) * scale; h++) pixels.fill(0, 4 * (v * side + h), 4 * (v * side + h) + 3);
    const read = jsQR(pixels, side, side)?.data;
    if (read !== c.address) fault(`code: reads ${read}, want ${c.address}`);
  }
  console.log(`codes: ${codes.length} read`);
  const pictures = await page.evaluate(`[...document.querySelectorAll('a[type="image/svg+xml"]')].map((a) => a.href)`);
  if (!pictures.length) fault("no picture to pass on");
  for (const p of pictures) {
    const reply = await fetch(p);
    if (reply.status !== 200 || reply.headers.get("content-type") !== "image/svg+xml") fault(`${p}: ${reply.status}`);
  }
}

await browser.close();
console.log(`${product}: ${faults ? faults + " faults" : "all is well"}`);
process.exit(faults ? 1 : 0);
