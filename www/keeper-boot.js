// Starts the keeper's module; what the page sends before it is ready waits in order.
import init, { start, receive } from './keeper.js';

const waiting = [];
let ready = false;
self.onmessage = ({ data }) => (ready ? receive(data.bytes, data.files) : waiting.push(data));

init({ module_or_path: new URL('./keeper_bg.wasm', import.meta.url) }).then(() => {
  start('__BUILD__');
  ready = true;
  for (const { bytes, files } of waiting.splice(0)) receive(bytes, files);
});
