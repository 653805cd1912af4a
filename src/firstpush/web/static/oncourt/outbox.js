// The way home: what is not known to be at home is sent, and sent again, until an answer names it.
// Sending again changes nothing at home, so that in doubt it is sent; nothing here depends on a login to keep an entry.

const SEND_LOCK = "firstpush-court-send";
const LEASE_SETTING = "sending";
const LEASE_MS = 45000;
const AT_ONCE = 100;
const ANSWER_WITHIN_MS = 30000;
const FIRST_WAIT_MS = 1000;
const LONGEST_WAIT_MS = 60000;
const FAULTS_OF_CONTENT = [400, 413, 500];
const MOST_PASSED = 3;
const OUTBOX_WORDS = {
  home: "Everything is at home.",
  sending: "Sending.",
  waiting: "No answer from the application. Everything stays on this device and is sent again.",
  login: "Log in again: everything logged stays on this device until it is at home.",
  reported: "The application looked at some entries and could not take them as they are. They stay on this device.",
};

class SendFault extends Error {
  constructor(status) {
    super(`answer ${status}`);
    this.status = status;
  }
}

/**
 * Return the outbox of a store.
 * @param {CourtStore} store
 * @param {{report?: (state: {phase: string, words: string, counts: object|null, status?: number|null}) => void, base?: string,
 *   fetch?: typeof globalThis.fetch, locks?: LockManager|null, random?: () => number}} [options] `report` is called at
 *   every change; `phase` is "home", "sending", "waiting", "login" or "reported"; `status` is that of the last fault while
 *   waiting, null where there was no answer, left out where nothing was tried
 * @returns {CourtOutbox}
 */
export function makeOutbox(store, options = {}) {
  return new CourtOutbox(store, options);
}

/** Sends what a store has waiting. */
export class CourtOutbox {
  constructor(store, { report = () => {}, base = "/court/", fetch, locks, random = Math.random }) {
    this.store = store;
    this.report = report;
    this.base = base;
    this.fetch = fetch ?? ((...given) => globalThis.fetch(...given));
    this.locks = locks === undefined ? (globalThis.navigator?.locks ?? null) : locks;
    this.random = random;
    this.holder = `${Date.now()} ${random()}`;
    this.phase = store.counts()?.notHome ? "waiting" : "home";
    this.failures = 0;
    this.status = undefined;
    this.timer = null;
    this.now = null;
    this.again = false;
    this.ends = [];
  }

  /** Send now, after each entry, when the network comes back, and when the page is looked at. */
  start() {
    const send = () => this.send();
    const seen = () => document.visibilityState === "visible" && this.send();
    globalThis.addEventListener("online", send);
    document.addEventListener("visibilitychange", seen);
    let before = this.store.counts()?.notHome ?? 0;
    const quiet = this.store.onChange((counts) => {
      const more = counts.notHome > before;
      before = counts.notHome;
      if (more) this.send();
      else this.#say(this.phase);
    });
    this.ends = [
      () => globalThis.removeEventListener("online", send),
      () => document.removeEventListener("visibilitychange", seen),
      quiet,
    ];
    this.send();
  }

  /** Send no more by itself. */
  stop() {
    clearTimeout(this.timer);
    for (const end of this.ends) end();
    this.ends = [];
  }

  /** Where the sending is: what `report` is called with. */
  state() {
    return { phase: this.phase, words: OUTBOX_WORDS[this.phase], counts: this.store.counts(), status: this.status };
  }

