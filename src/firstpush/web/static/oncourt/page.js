/* One session on one device: keeps what is said, reckons what comes next, and draws it. */

import { cardScreen, passedScreen, signsScreen } from "./aid.js";
import { beforeScreen } from "./before.js";
import { SessionTimer } from "./clock.js";
import { differentScreen } from "./different.js";
import { underStop, valuesOfDone } from "./doing.js";
import { el } from "./dom.js";
import { todaysPack } from "./eased.js";
import { effortScreen } from "./effort.js";
import { standingEntries } from "./entries.js";
import { exerciseScreen, leaveScreen, otherScreen } from "./exercise.js";
import { doneScreen, finishScreen, minutesScreen } from "./finish.js";
import { stepsOfFirstTime } from "./firsttime.js";
import { flowState, nextOf, painOutcome } from "./flow.js";
import { keptWords } from "./keptwords.js";
import { laterOffer, saidPains } from "./later.js";
import { heldScreen, painScreen } from "./pain.js";
import { aheadWords } from "./plain.js";
import { CueTrack } from "./sound.js";
import { loudspeaker } from "./speak.js";
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
  passed: passedScreen,
  finish: finishScreen,
  minutes: minutesScreen,
  tried: triedScreen,
  ceiling: ceilingScreen,
};

// Where the exercises are, a stop of today stands above whatever follows it.
const WAY = ["timer", "other", "different", "tried", "finish"];

/** A session of one athlete that is being done, or about to be. */
export class CourtSession {
  /**
   * @param {object} app the page as a whole: `store`, `link`, `trouble`, `changed`
   * @param {object} pack
   * @param {string|null} run null before it begins
   */
  constructor(app, pack, run = null) {
    Object.assign(this, { app, pack, whole: pack, run, entries: [], openCard: null, passed: { read: [], notAsked: [] }, aside: null, asking: null, ending: null, ticks: [], urls: new Map(), movements: new Set(), cautionsRead: new Set(), cues: new CueTrack() });
    this.timer = new SessionTimer({
      keep: (held) => this.run && this.app.store.keepSetting(`timer ${this.run}`, held),
      stepsOf: (exercise, variant) => this.stepsOf(exercise, variant),
    });
    this.state = flowState(pack, []);
  }

