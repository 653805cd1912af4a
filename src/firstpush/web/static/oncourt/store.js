// What is kept on this device: packages, runs, entries and settings. Nothing is countedEntries before it is kept.

import { CourtDatabase, CourtMemory, StoreError } from "./database.js";
import { EntryRefused, readEntryText } from "./entries.js";
import { newId } from "./ids.js";
import { HOME, REPORTED, WAITING, answerMarked, cleanedAway, countedEntries, entryAdded, takenIn } from "./keeping.js";
import { SecondCopy, copyOfEntry, entriesOnlyInCopy, keyOfPackage, packagesOnlyInCopy } from "./second.js";

const DATABASE_NAME = "firstpush-court";
const CHANNEL_NAME = "firstpush-court";
const NOT_LASTING =
  "This browser keeps nothing when the page is closed. Give the entries out as a file before you close it.";

/**
 * Open what is kept on this device; where the browser has no database the store is in memory and `lasting` is false.
 * @param {{name?: string, factory?: IDBFactory|null}} [options]
 * @returns {Promise<CourtStore>}
 * @throws {StoreError} when there is a database and it does not open
 */
export function openStore({ name = DATABASE_NAME, factory } = {}) {
  const tables = tablesFor(factory === undefined ? browserDatabase() : factory, name);
  const store = new CourtStore(tables, name);
  return tables
    .open()
    .catch((error) => {
      if (error.kind !== "private") throw error;
      store.tables = new CourtMemory();
    })
    .then(() => store.restore())
    .then(() => store.recount())
    .then(() => store);
}

function tablesFor(factory, name) {
  return factory ? new CourtDatabase(factory, name) : new CourtMemory();
}

// A page in a sandbox may not even look at `indexedDB`.
function browserDatabase() {
  try {
    return globalThis.indexedDB ?? null;
  } catch {
    return null;
  }
}

/** Packages, runs, entries and settings of this device. */
export class CourtStore {
  constructor(tables, name) {
    this.tables = tables;
    this.second = new SecondCopy(name);
    this.restored = 0;
    this.known = null;
    this.listeners = new Set();
    this.channel = null;
    try {
      this.channel = new BroadcastChannel(name === DATABASE_NAME ? CHANNEL_NAME : `${CHANNEL_NAME} ${name}`);
      this.channel.onmessage = () => this.recount().catch(() => {});
    } catch {
      // Without it other tabs count at their next own entry.
    }
  }

  /** Whether what is kept outlasts the page. */
  get lasting() {
    return this.tables.lasting;
  }

  /** What must be said about this store; "" where nothing must. */
  get words() {
    return this.lasting ? "" : NOT_LASTING;
  }

  /**
   * Return how many entries are kept here, and how many of them are not known to be at home; null until it was read.
   * @returns {{onDevice: number, notHome: number}|null}
   */
  counts() {
    return this.known;
  }

  /**
   * Call `listener` with the counts whenever they were read anew; return what ends that.
   * @param {(counts: {onDevice: number, notHome: number}) => void} listener
   * @returns {() => void}
   */
  onChange(listener) {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  /** Read the counts anew. */
  async recount() {
    this.#tell(await this.tables.transact("readonly", countedEntries));
    return this.known;
  }

  /**
   * Begin a run: its record and its first entry are kept together.
   * @param {{plan: number, version: number, athlete: number, checksum?: string, device?: string, late?: boolean}} values
   * @param {{link?: string|null}} [options] secret of the link that the session was opened with
   * @returns {Promise<{run: string, entry: object}>}
   */
  async startRun({ plan, version, athlete, late, checksum, device }, { link = null } = {}) {
    const run = { run: newId(), plan, version, athlete, late: late || null, link, startedMs: Date.now() };
    const row = await this.#write(async (tables) => {
      await tables.add("runs", run);
      return entryAdded(tables, run, { kind: "begin", checksum, device });
    });
    return { run: run.run, entry: await this.#copied(row) };
  }

