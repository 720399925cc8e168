// Starts the keeper's module; what the page sends before it is ready waits in order.
const BUILD = '__BUILD__';

const waiting = [];
let receive = null;
self.onmessage = ({ data }) => (receive ? receive(data.bytes, data.files) : waiting.push(data));

// The log as it last stood goes to the page at once, before the module is here.
function remember() {
  const asked = indexedDB.open('garboard');
  // There is nothing to remember in a storage that does not exist yet, and it is not begun here.
  asked.onupgradeneeded = () => asked.transaction.abort();
  asked.onsuccess = () => {
    const base = asked.result;
    base.onversionchange = () => base.close();
    if (!base.objectStoreNames.contains('state')) return base.close();
    const got = base.transaction('state', 'readonly').objectStore('state').get('remembered');
    got.onsuccess = () => {
      const kept = got.result;
      if (kept && kept.build === BUILD) {
        const bytes = kept.bytes.slice().buffer;
        self.postMessage({ bytes, files: [] }, [bytes]);
      }
      base.close();
    };
    got.onerror = () => base.close();
  };
}
try { remember(); } catch (error) { console.warn('nothing remembered:', error); }

const keeper = await import('../keeper.js');
await keeper.default({ module_or_path: new URL('../keeper_bg.wasm', import.meta.url) });
keeper.start(BUILD);
receive = keeper.receive;
for (const { bytes, files } of waiting.splice(0)) receive(bytes, files);