  /** Read what was kept of it. */
  async read() {
    if (!this.run) return;
    this.entries = await this.app.store.entriesOf(this.run);
    this.pack = todaysPack(this.whole, standingEntries(this.entries).findLast((each) => each.kind === "before") ?? null);
    this.state = flowState(this.pack, this.entries);
    this.openCard = await this.app.store.setting(`card ${this.run}`);
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

  /** Whether a first-aid card is open: it stays until a hand closes it, also over the end of the session. */
  get hasCard() {
    return (Boolean(this.state.waits) && !this.state.ended) || (Boolean(this.openCard) && this.state.standing.some((each) => each.kind === "stopped" && each.card === this.openCard));
  }

  /** Keep which card is open; null closes it. */
  async keepCard(id) {
    this.openCard = id;
    if (this.run) await this.app.store.keepSetting(`card ${this.run}`, id);
  }

  /** Close the card in hand, and go on to what comes next. */
  async closeCard() {
    this.readCards();
    await this.keepCard(null);
    this.draw();
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
    this.aside = null;
    this.app.draw();
  }

  readCards() {
    this.passed.read.push(...this.state.standing.filter((each) => each.kind === "stopped").map((each) => each.id));
  }

  /** To the end of the session, whatever is open. */
  finish() {
    // Where nothing is left it is the way itself, and “Undo” stands on it.
    if (this.canGoOn) this.show("finish");
    else this.draw();
  }

  goOn() {
    this.draw();
  }

  /** Whether there is anything to go back to before the end. */
  get canGoOn() {
    return nextOf(this.pack, this.state, this.passed).show !== "finish";
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

  /** The address of the plan of a drill. */
  coursePlan(item, variant) {
    const key = `${item.exercise} ${variant} course`;
    if (!this.urls.has(key)) {
      const plan = item.variants[variant].course.plan ?? item.variants.planned.course.plan;
      this.urls.set(key, URL.createObjectURL(new Blob([plan], { type: "image/svg+xml" })));
    }
    return this.urls.get(key);
  }

  /** Hand the sounds that are due soon to the loudspeaker. */
  followCues() {
    const { schedule, held } = this.timer;
    this.cues.follow(this.app.sound.beep ? loudspeaker() : null, schedule, held?.clock ?? null, Date.now());
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
    if (this.aside) {
      const shown = ASIDE[this.aside.name](this, this.aside.about);
      return WAY.includes(this.aside.name) ? this.withStop(shown) : shown;
    }
    const next = nextOf(this.pack, this.state, this.passed);
    const item = next.exercise ? this.pack.items.find((each) => each.exercise === next.exercise) : null;
    const shown = this.screenOf(next, item);
    return ["exercise", "effort", "finish"].includes(next.show) ? this.withStop(shown) : shown;
  }

  screenOf(next, item) {
    switch (next.show) {
      case "before":
        return beforeScreen(this);
      case "card":
        return next.card ? cardScreen(this, { card: next.card, item: null }) : signsScreen(this, null);
      case "effort":
        return effortScreen(this, next.part);
      case "exercise":
        if (next.held) return heldScreen(this, item, next.held);
        if (["answer", "over"].includes(this.firstOf(item)?.next)) return answerScreen(this, item);
        return this.isLeftOut(item) ? laterScreen(this, item, this.laterOf(item)) : exerciseScreen(this, item);
      case "finish":
        return finishScreen(this);
      default:
        // Closed by nobody yet, also when the page was opened again meanwhile.
        if (this.hasCard) return cardScreen(this, { card: this.pack.cards.find((each) => each.id === this.openCard), item: null });
        return doneScreen(this);
    }
  }

  /** A screen under what stopped this athlete today. */
  withStop(shown) {
    return underStop(this, shown);
  }

  /** Where the first time of an exercise stands; null for any other. */
  firstOf(item) {
    return this.state.items.find((each) => each.exercise === item.exercise)?.first ?? null;
  }

  /** The steps that the clock of an exercise runs now: of a first time one set, and the next after its answer. */
  stepsOf(exercise, variant) {
    const item = this.pack.items.find((each) => each.exercise === exercise);
    const { steps } = item.variants[variant];
    const first = this.firstOf(item);
    return first ? stepsOfFirstTime(steps, first) : steps;
  }

  /** What is kept of an exercise that was done as it stands on its screen. */
  doneValues(item, sets = null) {
    return valuesOfDone(item, this.state.variantOf(item.exercise), sets);
  }

  /** What a pain said elsewhere means for an exercise. */
  laterOf(item) {
    return this.state.items.find((each) => each.exercise === item.exercise)?.later ?? null;
  }

  /** Whether the easier one loads nothing that a pain of this session forbids. */
  sparesArm(item) {
    const { easier } = item.variants;
    return Boolean(easier) && laterOffer(this.pack, saidPains(this.pack, this.state.standing), item, easier) === null;
  }

  /** The exercises that are still to be done. */
  openItems() {
    return this.state.items.filter((each) => each.state === "open" || each.state === "held");
  }

  /** Say the same of several exercises, one entry each. */
  async logAll(items, kind, values) {
    for (const { exercise } of items) if (!(await this.log(kind, { exercise, ...values }))) return false;
    return true;
  }

  /** Leave out what is left, and go to the end. */
  async leaveOutRest(reason) {
    if (!(await this.logAll(this.openItems(), "skipped", { reason }))) return;
    if (this.timer.held) this.timer.stop();
    this.finish();
  }

  /** Whether leaving it out is what is proposed, and nobody has taken the easier one. */
  isLeftOut(item) {
    return this.laterOf(item)?.offer === "leave out" && !this.state.standing.some((each) => each.kind === "swapped" && each.exercise === item.exercise);
  }

  /** Say that an exercise, or the first set of a first time, is done as planned. */
  async done(item) {
    const first = this.firstOf(item);
    if (!first) await this.say("done", this.doneValues(item));
    else if (first.next === "rest") await this.say("done", this.doneValues(item, first.of));
    else this.show("tried", item);
  }

  /** The exercise in hand, for what goes wrong in it. */
  get item() {
    const next = nextOf(this.pack, this.state, this.passed);
    return next.exercise ? this.pack.items.find((each) => each.exercise === next.exercise) : null;
  }
}
