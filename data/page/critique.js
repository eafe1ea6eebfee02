'use strict';
(() => {
  const sheet = document.getElementById('sheet');
  const grey = document.getElementById('grey');
  const keys = document.getElementById('keys');
  const still = matchMedia('(prefers-reduced-motion: reduce)');
  let timer = 0, lit = 0;

  const press = (name, on) => {
    const button = document.querySelector('button[data-do="' + name + '"]');
    if (button) button.setAttribute('aria-pressed', String(on));
  };
  const phase = () => {
    const target = sheet.classList.contains('show-drawn');
    sheet.classList.toggle('show-drawn', !target);
    sheet.classList.toggle('show-target', target);
  };
  const stopBlink = () => {
    clearInterval(timer);
    timer = 0;
    sheet.classList.remove('show-drawn', 'show-target');
    press('blink', false);
  };
  // One finding alone, or all when it is asked for twice.
  const light = (number) => {
    lit = lit === number ? 0 : number;
    sheet.classList.toggle('one', lit > 0);
    for (const group of sheet.querySelectorAll('g.finding'))
      group.classList.toggle('lit', group.dataset.no === String(lit));
  };
  const go = (number) => {
    const card = document.getElementById('finding-' + number);
    if (!card) return;
    light(number);
    if (lit) {
      show(true);
      card.focus({preventScroll: true});
      card.scrollIntoView({block: 'start'});
    }
  };
  const show = (on) => {
    sheet.classList.toggle('bare', !on);
    press('overlay', on);
    if (!on) stopBlink();
  };
  const actions = {
    mirror() { press('mirror', sheet.classList.toggle('mirrored')); },
    grey() {
      grey.hidden = !grey.hidden;
      press('grey', !grey.hidden);
    },
    overlay() { show(sheet.classList.contains('bare')); },
    blink() {
      if (timer || (still.matches && sheet.classList.contains('show-target'))) return stopBlink();
      show(true);
      phase();
      press('blink', true);
      // Slow enough to be no flicker; with reduced motion each press is one change.
      if (!still.matches) timer = setInterval(phase, 700);
    },
    help() { keys.open ? keys.close() : keys.showModal(); },
  };
  const byKey = {m: 'mirror', g: 'grey', o: 'overlay', b: 'blink', '?': 'help'};
  addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const key = event.key.toLowerCase();
    if (keys.open && key !== '?') return;
    if (byKey[key]) {
      event.preventDefault();
      actions[byKey[key]]();
    } else if (key >= '1' && key <= '3') {
      go(Number(key));
    }
  });
  addEventListener('click', (event) => {
    const button = event.target.closest('button[data-do]');
    if (button) return actions[button.dataset.do]();
    const disc = event.target.closest('[data-go]');
    if (disc) go(Number(disc.dataset.go));
  });
  // Print the picture as it stands, everything folded out.
  addEventListener('beforeprint', () => {
    stopBlink();
    for (const part of document.querySelectorAll('details')) part.open = true;
  });
})();
