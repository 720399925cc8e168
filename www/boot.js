// Starts the keeper first, then the screens, and keeps what either says until the other listens.

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
let nSent = 0;
let drawn = null;

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

// A page that the browser puts aside would go on holding the right to write, and no other page of this site could.
addEventListener('pagehide', ({ persisted }) => { if (persisted) keeper.terminate(); });
addEventListener('pageshow', ({ persisted }) => { if (persisted) location.reload(); });

// What the page's module binds to.
globalThis.garboard = {
  build: () => BUILD,
  send(bytes, files) { nSent += 1; keeper.postMessage({ bytes, files }, [bytes]); },
  listen(message, fault) {
    onmessage = message;
    onfault = fault;
    const kept = waiting;
    waiting = [];
    for (const one of kept) one.fault ? fault(one.fault) : message(one);
  },
  restart() {
    startKeeper();
    keeper.postMessage({ drawn: true });
  },
  // What is remembered stands on the screen: the keeper may open the log.
  drawn: () => requestAnimationFrame(() => setTimeout(() => keeper.postMessage({ drawn: true }))),
  sent: () => nSent,
  whole: () => draw('page'),
};

// Two modules can draw: the rail, small, with all that a first visit and a capture need, and the page with every
// screen. One takes over from the other only when it is here and ready, on a fresh element.
async function draw(name) {
  const [module, code] = await Promise.all([
    import(`./${name}.js`),
    WebAssembly.compileStreaming(fetch(new URL(`./${name}_bg.wasm`, import.meta.url))),
  ]);
  if (drawn) {
    drawn.leave();
    const app = document.getElementById('app');
    app.replaceWith(app.cloneNode(false));
  }
  drawn = module;
  await module.default({ module_or_path: code });
}

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

const isForRail = !matchMedia('(min-width: 1100px)').matches && /^(#\/?(log|measure|write|place)?)?$/.test(location.hash);
draw(isForRail ? 'rail' : 'page').catch((error) => {
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
      if (!found.waiting || !navigator.serviceWorker.controller) return;
      const line = new MessageChannel();
      line.port1.onmessage = ({ data }) => dispatchEvent(new CustomEvent('garboard-newer', { detail: data }));
      found.waiting.postMessage('what changed', [line.port2]);
    };
    // The page listens once it is drawn.
    setTimeout(look, 1500);
    found.addEventListener('updatefound', () => found.installing?.addEventListener('statechange', look));
  }).catch((error) => console.warn('without the service worker the site needs the network to open:', error));
}
