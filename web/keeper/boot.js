// Starts the keeper's module; what the page sends before it is ready waits in order.
const BUILD = '__BUILD__';

// How long the log waits to be opened when the page does not tell that it has drawn what is remembered.
const PATIENCE_MILLIS = 1500;

const waiting = [];
let receive = null;
let nAsked = 0;

// Opening a log takes all that a small phone has: the page draws first what is remembered, unless it wants something.
let begin = null;
const isWanted = new Promise((resolve) => { begin = resolve; });

self.onmessage = ({ data }) => {
  if (data.drawn) return begin();
  nAsked += 1;
  // The greeting comes first, and can wait.
  if (nAsked > 1) begin();
  if (receive) receive(data.bytes, data.files);
  else waiting.push(data);
};

// The log as it last stood goes to the page at once, before the module is here.
function remember() {
  const asked = indexedDB.open('garboard');
  // There is nothing to remember in a storage that does not exist yet, and it is not begun here.
  asked.onupgradeneeded = () => asked.transaction.abort();
  asked.onerror = begin;
  asked.onsuccess = () => {
    const base = asked.result;
    base.onversionchange = () => base.close();
    if (!base.objectStoreNames.contains('state')) {
      base.close();
      return begin();
    }
    const got = base.transaction('state', 'readonly').objectStore('state').get('remembered');
    got.onsuccess = () => {
      const kept = got.result;
      base.close();
      if (kept?.build !== BUILD) return begin();
      const bytes = kept.bytes.slice().buffer;
      self.postMessage({ bytes, files: [] }, [bytes]);
      setTimeout(begin, PATIENCE_MILLIS);
    };
    got.onerror = () => {
      base.close();
      begin();
    };
  };
}
try {
  remember();
} catch (error) {
  console.warn('nothing remembered:', error);
  begin();
}

const keeper = await import('../keeper.js');
await keeper.default({ module_or_path: new URL('../keeper_bg.wasm', import.meta.url) });
await isWanted;
keeper.start(BUILD);
receive = keeper.receive;
for (const { bytes, files } of waiting.splice(0)) receive(bytes, files);
