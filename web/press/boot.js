// Starts the press's module; what the keeper asks before it is ready waits in order.
const waiting = [];
let receive = null;
self.onmessage = ({ data }) => (receive ? receive(data.bytes, data.files) : waiting.push(data));

const press = await import('../press.js');
await press.default({ module_or_path: new URL('../press_bg.wasm', import.meta.url) });
receive = press.receive;
for (const { bytes, files } of waiting.splice(0)) receive(bytes, files);
