// The drawing of a movement goes to the answer that is tapped, step by step; without this script it stays as it was
// when the page came, and every answer can be given all the same.

const STEP_MS = 70;
// A drawing that was never asked for has to be made first: the way there is then left out, not waited for.
const WAIT_MS = 400;
const still = window.matchMedia('(prefers-reduced-motion: reduce)');

function loaded(address) {
  return new Promise((done) => {
    const image = new Image();
    image.onload = done;
    image.onerror = done;
    image.src = address;
  });
}

function pause(milliseconds) {
  return new Promise((done) => setTimeout(done, milliseconds));
}

class Look {
  constructor(fieldset) {
    this.fieldset = fieldset;
    this.image = fieldset.querySelector('img');
    this.pattern = fieldset.dataset.pattern;
    this.steps = JSON.parse(fieldset.dataset.steps);
    this.first = fieldset.dataset.firstDeg;
    this.last = Math.max(...Object.values(this.steps));
    this.degrees = fieldset.querySelector('[data-degrees]');
    this.now = this.wanted();
    this.walk = 0;
    fieldset.addEventListener('change', () => this.go());
    for (const begin of ['pointerenter', 'focusin']) {
      fieldset.addEventListener(begin, () => this.fetchAll(), { once: true });
    }
    if (this.degrees) {
      this.degrees.addEventListener('input', () => this.typed());
    }
  }

  // Once hand or keyboard is here, all steps are asked for, one after the other.
  async fetchAll() {
    for (let step = 0; step <= this.last; step += 1) await loaded(this.address(step));
  }

  address(step) {
    return this.pattern.replace('STEP', String(step));
  }

  answer() {
    const checked = this.fieldset.querySelector('input[type="radio"]:checked');
    return checked ? checked.value : '';
  }

  wanted() {
    const answer = this.answer();
    if (answer === 'measured' && this.degrees) {
      const angle = Number(this.degrees.value.trim().replace(',', '.'));
      if (this.degrees.value.trim() === '' || Number.isNaN(angle)) return 'asked';
      return Math.min(Math.max(Math.round((angle - Number(this.first)) / 15), 0), this.last);
    }
    return answer in this.steps ? this.steps[answer] : 'asked';
  }

  // Whoever types degrees has measured.
  typed() {
    const measured = this.fieldset.querySelector('input[type="radio"][value="measured"]');
    if (this.degrees.value.trim() !== '' && measured) measured.checked = true;
    this.go();
  }

  async go() {
    const walk = ++this.walk;
    const target = this.wanted();
    // A tapped answer takes the place of what was typed.
    if (this.degrees && this.answer() !== 'measured') this.degrees.value = '';
    if (target === this.now) return;
    const from = this.now === 'asked' ? 0 : this.now;
    const path = [];
    if (target !== 'asked' && !still.matches) {
      const way = Math.sign(target - from);
      for (let step = from; step !== target; step += way) path.push(step);
    }
    path.push(target);
    let slow = false;
    for (const step of path) {
      if (slow && step !== target) continue;
      const address = this.address(step);
      const ready = loaded(address).then(() => true);
      const came = step === target ? await ready : await Promise.race([ready, pause(WAIT_MS).then(() => false)]);
      if (walk !== this.walk) return;
      slow = !came;
      if (slow) continue;
      this.image.src = address;
      this.now = step;
      await pause(STEP_MS);
      if (walk !== this.walk) return;
    }
  }
}

for (const fieldset of document.querySelectorAll('.look[data-pattern]')) new Look(fieldset);
