// The browser's own database (IndexedDB), and what stands in for it in memory where a browser has none.
// Both have one way in: `transact` runs some work as a whole, and is done only when the work is kept.

const TABLES = ["packages", "runs", "entries", "settings"];
const OPEN_WITHIN_MS = 15000;
const STORE_WORDS = {
  full: "This device has no room left: the entry is not kept. Free some room, then say it again.",
  blocked: "Another tab holds what is kept on this device. Close the other tabs of this page, then try again.",
  closed: "The browser closed what it keeps on this device. Load this page again; what was counted is kept.",
  private: "This browser keeps nothing in a private window. Open the page in an ordinary window.",
  "unknown run": "This session was not begun on this device. Open the session again.",
  broken: "The browser could not keep this. Load the page again, then say it again.",
};
const KIND_BY_ERROR = {
  QuotaExceededError: "full",
  InvalidStateError: "closed",
  UnknownError: "closed",
  SecurityError: "private",
};

/** What is not kept; `kind` is "full", "blocked", "closed", "private", "unknown run" or "broken", `message` the words. */
export class StoreError extends Error {
  /**
   * @param {string} kind
   * @param {unknown} [cause]
   */
  constructor(kind, cause) {
    super(STORE_WORDS[kind], { cause });
    this.name = "StoreError";
    this.kind = kind;
  }
}

function asStoreError(error) {
  if (!(error instanceof DOMException) && error !== null) return error;
  return new StoreError(KIND_BY_ERROR[error?.name] ?? "broken", error);
}

