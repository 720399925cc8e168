// Starts the keeper first, then the page, and keeps what either says until the other listens.
import init from './page.js';

const BUILD = '__BUILD__';

// The light chosen by hand stands before anything is drawn.
try {
  const light = localStorage.getItem('garboard.light');
  if (light === 'deck' || light === 'bilge') document.documentElement.dataset.light = light;
} catch { /* storage is closed to us: the system's light it is */ }

let keeper = null;
let onmessage = null;
let onfault = null;
let waiting = [];

function startKeeper() {
  if (keeper) keeper.terminate();
  waiting = [];
  keeper = new Worker(new URL('./keeper/boot.js', import.meta.url), { type: 'module' });
  keeper.onmessage = (event) => (onmessage ? onmessage(event.data) : waiting.push(event.data));
  keeper.onerror = (event) => {
    event.preventDefault();
    if (onfault) onfault(event.message || 'the keeper stopped');
    else waiting.push({ fault: event.message || 'the keeper stopped' });
  };
}
startKeeper();

// What the page's module binds to.
globalThis.garboard = {
  build: () => BUILD,
  send(bytes, files) { keeper.postMessage({ bytes, files }, [bytes]); },
  listen(message, fault) {
    onmessage = message;
    onfault = fault;
    const kept = waiting;
    waiting = [];
    for (const one of kept) one.fault ? fault(one.fault) : message(one);
  },
  restart: startKeeper,
};

function says(title, text) {
  const box = document.createElement('div');
  box.className = 'opening';
  box.setAttribute('role', 'alert');
  const name = document.createElement('p');
  name.className = 'opening-name';
  name.textContent = title;
  const words = document.createElement('p');
  words.textContent = text;
  box.append(name, words);
  document.getElementById('app').replaceChildren(box);
}

init({ module_or_path: new URL('./page_bg.wasm', import.meta.url) }).catch((error) => {
  console.error(error);
  says('Garboard did not open', 'What is saved on this device is untouched. Load the page again; if it stays like this, the browser may be too old for WebAssembly.');
});

// A newer build takes over only when the person says so, and all at once.
let registration = null;
addEventListener('garboard-take-newer', () => {
  if (!registration?.waiting) return location.reload();
  navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
  registration.waiting.postMessage('take over');
});

if ('serviceWorker' in navigator) {
  navigator.serviceWorker.ready.then((found) => found.active?.postMessage('fetch the rest'));
  navigator.serviceWorker.register(new URL('./sw.js', import.meta.url)).then((found) => {
    registration = found;
    const look = () => {
      if (found.waiting && navigator.serviceWorker.controller) dispatchEvent(new Event('garboard-newer'));
    };
    // The page listens once it is drawn.
    setTimeout(look, 1500);
    found.addEventListener('updatefound', () => found.installing?.addEventListener('statechange', look));
  }).catch((error) => console.warn('without the service worker the site needs the network to open:', error));
}
