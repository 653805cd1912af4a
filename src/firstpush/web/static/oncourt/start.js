/* Where the page begins: opens what is kept, takes up what was running, and sends what is not yet at home. */

import { el, head, press } from "./dom.js";
import { canShareFiles, fileOfEntries, nameOfFile, saveFile, shareFile } from "./file.js";
import { newId } from "./ids.js";
import { listScreen } from "./list.js";
import { makeOutbox } from "./outbox.js";
import { CourtSession, keptWords } from "./page.js";
import { othersRow, tellClocks } from "./several.js";
import { allowSound, stayAwake, tellAloud } from "./speak.js";
import { openStore } from "./store.js";
import { keepPageFresh } from "./update.js";

const TICK_MS = 200;

class CourtApp {
  constructor(root) {
    Object.assign(this, { root, sessions: [], offered: [], current: null, counts: null, sent: null, reachable: false, alone: false, links: {}, device: "", sound: { voice: false, beep: true, shake: true } });
    this.region = el("p.only-heard", { role: "status", "aria-live": "polite" });
    this.who = el("p.who");
    this.toList = press("List", () => this.open(null), { label: "To the list of sessions" });
    this.home = el("p.at-home", { role: "status" }, "…");
    this.others = el("ul.others");
    this.wrong = el("p.trouble", { role: "alert" });
    this.main = el("main", { id: "screen" });
    this.foot = el("footer.oncourt-foot");
    root.className = "oncourt";
    root.replaceChildren(el("header.oncourt-top", {}, this.who, this.toList, this.home), this.others, this.main, this.foot, this.region);
  }

  async begin() {
    this.store = await openStore();
    this.store.onChange((counts) => this.tellCounts(counts));
    this.tellCounts(this.store.counts());
    this.links = (await this.store.setting("links")) ?? {};
    this.sound = { ...this.sound, ...((await this.store.setting("sound")) ?? {}) };
    this.device = (await this.store.setting("device")) ?? newId();
    await this.store.keepSetting("device", this.device);
    const within = document.getElementById("court-package");
    this.alone = Boolean(within);
    if (within) await this.store.keepPackage(JSON.parse(within.textContent));
    await this.readSessions();
    document.addEventListener("pointerdown", allowSound, { once: false });
    setInterval(() => this.tick(), TICK_MS);
    this.draw();
    if (this.alone) return;
    keepPageFresh({ isRunning: () => this.sessions.some((each) => each.running) });
    this.outbox = makeOutbox(this.store, { report: (state) => this.tellSent(state) });
    this.outbox.start();
    await this.follow(location.hash.slice(1));
    globalThis.addEventListener("hashchange", () => this.follow(location.hash.slice(1)));
  }

  /** Take up every package and run that is kept here. */
  async readSessions() {
    const packs = await this.store.packages();
    const runs = await this.store.runs();
    const found = [];
    for (const run of runs) {
      const pack = packs.find((each) => each.plan === run.plan && each.version === run.version);
      if (pack) found.push(new CourtSession(this, pack, run.run));
    }
    for (const pack of packs) {
      if (!runs.some((run) => run.plan === pack.plan && run.version === pack.version)) found.push(new CourtSession(this, pack));
    }
    for (const session of found) await session.read();
    this.sessions = found;
    this.current ??= found.filter((each) => each.running).at(-1) ?? (this.alone && found.length === 1 ? found[0] : null);
  }

  /** Do what the address asks for: a session of the club, or the link of a printed code. */
  async follow(hash) {
    const plan = /^plan=(\d+)$/.exec(hash)?.[1];
    const link = plan || !hash ? null : hash;
    try {
      this.offered = await this.fetched("packages/", link);
      this.reachable = true;
      const wanted = this.offered.filter((each) => link || String(each.plan) === plan);
      for (const each of wanted) {
        if (!this.has(each)) this.trouble(`Fetching “${each.title}” for ${each.athlete}: the first time it is drawn, which takes some seconds.`);
        await this.fetchPackage(each, link);
      }
      const session = this.sessions.findLast(({ pack }) => wanted.some((each) => each.plan === pack.plan && each.version === pack.version));
      if (session) this.current = session;
      // The secret of a link stays with its session, and out of what a shoulder sees.
      if (hash) history.replaceState(null, "", location.pathname);
    } catch (error) {
      this.reachable = false;
      if (hash) this.trouble(error.words ?? "The application cannot be reached, so this session could not be fetched. Try again where there is signal.");
    }
    this.draw();
  }

  async fetched(address, link) {
    const answer = await fetch(`/court/${address}`, { headers: link ? { "X-Court-Link": link } : {}, cache: "no-store", redirect: "error" });
    if (answer.ok) return answer.json();
    const words = {
      401: "Log in first: open the application in this browser, log in, and come back.",
      403: "This login may not do this session.",
      404: "This session is not there, or its link has been withdrawn.",
      410: "This link has expired. Ask for a new one.",
    }[answer.status];
    throw Object.assign(new Error(String(answer.status)), { words: words ?? `The application answered ${answer.status}. Try again in a minute.` });
  }