function answerOf(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** The tables within one transaction of IndexedDB; only its own promises may be awaited in the work. */
class TablesInDatabase {
  constructor(transaction) {
    this.transaction = transaction;
  }

  get(table, key) {
    return answerOf(this.transaction.objectStore(table).get(key));
  }

  all(table) {
    return answerOf(this.transaction.objectStore(table).getAll());
  }

  put(table, row) {
    return answerOf(this.transaction.objectStore(table).put(row));
  }

  /** Add a row; the transaction fails when its key or its place in the run is taken. */
  add(table, row) {
    return answerOf(this.transaction.objectStore(table).add(row));
  }

  remove(table, key) {
    return answerOf(this.transaction.objectStore(table).delete(key));
  }

  count() {
    return answerOf(this.transaction.objectStore("entries").count());
  }

  countAt(home) {
    return answerOf(this.#index("home").count(IDBKeyRange.bound([home], [home, []])));
  }

  /** The entries with this `home`, by run and sequence. */
  entriesAt(home) {
    return answerOf(this.#index("home").getAll(IDBKeyRange.bound([home], [home, []])));
  }

  entriesOf(run) {
    return answerOf(this.#index("place").getAll(IDBKeyRange.bound([run], [run, []])));
  }

  entryAt(run, sequence) {
    return answerOf(this.#index("place").get([run, sequence]));
  }

  async highest(run) {
    const range = IDBKeyRange.bound([run], [run, []]);
    const cursor = await answerOf(this.#index("place").openKeyCursor(range, "prev"));
    return cursor ? cursor.key[1] : 0;
  }

  #index(name) {
    return this.transaction.objectStore("entries").index(name);
  }
}

function makeTables(database) {
  database.createObjectStore("packages", { keyPath: "key" });
  database.createObjectStore("runs", { keyPath: "run" });
  database.createObjectStore("settings", { keyPath: "key" });
  const entries = database.createObjectStore("entries", { keyPath: "id" });
  entries.createIndex("place", ["run", "sequence"], { unique: true });
  entries.createIndex("home", ["home", "run", "sequence"]);
}

/** The tables in IndexedDB; a connection that the browser closed is opened again at the next transaction. */
export class CourtDatabase {
  /**
   * @param {IDBFactory} factory
   * @param {string} name
   */
  constructor(factory, name) {
    this.factory = factory;
    this.name = name;
    this.connection = null;
    this.lasting = true;
  }

  /** Open the connection; a failure says of which kind it is. */
  async open() {
    this.connection ??= this.#opened();
    try {
      return await this.connection;
    } catch (error) {
      this.connection = null;
      throw asStoreError(error);
    }
  }

  #opened() {
    return new Promise((resolve, reject) => {
      const request = this.factory.open(this.name, 1);
      const tooLong = setTimeout(() => reject(new StoreError("blocked")), OPEN_WITHIN_MS);
      request.onupgradeneeded = () => makeTables(request.result);
      request.onblocked = () => reject(new StoreError("blocked"));
      request.onerror = () => {
        const none = request.error?.name === "InvalidStateError";
        reject(none ? new StoreError("private", request.error) : request.error);
      };
      request.onsuccess = () => {
        clearTimeout(tooLong);
        const opened = request.result;
        opened.onclose = () => (this.connection = null);
        // A newer release in another tab may change the tables; it must not wait for this one.
        opened.onversionchange = () => this.close();
        resolve(opened);
      };
    });
  }

  /** Close the connection. */
  async close() {
    const closing = this.connection;
    this.connection = null;
    (await closing)?.close();
  }

  /**
   * Run `work` on the tables, and return what it returns once all of it is kept; when it fails, nothing of it is kept.
   * @param {"readonly"|"readwrite"} mode
   * @param {(tables: TablesInDatabase) => Promise<unknown>} work
   */
  async transact(mode, work) {
    const transaction = await this.#begun(mode);
    return new Promise((resolve, reject) => {
      let result;
      let fault = null;
      transaction.oncomplete = () => (fault ? reject(fault) : resolve(result));
      transaction.onabort = () => reject(asStoreError(transaction.error ?? fault));
      work(new TablesInDatabase(transaction)).then(
        (value) => (result = value),
        (error) => {
          fault = asStoreError(error);
          try {
            transaction.abort();
          } catch {
            reject(fault);
          }
        },
      );
    });
  }

  async #begun(mode) {
    const begin = async () => (await this.open()).transaction(TABLES, mode, { durability: "strict" });
    try {
      return await begin();
    } catch (error) {
      if (error instanceof StoreError) throw error;
      // Nothing was begun, so that trying again can double nothing.
      this.connection = null;
      try {
        return await begin();
      } catch (again) {
        throw asStoreError(again);
      }
    }
  }
}

/** The tables within one transaction in memory. */
class TablesInMemory {
  constructor(tables) {
    this.tables = tables;
  }

  async get(table, key) {
    return this.tables[table].get(key);
  }

  async all(table) {
    return [...this.tables[table].values()];
  }

  async put(table, row) {
    this.tables[table].set(row.key ?? row.id ?? row.run, structuredClone(row));
  }

  async add(table, row) {
    const taken = table === "entries" && (await this.entryAt(row.run, row.sequence));
    if (taken || this.tables[table].has(row.key ?? row.id ?? row.run)) throw new StoreError("broken");
    await this.put(table, row);
  }

  async remove(table, key) {
    this.tables[table].delete(key);
  }

  async count() {
    return this.tables.entries.size;
  }

  async countAt(home) {
    return (await this.entriesAt(home)).length;
  }

  async entriesAt(home) {
    return this.#entries().filter((each) => each.home === home);
  }

  async entriesOf(run) {
    return this.#entries().filter((each) => each.run === run);
  }

  async entryAt(run, sequence) {
    return (await this.entriesOf(run)).find((each) => each.sequence === sequence);
  }

  async highest(run) {
    return (await this.entriesOf(run)).at(-1)?.sequence ?? 0;
  }

  #entries() {
    const byPlace = (a, b) => (a.run === b.run ? a.sequence - b.sequence : a.run < b.run ? -1 : 1);
    return [...this.tables.entries.values()].sort(byPlace);
  }
}

/** The tables in memory: gone when the page is closed, so that entries must be given out as a file before. */
export class CourtMemory {
  constructor() {
    this.tables = Object.fromEntries(TABLES.map((table) => [table, new Map()]));
    this.turn = Promise.resolve();
    this.lasting = false;
  }

  async open() {}

  async close() {}

  /** As for `CourtDatabase`; one after the other, and what failed leaves no trace. */
  async transact(mode, work) {
    const done = this.turn.then(async () => {
      const copy = Object.fromEntries(TABLES.map((table) => [table, new Map(this.tables[table])]));
      const result = await work(new TablesInMemory(copy));
      this.tables = copy;
      return result;
    });
    this.turn = done.catch(() => {});
    return done;
  }
}