  /**
   * Number an entry and keep it; the promise is fulfilled only when the database says that it is written.
   * @param {string} run
   * @param {string} kind
   * @param {object} [values] the keys of the kind, `exercise` and `corrects`
   * @returns {Promise<object>} the entry, with every key
   * @throws {EntryRefused|StoreError} nothing is kept then
   */
  async addEntry(run, kind, values = {}) {
    const add = () =>
      this.#write(async (tables) => {
        const found = await tables.get("runs", run);
        if (!found) throw new StoreError("unknown run");
        // Only what was said in this run can be taken back in it: another run may be another athlete's.
        if (values.corrects && (await tables.get("entries", values.corrects))?.run !== run) {
          throw new EntryRefused(["“corrects” must name an entry of the same run."]);
        }
        return entryAdded(tables, found, { ...values, kind });
      });
    const row = await add().catch(async (error) => {
      // The browser may have thrown its database away under the open page.
      if (error.kind !== "unknown run" || !(await this.restore())) throw error;
      return add();
    });
    return this.#copied(row);
  }

  /**
   * Make both copies hold the same; done when the store is opened.
   * @returns {Promise<number>} how many entries only the second copy had
   */
  async restore() {
    const here = await this.tables.transact("readonly", (tables) => tables.all("entries"));
    const found = await entriesOnlyInCopy(this.second, here);
    if (found.length) this.restored += (await this.#write((tables) => takenIn(tables, found))).added.length;
    await this.copyFirst(await this.waiting());
    for (const pack of await packagesOnlyInCopy(this.second, await this.packages())) await this.keepPackage(pack);
    return found.length;
  }

  /** Copy those of the `waiting` that have no second copy: nothing may be at home that a crash could number anew. */
  async copyFirst(waiting) {
    const there = new Set(await this.second.keys("entry "));
    await this.second.keep(waiting.map(copyOfEntry).filter(([key]) => !there.has(key)));
  }

  /**
   * Return the entries of a run in their order.
   * @param {string} run
   * @returns {Promise<object[]>}
   */
  async entriesOf(run) {
    const rows = await this.tables.transact("readonly", (tables) => tables.entriesOf(run));
    return rows.map((each) => JSON.parse(each.text));
  }

  /** Return the texts of all entries on this device, or of one run, in their order. */
  async texts(run = null) {
    const rows = await this.tables.transact("readonly", (tables) => tables.all("entries"));
    const byPlace = (a, b) => (a.run === b.run ? a.sequence - b.sequence : a.run < b.run ? -1 : 1);
    return rows
      .filter((each) => run === null || each.run === run)
      .sort(byPlace)
      .map((each) => each.text);
  }

  /** Return the runs on this device, the newest last. */
  async runs() {
    const runs = await this.tables.transact("readonly", (tables) => tables.all("runs"));
    return runs.sort((a, b) => (a.run < b.run ? -1 : 1));
  }

  /**
   * Return the entries that are not known to be at home, by run and sequence, each with the link of its run.
   * @returns {Promise<{id: string, text: string, run: string, link: string|null}[]>}
   */
  async waiting() {
    return this.tables.transact("readonly", async (tables) => {
      const links = new Map((await tables.all("runs")).map((each) => [each.run, each.link]));
      const rows = await tables.entriesAt(WAITING);
      return rows.map(({ id, text, run }) => ({ id, text, run, link: links.get(run) ?? null }));
    });
  }

  /** Return what the application reported about entries: [{id, text, state, why, home}]. */
  async reported() {
    const rows = await this.tables.transact("readonly", (tables) => tables.all("entries"));
    return rows
      .filter((each) => each.state)
      .map(({ id, text, state, why, home }) => ({ id, text, state, why, home: home === HOME }));
  }

  /**
   * Mark what an answer of the application names; nothing else, and nothing is deleted.
   * @param {{kept?: string[], conflicts?: object[], refused?: object[]}} answer
   * @returns {Promise<number>} how many entries it said something new about
   */
  async markAnswered(answer) {
    return this.#write((tables) => answerMarked(tables, answer));
  }

  /** Let what was reported and not kept by the application be sent once more. */
  async sendReportedAgain() {
    return this.#write(async (tables) => {
      for (const row of await tables.entriesAt(REPORTED)) await tables.put("entries", { ...row, home: WAITING });
    });
  }

  /**
   * Take in entries of a file, letter by letter; what is here already is left as it is.
   * @param {string[]} texts
   * @returns {Promise<{added: string[], known: string[], conflicts: {id: string, why: string}[]}>}
   * @throws {EntryRefused} when a text is no entry; nothing is taken in then
   */
  async takeIn(texts) {
    const given = texts.map((text) => ({ text, entry: readEntryText(text) }));
    return this.#write((tables) => takenIn(tables, given));
  }

  /**
   * Take a run off this device, when all its entries are at home and it ended more than 14 days ago.
   * @param {string} run
   * @param {number} [nowMs]
   * @returns {Promise<boolean>} whether it was taken off
   */
  async cleanAway(run, nowMs = Date.now()) {
    const ids = await this.#write((tables) => cleanedAway(tables, run, nowMs));
    await this.second.drop(ids.map((id) => `entry ${id}`));
    return ids.length > 0;
  }

  /** Keep a package for doing its session without signal. */
  async keepPackage(pack) {
    const key = keyOfPackage(pack);
    await this.#write((tables) => tables.put("packages", { key, pack }));
    await this.second.keep([[`package ${key}`, pack]]);
  }

  /** Return the package of a version of a plan, or null. */
  async packageOf(plan, version) {
    const row = await this.tables.transact("readonly", (tables) => tables.get("packages", `${plan}/${version}`));
    return row?.pack ?? null;
  }

  /** Return every package on this device. */
  async packages() {
    const rows = await this.tables.transact("readonly", (tables) => tables.all("packages"));
    return rows.map((each) => each.pack);
  }

  /** Return a setting, or null. */
  async setting(key) {
    const row = await this.tables.transact("readonly", (tables) => tables.get("settings", key));
    return row?.value ?? null;
  }

  /** Keep a setting. */
  async keepSetting(key, value) {
    await this.tables.transact("readwrite", (tables) => tables.put("settings", { key, value }));
  }

  /** Change a setting as a whole: `change` gets the value before and returns the new one, also to the caller. */
  async changeSetting(key, change) {
    return this.tables.transact("readwrite", async (tables) => {
      const value = change((await tables.get("settings", key))?.value ?? null);
      await tables.put("settings", { key, value });
      return value;
    });
  }

  /** Let go of the database. */
  async close() {
    this.channel?.close();
    await this.tables.close();
  }

  // A copy that fails takes nothing away: the entry is kept, and is copied before it is sent.
  async #copied(row) {
    await this.second.keep([copyOfEntry(row)]);
    return JSON.parse(row.text);
  }

  async #write(work) {
    const { result, counts } = await this.tables.transact("readwrite", async (tables) => {
      const result = await work(tables);
      return { result, counts: await countedEntries(tables) };
    });
    this.#tell(counts);
    this.channel?.postMessage("changed");
    return result;
  }

  #tell(counts) {
    this.known = counts;
    for (const each of this.listeners) each(counts);
  }
}
