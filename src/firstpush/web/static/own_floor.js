// Clicks on the floor without a new page, and by keyboard: a cross is moved with the arrows and set with Enter.
// Without this script the floor is an image button: a click sends the form, and the page comes back with it.

const STEP_M = 0.05;
const FAR_M = 0.5;
const WAIT_MS = 1500;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
let cross = null;
let busy = false;

function drawingOf(form) {
  return [...form.querySelectorAll('.floor-drawing')].find((each) => each.offsetParent !== null);
}

function shownOf(form) {
  const [left, low, right, high] = form.querySelector('#own-floor').dataset.shown.split(' ').map(Number);
  return { left, low, right, high };
}

function inside(value, low, high) {
  const snapped = Math.round(Math.min(Math.max(value, low), high) / STEP_M) * STEP_M;
  return Number(snapped.toFixed(2));
}

function say(form, words) {
  form.querySelector('[data-says]').textContent = words;
}

function drawCross(form) {
  const drawing = drawingOf(form);
  const shown = shownOf(form);
  let mark = form.querySelector('.floor-cross');
  if (!mark) {
    mark = document.createElement('span');
    mark.className = 'floor-cross';
    mark.setAttribute('aria-hidden', 'true');
    form.querySelector('.floor-drawings').append(mark);
  }
  const around = Number(drawing.dataset.around);
  // As wide as it says, also while it is still fetched.
  const perMetre = (Number(drawing.getAttribute('width')) - 2 * around) / (shown.right - shown.left);
  mark.style.left = `${drawing.offsetLeft + around + (cross.x - shown.left) * perMetre}px`;
  mark.style.top = `${drawing.offsetTop + around + (shown.high - cross.y) * perMetre}px`;
}

function move(event, form) {
  const [right, up] = ARROWS[event.key];
  const shown = shownOf(form);
  const step = event.shiftKey ? FAR_M : STEP_M;
  const from = cross ?? { x: (shown.left + shown.right) / 2, y: (shown.low + shown.high) / 2 };
  cross = {
    x: inside(from.x + right * step, shown.left, shown.right),
    y: inside(from.y + up * step, shown.low, shown.high),
  };
  event.preventDefault();
  drawCross(form);
  say(form, `Cross: ${cross.x.toFixed(2)} m to the right, ${cross.y.toFixed(2)} m away.`);
}

// The next drawing is there before it is shown: a floor that shrinks for a moment would move the page.
function fetched(drawing) {
  const image = new Image();
  return new Promise((done) => {
    image.onload = done;
    image.onerror = done;
    setTimeout(done, WAIT_MS);
    image.src = drawing ? drawing.getAttribute('src') : '';
  });
}

async function send(form, submitter) {
  const data = new FormData(form, submitter);
  const answer = await fetch(form.getAttribute('action').replace(/#.*/, '') || window.location.pathname, {
    method: 'POST',
    body: data,
    headers: { Accept: 'text/html' },
  });
  const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
  const next = page.querySelector('.own-form');
  if (!answer.ok || !next) {
    throw new Error(`the floor was not answered: ${answer.status}`);
  }
  const kind = drawingOf(form)?.name;
  await fetched(next.querySelector(`[name="${kind}"]`));
  form.replaceWith(next);
  ready(next);
  const says = next.querySelector('[data-says]');
  const words = says.textContent;
  // Said again once it stands there: a live region that comes with its words is silent.
  says.textContent = '';
  requestAnimationFrame(() => { says.textContent = words; });
  if (submitter.name === 'click' || submitter.type === 'image') {
    drawingOf(next)?.focus({ preventScroll: true });
    if (cross && submitter.name === 'click') {
      drawCross(next);
    }
  } else {
    next.querySelector(`[name="${submitter.name}"]`)?.focus({ preventScroll: true });
  }
}

function ready(form) {
  form.querySelector('.keys').hidden = false;
  for (const drawing of form.querySelectorAll('.floor-drawing')) {
    drawing.addEventListener('keydown', (event) => {
      if (event.key in ARROWS) {
        move(event, form);
      }
    });
    drawing.addEventListener('click', (event) => {
      // A key gives no place: the cross does.
      if (event.detail === 0) {
        event.preventDefault();
        if (!cross) {
          say(form, 'Move the cross with the arrows first.');
          return;
        }
        form.elements.at_x_m.value = cross.x;
        form.elements.at_y_m.value = cross.y;
        form.requestSubmit(form.querySelector('button[name="click"]'));
      }
    });
  }
  form.addEventListener('submit', (event) => {
    const by = event.submitter;
    if (!by || !(by.type === 'image' || ['click', 'undo', 'show'].includes(by.name))) {
      return;
    }
    event.preventDefault();
    if (busy) {
      return;
    }
    busy = true;
    send(form, by).catch(() => say(form, 'That click did not arrive. Try again.')).finally(() => { busy = false; });
  });
}

const first = document.querySelector('.own-form');
if (first) {
  ready(first);
}