  /** Whether a session is on this device as it is now at home. */
  has({ plan, version, checksum }) {
    return this.sessions.some(({ pack }) => pack.plan === plan && pack.version === version && pack.checksum === checksum);
  }

  /** Keep the package of a session on this device. */
  async fetchPackage({ plan, version }, link = null) {
    try {
      if (link) {
        this.links = { ...this.links, [`${plan}`]: link };
        await this.store.keepSetting("links", this.links);
      }
      const pack = await this.fetched(`packages/${plan}/${version}/`, link ?? this.links[plan] ?? null);
      await this.store.keepPackage(pack);
      this.trouble("");
      if (!this.sessions.some((each) => each.pack.plan === plan && each.pack.version === version)) this.sessions.push(new CourtSession(this, pack));
      this.draw();
    } catch (error) {
      this.trouble(error.words ?? `This session could not be fetched: ${error.message}. Try again where there is signal.`);
    }
  }

  linkOf(pack) {
    return this.links[pack.plan] ?? null;
  }

  /** Show a session, or the list. */
  open(session) {
    this.current = session;
    this.trouble("");
    this.draw();
  }

  /** Do a session once more. */
  again(pack) {
    const session = new CourtSession(this, pack);
    this.sessions.push(session);
    this.open(session);
  }

  begun() {
    void navigator.storage?.persist?.();
    void stayAwake(true);
  }

  changed() {
    this.drawFoot();
    void stayAwake(this.sessions.some((each) => each.running));
  }

  async giveBack(run) {
    const texts = await this.store.texts(run);
    const content = fileOfEntries(texts);
    const name = nameOfFile(this.current?.pack.athlete.name ?? "on court", new Date());
    if (!(canShareFiles() && (await shareFile(content, name)))) saveFile(content, name);
  }

  async setSound(which) {
    this.sound = { ...this.sound, [which]: !this.sound[which] };
    await this.store.keepSetting("sound", this.sound);
    this.draw();
  }

  trouble(words) {
    this.wrong.textContent = words;
  }

  tellCounts(counts) {
    this.counts = counts;
    this.drawHome();
  }

  tellSent(state) {
    this.sent = state;
    this.counts = state.counts ?? this.counts;
    this.reachable = state.phase !== "waiting";
    this.drawHome();
  }

  drawHome() {
    const counts = this.counts;
    const words = counts ? `${counts.onDevice} ${counts.onDevice === 1 ? "entry" : "entries"} on this device, ${counts.notHome} not yet at home` : "…";
    const more = !this.alone && counts?.notHome && this.sent?.phase === "login" ? ". Log in again to send them; nothing is lost" : "";
    this.home.textContent = words + more;
  }

  draw() {
    const session = this.current;
    this.who.replaceChildren(...(session ? session.who.filter(Boolean) : ["On court"]));
    const running = this.sessions.filter((each) => each.running || each === session);
    const row = othersRow(running, session, (each) => this.open(each));
    this.others.replaceWith(row);
    this.others = row;
    const screen = session ? session.screen() : listScreen(this);
    this.main.replaceChildren(this.wrong, ...screen.filter(Boolean));
    this.drawFoot();
    document.documentElement.style.setProperty("--foot", `${this.foot.offsetHeight}px`);
    this.tick();
    const first = this.main.querySelector("[data-first]");
    globalThis.scrollTo(0, 0);
    first?.focus({ preventScroll: true });
    document.title = session ? `${first?.textContent ?? ""}, ${session.pack.athlete.name}` : "On court";
  }

  drawFoot() {
    const session = this.current;
    this.foot.hidden = this.toList.hidden = !session;
    if (!session) return this.foot.replaceChildren();
    const last = session.last;
    this.foot.replaceChildren(
      el("div.row", {},
        el("p.said", {}, last ? `Kept: ${keptWords(session.pack, last)}` : ""),
        last ? press("Undo", () => session.undo()) : null,
        session.state.ended ? null : press("Something is wrong", () => session.show("signs", session.item), { look: "wrong" })));
  }

  tick() {
    for (const session of this.sessions) {
      const calls = session.timer.look();
      if (!calls.length) continue;
      // What is due at one moment is one sentence: a second one would wipe the first out before it is read.
      const words = calls.map((each) => each.words).join(". ");
      const ends = calls.some((each) => ["rest over", "end", "begin"].includes(each.kind));
      const name = session === this.current ? "" : `${session.pack.athlete.name}: `;
      tellAloud(name + words, { region: this.region, ...this.sound, tone: ends ? "end" : "count" });
    }
    tellClocks(this.others, this.sessions);
    for (const work of this.current?.ticks ?? []) work();
  }
}

const app = new CourtApp(document.getElementById("court"));
app.begin().catch((error) => {
  app.main.replaceChildren(
    head("This page cannot keep anything now"),
    el("p", {}, error.message),
    el("p", {}, "Close other windows of this page and open it again. Until then write on the paper sheet."),
    press("Try again", () => location.reload(), { look: "main" }),
  );
});
