// Starts the second program in a web worker. The page's first message names its files, and brings the compiled program
// where an earlier worker has compiled it; else it is fetched, compiled, and sent to the page for the next one.
"use strict";

async function compiled(name) {
  const answer = await fetch(`./${name}_bg.wasm`);
  if (!answer.ok) throw new Error(`the server answers ${answer.status}`);
  const again = answer.clone();
  // A server that gives the file another type can't be compiled from while it comes.
  const program = await WebAssembly.compileStreaming(answer).catch(async () => WebAssembly.compile(await again.arrayBuffer()));
  postMessage({ program });
  return program;
}

addEventListener("message", async ({ data }) => {
  try {
    const [glue, program] = await Promise.all([import(`./${data.name}.js`), data.program ?? compiled(data.name)]);
    await glue.default({ module_or_path: program });
  } catch (error) {
    postMessage({ failed: String(error?.message ?? error) });
  }
}, { once: true });
