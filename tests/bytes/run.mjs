// Runs a wasm program with its arguments, and lets it read files.
import { readFile } from 'node:fs/promises';
import { WASI } from 'node:wasi';

const [program, ...rest] = process.argv.slice(2);
const wasi = new WASI({ version: 'preview1', args: [program, ...rest], preopens: { '/': '/' } });
const module = await WebAssembly.compile(await readFile(program));
wasi.start(await WebAssembly.instantiate(module, wasi.getImportObject()));
