// A second copy of what is kept, in another place than the browser's database.
// Chromium keeps IndexedDB in a log that it goes on writing after a crash. When the browser is killed in the middle of a
// write, the log cannot be read at a later start, and the browser throws the whole database away (seen about once in
// fifty kills while entries were written without a break). The cache of files is stored otherwise, a file each.

import { readEntryText } from "./entries.js";

const COPY_CACHE = "firstpush-kept";
const COPY_PATH = "/court/kept/";

/** The second copy; where a browser has no cache of files (no https, a file) it keeps nothing, and says so. */
export class SecondCopy {
  /** @param {string} name of the store that it belongs to */
  constructor(name) {
    this.cache = null;
    try {
      this.cache = globalThis.caches?.open(`${COPY_CACHE} ${name}`).catch(() => null) ?? null;
    } catch {
      // A page in a sandbox may not even look at `caches`.
    }
  }

  /**
   * Keep values by their keys. A copy that fails takes nothing away: the first one is kept.
   * @param {[string, unknown][]} pairs
   */
  async keep(pairs) {
    const cache = await this.cache;
    if (!cache) return;
    await Promise.all(
      pairs.map(([key, value]) => cache.put(addressOfCopy(key), new Response(JSON.stringify(value))).catch(() => {})),
    );
  }

  /** Return the keys that begin with `start`. */
  async keys(start) {
    const cache = await this.cache;
    const requests = cache ? await cache.keys() : [];
    const keys = requests.map((each) => decodeURIComponent(new URL(each.url).pathname.slice(COPY_PATH.length)));
    return keys.filter((each) => each.startsWith(start));
  }

  /** Return the value of each key that can still be read. */
  async values(keys) {
    const cache = await this.cache;
    if (!cache) return [];
    const read = async (key) => (await cache.match(addressOfCopy(key)))?.json();
    const values = await Promise.all(keys.map((key) => read(key).catch(() => undefined)));
    return values.filter((each) => each !== undefined);
  }

  /** Let copies go. */
  async drop(keys) {
    const cache = await this.cache;
    if (cache) await Promise.all(keys.map((key) => cache.delete(addressOfCopy(key)).catch(() => false)));
  }
}

function addressOfCopy(key) {
  return `${COPY_PATH}${encodeURIComponent(key)}`;
}

/** Return the key under which a package is kept. */
export function keyOfPackage({ plan, version }) {
  return `${plan}/${version}`;
}

/** Return key and value of the second copy of an entry. */
export function copyOfEntry({ id, text, link }) {
  return [`entry ${id}`, { text, link: link ?? null }];
}

/**
 * Return what only the second copy has of the entries.
 * @param {SecondCopy} second
 * @param {{id: string}[]} here the entries in the database
 * @returns {Promise<{text: string, link: string|null, entry: object}[]>}
 */
export const entriesOnlyInCopy = async (second, here) => {
  const keys = new Set(here.map((each) => copyOfEntry(each)[0]));
  const missing = (await second.keys("entry ")).filter((each) => !keys.has(each));
  return (await second.values(missing)).map(({ text, link }) => ({ text, link, entry: readEntryText(text) }));
};

/** Return what only the second copy has of the packages. */
export const packagesOnlyInCopy = async (second, here) => {
  const keys = new Set(here.map((each) => `package ${keyOfPackage(each)}`));
  return second.values((await second.keys("package ")).filter((each) => !keys.has(each)));
};
