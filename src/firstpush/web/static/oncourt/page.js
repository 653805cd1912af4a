/* One session on one device: keeps what is said, reckons what comes next, and draws it. */

import { cardScreen, signsScreen } from "./aid.js";
import { beforeScreen } from "./before.js";
import { SessionTimer } from "./clock.js";
import { differentScreen } from "./different.js";
import { el, upper } from "./dom.js";
import { effortSaid, effortScreen } from "./effort.js";
import { exerciseScreen, leaveScreen, otherScreen } from "./exercise.js";
import { doneScreen, finishScreen, minutesScreen } from "./finish.js";
import { flowState, nextOf, painOutcome } from "./flow.js";
import { heldScreen, painScreen } from "./pain.js";
import { aheadWords } from "./plain.js";
import { timerScreen } from "./timer.js";
import { answerScreen, ceilingScreen, laterScreen, triedScreen } from "./tried.js";

const ASIDE = {
  timer: timerScreen,
  other: otherScreen,
  different: differentScreen,
  pain: painScreen,
  leave: leaveScreen,
  signs: signsScreen,
  card: cardScreen,
  finish: finishScreen,
  minutes: minutesScreen,
  tried: triedScreen,
  answer: answerScreen,
  ceiling: ceilingScreen,
};

/** What an entry said, as it stands with “Undo”: the word first, so that a narrow place cuts off only the title. */
export function keptWords(pack, entry) {
  const title = pack.items.find((each) => each.exercise === entry.exercise)?.variants.planned.title;
  switch (entry.kind) {
    case "before":
      return "Answers before the start";
    case "done":
      return `${entry.as_planned ? "As planned" : "Not as planned"}: ${title}`;
    case "skipped":
      return `Left out: ${title}`;
    case "swapped":
      return `The ${entry.to} one: ${title}`;
    case "effort":
      return `${effortSaid(entry.effort_6_20 ?? entry.feel)}, ${title ?? entry.part}`;
    case "pain":
      return `Pain ${entry.level_0_10}, ${[entry.side, entry.place].filter(Boolean).join(" ")}`;
    case "stopped":
      return `Stopped: ${entry.sign ?? entry.card}`;
    case "ended":
      return "The session is over";
    default:
      return upper(entry.kind);
  }
}

/** A session of one athlete that is being done, or about to be. */
export class CourtSession {
  /**
   * @param {object} app the page as a whole: `store`, `link`, `trouble`, `changed`
   * @param {object} pack
   * @param {string|null} run null before it begins
   */
  constructor(app, pack, run = null) {
    Object.assign(this, { app, pack, run, entries: [], passed: { read: [], notAsked: [] }, aside: null, asking: null, ending: null, ticks: [], urls: new Map() });
    this.timer = new SessionTimer({
      keep: (held) => this.run && this.app.store.keepSetting(`timer ${this.run}`, held),
      stepsOf: (exercise, variant) => pack.items.find((each) => each.exercise === exercise).variants[variant].steps,
    });
    this.state = flowState(pack, []);
  }

  /** Read what was kept of it. */
  async read() {
    if (!this.run) return;
    this.entries = await this.app.store.entriesOf(this.run);
    this.state = flowState(this.pack, this.entries);
    if (!this.timer.held) this.timer.take(await this.app.store.setting(`timer ${this.run}`));
    for (const each of (await this.app.store.setting(`not asked ${this.run}`)) ?? []) {
      if (!this.passed.notAsked.includes(each)) this.passed.notAsked.push(each);
    }
  }

  /** The athlete, large, by number and name. */
  get who() {
    const { name, number } = this.pack.athlete;
    return number === null || number === undefined ? [name] : [el("b", {}, String(number)), " ", name];
  }

  /** Whether it has begun and not ended. */
  get running() {
    return Boolean(this.run) && !this.state.ended;
  }

  /** Keep an entry, and go on to what comes next. */
  async say(kind, values = {}) {
    const kept = await this.log(kind, values);
    if (!kept) return;
    if (kind !== "pain" && kind !== "effort" && kind !== "note") this.timerOver(values.exercise);
    this.aside = null;
    this.app.draw();
  }

  /** Keep an entry, and stay on the screen. */
  async log(kind, values = {}) {
    try {
      if (!this.run) {
        const { plan, version, checksum, athlete } = this.pack;
        const begun = await this.app.store.startRun({ plan, version, checksum, athlete: athlete.id, device: this.app.device }, { link: this.app.linkOf(this.pack) });
        this.run = begun.run;
        this.app.begun(this);
      }
      await this.app.store.addEntry(this.run, kind, values);
      this.app.trouble("");
      await this.read();
      this.app.changed();
      return true;
    } catch (error) {
      // Nothing was counted: the same press can be made again, and the words say what to do.
      this.app.trouble(`Not kept: ${error.message} Write it down, or try again.`);
      return false;
    }
  }