  /**
   * Send everything that is not known to be at home; never rejects.
   * @returns {Promise<{phase: string, words: string, counts: object|null}>} how it ended
   */
  send() {
    if (this.now) {
      this.again = true;
      return this.now;
    }
    clearTimeout(this.timer);
    this.now = this.#rounds().finally(() => {
      this.now = null;
      // Asked for once more at the very end; where there was no answer, the next attempt is timed already.
      if (this.again && this.phase !== "waiting") this.send();
    });
    return this.now;
  }

  async #rounds() {
    do {
      this.again = false;
      this.status = undefined;
      try {
        const phase = await this.#alone(() => this.#everything());
        this.failures = phase === "waiting" ? this.failures + 1 : 0;
        this.#say(phase);
      } catch (error) {
        this.failures += 1;
        this.status = error.status ?? null;
        this.#say("waiting");
      }
    } while (this.again && this.phase !== "waiting");
    if (this.phase === "waiting" || this.phase === "login") this.timer = setTimeout(() => this.send(), this.#waitMs());
    return this.state();
  }

  #waitMs() {
    const longest = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.min(this.failures, 10));
    return this.phase === "login" ? LONGEST_WAIT_MS : longest * (0.5 + this.random() / 2);
  }

  #say(phase) {
    this.phase = phase;
    this.report(this.state());
  }

  // One tab at a time: two at once would double the traffic, though no entry.
  async #alone(work) {
    if (this.locks) return this.locks.request(SEND_LOCK, work);
    if (!(await this.#lease())) return "waiting";
    try {
      return await work();
    } finally {
      await this.store.changeSetting(LEASE_SETTING, (held) => (held?.holder === this.holder ? null : held));
    }
  }

  async #lease() {
    const nowMs = Date.now();
    const held = await this.store.changeSetting(LEASE_SETTING, (before) => {
      // A lease that runs far into the future is one of a clock that was wrong.
      const isFree = !before || before.untilMs < nowMs || before.untilMs > nowMs + LEASE_MS;
      return isFree || before.holder === this.holder ? { holder: this.holder, untilMs: nowMs + LEASE_MS } : before;
    });
    return held.holder === this.holder;
  }

  async #everything() {
    const passed = new Set();
    const closed = new Set();
    let atOnce = AT_ONCE;
    let isFaulty = false;
    for (;;) {
      const waiting = (await this.store.waiting()).filter((each) => !passed.has(each.id));
      const open = waiting.filter((each) => !closed.has(each.link));
      if (!open.length) break;
      this.#say("sending");
      // Each run goes home with what it was opened with; a login or another link may not be about its athlete.
      const { link } = open[0];
      const batch = open.filter((each) => each.link === link).slice(0, atOnce);
      try {
        await this.store.copyFirst(batch);
        const answer = await this.#sent(batch, link);
        const marked = await this.store.markAnswered(answer);
        if (!marked) batch.forEach((each) => passed.add(each.id));
        isFaulty ||= !marked;
        atOnce = AT_ONCE;
      } catch (error) {
        if (error.status === 401) closed.add(link);
        else if (!FAULTS_OF_CONTENT.includes(error.status) || passed.size > MOST_PASSED) throw error;
        // One entry that cannot be taken must not keep the others away.
        else if (batch.length > 1) atOnce = Math.max(1, Math.floor(batch.length / 4));
        else {
          passed.add(batch[0].id);
          isFaulty = true;
        }
      }
      if (!this.locks) await this.#lease();
    }
    if (closed.size) return "login";
    if (isFaulty) {
      this.status = FAULTS_OF_CONTENT.at(-1);
      return "waiting";
    }
    return this.store.counts()?.notHome ? "reported" : "home";
  }

  async #sent(batch, link) {
    const body = JSON.stringify({ entries: batch.map((each) => each.text) });
    if (link !== null) {
      try {
        return await this.#asked("entries/", { method: "POST", body, headers: { "X-Court-Link": link } });
      } catch (error) {
        // A link that was withdrawn takes nothing; who is logged in here may bring the entries home too.
        if (error.status !== 401) throw error;
      }
    }
    const { token, who } = await this.#asked("token/", { headers: {} });
    await this.#newPerson(who ?? null);
    return this.#asked("entries/", { method: "POST", body, headers: { "X-CSRFToken": token } });
  }

  // What one person's login may not bring home, another's may.
  async #newPerson(who) {
    if ((await this.store.setting("who")) === who) return;
    await this.store.keepSetting("who", who);
    await this.store.sendReportedAgain();
  }

  async #asked(address, { headers, ...options }) {
    const response = await this.fetch(this.base + address, {
      ...options,
      headers: { Accept: "application/json", ...(options.body ? { "Content-Type": "application/json" } : {}), ...headers },
      cache: "no-store",
      credentials: "same-origin",
      // A page to log in is no answer.
      redirect: "manual",
      signal: AbortSignal.timeout(ANSWER_WITHIN_MS),
    });
    if (response.type === "opaqueredirect") throw new SendFault(401);
    if (!response.ok) throw new SendFault(response.status);
    return response.json();
  }
}
