// Entries given back as a file, and read again: the way home where no application can be reached.

const ENTRIES_FILE_FORMAT = "firstpush entries 1";
const FILE_KIND = "application/json";

/**
 * Return the text of a file with these entries.
 * @param {string[]} texts entries, letter by letter as they were made
 * @returns {string}
 */
export function fileOfEntries(texts) {
  return `${JSON.stringify({ format: ENTRIES_FILE_FORMAT, entries: texts }, null, 1)}\n`;
}

/**
 * Return the entries in the text of such a file.
 * @param {string} content
 * @returns {string[]}
 * @throws {Error} in words, when it is none
 */
export function entriesOfFile(content) {
  let given = null;
  try {
    given = JSON.parse(content);
  } catch {
    // Said below: whatever it is, it is no such file.
  }
  const texts = given?.format === ENTRIES_FILE_FORMAT ? given.entries : null;
  if (!Array.isArray(texts) || texts.some((each) => typeof each !== "string")) {
    throw new Error(
      `This is no file of entries. Allowed is a file with "format": "${ENTRIES_FILE_FORMAT}", as this page gives it ` +
        "out. Choose that file.",
    );
  }
  return texts;
}

/**
 * Return the name of a file of entries.
 * @param {string} title of the session
 * @param {Date} date
 * @returns {string} of letters, digits and hyphens, which every file system takes
 */
export function nameOfFile(title, date) {
  const plain = title.normalize("NFD").replace(/[^A-Za-z0-9]+/g, "-").replace(/^-+|-+$/g, "").toLowerCase();
  const two = (value) => String(value).padStart(2, "0");
  const day = `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
  return `entries-${plain || "session"}-${day}-${two(date.getHours())}${two(date.getMinutes())}.json`;
}

/** Whether this browser can hand a file to another program (mail, messages). */
export function canShareFiles() {
  const file = new File(["{}"], "entries.json", { type: FILE_KIND });
  return Boolean(navigator.canShare?.({ files: [file] }));
}

/**
 * Hand the file to another program of the device.
 * @param {string} content
 * @param {string} name
 * @returns {Promise<boolean>} whether it was handed over; giving up is no fault
 */
export function shareFile(content, name) {
  const file = new File([content], name, { type: FILE_KIND });
  return navigator.share({ files: [file] }).then(
    () => true,
    (error) => {
      if (error.name === "AbortError") return false;
      throw error;
    },
  );
}

/**
 * Let the browser save the file.
 * @param {string} content
 * @param {string} name
 */
export function saveFile(content, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([content], { type: FILE_KIND }));
  link.download = name;
  link.hidden = true;
  document.body.append(link);
  link.click();
  link.remove();
  // The browser reads it after this; a minute is long for any device.
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}
