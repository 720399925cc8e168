// Starts the module that the worker is named after; what the keeper asks before it is ready waits in order.
const waiting = [];
let receive = null;
self.onmessage = ({ data }) => (receive ? receive(data.bytes, data.files) : waiting.push(data));

const module = await import(`../${self.name}.js`);
await module.default({ module_or_path: new URL(`../${self.name}_bg.wasm`, import.meta.url) });
receive = module.receive;
for (const { bytes, files } of waiting.splice(0)) receive(bytes, files);
