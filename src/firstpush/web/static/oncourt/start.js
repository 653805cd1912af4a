/* Where the page begins: opens what is kept, takes up what was running, and sends what is not yet at home. */

import { el, fill, head, press } from "./dom.js";
import { askedFor, LOGIN_PAGE, newestOf, reachOf } from "./fetching.js";
import { canShareFiles, fileOfEntries, nameOfFile, saveFile, shareFile } from "./file.js";
import { newId } from "./ids.js";
import { listScreen } from "./list.js";
import { makeOutbox } from "./outbox.js";
import { CourtSession } from "./page.js";
import { afterFinger, restPresses, watchFinger } from "./resting.js";
import { othersRow, tellClocks } from "./several.js";
import { allowSound, stayAwake, tellAloud } from "./speak.js";
import { openStore } from "./store.js";
import { stopToday } from "./today.js";
import { keepPageFresh } from "./update.js";

const TICK_MS = 200;
const MOST_FOOT = 0.5;

const isNarrow = () => globalThis.matchMedia("(max-width: 40rem)").matches;

class CourtApp {
  constructor(root) {
    Object.assign(this, { root, sessions: [], offered: [], told: [], together: new Set(), current: null, counts: null, sent: null, reach: "", shown: "", alone: false, links: {}, device: "", sound: { voice: false, beep: true, shake: true } });
    this.region = el("p.only-heard", { role: "status", "aria-live": "polite" });
    this.who = el("p.who");
    this.next = el("span.next");
    this.left = el("span");
    this.ahead = el("p.ahead", {}, this.next, this.left);
    this.forFoot = el("div.for-foot");
    this.toList = press("List", () => this.open(null), { label: "To the list of sessions" });
    this.home = el("p.at-home", { role: "status" }, "…");
    this.last = el("small.said");
    // These two stay the same buttons from screen to screen, so that no change takes them from under a finger.
    this.undo = press("Undo", () => this.current.undo(), { small: this.last });
    this.stop = press("Stop: something is wrong", () => this.current.show("signs", this.current.item), { look: "wrong" });
    this.keep = el("div.foot-row.foot-keep", {}, this.undo, this.stop);
    this.others = el("ul.others");
    this.wrong = el("p.trouble", { role: "alert" });
    this.main = el("main", { id: "screen" });
    this.foot = el("footer.oncourt-foot", {}, this.forFoot, this.keep, this.home);
    root.className = "oncourt";
    this.top = el("header.oncourt-top", {}, el("div.at-top", {}, this.who, this.ahead), this.toList);
    root.replaceChildren(this.top, this.others, this.main, this.foot, this.region);
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
    watchFinger();
    new ResizeObserver(() => this.measureFoot()).observe(this.foot);
    globalThis.addEventListener("resize", () => this.measureFoot());
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
    this.told = packs.filter((each) => each.stopped_today).map((each) => ({ athlete: each.athlete.id, ...each.stopped_today }));
    const inHand = await this.store.setting("in hand");
    const running = found.filter((each) => each.running);
    // A first-aid card that nobody closed comes first, then the athlete who was in hand.
    this.current ??= found.findLast((each) => each.hasCard) ?? running.find((each) => each.run === inHand) ?? running.at(-1) ?? (this.alone && found.length === 1 ? found[0] : null);
  }