  /** What was said last and still holds; the beginning cannot be undone. */
  get last() {
    return this.state.standing.findLast((each) => each.kind !== "begin") ?? null;
  }

  /** Take back what was said last. */
  async undo() {
    if (this.last) await this.say("undo", { corrects: this.last.id });
  }

  /** What would be taken back, in words. */
  lastWords() {
    return this.last ? keptWords(this.pack, this.last) : "";
  }

  timerOver(exercise) {
    if (exercise && this.timer.isOf(exercise)) this.timer.stop();
  }

  /** Show a screen beside the way. */
  show(name, about = null) {
    this.aside = { name, about };
    this.app.draw();
  }

  /** The same screen again, after something was kept on it. */
  redraw() {
    this.app.draw();
  }

  /** Let the presses of a part of the screen rest, because they say something else now. */
  rest(box) {
    this.app.rest(box);
  }

  /** Back to the way. */
  draw() {
    if (this.aside?.name === "card") this.readCards();
    this.aside = null;
    this.app.draw();
  }

  readCards() {
    this.passed.read.push(...this.state.standing.filter((each) => each.kind === "stopped").map((each) => each.id));
  }

  /** To the end of the session, whatever is open. */
  finish() {
    this.readCards();
    this.show("finish");
  }

  goOn() {
    this.draw();
  }

  /** Pass over a question, also after the page was closed. */
  async leaveOut(what) {
    this.passed.notAsked.push(what.replace(/^effort /, ""));
    if (this.run) await this.app.store.keepSetting(`not asked ${this.run}`, this.passed.notAsked);
    this.draw();
  }

  /** What comes next and how long the rest takes; nothing before the start and after the end. */
  ahead() {
    const { item } = this;
    return item && this.running ? aheadWords(this.pack, this.state, this.timer.goneS(item.exercise)) : null;
  }

  /** The way to do an exercise whose clock is held. */
  variantInHand() {
    const { exercise, variant } = this.timer.held;
    return this.pack.items.find((each) => each.exercise === exercise).variants[variant];
  }

  painOutcome({ place, side = null, feeling, level }) {
    return painOutcome(this.pack, this.state, place, side, feeling, level);
  }

  minutesSoFar() {
    const began = this.state.begin ? Date.parse(this.state.begin.at) : Date.now();
    return Math.max(0, Math.min(600, Math.round((Date.now() - began) / 60000)));
  }

  /** The address of a drawing of the package. */
  figure(item, variant) {
    const key = `${item.exercise} ${variant}`;
    if (!this.urls.has(key)) {
      const drawing = new Blob([item.variants[variant].figure || item.variants.planned.figure], { type: "image/svg+xml" });
      this.urls.set(key, URL.createObjectURL(drawing));
    }
    return this.urls.get(key);
  }

  /** Do something at every tick of the clock while this screen is up. */
  eachTick(work) {
    this.ticks.push(work);
    work();
  }

  list() {
    this.app.open(null);
  }

  giveBack() {
    return this.app.giveBack(this.run);
  }

  /** The elements of the screen that is due. */
  screen() {
    this.ticks = [];
    if (this.aside) return ASIDE[this.aside.name](this, this.aside.about);
    const next = nextOf(this.pack, this.state, this.passed);
    const item = next.exercise ? this.pack.items.find((each) => each.exercise === next.exercise) : null;
    switch (next.show) {
      case "before":
        return beforeScreen(this);
      case "card":
        return next.card ? cardScreen(this, { card: next.card, item: null }) : signsScreen(this, null);
      case "effort":
        return effortScreen(this, next.part);
      case "exercise":
        if (next.held) return heldScreen(this, item, next.held);
        return this.isLeftOut(item) ? laterScreen(this, item, this.laterOf(item)) : exerciseScreen(this, item);
      case "finish":
        return finishScreen(this);
      default:
        return doneScreen(this);
    }
  }

  /** What a pain said elsewhere means for an exercise. */
  laterOf(item) {
    return this.state.items.find((each) => each.exercise === item.exercise)?.later ?? null;
  }

  /** Whether leaving it out is what is proposed, and nobody has taken the easier one. */
  isLeftOut(item) {
    return this.laterOf(item)?.offer === "leave out" && !this.state.standing.some((each) => each.kind === "swapped" && each.exercise === item.exercise);
  }

  /** Say that an exercise, or the set of a first time, is done as planned. */
  async done(item) {
    if (item.first_time) this.show("tried", item);
    else await this.say("done", { exercise: item.exercise, as_planned: true, variant: this.state.variantOf(item.exercise) });
  }

  /** The exercise in hand, for what goes wrong in it. */
  get item() {
    const next = nextOf(this.pack, this.state, this.passed);
    return next.exercise ? this.pack.items.find((each) => each.exercise === next.exercise) : null;
  }
}
