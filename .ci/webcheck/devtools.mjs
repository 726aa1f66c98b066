// A browser, driven over its DevTools protocol.
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import WebSocket from "ws";

export class Browser {
  static async launch() {
    const b = new Browser();
    b.profile = mkdtempSync(join(tmpdir(), "webcheck-"));
    const args = ["--headless=new", "--remote-debugging-port=0", "--user-data-dir=" + b.profile, "--no-first-run",
      "--disable-gpu", "--hide-scrollbars", "--disable-dev-shm-usage", "about:blank"];
    if (process.getuid?.() === 0) args.unshift("--no-sandbox"); // it refuses to run as root with one
    b.process = spawn("chromium", args, { stdio: ["ignore", "ignore", "pipe"] });
    const endpoint = await new Promise((resolve, reject) => {
      let said = "";
      b.process.stderr.on("data", (data) => {
        said += data;
        const found = said.match(/DevTools listening on (ws:\S+)/);
        if (found) resolve(found[1]);
      });
      b.process.on("exit", () => reject(new Error("chromium ended: " + said)));
      setTimeout(() => reject(new Error("chromium does not answer: " + said)), 30_000).unref();
    });
    b.socket = new WebSocket(endpoint, { perMessageDeflate: false });
    b.waiting = new Map();
    b.listeners = [];
    b.next = 1;
    b.socket.on("message", (data) => {
      const message = JSON.parse(data);
      if (!message.id) return b.listeners.forEach((tell) => tell(message));
      const { resolve, reject } = b.waiting.get(message.id);
      b.waiting.delete(message.id);
      message.error ? reject(new Error(message.error.message)) : resolve(message.result);
    });
    await new Promise((resolve) => b.socket.on("open", resolve));
    return b;
  }

  send(method, params = {}, sessionId) {
    return new Promise((resolve, reject) => {
      const id = this.next++;
      this.waiting.set(id, { resolve, reject });
      this.socket.send(JSON.stringify({ id, method, params, sessionId }));
    });
  }

  async page() {
    const { targetId } = await this.send("Target.createTarget", { url: "about:blank" });
    const { sessionId } = await this.send("Target.attachToTarget", { targetId, flatten: true });
    const page = new Page(this, sessionId);
    for (const domain of ["Page", "Runtime", "Network", "Log"]) await page.send(domain + ".enable");
    return page;
  }

  async close() {
    await this.send("Browser.close").catch(() => {});
    await new Promise((resolve) => (this.process.exitCode === null ? this.process.on("exit", resolve) : resolve()));
    rmSync(this.profile, { recursive: true, force: true, maxRetries: 5 });
  }
}

export class Page {
  constructor(browser, session) {
    this.browser = browser;
    this.session = session;
    this.requests = [];
    this.complaints = [];
    browser.listeners.push((m) => {
      if (m.sessionId !== session) return;
      if (m.method === "Network.requestWillBeSent") this.requests.push(m.params.request.url);
      if (m.method === "Runtime.exceptionThrown") this.complaints.push("exception: " + m.params.exceptionDetails.text);
      if (m.method === "Runtime.consoleAPICalled" && ["error", "warning", "assert"].includes(m.params.type))
        this.complaints.push("console: " + m.params.args.map((a) => a.value).join(" "));
      if (m.method === "Log.entryAdded" && ["error", "warning"].includes(m.params.entry.level))
        this.complaints.push("log: " + m.params.entry.text);
    });
  }

  send(method, params) {
    return this.browser.send(method, params, this.session);
  }

  async open(url) {
    const loaded = new Promise((resolve) =>
      this.browser.listeners.push((m) => m.sessionId === this.session && m.method === "Page.loadEventFired" && resolve()));
    await this.send("Page.navigate", { url });
    await loaded;
  }

  async look({ width, height, scheme, media = "screen", script = true }) {
    await this.send("Emulation.setDeviceMetricsOverride", { width, height, deviceScaleFactor: 1, mobile: width < 600 });
    await this.send("Emulation.setEmulatedMedia", { media, features: [{ name: "prefers-color-scheme", value: scheme }] });
    await this.send("Emulation.setScriptExecutionDisabled", { value: !script });
  }

  async evaluate(expression) {
    const r = await this.send("Runtime.evaluate", { expression, awaitPromise: true, returnByValue: true });
    if (r.exceptionDetails) throw new Error(r.exceptionDetails.exception?.description ?? r.exceptionDetails.text);
    return r.result.value;
  }

  async picture({ height } = {}) {
    const clip = height && { x: 0, y: 0, width: await this.evaluate("innerWidth"), height: 3 * height, scale: 1 };
    const r = await this.send("Page.captureScreenshot", { format: "png", captureBeyondViewport: true, clip });
    return Buffer.from(r.data, "base64");
  }

  async print(options) {
    const r = await this.send("Page.printToPDF", { preferCSSPageSize: false, landscape: true, printBackground: false, ...options });
    return Buffer.from(r.data, "base64");
  }
}