  /** Do what the address asks for: a session of the club, or the link of a printed code. */
  async follow(hash) {
    const plans = /^plans?=([\d,]+)$/.exec(hash)?.[1].split(",") ?? [];
    const link = plans.length || !hash ? null : hash;
    try {
      this.offered = await askedFor(plans.length ? `packages/?plans=${plans.join(",")}` : "packages/", link);
      this.reach = "";
      const wanted = link ? this.offered : newestOf(this.offered, plans);
      const missed = plans.filter((plan) => !wanted.some((each) => String(each.plan) === plan));
      for (const each of wanted) {
        if (!this.has(each)) this.trouble(`Fetching “${each.title}” for ${each.athlete}: the first time it is drawn, which takes some seconds.`);
        await this.fetchPackage(each, link);
      }
      const session = this.sessions.findLast(({ pack }) => pack.plan === wanted[0]?.plan && pack.version === wanted[0].version);
      if (session) this.current = session;
      // Several that were asked for together stand in the row of names at once, also before they have begun.
      if (wanted.length > 1) this.together = new Set(this.sessions.filter((each) => !each.state.ended && wanted.some(({ plan, version }) => each.pack.plan === plan && each.pack.version === version)));
      if (missed.length) this.trouble(`Not fetched: session ${missed.join(", ")}. It is not there, or this login may not do it.`);
      // The secret of a link stays with its session, and out of what a shoulder sees.
      if (hash) history.replaceState(null, "", location.pathname);
    } catch (error) {
      this.reach = reachOf(error.status);
      if (hash) this.trouble(error.words ?? "No signal, so this session could not be fetched. Try again where there is signal.", { login: error.status === 401 });
    }
    afterFinger(() => this.draw());
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
      const pack = await askedFor(`packages/${plan}/${version}/`, link ?? this.links[plan] ?? null);
      await this.store.keepPackage(pack);
      this.trouble("");
      // What has begun goes on as it began; what has not is as it is now, and a stop of today counts in any case.
      for (const each of this.sessions) if (!each.run && each.whole.plan === plan && each.whole.version === version) each.whole = each.pack = pack;
      if (pack.stopped_today) this.told.push({ athlete: pack.athlete.id, ...pack.stopped_today });
      if (!this.sessions.some((each) => each.pack.plan === plan && each.pack.version === version)) this.sessions.push(new CourtSession(this, pack));
      afterFinger(() => this.draw());
    } catch (error) {
      this.trouble(error.words ?? "No signal, so this session could not be fetched. Try again where there is signal.", { login: error.status === 401 });
    }
  }

  /** What stopped the athlete of a session last today, in another doing of one; null where nothing did. */
  stopToday(session) {
    const { id } = session.pack.athlete;
    return stopToday(this.sessions, this.told.filter((each) => each.athlete === id), id, new Date(), session);
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
    const given = this.current?.pack.file_name;
    const name = given ? given.replace(/^court/, "entries").replace(/\.html$/, ".json") : nameOfFile("on court", new Date());
    if (!(canShareFiles() && (await shareFile(content, name)))) saveFile(content, name);
  }

  async setSound(which) {
    this.sound = { ...this.sound, [which]: !this.sound[which] };
    await this.store.keepSetting("sound", this.sound);
    this.draw();
  }

  get loginPage() {
    return LOGIN_PAGE;
  }

  trouble(words, { login = false } = {}) {
    fill(this.wrong, words, login ? [" ", el("a.press", { href: LOGIN_PAGE }, "Log in again")] : null);
  }

  tellCounts(counts) {
    this.counts = counts;
    this.drawHome();
  }

  tellSent(state) {
    this.sent = state;
    this.counts = state.counts ?? this.counts;
    const reach = this.reachSent(state);
    const isNew = reach !== this.reach;
    this.reach = reach;
    this.drawHome();
    if (isNew && !this.current) afterFinger(() => this.draw());
  }

  reachSent({ phase, status, counts }) {
    if (phase === "login") return "login";
    if (phase === "waiting" && status !== undefined) return reachOf(status);
    // With nothing to send nothing was tried.
    return ["home", "reported"].includes(phase) && counts?.onDevice ? "" : this.reach;
  }

  drawHome() {
    const counts = this.counts;
    const words = counts ? `${counts.onDevice} ${counts.onDevice === 1 ? "entry" : "entries"} on this device, ${counts.notHome} not yet at home` : "…";
    const isShut = !this.alone && counts?.notHome && this.sent?.phase === "login";
    fill(this.home, words, isShut ? [". Nothing is lost. ", el("a.press", { href: LOGIN_PAGE }, "Log in again")] : null);
  }

  draw() {
    const session = this.current;
    this.keepInHand(session?.run ?? null);
    fill(this.who, session ? session.who : "On court");
    const running = this.sessions.filter((each) => each.running || each === session || this.together.has(each));
    const row = othersRow(running, session, (each) => this.open(each));
    this.others.remove();
    this.others = row;
    // In reach of a thumb on a phone; on a tablet at the top, where they take nothing from the drawing.
    if (isNarrow()) this.foot.prepend(row);
    else this.top.after(row);
    const screen = (session ? session.screen() : listScreen(this)).filter(Boolean);
    const isForFoot = (each) => each.matches(".to-foot");
    fill(this.main, this.wrong, screen.filter((each) => !isForFoot(each)));
    fill(this.forFoot, screen.filter(isForFoot));
    this.drawFoot();
    this.measureFoot();
    this.tick();
    const first = this.main.querySelector("[data-first]");
    // What is pressed by mistake is pressed on a screen that has changed; the same screen drawn anew asks for no rest.
    const shown = `${this.sessions.indexOf(session)} ${session?.aside?.name ?? ""} ${first?.textContent ?? ""}`;
    const isNew = this.shown && this.shown !== shown;
    this.shown = shown;
    globalThis.scrollTo(0, 0);
    first?.focus({ preventScroll: true });
    if (isNew) this.rest(document);
    document.title = session ? `${first?.textContent ?? ""}, ${session.pack.athlete.name}` : "On court";
  }

  /** Remember who is in hand, for when the page is opened again. */
  keepInHand(run) {
    if (!run || run === this.inHand) return;
    this.inHand = run;
    this.store.keepSetting("in hand", run).catch(() => (this.inHand = null));
  }

  tellAhead() {
    const [next, left] = this.current?.ahead() ?? ["", ""];
    this.ahead.hidden = !next;
    if (this.next.textContent !== next) this.next.textContent = next;
    if (this.left.textContent !== ` · ${left}`) this.left.textContent = ` · ${left}`;
  }

  /** Let what can be pressed there rest for a moment. */
  rest(box) {
    restPresses([...box.querySelectorAll("#court .press")], { weakGrip: this.current?.pack.athlete.weak_grip === true });
  }

  drawFoot() {
    const session = this.current;
    this.toList.hidden = !session;
    // Beside the way each screen has its own way back; and where “keep it” is looked for, “Undo” must not stand.
    const canUndo = session?.last && !session.aside;
    if (canUndo) this.last.textContent = ` ${session.lastWords()}`;
    const canStop = session && !["signs", "card"].includes(session.aside?.name) && !(session.state.ended && session.hasCard);
    this.undo.hidden = !canUndo;
    this.stop.hidden = !canStop;
    const place = isNarrow() ? this.keep : this.top;
    if (this.toList.parentElement !== place) place.append(this.toList);
  }

  /** How high the foot is; one that would take half of a small screen flows with the page instead. */
  measureFoot() {
    document.documentElement.classList.toggle("foot-flows", this.foot.offsetHeight > globalThis.innerHeight * MOST_FOOT);
    document.documentElement.style.setProperty("--foot", `${this.foot.offsetHeight}px`);
  }

  tick() {
    for (const session of this.sessions) {
      const calls = session.timer.look();
      session.followCues();
      if (!calls.length) continue;
      // What is due at one moment is one sentence: a second one would wipe the first out before it is read.
      const words = calls.map((each) => each.words).join(". ");
      const ends = calls.some((each) => ["rest over", "end", "begin"].includes(each.kind));
      const name = session === this.current ? "" : `${session.pack.athlete.name}: `;
      // Cues have sounds of their own, which do not wait for this look.
      const beep = this.sound.beep && !calls.some((each) => each.kind === "cue");
      tellAloud(name + words, { region: this.region, ...this.sound, beep, tone: ends ? "end" : "count" });
    }
    tellClocks(this.others, this.sessions);
    this.tellAhead();
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
